//! Integrals over a side face: nodes and weights, made once, so that a volume of stock is a sum.
//!
//! A depth of cut is a plane, often clipped at nothing. Over the smooth parts the nodes are
//! Gauss–Legendre in azimuth and radius; voids are nodes with a negative weight at their middle,
//! which is exact for an unclipped plane.

use super::error::GeometryError;
use super::gauss::moved;
use crate::units::{Area, Length, Volume};

/// A place of a side face with the area it stands for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FaceNode {
    /// Along the radius of tip 1, rotor axes, metres.
    pub x_m: f64,
    /// Square to it, rotor axes (about `z_r`), metres.
    pub y_m: f64,
    /// Area, square metres; negative for a void.
    pub weight_m2: f64,
}

/// How many nodes a [`FaceQuadrature`] of a side face takes: three azimuths of both kinds and the
/// radii multiply, six times over.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct NodeCounts {
    /// Azimuths per half of a tip, where the face ends on a circle.
    pub tip: usize,
    /// Azimuths per half of a flank.
    pub flank: usize,
    /// Radii.
    pub radial: usize,
}

impl NodeCounts {
    /// 48 azimuths of 4 radii. Against dense integration at usual sizes (test in `face.rs`): an
    /// unclipped plane to 1e-7 of its volume. A plane clipped at nothing, relative to the volume
    /// of the clipped cut itself: 0.2 % where the cut ends on the axis or beyond, 0.5 % where it
    /// ends up to 30 mm on its own side of the axis, 11 % where it takes only a corner, from
    /// 60 mm on.
    pub const USUAL: Self = Self { tip: 3, flank: 5, radial: 4 };
    /// 192 azimuths of 16 radii: in the same cases 0.05 %, 0.05 % and 1 %.
    pub const FINE: Self = Self { tip: 12, flank: 20, radial: 16 };
    /// The most of one kind.
    pub const MOST: usize = 256;

    pub(super) fn checked(self) -> Result<Self, GeometryError> {
        for (name, count) in [
            ("the number of azimuths per half tip", self.tip),
            ("the number of azimuths per half flank", self.flank),
            ("the number of radii", self.radial),
        ] {
            if !(1..=Self::MOST).contains(&count) {
                return Err(GeometryError::Count { name, count, least: 1, most: Self::MOST });
            }
        }
        Ok(self)
    }
}

impl Default for NodeCounts {
    fn default() -> Self {
        Self::USUAL
    }
}

/// Nodes over part of a side face.
#[derive(Debug, Clone, PartialEq)]
pub struct FaceQuadrature {
    nodes: Vec<FaceNode>,
}

impl FaceQuadrature {
    pub(super) const fn from_nodes(nodes: Vec<FaceNode>) -> Self {
        Self { nodes }
    }

    /// The nodes, in a fixed order.
    #[must_use]
    pub fn nodes(&self) -> &[FaceNode] {
        &self.nodes
    }

    /// Sum of the weights: the area, voids off.
    #[must_use]
    pub fn area(&self) -> Area {
        Area::m2(self.nodes.iter().map(|node| node.weight_m2).sum())
    }

    /// Volume of what lies between the face and a depth below it, `depth(x, y)` in rotor axes.
    #[must_use]
    pub fn volume(&self, depth: impl Fn(Length, Length) -> Length) -> Volume {
        Volume::m3(self.integral(|x_m, y_m| depth(Length::m(x_m), Length::m(y_m)).to_m()))
    }

    /// Integral of a function of the place, metres in.
    pub(crate) fn integral(&self, f: impl Fn(f64, f64) -> f64) -> f64 {
        self.nodes.iter().map(|node| node.weight_m2 * f(node.x_m, node.y_m)).sum()
    }
}

/// Nodes of a rule on `-1..1` along one radius between two others, each with the area of its ring per radian.
pub(super) fn radial_rule(rule: &[(f64, f64)], from_m: f64, to_m: f64) -> Vec<(f64, f64)> {
    moved(rule, from_m, to_m).into_iter().map(|(r, weight)| (r, weight * r)).collect()
}

/// The node at a radius and an azimuth.
pub(super) fn node(radius_m: f64, azimuth_rad: f64, weight_m2: f64) -> FaceNode {
    let (sin, cos) = azimuth_rad.sin_cos();
    FaceNode { x_m: radius_m * cos, y_m: radius_m * sin, weight_m2 }
}
