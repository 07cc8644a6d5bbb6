//! What can be read of a damaged shop's file, as files that need no program: every row of every
//! table, attachments, and each build whose lines can be put together.

use super::folder::{FolderFile, folder, safe_name};
use super::sheet::as_far;
use crate::build_file::places::{Placed, assemble};
use records::{
    Build, BuildId, BuildSearch, Cell, LinesOut, MediaType, Moment, RecordsError, Salvaged, Shop,
};
use serde_json::{Map, Value, json};
use std::collections::HashSet;
use std::fs::{self, File};
use std::io::{self, BufWriter, Write};
use std::path::{Path, PathBuf};
use thiserror::Error;

/// A new file of the shop that is no more than what came out.
const FILE: &str = "shop.db";
/// The table whose rows are of no use to anybody but a thief.
const SESSIONS: &str = "session";
/// Likewise this column.
const PASSWORD: &str = "password";

/// Why nothing came out.
#[derive(Debug, Error)]
#[non_exhaustive]
pub enum SalvageError {
    /// What the shop's file says.
    #[error(transparent)]
    Records(#[from] RecordsError),
    /// What the file system says.
    #[error("{}: {source}", .file.display())]
    Written {
        /// The file that was to be written.
        file: PathBuf,
        /// What it says.
        source: io::Error,
    },
}

/// What came out of a build.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BuildOut {
    /// Its number.
    pub build: BuildId,
    /// Its name.
    pub name: String,
    /// Where its files lie, in the folder.
    pub path: String,
    /// Whether it is open: then what was entered since the last signature is in no signature.
    pub open: bool,
    /// What is missing of it; nothing if nothing is known to be.
    pub missing: Vec<String>,
    /// How many of its signatures fit what came out, and how many it has.
    pub signatures: (usize, usize),
}

/// How much of a build came out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Came {
    /// All of what its file says.
    Whole,
    /// Nothing is known to be missing; but nobody signed it as it stands, and lines are lost of
    /// which nobody can say whose they were.
    PerhapsWhole,
    /// Not all.
    InPart,
}

/// What came out of a shop's file.
#[derive(Debug, Clone, PartialEq)]
pub struct SalvageReport {
    /// Pages and rows.
    pub salvaged: Salvaged,
    /// Builds.
    pub builds: Vec<BuildOut>,
    /// How many attachments came out.
    pub attachments: usize,
    /// Whether a new shop's file lies in the folder: nothing is lost, and every record fits.
    pub shop: bool,
    /// Why builds could not be put together at all.
    pub no_builds: Option<String>,
}

/// Writes what can be read of a shop's file into a folder that is there and empty. The file itself
/// is not written to.
///
/// # Errors
/// [`SalvageError`]: nothing of a shop is in it; the folder cannot be written.
pub fn salvage(file: &Path, into: &Path, now: &Moment) -> Result<SalvageReport, SalvageError> {
    let out = Out { folder: into };
    let work = tempfile::tempdir_in(into).map_err(|error| written(into, error))?;
    let new = work.path().join(FILE);
    let salvaged = records::salvage(file, &new)?;
    let mut report = SalvageReport {
        salvaged,
        builds: Vec::new(),
        attachments: 0,
        shop: false,
        no_builds: None,
    };
    out.loose(&report.salvaged)?;
    let shop = match Shop::open(&new, now) {
        Ok(shop) => shop,
        // Of an older version, and too little is left of it to bring it up.
        Err(error) => {
            report.no_builds = Some(error.to_string());
            return Ok(report);
        }
    };
    for table in shop.tables()?.iter().filter(|table| *table != SESSIONS) {
        report.attachments += out.table(&shop, table)?;
    }
    let search = BuildSearch { text: "", open: None, from: 0, most: usize::MAX >> 1 };
    match shop.builds(&search) {
        Ok(mut builds) => {
            builds.sort_by_key(|listed| listed.build.id);
            for listed in builds {
                let built = out.build(&shop, &listed.build, &report.salvaged)?;
                report.builds.push(built);
            }
        }
        Err(error) => report.no_builds = Some(error.to_string()),
    }
    if report.salvaged.is_whole() && shop.check().and_then(|()| shop.audit()).is_ok() {
        shop.backup(&into.join(FILE))?;
        report.shop = true;
    }
    Ok(report)
}

impl SalvageReport {
    /// How much of a build came out.
    #[must_use]
    pub fn came(&self, build: &BuildOut) -> Came {
        let of_lines = |table: &str| ["build_value", "reading"].contains(&table);
        let lines_lost = self
            .salvaged
            .tables
            .iter()
            .any(|table| of_lines(&table.name) && !table.missing.is_empty());
        // What was on the last page of a table leaves no gap in its numbers.
        let end_lost = self
            .salvaged
            .damaged
            .iter()
            .any(|page| page.of.as_deref().is_some_and(of_lines) && page.rows.1.is_none());
        let lines_lost = lines_lost || end_lost;
        let (fit, all) = build.signatures;
        match (build.missing.is_empty(), lines_lost) {
            (false, _) => Came::InPart,
            (true, true) if all == 0 || fit < all || build.open => Came::PerhapsWhole,
            _ => Came::Whole,
        }
    }
}

fn written(file: &Path, source: io::Error) -> SalvageError {
    SalvageError::Written { file: file.to_owned(), source }
}

struct Out<'f> {
    folder: &'f Path,
}

impl Out<'_> {
    fn put(&self, path: &str, bytes: &[u8]) -> Result<(), SalvageError> {
        let file = self.folder.join(path);
        let made = file.parent().map_or(Ok(()), fs::create_dir_all);
        made.and_then(|()| fs::write(&file, bytes)).map_err(|error| written(&file, error))
    }

    /// Rows without a place, a line each.
    fn loose(&self, salvaged: &Salvaged) -> Result<(), SalvageError> {
        if salvaged.loose.is_empty() {
            return Ok(());
        }
        let mut text = String::new();
        for loose in &salvaged.loose {
            let cells: Vec<Value> = loose.cells.iter().map(value).collect();
            let line = json!({
                "page": loose.page,
                "number": loose.number,
                "tables": loose.tables,
                "why": loose.why,
                "cells": cells,
            });
            text.push_str(&line.to_string());
            text.push('\n');
        }
        self.put("loose.jsonl", text.as_bytes())
    }

    /// Every row of a table, a line each; attachments become files. Gives how many of these.
    fn table(&self, shop: &Shop, table: &str) -> Result<usize, SalvageError> {
        let path = self.folder.join("tables").join(format!("{table}.jsonl"));
        let opened = fs::create_dir_all(self.folder.join("tables"))
            .and_then(|()| File::create(&path))
            .map_err(|error| written(&path, error))?;
        let mut file = BufWriter::new(opened);
        let (mut attachments, mut failed) = (0, None);
        shop.each_row(table, |names, cells| {
            let mut line = Map::new();
            for (name, cell) in names.iter().zip(&cells).filter(|(name, _)| *name != PASSWORD) {
                line.insert(name.clone(), value(cell));
            }
            if table == "attachment"
                && let Some(path) = place(names, &cells)
                && let Some(Cell::Bytes(bytes)) = named("bytes", names, &cells)
            {
                attachments += 1;
                line.insert("bytes".to_owned(), Value::from(path.clone()));
                failed = self.put(&path, bytes).err();
            }
            if failed.is_none() {
                failed = writeln!(file, "{}", Value::Object(line))
                    .map_err(|error| written(&path, error))
                    .err();
            }
            failed.is_none()
        })?;
        match failed {
            Some(error) => Err(error),
            None => file.flush().map(|()| attachments).map_err(|error| written(&path, error)),
        }
    }

    /// A build, as much of it as there is.
    fn build(
        &self,
        shop: &Shop,
        whole: &Build,
        salvaged: &Salvaged,
    ) -> Result<BuildOut, SalvageError> {
        let (build, name) = (whole.id, whole.head.name.as_str());
        let stem = safe_name(name);
        let path = format!("builds/{build}{}{stem}", if stem.is_empty() { "" } else { "-" });
        let LinesOut { lines, lost } = shop.lines_out(build)?;
        let mut missing = lost;
        if salvaged.stand_ins.contains(&build.0) {
            missing.insert(0, "its own row: name, customer, engine and spec".to_owned());
        }
        let changed = |table: &str, id: i64| {
            salvaged.tables.iter().any(|out| out.name == table && out.changed.contains(&id))
        };
        for line in &lines {
            let of_it = line.reading.is_some_and(|reading| changed("reading", reading.0));
            if of_it || changed("build_value", line.id.0) {
                missing.push(format!("{}: not what was written, by its hash", line.place));
            }
        }
        let values: Vec<Placed> =
            lines.into_iter().map(|line| Placed { place: line.place, value: line.value }).collect();
        let text = match assemble(&values) {
            Ok(text) => Some(text),
            Err(_) => match as_far(&values) {
                Ok(far) => {
                    missing.extend(far.left_out.iter().map(|what| format!("{what}: half of it")));
                    Some(far.text)
                }
                Err(error) => {
                    missing.push(format!("its lines make no build file: {error}"));
                    None
                }
            },
        };
        // All of it where that goes; else what there is.
        let files = folder(shop, build).unwrap_or_default();
        for FolderFile { path: inside, bytes } in files.iter().filter(|f| f.path != "build.toml") {
            self.put(&format!("{path}/{inside}"), bytes)?;
        }
        if files.is_empty() {
            missing
                .push("its parts, findings or papers refer to something that is lost".to_owned());
            if let Ok(readings) = shop.readings_csv(build) {
                self.put(&format!("{path}/readings.csv"), readings.as_bytes())?;
            }
        }
        if let Some(text) = text.filter(|text| !text.is_empty()) {
            let said: String = missing.iter().map(|what| format!("# missing: {what}\n")).collect();
            self.put(&format!("{path}/build.toml"), format!("{said}{text}").as_bytes())?;
        }
        let signatures = shop.signatures_fit(build).unwrap_or_default();
        for (sign_off, _) in signatures.iter().filter(|(_, fits)| !fits) {
            missing.push(format!("sign-off {sign_off} was over more than what came out"));
        }
        let fit = signatures.iter().filter(|(_, fits)| *fits).count();
        let signatures = (fit, signatures.len());
        let (name, open) = (name.to_owned(), whole.open);
        Ok(BuildOut { build, name, path, open, missing, signatures })
    }
}

/// What stands in a column.
fn named<'c>(name: &str, names: &[String], cells: &'c [Cell]) -> Option<&'c Cell> {
    cells.get(names.iter().position(|known| known == name)?)
}

/// Where an attachment is put.
fn place(names: &[String], cells: &[Cell]) -> Option<String> {
    let cell = |name| named(name, names, cells);
    let (Cell::Whole(id), Cell::Text(called), Cell::Text(kind)) =
        (cell("id")?, cell("name")?, cell("media_type")?)
    else {
        return None;
    };
    let kinds: HashSet<&str> = MediaType::ALL.iter().map(|kind| kind.word()).collect();
    let ending = match kind.split_once('/') {
        Some((_, ending)) if kinds.contains(kind.as_str()) => ending,
        _ => "bin",
    };
    let stem = safe_name(called.rsplit_once('.').map_or(called.as_str(), |(stem, _)| stem));
    let hyphen = if stem.is_empty() { "" } else { "-" };
    Some(format!("attachments/{id}{hyphen}{stem}.{ending}"))
}

/// Bytes are hexadecimal digits.
fn value(cell: &Cell) -> Value {
    match cell {
        Cell::Nothing => Value::Null,
        Cell::Whole(whole) => Value::from(*whole),
        Cell::Real(real) => Value::from(*real),
        Cell::Text(text) => Value::from(text.as_str()),
        Cell::Bytes(bytes) => {
            Value::from(bytes.iter().map(|byte| format!("{byte:02x}")).collect::<String>())
        }
    }
}
