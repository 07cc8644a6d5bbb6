//! The first start, signing in, and signing out.

use super::fields::{Field, form};
use super::frame;
use super::guesses::{Guess, Place};
use super::reply::Reply;
use super::rights::Work;
use super::route::{Route, get, post, post_by_anyone};
use super::secret;
use super::sessions;
use super::visit::Visit;
use super::watch::{self, Event};
use super::wrong::Wrong;
use maud::html;
use records::PersonId;
use std::sync::PoisonError;
use std::sync::atomic::{AtomicUsize, Ordering};

/// The role of whoever may do everything.
pub(super) use crate::ops::people::OWNER;

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
                .hint(format!("At least {} characters. It is asked for at every bench, and again when you sign.", secret::LEAST)))
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
    let hashed = secret::hashed(password, name)?;
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
    watch::note(visit, Event::SignedIn, visit.field("name"));
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
/// Where they do not belong together; which of the two is wrong is not said. Where too many wrong
/// ones came before.
pub(super) fn checked(visit: &Visit<'_>, name: &str, password: &str) -> Result<PersonId, Wrong> {
    let person = visit.shop().people()?.into_iter().find(|p| p.active && p.name == name);
    let session = visit.person.as_ref().filter(|me| me.name == name);
    let guess = match (session, &visit.brought.token) {
        (Some(_), Some(token)) => Guess::Again(secret::token_hash(token)),
        _ => Guess::Door(person.as_ref().map(|person| person.id), Place::of(visit.brought.from)),
    };
    let now = sessions::seconds(&visit.now)?;
    let counts = || visit.app.wrong.lock().unwrap_or_else(PoisonError::into_inner);
    let may_be_looked_at = || match counts().wait_s(guess, now) {
        0 => Ok(()),
        seconds => {
            watch::note(visit, Event::MustWait, name);
            Err(Wrong::Wait { seconds })
        }
    };
    // Before the queue: a flood of guesses does not fill it.
    may_be_looked_at()?;
    // Whoever waits holds a thread that others need.
    let _waiting = Waiting::among(&visit.app.waiting).ok_or(Wrong::Busy)?;
    let _one = visit.app.guesses.lock().unwrap_or_else(PoisonError::into_inner);
    // Those before in the queue were wrong, perhaps.
    may_be_looked_at()?;
    let kept = match &person {
        Some(person) => visit.shop().password(person.id)?,
        None => None,
    };
    // Without a person the same work is done.
    let right = secret::verified(password, kept.as_deref());
    match person.filter(|_| right) {
        Some(person) => {
            counts().right(guess, now);
            Ok(person.id)
        }
        None => {
            counts().wrong(guess, now);
            watch::note(visit, Event::SignInRefused, name);
            Err(Wrong::ask("name and password do not belong together; try again"))
        }
    }
}

/// Opens a session, and gives its cookie.
///
/// Strict: no other site has a reason to lead here, so none gets the cookie sent along.
pub(super) fn session(visit: &Visit<'_>, person: PersonId) -> Result<String, Wrong> {
    let token = sessions::open(visit, person)?;
    Ok(cookie(visit, &token, 3600 * sessions::HOURS.of(visit.shop())?))
}

fn cookie(visit: &Visit<'_>, token: &str, seconds: i64) -> String {
    let secure = if visit.app.secure { "; Secure" } else { "" };
    let name = visit.app.cookie_name();
    format!("{name}={token}; Path=/; HttpOnly; SameSite=Strict; Max-Age={seconds}{secure}")
}

fn sign_out(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    if let Some(token) = &visit.brought.token {
        visit.shop().end_sessions(Some(secret::token_hash(token)), None)?;
        watch::note(visit, Event::SignedOut, "");
    }
    Ok(Reply::see("/in").cookie(cookie(visit, "", 0)))
}
