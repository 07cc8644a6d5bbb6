//! Gauges, and the history of their calibrations.

use crate::canonical::{Form, Sha};
use crate::error::{Fault, RecordsError};
use crate::ids::{CalibrationId, GaugeId, PersonId};
use crate::shop::Shop;
use crate::time::Day;
use crate::written::Written;
use rusqlite::{Connection, OptionalExtension, Row};

/// A calibration, or what a gauge came with.
#[derive(Debug, Clone, PartialEq)]
pub struct NewCalibration {
    /// When it was done, if that is known.
    pub day: Option<Day>,
    /// When the next one is due.
    pub due: Option<Day>,
    /// Standard uncertainty of each reading.
    pub repeat: Written,
    /// Standard uncertainty that is shared by all readings of the gauge.
    pub zero: Option<Written>,
    /// Number of the certificate, or nothing.
    pub certificate: String,
    /// Who entered it.
    pub person: Option<PersonId>,
}

/// A calibration as it is kept.
#[derive(Debug, Clone, PartialEq)]
pub struct Calibration {
    /// Its number.
    pub id: CalibrationId,
    /// What it says.
    pub what: NewCalibration,
}

/// A gauge with its last calibration.
#[derive(Debug, Clone, PartialEq)]
pub struct Gauge {
    /// Its number.
    pub id: GaugeId,
    /// What the shop calls it.
    pub name: String,
    /// What it is.
    pub kind: String,
    /// Whether it is still used.
    pub active: bool,
    /// The calibration that holds.
    pub calibration: Calibration,
}

const CALIBRATION: &str = "c.id, c.day, c.due, c.repeat, c.repeat_quantity, c.repeat_si, c.zero, \
                           c.zero_quantity, c.zero_si, c.certificate, c.person";

/// From the columns above, the first of which is the `from`-th.
fn calibration(row: &Row<'_>, from: usize) -> rusqlite::Result<Calibration> {
    let zero: Option<String> = row.get(from + 6)?;
    let zero = match zero {
        Some(text) => Some(Written::kept(text, row.get(from + 7)?, row.get(from + 8)?)),
        None => None,
    };
    Ok(Calibration {
        id: row.get(from)?,
        what: NewCalibration {
            day: row.get(from + 1)?,
            due: row.get(from + 2)?,
            repeat: Written::kept(row.get(from + 3)?, row.get(from + 4)?, row.get(from + 5)?),
            zero,
            certificate: row.get(from + 9)?,
            person: row.get(from + 10)?,
        },
    })
}

fn gauge(row: &Row<'_>) -> rusqlite::Result<Gauge> {
    Ok(Gauge {
        id: row.get(0)?,
        name: row.get(1)?,
        kind: row.get(2)?,
        active: row.get(3)?,
        calibration: calibration(row, 4)?,
    })
}

/// The hash of a calibration.
fn seal(id: CalibrationId, gauge: GaugeId, what: &NewCalibration) -> Sha {
    let zero = what.zero.as_ref();
    Form::new("lobewright calibration 1")
        .whole(id.0)
        .whole(gauge.0)
        .text_if(what.day.as_ref().map(Day::as_str))
        .text_if(what.due.as_ref().map(Day::as_str))
        .text(what.repeat.text())
        .text(what.repeat.quantity())
        .real(what.repeat.si())
        .text_if(zero.map(Written::text))
        .text_if(zero.map(Written::quantity))
        .real_if(zero.map(Written::si))
        .text(&what.certificate)
        .whole_if(what.person.map(|id| id.0))
        .end()
}

/// Each calibration with the seal that it should have and the one it has, by its number.
pub(crate) fn each(
    connection: &Connection,
    mut look: impl FnMut(&Calibration, Sha, Sha) -> Result<(), Fault>,
) -> Result<(), Fault> {
    let mut statement = connection.prepare(&format!(
        "SELECT {CALIBRATION}, c.gauge, c.seal FROM calibration c ORDER BY c.id"
    ))?;
    let mut rows = statement.query([])?;
    while let Some(row) = rows.next()? {
        let calibration = calibration(row, 0)?;
        let own = seal(calibration.id, row.get(11)?, &calibration.what);
        look(&calibration, own, row.get(12)?)?;
    }
    Ok(())
}

/// Seals what an older version left without a seal.
pub(crate) fn seal_all(connection: &Connection) -> Result<(), rusqlite::Error> {
    let mut statement =
        connection.prepare(&format!("SELECT {CALIBRATION}, c.gauge FROM calibration c"))?;
    let mut rows = statement.query([])?;
    while let Some(row) = rows.next()? {
        let calibration = calibration(row, 0)?;
        let own = seal(calibration.id, row.get(11)?, &calibration.what);
        connection
            .prepare_cached("UPDATE calibration SET seal = ?2 WHERE id = ?1")?
            .execute((calibration.id, own))?;
    }
    Ok(())
}

fn insert(
    connection: &Connection,
    gauge: GaugeId,
    new: &NewCalibration,
) -> Result<CalibrationId, Fault> {
    let zero = new.zero.as_ref();
    let last: i64 =
        connection
            .query_row("SELECT coalesce(max(id), 0) FROM calibration", [], |row| row.get(0))?;
    let id = CalibrationId(last + 1);
    connection
        .prepare_cached(
            "INSERT INTO calibration (gauge, day, due, repeat, repeat_quantity, repeat_si, zero,
                                      zero_quantity, zero_si, certificate, person, id, seal)
             VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12, ?13)",
        )?
        .execute((
            gauge,
            &new.day,
            &new.due,
            new.repeat.text(),
            new.repeat.quantity(),
            new.repeat.si(),
            zero.map(Written::text),
            zero.map(Written::quantity),
            zero.map(Written::si),
            &new.certificate,
            new.person,
            id,
            seal(id, gauge, new),
        ))?;
    Ok(id)
}

impl Shop {
    /// Adds a gauge with what it came with.
    ///
    /// # Errors
    /// Where the name is taken.
    pub fn add_gauge(
        &self,
        name: &str,
        kind: &str,
        first: &NewCalibration,
    ) -> Result<GaugeId, RecordsError> {
        self.write(|tx| {
            let id = tx
                .prepare_cached("INSERT INTO gauge (name, kind) VALUES (?1, ?2)")?
                .insert((name, kind))
                .map(GaugeId)
                .map_err(|error| Fault::taken(error, "gauge"))?;
            insert(tx, id, first)?;
            Ok(id)
        })
    }

    /// Adds a calibration: from now on it holds.
    ///
    /// # Errors
    /// Where there is no such gauge.
    pub fn calibrate(
        &self,
        gauge: GaugeId,
        new: &NewCalibration,
    ) -> Result<CalibrationId, RecordsError> {
        self.write(|tx| insert(tx, gauge, new))
    }

    /// Takes a gauge out of use, or back.
    ///
    /// # Errors
    /// Where there is no such gauge.
    pub fn set_gauge_active(&self, id: GaugeId, active: bool) -> Result<(), RecordsError> {
        self.write(|tx| {
            match tx.execute("UPDATE gauge SET active = ?2 WHERE id = ?1", (id, active))? {
                1 => Ok(()),
                _ => Err(Fault::not_there("gauge", id)),
            }
        })
    }

    /// One gauge.
    ///
    /// # Errors
    /// Where there is none of that number.
    pub fn gauge(&self, id: GaugeId) -> Result<Gauge, RecordsError> {
        self.read(|connection| {
            connection
                .prepare_cached(&format!(
                    "SELECT g.id, g.name, g.kind, g.active, {CALIBRATION}
                     FROM gauge g JOIN calibration c
                       ON c.id = (SELECT max(id) FROM calibration WHERE gauge = g.id)
                     WHERE g.id = ?1"
                ))?
                .query_row([id], gauge)
                .optional()?
                .ok_or_else(|| Fault::not_there("gauge", id))
        })
    }

    /// All gauges, those in use first, by name.
    ///
    /// # Errors
    /// Where the file cannot be read.
    pub fn gauges(&self) -> Result<Vec<Gauge>, RecordsError> {
        self.read(|connection| {
            let mut statement = connection.prepare_cached(&format!(
                "SELECT g.id, g.name, g.kind, g.active, {CALIBRATION}
                 FROM gauge g JOIN calibration c
                   ON c.id = (SELECT max(id) FROM calibration WHERE gauge = g.id)
                 ORDER BY g.active DESC, g.name"
            ))?;
            Ok(statement.query_map([], gauge)?.collect::<Result<_, _>>()?)
        })
    }

    /// Gauges in use whose calibration was due before a day, the longest overdue first. One
    /// without a day is never overdue.
    ///
    /// # Errors
    /// Where the file cannot be read.
    pub fn gauges_overdue(&self, on: &Day) -> Result<Vec<Gauge>, RecordsError> {
        self.read(|connection| {
            let mut statement = connection.prepare_cached(&format!(
                "SELECT g.id, g.name, g.kind, g.active, {CALIBRATION}
                 FROM gauge g JOIN calibration c
                   ON c.id = (SELECT max(id) FROM calibration WHERE gauge = g.id)
                 WHERE g.active = 1 AND c.due < ?1 ORDER BY c.due, g.name"
            ))?;
            Ok(statement.query_map([on], gauge)?.collect::<Result<_, _>>()?)
        })
    }

    /// All calibrations of a gauge, the last first.
    ///
    /// # Errors
    /// Where the file cannot be read.
    pub fn calibrations(&self, gauge: GaugeId) -> Result<Vec<Calibration>, RecordsError> {
        self.read(|connection| {
            let mut statement = connection.prepare_cached(&format!(
                "SELECT {CALIBRATION} FROM calibration c WHERE c.gauge = ?1 ORDER BY c.id DESC"
            ))?;
            Ok(statement
                .query_map([gauge], |row| calibration(row, 0))?
                .collect::<Result<_, _>>()?)
        })
    }
}
