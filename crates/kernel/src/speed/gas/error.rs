//! What can be wrong with the inputs of a cycle, with its computation, or with a measured trace.

use super::super::range::OutOfRange;
use thiserror::Error;

/// Why there is no cycle.
#[derive(Debug, Clone, PartialEq, Error)]
#[non_exhaustive]
pub enum GasError {
    /// A quantity outside its limits, or no number.
    #[error(transparent)]
    OutOfRange(#[from] OutOfRange),
    /// Two events of the cycle in an order that makes no engine.
    #[error(
        "{first} at {first_deg} degrees of the shaft after the firing top dead centre, but it must \
         come before {second} at {second_deg} degrees"
    )]
    Order {
        /// What must come first.
        first: &'static str,
        /// When it does, degrees of the shaft.
        first_deg: f64,
        /// What must follow.
        second: &'static str,
        /// When it does, degrees of the shaft.
        second_deg: f64,
    },
    /// The integration through an angle did not meet its accuracy in the steps it is allowed.
    #[error(
        "the gas in a chamber could not be followed past {theta_deg:.3} degrees after the firing \
         top dead centre: the step fell to {step_deg:.1e} degrees after {steps} steps"
    )]
    Integration {
        /// Where it stopped, degrees of the shaft.
        theta_deg: f64,
        /// The last step tried, degrees of the shaft.
        step_deg: f64,
        /// Steps taken and refused.
        steps: usize,
    },
    /// Cycle after cycle the gas comes round to another state.
    #[error(
        "after {cycles} cycles the trapped gas still changes by {residual:.1e} of itself from \
         one cycle to the next; at most {wanted:.1e} is accepted"
    )]
    NotPeriodic {
        /// Cycles computed.
        cycles: usize,
        /// The largest relative change between the last two.
        residual: f64,
        /// What was to be reached.
        wanted: f64,
    },
    /// A pressure that is none, computed or given.
    #[error(
        "at {theta_deg} degrees the absolute pressure is {pressure_pa} Pa; between 100 Pa and 1000 bar is believed"
    )]
    NoPressure {
        /// Degrees of the shaft after the firing top dead centre.
        theta_deg: usize,
        /// What came out.
        pressure_pa: f64,
    },
}
