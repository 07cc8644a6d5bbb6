//! Backups on a schedule: a dated copy in a folder, tried at once by a restore beside it, the old
//! ones taken away by a rule, and what came of it written down in the shop.

mod keep;
mod schedule;

pub use keep::{Keep, KeepError, USUAL_KEEP};
pub use schedule::{HOURS, LastGood, Rule, RuleError, State, due, nightly, rule, set_rule, state};

use records::{Audited, Moment, RecordsError, Shop, restore};
use std::fs;
use std::io;
use std::path::{Path, PathBuf};
use thiserror::Error;

/// After the moment in the name of a backup, of one that did not pass, and of a trial.
const BACKUP: &str = ".backup.db";
const FAILED: &str = ".failed.db";
const TRIAL: &str = ".trial.db";

/// Why there is no new backup.
#[derive(Debug, Error)]
#[non_exhaustive]
pub enum BackupError {
    /// What the shop's file, or the copy, says.
    #[error(transparent)]
    Records(#[from] RecordsError),
    /// The folder.
    #[error("{}: {what}", .folder.display())]
    Folder {
        /// Which.
        folder: PathBuf,
        /// What is wrong with it, and the cure.
        what: String,
    },
    /// The copy cannot be restored.
    #[error(
        "the copy {} did not pass its trial: {why}; older backups were left as they are", .kept.display()
    )]
    Failed {
        /// Where it is kept.
        kept: PathBuf,
        /// Why not.
        why: RecordsError,
    },
    /// The copy has less than the shop had before it was made.
    #[error("the copy has {copy} of {table} and the shop had {shop}; it was set aside")]
    Less {
        /// Of what.
        table: String,
        /// How many the shop had.
        shop: i64,
        /// How many the copy has.
        copy: i64,
    },
}

/// A backup that was made and tried.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Made {
    /// Where it is.
    pub file: PathBuf,
    /// Its bytes.
    pub size: u64,
    /// What the audit of the restored file counted.
    pub audited: Audited,
    /// Older ones that were taken away.
    pub gone: Vec<PathBuf>,
}

/// What a file of a shop's backups is called.
fn name(shop: &Path, at: &Moment, after: &str) -> String {
    let stem = shop.file_stem().map_or_else(|| "shop".into(), |stem| stem.to_string_lossy());
    let digits: String = at.as_str().chars().filter(|c| !matches!(c, '-' | ':')).collect();
    format!("{stem}-{digits}{after}")
}

/// Files of a folder that have names of this shop's backups, with the moment in it.
fn named(shop: &Path, folder: &Path, after: &str) -> io::Result<Vec<(Moment, PathBuf)>> {
    let mut found = Vec::new();
    for entry in fs::read_dir(folder)? {
        let entry = entry?;
        let called = entry.file_name();
        // Neither a folder nor a pointer elsewhere is one.
        let Some(called) = called.to_str().filter(|_| entry.file_type().is_ok_and(|t| t.is_file()))
        else {
            continue;
        };
        if let Some(at) = moment_in(called).filter(|at| called == name(shop, at, after)) {
            found.push((at, entry.path()));
        }
    }
    found.sort();
    Ok(found)
}

/// The moment in a name: its last digits before the first point after them.
fn moment_in(called: &str) -> Option<Moment> {
    let stem = [BACKUP, FAILED, TRIAL].iter().find_map(|after| called.strip_suffix(after))?;
    let digits = stem.get(stem.len().checked_sub(16)?..)?;
    if !digits.is_ascii() {
        return None;
    }
    let (day, time) = (digits.get(..8)?, digits.get(9..15)?);
    let text = format!(
        "{}-{}-{}T{}:{}:{}Z",
        &day[..4],
        &day[4..6],
        &day[6..],
        &time[..2],
        &time[2..4],
        &time[4..]
    );
    Moment::new(&text).ok()
}

fn in_folder(folder: &Path, error: &io::Error) -> BackupError {
    let what = match error.kind() {
        io::ErrorKind::NotFound => "there is no such folder; make it, or choose another".to_owned(),
        io::ErrorKind::PermissionDenied | io::ErrorKind::ReadOnlyFilesystem => {
            "this program may not write there; allow it, or choose another folder".to_owned()
        }
        io::ErrorKind::NotADirectory => "it is no folder; choose one".to_owned(),
        _ => error.to_string(),
    };
    BackupError::Folder { folder: folder.to_owned(), what }
}

/// Whether backups can be written into a folder.
fn writable(folder: &Path) -> Result<(), BackupError> {
    if !folder.is_dir() {
        let missing =
            if folder.exists() { io::ErrorKind::NotADirectory } else { io::ErrorKind::NotFound };
        return Err(in_folder(folder, &missing.into()));
    }
    tempfile::tempfile_in(folder).map(drop).map_err(|error| in_folder(folder, &error))
}

/// Makes a backup of a shop in a folder that is there, tries it by restoring it to a file beside it
/// that is gone again, takes away what the rule lets go of, and writes down in the shop that it is
/// good. Only files with the names of this shop's backups are ever taken away, and none of them
/// unless the new one passed.
///
/// Nobody who reads or writes has to wait.
///
/// # Errors
/// [`BackupError`]: then the older ones are all there.
pub fn back_up(shop: &Shop, folder: &Path, keep: Keep, now: &Moment) -> Result<Made, BackupError> {
    writable(folder)?;
    let tell = |error: io::Error| in_folder(folder, &error);
    // What a program that was killed left of a trial.
    for (_, left) in named(shop.file(), folder, TRIAL).map_err(tell)? {
        fs::remove_file(left).map_err(tell)?;
    }
    let before = shop.counts()?;
    let copy = folder.join(name(shop.file(), now, BACKUP));
    shop.backup(&copy)?;
    let tried = try_it(shop, &copy, &before, now);
    let audited = tried.inspect_err(|error| match error {
        // It was never tried, and takes the room that there is.
        BackupError::Records(RecordsError::DiskFull { .. }) => drop(fs::remove_file(&copy)),
        _ => set_aside(shop, folder, &copy, now),
    });
    let audited = match audited {
        Err(BackupError::Records(why)) if !matches!(why, RecordsError::DiskFull { .. }) => {
            let kept = folder.join(name(shop.file(), now, FAILED));
            return Err(BackupError::Failed { kept, why });
        }
        other => other?,
    };
    let size = fs::metadata(&copy).map_err(tell)?.len();
    schedule::passed(shop, &copy, (size, &audited), now)?;
    let there = named(shop.file(), folder, BACKUP).map_err(tell)?;
    let moments: Vec<Moment> = there.iter().map(|(at, _)| at.clone()).collect();
    let old = keep.gone(&moments);
    let mut gone = Vec::new();
    for (_, path) in there.into_iter().filter(|(at, path)| old.contains(at) && *path != copy) {
        fs::remove_file(&path).map_err(tell)?;
        gone.push(path);
    }
    Ok(Made { file: copy, size, audited, gone })
}

/// Restores a copy beside itself, with everything that a restore looks at, and counts.
fn try_it(
    shop: &Shop,
    copy: &Path,
    before: &[(String, i64)],
    now: &Moment,
) -> Result<Audited, BackupError> {
    let trial = copy.with_file_name(name(shop.file(), now, TRIAL));
    let tried = restore(copy, &trial, now).map_err(BackupError::from).and_then(|restored| {
        let counts = Shop::open(&trial, now)?.counts()?;
        for (table, had) in before {
            let has = counts.iter().find(|(name, _)| name == table).map_or(0, |(_, has)| *has);
            if has < *had {
                return Err(BackupError::Less { table: table.clone(), shop: *had, copy: has });
            }
        }
        Ok(restored.audited)
    });
    // Gone whatever came of it; what cannot be removed now is at the next backup.
    for after in ["", "-wal", "-shm"] {
        let mut left = trial.clone().into_os_string();
        left.push(after);
        let _ = fs::remove_file(left);
    }
    tried
}

/// A copy that did not pass has no name of a backup. The last such one is kept to be looked at.
fn set_aside(shop: &Shop, folder: &Path, copy: &Path, now: &Moment) {
    let failed = folder.join(name(shop.file(), now, FAILED));
    for (_, old) in named(shop.file(), folder, FAILED).unwrap_or_default() {
        let _ = fs::remove_file(old);
    }
    // Where it cannot be renamed, it is not left under a name that would be believed.
    if fs::rename(copy, &failed).is_err() {
        let _ = fs::remove_file(copy);
    }
}

#[cfg(test)]
mod tests;
