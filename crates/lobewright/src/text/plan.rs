//! The plan of a build as text, in the order in which it is used: what is planned, what stops it,
//! one line for each rotor, then each rotor in full, what was assumed and the cautions.

use super::page::{Page, alone, ends};
use super::rotor::rotor_text;
pub(crate) use super::rotor::said;
use crate::ops::phrase;
use crate::ops::{PlanReport, READINGS, RotorReport};
use kernel::plan::{Method, NearbySpec};
use kernel::readings::{EDITION, Face, PROBABILITY, Verdict};
use kernel::units::{Length, System};

/// The whole plan.
pub(crate) fn text(report: &PlanReport, first: System) -> String {
    let mut page = Page { text: String::new(), first };
    head(&mut page, report);
    for rotor in &report.rotors {
        page.line("");
        page.rule();
        rotor_text(&mut page, rotor, report);
    }
    page.line("");
    page.rule();
    tail(&mut page, report);
    page.text
}

fn head(page: &mut Page, report: &PlanReport) {
    page.line(&report.build);
    duty(page, report);
    let spec = format!(
        "Spec \"{}\": side clearance {}, both sides together; step {}, each face.",
        report.spec_name,
        page.aim(report.spec.side_clearance),
        page.aim(report.spec.step)
    );
    page.say(0, &spec);
    page.line("");
    page.say(0, headline(report));
    for limiting in &report.limiting {
        let whose = limiting.serial.as_deref().unwrap_or("The set");
        if limiting.limit == READINGS {
            let what = format!("{whose}: its readings disagree, see below.");
            if !page.text.contains(&what) {
                page.say(2, &what);
            }
            continue;
        }
        page.say(2, &format!("{whose}: {}.", limiting.detail));
    }
    for rotor in &report.rotors {
        for warning in &rotor.warnings {
            page.say(2, &format!("Mind, {}: {warning}.", rotor.serial));
        }
    }
    summary(page, report);
    nearby(page, report);
}

fn duty(page: &mut Page, report: &PlanReport) {
    if let Some(said) = phrase::duty(&report.duty) {
        page.say(0, &format!("Duty: {said}."));
    }
}

pub(crate) fn headline(report: &PlanReport) -> &'static str {
    let uncut = report.rotors.iter().all(|r| r.plan.cut.is_nothing());
    let measured = report.rotors.iter().all(|r| r.measured.is_some());
    let proven = report.rotors.iter().all(|r| r.verdict == Verdict::Conforms);
    match (report.feasible, uncut, measured) {
        (false, ..) => "NO PLAN for this set. In the way:",
        (true, true, true) if proven => "NOTHING LEFT TO CUT: measured, and within the spec.",
        (true, true, true) => "NOTHING LEFT TO CUT, but not every measured size is proven.",
        (true, true, false) => "NOTHING TO CUT: already within the spec.",
        (true, false, true) => "A SECOND CUT is needed; this is its plan.",
        (true, false, false) => match report.method {
            Some(Method::Searched) => {
                "PLANNED WITHIN TOLERANCES: the spec's own figures cannot be met; these come nearest."
            }
            _ if off_aim(report) => {
                "PLANNED to the spec's own figures as far as the metal goes; what is off is shown."
            }
            _ => "PLANNED to the spec's own clearance and step.",
        },
    }
}

/// Whether any planned size is not the spec's own figure.
fn off_aim(report: &PlanReport) -> bool {
    report.rotors.iter().any(|rotor| {
        rotor.plan.sizes.iter().any(|size| {
            let aim =
                if size.face.is_some() { report.spec.step } else { report.spec.side_clearance };
            (size.size - aim.target).abs() > Length::um(0.5)
        })
    })
}

/// One line for each rotor, and how they match.
fn summary(page: &mut Page, report: &PlanReport) {
    let all = |rotor: &RotorReport, tip: bool| {
        Face::BOTH.map(|face| {
            let cut = rotor.plan.cut.face(face);
            ends(if tip { cut.tip } else { cut.land })
        })
    };
    for rotor in &report.rotors {
        let what = if rotor.planned && !rotor.plan.cut.is_nothing() {
            let between = |tip: bool| {
                let [(a, b), (c, d)] = all(rotor, tip);
                let (low, high) = (a.min(c), b.max(d));
                if high <= Length::ZERO {
                    return "nothing".to_owned();
                }
                format!("{} to {}", alone(low, page.first), alone(high, page.first))
            };
            format!("off the lands {}, outside them {}; ", between(false), between(true))
        } else {
            String::new()
        };
        page.say(2, &format!("{} in {}: {what}{}.", rotor.serial, rotor.housing, said(rotor)));
    }
    let planned: Vec<&str> =
        report.rotors.iter().filter(|r| r.planned).map(|r| r.serial.as_str()).collect();
    if planned.len() > 1 {
        let whose = if planned.len() == report.rotors.len() {
            String::new()
        } else {
            format!(" of {}", planned.join(", "))
        };
        let text = format!(
            "Side clearances{whose} differ by {}, {} is allowed: {}.",
            page.amount(report.spread),
            page.amount(report.spec.matching),
            report.match_verdict.words()
        );
        page.say(2, &text);
    }
}

fn nearby(page: &mut Page, report: &PlanReport) {
    if report.nearby.is_empty() {
        return;
    }
    let out: Vec<&str> =
        report.rotors.iter().filter(|r| !r.planned).map(|r| r.serial.as_str()).collect();
    if !out.is_empty() && out.len() < report.rotors.len() {
        let others = "the others can be planned as below";
        page.say(0, &format!("Put another rotor in the place of {}; {others}.", out.join(", ")));
    }
    page.say(0, "Or a spec that would work for the whole set, the least change first:");
    let change = |page: &Page, spec: &NearbySpec| {
        let each: Vec<String> = spec
            .changes
            .iter()
            .map(|c| {
                let (to, from) = (page.amount(c.to), page.amount(c.from));
                format!("{} {to} instead of {from}", c.figure.key())
            })
            .collect();
        each.join(" and ")
    };
    for spec in &report.nearby {
        let text = change(page, spec);
        page.say(2, &text);
    }
    let unread = report.rotors.iter().any(|r| !r.now.check.suspicions.is_empty());
    let whose = if unread { " whose readings agree" } else { "" };
    let text = format!(
        "(It would hold for every rotor of the set{whose}, and whether such figures are right for \
         the engine is the builder's judgement.)"
    );
    page.say(2, &text);
}

fn tail(page: &mut Page, report: &PlanReport) {
    if !report.assumed.is_empty() {
        page.line("Assumed, since the file does not say:");
        for sentence in &report.assumed {
            page.say(2, sentence);
        }
    }
    for (gauge, due) in &report.calibrations {
        page.say(0, &format!("Calibration of gauge \"{gauge}\" is due {due}."));
    }
    page.say(
        0,
        &format!(
            "Verdicts by {EDITION}, {:.0} % conformance probability; sizes to hold are the \
             tolerance less its guard. Only measured parts conform; of a plan it is said that it \
             is planned to conform.",
            PROBABILITY * 100.0
        ),
    );
    page.say(
        0,
        "Tilt, heat and gap figures are a screening estimate until calibrated with engines that \
         came back. Iron dust, interrupted cuts and thin walls hurt people and parts: the shop's \
         rules, local codes and licensed practice come first.",
    );
}
