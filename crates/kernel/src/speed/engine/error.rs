//! What can go wrong at speed.

use super::super::chance::SamplingError;
use super::super::film::FilmError;
use super::super::gas::{ChamberError, GasError};
use super::super::pose::PoseError;
use super::super::shaft::ShaftError;
use super::super::spin::SpinError;
use thiserror::Error;

/// Why an engine cannot be computed at speed.
#[derive(Debug, Clone, PartialEq, Error)]
#[non_exhaustive]
pub enum SpeedError {
    /// Parts that do not add up.
    #[error("{what}: {count} given, {wanted} needed")]
    Count {
        /// Of what.
        what: &'static str,
        /// How many there are.
        count: usize,
        /// How many are needed.
        wanted: usize,
    },
    /// What a shop taught that cannot be.
    #[error(
        "calibration: scales have to be above zero, uncertainties not below it, and what goes \
             together has to fit"
    )]
    Taught,
    /// A tip that is pushed where nothing gives.
    #[error(
        "a tip pushed {radius_mm:.2} mm from the rotor's axis does not rock it; push it outside the \
         land, which reaches to {land_mm:.2} mm"
    )]
    PushedInside {
        /// Where it is pushed.
        radius_mm: f64,
        /// The land's edge.
        land_mm: f64,
    },
    /// The shaft.
    #[error("shaft: {0}")]
    Shaft(#[from] ShaftError),
    /// A film.
    #[error("{bearing}: {source}")]
    Film {
        /// Which bearing.
        bearing: String,
        /// Why.
        source: FilmError,
    },
    /// The gas.
    #[error("gas: {0}")]
    Gas(#[from] GasError),
    /// The chamber.
    #[error("gas: {0}")]
    Chamber(#[from] ChamberError),
    /// Gear and spin.
    #[error("gear and spin: {0}")]
    Spin(#[from] SpinError),
    /// The pose.
    #[error("{0}")]
    Pose(#[from] PoseError),
    /// The sampling.
    #[error("{0}")]
    Sampling(#[from] SamplingError),
    /// No cycle is as hard as was asked.
    #[error(
        "gas: no cycle peaks at {wanted:.2} times the mean one; the hardest that was tried peaks \
         at {reached:.2}"
    )]
    Hardness {
        /// What was asked.
        wanted: f64,
        /// What was reached.
        reached: f64,
    },
}
