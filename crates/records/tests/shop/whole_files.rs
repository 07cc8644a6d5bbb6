//! A build's file in and out: every place, every text, and the order.

use crate::sample::{Sample, length, now};
use proptest::prelude::*;
use records::{
    Conflict, Entry, InRevision, NewLine, NewReading, ReadingId, RecordsError, Store, Stored, When,
};

fn text(place: &str, value: &str) -> NewLine {
    NewLine { place: place.to_owned(), entry: Entry::Text(value.to_owned()) }
}

fn reading(sample: &Sample, station: &str, value: &str) -> NewLine {
    NewLine {
        place: format!("rotor.R-114.{station}"),
        entry: Entry::Reading {
            part: sample.rotor,
            when: When::Before,
            station: station.to_owned(),
            value: length(value),
            gauge: Some(sample.gauge),
            temperature: None,
        },
    }
}

fn store(sample: &Sample, lines: &[NewLine]) -> Result<Stored, RecordsError> {
    let seen = sample.shop.seen(sample.build)?;
    let (build, person, at) = (sample.build, sample.ada, &now());
    sample.shop.store(&Store { build, seen, person, at, lines })
}

fn lines(sample: &Sample) -> Vec<(String, String)> {
    let lines = sample.shop.values(sample.build).unwrap();
    lines.into_iter().map(|line| (line.place, line.value)).collect()
}

fn file(sample: &Sample) -> Vec<NewLine> {
    vec![
        text("format", "1"),
        text("build.name", "\"Merganser, boat 7\""),
        text("build.duty.heat.steady", "{ housing = \"70 K\", hot_arc = \"20 K\" }"),
        text("housing.H-31.serial", "\"H-31\""),
        text("housing.H-32.serial", "\"H-32\""),
        text("rotor.R-114.serial", "\"R-114\""),
        reading(sample, "land_width.1", "79.915 mm"),
        reading(sample, "land_width.2", ".005\""),
        text("shaft.sections.3.outer", "'45 mm'"),
        text("spec.contact_chance", "0.01"),
    ]
}

#[test]
fn a_file_comes_back_as_it_was_stored() {
    let sample = Sample::new();
    let file = file(&sample);
    let stored = store(&sample, &file).unwrap();
    assert_eq!(stored, Stored { readings: 2, changed: 10, removed: 0 });
    let expected: Vec<(String, String)> = file
        .iter()
        .map(|line| {
            let value = match &line.entry {
                Entry::Text(value) => value.clone(),
                Entry::Reading { value, .. } if value.text() == ".005\"" => "\".005\\\"\"".into(),
                Entry::Reading { value, .. } => format!("\"{}\"", value.text()),
            };
            (line.place.clone(), value)
        })
        .collect();
    assert_eq!(lines(&sample), expected);
    // Stored again, nothing changes.
    assert_eq!(store(&sample, &file).unwrap(), Stored::default());
    // Every text of it is TOML still.
    let values = sample.shop.values(sample.build).unwrap();
    assert_eq!(values[6].reading, Some(ReadingId(1)));
    assert_eq!(values[0].reading, None);
}

#[test]
fn what_changed_supersedes_and_what_is_gone_can_come_back() {
    let sample = Sample::new();
    let mut changed = file(&sample);
    store(&sample, &changed).unwrap();
    changed[1] = text("build.name", "\"Merganser\"");
    changed[6] = reading(&sample, "land_width.1", "79.917 mm");
    let gone = changed.remove(3);
    let last = changed.pop().unwrap();
    changed.insert(0, last);
    let stored = store(&sample, &changed).unwrap();
    // The name, and the line that moved.
    assert_eq!(stored, Stored { readings: 1, changed: 2, removed: 1 });
    assert_eq!(lines(&sample)[0].0, "spec.contact_chance");
    assert!(lines(&sample).iter().all(|(place, _)| place != "housing.H-31.serial"));
    assert_eq!(sample.shop.readings_of(sample.build).unwrap().len(), 3);
    changed.insert(4, gone);
    assert_eq!(store(&sample, &changed).unwrap(), Stored { readings: 0, changed: 1, removed: 0 });
    assert_eq!(lines(&sample)[4].0, "housing.H-31.serial");
    sample.shop.audit().unwrap();
}

#[test]
fn one_place_is_there_once() {
    let sample = Sample::new();
    let twice = [text("format", "1"), text("build.name", "\"a\""), text("format", "2")];
    let error = store(&sample, &twice).unwrap_err();
    assert_eq!(error, RecordsError::TwiceInFile { place: "format".to_owned() });
    assert_eq!(lines(&sample), []);
}

#[test]
fn a_file_that_was_taken_before_somebody_else_wrote_is_not_stored() {
    let sample = Sample::new();
    let file = file(&sample);
    store(&sample, &file).unwrap();
    let seen = sample.shop.seen(sample.build).unwrap();
    sample.read("land_width.3", "79.918 mm").unwrap();
    let (build, person, at) = (sample.build, sample.ben, &now());
    let error = sample.shop.store(&Store { build, seen, person, at, lines: &file }).unwrap_err();
    match error {
        RecordsError::Conflict(conflict) => assert!(matches!(*conflict, Conflict::Build { .. })),
        other => panic!("{other}"),
    }
    assert_eq!(lines(&sample).len(), 11);
}

#[test]
fn a_new_place_comes_where_its_like_are() {
    let sample = Sample::new();
    store(&sample, &file(&sample)).unwrap();
    sample.read("land_width.3", "79.918 mm").unwrap();
    sample.set("build.duty.speed", Some("\"9800 rpm\"")).unwrap();
    sample.set("oil.grade", Some("\"10W-60\"")).unwrap();
    let places: Vec<String> = lines(&sample).into_iter().map(|(place, _)| place).collect();
    assert_eq!(places[3], "build.duty.speed");
    assert_eq!(places[9], "rotor.R-114.land_width.3");
    assert_eq!(places[12], "oil.grade");
    // And again and again in the same gap, past where there is room.
    for n in 0..80 {
        sample.set(&format!("build.duty.x{n}"), Some("1")).unwrap();
    }
    let places: Vec<String> = lines(&sample).into_iter().map(|(place, _)| place).collect();
    assert_eq!(places[4..84], (0..80).map(|n| format!("build.duty.x{n}")).collect::<Vec<_>>());
    assert_eq!(places[84], "housing.H-31.serial");
    sample.shop.audit().unwrap();
}

#[test]
fn a_reading_that_is_entered_is_what_the_file_shows() {
    let sample = Sample::new();
    store(&sample, &file(&sample)).unwrap();
    let (value, at) = (length("80.001 mm"), now());
    sample
        .shop
        .add_reading(&NewReading {
            part: sample.rotor,
            build: Some(InRevision { build: sample.build, revision: 1 }),
            when: When::Before,
            station: "land_width.1",
            value: &value,
            gauge: None,
            person: sample.ben,
            at: &at,
            temperature: None,
            expected: Some(ReadingId(1)),
            sent_as: None,
            place: Some("rotor.R-114.land_width.1"),
        })
        .unwrap();
    assert_eq!(lines(&sample)[6].1, "\"80.001 mm\"");
    // The file's line pointed there already: no value was added.
    assert_eq!(sample.shop.audit().unwrap().values, 10);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    /// Any places, any texts, any order, one after the other.
    #[test]
    fn any_file_comes_back(
        files in prop::collection::vec(
            prop::collection::btree_map("[a-e](\\.[a-c1-3]){0,3}|\\PC{1,12}", "\\PC{0,20}", 0..14)
                .prop_flat_map(|lines| {
                    Just(lines.into_iter().collect::<Vec<_>>()).prop_shuffle()
                }),
            1..5,
        )
    ) {
        let sample = Sample::new();
        for file in files {
            let new: Vec<NewLine> = file.iter().map(|(place, value)| text(place, value)).collect();
            store(&sample, &new).unwrap();
            prop_assert_eq!(lines(&sample), file);
        }
        sample.shop.audit().unwrap();
    }
}

#[test]
fn what_was_said_last_at_a_place_stays_known() {
    let sample = Sample::new();
    let mut with = file(&sample);
    with.push(text("housing.H-31.state", "\"free\""));
    store(&sample, &with).unwrap();
    let said = |place: &str| sample.shop.last_text(sample.build, place).unwrap();
    assert_eq!(said("housing.H-31.state").as_deref(), Some("\"free\""));
    // Taken out of the file, said anew, taken out again.
    store(&sample, &file(&sample)).unwrap();
    assert_eq!(said("housing.H-31.state").as_deref(), Some("\"free\""));
    assert!(lines(&sample).iter().all(|(place, _)| place != "housing.H-31.state"));
    with.pop();
    with.push(text("housing.H-31.state", "\"clamped\""));
    store(&sample, &with).unwrap();
    store(&sample, &file(&sample)).unwrap();
    assert_eq!(said("housing.H-31.state").as_deref(), Some("\"clamped\""));
    assert_eq!(said("housing.H-99.state"), None);
    // A reading is no text.
    assert_eq!(said("rotor.R-114.land_width.1"), None);
}
