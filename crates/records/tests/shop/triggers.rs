//! What the file itself refuses, whoever asks: one statement per rule, and the words of it.

use crate::carrying;
use crate::sample::{Sample, due, length, now, raw};
use records::{
    AttachedTo, Contact, GearFace, InRevision, NewAttachment, NewFinding, NewReading, NewWork,
    OutWhy, RecordsError, Sha, Stage, When, WorkKind,
};
use rusqlite::Connection;
use std::collections::BTreeSet;

/// A shop in which everything has at least one row; build 1 is signed, build 2 open.
fn full() -> Sample {
    let sample = Sample::new().with_history();
    let Sample { shop, ada, rotor, build, .. } = &sample;
    let (person, at) = (*ada, &now());
    for kind in WorkKind::ALL.iter().copied() {
        let new = NewWork {
            kind,
            build: *build,
            title: "set",
            program: "0.1.0",
            inputs_hash: Sha::of(b"inputs"),
            document: "{\"format\": 1}",
            person,
            at,
        };
        shop.add_work(&new).unwrap();
    }
    shop.add_finding(&NewFinding {
        build: *build,
        part: Some(*rotor),
        place: "gear face, tip 1",
        contact: Contact::NotSeen,
        running: Some("12 h"),
        note: "",
        person,
        at,
    })
    .unwrap();
    carrying::tear(&sample, "11.5 h", carrying::ANEW);
    shop.add_tilt_test(&carrying::tilt(&sample)).unwrap();
    let bytes = b"%PDF-1.7";
    let to = AttachedTo::Part(*rotor);
    shop.attach(&NewAttachment { to, station: None, name: "a.pdf", bytes, person, at }).unwrap();
    shop.add_part_event(*rotor, "came in", (person, at)).unwrap();
    let head = shop.build(*build).unwrap().head;
    let open = shop.add_build(&head, None, &due(Stage::Teardown), (person, at)).unwrap();
    assert_eq!(open.0, 2);
    shop.set_value(&records::NewValue {
        of: InRevision { build: open, revision: 1 },
        place: "format",
        value: Some("1"),
        person,
        at,
        expected: None,
    })
    .unwrap();
    sample
}

/// A statement, and the words that refuse it.
const REFUSED: &[(&str, &str)] = &[
    ("UPDATE reading SET value = '80 mm' WHERE id = 1", "a reading is never changed"),
    ("UPDATE reading SET si = 1 WHERE id = 1", "a reading is never changed"),
    ("UPDATE reading SET gauge = NULL WHERE id = 1", "a reading is never changed"),
    ("UPDATE reading SET superseded_by = 3 WHERE id = 1", "a reading is never changed"),
    ("UPDATE reading SET superseded_by = NULL WHERE id = 2", "a reading is never changed"),
    ("UPDATE reading SET superseded_by = 1 WHERE id = 2", "a reading is never changed"),
    ("DELETE FROM reading WHERE id = 1", "a reading is never deleted"),
    (
        "INSERT OR REPLACE INTO reading SELECT * FROM reading WHERE id = 1",
        "a reading is never replaced",
    ),
    (
        "INSERT INTO reading (part, stage, station, value, quantity, si, person, at, seal, superseded_by)
         VALUES (1, 'before', 's', '1 mm', 'length', 1, 1, 'x', zeroblob(32), 1)",
        "superseded by a later one",
    ),
    (
        "INSERT INTO reading (part, build, revision, stage, station, value, quantity, si, person, at, seal)
         VALUES (1, 1, 2, 'before', 's', '1 mm', 'length', 1, 1, 'x', zeroblob(32))",
        "the build is signed: open a new revision to add readings",
    ),
    (
        "INSERT INTO reading (part, build, revision, stage, station, value, quantity, si, person, at, seal)
         VALUES (1, 2, 2, 'before', 's', '1 mm', 'length', 1, 1, 'x', zeroblob(32))",
        "the revision of its build that is open",
    ),
    (
        "INSERT INTO reading (part, build, revision, stage, station, value, quantity, si, person, at, seal, supersedes)
         VALUES (1, 2, 1, 'before', 'land_width.2', '1 mm', 'length', 1, 1, 'x', zeroblob(32), 2)",
        "the reading is superseded already",
    ),
    (
        "INSERT INTO reading (part, build, revision, stage, station, value, quantity, si, person, at, seal, supersedes)
         VALUES (1, 2, 1, 'before', 'land_width.1', '1 mm', 'length', 1, 1, 'x', zeroblob(32), 1)",
        "only one of the same part, build, station and stage",
    ),
    ("UPDATE build_value SET value = '1' WHERE id = 1", "a value is never changed"),
    ("UPDATE build_value SET rank = 1 WHERE id = 1", "a value is never changed"),
    ("UPDATE build_value SET superseded_by = 2 WHERE id = 1", "a value is never changed"),
    ("DELETE FROM build_value WHERE id = 1", "a value is never deleted"),
    (
        "INSERT OR REPLACE INTO build_value SELECT * FROM build_value WHERE id = 1",
        "a value is never replaced",
    ),
    (
        "INSERT INTO build_value (build, revision, place, rank, value, person, at, seal, superseded_by)
         VALUES (2, 1, 'p', 1, '1', 1, 'x', zeroblob(32), 1)",
        "superseded by a later one",
    ),
    (
        "INSERT INTO build_value (build, revision, place, rank, value, person, at, seal)
         VALUES (1, 2, 'p', 1, '1', 1, 'x', zeroblob(32))",
        "the build is signed: open a new revision to change values",
    ),
    (
        "INSERT INTO build_value (build, revision, place, rank, value, person, at, seal)
         VALUES (2, 7, 'p', 1, '1', 1, 'x', zeroblob(32))",
        "the revision of its build that is open",
    ),
    (
        "INSERT INTO build_value (build, revision, place, rank, value, person, at, seal, supersedes)
         SELECT 2, 1, place, 1, '1', 1, 'x', zeroblob(32), id FROM build_value
         WHERE superseded_by IS NOT NULL",
        "the value is superseded already",
    ),
    (
        "INSERT INTO build_value (build, revision, place, rank, value, person, at, seal, supersedes)
         VALUES (2, 1, 'p', 1, '1', 1, 'x', zeroblob(32), 1)",
        "only one of the same build and place",
    ),
    (
        "INSERT INTO build (name, stage, due_next, revision, person, at)
         VALUES ('b', 'teardown', '', 2, 1, 'x')",
        "a build begins with its first revision",
    ),
    ("UPDATE build SET name = 'b' WHERE id = 1", "open a new revision to change it"),
    ("UPDATE build SET spec = NULL WHERE id = 1", "open a new revision to change it"),
    ("UPDATE build SET open = 0 WHERE id = 2", "closed by its sign-off alone"),
    ("UPDATE build SET open = 1 WHERE id = 1", "opened by the next revision alone"),
    ("UPDATE build SET open = 1, revision = 3 WHERE id = 1", "opened by the next revision alone"),
    ("UPDATE build SET revision = 2 WHERE id = 2", "changes when it is opened again"),
    ("UPDATE build SET person = 2 WHERE id = 2", "who began a build"),
    ("DELETE FROM build WHERE id = 2", "a build is never deleted"),
    (
        "INSERT INTO amendment VALUES (2, 2, 'because', 1, 'x')",
        "only a signed build is amended",
    ),
    (
        "INSERT INTO amendment VALUES (1, 4, 'because', 1, 'x')",
        "only a signed build is amended",
    ),
    ("UPDATE amendment SET reason = 'other'", "an amendment is never changed"),
    ("DELETE FROM amendment", "an amendment is never deleted"),
    (
        "INSERT INTO build_part (build, part, position, revision, person, at)
         VALUES (1, 2, 2, 2, 1, 'x')",
        "open a new revision to change its parts",
    ),
    (
        "INSERT INTO build_part (build, part, position, revision, person, at)
         VALUES (2, 2, 2, 2, 1, 'x')",
        "fitted in the revision of its build that is open",
    ),
    (
        "INSERT INTO build_part (build, part, position, revision, person, at, out_why, out_revision, out_person, out_at)
         VALUES (2, 2, 2, 1, 1, 'x', 'exchanged', 1, 1, 'x')",
        "taken out after it was fitted",
    ),
    (
        "INSERT INTO build_part (build, part, position, gear_face, revision, person, at)
         VALUES (2, 2, 2, 'rear', 1, 1, 'x')",
        "which way the gear face looks",
    ),
    (
        "INSERT INTO build_part (build, part, position, revision, person, at)
         VALUES (2, 1, 2, 1, 1, 'x')",
        "which way the gear face looks",
    ),
    ("UPDATE build_part SET position = 2 WHERE id = 1", "where a part was fitted is never changed"),
    (
        "UPDATE build_part SET out_why = 'exchanged', out_revision = 2, out_person = 1, out_at = 'x' WHERE id = 1",
        "open a new revision to exchange",
    ),
    (
        "UPDATE build_part SET out_why = 'torn down', out_revision = 1, out_person = 1, out_at = 'x' WHERE id = 1",
        "in the revision of its build that stands",
    ),
    ("DELETE FROM build_part WHERE id = 1", "where a part was fitted is never deleted"),
    ("UPDATE part SET serial = 'R-115' WHERE id = 1", "kind and serial of a part are never changed"),
    ("DELETE FROM part WHERE id = 1", "a part is never deleted"),
    ("UPDATE part_event SET what = 'else'", "what happened to a part is never changed"),
    ("DELETE FROM part_event", "what happened to a part is never deleted"),
    ("UPDATE spec SET version = 9", "a version of a spec is never changed"),
    ("DELETE FROM spec", "a build refers to this version"),
    ("INSERT INTO spec_value VALUES (1, 9, 'spec.step', '1')", "a build refers to this version"),
    ("UPDATE spec_value SET value = '1'", "a build refers to this version"),
    ("DELETE FROM spec_value", "a build refers to this version"),
    (
        "INSERT OR REPLACE INTO sign_off SELECT * FROM sign_off WHERE id = 2",
        "a sign-off is never replaced",
    ),
    ("UPDATE sign_off SET meaning = 'else'", "a sign-off is never changed"),
    ("DELETE FROM sign_off", "a sign-off is never deleted"),
    ("UPDATE plan SET document = '{}'", "a plan is never changed"),
    ("DELETE FROM plan", "a plan is never deleted"),
    ("UPDATE sheet SET document = '{}'", "a sheet is never changed"),
    ("DELETE FROM sheet", "a sheet is never deleted"),
    ("UPDATE balance_run SET document = '{}'", "a balance run is never changed"),
    ("DELETE FROM balance_run", "a balance run is never deleted"),
    ("UPDATE finding SET note = 'else'", "a finding is never changed"),
    ("DELETE FROM finding", "a finding is never deleted"),
    ("INSERT OR REPLACE INTO prediction SELECT * FROM prediction", "a prediction is never replaced"),
    (
        "INSERT INTO prediction SELECT 2, 2, 1, program, inputs_hash, document, person, at, seal FROM prediction",
        "what is predicted is a revision of a build that was signed",
    ),
    ("UPDATE prediction SET document = '{}'", "a prediction is never changed: it is what"),
    ("DELETE FROM prediction", "a prediction is never deleted"),
    ("INSERT OR REPLACE INTO teardown SELECT * FROM teardown", "a teardown is never replaced"),
    (
        "INSERT INTO teardown (id, build, revision, note, marks, unpredicted, person, at, seal)
         VALUES (2, 2, 1, '', 0, 'why', 1, 'x', zeroblob(32))",
        "what comes apart is a revision of a build that was signed",
    ),
    (
        "INSERT INTO teardown (id, build, revision, note, marks, unpredicted, person, at, supersedes, seal)
         VALUES (2, 1, 1, '', 0, 'why', 1, 'x', 1, zeroblob(32))",
        "supersedes only one of the same build and revision",
    ),
    (
        "INSERT INTO teardown (id, build, revision, note, marks, prediction, person, at, seal)
         VALUES (2, 1, 1, '', 0, 1, 1, 'x', zeroblob(32))",
        "has a prediction of its own build and revision",
    ),
    ("UPDATE teardown SET note = 'else'", "a teardown is never changed"),
    ("DELETE FROM teardown", "a teardown is never deleted"),
    (
        "INSERT OR REPLACE INTO teardown_mark SELECT * FROM teardown_mark",
        "a mark is never replaced",
    ),
    (
        "INSERT INTO teardown_mark (id, teardown, part, face, tip, contact, note)
         VALUES (9, 1, 1, 'plain', 3, 'none', '')",
        "the marks of a teardown are complete",
    ),
    ("UPDATE teardown_mark SET contact = 'none'", "a mark is never changed"),
    ("DELETE FROM teardown_mark", "a mark is never deleted"),
    ("INSERT OR REPLACE INTO tilt_test SELECT * FROM tilt_test", "a tilt test is never replaced"),
    ("UPDATE tilt_test SET note = 'else'", "a tilt test is never changed"),
    ("DELETE FROM tilt_test", "a tilt test is never deleted"),
    (
        "INSERT OR REPLACE INTO tilt_reading SELECT * FROM tilt_reading",
        "a reading of a tilt test is never replaced",
    ),
    (
        "INSERT INTO tilt_reading SELECT 9, tilt_test, least, least_quantity, least_si, most, most_quantity, most_si FROM tilt_reading",
        "the readings of a tilt test are complete",
    ),
    ("UPDATE tilt_reading SET most_si = 1.0", "a reading of a tilt test is never changed"),
    ("DELETE FROM tilt_reading", "a reading of a tilt test is never deleted"),
    ("UPDATE attachment SET name = 'else'", "an attachment is never changed"),
    ("DELETE FROM attachment", "an attachment is never deleted"),
    ("DELETE FROM person WHERE id = 2", "a person is never deleted"),
    ("DELETE FROM gauge", "a gauge is never deleted"),
    ("UPDATE calibration SET due = '2030-01-01'", "a calibration is never changed"),
    ("DELETE FROM calibration", "a calibration is never deleted"),
];

/// Statements that need the file in another state first.
const REFUSED_THEN: &[(&str, &str, &str)] = &[
    (
        "UPDATE build_part SET out_why = 'torn down', out_revision = 2, out_person = 1, out_at = 'x' WHERE id = 2",
        "UPDATE part SET retired = 1 WHERE id = 2;
         INSERT INTO build_part (build, part, position, revision, person, at) VALUES (2, 2, 1, 1, 1, 'x')",
        "the part is retired",
    ),
    (
        "INSERT INTO part (kind, serial, person, at) VALUES ('rotor', 'R-1', 1, 'x'), ('rotor', 'R-2', 1, 'x');
         INSERT INTO build_part (build, part, position, gear_face, revision, person, at) VALUES (2, 3, 1, 'rear', 1, 1, 'x')",
        "INSERT INTO build_part (build, part, position, gear_face, revision, person, at) VALUES (2, 4, 1, 'rear', 1, 1, 'x')",
        "another part of this kind is in this position",
    ),
    (
        "INSERT INTO part (kind, serial, person, at) VALUES ('rotor', 'R-1', 1, 'x');
         INSERT INTO build_part (build, part, position, gear_face, revision, person, at) VALUES (2, 3, 1, 'rear', 1, 1, 'x')",
        "UPDATE build_part SET out_why = 'torn down', out_revision = 1, out_person = 1, out_at = 'x' WHERE part = 3",
        "torn down after it was signed",
    ),
    (
        "INSERT INTO teardown (id, build, revision, note, marks, unpredicted, person, at, seal)
         VALUES (2, 1, 1, '', 1, 'why', 1, 'x', zeroblob(32))",
        "INSERT INTO teardown_mark (id, teardown, part, face, tip, contact, note)
         VALUES (9, 2, 2, 'plain', 3, 'none', '')",
        "marks are of a rotor that was in the build",
    ),
    (
        "CREATE TEMP TABLE other AS SELECT * FROM tilt_test; UPDATE other SET id = 2, build = 2",
        "INSERT INTO tilt_test SELECT * FROM other",
        "a tilt test is of a rotor that was in the build",
    ),
    (
        "INSERT INTO part (kind, serial, person, at) VALUES ('rotor', 'R-1', 1, 'x');
         INSERT INTO build_part (build, part, position, gear_face, revision, person, at) VALUES (2, 3, 1, 'rear', 1, 1, 'x');
         CREATE TEMP TABLE other AS SELECT * FROM tilt_test;
         UPDATE other SET id = 2, build = 2, part = 3, supersedes = 1",
        "INSERT INTO tilt_test SELECT * FROM other",
        "supersedes only one of the same build and rotor",
    ),
    (
        "SELECT 1",
        "INSERT INTO sign_off SELECT 9, previous, build, 1, person, person_name, at, meaning, name, customer, engine, spec, last_reading, reading_seal, last_value, value_seal, head_hash, parts_hash, readings_hash, values_hash, content_hash, randomblob(32) FROM sign_off WHERE id = 2",
        "the revision of a build that stands",
    ),
];

fn message(connection: &Connection, statement: &str) -> String {
    connection.execute_batch(statement).unwrap_err().to_string()
}

#[test]
fn every_rule_refuses_and_says_why() {
    let sample = full();
    let connection = raw(sample.file());
    for (statement, words) in REFUSED {
        let message = message(&connection, statement);
        assert!(message.contains(words), "{statement}\n{message}");
    }
    for (before, statement, words) in REFUSED_THEN {
        connection.execute_batch(&format!("BEGIN; {before}")).unwrap();
        let message = message(&connection, statement);
        assert!(message.contains(words), "{statement}\n{message}");
        connection.execute_batch("ROLLBACK").unwrap();
    }
    sample.shop.audit().unwrap();
}

#[test]
fn no_rule_is_untested() {
    let sample = Sample::new();
    let connection = raw(sample.file());
    let sql: Vec<String> = connection
        .prepare("SELECT sql FROM sqlite_schema WHERE type = 'trigger'")
        .unwrap()
        .query_map([], |row| row.get(0))
        .unwrap()
        .collect::<Result<_, _>>()
        .unwrap();
    let rules: BTreeSet<String> = sql
        .iter()
        .flat_map(|sql| sql.split("RAISE(ABORT, '").skip(1))
        .filter_map(|rest| rest.split('\'').next().map(str::to_owned))
        .collect();
    assert!(rules.len() > 50, "{}", rules.len());
    let tested = |rule: &String| {
        REFUSED.iter().any(|(_, words)| rule.contains(words))
            || REFUSED_THEN.iter().any(|(_, _, words)| rule.contains(words))
    };
    let untested: Vec<_> = rules.iter().filter(|rule| !tested(rule)).collect();
    assert!(untested.is_empty(), "{untested:#?}");
}

#[test]
fn deletion_by_replacement_is_refused_on_the_shops_own_connections_too() {
    // The last line of defence is the same for all: an insert over a number that is there.
    let sample = Sample::new().with_history();
    let before = sample.shop.readings_of(sample.build).unwrap();
    let connection = raw(sample.file());
    connection.pragma_update(None, "recursive_triggers", false).unwrap();
    message(&connection, "INSERT OR REPLACE INTO reading SELECT * FROM reading WHERE id = 2");
    assert_eq!(sample.shop.readings_of(sample.build).unwrap(), before);
}

#[test]
fn rules_reach_the_caller_in_their_own_words() {
    let sample = full();
    let error =
        sample.shop.take_out(sample.fitted, OutWhy::Exchanged, (sample.ada, &now())).unwrap_err();
    let why = "the build is signed: open a new revision to exchange its parts".to_owned();
    assert_eq!(error, RecordsError::Refused { why });
}

#[test]
fn a_part_is_in_one_engine_at_a_time() {
    let sample = full();
    let head = sample.shop.build(sample.build).unwrap().head;
    let by = (sample.ada, &now());
    let other = sample.shop.add_build(&head, None, &due(Stage::Assembly), by).unwrap();
    let fit = records::Fit {
        of: InRevision { build: other, revision: 1 },
        part: sample.rotor,
        position: 1,
        gear_face: Some(GearFace::Front),
        person: sample.ada,
        at: &now(),
    };
    let error = sample.shop.fit(&fit).unwrap_err();
    assert!(error.to_string().contains("in build 1"), "{error}");
    // After the engine came apart it is free again, and what was signed stays what it was.
    sample.shop.take_out(sample.fitted, OutWhy::TornDown, by).unwrap();
    sample.shop.fit(&fit).unwrap();
    sample.shop.audit().unwrap();
}

#[test]
fn what_a_reading_refers_to_must_be_there() {
    let sample = Sample::new();
    let error = sample
        .shop
        .add_reading(&NewReading {
            part: records::PartId(99),
            build: None,
            when: When::Before,
            station: "land_width.1",
            value: &length("79.9 mm"),
            gauge: None,
            person: sample.ada,
            at: &now(),
            temperature: None,
            expected: None,
            sent_as: None,
            place: None,
        })
        .unwrap_err();
    assert!(matches!(error, RecordsError::Refused { .. }), "{error:?}");
    assert!(error.to_string().contains("not in the shop's file"), "{error}");
}

#[test]
fn what_must_be_said_is_asked_for() {
    let sample = Sample::new();
    let (shop, by) = (&sample.shop, (sample.ada, &now()));
    let told = |error: RecordsError| match error {
        RecordsError::Refused { why } => why,
        other => panic!("{other:?}"),
    };
    assert_eq!(told(shop.add_person("", "").unwrap_err()), "a person has a name");
    assert_eq!(told(shop.add_customer("", "", "").unwrap_err()), "a customer has a name");
    assert_eq!(
        told(shop.add_part(records::PartKind::Rotor, "", by).unwrap_err()),
        "a part has a serial"
    );
    assert_eq!(
        told(shop.add_part_event(sample.rotor, "", by).unwrap_err()),
        "it is said what happened to a part"
    );
    assert_eq!(told(sample.read("", "79.9 mm").unwrap_err()), "a reading has a station");
    assert_eq!(told(sample.set("", Some("1")).unwrap_err()), "a value has a place");
    assert_eq!(told(sample.sign("").unwrap_err()), "a sign-off says what it means");
    sample.sign("built").unwrap();
    let seen = shop.seen(sample.build).unwrap();
    let error = shop.amend(sample.build, &seen, "", by).unwrap_err();
    assert_eq!(told(error), "an amendment has a reason");
    let new = NewWork {
        kind: WorkKind::Plan,
        build: sample.build,
        title: "",
        program: "",
        inputs_hash: Sha::NONE,
        document: "{not json",
        person: sample.ada,
        at: &now(),
    };
    assert_eq!(told(shop.add_work(&new).unwrap_err()), "a document is JSON");
}
