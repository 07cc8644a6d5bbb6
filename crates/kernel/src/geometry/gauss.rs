//! Gauss–Legendre quadrature, for smooth integrands over a finite stretch.

use std::f64::consts::PI;

/// Newton steps for a node: from the usual start three are enough, the rest are no-ops.
const NEWTON_STEPS: usize = 8;

/// Nodes and weights of the rule with `count` nodes on `-1..1` [AS] 25.4.29: exact for
/// polynomials up to degree `2·count − 1`. Ascending.
pub(super) fn legendre(count: usize) -> Vec<(f64, f64)> {
    let n = count as f64;
    (0..count)
        .rev()
        .map(|i| {
            let mut x = (PI * (i as f64 + 0.75) / (n + 0.5)).cos();
            let mut slope = 1.0;
            for _ in 0..NEWTON_STEPS {
                let (mut before, mut here) = (1.0, x);
                for k in 2..=count {
                    let k = k as f64;
                    (before, here) = (here, ((2.0 * k - 1.0) * x * here - (k - 1.0) * before) / k);
                }
                slope = n * (before - x * here) / (1.0 - x * x);
                x -= here / slope;
            }
            (x, 2.0 / ((1.0 - x * x) * slope * slope))
        })
        .collect()
}

/// A rule on `-1..1` moved to `from..to`.
pub(super) fn moved(rule: &[(f64, f64)], from: f64, to: f64) -> Vec<(f64, f64)> {
    let (middle, half) = (0.5 * (from + to), 0.5 * (to - from));
    rule.iter().map(|(x, w)| (middle + half * x, half * w)).collect()
}

/// The rule with `count` nodes on `from..to`.
pub(super) fn legendre_on(from: f64, to: f64, count: usize) -> Vec<(f64, f64)> {
    moved(&legendre(count), from, to)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn exact_for_every_degree_it_promises() {
        for count in 1..=40 {
            let rule = legendre_on(0.0, 1.0, count);
            for degree in 0..2 * count {
                let sum: f64 = rule.iter().map(|(x, w)| w * x.powi(degree as i32)).sum();
                let exact = 1.0 / (degree as f64 + 1.0);
                assert!((sum - exact).abs() < 1e-14, "{count} nodes, degree {degree}: {sum}");
            }
            // One degree more is not exact: the test can fail.
            let degree = 2 * count;
            if count < 10 {
                let sum: f64 = rule.iter().map(|(x, w)| w * x.powi(degree as i32)).sum();
                assert!((sum - 1.0 / (degree as f64 + 1.0)).abs() > 1e-13, "{count}");
            }
        }
    }
}
