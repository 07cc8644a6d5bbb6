//! A spec looked at again as text: what the evidence supports first, then build by build.

use super::page::Page;
use crate::ops::phrase::capitalised;
use crate::ops::review::{Back, DutyReview, PastBuild, Sits, SpecReview, duty_words};
use kernel::units::{Length, System};

/// What every review says.
pub(crate) const CAUTION: &str = "A screening estimate, from this shop's own builds. A spec is changed by whoever owns it, as a new \
     version; local rules and licensed practice come first.";

pub(crate) fn text(report: &SpecReview, first: System) -> String {
    let mut page = Page { text: String::new(), first };
    page.line(&format!(
        "Spec {}, version {}, looked at again",
        report.spec.name, report.spec.version
    ));
    if report.duties.is_empty() {
        page.say(0, "No build that was signed refers to it yet.");
    }
    for duty in &report.duties {
        page.line("");
        page.rule();
        of_duty(&mut page, duty);
    }
    if report.not_shown > 0 {
        page.line("");
        page.say(0, &format!("{} older builds are not looked at.", report.not_shown));
    }
    page.line("");
    page.say(0, CAUTION);
    page.text
}

fn of_duty(page: &mut Page, duty: &DutyReview) {
    page.say(0, &format!("Duty: {}", duty_words(&duty.duty)));
    page.say(0, &came_back(duty));
    for met in duty.met_first() {
        let rotors = if met.rotors == 1 { "rotor".to_owned() } else { "rotors".to_owned() };
        page.say(2, &format!("nearest limit of {} {rotors}: {}", met.rotors, met.what));
    }
    match &duty.evidence {
        Ok(evidence) => evidence.sentences(page.first).iter().for_each(|said| page.say(0, said)),
        Err(why) => page.say(0, &format!("Of the step nothing can be said: {why}.")),
    }
    for past in &duty.builds {
        page.line("");
        of_build(page, past);
    }
}

/// How many came back, and how.
pub(crate) fn came_back(duty: &DutyReview) -> String {
    let count = duty.builds.len();
    let builds =
        if count == 1 { "1 signed build".to_owned() } else { format!("{count} signed builds") };
    match duty.came_back() {
        (0, _) => format!("{builds}; none has come back yet."),
        (back, 0) => format!("{builds}; {back} came back, none with a tip that had touched."),
        (back, touched) => {
            format!("{builds}; {back} came back, {touched} of them with tips that had touched.")
        }
    }
}

fn of_build(page: &mut Page, past: &PastBuild) {
    let how = if past.measured { "" } else { ", not measured after the cut" };
    page.say(
        0,
        &format!("Build {}, {}, version {}{how}", past.id(), past.build.head.name, past.version),
    );
    let back = past.back.as_ref().map_or_else(|| "not back yet".to_owned(), back);
    page.say(2, &back);
    match &past.sits {
        Err(why) => page.say(2, &format!("where it sat cannot be said: {why}")),
        Ok(rotors) => {
            for rotor in rotors {
                let first = page.first;
                page.say(2, &format!("rotor {} in housing {}", rotor.serial, rotor.housing));
                page.say(4, &sits("side clearance", &rotor.clearance, first));
                page.say(4, &sits("step", &rotor.step, first));
            }
        }
    }
}

/// How it came back, in a line.
pub(crate) fn back(back: &Back) -> String {
    let [none, light, heavy, unseen] = back.marks;
    let mut ran = Vec::new();
    if let Some(hours) = back.hours {
        ran.push(format!("{hours:.1} h"));
    }
    if let Some(speed) = &back.speed {
        ran.push(format!("up to {speed}"));
    }
    if let Some(boost) = &back.boost {
        ran.push(format!("at {boost} at most"));
    }
    let ran = if ran.is_empty() { "how it ran is not said".to_owned() } else { ran.join(", ") };
    let mut tips = vec![format!("tips clear {none}, light {light}, heavy {heavy}")];
    if unseen > 0 {
        tips.push(format!("{unseen} not looked at"));
    }
    format!("came back after {ran}: {}", tips.join(", "))
}

/// Where a size sat.
fn sits(what: &str, sits: &Sits, first: System) -> String {
    let amount = |length: Length| length.as_amount(first).to_string();
    let [low, high] = sits.is;
    let is = if (high - low) < Length::um(0.5) {
        amount(low)
    } else {
        format!("{} to {}", amount(low), amount(high))
    };
    let bound = |bound: &Option<crate::ops::review::Bound>, none: &str| {
        bound.as_ref().map_or_else(
            || none.to_owned(),
            |bound| format!("{} ({})", amount(bound.at), bound.words),
        )
    };
    capitalised(&format!(
        "{what} {is}, between {} and {}",
        bound(&sits.least, "nothing"),
        bound(&sits.most, "no end")
    ))
}
