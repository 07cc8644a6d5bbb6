//! Why a shop's builds did not calibrate anything.

use super::posterior::Parameter;
use thiserror::Error;

/// Why nothing was calibrated. Rotors and tests are counted from 1.
#[derive(Debug, Clone, PartialEq, Error)]
#[non_exhaustive]
pub enum CalibrationError {
    /// What is assumed is out of range.
    #[error("{what} is assumed to be {value}; {permitted}")]
    Prior {
        /// Which figure.
        what: &'static str,
        /// Its value.
        value: f64,
        /// What it may be.
        permitted: &'static str,
    },
    /// An uncertainty that a rotor's tips share.
    #[error(
        "build {build}, rotor {rotor}: its tips share an uncertainty of {u_m} m; it is none or more"
    )]
    Shared {
        /// Which build.
        build: String,
        /// Which rotor.
        rotor: usize,
        /// The uncertainty, m.
        u_m: f64,
    },
    /// A mark on a rotor that the build has not.
    #[error("build {build} has a mark on rotor {rotor} and {rotors} rotors")]
    Rotor {
        /// Which build.
        build: String,
        /// Which rotor.
        rotor: usize,
        /// How many it has.
        rotors: usize,
    },
    /// A tip that no rotor has.
    #[error("build {build} has a mark on tip {tip}; tips are 1 to 3")]
    Tip {
        /// Which build.
        build: String,
        /// Which tip.
        tip: usize,
    },
    /// A tip without a prediction.
    #[error("build {build}, {place}: the gap that was predicted is no figure")]
    Gap {
        /// Which build.
        build: String,
        /// Which tip.
        place: String,
    },
    /// A tip's own uncertainty.
    #[error("build {build}, {place}: its own uncertainty is {u_m} m; it is more than nothing")]
    Own {
        /// Which build.
        build: String,
        /// Which tip.
        place: String,
        /// The uncertainty, m.
        u_m: f64,
    },
    /// A tip with two marks.
    #[error("build {build}, {place}: it has two marks; the one that holds is to be given")]
    Twice {
        /// Which build.
        build: String,
        /// Which tip.
        place: String,
    },
    /// A tilt test's figure.
    #[error("tilt test {test}: {what} is {value}; {permitted}")]
    Test {
        /// Which test.
        test: usize,
        /// Which figure.
        what: &'static str,
        /// Its value.
        value: f64,
        /// What it may be.
        permitted: &'static str,
    },
    /// A step asked for without a tip, or for no chance.
    #[error(
        "a step for {tips} tips and a chance of {chance}; it takes a tip at least and a chance \
             between 0 and 1"
    )]
    Chance {
        /// How many tips.
        tips: usize,
        /// For which chance.
        chance: f64,
    },
    /// It was stopped.
    #[error("stopped before the calibration was done")]
    Stopped,
    /// The sum did not settle.
    #[error(
        "the calibration did not settle: {parameter} still moves by {moves} of its standard deviation \
         at {points} points, and {wanted} is wanted"
    )]
    NoConvergence {
        /// What moves most.
        parameter: Parameter,
        /// By how much of its standard deviation.
        moves: f64,
        /// What was wanted.
        wanted: f64,
        /// Points summed over.
        points: usize,
    },
    /// More points are needed than are summed over.
    #[error(
        "the calibration needs more than {points} points; uncertainties so small that a mark \
         decides alone are the usual cause"
    )]
    TooManyPoints {
        /// So many were summed over.
        points: usize,
    },
    /// Nothing that was assumed explains what was seen.
    #[error("the marks have no chance at all under what is assumed")]
    Impossible,
}
