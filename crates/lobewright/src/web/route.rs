//! Which page answers to which address, as one table.

use super::library;
use super::reply::Reply;
use super::rights::Work;
use super::visit::Visit;
use super::wrong::Wrong;
use super::{api, begin, builds, entrance, frame, guide, labels, readings, sheet, tables};
use crate::ops::people::Role;

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
    /// A person who is signed in and may do this work.
    May(Work),
}

impl Who {
    /// The work that a row is part of, unless it is for anybody.
    pub(super) const fn work(self) -> Option<Work> {
        match self {
            Self::Anyone => None,
            Self::May(work) => Some(work),
        }
    }
}

/// One row.
#[derive(Clone, Copy)]
pub(super) struct Route {
    pub(super) method: Method,
    /// As axum writes it: `/builds/{build}`.
    pub(super) path: &'static str,
    pub(super) who: Who,
    /// Whether it keeps a core busy for long, and waits its turn.
    pub(super) in_turn: bool,
    pub(super) answer: fn(&Visit<'_>) -> Result<Reply, Wrong>,
}

/// A page to look at.
pub(super) const fn get(
    path: &'static str,
    answer: fn(&Visit<'_>) -> Result<Reply, Wrong>,
) -> Route {
    Route { method: Method::Get, path, who: Who::May(Work::Look), in_turn: false, answer }
}

/// Something sent by a person, as part of this work.
pub(super) const fn post(
    work: Work,
    path: &'static str,
    answer: fn(&Visit<'_>) -> Result<Reply, Wrong>,
) -> Route {
    Route { method: Method::Post, path, who: Who::May(work), in_turn: false, answer }
}

/// Something sent by whoever comes to the door.
pub(super) const fn post_by_anyone(
    path: &'static str,
    answer: fn(&Visit<'_>) -> Result<Reply, Wrong>,
) -> Route {
    Route { method: Method::Post, path, who: Who::Anyone, in_turn: false, answer }
}

impl Route {
    /// The same for anybody.
    pub(super) const fn anyone(self) -> Self {
        Self { who: Who::Anyone, ..self }
    }

    /// The same as part of this work.
    pub(super) const fn of(self, work: Work) -> Self {
        Self { who: Who::May(work), ..self }
    }

    /// The same, worked out when its turn comes: see [`super::turns`]. What a bench needs to go on is
    /// never among these.
    pub(super) const fn in_turn(self) -> Self {
        Self { in_turn: true, ..self }
    }

    /// Whether an address is one of this row's.
    fn is_at(&self, path: &str) -> bool {
        let (mut known, mut asked) = (self.path.split('/'), path.split('/'));
        loop {
            match (known.next(), asked.next()) {
                (None, None) => return true,
                (Some(known), Some(asked)) if known == asked || known.starts_with('{') => {}
                _ => return false,
            }
        }
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

/// The work that is done by sending a form to an address; nothing where nothing takes it, or
/// anybody may send it.
pub(super) fn work_of_form(path: &str) -> Option<Work> {
    let fits = |route: &Route| route.method == Method::Post && route.is_at(path);
    // A row without a number is found before one with: `/people/me` is no person.
    let exact = all().find(|route| fits(route) && route.path == path);
    exact.or_else(|| all().find(fits)).and_then(|route| route.who.work())
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
    /// The roles that may ask; none where anybody may.
    pub roles: &'static [Role],
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
        roles: route.who.work().map_or(&[], Work::roles),
    };
    all().map(address).collect()
}
