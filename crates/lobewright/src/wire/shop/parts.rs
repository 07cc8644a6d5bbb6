//! Parts by their serials, and what happened to one.

use super::builds::FittedJson;
use super::reading::ReadingJson;
use super::sheet::FindingJson;
use super::{NamedJson, Names, moment};
use records::{Fitted, Part, PartFound, PartHistory};
use serde::Serialize;

/// Some parts.
#[derive(Debug, Serialize)]
pub(crate) struct PartsJson {
    parts: Vec<FoundJson>,
    /// Whether there are more; a longer serial finds fewer.
    more: bool,
}

#[derive(Debug, Serialize)]
struct FoundJson {
    #[serde(flatten)]
    part: PartJson,
    /// The build it is in.
    build: Option<NamedJson>,
    /// Its last readings.
    readings: Vec<ReadingJson>,
}

#[derive(Debug, Serialize)]
struct PartJson {
    part: i64,
    kind: &'static str,
    serial: String,
    retired: bool,
    person: NamedJson,
    at: String,
}

fn part_json(part: &Part, names: &Names) -> PartJson {
    PartJson {
        part: part.id.0,
        kind: part.kind.word(),
        serial: part.serial.clone(),
        retired: part.retired,
        person: names.person(part.person),
        at: moment(&part.at),
    }
}

impl PartsJson {
    pub(crate) fn of(found: &[PartFound], more: bool, names: &Names) -> Self {
        let one = |found: &PartFound| FoundJson {
            part: part_json(&found.part, names),
            build: found.build.as_ref().map(|(id, name)| NamedJson::new(id.0, name.clone())),
            readings: found.readings.iter().map(|r| ReadingJson::of(r, names)).collect(),
        };
        Self { parts: found.iter().map(one).collect(), more }
    }
}

/// Everything that ever happened to a part.
#[derive(Debug, Serialize)]
pub(crate) struct HistoryJson {
    #[serde(flatten)]
    part: PartJson,
    events: Vec<EventJson>,
    builds: Vec<InBuildJson>,
    readings: Vec<ReadingJson>,
    findings: Vec<FindingJson>,
}

#[derive(Debug, Serialize)]
struct EventJson {
    event: i64,
    what: String,
    person: NamedJson,
    at: String,
}

#[derive(Debug, Serialize)]
struct InBuildJson {
    build: NamedJson,
    #[serde(flatten)]
    fitted: FittedJson,
    person: NamedJson,
    at: String,
    out: Option<OutJson>,
}

#[derive(Debug, Serialize)]
struct OutJson {
    why: &'static str,
    revision: i64,
    person: NamedJson,
    at: String,
}

fn in_build((fitted, name): &(Fitted, String), names: &Names) -> InBuildJson {
    InBuildJson {
        build: NamedJson::new(fitted.build.0, name.clone()),
        fitted: FittedJson::of(fitted),
        person: names.person(fitted.person),
        at: moment(&fitted.at),
        out: fitted.out.as_ref().map(|(why, revision, person, at)| OutJson {
            why: why.word(),
            revision: *revision,
            person: names.person(*person),
            at: moment(at),
        }),
    }
}

impl HistoryJson {
    pub(crate) fn of(history: &PartHistory, names: &Names) -> Self {
        Self {
            part: part_json(&history.part, names),
            events: history
                .events
                .iter()
                .map(|event| EventJson {
                    event: event.id.0,
                    what: event.what.clone(),
                    person: names.person(event.person),
                    at: moment(&event.at),
                })
                .collect(),
            builds: history.fitted.iter().map(|fitted| in_build(fitted, names)).collect(),
            readings: history.readings.iter().map(|r| ReadingJson::of(r, names)).collect(),
            findings: history.findings.iter().map(|f| FindingJson::of(f, names)).collect(),
        }
    }
}
