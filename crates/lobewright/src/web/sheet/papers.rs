//! Papers of a build: plans, cut sheets and balance runs that were kept, shown as they were kept.

use super::super::figures::moment;
use super::super::frame::{self, wide};
use super::super::reply::Reply;
use super::super::visit::Visit;
use super::super::wrong::Wrong;
use super::{Seen, back, gathered};
use crate::ops;
use crate::ops::sheet::{Fits, keep_balance, keep_plan, make_cut_sheet, settle};
use crate::text;
use kernel::units::{Length, System};
use maud::{Markup, html};
use records::{BuildId, Stage, Work, WorkKind};
use serde_json::Value;

pub(super) fn keep_plan_of(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let seen = gathered(visit)?;
    let number = keep_plan(visit.shop(), &seen.sheet, (visit.who()?, &visit.now))?;
    Ok(Reply::see(seen.at(&format!("papers/plan/{number}"))))
}

pub(super) fn make_sheet(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let seen = gathered(visit)?;
    let number = make_cut_sheet(visit.shop(), &seen.sheet, (visit.who()?, &visit.now))?;
    settle(visit.shop(), seen.sheet.build.id, &visit.today())?;
    Ok(Reply::see(seen.at(&format!("papers/sheet/{number}"))))
}

pub(super) fn keep_balance_of(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let seen = gathered(visit)?;
    keep_balance(visit.shop(), &seen.sheet, (visit.who()?, &visit.now))?;
    Ok(back(seen.sheet.build.id, Stage::Balance))
}

pub(super) fn plan_in_full(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let seen = gathered(visit)?;
    let Some(plan) = seen.sheet.cutting_plan() else {
        return Err(Wrong::ask("there is no plan yet: readings or spec are not whole"));
    };
    let body = html! {
        p.crumb { a href=(format!("/builds/{}#cutting", seen.sheet.build.id)) { (seen.sheet.build.head.name) } }
        h1 { "The plan in full" }
        (wide("The plan in full", html! { pre.columns { (text::plan::text(plan, seen.first)) } }))
    };
    Ok(frame::page(visit, "The plan in full", body))
}

pub(super) fn show(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let seen = gathered(visit)?;
    let name = visit.param("kind")?;
    let kind = WorkKind::ALL.iter().copied().find(|kind| kind.word().replace(' ', "-") == name);
    let kind = kind.ok_or(Wrong::NoPage)?;
    let number = visit.id::<i64>("number")?;
    let work =
        seen.sheet.works(kind).iter().find(|work| work.id.0 == number).ok_or(Wrong::NoPage)?;
    let document: Value = serde_json::from_str(&work.document)
        .map_err(|error| Wrong::Machine(format!("{} {number}: {error}", work.title)))?;
    let title = format!("{} {number}", work.title);
    let body = html! {
        p.crumb.not-on-paper { a href=(format!("/builds/{}", seen.sheet.build.id)) { (seen.sheet.build.head.name) } }
        h1 { (title) ", " (seen.sheet.build.head.name) }
        p { "Build " (work.build) ", revision " (work.revision) ". Made " (moment(&work.at)) " by "
            (seen.sheet.name_of(work.person)) " with " (work.program) "." }
        @match seen.sheet.fits(work) {
            Fits::Now => {}
            Fits::Past => p.told { (frame::stopped_mark()) span { "The rotors were cut and measured since this was made. Do not cut by it again." } },
            Fits::No => p.told { (frame::stopped_mark()) span { "Readings or spec changed since this was made. Do not cut by it: make it again." } },
        }
        @for gauge in seen.sheet.overdue() {
            p.told { (frame::stopped_mark()) span { "Readings behind this were taken with " (gauge.name) ", whose calibration is overdue." } }
        }
        @match kind {
            WorkKind::Plan | WorkKind::Sheet => (cut_sheet(&document, seen.first, (kind == WorkKind::Sheet).then_some(title.as_str()))),
            WorkKind::BalanceRun => (as_kept(&seen, work)),
        }
    };
    Ok(frame::page(visit, &title, body))
}

fn as_kept(seen: &Seen<'_>, work: &Work) -> Markup {
    let pretty = serde_json::from_str::<Value>(&work.document)
        .and_then(|value| serde_json::to_string_pretty(&value))
        .unwrap_or_else(|_| work.document.clone());
    html! {
        p { "As it was kept, figure by figure. What holds now is in "
            a href=(format!("/builds/{}#balance", seen.sheet.build.id)) { "the sheet" } "." }
        pre { (pretty) }
    }
}

/// A figure that is read at a machine: what comes first large, and neither unit torn from it.
fn large(text: &str) -> Markup {
    match text.split_once(" (") {
        Some((first, other)) => html! { span.whole { (first) } " " span.whole { "(" (other) } },
        None => html! { span.whole { (text) } },
    }
}

/// A length of a document, in millimetres there.
fn amount(value: &Value, first: System) -> Markup {
    let text = value.as_f64().map(|mm| Length::mm(mm).as_amount(first).to_string());
    large(&text.unwrap_or_default())
}

fn size(value: &Value, first: System) -> Markup {
    let text = value.as_f64().map(|mm| Length::mm(mm).as_size(first).to_string());
    large(&text.unwrap_or_default())
}

/// One aim where the tips have the same, else each tip's.
fn aims(values: &Value, first: System) -> Markup {
    let mut each: Vec<Markup> =
        values.as_array().into_iter().flatten().map(|value| amount(value, first)).collect();
    if each.iter().all(|one| one.0 == each[0].0) {
        each.truncate(1);
    }
    html! { @for (i, one) in each.iter().enumerate() { @if i > 0 { br; } (one) } }
}

/// What a machinist works from: sizes to hold, the order of operations, boxes for what was got.
/// With a name there are boxes to write into; each rotor's page says whose it is, since pages part.
fn cut_sheet(plan: &Value, first: System, named: Option<&str>) -> Markup {
    let with_boxes = named.is_some();
    let none = Vec::new();
    let rotors = plan["rotors"].as_array().unwrap_or(&none);
    let text = |value: &Value| value.as_str().unwrap_or("").to_owned();
    html! {
        p { "Spec " q { (text(&plan["spec"])) } ". Sizes to hold are the tolerance less its guard, "
            (text(&plan["decision_rule"]["edition"])) "." }
        // Before the first figure: whoever works from one page of it has read this.
        p.told { span { "Iron dust, interrupted cuts and thin walls hurt people and parts: guards closed, dust kept from the lungs. The figures are a "
            (plan["caution"].as_str().unwrap_or("screening estimate until calibrated")) "." } }
        @for rotor in rotors {
            section.rotor-sheet {
                h2 { "Rotor " (text(&rotor["serial"])) " in " (text(&rotor["housing"])) }
                @if let Some(named) = named { p { (named) ", " (text(&plan["build"])) ". Sizes hold at 20 °C." } }
                p { "In this build the gear face looks to the " (text(&rotor["gear_face"])) ". Tips 1, 2, 3 are counted "
                    "clockwise looking at the gear face; tip 1 carries the mark." }
                (wide(&format!("Cuts of {}", text(&rotor["serial"])), html! {
                    table.boxes {
                        caption { "Take off, counted from each surface as it is now" }
                        thead { tr { td {} @for tip in 1..=3 { th.n scope="col" { "tip " (tip) } }
                            @if with_boxes { th scope="col" { "got" } } } }
                        tbody {
                            @for face in ["gear", "plain"] {
                                @for (key, area) in [("land_cut_mm", "land"), ("tip_cut_mm", "outside the land")] {
                                    tr { th scope="row" { (face) " face, " (area) }
                                        @for tip in 0..3 { td.n {
                                            @let cut = &rotor[face][key][tip];
                                            @if cut.as_f64().unwrap_or(0.0) <= 0.0 { "as it is" } @else { (amount(cut, first)) } } }
                                        @if with_boxes { td.box {} } }
                                }
                            }
                        }
                    }
                }))
                p { "Every cut is one flat level square to the bearing bore: it takes more where the face stands higher, and the figures of land and outside do not add." }
                (wide(&format!("Sizes of {}", text(&rotor["serial"])), html! {
                    table.boxes {
                        caption { "Sizes to hold" }
                        thead { tr { td {} th.n scope="col" { "aim" } th.n scope="col" { "from" } th.n scope="col" { "to" }
                            @if with_boxes { @for tip in 1..=3 { th scope="col" { "got, tip " (tip) } } } } }
                        tbody {
                            tr { th scope="row" { "land width" } td.n { (size(&rotor["land_width_mm"], first)) }
                                td.n { (size(&rotor["hold"]["land_width_mm"][0], first)) } td.n { (size(&rotor["hold"]["land_width_mm"][1], first)) }
                                @if with_boxes { @for _ in 1..=3 { td.box {} } } }
                            @for face in ["gear", "plain"] {
                                tr { th scope="row" { (face) "-face step" } td.n { (aims(&rotor[face]["step_mm"], first)) }
                                    td.n { (amount(&rotor["hold"]["step_mm"][0], first)) } td.n { (amount(&rotor["hold"]["step_mm"][1], first)) }
                                    @if with_boxes { @for _ in 1..=3 { td.box {} } } }
                            }
                        }
                    }
                }))
                p { "Under " (amount(&rotor["hold"]["step_never_under_mm"], first)) " the tips touch before the land does, hot or cold: never less." }
            }
        }
        @if with_boxes {
            h2 { "Order of operations" }
            ol {
                li { "Set the rotor by its bearing bore, true within what the shop's capability says; check the run-out of the land as it came." }
                li { "Cut the land of the gear face to one flat level square to the bore." }
                li { "Cut outside the land of the gear face until the step is there; read the step at every tip." }
                li { "Turn the rotor, set it by the same bore, and do the plain face the same way; read the land width at every tip." }
                li { "Break the edges that the shop breaks, wash, and let it come to the gauge's temperature before the last readings." }
                li { "Write what was got into the boxes, and enter it at the bench as readings after the cut." }
            }
            @let assumed = plan["assumed"].as_array().unwrap_or(&none);
            @if !assumed.is_empty() {
                h2 { "Assumed, since the build does not say" }
                ul { @for sentence in assumed { li { (text(sentence)) } } }
            }
            p { "Machined by " span.line {} " on " span.line {} }
        }
    }
}

pub(super) fn build_file(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let id = visit.id::<BuildId>("build")?;
    let text = ops::export(visit.shop(), id)?;
    Ok(Reply::bytes("application/toml; charset=utf-8", text.into_bytes())
        .file(&format!("build-{id}.toml")))
}

pub(super) fn readings_csv(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let id = visit.id::<BuildId>("build")?;
    let csv = visit.shop().readings_csv(id)?;
    Ok(Reply::bytes("text/csv; charset=utf-8", csv.into_bytes())
        .file(&format!("build-{id}-readings.csv")))
}
