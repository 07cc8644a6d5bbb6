//! Many builds, one line each, and what stopped those that have no plan.

use super::check::counted;
use super::output::in_words;
use crate::ops::{Outcome, PlanReport, phrase};
use kernel::plan::Method;
use kernel::readings::Verdict;
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
        Outcome::Unread(error) => format!("not read: {}", in_words(error)),
        Outcome::Inputs(error) => format!("not read: {error}"),
        Outcome::AtSpeed(error) => format!("not computed: {error}"),
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
    if !report.feasible {
        let mut stops: Vec<String> = Vec::new();
        for limiting in &report.limiting {
            let whose = limiting.serial.as_deref().unwrap_or("the set");
            let stop = format!("{whose}: {}", phrase::in_short(limiting.limit));
            if !stops.contains(&stop) {
                stops.push(stop);
            }
        }
        return format!("no plan: {}", stops.join("; "));
    }
    let removed: f64 = report.rotors.iter().map(|r| r.removed().to_g()).sum();
    let measured = report.rotors.iter().all(|r| r.measured.is_some());
    let worst = report.rotors.iter().map(|r| r.verdict).max().unwrap_or(Verdict::Conforms);
    let uncut = report.rotors.iter().all(|r| r.plan.cut.is_nothing());
    match (measured, uncut, report.method) {
        (true, true, _) => format!("measured, {}", worst.words()),
        (true, false, _) => format!("measured, a second cut takes {removed:.1} g"),
        (false, true, _) => "nothing to cut".to_owned(),
        (false, false, Some(Method::Searched)) => {
            format!("planned within tolerances, {removed:.1} g to take off")
        }
        (false, false, _) => format!("planned to the spec's figures, {removed:.1} g to take off"),
    }
}

/// A line that would be too long ends in an ellipsis.
fn clipped(line: &str) -> String {
    if line.chars().count() <= COLUMNS {
        return line.to_owned();
    }
    line.chars().take(COLUMNS - 1).collect::<String>() + "\u{2026}"
}
