//! The pictures of a balance: each counterweight with what is done to it, the vectors of each
//! plane, and of each sensor of trial runs.

use super::super::picture::{Picture, file_stem, sentence};
use super::super::plan::PlanReport;
use super::planes::{PlaceLine, PlaneReport};
use super::trials::{SensorLine, SpeedLine, TrialsReport};
use super::{BalanceReport, Basis, Done};
use crate::build_file::Build;
use crate::build_file::model::balance::{CorrectionPlane, How, Place};
use drawings::{
    BalanceArrow, BalanceVectors, CorrectionPlace, CounterweightFace, Options, Origin, PlaceKind,
    SeenFrom, Throw, ToleranceCircle, UnbalanceOf, VectorKind, Work,
};
use kernel::balance::Complex;
use kernel::units::System;

/// An arrow shorter than this share of the first one is the rounding of sums.
const SEEN: f64 = 1e-9;
/// How large a mass that is fixed on is drawn: a washer's width.
const ADDED_ACROSS_MM: f64 = 12.0;
/// Gram millimetres in a kilogram metre.
const G_MM: f64 = 1e6;
/// What every picture of a counterweight says.
const CAUTION: &str = "A shaft that spins throws what is loose: guard closed, bob weights and slugs \
                       locked, nobody in the plane of rotation. Spin again after correction.";

/// All pictures of a balance.
#[must_use]
pub fn balance_pictures(
    build: &Build,
    plan: &PlanReport,
    report: &BalanceReport,
    first: System,
) -> Vec<Picture> {
    let options = |name: &str| Options { system: first, id: Some(name.to_owned()) };
    let mut all = Vec::new();
    let mut add = |name: String, draw: &dyn Fn(&Options) -> (String, String)| {
        let (svg, csv) = draw(&options(&name));
        all.push(Picture { name, svg, csv });
    };
    let housings: Vec<&str> = plan.rotors.iter().map(|rotor| rotor.housing.as_str()).collect();
    let origin = Origin {
        build: report.build.clone(),
        housing: housings.join(", "),
        spec: plan.spec_name.clone(),
    };
    let given = [build.balance.front.as_ref(), build.balance.rear.as_ref()];
    for (plane, given) in report.planes.iter().zip(given) {
        let vectors = plane_vectors(report, plane, &origin);
        let name = format!("balance-{}-vectors", plane.name);
        add(name, &|options| (vectors.svg(options), vectors.csv()));
        if let Some(given) = given.filter(|given| !given.places.is_empty()) {
            let face = face(build, report, plane, given, &origin);
            let name = format!("balance-{}-counterweight", plane.name);
            add(name, &|options| (face.svg(options), face.csv()));
        }
    }
    if let Some(trials) = &report.trials {
        for (s, speed) in trials.speeds.iter().enumerate() {
            for (index, sensor) in speed.sensors.iter().enumerate() {
                let vectors = sensor_vectors(report, trials, speed, sensor, &origin);
                let stem = file_stem(index, &sensor.name);
                let name = format!("balance-trial-{}-{stem}", s + 1);
                add(name, &|options| (vectors.svg(options), vectors.csv()));
            }
        }
    }
    all
}

fn pair(vector: Complex<f64>) -> (f64, f64) {
    (vector.re, vector.im)
}

fn degrees(vector: Complex<f64>) -> f64 {
    vector.arg().to_degrees().rem_euclid(360.0)
}

fn arrow(kind: VectorKind, name: &str, from: Complex<f64>, to: Complex<f64>) -> BalanceArrow {
    BalanceArrow { kind, name: name.to_owned(), from: pair(from), to: pair(to) }
}

/// What is there, what is done, what is left, in one plane.
fn plane_vectors(report: &BalanceReport, plane: &PlaneReport, origin: &Origin) -> BalanceVectors {
    let zero = Complex::new(0.0, 0.0);
    let g_mm = |vector: Complex<f64>| vector * G_MM;
    let mut arrows = Vec::new();
    if report.basis == Basis::Parts {
        arrows.push(arrow(VectorKind::Needed, "needed", zero, g_mm(plane.needed_kg_m)));
        arrows.push(arrow(VectorKind::Present, "present", zero, g_mm(plane.present_kg_m)));
    }
    arrows.push(arrow(VectorKind::AsFound, "too much", zero, g_mm(plane.found_kg_m)));
    let mut at = plane.found_kg_m;
    for done in plane.done.iter().flatten() {
        let next = at - done.operation.removes_kg_m;
        let name = format!("operation {}", done.number);
        arrows.push(arrow(VectorKind::Correction, &name, g_mm(at), g_mm(next)));
        at = next;
    }
    if plane.done.as_ref().is_some_and(|done| !done.is_empty()) {
        arrows.push(arrow(VectorKind::LeftOver, "after them", zero, g_mm(plane.left_kg_m)));
    }
    BalanceVectors {
        title: format!("Unbalance in the {} correction plane", plane.name),
        origin: origin.clone(),
        seen_from: seen_from(plane),
        unit: "g mm".to_owned(),
        zero_name: "throw of rotor 1".to_owned(),
        arrows,
        tolerance: Some(ToleranceCircle {
            name: "permitted in this plane".to_owned(),
            radius: G_MM * plane.permitted_kg_m,
        }),
        notes: notes(
            report,
            plane,
            "arrows point to the heavy side; remove metal there, or add it opposite",
        ),
    }
}

/// From where a counterweight is seen: from the side that is drilled, else from outside.
fn seen_from(plane: &PlaneReport) -> SeenFrom {
    match plane.face_m {
        Some(face_m) if face_m > plane.at_m => SeenFrom::Rear,
        None if plane.name == "rear" => SeenFrom::Rear,
        _ => SeenFrom::Front,
    }
}

/// What is said under every picture of a plane, whether it holds first.
fn notes(report: &BalanceReport, plane: &PlaneReport, more: &str) -> Vec<String> {
    let holds = match plane.withheld {
        Some(why) => format!("{} plane {why}", plane.name),
        None if plane.reached => "within what is permitted, with what is to be done".to_owned(),
        None => "NOT WITHIN what is permitted".to_owned(),
    };
    let convention = &report.convention;
    let counts = format!(
        "the machine points to the {} spot and counts {}, its zero {:.1} deg from the throw of \
         rotor 1",
        convention.spot.name(),
        convention.angles.name(),
        convention.zero_rad.to_degrees()
    );
    let rests = format!("rests on: {}", report.basis.words());
    [holds.as_str(), rests.as_str(), counts.as_str(), more].map(sentence).to_vec()
}

/// The runs of one sensor at one speed.
fn sensor_vectors(
    report: &BalanceReport,
    trials: &TrialsReport,
    speed: &SpeedLine,
    sensor: &SensorLine,
    origin: &Origin,
) -> BalanceVectors {
    let zero = Complex::new(0.0, 0.0);
    let mut arrows = vec![arrow(VectorKind::AsFound, "no trial weight", zero, sensor.baseline)];
    for (number, reading) in &sensor.runs {
        let name = format!("run {number}");
        arrows.push(arrow(VectorKind::WithTrial, &name, zero, *reading));
        arrows.push(arrow(VectorKind::EffectOfTrial, &name, sensor.baseline, *reading));
    }
    let mut at = sensor.baseline;
    for (plane, coefficient) in trials.planes.iter().zip(&sensor.coefficients) {
        let name = if *plane == 0 { "front correction" } else { "rear correction" };
        // By what is really done where that rests on these runs, else by what would be best.
        let done = match report.basis {
            Basis::Trials => {
                report.planes[*plane].left_kg_m - trials.unbalance.vectors_kg_m[*plane]
            }
            _ => -trials.unbalance.vectors_kg_m[*plane],
        };
        let next = at + coefficient * done;
        arrows.push(arrow(VectorKind::Correction, name, at, next));
        at = next;
    }
    if sensor.expected.norm() > SEEN * sensor.baseline.norm() {
        arrows.push(arrow(VectorKind::LeftOver, "expected", zero, sensor.expected));
    }
    BalanceVectors {
        title: format!("Trial runs at {:.0} rpm, {}", speed.speed.to_rpm(), sensor.name),
        origin: origin.clone(),
        seen_from: SeenFrom::Front,
        unit: sensor.unit.to_owned(),
        zero_name: "mark at the pick-up".to_owned(),
        arrows,
        tolerance: None,
        notes: vec![sentence(&format!(
            "phases are drawn as leads, the instrument shows a {}",
            report.convention.phase.name()
        ))],
    }
}

/// The counterweight with its places and what is done there.
fn face(
    build: &Build,
    report: &BalanceReport,
    plane: &PlaneReport,
    given: &CorrectionPlane,
    origin: &Origin,
) -> CounterweightFace {
    let throws = build.at_speed.shaft.as_ref().and_then(|shaft| shaft.throws.as_ref());
    let unbalance = |vector: Complex<f64>| UnbalanceOf {
        amount_g_mm: G_MM * vector.norm(),
        angle_deg: degrees(vector),
    };
    let words = given.places.iter().flat_map(|place| place.angles.iter().map(move |_| place));
    let places = words
        .zip(&plane.places)
        .enumerate()
        .map(|(index, (words, PlaceLine { angle_rad, radius_m, .. }))| {
            let done = plane.done.iter().flatten().find(|done| done.operation.place == index);
            CorrectionPlace {
                number: index + 1,
                kind: kind(words.how),
                angle_deg: angle_rad.to_degrees().rem_euclid(360.0),
                radius_mm: 1e3 * radius_m,
                across_mm: across_mm(given, words),
                work: done.map(|done| work(report, done)),
            }
        })
        .collect();
    CounterweightFace {
        plane: plane.name.to_owned(),
        weight: plane.weight.clone().unwrap_or_else(|| "counterweight".to_owned()),
        origin: origin.clone(),
        seen_from: seen_from(plane),
        throws: throws
            .map(|throws| {
                throws
                    .iter()
                    .enumerate()
                    .map(|(index, throw)| Throw { rotor: index + 1, angle_deg: throw.to_deg() })
                    .collect()
            })
            .unwrap_or_else(|| vec![Throw { rotor: 1, angle_deg: 0.0 }]),
        before: Some(unbalance(plane.found_kg_m)),
        after: plane.done.as_ref().map(|_| unbalance(plane.left_kg_m)),
        tolerance_g_mm: Some(G_MM * plane.permitted_kg_m),
        machine_zero_deg: Some(report.convention.zero_rad.to_degrees().rem_euclid(360.0)),
        places,
        caution: Some(CAUTION.to_owned()),
        notes: notes(report, plane, "a hole is where it is seen from this side"),
    }
}

const fn kind(how: How) -> PlaceKind {
    match how {
        How::FaceHole => PlaceKind::HoleAlong,
        How::RimHole => PlaceKind::HoleInRim,
        How::Slug => PlaceKind::Slug,
        How::Flat => PlaceKind::Flat,
        How::Added => PlaceKind::Added,
    }
}

/// What a place is drawn as wide as: its widest drill, the flat's chord, or nothing known.
fn across_mm(given: &CorrectionPlane, place: &Place) -> f64 {
    let widest = given.drills.iter().map(|drill| drill.to_mm()).fold(0.0, f64::max);
    match (place.how, place.deepest) {
        (How::Flat, Some(deepest)) => {
            let (r, t) = (place.radius.to_mm(), deepest.to_mm());
            2.0 * (2.0 * r * t - t * t).max(0.0).sqrt()
        }
        (How::Added, _) => ADDED_ACROSS_MM,
        _ => widest,
    }
}

fn work(report: &BalanceReport, done: &Done) -> Work {
    let operation = &done.operation;
    let mm = |m: Option<f64>| m.map(|m| 1e3 * m);
    Work {
        number: done.number,
        text: done.in_words(),
        diameter_mm: mm(operation.diameter_m),
        depth_mm: mm(operation.depth_m),
        point_depth_mm: mm(operation.tip_depth_m),
        mass_g: 1e3 * operation.taken_off_kg.abs(),
        machine_deg: Some(report.on_machine_deg(Complex::cis(done.angle_rad))),
    }
}
