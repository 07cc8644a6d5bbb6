//! Builds: found, begun, brought in, shown, changed, given to somebody.

use super::super::reply::Reply;
use super::super::rights::Work;
use super::super::route::{Route, get, post};
use super::super::visit::Visit;
use super::super::wrong::Wrong;
use super::{answer, ask, gathered, made, names, stands};
use crate::ops::sheet::{
    Beginning, Change, ChangeError, Fitting, begin, bring, change, fit, hand_over, take_out,
};
use crate::ops::{ShopError, export};
use crate::wire::shop::{BroughtJson, BuildsJson, DifferencesJson, MadeJson, SheetJson};
use axum::http::StatusCode;
use records::{
    BuildId, BuildSearch, CustomerId, Day, EngineId, FittedId, GearFace, InRevision, IntakeId,
    PartKind, PersonId, SpecId,
};
use serde::Deserialize;

pub(super) const ROUTES: &[Route] = &[
    get("/api/builds", list),
    post(Work::Builds, "/api/builds", begin_one),
    post(Work::Builds, "/api/builds/bring", bring_one),
    get("/api/builds/{build}", one),
    get("/api/builds/{build}/file", file),
    post(Work::Builds, "/api/builds/{build}/values", set_values),
    post(Work::Builds, "/api/builds/{build}/parts", put_in),
    post(Work::Builds, "/api/builds/{build}/parts/{fitted}/out", put_out),
    post(Work::Builds, "/api/builds/{build}/due", give),
    get("/api/builds/{build}/differences", differences),
];

/// Builds in one answer.
const AT_ONCE: usize = 50;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct ListQuery {
    #[serde(default)]
    find: String,
    which: Option<Which>,
    #[serde(default, deserialize_with = "ask::number")]
    from: u32,
}

#[derive(Deserialize)]
#[serde(rename_all = "lowercase")]
enum Which {
    Open,
    Signed,
}

fn list(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let asked: ListQuery = ask::query(visit)?;
    let open = asked.which.map(|which| matches!(which, Which::Open));
    let from = usize::try_from(asked.from).unwrap_or(usize::MAX >> 1);
    let search = BuildSearch { text: &asked.find, open, from, most: AT_ONCE + 1 };
    let mut builds = visit.shop().builds(&search)?;
    let more = builds.len() > AT_ONCE;
    builds.truncate(AT_ONCE);
    answer(&BuildsJson::of(&builds, more))
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct BeginBody {
    name: String,
    engine: i64,
    spec: i64,
    customer: Option<i64>,
    intake: Option<i64>,
    duty: Option<DutyBody>,
    #[serde(default, deserialize_with = "ask::day")]
    by: Option<Day>,
}

#[derive(Default, Deserialize)]
#[serde(deny_unknown_fields)]
struct DutyBody {
    #[serde(default)]
    speed: String,
    #[serde(default)]
    boost: String,
    #[serde(default)]
    running: String,
}

fn begin_one(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let asked: BeginBody = ask::body(visit)?;
    let duty = asked.duty.unwrap_or_default();
    let new = Beginning {
        name: &asked.name,
        customer: asked.customer.map(CustomerId),
        intake: asked.intake.map(IntakeId),
        engine: EngineId(asked.engine),
        spec: SpecId(asked.spec),
        duty: [duty.speed.trim(), duty.boost.trim(), duty.running.trim()],
        by: asked.by,
    };
    let build = begin(visit.shop(), &new, (visit.who()?, &visit.now))?;
    made(&MadeJson::Build(build.0))
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct BringBody {
    text: String,
    /// What the file is called, for what is said of it.
    name: Option<String>,
    /// In place of this open build.
    over: Option<i64>,
}

fn bring_one(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let asked: BringBody = ask::body(visit)?;
    let by = visit.person.as_ref().ok_or(Wrong::NobodyIn)?;
    let over = asked.over.map(BuildId);
    let brought = bring(visit.shop(), &asked.text, over, (by, &visit.now));
    let brought = brought.map_err(|error| match error {
        ChangeError::Shop(ShopError::SameName { build, name }) => Wrong::NotSo(format!(
            "build {build} is called {name:?} too; send over: {build} to put this file in its place"
        )),
        ChangeError::Shop(ShopError::Problems(problems)) => {
            let problems = *problems;
            Wrong::Shop(ShopError::Problems(Box::new(match &asked.name {
                Some(name) => problems.in_file(name),
                None => problems,
            })))
        }
        other => other.into(),
    })?;
    let status = if over.is_some() { StatusCode::OK } else { StatusCode::CREATED };
    Ok(answer(&BroughtJson::of(&brought))?.status(status))
}

fn one(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    answer(&SheetJson::of(&gathered(visit, visit.id("build")?)?, visit.first()))
}

fn file(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let text = export(visit.shop(), visit.id("build")?)?;
    Ok(Reply::bytes("text/plain; charset=utf-8", text.into_bytes()))
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct ValuesBody {
    revision: i64,
    changes: Vec<ChangeBody>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct ChangeBody {
    place: String,
    /// As TOML; null takes the place out.
    #[serde(deserialize_with = "ask::said")]
    value: Option<String>,
    /// What stood there; null if nothing did.
    #[serde(deserialize_with = "ask::said")]
    was: Option<String>,
}

fn set_values(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let build = visit.id("build")?;
    let asked: ValuesBody = ask::body(visit)?;
    let changes: Vec<Change> = asked
        .changes
        .into_iter()
        .map(|ChangeBody { place, value, was }| Change { place, value, was })
        .collect();
    let of = InRevision { build, revision: asked.revision };
    change(visit.shop(), of, &changes, (visit.who()?, &visit.now), visit.first())?;
    stands(visit, build)
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct FitBody {
    #[serde(deserialize_with = "ask::kind")]
    kind: PartKind,
    serial: String,
    /// Of a rotor, and of it alone.
    #[serde(default, deserialize_with = "ask::gear_face")]
    gear_face: Option<GearFace>,
    /// Of a rotor housing that is read loose.
    clamp_up: Option<ClampUpBody>,
    /// In the place of this one.
    instead: Option<i64>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct ClampUpBody {
    by: String,
    u: String,
}

fn put_in(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let build = visit.id("build")?;
    let asked: FitBody = ask::body(visit)?;
    match (asked.kind == PartKind::Rotor, asked.gear_face) {
        (true, None) => {
            return Err(Wrong::ask("gear_face is missing: of a rotor say front or rear"));
        }
        (false, Some(_)) => {
            return Err(Wrong::ask(format!("gear_face: a {} has none; leave it out", asked.kind)));
        }
        _ => {}
    }
    if asked.clamp_up.is_some() && asked.kind != PartKind::RotorHousing {
        return Err(Wrong::ask(format!("clamp_up: a {} has none; leave it out", asked.kind)));
    }
    let new = Fitting {
        build,
        kind: asked.kind,
        serial: &asked.serial,
        gear_face: asked.gear_face,
        clamp_up: asked.clamp_up.as_ref().map(|clamp_up| [&*clamp_up.by, &*clamp_up.u]),
        instead: asked.instead.map(FittedId),
    };
    fit(visit.shop(), &new, (visit.who()?, &visit.now), visit.first())?;
    stands(visit, build)
}

fn put_out(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let (build, fitted) = (visit.id("build")?, visit.id("fitted")?);
    take_out(visit.shop(), build, fitted, (visit.who()?, &visit.now), visit.first())?;
    stands(visit, build)
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct DueBody {
    /// Null if no day is said.
    #[serde(deserialize_with = "ask::day")]
    by: Option<Day>,
    /// Null if nobody has it.
    #[serde(deserialize_with = "ask::said")]
    holder: Option<i64>,
}

fn give(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let build = visit.id("build")?;
    let asked: DueBody = ask::body(visit)?;
    hand_over(visit.shop(), build, asked.by, asked.holder.map(PersonId))?;
    stands(visit, build)
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct DifferencesQuery {
    #[serde(deserialize_with = "ask::number")]
    from: i64,
    #[serde(deserialize_with = "ask::number")]
    to: i64,
}

fn differences(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let build = visit.id("build")?;
    let asked: DifferencesQuery = ask::query(visit)?;
    let found = visit.shop().differences(build, asked.from, asked.to)?;
    answer(&DifferencesJson::of((asked.from, asked.to), &found, &names(visit)?))
}
