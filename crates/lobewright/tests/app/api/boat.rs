//! A shop with the sprint boat in it, and what each operation takes there.

use super::program::Program;
use crate::bench::{OWNER, PASSWORD};
use lobewright::build_file::places::placed;
use records::{Line, Moment};
use serde_json::{Value, json};

pub(crate) const BOAT: &str = include_str!("../../../../../examples/sprint-boat.toml");

pub(crate) const SESSION: &str = "/api/session";
pub(crate) const BUILDS: &str = "/api/builds";
pub(crate) const BRING: &str = "/api/builds/bring";
pub(crate) const BUILD: &str = "/api/builds/{build}";
pub(crate) const READINGS: &str = "/api/builds/{build}/readings";
pub(crate) const VALUES: &str = "/api/builds/{build}/values";
pub(crate) const FIT: &str = "/api/builds/{build}/parts";
pub(crate) const OUT: &str = "/api/builds/{build}/parts/{fitted}/out";
pub(crate) const SIGN: &str = "/api/builds/{build}/sign";
pub(crate) const AMEND: &str = "/api/builds/{build}/amend";
pub(crate) const FINDINGS: &str = "/api/builds/{build}/findings";
pub(crate) const TEARDOWN: &str = "/api/builds/{build}/teardown";
pub(crate) const TILT: &str = "/api/builds/{build}/tilt-tests";
pub(crate) const DUE: &str = "/api/builds/{build}/due";
pub(crate) const DIFFERENCES: &str = "/api/builds/{build}/differences";
pub(crate) const CALIBRATIONS: &str = "/api/gauges/{gauge}/calibrations";

/// The boat's engine and spec in the shop's library.
pub(crate) fn library(program: &Program) -> (i64, i64) {
    let (shop, at) = (program.shop(), Moment::new("2026-11-28T09:30:00Z").unwrap());
    let owner = shop.people().unwrap().iter().find(|person| person.name == OWNER).unwrap().id;
    let lines = |of: &dyn Fn(&str) -> bool| -> Vec<Line> {
        let all = placed(BOAT).unwrap().into_iter();
        all.filter(|line| of(&line.place))
            .map(|line| Line { place: line.place, value: line.value })
            .collect()
    };
    let of_engine = ["engine", "gauge", "machine", "seals", "material"];
    let first = |place: &str| place.split('.').next().unwrap().to_owned();
    let engine = lines(&|place| {
        of_engine.contains(&first(place).as_str()) || place.starts_with("build.duty.heat")
    });
    let spec = lines(&|place| first(place) == "spec");
    let mill = |name: &str| -> Vec<Line> {
        let called = |line: &Line| line.place.replace("west_mill", name);
        let all = lines(&|place| first(place) == "machine_tool");
        all.iter().map(|line| Line { place: called(line), value: line.value.clone() }).collect()
    };
    shop.add_machine_tool("west_mill", &mill("west_mill")).unwrap();
    let slow = mill("slow_mill")
        .into_iter()
        .map(|line| Line { value: line.value.replace("4000 rpm", "1000 rpm"), ..line });
    shop.add_machine_tool("slow_mill", &slow.collect::<Vec<_>>()).unwrap();
    let engine = shop.add_engine("twin, 101.5", &engine).unwrap();
    (engine.0, shop.add_spec("sprint, boosted", owner, &at, &spec).unwrap().0)
}

/// A shop with the boat as build 1, and build 2 begun.
pub(crate) struct Known {
    pub(crate) engine: i64,
    pub(crate) spec: i64,
    pub(crate) gauge: i64,
    pub(crate) part: i64,
}

impl Known {
    /// A body that an operation takes, with all of its fields.
    pub(crate) fn body(&self, path: &str, seen: &Value) -> Value {
        let calibration = json!({
            "day": "2026-01-07", "due": "2027-01-07", "repeat": "2 um", "zero": "1 um",
            "certificate": "C-88",
        });
        match path {
            SESSION => json!({ "name": OWNER, "password": PASSWORD }),
            BUILDS => json!({
                "name": "Teal, boat 9", "engine": self.engine, "spec": self.spec,
                "customer": 1, "intake": null, "by": "2026-12-24",
                "duty": { "speed": "9000 rpm", "boost": "0.5 bar", "running": "20 h" },
            }),
            BRING => json!({ "text": BOAT, "name": "boat.toml", "over": 1 }),
            READINGS => json!({
                "revision": 1, "part": self.part, "when": "before", "station": "land_width.1",
                "value": "79.914", "unit": "mm", "gauge": self.gauge, "temperature": "21 degC",
                "expected": null, "sent_as": "word 1", "sure": false,
            }),
            VALUES => json!({
                "revision": 1,
                "changes": [{ "place": "build.duty.boost", "value": "\"0.8 bar\"", "was": "\"0.9 bar\"" }],
            }),
            FIT => json!({
                "kind": "rotor housing", "serial": "H-40", "gear_face": null, "instead": null,
                "clamp_up": { "by": "12 um", "u": "2 um" },
            }),
            SIGN => json!({ "meaning": "built and inspected", "seen": seen, "password": PASSWORD }),
            AMEND => json!({ "reason": "less boost", "seen": seen }),
            FINDINGS => json!({
                "part": self.part, "place": "tip 2, gear face", "contact": "not seen",
                "running": "11 h", "note": "clean",
            }),
            TEARDOWN => json!({
                "revision": 1, "expected": null, "running": "11.5 h", "speed": "9300 rpm",
                "boost": "0.9 bar", "note": "even grey", "sure": false,
                "tips": [{
                    "rotor": "R-114", "face": "gear", "tip": 2, "contact": "light",
                    "where": "trailing edge", "note": "bright",
                    "rotor_depth": { "value": "4 um", "gauge": "micrometer 2" },
                    "wall_depth": { "value": "0.1 thou", "gauge": null },
                }],
            }),
            TILT => json!({
                "rotor": "R-114", "face": "plain", "tip": 1, "radius": "95 mm",
                "least_load": "20 N", "most_load": "120 N", "load_u": "1 N",
                "gauge": "micrometer 2", "note": "", "supersedes": null,
                "readings": [{ "at_least": "2 um", "at_most": "14 um" }],
            }),
            DUE => json!({ "by": "2026-12-20", "holder": 1 }),
            "/api/parts" => json!({ "kind": "shaft", "serial": "S-4" }),
            "/api/gauges" => json!({
                "name": "depth gauge 3", "kind": "depth gauge", "calibration": calibration,
            }),
            CALIBRATIONS => calibration,
            "/api/customers" => json!({ "name": "Reed Racing", "contact": "pier 4", "note": "" }),
            other => panic!("{other} has no body here"),
        }
    }
}

/// The shop of [`Known`].
pub(crate) fn boat(program: &mut Program) -> Known {
    let (engine, spec) = library(program);
    let brought = program.post(BRING, &[], &json!({ "text": BOAT }));
    assert_eq!((&brought["build"], &brought["new_parts"]), (&json!(1), &json!(4)));
    let customer = program.post("/api/customers", &[], &json!({ "name": "Reed Racing" }));
    assert_eq!(customer["customer"], 1);
    let begun = json!({ "name": "Teal, boat 8", "engine": engine, "spec": spec });
    assert_eq!(program.post(BUILDS, &[], &begun)["build"], 2);
    let gauge = json!({
        "name": "micrometer 2", "kind": "micrometer", "calibration": { "repeat": "2 um" },
    });
    let gauge = program.post("/api/gauges", &[], &gauge)["gauge"].as_i64().unwrap();
    let parts = program.get("/api/parts", &[], "serial=R-114");
    let part = parts["parts"][0]["part"].as_i64().unwrap();
    Known { engine, spec, gauge, part }
}
