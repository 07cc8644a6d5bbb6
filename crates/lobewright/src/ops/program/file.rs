//! A build file to the programs of the build.

use super::super::plan::PlanReport;
use super::super::planned_file::{FileError, PlannedFile, planned_file};
use super::{NoMachine, ProgramAsked, Programs, ProgramsError, choose, programs};
use kernel::units::System;
use records::Sha;
use std::path::Path;
use thiserror::Error;

/// Why a file has no programs.
#[derive(Debug, Error)]
#[non_exhaustive]
pub enum ProgramFileError {
    /// The file.
    #[error(transparent)]
    File(#[from] FileError),
    /// No machine tool is chosen.
    #[error(transparent)]
    Machine(#[from] NoMachine),
    /// The set has no plan.
    #[error("the set has no plan: nothing is cut before it has one")]
    NoPlan(Box<PlanReport>),
    /// No program can be given out.
    #[error(transparent)]
    Programs(#[from] ProgramsError),
}

/// The programs of a build file.
#[derive(Debug, Clone)]
pub struct Programmed {
    /// The plan that they follow from.
    pub plan: PlanReport,
    /// The programs.
    pub programs: Programs,
}

/// Reads and plans a file and makes its programs, for the machine tool of this name. Their hash is
/// that of the file's text.
///
/// # Errors
/// [`ProgramFileError`] saying what is wrong with which file, or why no program is given out.
pub fn program_file(
    path: &Path,
    machine: Option<&str>,
    asked: &ProgramAsked<'_>,
    first: System,
) -> Result<Programmed, ProgramFileError> {
    let PlannedFile { text, build, plan, .. } = planned_file(path, first)?;
    let chosen = choose(&build, machine)?;
    match programs(&plan, chosen, asked, Sha::of(text.as_bytes())) {
        Ok(programs) => Ok(Programmed { plan, programs }),
        Err(ProgramsError::NoPlan) => Err(ProgramFileError::NoPlan(Box::new(plan))),
        Err(error) => Err(error.into()),
    }
}
