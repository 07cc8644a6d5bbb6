//! From teardowns in a shop's file to the next version of a spec.

use super::*;
use crate::build_file::teardown::{TeardownText, TiltText, read_teardown};
use crate::ops::import;
use crate::ops::library::add_spec;
use crate::ops::teardown::{Entered, Telling, tell, tell_tilt};
use kernel::units::{Length, System};
use records::{Line, Moment, NewCalibration, NewSignOff, PersonId, SpecId, Written};
use tempfile::TempDir;

const BOAT: &str = include_str!("../../../../../examples/sprint-boat.toml");

const CAME_BACK: &str = r#"format = 1
[teardown]
running = "11.5 h"
speed = "9300 rpm"
boost = "0.9 bar"
[[rotor]]
serial = "R-114"
gear_tips = ["light", "light", "none"]
plain_tips = ["none", "heavy", "light"]
[[rotor]]
serial = "R-97"
gear_tips = ["none", "none", "not looked at"]
plain_tips = ["light", "none", "none"]
"#;

struct Bench {
    _folder: TempDir,
    shop: Shop,
    build: BuildId,
    person: PersonId,
    spec: SpecId,
    at: Moment,
}

impl Bench {
    /// A signed boat, and a spec of its own lines.
    fn signed() -> Self {
        let folder = TempDir::new().unwrap();
        let shop = Shop::create(&folder.path().join("shop.db")).unwrap();
        let at = Moment::new("2026-11-28T09:30:00Z").unwrap();
        let person = shop.add_person("Ada", "owner").unwrap();
        let build = import(&shop, BOAT, None, ("Ada", &at)).unwrap().build;
        let seen = shop.seen(build).unwrap();
        shop.sign(&NewSignOff { build, seen, person, at: &at, meaning: "built" }).unwrap();
        let placed = crate::build_file::places::placed(BOAT).unwrap();
        let lines = placed.iter().filter(|placed| placed.place.starts_with("spec."));
        let lines =
            lines.map(|p| Line { place: p.place.clone(), value: p.value.clone() }).collect();
        let spec = add_spec(&shop, "sprint", lines, (person, &at)).unwrap();
        Self { _folder: folder, shop, build, person, spec, at }
    }

    fn tell(&self, told: &TeardownText) {
        let Self { shop, build, person, at, .. } = self;
        let revision = shop.build(*build).unwrap().revision;
        let (build, person, sure) = (*build, *person, true);
        let telling = Telling { build, revision, told, expected: None, sure, person, at };
        assert!(matches!(tell(shop, &telling, System::Metric).unwrap(), Entered::Kept { .. }));
    }

    fn calibrated(&self) -> Calibrated {
        calibrated(&self.shop, &self.at.day(), System::Metric, &mut |_| true).unwrap()
    }

    fn accept(
        &self,
        report: &Calibrated,
        word: &str,
        who: PersonId,
    ) -> Result<SpecId, AcceptError> {
        accept(&self.shop, self.spec, report, word, (who, &self.at))
    }
}

#[test]
fn a_shop_without_teardowns_has_nothing_to_teach() {
    let bench = Bench::signed();
    let report = bench.calibrated();
    assert!(!report.rests_on_something());
    assert_eq!(report.rests_on(), "nothing yet");
    for said in report.sentences(System::Metric) {
        assert!(said.starts_with("Your builds have said nothing about"), "{said}");
    }
    let (_, word) = offered(&report);
    assert!(matches!(
        bench.accept(&report, &word, bench.person).unwrap_err(),
        AcceptError::Nothing
    ));
}

#[test]
fn what_came_back_is_taken_into_the_next_version_by_its_owner() {
    let bench = Bench::signed();
    bench.tell(&read_teardown(CAME_BACK).unwrap());
    let report = bench.calibrated();
    assert_eq!(report.rests_on(), "1 build");
    assert_eq!(report.builds, [bench.build]);
    let [left] = &report.checked.builds[..] else { panic!() };
    assert_eq!((left.tips, left.seen, left.seen_heavy), (11, 5, 1));
    // With no other build the others say what is assumed.
    assert!((left.without - left.before).abs() < 0.01, "{left:?}");
    assert!((left.after - 5.0).abs() < (left.before - 5.0).abs(), "{left:?}");
    let (lines, word) = offered(&report);
    assert_eq!(lines.len(), 10);
    assert_eq!(lines[0].value, "\"1 build of this shop\"");
    let stranger = bench.shop.add_person("Ben", "owner").unwrap();
    let refused = bench.accept(&report, &word, stranger).unwrap_err();
    assert_eq!(
        refused.to_string(),
        "sprint is a spec of Ada; whoever owns a spec takes this into it"
    );
    assert!(matches!(
        bench.accept(&report, "another", bench.person).unwrap_err(),
        AcceptError::Changed
    ));
    assert_eq!(bench.shop.specs().unwrap().len(), 1);
    let next = bench.accept(&report, &word, bench.person).unwrap();
    let specs = bench.shop.specs().unwrap();
    assert_eq!((specs.len(), specs[0].id, specs[0].version), (2, next, 2));
    let kept = bench.shop.spec_lines(next).unwrap();
    for line in &lines {
        assert!(kept.contains(line), "{line:?}");
    }
    let before = bench.shop.spec_lines(bench.spec).unwrap();
    assert_eq!(kept.len(), before.len() + lines.len());
    // The version before is not the last one any more.
    let older = bench.accept(&report, &word, bench.person).unwrap_err();
    assert!(matches!(older, AcceptError::Older { version: 2, .. }), "{older}");
    // Taken again it takes the place of what was taken before.
    let again = accept(&bench.shop, next, &report, &word, (bench.person, &bench.at)).unwrap();
    assert_eq!(bench.shop.spec_lines(again).unwrap(), kept);
    bench.shop.audit().unwrap();
}

#[test]
fn a_tilt_test_counts_and_one_that_cannot_says_why() {
    let bench = Bench::signed();
    let new = NewCalibration {
        day: None,
        due: None,
        repeat: Written::read::<Length>("1 um").unwrap(),
        zero: None,
        certificate: String::new(),
        person: None,
    };
    bench.shop.add_gauge("step indicator", "indicator", &new).unwrap();
    let test = |least: &str, most: &str| TiltText {
        rotor: "R-97".to_owned(),
        face: 0,
        tip: 1,
        radius: "95 mm".to_owned(),
        least: least.to_owned(),
        most: most.to_owned(),
        load_u: "1 N".to_owned(),
        gauge: "step indicator".to_owned(),
        readings: vec![["2 um".to_owned(), "14 um".to_owned()]],
        note: String::new(),
    };
    for (least, most) in [("20 N", "120 N"), ("2 N", "3 N")] {
        let by = (bench.person, &bench.at);
        tell_tilt(&bench.shop, (bench.build, &test(least, most)), None, by).unwrap();
    }
    let report = bench.calibrated();
    assert_eq!(report.rests_on(), "1 tilt test", "{:?}", report.silent);
    let [(which, why)] = &report.silent[..] else { panic!("{:?}", report.silent) };
    assert!(which.starts_with("tilt test 2 of ") && why.contains("rocks from"), "{which}: {why}");
    // 12 µm where more or less is predicted: the scale of tilt goes the same way, by less.
    let measured = report.posterior.measured().unwrap();
    let tilt = report.posterior.tilt().median;
    assert!((tilt - 1.0) * (measured.factor - 1.0) > 0.0, "{tilt} {measured:?}");
    assert!(tilt.ln().abs() < measured.factor.ln().abs(), "{tilt} {measured:?}");
}

#[test]
fn text_and_json_say_what_there_is() {
    let bench = Bench::signed();
    bench.tell(&read_teardown(CAME_BACK).unwrap());
    let report = bench.calibrated();
    let text = crate::text::calibration::text(&report, System::Metric);
    assert!(text.starts_with("What teardowns teach\nIt rests on 1 build.\n"), "{text}");
    assert!(text.contains("5 seen of 11 tips, 1 of them heavy"), "{text}");
    assert!(text.lines().all(|line| line.chars().count() <= 80), "{text}");
    let json = serde_json::json!(crate::wire::CalibrationJson::of(&report, System::Metric));
    assert_eq!(json["builds"][0]["seen"], 5);
    assert_eq!(json["assumed"].as_array().unwrap().len(), 6);
    assert_eq!(json["tilt"]["median"].as_f64().unwrap(), {
        let median = report.posterior.tilt().median;
        (median * 1e9).round() / 1e9
    });
}
