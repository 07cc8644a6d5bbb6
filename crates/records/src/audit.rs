//! Whether the record holds together: every seal, every link of the chain of sign-offs, and the
//! content of every revision that was signed. The first record that does not fit is named.
//!
//! It shows that somebody changed the file without its program. Whoever can rewrite all of it
//! can also compute all hashes anew: against that helps the hash of the last sign-off, written
//! down where the file is not, such as in the customer's build book.

use crate::builds;
use crate::canonical::Sha;
use crate::content::Content;
use crate::error::{Fault, RecordsError};
use crate::ids::{
    AttachmentId, BuildId, CalibrationId, FindingId, PredictionId, ReadingId, SignOffId,
    TeardownId, TiltTestId, ValueId, WorkId,
};
use crate::readings::{self, Reading, reading};
use crate::shop::Shop;
use crate::sign_off::{self, SignOff};
use crate::values::{self, BuildValue, value};
use crate::words::WorkKind;
use crate::written::Written;
use crate::{attachments, findings, gauges, predictions, teardowns, tilt_tests, works};
use rusqlite::Connection;
use std::collections::HashMap;
use std::path::Path;
use thiserror::Error;

/// What an audit counted, and the end of the chain.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Audited {
    /// Readings.
    pub readings: i64,
    /// Values of builds.
    pub values: i64,
    /// Sign-offs.
    pub sign_offs: i64,
    /// The hash of the last sign-off; zeros if there is none.
    pub head: Sha,
}

/// A record, by its number.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum Record {
    /// A reading.
    Reading(ReadingId),
    /// A value of a build.
    Value(ValueId),
    /// A sign-off.
    SignOff(SignOffId),
    /// A build.
    Build(BuildId),
    /// A plan, a sheet or a balance run.
    Work(WorkKind, WorkId),
    /// A finding.
    Finding(FindingId),
    /// What was predicted of a build.
    Prediction(PredictionId),
    /// A teardown with its marks.
    Teardown(TeardownId),
    /// A tilt test with its readings.
    TiltTest(TiltTestId),
    /// An attachment.
    Attachment(AttachmentId),
    /// A calibration of a gauge.
    Calibration(CalibrationId),
}

impl std::fmt::Display for Record {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Reading(id) => write!(f, "reading {id}"),
            Self::Value(id) => write!(f, "value {id}"),
            Self::SignOff(id) => write!(f, "sign-off {id}"),
            Self::Build(id) => write!(f, "build {id}"),
            Self::Work(kind, id) => write!(f, "{kind} {id}"),
            Self::Finding(id) => write!(f, "finding {id}"),
            Self::Prediction(id) => write!(f, "prediction {id}"),
            Self::Teardown(id) => write!(f, "teardown {id}"),
            Self::TiltTest(id) => write!(f, "tilt test {id}"),
            Self::Attachment(id) => write!(f, "attachment {id}"),
            Self::Calibration(id) => write!(f, "calibration {id}"),
        }
    }
}

/// What is wrong with a record.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Error)]
#[non_exhaustive]
pub enum Wrong {
    /// It is not there, and something after it is.
    #[error("is missing")]
    Missing,
    /// It does not have the hash that was kept of it.
    #[error("was changed")]
    Changed,
    /// What was written and what is beside it in SI are two values.
    #[error("has a written value and a computed one that are not the same")]
    TextAndValue,
    /// What it supersedes, or is superseded by, does not say the same.
    #[error("does not fit in its chain of corrections")]
    Corrections,
    /// It does not carry the hash of the one before it.
    #[error("does not follow the one before it: some were removed, added or reordered")]
    Previous,
    /// What was signed is no longer what stands there: what the build is of, or its spec.
    #[error("was signed over another name, customer, engine, spec or reason")]
    Head,
    /// Likewise its parts.
    #[error("was signed over other parts")]
    Parts,
    /// Likewise its readings.
    #[error("was signed over other readings")]
    Readings,
    /// Likewise the values of its file.
    #[error("was signed over other values")]
    Values,
    /// It is closed, and nobody signed it.
    #[error("is closed, but its sign-off is missing")]
    NotSigned,
    /// It is open in a revision that was signed.
    #[error("is open in a revision that was signed")]
    Reopened,
    /// Its revisions are not those that were opened.
    #[error("has another number of revisions than amendments")]
    Amendments,
}

/// The first record that does not fit, and what is wrong with it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Error)]
#[error("{record} {wrong}")]
pub struct Misfit {
    /// Which.
    pub record: Record,
    /// What.
    pub wrong: Wrong,
}

/// An audit as it goes on.
struct Audit<'c> {
    connection: &'c Connection,
    file: &'c Path,
}

impl Audit<'_> {
    fn misfit(&self, record: Record, wrong: Wrong) -> Fault {
        Fault::Told(RecordsError::Audit {
            file: self.file.to_owned(),
            misfit: Box::new(Misfit { record, wrong }),
        })
    }

    fn fits(&self, fits: bool, record: Record, wrong: Wrong) -> Result<(), Fault> {
        if fits { Ok(()) } else { Err(self.misfit(record, wrong)) }
    }

    /// Every reading by its number; gives the seals of those that sign-offs ask for.
    fn readings(&self, asked: &mut HashMap<i64, Sha>) -> Result<i64, Fault> {
        let mut statement = self.connection.prepare(&format!(
            "SELECT {}, r.seal, o.superseded_by FROM reading r
             LEFT JOIN reading o ON o.id = r.supersedes ORDER BY r.id",
            readings::COLUMNS
        ))?;
        let mut rows = statement.query([])?;
        let (mut last, mut previous) = (0, Sha::NONE);
        while let Some(row) = rows.next()? {
            let reading: Reading = reading(row)?;
            let seal: Sha = row.get(readings::WIDTH)?;
            let record = Record::Reading(reading.id);
            if reading.id.0 != last + 1 {
                return Err(self.misfit(Record::Reading(ReadingId(last + 1)), Wrong::Missing));
            }
            let agree =
                reading.value.agrees() && reading.temperature.as_ref().is_none_or(Written::agrees);
            self.fits(agree, record, Wrong::TextAndValue)?;
            self.fits(reading.seal(previous) == seal, record, Wrong::Changed)?;
            let corrected: Option<ReadingId> = row.get(readings::WIDTH + 1)?;
            let fits = reading.supersedes.is_none() || corrected == Some(reading.id);
            self.fits(fits, record, Wrong::Corrections)?;
            if let Some(slot) = asked.get_mut(&reading.id.0) {
                *slot = seal;
            }
            (last, previous) = (reading.id.0, seal);
        }
        drop(rows);
        self.corrections("reading", |id| Record::Reading(ReadingId(id)))?;
        Ok(last)
    }

    /// Every value of every build, likewise.
    fn values(&self, asked: &mut HashMap<i64, Sha>) -> Result<i64, Fault> {
        let mut statement = self.connection.prepare(&format!(
            "SELECT {}, v.seal, o.superseded_by FROM build_value v
             LEFT JOIN build_value o ON o.id = v.supersedes ORDER BY v.id",
            values::COLUMNS
        ))?;
        let mut rows = statement.query([])?;
        let (mut last, mut previous) = (0, Sha::NONE);
        while let Some(row) = rows.next()? {
            let value: BuildValue = value(row)?;
            let seal: Sha = row.get(values::WIDTH)?;
            let record = Record::Value(value.id);
            if value.id.0 != last + 1 {
                return Err(self.misfit(Record::Value(ValueId(last + 1)), Wrong::Missing));
            }
            self.fits(value.seal(previous) == seal, record, Wrong::Changed)?;
            let changed: Option<ValueId> = row.get(values::WIDTH + 1)?;
            let fits = value.supersedes.is_none() || changed == Some(value.id);
            self.fits(fits, record, Wrong::Corrections)?;
            if let Some(slot) = asked.get_mut(&value.id.0) {
                *slot = seal;
            }
            (last, previous) = (value.id.0, seal);
        }
        drop(rows);
        self.corrections("build_value", |id| Record::Value(ValueId(id)))?;
        Ok(last)
    }

    /// The first that is said to be superseded by one that does not say so.
    fn corrections(&self, table: &str, record: impl Fn(i64) -> Record) -> Result<(), Fault> {
        let mut statement = self.connection.prepare(&format!(
            "SELECT o.id FROM {table} o LEFT JOIN {table} n ON n.id = o.superseded_by
             WHERE o.superseded_by IS NOT NULL AND n.supersedes IS NOT o.id
             ORDER BY o.id LIMIT 1"
        ))?;
        match statement.query([])?.next()? {
            Some(row) => Err(self.misfit(record(row.get(0)?), Wrong::Corrections)),
            None => Ok(()),
        }
    }

    fn all_sign_offs(&self) -> Result<Vec<SignOff>, Fault> {
        let mut statement = self
            .connection
            .prepare(&format!("SELECT {} FROM sign_off ORDER BY id", sign_off::COLUMNS))?;
        Ok(statement.query_map([], sign_off::sign_off)?.collect::<Result<_, _>>()?)
    }

    /// The chain, and what each of its links signs.
    fn chain(
        &self,
        sign_offs: &[SignOff],
        (readings, values): (&HashMap<i64, Sha>, &HashMap<i64, Sha>),
    ) -> Result<Sha, Fault> {
        let mut previous = Sha::NONE;
        for (number, signed) in sign_offs.iter().enumerate() {
            let record = Record::SignOff(signed.id);
            if signed.id.0 != number as i64 + 1 {
                let missing = SignOffId(number as i64 + 1);
                return Err(self.misfit(Record::SignOff(missing), Wrong::Missing));
            }
            let sound =
                signed.own_hash() == signed.hash && signed.hashes.content() == signed.content_hash;
            self.fits(sound, record, Wrong::Changed)?;
            self.fits(signed.previous == previous, record, Wrong::Previous)?;
            let content =
                Content::of(self.connection, signed.build, signed.revision, signed.head.clone())?;
            let now = content.hashes();
            self.fits(now.head == signed.hashes.head, record, Wrong::Head)?;
            self.fits(now.parts == signed.hashes.parts, record, Wrong::Parts)?;
            self.fits(now.readings == signed.hashes.readings, record, Wrong::Readings)?;
            self.fits(now.values == signed.hashes.values, record, Wrong::Values)?;
            // What came after it and is gone again is found by its number.
            let last = signed.last_reading;
            let seal = readings.get(&last.0).copied().unwrap_or(Sha::NONE);
            self.fits(seal != Sha::NONE || last.0 == 0, Record::Reading(last), Wrong::Missing)?;
            self.fits(seal == signed.reading_seal, record, Wrong::Readings)?;
            let last = signed.last_value;
            let seal = values.get(&last.0).copied().unwrap_or(Sha::NONE);
            self.fits(seal != Sha::NONE || last.0 == 0, Record::Value(last), Wrong::Missing)?;
            self.fits(seal == signed.value_seal, record, Wrong::Values)?;
            previous = signed.hash;
        }
        Ok(previous)
    }

    /// Whether each build is in the state that its signatures say.
    fn builds(&self, sign_offs: &[SignOff]) -> Result<(), Fault> {
        let mut last: HashMap<BuildId, &SignOff> = HashMap::new();
        last.extend(sign_offs.iter().map(|signed| (signed.build, signed)));
        let mut statement = self.connection.prepare(
            "SELECT b.id, (SELECT count(*) FROM amendment a WHERE a.build = b.id)
             FROM build b ORDER BY b.id",
        )?;
        let mut rows = statement.query([])?;
        let mut count = 0;
        while let Some(row) = rows.next()? {
            let build = builds::get(self.connection, row.get(0)?)?;
            let amendments: i64 = row.get(1)?;
            let record = Record::Build(build.id);
            count += 1;
            self.fits(build.id.0 == count, Record::Build(BuildId(count)), Wrong::Missing)?;
            self.fits(build.revision == amendments + 1, record, Wrong::Amendments)?;
            let signed = last.get(&build.id).filter(|signed| signed.revision == build.revision);
            match (build.open, signed) {
                (false, None) => return Err(self.misfit(record, Wrong::NotSigned)),
                (true, Some(_)) => return Err(self.misfit(record, Wrong::Reopened)),
                (false, Some(signed)) => {
                    self.fits(build.head == signed.head, record, Wrong::Head)?
                }
                (true, None) => {}
            }
            // A revision was opened only after the one before it was signed.
            for revision in 1..build.revision {
                let signed = sign_offs
                    .iter()
                    .any(|signed| signed.build == build.id && signed.revision == revision);
                self.fits(signed, record, Wrong::NotSigned)?;
            }
        }
        match sign_offs.iter().find(|signed| signed.build.0 > count) {
            Some(signed) => Err(self.misfit(Record::Build(signed.build), Wrong::Missing)),
            None => Ok(()),
        }
    }

    /// What has a seal of its own.
    fn documents(&self) -> Result<(), Fault> {
        let mut row =
            Row { audit: self, last: 0, record: |id| Record::Calibration(CalibrationId(id)) };
        gauges::each(self.connection, |calibration, own, seal| {
            row.fits(calibration.id.0, own == seal)
        })?;
        for kind in WorkKind::ALL.iter().copied() {
            let record = |id| Record::Work(kind, WorkId(id));
            let mut row = Row { audit: self, last: 0, record };
            works::each(self.connection, kind, |work, seal| {
                row.fits(work.id.0, work.seal() == seal)
            })?;
        }
        let mut row = Row { audit: self, last: 0, record: |id| Record::Finding(FindingId(id)) };
        findings::each(self.connection, |finding, seal| {
            row.fits(finding.id.0, finding.seal() == seal)
        })?;
        let mut row =
            Row { audit: self, last: 0, record: |id| Record::Prediction(PredictionId(id)) };
        predictions::each(self.connection, |prediction, seal| {
            row.fits(prediction.id.0, prediction.seal() == seal)
        })?;
        let mut row = Row { audit: self, last: 0, record: |id| Record::Teardown(TeardownId(id)) };
        teardowns::each(self.connection, |teardown, seal| {
            self.fits(teardown.agrees(), Record::Teardown(teardown.id), Wrong::TextAndValue)?;
            row.fits(teardown.id.0, teardown.seal() == seal)
        })?;
        let mut row = Row { audit: self, last: 0, record: |id| Record::TiltTest(TiltTestId(id)) };
        tilt_tests::each(self.connection, |test, seal| {
            self.fits(test.agrees(), Record::TiltTest(test.id), Wrong::TextAndValue)?;
            row.fits(test.id.0, test.seal() == seal)
        })?;
        let mut row =
            Row { audit: self, last: 0, record: |id| Record::Attachment(AttachmentId(id)) };
        attachments::each(self.connection, |attachment, same| row.fits(attachment.id.0, same))
    }
}

/// Records whose numbers go up by one, as the audit passes them.
struct Row<'a, R> {
    audit: &'a Audit<'a>,
    last: i64,
    record: R,
}

impl<R: Fn(i64) -> Record> Row<'_, R> {
    fn fits(&mut self, id: i64, same: bool) -> Result<(), Fault> {
        let next = self.last + 1;
        self.audit.fits(id == next, (self.record)(next), Wrong::Missing)?;
        self.audit.fits(same, (self.record)(id), Wrong::Changed)?;
        self.last = id;
        Ok(())
    }
}

/// Audits an open file.
pub(crate) fn audit(connection: &Connection, file: &Path) -> Result<Audited, Fault> {
    let audit = Audit { connection, file };
    let sign_offs = audit.all_sign_offs()?;
    let mut asked: HashMap<i64, Sha> =
        sign_offs.iter().map(|signed| (signed.last_reading.0, Sha::NONE)).collect();
    let readings = audit.readings(&mut asked)?;
    let mut asked_values: HashMap<i64, Sha> =
        sign_offs.iter().map(|signed| (signed.last_value.0, Sha::NONE)).collect();
    let values = audit.values(&mut asked_values)?;
    let head = audit.chain(&sign_offs, (&asked, &asked_values))?;
    audit.builds(&sign_offs)?;
    audit.documents()?;
    Ok(Audited { readings, values, sign_offs: sign_offs.len() as i64, head })
}

impl Shop {
    /// Looks at every seal and every signature.
    ///
    /// # Errors
    /// The first record that does not fit, and what is wrong with it.
    pub fn audit(&self) -> Result<Audited, RecordsError> {
        self.read(|connection| audit(connection, self.file()))
    }
}
