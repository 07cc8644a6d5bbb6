//! `label`: labels for the parts of a build file.

use super::check::counted;
use super::output::{complain, complain_of, in_words, print, write_files};
use super::shop::{Failed, now};
use super::{DONE, WRONG};
use crate::build_file::read;
use crate::ops::labels::{label_files, labels};
use clap::{Args, ValueEnum};
use paper::label::Size;
use std::convert::Infallible;
use std::fmt::Write as _;
use std::fs;
use std::path::PathBuf;

/// What `label` is called with.
#[derive(Debug, Args)]
pub(super) struct Label {
    /// The build file
    file: PathBuf,
    /// The folder they are written into
    #[arg(long, value_name = "DIR")]
    out: PathBuf,
    /// Only the part of this serial
    #[arg(long, value_name = "SERIAL")]
    part: Option<String>,
    /// Only for a bag, or only for a tag
    #[arg(long, value_enum)]
    size: Option<For>,
}

/// What a label is for.
#[derive(Debug, Clone, Copy, ValueEnum)]
enum For {
    /// 50 by 30 mm
    Bag,
    /// 25 by 25 mm
    Tag,
}

pub(super) fn run(call: &Label) -> u8 {
    match written(call) {
        Ok(said) => {
            print(&said);
            DONE
        }
        Err(code) => code,
    }
}

fn written(call: &Label) -> Result<String, u8> {
    let name = call.file.display();
    let wrong = |what: std::fmt::Arguments<'_>| {
        complain(what);
        WRONG
    };
    let text = fs::read_to_string(&call.file)
        .map_err(|error| wrong(format_args!("{name}: {}", in_words(&error))))?;
    let build = read(&text).map_err(|problems| {
        complain_of(&problems.in_file(&name.to_string()));
        WRONG
    })?;
    let mut all = labels(&build);
    if let Some(serial) = &call.part {
        let serials: Vec<&str> = all.iter().map(|label| label.serial).collect();
        if !serials.contains(&serial.as_str()) {
            let known = serials.join(", ");
            return Err(wrong(format_args!("--part: {name} has no {serial}; it has {known}")));
        }
        all.retain(|label| label.serial == serial);
    }
    let sizes: &[Size] = match call.size {
        None => &Size::ALL,
        Some(For::Bag) => &[Size::Bag],
        Some(For::Tag) => &[Size::Tag],
    };
    let day = match now::<Infallible>() {
        Ok(now) => now.day(),
        Err(Failed::Other(said)) => return Err(wrong(format_args!("{said}"))),
        Err(Failed::Told(never)) => match never {},
    };
    let files = label_files(&all, sizes, day.as_str())
        .map_err(|error| wrong(format_args!("{name}: {error}")))?;
    let out = call.out.display();
    fs::create_dir_all(&call.out)
        .map_err(|error| wrong(format_args!("{out}: {}", in_words(&error))))?;
    write_files(&call.out, &files)
        .map_err(|(file, error)| wrong(format_args!("{}: {}", file.display(), in_words(&error))))?;
    let mut said = format!("{out}: labels of {}\n", counted(all.len(), "part"));
    for file in &files {
        let _ = writeln!(said, "  {}", file.path);
    }
    Ok(said)
}
