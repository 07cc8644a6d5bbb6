//! A choice from stock as text: the set of each build, what the next best costs more, then every
//! other part in a line, what limits where there is no set, and what was assumed.

use super::page::Page;
use crate::ops::choice::{BuildReport, CAUTION, ChoiceReport, NoSet, Other, Said, SetReport};
use crate::ops::phrase::capitalised;
use kernel::readings::Verdict;
use kernel::units::Mass;
use records::PartKind;

/// Less than this is the same: what is told has two decimals.
const SAME: Mass = Mass::g(0.005);

/// The whole choice.
pub(crate) fn text(report: &ChoiceReport) -> String {
    let mut page = Page { text: String::new(), first: report.first };
    for (at, build) in report.builds.iter().enumerate() {
        if at > 0 {
            page.line("");
        }
        of_build(&mut page, build);
    }
    page.line("");
    page.rule();
    page.say(0, &proof(report));
    runner_up(&mut page, report);
    for (kind, head) in
        [(PartKind::Rotor, "Rotors left over"), (PartKind::RotorHousing, "Housings left over")]
    {
        let others: Vec<&Other> = report.others.iter().filter(|o| o.kind == kind).collect();
        if others.is_empty() {
            continue;
        }
        page.line("");
        page.line(head);
        for other in others {
            page.say(2, &format!("{}: {}", other.serial, said(&other.said)));
        }
    }
    page.close(&report.assumed, &[CAUTION]);
    page.text
}

fn of_build(page: &mut Page, build: &BuildReport) {
    page.line(&build.name);
    if let Some(set) = &build.set {
        let spec = &set.plan.spec;
        page.say(
            0,
            &format!(
                "Spec \"{}\": side clearance {}, both sides together; step {}, each face.",
                set.plan.spec_name,
                page.aim(spec.side_clearance),
                page.aim(spec.step)
            ),
        );
        page.line("");
        of_set(page, set);
    }
    if let Some(none) = &build.none {
        page.line("");
        no_set(page, none);
    }
}

/// What is said of the plan of a set.
pub(crate) fn verdict(set: &SetReport) -> &'static str {
    let worst = set.plan.rotors.iter().map(|rotor| rotor.verdict).max();
    match worst {
        _ if !set.plan.feasible => "no plan",
        Some(Verdict::DoesNotConform) => "planned, does not conform",
        Some(Verdict::NotProven) => "planned, not proven",
        Some(Verdict::Conforms) | None => "planned to conform",
    }
}

fn of_set(page: &mut Page, set: &SetReport) {
    page.line(&format!("A SET FROM STOCK: {}.", verdict(set)));
    for limiting in &set.plan.limiting {
        let whose = limiting.serial.as_deref().unwrap_or("the set");
        page.say(2, &format!("{}: {}.", capitalised(whose), limiting.detail));
    }
    for mind in &set.mind {
        page.say(2, &format!("Mind, {mind}."));
    }
    page.line("");
    let row = |place: &str, rotor: &str, housing: &str, rest: [&str; 3]| {
        let [clearance, off, after] = rest;
        format!("{place:<7}{rotor:<15}{housing:<15}{clearance:<22}{off:>9}{after:>12}")
    };
    page.line(&row("place", "rotor", "in housing", ["side clearance", "off", "after"]));
    for (number, place) in (1..).zip(&set.places) {
        let mark = |put: &crate::ops::choice::Put| {
            format!("{}{}", put.serial, if put.is_in { " *" } else { "" })
        };
        page.line(&row(
            &number.to_string(),
            &mark(&place.rotor),
            &mark(&place.housing),
            [
                &page.size(place.side_clearance),
                &grams(place.removed),
                &place.mass_after.map_or_else(String::new, grams_whole),
            ],
        ));
    }
    if set.places.iter().any(|place| place.rotor.is_in || place.housing.is_in) {
        page.line("* in it already");
    }
    page.line("");
    let steps = set.places.iter().map(|place| page.amount(place.step)).collect::<Vec<_>>();
    page.say(
        0,
        &format!("Step {}.", if alike(&steps) { steps[0].clone() } else { steps.join(", ") }),
    );
    let off = grams(set.removed);
    page.say(
        0,
        &match set.mismatch {
            Some(mismatch) => {
                format!("{off} comes off; the rotors differ by {} after the cut.", grams(mismatch))
            }
            None => format!("{off} comes off."),
        },
    );
}

fn alike(all: &[String]) -> bool {
    all.iter().all(|one| *one == all[0])
}

/// Grams to a hundredth: what scales of this trade show is a tenth.
pub(crate) fn grams(mass: Mass) -> String {
    format!("{:.2} g", mass.to_g())
}

fn grams_whole(mass: Mass) -> String {
    format!("{:.1} g", mass.to_g())
}

/// How much more something costs: less than a scale tells apart is the same.
fn dearer(more: Mass) -> String {
    if more < SAME { "at the same cost".to_owned() } else { format!("{} more", grams(more)) }
}

/// How sure it is that nothing is better.
pub(crate) fn proof(report: &ChoiceReport) -> String {
    let some = report.builds.iter().any(|build| build.set.is_some());
    let all = report.builds.iter().all(|build| build.set.is_some());
    let what = report.cost.map_or_else(String::new, |cost| {
        // A pass that is too thin for a rotor by itself may fall away in its set, or come up there.
        let planned = report.planned();
        let counted = if (planned - cost).abs() < SAME {
            String::new()
        } else {
            format!(" ({} as planned together, where thin passes fall otherwise)", grams(planned))
        };
        format!("Cost {}: what comes off and what the rotors differ by{counted}. ", grams(cost))
    });
    match (some, report.proven, report.gap) {
        (true, true, _) if all => format!("{what}No other choice costs less: proven."),
        (true, true, _) => {
            format!("{what}No choice gives more builds a set, and none costs less: proven.")
        }
        (true, false, Some(gap)) => format!(
            "{what}{}: another choice may cost less, by {} at the most.",
            if report.stopped { "Stopped before it was proven" } else { "Not proven" },
            grams(gap)
        ),
        (true, false, None) => format!("{what}Not proven: another choice may cost less."),
        (false, true, _) => "No set exists: proven.".to_owned(),
        (false, false, _) => "Stopped before a set was found: there may be one.".to_owned(),
    }
}

/// The next best in words; nothing where there is none.
pub(crate) fn next_best(report: &ChoiceReport) -> Option<String> {
    let next = report.runner_up.as_ref()?;
    let sets: Vec<String> = next
        .sets
        .iter()
        .map(|(build, pairs)| {
            let pairs: Vec<String> =
                pairs.iter().map(|[rotor, housing]| format!("{rotor} in {housing}")).collect();
            let of = match report.builds.as_slice() {
                [_] => String::new(),
                builds => format!("{}: ", builds[*build].name),
            };
            format!("{of}{}", pairs.join(", "))
        })
        .collect();
    let sure = if next.proven { "" } else { ", as far as it was searched" };
    Some(format!("Runner-up, {}{sure}: {}.", dearer(next.more), sets.join("; ")))
}

fn runner_up(page: &mut Page, report: &ChoiceReport) {
    match next_best(report) {
        Some(said) => page.say(0, &said),
        None if report.cost.is_some() && !report.stopped => page.say(0, "There is no runner-up."),
        None => {}
    }
}

/// What is said of a part that is not chosen.
pub(crate) fn said(said: &Said) -> String {
    match said {
        Said::Costs { more } if *more < SAME => "could be used".to_owned(),
        Said::Costs { more } => format!("could be used, {} more at least", grams(*more)),
        Said::Fails { with, why } => {
            let with = with.as_ref().map_or(String::new(), |with| format!("nearest with {with}: "));
            format!("{with}{}", why.join("; "))
        }
        Said::Alone => "can be planned by itself; no set with it was found".to_owned(),
        Said::LeftOut { why, cure } if cure.is_empty() => why.clone(),
        Said::LeftOut { why, cure } => format!("{why}: {cure}"),
    }
}

fn no_set(page: &mut Page, none: &NoSet) {
    page.line("NO SET EXISTS. In the way:");
    for limit in &none.limits {
        page.say(2, &format!("{}.", capitalised(limit)));
    }
    if !none.cures.is_empty() {
        page.line("One of these alone would give one:");
        for cure in &none.cures {
            page.say(2, &format!("{}.", capitalised(cure)));
        }
    }
}
