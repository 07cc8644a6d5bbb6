//! Whole files: written under another name, brought to the disk, then given their name. Nobody
//! ever finds half of one.

use crate::error::{RecordsError, io, told};
use crate::header::beside;
use crate::schema;
use rusqlite::Connection;
use rusqlite::backup::{Backup, StepResult};
use std::fs::{self, File, OpenOptions};
use std::path::{Path, PathBuf};
use std::thread::sleep;
use std::time::Duration;

/// All pages in one step: the copy is of one moment, and nobody who writes has to wait.
const ALL_PAGES: std::ffi::c_int = -1;
/// A step is refused only while somebody recovers the log of a program that was killed.
const ATTEMPTS: u32 = 50;
const BETWEEN_ATTEMPTS: Duration = Duration::from_millis(100);
/// Names that left-overs of killed programs may have taken.
const NAMES: u32 = 1000;

/// A file under a name of its own, gone again unless it is given its final one.
#[derive(Debug)]
pub(crate) struct Temporary {
    path: PathBuf,
}

impl Temporary {
    /// An empty one in the same folder, so that it can be renamed.
    pub(crate) fn beside(file: &Path) -> Result<Self, RecordsError> {
        for number in 0..NAMES {
            let path = beside(file, &format!(".part-{}-{number}", std::process::id()));
            match OpenOptions::new().write(true).create_new(true).open(&path) {
                Ok(_) => return Ok(Self { path }),
                Err(error) if error.kind() == std::io::ErrorKind::AlreadyExists => {}
                Err(error) if error.kind() == std::io::ErrorKind::NotFound => {
                    return Err(RecordsError::NoFolder { file: file.to_owned() });
                }
                Err(error) => return Err(io(&error, file)),
            }
        }
        Err(RecordsError::FileExists { file: beside(file, ".part") })
    }

    pub(crate) fn path(&self) -> &Path {
        &self.path
    }

    /// Gives it a name that nothing has.
    pub(crate) fn becomes_new(self, file: &Path) -> Result<(), RecordsError> {
        if file.exists() {
            return Err(RecordsError::FileExists { file: file.to_owned() });
        }
        self.becomes(file)
    }

    /// Gives it a name in place of what has it.
    pub(crate) fn becomes(self, file: &Path) -> Result<(), RecordsError> {
        File::open(&self.path)
            .and_then(|written| written.sync_all())
            .and_then(|()| fs::rename(&self.path, file))
            .and_then(|()| sync_folder(file))
            .map_err(|error| io(&error, file))
    }
}

impl Drop for Temporary {
    fn drop(&mut self) {
        // After it got its name nothing is there: that is no error.
        for after in ["", "-journal", "-wal", "-shm"] {
            let _ = fs::remove_file(beside(&self.path, after));
        }
    }
}

/// Brings a new name to the disk.
pub(crate) fn sync_folder(file: &Path) -> std::io::Result<()> {
    let folder = match file.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    };
    // Only Unix opens a folder; elsewhere the system keeps names by itself.
    if cfg!(unix) { File::open(folder)?.sync_all() } else { Ok(()) }
}

/// Copies an open file, while it is in use, to a name that nothing has.
pub(crate) fn whole_copy(from: &Connection, to: &Path) -> Result<(), RecordsError> {
    if to.exists() {
        return Err(RecordsError::FileExists { file: to.to_owned() });
    }
    let temporary = Temporary::beside(to)?;
    copy_into(from, temporary.path(), to)?;
    temporary.becomes_new(to)
}

/// Copies an open file into another one. Errors name `called`, what the copy is to become.
pub(crate) fn copy_into(from: &Connection, path: &Path, called: &Path) -> Result<(), RecordsError> {
    let tell = |error: rusqlite::Error| told(&error, called);
    let mut copy = Connection::open(path).map_err(tell)?;
    let mut attempts = 0;
    loop {
        let step =
            Backup::new(from, &mut copy).and_then(|all| all.step(ALL_PAGES)).map_err(tell)?;
        match step {
            StepResult::Done => break,
            _ if attempts < ATTEMPTS => {
                attempts += 1;
                sleep(BETWEEN_ATTEMPTS);
            }
            _ => return Err(RecordsError::Locked { file: called.to_owned() }),
        }
    }
    schema::write_in_place(&copy).map_err(tell)?;
    copy.close().map_err(|(_, error)| tell(error))
}
