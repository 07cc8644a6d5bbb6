//! Parts of a build: entered in their places from the front, exchanged, taken out. The file follows,
//! with whatever was read on them for this build.

use super::cards::card_stations;
use super::changes::{ChangeError, kept, looked_at, quoted, reading_entry};
use super::due::settle;
use super::stations::{Goes, assembled_table, stations};
use super::{Sheet, entered};
use crate::build_file::places::{Placed, place};
use crate::ops::condition::card_part;
use kernel::units::System;
use records::{
    BuildId, Entry, FittedId, GearFace, Into, Moment, NewLine, OutWhy, PartHere, PartKind,
    PersonId, Reading, Shop, Store, When,
};

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

/// How every place of a part begins.
fn below(kind: PartKind, serial: &str) -> String {
    let keys: &[&str] = match (kind, assembled_table(kind)) {
        (_, Some(table)) => &["assembled", table, serial],
        (PartKind::Rotor, _) => &["rotor", serial],
        (PartKind::RotorHousing, _) => &["housing", serial],
        (PartKind::SideHousing, _) => &["side_housing", serial],
        (_, None) => return inspected(kind, serial),
    };
    format!("{}.", place(keys))
}

/// What the places of its card begin with.
fn inspected(kind: PartKind, serial: &str) -> String {
    format!("{}.", place(&["inspected", card_part(kind).key(), serial]))
}

/// Whether a place is one of the part's own.
fn is_of(kind: PartKind, serial: &str) -> impl Fn(&str) -> bool {
    let tables = [below(kind, serial), inspected(kind, serial)];
    move |place| tables.iter().any(|table| place.starts_with(table))
}

/// The lines that a part begins with.
fn first_lines(new: &Fitting<'_>) -> Vec<Placed> {
    let line = |key: &str, value: &str| Placed {
        place: format!("{}{}", below(new.kind, new.serial), place(&[key])),
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
        PartKind::Rotor | PartKind::RotorHousing | PartKind::Bearing => rotors,
        PartKind::SideHousing | PartKind::StationaryGear => rotors + 1,
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
    let at = next.and_then(|next| {
        let below = below(new.kind, next);
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
    let of_old = is_of(new.kind, &old.fitted.serial);
    let at = lines.iter().position(|line| of_old(&line.place));
    lines.retain(|line| !of_old(&line.place));
    let at = at.unwrap_or(lines.len()).min(lines.len());
    lines.splice(at..at, first);
    put(shop, sheet, (new, old.fitted.position), lines, by)
}

fn new_lines(lines: Vec<Placed>) -> Vec<NewLine> {
    let text = |line: Placed| NewLine { place: line.place, entry: Entry::Text(line.value) };
    lines.into_iter().map(text).collect()
}

/// What was read on a part for this build before it was taken out: it stands again.
fn read_before(shop: &Shop, sheet: &Sheet, new: &Fitting<'_>) -> Result<Vec<NewLine>, ChangeError> {
    let Some(part) = shop.part_of(new.kind, new.serial)? else { return Ok(Vec::new()) };
    let known = below(new.kind, new.serial) + "serial";
    let there = sheet.lines.iter().map(|line| (line.place.as_str(), line.value.as_str()));
    // With the line that it begins with, which is not there yet.
    let goes = Goes::of(there.chain([(known.as_str(), "")]));
    let mut lines = Vec::new();
    for when in [When::Before, When::After] {
        let standing: Vec<&Reading> = sheet
            .readings
            .iter()
            .filter(|r| r.part == part.id && r.when == when && r.superseded_by.is_none())
            .collect();
        let have: Vec<&str> = standing.iter().map(|r| r.station.as_str()).collect();
        let mut known = stations(new.kind, new.serial, when, &have, &goes);
        if when == When::Before {
            known.extend(card_stations((new.kind, new.serial), None, &goes));
        }
        for station in known {
            let reading = standing.iter().find(|r| r.station == station.name);
            if let (Some(place), Some(reading)) = (station.place, reading) {
                lines.push(NewLine { place, entry: reading_entry(reading) });
            }
        }
    }
    Ok(lines)
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
    let gone = is_of(part.fitted.kind, &part.fitted.serial);
    let mut lines = kept(&before);
    lines.retain(|line| !gone(&line.place));
    shop.store(&Store { build, seen: before.seen, person, at, lines: &lines })?;
    shop.take_out(fitted, OutWhy::Exchanged, (person, at))?;
    settle(shop, build, &at.day())
}
