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
    assert_eq!(builds.lines().count(), 30);
    assert_eq!(builds.lines().filter(|line| line.contains("  open  ")).count(), 16, "{builds}");

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

    it_came_back(desk, &torn_down);

    // A folder that has something in it is left as it is.
    let before = fs::read(desk.join("look/shop.db")).unwrap();
    assert_eq!(
        err(&run(desk, &["demo", "--once", "look"])),
        "lobewright: look: is there already and is not overwritten; choose another name\n"
    );
    assert!(fs::read(desk.join("look/shop.db")).unwrap() == before);
}

/// What its teardown told is a file, goes back in as one, and stands beside its prediction; a part of
/// it has a life.
fn it_came_back(desk: &Path, torn_down: &Path) {
    let file = "torn-down/teardown-1.toml";
    let told = fs::read_to_string(desk.join(file)).unwrap();
    assert!(told.contains("running = \"11.5 h\"\nspeed = \"9700 rpm\"\n"), "{told}");
    let marks = fs::read_to_string(torn_down.join("marks.csv")).unwrap();
    assert_eq!(marks.lines().count(), 1 + 12, "{marks}");
    let shown = ["teardown", "look/shop.db", "--build", "1"];
    let before = out(&run(desk, &shown));
    assert!(before.starts_with("Came back: Merganser, boat 3\n"), "{before}");
    assert!(
        before.contains(
            "Revision 1: ran 11.5 h, up to 9700 rpm and 0.9 bar\n  12 tips agree; 0 touched"
        ),
        "{before}"
    );
    assert_eq!(before.matches("light").count(), 2, "{before}");
    assert!(before.lines().all(|line| line.chars().count() <= 80), "{before}");
    let json: Value =
        serde_json::from_str(&out(&run(desk, &[&shown[..], &["--json"]].concat()))).unwrap();
    assert_eq!(json["teardowns"][0]["tips"].as_array().unwrap().len(), 12);
    // A slip is asked back, a wrong word is told where it stands, and nothing is kept of either.
    let tell = |text: &str, more: &[&str]| {
        fs::write(desk.join("told.toml"), text).unwrap();
        let words = [&shown[..], &["told.toml", "--by", "Ines Aldow"], more].concat();
        run(desk, &words)
    };
    let doubted = told.replace("9700 rpm", "970 rpm");
    assert_eq!(
        err(&tell(&doubted, &[])),
        "lobewright: told.toml: nothing is kept; look again, or say --sure\n  a highest speed of 970 \
         rpm is far from the duty's 9800 rpm\n"
    );
    let wrong = err(&tell(&told.replace("\"light\"", "\"slight\""), &[]));
    assert!(wrong.starts_with("error: told.toml:") || wrong.contains("told.toml:"), "{wrong}");
    assert!(wrong.contains("expected one of \"none\", \"light\", \"heavy\""), "{wrong}");
    assert_eq!(out(&run(desk, &shown)), before);
    // Told again, it goes over the first, which stays.
    let again = out(&tell(&told.replace("11.5 h", "12 h"), &[]));
    assert!(again.starts_with("told.toml: teardown 5 of build 1\nCame back: "), "{again}");
    assert!(again.contains("ran 12 h, up to 9700 rpm"), "{again}");
    let nobody = run(desk, &[&shown[..], &["told.toml", "--by", "Nobody"]].concat());
    assert_eq!(err(&nobody), "lobewright: --by: nobody in this shop is called \"Nobody\"\n");
    // The part that ran twice.
    let life = out(&run(desk, &["life", "look/shop.db", "R-101"]));
    assert!(life.starts_with("Rotor R-101 over its rebuilds\n"), "{life}");
    assert!(life.contains("\nLand width, mean of 3\n") && life.contains("(9 in 10; 2 runs)"));
    assert!(life.lines().all(|line| line.chars().count() <= 80), "{life}");
    let json: Value =
        serde_json::from_str(&out(&run(desk, &["life", "look/shop.db", "R-101", "--json"])))
            .unwrap();
    assert_eq!(json["stations"][0]["runs"].as_array().unwrap().len(), 2);
    let none = err(&run(desk, &["life", "look/shop.db", "R-0"]));
    assert_eq!(none, "lobewright: the shop has no part \"R-0\"\n");
    out(&run(desk, &["audit", "look/shop.db"]));
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
