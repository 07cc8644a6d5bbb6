//! The picture of the reading that is wanted next.

use super::condition::card_part;
use super::sheet::Station;
use super::station_shapes::station_shapes;
use crate::build_file::model::Engine;
use drawings::{
    Inspected, InspectedAt, Options, Shapes, Tip, Touch, Wanted, WantedAt, WidthStation,
};
use kernel::condition::Counts;
use kernel::geometry::Looks;
use kernel::readings::{Face, Kind};
use kernel::units::System;
use records::{Fitted, PartKind, When};

/// The picture of a station of a used part's card, with how it is measured in two sentences; nothing
/// where there is none. `id` tells the picture from others on its page.
#[must_use]
pub fn inspected_picture(
    engine: Option<&Engine>,
    part: &Fitted,
    (station, id): (&Station, &str),
    counts: Counts,
    first: System,
) -> Option<(String, [&'static str; 2])> {
    let known = engine.map(station_shapes);
    let shapes = known.map_or_else(Shapes::default, |known| Shapes {
        rotor: known.rotor,
        bore: known.bore,
        side: known.side,
    });
    let at = InspectedAt::on_card(card_part(part.kind), &station.name, counts, shapes)?;
    let how = at.how();
    let inspected = Inspected { serial: part.serial.clone(), at, notes: Vec::new() };
    Some((inspected.svg(&Options { system: first, id: Some(id.to_owned()) }), how))
}

/// The picture of a station of a part; nothing where there is none to draw. `of` is how many
/// stations the part has.
#[must_use]
pub fn wanted_picture(
    engine: Option<&Engine>,
    part: &Fitted,
    when: When,
    station: &Station,
    of: usize,
    first: System,
) -> Option<String> {
    let shapes = engine.map(station_shapes);
    let rotor = || shapes.as_ref().and_then(|shapes| shapes.rotor.clone());
    let at = match part.kind {
        PartKind::Rotor if station.list == "mass" => WantedAt::Mass { shape: rotor() },
        PartKind::Rotor => WantedAt::Tip {
            kind: match station.list.as_str() {
                "land_width" => Kind::LandWidth,
                "gear_step" => Kind::Step(Face::Gear),
                "plain_step" => Kind::Step(Face::Plain),
                "tip_width" => Kind::TipWidth,
                "gear_runout" => Kind::Runout(Face::Gear),
                "plain_runout" => Kind::Runout(Face::Plain),
                _ => return None,
            },
            tip: Tip::ALL.into_iter().nth(station.number?.checked_sub(1)?)?,
            shape: rotor(),
        },
        PartKind::RotorHousing => WantedAt::Width {
            station: WidthStation::new(station.number?, of)?,
            bore: shapes.as_ref().and_then(|shapes| shapes.bore.clone()),
        },
        PartKind::SideHousing => WantedAt::SideWear {
            looks: if station.name.ends_with(".front") { Looks::Front } else { Looks::Rear },
            track: if station.list == "land_wear" { Touch::Land } else { Touch::Tip },
            shape: shapes.as_ref().and_then(|shapes| shapes.side.clone()),
        },
        PartKind::Shaft | PartKind::StationaryGear | PartKind::Bearing | PartKind::SealsSet => {
            return None;
        }
    };
    let notes = match when {
        When::After if part.kind == PartKind::Rotor => vec!["After the cut.".to_owned()],
        _ => Vec::new(),
    };
    let wanted = Wanted { serial: part.serial.clone(), at, notes };
    Some(wanted.svg(&Options { system: first, id: Some("wanted".to_owned()) }))
}
