//! Somebody without the program changes a copy of the file: the audit names what they touched.

use crate::carrying;
use crate::sample::{Sample, length, now, raw};
use records::{
    Against, AttachedTo, AttachmentId, BuildId, CalibrationId, Contact, FindingId, Misfit,
    NewAttachment, NewFinding, NewReading, NewWork, PredictionId, ReadingId, Record, RecordsError,
    Sha, Shop, SignOffId, TeardownId, TiltTestId, ValueId, When, WorkId, WorkKind, Wrong,
};
use rusqlite::Connection;

/// A shop in which two revisions of a build are signed, and what is not part of them too.
fn honest() -> Sample {
    let sample = Sample::new().with_history();
    let Sample { shop, ada, rotor, build, .. } = &sample;
    let (person, at) = (*ada, &now());
    for kind in [WorkKind::Plan, WorkKind::BalanceRun] {
        let (title, program, document) = ("set", "0.1.0", "{\"format\": 1}");
        let inputs_hash = Sha::of(b"inputs");
        let build = *build;
        shop.add_work(&NewWork { kind, build, title, program, inputs_hash, document, person, at })
            .unwrap();
    }
    shop.add_finding(&NewFinding {
        build: *build,
        part: Some(*rotor),
        place: "gear face, tip 1",
        contact: Contact::Seen,
        running: None,
        note: "polished, 4 mm long",
        person,
        at,
    })
    .unwrap();
    let to = AttachedTo::Finding(FindingId(1));
    let bytes = b"\x89PNG\r\n\x1a\n and the rest of a photo";
    shop.attach(&NewAttachment { to, station: None, name: "tip 1.png", bytes, person, at })
        .unwrap();
    carrying::tear(&sample, "11.5 h", carrying::ANEW);
    carrying::tear(&sample, "12 h", Against::Kept(PredictionId(1)));
    shop.add_tilt_test(&carrying::tilt(&sample)).unwrap();
    // A reading on the shelf, which no signature covers.
    shop.add_reading(&NewReading {
        part: sample.housing,
        build: None,
        when: When::Before,
        station: "width.1",
        value: &length("80.010 mm"),
        gauge: Some(sample.gauge),
        person,
        at,
        temperature: None,
        expected: None,
        sent_as: None,
        place: None,
    })
    .unwrap();
    sample
}

/// What the audit says of a copy that was changed.
fn after(sample: &Sample, statements: &str) -> Result<(), Misfit> {
    let file = sample.beside("changed.db");
    let _ = std::fs::remove_file(&file);
    sample.shop.backup(&file).unwrap();
    let connection = raw(&file);
    connection.execute_batch("PRAGMA foreign_keys = OFF; BEGIN").unwrap();
    drop_rules(&connection);
    connection.execute_batch(&format!("{statements}; COMMIT")).unwrap();
    connection.close().unwrap();
    match Shop::open(&file, &now()).unwrap().audit() {
        Ok(_) => Ok(()),
        Err(RecordsError::Audit { misfit, .. }) => Err(*misfit),
        Err(other) => panic!("{other}"),
    }
}

fn drop_rules(connection: &Connection) {
    let rules: Vec<String> = connection
        .prepare("SELECT name FROM sqlite_schema WHERE type = 'trigger'")
        .unwrap()
        .query_map([], |row| row.get(0))
        .unwrap()
        .collect::<Result<_, _>>()
        .unwrap();
    for rule in rules {
        connection.execute_batch(&format!("DROP TRIGGER {rule}")).unwrap();
    }
}

#[test]
fn an_honest_file_passes() {
    let sample = honest();
    let audited = sample.shop.audit().unwrap();
    assert_eq!((audited.readings, audited.values, audited.sign_offs), (6, 6, 2));
    let last = sample.shop.sign_offs(sample.build).unwrap().pop().unwrap();
    assert_eq!(audited.head, last.hash);
    assert_eq!(after(&sample, ""), Ok(()));
}

/// What was done, and what the audit must say.
fn kinds() -> Vec<(&'static str, &'static str, Record, Wrong)> {
    let reading = |id| Record::Reading(ReadingId(id));
    let value = |id| Record::Value(ValueId(id));
    let sign_off = |id| Record::SignOff(SignOffId(id));
    let build = |id| Record::Build(BuildId(id));
    vec![
        (
            "a reading made better, text alone",
            "UPDATE reading SET value = '79.925 mm' WHERE id = 4",
            reading(4),
            Wrong::TextAndValue,
        ),
        (
            "a computed value that the text does not say",
            "UPDATE reading SET si = 0.079925 WHERE id = 4",
            reading(4),
            Wrong::TextAndValue,
        ),
        (
            "a reading made better, text and value",
            "UPDATE reading SET value = '80 mm', si = 0.08 WHERE id = 1",
            reading(1),
            Wrong::Changed,
        ),
        (
            "a reading put down to somebody else",
            "UPDATE reading SET person = 2 WHERE id = 3",
            reading(3),
            Wrong::Changed,
        ),
        (
            "a reading taken earlier than it was",
            "UPDATE reading SET at = '2026-11-27T09:30:00Z' WHERE id = 3",
            reading(3),
            Wrong::Changed,
        ),
        (
            "a warm part made cold",
            "UPDATE reading SET temperature = '20 degC', temperature_deg_c = 20 WHERE id = 1",
            reading(1),
            Wrong::Changed,
        ),
        (
            "a reading moved to another tip",
            "UPDATE reading SET station = 'land_width.3' WHERE id = 1",
            reading(1),
            Wrong::Changed,
        ),
        ("a reading removed", "DELETE FROM reading WHERE id = 3", reading(3), Wrong::Missing),
        (
            "the first reading removed",
            "DELETE FROM reading WHERE id = 1",
            reading(1),
            Wrong::Missing,
        ),
        (
            "the last readings removed, the signed one among them",
            "DELETE FROM reading WHERE id >= 5",
            reading(3),
            Wrong::Corrections,
        ),
        (
            "the last readings removed and their traces too",
            "DELETE FROM reading WHERE id >= 5; UPDATE reading SET superseded_by = NULL WHERE id = 3",
            sign_off(2),
            Wrong::Readings,
        ),
        (
            "two readings exchanged",
            "UPDATE reading SET id = -1 WHERE id = 1; UPDATE reading SET id = 1 WHERE id = 3; UPDATE reading SET id = 3 WHERE id = -1",
            reading(1),
            Wrong::Changed,
        ),
        (
            "a correction undone",
            "UPDATE reading SET superseded_by = NULL WHERE id = 2",
            reading(4),
            Wrong::Corrections,
        ),
        (
            "a reading hidden",
            "UPDATE reading SET superseded_by = 6 WHERE id = 1",
            reading(1),
            Wrong::Corrections,
        ),
        (
            "a reading on the shelf changed",
            "UPDATE reading SET value = '80.000 mm', si = 0.08 WHERE id = 6",
            reading(6),
            Wrong::Changed,
        ),
        (
            "a value changed",
            "UPDATE build_value SET value = '\"1 um\"' WHERE place = 'machine.capability' AND superseded_by IS NULL",
            value(6),
            Wrong::Changed,
        ),
        (
            "a value moved",
            "UPDATE build_value SET rank = -1 WHERE id = 6",
            value(6),
            Wrong::Changed,
        ),
        ("a value removed", "DELETE FROM build_value WHERE id = 2", value(2), Wrong::Missing),
        (
            "a change of a value undone",
            "UPDATE build_value SET superseded_by = NULL WHERE superseded_by = 6",
            value(6),
            Wrong::Corrections,
        ),
        (
            "a part exchanged after it was signed",
            "UPDATE build_part SET position = 2 WHERE id = 1",
            sign_off(1),
            Wrong::Parts,
        ),
        (
            "a serial filed off",
            "UPDATE part SET serial = 'R-115' WHERE id = 1",
            sign_off(1),
            Wrong::Parts,
        ),
        (
            "a rotor turned round",
            "UPDATE build_part SET gear_face = 'front' WHERE id = 1",
            sign_off(1),
            Wrong::Parts,
        ),
        (
            "a spec made wider after it was built to",
            "UPDATE spec_value SET value = '\"80 um\"'",
            sign_off(1),
            Wrong::Head,
        ),
        ("a spec removed", "DELETE FROM spec_value; DELETE FROM spec", sign_off(1), Wrong::Head),
        ("a build removed, its signatures left", "DELETE FROM build", build(1), Wrong::Missing),
        (
            "a build renamed",
            "UPDATE build SET name = 'Garganey' WHERE id = 1",
            build(1),
            Wrong::Head,
        ),
        (
            "signed by somebody else",
            "UPDATE sign_off SET person = 2, person_name = 'Ben' WHERE id = 1",
            sign_off(1),
            Wrong::Changed,
        ),
        (
            "signed at another time",
            "UPDATE sign_off SET at = '2026-11-01T00:00:00Z' WHERE id = 2",
            sign_off(2),
            Wrong::Changed,
        ),
        (
            "another meaning",
            "UPDATE sign_off SET meaning = 'looked at' WHERE id = 1",
            sign_off(1),
            Wrong::Changed,
        ),
        (
            "the hash of a part of the content exchanged",
            "UPDATE sign_off SET readings_hash = values_hash WHERE id = 2",
            sign_off(2),
            Wrong::Changed,
        ),
        ("a sign-off removed", "DELETE FROM sign_off WHERE id = 1", sign_off(1), Wrong::Missing),
        (
            "a sign-off removed and the next one given its number",
            "DELETE FROM sign_off WHERE id = 1; UPDATE sign_off SET id = 1 WHERE id = 2",
            sign_off(1),
            Wrong::Changed,
        ),
        (
            "two sign-offs exchanged",
            "UPDATE sign_off SET id = 3 WHERE id = 1; UPDATE sign_off SET id = 1 WHERE id = 2; UPDATE sign_off SET id = 2 WHERE id = 3",
            sign_off(1),
            Wrong::Changed,
        ),
        (
            "the last sign-off removed",
            "DELETE FROM sign_off WHERE id = 2",
            build(1),
            Wrong::NotSigned,
        ),
        (
            "a signed build opened again without a trace",
            "UPDATE build SET open = 1 WHERE id = 1",
            build(1),
            Wrong::Reopened,
        ),
        ("an amendment removed", "DELETE FROM amendment", sign_off(2), Wrong::Head),
        (
            "an amendment that opened nothing",
            "INSERT INTO amendment VALUES (1, 3, 'later', 1, '2026-11-28T09:30:00Z')",
            build(1),
            Wrong::Amendments,
        ),
        (
            "a plan changed",
            "UPDATE plan SET document = '{\"format\": 2}'",
            Record::Work(WorkKind::Plan, WorkId(1)),
            Wrong::Changed,
        ),
        (
            "a balance run put down to another program",
            "UPDATE balance_run SET program = '9.9.9'",
            Record::Work(WorkKind::BalanceRun, WorkId(1)),
            Wrong::Changed,
        ),
        (
            "a contact that was seen, unseen",
            "UPDATE finding SET contact = 'not seen'",
            Record::Finding(FindingId(1)),
            Wrong::Changed,
        ),
        (
            "a prediction made better afterwards",
            "UPDATE prediction SET document = '{\"rotors\": [1]}'",
            Record::Prediction(PredictionId(1)),
            Wrong::Changed,
        ),
        (
            "a mark that was heavy, lightened",
            "UPDATE teardown_mark SET contact = 'light' WHERE id = 1",
            Record::Teardown(TeardownId(1)),
            Wrong::Changed,
        ),
        (
            "a mark taken away, and its number",
            "DELETE FROM teardown_mark WHERE id = 8; UPDATE teardown SET marks = 3 WHERE id = 2",
            Record::Teardown(TeardownId(2)),
            Wrong::Changed,
        ),
        (
            "a depth shallower than it was written",
            "UPDATE teardown_mark SET rotor_si = 1e-6 WHERE id = 5",
            Record::Teardown(TeardownId(2)),
            Wrong::TextAndValue,
        ),
        (
            "a teardown that corrects another one than it did",
            "UPDATE teardown SET supersedes = NULL, revision = 1 WHERE id = 2",
            Record::Teardown(TeardownId(2)),
            Wrong::Changed,
        ),
        (
            "hours that were said first, gone",
            "DELETE FROM teardown_mark WHERE teardown = 1; DELETE FROM teardown WHERE id = 1",
            Record::Teardown(TeardownId(1)),
            Wrong::Missing,
        ),
        (
            "the indicator read less under the load",
            "UPDATE tilt_reading SET most = '13 um', most_si = 13e-6 WHERE id = 2",
            Record::TiltTest(TiltTestId(1)),
            Wrong::Changed,
        ),
        (
            "a load that is not what was written",
            "UPDATE tilt_test SET most = '121 N'",
            Record::TiltTest(TiltTestId(1)),
            Wrong::TextAndValue,
        ),
        (
            "an amendment for another reason",
            "UPDATE amendment SET reason = 'nothing much'",
            sign_off(2),
            Wrong::Head,
        ),
        (
            "a gauge that was never overdue",
            "UPDATE calibration SET due = '2036-01-01'",
            Record::Calibration(CalibrationId(1)),
            Wrong::Changed,
        ),
        (
            "a calibration slipped in before the others",
            "UPDATE calibration SET id = 2",
            Record::Calibration(CalibrationId(1)),
            Wrong::Missing,
        ),
        (
            "a photo hung on another finding",
            "UPDATE attachment SET finding = NULL, part = 1",
            Record::Attachment(AttachmentId(1)),
            Wrong::Changed,
        ),
        (
            "the first of two plans removed",
            "INSERT INTO plan SELECT 2, build, revision, title, program, inputs_hash, document, person, at, seal FROM plan; DELETE FROM plan WHERE id = 1",
            Record::Work(WorkKind::Plan, WorkId(1)),
            Wrong::Missing,
        ),
        (
            "a photo retouched",
            "UPDATE attachment SET bytes = x'89504E470D0A1A0A00'",
            Record::Attachment(AttachmentId(1)),
            Wrong::Changed,
        ),
    ]
}

#[test]
fn the_first_record_that_does_not_fit_is_named() {
    let sample = honest();
    for (what, statements, record, wrong) in kinds() {
        assert_eq!(after(&sample, statements), Err(Misfit { record, wrong }), "{what}");
    }
}

#[test]
fn whoever_seals_anew_what_they_changed_is_found_by_the_signature() {
    let sample = honest();
    // The seals of the last reading, and of everything after it, computed by the program itself:
    // in a second shop that has the same history but for one value.
    let other = Sample::new();
    for (station, text) in
        [("land_width.1", "79.915 mm"), ("land_width.2", "79.952 mm"), ("gear_step.1", "95 um")]
    {
        other.read(station, text).unwrap();
    }
    other.read("land_width.2", "79.925 mm").unwrap();
    let forged = |id: i64| {
        let connection = raw(other.file());
        let seal: Vec<u8> = connection
            .query_row("SELECT seal FROM reading WHERE id = ?1", [id], |row| row.get(0))
            .unwrap();
        seal.iter().map(|byte| format!("{byte:02x}")).collect::<String>()
    };
    // Reading 4 fits by itself, the one after it does not.
    let resealed = format!(
        "UPDATE reading SET value = '79.925 mm', si = 0.079925, seal = x'{}' WHERE id = 4",
        forged(4)
    );
    let misfit = after(&sample, &resealed).unwrap_err();
    assert_eq!(misfit, Misfit { record: Record::Reading(ReadingId(5)), wrong: Wrong::Changed });
    // Everything after it sealed anew: the signature stands against it.
    other.set("build.name", Some("\"Merganser, boat 7\"")).unwrap();
    other.set("machine.capability", Some("\"2.5 um\"")).unwrap();
    other.set("machine.capability", Some("\"3 um\"")).unwrap();
    other.sign("built and inspected").unwrap();
    other.amend().unwrap();
    other.read("gear_step.1", "96 um").unwrap();
    let all = format!(
        "{resealed}; UPDATE reading SET seal = x'{}' WHERE id = 5; DELETE FROM reading WHERE id = 6",
        forged(5)
    );
    let misfit = after(&sample, &all).unwrap_err();
    assert_eq!(misfit, Misfit { record: Record::SignOff(SignOffId(1)), wrong: Wrong::Readings });
    assert_eq!(misfit.to_string(), "sign-off 1 was signed over other readings");
}
