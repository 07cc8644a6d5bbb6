//! The papers of every example, compared line by line with those that were looked at. Rewrite
//! them, then look at what changed, with
//! `PAPERS_REWRITE_GOLDEN=1 cargo test -p lobewright --test papers`.

#![expect(clippy::unwrap_used, clippy::panic, reason = "in a test a panic is the report")]

use kernel::units::System;
use lobewright::papers::{NamedPaper, SheetsError, file_book, file_sheets};
use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

/// The day that the papers in `tests/golden` have.
const DAY: &str = "2026-11-28";

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..").canonicalize().unwrap()
}

/// Every example with its name.
fn examples() -> Vec<(String, PathBuf)> {
    let mut all: Vec<(String, PathBuf)> = fs::read_dir(root().join("examples"))
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|ending| ending == "toml"))
        .map(|path| (path.file_stem().unwrap().to_str().unwrap().to_owned(), path))
        .collect();
    all.sort();
    assert!(all.len() >= 7, "examples are missing");
    all
}

/// The examples whose sets have no plan: a rotor that must be rejected, a worn
/// side housing, and two that are misread.
const WITHOUT_PLAN: [&str; 4] = ["cormorant-three", "dipper-pump", "petrel-worn", "teal-pump"];

/// The sheets of an example; none where its set has no plan.
fn sheets(path: &Path, system: System) -> Vec<NamedPaper> {
    let name = path.file_stem().unwrap().to_str().unwrap();
    match file_sheets(path, DAY, system) {
        Ok(sheets) => {
            assert!(!WITHOUT_PLAN.contains(&name), "{name} has a plan now");
            sheets
        }
        Err(SheetsError::NoPlan(_)) if WITHOUT_PLAN.contains(&name) => Vec::new(),
        Err(error) => panic!("{name}: {error}"),
    }
}

/// The papers of an example: its sheets and its book.
fn papers(path: &Path, system: System) -> Vec<NamedPaper> {
    let mut papers = sheets(path, system);
    papers.push(file_book(path, DAY, system).unwrap());
    papers
}

#[test]
fn they_are_as_they_were_looked_at() {
    let folder = root().join("tests/golden");
    let rewrite = std::env::var_os("PAPERS_REWRITE_GOLDEN").is_some();
    fs::create_dir_all(&folder).unwrap();
    let mut known = BTreeSet::new();
    for (example, path) in examples() {
        for NamedPaper { name, paper } in papers(&path, System::Metric) {
            let file = folder.join(format!("{example}-{name}.txt"));
            known.insert(file.clone());
            let now = paper.text();
            if rewrite {
                fs::write(&file, &now).unwrap();
                continue;
            }
            let was = fs::read_to_string(&file).unwrap_or_default();
            let differs = was.lines().zip(now.lines()).find(|(was, now)| was != now);
            assert!(
                was == now,
                "{}: {differs:?}; {} lines before, {} now",
                file.display(),
                was.lines().count(),
                now.lines().count()
            );
        }
    }
    for entry in fs::read_dir(&folder).unwrap() {
        let file = entry.unwrap().path();
        if !known.contains(&file) {
            assert!(rewrite, "{}: no paper is called so any more", file.display());
            fs::remove_file(file).unwrap();
        }
    }
}

#[test]
fn every_one_is_set_and_in_inches_too() {
    let mut set = 0;
    for (example, path) in examples() {
        let systems: &[System] = match example.as_str() {
            "sprint-boat" => &[System::Metric, System::Inch],
            _ => &[System::Metric],
        };
        for system in systems {
            for NamedPaper { name, paper } in papers(&path, *system) {
                let pdf = paper.pdf().unwrap_or_else(|error| panic!("{example} {name}: {error}"));
                assert!(pdf.starts_with(b"%PDF-1.7"), "{example} {name}");
                set += 1;
            }
        }
    }
    assert!(set >= 26, "{set}");
}

#[test]
fn no_sheet_is_made_of_a_set_without_a_plan() {
    let path = root().join("examples/cormorant-three.toml");
    let Err(SheetsError::NoPlan(why)) = file_sheets(&path, DAY, System::Metric) else {
        panic!("a sheet was made");
    };
    assert!(why.contains("no plan for the whole set"), "{why}");
}

/// The figures a machinist works to, against the plan asked by itself: every depth and every size
/// of the finished rotor stands on its sheet.
#[test]
fn every_figure_of_the_plan_stands_on_its_sheet() {
    use lobewright::{build_file, ops};
    let mut compared = 0;
    for (example, path) in examples() {
        let sheets = sheets(&path, System::Metric);
        if sheets.is_empty() {
            // One of those without a plan, by name.
            continue;
        }
        let build = build_file::read(&fs::read_to_string(&path).unwrap()).unwrap();
        let plan = ops::plan(&build, System::Metric).unwrap();
        for rotor in &plan.rotors {
            let sheet = sheets
                .iter()
                .find(|sheet| sheet.paper.title == format!("Cut sheet, rotor {}", rotor.serial))
                .unwrap();
            let text = sheet.paper.text();
            let cut = &rotor.plan.cut;
            if cut.is_nothing() {
                assert!(text.contains("NOTHING IS CUT from this rotor"), "{example}");
                continue;
            }
            for face in [&cut.gear, &cut.plain] {
                for depth in face.land.into_iter().chain(face.tip) {
                    if depth.to_um() > 0.0 {
                        let (um, thou) = (depth.to_um(), depth.to_thou());
                        let words = depth.as_amount(System::Metric).to_string();
                        assert!(text.contains(&words), "{example}: {words}");
                        // The words are the depth, not only the same words twice.
                        let read: f64 = words.split(' ').next().unwrap().parse().unwrap();
                        assert!(
                            (read - um).abs() <= 0.5001,
                            "{words} for {um} \u{b5}m, {thou} thou"
                        );
                        compared += 1;
                    }
                }
            }
            for width in rotor.plan.finished.land_width() {
                assert!(text.contains(&format!("{:.3} mm", width.to_mm())), "{example}: {width:?}");
                compared += 1;
            }
        }
    }
    assert!(compared >= 60, "{compared}");
}
