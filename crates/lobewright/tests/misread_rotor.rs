//! A rotor whose readings disagree is shown as it was read: every figure of it belongs to the
//! heights it has, none to a plan that it does not get.

use kernel::units::System;
use lobewright::build_file::read;
use lobewright::ops::plan;

const EXAMPLE: &str = include_str!("../../../examples/sprint-boat.toml");

#[test]
fn what_it_needs_is_what_it_needs_as_it_is() {
    // A tip width 40 µm too large: the lands could well be planned.
    let text = EXAMPLE.replace("\"79.735 mm\"", "\"79.775 mm\"");
    let report = plan(&read(&text).unwrap(), System::Metric).unwrap();
    assert!(!report.feasible);
    let (misread, sound) = (&report.rotors[0], &report.rotors[1]);
    assert!(!misread.planned && misread.plan.cut.is_nothing() && sound.planned);
    // Cold: (99/61 − 1) half the clearance between the widest housing, 80.014, and the lands.
    let heights = misread.now.heights;
    assert_eq!(misread.plan.finished, heights);
    // What counts is the land under a tip and the opposite land across the axis.
    let lands = [heights.gear.land, heights.plain.land].map(|face| face.map(|h| h.to_mm()));
    let mean = |face: &[f64; 3]| face.iter().sum::<f64>() / 3.0;
    let across = [(&lands[0], &lands[1]), (&lands[1], &lands[0])]
        .into_iter()
        .flat_map(|(own, other)| (0..3).map(move |k| own[k] + 2.0 * mean(other) - other[k]));
    let narrowest = across.fold(f64::INFINITY, f64::min);
    let needed = (99.0 / 61.0 - 1.0) * (80.014 - narrowest) / 2.0;
    assert!((misread.plan.step_needed.to_mm() - needed).abs() < 1e-9);
    assert!(misread.plan.step_needed_hot > misread.plan.step_needed);
}
