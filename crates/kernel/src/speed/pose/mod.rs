//! The pose of every rotor through the cycle: lean, float, contacts, and what is left at the tips.

mod error;
mod gaps;
#[cfg(test)]
mod limits;
mod motion;
mod quadratic;
mod walls;
mod wear;

pub use error::PoseError;
pub use gaps::{LeastGap, RotorGaps};
pub use motion::{Cycle, Motion, MovingRotor, Place, Push, Slope, TiltFilm};
pub use quadratic::{Active, Row, Rows, Solver};
pub use walls::Edges;
pub use wear::WearMark;
