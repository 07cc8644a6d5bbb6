//! How far a rotor tilts in a clamped housing: a tip is pushed by a spring scale with the float
//! taken up, and an indicator is read under a small and under a large load.

use crate::canonical::{Form, Sha};
use crate::error::{Fault, RecordsError};
use crate::ids::{BuildId, GaugeId, PartId, PersonId, TiltTestId};
use crate::shop::Shop;
use crate::time::Moment;
use crate::words::Face;
use crate::written::Written;
use rusqlite::{Connection, OptionalExtension, Row, params};

/// What is told of a tilt test.
#[derive(Debug, Clone, PartialEq)]
pub struct TiltTold {
    /// In which build.
    pub build: BuildId,
    /// Which rotor.
    pub part: PartId,
    /// On which face it is pushed and read.
    pub face: Face,
    /// At which tip, from 1.
    pub tip: i64,
    /// How far from the axis of the rotor it is pushed and read: a length.
    pub radius: Written,
    /// The small load, which takes up the float: a force.
    pub least: Written,
    /// The large load: a force.
    pub most: Written,
    /// Standard uncertainty of a load: a force.
    pub load_u: Written,
    /// What the indicator shows under each, and so on as often as it was done: lengths.
    pub readings: Vec<[Written; 2]>,
    /// The indicator.
    pub gauge: GaugeId,
    /// What else there is to it.
    pub note: String,
    /// By whom.
    pub person: PersonId,
    /// When.
    pub at: Moment,
    /// The one that this one corrects.
    pub supersedes: Option<TiltTestId>,
}

/// A tilt test as it is kept.
#[derive(Debug, Clone, PartialEq)]
pub struct TiltTest {
    /// Its number.
    pub id: TiltTestId,
    /// What is told of it.
    pub told: TiltTold,
}

const COLUMNS: &str = "t.id, t.build, t.part, t.face, t.tip, t.radius, t.radius_quantity, \
     t.radius_si, t.least, t.least_quantity, t.least_si, t.most, t.most_quantity, t.most_si, \
     t.load_u, t.load_u_quantity, t.load_u_si, t.gauge, t.note, t.person, t.at, t.supersedes";
const WIDTH: usize = 22;

const STANDS: &str = "NOT EXISTS (SELECT 1 FROM tilt_test n WHERE n.supersedes = t.id)";

fn there(row: &Row<'_>, first: usize) -> rusqlite::Result<Written> {
    Ok(Written::kept(row.get(first)?, row.get(first + 1)?, row.get(first + 2)?))
}

/// A test without its readings, which lie in a table of their own.
fn test(row: &Row<'_>) -> rusqlite::Result<TiltTest> {
    Ok(TiltTest {
        id: row.get(0)?,
        told: TiltTold {
            build: row.get(1)?,
            part: row.get(2)?,
            face: row.get(3)?,
            tip: row.get(4)?,
            radius: there(row, 5)?,
            least: there(row, 8)?,
            most: there(row, 11)?,
            load_u: there(row, 14)?,
            readings: Vec::new(),
            gauge: row.get(17)?,
            note: row.get(18)?,
            person: row.get(19)?,
            at: row.get(20)?,
            supersedes: row.get(21)?,
        },
    })
}

fn with_readings(connection: &Connection, mut test: TiltTest) -> Result<TiltTest, Fault> {
    let mut statement = connection.prepare_cached(
        "SELECT least, least_quantity, least_si, most, most_quantity, most_si
         FROM tilt_reading WHERE tilt_test = ?1 ORDER BY id",
    )?;
    let readings = statement.query_map([test.id], |row| Ok([there(row, 0)?, there(row, 3)?]))?;
    test.told.readings = readings.collect::<Result<_, _>>()?;
    Ok(test)
}

impl TiltTest {
    /// The hash of itself and its readings.
    pub(crate) fn seal(&self) -> Sha {
        let told = &self.told;
        let form = Form::new("lobewright tilt test 1")
            .whole(self.id.0)
            .whole(told.build.0)
            .whole(told.part.0)
            .text(told.face.word())
            .whole(told.tip)
            .written_if(Some(&told.radius))
            .written_if(Some(&told.least))
            .written_if(Some(&told.most))
            .written_if(Some(&told.load_u))
            .whole(told.gauge.0)
            .text(&told.note)
            .whole(told.person.0)
            .text(told.at.as_str())
            .whole_if(told.supersedes.map(|id| id.0))
            .count(told.readings.len());
        let both = |form: Form, [least, most]: &[Written; 2]| {
            form.written_if(Some(least)).written_if(Some(most))
        };
        told.readings.iter().fold(form, both).end()
    }

    /// Whether every value, read again, is what stands beside it in SI.
    pub(crate) fn agrees(&self) -> bool {
        let told = &self.told;
        [&told.radius, &told.least, &told.most, &told.load_u]
            .into_iter()
            .chain(told.readings.iter().flatten())
            .all(Written::agrees)
    }
}

/// Each test with the seal it has, in the order of their numbers.
pub(crate) fn each(
    connection: &Connection,
    mut look: impl FnMut(&TiltTest, Sha) -> Result<(), Fault>,
) -> Result<(), Fault> {
    let mut statement =
        connection.prepare(&format!("SELECT {COLUMNS}, t.seal FROM tilt_test t ORDER BY t.id"))?;
    let mut rows = statement.query([])?;
    while let Some(row) = rows.next()? {
        look(&with_readings(connection, test(row)?)?, row.get(WIDTH)?)?;
    }
    Ok(())
}

fn those(connection: &Connection, condition: &str, of: i64) -> Result<Vec<TiltTest>, Fault> {
    let mut statement = connection.prepare_cached(&format!(
        "SELECT {COLUMNS} FROM tilt_test t WHERE {condition} ORDER BY t.id"
    ))?;
    let bare: Vec<TiltTest> =
        statement.query_map([of], test)?.collect::<Result<_, rusqlite::Error>>()?;
    bare.into_iter().map(|test| with_readings(connection, test)).collect()
}

fn insert(connection: &Connection, kept: &TiltTest) -> Result<(), Fault> {
    let told = &kept.told;
    connection
        .prepare_cached(
            "INSERT INTO tilt_test (id, build, part, face, tip, radius, radius_quantity, radius_si,
                                    least, least_quantity, least_si, most, most_quantity, most_si,
                                    load_u, load_u_quantity, load_u_si, gauge, note, person, at,
                                    supersedes, readings, seal)
             VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12, ?13, ?14, ?15, ?16, ?17,
                     ?18, ?19, ?20, ?21, ?22, ?23, ?24)",
        )?
        .execute(params![
            kept.id,
            told.build,
            told.part,
            told.face,
            told.tip,
            told.radius.text(),
            told.radius.quantity(),
            told.radius.si(),
            told.least.text(),
            told.least.quantity(),
            told.least.si(),
            told.most.text(),
            told.most.quantity(),
            told.most.si(),
            told.load_u.text(),
            told.load_u.quantity(),
            told.load_u.si(),
            told.gauge,
            told.note,
            told.person,
            told.at,
            told.supersedes,
            told.readings.len() as i64,
            kept.seal(),
        ])?;
    let last: i64 =
        connection
            .query_row("SELECT coalesce(max(id), 0) FROM tilt_reading", [], |row| row.get(0))?;
    for ([least, most], id) in told.readings.iter().zip(last + 1..) {
        connection
            .prepare_cached(
                "INSERT INTO tilt_reading (id, tilt_test, least, least_quantity, least_si, most,
                                           most_quantity, most_si)
                 VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8)",
            )?
            .execute(params![
                id,
                kept.id,
                least.text(),
                least.quantity(),
                least.si(),
                most.text(),
                most.quantity(),
                most.si(),
            ])?;
    }
    Ok(())
}

impl Shop {
    /// Keeps a tilt test.
    ///
    /// # Errors
    /// Where the rotor was never in the build, where it has no readings, or where what it corrects
    /// was corrected already.
    pub fn add_tilt_test(&self, told: &TiltTold) -> Result<TiltTestId, RecordsError> {
        self.write(|tx| {
            if let Some(before) = told.supersedes {
                let corrected: Option<TiltTestId> = tx
                    .prepare_cached("SELECT id FROM tilt_test WHERE supersedes = ?1")?
                    .query_row([before], |row| row.get(0))
                    .optional()?;
                if let Some(by) = corrected {
                    return Err(Fault::refused(format!(
                        "tilt test {before} is corrected already, by tilt test {by}; correct that \
                         one"
                    )));
                }
            }
            let last: i64 =
                tx.query_row("SELECT coalesce(max(id), 0) FROM tilt_test", [], |row| row.get(0))?;
            let kept = TiltTest { id: TiltTestId(last + 1), told: told.clone() };
            insert(tx, &kept)?;
            Ok(kept.id)
        })
    }

    /// The tilt tests of a build that stand, the first entered first.
    ///
    /// # Errors
    /// Where the file cannot be read.
    pub fn tilt_tests_of(&self, build: BuildId) -> Result<Vec<TiltTest>, RecordsError> {
        self.read(|connection| those(connection, &format!("t.build = ?1 AND {STANDS}"), build.0))
    }

    /// Every tilt test of a build, superseded ones among them.
    ///
    /// # Errors
    /// Where the file cannot be read.
    pub fn tilt_tests_ever(&self, build: BuildId) -> Result<Vec<TiltTest>, RecordsError> {
        self.read(|connection| those(connection, "t.build = ?1", build.0))
    }

    /// Those that stand of the whole shop.
    ///
    /// # Errors
    /// Where the file cannot be read.
    pub fn tilt_tests_of_shop(&self) -> Result<Vec<TiltTest>, RecordsError> {
        self.read(|connection| those(connection, &format!("t.id >= ?1 AND {STANDS}"), 0))
    }
}
