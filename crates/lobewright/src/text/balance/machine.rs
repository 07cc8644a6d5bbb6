//! The balancing machine: bob weights, how it counts, and what is drilled into the counterweights.

use super::super::page::Page;
use super::{alone, degrees, grams, place, turn_deg, unbalance, vector};
use crate::build_file::model::balance::How;
use crate::ops::{BalanceReport, Basis, Done, PlaneReport, phrase};
use kernel::balance::{Complex, Convention};
use kernel::units::{Length, System};

/// Angles below this many degrees are not spoken of: nobody sets a degree wheel closer.
const SEEN_DEG: f64 = 0.05;
/// Oil below this is not spoken of beside a bob weight.
const SEEN_KG: f64 = 5e-5;

pub(super) fn bobs(page: &mut Page, report: &BalanceReport) {
    for (bob, rotor) in report.bobs.iter().zip(&report.rotors) {
        let used = bob.used_kg.map_or_else(String::new, |kg| format!(" It was {}.", grams(kg)));
        let oil_kg = bob.mass_kg - rotor.finished.mass_kg;
        let oil = if oil_kg.abs() > SEEN_KG {
            format!(" = {} + {} for its oil", grams(rotor.finished.mass_kg), grams(oil_kg))
        } else {
            String::new()
        };
        let both = |values: [f64; 2]| {
            format!("{} front, {} rear", alone(page, values[0]), alone(page, values[1]))
        };
        let text = format!(
            "{}: {}{oil}, within {:.1} g.{used} Each gram too much: {}; each millimetre too far to \
             the rear: {}, along its throw.",
            rotor.serial,
            grams(bob.mass_kg),
            1e3 * bob.tolerance_kg,
            both(bob.per_kg_m.map(|m| 1e-3 * m)),
            both(bob.per_m_kg.map(|kg| 1e-3 * kg)),
        );
        page.say(2, &text);
    }
    page.say(
        2,
        "A bob weight has the whole mass of its rotor with all that it carries, after what part 1 \
         takes, and sits in the middle of its journal. What it cannot show, the rotor's own mass \
         centre and oil beside the throw, is added to what the machine shows.",
    );
}

pub(super) fn counterweights(page: &mut Page, report: &BalanceReport) {
    page.say(
        2,
        "Angles from the throw of rotor 1, in the sense in which the engine turns: clockwise seen \
         from the front. Directions are those of the heavy side: remove metal there, or add it \
         opposite.",
    );
    let text = convention(&report.convention);
    page.say(2, &text);
    if let Some(speed) = report.machine_speed {
        page.say(2, &format!("The machine spins it at {:.0} rpm.", speed.to_rpm()));
    }
    for k in 0..2 {
        page.line("");
        counterweight(page, report, k);
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

pub(crate) fn convention(convention: &Convention) -> String {
    format!(
        "The machine points to the {} spot and counts {}; its zero lies {:.1} deg from the throw of \
         rotor 1; phases are {}s. The column \"machine\" is the place itself on its scale.",
        convention.spot.name(),
        convention.angles.name(),
        convention.zero_rad.to_degrees(),
        convention.phase.name()
    )
}

fn counterweight(page: &mut Page, report: &BalanceReport, k: usize) {
    let plane = &report.planes[k];
    let name = plane.weight.as_ref().map_or_else(String::new, |weight| format!(", {weight}"));
    let title =
        format!("{}{name}, at {}:", phrase::capitalised(plane.name), place(page, plane.at_m));
    page.say(2, &title);
    let causes: Vec<String> = report
        .needed
        .iter()
        .filter(|(_, both)| both[k].norm() > 0.0)
        .map(|(cause, both)| format!("{} {}", cause.name(), alone(page, both[k].norm())))
        .collect();
    let of = if causes.len() > 1 { format!(" (for {})", causes.join(", ")) } else { String::new() };
    let needed = vector(page, plane.needed_kg_m);
    page.say(4, &format!("needed {needed}{of}"));
    let said = if report.assumed_shaft {
        "taken to have balanced the rotors as they came in"
    } else {
        "is, by the file's figures"
    };
    let text =
        format!("{said}, {}: {}", vector(page, plane.present_kg_m), compared(page, report, plane));
    page.say(4, &text);
    if let Some(why) = plane.withheld {
        page.say(4, &phrase::capitalised(why));
        return;
    }
    found(page, report, k);
    match &plane.done {
        None if plane.reached => page.say(4, "Nothing to correct."),
        None => {
            let text = format!(
                "NOT WITHIN, and the file names no place for a correction ([[balance.{}.place]]).",
                plane.name
            );
            page.say(4, &text);
        }
        Some(done) if done.is_empty() && plane.reached => page.say(4, "Nothing to correct."),
        Some(done) if done.is_empty() => {
            let text = format!(
                "NOT WITHIN, and no place of the file helps: remove {} at {:.1} deg, or add as much \
                 at {:.1} deg.",
                unbalance(page, plane.found_kg_m.norm()),
                degrees(plane.found_kg_m),
                degrees(-plane.found_kg_m)
            );
            page.say(4, &text);
        }
        Some(done) => {
            operations(page, report, plane, done);
            let reached = if plane.reached { "" } else { ": NOT WITHIN" };
            let text = format!("leaves {}{reached}", vector(page, plane.left_kg_m));
            page.say(4, &text);
        }
    }
}

/// What is there, as it was shown and as it is.
fn found(page: &mut Page, report: &BalanceReport, k: usize) {
    let plane = &report.planes[k];
    if let Some(machine) = &report.machine {
        let shown = report.convention.shows_unbalance(machine.shown_kg_m[k]);
        let text = format!(
            "the machine showed {} at {:.1} deg on its scale, which is {:.1} deg here; with {} that \
             bob weights cannot show",
            alone(page, shown.amount),
            turn_deg(shown.angle_rad.to_degrees()),
            degrees(machine.shown_kg_m[k]),
            vector(page, machine.unseen_kg_m[k])
        );
        page.say(4, &text);
    }
    let what = match report.basis {
        Basis::Parts => "so there is too much",
        Basis::Trials => "by the trial runs there is too much",
        Basis::Machine => "there is too much",
        Basis::After | Basis::RunAfter => "there is left",
    };
    let text = format!(
        "{what}: {}. Permitted in this plane {}; a correction may leave {}, so that the uncertainty \
         has room",
        vector(page, plane.found_kg_m),
        unbalance(page, plane.permitted_kg_m),
        unbalance(page, plane.aim_kg_m)
    );
    page.say(4, &text);
}

/// What is done to a counterweight, one line each: degrees, lengths, grams.
fn operations(page: &mut Page, report: &BalanceReport, plane: &PlaneReport, done: &[Done]) {
    if let Some(face_m) = plane.face_m {
        let from = if face_m > plane.at_m { "rear" } else { "front" };
        let text = format!("drilled from the {from}, from the face at {}", place(page, face_m));
        page.say(4, &text);
    }
    page.line("    no   angle  machine  radius   drill   depth  to point     mass");
    for work in done {
        let operation = &work.operation;
        let length = |m: Option<f64>, extra: usize| match (m, page.first) {
            (None, _) => "-".to_owned(),
            (Some(m), System::Metric) => format!("{:.*}", 1 + extra, 1e3 * m),
            (Some(m), System::Inch) => format!("{:.3}", Length::m(m).to_inch()),
        };
        let sign = if operation.taken_off_kg < 0.0 { "+" } else { "-" };
        let extra = usize::from(work.how == How::Flat);
        let line = format!(
            "    {:>2}  {:>6.1}  {:>7.1}  {:>6}  {:>6}  {:>6}  {:>8}  {:>8}  {}",
            work.number,
            turn_deg(work.angle_rad.to_degrees()),
            turn_deg(report.on_machine_deg(Complex::cis(work.angle_rad))),
            length(Some(work.radius_m), 0),
            length(operation.diameter_m, 0),
            length(operation.depth_m, extra),
            length(operation.tip_depth_m, 0),
            format!("{sign}{}", grams(operation.taken_off_kg.abs())),
            work.how.name()
        );
        page.line(&line);
        if let Some((mass_kg, pull_n)) = work.fixed(report.speed) {
            let what = match work.how {
                How::Slug => format!(
                    "the slug itself weighs {}, as long as the hole at full diameter, and",
                    grams(mass_kg)
                ),
                _ => "it".to_owned(),
            };
            page.say(
                8,
                &format!(
                    "{what} pulls outwards with {pull_n:.0} N at service speed: pin, peen or thread \
                     it for several times that"
                ),
            );
        }
    }
    let unit = match page.first {
        System::Metric => "millimetres",
        System::Inch => "inches",
    };
    page.say(
        4,
        &format!(
            "Degrees and {unit}. Depth is to full diameter, or of a flat from the rim; to point is \
             to the drill's tip. Mass is what the counterweight loses or gains."
        ),
    );
}

/// How a counterweight compares with what is needed, and what mends it where nothing was measured.
pub(crate) fn compared(page: &Page, report: &BalanceReport, plane: &PlaneReport) -> String {
    let compared = &plane.compared;
    let amount = unbalance(page, compared.too_much_kg_m.abs());
    let heavy = if compared.too_much_kg_m > 0.0 { "too heavy" } else { "too light" };
    let mut text = format!("{heavy} by {amount}");
    if let Some(ahead) = compared.ahead_rad.map(f64::to_degrees).filter(|a| a.abs() > SEEN_DEG) {
        let way = if ahead > 0.0 { "ahead of" } else { "behind" };
        text.push_str(&format!(", {:.1} deg {way} where it belongs", ahead.abs()));
    }
    if report.basis == Basis::Parts {
        let excess = compared.excess_kg_m;
        text.push_str(&format!(
            "; remove {} at {:.1} deg or add as much at {:.1} deg",
            unbalance(page, excess.norm()),
            degrees(excess),
            degrees(-excess)
        ));
    } else {
        text.push_str("; what was measured below decides");
    }
    text
}
