//! `shelf` from outside: the examples word by word, every way a call can be wrong, what limits where
//! there is no set, and the shop's file; and misprinted stock.

#![expect(clippy::unwrap_used, reason = "in tests a panic is the report")]

use kernel::units::System;
use lobewright::ops::choice::{choose, from_files};
use lobewright::wire::ChoiceJson;
use serde_json::{Value, json};
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;
use tempfile::TempDir;

const STOCK: &str = include_str!("../../../../examples/shelf/stock.toml");
const BOAT: &str = include_str!("../../../../examples/shelf/plover-boat.toml");
const PUMP: &str = include_str!("../../../../examples/shelf/ruff-pump.toml");
const WHOLE: &str = include_str!("../../../../examples/sprint-boat.toml");

/// A folder of its own with the examples in it; the command runs there.
struct Desk(TempDir);

struct Said {
    code: i32,
    out: String,
    err: String,
}

impl Desk {
    fn new() -> Self {
        let desk = Self(tempfile::tempdir().unwrap());
        for (name, text) in [("boat.toml", BOAT), ("pump.toml", PUMP), ("stock.toml", STOCK)] {
            desk.put(name, text);
        }
        desk
    }

    fn path(&self, name: &str) -> PathBuf {
        self.0.path().join(name)
    }

    fn put(&self, name: &str, text: &str) {
        fs::write(self.path(name), text).unwrap();
    }

    fn run(&self, words: &[&str]) -> Said {
        let output = Command::new(env!("CARGO_BIN_EXE_lobewright"))
            .args(words)
            .current_dir(self.0.path())
            .output()
            .unwrap();
        Said {
            code: output.status.code().unwrap(),
            out: String::from_utf8(output.stdout).unwrap(),
            err: String::from_utf8(output.stderr).unwrap(),
        }
    }

    /// The boat from a stock, as JSON.
    fn boat_from(&self, stock: &str) -> (i32, Value) {
        self.put("other.toml", stock);
        let said = self.run(&["shelf", "boat.toml", "--stock", "other.toml", "--json"]);
        (said.code, serde_json::from_str(&said.out).unwrap())
    }
}

/// The stock with those of its tables that are kept.
fn only(keep: impl Fn(&str) -> bool) -> String {
    let mut pieces: Vec<String> = vec![String::new()];
    for line in STOCK.lines() {
        if line.starts_with("[[") {
            pieces.push(String::new());
        }
        let last = pieces.last_mut().unwrap();
        last.push_str(line);
        last.push('\n');
    }
    let (head, tables) = pieces.split_first().unwrap();
    let kept = tables.iter().filter(|table| {
        let serial = table.split("serial = \"").nth(1).unwrap();
        keep(serial.split('"').next().unwrap())
    });
    head.clone() + &kept.cloned().collect::<String>()
}

/// What was written down when it was looked at. `LOBEWRIGHT_GOLDEN=write` writes it anew.
fn is_as_looked_at(name: &str, said: &str) {
    let file = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/shelf").join(name);
    if std::env::var_os("LOBEWRIGHT_GOLDEN").is_some_and(|word| word == "write") {
        fs::write(&file, said).unwrap();
    }
    let looked_at = fs::read_to_string(&file).unwrap();
    assert!(looked_at == said, "{name} was\n{looked_at}\nand is\n{said}");
    for line in said.lines() {
        assert!(line.chars().count() <= 80, "{line}");
    }
}

#[test]
fn the_example_is_told_as_it_was_looked_at() {
    let desk = Desk::new();
    let said = desk.run(&["shelf", "boat.toml", "--stock", "stock.toml"]);
    assert_eq!((said.code, said.err.as_str()), (0, ""));
    is_as_looked_at("plover-boat.txt", &said.out);
    let inch = desk.run(&["shelf", "boat.toml", "--stock", "stock.toml", "--inch"]);
    assert!(inch.out.contains("0.0084 in (0.214 mm)"), "{}", inch.out);
    // No rotors at all: what limits, and what would help.
    desk.put("few.toml", &only(|serial| ["PR-31", "PR-41", "PR-43", "PH-12"].contains(&serial)));
    let none = desk.run(&["shelf", "boat.toml", "--stock", "few.toml"]);
    assert_eq!((none.code, none.err.as_str()), (1, ""));
    is_as_looked_at("no-set.txt", &none.out);
}

#[test]
fn the_set_is_what_its_plan_says() {
    let desk = Desk::new();
    let said = desk.run(&["shelf", "boat.toml", "--stock", "stock.toml", "--json"]);
    let choice: Value = serde_json::from_str(&said.out).unwrap();
    assert_eq!(choice["proven"], true);
    let places = choice["builds"][0]["set"]["places"].as_array().unwrap();
    // The same build with the set in its file, planned.
    let table = |serial: &str| {
        let all = only(|known| known == serial);
        all.split_once("[[").map(|(_, table)| format!("[[{table}")).unwrap()
    };
    let mut whole = BOAT.to_owned();
    for place in places {
        let rotor = table(place["rotor"]["serial"].as_str().unwrap());
        whole.push_str(&rotor.replace("mass = ", "gear_face = \"rear\"\nmass = "));
        if place["housing"]["is_in"] == false {
            whole.push_str(&table(place["housing"]["serial"].as_str().unwrap()));
        }
    }
    desk.put("whole.toml", &whole);
    let plan = desk.run(&["plan", "whole.toml", "--json"]);
    assert_eq!((plan.code, plan.err.as_str()), (0, ""));
    let plan: Value = serde_json::from_str(&plan.out).unwrap();
    for (place, rotor) in places.iter().zip(plan["rotors"].as_array().unwrap()) {
        assert_eq!(place["rotor"]["serial"], rotor["serial"]);
        assert_eq!(place["housing"]["serial"], rotor["housing"]);
        assert_eq!(place["side_clearance_mm"], rotor["side_clearance_mm"]);
        assert_eq!(place["removed_g"], rotor["removed_g"]);
    }
}

#[test]
fn two_builds_share_no_part() {
    let desk = Desk::new();
    let said = desk.run(&["shelf", "boat.toml", "pump.toml", "--stock", "stock.toml", "--json"]);
    assert_eq!((said.code, said.err.as_str()), (0, ""));
    let choice: Value = serde_json::from_str(&said.out).unwrap();
    let mut parts: Vec<&str> = Vec::new();
    for build in choice["builds"].as_array().unwrap() {
        for place in build["set"]["places"].as_array().unwrap() {
            parts.push(place["rotor"]["serial"].as_str().unwrap());
            parts.push(place["housing"]["serial"].as_str().unwrap());
        }
    }
    assert_eq!(parts.len(), 8);
    parts.sort_unstable();
    parts.dedup();
    assert_eq!(parts.len(), 8);
    // Together they cost no less than each by itself.
    let alone = |file: &str| {
        let said = desk.run(&["shelf", file, "--stock", "stock.toml", "--json"]);
        serde_json::from_str::<Value>(&said.out).unwrap()["counted_g"].as_f64().unwrap()
    };
    let (both, each) =
        (choice["counted_g"].as_f64().unwrap(), alone("boat.toml") + alone("pump.toml"));
    assert!(both >= each - 1e-6, "{both} and {each}");
}

/// What one build has is for no other, and what another build gets is not there twice.
#[test]
fn a_build_that_gets_none_is_not_helped_by_what_others_have() {
    let desk = Desk::new();
    desk.put("few.toml", &only(|serial| serial.starts_with("PR-") || serial == "PH-12"));
    let words = ["shelf", "boat.toml", "pump.toml", "--stock", "few.toml", "--json"];
    let said = desk.run(&words);
    assert_eq!((said.code, said.err.as_str()), (1, ""));
    let choice: Value = serde_json::from_str(&said.out).unwrap();
    assert!(choice["builds"][0]["set"].is_object(), "{choice}");
    let pump = &choice["builds"][1];
    assert_eq!(pump["set"], Value::Null);
    let limits = pump["limits"].to_string();
    assert!(limits.contains("2 rotor housings are wanted, and 0 of the 1"), "{limits}");
    assert!(!limits.contains("by itself it has a set"), "{limits}");
    assert!(pump["cures"][0].as_str().unwrap().starts_with("no single part"), "{pump}");
}

/// What is said to help does: with the part or the figure there is a set, and just past it none.
#[test]
fn what_is_said_to_help_gives_a_set() {
    let desk = Desk::new();
    let few = only(|serial| ["PR-31", "PR-41", "PR-43", "PH-12"].contains(&serial));
    let (code, choice) = desk.boat_from(&few);
    assert_eq!((code, &choice["builds"][0]["set"]), (1, &Value::Null));
    let limits = choice["builds"][0]["limits"].as_array().unwrap();
    assert!(limits[0].as_str().unwrap().starts_with("2 rotors are wanted, and 1 of the 3"));
    let cures: Vec<&str> = choice["builds"][0]["cures"]
        .as_array()
        .unwrap()
        .iter()
        .map(|c| c.as_str().unwrap())
        .collect();
    // A part: "a rotor with square lands from 79.760 mm (...) to ...".
    let rotor = cures.iter().find(|cure| cure.starts_with("a rotor with")).unwrap();
    let sizes: Vec<f64> = rotor
        .split(' ')
        .zip(rotor.split(' ').skip(1))
        .filter(|(_, unit)| *unit == "mm")
        .map(|(number, _)| number.parse().unwrap())
        .collect();
    let new = |width: f64| {
        let list = |value: &str| format!("[\"{value}\", \"{value}\", \"{value}\"]");
        let (width, step) = (list(&format!("{width:.3} mm")), list("127 um"));
        format!(
            "{few}[[rotor]]\nserial = \"NEW\"\nmass = \"4300 g\"\nland_width = {width}\n\
             gear_step = {step}\nplain_step = {step}\n"
        )
    };
    for (width, status) in
        [(sizes[0], 0), (sizes[1], 0), (sizes[0] - 0.005, 1), (sizes[1] + 0.005, 1)]
    {
        assert_eq!(desk.boat_from(&new(width)).0, status, "{width} of {rotor}");
    }
    // A figure of the spec: "the tolerance of the step of 22 µm (...) instead of ...".
    let step = cures.iter().find(|cure| cure.starts_with("the tolerance of the step")).unwrap();
    let um: f64 = step
        .split(' ')
        .zip(step.split(' ').skip(1))
        .find(|(_, unit)| *unit == "\u{b5}m")
        .map(|(number, _)| number.parse().unwrap())
        .unwrap();
    desk.put("few.toml", &few);
    for (tolerance, status) in [(um + 0.5, 0), (um - 1.5, 1)] {
        let spec = BOAT.replace("\"0.5 thou\"", &format!("\"{tolerance} um\""));
        desk.put("relaxed.toml", &spec);
        let said = desk.run(&["shelf", "relaxed.toml", "--stock", "few.toml"]);
        assert_eq!(said.code, status, "{tolerance} of {step}: {}", said.out);
    }
}

#[test]
fn a_search_that_is_stopped_says_so() {
    let desk = Desk::new();
    let said =
        desk.run(&["shelf", "boat.toml", "--stock", "stock.toml", "--seconds", "0", "--json"]);
    let choice: Value = serde_json::from_str(&said.out).unwrap();
    assert_eq!(choice["stopped"], true, "{choice}");
    assert_eq!(choice["proven"], false);
    let text = desk.run(&["shelf", "boat.toml", "--stock", "stock.toml", "--seconds", "0"]);
    assert!(text.out.contains("Stopped before "), "{}", text.out);
}

#[test]
fn a_wrong_call_or_file_is_refused() {
    let desk = Desk::new();
    desk.put("wrong.toml", &STOCK.replace("79.815 mm", "79.815"));
    desk.put("twice.toml", &STOCK.replace("PH-11", "PH-7"));
    desk.put("empty.toml", "format = 1\n");
    for (words, told) in [
        (
            &["shelf", "boat.toml"][..],
            "lobewright: boat.toml: a build file needs a stock to choose from; name it with --stock\n",
        ),
        (
            &["shelf", "shop.db"],
            "lobewright: no build is named; name those that wait with --build N ('lobewright export shop.db' lists them)\n",
        ),
        (
            &["shelf", "a.db", "b.db"],
            "lobewright: several files are build files, and they need a stock to choose from; name it with --stock\n",
        ),
        (
            &["shelf", "none.toml", "--stock", "stock.toml"],
            "lobewright: none.toml: there is no such file\n",
        ),
        (
            &["shelf", "boat.toml", "--stock", "empty.toml"],
            "lobewright: there is no rotor, neither in stock nor in a build\n",
        ),
        (
            &["shelf", "boat.toml", "--stock", "twice.toml"],
            "lobewright: rotor housing PH-7 is in Plover, boat 2 and in the stock; a part is in one place: take it out of the other\n",
        ),
        (&["shelf", "boat.toml", "--stock", "stock.toml", "--seconds", "-1"], ""),
        (
            &["shelf", "boat.toml", "--stock", "stock.toml", "--seconds", "nan"],
            "lobewright: --seconds takes a number of seconds, such as 30\n",
        ),
    ] {
        let said = desk.run(words);
        assert_eq!((said.code, said.out.as_str()), (2, ""), "{words:?}");
        assert!(told.is_empty() || said.err == told, "{words:?}: {}", said.err);
    }
    let said = desk.run(&["shelf", "boat.toml", "--stock", "wrong.toml"]);
    assert_eq!(said.code, 2);
    assert!(said.err.contains("wrong.toml:") && said.err.contains("rotor.PR-33"), "{}", said.err);
    let json = desk.run(&["shelf", "boat.toml", "--stock", "wrong.toml", "--json"]);
    let json: Value = serde_json::from_str(&json.out).unwrap();
    assert!(json["error"].as_str().unwrap().contains("79.815"), "{json}");
}

/// A whole build waits for nothing: its own parts are its set.
#[test]
fn a_whole_build_is_its_own_set() {
    let desk = Desk::new();
    desk.put("whole.toml", WHOLE);
    let said = desk.run(&["shelf", "whole.toml", "--stock", "stock.toml", "--json"]);
    assert_eq!(said.code, 0, "{}{}", said.out, said.err);
    let choice: Value = serde_json::from_str(&said.out).unwrap();
    let places = choice["builds"][0]["set"]["places"].as_array().unwrap();
    assert!(places.iter().all(|p| p["rotor"]["is_in"] == true && p["housing"]["is_in"] == true));
    assert_eq!(choice["runner_up"], Value::Null);
}

#[test]
fn the_shops_file_is_chosen_from_by_the_number_of_its_builds() {
    let desk = Desk::new();
    desk.put("whole.toml", WHOLE);
    let brought = desk.run(&["import", "shop.db", "whole.toml", "--by", "Ada"]);
    assert_eq!(brought.code, 0, "{}", brought.err);
    let said = desk.run(&["shelf", "shop.db", "--build", "1", "--json"]);
    assert_eq!(said.code, 0, "{}{}", said.out, said.err);
    let choice: Value = serde_json::from_str(&said.out).unwrap();
    assert_eq!(choice["builds"][0]["build"], 1);
    let nobody = desk.run(&["shelf", "shop.db", "--build", "7"]);
    assert_eq!((nobody.code, nobody.out.as_str()), (2, ""));
    assert!(nobody.err.contains('7'), "{}", nobody.err);
    let both = desk.run(&["shelf", "shop.db", "--build", "1", "--stock", "stock.toml"]);
    assert_eq!(both.code, 2);
}

/// Misprints of the stock: digits changed, which a reader often cannot refuse.
const MISPRINTS: u64 = 150;

/// Whatever its sizes, a stock is refused, or it gives a choice without a number that is none, or it
/// is said that none exists.
#[test]
fn a_misprinted_stock_is_refused_or_chosen_from() {
    let places: Vec<usize> = STOCK
        .bytes()
        .enumerate()
        .filter_map(|(at, byte)| byte.is_ascii_digit().then_some(at))
        .collect();
    let (mut chosen, mut none, mut refused) = (0, 0, 0);
    for case in 0..MISPRINTS {
        // A row of numbers that the case fixes: the generator of Knuth's MMIX (from memory).
        let mut state = case.wrapping_mul(0x9E37_79B9_7F4A_7C15);
        let mut below = |most: usize| {
            state = state
                .wrapping_mul(6_364_136_223_846_793_005)
                .wrapping_add(1_442_695_040_888_963_407);
            (state >> 33) as usize % most
        };
        let mut bytes = STOCK.as_bytes().to_vec();
        for _ in 0..2 + below(12) {
            bytes[places[below(places.len())]] = b"0123456789"[below(10)];
        }
        let text = String::from_utf8(bytes).unwrap();
        let builds = if case % 3 == 0 {
            vec![BOAT.to_owned(), PUMP.to_owned()]
        } else {
            vec![BOAT.to_owned()]
        };
        let Ok((waits, shelf)) = from_files(&builds, &text) else {
            refused += 1;
            continue;
        };
        let report = choose(&waits, &shelf, System::Metric, &|_| true).unwrap();
        assert!(report.proven, "case {case}");
        let json = json!(ChoiceJson::of(&report));
        for build in json["builds"].as_array().unwrap() {
            if build["set"].is_null() {
                none += 1;
                let both = [&build["limits"], &build["cures"]];
                assert!(
                    both.iter().all(|said| !said.as_array().unwrap().is_empty()),
                    "case {case}"
                );
                continue;
            }
            chosen += 1;
            for place in build["set"]["places"].as_array().unwrap() {
                for figure in ["side_clearance_mm", "step_mm", "removed_g"] {
                    let number = place[figure].as_f64().unwrap();
                    assert!(number.is_finite() && number >= 0.0, "case {case}: {place}");
                }
            }
        }
    }
    assert!(chosen > 60 && refused > 10, "{chosen} chosen, {none} without, {refused} refused");
}
