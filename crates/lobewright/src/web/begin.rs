//! A build is begun: from the library, or from a build file.

use super::fields::{Field, choice, file_form, form};
use super::frame;
use super::reply::Reply;
use super::rights::Work;
use super::route::{Route, get, post};
use super::visit::Visit;
use super::wrong::Wrong;
use crate::ops::sheet::{self, Beginning, begin};
use maud::html;
use records::{EngineId, IntakeId, SpecId};

pub(super) const ROUTES: &[Route] = &[
    get("/builds/new", new_page).of(Work::Builds),
    post(Work::Builds, "/builds/new", new),
    get("/builds/bring", bring_page).of(Work::Builds),
    post(Work::Builds, "/builds/bring", bring),
];

fn new_page(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let shop = visit.shop();
    let engines: Vec<(String, String)> =
        shop.engines()?.into_iter().map(|e| (e.id.to_string(), e.name)).collect();
    // Of every spec its last version: what is begun now is built to that.
    let mut specs: Vec<records::Spec> = shop.specs()?;
    specs.sort_by(|a, b| a.name.cmp(&b.name).then(b.version.cmp(&a.version)));
    specs.dedup_by(|a, b| a.name == b.name);
    let specs: Vec<(String, String)> = specs
        .into_iter()
        .map(|s| (s.id.to_string(), format!("{}, version {}", s.name, s.version)))
        .collect();
    let none = (String::new(), "Nobody yet".to_owned());
    let customers: Vec<(String, String)> = std::iter::once(none)
        .chain(shop.customers("")?.into_iter().map(|c| (c.id.to_string(), c.name)))
        .collect();
    let intake = match visit.asked("intake").parse() {
        Ok(number) => Some(shop.intake(IntakeId(number))?),
        Err(_) => None,
    };
    let customer = intake.as_ref().map(|i| i.customer.to_string()).unwrap_or_default();
    let by = intake.as_ref().and_then(|i| i.due.clone()).map(|day| day.to_string());
    let lacking = engines.is_empty() || specs.is_empty();
    let body = html! {
        h1 { "Begin a build" }
        @if lacking {
            div.told { (frame::due_mark()) div {
                p { "A build takes its engine and its spec from the shop's library, and the library has "
                    @if engines.is_empty() { "no engine" } @else { "no spec" } " yet." }
                p { a href="/engines" { "Enter an engine" } ", " a href="/specs" { "enter a spec" }
                    ", or " a href="/builds/bring" { "bring in a build file" } "." }
            } }
        } @else {
            @if let Some(intake) = &intake {
                p { "For what came in: " q { (intake.came_in) } ". Wanted: " q { (intake.wanted) } "." }
            }
            (form("/builds/new", "Begin it", html! {
                @if let Some(intake) = &intake { input type="hidden" name="intake" value=(intake.id); }
                (Field::text("name", "What the build is called").needed())
                (choice("customer", "Whose it is", &customers, &customer))
                (choice("engine", "Engine", &engines, ""))
                (choice("spec", "Spec", &specs, ""))
                fieldset {
                    legend { "The duty" }
                    (Field::text("speed", "Highest speed of the shaft").hint("With its unit, such as 9800 rpm"))
                    (Field::text("boost", "Boost above atmosphere").hint("Such as 0.9 bar, or 13 psi"))
                    (Field::text("running", "Running wanted between rebuilds").hint("Such as 12 h"))
                }
                (Field::day("by", "Wanted by").value(by.unwrap_or_default()))
            }))
        }
    };
    Ok(frame::page(visit, "Begin a build", body))
}

fn new(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let engine = visit.id_field::<EngineId>("engine", "Engine")?;
    let spec = visit.id_field::<SpecId>("spec", "Spec")?;
    let (Some(engine), Some(spec)) = (engine, spec) else {
        return Err(Wrong::ask("choose an engine and a spec"));
    };
    let new = Beginning {
        name: visit.needed("name", "What the build is called")?,
        customer: visit.id_field("customer", "Whose it is")?,
        intake: visit.id_field("intake", "What came in")?,
        engine,
        spec,
        duty: [visit.field("speed"), visit.field("boost"), visit.field("running")],
        by: visit.day("by", "Wanted by")?,
    };
    let build = begin(visit.shop(), &new, (visit.who()?, &visit.now))?;
    Ok(Reply::see(format!("/builds/{build}")))
}

fn bring_page(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let body = html! {
        h1 { "Bring in a build file" }
        p { "A build file is one text with everything about a build; its rotors and housings become \
             parts by their serials, its readings readings. Nothing is taken of a file that is wrong: \
             everything that is wrong with it is listed." }
        (file_form("/builds/bring", "Bring it in", html! {
            div.field {
                label for="f-file" { "The file" }
                input id="f-file" type="file" name="file" accept=".toml,text/plain";
            }
            (Field::lines("text", "Or its text", 12))
        }))
    };
    Ok(frame::page(visit, "Bring in a build file", body))
}

fn bring(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let sent = visit.brought.files.iter().find(|file| file.field == "file");
    let text = match sent {
        Some(file) => String::from_utf8(file.bytes.clone()).map_err(|_| {
            Wrong::ask(format!("{:?} is no text; a build file is one, in UTF-8", file.name))
        })?,
        None => visit.needed("text", "The file or its text")?.to_owned(),
    };
    let by = visit.person.as_ref().ok_or(Wrong::NobodyIn)?;
    let brought = sheet::bring(visit.shop(), &text, None, (by, &visit.now))?;
    Ok(Reply::see(format!("/builds/{}", brought.build)))
}
