//! What can go wrong in finding the pose of a rotor.

use thiserror::Error;

/// Why a pose through the cycle cannot be found.
#[derive(Debug, Clone, PartialEq, Error)]
#[non_exhaustive]
pub enum PoseError {
    /// No pose at all passes between the walls: the lands are wider than the housing there.
    #[error("the rotor does not pass between its walls: {:.1} um are missing", .over_m * 1e6)]
    NoRoom {
        /// By how much the best pose still cuts into a wall.
        over_m: f64,
    },
    /// The program ran into its bound.
    #[error("no pose found in {exchanges} exchanges, {left_m:e} m left")]
    Unsolved {
        /// How many were made.
        exchanges: usize,
        /// What was still violated.
        left_m: f64,
    },
    /// Numbers of the model that do not fit together.
    #[error("{what}: {count} given, {wanted} needed")]
    Count {
        /// Of what.
        what: &'static str,
        /// How many there are.
        count: usize,
        /// How many are needed.
        wanted: usize,
    },
    /// A number of the model that is none, or out of its range.
    #[error("{what} is {value}; it must be {must}")]
    Value {
        /// Of what.
        what: &'static str,
        /// What it is.
        value: f64,
        /// What it must be.
        must: &'static str,
    },
    /// Stiffness that is not positive definite, so that nothing holds a rotor or a journal.
    #[error("at {at_deg:.0} deg of shaft nothing holds rotor and journal in their lean")]
    Loose {
        /// Where.
        at_deg: f64,
    },
    /// The motion does not repeat.
    #[error(
        "after {cycles} cycles of 1080 deg the lean still changes by {residual_rad:e} rad from \
         cycle to cycle"
    )]
    NotPeriodic {
        /// How many were made.
        cycles: usize,
        /// The largest change.
        residual_rad: f64,
    },
}
