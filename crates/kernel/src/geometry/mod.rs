//! The shapes of a rotary engine: bore, flank, chamber, side face and the paths of its points.
//!
//! Everything follows from three lengths: the generating radius `R`, the eccentricity `e` and
//! the parallel shift `a` ([`Trochoid`]). The bore is the path of a tip, moved outward by the
//! shift ([`Bore`]); the flank is the inner envelope of that bore seen from the rotor
//! ([`Flank`]); what lies between them is a chamber ([`Chamber`]). Seen along the shaft the
//! rotor has a side face with a land on it ([`SideFace`], [`LandRing`]), over which depths of
//! cut are integrated ([`FaceQuadrature`]). Where a point of the rotor is in the engine depends
//! on how the rotor is fitted ([`FacePath`], [`Looks`]).
//!
//! Axes are those of `docs/CONVENTIONS.md`. In the plane a point is handled as a complex number,
//! `x + iy`. Angles and lengths given to these functions are finite, as everything that was read
//! from text is; what is finite goes in, so no NaN comes out.

mod bore;
mod chamber;
mod elliptic;
#[cfg(test)]
mod envelope;
mod error;
mod face;
mod fitted;
mod flank;
mod gauss;
mod grooves;
mod land;
mod point;
mod quadrature;
mod root;
mod trochoid;

pub use bore::Bore;
pub use chamber::{Chamber, ChamberSizes};
pub use error::GeometryError;
pub use face::{OutlinePoint, SideFace, SideFaceSizes, Void};
pub use fitted::{FacePath, FacePathOf, Looks};
pub use flank::{Flank, ThreePointCircle};
pub use grooves::Grooves;
pub use land::{LandRing, LandSizes, RingGroove};
pub use point::{EnginePoint, RotorPoint};
pub use quadrature::{FaceNode, FaceQuadrature, NodeCounts};
pub use trochoid::Trochoid;
