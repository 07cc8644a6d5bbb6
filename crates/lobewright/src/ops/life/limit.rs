//! Where a size may not pass: by the engine's record of used parts, by the spec for the land of a
//! rotor in its housing. No limit is taken where none is given.

use super::LimitLine;
use crate::build_file::Build;
use crate::build_file::model::condition::{Band, item_of};
use crate::ops::condition::card_part;
use kernel::units::Length;
use kernel::wear::Wears;
use records::PartKind;

/// Lists of stations that wear makes more; it makes all others less.
const MORE: [&str; 17] = [
    "bore_wear",
    "apex_groove",
    "corner_bore",
    "side_groove",
    "side_groove_depth",
    "bearing_bore",
    "bore",
    "land_wear",
    "tip_wear",
    "flatness",
    "runout",
    "gear_runout",
    "plain_runout",
    "shaft_runout",
    "side_end_gap",
    "oil_lip",
    "end_play",
];

/// The list that a station is of.
pub(super) fn list(station: &str) -> &str {
    station.split('.').next().unwrap_or(station)
}

/// Which way wear moves a station.
pub(super) fn wears(station: &str) -> Wears {
    if MORE.contains(&list(station)) { Wears::More } else { Wears::Less }
}

/// What limits of a part are found by.
pub(super) struct Limits<'a> {
    pub(super) kind: PartKind,
    pub(super) serial: &'a str,
    /// The file of its last build.
    pub(super) file: Option<&'a Build>,
}

impl Limits<'_> {
    /// The limit of a station.
    pub(super) fn of(&self, station: &str) -> Option<LimitLine> {
        let build = self.file?;
        // A step is made anew by the next cut: it ends no life.
        if self.kind == PartKind::Rotor && list(station) == "land_width" {
            return self.land(build);
        }
        let item = item_of(card_part(self.kind), station)?;
        let limit = build.condition.get(&(item.part, item.key))?;
        let Band::Length(sizes) = &limit.band else { return None };
        let within = sizes.within();
        let limit = match wears(station) {
            Wears::Less => within.least(),
            Wears::More => within.most(),
        }?;
        Some(LimitLine { limit, from: "what the engine's record lets be used".to_owned() })
    }

    /// The least land width that keeps the spec's side clearance in the rotor's last housing.
    fn land(&self, build: &Build) -> Option<LimitLine> {
        let at = build.rotors.iter().position(|rotor| rotor.serial == self.serial)?;
        let housing = build.housings.get(at)?;
        let widest = housing.width.iter().copied().reduce(Length::max)?;
        let aim = build.spec.side_clearance;
        Some(LimitLine {
            limit: widest - (aim.target + aim.tolerance),
            from: format!(
                "the most side clearance of spec {} in housing {}",
                build.spec.name, housing.serial
            ),
        })
    }
}
