//! Gauges and their calibrations.

use super::super::reply::Reply;
use super::super::rights::Work;
use super::super::route::{Route, get, post};
use super::super::visit::Visit;
use super::super::wrong::Wrong;
use super::{answer, ask, made, names};
use crate::build_file::known::no_name;
use crate::ops::gauges::{TypedCalibration, calibration};
use crate::wire::shop::{GaugesJson, MadeJson};
use records::{Day, GaugeId, NewCalibration, PersonId};
use serde::Deserialize;

pub(super) const ROUTES: &[Route] = &[
    get("/api/gauges", list),
    post(Work::Gauges, "/api/gauges", add),
    post(Work::Gauges, "/api/gauges/{gauge}/calibrations", calibrate),
];

fn list(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    answer(&GaugesJson::of(&visit.shop().gauges()?, &visit.today(), &names(visit)?))
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct CalibrationBody {
    /// When it was calibrated.
    #[serde(default, deserialize_with = "ask::day")]
    day: Option<Day>,
    /// When it has to be again.
    #[serde(default, deserialize_with = "ask::day")]
    due: Option<Day>,
    /// Standard uncertainty of each reading.
    repeat: String,
    /// The same of what all its readings share.
    zero: Option<String>,
    #[serde(default)]
    certificate: String,
}

impl CalibrationBody {
    /// Of a gauge of this kind, which may have been calibrated before.
    fn new_one(
        &self,
        (kind, before): (&str, Option<&NewCalibration>),
        person: PersonId,
    ) -> Result<NewCalibration, Wrong> {
        let typed = TypedCalibration {
            day: self.day.clone(),
            due: self.due.clone(),
            repeat: &self.repeat,
            zero: self.zero.as_deref().unwrap_or(""),
            certificate: &self.certificate,
            person,
        };
        Ok(calibration(kind, before, &typed)?)
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct GaugeBody {
    name: String,
    kind: String,
    calibration: CalibrationBody,
}

fn add(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let asked: GaugeBody = ask::body(visit)?;
    let (name, kind) = (asked.name.trim(), asked.kind.trim());
    if let Some(why) = no_name(name) {
        return Err(Wrong::ask(format!("name: {name:?} {why}")));
    }
    let first = asked.calibration.new_one((kind, None), visit.who()?)?;
    let gauge = visit.shop().add_gauge(name, kind, &first)?;
    made(&MadeJson::Gauge(gauge.0))
}

fn calibrate(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let gauge: GaugeId = visit.id("gauge")?;
    let asked: CalibrationBody = ask::body(visit)?;
    let known = visit.shop().gauge(gauge)?;
    let before = (known.kind.as_str(), Some(&known.calibration.what));
    let new = asked.new_one(before, visit.who()?)?;
    made(&MadeJson::Calibration(visit.shop().calibrate(gauge, &new)?.0))
}
