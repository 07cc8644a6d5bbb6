//! Which picture belongs to a station of a used part's card.

use super::count::{Direction, Flank};
use super::item::{
    BearingItem, FlatnessBy, GearItem, GroovePlace, GrooveSize, HousingItem, InspectedAt,
    RotorItem, SealItem, ShaftItem, SideItem, Spring,
};
use crate::counted::{Journal, WidthStation};
use crate::rotor_shape::RotorShape;
use crate::station::SideShape;
use crate::tip::Tip;
use crate::wear_map::WallPoint;
use kernel::condition::{AROUND, Counts, Part};
use kernel::geometry::Looks;
use kernel::readings::Face;

/// The shapes of an engine's parts, those that are known.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Shapes {
    /// A rotor's side face.
    pub rotor: Option<RotorShape>,
    /// The bore of a rotor housing, as in [`InspectedAt::RotorHousing`].
    pub bore: Option<Vec<WallPoint>>,
    /// The face of a side housing.
    pub side: Option<SideShape>,
}

impl InspectedAt {
    /// What is inspected at a station of a part's card, by the station's name
    /// ([`kernel::condition::Item::stations`]); none where no card of that part has one, or
    /// `counts` has no such journal. Flatness is shown with a straightedge. Of seals the rotor and
    /// the tip are not shown: the seal is in the hand.
    #[must_use]
    pub fn on_card(part: Part, station: &str, counts: Counts, shapes: Shapes) -> Option<Self> {
        let (key, place) = station.split_once('.').unwrap_or((station, ""));
        Some(match part {
            Part::RotorHousing => {
                Self::RotorHousing { item: housing(key, place)?, bore: shapes.bore }
            }
            Part::SideHousing => {
                let item = match key {
                    "flatness" => SideItem::Flatness(FlatnessBy::Straightedge),
                    "edges" => SideItem::Edges,
                    _ => return None,
                };
                let looks = match place {
                    "front" => Looks::Front,
                    "rear" => Looks::Rear,
                    _ => return None,
                };
                Self::SideHousing { item, looks, shape: shapes.side }
            }
            Part::Rotor => Self::Rotor { item: rotor(key, place)?, shape: shapes.rotor },
            Part::Shaft => Self::Shaft(shaft(key, place, counts)?),
            Part::StationaryGear => Self::StationaryGear(match (key, place) {
                ("teeth", "") => GearItem::Teeth,
                ("bearing_bore", _) => GearItem::BearingInside(direction(place)?),
                ("press", "") => GearItem::BearingPress,
                ("lining", "") => GearItem::Lining,
                _ => return None,
            }),
            Part::Bearing => Self::Bearing(match (key, place) {
                ("bore", _) => BearingItem::Inside(direction(place)?),
                ("press", "") => BearingItem::Press,
                ("lining", "") => BearingItem::Lining,
                _ => return None,
            }),
            Part::Seals => Self::Seal(seal(key)?),
        })
    }
}

fn number(place: &str) -> Option<usize> {
    place.parse().ok()
}

fn direction(place: &str) -> Option<Direction> {
    match place {
        "in_line" => Some(Direction::InLine),
        "across" => Some(Direction::Across),
        _ => None,
    }
}

fn housing(key: &str, place: &str) -> Option<HousingItem> {
    let around = || WidthStation::new(number(place)?, AROUND);
    match key {
        "plating_seen" => around().map(HousingItem::PlatingSeen),
        "plating" => around().map(HousingItem::PlatingThickness),
        "bore_wear" => around().map(HousingItem::BoreWear),
        "edges" if place.is_empty() => Some(HousingItem::Edges),
        _ => None,
    }
}

/// What stands before the last dot of a place, and the tip or flank after it.
fn counted<T: Copy>(place: &str, all: [T; 3]) -> Option<(&str, T)> {
    let (side, n) = place.rsplit_once('.')?;
    Some((side, all.get(number(n)?.checked_sub(1)?).copied()?))
}

fn face(side: &str) -> Option<Face> {
    Face::BOTH.into_iter().find(|face| face.name() == side)
}

fn rotor(key: &str, place: &str) -> Option<RotorItem> {
    let groove = |size| {
        let (side, flank) = counted(place, Flank::ALL)?;
        Some(RotorItem::SideGroove { face: face(side)?, flank, size })
    };
    match (key, place) {
        ("apex_groove", _) => {
            let (end, tip) = counted(place, Tip::ALL)?;
            let place = match end {
                "gear_end" => GroovePlace::GearEnd,
                "middle" => GroovePlace::Middle,
                "plain_end" => GroovePlace::PlainEnd,
                _ => return None,
            };
            Some(RotorItem::ApexGroove { tip, place })
        }
        ("corner_bore", _) => {
            let (side, tip) = counted(place, Tip::ALL)?;
            Some(RotorItem::CornerBore { face: face(side)?, tip })
        }
        ("side_groove", _) => groove(GrooveSize::Width),
        ("side_groove_depth", _) => groove(GrooveSize::Depth),
        ("bearing_bore", _) => direction(place).map(RotorItem::BearingBore),
        ("gear", "") => Some(RotorItem::Gear),
        ("crack_test", "") => Some(RotorItem::Cracks),
        _ => None,
    }
}

fn shaft(key: &str, place: &str, counts: Counts) -> Option<ShaftItem> {
    let direction = Direction::Both;
    let journal = |of: usize| Journal::new(number(place)?, of);
    match (key, place) {
        ("runout", "") => Some(ShaftItem::RunOut),
        ("journals", "") => Some(ShaftItem::Journals),
        ("crack_test", "") => Some(ShaftItem::Cracks),
        ("main_journal", _) => {
            journal(counts.mains).map(|journal| ShaftItem::MainJournal { journal, direction })
        }
        ("rotor_journal", _) => {
            journal(counts.rotors).map(|journal| ShaftItem::RotorJournal { journal, direction })
        }
        _ => None,
    }
}

fn seal(key: &str) -> Option<SealItem> {
    Some(match key {
        "apex_height" => SealItem::ApexHeight,
        "apex_thickness" => SealItem::ApexThickness,
        "apex_length" => SealItem::ApexLength,
        "corner_diameter" => SealItem::CornerDiameter,
        "side_height" => SealItem::SideHeight,
        "side_end_gap" => SealItem::SideEndGap,
        "oil_lip" => SealItem::OilLipWidth,
        "apex_load" => SealItem::SpringLoad(Spring::Apex),
        "corner_load" => SealItem::SpringLoad(Spring::Corner),
        "side_load" => SealItem::SpringLoad(Spring::Side),
        "oil_load" => SealItem::SpringLoad(Spring::Oil),
        "apex_spring" => SealItem::SpringHeight(Spring::Apex),
        _ => return None,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use kernel::condition::Item;
    use std::collections::HashSet;

    const COUNTS: Counts = Counts { rotors: 6, mains: 7 };

    fn at(part: Part, station: &str) -> Option<InspectedAt> {
        InspectedAt::on_card(part, station, COUNTS, Shapes::default())
    }

    #[test]
    fn every_station_of_every_card_has_its_picture() {
        let mut count = 0;
        for part in Part::ALL {
            let mut pictures = HashSet::new();
            for (station, _) in Item::of(part).flat_map(|item| item.stations(COUNTS)) {
                let picture = at(part, &station);
                assert!(picture.is_some(), "{part:?} {station}");
                let is_own = pictures.insert(format!("{picture:?}"));
                assert!(is_own || part == Part::Seals, "{part:?} {station}");
                count += 1;
            }
        }
        assert!(count > 150, "{count}");
    }

    #[test]
    fn a_station_says_where() {
        let (tip, place) = (Tip::Two, GroovePlace::PlainEnd);
        let item = RotorItem::ApexGroove { tip, place };
        let expected = InspectedAt::Rotor { item, shape: None };
        assert_eq!(at(Part::Rotor, "apex_groove.plain_end.2"), Some(expected));
        let item = RotorItem::SideGroove {
            face: Face::Plain,
            flank: Flank::Three,
            size: GrooveSize::Depth,
        };
        let expected = InspectedAt::Rotor { item, shape: None };
        assert_eq!(at(Part::Rotor, "side_groove_depth.plain.3"), Some(expected));
        let (journal, direction) = (Journal::new(7, 7).unwrap(), Direction::Both);
        let expected = InspectedAt::Shaft(ShaftItem::MainJournal { journal, direction });
        assert_eq!(at(Part::Shaft, "main_journal.7"), Some(expected));
    }

    #[test]
    fn what_is_on_no_card_has_no_picture() {
        for (part, station) in [
            (Part::RotorHousing, "width.1"),
            (Part::RotorHousing, "plating.9"),
            (Part::RotorHousing, "plating"),
            (Part::SideHousing, "flatness"),
            (Part::SideHousing, "flatness.gear"),
            (Part::Rotor, "apex_groove.1"),
            (Part::Rotor, "corner_bore.gear.4"),
            (Part::Rotor, "corner_bore.gear.0"),
            (Part::Rotor, "bearing_bore"),
            (Part::Shaft, "main_journal.8"),
            (Part::Shaft, "runout.1"),
            (Part::StationaryGear, "flatness"),
            (Part::Bearing, ""),
            (Part::Seals, "apex"),
        ] {
            assert_eq!(at(part, station), None, "{station}");
        }
    }
}
