//! What is changed on a build's sheet beside its readings: it is begun, and values of its file are
//! set. Everything is looked at before it is kept.

use super::as_far::as_far;
use super::due::settle;
use super::{Sheet, entered};
use crate::build_file::Problem;
use crate::build_file::places::{Placed, place};
use crate::ops::shop::ShopError;
use kernel::units::System;
use records::{
    BuildId, Conflict, CustomerId, Day, Due, EngineId, Entry, Head, InRevision, IntakeId, Moment,
    NewLine, NewValue, PersonId, Reading, ReadingId, RecordsError, Shop, SpecId, Stage, Store,
};
use std::collections::HashMap;
use thiserror::Error;

/// Why nothing was changed.
#[derive(Debug, Error)]
pub enum ChangeError {
    /// The file would be wrong.
    #[error("{}", .0.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n"))]
    Wrong(Vec<Problem>),
    /// Somebody else changed the same value since it was looked at.
    #[error(
        "{place} was to become {yours}, but stands at {theirs} now; look at both and enter what is right"
    )]
    Changed {
        /// Where.
        place: String,
        /// What was to be written.
        yours: String,
        /// What stands there.
        theirs: String,
    },
    /// The build cannot have it.
    #[error("{0}")]
    Refused(String),
    /// What the shop's file says.
    #[error(transparent)]
    Shop(#[from] ShopError),
}

impl From<RecordsError> for ChangeError {
    fn from(error: RecordsError) -> Self {
        Self::Shop(error.into())
    }
}

/// A build to be begun.
#[derive(Debug, Clone)]
pub struct Beginning<'a> {
    /// What the shop calls it.
    pub name: &'a str,
    /// Whose it is.
    pub customer: Option<CustomerId>,
    /// What it came in as.
    pub intake: Option<IntakeId>,
    /// Its engine, whose lines are copied.
    pub engine: EngineId,
    /// Its spec, whose lines are copied.
    pub spec: SpecId,
    /// Speed, boost and running of the duty, as they were written; empty: not said.
    pub duty: [&'a str; 3],
    /// By when it is wanted.
    pub by: Option<Day>,
}

/// How often something is tried while others enter readings in between.
const TRIES: usize = 8;

/// A text as a piece of TOML.
pub(super) fn quoted(text: &str) -> String {
    toml_edit::Value::from(text).to_string()
}

/// Begins a build.
///
/// # Errors
/// Where the duty is none, or something that it refers to is not there.
pub fn begin(
    shop: &Shop,
    new: &Beginning<'_>,
    (person, at): (PersonId, &Moment),
) -> Result<BuildId, ChangeError> {
    let name = new.name.trim();
    if name.is_empty() {
        return Err(ChangeError::Refused("the build has no name; give it one".to_owned()));
    }
    let mut lines = vec![
        Placed { place: "format".to_owned(), value: "1".to_owned() },
        Placed { place: "build.name".to_owned(), value: quoted(name) },
    ];
    for (key, text) in ["speed", "boost", "running"].iter().zip(new.duty) {
        if !text.is_empty() {
            lines.push(Placed { place: format!("build.duty.{key}"), value: quoted(text) });
        }
    }
    let library = shop.engine_lines(new.engine)?.into_iter().chain(shop.spec_lines(new.spec)?);
    lines.extend(library.map(|line| Placed { place: line.place, value: line.value }));
    let far = as_far(&lines)
        .map_err(|source| ChangeError::Refused(format!("the library does not fit: {source}")))?;
    let wrong = wrong_in(&far.build.err().map(|p| p.list().to_vec()).unwrap_or_default(), &[]);
    if !wrong.is_empty() {
        return Err(ChangeError::Wrong(wrong));
    }
    let head = Head {
        name: name.to_owned(),
        customer: new.customer,
        engine: Some(new.engine),
        spec: Some(new.spec),
    };
    let due = Due {
        stage: Stage::Teardown,
        next: "enter its parts".to_owned(),
        by: new.by.clone(),
        holder: Some(person),
    };
    let build = shop.add_build(&head, new.intake, &due, (person, at))?;
    let lines: Vec<NewLine> = lines
        .into_iter()
        .map(|line| NewLine { place: line.place, entry: Entry::Text(line.value) })
        .collect();
    let seen = shop.seen(build)?;
    shop.store(&Store { build, seen, person, at, lines: &lines })?;
    settle(shop, build, &at.day())?;
    Ok(build)
}

/// Problems that are not merely something that is not there yet.
fn wrong_in(problems: &[Problem], before: &[Problem]) -> Vec<Problem> {
    problems
        .iter()
        .filter(|problem| !is_lacking(problem))
        .filter(|problem| {
            !before.iter().any(|b| b.place == problem.place && b.what == problem.what)
        })
        .cloned()
        .collect()
}

/// Whether a problem is only that the build has not come that far: a key is missing, or not every
/// rotor and housing is entered.
pub(super) fn is_lacking(problem: &Problem) -> bool {
    problem.what.ends_with("is missing") || counts_parts(problem)
}

/// Whether a problem is that there are not as many rotors or housings as the engine has.
pub(super) fn counts_parts(problem: &Problem) -> bool {
    problem.what.starts_with("rotors = ") && problem.what.contains("[[")
}

pub(super) fn reading_entry(reading: &Reading) -> Entry {
    Entry::Reading {
        part: reading.part,
        when: reading.when,
        station: reading.station.clone(),
        value: reading.value.clone(),
        gauge: reading.gauge,
        temperature: reading.temperature.clone(),
    }
}

/// The lines of a sheet as they are stored again: readings stay the readings that they are.
pub(super) fn kept(sheet: &Sheet) -> Vec<NewLine> {
    let readings: HashMap<ReadingId, &Reading> =
        sheet.readings.iter().map(|reading| (reading.id, reading)).collect();
    sheet
        .lines
        .iter()
        .map(|line| {
            let reading = line.reading.and_then(|id| readings.get(&id));
            let entry = reading
                .map_or_else(|| Entry::Text(line.value.clone()), |reading| reading_entry(reading));
            NewLine { place: line.place.clone(), entry }
        })
        .collect()
}

/// Looks at a build's file as it would be: nothing in it may be wrong that was not before.
pub(super) fn looked_at(sheet: &Sheet, lines: &[NewLine]) -> Result<(), ChangeError> {
    let placed: Vec<Placed> = lines
        .iter()
        .map(|line| Placed {
            place: line.place.clone(),
            value: match &line.entry {
                Entry::Text(text) => text.clone(),
                Entry::Reading { value, .. } => quoted(value.text()),
            },
        })
        .collect();
    let far = as_far(&placed).map_err(|source| ChangeError::Refused(source.to_string()))?;
    let list = |problems: &crate::build_file::Problems| problems.list().to_vec();
    let before = sheet.file.build.as_ref().err().map(|p| list(p)).unwrap_or_default();
    let after = far.build.as_ref().err().map(|p| list(p)).unwrap_or_default();
    let wrong = wrong_in(&after, &before);
    if wrong.is_empty() { Ok(()) } else { Err(ChangeError::Wrong(wrong)) }
}

/// A value to be set.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Change {
    /// Where in the file.
    pub place: String,
    /// What is to stand there as TOML; nothing takes the place out.
    pub value: Option<String>,
    /// What stood there when it was decided.
    pub was: Option<String>,
}

/// Sets values of a build's file, all of them or none.
///
/// # Errors
/// [`ChangeError`]: the file would be wrong; somebody else changed the same value; the place is
/// one of readings, which are taken at their stations.
pub fn change(
    shop: &Shop,
    of: InRevision,
    changes: &[Change],
    by: (PersonId, &Moment),
    first: System,
) -> Result<(), ChangeError> {
    again(|| change_once(shop, of, changes, by, first))
}

/// Does something with a build as it stands; where somebody else entered something in between, it
/// is looked at again.
pub(super) fn again<T>(mut once: impl FnMut() -> Result<T, ChangeError>) -> Result<T, ChangeError> {
    for _ in 1..TRIES {
        match once() {
            Err(ChangeError::Shop(ShopError::Records(RecordsError::Conflict(conflict))))
                if matches!(*conflict, Conflict::Build { .. }) => {}
            done => return done,
        }
    }
    once()
}

fn change_once(
    shop: &Shop,
    of: InRevision,
    changes: &[Change],
    (person, at): (PersonId, &Moment),
    first: System,
) -> Result<(), ChangeError> {
    let sheet = entered(shop, of.build, &at.day(), first)?;
    let mut lines = kept(&sheet);
    for change in changes {
        let theirs = sheet.lines.iter().find(|line| line.place == change.place);
        let stands = theirs.map(|line| line.value.as_str());
        if stands == change.value.as_deref() {
            continue;
        }
        if stands != change.was.as_deref() {
            return Err(ChangeError::Changed {
                place: change.place.clone(),
                yours: change.value.clone().unwrap_or_else(|| "nothing".to_owned()),
                theirs: stands.unwrap_or("nothing").to_owned(),
            });
        }
        if let Some(why) = no_value(&sheet, &change.place) {
            return Err(ChangeError::Refused(why));
        }
        let at = lines.iter().position(|line| line.place == change.place);
        match (&change.value, at) {
            (Some(value), Some(at)) => lines[at].entry = Entry::Text(value.clone()),
            (Some(value), None) => {
                let entry = Entry::Text(value.clone());
                lines.push(NewLine { place: change.place.clone(), entry });
            }
            (None, Some(at)) => {
                lines.remove(at);
            }
            (None, None) => {}
        }
    }
    if sheet.build.revision != of.revision {
        // The shop's file says who opened the other revision, and when.
        let place = changes.first().map_or("", |change| change.place.as_str());
        let value = NewValue { of, place, value: None, person, at, expected: None };
        shop.set_value(&value)?;
    }
    looked_at(&sheet, &lines)?;
    shop.store(&Store { build: of.build, seen: sheet.seen, person, at, lines: &lines })?;
    settle(shop, of.build, &at.day())
}

/// Why a place is not one of values: what stands there is entered elsewhere.
fn no_value(sheet: &Sheet, at: &str) -> Option<String> {
    if at == "build.name" {
        return Some("the build's name is not changed here".to_owned());
    }
    let keys = toml_edit::Key::parse(at).ok()?;
    let keys: Vec<&str> = keys.iter().map(toml_edit::Key::get).collect();
    if let ["assembled", _, serial, rest @ ..] = keys.as_slice() {
        return match rest {
            ["serial"] => Some(format!(
                "{at} is of the part itself: enter the part again in the place of the one that is there"
            )),
            // The names of gauges, and what is known of springs, are values.
            [key] if key.ends_with("_gauge") || *key == "load_u" => None,
            _ => Some(format!("{at} is a reading: take it at its station on {serial}")),
        };
    }
    let [table @ ("rotor" | "housing" | "side_housing"), serial, rest @ ..] = keys.as_slice()
    else {
        return None;
    };
    let known = sheet.lines.iter().any(|line| line.place == place(&[table, serial, "serial"]));
    if !known {
        return Some(format!("{serial} is no part of this build: enter it as a part first"));
    }
    let key = match rest {
        ["after", key, ..] | [key, ..] => *key,
        [] => "",
    };
    match key {
        "serial" | "gear_face" => Some(format!(
            "{at} is of the part itself: enter the part again in the place of the one that is there"
        )),
        "land_width" | "gear_step" | "plain_step" | "tip_width" | "gear_runout"
        | "plain_runout" | "width" | "mass" | "land_wear" | "tip_wear" => {
            Some(format!("{at} is a reading: take it at its station"))
        }
        _ => None,
    }
}
