//! A balance as text, in the order of the work: rotors, bob weights, counterweights on the machine,
//! what is left, what a grade does not promise; then what it rests on.

use super::page::Page;
use crate::build_file::model::balance::How;
use crate::ops::{BalanceReport, Basis, Done, Left, PlaneReport, RotorBalance};
use kernel::balance::{Complex, Convention, Counted, Phase, Spot};
use kernel::readings::{EDITION, PROBABILITY, Verdict};
use kernel::units::{Length, System, Unbalance};

/// Names of the two planes, from the front.
const PLANES: [&str; 2] = ["front", "rear"];
/// Angles below this many degrees are not spoken of: nobody sets a degree wheel closer.
const SEEN_DEG: f64 = 0.05;

pub(super) fn text(report: &BalanceReport, first: System) -> String {
    let mut page = Page { text: String::new(), first };
    head(&mut page, report);
    page.line("");
    page.rule();
    page.line("1  Rotors");
    for rotor in &report.rotors {
        rotor_text(&mut page, report, rotor);
    }
    set(&mut page, report);
    page.line("");
    page.rule();
    page.line("2  Bob weights");
    bobs(&mut page, report);
    page.line("");
    page.rule();
    page.line("3  Counterweights");
    counterweights(&mut page, report);
    if report.trials.is_some() {
        page.line("");
        page.rule();
        page.line("4  Trial runs");
        trials(&mut page, report);
    }
    page.line("");
    page.rule();
    not_promised(&mut page, report);
    grounds(&mut page, report);
    page.text
}

/// An unbalance in both systems, the wanted one first.
fn unbalance(page: &Page, kg_m: f64) -> String {
    let amount = Unbalance::kg_m(kg_m);
    let (metric, inch) = (metric(amount), format!("{:.3} oz\u{b7}in", amount.to_oz_in()));
    match page.first {
        System::Metric => format!("{metric} ({inch})"),
        System::Inch => format!("{inch} ({metric})"),
    }
}

fn metric(amount: Unbalance) -> String {
    let g_mm = amount.to_g_mm();
    let decimals = usize::from(g_mm.abs() < 99.95);
    format!("{g_mm:.decimals$} g\u{b7}mm")
}

fn degrees(vector: Complex<f64>) -> f64 {
    let deg = vector.arg().to_degrees().rem_euclid(360.0);
    if deg >= 359.95 { 0.0 } else { deg }
}

/// An unbalance with its direction.
fn vector(page: &Page, kg_m: Complex<f64>) -> String {
    format!("{} at {:.1} deg", unbalance(page, kg_m.norm()), degrees(kg_m))
}

/// A place along the shaft: nobody sets a plane closer.
fn place(page: &Page, m: f64) -> String {
    let (mm, inch) = (1e3 * m, Length::m(m).to_inch());
    match page.first {
        System::Metric => format!("{mm:.1} mm ({inch:.2} in)"),
        System::Inch => format!("{inch:.2} in ({mm:.1} mm)"),
    }
}

fn head(page: &mut Page, report: &BalanceReport) {
    page.line(&report.build);
    let [front, rear] = report.permitted.planes_kg_m;
    page.say(
        0,
        &format!(
            "Balance for {:.0} rpm, grade {} of ISO 21940-11. {:.2} kg spin{}; {} may be left, of it \
             {} in the front tolerance plane at {} and {} in the rear one at {}{}.",
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
    page.say(
        0,
        "SPINNING A SHAFT: guard closed, every bob weight, key and trial weight locked and counted, \
         nobody in the plane of rotation, no faster than the machine and the bob weights allow. \
         The shop's own rules and local codes come first.",
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
    for warning in &report.warnings {
        page.say(2, &format!("Mind: {warning}."));
    }
}

fn verdict(page: &Page, report: &BalanceReport) -> String {
    let judged: &Left = if report.is_measured() { &report.found } else { &report.left };
    let each = |k: usize| {
        format!(
            "{} of {} in the {} tolerance plane",
            unbalance(page, judged.in_tolerance.vectors_kg_m[k].norm()),
            unbalance(page, report.permitted.planes_kg_m[k]),
            PLANES[k]
        )
    };
    let words = match (report.is_measured(), report.verdict()) {
        _ if report.basis == Basis::Parts && report.assumed_shaft => {
            "NOTHING MEASURED, on an assumed shaft".to_owned()
        }
        (true, verdict) => format!("MEASURED: {}", verdict.words()),
        (false, Verdict::Conforms) => {
            "PLANNED TO CONFORM; measure again after correction".to_owned()
        }
        (false, Verdict::NotProven) => {
            "PLANNED, NOT PROVEN; measure again after correction".to_owned()
        }
        (false, Verdict::DoesNotConform) => "NO CORRECTION HERE BRINGS IT WITHIN".to_owned(),
    };
    format!("{words}: {}, {}. Rests on: {}.", each(0), each(1), report.basis.words())
}

fn grams(kg: f64) -> String {
    format!("{:.1} g", 1e3 * kg)
}

fn rotor_text(page: &mut Page, report: &BalanceReport, rotor: &RotorBalance) {
    page.line("");
    let mass = &rotor.mass;
    let known = |kg: Option<f64>| kg.map_or_else(|| "not weighed".to_owned(), grams);
    page.say(
        2,
        &format!(
            "{}: before its cut {}, after it predicted {}, on the scale {}. With all that it \
             carries {}, mass centre {} from the mid-plane{}.",
            rotor.serial,
            known(mass.before_kg),
            mass.predicted_kg.map_or_else(|| "not known".to_owned(), grams),
            known(mass.after_kg),
            grams(rotor.dressed.mass_kg),
            page.amount(Length::m(rotor.finished.mass_centre_m.abs())),
            if rotor.finished.mass_centre_m < 0.0 {
                " towards the plain face"
            } else if rotor.finished.mass_centre_m > 0.0 {
                " towards the gear face"
            } else {
                ""
            }
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
    let shift = unbalance(page, rotor.cut_shift_kg_m.norm());
    let permitted = unbalance(page, rotor.own_permitted_kg_m);
    match &rotor.own {
        None => page.say(
            4,
            &format!(
                "about its own bore: not read; the cut shifts it by {shift}, {permitted} may be \
                 left (grade {} at a third of the shaft's speed)",
                report.rotor_grade
            ),
        ),
        Some(own) => {
            let method = if own.on_mandrel { "on the mandrel" } else { "on rollers and a scale" };
            let mandrel = own.read.mandrel_kg_m.map_or_else(String::new, |own| {
                format!(", the mandrel's own {} taken off", unbalance(page, own.norm()))
            });
            let now = vector(page, own.now_kg_m);
            page.say(
                4,
                &format!(
                    "about its own bore: {now} from tip 1 towards tip 2, heavy side, of \
                     {permitted} (grade {} at a third of the shaft's speed): {}. Read {method}: \
                     {}{mandrel}; the cut shifts it by {shift}. No counterweight can balance this.",
                    report.rotor_grade,
                    own.verdict.words(),
                    vector(page, own.read.vector_kg_m),
                ),
            );
        }
    }
    if !rotor.take.is_empty() {
        let places: Vec<String> = rotor
            .take
            .iter()
            .map(|taken| format!("{} from {}", grams(taken.mass_kg), taken.pocket))
            .collect();
        let left = rotor.own.as_ref().map_or_else(String::new, |own| {
            format!(
                ", about its own bore {} ({})",
                unbalance(page, rotor.finished.unbalance_kg_m.norm()),
                own.planned.words()
            )
        });
        page.say(
            4,
            &format!(
                "TAKE {}: then {}{left}; moments of inertia less by {:.1} kg\u{b7}mm\u{b2} about its \
                 axis",
                places.join(", "),
                grams(rotor.finished.mass_kg),
                -1e6 * rotor.finished.polar_change_kg_m2
            ),
        );
    }
}

fn set(page: &mut Page, report: &BalanceReport) {
    let [before, after, allowed] = report.spread_kg;
    if report.rotors.len() < 2 {
        return;
    }
    page.line("");
    let taken = if (before - after).abs() > 5e-5 {
        format!(", {} with that taken", grams(after))
    } else {
        String::new()
    };
    page.say(
        2,
        &format!(
            "The set: rotors differ by {}{taken}; {} is allowed.",
            grams(before),
            grams(allowed)
        ),
    );
}

fn bobs(page: &mut Page, report: &BalanceReport) {
    for (bob, rotor) in report.bobs.iter().zip(&report.rotors) {
        let used = bob.used_kg.map_or_else(String::new, |kg| format!(" (on it: {})", grams(kg)));
        let both = |values: [f64; 2]| {
            format!(
                "{} front, {} rear",
                metric(Unbalance::g_mm(values[0])),
                metric(Unbalance::g_mm(values[1]))
            )
        };
        page.say(
            2,
            &format!(
                "{}: {} within {:.1} g{used}. Each gram too much: {}; each millimetre too far to \
                 the rear: {}, along its throw.",
                rotor.serial,
                grams(bob.mass_kg),
                1e3 * bob.tolerance_kg,
                both(bob.per_kg_m.map(|m| 1e3 * m)),
                both(bob.per_m_kg.map(|kg| 1e3 * kg)),
            ),
        );
    }
    page.say(
        2,
        "A bob weight has the whole mass of its rotor with all that it carries, and sits in the \
         middle of its journal; what it cannot show, the rotor's own mass centre and oil beside the \
         throw, is added to what the machine shows.",
    );
}

fn counterweights(page: &mut Page, report: &BalanceReport) {
    page.say(
        2,
        "Angles from the throw of rotor 1, in the sense of rotation: clockwise seen from the front. \
         Directions are those of the heavy side: remove metal there, or add it opposite.",
    );
    let text = convention(&report.convention);
    page.say(2, &text);
    if let Some(speed) = report.machine_speed {
        page.say(2, &format!("The machine spins it at {:.0} rpm.", speed.to_rpm()));
    }
    for (k, plane) in report.planes.iter().enumerate() {
        page.line("");
        counterweight(page, report, plane, k);
    }
    page.line("");
    let together = report.together;
    page.say(
        2,
        &format!(
            "Rotors, oil and journals together: static {}, couple {:.1} kg\u{b7}mm\u{b2} at \
             {:.1} deg about the mass centre, {} from the front end of the shaft.",
            vector(page, together.resultant_kg_m),
            1e6 * together.couple_kg_m2.norm(),
            degrees(together.couple_kg_m2),
            place(page, report.body.mass_centre_m)
        ),
    );
}

fn convention(convention: &Convention) -> String {
    format!(
        "The machine's angles: {} spot, counted {}, its zero {:.1} deg from the throw of rotor 1{}.",
        match convention.spot {
            Spot::Heavy => "heavy",
            Spot::Light => "light",
        },
        match convention.angles {
            Counted::WithRotation => "with rotation",
            Counted::AgainstRotation => "against rotation",
        },
        convention.zero_rad.to_degrees(),
        match convention.phase {
            Phase::Lag => "; phases are lags",
            Phase::Lead => "; phases are leads",
        }
    )
}

fn counterweight(page: &mut Page, report: &BalanceReport, plane: &PlaneReport, k: usize) {
    let name = plane.weight.as_ref().map_or_else(String::new, |weight| format!(", {weight}"));
    page.say(2, &format!("{}{name}, at {}:", capital(plane.name), place(page, plane.at_m)));
    let causes: Vec<String> = report
        .needed
        .iter()
        .filter(|(_, both)| both[k].norm() > 0.0)
        .map(|(cause, both)| {
            format!("{} {}", cause.name(), metric(Unbalance::kg_m(both[k].norm())))
        })
        .collect();
    let of = if causes.len() > 1 { format!(" (for {})", causes.join(", ")) } else { String::new() };
    page.say(4, &format!("needed {}{of}", vector(page, plane.needed_kg_m)));
    let said = if report.assumed_shaft {
        "taken to have balanced the rotors as they came in"
    } else {
        "is, as the file says it"
    };
    let present = vector(page, plane.present_kg_m);
    page.say(4, &format!("{said}, {present}: {}", compared(page, plane)));
    let found = vector(page, plane.found_kg_m);
    let sense = match report.basis {
        Basis::Parts => "too much by that",
        Basis::Trials => "too much by the trial runs",
        Basis::Machine => "too much as measured, with what bob weights cannot show",
        Basis::After => "left as measured, with what bob weights cannot show",
    };
    page.say(
        4,
        &format!(
            "{sense}: {found}, {:.1} deg on the machine; {} permitted in this plane, aimed at {}",
            report.convention.shows_unbalance(plane.found_kg_m).angle_rad.to_degrees(),
            unbalance(page, plane.permitted_kg_m),
            unbalance(page, plane.aim_kg_m)
        ),
    );
    match &plane.done {
        None if plane.reached => page.say(4, "nothing to correct"),
        None => page.say(
            4,
            "no places to correct it are in the file ([[balance.front.place]], \
             [[balance.rear.place]])",
        ),
        Some(done) if done.is_empty() => page.say(4, "nothing to correct"),
        Some(done) => {
            operations(page, report, done);
            let left = vector(page, plane.left_kg_m);
            let reached = if plane.reached { "" } else { ", NOT WITHIN" };
            page.say(4, &format!("leaves {left}{reached}"));
        }
    }
}

/// What is done to a counterweight, one line each: millimetres, degrees, grams.
fn operations(page: &mut Page, report: &BalanceReport, done: &[Done]) {
    page.line("    no   angle  machine  radius  drill  depth  to point     mass");
    for work in done {
        let operation = &work.operation;
        let mm = |m: Option<f64>, decimals: usize| {
            m.map_or_else(|| "-".to_owned(), |m| format!("{:.decimals$}", 1e3 * m))
        };
        let sign = if operation.taken_off_kg < 0.0 { "+" } else { "-" };
        let depths = if work.how == How::Flat { 2 } else { 1 };
        page.line(&format!(
            "    {:>2}  {:>6.1}  {:>7.1}  {:>6.1}  {:>5}  {:>5}  {:>8}  {:>8}  {}",
            work.number,
            work.angle_rad.to_degrees().rem_euclid(360.0),
            report.on_machine_deg(Complex::cis(work.angle_rad)),
            1e3 * work.radius_m,
            mm(operation.diameter_m, 1),
            mm(operation.depth_m, depths),
            mm(operation.tip_depth_m, 1),
            format!("{sign}{}", grams(operation.taken_off_kg.abs())),
            work.how.name()
        ));
    }
    page.say(
        4,
        "Degrees and millimetres. Depth is to full diameter, or of a flat from the rim; to point \
         is to the drill's tip.",
    );
}

/// How a counterweight compares with what is needed, and what mends it.
fn compared(page: &Page, plane: &PlaneReport) -> String {
    let compared = &plane.compared;
    let amount = unbalance(page, compared.too_much_kg_m.abs());
    let heavy = if compared.too_much_kg_m > 0.0 { "too heavy" } else { "too light" };
    let mut text = format!("{heavy} by {amount}");
    if let Some(ahead) = compared.ahead_rad.map(f64::to_degrees).filter(|a| a.abs() > SEEN_DEG) {
        let way = if ahead > 0.0 { "ahead" } else { "behind" };
        text.push_str(&format!(", {:.1} deg {way} in the sense of rotation", ahead.abs()));
    }
    let excess = compared.excess_kg_m;
    text.push_str(&format!(
        "; to mend it by its figures remove {} at {:.1} deg or add as much at {:.1} deg",
        unbalance(page, excess.norm()),
        degrees(excess),
        degrees(-excess)
    ));
    text
}

fn capital(name: &str) -> String {
    let mut letters = name.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

fn trials(page: &mut Page, report: &BalanceReport) {
    let Some(trials) = &report.trials else { return };
    for plane in &trials.planes {
        let add = -trials.unbalance.vectors_kg_m[*plane];
        let shown = report.convention.shows_mass(add);
        page.say(
            2,
            &format!(
                "{}: add {}, {:.1} deg on the machine, or remove as much opposite; standard \
                 uncertainty {}. Counted from the shaft without trial weights.",
                capital(PLANES[*plane]),
                vector(page, add),
                shown.angle_rad.to_degrees(),
                unbalance(page, trials.unbalance.u_kg_m[*plane]),
            ),
        );
    }
    let checked = match (trials.freedom, trials.chance) {
        (0, _) | (_, None) => "nothing checks these runs: one more would".to_owned(),
        (freedom, Some(chance)) => format!(
            "{freedom} degrees of freedom check them, a fit as bad has a chance of {:.0} %",
            100.0 * chance
        ),
    };
    page.say(2, &format!("Condition number {:.1}; {checked}.", trials.condition));
    for speed in &trials.speeds {
        for sensor in &speed.sensors {
            page.say(
                2,
                &format!(
                    "{:.0} rpm, {}: {:.2} {} as found, {:.2} {} expected",
                    speed.speed.to_rpm(),
                    sensor.name,
                    sensor.baseline.norm(),
                    sensor.unit,
                    sensor.expected.norm(),
                    sensor.unit
                ),
            );
        }
    }
    if report.basis != Basis::Trials {
        page.say(2, &format!("The correction above rests on {}.", report.basis.words()));
    }
}

fn not_promised(page: &mut Page, report: &BalanceReport) {
    page.line("What the grade does not promise");
    let rotors: Vec<String> =
        report.running.rotors_kg_m.iter().map(|kg_m| metric(Unbalance::kg_m(*kg_m))).collect();
    page.say(
        2,
        &format!(
            "In service the rotors run off centre in their bearings: up to {} each, and the whole \
             in the main bearings up to {}, beside {} permitted. A fine grade balances the parts; it \
             does not make the engine that smooth.",
            rotors.join(", "),
            metric(Unbalance::kg_m(report.running.mains_kg_m)),
            metric(Unbalance::kg_m(report.permitted.total_kg_m))
        ),
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
    page.say(2, &critical);
    page.say(
        2,
        &format!(
            "Verdicts after {EDITION}, {:.0} % conformance probability, with the uncertainty of \
             machine, scale and mass centres.",
            100.0 * PROBABILITY
        ),
    );
}

fn grounds(page: &mut Page, report: &BalanceReport) {
    if report.assumed.is_empty() {
        return;
    }
    page.line("");
    page.line("Assumed, because the file does not say:");
    for sentence in &report.assumed {
        page.say(2, &format!("- {sentence}"));
    }
}
