//! Readings: taken, asked back, listed.

use super::super::reply::Reply;
use super::super::rights::Work;
use super::super::route::{Route, get, post};
use super::super::visit::Visit;
use super::super::wrong::Wrong;
use super::{answer, ask, names, refused};
use crate::ops::sheet::{Offered, take};
use crate::wire::shop::{ReadingsJson, TakenJson};
use records::{BuildId, GaugeId, PartId, ReadingId, When};
use serde::Deserialize;

pub(super) const ROUTES: &[Route] = &[
    get("/api/builds/{build}/readings", list),
    post(Work::Readings, "/api/builds/{build}/readings", take_one),
    get("/api/builds/{build}/readings.csv", csv),
];

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct ReadingBody {
    revision: i64,
    part: i64,
    #[serde(deserialize_with = "ask::when")]
    when: When,
    station: String,
    value: String,
    /// What a bare number has.
    unit: String,
    gauge: Option<i64>,
    #[serde(default)]
    temperature: String,
    /// The reading that stood there.
    expected: Option<i64>,
    sent_as: Option<String>,
    #[serde(default)]
    sure: bool,
}

fn take_one(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let build = visit.id("build")?;
    let asked: ReadingBody = ask::body(visit)?;
    let part = PartId(asked.part);
    let offered = Offered {
        build,
        revision: asked.revision,
        part,
        when: asked.when,
        station: &asked.station,
        text: &asked.value,
        unit: &asked.unit,
        gauge: asked.gauge.map(GaugeId),
        temperature: &asked.temperature,
        expected: asked.expected.map(ReadingId),
        sent_as: asked.sent_as.as_deref(),
        sure: asked.sure,
        person: visit.who()?,
        at: &visit.now,
    };
    let taken = take(visit.shop(), &offered, visit.first()).map_err(refused::taking)?;
    answer(&TakenJson::of(taken, part, visit.first()))
}

fn list(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let build: BuildId = visit.id("build")?;
    visit.shop().build(build)?;
    answer(&ReadingsJson::of(&visit.shop().readings_of(build)?, &names(visit)?))
}

fn csv(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let text = visit.shop().readings_csv(visit.id("build")?)?;
    Ok(Reply::bytes("text/csv; charset=utf-8", text.into_bytes()))
}
