//! Signatures, amendments, and what two people do to each other.

use crate::sample::{Sample, length, line, moment, now};
use records::{
    Conflict, Difference, Head, InRevision, NewReading, NewSignOff, NewValue, Person, RecordsError,
    Sha, When,
};

fn conflict(error: RecordsError) -> Conflict {
    match error {
        RecordsError::Conflict(conflict) => *conflict,
        other => panic!("{other}"),
    }
}

#[test]
fn a_signed_build_is_closed_until_it_is_amended() {
    let sample = Sample::new();
    let first = sample.read("land_width.1", "79.915 mm").unwrap();
    let signed = sample.sign("built and inspected").unwrap();
    assert_eq!((signed.revision, signed.person_name.as_str()), (1, "Ada"));
    assert_eq!(signed.previous, Sha::NONE);
    assert!(!sample.shop.build(sample.build).unwrap().open);
    let closed = sample.read("land_width.2", "79.922 mm").unwrap_err();
    assert!(closed.to_string().contains("open a new revision"), "{closed}");
    let closed = sample.set("build.name", Some("\"b\"")).unwrap_err();
    assert!(closed.to_string().contains("open a new revision"), "{closed}");

    assert_eq!(sample.amend().unwrap(), 2);
    let error = sample.amend().unwrap_err();
    assert!(error.to_string().contains("only a signed build is amended"), "{error}");
    let second = sample.read("land_width.1", "79.917 mm").unwrap();
    let again = sample.sign("amended").unwrap();
    assert_eq!((again.revision, again.previous), (2, signed.hash));
    assert_ne!(again.content_hash, signed.content_hash);
    assert_eq!(sample.shop.reading(first).unwrap().superseded_by, Some(second));
    // A second person under the same revision.
    let seen = sample.shop.seen(sample.build).unwrap();
    let (person, at) = (sample.ben, &now());
    let new = NewSignOff { build: sample.build, seen, person, at, meaning: "checked" };
    let checked = sample.shop.sign(&new).unwrap();
    assert_eq!((checked.revision, checked.content_hash), (2, again.content_hash));
    assert_eq!(sample.shop.audit().unwrap().sign_offs, 3);
    assert_eq!(sample.shop.amendments(sample.build).unwrap()[0].reason, "a width was misread");
}

#[test]
fn what_is_signed_is_what_was_seen() {
    let sample = Sample::new();
    sample.read("land_width.1", "79.915 mm").unwrap();
    let seen = sample.shop.seen(sample.build).unwrap();
    sample.read("land_width.2", "79.922 mm").unwrap();
    let (build, person, at, meaning) = (sample.build, sample.ben, &now(), "checked");
    let new = NewSignOff { build, seen, person, at, meaning };
    let error = sample.shop.sign(&new).unwrap_err();
    let told = error.to_string();
    match conflict(error) {
        Conflict::Build { yours, theirs, last, .. } => {
            assert_eq!((yours.last_reading, theirs.last_reading), (1, 2));
            assert_eq!(last.unwrap().name, "Ada");
        }
        other => panic!("{other}"),
    }
    assert!(told.contains("changed since it was looked at"), "{told}");
    // Another name counts too.
    let seen = sample.shop.seen(sample.build).unwrap();
    let head = sample.shop.build(build).unwrap().head;
    let named = Head { name: "Garganey".to_owned(), ..head };
    sample.shop.change_head(build, &seen, &named).unwrap();
    assert!(sample.shop.sign(&NewSignOff { build, seen, person, at, meaning }).is_err());
    assert!(sample.shop.build(build).unwrap().open);
}

#[test]
fn who_left_cannot_sign() {
    let sample = Sample::new();
    let left = Person {
        id: sample.ada,
        name: "Ada".to_owned(),
        role: "builder".to_owned(),
        active: false,
    };
    sample.shop.change_person(&left).unwrap();
    let error = sample.sign("built").unwrap_err();
    assert!(error.to_string().contains("no longer works here"), "{error}");
}

#[test]
fn two_people_at_one_station_are_both_shown() {
    let sample = Sample::new();
    let ours = sample.read_expecting("land_width.1", "79.915 mm", None).unwrap();
    let error = sample.read_expecting("land_width.1", "79.925 mm", None).unwrap_err();
    let told = error.to_string();
    assert_eq!(
        told,
        "land_width.1 was to become \"79.925 mm\", but Ada entered \"79.915 mm\" at \
         2026-11-28T09:30:00Z; look at both and enter what is right"
    );
    match conflict(error) {
        Conflict::Reading { station, yours, theirs, .. } => {
            assert_eq!((station.as_str(), yours.as_str()), ("land_width.1", "79.925 mm"));
            assert_eq!(theirs.unwrap().id, ours);
        }
        other => panic!("{other}"),
    }
    // At another station they do not disturb each other.
    sample.read_expecting("land_width.2", "79.925 mm", None).unwrap();
    // Whoever corrects what was corrected meanwhile is told too.
    let corrected = sample.read_expecting("land_width.1", "79.916 mm", Some(ours)).unwrap();
    let error = sample.read_expecting("land_width.1", "79.917 mm", Some(ours)).unwrap_err();
    match conflict(error) {
        Conflict::Reading { theirs, .. } => assert_eq!(theirs.unwrap().id, corrected),
        other => panic!("{other}"),
    }
}

#[test]
fn two_people_at_one_value_are_both_shown() {
    let sample = Sample::new();
    sample.set("machine.capability", Some("\"2.5 um\"")).unwrap();
    let (of, person, at) = (sample.of(), sample.ben, &now());
    let (place, value) = ("machine.capability", Some("\"4 um\""));
    let new = NewValue { of, place, value, person, at, expected: None };
    let error = sample.shop.set_value(&new).unwrap_err();
    let told = error.to_string();
    assert!(told.contains("4 um") && told.contains("2.5 um"), "{told}");
    assert!(matches!(conflict(error), Conflict::Value { theirs: Some(_), .. }));
}

#[test]
fn a_revision_that_was_opened_meanwhile_is_told() {
    let sample = Sample::new();
    let of = sample.of();
    sample.sign("built").unwrap();
    sample.amend().unwrap();
    let value = length("79.915 mm");
    let error = sample
        .shop
        .add_reading(&NewReading {
            part: sample.rotor,
            build: Some(of),
            when: When::Before,
            station: "land_width.1",
            value: &value,
            gauge: None,
            person: sample.ada,
            at: &now(),
            temperature: None,
            expected: None,
            sent_as: None,
            place: None,
        })
        .unwrap_err();
    match conflict(error) {
        Conflict::Revision { yours, theirs, opened, .. } => {
            assert_eq!((yours, theirs, opened.unwrap().name.as_str()), (1, 2, "Ben"));
        }
        other => panic!("{other}"),
    }
}

#[test]
fn a_reading_that_is_sent_twice_is_kept_once() {
    let sample = Sample::new();
    let (value, at) = (length("79.915 mm"), now());
    let sent = |station, sent_as| NewReading {
        part: sample.rotor,
        build: Some(InRevision { build: sample.build, revision: 1 }),
        when: When::Before,
        station,
        value: &value,
        gauge: None,
        person: sample.ada,
        at: &at,
        temperature: None,
        expected: None,
        sent_as,
        place: None,
    };
    let first = sample.shop.add_reading(&sent("land_width.1", Some("tablet 2, 17"))).unwrap();
    let again = sample.shop.add_reading(&sent("land_width.1", Some("tablet 2, 17"))).unwrap();
    assert_eq!(first, again);
    assert_eq!(sample.shop.readings_of(sample.build).unwrap().len(), 1);
    let error = sample.shop.add_reading(&sent("land_width.2", Some("tablet 2, 17"))).unwrap_err();
    assert!(error.to_string().contains("sent by the same word"), "{error}");
    // Not even after the build was signed is what was kept told to be lost.
    sample.sign("built").unwrap();
    let late = sample.shop.add_reading(&sent("land_width.1", Some("tablet 2, 17"))).unwrap();
    assert_eq!(late, first);
}

#[test]
fn what_an_amendment_changed_is_listed() {
    let sample = Sample::new().with_history();
    let gear_step = Difference {
        place: "rotor.R-114.gear_step.1".to_owned(),
        before: Some("\"95 um\"".to_owned()),
        after: Some("\"96 um\"".to_owned()),
        by: Some((sample.ada, now())),
    };
    assert_eq!(sample.shop.differences(sample.build, 1, 2).unwrap(), [gear_step]);
    assert_eq!(sample.shop.differences(sample.build, 2, 2).unwrap(), []);
    sample.amend().unwrap();
    sample.set("machine.capability", None).unwrap();
    sample.set("machine.least_cut", Some("\"10 um\"")).unwrap();
    let seen = sample.shop.seen(sample.build).unwrap();
    let spec = sample
        .shop
        .add_spec("sprint", sample.ben, &now(), &[line("spec.match", "\"6 um\"")])
        .unwrap();
    let head = sample.shop.build(sample.build).unwrap().head;
    let head = Head { spec: Some(spec), ..head };
    sample.shop.change_head(sample.build, &seen, &head).unwrap();
    let by = (sample.ben, &moment("2026-12-01T08:00:00Z"));
    sample.shop.take_out(sample.fitted, records::OutWhy::Exchanged, by).unwrap();
    let differences = sample.shop.differences(sample.build, 2, 3).unwrap();
    let told: Vec<_> = differences
        .iter()
        .map(|d| (d.place.as_str(), d.before.as_deref(), d.after.as_deref()))
        .collect();
    assert_eq!(
        told,
        [
            ("spec", Some("sprint, version 1"), Some("sprint, version 2")),
            ("machine.capability", Some("\"3 um\""), None),
            ("machine.least_cut", None, Some("\"10 um\"")),
            ("rotor 1", Some("R-114, gear face rear"), None),
        ]
    );
    assert_eq!(differences[3].by, Some((sample.ben, moment("2026-12-01T08:00:00Z"))));
    assert!(sample.shop.differences(sample.build, 1, 9).is_err());
    // What was signed before is signed still.
    sample.sign("amended again").unwrap();
    sample.shop.audit().unwrap();
}

#[test]
fn a_used_version_of_a_spec_stays() {
    let sample = Sample::new();
    let error = sample.shop.set_spec_lines(sample.spec, &[]).unwrap_err();
    assert!(error.to_string().contains("a build refers to this version"), "{error}");
    let lines = [line("spec.match", "\"6 um\"")];
    let next = sample.shop.add_spec("sprint", sample.ada, &now(), &lines).unwrap();
    sample.shop.set_spec_lines(next, &[line("spec.match", "\"7 um\"")]).unwrap();
    let specs = sample.shop.specs().unwrap();
    let told: Vec<_> = specs.iter().map(|s| (s.version, s.builds)).collect();
    assert_eq!(told, [(2, 0), (1, 1)]);
    assert_eq!(sample.shop.spec_lines(next).unwrap(), [line("spec.match", "\"7 um\"")]);
    assert_eq!(sample.shop.spec_lines(sample.spec).unwrap(), [line("spec.match", "\"8 um\"")]);
}

#[test]
fn the_file_of_an_earlier_revision_can_be_read() {
    let sample = Sample::new();
    sample.read("land_width.1", "79.915 mm").unwrap();
    sample.set("machine.capability", Some("\"2.5 um\"")).unwrap();
    sample.set("machine.least_cut", Some("\"10 um\"")).unwrap();
    let signed = sample.shop.values(sample.build).unwrap();
    sample.sign("built").unwrap();
    sample.amend().unwrap();
    sample.read("land_width.1", "79.917 mm").unwrap();
    sample.set("machine.capability", None).unwrap();
    sample.set("machine.least_cut", Some("\"12 um\"")).unwrap();
    sample.set("format", Some("1")).unwrap();
    assert_eq!(sample.shop.values_in(sample.build, 1).unwrap(), signed);
    let now = sample.shop.values(sample.build).unwrap();
    assert_eq!(sample.shop.values_in(sample.build, 2).unwrap(), now);
    assert_ne!(now, signed);
    assert!(matches!(
        sample.shop.values_in(sample.build, 3).unwrap_err(),
        RecordsError::NotThere { .. }
    ));
}
