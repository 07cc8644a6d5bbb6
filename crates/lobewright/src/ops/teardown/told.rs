//! What somebody tells of a teardown, read: every value with its unit and within its limits, every
//! rotor and gauge one that there is. What may be right and is doubted is asked back.

use super::super::gauges::{Standing, gauge_for_reading, standing};
use super::super::shop::ShopError;
use crate::build_file::limits::teardown::{LOAD, LOAD_U, PUSHED_AT, SHOWN};
use crate::build_file::limits::{BOOST, Limit, RUNNING, SPEED, WEAR};
use crate::build_file::model::Duty;
use crate::build_file::teardown::{CONTACTS, TeardownText, TiltText, TipText, WornText};
use kernel::units::{Duration, Force, GaugePressure, Length, Quantity, Speed};
use records::{
    BuildId, Day, Depth, Face, Fitted, Gauge, Mark, Moment, PartKind, PersonId, RecordsError, Shop,
    TiltTestId, TiltTold, TipMark, Written,
};
use thiserror::Error;

/// A speed beyond this share of the duty's, or below that one, is asked about, and so is a running
/// time beyond this many of the duty's (common practice, no source).
const SPEED_SHARES: [f64; 2] = [0.4, 1.2];
const RUNNING_MOST: f64 = 3.0;
/// Boost beyond the duty's by more is asked about (common practice, no source).
const BOOST_MORE: GaugePressure = GaugePressure::bar(0.5);
/// A tip or wall worn deeper than this is asked about (common practice, no source).
const WORN_MOST: Length = Length::mm(0.2);

/// Why a teardown is not taken.
#[derive(Debug, Error)]
pub enum TellingError {
    /// A value is no such value, or can be none.
    #[error("{what}: {why}")]
    Value {
        /// Which.
        what: String,
        /// What is wrong.
        why: String,
    },
    /// It is told of a rotor that the build does not have.
    #[error("build {build} has no rotor {serial}; it has {have}")]
    Rotor {
        /// Which build.
        build: BuildId,
        /// The serial that was told.
        serial: String,
        /// Those that it has.
        have: String,
    },
    /// The shop has no such gauge, or takes no reading with it.
    #[error("{0}")]
    Gauge(String),
    /// The build is another one than the file is of.
    #[error(
        "the file is of {told:?}, and build {build} is called {name:?}; say which one is right"
    )]
    AnotherBuild {
        /// As the file has it.
        told: String,
        /// The build that was said.
        build: BuildId,
        /// What that is called.
        name: String,
    },
    /// Nobody has signed it.
    #[error(
        "build {build} is open in revision {revision}; an engine comes apart after it was signed"
    )]
    Open {
        /// Which build.
        build: BuildId,
        /// Its revision.
        revision: i64,
    },
    /// What the shop's file says.
    #[error(transparent)]
    Shop(#[from] ShopError),
}

impl From<RecordsError> for TellingError {
    fn from(error: RecordsError) -> Self {
        Self::Shop(error.into())
    }
}

/// What a teardown tells, read.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Read {
    pub(super) running: Option<Written>,
    pub(super) speed: Option<Written>,
    pub(super) boost: Option<Written>,
    pub(super) marks: Vec<TipMark>,
    /// Gauges whose calibration is overdue.
    pub(super) mind: Vec<String>,
}

/// A build that something is told of.
#[derive(Debug)]
pub(super) struct Of<'a> {
    pub(super) shop: &'a Shop,
    pub(super) build: BuildId,
    /// Every part that is or was in it.
    pub(super) fitted: &'a [Fitted],
    pub(super) today: &'a Day,
}

fn value<Q: Quantity>(what: &str, text: &str, limit: &Limit<Q>) -> Result<Written, TellingError> {
    let wrong = |why: String| TellingError::Value { what: what.to_owned(), why };
    let text = text.trim();
    let value = Written::read::<Q>(text)
        .map_err(|error| wrong(format!("{text:?}: {error}; expected {}", limit.expected())))?;
    match value.value::<Q>().and_then(|value| limit.broken_by(value)) {
        Some(how) => Err(wrong(format!("{text} {how}; expected {}", limit.expected()))),
        None => Ok(value),
    }
}

fn value_if<Q: Quantity>(
    what: &str,
    text: Option<&String>,
    limit: &Limit<Q>,
) -> Result<Option<Written>, TellingError> {
    text.map(|text| value(what, text, limit)).transpose()
}

/// A tip of a face as a sentence names it.
pub(super) fn named(serial: &str, face: Face, tip: i64) -> String {
    format!("{serial}, {face} face, tip {tip}")
}

const fn face(index: usize) -> Face {
    if index == 0 { Face::Gear } else { Face::Plain }
}

/// A mark by its place among the words of the file.
fn mark_of(contact: usize) -> Mark {
    let word = CONTACTS.get(contact).copied().unwrap_or_default();
    Mark::ALL.iter().copied().find(|mark| mark.word() == word).unwrap_or(Mark::NotLookedAt)
}

impl Of<'_> {
    fn rotor(&self, serial: &str) -> Result<&Fitted, TellingError> {
        let rotors = || self.fitted.iter().filter(|part| part.kind == PartKind::Rotor);
        rotors().find(|part| part.serial == serial).ok_or_else(|| TellingError::Rotor {
            build: self.build,
            serial: serial.to_owned(),
            have: rotors().map(|part| part.serial.as_str()).collect::<Vec<_>>().join(", "),
        })
    }

    fn gauge(&self, name: &str, mind: &mut Vec<String>) -> Result<Gauge, TellingError> {
        let known = self.shop.gauges()?.into_iter().find(|gauge| gauge.name == name);
        let known = known.ok_or_else(|| {
            TellingError::Gauge(format!(
                "the shop has no gauge {name:?}; enter it among the gauges first, or leave it out"
            ))
        })?;
        let gauge =
            gauge_for_reading(self.shop, known.id, self.today).map_err(|error| match error {
                RecordsError::Refused { why } => TellingError::Gauge(why),
                other => other.into(),
            })?;
        if let Standing::Overdue(due) = standing(&gauge, self.today) {
            let overdue = format!("the calibration of {} was due {due}", gauge.name);
            if !mind.contains(&overdue) {
                mind.push(overdue);
            }
        }
        Ok(gauge)
    }

    fn depth(
        &self,
        what: &str,
        worn: Option<&WornText>,
        mind: &mut Vec<String>,
    ) -> Result<Option<Depth>, TellingError> {
        let Some(worn) = worn else { return Ok(None) };
        let gauge = worn.gauge.as_deref().map(|name| self.gauge(name, mind)).transpose()?;
        let value = value(what, &worn.depth, &WEAR)?;
        Ok(Some(Depth { value, gauge: gauge.map(|gauge| gauge.id) }))
    }

    fn mark(&self, told: &TipText, mind: &mut Vec<String>) -> Result<TipMark, TellingError> {
        let rotor = self.rotor(&told.rotor)?;
        let (face, tip) = (face(told.face), told.tip as i64);
        let at = named(&told.rotor, face, tip);
        let rotor_depth = self.depth(&format!("{at}, the rotor"), told.worn.as_ref(), mind)?;
        let wall_depth = self.depth(&format!("{at}, the wall"), told.wall.as_ref(), mind)?;
        let contact = mark_of(told.contact);
        let seen = told.place.is_some() || rotor_depth.is_some() || wall_depth.is_some();
        if contact == Mark::NotLookedAt && seen {
            let why = "nobody looked, and a place or a depth is told; say what was seen".to_owned();
            return Err(TellingError::Value { what: at, why });
        }
        Ok(TipMark {
            part: rotor.part,
            face,
            tip,
            contact,
            place: told.place.clone(),
            rotor: rotor_depth,
            wall: wall_depth,
            note: told.note.clone(),
        })
    }

    /// Reads what is told.
    pub(super) fn read(&self, told: &TeardownText) -> Result<Read, TellingError> {
        let mut mind = Vec::new();
        let running = value_if::<Duration>("hours run", told.running.as_ref(), &RUNNING)?;
        let speed = value_if::<Speed>("highest speed", told.speed.as_ref(), &SPEED)?;
        let boost = value_if::<GaugePressure>("highest boost", told.boost.as_ref(), &BOOST)?;
        let marks = told
            .tips
            .iter()
            .map(|tip| self.mark(tip, &mut mind))
            .collect::<Result<Vec<_>, TellingError>>()?;
        Ok(Read { running, speed, boost, marks, mind })
    }

    /// Reads a tilt test, with what there is to mind of its gauge.
    pub(super) fn tilt(
        &self,
        told: &TiltText,
        supersedes: Option<TiltTestId>,
        (person, at): (PersonId, &Moment),
    ) -> Result<(TiltTold, Vec<String>), TellingError> {
        let mut mind = Vec::new();
        let rotor = self.rotor(&told.rotor)?;
        let face = face(told.face);
        let at_tip = named(&told.rotor, face, told.tip as i64);
        let of = |what: &str| format!("{at_tip}, {what}");
        let radius = value::<Length>(&of("radius"), &told.radius, &PUSHED_AT)?;
        let least = value::<Force>(&of("small load"), &told.least, &LOAD)?;
        let most = value::<Force>(&of("large load"), &told.most, &LOAD)?;
        if most.si() <= least.si() {
            let why = format!("{} is not more than {}", most.text(), least.text());
            return Err(TellingError::Value { what: of("large load"), why });
        }
        let load_u = value::<Force>(&of("uncertainty of a load"), &told.load_u, &LOAD_U)?;
        let gauge = self.gauge(&told.gauge, &mut mind)?;
        let shown = |(text, load): (&String, &str)| {
            value::<Length>(&of(&format!("reading under the {load} load")), text, &SHOWN)
        };
        let readings = told
            .readings
            .iter()
            .map(|[least, most]| Ok([shown((least, "small"))?, shown((most, "large"))?]))
            .collect::<Result<Vec<_>, TellingError>>()?;
        if readings.is_empty() {
            let why = "no reading of the indicator; give one under each load".to_owned();
            return Err(TellingError::Value { what: at_tip, why });
        }
        let told = TiltTold {
            build: self.build,
            part: rotor.part,
            face,
            tip: told.tip as i64,
            radius,
            least,
            most,
            load_u,
            readings,
            gauge: gauge.id,
            note: told.note.clone(),
            person,
            at: at.clone(),
            supersedes,
        };
        Ok((told, mind))
    }
}

impl Read {
    /// Why it is doubted although it can be so.
    pub(super) fn doubts(&self, duty: Option<&Duty>, fitted: &[Fitted]) -> Vec<String> {
        let mut doubts = Vec::new();
        let value = |value: &Option<Written>| value.as_ref().map(Written::si);
        if let (Some(seen), Some(duty)) = (value(&self.speed), duty.and_then(|duty| duty.speed)) {
            let share = seen / duty.si();
            let [least, most] = SPEED_SHARES;
            if share < least || share > most {
                doubts.push(format!(
                    "a highest speed of {} is far from the duty's {:.0} rpm",
                    self.speed.as_ref().map_or("", Written::text),
                    duty.to_rpm()
                ));
            }
        }
        if let (Some(seen), Some(duty)) = (value(&self.boost), duty.and_then(|duty| duty.boost))
            && seen > duty.si() + BOOST_MORE.si()
        {
            doubts.push(format!(
                "a highest boost of {} is far above the duty's {:.2} bar",
                self.boost.as_ref().map_or("", Written::text),
                duty.to_bar()
            ));
        }
        if let (Some(ran), Some(duty)) = (value(&self.running), duty.and_then(|duty| duty.running))
            && ran > RUNNING_MOST * duty.si()
        {
            doubts.push(format!(
                "{} of running is more than {RUNNING_MOST:.0} times the duty's {:.0} h",
                self.running.as_ref().map_or("", Written::text),
                duty.to_h()
            ));
        }
        for mark in &self.marks {
            let deep = [&mark.rotor, &mark.wall]
                .into_iter()
                .flatten()
                .find(|depth| depth.value.si() > WORN_MOST.to_m());
            if let Some(depth) = deep {
                let serial = fitted.iter().find(|part| part.part == mark.part);
                let serial = serial.map_or("", |part| part.serial.as_str());
                doubts.push(format!(
                    "{} of wear at {} is very deep",
                    depth.value.text(),
                    named(serial, mark.face, mark.tip)
                ));
            }
        }
        if self.marks.iter().all(|mark| mark.contact == Mark::NotLookedAt) {
            doubts.push("no tip was looked at".to_owned());
        }
        doubts
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::build_file::teardown::FACES;

    #[test]
    fn words_of_the_file_are_those_of_the_record() {
        assert_eq!(FACES, [Face::Gear.word(), Face::Plain.word()]);
        assert_eq!([0, 1].map(face), [Face::Gear, Face::Plain]);
        let words: Vec<&str> = Mark::ALL.iter().map(|mark| mark.word()).collect();
        assert_eq!(words, CONTACTS);
        for (index, mark) in Mark::ALL.iter().enumerate() {
            assert_eq!(mark_of(index), *mark);
        }
    }
}
