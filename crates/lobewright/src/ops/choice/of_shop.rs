//! Builds of the shop's file that wait, and the shelf: parts that no build has claimed, with their
//! last readings, and why some of them are not offered.

use super::adopted::adopted;
use super::last_read::{LastRead, NotRead, Stood, last_read};
use super::waits::{About, ChoiceError, LeftOut, Shelf, Waits, places, told_apart};
use crate::build_file::model::{Engine, Housing, Rotor, Way};
use crate::build_file::places::{Placed, place};
use crate::build_file::{Stock, read_stock, read_waiting};
use crate::ops::condition::CardVerdict;
use crate::ops::sheet::{Sheet, as_far, entered};
use crate::ops::{ItemSaid, ShopError};
use kernel::condition::Fate;
use kernel::units::System;
use records::{BuildId, Day, Fitted, GearFace, PartHistory, PartKind, PartSearch, Shop};
use std::collections::HashMap;
use std::rc::Rc;

/// Tables of a build's file that a plan is worked out from, without rotors and housings.
const OF_THE_BUILD: [&str; 9] =
    ["format", "build", "engine", "material", "gauge", "machine", "side_housing", "spec", "seals"];

/// Sheets that were gathered already: many parts were in the same build.
struct Sheets<'s> {
    shop: &'s Shop,
    today: &'s Day,
    first: System,
    known: HashMap<BuildId, Rc<Sheet>>,
}

impl Sheets<'_> {
    fn of(&mut self, build: BuildId) -> Result<Rc<Sheet>, ShopError> {
        if let Some(known) = self.known.get(&build) {
            return Ok(Rc::clone(known));
        }
        let sheet = Rc::new(entered(self.shop, build, self.today, self.first)?);
        self.known.insert(build, Rc::clone(&sheet));
        Ok(sheet)
    }
}

/// Builds of the shop with what is on its shelf.
///
/// # Errors
/// Where a build is not there or not open, its file is not that far, or a part that is in it has
/// no readings; what the shop's file says.
pub fn from_shop(
    shop: &Shop,
    builds: &[BuildId],
    today: &Day,
    first: System,
) -> Result<(Vec<Waits>, Shelf), ChoiceError> {
    let mut sheets = Sheets { shop, today, first, known: HashMap::new() };
    let mut waits = Vec::with_capacity(builds.len());
    for (i, build) in builds.iter().enumerate() {
        if builds[..i].contains(build) {
            return Err(ChoiceError::Refused(format!(
                "build {build} is named twice; once is enough"
            )));
        }
        waits.push(waiting(&mut sheets, *build)?);
    }
    let shelf = shelf(&mut sheets)?;
    told_apart(&waits, &shelf)?;
    Ok((waits, shelf))
}

fn unquoted(value: &str) -> Option<String> {
    Some(value.parse::<toml_edit::Value>().ok()?.as_str()?.to_owned())
}

fn waiting(sheets: &mut Sheets<'_>, id: BuildId) -> Result<Waits, ChoiceError> {
    let shop = sheets.shop;
    let sheet = sheets.of(id)?;
    let name = sheet.build.head.name.clone();
    let refused = |why: String| ChoiceError::Refused(format!("build {id}, {name}: {why}"));
    if !sheet.build.open {
        return Err(refused("it is signed; nothing is put into it".to_owned()));
    }
    let kept = |tables: &[&str]| -> Vec<Placed> {
        let of = |place: &str| place.split('.').next().is_some_and(|root| tables.contains(&root));
        let lines = sheet.lines.iter().filter(|line| of(&line.place));
        lines.map(|l| Placed { place: l.place.clone(), value: l.value.clone() }).collect()
    };
    let source = |source| ShopError::Places { build: id, source };
    let far = as_far(&kept(&OF_THE_BUILD)).map_err(source)?;
    let read = read_waiting(&far.text).map_err(|problems| {
        let first = problems.list().first();
        let what = first.map_or_else(String::new, |p| format!("{}: {}", p.place, p.what));
        refused(format!("its file is not that far yet: {what}"))
    })?;
    let mut build = read.build;
    let mut assumed = far.left_out;
    let mut rotors: Vec<Option<Rotor>> = vec![None; read.rotors];
    let mut housings: Vec<Option<Housing>> = vec![None; read.rotors];
    for part in sheet.of_kind(PartKind::Rotor).chain(sheet.of_kind(PartKind::RotorHousing)) {
        let fitted = &part.fitted;
        let at = usize::try_from(fitted.position - 1).ok().filter(|at| *at < read.rotors);
        let Some(at) = at else {
            return Err(refused(format!("{} has no place in it", fitted.serial)));
        };
        let stock = of_own_file(&kept(&["format", "gauge", "rotor", "housing"]), fitted);
        let stock = match stock {
            Some(stock) => stock,
            None => {
                let history = shop.part_history(fitted.part)?;
                let read = read_of(sheets, &history)?.map_err(|not| {
                    refused(format!("{} is in it, and {}: {}", fitted.serial, not.why, not.cure))
                })?;
                assumed.push(format!(
                    "{} by its readings of {}, since none are taken for this build yet",
                    fitted.serial, read.day
                ));
                adopted(&mut build.gauges, &read.stock)
            }
        };
        let gear_face = match fitted.gear_face {
            Some(GearFace::Front) => Way::Front,
            _ => Way::Rear,
        };
        if let Some(rotor) = stock.rotors.into_iter().next() {
            rotors[at] = Some(Rotor { gear_face, ..rotor });
        }
        if let Some(housing) = stock.housings.into_iter().next() {
            housings[at] = Some(housing);
        }
    }
    let places = places(rotors, housings, &mut assumed);
    Ok(Waits { name, id: Some(id), places, assumed, build })
}

/// A part as its build's file has it, if it is read whole there.
fn of_own_file(lines: &[Placed], part: &Fitted) -> Option<Stock> {
    let table = if part.kind == PartKind::Rotor { "rotor" } else { "housing" };
    let below = format!("{}.", place(&[table, &part.serial]));
    let mine = |line: &&Placed| {
        let root = line.place.split('.').next();
        matches!(root, Some("format" | "gauge")) || line.place.starts_with(&below)
    };
    let mine: Vec<Placed> = lines.iter().filter(mine).cloned().collect();
    read_stock(&as_far(&mine).ok()?.text).ok()
}

/// The last readings of a part.
fn read_of(
    sheets: &mut Sheets<'_>,
    history: &PartHistory,
) -> Result<Result<LastRead, NotRead>, ChoiceError> {
    let gauges = sheets.shop.gauges()?;
    let mut stood: HashMap<BuildId, Stood> = HashMap::new();
    if history.part.kind == PartKind::RotorHousing {
        for (fitted, _) in &history.fitted {
            stood.insert(fitted.build, stood_in(sheets.shop, fitted.build, &history.part.serial)?);
        }
    }
    let stood = |build: BuildId| stood.get(&build).cloned().unwrap_or_default();
    Ok(last_read(history, &gauges, stood))
}

/// How a housing stood when it was read for a build, as the build's file said last: a part that was
/// taken out is in it no longer.
fn stood_in(shop: &Shop, build: BuildId, serial: &str) -> Result<Stood, ChoiceError> {
    let mut stood = Stood::new();
    for key in ["state", "clamp_up", "clamp_up_u"] {
        let text = shop.last_text(build, &place(&["housing", serial, key]))?;
        stood.extend(text.as_deref().and_then(unquoted).map(|text| (key, text)));
    }
    // What it shortens by is of a housing that was read loose: it may have been that before.
    if stood.iter().any(|(key, text)| *key == "state" && text == "clamped") {
        stood.truncate(1);
    }
    Ok(stood)
}

/// The parts that no build has claimed.
fn shelf(sheets: &mut Sheets<'_>) -> Result<Shelf, ChoiceError> {
    let shop = sheets.shop;
    let mut shelf = Shelf::default();
    for kind in [PartKind::Rotor, PartKind::RotorHousing] {
        let search = PartSearch {
            serial: "",
            kind: Some(kind),
            on_shelf: true,
            most: usize::MAX >> 1,
            last_readings: 0,
        };
        for found in shop.parts(&search)? {
            let history = shop.part_history(found.part.id)?;
            let part = &history.part;
            let mut leave_out = |why: String, cure: String| {
                let (serial, id) = (part.serial.clone(), Some(part.id));
                shelf.left_out.push(LeftOut { kind, serial, id, why, cure });
            };
            if let Some(build) = rejected(sheets, &history)? {
                leave_out(
                    format!("its card rejects it (build {build})"),
                    "see its card; retire it, or read it again after rework".to_owned(),
                );
                continue;
            }
            let read = match read_of(sheets, &history)? {
                Ok(read) => read,
                Err(NotRead { why, cure }) => {
                    leave_out(why, cure);
                    continue;
                }
            };
            let mut engines: Vec<Engine> = Vec::new();
            for (fitted, _) in &history.fitted {
                let sizes = sheets.of(fitted.build)?.sizes.clone();
                engines.extend(sizes.filter(|sizes| !engines.contains(sizes)));
            }
            // On the shelf nobody is asked how a housing stands.
            let assumed = (kind == PartKind::RotorHousing && read.build.is_none())
                .then(|| format!("{} read clamped: it was read on the shelf", part.serial));
            let about =
                About { id: Some(part.id), read: Some(read.day), engines: Some(engines), assumed };
            let mut gauges = std::mem::take(&mut shelf.stock.gauges);
            let stock = adopted(&mut gauges, &read.stock);
            shelf.stock.gauges = gauges;
            for rotor in stock.rotors {
                shelf.stock.rotors.push(rotor);
                shelf.rotors.push(about.clone());
            }
            for housing in stock.housings {
                shelf.stock.housings.push(housing);
                shelf.housings.push(about.clone());
            }
        }
    }
    Ok(shelf)
}

/// The last build for which a part has a card, where that card rejects it.
fn rejected(sheets: &mut Sheets<'_>, history: &PartHistory) -> Result<Option<BuildId>, ShopError> {
    for (fitted, _) in history.fitted.iter().rev() {
        let Some(card) = sheets.of(fitted.build)?.card_of(fitted) else { continue };
        if card.verdict == CardVerdict::Decided(Fate::Reject) {
            return Ok(Some(fitted.build));
        }
        // An earlier card says nothing of a part that was looked at again since.
        if card.items.iter().any(|item| matches!(item.said, ItemSaid::Decided(_))) {
            return Ok(None);
        }
    }
    Ok(None)
}
