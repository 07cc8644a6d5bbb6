//! The land of a rotor: a flat ring between two radii, less its ring grooves.

use super::error::{GeometryError, positive};
use super::gauss::legendre;
use super::quadrature::{FaceNode, FaceQuadrature, node, radial_rule};
use crate::units::{Area, Length};
use std::f64::consts::{PI, TAU};

/// Azimuths of a land's quadrature, evenly spaced: a plane is exact, a clipped one good to
/// better than a percent of a cut that reaches over a third of the ring (test).
const AZIMUTHS: usize = 48;
/// Radii per strip of metal between grooves.
const RADII: usize = 4;

/// Radii of a land.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LandSizes {
    /// Inner edge.
    pub inner: Length,
    /// Outer edge, `r_L`.
    pub outer: Length,
}

/// A groove all round the land, as for an oil seal.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RingGroove {
    /// Its inner radius.
    pub inner: Length,
    /// Its outer radius.
    pub outer: Length,
}

/// The land of a rotor's side face.
#[derive(Debug, Clone, PartialEq)]
pub struct LandRing {
    /// Strips of metal, inner and outer radius, from the inside out.
    strips_m: Vec<(f64, f64)>,
}

impl LandRing {
    /// A land between two radii with ring grooves, in any order.
    ///
    /// # Errors
    /// Radii that are not above nothing or not in order; a groove that is not within the land;
    /// grooves that overlap.
    pub fn new(sizes: LandSizes, grooves: &[RingGroove]) -> Result<Self, GeometryError> {
        positive("the inner radius of the land", sizes.inner)?;
        positive("the land radius", sizes.outer)?;
        in_order(("the inner radius of the land", sizes.inner), ("the land radius", sizes.outer))?;
        let mut sorted = grooves.to_vec();
        sorted.sort_by(|a, b| a.inner.to_m().total_cmp(&b.inner.to_m()));
        let mut strips_m = Vec::with_capacity(sorted.len() + 1);
        let mut from = sizes.inner;
        for groove in &sorted {
            in_order(
                ("the inner radius of a groove", groove.inner),
                ("its outer radius", groove.outer),
            )?;
            for value in [groove.inner, groove.outer] {
                if !(value >= sizes.inner && value <= sizes.outer) {
                    let name = "the radius of a groove of the land";
                    let (least, most) = (sizes.inner, sizes.outer);
                    return Err(GeometryError::OutOfRange { name, value, least, most });
                }
            }
            if groove.inner < from {
                return Err(GeometryError::GroovesOverlap(groove.inner));
            }
            if groove.inner > from {
                strips_m.push((from.to_m(), groove.inner.to_m()));
            }
            from = groove.outer;
        }
        if from < sizes.outer {
            strips_m.push((from.to_m(), sizes.outer.to_m()));
        }
        Ok(Self { strips_m })
    }

    /// Area of its metal.
    #[must_use]
    pub fn area(&self) -> Area {
        Area::m2(self.strips_m.iter().map(|(a, b)| PI * (b - a) * (b + a)).sum())
    }

    /// Nodes over its metal, in rotor axes: evenly spaced azimuths from tip 1, four radii to each
    /// strip between grooves.
    #[must_use]
    pub fn quadrature(&self) -> FaceQuadrature {
        self.nodes(AZIMUTHS, RADII)
    }

    fn nodes(&self, azimuths: usize, radii: usize) -> FaceQuadrature {
        let step = TAU / azimuths as f64;
        let rule = legendre(radii);
        let rings: Vec<(f64, f64)> =
            self.strips_m.iter().flat_map(|&(a, b)| radial_rule(&rule, a, b)).collect();
        let nodes: Vec<FaceNode> = (0..azimuths)
            .flat_map(|i| {
                let azimuth = step * i as f64;
                rings.iter().map(move |&(radius, ring)| node(radius, azimuth, step * ring))
            })
            .collect();
        FaceQuadrature::from_nodes(nodes)
    }
}

fn in_order(
    (inner, inner_value): (&'static str, Length),
    (outer, outer_value): (&'static str, Length),
) -> Result<(), GeometryError> {
    if inner_value < outer_value && inner_value.is_finite() && outer_value.is_finite() {
        Ok(())
    } else {
        Err(GeometryError::RadiiOrder { inner, inner_value, outer, outer_value })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn groove(inner: f64, outer: f64) -> RingGroove {
        RingGroove { inner: Length::mm(inner), outer: Length::mm(outer) }
    }

    fn land(grooves: &[RingGroove]) -> Result<LandRing, GeometryError> {
        LandRing::new(LandSizes { inner: Length::mm(44.0), outer: Length::mm(61.0) }, grooves)
    }

    #[test]
    fn area_and_planes_are_exact() {
        let grooves = [groove(54.0, 57.0), groove(48.0, 50.0)];
        let ring = land(&grooves).unwrap();
        let expected = PI
            * (61.0 * 61.0
                - 44.0 * 44.0
                - (57.0 * 57.0 - 54.0 * 54.0)
                - (50.0 * 50.0 - 48.0 * 48.0));
        assert!((ring.area().to_mm2() - expected).abs() < 1e-9);
        let nodes = ring.quadrature();
        assert_eq!(nodes.nodes().len(), 48 * 4 * 3);
        assert!((nodes.area().to_mm2() - expected).abs() < 1e-9);
        let wedge = nodes.volume(|x, y| Length::um(50.0) + x * 2e-3 + y * 1e-3);
        assert!((wedge.to_mm3() - 0.05 * expected).abs() < 1e-9);
    }

    #[test]
    fn clipped_planes_against_dense_integration() {
        let ring = land(&[groove(54.0, 57.0)]).unwrap();
        let (usual, dense) = (ring.quadrature(), ring.nodes(2000, 40));
        let mut worst: f64 = 0.0;
        for direction in 0..36 {
            let (sin, cos) = (0.17 * f64::from(direction)).sin_cos();
            for level in [-0.02, -0.01, 0.0, 0.02, 0.04] {
                let depth = |x: f64, y: f64| (level + x * cos + y * sin).max(0.0);
                worst = worst.max((usual.integral(depth) / dense.integral(depth) - 1.0).abs());
            }
        }
        assert!(worst < 3e-3, "{worst:e}");
    }

    #[test]
    fn what_is_no_land_is_refused() {
        assert!(land(&[]).is_ok());
        assert_eq!(land(&[groove(44.0, 61.0)]).unwrap().area(), Area::ZERO);
        for (grooves, part) in [
            (vec![groove(43.0, 45.0)], "between 44.000 mm and 61.000 mm"),
            (vec![groove(50.0, 50.0)], "must be less than its outer radius"),
            (vec![groove(50.0, 54.0), groove(53.0, 55.0)], "overlap at radius 53.000 mm"),
            (vec![groove(f64::NAN, 54.0)], "the inner radius of a groove"),
        ] {
            let message = land(&grooves).unwrap_err().to_string();
            assert!(message.contains(part), "{message}");
        }
        let sizes = LandSizes { inner: Length::mm(61.0), outer: Length::mm(44.0) };
        assert!(LandRing::new(sizes, &[]).is_err());
    }
}
