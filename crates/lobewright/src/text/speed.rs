//! A build at speed as text, in the order in which a builder asks: do the tips live, what takes
//! their gap, what would keep it; then what it rests on.

use super::page::{Page, alone};
use crate::build_file::model::Calibration;
use crate::ops::{CycleLine, RotorAtSpeed, SpeedReport};
use kernel::speed::chance::Chance;
use kernel::speed::engine::{Budget, Greatest, RotorChance};
use kernel::units::{Length, Speed, System};

/// Forces below this are not spoken of: what holds a rotor in its float.
const FELT_N: f64 = 20.0;
/// Most critical speeds that are listed each way.
const MOST_CRITICAL: usize = 3;
/// Speeds of the sweep that are printed.
const ROWS: usize = 10;
/// Most rotors whose gaps fit a line in both systems of units.
const FIT_IN_BOTH: usize = 2;

pub(crate) fn text(report: &SpeedReport, first: System) -> String {
    let mut page = Page { text: String::new(), first };
    head(&mut page, report);
    for (index, rotor) in report.rotors.iter().enumerate() {
        page.line("");
        page.rule();
        rotor_text(&mut page, report, index, rotor);
    }
    page.line("");
    page.rule();
    would_do(&mut page, report);
    sweep(&mut page, report);
    page.line("");
    grounds(&mut page, report);
    tail(&mut page, report);
    page.text
}

fn um(page: &Page, m: f64) -> String {
    page.amount(Length::m(m))
}

/// The same without its unit, in the system that comes first alone.
fn number(page: &Page, m: f64) -> String {
    let text = alone(Length::m(m), page.first);
    text.split(' ').next().unwrap_or_default().to_owned()
}

/// A place along the shaft: nobody measures it to a micrometre.
fn along(page: &Page, m: f64) -> String {
    let (mm, inch) = (1e3 * m, m / 0.0254);
    match page.first {
        System::Metric => format!("{mm:.0} mm ({inch:.1} in)"),
        System::Inch => format!("{inch:.1} in ({mm:.0} mm)"),
    }
}

fn rpm(omega_rad_s: f64) -> f64 {
    Speed::rad_per_s(omega_rad_s).to_rpm()
}

fn percent(share: f64) -> String {
    let percent = 100.0 * share;
    let decimals = match percent {
        p if p <= 0.0 || p >= 0.95 => 0,
        p if p >= 0.095 => 1,
        _ => 2,
    };
    format!("{percent:.decimals$} %")
}

/// A chance with its error, as far as it is known.
fn said(chance: Chance) -> String {
    let error = 100.0 * chance.standard_error;
    let decimals = usize::from(error < 0.95);
    if let Some(bound) = chance.unseen_below() {
        return format!("less than {}", percent(bound.min(1.0)));
    }
    if let Some(bound) = chance.always_above() {
        return format!("more than {}", percent(bound.max(0.0)));
    }
    format!("{:.decimals$} % \u{b1} {error:.decimals$} %", 100.0 * chance.value)
}

fn head(page: &mut Page, report: &SpeedReport) {
    page.line(&report.build);
    let state = report.state.name();
    page.say(
        0,
        &format!(
            "At {:.0} rpm and {:.2} bar above atmosphere, {state}, in a hard cycle.",
            report.rpm(),
            report.running.boost_pa / 1e5
        ),
    );
    match &report.calibration {
        None => page.say(0, "SCREENING ESTIMATE until calibrated with engines that came back."),
        Some(taught) => {
            let text = format!("SCREENING ESTIMATE, {}.", calibrated(taught, |m| um(page, m)));
            page.say(0, &text);
        }
    }
    if report.assumed_shaft {
        page.say(
            0,
            "THE SHAFT IS ASSUMED, scaled from the engine's sizes: with [shaft] in the file these \
             figures become yours.",
        );
    }
    page.line("");
    for rotor in &report.rotors {
        let text = verdict(page, report, rotor);
        page.say(0, &text);
    }
    for warning in &report.warnings {
        page.say(2, &format!("Mind: {warning}."));
    }
    if let Some(how) = &report.drawn {
        if how.stopped {
            page.say(0, &format!("Stopped early, after {} draws.", how.draws));
        }
        if how.failed > 0 {
            let text = format!(
                "{} of {} draws could not be computed; they count as touching and jamming.",
                how.failed, how.draws
            );
            page.say(0, &text);
        }
    }
}

/// What of the shop's own builds is in the figures.
#[must_use]
pub(crate) fn calibrated(taught: &Calibration, amount: impl Fn(f64) -> String) -> String {
    let [below, _] = taught.contact_below;
    let marks = if below > Length::ZERO {
        format!("tips leave marks where less than {} is left", amount(below.to_m()))
    } else if below < Length::ZERO {
        format!("tips leave marks from {} of computed touch on", amount(-below.to_m()))
    } else {
        "tips leave marks where they touch".to_owned()
    };
    format!(
        "calibrated from {}: rotors lean {:.2} times what is computed, heat counts {:.2} times, {marks}",
        taught.from, taught.tilt[0], taught.heat[0]
    )
}

fn verdict(page: &Page, report: &SpeedReport, rotor: &RotorAtSpeed) -> String {
    let mut said_first = match rotor.gaps.least() {
        None => format!("{}: no tip has a wall opposite.", rotor.serial),
        Some((tip, side, gap)) if gap.worst_float_m < 0.0 => format!(
            "{}: TIP {} TOUCHES on the {} face, at worst float by {} before the land rests.",
            rotor.serial,
            tip + 1,
            rotor.faces[side].name(),
            um(page, -gap.worst_float_m)
        ),
        Some((tip, side, gap)) => format!(
            "{}: the tips keep {} at worst float (tip {}, {} face).",
            rotor.serial,
            um(page, gap.worst_float_m),
            tip + 1,
            rotor.faces[side].name()
        ),
    };
    if !rotor.planned {
        said_first.push_str(" It has no plan and is computed as it is.");
    }
    if rotor.gaps.jammed_share > 0.0 {
        said_first.push_str(&format!(
            " Its lands are pressed against both walls for {} of the cycle: less bad than a tip, \
             not safe.",
            percent(rotor.gaps.jammed_share)
        ));
    }
    if let Some(RotorChance { contact, jam, .. }) = rotor.chance {
        said_first.push_str(&format!(
            " Chance that a tip touches {}, that the lands jam {}; {} is borne.",
            said(contact),
            said(jam),
            percent(report.allowed_chance)
        ));
    }
    said_first
}

fn rotor_text(page: &mut Page, report: &SpeedReport, index: usize, rotor: &RotorAtSpeed) {
    page.line(&format!("Rotor {}", rotor.serial));
    if let Some(budget) = &rotor.budget {
        budget_text(page, rotor, budget);
    }
    page.line("");
    let gaps = &rotor.gaps;
    page.say(
        0,
        &format!(
            "Its journal slopes by {:.2} mrad at most{}, the rotor leans by {:.2} mrad at {} deg \
             of the shaft. Least float between its lands {}.",
            1e3 * rotor.journal_slope_rad,
            if report.point.poses.held.is_some() { ", walls holding it" } else { "" },
            1e3 * gaps.largest_lean_rad.0,
            gaps.largest_lean_rad.1,
            um(page, gaps.least_float_m.0.max(0.0))
        ),
    );
    let mut forces = Vec::new();
    if gaps.land_force_n > FELT_N {
        forces.push(format!("lands press with up to {:.1} kN", gaps.land_force_n / 1e3));
    }
    if gaps.tip_force_n > FELT_N {
        forces.push(format!("tips with up to {:.1} kN", gaps.tip_force_n / 1e3));
    }
    if !forces.is_empty() {
        page.say(0, &format!("Contact: {}.", forces.join(", ")));
    }
    if let Some(chance) = rotor.chance {
        let [low, middle, high] = chance.band_m.map(|m| um(page, m));
        let text = format!(
            "Of 100 engines like this one, 5 keep less than {low} at worst float, half less than \
             {middle}, 95 less than {high}."
        );
        page.say(0, &text);
    }
    if let Some((_, _, gap)) = report.knocking.gaps[index].least() {
        let what = if gap.worst_float_m < 0.0 { "touches by" } else { "keeps" };
        let text = format!(
            "In a knocking cycle it leans by {:.2} mrad and its nearest tip {what} {}.",
            1e3 * report.knocking.gaps[index].largest_lean_rad.0,
            um(page, gap.worst_float_m.abs())
        );
        page.say(0, &text);
    }
    let film = rotor.least_film_m.map_or_else(
        || "film as given".to_owned(),
        |film| format!("thinnest film {:.1} \u{b5}m", 1e6 * film),
    );
    let (load, mesh) = (rotor.bearing_load_n / 1e3, rotor.mesh_n / 1e3);
    page.say(0, &format!("Bearing: up to {load:.0} kN, {film}. Gear: up to {mesh:.1} kN."));
}

fn budget_text(page: &mut Page, rotor: &RotorAtSpeed, budget: &Budget) {
    let title = format!(
        "Where the gap of tip {}, {} face, goes (at {} deg of the shaft):",
        budget.tip + 1,
        rotor.faces[budget.side].name(),
        budget.at_deg
    );
    page.say(0, &title);
    let row = |page: &mut Page, label: &str, worst: String, centred: String| {
        page.line(&format!("  {label:<26}{worst:>24}{centred:>26}"));
    };
    row(page, "", "worst float".to_owned(), "centred".to_owned());
    let mut before = budget.start;
    let both = |page: &Page, gap: kernel::speed::engine::Gap| {
        (um(page, gap.worst_float_m), um(page, gap.centred_m))
    };
    let (worst, centred) = both(page, budget.start);
    row(page, "cold and upright", worst, centred);
    for (cause, left) in &budget.causes {
        let change = |now: f64, then: f64| {
            let change = um(page, now - then);
            if now > then && !change.starts_with('0') { format!("+{change}") } else { change }
        };
        let worst = change(left.worst_float_m, before.worst_float_m);
        let centred = change(left.centred_m, before.centred_m);
        row(page, cause.name(), worst, centred);
        before = *left;
    }
    let (worst, centred) = both(page, before);
    row(page, "left", worst, centred);
}

fn would_do(page: &mut Page, report: &SpeedReport) {
    let Some(found) = &report.found else {
        if report.drawn.is_some() {
            page.say(0, "What would do was not looked for: the work was stopped.");
        }
        return;
    };
    page.say(
        0,
        &format!(
            "What would do, at a chance of {} of touching and of jamming:",
            percent(report.allowed_chance)
        ),
    );
    for rotor in &report.rotors {
        let (Some(clearance), Some(step_m), Some(with_it)) =
            (rotor.least_clearance_m, rotor.least_step_m, rotor.step_with_it_m)
        else {
            continue;
        };
        let step = |step: f64| if step > 0.0 { um(page, step) } else { "none".to_owned() };
        let clearance = if clearance > 0.0 {
            format!("{}, both sides together", page.size(Length::m(clearance)))
        } else {
            "any".to_owned()
        };
        let text = format!(
            "{}: so that no tip touches, at the clearance as planned, a step of {}. So that the \
             lands do not jam either, a side clearance of {clearance}, and with it a step of {}.",
            rotor.serial,
            step(step_m),
            step(with_it)
        );
        page.say(2, &text);
    }
    page.say(2, "More clearance without more step brings the tips nearer to the walls.");
    let speed = match found.speed {
        Greatest::At(w) => format!("up to {:.0} rpm", rpm(w)),
        Greatest::Beyond(w) => format!("up to {:.0} rpm, as far as was looked", rpm(w)),
        Greatest::Below(w) => format!("not even {:.0} rpm", rpm(w)),
    };
    let boost = match found.boost {
        Greatest::At(pa) => format!("up to {:.2} bar", pa / 1e5),
        Greatest::Beyond(pa) => format!("up to {:.2} bar, as far as was looked", pa / 1e5),
        Greatest::Below(pa) => format!("not even {:.2} bar", pa / 1e5),
    };
    let text = format!(
        "As planned the tips touch no more often than that at this boost {speed}, and at this \
         speed {boost}: found with a reduced model, so look there with --rpm and --boost before \
         relying on it."
    );
    page.say(2, &text);
}

fn sweep(page: &mut Page, report: &SpeedReport) {
    if report.sweep.is_empty() {
        return;
    }
    page.line("");
    let names: Vec<&str> = report.rotors.iter().map(|rotor| rotor.serial.as_str()).collect();
    let in_both = names.len() <= FIT_IN_BOTH;
    let unit = match (in_both, page.first) {
        (true, _) => "",
        (false, System::Metric) => " in \u{b5}m",
        (false, System::Inch) => " in thou",
    };
    let title =
        format!("Least gap at worst float{unit}, and chance of touching ({}):", names.join(", "));
    page.say(0, &title);
    let every = report.sweep.len().div_ceil(ROWS);
    for point in report.sweep.iter().rev().step_by(every).collect::<Vec<_>>().into_iter().rev() {
        let cells: String = point
            .gaps
            .iter()
            .enumerate()
            .map(|(index, gaps)| {
                let chance = point.chances.as_ref().map(|all| all[index].contact.value);
                let chance = chance.map_or_else(String::new, percent);
                let gap_m = gaps.least().map(|(_, _, gap)| gap.worst_float_m);
                if in_both {
                    let gap = gap_m.map_or_else(|| "no wall".to_owned(), |m| um(page, m));
                    format!(" {gap:>18}{chance:>7}")
                } else {
                    let gap = gap_m.map_or_else(|| "-".to_owned(), |m| number(page, m));
                    format!(" {gap:>4}{chance:>6}")
                }
            })
            .collect();
        page.line(&format!("  {:>6.0} rpm{cells}", rpm(point.running.omega_rad_s)));
    }
    if report.sweep_stopped {
        page.say(0, "The sweep was stopped before all its speeds were done.");
    }
}

fn grounds(page: &mut Page, report: &SpeedReport) {
    page.say(0, "What it rests on:");
    for line in &report.cycles {
        let text = cycle(line);
        page.say(2, &text);
    }
    if let Some(heat) = report.cycles[0].report {
        let text = format!(
            "Of the heat {} becomes work, {} goes to the walls, {} with the exhaust.",
            percent(heat.work_share),
            percent(heat.walls_share),
            percent(heat.exhaust_share)
        );
        page.say(2, &text);
    }
    let list = |all: &[f64]| {
        let few: Vec<String> =
            all.iter().take(MOST_CRITICAL).map(|w| format!("{:.0}", rpm(*w))).collect();
        if few.is_empty() { "none found".to_owned() } else { few.join(", ") }
    };
    let [forward, backward] = &report.critical_rad_s;
    let text = format!(
        "Critical speeds of the shaft: forward {}, backward {} rpm. First twist {:.0} Hz; speed \
         ripple {}.",
        list(forward),
        list(backward),
        report.point.loads.turning.first_twist.frequency_hz(),
        percent(report.point.loads.turning.fluctuation[0])
    );
    page.say(2, &text);
    let stress = &report.peaks.stress.section;
    let text = format!(
        "Bending stress of the shaft up to {:.0} MPa, {} from its front end (nominal: notches \
         and twist come on top).",
        stress.stress_pa / 1e6,
        along(page, stress.at_m)
    );
    page.say(2, &text);
    let mains: Vec<String> = report
        .point
        .loads
        .mains
        .iter()
        .map(|main| {
            let film = main
                .least_film_m
                .map_or_else(String::new, |film| format!(" on {:.1} \u{b5}m of oil", 1e6 * film));
            format!("{:.0} kN{film}", main.peak_load_n / 1e3)
        })
        .collect();
    page.say(2, &format!("Main bearings, from the front: up to {}.", mains.join(", ")));
    if let Some(how) = &report.drawn {
        let text = format!(
            "Chances from {} draws (seed {}) of everything uncertain, the model's own error \
             included; at the other speeds by a reduced model.",
            how.draws, how.seed
        );
        page.say(2, &text);
    }
}

fn cycle(line: &CycleLine) -> String {
    format!(
        "{} cycle: peak {:.0} bar at {:.0} deg after top dead centre, indicated mean pressure \
         {:.1} bar, torque {:.0} N m.",
        match line.kind.name() {
            "mean" => "Mean",
            "hard" => "Hard",
            _ => "Knocking",
        },
        line.peak_pa / 1e5,
        line.peak_at_deg,
        line.mean_pressure_pa / 1e5,
        line.torque_n_m
    )
}

fn tail(page: &mut Page, report: &SpeedReport) {
    page.line("");
    page.line("Assumed, since the file does not say:");
    for sentence in &report.assumed {
        page.say(2, sentence);
    }
    page.say(
        0,
        "All figures at speed are a screening estimate until calibrated with engines that came \
         back: no gauge shows where the tips are at speed, and this computation leaves much out. \
         An engine that bursts hurts people: guards, the shop's rules, local codes and licensed \
         practice come first.",
    );
}
