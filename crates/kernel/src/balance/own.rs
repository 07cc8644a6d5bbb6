//! The unbalance of a rotor about its own bore, from readings on a mandrel or on a scale.
//!
//! It turns at a third of the shaft's speed, so no counterweight can balance it.
//!
//! - **Mandrel.** What the machine shows is the mandrel's own unbalance `M` and the rotor's `R`,
//!   turned as the rotor is turned on the mandrel: `V_k = M + R e^{iτ_k}`. Two positions tell them
//!   apart, more check each other [ISO-21940-14], from memory.
//! - **Rollers.** The rotor lies on its axis and rests with one point, level with the axis, on a
//!   scale: the moments about the axis give `w_k = p + (R · u_k)/arm`, `p` being whatever preload
//!   the friction and the rest leave, the same every time. Three points tell `p` and both parts of
//!   `R` apart.

use super::in_planes::largest;
use nalgebra::{Complex, Matrix3, Vector3};
use statrs::distribution::{ChiSquared, ContinuousCDF};
use thiserror::Error;

/// Positions on a mandrel that lie within 10° of each other tell nothing apart: `sin² 5°`.
const APART: f64 = 0.0076;
/// Least determinant of the normal equations of roller readings, of 1 for points all round. Three
/// points within 60° of each other have 0.07.
const LEAST_DETERMINANT: f64 = 0.02;
/// Readings that are this unlikely disagree.
const UNLIKELY: f64 = 1e-3;

/// What a machine showed of a rotor on its mandrel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OnMandrel {
    /// How far the rotor was turned on the mandrel, from the mandrel's mark to tip 1.
    pub turned_rad: f64,
    /// Heavy side, complex from the mandrel's mark.
    pub shown_kg_m: Complex<f64>,
    /// Standard uncertainty of each component.
    pub u_kg_m: f64,
}

/// What a scale showed under one point of a rotor.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OnScale {
    /// The point, from tip 1 towards tip 2.
    pub at_rad: f64,
    /// What it showed.
    pub shown_kg: f64,
}

/// The unbalance of a rotor about its own bore.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OwnUnbalance {
    /// Complex from tip 1 towards tip 2.
    pub vector_kg_m: Complex<f64>,
    /// Standard uncertainty of the component that is known worst, in whatever direction.
    pub u_kg_m: f64,
    /// The mandrel's own, where the readings tell it apart.
    pub mandrel_kg_m: Option<Complex<f64>>,
    /// Whether there are more readings than unknowns, and they disagree by more than chance.
    pub disagrees: bool,
}

/// Why readings give no unbalance.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum OwnError {
    /// There are none.
    #[error("there are no readings")]
    Nothing,
    /// Too few points, or too close to each other.
    #[error(
        "the points on the scale do not tell preload and unbalance apart; read at three points a \
         third of a turn from each other"
    )]
    Points,
}

/// From readings on a mandrel. Where no two positions differ, all that is shown is taken for the
/// rotor's own.
///
/// # Errors
/// [`OwnError::Nothing`] without readings.
pub fn on_mandrel(readings: &[OnMandrel]) -> Result<OwnUnbalance, OwnError> {
    let weighted = |of: &dyn Fn(&OnMandrel) -> Complex<f64>| -> Complex<f64> {
        readings.iter().map(|r| of(r) / (r.u_kg_m * r.u_kg_m)).sum()
    };
    let one = Complex::new(1.0, 0.0);
    let turn = |r: &OnMandrel| Complex::cis(r.turned_rad);
    let (all, turned) = (weighted(&|_| one).re, weighted(&turn));
    if readings.is_empty() {
        return Err(OwnError::Nothing);
    }
    let shown = weighted(&|r| r.shown_kg_m);
    let shown_back = weighted(&|r| r.shown_kg_m * turn(r).conj());
    let determinant = all * all - turned.norm_sqr();
    if determinant < APART * all * all {
        let vector_kg_m = shown_back / all;
        let misfit = |r: &OnMandrel| (r.shown_kg_m - vector_kg_m * turn(r)).norm() / r.u_kg_m;
        return Ok(OwnUnbalance {
            vector_kg_m,
            u_kg_m: (1.0 / all).sqrt(),
            mandrel_kg_m: None,
            disagrees: disagree(readings.iter().map(misfit), 2 * (readings.len() - 1)),
        });
    }
    let mandrel = (shown * all - turned * shown_back) / determinant;
    let vector_kg_m = (shown_back * all - turned.conj() * shown) / determinant;
    let misfit = |r: &OnMandrel| (r.shown_kg_m - mandrel - vector_kg_m * turn(r)).norm() / r.u_kg_m;
    Ok(OwnUnbalance {
        vector_kg_m,
        u_kg_m: (all / determinant).sqrt(),
        mandrel_kg_m: Some(mandrel),
        disagrees: disagree(readings.iter().map(misfit), 2 * readings.len() - 4),
    })
}

/// From readings of a scale that stands `arm_m` from the axis; `u_kg` is the standard uncertainty
/// of one of them.
///
/// # Errors
/// [`OwnError`] where they do not determine it.
pub fn on_scale(readings: &[OnScale], arm_m: f64, u_kg: f64) -> Result<OwnUnbalance, OwnError> {
    if readings.is_empty() {
        return Err(OwnError::Nothing);
    }
    let row = |r: &OnScale| Vector3::new(1.0, r.at_rad.cos(), r.at_rad.sin());
    let normal: Matrix3<f64> = readings.iter().map(|r| row(r) * row(r).transpose()).sum();
    // Points all round have n, n/2, n/2.
    let full = (readings.len() as f64).powi(3) / 4.0;
    let inverse = normal.try_inverse().filter(|_| normal.determinant() > LEAST_DETERMINANT * full);
    let inverse = inverse.ok_or(OwnError::Points)?;
    let shown: Vector3<f64> = readings.iter().map(|r| row(r) * r.shown_kg).sum();
    let found = inverse * shown;
    let misfit = |r: &OnScale| (r.shown_kg - row(r).dot(&found)) / u_kg;
    Ok(OwnUnbalance {
        vector_kg_m: Complex::new(found[1], found[2]) * arm_m,
        u_kg_m: u_kg * arm_m * largest(&inverse.fixed_view::<2, 2>(1, 1).into_owned()).sqrt(),
        mandrel_kg_m: None,
        disagrees: disagree(readings.iter().map(misfit), readings.len() - 3),
    })
}

/// Whether standardised misfits are larger than chance makes them.
fn disagree(misfits: impl Iterator<Item = f64>, freedom: usize) -> bool {
    let square: f64 = misfits.map(|m| m * m).sum();
    freedom > 0 && ChiSquared::new(freedom as f64).is_ok_and(|chi| 1.0 - chi.cdf(square) < UNLIKELY)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;
    use std::f64::consts::{PI, TAU};

    fn mandrel(true_kg_m: Complex<f64>, own: Complex<f64>, turned: &[f64]) -> Vec<OnMandrel> {
        turned
            .iter()
            .map(|t| OnMandrel {
                turned_rad: *t,
                shown_kg_m: own + true_kg_m * Complex::cis(*t),
                u_kg_m: 5e-6,
            })
            .collect()
    }

    #[test]
    fn half_a_turn_tells_the_mandrel_from_the_rotor() {
        let (r, m) = (Complex::from_polar(130e-6, 0.7), Complex::from_polar(45e-6, 4.0));
        let found = on_mandrel(&mandrel(r, m, &[0.0, PI])).unwrap();
        assert!((found.vector_kg_m - r).norm() < 1e-15);
        assert!((found.mandrel_kg_m.unwrap() - m).norm() < 1e-15);
        assert!((found.u_kg_m - 5e-6 / 2f64.sqrt()).abs() < 1e-18);
        assert!(!found.disagrees);
        let alone = on_mandrel(&mandrel(r, m, &[0.3])).unwrap();
        assert_eq!(alone.mandrel_kg_m, None);
        assert!((alone.vector_kg_m - r - m * Complex::cis(-0.3)).norm() < 1e-15);
        assert_eq!(on_mandrel(&[]), Err(OwnError::Nothing));
    }

    #[test]
    fn a_fourth_reading_that_does_not_fit_is_seen() {
        let (r, m) = (Complex::from_polar(130e-6, 0.7), Complex::from_polar(45e-6, 4.0));
        let mut readings = mandrel(r, m, &[0.0, 0.5 * PI, PI, 1.5 * PI]);
        assert!(!on_mandrel(&readings).unwrap().disagrees);
        readings[2].shown_kg_m *= Complex::cis(0.5);
        assert!(on_mandrel(&readings).unwrap().disagrees);
        let mut scale = on_rollers(r, 0.012, 0.085, &[0.0, 1.5, 3.0, 4.5]);
        assert!(!on_scale(&scale, 0.085, 1e-4).unwrap().disagrees);
        scale[1].shown_kg += 5e-3;
        assert!(on_scale(&scale, 0.085, 1e-4).unwrap().disagrees);
    }

    /// Moments about the axis with gravity down: the point at `at` is to the right, level.
    fn on_rollers(r: Complex<f64>, preload_kg: f64, arm_m: f64, at: &[f64]) -> Vec<OnScale> {
        let g = 9.81;
        at.iter()
            .map(|at_rad| {
                // Turned so that the point lies along +x; the mass centre's x is what gravity sees.
                let x_kg_m = (r * Complex::cis(-at_rad)).re;
                let force_n = g * x_kg_m / arm_m;
                OnScale { at_rad: *at_rad, shown_kg: preload_kg + force_n / g }
            })
            .collect()
    }

    #[test]
    fn points_too_close_are_refused() {
        let r = Complex::from_polar(130e-6, 0.7);
        let few = on_rollers(r, 0.01, 0.085, &[0.0, PI]);
        assert_eq!(on_scale(&few, 0.085, 1e-4), Err(OwnError::Points));
        let close = on_rollers(r, 0.01, 0.085, &[0.0, 0.2, 0.4]);
        let said = on_scale(&close, 0.085, 1e-4).unwrap_err().to_string();
        assert!(said.contains("a third of a turn"), "{said}");
    }

    proptest! {
        #[test]
        fn readings_of_a_rotor_give_it_back(
            (amount, angle) in (1e-6..500e-6f64, 0.0..TAU),
            (own, at) in (0.0..300e-6f64, 0.0..TAU),
            turned in prop::collection::vec(0.0..TAU, 0..5), preload in -0.02..0.05f64,
        ) {
            let r = Complex::from_polar(amount, angle);
            let mut turned = turned;
            turned.extend([0.0, 2.2]);
            let found = on_mandrel(&mandrel(r, Complex::from_polar(own, at), &turned)).unwrap();
            prop_assert!((found.vector_kg_m - r).norm() < 1e-9 * (amount + own));
            turned.push(4.2);
            let scale = on_rollers(r, preload, 0.085, &turned);
            let found = on_scale(&scale, 0.085, 1e-4).unwrap();
            prop_assert!((found.vector_kg_m - r).norm() < 1e-9 * (amount + 0.085 * preload.abs()));
        }
    }

    /// The stated uncertainty is the spread of what readings with errors give, for both methods.
    #[test]
    fn the_stated_uncertainty_is_the_spread() {
        use sobol_burley::sample;
        use statrs::distribution::Normal;
        let normal = Normal::standard();
        let r = Complex::from_polar(130e-6, 0.7);
        let turned = [0.0, 0.9, 2.2, 4.0];
        let (n, u, u_kg) = (4000u32, 5e-6, 1e-4);
        let mut squares = [0.0; 2];
        let (mut stated, mut stated_scale) = (0.0, 0.0);
        for i in 0..n {
            let error =
                |k: u32| normal.inverse_cdf(f64::from(sample(i, k, 7)).clamp(1e-9, 1.0 - 1e-9));
            let mut on = mandrel(r, Complex::new(2e-5, 0.0), &turned);
            for (k, reading) in (0u32..).zip(on.iter_mut()) {
                reading.shown_kg_m += Complex::new(error(2 * k), error(2 * k + 1)) * u;
            }
            let found = on_mandrel(&on).unwrap();
            squares[0] += (found.vector_kg_m - r).norm_sqr() / 2.0;
            stated = found.u_kg_m;
            let mut scale = on_rollers(r, 0.01, 0.085, &turned);
            for (k, reading) in (8u32..).zip(scale.iter_mut()) {
                reading.shown_kg += error(k) * u_kg;
            }
            let found = on_scale(&scale, 0.085, u_kg).unwrap();
            squares[1] += (found.vector_kg_m - r).norm_sqr() / 2.0;
            stated_scale = found.u_kg_m;
        }
        let [spread, spread_scale] = squares.map(|s| (s / f64::from(n)).sqrt());
        assert!((spread / stated - 1.0).abs() < 0.05, "{spread:e} {stated:e}");
        // The larger of the two components is stated; the mean of both is a little less.
        let share = spread_scale / stated_scale;
        assert!((0.80..1.02).contains(&share), "{spread_scale:e} {stated_scale:e}");
    }
}
