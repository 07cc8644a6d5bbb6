//! What the person at the balancing machine should know before believing the figures.

use super::super::inputs::BalanceInputs;
use super::{BalanceReport, Basis};
use crate::build_file::Build;
use kernel::readings::{GUARD_FACTOR, Verdict};

/// A service speed beyond this share of the first critical speed does not leave a shaft rigid
/// (common practice, no source).
const RIGID: f64 = 0.7;
/// A guard that takes more than this share of what is permitted is too much.
const GUARD_SHARE: f64 = 0.5;
/// A counterweight further off than this share of what is needed was not made for these rotors.
const FAR_OFF: f64 = 0.1;

/// Counterweights' figures that differ from what was measured by more than this share of what is
/// needed were not said of these parts.
const CONTRADICTS: f64 = 0.03;
/// A bob weight that is off by more than this share of what is asked was misread.
const BOB_OFF: f64 = 0.05;
/// What spins weighs what was reckoned within this share, or one of them was misread.
const MASS_OFF: f64 = 0.25;
/// A face further from its correction plane than this, metres, is another part's.
const FACE_OFF_M: f64 = 0.05;
/// Metal still to be taken that is this share of what is permitted, in its throw, makes trial runs
/// of an engine as it was worth nothing.
const STILL_TO_CUT: f64 = 0.1;
/// Counterweights that need this many times what they balance are too near each other.
const LEVERED: f64 = 5.0;

pub(super) fn warnings(
    build: &Build,
    report: &BalanceReport,
    inputs: &BalanceInputs,
) -> Vec<String> {
    let mut found = Vec::new();
    convention(build, report, &mut found);
    rotors(report, &mut found);
    parts(report, inputs, &mut found);
    planes(report, &mut found);
    uncertainty(report, &mut found);
    trials(build, report, &mut found);
    if let Ok(critical) = &report.critical
        && critical.ratio > RIGID
    {
        found.push(format!(
            "the service speed is {:.0} % of the first critical speed: the grade presumes a shaft \
             that does not bend",
            100.0 * critical.ratio
        ));
    }
    found
}

/// A reading whose instrument nobody described may be taken the wrong way round.
fn convention(build: &Build, report: &BalanceReport, found: &mut Vec<String>) {
    let given = &build.balance.instrument;
    let reads = report.basis != Basis::Parts;
    let missing: Vec<&str> = [
        ("spot", given.spot.is_none() && report.machine.is_some()),
        ("angles", given.angles.is_none() && reads),
        ("zero", given.zero.is_none() && reads),
        ("phase", given.phase.is_none() && report.trials.is_some()),
    ]
    .into_iter()
    .filter_map(|(key, is_missing)| is_missing.then_some(key))
    .collect();
    if !missing.is_empty() {
        found.push(format!(
            "how the instrument counts is assumed ({} in [balance.instrument]): taken the wrong \
             way, metal comes off the wrong side. Put a known weight on at a known angle and see \
             what it shows",
            missing.join(", ")
        ));
    }
}

fn rotors(report: &BalanceReport, found: &mut Vec<String>) {
    for rotor in &report.rotors {
        let serial = &rotor.serial;
        if rotor.mass.assumed {
            found.push(format!(
                "rotor {serial} was not weighed: nothing that rests on its mass is proven"
            ));
        }
        if let (Some(before), Some(after)) = (rotor.mass.before_kg, rotor.mass.after_kg)
            && after > before
        {
            found
                .push(format!("rotor {serial} weighs more after its cut than before: weigh again"));
        }
        let Some(own) = &rotor.own else { continue };
        if own.read.disagrees {
            found.push(format!(
                "readings of rotor {serial} about its own bore disagree by more than their \
                 uncertainty: read it again"
            ));
        }
        if own.on_mandrel && own.read.mandrel_kg_m.is_none() {
            found.push(format!(
                "rotor {serial} was read in one position on its mandrel, so that the mandrel's own \
                 unbalance is in it: turn it by half a turn and read again"
            ));
        }
        if own.planned != Verdict::Conforms {
            found.push(format!(
                "rotor {serial} about its own bore, {}: {}",
                if rotor.take.is_empty() { "as it is" } else { "with that metal taken" },
                own.planned.words()
            ));
        }
    }
    let unread = report.rotors.iter().filter(|rotor| rotor.own.is_none()).count();
    if unread > 0 {
        found.push(format!(
            "{unread} of {} rotors were not read about their own bore, which no counterweight can \
             balance",
            report.rotors.len()
        ));
    }
    let [_, after_kg, allowed_kg] = report.spread_kg;
    if report.set_verdict != Verdict::Conforms {
        found.push(format!(
            "the rotors differ by {:.1} g and may by {:.1} g ({}); more than the pockets of the \
             file allow would have to be taken",
            1e3 * after_kg,
            1e3 * allowed_kg,
            report.set_verdict.words()
        ));
    }
}

/// Masses and counterweights that contradict each other.
fn parts(report: &BalanceReport, inputs: &BalanceInputs, found: &mut Vec<String>) {
    for (bob, rotor) in report.bobs.iter().zip(&report.rotors) {
        if let Some(used) = bob.used_kg
            && (used / bob.mass_kg - 1.0).abs() > BOB_OFF
        {
            found.push(format!(
                "the bob weight of {} was {:.0} g and is asked to be {:.0} g: was it misread?",
                rotor.serial,
                1e3 * used,
                1e3 * bob.mass_kg
            ));
        }
    }
    let rotors_kg: f64 = report.rotors.iter().map(|rotor| rotor.finished.mass_kg).sum();
    let reckoned_kg = inputs.shaft.mass_kg + rotors_kg;
    let weighed_kg = report.body.mass.to_kg();
    if report.body_weighed && (weighed_kg / reckoned_kg - 1.0).abs() > MASS_OFF {
        found.push(format!(
            "balance.mass says {weighed_kg:.1} kg; shaft, weights and rotors come to \
             {reckoned_kg:.1} kg"
        ));
    }
    for (k, plane) in report.planes.iter().enumerate() {
        let needed = plane.needed_kg_m.norm();
        if report.basis == Basis::Parts && plane.compared.excess_kg_m.norm() > FAR_OFF * needed {
            found.push(format!(
                "what the file says of the {} counterweight is far from what is needed: was it \
                 made for these rotors?",
                plane.name
            ));
        }
        let predicted = report.predicted.vectors_kg_m[k];
        let off = (predicted - plane.found_kg_m).norm();
        if report.basis != Basis::Parts && report.is_known(k) && off > CONTRADICTS * needed {
            found.push(format!(
                "in the {} plane the parts come to {:.0} g\u{b7}mm at {:.0} deg too much, and {} to \
                 {:.0} g\u{b7}mm at {:.0} deg: look at throws, bob weights, the zero of the angles and \
                 the counterweight's figures before drilling",
                plane.name,
                1e6 * predicted.norm(),
                predicted.arg().to_degrees().rem_euclid(360.0),
                report.basis.words(),
                1e6 * plane.found_kg_m.norm(),
                plane.found_kg_m.arg().to_degrees().rem_euclid(360.0)
            ));
        }
    }
    let needed = report.planes.iter().map(|plane| plane.needed_kg_m.norm()).fold(0.0, f64::max);
    if needed > LEVERED * report.thrown_kg_m {
        found.push(
            "the correction planes lie so near each other that the counterweights need many times \
             what they balance: are balance.front.at and balance.rear.at right?"
                .to_owned(),
        );
    }
}

fn planes(report: &BalanceReport, found: &mut Vec<String>) {
    for (k, plane) in report.planes.iter().enumerate() {
        let name = plane.name;
        if let Some(face_m) = plane.face_m.filter(|m| (m - plane.at_m).abs() > FACE_OFF_M) {
            found.push(format!(
                "the face that is drilled for the {name} plane lies {:.0} mm from it: is \
                 balance.{name}.place.face_at right?",
                1e3 * (face_m - plane.at_m).abs()
            ));
        }
        if let Some(why) = plane.withheld {
            found.push(format!("{name} plane {why}; nothing is worked out for it"));
        } else if plane.done.is_some() && !plane.reached {
            let nothing = plane.done.as_ref().is_some_and(Vec::is_empty);
            found.push(format!(
                "the {name} counterweight is NOT BROUGHT WITHIN at the places of the file{}: other \
                 places, slugs, added mass opposite, or another counterweight are needed",
                if nothing { ", none of which helps" } else { "; what comes nearest is shown" }
            ));
        } else if plane.done.is_none() && !plane.reached && report.is_known(k) {
            found.push(format!(
                "the {name} counterweight needs correction, and the file names no place for it \
                 ([[balance.{name}.place]])"
            ));
        }
    }
}

fn uncertainty(report: &BalanceReport, found: &mut Vec<String>) {
    for (k, name) in ["front", "rear"].into_iter().enumerate() {
        let guard = GUARD_FACTOR * report.found.in_tolerance.u_kg_m(k);
        let share = guard / report.permitted.planes_kg_m[k];
        if share > GUARD_SHARE {
            let how_much = if share > 1.0 {
                "more than all".to_owned()
            } else {
                format!("{:.0} %", 100.0 * share)
            };
            let cure = match report.basis {
                Basis::Trials | Basis::RunAfter => {
                    "more runs, larger trial weights, steadier readings"
                }
                _ => "a better machine or scale, mass centres known better",
            };
            found.push(format!(
                "in the {name} tolerance plane the uncertainty takes {how_much} of what is \
                 permitted: {cure}, or a coarser grade"
            ));
        }
    }
}

fn trials(build: &Build, report: &BalanceReport, found: &mut Vec<String>) {
    let Some(trials) = &report.trials else { return };
    found.extend(trials.warnings.iter().map(|warning| format!("trial runs: {warning}")));
    let e_m = build.engine.eccentricity.to_m();
    for rotor in &report.rotors {
        let still_kg = rotor.still_to_take_kg;
        let share = still_kg * e_m / report.permitted.total_kg_m;
        if matches!(report.basis, Basis::Trials | Basis::RunAfter) && share > STILL_TO_CUT {
            found.push(format!(
                "rotor {} still loses {:.1} g by its plan, {:.0} g\u{b7}mm in its throw: trial runs with \
                 the rotor as it was do not balance the engine as it will be",
                rotor.serial,
                1e3 * still_kg,
                1e6 * still_kg * e_m
            ));
        }
    }
    if build.balance.measured.is_some() || build.balance.after.is_some() {
        found.push(
            "the file has both readings of a machine and trial runs; the machine's are used, the \
             runs are solved beside them"
                .to_owned(),
        );
    }
}
