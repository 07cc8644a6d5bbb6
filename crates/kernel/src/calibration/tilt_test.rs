//! What tilt tests in a clamped housing say of the scale of tilt.
//!
//! Test `i` moves its tip by `y`, predicted to be `p`. With one factor `S` for all tests of a shop,
//! `y = S p + noise`, so that together they know `S` as the weighted mean does:
//! `S = Σ w p y / Σ w p²`, `w` one over the variance of `y`. What a housing at rest and clamped cold
//! does is not what an engine does that runs: `ln S = ln s_tilt + δ`, with one `δ` for the shop. It is
//! integrated out, over all that both may be, and the result is kept as a table in `ln s_tilt`, which
//! is smooth over the spread of `δ`.

use super::priors::Priors;
use super::seen::TiltTest;
use std::ops::RangeInclusive;

/// Spreads of the prior that the table reaches on either side.
const REACH: f64 = 8.5;

/// Entries of the table; a spread of δ is wide against their distance.
const ENTRIES: usize = 801;

/// Points per least width of what is integrated over δ. Trapezoids over a function that falls off
/// as a normal one are off by e^(−2π² · 9) at three points per standard deviation.
const POINTS_PER_WIDTH: f64 = 3.0;

/// Tests this sharp, of what they measured, are summed over the factor: it stays above nothing within
/// [`WIDE`] of its uncertainty.
const SHARP: f64 = 0.05;

/// Standard deviations that are integrated over.
const WIDE: f64 = 9.0;

/// What all tests together measured.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Measured {
    /// Movement over the predicted one, in the clamped housing.
    pub factor: f64,
    /// Its standard uncertainty from readings and loads.
    pub u: f64,
    /// Weighted squares of the tests' differences from it, over tests less one: about one where
    /// they agree. Nothing from a single test.
    pub disagreement: Option<f64>,
}

/// The weighted mean of the tests, which have been checked; nothing without tests.
pub(super) fn measured(tests: &[TiltTest]) -> Option<Measured> {
    let (mut weight, mut sum) = (0.0, 0.0);
    for test in tests {
        let Test { predicted, moved, variance } = Test::of(test);
        weight += predicted * predicted / variance;
        sum += predicted * moved / variance;
    }
    if weight <= 0.0 {
        return None;
    }
    let factor = sum / weight;
    let squares: f64 = tests
        .iter()
        .map(|test| {
            let Test { predicted, moved, variance } = Test::of(test);
            (moved - factor * predicted).powi(2) / variance
        })
        .sum();
    let more = tests.len().saturating_sub(1);
    let disagreement = (more > 0).then(|| squares / more as f64);
    Some(Measured { factor, u: weight.sqrt().recip(), disagreement })
}

struct Test {
    predicted: f64,
    moved: f64,
    variance: f64,
}

impl Test {
    fn of(test: &TiltTest) -> Self {
        let count = test.moved_m.len() as f64;
        let moved = test.moved_m.iter().sum::<f64>() / count;
        // Movements that scatter by more than was said are known no better than they scatter.
        let scattered = if test.moved_m.len() > 1 {
            test.moved_m.iter().map(|m| (m - moved).powi(2)).sum::<f64>() / (count - 1.0)
        } else {
            0.0
        };
        let variance = (test.u_moved_m * test.u_moved_m).max(scattered) / count
            + test.u_shared_m * test.u_shared_m;
        Self { predicted: test.predicted_m, moved, variance }
    }
}

/// Logarithm of the likelihood of all tests, over `ln s_tilt`.
#[derive(Debug, Clone)]
pub(super) struct AtRest {
    /// Per entry; empty without tests.
    table: Vec<f64>,
    first: f64,
    spacing: f64,
}

impl AtRest {
    pub(super) fn of(tests: &[TiltTest], priors: &Priors) -> Self {
        let first = -REACH * priors.tilt_log_sd;
        let spacing = -2.0 * first / (ENTRIES - 1) as f64;
        let table = measured(tests).map_or_else(Vec::new, |measured| {
            (0..ENTRIES)
                .map(|k| {
                    log_likelihood(first + k as f64 * spacing, measured, priors.at_rest_log_sd)
                })
                .collect()
        });
        Self { table, first, spacing }
    }

    /// At a logarithm of the scale of tilt: the cubic through four entries.
    pub(super) fn at(&self, log_tilt: f64) -> f64 {
        if self.table.len() < 4 {
            return 0.0;
        }
        let at = (log_tilt - self.first) / self.spacing;
        let k = (at.max(1.0) as usize).min(self.table.len() - 3);
        let t = at - k as f64;
        let [a, b, c, d] = [-1, 0, 1, 2].map(|i: isize| self.table[k.saturating_add_signed(i)]);
        let from_b = 0.5 * (c - a);
        let from_c = 0.5 * (d - b);
        let rise = c - b;
        b + t
            * (from_b
                + t * (3.0 * rise - 2.0 * from_b - from_c + t * (from_b + from_c - 2.0 * rise)))
    }
}

/// `ln ∫ exp(−(e^(a+δ) − S)²/2u²) N(δ; 0, σ) dδ`, up to a constant. Even points are laid over what is
/// the narrower of the two: over the factor where the tests are sharp, else over `δ`.
fn log_likelihood(log_tilt: f64, measured: Measured, spread: f64) -> f64 {
    let Measured { factor, u, .. } = measured;
    if u < SHARP * factor {
        let step = u / POINTS_PER_WIDTH;
        let half = (WIDE * POINTS_PER_WIDTH) as i32;
        return sum(step, -half..=half, |k| {
            let x = factor + k * step;
            let (off, delta) = (k * step / u, (x.ln() - log_tilt) / spread);
            -0.5 * (off * off + delta * delta) - x.ln()
        });
    }
    let reach = WIDE * spread;
    // The slope of e^t is steepest where both may be largest.
    let steepest = (log_tilt + reach).exp().min(factor.max(0.0) + WIDE * u);
    let width = spread.recip().hypot(steepest / u).recip();
    let half = (reach * POINTS_PER_WIDTH / width).ceil();
    let step = reach / half;
    let half = half as i32;
    sum(step, -half..=half, |k| {
        let delta = k * step;
        let off = ((log_tilt + delta).exp() - factor) / u;
        -0.5 * (off * off + (delta / spread).powi(2))
    })
}

/// Logarithm of a sum of exponentials times the step.
fn sum(step: f64, points: RangeInclusive<i32>, log: impl Fn(f64) -> f64) -> f64 {
    let values = || points.clone().map(|k| log(f64::from(k)));
    let most = values().fold(f64::NEG_INFINITY, f64::max);
    most + (values().map(|value| (value - most).exp()).sum::<f64>() * step).ln()
}

#[cfg(test)]
mod tests {
    use super::{AtRest, measured};
    use crate::calibration::{ASSUMED, TiltTest};

    /// Predicted to move by 50 µm.
    fn test(moved_m: f64, u_m: f64) -> TiltTest {
        TiltTest {
            predicted_m: 50e-6,
            moved_m: vec![moved_m],
            u_moved_m: 2f64.sqrt() * u_m,
            u_shared_m: 0.0,
        }
    }

    #[test]
    fn tests_are_weighed() {
        let both = [test(55e-6, 1e-6), test(50e-6, 2e-6)];
        let found = measured(&both).unwrap();
        // Weights four to one: (4 · 1.1 + 1.0)/5.
        assert!((found.factor - 1.08).abs() < 1e-12);
        // √2 µm of 50 is the one's uncertainty; together it is √(4/5) of that.
        let u = 2f64.sqrt() / 50.0 * 0.8f64.sqrt();
        assert!((found.u - u).abs() < 1e-12);
        // 1 µm off with √2, 4 µm with 2√2: 0.5 + 2.
        assert!((found.disagreement.unwrap() - 2.5).abs() < 1e-9);
        assert_eq!(measured(&[]), None);
        // Loads known to 10 % of what they move.
        let mut loads = test(50e-6, 1e-12);
        loads.u_shared_m = 5e-6;
        assert!((measured(&[loads]).unwrap().u - 0.1).abs() < 1e-9);
        let mut repeated = test(50e-6, 1e-9);
        repeated.moved_m = vec![49e-6, 51e-6];
        // Scatter √2 µm, of the mean 1 µm.
        assert!((measured(&[repeated]).unwrap().u - 0.02).abs() < 1e-9);
    }

    /// A test that is read well is a normal likelihood of the logarithm, δ's spread its own.
    #[test]
    fn a_sharp_test_has_its_closed_form() {
        let at_rest = AtRest::of(&[test(60e-6, 1e-9)], &ASSUMED);
        let at = |log: f64| at_rest.at(log) - at_rest.at(1.2f64.ln());
        for log in [-1.0, -0.3, 0.0, 0.1, 0.5, 1.1] {
            let exact = -0.5 * ((log - 1.2f64.ln()) / 0.25f64).powi(2);
            assert!(
                (at(log) - exact).abs() < 1e-5 * (1.0 + exact.abs()),
                "{log} {} {exact}",
                at(log)
            );
        }
    }

    /// One that is read badly, against a sum of a hundred thousand points.
    #[test]
    fn a_blunt_test_is_integrated() {
        let at_rest = AtRest::of(&[test(60e-6, 15e-6)], &ASSUMED);
        let u = 15e-6 * 2f64.sqrt() / 50e-6;
        let exact = |a: f64| {
            let n = 100_000;
            let sum: f64 = (0..=n)
                .map(|k| {
                    let delta = (f64::from(k) / f64::from(n) - 0.5) * 5.0;
                    let off = ((a + delta).exp() - 1.2) / u;
                    (-0.5 * (off * off + (delta / 0.25).powi(2))).exp()
                })
                .sum();
            (sum * 5.0 / f64::from(n)).ln()
        };
        for log in [-1.5, -0.4, 0.05, 0.31, 0.9, 1.7] {
            let got = at_rest.at(log);
            assert!((got - exact(log)).abs() < 1e-6 * (1.0 + got.abs()), "{log}: {got}");
        }
    }

    #[test]
    fn without_tests_nothing_is_said() {
        assert_eq!(AtRest::of(&[], &ASSUMED).at(0.4), 0.0);
    }
}
