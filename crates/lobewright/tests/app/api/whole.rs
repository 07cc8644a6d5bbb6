//! A build from an empty shop to its second signature, by the interface alone.

use super::boat::{BOAT, library};
use super::program::{Program, signed_in};
use crate::bench::{OWNER, PASSWORD};
use kernel::units::System;
use lobewright::build_file::places::placed;
use lobewright::build_file::read;
use lobewright::ops;
use lobewright::wire::{PlanJson, Tilts};
use serde_json::{Value, json};
use std::collections::BTreeMap;

const BUILD: &str = "/api/builds/{build}";
const VALUES: &str = "/api/builds/{build}/values";
const SIGN: &str = "/api/builds/{build}/sign";

fn sign(program: &mut Program) -> Value {
    let seen = program.get(BUILD, &[1], "")["seen"].clone();
    let body = json!({ "meaning": "built and inspected", "seen": seen, "password": PASSWORD });
    program.post(SIGN, &[1], &body)
}

fn state(sheet: &Value, part: &str) -> String {
    let states = sheet["states"].as_array().unwrap();
    let state = states.iter().find(|state| state["part"] == part).unwrap();
    format!("{}: {}", state["state"].as_str().unwrap(), state["words"].as_str().unwrap())
}

/// Takes every reading of the boat's file at its station, as the sheet asks for them.
fn read_all(program: &mut Program) -> usize {
    let file: BTreeMap<String, String> =
        placed(BOAT).unwrap().into_iter().map(|line| (line.place, line.value)).collect();
    let sheet = program.get(BUILD, &[1], "");
    let mut taken = 0;
    for part in sheet["parts"].as_array().unwrap() {
        for station in part["stations"].as_array().unwrap() {
            let Some(text) = station["place"].as_str().and_then(|place| file.get(place)) else {
                continue;
            };
            let text = text.trim_matches('"');
            let (number, unit) = text.split_once(' ').unwrap();
            let body = json!({
                "revision": 1, "part": part["part"], "when": station["when"],
                "station": station["station"], "value": number, "unit": unit,
            });
            let answer = program.post("/api/builds/{build}/readings", &[1], &body);
            assert_eq!(answer["kept"]["written"], json!(text), "{answer}");
            taken += 1;
        }
    }
    taken
}

#[test]
fn from_empty_to_signed_twice() {
    let (_folder, mut program) = signed_in();
    let (engine, spec) = library(&program);
    let begun = json!({
        "name": "Merganser, boat 7", "engine": engine, "spec": spec,
        "duty": { "speed": "9800 rpm", "boost": "0.9 bar", "running": "12 h" },
    });
    assert_eq!(program.post("/api/builds", &[], &begun)["build"], 1);
    let sheet = program.get(BUILD, &[1], "");
    assert_eq!(state(&sheet, "teardown"), "due: enter 2 rotors, 2 rotor housings");
    for (kind, serial) in [
        ("rotor housing", "H-31"),
        ("rotor housing", "H-32"),
        ("rotor", "R-114"),
        ("rotor", "R-97"),
    ] {
        let mut fit = json!({ "kind": kind, "serial": serial });
        if kind == "rotor" {
            fit["gear_face"] = json!("rear");
        }
        program.post("/api/builds/{build}/parts", &[1], &fit);
    }
    let sheet = program.get(BUILD, &[1], "");
    assert!(state(&sheet, "teardown").starts_with("holds"), "{sheet}");
    // Of the boat: six and three lists of three, two masses, and three widths of each housing.
    assert_eq!(read_all(&mut program), (6 + 3) * 3 + 2 + 2 * 3);
    let sheet = program.get(BUILD, &[1], "");
    assert!(state(&sheet, "inspection").starts_with("holds"), "{}", state(&sheet, "inspection"));
    assert_eq!((&sheet["problems"], &sheet["left_out"]), (&json!([]), &json!([])));

    let planned = program.get("/api/builds/{build}/plan", &[1], "");
    assert_eq!(planned["feasible"], true);
    let build = read(BOAT).unwrap();
    let report = ops::plan(&build, System::Metric).unwrap();
    let wanted = serde_json::to_value(PlanJson::of(&report, Tilts::Tabled).unwrap()).unwrap();
    assert_eq!(planned, wanted);

    let first = sign(&mut program);
    assert_eq!((&first["revision"], &first["person"]["name"]), (&json!(1), &json!(OWNER)));
    let sheet = program.get(BUILD, &[1], "");
    assert_eq!(sheet["open"], false);
    assert_eq!(state(&sheet, "sign-off"), format!("holds: signed by {OWNER} on 2026-11-28"));
    // What is signed is not changed.
    let change = |revision: i64| {
        json!({
            "revision": revision,
            "changes": [
                { "place": "build.duty.boost", "value": "\"0.7 bar\"", "was": "\"0.9 bar\"" },
                { "place": "build.duty.running", "value": null, "was": "\"12 h\"" },
            ],
        })
    };
    let told = program.refused(("POST", VALUES), &[1], "", (Some(&change(1)), 422));
    assert!(told["error"].as_str().unwrap().contains("is signed"), "{told}");

    let seen = sheet["seen"].clone();
    let amended = json!({ "reason": "less boost for the next race", "seen": seen });
    let stands = program.post("/api/builds/{build}/amend", &[1], &amended);
    assert_eq!((&stands["revision"], &stands["open"]), (&json!(2), &json!(true)));
    assert_eq!(stands["states"][7]["state"], "due");
    let told = program.refused(("POST", VALUES), &[1], "", (Some(&change(1)), 409));
    assert_eq!(told["conflict"]["of"], "revision");
    program.post(VALUES, &[1], &change(2));
    let between = program.get("/api/builds/{build}/differences", &[1], "from=1&to=2");
    let told: Vec<(&Value, &Value, &Value)> = between["differences"]
        .as_array()
        .unwrap()
        .iter()
        .map(|d| (&d["place"], &d["before"], &d["after"]))
        .collect();
    let (boost, running) = (json!("build.duty.boost"), json!("build.duty.running"));
    let (was, is, gone) = (json!("\"0.9 bar\""), json!("\"0.7 bar\""), json!("\"12 h\""));
    assert_eq!(told, [(&boost, &was, &is), (&running, &gone, &json!(null))]);
    let second = sign(&mut program);
    assert_eq!((&second["revision"], &second["previous"]), (&json!(2), &first["hash"]));
    let audit = program.get("/api/audit", &[], "");
    assert_eq!((&audit["fits"], &audit["counted"]["head"]), (&json!(true), &second["hash"]));
    assert_eq!(audit["counted"]["sign_offs"], 2);
}
