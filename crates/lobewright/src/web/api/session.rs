//! Signing in for a token, and giving it back.

use super::super::entrance;
use super::super::reply::Reply;
use super::super::rights::Work;
use super::super::route::{Route, post, post_by_anyone};
use super::super::secret;
use super::super::sessions;
use super::super::visit::Visit;
use super::super::watch::{self, Event};
use super::super::wrong::Wrong;
use super::{answer, ask};
use crate::wire::shop::{EndedJson, SessionJson};
use serde::Deserialize;

pub(super) const ROUTES: &[Route] =
    &[post_by_anyone("/api/session", begin), post(Work::Own, "/api/session/end", end)];

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct SessionBody {
    name: String,
    password: String,
}

fn begin(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let asked: SessionBody = ask::body(visit)?;
    let person = entrance::checked(visit, asked.name.trim(), &asked.password)?;
    watch::note(visit, Event::SignedIn, asked.name.trim());
    let token = sessions::open(visit, person)?;
    answer(&SessionJson::of(token, &visit.shop().person(person)?))
}

fn end(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    if let Some(token) = &visit.brought.token {
        visit.shop().end_sessions(Some(secret::token_hash(token)), None)?;
        watch::note(visit, Event::SignedOut, "");
    }
    answer(&EndedJson { ended: true })
}
