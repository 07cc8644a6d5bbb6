//! Many builds, one line each, and what stopped those that have no plan.

use super::check::counted;
use crate::ops::{Outcome, PlanReport};
use kernel::plan::Method;
use std::path::{Path, PathBuf};

/// Width that every line fits.
const COLUMNS: usize = 80;

pub(super) fn text(files: &[PathBuf], outcomes: &[Outcome]) -> String {
    let mut lines: Vec<String> =
        files.iter().zip(outcomes).map(|(file, outcome)| line(file, outcome)).collect();
    let count = |wanted: fn(&Outcome) -> bool| outcomes.iter().filter(|o| wanted(o)).count();
    let planned = count(|o| matches!(o, Outcome::Planned(report) if report.feasible));
    let stopped = count(|o| matches!(o, Outcome::Planned(report) if !report.feasible));
    lines.push(format!(
        "\n{}: {planned} planned, {stopped} without a plan, {} not read",
        counted(outcomes.len(), "build"),
        outcomes.len() - planned - stopped
    ));
    lines.join("\n") + "\n"
}

fn line(file: &Path, outcome: &Outcome) -> String {
    let name = file.file_name().map_or_else(String::new, |n| n.to_string_lossy().into_owned());
    let said = match outcome {
        Outcome::Planned(report) => planned(report),
        Outcome::Unread(error) => format!("not read: {error}"),
        Outcome::Inputs(error) => format!("not read: {error}"),
        Outcome::Problems(problems) => {
            let count = problems.list().len() + problems.more();
            let first = problems.list().first();
            let first = first.map_or(String::new(), |p| format!(", first at line {}", p.line));
            format!("not read: {}{first}", counted(count, "problem"))
        }
    };
    clipped(&format!("{name:<28} {said}"))
}

fn planned(report: &PlanReport) -> String {
    if report.feasible {
        let method = match report.method {
            Method::Aimed => "planned to the aims",
            Method::Searched => "planned within tolerances",
        };
        let removed: f64 = report.rotors.iter().map(|r| r.removed.to_g()).sum();
        return format!("{method}, {removed:.1} g off {}", counted(report.rotors.len(), "rotor"));
    }
    let stops: Vec<String> = report
        .limiting
        .iter()
        .map(|l| format!("{} {}", l.serial.as_deref().unwrap_or("set"), l.limit))
        .collect();
    format!("no plan: {}", stops.join("; "))
}

/// A line that would be too long ends in an ellipsis.
fn clipped(line: &str) -> String {
    if line.chars().count() <= COLUMNS {
        return line.to_owned();
    }
    line.chars().take(COLUMNS - 1).collect::<String>() + "\u{2026}"
}
