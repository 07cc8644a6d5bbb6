//! Whatever is typed into a field comes back as it was typed.

use crate::sample::{Sample, calibration, due, length, line, now, raw};
use records::{
    AttachedTo, Contact, Customer, Fit, Head, InRevision, NewAttachment, NewFinding, NewIntake,
    NewReading, NewSignOff, NewValue, NewWork, Part, PartKind, PartSearch, Sha, Stage, When,
    WorkKind,
};

const UGLY: &[&str] = &[
    "'; DROP TABLE reading; --",
    "\"); DELETE FROM person; --",
    "<script>alert('x')</script>",
    "<img src=x onerror=alert(1)>",
    "{{7*7}} ${x} %s %00 \\0",
    "' OR '1'='1",
    "100% _wild_ *glob* [a-z]",
    "Größe ⌀ 79.9 \u{202e}mm\u{202c} \u{1F600}",
    "line one\r\nline two\ttab",
    "=1+1",
    "\u{0}nul in the middle\u{0} and end",
];

#[test]
fn text_comes_back_as_text_from_every_field() {
    let sample = Sample::new();
    let tables = |sample: &Sample| -> i64 {
        raw(sample.file())
            .query_row("SELECT count(*) FROM sqlite_schema", [], |row| row.get(0))
            .unwrap()
    };
    let before = tables(&sample);
    for ugly in UGLY {
        every_field(&sample, ugly);
    }
    assert_eq!(tables(&sample), before);
    sample.shop.check().unwrap();
    sample.shop.audit().unwrap();
}

fn every_field(sample: &Sample, ugly: &str) {
    let shop = &sample.shop;
    let at = &now();
    let person = shop.add_person(ugly, ugly).unwrap();
    let by = (person, at);
    let kept = shop.people().unwrap().into_iter().find(|p| p.id == person).unwrap();
    assert_eq!((kept.name.as_str(), kept.role.as_str()), (ugly, ugly));
    shop.set_password(person, Some(ugly)).unwrap();
    assert_eq!(shop.password(person).unwrap().as_deref(), Some(ugly));
    shop.set_setting(ugly, ugly).unwrap();
    assert_eq!(shop.setting(ugly).unwrap().as_deref(), Some(ugly));

    let customer = shop.add_customer(ugly, ugly, ugly).unwrap();
    let (name, contact, note) = (ugly.to_owned(), ugly.to_owned(), ugly.to_owned());
    let kept = Customer { id: customer, name, contact, note };
    assert!(shop.customers(ugly).unwrap().contains(&kept));
    shop.change_customer(&kept).unwrap();
    let new = NewIntake { customer, came_in: ugly, wanted: ugly, due: None, person, at };
    let intake = shop.add_intake(&new).unwrap();
    let kept = shop.intakes_without_build().unwrap().into_iter().find(|i| i.id == intake).unwrap();
    assert_eq!((kept.came_in.as_str(), kept.wanted.as_str()), (ugly, ugly));
    assert_eq!(shop.intakes_of(customer).unwrap().len(), 1);

    let mut first = calibration(None);
    first.certificate = ugly.to_owned();
    let gauge = shop.add_gauge(ugly, ugly, &first).unwrap();
    let kept = shop.gauges().unwrap().into_iter().find(|g| g.id == gauge).unwrap();
    assert_eq!((kept.name.as_str(), kept.kind.as_str()), (ugly, ugly));
    assert_eq!(kept.calibration.what.certificate, ugly);

    let lines = [line(ugly, ugly)];
    let engine = shop.add_engine(ugly, &lines).unwrap();
    assert_eq!(shop.engine_lines(engine).unwrap(), lines);
    assert!(shop.engines().unwrap().iter().any(|e| e.name == ugly));
    let material = shop.add_material(ugly, &lines).unwrap();
    assert_eq!(shop.material_lines(material).unwrap(), lines);
    let machine = shop.add_machine_tool(ugly, &lines).unwrap();
    assert_eq!(shop.machine_tool_lines(machine).unwrap(), lines);
    let spec = shop.add_spec(ugly, person, at, &lines).unwrap();
    assert_eq!(shop.spec_lines(spec).unwrap(), lines);
    assert!(shop.specs().unwrap().iter().any(|s| s.name == ugly));

    let part = shop.add_part(PartKind::Shaft, ugly, by).unwrap();
    let kept = shop.part_of(PartKind::Shaft, ugly).unwrap().unwrap();
    let serial = ugly.to_owned();
    let kind = PartKind::Shaft;
    assert_eq!(kept, Part { id: part, kind, serial, retired: false, person, at: now() });
    shop.add_part_event(part, ugly, by).unwrap();
    let search = PartSearch { serial: ugly, most: 9, ..PartSearch::default() };
    let found = shop.parts(&search).unwrap();
    assert_eq!(found.iter().map(|f| f.part.id).collect::<Vec<_>>(), [part], "{ugly:?}");

    let head = Head {
        name: ugly.to_owned(),
        customer: Some(customer),
        engine: Some(engine),
        spec: Some(spec),
    };
    let mut next = due(Stage::Teardown);
    next.next = ugly.to_owned();
    let build = shop.add_build(&head, Some(intake), &next, by).unwrap();
    assert_eq!(shop.build(build).unwrap().head, head);
    assert_eq!(shop.build(build).unwrap().due, next);
    let search = records::BuildSearch { text: ugly, most: 9, ..Default::default() };
    assert!(shop.builds(&search).unwrap().iter().any(|b| b.build.id == build));
    let of = InRevision { build, revision: 1 };
    shop.fit(&Fit { of, part, position: 1, gear_face: None, person, at }).unwrap();

    // A value keeps whatever stands for one; a reading is always a quantity.
    let new = NewValue { of, place: ugly, value: Some(ugly), person, at, expected: None };
    shop.set_value(&new).unwrap();
    let reading = shop
        .add_reading(&NewReading {
            part,
            build: Some(of),
            when: When::After,
            station: ugly,
            value: &length(" 79.915 mm "),
            gauge: Some(gauge),
            person,
            at,
            temperature: None,
            expected: None,
            sent_as: Some(ugly),
            place: Some(&format!("shaft.{ugly}")),
        })
        .unwrap();
    let kept = shop.reading(reading).unwrap();
    assert_eq!((kept.station.as_str(), kept.value.text()), (ugly, " 79.915 mm "));
    assert_eq!(kept.sent_as.as_deref(), Some(ugly));
    let values = shop.values(build).unwrap();
    assert_eq!((values[0].place.as_str(), values[0].value.as_str()), (ugly, ugly));
    assert_eq!(values[1].value, "\" 79.915 mm \"");
    assert!(shop.readings_csv(build).unwrap().contains(&ugly.replace('"', "\"\"")));

    let document = "{\"x\": \"<script>\"}";
    let inputs_hash = Sha::of(ugly.as_bytes());
    let kind = WorkKind::Sheet;
    let new =
        NewWork { kind, build, title: ugly, program: ugly, inputs_hash, document, person, at };
    shop.add_work(&new).unwrap();
    let kept = shop.last_work(build, kind).unwrap().unwrap();
    assert_eq!((kept.title.as_str(), kept.program.as_str()), (ugly, ugly));
    assert_eq!(kept.document, document);
    let finding = shop
        .add_finding(&NewFinding {
            build,
            part: Some(part),
            place: ugly,
            contact: Contact::Seen,
            running: Some(ugly),
            note: ugly,
            person,
            at,
        })
        .unwrap();
    let kept = shop.findings_of(build).unwrap().pop().unwrap();
    assert_eq!((kept.id, kept.place.as_str(), kept.note.as_str()), (finding, ugly, ugly));
    let bytes = b"\xFF\xD8\xFF\xE0 photo";
    let to = AttachedTo::Build(build);
    let attached =
        shop.attach(&NewAttachment { to, station: None, name: ugly, bytes, person, at }).unwrap();
    assert_eq!(shop.attachment(attached).unwrap().0.name, ugly);
    assert_eq!(shop.attachment(attached).unwrap().1, bytes);

    let history = shop.part_history(part).unwrap();
    assert_eq!(history.events[0].what, ugly);
    assert_eq!(history.fitted[0].1, ugly);
    let seen = shop.seen(build).unwrap();
    let signed = shop.sign(&NewSignOff { build, seen, person, at, meaning: ugly }).unwrap();
    assert_eq!((signed.meaning.as_str(), signed.person_name.as_str()), (ugly, ugly));
    let seen = shop.seen(build).unwrap();
    shop.amend(build, &seen, ugly, by).unwrap();
    assert_eq!(shop.amendments(build).unwrap()[0].reason, ugly);
}
