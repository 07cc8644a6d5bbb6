//! Golden copies under `tests/golden/`. Rewrite them, then look at what changed, with
//! `DRAWINGS_REWRITE_GOLDEN=1 cargo test -p drawings --test pictures`.

use crate::inspected;
use crate::sample;
use std::fmt::Write as _;
use std::path::{Path, PathBuf};

fn path(name: &str, kind: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/golden").join(format!("{name}.{kind}"))
}

/// Where the picture of an inspected item stands: it has no data.
fn inspected_path(name: &str) -> PathBuf {
    path(&format!("inspected-{name}"), "svg")
}

/// Old lines and new lines between the first and the last that differ.
fn difference(old: &str, new: &str) -> Option<String> {
    if old == new {
        return None;
    }
    let (old, new): (Vec<_>, Vec<_>) = (old.lines().collect(), new.lines().collect());
    let same_start = old.iter().zip(&new).take_while(|(a, b)| a == b).count();
    let same_end = old[same_start..]
        .iter()
        .rev()
        .zip(new[same_start..].iter().rev())
        .take_while(|(a, b)| a == b)
        .count();
    let mut text = format!("from line {}:\n", same_start + 1);
    for (sign, lines) in [('-', &old), ('+', &new)] {
        for line in &lines[same_start..lines.len() - same_end] {
            let _ = writeln!(text, "{sign} {line}");
        }
    }
    Some(text)
}

#[test]
fn pictures_and_their_data_are_as_they_were() {
    let rewrite = std::env::var_os("DRAWINGS_REWRITE_GOLDEN").is_some();
    let mut failures = String::new();
    let with_data = sample::every().iter().flat_map(|picture| {
        [("svg", &picture.svg), ("csv", &picture.csv)]
            .map(|(kind, text)| (path(picture.name, kind), text.clone()))
    });
    let inspected = inspected::golden().into_iter().map(|(name, svg)| (inspected_path(name), svg));
    for (path, new) in with_data.chain(inspected) {
        if rewrite {
            std::fs::write(&path, new).unwrap();
            continue;
        }
        let old = std::fs::read_to_string(&path).unwrap_or_default();
        if let Some(difference) = difference(&old, &new) {
            let _ = writeln!(failures, "{} differs {difference}", path.display());
        }
    }
    assert!(failures.is_empty(), "{failures}");
}

#[test]
fn every_golden_copy_belongs_to_a_picture() {
    let mut known: Vec<PathBuf> = sample::every()
        .iter()
        .flat_map(|picture| ["svg", "csv"].map(|kind| path(picture.name, kind)))
        .collect();
    known.extend(inspected::golden().iter().map(|(name, _)| inspected_path(name)));
    for entry in std::fs::read_dir(path("any", "svg").parent().unwrap()).unwrap() {
        let file = entry.unwrap().path();
        assert!(known.contains(&file), "{} is left over", file.display());
    }
}

#[test]
fn a_difference_shows_both_sides() {
    assert_eq!(difference("a\nb\nc\n", "a\nx\nc\n").unwrap(), "from line 2:\n- b\n+ x\n");
    assert_eq!(difference("a\n", "a\n"), None);
}
