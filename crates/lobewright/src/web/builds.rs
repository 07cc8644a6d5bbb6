//! The list of builds: each with what is due next, and who has it.

use super::frame::{self, due_mark, holds_mark, stopped_mark};
use super::reply::Reply;
use super::rights::Work;
use super::route::{Route, get};
use super::visit::Visit;
use super::wrong::Wrong;
use crate::ops::backups;
use crate::ops::sheet::STOPPED;
use maud::html;
use paper::label::read_code;
use records::BuildSearch;

pub(super) const ROUTES: &[Route] = &[get("/builds", list)];

/// Builds on one page.
const ON_A_PAGE: usize = 50;

fn list(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let text = visit.asked("find");
    let from = visit.asked("from").parse().unwrap_or(0);
    let open = match visit.asked("which") {
        "open" => Some(true),
        "signed" => Some(false),
        _ => None,
    };
    // A scanner types what the code of a label holds: its part is looked for.
    let scanned = read_code(text);
    let wanted = scanned.as_ref().map_or(text, |coded| &coded.serial);
    let search = BuildSearch { text: wanted, open, from, most: ON_A_PAGE + 1 };
    let mut builds = visit.shop().builds(&search)?;
    let more = builds.len() > ON_A_PAGE;
    builds.truncate(ON_A_PAGE);
    let today = visit.today();
    let whiches = [("", "All"), ("open", "Open"), ("signed", "Signed")];
    let body = html! {
        h1 { "Builds" }
        @if let Some(overdue) = backups::state(visit.shop(), &visit.now)?.overdue {
            p.hint { (stopped_mark()) (overdue) " " a href="/shop" { "This shop" } " says more." }
        }
        div.row {
            @if visit.may(Work::Builds) {
                a.button href="/builds/new" { "Begin a build" }
                a.button.quiet href="/builds/bring" { "Bring in a build file" }
            }
        }
        form.search method="get" action="/builds" role="search" {
            label for="find" { "Find a build by its name, its customer, or a part's serial" }
            div.row {
                input id="find" name="find" type="search" value=(text);
                select name="which" aria-label="Which builds" {
                    @for (value, called) in whiches {
                        option value=(value) selected[value == visit.asked("which")] { (called) }
                    }
                }
                button type="submit" { "Find" }
            }
        }
        @if builds.is_empty() {
            @if text.is_empty() {
                p { "No builds yet. A shop that begins enters, in this order:" }
                ol {
                    li { a href="/gauges" { "its gauges" } ", with what their calibration says;" }
                    li { a href="/engines" { "the engine" } ", from its drawing or measured once;" }
                    li { a href="/specs" { "the spec" } ": the shop's own clearances and limits for a duty;" }
                    li { a href="/builds/new" { "the build" } ", and then its parts and readings. "
                        "A build file brings all of it at once." }
                }
            } @else { p { "No build fits " q { (text) } "." } }
        }
        ul.builds {
            @for listed in &builds {
                @let build = &listed.build;
                li {
                    a href=(format!("/builds/{}", build.id)) { (build.head.name) }
                    p.about {
                        @if let Some(customer) = &listed.customer { (customer) " · " }
                        @if let Some(engine) = &listed.engine { (engine) " · " }
                        "build " (build.id)
                        @if build.revision > 1 { ", revision " (build.revision) }
                    }
                    p.due {
                        @if !build.open { (holds_mark()) "Signed" }
                        @else if build.due.next.starts_with(STOPPED) { (stopped_mark()) span { (build.due.next) } }
                        @else { (due_mark()) span { (build.due.stage) @if !build.due.next.is_empty() { ": " (build.due.next) } } }
                    }
                    p.by {
                        @if let (Some(by), true) = (&build.due.by, build.open) {
                            @if *by < today { strong { "was wanted by " (by) } } @else { "wanted by " (by) }
                        }
                        @if let (Some(holder), true) = (&listed.holder, build.open) {
                            @if build.due.by.is_some() { " · " } (holder) " has it" }
                    }
                }
            }
        }
        nav.row aria-label="Further builds" {
            @if from > 0 { a.button.quiet href=(further(visit, from.saturating_sub(ON_A_PAGE))) { "Earlier in the list" } }
            @if more { a.button.quiet href=(further(visit, from + ON_A_PAGE)) { "Further down the list" } }
        }
    };
    Ok(frame::page(visit, "Builds", body))
}

fn further(visit: &Visit<'_>, from: usize) -> String {
    let mut query = form_urlencoded::Serializer::new(String::new());
    query.append_pair("find", visit.asked("find"));
    query.append_pair("which", visit.asked("which"));
    query.append_pair("from", &from.to_string());
    format!("/builds?{}", query.finish())
}
