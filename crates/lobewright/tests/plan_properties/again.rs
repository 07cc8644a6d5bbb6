//! A set that was cut as planned and is measured again needs nothing more.

use super::shop::shop;
use super::{Planned, for_each, promised};
use kernel::readings::Heights;
use kernel::units::Length;
use lobewright::build_file::model::RotorReadings;
use lobewright::build_file::{Build, read, write};
use std::cell::Cell;

/// Readings that a rotor with these heights gives to gauges without error, of the same kinds as
/// were taken before.
fn exact(heights: &Heights, kinds: &RotorReadings) -> RotorReadings {
    let runout = |land: [Length; 3]| land.map(|height| height - land[0]);
    RotorReadings {
        land_width: heights.land_width(),
        gear_step: heights.gear.step(),
        plain_step: heights.plain.step(),
        tip_width: kinds.tip_width.map(|_| heights.tip_width()),
        gear_runout: kinds.gear_runout.map(|_| runout(heights.gear.land)),
        plain_runout: kinds.plain_runout.map(|_| runout(heights.plain.land)),
        ..kinds.clone()
    }
}

/// A cut below this is rounding of the adjustment, not stock.
const NOTHING_MM: f64 = 1e-7;

/// Whether the rules promise that a set is left alone: a rotor that is proven right is not cut,
/// and an aim is met once it is met. A set that was searched and is not proven, mostly because
/// its side clearances differ by the whole of `match`, may be given another plan.
fn is_settled(first: &Planned, again: &Planned) -> bool {
    let conform = |p: &Planned| {
        p.json["match"]["verdict"] == "conforms"
            && p.json["rotors"].as_array().unwrap().iter().all(|r| r["verdict"] == "conforms")
    };
    first.json["method"] == "aimed" || (conform(first) && conform(again))
}

fn nothing_is_left(first: &Planned, again: &Planned) {
    promised::check(again);
    assert!(again.report.feasible, "{:?}", again.report.limiting);
    if !is_settled(first, again) {
        return;
    }
    for rotor in &again.report.rotors {
        let left = rotor.plan.cut.sum_of_depths().to_mm();
        assert!(left < NOTHING_MM, "{left} mm left on {}: {:?}", rotor.serial, rotor.plan.cut);
    }
}

/// Through the file as well: what is written is read the same.
fn planned(build: Build) -> Planned {
    let back = read(&write(&build)).unwrap();
    assert_eq!(back, build);
    Planned::of(back)
}

#[test]
fn a_finished_set_brought_again_is_left_as_it_is() {
    let (checked, settled) = (Cell::new(0), Cell::new(0));
    for_each(CASES, 2, shop(), |shop| {
        let first = Planned::of_shop(&shop);
        if !first.report.feasible {
            return;
        }
        checked.set(checked.get() + 1);
        let mut build = first.build.clone();
        for (rotor, report) in build.rotors.iter_mut().zip(&first.report.rotors) {
            rotor.readings = exact(&report.plan.finished, &rotor.readings);
        }
        let again = planned(build);
        nothing_is_left(&first, &again);
        settled.set(settled.get() + u32::from(is_settled(&first, &again)));
    });
    assert!(checked.get() > 100 && settled.get() > 80, "{} {}", checked.get(), settled.get());
}

#[test]
fn a_finished_set_measured_after_cutting_needs_no_second_cut() {
    let (checked, settled) = (Cell::new(0), Cell::new(0));
    for_each(CASES, 3, shop(), |shop| {
        let first = Planned::of_shop(&shop);
        if !first.report.feasible {
            return;
        }
        checked.set(checked.get() + 1);
        let mut build = first.build.clone();
        for (rotor, report) in build.rotors.iter_mut().zip(&first.report.rotors) {
            rotor.after = Some(exact(&report.plan.finished, &rotor.readings));
        }
        let again = planned(build);
        nothing_is_left(&first, &again);
        if !is_settled(&first, &again) {
            return;
        }
        settled.set(settled.get() + 1);
        for rotor in again.json["rotors"].as_array().unwrap() {
            assert_eq!(rotor["verdict_of"], "measured");
            assert_eq!(rotor["measured"]["second_cut"], false);
            for size in rotor["measured"]["off_plan"].as_array().unwrap() {
                assert!(size["off_mm"].as_f64().unwrap().abs() < NOTHING_MM, "{size}");
            }
        }
    });
    assert!(checked.get() > 100 && settled.get() > 80, "{} {}", checked.get(), settled.get());
}

const CASES: u32 = 200;
