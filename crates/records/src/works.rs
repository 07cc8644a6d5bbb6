//! What was worked out for a build: plans, sheets, balance runs. Each is the JSON that the
//! program gave, with its version and the hash of what it was given.

use crate::canonical::{Form, Sha};
use crate::error::{Fault, RecordsError};
use crate::ids::{BuildId, PersonId, WorkId};
use crate::shop::Shop;
use crate::time::Moment;
use crate::words::WorkKind;
use rusqlite::{Connection, OptionalExtension, Row, params};

/// A piece of work to be kept.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct NewWork<'a> {
    /// What it is.
    pub kind: WorkKind,
    /// For which build, in the revision that stands.
    pub build: BuildId,
    /// What it is called.
    pub title: &'a str,
    /// The program and its version.
    pub program: &'a str,
    /// Of everything that it was worked out from.
    pub inputs_hash: Sha,
    /// JSON.
    pub document: &'a str,
    /// By whom.
    pub person: PersonId,
    /// When.
    pub at: &'a Moment,
}

/// A piece of work as it is kept.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Work {
    /// What it is.
    pub kind: WorkKind,
    /// Its number among those of its kind.
    pub id: WorkId,
    /// For which build.
    pub build: BuildId,
    /// In which revision of it.
    pub revision: i64,
    /// What it is called.
    pub title: String,
    /// The program and its version.
    pub program: String,
    /// Of everything that it was worked out from.
    pub inputs_hash: Sha,
    /// JSON.
    pub document: String,
    /// By whom.
    pub person: PersonId,
    /// When.
    pub at: Moment,
}

pub(crate) const fn table(kind: WorkKind) -> &'static str {
    match kind {
        WorkKind::Plan => "plan",
        WorkKind::Sheet => "sheet",
        WorkKind::BalanceRun => "balance_run",
    }
}

const COLUMNS: &str = "id, build, revision, title, program, inputs_hash, document, person, at";

fn work(kind: WorkKind, row: &Row<'_>) -> rusqlite::Result<Work> {
    Ok(Work {
        kind,
        id: row.get(0)?,
        build: row.get(1)?,
        revision: row.get(2)?,
        title: row.get(3)?,
        program: row.get(4)?,
        inputs_hash: row.get(5)?,
        document: row.get(6)?,
        person: row.get(7)?,
        at: row.get(8)?,
    })
}

impl Work {
    /// The hash of itself.
    pub(crate) fn seal(&self) -> Sha {
        Form::new("lobewright work 1")
            .text(self.kind.word())
            .whole(self.id.0)
            .whole(self.build.0)
            .whole(self.revision)
            .text(&self.title)
            .text(&self.program)
            .sha(self.inputs_hash)
            .text(&self.document)
            .whole(self.person.0)
            .text(self.at.as_str())
            .end()
    }
}

/// Each piece of one kind with the seal it has, in the order of their numbers.
pub(crate) fn each(
    connection: &Connection,
    kind: WorkKind,
    mut look: impl FnMut(&Work, Sha) -> Result<(), Fault>,
) -> Result<(), Fault> {
    let mut statement =
        connection.prepare(&format!("SELECT {COLUMNS}, seal FROM {} ORDER BY id", table(kind)))?;
    let mut rows = statement.query([])?;
    while let Some(row) = rows.next()? {
        look(&work(kind, row)?, row.get(9)?)?;
    }
    Ok(())
}

impl Shop {
    /// Keeps a piece of work.
    ///
    /// # Errors
    /// Where there is no such build or person, or the document is no JSON.
    pub fn add_work(&self, new: &NewWork<'_>) -> Result<WorkId, RecordsError> {
        self.write(|tx| {
            let table = table(new.kind);
            let revision = crate::builds::get(tx, new.build)?.revision;
            let last: i64 =
                tx.query_row(&format!("SELECT coalesce(max(id), 0) FROM {table}"), [], |row| {
                    row.get(0)
                })?;
            let kept = Work {
                kind: new.kind,
                id: WorkId(last + 1),
                build: new.build,
                revision,
                title: new.title.to_owned(),
                program: new.program.to_owned(),
                inputs_hash: new.inputs_hash,
                document: new.document.to_owned(),
                person: new.person,
                at: new.at.clone(),
            };
            tx.prepare_cached(&format!(
                "INSERT INTO {table} ({COLUMNS}, seal)
                 VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10)"
            ))?
            .execute(params![
                kept.id,
                kept.build,
                kept.revision,
                kept.title,
                kept.program,
                kept.inputs_hash,
                kept.document,
                kept.person,
                kept.at,
                kept.seal(),
            ])?;
            Ok(kept.id)
        })
    }

    /// All pieces of one kind of a build, the last first.
    ///
    /// # Errors
    /// Where the file cannot be read.
    pub fn works(&self, build: BuildId, kind: WorkKind) -> Result<Vec<Work>, RecordsError> {
        self.read(|connection| {
            let mut statement = connection.prepare_cached(&format!(
                "SELECT {COLUMNS} FROM {} WHERE build = ?1 ORDER BY id DESC",
                table(kind)
            ))?;
            let works = statement.query_map([build], |row| work(kind, row))?;
            Ok(works.collect::<Result<_, _>>()?)
        })
    }

    /// The last piece of one kind of a build.
    ///
    /// # Errors
    /// Where the file cannot be read.
    pub fn last_work(&self, build: BuildId, kind: WorkKind) -> Result<Option<Work>, RecordsError> {
        self.read(|connection| {
            let mut statement = connection.prepare_cached(&format!(
                "SELECT {COLUMNS} FROM {} WHERE build = ?1 ORDER BY id DESC LIMIT 1",
                table(kind)
            ))?;
            Ok(statement.query_row([build], |row| work(kind, row)).optional()?)
        })
    }
}
