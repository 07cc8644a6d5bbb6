//! The first start, signing in, and signing out.

use super::fields::{Field, form};
use super::frame;
use super::reply::Reply;
use super::rights::Work;
use super::route::{Route, get, post, post_by_anyone};
use super::secret;
use super::server::COOKIE_NAME;
use super::visit::Visit;
use super::wrong::Wrong;
use maud::html;
use records::{Moment, PersonId, Session};
use std::sync::PoisonError;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::time::Duration;

/// The role of whoever may do everything.
pub(super) use crate::ops::people::OWNER;
/// Days until a bench has to sign in again.
const SIGNED_IN_DAYS: i64 = 14;
/// How long a wrong password waits. Guesses wait for each other: nobody has more than two a second.
const WRONG_WAITS: Duration = Duration::from_millis(500);

pub(super) const ROUTES: &[Route] = &[
    get("/", home).anyone(),
    get("/first", first_start).anyone(),
    post_by_anyone("/first", begin),
    get("/in", sign_in_page).anyone(),
    post_by_anyone("/in", sign_in),
    post(Work::Own, "/out", sign_out),
];

fn has_owner(visit: &Visit<'_>) -> Result<bool, Wrong> {
    Ok(visit.shop().setting("begun")?.is_some())
}

fn home(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    if !has_owner(visit)? {
        return Ok(Reply::see("/first"));
    }
    if visit.person.is_none() {
        return Ok(Reply::see("/in"));
    }
    Ok(Reply::see(visit.shop().setting("opens")?.unwrap_or_else(|| "/builds".to_owned())))
}

fn first_start(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    if has_owner(visit)? {
        return Ok(Reply::see("/in"));
    }
    let body = html! {
        h1 { "A new shop" }
        p { "Everything this shop measures, plans and signs is kept in one file on this machine: "
            code { (visit.shop().file().display()) } ". Nothing leaves it." }
        (form("/first", "Begin", html! {
            (Field::text("shop", "What the shop is called").needed())
            (Field::text("name", "Your name, as it stands under what you sign").needed()
                .autocomplete("name"))
            (Field::secret("password", "A password for you, the owner").needed()
                .hint("At least 8 characters. It is asked for at every bench, and again when you sign."))
            (Field::secret("again", "The same password again").needed())
            (units(false))
        }))
    };
    Ok(frame::page(visit, "A new shop", body))
}

/// Which units stand first.
pub(super) fn units(inch: bool) -> maud::Markup {
    html! {
        fieldset {
            legend { "Which comes first" }
            label.choice { input type="radio" name="units" value="metric" checked[!inch];
                span { "Millimetres and micrometres" } }
            label.choice { input type="radio" name="units" value="inch" checked[inch];
                span { "Inches and thou" } }
            p.hint { "Both stand side by side everywhere; what you type is kept as you typed it." }
        }
    }
}

fn begin(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    // Two first visitors at once: one of them is the owner.
    let _one = visit.app.guesses.lock().unwrap_or_else(PoisonError::into_inner);
    if has_owner(visit)? {
        return Err(Wrong::ask("this shop has begun already; sign in"));
    }
    let shop = visit.needed("shop", "What the shop is called")?;
    let name = visit.needed("name", "Your name")?;
    let password = visit.raw_field("password");
    if password != visit.raw_field("again") {
        return Err(Wrong::ask("the two passwords are not the same; type both again"));
    }
    let hashed = secret::hashed(password)?;
    let known = visit.shop().people()?.into_iter().find(|person| person.name == name);
    let owner = match known {
        // Somebody brought builds in by a command before the first start.
        Some(mut person) => {
            OWNER.clone_into(&mut person.role);
            person.active = true;
            visit.shop().change_person(&person)?;
            person.id
        }
        None => visit.shop().add_person(name, OWNER)?,
    };
    visit.shop().set_password(owner, Some(&hashed))?;
    visit.shop().set_setting("name", shop)?;
    visit
        .shop()
        .set_setting("units", if visit.field("units") == "inch" { "inch" } else { "metric" })?;
    visit.shop().set_setting("begun", visit.now.as_str())?;
    Ok(Reply::see("/builds").cookie(session(visit, owner)?))
}

fn sign_in_page(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    if !has_owner(visit)? {
        return Ok(Reply::see("/first"));
    }
    let demonstration = visit.shop().setting("demonstration")?;
    let body = html! {
        h1 { "Sign in" }
        @if let Some(password) = &demonstration {
            p { "This is a demonstration: every person, engine and number in it is invented. The \
                 password of everybody in it is " code { (password) } "." }
        }
        (form("/in", "Sign in", html! {
            (names(visit)?)
            (Field::secret("password", "Password").needed()
                .value(demonstration.as_deref().unwrap_or("")))
        }))
    };
    Ok(frame::page(visit, "Sign in", body))
}

/// Everybody who works here, the owner first: a bench with oily hands picks a name.
fn names(visit: &Visit<'_>) -> Result<maud::Markup, Wrong> {
    let mut people = visit.shop().people()?;
    people.retain(|person| person.active);
    people.sort_by_key(|person| person.role != OWNER);
    Ok(html! {
        label for="name" { "Who you are" }
        select id="name" name="name" autocomplete="username" required {
            @for person in &people { option value=(person.name) { (person.name) ", " (person.role) } }
        }
    })
}

fn sign_in(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let person = checked(visit, visit.field("name"), visit.raw_field("password"))?;
    Ok(Reply::see("/").cookie(session(visit, person)?))
}

/// The most that wait for their password to be looked at.
const MOST_WAITING: usize = 8;

/// One of those who wait.
struct Waiting<'a>(&'a AtomicUsize);

impl<'a> Waiting<'a> {
    fn among(count: &'a AtomicUsize) -> Option<Self> {
        let one = Self(count);
        (count.fetch_add(1, Ordering::AcqRel) < MOST_WAITING).then_some(one)
    }
}

impl Drop for Waiting<'_> {
    fn drop(&mut self) {
        self.0.fetch_sub(1, Ordering::AcqRel);
    }
}

/// Whose name and password these are.
///
/// # Errors
/// Where they do not belong together; which of the two is wrong is not said.
pub(super) fn checked(visit: &Visit<'_>, name: &str, password: &str) -> Result<PersonId, Wrong> {
    // Whoever waits holds a thread that others need.
    let _waiting = Waiting::among(&visit.app.waiting).ok_or(Wrong::Busy)?;
    let _one = visit.app.guesses.lock().unwrap_or_else(PoisonError::into_inner);
    let person = visit.shop().people()?.into_iter().find(|p| p.active && p.name == name);
    let kept = match &person {
        Some(person) => visit.shop().password(person.id)?,
        None => None,
    };
    match person {
        Some(person) if secret::verified(password, kept.as_deref()) => Ok(person.id),
        _ => {
            // Without a person the same work was done.
            if kept.is_none() {
                secret::verified(password, None);
            }
            std::thread::sleep(WRONG_WAITS);
            Err(Wrong::ask("name and password do not belong together; try again"))
        }
    }
}

/// Opens a session, and gives its cookie.
pub(super) fn session(visit: &Visit<'_>, person: PersonId) -> Result<String, Wrong> {
    let token = token_for(visit, person)?;
    let seconds = SIGNED_IN_DAYS * 24 * 60 * 60;
    Ok(format!("{COOKIE_NAME}={token}; Path=/; HttpOnly; SameSite=Lax; Max-Age={seconds}"))
}

/// Opens a session, and gives its token.
pub(super) fn token_for(visit: &Visit<'_>, person: PersonId) -> Result<String, Wrong> {
    let token = secret::token()?;
    let until = later(&visit.now, SIGNED_IN_DAYS)?;
    let hash = secret::token_hash(&token);
    visit.shop().open_session(hash, &Session { person, until }, &visit.now)?;
    Ok(token)
}

fn later(now: &Moment, days: i64) -> Result<Moment, Wrong> {
    let clock =
        |error: &dyn std::fmt::Display| Wrong::Machine(format!("this machine's clock: {error}"));
    let then = now
        .as_str()
        .parse::<jiff::Timestamp>()
        .and_then(|at| at.checked_add(jiff::SignedDuration::from_hours(24 * days)))
        .map_err(|error| clock(&error))?;
    Moment::new(&then.strftime("%Y-%m-%dT%H:%M:%SZ").to_string()).map_err(|error| clock(&error))
}

fn sign_out(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    if let Some(token) = &visit.brought.token {
        visit.shop().end_sessions(Some(secret::token_hash(token)), None)?;
    }
    let gone = format!("{COOKIE_NAME}=; Path=/; HttpOnly; SameSite=Lax; Max-Age=0");
    Ok(Reply::see("/in").cookie(gone))
}
