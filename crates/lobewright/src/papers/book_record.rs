//! What the shop's file knows of a build beside its build file: who, when, and the hashes.

use crate::ops::phrase::{capitalised, moment};
use crate::ops::sheet::Sheet;
use crate::ops::teardown::{CameBack, TipBeside};
use crate::text::teardown::{band, in_all, seen};
use records::Reading;
use std::collections::BTreeMap;

/// A part of the build.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Part {
    /// What it is.
    pub kind: String,
    /// Which of its kind from the front, from 1.
    pub position: i64,
    /// Its serial.
    pub serial: String,
    /// What else is known.
    pub note: String,
}

/// A signature.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Signature {
    /// Of which revision.
    pub revision: i64,
    /// What they were called then.
    pub who: String,
    /// When, in UTC.
    pub when: String,
    /// What it means.
    pub meaning: String,
    /// Hash of the content.
    pub content: String,
    /// Hash of the sign-off.
    pub hash: String,
}

/// An engine that came back.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Back {
    /// Hours, speed and boost, and what is seen in all.
    pub said: Vec<String>,
    /// Tip by tip: which, what is seen, the predicted gap, what it says, where and how deep.
    pub tips: Vec<[String; 5]>,
}

/// What the shop's file knows of a build.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Record {
    /// Its number.
    pub build: i64,
    /// Its revision.
    pub revision: i64,
    /// Whose it is.
    pub customer: Option<String>,
    /// Its engine.
    pub engine: Option<String>,
    /// Its parts from the front, kind by kind.
    pub parts: Vec<Part>,
    /// Who read how much, from when to when.
    pub read_by: Vec<String>,
    /// What its teardowns told.
    pub back: Vec<Back>,
    /// Signatures, the first first.
    pub signatures: Vec<Signature>,
    /// Amendments in a sentence each.
    pub amendments: Vec<String>,
}

impl Record {
    /// Of a build of the shop's file.
    #[must_use]
    pub fn of(sheet: &Sheet) -> Self {
        let parts = sheet
            .parts
            .iter()
            .map(|part| Part {
                kind: part.fitted.kind.word().to_owned(),
                position: part.fitted.position,
                serial: part.fitted.serial.clone(),
                note: part
                    .fitted
                    .gear_face
                    .map_or_else(String::new, |way| format!("gear face to the {}", way.word())),
            })
            .collect();
        let signatures = sheet
            .sign_offs
            .iter()
            .map(|signed| Signature {
                revision: signed.revision,
                who: signed.person_name.clone(),
                when: moment(&signed.at),
                meaning: signed.meaning.clone(),
                content: signed.content_hash.to_hex(),
                hash: signed.hash.to_hex(),
            })
            .collect();
        let amendments = sheet
            .amendments
            .iter()
            .map(|amended| {
                format!(
                    "Revision {} was opened by {} on {}: {}",
                    amended.revision,
                    sheet.name_of(amended.person),
                    moment(&amended.at),
                    amended.reason
                )
            })
            .collect();
        Self {
            build: sheet.build.id.0,
            revision: sheet.build.revision,
            customer: sheet.customer.clone(),
            engine: sheet.engine.clone(),
            parts,
            read_by: read_by(sheet),
            back: sheet.came_back.iter().map(|back| came_back(sheet, back)).collect(),
            signatures,
            amendments,
        }
    }
}

fn came_back(sheet: &Sheet, back: &CameBack) -> Back {
    let told = &back.teardown;
    let by = format!("Told by {} on {}", sheet.name_of(told.person), moment(&told.at));
    let mut said = vec![
        format!("Revision {}: {}. {by}.", told.revision, seen(back)),
        format!("{}.", capitalised(&in_all(&back.tips))),
    ];
    said.extend(Some(told.note.clone()).filter(|note| !note.is_empty()));
    said.extend(back.unpredicted.iter().map(|why| format!("Nothing is predicted: {why}.")));
    if let Some(kept) = &back.kept {
        said.push(format!(
            "Predicted on {} by {}, for the speed and boost that were seen, from the build as it was \
             signed. A gap is the least over a cycle with the rotor pushed to the wall where the tip \
             is nearest; nine in ten lie in its band.",
            moment(&kept.at),
            kept.program
        ));
    }
    let tip = |tip: &TipBeside| {
        let mark = tip.mark.as_ref();
        let mut worn: Vec<String> = mark.and_then(|mark| mark.place.clone()).into_iter().collect();
        let depths = [("rotor", mark.map(|m| &m.rotor)), ("wall", mark.map(|m| &m.wall))];
        for (of, depth) in depths {
            let depth = depth.and_then(Option::as_ref);
            worn.extend(depth.map(|depth| format!("{of} worn {}", depth.value.text())));
        }
        [
            format!("{}, {} face, tip {}", tip.serial, tip.face, tip.tip),
            tip.contact().word().to_owned(),
            tip.predicted.map_or_else(String::new, |gap| band(gap, sheet.first)),
            tip.says.words().to_owned(),
            worn.join("; "),
        ]
    };
    Back { said, tips: back.tips.iter().map(tip).collect() }
}

/// A sentence for each person: how many readings that stand, from when to when.
fn read_by(sheet: &Sheet) -> Vec<String> {
    let mut by: BTreeMap<&str, Vec<&Reading>> = BTreeMap::new();
    for reading in sheet.readings.iter().filter(|reading| reading.superseded_by.is_none()) {
        by.entry(sheet.name_of(reading.person)).or_default().push(reading);
    }
    by.into_iter()
        .map(|(who, readings)| {
            let days = || readings.iter().map(|reading| reading.at.day());
            let when = match (days().min(), days().max()) {
                (Some(from), Some(to)) if from != to => format!("{from} to {to}"),
                (day, _) => day.map_or_else(String::new, |day| day.to_string()),
            };
            let count = readings.len();
            let word = if count == 1 { "reading" } else { "readings" };
            format!("{who} took {count} {word} that stand, {when}")
        })
        .collect()
}
