//! Where a point of a rotor's face is in the engine: the paths of seals and edges on the walls.
//!
//! A rotor is fitted with its gear face to the front or to the rear. Turned about the radius of
//! tip 1, its azimuths change sign in engine axes. At `θ = 0`, top dead centre of its chamber 1,
//! the throw points to `+y` (90°) and the middle of flank 1 does too. Flank 1 goes from tip 1 to
//! tip 2, which is at azimuth −120° about `z_r`; so tip 1 points to 150° with the gear face to
//! the rear and to 30° with it to the front. The throw turns with `θ`, the rotor with `θ/3`.

use super::error::{GeometryError, not_negative};
use super::point::EnginePoint;
use super::trochoid::Trochoid;
use crate::units::{Angle, Length};
use nalgebra::Complex;
use std::f64::consts::FRAC_PI_2;

/// Which way the gear face of a rotor looks in a build.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Looks {
    /// Away from the flywheel: `z_r = −z`.
    Front,
    /// To the flywheel: `z_r = +z`.
    Rear,
}

impl Looks {
    /// What it is called.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Front => "front",
            Self::Rear => "rear",
        }
    }

    /// The other way; that is how the plain face looks.
    #[must_use]
    pub const fn opposite(self) -> Self {
        match self {
            Self::Front => Self::Rear,
            Self::Rear => Self::Front,
        }
    }

    /// Sense of rotor azimuths in engine axes, and of `z_r` along `z`: +1 to the rear.
    #[must_use]
    pub const fn sense(self) -> f64 {
        match self {
            Self::Front => -1.0,
            Self::Rear => 1.0,
        }
    }

    /// Direction of tip 1 in engine axes at the shaft's angle `θ` from top dead centre of this
    /// rotor's chamber 1.
    #[must_use]
    pub fn tip_1_direction(self, theta: Angle) -> Angle {
        Angle::deg(90.0 + self.sense() * 60.0) + theta / 3.0
    }
}

/// A point of a rotor's face and how the rotor is fitted.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FacePathOf {
    /// Which way the gear face looks.
    pub gear_face: Looks,
    /// Distance of the point from the axis of the bearing bore.
    pub radius: Length,
    /// Its azimuth from tip 1, about `z_r`, whichever face it is on.
    pub azimuth: Angle,
}

/// The path of a point of a rotor's face on the wall it looks at, in engine axes. The shaft's
/// angle counts from top dead centre of **this** rotor's chamber 1; for the rotors behind the
/// first one that is not the engine's own.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FacePath {
    e_m: f64,
    radius_m: f64,
    azimuth_rad: f64,
    gear_face: Looks,
}

impl FacePath {
    /// The path in an engine of these lengths.
    ///
    /// # Errors
    /// A radius below nothing or not finite.
    pub fn new(trochoid: Trochoid, of: FacePathOf) -> Result<Self, GeometryError> {
        let radius_m = not_negative("the radius of a point of the face", of.radius)?;
        let (azimuth_rad, gear_face) = (of.azimuth.to_rad(), of.gear_face);
        Ok(Self { e_m: trochoid.e_m(), radius_m, azimuth_rad, gear_face })
    }

    /// Where the point is.
    #[must_use]
    pub fn position(&self, theta: Angle) -> EnginePoint {
        EnginePoint::from_complex_m(self.position_m(theta.to_rad()))
    }

    /// How far it is from the shaft's axis.
    #[must_use]
    pub fn distance(&self, theta: Angle) -> Length {
        Length::m(self.position_m(theta.to_rad()).norm())
    }

    /// Least and greatest distance from the shaft's axis: the eccentricity to both sides of its
    /// radius. Every point passes through both, since throw and rotor turn against each other.
    #[must_use]
    pub const fn distance_range(&self) -> (Length, Length) {
        (Length::m((self.radius_m - self.e_m).abs()), Length::m(self.radius_m + self.e_m))
    }

    /// Where the point is, metres.
    pub(crate) fn position_m(&self, theta_rad: f64) -> Complex<f64> {
        let tip_rad = self.gear_face.tip_1_direction(Angle::rad(theta_rad)).to_rad();
        let direction = tip_rad + self.gear_face.sense() * self.azimuth_rad;
        Complex::from_polar(self.e_m, FRAC_PI_2 + theta_rad)
            + Complex::from_polar(self.radius_m, direction)
    }
}

#[cfg(test)]
mod tests {
    use super::super::bore::Bore;
    use super::super::flank::Flank;
    use super::*;
    use proptest::prelude::*;

    fn trochoid() -> Trochoid {
        Trochoid::new(Length::mm(101.5), Length::mm(14.5), Length::mm(2.5)).unwrap()
    }

    fn path(gear_face: Looks, radius: Length, azimuth_deg: f64) -> FacePath {
        let azimuth = Angle::deg(azimuth_deg);
        FacePath::new(trochoid(), FacePathOf { gear_face, radius, azimuth }).unwrap()
    }

    #[test]
    fn at_top_dead_centre_flank_1_faces_the_hot_waist() {
        for gear_face in [Looks::Front, Looks::Rear] {
            // Tip 1 at azimuth 0, tip 2 at −120: the middle of flank 1 is at −60.
            let flank = Flank::new(trochoid(), Length::ZERO).unwrap();
            let middle = path(gear_face, flank.middle_radius(), -60.0).position(Angle::ZERO);
            assert!(middle.x.abs() < Length::um(1e-6));
            // R − 2e + a, and e more: the waist R − e + a.
            assert!((middle.y.to_mm() - (101.5 - 14.5 + 2.5)).abs() < 1e-9);
        }
        // Seen from the rear (z towards the eye) with the gear face to the rear, tips count
        // clockwise: tip 1 on the left of the hot waist.
        assert!(path(Looks::Rear, Length::mm(99.0), 0.0).position(Angle::ZERO).x < Length::ZERO);
        assert!(path(Looks::Front, Length::mm(99.0), 0.0).position(Angle::ZERO).x > Length::ZERO);
    }

    proptest! {
        #[test]
        fn centres_of_crowns_ride_on_the_generating_curve(
            theta in -40.0..40.0f64, front in any::<bool>(), tip in 0u8..3,
        ) {
            let gear_face = if front { Looks::Front } else { Looks::Rear };
            let azimuth = -120.0 * f64::from(tip);
            let path = path(gear_face, Length::mm(101.5), azimuth);
            let theta = Angle::rad(theta);
            let t = gear_face.tip_1_direction(theta) + Angle::deg(azimuth) * gear_face.sense();
            let on_curve = Bore::of(trochoid()).generating_point(t);
            let here = path.position(theta);
            prop_assert!((here.x - on_curve.x).abs() < Length::um(1e-7));
            prop_assert!((here.y - on_curve.y).abs() < Length::um(1e-7));
        }

        #[test]
        fn the_distance_stays_in_its_range_and_reaches_both_ends(
            radius in 1.0..101.5f64, azimuth in -400.0..400.0f64, front in any::<bool>(),
        ) {
            let gear_face = if front { Looks::Front } else { Looks::Rear };
            let path = path(gear_face, Length::mm(radius), azimuth);
            let (low, high) = path.distance_range();
            let (mut least, mut most) = (Length::m(1.0), Length::ZERO);
            for i in 0..1080 {
                let here = path.distance(Angle::deg(f64::from(i)));
                prop_assert!(here > low - Length::um(1e-6) && here < high + Length::um(1e-6));
                (least, most) = (least.min(here), most.max(here));
            }
            // Whole degrees of the shaft: half a step is 1/3 degree between throw and point, by
            // which the law of cosines puts a distance off its end.
            let (e, r, off) = (14.5, radius, (1.0f64 / 3.0).to_radians());
            let square = |end: Length| end.to_mm() * end.to_mm();
            let feels = 2.0 * e * r * (1.0 - off.cos());
            prop_assert!(least.to_mm() < (square(low) + feels).sqrt() + 1e-9);
            prop_assert!(most.to_mm() > (square(high) - feels).sqrt() - 1e-9);
        }

        #[test]
        fn a_rotor_stays_within_its_bore(
            theta in -20.0..20.0f64, azimuth in -180.0..180.0f64, front in any::<bool>(),
        ) {
            let flank = Flank::new(trochoid(), Length::mm(0.3)).unwrap();
            let gear_face = if front { Looks::Front } else { Looks::Rear };
            let bore = Bore::of(trochoid());
            let edge = flank.outline_radius(Angle::deg(azimuth));
            let theta = Angle::rad(theta);
            prop_assert!(bore.holds(path(gear_face, edge, azimuth).position(theta)));
        }
    }

    #[test]
    fn a_path_comes_round_after_three_turns() {
        let path = path(Looks::Rear, Length::mm(88.0), 17.0);
        let (a, b) = (path.position(Angle::deg(25.0)), path.position(Angle::deg(1105.0)));
        assert!((a.x - b.x).abs() < Length::um(1e-6) && (a.y - b.y).abs() < Length::um(1e-6));
        let wrong =
            FacePathOf { gear_face: Looks::Rear, radius: Length::mm(-1.0), azimuth: Angle::ZERO };
        assert!(FacePath::new(trochoid(), wrong).is_err());
    }
}
