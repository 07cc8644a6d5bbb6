//! Sign-offs: each carries the hash of what it signs and of the sign-off before it.

use crate::builds::{self, Head};
use crate::canonical::{Form, Sha};
use crate::content::{Content, Hashes};
use crate::error::{Fault, RecordsError, Seen};
use crate::ids::{BuildId, PersonId, ReadingId, SignOffId, ValueId};
use crate::readings::last_seal;
use crate::shop::Shop;
use crate::time::Moment;
use rusqlite::{Connection, OptionalExtension, Row, params};

/// A signature to be put under a build.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct NewSignOff<'a> {
    /// Under which.
    pub build: BuildId,
    /// As it was when it was looked at: what is signed is what was seen.
    pub seen: Seen,
    /// Who signs.
    pub person: PersonId,
    /// When.
    pub at: &'a Moment,
    /// What it means: "built and inspected".
    pub meaning: &'a str,
}

/// A sign-off as it is kept.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SignOff {
    /// Its number; they go up by one.
    pub id: SignOffId,
    /// The hash of the one before it, in the whole shop.
    pub previous: Sha,
    /// Of which build.
    pub build: BuildId,
    /// Which revision of it.
    pub revision: i64,
    /// Who signed.
    pub person: PersonId,
    /// What they were called then.
    pub person_name: String,
    /// When.
    pub at: Moment,
    /// What it means.
    pub meaning: String,
    /// What the build was of then.
    pub head: Head,
    /// The last reading in the file then, 0 if there was none.
    pub last_reading: ReadingId,
    /// The last value in the file then, 0 if there was none.
    pub last_value: ValueId,
    /// Of the build's content.
    pub content_hash: Sha,
    /// Of all of this: what stands in the build book, and what the next one carries.
    pub hash: Sha,
    pub(crate) reading_seal: Sha,
    pub(crate) value_seal: Sha,
    pub(crate) hashes: Hashes,
}

pub(crate) const COLUMNS: &str = "id, previous, build, revision, person, person_name, at, \
                                  meaning, name, customer, engine, spec, last_reading, \
                                  reading_seal, last_value, value_seal, head_hash, parts_hash, \
                                  readings_hash, values_hash, content_hash, hash";

pub(crate) fn sign_off(row: &Row<'_>) -> rusqlite::Result<SignOff> {
    Ok(SignOff {
        id: row.get(0)?,
        previous: row.get(1)?,
        build: row.get(2)?,
        revision: row.get(3)?,
        person: row.get(4)?,
        person_name: row.get(5)?,
        at: row.get(6)?,
        meaning: row.get(7)?,
        head: Head {
            name: row.get(8)?,
            customer: row.get(9)?,
            engine: row.get(10)?,
            spec: row.get(11)?,
        },
        last_reading: row.get(12)?,
        reading_seal: row.get(13)?,
        last_value: row.get(14)?,
        value_seal: row.get(15)?,
        hashes: Hashes {
            head: row.get(16)?,
            parts: row.get(17)?,
            readings: row.get(18)?,
            values: row.get(19)?,
        },
        content_hash: row.get(20)?,
        hash: row.get(21)?,
    })
}

impl SignOff {
    /// Its hash, as `docs/RECORDS.md` has it.
    pub(crate) fn own_hash(&self) -> Sha {
        Form::new("lobewright sign-off 1")
            .sha(self.previous)
            .whole(self.id.0)
            .whole(self.build.0)
            .whole(self.revision)
            .whole(self.person.0)
            .text(&self.person_name)
            .text(self.at.as_str())
            .text(&self.meaning)
            .whole(self.last_reading.0)
            .sha(self.reading_seal)
            .whole(self.last_value.0)
            .sha(self.value_seal)
            .sha(self.content_hash)
            .end()
    }
}

fn insert(connection: &Connection, new: &NewSignOff<'_>) -> Result<SignOff, Fault> {
    let build = builds::get(connection, new.build)?;
    let (person_name, active): (String, bool) = connection
        .query_row("SELECT name, active FROM person WHERE id = ?1", [new.person], |row| {
            Ok((row.get(0)?, row.get(1)?))
        })
        .optional()?
        .ok_or_else(|| Fault::not_there("person", new.person))?;
    if !active {
        return Err(Fault::refused(format!("{person_name} no longer works here and cannot sign")));
    }
    let hashes = Content::of(connection, new.build, build.revision, build.head.clone())?.hashes();
    let (last, previous) = connection
        .query_row("SELECT id, hash FROM sign_off ORDER BY id DESC LIMIT 1", [], |row| {
            Ok((row.get(0)?, row.get(1)?))
        })
        .optional()?
        .unwrap_or((0, Sha::NONE));
    let (last_reading, reading_seal) = last_seal(connection, "reading")?;
    let (last_value, value_seal) = last_seal(connection, "build_value")?;
    let mut signed = SignOff {
        id: SignOffId(last + 1),
        previous,
        build: new.build,
        revision: build.revision,
        person: new.person,
        person_name,
        at: new.at.clone(),
        meaning: new.meaning.to_owned(),
        head: build.head,
        last_reading: ReadingId(last_reading),
        last_value: ValueId(last_value),
        content_hash: hashes.content(),
        hash: Sha::NONE,
        reading_seal,
        value_seal,
        hashes,
    };
    signed.hash = signed.own_hash();
    connection
        .prepare_cached(&format!(
            "INSERT INTO sign_off ({COLUMNS})
             VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12, ?13, ?14, ?15, ?16, ?17,
                     ?18, ?19, ?20, ?21, ?22)"
        ))?
        .execute(params![
            signed.id,
            signed.previous,
            signed.build,
            signed.revision,
            signed.person,
            signed.person_name,
            signed.at,
            signed.meaning,
            signed.head.name,
            signed.head.customer,
            signed.head.engine,
            signed.head.spec,
            signed.last_reading,
            signed.reading_seal,
            signed.last_value,
            signed.value_seal,
            signed.hashes.head,
            signed.hashes.parts,
            signed.hashes.readings,
            signed.hashes.values,
            signed.content_hash,
            signed.hash,
        ])?;
    Ok(signed)
}

impl Shop {
    /// Signs a build as it was seen. The first signature closes it; others may follow under the
    /// same revision.
    ///
    /// # Errors
    /// A [`crate::Conflict`] where it changed since it was looked at; where the person no longer
    /// works here.
    pub fn sign(&self, new: &NewSignOff<'_>) -> Result<SignOff, RecordsError> {
        self.write(|tx| {
            builds::unchanged(tx, new.build, &new.seen)?;
            let signed = insert(tx, new)?;
            tx.execute(
                "UPDATE build SET open = 0, stage = 'sign-off', due_next = ''
                 WHERE id = ?1 AND open = 1",
                [new.build],
            )?;
            Ok(signed)
        })
    }

    /// Opens the next revision of a signed build.
    ///
    /// # Errors
    /// A [`crate::Conflict`] where it changed since it was looked at; where it is not signed, or
    /// no reason is given.
    pub fn amend(
        &self,
        build: BuildId,
        seen: &Seen,
        reason: &str,
        (person, at): (PersonId, &Moment),
    ) -> Result<i64, RecordsError> {
        self.write(|tx| {
            builds::unchanged(tx, build, seen)?;
            let next = seen.revision + 1;
            tx.execute(
                "INSERT INTO amendment (build, revision, reason, person, at)
                 VALUES (?1, ?2, ?3, ?4, ?5)",
                (build, next, reason, person, at),
            )?;
            tx.execute("UPDATE build SET open = 1, revision = ?2 WHERE id = ?1", (build, next))?;
            Ok(next)
        })
    }

    /// The sign-offs of a build, the first first.
    ///
    /// # Errors
    /// Where the file cannot be read.
    pub fn sign_offs(&self, build: BuildId) -> Result<Vec<SignOff>, RecordsError> {
        self.read(|connection| {
            let mut statement = connection.prepare_cached(&format!(
                "SELECT {COLUMNS} FROM sign_off WHERE build = ?1 ORDER BY id"
            ))?;
            Ok(statement.query_map([build], sign_off)?.collect::<Result<_, _>>()?)
        })
    }
}
