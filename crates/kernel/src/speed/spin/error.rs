//! What can be wrong with the inputs of shaft, gear and rotor as they spin.

use super::super::range::OutOfRange;
use thiserror::Error;

/// Why there is no answer.
#[derive(Debug, Clone, PartialEq, Error)]
#[non_exhaustive]
pub enum SpinError {
    /// A quantity outside its limits, or no number.
    #[error(transparent)]
    OutOfRange(#[from] OutOfRange),
    /// Lists that must agree in number and do not.
    #[error("{list} has {got} entries; it must have {wanted}")]
    Count {
        /// Which list.
        list: &'static str,
        /// How many it has.
        got: usize,
        /// How many it must have.
        wanted: usize,
    },
    /// Places along the shaft that do not follow each other, or lie off it.
    #[error(
        "{place} at {z_m} m must lie after {before_m} m and not after the shaft's end, {end_m} m"
    )]
    Place {
        /// Which.
        place: &'static str,
        /// Where it is, m.
        z_m: f64,
        /// The place before it, m.
        before_m: f64,
        /// Length of the shaft, m.
        end_m: f64,
    },
    /// Without damping a harmonic of the torque meets a natural frequency: no steady response.
    #[error(
        "order {order:.2} of the shaft's speed is {excitation_hz:.2} Hz, a torsional natural \
         frequency ({natural_hz:.2} Hz), and there is no damping"
    )]
    Resonance {
        /// Order of shaft speed.
        order: f64,
        /// Its frequency.
        excitation_hz: f64,
        /// The natural frequency.
        natural_hz: f64,
    },
    /// The eigenvalues of the shaft were not found.
    #[error("the torsional modes of {stations} stations were not found in {iterations} iterations")]
    NoModes {
        /// Stations of the chain.
        stations: usize,
        /// The bound on iterations.
        iterations: usize,
    },
}

/// A list as long as it must be.
pub(super) fn counted(list: &'static str, got: usize, wanted: usize) -> Result<(), SpinError> {
    if got == wanted { Ok(()) } else { Err(SpinError::Count { list, got, wanted }) }
}
