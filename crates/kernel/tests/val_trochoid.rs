//! Bore, flank and chamber against values that this project's kernel did not produce.
//!
//! Two sets. The tables below were computed with numpy and mpmath for one engine, R 105, e 15,
//! b 80 mm; where a formula is a textbook's, it is from memory [YAMAMOTO], [ANSDALE] and the
//! figure confirms it. `reference/trochoid/values.csv` was computed for five engines by means
//! that use no closed form of the kernel: envelopes by minimisation, polygons, quadrature.

#![expect(clippy::unwrap_used, reason = "in a test a panic is the report")]

use kernel::geometry::{
    Bore, Chamber, ChamberSizes, Flank, NodeCounts, SideFace, SideFaceSizes, Trochoid,
};
use kernel::units::{Angle, Length, Volume};

/// Values from outside checked by this file. Only rises.
const FOREIGN_CASES: usize = 11 * 8 + 7 * 5 + 54 + 78;

const COMPUTED: &str = "computed, numpy and mpmath";
const TEXTBOOK: &str = "textbook formula from memory [YAMAMOTO]; computed, quadrature agrees";

/// R 105, e 15 mm and this shift.
fn trochoid(a_mm: f64) -> Trochoid {
    ratio(7.0, a_mm)
}

/// e 15 mm, this ratio and this shift.
fn ratio(ratio: f64, a_mm: f64) -> Trochoid {
    Trochoid::new(Length::mm(15.0 * ratio), Length::mm(15.0), Length::mm(a_mm)).unwrap()
}

fn bore(a_mm: f64) -> Bore {
    Bore::of(trochoid(a_mm))
}

fn flank_of(trochoid: Trochoid) -> Flank {
    Flank::new(trochoid, Length::ZERO).unwrap()
}

fn chamber_of(trochoid: Trochoid, width_mm: f64) -> Chamber {
    let sizes = ChamberSizes { width: Length::mm(width_mm), recess: Volume::ZERO };
    Chamber::new(flank_of(trochoid), sizes).unwrap()
}

/// Chamber area at a direction of the tip that the chamber starts from; 30 degrees is top dead
/// centre.
fn area_at_rotor_angle(beta_deg: f64) -> f64 {
    chamber_of(trochoid(0.0), 80.0).area(Angle::deg(3.0 * (beta_deg - 30.0))).to_mm2()
}

/// Flank points: v; x, y, r unshifted; x, y, r with a shift of 2; normal; contact angle.
/// Millimetres and degrees. Pedigree: computed, numpy and mpmath, from the inner envelope
/// [YAMAMOTO] (from memory), itself confirmed by an independent derivation and a contact scan.
const FLANK: [[f64; 9]; 11] = [
    [0.0, 105.000000, 0.000000, 105.000000, 106.807016, 0.857143, 106.810455, 25.37693, 57.6885],
    [6.0, 95.210626, 16.374607, 96.608442, 96.827554, 17.551699, 98.405474, 36.05389, 54.0269],
    [12.0, 83.299253, 30.394682, 88.671316, 84.730958, 31.791186, 90.498700, 44.28692, 49.1435],
    [18.0, 69.538424, 42.965383, 81.741156, 70.808142, 44.510639, 83.636057, 50.59044, 43.2952],
    [24.0, 54.143510, 54.485401, 76.812620, 55.273145, 56.135833, 78.780406, 55.61037, 36.8052],
    [30.0, 37.500000, 64.951905, 75.000000, 38.500000, 66.683956, 77.000000, 60.00000, 30.0000],
    [36.0, 20.113987, 74.132356, 76.812620, 20.978485, 75.935864, 78.780406, 64.38963, 23.1948],
    [42.0, 2.439901, 81.704733, 81.741156, 3.143273, 83.576969, 83.636057, 69.40956, 16.7048],
    [48.0, -15.327060, 87.336611, 88.671316, -14.833504, 89.274755, 90.498700, 75.71308, 10.8565],
    [54.0, -33.424487, 90.642125, 96.608442, -33.213560, 92.630971, 98.405474, 83.94611, 5.9731],
    [60.0, -52.500000, 90.932667, 105.000000, -52.661200, 92.926160, 106.810455, 94.62307, 2.3115],
];

/// Bore points: t; x, y unshifted; x, y with a shift of 2; lean. Millimetres and degrees.
/// Pedigree: computed, numpy and mpmath, from the definition of the curve.
const BORE: [[f64; 6]; 7] = [
    [0.0, 120.000000, 0.0, 122.000000, 0.0, 0.0],
    [15.0, 112.028813, 37.782601, 113.857570, 38.592323, 8.88241],
    [30.0, 90.932667, 67.500000, 92.296764, 68.962614, 16.99609],
    [45.0, 63.639610, 84.852814, 64.382392, 86.709767, 23.19859],
    [60.0, 37.500000, 90.932667, 37.664399, 92.925899, 25.28500],
    [75.0, 16.569398, 90.815610, 16.436256, 92.811173, 18.81706],
    [90.0, 0.0, 90.000000, 0.0, 92.000000, 0.0],
];

/// Printed to six decimals: one of their last.
const POINT_MM: f64 = 1e-6;
/// Printed to five decimals.
const NORMAL_DEG: f64 = 1e-5;
/// Printed to four decimals.
const CONTACT_DEG: f64 = 1e-4;

#[track_caller]
fn near(what: &str, got: f64, wanted: f64, tolerance: f64) {
    assert!((got - wanted).abs() <= tolerance, "{what}: {got} is not {wanted} ± {tolerance:e}");
}

#[test]
fn flank_points() {
    let (plain, shifted) = (flank_of(trochoid(0.0)), flank_of(trochoid(2.0)));
    for [v, x0, y0, r0, x2, y2, r2, normal, contact] in FLANK {
        let at = Angle::deg(v);
        for (flank, x, y, r) in [(plain, x0, y0, r0), (shifted, x2, y2, r2)] {
            let point = flank.point(at).unwrap();
            near(&format!("x at {v}"), point.x.to_mm(), x, POINT_MM);
            near(&format!("y at {v}"), point.y.to_mm(), y, POINT_MM);
            near(&format!("r at {v}"), point.radius().to_mm(), r, POINT_MM);
        }
        near("normal", plain.normal_direction(at).unwrap().to_deg(), normal, NORMAL_DEG);
        near("contact", plain.contact_angle(at).unwrap().to_deg(), contact, CONTACT_DEG);
    }
}

#[test]
fn bore_points() {
    for [t, x0, y0, x2, y2, lean] in BORE {
        let at = Angle::deg(t);
        for (a, x, y) in [(0.0, x0, y0), (2.0, x2, y2)] {
            let point = bore(a).point(at);
            near(&format!("x at {t}"), point.x.to_mm(), x, POINT_MM);
            near(&format!("y at {t}"), point.y.to_mm(), y, POINT_MM);
        }
        near("lean", bore(0.0).lean(at).to_deg(), lean, NORMAL_DEG);
    }
}

/// What is checked, what the kernel gives, what it should be, tolerance, pedigree.
type Case = (&'static str, f64, f64, f64, &'static str);

fn bore_figures() -> Vec<Case> {
    let plain = bore(0.0);
    let arc = |to: f64| plain.arc(Angle::ZERO, Angle::deg(to)).to_mm();
    let between = |from: f64, to: f64| plain.arc(Angle::deg(from), Angle::deg(to)).to_mm();
    let radius_at = |t: f64| 1e3 / plain.curvature_per_m(Angle::deg(t));
    let axis = |t: f64| 2.0 * plain.point(Angle::deg(t)).radius().to_mm();
    vec![
        ("area of the unshifted bore", plain.area().to_mm2(), 36_756.634_05, 1e-4, TEXTBOOK),
        ("perimeter", plain.perimeter().to_mm(), 690.393_377_87, 1e-7, COMPUTED),
        ("arc to 30", arc(30.0), 75.587_255_47, 1e-7, COMPUTED),
        ("arc to 45", arc(45.0), 108.115_187_89, 1e-7, COMPUTED),
        ("arc to 60", arc(60.0), 135.053_324_83, 1e-7, COMPUTED),
        ("arc to 90", arc(90.0), 172.598_344_47, 1e-7, COMPUTED),
        ("area, shift 2", bore(2.0).area().to_mm2(), 38_149.987_17, 1e-4, COMPUTED),
        ("perimeter, shift 2", bore(2.0).perimeter().to_mm(), 702.959_748_48, 1e-4, COMPUTED),
        ("greatest lean", plain.greatest_lean().to_deg(), 25.376_934, 1e-6, TEXTBOOK),
        ("where it leans most", plain.greatest_lean_at().to_deg(), 57.688_467, 1e-6, TEXTBOOK),
        ("longest arc of 120", between(-60.0, 60.0), 270.106_649_66, 1e-7, COMPUTED),
        ("shortest arc of 120", between(30.0, 150.0), 194.022_178_00, 1e-7, COMPUTED),
        ("long axis", axis(0.0), 240.0, 1e-9, COMPUTED),
        ("short axis", axis(90.0), 180.0, 1e-9, COMPUTED),
        ("radius of curvature at 0", radius_at(0.0), 93.75, 1e-9, COMPUTED),
        ("radius of curvature at 90", radius_at(90.0), -120.0, 1e-9, COMPUTED),
    ]
}

fn flank_figures() -> Vec<Case> {
    let flank = flank_of(trochoid(0.0));
    let end = flank.point(Angle::ZERO).unwrap();
    let stopped = flank_of(trochoid(2.0)).point(Angle::ZERO).unwrap();
    let circle = flank.three_point_circle();
    vec![
        ("flank stops short of the apex radius", stopped.y.to_mm(), 0.857_143, 1e-6, COMPUTED),
        ("rotor area", flank.outline_area().to_mm2(), 23_060.370_02, 1e-4, COMPUTED),
        ("flank length", flank.length().to_mm(), 190.131_125_96, 1e-7, COMPUTED),
        ("middle of the flank", flank.middle_radius().to_mm(), 75.0, 1e-9, COMPUTED),
        ("end of the flank", end.radius().to_mm(), 105.0, 1e-9, COMPUTED),
        ("sagitta", circle.sagitta.to_mm(), 22.5, 1e-9, COMPUTED),
        ("radius of the three-point circle", circle.radius.to_mm(), 195.0, 1e-9, COMPUTED),
    ]
}

fn chamber_figures() -> Vec<Case> {
    let chamber = chamber_of(trochoid(0.0), 80.0);
    let narrow = chamber_of(trochoid(0.0), 70.0).swept_volume().to_cm3();
    let shifted = |a: f64| chamber_of(trochoid(a), 80.0);
    let theoretical = |k: f64| chamber_of(ratio(k, 0.0), 80.0).theoretical_ratio();
    let swept = |a: f64| shifted(a).swept_area().to_mm2();
    let volume = |a: f64| shifted(a).swept_volume_shifted().to_cm3();
    let mean = 0.5 * (chamber.greatest_area() + chamber.least_area()).to_mm2();
    // The trap: what is often written for the swept area with a shift, against the exact one.
    let off = 3.0 * 3f64.sqrt() * 15.0 * 107.0 - swept(2.0);
    vec![
        ("swept volume, b 80", chamber.swept_volume().to_cm3(), 654.715_205, 1e-6, TEXTBOOK),
        ("swept volume, b 70", narrow, 572.875_805, 1e-6, TEXTBOOK),
        ("greatest area", chamber.greatest_area().to_mm2(), 8_657.391_374, 1e-5, TEXTBOOK),
        ("least area", chamber.least_area().to_mm2(), 473.451_308, 1e-5, TEXTBOOK),
        ("ratio, K 6", theoretical(6.0), 15.608_04, 1e-5, COMPUTED),
        ("ratio, K 6.5", theoretical(6.5), 16.967_01, 1e-5, COMPUTED),
        ("ratio, K 7", theoretical(7.0), 18.285_71, 1e-5, COMPUTED),
        ("ratio, K 7.5", theoretical(7.5), 19.563_16, 1e-5, COMPUTED),
        ("ratio, K 8", theoretical(8.0), 20.799_13, 1e-5, COMPUTED),
        ("ratio, K 9", theoretical(9.0), 23.148_08, 1e-5, COMPUTED),
        ("ratio, K 10", theoretical(10.0), 25.338_66, 1e-5, COMPUTED),
        ("swept area, shift 1", swept(1.0), 8_260.024_54, 1e-4, COMPUTED),
        ("swept area, shift 2", swept(2.0), 8_336.109_01, 1e-4, COMPUTED),
        ("swept volume, shift 1", volume(1.0), 660.801_96, 1e-5, COMPUTED),
        ("swept volume, shift 2", volume(2.0), 666.888_72, 1e-5, COMPUTED),
        ("3√3e(R + a) too large by, mm2", off, 8_339.824_64 - 8_336.109_01, 1e-4, COMPUTED),
        ("the same, per cent", 100.0 * off / swept(2.0), 0.045, 5e-4, COMPUTED),
        ("ratio, shift 1", shifted(1.0).theoretical_ratio(), 18.304_194, 1e-5, COMPUTED),
        ("ratio, shift 2", shifted(2.0).theoretical_ratio(), 18.322_382, 1e-5, COMPUTED),
        ("ratio, shift 3", shifted(3.0).theoretical_ratio(), 18.340_279, 1e-5, COMPUTED),
        ("area at rotor angle 0", area_at_rotor_angle(0.0), 2_519.436_32, 1e-4, COMPUTED),
        ("area at rotor angle 15", area_at_rotor_angle(15.0), 1_021.671_34, 1e-4, COMPUTED),
        ("area at rotor angle 30", area_at_rotor_angle(30.0), 473.451_31, 1e-4, COMPUTED),
        ("area at rotor angle 45", area_at_rotor_angle(45.0), 1_021.671_34, 1e-4, COMPUTED),
        ("area at rotor angle 60", area_at_rotor_angle(60.0), 2_519.436_32, 1e-4, COMPUTED),
        ("area at rotor angle 75", area_at_rotor_angle(75.0), 4_565.421_34, 1e-4, COMPUTED),
        ("area at rotor angle 90", area_at_rotor_angle(90.0), 6_611.406_36, 1e-4, COMPUTED),
        ("area at rotor angle 105", area_at_rotor_angle(105.0), 8_109.171_34, 1e-4, COMPUTED),
        ("area at rotor angle 120", area_at_rotor_angle(120.0), 8_657.391_37, 1e-4, COMPUTED),
        ("mean chamber area", mean, 4_565.421_34, 1e-4, COMPUTED),
        ("amplitude of it", 0.5 * swept(0.0), 4_091.970_03, 1e-4, COMPUTED),
    ]
}

fn figures() -> Vec<Case> {
    [bore_figures(), flank_figures(), chamber_figures()].concat()
}

#[test]
fn single_figures() {
    for (what, got, wanted, tolerance, pedigree) in figures() {
        near(&format!("{what} ({pedigree})"), got, wanted, tolerance);
    }
}

const VALUES: &str = include_str!("../../../reference/trochoid/values.csv");

/// Depth of a plane that the reference integrates over a face, clipped at nothing.
fn plane(level_mm: f64, slope: f64, heading_deg: f64) -> impl Fn(Length, Length) -> Length + Copy {
    let (sin, cos) = Angle::deg(heading_deg).to_rad().sin_cos();
    move |x, y| (Length::mm(level_mm) + (x * cos + y * sin) * slope).max(Length::ZERO)
}

#[test]
fn values_by_other_means() {
    let mut lines = VALUES.lines();
    assert_eq!(lines.next(), Some("quantity,R,e,a,gap,at,to,value,tolerance,how"));
    for line in lines {
        let fields: Vec<&str> = line.splitn(10, ',').collect();
        let number = |i: usize| fields[i].parse::<f64>().unwrap();
        let length = |i: usize| Length::mm(number(i));
        let trochoid = Trochoid::new(length(1), length(2), length(3)).unwrap();
        let bore = Bore::of(trochoid);
        let flank = Flank::new(trochoid, length(4)).unwrap();
        let face = || {
            let sizes = SideFaceSizes { land_radius: length(5), rotor_tip_radius: length(6) };
            SideFace::new(flank, sizes, &[]).unwrap()
        };
        let got = match fields[0] {
            "bore_area" => bore.area().to_mm2(),
            "bore_length" => bore.perimeter().to_mm(),
            "bore_arc" => bore.arc(Angle::deg(number(5)), Angle::deg(number(6))).to_mm(),
            "outline_radius" => flank.outline_radius(Angle::deg(number(5))).to_mm(),
            "outline_area" => flank.outline_area().to_mm2(),
            "chamber_area" => chamber_of(trochoid, 80.0).area(Angle::deg(number(5))).to_mm2(),
            "face_area" => face().area().to_mm2(),
            "face_wedge" => face().quadrature().volume(plane(0.1, 1e-3, 25.0)).to_mm3(),
            "face_clipped" => {
                let (face, depth) = (face(), plane(0.0, 2e-3, 70.0));
                // What the usual nodes promise for a cut that ends on the axis.
                let usual = face.quadrature().volume(depth).to_mm3();
                near(line, usual, number(7), 2e-3 * number(7));
                let dense = NodeCounts { tip: 200, flank: 200, radial: 4 };
                face.quadrature_with(dense).unwrap().volume(depth).to_mm3()
            }
            other => panic!("{other} is not checked"),
        };
        near(line, got, number(7), number(8));
    }
}

#[test]
fn foreign_cases_only_rise() {
    let counted = FLANK.len() * 8 + BORE.len() * 5 + figures().len() + VALUES.lines().count() - 1;
    assert_eq!(counted, FOREIGN_CASES);
}
