//! A lattice along the posterior's own axes, flooded from its tops.
//!
//! Places are `centre + Σ k_j axis_j` with whole `k`. The axes are the columns of a Cholesky factor
//! of the posterior's covariance times the spacing: of the first unknown only the first axis has a
//! part, of the second only the first two. With the steps of the axes before its own held, an unknown
//! is there on even steps.

use super::error::CalibrationError;
use super::model::{FURTHEST, Place, UNKNOWNS};
use nalgebra::{Cholesky, Matrix4, Vector4};
use rayon::iter::{IntoParallelRefIterator, ParallelIterator};
use std::collections::HashSet;

/// What lies more below the top in the logarithm is not summed: beyond the 5.1 standard deviations
/// where a normal distribution is that low lie 3e-5 of it, in four dimensions, and 9e-4 of its variances.
pub(super) const FLOOR: f64 = 13.0;

/// Steps along the axes.
pub(super) type Steps = [i32; UNKNOWNS];

/// The places.
#[derive(Debug, Clone)]
pub(super) struct Lattice {
    centre: Vector4<f64>,
    axes: Matrix4<f64>,
    inverse: Matrix4<f64>,
}

/// Places and, for each, the logarithms of one or more functions.
#[derive(Debug, Clone)]
pub(super) struct Flooded {
    pub(super) places: Vec<Place>,
    pub(super) steps: Vec<Steps>,
    /// `series` values per place.
    values: Vec<f64>,
    series: usize,
    /// Highest of each.
    highest: Vec<f64>,
    /// Whether more places would have been needed than were permitted.
    pub(super) cut_off: bool,
}

/// What bounds a flood.
pub(super) struct Bounds<'a> {
    /// Most places.
    pub(super) most: usize,
    /// Functions per place.
    pub(super) series: usize,
    /// Told how many places are done after each front; says whether to go on.
    pub(super) watch: &'a mut dyn FnMut(usize) -> bool,
}

impl Lattice {
    /// Nothing if the covariance is none.
    pub(super) fn new(centre: &Place, covariance: &Matrix4<f64>, spacing: f64) -> Option<Self> {
        let axes = Cholesky::new(*covariance)?.l() * spacing;
        let inverse = axes.try_inverse()?;
        Some(Self { centre: Vector4::from_column_slice(centre), axes, inverse })
    }

    fn place(&self, steps: &Steps) -> Place {
        let steps = Vector4::from_fn(|j, _| f64::from(steps[j]));
        let place = self.centre + self.axes * steps;
        std::array::from_fn(|j| place[j])
    }

    fn nearest(&self, place: &Place) -> Steps {
        let steps = self.inverse * (Vector4::from_column_slice(place) - self.centre);
        std::array::from_fn(|j| steps[j].round() as i32)
    }

    /// An unknown with all axes before its own at their steps and its own at none, and what one step
    /// along its own adds.
    pub(super) fn line(&self, unknown: usize, steps: &Steps) -> [f64; 2] {
        let before = (0..unknown).map(|j| self.axes[(unknown, j)] * f64::from(steps[j]));
        [self.centre[unknown] + before.sum::<f64>(), self.axes[(unknown, unknown)]]
    }

    /// Everything within [`FLOOR`] of the top of any of the functions that hangs together with the
    /// given places.
    ///
    /// Fronts are worked on in parallel and put in the order of their steps, so that sums are the
    /// same on any number of threads.
    ///
    /// # Errors
    /// [`CalibrationError::Stopped`], or [`CalibrationError::Impossible`] if no place is possible.
    pub(super) fn flood(
        &self,
        from: &[Place],
        bounds: &mut Bounds<'_>,
        value: impl Fn(&Place, &mut Vec<f64>) + Sync,
    ) -> Result<Flooded, CalibrationError> {
        let series = bounds.series;
        let mut flooded = Flooded {
            places: Vec::new(),
            steps: Vec::new(),
            values: Vec::new(),
            series,
            highest: vec![f64::NEG_INFINITY; series],
            cut_off: false,
        };
        let mut front: Vec<Steps> = from.iter().map(|place| self.nearest(place)).collect();
        front.sort_unstable();
        front.dedup();
        let mut seen: HashSet<Steps> = front.iter().copied().collect();
        while !front.is_empty() {
            if !(bounds.watch)(flooded.places.len()) {
                return Err(CalibrationError::Stopped);
            }
            let found: Vec<(Place, Vec<f64>)> = front
                .par_iter()
                .map(|steps| {
                    let place = self.place(steps);
                    let mut values = Vec::with_capacity(series);
                    if place.iter().all(|z| z.abs() <= FURTHEST) {
                        value(&place, &mut values);
                    } else {
                        values.resize(series, f64::NEG_INFINITY);
                    }
                    (place, values)
                })
                .collect();
            for (_, values) in &found {
                for (highest, value) in flooded.highest.iter_mut().zip(values) {
                    *highest = highest.max(*value);
                }
            }
            let mut next = Vec::new();
            for (steps, (place, values)) in front.iter().zip(&found) {
                let high = |(value, highest): (&f64, &f64)| *value > highest - FLOOR;
                if !values.iter().zip(&flooded.highest).any(high) {
                    continue;
                }
                flooded.places.push(*place);
                flooded.steps.push(*steps);
                flooded.values.extend(values);
                for j in 0..UNKNOWNS {
                    for step in [-1, 1] {
                        let mut beside = *steps;
                        beside[j] += step;
                        if seen.insert(beside) {
                            next.push(beside);
                        }
                    }
                }
            }
            if flooded.places.len() + next.len() > bounds.most {
                flooded.cut_off = true;
                break;
            }
            next.sort_unstable();
            front = next;
        }
        if flooded.highest.iter().any(|highest| !highest.is_finite()) {
            return Err(CalibrationError::Impossible);
        }
        Ok(flooded)
    }
}

impl Flooded {
    /// Weights of one of the functions, which sum to one.
    pub(super) fn weights(&self, series: usize) -> Vec<f64> {
        let highest = self.highest[series];
        let values = self.values.iter().skip(series).step_by(self.series);
        let mut weights: Vec<f64> = values.map(|value| (value - highest).exp()).collect();
        let total: f64 = weights.iter().sum();
        for weight in &mut weights {
            *weight /= total;
        }
        weights
    }

    /// Logarithm of the sum of one of the functions.
    pub(super) fn log_sum(&self, series: usize) -> f64 {
        let highest = self.highest[series];
        let values = self.values.iter().skip(series).step_by(self.series);
        highest + values.map(|value| (value - highest).exp()).sum::<f64>().ln()
    }

    /// Mean and covariance by weights.
    pub(super) fn moments(&self, weights: &[f64]) -> (Place, Matrix4<f64>) {
        let mut mean = Vector4::zeros();
        for (place, weight) in self.places.iter().zip(weights) {
            mean += Vector4::from_column_slice(place) * *weight;
        }
        let mut covariance = Matrix4::zeros();
        for (place, weight) in self.places.iter().zip(weights) {
            let off = Vector4::from_column_slice(place) - mean;
            covariance += off * off.transpose() * *weight;
        }
        (std::array::from_fn(|j| mean[j]), covariance)
    }
}

#[cfg(test)]
mod tests {
    use super::{Bounds, Lattice};
    use crate::calibration::CalibrationError;
    use crate::calibration::model::Place;
    use nalgebra::{Matrix4, Vector4};

    const MEAN: [f64; 4] = [0.7, -0.4, 0.2, 0.9];

    fn covariance() -> Matrix4<f64> {
        let root = Matrix4::new(
            0.5, 0.0, 0.0, 0.0, -0.3, 0.6, 0.0, 0.0, 0.4, -0.2, 0.3, 0.0, 0.1, 0.1, 0.1, 0.9,
        );
        root * root.transpose()
    }

    fn log_normal(place: &Place) -> f64 {
        let off = Vector4::from_column_slice(place) - Vector4::from_column_slice(&MEAN);
        -0.5 * off.dot(&(covariance().try_inverse().unwrap() * off))
    }

    /// A normal distribution has its own moments and its own sum, on axes that are not its own.
    #[test]
    fn a_normal_distribution_is_summed() {
        for (spacing, wide) in [(1.0, 1.0), (0.7, 1.4), (1.0, 0.8)] {
            let axes = covariance() * wide + Matrix4::identity() * 0.01;
            let lattice = Lattice::new(&[0.5, -0.3, 0.3, 0.8], &axes, spacing).unwrap();
            let mut bounds = Bounds { most: 1_000_000, series: 1, watch: &mut |_| true };
            let flooded = lattice
                .flood(&[MEAN], &mut bounds, |place, values| values.push(log_normal(place)))
                .unwrap();
            let (mean, found) = flooded.moments(&flooded.weights(0));
            for i in 0..4 {
                assert!((mean[i] - MEAN[i]).abs() < 1e-4);
                for j in 0..4 {
                    let off = (found[(i, j)] - covariance()[(i, j)]).abs();
                    // What lies beyond the floor carries 26 standard deviations squared and more.
                    assert!(off < 30.0 * 3.2e-5, "{i} {j} {off}");
                }
            }
            let cell = axes.determinant().sqrt() * spacing.powi(4);
            let whole = covariance().determinant().sqrt() * std::f64::consts::TAU.powi(2);
            let sum = flooded.log_sum(0) + cell.ln();
            assert!((sum - whole.ln()).abs() < 6e-5, "{sum} {}", whole.ln());
        }
    }

    #[test]
    fn it_can_be_stopped_and_says_when_it_is_cut_off() {
        let lattice = Lattice::new(&MEAN, &covariance(), 1.0).unwrap();
        let value = |place: &Place, values: &mut Vec<f64>| values.push(log_normal(place));
        let mut stop = Bounds { most: 1_000_000, series: 1, watch: &mut |done| done < 100 };
        let stopped = lattice.flood(&[MEAN], &mut stop, value).unwrap_err();
        assert_eq!(stopped, CalibrationError::Stopped);
        let mut few = Bounds { most: 500, series: 1, watch: &mut |_| true };
        assert!(lattice.flood(&[MEAN], &mut few, value).unwrap().cut_off);
    }
}
