//! What was predicted of a signed build when it came apart, as it was said then: the JSON that the
//! program gave, with its version and the hash of what it was given. Never worked out again in its
//! place.

use crate::canonical::{Form, Sha};
use crate::error::{Fault, RecordsError};
use crate::ids::{BuildId, PersonId, PredictionId};
use crate::shop::Shop;
use crate::time::Moment;
use rusqlite::{Connection, OptionalExtension, Row, params};

/// A prediction as it is kept.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Prediction {
    /// Its number.
    pub id: PredictionId,
    /// For which build.
    pub build: BuildId,
    /// In which revision of it, which was signed.
    pub revision: i64,
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

const COLUMNS: &str = "id, build, revision, program, inputs_hash, document, person, at";

fn prediction(row: &Row<'_>) -> rusqlite::Result<Prediction> {
    Ok(Prediction {
        id: row.get(0)?,
        build: row.get(1)?,
        revision: row.get(2)?,
        program: row.get(3)?,
        inputs_hash: row.get(4)?,
        document: row.get(5)?,
        person: row.get(6)?,
        at: row.get(7)?,
    })
}

impl Prediction {
    /// The hash of itself.
    pub(crate) fn seal(&self) -> Sha {
        Form::new("lobewright prediction 1")
            .whole(self.id.0)
            .whole(self.build.0)
            .whole(self.revision)
            .text(&self.program)
            .sha(self.inputs_hash)
            .text(&self.document)
            .whole(self.person.0)
            .text(self.at.as_str())
            .end()
    }
}

/// Each prediction with the seal it has, in the order of their numbers.
pub(crate) fn each(
    connection: &Connection,
    mut look: impl FnMut(&Prediction, Sha) -> Result<(), Fault>,
) -> Result<(), Fault> {
    let mut statement =
        connection.prepare(&format!("SELECT {COLUMNS}, seal FROM prediction ORDER BY id"))?;
    let mut rows = statement.query([])?;
    while let Some(row) = rows.next()? {
        look(&prediction(row)?, row.get(8)?)?;
    }
    Ok(())
}

/// Keeps one, in a transaction that somebody else ends. Its number is given here.
pub(crate) fn add(connection: &Connection, new: &Prediction) -> Result<PredictionId, Fault> {
    let last: i64 =
        connection
            .query_row("SELECT coalesce(max(id), 0) FROM prediction", [], |row| row.get(0))?;
    let kept = Prediction { id: PredictionId(last + 1), ..new.clone() };
    connection
        .prepare_cached(&format!(
            "INSERT INTO prediction ({COLUMNS}, seal) VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9)"
        ))?
        .execute(params![
            kept.id,
            kept.build,
            kept.revision,
            kept.program,
            kept.inputs_hash,
            kept.document,
            kept.person,
            kept.at,
            kept.seal(),
        ])?;
    Ok(kept.id)
}

impl Shop {
    /// A prediction.
    ///
    /// # Errors
    /// Where there is none of that number.
    pub fn prediction(&self, id: PredictionId) -> Result<Prediction, RecordsError> {
        self.read(|connection| {
            connection
                .prepare_cached(&format!("SELECT {COLUMNS} FROM prediction WHERE id = ?1"))?
                .query_row([id], prediction)
                .optional()?
                .ok_or_else(|| Fault::not_there("prediction", id))
        })
    }
}
