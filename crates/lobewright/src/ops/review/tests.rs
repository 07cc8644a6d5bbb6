//! Specs looked at again: two boats to one spec, one of which came back.

use super::*;
use crate::build_file::teardown::read_teardown;
use crate::ops::import;
use crate::ops::teardown::{Entered, Telling, tell};
use kernel::units::Length;
use records::{Head, Line, Moment, NewSignOff, PersonId};
use tempfile::TempDir;

const BOAT: &str = include_str!("../../../../../examples/sprint-boat.toml");

const CAME_BACK: &str = r#"format = 1
[teardown]
build = "Merganser, boat 7"
running = "11.5 h"
speed = "9300 rpm"
boost = "0.9 bar"
[[rotor]]
serial = "R-114"
gear_tips = ["none", "light", "none"]
plain_tips = ["none", "heavy", "not looked at"]
[[rotor]]
serial = "R-97"
gear_tips = ["none", "none", "none"]
plain_tips = ["none", "none", "none"]
"#;

struct Bench {
    _folder: TempDir,
    shop: Shop,
    person: PersonId,
    at: Moment,
    spec: SpecId,
}

impl Bench {
    fn open() -> Self {
        let folder = TempDir::new().unwrap();
        let shop = Shop::create(&folder.path().join("shop.db")).unwrap();
        let at = Moment::new("2026-11-28T09:30:00Z").unwrap();
        let person = shop.add_person("Ada", "owner").unwrap();
        let line = Line { place: "spec.match".to_owned(), value: "\"8 um\"".to_owned() };
        let spec = shop.add_spec("sprint, boosted", person, &at, &[line]).unwrap();
        Self { _folder: folder, shop, person, at, spec }
    }

    fn built(&self, text: &str, spec: SpecId) -> BuildId {
        let Self { shop, person, at, .. } = self;
        let build = import(shop, text, None, ("Ada", at)).unwrap().build;
        let head = Head { spec: Some(spec), ..shop.build(build).unwrap().head };
        shop.change_head(build, &shop.seen(build).unwrap(), &head).unwrap();
        let seen = shop.seen(build).unwrap();
        shop.sign(&NewSignOff { build, seen, person: *person, at, meaning: "built" }).unwrap();
        build
    }

    fn came_back(&self, build: BuildId) {
        let told = read_teardown(CAME_BACK).unwrap();
        let telling = Telling {
            build,
            revision: 1,
            told: &told,
            expected: None,
            sure: true,
            person: self.person,
            at: &self.at,
        };
        let entered = tell(&self.shop, &telling, System::Metric).unwrap();
        assert!(matches!(entered, Entered::Kept { .. }), "{entered:?}");
    }

    fn review(&self) -> SpecReview {
        let today = Day::new("2026-11-29").unwrap();
        review(&self.shop, self.spec, &today, System::Metric).unwrap()
    }
}

/// The same boat again under another number, its parts with it.
fn boat(number: u32) -> String {
    let text = BOAT.replace("boat 7", &format!("boat {number}"));
    ["R-114", "R-97", "H-31", "H-32"]
        .iter()
        .fold(text, |text, serial| text.replace(serial, &format!("{serial}-{number}")))
}

#[test]
fn builds_of_all_versions_are_looked_at_duty_by_duty() {
    let bench = Bench::open();
    assert!(bench.review().duties.is_empty());
    let first = bench.built(BOAT, bench.spec);
    bench.came_back(first);
    let line = Line { place: "spec.match".to_owned(), value: "\"7 um\"".to_owned() };
    let next = bench.shop.add_spec("sprint, boosted", bench.person, &bench.at, &[line]).unwrap();
    bench.built(&boat(8).replace("9800 rpm", "9000 rpm"), next);
    bench.built(&boat(9), next);
    let report = bench.review();
    assert_eq!((report.spec.version, report.not_shown), (2, 0));
    let duties: Vec<(String, usize)> =
        report.duties.iter().map(|duty| (duty_words(&duty.duty), duty.builds.len())).collect();
    let words = |rpm: u32| format!("{rpm} rpm, 0.90 bar above atmosphere, 12 h between rebuilds");
    assert_eq!(duties, [(words(9800), 2), (words(9000), 1)]);
    let of = &report.duties[0];
    assert_eq!(of.builds.iter().map(|past| past.version).collect::<Vec<_>>(), [2, 1]);
    assert_eq!(of.came_back(), (1, 1));
    let back = of.builds[1].back.as_ref().unwrap();
    assert_eq!((back.hours, back.speed.as_deref()), (Some(11.5), Some("9300 rpm")));
    assert_eq!((back.marks, back.touched()), ([9, 1, 1, 1], 2));
    assert!(of.builds[0].back.is_none());
    // Two marks on one rotor say a little more than nothing.
    let evidence = of.evidence.as_ref().unwrap();
    assert_eq!((evidence.builds, evidence.build.as_str()), (1, "Merganser, boat 9"));
    assert_eq!((evidence.chance, evidence.tolerance), (0.05, Length::thou(0.5)));
    assert!((evidence.step - Length::thou(5.0)).abs() < Length::um(0.01), "{evidence:?}");
    let wide = |lacks: &Lacks| lacks.high - lacks.low;
    assert!(wide(&evidence.taught) < wide(&evidence.assumed), "{evidence:?}");
    assert!(evidence.taught.median > evidence.assumed.median, "marks ask for more step");
}

#[test]
fn a_rotor_sits_between_the_bounds_of_its_window() {
    let bench = Bench::open();
    bench.built(BOAT, bench.spec);
    let report = bench.review();
    let duty = &report.duties[0];
    // What the spec of the example wants.
    let ((clearance, _), (step, within)) = duty.wanted.unwrap();
    assert_eq!((clearance, step, within), (Length::mm(0.22), Length::thou(5.0), Length::thou(0.5)));
    let rotors = duty.builds[0].sits.as_ref().unwrap();
    assert_eq!(rotors.len(), 2);
    for rotor in rotors {
        assert!((rotor.clearance.is[0].to_mm() - 0.22).abs() < 1e-9, "{rotor:?}");
        assert!((rotor.step.is[0] - Length::thou(5.0)).abs() < Length::um(0.01), "{rotor:?}");
        let share = rotor.step.share().unwrap();
        assert!((0.0..1.0).contains(&share), "{rotor:?}");
        let (low, high) = (rotor.step.least.as_ref().unwrap(), rotor.step.most.as_ref().unwrap());
        assert!((low.room - (rotor.step.is[0] - low.at)).abs() < Length::um(1e-6));
        let nearest = rotor.nearest().unwrap();
        assert!(nearest.room <= low.room && nearest.room <= high.room);
    }
    let met = duty.met_first();
    assert_eq!(met.iter().map(|met| met.rotors).sum::<usize>(), 2);
    let pictures = review_pictures(&report.spec.name, 0, duty, System::Metric);
    let names: Vec<&str> = pictures.iter().map(|picture| picture.name.as_str()).collect();
    assert_eq!(names, ["1-step", "1-side-clearance"]);
    assert!(pictures[0].csv.lines().count() == 3 && pictures[0].csv.contains("not back"));
}

#[test]
fn a_spec_that_is_not_there_is_said() {
    let bench = Bench::open();
    let today = Day::new("2026-11-29").unwrap();
    let missing = review(&bench.shop, SpecId(9), &today, System::Metric).unwrap_err();
    assert!(missing.to_string().contains("spec 9"), "{missing}");
}
