//! Readings, and whether those of a part agree.

use super::super::number::{g, mm, rounded};
use super::{NamedJson, Names, moment};
use crate::ops::phrase;
use crate::ops::sheet::PartSheet;
use kernel::units::{Length, Mass, System};
use records::{Reading, When, Written};
use serde::Serialize;

/// Every reading that was ever taken for a build.
#[derive(Debug, Serialize)]
pub(crate) struct ReadingsJson {
    readings: Vec<ReadingJson>,
}

impl ReadingsJson {
    pub(crate) fn of(readings: &[Reading], names: &Names) -> Self {
        Self { readings: readings.iter().map(|reading| ReadingJson::of(reading, names)).collect() }
    }
}

/// One reading, as it was written and in plain units.
#[derive(Debug, Serialize)]
pub(super) struct ReadingJson {
    reading: i64,
    part: i64,
    build: Option<i64>,
    revision: Option<i64>,
    when: &'static str,
    station: String,
    value: String,
    value_mm: Option<f64>,
    value_g: Option<f64>,
    gauge: Option<NamedJson>,
    person: NamedJson,
    at: String,
    temperature: Option<String>,
    temperature_deg_c: Option<f64>,
    sent_as: Option<String>,
    supersedes: Option<i64>,
    superseded_by: Option<i64>,
}

pub(super) fn value_mm(value: &Written) -> Option<f64> {
    value.value::<Length>().map(mm)
}

pub(super) fn value_g(value: &Written) -> Option<f64> {
    value.value::<Mass>().map(g)
}

impl ReadingJson {
    pub(super) fn of(reading: &Reading, names: &Names) -> Self {
        Self {
            reading: reading.id.0,
            part: reading.part.0,
            build: reading.build.map(|id| id.0),
            revision: reading.revision,
            when: reading.when.word(),
            station: reading.station.clone(),
            value: reading.value.text().to_owned(),
            value_mm: value_mm(&reading.value),
            value_g: value_g(&reading.value),
            gauge: reading.gauge.map(|id| names.gauge(id)),
            person: names.person(reading.person),
            at: moment(&reading.at),
            temperature: reading.temperature.as_ref().map(|t| t.text().to_owned()),
            temperature_deg_c: reading.temperature.as_ref().map(|t| rounded(t.si())),
            sent_as: reading.sent_as.clone(),
            supersedes: reading.supersedes.map(|id| id.0),
            superseded_by: reading.superseded_by.map(|id| id.0),
        }
    }
}

/// Whether the readings of a rotor agree with each other.
#[derive(Debug, Serialize)]
pub(super) struct AgreementJson {
    agree: bool,
    /// Which of them were looked at.
    when: &'static str,
    /// What disagrees, by how much, and what to do.
    disagreements: Vec<String>,
    /// What to look at although they agree.
    mind: Vec<String>,
}

/// What is said of a part's readings; nothing where they are not whole yet.
pub(super) fn agreement(part: &PartSheet, first: System) -> Option<AgreementJson> {
    let alone = part.alone.as_ref()?;
    let said: Vec<String> =
        part.suspicions().iter().map(|suspicion| phrase::suspicion(suspicion, first)).collect();
    Some(AgreementJson {
        agree: said.is_empty(),
        when: if alone.after { When::After } else { When::Before }.word(),
        disagreements: said,
        mind: alone.mind.clone(),
    })
}
