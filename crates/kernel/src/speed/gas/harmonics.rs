//! A periodic quantity as a sum of turning arrows: from one value a degree over three turns.

use nalgebra::Complex;
use std::f64::consts::TAU;
use std::sync::LazyLock;

/// Values of a cycle: one a degree of the shaft over 1080.
pub const CYCLE_DEG: usize = 1080;

/// The arrows of a degree at a time, a third of it for a rotor: worked out once.
static ROOTS: LazyLock<Vec<Complex<f64>>> = LazyLock::new(|| {
    #[expect(clippy::cast_precision_loss, reason = "below 1080")]
    (0..CYCLE_DEG).map(|i| Complex::cis(TAU * i as f64 / CYCLE_DEG as f64)).collect()
});

/// The part of order `thirds/3` of shaft speed: `c` of `Σ c·exp(i·(thirds/3)·θ)`, any sign, by
/// the mean of the values turned back; exact for what has no order from 540 thirds on.
/// `values` are one a degree over [`CYCLE_DEG`]; more than that are not looked at, and what is
/// missing counts as nothing.
#[must_use]
#[expect(clippy::cast_precision_loss, reason = "1080")]
pub fn harmonic(values: &[Complex<f64>], thirds: i32) -> Complex<f64> {
    // Angles reduced in whole numbers, so that no accuracy is lost at high orders.
    let step = thirds.rem_euclid(1080).unsigned_abs() as usize;
    let mut at = 0;
    let mut sum = Complex::new(0.0, 0.0);
    for value in values.iter().take(CYCLE_DEG) {
        sum += value * ROOTS[at].conj();
        at = (at + step) % CYCLE_DEG;
    }
    sum / CYCLE_DEG as f64
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn arrows_that_were_put_in_come_out_and_nothing_else() {
        let put = [
            (-3, Complex::new(1.0, 2.0)),
            (0, Complex::new(-4.0, 0.5)),
            (7, Complex::new(0.0, 3.0)),
        ];
        let values: Vec<Complex<f64>> = (0..1080)
            .map(|d| {
                put.iter()
                    .map(|(n, c)| c * Complex::cis(f64::from(*n) * f64::from(d).to_radians() / 3.0))
                    .sum()
            })
            .collect();
        for thirds in -12..=12 {
            let expected =
                put.iter().find(|(n, _)| *n == thirds).map_or(Complex::new(0.0, 0.0), |(_, c)| *c);
            assert!((harmonic(&values, thirds) - expected).norm() < 1e-12);
        }
    }
}
