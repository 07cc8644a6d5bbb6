//! Builds into the shop's file and out of it: a build file becomes a build with its parts and
//! readings, and comes back value by value.

use super::assembly::{fit_of, spring_of};
use super::condition::{card_part, part_of_card};
use super::inputs::{STEP_GAUGE, WIDTH_GAUGE};
use super::sheet::as_far;
use crate::build_file::model::assembly::Fit;
use crate::build_file::model::condition::item_of;
use crate::build_file::model::{Build, Housing, Rotor, Way};
use crate::build_file::places::{Placed, PlacesError, assemble, placed};
use crate::build_file::{Problems, read};
use kernel::condition::{Part, Sort};
use kernel::units::{Force, Length, Mass, Temperature};
use records::{
    BroughtIn, BuildId, BuildSearch, Entry, GaugeId, GearFace, Into, Moment, NewLine, PartHere,
    PartId, PartKind, PersonId, RecordsError, Shop, When, Written,
};
use std::collections::HashMap;
use thiserror::Error;

/// What a person that an import adds is taken to be.
const ROLE: &str = "builder";

/// Why a build file did not become a build of the shop, or the other way.
#[derive(Debug, Error)]
#[non_exhaustive]
pub enum ShopError {
    /// What is wrong with the build file.
    #[error("the build file is wrong")]
    Problems(Box<Problems>),
    /// What the shop's file says.
    #[error(transparent)]
    Records(#[from] RecordsError),
    /// An open build has this name.
    #[error("build {build} is called {name:?} too; --over {build} puts this file in its place")]
    SameName {
        /// The one that is open.
        build: BuildId,
        /// Its name.
        name: String,
    },
    /// What is kept is no build file.
    #[error("build {build}: {source}")]
    Places {
        /// Which one.
        build: BuildId,
        /// What is wrong.
        source: PlacesError,
    },
    /// A demonstration needs a year and more on both sides of its day.
    #[error("a year around {today} is not in the calendar; choose another day")]
    NoYear {
        /// The day.
        today: String,
    },
    /// A story of the demonstration that does not go on.
    #[error("the demonstration stops at {of}: {why}")]
    Demonstration {
        /// Whose story.
        of: String,
        /// Why.
        why: String,
    },
}

impl From<Box<Problems>> for ShopError {
    fn from(problems: Box<Problems>) -> Self {
        Self::Problems(problems)
    }
}

/// Brings a build file into the shop: as a new build, or over an open one. Its rotors, housings,
/// shaft and seals become parts by their serials, its readings readings, each with the gauge that the
/// file names for it where the shop has one of that name; where a build is stored over, a reading
/// that changed supersedes the one that was there. All of it, or nothing; but a person whom the
/// shop does not know is added first.
///
/// # Errors
/// [`ShopError`]: what is wrong with the file; what the shop's file refuses.
pub fn import(
    shop: &Shop,
    text: &str,
    over: Option<BuildId>,
    (by, at): (&str, &Moment),
) -> Result<BroughtIn, ShopError> {
    let values = placed(text)?;
    let build = read(text).map_err(Box::new)?;
    let into = match over {
        Some(id) => Into::Over(id, shop.seen(id)?),
        None => match open_build(shop, &build.name)? {
            Some(id) => return Err(ShopError::SameName { build: id, name: build.name }),
            None => Into::New(&build.name),
        },
    };
    let parts = parts(&build);
    let gauges = gauges(shop)?;
    let person = person(shop, by)?;
    Ok(shop.bring_in(into, &parts, (person, at), |ids| lines(&values, (&build, &gauges), ids))?)
}

/// The shop's gauges by their names.
pub(super) fn gauges(shop: &Shop) -> Result<HashMap<String, GaugeId>, RecordsError> {
    Ok(shop.gauges()?.into_iter().map(|gauge| (gauge.name, gauge.id)).collect())
}

fn open_build(shop: &Shop, name: &str) -> Result<Option<BuildId>, RecordsError> {
    let search = BuildSearch { text: name, open: Some(true), from: 0, most: usize::MAX >> 1 };
    let found = shop.builds(&search)?;
    Ok(found.iter().find(|found| found.build.head.name == name).map(|found| found.build.id))
}

fn person(shop: &Shop, name: &str) -> Result<PersonId, RecordsError> {
    let known = shop.people()?.into_iter().find(|person| person.name == name);
    known.map_or_else(|| shop.add_person(name, ROLE), |person| Ok(person.id))
}

/// Rotors and housings, each of its kind counted from the front, the shaft and the set of seals.
pub(super) fn parts(build: &Build) -> Vec<PartHere<'_>> {
    let rotors = build.rotors.iter().zip(1..).map(|(rotor, position)| PartHere {
        kind: PartKind::Rotor,
        serial: &rotor.serial,
        position,
        gear_face: Some(match rotor.gear_face {
            Way::Front => GearFace::Front,
            Way::Rear => GearFace::Rear,
        }),
    });
    let housing = |kind, (serial, position)| PartHere { kind, serial, position, gear_face: None };
    let rotor_housings = build.housings.iter().map(|h| h.serial.as_str()).zip(1..);
    let side_housings = build.side_housings.iter().map(|h| h.serial.as_str()).zip(1..);
    let carded = |part: Part| {
        let cards = build.inspected.iter().filter(move |card| card.part == part);
        cards.map(|card| card.serial.as_str())
    };
    // Of the shaft and the seals the one that is in; one that only has a card is the one there.
    let inside = [
        (Part::Shaft, build.assembled.shaft.as_ref().map(|shaft| shaft.serial.as_str())),
        (Part::Seals, build.assembled.seals.as_ref().map(|seals| seals.serial.as_str())),
    ];
    let inside = inside.into_iter().filter_map(|(part, serial)| {
        Some((part_of_card(part), serial.or_else(|| carded(part).next())?))
    });
    let others = [Part::StationaryGear, Part::Bearing]
        .into_iter()
        .flat_map(|part| carded(part).zip(1..).map(move |at| housing(part_of_card(part), at)));
    rotors
        .chain(rotor_housings.map(|at| housing(PartKind::RotorHousing, at)))
        .chain(side_housings.map(|at| housing(PartKind::SideHousing, at)))
        .chain(inside.map(|(kind, serial)| housing(kind, (serial, 1))))
        .chain(others)
        .collect()
}

/// A place in its keys, and the text that stands there if it is one.
struct Taken<'v> {
    keys: Vec<String>,
    placed: &'v Placed,
    text: Option<String>,
}

/// The lines of a build file, given the numbers of its parts in their order.
pub(super) fn lines(
    values: &[Placed],
    (build, gauges): (&Build, &HashMap<String, GaugeId>),
    ids: &[PartId],
) -> Vec<NewLine> {
    let parts = parts(build);
    let known: HashMap<(PartKind, &str), PartId> =
        parts.iter().map(|part| (part.kind, part.serial)).zip(ids.iter().copied()).collect();
    let taken: Vec<Taken<'_>> = values
        .iter()
        .map(|placed| Taken {
            keys: toml_edit::Key::parse(&placed.place)
                .map(|keys| keys.iter().map(|key| key.get().to_owned()).collect())
                .unwrap_or_default(),
            placed,
            text: placed
                .value
                .parse::<toml_edit::Value>()
                .ok()
                .and_then(|value| value.as_str().map(str::to_owned)),
        })
        .collect();
    // How warm a part was, by the table that says so.
    let warm: HashMap<&[String], Written> = taken
        .iter()
        .filter_map(|taken| {
            let (last, table) = taken.keys.split_last()?;
            let text = taken.text.as_deref().filter(|_| last == "temperature")?;
            Some((table, Written::read::<Temperature>(text).ok()?))
        })
        .collect();
    taken
        .iter()
        .map(|taken| NewLine {
            place: taken.placed.place.clone(),
            entry: reading(taken, &known, &warm, |kind, serial, list| {
                gauges.get(gauge_name(build, kind, serial, list)?).copied()
            })
            .unwrap_or_else(|| Entry::Text(taken.placed.value.clone())),
        })
        .collect()
}

/// What was read at a station of a rotor, a housing, the shaft or the set of seals.
fn reading(
    taken: &Taken<'_>,
    known: &HashMap<(PartKind, &str), PartId>,
    warm: &HashMap<&[String], Written>,
    gauge: impl Fn(PartKind, &str, &str) -> Option<GaugeId>,
) -> Option<Entry> {
    let keys: Vec<&str> = taken.keys.iter().map(String::as_str).collect();
    let text = taken.text.as_deref()?;
    match *keys.as_slice() {
        ["assembled", ..] => return read_at_assembly(&keys, text, known, gauge),
        ["inspected", part, serial, "read", station, "value"] => {
            return inspected((part, serial, station), text, known, gauge);
        }
        _ => {}
    }
    let (kind, serial, station) = match *keys.as_slice() {
        ["rotor", serial, ref station @ ..] => (PartKind::Rotor, serial, station),
        ["housing", serial, ref station @ ..] => (PartKind::RotorHousing, serial, station),
        ["side_housing", serial, ref station @ ..] => (PartKind::SideHousing, serial, station),
        _ => return None,
    };
    let (when, station) = match station {
        ["after", station @ ..] => (When::After, station),
        station => (When::Before, station),
    };
    let value = match station {
        // Every list of a rotor or a housing is one of lengths.
        [_, number] if number.parse::<usize>().is_ok() => Written::read::<Length>(text).ok()?,
        ["mass"] => Written::read::<Mass>(text).ok()?,
        ["land_wear" | "tip_wear"] | ["land_wear" | "tip_wear", "front" | "rear"] => {
            Written::read::<Length>(text).ok()?
        }
        _ => return None,
    };
    let table = &taken.keys[..keys.len() - station.len()];
    Some(Entry::Reading {
        part: *known.get(&(kind, serial))?,
        when,
        station: station.join("."),
        value,
        gauge: gauge(kind, serial, station.first()?),
        temperature: warm.get(table).cloned(),
    })
}

/// What was found on a used part.
fn inspected(
    (part, serial, station): (&str, &str, &str),
    text: &str,
    known: &HashMap<(PartKind, &str), PartId>,
    gauge: impl Fn(PartKind, &str, &str) -> Option<GaugeId>,
) -> Option<Entry> {
    let part = Part::ALL.into_iter().find(|known| known.key() == part)?;
    let value = match item_of(part, station)?.sort {
        Sort::Look(_) => Written::seen(text),
        Sort::Load => Written::read::<Force>(text).ok()?,
        Sort::Size | Sort::Small => Written::read::<Length>(text).ok()?,
    };
    let kind = part_of_card(part);
    Some(Entry::Reading {
        // Of a part that is not in the build what was found stands in its file alone.
        part: *known.get(&(kind, serial))?,
        when: When::Before,
        station: station.to_owned(),
        value,
        gauge: gauge(kind, serial, station),
        temperature: None,
    })
}

/// What was read when the engine went together.
fn read_at_assembly(
    keys: &[&str],
    text: &str,
    known: &HashMap<(PartKind, &str), PartId>,
    gauge: impl Fn(PartKind, &str, &str) -> Option<GaugeId>,
) -> Option<Entry> {
    let (kind, serial, list, number) = match *keys {
        ["assembled", "shaft", serial, "main", number, "clearance"] => {
            (PartKind::Shaft, serial, Fit::MainBearing.key(), Some(number))
        }
        ["assembled", "shaft", serial, "rotor", number, "clearance"] => {
            (PartKind::Shaft, serial, Fit::RotorBearing.key(), Some(number))
        }
        ["assembled", "shaft", serial, list @ ("shaft_runout" | "end_play" | "spacer")] => {
            (PartKind::Shaft, serial, list, None)
        }
        ["assembled", "seals", serial, "rotor", number, list] => {
            (PartKind::SealsSet, serial, list, Some(number))
        }
        _ => return None,
    };
    let value = if spring_of(list).is_some() {
        Written::read::<Force>(text).ok()?
    } else {
        Written::read::<Length>(text).ok()?
    };
    Some(Entry::Reading {
        part: *known.get(&(kind, serial))?,
        when: When::After,
        station: number.map_or_else(|| list.to_owned(), |number| format!("{list}.{number}")),
        value,
        gauge: gauge(kind, serial, list),
        temperature: None,
    })
}

/// The name of the gauge that took a list of readings; of a mass the file names none.
fn gauge_name<'b>(build: &'b Build, kind: PartKind, serial: &str, list: &str) -> Option<&'b str> {
    let part = card_part(kind);
    let card = build.inspected.iter().find(|card| card.part == part && card.serial == serial);
    if let Some(found) = card.and_then(|card| card.read.get(list)) {
        return found.gauge.as_deref();
    }
    let rotor = |of: fn(&Rotor) -> Option<&String>, usual: &'b str| {
        let rotor = build.rotors.iter().find(|rotor| rotor.serial == serial)?;
        Some(of(rotor).map_or(usual, String::as_str))
    };
    let is_housing = |housing: &&Housing| housing.serial == serial;
    match (kind, list) {
        (PartKind::Rotor, "land_width" | "tip_width") => {
            rotor(|rotor| rotor.width_gauge.as_ref(), WIDTH_GAUGE)
        }
        (PartKind::Rotor, "gear_step" | "plain_step") => {
            rotor(|rotor| rotor.step_gauge.as_ref(), STEP_GAUGE)
        }
        (PartKind::Rotor, "gear_runout" | "plain_runout") => {
            rotor(|rotor| rotor.runout_gauge.as_ref(), STEP_GAUGE)
        }
        (PartKind::RotorHousing, "width") => {
            let housing = build.housings.iter().find(is_housing)?;
            Some(housing.gauge.as_deref().unwrap_or(WIDTH_GAUGE))
        }
        (PartKind::Shaft, list) => {
            let shaft = build.assembled.shaft.as_ref()?;
            let gauge = match fit_of(list)? {
                Fit::ShaftRunout => &shaft.runout_gauge,
                Fit::EndPlay => &shaft.end_play_gauge,
                _ => &shaft.bearing_gauge,
            };
            gauge.as_deref()
        }
        (PartKind::SealsSet, list) => {
            let seals = build.assembled.seals.as_ref()?;
            let gauge = match fit_of(list)? {
                Fit::OilProtrusion => &seals.protrusion_gauge,
                Fit::SpringHeight(_) => &seals.height_gauge,
                _ => &seals.gap_gauge,
            };
            gauge.as_deref()
        }
        _ => None,
    }
}

/// A build of the shop as a build file. Comments and spacing are not kept there; every value and
/// its order is. Of one that is half read the file says in its first lines what is not in it yet.
///
/// # Errors
/// Where there is no such build, or what is kept is no build file.
pub fn export(shop: &Shop, build: BuildId) -> Result<String, ShopError> {
    shop.build(build)?;
    let values: Vec<Placed> = shop
        .values(build)?
        .into_iter()
        .map(|line| Placed { place: line.place, value: line.value })
        .collect();
    match assemble(&values) {
        // Readings may come in any order, and a list may be half read.
        Err(PlacesError::OutOfOrder { .. }) => {
            let far = as_far(&values).map_err(|source| ShopError::Places { build, source })?;
            let said: String =
                far.left_out.iter().map(|what| format!("# not counted yet: {what}\n")).collect();
            Ok(format!("{said}{}", far.text))
        }
        whole => whole.map_err(|source| ShopError::Places { build, source }),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::build_file::generate::any_build;
    use crate::build_file::{amend, write};
    use proptest::prelude::*;
    use records::NewCalibration;
    use tempfile::TempDir;

    const BOAT: &str = include_str!("../../../../examples/sprint-boat.toml");
    const AIRCRAFT: &str = include_str!("../../../../examples/heron-aircraft.toml");
    const PUMP: &str = include_str!("../../../../examples/gannet-pump.toml");

    fn shop() -> (TempDir, Shop) {
        let folder = tempfile::tempdir().unwrap();
        let shop = Shop::create(&folder.path().join("shop.db")).unwrap();
        (folder, shop)
    }

    fn now() -> Moment {
        Moment::new("2026-11-28T09:30:00Z").unwrap()
    }

    #[test]
    fn a_build_comes_back_value_by_value_with_its_readings_as_readings() {
        let (_folder, shop) = shop();
        for (n, text) in [(1, BOAT), (2, AIRCRAFT), (3, PUMP)] {
            let brought = import(&shop, text, None, ("Ada", &now())).unwrap();
            assert_eq!(brought.build, BuildId(n));
            let back = export(&shop, brought.build).unwrap();
            assert!(read(&back).unwrap() == read(text).unwrap());
            let sorted = |text: &str| {
                let mut values: Vec<_> =
                    placed(text).unwrap().into_iter().map(|v| (v.place, v.value)).collect();
                values.sort();
                values
            };
            assert_eq!(sorted(&back), sorted(text));
        }
        // Of the pump: two times four lists of three and a mass, and three widths of its housing.
        let readings = shop.readings_of(BuildId(3)).unwrap();
        assert_eq!(readings.len(), 2 * (4 * 3 + 1) + 3);
        let mass = readings.iter().find(|r| r.station == "mass" && r.when == When::After).unwrap();
        assert_eq!(mass.value.value::<Mass>(), kernel::units::Quantity::parse("3607.9 g").ok());
        let warm = shop.readings_of(BuildId(2)).unwrap();
        assert!(warm.iter().any(|r| r.when == When::Before && r.temperature.is_some()));
        assert_eq!(shop.people().unwrap().len(), 1);
        shop.audit().unwrap();
    }

    #[test]
    fn over_an_open_build_only_what_changed_is_read_again() {
        let (_folder, shop) = shop();
        let build = import(&shop, BOAT, None, ("Ada", &now())).unwrap().build;
        let again = import(&shop, BOAT, None, ("Ben", &now())).unwrap_err();
        assert!(matches!(again, ShopError::SameName { build: BuildId(1), .. }), "{again}");
        let same = import(&shop, BOAT, Some(build), ("Ben", &now())).unwrap();
        assert_eq!(same.stored, records::Stored::default());
        let changed = amend(BOAT, "rotor.R-114.land_width.2", "79.923 mm").unwrap();
        let over = import(&shop, &changed, Some(build), ("Ben", &now())).unwrap();
        assert_eq!((over.stored.readings, over.stored.removed, over.exchanged), (1, 0, 0));
        let rotor = shop.part_of(PartKind::Rotor, "R-114").unwrap().unwrap().id;
        let at = shop.readings_at(rotor, Some(build), When::Before, "land_width.2").unwrap();
        let texts: Vec<_> = at.iter().map(|reading| reading.value.text()).collect();
        assert_eq!(texts, ["79.922 mm", "79.923 mm"]);
        assert!(export(&shop, build).unwrap().contains("79.923 mm"));
    }

    #[test]
    fn a_reading_has_the_gauge_that_its_file_names() {
        const IRRIGATION: &str = include_str!("../../../../examples/teal-pump.toml");
        let (_folder, shop) = shop();
        let as_bought = NewCalibration {
            day: None,
            due: None,
            repeat: Written::read::<Length>("2 um").unwrap(),
            zero: None,
            certificate: String::new(),
            person: None,
        };
        let [width, depth] = ["micrometer", "depth"]
            .map(|name| shop.add_gauge(name, "kept in the drawer", &as_bought).unwrap());
        let build = import(&shop, IRRIGATION, None, ("Ada", &now())).unwrap().build;
        for reading in shop.readings_of(build).unwrap() {
            let list = reading.station.split('.').next().unwrap();
            let named = match list {
                "width" | "land_width" | "tip_width" => Some(width),
                "gear_step" | "plain_step" => Some(depth),
                // The shop has no indicator, and the file names no scale.
                _ => None,
            };
            assert_eq!(reading.gauge, named, "{}", reading.station);
        }
        // The same file again: nothing is read anew.
        let over = import(&shop, IRRIGATION, Some(build), ("Ada", &now())).unwrap();
        assert_eq!(over.stored, records::Stored::default());
    }

    #[test]
    fn what_is_not_right_is_not_brought_in() {
        let (_folder, shop) = shop();
        let wrong = import(&shop, "format = 1", None, ("Ada", &now())).unwrap_err();
        assert!(matches!(wrong, ShopError::Problems(_)));
        assert!(shop.people().unwrap().is_empty());
        import(&shop, BOAT, None, ("Ada", &now())).unwrap();
        // The same rotors under another name: they are in an engine already.
        let other = amend(BOAT, "build.name", "Another boat").unwrap();
        let said = import(&shop, &other, None, ("Ada", &now())).unwrap_err().to_string();
        assert!(said.contains("is in build 1: take it out there first"), "{said}");
        assert!(shop.build(BuildId(2)).is_err());
        assert!(export(&shop, BuildId(9)).is_err());
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(24))]

        #[test]
        fn any_build_comes_back(build in any_build()) {
            let (_folder, shop) = shop();
            let text = write(&build);
            let id = import(&shop, &text, None, ("Ada", &now())).unwrap().build;
            prop_assert!(read(&export(&shop, id).unwrap()).unwrap() == build);
            shop.audit().unwrap();
        }
    }
}
