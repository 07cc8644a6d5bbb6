//! `tables`: readings, plan and history for other programs.

use super::output::{complain, complain_of, in_words, write_files};
use super::shop::{Failed, now, told};
use super::{DONE, NO_PLAN};
use crate::ops::ShopError;
use crate::ops::tables::{Tables, TablesError, tables_of_build, tables_of_file};
use clap::Args;
use kernel::units::System;
use records::{BuildId, Shop};
use std::fmt::Write as _;
use std::fs;
use std::path::PathBuf;

/// What `tables` is called with.
#[derive(Debug, Args)]
pub(super) struct TablesCall {
    /// The build file; with --build, the shop's file
    file: PathBuf,
    /// The folder they are written into
    #[arg(long, value_name = "DIR")]
    out: PathBuf,
    /// This build of the shop's file, with the history of its parts
    #[arg(long, value_name = "BUILD")]
    build: Option<i64>,
}

pub(super) fn run(call: &TablesCall, first: System) -> u8 {
    let mut feasible = true;
    let written = written(call, first).map(|(said, found)| {
        feasible = found;
        said
    });
    let code = told(written, |error| match error {
        TablesError::Problems(problems) => {
            complain_of(&problems.in_file(&call.file.display().to_string()));
        }
        other => complain(format_args!("{}: {other}", call.file.display())),
    });
    if code == DONE && !feasible { NO_PLAN } else { code }
}

fn gathered(call: &TablesCall, first: System) -> Result<Tables, Failed<TablesError>> {
    match call.build {
        None => {
            let text =
                fs::read_to_string(&call.file).map_err(|error| Failed::at(&call.file, &error))?;
            tables_of_file(&text, first).map_err(Failed::Told)
        }
        Some(build) => {
            let now = now()?;
            let shop = Shop::open(&call.file, &now)
                .map_err(|error| Failed::Told(ShopError::Records(error).into()))?;
            tables_of_build(&shop, BuildId(build), (&now.day(), first)).map_err(Failed::Told)
        }
    }
}

fn written(call: &TablesCall, first: System) -> Result<(String, bool), Failed<TablesError>> {
    let tables = gathered(call, first)?;
    let files = tables.files().map_err(Failed::Told)?;
    let out = call.out.display();
    fs::create_dir_all(&call.out)
        .map_err(|error| Failed::Other(format!("{out}: {}", in_words(&error))))?;
    write_files(&call.out, &files).map_err(|(file, error)| {
        Failed::Other(format!("{}: {}", file.display(), in_words(&error)))
    })?;
    let mut said = format!("{out}: {}\n", tables.title);
    for file in &files {
        let table = tables.tables.iter().find(|table| file.path == format!("{}.csv", table.name));
        let rows = table.map_or_else(|| "all of them".to_owned(), |t| format!("{} rows", t.len()));
        let _ = writeln!(said, "  {:<13} {rows}", file.path);
    }
    if let Some(why) = &tables.no_plan {
        let _ = writeln!(said, "  no plan.csv: {why}");
    } else if !tables.feasible {
        let _ = writeln!(said, "  there is no plan for the set; plan.csv has what there is");
    }
    Ok((said, tables.feasible))
}
