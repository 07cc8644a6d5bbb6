//! Specs and engines that builds are begun from, machine tools that they are cut on.

use super::super::reply::Reply;
use super::super::rights::Work;
use super::super::route::{Route, get};
use super::super::visit::Visit;
use super::super::wrong::Wrong;
use super::{answer, names};
use crate::ops::calibration::calibrated;
use crate::ops::review::review;
use crate::wire::shop::{EngineJson, EnginesJson, MachineToolsJson, SpecJson, SpecsJson};
use crate::wire::{CalibrationJson, ReviewJson};
use records::{EngineId, RecordsError, SpecId};

pub(super) const ROUTES: &[Route] = &[
    get("/api/specs", specs),
    get("/api/specs/{spec}", spec),
    get("/api/specs/{spec}/review", looked_at_again).in_turn(),
    get("/api/calibration", taught).of(Work::Library).in_turn(),
    get("/api/engines", engines),
    get("/api/engines/{engine}", engine),
    get("/api/machine-tools", machine_tools),
];

fn not_there(what: String) -> Wrong {
    RecordsError::NotThere { what }.into()
}

fn specs(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    answer(&SpecsJson::of(&visit.shop().specs()?, &names(visit)?))
}

fn spec(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let id: SpecId = visit.id("spec")?;
    let specs = visit.shop().specs()?;
    let spec = specs.iter().find(|spec| spec.id == id);
    let spec = spec.ok_or_else(|| not_there(format!("spec {id}")))?;
    answer(&SpecJson::of(spec, visit.shop().spec_lines(id)?, &names(visit)?))
}

fn looked_at_again(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let first = visit.first();
    let report = review(visit.shop(), visit.id("spec")?, &visit.now.day(), first)?;
    answer(&ReviewJson::of(&report, first))
}

fn taught(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let (today, first) = (visit.now.day(), visit.first());
    let report = calibrated(visit.shop(), &today, first, &mut |_| true)?;
    answer(&CalibrationJson::of(&report, first))
}

fn engines(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    answer(&EnginesJson::of(&visit.shop().engines()?))
}

fn engine(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let id: EngineId = visit.id("engine")?;
    let engines = visit.shop().engines()?;
    let engine = engines.iter().find(|engine| engine.id == id);
    let engine = engine.ok_or_else(|| not_there(format!("engine {id}")))?;
    answer(&EngineJson::of(engine, visit.shop().engine_lines(id)?))
}

fn machine_tools(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    answer(&MachineToolsJson::of(&visit.shop().machine_tools()?))
}
