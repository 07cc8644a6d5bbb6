//! `check`: the file only.

use super::output::{complain, complain_of, in_words, print};
use super::{DONE, WRONG};
use crate::build_file::read;
use std::fs;
use std::path::Path;

pub(super) fn run(file: &Path) -> u8 {
    let name = file.display().to_string();
    let text = match fs::read_to_string(file) {
        Ok(text) => text,
        Err(error) => {
            complain(format_args!("{name}: {}", in_words(&error)));
            return WRONG;
        }
    };
    match read(&text) {
        Ok(build) => {
            let measured = build.rotors.iter().filter(|rotor| rotor.after.is_some()).count();
            let after = match measured {
                0 => String::new(),
                n => format!(", {n} measured after cutting"),
            };
            print(&format!(
                "{name}: {}\n  {} in {}{after}, spec \"{}\"\n  nothing wrong with its form; whether the readings agree is for \
                 `lobewright plan`\n",
                build.name,
                counted(build.rotors.len(), "rotor"),
                counted(build.housings.len(), "housing"),
                build.spec.name,
            ));
            DONE
        }
        Err(problems) => {
            complain_of(&problems.in_file(&name));
            WRONG
        }
    }
}

/// "1 rotor", "2 rotors".
pub(super) fn counted(n: usize, what: &str) -> String {
    format!("{n} {what}{}", if n == 1 { "" } else { "s" })
}
