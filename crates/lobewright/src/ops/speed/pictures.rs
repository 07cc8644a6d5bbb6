//! The pictures of a build at speed: what the report says, as the drawings' models.

mod shaft;
mod tilt;
mod wear;

use super::super::phrase;
use super::super::picture::{Picture, file_stem, origin, sentence};
use super::super::plan::{PlanReport, RotorReport};
use super::{RotorAtSpeed, SpeedReport};
use drawings::{
    CriticalSpeed, GapAtSpeed, GapCause, Options, Origin, RotorGaps, SpeedGap, Tip, TipBudget,
};
use kernel::speed::engine::{Cause, RotorChance};
use kernel::speed::pose;
use kernel::units::{Length, Speed, System};
use shaft::shaft_line;
use tilt::tilt_path;
use wear::wear_maps;

/// Critical speeds up to this many times the duty's are shown: beyond it they are no concern.
const CRITICAL_TO: f64 = 1.5;
/// Two speeds this near are one, in rpm: less than the drawing tells apart.
const SAME_RPM: f64 = 0.4;

/// A rotor with all that is said of it, planned and at speed.
#[derive(Clone, Copy)]
struct Drawn<'a> {
    report: &'a SpeedReport,
    plan: &'a PlanReport,
    index: usize,
    planned: &'a RotorReport,
    at_speed: &'a RotorAtSpeed,
}

/// All pictures of a build at speed: gap against speed and the shaft's line for the engine; for
/// each rotor the budget of its nearest tip, the path of its tilt, and the wear of both its walls.
#[must_use]
pub fn speed_pictures(report: &SpeedReport, plan: &PlanReport, first: System) -> Vec<Picture> {
    let options = |name: &str| Options { system: first, id: Some(name.to_owned()) };
    let mut all = Vec::new();
    let mut add = |name: String, draw: &dyn Fn(&Options) -> (String, String)| {
        let (svg, csv) = draw(&options(&name));
        all.push(Picture { name, svg, csv });
    };
    let gaps = speed_gap(report, plan);
    add("speed-gap".to_owned(), &|options| (gaps.svg(options), gaps.csv()));
    let line = shaft_line(report, plan);
    add("shaft-line".to_owned(), &|options| (line.svg(options), line.csv()));
    for (index, (planned, at_speed)) in plan.rotors.iter().zip(&report.rotors).enumerate() {
        let stem = file_stem(index, &at_speed.serial);
        let rotor = Drawn { report, plan, index, planned, at_speed };
        if let Some(budget) = tip_budget(rotor, first) {
            let draw = |options: &Options| (budget.svg(options), budget.csv());
            add(format!("{stem}-tip-budget"), &draw);
        }
        let path = tilt_path(rotor);
        add(format!("{stem}-tilt-path"), &|options| (path.svg(options), path.csv()));
        for (name, map) in wear_maps(rotor) {
            add(format!("{stem}-wear-{name}"), &|options| (map.svg(options), map.csv()));
        }
    }
    all
}

/// The speed that was asked for.
fn speed(report: &SpeedReport) -> Speed {
    Speed::rad_per_s(report.running.omega_rad_s)
}

/// In which cycle and state figures are.
fn circumstances(report: &SpeedReport) -> String {
    sentence(&format!("hard cycle, {}", phrase::state(report.state)))
}

/// What a picture of the whole engine belongs to: all its housings.
fn engine_origin(plan: &PlanReport) -> Origin {
    let housings: Vec<&str> = plan.rotors.iter().map(|rotor| rotor.housing.as_str()).collect();
    Origin { build: plan.build.clone(), housing: housings.join(", "), spec: plan.spec_name.clone() }
}

fn speed_gap(report: &SpeedReport, plan: &PlanReport) -> SpeedGap {
    let duty = plan.duty.speed.unwrap_or_else(|| speed(report));
    let [forward, backward] = &report.critical_rad_s;
    let named = |sense: &str, all: &[f64]| -> Vec<CriticalSpeed> {
        all.iter()
            .zip(1..)
            .map(|(omega_rad_s, number)| CriticalSpeed {
                name: format!("{sense} {number}"),
                speed: Speed::rad_per_s(*omega_rad_s),
            })
            .filter(|critical| critical.speed <= duty * CRITICAL_TO)
            .collect()
    };
    let mut critical = named("forward", forward);
    critical.extend(named("backward", backward));
    let mut notes = vec![circumstances(report)];
    if report.sweep_stopped {
        notes.push("Stopped before all speeds were done.".to_owned());
    }
    if let Some(how) = &report.drawn {
        notes.push(if how.stopped {
            format!("Band and chance from {} draws; stopped before all were done.", how.draws)
        } else {
            format!("Band and chance from {} draws.", how.draws)
        });
        notes.push(
            "Drawn in full at the speed asked for; elsewhere carried over from there.".to_owned(),
        );
    }
    SpeedGap {
        origin: engine_origin(plan),
        assumed_shaft: report.assumed_shaft,
        duty,
        critical,
        allowed_chance: report.drawn.is_some().then_some(report.allowed_chance),
        rotors: (0..report.rotors.len()).map(|index| gaps_of(report, index)).collect(),
        notes,
    }
}

/// The sweep of one rotor, and where the sweep lacks it the speed asked for.
fn gaps_of(report: &SpeedReport, index: usize) -> RotorGaps {
    let rotor = &report.rotors[index];
    let asked = speed(report);
    let mut points: Vec<GapAtSpeed> = report
        .sweep
        .iter()
        .filter(|point| {
            (Speed::rad_per_s(point.running.omega_rad_s) - asked).abs().to_rpm() > SAME_RPM
        })
        .filter_map(|point| {
            let chance = point.chances.as_ref().map(|all| all[index]);
            at(Speed::rad_per_s(point.running.omega_rad_s), &point.gaps[index], chance)
        })
        .collect();
    points.extend(at(asked, &rotor.gaps, rotor.chance));
    points.sort_by(|a, b| a.speed.to_rpm().total_cmp(&b.speed.to_rpm()));
    RotorGaps { serial: rotor.serial.clone(), points }
}

fn at(speed: Speed, gaps: &pose::RotorGaps, chance: Option<RotorChance>) -> Option<GapAtSpeed> {
    let (_, _, least) = gaps.least()?;
    Some(GapAtSpeed {
        speed,
        worst_float: Length::m(least.worst_float_m),
        band: chance.map(|chance| {
            let [low, _, high] = chance.band_m;
            (Length::m(low), Length::m(high))
        }),
        centred: gaps.least_centred_m().map(Length::m),
        chance: chance.map(|chance| chance.contact.value),
    })
}

fn tip_budget(rotor: Drawn<'_>, first: System) -> Option<TipBudget> {
    let Drawn { report, plan, planned, at_speed, .. } = rotor;
    let budget = at_speed.budget.as_ref()?;
    let (_, _, least) = at_speed.gaps.least()?;
    let mut before = budget.start;
    let causes: Vec<GapCause> = budget
        .causes
        .iter()
        .map(|(cause, left)| {
            let change = Length::m(left.worst_float_m - before.worst_float_m);
            before = *left;
            GapCause {
                label: cause.name().to_owned(),
                change,
                running: Length::m(left.worst_float_m),
            }
        })
        .collect();
    let cut = planned.planned && !planned.plan.cut.is_nothing();
    let mut notes = vec![
        format!("At {}\u{b0} of shaft. {}", budget.at_deg, circumstances(report)),
        "Each cause is what it changes on top of those above it.".to_owned(),
        format!(
            "In the middle of its float the rotor leaves this tip {} there.",
            Length::m(before.centred_m).as_amount(first).to_string().replace('-', "\u{2212}")
        ),
    ];
    if budget.causes.iter().all(|(cause, _)| *cause != Cause::Walls) {
        notes.push("No wall holds the rotor.".to_owned());
    }
    Some(TipBudget {
        serial: at_speed.serial.clone(),
        origin: origin(plan, planned),
        assumed_shaft: report.assumed_shaft,
        tip: Tip::ALL[budget.tip],
        face: at_speed.faces[budget.side],
        speed: speed(report),
        start_label: if cut {
            "step as cut, at 20 \u{b0}C"
        } else {
            "step as it is, at 20 \u{b0}C"
        }
        .to_owned(),
        start: Length::m(budget.start.worst_float_m),
        causes,
        least: Length::m(least.worst_float_m),
        pose: "at worst float".to_owned(),
        notes,
    })
}

#[cfg(test)]
mod tests;
