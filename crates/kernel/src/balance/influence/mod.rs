//! Trial runs: what weights on the planes do to the vibration, and what weights to add.
//!
//! At each speed and for each sensor `V_k = V_0 + Σ_p A_p W_kp` over the runs `k`: vibration `V` as
//! an arrow that leads ([`Convention::vibration`](super::Convention::vibration)), `W_kp` all the
//! trial weight on plane `p` during the run, `A` the influence coefficients [GOODMAN]. First
//! reading and coefficients are both unknown and are found by complex least squares, so that any
//! runs do that tell the unknowns apart: trial weights left in, several at once, none without any.
//! The weights to add are those that make the least of `Σ |V_0 + Σ_p A_p C_p|² / u²` over all
//! sensors and speeds.
//!
//! Uncertainties are those of the readings, carried through to first order [JCGM-100]. With `D`
//! the rows `[1, W_k1 … W_kP]` of a speed, first reading and coefficients have the covariance
//! `2u² (DᴴD)⁻¹`, and what is left with given weights `C`, which is linear in the readings, has a
//! standard uncertainty of `u √q` in each component, `q = [1 Cᵀ](DᴴD)⁻¹[1 Cᵀ]ᴴ`. The weights'
//! own covariance is in `correction.rs`.

mod correction;
mod error;
mod fit;
mod least_squares;
mod runs;
#[cfg(test)]
mod sample;
mod warning;

pub use correction::{Correction, LeftOver, Weight};
pub use error::TrialError;
pub use fit::{Coefficient, Expected, Fit, FitAtSpeed, FitOfSensor, Influence, rms};
pub use least_squares::SINGULAR_CONDITION;
pub use runs::{ReadingNoise, Run, TrialRuns};
pub use warning::{
    EFFECT_OVER_NOISE, FIT_CHANCE, PLANES_ALIKE_CONDITION, TRIALS_ALIKE_CONDITION, Warning,
};
