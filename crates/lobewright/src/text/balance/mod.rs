//! A balance as text, in the order of the work at the machine: what is said of it, what to take
//! from the rotors, bob weights, what to drill, what the machine then shows and what to enter next;
//! then what a grade does not promise, the rotors in full, and what it rests on.

pub(crate) mod machine;
mod rotors;
mod trials;

use super::page::Page;
use crate::ops::{BalanceReport, Basis, Left, phrase};
use kernel::balance::Complex;
use kernel::readings::{EDITION, PROBABILITY, Verdict};
use kernel::units::{Length, System, Unbalance};

/// Names of the two planes, from the front.
const PLANES: [&str; 2] = ["front", "rear"];

/// Before anything spins.
pub(crate) const CAUTION: &str = "\
    A shaft that spins throws what is loose: guard closed, every bob weight, key, slug and trial \
    weight locked and counted, nobody in the plane of rotation, no faster than machine and bob \
    weights allow. Plug bearings and oil holes before drilling; deburr, count the chips; keep \
    dust of heavy metal out of lungs and bearings. Trial runs on an engine: ear and eye \
    protection, guards over flywheel and counterweights, fuel and ignition in one person's hand. \
    Bob weights come off before assembly. The shop's own rules and local codes come first.";

pub(crate) fn text(report: &BalanceReport, first: System) -> String {
    let mut page = Page { text: String::new(), first };
    head(&mut page, report);
    part(&mut page, "1  Rotors: what to take");
    rotors::take(&mut page, report);
    part(&mut page, "2  Bob weights");
    machine::bobs(&mut page, report);
    part(&mut page, "3  Counterweights");
    machine::counterweights(&mut page, report);
    part(&mut page, "4  Next");
    next(&mut page, report);
    if report.trials.is_some() {
        part(&mut page, "5  Trial runs");
        trials::trials(&mut page, report);
    }
    part(&mut page, "What the grade does not promise");
    not_promised(&mut page, report);
    part(&mut page, "The rotors in full");
    rotors::in_full(&mut page, report);
    grounds(&mut page, report);
    page.text
}

fn part(page: &mut Page, name: &str) {
    page.line("");
    page.rule();
    page.line(name);
}

/// An unbalance in both systems, the wanted one first.
pub(crate) fn unbalance(page: &Page, kg_m: f64) -> String {
    shown(kg_m, page.first)
}

/// The same, wherever it stands.
pub(crate) fn shown(kg_m: f64, first: System) -> String {
    let (metric, inch) = (metric(kg_m), inch(kg_m));
    match first {
        System::Metric => format!("{metric} ({inch})"),
        System::Inch => format!("{inch} ({metric})"),
    }
}

/// The same in the system that comes first alone.
fn alone(page: &Page, kg_m: f64) -> String {
    match page.first {
        System::Metric => metric(kg_m),
        System::Inch => inch(kg_m),
    }
}

fn metric(kg_m: f64) -> String {
    let g_mm = Unbalance::kg_m(kg_m).to_g_mm();
    let decimals = usize::from(g_mm.abs() < 99.95);
    format!("{g_mm:.decimals$} g\u{b7}mm")
}

fn inch(kg_m: f64) -> String {
    format!("{:.3} oz\u{b7}in", Unbalance::kg_m(kg_m).to_oz_in())
}

/// An angle from 0 to 359.9 degrees, to a tenth.
pub(crate) fn turn_deg(deg: f64) -> f64 {
    let tenths = (10.0 * deg.rem_euclid(360.0)).round();
    if tenths >= 3600.0 { 0.0 } else { tenths / 10.0 }
}

pub(crate) fn degrees(vector: Complex<f64>) -> f64 {
    turn_deg(vector.arg().to_degrees())
}

/// An unbalance with its direction.
pub(crate) fn vector(page: &Page, kg_m: Complex<f64>) -> String {
    format!("{} at {:.1} deg", unbalance(page, kg_m.norm()), degrees(kg_m))
}

/// A place along the shaft: nobody sets a plane closer.
pub(crate) fn place(page: &Page, m: f64) -> String {
    let (mm, inch) = (1e3 * m, Length::m(m).to_inch());
    match page.first {
        System::Metric => format!("{mm:.1} mm ({inch:.2} in)"),
        System::Inch => format!("{inch:.2} in ({mm:.1} mm)"),
    }
}

pub(crate) fn grams(kg: f64) -> String {
    format!("{:.1} g", 1e3 * kg)
}

fn head(page: &mut Page, report: &BalanceReport) {
    page.line(&report.build);
    let [front, rear] = report.permitted.planes_kg_m;
    page.say(
        0,
        &format!(
            "Balance for {:.0} rpm, grade {} of ISO 21940-11. {:.2} kg spin{}; {} may be left, of it \
             {} in the front tolerance plane at {} and {} in the rear one at {}{}. Tolerance planes \
             are where the limit holds, correction planes where metal is changed.",
            report.speed.to_rpm(),
            report.grade,
            report.body.mass.to_kg(),
            if report.body_weighed { "" } else { " (reckoned)" },
            unbalance(page, report.permitted.total_kg_m),
            unbalance(page, front),
            place(page, report.tolerance_planes.at_m()[0]),
            unbalance(page, rear),
            place(page, report.tolerance_planes.at_m()[1]),
            if report.permitted.overhung {
                "; the mass centre lies outside these planes"
            } else {
                ""
            },
        ),
    );
    if report.assumed_shaft {
        page.say(
            0,
            "THE SHAFT IS ASSUMED, scaled from the engine's sizes: with [shaft] in the file these \
             figures become yours.",
        );
    }
    page.line("");
    let text = verdict(page, report);
    page.say(0, &text);
    let text = match report.rotors_verdict() {
        None => "ROTORS about their own bores: not read.".to_owned(),
        Some(verdict) => {
            let taken = report.rotors.iter().any(|rotor| !rotor.take.is_empty());
            let with = if taken { ", with the metal taken that part 1 lists" } else { "" };
            format!("ROTORS about their own bores: {}{with}.", planned(verdict, taken))
        }
    };
    page.say(0, &text);
    if report.rotors.len() > 1 {
        let [_, after, allowed] = report.spread_kg;
        page.say(
            0,
            &format!(
                "SET: {} apart of {} allowed: {}.",
                grams(after),
                grams(allowed),
                planned(report.set_verdict, true)
            ),
        );
    }
    for warning in &report.warnings {
        page.say(2, &format!("Mind: {warning}."));
    }
    page.line("");
    page.say(0, &format!("CAUTION. {CAUTION}"));
}

/// Of what was planned, a verdict is a plan's.
pub(crate) fn planned(verdict: Verdict, plan: bool) -> String {
    match (verdict, plan) {
        (Verdict::Conforms, true) => "planned to conform".to_owned(),
        (verdict, _) => verdict.words().to_owned(),
    }
}

pub(crate) fn verdict(page: &Page, report: &BalanceReport) -> String {
    let judged: &Left = if report.is_measured() { &report.found } else { &report.left };
    let each = |k: usize| {
        if !report.is_known(0) || !report.is_known(1) {
            return format!("nothing can be said of the {} tolerance plane", PLANES[k]);
        }
        format!(
            "{} of {} in the {} tolerance plane",
            unbalance(page, judged.in_tolerance.vectors_kg_m[k].norm()),
            unbalance(page, report.permitted.planes_kg_m[k]),
            PLANES[k]
        )
    };
    let words = match (report.is_measured(), report.verdict()) {
        _ if report.basis == Basis::Parts && report.assumed_shaft => {
            "NOTHING MEASURED, on an assumed shaft"
        }
        (true, Verdict::Conforms) => "MEASURED: CONFORMS",
        (true, Verdict::NotProven) => "MEASURED: NOT PROVEN",
        (true, Verdict::DoesNotConform) => "MEASURED: DOES NOT CONFORM",
        (false, Verdict::Conforms) => "PLANNED TO CONFORM, to be measured again after correction",
        (false, Verdict::NotProven) => "NOT PROVEN as planned, to be measured after correction",
        (false, Verdict::DoesNotConform) => "NO CORRECTION OF THE FILE BRINGS IT WITHIN",
    };
    format!("SHAFT: {words}: {}, {}. Rests on: {}.", each(0), each(1), report.basis.words())
}

fn next(page: &mut Page, report: &BalanceReport) {
    for sentence in next_steps(report) {
        page.say(2, &sentence);
    }
    for sentence in then_shows(page, report) {
        page.say(4, &sentence);
    }
}

/// What to do after the drill, and what to put into the file.
pub(crate) fn next_steps(report: &BalanceReport) -> Vec<String> {
    let mut steps: Vec<&str> = Vec::new();
    let drills = report.planes.iter().any(|plane| plane.done.iter().flatten().next().is_some());
    let takes = report.rotors.iter().any(|rotor| !rotor.take.is_empty());
    if takes {
        steps.push(
            "Take the metal from the rotors, weigh and read them again, and put that into the file \
             before the bob weights are made up.",
        );
    }
    match report.basis {
        Basis::Parts => steps.push("Spin the shaft with the bob weights on and enter what the machine shows: \
             [balance.measured] with front = { amount = \"... g mm\", angle = \"... deg\" } and rear \
             alike, bob_weights in [balance], and how the machine counts in [balance.instrument].",
        ),
        Basis::Trials => steps.push("After correction run once more without trial weights and enter what the sensors show \
             as one more [[balance.run]] with state = \"after correction\": it says what is left.",
        ),
        Basis::Machine | Basis::After if drills => steps.push("Drill, spin again, and enter what the machine shows then: [balance.after] with front = \
             { amount = \"... g mm\", angle = \"... deg\" } and rear alike, and in bob_weights what \
             was on. Take angles of places that are drilled out of the file.",
        ),
        Basis::Machine => steps.push("There is nothing here to drill."),
        Basis::RunAfter if drills => steps.push("Drill, take angles of places that are drilled out of the file, and run again.",
        ),
        Basis::After | Basis::RunAfter => steps.push("There is nothing more here to drill."),
    }
    if report.machine.is_some() {
        steps.push("The machine need not end at nothing: bob weights do not have the rotors' own mass centres, \
         nor the masses they should have.");
    }
    steps.into_iter().map(str::to_owned).collect()
}

/// What the machine showed in each plane and shows next, as it counts.
pub(crate) fn then_shows(page: &Page, report: &BalanceReport) -> Vec<String> {
    let Some(machine) = &report.machine else { return Vec::new() };
    let drills = report.planes.iter().any(|plane| plane.done.iter().flatten().next().is_some());
    let mut all = Vec::new();
    for (k, plane) in report.planes.iter().enumerate() {
        let shows = |vector: Complex<f64>| {
            let shown = report.convention.shows_unbalance(vector);
            let deg = turn_deg(shown.angle_rad.to_degrees());
            format!("{} at {deg:.1} deg", alone(page, shown.amount))
        };
        let then = if report.is_measured() && !drills {
            String::new()
        } else {
            format!(
                ", and after these corrections {} with the same bob weights, {} with those that are \
                 asked for",
                shows(machine.then_kg_m[k]),
                shows(machine.then_asked_kg_m[k])
            )
        };
        let text = format!(
            "{} plane, as the machine counts: it showed {}{then}.",
            phrase::capitalised(plane.name),
            shows(machine.shown_kg_m[k])
        );
        all.push(text);
    }
    all
}

fn not_promised(page: &mut Page, report: &BalanceReport) {
    for sentence in promises_not(page, report) {
        page.say(2, &sentence);
    }
}

/// What a grade does not promise.
pub(crate) fn promises_not(page: &Page, report: &BalanceReport) -> [String; 3] {
    let most = report.running.rotors_kg_m.iter().copied().fold(0.0, f64::max);
    let off_centre = format!(
        "In service each rotor runs off centre in its bearing: that is up to {}, and the whole \
             in the main bearings up to {}, beside {} permitted. A fine grade balances the parts; it \
             does not make the engine that smooth. What of it lies along the throw is the same every \
             turn, thrown outwards, and not counted here.",
        unbalance(page, most),
        unbalance(page, report.running.mains_kg_m),
        unbalance(page, report.permitted.total_kg_m)
    );
    let critical = match &report.critical {
        Ok(critical) => format!(
            "The service speed is {:.0} % of the first critical speed, {:.0} rpm (a screening \
             estimate): the standard presumes a shaft that does not bend.",
            100.0 * critical.ratio,
            critical.speed.to_rpm()
        ),
        Err(why) => format!(
            "The first critical speed is not known ({why}); the standard presumes a shaft that does \
             not bend."
        ),
    };
    let judged = format!(
        "Verdicts after {EDITION}, {:.0} % conformance probability, with the uncertainty of \
             machine, scale and mass centres. The shop chooses the grade: no table of the standard \
             has rotary engines.",
        100.0 * PROBABILITY
    );
    [off_centre, critical, judged]
}

fn grounds(page: &mut Page, report: &BalanceReport) {
    if report.assumed.is_empty() {
        return;
    }
    part(page, "Assumed, because the file does not say");
    for sentence in &report.assumed {
        page.say(2, &format!("- {sentence}"));
    }
}
