//! What the shop's file holds, as JSON. Numbers of rows are `i64`, each under the name of what it
//! is of; a value that somebody wrote stays the text that was written, with its size beside it.

mod builds;
mod library;
mod life;
mod made;
mod parts;
mod reading;
mod sheet;
mod teardown;

pub(crate) use builds::{BuildsJson, DifferencesJson, StandsJson};
pub(crate) use library::{
    AuditJson, CustomersJson, EndedJson, EngineJson, EnginesJson, GaugesJson, MachineToolsJson,
    PeopleJson, SessionJson, SpecJson, SpecsJson,
};
pub(crate) use life::LifeJson;
pub(crate) use made::{BroughtJson, MadeJson, TakenJson};
pub(crate) use parts::{HistoryJson, PartsJson};
pub(crate) use reading::ReadingsJson;
pub(crate) use sheet::{SheetJson, SignOffJson};
pub(crate) use teardown::{TeardownsJson, ToldJson};

use records::{Gauge, GaugeId, Moment, PersonId, Seen, Sha};
use serde::{Deserialize, Serialize};
use std::collections::HashMap;

/// Something by its number and what it is called.
#[derive(Debug, Clone, Serialize)]
pub(crate) struct NamedJson {
    id: i64,
    name: String,
}

impl NamedJson {
    pub(crate) fn new(id: i64, name: impl Into<String>) -> Self {
        Self { id, name: name.into() }
    }
}

/// How far a build had come when it was looked at: given back with what is decided on it.
#[derive(Debug, Clone, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct SeenJson {
    revision: i64,
    last_reading: i64,
    last_value: i64,
    fittings: i64,
    /// SHA-256 in hexadecimal.
    head: String,
}

impl SeenJson {
    pub(crate) fn of(seen: &Seen) -> Self {
        Self {
            revision: seen.revision,
            last_reading: seen.last_reading,
            last_value: seen.last_value,
            fittings: seen.fittings,
            head: seen.head.to_hex(),
        }
    }

    /// As the record knows it; nothing where the head is no hash.
    pub(crate) fn seen(&self) -> Option<Seen> {
        Some(Seen {
            revision: self.revision,
            last_reading: self.last_reading,
            last_value: self.last_value,
            fittings: self.fittings,
            head: Sha::from_hex(&self.head)?,
        })
    }
}

/// Names of people and gauges.
#[derive(Debug)]
pub(crate) struct Names {
    people: HashMap<PersonId, String>,
    gauges: HashMap<GaugeId, String>,
}

impl Names {
    pub(crate) fn new(people: HashMap<PersonId, String>, gauges: &[Gauge]) -> Self {
        let gauges = gauges.iter().map(|gauge| (gauge.id, gauge.name.clone())).collect();
        Self { people, gauges }
    }

    fn person(&self, id: PersonId) -> NamedJson {
        NamedJson::new(id.0, self.people.get(&id).cloned().unwrap_or_default())
    }

    fn gauge(&self, id: GaugeId) -> NamedJson {
        NamedJson::new(id.0, self.gauges.get(&id).cloned().unwrap_or_default())
    }
}

fn moment(at: &Moment) -> String {
    at.as_str().to_owned()
}
