//! The shelf: parts by their serials, those that no build has claimed first.

use super::{Names, ON_A_PAGE};
use crate::ops::labels::part_kind;
use crate::ops::shelf::station_in_words;
use crate::web::fields::{Field, choice, form};
use crate::web::figures;
use crate::web::frame::{self, due_mark, holds_mark, stopped_mark};
use crate::web::reply::Reply;
use crate::web::rights::Work;
use crate::web::route::{Route, get, post};
use crate::web::visit::Visit;
use crate::web::wrong::Wrong;
use maud::{Markup, html};
use paper::label::read_code;
use records::{PartFound, PartKind, PartSearch};

pub(super) const ROUTES: &[Route] = &[get("/shelf", list), post(Work::Parts, "/shelf", add)];

/// How many of the last readings of each part are listed.
const READINGS: usize = 3;

/// Kinds of parts as a form offers them.
fn kinds() -> Vec<(String, String)> {
    PartKind::ALL
        .iter()
        .map(|kind| (kind.word().to_owned(), crate::ops::phrase::capitalised(kind.word())))
        .collect()
}

fn kind(word: &str) -> Option<PartKind> {
    PartKind::ALL.iter().copied().find(|kind| kind.word() == word)
}

/// Where a part is, by word and shape.
pub(super) fn place(retired: bool, build: Option<(records::BuildId, &str)>) -> Markup {
    html! {
        @if let Some((id, name)) = build {
            (due_mark()) span { "in " a href=(format!("/builds/{id}")) { (name) } }
        } @else if retired { (stopped_mark()) "retired" }
        @else { (holds_mark()) "on the shelf" }
    }
}

fn list(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let typed = visit.asked("serial");
    // A scanner types what the code of a label holds: that part is looked for, wherever it is.
    let scanned = read_code(typed);
    let serial = scanned.as_ref().map_or(typed, |coded| &coded.serial);
    let all = visit.asked("which") == "all" || scanned.is_some();
    let search = PartSearch {
        serial,
        kind: scanned
            .as_ref()
            .map_or_else(|| kind(visit.asked("kind")), |c| Some(part_kind(c.kind))),
        on_shelf: !all,
        most: ON_A_PAGE + 1,
        last_readings: READINGS,
    };
    let mut parts = visit.shop().parts(&search)?;
    let more = parts.len() > ON_A_PAGE;
    parts.truncate(ON_A_PAGE);
    let names = Names::of(visit)?;
    let mut of_all = vec![(String::new(), "Every kind".to_owned())];
    of_all.extend(kinds());
    let whiches = [("shelf", "Only on the shelf"), ("all", "All, wherever they are")];
    let body = html! {
        h1 { "Shelf" }
        form.search method="get" action="/shelf" role="search" {
            label for="serial" { "Find a part by how its serial begins" }
            div.row {
                input id="serial" name="serial" type="search" value=(serial) autocomplete="off";
                select name="kind" aria-label="Which kind" {
                    @for (value, called) in &of_all {
                        option value=(value) selected[value == visit.asked("kind")] { (called) }
                    }
                }
                select name="which" aria-label="Which parts" {
                    @for (value, called) in whiches {
                        option value=(value) selected[all == (value == "all")] { (called) }
                    }
                }
                button type="submit" { "Find" }
            }
        }
        p { a.button.quiet href="/shelf/choose" { "Choose rotors and housings for builds that wait" } }
        @if parts.is_empty() {
            p { @if serial.is_empty() { "No such parts." } @else { "No part fits " q { (serial) } "." }
                @if !all { " Only the shelf was looked at: a part may be in a build, or retired." } }
        }
        ul.builds { @for found in &parts { (row(visit, found, &names)) } }
        @if more {
            p.told.good-told { (due_mark()) span { "More than " (ON_A_PAGE) " parts fit; the first "
                (ON_A_PAGE) " are listed. Type more of the serial, or choose a kind." } }
        }
        h2 { "Add a part" }
        (form("/shelf", "Add the part", html! {
            (choice("part-kind", "What it is", &kinds(), "rotor"))
            (Field::text("part-serial", "Serial").needed()
                .hint("As it is stamped on the part. No two of a kind have the same."))
        }))
    };
    Ok(frame::page(visit, "Shelf", body))
}

fn row(visit: &Visit<'_>, found: &PartFound, names: &Names) -> Markup {
    let part = &found.part;
    let build = found.build.as_ref().map(|(id, name)| (*id, name.as_str()));
    html! {
        li {
            a href=(format!("/shelf/{}", part.id)) { (part.serial) }
            p.about { (part.kind) }
            p.due { (place(part.retired, build)) }
            p.by {
                @for (i, reading) in found.readings.iter().rev().enumerate() {
                    @if i > 0 { "; " }
                    (station_in_words(part.kind, &reading.station)) ": " (reading.value.text())
                }
                @if let Some(last) = found.readings.first() {
                    " · last read " (figures::moment(&last.at)) " by " (names.person(last.person))
                } @else if visit.asked("which") != "all" { "no readings yet" }
            }
        }
    }
}

fn add(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let kind = kind(visit.field("part-kind"))
        .ok_or_else(|| Wrong::ask("it was not said what the part is; choose one of the list"))?;
    let serial = visit.needed("part-serial", "Serial")?;
    if let Some(why) = crate::build_file::known::no_name(serial) {
        return Err(Wrong::ask(format!("the serial {serial:?} {why}")));
    }
    let id = visit.shop().add_part(kind, serial, (visit.who()?, &visit.now))?;
    Ok(Reply::see(format!("/shelf/{id}")))
}
