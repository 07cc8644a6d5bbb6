//! `sheet`: what goes to the benches on paper.

use super::output::{complain, complain_of_file, print};
use super::shop::{Failed, now, told};
use super::{DONE, NO_PLAN, WRONG};
use crate::papers::{NamedPaper, SheetsError, build_sheets, file_sheets};
use clap::Args;
use kernel::units::System;
use records::{BuildId, Shop};
use std::fmt::Write as _;
use std::fs;
use std::path::{Path, PathBuf};

/// What `sheet` is called with.
#[derive(Debug, Args)]
pub(super) struct Sheet {
    /// A build file; with --build, the shop's file
    file: PathBuf,
    /// A folder, made if it is not there
    #[arg(long, value_name = "DIR")]
    out: PathBuf,
    /// This build of the shop's file
    #[arg(long, value_name = "N")]
    build: Option<i64>,
}

pub(super) fn run(call: &Sheet, first: System) -> u8 {
    let day = match now::<SheetsError>() {
        Ok(now) => now.as_str()[..10].to_owned(),
        Err(error) => return told(Err(error), complain),
    };
    let sheets = match call.build {
        None => file_sheets(&call.file, &day, first),
        Some(build) => match now().and_then(|now| {
            let shop = Shop::open(&call.file, &now)
                .map_err(|error| Failed::Told(SheetsError::Records(error)))?;
            build_sheets(&shop, BuildId(build), &day, first).map_err(Failed::Told)
        }) {
            Ok(sheets) => Ok(sheets),
            Err(Failed::Told(error)) => Err(error),
            Err(other) => return told(Err(other), complain),
        },
    };
    let sheets = match sheets {
        Ok(sheets) => sheets,
        Err(SheetsError::File(error)) => {
            complain_of_file(&call.file, &error);
            return WRONG;
        }
        Err(SheetsError::NoPlan(why)) => {
            complain(format_args!("{}: {why}", call.file.display()));
            return NO_PLAN;
        }
        Err(error) => {
            complain(format_args!("{}: {error}", call.file.display()));
            return WRONG;
        }
    };
    match write_papers(&call.out, &sheets) {
        Ok(said) => {
            print(&said);
            DONE
        }
        Err(Failed::Other(said)) => {
            complain(said);
            WRONG
        }
        Err(Failed::Told(error)) => {
            complain(error);
            WRONG
        }
    }
}

/// Writes papers as PDF into a folder; all are set before the first is written.
pub(super) fn write_papers(
    folder: &Path,
    papers: &[NamedPaper],
) -> Result<String, Failed<paper::PaperError>> {
    let set: Vec<(String, Vec<u8>)> = papers
        .iter()
        .map(|named| Ok((format!("{}.pdf", named.name), named.paper.pdf()?)))
        .collect::<Result<_, _>>()
        .map_err(Failed::Told)?;
    fs::create_dir_all(folder).map_err(|error| Failed::at(folder, &error))?;
    let mut said = String::new();
    for (name, bytes) in &set {
        let file = folder.join(name);
        fs::write(&file, bytes).map_err(|error| Failed::at(&file, &error))?;
        let _ = writeln!(said, "{}", file.display());
    }
    Ok(said)
}
