//! JSON for programs: the operations of the pages under `/api/`, as docs/openapi.json has them.
//!
//! Each file is an area with its rows and the shapes of what is sent to it; shapes of answers are
//! in [`crate::wire`]. What is sent is read whole or refused by the name of the field.

mod ask;
mod builds;
mod customers;
mod document;
mod gauges;
mod library;
mod parts;
mod readings;
mod refused;
mod session;
mod signing;
mod teardown;
mod worked;

pub(super) use refused::told;

use super::reply::Reply;
use super::route::Route;
use super::visit::Visit;
use super::wrong::Wrong;
use crate::ops::sheet::{Sheet, sheet};
use crate::wire::shop::{Names, StandsJson};
use axum::http::StatusCode;
use records::BuildId;
use serde::Serialize;

/// The rows of every area.
pub(super) const ROUTES: &[&[Route]] = &[
    document::ROUTES,
    session::ROUTES,
    builds::ROUTES,
    readings::ROUTES,
    worked::ROUTES,
    signing::ROUTES,
    teardown::ROUTES,
    parts::ROUTES,
    gauges::ROUTES,
    customers::ROUTES,
    library::ROUTES,
];

/// An answer, its fields in the order of its shape.
fn answer(value: &impl Serialize) -> Result<Reply, Wrong> {
    let body = serde_json::to_vec(value)
        .map_err(|error| Wrong::Machine(format!("the answer cannot be written: {error}")))?;
    Ok(Reply::bytes("application/json", body))
}

/// An answer to what made something.
fn made(value: &impl Serialize) -> Result<Reply, Wrong> {
    Ok(answer(value)?.status(StatusCode::CREATED))
}

fn names(visit: &Visit<'_>) -> Result<Names, Wrong> {
    let people = visit.shop().people()?;
    let people = people.into_iter().map(|person| (person.id, person.name)).collect();
    Ok(Names::new(people, &visit.shop().gauges()?))
}

fn gathered(visit: &Visit<'_>, build: BuildId) -> Result<Sheet, Wrong> {
    Ok(sheet(visit.shop(), build, &visit.today(), visit.first())?)
}

/// How a build stands after something was done to it.
fn stands(visit: &Visit<'_>, build: BuildId) -> Result<Reply, Wrong> {
    answer(&StandsJson::of(&gathered(visit, build)?))
}
