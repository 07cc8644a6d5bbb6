//! The flank of a rotor: inner envelope of the bore seen from the rotor, moved out by the shift
//! and in by the running gap.
//!
//! # Derivation
//! Seen from a rotor that points to `β`, the unshifted bore is
//! `exp(−iβ)·(z(t) − e·exp(3iβ))`. With `t = β + 2v` that is
//! `exp(2iv)·[R + 2ie sin 3v · exp(2iβ + iv)]`. It is on the envelope where the normal passes
//! through the point about which the rotor rolls; of the two solutions the inner one is
//! `exp(2iβ + iv) = g = −k cos 3v + i√(1 − k² cos² 3v)`, `k = 3e/R`, so that
//!
//! `w(v) = exp(2iv)·[R − 2e sin 3v √(1 − k² cos² 3v) − i(3e²/R) sin 6v]`, `v` from 0 to 60°,
//!
//! from one tip to the next, with the outward normal
//! `n(v) = exp(2iv)(R + 3e·g·exp(3iv))/|…|`. This is the known envelope [YAMAMOTO] (from memory)
//! with a sign settled that is otherwise a trap: one textbook formula with ± gives the inner or
//! the outer envelope by the interval of its parameter. That the curve touches its bores and
//! crosses none is tested, not believed (`envelope.rs`).
//!
//! The flank is `w + d·n` with `d = a − gap`. The offset flanks of a tip end on both sides of
//! its radius, `d·3e/R` from it; there the apex seal stands. As outline the two ends are joined
//! straight across.

use super::error::{GeometryError, not_negative};
use super::gauss::{legendre, moved};
use super::point::RotorPoint;
use super::root::rising_zero;
use super::trochoid::Trochoid;
use crate::units::{Angle, Area, Length};
use nalgebra::Complex;
use std::f64::consts::{FRAC_PI_3, FRAC_PI_6, PI};
use std::sync::LazyLock;

/// The parameter from tip to tip.
const END_RAD: f64 = FRAC_PI_3;
/// The parameter at the middle of a flank.
const MIDDLE_RAD: f64 = FRAC_PI_6;

/// Nodes for integrals along half a flank: at `k = 3/4`, the worst, the integrand's nearest
/// branch point leaves 1e-15 with 40; see the test.
const HALF_FLANK_NODES: usize = 48;
/// The rule itself, worked out once: every area of every rotor asks for it.
static HALF_FLANK_RULE: LazyLock<Vec<(f64, f64)>> = LazyLock::new(|| legendre(HALF_FLANK_NODES));

/// The flanks of a rotor, one for all three, in rotor axes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Flank {
    trochoid: Trochoid,
    /// Offset from the unshifted envelope: shift less gap.
    d_m: f64,
}

/// A flank taken for an arc through its two ends and its middle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ThreePointCircle {
    /// From the chord between the ends to the middle of the flank.
    pub sagitta: Length,
    /// Radius of the arc.
    pub radius: Length,
}

impl Flank {
    /// The flank that leaves `running_gap` to the bore where it comes nearest. The gap is square
    /// to the flank, from nothing to the parallel shift.
    ///
    /// # Errors
    /// A gap that is negative, not finite, or larger than the shift: the flanks would then meet
    /// before the tip.
    pub fn new(trochoid: Trochoid, running_gap: Length) -> Result<Self, GeometryError> {
        let gap_m = not_negative("the running gap", running_gap)?;
        if gap_m > trochoid.a_m() {
            let shift = trochoid.parallel_shift();
            return Err(GeometryError::GapBeyondShift { gap: running_gap, shift });
        }
        Ok(Self { trochoid, d_m: trochoid.a_m() - gap_m })
    }

    /// The lengths it was made from.
    #[must_use]
    pub const fn trochoid(&self) -> Trochoid {
        self.trochoid
    }

    /// The gap it leaves to the bore.
    #[must_use]
    pub const fn running_gap(&self) -> Length {
        Length::m(self.trochoid.a_m() - self.d_m)
    }

    /// The point at parameter `v`, 0 to 60 degrees from tip to tip. In the axes of the tip it
    /// starts from: that tip on `+x`, the next one at azimuth +120 degrees.
    ///
    /// # Errors
    /// A parameter outside its range.
    pub fn point(&self, v: Angle) -> Result<RotorPoint, GeometryError> {
        Ok(RotorPoint::from_complex_m(self.w_m(checked(v)?)))
    }

    /// Direction of the outward normal at `v`, in the same axes.
    ///
    /// # Errors
    /// A parameter outside its range.
    pub fn normal_direction(&self, v: Angle) -> Result<Angle, GeometryError> {
        Ok(Angle::rad(self.n(checked(v)?).arg()))
    }

    /// The direction `β`, in engine axes, to which the tip that the flank starts from points
    /// when the bore comes nearest to the flank at `v`. It does so again half a turn on. The
    /// bore is touched at its parameter `t = β + 2v`.
    ///
    /// # Errors
    /// A parameter outside its range.
    pub fn contact_angle(&self, v: Angle) -> Result<Angle, GeometryError> {
        let v = checked(v)?;
        Ok(Angle::rad(0.5 * (Complex::cis(-v) * self.g(v)).arg()))
    }

    /// Radius of the rotor's outline at an azimuth from any tip, any sense, any number of turns.
    #[must_use]
    pub fn outline_radius(&self, azimuth: Angle) -> Length {
        Length::m(self.outline_radius_m(azimuth.to_rad()))
    }

    /// Radius at the middle of a flank, the least of the outline: `R − 2e + d`.
    #[must_use]
    pub const fn middle_radius(&self) -> Length {
        Length::m(self.trochoid.r_m() - 2.0 * self.trochoid.e_m() + self.d_m)
    }

    /// Radius of the outline on a tip's own azimuth, where the ends of two flanks are joined
    /// straight across: `R + d√(1 − k²)`.
    #[must_use]
    pub fn end_radius(&self) -> Length {
        Length::m(self.trochoid.r_m() + self.d_m * (1.0 - self.trochoid.k().powi(2)).sqrt())
    }

    /// Length of one flank.
    #[must_use]
    pub fn length(&self) -> Length {
        Length::m(self.envelope_length_m() + self.d_m * self.turning_rad())
    }

    /// Area inside the outline, ends of flanks joined straight across:
    /// `π(R² + 2e²) − 6eR cos φ − (2R²/3 + 12e²)φ + 3(dL + ½d²Δ + d²k cos φ)` with
    /// `φ = asin k`, `L` the unshifted length of a flank and `Δ = 120° − 2φ` its turning.
    /// The unshifted part is the bore less three mean chambers [YAMAMOTO].
    #[must_use]
    pub fn outline_area(&self) -> Area {
        let (r_m, e_m, d_m, k) =
            (self.trochoid.r_m(), self.trochoid.e_m(), self.d_m, self.trochoid.k());
        let lean = k.asin();
        let plain_m2 = PI * (r_m * r_m + 2.0 * e_m * e_m)
            - 6.0 * e_m * r_m * lean.cos()
            - (2.0 / 3.0 * r_m * r_m + 12.0 * e_m * e_m) * lean;
        let offset_m2 = d_m * self.envelope_length_m()
            + d_m * d_m * (0.5 * self.turning_rad() + k * lean.cos());
        Area::m2(plain_m2 + 3.0 * offset_m2)
    }

    /// The flank taken for an arc through its ends and its middle: how a template is made, not
    /// what the flank is.
    #[must_use]
    pub fn three_point_circle(&self) -> ThreePointCircle {
        let end_m = self.w_m(0.0) * Complex::cis(-FRAC_PI_3);
        let sagitta_m = self.middle_radius().to_m() - end_m.re;
        let radius_m = (end_m.im * end_m.im + sagitta_m * sagitta_m) / (2.0 * sagitta_m);
        ThreePointCircle { sagitta: Length::m(sagitta_m), radius: Length::m(radius_m) }
    }

    /// Shift less gap.
    pub(crate) const fn d_m(&self) -> f64 {
        self.d_m
    }

    /// `√(1 − k² cos² 3v)`.
    fn s(&self, v_rad: f64) -> f64 {
        let kc = self.trochoid.k() * (3.0 * v_rad).cos();
        (1.0 - kc * kc).sqrt()
    }

    fn g(&self, v_rad: f64) -> Complex<f64> {
        Complex::new(-self.trochoid.k() * (3.0 * v_rad).cos(), self.s(v_rad))
    }

    /// `R + 3e·g·exp(3iv)`: the normal seen from azimuth `2v`.
    fn across(&self, v_rad: f64) -> Complex<f64> {
        self.g(v_rad) * Complex::cis(3.0 * v_rad) * (3.0 * self.trochoid.e_m())
            + self.trochoid.r_m()
    }

    /// Outward unit normal.
    pub(crate) fn n(&self, v_rad: f64) -> Complex<f64> {
        let across = self.across(v_rad);
        Complex::cis(2.0 * v_rad) * across / across.norm()
    }

    /// The point on the offset flank, metres.
    pub(crate) fn w_m(&self, v_rad: f64) -> Complex<f64> {
        let (r_m, e_m) = (self.trochoid.r_m(), self.trochoid.e_m());
        let seen = Complex::new(
            r_m - 2.0 * e_m * (3.0 * v_rad).sin() * self.s(v_rad),
            -3.0 * e_m * e_m / r_m * (6.0 * v_rad).sin(),
        );
        Complex::cis(2.0 * v_rad) * seen + self.n(v_rad) * self.d_m
    }

    /// `|dw/dv|` of the unshifted envelope.
    fn envelope_pace_m(&self, v_rad: f64) -> f64 {
        let (r_m, e_m, k) = (self.trochoid.r_m(), self.trochoid.e_m(), self.trochoid.k());
        let (g, s) = (self.g(v_rad), self.s(v_rad));
        let (sin3, cos3) = (3.0 * v_rad).sin_cos();
        let across = self.across(v_rad);
        let along = 2.0 * r_m
            + g * Complex::new(0.0, 4.0 * e_m * sin3)
            + g * Complex::new(cos3, -k * sin3 * sin3 / s) * (6.0 * e_m);
        (across.conj() * along).re / across.norm()
    }

    /// How fast the normal turns with `v`; below nothing where the flank is hollow.
    fn turning_rate(&self, v_rad: f64) -> f64 {
        let (e_m, k) = (self.trochoid.e_m(), self.trochoid.k());
        let across = self.across(v_rad);
        let rate = self.g(v_rad)
            * Complex::cis(3.0 * v_rad)
            * Complex::new(0.0, 9.0 * e_m * (1.0 - k * (3.0 * v_rad).sin() / self.s(v_rad)));
        2.0 + (across.conj() * rate).im / across.norm_sqr()
    }

    /// `|dw/dv|` of the offset flank. It runs along `i·n`, so this is positive wherever the
    /// offset makes no cusp, which is everywhere (test).
    fn pace_m(&self, v_rad: f64) -> f64 {
        self.envelope_pace_m(v_rad) + self.d_m * self.turning_rate(v_rad)
    }

    /// Length of the unshifted envelope from tip to tip.
    pub(crate) fn envelope_length_m(&self) -> f64 {
        let half: f64 = moved(&HALF_FLANK_RULE, 0.0, MIDDLE_RAD)
            .into_iter()
            .map(|(v, weight)| weight * self.envelope_pace_m(v))
            .sum();
        2.0 * half
    }

    /// How far the normal turns from end to end of a flank.
    pub(crate) fn turning_rad(&self) -> f64 {
        2.0 * (FRAC_PI_3 - self.trochoid.k().asin())
    }

    /// Area swept by the radius from one parameter to another on the same half of a flank.
    pub(crate) fn sector_m2(&self, from_rad: f64, to_rad: f64) -> f64 {
        moved(&HALF_FLANK_RULE, from_rad, to_rad)
            .into_iter()
            .map(|(v, weight)| 0.5 * weight * self.pace_m(v) * (self.w_m(v).conj() * self.n(v)).re)
            .sum()
    }

    /// Radius of the outline at an azimuth from a tip.
    pub(crate) fn outline_radius_m(&self, azimuth_rad: f64) -> f64 {
        let azimuth = folded(azimuth_rad);
        let end = self.w_m(0.0);
        if azimuth < end.arg() {
            return end.re / azimuth.cos();
        }
        // The azimuth rises with v: its slope is pace·cos(lean)/radius, and the lean of a
        // flank stays below a right angle.
        let v = rising_zero(0.0, MIDDLE_RAD, |v| {
            let w = self.w_m(v);
            let slope = self.pace_m(v) * (w.conj() * self.n(v)).re / w.norm_sqr();
            (w.arg() - azimuth, slope)
        });
        self.w_m(v).norm()
    }

    /// Parameter, on the first half of a flank, at which it is `radius_m` from the axis; the
    /// radius lies between the middle's and the end's.
    pub(crate) fn parameter_at_radius(&self, radius_m: f64) -> f64 {
        // The radius falls from tip to middle: the normal is ahead of it (test).
        rising_zero(0.0, MIDDLE_RAD, |v| {
            let w = self.w_m(v);
            let slope = self.pace_m(v) * (w.conj() * self.n(v)).im / w.norm();
            (radius_m - w.norm(), slope)
        })
    }
}

/// Azimuth from the nearest tip, 0 to 60 degrees.
fn folded(azimuth_rad: f64) -> f64 {
    let third = 2.0 * FRAC_PI_3;
    let within = azimuth_rad.rem_euclid(third);
    within.min(third - within).max(0.0)
}

fn checked(v: Angle) -> Result<f64, GeometryError> {
    // 60 degrees given in degrees may round to just above π/3.
    let slack_rad = 2.0 * f64::EPSILON;
    if v.to_rad() >= 0.0 && v.to_rad() <= END_RAD + slack_rad {
        Ok(v.to_rad())
    } else {
        Err(GeometryError::FlankParameter(v))
    }
}

#[cfg(test)]
pub(super) mod tests {
    use super::super::gauss::legendre_on;
    use super::*;
    use proptest::prelude::*;

    /// The shift in units of the eccentricity, held below the hollow of a very eccentric bore.
    pub(in super::super) fn flank(e_mm: f64, ratio: f64, shift: f64, gap: f64) -> Flank {
        let (r, e) = (Length::mm(e_mm * ratio), Length::mm(e_mm));
        let unshifted = Trochoid::new(r, e, Length::ZERO).unwrap();
        let hollow = unshifted.hollow_radius().unwrap_or(Length::m(1.0));
        let shift = Length::mm(shift * e_mm).min(hollow * 0.95);
        Flank::new(Trochoid::new(r, e, shift).unwrap(), shift * gap).unwrap()
    }

    proptest! {
        #[test]
        fn the_pace_is_positive_and_the_slope_of_the_curve(
            ratio in 4.001..20.0f64, shift in 0.0..0.3f64, gap in 0.0..1.0f64, v in 0.001..1.046f64,
        ) {
            let flank = flank(15.0, ratio, shift, gap);
            let h = 1e-5;
            let slope = (flank.w_m(v + h) - flank.w_m(v - h)) / (2.0 * h);
            let along = flank.n(v) * Complex::new(0.0, flank.pace_m(v));
            prop_assert!(flank.pace_m(v) > 0.0);
            prop_assert!((slope - along).norm() < 1e-7 * flank.trochoid.r_m());
        }

        #[test]
        fn azimuth_rises_and_radius_falls_from_tip_to_middle(
            ratio in 4.001..20.0f64, shift in 0.0..0.3f64, gap in 0.0..1.0f64,
        ) {
            let flank = flank(15.0, ratio, shift, gap);
            let mut before = flank.w_m(0.0);
            for i in 1..=200 {
                let here = flank.w_m(MIDDLE_RAD * f64::from(i) / 200.0);
                prop_assert!(here.arg() > before.arg());
                prop_assert!(here.norm() < before.norm());
                before = here;
            }
            prop_assert!((before.norm() - flank.middle_radius().to_m()).abs() < 1e-15);
        }

        #[test]
        fn inversions_give_back_the_point(
            ratio in 4.001..20.0f64, shift in 0.0..0.3f64, gap in 0.0..1.0f64,
            v in 0.0..MIDDLE_RAD, turn in -3i32..4,
        ) {
            let flank = flank(15.0, ratio, shift, gap);
            let w = flank.w_m(v);
            let azimuth = w.arg() + f64::from(turn) * 2.0 * FRAC_PI_3;
            prop_assert!((flank.outline_radius_m(azimuth) - w.norm()).abs() < 1e-14);
            prop_assert!((flank.outline_radius_m(-azimuth) - w.norm()).abs() < 1e-14);
            let back = flank.parameter_at_radius(w.norm());
            prop_assert!((flank.w_m(back).norm() - w.norm()).abs() < 1e-16 * 8.0);
        }

        #[test]
        fn area_by_quadrature_is_the_closed_form(
            e in 5.0..25.0f64, ratio in 4.001..20.0f64, shift in 0.0..0.3f64, gap in 0.0..1.0f64,
        ) {
            let flank = flank(e, ratio, shift, gap);
            let end = flank.w_m(0.0);
            let along = 6.0 * (flank.sector_m2(0.0, MIDDLE_RAD) + 0.5 * end.re * end.im);
            prop_assert!((along / flank.outline_area().to_m2() - 1.0).abs() < 1e-13);
            // And by azimuth, through the inversion.
            let polar = |from: f64, to: f64| -> f64 {
                legendre_on(from, to, 40)
                    .into_iter()
                    .map(|(azimuth, w)| 0.5 * w * flank.outline_radius_m(azimuth).powi(2))
                    .sum()
            };
            let polar = 6.0 * (polar(0.0, end.arg()) + polar(end.arg(), FRAC_PI_3));
            prop_assert!((polar / flank.outline_area().to_m2() - 1.0).abs() < 1e-11);
        }
    }

    #[test]
    fn integrals_have_converged_where_the_flank_is_sharpest() {
        let flank = flank(15.0, 4.0001, 0.2, 0.0);
        let dense: f64 = (0..64)
            .flat_map(|i| {
                let width = MIDDLE_RAD / 64.0;
                legendre_on(f64::from(i) * width, f64::from(i + 1) * width, 12)
            })
            .map(|(v, weight)| 2.0 * weight * flank.envelope_pace_m(v))
            .sum();
        assert!((flank.envelope_length_m() / dense - 1.0).abs() < 1e-14);
    }

    #[test]
    fn what_is_no_flank_is_refused() {
        let trochoid = Trochoid::new(Length::mm(105.0), Length::mm(15.0), Length::mm(2.0)).unwrap();
        assert!(Flank::new(trochoid, Length::mm(2.0)).is_ok());
        for (gap, part) in
            [(2.1, "2.100 mm; it must not be more than the parallel shift"), (-0.1, "negative")]
        {
            let message = Flank::new(trochoid, Length::mm(gap)).unwrap_err().to_string();
            assert!(message.contains(part), "{message}");
        }
        assert!(Flank::new(trochoid, Length::mm(f64::NAN)).is_err());
        let flank = Flank::new(trochoid, Length::ZERO).unwrap();
        assert!(flank.point(Angle::deg(60.0)).is_ok());
        for v in [-0.001, 60.001, f64::NAN] {
            assert!(matches!(flank.point(Angle::deg(v)), Err(GeometryError::FlankParameter(_))));
        }
    }
}
