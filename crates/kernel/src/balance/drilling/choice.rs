//! What a correction is chosen from, without its metal: directions, amounts and what excludes what.

use super::error::{DrillingError, within};
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

/// One way to change the unbalance: one tool at one place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Choice {
    /// The place. Two choices of one place exclude each other.
    pub place: usize,
    /// Direction of the unbalance that it removes: of its place where metal is taken off, the
    /// opposite one where metal is put on. Angle from the throw of rotor 1, rad.
    pub toward_rad: f64,
    /// Least amount that it removes, kg m.
    pub least_kg_m: f64,
    /// Greatest amount, kg m; every amount between them can be had. The least for a mass.
    pub most_kg_m: f64,
    /// By how much the amount may be missed when its depth is rounded, kg m.
    pub guard_kg_m: f64,
    /// Metal moved per amount, 1/m. Where it is not proportional, in rims, that of the greatest
    /// amount: a hole 14 mm deep in a rim of 80 mm then counts up to a tenth more than it moves.
    pub metal_kg_per_kg_m: f64,
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
    /// Amount removed, kg m.
    pub amount_kg_m: f64,
}

/// A set of choices with their amounts, before depths are rounded.
#[derive(Debug, Clone, PartialEq)]
pub struct Picked {
    /// Whether it suffices.
    pub reach: Reach,
    /// The choices, in the order in which they were given.
    pub picks: Vec<Pick>,
    /// Least residual of the set, kg m.
    pub residual_kg_m: f64,
    /// Residual and all guards, kg m: not more is left whatever way depths are rounded.
    pub warranted_kg_m: f64,
    /// The same in begun tenths of the permitted residual, at least one.
    pub tenths: usize,
    /// Metal moved, kg, as the choices count it.
    pub metal_kg: f64,
    /// Partial sets looked at: what the search cost.
    pub checks: u64,
}

/// Choices that were checked, and which exclude each other.
#[derive(Debug, Clone, PartialEq)]
pub struct Choices {
    choices: Vec<Choice>,
    excluded: Vec<(usize, usize)>,
}

impl Choices {
    /// Choices, and pairs of them (indices) that exclude each other beyond those of one place.
    /// Pairs of an index that no choice has are of no effect.
    ///
    /// # Errors
    /// [`DrillingError`] for more than [`MOST_CHOICES`] and for what is no amount, direction,
    /// guard or metal.
    pub fn new(choices: Vec<Choice>, excluded: Vec<(usize, usize)>) -> Result<Self, DrillingError> {
        if choices.len() > MOST_CHOICES {
            let (got, most) = (choices.len(), MOST_CHOICES);
            return Err(DrillingError::TooManyChoices { got, most });
        }
        for choice in &choices {
            let at = |why| DrillingError::Place { number: choice.place + 1, why };
            let (least, most) = (choice.least_kg_m, choice.most_kg_m);
            within("the greatest amount", most, "kg m", (0.0, MOST_KG_M)).map_err(at)?;
            within("the least amount", least, "kg m", (0.0, most)).map_err(at)?;
            within("the guard", choice.guard_kg_m, "kg m", (0.0, MOST_KG_M)).map_err(at)?;
            let turns = 8.0 * PI;
            within("the direction", choice.toward_rad, "rad", (-turns, turns)).map_err(at)?;
            let metal = choice.metal_kg_per_kg_m;
            within("the metal per amount", metal, "1/m", (0.0, 1e6)).map_err(at)?;
        }
        Ok(Self { choices, excluded })
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
}
