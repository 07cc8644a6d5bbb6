//! The assembly sheet: what is read when the engine goes together, in the order of assembly, with
//! what the shop's own record asks, the spacer, and the tightening.

use super::Stamp;
use super::cells::{facts, figure, heading, text, words};
use crate::build_file::Build;
use crate::ops::{ASSEMBLY_CAUTIONS, AssemblyLine, AssemblyReport, phrase};
use crate::text::assembly::step_text;
use kernel::assembly::Said;
use kernel::readings::{EDITION, PROBABILITY, Verdict};
use kernel::units::System;
use paper::{Block, Cell, Column, Paper, Table};

/// The sheet of a build.
pub(super) fn paper(build: Option<&Build>, report: &AssemblyReport, stamp: &Stamp) -> Paper {
    let mut paper = stamp.paper("Assembly sheet".to_owned(), &report.name);
    let mut blocks = vec![
        facts(&[(
            "Verdicts",
            format!("by {EDITION}, {:.0} % conformance probability", 100.0 * PROBABILITY),
        )]),
        Block::Caution { texts: ASSEMBLY_CAUTIONS.map(str::to_owned).to_vec() },
    ];
    blocks.extend(open_lines(report));
    blocks.extend(build.map(places));
    blocks.extend(sizes(report, stamp.first, Boxes::Drawn));
    blocks.extend(tightening(report, stamp.first));
    if !report.assumed.sentences().is_empty() {
        blocks.push(heading("Assumed, since the build does not say"));
        blocks.push(Block::List { items: report.assumed.sentences().to_vec() });
    }
    blocks.push(Block::Lines {
        labels: ["assembled by, on", "checked by, on"].map(str::to_owned).to_vec(),
    });
    paper.blocks = blocks;
    paper
}

/// Which part goes where, from the front.
fn places(build: &Build) -> Block {
    let side = |at: usize| {
        build.side_housings.get(at).map_or(Cell::Empty, |side| words(side.serial.clone()))
    };
    let mut rows: Vec<Vec<Cell>> = build
        .rotors
        .iter()
        .zip(&build.housings)
        .enumerate()
        .map(|(i, (rotor, housing))| {
            vec![
                words((i + 1).to_string()),
                side(i),
                words(housing.serial.clone()),
                words(rotor.serial.clone()),
                words(format!("gear face to the {}", rotor.gear_face.name())),
                Cell::Room,
            ]
        })
        .collect();
    if !build.side_housings.is_empty() {
        let last = side(build.rotors.len());
        let end = words("rear");
        rows.push(vec![end, last, Cell::Empty, Cell::Empty, Cell::Empty, Cell::Room]);
    }
    let heads = [
        ("from the front", false),
        ("side housing before it", false),
        ("rotor housing", false),
        ("rotor", false),
        ("looks", false),
        ("in place", true),
    ];
    Block::Table(Table {
        caption: "What goes where".to_owned(),
        columns: heads
            .map(|(head, figures)| Column { head: head.to_owned(), figures })
            .to_vec(),
        rows,
        note: Some(
            "Rotors and housings of a set look alike: read the serial as it goes in. A rotor in another \
             housing has another clearance."
                .to_owned(),
        ),
    })
}

/// What stands against closing the engine, before anything else is read.
fn open_lines(report: &AssemblyReport) -> Option<Block> {
    let numbers = |open: &dyn Fn(&Said) -> bool| {
        let all: Vec<String> = report
            .lines
            .iter()
            .filter(|line| open(&line.said))
            .map(|line| line.number.to_string())
            .collect();
        (!all.is_empty()).then(|| all.join(", "))
    };
    let mut texts = Vec::new();
    if let Some(all) = numbers(&|said| matches!(said, Said::Judged(Verdict::DoesNotConform))) {
        texts.push(format!("NOT TO BE CLOSED: proven outside their limits are lines {all}."));
    }
    if let Some(all) = numbers(&|said| matches!(said, Said::Judged(Verdict::NotProven))) {
        texts.push(format!("Closer to a limit than the gauge can tell: lines {all}."));
    }
    if let Some(all) = numbers(&|said| matches!(said, Said::NotRead)) {
        texts.push(format!("Not read yet: lines {all}."));
    }
    if report.lines.iter().any(|line| matches!(line.said, Said::NoLimit))
        || report.tighten.is_empty()
    {
        texts.push(
            "The engine's record lacks limits or tightening: do not assemble from this sheet alone, get \
             them first."
                .to_owned(),
        );
    }
    (!texts.is_empty()).then_some(Block::Caution { texts })
}

/// Whether there is room to write what was read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Boxes {
    /// For the bench.
    Drawn,
    /// For a record.
    None,
}

/// Each size with what is wanted and what is said, and the spacer.
pub(super) fn sizes(report: &AssemblyReport, first: System, boxes: Boxes) -> Vec<Block> {
    let lines: Vec<&AssemblyLine> = match boxes {
        Boxes::Drawn => report.lines.iter().collect(),
        // A record has what was read, and what was asked for and was not.
        Boxes::None => report
            .lines
            .iter()
            .filter(|line| line.measured.is_some() || line.least.is_some() || line.most.is_some())
            .collect(),
    };
    let mut heads = vec![("no", false), ("what", false), ("wanted", false), ("read", true)];
    if boxes == Boxes::Drawn {
        heads.push(("now", true));
    }
    heads.push(("verdict", false));
    let rows = lines.iter().map(|line| {
        let mut row = vec![
            words(line.number.to_string()),
            words(match (&line.part, line.note.as_str()) {
                (Some(part), "") => format!("{}, {part}", line.what),
                (None, "") => line.what.clone(),
                (Some(part), note) => format!("{}, {part}: {note}", line.what),
                (None, note) => format!("{}: {note}", line.what),
            }),
            words(match line.wanted(first).as_str() {
                "not given" => "no limit given".to_owned(),
                wanted => wanted.to_owned(),
            }),
            line.measured.map_or(Cell::Empty, |measured| figure(&measured.text(first))),
        ];
        if boxes == Boxes::Drawn {
            row.push(Cell::Room);
        }
        row.push(words(line.said.words()));
        row
    });
    let mut blocks = vec![Block::Table(Table {
        caption: "In the order of assembly".to_owned(),
        columns: heads
            .iter()
            .map(|(head, figures)| Column { head: (*head).to_owned(), figures: *figures })
            .collect(),
        rows: rows.collect(),
        note: None,
    })];
    if let Some(spacer) = &report.spacer {
        blocks.push(heading("Spacer of the end play"));
        blocks.push(text(format!("{}.", phrase::capitalised(&spacer.sentence))));
    }
    blocks
}

fn tightening(report: &AssemblyReport, first: System) -> Vec<Block> {
    let mut blocks = vec![heading("Tightening, from the shop's own engine record")];
    if report.tighten.is_empty() {
        blocks.push(text(
            "The engine's record does not say how its fasteners are tightened: nothing is given here.",
        ));
        return blocks;
    }
    let rows = (1..)
        .zip(&report.tighten)
        .map(|(number, step)| {
            vec![words(number.to_string()), words(step_text(step, first)), Cell::Room]
        })
        .collect();
    let columns = [("no", false), ("what", false), ("done", true)]
        .map(|(head, figures)| Column { head: head.to_owned(), figures })
        .to_vec();
    blocks.push(Block::Table(Table {
        caption: "In this order".to_owned(),
        columns,
        rows,
        note: None,
    }));
    blocks
}
