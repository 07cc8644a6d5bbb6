//! A build file to the build at speed.

use super::super::inputs::AtSpeedError;
use super::super::plan::PlanReport;
use super::super::planned_file::{FileError, PlannedFile, planned_file};
use super::{SpeedAsked, SpeedReport, Watch, plan_at_speed};
use kernel::units::System;
use std::path::Path;
use thiserror::Error;

/// Why a file has no answer at speed.
#[derive(Debug, Error)]
pub enum SpeedFileError {
    /// The file.
    #[error(transparent)]
    File(#[from] FileError),
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
    let PlannedFile { build, trace, mut plan, .. } = planned_file(path, first)?;
    let mut asked = asked.clone();
    asked.call.trace = trace;
    let report = plan_at_speed(&build, &mut plan, &asked, first, watch)?;
    Ok((plan, report))
}
