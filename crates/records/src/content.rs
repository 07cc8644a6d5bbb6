//! What is signed: a build's head, parts, readings and values as they stand in a revision, each
//! in a fixed order, and the hash of each. Since nothing is ever changed, every revision can be
//! put together again.

use crate::builds::{self, Fitted, Head};
use crate::canonical::{Form, Sha};
use crate::error::Fault;
use crate::ids::{BuildId, PersonId};
use crate::library::{self, Line};
use crate::readings::{self, Reading, reading};
use crate::time::Moment;
use crate::values::{self, BuildValue, value};
use crate::words::OutWhy;
use rusqlite::{Connection, OptionalExtension};

/// A build in a revision.
#[derive(Debug)]
pub(crate) struct Content {
    pub(crate) build: BuildId,
    pub(crate) revision: i64,
    pub(crate) head: Head,
    /// Why this revision was opened, by whom and when, if it is not the first.
    pub(crate) amendment: Option<(String, PersonId, Moment)>,
    /// Of the spec: name, version, values.
    pub(crate) spec: Option<(String, i64, Vec<Line>)>,
    pub(crate) parts: Vec<Fitted>,
    pub(crate) readings: Vec<Reading>,
    pub(crate) values: Vec<BuildValue>,
}

/// The hashes of the four parts of a content, and of all together.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Hashes {
    pub(crate) head: Sha,
    pub(crate) parts: Sha,
    pub(crate) readings: Sha,
    pub(crate) values: Sha,
}

impl Hashes {
    /// Of all four.
    pub(crate) fn content(&self) -> Sha {
        Form::new("lobewright content 1")
            .sha(self.head)
            .sha(self.parts)
            .sha(self.readings)
            .sha(self.values)
            .end()
    }
}

/// Of what a build is named and refers to, by numbers.
pub(crate) fn named_hash(head: &Head) -> Sha {
    Form::new("lobewright named 1")
        .text(&head.name)
        .whole_if(head.customer.map(|id| id.0))
        .whole_if(head.engine.map(|id| id.0))
        .whole_if(head.spec.map(|id| id.0))
        .end()
}

impl Content {
    /// Of a build in a revision, with the head that it had then.
    pub(crate) fn of(
        connection: &Connection,
        build: BuildId,
        revision: i64,
        head: Head,
    ) -> Result<Self, Fault> {
        let spec = match head.spec {
            None => None,
            // One that was removed behind the rules: then the hash will not fit.
            Some(id) => connection
                .prepare_cached("SELECT name, version FROM spec WHERE id = ?1")?
                .query_row([id], |row| Ok((row.get(0)?, row.get(1)?)))
                .optional()?
                .map(|(name, version)| -> Result<_, Fault> {
                    Ok((name, version, library::lines(connection, "spec", id.0)?))
                })
                .transpose()?,
        };
        let amendment = connection
            .prepare_cached(
                "SELECT reason, person, at FROM amendment WHERE build = ?1 AND revision = ?2",
            )?
            .query_row((build, revision), |row| Ok((row.get(0)?, row.get(1)?, row.get(2)?)))
            .optional()?;
        let mut parts = builds::all_fitted(connection, build)?;
        parts.retain(|part| {
            let exchanged = part
                .out
                .as_ref()
                .is_some_and(|(why, out, ..)| *why == OutWhy::Exchanged && *out <= revision);
            part.revision <= revision && !exchanged
        });
        // What a later revision superseded stood in this one.
        let mut statement = connection.prepare_cached(&format!(
            "SELECT {} FROM reading r LEFT JOIN reading n ON n.id = r.superseded_by
             WHERE r.build = ?1 AND r.revision <= ?2
               AND (r.superseded_by IS NULL OR n.revision > ?2)
             ORDER BY r.id",
            readings::COLUMNS
        ))?;
        let readings =
            statement.query_map((build, revision), reading)?.collect::<Result<_, _>>()?;
        let mut statement = connection.prepare_cached(&format!(
            "SELECT {} FROM build_value v LEFT JOIN build_value n ON n.id = v.superseded_by
             WHERE v.build = ?1 AND v.revision <= ?2
               AND (v.superseded_by IS NULL OR n.revision > ?2)
             ORDER BY v.rank, v.id",
            values::COLUMNS
        ))?;
        let values = statement.query_map((build, revision), value)?.collect::<Result<_, _>>()?;
        Ok(Self { build, revision, head, amendment, spec, parts, readings, values })
    }

    pub(crate) fn hashes(&self) -> Hashes {
        Hashes {
            head: self.head_hash(),
            parts: self.parts_hash(),
            readings: self.readings_hash(),
            values: self.values_hash(),
        }
    }

    fn head_hash(&self) -> Sha {
        let form = Form::new("lobewright head 1")
            .whole(self.build.0)
            .whole(self.revision)
            .text(&self.head.name)
            .whole_if(self.head.customer.map(|id| id.0))
            .whole_if(self.head.engine.map(|id| id.0))
            .whole_if(self.head.spec.map(|id| id.0));
        let form = match &self.amendment {
            None => form,
            Some((reason, person, at)) => form.text(reason).whole(person.0).text(at.as_str()),
        };
        match &self.spec {
            None => form.end(),
            Some((name, version, lines)) => lines
                .iter()
                .fold(form.text(name).whole(*version).count(lines.len()), |form, line| {
                    form.text(&line.place).text(&line.value)
                })
                .end(),
        }
    }

    fn parts_hash(&self) -> Sha {
        self.parts
            .iter()
            .fold(Form::new("lobewright parts 1").count(self.parts.len()), |form, part| {
                form.text(part.kind.word())
                    .whole(part.position)
                    .text(&part.serial)
                    .text_if(part.gear_face.map(|face| face.word()))
                    .whole(part.part.0)
                    .whole(part.revision)
                    .whole(part.person.0)
                    .text(part.at.as_str())
            })
            .end()
    }

    fn readings_hash(&self) -> Sha {
        let form = Form::new("lobewright readings 1").count(self.readings.len());
        self.readings.iter().fold(form, |form, reading| reading.fields(form)).end()
    }

    fn values_hash(&self) -> Sha {
        let form = Form::new("lobewright values 1").count(self.values.len());
        self.values.iter().fold(form, |form, value| value.fields(form)).end()
    }
}
