//! Customers, and the people of the shop.

use super::super::reply::Reply;
use super::super::rights::Work;
use super::super::route::{Route, get, post};
use super::super::visit::Visit;
use super::super::wrong::Wrong;
use super::{answer, ask, made};
use crate::wire::shop::{CustomersJson, MadeJson, PeopleJson};
use serde::Deserialize;

pub(super) const ROUTES: &[Route] = &[
    get("/api/customers", list),
    post(Work::Customers, "/api/customers", add),
    get("/api/people", people),
];

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct CustomersQuery {
    /// In the name or the contact.
    #[serde(default)]
    find: String,
}

fn list(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let asked: CustomersQuery = ask::query(visit)?;
    answer(&CustomersJson::of(&visit.shop().customers(&asked.find)?))
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct CustomerBody {
    name: String,
    #[serde(default)]
    contact: String,
    #[serde(default)]
    note: String,
}

fn add(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let asked: CustomerBody = ask::body(visit)?;
    let name = asked.name.trim();
    if name.is_empty() {
        return Err(Wrong::ask("name is empty; say what the customer is called"));
    }
    let customer = visit.shop().add_customer(name, asked.contact.trim(), asked.note.trim())?;
    made(&MadeJson::Customer(customer.0))
}

fn people(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    answer(&PeopleJson::of(&visit.shop().people()?))
}
