//! The sheet of the set: all rotors side by side, their order, and what they must agree in.

use super::Stamp;
use super::cautions;
use super::cells::{Scale, facts, figure, heading, size, table, text, words};
use crate::ops::PlanReport;
use kernel::readings::{Face, Tolerance};
use kernel::units::Length;
use paper::{Block, Cell, Paper};

/// The sheet of a plan's set.
pub(super) fn paper(report: &PlanReport, stamp: &Stamp) -> Paper {
    let first = stamp.first;
    let amount = |length: Length| length.as_amount(first).to_string();
    let mut paper = stamp.paper("Cut sheet, the set".to_owned(), &report.build);
    let clearance = report.spec.side_clearance;
    let step = report.spec.step;
    let off: f64 = report.rotors.iter().map(|rotor| rotor.removed().to_g()).sum();
    let mut blocks = vec![
        facts(&[
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
            (
                "Match",
                format!(
                    "side clearances of the set differ by {} as planned, by {} at the most",
                    amount(report.spread),
                    amount(report.spec.matching)
                ),
            ),
            ("Comes off", format!("{off:.1} g in all")),
        ]),
        cautions::at_the_machine(),
    ];
    let rows = report
        .rotors
        .iter()
        .map(|rotor| {
            let [from, to] = Scale::Size.limits(rotor.hold.land_width, first);
            let deepest = |face: Face| {
                let cut = rotor.plan.cut.face(face);
                cut.land.into_iter().chain(cut.tip).fold(Length::ZERO, Length::max)
            };
            let cut = Face::BOTH.map(|face| {
                let depth = deepest(face);
                if depth > Length::ZERO { figure(&amount(depth)) } else { words("as it is") }
            });
            let [gear, plain] = cut;
            vec![
                words(format!("{} in {}", rotor.serial, rotor.housing)),
                gear,
                plain,
                size(rotor.plan.land_width, first),
                from,
                to,
                Cell::Room,
                Cell::Room,
            ]
        })
        .collect();
    blocks.push(table(
        "The rotors, from the front",
        &[
            "",
            "gear face, deepest",
            "plain face, deepest",
            "land width, aim",
            "from",
            "to",
            "got, least",
            "got, most",
        ],
        rows,
        Some(
            "Each rotor has a sheet of its own, with its set-ups and its figures at every tip."
                .to_owned(),
        ),
    ));
    let rows = report
        .rotors
        .iter()
        .map(|rotor| {
            vec![
                words(format!("{} in {}", rotor.serial, rotor.housing)),
                figure(&rotor.width.least.value().as_size(first).to_string()),
                figure(&rotor.plan.side_clearance.as_amount(first).to_string()),
                Cell::Room,
            ]
        })
        .collect();
    blocks.push(table(
        "Side clearance: the housing's least width less the greatest land width got",
        &["", "housing, least", "side clearance, aim", "got"],
        rows,
        Some(format!(
            "The greatest less the least of the last column must be no more than {}. If it is more, \
             stop and ask before anything is cut again.",
            Scale::Amount
                .most(Tolerance { least: Length::ZERO, most: report.spec.matching }, first)
        )),
    ));
    blocks.push(heading("Order"));
    blocks.push(Block::Steps {
        from: 1,
        steps: [
            "Read every rotor again before any of them is cut, by its own sheet: if one is not what \
             its sheet says, the plan of the whole set changes.",
            "Cut one rotor whole, both faces, and read it. If it came out of its limits, stop: the \
             others may still be planned to match it.",
            "Cut the others. Keep each with its own sheet; rotors of a set look alike.",
            "Fill in the table above, then enter all readings at the bench.",
        ]
        .map(str::to_owned)
        .to_vec(),
    });
    if !report.assumed.is_empty() {
        blocks.push(heading("Assumed, since the build does not say"));
        blocks.push(Block::List { items: report.assumed.clone() });
    }
    for warning in report.rotors.iter().flat_map(|rotor| {
        rotor.warnings.iter().map(move |warning| format!("{}: {warning}", rotor.serial))
    }) {
        blocks.push(text(warning));
    }
    blocks.push(Block::Lines {
        labels: ["machined by, on", "checked by, on"].map(str::to_owned).to_vec(),
    });
    paper.blocks = blocks;
    paper
}
