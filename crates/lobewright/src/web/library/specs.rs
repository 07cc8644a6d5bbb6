//! Specs: the shop's own clearances and limits, in versions. A version that a build refers to
//! stays as it is.

use super::{Names, lines, owners_own};
use crate::ops::library::{Kept, add_spec, change_spec};
use crate::web::fields::{Field, choice};
use crate::web::figures;
use crate::web::frame::{self, due_mark, holds_mark};
use crate::web::reply::Reply;
use crate::web::rights::Work;
use crate::web::route::{Route, get, post};
use crate::web::visit::Visit;
use crate::web::wrong::Wrong;
use maud::{Markup, html};
use records::{RecordsError, Spec, SpecId};

pub(super) const ROUTES: &[Route] = &[
    get("/specs", list),
    post(Work::Library, "/specs", add),
    get("/specs/new", new).of(Work::Library),
    get("/specs/{id}", page),
    post(Work::Library, "/specs/{id}/next", next),
    post(Work::Library, "/specs/{id}/change", change),
];

fn builds(count: i64) -> String {
    match count {
        0 => "no build refers to it yet".to_owned(),
        1 => "1 build refers to it".to_owned(),
        n => format!("{n} builds refer to it"),
    }
}

/// Whether it still can be changed, by word and shape.
fn fixed(spec: &Spec) -> Markup {
    html! {
        @if spec.builds > 0 { (holds_mark()) "fixed: " (builds(spec.builds)) }
        @else { (due_mark()) "can still be changed: " (builds(0)) }
    }
}

fn list(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let specs = visit.shop().specs()?;
    let names = Names::of(visit)?;
    let body = html! {
        h1 { "Specs" }
        p { "A spec is this shop's own clearances and limits for a duty. Each change is a new \
             version, so that it stays clear what a build was built to." }
        @if visit.is_owner() {
            p.row.not-on-paper { a.button.quiet href="/calibration" { "What teardowns teach" } }
        }
        @if specs.is_empty() { p { "No specs yet." } }
        @else { (frame::wide("Specs", table(&specs, &names))) }
        h2 { "A new spec" }
        (owners_own(visit, "A new spec", html! {
            form method="get" action="/specs/new" {
                (choice("from", "Begin with the lines of", &beginnings(&specs), ""))
                button type="submit" { "Go on" }
            }
        }))
    };
    Ok(frame::page(visit, "Specs", body))
}

fn table(specs: &[Spec], names: &Names) -> Markup {
    html! {
        table.middle {
            thead { tr {
                th scope="col" { "Spec" } th scope="col" { "Version" } th scope="col" { "Made" }
                th scope="col" { "Builds" }
            } }
            tbody {
                @for spec in specs {
                    tr {
                        th scope="row" { a.touch href=(format!("/specs/{}", spec.id)) { (spec.name) } }
                        td.n { (spec.version) }
                        td { (figures::moment(&spec.at)) " by " (names.person(spec.owner)) }
                        td { (fixed(spec)) }
                    }
                }
            }
        }
    }
}

/// Nothing, or the last version of each spec.
fn beginnings(specs: &[Spec]) -> Vec<(String, String)> {
    let mut all = vec![(String::new(), "Nothing: every line is asked for".to_owned())];
    for (i, spec) in specs.iter().enumerate() {
        if !specs[..i].iter().any(|before| before.name == spec.name) {
            all.push((spec.id.to_string(), format!("{}, version {}", spec.name, spec.version)));
        }
    }
    all
}

pub(super) fn found(visit: &Visit<'_>, id: SpecId) -> Result<Spec, Wrong> {
    let spec = visit.shop().specs()?.into_iter().find(|spec| spec.id == id);
    spec.ok_or_else(|| RecordsError::NotThere { what: format!("spec {id}") }.into())
}

fn new(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let from = match visit.asked("from") {
        "" => None,
        id => Some(found(visit, SpecId(id.parse().map_err(|_| Wrong::NoPage)?))?),
    };
    let fields = match &from {
        None => lines::empty_fields(Kept::Spec, "", Kept::Spec.tables()),
        Some(spec) => lines::fields(Kept::Spec, "", &visit.shop().spec_lines(spec.id)?),
    };
    let body = html! {
        h1 { "A new spec" }
        @if let Some(spec) = &from { p { "Its lines are those of " q { (spec.name) } ", version " (spec.version) ", until you change them." } }
        form method="post" action="/specs" {
            (Field::text("name", "What the spec is called").needed()
                .hint("A name that is there already makes its next version."))
            (fields)
            button type="submit" { "Keep the spec" }
        }
    };
    Ok(frame::page(visit, "A new spec", body))
}

fn page(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let spec = found(visit, visit.id("id")?)?;
    let of_it = visit.shop().spec_lines(spec.id)?;
    let names = Names::of(visit)?;
    let others: Vec<Spec> =
        visit.shop().specs()?.into_iter().filter(|other| other.name == spec.name).collect();
    let last = others.first().map_or(spec.version, |last| last.version);
    let title = format!("{}, version {}", spec.name, spec.version);
    let body = html! {
        h1 { (title) }
        p { (fixed(&spec)) " · made " (figures::moment(&spec.at)) " by " (names.person(spec.owner)) }
        p.row.not-on-paper { a.button.quiet href=(format!("/specs/{}/review", spec.id)) { "How builds to this spec came back" } }
        (lines::table(visit, &of_it))
        @if others.len() > 1 {
            h2 { "All versions" }
            (frame::wide("All versions", table(&others, &names)))
        }
        h2 { "Change it" }
        (owners_own(visit, "Another version", html! {
            form method="post" action=(format!("/specs/{}/next", spec.id)) {
                p.hint { "Empty a field to leave its line out." }
                (lines::fields(Kept::Spec, "", &of_it))
                div.row {
                    button type="submit" { "Keep as version " (last + 1) }
                    @if spec.builds == 0 {
                        button.quiet type="submit" formaction=(format!("/specs/{}/change", spec.id)) {
                            "Change version " (spec.version) " itself"
                        }
                    }
                }
            }
        }))
    };
    Ok(frame::page(visit, &title, body))
}

fn add(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let name = visit.needed("name", "What the spec is called")?;
    let sent = lines::sent(visit)?;
    let id = add_spec(visit.shop(), name, sent, (visit.who()?, &visit.now))?;
    Ok(Reply::see(format!("/specs/{id}")))
}

fn next(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let spec = found(visit, visit.id("id")?)?;
    let sent = lines::sent(visit)?;
    let id = add_spec(visit.shop(), &spec.name, sent, (visit.who()?, &visit.now))?;
    Ok(Reply::see(format!("/specs/{id}")))
}

fn change(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let id = visit.id("id")?;
    change_spec(visit.shop(), id, lines::sent(visit)?)?;
    Ok(Reply::see(format!("/specs/{id}")))
}
