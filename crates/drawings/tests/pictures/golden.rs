//! Golden copies under `tests/golden/`. Rewrite them, then look at what changed, with
//! `DRAWINGS_REWRITE_GOLDEN=1 cargo test -p drawings --test pictures`.

use crate::sample;
use std::fmt::Write as _;
use std::path::{Path, PathBuf};

fn path(name: &str, kind: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/golden").join(format!("{name}.{kind}"))
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
    for picture in sample::every() {
        for (kind, new) in [("svg", &picture.svg), ("csv", &picture.csv)] {
            let path = path(picture.name, kind);
            if rewrite {
                std::fs::write(&path, new).unwrap();
                continue;
            }
            let old = std::fs::read_to_string(&path).unwrap_or_default();
            if let Some(difference) = difference(&old, new) {
                let _ = writeln!(failures, "{} differs {difference}", path.display());
            }
        }
    }
    assert!(failures.is_empty(), "{failures}");
}

#[test]
fn every_golden_copy_belongs_to_a_picture() {
    let pictures = sample::every();
    for entry in std::fs::read_dir(path("any", "svg").parent().unwrap()).unwrap() {
        let file = entry.unwrap().path();
        let stem = file.file_stem().unwrap().to_str().unwrap();
        assert!(pictures.iter().any(|p| p.name == stem), "{} is left over", file.display());
    }
}

#[test]
fn a_difference_shows_both_sides() {
    assert_eq!(difference("a\nb\nc\n", "a\nx\nc\n").unwrap(), "from line 2:\n- b\n+ x\n");
    assert_eq!(difference("a\n", "a\n"), None);
}
