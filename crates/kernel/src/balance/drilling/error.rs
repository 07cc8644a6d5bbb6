//! What can be wrong with a counterweight that is to be corrected, in the words of its owner.

use crate::speed::OutOfRange;
use thiserror::Error;

/// Why there is no correction.
#[derive(Debug, Clone, PartialEq, Error)]
#[non_exhaustive]
pub enum DrillingError {
    /// A quantity outside its limits, or no number.
    #[error(transparent)]
    OutOfRange(#[from] OutOfRange),
    /// The same for a place, which is named by its number.
    #[error("place {number}: {why}")]
    Place {
        /// Its number in the list, from 1.
        number: usize,
        /// What is wrong with it.
        why: OutOfRange,
    },
    /// Slugs without a density, or with one that puts nothing on.
    #[error(
        "place {number}: a slug of {slug_kg_m3} kg/m3 puts nothing on in metal of \
         {metal_kg_m3} kg/m3; give slugs a greater density"
    )]
    LightSlug {
        /// The place's number in the list, from 1.
        number: usize,
        /// Density of the slugs; 0 where none was given.
        slug_kg_m3: f64,
        /// Density of the counterweight.
        metal_kg_m3: f64,
    },
    /// More ways than are searched.
    #[error(
        "{got} ways to change the unbalance are more than the {most} that are searched; give fewer places, drills or masses"
    )]
    TooManyChoices {
        /// How many there are.
        got: usize,
        /// The most.
        most: usize,
    },
    /// The search would not end in reasonable time.
    #[error(
        "of {choices} ways to change the unbalance the fewest were not found within {checks} \
         checks; give fewer places, drills or masses, or permit more unbalance"
    )]
    TooWide {
        /// How many ways there are.
        choices: usize,
        /// The bound on checks.
        checks: u64,
    },
}

/// `value` if it lies between the limits, both allowed.
pub(in super::super) fn within(
    quantity: &'static str,
    value: f64,
    unit: &'static str,
    (least, most): (f64, f64),
) -> Result<(), OutOfRange> {
    // A NaN fails both comparisons.
    if value >= least && value <= most {
        Ok(())
    } else {
        Err(OutOfRange { quantity, value, unit, least, most })
    }
}
