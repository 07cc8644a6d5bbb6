//! Engines, and on the same page the materials that they are made of and the way to the machine
//! tools that they are cut on. A build has its own copy of its engine's lines: a change here
//! reaches the builds that begin after it.

use super::{lines, owners_own};
use crate::build_file::model::BUILT_IN_MATERIALS;
use crate::ops::library::{Kept, add_engine, as_text, change_engine, of_text};
use crate::web::fields::Field;
use crate::web::frame;
use crate::web::reply::Reply;
use crate::web::rights::Work;
use crate::web::route::{Route, get, post};
use crate::web::visit::Visit;
use crate::web::wrong::Wrong;
use maud::html;
use records::{Engine, EngineId, RecordsError};

pub(super) const ROUTES: &[Route] = &[
    get("/engines", list),
    post(Work::Library, "/engines", add),
    get("/engines/new", new).of(Work::Library),
    get("/engines/{id}", page),
    post(Work::Library, "/engines/{id}", change),
    post(Work::Library, "/engines/{id}/text", change_text),
];

fn list(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let engines = visit.shop().engines()?;
    let materials = visit.shop().materials()?;
    let body = html! {
        h1 { "Engines" }
        @if engines.is_empty() { p { "No engines yet." } }
        ul.ways {
            @for engine in &engines {
                li { a href=(format!("/engines/{}", engine.id)) { (engine.name) } }
            }
        }
        (owners_own(visit, "A new engine", html! {
            p { a.button href="/engines/new" { "Add an engine" } }
        }))
        h2 { "Machine tools" }
        p { "What rotors are cut on: machining programs are made for them." }
        p { a.button.quiet href="/machine-tools" { "All machine tools" } }
        h2 { "Materials" }
        p { "Built in: " (BUILT_IN_MATERIALS.join(", ")) "." }
        @if materials.is_empty() { p { "None of the shop's own yet." } }
        ul.ways {
            @for material in &materials {
                li { a href=(format!("/materials/{}", material.id)) { (material.name) } }
            }
        }
        (owners_own(visit, "A new material", super::materials::add_form()))
    };
    Ok(frame::page(visit, "Engines", body))
}

fn found(visit: &Visit<'_>, id: EngineId) -> Result<Engine, Wrong> {
    let engine = visit.shop().engines()?.into_iter().find(|engine| engine.id == id);
    engine.ok_or_else(|| RecordsError::NotThere { what: format!("engine {id}") }.into())
}

fn new(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let body = html! {
        h1 { "Add an engine" }
        form method="post" action="/engines" {
            (Field::text("name", "What the engine is called").needed())
            (lines::empty_fields(Kept::Engine, "", &["engine"]))
            button type="submit" { "Keep the engine" }
        }
        p { "Seals, shaft, bearings and gear can be added once it is kept." }
        h2 { "Or from a build file" }
        form method="post" action="/engines" {
            (Field::text("text-name", "What this engine is called").needed())
            (Field::lines("text", "Its tables, as a build file writes them", 12).needed()
                .hint(format!("[engine], and as far as they are known [{}].",
                    Kept::Engine.tables()[1..].join("], ["))))
            button type="submit" { "Keep this engine" }
        }
    };
    Ok(frame::page(visit, "Add an engine", body))
}

fn page(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let engine = found(visit, visit.id("id")?)?;
    let of_it = visit.shop().engine_lines(engine.id)?;
    let text = as_text(&of_it)?;
    let body = html! {
        h1 { (engine.name) }
        p { "A build that begins from this engine has its own copy of these lines." }
        (lines::table(visit, &of_it))
        h2 { "Change it" }
        (owners_own(visit, "A change", html! {
            form method="post" action=(format!("/engines/{}", engine.id)) {
                p.hint { "Empty a field to leave its line out." }
                (lines::fields(Kept::Engine, "", &of_it))
                button type="submit" { "Keep these lines" }
            }
            h3 { "Change it as a text" }
            p { "Sections of a shaft, weights and throws are added here." }
            form method="post" action=(format!("/engines/{}/text", engine.id)) {
                (Field::lines("text", "All its lines, as a build file writes them", 16).needed().value(text))
                button type="submit" { "Keep this text" }
            }
        }))
    };
    Ok(frame::page(visit, &engine.name, body))
}

fn add(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let (name, sent) = match visit.field("text") {
        "" => (visit.needed("name", "What the engine is called")?, lines::sent(visit)?),
        text => (
            visit.needed("text-name", "What this engine is called")?,
            of_text(visit.shop(), Kept::Engine, text)?,
        ),
    };
    let id = add_engine(visit.shop(), name, &sent)?;
    Ok(Reply::see(format!("/engines/{id}")))
}

fn change(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let engine = found(visit, visit.id("id")?)?;
    change_engine(visit.shop(), engine.id, &lines::sent(visit)?)?;
    Ok(Reply::see(format!("/engines/{}", engine.id)))
}

fn change_text(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let engine = found(visit, visit.id("id")?)?;
    let sent = of_text(visit.shop(), Kept::Engine, visit.field("text"))?;
    change_engine(visit.shop(), engine.id, &sent)?;
    Ok(Reply::see(format!("/engines/{}", engine.id)))
}
