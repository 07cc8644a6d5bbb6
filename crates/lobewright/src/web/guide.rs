//! The guide: the same text as docs/GUIDE.md, a page of it at a time.

use super::frame;
use super::reply::Reply;
use super::route::{Route, get};
use super::visit::Visit;
use super::wrong::Wrong;
use maud::html;

pub(super) const ROUTES: &[Route] = &[get("/guide", contents)];

fn contents(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    Ok(frame::page(visit, "Guide", html! { h1 { "Guide" } }))
}
