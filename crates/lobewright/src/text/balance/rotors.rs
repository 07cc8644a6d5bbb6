//! Rotors: what to take from which and where, first; all that is known of each, last.

use super::super::page::Page;
use super::{alone, degrees, grams, planned, turn_deg, unbalance, vector};
use crate::ops::{BalanceReport, RotorBalance};
use kernel::units::{Length, System};

/// What to take, one rotor after the other.
pub(super) fn take(page: &mut Page, report: &BalanceReport) {
    let with_own = |rotor: &RotorBalance| {
        rotor.own.as_ref().map_or_else(String::new, |own| {
            format!(
                ", about its own bore {} of {} ({})",
                unbalance(page, rotor.finished.unbalance_kg_m.norm()),
                unbalance(page, rotor.own_permitted_kg_m),
                planned(own.planned, !rotor.take.is_empty())
            )
        })
    };
    let lines: Vec<(String, Vec<String>)> = report
        .rotors
        .iter()
        .map(|rotor| {
            let mass = grams(rotor.finished.mass_kg);
            if rotor.take.is_empty() {
                let text = format!(
                    "{}: nothing; with all that it carries {mass}{}",
                    rotor.serial,
                    with_own(rotor)
                );
                return (text, Vec::new());
            }
            let text = format!(
                "{}: TAKE {}, after its cut and before it is weighed again",
                rotor.serial,
                grams(rotor.dressed.mass_kg - rotor.finished.mass_kg)
            );
            let mut below: Vec<String> = rotor
                .take
                .iter()
                .map(|taken| {
                    format!(
                        "{} from {}: {:.1} deg from tip 1 towards tip 2, radius {}",
                        grams(taken.mass_kg),
                        taken.pocket,
                        turn_deg(taken.angle_rad.to_degrees()),
                        radius(page, taken.radius_m)
                    )
                })
                .collect();
            below.push(format!(
                "then {mass} with all that it carries{}; its inertia about its axis has lost {:.1} \
                 kg\u{b7}mm\u{b2} with cut and pockets",
                with_own(rotor),
                -1e6 * rotor.finished.polar_change_kg_m2
            ));
            (text, below)
        })
        .collect();
    for (text, below) in lines {
        page.say(2, &text);
        for line in below {
            page.say(4, &line);
        }
    }
    if report.rotors.len() > 1 {
        let [before, after, allowed] = report.spread_kg;
        page.say(
            2,
            &format!(
                "The set: rotors differ by {} as they are, by {} with that taken; {} is allowed.",
                grams(before),
                grams(after),
                grams(allowed)
            ),
        );
    }
}

fn radius(page: &Page, m: f64) -> String {
    match page.first {
        System::Metric => format!("{:.1} mm", 1e3 * m),
        System::Inch => format!("{:.3} in", Length::m(m).to_inch()),
    }
}

/// Weighings, what is carried, mass centre and own bore of each.
pub(super) fn in_full(page: &mut Page, report: &BalanceReport) {
    for rotor in &report.rotors {
        one(page, report, rotor);
    }
}

fn one(page: &mut Page, report: &BalanceReport, rotor: &RotorBalance) {
    let mass = &rotor.mass;
    let known = |kg: Option<f64>| kg.map_or_else(|| "not weighed".to_owned(), grams);
    let assumed = if mass.assumed {
        format!(" (taken to be {})", grams(mass.used_kg))
    } else {
        String::new()
    };
    let side = match rotor.dressed.mass_centre_m {
        m if m < 0.0 => " towards the plain face",
        m if m > 0.0 => " towards the gear face",
        _ => "",
    };
    page.say(
        2,
        &format!(
            "{}: before its cut {}{assumed}, after it predicted {}, on the scale {}. With all that \
             it carries {}, mass centre {} from the mid-plane{side}.",
            rotor.serial,
            known(mass.before_kg),
            mass.predicted_kg.map_or_else(|| "not known".to_owned(), grams),
            known(mass.after_kg),
            grams(rotor.dressed.mass_kg),
            page.amount(Length::m(rotor.dressed.mass_centre_m.abs())),
        ),
    );
    if !rotor.carried.is_empty() {
        let items: Vec<String> = rotor
            .carried
            .iter()
            .map(|item| {
                let how = if item.with_rotor { ", weighed with it" } else { "" };
                format!("{} {}{how}", item.name, grams(item.mass_kg))
            })
            .collect();
        page.say(4, &format!("carries {}", items.join("; ")));
    }
    let permitted = unbalance(page, rotor.own_permitted_kg_m);
    let grade = format!("grade {} at a third of the shaft's speed", report.rotor_grade);
    let text = match &rotor.own {
        None => format!(
            "about its own bore: not read; the cut shifts it by {} at {:.1} deg, {permitted} may be \
             left ({grade})",
            unbalance(page, rotor.cut_shift_kg_m.norm()),
            degrees(rotor.cut_shift_kg_m)
        ),
        Some(own) => {
            let method = if own.on_mandrel { "on the mandrel" } else { "on rollers and a scale" };
            let mandrel = own.read.mandrel_kg_m.map_or_else(String::new, |own| {
                format!(", the mandrel's own {} taken off", alone(page, own.norm()))
            });
            format!(
                "about its own bore: {} from tip 1 towards tip 2, heavy side, of {permitted} \
                 ({grade}): {}. Read {method}: {}{mandrel}; the cut shifts it by {}. No \
                 counterweight can balance this.",
                vector(page, own.now_kg_m),
                own.verdict.words(),
                vector(page, own.read.vector_kg_m),
                alone(page, rotor.cut_shift_kg_m.norm()),
            )
        }
    };
    page.say(4, &text);
}
