//! Many builds planned in one call, in parallel; results in the order of the files.

use super::inputs::InputError;
use super::plan::{PlanReport, plan};
use crate::build_file::{Problems, read};
use kernel::units::System;
use rayon::iter::{IntoParallelRefIterator, ParallelIterator};
use std::fs;
use std::io;
use std::path::{Path, PathBuf};

/// What became of one file.
#[derive(Debug)]
pub enum Outcome {
    /// It was planned, with or without a plan for its set.
    Planned(Box<PlanReport>),
    /// The file could not be opened or is no text.
    Unread(io::Error),
    /// The file has problems.
    Problems(Problems),
    /// The build makes no engine.
    Inputs(InputError),
    /// It was asked for at speed, and cannot be computed there: why.
    AtSpeed(String),
}

/// The build files of a folder, by name.
///
/// # Errors
/// When the folder cannot be read.
pub fn build_files(folder: &Path) -> io::Result<Vec<PathBuf>> {
    let mut files: Vec<PathBuf> = fs::read_dir(folder)?
        .map(|entry| entry.map(|e| e.path()))
        .collect::<io::Result<Vec<_>>>()?
        .into_iter()
        .filter(|path| path.is_file() && path.extension().is_some_and(|e| e == "toml"))
        .collect();
    files.sort();
    Ok(files)
}

/// Reads and plans one file.
pub fn plan_file(path: &Path, first: System) -> Outcome {
    let text = match fs::read_to_string(path) {
        Ok(text) => text,
        Err(error) => return Outcome::Unread(error),
    };
    match read(&text) {
        Err(problems) => Outcome::Problems(problems.in_file(&path.display().to_string())),
        Ok(build) => match plan(&build, first) {
            Ok(report) => Outcome::Planned(Box::new(report)),
            Err(error) => Outcome::Inputs(error),
        },
    }
}

/// Reads and plans many files. `done` is called once for each, from any thread.
pub fn plan_all(files: &[PathBuf], first: System, done: impl Fn() + Sync) -> Vec<Outcome> {
    files
        .par_iter()
        .map(|path| {
            let outcome = plan_file(path, first);
            done();
            outcome
        })
        .collect()
}
