//! Parts by their serials, and everything that ever happened to one.

use crate::builds::{self, Fitted};
use crate::error::{Fault, RecordsError};
use crate::findings::{self, Finding};
use crate::ids::{BuildId, PartEventId, PartId, PersonId};
use crate::readings::{self, Reading, reading};
use crate::shop::Shop;
use crate::time::Moment;
use crate::words::PartKind;
use rusqlite::{Connection, OptionalExtension, Row, params};

/// A part.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Part {
    /// Its number.
    pub id: PartId,
    /// What it is.
    pub kind: PartKind,
    /// Its serial; no two of a kind have the same.
    pub serial: String,
    /// Whether it is never used again.
    pub retired: bool,
    /// Who entered it.
    pub person: PersonId,
    /// When.
    pub at: Moment,
}

/// Something that happened to a part.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PartEvent {
    /// Its number.
    pub id: PartEventId,
    /// What, in the shop's words.
    pub what: String,
    /// Who wrote it.
    pub person: PersonId,
    /// When.
    pub at: Moment,
}

/// Which parts to find.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct PartSearch<'a> {
    /// How the serial begins, capitals or not; empty for all.
    pub serial: &'a str,
    /// Only of this kind.
    pub kind: Option<PartKind>,
    /// Only those that no build has claimed and that are not retired.
    pub on_shelf: bool,
    /// How many at most.
    pub most: usize,
    /// How many of the last readings of each.
    pub last_readings: usize,
}

/// A part that was found.
#[derive(Debug, Clone, PartialEq)]
pub struct PartFound {
    /// The part.
    pub part: Part,
    /// The build it is in, and what that is called.
    pub build: Option<(BuildId, String)>,
    /// Its last readings that stand, the last first.
    pub readings: Vec<Reading>,
}

/// Everything about a part.
#[derive(Debug, Clone, PartialEq)]
pub struct PartHistory {
    /// The part.
    pub part: Part,
    /// What happened to it, the first first.
    pub events: Vec<PartEvent>,
    /// The builds it was in, the first first, each with its name.
    pub fitted: Vec<(Fitted, String)>,
    /// All its readings in the order they were taken, superseded ones among them.
    pub readings: Vec<Reading>,
    /// What was found on it at teardowns.
    pub findings: Vec<Finding>,
}

const COLUMNS: &str = "p.id, p.kind, p.serial, p.retired, p.person, p.at";

fn part(row: &Row<'_>) -> rusqlite::Result<Part> {
    Ok(Part {
        id: row.get(0)?,
        kind: row.get(1)?,
        serial: row.get(2)?,
        retired: row.get(3)?,
        person: row.get(4)?,
        at: row.get(5)?,
    })
}

/// A text that comes after all that begin with this one.
pub(crate) fn after_all(prefix: &str) -> String {
    format!("{prefix}{}", char::MAX)
}

fn get(connection: &Connection, id: PartId) -> Result<Part, Fault> {
    connection
        .prepare_cached(&format!("SELECT {COLUMNS} FROM part p WHERE p.id = ?1"))?
        .query_row([id], part)
        .optional()?
        .ok_or_else(|| Fault::not_there("part", id))
}

fn last_readings(connection: &Connection, id: PartId, most: usize) -> Result<Vec<Reading>, Fault> {
    let mut statement = connection.prepare_cached(&format!(
        "SELECT {} FROM reading r WHERE r.part = ?1 AND r.superseded_by IS NULL
         ORDER BY r.id DESC LIMIT ?2",
        readings::COLUMNS
    ))?;
    Ok(statement.query_map((id, most as i64), reading)?.collect::<Result<_, _>>()?)
}

/// Adds a part, in a transaction that somebody else ends.
pub(crate) fn add(
    connection: &Connection,
    kind: PartKind,
    serial: &str,
    (person, at): (PersonId, &Moment),
) -> Result<PartId, Fault> {
    connection
        .prepare_cached("INSERT INTO part (kind, serial, person, at) VALUES (?1, ?2, ?3, ?4)")?
        .insert((kind, serial, person, at))
        .map(PartId)
        .map_err(|error| Fault::taken(error, kind.word()))
}

pub(crate) fn of_serial(
    connection: &Connection,
    kind: PartKind,
    serial: &str,
) -> Result<Option<Part>, Fault> {
    Ok(connection
        .prepare_cached(&format!(
            "SELECT {COLUMNS} FROM part p WHERE p.kind = ?1 AND p.serial = ?2"
        ))?
        .query_row((kind, serial), part)
        .optional()?)
}

impl Shop {
    /// Adds a part.
    ///
    /// # Errors
    /// Where there is one of that kind and serial.
    pub fn add_part(
        &self,
        kind: PartKind,
        serial: &str,
        (person, at): (PersonId, &Moment),
    ) -> Result<PartId, RecordsError> {
        self.write(|tx| add(tx, kind, serial, (person, at)))
    }

    /// Writes down what happened to a part.
    ///
    /// # Errors
    /// Where there is no such part, or nothing is said.
    pub fn add_part_event(
        &self,
        part: PartId,
        what: &str,
        (person, at): (PersonId, &Moment),
    ) -> Result<PartEventId, RecordsError> {
        self.write(|tx| {
            let id = tx
                .prepare_cached(
                    "INSERT INTO part_event (part, what, person, at) VALUES (?1, ?2, ?3, ?4)",
                )?
                .insert((part, what, person, at))?;
            Ok(PartEventId(id))
        })
    }

    /// Retires a part, or takes it back.
    ///
    /// # Errors
    /// Where there is no such part, or it is in an engine.
    pub fn set_retired(&self, id: PartId, retired: bool) -> Result<(), RecordsError> {
        self.write(|tx| {
            let inside: Option<i64> = tx
                .query_row(
                    "SELECT build FROM build_part WHERE part = ?1 AND out_why IS NULL",
                    [id],
                    |row| row.get(0),
                )
                .optional()?;
            if let (true, Some(build)) = (retired, inside) {
                return Err(Fault::refused(format!("the part is in build {build}: take it out")));
            }
            match tx.execute("UPDATE part SET retired = ?2 WHERE id = ?1", (id, retired))? {
                1 => Ok(()),
                _ => Err(Fault::not_there("part", id)),
            }
        })
    }

    /// One part.
    ///
    /// # Errors
    /// Where there is none of that number.
    pub fn part(&self, id: PartId) -> Result<Part, RecordsError> {
        self.read(|connection| get(connection, id))
    }

    /// The part of this kind and serial, if there is one.
    ///
    /// # Errors
    /// Where the file cannot be read.
    pub fn part_of(&self, kind: PartKind, serial: &str) -> Result<Option<Part>, RecordsError> {
        self.read(|connection| of_serial(connection, kind, serial))
    }

    /// Parts by how their serial begins, with their last readings.
    ///
    /// # Errors
    /// Where the file cannot be read.
    pub fn parts(&self, search: &PartSearch<'_>) -> Result<Vec<PartFound>, RecordsError> {
        self.read(|connection| {
            let mut statement = connection.prepare_cached(&format!(
                "SELECT {COLUMNS}, b.id, b.name FROM part p
                 LEFT JOIN build_part f ON f.part = p.id AND f.out_why IS NULL
                 LEFT JOIN build b ON b.id = f.build
                 WHERE p.serial COLLATE NOCASE >= ?1 AND p.serial COLLATE NOCASE < ?2
                   AND (?3 IS NULL OR p.kind = ?3)
                   AND (?4 = 0 OR (f.id IS NULL AND p.retired = 0))
                 ORDER BY p.serial COLLATE NOCASE, p.id LIMIT ?5"
            ))?;
            let prefix = search.serial.trim();
            let found = statement.query_map(
                params![
                    prefix,
                    after_all(prefix),
                    search.kind,
                    search.on_shelf,
                    search.most as i64
                ],
                |row| {
                    let build: Option<BuildId> = row.get(6)?;
                    let build = match build {
                        Some(id) => Some((id, row.get(7)?)),
                        None => None,
                    };
                    Ok((part(row)?, build))
                },
            )?;
            let found: Vec<_> = found.collect::<Result<_, _>>()?;
            found
                .into_iter()
                .map(|(part, build)| {
                    let readings = last_readings(connection, part.id, search.last_readings)?;
                    Ok(PartFound { part, build, readings })
                })
                .collect()
        })
    }

    /// Everything about a part.
    ///
    /// # Errors
    /// Where there is none of that number.
    pub fn part_history(&self, id: PartId) -> Result<PartHistory, RecordsError> {
        self.read(|connection| {
            let part = get(connection, id)?;
            let mut statement = connection.prepare_cached(
                "SELECT id, what, person, at FROM part_event WHERE part = ?1 ORDER BY id",
            )?;
            let events = statement
                .query_map([id], |row| {
                    Ok(PartEvent {
                        id: row.get(0)?,
                        what: row.get(1)?,
                        person: row.get(2)?,
                        at: row.get(3)?,
                    })
                })?
                .collect::<Result<_, _>>()?;
            let mut statement = connection.prepare_cached(&format!(
                "SELECT {}, b.name FROM build_part f JOIN part p ON p.id = f.part
                 JOIN build b ON b.id = f.build WHERE f.part = ?1 ORDER BY f.id",
                builds::FITTED
            ))?;
            let fitted = statement
                .query_map([id], |row| Ok((builds::fitted(row)?, row.get(14)?)))?
                .collect::<Result<_, _>>()?;
            let mut statement = connection.prepare_cached(&format!(
                "SELECT {} FROM reading r WHERE r.part = ?1 ORDER BY r.id",
                readings::COLUMNS
            ))?;
            let readings = statement.query_map([id], reading)?.collect::<Result<_, _>>()?;
            let findings = findings::of_part(connection, id)?;
            Ok(PartHistory { part, events, fitted, readings, findings })
        })
    }
}
