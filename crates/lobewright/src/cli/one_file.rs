//! One build file, read for a command that says something of it.

use super::WRONG;
use super::output::{complain, complain_of, in_words, print};
use crate::build_file::{Build, read};
use serde_json::json;
use std::fs;
use std::path::Path;

/// Reads a build file; where it is wrong everything that is wrong is told, as JSON too where that is
/// wanted, and the exit status is given.
pub(super) fn build_of(file: &Path, json: bool) -> Result<Build, u8> {
    let refused = |what: &dyn ToString| {
        if json {
            let error = json!({ "file": file.display().to_string(), "error": what.to_string() });
            print(&format!("{error:#}\n"));
        }
    };
    let text = fs::read_to_string(file).map_err(|error| {
        refused(&in_words(&error));
        complain(format_args!("{}: {}", file.display(), in_words(&error)));
        WRONG
    })?;
    read(&text).map_err(|problems| {
        let problems = problems.in_file(&file.display().to_string());
        refused(&problems);
        complain_of(&problems);
        WRONG
    })
}
