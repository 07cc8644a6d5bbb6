//! What is told of a choice.

use super::super::PlanReport;
use super::waits::LeftOut;
use crate::build_file::model::Way;
use kernel::shelf::Counts;
use kernel::units::{Length, Mass, System};
use records::{BuildId, Day, PartId, PartKind};

/// What is said once of every choice.
pub const CAUTION: &str = "What is chosen is a screening estimate from the last readings: a part \
                           that goes into a build is read again there, planned, cut, measured and \
                           signed like any other.";

/// A choice of sets for builds.
#[derive(Debug, Clone)]
pub struct ChoiceReport {
    /// The builds, as they were given.
    pub builds: Vec<BuildReport>,
    /// What the best costs: grams that are cut off and grams by which masses differ, over all builds;
    /// `None` where no build gets a set.
    pub cost: Option<Mass>,
    /// Nothing costs less, for as many builds; or, where there is no set, there is none.
    pub proven: bool,
    /// It was stopped before it was proven.
    pub stopped: bool,
    /// By how much the best may cost too much at the most.
    pub gap: Option<Mass>,
    /// The next best.
    pub runner_up: Option<RunnerUp>,
    /// Parts on the shelf that are not chosen: rotors, then housings.
    pub others: Vec<Other>,
    /// What was taken where nothing was given.
    pub assumed: Vec<String>,
    /// What was looked at.
    pub counts: Counts,
    /// Which units its sentences put first.
    pub first: System,
}

impl ChoiceReport {
    /// What the sets cost as their plans have them.
    #[must_use]
    pub fn planned(&self) -> Mass {
        let sets = self.builds.iter().filter_map(|build| build.set.as_ref());
        sets.map(|set| set.removed + set.mismatch.unwrap_or(Mass::ZERO)).sum()
    }

    /// Whether every build gets a set that has a plan.
    #[must_use]
    pub fn feasible(&self) -> bool {
        self.builds.iter().all(|build| build.set.as_ref().is_some_and(|set| set.plan.feasible))
    }
}

/// One of the builds.
#[derive(Debug, Clone)]
pub struct BuildReport {
    /// What it is called.
    pub name: String,
    /// Its number in the shop's file.
    pub id: Option<BuildId>,
    /// The set it gets.
    pub set: Option<SetReport>,
    /// Why it gets none, and what would help.
    pub none: Option<NoSet>,
}

/// A set, as its plan has it.
#[derive(Debug, Clone)]
pub struct SetReport {
    /// Its places, from the front.
    pub places: Vec<PlaceReport>,
    /// What is cut off.
    pub removed: Mass,
    /// By how much the heaviest rotor is heavier than the lightest after the cut; `None` where a
    /// rotor was not weighed, or there is one.
    pub mismatch: Option<Mass>,
    /// What is taken of its parts that nobody said, and what its plan says to mind.
    pub mind: Vec<String>,
    /// The plan.
    pub plan: Box<PlanReport>,
}

/// One place of a set.
#[derive(Debug, Clone, PartialEq)]
pub struct PlaceReport {
    /// The rotor.
    pub rotor: Put,
    /// Its housing.
    pub housing: Put,
    /// Which way the rotor's gear face looks.
    pub gear_face: Way,
    /// Of a housing that was read loose: how much it shortens when clamped, and the uncertainty of
    /// that.
    pub clamp_up: Option<[Length; 2]>,
    /// Side clearance after the cut, both sides together.
    pub side_clearance: Length,
    /// The greatest step after the cut.
    pub step: Length,
    /// What is cut off.
    pub removed: Mass,
    /// What the rotor weighs after the cut.
    pub mass_after: Option<Mass>,
}

/// A part in a place.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Put {
    /// Its serial.
    pub serial: String,
    /// Its number in the shop's file, where it is on the shelf there.
    pub id: Option<PartId>,
    /// It is in the build already.
    pub is_in: bool,
    /// When it was read last.
    pub read: Option<Day>,
}

/// The next best choice, that has at least one other part.
#[derive(Debug, Clone, PartialEq)]
pub struct RunnerUp {
    /// What it costs more.
    pub more: Mass,
    /// Nothing but the best costs less.
    pub proven: bool,
    /// Of each build that gets a set, its number in the report and its rotors with their housings.
    pub sets: Vec<(usize, Vec<[String; 2]>)>,
}

/// A part that is not chosen.
#[derive(Debug, Clone, PartialEq)]
pub struct Other {
    /// What it is.
    pub kind: PartKind,
    /// Its serial.
    pub serial: String,
    /// Its number in the shop's file.
    pub id: Option<PartId>,
    /// What is said of it.
    pub said: Said,
}

/// What is said of a part that is not chosen.
#[derive(Debug, Clone, PartialEq)]
pub enum Said {
    /// It could be: the best choice that has it costs this much more, or more than that.
    Costs {
        /// How much.
        more: Mass,
    },
    /// No set has it: what stands in its way where it comes nearest.
    Fails {
        /// With which rotor or housing it comes nearest.
        with: Option<String>,
        /// What is not kept.
        why: Vec<String>,
    },
    /// It can be planned by itself, and no set with it was found.
    Alone,
    /// It is not offered.
    LeftOut {
        /// Why.
        why: String,
        /// What to do.
        cure: String,
    },
}

impl From<&LeftOut> for Other {
    fn from(out: &LeftOut) -> Self {
        Self {
            kind: out.kind,
            serial: out.serial.clone(),
            id: out.id,
            said: Said::LeftOut { why: out.why.clone(), cure: out.cure.clone() },
        }
    }
}

/// Why a build gets no set, and what would help: each sentence by itself.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct NoSet {
    /// What limits.
    pub limits: Vec<String>,
    /// One part to buy, or one limit to relax, with which there is a set.
    pub cures: Vec<String>,
}
