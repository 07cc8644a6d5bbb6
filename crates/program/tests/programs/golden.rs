//! Golden copies under `tests/golden/`. Rewrite them, then look at what changed, with
//! `PROGRAM_REWRITE_GOLDEN=1 cargo test -p program --test programs`. `expected.csv` beside them says
//! what another program [PYGCODE] must find in them (`reference/program`).

use crate::sample::{lathe, mill, step, taper, titles};
use kernel::cutting::{FaceJob, Kind, MachineTool};
use kernel::units::Length;
use program::{Checked, program};
use std::fmt::Write as _;
use std::path::{Path, PathBuf};

fn path(file: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/golden").join(file)
}

fn every() -> Vec<(&'static str, FaceJob, MachineTool, Checked)> {
    [("mill_step", step(), mill()), ("lathe_taper", taper(), lathe())]
        .into_iter()
        .map(|(name, job, machine)| {
            let made = program(&job, &machine, &titles(), Length::mm(0.5)).unwrap();
            (name, job, machine, made)
        })
        .collect()
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

/// What another reader must find, from the plan and the record, not from the text: the lowest Z
/// before and in the finishing pass, feeds and turns, the radii that coordinates reach.
fn expected() -> String {
    let mut csv = String::from("program,quantity,value\n");
    for (name, job, machine, made) in every() {
        let stock_mm = machine.finish.stock.to_mm();
        let floor_mm = job.floor_m() * 1e3;
        let report = made.report();
        let (turning, x_per_radius) = match machine.kind {
            Kind::Mill(_) => (0.0, 1.0),
            Kind::Lathe(_) => (1.0, 2.0),
        };
        let per_min = |m_per_s: f64| (m_per_s * 60e4).floor() / 10.0;
        for (quantity, value) in [
            ("rough_lowest_z", floor_mm + stock_mm),
            ("finish_lowest_z", floor_mm),
            ("rough_feed", per_min(report.paces.rough.feed.to_m_per_s())),
            ("finish_feed", per_min(report.paces.finish.feed.to_m_per_s())),
            ("rough_rpm", report.paces.rough.rpm),
            ("finish_rpm", report.paces.finish.rpm),
            ("land_inner_radius", job.land_inner_m() * 1e3),
            ("shoulder_radius", job.shoulder_m() * 1e3),
            ("farthest_radius", job.outline().farthest_m() * 1e3),
            ("flat_radius", machine.nose().flat_m * 1e3),
            ("outer_radius", machine.nose().outer_m() * 1e3),
            ("clamp_radius", machine.fixture.clamp_radius.to_mm()),
            ("shoulder_width", report.shoulder_width.to_mm()),
            ("turning", turning),
            ("x_per_radius", x_per_radius),
            ("stops", report.stops as f64),
        ] {
            let _ = writeln!(csv, "{name},{quantity},{value:.4}");
        }
    }
    csv
}

#[test]
fn programs_are_as_they_were() {
    let rewrite = std::env::var_os("PROGRAM_REWRITE_GOLDEN").is_some();
    let mut texts: Vec<(String, String)> = every()
        .into_iter()
        .map(|(name, _, _, made)| (format!("{name}.nc"), made.text().to_owned()))
        .collect();
    texts.push(("expected.csv".to_owned(), expected()));
    let mut failures = String::new();
    for (file, new) in &texts {
        let path = path(file);
        if rewrite {
            std::fs::write(&path, new).unwrap();
            continue;
        }
        let old = std::fs::read_to_string(&path).unwrap_or_default();
        if let Some(difference) = difference(&old, new) {
            let _ = writeln!(failures, "{} differs {difference}", path.display());
        }
    }
    assert!(failures.is_empty(), "{failures}");
    for entry in std::fs::read_dir(path("")).unwrap() {
        let name = entry.unwrap().file_name().into_string().unwrap();
        assert!(texts.iter().any(|(file, _)| *file == name), "{name} is left over");
    }
}

#[test]
fn a_difference_shows_both_sides() {
    assert_eq!(difference("a\nb\nc\n", "a\nx\nc\n").unwrap(), "from line 2:\n- b\n+ x\n");
    assert_eq!(difference("a\n", "a\n"), None);
}
