//! A build at speed in full, with chances, and its balance in full: some seconds of work, so the page
//! comes first and what is worked out follows.

use super::super::frame::{self, due_mark, wide};
use super::super::picture::inline;
use super::super::reply::Reply;
use super::super::visit::Visit;
use super::super::wrong::Wrong;
use super::what_if::{SWEEP, at_duty};
use super::{Seen, gathered, pictures};
use crate::ops::{self, Picture, PlanReport, SpeedReport, speed_pictures};
use crate::text;
use maud::{Markup, html};
use records::Sha;
use std::sync::Arc;

/// Draws of the page at speed, and which.
const DRAWS: usize = 512;
const SEED: u32 = 1;
/// The most draws that a page is asked for.
const MOST_DRAWS: usize = 4096;

/// A build at speed with the plan that it follows from.
#[derive(Debug)]
pub(in super::super) struct AtSpeed {
    plan: PlanReport,
    report: SpeedReport,
}

/// A page whose contents take a while: without the script they are behind a link.
fn follows(seen: &Seen<'_>, title: &str, part: &str, from: &str) -> Reply {
    let body = html! {
        p.crumb { a href=(format!("/builds/{}#{part}", seen.sheet.build.id)) { (seen.sheet.build.head.name) } }
        h1 { (title) }
        div data-follows=(from) aria-live="polite" {
            p { (due_mark()) "This takes a second or two. " a href=(from) { "Work it out" } }
        }
    };
    frame::page(seen.visit, title, body)
}

/// What follows: a piece for the page that waits for it, a whole page for whoever went there.
fn followed(seen: &Seen<'_>, title: &str, part: &str, body: Markup) -> Reply {
    if seen.visit.asked("piece") == "yes" {
        return Reply::page(body);
    }
    let body = html! {
        p.crumb { a href=(format!("/builds/{}#{part}", seen.sheet.build.id)) { (seen.sheet.build.head.name) } }
        h1 { (title) }
        (body)
    };
    frame::page(seen.visit, title, body)
}

/// Of a build that is whole.
fn whole<'s>(seen: &'s Seen<'_>) -> Result<(&'s crate::build_file::Build, &'s PlanReport), Wrong> {
    match (&seen.sheet.file.build, seen.sheet.planned()) {
        (Ok(build), Some(plan)) => Ok((build, plan)),
        _ => Err(Wrong::ask("the build is not whole yet: readings or spec are missing")),
    }
}

pub(super) fn page(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let seen = gathered(visit)?;
    whole(&seen)?;
    let from = seen.at(&format!("at-speed/in-full?draws={}", draws(visit)));
    Ok(follows(&seen, "At speed and under boost", "clearances", &from))
}

fn draws(visit: &Visit<'_>) -> usize {
    visit.asked("draws").parse().unwrap_or(DRAWS).min(MOST_DRAWS)
}

fn worked_out(seen: &Seen<'_>) -> Result<Arc<AtSpeed>, Wrong> {
    let (build, plan) = whole(seen)?;
    let draws = draws(seen.visit);
    let key = Sha::of(format!("{draws} {:?}\n{}", seen.first, seen.sheet.file.text).as_bytes());
    seen.visit.app.at_speed.or(key, || {
        let call = ops::SpeedCall::default();
        let asked = ops::SpeedAsked { call, draws, seed: SEED, speeds: SWEEP };
        let mut watch = ops::Watch { drawn: &mut |_| {}, swept: &|| {}, go_on: &|| true };
        let mut plan = plan.clone();
        let report = ops::plan_at_speed(build, &mut plan, &asked, seen.first, &mut watch)
            .map_err(|error| Wrong::ask(error.to_string()))?;
        Ok(AtSpeed { plan, report })
    })
}

fn drawn(seen: &Seen<'_>, of: &AtSpeed) -> Vec<Picture> {
    speed_pictures(&of.report, &of.plan, seen.first)
}

pub(super) fn in_full(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let seen = gathered(visit)?;
    let of = worked_out(&seen)?;
    let csv = |name: &str| seen.at(&format!("at-speed/data/{name}.csv?draws={}", draws(visit)));
    let body = html! {
        (at_duty(&seen, &of.report))
        div.pictures { @for picture in drawn(&seen, &of) { (inline(&picture.svg, Some(&csv(&picture.name)))) } }
        h2 { "In full" }
        (wide("At speed in full", html! { pre.columns { (text::speed::text(&of.report, seen.first)) } }))
    };
    Ok(followed(&seen, "At speed and under boost", "clearances", body))
}

pub(super) fn csv(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let seen = gathered(visit)?;
    let of = worked_out(&seen)?;
    pictures::as_csv(visit, drawn(&seen, &of))
}

pub(super) fn balance_page(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let seen = gathered(visit)?;
    whole(&seen)?;
    Ok(follows(&seen, "The balance in full", "balance", &seen.at("balance-in-full/worked-out")))
}

/// The balance in full: the first critical speed takes the oil films of the whole shaft.
pub(super) fn balance_in_full(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let seen = gathered(visit)?;
    let (build, plan) = whole(&seen)?;
    let report = ops::balance(build, plan, &ops::SpeedCall::default(), seen.first)
        .map_err(|error| Wrong::ask(error.to_string()))?;
    let body = html! {
        (wide("The balance in full", html! { pre.columns { (text::balance::text(&report, seen.first)) } }))
    };
    Ok(followed(&seen, "The balance in full", "balance", body))
}
