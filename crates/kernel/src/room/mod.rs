//! The room a rotor has between its walls, cold and hot.
//!
//! For small tilts a pose is an axial shift and two slopes, `(z, p, q)`. A point of a face at
//! `(x, y)` from the rotor's axis and `h` over its mid-plane stays clear of the wall it looks at
//! if `z + p x + q y + h ≤ w_rear` behind, `−(z + p x + q y) + h ≤ w_front` in front, with `w` half the
//! width of the housing there and the wear of that wall. All of it is linear: the poses that the
//! lands allow are a polytope, and the least gap at a tip is a linear program over it.
//!
//! That is why a rotor has a step. With equal faces, clearance `c` per side and step `δ` the land
//! touches before a tip does exactly when `δ > c (r_T/r_L − 1)`, whatever the float. Clearance
//! only keeps the rotor from jamming, and a larger one lets it tilt further: facing the whole
//! side flat takes from land and tip alike, leaves the step as it was, raises `c`, and so brings
//! the tips nearer to the walls.
//!
//! Verdicts use worst float. Where a rotor centred between its walls is shown, it is beside it.

#[cfg(test)]
pub(crate) mod closed_forms;
mod error;
mod explain;
mod face;
mod lean_limit;
mod model;
mod moving;
mod need;
mod program;
mod ring;
mod scene;
mod solve;
mod tilt;
mod tips;
mod wall;

pub use error::RoomError;
pub use lean_limit::LeanLimit;
pub use model::{ORBIT_PLACES, Outside, RING_POINTS, RoomModel, Widths};
pub use moving::{
    ColdSizes, ContactPoint, FloatRange, HotSizes, MovingRoom, SIDES, TipGap, TipGaps, Touching,
};
pub use need::{HotNeed, StepNeed, TrackWear, step_needed, step_needed_hot, step_needed_in};
pub use solve::{FacePoint, Gap, Gaps, Level, PlaceRoom, Pose, Room, RoomResult, StateRoom};
pub use tilt::{TiltLimit, TiltLimits};
pub use wall::{Opening, Wall};
