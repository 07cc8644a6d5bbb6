//! A whole build brought in: all of it or nothing, and again over itself.

use crate::sample::{Sample, length, now};
use records::{
    BuildSearch, Conflict, Entry, GearFace, Into, NewLine, PartHere, PartId, PartKind,
    RecordsError, When,
};

fn rotor(serial: &str, position: i64) -> PartHere<'_> {
    PartHere { kind: PartKind::Rotor, serial, position, gear_face: Some(GearFace::Rear) }
}

fn text(place: &str, value: &str) -> NewLine {
    NewLine { place: place.to_owned(), entry: Entry::Text(value.to_owned()) }
}

fn width(part: PartId, serial: &str, value: &str) -> NewLine {
    let entry = Entry::Reading {
        part,
        when: When::Before,
        station: "land_width.1".to_owned(),
        value: length(value),
        gauge: None,
        temperature: None,
    };
    NewLine { place: format!("rotor.{serial}.land_width.1"), entry }
}

fn builds(sample: &Sample) -> usize {
    let all = BuildSearch { text: "", open: None, from: 0, most: 100 };
    sample.shop.builds(&all).unwrap().len()
}

#[test]
fn a_new_build_has_its_parts_and_readings() {
    let sample = Sample::new();
    let by = (sample.ben, &now());
    let in_it = sample
        .shop
        .bring_in(Into::New("Gannet"), &[rotor("R-7", 1)], by, |ids| {
            vec![text("format", "1"), width(ids[0], "R-7", "73.892 mm")]
        })
        .unwrap();
    assert_eq!((in_it.new_parts, in_it.exchanged), (1, 0));
    assert_eq!((in_it.stored.readings, in_it.stored.changed), (1, 2));
    let lines = sample.shop.values(in_it.build).unwrap();
    assert_eq!(lines[0].value, "1");
    assert_eq!(lines[1].value, "\"73.892 mm\"");
    assert!(lines[1].reading.is_some());
    assert_eq!(sample.shop.fitted(in_it.build).unwrap()[0].serial, "R-7");
    sample.shop.audit().unwrap();
}

#[test]
fn what_is_refused_leaves_nothing_behind() {
    let sample = Sample::new();
    let by = (sample.ben, &now());
    let before = builds(&sample);
    // R-114 is in the sample's build; R-8 would be new.
    let refused = sample
        .shop
        .bring_in(Into::New("Gannet"), &[rotor("R-8", 1), rotor("R-114", 2)], by, |_| Vec::new())
        .unwrap_err();
    assert_eq!(
        refused.to_string(),
        format!("rotor R-114 is in build {}: take it out there first", sample.build)
    );
    assert_eq!(builds(&sample), before);
    assert_eq!(sample.shop.part_of(PartKind::Rotor, "R-8").unwrap(), None);
    let twice = sample
        .shop
        .bring_in(Into::New("Gannet"), &[], by, |_| vec![text("format", "1"), text("format", "1")])
        .unwrap_err();
    assert_eq!(twice, RecordsError::TwiceInFile { place: "format".to_owned() });
    assert_eq!(builds(&sample), before);
}

#[test]
fn over_itself_only_what_changed_is_kept_again() {
    let sample = Sample::new();
    let by = (sample.ben, &now());
    let first = [rotor("R-7", 1), rotor("R-8", 2)];
    let build = sample
        .shop
        .bring_in(Into::New("Gannet"), &first, by, |ids| {
            vec![
                text("format", "1"),
                width(ids[0], "R-7", "73.892 mm"),
                width(ids[1], "R-8", "73.9 mm"),
            ]
        })
        .unwrap()
        .build;
    let seen = sample.shop.seen(build).unwrap();
    // The rotors change places, one reading is corrected.
    let second = [rotor("R-8", 1), rotor("R-7", 2)];
    let lines = |ids: &[PartId]| {
        vec![
            text("format", "1"),
            width(ids[1], "R-7", "73.893 mm"),
            width(ids[0], "R-8", "73.9 mm"),
        ]
    };
    let again = sample.shop.bring_in(Into::Over(build, seen), &second, by, lines).unwrap();
    assert_eq!((again.build, again.new_parts, again.exchanged), (build, 0, 2));
    assert_eq!((again.stored.readings, again.stored.removed), (1, 0));
    let there: Vec<_> = sample.shop.fitted(build).unwrap();
    let there = there.iter().filter(|f| f.out.is_none()).map(|f| f.serial.as_str());
    assert_eq!(there.collect::<Vec<_>>(), ["R-8", "R-7"]);
    assert_eq!(sample.shop.values(build).unwrap()[1].value, "\"73.893 mm\"");
    // What was seen before is no longer how far it has come.
    let old = sample.shop.bring_in(Into::Over(build, seen), &second, by, lines).unwrap_err();
    assert!(
        matches!(&old, RecordsError::Conflict(conflict) if matches!(**conflict, Conflict::Build { .. })),
        "{old}"
    );
    sample.shop.audit().unwrap();
}
