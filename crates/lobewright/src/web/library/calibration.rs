//! What teardowns teach: for the owner, who takes it into a spec.

use super::specs::found;
use crate::ops::calibration::{
    AcceptError, Calibrated, ShopCalibrationError, accept, calibrated, offered,
};
use crate::text::calibration::{CAUTION, assumption, settled, side_by_side};
use crate::web::frame::{self, due_mark, holds_mark, stopped_mark, wide};
use crate::web::reply::Reply;
use crate::web::rights::Work;
use crate::web::route::{Route, get, post};
use crate::web::visit::Visit;
use crate::web::wrong::Wrong;
use kernel::calibration::Parameter;
use kernel::units::System;
use maud::{Markup, html};
use records::{PersonId, Spec};

pub(super) const ROUTES: &[Route] = &[
    get("/calibration", page).of(Work::Library).in_turn(),
    post(Work::Library, "/specs/{id}/calibration", take).in_turn(),
];

impl From<ShopCalibrationError> for Wrong {
    fn from(error: ShopCalibrationError) -> Self {
        match error {
            ShopCalibrationError::Shop(error) => error.into(),
            ShopCalibrationError::Calibration(error) => Self::NotSo(error.to_string()),
        }
    }
}

impl From<AcceptError> for Wrong {
    fn from(error: AcceptError) -> Self {
        match error {
            AcceptError::Library(error) => error.into(),
            AcceptError::Records(error) => error.into(),
            other => Self::NotSo(other.to_string()),
        }
    }
}

fn worked_out(visit: &Visit<'_>) -> Result<Calibrated, Wrong> {
    let (today, first) = (visit.now.day(), visit.first());
    Ok(calibrated(visit.shop(), &today, first, &mut |_| true)?)
}

fn page(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let report = worked_out(visit)?;
    let first = visit.first();
    let title = "What teardowns teach";
    let body = html! {
        p.crumb { a href="/specs" { "Specs" } }
        h1 { (title) }
        p { "It rests on " (report.rests_on()) "." }
        @for (moved, sentence) in report.posterior.moved().iter().zip(report.sentences(first)) {
            p.told {
                @if moved.says_something() { (holds_mark()) } @else { (due_mark()) }
                span { (sentence) }
            }
        }
        @for sentence in report.alike().iter().chain(&report.fits()) { p { (sentence) } }
        h2 { "With and without your builds" }
        (wide("With and without your builds", unknowns(&report, first)))
        @if !report.builds.is_empty() {
            h2 { "Build by build" }
            p.hint { "Tips with marks, as they were expected before any build came apart, by all the \
                other builds, and with this one counted in." }
            (wide("Build by build", builds(&report)))
        }
        @if !report.silent.is_empty() {
            h2 { "What says nothing" }
            ul { @for (what, why) in &report.silent { li { (what) ": " (why) } } }
        }
        h2 { "Take it into a spec" }
        @if report.rests_on_something() {
            p { "A new version is kept; builds to earlier ones stay as they are." }
            (specs(visit, &report)?)
        } @else {
            p { "There is nothing to take yet." }
        }
        h2 { "Assumed before any build came apart" }
        ul { @for row in report.posterior.priors().table() { li { (assumption(&row, first)) } } }
        p.hint { (settled(&report)) }
        p.told { (due_mark()) span { (CAUTION) } }
    };
    Ok(frame::page(visit, title, body))
}

fn unknowns(report: &Calibrated, first: System) -> Markup {
    let rows = Parameter::ALL.into_iter().zip(side_by_side(report, first));
    html! {
        table {
            thead { tr { th scope="col" { "Of" } th scope="col" { "Assumed" }
                th scope="col" { "By your builds" } } }
            tbody { @for (parameter, [assumed, now]) in rows {
                tr { th scope="row" { (what(parameter)) } td { (assumed) } td { (now) } }
            } }
        }
    }
}

const fn what(parameter: Parameter) -> &'static str {
    match parameter {
        Parameter::Tilt => "Tilt, over what is computed",
        Parameter::Heat => "Heat, over what the duty says",
        Parameter::Margin => "Gap at which contact shows",
    }
}

fn builds(report: &Calibrated) -> Markup {
    html! {
        table {
            thead { tr { th scope="col" { "Build" } th scope="col" { "Tips looked at" }
                th scope="col" { "As assumed" } th scope="col" { "By the others" }
                th scope="col" { "With it" } th scope="col" { "Seen" } th scope="col" { "Fits" } } }
            tbody { @for (id, left) in report.builds.iter().zip(&report.checked.builds) {
                tr {
                    th.long scope="row" { a.touch href=(format!("/builds/{id}")) { (left.name) } }
                    td.n { (left.tips) }
                    td.n { (format!("{:.1}", left.before)) }
                    td.n { (format!("{:.1} ± {:.1}", left.without, left.without_sd)) }
                    td.n { (format!("{:.1}", left.after)) }
                    td.n { (left.seen) @if left.seen_heavy > 0 { ", " (left.seen_heavy) " heavy" } }
                    td {
                        @if left.fits { (holds_mark()) "fits" }
                        @else { (stopped_mark()) "does not fit the others" }
                    }
                }
            } }
        }
    }
}

/// A button for each spec that whoever looks owns, in its last version.
fn specs(visit: &Visit<'_>, report: &Calibrated) -> Result<Markup, Wrong> {
    let who: PersonId = visit.who()?;
    let all = visit.shop().specs()?;
    let last = |spec: &&Spec| !all.iter().any(|o| o.name == spec.name && o.version > spec.version);
    let (own, others): (Vec<&Spec>, Vec<&Spec>) =
        all.iter().filter(last).partition(|spec| spec.owner == who);
    let (_, word) = offered(report);
    Ok(html! {
        @for spec in own {
            form method="post" action=(format!("/specs/{}/calibration", spec.id)) {
                input type="hidden" name="word" value=(word);
                div.row { button type="submit" {
                    "Take it into " (spec.name) " as version " (spec.version + 1)
                } }
            }
        }
        @for spec in others {
            p.hint { (spec.name) " is another owner's: whoever made its last version takes this into it." }
        }
        @if all.is_empty() { p.hint { "No specs yet." } }
    })
}

fn take(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let spec = found(visit, visit.id("id")?)?;
    let word = visit.needed("word", "What was looked at")?;
    let report = worked_out(visit)?;
    let id = accept(visit.shop(), spec.id, &report, word, (visit.who()?, &visit.now))?;
    Ok(Reply::see(format!("/specs/{id}")))
}
