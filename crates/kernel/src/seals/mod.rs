//! Whether the seals keep their support: engagement, protrusion and spring room, from sizes in the
//! file, at the worst pose the room permits.
//!
//! `H` height of a seal, `D` depth of its groove, `g` gap between the face and its wall. A seal
//! that touches its wall stands `g` out of its groove and `H − g` in it; its spring has `D + g − H`.
//! A cut lowers `D` and raises `g` alike, so the spring keeps its room and the engagement falls.
//!
//! The gap is greatest with the rotor pushed to the other wall and tilted as far as its lands let
//! it: `2c + s + (r/r_L − 1) c` at radius `r` outside the land, `c` side clearance per side, `s`
//! the step; `2c` on the land. It is least at `s − (r/r_L − 1) c`, zero on the land. Both follow
//! from the room's contact conditions for even faces: `z + r_L t ≤ c`, `−z + r_L t ≤ c`.

mod margin;
mod report;

pub use margin::{SealLimits, SealedRotor, margins};
pub use report::{FinishedForSeals, SealLine, report};

use crate::units::Length;

/// A seal in a groove of the side face: corner, side or oil seal.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FaceSeal {
    /// Height of the seal.
    pub height: Length,
    /// Depth of its groove before any cut of this plan.
    pub groove_depth: Length,
    /// Its furthest distance from the rotor's axis.
    pub radius: Length,
    /// Room of its spring at solid height.
    pub solid: Option<Length>,
    /// Longest room at which the spring still gives the least load.
    pub least_load: Option<Length>,
}

/// The apex seal.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ApexSeal {
    /// Length along the shaft.
    pub length: Length,
    /// Height.
    pub height: Option<Length>,
    /// Gap between the rotor's tip and the bore, which the seal bridges.
    pub running_gap: Option<Length>,
}

/// The seals of a rotor, as far as their sizes are known.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Seals {
    /// Apex seal.
    pub apex: Option<ApexSeal>,
    /// Corner seal.
    pub corner: Option<FaceSeal>,
    /// Side seal.
    pub side: Option<FaceSeal>,
    /// Oil seal; sits in the land.
    pub oil: Option<FaceSeal>,
    /// How far the oil seal's lip stands out of the land on the bench.
    pub oil_protrusion: Option<Length>,
}
