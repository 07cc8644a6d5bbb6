//! The build book: the record of a build for its customer, in the order in which the engine came
//! apart and went together, in plain words. Its last page says who signed what, and how a copy is
//! compared with the shop's file.

use super::Stamp;
use super::assembly_sheet::{Boxes, sizes};
use super::book_record::Record;
use super::cautions;
use super::cells::{facts, figure, heading, table, text, words};
use super::used_parts;
use crate::build_file::Build;
use crate::build_file::model::{Clamping, RotorReadings};
use crate::ops::{
    AssemblyReport, BalanceReport, Basis, ConditionReport, PlanReport, RotorReport,
    balance_pictures, phrase, pictures,
};
use crate::text::balance::{self as words_of, place, planned, unbalance, vector};
use crate::text::page::Page;
use crate::text::plan::said;
use kernel::readings::{Face, TIPS};
use kernel::units::{Length, System};
use paper::{Block, Cell, Paper, Picture};

/// What a book is made of.
#[derive(Debug, Clone, Copy)]
pub struct BookOf<'a> {
    /// The build.
    pub build: &'a Build,
    /// Its plan now: after the cut, measured against what was planned.
    pub plan: &'a PlanReport,
    /// The plan that was cut by, where it has been measured since.
    pub first_plan: Option<&'a PlanReport>,
    /// Its balance, where it can be worked out.
    pub balance: Option<&'a BalanceReport>,
    /// What was read when it went together.
    pub assembly: &'a AssemblyReport,
    /// What its used parts are like.
    pub condition: &'a ConditionReport,
    /// What the shop's file knows besides; a build file alone has none of it.
    pub record: Option<&'a Record>,
}

/// The book.
pub(super) fn paper(of: &BookOf<'_>, stamp: &Stamp) -> Paper {
    let first = stamp.first;
    let mut paper = stamp.paper("Build book".to_owned(), &of.build.name);
    let mut blocks = vec![whose(of), careful()];
    blocks.push(heading("What was done"));
    blocks.extend(done(of, first));
    blocks.extend(parts(of));
    blocks.extend(used_parts::table(of.condition));
    for (index, rotor) in of.plan.rotors.iter().enumerate() {
        blocks.extend(rotor_pages(of, index, rotor, first));
    }
    blocks.extend(housings(of, first));
    if let Some(report) = of.balance {
        blocks.extend(balance(of, report, first));
    }
    blocks.push(heading("Clearances at assembly"));
    if of.assembly.lines.iter().any(|line| line.measured.is_some()) {
        blocks.extend(sizes(of.assembly, first, Boxes::None));
    } else {
        blocks.push(text("Nothing that is read at assembly is in the record."));
    }
    blocks.extend(running());
    blocks.extend(came_back(of));
    blocks.extend(signed(of));
    paper.blocks = blocks;
    paper
}

fn whose(of: &BookOf<'_>) -> Block {
    let duty = &of.build.duty;
    let mut rows = vec![("Build", of.build.name.clone())];
    if let Some(record) = of.record {
        let named = [("Customer", &record.customer), ("Engine", &record.engine)];
        rows.extend(named.into_iter().filter_map(|(what, is)| is.clone().map(|is| (what, is))));
        rows.push(("Record", format!("build {}, revision {}", record.build, record.revision)));
    }
    let mut of_duty = Vec::new();
    if let Some(speed) = duty.speed {
        of_duty.push(format!("{:.0} rpm", speed.to_rpm()));
    }
    if let Some(boost) = duty.boost {
        of_duty.push(format!("{:.2} bar of boost above atmosphere", boost.to_bar()));
    }
    if let Some(running) = duty.running {
        of_duty.push(format!("{:.0} h between rebuilds", running.to_h()));
    }
    if !of_duty.is_empty() {
        rows.push(("Duty", of_duty.join(", ")));
    }
    rows.push(("Spec", of.plan.spec_name.clone()));
    let state = match of.record.map(|record| record.signatures.as_slice()) {
        Some([.., last]) => format!("signed by {} on {}", last.who, last.when),
        _ => "not signed: a draft of the record, not the record".to_owned(),
    };
    rows.push(("State", state));
    facts(&rows)
}

fn careful() -> Block {
    Block::Caution {
        texts: vec![
            "This engine was built for the duty above and for no more. Above that speed or boost \
             its tips may reach the walls, and an engine that bursts throws parts: keep its guards \
             on and people out of the plane of rotation. What is read and what conforms was measured on \
             its parts; where tips are at speed and hot is reckoned, and nobody measures it."
                .to_owned(),
            cautions::ESTIMATE.to_owned(),
        ],
    }
}

/// From and to of values that differ, or the one they share.
fn span(values: [Length; TIPS], show: impl Fn(Length) -> String) -> String {
    let least = values.into_iter().fold(values[0], Length::min);
    let most = values.into_iter().fold(values[0], Length::max);
    let (from, to) = (show(least), show(most));
    if from == to { from } else { format!("{from} to {to}") }
}

fn done(of: &BookOf<'_>, first: System) -> Vec<Block> {
    let size = |length: Length| length.as_size(first).to_string();
    let amount = |length: Length| length.as_amount(first).to_string();
    let mut blocks = Vec::new();
    for (index, rotor) in of.plan.rotors.iter().enumerate() {
        let given = &of.build.rotors[index].readings;
        let came = format!(
            "Rotor {} came in with land widths of {}, in housing {} of {} at its narrowest.",
            rotor.serial,
            span(given.land_width, size),
            rotor.housing,
            size(rotor.width.least.value())
        );
        let by = of.first_plan.and_then(|plan| plan.rotors.get(index)).unwrap_or(rotor);
        let cut = match &rotor.measured {
            _ if by.plan.cut.is_nothing() => "Nothing was cut from it.".to_owned(),
            Some(measured) => {
                format!("{:.1} g were cut from its faces.", 1e3 * measured.taken.mass_kg)
            }
            None => format!(
                "{:.1} g are to be cut from its faces; it is not measured after that yet.",
                by.removed().to_g()
            ),
        };
        blocks.push(text(format!(
            "{came} {cut} {} {}.",
            phrase::capitalised(&rotor.explained),
            phrase::capitalised(&said(rotor))
        )));
    }
    blocks.push(text(format!(
        "The step is why it holds: when the shaft bends and a rotor tilts, its lands touch before its \
         tips do. Side clearances of the set differ by {}; {} is allowed: {}.",
        amount(of.plan.spread),
        amount(of.plan.spec.matching),
        of.plan.match_verdict.words()
    )));
    blocks
}

fn parts(of: &BookOf<'_>) -> Vec<Block> {
    let rows: Vec<Vec<Cell>> = match of.record {
        Some(record) => record
            .parts
            .iter()
            .map(|part| {
                let position = words(part.position.to_string());
                vec![words(&*part.kind), position, words(&*part.serial), words(&*part.note)]
            })
            .collect(),
        None => {
            let rotors = of.plan.rotors.iter().enumerate().map(|(i, rotor)| {
                let note = format!("gear face to the {}", rotor.gear_face.name());
                ("rotor", i + 1, rotor.serial.clone(), note)
            });
            let housings = of.build.housings.iter().enumerate();
            let housings = housings.map(|(i, housing)| {
                ("rotor housing", i + 1, housing.serial.clone(), String::new())
            });
            let sides = of.build.side_housings.iter().enumerate();
            let sides =
                sides.map(|(i, side)| ("side housing", i + 1, side.serial.clone(), String::new()));
            rotors
                .chain(housings)
                .chain(sides)
                .map(|(kind, position, serial, note)| {
                    vec![words(kind), words(position.to_string()), words(serial), words(note)]
                })
                .collect()
        }
    };
    let mut blocks = vec![heading("Parts")];
    blocks.push(Block::Table(paper::Table {
        caption: "What is in it, each kind from the front".to_owned(),
        columns: ["kind", "no", "serial", ""]
            .map(|head| paper::Column { head: head.to_owned(), figures: false })
            .to_vec(),
        rows,
        note: None,
    }));
    blocks
}

/// Readings of a rotor, before and after its cut.
fn readings(of: &BookOf<'_>, index: usize, first: System) -> Block {
    let rotor = &of.build.rotors[index];
    let mut rows = Vec::new();
    let mut put =
        |name: &str, is_size: bool, read: &dyn Fn(&RotorReadings) -> Option<[Length; TIPS]>| {
            let before = read(&rotor.readings);
            let after = rotor.after.as_ref().and_then(read);
            if before.is_none() && after.is_none() {
                return;
            }
            let cells = |values: Option<[Length; TIPS]>| match values {
                None => [Cell::Empty, Cell::Empty, Cell::Empty],
                Some(values) => values.map(|value| {
                    figure(&if is_size {
                        value.as_size(first).to_string()
                    } else {
                        value.as_amount(first).to_string()
                    })
                }),
            };
            let mut row = vec![words(name)];
            row.extend(cells(before));
            row.extend(cells(after));
            rows.push(row);
        };
    put("land width", true, &|r| Some(r.land_width));
    put("gear-face step", false, &|r| Some(r.gear_step));
    put("plain-face step", false, &|r| Some(r.plain_step));
    put("tip width", true, &|r| r.tip_width);
    put("gear-land run-out", false, &|r| r.gear_runout);
    put("plain-land run-out", false, &|r| r.plain_runout);
    table(
        "Readings",
        &["", "before, tip 1", "tip 2", "tip 3", "after, tip 1", "tip 2", "tip 3"],
        rows,
        Some(
            "Before is as it came, after is after the cut. A step is land height less face height: \
             positive, the land stands proud."
                .to_owned(),
        ),
    )
}

/// What was planned off and what it came to.
fn cuts(of: &BookOf<'_>, index: usize, first: System) -> Option<Block> {
    let by = of.first_plan.unwrap_or(of.plan).rotors.get(index)?;
    if by.plan.cut.is_nothing() {
        return None;
    }
    let rows = Face::BOTH
        .into_iter()
        .flat_map(|face| {
            let cut = by.plan.cut.face(face);
            [("land", cut.land), ("outside the land", cut.tip)].map(|(area, depths)| {
                let mut row = vec![words(format!("{} face, {area}", face.name()))];
                row.extend(depths.map(|depth| super::cells::take(depth, first)));
                row
            })
        })
        .collect();
    Some(table(
        "What was planned to come off",
        &["", "tip 1", "tip 2", "tip 3"],
        rows,
        Some(
            "The land is lowered to give the rotor its room; the face outside it is lowered more, so \
             that the land stays proud by the step."
                .to_owned(),
        ),
    ))
}

fn verdicts(rotor: &RotorReport, first: System) -> Option<Block> {
    let measured = rotor.measured.as_ref()?;
    let rows = measured
        .sizes
        .iter()
        .map(|size| {
            let name = match size.face {
                None => format!("side clearance, tip {}", size.tip + 1),
                Some(face) => format!("{}-face step, tip {}", face.name(), size.tip + 1),
            };
            vec![
                words(name),
                figure(&size.size.as_amount(first).to_string()),
                figure(&size.guard.as_amount(first).to_string()),
                words(size.verdict.words()),
            ]
        })
        .collect();
    Some(table("Measured after the cut", &["", "is", "guard", "verdict"], rows, None))
}

fn rotor_pages(of: &BookOf<'_>, index: usize, rotor: &RotorReport, first: System) -> Vec<Block> {
    let mut blocks = vec![
        Block::NewPage,
        heading(&format!("Rotor {} in {}", rotor.serial, rotor.housing)),
        text(format!("{}.", phrase::capitalised(&said(rotor)))),
        readings(of, index, first),
    ];
    blocks.extend(cuts(of, index, first));
    blocks.extend(verdicts(rotor, first));
    let shown = pictures(of.plan, first);
    let stem = crate::ops::file_stem(index, &rotor.serial);
    let find = |all: &[crate::ops::Picture], kind: &str| {
        let name = format!("{stem}-{kind}");
        all.iter().find(|picture| picture.name == name).map(|picture| picture.svg.clone())
    };
    for (kind, words) in [
        ("side-gap", "it between its walls, at worst tilt"),
        ("gear-face", "its gear face with the readings that stand"),
        ("plain-face", "its plain face with the readings that stand"),
        ("window", "the window of clearance and step, with where it stands"),
    ] {
        let svg = find(&shown, kind);
        blocks.extend(svg.map(|svg| {
            Block::Picture(Picture {
                words: format!("Rotor {}: {words}", rotor.serial),
                svg,
                percent: 78,
            })
        }));
    }
    if !rotor.warnings.is_empty() {
        blocks.push(Block::List {
            items: rotor.warnings.iter().map(|warning| format!("Mind: {warning}.")).collect(),
        });
    }
    blocks
}

fn housings(of: &BookOf<'_>, first: System) -> Vec<Block> {
    let rows = of
        .build
        .housings
        .iter()
        .map(|housing| {
            let widths: Vec<String> =
                housing.width.iter().map(|width| width.as_size(first).to_string()).collect();
            let state = match housing.state {
                Clamping::Clamped => "read clamped",
                Clamping::Free { .. } => "read free",
            };
            vec![words(&*housing.serial), words(state), words(widths.join(", "))]
        })
        .collect();
    vec![
        Block::NewPage,
        heading("Rotor housings"),
        Block::Table(paper::Table {
            caption: "Widths, the room each rotor has".to_owned(),
            columns: ["serial", "state", "widths, station by station"]
                .map(|head| paper::Column { head: head.to_owned(), figures: false })
                .to_vec(),
            rows,
            note: None,
        }),
    ]
}

fn balance(of: &BookOf<'_>, report: &BalanceReport, first: System) -> Vec<Block> {
    let page = Page { text: String::new(), first };
    let mut rows = vec![
        (
            "Balanced for",
            format!("{:.0} rpm, grade {} of ISO 21940-11", report.speed.to_rpm(), report.grade),
        ),
        ("May be left", unbalance(&page, report.permitted.total_kg_m)),
        ("Verdict", words_of::verdict(&page, report)),
    ];
    if let Some(verdict) = report.rotors_verdict() {
        rows.push(("Rotors", format!("about their own bores: {}", planned(verdict, false))));
    }
    let mut blocks = vec![heading("Balance"), facts(&rows)];
    if report.basis == Basis::Parts && report.assumed_shaft {
        // Vectors of a shaft that nobody measured would look like a record of one.
        blocks.push(text("No balancing of this shaft is in the record."));
        return blocks;
    }
    let plane_rows = report
        .planes
        .iter()
        .map(|plane| {
            let what = plane.done.as_ref().map_or_else(
                || "nothing".to_owned(),
                |done| match done.len() {
                    0 => "nothing".to_owned(),
                    1 => "one place".to_owned(),
                    many => format!("{many} places"),
                },
            );
            vec![
                words(format!(
                    "{}, at {}",
                    phrase::capitalised(plane.name),
                    place(&page, plane.at_m)
                )),
                words(vector(&page, plane.found_kg_m)),
                words(what),
                words(vector(&page, plane.left_kg_m)),
            ]
        })
        .collect();
    blocks.push(Block::Table(paper::Table {
        caption: "Counterweights".to_owned(),
        columns: ["plane", "too much, as read", "corrected at", "leaves"]
            .map(|head| paper::Column { head: head.to_owned(), figures: false })
            .to_vec(),
        rows: plane_rows,
        note: Some(words_of::promises_not(&page, report)[0].clone()),
    }));
    for picture in balance_pictures(of.build, of.plan, report, first) {
        if picture.name.ends_with("-vectors") {
            blocks.push(Block::Picture(Picture {
                words: "Unbalance in one plane: as found, corrections, what is left".to_owned(),
                svg: picture.svg,
                percent: 78,
            }));
        }
    }
    blocks
}

/// What the customer needs to know to run it.
fn running() -> Vec<Block> {
    vec![
        heading("Before it runs"),
        Block::List {
            items: [
                "Fill and prime the oil before it turns, and turn it by hand through two turns of \
                 the shaft: it must not bind anywhere.",
                "Warm it up before it is loaded. While rotors are hot and housings are still cold \
                 the room is tightest.",
                "Stay within the duty on the first page. Note hours, highest speed and highest boost: \
                 the next rebuild is compared with them.",
                "Stop it on a new noise, metal in the oil, or lost compression, and bring this book \
                 with the engine.",
                "The instructions of the vehicle, of the shop, and local rules come first.",
            ]
            .map(str::to_owned)
            .to_vec(),
        },
    ]
}

/// What its teardowns showed, where it came back.
fn came_back(of: &BookOf<'_>) -> Vec<Block> {
    let Some(record) = of.record.filter(|record| !record.back.is_empty()) else {
        return Vec::new();
    };
    let mut blocks = vec![heading("What its teardown showed")];
    for back in &record.back {
        blocks.extend(back.said.iter().map(|said| text(said.clone())));
        let rows = back.tips.iter().map(|tip| tip.iter().map(|cell| words(&**cell)).collect());
        let columns = ["tip", "seen", "predicted gap", "together", "where, how deep"]
            .map(|head| paper::Column { head: head.to_owned(), figures: false })
            .to_vec();
        blocks.push(Block::Table(paper::Table {
            caption: "Tips beside what was predicted".to_owned(),
            columns,
            rows: rows.collect(),
            note: None,
        }));
    }
    blocks
}

fn signed(of: &BookOf<'_>) -> Vec<Block> {
    let mut blocks = vec![Block::NewPage, heading("Who did what, and who signed")];
    let Some(record) = of.record else {
        blocks.push(text(
            "This book was made from a build file alone: nobody signed it. A record that is signed is \
             kept in the shop's file.",
        ));
        blocks
            .push(Block::Lines { labels: ["built by, on", "for, on"].map(str::to_owned).to_vec() });
        return blocks;
    };
    if !record.read_by.is_empty() {
        blocks.push(text(format!("Readings: {}.", record.read_by.join("; "))));
    }
    let rows = record
        .signatures
        .iter()
        .map(|signature| {
            vec![
                words(signature.revision.to_string()),
                words(&*signature.who),
                words(&*signature.when),
                words(&*signature.meaning),
            ]
        })
        .collect();
    let columns = ["revision", "who", "when, UTC", "meaning"]
        .map(|head| paper::Column { head: head.to_owned(), figures: false })
        .to_vec();
    blocks.push(Block::Table(paper::Table {
        caption: "Signatures".to_owned(),
        columns,
        rows,
        note: None,
    }));
    for signature in &record.signatures {
        blocks.push(facts(&[
            (
                "Signed",
                format!("revision {}, {}, {}", signature.revision, signature.who, signature.when),
            ),
            ("Content", signature.content.clone()),
            ("Sign-off", signature.hash.clone()),
        ]));
    }
    for amendment in &record.amendments {
        blocks.push(text(amendment.clone()));
    }
    blocks.push(text(
        "The sign-off is a SHA-256 over the content, over who signed when, and over the sign-off \
         before it in the whole shop. The shop's audit prints the same numbers: if they differ from \
         these, one of the two was changed.",
    ));
    blocks.push(Block::Lines {
        labels: ["handed over by, on", "received by, on"].map(str::to_owned).to_vec(),
    });
    blocks
}
