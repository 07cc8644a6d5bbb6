//! Influence coefficients and first readings, by least squares over the runs of each speed.

use super::error::TrialError;
use super::least_squares::{LeastSquares, SINGULAR_CONDITION, Unsolved};
use super::runs::TrialRuns;
use super::warning::{FIT_CHANCE, TRIALS_ALIKE_CONDITION, Warning, lost_in_noise};
use nalgebra::{Complex, DMatrix, DVector};
use statrs::distribution::{ChiSquared, ContinuousCDF};

/// What weights on the planes do to the sensors.
#[derive(Debug, Clone, PartialEq)]
pub struct Influence {
    /// Speed by speed.
    pub speeds: Vec<FitAtSpeed>,
    /// How well the runs fit one another.
    pub fit: Fit,
    /// Standard uncertainty of a component of each sensor's readings as stated.
    pub stated_uncertainties: Vec<f64>,
    /// What makes the coefficients worth little.
    pub warnings: Vec<Warning>,
    pub(super) planes: usize,
}

/// Coefficients at one speed.
#[derive(Debug, Clone, PartialEq)]
pub struct FitAtSpeed {
    /// Sensor by sensor.
    pub sensors: Vec<FitOfSensor>,
    /// Which runs were made at it, from 0: the order of the residuals.
    pub runs: Vec<usize>,
    /// Condition number of its trial weights, each plane's measured in its largest.
    pub condition: f64,
    /// `(DᴴD)⁻¹`: first reading, then planes.
    pub(super) cofactor: DMatrix<Complex<f64>>,
}

/// Coefficients of one sensor at one speed.
#[derive(Debug, Clone, PartialEq)]
pub struct FitOfSensor {
    /// What it would read without any trial weight.
    pub baseline: Coefficient,
    /// What a unit, 1 kg m, in each plane adds.
    pub coefficients: Vec<Coefficient>,
    /// What the runs read beyond the fit.
    pub residuals: Vec<Complex<f64>>,
}

/// A fitted arrow.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Coefficient {
    /// Its value.
    pub value: Complex<f64>,
    /// Standard uncertainty of each of its two components.
    pub standard_uncertainty: f64,
}

/// How well runs fit one another.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fit {
    /// Sum of the squares of all residual components, each over its stated uncertainty.
    pub chi_square: f64,
    /// Degrees of freedom: components read beyond those that are needed. 0: nothing is checked.
    pub freedom: usize,
    /// Chance of a fit this bad or worse if the uncertainty stated is right; none where nothing
    /// is checked.
    pub chance: Option<f64>,
    /// What the stated uncertainties are multiplied by, 1 or more: the runs' own scatter counts
    /// where it is the larger.
    pub noise_factor: f64,
}

/// Vibration to expect at a sensor.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Expected {
    /// Which speed, from 0.
    pub speed: usize,
    /// Which sensor, from 0.
    pub sensor: usize,
    /// The arrow.
    pub vibration: Complex<f64>,
    /// Standard uncertainty of each of its components with these weights, from the readings.
    pub standard_uncertainty: f64,
}

impl Influence {
    /// Finds the coefficients from trial runs.
    ///
    /// # Errors
    /// [`TrialError`] saying which run, plane or sensor is in the way.
    pub fn of(trial: &TrialRuns) -> Result<Self, TrialError> {
        trial.check()?;
        let uncertainties = trial.uncertainties()?;
        let mut speeds = Vec::new();
        for (index, runs) in trial.at_speeds()?.into_iter().enumerate() {
            speeds.push(at_speed(trial, index + 1, runs, &uncertainties)?);
        }
        let fit = Fit::of(&speeds, &uncertainties);
        for speed in &mut speeds {
            speed.scatter(fit.noise_factor);
        }
        let mut influence = Self {
            speeds,
            fit,
            stated_uncertainties: uncertainties,
            warnings: Vec::new(),
            planes: trial.planes,
        };
        if !influence.is_finite() {
            return Err(TrialError::Range);
        }
        if let Some(at) = (0..trial.planes).find(|plane| !influence.is_felt(trial, *plane)) {
            return Err(TrialError::NoEffect { plane: at + 1 });
        }
        influence.warnings = influence.warn(trial);
        Ok(influence)
    }

    /// What to expect at every sensor, speed by speed, with weights left on the planes, kg m: one
    /// per plane, counted from where the trial weights were.
    ///
    /// # Errors
    /// [`TrialError::Correction`] if there is not one finite weight per plane.
    pub fn expected(&self, weights_kg_m: &[Complex<f64>]) -> Result<Vec<Expected>, TrialError> {
        let numbers = weights_kg_m.iter().all(|w| w.re.is_finite() && w.im.is_finite());
        if weights_kg_m.len() != self.planes || !numbers {
            return Err(TrialError::Correction { planes: self.planes });
        }
        let with = with_one(weights_kg_m);
        let mut all = Vec::new();
        for (index, speed) in self.speeds.iter().enumerate() {
            let share = speed.share(&with).sqrt();
            for (sensor, fitted) in speed.sensors.iter().enumerate() {
                let added: Complex<f64> =
                    fitted.coefficients.iter().zip(weights_kg_m).map(|(a, w)| a.value * w).sum();
                all.push(Expected {
                    speed: index,
                    sensor,
                    vibration: fitted.baseline.value + added,
                    standard_uncertainty: share * self.uncertainty(sensor),
                });
            }
        }
        Ok(all)
    }

    /// Standard uncertainty of a component of a sensor's readings, the runs' scatter counted.
    pub(super) fn uncertainty(&self, sensor: usize) -> f64 {
        self.stated_uncertainties[sensor] * self.fit.noise_factor
    }

    fn is_finite(&self) -> bool {
        let sensors = || self.speeds.iter().flat_map(|speed| &speed.sensors);
        let all = sensors().flat_map(|sensor| sensor.coefficients.iter().chain([&sensor.baseline]));
        let mut numbers = all.flat_map(|c| [c.value.re, c.value.im, c.standard_uncertainty]);
        self.fit.chi_square.is_finite() && numbers.all(f64::is_finite)
    }

    /// Whether any sensor's readings change with weight in a plane, by more than rounding.
    fn is_felt(&self, trial: &TrialRuns, plane: usize) -> bool {
        self.speeds.iter().any(|speed| {
            let tried_kg_m = trial.scales(&speed.runs)[plane];
            speed.sensors.iter().enumerate().any(|(sensor, fitted)| {
                let readings =
                    speed.runs.iter().map(|run| trial.runs[*run].readings[sensor].norm());
                let effect = fitted.coefficients[plane].value.norm() * tried_kg_m;
                effect > readings.fold(0.0, f64::max) / SINGULAR_CONDITION
            })
        })
    }

    fn warn(&self, trial: &TrialRuns) -> Vec<Warning> {
        let mut warnings = Vec::new();
        for (index, speed) in self.speeds.iter().enumerate() {
            if speed.condition > TRIALS_ALIKE_CONDITION {
                let condition = speed.condition;
                warnings.push(Warning::TrialsAlike { speed: index + 1, condition });
            }
        }
        warnings.extend(lost_in_noise(self, trial));
        if let Some(chance) = self.fit.chance.filter(|chance| *chance < FIT_CHANCE) {
            let noise_factor = self.fit.noise_factor;
            warnings.push(Warning::FitWorseThanNoise { noise_factor, chance });
        }
        warnings
    }
}

/// Root of the mean square amplitude of what is expected, where all sensors have one unit; 0 of
/// none.
#[must_use]
pub fn rms(expected: &[Expected]) -> f64 {
    if expected.is_empty() {
        return 0.0;
    }
    let squares: f64 = expected.iter().map(|at| at.vibration.norm_sqr()).sum();
    (squares / expected.len() as f64).sqrt()
}

/// `[1, W_1 … W_P]`.
pub(super) fn with_one(weights_kg_m: &[Complex<f64>]) -> DVector<Complex<f64>> {
    let one = [Complex::new(1.0, 0.0)];
    DVector::from_iterator(
        weights_kg_m.len() + 1,
        one.into_iter().chain(weights_kg_m.iter().copied()),
    )
}

fn at_speed(
    trial: &TrialRuns,
    number: usize,
    runs: Vec<usize>,
    uncertainties: &[f64],
) -> Result<FitAtSpeed, TrialError> {
    let design = trial.design(&runs);
    let mut scales = vec![1.0];
    scales.extend(trial.scales(&runs));
    let squares = LeastSquares::of(&design, scales).map_err(|unsolved| match unsolved {
        Unsolved::Singular(columns) => {
            let planes = columns.into_iter().filter(|column| *column > 0).collect();
            TrialError::ChangedTogether { speed: number, planes }
        }
        Unsolved::Other(error) => error,
    })?;
    let cofactor = squares.cofactor();
    let mut sensors = Vec::with_capacity(uncertainties.len());
    for (sensor, uncertainty) in uncertainties.iter().enumerate() {
        let read = DVector::from_fn(runs.len(), |i, _| trial.runs[runs[i]].readings[sensor]);
        let unknowns = squares.solve(&read);
        let residuals = read - &design * &unknowns;
        let coefficient = |i: usize| Coefficient {
            value: unknowns[i],
            standard_uncertainty: uncertainty * cofactor[(i, i)].re.sqrt(),
        };
        sensors.push(FitOfSensor {
            baseline: coefficient(0),
            coefficients: (1..=trial.planes).map(coefficient).collect(),
            residuals: residuals.iter().copied().collect(),
        });
    }
    Ok(FitAtSpeed { sensors, runs, condition: squares.condition, cofactor })
}

impl FitAtSpeed {
    /// `q`: the variance of what is left with weights, in that of a reading.
    pub(super) fn share(&self, with: &DVector<Complex<f64>>) -> f64 {
        let mut sum = Complex::new(0.0, 0.0);
        for (i, one) in with.iter().enumerate() {
            for (j, other) in with.iter().enumerate() {
                sum += one * self.cofactor[(i, j)] * other.conj();
            }
        }
        // Rounding may take a nothing below itself.
        sum.re.max(0.0)
    }

    /// Raises the uncertainties of what was fitted.
    fn scatter(&mut self, factor: f64) {
        for sensor in &mut self.sensors {
            sensor.baseline.standard_uncertainty *= factor;
            for coefficient in &mut sensor.coefficients {
                coefficient.standard_uncertainty *= factor;
            }
        }
    }
}

impl Fit {
    fn of(speeds: &[FitAtSpeed], uncertainties: &[f64]) -> Self {
        let (mut chi_square, mut freedom) = (0.0, 0);
        for speed in speeds {
            for (sensor, uncertainty) in speed.sensors.iter().zip(uncertainties) {
                let beyond = speed.runs.len() - 1 - sensor.coefficients.len();
                if beyond > 0 {
                    let scaled =
                        sensor.residuals.iter().map(|left| (left / *uncertainty).norm_sqr());
                    chi_square += scaled.sum::<f64>();
                    // Each reading has two components.
                    freedom += 2 * beyond;
                }
            }
        }
        let law = (freedom > 0).then(|| ChiSquared::new(freedom as f64).ok()).flatten();
        let chance = law.map(|law| law.sf(chi_square));
        let noise_factor =
            if freedom > 0 { (chi_square / freedom as f64).sqrt().max(1.0) } else { 1.0 };
        Self { chi_square, freedom, chance, noise_factor }
    }
}

#[cfg(test)]
mod tests {
    use super::super::runs::ReadingNoise;
    use super::super::sample::{Machine, Normals, noisy, one_by_one, polar, zero};
    use super::*;

    /// Runs at two speeds in no order, weights left in, none without any.
    fn left_in() -> Vec<(usize, Vec<Complex<f64>>)> {
        vec![
            (1, vec![polar(0.7, 10.0), zero()]),
            (0, vec![polar(0.7, 10.0), zero()]),
            (0, vec![polar(0.7, 10.0), polar(1.1, 200.0)]),
            (1, vec![polar(0.7, 10.0), polar(1.1, 200.0)]),
            (0, vec![polar(0.9, 100.0), polar(1.1, 200.0)]),
            (1, vec![polar(0.9, 100.0), polar(1.1, 200.0)]),
            (1, vec![polar(0.9, 100.0), polar(0.3, 20.0)]),
        ]
    }

    #[test]
    fn first_readings_and_coefficients_come_back() {
        let machine = Machine::new(2, 3, 2);
        let influence = Influence::of(&machine.runs(&left_in(), 0.01)).unwrap();
        assert_eq!(influence.speeds[0].runs, [1, 2, 4]);
        for (s, speed) in influence.speeds.iter().enumerate() {
            for (j, sensor) in speed.sensors.iter().enumerate() {
                assert!((sensor.baseline.value - machine.first[s][j]).norm() < 1e-13);
                for (p, coefficient) in sensor.coefficients.iter().enumerate() {
                    let off = coefficient.value - machine.coefficients[s][j][p];
                    assert!(off.norm() < 1e-13, "{off}");
                }
            }
        }
        // One run too many at the second speed, three sensors, two components.
        assert_eq!(influence.fit.freedom, 6);
        assert_eq!(influence.fit.noise_factor, 1.0);
        assert!(influence.warnings.is_empty(), "{:?}", influence.warnings);
        let weights = [polar(0.4, 77.0), polar(1.3, -20.0)];
        for at in influence.expected(&weights).unwrap() {
            let off = at.vibration - machine.read(at.speed, &weights)[at.sensor];
            assert!(off.norm() < 1e-13, "{off}");
        }
        let error = influence.expected(&weights[..1]).unwrap_err().to_string();
        assert_eq!(error, "weights are to be one finite number for each of the 2 planes");
    }

    #[test]
    fn uncertainty_as_a_share_is_that_of_the_sensors_largest_reading() {
        let machine = Machine::new(2, 3, 2);
        let mut runs = machine.runs(&left_in(), 0.01);
        runs.noise = ReadingNoise::ShareOfLargest(0.02);
        let influence = Influence::of(&runs).unwrap();
        for sensor in 0..3 {
            let largest = runs.runs.iter().map(|r| r.readings[sensor].norm()).fold(0.0, f64::max);
            assert_eq!(influence.stated_uncertainties[sensor], 0.02 * largest);
        }
    }

    /// By hand: first reading from one run, coefficient from the difference of two.
    #[test]
    fn uncertainties_of_one_plane_and_two_runs() {
        let influence =
            Influence::of(&Machine::new(1, 1, 1).runs(&one_by_one(0, 1), 0.01)).unwrap();
        let sensor = &influence.speeds[0].sensors[0];
        assert!((sensor.baseline.standard_uncertainty - 0.01).abs() < 1e-16);
        let wanted = 0.01 * 2.0_f64.sqrt();
        assert!((sensor.coefficients[0].standard_uncertainty - wanted).abs() < 1e-16);
        // With the trial weight itself it is the second run that is expected.
        let trial = [polar(1.0, 0.0)];
        let again = influence.expected(&trial).unwrap()[0];
        assert!((again.standard_uncertainty - 0.01).abs() < 1e-16);
        assert!((influence.speeds[0].condition - 2.618_033_988_749_895).abs() < 1e-14);
    }

    const DRAWS: usize = 20_000;
    /// The variance of 20 000 draws scatters by √(2/20 000) = 1 %; four of that, and a half for
    /// the last digits of the generator.
    const VARIANCE_WITHIN: f64 = 0.045;

    /// Coefficients and expected vibration scatter as stated, and χ² is as its law says.
    #[test]
    fn stated_uncertainties_are_those_of_a_simulation() {
        let machine = Machine::new(2, 3, 2);
        let truth = machine.runs(&left_in(), 0.02);
        let weights = [polar(0.4, 77.0), polar(1.3, -20.0)];
        let stated = Influence::of(&truth).unwrap();
        let expected = stated.expected(&weights).unwrap();
        let mut normals = Normals(5);
        let mut squares = vec![0.0; expected.len()];
        let (mut coefficient, mut chi_square, mut bad) = (0.0, 0.0, 0);
        for _ in 0..DRAWS {
            let drawn = Influence::of(&noisy(&truth, 0.02, &mut normals)).unwrap();
            for (sum, (got, at)) in
                squares.iter_mut().zip(drawn.expected(&weights).unwrap().iter().zip(&expected))
            {
                *sum += (got.vibration - at.vibration).norm_sqr() / 2.0;
            }
            let off =
                drawn.speeds[0].sensors[1].coefficients[0].value - machine.coefficients[0][1][0];
            coefficient += off.norm_sqr() / 2.0;
            chi_square += drawn.fit.chi_square;
            let worse = |w: &Warning| matches!(w, Warning::FitWorseThanNoise { .. });
            bad += usize::from(drawn.warnings.iter().any(worse));
            let factor = (drawn.fit.chi_square / 6.0).sqrt().max(1.0);
            assert!((drawn.fit.noise_factor - factor).abs() < 1e-12);
        }
        let draws = DRAWS as f64;
        for (sum, at) in squares.iter().zip(&expected) {
            let ratio = sum / draws / at.standard_uncertainty.powi(2);
            assert!((ratio - 1.0).abs() < VARIANCE_WITHIN, "{at:?}: {ratio}");
        }
        let stated = stated.speeds[0].sensors[1].coefficients[0].standard_uncertainty;
        let ratio = coefficient / draws / stated.powi(2);
        assert!((ratio - 1.0).abs() < VARIANCE_WITHIN, "{ratio}");
        // The mean of 20 000 of variance 12: 0.025. One in a hundred of 20 000: 200 ± 14.
        assert!((chi_square / draws - 6.0).abs() < 0.1, "{}", chi_square / draws);
        assert!((bad as f64 - 200.0).abs() < 56.0, "{bad}");
    }
}
