//! Invented machines for the tests, and noise.

use super::runs::{ReadingNoise, Run, TrialRuns};
pub(super) use crate::normals::Normals;
use nalgebra::Complex;

/// A machine that answers linearly: first readings and coefficients by speed and sensor.
pub(super) struct Machine {
    pub(super) first: Vec<Vec<Complex<f64>>>,
    pub(super) coefficients: Vec<Vec<Vec<Complex<f64>>>>,
}

/// Amplitude and degrees of lead.
pub(super) fn polar(amount: f64, angle_deg: f64) -> Complex<f64> {
    Complex::from_polar(amount, angle_deg.to_radians())
}

pub(super) fn zero() -> Complex<f64> {
    Complex::new(0.0, 0.0)
}

impl Machine {
    /// Numbers without a pattern, of order one; weights are of order one too.
    pub(super) fn new(speeds: usize, sensors: usize, planes: usize) -> Self {
        let mut normals = Normals(11);
        let mut arrows =
            |count: usize| -> Vec<Complex<f64>> { (0..count).map(|_| normals.arrow()).collect() };
        Self {
            first: (0..speeds).map(|_| arrows(sensors)).collect(),
            coefficients: (0..speeds)
                .map(|_| (0..sensors).map(|_| arrows(planes)).collect())
                .collect(),
        }
    }

    /// What the sensors read at a speed with weights on the planes.
    pub(super) fn read(&self, speed: usize, weights: &[Complex<f64>]) -> Vec<Complex<f64>> {
        let added = |a: &Vec<Complex<f64>>| -> Complex<f64> {
            a.iter().zip(weights).map(|(a, w)| a * w).sum()
        };
        let sensors = self.first[speed].iter().zip(&self.coefficients[speed]);
        sensors.map(|(first, a)| first + added(a)).collect()
    }

    /// Runs without noise, which is stated as `uncertainty` of every sensor.
    pub(super) fn runs(&self, made: &[(usize, Vec<Complex<f64>>)], uncertainty: f64) -> TrialRuns {
        let run = |(speed, weights): &(usize, Vec<Complex<f64>>)| Run {
            speed: *speed,
            trial_weights_kg_m: weights.clone(),
            readings: self.read(*speed, weights),
        };
        TrialRuns {
            planes: self.coefficients[0][0].len(),
            runs: made.iter().map(run).collect(),
            noise: ReadingNoise::PerSensor(vec![uncertainty; self.first[0].len()]),
        }
    }
}

/// The same runs read again, with noise.
pub(super) fn noisy(runs: &TrialRuns, uncertainty: f64, normals: &mut Normals) -> TrialRuns {
    let mut noisy = runs.clone();
    for run in &mut noisy.runs {
        for reading in &mut run.readings {
            *reading += normals.arrow() * uncertainty;
        }
    }
    noisy
}

/// A run without, and one with a weight of order one on each plane in turn.
pub(super) fn one_by_one(speed: usize, planes: usize) -> Vec<(usize, Vec<Complex<f64>>)> {
    let mut made = vec![(speed, vec![zero(); planes])];
    for plane in 0..planes {
        let mut weights = vec![zero(); planes];
        weights[plane] = polar(1.0 + 0.1 * plane as f64, 70.0 * (plane + speed) as f64);
        made.push((speed, weights));
    }
    made
}
