//! Readings of a part that no build has: where they can be taken, and within which limits they
//! can be at all.

use super::gauges::gauge_for_reading;
use crate::build_file::MOST_STATIONS;
use crate::build_file::known::measured;
use crate::build_file::limits::{self, Limit, speed};
use kernel::readings::TIPS;
use kernel::units::{Length, Mass, Temperature};
use records::{
    GaugeId, Moment, NewReading, PartId, PartKind, PersonId, ReadingId, RecordsError, Shop, When,
    Written,
};

/// A place on a part that is read.
#[derive(Debug, Clone)]
pub struct Station {
    /// As a reading has it: `land_width.2`.
    pub station: String,
    /// In words: `land width, tip 2`.
    pub called: String,
    of: Of,
}

#[derive(Debug, Clone, Copy)]
enum Of {
    Length(&'static Limit<Length>),
    Mass(&'static Limit<Mass>),
}

fn one(station: &str, called: &str, of: Of) -> Station {
    Station { station: station.to_owned(), called: called.to_owned(), of }
}

/// A list of them, counted from 1.
fn list(key: &str, each: &str, count: usize, limit: &'static Limit<Length>) -> Vec<Station> {
    (1..=count)
        .map(|n| Station {
            station: format!("{key}.{n}"),
            called: format!("{}, {each} {n}", key.replace('_', " ")),
            of: Of::Length(limit),
        })
        .collect()
}

/// Where a part of this kind is read, in the order of its page.
#[must_use]
pub fn stations(kind: PartKind) -> Vec<Station> {
    let mass = |limit| one("mass", "mass", Of::Mass(limit));
    let size = |station: &str, called: &str, limit| one(station, called, Of::Length(limit));
    match kind {
        PartKind::Rotor => {
            let lists: [(&str, &'static Limit<Length>); 6] = [
                ("land_width", &limits::WIDTH),
                ("gear_step", &limits::STEP),
                ("plain_step", &limits::STEP),
                ("tip_width", &limits::WIDTH),
                ("gear_runout", &limits::RUNOUT),
                ("plain_runout", &limits::RUNOUT),
            ];
            let mut all: Vec<Station> =
                lists.iter().flat_map(|(key, limit)| list(key, "tip", TIPS, limit)).collect();
            all.push(mass(&limits::MASS));
            all
        }
        PartKind::RotorHousing => list("width", "station", MOST_STATIONS, &limits::WIDTH),
        PartKind::SideHousing => vec![
            size("land_wear.front", "wear under the land, front side", &limits::WEAR),
            size("land_wear.rear", "wear under the land, rear side", &limits::WEAR),
            size("tip_wear.front", "wear under the tips, front side", &limits::WEAR),
            size("tip_wear.rear", "wear under the tips, rear side", &limits::WEAR),
            size("central_bore", "central bore, radius", &limits::CENTRAL_BORE),
        ],
        PartKind::Shaft => {
            let journal = &speed::BEARING_DIAMETER;
            let mut all = list("main_journal", "diameter", 4, journal);
            all.extend(list("rotor_journal", "diameter", 6, journal));
            all.extend(list("runout", "main journal", 4, &limits::RUNOUT));
            all.push(mass(&speed::WEIGHT_MASS));
            all
        }
        PartKind::SealsSet => vec![
            size("apex.length", "apex seal, length", &limits::SEAL_LENGTH),
            size("apex.height", "apex seal, height", &limits::SEAL_HEIGHT),
            size("corner.height", "corner seal, height", &limits::SEAL_HEIGHT),
            size("side.height", "side seal, height", &limits::SEAL_HEIGHT),
            size("oil.height", "oil seal, height", &limits::SEAL_HEIGHT),
            size("oil.protrusion", "oil seal, protrusion", &limits::PROTRUSION),
        ],
    }
}

/// What a station is called; one that no list has, as it stands.
#[must_use]
pub fn station_in_words(kind: PartKind, station: &str) -> String {
    let known = stations(kind).into_iter().find(|known| known.station == station);
    known.map_or_else(|| station.replace('_', " "), |known| known.called)
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
        assert_eq!(station_in_words(PartKind::Rotor, "land_width.2"), "land width, tip 2");
        assert_eq!(station_in_words(PartKind::Rotor, "own_thing"), "own thing");
    }
}
