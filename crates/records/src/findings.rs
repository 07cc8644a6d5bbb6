//! What a teardown tells: contact seen or not, where, after how long.

use crate::canonical::{Form, Sha};
use crate::error::{Fault, RecordsError};
use crate::ids::{BuildId, FindingId, PartId, PersonId};
use crate::shop::Shop;
use crate::time::Moment;
use crate::words::Contact;
use rusqlite::{Connection, Row, params};

/// A finding to be kept.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct NewFinding<'a> {
    /// Of the build that was torn down.
    pub build: BuildId,
    /// On which part.
    pub part: Option<PartId>,
    /// Where: `gear face, tip 1`.
    pub place: &'a str,
    /// Whether it touched.
    pub contact: Contact,
    /// How long it ran, as it was written: `12 h`.
    pub running: Option<&'a str>,
    /// What else was seen.
    pub note: &'a str,
    /// By whom.
    pub person: PersonId,
    /// When.
    pub at: &'a Moment,
}

/// A finding as it is kept.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Finding {
    /// Its number.
    pub id: FindingId,
    /// Of the build that was torn down.
    pub build: BuildId,
    /// On which part.
    pub part: Option<PartId>,
    /// Where.
    pub place: String,
    /// Whether it touched.
    pub contact: Contact,
    /// How long it ran.
    pub running: Option<String>,
    /// What else was seen.
    pub note: String,
    /// By whom.
    pub person: PersonId,
    /// When.
    pub at: Moment,
}

const COLUMNS: &str = "id, build, part, place, contact, running, note, person, at";

fn finding(row: &Row<'_>) -> rusqlite::Result<Finding> {
    Ok(Finding {
        id: row.get(0)?,
        build: row.get(1)?,
        part: row.get(2)?,
        place: row.get(3)?,
        contact: row.get(4)?,
        running: row.get(5)?,
        note: row.get(6)?,
        person: row.get(7)?,
        at: row.get(8)?,
    })
}

impl Finding {
    /// The hash of itself.
    pub(crate) fn seal(&self) -> Sha {
        Form::new("lobewright finding 1")
            .whole(self.id.0)
            .whole(self.build.0)
            .whole_if(self.part.map(|id| id.0))
            .text(&self.place)
            .text(self.contact.word())
            .text_if(self.running.as_deref())
            .text(&self.note)
            .whole(self.person.0)
            .text(self.at.as_str())
            .end()
    }
}

/// Each finding with the seal it has, in the order of their numbers.
pub(crate) fn each(
    connection: &Connection,
    mut look: impl FnMut(&Finding, Sha) -> Result<(), Fault>,
) -> Result<(), Fault> {
    let mut statement =
        connection.prepare(&format!("SELECT {COLUMNS}, seal FROM finding ORDER BY id"))?;
    let mut rows = statement.query([])?;
    while let Some(row) = rows.next()? {
        look(&finding(row)?, row.get(9)?)?;
    }
    Ok(())
}

/// What was found on a part, the first first.
pub(crate) fn of_part(connection: &Connection, part: PartId) -> Result<Vec<Finding>, Fault> {
    let mut statement = connection
        .prepare_cached(&format!("SELECT {COLUMNS} FROM finding WHERE part = ?1 ORDER BY id"))?;
    Ok(statement.query_map([part], finding)?.collect::<Result<_, _>>()?)
}

impl Shop {
    /// Keeps a finding.
    ///
    /// # Errors
    /// Where there is no such build, part or person.
    pub fn add_finding(&self, new: &NewFinding<'_>) -> Result<FindingId, RecordsError> {
        self.write(|tx| {
            if let Some(part) = new.part {
                let was_in = tx
                    .prepare_cached("SELECT 1 FROM build_part WHERE build = ?1 AND part = ?2")?
                    .exists((new.build, part))?;
                if !was_in {
                    return Err(Fault::refused(format!(
                        "part {part} was never in build {}; choose one that was",
                        new.build
                    )));
                }
            }
            let last: i64 =
                tx.query_row("SELECT coalesce(max(id), 0) FROM finding", [], |row| row.get(0))?;
            let kept = Finding {
                id: FindingId(last + 1),
                build: new.build,
                part: new.part,
                place: new.place.to_owned(),
                contact: new.contact,
                running: new.running.map(str::to_owned),
                note: new.note.to_owned(),
                person: new.person,
                at: new.at.clone(),
            };
            tx.prepare_cached(&format!(
                "INSERT INTO finding ({COLUMNS}, seal)
                 VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10)"
            ))?
            .execute(params![
                kept.id,
                kept.build,
                kept.part,
                kept.place,
                kept.contact,
                kept.running,
                kept.note,
                kept.person,
                kept.at,
                kept.seal(),
            ])?;
            Ok(kept.id)
        })
    }

    /// What was found when a build was torn down, the first first.
    ///
    /// # Errors
    /// Where the file cannot be read.
    pub fn findings_of(&self, build: BuildId) -> Result<Vec<Finding>, RecordsError> {
        self.read(|connection| {
            let mut statement = connection.prepare_cached(&format!(
                "SELECT {COLUMNS} FROM finding WHERE build = ?1 ORDER BY id"
            ))?;
            Ok(statement.query_map([build], finding)?.collect::<Result<_, _>>()?)
        })
    }

    /// What was found on a part, in whatever engine it was, the first first.
    ///
    /// # Errors
    /// Where the file cannot be read.
    pub fn findings_on(&self, part: PartId) -> Result<Vec<Finding>, RecordsError> {
        self.read(|connection| of_part(connection, part))
    }
}
