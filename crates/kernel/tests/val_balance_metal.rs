//! Metal taken off or put on a counterweight against integrals of the bodies themselves, written
//! down again here: solids of revolution, columns under a rim, polygons of a segment.

#![expect(clippy::unwrap_used, reason = "in tests a panic is the report")]

use kernel::balance::metal::{Drill, FaceHole, Flat, RimHole, Slug};
use std::f64::consts::{PI, TAU};

const STEEL_KG_M3: f64 = 7850.0;
const TUNGSTEN_KG_M3: f64 = 17_500.0;
/// Simpson's rule is exact for cubics; the pieces integrated here are of lower degree.
const EXACT: f64 = 1e-13;

fn simpson(from: f64, to: f64, pieces: usize, f: impl Fn(f64) -> f64) -> f64 {
    let step = (to - from) / pieces as f64;
    (0..pieces)
        .map(|k| {
            let a = from + step * k as f64;
            step / 6.0 * (f(a) + 4.0 * f(a + 0.5 * step) + f(a + step))
        })
        .sum()
}

fn close(name: &str, got: f64, expected: f64, relative: f64) {
    let off = (got / expected - 1.0).abs();
    assert!(off < relative, "{name}: {got:e}, not {expected:e}: off by {off:e}");
}

/// Drills, points, radii and depths, mm and degrees.
const HOLES: [(f64, f64, f64, f64); 6] = [
    (6.0, 118.0, 60.0, 4.0),
    (10.0, 90.0, 45.0, 12.0),
    (14.0, 118.0, 60.0, 18.0),
    (8.0, 180.0, 80.0, 10.0),
    (20.0, 140.0, 30.0, 7.0),
    (12.7, 135.0, 101.6, 25.4),
];

fn drill(d_mm: f64, deg: f64) -> Drill {
    Drill::new(d_mm * 1e-3, deg.to_radians()).unwrap()
}

/// Radius of the hole at a depth below its face, m.
fn hole_radius_m(d_mm: f64, deg: f64, depth_m: f64, at_m: f64) -> f64 {
    let half_m = 0.5e-3 * d_mm;
    let (sin, cos) = (0.5 * deg.to_radians()).sin_cos();
    let point_m = half_m * cos / sin;
    if at_m <= depth_m { half_m } else { half_m * (1.0 - (at_m - depth_m) / point_m) }
}

#[test]
fn face_holes_and_slugs_are_solids_of_revolution() {
    for (d_mm, deg, radius_mm, depth_mm) in HOLES {
        let drill = drill(d_mm, deg);
        let hole = FaceHole { drill, radius_m: radius_mm * 1e-3, density_kg_m3: STEEL_KG_M3 };
        let (depth_m, tip_m) = (depth_mm * 1e-3, depth_mm * 1e-3 + drill.point_m());
        let slice = |at_m: f64| PI * hole_radius_m(d_mm, deg, depth_m, at_m).powi(2);
        // Cylinder and cone apart: nothing is smooth across the shoulder.
        let both = |f: &dyn Fn(f64) -> f64| {
            let cone = if drill.point_m() > 1e-12 { simpson(depth_m, tip_m, 1, f) } else { 0.0 };
            simpson(0.0, depth_m, 1, f) + cone
        };
        let kg = STEEL_KG_M3 * both(&slice);
        let below_m = STEEL_KG_M3 * both(&|at_m| at_m * slice(at_m)) / kg;
        close("mass", hole.mass_kg(depth_m), kg, EXACT);
        close("centre", hole.below_face_m(depth_m), below_m, EXACT);
        // The unbalance is the integral of the distance over each slice.
        let moment = |at_m: f64| {
            let r_m = hole_radius_m(d_mm, deg, depth_m, at_m);
            let ring = |s_m: f64| {
                let turn = |a: f64| hole.radius_m + s_m * a.cos();
                // Equal steps are exact for a cosine over a whole turn.
                s_m * (0..8).map(|k| turn(TAU * f64::from(k) / 8.0) * TAU / 8.0).sum::<f64>()
            };
            simpson(0.0, r_m, 1, ring)
        };
        close("unbalance", hole.amount_kg_m(depth_m), STEEL_KG_M3 * both(&moment), EXACT);

        let slug = Slug { hole, slug_kg_m3: TUNGSTEN_KG_M3 };
        let filled = |f: &dyn Fn(f64) -> f64| TUNGSTEN_KG_M3 * simpson(0.0, depth_m, 1, f);
        let net_kg = filled(&slice) - kg;
        let net_below_m = (filled(&|at_m| at_m * slice(at_m)) - kg * below_m) / net_kg;
        close("slug", slug.mass_kg(depth_m), net_kg, EXACT);
        close("slug's centre", slug.below_face_m(depth_m), net_below_m, 1e-12);
        close("slug's unbalance", slug.amount_kg_m(depth_m), net_kg * hole.radius_m, EXACT);
    }
}

#[test]
fn rim_holes_are_columns_between_the_rim_and_the_drill() {
    for (d_mm, deg, radius_mm, depth_mm) in HOLES {
        let drill = drill(d_mm, deg);
        let (rim_m, depth_m, half_m) = (radius_mm * 1e-3, depth_mm * 1e-3, 0.5e-3 * d_mm);
        let hole = RimHole::new(drill, rim_m, STEEL_KG_M3);
        assert!(depth_m > hole.full_from_m(), "the case must be one");
        // Discs of the drill in polar coordinates: s from its axis, a around it; y = s sin a.
        let columns = |f: &dyn Fn(f64, f64) -> f64| {
            let ring = |s_m: f64| {
                let bottom_m = rim_m - depth_m - drill.point_m() * (1.0 - s_m / half_m);
                let around = |a: f64| {
                    let y_m = s_m * a.sin();
                    f(bottom_m, (rim_m * rim_m - y_m * y_m).sqrt())
                };
                // Even in y and alike on both sides: a whole turn of equal steps, which converge
                // faster than any power.
                s_m * (0..64).map(|k| around(TAU * f64::from(k) / 64.0) * TAU / 64.0).sum::<f64>()
            };
            simpson(0.0, half_m, 400, ring)
        };
        let kg = STEEL_KG_M3 * columns(&|low_m, high_m| high_m - low_m);
        let kg_m = STEEL_KG_M3 * columns(&|low_m, high_m| 0.5 * (high_m * high_m - low_m * low_m));
        close("mass", hole.mass_kg(depth_m), kg, 1e-12);
        close("unbalance", hole.amount_kg_m(depth_m), kg_m, 1e-12);
        // The rim and the cone both count: a hole in a plane is something else.
        let plane_kg = STEEL_KG_M3 * drill.area_m2() * (depth_m + drill.point_m() / 3.0);
        assert!((plane_kg / kg - 1.0).abs() > 1e-4, "{d_mm}");
    }
}

#[test]
fn flats_are_segments_of_a_circle() {
    for (rim_mm, width_mm, depth_mm) in
        [(60.0, 20.0, 0.3), (60.0, 20.0, 5.0), (45.0, 12.0, 13.2), (80.0, 30.0, 80.0)]
    {
        let (rim_m, width_m, depth_m) = (rim_mm * 1e-3, width_mm * 1e-3, depth_mm * 1e-3);
        let flat = Flat { rim_m, width_m, density_kg_m3: STEEL_KG_M3 };
        let half_rad = ((rim_m - depth_m) / rim_m).acos();
        // The polygon of the arc and its chord, area and first moment by the shoelace formulas. Its
        // error falls with the square of the corners: two counts and Richardson's step.
        let polygon = |corners: usize| {
            let corner = |k: usize| {
                let at = half_rad * (2.0 * k as f64 / corners as f64 - 1.0);
                (rim_m * at.cos(), rim_m * at.sin())
            };
            let (mut area, mut moment) = (0.0, 0.0);
            for k in 0..=corners {
                let (x0, y0) = corner(k);
                let (x1, y1) = if k == corners { corner(0) } else { corner(k + 1) };
                let twice = x0 * y1 - x1 * y0;
                area += 0.5 * twice;
                moment += twice * (x0 + x1) / 6.0;
            }
            (area, moment)
        };
        let ((area_1, moment_1), (area_2, moment_2)) = (polygon(2000), polygon(4000));
        let metal = STEEL_KG_M3 * width_m;
        let kg = metal * (4.0 * area_2 - area_1) / 3.0;
        let kg_m = metal * (4.0 * moment_2 - moment_1) / 3.0;
        close("mass", flat.mass_kg(depth_m), kg, 1e-9);
        close("unbalance", flat.amount_kg_m(depth_m), kg_m, 1e-9);
    }
}
