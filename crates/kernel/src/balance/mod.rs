//! Balance: from the masses of the rotors to holes in the counterweights.
//!
//! Vectors square to the shaft are complex: the real axis is the throw of rotor 1, the imaginary
//! one a quarter of a turn ahead of it in the sense of rotation. Vectors of a rotor about its own
//! bore have their real axis at tip 1 and the imaginary one a quarter of a turn towards tip 2.

mod assembly;
mod bob;
mod convention;
mod correct;
pub mod drilling;
mod grade;
mod in_planes;
pub mod influence;
mod matching;
pub mod metal;
mod own;
mod planes;
mod rotor;
mod tolerance;

pub use assembly::{
    Assembly, Compared, PartUncertainty, compare, journal_kg_m, off_centre_kg_m, pull_n,
};
pub use bob::{Cause, ThrownRotor, bob_tolerance_kg};
pub use convention::{Convention, Counted, Phase, Shown, Spot};
pub use correct::{Corrected, PlaneWays, ToCorrect, correct};
pub use grade::{GRADES_MM_PER_S, Grade, GradeError};
pub use in_planes::{InPlanes, PlanesCovariance};
pub use matching::{MatchError, Matched, Pocket, Taken, ToMatch, take_metal};
pub use nalgebra::Complex;
pub use own::{OnMandrel, OnScale, OwnError, OwnUnbalance, on_mandrel, on_scale};
pub use planes::{PlacedUnbalance, PlanesError, Together, TwoPlanes};
pub use rotor::{Lump, RotorBody};
pub use tolerance::{Body, Permitted, at_most, judge, provable_kg_m};
