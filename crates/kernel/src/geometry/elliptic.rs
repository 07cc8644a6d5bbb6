//! Elliptic integrals of the second kind, for the length of the bore.
//!
//! The parameter is `m = k²` as in [AS] 17.2, not the modulus `k`. Complete integral by the
//! arithmetic-geometric mean; incomplete by Carlson's symmetric forms [CARLSON]. Both run a
//! fixed number of steps: for `0 ≤ m < 1 − 1/49`, which is all that a bore with `R > 4e` can ask
//! for (`1 − m = ((R − 3e)/(R + 3e))²`), they have converged to the last bits before the end.

use std::f64::consts::{FRAC_PI_2, PI};

/// Quadratic convergence from a ratio of 1/7: five steps reach 1e-16, the rest are no-ops.
const MEAN_STEPS: usize = 8;

/// Each step quarters the spread, the series' first neglected term is its sixth power:
/// `(4^-9)^6 < 1e-32`.
const DUPLICATIONS: usize = 9;

/// Complete elliptic integral of the second kind `E(m)` [AS] 17.6.
pub(super) fn complete_e(m: f64) -> f64 {
    let (mut a, mut b) = (1.0, (1.0 - m).sqrt());
    let mut sum = 0.5 * m;
    let mut power = 0.5;
    for _ in 0..MEAN_STEPS {
        let c = 0.5 * (a - b);
        (a, b) = (0.5 * (a + b), (a * b).sqrt());
        power *= 2.0;
        sum += power * c * c;
    }
    FRAC_PI_2 / a * (1.0 - sum)
}

/// Incomplete elliptic integral of the second kind `E(φ, m)`, any finite `φ`.
pub(super) fn incomplete_e(phi_rad: f64, m: f64) -> f64 {
    // E(φ + nπ) = E(φ) + 2nE: bring φ to −90°..90°, where the symmetric form holds.
    let half_turns = (phi_rad / PI).round();
    let (s, c) = (phi_rad - half_turns * PI).sin_cos();
    let rest = 1.0 - m * s * s;
    let part = s * (rf(c * c, rest, 1.0) - m / 3.0 * s * s * rd(c * c, rest, 1.0));
    if half_turns == 0.0 { part } else { part + 2.0 * half_turns * complete_e(m) }
}

/// Carlson's `R_F` [CARLSON].
fn rf(mut x: f64, mut y: f64, mut z: f64) -> f64 {
    for _ in 0..DUPLICATIONS {
        let lambda = (x * y).sqrt() + (y * z).sqrt() + (z * x).sqrt();
        (x, y, z) = (0.25 * (x + lambda), 0.25 * (y + lambda), 0.25 * (z + lambda));
    }
    let mean = (x + y + z) / 3.0;
    let (dx, dy) = (1.0 - x / mean, 1.0 - y / mean);
    let dz = -dx - dy;
    let (e2, e3) = (dx * dy - dz * dz, dx * dy * dz);
    (1.0 - e2 / 10.0 + e3 / 14.0 + e2 * e2 / 24.0 - 3.0 * e2 * e3 / 44.0) / mean.sqrt()
}

/// Carlson's `R_D` [CARLSON].
fn rd(mut x: f64, mut y: f64, mut z: f64) -> f64 {
    let (mut sum, mut power) = (0.0, 1.0);
    for _ in 0..DUPLICATIONS {
        let lambda = (x * y).sqrt() + (y * z).sqrt() + (z * x).sqrt();
        sum += power / (z.sqrt() * (z + lambda));
        power *= 0.25;
        (x, y, z) = (0.25 * (x + lambda), 0.25 * (y + lambda), 0.25 * (z + lambda));
    }
    let mean = (x + y + 3.0 * z) / 5.0;
    let (dx, dy) = (1.0 - x / mean, 1.0 - y / mean);
    let dz = -(dx + dy) / 3.0;
    let e2 = dx * dy - 6.0 * dz * dz;
    let e3 = (3.0 * dx * dy - 8.0 * dz * dz) * dz;
    let e4 = 3.0 * (dx * dy - dz * dz) * dz * dz;
    let e5 = dx * dy * dz * dz * dz;
    let series = 1.0 - 3.0 * e2 / 14.0 + e3 / 6.0 + 9.0 * e2 * e2 / 88.0
        - 3.0 * e4 / 22.0
        - 9.0 * e2 * e3 / 52.0
        + 3.0 * e5 / 26.0;
    3.0 * sum + power * series / (mean * mean.sqrt())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ends_of_the_range() {
        assert!((complete_e(0.0) - FRAC_PI_2).abs() < 1e-15);
        // E(1/2) = 1.3506438810476755 [AS] table 17.1, from memory; computed.
        assert!((complete_e(0.5) - 1.350_643_881_047_675_5).abs() < 1e-15);
        assert_eq!(incomplete_e(0.0, 0.84), 0.0);
        assert!((incomplete_e(1.1, 0.0) - 1.1).abs() < 1e-15);
    }

    #[test]
    fn a_quarter_is_the_complete_integral_and_quarters_add_up() {
        for m in [0.0, 0.1, 0.5, 0.84, 1.0 - 1.0 / 49.0] {
            for n in [-5.0, -1.0, 1.0, 2.0, 3.0, 6.0] {
                let gap = incomplete_e(n * FRAC_PI_2, m) - n * complete_e(m);
                assert!(gap.abs() < 4e-15 * n.abs(), "{m} {n}: {gap:e}");
            }
        }
    }

    #[test]
    fn its_slope_is_the_integrand() {
        for m in [0.2, 0.84, 0.979] {
            for i in -40..40 {
                let phi = 0.17 * f64::from(i) + 0.01;
                let h = 1e-4;
                let slope = (incomplete_e(phi + h, m) - incomplete_e(phi - h, m)) / (2.0 * h);
                let expected = (1.0 - m * phi.sin().powi(2)).sqrt();
                // Central difference: h² times a third derivative of at most 10 at m = 0.979.
                assert!((slope - expected).abs() < 1e-7, "{m} {phi}");
            }
        }
    }
}
