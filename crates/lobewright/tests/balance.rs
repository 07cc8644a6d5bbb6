//! `balance` from outside: what the person at the machine reads, the shape of the JSON, its figures
//! against sums worked out here, every way an instrument can count, and what is refused.

#![expect(clippy::unwrap_used, clippy::panic, reason = "in tests a panic is the report")]

use serde_json::Value;
use std::f64::consts::PI;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

const HYDROPLANE: &str = "examples/shelduck-hydroplane.toml";
const PUMP: &str = "examples/gannet-pump.toml";
const BOAT: &str = "examples/sprint-boat.toml";

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..")
}

fn balance(file: &str, more: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_lobewright"))
        .args(["balance", file])
        .args(more)
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

fn json(file: &str) -> (Value, Option<i32>) {
    let run = balance(file, &["--json"]);
    assert_eq!(err(&run), "");
    (serde_json::from_str(&out(&run)).unwrap(), run.status.code())
}

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap_or_else(|| panic!("{value} is no number"))
}

/// A copy of a build with pieces of it replaced.
fn changed(folder: &Path, file: &str, changes: &[(&str, &str)]) -> String {
    let mut text = fs::read_to_string(root().join(file)).unwrap();
    for (from, to) in changes {
        assert!(text.contains(from), "{from}");
        text = text.replace(from, to);
    }
    let path = folder.join("build.toml");
    fs::write(&path, text).unwrap();
    path.to_str().unwrap().to_owned()
}

/// A text in one line.
fn said(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn vector(value: &Value) -> (f64, f64) {
    let (amount, angle) = (number(&value["amount"]), number(&value["angle_deg"]).to_radians());
    (amount * angle.cos(), amount * angle.sin())
}

#[test]
fn the_text_is_what_the_person_at_the_machine_works_from() {
    let run = balance(HYDROPLANE, &[]);
    assert_eq!((run.status.code(), err(&run).as_str()), (Some(0), ""));
    let text = out(&run);
    assert!(text.lines().all(|line| line.chars().count() <= 80), "{text}");
    let order = [
        "grade G 6.3 of ISO 21940-11",
        "SHAFT: PLANNED TO CONFORM",
        "ROTORS about their own bores: planned to conform",
        "SET:",
        "CAUTION. A shaft that spins",
        "1  Rotors: what to take",
        "TAKE",
        "from tip 1 towards tip 2, radius",
        "2  Bob weights",
        "for its oil",
        "3  Counterweights",
        "the heavy spot and counts with rotation",
        "the machine showed 412",
        "drilled from the front",
        "face hole",
        "drilled from the rear",
        "4  Next",
        "[balance.after]",
        "The machine need not end at nothing",
        "What the grade does not promise",
        "runs off centre",
        "first critical speed",
        "The rotors in full",
        "No counterweight can",
        "Assumed, because the file does not say",
    ];
    let mut from = 0;
    for words in order {
        let at =
            text[from..].find(words).unwrap_or_else(|| panic!("{words} after {from}:\n{text}"));
        from += at;
    }
    let inch = out(&balance(HYDROPLANE, &["--inch"]));
    let words = said(&inch);
    assert!(words.contains("oz\u{b7}in (139 g\u{b7}mm)"), "{inch}");
}

#[test]
fn the_json_has_what_others_read() {
    let (all, code) = json(HYDROPLANE);
    assert_eq!(code, Some(0));
    assert_eq!(all["format"], 1);
    assert_eq!(all["grade"], "G 6.3");
    assert!((number(&all["rpm"]) - 9200.0).abs() < 1e-6);
    for key in ["total", "front", "rear"] {
        assert!(number(&all["permissible_gmm"][key]) > 0.0);
    }
    for (k, plane) in ["front", "rear"].into_iter().enumerate() {
        let needed = &all["counterweights_needed_gmm"][k];
        assert_eq!(needed["plane"], plane);
        assert!(number(&needed["amount"]) > 0.0 && needed["angle_deg"].is_number());
        assert!(all["residual_gmm"][plane]["amount"].is_number());
        assert!(all["residual_gmm"][plane]["angle_deg"].is_number());
    }
    assert_eq!(all["bob_weights_g"].as_array().unwrap().len(), 2);
    let corrections = all["corrections"].as_array().unwrap();
    assert!(!corrections.is_empty());
    for correction in corrections {
        for key in ["angle_deg", "diameter_mm", "depth_mm", "removes_g", "machine_angle_deg"] {
            assert!(correction[key].is_number(), "{key}");
        }
        assert!(["front", "rear"].contains(&correction["plane"].as_str().unwrap()));
    }
    assert_eq!(all["verdict"], "conforms");
    assert_eq!(all["verdict_of"], "planned");
}

/// Permissible unbalance, bob weights and what counterweights need, worked out again from the
/// figures of the JSON and the file.
#[test]
fn its_figures_are_those_of_the_sums() {
    let (all, _) = json(HYDROPLANE);
    // U_per = G m / Ω of 21.3 kg at 9200 r/min [ISO-21940-11].
    let total = 1e3 * 6.3 * 21.3 / (9200.0 * PI / 30.0);
    assert!((number(&all["permissible_gmm"]["total"]) - total).abs() < 1e-6);
    let (planes, tolerance) = (&all["correction_planes_mm"], &all["tolerance_planes_mm"]);
    let [front, rear] = ["front", "rear"].map(|k| number(&planes[k]));
    assert_eq!((front, rear), (52.0, 331.0));
    // Rotor 1's gear face looks to the front, rotor 2's to the rear; oil and the metal of the
    // journals, 70 mm thick and 60 mm long, lie in the mid-planes.
    let journal = 7850e-9 * PI / 4.0 * 70.0 * 70.0 * 60.0 * 1e3 * 14.0;
    let mut sums = [0.0; 2];
    for (k, (at, sign, to_rear)) in [(130.0, 1.0, -1.0), (246.0, -1.0, 1.0)].iter().enumerate() {
        let rotor = &all["rotors"][k];
        let z = at + to_rear * number(&rotor["mass_centre_mm"]);
        for (u, z) in [(number(&rotor["finished_g"]) * 14.0, z), (110.0 + journal, *at)] {
            let share = (z - front) / (rear - front);
            sums[0] -= sign * u * (1.0 - share);
            sums[1] -= sign * u * share;
        }
        let bob = number(&rotor["finished_g"]) + 110.0 / 14.0;
        assert!((number(&all["bob_weights_g"][k]) - bob).abs() < 1e-6, "{rotor}");
    }
    for (k, sum) in sums.iter().enumerate() {
        let (x, y) = vector(&all["counterweights_needed_gmm"][k]);
        assert!((x - sum).abs() < 1e-4 && y.abs() < 1e-4, "{x} {sum}");
    }
    // What is left in the tolerance planes is what is left in the correction planes, moved.
    let left = &all["residual_in_correction_planes_gmm"];
    for (k, key) in ["front", "rear"].into_iter().enumerate() {
        let at = [number(&tolerance["front"]), number(&tolerance["rear"])];
        let mut moved = (0.0, 0.0);
        for (plane, z) in [("front", front), ("rear", rear)] {
            let share = (z - at[0]) / (at[1] - at[0]);
            let share = if k == 0 { 1.0 - share } else { share };
            let (x, y) = vector(&left[plane]);
            moved = (moved.0 + share * x, moved.1 + share * y);
        }
        let (x, y) = vector(&all["residual_gmm"][key]);
        assert!((x - moved.0).hypot(y - moved.1) < 1e-6, "{key}");
    }
    // Rotors after their cut, then with all they carry, then less what is taken.
    for rotor in all["rotors"].as_array().unwrap() {
        let apart: f64 = rotor["carried"]
            .as_array()
            .unwrap()
            .iter()
            .filter(|item| item["weighed_with_rotor"] == false)
            .map(|item| number(&item["mass_g"]))
            .sum();
        let dressed = number(&rotor["predicted_after_cut_g"]) + apart;
        assert!((number(&rotor["dressed_g"]) - dressed).abs() < 1e-6);
        let taken: f64 =
            rotor["take"].as_array().unwrap().iter().map(|taken| number(&taken["grams"])).sum();
        assert!((number(&rotor["finished_g"]) - dressed + taken).abs() < 1e-6);
    }
    assert!(number(&all["spread_g"]["after"]) <= number(&all["spread_g"]["allowed"]) + 1e-6);
}

/// The same unbalance, shown by machines that count in each way there is, asks for the same holes.
#[test]
fn every_way_of_counting_gives_the_same_holes() {
    let folder = tempfile::tempdir().unwrap();
    let (plain, _) = json(HYDROPLANE);
    let shown = [("412 g mm", 151.0, 122.0), ("286 g mm", 18.0, 301.0)];
    for spot in ["heavy", "light"] {
        for angles in ["with rotation", "against rotation"] {
            for zero in [0.0, 77.0, -130.0] {
                let mut changes = vec![
                    ("spot = \"heavy\" ".to_owned(), format!("spot = \"{spot}\" ")),
                    ("angles = \"with rotation\"".to_owned(), format!("angles = \"{angles}\"")),
                    ("zero = \"0 deg\"".to_owned(), format!("zero = \"{zero} deg\"")),
                ];
                for (amount, angle, _) in shown {
                    let light: f64 = if spot == "light" { 180.0 } else { 0.0 };
                    let from_zero: f64 = angle + light - zero;
                    let sign = if angles == "with rotation" { 1.0 } else { -1.0 };
                    let says = (sign * from_zero).rem_euclid(360.0);
                    changes.push((
                        format!("{{ amount = \"{amount}\", angle = \"{angle} deg\" }}"),
                        format!("{{ amount = \"{amount}\", angle = \"{says} deg\" }}"),
                    ));
                }
                // Light spot: rotors on their mandrel are shown by the same machine.
                let mut text = fs::read_to_string(root().join(HYDROPLANE)).unwrap();
                if spot == "light" {
                    for (was, is) in [
                        ("39.8 deg", "219.8 deg"),
                        ("215.7 deg", "35.7 deg"),
                        ("271.6 deg", "91.6 deg"),
                        ("142.6 deg", "322.6 deg"),
                    ] {
                        assert!(text.contains(was));
                        text = text.replace(was, is);
                    }
                }
                for (from, to) in &changes {
                    assert!(text.contains(from.as_str()), "{from}");
                    text = text.replace(from.as_str(), to);
                }
                let path = folder.path().join("build.toml");
                fs::write(&path, text).unwrap();
                let (other, _) = json(path.to_str().unwrap());
                let case = format!("{spot}, {angles}, {zero}");
                for key in ["found_gmm", "residual_gmm"] {
                    for plane in ["front", "rear"] {
                        let (a, b) = (vector(&plain[key][plane]), vector(&other[key][plane]));
                        let off = (a.0 - b.0).hypot(a.1 - b.1);
                        assert!(off < 1e-5, "{case}, {key}, {plane}: {off}");
                    }
                }
                let holes = |all: &Value| {
                    let each = all["corrections"].as_array().unwrap().iter();
                    each.map(|c| (c["angle_deg"].clone(), c["depth_mm"].clone()))
                        .collect::<Vec<_>>()
                };
                assert_eq!(holes(&plain), holes(&other), "{case}");
                // Where a hole is on the machine's scale.
                for (a, b) in plain["corrections"]
                    .as_array()
                    .unwrap()
                    .iter()
                    .zip(other["corrections"].as_array().unwrap())
                {
                    let sign = if angles == "with rotation" { 1.0 } else { -1.0 };
                    let says = sign * (number(&a["angle_deg"]) - zero);
                    let off = (says - number(&b["machine_angle_deg"])).rem_euclid(360.0);
                    assert!(off.min(360.0 - off) < 1e-6, "{case}: {off}");
                }
            }
        }
    }
}

/// The pump's runs were made up from an unbalance of 640 g mm at 212 deg in front and 420 g mm at
/// 35 deg in the rear, with noise of a fraction of a micrometre.
#[test]
fn trial_runs_find_the_unbalance_that_they_were_made_from() {
    let (all, code) = json(PUMP);
    assert_eq!(code, Some(0));
    assert_eq!(all["basis"], "trial runs");
    let add = &all["trial_runs"]["add_gmm"];
    for (plane, amount, angle_deg) in [("front", 640.0, 212.0_f64), ("rear", 420.0, 35.0)] {
        let (x, y) = vector(&add[plane]);
        let angle = angle_deg.to_radians();
        let off = (x + amount * angle.cos()).hypot(y + amount * angle.sin());
        let u = number(&all["trial_runs"]["uncertainty_gmm"][plane]);
        assert!(off < 4.0 * u && u < 20.0, "{plane}: {off} of {u}");
    }
    // Phases told as leads, the other way round: the same weights.
    let folder = tempfile::tempdir().unwrap();
    let mut text = fs::read_to_string(root().join(PUMP)).unwrap();
    text = text.replace("phase = \"lag\"", "phase = \"lead\"");
    for deg in ["149.6", "302.3", "44.3", "349.8", "183.0", "279.4", "10.6", "296.5"] {
        let from = format!("phase = \"{deg} deg\"");
        assert!(text.contains(&from));
        text = text.replace(&from, &format!("phase = \"-{deg} deg\""));
    }
    let path = folder.path().join("build.toml");
    fs::write(&path, text).unwrap();
    let (lead, _) = json(path.to_str().unwrap());
    for plane in ["front", "rear"] {
        let (a, b) = (vector(&add[plane]), vector(&lead["trial_runs"]["add_gmm"][plane]));
        assert!((a.0 - b.0).hypot(a.1 - b.1) < 1e-6);
    }
}

#[test]
fn trial_runs_that_tell_nothing_are_named() {
    let folder = tempfile::tempdir().unwrap();
    let refused = |changes: &[(&str, &str)]| {
        let run = balance(&changed(folder.path(), PUMP, changes), &[]);
        assert_eq!((run.status.code(), out(&run).as_str()), (Some(2), ""));
        err(&run)
    };
    let phase = refused(&[(", phase = \"149.6 deg\"", "")]);
    assert!(phase.contains("phase is missing"), "{phase}");
    let zero = refused(&[("front = { amount = \"800 g mm\"", "front = { amount = \"0 g mm\"")]);
    assert!(
        zero.contains("write what was on; in a run without one leave front or rear out"),
        "{zero}"
    );
    // Runs 2 and 3 with the same trial weight, and no fourth.
    let text = fs::read_to_string(root().join(PUMP)).unwrap();
    let fourth = text.find("[[balance.run]]                       # both").unwrap();
    let three = text[..fourth].replace(
        "rear = { amount = \"800 g mm\", angle = \"300 deg\" }",
        "front = { amount = \"800 g mm\", angle = \"30 deg\" }",
    );
    let path = folder.path().join("same.toml");
    fs::write(&path, &three).unwrap();
    let run = balance(path.to_str().unwrap(), &[]);
    // With both in the front plane only that plane is tried, and a doubled run is no harm.
    assert_eq!(run.status.code(), Some(0), "{}", err(&run));
    let told = said(&out(&run));
    assert!(told.contains("rear plane not known: it never had a trial weight"), "{told}");
    assert!(!told.contains("PLANNED TO CONFORM"), "{told}");
    let (all, _) = json(path.to_str().unwrap());
    assert_eq!((&all["found_gmm"]["rear"], &all["verdict"]), (&Value::Null, &"not proven".into()));
    let twins = text[..fourth]
        .replace(
            "front = { amount = \"800 g mm\", angle = \"30 deg\" }",
            "front = { amount = \"800 g mm\", angle = \"30 deg\" }\nrear = { amount = \"800 g mm\", \
             angle = \"300 deg\" }",
        )
        .replace(
            "\nrear = { amount = \"800 g mm\", angle = \"300 deg\" }\nsensors = [\n  { name = \"front \
             main\", amplitude = \"5.62",
            "\nfront = { amount = \"800 g mm\", angle = \"30 deg\" }\nrear = { amount = \"800 g mm\", \
             angle = \"300 deg\" }\nsensors = [\n  { name = \"front main\", amplitude = \"5.62",
        );
    fs::write(&path, twins).unwrap();
    let run = balance(path.to_str().unwrap(), &[]);
    assert_eq!(run.status.code(), Some(2));
    assert!(err(&run).contains("runs 2 and 3 have the same trial weights"), "{}", err(&run));
}

#[test]
fn a_reading_after_correction_is_judged_as_measured() {
    let folder = tempfile::tempdir().unwrap();
    let after = |front: &str, rear: &str| {
        let table = format!(
            "[balance.after]\nfront = {{ amount = \"{front} g mm\", angle = \"160 deg\" }}\nrear \
             = {{ amount = \"{rear} g mm\", angle = \"200 deg\" }}\n[balance.measured]"
        );
        // Bob weights that are what is asked for, so that nothing is unseen but mass centres.
        let file = changed(
            folder.path(),
            HYDROPLANE,
            &[
                ("[balance.measured]", &table),
                ("bob_weights = [\"3870.0 g\", \"3870.0 g\"]", "# bob weights as asked for"),
                ("mass_centre = \"0.6 mm\"", "mass_centre = \"0.11 mm\""),
                ("mass_centre = \"0.5 mm\"", "mass_centre = \"0.11 mm\""),
            ],
        );
        json(&file)
    };
    let (good, code) = after("4", "6");
    assert_eq!((good["verdict"].as_str(), code), (Some("conforms"), Some(0)), "{good:#}");
    assert_eq!(good["verdict_of"], "measured");
    let (bad, code) = after("300", "6");
    assert_eq!((bad["verdict"].as_str(), code), (Some("does not conform"), Some(1)));
    assert!(!bad["corrections"].as_array().unwrap().is_empty());
}

#[test]
fn the_scale_replaces_the_prediction_and_both_are_shown() {
    let folder = tempfile::tempdir().unwrap();
    let after = "[rotor.after]\nmass = \"3597.5 g\"\nland_width = [\"73.806 mm\", \"73.806 mm\", \
                 \"73.806 mm\"]\ngear_step = [\"120 um\", \"120 um\", \"120 um\"]\nplain_step = [\"120 \
                 um\", \"120 um\", \"120 um\"]\ntip_width = [\"73.566 mm\", \"73.566 mm\", \"73.566 \
                 mm\"]\n[[rotor]]\nserial = \"SR-22\"";
    let file = changed(folder.path(), HYDROPLANE, &[("[[rotor]]\nserial = \"SR-22\"", after)]);
    let (all, _) = json(&file);
    let rotor = &all["rotors"][0];
    assert_eq!(number(&rotor["weighed_before_cut_g"]), 3610.0);
    assert_eq!(number(&rotor["weighed_after_cut_g"]), 3597.5);
    let predicted = number(&rotor["predicted_after_cut_g"]);
    assert!((3590.0..3605.0).contains(&predicted), "{predicted}");
    assert!((number(&rotor["used_g"]) - 3597.5).abs() < 0.2, "{rotor:#}");
    let text = out(&balance(&file, &[]));
    let words = said(&text);
    assert!(words.contains("on the scale 3597.5 g"), "{text}");
}

/// After exactly the holes that are planned, the machine shows what was foretold, with the same bob
/// weights and with those that were asked for; entered, that is within the grade.
#[test]
fn what_the_machine_will_show_is_foretold() {
    let folder = tempfile::tempdir().unwrap();
    let (plan, _) = json(HYDROPLANE);
    for (key, bobs) in [("then_shows_gmm", false), ("then_shows_with_asked_bob_weights_gmm", true)]
    {
        let told = &plan["machine"][key];
        let line = |plane: &str| {
            let value = &told[plane];
            let (amount, deg) = (number(&value["amount"]), number(&value["angle_deg"]));
            format!("{plane} = {{ amount = \"{amount} g mm\", angle = \"{deg} deg\" }}\n")
        };
        let table = format!("[balance.after]\n{}{}[balance.measured]", line("front"), line("rear"));
        let asked: Vec<String> = plan["bob_weights_g"]
            .as_array()
            .unwrap()
            .iter()
            .map(|grams| format!("\"{} g\"", number(grams)))
            .collect();
        let were = "bob_weights = [\"3870.0 g\", \"3870.0 g\"]";
        let are = format!("bob_weights = [{}]", asked.join(", "));
        let file = changed(
            folder.path(),
            HYDROPLANE,
            &[("[balance.measured]", &table), (were, if bobs { &are } else { were })],
        );
        let (after, code) = json(&file);
        assert_eq!((after["verdict"].as_str(), code), (Some("conforms"), Some(0)), "{key}");
        for plane in ["front", "rear"] {
            let found = vector(&after["found_gmm"][plane]);
            let left = vector(&plan["residual_in_correction_planes_gmm"][plane]);
            assert!((found.0 - left.0).hypot(found.1 - left.1) < 1e-5, "{key} {plane}");
        }
    }
}

#[test]
fn what_contradicts_itself_is_asked_about() {
    let folder = tempfile::tempdir().unwrap();
    let text = |changes: &[(&str, &str)]| {
        let run = balance(&changed(folder.path(), HYDROPLANE, changes), &[]);
        (said(&out(&run)), run.status.code())
    };
    let (throws, _) =
        text(&[("throws = [\"0 deg\", \"180 deg\"]", "throws = [\"0 deg\", \"0 deg\"]")]);
    assert!(throws.contains("look at throws, bob weights, the zero of the angles"), "{throws}");
    let (bob, _) = text(&[("[\"3870.0 g\", \"3870.0 g\"]", "[\"387.0 g\", \"3870.0 g\"]")]);
    assert!(bob.contains("was it misread?"), "{bob}");
    let (instrument, _) = text(&[("spot = \"heavy\" ", "# spot: ")]);
    assert!(instrument.contains("how the instrument counts is assumed (spot in"), "{instrument}");
    let (mandrel, _) = text(&[("turned = \"180 deg\"", "turned = \"0 deg\"")]);
    assert!(mandrel.contains("in one position on its mandrel"), "{mandrel}");
    let (unweighed, _) = text(&[("mass = \"3610 g\"\n", "")]);
    assert!(unweighed.contains("SR-21 was not weighed") && unweighed.contains("NOT PROVEN as"));
    // No place on the heavy side: nothing helps, and it is said what would.
    let (far, code) = text(&[("angle = \"151 deg\"", "angle = \"331 deg\"")]);
    assert!(far.contains("NOT WITHIN, and no place of the file helps: remove"), "{far}");
    assert_eq!(code, Some(1));
    // Without pockets the rotors stay as they are, and that decides the exit status.
    let whole = fs::read_to_string(root().join(HYDROPLANE)).unwrap();
    let (from, to) =
        (whole.find("[[balance.pocket]]").unwrap(), whole.find("[balance.front]").unwrap());
    let (pockets, code) = text(&[(&whole[from..to], "")]);
    assert!(pockets.contains("SHAFT: PLANNED TO CONFORM"), "{pockets}");
    assert!(pockets.contains("ROTORS about their own bores: does not conform"), "{pockets}");
    assert_eq!(code, Some(1));
}

/// A run after correction, made from 22 g mm at 100 deg in front and 31 g mm at 300 deg in the rear.
#[test]
fn a_run_after_correction_says_what_is_left() {
    let folder = tempfile::tempdir().unwrap();
    let text = fs::read_to_string(root().join(PUMP)).unwrap();
    let more = "\n[[balance.run]]\nstate = \"after correction\"\nspeed = \"2400 rpm\"\nsensors = [\n  \
                { name = \"front main\", amplitude = \"0.216 um\", phase = \"264.51 deg\" },\n  { name = \
                \"rear main\", amplitude = \"0.4808 um\", phase = \"50.8 deg\" },\n]\n";
    let path = folder.path().join("after.toml");
    fs::write(&path, format!("{text}{more}")).unwrap();
    let (all, code) = json(path.to_str().unwrap());
    assert_eq!((all["verdict_of"].as_str(), code), (Some("measured"), Some(0)));
    assert_eq!(all["basis"], "a run after correction");
    for (plane, amount, deg) in [("front", 22.0, 100.0_f64), ("rear", 31.0, 300.0)] {
        let (x, y) = vector(&all["found_gmm"][plane]);
        let off = (x - amount * deg.to_radians().cos()).hypot(y - amount * deg.to_radians().sin());
        // The coefficients are those of noisy runs: a percent or two.
        assert!(off < 0.05 * amount, "{plane}: {off}");
    }
    let alone = format!("{}{more}", &text[..text.find("[[balance.run]]").unwrap()]);
    fs::write(&path, alone).unwrap();
    let run = balance(path.to_str().unwrap(), &[]);
    assert_eq!(run.status.code(), Some(2));
    assert!(err(&run).contains("there are only runs after correction"), "{}", err(&run));
}

#[test]
fn a_slug_says_what_it_weighs_and_how_it_pulls() {
    let folder = tempfile::tempdir().unwrap();
    // The heavy side turned round: now the front wants more on its own side.
    let text = fs::read_to_string(root().join(PUMP)).unwrap();
    let rim = text.find("[[balance.front.place]]\nhow = \"rim hole\"").unwrap();
    let rear = text.find("[balance.rear]").unwrap();
    let swapped = format!("{}{}", &text[..rim], &text[rear..])
        .replace("\"130 deg\", \"150 deg\", \"170 deg\"", "\"10 deg\", \"30 deg\", \"50 deg\"");
    let path = folder.path().join("slug.toml");
    fs::write(&path, swapped).unwrap();
    let run = balance(path.to_str().unwrap(), &[]);
    let text = said(&out(&run));
    assert!(text.contains("slug the slug itself weighs"), "{text}");
    assert!(text.contains("pulls outwards with"), "{text}");
}

#[test]
fn an_assumed_shaft_proves_nothing_and_stops_nothing() {
    let run = balance(BOAT, &[]);
    assert_eq!((run.status.code(), err(&run).as_str()), (Some(0), ""));
    let text = out(&run);
    assert!(text.contains("THE SHAFT IS ASSUMED") && text.contains("NOTHING MEASURED"), "{text}");
    let (all, _) = json(BOAT);
    assert_eq!(
        (all["verdict"].as_str(), &all["assumed_shaft"]),
        (Some("not proven"), &true.into())
    );
    // Counterweights that balanced the rotors as they came in are too heavy once these are cut.
    for counterweight in all["counterweights"].as_array().unwrap() {
        assert!(number(&counterweight["too_heavy_gmm"]) > 0.0);
    }
}

/// An engine of six rotors at odd angles, each with its own mass centre: the sums again.
#[test]
fn throws_at_any_angle_balance() {
    let folder = tempfile::tempdir().unwrap();
    let file = changed(
        folder.path(),
        HYDROPLANE,
        &[
            ("throws = [\"0 deg\", \"180 deg\"]", "throws = [\"0 deg\", \"133.7 deg\"]"),
            ("[balance.measured]", "[balance.after]"),
        ],
    );
    let (all, _) = json(&file);
    let (x, y) = vector(&all["resultant_gmm"]);
    let mut sum = (0.0, 0.0);
    let journal = 7850e-9 * PI / 4.0 * 70.0 * 70.0 * 60.0 * 1e3 * 14.0;
    for (k, deg) in [0.0_f64, 133.7].iter().enumerate() {
        let u = number(&all["rotors"][k]["finished_g"]) * 14.0 + 110.0 + journal;
        sum = (sum.0 + u * deg.to_radians().cos(), sum.1 + u * deg.to_radians().sin());
    }
    assert!((x - sum.0).hypot(y - sum.1) < 1e-3, "{x} {y} {sum:?}");
    // The critical speed is followed degree by degree and says why it cannot be had.
    assert_eq!(all["critical_rpm"], Value::Null);
    let text = out(&balance(&file, &[]));
    let text = said(&text);
    assert!(text.contains("critical speed is not known") && text.contains("133.7 deg"), "{text}");
}

#[test]
fn pictures_are_written_with_their_data() {
    let folder = tempfile::tempdir().unwrap();
    let into = folder.path().join("pictures");
    let run = balance(PUMP, &["--svg", into.to_str().unwrap()]);
    assert_eq!((run.status.code(), err(&run).as_str()), (Some(0), ""));
    let mut names: Vec<String> = fs::read_dir(&into)
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .filter(|name| name.to_lowercase().ends_with("svg"))
        .collect();
    names.sort();
    assert_eq!(
        names,
        [
            "balance-front-counterweight.svg",
            "balance-front-vectors.svg",
            "balance-rear-counterweight.svg",
            "balance-rear-vectors.svg",
            "balance-trial-1-1-front-main.svg",
            "balance-trial-1-2-rear-main.svg",
        ]
    );
    for name in names {
        let svg = fs::read_to_string(into.join(&name)).unwrap();
        assert!(roxmltree::Document::parse(&svg).is_ok(), "{name}");
        let csv = fs::read_to_string(into.join(name.replace(".svg", ".csv"))).unwrap();
        assert!(csv.lines().count() > 1, "{name}");
    }
}

#[test]
fn what_cannot_be_balanced_says_what_is_missing() {
    let folder = tempfile::tempdir().unwrap();
    let refused = |changes: &[(&str, &str)]| {
        let run = balance(&changed(folder.path(), HYDROPLANE, changes), &[]);
        assert_eq!((run.status.code(), out(&run).as_str()), (Some(2), ""));
        err(&run)
    };
    let speed = refused(&[("speed = \"9200 rpm\"\n", "")]);
    assert!(speed.contains("set balance.speed or build.duty.speed"), "{speed}");
    let none = balance("examples/none.toml", &[]);
    assert_eq!(none.status.code(), Some(2));
    assert!(err(&none).contains("there is no such file"));
    let gone = balance("examples/none.toml", &["--json"]);
    assert!(serde_json::from_str::<Value>(&out(&gone)).unwrap()["error"].is_string());
}
