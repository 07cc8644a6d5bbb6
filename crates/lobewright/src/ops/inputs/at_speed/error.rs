//! Why a build cannot be computed at speed although its file reads.

use kernel::speed::engine::SpeedError;
use kernel::speed::film::FilmError;
use kernel::speed::gas::{GasError, TraceTextError};
use kernel::speed::spin::SpinError;
use thiserror::Error;

/// Why a build cannot be computed at speed.
#[derive(Debug, Clone, PartialEq, Error)]
#[non_exhaustive]
pub enum AtSpeedError {
    /// No speed.
    #[error("no speed to compute: set build.duty.speed in the file, or give --rpm")]
    NoSpeed,
    /// A speed that the parts of the computation do not take, or not a quarter, or half as much
    /// again of it, which are looked at beside it.
    #[error("a speed of {rpm:.0} rpm cannot be computed; from {least:.0} to {most:.0} rpm can")]
    Speed {
        /// What was asked.
        rpm: f64,
        /// The least.
        least: f64,
        /// The most.
        most: f64,
    },
    /// No boost.
    #[error(
        "no boost to compute: set build.duty.boost in the file (\"0 bar\" without a charger), or \
         give --boost"
    )]
    NoBoost,
    /// A throw between two degrees.
    #[error(
        "shaft.throws[{number}] is {deg} deg; the motion is followed degree by degree, so throws \
         must be whole degrees"
    )]
    Throw {
        /// Which rotor, from 0.
        number: usize,
        /// What the file says.
        deg: f64,
    },
    /// A shaft of a material that has no modulus.
    #[error("shaft.material {0:?} has no young and poisson, which bending needs")]
    Modulus(String),
    /// A rotor that has no plan and disagreeing readings.
    #[error("the readings of rotor {0} disagree; where its tips are cannot be said")]
    Unreadable(String),
    /// The pressure trace.
    #[error("gas.trace: {0}")]
    Trace(TraceTextError),
    /// A bearing.
    #[error("bearing: {0}")]
    Film(#[from] FilmError),
    /// The gas.
    #[error("gas: {0}")]
    Gas(#[from] GasError),
    /// Gear and spin.
    #[error("gear: {0}")]
    Spin(#[from] SpinError),
    /// The room of a rotor.
    #[error("room of rotor {rotor}: {source}")]
    Room {
        /// Whose.
        rotor: String,
        /// Why.
        source: kernel::room::RoomError,
    },
    /// The engine.
    #[error(transparent)]
    Engine(#[from] SpeedError),
}
