//! What comes out of a damaged shop's file: of the demonstration's, by the command.

#![expect(clippy::unwrap_used, reason = "in tests a panic is the report")]

use lobewright::ops::{self, Came};
use records::{BuildSearch, Day, Moment, Shop};
use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};
use tempfile::TempDir;

const PAGE: usize = 4096;

fn now() -> Moment {
    Moment::new("2026-11-28T09:30:00Z").unwrap()
}

fn lobewright(folder: &Path, words: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_lobewright")).args(words).current_dir(folder).output().unwrap()
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).unwrap()
}

/// The demonstration in one file, and the build file of each of its builds.
fn demonstration() -> (TempDir, PathBuf, BTreeMap<i64, String>) {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("shop.db");
    ops::demo_shop(&folder.path().join("made.db"), &Day::new("2026-11-28").unwrap()).unwrap();
    let shop = Shop::open(&folder.path().join("made.db"), &now()).unwrap();
    shop.backup(&file).unwrap();
    let all = BuildSearch { text: "", open: None, from: 0, most: 1000 };
    let builds = shop.builds(&all).unwrap();
    let builds = builds
        .iter()
        .map(|listed| (listed.build.id.0, ops::export(&shop, listed.build.id).unwrap()))
        .collect();
    (folder, file, builds)
}

/// The build files that came out, by the number of their build, without what is said before them.
fn build_files(folder: &Path) -> BTreeMap<i64, String> {
    let mut files = BTreeMap::new();
    for entry in fs::read_dir(folder.join("builds")).into_iter().flatten() {
        let path = entry.unwrap().path();
        let name = path.file_name().unwrap().to_str().unwrap();
        let number = name.split('-').next().unwrap().parse().unwrap();
        if let Ok(file) = fs::read_to_string(path.join("build.toml")) {
            let said =
                |line: &&str| line.starts_with("# missing: ") || line.starts_with("# not counted");
            let file = file.lines().filter(|l| !said(l)).map(|l| format!("{l}\n")).collect();
            files.insert(number, file);
        }
    }
    files
}

fn without_words(file: &str) -> String {
    file.lines().filter(|l| !l.starts_with("# not counted")).map(|l| format!("{l}\n")).collect()
}

#[test]
fn the_demonstration_comes_out_complete_and_goes_in_again() {
    let (folder, file, builds) = demonstration();
    let before = fs::read(&file).unwrap();
    let run = lobewright(folder.path(), &["salvage", "shop.db", "out"]);
    let said = text(&run.stdout);
    assert_eq!((run.status.code(), text(&run.stderr)), (Some(0), String::new()), "{said}");
    assert!(said.contains("all rows came out") && said.contains("Nothing is lost"), "{said}");
    assert!(said.lines().all(|line| line.chars().count() <= 80), "{said}");
    assert!(fs::read(&file).unwrap() == before, "the file was touched");
    let out = folder.path().join("out");
    assert!(said.ends_with(&fs::read_to_string(out.join("report.txt")).unwrap()));
    let came = build_files(&out);
    for (build, text) in &builds {
        assert_eq!(came[build], without_words(text), "build {build}");
    }
    // No more than this lies there.
    let mut names: Vec<_> = fs::read_dir(&out)
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    names.sort();
    assert_eq!(names, ["attachments", "builds", "report.txt", "shop.db", "tables"]);
    // The file made anew is the shop.
    let (new, old) =
        (Shop::open(&out.join("shop.db"), &now()).unwrap(), Shop::open(&file, &now()).unwrap());
    new.check().unwrap();
    assert_eq!(new.audit().unwrap(), old.audit().unwrap());
    // Photos are what they were; sessions and passwords are not there.
    let photos = fs::read_dir(out.join("attachments")).unwrap().count();
    let lines = fs::read_to_string(out.join("tables/attachment.jsonl")).unwrap();
    assert!(photos > 0 && lines.lines().count() == photos, "{photos}");
    for line in lines.lines() {
        let row: serde_json::Value = serde_json::from_str(line).unwrap();
        let bytes = fs::read(out.join(row["bytes"].as_str().unwrap())).unwrap();
        assert_eq!(row["sha256"], records::Sha::of(&bytes).to_hex());
    }
    assert!(!out.join("tables/session.jsonl").exists());
    assert!(!fs::read_to_string(out.join("tables/person.jsonl")).unwrap().contains("password"));
    // Each build goes into another shop as it is.
    let into = Shop::create(&folder.path().join("other.db")).unwrap();
    let mut whole = 0;
    for text in came.values() {
        // Of a build that is half read there is no whole file yet, here as there.
        if lobewright::build_file::read(text).is_ok() {
            // Names are once in a shop, parts in one build at a time.
            let alone = tempfile::tempdir().unwrap();
            let shop = Shop::create(&alone.path().join("shop.db")).unwrap();
            ops::import(&shop, text, None, ("Ada Quill", &now())).unwrap();
            whole += 1;
        }
    }
    assert!(whole > 5, "{whole}");
    drop(into);
    // Nothing is written over.
    let again = lobewright(folder.path(), &["salvage", "shop.db", "out"]);
    assert_eq!(again.status.code(), Some(2));
    assert!(text(&again.stderr).contains("is there already"), "{}", text(&again.stderr));
}

#[test]
fn of_a_damaged_demonstration_the_builds_that_are_whole_are_what_they_were() {
    let (folder, file, builds) = demonstration();
    let bytes = fs::read(&file).unwrap();
    let mut chance = 0x2545_F491_4F6C_DD1D_u64;
    let mut of = |many: usize| {
        chance ^= chance << 13;
        chance ^= chance >> 7;
        chance ^= chance << 17;
        (chance >> 11) as usize % many
    };
    let (mut whole, mut in_part) = (0, 0);
    for round in 0..8 {
        let mut spoiled = bytes.clone();
        match round % 4 {
            0 => (0..3).for_each(|_| {
                let page = of(spoiled.len() / PAGE);
                spoiled[page * PAGE..(page + 1) * PAGE].fill(0);
            }),
            1 => (0..40).for_each(|_| {
                let at = of(spoiled.len());
                spoiled[at] ^= 1 << of(8);
            }),
            2 => spoiled.truncate(spoiled.len() / 4 + of(spoiled.len() / 2)),
            _ => spoiled[..PAGE].fill(0xFF),
        }
        let name = format!("bad-{round}.db");
        let bad = folder.path().join(&name);
        fs::write(&bad, &spoiled).unwrap();
        let out = folder.path().join(format!("out-{round}"));
        fs::create_dir(&out).unwrap();
        let report = ops::salvage(&bad, &out, &now()).unwrap();
        assert!(fs::read(&bad).unwrap() == spoiled, "the damaged file was touched");
        assert!(!out.join("shop.db").exists() && !report.shop);
        let came = build_files(&out);
        for built in &report.builds {
            let build = built.build.0;
            match report.came(built) {
                Came::Whole => {
                    assert_eq!(came[&build], without_words(&builds[&build]), "{round}: {build}");
                    whole += 1;
                }
                Came::InPart => {
                    assert!(!built.missing.is_empty());
                    in_part += 1;
                }
                // Nobody can say; nothing else is there than was.
                Came::PerhapsWhole => {
                    let came = came.get(&build).map_or("", String::as_str);
                    let values = |text: &str| -> BTreeSet<String> {
                        text.split('"').skip(1).step_by(2).map(str::to_owned).collect()
                    };
                    assert!(values(came).is_subset(&values(&builds[&build])), "{round}: {build}");
                }
            }
        }
        // `audit` tells it from a good one, and says which pages.
        let audit = lobewright(folder.path(), &["audit", &name]);
        assert_ne!(audit.status.code(), Some(0), "round {round}");
        if round % 4 != 1 {
            let said = text(&audit.stderr);
            assert!(said.contains("lobewright salvage"), "round {round}: {said}");
        }
    }
    // By the command: told, and with a status of its own.
    let run = lobewright(folder.path(), &["salvage", "bad-0.db", "out"]);
    let said = text(&run.stdout);
    assert_eq!((run.status.code(), text(&run.stderr)), (Some(1), String::new()), "{said}");
    assert!(said.contains("Of ") && said.contains("Something is lost"), "{said}");
    assert!(said.lines().all(|line| line.chars().count() <= 80), "{said}");
    assert!(whole > 20 && in_part > 0, "{whole} {in_part}");
}

#[test]
fn a_file_of_another_kind_is_told_and_leaves_nothing() {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("notes.db"), "notes ".repeat(5000)).unwrap();
    for (name, said) in [
        ("notes.db", "notes.db is no shop's file; say where the shop's file is"),
        (
            "gone.db",
            "there is no file gone.db; make a new shop there, or say where the shop's file is",
        ),
    ] {
        let run = lobewright(folder.path(), &["salvage", name, "out"]);
        assert_eq!(run.status.code(), Some(2));
        assert_eq!(text(&run.stderr), format!("lobewright: {said}\n"));
        assert!(!folder.path().join("out").exists());
    }
}
