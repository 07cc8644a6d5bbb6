//! What happens to a build of the demonstration, in its order: it comes in, is begun, read,
//! planned, cut and read again, balanced, put together, signed. Each step is one entry of the diary
//! and does what the shop does at that step, through the same operations.

use super::super::sheet::Beginning;
use super::super::{BalanceReport, ShopError, SpeedCall, balance, import, sheet, shop};
use super::assembly;
use super::books::{Books, Standing, Worker, stuck};
use super::builds::{BUILDS, SPRINT_BOAT};
use super::diary::Diary;
use super::draft::{Draft, Got};
use super::examples::Example;
use super::later;
use super::library::{asked_at_assembly, build_to};
use super::machine::{after_correction, on_another_engine};
use super::people::{LEFT, micrometer_due};
use super::photo::drawing;
use super::recipe::{Reach, Recipe};
use super::scatter::Scatter;
use crate::build_file::places::Placed;
use crate::build_file::read;
use kernel::readings::Verdict;
use kernel::units::System;
use records::{
    AttachedTo, Due, Entry, Head, InRevision, Into, Moment, NewAttachment, NewIntake, NewReading,
    Stage,
};
use std::collections::HashMap;

/// Days after a build was begun.
const MEASURED: i64 = 1;
const PLANNED: i64 = 2;
const CUT: i64 = 5;
const BALANCED: i64 = 7;
const ASSEMBLED: i64 = 8;
const SIGNED: i64 = 10;

/// How much too wide the lands are left by a cut that must be made again, micrometres.
const TOO_WIDE: i64 = 34;

/// Writes the stories of all builds into the diary.
pub(super) fn all(diary: &mut Diary) {
    for recipe in &BUILDS {
        one(diary, recipe);
    }
}

fn one(diary: &mut Diary, recipe: &'static Recipe) {
    let minutes = recipe.minutes();
    let reach = recipe.reach;
    let mut step = |after: i64, hour: i64, act: fn(&mut Books<'_>, &Recipe, &Moment) -> Done| {
        diary
            .on(recipe.begun - after, hour * 60 + minutes, move |books, at| act(books, recipe, at));
    };
    step(0, 7, take_in);
    step(0, 8, begin);
    match reach {
        Reach::Begun => return,
        Reach::Measuring => {
            step(MEASURED, 10, begin_measuring);
            step(MEASURED, 11, measure_housings);
            step(MEASURED + 1, 9, measure_some_of_a_rotor);
            return;
        }
        _ => step(MEASURED, 10, measure),
    }
    if recipe.corrected.is_some() {
        step(MEASURED, 14, correct);
    }
    if reach == Reach::Misread {
        return;
    }
    step(PLANNED, 11, plan);
    if reach == Reach::NoPlan || reach == Reach::Planned {
        return;
    }
    step(CUT, 13, cut);
    if reach == Reach::Cut || reach == Reach::CutShort {
        return;
    }
    step(BALANCED, 9, at_the_machine);
    if reach == Reach::Balance {
        return;
    }
    step(BALANCED, 14, spin_again);
    step(ASSEMBLED, 8, assembly::assemble);
    if reach == Reach::Assembly {
        return;
    }
    step(SIGNED, 15, assembly::sign_as_builder);
    step(SIGNED, 16, assembly::sign_as_owner);
    later::happens(diary, recipe);
}

/// Of a step.
pub(super) type Done = Result<(), ShopError>;

/// Who built then: one of them left.
pub(super) fn builder(books: &Books<'_>, recipe: &Recipe) -> Worker {
    let there = recipe.begun - SIGNED > LEFT;
    if there && recipe.begun % 2 == 0 { books.former } else { books.builder }
}

pub(super) fn scatter(recipe: &Recipe, step: u64) -> Scatter {
    Scatter::of(recipe.seed.unwrap_or(0) * 16 + step)
}

fn take_in(books: &mut Books<'_>, recipe: &Recipe, at: &Moment) -> Done {
    let due = books.calendar.day(recipe.wanted())?;
    let id = books.shop.add_intake(&NewIntake {
        customer: books.customer(recipe.customer)?,
        came_in: recipe.came_in,
        wanted: recipe.wants,
        due: Some(&due),
        person: books.assembler.id,
        at,
    })?;
    books.intakes.insert(recipe.name, id);
    if recipe.begun % 3 == 0 {
        let tip = 1 + usize::from(recipe.begun % 2 == 0);
        books.attach(AttachedTo::Intake(id), ("as it came in.png", tip), (books.assembler, at))?;
    }
    Ok(())
}

fn begin(books: &mut Books<'_>, recipe: &Recipe, at: &Moment) -> Done {
    let by = builder(books, recipe);
    if recipe.reach == Reach::Begun {
        return begin_from_library(books, recipe, (by, at));
    }
    let head = Head {
        name: recipe.name.to_owned(),
        customer: Some(books.customer(recipe.customer)?),
        engine: books.engines.get(recipe.example.engine()).copied(),
        spec: recipe.spec.and_then(|spec| books.specs.get(&spec).copied()),
    };
    let due = Due {
        stage: Stage::Teardown,
        next: "take it apart, mark the parts, clean them".to_owned(),
        by: Some(books.calendar.day(recipe.wanted())?),
        holder: Some(by.id),
    };
    let intake = books.intakes.get(recipe.name).copied();
    let id = books.shop.add_build(&head, intake, &due, (by.id, at))?;
    books.builds.insert(recipe.name, id);
    Ok(())
}

/// A build that was begun a moment ago: what the library has of its engine and spec, and no part yet.
fn begin_from_library(books: &mut Books<'_>, recipe: &Recipe, by: (Worker, &Moment)) -> Done {
    let not_there = || stuck(recipe.name, "its engine or its spec is not in the library");
    let spec = recipe.spec.and_then(|spec| books.specs.get(&spec).copied());
    let beginning = Beginning {
        name: recipe.name,
        customer: Some(books.customer(recipe.customer)?),
        intake: books.intakes.get(recipe.name).copied(),
        engine: books.engines.get(recipe.example.engine()).copied().ok_or_else(not_there)?,
        spec: spec.ok_or_else(not_there)?,
        duty: match recipe.example {
            Example::Boat => ["9800 rpm", "0.9 bar", "12 h"],
            _ => ["5500 rpm", "", "900 h"],
        },
        by: Some(books.calendar.day(recipe.wanted())?),
    };
    let id = sheet::begin(books.shop, &beginning, (by.0.id, by.1))
        .map_err(|error| stuck(recipe.name, error))?;
    books.builds.insert(recipe.name, id);
    Ok(())
}

/// The file of a build when its parts were read: the example with its own sizes and serials.
fn as_read(books: &Books<'_>, recipe: &Recipe) -> Result<Draft, ShopError> {
    let mut draft = match recipe.seed {
        None => recipe.example.draft()?,
        Some(_) => {
            let mut draft = recipe.example.cured()?;
            draft.vary(&mut scatter(recipe, 1));
            asked_at_assembly(&mut draft);
            draft
        }
    }
    .before_the_cut();
    for (from, to) in recipe.serials {
        draft.rename(from, to);
    }
    draft.set("build.name", &format!("{:?}", recipe.name));
    if let Some(spec) = recipe.spec {
        build_to(&mut draft, spec);
    }
    if recipe.example == Example::Aircraft {
        let due = books.calendar.day(micrometer_due(recipe.begun - MEASURED))?;
        draft.set("gauge.micrometer.calibration_due", &format!("\"{due}\""));
    }
    if let Some(earlier) = recipe.earlier {
        draft.take_over(&books.draft(earlier)?, &mut scatter(recipe, 2));
    }
    for (place, count) in recipe.slip.iter().chain(&recipe.corrected) {
        draft.slip(place, *count);
    }
    Ok(draft)
}

fn store(books: &Books<'_>, recipe: &Recipe, draft: &Draft, (by, at): (Worker, &Moment)) -> Done {
    let text = Books::text(recipe.name, draft)?;
    import(books.shop, &text, Some(books.build(recipe.name)?), (by.name, at))?;
    Ok(())
}

fn measure(books: &mut Books<'_>, recipe: &Recipe, at: &Moment) -> Done {
    let by = builder(books, recipe);
    store(books, recipe, &as_read(books, recipe)?, (by, at))?;
    let due = if recipe.reach == Reach::Misread {
        (Stage::Inspection, recipe.stopped)
    } else {
        (Stage::Clearances, "plan the set")
    };
    books.due(recipe.name, due, recipe.wanted(), Some(by))
}

/// All of a file but its readings: what is known before anybody measures.
fn begin_measuring(books: &mut Books<'_>, recipe: &Recipe, at: &Moment) -> Done {
    let (by, id) = (builder(books, recipe), books.build(recipe.name)?);
    let draft = as_read(books, recipe)?;
    let build = read(&Books::text(recipe.name, &draft)?).map_err(Box::new)?;
    let parts = shop::parts(&build);
    let into = Into::Over(id, books.shop.seen(id)?);
    books.shop.bring_in(into, &parts, (by.id, at), |ids| {
        let gauges = HashMap::new();
        let mut lines = shop::lines(draft.values(), (&build, &gauges), ids);
        lines.retain(|line| matches!(line.entry, Entry::Text(_)));
        lines
    })?;
    let due = (Stage::Inspection, "read the housings and the rotors");
    books.due(recipe.name, due, recipe.wanted(), Some(by))
}

/// Reads every place of the file that is one of these, each by itself.
fn read_places(
    books: &Books<'_>,
    recipe: &Recipe,
    at: &Moment,
    which: impl Fn(&str) -> bool,
) -> Done {
    let (by, id) = (builder(books, recipe), books.build(recipe.name)?);
    let draft = as_read(books, recipe)?;
    let build = read(&Books::text(recipe.name, &draft)?).map_err(Box::new)?;
    let parts = shop::parts(&build);
    let mut ids = Vec::with_capacity(parts.len());
    for part in &parts {
        ids.push(books.part((part.kind, part.serial), (by, at))?);
    }
    let gauges = shop::gauges(books.shop)?;
    let of = InRevision { build: id, revision: books.shop.build(id)?.revision };
    let lines = shop::lines(draft.values(), (&build, &gauges), &ids);
    for line in lines.iter().filter(|line| which(&line.place)) {
        let Entry::Reading { part, when, station, value, gauge, temperature } = &line.entry else {
            continue;
        };
        books.shop.add_reading(&NewReading {
            part: *part,
            build: Some(of),
            when: *when,
            station,
            value,
            gauge: *gauge,
            person: by.id,
            at,
            temperature: temperature.as_ref(),
            expected: None,
            sent_as: None,
            place: Some(&line.place),
        })?;
    }
    Ok(())
}

fn measure_housings(books: &mut Books<'_>, recipe: &Recipe, at: &Moment) -> Done {
    read_places(books, recipe, at, |place| place.starts_with("housing."))
}

/// The first rotor, up to where the bench was left in the evening.
fn measure_some_of_a_rotor(books: &mut Books<'_>, recipe: &Recipe, at: &Moment) -> Done {
    let by = builder(books, recipe);
    let [(_, first), ..] = recipe.serials else {
        return Err(stuck(recipe.name, "it has no rotor to read"));
    };
    let read = [
        "mass",
        "land_width.1",
        "land_width.2",
        "land_width.3",
        "gear_step.1",
        "gear_step.2",
        "gear_step.3",
        "plain_step.1",
    ];
    read_places(books, recipe, at, |place| {
        read.iter().any(|station| place == format!("rotor.{first}.{station}"))
    })?;
    let next = format!("read on: rotor {first}, step of the plain face at tip 2");
    books.due(recipe.name, (Stage::Inspection, &next), recipe.wanted(), Some(by))
}

/// Somebody else looks at what does not fit, and reads it again.
fn correct(books: &mut Books<'_>, recipe: &Recipe, at: &Moment) -> Done {
    let Some((place, count)) = recipe.corrected else { return Ok(()) };
    let mut draft = books.draft(recipe.name)?;
    draft.slip(place, -count);
    store(books, recipe, &draft, (books.machinist, at))
}

fn plan(books: &mut Books<'_>, recipe: &Recipe, at: &Moment) -> Done {
    let by = builder(books, recipe);
    let standing = books.planned(recipe.name)?;
    if standing.plan.feasible == (recipe.reach == Reach::NoPlan) {
        return Err(stuck(recipe.name, format!("{:?}", standing.plan.limiting)));
    }
    if recipe.reach == Reach::NoPlan {
        let due = (Stage::Cutting, recipe.stopped);
        return books.due(recipe.name, due, recipe.wanted(), Some(books.owner));
    }
    let of = (recipe.name, &*standing);
    books.keep_plan(of, "Plan", (by, at))?;
    if nothing_to_cut(&standing) {
        let due = (Stage::Balance, "nothing to cut; balance it");
        return books.due(recipe.name, due, recipe.wanted(), Some(books.machinist));
    }
    books.make_cut_sheet(of, (by, at))?;
    let due = (Stage::Cutting, "cut the rotors by the sheet");
    books.due(recipe.name, due, recipe.wanted(), Some(books.machinist))?;
    if recipe.name == SPRINT_BOAT {
        let id = books.build(recipe.name)?;
        books.attach(AttachedTo::Build(id), ("rotor R-114.png", 2), (by, at))?;
    }
    Ok(())
}

fn nothing_to_cut(standing: &Standing) -> bool {
    standing.plan.rotors.iter().all(|rotor| rotor.plan.cut.is_nothing())
}

fn cut(books: &mut Books<'_>, recipe: &Recipe, at: &Moment) -> Done {
    let by = books.machinist;
    let standing = books.planned(recipe.name)?;
    if nothing_to_cut(&standing) {
        return Ok(());
    }
    let short = recipe.reach == Reach::CutShort;
    let mut draft = Draft::of(&standing.text)?;
    let known = recipe.example.draft()?.after_the_cut();
    if recipe.seed.is_none() && !known.is_empty() {
        for placed in known {
            draft.set(&placed.place, &placed.value);
        }
    } else {
        let got = if short { Got::TooWide(TOO_WIDE) } else { Got::Planned };
        draft.cut(&standing.plan, got, &mut scatter(recipe, 3));
    }
    store(books, recipe, &draft, (by, at))?;
    let again = books.planned(recipe.name)?;
    if !again.plan.feasible || short == nothing_to_cut(&again) {
        let why = format!("it was not cut as is told of it: {:?}", again.plan.limiting);
        return Err(stuck(recipe.name, why));
    }
    let of = (recipe.name, &*again);
    books.keep_plan(of, "Plan after the cut", (by, at))?;
    if short {
        books.make_cut_sheet(of, (by, at))?;
    }
    let (due, holder) = match recipe.reach {
        Reach::CutShort => {
            let due = (Stage::ReInspection, "cut once more: the lands were left too wide");
            (due, books.machinist)
        }
        Reach::Cut => {
            ((Stage::Balance, "measured, as planned; balance it"), builder(books, recipe))
        }
        _ => ((Stage::Balance, "balance it"), books.machinist),
    };
    books.due(recipe.name, due, recipe.wanted(), Some(holder))
}

fn at_the_machine(books: &mut Books<'_>, recipe: &Recipe, at: &Moment) -> Done {
    let by = books.machinist;
    let mut shown = recipe.example.draft()?;
    for (from, to) in recipe.serials {
        shown.rename(from, to);
    }
    let mut shown = shown.of_the_machine();
    if recipe.seed.is_some() {
        on_another_engine(&mut shown, &mut scatter(recipe, 4));
    }
    if !shown.is_empty() {
        put(books, recipe, &shown, (by, at))?;
        keep_balance(books, recipe, (by, at))?;
    }
    let (due, holder) = if recipe.reach == Reach::Balance {
        let next = "drill the counterweights as worked out, then spin it again";
        ((Stage::Balance, next), books.machinist)
    } else {
        ((Stage::Assembly, "put it together"), books.assembler)
    };
    books.due(recipe.name, due, recipe.wanted(), Some(holder))
}

/// Puts what was read into the file of a build.
fn put(books: &Books<'_>, recipe: &Recipe, read: &[Placed], by: (Worker, &Moment)) -> Done {
    let mut draft = books.draft(recipe.name)?;
    for placed in read {
        draft.set(&placed.place, &placed.value);
    }
    store(books, recipe, &draft, by)
}

/// Balances a build as it stands, and keeps what comes of it.
fn keep_balance(
    books: &mut Books<'_>,
    recipe: &Recipe,
    by: (Worker, &Moment),
) -> Result<BalanceReport, ShopError> {
    let standing = books.planned(recipe.name)?;
    let call = SpeedCall::default();
    let report = balance(&standing.build, &standing.plan, &call, System::Metric)
        .map_err(|error| stuck(recipe.name, error))?;
    books.keep_balance((recipe.name, &standing), &report, by)?;
    Ok(report)
}

/// Drilled, and spun again.
fn spin_again(books: &mut Books<'_>, recipe: &Recipe, at: &Moment) -> Done {
    let by = books.machinist;
    let standing = books.planned(recipe.name)?;
    if standing.build.balance.runs.is_empty() && standing.build.balance.measured.is_none() {
        return Ok(());
    }
    let call = SpeedCall::default();
    let drilled = balance(&standing.build, &standing.plan, &call, System::Metric)
        .map_err(|error| stuck(recipe.name, error))?;
    let read = after_correction(&drilled, standing.build.balance.runs.len());
    put(books, recipe, &read, (by, at))?;
    let report = keep_balance(books, recipe, (by, at))?;
    if report.is_measured() && report.verdict() == Verdict::Conforms {
        Ok(())
    } else {
        Err(stuck(recipe.name, format!("it is not in balance: {:?}", report.left)))
    }
}

impl Books<'_> {
    /// Attaches a drawing under this name.
    pub(super) fn attach(
        &self,
        to: AttachedTo,
        (name, tip): (&str, usize),
        (by, at): (Worker, &Moment),
    ) -> Done {
        let bytes = drawing(tip);
        self.shop.attach(&NewAttachment {
            to,
            station: None,
            name,
            bytes: &bytes,
            person: by.id,
            at,
        })?;
        Ok(())
    }
}
