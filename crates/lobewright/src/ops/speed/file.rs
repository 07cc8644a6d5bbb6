//! A build file, its plan, and the pressure trace beside it, to the build at speed.

use super::super::inputs::{AtSpeedError, InputError};
use super::super::plan::{PlanReport, plan};
use super::{SpeedAsked, SpeedReport, Watch, plan_at_speed};
use crate::build_file::{Problems, read};
use kernel::units::System;
use std::fs;
use std::io;
use std::path::Path;
use thiserror::Error;

/// Why a file has no answer at speed.
#[derive(Debug, Error)]
pub enum SpeedFileError {
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
    /// It cannot be computed at speed.
    #[error(transparent)]
    AtSpeed(#[from] AtSpeedError),
}

/// Reads, plans and computes one file; the plan comes back with what speed and boost ask for.
///
/// # Errors
/// [`SpeedFileError`] saying what is wrong with which file.
pub fn speed_file(
    path: &Path,
    asked: &SpeedAsked,
    first: System,
    watch: &mut Watch<'_>,
) -> Result<(PlanReport, SpeedReport), SpeedFileError> {
    let text = fs::read_to_string(path).map_err(SpeedFileError::Unread)?;
    let named = |problems: Problems| problems.in_file(&path.display().to_string());
    let build = read(&text).map_err(|problems| SpeedFileError::Problems(named(problems)))?;
    let mut asked = asked.clone();
    if let Some(name) = &build.at_speed.gas.trace {
        let beside = path.parent().unwrap_or(Path::new("")).join(name);
        let trace = fs::read_to_string(beside)
            .map_err(|source| SpeedFileError::Trace { name: name.clone(), source })?;
        asked.call.trace = Some(trace);
    }
    let mut planned = plan(&build, first).map_err(SpeedFileError::Inputs)?;
    let report = plan_at_speed(&build, &mut planned, &asked, first, watch)?;
    Ok((planned, report))
}
