//! What the shop keeps beside its builds: specs, engines, gauges, customers, people; and whether
//! its record holds together.

use super::{NamedJson, Names, moment};
use records::{
    Audited, Calibration, Customer, Engine, Gauge, Line, MachineTool, Misfit, Person, Spec, Written,
};
use serde::Serialize;

/// Specs, all versions.
#[derive(Debug, Serialize)]
pub(crate) struct SpecsJson {
    specs: Vec<SpecHeadJson>,
}

#[derive(Debug, Serialize)]
struct SpecHeadJson {
    spec: i64,
    name: String,
    version: i64,
    owner: NamedJson,
    at: String,
    /// How many builds refer to it.
    builds: i64,
}

/// One version of a spec.
#[derive(Debug, Serialize)]
pub(crate) struct SpecJson {
    #[serde(flatten)]
    head: SpecHeadJson,
    lines: Vec<LineJson>,
}

#[derive(Debug, Serialize)]
struct LineJson {
    place: String,
    /// As TOML.
    value: String,
}

/// Engines.
#[derive(Debug, Serialize)]
pub(crate) struct EnginesJson {
    engines: Vec<EngineHeadJson>,
}

#[derive(Debug, Serialize)]
struct EngineHeadJson {
    engine: i64,
    name: String,
}

/// One engine.
#[derive(Debug, Serialize)]
pub(crate) struct EngineJson {
    #[serde(flatten)]
    head: EngineHeadJson,
    lines: Vec<LineJson>,
}

/// Machine tools.
#[derive(Debug, Serialize)]
pub(crate) struct MachineToolsJson {
    machine_tools: Vec<MachineToolJson>,
}

#[derive(Debug, Serialize)]
struct MachineToolJson {
    machine_tool: i64,
    name: String,
}

impl MachineToolsJson {
    pub(crate) fn of(machines: &[MachineTool]) -> Self {
        let one = |machine: &MachineTool| MachineToolJson {
            machine_tool: machine.id.0,
            name: machine.name.clone(),
        };
        Self { machine_tools: machines.iter().map(one).collect() }
    }
}

fn spec_head(spec: &Spec, names: &Names) -> SpecHeadJson {
    SpecHeadJson {
        spec: spec.id.0,
        name: spec.name.clone(),
        version: spec.version,
        owner: names.person(spec.owner),
        at: moment(&spec.at),
        builds: spec.builds,
    }
}

fn engine_head(engine: &Engine) -> EngineHeadJson {
    EngineHeadJson { engine: engine.id.0, name: engine.name.clone() }
}

fn lines(lines: Vec<Line>) -> Vec<LineJson> {
    lines.into_iter().map(|Line { place, value }| LineJson { place, value }).collect()
}

impl SpecsJson {
    pub(crate) fn of(specs: &[Spec], names: &Names) -> Self {
        Self { specs: specs.iter().map(|spec| spec_head(spec, names)).collect() }
    }
}

impl SpecJson {
    pub(crate) fn of(spec: &Spec, of_it: Vec<Line>, names: &Names) -> Self {
        Self { head: spec_head(spec, names), lines: lines(of_it) }
    }
}

impl EnginesJson {
    pub(crate) fn of(engines: &[Engine]) -> Self {
        Self { engines: engines.iter().map(engine_head).collect() }
    }
}

impl EngineJson {
    pub(crate) fn of(engine: &Engine, of_it: Vec<Line>) -> Self {
        Self { head: engine_head(engine), lines: lines(of_it) }
    }
}

/// Gauges, each with the calibration that holds.
#[derive(Debug, Serialize)]
pub(crate) struct GaugesJson {
    gauges: Vec<GaugeJson>,
}

#[derive(Debug, Serialize)]
struct GaugeJson {
    gauge: i64,
    name: String,
    kind: String,
    active: bool,
    /// Whether its calibration is past its day.
    overdue: bool,
    calibration: CalibrationJson,
}

#[derive(Debug, Serialize)]
struct CalibrationJson {
    calibration: i64,
    day: Option<String>,
    due: Option<String>,
    repeat: String,
    zero: Option<String>,
    certificate: String,
    person: Option<NamedJson>,
}

impl GaugesJson {
    pub(crate) fn of(gauges: &[Gauge], today: &records::Day, names: &Names) -> Self {
        let one = |gauge: &Gauge| GaugeJson {
            gauge: gauge.id.0,
            name: gauge.name.clone(),
            kind: gauge.kind.clone(),
            active: gauge.active,
            overdue: gauge.calibration.what.due.as_ref().is_some_and(|due| due < today),
            calibration: calibration(&gauge.calibration, names),
        };
        Self { gauges: gauges.iter().map(one).collect() }
    }
}

fn calibration(calibration: &Calibration, names: &Names) -> CalibrationJson {
    let what = &calibration.what;
    CalibrationJson {
        calibration: calibration.id.0,
        day: what.day.as_ref().map(ToString::to_string),
        due: what.due.as_ref().map(ToString::to_string),
        repeat: what.repeat.text().to_owned(),
        zero: what.zero.as_ref().map(Written::text).map(str::to_owned),
        certificate: what.certificate.clone(),
        person: what.person.map(|id| names.person(id)),
    }
}

/// Customers.
#[derive(Debug, Serialize)]
pub(crate) struct CustomersJson {
    customers: Vec<CustomerJson>,
}

#[derive(Debug, Serialize)]
struct CustomerJson {
    customer: i64,
    name: String,
    contact: String,
    note: String,
}

impl CustomersJson {
    pub(crate) fn of(customers: &[Customer]) -> Self {
        let one = |customer: &Customer| CustomerJson {
            customer: customer.id.0,
            name: customer.name.clone(),
            contact: customer.contact.clone(),
            note: customer.note.clone(),
        };
        Self { customers: customers.iter().map(one).collect() }
    }
}

/// Everybody who works or worked here.
#[derive(Debug, Serialize)]
pub(crate) struct PeopleJson {
    people: Vec<PersonJson>,
}

#[derive(Debug, Serialize)]
struct PersonJson {
    person: i64,
    name: String,
    role: String,
    active: bool,
}

impl PeopleJson {
    pub(crate) fn of(people: &[Person]) -> Self {
        let one = |person: &Person| PersonJson {
            person: person.id.0,
            name: person.name.clone(),
            role: person.role.clone(),
            active: person.active,
        };
        Self { people: people.iter().map(one).collect() }
    }
}

/// Somebody who is signed in now.
#[derive(Debug, Serialize)]
pub(crate) struct SessionJson {
    token: String,
    person: NamedJson,
    role: String,
}

impl SessionJson {
    pub(crate) fn of(token: String, person: &Person) -> Self {
        let role = person.role.clone();
        Self { token, person: NamedJson::new(person.id.0, person.name.clone()), role }
    }
}

/// A session that is over.
#[derive(Debug, Serialize)]
pub(crate) struct EndedJson {
    pub(crate) ended: bool,
}

/// Whether the record holds together.
#[derive(Debug, Serialize)]
pub(crate) struct AuditJson {
    fits: bool,
    /// The first record that does not fit, and what does not.
    misfit: Option<String>,
    counted: Option<CountedJson>,
}

#[derive(Debug, Serialize)]
struct CountedJson {
    readings: i64,
    values: i64,
    sign_offs: i64,
    /// Hash of the last sign-off; zeros if there is none.
    head: String,
}

impl AuditJson {
    pub(crate) fn fits(audited: &Audited) -> Self {
        let counted = CountedJson {
            readings: audited.readings,
            values: audited.values,
            sign_offs: audited.sign_offs,
            head: audited.head.to_hex(),
        };
        Self { fits: true, misfit: None, counted: Some(counted) }
    }

    pub(crate) fn misfit(misfit: &Misfit) -> Self {
        Self { fits: false, misfit: Some(misfit.to_string()), counted: None }
    }
}
