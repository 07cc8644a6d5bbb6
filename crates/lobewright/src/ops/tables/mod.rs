//! Readings, plan and history as tables for other programs, of a build file, of a build of the
//! shop's file, and of one part of the shop.

mod plan;
mod readings;

use super::folder::FolderFile;
use super::inputs::InputError;
use super::sheet::sheet;
use super::shop::ShopError;
use crate::build_file::places::placed;
use crate::build_file::{Problems, read};
use kernel::units::System;
use paper::table::{Table, TableError, workbook};
use records::{BuildId, Day, PartId, RecordsError, Shop};
use thiserror::Error;

/// What a workbook of tables is called, its ending among it.
pub const WORKBOOK: &str = "tables.xlsx";

/// Why there are no tables.
#[derive(Debug, Error)]
#[non_exhaustive]
pub enum TablesError {
    /// What is wrong with the build file.
    #[error("the build file has problems")]
    Problems(Box<Problems>),
    /// The build makes no engine.
    #[error(transparent)]
    Inputs(#[from] InputError),
    /// What the shop's file says.
    #[error(transparent)]
    Shop(#[from] ShopError),
    /// What a table cannot hold.
    #[error(transparent)]
    Table(#[from] TableError),
}

impl From<RecordsError> for TablesError {
    fn from(error: RecordsError) -> Self {
        Self::Shop(error.into())
    }
}

/// The tables of one build.
#[derive(Debug, Clone)]
pub struct Tables {
    /// What the build is called.
    pub title: String,
    /// Readings, plan and, of the shop's file, history.
    pub tables: Vec<Table>,
    /// Why there is no plan, where there is none.
    pub no_plan: Option<String>,
    /// Whether the set has a plan.
    pub feasible: bool,
}

impl Tables {
    /// Each as CSV, and all of them as one workbook.
    ///
    /// # Errors
    /// What a table cannot hold.
    pub fn files(&self) -> Result<Vec<FolderFile>, TablesError> {
        let mut files = Vec::with_capacity(self.tables.len() + 1);
        for table in &self.tables {
            let path = format!("{}.csv", table.name);
            files.push(FolderFile { path, bytes: table.csv()?.into_bytes() });
        }
        let bytes = workbook(&self.title, &self.tables)?;
        files.push(FolderFile { path: WORKBOOK.to_owned(), bytes });
        Ok(files)
    }

    /// One of its files by its name.
    ///
    /// # Errors
    /// What a table cannot hold.
    pub fn file(&self, name: &str) -> Result<Option<FolderFile>, TablesError> {
        Ok(self.files()?.into_iter().find(|file| file.path == name))
    }
}

/// The tables of a build file: its readings as they were written, and its plan.
///
/// # Errors
/// What is wrong with the file; where it makes no engine.
pub fn tables_of_file(text: &str, first: System) -> Result<Tables, TablesError> {
    let values = placed(text).map_err(TablesError::Problems)?;
    let build = read(text).map_err(|problems| TablesError::Problems(Box::new(problems)))?;
    let report = super::plan(&build, first)?;
    Ok(Tables {
        title: build.name.clone(),
        tables: vec![readings::of_file(&values, &build)?, plan::table(&report)?],
        no_plan: None,
        feasible: report.feasible,
    })
}

/// The tables of a build of the shop: the readings of its parts that stand, its plan where it has
/// one by now, and every reading that was ever taken of its parts, in whichever build.
///
/// # Errors
/// Where there is no such build, or the shop's file cannot be read.
pub fn tables_of_build(
    shop: &Shop,
    id: BuildId,
    (today, first): (&Day, System),
) -> Result<Tables, TablesError> {
    let sheet = sheet(shop, id, today, first)?;
    let mut tables = vec![readings::of_build(shop, &sheet)?];
    // What the machinist works from: of a second cut, the plan of that one.
    let plan = if sheet.needs_second_cut() { sheet.planned() } else { sheet.cutting_plan() };
    if let Some(report) = plan {
        tables.push(plan::table(report)?);
    }
    let feasible = plan.is_some_and(|report| report.feasible);
    let no_plan = plan.is_none().then(|| match &sheet.plan {
        Some(Err(why)) => why.clone(),
        _ => "readings or spec are not whole".to_owned(),
    });
    tables.push(readings::history_of_build(shop, &sheet)?);
    Ok(Tables { title: sheet.build.head.name.clone(), tables, no_plan, feasible })
}

/// Every reading that was ever taken of a part, as a table.
///
/// # Errors
/// Where there is no such part.
pub fn history_of_part(shop: &Shop, part: PartId) -> Result<Table, TablesError> {
    readings::history(shop, &[part])
}

/// A table as a workbook of one sheet.
///
/// # Errors
/// What a workbook cannot hold.
pub fn as_workbook(title: &str, table: Table) -> Result<Vec<u8>, TablesError> {
    Ok(workbook(title, &[table])?)
}
