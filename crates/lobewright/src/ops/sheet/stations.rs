//! What is read on each kind of part, in the order in which it is read.

use crate::build_file::limits;
use crate::build_file::places;
use kernel::readings::TIPS;
use kernel::units::{Length, Mass, QuantityError, System};
use records::{PartKind, When, Written};

/// Widths that a rotor housing is read at, where nobody asks for more.
const USUAL_WIDTHS: usize = 3;
/// Lists of a rotor: their key, what a builder calls them, and whether a plan needs them.
const ROTOR: [(&str, &str, Asked, bool); 6] = [
    ("land_width", "land width", Asked::Width, true),
    ("gear_step", "gear-face step", Asked::Step, true),
    ("plain_step", "plain-face step", Asked::Step, true),
    ("tip_width", "tip width", Asked::Width, false),
    ("gear_runout", "gear-face run-out", Asked::Runout, false),
    ("plain_runout", "plain-face run-out", Asked::Runout, false),
];
/// Wear of a side housing: key, words.
const SIDE: [(&str, &str); 4] = [
    ("land_wear.front", "wear of the land's track, front face"),
    ("land_wear.rear", "wear of the land's track, rear face"),
    ("tip_wear.front", "wear of the tips' track, front face"),
    ("tip_wear.rear", "wear of the tips' track, rear face"),
];

/// The gaps of the apex seals to the side housings, both ends together.
pub(super) const APEX_ENDS: &str = "apex_end_clearance";

/// What kind of value is wanted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Asked {
    /// A width of a rotor or a housing.
    Width,
    /// A step, land less tip.
    Step,
    /// A run-out of a land against the bore.
    Runout,
    /// A depth of wear.
    Wear,
    /// A play or a gap when the engine goes together.
    Gap,
    /// A mass.
    Mass,
}

impl Asked {
    /// Units that a bare number may be taken in, the shop's usual one first.
    #[must_use]
    pub const fn units(self, first: System) -> &'static [&'static str] {
        match (self, first) {
            (Self::Width, System::Metric) => &["mm", "in"],
            (Self::Width, System::Inch) => &["in", "mm"],
            (Self::Mass, _) => &["g", "kg"],
            (_, System::Metric) => &["um", "mm", "thou", "in"],
            (_, System::Inch) => &["thou", "in", "um", "mm"],
        }
    }

    /// Reads a value as it was written.
    ///
    /// # Errors
    /// Where it is no such quantity, in the words of the quantity.
    pub fn read(self, text: &str) -> Result<Written, QuantityError> {
        match self {
            Self::Mass => Written::read::<Mass>(text),
            _ => Written::read::<Length>(text),
        }
    }

    /// How a value is outside what such a reading can be at all.
    #[must_use]
    pub fn broken_by(self, value: &Written) -> Option<String> {
        let length = |limit: &limits::Limit<Length>| {
            let how = limit.broken_by(value.value::<Length>()?)?;
            Some(format!("{} {how}; expected {}", value.text(), limit.expected()))
        };
        match self {
            Self::Width => length(&limits::WIDTH),
            Self::Step => length(&limits::STEP),
            Self::Runout => length(&limits::RUNOUT),
            Self::Wear => length(&limits::WEAR),
            Self::Gap => length(&limits::CLEARANCE),
            Self::Mass => {
                let how = limits::MASS.broken_by(value.value::<Mass>()?)?;
                Some(format!("{} {how}; expected {}", value.text(), limits::MASS.expected()))
            }
        }
    }
}

/// One reading that is taken of a part.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Station {
    /// As the record has it: `land_width.2`.
    pub name: String,
    /// The list it belongs to: `land_width`.
    pub list: String,
    /// Which of the list, from 1.
    pub number: Option<usize>,
    /// What a builder calls it: `land width at tip 2`.
    pub words: String,
    /// Its place in the build's file, if it has one.
    pub place: Option<String>,
    /// What kind of value it is.
    pub asked: Asked,
    /// Whether the plan needs it.
    pub needed: bool,
}

/// The stations of a part of a build. `have` are the stations that have a reading; `rotors` is how
/// many rotors the engine has.
#[must_use]
pub(in crate::ops) fn stations(
    kind: PartKind,
    serial: &str,
    when: When,
    have: &[&str],
    rotors: usize,
) -> Vec<Station> {
    match kind {
        PartKind::Rotor => rotor(serial, when),
        PartKind::RotorHousing if when == When::Before => housing(serial, have),
        PartKind::SideHousing if when == When::Before => side_housing(serial, have),
        PartKind::Shaft if when == When::After => {
            vec![fit("end_play".to_owned(), None, "end play of the shaft".to_owned())]
        }
        PartKind::SealsSet if when == When::After => seals(rotors),
        _ => Vec::new(),
    }
}

fn rotor(serial: &str, when: When) -> Vec<Station> {
    let place = |station: &[&str]| {
        let mut keys = vec!["rotor", serial];
        if when == When::After {
            keys.push("after");
        }
        keys.extend(station);
        Some(places::place(&keys))
    };
    let mut all: Vec<Station> = ROTOR
        .iter()
        .flat_map(|(list, words, asked, needed)| {
            (1..=TIPS).map(move |tip| {
                let number = tip.to_string();
                Station {
                    name: format!("{list}.{tip}"),
                    list: (*list).to_owned(),
                    number: Some(tip),
                    words: format!("{words} at tip {tip}"),
                    place: place(&[list, &number]),
                    asked: *asked,
                    needed: *needed,
                }
            })
        })
        .collect();
    all.push(Station {
        name: "mass".to_owned(),
        list: "mass".to_owned(),
        number: None,
        words: "mass of the rotor".to_owned(),
        place: place(&["mass"]),
        asked: Asked::Mass,
        needed: false,
    });
    all
}

fn housing(serial: &str, have: &[&str]) -> Vec<Station> {
    let read = have
        .iter()
        .filter_map(|name| name.strip_prefix("width.")?.parse::<usize>().ok())
        .max()
        .unwrap_or(0);
    // One more than there are, for whoever reads at more places.
    let count = (read + 1).clamp(USUAL_WIDTHS, crate::build_file::MOST_STATIONS);
    (1..=count)
        .map(|number| Station {
            name: format!("width.{number}"),
            list: "width".to_owned(),
            number: Some(number),
            words: format!("width at place {number}"),
            place: Some(places::place(&["housing", serial, "width", &number.to_string()])),
            asked: Asked::Width,
            needed: number <= USUAL_WIDTHS,
        })
        .collect()
}

fn side_housing(serial: &str, have: &[&str]) -> Vec<Station> {
    let station = |name: &str, words: String| {
        let (list, face) = name.split_once('.').map_or((name, None), |(l, f)| (l, Some(f)));
        let mut keys = vec!["side_housing", serial, list];
        keys.extend(face);
        Station {
            name: name.to_owned(),
            list: list.to_owned(),
            number: None,
            words,
            place: Some(places::place(&keys)),
            asked: Asked::Wear,
            needed: true,
        }
    };
    // A file that was brought in may say one depth for both faces.
    if have.contains(&"land_wear") || have.contains(&"tip_wear") {
        return [("land_wear", "land's"), ("tip_wear", "tips'")]
            .map(|(name, whose)| station(name, format!("wear of the {whose} track, both faces")))
            .to_vec();
    }
    SIDE.map(|(name, words)| station(name, words.to_owned())).to_vec()
}

fn seals(rotors: usize) -> Vec<Station> {
    let gaps = [
        (APEX_ENDS, "end clearance of the apex seals"),
        ("side_seal_gap", "gap of the side seals to the corner seals"),
        ("oil_seal_protrusion", "protrusion of the oil seals"),
    ];
    (1..=rotors)
        .flat_map(|rotor| {
            gaps.map(|(list, words)| {
                fit(format!("{list}.{rotor}"), Some(rotor), format!("{words}, rotor {rotor}"))
            })
        })
        .collect()
}

/// Something that is read when the engine goes together: it stands in the record alone.
fn fit(name: String, number: Option<usize>, words: String) -> Station {
    let list = name.split('.').next().unwrap_or("").to_owned();
    Station { list, number, words, place: None, asked: Asked::Gap, needed: true, name }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_rotor_is_read_tip_by_tip() {
        let all = stations(PartKind::Rotor, "R.1", When::After, &[], 2);
        assert_eq!(all.len(), 19);
        assert_eq!(all[1].place.as_deref(), Some("rotor.\"R.1\".after.land_width.2"));
        assert_eq!(all[4].words, "gear-face step at tip 2");
        assert_eq!(all.iter().filter(|station| station.needed).count(), 9);
        assert_eq!(all[18].asked, Asked::Mass);
    }

    #[test]
    fn a_housing_has_room_for_one_more() {
        let count =
            |have: &[&str]| stations(PartKind::RotorHousing, "H", When::Before, have, 1).len();
        assert_eq!(count(&[]), 3);
        assert_eq!(count(&["width.1", "width.2", "width.3"]), 4);
        assert_eq!(count(&["width.24"]), 24);
        assert!(stations(PartKind::RotorHousing, "H", When::After, &[], 1).is_empty());
    }

    #[test]
    fn a_value_that_can_be_none_is_told() {
        let value = Asked::Width.read("7.99 mm").unwrap();
        let said = Asked::Width.broken_by(&value).unwrap();
        assert!(said.starts_with("7.99 mm is less than 20 mm; expected a width"), "{said}");
        assert!(Asked::Step.broken_by(&Asked::Step.read("95 um").unwrap()).is_none());
        assert!(Asked::Mass.read("4 mm").is_err());
    }
}
