//! Machining programs of a build for a machine tool of the shop: each as a file, and as the set-up
//! list that is signed at the machine. A program that does not pass its check is a page that says
//! why.

use super::super::frame::{self, stopped_mark, wide};
use super::super::reply::Reply;
use super::super::visit::Visit;
use super::super::wrong::Wrong;
use super::{Seen, gathered};
use crate::ops::PlanReport;
use crate::ops::library::machine_tool;
use crate::ops::program::{
    CAUTION, FaceProgram, ProgramAsked, Programs, ProgramsError, SetUp, SetUpLine, programs, set_up,
};
use crate::web::fields::choice;
use axum::http::StatusCode;
use kernel::readings::Face;
use kernel::units::Length;
use maud::{Markup, html};
use records::{MachineToolId, Sha};
use std::sync::Arc;

const TITLE: &str = "Machining programs";

/// The plan that is cut by.
fn plan<'s>(seen: &'s Seen<'_>) -> Result<&'s PlanReport, Wrong> {
    seen.sheet.to_cut_by().map_err(Wrong::Asked)
}

fn crumb(seen: &Seen<'_>) -> Markup {
    html! {
        p.crumb.not-on-paper { a href=(format!("/builds/{}#cutting", seen.sheet.build.id)) { (seen.sheet.build.head.name) } }
    }
}

/// Chooses a machine; then each rotor's faces.
pub(super) fn choose(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let seen = gathered(visit)?;
    let plan = plan(&seen)?;
    let machines = visit.shop().machine_tools()?;
    let asked = visit.asked("machine");
    let chosen = match asked {
        "" => machines.first().filter(|_| machines.len() == 1),
        id => Some(machines.iter().find(|of| of.id.to_string() == id).ok_or(Wrong::NoPage)?),
    };
    let options: Vec<(String, String)> =
        machines.iter().map(|of| (of.id.to_string(), of.name.clone())).collect();
    let at = chosen.map(|of| of.id.to_string()).unwrap_or_default();
    let body = html! {
        (crumb(&seen))
        h1 { (TITLE) }
        p { "One program for each face that has stock, for one machine and one set-up. Each is read back by \
             another reader and cuts a part of heights before it is given out." }
        @if machines.is_empty() {
            p { "The shop's library has no machine tools yet: "
                a href="/machine-tools" { "what its machines are" } " comes first." }
        } @else {
            form method="get" action=(seen.at("programs")) {
                (choice("machine", "For the machine", &options, &at))
                button.quiet type="submit" { "Go on" }
            }
        }
        @if let Some(machine) = chosen {
            h2 { "For " (machine.name) }
            (wide("Programs", faces(&seen, plan, machine.id)))
        }
    };
    Ok(frame::page(visit, TITLE, body))
}

fn faces(seen: &Seen<'_>, plan: &PlanReport, machine: MachineToolId) -> Markup {
    html! {
        table.middle {
            thead { tr { th scope="col" { "Rotor" } @for face in Face::BOTH { th scope="col" { (face.name()) " face" } } } }
            tbody { @for (place, rotor) in (1..).zip(&plan.rotors) {
                tr {
                    th scope="row" { (rotor.serial) }
                    @for face in Face::BOTH {
                        @let of = rotor.plan.cut.face(face);
                        @let cut = of.land.iter().chain(&of.tip).any(|cut| *cut > Length::ZERO);
                        td { @if cut {
                            a.touch href=(seen.at(&format!("programs/{machine}/{place}/{}", face.name()))) {
                                "Set-up list and program" }
                        } @else { "nothing to cut" } }
                    }
                }
            } }
        }
    }
}

/// A program as somebody asked for it.
enum Asked {
    Made(Arc<Programs>),
    Refused(ProgramsError),
}

/// The program that an address names, worked out or kept.
fn asked(seen: &Seen<'_>) -> Result<Asked, Wrong> {
    let visit = seen.visit;
    let plan = plan(seen)?;
    let place = visit.id::<i64>("place")?;
    let called = visit.param("face")?;
    let face = Face::BOTH.into_iter().find(|face| face.name() == called);
    let face = face.ok_or(Wrong::NoPage)?;
    let rotor =
        usize::try_from(place).ok().and_then(|place| plan.rotors.get(place.checked_sub(1)?));
    let rotor = rotor.ok_or(Wrong::NoPage)?;
    let (name, record) = machine_tool(visit.shop(), visit.id("machine")?)?;
    let inputs = seen.sheet.cut_inputs();
    let of = format!(
        "{name}\n{record:?}\n{place} {}\n{}\n{}",
        face.name(),
        inputs.to_hex(),
        seen.sheet.file.text
    );
    let made = visit.app.programs.or(Sha::of(of.as_bytes()), || {
        let of =
            ProgramAsked { rotor: Some(&rotor.serial), face: Some(face), ..Default::default() };
        programs(plan, (&name, &record), &of, inputs)
    });
    Ok(made.map_or_else(Asked::Refused, Asked::Made))
}

/// Why a program is not given out.
fn refused(seen: &Seen<'_>, error: &ProgramsError) -> Reply {
    let body = html! {
        (crumb(seen))
        h1 { "No program is given out" }
        @for said in error.to_string().lines() {
            div.told role="alert" { (stopped_mark()) p { (said) } }
        }
        p { "Nothing is cut by a program that was not given out. What stands in the way is of the "
            a href="/machine-tools" { "machine's record" } ", or of the plan." }
    };
    frame::page(seen.visit, "No program", body).status(StatusCode::UNPROCESSABLE_ENTITY)
}

/// The one program of an address; a face without stock has none.
fn only(made: &Programs) -> Result<&FaceProgram, Wrong> {
    made.made.first().ok_or_else(|| Wrong::ask("this face has no stock: it needs no program"))
}

pub(super) fn file(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let seen = gathered(visit)?;
    let made = match asked(&seen)? {
        Asked::Made(made) => made,
        Asked::Refused(error) => return Ok(refused(&seen, &error)),
    };
    let program = only(&made)?;
    let text = program.checked.text().as_bytes().to_vec();
    Ok(Reply::bytes("text/plain; charset=utf-8", text).file(&format!("{}.nc", program.name())))
}

/// The list that is signed at the machine.
pub(super) fn list(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let seen = gathered(visit)?;
    let made = match asked(&seen)? {
        Asked::Made(made) => made,
        Asked::Refused(error) => return Ok(refused(&seen, &error)),
    };
    let program = only(&made)?;
    let SetUp { title, of, lines, foretold } = set_up(&made.build, &made.machine, program);
    let address = format!(
        "programs/{}/{}/{}/file",
        visit.param("machine")?,
        visit.param("place")?,
        visit.param("face")?
    );
    let body = html! {
        (crumb(&seen))
        h1 { (title) }
        @for said in &of { p { (said) } }
        p.not-on-paper { a.button href=(seen.at(&address)) { "Take the program, " (program.name()) ".nc" } }
        p.told { span { (CAUTION) } }
        (wide("Set-up list", signed(&lines)))
        h2 { "Foretold" }
        ul { @for said in &foretold { li { (said) } } }
        p { "Machined by " span.line {} " on " span.line {} }
        details.not-on-paper {
            summary { "The program" }
            pre { (program.checked.text()) }
        }
    };
    Ok(frame::page(visit, &title, body))
}

fn signed(lines: &[SetUpLine]) -> Markup {
    html! {
        table.boxes {
            caption { "Each line is done at the machine and signed before the next one" }
            thead { tr { th scope="col" { "Done" } th scope="col" { "Read" } th scope="col" { "Signed" } } }
            tbody { @for line in lines {
                tr {
                    td { (line.what) }
                    td { @for read in &line.read { p { (read) " " span.line {} } } }
                    td.box {}
                }
            } }
        }
    }
}
