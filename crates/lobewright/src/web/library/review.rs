//! A spec looked at again: where past builds sat in their windows, how they came back, and what that
//! supports changing.

use super::specs::found;
use crate::ops::Picture;
use crate::ops::phrase::capitalised;
use crate::ops::review::{
    Bound, DutyReview, PastBuild, Sits, SpecReview, Supports, duty_words, review, review_pictures,
};
use crate::text::review::{CAUTION, back, came_back};
use crate::web::figures::amount;
use crate::web::frame::{self, due_mark, holds_mark, stopped_mark, wide};
use crate::web::picture::inline;
use crate::web::reply::Reply;
use crate::web::route::{Route, get};
use crate::web::visit::Visit;
use crate::web::wrong::Wrong;
use kernel::units::{Length, System};
use maud::{Markup, html};

pub(super) const ROUTES: &[Route] =
    &[get("/specs/{id}/review", page).in_turn(), get("/specs/{id}/review/{name}", csv).in_turn()];

fn looked_at(visit: &Visit<'_>) -> Result<SpecReview, Wrong> {
    let spec = found(visit, visit.id("id")?)?;
    Ok(review(visit.shop(), spec.id, &visit.now.day(), visit.first())?)
}

fn drawn(report: &SpecReview, index: usize, duty: &DutyReview, first: System) -> Vec<Picture> {
    review_pictures(&report.spec.name, index, duty, first)
}

fn page(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let report = looked_at(visit)?;
    let first = visit.first();
    let spec = &report.spec;
    let title = format!("{}, looked at again", spec.name);
    let at = format!("/specs/{}", spec.id);
    let body = html! {
        p.crumb { a href=(at) { (spec.name) ", version " (spec.version) } }
        h1 { (title) }
        @if report.duties.is_empty() { p { "No build that was signed refers to it yet." } }
        @for (index, duty) in report.duties.iter().enumerate() {
            section {
                h2 { (capitalised(&duty_words(&duty.duty))) }
                p { (came_back(duty)) }
                @for met in duty.met_first() {
                    p.hint { "Nearest limit of " (met.rotors) @if met.rotors == 1 { " rotor: " } @else { " rotors: " } (met.what) "." }
                }
                (evidence(duty, first))
                div.pictures { @for picture in drawn(&report, index, duty, first) {
                    (inline(&picture.svg, Some(&format!("{at}/review/{}.csv", picture.name))))
                } }
                (wide("Past builds", builds(duty, first)))
            }
        }
        @if report.not_shown > 0 { p.hint { (report.not_shown) " older builds are not looked at." } }
        p.told { (due_mark()) span { (CAUTION) } }
    };
    Ok(frame::page(visit, &title, body))
}

fn evidence(duty: &DutyReview, first: System) -> Markup {
    match &duty.evidence {
        Err(why) => html! { p { "Of the step nothing can be said: " (why) "." } },
        Ok(evidence) => {
            let said = evidence.sentences(first);
            let (last, rest) =
                said.split_last().map_or(("", &[][..]), |(l, rest)| (l.as_str(), rest));
            let mark = match evidence.supports() {
                Supports::More(_) => stopped_mark(),
                Supports::AsItIs | Supports::AtRest | Supports::Less(_) => holds_mark(),
                Supports::TooLittle => due_mark(),
            };
            html! {
                p.told { (mark) span { strong { (last) } } }
                @for sentence in rest { p.hint { (sentence) } }
            }
        }
    }
}

fn builds(duty: &DutyReview, first: System) -> Markup {
    html! {
        table {
            thead { tr { th scope="col" { "Build" } th scope="col" { "Rotor" }
                th scope="col" { "Side clearance" } th scope="col" { "Step" } th scope="col" { "How it came back" } } }
            tbody { @for past in &duty.builds { (rows(past, first)) } }
        }
    }
}

fn rows(past: &PastBuild, first: System) -> Markup {
    let came = past.back.as_ref().map_or_else(|| "not back yet".to_owned(), back);
    let name = html! {
        a.touch href=(format!("/builds/{}", past.id())) { (past.build.head.name) }
        p.hint { "version " (past.version) @if !past.measured { ", not measured after the cut" } }
    };
    let none = Vec::new();
    let rotors = past.sits.as_ref().unwrap_or(&none);
    html! {
        @if let Err(why) = &past.sits {
            tr { th.long scope="row" { (name) } td colspan="3" { "where it sat cannot be said: " (why) } td { (capitalised(&came)) } }
        }
        @for (n, rotor) in rotors.iter().enumerate() {
            tr {
                th.long scope="row" { @if n == 0 { (name) } @else { (past.build.head.name) } }
                td { (rotor.serial) " in " (rotor.housing) }
                td { (sits(&rotor.clearance, first)) }
                td { (sits(&rotor.step, first)) }
                td { @if n == 0 { (capitalised(&came)) } }
            }
        }
    }
}

fn sits(sits: &Sits, first: System) -> Markup {
    let [low, high] = sits.is;
    let bound = |bound: &Option<Bound>, none: &str| {
        bound.as_ref().map_or_else(|| none.to_owned(), |bound| amount(bound.at, first))
    };
    html! {
        (amount(low, first)) @if high - low > Length::um(0.5) { " to " (amount(high, first)) }
        p.hint { "window " (bound(&sits.least, "nothing")) " to " (bound(&sits.most, "no end")) }
    }
}

fn csv(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let report = looked_at(visit)?;
    let first = visit.first();
    let name = visit.param("name")?.strip_suffix(".csv").ok_or(Wrong::NoPage)?;
    let all = report.duties.iter().enumerate();
    let mut pictures = all.flat_map(|(index, duty)| drawn(&report, index, duty, first));
    let picture = pictures.find(|picture| picture.name == name).ok_or(Wrong::NoPage)?;
    Ok(Reply::bytes("text/csv; charset=utf-8", picture.csv.into_bytes())
        .file(&format!("{name}.csv")))
}
