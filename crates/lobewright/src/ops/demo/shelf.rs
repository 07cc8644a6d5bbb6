//! Parts of the demonstration that no build has claimed: read when they came, and what happened to
//! them. Some are never used again.

use super::super::{ShopError, shop};
use super::books::Books;
use super::diary::Diary;
use super::examples::Example;
use super::scatter::Scatter;
use crate::build_file::read;
use records::{AttachedTo, Entry, Moment, NewReading, PartId, PartKind};

/// A part on the shelf.
struct Shelved {
    kind: PartKind,
    serial: &'static str,
    /// The example and the part of it that its sizes are like; none: it is not read.
    like: Option<(Example, &'static str)>,
    came: i64,
    /// What happened, days ago.
    events: &'static [(i64, &'static str)],
    /// When it was retired.
    retired: Option<i64>,
}

const SHELF: [Shelved; 20] = [
    Shelved {
        kind: PartKind::Rotor,
        serial: "R-120",
        like: Some((Example::Boat, "R-114")),
        came: 244,
        events: &[(243, "cleaned and looked over for cracks: sound")],
        retired: None,
    },
    Shelved {
        kind: PartKind::Rotor,
        serial: "R-121",
        like: Some((Example::Boat, "R-97")),
        came: 244,
        events: &[(243, "cleaned and looked over for cracks: sound")],
        retired: None,
    },
    Shelved {
        kind: PartKind::Rotor,
        serial: "R-88",
        like: Some((Example::Boat, "R-97")),
        came: 310,
        events: &[
            (309, "a crack from the gear to the bore of a corner seal"),
            (309, "kept to show to apprentices"),
        ],
        retired: Some(309),
    },
    Shelved {
        kind: PartKind::Rotor,
        serial: "CR-31",
        like: Some((Example::ThreeRotor, "CR-29")),
        came: 77,
        events: &[(70, "bearing bored out and pressed in anew")],
        retired: None,
    },
    Shelved {
        kind: PartKind::Rotor,
        serial: "DR-7",
        like: Some((Example::FirePump, "DR-1")),
        came: 151,
        events: &[],
        retired: None,
    },
    Shelved {
        kind: PartKind::Rotor,
        serial: "HR-12",
        like: Some((Example::Aircraft, "HR-9")),
        came: 38,
        events: &[(36, "gear face ground by the maker, papers in the folder")],
        retired: None,
    },
    Shelved {
        kind: PartKind::RotorHousing,
        serial: "H-40",
        like: Some((Example::Boat, "H-31")),
        came: 199,
        events: &[(180, "bore coated anew")],
        retired: None,
    },
    Shelved {
        kind: PartKind::Rotor,
        serial: "R-122",
        like: Some((Example::Boat, "R-114")),
        came: 61,
        events: &[],
        retired: None,
    },
    Shelved {
        kind: PartKind::Rotor,
        serial: "R-123",
        like: Some((Example::Boat, "R-97")),
        came: 62,
        events: &[],
        retired: None,
    },
    Shelved {
        kind: PartKind::Rotor,
        serial: "R-125",
        like: Some((Example::Boat, "R-114")),
        came: 67,
        events: &[],
        retired: None,
    },
    Shelved {
        kind: PartKind::Rotor,
        serial: "R-126",
        like: None,
        came: 12,
        events: &[(11, "cleaned; to be read")],
        retired: None,
    },
    Shelved {
        kind: PartKind::RotorHousing,
        serial: "H-41",
        like: Some((Example::Boat, "H-32")),
        came: 63,
        events: &[],
        retired: None,
    },
    Shelved {
        kind: PartKind::RotorHousing,
        serial: "H-43",
        like: Some((Example::Boat, "H-31")),
        came: 65,
        events: &[],
        retired: None,
    },
    Shelved {
        kind: PartKind::RotorHousing,
        serial: "H-17",
        like: Some((Example::Boat, "H-32")),
        came: 340,
        events: &[(338, "coating flaked off beside the exhaust port over a hand's width")],
        retired: Some(338),
    },
    Shelved {
        kind: PartKind::SideHousing,
        serial: "HS-5",
        like: None,
        came: 66,
        events: &[(64, "lapped; wear of both tracks below what can be read")],
        retired: None,
    },
    Shelved {
        kind: PartKind::Shaft,
        serial: "ES-30",
        like: None,
        came: 120,
        events: &[(119, "straight within 10 um over its mains")],
        retired: None,
    },
    Shelved {
        kind: PartKind::StationaryGear,
        serial: "SG-11",
        like: None,
        came: 118,
        events: &[(117, "main bearing pressed in new")],
        retired: None,
    },
    Shelved {
        kind: PartKind::Bearing,
        serial: "RB-8",
        like: None,
        came: 118,
        events: &[],
        retired: None,
    },
    Shelved {
        kind: PartKind::SealsSet,
        serial: "SS-90",
        like: None,
        came: 33,
        events: &[],
        retired: None,
    },
    Shelved {
        kind: PartKind::SealsSet,
        serial: "SS-91",
        like: None,
        came: 33,
        events: &[],
        retired: None,
    },
];

/// Writes what came to the shelf into the diary.
pub(super) fn all(diary: &mut Diary) {
    for part in &SHELF {
        diary.on(part.came, 12 * 60 + part.came % 50, move |books, at| {
            let by = books.assembler;
            let id = books.part((part.kind, part.serial), (by, at))?;
            books.shop.add_part_event(id, "bought from stock that was given up", (by.id, at))?;
            read_it(books, (part, id), at)
        });
        for (days_ago, what) in part.events {
            diary.on(*days_ago, 14 * 60, move |books, at| {
                let by = books.machinist;
                let id = books.part((part.kind, part.serial), (by, at))?;
                books.shop.add_part_event(id, what, (by.id, at))?;
                Ok(())
            });
        }
        if let Some(days_ago) = part.retired {
            diary.on(days_ago, 14 * 60 + 30, move |books, at| {
                let by = books.machinist;
                let id = books.part((part.kind, part.serial), (by, at))?;
                books.attach(AttachedTo::Part(id), ("what is wrong with it.png", 3), (by, at))?;
                Ok(books.shop.set_retired(id, true)?)
            });
        }
    }
}

/// Reads a part for no build.
fn read_it(
    books: &Books<'_>,
    (part, id): (&Shelved, PartId),
    at: &Moment,
) -> Result<(), ShopError> {
    let Some((example, like)) = part.like else { return Ok(()) };
    let mut draft = example.cured()?.before_the_cut();
    draft.vary(&mut Scatter::of(part.came.unsigned_abs()));
    draft.rename(like, part.serial);
    let build = read(&Books::text(part.serial, &draft)?).map_err(Box::new)?;
    // Of the other parts of the example nothing is kept: every one of them is taken for this one.
    let ids = vec![id; shop::parts(&build).len()];
    let gauges = shop::gauges(books.shop)?;
    let lines = shop::lines(draft.values(), (&build, &gauges), &ids);
    let table = match part.kind {
        PartKind::Rotor => "rotor",
        _ => "housing",
    };
    let mine = format!("{table}.{}.", part.serial);
    let mut new = Vec::new();
    for line in lines.iter().filter(|line| line.place.starts_with(&mine)) {
        let Entry::Reading { when, station, value, gauge, temperature, .. } = &line.entry else {
            continue;
        };
        new.push(NewReading {
            part: id,
            build: None,
            when: *when,
            station,
            value,
            gauge: *gauge,
            person: books.builder.id,
            at,
            temperature: temperature.as_ref(),
            expected: None,
            sent_as: None,
            place: None,
        });
    }
    books.shop.add_readings(&new)?;
    Ok(())
}
