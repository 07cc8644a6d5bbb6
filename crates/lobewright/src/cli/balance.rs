//! `balance`: one build on the balancing machine.

use super::output::{Part, complain, complain_of_file, print, write_pictures};
use super::{DONE, NO_PLAN, WRONG};
use crate::ops::{BalanceFileError, balance_file, balance_pictures};
use crate::text;
use crate::wire::BalanceJson;
use kernel::readings::Verdict;
use kernel::units::System;
use serde_json::json;
use std::path::PathBuf;

/// What the call asked for.
pub(super) struct Call {
    pub(super) file: PathBuf,
    pub(super) json: bool,
    pub(super) svg: Option<PathBuf>,
    pub(super) first: System,
}

pub(super) fn run(call: &Call) -> u8 {
    let balanced = match balance_file(&call.file, call.first) {
        Ok(balanced) => balanced,
        Err(error) => return refused(call, &error),
    };
    let report = &balanced.report;
    let mut written = None;
    if let Some(folder) = &call.svg {
        let pictures = balance_pictures(&balanced.build, &balanced.plan, report, call.first);
        if let Err(error) = write_pictures(folder, &pictures, &[Part::Drawing, Part::Table]) {
            complain(format_args!("{}: {error}", folder.display()));
            return WRONG;
        }
        written = Some(format!("{} pictures in {}", pictures.len(), folder.display()));
    }
    if call.json {
        print(&format!("{:#}\n", json!(BalanceJson::of(report))));
    } else {
        let mut text = text::balance::text(report, call.first);
        if let Some(line) = written {
            text.push_str(&format!("\n{line}\n"));
        }
        print(&text);
    }
    if report.worst() == Verdict::DoesNotConform { NO_PLAN } else { DONE }
}

fn refused(call: &Call, error: &BalanceFileError) -> u8 {
    let file = call.file.display();
    if call.json {
        print(&format!("{:#}\n", json!({ "file": file.to_string(), "error": error.to_string() })));
    }
    match error {
        BalanceFileError::File(error) => complain_of_file(&call.file, error),
        BalanceFileError::Balance(error) => complain(format_args!("{file}: {error}")),
    }
    WRONG
}
