//! All sheets of a build file, or of a build of the shop's file.

use super::{BookOf, NamedPaper, Record, Stamp, assembly_sheet, balance_sheet, book, cut_sheets};
use crate::ops::phrase::hash;
use crate::ops::sheet::{NO_PLAN_YET, Sheet, before_the_cut, sheet};
use crate::ops::{
    BalanceError, FileError, PlannedFile, ShopError, SpeedCall, assembly, balance, condition,
    planned_file,
};
use kernel::units::System;
use records::{BuildId, Day, RecordsError, Sha, Shop};
use std::path::Path;
use thiserror::Error;

/// Why there are no sheets.
#[derive(Debug, Error)]
#[non_exhaustive]
pub enum SheetsError {
    /// The build file.
    #[error(transparent)]
    File(#[from] FileError),
    /// The shop's file.
    #[error(transparent)]
    Records(#[from] RecordsError),
    /// The build in it.
    #[error(transparent)]
    Shop(#[from] ShopError),
    /// It cannot be balanced.
    #[error(transparent)]
    Balance(#[from] BalanceError),
    /// There is nothing to work by.
    #[error("{0}")]
    NoPlan(String),
}

/// The sheets of a build file. They are stamped with the hash of its text.
///
/// # Errors
/// [`SheetsError`] where the file cannot be read or planned, or its set has no plan.
pub fn file_sheets(path: &Path, day: &str, first: System) -> Result<Vec<NamedPaper>, SheetsError> {
    let PlannedFile { text, build, trace, plan } = planned_file(path, first)?;
    let stamp = Stamp::of_file(&text, day, first);
    let mut sheets = cut_sheets(&build, &plan, &stamp);
    if sheets.is_empty() {
        return Err(SheetsError::NoPlan(no_plan(&plan.limiting)));
    }
    let call = SpeedCall { trace, ..SpeedCall::default() };
    let balance = balance(&build, &plan, &call, first)?;
    sheets.push(balance_sheet(&build, &plan, &balance, &stamp));
    sheets.push(assembly_sheet(Some(&build), &assembly(&build, first), &stamp));
    Ok(sheets)
}

fn no_plan(limiting: &[crate::ops::Limiting]) -> String {
    let why: Vec<&str> = limiting.iter().map(|limit| limit.detail.as_str()).collect();
    format!("there is no plan for the whole set, so no sheet is made to cut by: {}", why.join("; "))
}

/// The assembly sheet of a build of the shop's file. It is stamped with the hash of the build's
/// file: what is wanted and what was read are both in it.
#[must_use]
pub fn build_assembly(sheet: &Sheet, day: &str) -> NamedPaper {
    let inputs = Sha::of(sheet.file.text.as_bytes());
    let stamp = Stamp::of_build(&sheet.build, &inputs, day, sheet.first);
    assembly_sheet(sheet.file.build.as_deref().ok(), &sheet.assembly(), &stamp)
}

/// The book of a build file: everything but who signed.
///
/// # Errors
/// [`SheetsError`] where the file cannot be read or planned.
pub fn file_book(path: &Path, day: &str, first: System) -> Result<NamedPaper, SheetsError> {
    let PlannedFile { text, build, trace, plan } = planned_file(path, first)?;
    let stamp = Stamp::of_file(&text, day, first);
    let call = SpeedCall { trace, ..SpeedCall::default() };
    let balance = balance(&build, &plan, &call, first)?;
    let before = before_the_cut(&build, first);
    let (assembled, condition) = (assembly(&build, first), condition(&build, first));
    let of = BookOf {
        build: &build,
        plan: &plan,
        first_plan: before.as_deref(),
        balance: Some(&balance),
        assembly: &assembled,
        condition: &condition,
        record: None,
    };
    Ok(book(&of, &stamp))
}

/// The book of a build of the shop's file, as it is now.
///
/// # Errors
/// As [`build_sheets`].
pub fn build_book(
    shop: &Shop,
    id: BuildId,
    day: &Day,
    first: System,
) -> Result<NamedPaper, SheetsError> {
    book_of(&sheet(shop, id, day, first)?, day.as_str())
}

/// The book of a sheet that is gathered.
///
/// # Errors
/// Where its file is not whole yet.
pub fn book_of(sheet: &Sheet, day: &str) -> Result<NamedPaper, SheetsError> {
    let (Ok(build), Some(plan)) = (&sheet.file.build, sheet.planned()) else {
        return Err(SheetsError::NoPlan(NO_PLAN_YET.to_owned()));
    };
    let record = Record::of(sheet);
    let id = sheet.build.id;
    let revision = sheet.build.revision;
    let mark = match sheet.sign_offs.last().filter(|_| !sheet.build.open) {
        Some(signed) => {
            format!("Build {id}, revision {revision}, sign-off {}", hash(&signed.hash))
        }
        None => format!("Build {id}, revision {revision}, not signed"),
    };
    let stamp = Stamp { mark, day: day.to_owned(), first: sheet.first };
    let of = BookOf {
        build,
        plan,
        first_plan: sheet.first_plan.as_deref(),
        balance: sheet.balance.as_ref().and_then(|balance| balance.as_deref().ok()),
        assembly: &sheet.assembly(),
        condition: &sheet.condition(),
        record: Some(&record),
    };
    Ok(book(&of, &stamp))
}

/// The sheets of a build of the shop's file, as it is now: those to cut by while there is something
/// to cut, and always those for balance and assembly.
///
/// # Errors
/// As [`file_sheets`], or the build's file is not whole yet.
pub fn build_sheets(
    shop: &Shop,
    id: BuildId,
    day: &Day,
    first: System,
) -> Result<Vec<NamedPaper>, SheetsError> {
    let sheet = sheet(shop, id, day, first)?;
    let (Ok(build), Some(plan)) = (&sheet.file.build, sheet.planned()) else {
        return Err(SheetsError::NoPlan(NO_PLAN_YET.to_owned()));
    };
    let day = day.as_str();
    let stamp = Stamp::of_build(&sheet.build, &sheet.cut_inputs(), day, first);
    let mut sheets = match sheet.to_cut_by() {
        Ok(plan) => cut_sheets(build, plan, &stamp),
        // Measured after the cut, or on the way there: nothing is cut by a sheet from now.
        Err(_) if sheet.first_plan.is_some() => Vec::new(),
        Err(_) => return Err(SheetsError::NoPlan(no_plan(&plan.limiting))),
    };
    if let Some(Ok(report)) = &sheet.balance {
        sheets.push(balance_sheet(build, plan, report, &stamp));
    }
    sheets.push(build_assembly(&sheet, day));
    Ok(sheets)
}
