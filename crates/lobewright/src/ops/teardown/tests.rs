//! A teardown of the example boat, from telling it to what it says.

use super::*;
use crate::build_file::teardown::{TeardownText, TiltText, read_teardown, write_teardown};
use crate::ops::{folder, import};
use kernel::units::System;
use records::{BuildId, Face, Mark, Moment, NewSignOff, PersonId, RecordsError, Shop, TeardownId};
use tempfile::TempDir;

const FILE: &str = r#"format = 1
[teardown]
build = "Merganser, boat 7"
running = "11.5 h"
speed = "9300 rpm"
boost = "0.9 bar"
[[rotor]]
serial = "R-114"
gear_tips = ["none", "light", "none"]
plain_tips = ["none", "heavy", "not looked at"]
[[rotor.detail]]
face = "plain"
tip = 2
where = "trailing edge"
rotor = "4 um"
note = "bright"
"#;

struct Bench {
    _folder: TempDir,
    shop: Shop,
    build: BuildId,
    person: PersonId,
    at: Moment,
}

impl Bench {
    fn open() -> Self {
        let folder = TempDir::new().unwrap();
        let shop = Shop::create(&folder.path().join("shop.db")).unwrap();
        let at = Moment::new("2026-11-28T09:30:00Z").unwrap();
        let person = shop.add_person("Ada", "owner").unwrap();
        let text = include_str!("../../../../../examples/sprint-boat.toml");
        let build = import(&shop, text, None, ("Ada", &at)).unwrap().build;
        Self { _folder: folder, shop, build, person, at }
    }

    fn signed() -> Self {
        let bench = Self::open();
        let Self { shop, build, person, at, .. } = &bench;
        let seen = shop.seen(*build).unwrap();
        let new = NewSignOff { build: *build, seen, person: *person, at, meaning: "built" };
        shop.sign(&new).unwrap();
        bench
    }

    fn tell(
        &self,
        told: &TeardownText,
        expected: Option<TeardownId>,
        sure: bool,
    ) -> Result<Entered, TellingError> {
        let Self { shop, build, person, at, .. } = self;
        let telling = Telling {
            build: *build,
            revision: shop.build(*build).unwrap().revision,
            told,
            expected,
            sure,
            person: *person,
            at,
        };
        tell(shop, &telling, System::Metric)
    }

    fn kept(&self, told: &TeardownText, expected: Option<TeardownId>) -> TeardownId {
        match self.tell(told, expected, false).unwrap() {
            Entered::Kept { teardown, .. } => teardown,
            asked @ Entered::AskedBack { .. } => panic!("{asked:?}"),
        }
    }
}

fn told() -> TeardownText {
    read_teardown(FILE).unwrap()
}

#[test]
fn a_teardown_is_held_against_a_prediction_that_is_made_once() {
    let bench = Bench::signed();
    let first = bench.kept(&told(), None);
    let back = came_back(&bench.shop, bench.build).unwrap();
    let [back] = &back[..] else { panic!("{} came back", back.len()) };
    assert_eq!(back.hours(), Some(11.5));
    // Two rotors of two faces of three tips; only one of them was told of.
    assert_eq!(back.tips.len(), 12);
    let rotors: Vec<&str> = back.rotors.iter().map(|(_, serial)| serial.as_str()).collect();
    assert_eq!(rotors, ["R-114", "R-97"]);
    let at = |serial: &str, face, tip| {
        let found = back.tips.iter().find(|t| t.serial == serial && t.face == face && t.tip == tip);
        found.unwrap()
    };
    assert_eq!(at("R-114", Face::Gear, 2).contact(), Mark::Light);
    assert_eq!(at("R-114", Face::Plain, 3).says, Says::NotLookedAt);
    assert_eq!(at("R-97", Face::Gear, 1).says, Says::NotLookedAt);
    let predicted = back.predicted.as_ref().unwrap();
    assert!((predicted.speed.to_rpm() - 9300.0).abs() < 1e-6);
    assert_eq!(predicted.rotors.len(), 2);
    for rotor in &predicted.rotors {
        assert_eq!(rotor.tips.len(), 6, "{}", rotor.serial);
        for tip in &rotor.tips {
            // A leaning, hot rotor is nearer its walls than one that is upright and cold.
            assert!(tip.gap.at(1.0, 1.0) < tip.gap.at(0.0, 0.0), "{tip:?}");
            assert!(tip.own_m > 0.0 && tip.own_m < 20e-6, "{tip:?}");
        }
    }
    let band = at("R-114", Face::Gear, 1).predicted.unwrap();
    assert!(band.u_m > 0.0 && band.least_m() < band.gap_m && band.gap_m < band.most_m());
    let kept = back.kept.clone().unwrap();
    // The hours were wrong: the same prediction. The speed was wrong: another one.
    let more = TeardownText { running: Some("12 h".to_owned()), ..told() };
    let second = bench.kept(&more, Some(first));
    let back = came_back(&bench.shop, bench.build).unwrap();
    assert_eq!((back.len(), back[0].teardown.id), (1, second));
    assert_eq!(back[0].kept.as_ref(), Some(&kept));
    let faster = TeardownText { speed: Some("9800 rpm".to_owned()), ..told() };
    bench.kept(&faster, Some(second));
    let back = came_back(&bench.shop, bench.build).unwrap();
    let anew = back[0].kept.as_ref().unwrap();
    assert_ne!(anew.id, kept.id);
    assert_ne!(anew.inputs_hash, kept.inputs_hash);
    assert_eq!(bench.shop.prediction(kept.id).unwrap(), kept);
    let again = all_that_came_back(&bench.shop).unwrap();
    assert_eq!(again, back);
    bench.shop.audit().unwrap();
}

#[test]
fn what_is_not_said_is_not_made_up() {
    let bench = Bench::signed();
    let unsaid = TeardownText { boost: None, ..told() };
    let Entered::Kept { mind, .. } = bench.tell(&unsaid, None, false).unwrap() else {
        panic!("asked back")
    };
    let words = "the highest speed and boost are not both said, and a prediction is for both";
    assert_eq!(mind, [format!("nothing is predicted to hold it against: {words}")]);
    let back = came_back(&bench.shop, bench.build).unwrap().remove(0);
    assert_eq!((back.predicted, back.unpredicted.as_deref()), (None, Some(words)));
    assert_eq!(back.teardown.boost, None);
    let touched = back.tips.iter().filter(|tip| tip.says == Says::NotPredicted).count();
    assert_eq!(touched, 5);
}

#[test]
fn what_is_doubted_is_asked_back_and_kept_for_whoever_is_sure() {
    let bench = Bench::signed();
    let mut odd = TeardownText {
        running: Some("1000 h".to_owned()),
        speed: Some("930 rpm".to_owned()),
        boost: Some("2 bar".to_owned()),
        ..told()
    };
    odd.tips[4].worn.as_mut().unwrap().depth = "0.4 mm".to_owned();
    let Entered::AskedBack { why } = bench.tell(&odd, None, false).unwrap() else { panic!("kept") };
    assert_eq!(
        why,
        [
            "a highest speed of 930 rpm is far from the duty's 9800 rpm",
            "a highest boost of 2 bar is far above the duty's 0.90 bar",
            "1000 h of running is more than 3 times the duty's 12 h",
            "0.4 mm of wear at R-114, plain face, tip 2 is very deep",
        ]
    );
    assert!(bench.shop.teardowns_of(bench.build).unwrap().is_empty());
    assert!(matches!(bench.tell(&odd, None, true).unwrap(), Entered::Kept { .. }));
    let none = TeardownText { tips: Vec::new(), ..told() };
    let Entered::AskedBack { why } = bench.tell(&none, None, false).unwrap() else {
        panic!("kept")
    };
    assert_eq!(why, ["no tip was looked at"]);
}

#[test]
fn what_cannot_be_taken_is_told() {
    let open = Bench::open();
    assert_eq!(
        open.tell(&told(), None, true).unwrap_err().to_string(),
        "build 1 is open in revision 1; an engine comes apart after it was signed"
    );
    let bench = Bench::signed();
    let told_of = |change: &dyn Fn(&mut TeardownText)| {
        let mut wrong = told();
        change(&mut wrong);
        bench.tell(&wrong, None, true).unwrap_err().to_string()
    };
    assert_eq!(
        told_of(&|wrong| wrong.tips[0].rotor = "R-1".to_owned()),
        "build 1 has no rotor R-1; it has R-114, R-97"
    );
    assert_eq!(
        told_of(&|wrong| wrong.build = Some("Dipper".to_owned())),
        "the file is of \"Dipper\", and build 1 is called \"Merganser, boat 7\"; say which one is \
         right"
    );
    let gauge = told_of(&|wrong| {
        wrong.tips[4].worn.as_mut().unwrap().gauge = Some("I-9".to_owned());
    });
    assert!(gauge.starts_with("the shop has no gauge \"I-9\""), "{gauge}");
    let depth = told_of(&|wrong| wrong.tips[4].worn.as_mut().unwrap().depth = "4".to_owned());
    assert!(depth.starts_with("R-114, plain face, tip 2, the rotor: \"4\":"), "{depth}");
    assert!(depth.ends_with("such as \"15 um\""), "{depth}");
    let hours = told_of(&|wrong| wrong.running = Some("-1 h".to_owned()));
    assert!(hours.starts_with("hours run: -1 h is not above 0 h; expected"), "{hours}");
    let unseen = told_of(&|wrong| wrong.tips[4].contact = 3);
    assert!(unseen.contains("nobody looked, and a place or a depth is told"), "{unseen}");
    // Two benches at once.
    bench.kept(&told(), None);
    let late = bench.tell(&told(), None, true).unwrap_err();
    assert!(late.to_string().contains("was entered by Ada"), "{late}");
    assert!(bench.shop.teardowns_of(bench.build).unwrap().len() == 1);
}

#[test]
fn a_revision_that_was_opened_meanwhile_is_told() {
    let bench = Bench::signed();
    let Bench { shop, build, person, at, .. } = &bench;
    let telling = Telling {
        build: *build,
        revision: 2,
        told: &told(),
        expected: None,
        sure: true,
        person: *person,
        at,
    };
    let TellingError::Shop(error) = tell(shop, &telling, System::Metric).unwrap_err() else {
        panic!("not of the shop")
    };
    let crate::ops::ShopError::Records(RecordsError::Conflict(conflict)) = error else {
        panic!("{error:?}")
    };
    let revisions = matches!(*conflict, records::Conflict::Revision { yours: 2, theirs: 1, .. });
    assert!(revisions, "{conflict:?}");
}

fn pushed() -> TiltText {
    TiltText {
        rotor: "R-97".to_owned(),
        face: 0,
        tip: 1,
        radius: "95 mm".to_owned(),
        least: "20 N".to_owned(),
        most: "120 N".to_owned(),
        load_u: "1 N".to_owned(),
        gauge: "step indicator".to_owned(),
        readings: vec![["2 um".to_owned(), "14 um".to_owned()]],
        note: String::new(),
    }
}

#[test]
fn tilt_tests_are_read_and_kept() {
    let bench = Bench::signed();
    let Bench { shop, build, person, at, .. } = &bench;
    let by = (*person, at);
    let none = tell_tilt(shop, (*build, &pushed()), None, by).unwrap_err().to_string();
    assert!(none.starts_with("the shop has no gauge \"step indicator\""), "{none}");
    let new = records::NewCalibration {
        day: None,
        due: records::Day::new("2026-10-01").ok(),
        repeat: records::Written::read::<kernel::units::Length>("1 um").unwrap(),
        zero: None,
        certificate: String::new(),
        person: None,
    };
    shop.add_gauge("step indicator", "indicator", &new).unwrap();
    let (first, mind) = tell_tilt(shop, (*build, &pushed()), None, by).unwrap();
    assert_eq!(mind, ["the calibration of step indicator was due 2026-10-01"]);
    let swapped = TiltText { most: "20 N".to_owned(), ..pushed() };
    let swapped = tell_tilt(shop, (*build, &swapped), None, by).unwrap_err().to_string();
    assert_eq!(swapped, "R-97, gear face, tip 1, large load: 20 N is not more than 20 N");
    let again = TiltText { note: "read again".to_owned(), ..pushed() };
    let (second, _) = tell_tilt(shop, (*build, &again), Some(first), by).unwrap();
    let stand = shop.tilt_tests_of(*build).unwrap();
    assert_eq!(stand.iter().map(|test| test.id).collect::<Vec<_>>(), [second]);
    // As a file it is what was told, and so is the teardown beside it.
    bench.kept(&told(), None);
    let teardown = shop.teardowns_standing(*build).unwrap().remove(0);
    let file = as_file(shop, &teardown, &stand).unwrap();
    assert_eq!(file.tilt_tests, [again]);
    assert_eq!(file.tips, told().tips);
    assert_eq!(read_teardown(&write_teardown(&file)).unwrap(), file);
    // The folder of the build has it.
    let files = folder(shop, *build).unwrap();
    let has = |path: &str| {
        let file = files.iter().find(|file| file.path == path);
        String::from_utf8(file.unwrap_or_else(|| panic!("no {path}")).bytes.clone()).unwrap()
    };
    assert_eq!(read_teardown(&has("teardown-1.toml")).unwrap(), file);
    let marks = has("marks.csv");
    let light = "1,1,R-114,gear,2,light,,,,,,,";
    assert!(marks.lines().any(|line| line.starts_with(light)), "{marks}");
    assert!(has("predictions/1.json").contains("\"gap_mm\""));
    assert!(has("tilt-tests.csv").contains("step indicator"));
}
