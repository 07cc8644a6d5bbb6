//! Gas beside the rotor: the share of a chamber's pressure that pushes it to one wall.
//!
//! Between flank and side seal gas stands on both side faces; where a corner seal or a groove
//! leaks on one side only, a share `χ` of the pressure is not balanced. Over the area `A_s` of one
//! flank's edge, at the radius `r_s` of its centroid, it pushes with `±χ·(p − p_0)·A_s` towards
//! the rear (+) or the front (−). A point `(X, Y)` of a rotor with slopes `t` moves axially by
//! `z − t_x·X − t_y·Y`, so the moment that belongs to the slopes is `m = −F_z·(X + i·Y)`.

use super::super::range::within;
use super::error::SpinError;
use crate::speed::gas::{CYCLE_DEG, RotorGas, flank_direction, own_deg};
use nalgebra::Complex;

/// The edge of a flank and what of the pressure on it is not balanced.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SideGas {
    /// Share of the pressure that is not balanced, from −1 (all to the front) to 1 (all to the
    /// rear).
    pub share: f64,
    /// Area between a flank and its side seal, one face, m².
    pub area_m2: f64,
    /// Distance of its centroid from the rotor's axis, m.
    pub radius_m: f64,
}

/// What it does, at each degree of the rotor's own angle over 1080.
#[derive(Debug, Clone, PartialEq)]
pub struct SideLoad {
    /// Axial force, N, positive to the rear.
    pub axial_n: Vec<f64>,
    /// Moment that belongs to the rotor's slopes, `m_x + i·m_y`, N m.
    pub tilt_n_m: Vec<Complex<f64>>,
}

impl SideGas {
    /// Share that is not balanced unless somebody knows better: common practice, no source.
    pub const USUAL_SHARE: f64 = 0.1;

    /// A strip between flank and side seal of this width along the whole flank of a rotor of
    /// generating radius `R` and eccentricity `e`, m, a share [`SideGas::USUAL_SHARE`] to the
    /// rear: strip width times `√3·R`, near the flank's middle, `R − 2e`, two thirds and near its
    /// tips, `R`, one third. Common practice, no source.
    #[must_use]
    pub fn usual(generating_radius_m: f64, eccentricity_m: f64, strip_m: f64) -> Self {
        Self {
            share: Self::USUAL_SHARE,
            area_m2: strip_m * 3f64.sqrt() * generating_radius_m,
            // The chord's own centroid is R/2 away; the flank bulges out from it to R − 2e.
            radius_m: generating_radius_m / 6.0
                + (generating_radius_m - 2.0 * eccentricity_m) / 1.5,
        }
    }

    /// Force and moment.
    ///
    /// # Errors
    /// A value outside its limits.
    pub fn load(&self, gas: &RotorGas) -> Result<SideLoad, SpinError> {
        within("the share of side gas", self.share, "", (-1.0, 1.0))?;
        within("the area beside a flank", self.area_m2, "m2", (0.0, 1.0))?;
        within("the radius of the area beside a flank", self.radius_m, "m", (0.0, 10.0))?;
        let mut axial_n = Vec::with_capacity(CYCLE_DEG);
        let mut tilt_n_m = Vec::with_capacity(CYCLE_DEG);
        for theta in 0..CYCLE_DEG {
            let (mut axial, mut tilt) = (0.0, Complex::new(0.0, 0.0));
            for c in 0..3 {
                let force = self.share * self.area_m2 * gas.over_pa(c)[theta];
                axial += force;
                tilt -= force * self.radius_m * flank_direction(own_deg(theta, c));
            }
            axial_n.push(axial);
            tilt_n_m.push(tilt);
        }
        Ok(SideLoad { axial_n, tilt_n_m })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::speed::gas::{ChamberForm, GasChamber, Trace};

    fn gas() -> RotorGas {
        let chamber = GasChamber::new(ChamberForm {
            generating_radius_m: 0.105,
            eccentricity_m: 0.015,
            width_m: 0.08,
            compression_ratio: 9.0,
        })
        .unwrap();
        let bump = |d: f64| 1e5 + 60e5 * (-((d - 30.0) / 40.0).powi(2)).exp();
        let trace = Trace::measured((0..1080).map(|d| bump(f64::from(d))).collect()).unwrap();
        RotorGas::alike(chamber, &trace, 1e5).unwrap()
    }

    #[test]
    fn the_moment_follows_the_force_across_the_shaft() {
        // Both are the same sum of arrows, so m = χ·A_s·r_s/(√3·R·b)·F.
        let (gas, side) = (gas(), SideGas { share: 0.1, area_m2: 1.2e-3, radius_m: 0.068 });
        let load = side.load(&gas).unwrap();
        let ratio = 0.1 * 1.2e-3 * 0.068 / gas.chamber().flank_area_m2();
        for (m, f) in load.tilt_n_m.iter().zip(gas.force_n()) {
            assert!((m - f * ratio).norm() < 1e-10);
        }
    }

    #[test]
    fn the_moment_is_the_work_done_on_a_slope_and_turns_with_the_wall() {
        let side = SideGas { share: -0.2, area_m2: 1.2e-3, radius_m: 0.068 };
        let gas = gas();
        let load = side.load(&gas).unwrap();
        assert!(load.axial_n.iter().all(|f| *f <= 0.0));
        // At 30 degrees one chamber alone has pressure; its flank points to 100 degrees.
        let place = 0.068 * Complex::cis(100f64.to_radians());
        let slope = Complex::new(2e-4, -5e-4);
        let moved = -(slope.re * place.re + slope.im * place.im);
        let work = load.axial_n[30] * moved;
        let given = load.tilt_n_m[30].re * slope.re + load.tilt_n_m[30].im * slope.im;
        assert!((work / given - 1.0).abs() < 1e-9);
        let other = SideGas { share: 0.2, ..side }.load(&gas).unwrap();
        assert_eq!(other.axial_n[30], -load.axial_n[30]);
        assert!(SideGas { share: 1.5, ..side }.load(&gas).is_err());
    }

    #[test]
    fn the_usual_strip_lies_between_the_middle_and_the_tips() {
        let side = SideGas::usual(0.105, 0.015, 0.006);
        assert!((0.06..0.105).contains(&side.radius_m));
    }
}
