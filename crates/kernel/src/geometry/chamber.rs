//! A chamber: what lies between a flank, the bore and two apex seals, against the shaft's angle.
//!
//! Unshifted, the area is exactly `mean − (3√3/2)eR cos(2θ/3)` with
//! `mean = πe²/3 + 2eR cos φ + (2R²/9 + 4e²)φ`, `φ = asin(3e/R)` [YAMAMOTO], [ANSDALE] (from
//! memory, computed). The shift adds a strip `a` wide along the bore, from seal to seal, and the
//! flank takes one `d = a − gap` wide off it; the turning of both curves and the noses of the
//! seals cancel but for the gap:
//! `A(θ) = A₀(θ) + a·L_bore(θ) − d·L_flank + ½(a² − d²)Δ`,
//! `Δ` the turning of the flank. A seal is taken to fill the sector between the last normal of
//! the flank and the normal of the bore. `L_bore` is the arc of the unshifted curve between the
//! two tips; it varies, so with a shift the volume is not quite a sine.

use super::bore::Bore;
use super::error::{GeometryError, positive};
use super::flank::Flank;
use crate::units::{Angle, Area, Length, Volume};
use std::f64::consts::{FRAC_PI_2, FRAC_PI_3, PI};

/// What a chamber is made of.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ChamberSizes {
    /// Housing width: between the side housings.
    pub width: Length,
    /// Volume of the combustion pocket in the flank, and of any other recess that is always open
    /// to the chamber; nothing for a bare flank.
    pub recess: Volume,
}

/// One chamber of a rotor. The shaft's angle `θ` counts from the top dead centre of this chamber,
/// where it is smallest and the throw points to the waist; it is largest at 270 degrees and comes
/// round after 1080, when the rotor has made a turn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Chamber {
    flank: Flank,
    width_m: f64,
    recess_m3: f64,
    /// The part of the area that does not vary.
    mean_m2: f64,
}

impl Chamber {
    /// Over this flank.
    ///
    /// # Errors
    /// A width that is not above nothing, a recess below nothing, either not finite.
    pub fn new(flank: Flank, sizes: ChamberSizes) -> Result<Self, GeometryError> {
        let width_m = positive("the housing width", sizes.width)?;
        if !(sizes.recess.is_finite() && sizes.recess >= Volume::ZERO) {
            return Err(GeometryError::Recess(sizes.recess));
        }
        let trochoid = flank.trochoid();
        let (r_m, e_m, a_m) = (trochoid.r_m(), trochoid.e_m(), trochoid.a_m());
        let lean = trochoid.k().asin();
        let d_m = flank.d_m();
        let plain_m2 = PI * e_m * e_m / 3.0
            + 2.0 * e_m * r_m * lean.cos()
            + (2.0 / 9.0 * r_m * r_m + 4.0 * e_m * e_m) * lean;
        let mean_m2 = plain_m2 - d_m * flank.envelope_length_m()
            + 0.5 * (a_m * a_m - d_m * d_m) * flank.turning_rad();
        Ok(Self { flank, width_m, recess_m3: sizes.recess.to_m3(), mean_m2 })
    }

    /// Swept volume as it is named, without the shift: `3√3·e·R·b` [YAMAMOTO].
    #[must_use]
    pub fn swept_volume(&self) -> Volume {
        Volume::m3(2.0 * self.amplitude_m2() * self.width_m)
    }

    /// Swept area with the shift, exact: `3√3·e·R + a(L_max − L_min)`, less by some 0.05 % than
    /// `3√3·e·(R + a)`, which is often written in its place.
    #[must_use]
    pub fn swept_area(&self) -> Area {
        self.greatest_area() - self.least_area()
    }

    /// Swept volume with the shift, exact.
    #[must_use]
    pub fn swept_volume_shifted(&self) -> Volume {
        self.swept_area() * Length::m(self.width_m)
    }

    /// Area of the chamber across the shaft, without the recess.
    #[must_use]
    pub fn area(&self, theta: Angle) -> Area {
        Area::m2(self.area_m2(theta.to_rad()))
    }

    /// Volume of the chamber with its recess.
    #[must_use]
    pub fn volume(&self, theta: Angle) -> Volume {
        Volume::m3(self.volume_m3(theta.to_rad()))
    }

    /// How fast the volume grows with the shaft's angle, cubic metres per radian.
    #[must_use]
    pub fn volume_slope_m3_per_rad(&self, theta: Angle) -> f64 {
        let theta = theta.to_rad();
        let trochoid = self.flank.trochoid();
        let bore = Bore::of(trochoid);
        let (from, to) = tips_rad(theta);
        let sine = 2.0 / 3.0 * self.amplitude_m2() * (2.0 / 3.0 * theta).sin();
        let strip = trochoid.a_m() * (bore.pace_m(to) - bore.pace_m(from)) / 3.0;
        self.width_m * (sine + strip)
    }

    /// Smallest area, at top dead centre, without the recess.
    #[must_use]
    pub fn least_area(&self) -> Area {
        self.area(Angle::ZERO)
    }

    /// Largest area, 270 degrees of the shaft later, without the recess.
    #[must_use]
    pub fn greatest_area(&self) -> Area {
        Area::m2(self.area_m2(3.0 * FRAC_PI_2))
    }

    /// Smallest volume without the recess.
    #[must_use]
    pub fn least_volume_bare(&self) -> Volume {
        self.least_area() * Length::m(self.width_m)
    }

    /// Smallest volume with the recess.
    #[must_use]
    pub fn least_volume(&self) -> Volume {
        self.volume(Angle::ZERO)
    }

    /// Largest over smallest volume of the bare flank: what no recess can raise.
    #[must_use]
    pub fn theoretical_ratio(&self) -> f64 {
        self.greatest_area() / self.least_area()
    }

    /// Largest over smallest volume, recess included.
    #[must_use]
    pub fn compression_ratio(&self) -> f64 {
        self.volume_m3(3.0 * FRAC_PI_2) / self.volume_m3(0.0)
    }

    /// Volume with the recess, SI.
    pub(crate) fn volume_m3(&self, theta_rad: f64) -> f64 {
        self.area_m2(theta_rad) * self.width_m + self.recess_m3
    }

    fn area_m2(&self, theta_rad: f64) -> f64 {
        let trochoid = self.flank.trochoid();
        let plain_m2 = self.mean_m2 - self.amplitude_m2() * (2.0 / 3.0 * theta_rad).cos();
        if trochoid.a_m() == 0.0 {
            return plain_m2;
        }
        let (from, to) = tips_rad(theta_rad);
        plain_m2 + trochoid.a_m() * Bore::of(trochoid).generating_arc_m(from, to)
    }

    /// `(3√3/2)·e·R`.
    fn amplitude_m2(&self) -> f64 {
        let trochoid = self.flank.trochoid();
        1.5 * 3f64.sqrt() * trochoid.e_m() * trochoid.r_m()
    }
}

/// Directions of the two tips that bound the chamber; at top dead centre the flank between them
/// faces `+y`.
fn tips_rad(theta_rad: f64) -> (f64, f64) {
    let middle = FRAC_PI_2 + theta_rad / 3.0;
    (middle - FRAC_PI_3, middle + FRAC_PI_3)
}

#[cfg(test)]
mod tests {
    use super::super::trochoid::Trochoid;
    use super::*;
    use proptest::prelude::*;

    fn chamber(ratio: f64, shift: f64, gap: f64) -> Chamber {
        let shift = Length::mm(15.0 * shift);
        let trochoid = Trochoid::new(Length::mm(15.0 * ratio), Length::mm(15.0), shift).unwrap();
        let flank = Flank::new(trochoid, shift * gap).unwrap();
        let sizes = ChamberSizes { width: Length::mm(80.0), recess: Volume::cm3(30.0) };
        Chamber::new(flank, sizes).unwrap()
    }

    proptest! {
        #[test]
        fn three_chambers_rotor_and_seals_fill_the_bore(
            ratio in 4.2..12.0f64, shift in 0.0..0.25f64, gap in 0.0..1.0f64, theta in -20.0..20.0f64,
        ) {
            let chamber = chamber(ratio, shift, gap);
            let sum: f64 = [0.0, 2.0, 4.0]
                .iter()
                .map(|turn| chamber.area_m2(theta + turn * PI))
                .sum();
            // Per tip the seal fills its nose, from last normal to last normal, and what stands
            // between the straight end of the outline and its own flanks.
            let trochoid = chamber.flank.trochoid();
            let (a, d, lean) = (trochoid.a_m(), chamber.flank.d_m(), trochoid.k().asin());
            let seal = a * a * lean - d * d * lean.sin() * lean.cos();
            let bore = Bore::of(trochoid).area().to_m2();
            let all = sum + chamber.flank.outline_area().to_m2() + 3.0 * seal;
            prop_assert!((all / bore - 1.0).abs() < 1e-13);
        }

        #[test]
        fn the_slope_is_the_slope_and_the_period_is_three_turns(
            ratio in 4.2..12.0f64, shift in 0.0..0.25f64, theta in -20.0..20.0f64,
        ) {
            let chamber = chamber(ratio, shift, 0.1);
            let h = 1e-4;
            let slope = (chamber.volume_m3(theta + h) - chamber.volume_m3(theta - h)) / (2.0 * h);
            let scale = chamber.swept_volume().to_m3();
            let given = chamber.volume_slope_m3_per_rad(Angle::rad(theta));
            prop_assert!((slope - given).abs() < 1e-8 * scale);
            let later = chamber.volume_m3(theta + 6.0 * PI);
            prop_assert!((later - chamber.volume_m3(theta)).abs() < 1e-13 * scale);
            let (least, most) = (chamber.volume_m3(0.0), chamber.volume_m3(1.5 * PI));
            let here = chamber.volume_m3(theta);
            prop_assert!(here > least - 1e-13 * scale && here < most + 1e-13 * scale);
        }
    }

    #[test]
    fn without_a_shift_it_is_the_plain_sine() {
        let chamber = chamber(7.0, 0.0, 0.0);
        for i in 0..50 {
            let theta = 0.4 * f64::from(i);
            let plain = chamber.least_volume().to_m3()
                + 0.5 * chamber.swept_volume().to_m3() * (1.0 - (2.0 / 3.0 * theta).cos());
            assert!((chamber.volume_m3(theta) / plain - 1.0).abs() < 1e-13);
        }
    }

    #[test]
    fn a_recess_lowers_the_ratio() {
        let chamber = chamber(7.0, 0.1, 0.1);
        assert!(chamber.compression_ratio() < chamber.theoretical_ratio());
        let wrong = ChamberSizes { width: Length::mm(80.0), recess: Volume::cm3(-1.0) };
        assert!(Chamber::new(chamber.flank, wrong).unwrap_err().to_string().contains("-1.000 cm3"));
        let wrong = ChamberSizes { width: Length::ZERO, recess: Volume::ZERO };
        assert!(Chamber::new(chamber.flank, wrong).unwrap_err().to_string().contains("width"));
    }
}
