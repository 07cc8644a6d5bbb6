//! `demo --once` from outside: what it writes and says, that the shop it makes is one, and that a
//! folder with something in it is left alone.

#![expect(clippy::unwrap_used, reason = "in tests a panic is the report")]

use serde_json::Value;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

fn run(folder: &Path, words: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_lobewright"))
        .args(words)
        .current_dir(folder)
        .env("COLUMNS", "80")
        .output()
        .unwrap()
}

fn out(output: &Output) -> String {
    assert_eq!(output.status.code(), Some(0), "{}", String::from_utf8_lossy(&output.stderr));
    String::from_utf8(output.stdout.clone()).unwrap()
}

fn err(output: &Output) -> String {
    assert_eq!((output.status.code(), output.stdout.len()), (Some(2), 0));
    String::from_utf8(output.stderr.clone()).unwrap()
}

/// Every file below a folder.
fn files_below(folder: &Path, found: &mut Vec<PathBuf>) {
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() { files_below(&path, found) } else { found.push(path) }
    }
}

#[test]
fn a_shop_and_one_build_worked_through() {
    let desk = tempfile::tempdir().unwrap();
    let desk = desk.path();
    let said = out(&run(desk, &["demo", "--once", "look"]));
    assert!(said.starts_with("look/shop.db: "), "{said}");
    assert!(
        said.ends_with("\nNext: lobewright serve look/shop.db opens the shop in a browser.\n"),
        "{said}"
    );

    // The shop is one like any other.
    let audit = out(&run(desk, &["audit", "look/shop.db"]));
    assert!(audit.starts_with("look/shop.db: every record fits\n"), "{audit}");
    let builds = out(&run(desk, &["export", "look/shop.db"]));
    assert_eq!(builds.lines().count(), 29);
    assert_eq!(builds.lines().filter(|line| line.contains("  open  ")).count(), 15, "{builds}");

    // What is said to be there is there, and nothing else but the pictures.
    let boat = desk.join("look/merganser-boat-7");
    let named: Vec<&str> = said
        .lines()
        .filter_map(|line| line.strip_prefix("  "))
        .filter(|line| !line.starts_with("pictures: "))
        .collect();
    for file in &named {
        assert!(boat.join(file).is_file(), "{file}");
    }
    for file in [
        "build.toml",
        "readings.csv",
        "plan.txt",
        "plan.json",
        "speed.txt",
        "speed.json",
        "balance.txt",
        "balance.json",
        "sign-offs.txt",
        "findings.csv",
    ] {
        assert!(named.contains(&file), "{file}");
    }
    let mut found = Vec::new();
    files_below(&boat, &mut found);
    let pictures: Vec<_> =
        found.iter().filter(|path| path.parent() == Some(&boat.join("pictures"))).collect();
    assert_eq!(found.len(), named.len() + pictures.len());
    for picture in &pictures {
        let text = fs::read_to_string(picture).unwrap();
        match picture.extension().unwrap().to_str().unwrap() {
            "svg" => {
                roxmltree::Document::parse(&text).unwrap();
                assert!(picture.with_extension("csv").is_file(), "{}", picture.display());
            }
            "csv" => assert!(text.lines().count() > 1, "{}", picture.display()),
            other => panic!("{other}"),
        }
    }
    let drawn = pictures.iter().filter(|path| path.extension().unwrap() == "svg").count();
    assert!(said.contains(&format!("  pictures: {drawn}, each with its data as CSV\n")), "{said}");
    for name in ["1-R-114-side-gap", "speed-gap", "balance-front-vectors"] {
        assert!(boat.join(format!("pictures/{name}.svg")).is_file(), "{name}");
    }

    // The texts are those of the commands on that build file.
    let text = |name: &str| fs::read_to_string(boat.join(name)).unwrap();
    let file = "look/merganser-boat-7/build.toml";
    assert_eq!(text("plan.txt"), out(&run(desk, &["plan", file])));
    assert_eq!(text("plan.json"), out(&run(desk, &["plan", file, "--json"])));
    assert_eq!(text("balance.txt"), out(&run(desk, &["balance", file])));
    let words = ["speed", file, "--draws", "128", "--speeds", "8"];
    assert_eq!(text("speed.txt"), out(&run(desk, &words)));
    for name in ["plan.json", "speed.json", "balance.json"] {
        assert!(serde_json::from_str::<Value>(&text(name)).unwrap().is_object(), "{name}");
    }

    // Another build, with what is attached to it and what was found at its teardown.
    out(&run(desk, &["export", "look/shop.db", "1", "torn-down"]));
    let torn_down = desk.join("torn-down");
    let findings = fs::read_to_string(torn_down.join("findings.csv")).unwrap();
    assert!(findings.lines().count() > 3 && findings.contains(",seen,"), "{findings}");
    let signed = fs::read_to_string(torn_down.join("sign-offs.txt")).unwrap();
    assert_eq!(signed.matches("signed by ").count(), 2, "{signed}");
    for photo in ["photo.png", "photo-2.png"] {
        let bytes = fs::read(torn_down.join("attachments").join(photo)).unwrap();
        assert!(bytes.starts_with(b"\x89PNG"), "{photo}");
    }
    assert!(torn_down.join("works/plan-1.json").is_file());

    // A folder that has something in it is left as it is.
    let before = fs::read(desk.join("look/shop.db")).unwrap();
    assert_eq!(
        err(&run(desk, &["demo", "--once", "look"])),
        "lobewright: look: is there already and is not overwritten; choose another name\n"
    );
    assert!(fs::read(desk.join("look/shop.db")).unwrap() == before);
}

#[test]
fn a_call_that_is_wrong_makes_nothing() {
    let desk = tempfile::tempdir().unwrap();
    let desk = desk.path();
    fs::write(desk.join("mine"), "mine").unwrap();
    let said = err(&run(desk, &["demo", "--once", "mine"]));
    assert!(said.starts_with("lobewright: mine: "), "{said}");
    assert_eq!(fs::read_to_string(desk.join("mine")).unwrap(), "mine");
    let said = err(&run(desk, &["demo", "shop.db", "--once", "look"]));
    assert!(said.contains("cannot be used with"), "{said}");
    assert_eq!(fs::read_dir(desk).unwrap().count(), 1);
}
