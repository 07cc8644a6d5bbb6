//! Builds: one engine for one customer, and which parts are in it.

use crate::content;
use crate::error::{Conflict, Fault, RecordsError, Seen, Who};
use crate::folded::folded;
use crate::ids::{BuildId, CustomerId, EngineId, FittedId, IntakeId, PartId, PersonId, SpecId};
use crate::parts::after_all;
use crate::people;
use crate::shop::Shop;
use crate::time::{Day, Moment};
use crate::words::{GearFace, OutWhy, PartKind, Stage};
use rusqlite::{Connection, OptionalExtension, Row, params};

/// A revision of a build that somebody looks at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct InRevision {
    /// Which build.
    pub build: BuildId,
    /// Which revision of it.
    pub revision: i64,
}

/// What a build is of.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Head {
    /// What the shop calls it.
    pub name: String,
    /// Whose it is.
    pub customer: Option<CustomerId>,
    /// Which engine of the library it was made from.
    pub engine: Option<EngineId>,
    /// Which version of which spec it is built to.
    pub spec: Option<SpecId>,
}

/// What is due next.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Due {
    /// How far it is.
    pub stage: Stage,
    /// What is to be done, in words; empty if nothing is.
    pub next: String,
    /// By when the build is wanted.
    pub by: Option<Day>,
    /// Who has it.
    pub holder: Option<PersonId>,
}

/// A build.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Build {
    /// Its number.
    pub id: BuildId,
    /// What it is of.
    pub head: Head,
    /// What it came in as.
    pub intake: Option<IntakeId>,
    /// What is due next.
    pub due: Due,
    /// Its revision, from 1.
    pub revision: i64,
    /// Whether it can be changed: it is not signed, or a new revision was opened.
    pub open: bool,
    /// Who began it.
    pub person: PersonId,
    /// When.
    pub at: Moment,
}

/// A build in a list, with names in place of numbers.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BuildListed {
    /// The build.
    pub build: Build,
    /// Whose it is.
    pub customer: Option<String>,
    /// Its engine.
    pub engine: Option<String>,
    /// Its spec and the version.
    pub spec: Option<(String, i64)>,
    /// Who has it.
    pub holder: Option<String>,
}

/// Which builds to list.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct BuildSearch<'a> {
    /// In the name of build or customer, or the beginning of a part's serial; empty for all.
    pub text: &'a str,
    /// Only those that are open, or only those that are not.
    pub open: Option<bool>,
    /// How many to leave out from the front.
    pub from: usize,
    /// How many at most.
    pub most: usize,
}

/// A part in its place.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fitted {
    /// Its number.
    pub id: FittedId,
    /// In which build.
    pub build: BuildId,
    /// Which part.
    pub part: PartId,
    /// What it is.
    pub kind: PartKind,
    /// Its serial.
    pub serial: String,
    /// Which of its kind from the front, from 1.
    pub position: i64,
    /// Of a rotor: which way its gear face looks.
    pub gear_face: Option<GearFace>,
    /// In which revision it was fitted.
    pub revision: i64,
    /// By whom.
    pub person: PersonId,
    /// When.
    pub at: Moment,
    /// Why it left, in which revision, who took it out, and when.
    pub out: Option<(OutWhy, i64, PersonId, Moment)>,
}

/// A part to be fitted.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fit<'a> {
    /// In which build, and the revision of it that was looked at.
    pub of: InRevision,
    /// Which part.
    pub part: PartId,
    /// Which of its kind from the front, from 1.
    pub position: i64,
    /// Of a rotor: which way its gear face looks.
    pub gear_face: Option<GearFace>,
    /// By whom.
    pub person: PersonId,
    /// When.
    pub at: &'a Moment,
}

const COLUMNS: &str = "b.id, b.name, b.customer, b.engine, b.spec, b.intake, b.stage, b.due_next, \
                       b.due, b.holder, b.revision, b.open, b.person, b.at";
/// How many they are.
const WIDTH: usize = 14;

fn build(row: &Row<'_>) -> rusqlite::Result<Build> {
    Ok(Build {
        id: row.get(0)?,
        head: Head {
            name: row.get(1)?,
            customer: row.get(2)?,
            engine: row.get(3)?,
            spec: row.get(4)?,
        },
        intake: row.get(5)?,
        due: Due { stage: row.get(6)?, next: row.get(7)?, by: row.get(8)?, holder: row.get(9)? },
        revision: row.get(10)?,
        open: row.get(11)?,
        person: row.get(12)?,
        at: row.get(13)?,
    })
}

pub(crate) fn get(connection: &Connection, id: BuildId) -> Result<Build, Fault> {
    connection
        .prepare_cached(&format!("SELECT {COLUMNS} FROM build b WHERE b.id = ?1"))?
        .query_row([id], build)
        .optional()?
        .ok_or_else(|| Fault::not_there("build", id))
}

/// Refuses another revision than the one that was looked at, and a build that is signed.
pub(crate) fn stands(connection: &Connection, of: InRevision) -> Result<(), Fault> {
    let (revision, open): (i64, bool) = connection
        .prepare_cached("SELECT revision, open FROM build WHERE id = ?1")?
        .query_row([of.build], |row| Ok((row.get(0)?, row.get(1)?)))
        .optional()?
        .ok_or_else(|| Fault::not_there("build", of.build))?;
    if revision != of.revision {
        let opened = connection
            .prepare_cached("SELECT person, at FROM amendment WHERE build = ?1 AND revision = ?2")?
            .query_row((of.build, revision), |row| Ok((row.get(0)?, row.get(1)?)))
            .optional()?;
        let opened = named(connection, opened)?;
        return Err(Fault::from(Conflict::Revision {
            build: of.build,
            yours: of.revision,
            theirs: revision,
            opened,
        }));
    }
    if open {
        Ok(())
    } else {
        Err(Fault::refused(format!(
            "build {} is signed: open a new revision to change it",
            of.build
        )))
    }
}

fn named(connection: &Connection, who: Option<(PersonId, Moment)>) -> Result<Option<Who>, Fault> {
    who.map(|(person, at)| people::who(connection, person, &at)).transpose()
}

/// How far a build has come.
pub(crate) fn seen(connection: &Connection, id: BuildId) -> Result<Seen, Fault> {
    let build = get(connection, id)?;
    let (last_reading, last_value, fittings) = connection
        .prepare_cached(
            "SELECT coalesce((SELECT max(id) FROM reading WHERE build = ?1), 0),
                    coalesce((SELECT max(id) FROM build_value WHERE build = ?1), 0),
                    (SELECT count(*) + count(out_at) FROM build_part WHERE build = ?1)",
        )?
        .query_row([id], |row| Ok((row.get(0)?, row.get(1)?, row.get(2)?)))?;
    let head = content::named_hash(&build.head);
    Ok(Seen { revision: build.revision, last_reading, last_value, fittings, head })
}

/// Refuses a build that changed since it was looked at.
pub(crate) fn unchanged(connection: &Connection, id: BuildId, yours: &Seen) -> Result<(), Fault> {
    let theirs = seen(connection, id)?;
    if theirs == *yours {
        return Ok(());
    }
    let last = connection
        .query_row(
            "SELECT person, at FROM (
                 SELECT person, at FROM reading WHERE build = ?1
                 UNION ALL SELECT person, at FROM build_value WHERE build = ?1
                 UNION ALL SELECT person, at FROM build_part WHERE build = ?1
                 UNION ALL SELECT out_person, out_at FROM build_part
                           WHERE build = ?1 AND out_at IS NOT NULL
                 UNION ALL SELECT person, at FROM amendment WHERE build = ?1)
             ORDER BY at DESC LIMIT 1",
            [id],
            |row| Ok((row.get(0)?, row.get(1)?)),
        )
        .optional()?;
    let last = named(connection, last)?;
    Err(Fault::from(Conflict::Build { build: id, yours: *yours, theirs, last }))
}

fn listed(row: &Row<'_>) -> rusqlite::Result<BuildListed> {
    let spec: Option<String> = row.get(WIDTH + 2)?;
    Ok(BuildListed {
        build: build(row)?,
        customer: row.get(WIDTH)?,
        engine: row.get(WIDTH + 1)?,
        spec: match spec {
            Some(name) => Some((name, row.get(WIDTH + 3)?)),
            None => None,
        },
        holder: row.get(WIDTH + 4)?,
    })
}

pub(crate) const FITTED: &str = "f.id, f.build, f.part, p.kind, p.serial, f.position, f.gear_face, \
                                 f.revision, f.person, f.at, f.out_why, f.out_revision, \
                                 f.out_person, f.out_at";

pub(crate) fn fitted(row: &Row<'_>) -> rusqlite::Result<Fitted> {
    let why: Option<OutWhy> = row.get(10)?;
    Ok(Fitted {
        id: row.get(0)?,
        build: row.get(1)?,
        part: row.get(2)?,
        kind: row.get(3)?,
        serial: row.get(4)?,
        position: row.get(5)?,
        gear_face: row.get(6)?,
        revision: row.get(7)?,
        person: row.get(8)?,
        at: row.get(9)?,
        out: match why {
            Some(why) => Some((why, row.get(11)?, row.get(12)?, row.get(13)?)),
            None => None,
        },
    })
}

/// Every part that ever was in a build, by kind and position, the first one there first.
pub(crate) fn all_fitted(connection: &Connection, id: BuildId) -> Result<Vec<Fitted>, Fault> {
    let mut statement = connection.prepare_cached(&format!(
        "SELECT {FITTED} FROM build_part f JOIN part p ON p.id = f.part
         WHERE f.build = ?1 ORDER BY p.kind, f.position, f.id"
    ))?;
    Ok(statement.query_map([id], fitted)?.collect::<Result<_, _>>()?)
}

/// Begins a build, in a transaction that somebody else ends.
pub(crate) fn begin(
    connection: &Connection,
    head: &Head,
    intake: Option<IntakeId>,
    due: &Due,
    (person, at): (PersonId, &Moment),
) -> Result<BuildId, Fault> {
    let id = connection
        .prepare_cached(
            "INSERT INTO build (name, customer, engine, spec, intake, stage, due_next,
                                due, holder, person, at)
             VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11)",
        )?
        .insert(params![
            head.name,
            head.customer,
            head.engine,
            head.spec,
            intake,
            due.stage,
            due.next,
            due.by,
            due.holder,
            person,
            at,
        ])?;
    Ok(BuildId(id))
}

/// Puts a part into its place, likewise.
pub(crate) fn put_in(connection: &Connection, new: &Fit<'_>) -> Result<FittedId, Fault> {
    stands(connection, new.of)?;
    let elsewhere: Option<(String, String, i64)> = connection
        .query_row(
            "SELECT p.kind, p.serial, f.build FROM build_part f JOIN part p ON p.id = f.part
             WHERE f.part = ?1 AND f.out_why IS NULL",
            [new.part],
            |row| Ok((row.get(0)?, row.get(1)?, row.get(2)?)),
        )
        .optional()?;
    if let Some((kind, serial, other)) = elsewhere {
        return Err(Fault::refused(format!(
            "{kind} {serial} is in build {other}: take it out there first"
        )));
    }
    let id = connection
        .prepare_cached(
            "INSERT INTO build_part (build, part, position, gear_face, revision, person, at)
             VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7)",
        )?
        .insert((
            new.of.build,
            new.part,
            new.position,
            new.gear_face,
            new.of.revision,
            new.person,
            new.at,
        ))?;
    Ok(FittedId(id))
}

/// Takes a part out, likewise.
pub(crate) fn put_out(
    connection: &Connection,
    id: FittedId,
    why: OutWhy,
    (person, at): (PersonId, &Moment),
) -> Result<(), Fault> {
    let count = connection
        .prepare_cached(
            "UPDATE build_part
             SET out_why = ?2, out_person = ?3, out_at = ?4,
                 out_revision = (SELECT revision FROM build b WHERE b.id = build)
             WHERE id = ?1",
        )?
        .execute((id, why, person, at))?;
    if count == 1 { Ok(()) } else { Err(Fault::not_there("fitted part", id)) }
}

impl Shop {
    /// Begins a build.
    ///
    /// # Errors
    /// Where something that it refers to is not there.
    pub fn add_build(
        &self,
        head: &Head,
        intake: Option<IntakeId>,
        due: &Due,
        (person, at): (PersonId, &Moment),
    ) -> Result<BuildId, RecordsError> {
        self.write(|tx| begin(tx, head, intake, due, (person, at)))
    }

    /// One build.
    ///
    /// # Errors
    /// Where there is none of that number.
    pub fn build(&self, id: BuildId) -> Result<Build, RecordsError> {
        self.read(|connection| get(connection, id))
    }

    /// How far a build has come: to be given back with what is decided on it.
    ///
    /// # Errors
    /// Where there is none of that number.
    pub fn seen(&self, id: BuildId) -> Result<Seen, RecordsError> {
        self.read(|connection| seen(connection, id))
    }

    /// Builds, those that are open first, the earliest wanted first, then the last begun.
    ///
    /// # Errors
    /// Where the file cannot be read.
    pub fn builds(&self, search: &BuildSearch<'_>) -> Result<Vec<BuildListed>, RecordsError> {
        self.read(|connection| {
            let mut statement = connection.prepare_cached(&format!(
                "SELECT {COLUMNS}, c.name, e.name, s.name, s.version, h.name
                 FROM build b
                 LEFT JOIN customer c ON c.id = b.customer
                 LEFT JOIN engine e ON e.id = b.engine
                 LEFT JOIN spec s ON s.id = b.spec
                 LEFT JOIN person h ON h.id = b.holder
                 WHERE (?1 = '' OR found_in(?2, b.name) OR found_in(?2, c.name)
                        OR b.id IN (SELECT f.build FROM part p JOIN build_part f ON f.part = p.id
                                    WHERE p.serial COLLATE NOCASE >= ?1
                                      AND p.serial COLLATE NOCASE < ?3))
                   AND (?4 IS NULL OR b.open = ?4)
                 ORDER BY b.open DESC, b.due IS NULL, b.due, b.id DESC
                 LIMIT ?5 OFFSET ?6"
            ))?;
            let text = search.text.trim();
            let found = statement.query_map(
                params![
                    text,
                    folded(text),
                    after_all(text),
                    search.open,
                    search.most as i64,
                    search.from as i64
                ],
                listed,
            )?;
            Ok(found.collect::<Result<_, _>>()?)
        })
    }

    /// Says what is due next.
    ///
    /// # Errors
    /// Where there is no such build.
    pub fn set_due(&self, id: BuildId, due: &Due) -> Result<(), RecordsError> {
        self.write(|tx| {
            let count = tx
                .prepare_cached(
                    "UPDATE build SET stage = ?2, due_next = ?3, due = ?4, holder = ?5
                     WHERE id = ?1",
                )?
                .execute((id, due.stage, &due.next, &due.by, due.holder))?;
            if count == 1 { Ok(()) } else { Err(Fault::not_there("build", id)) }
        })
    }

    /// Says how far an open build is and what is to be done next; who has it, and by when it is
    /// wanted, stays. A build that is signed has nothing due.
    ///
    /// # Errors
    /// Where the file cannot be written.
    pub fn set_next(&self, id: BuildId, stage: Stage, next: &str) -> Result<(), RecordsError> {
        self.write(|tx| {
            tx.prepare_cached(
                "UPDATE build SET stage = ?2, due_next = ?3 WHERE id = ?1 AND open = 1",
            )?
            .execute((id, stage, next))?;
            Ok(())
        })
    }

    /// Says who has a build, and by when it is wanted; what is due next stays.
    ///
    /// # Errors
    /// Where there is no such build.
    pub fn hand_over(
        &self,
        id: BuildId,
        by: Option<&Day>,
        holder: Option<PersonId>,
    ) -> Result<(), RecordsError> {
        self.write(|tx| {
            let count = tx
                .prepare_cached("UPDATE build SET due = ?2, holder = ?3 WHERE id = ?1")?
                .execute((id, by, holder))?;
            if count == 1 { Ok(()) } else { Err(Fault::not_there("build", id)) }
        })
    }

    /// Changes what a build is of.
    ///
    /// # Errors
    /// A [`Conflict`] where it changed since it was looked at; where it is signed.
    pub fn change_head(&self, id: BuildId, seen: &Seen, head: &Head) -> Result<(), RecordsError> {
        self.write(|tx| {
            unchanged(tx, id, seen)?;
            tx.execute(
                "UPDATE build SET name = ?2, customer = ?3, engine = ?4, spec = ?5 WHERE id = ?1",
                (id, &head.name, head.customer, head.engine, head.spec),
            )?;
            Ok(())
        })
    }

    /// Puts a part into its place.
    ///
    /// # Errors
    /// Where it is in another engine or retired, where another one is in its place, where the
    /// build is signed or in another revision.
    pub fn fit(&self, new: &Fit<'_>) -> Result<FittedId, RecordsError> {
        self.write(|tx| put_in(tx, new))
    }

    /// Takes a part out: exchanged while the build is open, torn down after it was signed.
    ///
    /// # Errors
    /// Where it is out already, or the build is in the other state.
    pub fn take_out(
        &self,
        id: FittedId,
        why: OutWhy,
        (person, at): (PersonId, &Moment),
    ) -> Result<(), RecordsError> {
        self.write(|tx| put_out(tx, id, why, (person, at)))
    }

    /// Every part that is or was in a build, by kind and position.
    ///
    /// # Errors
    /// Where the file cannot be read.
    pub fn fitted(&self, id: BuildId) -> Result<Vec<Fitted>, RecordsError> {
        self.read(|connection| all_fitted(connection, id))
    }
}
