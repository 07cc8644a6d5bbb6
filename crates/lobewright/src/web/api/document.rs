//! The document of this interface, as it is in the repository.

use super::super::reply::Reply;
use super::super::route::{Route, get};
use super::super::visit::Visit;
use super::super::wrong::Wrong;

pub(super) const ROUTES: &[Route] = &[get("/api/openapi.json", document).anyone()];

const DOCUMENT: &str = include_str!("../../../../../docs/openapi.json");

#[expect(clippy::unnecessary_wraps, reason = "a row of the table")]
fn document(_: &Visit<'_>) -> Result<Reply, Wrong> {
    Ok(Reply::bytes("application/json", DOCUMENT.as_bytes().to_vec()))
}
