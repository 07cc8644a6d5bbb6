//! Why a build cannot be balanced although its file reads.

use super::super::at_speed::AtSpeedError;
use kernel::balance::drilling::DrillingError;
use kernel::balance::{GradeError, MatchError, OwnError, PlanesError};
use thiserror::Error;

/// Why a build cannot be balanced.
#[derive(Debug, Clone, PartialEq, Error)]
#[non_exhaustive]
pub enum BalanceError {
    /// No speed to balance for.
    #[error("no speed to balance for: set balance.speed or build.duty.speed in the file")]
    NoSpeed,
    /// A grade that is none.
    #[error("balance.grade: {0}")]
    Grade(#[from] GradeError),
    /// The shaft cannot be used.
    #[error(transparent)]
    Shaft(#[from] AtSpeedError),
    /// The correction planes are none.
    #[error("balance.front and balance.rear: {0}")]
    Planes(PlanesError),
    /// The tolerance planes are none.
    #[error("balance.tolerance_planes: {0}")]
    TolerancePlanes(PlanesError),
    /// A material that neither the file nor the built-in list has.
    #[error("material {0:?} is not known")]
    Material(String),
    /// What is weighed with a rotor weighs more than both together.
    #[error(
        "balance.carried: what is weighed with rotor {serial} comes to {inside_g:.1} g, and the rotor \
         with it to {mass_g:.1} g"
    )]
    Carried {
        /// Whose.
        serial: String,
        /// All that is weighed with it.
        inside_g: f64,
        /// The rotor's own reading.
        mass_g: f64,
    },
    /// Readings of a rotor about its own bore.
    #[error("balance.rotor {serial}: {source}")]
    Own {
        /// Whose.
        serial: String,
        /// Why.
        source: OwnError,
    },
    /// What to take from the rotors.
    #[error(transparent)]
    Match(#[from] MatchError),
    /// What may be done to a counterweight, or the search for the least of it.
    #[error("{planes}: {source}")]
    Drilling {
        /// Which tables of the file.
        planes: &'static str,
        /// Why.
        source: DrillingError,
    },
    /// Trial runs, in the shop's own names.
    #[error("balance.run: {0}")]
    Trial(String),
}
