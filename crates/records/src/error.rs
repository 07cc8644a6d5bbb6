//! What can go wrong with the shop's file, told by what the shop can do about it.

use crate::canonical::Sha;
use crate::ids::{BuildId, PersonId, TeardownId};
use crate::readings::Reading;
use crate::time::Moment;
use crate::values::BuildValue;
use std::path::{Path, PathBuf};
use thiserror::Error;

/// Why the shop's file could not be opened, read or written. Each names the file, or the shop's
/// own thing, and the cure where one is known.
#[derive(Debug, Clone, PartialEq, Error)]
#[non_exhaustive]
pub enum RecordsError {
    /// Nothing is there.
    #[error("there is no file {}; make a new shop there, or say where the shop's file is", .file.display())]
    NoFile {
        /// The file.
        file: PathBuf,
    },
    /// No folder to write it in.
    #[error("there is no folder for {}; make it, or choose another place", .file.display())]
    NoFolder {
        /// The file.
        file: PathBuf,
    },
    /// Something is there already.
    #[error("{} is there already and is not overwritten; choose another name", .file.display())]
    FileExists {
        /// The file.
        file: PathBuf,
    },
    /// A file of another kind.
    #[error("{} is no shop's file; say where the shop's file is", .file.display())]
    NotAShop {
        /// The file.
        file: PathBuf,
    },
    /// Written by a newer program.
    #[error(
        "{} is of version {found}, this program knows versions up to {known}; it was left as it \
         is: use the newer program", .file.display()
    )]
    Newer {
        /// The file.
        file: PathBuf,
        /// Its version.
        found: u32,
        /// The newest known one.
        known: u32,
    },
    /// Damaged.
    #[error("{} is damaged ({what}); keep it, and restore the last backup", .file.display())]
    Damaged {
        /// The file.
        file: PathBuf,
        /// What was found.
        what: String,
    },
    /// Somebody else has it.
    #[error("{} is in use by another program; close that, then try again", .file.display())]
    Locked {
        /// The file.
        file: PathBuf,
    },
    /// Nothing can be written.
    #[error("{} cannot be written; allow writing to it and to its folder", .file.display())]
    ReadOnly {
        /// The file.
        file: PathBuf,
    },
    /// No room.
    #[error(
        "the disk of {} is full; nothing that was acknowledged is lost: make room, then enter the \
         last value again", .file.display()
    )]
    DiskFull {
        /// The file.
        file: PathBuf,
    },
    /// The operating system refused.
    #[error("{}: {what}", .file.display())]
    Io {
        /// The file.
        file: PathBuf,
        /// What it said.
        what: String,
    },
    /// What is asked for is not there.
    #[error("there is no {what}")]
    NotThere {
        /// Its kind and name or number.
        what: String,
    },
    /// The name is taken.
    #[error("there is a {what} of this name already; choose another")]
    NameTaken {
        /// Its kind.
        what: &'static str,
    },
    /// A rule of the file stands against it.
    #[error("{why}")]
    Refused {
        /// The rule.
        why: String,
    },
    /// Somebody else was faster.
    #[error(transparent)]
    Conflict(#[from] Box<Conflict>),
    /// Two lines of a build file have one place.
    #[error("{place} is in the file twice; keep one of them")]
    TwiceInFile {
        /// The place.
        place: String,
    },
    /// Something other than a picture or a PDF.
    #[error("{name:?} is none of PNG, JPEG, WebP and PDF by its first bytes; attach one of these")]
    MediaType {
        /// The file's name.
        name: String,
    },
    /// Too large.
    #[error("{name:?} has {size} bytes, the most is {most}; attach a smaller picture")]
    TooLarge {
        /// The file's name.
        name: String,
        /// Its size.
        size: usize,
        /// The limit.
        most: usize,
    },
    /// The record does not hold together.
    #[error("{} does not pass its audit: {misfit}", .file.display())]
    Audit {
        /// The file.
        file: PathBuf,
        /// The first record that does not fit.
        misfit: Box<crate::audit::Misfit>,
    },
    /// Anything else that the database said.
    #[error("{}: {what}", .file.display())]
    Database {
        /// The file.
        file: PathBuf,
        /// What it said.
        what: String,
    },
}

/// Two people changed the same thing: what each of them has.
#[derive(Debug, Clone, PartialEq, Error)]
#[non_exhaustive]
pub enum Conflict {
    /// The same station.
    #[error(
        "{station} was to become {yours:?}, but {}; look at both and enter what is right",
        .who.as_ref().zip(.theirs.as_ref()).map_or_else(
            || "its reading is no longer there".to_owned(),
            |(who, theirs)| format!("{} entered {:?} at {}", who.name, theirs.value.text(), who.at))
    )]
    Reading {
        /// Where.
        station: String,
        /// What was to be written.
        yours: String,
        /// What stands there now.
        theirs: Option<Reading>,
        /// Who entered that.
        who: Option<Who>,
    },
    /// The same place of the build's file.
    #[error(
        "{place} was to become {yours:?}, but {}; look at both and enter what is right",
        .who.as_ref().zip(.theirs.as_ref()).map_or_else(
            || "it is no longer there".to_owned(),
            |(who, theirs)| format!("{} made it {:?} at {}", who.name, theirs.shown(), who.at))
    )]
    Value {
        /// Where.
        place: String,
        /// What was to be written.
        yours: String,
        /// What stands there now.
        theirs: Option<BuildValue>,
        /// Who put that there.
        who: Option<Who>,
    },
    /// The build as a whole.
    #[error(
        "build {build} changed since it was looked at{}; look at it again",
        .last.as_ref().map_or_else(String::new, |who| format!(", last by {} at {}", who.name, who.at))
    )]
    Build {
        /// Which.
        build: BuildId,
        /// As it was when it was looked at.
        yours: Seen,
        /// As it is.
        theirs: Seen,
        /// Who entered something last, and when.
        last: Option<Who>,
    },
    /// The same teardown.
    #[error(
        "the teardown of build {build} {}; look at it again and enter what is right",
        .who.as_ref().map_or_else(
            || "is no longer there".to_owned(),
            |who| format!("was entered by {} at {} since it was looked at", who.name, who.at))
    )]
    Teardown {
        /// Of which build.
        build: BuildId,
        /// The one that was looked at.
        yours: Option<TeardownId>,
        /// The one that stands.
        theirs: Option<TeardownId>,
        /// Who entered that.
        who: Option<Who>,
    },
    /// Another revision.
    #[error(
        "build {build} was looked at in revision {yours}, and is in revision {theirs} now{}; \
         look at it again",
        .opened.as_ref().map_or_else(
            String::new,
            |who| format!(", which {} opened at {}", who.name, who.at))
    )]
    Revision {
        /// Which build.
        build: BuildId,
        /// The revision that was looked at.
        yours: i64,
        /// The one that stands.
        theirs: i64,
        /// Who opened it, and when.
        opened: Option<Who>,
    },
}

/// Who did something, and when.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Who {
    /// Their number.
    pub person: PersonId,
    /// What they are called.
    pub name: String,
    /// When.
    pub at: Moment,
}

/// How far a build had come when it was looked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Seen {
    /// Its revision.
    pub revision: i64,
    /// The number of its last reading, 0 if it has none.
    pub last_reading: i64,
    /// The number of its last value, 0 if it has none.
    pub last_value: i64,
    /// How often a part was fitted or taken out.
    pub fittings: i64,
    /// Of its name, customer, engine and spec.
    pub head: Sha,
}

/// An error on its way up: what the database said does not know the file's name yet.
#[derive(Debug)]
pub(crate) enum Fault {
    Sql(rusqlite::Error),
    Told(RecordsError),
}

impl From<rusqlite::Error> for Fault {
    fn from(error: rusqlite::Error) -> Self {
        Self::Sql(error)
    }
}

impl From<RecordsError> for Fault {
    fn from(error: RecordsError) -> Self {
        Self::Told(error)
    }
}

impl From<Conflict> for Fault {
    fn from(conflict: Conflict) -> Self {
        Self::Told(RecordsError::Conflict(Box::new(conflict)))
    }
}

impl Fault {
    /// Something that was asked for by its number is not there.
    pub(crate) fn not_there(kind: &str, id: impl std::fmt::Display) -> Self {
        Self::Told(RecordsError::NotThere { what: format!("{kind} {id}") })
    }

    pub(crate) fn refused(why: impl Into<String>) -> Self {
        Self::Told(RecordsError::Refused { why: why.into() })
    }

    /// A name that is unique, taken; other errors as they are.
    pub(crate) fn taken(error: rusqlite::Error, what: &'static str) -> Self {
        use rusqlite::ffi::SQLITE_CONSTRAINT_UNIQUE;
        match error.sqlite_error() {
            Some(code) if code.extended_code == SQLITE_CONSTRAINT_UNIQUE => {
                Self::Told(RecordsError::NameTaken { what })
            }
            _ => Self::Sql(error),
        }
    }

    /// With the name of the file.
    pub(crate) fn of(self, file: &Path) -> RecordsError {
        match self {
            Self::Told(error) => error,
            Self::Sql(error) => told(&error, file),
        }
    }
}

/// What an error of the database means to the shop.
pub(crate) fn told(error: &rusqlite::Error, file: &Path) -> RecordsError {
    use rusqlite::ErrorCode;
    let path = file.to_owned();
    let what = error.to_string();
    let Some(code) = error.sqlite_error() else {
        return match error {
            // A row that is not of the form that this crate alone writes.
            rusqlite::Error::FromSqlConversionFailure(..)
            | rusqlite::Error::InvalidColumnType(..)
            | rusqlite::Error::IntegralValueOutOfRange(..)
            | rusqlite::Error::Utf8Error(..) => RecordsError::Damaged { file: path, what },
            _ => RecordsError::Database { file: path, what },
        };
    };
    if code.extended_code == rusqlite::ffi::SQLITE_IOERR_SHMSIZE {
        // The index of the log could not grow: there is no other cause of it than a full disk.
        return RecordsError::DiskFull { file: path };
    }
    match code.code {
        ErrorCode::DiskFull => RecordsError::DiskFull { file: path },
        ErrorCode::ReadOnly | ErrorCode::PermissionDenied => RecordsError::ReadOnly { file: path },
        ErrorCode::DatabaseBusy | ErrorCode::DatabaseLocked => RecordsError::Locked { file: path },
        ErrorCode::NotADatabase => RecordsError::NotAShop { file: path },
        ErrorCode::DatabaseCorrupt => RecordsError::Damaged { file: path, what },
        ErrorCode::SystemIoFailure | ErrorCode::CannotOpen => RecordsError::Io { file: path, what },
        ErrorCode::ConstraintViolation => RecordsError::Refused { why: refusal(error, &what) },
        _ => RecordsError::Database { file: path, what },
    }
}

/// The words of a rule: those of a trigger as they stand, those of a check are its name.
fn refusal(error: &rusqlite::Error, what: &str) -> String {
    use rusqlite::ffi::{
        SQLITE_CONSTRAINT_CHECK, SQLITE_CONSTRAINT_FOREIGNKEY, SQLITE_CONSTRAINT_TRIGGER,
    };
    match error.sqlite_error().map(|code| code.extended_code) {
        Some(SQLITE_CONSTRAINT_TRIGGER) => what.to_owned(),
        Some(SQLITE_CONSTRAINT_CHECK) => {
            what.strip_prefix("CHECK constraint failed: ").unwrap_or(what).to_owned()
        }
        Some(SQLITE_CONSTRAINT_FOREIGNKEY) => {
            "something that it refers to is not in the shop's file".to_owned()
        }
        _ => format!("the shop's file does not take it: {what}"),
    }
}

/// An error of the operating system.
pub(crate) fn io(error: &std::io::Error, file: &Path) -> RecordsError {
    use std::io::ErrorKind;
    let path = file.to_owned();
    match error.kind() {
        ErrorKind::NotFound => RecordsError::NoFile { file: path },
        ErrorKind::AlreadyExists => RecordsError::FileExists { file: path },
        ErrorKind::PermissionDenied | ErrorKind::ReadOnlyFilesystem => {
            RecordsError::ReadOnly { file: path }
        }
        ErrorKind::StorageFull | ErrorKind::QuotaExceeded => RecordsError::DiskFull { file: path },
        _ => RecordsError::Io { file: path, what: error.to_string() },
    }
}
