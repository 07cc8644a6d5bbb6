//! What is told of a build of the demonstration: whose it is, how far it came, what happened then.

use super::examples::Example;
use records::{Contact, PartKind};

/// How far a build came.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Reach {
    /// It was begun; nothing is read yet.
    Begun,
    /// Some of it is read, not all.
    Measuring,
    /// All of it is read, and something that was read cannot be right.
    Misread,
    /// It was worked out, and there is no plan.
    NoPlan,
    /// It waits for the cut.
    Planned,
    /// It was cut and read again, and must be cut once more.
    CutShort,
    /// It was cut and read again, and is as planned.
    Cut,
    /// It is at the balancing machine.
    Balance,
    /// It goes together.
    Assembly,
    /// It was signed.
    Signed,
}

/// What happened to a build that was signed.
#[derive(Debug, Clone, Copy)]
pub(super) enum Then {
    /// It runs.
    Runs,
    /// It was changed: when and why, which place to what; and when that was signed, or by when it
    /// is wanted.
    Amended {
        days_ago: i64,
        reason: &'static str,
        change: (&'static str, &'static str),
        signed: Signed,
    },
    /// It came apart: when, after how long, and what was found.
    TornDown { days_ago: i64, ran: &'static str, found: &'static [Found], told: Told },
}

/// What a teardown told.
#[derive(Debug, Clone, Copy)]
pub(super) struct Told {
    /// The highest speed and boost that were seen.
    pub(super) speed: &'static str,
    pub(super) boost: &'static str,
    /// What each rotor's tips show, the gear face first.
    pub(super) marks: &'static [[[&'static str; 3]; 2]],
    /// How deep the first tip that touched heavily is worn.
    pub(super) worn: Option<&'static str>,
    /// Whether its rotors were read again on the shelf.
    pub(super) shelved: bool,
}

/// Whether an amendment was signed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Signed {
    /// So many days ago.
    On(i64),
    /// Not yet; it is wanted by then, as days before today.
    Wanted(i64),
}

/// What was found on a part at a teardown.
#[derive(Debug)]
pub(super) struct Found {
    pub(super) on: (PartKind, i64),
    pub(super) place: &'static str,
    pub(super) contact: Contact,
    pub(super) note: &'static str,
    /// The tip that the drawing has marked, if there is one.
    pub(super) drawn: Option<usize>,
}

/// A value that was read wrongly: the place, and by how many last places.
pub(super) type Slip = (&'static str, i64);

/// What is told of a build.
#[derive(Debug)]
pub(super) struct Recipe {
    pub(super) name: &'static str,
    pub(super) customer: &'static str,
    pub(super) example: Example,
    /// Fixes its sizes; none: as the example has them.
    pub(super) seed: Option<u64>,
    pub(super) spec: Option<(&'static str, i64)>,
    /// Serials of the example and its own.
    pub(super) serials: &'static [(&'static str, &'static str)],
    /// Serials of shaft and seals.
    pub(super) inside: (&'static str, &'static str),
    /// The build whose parts it takes.
    pub(super) earlier: Option<&'static str>,
    pub(super) came_in: &'static str,
    pub(super) wants: &'static str,
    /// How many days ago it was begun, and by which day it is wanted, if not after two weeks.
    pub(super) begun: i64,
    pub(super) wanted: Option<i64>,
    pub(super) reach: Reach,
    pub(super) then: Then,
    /// What was read wrongly: not noticed, or noticed the same day.
    pub(super) slip: Option<Slip>,
    pub(super) corrected: Option<Slip>,
    /// What is due, where it is stopped.
    pub(super) stopped: &'static str,
}

impl Recipe {
    /// By which day it is wanted, as days before today.
    pub(super) fn wanted(&self) -> i64 {
        self.wanted.unwrap_or(self.begun - 14)
    }

    /// Minutes by which the days of one build are unlike those of another.
    pub(super) fn minutes(&self) -> i64 {
        (self.begun * 7) % 23
    }
}
