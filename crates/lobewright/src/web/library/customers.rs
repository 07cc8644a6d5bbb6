//! Customers, and what they brought in.

use super::{Names, ON_A_PAGE, further};
use crate::web::fields::{Field, form};
use crate::web::figures;
use crate::web::frame::{self, due_mark, holds_mark};
use crate::web::reply::Reply;
use crate::web::rights::Work;
use crate::web::route::{Route, get, post};
use crate::web::visit::Visit;
use crate::web::wrong::Wrong;
use maud::{Markup, html};
use records::{Build, BuildSearch, Customer, CustomerId, Intake, NewIntake};

pub(super) const ROUTES: &[Route] = &[
    get("/customers", list),
    post(Work::Customers, "/customers", add),
    get("/customers/{id}", page),
    post(Work::Customers, "/customers/{id}", change),
    post(Work::Customers, "/customers/{id}/intake", take_in),
];

/// As many builds of one customer as their page looks for.
const MOST_BUILDS: usize = 200;

fn list(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let text = visit.asked("find");
    let from: usize = visit.asked("from").parse().unwrap_or(0);
    let all = visit.shop().customers(text)?;
    let more = all.len() > from.saturating_add(ON_A_PAGE);
    let waiting = visit.shop().intakes_without_build()?;
    let body = html! {
        h1 { "Customers" }
        form.search method="get" action="/customers" role="search" {
            label for="find" { "Find a customer by name or contact" }
            div.row {
                input id="find" name="find" type="search" value=(text) autocomplete="off";
                button type="submit" { "Find" }
            }
        }
        @if all.is_empty() {
            p { @if text.is_empty() { "No customers yet." } @else { "No customer fits " q { (text) } "." } }
        }
        ul.builds {
            @for customer in all.iter().skip(from).take(ON_A_PAGE) {
                li {
                    a href=(format!("/customers/{}", customer.id)) { (customer.name) }
                    p.about { (customer.contact) }
                }
            }
        }
        (further("/customers", &[("find", text)], from, more))
        @if !waiting.is_empty() {
            h2 { "Came in, and no build yet" }
            ul.plain {
                @for intake in waiting.iter().take(ON_A_PAGE) {
                    li { (waits(visit, intake, Some(&visit.shop().customer(intake.customer)?))) }
                }
            }
            @if waiting.len() > ON_A_PAGE { p { "And " (waiting.len() - ON_A_PAGE) " more; begin with these." } }
        }
        h2 { "Add a customer" }
        (form("/customers", "Add the customer", customer_fields(None)))
    };
    Ok(frame::page(visit, "Customers", body))
}

fn customer_fields(known: Option<&Customer>) -> Markup {
    let of = |value: fn(&Customer) -> &String| known.map_or(String::new(), |c| value(c).clone());
    html! {
        (Field::text("name", "What the customer is called").needed().value(of(|c| &c.name)))
        (Field::text("contact", "How they are reached").value(of(|c| &c.contact)))
        (Field::lines("note", "What else is worth knowing", 3).value(of(|c| &c.note)))
    }
}

/// An intake that has no build yet.
fn waits(visit: &Visit<'_>, intake: &Intake, of: Option<&Customer>) -> Markup {
    html! {
        @if let Some(customer) = of {
            a.touch href=(format!("/customers/{}", customer.id)) { (customer.name) }
        }
        p {
            (due_mark()) (intake.came_in) " · wanted: " (intake.wanted)
            @if let Some(due) = &intake.due {
                " · " @if *due < visit.today() { strong { "was wanted by " (due) } } @else { "wanted by " (due) }
            }
        }
        @if visit.may(Work::Builds) {
            p { a.button.quiet href=(format!("/builds/new?intake={}", intake.id)) { "Begin its build" } }
        }
    }
}

fn page(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let id: CustomerId = visit.id("id")?;
    let customer = visit.shop().customer(id)?;
    let intakes = visit.shop().intakes_of(id)?;
    let names = Names::of(visit)?;
    let search = BuildSearch { text: &customer.name, open: None, from: 0, most: MOST_BUILDS };
    let found = visit.shop().builds(&search)?;
    let cut_short = found.len() == MOST_BUILDS;
    let builds: Vec<Build> =
        found.into_iter().map(|l| l.build).filter(|b| b.head.customer == Some(id)).collect();
    let body = html! {
        h1 { (customer.name) }
        dl {
            dt { "How they are reached" } dd { @if customer.contact.is_empty() { "not noted" } @else { (customer.contact) } }
            @if !customer.note.is_empty() { dt { "Worth knowing" } dd.lines { (customer.note) } }
        }
        h2 { "What came in" }
        @if intakes.is_empty() { p { "Nothing yet." } }
        ul.plain {
            @for intake in &intakes {
                @let of_it: Vec<&Build> = builds.iter().filter(|b| b.intake == Some(intake.id)).collect();
                li {
                    @if of_it.is_empty() { (waits(visit, intake, None)) }
                    @else {
                        p { (holds_mark()) (intake.came_in) " · wanted: " (intake.wanted)
                            @if let Some(due) = &intake.due { " · wanted by " (due) } }
                        p { @for build in &of_it {
                            a.touch href=(format!("/builds/{}", build.id)) { (build.head.name) } " "
                        } }
                    }
                    p.hint { "Taken in by " (names.person(intake.person)) ", " (figures::moment(&intake.at)) }
                }
            }
        }
        h3 { "Take something in" }
        (form(&format!("/customers/{id}/intake"), "Take it in", html! {
            (Field::lines("came-in", "What came in", 3).needed())
            (Field::lines("wanted", "What is wanted", 3).needed())
            (Field::day("due", "Wanted by"))
        }))
        h2 { "Builds" }
        @if builds.is_empty() { p { "None yet." } }
        ul.ways {
            @for build in builds.iter().take(ON_A_PAGE) {
                li {
                    a href=(format!("/builds/{}", build.id)) { (build.head.name) }
                    " " @if build.open { (due_mark()) (build.due.stage) } @else { (holds_mark()) "signed" }
                }
            }
        }
        @if builds.len() > ON_A_PAGE || cut_short { (all_builds(&customer.name)) }
        h2 { "Change what is known" }
        (form(&format!("/customers/{id}"), "Keep", customer_fields(Some(&customer))))
    };
    Ok(frame::page(visit, &customer.name, body))
}

fn all_builds(name: &str) -> Markup {
    let mut query = form_urlencoded::Serializer::new(String::new());
    let query = query.append_pair("find", name).finish();
    html! { p { a href=(format!("/builds?{query}")) { "All builds that fit this name" } } }
}

fn add(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let name = visit.needed("name", "What the customer is called")?;
    let id = visit.shop().add_customer(name, visit.field("contact"), visit.field("note"))?;
    Ok(Reply::see(format!("/customers/{id}")))
}

fn change(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let id = visit.id("id")?;
    visit.shop().change_customer(&Customer {
        id,
        name: visit.needed("name", "What the customer is called")?.to_owned(),
        contact: visit.field("contact").to_owned(),
        note: visit.field("note").to_owned(),
    })?;
    Ok(Reply::see(format!("/customers/{id}")))
}

fn take_in(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let customer = visit.shop().customer(visit.id("id")?)?.id;
    let due = visit.day("due", "Wanted by")?;
    visit.shop().add_intake(&NewIntake {
        customer,
        came_in: visit.needed("came-in", "What came in")?,
        wanted: visit.needed("wanted", "What is wanted")?,
        due: due.as_ref(),
        person: visit.who()?,
        at: &visit.now,
    })?;
    Ok(Reply::see(format!("/customers/{customer}")))
}
