//! What is changed on a build's sheet beside its readings: it is begun, parts are entered and
//! exchanged, values of its file are set. Everything is looked at before it is kept.

use super::as_far::as_far;
use super::stations::stations;
use super::{PartState, Sheet, State, entered, sheet};
use crate::build_file::Problem;
use crate::build_file::places::{Placed, place};
use crate::ops::shop::ShopError;
use kernel::units::{Length, System};
use records::{
    BuildId, Conflict, CustomerId, Day, Due, EngineId, Entry, Fitted, FittedId, GaugeId, GearFace,
    Head, InRevision, IntakeId, Into, Moment, NewLine, NewValue, OutWhy, PartHere, PartKind,
    PersonId, Reading, ReadingId, RecordsError, Shop, SpecId, Stage, Store, When, Written,
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

/// How the line of a build that is stopped begins.
pub const STOPPED: &str = "stopped: ";

/// How often values are set while others enter readings in between.
const TRIES: usize = 8;

/// A text as a piece of TOML.
fn quoted(text: &str) -> String {
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

/// A part to be entered.
#[derive(Debug, Clone)]
pub struct Fitting<'a> {
    /// Into which build.
    pub build: BuildId,
    /// What it is.
    pub kind: PartKind,
    /// Its serial.
    pub serial: &'a str,
    /// Of a rotor: which way its gear face looks.
    pub gear_face: Option<GearFace>,
    /// Of a rotor housing that is read loose: how much it shortens when clamped, and the
    /// uncertainty of that.
    pub clamp_up: Option<[&'a str; 2]>,
    /// In the place of this one.
    pub instead: Option<FittedId>,
}

/// The lines that a part begins with.
fn first_lines(new: &Fitting<'_>) -> Vec<Placed> {
    let table = match new.kind {
        PartKind::Rotor => "rotor",
        PartKind::RotorHousing => "housing",
        PartKind::SideHousing => "side_housing",
        PartKind::Shaft | PartKind::SealsSet => return Vec::new(),
    };
    let line = |key: &str, value: &str| Placed {
        place: place(&[table, new.serial, key]),
        value: quoted(value),
    };
    let mut lines = vec![line("serial", new.serial)];
    match new.kind {
        PartKind::Rotor => {
            lines.push(line("gear_face", new.gear_face.unwrap_or(GearFace::Rear).word()));
        }
        PartKind::RotorHousing => {
            lines.push(line("state", if new.clamp_up.is_some() { "free" } else { "clamped" }));
            if let Some([by, u]) = new.clamp_up {
                lines.extend([line("clamp_up", by), line("clamp_up_u", u)]);
            }
        }
        _ => {}
    }
    lines
}

/// Enters a part: the next of its kind from the front.
///
/// # Errors
/// Where the engine has no place for it, it is in another engine, or its serial is none.
pub fn fit(
    shop: &Shop,
    new: &Fitting<'_>,
    by: (PersonId, &Moment),
    first: System,
) -> Result<(), ChangeError> {
    let new = &Fitting { serial: new.serial.trim(), ..new.clone() };
    let sheet = entered(shop, new.build, &by.1.day(), first)?;
    if new.serial.is_empty() {
        return Err(ChangeError::Refused(format!(
            "the {} has no serial; mark it and enter its serial",
            new.kind
        )));
    }
    if new.instead.is_some() {
        return exchange(shop, &sheet, new, by);
    }
    let here: Vec<_> = sheet.of_kind(new.kind).collect();
    let rotors = sheet.rotors.unwrap_or(0);
    let most = match new.kind {
        PartKind::Rotor | PartKind::RotorHousing => rotors,
        PartKind::SideHousing => rotors + 1,
        PartKind::Shaft | PartKind::SealsSet => 1,
    };
    if here.len() >= most {
        return Err(ChangeError::Refused(format!(
            "{} of kind {} are in already; exchange one of them",
            here.len(),
            new.kind
        )));
    }
    let position = (1..).find(|n| here.iter().all(|part| part.fitted.position != *n)).unwrap_or(1);
    let mut lines = kept(&sheet);
    let mut first = new_lines(first_lines(new));
    first.extend(read_before(shop, &sheet, new)?);
    // The file's order is the engine's from the front: a gap that a part left is filled there.
    let next = here.iter().map(|part| &part.fitted).filter(|other| other.position > position);
    let next = next.min_by_key(|other| other.position).map(|other| other.serial.as_str());
    let at = first.first().and_then(|line: &NewLine| {
        let below = format!("{}.", place(&[line.place.split('.').next()?, next?]));
        lines.iter().position(|line| line.place.starts_with(&below))
    });
    let at = at.unwrap_or(lines.len());
    lines.splice(at..at, first);
    put(shop, &sheet, (new, position), lines, by)
}

/// Puts a part in the place of another.
///
/// # Errors
/// As [`fit`].
fn exchange(
    shop: &Shop,
    sheet: &Sheet,
    new: &Fitting<'_>,
    by: (PersonId, &Moment),
) -> Result<(), ChangeError> {
    let old = sheet.parts.iter().find(|part| Some(part.fitted.id) == new.instead);
    let Some(old) = old.filter(|old| old.fitted.kind == new.kind) else {
        return Err(ChangeError::Refused(
            "the part to be exchanged is not in this build".to_owned(),
        ));
    };
    let mut lines = kept(sheet);
    let mut first = new_lines(first_lines(new));
    first.extend(read_before(shop, sheet, new)?);
    if let Some(table) = first.first().and_then(|line| line.place.split('.').next()) {
        let old_table = format!("{}.", place(&[table, &old.fitted.serial]));
        let at = lines.iter().position(|line| line.place.starts_with(&old_table));
        lines.retain(|line| !line.place.starts_with(&old_table));
        let at = at.unwrap_or(lines.len()).min(lines.len());
        lines.splice(at..at, first);
    }
    put(shop, sheet, (new, old.fitted.position), lines, by)
}

fn new_lines(lines: Vec<Placed>) -> Vec<NewLine> {
    let text = |line: Placed| NewLine { place: line.place, entry: Entry::Text(line.value) };
    lines.into_iter().map(text).collect()
}

/// What was read on a part for this build before it was taken out: it stands again.
fn read_before(shop: &Shop, sheet: &Sheet, new: &Fitting<'_>) -> Result<Vec<NewLine>, ChangeError> {
    let Some(part) = shop.part_of(new.kind, new.serial)? else { return Ok(Vec::new()) };
    let mut lines = Vec::new();
    for when in [When::Before, When::After] {
        let standing: Vec<&Reading> = sheet
            .readings
            .iter()
            .filter(|r| r.part == part.id && r.when == when && r.superseded_by.is_none())
            .collect();
        let have: Vec<&str> = standing.iter().map(|r| r.station.as_str()).collect();
        let rotors = sheet.rotors.unwrap_or(1);
        for station in stations(new.kind, new.serial, when, &have, rotors) {
            let reading = standing.iter().find(|r| r.station == station.name);
            if let (Some(place), Some(reading)) = (station.place, reading) {
                lines.push(NewLine { place, entry: reading_entry(reading) });
            }
        }
    }
    Ok(lines)
}

fn reading_entry(reading: &Reading) -> Entry {
    Entry::Reading {
        part: reading.part,
        when: reading.when,
        station: reading.station.clone(),
        value: reading.value.clone(),
        gauge: reading.gauge,
        temperature: reading.temperature.clone(),
    }
}

fn put(
    shop: &Shop,
    sheet: &Sheet,
    (new, position): (&Fitting<'_>, i64),
    lines: Vec<NewLine>,
    (person, at): (PersonId, &Moment),
) -> Result<(), ChangeError> {
    looked_at(sheet, &lines)?;
    let stay =
        sheet.of_kind(new.kind).filter(|part| Some(part.fitted.id) != new.instead).map(|part| {
            PartHere {
                kind: new.kind,
                serial: &part.fitted.serial,
                position: part.fitted.position,
                gear_face: part.fitted.gear_face,
            }
        });
    let gear_face = (new.kind == PartKind::Rotor).then(|| new.gear_face.unwrap_or(GearFace::Rear));
    let here = PartHere { kind: new.kind, serial: new.serial, position, gear_face };
    let parts: Vec<PartHere<'_>> = stay.chain([here]).collect();
    let into = Into::Over(sheet.build.id, sheet.seen);
    shop.bring_in(into, &parts, (person, at), |_| lines)?;
    settle(shop, sheet.build.id, &at.day())?;
    Ok(())
}

/// The lines of a sheet as they are stored again: readings stay the readings that they are.
fn kept(sheet: &Sheet) -> Vec<NewLine> {
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
fn looked_at(sheet: &Sheet, lines: &[NewLine]) -> Result<(), ChangeError> {
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

/// Takes a part out before the build is signed, with what the file says of it.
///
/// # Errors
/// Where it is out already, or the build is signed.
pub fn take_out(
    shop: &Shop,
    build: BuildId,
    fitted: FittedId,
    (person, at): (PersonId, &Moment),
    first: System,
) -> Result<(), ChangeError> {
    let before = entered(shop, build, &at.day(), first)?;
    let Some(part) = before.parts.iter().find(|part| part.fitted.id == fitted) else {
        return Err(ChangeError::Refused("that part is not in this build".to_owned()));
    };
    if !before.build.open {
        shop.take_out(fitted, OutWhy::TornDown, (person, at))?;
        return Ok(());
    }
    // First what the file says of it: should the power fail in between, the part is still there to
    // be taken out.
    let table = match part.fitted.kind {
        PartKind::Rotor => Some("rotor"),
        PartKind::RotorHousing => Some("housing"),
        PartKind::SideHousing => Some("side_housing"),
        PartKind::Shaft | PartKind::SealsSet => None,
    };
    if let Some(table) = table {
        let gone = format!("{}.", place(&[table, &part.fitted.serial]));
        let mut lines = kept(&before);
        lines.retain(|line| !line.place.starts_with(&gone));
        shop.store(&Store { build, seen: before.seen, person, at, lines: &lines })?;
    }
    shop.take_out(fitted, OutWhy::Exchanged, (person, at))?;
    settle(shop, build, &at.day())
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
    for _ in 1..TRIES {
        // Somebody else entered something in between: the values are looked at again.
        match change_once(shop, of, changes, by, first) {
            Err(ChangeError::Shop(ShopError::Records(RecordsError::Conflict(conflict))))
                if matches!(*conflict, Conflict::Build { .. }) => {}
            done => return done,
        }
    }
    change_once(shop, of, changes, by, first)
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

/// Lets the build's file know the gauge of a reading, so that its uncertainty is counted.
///
/// # Errors
/// As [`change`].
pub(super) fn link_gauge(
    shop: &Shop,
    sheet: &Sheet,
    (serial, kind, list): (&str, PartKind, &str),
    gauge: GaugeId,
    (person, at): (PersonId, &Moment),
) -> Result<bool, ChangeError> {
    let key = match (kind, list) {
        (PartKind::Rotor, "land_width" | "tip_width") => "width_gauge",
        (PartKind::Rotor, "gear_step" | "plain_step") => "step_gauge",
        (PartKind::Rotor, "gear_runout" | "plain_runout") => "runout_gauge",
        (PartKind::RotorHousing, _) => "gauge",
        _ => return Ok(false),
    };
    let table = if kind == PartKind::Rotor { "rotor" } else { "housing" };
    let Some(gauge) = sheet.gauges.iter().find(|known| known.id == gauge) else { return Ok(false) };
    let what = &gauge.calibration.what;
    let at_part = place(&[table, serial, key]);
    if what.repeat.value::<Length>().is_none() {
        return Err(ChangeError::Refused(format!(
            "{} measures no lengths, so its uncertainty is not counted here",
            gauge.name
        )));
    }
    // One gauge stands for a list: what was taken with another is not restated unasked.
    if let Some(other) = sheet.value(&at_part).filter(|other| *other != quoted(&gauge.name)) {
        return Err(ChangeError::Refused(format!(
            "the other readings of this kind were taken with {other}, and its uncertainty counts for \
             all of them"
        )));
    }
    let repeat = place(&["gauge", &gauge.name, "repeat"]);
    if sheet.value(&repeat).is_some() && sheet.value(&at_part).is_some() {
        // The calibration that the build was begun with stays.
        return Ok(false);
    }
    let mut wanted = vec![
        (place(&["gauge", &gauge.name, "repeat"]), Some(quoted(what.repeat.text()))),
        (
            place(&["gauge", &gauge.name, "zero"]),
            what.zero.as_ref().map(|zero| quoted(zero.text())),
        ),
        (
            place(&["gauge", &gauge.name, "calibration_due"]),
            what.due.as_ref().map(|due| quoted(due.as_str())),
        ),
        (at_part, Some(quoted(&gauge.name))),
    ];
    if sheet.value(&repeat).is_some() {
        wanted.drain(..3);
    }
    wanted.retain(|(place, value)| value.as_deref() != sheet.value(place));
    if wanted.is_empty() {
        return Ok(false);
    }
    let mut lines = kept(sheet);
    for (place, value) in wanted {
        lines.retain(|line| line.place != place);
        lines.extend(value.map(|value| NewLine { place, entry: Entry::Text(value) }));
    }
    let (build, seen) = (sheet.build.id, sheet.seen);
    shop.store(&Store { build, seen, person, at, lines: &lines })?;
    Ok(true)
}

/// What is due next in a line of the list: what stops a build is said to stop it.
fn due_words(part: &PartState) -> String {
    match part.state {
        State::Stopped => format!("{STOPPED}{}", part.words),
        State::Holds | State::Due => part.words.clone(),
    }
}

/// Lets the build's file know how warm a part was when it was read.
///
/// # Errors
/// As [`change`].
pub(super) fn link_temperature(
    shop: &Shop,
    sheet: &Sheet,
    (part, when, temperature): (&Fitted, When, &Written),
    (person, at): (PersonId, &Moment),
) -> Result<(), ChangeError> {
    let keys: &[&str] = match (part.kind, when) {
        (PartKind::Rotor, When::Before) => &["rotor", &part.serial, "temperature"],
        (PartKind::Rotor, When::After) => &["rotor", &part.serial, "after", "temperature"],
        (PartKind::RotorHousing, _) => &["housing", &part.serial, "temperature"],
        _ => return Ok(()),
    };
    let (at_part, value) = (place(keys), quoted(temperature.text()));
    if sheet.value(&at_part) == Some(value.as_str()) {
        return Ok(());
    }
    let mut lines = kept(sheet);
    let there = lines.iter().position(|line| line.place == at_part);
    let new = NewLine { place: at_part, entry: Entry::Text(value) };
    match there {
        Some(there) => lines[there] = new,
        None => lines.push(new),
    }
    let (build, seen) = (sheet.build.id, sheet.seen);
    shop.store(&Store { build, seen, person, at, lines: &lines })?;
    Ok(())
}

/// Writes down what is due next, as the sheet tells it.
///
/// # Errors
/// Where the file cannot be read or written.
pub fn settle(shop: &Shop, build: BuildId, today: &Day) -> Result<(), ChangeError> {
    settled(shop, &sheet(shop, build, today, System::Metric)?)?;
    Ok(())
}

/// The same of a sheet that was just gathered.
pub(super) fn settled(shop: &Shop, sheet: &Sheet) -> Result<(), RecordsError> {
    if !sheet.build.open {
        return Ok(());
    }
    let states = sheet.states();
    let next = states
        .iter()
        .find(|part| part.state == State::Stopped)
        .or_else(|| states.iter().find(|part| part.state == State::Due));
    let (stage, words) =
        next.map_or((Stage::SignOff, String::new()), |part| (part.stage, due_words(part)));
    if (stage, words.as_str()) != (sheet.build.due.stage, sheet.build.due.next.as_str()) {
        shop.set_next(sheet.build.id, stage, &words)?;
    }
    Ok(())
}
