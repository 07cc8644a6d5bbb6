//! A whole build through its pages: begun from the library, measured, planned, cut, measured again,
//! assembled, signed, amended, torn down.

use crate::bench::{Bench, PASSWORD, begun, between, sprint_boat};
use axum::http::StatusCode;
use lobewright::build_file::places::placed;
use lobewright::build_file::read;
use lobewright::ops;
use records::{BuildId, GearFace, Line, PartKind, When, WorkKind};

const BOAT: &str = include_str!("../../../../examples/sprint-boat.toml");

/// The shop's library with the sprint boat's engine and spec.
fn library(bench: &Bench) {
    let owner = bench.shop().people().unwrap()[0].id;
    let lines = |tables: &[&str]| -> Vec<Line> {
        placed(BOAT)
            .unwrap()
            .into_iter()
            .filter(|line| tables.contains(&line.place.split('.').next().unwrap()))
            .map(|line| Line { place: line.place, value: line.value })
            .collect()
    };
    let now = records::Moment::new("2026-11-28T09:00:00Z").unwrap();
    bench.shop().add_engine("Two-rotor sprint", &lines(&["engine", "seals"])).unwrap();
    bench.shop().add_spec("sprint, boosted", owner, &now, &lines(&["spec"])).unwrap();
}

/// Enters every reading of the boat's file that has a place there, one by one.
fn read_all(bench: &mut Bench, build: i64, after: Option<&ops::PlanReport>) -> usize {
    let mut taken = 0;
    for line in placed(BOAT).unwrap() {
        let keys: Vec<&str> = line.place.split('.').collect();
        let (kind, station) = match *keys.as_slice() {
            ["rotor", _, list, tip] => (PartKind::Rotor, format!("{list}.{tip}")),
            ["rotor", _, "mass"] => (PartKind::Rotor, "mass".to_owned()),
            ["housing", _, "width", at] if after.is_none() => {
                (PartKind::RotorHousing, format!("width.{at}"))
            }
            _ => continue,
        };
        let part = bench.shop().part_of(kind, keys[1]).unwrap().unwrap().id;
        let when = if after.is_some() { "after" } else { "before" };
        let value =
            after.map_or_else(|| line.value.clone(), |plan| as_cut(plan, keys[1], &station));
        let fields = [
            ("revision", "1"),
            ("station", station.as_str()),
            ("expected", ""),
            ("value", value.trim_matches('"')),
            ("unit", "mm"),
        ];
        let to = bench.must(&format!("/builds/{build}/readings/{part}/{when}"), &fields);
        assert!(to.contains("kept="), "{station}: {to}");
        taken += 1;
    }
    taken
}

/// What a plan says that a station reads after the cut.
fn as_cut(plan: &ops::PlanReport, serial: &str, station: &str) -> String {
    let rotor = plan.rotors.iter().find(|rotor| rotor.serial == serial).unwrap();
    let heights = rotor.plan.finished;
    let (list, tip) = station.split_once('.').unwrap_or((station, "1"));
    let tip: usize = tip.parse::<usize>().unwrap() - 1;
    let mm = |length: kernel::units::Length| format!("{:.4} mm", length.to_mm());
    match list {
        "land_width" => mm(heights.land_width()[tip]),
        "gear_step" => mm(heights.gear.step()[tip]),
        "plain_step" => mm(heights.plain.step()[tip]),
        "tip_width" => mm(heights.tip_width()[tip]),
        "mass" => format!("{:.1} g", (rotor.mass.unwrap() - rotor.removed()).to_g()),
        _ => "0 mm".to_owned(),
    }
}

#[test]
fn a_build_goes_from_empty_to_signed_and_on() {
    let (_folder, mut bench) = begun();
    assert!(bench.page("/builds/new").contains("no engine"));
    library(&bench);
    let new = [
        ("name", "Merganser, boat 7"),
        ("customer", ""),
        ("engine", "1"),
        ("spec", "1"),
        ("speed", "9800 rpm"),
        ("boost", "0.9 bar"),
        ("running", "12 h"),
        ("by", "2026-12-20"),
    ];
    assert_eq!(bench.must("/builds/new", &new), "/builds/1");
    let page = bench.page("/builds/1");
    assert!(page.contains("enter 2 rotors, 2 rotor housings"), "{page}");
    let enter = |bench: &mut Bench, kind: &str, serial: &str| {
        let fields = [("kind", kind), ("serial", serial), ("gear_face", "rear")];
        bench.must("/builds/1/parts", &fields);
    };
    for (kind, serial) in [
        ("rotor", "R-114"),
        ("rotor", "R-97"),
        ("rotor housing", "H-31"),
        ("rotor housing", "H-32"),
    ] {
        enter(&mut bench, kind, serial);
    }
    let third = [("kind", "rotor"), ("serial", "R-200")];
    let refused = bench.send("/builds/1/parts", &third);
    assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(refused.text().contains("exchange one of them"));
    let fitted = bench.shop().fitted(BuildId(1)).unwrap();
    assert_eq!(fitted.len(), 4);
    assert_eq!(fitted[0].gear_face, Some(GearFace::Rear));

    // Every reading; the plan is then the one of the same file without its gauges.
    assert_eq!(read_all(&mut bench, 1, None), 35);
    let page = bench.page("/builds/1");
    assert!(page.contains("every reading that the plan needs is there"), "{page}");
    assert!(page.contains("planned; make the cut sheet"));
    let file = bench.get("/builds/1/build.toml").text();
    let ours = ops::plan(&read(&file).unwrap(), kernel::units::System::Metric).unwrap();
    let theirs = ops::plan(&read(BOAT).unwrap(), kernel::units::System::Metric).unwrap();
    assert!(ours.feasible && theirs.feasible);
    for (ours, theirs) in ours.rotors.iter().zip(&theirs.rotors) {
        let off = ours.plan.land_width - theirs.plan.land_width;
        assert!(off.abs() < kernel::units::Length::um(1.0), "{}", ours.serial);
    }

    // The cut sheet is kept as it was made, and the sheet says when it no longer fits.
    let to = bench.must("/builds/1/sheets", &[]);
    assert_eq!(to, "/builds/1/papers/sheet/1");
    let paper = bench.page(&to);
    assert!(paper.contains("Cut sheet 1") && paper.contains("Set-up 1 of 2: gear face up"));
    assert!(bench.page("/builds/1").contains("at the machine with cut sheet 1"));
    let change = [
        ("revision", "1"),
        ("is:spec.step.target", "5.1 thou"),
        ("was:spec.step.target", "\"5 thou\""),
    ];
    bench.must("/builds/1/values/spec", &change);
    assert!(bench.page("/builds/1").contains("changed since cut sheet 1 was made"));
    assert!(bench.page(&to).contains("Do not cut by it"));
    bench.must("/builds/1/sheets", &[]);

    // Measured again.
    let file = bench.get("/builds/1/build.toml").text();
    let plan = ops::plan(&read(&file).unwrap(), kernel::units::System::Metric).unwrap();
    read_all(&mut bench, 1, Some(&plan));
    let page = bench.page("/builds/1");
    assert!(
        page.contains("measured, conforms"),
        "{}",
        between(&page, "nav class=\"parts\"", "</nav>")
    );
    assert!(page.contains("2 rotors cut and measured again"));
    // Nothing is cut a second time by what was planned before the first.
    assert!(page.contains("no second cut is asked for") && !page.contains("Make the cut sheet"));
    let programs = bench.get("/builds/1/programs");
    assert_eq!(programs.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(programs.text().contains("no second cut is asked for"), "{}", programs.text());
    let day = records::Day::new("2026-11-28").unwrap();
    let papers = lobewright::papers::build_sheets(
        bench.shop(),
        BuildId(1),
        &day,
        kernel::units::System::Metric,
    );
    let names: Vec<String> = papers.unwrap().into_iter().map(|named| named.name).collect();
    assert_eq!(names, ["balance", "assembly"]);
    let rotor = bench.shop().part_of(PartKind::Rotor, "R-97").unwrap().unwrap().id;
    let bench_page = bench.page(&format!("/builds/1/readings/{rotor}/after"));
    assert_eq!(bench_page.matches("</svg>conforms").count(), 9, "{bench_page}");

    // Assembled.
    for (kind, serial) in [("shaft", "E-5"), ("seals set", "SS-12")] {
        enter(&mut bench, kind, serial);
    }
    let seals = ["apex_end_clearance", "side_seal_gap", "oil_seal_protrusion"];
    let stations = [1, 2].into_iter().flat_map(|r| seals.map(|list| format!("{list}.{r}")));
    for station in stations.chain(["end_play".to_owned()]) {
        let kind = if station == "end_play" {
            (PartKind::Shaft, "E-5")
        } else {
            (PartKind::SealsSet, "SS-12")
        };
        let part = bench.shop().part_of(kind.0, kind.1).unwrap().unwrap().id;
        let fields =
            [("revision", "1"), ("station", station.as_str()), ("value", "60"), ("unit", "um")];
        bench.must(&format!("/builds/1/readings/{part}/after"), &fields);
    }
    assert!(bench.page("/builds/1").contains("end play and seal gaps are read"));

    // Signed: with the password, and only as it was looked at.
    let seen = |bench: &mut Bench| {
        let page = bench.page("/builds/1");
        between(&page, "name=\"seen\" value=\"", "\"").to_owned()
    };
    let old = seen(&mut bench);
    let part = bench.shop().part_of(PartKind::Shaft, "E-5").unwrap().unwrap().id;
    let last =
        bench.shop().readings_at(part, Some(BuildId(1)), When::After, "end_play").unwrap()[0].id;
    let again = [
        ("revision", "1"),
        ("station", "end_play"),
        ("value", "62"),
        ("unit", "um"),
        ("expected", &last.to_string()),
    ];
    bench.must(&format!("/builds/1/readings/{part}/after"), &again);
    let meaning = "built and inspected; balance to follow";
    let sign = |seen: &str, password: &str| {
        vec![
            ("seen".to_owned(), seen.to_owned()),
            ("meaning".to_owned(), meaning.to_owned()),
            ("password".to_owned(), password.to_owned()),
        ]
    };
    let send = |bench: &mut Bench, fields: &[(String, String)]| {
        let fields: Vec<(&str, &str)> =
            fields.iter().map(|(a, b)| (a.as_str(), b.as_str())).collect();
        bench.send("/builds/1/sign", &fields)
    };
    assert_eq!(send(&mut bench, &sign(&old, PASSWORD)).status, StatusCode::CONFLICT);
    let now = seen(&mut bench);
    assert_eq!(
        send(&mut bench, &sign(&now, "cold start 8")).status,
        StatusCode::UNPROCESSABLE_ENTITY
    );
    assert_eq!(send(&mut bench, &sign(&now, PASSWORD)).status, StatusCode::SEE_OTHER);
    let page = bench.page("/builds/1");
    assert!(page.contains("signed by Ada Quill on 2026-11-28") && page.contains(meaning));
    let fields =
        [("revision", "1"), ("is:spec.name", "another"), ("was:spec.name", "\"sprint, boosted\"")];
    let refused = bench.send("/builds/1/values/spec", &fields);
    assert_ne!(refused.status, StatusCode::SEE_OTHER);

    // Amended: what changed is shown, and signed again.
    let signed = seen(&mut bench);
    bench.must(
        "/builds/1/amend",
        &[("seen", &signed), ("reason", "the customer asks for more boost")],
    );
    let fields = [
        ("revision", "2"),
        ("is:build.duty.boost", "1.0 bar"),
        ("was:build.duty.boost", "\"0.9 bar\""),
    ];
    bench.must("/builds/1/values/build", &fields);
    let changed = bench.page("/builds/1/differences/1/2");
    assert!(
        changed.contains("0.9 bar")
            && changed.contains("1.0 bar")
            && changed.contains("build.duty.boost")
    );
    let now = seen(&mut bench);
    assert_eq!(send(&mut bench, &sign(&now, PASSWORD)).status, StatusCode::SEE_OTHER);
    assert_eq!(bench.shop().sign_offs(BuildId(1)).unwrap().len(), 2);

    // It came back: what was found stands beside the next build of the same rotor.
    let rotor = bench.shop().part_of(PartKind::Rotor, "R-114").unwrap().unwrap().id;
    let found = [
        ("part", rotor.to_string()),
        ("place", "gear face, tip 1".to_owned()),
        ("contact", "seen".to_owned()),
        ("running", "11 h".to_owned()),
        ("note", "light rub, no metal moved".to_owned()),
    ];
    let found: Vec<(&str, &str)> = found.iter().map(|(a, b)| (*a, b.as_str())).collect();
    bench.must("/builds/1/findings", &found);
    let fitted = bench.shop().fitted(BuildId(1)).unwrap();
    let there = fitted.iter().find(|f| f.part == rotor).unwrap().id;
    bench.must(&format!("/builds/1/parts/{there}/out"), &[]);
    let mut next = new;
    next[0].1 = "Merganser, boat 7, next season";
    bench.must("/builds/new", &next);
    bench.must("/builds/2/parts", &[("kind", "rotor"), ("serial", "R-114"), ("gear_face", "rear")]);
    let page = bench.page("/builds/2");
    assert!(
        page.contains("What earlier teardowns found") && page.contains("light rub, no metal moved")
    );
    assert!(bench.shop().works(BuildId(1), WorkKind::Sheet).unwrap().len() == 2);
    bench.shop().audit().unwrap();
}

#[test]
fn what_if_keeps_nothing_until_it_is_told_to() {
    let (_folder, mut bench) = begun();
    sprint_boat(&mut bench);
    let before = bench.get("/builds/1/build.toml").text();
    let page = bench.page("/builds/1/what-if?speed=8000&boost=0.5&clearance=180&step=100");
    assert!(page.contains("at 8000 rpm and 0.50 bar"), "{page}");
    let tried = bench.page("/builds/1/what-if/answer?step=20");
    assert!(tried.contains("class=\"mark stopped\""), "{tried}");
    assert!(bench.page("/builds/1/what-if/sweep?speed=8000").contains("<svg"));
    assert_eq!(bench.get("/builds/1/build.toml").text(), before);
    let beyond = bench.get("/builds/1/what-if/answer?speed=99999");
    assert_eq!(beyond.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(beyond.text().contains("is more than 30000 rpm"));
    let figures = [
        ("revision", "1"),
        ("speed", "9800"),
        ("boost", "0.9"),
        ("clearance", "210"),
        ("step", "127"),
    ];
    // It is shown first, and nothing is kept by looking at it.
    let asked = bench.send("/builds/1/what-if", &figures).text();
    assert!(asked.contains("Leave the build as it is") && asked.contains("210 \u{b5}m"), "{asked}");
    assert_eq!(bench.get("/builds/1/build.toml").text(), before);
    let figures = [&figures[..], &[("sure", "yes")]].concat();
    bench.must("/builds/1/what-if", &figures);
    let after = bench.get("/builds/1/build.toml").text();
    let differ: Vec<(&str, &str)> =
        before.lines().zip(after.lines()).filter(|(a, b)| a != b).collect();
    assert_eq!(differ.len(), 1, "{differ:?}");
    assert!(differ[0].1.contains("210 um"), "{differ:?}");
}

#[test]
fn values_are_set_in_their_tables_and_looked_at_first() {
    let (_folder, mut bench) = begun();
    sprint_boat(&mut bench);
    // A table that is named, one that is counted, a list, a number.
    let fields = [
        ("revision", "1"),
        ("name:material.\"+\"", "house iron"),
        ("is:material.\"+\".expansion", "11.2e-6 /K"),
        ("is:material.\"+\".density", "7150 kg/m3"),
        ("is:material.\"+\".young", ""),
    ];
    bench.must("/builds/1/values/material", &fields);
    let file = bench.get("/builds/1/build.toml").text();
    let build = read(&file).unwrap();
    assert!(build.materials.contains_key("house iron"), "{file}");
    let wrong = [
        ("revision", "1"),
        ("is:spec.land_cut_limit", "0.15 furlong"),
        ("was:spec.land_cut_limit", "\"0.15 mm\""),
    ];
    let refused = bench.send("/builds/1/values/spec", &wrong);
    assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(refused.text().contains("spec.land_cut_limit"), "{}", refused.text());
    // Somebody else changed it meanwhile: both are shown.
    let mine = [("revision", "1"), ("is:spec.match", "9 um"), ("was:spec.match", "\"7 um\"")];
    let conflict = bench.send("/builds/1/values/spec", &mine);
    assert_eq!(conflict.status, StatusCode::CONFLICT);
    assert!(conflict.text().contains("9 um") && conflict.text().contains("8 um"));
    assert_eq!(bench.get("/builds/1/build.toml").text(), file);
    // A reading is no value.
    let reading = [
        ("revision", "1"),
        ("is:rotor.R-114.land_width.1", "80 mm"),
        ("was:rotor.R-114.land_width.1", "\"79.915 mm\""),
    ];
    assert!(bench.send("/builds/1/values/rotor", &reading).text().contains("is a reading"));
    // Every table has a page.
    for table in [
        "build",
        "engine",
        "gauge",
        "machine",
        "seals",
        "shaft",
        "bearing",
        "oil",
        "gas",
        "gear",
        "inertia",
        "uncertainty",
        "balance",
        "assembly",
        "rotor",
    ] {
        assert!(
            bench.page(&format!("/builds/1/values/{table}")).contains("Keep these values"),
            "{table}"
        );
    }
    assert_eq!(bench.get("/builds/1/values/housing").status, StatusCode::NOT_FOUND);
}

#[test]
fn a_build_file_is_brought_in_or_everything_wrong_with_it_is_said() {
    let (_folder, mut bench) = begun();
    let wrong = bench.send("/builds/bring", &[("text", "format = 1\n[engine]\nrotors = \"two\"")]);
    assert_eq!(wrong.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(wrong.text().contains("rotors") && wrong.text().contains("build"));
    assert!(bench.page("/builds").contains("No builds yet"));
    assert_eq!(bench.must("/builds/bring", &[("text", BOAT)]), "/builds/1");
    assert_eq!(
        bench.send("/builds/bring", &[("text", BOAT)]).status,
        StatusCode::UNPROCESSABLE_ENTITY
    );
    let list = bench.page("/builds?find=merg");
    assert!(list.contains("Merganser") && list.contains("planned; make the cut sheet"), "{list}");
    assert!(bench.page("/builds?find=R-11").contains("Merganser"));
    assert!(bench.page("/builds?find=nothing").contains("No build fits"));
    for page in [
        "plan-in-full",
        "balance-in-full",
        "at-speed",
        "at-speed/in-full?draws=8",
        "at-speed/data/speed-gap.csv?draws=8",
        "what-if/sweep/speed-gap.csv?speed=9000",
        "balance-in-full/worked-out",
        "readings.csv",
        "pictures/1-R-114-window.csv",
    ] {
        let answer = bench.get(&format!("/builds/1/{page}"));
        assert_eq!(answer.status, StatusCode::OK, "{page}: {}", answer.text());
    }
    for page in [
        "pictures/none.csv",
        "papers/plan/9",
        "papers/none/1",
        "differences/1/7",
        "readings/99/before",
    ] {
        assert_eq!(bench.get(&format!("/builds/1/{page}")).status, StatusCode::NOT_FOUND, "{page}");
    }
    assert_eq!(bench.get("/builds/77").status, StatusCode::NOT_FOUND);
    assert_eq!(bench.get("/builds/x").status, StatusCode::NOT_FOUND);
}

#[test]
fn a_part_that_is_taken_out_and_entered_again_keeps_its_place_and_its_readings() {
    let (_folder, mut bench) = begun();
    sprint_boat(&mut bench);
    let before = bench.get("/builds/1/build.toml").text();
    let there = |bench: &Bench, serial: &str| {
        let fitted = bench.shop().fitted(BuildId(1)).unwrap();
        fitted.iter().find(|f| f.serial == serial && f.out.is_none()).unwrap().id
    };
    for (kind, serial) in [("rotor housing", "H-31"), ("rotor", "R-114")] {
        let fitted = there(&bench, serial);
        bench.must(&format!("/builds/1/parts/{fitted}/out"), &[]);
        assert!(bench.page("/builds/1").contains("enter 1 rotor"));
        bench.must("/builds/1/parts", &[("kind", kind), ("serial", serial), ("gear_face", "rear")]);
    }
    let after = bench.get("/builds/1/build.toml").text();
    let (was, is) = (read(&before).unwrap(), read(&after).unwrap());
    assert_eq!(is.housings.iter().map(|h| &h.serial).collect::<Vec<_>>(), ["H-31", "H-32"]);
    assert_eq!(is.rotors.iter().map(|r| &r.serial).collect::<Vec<_>>(), ["R-114", "R-97"]);
    assert!(is.rotors == was.rotors && is.housings == was.housings);
    // Turned round in its place: parts and file say the same.
    let fitted = there(&bench, "R-97").to_string();
    let turned = [
        ("kind", "rotor"),
        ("serial", "R-97"),
        ("gear_face", "front"),
        ("instead", fitted.as_str()),
    ];
    bench.must("/builds/1/parts", &turned);
    let is = read(&bench.get("/builds/1/build.toml").text()).unwrap();
    assert_eq!(is.rotors[1].gear_face.name(), "front");
    assert!(is.rotors[1].readings == was.rotors[1].readings);
    let fitted = bench.shop().fitted(BuildId(1)).unwrap();
    let rotor = fitted.iter().find(|f| f.serial == "R-97" && f.out.is_none()).unwrap();
    assert_eq!((rotor.position, rotor.gear_face), (2, Some(GearFace::Front)));
    // Not by a value, and no rotor that is no part.
    for place in ["rotor.R-97.gear_face", "rotor.R-97.tip_width.1", "rotor.R-5.gear_face"] {
        let at = format!("is:{place}");
        let refused =
            bench.send("/builds/1/values/rotor", &[("revision", "1"), (at.as_str(), "rear")]);
        assert!(refused.status.is_client_error(), "{place}: {}", refused.status);
    }
    bench.shop().audit().unwrap();
}

#[test]
fn what_is_half_read_comes_out_with_what_is_lacking_said() {
    let (_folder, mut bench) = begun();
    library(&bench);
    let new = [("name", "Half read"), ("engine", "1"), ("spec", "1"), ("speed", "9800 rpm")];
    bench.must("/builds/new", &new);
    bench.must("/builds/1/parts", &[("kind", "rotor"), ("serial", "R-114"), ("gear_face", "rear")]);
    let part = bench.shop().part_of(PartKind::Rotor, "R-114").unwrap().unwrap().id;
    let fields =
        [("revision", "1"), ("station", "land_width.2"), ("value", "79.922"), ("unit", "mm")];
    bench.must(&format!("/builds/1/readings/{part}/before"), &fields);
    let file = bench.get("/builds/1/build.toml");
    assert_eq!(file.status, StatusCode::OK, "{}", file.text());
    assert!(
        file.text().starts_with("# not counted yet: land width of R-114: 1 of 3 read\n"),
        "{}",
        file.text()
    );
    // An engine that has fewer places than parts are entered says so.
    bench.must("/builds/1/parts", &[("kind", "rotor"), ("serial", "R-97"), ("gear_face", "rear")]);
    let fewer = [
        ("revision", "1"),
        ("number:engine.rotors", "yes"),
        ("is:engine.rotors", "1"),
        ("was:engine.rotors", "2"),
    ];
    bench.must("/builds/1/values/engine", &fewer);
    assert!(
        bench
            .page("/builds/1")
            .contains("2 rotors and 0 rotor housings are entered, and the engine has 1 of each")
    );
    // A finding is of a part that was in the build.
    let other = bench
        .shop()
        .add_part(
            PartKind::Rotor,
            "R-5",
            (
                bench.shop().people().unwrap()[0].id,
                &records::Moment::new("2026-11-28T09:30:00Z").unwrap(),
            ),
        )
        .unwrap()
        .to_string();
    let found = [("part", other.as_str()), ("place", "tip 1"), ("contact", "seen")];
    assert_eq!(bench.send("/builds/1/findings", &found).status, StatusCode::UNPROCESSABLE_ENTITY);
}
