//! Gauges with their calibrations, those first that are overdue.

use super::{Names, offered};
use crate::ops::gauges::{KINDS, Standing, TypedCalibration, calibration, standing};
use crate::web::fields::{Field, choice, form};
use crate::web::frame::{self, due_mark, holds_mark, stopped_mark};
use crate::web::reply::Reply;
use crate::web::rights::Work;
use crate::web::route::{Route, get, post};
use crate::web::visit::Visit;
use crate::web::wrong::Wrong;
use maud::{Markup, html};
use records::{Gauge, NewCalibration, Written};

pub(super) const ROUTES: &[Route] = &[
    get("/gauges", list),
    post(Work::Gauges, "/gauges", add),
    get("/gauges/{id}", page),
    post(Work::Gauges, "/gauges/{id}/calibration", calibrate),
    post(Work::Gauges, "/gauges/{id}/use", set_use),
];

/// How a gauge stands, by word and shape.
fn stands(standing: &Standing) -> Markup {
    html! {
        @match standing {
            Standing::Overdue(due) => { (stopped_mark()) strong { "calibration overdue since " (due) } }
            Standing::Soon(due) => { (due_mark()) "calibration due soon, on " (due) }
            Standing::Holds(Some(due)) => { (holds_mark()) "calibrated, next due on " (due) }
            Standing::Holds(None) => { (holds_mark()) "no calibration is set to be due" }
            Standing::OutOfUse => { "out of use" }
        }
    }
}

fn uncertainty(what: &NewCalibration) -> Markup {
    html! {
        (what.repeat.text()) " each reading"
        @if let Some(zero) = &what.zero { "; " (zero.text()) " its zero" }
    }
}

fn list(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let today = visit.today();
    let mut gauges: Vec<(Standing, Gauge)> =
        visit.shop().gauges()?.into_iter().map(|gauge| (standing(&gauge, &today), gauge)).collect();
    gauges.sort_by(|a, b| (&a.0, &a.1.name).cmp(&(&b.0, &b.1.name)));
    let overdue = gauges.iter().filter(|(s, _)| matches!(s, Standing::Overdue(_))).count();
    let kinds: Vec<String> = KINDS.iter().map(|kind| (*kind).to_owned()).collect();
    let body = html! {
        h1 { "Gauges" }
        @if overdue > 0 {
            div.told { (stopped_mark()) p {
                @if overdue == 1 { "The calibration of 1 gauge is overdue." }
                @else { "The calibrations of " (overdue) " gauges are overdue." }
            } }
        }
        @if gauges.is_empty() { p { "No gauges yet." } }
        ul.builds {
            @for (standing, gauge) in &gauges {
                li {
                    a href=(format!("/gauges/{}", gauge.id)) { (gauge.name) }
                    p.about { (gauge.kind) }
                    p.due { (stands(standing)) }
                    p.by { "Uncertainty " (uncertainty(&gauge.calibration.what)) }
                }
            }
        }
        h2 { "Add a gauge" }
        (form("/gauges", "Add the gauge", html! {
            (Field::text("name", "What the gauge is called").needed()
                .hint("As it is marked, such as M-3."))
            (offered(("kind", "What it is"), "", &kinds, "Such as micrometer, indicator, scale or balance machine. The uncertainty of a scale is a mass, that of a balance machine an unbalance, all others' a length."))
            (calibration_fields())
        }))
    };
    Ok(frame::page(visit, "Gauges", body))
}

fn calibration_fields() -> Markup {
    html! {
        (Field::text("repeat", "Standard uncertainty of each reading").needed()
            .hint("With its unit, such as 2 um, 0.1 thou, 0.2 g or 8 g mm."))
        (Field::text("zero", "Standard uncertainty of its zero")
            .hint("What all its readings share, such as 1 um."))
        (Field::day("day", "Calibrated on"))
        (Field::day("due", "Next due on"))
        (Field::text("certificate", "Number of the certificate"))
    }
}

fn page(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let gauge = visit.shop().gauge(visit.id("id")?)?;
    let calibrations = visit.shop().calibrations(gauge.id)?;
    let names = Names::of(visit)?;
    let written =
        |value: Option<&Written>| value.map_or("none".to_owned(), |v| v.text().to_owned());
    let uses = [
        ("yes".to_owned(), "In use".to_owned()),
        ("no".to_owned(), "Out of use: no reading is taken with it".to_owned()),
    ];
    let table = html! {
        table {
            thead { tr {
                th scope="col" { "Calibrated on" } th scope="col" { "Next due on" }
                th scope="col" { "Each reading" } th scope="col" { "Its zero" }
                th scope="col" { "Certificate" } th scope="col" { "Entered by" }
            } }
            tbody {
                @for (i, kept) in calibrations.iter().enumerate() {
                    @let what = &kept.what;
                    tr {
                        th scope="row" {
                            @if let Some(day) = &what.day { (day) } @else { "a day that is not known" }
                            @if i == 0 { " (holds)" }
                        }
                        td.whole { @if let Some(due) = &what.due { (due) } @else { "not set" } }
                        td.n { (what.repeat.text()) }
                        td.n { (written(what.zero.as_ref())) }
                        td { (what.certificate) }
                        td { @if let Some(by) = what.person { (names.person(by)) } @else { "not known" } }
                    }
                }
            }
        }
    };
    let body = html! {
        h1 { (gauge.name) }
        p { (gauge.kind) " · " (stands(&standing(&gauge, &visit.today()))) }
        h2 { "Calibrations" }
        (frame::wide("Calibrations", table))
        h3 { "Enter a calibration" }
        (form(&format!("/gauges/{}/calibration", gauge.id), "Enter the calibration", calibration_fields()))
        h2 { "Use" }
        (form(&format!("/gauges/{}/use", gauge.id), "Keep", html! {
            (choice("use", "Whether it is used", &uses, if gauge.active { "yes" } else { "no" }))
        }))
    };
    Ok(frame::page(visit, &gauge.name, body))
}

fn typed(
    visit: &Visit<'_>,
    kind: &str,
    before: Option<&NewCalibration>,
) -> Result<NewCalibration, Wrong> {
    let typed = TypedCalibration {
        day: visit.day("day", "Calibrated on")?,
        due: visit.day("due", "Next due on")?,
        repeat: visit.needed("repeat", "Standard uncertainty of each reading")?,
        zero: visit.field("zero"),
        certificate: visit.field("certificate"),
        person: visit.who()?,
    };
    Ok(calibration(kind, before, &typed)?)
}

fn add(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let name = visit.needed("name", "What the gauge is called")?;
    if let Some(why) = crate::build_file::known::no_name(name) {
        return Err(Wrong::ask(format!("the name {name:?} {why}")));
    }
    let kind = visit.needed("kind", "What it is")?;
    let id = visit.shop().add_gauge(name, kind, &typed(visit, kind, None)?)?;
    Ok(Reply::see(format!("/gauges/{id}")))
}

fn calibrate(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let gauge = visit.shop().gauge(visit.id("id")?)?;
    visit.shop().calibrate(gauge.id, &typed(visit, &gauge.kind, Some(&gauge.calibration.what))?)?;
    Ok(Reply::see(format!("/gauges/{}", gauge.id)))
}

fn set_use(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let id = visit.id("id")?;
    let active = match visit.field("use") {
        "yes" => true,
        "no" => false,
        _ => return Err(Wrong::ask("it was not said whether the gauge is used; choose one")),
    };
    visit.shop().set_gauge_active(id, active)?;
    Ok(Reply::see(format!("/gauges/{id}")))
}
