//! The teardown of a build: how long it ran and how hard, and what is seen on each tip of each
//! face of its rotors, against what was predicted. One per signed revision; a wrong one is
//! superseded by another as a whole, so that it is never half of each.

use crate::canonical::{Form, Sha};
use crate::error::{Conflict, Fault, RecordsError};
use crate::ids::{BuildId, GaugeId, PartId, PersonId, PredictionId, TeardownId};
use crate::people;
use crate::predictions::{self, Prediction};
use crate::shop::Shop;
use crate::time::Moment;
use crate::words::{Face, Mark};
use crate::written::Written;
use rusqlite::{Connection, Row, params};
use std::collections::HashSet;

/// How deep something is worn, and by which gauge that was read.
#[derive(Debug, Clone, PartialEq)]
pub struct Depth {
    /// As it was written.
    pub value: Written,
    /// By which gauge.
    pub gauge: Option<GaugeId>,
}

/// What is seen on one tip of one face.
#[derive(Debug, Clone, PartialEq)]
pub struct TipMark {
    /// Of which rotor.
    pub part: PartId,
    /// On which face.
    pub face: Face,
    /// At which tip, from 1.
    pub tip: i64,
    /// Whether it touched.
    pub contact: Mark,
    /// Where on the tip.
    pub place: Option<String>,
    /// How deep the rotor is worn there.
    pub rotor: Option<Depth>,
    /// How deep the wall opposite is worn.
    pub wall: Option<Depth>,
    /// What else is seen.
    pub note: String,
}

/// What a teardown is held against.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Against<'a> {
    /// A prediction that is made now.
    Anew {
        /// The program and its version.
        program: &'a str,
        /// Of everything that it was worked out from.
        inputs_hash: Sha,
        /// JSON.
        document: &'a str,
    },
    /// The one that the teardown before it has: what it rests on is the same.
    Kept(PredictionId),
    /// Nothing, and why.
    Nothing(&'a str),
}

/// A teardown to be kept.
#[derive(Debug, Clone, PartialEq)]
pub struct NewTeardown<'a> {
    /// Of which build.
    pub build: BuildId,
    /// In which revision, which was signed.
    pub revision: i64,
    /// How long it ran since it was put together.
    pub running: Option<&'a Written>,
    /// The highest speed that was seen.
    pub speed: Option<&'a Written>,
    /// The highest boost.
    pub boost: Option<&'a Written>,
    /// What else is seen.
    pub note: &'a str,
    /// What is seen on the tips; of those that are not here nothing is known.
    pub marks: &'a [TipMark],
    /// What it is held against.
    pub against: Against<'a>,
    /// By whom.
    pub person: PersonId,
    /// When.
    pub at: &'a Moment,
    /// The one that stood when they looked.
    pub expected: Option<TeardownId>,
}

/// A teardown as it is kept.
#[derive(Debug, Clone, PartialEq)]
pub struct Teardown {
    /// Its number.
    pub id: TeardownId,
    /// Of which build.
    pub build: BuildId,
    /// In which revision.
    pub revision: i64,
    /// How long it ran since it was put together.
    pub running: Option<Written>,
    /// The highest speed that was seen.
    pub speed: Option<Written>,
    /// The highest boost.
    pub boost: Option<Written>,
    /// What else is seen.
    pub note: String,
    /// What is seen on the tips, in the order it was given.
    pub marks: Vec<TipMark>,
    /// The prediction that it is held against.
    pub prediction: Option<PredictionId>,
    /// Why there is none, if there is none.
    pub unpredicted: Option<String>,
    /// By whom.
    pub person: PersonId,
    /// When.
    pub at: Moment,
    /// What it supersedes.
    pub supersedes: Option<TeardownId>,
}

const COLUMNS: &str = "t.id, t.build, t.revision, t.running, t.running_quantity, t.running_si, \
     t.speed, t.speed_quantity, t.speed_si, t.boost, t.boost_quantity, t.boost_si, t.note, \
     t.prediction, t.unpredicted, t.person, t.at, t.supersedes";
const WIDTH: usize = 18;

const MARK_COLUMNS: &str = "part, face, tip, contact, place, rotor, rotor_quantity, rotor_si, \
     rotor_gauge, wall, wall_quantity, wall_si, wall_gauge, note";

/// A teardown without its marks, which lie in a table of their own.
fn teardown(row: &Row<'_>) -> rusqlite::Result<Teardown> {
    Ok(Teardown {
        id: row.get(0)?,
        build: row.get(1)?,
        revision: row.get(2)?,
        running: Written::in_row(row, 3)?,
        speed: Written::in_row(row, 6)?,
        boost: Written::in_row(row, 9)?,
        note: row.get(12)?,
        marks: Vec::new(),
        prediction: row.get(13)?,
        unpredicted: row.get(14)?,
        person: row.get(15)?,
        at: row.get(16)?,
        supersedes: row.get(17)?,
    })
}

fn depth(row: &Row<'_>, first: usize) -> rusqlite::Result<Option<Depth>> {
    let gauge = row.get(first + 3)?;
    Ok(Written::in_row(row, first)?.map(|value| Depth { value, gauge }))
}

fn mark(row: &Row<'_>) -> rusqlite::Result<TipMark> {
    Ok(TipMark {
        part: row.get(0)?,
        face: row.get(1)?,
        tip: row.get(2)?,
        contact: row.get(3)?,
        place: row.get(4)?,
        rotor: depth(row, 5)?,
        wall: depth(row, 9)?,
        note: row.get(13)?,
    })
}

fn marks(connection: &Connection, of: TeardownId) -> Result<Vec<TipMark>, Fault> {
    let mut statement = connection.prepare_cached(&format!(
        "SELECT {MARK_COLUMNS} FROM teardown_mark WHERE teardown = ?1 ORDER BY id"
    ))?;
    Ok(statement.query_map([of], mark)?.collect::<Result<_, _>>()?)
}

fn with_marks(connection: &Connection, mut teardown: Teardown) -> Result<Teardown, Fault> {
    teardown.marks = marks(connection, teardown.id)?;
    Ok(teardown)
}

impl TipMark {
    fn fields(&self, form: Form) -> Form {
        let depth = |form: Form, depth: Option<&Depth>| {
            let value = depth.map(|depth| &depth.value);
            form.written_if(value).whole_if(depth.and_then(|depth| depth.gauge).map(|id| id.0))
        };
        let form = form
            .whole(self.part.0)
            .text(self.face.word())
            .whole(self.tip)
            .text(self.contact.word())
            .text_if(self.place.as_deref());
        let form = depth(form, self.rotor.as_ref());
        depth(form, self.wall.as_ref()).text(&self.note)
    }

    fn agrees(&self) -> bool {
        [&self.rotor, &self.wall].into_iter().flatten().all(|depth| depth.value.agrees())
    }
}

impl Teardown {
    /// The hash of itself and its marks.
    pub(crate) fn seal(&self) -> Sha {
        let form = Form::new("lobewright teardown 1")
            .whole(self.id.0)
            .whole(self.build.0)
            .whole(self.revision)
            .written_if(self.running.as_ref())
            .written_if(self.speed.as_ref())
            .written_if(self.boost.as_ref())
            .text(&self.note)
            .whole_if(self.prediction.map(|id| id.0))
            .text_if(self.unpredicted.as_deref())
            .whole(self.person.0)
            .text(self.at.as_str())
            .whole_if(self.supersedes.map(|id| id.0))
            .count(self.marks.len());
        self.marks.iter().fold(form, |form, mark| mark.fields(form)).end()
    }

    /// Whether every value, read again, is what stands beside it in SI.
    pub(crate) fn agrees(&self) -> bool {
        [&self.running, &self.speed, &self.boost].into_iter().flatten().all(Written::agrees)
            && self.marks.iter().all(TipMark::agrees)
    }
}

/// Each teardown with the seal it has, in the order of their numbers.
pub(crate) fn each(
    connection: &Connection,
    mut look: impl FnMut(&Teardown, Sha) -> Result<(), Fault>,
) -> Result<(), Fault> {
    let mut statement =
        connection.prepare(&format!("SELECT {COLUMNS}, t.seal FROM teardown t ORDER BY t.id"))?;
    let mut rows = statement.query([])?;
    while let Some(row) = rows.next()? {
        look(&with_marks(connection, teardown(row)?)?, row.get(WIDTH)?)?;
    }
    Ok(())
}

/// Teardowns by a condition on one number, in their order.
fn those(connection: &Connection, condition: &str, of: i64) -> Result<Vec<Teardown>, Fault> {
    let mut statement = connection.prepare_cached(&format!(
        "SELECT {COLUMNS} FROM teardown t WHERE {condition} ORDER BY t.id"
    ))?;
    let bare: Vec<Teardown> =
        statement.query_map([of], teardown)?.collect::<Result<_, rusqlite::Error>>()?;
    bare.into_iter().map(|teardown| with_marks(connection, teardown)).collect()
}

const STANDS: &str = "NOT EXISTS (SELECT 1 FROM teardown n WHERE n.supersedes = t.id)";

/// The one that stands of a revision of a build.
fn standing(
    connection: &Connection,
    build: BuildId,
    revision: i64,
) -> Result<Option<Teardown>, Fault> {
    let of = those(connection, &format!("t.build = ?1 AND {STANDS}"), build.0)?;
    Ok(of.into_iter().find(|teardown| teardown.revision == revision))
}

/// Which rotors it says something of; one tip of a face at most once.
fn told_once(marks: &[TipMark]) -> Result<(), Fault> {
    let mut told = HashSet::new();
    for mark in marks {
        if !told.insert((mark.part, mark.face, mark.tip)) {
            return Err(Fault::refused(format!(
                "tip {} of the {} face is told twice; tell it once",
                mark.tip, mark.face
            )));
        }
    }
    Ok(())
}

fn insert(connection: &Connection, kept: &Teardown) -> Result<(), Fault> {
    let parts = |value: &Option<Written>| {
        let value = value.as_ref();
        (
            value.map(|value| value.text().to_owned()),
            value.map(|value| value.quantity().to_owned()),
            value.map(Written::si),
        )
    };
    let (running, speed, boost) = (parts(&kept.running), parts(&kept.speed), parts(&kept.boost));
    connection
        .prepare_cached(
            "INSERT INTO teardown (id, build, revision, running, running_quantity, running_si,
                                   speed, speed_quantity, speed_si, boost, boost_quantity,
                                   boost_si, note, prediction, unpredicted, person, at,
                                   supersedes, marks, seal)
             VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12, ?13, ?14, ?15, ?16, ?17,
                     ?18, ?19, ?20)",
        )?
        .execute(params![
            kept.id,
            kept.build,
            kept.revision,
            running.0,
            running.1,
            running.2,
            speed.0,
            speed.1,
            speed.2,
            boost.0,
            boost.1,
            boost.2,
            kept.note,
            kept.prediction,
            kept.unpredicted,
            kept.person,
            kept.at,
            kept.supersedes,
            kept.marks.len() as i64,
            kept.seal(),
        ])?;
    let last: i64 =
        connection
            .query_row("SELECT coalesce(max(id), 0) FROM teardown_mark", [], |row| row.get(0))?;
    for (mark, id) in kept.marks.iter().zip(last + 1..) {
        let of = |depth: &Option<Depth>| {
            let gauge = depth.as_ref().and_then(|depth| depth.gauge);
            (parts(&depth.as_ref().map(|depth| depth.value.clone())), gauge)
        };
        let ((rotor, rotor_gauge), (wall, wall_gauge)) = (of(&mark.rotor), of(&mark.wall));
        connection
            .prepare_cached(&format!(
                "INSERT INTO teardown_mark ({MARK_COLUMNS}, teardown, id)
                 VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12, ?13, ?14, ?15, ?16)"
            ))?
            .execute(params![
                mark.part,
                mark.face,
                mark.tip,
                mark.contact,
                mark.place,
                rotor.0,
                rotor.1,
                rotor.2,
                rotor_gauge,
                wall.0,
                wall.1,
                wall.2,
                wall_gauge,
                mark.note,
                kept.id,
                id,
            ])?;
    }
    Ok(())
}

impl Shop {
    /// Keeps a teardown, with its prediction in the same transaction. Where one stands already it
    /// is superseded.
    ///
    /// # Errors
    /// A [`Conflict`] where another one stands than was looked at. Where the revision is not
    /// signed, where a mark is of a rotor that was never in the build, or is told twice.
    pub fn add_teardown(&self, new: &NewTeardown<'_>) -> Result<TeardownId, RecordsError> {
        told_once(new.marks).map_err(|fault| fault.of(self.file()))?;
        self.write(|tx| {
            let stands = standing(tx, new.build, new.revision)?;
            let supersedes = stands.as_ref().map(|teardown| teardown.id);
            if supersedes != new.expected {
                let who = match &stands {
                    Some(theirs) => Some(people::who(tx, theirs.person, &theirs.at)?),
                    None => None,
                };
                let (build, theirs) = (new.build, supersedes);
                return Err(Conflict::Teardown { build, yours: new.expected, theirs, who }.into());
            }
            let (prediction, unpredicted) = match new.against {
                Against::Kept(id) => (Some(id), None),
                Against::Nothing(why) => (None, Some(why.to_owned())),
                Against::Anew { program, inputs_hash, document } => {
                    let id = predictions::add(
                        tx,
                        &Prediction {
                            id: PredictionId(0),
                            build: new.build,
                            revision: new.revision,
                            program: program.to_owned(),
                            inputs_hash,
                            document: document.to_owned(),
                            person: new.person,
                            at: new.at.clone(),
                        },
                    )?;
                    (Some(id), None)
                }
            };
            let last: i64 =
                tx.query_row("SELECT coalesce(max(id), 0) FROM teardown", [], |row| row.get(0))?;
            let kept = Teardown {
                id: TeardownId(last + 1),
                build: new.build,
                revision: new.revision,
                running: new.running.cloned(),
                speed: new.speed.cloned(),
                boost: new.boost.cloned(),
                note: new.note.to_owned(),
                marks: new.marks.to_vec(),
                prediction,
                unpredicted,
                person: new.person,
                at: new.at.clone(),
                supersedes,
            };
            insert(tx, &kept)?;
            Ok(kept.id)
        })
    }

    /// A teardown.
    ///
    /// # Errors
    /// Where there is none of that number.
    pub fn teardown(&self, id: TeardownId) -> Result<Teardown, RecordsError> {
        self.read(|connection| {
            those(connection, "t.id = ?1", id.0)?
                .pop()
                .ok_or_else(|| Fault::not_there("teardown", id))
        })
    }

    /// Every teardown of a build in the order they were entered, superseded ones among them.
    ///
    /// # Errors
    /// Where the file cannot be read.
    pub fn teardowns_of(&self, build: BuildId) -> Result<Vec<Teardown>, RecordsError> {
        self.read(|connection| those(connection, "t.build = ?1", build.0))
    }

    /// The teardowns of a build that stand, by revision.
    ///
    /// # Errors
    /// Where the file cannot be read.
    pub fn teardowns_standing(&self, build: BuildId) -> Result<Vec<Teardown>, RecordsError> {
        self.read(|connection| {
            let mut of = those(connection, &format!("t.build = ?1 AND {STANDS}"), build.0)?;
            of.sort_by_key(|teardown| teardown.revision);
            Ok(of)
        })
    }

    /// Those that stand of the whole shop, the first entered first.
    ///
    /// # Errors
    /// Where the file cannot be read.
    pub fn teardowns_of_shop(&self) -> Result<Vec<Teardown>, RecordsError> {
        self.read(|connection| those(connection, &format!("t.id >= ?1 AND {STANDS}"), 0))
    }

    /// Those that stand of builds in which a part was, the first entered first. Of a rotor the
    /// marks of others are among them.
    ///
    /// # Errors
    /// Where the file cannot be read.
    pub fn teardowns_with(&self, part: PartId) -> Result<Vec<Teardown>, RecordsError> {
        self.read(|connection| {
            let were = "t.build IN (SELECT build FROM build_part WHERE part = ?1)";
            those(connection, &format!("{were} AND {STANDS}"), part.0)
        })
    }
}
