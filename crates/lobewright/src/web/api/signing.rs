//! Signing a build, opening it again, and what its teardown told.

use super::super::entrance;
use super::super::reply::Reply;
use super::super::rights::Work;
use super::super::route::{Route, get, post};
use super::super::visit::Visit;
use super::super::wrong::Wrong;
use super::{answer, ask, made, stands};
use crate::ops::sheet::amend;
use crate::wire::shop::{AuditJson, MadeJson, SeenJson, SignOffJson};
use records::{Contact, NewFinding, NewSignOff, PartId, RecordsError, Seen};
use serde::Deserialize;

pub(super) const ROUTES: &[Route] = &[
    post(Work::SignOff, "/api/builds/{build}/sign", sign),
    post(Work::SignOff, "/api/builds/{build}/amend", open_again),
    post(Work::Builds, "/api/builds/{build}/findings", find),
    get("/api/audit", audit).in_turn(),
];

fn seen(json: &SeenJson) -> Result<Seen, Wrong> {
    json.seen().ok_or_else(|| {
        Wrong::ask("seen.head is no hash of 64 hexadecimal digits; send seen as it was given")
    })
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct SignBody {
    meaning: String,
    seen: SeenJson,
    password: String,
}

fn sign(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let build = visit.id("build")?;
    let asked: SignBody = ask::body(visit)?;
    let seen = seen(&asked.seen)?;
    let person = visit.person.as_ref().ok_or(Wrong::NobodyIn)?;
    entrance::checked(visit, &person.name, &asked.password)?;
    let meaning = asked.meaning.trim();
    let new = NewSignOff { build, seen, person: person.id, at: &visit.now, meaning };
    made(&SignOffJson::of(&visit.shop().sign(&new)?))
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct AmendBody {
    reason: String,
    seen: SeenJson,
}

fn open_again(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let build = visit.id("build")?;
    let asked: AmendBody = ask::body(visit)?;
    let by = (visit.who()?, &visit.now);
    amend(visit.shop(), build, &seen(&asked.seen)?, &asked.reason, by)?;
    stands(visit, build)
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct FindingBody {
    part: Option<i64>,
    place: String,
    #[serde(deserialize_with = "ask::contact")]
    contact: Contact,
    running: Option<String>,
    #[serde(default)]
    note: String,
}

fn find(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let build = visit.id("build")?;
    let asked: FindingBody = ask::body(visit)?;
    visit.shop().build(build)?;
    let new = NewFinding {
        build,
        part: asked.part.map(PartId),
        place: asked.place.trim(),
        contact: asked.contact,
        running: asked.running.as_deref(),
        note: &asked.note,
        person: visit.who()?,
        at: &visit.now,
    };
    made(&MadeJson::Finding(visit.shop().add_finding(&new)?.0))
}

fn audit(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    match visit.shop().audit() {
        Ok(audited) => answer(&AuditJson::fits(&audited)),
        Err(RecordsError::Audit { misfit, .. }) => answer(&AuditJson::misfit(&misfit)),
        Err(error) => Err(error.into()),
    }
}
