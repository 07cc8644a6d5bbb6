//! `plan`: one build in full, or many in a list.

use super::output::{Part, complain, complain_of, in_words, print, write_pictures};
use super::{DONE, NO_PLAN, WRONG, batch_text, speed};
use crate::ops::{
    FileError, Outcome, PlanReport, SpeedAsked, SpeedCall, SpeedFileError, build_files, pictures,
    plan_all, plan_file,
};
use crate::text;
use crate::wire::{PlanJson, Tilts};
use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};
use kernel::units::System;
use serde_json::json;
use std::io;
use std::path::{Path, PathBuf};

/// What the call asked for.
pub(super) struct Call {
    pub(super) paths: Vec<PathBuf>,
    pub(super) json: bool,
    pub(super) svg: Option<PathBuf>,
    /// With what speed and boost ask for.
    pub(super) speed: bool,
    pub(super) first: System,
}

pub(super) fn run(call: &Call) -> u8 {
    match call.paths.as_slice() {
        [file] if !file.is_dir() => one(file, call),
        paths => match files(paths) {
            Ok(files) => many(&files, call),
            Err(code) => code,
        },
    }
}

fn one(file: &Path, call: &Call) -> u8 {
    let outcome = if call.speed { at_speed(file, call.first) } else { plan_file(file, call.first) };
    if call.json && code(&outcome) == WRONG {
        print(&format!("{:#}\n", as_json(file, &outcome)));
    }
    let report = match outcome {
        Outcome::Planned(report) => report,
        Outcome::Problems(problems) => {
            complain_of(&problems);
            return WRONG;
        }
        Outcome::Unread(error) => {
            complain(format_args!("{}: {}", file.display(), in_words(&error)));
            return WRONG;
        }
        Outcome::Inputs(error) => {
            complain(format_args!("{}: {error}", file.display()));
            return WRONG;
        }
        Outcome::AtSpeed(error) => {
            complain(format_args!("{}: {error}", file.display()));
            return WRONG;
        }
    };
    let mut drawn = None;
    if let Some(folder) = &call.svg {
        match draw(&report, folder, call.first) {
            Ok(count) => drawn = Some((count, folder)),
            Err(error) => {
                complain(format_args!("{}: {error}", folder.display()));
                return WRONG;
            }
        }
    }
    if call.json {
        match PlanJson::of(&report, Tilts::Tabled).map(|plan| json!(plan)) {
            Ok(plan) => print(&format!("{plan:#}\n")),
            Err(error) => {
                complain(error);
                return WRONG;
            }
        }
    } else {
        let mut text = text::plan::text(&report, call.first);
        if let Some((count, folder)) = drawn {
            text.push_str(&format!("\n{count} pictures with their data in {}\n", folder.display()));
        }
        print(&text);
    }
    if report.feasible { DONE } else { NO_PLAN }
}

/// The plan with what speed and boost ask for.
fn at_speed(file: &Path, first: System) -> Outcome {
    let asked = SpeedAsked {
        call: SpeedCall::default(),
        draws: speed::USUAL_DRAWS,
        seed: speed::USUAL_SEED,
        speeds: 0,
    };
    match speed::watched(file, &asked, first) {
        Ok((plan, _)) => Outcome::Planned(Box::new(plan)),
        Err(SpeedFileError::File(FileError::Unread(error))) => Outcome::Unread(error),
        Err(SpeedFileError::File(FileError::Problems(problems))) => Outcome::Problems(problems),
        Err(SpeedFileError::File(FileError::Inputs(error))) => Outcome::Inputs(error),
        Err(error) => Outcome::AtSpeed(error.to_string()),
    }
}

fn draw(report: &PlanReport, folder: &Path, first: System) -> io::Result<usize> {
    let pictures = pictures(report, first);
    write_pictures(folder, &pictures, &[Part::Drawing, Part::Table])?;
    Ok(pictures.len())
}

fn files(paths: &[PathBuf]) -> Result<Vec<PathBuf>, u8> {
    let mut files = Vec::new();
    for path in paths {
        if path.is_dir() {
            match build_files(path) {
                Ok(found) => files.extend(found),
                Err(error) => {
                    complain(format_args!("{}: {error}", path.display()));
                    return Err(WRONG);
                }
            }
        } else {
            files.push(path.clone());
        }
    }
    if files.is_empty() {
        complain("no build file there; they end in .toml");
        return Err(WRONG);
    }
    Ok(files)
}

fn many(files: &[PathBuf], call: &Call) -> u8 {
    if call.svg.is_some() {
        complain("--svg draws one build; name its file alone");
        return WRONG;
    }
    if call.speed {
        complain("--speed is for one build; name its file alone");
        return WRONG;
    }
    let bar = ProgressBar::with_draw_target(Some(files.len() as u64), ProgressDrawTarget::stderr());
    if let Ok(style) = ProgressStyle::with_template("{bar:40} {pos} of {len} builds, {eta} left") {
        bar.set_style(style);
    }
    let outcomes = plan_all(files, call.first, || bar.inc(1));
    bar.finish_and_clear();
    let worst = outcomes.iter().map(code).max().unwrap_or(DONE);
    if call.json {
        let list: Vec<_> = files.iter().zip(&outcomes).map(|(f, o)| as_json(f, o)).collect();
        print(&format!("{:#}\n", json!(list)));
    } else {
        print(&batch_text::text(files, &outcomes));
    }
    worst
}

fn code(outcome: &Outcome) -> u8 {
    match outcome {
        Outcome::Planned(report) if report.feasible => DONE,
        Outcome::Planned(_) => NO_PLAN,
        Outcome::Unread(_) | Outcome::Problems(_) | Outcome::Inputs(_) | Outcome::AtSpeed(_) => {
            WRONG
        }
    }
}

fn as_json(file: &Path, outcome: &Outcome) -> serde_json::Value {
    let file = file.display().to_string();
    match outcome {
        Outcome::Planned(report) => match PlanJson::of(report, Tilts::Left) {
            Ok(plan) => json!({ "file": file, "plan": plan }),
            Err(error) => json!({ "file": file, "error": error.to_string() }),
        },
        Outcome::Unread(error) => json!({ "file": file, "error": in_words(error) }),
        Outcome::Inputs(error) => json!({ "file": file, "error": error.to_string() }),
        Outcome::AtSpeed(error) => json!({ "file": file, "error": error }),
        Outcome::Problems(problems) => {
            let list: Vec<String> =
                problems.list().iter().map(|p| format!("{}:{}: {p}", p.line, p.column)).collect();
            json!({ "file": file, "problems": list })
        }
    }
}
