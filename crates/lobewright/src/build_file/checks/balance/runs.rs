//! Runs: trial weights that weigh something, and the same sensors in every run, each showing a
//! vector of one kind.

use super::super::speed::count_within;
use super::super::{keys, repeated};
use super::each_its_own;
use crate::build_file::model::balance::Shown;
use crate::build_file::walk::Walk;
use crate::build_file::wording::quoted;
use kernel::units::Unbalance;
use std::collections::HashMap;

/// Most sensors of a run.
const MOST_SENSORS: usize = 12;
/// What a sensor can show.
const KINDS: [&str; 2] = ["amplitude", "velocity"];

/// A trial weight is one.
pub(in crate::build_file) fn trial(t: &Walk<'_, '_>, trial: Option<Shown>) {
    if trial.is_some_and(|trial| trial.amount == Unbalance::ZERO) {
        let what = "a trial weight of nothing".to_owned();
        let hint = "write what was on; in a run without one leave front or rear out".to_owned();
        t.wrong("amount", what, "an amount above 0 g mm".to_owned(), Some(hint));
    }
}

/// A run after correction has no trial weights: it tells what is left.
pub(in crate::build_file) fn no_trial_after(t: &Walk<'_, '_>, after_correction: bool) {
    for key in ["front", "rear"].into_iter().filter(|key| after_correction && t.has(key)) {
        t.wrong(
            key,
            "a trial weight in a run after correction".to_owned(),
            "none: its readings are what the correction left".to_owned(),
            None,
        );
    }
}

/// A run has sensors.
pub(in crate::build_file) fn some_sensors(t: &Walk<'_, '_>) {
    if !t.has("sensors") {
        t.missing("sensors", || {
            "sensors = [{ name = \"front main\", amplitude = \"12.1 um\", phase = \"63 deg\" }, ...]"
                .to_owned()
        });
    }
    count_within(t, "sensors", 1..=MOST_SENSORS, ("sensor", ""));
}

/// One amplitude of one kind, and the phase that makes it a vector.
pub(in crate::build_file) fn one_vector(t: &Walk<'_, '_>) {
    match KINDS.map(|key| t.has(key)) {
        [true, true] => {
            let what = "velocity beside amplitude".to_owned();
            t.wrong("velocity", what, "one of the two".to_owned(), None);
        }
        [false, false] if !t.is_misspelled("velocity") => t.missing("amplitude", || {
            "amplitude = \"12.1 um\", or velocity = \"4.1 mm/s\"".to_owned()
        }),
        _ => {}
    }
    if !t.has("phase") {
        t.missing("phase", || {
            "phase = \"63 deg\": a vibration without its phase is no vector".to_owned()
        });
    }
}

/// Each sensor once in a run, the same ones in every run, each of one kind throughout.
pub(in crate::build_file) fn sensors(runs: &[Walk<'_, '_>], sensors: &[Vec<Walk<'_, '_>>]) {
    for (walk, name, first) in sensors.iter().flat_map(|walks| repeated(walks, "name")) {
        let what = format!("{} is also the name of sensor {first} of this run", quoted(name));
        walk.wrong("name", what, "each sensor once in a run".to_owned(), None);
    }
    same_kind(sensors);
    let mut named = runs.iter().zip(sensors).enumerate().filter_map(|(i, (run, walks))| {
        let names = each_its_own(walks.iter().map(|walk| walk.text_of("name")));
        let all = run.count_of("sensors") == Some(walks.len()) && !walks.is_empty();
        names.filter(|_| all).map(|names| (i + 1, run, walks, names))
    });
    let Some((first, _, _, known)) = named.next() else { return };
    for (number, run, walks, names) in named {
        let mut missing: Vec<&str> = known.clone();
        missing.retain(|name| !names.contains(name));
        for (walk, name) in walks.iter().zip(&names).filter(|(_, name)| !known.contains(name)) {
            let near = keys::nearest(name, missing.iter().copied());
            // One slip, one problem: the one that was meant is not missed as well.
            missing.retain(|name| Some(*name) != near);
            let what = format!("run {first} has no sensor {}", quoted(name));
            let hint = near.map(|near| format!("did you mean {near:?}?"));
            walk.wrong("name", what, "the same sensors in every run".to_owned(), hint);
        }
        for name in missing {
            let what = format!("sensor {} of run {first} is missing in run {number}", quoted(name));
            run.wrong("sensors", what, "the same sensors in every run".to_owned(), None);
        }
    }
}

/// What a sensor shows in one run it shows in all.
fn same_kind(sensors: &[Vec<Walk<'_, '_>>]) {
    let mut kinds: HashMap<&str, (&str, usize)> = HashMap::new();
    for (i, walk) in sensors.iter().enumerate().flat_map(|(i, w)| w.iter().map(move |w| (i, w))) {
        let (Some(name), [Some(kind), None] | [None, Some(kind)]) =
            (walk.text_of("name"), KINDS.map(|key| walk.has(key).then_some(key)))
        else {
            continue;
        };
        let (before, run) = *kinds.entry(name).or_insert((kind, i + 1));
        if kind != before {
            let what = format!("{kind} of {}, which shows {before} in run {run}", quoted(name));
            walk.wrong(kind, what, "the same of the two in every run".to_owned(), None);
        }
    }
}
