//! What the person at the balancing machine should know before believing the figures.

use super::super::inputs::BalanceInputs;
use super::{BalanceReport, Basis};
use kernel::readings::GUARD_FACTOR;

/// A service speed beyond this share of the first critical speed does not leave a shaft rigid
/// (common practice, no source).
const RIGID: f64 = 0.7;
/// A guard that takes more than this share of what is permitted is too much.
const GUARD_SHARE: f64 = 0.5;
/// A counterweight further off than this share of what is needed was not made for these rotors.
const FAR_OFF: f64 = 0.1;

pub(super) fn warnings(report: &BalanceReport, inputs: &BalanceInputs) -> Vec<String> {
    let mut found = Vec::new();
    for rotor in &report.rotors {
        if rotor.own.is_some_and(|own| own.read.disagrees) {
            found.push(format!(
                "readings of rotor {} about its own bore disagree by more than their uncertainty: \
                 read it again",
                rotor.serial
            ));
        }
        if rotor.mass.assumed {
            found.push(format!("rotor {} was not weighed", rotor.serial));
        }
    }
    let [_, after_kg, allowed_kg] = report.spread_kg;
    if after_kg > allowed_kg * (1.0 + 1e-9) + 1e-9 {
        found.push(format!(
            "the rotors differ by {:.1} g and may by {:.1} g; the pockets that the file names do \
             not allow more to be taken",
            1e3 * after_kg,
            1e3 * allowed_kg
        ));
    }
    for plane in &report.planes {
        let needed = plane.needed_kg_m.norm();
        if report.basis == Basis::Parts && plane.compared.excess_kg_m.norm() > FAR_OFF * needed {
            found.push(format!(
                "what the file says of the {} counterweight is far from what is needed: was it \
                 made for these rotors?",
                plane.name
            ));
        }
        if plane.done.is_some() && !plane.reached {
            found.push(format!(
                "no correction at the places of the {} counterweight brings it within; what comes \
                 nearest is shown: more places, slugs or another counterweight are needed",
                plane.name
            ));
        }
    }
    for (k, name) in ["front", "rear"].into_iter().enumerate() {
        let guard = GUARD_FACTOR * report.found.in_tolerance.u_kg_m[k];
        if guard > GUARD_SHARE * report.permitted.planes_kg_m[k] {
            found.push(format!(
                "in the {name} tolerance plane the uncertainty takes {:.0} % of what is permitted: \
                 a better machine, scale or mass centre, or a coarser grade",
                100.0 * guard / report.permitted.planes_kg_m[k]
            ));
        }
    }
    if let Ok(critical) = &report.critical
        && critical.ratio > RIGID
    {
        found.push(format!(
            "the service speed is {:.0} % of the first critical speed: the grade presumes a shaft \
             that does not bend",
            100.0 * critical.ratio
        ));
    }
    if let Some(trials) = &report.trials {
        found.extend(trials.warnings.iter().map(|warning| format!("trial runs: {warning}")));
        if report.basis == Basis::Trials && trials.planes.len() < 2 {
            found.push(
                "only one plane was tried: the couple stays what it was, and nothing is said of \
                 the other plane"
                    .to_owned(),
            );
        }
    }
    let unknown = inputs.rotors.iter().filter(|rotor| rotor.read.is_none()).count();
    if unknown > 0 {
        found.push(format!(
            "{unknown} of {} rotors were not read about their own bore, which no counterweight can \
             balance",
            inputs.rotors.len()
        ));
    }
    found
}
