//! What a film refuses.

use super::super::range::OutOfRange;
use thiserror::Error;

/// Why a film cannot be computed.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum FilmError {
    /// A figure is not a number or lies outside what the model is for.
    #[error(transparent)]
    OutOfRange(#[from] OutOfRange),
    /// The load on a journal is given at too few instants of its period.
    #[error("load on the journal is given at {count} instants, must be {least} or more")]
    TooFewInstants {
        /// How many there are.
        count: usize,
        /// Least number.
        least: usize,
    },
    /// The table belongs to another shape of bearing.
    #[error(
        "the film table is for length/diameter {table}, the bearing has length/diameter {bearing}"
    )]
    OtherTable {
        /// Length over diameter of the table.
        table: f64,
        /// Length over diameter of the bearing.
        bearing: f64,
    },
    /// Nothing carries the film round, so that a steady load goes through it.
    #[error(
        "a steady load of {load_n} N has no place of rest: journal and bearing turn by \
         {journal_omega_rad_s} and {bearing_omega_rad_s} rad/s, together nothing"
    )]
    NotCarried {
        /// Load.
        load_n: f64,
        /// Speed of the journal.
        journal_omega_rad_s: f64,
        /// Speed of the bearing.
        bearing_omega_rad_s: f64,
    },
    /// No load is on the journal during the whole period.
    #[error("the journal carries no load at all: it has no path to find")]
    NoLoad,
    /// The extent of the film, or the motion that carries a load, was not found.
    #[error("{what} not found in {steps} steps, still {residual:e} off")]
    NotConverged {
        /// What was looked for.
        what: &'static str,
        /// Steps taken.
        steps: usize,
        /// What is left, relative.
        residual: f64,
    },
    /// The path of the journal does not close.
    #[error(
        "the journal's path does not close in {periods} periods: ends {residual} of the film away"
    )]
    NotPeriodic {
        /// Periods followed.
        periods: usize,
        /// Distance between both ends of the last period over the film there.
        residual: f64,
    },
    /// The journal comes so close to the bearing that its path cannot be followed.
    #[error(
        "the journal's path cannot be followed at instant {instant}: the film is thinner than \
         {film_m} m"
    )]
    Lost {
        /// Number of the instant in the period.
        instant: usize,
        /// Film there.
        film_m: f64,
    },
}
