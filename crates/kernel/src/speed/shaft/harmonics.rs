//! A plane vector that repeats with every turn of the shaft, as a series of circles.

use super::error::ShaftError;
use nalgebra::Complex;
use std::f64::consts::{FRAC_PI_2, TAU};

/// `v(θ) = Σ v_n e^{inθ}`, `n` from `−H` to `H`: `v_x + i v_y` in the stationary frame, `θ` the
/// shaft's angle. Positive `n` circle with the shaft, negative ones against it.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Harmonics {
    /// From `−H` to `H`; empty stands for nothing at all.
    values: Vec<Complex<f64>>,
}

impl Harmonics {
    /// A series of the amplitudes from `−H` to `H`.
    ///
    /// # Errors
    /// An even number of values.
    pub fn new(values: Vec<Complex<f64>>) -> Result<Self, ShaftError> {
        if values.len().is_multiple_of(2) {
            return Err(ShaftError::Series { given: values.len() });
        }
        Ok(Self { values })
    }

    /// A single harmonic.
    #[must_use]
    pub fn single(harmonic: isize, value: Complex<f64>) -> Self {
        let highest = harmonic.unsigned_abs();
        let mut values = vec![Complex::default(); 2 * highest + 1];
        values[if harmonic < 0 { 0 } else { 2 * highest }] = value;
        Self { values }
    }

    /// What does not change: a force with one direction in the stationary frame.
    #[must_use]
    pub fn constant(value: Complex<f64>) -> Self {
        Self::single(0, value)
    }

    /// The series of samples at equal steps of the shaft over one turn, the first at `θ = 0`.
    ///
    /// # Errors
    /// No more samples than twice the highest harmonic: they could not tell them apart.
    pub fn sampled(samples: &[Complex<f64>], highest: usize) -> Result<Self, ShaftError> {
        let count = samples.len();
        if count <= 2 * highest {
            return Err(ShaftError::Samples { samples: count, highest, least: 2 * highest });
        }
        let circle: Vec<_> =
            (0..count).map(|k| Complex::cis(-TAU * k as f64 / count as f64)).collect();
        let amplitude = |n: usize, backward: bool| {
            let sum: Complex<f64> = samples
                .iter()
                .enumerate()
                .map(|(k, v)| {
                    let turn = circle[k * n % count];
                    v * if backward { turn.conj() } else { turn }
                })
                .sum();
            sum / count as f64
        };
        let backward = (1..=highest).rev().map(|n| amplitude(n, true));
        Ok(Self { values: backward.chain((0..=highest).map(|n| amplitude(n, false))).collect() })
    }

    /// Number of the highest harmonic.
    #[must_use]
    pub fn highest(&self) -> usize {
        self.values.len() / 2
    }

    /// Amplitude of a harmonic, nothing above the highest.
    #[must_use]
    pub fn of(&self, harmonic: isize) -> Complex<f64> {
        usize::try_from(harmonic + (self.values.len() / 2) as isize)
            .ok()
            .and_then(|index| self.values.get(index))
            .copied()
            .unwrap_or_default()
    }

    /// The vector at a shaft angle, in the stationary frame.
    #[must_use]
    pub fn at(&self, theta_rad: f64) -> Complex<f64> {
        let step = Complex::cis(theta_rad);
        let mut turn = Complex::cis(-(self.highest() as f64) * theta_rad);
        let mut sum = Complex::default();
        for value in &self.values {
            sum += value * turn;
            turn *= step;
        }
        sum
    }

    /// The vector at a shaft angle as the shaft sees it: real axis along the throw of rotor 1,
    /// imaginary axis 90° on in the sense of rotation.
    #[must_use]
    pub fn in_shaft(&self, theta_rad: f64) -> Complex<f64> {
        self.at(theta_rad) * into_shaft(theta_rad)
    }

    /// Amplitudes with their numbers, from `−H` to `H`.
    pub fn iter(&self) -> impl Iterator<Item = (isize, Complex<f64>)> + '_ {
        let highest = self.highest() as isize;
        self.values.iter().enumerate().map(move |(index, value)| (index as isize - highest, *value))
    }
}

/// Turns a vector of the stationary frame into the shaft's frame: the throw of rotor 1 points to
/// 90° + θ.
#[must_use]
pub fn into_shaft(theta_rad: f64) -> Complex<f64> {
    Complex::cis(-(theta_rad + FRAC_PI_2))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn samples_of_a_series_give_the_series(
            parts in prop::collection::vec((-3.0_f64..3.0, -3.0_f64..3.0), 1..12),
            spare in 1_usize..9,
        ) {
            let mut values: Vec<_> = parts.iter().map(|(re, im)| Complex::new(*re, *im)).collect();
            if values.len().is_multiple_of(2) {
                values.pop();
            }
            let series = Harmonics::new(values).unwrap();
            let count = 2 * series.highest() + spare;
            let samples: Vec<_> =
                (0..count).map(|k| series.at(TAU * k as f64 / count as f64)).collect();
            let again = Harmonics::sampled(&samples, series.highest()).unwrap();
            for (n, value) in series.iter() {
                prop_assert!((again.of(n) - value).norm() < 1e-12);
            }
        }
    }

    #[test]
    fn a_force_along_the_throw_is_real_in_the_shaft() {
        let along = Harmonics::single(1, Complex::new(0.0, 2.0));
        for theta in [0.0, 0.4, 2.0, 5.0] {
            assert!((along.in_shaft(theta) - 2.0).norm() < 1e-14);
        }
        // At top dead centre the throw points to +y.
        assert!((along.at(0.0) - Complex::new(0.0, 2.0)).norm() < 1e-15);
    }

    #[test]
    fn what_cannot_be_a_series_is_refused() {
        let two = vec![Complex::default(); 2];
        assert_eq!(
            Harmonics::new(two.clone()).unwrap_err().to_string(),
            "2 values cannot be a series of harmonics; it takes an odd number, from -H to H"
        );
        assert_eq!(
            Harmonics::sampled(&two, 1).unwrap_err().to_string(),
            "2 samples cannot give harmonics up to 1; it takes more than 2"
        );
        assert_eq!(Harmonics::default().of(-3), Complex::default());
        assert_eq!(Harmonics::default().at(1.0), Complex::default());
    }
}
