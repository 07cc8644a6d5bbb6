//! Backup while in use, and the way back.

use crate::audit::{self, Audited};
use crate::copy::{Temporary, copy_into, sync_folder, whole_copy};
use crate::error::{Fault, RecordsError, io, told};
use crate::header::{self, beside};
use crate::schema;
use crate::shop::{Shop, open_existing};
use crate::time::Moment;
use rusqlite::{Connection, OpenFlags};
use std::fs;
use std::path::{Path, PathBuf};

/// What a restore did.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Restored {
    /// Where the file that was replaced is kept, if there was one.
    pub kept: Option<PathBuf>,
    /// What the audit of the restored file counted.
    pub audited: Audited,
}

impl Shop {
    /// Copies the shop's file while it is in use. The copy is of one moment, one file without a
    /// log, and has its name only once it is whole and on the disk.
    ///
    /// # Errors
    /// Where there is a file of that name, or it cannot be written.
    pub fn backup(&self, to: &Path) -> Result<(), RecordsError> {
        // Its own connection, outside a transaction: readers and the writer go on.
        let from = open_existing(self.file())
            .and_then(|from| schema::prepare(&from).map(|()| from))
            .map_err(|error| told(&error, self.file()))?;
        whole_copy(&from, to)
    }
}

/// Puts a backup in the place of a shop's file, after it was looked at: its kind, version, every
/// page, every reference, and the audit. An older version is upgraded on the way. What was
/// there is kept beside it, with `now` in its name.
///
/// # Errors
/// Where the backup does not pass, or the file is in use. Then nothing was changed.
pub fn restore(from: &Path, to: &Path, now: &Moment) -> Result<Restored, RecordsError> {
    header::version(from)?;
    let temporary = Temporary::beside(to)?;
    let audited = checked_copy(from, &temporary)?;
    let kept = if to.exists() { Some(keep(to, now)?) } else { None };
    match (temporary.becomes(to), kept) {
        (Ok(()), kept) => Ok(Restored { kept, audited }),
        (Err(error), None) => Err(error),
        (Err(error), Some(kept)) => {
            // Back to where it was: under its one name. What cannot be undone is told by the
            // error, and both files are whole.
            let _ = if to.exists() { fs::remove_file(&kept) } else { fs::rename(&kept, to) };
            Err(error)
        }
    }
}

/// Copies the backup and looks at the copy. Errors name the backup: it is what is wrong.
fn checked_copy(from: &Path, temporary: &Temporary) -> Result<Audited, RecordsError> {
    let tell = |error: rusqlite::Error| told(&error, from);
    let source =
        Connection::open_with_flags(from, OpenFlags::SQLITE_OPEN_READ_ONLY).map_err(tell)?;
    schema::prepare(&source).map_err(tell)?;
    copy_into(&source, temporary.path(), from)?;
    drop(source);
    let mut copy = open_existing(temporary.path()).map_err(tell)?;
    schema::prepare(&copy).map_err(tell)?;
    let whole = |copy: &Connection| schema::check(copy, from).map_err(|fault| fault.of(from));
    // Damage is told before a step stumbles over it.
    whole(&copy)?;
    schema::upgrade(&mut copy, from)?;
    whole(&copy)?;
    let audited = audit::audit(&copy, from).map_err(|fault: Fault| fault.of(from))?;
    copy.close().map_err(|(_, error)| tell(error))?;
    Ok(audited)
}

/// Gives what is to be replaced a second name. From the first to the last moment there is a
/// whole file of the first one.
fn keep(to: &Path, now: &Moment) -> Result<PathBuf, RecordsError> {
    let kept = beside(to, &format!(".replaced-{}", now.in_file_name()));
    if kept.exists() {
        return Err(RecordsError::FileExists { file: kept });
    }
    // Taking it out of its log needs it alone: whoever else has it would write into the wind.
    let alone = open_existing(to)
        .and_then(|connection| schema::write_in_place(&connection).map(|()| connection))
        .map(drop);
    // It may be damaged: that is why it is replaced.
    if let Err(error) = alone
        && let told @ (RecordsError::Locked { .. } | RecordsError::ReadOnly { .. }) =
            told(&error, to)
    {
        return Err(told);
    }
    for after in ["-wal", "-shm"] {
        let log = beside(to, after);
        if log.exists() {
            fs::rename(&log, beside(&kept, after)).map_err(|error| io(&error, &log))?;
        }
    }
    // Not every file system has second names: there the file is away for a moment.
    fs::hard_link(to, &kept)
        .or_else(|_| fs::rename(to, &kept))
        // Its second name is on the disk before the first one is given away.
        .and_then(|()| sync_folder(&kept))
        .map_err(|error| io(&error, &kept))?;
    Ok(kept)
}
