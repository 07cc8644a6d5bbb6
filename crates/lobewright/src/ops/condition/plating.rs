//! The picture of a bore's plating from its housing's card.

use super::{AtReport, CardReport, FoundAmount};
use crate::build_file::model::Engine;
use crate::ops::assembly::Amount;
use crate::ops::picture::{Picture, file_stem};
use crate::ops::station_shapes::station_shapes;
use drawings::{Options, Origin, PlatingMap, PlatingPlace};
use kernel::condition::AROUND;
use kernel::units::{Length, System};

/// The items that are read at every place around a bore.
const READ_THERE: [&str; 3] = ["plating_seen", "plating", "bore_wear"];

/// The map of a bore's plating; nothing before anything was looked at there. It belongs to a build
/// and its spec; `position` is the housing's from the front, from 1.
#[must_use]
pub fn plating_picture(
    (build, spec): (&str, &str),
    card: &CardReport,
    position: usize,
    engine: Option<&Engine>,
    first: System,
) -> Option<Picture> {
    let items = READ_THERE.map(|key| card.items.iter().find(|one| one.item.key == key));
    let at = |item: usize, place: usize| items[item].and_then(|one| one.at.get(place));
    let any = |place| (0..READ_THERE.len()).any(|item| at(item, place).is_some_and(was_found));
    if !(0..AROUND).any(any) {
        return None;
    }
    let length = |at: Option<&AtReport>| -> Option<Length> {
        match at?.found {
            Some(FoundAmount::Read(Amount::Small(length) | Amount::Size(length))) => Some(length),
            _ => None,
        }
    };
    let places = (0..AROUND).map(|place| PlatingPlace {
        seen: at(0, place).and_then(|at| match &at.found {
            Some(FoundAmount::Seen(word)) => Some(word.clone()),
            _ => None,
        }),
        plating: length(at(1, place)),
        wear: length(at(2, place)),
        fate: (0..READ_THERE.len()).filter_map(|item| at(item, place)?.fate).max(),
    });
    let map = PlatingMap {
        serial: card.serial.clone(),
        bore: engine.and_then(|engine| station_shapes(engine).bore),
        places: places.collect(),
        origin: Origin {
            build: build.to_owned(),
            housing: card.serial.clone(),
            spec: spec.to_owned(),
        },
    };
    let name = format!("{}-plating", file_stem(position.saturating_sub(1), &card.serial));
    Some(Picture {
        svg: map.svg(&Options { system: first, id: Some("plating-map".to_owned()) }),
        csv: map.csv(),
        name,
    })
}

const fn was_found(at: &AtReport) -> bool {
    at.found.is_some()
}
