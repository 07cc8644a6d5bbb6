//! Teardowns with their marks and predictions, and tilt tests: what goes in comes out, is
//! corrected as a whole, and is sealed by the words of `docs/RECORDS.md`.

use crate::sample::{Sample, length, now, raw};
use kernel::units::{Duration, Force, GaugePressure, Speed};
use records::{
    Against, Conflict, Depth, Face, Mark, NewTeardown, PartKind, RecordsError, Sha, TeardownId,
    TiltTold, TipMark, Written,
};

pub(crate) fn hours(text: &str) -> Written {
    Written::read::<Duration>(text).unwrap()
}

pub(crate) fn force(text: &str) -> Written {
    Written::read::<Force>(text).unwrap()
}

pub(crate) fn marks(sample: &Sample) -> Vec<TipMark> {
    let mark = |face, tip, contact| TipMark {
        part: sample.rotor,
        face,
        tip,
        contact,
        place: None,
        rotor: None,
        wall: None,
        note: String::new(),
    };
    vec![
        TipMark {
            place: Some("trailing edge".to_owned()),
            rotor: Some(Depth { value: length("4 um"), gauge: Some(sample.gauge) }),
            wall: Some(Depth { value: length("0.3 thou"), gauge: None }),
            note: "bright".to_owned(),
            ..mark(Face::Gear, 1, Mark::Heavy)
        },
        mark(Face::Gear, 2, Mark::Light),
        mark(Face::Gear, 3, Mark::None),
        mark(Face::Plain, 1, Mark::NotLookedAt),
    ]
}

/// A teardown of the last revision, in the place of what stands.
pub(crate) fn tear(sample: &Sample, running: &str, against: Against<'_>) -> TeardownId {
    try_tear(sample, running, against, standing(sample)).unwrap()
}

fn standing(sample: &Sample) -> Option<TeardownId> {
    let revision = sample.of().revision;
    let all = sample.shop.teardowns_standing(sample.build).unwrap();
    all.into_iter().find(|teardown| teardown.revision == revision).map(|teardown| teardown.id)
}

fn try_tear(
    sample: &Sample,
    running: &str,
    against: Against<'_>,
    expected: Option<TeardownId>,
) -> Result<TeardownId, RecordsError> {
    sample.shop.add_teardown(&NewTeardown {
        build: sample.build,
        revision: sample.of().revision,
        running: Some(&hours(running)),
        speed: Some(&Written::read::<Speed>("9300 rpm").unwrap()),
        boost: Some(&Written::read::<GaugePressure>("0.9 bar").unwrap()),
        note: "even grey",
        marks: &marks(sample),
        against,
        person: sample.ada,
        at: &now(),
        expected,
    })
}

pub(crate) const ANEW: Against<'_> =
    Against::Anew { program: "0.1.0", inputs_hash: Sha([7; 32]), document: "{\"rotors\": []}" };

pub(crate) fn tilt(sample: &Sample) -> TiltTold {
    TiltTold {
        build: sample.build,
        part: sample.rotor,
        face: Face::Gear,
        tip: 1,
        radius: length("100 mm"),
        least: force("20 N"),
        most: force("120 N"),
        load_u: force("1 N"),
        readings: vec![[length("2 um"), length("14 um")], [length("2.5 um"), length("14 um")]],
        gauge: sample.gauge,
        note: "on the mandrel plate".to_owned(),
        person: sample.ada,
        at: now(),
        supersedes: None,
    }
}

#[test]
fn a_teardown_comes_out_as_it_went_in_and_is_corrected_as_a_whole() {
    let sample = Sample::new().with_history();
    let shop = &sample.shop;
    let first = tear(&sample, "11.5 h", ANEW);
    let kept = shop.teardown(first).unwrap();
    assert_eq!(kept.marks, marks(&sample));
    assert_eq!(kept.running.as_ref().map(Written::text), Some("11.5 h"));
    assert_eq!(kept.revision, 2);
    let prediction = shop.prediction(kept.prediction.unwrap()).unwrap();
    assert_eq!(prediction.document, "{\"rotors\": []}");
    // A slip of the hours: another one stands, the prediction is the same.
    let second = tear(&sample, "12.5 h", Against::Kept(prediction.id));
    let all = shop.teardowns_of(sample.build).unwrap();
    assert_eq!(all.iter().map(|t| t.id).collect::<Vec<_>>(), [first, second]);
    assert_eq!(all[1].supersedes, Some(first));
    assert_eq!(all[1].prediction, Some(prediction.id));
    let standing = shop.teardowns_standing(sample.build).unwrap();
    assert_eq!(standing, all[1..]);
    assert_eq!(shop.teardowns_of_shop().unwrap(), standing);
    assert_eq!(shop.teardowns_with(sample.rotor).unwrap(), standing);
    assert_eq!(shop.teardowns_with(sample.housing).unwrap(), standing);
    let other = shop.add_part(PartKind::Rotor, "R-1", (sample.ada, &now())).unwrap();
    assert_eq!(shop.teardowns_with(other).unwrap(), []);
    shop.audit().unwrap();
}

#[test]
fn two_who_enter_one_teardown_do_not_overwrite_each_other() {
    let sample = Sample::new().with_history();
    let first = tear(&sample, "11.5 h", Against::Nothing("no speed is said"));
    for looked_at in [None, Some(TeardownId(9))] {
        let error = try_tear(&sample, "12 h", ANEW, looked_at).unwrap_err();
        let RecordsError::Conflict(conflict) = &error else { panic!("{error:?}") };
        let Conflict::Teardown { yours, theirs, .. } = **conflict else { panic!("{conflict:?}") };
        assert_eq!((yours, theirs), (looked_at, Some(first)));
        assert_eq!(
            error.to_string(),
            "the teardown of build 1 was entered by Ada at 2026-11-28T09:30:00Z since it was \
             looked at; look at it again and enter what is right"
        );
    }
    // Nothing of the second is there, its prediction neither.
    assert_eq!(sample.shop.teardowns_of(sample.build).unwrap().len(), 1);
    let rows: i64 = raw(sample.file())
        .query_row("SELECT count(*) FROM prediction", [], |row| row.get(0))
        .unwrap();
    assert_eq!(rows, 0);
}

#[test]
fn what_cannot_be_a_teardown_is_told() {
    let told = |error: RecordsError| match error {
        RecordsError::Refused { why } => why,
        other => panic!("{other:?}"),
    };
    let open = Sample::new();
    let not_signed = try_tear(&open, "1 h", Against::Nothing("why"), None).unwrap_err();
    assert_eq!(told(not_signed), "what comes apart is a revision of a build that was signed");
    let sample = Sample::new().with_history();
    let empty = try_tear(&sample, "1 h", Against::Nothing(""), None).unwrap_err();
    assert_eq!(told(empty), "a teardown has its prediction, or why there is none");
    let with = |marks: &[TipMark]| {
        told(
            sample
                .shop
                .add_teardown(&NewTeardown {
                    build: sample.build,
                    revision: 2,
                    running: None,
                    speed: None,
                    boost: None,
                    note: "",
                    marks,
                    against: Against::Nothing("why"),
                    person: sample.ada,
                    at: &now(),
                    expected: None,
                })
                .unwrap_err(),
        )
    };
    let good = marks(&sample).remove(1);
    let twice = with(&[good.clone(), good.clone()]);
    assert_eq!(twice, "tip 2 of the gear face is told twice; tell it once");
    let of_a_housing = with(&[TipMark { part: sample.housing, ..good.clone() }]);
    assert_eq!(of_a_housing, "marks are of a rotor that was in the build");
    assert_eq!(with(&[TipMark { tip: 4, ..good.clone() }]), "a rotor has tips 1, 2 and 3");
    let unseen = TipMark {
        contact: Mark::NotLookedAt,
        rotor: Some(Depth { value: length("4 um"), gauge: None }),
        ..good
    };
    assert_eq!(with(&[unseen]), "where nobody looked there is no place and no depth");
    assert_eq!(sample.shop.teardowns_of(sample.build).unwrap(), []);
}

#[test]
fn tilt_tests_come_out_as_they_went_in() {
    let sample = Sample::new().with_history();
    let shop = &sample.shop;
    let told = tilt(&sample);
    let first = shop.add_tilt_test(&told).unwrap();
    let again = TiltTold { least: force("25 N"), supersedes: Some(first), ..told.clone() };
    let second = shop.add_tilt_test(&again).unwrap();
    let stand = shop.tilt_tests_of(sample.build).unwrap();
    assert_eq!(stand.iter().map(|test| test.id).collect::<Vec<_>>(), [second]);
    assert_eq!(stand[0].told, again);
    assert_eq!(shop.tilt_tests_of_shop().unwrap(), stand);
    assert_eq!(shop.tilt_tests_ever(sample.build).unwrap().len(), 2);
    let twice = shop.add_tilt_test(&again).unwrap_err().to_string();
    assert_eq!(twice, "tilt test 1 is corrected already, by tilt test 2; correct that one");
    let none = shop.add_tilt_test(&TiltTold { readings: Vec::new(), ..told.clone() }).unwrap_err();
    assert_eq!(none.to_string(), "a tilt test has readings");
    let swapped = TiltTold { least: told.most.clone(), most: told.least.clone(), ..told };
    let swapped = shop.add_tilt_test(&swapped).unwrap_err();
    assert_eq!(swapped.to_string(), "the second load of a tilt test is the larger one");
    shop.audit().unwrap();
}

/// Fields as `docs/RECORDS.md` says them.
fn form(fields: &[Option<&str>]) -> Sha {
    let mut bytes = Vec::new();
    for field in fields {
        match field {
            Some(text) => {
                bytes.extend_from_slice(&(text.len() as u64).to_be_bytes());
                bytes.extend_from_slice(text.as_bytes());
            }
            None => bytes.extend_from_slice(&[0xFF; 8]),
        }
    }
    Sha::of(&bytes)
}

#[test]
fn the_seals_are_those_of_the_document() {
    let sample = Sample::new().with_history();
    tear(&sample, "11.5 h", ANEW);
    sample.shop.add_tilt_test(&tilt(&sample)).unwrap();
    let kept = |table: &str| -> Vec<u8> {
        raw(sample.file())
            .query_row(&format!("SELECT seal FROM {table}"), [], |row| row.get(0))
            .unwrap()
    };
    let bits = |si: f64| format!("{:016x}", si.to_bits());
    let hex = Sha([7; 32]).to_hex();
    let prediction = form(&[
        Some("lobewright prediction 1"),
        Some("1"),
        Some("1"),
        Some("2"),
        Some("0.1.0"),
        Some(&hex),
        Some("{\"rotors\": []}"),
        Some("1"),
        Some("2026-11-28T09:30:00Z"),
    ]);
    assert_eq!(kept("prediction"), prediction.0);
    let value = |text: &'static str, quantity: &'static str, si: f64| {
        [Some(text.to_owned()), Some(quantity.to_owned()), Some(bits(si))]
    };
    let mut fields: Vec<Option<String>> =
        ["lobewright teardown 1", "1", "1", "2"].map(|text| Some(text.to_owned())).to_vec();
    fields.extend(value("11.5 h", "span of time", 41_400.0));
    fields.extend(value(
        "9300 rpm",
        "shaft speed",
        Written::read::<Speed>("9300 rpm").unwrap().si(),
    ));
    fields.extend(value(
        "0.9 bar",
        "pressure above atmosphere",
        Written::read::<GaugePressure>("0.9 bar").unwrap().si(),
    ));
    let some = |text: &str| Some(text.to_owned());
    fields.extend([some("even grey"), some("1"), None, some("1"), some("2026-11-28T09:30:00Z")]);
    fields.extend([None, some("4"), some("1"), some("gear"), some("1"), some("heavy")]);
    fields.push(some("trailing edge"));
    fields.extend(value("4 um", "length", length("4 um").si()));
    fields.push(some("1"));
    fields.extend(value("0.3 thou", "length", length("0.3 thou").si()));
    fields.extend([None, some("bright")]);
    for [face, tip, contact] in
        [["gear", "2", "light"], ["gear", "3", "none"], ["plain", "1", "not looked at"]]
    {
        fields.extend([some("1"), some(face), some(tip), some(contact)]);
        fields.extend(std::iter::repeat_n(None, 9));
        fields.push(some(""));
    }
    let fields: Vec<Option<&str>> = fields.iter().map(Option::as_deref).collect();
    assert_eq!(kept("teardown"), form(&fields).0);
    let mut fields: Vec<Option<String>> =
        ["lobewright tilt test 1", "1", "1", "1", "gear", "1"].map(some).to_vec();
    for value in [length("100 mm"), force("20 N"), force("120 N"), force("1 N")] {
        fields.extend([some(value.text()), some(value.quantity()), Some(bits(value.si()))]);
    }
    fields.extend([some("1"), some("on the mandrel plate"), some("1")]);
    fields.extend([some("2026-11-28T09:30:00Z"), None, some("2")]);
    for text in ["2 um", "14 um", "2.5 um", "14 um"] {
        fields.extend([some(text), some("length"), Some(bits(length(text).si()))]);
    }
    let fields: Vec<Option<&str>> = fields.iter().map(Option::as_deref).collect();
    assert_eq!(kept("tilt_test"), form(&fields).0);
}
