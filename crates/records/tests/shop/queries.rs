//! What the pages ask.

use crate::sample::{Sample, calibration, due, length, now, raw};
use records::{
    ATTACHMENT_MOST, AttachedTo, BuildSearch, Day, Due, GearFace, Head, InRevision, MediaType,
    NewAttachment, NewReading, OutWhy, PartKind, PartSearch, RecordsError, Session, Sha, Stage,
    When,
};

fn day(text: &str) -> Day {
    Day::new(text).unwrap()
}

fn head(name: &str) -> Head {
    Head { name: name.to_owned(), customer: None, engine: None, spec: None }
}

#[test]
fn builds_are_listed_with_what_is_due_next() {
    let sample = Sample::new();
    let shop = &sample.shop;
    let by = (sample.ada, &now());
    let customer = shop.add_customer("Ångström Marine", "quay 3", "").unwrap();
    let late = Due {
        stage: Stage::Balance,
        next: "bob weights".to_owned(),
        by: Some(day("2026-12-24")),
        holder: Some(sample.ben),
    };
    let soon = Due { by: Some(day("2026-12-01")), ..late.clone() };
    let of = Head { customer: Some(customer), spec: Some(sample.spec), ..head("Garganey") };
    let second = shop.add_build(&of, None, &late, by).unwrap();
    let third = shop.add_build(&head("Teal"), None, &soon, by).unwrap();
    let all = BuildSearch { most: 10, ..BuildSearch::default() };
    let ids = |search: &BuildSearch<'_>| -> Vec<i64> {
        shop.builds(search).unwrap().iter().map(|found| found.build.id.0).collect()
    };
    assert_eq!(ids(&all), [third.0, second.0, sample.build.0]);
    sample.sign("built").unwrap();
    assert_eq!(ids(&BuildSearch { open: Some(true), ..all }), [third.0, second.0]);
    assert_eq!(ids(&BuildSearch { open: Some(false), ..all }), [sample.build.0]);
    assert_eq!(ids(&BuildSearch { most: 1, from: 1, ..all }), [second.0]);
    // By name, by customer whatever the capitals of any alphabet, by a part's serial.
    assert_eq!(ids(&BuildSearch { text: "MERGANSER", ..all }), [sample.build.0]);
    assert_eq!(ids(&BuildSearch { text: "ångSTRÖM", ..all }), [second.0]);
    assert_eq!(ids(&BuildSearch { text: "r-11", ..all }), [sample.build.0]);
    assert_eq!(ids(&BuildSearch { text: "%", ..all }), [0i64; 0]);
    let found = shop.builds(&BuildSearch { text: "garganey", ..all }).unwrap().remove(0);
    assert_eq!(found.build.due, late);
    assert_eq!(found.customer.as_deref(), Some("Ångström Marine"));
    assert_eq!(found.spec, Some(("sprint".to_owned(), 1)));
    assert_eq!(found.holder.as_deref(), Some("Ben"));
    // What is due is no content: it may be said of a signed build too.
    shop.set_due(sample.build, &due(Stage::SignOff)).unwrap();
    assert!(matches!(
        shop.set_due(records::BuildId(99), &late).unwrap_err(),
        RecordsError::NotThere { .. }
    ));
}

#[test]
fn parts_are_found_by_how_their_serial_begins() {
    let sample = Sample::new();
    let shop = &sample.shop;
    let by = (sample.ada, &now());
    let spare = shop.add_part(PartKind::Rotor, "r-1149", by).unwrap();
    let other = shop.add_part(PartKind::Rotor, "R-2", by).unwrap();
    shop.add_part(PartKind::SideHousing, "R-114", by).unwrap();
    assert_eq!(
        shop.add_part(PartKind::Rotor, "R-2", by).unwrap_err(),
        RecordsError::NameTaken { what: "rotor" }
    );
    for n in 0..5 {
        sample.read(&format!("s.{n}"), "79.915 mm").unwrap();
    }
    sample.read("s.4", "79.925 mm").unwrap();
    let search = PartSearch { most: 10, last_readings: 3, ..PartSearch::default() };
    let serials = |search: &PartSearch<'_>| -> Vec<String> {
        shop.parts(search).unwrap().into_iter().map(|found| found.part.serial).collect()
    };
    assert_eq!(serials(&PartSearch { serial: "R-114", ..search }), ["R-114", "R-114", "r-1149"]);
    let rotors = PartSearch { serial: "R-1", kind: Some(PartKind::Rotor), ..search };
    assert_eq!(serials(&rotors), ["R-114", "r-1149"]);
    assert_eq!(serials(&PartSearch { on_shelf: true, ..rotors }), ["r-1149"]);
    let found = shop.parts(&PartSearch { most: 1, ..rotors }).unwrap().remove(0);
    assert_eq!(found.build, Some((sample.build, "Merganser, boat 7".to_owned())));
    let last: Vec<_> =
        found.readings.iter().map(|r| (r.station.as_str(), r.value.text())).collect();
    assert_eq!(last, [("s.4", "79.925 mm"), ("s.3", "79.915 mm"), ("s.2", "79.915 mm")]);
    // What is retired is not on the shelf; what is in an engine is not retired.
    shop.set_retired(spare, true).unwrap();
    assert_eq!(serials(&PartSearch { on_shelf: true, ..rotors }), [""; 0]);
    let error = shop.set_retired(sample.rotor, true).unwrap_err();
    assert!(error.to_string().contains("take it out"), "{error}");
    assert_eq!(shop.part(other).unwrap().serial, "R-2");
    // The first part: nothing is before or behind an empty search.
    assert_eq!(serials(&search).len(), 5);
}

#[test]
fn a_part_knows_its_whole_history() {
    let sample = Sample::new();
    let shop = &sample.shop;
    let by = (sample.ada, &now());
    shop.add_part_event(sample.rotor, "came in with Merganser", by).unwrap();
    sample.read("land_width.1", "79.915 mm").unwrap();
    sample.read("land_width.1", "79.916 mm").unwrap();
    sample.sign("built").unwrap();
    shop.take_out(sample.fitted, OutWhy::TornDown, by).unwrap();
    let next = shop.add_build(&head("Teal"), None, &due(Stage::Teardown), by).unwrap();
    let of = InRevision { build: next, revision: 1 };
    let (part, position, person, at) = (sample.rotor, 2, sample.ben, &now());
    let gear_face = Some(GearFace::Front);
    shop.fit(&records::Fit { of, part, position, gear_face, person, at }).unwrap();
    let history = shop.part_history(sample.rotor).unwrap();
    assert_eq!(history.events[0].what, "came in with Merganser");
    let fitted: Vec<_> = history
        .fitted
        .iter()
        .map(|(fitted, name)| (name.as_str(), fitted.position, fitted.gear_face))
        .collect();
    assert_eq!(
        fitted,
        [("Merganser, boat 7", 1, Some(GearFace::Rear)), ("Teal", 2, Some(GearFace::Front))]
    );
    assert_eq!(history.fitted[0].0.out.as_ref().unwrap().0, OutWhy::TornDown);
    assert_eq!(history.readings.len(), 2);
    assert!(matches!(
        shop.part_history(records::PartId(99)).unwrap_err(),
        RecordsError::NotThere { .. }
    ));
}

#[test]
fn gauges_are_overdue_from_the_day_after() {
    let sample = Sample::new();
    let shop = &sample.shop;
    let gauge = shop.add_gauge("I-1", "indicator", &calibration(Some("2026-10-01"))).unwrap();
    let overdue = |on: &str| -> Vec<String> {
        shop.gauges_overdue(&day(on)).unwrap().into_iter().map(|gauge| gauge.name).collect()
    };
    assert_eq!(overdue("2026-10-01"), [""; 0]);
    assert_eq!(overdue("2026-10-02"), ["I-1"]);
    shop.calibrate(gauge, &calibration(Some("2027-10-01"))).unwrap();
    assert_eq!(overdue("2026-10-02"), [""; 0]);
    let due: Vec<_> =
        shop.calibrations(gauge).unwrap().into_iter().filter_map(|c| c.what.due).collect();
    assert_eq!(due, [day("2027-10-01"), day("2026-10-01")]);
    assert_eq!(overdue("2027-10-02"), ["I-1"]);
    shop.set_gauge_active(gauge, false).unwrap();
    assert_eq!(overdue("2027-10-02"), [""; 0]);
    assert_eq!(
        shop.add_gauge("I-1", "indicator", &calibration(None)).unwrap_err(),
        RecordsError::NameTaken { what: "gauge" }
    );
}

#[test]
fn sessions_end() {
    let sample = Sample::new();
    let shop = &sample.shop;
    let (token, other) = (Sha::of(b"token"), Sha::of(b"other"));
    let at = |hour: u8| crate::sample::moment(&format!("2026-11-28T{hour:02}:00:00Z"));
    let session = Session { person: sample.ada, until: at(12) };
    shop.open_session(token, &session, &at(9)).unwrap();
    shop.open_session(other, &Session { person: sample.ben, until: at(20) }, &at(9)).unwrap();
    let open = shop.session(token, &at(11)).unwrap().unwrap();
    assert_eq!((&open.session, &open.opened, &open.seen), (&session, &at(9), &at(9)));
    shop.saw_session(token, &at(10)).unwrap();
    let open = shop.session(token, &at(11)).unwrap().unwrap();
    assert_eq!((&open.opened, &open.seen), (&at(9), &at(10)));
    assert_eq!(shop.session(token, &at(12)).unwrap(), None);
    assert_eq!(shop.session(Sha::of(b"guess"), &at(11)).unwrap(), None);
    shop.end_sessions(Some(token), None).unwrap();
    assert_eq!(shop.session(token, &at(11)).unwrap(), None);
    let mut ben = shop.people().unwrap().into_iter().find(|p| p.id == sample.ben).unwrap();
    ben.active = false;
    shop.change_person(&ben).unwrap();
    assert_eq!(shop.session(other, &at(11)).unwrap(), None);
    ben.active = true;
    shop.change_person(&ben).unwrap();
    assert!(shop.session(other, &at(11)).unwrap().is_some());
    shop.end_sessions(None, Some(sample.ben)).unwrap();
    assert_eq!(shop.session(other, &at(11)).unwrap(), None);
    assert_eq!(
        shop.add_person("Ada", "owner").unwrap_err(),
        RecordsError::NameTaken { what: "person" }
    );
}

#[test]
fn attachments_are_what_they_are_and_not_too_large() {
    let sample = Sample::new();
    let (person, at) = (sample.ada, &now());
    let to = AttachedTo::Part(sample.rotor);
    let attach = |name, bytes| {
        sample.shop.attach(&NewAttachment { to, station: None, name, bytes, person, at })
    };
    let error = attach("page.png", b"<html><script>").unwrap_err();
    assert!(matches!(error, RecordsError::MediaType { .. }), "{error:?}");
    let mut large = b"\x89PNG\r\n\x1a\n".to_vec();
    large.resize(ATTACHMENT_MOST + 1, 0);
    let error = attach("large.png", &large).unwrap_err();
    assert!(matches!(error, RecordsError::TooLarge { .. }), "{error:?}");
    attach("just.png", &large[..ATTACHMENT_MOST]).unwrap();
    let kept = sample.shop.attachments(to).unwrap().remove(0);
    assert_eq!((kept.media_type, kept.size), (MediaType::Png, ATTACHMENT_MOST as i64));
    let nowhere = AttachedTo::Part(records::PartId(99));
    let (name, bytes) = ("a.pdf", b"%PDF-1.7".as_slice());
    let error = sample
        .shop
        .attach(&NewAttachment { to: nowhere, station: None, name, bytes, person, at })
        .unwrap_err();
    assert!(matches!(error, RecordsError::Refused { .. }), "{error:?}");
}

#[test]
fn readings_as_csv() {
    let sample = Sample::new();
    sample.read("land_width.1", "3.1463 in").unwrap();
    sample.read("land_width.1", "79.916 mm").unwrap();
    let value = length(".005\"");
    sample
        .shop
        .add_reading(&NewReading {
            part: sample.housing,
            build: Some(sample.of()),
            when: When::After,
            station: "width.1",
            value: &value,
            gauge: None,
            person: sample.ben,
            at: &now(),
            temperature: None,
            expected: None,
            sent_as: None,
            place: None,
        })
        .unwrap();
    let text = sample.shop.readings_csv(sample.build).unwrap();
    assert_eq!(
        text.replace("\r\n", "\n"),
        "reading,part,serial,stage,station,value,quantity,si,gauge,person,at,temperature,temperature_deg_c,revision,supersedes,superseded_by\n\
         1,rotor,R-114,before,land_width.1,3.1463 in,length,0.07991602,M-3,Ada,2026-11-28T09:30:00Z,22 degC,22,1,,2\n\
         2,rotor,R-114,before,land_width.1,79.916 mm,length,0.079916,M-3,Ada,2026-11-28T09:30:00Z,22 degC,22,1,1,\n\
         3,rotor housing,H-31,after,width.1,\".005\"\"\",length,0.000127,,Ben,2026-11-28T09:30:00Z,,,1,,\n"
    );
    assert!(sample.shop.readings_csv(records::BuildId(99)).is_err());
}

#[test]
fn what_stands_is_looked_up_where_it_stands() {
    // Among two million readings nearly all are not superseded.
    let sample = Sample::new();
    let connection = raw(sample.file());
    for (query, index) in [
        (
            "SELECT * FROM reading r WHERE r.part = ?1 AND r.build IS ?2 AND r.stage = ?3
             AND r.station = ?4 AND r.superseded_by IS NULL",
            "reading_now",
        ),
        (
            "SELECT * FROM reading r WHERE r.part = ?1 AND r.superseded_by IS NULL
             ORDER BY r.id DESC LIMIT 6",
            "reading_part",
        ),
        (
            "SELECT * FROM build_value v WHERE v.build = ?1 AND v.superseded_by IS NULL
             ORDER BY v.rank, v.id",
            "build_value_now",
        ),
        ("SELECT * FROM reading r WHERE r.sent_as = ?1", "reading_sent_as"),
    ] {
        let mut statement = connection.prepare(&format!("EXPLAIN QUERY PLAN {query}")).unwrap();
        let steps: Vec<String> =
            statement.raw_query().mapped(|row| row.get(3)).collect::<Result<_, _>>().unwrap();
        assert!(steps.iter().any(|step| step.contains(index)), "{query}\n{steps:?}");
        assert!(steps.iter().all(|step| !step.contains("TEMP")), "{query}\n{steps:?}");
    }
}
