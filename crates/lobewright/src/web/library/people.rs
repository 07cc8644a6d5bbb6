//! People: who works here, as what, and their passwords.

use super::{offered, owners_own};
use crate::ops::people::{self, OWNER, Role};
use crate::web::entrance;
use crate::web::fields::{Field, choice, form};
use crate::web::frame::{self, holds_mark};
use crate::web::reply::Reply;
use crate::web::rights::{self, Work};
use crate::web::route::{Route, get, post};
use crate::web::secret;
use crate::web::visit::Visit;
use crate::web::watch::{self, Event};
use crate::web::wrong::Wrong;
use maud::{Markup, html};
use records::Person;
use std::sync::PoisonError;

pub(super) const ROUTES: &[Route] = &[
    get("/people", list),
    post(Work::People, "/people", add),
    get("/people/me", me),
    post(Work::Own, "/people/me", own_password),
    get("/people/{id}", page).of(Work::People),
    post(Work::People, "/people/{id}", change),
    post(Work::People, "/people/{id}/password", set_password),
    post(Work::People, "/people/{id}/sessions", end_sessions),
];

/// What people do in a shop of this trade.
const ROLES: [&str; 5] = [OWNER, "builder", "machinist", "assembler", "inspector"];

fn role_field(value: &str) -> Markup {
    let roles: Vec<String> = ROLES.iter().map(|role| (*role).to_owned()).collect();
    offered(
        ("role", "What they do"),
        value,
        &roles,
        "Owner, builder and machinist have the rights that the page People shows. Every other word, the shop's own, has a builder's.",
    )
}

fn password_fields() -> Markup {
    html! {
        (Field::secret("password", "New password").needed().autocomplete("new-password")
            .hint(format!("At least {} characters.", secret::LEAST)))
        (Field::secret("again", "The same password again").needed().autocomplete("new-password"))
    }
}

fn typed_password(visit: &Visit<'_>, name: &str) -> Result<String, Wrong> {
    let password = visit.raw_field("password");
    if password != visit.raw_field("again") {
        return Err(Wrong::ask("the two passwords are not the same; type both again"));
    }
    secret::hashed(password, name)
}

fn list(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let everybody = visit.shop().people()?;
    let owner = visit.is_owner();
    let table = html! {
        table.middle {
            thead { tr { th scope="col" { "Name" } th scope="col" { "What they do" } th scope="col" { "Here" } } }
            tbody {
                @for person in &everybody {
                    tr {
                        th scope="row" {
                            @if owner { a.touch href=(format!("/people/{}", person.id)) { (person.name) } }
                            @else { (person.name) }
                        }
                        td { (person.role) @if Role::of(&person.role).word() != person.role {
                            ", may do what a " (Role::of(&person.role).word()) " may" } }
                        td { @if person.active { (holds_mark()) "works here" } @else { "no longer" } }
                    }
                }
            }
        }
    };
    let body = html! {
        h1 { "People" }
        p { a.button.quiet href="/people/me" { "Change your own password" } }
        (frame::wide("People", table))
        h2 { "Add a person" }
        (owners_own(visit, "Adding a person", form("/people", "Add the person", html! {
            (Field::text("name", "Name, as it stands under what they sign").needed())
            (role_field(""))
            (password_fields())
        })))
        h2 { "Who may do what" }
        (frame::wide("Who may do what", rights::table()))
        p { "Whoever has another role than these three may do what a builder may." }
    };
    Ok(frame::page(visit, "People", body))
}

fn page(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let person = visit.shop().person(visit.id("id")?)?;
    let here = [
        ("yes".to_owned(), "Works here".to_owned()),
        ("no".to_owned(), "No longer: cannot sign in".to_owned()),
    ];
    let body = html! {
        h1 { (person.name) }
        p { "What they entered and signed stays under their name." }
        h2 { "Name and role" }
        (form(&format!("/people/{}", person.id), "Keep", html! {
            (Field::text("name", "Name, as it stands under what they sign").needed().value(&person.name))
            (role_field(&person.role))
            (choice("active", "Whether they work here", &here, if person.active { "yes" } else { "no" }))
        }))
        h2 { "A new password" }
        @if Some(person.id) == visit.person.as_ref().map(|me| me.id) {
            p { a.button.quiet href="/people/me" { "Change your own password" } }
        } @else {
            p { "Whoever is signed in by this name is signed out everywhere." }
            (form(&format!("/people/{}/password", person.id), "Set the password", password_fields()))
        }
        h2 { "Where they are signed in" }
        p { "If a tablet is lost, or was left somewhere, this ends every session of theirs." }
        (form(&format!("/people/{}/sessions", person.id), "Sign them out everywhere", html! {}))
    };
    Ok(frame::page(visit, &person.name, body))
}

fn me(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let body = html! {
        h1 { "Your password" }
        p { "Every other bench where you are signed in is signed out." }
        (form("/people/me", "Change it", html! {
            (Field::secret("old", "Your password until now").needed().autocomplete("current-password"))
            (password_fields())
        }))
    };
    Ok(frame::page(visit, "Your password", body))
}

fn add(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let name = visit.needed("name", "Name")?;
    if let Some(why) = crate::build_file::known::no_name(name) {
        return Err(Wrong::ask(format!("the name {name:?} {why}")));
    }
    people::add(visit.shop(), name, visit.field("role"), &typed_password(visit, name)?)?;
    watch::note(visit, Event::PersonAdded, name);
    Ok(Reply::see("/people"))
}

fn change(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    // Two owners who dismiss each other in the same moment: one of them stays.
    let _one = visit.app.guesses.lock().unwrap_or_else(PoisonError::into_inner);
    let id = visit.id("id")?;
    let name = visit.needed("name", "Name")?.to_owned();
    let active = match visit.field("active") {
        "yes" => true,
        "no" => false,
        _ => return Err(Wrong::ask("it was not said whether they work here; choose one")),
    };
    let role = visit.field("role").to_owned();
    let about = format!("{name}, {role}, {}", if active { "works here" } else { "no longer" });
    people::change(visit.shop(), Person { id, name, role, active })?;
    watch::note(visit, Event::PersonChanged, &about);
    Ok(Reply::see("/people"))
}

fn set_password(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let id = visit.id("id")?;
    if id == visit.who()? {
        // A bench that was left alone must not be enough to take the shop over.
        return Err(Wrong::ask(
            "your own password is changed where the old one is asked: People, then Change your own password",
        ));
    }
    let person = visit.shop().person(id)?;
    new_password(visit, &person, &typed_password(visit, &person.name)?)?;
    Ok(Reply::see("/people"))
}

/// Another password: whoever had the old one is signed out, and where it was known counts no more.
fn new_password(visit: &Visit<'_>, person: &Person, hashed: &str) -> Result<(), Wrong> {
    people::new_password(visit.shop(), person.id, hashed)?;
    visit.app.wrong.lock().unwrap_or_else(PoisonError::into_inner).forget(person.id);
    watch::note(visit, Event::PasswordChanged, &person.name);
    Ok(())
}

fn end_sessions(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let person = visit.shop().person(visit.id("id")?)?;
    visit.shop().end_sessions(None, Some(person.id))?;
    watch::note(visit, Event::SessionsEnded, &person.name);
    Ok(Reply::see("/people"))
}

fn own_password(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let person = visit.person.as_ref().ok_or(Wrong::NobodyIn)?;
    let hashed = typed_password(visit, &person.name)?;
    entrance::checked(visit, &person.name, visit.raw_field("old")).map_err(
        |wrong| match wrong {
            Wrong::Asked(_) => Wrong::ask("your password until now is another one; type it again"),
            other => other,
        },
    )?;
    new_password(visit, person, &hashed)?;
    Ok(Reply::see("/people").cookie(entrance::session(visit, person.id)?))
}
