//! `sheet` and `book`: what goes to the benches and to the customer, on paper.

use super::output::{complain, complain_of_file};
use super::shop::{Failed, now, told};
use super::{NO_PLAN, WRONG};
use crate::papers::{NamedPaper, SheetsError, build_book, build_sheets, file_book, file_sheets};
use clap::Args;
use kernel::units::System;
use paper::PaperError;
use records::{BuildId, Day, Shop};
use std::fmt::Write as _;
use std::fs;
use std::path::{Path, PathBuf};

/// What `sheet` and `book` are called with.
#[derive(Debug, Args)]
pub(super) struct Papers {
    /// A build file; with --build, the shop's file
    file: PathBuf,
    /// A folder, made if it is not there
    #[arg(long, value_name = "DIR")]
    out: PathBuf,
    /// This build of the shop's file
    #[arg(long, value_name = "N")]
    build: Option<i64>,
}

pub(super) fn sheet(call: &Papers, first: System) -> u8 {
    run(call, |day| match &call.build {
        None => file_sheets(&call.file, day.as_str(), first).map_err(Failed::Told),
        Some(build) => {
            build_sheets(&shop(call)?, BuildId(*build), day, first).map_err(Failed::Told)
        }
    })
}

pub(super) fn book(call: &Papers, first: System) -> u8 {
    run(call, |day| {
        let book = match &call.build {
            None => file_book(&call.file, day.as_str(), first),
            Some(build) => build_book(&shop(call)?, BuildId(*build), day, first),
        };
        Ok(vec![book.map_err(Failed::Told)?])
    })
}

fn shop(call: &Papers) -> Result<Shop, Failed<SheetsError>> {
    Shop::open(&call.file, &now()?).map_err(|error| Failed::Told(SheetsError::Records(error)))
}

fn run(
    call: &Papers,
    papers: impl FnOnce(&Day) -> Result<Vec<NamedPaper>, Failed<SheetsError>>,
) -> u8 {
    let file = call.file.display();
    let made = now().and_then(|now| papers(&now.day()));
    let papers = match made {
        Ok(papers) => papers,
        Err(Failed::Told(SheetsError::File(error))) => {
            complain_of_file(&call.file, &error);
            return WRONG;
        }
        Err(Failed::Told(error)) => {
            complain(format_args!("{file}: {error}"));
            return if matches!(error, SheetsError::NoPlan(_)) { NO_PLAN } else { WRONG };
        }
        Err(Failed::Other(said)) => {
            complain(said);
            return WRONG;
        }
    };
    told(write_papers(&call.out, &papers), complain)
}

/// Writes papers as PDF into a folder; all are set before the first is written.
fn write_papers(folder: &Path, papers: &[NamedPaper]) -> Result<String, Failed<PaperError>> {
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
