//! The sheet of the set: all rotors side by side, their order, and what they must agree in.

use super::Stamp;
use super::cautions;
use super::cells::{Scale, facts, figure, heading, size, table, text, words};
use crate::ops::PlanReport;
use kernel::readings::{Face, Tolerance};
use kernel::units::{Length, System};
use paper::{Block, Cell, Paper};

/// The sheet of a plan's set.
pub(super) fn paper(report: &PlanReport, stamp: &Stamp) -> Paper {
    let mut paper = stamp.paper("Cut sheet, the set".to_owned(), &report.build);
    let cut = report.rotors.iter().any(|rotor| !rotor.plan.cut.is_nothing());
    let several = report.rotors.len() > 1;
    let mut blocks = vec![wanted(report, stamp.first)];
    if cut {
        blocks.push(cautions::at_the_machine());
    } else {
        blocks.push(text("NOTHING IS CUT. Read the rotors again, and enter what was read."));
    }
    blocks.push(rotors(report, stamp.first));
    blocks.push(clearances(report, stamp.first));
    blocks.push(heading("Order"));
    blocks.push(Block::Steps { from: 1, steps: order(report, cut, several, stamp.first) });
    let warnings: Vec<String> = report
        .rotors
        .iter()
        .flat_map(|rotor| {
            rotor.warnings.iter().map(move |warning| format!("{}: {warning}", rotor.serial))
        })
        .collect();
    if !warnings.is_empty() {
        blocks.push(heading("Mind"));
        blocks.push(Block::List { items: warnings });
    }
    if !report.assumed.is_empty() {
        blocks.push(heading("Assumed, since the build does not say"));
        blocks.push(Block::List { items: report.assumed.clone() });
    }
    blocks.push(Block::Lines {
        labels: ["machined by, on", "checked by, on"].map(str::to_owned).to_vec(),
    });
    paper.blocks = blocks;
    paper
}

fn wanted(report: &PlanReport, first: System) -> Block {
    let amount = |length: Length| length.as_amount(first).to_string();
    let (clearance, step) = (report.spec.side_clearance, report.spec.step);
    let off: f64 = report.rotors.iter().map(|rotor| rotor.removed().to_g()).sum();
    let mut rows = vec![
        ("Spec", report.spec_name.clone()),
        (
            "Side clearance",
            format!(
                "{} \u{b1} {}, both sides together",
                clearance.target.as_size(first),
                amount(clearance.tolerance)
            ),
        ),
        ("Step", format!("{} \u{b1} {}", amount(step.target), amount(step.tolerance))),
    ];
    if report.rotors.len() > 1 {
        rows.push((
            "Match",
            format!(
                "side clearances of the set differ by {} as planned, by {} at the most",
                amount(report.spread),
                amount(report.spec.matching)
            ),
        ));
    }
    rows.push(("Comes off", format!("{off:.1} g in all")));
    facts(&rows)
}

fn rotors(report: &PlanReport, first: System) -> Block {
    let amount = |length: Length| length.as_amount(first).to_string();
    let rows = report
        .rotors
        .iter()
        .map(|rotor| {
            let [from, to] = Scale::Size.limits(rotor.hold.land_width, first);
            let [gear, plain] = Face::BOTH.map(|face| {
                let cut = rotor.plan.cut.face(face);
                let depth = cut.land.into_iter().chain(cut.tip).fold(Length::ZERO, Length::max);
                if depth > Length::ZERO { figure(&amount(depth)) } else { words("as it is") }
            });
            vec![
                words(format!("{} in {}", rotor.serial, rotor.housing)),
                gear,
                plain,
                size(rotor.plan.land_width, first),
                from,
                to,
            ]
        })
        .collect();
    table(
        "The rotors, from the front",
        &["", "gear face, deepest", "plain face, deepest", "land width, aim", "from", "to"],
        rows,
        Some("Each rotor has a sheet of its own, with its figures at every tip.".to_owned()),
    )
}

fn clearances(report: &PlanReport, first: System) -> Block {
    let rows = report
        .rotors
        .iter()
        .map(|rotor| {
            vec![
                words(format!("{} in {}", rotor.serial, rotor.housing)),
                figure(&rotor.width.least.value().as_size(first).to_string()),
                Cell::Room,
                figure(&rotor.plan.side_clearance.as_amount(first).to_string()),
                Cell::Room,
            ]
        })
        .collect();
    let several = report.rotors.len() > 1;
    let most = Tolerance { least: Length::ZERO, most: report.spec.matching };
    let [_, most] = Scale::Amount.words(most, first);
    table(
        "Side clearance: the housing's least width less the greatest land width got",
        &["", "housing, least", "land width got, greatest", "side clearance, aim", "got"],
        rows,
        several.then(|| {
            format!(
                "Fill in the line of a rotor as soon as it is read. The greatest less the least of the \
                 last column must be no more than {most}, and less by the gauges' error to be proven."
            )
        }),
    )
}

fn order(report: &PlanReport, cut: bool, several: bool, first: System) -> Vec<String> {
    if !cut {
        return vec![
            "Read every rotor by its own sheet, and enter the readings at the bench.".to_owned(),
        ];
    }
    if !several {
        return vec![
            "Read the rotor again before it is cut, cut it by its own sheet, and fill in its line \
             above."
                .to_owned(),
            "Enter all readings at the bench.".to_owned(),
        ];
    }
    let housings: Vec<String> = report
        .rotors
        .iter()
        .skip(1)
        .map(|rotor| {
            format!(
                "{}: {} less the side clearance got on the first",
                rotor.serial,
                rotor.width.least.value().as_size(first)
            )
        })
        .collect();
    vec![
        "Read every rotor again before any of them is cut, by its own sheet: if one is not what its \
         sheet says, the plan of the whole set changes."
            .to_owned(),
        "Cut the first of the table whole, both faces, read it off the machine, and fill in its line."
            .to_owned(),
        format!(
            "Cut the others to match it, while they still have metal. Each one's land width becomes its \
             housing's least width less the side clearance that the first got ({}), as long as that is \
             within its own from and to; else stop and ask.",
            housings.join("; ")
        ),
        "Keep each with its own sheet: rotors of a set look alike.".to_owned(),
        "Enter all readings at the bench.".to_owned(),
    ]
}
