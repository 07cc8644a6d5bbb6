//! Papers of a build: plans, cut sheets and balance runs that were kept, shown as they were kept.

use super::super::figures::moment;
use super::super::frame::{self, wide};
use super::super::paper;
use super::super::reply::Reply;
use super::super::visit::Visit;
use super::super::wrong::Wrong;
use super::{Seen, back, gathered};
use crate::ops;
use crate::ops::sheet::{Fits, keep_balance, keep_plan, make_cut_sheet, papers_of, settle};
use crate::papers::{NamedPaper, book_of, build_assembly};
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
    let (work, document) = named_work(visit, &seen)?;
    let papers = papers_in(work, &document)?;
    let title = format!("{} {}", work.title, work.id);
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
        @match work.kind {
            _ if !papers.is_empty() => (as_papers(&seen, work, &papers)),
            WorkKind::Plan | WorkKind::Sheet => (kept_plan(&document, seen.first)),
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

/// A length of a document, in millimetres there.
fn amount(value: &Value, first: System) -> String {
    value.as_f64().map(|mm| Length::mm(mm).as_amount(first).to_string()).unwrap_or_default()
}

/// A plan as it was kept: what it takes off, and what is left.
fn kept_plan(plan: &Value, first: System) -> Markup {
    let none = Vec::new();
    let rotors = plan["rotors"].as_array().unwrap_or(&none);
    let text = |value: &Value| value.as_str().unwrap_or("").to_owned();
    html! {
        p { "Spec " q { (text(&plan["spec"])) } ". Nobody cuts by a plan: a cut sheet is made of it. The figures are a "
            (plan["caution"].as_str().unwrap_or("screening estimate until calibrated")) "." }
        @for rotor in rotors {
            h2 { "Rotor " (text(&rotor["serial"])) " in " (text(&rotor["housing"])) ", gear face to the " (text(&rotor["gear_face"])) }
            (wide(&format!("Cuts of {}", text(&rotor["serial"])), html! {
                table {
                    caption { "Take off, counted from each surface as it was" }
                    thead { tr { td {} @for tip in 1..=3 { th.n scope="col" { "tip " (tip) } } } }
                    tbody { @for face in ["gear", "plain"] {
                        @for (key, area) in [("land_cut_mm", "land"), ("tip_cut_mm", "outside the land")] {
                            tr { th scope="row" { (face) " face, " (area) }
                                @for tip in 0..3 { td.n {
                                    @let cut = &rotor[face][key][tip];
                                    @if cut.as_f64().unwrap_or(0.0) <= 0.0 { "as it is" } @else { (amount(cut, first)) } } } }
                        }
                    } }
                }
            }))
        }
    }
}

/// The papers that were kept, on the page as on the PDF.
fn as_papers(seen: &Seen<'_>, work: &Work, papers: &[NamedPaper]) -> Markup {
    html! {
        ul.papers.not-on-paper { @for named in papers {
            li { a href=(seen.at(&format!("papers/{}/{}/{}.pdf", kind_word(work.kind), work.id, named.name))) {
                (named.paper.title) " (PDF)" } }
        } }
        @for named in papers {
            section.rotor-sheet id=(named.name) {
                h2 { (named.paper.title) }
                (paper::shown(&named.paper))
                p.hint { (named.paper.mark) ", " (named.paper.day) }
            }
        }
    }
}

/// A kind in an address.
fn kind_word(kind: WorkKind) -> String {
    kind.word().replace(' ', "-")
}

/// The work that an address names.
fn named_work<'s>(visit: &Visit<'_>, seen: &'s Seen<'_>) -> Result<(&'s Work, Value), Wrong> {
    let name = visit.param("kind")?;
    let kind = WorkKind::ALL.iter().copied().find(|kind| kind_word(*kind) == name);
    let kind = kind.ok_or(Wrong::NoPage)?;
    let number = visit.id::<i64>("number")?;
    let work =
        seen.sheet.works(kind).iter().find(|work| work.id.0 == number).ok_or(Wrong::NoPage)?;
    let document: Value = serde_json::from_str(&work.document)
        .map_err(|error| Wrong::Machine(format!("{} {number}: {error}", work.title)))?;
    Ok((work, document))
}

fn papers_in(work: &Work, document: &Value) -> Result<Vec<NamedPaper>, Wrong> {
    papers_of(document)
        .map_err(|error| Wrong::Machine(format!("{} {}: {error}", work.title, work.id)))
}

/// A paper that was kept, as PDF.
pub(super) fn pdf(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let seen = gathered(visit)?;
    let (work, document) = named_work(visit, &seen)?;
    let name = visit.param("name")?;
    let papers = papers_in(work, &document)?;
    let named = papers
        .iter()
        .find(|named| name.strip_suffix(".pdf") == Some(named.name.as_str()))
        .ok_or(Wrong::NoPage)?;
    as_pdf(named, &format!("build-{}-{}-{}", seen.sheet.build.id, work.id, named.name))
}

/// The build book as it is now, as PDF.
pub(super) fn book(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let seen = gathered(visit)?;
    let named = book_of(&seen.sheet, visit.today().as_str())
        .map_err(|error| Wrong::NotSo(error.to_string()))?;
    as_pdf(&named, &format!("build-{}-book", seen.sheet.build.id))
}

/// The assembly sheet as it is now, as PDF.
pub(super) fn assembly(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let seen = gathered(visit)?;
    let named = build_assembly(&seen.sheet, visit.today().as_str());
    as_pdf(&named, &format!("build-{}-assembly", seen.sheet.build.id))
}

fn as_pdf(named: &NamedPaper, name: &str) -> Result<Reply, Wrong> {
    let bytes = named.paper.pdf().map_err(|error| Wrong::Machine(error.to_string()))?;
    Ok(Reply::bytes("application/pdf", bytes).file(&format!("{name}.pdf")))
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
