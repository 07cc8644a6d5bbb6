//! The build's file: every place of it with its value, in its order. This crate knows no key of
//! it; a place that holds a reading points to the reading, so that there is one truth.

use crate::builds::{self, InRevision};
use crate::canonical::{Form, Sha};
use crate::error::{Conflict, Fault, RecordsError, Seen};
use crate::ids::{BuildId, GaugeId, PartId, PersonId, ReadingId, ValueId};
use crate::people;
use crate::ranks::ranks;
use crate::readings::{self, NewReading, last_seal};
use crate::shop::Shop;
use crate::time::Moment;
use crate::words::When;
use crate::written::Written;
use rusqlite::{Connection, OptionalExtension, Row, params};
use std::collections::{HashMap, HashSet};

/// What a place shows.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Shows {
    /// The TOML text of its value.
    Text(String),
    /// The reading of a station.
    Reading {
        /// Of which part.
        part: PartId,
        /// Before the cut or after it.
        when: When,
        /// Where on the part.
        station: String,
    },
    /// Nothing: it was taken out of the file.
    Nothing,
}

/// A value of a build as it is kept.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BuildValue {
    /// Its number; they go up by one.
    pub id: ValueId,
    /// Of which build.
    pub build: BuildId,
    /// In which revision of it.
    pub revision: i64,
    /// Where in the file.
    pub place: String,
    /// Lines stand in the order of their ranks.
    pub rank: i64,
    /// What stands there.
    pub shows: Shows,
    /// Who put it there.
    pub person: PersonId,
    /// When.
    pub at: Moment,
    /// Which one it changes.
    pub supersedes: Option<ValueId>,
    /// Which one changes it.
    pub superseded_by: Option<ValueId>,
}

/// A value to be set.
#[derive(Debug, Clone, PartialEq)]
pub struct NewValue<'a> {
    /// Of which build, and the revision of it that was looked at.
    pub of: InRevision,
    /// Where in the file.
    pub place: &'a str,
    /// The TOML text of its value; none takes the place out of the file.
    pub value: Option<&'a str>,
    /// By whom.
    pub person: PersonId,
    /// When.
    pub at: &'a Moment,
    /// The value that stood there when this one was decided.
    pub expected: Option<ValueId>,
}

/// A line of a build's file.
#[derive(Debug, Clone, PartialEq)]
pub struct FileLine {
    /// Where: `rotor.R-114.land_width.2`.
    pub place: String,
    /// The TOML text of its value: of a reading, what was written, in quotes.
    pub value: String,
    /// The value's number.
    pub id: ValueId,
    /// The reading that it is, if it is one.
    pub reading: Option<ReadingId>,
}

/// A line to be stored.
#[derive(Debug, Clone, PartialEq)]
pub struct NewLine {
    /// Where: `rotor.R-114.land_width.2`.
    pub place: String,
    /// What stands there.
    pub entry: Entry,
}

/// What a line to be stored holds.
#[derive(Debug, Clone, PartialEq)]
pub enum Entry {
    /// The TOML text of a value.
    Text(String),
    /// A reading. One that stands as it is, is not taken again.
    Reading {
        /// Of which part.
        part: PartId,
        /// Before the cut or after it.
        when: When,
        /// Where on the part: `land_width.2`.
        station: String,
        /// As it was written.
        value: Written,
        /// With which gauge.
        gauge: Option<GaugeId>,
        /// How warm the part was.
        temperature: Option<Written>,
    },
}

/// A whole file to be stored.
#[derive(Debug, Clone, PartialEq)]
pub struct Store<'a> {
    /// Of which build.
    pub build: BuildId,
    /// How far the build had come when the file was taken from it.
    pub seen: Seen,
    /// Who stores it.
    pub person: PersonId,
    /// When.
    pub at: &'a Moment,
    /// Its lines in their order.
    pub lines: &'a [NewLine],
}

/// What storing a file changed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Stored {
    /// Readings taken.
    pub readings: usize,
    /// Places that are new, hold something else, or moved.
    pub changed: usize,
    /// Places taken out.
    pub removed: usize,
}

pub(crate) const COLUMNS: &str = "v.id, v.build, v.revision, v.place, v.rank, v.value, v.part, \
                                  v.stage, v.station, v.person, v.at, v.supersedes, \
                                  v.superseded_by";
/// How many they are.
pub(crate) const WIDTH: usize = 13;

pub(crate) fn value(row: &Row<'_>) -> rusqlite::Result<BuildValue> {
    let text: Option<String> = row.get(5)?;
    let part: Option<PartId> = row.get(6)?;
    let shows = match (text, part) {
        (Some(text), _) => Shows::Text(text),
        (None, Some(part)) => Shows::Reading { part, when: row.get(7)?, station: row.get(8)? },
        (None, None) => Shows::Nothing,
    };
    Ok(BuildValue {
        id: row.get(0)?,
        build: row.get(1)?,
        revision: row.get(2)?,
        place: row.get(3)?,
        rank: row.get(4)?,
        shows,
        person: row.get(9)?,
        at: row.get(10)?,
        supersedes: row.get(11)?,
        superseded_by: row.get(12)?,
    })
}

impl BuildValue {
    /// Its fields in the order of the canonical form.
    pub(crate) fn fields(&self, form: Form) -> Form {
        let form = form
            .whole(self.id.0)
            .whole(self.build.0)
            .whole(self.revision)
            .text(&self.place)
            .whole(self.rank);
        let form = match &self.shows {
            Shows::Text(text) => form.text("text").text(text),
            Shows::Reading { part, when, station } => {
                form.text("reading").whole(part.0).text(when.word()).text(station)
            }
            Shows::Nothing => form.text("nothing"),
        };
        form.whole(self.person.0).text(self.at.as_str()).whole_if(self.supersedes.map(|id| id.0))
    }

    /// Its seal: the hash of itself and the seal of the one before.
    pub(crate) fn seal(&self, previous: Sha) -> Sha {
        self.fields(Form::new("lobewright value 1").sha(previous)).end()
    }

    /// What to show of it in a message.
    #[must_use]
    pub fn shown(&self) -> &str {
        match &self.shows {
            Shows::Text(text) => text,
            Shows::Reading { station, .. } => station,
            Shows::Nothing => "",
        }
    }
}

/// A text as a TOML string.
pub(crate) fn quoted(text: &str) -> String {
    let mut quoted = String::with_capacity(text.len() + 2);
    quoted.push('"');
    for c in text.chars() {
        match c {
            '"' => quoted.push_str("\\\""),
            '\\' => quoted.push_str("\\\\"),
            '\n' => quoted.push_str("\\n"),
            '\t' => quoted.push_str("\\t"),
            '\r' => quoted.push_str("\\r"),
            c if c.is_control() => quoted.push_str(&format!("\\u{:04X}", u32::from(c))),
            c => quoted.push(c),
        }
    }
    quoted.push('"');
    quoted
}

/// The values of a build that are not superseded, in their order; those taken out among them.
pub(crate) fn standing(connection: &Connection, build: BuildId) -> Result<Vec<BuildValue>, Fault> {
    let mut statement = connection.prepare_cached(&format!(
        "SELECT {COLUMNS} FROM build_value v
         WHERE v.build = ?1 AND v.superseded_by IS NULL ORDER BY v.rank, v.id"
    ))?;
    Ok(statement.query_map([build], value)?.collect::<Result<_, _>>()?)
}

/// Who changes values, when, and of which build.
#[derive(Debug, Clone, Copy)]
struct By<'a> {
    of: InRevision,
    person: PersonId,
    at: &'a Moment,
}

/// Adds a value in place of another, or a first one.
fn append(
    connection: &Connection,
    by: By<'_>,
    (place, rank, shows): (&str, i64, &Shows),
    supersedes: Option<ValueId>,
) -> Result<ValueId, Fault> {
    let (last, previous) = last_seal(connection, "build_value")?;
    let kept = BuildValue {
        id: ValueId(last + 1),
        build: by.of.build,
        revision: by.of.revision,
        place: place.to_owned(),
        rank,
        shows: shows.clone(),
        person: by.person,
        at: by.at.clone(),
        supersedes,
        superseded_by: None,
    };
    let (text, part, when, station) = match shows {
        Shows::Text(text) => (Some(text), None, None, None),
        Shows::Reading { part, when, station } => (None, Some(part), Some(when), Some(station)),
        Shows::Nothing => (None, None, None, None),
    };
    connection
        .prepare_cached(
            "INSERT INTO build_value (id, build, revision, place, rank, value, part, stage,
                                      station, person, at, supersedes, seal)
             VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12, ?13)",
        )?
        .execute(params![
            kept.id,
            kept.build,
            kept.revision,
            kept.place,
            kept.rank,
            text,
            part,
            when,
            station,
            kept.person,
            kept.at,
            kept.supersedes,
            kept.seal(previous),
        ])?;
    Ok(kept.id)
}

/// Puts something at a place; a new place comes after the one it has most in common with.
fn put(connection: &Connection, by: By<'_>, place: &str, shows: &Shows) -> Result<ValueId, Fault> {
    let standing = standing(connection, by.of.build)?;
    let there = standing.iter().find(|value| value.place == place);
    if let Some(there) = there
        && there.shows != Shows::Nothing
    {
        return if there.shows == *shows {
            Ok(there.id)
        } else {
            append(connection, by, (place, there.rank, shows), Some(there.id))
        };
    }
    let lines: Vec<&BuildValue> =
        standing.iter().filter(|value| value.shows != Shows::Nothing).collect();
    let in_common =
        |other: &str| place.split('.').zip(other.split('.')).take_while(|(a, b)| a == b).count();
    let most = lines.iter().map(|line| in_common(&line.place)).max().unwrap_or(0);
    let at = lines
        .iter()
        .rposition(|line| in_common(&line.place) == most)
        .map_or(lines.len(), |at| at + 1);
    let mut current: Vec<Option<i64>> = lines.iter().map(|line| Some(line.rank)).collect();
    current.insert(at, None);
    let mut ranks = ranks(&current);
    let rank = ranks.remove(at);
    for (line, rank) in lines.iter().zip(ranks).filter(|(line, rank)| line.rank != *rank) {
        append(connection, by, (&line.place, rank, &line.shows), Some(line.id))?;
    }
    append(connection, by, (place, rank, shows), there.map(|value| value.id))
}

/// Makes a place of the file show the reading that was just taken.
pub(crate) fn show_reading(
    connection: &Connection,
    of: InRevision,
    place: &str,
    new: &NewReading<'_>,
) -> Result<(), Fault> {
    let by = By { of, person: new.person, at: new.at };
    let shows = Shows::Reading { part: new.part, when: new.when, station: new.station.to_owned() };
    put(connection, by, place, &shows).map(|_| ())
}

/// Takes a reading of a file, unless it stands already.
fn take(
    connection: &Connection,
    by: By<'_>,
    (entry, stored): (&Entry, &mut Stored),
) -> Result<Shows, Fault> {
    let (part, when, station, value, gauge, temperature) = match entry {
        Entry::Text(text) => return Ok(Shows::Text(text.clone())),
        Entry::Reading { part, when, station, value, gauge, temperature } => {
            (*part, *when, station, value, *gauge, temperature.as_ref())
        }
    };
    let there = readings::standing(connection, part, Some(by.of.build), (when, station))?;
    let same = there.as_ref().is_some_and(|there| {
        there.value == *value && there.gauge == gauge && there.temperature.as_ref() == temperature
    });
    if !same {
        let new = NewReading {
            part,
            build: Some(by.of),
            when,
            station,
            value,
            gauge,
            person: by.person,
            at: by.at,
            temperature,
            expected: there.map(|there| there.id),
            sent_as: None,
            place: None,
        };
        readings::add(connection, &new)?;
        stored.readings += 1;
    }
    Ok(Shows::Reading { part, when, station: station.clone() })
}

/// Stores the lines of a whole file, in a transaction that somebody else ends.
pub(crate) fn store_lines(
    connection: &Connection,
    of: InRevision,
    (person, at): (PersonId, &Moment),
    lines: &[NewLine],
) -> Result<Stored, Fault> {
    let mut places = HashSet::with_capacity(lines.len());
    if let Some(twice) = lines.iter().find(|line| !places.insert(line.place.as_str())) {
        return Err(RecordsError::TwiceInFile { place: twice.place.clone() }.into());
    }
    let by = By { of, person, at };
    let standing = standing(connection, of.build)?;
    let there: HashMap<&str, &BuildValue> =
        standing.iter().map(|value| (value.place.as_str(), value)).collect();
    let current: Vec<Option<i64>> = lines
        .iter()
        .map(|line| {
            let there = there.get(line.place.as_str())?;
            (there.shows != Shows::Nothing).then_some(there.rank)
        })
        .collect();
    let mut stored = Stored::default();
    for (line, rank) in lines.iter().zip(ranks(&current)) {
        let shows = take(connection, by, (&line.entry, &mut stored))?;
        let there = there.get(line.place.as_str());
        if there.is_some_and(|there| there.shows == shows && there.rank == rank) {
            continue;
        }
        append(connection, by, (&line.place, rank, &shows), there.map(|there| there.id))?;
        stored.changed += 1;
    }
    for gone in standing
        .iter()
        .filter(|there| there.shows != Shows::Nothing)
        .filter(|there| !places.contains(there.place.as_str()))
    {
        append(connection, by, (&gone.place, gone.rank, &Shows::Nothing), Some(gone.id))?;
        stored.removed += 1;
    }
    Ok(stored)
}

impl Shop {
    /// The text that was put last at a place of a build's file, whether it still stands there: what a
    /// part was said to be stays known when the part is taken out. Nothing where none ever was.
    ///
    /// # Errors
    /// Where the file cannot be read.
    pub fn last_text(&self, build: BuildId, place: &str) -> Result<Option<String>, RecordsError> {
        self.read(|connection| {
            let mut statement = connection.prepare_cached(
                "SELECT value FROM build_value WHERE build = ?1 AND place = ?2
                   AND value IS NOT NULL ORDER BY id DESC LIMIT 1",
            )?;
            Ok(statement.query_row((build, place), |row| row.get(0)).optional()?)
        })
    }

    /// Every line of a build's file, in its order.
    ///
    /// # Errors
    /// Where the file cannot be read.
    pub fn values(&self, build: BuildId) -> Result<Vec<FileLine>, RecordsError> {
        self.read(|connection| {
            let mut statement = connection.prepare_cached(
                "SELECT v.place, v.value, v.id, r.id, r.value FROM build_value v
                 LEFT JOIN reading r
                   ON r.part = v.part AND r.build = v.build AND r.stage = v.stage
                      AND r.station = v.station AND r.superseded_by IS NULL
                 WHERE v.build = ?1 AND v.superseded_by IS NULL
                   AND (v.value IS NOT NULL OR v.part IS NOT NULL)
                 ORDER BY v.rank, v.id",
            )?;
            let mut rows = statement.query([build])?;
            let mut lines = Vec::new();
            while let Some(row) = rows.next()? {
                let place: String = row.get(0)?;
                let (text, read): (Option<String>, Option<String>) = (row.get(1)?, row.get(4)?);
                let value = match (text, read) {
                    (Some(text), _) => text,
                    (None, Some(read)) => quoted(&read),
                    (None, None) => {
                        return Err(Fault::refused(format!("{place} has no reading to show")));
                    }
                };
                lines.push(FileLine { place, value, id: row.get(2)?, reading: row.get(3)? });
            }
            Ok(lines)
        })
    }

    /// Sets one value, or takes its place out of the file.
    ///
    /// # Errors
    /// A [`Conflict`] where somebody else was faster at the same place or opened another
    /// revision; where the build is signed.
    pub fn set_value(&self, new: &NewValue<'_>) -> Result<Option<ValueId>, RecordsError> {
        self.write(|tx| {
            builds::stands(tx, new.of)?;
            let theirs = standing(tx, new.of.build)?
                .into_iter()
                .find(|value| value.place == new.place && value.shows != Shows::Nothing);
            if theirs.as_ref().map(|value| value.id) != new.expected {
                let who = match &theirs {
                    Some(theirs) => Some(people::who(tx, theirs.person, &theirs.at)?),
                    None => None,
                };
                return Err(Fault::from(Conflict::Value {
                    place: new.place.to_owned(),
                    yours: new.value.unwrap_or("").to_owned(),
                    theirs,
                    who,
                }));
            }
            let by = By { of: new.of, person: new.person, at: new.at };
            match (new.value, theirs) {
                (Some(text), _) => put(tx, by, new.place, &Shows::Text(text.to_owned())).map(Some),
                (None, Some(there)) => {
                    let gone = (new.place, there.rank, &Shows::Nothing);
                    append(tx, by, gone, Some(there.id)).map(Some)
                }
                (None, None) => Ok(None),
            }
        })
    }

    /// Stores a whole file: what is as it was stays, the rest is added; nothing is lost.
    ///
    /// # Errors
    /// A [`Conflict`] where the build changed since it was looked at; where the build is signed,
    /// or a place is there twice.
    pub fn store(&self, store: &Store<'_>) -> Result<Stored, RecordsError> {
        self.write(|tx| {
            builds::unchanged(tx, store.build, &store.seen)?;
            let of = InRevision { build: store.build, revision: store.seen.revision };
            store_lines(tx, of, (store.person, store.at), store.lines)
        })
    }
}

#[cfg(test)]
mod tests {
    use super::quoted;

    #[test]
    fn a_reading_in_quotes() {
        assert_eq!(quoted("79.915 mm"), "\"79.915 mm\"");
        assert_eq!(quoted(".005\""), "\".005\\\"\"");
        assert_eq!(quoted("\\\u{7}\n"), "\"\\\\\\u0007\\n\"");
    }
}
