//! Which page answers to which address, as one table.

use super::library;
use super::reply::Reply;
use super::visit::Visit;
use super::wrong::Wrong;
use super::{api, begin, builds, entrance, frame, guide, labels, readings, sheet, tables};

/// What is asked for, and what is sent.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Method {
    /// Asks; changes nothing.
    Get,
    /// Sends something that is to be done.
    Post,
}

/// Who may ask.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Who {
    /// Anybody who reaches the door.
    Anyone,
    /// A person who is signed in.
    Person,
    /// The owner, signed in.
    Owner,
}

/// One row.
#[derive(Clone, Copy)]
pub(super) struct Route {
    pub(super) method: Method,
    /// As axum writes it: `/builds/{build}`.
    pub(super) path: &'static str,
    pub(super) who: Who,
    pub(super) answer: fn(&Visit<'_>) -> Result<Reply, Wrong>,
}

/// A page that is asked for by a person.
pub(super) const fn get(
    path: &'static str,
    answer: fn(&Visit<'_>) -> Result<Reply, Wrong>,
) -> Route {
    Route { method: Method::Get, path, who: Who::Person, answer }
}

/// Something sent by a person.
pub(super) const fn post(
    path: &'static str,
    answer: fn(&Visit<'_>) -> Result<Reply, Wrong>,
) -> Route {
    Route { method: Method::Post, path, who: Who::Person, answer }
}

impl Route {
    /// The same for anybody.
    pub(super) const fn anyone(self) -> Self {
        Self { who: Who::Anyone, ..self }
    }

    /// The same for the owner alone.
    pub(super) const fn owner(self) -> Self {
        Self { who: Who::Owner, ..self }
    }
}

/// Every row there is.
pub(super) fn all() -> impl Iterator<Item = Route> {
    [
        frame::ROUTES,
        entrance::ROUTES,
        builds::ROUTES,
        begin::ROUTES,
        sheet::ROUTES,
        readings::ROUTES,
        guide::ROUTES,
        labels::ROUTES,
        tables::ROUTES,
    ]
    .into_iter()
    .chain(library::ROUTES.iter().copied())
    .chain(api::ROUTES.iter().copied())
    .flatten()
    .copied()
}

/// The address of a row.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Address {
    /// GET or POST.
    pub method: &'static str,
    /// As in `/builds/{build}`.
    pub path: &'static str,
    /// Whether anybody may ask, without a session.
    pub anyone: bool,
}

/// The address of every row there is.
#[must_use]
pub fn addresses() -> Vec<Address> {
    let address = |route: Route| Address {
        method: match route.method {
            Method::Get => "GET",
            Method::Post => "POST",
        },
        path: route.path,
        anyone: route.who == Who::Anyone,
    };
    all().map(address).collect()
}
