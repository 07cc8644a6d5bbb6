//! The shop's library: parts on the shelf, specs, engines, machine tools, gauges, customers,
//! people, and the shop's own rules.

mod attachments;
mod calibration;
mod choose;
mod customers;
mod engines;
mod gauges;
mod lines;
mod machine_tools;
mod materials;
mod part;
mod people;
mod review;
mod shelf;
mod shop;
mod specs;

pub(super) use choose::chosen;

use super::route::Route;
use super::visit::Visit;
use super::wrong::Wrong;
use crate::ops::library::LibraryError;
use maud::{Markup, html};
use records::{GaugeId, PersonId};
use std::collections::HashMap;

/// The rows of all of these pages.
pub(super) const ROUTES: &[&[Route]] = &[
    shelf::ROUTES,
    choose::ROUTES,
    part::ROUTES,
    attachments::ROUTES,
    specs::ROUTES,
    review::ROUTES,
    calibration::ROUTES,
    engines::ROUTES,
    materials::ROUTES,
    machine_tools::ROUTES,
    gauges::ROUTES,
    customers::ROUTES,
    people::ROUTES,
    shop::ROUTES,
];

/// As many rows as one page has.
const ON_A_PAGE: usize = 50;

impl From<LibraryError> for Wrong {
    fn from(error: LibraryError) -> Self {
        match error {
            LibraryError::Records(error) => error.into(),
            other => Self::ask(other.to_string()),
        }
    }
}

/// Names of people, and of gauges, by their numbers.
struct Names {
    people: HashMap<PersonId, String>,
    gauges: HashMap<GaugeId, String>,
}

impl Names {
    fn of(visit: &Visit<'_>) -> Result<Self, Wrong> {
        let people = visit.shop().people()?.into_iter().map(|person| (person.id, person.name));
        let gauges = visit.shop().gauges()?.into_iter().map(|gauge| (gauge.id, gauge.name));
        Ok(Self { people: people.collect(), gauges: gauges.collect() })
    }

    fn person(&self, id: PersonId) -> &str {
        self.people.get(&id).map_or("somebody", String::as_str)
    }

    fn gauge(&self, id: GaugeId) -> &str {
        self.gauges.get(&id).map_or("a gauge", String::as_str)
    }
}

/// A field that offers what is usual and takes what is not.
fn offered((name, label): (&str, &str), value: &str, offers: &[String], hint: &str) -> Markup {
    let id = format!("f-{name}");
    html! {
        div.field {
            label for=(id) { (label) }
            input id=(id) name=(name) type="text" value=(value) required
                list=(format!("{id}-offers")) aria-describedby=(format!("{id}-hint"));
            datalist id=(format!("{id}-offers")) {
                @for offer in offers { option value=(offer) {} }
            }
            p.hint id=(format!("{id}-hint")) { (hint) }
        }
    }
}

/// The ways to the rows before these and after them.
fn further(path: &str, kept: &[(&str, &str)], from: usize, more: bool) -> Markup {
    let to = |from: usize| {
        let mut query = form_urlencoded::Serializer::new(String::new());
        for (name, value) in kept {
            query.append_pair(name, value);
        }
        format!("{path}?{}", query.append_pair("from", &from.to_string()).finish())
    };
    html! {
        @if from > 0 || more {
            nav.row aria-label="Further down and back" {
                @if from > 0 { a.button.quiet href=(to(from.saturating_sub(ON_A_PAGE))) { "Earlier in the list" } }
                @if more { a.button.quiet href=(to(from + ON_A_PAGE)) { "Further down the list" } }
            }
        }
    }
}

/// What only the owner may do, said to everybody else.
fn owners_own(visit: &Visit<'_>, what: &str, form: Markup) -> Markup {
    html! {
        @if visit.is_owner() { (form) } @else { p.hint { (what) " is the owner's to do." } }
    }
}
