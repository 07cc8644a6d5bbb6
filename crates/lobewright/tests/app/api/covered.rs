//! Every status that the document names is seen, and is as it says.

use super::boat::{
    AMEND, BOAT, BRING, BUILD, BUILDS, CALIBRATIONS, DIFFERENCES, DUE, FINDINGS, FIT, Known, OUT,
    READINGS, SESSION, SIGN, TEARDOWN, TILT, VALUES, boat,
};
use super::contract::has_body;
use super::program::{Program, signed_in};
use crate::bench::{OWNER, PASSWORD};
use kernel::units::Length;
use lobewright::ops::people::Role;
use records::{
    AttachedTo, BuildId, Head, Moment, NewAttachment, NewReading, NewWork, OutWhy, PartId,
    PartKind, Sha, SpecId, When, WorkKind, Written,
};
use serde_json::{Value, json};

/// Builds with what the boat does not have.
const EXAMPLES: [&str; 6] = [
    include_str!("../../../../../examples/shelduck-hydroplane.toml"),
    include_str!("../../../../../examples/gannet-pump.toml"),
    include_str!("../../../../../examples/heron-aircraft.toml"),
    include_str!("../../../../../examples/dipper-pump.toml"),
    include_str!("../../../../../examples/cormorant-three.toml"),
    include_str!("../../../../../examples/petrel-worn.toml"),
];

/// What a spec has of a shop's own builds.
const CALIBRATION: &str = "[spec.calibration]\nfrom = \"three boats\"\ntilt = 1.1\ntilt_u = 0.2\n\
    heat = 1.0\nheat_u = 0.2\ncontact_below = \"3 um\"\ncontact_below_u = \"5 um\"\n";

/// Pairs of operation and status that are held against the document. They only rise.
const PAIRS: usize = 175;
/// A number that no row has.
const NONE: i64 = 99_999;

#[test]
fn every_answer_is_as_the_document_says() {
    let (_folder, mut program) = signed_in();
    let known = boat(&mut program);
    nothing_of_that_number(&mut program, &known);
    nothing_that_can_be_taken(&mut program, &known);
    what_stands_otherwise(&mut program, &known);
    what_is_asked_for(&mut program, &known);
    what_is_done(&mut program, &known);
    not_for_everybody(&mut program);
    program.sign_in(OWNER);
    what_is_rarely_there(&mut program, &known);
    program.token = None;
    let operations: Vec<(String, String)> = program.contract.operations().into_keys().collect();
    for (method, path) in operations.iter().filter(|(_, path)| path.starts_with("/api/")) {
        program.ask((method, path), &[1, 1], "", None);
    }
    let documented = program.contract.pairs();
    let unseen: Vec<_> = documented.difference(&program.contract.seen).collect();
    assert!(unseen.is_empty(), "{unseen:#?}");
    assert_eq!(program.contract.seen.len(), PAIRS);
    // A shape that no answer had would be held against nothing.
    let shapes = program.contract.document["components"]["schemas"].as_object().unwrap();
    let answers = shapes.keys().filter(|name| !name.ends_with("Request"));
    let never: Vec<_> = answers.filter(|name| !program.contract.shapes.contains(*name)).collect();
    assert!(never.is_empty(), "{never:#?}");
}

/// 404 of every path with a number in it.
fn nothing_of_that_number(program: &mut Program, known: &Known) {
    let seen = program.get(BUILD, &[1], "")["seen"].clone();
    let operations: Vec<(String, String)> = program.contract.operations().into_keys().collect();
    for (method, path) in operations.iter().filter(|(_, path)| path.contains('{')) {
        let body = has_body(&program.contract, method, path).then(|| known.body(path, &seen));
        let query = if path == DIFFERENCES { "from=1&to=1" } else { "" };
        program.refused((method, path), &[NONE, 1], query, (body.as_ref(), 404));
        let nowhere = path.split('/').map(|p| if p.starts_with('{') { "x" } else { p });
        let nowhere = nowhere.collect::<Vec<_>>().join("/");
        let answer = program.ask_at((method, path), &nowhere, None);
        assert_eq!(answer.status.as_u16(), 404, "{nowhere}");
    }
    let over = json!({ "text": BOAT, "over": NONE });
    program.refused(("POST", BRING), &[], "", (Some(&over), 404));
}

/// 422 of everything that takes something.
fn nothing_that_can_be_taken(program: &mut Program, known: &Known) {
    let operations: Vec<(String, String)> = program.contract.operations().into_keys().collect();
    for (method, path) in &operations {
        let documented =
            program.contract.document["paths"][path][method.to_lowercase()]["responses"]
                .get("422")
                .is_some();
        let body = has_body(&program.contract, method, path).then(|| json!([1]));
        if body.is_some() {
            program.refused((method, path), &[1, 1], "", (body.as_ref(), 422));
            program.refused((method, path), &[1, 1], "", (None, 422));
        } else if documented && method == "GET" {
            let told = program.refused((method, path), &[1], "colour=red", (None, 422));
            let told = told["error"].as_str().unwrap();
            assert!(told.starts_with("there is no parameter colour; there is "), "{told}");
        }
    }
    let told = program.refused(("POST", OUT), &[1, NONE], "", (None, 422));
    assert!(told["error"].as_str().unwrap().contains("not in this build"));
    let mut said = |row: (&str, &str), query: &str, body: Option<&Value>, words: &str| {
        let told = program.refused(row, &[1], query, (body, 422));
        let told = told["error"].as_str().unwrap().to_owned();
        assert!(told.to_lowercase().contains(&words.to_lowercase()), "{row:?}: {told}");
    };
    let speed = ("GET", "/api/builds/{build}/speed");
    said(speed, "draws=4097", None, "draws: 4097 is too many; at most 4096");
    said(speed, "speeds=41", None, "speeds: 41 is too many; at most 40");
    said(speed, "rpm=-9000", None, "rpm: \"-9000 rpm\" is not above 0 rpm");
    said(speed, "rpm=1", None, "a speed of 1 rpm cannot be computed; from 400 to 19000 rpm can");
    said(speed, "rpm=fast", None, "rpm: \"fast\" is no number that fits");
    said(speed, "boost=1", None, "boost: \"1\"");
    said(speed, "rpm=9000&rpm=9100", None, "rpm is in the address twice");
    let programs = ("GET", "/api/builds/{build}/programs");
    said(programs, "rotor=R-114", None, "machine is missing");
    said(programs, "machine=west", None, "machine: \"west\" is no number that fits");
    said(programs, "machine=1&rotor=R-7", None, "no rotor \"R-7\" in this build");
    said(programs, "machine=2&rotor=R-114", None, "slow_mill.rough.cutting_speed: a cutting speed");
    said(("GET", BUILDS), "which=all", None, "which: \"all\" is none of open, signed");
    said(("GET", DIFFERENCES), "from=1", None, "to is missing");
    said(("GET", "/api/parts"), "kind=piston", None, "kind: \"piston\" is none of rotor, ");
    let with = |path: &str, field: &str, value: Value| {
        let mut body = known.body(path, &json!(null));
        body[field] = value;
        body
    };
    let reading = |field, value| with(READINGS, field, value);
    said(
        ("POST", READINGS),
        "",
        Some(&reading("when", json!("later"))),
        "when: \"later\" is none of before, after",
    );
    said(("POST", READINGS), "", Some(&reading("part", json!("R-114"))), "part is string");
    said(("POST", READINGS), "", Some(&reading("value", json!("79.9 kg"))), "land width at tip 1");
    said(("POST", READINGS), "", Some(&reading("value", json!("7.99"))), "is less than");
    said(("POST", READINGS), "", Some(&reading("station", json!("bore.1"))), "has no bore.1");
    said(("POST", READINGS), "", Some(&reading("temperature", json!("warm"))), "temperature: ");
    said(
        ("POST", DUE),
        "",
        Some(&with(DUE, "by", json!("24.12.26"))),
        "by: \"24.12.26\" is no day",
    );
    said(("POST", DUE), "", Some(&with(DUE, "holder", json!(NONE))), "not in the shop's file");
    let fit = |field, value| with(FIT, field, value);
    said(
        ("POST", FIT),
        "",
        Some(&fit("gear_face", json!("up"))),
        "gear_face: \"up\" is none of front, rear",
    );
    let rotor = json!({ "kind": "rotor", "serial": "R-9" });
    said(("POST", FIT), "", Some(&rotor), "gear_face is missing");
    let wrong = json!({ "text": BOAT.replace("9800 rpm", "9800"), "name": "boat.toml", "over": 1 });
    said(("POST", BRING), "", Some(&wrong), "boat.toml");
    let calibration = json!({ "repeat": "2 s" });
    said(("POST", CALIBRATIONS), "", Some(&calibration), "uncertainty of each reading: ");
    let mut tilt = known.body(TILT, &json!(null));
    tilt["face"] = json!("flank");
    said(("POST", TILT), "", Some(&tilt), "face: \"flank\" is none of gear, plain");
    let mut tilt = known.body(TILT, &json!(null));
    tilt["most_load"] = json!("20 N");
    said(("POST", TILT), "", Some(&tilt), "large load: 20 N is not more than 20 N");
    let nobody = json!({ "name": "Nobody", "password": PASSWORD });
    said(("POST", SESSION), "", Some(&nobody), "do not belong together");
}

/// 409: somebody else was there, or the build is not that far.
fn what_stands_otherwise(program: &mut Program, known: &Known) {
    for what in ["plan", "speed", "balance", "programs"] {
        let path = format!("/api/builds/{{build}}/{what}");
        let query = if what == "programs" { "machine=1" } else { "" };
        let told = program.refused(("GET", &path), &[2], query, (None, 409));
        let told = told["error"].as_str().unwrap();
        assert!(told.starts_with("build 2 is not that far: ") && told.contains("rotor"), "{told}");
    }
    let again = json!({ "text": BOAT });
    let told = program.refused(("POST", BRING), &[], "", (Some(&again), 409));
    assert!(
        told["error"].as_str().unwrap().ends_with("send over: 1 to put this file in its place")
    );
    let reading = known.body(READINGS, &json!(null));
    let told = program.refused(("POST", READINGS), &[1], "", (Some(&reading), 409));
    let conflict = &told["conflict"];
    assert_eq!((&conflict["of"], &conflict["yours"]), (&json!("reading"), &json!("79.914 mm")));
    assert_eq!((&conflict["theirs"], &conflict["by"]), (&json!("79.915 mm"), &json!(OWNER)));
    let mut values = known.body(VALUES, &json!(null));
    values["changes"][0]["was"] = json!("\"0.7 bar\"");
    let told = program.refused(("POST", VALUES), &[1], "", (Some(&values), 409));
    assert_eq!(told["conflict"]["theirs"], "\"0.9 bar\"");
    assert_eq!(told["conflict"]["yours"], "\"0.8 bar\"");
    let mut other = known.body(READINGS, &json!(null));
    other["revision"] = json!(2);
    let told = program.refused(("POST", READINGS), &[1], "", (Some(&other), 409));
    assert_eq!(
        (&told["conflict"]["of"], &told["conflict"]["theirs"]),
        (&json!("revision"), &json!("1"))
    );
    let mut seen = program.get(BUILD, &[1], "")["seen"].clone();
    seen["last_reading"] = json!(1);
    for path in [SIGN, AMEND] {
        let body = known.body(path, &seen);
        let told = program.refused(("POST", path), &[1], "", (Some(&body), 409));
        assert_eq!(told["conflict"]["of"], "build");
    }
    let body = known.body(TEARDOWN, &json!(null));
    let told = program.refused(("POST", TEARDOWN), &[1], "", (Some(&body), 409));
    assert!(told["error"].as_str().unwrap().contains("comes apart after it was signed"), "{told}");
    let part = json!({ "kind": "rotor", "serial": "R-114" });
    program.refused(("POST", "/api/parts"), &[], "", (Some(&part), 409));
    let mut gauge = known.body("/api/gauges", &json!(null));
    gauge["name"] = json!("micrometer 2");
    program.refused(("POST", "/api/gauges"), &[], "", (Some(&gauge), 409));
}

/// 200 of everything that asks.
fn what_is_asked_for(program: &mut Program, known: &Known) {
    let open = program.get(BUILDS, &[], "find=merganser&which=open&from=0");
    assert_eq!(open["builds"].as_array().unwrap().len(), 1);
    assert_eq!(program.get(BUILDS, &[], "which=signed")["builds"], json!([]));
    assert_eq!(program.get(BUILDS, &[], "find=&which=&from=")["more"], false);
    let sheet = program.get(BUILD, &[1], "");
    assert_eq!(sheet["states"].as_array().unwrap().len(), 8);
    let rotor = sheet["parts"].as_array().unwrap().iter().find(|p| p["serial"] == "R-114").unwrap();
    assert_eq!(rotor["agreement"]["agree"], true);
    let station = &rotor["stations"][0];
    assert_eq!((&station["value"], &station["value_mm"]), (&json!("79.915 mm"), &json!(79.915)));
    let file = program.ask(("GET", "/api/builds/{build}/file"), &[1], "", None).text();
    assert!(lobewright::build_file::read(&file) == lobewright::build_file::read(BOAT));
    let readings = program.get(READINGS, &[1], "");
    let csv = program.ask(("GET", "/api/builds/{build}/readings.csv"), &[1], "", None).text();
    assert_eq!(readings["readings"].as_array().unwrap().len() + 1, csv.lines().count());
    assert_eq!(program.get("/api/builds/{build}/plan", &[1], "")["feasible"], true);
    let speed = program.get("/api/builds/{build}/speed", &[1], "");
    assert_eq!((&speed["draws"], &speed["duty"]["rpm"]), (&json!(null), &json!(9800.0)));
    let asked = "rpm=9000&boost=0.5%20bar&draws=16&speeds=2";
    let speed = program.get("/api/builds/{build}/speed", &[1], asked);
    assert_eq!((&speed["draws"]["draws"], &speed["duty"]["boost_bar"]), (&json!(16), &json!(0.5)));
    assert_eq!(speed["sweep"].as_array().unwrap().len(), 2);
    program.get("/api/builds/{build}/balance", &[1], "");
    let cards = program.get("/api/builds/{build}/cards", &[1], "");
    assert_eq!(cards["cards"][0]["verdict"], "no limits given");
    let assembly = program.get("/api/builds/{build}/assembly", &[1], "");
    assert_eq!(assembly["lines"].as_array().unwrap().len(), 2 * 3 + 1);
    assert_eq!(assembly["lines"][0]["verdict"], "not read");
    assert_eq!(program.get(DIFFERENCES, &[1], "from=1&to=1")["differences"], json!([]));
    let shelf = program.get("/api/parts", &[], "shelf=yes&kind=rotor%20housing");
    assert_eq!(shelf["parts"], json!([]));
    let history = program.get("/api/parts/{part}", &[known.part], "");
    assert_eq!(history["builds"][0]["build"]["name"], "Merganser, boat 7");
    assert_eq!(program.get("/api/gauges", &[], "")["gauges"][0]["name"], "micrometer 2");
    assert_eq!(program.get("/api/customers", &[], "find=reed")["customers"][0]["customer"], 1);
    assert_eq!(program.get("/api/customers", &[], "find=crane")["customers"], json!([]));
    let people = program.get("/api/people", &[], "");
    assert_eq!(people["people"][0]["name"], OWNER);
    assert_eq!(program.get("/api/specs", &[], "")["specs"][0]["builds"], 1);
    let spec = program.get("/api/specs/{spec}", &[known.spec], "");
    assert_eq!((&spec["version"], &spec["lines"][0]["place"]), (&json!(1), &json!("spec.name")));
    assert_eq!(program.get("/api/engines", &[], "")["engines"][0]["name"], "twin, 101.5");
    let engine = program.get("/api/engines/{engine}", &[known.engine], "");
    assert!(engine["lines"].as_array().unwrap().len() > 20);
    let machines = program.get("/api/machine-tools", &[], "");
    assert_eq!(machines["machine_tools"][1], json!({ "machine_tool": 1, "name": "west_mill" }));
    let made = program.get("/api/builds/{build}/programs", &[1], "machine=1&rotor=R-114");
    let first = &made["programs"][0];
    assert_eq!((&first["name"], &made["nothing_to_cut"]), (&json!("1-R-114-gear.nc"), &json!([])));
    assert!(first["text"].as_str().unwrap().starts_with("%\n(ROTOR R-114, GEAR FACE UP)\n"));
    assert!(first["set_up"]["lines"].as_array().unwrap().len() > 8);
    program.get("/api/openapi.json", &[], "");
    assert_eq!(program.get("/api/audit", &[], "")["fits"], true);
}

/// Everything that does something, taken.
fn what_is_done(program: &mut Program, known: &Known) {
    let begun = known.body(BUILDS, &json!(null));
    assert_eq!(program.post(BUILDS, &[], &begun)["build"], 3);
    let over = program.post(BRING, &[], &known.body(BRING, &json!(null)));
    assert_eq!((&over["readings"], &over["changed"]), (&json!(0), &json!(0)));
    let mut reading = known.body(READINGS, &json!(null));
    let readings = program.get(READINGS, &[1], "")["readings"].clone();
    let old = readings
        .as_array()
        .unwrap()
        .iter()
        .find(|r| r["part"] == json!(known.part) && r["station"] == "land_width.1");
    reading["expected"] = old.unwrap()["reading"].clone();
    // A turn of the thimble too little is asked back, and nothing is kept.
    reading["value"] = json!("79.415");
    let asked = program.post(READINGS, &[1], &reading);
    assert_eq!(
        (&asked["kept"], &asked["asked_back"]["written"]),
        (&json!(null), &json!("79.415 mm"))
    );
    reading["value"] = json!("79.914");
    let kept = program.post(READINGS, &[1], &reading);
    assert_eq!(
        (&kept["kept"]["written"], &kept["asked_back"]),
        (&json!("79.914 mm"), &json!(null))
    );
    assert_eq!(kept["kept"]["agreement"]["agree"], true);
    // Sent again, by the same word: it is kept once.
    assert_eq!(program.post(READINGS, &[1], &reading)["kept"]["reading"], kept["kept"]["reading"]);
    // One that cannot be right beside the others is kept by whoever is sure, and named.
    let mut odd = reading.clone();
    odd["sent_as"] = json!(null);
    odd["expected"] = kept["kept"]["reading"].clone();
    odd["value"] = json!("79.964 mm");
    odd["sure"] = json!(true);
    let odd = program.post(READINGS, &[1], &odd);
    let agreement = &odd["kept"]["agreement"];
    assert_eq!(agreement["agree"], false);
    assert!(
        agreement["disagreements"][0].as_str().unwrap().contains("land width at tip 1"),
        "{agreement}"
    );
    let sheet = program.get(BUILD, &[1], "");
    let rotor = sheet["parts"].as_array().unwrap().iter().find(|p| p["serial"] == "R-114").unwrap();
    assert_eq!(rotor["stations"][0]["suspect"], true);
    reading["sent_as"] = json!("word 2");
    reading["expected"] = odd["kept"]["reading"].clone();
    program.post(READINGS, &[1], &reading);
    let stands = program.post(VALUES, &[1], &known.body(VALUES, &json!(null)));
    let housings = |stands: &Value| {
        let parts = stands["parts"].as_array().unwrap().clone();
        parts.into_iter().filter(|part| part["kind"] == "rotor housing").collect::<Vec<_>>()
    };
    let first = housings(&stands)[0].clone();
    let mut exchanged = known.body(FIT, &json!(null));
    exchanged.as_object_mut().unwrap().remove("gear_face");
    exchanged["instead"] = first["fitted"].clone();
    let stands = program.post(FIT, &[1], &exchanged);
    assert_eq!(housings(&stands)[0]["serial"], "H-40");
    let fitted = housings(&stands)[0]["fitted"].as_i64().unwrap();
    let out = program.ask(("POST", OUT), &[1, fitted], "", None);
    assert_eq!(housings(&out.json()).len(), 1, "{}", out.text());
    assert_eq!(program.get(BUILD, &[1], "")["gone"].as_array().unwrap().len(), 2);
    let due = program.post(DUE, &[1], &known.body(DUE, &json!(null)));
    assert_eq!(
        (&due["due"]["by"], &due["due"]["holder"]["name"]),
        (&json!("2026-12-20"), &json!(OWNER))
    );
    for path in [FINDINGS, SIGN, AMEND] {
        let seen = program.get(BUILD, &[1], "")["seen"].clone();
        program.post(path, &[1], &known.body(path, &seen));
        if path == SIGN {
            it_comes_apart(program, known);
        }
    }
    let sheet = program.get(BUILD, &[1], "");
    assert_eq!((&sheet["open"], &sheet["revision"]), (&json!(true), &json!(2)));
    assert_eq!(sheet["findings"][0]["contact"], "not seen");
    for path in ["/api/parts", "/api/gauges", "/api/customers"] {
        program.post(path, &[], &known.body(path, &json!(null)));
    }
    program.post(CALIBRATIONS, &[known.gauge], &known.body(CALIBRATIONS, &json!(null)));
}

/// Build 1 is signed, with a housing taken out of it: nothing can be predicted of it.
fn it_comes_apart(program: &mut Program, known: &Known) {
    let mut body = known.body(TEARDOWN, &json!(null));
    body["tips"][0]["contact"] = json!("slight");
    let told = program.refused(("POST", TEARDOWN), &[1], "", (Some(&body), 422));
    let words = "tips[0].contact: \"slight\" is none of none, light, heavy, not looked at";
    assert_eq!(told["error"], words);
    let mut nothing = known.body(TEARDOWN, &json!(null));
    nothing["tips"] = json!([]);
    let asked = program.post(TEARDOWN, &[1], &nothing);
    assert_eq!(asked["asked_back"]["why"], json!(["no tip was looked at"]));
    let body = known.body(TEARDOWN, &json!(null));
    let kept = program.post(TEARDOWN, &[1], &body);
    assert_eq!(kept["kept"]["teardown"], 1);
    let told = program.refused(("POST", TEARDOWN), &[1], "", (Some(&body), 409));
    let conflict = &told["conflict"];
    assert_eq!((&conflict["of"], &conflict["yours"]), (&json!("teardown"), &json!("none")));
    assert_eq!((&conflict["theirs"], &conflict["by"]), (&json!("teardown 1"), &json!(OWNER)));
    assert_eq!(program.post(TILT, &[1], &known.body(TILT, &json!(null)))["tilt_test"], 1);
    let all = program.get(TEARDOWN, &[1], "");
    let teardown = &all["teardowns"][0];
    assert_eq!((&teardown["running_h"], &teardown["prediction"]), (&json!(11.5), &json!(null)));
    let tips = teardown["tips"].as_array().unwrap();
    let marked = tips.iter().find(|tip| tip["contact"] == "light").unwrap();
    assert_eq!((&marked["rotor"], &marked["where"]), (&json!("R-114"), &json!("trailing edge")));
    assert_eq!(marked["wall_depth"]["value_mm"], 0.00254);
    assert_eq!(all["tilt_tests"][0]["readings"][0]["at_most_mm"], 0.014);
}

/// A rotor that was cut, ran, and was read again.
fn it_wears(program: &mut Program, known: &Known) {
    let shop = program.shop();
    let head = Head { spec: Some(SpecId(known.spec)), ..shop.build(BuildId(6)).unwrap().head };
    shop.change_head(BuildId(6), &shop.seen(BuildId(6)).unwrap(), &head).unwrap();
    let seen = program.get(BUILD, &[6], "")["seen"].clone();
    program.post(SIGN, &[6], &known.body(SIGN, &seen));
    let told = json!({
        "revision": 1, "running": "400 h", "speed": "6200 rpm", "boost": "0.4 bar", "sure": true,
        "tips": [{ "rotor": "HR-9", "face": "gear", "tip": 1, "contact": "none" }],
    });
    assert_eq!(program.post(TEARDOWN, &[6], &told)["kept"]["teardown"], 2);
    let back = program.get(TEARDOWN, &[6], "")["teardowns"][0].clone();
    assert_eq!(back["unpredicted"], json!(null), "{back}");
    assert!(back["tips"][0]["predicted"]["gap_mm"].is_number(), "{back}");
    let review = program.get("/api/specs/{spec}/review", &[known.spec], "");
    let duty = &review["duties"][0];
    assert_eq!((&duty["came_back"], &duty["builds"][0]["back"]["clear"]), (&json!(1), &json!(1)));
    assert_eq!(
        (&duty["evidence"]["builds"], &duty["met_first"][0]["rotors"]),
        (&json!(1), &json!(1))
    );
    let (shop, at) = (program.shop(), Moment::new("2026-11-28T09:30:00Z").unwrap());
    let person = shop.people().unwrap()[0].id;
    for part in shop.fitted(BuildId(6)).unwrap() {
        shop.take_out(part.id, OutWhy::TornDown, (person, &at)).unwrap();
    }
    let rotor = shop.part_of(PartKind::Rotor, "HR-9").unwrap().unwrap();
    let last = shop.readings_at(rotor.id, Some(BuildId(6)), When::After, "land_width.1").unwrap();
    let worn = last[0].value.value::<Length>().unwrap() - Length::um(30.0);
    let value = Written::read::<Length>(&format!("{:.4} mm", worn.to_mm())).unwrap();
    shop.add_reading(&NewReading {
        part: rotor.id,
        build: None,
        when: When::Before,
        station: "land_width.1",
        value: &value,
        gauge: None,
        person,
        at: &at,
        temperature: None,
        expected: None,
        sent_as: None,
        place: None,
    })
    .unwrap();
    let life = program.get("/api/parts/{part}/life", &[rotor.id.0], "");
    assert_eq!(life["hours"], 400.0);
    let stations = life["stations"].as_array().unwrap();
    let land = stations.iter().find(|one| one["station"] == "land_width.1").unwrap();
    assert_eq!(land["runs"][0]["hours"], 400.0);
    let lost = land["runs"][0]["lost_mm"].as_f64().unwrap();
    assert!((lost - 0.03).abs() < 1e-4, "{land}");
    assert!(land["cuts"][0]["cut_mm"].is_number() && land["limit_mm"].is_number(), "{land}");
    assert!((land["rate"]["per_100_h_mm"].as_f64().unwrap() - 0.25 * lost).abs() < 1e-8);
}

/// Readings after the cut, trial runs, misreadings, photos, sheets: shapes of few answers.
fn what_is_rarely_there(program: &mut Program, known: &Known) {
    for (text, build) in EXAMPLES.iter().zip(4..) {
        let text = if build == 4 { format!("{text}\n{CALIBRATION}") } else { (*text).to_owned() };
        let brought = program.post(BRING, &[], &json!({ "text": text }));
        assert_eq!(brought["build"], build);
        for what in ["", "/plan", "/balance", "/assembly", "/cards"] {
            let path = format!("{BUILD}{what}");
            let answer = program.ask(("GET", &path), &[build], "", None);
            assert!(answer.status.as_u16() < 500, "{path} {build}: {}", answer.text());
        }
    }
    program.get("/api/builds/{build}/speed", &[4], "draws=64&speeds=2");
    let taught = program.get("/api/calibration", &[], "");
    assert_eq!(taught["assumed"].as_array().unwrap().len(), 6);
    let programs = ("GET", "/api/builds/{build}/programs");
    let measured = program.refused(programs, &[6], "machine=1", (None, 409));
    assert!(measured["error"].as_str().unwrap().ends_with("no second cut is asked for"));
    // The same rotor as a new one: as it was measured it needs no cut.
    let (before, after) = EXAMPLES[2].split_once("mass = \"1480 g\"").unwrap();
    let (_, after) = after.split_once("after the cut\n").unwrap();
    let new = format!("{before}gear_face = \"front\"\n{after}");
    let named = [("aircraft 2", "aircraft 3"), ("HR-9", "HR-10"), ("HH-4", "HH-5"), ("HS-", "HT-")];
    let new = named.iter().fold(new, |text, (old, new)| text.replace(old, new));
    let whole = program.post(BRING, &[], &json!({ "text": new }))["build"].as_i64().unwrap();
    let made = program.get(programs.1, &[whole], "machine=1");
    assert_eq!(made["nothing_to_cut"][1], json!({ "rotor": "HR-10", "face": "plain" }));
    let (shop, at) = (program.shop(), Moment::new("2026-11-28T09:30:00Z").unwrap());
    let person = shop.people().unwrap()[0].id;
    let (build, part) = (BuildId(1), PartId(known.part));
    let bytes = b"\x89PNG\r\n\x1a\n a photo of tip 2";
    let to = AttachedTo::Build(build);
    shop.attach(&NewAttachment { to, station: None, name: "tip 2.png", bytes, person, at: &at })
        .unwrap();
    shop.add_part_event(part, "welded at tip 2", (person, &at)).unwrap();
    let work = NewWork {
        kind: WorkKind::Sheet,
        build,
        title: "Cut sheet",
        program: "0.1.0",
        inputs_hash: Sha::of(b""),
        document: "{}",
        person,
        at: &at,
    };
    shop.add_work(&work).unwrap();
    let change = json!({
        "revision": 2, "changes": [{ "place": "build.duty.boost", "value": "\"0.7 bar\"", "was": "\"0.8 bar\"" }],
    });
    program.post(VALUES, &[1], &change);
    let between = program.get(DIFFERENCES, &[1], "from=1&to=2");
    assert_eq!(between["differences"][0]["after"], "\"0.7 bar\"");
    let sheet = program.get(BUILD, &[1], "");
    assert_eq!(sheet["attachments"][0]["media_type"], "image/png");
    assert_eq!(sheet["works"][0]["kind"], "sheet");
    from_the_shelf(program);
    let gone = sheet["gone"][0]["part"].as_i64().unwrap();
    let history = program.get("/api/parts/{part}", &[gone], "");
    assert_eq!(history["builds"][0]["out"]["why"], "exchanged");
    program.get("/api/parts/{part}", &[known.part], "");
    it_wears(program, known);
}

/// A boat whose parts lie on the shelf is chosen for.
fn from_the_shelf(program: &mut Program) {
    let names = [("boat 7", "boat 8"), ("R-114", "R-314"), ("R-97", "R-297"), ("H-3", "H-23")];
    let other = names.iter().fold(BOAT.to_owned(), |text, (old, new)| text.replace(old, new));
    let build = program.post(BRING, &[], &json!({ "text": other }))["build"].as_i64().unwrap();
    let fitted = |sheet: &Value| {
        let of = sheet["parts"].as_array().unwrap().clone().into_iter();
        let kinds = ["rotor", "rotor housing"].map(|kind| json!(kind));
        let of = of.filter(|part| kinds.contains(&part["kind"]) && part["serial"] != "R-314");
        of.map(|part| part["fitted"].as_i64().unwrap()).collect::<Vec<_>>()
    };
    for part in fitted(&program.get(BUILD, &[build], "")) {
        program.ask(("POST", OUT), &[build, part], "", None);
    }
    const CHOICE: &str = "/api/shelf/choice";
    let choice = program.get(CHOICE, &[], &format!("builds={build}&seconds=30"));
    assert_eq!((&choice["feasible"], &choice["proven"]), (&json!(true), &json!(true)), "{choice}");
    let places = choice["builds"][0]["set"]["places"].as_array().unwrap();
    assert_eq!(places[0]["rotor"]["is_in"], true);
    assert_eq!(places[0]["rotor"]["serial"], "R-314");
    assert!(places[1]["rotor"]["part"].is_i64() && places[1]["housing"]["read"].is_string());
    assert!(choice["runner_up"]["more_g"].as_f64().unwrap() >= 0.0, "{choice}");
    assert!(!choice["others"].as_array().unwrap().is_empty(), "{choice}");
    let mut said = |query: &str, status: u16, words: &str| {
        let told = program.refused(("GET", CHOICE), &[], query, (None, status));
        let told = told["error"].as_str().unwrap();
        assert!(told.contains(words), "{query}: {told}");
    };
    said("", 422, "builds is missing");
    said("builds=one", 422, "builds: \"one\" are no numbers with commas, such as 3,5");
    said(&format!("builds={build},{build}"), 422, "named twice");
    said(&format!("builds={build}&seconds=61"), 422, "seconds: 61 is too long; at most 60");
    said("builds=99999", 404, "99999");
}

/// 403, and signing out.
fn not_for_everybody(program: &mut Program) {
    let shop = program.shop();
    let owner = shop.people().unwrap().iter().find(|person| person.name == OWNER).unwrap().id;
    let kept = shop.password(owner).unwrap();
    let ben = shop.add_person("Ben Tarn", "machinist").unwrap();
    shop.set_password(ben, kept.as_deref()).unwrap();
    program.sign_in("Ben Tarn");
    let rows = lobewright::web::addresses();
    for row in rows.iter().filter(|row| row.path.starts_with("/api/") && !row.anyone) {
        if !row.roles.contains(&Role::Machinist) {
            program.refused((row.method, row.path), &[1, 1], "", (None, 403));
        }
    }
    let ended = program.ask(("POST", "/api/session/end"), &[], "", None);
    assert_eq!(ended.json()["ended"], true);
    program.refused(("GET", BUILDS), &[], "", (None, 401));
}
