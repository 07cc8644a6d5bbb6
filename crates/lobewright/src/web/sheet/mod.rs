//! A build as one long sheet, read from top to bottom in the order in which an engine comes apart
//! and goes together. Nothing is behind tabs; it prints as it stands.

mod assembly;
mod at_speed;
mod balance;
mod came_back;
mod cards;
mod cutting;
mod head;
mod inspection;
mod papers;
mod pictures;
mod programs;
mod signing;
mod values;
mod what_if;

pub(super) use at_speed::AtSpeed;
pub(super) use came_back::{beside, refused};
pub(super) use cards::fate;
pub(super) use cutting::verdict;
pub(super) use inspection::{agreement, other_units};

use super::frame::{self, due_mark, holds_mark, stopped_mark};
use super::reply::Reply;
use super::rights::Work;
use super::route::{Route, get, post};
use super::visit::Visit;
use super::wrong::Wrong;
use crate::ops::sheet::{PartState, Sheet, State, sheet};
use kernel::units::System;
use maud::{Markup, html};
use records::{BuildId, Stage};

pub(super) const ROUTES: &[Route] = &[
    get("/builds/{build}", page),
    post(Work::Builds, "/builds/{build}/head", head::change_head),
    post(Work::Builds, "/builds/{build}/parts", head::fit_part),
    post(Work::Builds, "/builds/{build}/parts/{fitted}/out", head::out),
    post(Work::Readings, "/builds/{build}/photos", head::photo),
    post(Work::Builds, "/builds/{build}/findings", head::find),
    get("/builds/{build}/teardown", came_back::page).in_turn(),
    post(Work::Builds, "/builds/{build}/teardown", came_back::post).in_turn(),
    post(Work::Builds, "/builds/{build}/tilt-test", came_back::push),
    post(Work::Readings, "/builds/{build}/readings-csv", inspection::bring_csv),
    get("/builds/{build}/values/{table}", values::page),
    post(Work::Builds, "/builds/{build}/values/{table}", values::set),
    get("/builds/{build}/what-if", what_if::page).in_turn(),
    get("/builds/{build}/what-if/answer", what_if::answer).in_turn(),
    get("/builds/{build}/what-if/sweep", what_if::sweep).in_turn(),
    post(Work::Builds, "/builds/{build}/what-if", what_if::keep),
    get("/builds/{build}/what-if/sweep/{name}", what_if::sweep_csv).in_turn(),
    get("/builds/{build}/at-speed", at_speed::page),
    get("/builds/{build}/at-speed/in-full", at_speed::in_full).in_turn(),
    get("/builds/{build}/at-speed/data/{name}", at_speed::csv).in_turn(),
    get("/builds/{build}/pictures/{name}", pictures::csv).in_turn(),
    get("/builds/{build}/balance-in-full", at_speed::balance_page),
    get("/builds/{build}/balance-in-full/worked-out", at_speed::balance_in_full).in_turn(),
    get("/builds/{build}/plan-in-full", papers::plan_in_full).in_turn(),
    post(Work::Machine, "/builds/{build}/plans", papers::keep_plan_of).in_turn(),
    post(Work::Machine, "/builds/{build}/sheets", papers::make_sheet).in_turn(),
    post(Work::Machine, "/builds/{build}/balance-runs", papers::keep_balance_of).in_turn(),
    get("/builds/{build}/papers/{kind}/{number}", papers::show),
    get("/builds/{build}/papers/{kind}/{number}/{name}", papers::pdf).in_turn(),
    get("/builds/{build}/book", papers::book).in_turn(),
    get("/builds/{build}/assembly-sheet", papers::assembly).in_turn(),
    get("/builds/{build}/cards/{part}", cards::page),
    post(Work::Readings, "/builds/{build}/cards/{part}/photos", cards::photo),
    get("/builds/{build}/programs", programs::choose).in_turn(),
    get("/builds/{build}/programs/{machine}/{place}/{face}", programs::list).in_turn(),
    get("/builds/{build}/programs/{machine}/{place}/{face}/file", programs::file)
        .in_turn()
        .of(Work::Machine),
    post(Work::SignOff, "/builds/{build}/sign", signing::sign),
    post(Work::SignOff, "/builds/{build}/amend", signing::amend),
    get("/builds/{build}/differences/{from}/{to}", signing::differences),
    get("/builds/{build}/build.toml", papers::build_file),
    get("/builds/{build}/readings.csv", papers::readings_csv),
];

/// A sheet with who looks at it.
pub(super) struct Seen<'v> {
    pub(super) visit: &'v Visit<'v>,
    pub(super) sheet: Sheet,
    pub(super) first: System,
}

impl Seen<'_> {
    /// An address below the build's own.
    pub(super) fn at(&self, below: &str) -> String {
        format!("/builds/{}/{below}", self.sheet.build.id)
    }

    /// What came with a form must be of the revision that is looked at.
    pub(super) fn open(&self) -> bool {
        self.sheet.build.open
    }
}

/// The sheet that an address names.
///
/// # Errors
/// Where there is no such build.
pub(super) fn gathered<'v>(visit: &'v Visit<'v>) -> Result<Seen<'v>, Wrong> {
    let first = visit.first();
    let id = visit.id::<BuildId>("build")?;
    Ok(Seen { visit, sheet: sheet(visit.shop(), id, &visit.today(), first)?, first })
}

/// Back to a part of a build's sheet.
pub(super) fn back(build: BuildId, stage: Stage) -> Reply {
    Reply::see(format!("/builds/{build}#{}", anchor(stage)))
}

/// The name of a part of the sheet on the page.
pub(super) fn anchor(stage: Stage) -> &'static str {
    stage.word()
}

/// What a part of the sheet is called.
fn title(stage: Stage) -> String {
    crate::ops::phrase::capitalised(stage.word())
}

fn mark(state: State) -> Markup {
    match state {
        State::Holds => holds_mark(),
        State::Due => due_mark(),
        State::Stopped => stopped_mark(),
    }
}

const fn word(state: State) -> &'static str {
    match state {
        State::Holds => "holds",
        State::Due => "due",
        State::Stopped => "stopped",
    }
}

/// How a part stands, in a line.
pub(super) fn line(part: &PartState) -> Markup {
    html! {
        p.stands.(word(part.state)) {
            (mark(part.state)) span { strong { (word(part.state)) } ": " (part.words) }
        }
    }
}

fn page(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let seen = gathered(visit)?;
    let states = seen.sheet.states();
    let build = &seen.sheet.build;
    let back = came_back::on_sheet(&seen);
    let body = html! {
        h1 { (build.head.name) }
        (head::head(&seen))
        nav.parts aria-label="The eight parts of this sheet" {
            ol {
                @for part in &states {
                    li.(word(part.state)) {
                        a href=(format!("#{}", anchor(part.stage))) { (title(part.stage)) }
                        (line(part))
                    }
                }
            }
        }
        @for part in &states {
            section id=(anchor(part.stage)) aria-labelledby=(format!("{}-title", anchor(part.stage))) {
                h2 id=(format!("{}-title", anchor(part.stage))) { (title(part.stage)) }
                (line(part))
                @match part.stage {
                    Stage::Teardown => (head::teardown(&seen, &back)),
                    Stage::Inspection => (inspection::inspection(&seen)),
                    Stage::Clearances => (what_if::clearances(&seen)),
                    Stage::Cutting => (cutting::cutting(&seen)),
                    Stage::ReInspection => (cutting::re_inspection(&seen)),
                    Stage::Balance => (balance::balance(&seen)),
                    Stage::Assembly => (inspection::assembly(&seen)),
                    Stage::SignOff => (signing::sign_off(&seen)),
                }
            }
        }
    };
    Ok(frame::page(visit, &build.head.name, body))
}
