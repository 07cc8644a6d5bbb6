//! A build file to the balance of the build.

use super::super::inputs::{BalanceError, SpeedCall};
use super::super::plan::PlanReport;
use super::super::planned_file::{FileError, PlannedFile, planned_file};
use super::{BalanceReport, balance};
use crate::build_file::Build;
use kernel::units::System;
use std::path::Path;
use thiserror::Error;

/// Why a file has no balance.
#[derive(Debug, Error)]
pub enum BalanceFileError {
    /// The file.
    #[error(transparent)]
    File(#[from] FileError),
    /// It cannot be balanced.
    #[error(transparent)]
    Balance(#[from] BalanceError),
}

/// A build with its plan and its balance.
#[derive(Debug, Clone)]
pub struct Balanced {
    /// The build.
    pub build: Build,
    /// Its plan.
    pub plan: PlanReport,
    /// Its balance.
    pub report: BalanceReport,
}

/// Reads, plans and balances one file.
///
/// # Errors
/// [`BalanceFileError`] saying what is wrong with which file.
pub fn balance_file(path: &Path, first: System) -> Result<Balanced, BalanceFileError> {
    let PlannedFile { build, trace, plan, .. } = planned_file(path, first)?;
    let call = SpeedCall { trace, ..SpeedCall::default() };
    let report = balance(&build, &plan, &call, first)?;
    Ok(Balanced { build, plan, report })
}
