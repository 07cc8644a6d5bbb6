//! The balance sheet: what to take from the rotors, how heavy the bob weights are, what is drilled
//! into the counterweights and what the machine shows then, in the order of the work.

use super::Stamp;
use super::cells::{facts, figure, heading, strong, table, words};
use crate::build_file::Build;
use crate::build_file::model::balance::How;
use crate::ops::{BalanceReport, Basis, Done, PlanReport, PlaneReport, balance_pictures, phrase};
use crate::text::balance::{
    self as words_of, CAUTION, grams, next_steps, place, planned, promises_not, turn_deg,
    unbalance, vector,
};
use crate::text::page::Page;
use kernel::balance::Complex;
use kernel::units::{Length, System};
use paper::{Block, Cell, Paper, Picture};

/// The sheet of a balance.
pub(super) fn paper(
    build: &Build,
    plan: &PlanReport,
    report: &BalanceReport,
    stamp: &Stamp,
) -> Paper {
    let page = Page { text: String::new(), first: stamp.first };
    let mut paper = stamp.paper("Balance sheet".to_owned(), &report.build);
    let mut blocks = vec![
        head(&page, report),
        Block::Caution { texts: [CAUTION, super::cautions::ESTIMATE].map(str::to_owned).to_vec() },
    ];
    if report.basis == Basis::Parts {
        blocks.push(Block::Caution {
            texts: vec![
                "DO NOT DRILL BY THIS SHEET. No machine has shown anything yet: it is for making up \
                 the bob weights and for spinning. What is worked out from the parts is no measurement."
                    .to_owned(),
            ],
        });
    }
    if !report.warnings.is_empty() {
        blocks.push(heading("Mind"));
        blocks.push(Block::List { items: report.warnings.clone() });
    }
    blocks.push(heading("1  Rotors: what to take, before they are weighed"));
    blocks.extend(rotors(&page, report));
    blocks.push(heading("2  Bob weights"));
    blocks.push(bobs(report));
    blocks.push(heading("3  Counterweights"));
    blocks.push(Block::Text {
        text: format!(
            "Angles from the throw of rotor 1 in the sense in which the engine turns: clockwise seen \
             from the front. Directions are those of the heavy side: remove metal there, or add it \
             opposite. {}",
            words_of::machine::convention(&report.convention)
        ),
    });
    let pictures = balance_pictures(build, plan, report, stamp.first);
    for plane in &report.planes {
        blocks.extend(counterweight(&page, report, plane));
        let of = |kind: &str| {
            let name = format!("balance-{}-{kind}", plane.name);
            pictures.iter().find(|picture| picture.name == name).map(|picture| Picture {
                words: format!("{} counterweight: {kind}", phrase::capitalised(plane.name)),
                svg: picture.svg.clone(),
                percent: 84,
            })
        };
        for picture in ["vectors", "counterweight"].into_iter().filter_map(of) {
            blocks.push(Block::Picture(picture));
        }
    }
    blocks.push(heading("4  Spin again"));
    let steps = next_steps(report).into_iter().filter(|step| !step.contains('['));
    blocks.push(Block::Steps { from: 1, steps: steps.collect() });
    blocks.push(shows(&page, report));
    blocks.push(heading("What the grade does not promise"));
    blocks.push(Block::List { items: promises_not(&page, report).to_vec() });
    if !report.assumed.is_empty() {
        blocks.push(heading("Assumed, since the build does not say"));
        blocks.push(Block::List { items: report.assumed.clone() });
    }
    blocks.push(Block::Lines {
        labels: ["balanced by, on", "machine", "checked by, on"].map(str::to_owned).to_vec(),
    });
    paper.blocks = blocks;
    paper
}

/// Where the machine's needle ends: not at nothing.
fn shows(page: &Page, report: &BalanceReport) -> Block {
    let row = |when: &str, vectors: Option<[Complex<f64>; 2]>, room: bool| {
        let mut cells = vec![words(when)];
        for k in 0..2 {
            match vectors {
                Some(both) => {
                    let shown = report.convention.shows_unbalance(both[k]);
                    let deg = turn_deg(shown.angle_rad.to_degrees());
                    cells.push(figure(&unbalance(page, shown.amount)));
                    cells.push(figure(&format!("{deg:.1} deg")));
                }
                None if room => cells.extend([Cell::Room, Cell::Room]),
                None => cells.extend([Cell::Empty, Cell::Empty]),
            }
        }
        cells
    };
    let mut rows = Vec::new();
    if let Some(machine) = &report.machine {
        rows.push(row("it showed", Some(machine.shown_kg_m), false));
        rows.push(row("STOP AT, same bob weights", Some(machine.then_kg_m), false));
        rows.push(row("STOP AT, bob weights of part 2", Some(machine.then_asked_kg_m), false));
    } else {
        rows.push(row("before correction", None, true));
    }
    rows.push(row("after correction", None, true));
    rows.push(row("at last", None, true));
    table(
        "What the machine shows, as it counts",
        &["", "front: amount", "front: angle", "rear: amount", "rear: angle"],
        rows,
        report.machine.as_ref().map(|_| {
            "The machine need not end at nothing: bob weights do not have the rotors' own mass centres, \
             nor always their masses. Whoever chases nothing unbalances the engine."
                .to_owned()
        }),
    )
}

fn head(page: &Page, report: &BalanceReport) -> Block {
    let [front, rear] = report.permitted.planes_kg_m;
    let [front_at, rear_at] = report.tolerance_planes.at_m();
    let spin = if report.body_weighed { "weighed" } else { "reckoned" };
    let mut rows = vec![
        (
            "Balanced for",
            format!("{:.0} rpm, grade {} of ISO 21940-11", report.speed.to_rpm(), report.grade),
        ),
        ("What spins", format!("{:.2} kg, {spin}", report.body.mass.to_kg())),
        (
            "May be left",
            format!(
                "{}: {} in the front tolerance plane at {} and {} in the rear one at {}, from the \
                 front end of the shaft",
                unbalance(page, report.permitted.total_kg_m),
                unbalance(page, front),
                place(page, front_at),
                unbalance(page, rear),
                place(page, rear_at)
            ),
        ),
        ("Verdict", words_of::verdict(page, report)),
    ];
    if let Some(verdict) = report.rotors_verdict() {
        let taken = report.rotors.iter().any(|rotor| !rotor.take.is_empty());
        rows.push(("Rotors", format!("about their own bores: {}", planned(verdict, taken))));
    }
    if report.rotors.len() > 1 {
        let [_, after, allowed] = report.spread_kg;
        let verdict = planned(report.set_verdict, true);
        rows.push((
            "Set",
            format!("{} apart of {} allowed: {verdict}", grams(after), grams(allowed)),
        ));
    }
    if report.assumed_shaft {
        rows.push((
            "Shaft",
            "assumed, scaled from the engine's sizes: nothing is proven".to_owned(),
        ));
    }
    facts(&rows)
}

/// A small length of a drawing: nobody sets a pocket or a drill closer.
fn setting(page: &Page, m: Option<f64>, decimals: usize) -> Cell {
    let Some(m) = m else { return Cell::Empty };
    let (metric, inch) =
        (format!("{:.decimals$} mm", 1e3 * m), format!("{:.3} in", Length::m(m).to_inch()));
    match page.first {
        System::Metric => Cell::Figure(metric, Some(inch)),
        System::Inch => Cell::Figure(inch, Some(metric)),
    }
}

fn rotors(page: &Page, report: &BalanceReport) -> Vec<Block> {
    let mut rows = Vec::new();
    for rotor in &report.rotors {
        let whole = strong(&grams(rotor.finished.mass_kg));
        if rotor.take.is_empty() {
            let [e1, e2] = [Cell::Empty, Cell::Empty];
            let name = words(format!("{}: nothing", rotor.serial));
            rows.push(vec![name, words("as it is"), e1, e2, whole, Cell::Room]);
            continue;
        }
        for (i, taken) in rotor.take.iter().enumerate() {
            let last = i + 1 == rotor.take.len();
            rows.push(vec![
                words(format!("{}: {}", rotor.serial, taken.pocket)),
                strong(&grams(taken.mass_kg)),
                figure(&format!("{:.1} deg", turn_deg(taken.angle_rad.to_degrees()))),
                setting(page, Some(taken.radius_m), 1),
                if last { whole.clone() } else { Cell::Empty },
                if last { Cell::Room } else { Cell::Empty },
            ]);
        }
    }
    vec![table(
        "Rotors, from the front",
        &["", "take off", "from tip 1 towards tip 2", "radius", "then, with all it carries", "got"],
        rows,
        Some(
            "Take it after the faces are cut. Then weigh and read the rotor again and enter it before \
             the bob weights are made up. A pocket's floor is thin and carries the pressure: how deep \
             it may go, and from which side, is the shop's own limit; if it is not known, stop and ask."
                .to_owned(),
        ),
    )]
}

fn bobs(report: &BalanceReport) -> Block {
    let rows = report
        .bobs
        .iter()
        .zip(&report.rotors)
        .map(|(bob, rotor)| {
            let oil_kg = bob.mass_kg - rotor.finished.mass_kg;
            vec![
                words(format!("on the journal of {}", rotor.serial)),
                figure(&grams(rotor.finished.mass_kg)),
                figure(&grams(oil_kg)),
                strong(&grams(bob.mass_kg)),
                figure(&format!("{:.1} g", 1e3 * bob.tolerance_kg)),
                bob.used_kg.map_or(Cell::Empty, |kg| figure(&grams(kg))),
                Cell::Room,
            ]
        })
        .collect();
    table(
        "Bob weights",
        &["", "rotor", "its oil", "make up to", "within", "was", "got"],
        rows,
        Some(
            "Each has the whole mass of its rotor with all that it carries, after what part 1 takes, \
             with its oil, and sits in the middle of its journal. What it cannot show, the rotor's own mass centre \
             and oil beside the throw, is added to what the machine shows."
                .to_owned(),
        ),
    )
}

fn counterweight(page: &Page, report: &BalanceReport, plane: &PlaneReport) -> Vec<Block> {
    let name = plane.weight.as_ref().map_or_else(String::new, |weight| format!(", {weight}"));
    let title =
        format!("{}{name}, at {}", phrase::capitalised(plane.name), place(page, plane.at_m));
    let mut blocks = vec![Block::Heading { level: 2, text: title }];
    let present = format!(
        "{}; {}",
        vector(page, plane.present_kg_m),
        words_of::machine::compared(page, report, plane)
    );
    let mut rows =
        vec![("Needed", vector(page, plane.needed_kg_m)), ("Is, by the figures", present)];
    if plane.withheld.is_none() {
        rows.push(("Too much", vector(page, plane.found_kg_m)));
        rows.push((
            "Permitted",
            format!(
                "{} in this plane; a correction may leave {}, so that the uncertainty has room",
                unbalance(page, plane.permitted_kg_m),
                unbalance(page, plane.aim_kg_m)
            ),
        ));
    }
    let said = match (plane.withheld, &plane.done) {
        (Some(why), _) => phrase::capitalised(why),
        (None, _) if report.basis == Basis::Parts => {
            "none yet: spin it first, nothing here was measured".to_owned()
        }
        (None, Some(done)) if !done.is_empty() => {
            let within = if plane.reached { "" } else { ": not within" };
            format!("the work below leaves {}{within}", vector(page, plane.left_kg_m))
        }
        (None, _) if plane.reached => "nothing to correct".to_owned(),
        (None, _) => format!(
            "not within, and no place of the file helps: remove {} at {:.1} deg, or add as much at \
             {:.1} deg",
            unbalance(page, plane.found_kg_m.norm()),
            words_of::degrees(plane.found_kg_m),
            words_of::degrees(-plane.found_kg_m)
        ),
    };
    rows.push(("Correction", said));
    blocks.push(facts(&rows));
    if let Some(done) =
        plane.done.as_ref().filter(|done| !done.is_empty() && report.basis != Basis::Parts)
    {
        blocks.push(operations(page, report, plane, done));
    }
    blocks
}

fn operations(page: &Page, report: &BalanceReport, plane: &PlaneReport, done: &[Done]) -> Block {
    let mut notes = vec![
        "Depth is to full diameter, or of a flat from the rim; to point is to the drill's tip. A hole \
         that lies beside the plane acts a little on the other plane too, so the arrows of one plane \
         alone need not close."
            .to_owned(),
    ];
    if let Some(face_m) = plane.face_m {
        let from = if face_m > plane.at_m { "rear" } else { "front" };
        notes
            .insert(0, format!("Drill from the {from}, from the face at {}.", place(page, face_m)));
    }
    let rows = done
        .iter()
        .map(|work| {
            let operation = &work.operation;
            if let Some((mass_kg, pull_n)) = work.fixed(report.speed) {
                notes.push(format!(
                    "No {}: what is fixed there ({}) pulls outwards with {pull_n:.0} N at service \
                     speed: pin, peen or thread it for several times that.",
                    work.number,
                    grams(mass_kg)
                ));
            }
            let sign = if operation.taken_off_kg < 0.0 { "+" } else { "\u{2212}" };
            let depth = usize::from(work.how == How::Flat) + 1;
            let on_machine = turn_deg(report.on_machine_deg(Complex::cis(work.angle_rad)));
            vec![
                words(format!("{} {}", work.number, work.how.name())),
                strong(&format!("{:.1} deg", turn_deg(work.angle_rad.to_degrees()))),
                figure(&format!("{on_machine:.1} deg")),
                setting(page, Some(work.radius_m), 1),
                setting(page, operation.diameter_m, 1),
                setting(page, operation.depth_m, depth),
                setting(page, operation.tip_depth_m, 1),
                figure(&format!("{sign}{}", grams(operation.taken_off_kg.abs()))),
                Cell::Room,
            ]
        })
        .collect();
    table(
        "What is done there",
        &["no", "angle", "on the machine", "radius", "drill", "depth", "to point", "mass", "done"],
        rows,
        Some(notes.join(" ")),
    )
}
