//! What is read on each kind of part, in the order in which it is read.

use crate::build_file::limits;
use crate::build_file::model::assembly::{Fit, Spring};
use crate::build_file::places;
use crate::ops::assembly::{fit_words, load_words, of_number};
use crate::ops::inputs::mains;
use kernel::condition::{Counts, Item};
use kernel::readings::TIPS;
use kernel::units::{Force, Length, Mass, QuantityError, System};
use records::{PartKind, When, Written};
use std::collections::BTreeSet;

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

/// What is read on every set of seals, whoever asks for it.
const SEALS_ALWAYS: [Fit; 3] = [Fit::ApexEnds, Fit::SideGap, Fit::OilProtrusion];
/// What may be read on every set of seals.
const SEALS_MAY: [Fit; 2] = [Fit::ApexGroove, Fit::CornerBore];
/// The spacer that is in when the end play is read.
pub(super) const SPACER: &str = "spacer";

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
    /// A run-out of the shaft.
    ShaftRunout,
    /// A thickness of a spacer.
    Spacer,
    /// A height of a spring without load.
    SpringHeight,
    /// A load of a spring.
    SpringLoad,
    /// A wear, gap or run-out of a used part.
    UsedSmall,
    /// A size of a used part.
    UsedSize,
    /// What is seen on a used part: one of these words.
    Seen(&'static [&'static str]),
}

impl Asked {
    /// All of them that are read with a gauge.
    pub const ALL: [Self; 12] = [
        Self::Width,
        Self::Step,
        Self::Runout,
        Self::Wear,
        Self::Gap,
        Self::Mass,
        Self::ShaftRunout,
        Self::Spacer,
        Self::SpringHeight,
        Self::SpringLoad,
        Self::UsedSmall,
        Self::UsedSize,
    ];
}

impl Asked {
    /// Units that a bare number may be taken in, the shop's usual one first.
    #[must_use]
    pub const fn units(self, first: System) -> &'static [&'static str] {
        match (self, first) {
            (Self::Width | Self::Spacer | Self::SpringHeight | Self::UsedSize, System::Metric) => {
                &["mm", "in"]
            }
            (Self::Width | Self::Spacer | Self::SpringHeight | Self::UsedSize, System::Inch) => {
                &["in", "mm"]
            }
            (Self::Seen(_), _) => &[],
            (Self::SpringLoad, System::Metric) => &["N", "lbf", "kgf"],
            (Self::SpringLoad, System::Inch) => &["lbf", "N", "kgf"],
            (Self::Mass, _) => &["g", "kg"],
            (_, System::Metric) => &["um", "mm", "thou", "in"],
            (_, System::Inch) => &["thou", "in", "um", "mm"],
        }
    }

    /// Reads a value as it was written.
    ///
    /// # Errors
    /// Where it is no such quantity, in the words of the quantity, or none of the words.
    pub fn read(self, text: &str) -> Result<Written, String> {
        let told = |error: QuantityError| error.to_string();
        match self {
            Self::Mass => Written::read::<Mass>(text).map_err(told),
            Self::SpringLoad => Written::read::<Force>(text).map_err(told),
            Self::Seen(words) => words
                .iter()
                .find(|word| word.eq_ignore_ascii_case(text.trim()))
                .map(|word| Written::seen(word))
                .ok_or_else(|| format!("{text:?} is none of {}", words.join(", "))),
            _ => Written::read::<Length>(text).map_err(told),
        }
    }

    /// The words that it is one of, where it is seen and not read.
    #[must_use]
    pub const fn words(self) -> &'static [&'static str] {
        match self {
            Self::Seen(words) => words,
            _ => &[],
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
            Self::ShaftRunout => length(&limits::assembly::SHAFT_RUNOUT),
            Self::UsedSmall => length(&limits::condition::SMALL),
            Self::UsedSize => length(&limits::condition::SIZE),
            Self::Seen(_) => None,
            Self::Spacer => length(&limits::assembly::SPACER),
            Self::SpringHeight => length(&limits::assembly::SPRING_HEIGHT),
            Self::SpringLoad => {
                let limit = &limits::assembly::SPRING_LOAD;
                let how = limit.broken_by(value.value::<Force>()?)?;
                Some(format!("{} {how}; expected {}", value.text(), limit.expected()))
            }
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

/// What a build's file says about what is read when the engine goes together.
#[derive(Debug, Clone, Default)]
pub(in crate::ops) struct Goes {
    /// How many rotors the engine has; 0 where that is not said.
    rotors: usize,
    /// How many main bearings.
    mains: usize,
    /// Keys of `[assembly]` that something is said at.
    asked: BTreeSet<String>,
    /// Places of serials: a shaft or a set of seals that the file knows.
    known: BTreeSet<String>,
    /// Items of used parts that something is said at: `rotor.crack_test`.
    items: BTreeSet<String>,
}

impl Goes {
    /// From the lines of a file: each a place and its value.
    pub(in crate::ops) fn of<'l>(lines: impl Iterator<Item = (&'l str, &'l str)>) -> Self {
        let mut all = Self::default();
        for (place, value) in lines {
            if let Some(rest) = place.strip_prefix("assembly.") {
                all.asked.insert(rest.split('.').next().unwrap_or(rest).to_owned());
            } else if let Some(rest) = place.strip_prefix("condition.") {
                all.items.insert(rest.split('.').take(2).collect::<Vec<_>>().join("."));
            } else if let Some(rest) = place.strip_prefix("shaft.main.") {
                let number = rest.split('.').next().and_then(|n| n.parse().ok());
                all.mains = all.mains.max(number.unwrap_or(0));
            } else if place.starts_with("assembled.") && place.ends_with(".serial") {
                all.known.insert(place.to_owned());
            } else if let Some(rest) = place.strip_prefix("inspected.") {
                // What has a card in the file is known to it.
                all.known.extend(carded(rest));
            } else if place == "engine.rotors" {
                all.rotors = value.parse().unwrap_or(0);
            }
        }
        all
    }

    /// Of an engine of so many rotors that asks for everything.
    pub(in crate::ops) fn everything(rotors: usize) -> Self {
        let fits = Fit::ALL.map(Fit::key).into_iter().chain(Spring::ALL.map(Spring::load));
        let asked = fits.chain(["spacers"]).map(str::to_owned).collect();
        Self { rotors, mains: rotors + 1, asked, ..Self::default() }
    }

    /// Whether the engine's record says what an item of a used part may be like.
    pub(super) fn limits(&self, item: &Item) -> bool {
        self.items.contains(&format!("{}.{}", item.part.key(), item.key))
    }

    /// How many there are of what is counted from the front.
    pub(super) fn counts(&self) -> Counts {
        Counts { rotors: self.rotors(), mains: mains(self.mains).max(self.rotors() + 1) }
    }

    fn asks(&self, key: &str) -> bool {
        self.asked.contains(key)
    }

    fn rotors(&self) -> usize {
        self.rotors.max(1)
    }
}

/// The place that stands for a part that has a card, by a place below `inspected`.
fn carded(rest: &str) -> Option<String> {
    let keys = toml_edit::Key::parse(rest).ok()?;
    let [table, serial] = [keys.first()?.get(), keys.get(1)?.get()];
    matches!(table, "shaft" | "seals").then(|| assembled(table, serial, &["serial"]))
}

/// The place of a shaft's or a set of seals' table in a file.
fn assembled<'k>(table: &'k str, serial: &'k str, keys: &[&'k str]) -> String {
    places::place(&[&["assembled", table, serial], keys].concat())
}

/// The table of a file in which a shaft or a set of seals stands.
pub(in crate::ops) const fn assembled_table(kind: PartKind) -> Option<&'static str> {
    match kind {
        PartKind::Shaft => Some("shaft"),
        PartKind::SealsSet => Some("seals"),
        PartKind::Rotor
        | PartKind::RotorHousing
        | PartKind::SideHousing
        | PartKind::StationaryGear
        | PartKind::Bearing => None,
    }
}

/// The stations of a part of a build. `have` are the stations that have a reading; `goes` is what
/// the build's file says about its assembly.
#[must_use]
pub(in crate::ops) fn stations(
    kind: PartKind,
    serial: &str,
    when: When,
    have: &[&str],
    goes: &Goes,
) -> Vec<Station> {
    match kind {
        PartKind::Rotor => rotor(serial, when),
        PartKind::RotorHousing if when == When::Before => housing(serial, have),
        PartKind::SideHousing if when == When::Before => side_housing(serial, have),
        PartKind::Shaft if when == When::After => shaft(serial, have, goes),
        PartKind::SealsSet if when == When::After => seals(serial, have, goes),
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

/// What kind of value a length is that is read when the engine goes together.
const fn asked_of(fit: Fit) -> Asked {
    match fit {
        Fit::ShaftRunout => Asked::ShaftRunout,
        Fit::SpringHeight(_) => Asked::SpringHeight,
        _ => Asked::Gap,
    }
}

/// One that is read when the engine goes together. Where the file knows the part it has a place
/// there; of a part that was entered before files had them, it stands in the record alone.
struct AtAssembly<'a> {
    list: &'a str,
    number: Option<usize>,
    words: String,
    asked: Asked,
    needed: bool,
    /// Its place below the part's table.
    keys: &'a [&'a str],
}

fn at_assembly(table: &str, serial: &str, goes: &Goes, of: AtAssembly<'_>) -> Station {
    let known = goes.known.contains(&assembled(table, serial, &["serial"]));
    Station {
        name: of.number.map_or_else(|| of.list.to_owned(), |n| format!("{}.{n}", of.list)),
        list: of.list.to_owned(),
        number: of.number,
        words: of.words,
        place: known.then(|| assembled(table, serial, of.keys)),
        asked: of.asked,
        needed: of.needed,
    }
}

fn shaft(serial: &str, have: &[&str], goes: &Goes) -> Vec<Station> {
    let one = |of: AtAssembly<'_>| at_assembly("shaft", serial, goes, of);
    let plain = |fit: Fit, needed: bool| {
        one(AtAssembly {
            list: fit.key(),
            number: None,
            words: fit_words(fit),
            asked: asked_of(fit),
            needed,
            keys: &[fit.key()],
        })
    };
    let bearings = |fit: Fit, table: &str, count: usize| {
        let read = have.iter().filter_map(|name| {
            name.strip_prefix(fit.key())?.strip_prefix('.')?.parse::<usize>().ok()
        });
        (1..=read.fold(count, usize::max))
            .map(|number| {
                one(AtAssembly {
                    list: fit.key(),
                    number: Some(number),
                    words: of_number(&fit_words(fit), Some(fit), Some(number)),
                    asked: asked_of(fit),
                    needed: goes.asks(fit.key()) && number <= count,
                    keys: &[table, &number.to_string(), "clearance"],
                })
            })
            .collect::<Vec<_>>()
    };
    let mut all = vec![plain(Fit::ShaftRunout, goes.asks(Fit::ShaftRunout.key()))];
    all.extend(bearings(Fit::MainBearing, "main", mains(goes.mains)));
    all.extend(bearings(Fit::RotorBearing, "rotor", goes.rotors()));
    all.push(plain(Fit::EndPlay, true));
    if goes.asks("spacers") || have.contains(&SPACER) {
        all.push(one(AtAssembly {
            list: SPACER,
            number: None,
            words: "thickness of the spacer that is in".to_owned(),
            asked: Asked::Spacer,
            needed: false,
            keys: &[SPACER],
        }));
    }
    needed_first(all)
}

/// What may be read comes after what must be, each in its order: nobody is asked for what the
/// engine does not need before what it needs.
fn needed_first(mut all: Vec<Station>) -> Vec<Station> {
    all.sort_by_key(|station| !station.needed);
    all
}

fn seals(serial: &str, have: &[&str], goes: &Goes) -> Vec<Station> {
    let mut all = Vec::new();
    for rotor in 1..=goes.rotors() {
        let number = rotor.to_string();
        let mut one = |list: &str, words: &str, asked: Asked, needed: bool| {
            all.push(at_assembly(
                "seals",
                serial,
                goes,
                AtAssembly {
                    list,
                    number: Some(rotor),
                    words: of_number(words, None, Some(rotor)),
                    asked,
                    needed,
                    keys: &["rotor", &number, list],
                },
            ));
        };
        let has = |key: &str| goes.asks(key) || have.contains(&format!("{key}.{rotor}").as_str());
        for fit in SEALS_ALWAYS.into_iter().chain(SEALS_MAY) {
            let needed = SEALS_ALWAYS.contains(&fit) || goes.asks(fit.key());
            one(fit.key(), &fit_words(fit), asked_of(fit), needed);
        }
        // Springs where somebody asks for them: most shops look at none.
        for spring in Spring::ALL {
            if has(spring.load()) {
                let needed = goes.asks(spring.load());
                one(spring.load(), &load_words(spring), Asked::SpringLoad, needed);
            }
            let height = Fit::SpringHeight(spring);
            if has(height.key()) {
                one(height.key(), &fit_words(height), asked_of(height), goes.asks(height.key()));
            }
        }
    }
    needed_first(all)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_rotor_is_read_tip_by_tip() {
        let all = stations(PartKind::Rotor, "R.1", When::After, &[], &Goes::default());
        assert_eq!(all.len(), 19);
        assert_eq!(all[1].place.as_deref(), Some("rotor.\"R.1\".after.land_width.2"));
        assert_eq!(all[4].words, "gear-face step at tip 2");
        assert_eq!(all.iter().filter(|station| station.needed).count(), 9);
        assert_eq!(all[18].asked, Asked::Mass);
    }

    fn of(kind: PartKind, when: When, have: &[&str]) -> Vec<Station> {
        stations(kind, "H", when, have, &Goes::default())
    }

    #[test]
    fn what_is_read_at_assembly_is_what_the_record_asks() {
        let names = |all: &[Station], needed: bool| -> Vec<String> {
            all.iter().filter(|s| s.needed || !needed).map(|s| s.name.clone()).collect()
        };
        let lines = [
            ("engine.rotors", "2"),
            ("assembly.end_play.least", "\"40 um\""),
            ("assembly.main_bearing_clearance.most", "\"80 um\""),
            ("assembly.oil_spring_load.least", "\"50 N\""),
            ("assembly.spacers.1", "\"5.9 mm\""),
            ("shaft.main.1.at", "\"75 mm\""),
            ("shaft.main.3.at", "\"301 mm\""),
            ("assembled.shaft.\"E.5\".serial", "\"E.5\""),
        ];
        let goes = Goes::of(lines.into_iter());
        let shaft = stations(PartKind::Shaft, "E.5", When::After, &[], &goes);
        assert_eq!(
            names(&shaft, true),
            [
                "main_bearing_clearance.1",
                "main_bearing_clearance.2",
                "main_bearing_clearance.3",
                "end_play"
            ]
        );
        assert_eq!(shaft.len(), 1 + 3 + 2 + 1 + 1);
        let main = shaft.iter().find(|s| s.name == "main_bearing_clearance.2").unwrap();
        assert_eq!(main.place.as_deref(), Some("assembled.shaft.\"E.5\".main.2.clearance"));
        assert_eq!(main.words, "clearance of the main bearing 2");
        let seals = stations(PartKind::SealsSet, "SS-1", When::After, &[], &goes);
        // The file does not know that set: it was entered before files did.
        assert!(seals.iter().all(|station| station.place.is_none()));
        assert_eq!(seals.len(), 2 * (3 + 2 + 1));
        assert_eq!(names(&seals, true).len(), 2 * (3 + 1));
        assert_eq!(seals[0].words, "end clearance of the apex seals, rotor 1");
        // Where nobody asks, it is what was always read; a reading that is there keeps its station.
        let plain = of(PartKind::Shaft, When::After, &[SPACER]);
        assert_eq!(names(&plain, true), ["end_play"]);
        assert_eq!(plain.last().unwrap().asked, Asked::Spacer);
        let old = of(PartKind::SealsSet, When::After, &["apex_spring_load.1"]);
        assert_eq!(old.len(), 3 + 2 + 1);
    }

    #[test]
    fn a_housing_has_room_for_one_more() {
        let count = |have: &[&str]| of(PartKind::RotorHousing, When::Before, have).len();
        assert_eq!(count(&[]), 3);
        assert_eq!(count(&["width.1", "width.2", "width.3"]), 4);
        assert_eq!(count(&["width.24"]), 24);
        assert!(of(PartKind::RotorHousing, When::After, &[]).is_empty());
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
