//! What a pass of the search looks for, and the best that it has found: a set with its depths.

use super::choice::TENTHS;
use super::error::DrillingError;
use super::space::Space;
use std::cmp::Ordering;

/// Parts of the largest metal of one choice in which metal is counted: nine digits.
const METAL_PARTS: f64 = 1e9;
/// Relative difference below which two sets leave the same.
const EQUAL: f64 = 1e-9;

/// What a pass looks for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Aim {
    /// The fewest tenths, which are not below these.
    Tenths { fewest: usize },
    /// The least metal within these tenths.
    Metal { tenths: usize },
    /// The least that is left, whatever the size.
    Nearest,
}

/// A set with its depths.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Best {
    /// Choices as they were given, in that order, and their steps.
    pub(super) picks: Vec<(usize, u32)>,
    /// What is left.
    pub(super) left: f64,
    /// Metal in [`METAL_PARTS`].
    metal: u64,
    /// All depths, steps.
    drilled: u64,
}

impl Best {
    /// Nothing is done.
    pub(super) fn nothing(space: &Space) -> Self {
        Self { picks: Vec::new(), left: space.target, metal: 0, drilled: 0 }
    }

    /// Choices in the order of the search with their steps. What is compared is summed in the order
    /// in which they were given, so that it does not depend on any angle.
    fn new(space: &Space, set: &[usize], steps: &[u32], left: f64) -> Self {
        let mut all: Vec<(usize, u32, f64)> = set
            .iter()
            .zip(steps)
            .map(|(i, step)| (space.given[*i], *step, space.ladders[*i].metal(*step)))
            .collect();
        all.sort_by_key(|(given, _, _)| *given);
        let metal: f64 = all.iter().map(|(_, _, metal)| metal).sum();
        Self {
            left,
            // Not below nothing, and at most as many as operations: far inside.
            metal: (metal * METAL_PARTS).round() as u64,
            drilled: all.iter().map(|(_, step, _)| u64::from(*step)).sum(),
            picks: all.into_iter().map(|(given, step, _)| (given, step)).collect(),
        }
    }

    /// Least metal first, then the least to drill, then what was given first.
    fn ranked(&self, other: &Self) -> Ordering {
        (self.metal, self.drilled, &self.picks).cmp(&(other.metal, other.drilled, &other.picks))
    }
}

/// What is looked for, and the best so far.
pub(super) struct Sought<'a> {
    pub(super) space: &'a Space,
    pub(super) aim: Aim,
    pub(super) best: Option<Best>,
    /// What a better one may leave.
    pub(super) radius: f64,
    /// Metal that a better one may move.
    pub(super) metal: f64,
    /// Whether nothing can be better.
    pub(super) ended: bool,
}

impl<'a> Sought<'a> {
    pub(super) fn new(space: &'a Space, aim: Aim, best: Option<Best>) -> Self {
        let (radius, metal) = (0.0, f64::INFINITY);
        let mut sought = Self { space, aim, best, radius, metal, ended: false };
        sought.set_limits();
        sought
    }

    fn set_limits(&mut self) {
        let space = self.space;
        match (self.aim, &self.best) {
            (Aim::Tenths { .. }, None) => self.radius = space.radius(TENTHS),
            (Aim::Tenths { fewest }, Some(best)) => {
                let tenths = space.tenths(best.left);
                self.ended = tenths <= fewest;
                self.radius = space.radius(tenths.saturating_sub(1));
            }
            (Aim::Metal { tenths }, best) => {
                self.radius = space.radius(tenths);
                // A part more than what is equal: equal metal is compared further.
                self.metal = best
                    .as_ref()
                    .map_or(f64::INFINITY, |best| (best.metal + 1) as f64 / METAL_PARTS);
            }
            (Aim::Nearest, best) => {
                let most = best.as_ref().map_or(space.target, |best| best.left);
                self.radius = most * (1.0 + EQUAL);
            }
        }
    }

    /// Keeps a set with these depths if it is better than the best so far.
    pub(super) fn offer(&mut self, set: &[usize], steps: &[u32], left: f64) {
        let space = self.space;
        let fits = match self.aim {
            Aim::Tenths { .. } => {
                let most = self.best.as_ref().map_or(TENTHS + 1, |best| space.tenths(best.left));
                space.tenths(left) < most
            }
            Aim::Metal { tenths } => space.tenths(left) <= tenths,
            Aim::Nearest => left <= self.radius,
        };
        if !fits {
            return;
        }
        let found = Best::new(space, set, steps, left);
        let better = match (self.aim, &self.best) {
            (Aim::Tenths { .. }, _) | (_, None) => true,
            (Aim::Metal { .. }, Some(best)) => found.ranked(best).is_lt(),
            (Aim::Nearest, Some(best)) => {
                let fewer = found.picks.len().cmp(&best.picks.len());
                left < best.left * (1.0 - EQUAL) || fewer.then(found.ranked(best)).is_lt()
            }
        };
        if better {
            self.best = Some(found);
            self.set_limits();
        }
    }
}

/// How much has been looked at, and how much may be.
#[derive(Debug, Clone, Copy)]
pub(super) struct Effort {
    pub(super) checks: u64,
    pub(super) most: u64,
}

impl Effort {
    /// Counts some checks.
    ///
    /// # Errors
    /// [`DrillingError::TooWide`] where there were too many.
    pub(super) fn spend(&mut self, space: &Space, checks: usize) -> Result<(), DrillingError> {
        self.checks += checks as u64;
        if self.checks > self.most {
            return Err(DrillingError::TooWide { choices: space.len(), checks: self.most });
        }
        Ok(())
    }
}
