//! The values of a build's file, table by table, each in a field of its own: everything that is no
//! reading. Forms come from the keys that a build file knows, so that none is forgotten.

use super::super::frame;
use super::super::reply::Reply;
use super::super::rights::Work;
use super::super::visit::Visit;
use super::super::wrong::Wrong;
use super::{Seen, gathered};
use crate::build_file::keys::{self, By, FILE, Key, Kind};
use crate::build_file::places::place;
use crate::ops::phrase::capitalised;
use crate::ops::sheet::{Change, change};
use maud::{Markup, html};
use records::InRevision;
use std::collections::BTreeSet;

/// Tables that are shown; parts have their own way to be entered.
const SHOWN: [&str; 19] = [
    "build",
    "engine",
    "material",
    "gauge",
    "machine",
    "machine_tool",
    "spec",
    "seals",
    "shaft",
    "bearing",
    "oil",
    "gas",
    "gear",
    "inertia",
    "uncertainty",
    "balance",
    "assembly",
    "condition",
    "rotor",
];
/// Stands for a table that is yet to be named.
const NEW: &str = "+";
/// Fields for items of a list beyond those that are there.
const MORE_ITEMS: usize = 3;
/// Keys of a rotor that are values and no readings.
const OF_ROTOR: [&str; 4] = ["width_gauge", "step_gauge", "runout_gauge", "squareness_u"];

pub(super) fn page(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let seen = gathered(visit)?;
    let table = visit.param("table")?;
    let key = SHOWN.iter().find(|shown| **shown == table).and_then(|name| keys::find(FILE, name));
    let key = key.ok_or(Wrong::NoPage)?;
    let title = capitalised(&words(key.name));
    let body = html! {
        p.crumb { a href=(format!("/builds/{}", seen.sheet.build.id)) { (seen.sheet.build.head.name) } }
        h1 { (title) }
        p { "Every value is kept as you write it, with its unit. An empty field takes the value out. "
            "The whole build is looked at before anything is kept." }
        nav.row aria-label="Tables of this build" {
            @for name in SHOWN { a.button.quiet href=(seen.at(&format!("values/{name}"))) aria-current=[(name == table).then_some("page")] { (capitalised(&words(name))) } }
        }
        @if seen.open() && visit.may(Work::Builds) {
            form.values method="post" action=(seen.at(&format!("values/{table}"))) {
                input type="hidden" name="revision" value=(seen.sheet.build.revision);
                (fields(&seen, key, &[]))
                button type="submit" { "Keep these values" }
            }
        } @else {
            @if seen.open() { p.hint { "These are for " (Work::Builds.whose()) " to change." } }
            @else { p.told { (frame::stopped_mark()) span { "This build is signed: its values change only by a new revision." } } }
            table { tbody { @for line in seen.sheet.lines.iter().filter(|line| line.place.split('.').next() == Some(table)) {
                tr { th scope="row" { (line.place) } td { (shown(&line.value)) } } } } }
        }
    };
    Ok(frame::page(visit, &title, body))
}

/// A key as people read it.
fn words(key: &str) -> String {
    key.replace('_', " ")
}

/// A value without its quotes.
pub(super) fn shown(value: &str) -> String {
    value
        .parse::<toml_edit::Value>()
        .ok()
        .and_then(|value| value.as_str().map(str::to_owned))
        .unwrap_or_else(|| value.to_owned())
}

/// The next keys after a path that the build has.
fn below(seen: &Seen<'_>, path: &[&str]) -> Vec<String> {
    let mut found: Vec<String> = Vec::new();
    for line in &seen.sheet.lines {
        let Ok(keys) = toml_edit::Key::parse(&line.place) else { continue };
        let keys: Vec<&str> = keys.iter().map(toml_edit::Key::get).collect();
        if let Some(next) = keys.strip_prefix(path).and_then(|rest| rest.first())
            && !found.iter().any(|known| known == next)
        {
            found.push((*next).to_owned());
        }
    }
    found
}

/// The fields of a key and all below it.
fn fields(seen: &Seen<'_>, key: &Key, path: &[&str]) -> Markup {
    let mut path = path.to_vec();
    path.push(key.name);
    let name = capitalised(&words(key.name));
    match key.kind {
        Kind::Text | Kind::Number => field(seen, &name, &path, matches!(key.kind, Kind::Number)),
        Kind::List => list(seen, &name, &path),
        Kind::Table(inner) => html! {
            fieldset { legend { (name) } @for key in chosen(&path, inner) { (fields(seen, key, &path)) } }
        },
        Kind::ByName(inner) => each(seen, &name, &path, inner, Some(None)),
        Kind::Each(by, inner) => each(seen, &name, &path, inner, by.key().map(Some)),
    }
}

/// The keys that are asked for: of a rotor those that are no readings.
fn chosen<'k>(path: &[&str], keys: &'k [Key]) -> impl Iterator<Item = &'k Key> {
    let rotor = path.first() == Some(&"rotor");
    keys.iter().filter(move |key| !rotor || OF_ROTOR.contains(&key.name))
}

/// Tables of a kind: those that are there, and room for one more. `named` says by what they are
/// told apart: their number, a key of their own, or a name that is no key.
fn each(
    seen: &Seen<'_>,
    name: &str,
    path: &[&str],
    inner: &[Key],
    named: Option<Option<&'static str>>,
) -> Markup {
    let there = below(seen, path);
    let next = (there.len() + 1).to_string();
    let new = if named.is_some() { NEW } else { next.as_str() };
    let rotor = path == ["rotor"];
    html! {
        @for called in &there {
            @let mut at = path.to_vec();
            @let () = at.push(called);
            fieldset { legend { (name) " " (called) } @for key in chosen(path, inner) { (fields(seen, key, &at)) } }
        }
        @if !rotor {
            details {
                summary { "Add: " (name) }
                @let mut at = path.to_vec();
                @let () = at.push(new);
                @if named == Some(None) { (plain_field(&format!("name:{}", place(&at)), "Its name", "")) }
                @for key in inner { (fields(seen, key, &at)) }
            }
        }
    }
}

fn list(seen: &Seen<'_>, name: &str, path: &[&str]) -> Markup {
    let count = below(seen, path).len();
    html! {
        fieldset.list { legend { (name) }
            @for number in 1..=(count + MORE_ITEMS) {
                @let number = number.to_string();
                @let mut at = path.to_vec();
                @let () = at.push(&number);
                (field(seen, &number, &at, false))
            }
        }
    }
}

fn field(seen: &Seen<'_>, name: &str, path: &[&str], number: bool) -> Markup {
    let place = place(path);
    let line = seen.sheet.lines.iter().find(|line| line.place == place);
    if line.is_some_and(|line| line.reading.is_some()) {
        return html! { p.hint { (name) ": a reading, " (line.map_or(String::new(), |line| shown(&line.value))) } };
    }
    let value = line.map_or(String::new(), |line| shown(&line.value));
    html! {
        @if let Some(line) = line { input type="hidden" name=(format!("was:{place}")) value=(line.value); }
        @if number { input type="hidden" name=(format!("number:{place}")) value="yes"; }
        (plain_field(&format!("is:{place}"), name, &value))
    }
}

/// Without `autocomplete="off"`, which would also make a browser forget what was typed when it goes
/// back from a page that refuses it.
fn plain_field(field: &str, name: &str, value: &str) -> Markup {
    let id = format!("v-{}", field.replace(|c: char| !c.is_ascii_alphanumeric(), "-"));
    html! { div.field.small { label for=(id) { (name) } input id=(id) name=(field) type="text" value=(value); } }
}

pub(super) fn set(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let seen = gathered(visit)?;
    let table = visit.param("table")?;
    if !SHOWN.contains(&table) {
        return Err(Wrong::NoPage);
    }
    let revision = visit.number("revision", "the revision")?.unwrap_or(seen.sheet.build.revision);
    let mut changes = Vec::new();
    for (name, text) in &visit.brought.form {
        let Some(at) = name.strip_prefix("is:") else { continue };
        let text = text.trim();
        let Some(at) = named(visit, at, text)? else { continue };
        if at.split('.').next() != Some(table) {
            return Err(Wrong::NoPage);
        }
        let was = visit.brought.form.iter().find(|(field, _)| *field == format!("was:{at}"));
        let number = visit.field(&format!("number:{name}").replace("is:", "")) == "yes";
        let value = match text {
            "" => None,
            text if number => Some(text.to_owned()),
            text => Some(toml_edit::Value::from(text).to_string()),
        };
        let was = was.map(|(_, was)| was.clone());
        // Blank fields for what may be added, and what was not touched.
        if value != was && !(value.is_none() && was.is_none()) {
            changes.push(Change { place: at, value, was });
        }
    }
    let of = InRevision { build: seen.sheet.build.id, revision };
    let changes = with_names(changes, &seen);
    change(visit.shop(), of, &changes, (visit.who()?, &visit.now), seen.first)?;
    Ok(Reply::see(seen.at(&format!("values/{table}"))))
}

/// The place of a field; in a table that is added, with the name that was given to it. Nothing
/// where the field is empty there.
fn named(visit: &Visit<'_>, at: &str, text: &str) -> Result<Option<String>, Wrong> {
    let Ok(parsed) = toml_edit::Key::parse(at) else { return Err(Wrong::NoPage) };
    let mut keys: Vec<String> = parsed.iter().map(|key| key.get().to_owned()).collect();
    while let Some(new) = keys.iter().position(|key| key == NEW) {
        if text.is_empty() {
            return Ok(None);
        }
        let above: Vec<&str> = keys[..=new].iter().map(String::as_str).collect();
        let above = place(&above);
        let given = ["name:", "is:"]
            .iter()
            .flat_map(|prefix| ["", ".name", ".serial"].map(|key| format!("{prefix}{above}{key}")))
            .map(|field| visit.field(&field).to_owned())
            .find(|given| !given.is_empty());
        let Some(given) = given else {
            return Err(Wrong::ask(format!(
                "what is added to {} has no name; give it one",
                words(&keys[..new].join(" "))
            )));
        };
        keys[new] = given;
    }
    let keys: Vec<&str> = keys.iter().map(String::as_str).collect();
    Ok(Some(place(&keys)))
}

/// With the key that names a new table first, and items of a list in their order.
fn with_names(mut changes: Vec<Change>, seen: &Seen<'_>) -> Vec<Change> {
    let known: BTreeSet<&str> = seen.sheet.lines.iter().map(|line| line.place.as_str()).collect();
    changes.sort_by_key(|change| {
        let names = [By::Name, By::Serial].iter().filter_map(|by| by.key());
        let is_name = names.into_iter().any(|key| change.place.ends_with(&format!(".{key}")));
        !is_name || known.contains(change.place.as_str())
    });
    changes
}
