//! What the shop's file knows of a build beside its build file: who, when, and the hashes.

use crate::ops::phrase::moment;
use crate::ops::sheet::Sheet;
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
            signatures,
            amendments,
        }
    }
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
