//! A build file, the pressure trace beside it, and its plan: where everything that goes beyond a
//! plan starts.

use super::inputs::InputError;
use super::plan::{PlanReport, plan};
use crate::build_file::{Build, Problems, read};
use kernel::units::System;
use std::fs;
use std::io;
use std::path::Path;
use thiserror::Error;

/// Why a file has no plan to start from.
#[derive(Debug, Error)]
pub enum FileError {
    /// The build file could not be opened or is no text.
    #[error(transparent)]
    Unread(io::Error),
    /// The build file has problems.
    #[error("the build file has problems")]
    Problems(Problems),
    /// The build makes no engine.
    #[error(transparent)]
    Inputs(InputError),
    /// The trace that it names could not be opened or is no text.
    #[error("gas.trace: {name}: {source}")]
    Trace {
        /// Its name.
        name: String,
        /// Why.
        source: io::Error,
    },
}

/// A planned build with its text and that of the trace that it names.
pub(crate) struct PlannedFile {
    pub(crate) text: String,
    pub(crate) build: Build,
    pub(crate) trace: Option<String>,
    pub(crate) plan: PlanReport,
}

/// Reads and plans one file.
pub(crate) fn planned_file(path: &Path, first: System) -> Result<PlannedFile, FileError> {
    let text = fs::read_to_string(path).map_err(FileError::Unread)?;
    let named = |problems: Problems| problems.in_file(&path.display().to_string());
    let build = read(&text).map_err(|problems| FileError::Problems(named(problems)))?;
    let beside = |name: &String| {
        fs::read_to_string(path.parent().unwrap_or(Path::new("")).join(name))
            .map_err(|source| FileError::Trace { name: name.clone(), source })
    };
    let trace = build.at_speed.gas.trace.as_ref().map(beside).transpose()?;
    let plan = plan(&build, first).map_err(FileError::Inputs)?;
    Ok(PlannedFile { text, build, trace, plan })
}
