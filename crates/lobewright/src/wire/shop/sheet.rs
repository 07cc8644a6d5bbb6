//! A build as one sheet.

use super::builds::{FittedJson, SpecNameJson};
use super::reading::{AgreementJson, agreement, value_g, value_mm};
use super::{NamedJson, Names, SeenJson, moment};
use crate::ops::sheet::{PartSheet, Sheet, State, Station};
use kernel::units::System;
use records::{
    Amendment, Attachment, FileLine, Finding, Fitted, Reading, SignOff, When, Work, WorkKind,
};
use serde::Serialize;

/// A build as one sheet.
#[derive(Debug, Serialize)]
pub(crate) struct SheetJson {
    build: i64,
    name: String,
    customer: Option<NamedJson>,
    engine: Option<NamedJson>,
    spec: Option<SpecNameJson>,
    intake: Option<i64>,
    revision: i64,
    open: bool,
    begun_by: NamedJson,
    begun_at: String,
    due: DueJson,
    states: Vec<StateJson>,
    parts: Vec<PartJson>,
    /// Parts that left it.
    gone: Vec<GoneJson>,
    /// The lines of its file, in their order.
    values: Vec<ValueJson>,
    /// What is half entered, and not counted yet.
    left_out: Vec<String>,
    /// What stands against its file.
    problems: Vec<ProblemJson>,
    works: Vec<WorkJson>,
    sign_offs: Vec<SignOffJson>,
    amendments: Vec<AmendmentJson>,
    findings: Vec<FindingJson>,
    attachments: Vec<AttachmentJson>,
    seen: SeenJson,
}

/// What is due next.
#[derive(Debug, Serialize)]
pub(super) struct DueJson {
    stage: &'static str,
    next: String,
    by: Option<String>,
    holder: Option<NamedJson>,
}

impl DueJson {
    pub(super) fn of(sheet: &Sheet) -> Self {
        let due = &sheet.build.due;
        Self {
            stage: due.stage.word(),
            next: due.next.clone(),
            by: due.by.as_ref().map(ToString::to_string),
            holder: due.holder.map(|id| NamedJson::new(id.0, sheet.name_of(id))),
        }
    }
}

/// One of the eight parts of the sheet.
#[derive(Debug, Serialize)]
pub(super) struct StateJson {
    part: &'static str,
    state: &'static str,
    words: String,
}

/// The eight parts of the sheet, in their order.
pub(super) fn states(sheet: &Sheet) -> Vec<StateJson> {
    let one = |part: crate::ops::sheet::PartState| StateJson {
        part: part.stage.word(),
        state: match part.state {
            State::Holds => "holds",
            State::Due => "due",
            State::Stopped => "stopped",
        },
        words: part.words,
    };
    sheet.states().into_iter().map(one).collect()
}

#[derive(Debug, Serialize)]
struct PartJson {
    #[serde(flatten)]
    fitted: FittedJson,
    stations: Vec<StationJson>,
    agreement: Option<AgreementJson>,
    /// What was found on it at earlier teardowns.
    found_before: Vec<FindingJson>,
}

#[derive(Debug, Serialize)]
struct StationJson {
    when: &'static str,
    station: String,
    words: String,
    needed: bool,
    /// Units that a bare number may have, the shop's usual one first.
    units: &'static [&'static str],
    /// Its place in the build's file.
    place: Option<String>,
    reading: Option<i64>,
    value: Option<String>,
    value_mm: Option<f64>,
    value_g: Option<f64>,
    gauge: Option<NamedJson>,
    person: Option<NamedJson>,
    at: Option<String>,
    /// Whether it is among those that disagree.
    suspect: bool,
}

#[derive(Debug, Serialize)]
struct GoneJson {
    #[serde(flatten)]
    fitted: FittedJson,
    why: Option<&'static str>,
    in_revision: Option<i64>,
    person: Option<NamedJson>,
    at: Option<String>,
}

#[derive(Debug, Serialize)]
struct ValueJson {
    place: String,
    /// As TOML.
    value: String,
    reading: Option<i64>,
}

#[derive(Debug, Serialize)]
struct ProblemJson {
    place: String,
    what: String,
    expected: String,
    hint: Option<String>,
}

#[derive(Debug, Serialize)]
struct WorkJson {
    kind: &'static str,
    id: i64,
    revision: i64,
    title: String,
    program: String,
    inputs_hash: String,
    person: NamedJson,
    at: String,
}

/// A signature.
#[derive(Debug, Serialize)]
pub(crate) struct SignOffJson {
    sign_off: i64,
    revision: i64,
    /// By the name that they had then.
    person: NamedJson,
    at: String,
    meaning: String,
    content_hash: String,
    previous: String,
    hash: String,
}

#[derive(Debug, Serialize)]
struct AmendmentJson {
    revision: i64,
    reason: String,
    person: NamedJson,
    at: String,
}

/// What a teardown told.
#[derive(Debug, Serialize)]
pub(super) struct FindingJson {
    finding: i64,
    build: i64,
    part: Option<i64>,
    place: String,
    contact: &'static str,
    running: Option<String>,
    note: String,
    person: NamedJson,
    at: String,
}

#[derive(Debug, Serialize)]
struct AttachmentJson {
    attachment: i64,
    name: String,
    media_type: &'static str,
    size_bytes: i64,
    sha256: String,
    person: NamedJson,
    at: String,
}

impl SheetJson {
    pub(crate) fn of(sheet: &Sheet, first: System) -> Self {
        let names = Names::new(sheet.people.clone(), &sheet.gauges);
        let build = &sheet.build;
        let head = &build.head;
        let named = |id: Option<i64>, name: &Option<String>| {
            id.map(|id| NamedJson::new(id, name.clone().unwrap_or_default()))
        };
        let problems = sheet.file.build.as_ref().err().map_or(&[][..], |problems| problems.list());
        let works = WorkKind::ALL.iter().flat_map(|kind| sheet.works(*kind));
        Self {
            build: build.id.0,
            name: head.name.clone(),
            customer: named(head.customer.map(|id| id.0), &sheet.customer),
            engine: named(head.engine.map(|id| id.0), &sheet.engine),
            spec: sheet.spec.as_ref().map(SpecNameJson::of),
            intake: build.intake.map(|id| id.0),
            revision: build.revision,
            open: build.open,
            begun_by: names.person(build.person),
            begun_at: moment(&build.at),
            due: DueJson::of(sheet),
            states: states(sheet),
            parts: sheet.parts.iter().map(|part| part_json(sheet, part, &names, first)).collect(),
            gone: sheet.left.iter().map(|fitted| gone(fitted, &names)).collect(),
            values: sheet.lines.iter().map(value).collect(),
            left_out: sheet.file.left_out.clone(),
            problems: problems
                .iter()
                .map(|problem| ProblemJson {
                    place: problem.place.clone(),
                    what: problem.what.clone(),
                    expected: problem.expected.clone(),
                    hint: problem.hint.clone(),
                })
                .collect(),
            works: works.map(|work| work_json(work, &names)).collect(),
            sign_offs: sheet.sign_offs.iter().map(SignOffJson::of).collect(),
            amendments: sheet.amendments.iter().map(|a| amendment(a, &names)).collect(),
            findings: sheet.findings.iter().map(|f| FindingJson::of(f, &names)).collect(),
            attachments: sheet.attachments.iter().map(|a| attachment(a, &names)).collect(),
            seen: SeenJson::of(&sheet.seen),
        }
    }
}

fn part_json(sheet: &Sheet, part: &PartSheet, names: &Names, first: System) -> PartJson {
    let at = |when: When| part.stations(when).iter().map(move |station| (when, station));
    PartJson {
        fitted: FittedJson::of(&part.fitted),
        stations: at(When::Before)
            .chain(at(When::After))
            .map(|(when, station)| {
                let reading = sheet.reading(part.fitted.part, when, &station.name);
                let suspect = part.is_suspect(when, &station.name);
                station_json((when, station), (reading, suspect), names, first)
            })
            .collect(),
        agreement: agreement(part, first),
        found_before: part.found.iter().map(|f| FindingJson::of(f, names)).collect(),
    }
}

fn station_json(
    (when, station): (When, &Station),
    (reading, suspect): (Option<&Reading>, bool),
    names: &Names,
    first: System,
) -> StationJson {
    StationJson {
        when: when.word(),
        station: station.name.clone(),
        words: station.words.clone(),
        needed: station.needed,
        units: station.asked.units(first),
        place: station.place.clone(),
        reading: reading.map(|reading| reading.id.0),
        value: reading.map(|reading| reading.value.text().to_owned()),
        value_mm: reading.and_then(|reading| value_mm(&reading.value)),
        value_g: reading.and_then(|reading| value_g(&reading.value)),
        gauge: reading.and_then(|reading| reading.gauge).map(|id| names.gauge(id)),
        person: reading.map(|reading| names.person(reading.person)),
        at: reading.map(|reading| moment(&reading.at)),
        suspect,
    }
}

fn gone(fitted: &Fitted, names: &Names) -> GoneJson {
    let out = fitted.out.as_ref();
    GoneJson {
        fitted: FittedJson::of(fitted),
        why: out.map(|(why, ..)| why.word()),
        in_revision: out.map(|(_, revision, ..)| *revision),
        person: out.map(|(_, _, person, _)| names.person(*person)),
        at: out.map(|(.., at)| moment(at)),
    }
}

fn value(line: &FileLine) -> ValueJson {
    ValueJson {
        place: line.place.clone(),
        value: line.value.clone(),
        reading: line.reading.map(|id| id.0),
    }
}

fn work_json(work: &Work, names: &Names) -> WorkJson {
    WorkJson {
        kind: work.kind.word(),
        id: work.id.0,
        revision: work.revision,
        title: work.title.clone(),
        program: work.program.clone(),
        inputs_hash: work.inputs_hash.to_hex(),
        person: names.person(work.person),
        at: moment(&work.at),
    }
}

impl SignOffJson {
    pub(crate) fn of(signed: &SignOff) -> Self {
        Self {
            sign_off: signed.id.0,
            revision: signed.revision,
            person: NamedJson::new(signed.person.0, signed.person_name.clone()),
            at: moment(&signed.at),
            meaning: signed.meaning.clone(),
            content_hash: signed.content_hash.to_hex(),
            previous: signed.previous.to_hex(),
            hash: signed.hash.to_hex(),
        }
    }
}

fn amendment(amendment: &Amendment, names: &Names) -> AmendmentJson {
    AmendmentJson {
        revision: amendment.revision,
        reason: amendment.reason.clone(),
        person: names.person(amendment.person),
        at: moment(&amendment.at),
    }
}

impl FindingJson {
    pub(super) fn of(finding: &Finding, names: &Names) -> Self {
        Self {
            finding: finding.id.0,
            build: finding.build.0,
            part: finding.part.map(|id| id.0),
            place: finding.place.clone(),
            contact: finding.contact.word(),
            running: finding.running.clone(),
            note: finding.note.clone(),
            person: names.person(finding.person),
            at: moment(&finding.at),
        }
    }
}

fn attachment(attachment: &Attachment, names: &Names) -> AttachmentJson {
    AttachmentJson {
        attachment: attachment.id.0,
        name: attachment.name.clone(),
        media_type: attachment.media_type.word(),
        size_bytes: attachment.size,
        sha256: attachment.sha256.to_hex(),
        person: names.person(attachment.person),
        at: moment(&attachment.at),
    }
}
