//! Assemblies that were summed point by point and spun, against what two planes say of them.
//!
//! `reference/balance/assemblies.csv` has 200 of them from NumPy: forces of all points at 36
//! instants of three turns, and the weights that balance them, solved from force and moment. The
//! second part sums points here: rotors, counterweights and the holes drilled into them, and
//! compares what they press on the bearings with what the residual says.

#![expect(clippy::unwrap_used, reason = "in a test a panic is the report")]

use kernel::balance::drilling::{Counterweight, How, Place};
use kernel::balance::metal::Work;
use kernel::balance::{
    Assembly, Cause, Complex, PlacedUnbalance, PlaneWays, ThrownRotor, ToCorrect, TwoPlanes,
    correct,
};
use std::collections::BTreeMap;
use std::f64::consts::TAU;

/// Assemblies in the file.
const ASSEMBLIES: usize = 200;
/// Of the largest rotor's unbalance: where the sums of a thousand points in double precision end.
const SAME: f64 = 1e-9;

type Row = (String, usize, [f64; 5]);

fn assemblies() -> BTreeMap<usize, Vec<Row>> {
    let text = include_str!("../../../reference/balance/assemblies.csv");
    let mut all: BTreeMap<usize, Vec<Row>> = BTreeMap::new();
    for line in text.lines().filter(|line| !line.starts_with('#')).skip(1) {
        let cells: Vec<&str> = line.split(',').collect();
        let mut values = [0.0; 5];
        for (value, cell) in values.iter_mut().zip(&cells[3..]) {
            if !cell.is_empty() {
                *value = cell.parse().unwrap();
            }
        }
        let row = (cells[1].to_owned(), cells[2].parse().unwrap(), values);
        all.entry(cells[0].parse().unwrap()).or_default().push(row);
    }
    all
}

fn rotor(values: &[f64; 5]) -> (ThrownRotor, f64) {
    let [mass_kg, eccentricity_m, throw_deg, at_m, mass_centre_m] = *values;
    let rotor = ThrownRotor {
        at_m,
        throw_rad: throw_deg.to_radians(),
        mass_kg,
        mass_centre_m,
        oil_kg_m: Complex::new(0.0, 0.0),
        oil_at_m: 0.0,
        journal_kg_m: 0.0,
    };
    (rotor, eccentricity_m)
}

/// Weights in two planes and loads of two bearings agree with those of all points [NUMPY].
#[test]
fn two_planes_balance_what_was_summed_point_by_point() {
    let all = assemblies();
    assert_eq!(all.len(), ASSEMBLIES);
    for (number, rows) in &all {
        let of = |part: &'static str| rows.iter().filter(move |row| row.0 == part).map(|row| row.2);
        let [omega, ..] = of("speed").next().unwrap();
        let mut unbalances: Vec<PlacedUnbalance> = of("rotor")
            .map(|values| {
                let (rotor, e_m) = rotor(&values);
                rotor.unbalance(Cause::Rotors, e_m)
            })
            .collect();
        unbalances.extend(of("counterweight").map(|[kg, radius_m, deg, at_m, _]| {
            PlacedUnbalance {
                at_m,
                vector_kg_m: Complex::from_polar(kg * radius_m, deg.to_radians()),
            }
        }));
        let largest = unbalances.iter().map(|u| u.vector_kg_m.norm()).fold(0.0, f64::max);
        let planes: Vec<[f64; 5]> = of("plane").collect();
        let two = TwoPlanes::new(planes[0][0], planes[1][0]).unwrap();
        // Planes near each other lever errors up by how far all of it lies from them.
        let lever = |at: [f64; 2]| {
            let far = unbalances.iter().map(|u| (u.at_m - at[0]).abs()).fold(1e-3, f64::max);
            1.0 + far / (at[1] - at[0])
        };
        for (found, [_, re, im, ..]) in two.needed(&unbalances).iter().zip(&planes) {
            let off = (found - Complex::new(*re, *im)).norm();
            let room = SAME * largest * lever(two.at_m());
            assert!(off < room, "assembly {number}: {found} {re} {im}");
        }
        let bearings: Vec<[f64; 5]> = of("bearing").collect();
        let carried = TwoPlanes::new(bearings[0][0], bearings[1][0]).unwrap();
        for (found, [_, re, im, ..]) in carried.shown(&unbalances).iter().zip(&bearings) {
            let off = (found * (omega * omega) - Complex::new(*re, *im)).norm();
            let room = SAME * largest * omega * omega * lever(carried.at_m());
            assert!(off < room, "assembly {number}: {found} {re} {im}");
        }
    }
}

/// A mass at a place of the turning shaft, metres from its axis.
struct Point {
    kg: f64,
    x_m: f64,
    y_m: f64,
    z_m: f64,
}

/// A body as points that have its mass and mass centre, spread about it.
fn cloud(kg: f64, at: Complex<f64>, z_m: f64, spread_m: f64) -> Vec<Point> {
    let count = 24;
    (0..count)
        .flat_map(|k| {
            let turn = Complex::cis(TAU * f64::from(k) / f64::from(count)) * spread_m;
            [-1.0, 1.0].map(|side| {
                let place = at + turn * side;
                let half = 2.0 * f64::from(count);
                Point { kg: kg / half, x_m: place.re, y_m: place.im, z_m: z_m + side * spread_m }
            })
        })
        .collect()
}

/// A drilled hole as rings of missing points: along its cylinder and along its cone by Gauss's rule
/// of two points, which is exact for mass and mass centre of both.
fn missing(work: &Work, depth_m: f64, angle_rad: f64, (face_m, inward): (f64, f64)) -> Vec<Point> {
    let Work::FaceHole(hole) = work else { return Vec::new() };
    let (r_m, point_m) = (0.5 * hole.drill.diameter_m(), hole.drill.point_m());
    let (rho, area) = (hole.density_kg_m3, hole.drill.area_m2());
    let axis = Complex::from_polar(hole.radius_m, angle_rad);
    let gauss = [-1.0, 1.0].map(|side: f64| 0.5 + side * 0.5 / 3f64.sqrt());
    let mut slices: Vec<(f64, f64)> =
        gauss.iter().map(|s| (s * depth_m, 0.5 * rho * area * depth_m)).collect();
    // A cone's area falls as the square: three points are exact for its mass centre.
    let three =
        [(0.5 - 0.15f64.sqrt(), 5.0 / 18.0), (0.5, 4.0 / 9.0), (0.5 + 0.15f64.sqrt(), 5.0 / 18.0)];
    slices.extend(three.map(|(s, weight)| {
        let left: f64 = 1.0 - s;
        (depth_m + s * point_m, weight * rho * area * left * left * point_m)
    }));
    let around = 12;
    slices
        .into_iter()
        .flat_map(|(below_m, kg)| {
            (0..around).map(move |k| {
                let turn = Complex::cis(TAU * f64::from(k) / f64::from(around)) * (0.6 * r_m);
                let place = axis + turn;
                Point {
                    kg: -kg / f64::from(around),
                    x_m: place.re,
                    y_m: place.im,
                    z_m: face_m + inward * below_m,
                }
            })
        })
        .collect()
}

/// What points press on two bearings with: `m ω² r`, and its moment shared by the levers.
fn pressed(points: &[Point], omega: f64, bearings: [f64; 2]) -> [Complex<f64>; 2] {
    let mut force = Complex::new(0.0, 0.0);
    let mut moment = Complex::new(0.0, 0.0);
    for p in points {
        let f = Complex::new(p.x_m, p.y_m) * (p.kg * omega * omega);
        force += f;
        moment += f * (p.z_m - bearings[0]);
    }
    let rear = moment / (bearings[1] - bearings[0]);
    [force - rear, rear]
}

fn ways(angles_deg: &[f64], face_m: f64) -> PlaneWays {
    let counterweight = Counterweight {
        density_kg_m3: 7850.0,
        drills_m: vec![6e-3, 8e-3, 10e-3],
        point_angle_rad: 118f64.to_radians(),
        least_depth_m: 2e-3,
        depth_step_m: 1e-4,
        between_m: 2e-3,
        to_edge_m: 2e-3,
        slug_kg_m3: None,
        places: angles_deg
            .iter()
            .map(|deg| Place {
                how: How::FaceHole { deepest_m: 16e-3, edge_m: Some(9e-3) },
                angle_rad: deg.to_radians(),
                radius_m: 0.058,
            })
            .collect(),
    };
    PlaneWays { ways: counterweight.ways().unwrap(), faces_m: vec![Some(face_m); angles_deg.len()] }
}

/// Rotors, counterweights that are a little off, and the holes that correct them, all as points:
/// what they press on the bearings with is what the stated residual says, to 1e-9 of what one
/// rotor presses.
#[test]
fn after_drilling_the_bearings_carry_the_stated_residual() {
    let throws: [&[f64]; 4] =
        [&[0.0], &[0.0, 180.0], &[0.0, 120.0, 240.0], &[0.0, 60.0, 120.0, 180.0, 240.0, 300.0]];
    let (e_m, omega, mut holes) = (0.0145, 960.0, 0);
    for (case, throws_deg) in throws.iter().enumerate() {
        let rotors: Vec<ThrownRotor> = throws_deg
            .iter()
            .enumerate()
            .map(|(k, deg)| ThrownRotor {
                at_m: 0.14 + 0.115 * k as f64,
                throw_rad: deg.to_radians(),
                mass_kg: 3.9 + 0.01 * k as f64,
                mass_centre_m: 6e-4 - 3e-4 * k as f64,
                oil_kg_m: Complex::new(0.0, 0.0),
                oil_at_m: 0.0,
                journal_kg_m: 0.0,
            })
            .collect();
        let end_m = 0.14 + 0.115 * throws_deg.len() as f64;
        let planes = TwoPlanes::new(0.052, end_m + 0.02).unwrap();
        let assembly = Assembly {
            shaft_kg: 12.0,
            shaft_centre_m: 0.2,
            weights: Vec::new(),
            rotors,
            eccentricity_m: e_m,
        };
        let needed = planes.needed(&assembly.all_thrown());
        let off = [Complex::from_polar(312e-6, 2.2), Complex::from_polar(247e-6, 0.4)];
        let weights: Vec<Complex<f64>> = (0..2).map(|k| needed[k] + off[k]).collect();
        let angles: [Vec<f64>; 2] = [
            (0..12).map(|k| 80.0 + 10.0 * f64::from(k)).collect(),
            (0..12).map(|k| -35.0 + 10.0 * f64::from(k)).collect(),
        ];
        let faces = [0.044, end_m + 0.029];
        let drilled = [ways(&angles[0], faces[0]), ways(&angles[1], faces[1])];
        let wanted =
            ToCorrect { unbalance_kg_m: off, permitted_kg_m: [25e-6, 25e-6], most_operations: 6 };
        let done = correct(&planes, [Some(&drilled[0]), Some(&drilled[1])], &wanted).unwrap();

        let mut points = Vec::new();
        for rotor in &assembly.rotors {
            let at = Complex::from_polar(e_m, rotor.throw_rad);
            points.extend(cloud(rotor.mass_kg, at, rotor.at_m + rotor.mass_centre_m, 0.03));
        }
        for (weight, at_m) in weights.iter().zip(planes.at_m()) {
            points.extend(cloud(1.2, weight / 1.2, at_m, 0.004));
        }
        for (plane, correction) in done.planes.iter().enumerate() {
            let inward = if faces[plane] > planes.at_m()[plane] { -1.0 } else { 1.0 };
            for operation in &correction.as_ref().unwrap().operations {
                let angle_rad = angles[plane][operation.place].to_radians();
                let depth_m = operation.depth_m.unwrap();
                let hole = missing(&operation.work, depth_m, angle_rad, (faces[plane], inward));
                assert!(!hole.is_empty());
                points.extend(hole);
                holes += 1;
            }
        }
        let bearings = [0.075, end_m - 0.01];
        let stated = planes
            .moved_to(&TwoPlanes::new(bearings[0], bearings[1]).unwrap(), done.left_kg_m)
            .map(|left| left * (omega * omega));
        let found = pressed(&points, omega, bearings);
        let one_rotor_n = 3.9 * e_m * omega * omega;
        for (a, b) in found.iter().zip(stated) {
            assert!((a - b).norm() < SAME * one_rotor_n, "case {case}: {a} {b}");
        }
        assert!(done.left_kg_m.iter().all(|left| left.norm() <= 25e-6), "{:?}", done.left_kg_m);
    }
    assert!(holes >= 8, "{holes} holes");
}
