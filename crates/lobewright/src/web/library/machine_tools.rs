//! Machine tools: what programs are made for.

use super::{lines, owners_own};
use crate::build_file::known::named_places;
use crate::build_file::model::machine_tool::{ControlUnits, HeldBy, Tool, UnitsWord, XReads};
use crate::ops::library::{
    Kept, add_machine_tool, below_name, change_machine_tool, expected, in_words, line,
};
use crate::ops::phrase;
use crate::web::fields::{Field, choice};
use crate::web::frame;
use crate::web::reply::Reply;
use crate::web::rights::Work;
use crate::web::route::{Route, get, post};
use crate::web::visit::Visit;
use crate::web::wrong::Wrong;
use maud::{Markup, html};
use records::{MachineTool, MachineToolId, RecordsError};

pub(super) const ROUTES: &[Route] = &[
    get("/machine-tools", list),
    post(Work::Library, "/machine-tools", add),
    get("/machine-tools/new", new).of(Work::Library),
    get("/machine-tools/{id}", page),
    post(Work::Library, "/machine-tools/{id}", change),
];

/// A machine tool that has no name yet: what its lines are called does not depend on that.
const UNNAMED: &str = "own";
/// Keys that only one kind of machine has.
const OF_A_MILL: [&str; 3] = ["cutter.diameter", "cutter.teeth", "cutter.holder_diameter"];
const OF_A_LATHE: [&str; 2] = ["x_reads", "cutter.holder_width"];

fn list(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let machines = visit.shop().machine_tools()?;
    let body = html! {
        h1 { "Machine tools" }
        p { "A machining program is made for one of these: with the words that its control reads, the \
             cutter and the fixture that are on it." }
        @if machines.is_empty() { p { "No machine tools yet." } }
        ul.ways {
            @for machine in &machines {
                li { a href=(format!("/machine-tools/{}", machine.id)) { (machine.name) } }
            }
        }
        (owners_own(visit, "A new machine tool", html! {
            p { a.button href="/machine-tools/new" { "Add a machine tool" } }
        }))
    };
    Ok(frame::page(visit, "Machine tools", body))
}

fn found(visit: &Visit<'_>, id: MachineToolId) -> Result<MachineTool, Wrong> {
    let machine = visit.shop().machine_tools()?.into_iter().find(|machine| machine.id == id);
    machine.ok_or_else(|| RecordsError::NotThere { what: format!("machine tool {id}") }.into())
}

/// What a form calls the table that a key stands in.
fn group(key: &str) -> &'static str {
    match key.split_once('.').map(|(table, _)| table) {
        Some("fixture") => "How a rotor is held",
        Some("cutter") => "What cuts",
        Some("rough") => "Rough passes",
        Some("finish") => "Finishing pass",
        _ => "The machine and its control",
    }
}

fn new(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let places = named_places("machine_tool", UNNAMED);
    let keys: Vec<String> = places.iter().map(|place| below_name(place)).collect();
    let mut groups: Vec<&str> = keys.iter().map(|key| group(key)).collect();
    groups.dedup();
    let (expected, needed) =
        (expected(Kept::MachineTool, UNNAMED), Kept::MachineTool.needed(UNNAMED));
    let field = |place: &String, key: &str| {
        let hint = expected.get(place).map_or("", String::as_str);
        field(place, (key, hint), needed.contains(place))
    };
    let body = html! {
        h1 { "Add a machine tool" }
        p { "Every value has its unit: mm or thou, rpm, m/min or ft/min." }
        form method="post" action="/machine-tools" {
            (Field::text("name", "What the machine is called").needed())
            @for of in groups {
                fieldset {
                    legend { (of) }
                    @for (place, key) in places.iter().zip(&keys).filter(|(_, key)| group(key) == of) {
                        (field(place, key))
                    }
                }
            }
            button type="submit" { "Keep the machine tool" }
        }
    };
    Ok(frame::page(visit, "Add a machine tool", body))
}

/// The words that a key takes, where it takes no others.
fn words_of(key: &str) -> Option<Vec<&'static str>> {
    match key {
        "kind" => Some(Tool::KINDS.to_vec()),
        "units" => Some(ControlUnits::ALL.map(ControlUnits::name).to_vec()),
        "units_word" => Some(UnitsWord::ALL.map(UnitsWord::name).to_vec()),
        "x_reads" => Some(XReads::ALL.map(XReads::name).to_vec()),
        "fixture.held_by" => Some(HeldBy::ALL.map(HeldBy::name).to_vec()),
        _ => None,
    }
}

/// The field of a key, under the group that its table is.
fn field(place: &str, (key, hint): (&str, &str), needed: bool) -> Markup {
    let words = in_words(place);
    let words = words.split_once(", ").map_or(words.as_str(), |(_, rest)| rest);
    let mut label = phrase::capitalised(words);
    if OF_A_MILL.contains(&key) {
        label += ", of a mill";
    } else if OF_A_LATHE.contains(&key) {
        label += ", of a lathe";
    }
    if let Some(words) = words_of(key) {
        let own = (!needed).then(|| (String::new(), "Nothing".to_owned()));
        let offered = words.into_iter().map(|word| (word.to_owned(), word.to_owned()));
        let options: Vec<_> = own.into_iter().chain(offered).collect();
        return choice(key, &label, &options, "");
    }
    let field = Field::text(key, &label).hint(phrase::capitalised(hint));
    html! { @if needed { (field.needed()) } @else { (field) } }
}

fn page(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let machine = found(visit, visit.id("id")?)?;
    let of_it = visit.shop().machine_tool_lines(machine.id)?;
    let body = html! {
        h1 { (machine.name) }
        p { "A machine tool. " a href="/machine-tools" { "All machine tools" } }
        (lines::table(visit, &of_it))
        h2 { "Change it" }
        (owners_own(visit, "A change", html! {
            form method="post" action=(format!("/machine-tools/{}", machine.id)) {
                p.hint { "Empty a field to leave its line out." }
                (lines::fields(Kept::MachineTool, &machine.name, &of_it))
                button type="submit" { "Keep these lines" }
            }
        }))
    };
    Ok(frame::page(visit, &machine.name, body))
}

fn add(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let name = visit.needed("name", "What the machine is called")?;
    let mut sent = Vec::new();
    for place in named_places("machine_tool", name) {
        sent.extend(line(&place, visit.field(&below_name(&place)))?);
    }
    let id = add_machine_tool(visit.shop(), name, &sent)?;
    Ok(Reply::see(format!("/machine-tools/{id}")))
}

fn change(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let machine = found(visit, visit.id("id")?)?;
    change_machine_tool(visit.shop(), machine.id, &lines::sent(visit)?)?;
    Ok(Reply::see(format!("/machine-tools/{}", machine.id)))
}
