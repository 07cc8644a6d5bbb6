//! Readings: added, never changed. A correction supersedes what it corrects, and both stay.

use crate::builds::{self, InRevision};
use crate::canonical::{Form, Sha};
use crate::error::{Conflict, Fault, RecordsError};
use crate::ids::{BuildId, GaugeId, PartId, PersonId, ReadingId};
use crate::people;
use crate::shop::Shop;
use crate::time::Moment;
use crate::values;
use crate::words::When;
use crate::written::Written;
use rusqlite::{Connection, OptionalExtension, Row, params};

/// A reading to be kept.
#[derive(Debug, Clone, PartialEq)]
pub struct NewReading<'a> {
    /// Of which part.
    pub part: PartId,
    /// For which build, and the revision of it that was looked at; none for a part on the shelf.
    pub build: Option<InRevision>,
    /// Before the cut or after it.
    pub when: When,
    /// Where on the part: `land_width.2`.
    pub station: &'a str,
    /// As it was written.
    pub value: &'a Written,
    /// With which gauge.
    pub gauge: Option<GaugeId>,
    /// By whom.
    pub person: PersonId,
    /// When.
    pub at: &'a Moment,
    /// How warm the part was.
    pub temperature: Option<&'a Written>,
    /// The reading that stood there when this one was taken. If another stands there now,
    /// nothing is written.
    pub expected: Option<ReadingId>,
    /// A word that no other reading has, made where it was typed: sent twice, it is kept once.
    pub sent_as: Option<&'a str>,
    /// Its place in the build's file, if it is to have one.
    pub place: Option<&'a str>,
}

/// A reading as it is kept.
#[derive(Debug, Clone, PartialEq)]
pub struct Reading {
    /// Its number; they go up by one.
    pub id: ReadingId,
    /// Of which part.
    pub part: PartId,
    /// For which build.
    pub build: Option<BuildId>,
    /// In which revision of it.
    pub revision: Option<i64>,
    /// Before the cut or after it.
    pub when: When,
    /// Where on the part.
    pub station: String,
    /// As it was written.
    pub value: Written,
    /// With which gauge.
    pub gauge: Option<GaugeId>,
    /// By whom.
    pub person: PersonId,
    /// When.
    pub at: Moment,
    /// How warm the part was.
    pub temperature: Option<Written>,
    /// The word it was sent as.
    pub sent_as: Option<String>,
    /// Which one it corrects.
    pub supersedes: Option<ReadingId>,
    /// Which one corrects it.
    pub superseded_by: Option<ReadingId>,
}

/// What a temperature is called beside its text.
const TEMPERATURE: &str = "temperature";

/// The columns of a reading, for [`reading`].
pub(crate) const COLUMNS: &str = "r.id, r.part, r.build, r.revision, r.stage, r.station, r.value, \
                                  r.quantity, r.si, r.gauge, r.person, r.at, r.temperature, \
                                  r.temperature_deg_c, r.sent_as, r.supersedes, r.superseded_by";
/// How many they are.
pub(crate) const WIDTH: usize = 17;

pub(crate) fn reading(row: &Row<'_>) -> rusqlite::Result<Reading> {
    let temperature: Option<String> = row.get(12)?;
    let temperature = match temperature {
        Some(text) => Some(Written::kept(text, TEMPERATURE.to_owned(), row.get(13)?)),
        None => None,
    };
    Ok(Reading {
        id: row.get(0)?,
        part: row.get(1)?,
        build: row.get(2)?,
        revision: row.get(3)?,
        when: row.get(4)?,
        station: row.get(5)?,
        value: Written::kept(row.get(6)?, row.get(7)?, row.get(8)?),
        gauge: row.get(9)?,
        person: row.get(10)?,
        at: row.get(11)?,
        temperature,
        sent_as: row.get(14)?,
        supersedes: row.get(15)?,
        superseded_by: row.get(16)?,
    })
}

impl Reading {
    /// Its fields in the order of the canonical form. That it was superseded is not of it: that
    /// comes later, and the one that supersedes it says so.
    pub(crate) fn fields(&self, form: Form) -> Form {
        form.whole(self.id.0)
            .whole(self.part.0)
            .whole_if(self.build.map(|id| id.0))
            .whole_if(self.revision)
            .text(self.when.word())
            .text(&self.station)
            .text(self.value.text())
            .text(self.value.quantity())
            .real(self.value.si())
            .whole_if(self.gauge.map(|id| id.0))
            .whole(self.person.0)
            .text(self.at.as_str())
            .text_if(self.temperature.as_ref().map(Written::text))
            .real_if(self.temperature.as_ref().map(Written::si))
            .text_if(self.sent_as.as_deref())
            .whole_if(self.supersedes.map(|id| id.0))
    }

    /// Its seal: the hash of itself and the seal of the one before.
    pub(crate) fn seal(&self, previous: Sha) -> Sha {
        self.fields(Form::new("lobewright reading 1").sha(previous)).end()
    }

    /// Whether it is the same reading, sent again.
    fn is_again(&self, new: &NewReading<'_>) -> bool {
        self.part == new.part
            && self.build == new.build.map(|of| of.build)
            && self.when == new.when
            && self.station == new.station
            && self.value == *new.value
            && self.person == new.person
    }
}

/// The last number and seal of a chain of readings or values.
pub(crate) fn last_seal(connection: &Connection, table: &str) -> Result<(i64, Sha), Fault> {
    let last = connection
        .prepare_cached(&format!("SELECT id, seal FROM {table} ORDER BY id DESC LIMIT 1"))?
        .query_row([], |row| Ok((row.get(0)?, row.get(1)?)))
        .optional()?;
    Ok(last.unwrap_or((0, Sha::NONE)))
}

/// The reading of a station that is not superseded.
pub(crate) fn standing(
    connection: &Connection,
    part: PartId,
    build: Option<BuildId>,
    (when, station): (When, &str),
) -> Result<Option<Reading>, Fault> {
    Ok(connection
        .prepare_cached(&format!(
            "SELECT {COLUMNS} FROM reading r
             WHERE r.part = ?1 AND r.build IS ?2 AND r.stage = ?3 AND r.station = ?4
               AND r.superseded_by IS NULL"
        ))?
        .query_row((part, build, when, station), reading)
        .optional()?)
}

/// Adds one, in a transaction that somebody else ends.
pub(crate) fn add(connection: &Connection, new: &NewReading<'_>) -> Result<ReadingId, Fault> {
    if let Some(word) = new.sent_as {
        let sent = connection
            .prepare_cached(&format!("SELECT {COLUMNS} FROM reading r WHERE r.sent_as = ?1"))?
            .query_row([word], reading)
            .optional()?;
        match sent {
            Some(before) if before.is_again(new) => return Ok(before.id),
            Some(before) => {
                return Err(Fault::refused(format!(
                    "another reading ({}) was sent by the same word {word:?}",
                    before.id
                )));
            }
            None => {}
        }
    }
    if new.temperature.is_some_and(|t| t.quantity() != TEMPERATURE) {
        return Err(Fault::refused("the temperature of a reading is a temperature"));
    }
    if let Some(of) = new.build {
        builds::stands(connection, of)?;
    }
    let build = new.build.map(|of| of.build);
    let theirs = standing(connection, new.part, build, (new.when, new.station))?;
    if theirs.as_ref().map(|reading| reading.id) != new.expected {
        let who = match &theirs {
            Some(theirs) => Some(people::who(connection, theirs.person, &theirs.at)?),
            None => None,
        };
        return Err(Fault::from(Conflict::Reading {
            station: new.station.to_owned(),
            yours: new.value.text().to_owned(),
            theirs,
            who,
        }));
    }
    let (last, previous) = last_seal(connection, "reading")?;
    let kept = Reading {
        id: ReadingId(last + 1),
        part: new.part,
        build,
        revision: new.build.map(|of| of.revision),
        when: new.when,
        station: new.station.to_owned(),
        value: new.value.clone(),
        gauge: new.gauge,
        person: new.person,
        at: new.at.clone(),
        temperature: new.temperature.cloned(),
        sent_as: new.sent_as.map(str::to_owned),
        supersedes: new.expected,
        superseded_by: None,
    };
    connection
        .prepare_cached(
            "INSERT INTO reading (id, part, build, revision, stage, station, value, quantity, si,
                                  gauge, person, at, temperature, temperature_deg_c, sent_as,
                                  supersedes, seal)
             VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12, ?13, ?14, ?15, ?16, ?17)",
        )?
        .execute(params![
            kept.id,
            kept.part,
            kept.build,
            kept.revision,
            kept.when,
            kept.station,
            kept.value.text(),
            kept.value.quantity(),
            kept.value.si(),
            kept.gauge,
            kept.person,
            kept.at,
            kept.temperature.as_ref().map(Written::text),
            kept.temperature.as_ref().map(Written::si),
            kept.sent_as,
            kept.supersedes,
            kept.seal(previous),
        ])?;
    if let (Some(place), Some(of)) = (new.place, new.build) {
        values::show_reading(connection, of, place, new)?;
    }
    Ok(kept.id)
}

impl Shop {
    /// Keeps a reading.
    ///
    /// # Errors
    /// A [`Conflict`] where somebody else was faster at the same station or opened another
    /// revision; where the build is signed; where part, gauge or person are not there.
    pub fn add_reading(&self, new: &NewReading<'_>) -> Result<ReadingId, RecordsError> {
        self.write(|tx| add(tx, new))
    }

    /// Keeps several readings, all or none: a list that belongs together.
    ///
    /// # Errors
    /// As [`Shop::add_reading`], for the first that cannot be kept.
    pub fn add_readings(&self, new: &[NewReading<'_>]) -> Result<Vec<ReadingId>, RecordsError> {
        self.write(|tx| new.iter().map(|new| add(tx, new)).collect())
    }

    /// One reading.
    ///
    /// # Errors
    /// Where there is none of that number.
    pub fn reading(&self, id: ReadingId) -> Result<Reading, RecordsError> {
        self.read(|connection| {
            connection
                .prepare_cached(&format!("SELECT {COLUMNS} FROM reading r WHERE r.id = ?1"))?
                .query_row([id], reading)
                .optional()?
                .ok_or_else(|| Fault::not_there("reading", id))
        })
    }

    /// All readings of a build in the order they were taken, superseded ones among them.
    ///
    /// # Errors
    /// Where the file cannot be read.
    pub fn readings_of(&self, build: BuildId) -> Result<Vec<Reading>, RecordsError> {
        self.read(|connection| of_build(connection, build))
    }

    /// The readings of a station, the first one first: each was corrected by the next.
    ///
    /// # Errors
    /// Where the file cannot be read.
    pub fn readings_at(
        &self,
        part: PartId,
        build: Option<BuildId>,
        when: When,
        station: &str,
    ) -> Result<Vec<Reading>, RecordsError> {
        self.read(|connection| {
            let mut statement = connection.prepare_cached(&format!(
                "SELECT {COLUMNS} FROM reading r
                 WHERE r.part = ?1 AND r.build IS ?2 AND r.stage = ?3 AND r.station = ?4
                 ORDER BY r.id"
            ))?;
            Ok(statement
                .query_map((part, build, when, station), reading)?
                .collect::<Result<_, _>>()?)
        })
    }
}

pub(crate) fn of_build(connection: &Connection, build: BuildId) -> Result<Vec<Reading>, Fault> {
    let mut statement = connection.prepare_cached(&format!(
        "SELECT {COLUMNS} FROM reading r WHERE r.build = ?1 ORDER BY r.id"
    ))?;
    Ok(statement.query_map([build], reading)?.collect::<Result<_, _>>()?)
}
