//! The weights to add, and how well they are known.
//!
//! From `AᴴW(V_0 + A C) = 0`, with `W` the weights `1/u²` of the rows (a row is a sensor at a
//! speed) and `N = AᴴWA`, errors of the coefficients move the weights by
//! `δC = −N⁻¹[AᴴW(δV_0 + δA C) + δAᴴ W r]`, `r` what is left. Errors of readings are circular:
//! `E[δv δvᴴ] = 2u²`, `E[δv δv] = 0`. The first part is linear in them, the second in their
//! mirror images, so that `E[δC δCᴴ]` is the sum of the parts' own and `E[δC δCᵀ]`, which makes
//! the covariance of a weight an ellipse instead of a circle, is what they have in common; it
//! vanishes where nothing is left, and at one speed, whose sensors all know `A` equally well.
//! [JCGM-100]

use super::error::TrialError;
use super::fit::{Expected, Influence, rms, with_one};
use super::least_squares::{LeastSquares, Unsolved};
use super::warning::{PLANES_ALIKE_CONDITION, Warning};
use nalgebra::{Complex, DMatrix, DVector};

/// Weights that bring the vibration to its least.
#[derive(Debug, Clone, PartialEq)]
pub struct Correction {
    /// What to add on each plane, counted from where the trial weights were: trial weights are off,
    /// or are part of it.
    pub weights: Vec<Weight>,
    /// What is to be expected with them, speed by speed, sensor by sensor.
    pub expected: Vec<Expected>,
    /// Root of the mean square amplitude of that, where all sensors have one unit.
    pub rms: f64,
    /// Condition number of the coefficients, each plane's scaled to one length.
    pub condition: f64,
    /// What makes the weights worth little.
    pub warnings: Vec<Warning>,
}

/// A weight to add on a plane.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Weight {
    /// The unbalance that it makes, kg m.
    pub value_kg_m: Complex<f64>,
    /// Covariance of its real and imaginary part, kg² m².
    pub covariance_kg2_m2: [[f64; 2]; 2],
}

impl Influence {
    /// The weights to add on the planes that make the least of the vibration, each sensor's counted
    /// in its uncertainty, over all sensors and speeds.
    ///
    /// # Errors
    /// [`TrialError`] if the coefficients do not tell the planes apart.
    pub fn correction(&self) -> Result<Correction, TrialError> {
        let rows = self.rows();
        let planes = self.planes;
        if rows.len() < planes {
            return Err(TrialError::TooFewSensors { planes, readings: rows.len() });
        }
        let matrix = DMatrix::from_fn(rows.len(), planes, |i, plane| {
            self.speeds[rows[i].0].sensors[rows[i].1].coefficients[plane].value
                / self.uncertainty(rows[i].1)
        });
        let scales: Vec<f64> = matrix.column_iter().map(|column| column.norm()).collect();
        let squares = LeastSquares::of(&matrix, scales).map_err(|unsolved| match unsolved {
            Unsolved::Singular(columns) => TrialError::SamePlanes { planes: from_one(&columns) },
            Unsolved::Other(error) => error,
        })?;
        let first = DVector::from_fn(rows.len(), |i, _| {
            -self.speeds[rows[i].0].sensors[rows[i].1].baseline.value / self.uncertainty(rows[i].1)
        });
        let values: Vec<Complex<f64>> = squares.solve(&first).iter().copied().collect();
        if !values.iter().all(|value| value.re.is_finite() && value.im.is_finite()) {
            return Err(TrialError::Range);
        }
        let expected = self.expected(&values)?;
        let covariances = self.covariances(&Solved {
            values: &values,
            matrix,
            squares: &squares,
            expected: &expected,
        });
        if !covariances.iter().flatten().flatten().all(|entry| entry.is_finite()) {
            return Err(TrialError::Range);
        }
        let mut warnings = Vec::new();
        if squares.condition > PLANES_ALIKE_CONDITION {
            let (planes, condition) = (from_one(&squares.alike), squares.condition);
            warnings.push(Warning::PlanesAlike { planes, condition });
        }
        let weights = values.iter().zip(covariances);
        Ok(Correction {
            weights: weights
                .map(|(value, covariance)| Weight {
                    value_kg_m: *value,
                    covariance_kg2_m2: covariance,
                })
                .collect(),
            rms: rms(&expected),
            expected,
            condition: squares.condition,
            warnings,
        })
    }

    /// Speed and sensor of every row, from 0.
    fn rows(&self) -> Vec<(usize, usize)> {
        let sensors = self.stated_uncertainties.len();
        (0..self.speeds.len()).flat_map(|speed| (0..sensors).map(move |s| (speed, s))).collect()
    }

    fn covariances(&self, solved: &Solved<'_>) -> Vec<[[f64; 2]; 2]> {
        let planes = self.planes;
        let with = with_one(solved.values);
        let inverse = solved.squares.cofactor();
        // E[δC δCᴴ] and E[δC δCᵀ].
        let mut own = DMatrix::<Complex<f64>>::zeros(planes, planes);
        let mut mirrored = own.clone();
        for (i, at) in solved.expected.iter().enumerate() {
            let speed = &self.speeds[at.speed];
            let uncertainty = self.uncertainty(at.sensor);
            let variance = Complex::from(2.0 * uncertainty * uncertainty);
            // Rows of the matrix carry 1/u already.
            let linear = &inverse * solved.matrix.row(i).adjoint() / Complex::from(uncertainty);
            let left = at.vibration / (uncertainty * uncertainty);
            let of_planes = speed.cofactor.view((1, 1), (planes, planes));
            own += &linear * linear.adjoint() * Complex::from(speed.share(&with)) * variance;
            own += &inverse
                * of_planes.transpose()
                * &inverse
                * Complex::from(left.norm_sqr())
                * variance;
            let with_planes = with.transpose() * speed.cofactor.columns(1, planes);
            let common = linear * with_planes * inverse.transpose() * left * variance;
            mirrored += &common + common.transpose();
        }
        (0..planes)
            .map(|plane| {
                let (size, turn) = (own[(plane, plane)].re, mirrored[(plane, plane)]);
                let across = turn.im / 2.0;
                [[(size + turn.re) / 2.0, across], [across, (size - turn.re) / 2.0]]
            })
            .collect()
    }
}

/// A solution, to be told how well it is known.
struct Solved<'a> {
    values: &'a [Complex<f64>],
    /// Coefficients over the uncertainty of their sensor.
    matrix: DMatrix<Complex<f64>>,
    squares: &'a LeastSquares,
    expected: &'a [Expected],
}

fn from_one(columns: &[usize]) -> Vec<usize> {
    columns.iter().map(|column| column + 1).collect()
}

#[cfg(test)]
mod tests {
    use super::super::runs::{Run, TrialRuns};
    use super::super::sample::{Machine, Normals, noisy, one_by_one, polar, zero};
    use super::*;

    fn solved(runs: &TrialRuns) -> Correction {
        Influence::of(runs).unwrap().correction().unwrap()
    }

    #[test]
    fn as_many_sensors_as_planes_are_brought_to_nothing() {
        for planes in 1..=4 {
            let machine = Machine::new(1, planes, planes);
            let correction = solved(&machine.runs(&one_by_one(0, planes), 0.01));
            let weights: Vec<_> = correction.weights.iter().map(|w| w.value_kg_m).collect();
            for (at, left) in correction.expected.iter().zip(machine.read(0, &weights)) {
                assert!(at.vibration.norm() < 1e-12 && left.norm() < 1e-12, "{planes}: {left}");
            }
            // Nothing left: circles.
            for weight in &correction.weights {
                let [[re, across], [_, im]] = weight.covariance_kg2_m2;
                assert!((re - im).abs() < 1e-12 * re && across.abs() < 1e-12 * re);
            }
        }
    }

    /// Weights left from elsewhere never leave less, counted in the sensors' uncertainty.
    #[test]
    fn what_is_left_is_the_least() {
        let machine = Machine::new(2, 3, 2);
        let mut made = one_by_one(0, 2);
        made.extend(one_by_one(1, 2));
        let mut runs = machine.runs(&made, 0.01);
        runs.noise = super::super::runs::ReadingNoise::PerSensor(vec![0.01, 0.02, 0.05]);
        let influence = Influence::of(&runs).unwrap();
        let correction = influence.correction().unwrap();
        let size = |expected: &[Expected]| -> f64 {
            expected
                .iter()
                .map(|at| (at.vibration / influence.uncertainty(at.sensor)).norm_sqr())
                .sum()
        };
        let least = size(&correction.expected);
        let squares: f64 = correction.expected.iter().map(|at| at.vibration.norm_sqr()).sum();
        assert!((correction.rms - (squares / 6.0).sqrt()).abs() < 1e-15 && least > 1.0);
        for plane in 0..2 {
            for way in 0..8 {
                let mut weights: Vec<_> = correction.weights.iter().map(|w| w.value_kg_m).collect();
                weights[plane] += polar(1e-3, f64::from(way) * 45.0);
                assert!(size(&influence.expected(&weights).unwrap()) > least);
            }
        }
    }

    #[test]
    fn planes_that_cannot_be_told_apart_are_named() {
        let mut machine = Machine::new(1, 3, 3);
        let made = one_by_one(0, 3);
        let refused = |machine: &Machine| {
            Influence::of(&machine.runs(&made, 0.01)).unwrap().correction().unwrap_err().to_string()
        };
        for sensor in &mut machine.coefficients[0] {
            sensor[2] = sensor[0] * polar(2.0, 30.0);
        }
        // Rounding of the readings leaves them apart by a part in 1e16.
        assert_eq!(
            refused(&machine),
            "planes 1 and 3 do the same to these sensors at these speeds: no weights can be told for them"
        );
        let mut runs = machine.runs(&made, 0.01);
        for run in &mut runs.runs {
            run.readings.truncate(2);
        }
        runs.noise = super::super::runs::ReadingNoise::PerSensor(vec![0.01; 2]);
        assert_eq!(
            Influence::of(&runs).unwrap().correction().unwrap_err().to_string(),
            "3 planes need at least 3 readings in a run, of all speeds together; there are 2"
        );
        let run = |re: f64| Run {
            speed: 0,
            trial_weights_kg_m: vec![Complex::new(re, 0.0)],
            readings: vec![polar(1.0, 0.0)],
        };
        let noise = super::super::runs::ReadingNoise::PerSensor(vec![0.01]);
        let still = TrialRuns { planes: 1, runs: vec![run(0.0), run(1.0)], noise };
        let error = Influence::of(&still).unwrap_err();
        assert_eq!(error.to_string(), "weight in plane 1 changes no reading");
    }

    const DRAWS: usize = 20_000;
    /// See the simulation in `fit.rs`; what is of second order adds the square of the noise in
    /// what a trial weight does, which is kept below 1 % here.
    const VARIANCE_WITHIN: f64 = 0.05;
    const NOISE: f64 = 0.01;

    /// Readings with noise are solved again and again; the weights scatter as stated.
    fn scatters_as_stated(truth: &TrialRuns) -> Correction {
        let stated = solved(truth);
        let mut normals = Normals(3);
        let mut sums = vec![[[0.0; 2]; 2]; stated.weights.len()];
        for _ in 0..DRAWS {
            let drawn = solved(&noisy(truth, NOISE, &mut normals));
            for (sum, (got, truth)) in
                sums.iter_mut().zip(drawn.weights.iter().zip(&stated.weights))
            {
                let off = got.value_kg_m - truth.value_kg_m;
                let parts = [off.re, off.im];
                for i in 0..2 {
                    for j in 0..2 {
                        sum[i][j] += parts[i] * parts[j] / DRAWS as f64;
                    }
                }
            }
        }
        for (sum, weight) in sums.iter().zip(&stated.weights) {
            let said = weight.covariance_kg2_m2;
            for i in 0..2 {
                for j in 0..2 {
                    let scale = (said[i][i] * said[j][j]).sqrt();
                    let off = (sum[i][j] - said[i][j]) / scale;
                    assert!(off.abs() < VARIANCE_WITHIN, "{sum:?} {said:?}");
                }
            }
        }
        stated
    }

    #[test]
    fn stated_covariances_are_those_of_a_simulation_with_the_fewest_runs() {
        scatters_as_stated(&Machine::new(1, 1, 1).runs(&one_by_one(0, 1), NOISE));
        scatters_as_stated(&Machine::new(1, 2, 2).runs(&one_by_one(0, 2), NOISE));
    }

    #[test]
    fn stated_covariances_are_those_of_a_simulation_with_runs_to_spare() {
        let mut made = one_by_one(0, 2);
        made.extend(one_by_one(1, 2));
        made.push((0, vec![polar(1.0, 70.0), polar(0.8, 190.0)]));
        made.push((1, vec![polar(1.0, -170.0), polar(0.8, 10.0)]));
        made.push((1, vec![zero(), polar(0.8, 100.0)]));
        let stated = scatters_as_stated(&Machine::new(2, 3, 2).runs(&made, NOISE));
        assert!(stated.rms > 0.1);
    }

    /// One plane against two speeds leaves much, one of them is known worse, and the covariance is
    /// no circle.
    #[test]
    fn stated_covariances_are_those_of_a_simulation_where_much_is_left() {
        let mut machine = Machine::new(2, 1, 1);
        machine.first[0][0] *= 5.0;
        let mut made = one_by_one(0, 1);
        made.extend(one_by_one(1, 1));
        made[3].1[0] *= 0.4;
        let stated = scatters_as_stated(&machine.runs(&made, NOISE));
        assert!(stated.rms > 1.0);
        let [[re, across], [_, im]] = stated.weights[0].covariance_kg2_m2;
        let apart = (re - im).hypot(2.0 * across) / (re + im);
        assert!(apart > 4.0 * VARIANCE_WITHIN, "{apart}");
    }
}
