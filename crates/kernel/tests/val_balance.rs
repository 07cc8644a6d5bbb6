//! Balance against other people's figures, and trial runs against NumPy (`reference/balance`).

#![expect(clippy::unwrap_used, reason = "in a test a panic is the report")]

use kernel::balance::Grade;
use kernel::balance::influence::{Correction, Influence, ReadingNoise, Run, TrialRuns, rms};
use kernel::units::{Mass, Speed};
use nalgebra::Complex;

const VALUES: &str = include_str!("../../../reference/balance/values.csv");

/// Values of `reference/balance/values.csv`; only rises.
const VALUES_SEEN: usize = 9010;

fn polar(amount: f64, angle_deg: f64) -> Complex<f64> {
    Complex::from_polar(amount, angle_deg.to_radians())
}

fn zero() -> Complex<f64> {
    Complex::new(0.0, 0.0)
}

fn values(correction: &Correction) -> Vec<Complex<f64>> {
    correction.weights.iter().map(|weight| weight.value_kg_m).collect()
}

/// Amount and direction, the latter within its tolerance in degrees.
fn is(got: Complex<f64>, amount: f64, within: f64, angle_deg: f64, within_deg: f64) {
    assert!((got.norm() - amount).abs() < within, "{} for {amount}", got.norm());
    let off_deg = (got / polar(1.0, angle_deg)).arg().to_degrees();
    assert!(off_deg.abs() < within_deg, "{} for {angle_deg}", got.arg().to_degrees());
}

/// One speed; readings as amplitude and lead in degrees.
fn run(trial: &[Complex<f64>], readings: &[(f64, f64)]) -> Run {
    let readings = readings.iter().map(|(amplitude, lead)| polar(*amplitude, *lead)).collect();
    Run { speed: 0, trial_weights_kg_m: trial.to_vec(), readings }
}

/// Permissible specific unbalance at 3000 and 9000 r/min, µm [ISO-21940-11, 6.3.3; computed]:
/// the digits printed.
#[test]
fn permissible_unbalance_of_the_grades() {
    let at_3000 = [
        (0.4, 1.273_24),
        (1.0, 3.183_10),
        (2.5, 7.957_75),
        (6.3, 20.053_52),
        (16.0, 50.929_58),
        (40.0, 127.323_95),
        (100.0, 318.309_89),
    ];
    let at_9000 =
        [(1.0, 1.061_03), (2.5, 2.652_58), (6.3, 6.684_51), (16.0, 16.976_53), (40.0, 42.441_32)];
    let mass = Mass::kg(7.5);
    for (rpm, rows) in [(3000.0, &at_3000[..]), (9000.0, &at_9000[..])] {
        for (grade, um) in rows {
            let permissible = Grade::mm_per_s(*grade).unwrap().permissible(mass, Speed::rpm(rpm));
            // g mm over kg is µm.
            let got_um = permissible.to_g_mm() / mass.to_kg();
            assert!((got_um - um).abs() < 1e-5, "G {grade} at {rpm}: {got_um} for {um}");
        }
    }
}

/// Two planes and two sensors [RAO, example 9.2; from memory, computed].
fn rao() -> TrialRuns {
    TrialRuns {
        planes: 2,
        runs: vec![
            run(&[zero(), zero()], &[(8.5, 60.0), (6.5, 205.0)]),
            run(&[polar(10.0, 270.0), zero()], &[(6.0, 125.0), (4.5, 230.0)]),
            run(&[zero(), polar(12.0, 180.0)], &[(6.0, 35.0), (10.5, 160.0)]),
        ],
        noise: ReadingNoise::PerSensor(vec![0.05; 2]),
    }
}

#[test]
fn influence_coefficients_of_two_planes() {
    let influence = Influence::of(&rao()).unwrap();
    let of =
        |sensor: usize, plane: usize| influence.speeds[0].sensors[sensor].coefficients[plane].value;
    is(of(0, 0), 0.8071, 1e-4, 287.644, 1e-3);
    is(of(0, 1), 0.3313, 1e-4, 99.628, 1e-3);
    is(of(1, 0), 0.3079, 1e-4, 76.856, 1e-3);
    is(of(1, 1), 0.6235, 1e-4, 302.099, 1e-3);
}

/// The book's angles are those of the unbalance; what is to be added lies opposite. That it is so
/// is seen by what is left, from the coefficients by hand.
#[test]
fn correction_of_two_planes_is_opposite_to_the_unbalance() {
    let influence = Influence::of(&rao()).unwrap();
    let correction = influence.correction().unwrap();
    let weights = values(&correction);
    is(weights[0], 10.0561, 1e-4, 145.5548 + 180.0, 1e-3);
    is(weights[1], 5.8774, 1e-4, 248.2559 - 180.0, 1e-3);
    let [first, left, right] = [0, 1, 2].map(|k| rao().runs[k].readings.clone());
    for sensor in 0..2 {
        let of_left = (left[sensor] - first[sensor]) / polar(10.0, 270.0);
        let of_right = (right[sensor] - first[sensor]) / polar(12.0, 180.0);
        let rest = first[sensor] + of_left * weights[0] + of_right * weights[1];
        assert!(rest.norm() < 1e-12, "{rest}");
    }
    assert!(correction.rms < 1e-12);
}

/// Two planes and four sensors, the first trial weight left in [FEESE-GRAZIER]: the paper's
/// weights are 15.3 at 3° and 6.6 at 113°, all of it, trial weights taken off.
#[test]
fn correction_with_a_trial_weight_left_in() {
    let (one, two) = (polar(11.1, 35.0), polar(3.7, 135.0));
    let runs = TrialRuns {
        planes: 2,
        runs: vec![
            run(&[zero(), zero()], &[(0.68, 32.0), (0.56, 86.0), (1.94, 231.0), (2.07, 335.0)]),
            run(&[one, zero()], &[(1.31, 1.0), (1.25, 75.0), (0.93, 251.0), (1.00, 342.0)]),
            run(&[one, two], &[(0.54, 9.0), (0.52, 75.0), (0.81, 196.0), (0.90, 296.0)]),
        ],
        noise: ReadingNoise::PerSensor(vec![0.01; 4]),
    };
    let correction = Influence::of(&runs).unwrap().correction().unwrap();
    let weights = values(&correction);
    is(weights[0], 15.33, 5e-3, 2.90, 5e-3);
    is(weights[1], 6.617, 5e-4, 112.87, 5e-3);
    // The paper's own digits.
    is(weights[0], 15.3, 0.05, 3.0, 0.5);
    is(weights[1], 6.6, 0.05, 113.0, 0.5);
    // What is to be put on beside the trial weights, if both stay.
    is(weights[0] - one, 8.362, 5e-4, -41.96, 5e-3);
    is(weights[1] - two, 3.481, 5e-4, 89.27, 5e-3);
    assert!((correction.rms / 0.0699 - 1.0).abs() < 0.01, "{}", correction.rms);
}

/// Three sensors, two planes, real figures [GOODMAN]: 17/21 and 31/21, to two digits 0.81 and 1.48.
#[test]
fn real_least_squares_of_three_sensors() {
    let arrow = |re: f64| Complex::new(re, 0.0);
    let made = |trial: [f64; 2], read: [f64; 3]| Run {
        speed: 0,
        trial_weights_kg_m: trial.map(arrow).to_vec(),
        readings: read.map(arrow).to_vec(),
    };
    // First readings 1, −1, 0; coefficients 3 −2, 5 −2, 5 −3.
    let runs = TrialRuns {
        planes: 2,
        runs: vec![
            made([0.0, 0.0], [1.0, -1.0, 0.0]),
            made([1.0, 0.0], [4.0, 4.0, 5.0]),
            made([0.0, 1.0], [-1.0, -3.0, -3.0]),
        ],
        noise: ReadingNoise::PerSensor(vec![0.01; 3]),
    };
    let influence = Influence::of(&runs).unwrap();
    let correction = influence.correction().unwrap();
    for (got, wanted) in values(&correction).iter().zip([17.0 / 21.0, 31.0 / 21.0]) {
        assert!((got - wanted).norm() < 1e-13, "{got} for {wanted}");
    }
    assert!((correction.rms - 0.35635).abs() < 5e-6, "{}", correction.rms);
    let printed = influence.expected(&[arrow(0.81), arrow(1.48)]).unwrap();
    assert!(rms(&printed) > correction.rms);
}

/// Sets as `reference/balance/trial_runs.py` draws them: the same numbers in the same order.
struct Draws(u64);

/// Where that script starts.
const START: u64 = 20;
const SETS: usize = 1000;

impl Draws {
    fn uniform(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        (((z ^ (z >> 31)) >> 11) as f64 + 0.5) / (1_u64 << 53) as f64
    }

    fn below(&mut self, count: usize) -> usize {
        (count as f64 * self.uniform()) as usize
    }

    fn arrow(&mut self) -> Complex<f64> {
        let re = 2.0 * self.uniform() - 1.0;
        Complex::new(re, 2.0 * self.uniform() - 1.0)
    }

    fn weight(&mut self) -> Complex<f64> {
        let re = 0.5 + self.uniform();
        let mut weight = Complex::new(re, 2.0 * self.uniform() - 1.0);
        for _ in 0..self.below(4) {
            weight *= Complex::i();
        }
        weight
    }

    fn set(&mut self) -> TrialRuns {
        let (planes, sensors, speeds) = (1 + self.below(3), 1 + self.below(5), 1 + self.below(3));
        let planes = planes.min(sensors * speeds);
        let beyond = self.below(4);
        let (left_in, never_without) = (self.uniform() < 0.5, self.uniform() < 0.3);
        let noise = [0.0, 0.01, 0.05][self.below(3)];
        let uncertainties = (0..sensors).map(|_| 0.01 * (1.0 + 9.0 * self.uniform())).collect();
        let mut runs = Vec::new();
        for speed in 0..speeds {
            let first: Vec<_> = (0..sensors).map(|_| 5.0 * self.arrow()).collect();
            let coefficients: Vec<Vec<_>> =
                (0..sensors).map(|_| (0..planes).map(|_| self.arrow()).collect()).collect();
            let before: Vec<_> =
                (0..planes).map(|_| if never_without { self.weight() } else { zero() }).collect();
            let mut trials = vec![before.clone()];
            for plane in 0..planes {
                let mut trial =
                    if left_in { trials.last().unwrap().clone() } else { before.clone() };
                trial[plane] += self.weight();
                trials.push(trial);
            }
            for _ in 0..beyond {
                trials.push((0..planes).map(|_| self.weight()).collect());
            }
            for trial in trials {
                let mut readings = Vec::new();
                for (first, row) in first.iter().zip(&coefficients) {
                    let added: Complex<f64> = row.iter().zip(&trial).map(|(a, w)| a * w).sum();
                    readings.push(first + added + noise * self.arrow());
                }
                runs.push(Run { speed, trial_weights_kg_m: trial, readings });
            }
        }
        TrialRuns { planes, runs, noise: ReadingNoise::PerSensor(uncertainties) }
    }
}

/// Of the largest weight, and of the largest first reading. Eleven decimals are printed, which is
/// 3e-11 of the smallest set's weights; rounding is some 1e-14, the condition numbers of trial
/// weights and planes being below 30 in these sets.
const WEIGHTS_WITHIN: f64 = 1e-9;
/// Of the variance: seven digits printed, differences by a thousandth of the uncertainty.
const VARIANCES_WITHIN: f64 = 1e-6;
/// Eight decimals printed.
const CHI_SQUARE_WITHIN: f64 = 1e-8;

#[test]
fn random_trial_runs_agree_with_numpy() {
    // [NUMPY] `linalg.lstsq`.
    let rows: Vec<Vec<&str>> = VALUES.lines().skip(1).map(|l| l.split(',').collect()).collect();
    let mut draws = Draws(START);
    let mut rows = rows.iter().peekable();
    let mut seen = 0;
    let mut worst = [0.0_f64; 5];
    let mut conditions = [0.0_f64; 2];
    for number in 0..SETS {
        let trial = draws.set();
        let influence = Influence::of(&trial).unwrap();
        let correction = influence.correction().unwrap();
        let largest = values(&correction).iter().map(|w| w.norm()).fold(0.0, f64::max);
        let sensors = influence.speeds.iter().flat_map(|speed| &speed.sensors);
        let first = sensors.map(|sensor| sensor.baseline.value.norm()).fold(0.0, f64::max);
        let design = influence.speeds.iter().map(|s| s.condition).fold(0.0, f64::max);
        conditions = [conditions[0].max(design), conditions[1].max(correction.condition)];
        while let Some(row) = rows.next_if(|row| row[0] == number.to_string()) {
            let at: usize = row[2].parse().unwrap();
            let [re, im]: [f64; 2] = [row[3].parse().unwrap(), row[4].parse().unwrap()];
            let both = Complex::new(re, im);
            let (kind, off) = match row[1] {
                "weight" => (0, (correction.weights[at].value_kg_m - both).norm() / largest),
                "left" => (1, (correction.expected[at].vibration - both).norm() / first),
                "chi_square" => {
                    assert_eq!(influence.fit.freedom as f64, im);
                    (2, (influence.fit.chi_square - re).abs())
                }
                "variance" => {
                    let covariance = correction.weights[at].covariance_kg2_m2;
                    (
                        3,
                        (covariance[0][0] / re - 1.0)
                            .abs()
                            .max((covariance[1][1] / im - 1.0).abs()),
                    )
                }
                "covariance" => {
                    (4, (correction.weights[at].covariance_kg2_m2[0][1] - re).abs() / im)
                }
                other => panic!("unknown quantity {other}"),
            };
            worst[kind] = worst[kind].max(off);
            let within = [
                WEIGHTS_WITHIN,
                WEIGHTS_WITHIN,
                CHI_SQUARE_WITHIN,
                VARIANCES_WITHIN,
                VARIANCES_WITHIN,
            ][kind];
            assert!(
                off < within,
                "{row:?}: off by {off}, conditions {design} {}",
                correction.condition
            );
            seen += 1;
        }
    }
    assert_eq!((seen, rows.next()), (VALUES_SEEN, None));
    // The tolerance is about what it says it is, and the sets are not all easy ones.
    assert!(worst[0] > WEIGHTS_WITHIN * 1e-3 && worst[3] > VARIANCES_WITHIN * 1e-2, "{worst:?}");
    assert!(conditions.iter().all(|most| (15.0..30.0).contains(most)), "{conditions:?}");
}
