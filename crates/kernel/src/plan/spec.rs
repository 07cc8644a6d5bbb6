//! What a shop wants of a finished set: aims with tolerances, and how much may be cut.

use crate::readings::Tolerance;
use crate::room::Outside;
use crate::units::Length;

/// A size aimed at and how far from it a part may end.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Aim {
    /// The size aimed at.
    pub target: Length,
    /// Half the tolerance zone, above zero.
    pub tolerance: Length,
}

impl Aim {
    /// The tolerance zone.
    #[must_use]
    pub fn zone(&self) -> Tolerance {
        Tolerance::around(self.target, self.tolerance)
    }
}

/// A shop's clearances and limits for a duty. Clearances count both sides together.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spec {
    /// Housing width less land width.
    pub side_clearance: Aim,
    /// Land height less tip height, on each face.
    pub step: Aim,
    /// Most that side clearances may differ within the set.
    pub matching: Length,
    /// Most that may be cut from the land, per face.
    pub land_cut_limit: Length,
    /// Most that may be cut outside the land, per face.
    pub tip_cut_limit: Length,
    /// Step or taper.
    pub outside: Outside,
}
