//! What is looked at on each kind of part, and where (common practice, no source). One row for
//! each item; the rows feed the build file's keys, the stations of the bench and the cards.

use crate::readings::TIPS;

/// Places around a bore at which its plating and its wear are looked at.
pub const AROUND: usize = 8;

/// A kind of part that has a card.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Part {
    /// A rotor housing.
    RotorHousing,
    /// A side housing.
    SideHousing,
    /// A rotor.
    Rotor,
    /// An eccentric shaft.
    Shaft,
    /// A stationary gear with the main bearing in it.
    StationaryGear,
    /// A rotor bearing.
    Bearing,
    /// The seals of an engine.
    Seals,
}

impl Part {
    /// All of them, in the order in which an engine is laid out.
    pub const ALL: [Self; 7] = [
        Self::RotorHousing,
        Self::SideHousing,
        Self::Rotor,
        Self::Shaft,
        Self::StationaryGear,
        Self::Bearing,
        Self::Seals,
    ];

    /// Its key in a build file.
    #[must_use]
    pub const fn key(self) -> &'static str {
        match self {
            Self::RotorHousing => "rotor_housing",
            Self::SideHousing => "side_housing",
            Self::Rotor => "rotor",
            Self::Shaft => "shaft",
            Self::StationaryGear => "stationary_gear",
            Self::Bearing => "bearing",
            Self::Seals => "seals",
        }
    }

    /// What a builder calls it.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::RotorHousing => "rotor housing",
            Self::SideHousing => "side housing",
            Self::Rotor => "rotor",
            Self::Shaft => "eccentric shaft",
            Self::StationaryGear => "stationary gear",
            Self::Bearing => "rotor bearing",
            Self::Seals => "set of seals",
        }
    }
}

/// What is found at an item.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sort {
    /// A gap, a wear, a run-out: a length of micrometres.
    Small,
    /// A size: a length of millimetres.
    Size,
    /// A load of a spring.
    Load,
    /// What is seen: one of these words, the best first.
    Look(&'static [&'static str]),
}

/// Where readings of an item are taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Place {
    /// Once.
    Once,
    /// At [`AROUND`] places around the bore.
    Around,
    /// On the front and on the rear face.
    Walls,
    /// On both faces at each tip.
    FaceTips,
    /// On both faces at each flank.
    FaceFlanks,
    /// At each tip at both ends and in the middle of its groove.
    AlongGrooves,
    /// In line with tip 1 of a rotor, the dowel of a stationary gear or the mark of a bearing, and across
    /// that.
    Crosswise,
    /// At each main bearing from the front.
    Mains,
    /// At each rotor from the front.
    Rotors,
    /// At each tip of each rotor.
    RotorTips,
}

/// How an item follows from the readings of another one.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Derived {
    /// The greatest less the least of all.
    OfAll,
    /// The greatest less the least along each groove.
    OfEachGroove,
}

/// Where an item's figures come from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Taken {
    /// They are read for the card.
    Read(Place),
    /// They are read for the plan, under the same key.
    Plan,
    /// They follow from the readings of the item of this key.
    Spread(&'static str, Derived),
}

/// One thing that is looked at on a part.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Item {
    /// Of which kind of part.
    pub part: Part,
    /// Its key, of which there is one for a kind of part.
    pub key: &'static str,
    /// What a builder calls it.
    pub name: &'static str,
    /// What is found.
    pub sort: Sort,
    /// Where its figures come from.
    pub taken: Taken,
}

/// How many there are of what is counted from the front.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Counts {
    /// Rotors.
    pub rotors: usize,
    /// Main bearings.
    pub mains: usize,
}

/// States of a plating.
pub const PLATING: &[&str] =
    &["sound", "polished", "stained", "scored", "pitted", "chipped", "flaking", "worn through"];
/// States of edges of ports and plug holes.
pub const EDGES: &[&str] = &["sound", "burred", "chipped", "cracked"];
/// States of teeth and of how a gear is held.
pub const GEAR_TEETH: &[&str] = &["sound", "polished", "pitted", "chipped", "loose", "cracked"];
/// States of journals.
pub const SURFACES: &[&str] = &["sound", "polished", "scored", "blued"];
/// States of a bearing's lining.
pub const LININGS: &[&str] = &["sound", "polished", "scored", "wiped", "worn through"];
/// What a crack test shows.
pub const FINDINGS: &[&str] = &["none found", "found"];

const fn row(part: Part, key: &'static str, name: &'static str, sort: Sort, taken: Taken) -> Item {
    Item { part, key, name, sort, taken }
}

/// Every item, part by part, in the order in which it is looked at.
pub const ITEMS: &[Item] = &{
    use Place::{
        AlongGrooves, Around, Crosswise, FaceFlanks, FaceTips, Mains, Once, RotorTips, Rotors,
        Walls,
    };
    use Sort::{Load, Look, Size, Small};
    use Taken::{Plan, Read, Spread};
    const HOUSING: Part = Part::RotorHousing;
    const SIDE: Part = Part::SideHousing;
    const GEAR: Part = Part::StationaryGear;
    [
        row(HOUSING, "plating_seen", "plating, by eye", Look(PLATING), Read(Around)),
        row(HOUSING, "plating", "thickness of the plating", Small, Read(Around)),
        row(HOUSING, "bore_wear", "wear of the bore", Small, Read(Around)),
        row(HOUSING, "width", "width", Size, Plan),
        row(
            HOUSING,
            "width_spread",
            "difference of its widths",
            Small,
            Spread("width", Derived::OfAll),
        ),
        row(HOUSING, "edges", "edges of ports and plug holes", Look(EDGES), Read(Once)),
        row(SIDE, "flatness", "flatness", Small, Read(Walls)),
        row(SIDE, "land_wear", "wear of the land's track", Small, Plan),
        row(SIDE, "tip_wear", "wear of the tips' track", Small, Plan),
        row(SIDE, "edges", "edges of ports", Look(EDGES), Read(Walls)),
        row(Part::Rotor, "apex_groove", "width of the apex-seal groove", Size, Read(AlongGrooves)),
        row(
            Part::Rotor,
            "apex_groove_bell",
            "bell mouth of the apex-seal groove",
            Small,
            Spread("apex_groove", Derived::OfEachGroove),
        ),
        row(Part::Rotor, "corner_bore", "bore of the corner seal", Size, Read(FaceTips)),
        row(Part::Rotor, "side_groove", "width of the side-seal groove", Size, Read(FaceFlanks)),
        row(
            Part::Rotor,
            "side_groove_depth",
            "depth of the side-seal groove",
            Size,
            Read(FaceFlanks),
        ),
        row(Part::Rotor, "bearing_bore", "bore of the bearing", Size, Read(Crosswise)),
        row(
            Part::Rotor,
            "bearing_bore_round",
            "roundness of the bearing's bore",
            Small,
            Spread("bearing_bore", Derived::OfAll),
        ),
        row(Part::Rotor, "gear", "the rotor's gear, by eye", Look(GEAR_TEETH), Read(Once)),
        row(Part::Rotor, "crack_test", "crack test", Look(FINDINGS), Read(Once)),
        row(Part::Shaft, "runout", "run-out in V-blocks, full movement", Small, Read(Once)),
        row(Part::Shaft, "main_journal", "diameter of the main journal", Size, Read(Mains)),
        row(Part::Shaft, "rotor_journal", "diameter of the rotor journal", Size, Read(Rotors)),
        row(Part::Shaft, "journals", "journals, by eye", Look(SURFACES), Read(Once)),
        row(Part::Shaft, "crack_test", "crack test", Look(FINDINGS), Read(Once)),
        row(GEAR, "teeth", "teeth, by eye", Look(GEAR_TEETH), Read(Once)),
        row(GEAR, "bearing_bore", "bore of the main bearing", Size, Read(Crosswise)),
        row(GEAR, "press", "press of the main bearing", Small, Read(Once)),
        row(GEAR, "lining", "lining of the main bearing, by eye", Look(LININGS), Read(Once)),
        row(Part::Bearing, "bore", "bore", Size, Read(Crosswise)),
        row(Part::Bearing, "press", "press in the rotor", Small, Read(Once)),
        row(Part::Bearing, "lining", "lining, by eye", Look(LININGS), Read(Once)),
        row(Part::Seals, "apex_height", "height of the apex seal", Size, Read(RotorTips)),
        row(Part::Seals, "apex_thickness", "thickness of the apex seal", Size, Read(RotorTips)),
        row(Part::Seals, "apex_length", "length of the apex seal", Size, Read(RotorTips)),
        row(
            Part::Seals,
            "corner_diameter",
            "diameter of the corner seals, the least",
            Size,
            Read(Rotors),
        ),
        row(Part::Seals, "side_height", "height of the side seals, the least", Size, Read(Rotors)),
        row(
            Part::Seals,
            "side_end_gap",
            "end gap of the side seals, the greatest",
            Small,
            Read(Rotors),
        ),
        row(Part::Seals, "oil_lip", "lip of the oil seals, the widest", Small, Read(Rotors)),
        row(Part::Seals, "apex_load", "load of the apex springs, the least", Load, Read(Rotors)),
        row(
            Part::Seals,
            "corner_load",
            "load of the corner springs, the least",
            Load,
            Read(Rotors),
        ),
        row(Part::Seals, "side_load", "load of the side springs, the least", Load, Read(Rotors)),
        row(Part::Seals, "oil_load", "load of the oil-seal springs, the least", Load, Read(Rotors)),
        row(
            Part::Seals,
            "apex_spring",
            "free height of the apex springs, the least",
            Size,
            Read(Rotors),
        ),
    ]
};

/// The item of this key of a kind of part.
#[must_use]
pub fn item(part: Part, key: &str) -> Option<&'static Item> {
    ITEMS.iter().find(|item| item.part == part && item.key == key)
}

impl Item {
    /// The items of a kind of part.
    pub fn of(part: Part) -> impl Iterator<Item = &'static Self> {
        ITEMS.iter().filter(move |item| item.part == part)
    }

    /// Its stations: each its name, which begins with the key, and what a builder calls the place;
    /// none where it is not read for the card.
    #[must_use]
    pub fn stations(&self, counts: Counts) -> Vec<(String, String)> {
        let Taken::Read(place) = self.taken else { return Vec::new() };
        place
            .names(self.part, counts)
            .into_iter()
            .map(|(name, words)| {
                if name.is_empty() {
                    (self.key.to_owned(), words)
                } else {
                    (format!("{}.{name}", self.key), words)
                }
            })
            .collect()
    }

    /// Where the readings of a station lie that are taken together for what follows from them: a
    /// groove, or the whole.
    #[must_use]
    pub fn group(how: Derived, station: &str) -> &str {
        match how {
            Derived::OfAll => "",
            Derived::OfEachGroove => station.rsplit('.').next().unwrap_or(""),
        }
    }
}

impl Place {
    /// Names of its stations with what a builder calls each.
    fn names(self, part: Part, Counts { rotors, mains }: Counts) -> Vec<(String, String)> {
        let numbered = |count: usize, words: &str| {
            (1..=count).map(|n| (n.to_string(), format!("{words} {n}"))).collect::<Vec<_>>()
        };
        let sides = |sides: &[(&str, &str)], count: usize, words: &str| {
            let each = |(side, called): &(&str, &str)| {
                (1..=count)
                    .map(|n| (format!("{side}.{n}"), format!("{words} {n}, {called}")))
                    .collect::<Vec<_>>()
            };
            sides.iter().flat_map(each).collect::<Vec<_>>()
        };
        let named = |all: &[(&str, &str)]| {
            all.iter().map(|(n, w)| ((*n).to_owned(), (*w).to_owned())).collect::<Vec<_>>()
        };
        let faces = [("gear", "gear face"), ("plain", "plain face")];
        match self {
            Self::Once => vec![(String::new(), String::new())],
            Self::Around => numbered(AROUND, "place"),
            Self::Walls => named(&[("front", "front face"), ("rear", "rear face")]),
            Self::FaceTips => sides(&faces, TIPS, "tip"),
            Self::FaceFlanks => sides(&faces, TIPS, "flank"),
            Self::AlongGrooves => {
                let along =
                    [("gear_end", "gear end"), ("middle", "middle"), ("plain_end", "plain end")];
                // Groove by groove: the gauge goes along one before it goes to the next.
                let mut all = sides(&along, TIPS, "tip");
                all.sort_by_key(|(name, _)| name.rsplit('.').next().map(str::to_owned));
                all
            }
            Self::Crosswise => {
                let mark = match part {
                    Part::Rotor => "tip 1",
                    Part::StationaryGear => "the dowel",
                    _ => "its mark",
                };
                let words = |how: &str| format!("{how} {mark}");
                vec![
                    ("in_line".to_owned(), words("in line with")),
                    ("across".to_owned(), words("across")),
                ]
            }
            Self::Mains => numbered(mains, "main"),
            Self::Rotors => numbered(rotors, "rotor"),
            Self::RotorTips => (1..=rotors)
                .flat_map(|rotor| {
                    (1..=TIPS).map(move |tip| {
                        (format!("{rotor}.{tip}"), format!("rotor {rotor}, tip {tip}"))
                    })
                })
                .collect(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::HashSet;

    const TWO: Counts = Counts { rotors: 2, mains: 3 };

    #[test]
    fn every_item_is_found_by_its_key_and_has_its_own_stations() {
        for part in Part::ALL {
            let mut names = HashSet::new();
            for found in Item::of(part) {
                assert_eq!(item(part, found.key), Some(found));
                for (name, _) in found.stations(TWO) {
                    assert!(name.starts_with(found.key) && names.insert(name));
                }
                if let Taken::Spread(of, _) = found.taken {
                    assert!(matches!(item(part, of).unwrap().sort, Sort::Size | Sort::Small));
                }
                if let Sort::Look(words) = found.sort {
                    assert!(words.len() > 1);
                }
            }
            assert!(Item::of(part).count() >= 3, "{part:?}");
        }
        assert_eq!(item(Part::Bearing, "flatness"), None);
    }

    #[test]
    fn stations_are_in_the_order_of_the_hand() {
        let of = |part, key: &str| item(part, key).unwrap().stations(TWO);
        let groove = of(Part::Rotor, "apex_groove");
        assert_eq!(groove.len(), 9);
        assert_eq!(groove[0].0, "apex_groove.gear_end.1");
        assert_eq!(
            groove[2],
            ("apex_groove.plain_end.1".to_owned(), "tip 1, plain end".to_owned())
        );
        assert_eq!(groove[3].0, "apex_groove.gear_end.2");
        assert_eq!(Item::group(Derived::OfEachGroove, &groove[3].0), "2");
        assert_eq!(of(Part::Seals, "apex_height")[5].1, "rotor 2, tip 3");
        assert_eq!(of(Part::Shaft, "main_journal").len(), 3);
        assert_eq!(of(Part::Shaft, "runout"), [("runout".to_owned(), String::new())]);
        assert_eq!(of(Part::RotorHousing, "plating_seen").len(), AROUND);
        assert!(of(Part::RotorHousing, "width").is_empty());
    }
}
