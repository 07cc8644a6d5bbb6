//! What the documents promise: source keys resolve, README's commands and picture are true, every
//! example plans as it says.

#![expect(clippy::unwrap_used, reason = "in a test a panic is the report")]

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..").canonicalize().unwrap()
}

fn lobewright(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_lobewright"))
        .args(arguments)
        .current_dir(root())
        .output()
        .unwrap()
}

fn sources_below(folder: &Path, found: &mut Vec<PathBuf>) {
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            sources_below(&path, found);
        } else if path.extension().is_some_and(|e| e == "rs") {
            found.push(path);
        }
    }
}

/// Keys in square brackets in the comments of a file: capitals and digits, joined by hyphens.
fn cited(text: &str) -> BTreeSet<String> {
    text.lines()
        .filter_map(|line| line.split_once("//").map(|(_, comment)| comment.to_owned()))
        .flat_map(|comment| {
            comment
                .split('[')
                .skip(1)
                .filter_map(|rest| rest.split_once(']').map(|(inside, _)| inside.to_owned()))
                .collect::<Vec<_>>()
        })
        .flat_map(|inside| inside.split(", ").map(str::to_owned).collect::<Vec<_>>())
        .filter(|key| {
            key.len() > 1
                && key.chars().next().is_some_and(|c| c.is_ascii_uppercase())
                && key.chars().all(|c| c.is_ascii_uppercase() || c.is_ascii_digit() || c == '-')
        })
        .collect()
}

#[test]
fn every_source_key_resolves_and_every_source_is_cited() {
    let table = fs::read_to_string(root().join("docs/SOURCES.md")).unwrap();
    let known: BTreeSet<String> = table
        .lines()
        .filter_map(|line| line.strip_prefix("| "))
        .filter_map(|row| row.split(" |").next())
        .filter(|key| key.chars().next().is_some_and(|c| c.is_ascii_uppercase()))
        .map(str::to_owned)
        .collect();
    let mut files = Vec::new();
    sources_below(&root().join("crates"), &mut files);
    let mut used = BTreeSet::new();
    for file in &files {
        used.extend(cited(&fs::read_to_string(file).unwrap()));
    }
    let unknown: Vec<_> = used.difference(&known).collect();
    assert!(unknown.is_empty(), "cited but not in docs/SOURCES.md: {unknown:?}");
    let idle: Vec<_> = known.difference(&used).collect();
    assert!(idle.is_empty(), "in docs/SOURCES.md but cited nowhere: {idle:?}");
}

#[test]
fn the_first_command_of_the_readme_works_and_its_picture_is_what_it_draws() {
    let readme = fs::read_to_string(root().join("README.md")).unwrap();
    let command =
        readme.lines().find_map(|line| line.strip_prefix("    cargo run --release -- ")).unwrap();
    let folder = tempfile::tempdir().unwrap();
    let folder_name = folder.path().to_str().unwrap();
    let arguments: Vec<&str> = command
        .split(' ')
        .map(|word| if word == "pictures" { folder_name } else { word })
        .collect();
    let run = lobewright(&arguments);
    assert_eq!(run.status.code(), Some(0), "{}", String::from_utf8_lossy(&run.stderr));
    let drawn = fs::read_to_string(folder.path().join("1-R-114-side-gap.svg")).unwrap();
    let shown = fs::read_to_string(root().join("docs/side-gap.svg")).unwrap();
    assert!(
        drawn == shown,
        "docs/side-gap.svg is not what the example draws; copy it again from --svg"
    );
}

#[test]
fn each_example_says_what_the_plan_says() {
    for (example, code, said) in [
        ("sprint-boat", 0, "PLANNED to the spec's own clearance and step."),
        ("shelduck-hydroplane", 0, "PLANNED to the spec's own clearance and step."),
        ("heron-aircraft", 0, "NOTHING LEFT TO CUT: measured, and within the spec."),
        ("cormorant-three", 1, "CR-30: side clearance would be 0.309 mm"),
        ("dipper-pump", 1, "The land width at tip 2 reads 499 \u{b5}m (19.7 thou) too large"),
        ("teal-pump", 1, "and they cannot be told apart"),
    ] {
        let file = format!("examples/{example}.toml");
        let run = lobewright(&["plan", &file]);
        let text = String::from_utf8(run.stdout).unwrap();
        assert_eq!(run.status.code(), Some(code), "{example}: {text}");
        let flowing = text.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(flowing.contains(said), "{example}: {text}");
        assert!(text.lines().all(|line| line.chars().count() <= 80), "{example}: {text}");
        assert_eq!(lobewright(&["check", &file]).status.code(), Some(0));
        assert!(
            fs::read_to_string(root().join("README.md")).unwrap().contains(&file),
            "README.md does not list {file}"
        );
    }
}
