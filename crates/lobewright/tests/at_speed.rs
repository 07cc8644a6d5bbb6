//! `speed` and `plan --speed` from outside: what is said first, the shape of the JSON, exit
//! status, and that the same call gives the same bytes.

#![expect(clippy::unwrap_used, reason = "in tests a panic is the report")]

use serde_json::Value;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

const FAST: [&str; 4] = ["--draws", "32", "--speeds", "3"];

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..")
}

fn lobewright(words: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_lobewright"))
        .args(words)
        .current_dir(root())
        .env("COLUMNS", "80")
        .output()
        .unwrap()
}

fn out(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).unwrap()
}

fn err(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).unwrap()
}

fn speed(file: &str, more: &[&str]) -> Output {
    lobewright(&[&["speed", file], FAST.as_slice(), more].concat())
}

fn json(output: &Output) -> Value {
    serde_json::from_str(&out(output)).unwrap()
}

const BOAT: &str = "examples/sprint-boat.toml";

/// A build with its shaft in the file.
fn with_shaft() -> String {
    "examples/shelduck-hydroplane.toml".to_owned()
}

/// A copy of a build with a piece of it replaced.
fn changed(folder: &Path, file: &str, from: &str, to: &str) -> String {
    let text = fs::read_to_string(root().join(file)).unwrap();
    assert!(text.contains(from), "{from}");
    let path = folder.join("build.toml");
    fs::write(&path, text.replacen(from, to, 1)).unwrap();
    path.to_str().unwrap().to_owned()
}

#[test]
fn an_assumed_shaft_warns_first_and_stops_nothing() {
    let run = speed(BOAT, &[]);
    assert_eq!((run.status.code(), err(&run).as_str()), (Some(0), ""));
    let text = out(&run);
    let begins = "Merganser, boat 7\n\
        At 9800 rpm and 0.90 bar above atmosphere, steady, in a hard cycle.\n\
        SCREENING ESTIMATE until calibrated with engines that came back.\n\
        THE SHAFT IS ASSUMED, scaled from the engine's sizes: with [shaft] in the file\n";
    assert!(text.starts_with(begins), "{text}");
    for said in ["R-114: ", "R-97: ", "Where the gap of tip", "left", "local codes", "Assumed, "] {
        assert!(text.contains(said), "{said}: {text}");
    }
    assert!(text.lines().all(|line| line.chars().count() <= 80), "{text}");
    let inches = out(&speed(BOAT, &["--inch"]));
    assert!(inches.contains("thou (") && !inches.contains("\u{b5}m ("), "{inches}");
}

#[test]
fn the_shape_of_the_json_holds_and_the_same_seed_gives_the_same_bytes() {
    let run = speed(BOAT, &["--json"]);
    assert_eq!(run.status.code(), Some(0));
    let again = speed(BOAT, &["--json"]);
    assert_eq!(run.stdout, again.stdout);
    let other = speed(BOAT, &["--json", "--seed", "2"]);
    assert_ne!(run.stdout, other.stdout);
    let answer = json(&run);
    assert_eq!(answer["format"], 1);
    assert_eq!(answer["assumed_shaft"], true);
    assert_eq!(answer["sweep"].as_array().unwrap().len(), 3);
    assert_eq!(answer["draws"]["draws"], 32);
    for at in answer["sweep"].as_array().unwrap().iter().chain([&answer["duty"]]) {
        assert!(at["rpm"].as_f64().unwrap() > 2000.0);
        for rotor in at["rotors"].as_array().unwrap() {
            assert!(rotor["serial"].is_string());
            assert!(rotor["slope_mrad"]["largest"].as_f64().unwrap() > 0.0);
            assert!(rotor["land_force_n"].is_f64());
            let chance = rotor["chance_of_contact"].as_f64().unwrap();
            assert!((0.0..=1.0).contains(&chance));
            assert!(rotor["standard_error"].as_f64().unwrap() > 0.0);
            let band = rotor["band_mm"].as_array().unwrap();
            let band: Vec<f64> = band.iter().map(|m| m.as_f64().unwrap()).collect();
            assert!(band.len() == 3 && band.is_sorted(), "{band:?}");
            let tips = rotor["tips"].as_array().unwrap();
            assert_eq!(tips.len(), 6);
            for (index, tip) in tips.iter().enumerate() {
                assert_eq!(tip["tip"], index / 2 + 1);
                assert_eq!(tip["face"], ["gear", "plain"][index % 2]);
                let gap = &tip["least_gap_mm"];
                assert!(gap["worst_float"].is_f64() && gap["centred"].is_f64());
                assert!(tip["at_deg"].as_u64().unwrap() < 1080);
            }
        }
    }
    for way in ["forward", "backward"] {
        let speeds = answer["critical_rpm"][way].as_array().unwrap();
        assert!(speeds[0].as_f64().unwrap() > 5000.0);
    }
    let peak = answer["peak_pressure_bar"].as_f64().unwrap();
    assert!((60.0..110.0).contains(&peak), "{peak}");
    assert!(answer["torque_nm"].as_f64().unwrap() > 100.0);
    assert!(answer["assumed"].as_array().unwrap().len() > 5);
    assert!(answer["caution"].as_str().unwrap().contains("screening estimate"));
}

#[test]
fn a_shaft_of_the_files_own_is_no_assumption_and_may_say_no() {
    let file = with_shaft();
    let run = speed(&file, &[]);
    assert!(!out(&run).contains("THE SHAFT IS ASSUMED"));
    assert!(!out(&run).contains("scaled from the engine's sizes"));
    let answer = json(&speed(&file, &["--json"]));
    assert_eq!(answer["assumed_shaft"], false);

    // A spec that bears next to nothing: the answer is no, and the plan's as well.
    let folder = tempfile::tempdir().unwrap();
    let strict = changed(folder.path(), &file, "[spec]", "[spec]\ncontact_chance = 0.0002");
    let words = ["speed", &strict, "--boost", "3 bar", "--draws", "768", "--speeds", "0"];
    let refused = lobewright(&words);
    assert_eq!(refused.status.code(), Some(1), "{}", out(&refused));
    assert!(out(&refused).contains("0.02 % is borne"), "{}", out(&refused));
    let plan = lobewright(&["plan", &strict, "--speed", "--json"]);
    assert_eq!(plan.status.code(), Some(1), "{}", err(&plan));
    let answer = json(&plan);
    assert_eq!(answer["feasible"], false);
    assert_eq!(answer["limiting"][0]["limit"], "contact_chance");
    assert!(answer["limiting"][0]["detail"].as_str().unwrap().contains("a tip touches"));
}

/// What a shop's own builds say of the model, as the spec has it.
const CALIBRATION: &str = "[spec.calibration]
from = \"seven boats of 2026\"
tilt = 1.5
tilt_u = 0.1
heat = 1.1
heat_u = 0.1
contact_below = \"6 um\"
contact_below_u = \"3 um\"
tilt_heat = -0.5

[shaft]";

#[test]
fn a_calibrated_spec_leans_more_and_says_what_it_rests_on() {
    let folder = tempfile::tempdir().unwrap();
    let file = changed(folder.path(), &with_shaft(), "[shaft]", CALIBRATION);
    let [before, after] = [&with_shaft(), &file].map(|f| json(&speed(f, &["--json"])));
    assert!(before["calibration"].is_null());
    assert_eq!(after["calibration"]["from"], "seven boats of 2026");
    assert_eq!(after["calibration"]["contact_below_mm"], 0.006);
    for index in 0..2 {
        let least = |answer: &Value| {
            let tips = answer["duty"]["rotors"][index]["tips"].as_array().unwrap();
            let gaps = tips.iter().map(|tip| tip["least_gap_mm"]["worst_float"].as_f64().unwrap());
            gaps.fold(f64::INFINITY, f64::min)
        };
        assert!(least(&after) < least(&before) - 0.002, "{} {}", least(&after), least(&before));
        let chance =
            |answer: &Value| answer["duty"]["rotors"][index]["chance_of_contact"].as_f64().unwrap();
        assert!(chance(&after) > chance(&before), "{} {}", chance(&after), chance(&before));
    }
    let said = out(&speed(&file, &[])).split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        said.contains(
            "SCREENING ESTIMATE, calibrated from seven boats of 2026: rotors lean 1.50 times what \
             is computed, heat counts 1.10 times, tips leave marks where less than 6 \u{b5}m"
        ),
        "{said}"
    );
}

#[test]
fn what_is_asked_wrongly_is_refused_with_the_cure() {
    for (words, said) in [
        (vec!["--rpm", "fast"], "--rpm \"fast rpm\": "),
        (vec!["--rpm", "90"], "a speed of 90 rpm cannot be computed; from 400 to 19000 rpm can"),
        (vec!["--rpm", "30001"], "--rpm \"30001 rpm\" is more than 30000 rpm"),
        (vec!["--boost", "9 bar"], "--boost \"9 bar\" is more than 6 bar; it takes a boost"),
        (vec!["--speeds", "5000"], "--speeds 5000 is too many; at most 1000"),
        (vec!["--draws", "9000000"], "9000000 samples asked for; 1 to 1048576 are possible"),
    ] {
        let run = lobewright(&[&["speed", BOAT], words.as_slice()].concat());
        assert_eq!(run.status.code(), Some(2), "{words:?}");
        assert!(err(&run).contains(said), "{said}: {}", err(&run));
        assert_eq!(out(&run), "");
    }
    let pump = speed("examples/teal-pump.toml", &[]);
    assert_eq!(pump.status.code(), Some(2));
    assert!(err(&pump).contains("set build.duty.boost in the file"), "{}", err(&pump));
    let misread = speed("examples/dipper-pump.toml", &[]);
    assert_eq!(misread.status.code(), Some(2));
    assert!(err(&misread).contains("the readings of rotor DR-2 disagree"), "{}", err(&misread));
    let folder = tempfile::tempdir().unwrap();
    let odd = changed(folder.path(), &with_shaft(), "\"180 deg\"]", "\"179.5 deg\"]");
    let odd = speed(&odd, &[]);
    assert_eq!(odd.status.code(), Some(2));
    assert!(err(&odd).contains("throws must be whole degrees"), "{}", err(&odd));
    let absent =
        changed(folder.path(), BOAT, "[engine]", "[gas]\ntrace = \"cycle.csv\"\n\n[engine]");
    let absent = speed(&absent, &[]);
    assert_eq!(absent.status.code(), Some(2));
    assert!(
        err(&absent).contains("gas.trace: cycle.csv: there is no such file"),
        "{}",
        err(&absent)
    );
}

#[test]
fn a_measured_trace_stands_in_for_the_cycle() {
    let folder = tempfile::tempdir().unwrap();
    let bump = |d: f64| 1.6 + 68.0 * (-((d - 30.0) / 42.0).powi(2)).exp();
    let mut csv = String::from("angle_deg,pressure_bar\n");
    for degree in -540..540 {
        csv.push_str(&format!("{degree},{:.4}\n", bump(f64::from(degree))));
    }
    fs::write(folder.path().join("cycle.csv"), csv).unwrap();
    let file = changed(folder.path(), BOAT, "[engine]", "[gas]\ntrace = \"cycle.csv\"\n\n[engine]");
    let run = speed(&file, &["--json"]);
    assert_eq!(run.status.code(), Some(0), "{}", err(&run));
    let answer = json(&run);
    let peak = answer["peak_pressure_bar"].as_f64().unwrap();
    assert!((peak - 69.6).abs() < 0.1, "{peak}");
    assert!(answer["cycles"][0]["work_share"].is_null());
    let harder = answer["cycles"][1]["peak_pressure_bar"].as_f64().unwrap();
    assert!((harder / peak - 1.15).abs() < 0.01, "{harder}");
    // The trace belongs to the boost of the file; at another one its pressures are higher.
    let boosted = json(&speed(&file, &["--json", "--boost", "1.8 bar"]));
    let higher = boosted["peak_pressure_bar"].as_f64().unwrap();
    assert!(higher > 1.3 * peak && higher < 1.6 * peak, "{higher} after {peak}");
}

#[test]
fn a_plan_says_what_speed_and_boost_ask_for() {
    let plain = lobewright(&["plan", BOAT, "--json"]);
    assert!(json(&plain)["rotors"][0]["window"]["at_speed"].is_null());
    let run = lobewright(&["plan", BOAT, "--speed", "--json"]);
    assert_eq!(run.status.code(), Some(0), "{}", err(&run));
    let answer = json(&run);
    assert_eq!(answer["feasible"], true, "an assumed shaft stops nothing");
    for rotor in answer["rotors"].as_array().unwrap() {
        let asked = &rotor["window"]["at_speed"];
        assert_eq!(asked["assumed_shaft"], true);
        assert!(asked["least_step_mm"].as_f64().unwrap() > 0.05);
        assert!(asked["least_side_clearance_mm"].as_f64().unwrap() > 0.1);
    }
    let folder = tempfile::tempdir().unwrap();
    let pictures = folder.path().to_str().unwrap();
    let text = out(&lobewright(&["plan", BOAT, "--speed", "--svg", pictures]));
    let window = fs::read_to_string(folder.path().join("1-R-114-window.csv")).unwrap();
    assert!(window.contains("step: needed at speed") && !window.contains("not computed"));
    assert!(text.contains("Speed and boost: at the duty's speed and boost (the shaft is assumed)"));
    assert!(out(&lobewright(&["plan", BOAT])).contains("plan --speed does"));
    let many = lobewright(&["plan", "examples", "--speed"]);
    assert_eq!(many.status.code(), Some(2));
}

#[test]
fn what_would_do_agrees_with_the_chance_at_the_duty() {
    for boost in ["0.2 bar", "0.9 bar"] {
        let words = ["speed", BOAT, "--json", "--boost", boost, "--draws", "128", "--speeds", "0"];
        let run = lobewright(&words);
        let answer = json(&run);
        let (duty, borne) = (&answer["duty"], answer["allowed_chance"].as_f64().unwrap());
        let too_often = duty["rotors"]
            .as_array()
            .unwrap()
            .iter()
            .any(|rotor| rotor["chance_of_contact"].as_f64().unwrap() > borne);
        for (found, asked) in [("greatest_rpm", "rpm"), ("greatest_boost_bar", "boost_bar")] {
            let greatest = answer["found"][found]["value"].as_f64().unwrap_or(-1.0);
            let asked = duty[asked].as_f64().unwrap();
            assert!(!too_often || greatest < asked, "{boost}: {found} {greatest}, {asked}");
        }
        for rotor in answer["rotors"].as_array().unwrap() {
            let at_least = |key: &str| rotor[key].as_f64().unwrap();
            // With the room not to jam the rotor leans further, and needs more step.
            let (alone, with_it) =
                (at_least("least_step_mm"), at_least("step_with_that_clearance_mm"));
            assert!(with_it > alone - 1e-9, "{boost}: {rotor}");
        }
    }
}

#[test]
fn three_rotors_fit_the_page_and_a_single_one_runs() {
    let three = speed("examples/cormorant-three.toml", &[]);
    assert_eq!(three.status.code(), Some(0), "{}", err(&three));
    let text = out(&three);
    assert!(text.lines().all(|line| line.chars().count() <= 80), "{text}");
    assert!(text.contains("CR-30: TIP 3 TOUCHES on the plain face"), "{text}");
    assert!(text.contains("It has no plan and is computed as it is."), "{text}");
    let single = speed("examples/heron-aircraft.toml", &[]);
    assert_eq!(single.status.code(), Some(0), "{}", err(&single));
    assert!(out(&single).contains("HR-9: the tips keep "));
}

#[test]
fn pictures_and_tables_are_written_where_they_are_asked_for() {
    let folder = tempfile::tempdir().unwrap();
    let (svg, csv) = (folder.path().join("new/pictures"), folder.path().join("tables"));
    let at = |path: &Path| path.to_str().unwrap().to_owned();
    let run = speed(BOAT, &["--svg", &at(&svg), "--csv", &at(&csv)]);
    assert_eq!(run.status.code(), Some(0), "{}", err(&run));
    for said in ["10 pictures in ", "10 tables in "] {
        assert!(out(&run).contains(said), "{}", out(&run));
    }
    let mut names: Vec<String> = vec!["shaft-line".into(), "speed-gap".into()];
    for rotor in ["1-R-114", "2-R-97"] {
        for picture in ["tip-budget", "tilt-path", "wear-rear", "wear-front"] {
            names.push(format!("{rotor}-{picture}"));
        }
    }
    for name in &names {
        let text = fs::read_to_string(svg.join(format!("{name}.svg"))).unwrap();
        let picture = roxmltree::Document::parse(&text).unwrap();
        assert_eq!(picture.root_element().tag_name().name(), "svg");
        assert!(!text.contains("NaN") && !text.contains("inf"), "{name}");
        let table = fs::read_to_string(csv.join(format!("{name}.csv"))).unwrap();
        assert!(table.lines().count() > 1 && !table.contains("NaN"), "{name}: {table}");
    }
    assert_eq!(fs::read_dir(&svg).unwrap().count(), names.len());
    // A folder that cannot be made is a wrong call.
    let file = folder.path().join("file");
    fs::write(&file, "").unwrap();
    let refused = speed(BOAT, &["--svg", &at(&file.join("below"))]);
    assert_eq!(refused.status.code(), Some(2));
    assert!(err(&refused).contains("below: "), "{}", err(&refused));
}

#[test]
fn warming_up_and_no_chances_are_said_so() {
    let run = lobewright(&["speed", BOAT, "--state", "warming", "--draws", "0", "--speeds", "0"]);
    assert_eq!(run.status.code(), Some(0), "{}", err(&run));
    let text = out(&run);
    assert!(text.contains("warming, in a hard cycle"), "{text}");
    assert!(!text.contains("Chance") && !text.contains("What would do"), "{text}");
}

#[cfg(unix)]
#[test]
fn stopped_it_reports_what_is_done() {
    use std::process::Stdio;
    use std::thread::sleep;
    use std::time::Duration;
    let child = Command::new(env!("CARGO_BIN_EXE_lobewright"))
        .args(["speed", BOAT, "--draws", "200000", "--speeds", "3", "--json"])
        .current_dir(root())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    // Long enough to have begun to draw, far too short to finish.
    sleep(Duration::from_secs(12));
    let told = Command::new("sh").args(["-c", &format!("kill -INT {}", child.id())]).status();
    let told = told.unwrap();
    assert!(told.success());
    let run = child.wait_with_output().unwrap();
    assert_eq!(run.status.code(), Some(0), "{}", err(&run));
    let answer = json(&run);
    assert_eq!(answer["draws"]["stopped"], true);
    let done = answer["draws"]["draws"].as_u64().unwrap();
    assert!(done > 0 && done < 200_000, "{done}");
    assert_eq!(answer["sweep_stopped"], true);
    assert!(answer["duty"]["rotors"][0]["chance_of_contact"].is_f64());
}
