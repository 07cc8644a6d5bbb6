//! The bore of a rotor housing: the path of the tips' centres, moved outward by the shift.
//!
//! With the parameter `t`, the direction in which the tip that touches there points:
//! `z(t) = e·exp(3it) + R·exp(it)` and the outward unit normal
//! `n(t) = exp(it)·(R + 3e·exp(2it)) / |…|` [YAMAMOTO], [ANSDALE] (both from memory, derived
//! again). The bore is `z + a·n`. Its area and length follow from those of `z` by the rules for
//! parallel curves (Steiner), since the normal turns once in a round.

use super::elliptic::{complete_e, incomplete_e};
use super::point::EnginePoint;
use super::root::rising_zero;
use super::trochoid::Trochoid;
use crate::units::{Angle, Area, Length, Speed};
use nalgebra::Complex;
use std::f64::consts::PI;

/// The bore of a rotor housing, in engine axes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bore {
    trochoid: Trochoid,
}

impl Bore {
    /// The bore that belongs to these lengths.
    #[must_use]
    pub const fn of(trochoid: Trochoid) -> Self {
        Self { trochoid }
    }

    /// Where the tip's centre is when the tip points to `t`: a point of the unshifted curve.
    #[must_use]
    pub fn generating_point(&self, t: Angle) -> EnginePoint {
        EnginePoint::from_complex_m(self.z_m(t.to_rad()))
    }

    /// The point of the bore that the apex seal touches when the tip points to `t`.
    #[must_use]
    pub fn point(&self, t: Angle) -> EnginePoint {
        EnginePoint::from_complex_m(self.shifted_m(t.to_rad()))
    }

    /// Outward unit normal at `t`, `[x, y]`.
    #[must_use]
    pub fn normal(&self, t: Angle) -> [f64; 2] {
        let n = self.n(t.to_rad());
        [n.re, n.im]
    }

    /// Leaning angle at `t`: from the direction of the tip to the normal of the bore, positive
    /// counter-clockwise. Nothing at the ends of both axes of the bore.
    #[must_use]
    pub fn lean(&self, t: Angle) -> Angle {
        Angle::rad(self.lean_rad(t.to_rad()))
    }

    /// Greatest leaning angle, `asin(3e/R)` [YAMAMOTO].
    #[must_use]
    pub fn greatest_lean(&self) -> Angle {
        Angle::rad(self.trochoid.k().asin())
    }

    /// Where it leans most, in the first quadrant: `cos 2t = −3e/R` [YAMAMOTO].
    #[must_use]
    pub fn greatest_lean_at(&self) -> Angle {
        Angle::rad(0.5 * (-self.trochoid.k()).acos())
    }

    /// Curvature of the bore at `t`, per metre; negative where it is hollow.
    /// `κ = κ₀/(1 + aκ₀)`, `κ₀ = (R² + 27e² + 12eR cos 2t)/(R² + 9e² + 6eR cos 2t)^1.5`.
    #[must_use]
    pub fn curvature_per_m(&self, t: Angle) -> f64 {
        let turning = self.turning(t.to_rad());
        turning / (self.pace_m(t.to_rad()) + self.trochoid.a_m() * turning)
    }

    /// Area inside the bore: `π(R² + 3e²) + aL + πa²` with `L` the unshifted perimeter.
    #[must_use]
    pub fn area(&self) -> Area {
        let (r_m, e_m, a_m) = (self.trochoid.r_m(), self.trochoid.e_m(), self.trochoid.a_m());
        let plain_m2 = PI * (r_m * r_m + 3.0 * e_m * e_m);
        Area::m2(plain_m2 + a_m * self.generating_perimeter_m() + PI * a_m * a_m)
    }

    /// Length of the bore once round: `4(R + 3e)·E(m) + 2πa`, `m = 12eR/(R + 3e)²`.
    #[must_use]
    pub fn perimeter(&self) -> Length {
        Length::m(self.generating_perimeter_m() + 2.0 * PI * self.trochoid.a_m())
    }

    /// Length along the bore from `from` to `to`; negative when `to` is before `from`.
    #[must_use]
    pub fn arc(&self, from: Angle, to: Angle) -> Length {
        let (from, to) = (from.to_rad(), to.to_rad());
        let turned_rad = to - from + self.lean_rad(to) - self.lean_rad(from);
        Length::m(self.generating_arc_m(from, to) + self.trochoid.a_m() * turned_rad)
    }

    /// How far an apex seal rubs along the bore per radian of the shaft when its tip points to
    /// `t`: `(|dz/dt| + a)/3`, the motion of the seal's own metal where it touches. The crown
    /// rolls while it rubs, so the place of contact travels differently
    /// ([`Bore::contact_travel_per_radian`]).
    #[must_use]
    pub fn sliding_per_radian(&self, t: Angle) -> Length {
        Length::m((self.pace_m(t.to_rad()) + self.trochoid.a_m()) / 3.0)
    }

    /// Sliding speed of an apex seal, metres per second, at a speed of the shaft.
    #[must_use]
    pub fn sliding_speed_m_per_s(&self, t: Angle, shaft: Speed) -> f64 {
        self.sliding_per_radian(t).to_m() * shaft.to_rad_per_s()
    }

    /// How far the place of contact of an apex seal travels along the bore per radian of the
    /// shaft.
    #[must_use]
    pub fn contact_travel_per_radian(&self, t: Angle) -> Length {
        let t = t.to_rad();
        Length::m((self.pace_m(t) + self.trochoid.a_m() * self.turning(t)) / 3.0)
    }

    /// Whether a point of the plane across the shaft lies within the bore, its edge included.
    #[must_use]
    pub fn holds(&self, point: EnginePoint) -> bool {
        let p_m = Complex::new(point.x.to_m(), point.y.to_m());
        p_m.norm() <= self.radius_towards_m(p_m.arg())
    }

    /// Radius of the bore from the shaft's axis in a direction. The bore is a star about that
    /// axis: its azimuth rises with `t` (test), and stays within a radian of it.
    pub(crate) fn radius_towards_m(&self, direction_rad: f64) -> f64 {
        let back = Complex::cis(-direction_rad);
        let t = rising_zero(direction_rad - 1.0, direction_rad + 1.0, |t| {
            let seen = self.shifted_m(t) * back;
            let pace_m = self.pace_m(t) + self.trochoid.a_m() * self.turning(t);
            let slope = pace_m * (seen.conj() * self.n(t) * back).re / seen.norm_sqr();
            (seen.arg(), slope)
        });
        self.shifted_m(t).norm()
    }

    /// Unshifted point, metres.
    pub(crate) fn z_m(&self, t_rad: f64) -> Complex<f64> {
        Complex::from_polar(self.trochoid.e_m(), 3.0 * t_rad)
            + Complex::from_polar(self.trochoid.r_m(), t_rad)
    }

    /// Shifted point, metres.
    pub(crate) fn shifted_m(&self, t_rad: f64) -> Complex<f64> {
        self.z_m(t_rad) + self.n(t_rad) * self.trochoid.a_m()
    }

    /// Outward unit normal.
    pub(crate) fn n(&self, t_rad: f64) -> Complex<f64> {
        let across = self.across(t_rad);
        Complex::cis(t_rad) * across / across.norm()
    }

    /// `R + 3e·exp(2it)`, never nothing: the normal seen from the tip's direction.
    fn across(&self, t_rad: f64) -> Complex<f64> {
        self.trochoid.r_m() + Complex::from_polar(3.0 * self.trochoid.e_m(), 2.0 * t_rad)
    }

    /// Leaning angle.
    pub(crate) fn lean_rad(&self, t_rad: f64) -> f64 {
        self.across(t_rad).arg()
    }

    /// `|dz/dt|`.
    pub(crate) fn pace_m(&self, t_rad: f64) -> f64 {
        self.across(t_rad).norm()
    }

    /// How fast the normal turns with `t`: `κ₀·|dz/dt|`.
    fn turning(&self, t_rad: f64) -> f64 {
        let (r_m, e_m) = (self.trochoid.r_m(), self.trochoid.e_m());
        let c = (2.0 * t_rad).cos();
        (r_m * r_m + 27.0 * e_m * e_m + 12.0 * e_m * r_m * c)
            / (r_m * r_m + 9.0 * e_m * e_m + 6.0 * e_m * r_m * c)
    }

    fn elliptic_m(&self) -> f64 {
        let (r_m, e_m) = (self.trochoid.r_m(), self.trochoid.e_m());
        12.0 * e_m * r_m / (r_m + 3.0 * e_m).powi(2)
    }

    fn generating_perimeter_m(&self) -> f64 {
        let (r_m, e_m) = (self.trochoid.r_m(), self.trochoid.e_m());
        4.0 * (r_m + 3.0 * e_m) * complete_e(self.elliptic_m())
    }

    /// Length of the unshifted curve between two parameters.
    pub(crate) fn generating_arc_m(&self, from_rad: f64, to_rad: f64) -> f64 {
        let m = self.elliptic_m();
        let scale_m = self.trochoid.r_m() + 3.0 * self.trochoid.e_m();
        scale_m * (incomplete_e(to_rad, m) - incomplete_e(from_rad, m))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn trochoid(e_mm: f64, ratio: f64, shift: f64) -> Trochoid {
        let r_mm = e_mm * ratio;
        Trochoid::new(Length::mm(r_mm), Length::mm(e_mm), Length::mm(shift * e_mm)).unwrap()
    }

    proptest! {
        #[test]
        fn the_normal_is_square_to_the_curve_and_of_length_one(
            e in 1.0..50.0f64, ratio in 4.2..14.0f64, shift in 0.0..0.2f64, t in -10.0..10.0f64,
        ) {
            let bore = Bore::of(trochoid(e, ratio, shift));
            let h = 1e-5;
            let along = (bore.shifted_m(t + h) - bore.shifted_m(t - h)) / (2.0 * h);
            let n = bore.n(t);
            prop_assert!((n.norm() - 1.0).abs() < 1e-14);
            // Central difference: h² against a third derivative of some 100 R.
            let scale = bore.trochoid.r_m();
            prop_assert!((n.conj() * along).re.abs() < 1e-7 * scale);
            let per_shaft_radian = bore.contact_travel_per_radian(Angle::rad(t)).to_m();
            prop_assert!((along.norm() / 3.0 - per_shaft_radian).abs() < 1e-7 * scale);
        }

        #[test]
        fn area_and_length_are_those_of_a_dense_polygon(
            e in 5.0..30.0f64, ratio in 4.5..12.0f64, shift in 0.0..0.2f64,
        ) {
            let bore = Bore::of(trochoid(e, ratio, shift));
            let n = 4000;
            let at = |i: usize| bore.shifted_m(std::f64::consts::TAU * (i % n) as f64 / n as f64);
            let (mut area, mut length) = (0.0, 0.0);
            for i in 0..n {
                area += 0.5 * (at(i).conj() * at(i + 1)).im;
                length += (at(i + 1) - at(i)).norm();
            }
            // A chord of angle δ misses δ²/6 of its sector and δ²/24 of its arc, δ the local
            // turn, at most 2.5·2π/n here.
            prop_assert!((area / bore.area().to_m2() - 1.0).abs() < 3e-6);
            prop_assert!((length / bore.perimeter().to_m() - 1.0).abs() < 1e-6);
            let parts = bore.arc(Angle::deg(10.0), Angle::deg(200.0))
                + bore.arc(Angle::deg(200.0), Angle::deg(370.0));
            prop_assert!((parts / bore.perimeter() - 1.0).abs() < 1e-13);
        }

        #[test]
        fn the_seal_rubs_as_a_rigid_rotor_carries_it(
            ratio in 4.5..12.0f64, shift in 0.0..0.2f64, t in 0.0..6.3f64,
        ) {
            // The point of the crown that touches, fixed to the rotor, a moment before and after.
            let bore = Bore::of(trochoid(15.0, ratio, shift));
            let (r, e) = (bore.trochoid.r_m(), bore.trochoid.e_m());
            let fixed = (bore.shifted_m(t) - Complex::from_polar(e, 3.0 * t)) * Complex::cis(-t);
            let at = |t: f64| Complex::from_polar(e, 3.0 * t) + fixed * Complex::cis(t);
            let h = 1e-5;
            let velocity = (at(t + h) - at(t - h)) / (2.0 * h);
            let along = (velocity * (bore.n(t) * Complex::i()).conj()).re / 3.0;
            prop_assert!((along - bore.sliding_per_radian(Angle::rad(t)).to_m()).abs() < 1e-8 * r);
            // It neither leaves the bore nor digs in.
            prop_assert!((velocity * bore.n(t).conj()).re.abs() < 1e-8 * r);
        }
    }

    proptest! {
        #[test]
        fn a_direction_finds_its_point(
            ratio in 4.2..14.0f64, shift in 0.0..0.29f64, t in -7.0..7.0f64,
        ) {
            let bore = Bore::of(trochoid(15.0, ratio, shift));
            let p = bore.shifted_m(t);
            prop_assert!((bore.radius_towards_m(p.arg()) - p.norm()).abs() < 1e-15 * 4.0);
            // A star: the outward normal never points back to the axis.
            prop_assert!((p.conj() * bore.n(t)).re > 0.0);
            prop_assert!((p * Complex::cis(-t)).arg().abs() < 1.0);
            let at = |factor: f64| EnginePoint::from_complex_m(p * factor);
            prop_assert!(bore.holds(at(1.0 - 1e-12)) && !bore.holds(at(1.0 + 1e-12)));
        }
    }

    #[test]
    fn it_leans_most_where_it_says() {
        let bore = Bore::of(trochoid(15.0, 7.0, 0.1));
        let most = bore.greatest_lean().to_rad();
        assert!((bore.lean(bore.greatest_lean_at()).to_rad() - most).abs() < 1e-14);
        assert!((0..3600).all(|i| bore.lean_rad(f64::from(i) * 1e-3).abs() <= most + 1e-15));
    }

    #[test]
    fn the_shifted_curvature_is_that_of_the_parallel_curve() {
        let (plain, shifted) =
            (Bore::of(trochoid(15.0, 7.0, 0.0)), Bore::of(trochoid(15.0, 7.0, 0.2)));
        for t in [0.0, 0.3, 1.0, 1.4, 1.57] {
            let (r0, r1) = (
                1.0 / plain.curvature_per_m(Angle::rad(t)),
                1.0 / shifted.curvature_per_m(Angle::rad(t)),
            );
            assert!((r1 - r0 - 0.003).abs() < 1e-12 * r0.abs().max(1.0), "{t}");
        }
    }
}
