//! A rotor over four builds: what it lost in them, what cuts took, and what is left.

use super::*;
use crate::build_file::teardown::read_teardown;
use crate::ops::import;
use crate::ops::teardown::{Entered, Telling, tell};
use drawings::Options;
use kernel::wear::{Basis, Rebuilds};
use records::{
    InRevision, Moment, NewReading, NewSignOff, OutWhy, PartKind, PersonId, When, Written,
};
use tempfile::TempDir;

struct Bench {
    _folder: TempDir,
    shop: Shop,
    person: PersonId,
    at: Moment,
}

/// Land widths of R-114 as found and after the cut, by build, and the hours it ran in it.
const STORY: [(&str, f64, f64, Option<&str>); 4] = [
    ("first", 0.0, -5.0, Some("10 h")),
    ("second", -15.0, -20.0, Some("20 h")),
    ("third", -40.0, -45.0, Some("30 h")),
    ("fourth", -75.0, -75.0, None),
];

impl Bench {
    fn with_story(story: &[(&str, f64, f64, Option<&str>)]) -> Self {
        let folder = TempDir::new().unwrap();
        let shop = Shop::create(&folder.path().join("shop.db")).unwrap();
        let at = Moment::new("2026-11-28T09:30:00Z").unwrap();
        let person = shop.add_person("Ada", "owner").unwrap();
        let bench = Self { _folder: folder, shop, person, at };
        for (name, before, after, running) in story {
            bench.build(name, *before, *after, *running);
        }
        bench
    }

    fn build(&self, name: &str, before: f64, after: f64, running: Option<&str>) {
        let Self { shop, person, at, .. } = self;
        let mut text = include_str!("../../../../../examples/sprint-boat.toml")
            .replace("name = \"Merganser, boat 7\"", &format!("name = \"{name}\""));
        let line = text.lines().find(|line| line.starts_with("land_width")).unwrap().to_owned();
        let width = |um: f64| format!("\"{:.4} mm\"", 79.915 + um / 1e3);
        let found = format!("land_width = [{}]", [before; 3].map(width).join(", "));
        text = text.replacen(&line, &found, 1);
        let build = import(shop, &text, None, ("Ada", at)).unwrap().build;
        let rotor = shop.part_of(PartKind::Rotor, "R-114").unwrap().unwrap();
        if (after - before).abs() > 1e-9 {
            for tip in 1..=3 {
                let value = Written::read::<Length>(width(after).trim_matches('"')).unwrap();
                shop.add_reading(&NewReading {
                    part: rotor.id,
                    build: Some(InRevision { build, revision: 1 }),
                    when: When::After,
                    station: &format!("land_width.{tip}"),
                    value: &value,
                    gauge: None,
                    person: *person,
                    at,
                    temperature: None,
                    expected: None,
                    sent_as: None,
                    place: Some(&format!("rotor.R-114.after.land_width.{tip}")),
                })
                .unwrap();
            }
        }
        let Some(running) = running else { return };
        let seen = shop.seen(build).unwrap();
        let new = NewSignOff { build, seen, person: *person, at, meaning: "built" };
        shop.sign(&new).unwrap();
        let told = format!("format = 1\n[teardown]\nrunning = \"{running}\"\n");
        let told = read_teardown(&told).unwrap();
        let telling = Telling {
            build,
            revision: 1,
            told: &told,
            expected: None,
            sure: true,
            person: *person,
            at,
        };
        let told = tell(shop, &telling, System::Metric).unwrap();
        assert!(matches!(told, Entered::Kept { .. }), "{told:?}");
        for part in shop.fitted(build).unwrap() {
            shop.take_out(part.id, OutWhy::TornDown, (*person, at)).unwrap();
        }
    }

    fn life(&self) -> PartLife {
        let rotor = self.shop.part_of(PartKind::Rotor, "R-114").unwrap().unwrap();
        life(&self.shop, rotor.id, &self.at.day(), System::Metric).unwrap()
    }
}

fn station<'a>(life: &'a PartLife, name: &str) -> &'a StationLife {
    life.stations.iter().find(|station| station.station == name).unwrap()
}

fn um(length: Length) -> f64 {
    (length.to_um() * 1e3).round() / 1e3
}

#[test]
fn wear_and_cuts_are_told_apart() {
    let life = Bench::with_story(&STORY).life();
    assert!((life.hours - 60.0).abs() < 1e-9);
    let land = station(&life, "land_width.1");
    let sizes: Vec<(f64, f64, Occasion)> = land
        .points
        .iter()
        .map(|p| (p.hours, um(p.size - Length::mm(79.915)), p.occasion))
        .collect();
    assert_eq!(
        sizes,
        [
            (0.0, 0.0, Occasion::Found),
            (0.0, -5.0, Occasion::Assembled),
            (10.0, -15.0, Occasion::Apart),
            (10.0, -20.0, Occasion::Assembled),
            (30.0, -40.0, Occasion::Apart),
            (30.0, -45.0, Occasion::Assembled),
            (60.0, -75.0, Occasion::ApartAndAssembled),
        ]
    );
    let cuts: Vec<f64> = land.cuts.iter().map(|cut| um(cut.cut)).collect();
    assert_eq!(cuts, [5.0, 5.0, 5.0]);
    assert_eq!(um(land.cut_in_all()), 15.0);
    let lost: Vec<(f64, f64)> = land.runs.iter().map(|run| (run.hours, um(run.lost))).collect();
    assert_eq!(lost, [(10.0, 10.0), (20.0, 20.0), (30.0, 30.0)]);
    let rate = land.rate.as_ref().unwrap();
    // One micrometre an hour in all runs.
    assert!((rate.m_per_h - 1e-6).abs() < 1e-12, "{rate:?}");
    assert_eq!(rate.basis, Basis::Runs);
    // The mean of three stations is known better by the square root of three.
    let mean = &life.stations[0];
    assert_eq!(
        (mean.station.as_str(), mean.words.as_str()),
        ("land_width", "land width, mean of 3")
    );
    let of_mean = mean.rate.as_ref().unwrap();
    assert!((of_mean.m_per_h - 1e-6).abs() < 1e-12, "{of_mean:?}");
    assert!(of_mean.u_m_per_h < rate.u_m_per_h, "{of_mean:?}");
    assert_eq!(um(mean.points[0].u), um(land.points[0].u / 3f64.sqrt()));
}

#[test]
fn what_is_left_is_counted_to_the_specs_clearance() {
    let life = Bench::with_story(&STORY).life();
    let land = station(&life, "land_width.2");
    let limit = land.limit.as_ref().unwrap();
    assert!(limit.from.starts_with("the most side clearance of spec "), "{}", limit.from);
    assert!(limit.from.ends_with(" in housing H-31"), "{}", limit.from);
    // The housing's widest reading less the aim and its tolerance.
    let text = include_str!("../../../../../examples/sprint-boat.toml");
    let file = crate::build_file::read(text).unwrap();
    let aim = file.spec.side_clearance;
    let widest = file.housings[0].width.iter().copied().reduce(Length::max).unwrap();
    assert!((limit.limit - (widest - aim.target - aim.tolerance)).abs() < Length::um(1e-3));
    let room_um = (land.points.last().unwrap().size - limit.limit).to_um();
    assert!(room_um > 50.0);
    let Life::Left { hours, rebuilds, .. } = land.life.as_ref().unwrap() else {
        panic!("{:?}", land.life)
    };
    assert!((hours.expected - room_um).abs() < 1e-6 * room_um, "{hours:?} {room_um}");
    // 12 h of the duty at 1 µm each, and cuts of 5 µm at each rebuild.
    let expected = (room_um / 17.0).floor() as usize;
    assert_eq!(rebuilds.expected, expected, "{rebuilds:?}");
    let Rebuilds { low, high, .. } = *rebuilds;
    assert!(low <= expected && high.is_none_or(|high| expected <= high));
    assert!(land.life_words(System::Metric).contains("h left before its limit, from "));
    assert!(life.in_a_sentence().contains("h left before its limit"));
    let (hours, from) = life.hours_to_come.clone().unwrap();
    assert_eq!((hours, from.as_str()), (12.0, "the duty of its last build"));
}

#[test]
fn a_run_whose_hours_nobody_told_is_no_run() {
    let mut story = STORY;
    story[0].3 = Some("10 h");
    let bench = Bench::with_story(&story[..1]);
    // It is on the bench: nothing was read after it came apart.
    // Three land widths and their mean.
    assert_eq!(bench.life().stations.len(), 4);
    let land = bench.life();
    let land = station(&land, "land_width.1");
    assert_eq!(land.points.len(), 2);
    assert!(land.runs.is_empty());
    let why = "no run has a reading at both its ends and its hours told yet";
    assert_eq!(land.rate.as_ref().unwrap_err(), why);
    assert_eq!(land.life_words(System::Metric), "cannot be said yet");
}

#[test]
fn what_is_read_on_the_shelf_ends_a_run() {
    let bench = Bench::with_story(&STORY[..1]);
    let rotor = bench.shop.part_of(PartKind::Rotor, "R-114").unwrap().unwrap();
    bench
        .shop
        .add_reading(&NewReading {
            part: rotor.id,
            build: None,
            when: When::Before,
            station: "land_width.1",
            value: &Written::read::<Length>("79.9000 mm").unwrap(),
            gauge: None,
            person: bench.person,
            at: &bench.at,
            temperature: None,
            expected: None,
            sent_as: None,
            place: None,
        })
        .unwrap();
    let life = bench.life();
    let land = station(&life, "land_width.1");
    assert_eq!(land.runs.len(), 1);
    assert!((land.runs[0].lost.to_um() - 10.0).abs() < 1e-6);
    assert_eq!(land.rate.as_ref().unwrap().basis, Basis::Gauges);
    assert!(land.rate_words(System::Metric).contains("one run, so the interval is of the gauges"));
}

#[test]
fn the_picture_has_every_size() {
    let life = Bench::with_story(&STORY).life();
    assert_eq!(life.lists()[0], "land_width");
    let svg = life_picture(&life, "land_width", &Options::default()).unwrap();
    assert!(svg.contains("Land width of rotor R-114 against hours run"), "{svg:.400}");
    let csv = life_csv(&life, "land_width").unwrap();
    assert_eq!(csv.lines().count(), 1 + 3 * 7 + 1, "{csv}");
    assert_eq!(life_picture(&life, "no_list", &Options::default()), None);
}
