//! What is worked out of a build: its plan, the engine at speed, its balance, its assembly sheet,
//! its machining programs.

use super::super::reply::Reply;
use super::super::route::{Route, get};
use super::super::visit::Visit;
use super::super::wrong::Wrong;
use super::{answer, ask, gathered, refused};
use crate::build_file::known::measured;
use crate::build_file::limits::{BOOST, SPEED};
use crate::ops::library::machine_tool;
use crate::ops::program::{self, ProgramAsked, ProgramsError};
use crate::ops::{SpeedAsked, SpeedCall, Watch};
use crate::wire::{AssemblyJson, BalanceJson, CardsJson, PlanJson, ProgramsJson, SpeedJson, Tilts};
use records::MachineToolId;
use serde::Deserialize;

pub(super) const ROUTES: &[Route] = &[
    get("/api/builds/{build}/plan", plan).in_turn(),
    get("/api/builds/{build}/speed", speed).in_turn(),
    get("/api/builds/{build}/balance", balance).in_turn(),
    get("/api/builds/{build}/assembly", assembly),
    get("/api/builds/{build}/cards", cards),
    get("/api/builds/{build}/programs", programs).in_turn(),
];

/// The most draws and speeds of one request: somebody waits for it.
const MOST_DRAWS: usize = 4096;
const MOST_SPEEDS: usize = 40;
/// Which draws.
const SEED: u32 = 1;

fn plan(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let sheet = gathered(visit, visit.id("build")?)?;
    let plan = sheet.plan_or_why().map_err(|error| refused::not_that_far(&error))?;
    let plan = PlanJson::of(plan, Tilts::Tabled);
    answer(&plan.map_err(|error| Wrong::ask(error.to_string()))?)
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct SpeedQuery {
    /// Rotations per minute in place of the duty's.
    #[serde(default, deserialize_with = "ask::number_if")]
    rpm: Option<f64>,
    /// With its unit, in place of the duty's.
    boost: Option<String>,
    #[serde(default, deserialize_with = "ask::number")]
    draws: usize,
    #[serde(default, deserialize_with = "ask::number")]
    speeds: usize,
}

fn speed(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let build = visit.id("build")?;
    let asked: SpeedQuery = ask::query(visit)?;
    for (called, count, most) in
        [("draws", asked.draws, MOST_DRAWS), ("speeds", asked.speeds, MOST_SPEEDS)]
    {
        if count > most {
            return Err(Wrong::ask(format!("{called}: {count} is too many; at most {most}")));
        }
    }
    let rpm = asked.rpm.map(|rpm| measured(&format!("{rpm} rpm"), &SPEED)).transpose();
    let boost = asked.boost.map(|boost| measured(&boost, &BOOST)).transpose();
    let call = SpeedCall {
        speed: rpm.map_err(|why| Wrong::ask(format!("rpm: {why}")))?,
        boost: boost.map_err(|why| Wrong::ask(format!("boost: {why}")))?,
        ..SpeedCall::default()
    };
    let asked = SpeedAsked { call, draws: asked.draws, seed: SEED, speeds: asked.speeds };
    let mut watch = Watch { drawn: &mut |_| {}, swept: &|| {}, go_on: &|| true };
    let sheet = gathered(visit, build)?;
    let report =
        sheet.at_speed(&asked, &mut watch).map_err(|error| refused::not_that_far(&error))?;
    answer(&SpeedJson::of(&report))
}

fn balance(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let sheet = gathered(visit, visit.id("build")?)?;
    let balance = sheet.balance_or_why().map_err(|error| refused::not_that_far(&error))?;
    answer(&BalanceJson::of(&balance))
}

/// Of a build that is not that far, too: what is not read is said to be not read.
fn assembly(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let sheet = gathered(visit, visit.id("build")?)?;
    answer(&AssemblyJson::of(&sheet.assembly()))
}

fn cards(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let sheet = gathered(visit, visit.id("build")?)?;
    answer(&CardsJson::of(&sheet.condition()))
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct ProgramsQuery {
    /// Number of a machine tool of the shop.
    #[serde(default, deserialize_with = "ask::number_if")]
    machine: Option<i64>,
    /// Serial of the only rotor that is asked for.
    rotor: Option<String>,
}

fn programs(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let sheet = gathered(visit, visit.id("build")?)?;
    let asked: ProgramsQuery = ask::query(visit)?;
    let machine = asked.machine.ok_or_else(|| {
        Wrong::ask("machine is missing: the number of a machine tool of the shop")
    })?;
    sheet.plan_or_why().map_err(|error| refused::not_that_far(&error))?;
    let plan = sheet.to_cut_by().map_err(Wrong::NotSo)?;
    let (name, record) = machine_tool(visit.shop(), MachineToolId(machine))?;
    let of = ProgramAsked { rotor: asked.rotor.as_deref(), ..ProgramAsked::default() };
    let programs = program::programs(plan, (&name, &record), &of, sheet.cut_inputs());
    answer(&ProgramsJson::of(&programs.map_err(|error| match error {
        ProgramsError::NoPlan => Wrong::NotSo(error.to_string()),
        other => Wrong::ask(other.to_string()),
    })?))
}
