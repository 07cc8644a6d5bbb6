//! `enter`: values into a file, in place.

use super::output::{complain, in_words, print};
use super::{DONE, WRONG};
use crate::build_file::amend_all;
use std::fs;
use std::io::{self, Write};
use std::path::Path;

pub(super) fn run(file: &Path, values: &[String]) -> u8 {
    let name = file.display();
    if !values.len().is_multiple_of(2) {
        complain(format_args!(
            "{} has no value; give a place and its value in turn",
            values.last().map_or("the last place", String::as_str)
        ));
        return WRONG;
    }
    let changes: Vec<(&str, &str)> =
        values.chunks_exact(2).map(|pair| (pair[0].as_str(), pair[1].as_str())).collect();
    let text = match fs::read_to_string(file) {
        Ok(text) => text,
        Err(error) => {
            complain(format_args!("{name}: {}", in_words(&error)));
            return WRONG;
        }
    };
    match amend_all(&text, &changes) {
        Err(error) => {
            complain(format_args!("{name}: {}", error.in_file(&name.to_string())));
            WRONG
        }
        Ok(amended) => match replace(file, &amended) {
            Err(error) => {
                complain(format_args!("{name}: {error}; the file is as it was"));
                WRONG
            }
            Ok(()) => {
                let said: Vec<String> =
                    changes.iter().map(|(place, value)| format!("  {place} = {value}\n")).collect();
                print(&format!("{name}: entered\n{}", said.concat()));
                DONE
            }
        },
    }
}

/// Writes beside the file, then takes its place: a crash leaves the old file or the new one.
fn replace(file: &Path, text: &str) -> io::Result<()> {
    let beside = file.with_extension("toml.new");
    let mut new = fs::OpenOptions::new().write(true).create_new(true).open(&beside)?;
    let written = new
        .write_all(text.as_bytes())
        .and_then(|()| new.sync_all())
        .and_then(|()| fs::set_permissions(&beside, fs::metadata(file)?.permissions()))
        .and_then(|()| fs::rename(&beside, file));
    if written.is_err() {
        // The old file is untouched; what is left beside it is of no use.
        let _ = fs::remove_file(&beside);
    }
    written
}
