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

use super::super::in_planes::InPlanes;
use super::error::TrialError;
use super::fit::{Expected, Influence, rms, with_one};
use super::least_squares::{LeastSquares, Unsolved};
use super::runs::Run;
use super::warning::{PLANES_ALIKE_CONDITION, Warning};
use nalgebra::{Complex, DMatrix, DVector};

/// Weights that bring the vibration to its least.
#[derive(Debug, Clone, PartialEq)]
pub struct Correction {
    /// What to add on each plane, counted from where the trial weights were: trial weights are off,
    /// or are part of it.
    pub weights: Vec<Weight>,
    /// Covariance of all of them together: real and imaginary part of the first plane, then of the
    /// next, kg² m².
    pub covariance_kg2_m2: DMatrix<f64>,
    /// What is to be expected with them, speed by speed, sensor by sensor.
    pub expected: Vec<Expected>,
    /// Root of the mean square amplitude of that, where all sensors have one unit.
    pub rms: f64,
    /// Condition number of the coefficients, each plane's scaled to one length.
    pub condition: f64,
    /// What makes the weights worth little.
    pub warnings: Vec<Warning>,
}

/// What runs after a correction show that it has left.
#[derive(Debug, Clone, PartialEq)]
pub struct LeftOver {
    /// In each plane.
    pub unbalances: Vec<Weight>,
    /// Covariance of all of them together, as of a correction, kg² m².
    pub covariance_kg2_m2: DMatrix<f64>,
}

/// A weight to add on a plane, or an unbalance in it.
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
        let (matrix, squares) = self.squares(&rows)?;
        let first = DVector::from_fn(rows.len(), |i, _| {
            -self.speeds[rows[i].0].sensors[rows[i].1].baseline.value / self.uncertainty(rows[i].1)
        });
        let values: Vec<Complex<f64>> = squares.solve(&first).iter().copied().collect();
        if !values.iter().all(|value| value.re.is_finite() && value.im.is_finite()) {
            return Err(TrialError::Range);
        }
        let expected = self.expected(&values)?;
        let covariance = self.covariance(&Solved {
            values: &values,
            matrix,
            squares: &squares,
            expected: &expected,
        });
        if !covariance.iter().all(|entry| entry.is_finite()) {
            return Err(TrialError::Range);
        }
        let mut warnings = Vec::new();
        if squares.condition > PLANES_ALIKE_CONDITION {
            let (planes, condition) = (from_one(&squares.alike), squares.condition);
            warnings.push(Warning::PlanesAlike { planes, condition });
        }
        Ok(Correction {
            weights: weights(&values, &covariance),
            covariance_kg2_m2: covariance,
            rms: rms(&expected),
            expected,
            condition: squares.condition,
            warnings,
        })
    }

    /// The unbalance in the planes that runs without trial weights show once something has been
    /// changed, by these coefficients: what a correction has left.
    ///
    /// # Errors
    /// [`TrialError`] for a speed that was not run, a sensor that did not read, or readings that do
    /// not tell the planes apart.
    pub fn unbalance(&self, runs: &[Run]) -> Result<LeftOver, TrialError> {
        let sensors = self.stated_uncertainties.len();
        if runs.is_empty() {
            return Err(TrialError::NoRuns);
        }
        let mut rows = Vec::with_capacity(runs.len() * sensors);
        let mut shown = Vec::with_capacity(runs.len() * sensors);
        for (index, run) in runs.iter().enumerate() {
            if run.speed >= self.speeds.len() {
                return Err(TrialError::NoRunAtSpeed { speed: run.speed + 1 });
            }
            let given = run.readings.len();
            if given != sensors {
                return Err(TrialError::Readings { run: index + 1, given, sensors });
            }
            for (sensor, reading) in run.readings.iter().enumerate() {
                if !(reading.re.is_finite() && reading.im.is_finite()) {
                    return Err(TrialError::Reading { run: index + 1, sensor: sensor + 1 });
                }
                rows.push((run.speed, sensor));
                shown.push(reading / self.uncertainty(sensor));
            }
        }
        let (_, squares) = self.squares(&rows)?;
        let values: Vec<Complex<f64>> =
            squares.solve(&DVector::from_vec(shown)).iter().copied().collect();
        if !values.iter().all(|value| value.re.is_finite() && value.im.is_finite()) {
            return Err(TrialError::Range);
        }
        // Errors of the coefficients come in as far as there is something for them to act on.
        let mut with = DVector::zeros(self.planes + 1);
        for (plane, value) in values.iter().enumerate() {
            with[plane + 1] = *value;
        }
        let shares = rows.iter().map(|(speed, _)| self.speeds[*speed].share(&with));
        let factor = 1.0 + shares.fold(0.0, f64::max);
        let variance = squares.cofactor() * Complex::from(2.0 * factor);
        let none = DMatrix::zeros(self.planes, self.planes);
        let covariance = together(&variance, &none);
        Ok(LeftOver { unbalances: weights(&values, &covariance), covariance_kg2_m2: covariance })
    }

    /// Coefficients of these rows, each over its uncertainty, taken apart.
    fn squares(
        &self,
        rows: &[(usize, usize)],
    ) -> Result<(DMatrix<Complex<f64>>, LeastSquares), TrialError> {
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
        Ok((matrix, squares))
    }

    /// Speed and sensor of every row, from 0.
    fn rows(&self) -> Vec<(usize, usize)> {
        let sensors = self.stated_uncertainties.len();
        (0..self.speeds.len()).flat_map(|speed| (0..sensors).map(move |s| (speed, s))).collect()
    }

    fn covariance(&self, solved: &Solved<'_>) -> DMatrix<f64> {
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
        together(&own, &mirrored)
    }
}

impl Correction {
    /// The unbalance that these weights cancel, in the front and the rear plane; `planes` says which
    /// of them, 0 or 1, each weight is in. Of a plane that is not there it is nothing.
    #[must_use]
    pub fn cancels(&self, planes: &[usize]) -> InPlanes {
        in_two(planes, &self.weights, &self.covariance_kg2_m2, -1.0)
    }
}

impl LeftOver {
    /// The same unbalances in the front and the rear plane, as [`Correction::cancels`] counts them.
    #[must_use]
    pub fn in_two(&self, planes: &[usize]) -> InPlanes {
        in_two(planes, &self.unbalances, &self.covariance_kg2_m2, 1.0)
    }
}

fn in_two(planes: &[usize], weights: &[Weight], covariance: &DMatrix<f64>, sign: f64) -> InPlanes {
    let mut all = InPlanes::apart([Complex::new(0.0, 0.0); 2], [0.0; 2]);
    for (i, (plane, weight)) in planes.iter().zip(weights).enumerate() {
        all.vectors_kg_m[*plane] = weight.value_kg_m * sign;
        for (j, other) in planes.iter().enumerate() {
            let block = covariance.fixed_view::<2, 2>(2 * i, 2 * j);
            all.covariance_kg2_m2.fixed_view_mut::<2, 2>(2 * plane, 2 * other).copy_from(&block);
        }
    }
    all
}

/// Covariance of real and imaginary parts from `E[z zᴴ]` and `E[z zᵀ]`: of two real parts it is half
/// the real part of their sum, of two imaginary ones of their difference, of a real and an imaginary
/// one half the imaginary part of the second less the first.
fn together(own: &DMatrix<Complex<f64>>, mirrored: &DMatrix<Complex<f64>>) -> DMatrix<f64> {
    DMatrix::from_fn(2 * own.nrows(), 2 * own.nrows(), |i, j| {
        let (own, mirrored) = (own[(i / 2, j / 2)], mirrored[(i / 2, j / 2)]);
        0.5 * match (i % 2, j % 2) {
            (0, 0) => own.re + mirrored.re,
            (0, _) => mirrored.im - own.im,
            (_, 0) => mirrored.im + own.im,
            _ => own.re - mirrored.re,
        }
    })
}

/// Values with their own part of the covariance.
fn weights(values: &[Complex<f64>], covariance: &DMatrix<f64>) -> Vec<Weight> {
    let of = |plane: usize, i: usize, j: usize| covariance[(2 * plane + i, 2 * plane + j)];
    values
        .iter()
        .enumerate()
        .map(|(plane, value)| Weight {
            value_kg_m: *value,
            covariance_kg2_m2: [
                [of(plane, 0, 0), of(plane, 0, 1)],
                [of(plane, 1, 0), of(plane, 1, 1)],
            ],
        })
        .collect()
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

    /// What a correction has left is found again from readings without trial weights, and its
    /// uncertainty is the spread of what readings with noise give.
    #[test]
    fn what_is_left_is_found_from_runs_after_correction() {
        let machine = Machine::new(2, 3, 2);
        let mut made = one_by_one(0, 2);
        made.extend(one_by_one(1, 2));
        let runs = machine.runs(&made, 0.01);
        let influence = Influence::of(&runs).unwrap();
        let left = [polar(0.3, 40.0), polar(0.2, 250.0)];
        let after = |normals: &mut Normals, noise: f64| -> Vec<Run> {
            (0..2)
                .map(|speed| Run {
                    speed,
                    trial_weights_kg_m: Vec::new(),
                    readings: machine.coefficients[speed]
                        .iter()
                        .map(|a| {
                            let reads: Complex<f64> = a.iter().zip(&left).map(|(a, u)| a * u).sum();
                            reads + normals.arrow() * noise
                        })
                        .collect(),
                })
                .collect()
        };
        let mut normals = Normals(5);
        let found = influence.unbalance(&after(&mut normals, 0.0)).unwrap().unbalances;
        for (found, left) in found.iter().zip(left) {
            assert!((found.value_kg_m - left).norm() < 1e-12);
        }
        let u = influence.uncertainty(0);
        let (n, mut square) = (4000, [0.0; 2]);
        for _ in 0..n {
            let found = influence.unbalance(&after(&mut normals, u)).unwrap().unbalances;
            for (plane, sum) in square.iter_mut().enumerate() {
                *sum += (found[plane].value_kg_m - left[plane]).norm_sqr() / 2.0;
            }
        }
        for (plane, sum) in square.iter().enumerate() {
            let stated = found[plane].covariance_kg2_m2[0][0];
            // What errors of the coefficients add is stated and not drawn here: up to a tenth.
            let share = sum / f64::from(n) / stated;
            assert!((0.85..1.05).contains(&share), "{plane}: {share}");
        }
        assert_eq!(influence.unbalance(&[]).unwrap_err(), TrialError::NoRuns);
        let elsewhere = Run { speed: 2, ..after(&mut normals, 0.0)[0].clone() };
        assert_eq!(
            influence.unbalance(&[elsewhere]).unwrap_err(),
            TrialError::NoRunAtSpeed { speed: 3 }
        );
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
