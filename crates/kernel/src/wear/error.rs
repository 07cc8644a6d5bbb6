//! Why nothing is said of a part's wear.

use super::regression::RegressionError;
use thiserror::Error;

/// Why nothing is said of a part's wear. Runs and sizes are counted from 1.
#[derive(Debug, Clone, PartialEq, Error)]
#[non_exhaustive]
pub enum WearError {
    /// No run has both its readings.
    #[error("no run has a reading at assembly and one at teardown; a rate of wear needs one")]
    NoRuns,
    /// A run names a size that is not there, or the same one twice.
    #[error(
        "run {run} is to be from one reading to another; it has {assembled} and {apart} of {sizes}"
    )]
    Readings {
        /// Which run.
        run: usize,
        /// Its reading at assembly.
        assembled: usize,
        /// Its reading at teardown.
        apart: usize,
        /// How many readings there are.
        sizes: usize,
    },
    /// Two runs begin, or two end, with one reading.
    #[error("runs {first} and {second} both {with} reading {reading}; each needs its own")]
    Twice {
        /// One run.
        first: usize,
        /// The other.
        second: usize,
        /// `begin with` or `end with`.
        with: &'static str,
        /// Which reading.
        reading: usize,
    },
    /// A run of no length.
    #[error("run {run} has {hours} hours; it takes more than none")]
    Hours {
        /// Which run.
        run: usize,
        /// Its hours.
        hours: f64,
    },
    /// A size or its uncertainty is no figure, or the uncertainty is none.
    #[error(
        "reading {reading} is {m} m with an uncertainty of {u_m} m; the uncertainty is more than nothing"
    )]
    Size {
        /// Which reading.
        reading: usize,
        /// Its size, m.
        m: f64,
        /// Its standard uncertainty, m.
        u_m: f64,
    },
    /// The limit, or what is to come, is no figure.
    #[error("{what}: {value}; {permitted}")]
    Service {
        /// Which figure.
        what: &'static str,
        /// Its value.
        value: f64,
        /// What it may be.
        permitted: &'static str,
    },
    /// The reading from which the life is counted is not there.
    #[error("life is counted from reading {reading}; there are {sizes}")]
    Now {
        /// Which reading.
        reading: usize,
        /// How many there are.
        sizes: usize,
    },
    /// The figures lie too far apart to be reckoned with.
    #[error("the readings' uncertainties are too unequal to weigh them against each other")]
    Range,
    /// The line could not be fitted.
    #[error(transparent)]
    Regression(#[from] RegressionError),
    /// The scatter between runs was not found.
    #[error("the scatter between runs was not found in {steps} halvings; {left} is left of it")]
    NoConvergence {
        /// How often it was halved.
        steps: usize,
        /// Width of what is left, over the rate's square.
        left: f64,
    },
}
