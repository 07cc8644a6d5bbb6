//! What a correction is chosen from: directions, amounts at whole steps, and what excludes what.

use super::error::{DrillingError, within};
use crate::balance::metal::Work;
use nalgebra::Complex;
use std::f64::consts::PI;

/// Most ways that are searched: 48 places with ten drills each, and some.
pub const MOST_CHOICES: usize = 512;
/// Most operations on one counterweight: with more, another counterweight is the answer.
pub const MOST_OPERATIONS: usize = 8;
/// Tenths of the permitted residual in which what is left is counted.
pub const TENTHS: usize = 10;

/// Greatest amount of an unbalance here, kg m: a hundred times that of a large counterweight.
pub(super) const MOST_KG_M: f64 = 10.0;
/// Least permitted residual, kg m: a thousandth of a gram millimetre, below what any machine reads.
const LEAST_PERMITTED_KG_M: f64 = 1e-9;
/// Steps to which a depth is drilled, mm: a shop's best to its worst.
pub(super) const STEP_MM: (f64, f64) = (0.001, 5.0);
/// Most steps of a depth: 300 mm of the finest.
const MOST_STEPS: f64 = 3e5;

/// One way to change the unbalance: one tool at one place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Choice {
    /// The place. Two choices of one place exclude each other.
    pub place: usize,
    /// Direction of the unbalance that it removes: of its place where metal is taken off, the
    /// opposite one where metal is put on. Angle from the throw of rotor 1, rad.
    pub toward_rad: f64,
    /// What is done; the amount that it removes rises with its depth.
    pub work: Work,
    /// Least and greatest depth, in whole steps; nothing for a mass, which has no depth.
    pub steps: Option<(u32, u32)>,
}

/// What is to be removed, and how well.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Wanted {
    /// Unbalance to be removed, kg m.
    pub unbalance_kg_m: Complex<f64>,
    /// Amount that may be left, kg m.
    pub permitted_kg_m: f64,
    /// Most operations, up to [`MOST_OPERATIONS`].
    pub most_operations: usize,
}

impl Wanted {
    pub(super) fn checked(&self) -> Result<(), DrillingError> {
        let amount_kg_m = self.unbalance_kg_m.norm();
        within("the unbalance to be removed", amount_kg_m, "kg m", (0.0, MOST_KG_M))?;
        let limits = (LEAST_PERMITTED_KG_M, MOST_KG_M);
        within("the permitted residual unbalance", self.permitted_kg_m, "kg m", limits)?;
        let most = MOST_OPERATIONS as f64;
        within("the most operations", self.most_operations as f64, "", (0.0, most))?;
        Ok(())
    }
}

/// Whether the permitted residual was reached.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Reach {
    /// What is left is permitted, and with fewer operations it would not be.
    Within,
    /// No set of operations reaches it: this one comes nearest. A best effort, no correction.
    Nearest,
}

/// One choice and the amount it removes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pick {
    /// Index of the choice.
    pub choice: usize,
    /// Its depth in whole steps; nothing for a mass.
    pub steps: Option<u32>,
    /// Amount removed at that depth, kg m.
    pub amount_kg_m: f64,
}

/// A set of choices with their depths.
#[derive(Debug, Clone, PartialEq)]
pub struct Picked {
    /// Whether it suffices.
    pub reach: Reach,
    /// The choices, in the order in which they were given.
    pub picks: Vec<Pick>,
    /// What is left at these depths, kg m.
    pub residual_kg_m: f64,
    /// The same in begun tenths of the permitted residual, at least one.
    pub tenths: usize,
    /// Metal moved at these depths, kg.
    pub metal_kg: f64,
    /// Whether no other set and no other depths, of as few operations and tenths, move less metal.
    /// Not known where proving it would have taken longer than [`super::MOST_METAL_CHECKS`]; what is
    /// picked is then the least that was seen. Number and tenths are proven in either case.
    pub is_least_metal: bool,
    /// Partial sets and depths looked at: what the search cost.
    pub checks: u64,
}

/// Choices that were checked, and which exclude each other.
#[derive(Debug, Clone, PartialEq)]
pub struct Choices {
    choices: Vec<Choice>,
    excluded: Vec<(usize, usize)>,
    depth_step_m: f64,
}

impl Choices {
    /// Choices, pairs of them (indices) that exclude each other beyond those of one place, and the
    /// step of their depths, m. Pairs of an index that no choice has are of no effect.
    ///
    /// # Errors
    /// [`DrillingError`] for more than [`MOST_CHOICES`] and for what is no amount, direction or
    /// depth.
    pub fn new(
        choices: Vec<Choice>,
        excluded: Vec<(usize, usize)>,
        depth_step_m: f64,
    ) -> Result<Self, DrillingError> {
        if choices.len() > MOST_CHOICES {
            let (got, most) = (choices.len(), MOST_CHOICES);
            return Err(DrillingError::TooManyChoices { got, most });
        }
        within("the step of depths", depth_step_m * 1e3, "mm", STEP_MM)?;
        let checked = Self { choices, excluded, depth_step_m };
        for choice in &checked.choices {
            let at = |why| DrillingError::Place { number: choice.place + 1, why };
            let (least_kg_m, most_kg_m) = checked.amounts_kg_m(choice);
            within("the greatest amount", most_kg_m, "kg m", (0.0, MOST_KG_M)).map_err(at)?;
            within("the least amount", least_kg_m, "kg m", (0.0, most_kg_m)).map_err(at)?;
            let (first, last) = choice.steps.unwrap_or((0, 0));
            let (first, last) = (f64::from(first), f64::from(last));
            within("the greatest depth", last, "steps", (0.0, MOST_STEPS)).map_err(at)?;
            within("the least depth", first, "steps", (0.0, last)).map_err(at)?;
            let turns = 8.0 * PI;
            within("the direction", choice.toward_rad, "rad", (-turns, turns)).map_err(at)?;
        }
        Ok(checked)
    }

    /// The choices.
    #[must_use]
    pub fn all(&self) -> &[Choice] {
        &self.choices
    }

    /// Pairs that exclude each other beyond those of one place.
    #[must_use]
    pub fn excluded(&self) -> &[(usize, usize)] {
        &self.excluded
    }

    /// Step of the depths, m.
    #[must_use]
    pub const fn depth_step_m(&self) -> f64 {
        self.depth_step_m
    }

    /// The depth of so many steps, m; nought for a mass, which has none.
    #[must_use]
    pub fn depth_m(&self, steps: Option<u32>) -> f64 {
        steps.map_or(0.0, |steps| f64::from(steps) * self.depth_step_m)
    }

    /// Least and greatest amount of a choice, kg m.
    #[must_use]
    pub fn amounts_kg_m(&self, choice: &Choice) -> (f64, f64) {
        let at = |steps: Option<u32>| choice.work.amount_kg_m(self.depth_m(steps));
        (at(choice.steps.map(|(first, _)| first)), at(choice.steps.map(|(_, last)| last)))
    }
}
