//! What came of a search.

use super::Pairing;
use crate::units::{Length, Mass};

/// A place of a build with what goes into it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ChosenPlace {
    /// The place, counted from 0 from the front.
    pub place: usize,
    /// What goes into it.
    pub pairing: Pairing,
    /// Where it is brought down: the loosest side clearance that it is to match.
    pub brought_down_to: Option<Length>,
    /// Side clearance after the cut, both sides together.
    pub clearance: Length,
    /// What is counted as cut off: no less than alone.
    pub removed: Mass,
    /// Mass as it is, less `removed`.
    pub mass_after: Mass,
}

/// The set of a build.
#[derive(Debug, Clone, PartialEq)]
pub struct ChosenSet {
    /// The build, as it was given, counted from 0.
    pub build: usize,
    /// One for each of its places, from the front.
    pub places: Vec<ChosenPlace>,
    /// The loosest side clearance.
    pub loosest: Length,
    /// Sum of what is cut off.
    pub removed: Mass,
    /// The heaviest rotor less the lightest, after the cut; nothing where masses do not count.
    pub mismatch: Mass,
}

impl ChosenSet {
    /// What is wanted least.
    #[must_use]
    pub fn cost(&self) -> Mass {
        self.removed + self.mismatch
    }

    /// Rotors of the set, in order of their numbers.
    #[must_use]
    pub fn rotors(&self) -> Vec<usize> {
        sorted(self.places.iter().map(|p| p.pairing.rotor))
    }

    /// Rotor housings of the set, in order of their numbers.
    #[must_use]
    pub fn housings(&self) -> Vec<usize> {
        sorted(self.places.iter().map(|p| p.pairing.housing))
    }
}

fn sorted(numbers: impl Iterator<Item = usize>) -> Vec<usize> {
    let mut all: Vec<usize> = numbers.collect();
    all.sort_unstable();
    all
}

/// Sets for builds, no part twice.
#[derive(Debug, Clone, PartialEq)]
pub struct Selection {
    /// One for each build that gets one, in the order of builds.
    pub sets: Vec<ChosenSet>,
    /// Sum of their costs.
    pub cost: Mass,
}

/// What was looked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Counts {
    /// Pairings that could be planned at all by what is known without planning.
    pub pairings: u64,
    /// Pairings planned alone.
    pub planned: u64,
    /// Plans to match a looser one.
    pub brought_down: u64,
    /// Sets whose cost was computed.
    pub sets: u64,
    /// Pairings looked at between the real walls.
    pub rooms: u64,
}

/// The best choice.
#[derive(Debug, Clone, PartialEq)]
pub struct Choice {
    /// The best found; `None` where no build gets a set, or none was found before it was stopped.
    pub best: Option<Selection>,
    /// The best that differs from it in at least one part, with as many builds.
    pub runner_up: Option<Selection>,
    /// No choice for as many builds costs less; equal to the cost of `best` where it is proven.
    pub at_least: Mass,
    /// Nothing is better than `best`; without one, that there is none.
    pub proven: bool,
    /// Nothing but `best` is better than `runner_up`; without one, that there is none.
    pub runner_up_proven: bool,
    /// It was stopped before the end.
    pub stopped: bool,
    /// Builds without a set, as they were given, counted from 0.
    pub without: Vec<usize>,
    /// What was looked at.
    pub counts: Counts,
}

impl Choice {
    /// What `best` may be too costly by: nothing where it is proven.
    #[must_use]
    pub fn gap(&self) -> Option<Mass> {
        let best = self.best.as_ref()?;
        Some(if self.proven { Mass::ZERO } else { (best.cost - self.at_least).max(Mass::ZERO) })
    }
}
