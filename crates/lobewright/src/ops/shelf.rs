//! Readings of a part that no build has: where they can be taken, and within which limits they
//! can be at all.

use super::condition::card_part;
use super::gauges::gauge_for_reading;
use super::sheet::{self, Asked};
use crate::build_file::known::measured;
use crate::build_file::limits::{self, Limit, speed};
use crate::build_file::{MOST_ROTORS, MOST_STATIONS};
use kernel::condition::{Counts, Item, Sort};
use kernel::units::{Force, Length, Mass, Temperature};
use records::{
    GaugeId, Moment, NewReading, PartId, PartKind, PersonId, ReadingId, RecordsError, Shop, When,
    Written,
};

/// Main journals of a shaft: one more than rotors.
const MOST_MAINS: usize = MOST_ROTORS + 1;

/// A place on a part that is read.
#[derive(Debug, Clone)]
pub struct Station {
    /// As a reading has it: `land_width.2`.
    pub station: String,
    /// In words: `land width at tip 2`.
    pub called: String,
    of: Of,
}

#[derive(Debug, Clone, Copy)]
enum Of {
    Length(&'static Limit<Length>),
    Mass(&'static Limit<Mass>),
    Force(&'static Limit<Force>),
}

fn size(station: &str, called: &str, limit: &'static Limit<Length>) -> Station {
    Station { station: station.to_owned(), called: called.to_owned(), of: Of::Length(limit) }
}

/// Some of a kind, counted from 1.
fn list(key: &str, called: &str, count: usize, limit: &'static Limit<Length>) -> Vec<Station> {
    (1..=count).map(|n| size(&format!("{key}.{n}"), &format!("{called} {n}"), limit)).collect()
}

const fn of(asked: Asked) -> Of {
    match asked {
        Asked::Width => Of::Length(&limits::WIDTH),
        Asked::Step => Of::Length(&limits::STEP),
        Asked::Runout => Of::Length(&limits::RUNOUT),
        Asked::Wear => Of::Length(&limits::WEAR),
        Asked::Gap => Of::Length(&limits::CLEARANCE),
        Asked::Mass => Of::Mass(&limits::MASS),
        Asked::ShaftRunout => Of::Length(&limits::assembly::SHAFT_RUNOUT),
        Asked::Spacer => Of::Length(&limits::assembly::SPACER),
        Asked::SpringHeight => Of::Length(&limits::assembly::SPRING_HEIGHT),
        Asked::SpringLoad => Of::Force(&limits::assembly::SPRING_LOAD),
        Asked::UsedSize => Of::Length(&limits::condition::SIZE),
        // Words are of builds alone.
        Asked::UsedSmall | Asked::Seen(_) => Of::Length(&limits::condition::SMALL),
    }
}

/// What a build reads of a part of this kind.
fn of_builds(kind: PartKind, when: When) -> Vec<Station> {
    let last = format!("width.{MOST_STATIONS}");
    sheet::stations(kind, "", when, &[&last], &sheet::Goes::everything(MOST_ROTORS))
        .into_iter()
        .map(|known| Station { station: known.name, called: known.words, of: of(known.asked) })
        .collect()
}

/// Where a part of this kind is read, in the order of its page.
#[must_use]
pub fn stations(kind: PartKind) -> Vec<Station> {
    let mut all = of_builds(kind, When::Before);
    match kind {
        PartKind::Rotor | PartKind::RotorHousing => {}
        PartKind::StationaryGear | PartKind::Bearing => all.extend(of_card(kind)),
        PartKind::SideHousing => {
            all.push(size("central_bore", "radius of the central bore", &limits::CENTRAL_BORE));
        }
        PartKind::Shaft => {
            let journal = &speed::BEARING_DIAMETER;
            all.extend(list("main_journal", "diameter of main journal", MOST_MAINS, journal));
            all.extend(list("rotor_journal", "diameter of rotor journal", MOST_ROTORS, journal));
            all.extend(list("runout", "run-out of main journal", MOST_MAINS, &limits::RUNOUT));
            let mass = Of::Mass(&speed::WEIGHT_MASS);
            all.push(Station {
                station: "mass".into(),
                called: "mass of the shaft".into(),
                of: mass,
            });
        }
        PartKind::SealsSet => all.extend([
            size("apex.length", "length of the apex seals", &limits::SEAL_LENGTH),
            size("apex.height", "height of the apex seals", &limits::SEAL_HEIGHT),
            size("corner.height", "height of the corner seals", &limits::SEAL_HEIGHT),
            size("side.height", "height of the side seals", &limits::SEAL_HEIGHT),
            size("oil.height", "height of the oil seals", &limits::SEAL_HEIGHT),
            size("oil.protrusion", "protrusion of the oil seals", &limits::PROTRUSION),
        ]),
    }
    all
}

/// What is read for a part's card with a gauge.
fn of_card(kind: PartKind) -> Vec<Station> {
    let counts = Counts { rotors: 1, mains: 2 };
    let mut all = Vec::new();
    for item in Item::of(card_part(kind)) {
        let limit = match item.sort {
            Sort::Size => &limits::condition::SIZE,
            Sort::Small => &limits::condition::SMALL,
            Sort::Load | Sort::Look(_) => continue,
        };
        for (name, words) in item.stations(counts) {
            let place = if words.is_empty() { String::new() } else { format!(", {words}") };
            all.push(size(&name, &format!("{}{place}", item.name), limit));
        }
    }
    all
}

/// What a station is called; one that no list has, as it stands.
#[must_use]
pub fn station_in_words(kind: PartKind, station: &str) -> String {
    let mut known = stations(kind).into_iter().chain(of_builds(kind, When::After));
    let known = known.find(|known| known.station == station);
    let of_card = || {
        let counts = Counts { rotors: MOST_ROTORS, mains: MOST_MAINS };
        Item::of(card_part(kind)).find_map(|item| {
            let (_, words) = item.stations(counts).into_iter().find(|(name, _)| name == station)?;
            let place = if words.is_empty() { words } else { format!(", {words}") };
            Some(format!("{}{place}", item.name))
        })
    };
    known.map(|known| known.called).or_else(of_card).unwrap_or_else(|| station.replace('_', " "))
}

/// A reading as it is typed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct TypedReading<'a> {
    /// Of which part.
    pub part: PartId,
    /// Where on it.
    pub station: &'a str,
    /// With its unit.
    pub value: &'a str,
    /// With which gauge.
    pub gauge: Option<GaugeId>,
    /// How warm the part was, with its unit, or nothing.
    pub temperature: &'a str,
    /// The last reading of the part that was there when it was looked at; 0 if there was none.
    pub seen: ReadingId,
}

/// Takes a reading of a part on the shelf. One that stands at the station is superseded, if it
/// was there when the part was looked at.
///
/// # Errors
/// What cannot be read or be right, with the cure; where a build has the part, the gauge may not
/// be used, or somebody else was faster.
pub fn read_on_shelf(
    shop: &Shop,
    typed: &TypedReading<'_>,
    (person, at): (PersonId, &Moment),
) -> Result<ReadingId, RecordsError> {
    let refused = |why: String| RecordsError::Refused { why };
    let history = shop.part_history(typed.part)?;
    if let Some((fitted, name)) = history.fitted.iter().find(|(fitted, _)| fitted.out.is_none()) {
        let build = fitted.build;
        return Err(refused(format!("the part is in build {build}, {name:?}; enter it there")));
    }
    let kind = history.part.kind;
    let station = stations(kind).into_iter().find(|known| known.station == typed.station);
    let station = station
        .ok_or_else(|| refused(format!("a {kind} has no station {:?}; take one", typed.station)))?;
    let value = match station.of {
        Of::Length(limit) => measured(typed.value, limit)
            .and_then(|_| Written::read::<Length>(typed.value).map_err(|e| e.to_string())),
        Of::Mass(limit) => measured(typed.value, limit)
            .and_then(|_| Written::read::<Mass>(typed.value).map_err(|e| e.to_string())),
        Of::Force(limit) => measured(typed.value, limit)
            .and_then(|_| Written::read::<Force>(typed.value).map_err(|e| e.to_string())),
    };
    let value = value.map_err(|why| refused(format!("{}: {why}", station.called)))?;
    let temperature = match typed.temperature {
        "" => None,
        text => Some(
            measured(text, &limits::TEMPERATURE)
                .and_then(|_| Written::read::<Temperature>(text).map_err(|e| e.to_string()))
                .map_err(|why| refused(format!("temperature of the part: {why}")))?,
        ),
    };
    if let Some(gauge) = typed.gauge {
        gauge_for_reading(shop, gauge, &at.day())?;
    }
    let expected = shop
        .readings_at(typed.part, None, When::Before, typed.station)?
        .into_iter()
        .map(|reading| reading.id)
        .rfind(|id| *id <= typed.seen);
    shop.add_reading(&NewReading {
        part: typed.part,
        build: None,
        when: When::Before,
        station: typed.station,
        value: &value,
        gauge: typed.gauge,
        person,
        at,
        temperature: temperature.as_ref(),
        expected,
        sent_as: None,
        place: None,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_reading_supersedes_the_one_that_was_seen() {
        let folder = tempfile::tempdir().unwrap();
        let shop = Shop::create(&folder.path().join("shop.db")).unwrap();
        let ada = shop.add_person("Ada", "owner").unwrap();
        let at = Moment::new("2026-11-28T09:30:00Z").unwrap();
        let part = shop.add_part(PartKind::Rotor, "R-1", (ada, &at)).unwrap();
        let typed = TypedReading {
            part,
            station: "land_width.2",
            value: "79.915 mm",
            gauge: None,
            temperature: "22 degC",
            seen: ReadingId(0),
        };
        let first = read_on_shelf(&shop, &typed, (ada, &at)).unwrap();
        // Somebody who looked before the first one was there.
        let blind = TypedReading { value: "79.925 mm", ..typed };
        let said = read_on_shelf(&shop, &blind, (ada, &at)).unwrap_err();
        assert!(matches!(said, RecordsError::Conflict(_)), "{said}");
        let second =
            read_on_shelf(&shop, &TypedReading { seen: first, ..blind }, (ada, &at)).unwrap();
        assert_eq!(shop.reading(second).unwrap().supersedes, Some(first));
        for (wrong, why) in [
            (TypedReading { value: "79.915", ..typed }, "has no unit"),
            (TypedReading { value: "7.9 mm", ..typed }, "less than 20 mm"),
            (TypedReading { station: "width.1", ..typed }, "no station"),
            (TypedReading { temperature: "22", ..typed }, "temperature of the part"),
        ] {
            let said = read_on_shelf(&shop, &wrong, (ada, &at)).unwrap_err().to_string();
            assert!(said.contains(why), "{said}");
        }
        assert_eq!(shop.part_history(part).unwrap().readings.len(), 2);
    }

    #[test]
    fn stations_have_words_and_are_told_apart() {
        for kind in PartKind::ALL {
            let all = stations(*kind);
            assert!(!all.is_empty());
            for (i, station) in all.iter().enumerate() {
                assert!(all[..i].iter().all(|before| before.station != station.station));
                assert_eq!(station_in_words(*kind, &station.station), station.called);
            }
        }
        assert_eq!(station_in_words(PartKind::Rotor, "land_width.2"), "land width at tip 2");
        assert_eq!(station_in_words(PartKind::Shaft, "end_play"), "end play of the shaft");
        assert_eq!(station_in_words(PartKind::Rotor, "own_thing"), "own thing");
    }
}
