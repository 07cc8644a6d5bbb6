//! Builds in a list, how one stands after something was done to it, and what changed between two
//! of its revisions.

use super::sheet::{DueJson, StateJson, states};
use super::{NamedJson, Names, SeenJson, moment};
use crate::ops::sheet::Sheet;
use records::{BuildListed, Difference, Fitted};
use serde::Serialize;

/// Some builds.
#[derive(Debug, Serialize)]
pub(crate) struct BuildsJson {
    builds: Vec<ListedJson>,
    /// Whether there are more after these.
    more: bool,
}

#[derive(Debug, Serialize)]
struct ListedJson {
    build: i64,
    name: String,
    customer: Option<String>,
    engine: Option<String>,
    spec: Option<SpecNameJson>,
    revision: i64,
    open: bool,
    stage: &'static str,
    next: String,
    by: Option<String>,
    holder: Option<String>,
}

/// A spec by its name and version.
#[derive(Debug, Serialize)]
pub(super) struct SpecNameJson {
    name: String,
    version: i64,
}

impl SpecNameJson {
    pub(super) fn of((name, version): &(String, i64)) -> Self {
        Self { name: name.clone(), version: *version }
    }
}

impl BuildsJson {
    pub(crate) fn of(builds: &[BuildListed], more: bool) -> Self {
        Self { builds: builds.iter().map(listed).collect(), more }
    }
}

fn listed(listed: &BuildListed) -> ListedJson {
    let build = &listed.build;
    ListedJson {
        build: build.id.0,
        name: build.head.name.clone(),
        customer: listed.customer.clone(),
        engine: listed.engine.clone(),
        spec: listed.spec.as_ref().map(SpecNameJson::of),
        revision: build.revision,
        open: build.open,
        stage: build.due.stage.word(),
        next: build.due.next.clone(),
        by: build.due.by.as_ref().map(ToString::to_string),
        holder: listed.holder.clone(),
    }
}

/// How a build stands.
#[derive(Debug, Serialize)]
pub(crate) struct StandsJson {
    build: i64,
    revision: i64,
    open: bool,
    due: DueJson,
    states: Vec<StateJson>,
    parts: Vec<FittedJson>,
    seen: SeenJson,
}

impl StandsJson {
    pub(crate) fn of(sheet: &Sheet) -> Self {
        Self {
            build: sheet.build.id.0,
            revision: sheet.build.revision,
            open: sheet.build.open,
            due: DueJson::of(sheet),
            states: states(sheet),
            parts: sheet.parts.iter().map(|part| FittedJson::of(&part.fitted)).collect(),
            seen: SeenJson::of(&sheet.seen),
        }
    }
}

/// A part in its place.
#[derive(Debug, Serialize)]
pub(super) struct FittedJson {
    fitted: i64,
    part: i64,
    kind: &'static str,
    serial: String,
    /// Which of its kind from the front, from 1.
    position: i64,
    gear_face: Option<&'static str>,
}

impl FittedJson {
    pub(super) fn of(fitted: &Fitted) -> Self {
        Self {
            fitted: fitted.id.0,
            part: fitted.part.0,
            kind: fitted.kind.word(),
            serial: fitted.serial.clone(),
            position: fitted.position,
            gear_face: fitted.gear_face.map(|face| face.word()),
        }
    }
}

/// What changed between two revisions.
#[derive(Debug, Serialize)]
pub(crate) struct DifferencesJson {
    from: i64,
    to: i64,
    differences: Vec<DifferenceJson>,
}

#[derive(Debug, Serialize)]
struct DifferenceJson {
    place: String,
    before: Option<String>,
    after: Option<String>,
    person: Option<NamedJson>,
    at: Option<String>,
}

impl DifferencesJson {
    pub(crate) fn of((from, to): (i64, i64), differences: &[Difference], names: &Names) -> Self {
        let one = |difference: &Difference| DifferenceJson {
            place: difference.place.clone(),
            before: difference.before.clone(),
            after: difference.after.clone(),
            person: difference.by.as_ref().map(|(person, _)| names.person(*person)),
            at: difference.by.as_ref().map(|(_, at)| moment(at)),
        };
        Self { from, to, differences: differences.iter().map(one).collect() }
    }
}
