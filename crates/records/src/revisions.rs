//! What changed between two revisions of a build.

use crate::builds;
use crate::content::Content;
use crate::error::{Fault, RecordsError};
use crate::ids::{BuildId, PartId, PersonId};
use crate::readings::Reading;
use crate::shop::Shop;
use crate::sign_off::{COLUMNS, sign_off};
use crate::time::Moment;
use crate::values::{FileLine, Shows, quoted};
use crate::words::When;
use rusqlite::{Connection, OptionalExtension};
use std::collections::{HashMap, HashSet};

/// An amendment of a signed build.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Amendment {
    /// The revision that it opened.
    pub revision: i64,
    /// Why.
    pub reason: String,
    /// Who opened it.
    pub person: PersonId,
    /// When.
    pub at: Moment,
}

/// Something that two revisions have different.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Difference {
    /// The place in the build's file; of a reading that is not in it, its part and station; of a
    /// part, its kind and position.
    pub place: String,
    /// What stood there, if something did.
    pub before: Option<String>,
    /// What stands there, if something does. The same as before: the line moved.
    pub after: Option<String>,
    /// Who made it so, if that is known: of what a build is of, only who signed is.
    pub by: Option<(PersonId, Moment)>,
}

/// Something in a revision: what it is, and who made it so.
struct Stand {
    place: String,
    shown: Option<String>,
    rank: Option<i64>,
    person: PersonId,
    at: Moment,
}

/// The readings that stand, each by its station.
fn by_station(content: &Content) -> HashMap<(PartId, When, &str), &Reading> {
    content
        .readings
        .iter()
        .map(|reading| ((reading.part, reading.when, reading.station.as_str()), reading))
        .collect()
}

fn stands(connection: &Connection, content: &Content) -> Result<Vec<Stand>, Fault> {
    let readings = by_station(content);
    let mut stands = Vec::new();
    let mut told = HashSet::new();
    for part in &content.parts {
        let face = part.gear_face.map_or_else(String::new, |face| format!(", gear face {face}"));
        stands.push(Stand {
            place: format!("{} {}", part.kind, part.position),
            shown: Some(format!("{}{face}", part.serial)),
            rank: None,
            person: part.person,
            at: part.at.clone(),
        });
    }
    for value in &content.values {
        let reading = match &value.shows {
            Shows::Reading { part, when, station } => {
                readings.get(&(*part, *when, station.as_str()))
            }
            Shows::Text(_) | Shows::Nothing => None,
        };
        let (shown, person, at) = match (&value.shows, reading) {
            (Shows::Text(text), _) => (Some(text.clone()), value.person, &value.at),
            (_, Some(reading)) => {
                told.insert(reading.id);
                (Some(quoted(reading.value.text())), reading.person, &reading.at)
            }
            _ => (None, value.person, &value.at),
        };
        stands.push(Stand {
            place: value.place.clone(),
            shown,
            rank: Some(value.rank),
            person,
            at: at.clone(),
        });
    }
    for reading in content.readings.iter().filter(|reading| !told.contains(&reading.id)) {
        let (kind, serial): (String, String) = connection.query_row(
            "SELECT kind, serial FROM part WHERE id = ?1",
            [reading.part],
            |row| Ok((row.get(0)?, row.get(1)?)),
        )?;
        stands.push(Stand {
            place: format!("{kind} {serial} {} ({} the cut)", reading.station, reading.when),
            shown: Some(quoted(reading.value.text())),
            rank: None,
            person: reading.person,
            at: reading.at.clone(),
        });
    }
    Ok(stands)
}

/// A build in a revision, with the head that was signed or stands.
fn content(connection: &Connection, id: BuildId, revision: i64) -> Result<Content, Fault> {
    let build = builds::get(connection, id)?;
    if !(1..=build.revision).contains(&revision) {
        return Err(Fault::not_there("revision", format!("{revision} of build {id}")));
    }
    let signed = connection
        .prepare_cached(&format!(
            "SELECT {COLUMNS} FROM sign_off WHERE build = ?1 AND revision = ?2
             ORDER BY id LIMIT 1"
        ))?
        .query_row((id, revision), sign_off)
        .optional()?;
    let head = signed.map_or(build.head, |signed| signed.head);
    Content::of(connection, id, revision, head)
}

/// What a build is of, line by line.
fn heads(before: &Content, after: &Content) -> Vec<Difference> {
    let lines = |content: &Content| {
        let head = &content.head;
        let number = |what: &str, id: Option<i64>| id.map(|id| format!("{what} {id}"));
        [
            ("name", Some(head.name.clone())),
            ("customer", number("customer", head.customer.map(|id| id.0))),
            ("engine", number("engine", head.engine.map(|id| id.0))),
            (
                "spec",
                content
                    .spec
                    .as_ref()
                    .map(|(name, version, _)| format!("{name}, version {version}")),
            ),
        ]
    };
    lines(before)
        .into_iter()
        .zip(lines(after))
        .filter(|(before, after)| before != after)
        .map(|((place, before), (_, after))| Difference {
            place: place.to_owned(),
            before,
            after,
            by: None,
        })
        .collect()
}

impl Shop {
    /// Every line of a build's file as it stood in a revision, in its order.
    ///
    /// # Errors
    /// Where there is no such build or revision.
    pub fn values_in(&self, build: BuildId, revision: i64) -> Result<Vec<FileLine>, RecordsError> {
        self.read(|connection| {
            let content = content(connection, build, revision)?;
            let readings = by_station(&content);
            let lines = content.values.iter().filter_map(|value| {
                let (text, reading) = match &value.shows {
                    Shows::Text(text) => (text.clone(), None),
                    Shows::Reading { part, when, station } => {
                        let reading = readings.get(&(*part, *when, station.as_str()))?;
                        (quoted(reading.value.text()), Some(reading.id))
                    }
                    Shows::Nothing => return None,
                };
                Some(FileLine { place: value.place.clone(), value: text, id: value.id, reading })
            });
            Ok(lines.collect())
        })
    }

    /// What changed from one revision of a build to another: first what it is of, then its
    /// parts, then the lines of its file in their order, at last what is there no longer.
    ///
    /// # Errors
    /// Where there is no such build or revision.
    pub fn differences(
        &self,
        build: BuildId,
        from: i64,
        to: i64,
    ) -> Result<Vec<Difference>, RecordsError> {
        self.read(|connection| {
            let (from, to) = (content(connection, build, from)?, content(connection, build, to)?);
            let mut differences = heads(&from, &to);
            let before = stands(connection, &from)?;
            let mut before: HashMap<String, Stand> =
                before.into_iter().map(|stand| (stand.place.clone(), stand)).collect();
            for after in stands(connection, &to)? {
                let (shown, rank) = match before.remove(&after.place) {
                    Some(before) => (before.shown, before.rank),
                    None => (None, after.rank),
                };
                if shown != after.shown || (rank != after.rank && shown.is_some()) {
                    differences.push(Difference {
                        place: after.place,
                        before: shown,
                        after: after.shown,
                        by: Some((after.person, after.at)),
                    });
                }
            }
            let mut gone: Vec<Stand> =
                before.into_values().filter(|stand| stand.shown.is_some()).collect();
            gone.sort_by(|a, b| a.place.cmp(&b.place));
            for stand in gone {
                let by = to_whom(connection, build, &stand)?;
                differences.push(Difference {
                    place: stand.place,
                    before: stand.shown,
                    after: None,
                    by,
                });
            }
            Ok(differences)
        })
    }

    /// The amendments of a build, the first first.
    ///
    /// # Errors
    /// Where the file cannot be read.
    pub fn amendments(&self, build: BuildId) -> Result<Vec<Amendment>, RecordsError> {
        self.read(|connection| {
            let mut statement = connection.prepare_cached(
                "SELECT revision, reason, person, at FROM amendment WHERE build = ?1
                 ORDER BY revision",
            )?;
            let amendments = statement.query_map([build], |row| {
                Ok(Amendment {
                    revision: row.get(0)?,
                    reason: row.get(1)?,
                    person: row.get(2)?,
                    at: row.get(3)?,
                })
            })?;
            Ok(amendments.collect::<Result<_, _>>()?)
        })
    }
}

/// Who took a part out that no other one replaced. (A line that is taken out leaves a value that
/// shows nothing, and a reading stays.)
fn to_whom(
    connection: &Connection,
    build: BuildId,
    gone: &Stand,
) -> Result<Option<(PersonId, Moment)>, Fault> {
    Ok(builds::all_fitted(connection, build)?
        .into_iter()
        .filter(|part| format!("{} {}", part.kind, part.position) == gone.place)
        .filter_map(|part| part.out.map(|(_, _, person, at)| (person, at)))
        .next_back())
}
