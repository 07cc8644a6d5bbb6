//! All sheets of a build file, or of a build of the shop's file.

use super::{BookOf, NamedPaper, Record, Stamp, assembly_sheet, balance_sheet, book, cut_sheets};
use crate::ops::sheet::{Sheet, before_the_cut, sheet};
use crate::ops::{
    BalanceError, FileError, PlannedFile, ShopError, SpeedCall, assembly, balance, planned_file,
};
use kernel::units::System;
use records::{BuildId, Day, RecordsError, Sha, Shop};
use std::path::Path;
use thiserror::Error;

/// Hex digits of a hash on paper: enough to tell an old sheet, few enough to compare by eye.
const HASH_DIGITS: usize = 12;

const NOT_WHOLE: &str = "there is no plan yet: readings or spec are not whole";

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

/// The start of a hash, as it stands on paper.
#[must_use]
pub fn short(hash: &Sha) -> String {
    hash.to_hex().chars().take(HASH_DIGITS).collect()
}

/// The sheets of a build file. They are stamped with the hash of its text.
///
/// # Errors
/// [`SheetsError`] where the file cannot be read or planned, or its set has no plan.
pub fn file_sheets(path: &Path, day: &str, first: System) -> Result<Vec<NamedPaper>, SheetsError> {
    let PlannedFile { text, build, trace, plan } = planned_file(path, first)?;
    let mark = format!("Build file {}", short(&Sha::of(text.as_bytes())));
    let stamp = Stamp { mark, day: day.to_owned(), first };
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
    let mark = format!(
        "Build {}, revision {}, {}",
        sheet.build.id,
        sheet.build.revision,
        short(&Sha::of(sheet.file.text.as_bytes()))
    );
    let stamp = Stamp { mark, day: day.to_owned(), first: sheet.first };
    assembly_sheet(sheet.file.build.as_deref().ok(), &sheet.assembly(), &stamp)
}

/// The book of a build file: everything but who signed.
///
/// # Errors
/// [`SheetsError`] where the file cannot be read or planned.
pub fn file_book(path: &Path, day: &str, first: System) -> Result<NamedPaper, SheetsError> {
    let PlannedFile { text, build, trace, plan } = planned_file(path, first)?;
    let mark = format!("Build file {}", short(&Sha::of(text.as_bytes())));
    let stamp = Stamp { mark, day: day.to_owned(), first };
    let call = SpeedCall { trace, ..SpeedCall::default() };
    let balance = balance(&build, &plan, &call, first)?;
    let before = before_the_cut(&build, first);
    let assembled = assembly(&build, first);
    let of = BookOf {
        build: &build,
        plan: &plan,
        first_plan: before.as_deref(),
        balance: Some(&balance),
        assembly: &assembled,
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
    day: &str,
    first: System,
) -> Result<NamedPaper, SheetsError> {
    let today = Day::new(day).map_err(|error| SheetsError::NoPlan(error.to_string()))?;
    book_of(&sheet(shop, id, &today, first)?, day)
}

/// The book of a sheet that is gathered.
///
/// # Errors
/// Where its file is not whole yet.
pub fn book_of(sheet: &Sheet, day: &str) -> Result<NamedPaper, SheetsError> {
    let (Ok(build), Some(plan)) = (&sheet.file.build, sheet.planned()) else {
        return Err(SheetsError::NoPlan(NOT_WHOLE.to_owned()));
    };
    let record = Record::of(sheet);
    let id = sheet.build.id;
    let revision = sheet.build.revision;
    let mark = match sheet.sign_offs.last().filter(|_| !sheet.build.open) {
        Some(signed) => {
            format!("Build {id}, revision {revision}, sign-off {}", short(&signed.hash))
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
        record: Some(&record),
    };
    Ok(book(&of, &stamp))
}

/// The sheets of a build of the shop's file, as it is now.
///
/// # Errors
/// As [`file_sheets`], or the build's file is not whole yet.
pub fn build_sheets(
    shop: &Shop,
    id: BuildId,
    day: &str,
    first: System,
) -> Result<Vec<NamedPaper>, SheetsError> {
    let today = Day::new(day).map_err(|error| SheetsError::NoPlan(error.to_string()))?;
    let sheet = sheet(shop, id, &today, first)?;
    let (Ok(build), Some(plan)) = (&sheet.file.build, sheet.cutting_plan()) else {
        return Err(SheetsError::NoPlan(NOT_WHOLE.to_owned()));
    };
    let mark =
        format!("Build {id}, revision {}, {}", sheet.build.revision, short(&sheet.cut_inputs()));
    let stamp = Stamp { mark, day: day.to_owned(), first };
    let mut sheets = cut_sheets(build, plan, &stamp);
    if sheets.is_empty() {
        return Err(SheetsError::NoPlan(no_plan(&plan.limiting)));
    }
    if let Some(Ok(report)) = &sheet.balance {
        sheets.push(balance_sheet(build, plan, report, &stamp));
    }
    sheets.push(build_assembly(&sheet, day));
    Ok(sheets)
}
