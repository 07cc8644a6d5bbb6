//! The first hundred bytes of a file, read without the database: opening a file with it can
//! already write to it, and a file that is none of ours is left as it is. The layout is that of
//! the SQLite file format [SQLITE-FORMAT].

use crate::error::{RecordsError, io};
use crate::schema::{APPLICATION_ID, VERSION};
use rusqlite::{Connection, OpenFlags};
use std::ffi::OsString;
use std::fs::File;
use std::io::Read;
use std::path::{Path, PathBuf};

const LENGTH: usize = 100;
const MAGIC: &[u8; 16] = b"SQLite format 3\0";
/// Where the version stands, four bytes, the most significant first.
const USER_VERSION: usize = 60;
/// Where the mark of the kind of file stands, likewise.
const APPLICATION: usize = 68;

/// The version of a shop's file.
///
/// # Errors
/// Where it is no shop's file, or newer than this program.
pub(crate) fn version(file: &Path) -> Result<u32, RecordsError> {
    let not_a_shop = || RecordsError::NotAShop { file: file.to_owned() };
    if file.is_dir() {
        return Err(not_a_shop());
    }
    let mut header = Vec::with_capacity(LENGTH);
    File::open(file)
        .and_then(|opened| opened.take(LENGTH as u64).read_to_end(&mut header))
        .map_err(|error| io(&error, file))?;
    if header.len() < LENGTH || !header.starts_with(MAGIC) {
        return Err(not_a_shop());
    }
    let four = |at: usize| {
        header[at..at + 4].iter().fold(0u32, |number, byte| (number << 8) | u32::from(*byte))
    };
    if four(APPLICATION) != APPLICATION_ID {
        return Err(not_a_shop());
    }
    let mut found = four(USER_VERSION);
    // The newest version may still be in the log of a program that was killed.
    let log = beside(file, "-wal");
    if found <= VERSION && log.metadata().is_ok_and(|log| log.len() > 0) {
        let reader = Connection::open_with_flags(file, OpenFlags::SQLITE_OPEN_READ_ONLY);
        if let Ok(newer) = reader.and_then(|reader| crate::schema::version(&reader)) {
            found = newer;
        }
    }
    if found > VERSION {
        return Err(RecordsError::Newer { file: file.to_owned(), found, known: VERSION });
    }
    if found == 0 {
        return Err(not_a_shop());
    }
    Ok(found)
}

/// A file of the same name with something after it.
pub(crate) fn beside(file: &Path, after: &str) -> PathBuf {
    let mut name: OsString = file.as_os_str().to_owned();
    name.push(after);
    name.into()
}
