//! Where text goes: standard output and error, a closed pipe being a quiet end.

use crate::build_file::Problems;
use crate::ops::{FileError, FolderFile, Picture};
use std::fmt::Display;
use std::fs;
use std::io::{self, IsTerminal, Write};
use std::path::{Path, PathBuf};

/// Writes a whole text. A reader that has had enough (`| head`) is no error; anything else is
/// told on standard error.
pub(super) fn print(text: &str) {
    let mut out = io::stdout().lock();
    match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
        Err(error) if error.kind() != io::ErrorKind::BrokenPipe => {
            complain(format_args!("output: {error}"));
        }
        _ => {}
    }
}

/// One line on standard error. There is nowhere left to tell if that fails.
pub(super) fn complain(what: impl Display) {
    let _ = writeln!(io::stderr().lock(), "lobewright: {what}");
}

/// Further lines on standard error.
pub(super) fn complain_more(text: &str) {
    let _ = io::stderr().lock().write_all(text.as_bytes());
}

/// A failure of the file system, in the words of the bench where it is a common one.
pub(super) fn in_words(error: &io::Error) -> String {
    match error.kind() {
        io::ErrorKind::NotFound => "there is no such file".to_owned(),
        io::ErrorKind::PermissionDenied => "this user may not read or write it".to_owned(),
        io::ErrorKind::InvalidData => "it is not text in UTF-8".to_owned(),
        io::ErrorKind::IsADirectory => "it is a folder".to_owned(),
        _ => error.to_string(),
    }
}

/// Everything that is wrong with a file, in colour only for eyes.
pub(super) fn complain_of(problems: &Problems) {
    let mut err = io::stderr().lock();
    let coloured = err.is_terminal() && std::env::var_os("NO_COLOR").is_none();
    let _ = err.write_all(problems.show(coloured).as_bytes());
}

/// Why a file has no plan to start from, each kind in its own way.
pub(super) fn complain_of_file(file: &Path, error: &FileError) {
    let file = file.display();
    match error {
        FileError::Problems(problems) => complain_of(problems),
        FileError::Unread(error) => complain(format_args!("{file}: {}", in_words(error))),
        FileError::Trace { name, source } => {
            complain(format_args!("{file}: gas.trace: {name}: {}", in_words(source)));
        }
        FileError::Inputs(error) => complain(format_args!("{file}: {error}")),
    }
}

/// What of a picture is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Part {
    /// The drawing.
    Drawing,
    /// Its data.
    Table,
}

/// Writes pictures into a folder, which is made if it is not there.
pub(super) fn write_pictures(
    folder: &Path,
    pictures: &[Picture],
    parts: &[Part],
) -> io::Result<()> {
    fs::create_dir_all(folder)?;
    for picture in pictures {
        for part in parts {
            let (ending, content) = match part {
                Part::Drawing => ("svg", &picture.svg),
                Part::Table => ("csv", &picture.csv),
            };
            fs::write(folder.join(format!("{}.{ending}", picture.name)), content)?;
        }
    }
    Ok(())
}

/// Writes files into a folder that is there, with the folders inside it that they need.
///
/// # Errors
/// Which file could not be written, and why.
pub(super) fn write_files(folder: &Path, files: &[FolderFile]) -> Result<(), (PathBuf, io::Error)> {
    for FolderFile { path, bytes } in files {
        let file = folder.join(path);
        let made = file.parent().map_or(Ok(()), fs::create_dir_all);
        made.and_then(|()| fs::write(&file, bytes)).map_err(|error| (file, error))?;
    }
    Ok(())
}
