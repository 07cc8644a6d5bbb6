//! The side face of a rotor outside its land: outline, area, voids, and the points that can touch
//! a wall.
//!
//! The face is bounded inside by the land's outer radius `r_L` and outside by the outline of the
//! flanks, cut off at the outermost side-face radius `r_T` around each tip. Azimuths count about
//! `z_r` from tip 1, so tip 1 is at 0, tip 3 at 120 and tip 2 at 240 degrees. The outline is the
//! same on both faces; a list of voids belongs to one face.

use super::error::{GeometryError, positive};
use super::flank::Flank;
use super::gauss::{legendre, legendre_on};
use super::point::RotorPoint;
use super::quadrature::{FaceNode, FaceQuadrature, NodeCounts, node, radial_rule};
use crate::units::{Angle, Area, Length};
use nalgebra::Complex;
use std::f64::consts::{FRAC_PI_3, FRAC_PI_6};

/// The two radii of a side face.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SideFaceSizes {
    /// Outer radius of the land, `r_L`.
    pub land_radius: Length,
    /// Outermost radius of the side face at a tip, `r_T`.
    pub rotor_tip_radius: Length,
}

/// A place of the side face where there is no metal: a groove or a hole, or a piece of a long one.
/// What is cut there counts by the depth at its middle, so a groove is given in pieces short
/// against the rotor.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Void {
    /// Its area, on the face.
    pub area: Area,
    /// Radius of its middle.
    pub radius: Length,
    /// Azimuth of its middle from tip 1, about `z_r`.
    pub azimuth: Angle,
}

impl Void {
    /// The same void at each of the three tips: `azimuth` counts from the tip.
    #[must_use]
    pub fn at_each_tip(area: Area, radius: Length, azimuth: Angle) -> [Self; 3] {
        [0.0, 120.0, 240.0].map(|tip| Self { area, radius, azimuth: azimuth + Angle::deg(tip) })
    }
}

/// A point of the edge of the side face.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OutlinePoint {
    /// From tip 1, about `z_r`, 0 to 360 degrees.
    pub azimuth: Angle,
    /// From the axis of the bearing bore.
    pub radius: Length,
}

impl OutlinePoint {
    /// The point in rotor axes.
    #[must_use]
    pub fn place(self) -> RotorPoint {
        RotorPoint::from_complex_m(Complex::from_polar(self.radius.to_m(), self.azimuth.to_rad()))
    }
}

/// The side face of a rotor outside its land.
#[derive(Debug, Clone, PartialEq)]
pub struct SideFace {
    flank: Flank,
    land_m: f64,
    tip_m: f64,
    /// Flank parameter and azimuth from the tip where the outline leaves the circle `r_T`.
    corner_v_rad: f64,
    corner_azimuth_rad: f64,
    voids: Vec<Void>,
}

impl SideFace {
    /// The most outline points per third of the rotor.
    pub const MOST_POINTS: usize = 10_000;

    /// The face of a rotor with these flanks; `voids` are the places without metal outside the
    /// land.
    ///
    /// # Errors
    /// Radii that are not above nothing, or not in the order land, tip; a land that stands over
    /// the flanks; a tip radius past the end of the flanks; a void without area or off the face;
    /// voids that are together more than the face.
    pub fn new(flank: Flank, sizes: SideFaceSizes, voids: &[Void]) -> Result<Self, GeometryError> {
        let land_m = positive("the land radius", sizes.land_radius)?;
        let tip_m = positive("the rotor tip radius", sizes.rotor_tip_radius)?;
        if tip_m <= land_m {
            return Err(GeometryError::RadiiOrder {
                inner: "the land radius",
                inner_value: sizes.land_radius,
                outer: "the rotor tip radius",
                outer_value: sizes.rotor_tip_radius,
            });
        }
        let middle = flank.middle_radius();
        if land_m > middle.to_m() {
            return Err(GeometryError::LandBeyondFlank { land: sizes.land_radius, flank: middle });
        }
        let end = flank.end_radius();
        if tip_m > end.to_m() {
            return Err(GeometryError::TipBeyondRotor { tip: sizes.rotor_tip_radius, end });
        }
        // Below the middle's radius the face is a plain ring: the circle meets no flank.
        let (corner_v_rad, corner_azimuth_rad) = if tip_m <= middle.to_m() {
            (FRAC_PI_6, FRAC_PI_3)
        } else {
            let v = flank.parameter_at_radius(tip_m);
            (v, flank.w_m(v).arg())
        };
        let face =
            Self { flank, land_m, tip_m, corner_v_rad, corner_azimuth_rad, voids: voids.to_vec() };
        face.check_voids()?;
        Ok(face)
    }

    fn check_voids(&self) -> Result<(), GeometryError> {
        for void in &self.voids {
            if !(void.area.is_finite() && void.area > Area::ZERO) {
                return Err(GeometryError::VoidArea(void.area));
            }
            let outer = self.boundary_radius(void.azimuth);
            let inner = self.land_radius();
            if !(void.radius >= inner && void.radius <= outer) {
                let (radius, azimuth) = (void.radius, void.azimuth);
                return Err(GeometryError::VoidOffFace { radius, azimuth, inner, outer });
            }
        }
        let voids: Area = self.voids.iter().map(|void| void.area).sum();
        let face = Area::m2(self.gross_m2(self.land_m));
        if voids >= face {
            return Err(GeometryError::VoidsExceedFace { voids, face });
        }
        Ok(())
    }

    /// Outer radius of the land, `r_L`.
    #[must_use]
    pub const fn land_radius(&self) -> Length {
        Length::m(self.land_m)
    }

    /// Outermost radius of the face, `r_T`.
    #[must_use]
    pub const fn rotor_tip_radius(&self) -> Length {
        Length::m(self.tip_m)
    }

    /// Radius of the face's edge at an azimuth from any tip.
    #[must_use]
    pub fn boundary_radius(&self, azimuth: Angle) -> Length {
        Length::m(self.flank.outline_radius_m(azimuth.to_rad()).min(self.tip_m))
    }

    /// Area of the face outside its land, voids off.
    #[must_use]
    pub fn area(&self) -> Area {
        let voids: f64 = self.voids.iter().map(|void| void.area.to_m2()).sum();
        Area::m2(self.gross_m2(self.land_m) - voids)
    }

    /// Area of the face outside a circle, from the land's to the tip's radius, voids not taken
    /// off.
    ///
    /// # Errors
    /// A radius outside that range.
    pub fn area_outside(&self, radius: Length) -> Result<Area, GeometryError> {
        if radius >= self.land_radius() && radius <= self.rotor_tip_radius() {
            Ok(Area::m2(self.gross_m2(radius.to_m())))
        } else {
            let (least, most) = (self.land_radius(), self.rotor_tip_radius());
            let name = "the radius outside which the side face is taken";
            Err(GeometryError::OutOfRange { name, value: radius, least, most })
        }
    }

    fn gross_m2(&self, inner_m: f64) -> f64 {
        let (end_v, end_azimuth) = if inner_m <= self.flank.middle_radius().to_m() {
            (FRAC_PI_6, FRAC_PI_3)
        } else {
            let v = self.flank.parameter_at_radius(inner_m);
            (v, self.flank.w_m(v).arg())
        };
        let tip = 0.5 * self.tip_m * self.tip_m * self.corner_azimuth_rad;
        let flank = self.flank.sector_m2(self.corner_v_rad, end_v);
        (6.0 * (tip + flank - 0.5 * inner_m * inner_m * end_azimuth)).max(0.0)
    }

    /// Points of the edge that can touch a wall: `per_third` evenly spaced azimuths from each tip
    /// (itself the first) to the next, ascending from tip 1. Symmetric about every tip.
    ///
    /// # Errors
    /// A count of nothing or beyond [`SideFace::MOST_POINTS`].
    pub fn outline_points(&self, per_third: usize) -> Result<Vec<OutlinePoint>, GeometryError> {
        if !(1..=Self::MOST_POINTS).contains(&per_third) {
            let name = "the number of outline points per third of the rotor";
            let (least, most) = (1, Self::MOST_POINTS);
            return Err(GeometryError::Count { name, count: per_third, least, most });
        }
        let step = 2.0 * FRAC_PI_3 / per_third as f64;
        Ok((0..3 * per_third)
            .map(|i| {
                // The same number for a point and its mirror image, so that symmetry is exact.
                let within = i % per_third;
                let from_tip = step * within.min(per_third - within) as f64;
                let radius_m = self.flank.outline_radius_m(from_tip).min(self.tip_m);
                OutlinePoint { azimuth: Angle::rad(step * i as f64), radius: Length::m(radius_m) }
            })
            .collect())
    }

    /// Nodes over the face outside its land, voids off, [`NodeCounts::USUAL`] of them.
    #[must_use]
    pub fn quadrature(&self) -> FaceQuadrature {
        self.nodes(NodeCounts::USUAL)
    }

    /// The same with other counts.
    ///
    /// # Errors
    /// A count of nothing or beyond [`NodeCounts::MOST`].
    pub fn quadrature_with(&self, counts: NodeCounts) -> Result<FaceQuadrature, GeometryError> {
        Ok(self.nodes(counts.checked()?))
    }

    fn nodes(&self, counts: NodeCounts) -> FaceQuadrature {
        let corner = self.corner_azimuth_rad;
        let mut half: Vec<(f64, f64, f64)> = azimuths(0.0, corner, counts.tip)
            .into_iter()
            .map(|(azimuth, weight)| (azimuth, weight, self.tip_m))
            .collect();
        if corner < FRAC_PI_3 {
            half.extend(
                azimuths(corner, FRAC_PI_3, counts.flank).into_iter().map(|(azimuth, weight)| {
                    (azimuth, weight, self.flank.outline_radius_m(azimuth))
                }),
            );
        }
        let mut nodes: Vec<FaceNode> =
            Vec::with_capacity(6 * half.len() * counts.radial + self.voids.len());
        let rule = legendre(counts.radial);
        for &(azimuth, weight, outer_m) in &half {
            let along = radial_rule(&rule, self.land_m, outer_m);
            for tip in 0..3 {
                let tip_rad = 2.0 * FRAC_PI_3 * f64::from(tip);
                for place in [tip_rad + azimuth, tip_rad - azimuth] {
                    nodes.extend(
                        along.iter().map(|&(radius, ring)| node(radius, place, weight * ring)),
                    );
                }
            }
        }
        nodes.extend(
            self.voids
                .iter()
                .map(|void| node(void.radius.to_m(), void.azimuth.to_rad(), -void.area.to_m2())),
        );
        FaceQuadrature::from_nodes(nodes)
    }
}

fn azimuths(from_rad: f64, to_rad: f64, count: usize) -> Vec<(f64, f64)> {
    legendre_on(from_rad, to_rad, count)
}

#[cfg(test)]
mod tests {
    use super::super::trochoid::Trochoid;
    use super::*;
    use proptest::prelude::*;
    use std::f64::consts::PI;

    fn example(voids: &[Void]) -> Result<SideFace, GeometryError> {
        face_of(101.5, 14.5, 61.0, 99.0, voids)
    }

    fn face_of(
        r: f64,
        e: f64,
        land: f64,
        tip: f64,
        voids: &[Void],
    ) -> Result<SideFace, GeometryError> {
        let trochoid = Trochoid::new(Length::mm(r), Length::mm(e), Length::mm(0.17 * e)).unwrap();
        let flank = Flank::new(trochoid, Length::mm(0.4)).unwrap();
        let sizes =
            SideFaceSizes { land_radius: Length::mm(land), rotor_tip_radius: Length::mm(tip) };
        SideFace::new(flank, sizes, voids)
    }

    const DENSE: NodeCounts = NodeCounts { tip: 60, flank: 120, radial: 60 };

    /// Promised for a clipped plane that ends on the axis or beyond, up to 30 mm on its own side
    /// of the axis, and at 60 mm where only a corner is left: parts of the clipped volume.
    const CLIPPED: [f64; 3] = [2e-3, 5e-3, 0.11];
    /// The same with [`NodeCounts::FINE`].
    const CLIPPED_FINE: [f64; 3] = [5e-4, 5e-4, 0.01];

    #[test]
    fn the_usual_nodes_against_dense_integration() {
        for face in [example(&[]).unwrap(), face_of(80.0, 9.0, 50.0, 77.5, &[]).unwrap()] {
            let (usual, dense) = (face.quadrature(), face.quadrature_with(DENSE).unwrap());
            assert_eq!(usual.nodes().len(), 3 * 16 * 4);
            let exact = face.area().to_m2();
            assert!((usual.area().to_m2() / exact - 1.0).abs() < 1e-6);
            assert!((dense.area().to_m2() / exact - 1.0).abs() < 1e-12);

            let fine = face.quadrature_with(NodeCounts::FINE).unwrap();

            // Planes of every direction; first whole, then clipped at nothing. The level is how
            // far from the axis the cut ends, on the cut's own side of it where negative.
            let worst = |nodes: &FaceQuadrature, level: f64, clip: bool| {
                (0..121).fold(0.0f64, |worst, direction| {
                    let (sin, cos) = Angle::deg(f64::from(direction)).to_rad().sin_cos();
                    let depth = |x: f64, y: f64| {
                        let plane = level + x * cos + y * sin;
                        if clip { plane.max(0.0) } else { plane }
                    };
                    let scale = if clip { dense.integral(depth) } else { 0.1 * exact };
                    let off = (nodes.integral(depth) - dense.integral(depth)).abs();
                    worst.max(off / scale)
                })
            };
            for (level, class) in
                [(-0.06, 2), (-0.03, 1), (-0.015, 1), (0.0, 0), (0.03, 0), (0.06, 0)]
            {
                let (whole, clipped) = (worst(&usual, level, false), worst(&usual, level, true));
                assert!(whole < 1e-7, "{level}: {whole:e}");
                assert!(clipped < CLIPPED[class], "{level}: {clipped:e}");
                let clipped = worst(&fine, level, true);
                assert!(clipped < CLIPPED_FINE[class], "{level}: {clipped:e}");
            }
        }
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(64))]

        #[test]
        fn area_by_quadrature_is_area_by_arc(
            e in 8.0..20.0f64, ratio in 5.5..9.0f64, land in 0.3..1.0f64, tip in 0.05..1.0f64,
            at in 0.0..1.0f64,
        ) {
            let flank_at = e * (ratio - 2.0) + 0.17 * e - 0.4;
            let land_mm = land * flank_at;
            let end_mm = e * ratio;
            let tip_mm = land_mm + tip * (end_mm - land_mm);
            let face = face_of(e * ratio, e, land_mm, tip_mm, &[]).unwrap();
            let dense = face.quadrature_with(NodeCounts { tip: 4, flank: 40, radial: 2 }).unwrap();
            let area = face.area().to_m2();
            let whole = PI * face.tip_m * face.tip_m;
            prop_assert!((dense.area().to_m2() - area).abs() < 1e-10 * whole);

            // Outside any circle: the same by azimuth, where the outline is beyond the circle.
            let inner = face.land_m + at * (face.tip_m - face.land_m);
            let n = 20_000;
            let polar: f64 = (0..n)
                .map(|i| {
                    let azimuth = FRAC_PI_3 * (f64::from(i) + 0.5) / f64::from(n);
                    let outer = face.boundary_radius(Angle::rad(azimuth)).to_m();
                    3.0 * (outer * outer - inner * inner).max(0.0) * FRAC_PI_3 / f64::from(n)
                })
                .sum();
            let outside = face.area_outside(Length::m(inner)).unwrap().to_m2();
            // Midpoint rule with two kinks: n^-2.
            prop_assert!((polar - outside).abs() < 1e-7 * whole);
        }
    }

    #[test]
    fn voids_are_taken_off_area_and_volume() {
        let plain = example(&[]).unwrap();
        let holes = Void::at_each_tip(Area::mm2(90.0), Length::mm(92.0), Angle::deg(2.0));
        let face = example(&holes).unwrap();
        let lost = plain.area() - face.area();
        assert!((lost.to_mm2() - 270.0).abs() < 1e-9);
        assert!(
            ((plain.quadrature().area() - face.quadrature().area()).to_mm2() - 270.0).abs() < 1e-9
        );
        // A slope: each hole loses the depth at its own middle; three of them, their mean.
        let depth = |x: Length, _: Length| Length::um(100.0) + x * 1e-3;
        let lost =
            plain.quadrature().volume(depth).to_mm3() - face.quadrature().volume(depth).to_mm3();
        assert!((lost - 27.0).abs() < 1e-9, "{lost}");
        let one = example(&holes[..1]).unwrap();
        let lost =
            plain.quadrature().volume(depth).to_mm3() - one.quadrature().volume(depth).to_mm3();
        let expected = 90.0 * (0.1 + 0.092 * Angle::deg(2.0).to_rad().cos());
        assert!((lost - expected).abs() < 1e-9, "{lost} {expected}");
    }

    #[test]
    fn outline_points_are_symmetric_and_hold_the_tips() {
        let face = example(&[]).unwrap();
        for n in [1, 2, 7, 24] {
            let points = face.outline_points(n).unwrap();
            assert_eq!(points.len(), 3 * n);
            for tip in 0..3 {
                assert_eq!(points[tip * n].radius, Length::mm(99.0));
                let azimuth = points[tip * n].azimuth.to_deg();
                assert!((azimuth - 120.0 * tip as f64).abs() < 1e-12);
            }
            for i in 0..3 * n {
                assert_eq!(points[i].radius, points[(3 * n - i) % (3 * n)].radius);
                let place = points[i].place().radius() - points[i].radius;
                assert!(place.abs() < Length::um(1e-9));
            }
        }
        let points = face.outline_points(24).unwrap();
        let least = points.iter().map(|p| p.radius).fold(Length::m(1.0), Length::min);
        assert_eq!(least, points[12].radius);
        assert!(face.outline_points(0).is_err());
    }

    #[test]
    fn what_is_no_face_is_refused_by_name() {
        for (land, tip, part) in [
            (61.0, 60.0, "the land radius (61.000 mm) must be less than the rotor tip radius"),
            (75.0, 99.0, "only 74.565 mm from axis to flank"),
            (61.0, 104.0, "but the rotor ends 103.3"),
            (0.0, 99.0, "the land radius is 0.000 mm"),
            (61.0, f64::NAN, "the rotor tip radius"),
        ] {
            let message = face_of(101.5, 14.5, land, tip, &[]).unwrap_err().to_string();
            assert!(message.contains(part), "{message}");
        }
        let void = |area, radius, azimuth| Void {
            area: Area::mm2(area),
            radius: Length::mm(radius),
            azimuth: Angle::deg(azimuth),
        };
        for (void, part) in [
            (void(0.0, 80.0, 0.0), "0.000 mm2"),
            (void(10.0, 80.0, 60.0), "at radius 80.000 mm, 60.00 degrees from tip 1, is not on"),
            (void(10.0, 60.0, 0.0), "from 61.000 to 99.000 mm there"),
            (void(50_000.0, 80.0, 0.0), "the voids take 50000.0 mm2, but"),
        ] {
            let message = example(&[void]).unwrap_err().to_string();
            assert!(message.contains(part), "{message}");
        }
        let face = example(&[]).unwrap();
        assert!(face.area_outside(Length::mm(60.0)).is_err());
        assert!(face.area_outside(Length::mm(99.5)).is_err());
        assert!(face.quadrature_with(NodeCounts { radial: 0, ..NodeCounts::USUAL }).is_err());
    }
}
