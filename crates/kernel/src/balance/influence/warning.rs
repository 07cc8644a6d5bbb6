//! What makes the figures of trial runs worth little, although they can be computed.

use super::error::numbers;
use super::fit::Influence;
use super::runs::TrialRuns;
use std::fmt;

/// Above this condition number trial weights hardly differ. A run without and one run for each
/// plane have 2.6 with one plane, 3.7 with two, 4.8 with three; at 20 a
/// weight was changed by a fifth of itself.
pub const TRIALS_ALIKE_CONDITION: f64 = 20.0;

/// Above this condition number of the scaled coefficients two planes look alike: 10 is that of
/// two columns whose cosine is 0.98, and an error in a reading may come back tenfold in the weights.
pub const PLANES_ALIKE_CONDITION: f64 = 10.0;

/// A trial weight's effect is told from the noise if it changes a sensor's reading by at least
/// this many standard uncertainties of a change, `√2 u` in each component: a change of noise alone
/// is as long in `e^{−4.5}`, 1.1 %, of all cases.
pub const EFFECT_OVER_NOISE: f64 = 3.0;

/// Runs that fit one another this badly by chance in 1 % of all cases are said to.
pub const FIT_CHANCE: f64 = 0.01;

/// Why a result is to be taken with care. Runs, planes and speeds are counted from 1.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub enum Warning {
    /// The trial weights at a speed hardly differ from one another.
    TrialsAlike {
        /// Which speed.
        speed: usize,
        /// Condition number of its trial weights.
        condition: f64,
    },
    /// Planes that do nearly the same to every sensor.
    PlanesAlike {
        /// Which planes.
        planes: Vec<usize>,
        /// Condition number of the scaled coefficients.
        condition: f64,
    },
    /// A trial weight too small to be seen.
    LostInNoise {
        /// In which run.
        run: usize,
        /// On which plane.
        plane: usize,
        /// The largest of its effects on the sensors over the standard uncertainty of a change.
        over_noise: f64,
    },
    /// The runs disagree by more than their readings' uncertainty.
    FitWorseThanNoise {
        /// How many times the stated uncertainty they scatter.
        noise_factor: f64,
        /// Chance of that if the stated uncertainty is right.
        chance: f64,
    },
}

impl fmt::Display for Warning {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::TrialsAlike { speed, condition } => write!(
                f,
                "the trial weights at speed {speed} hardly differ from one another (condition number {condition:.0})"
            ),
            Self::PlanesAlike { planes, condition } => write!(
                f,
                "planes {} look alike to these sensors: an error in a reading may come back {condition:.0}-fold in their weights",
                numbers(planes)
            ),
            Self::LostInNoise { run, plane, over_noise } => write!(
                f,
                "run {run}: the trial weight in plane {plane} changes no reading by more than {over_noise:.1} times its uncertainty"
            ),
            Self::FitWorseThanNoise { noise_factor, .. } => write!(
                f,
                "the runs disagree by {noise_factor:.1} times the uncertainty of their readings"
            ),
        }
    }
}

/// Every trial weight whose effect no sensor tells from the noise.
pub(super) fn lost_in_noise(influence: &Influence, trial: &TrialRuns) -> Vec<Warning> {
    let mut lost = Vec::new();
    for (index, run) in trial.runs.iter().enumerate() {
        let sensors = &influence.speeds[run.speed].sensors;
        for (plane, weight) in run.trial_weights_kg_m.iter().enumerate() {
            if weight.norm() == 0.0 {
                continue;
            }
            let over_noise = sensors
                .iter()
                .enumerate()
                .map(|(sensor, fitted)| {
                    let effect = (fitted.coefficients[plane].value * weight).norm();
                    effect / (std::f64::consts::SQRT_2 * influence.uncertainty(sensor))
                })
                .fold(0.0, f64::max);
            if over_noise < EFFECT_OVER_NOISE {
                lost.push(Warning::LostInNoise { run: index + 1, plane: plane + 1, over_noise });
            }
        }
    }
    lost
}

#[cfg(test)]
mod tests {
    use super::super::sample::{Machine, Normals, noisy, one_by_one, polar, zero};
    use super::*;

    fn said(warnings: &[Warning]) -> Vec<String> {
        warnings.iter().map(ToString::to_string).collect()
    }

    #[test]
    fn sound_runs_are_not_warned_of() {
        let runs = Machine::new(1, 2, 2).runs(&one_by_one(0, 2), 0.01);
        let influence = Influence::of(&runs).unwrap();
        assert_eq!(influence.warnings, []);
        assert_eq!(influence.correction().unwrap().warnings, []);
    }

    #[test]
    fn planes_that_look_alike_are_named() {
        let mut machine = Machine::new(1, 3, 3);
        for (at, sensor) in machine.coefficients[0].iter_mut().enumerate() {
            sensor[1] = sensor[2] * polar(2.0, 30.0) + polar(0.05, 100.0 * at as f64);
        }
        let correction =
            Influence::of(&machine.runs(&one_by_one(0, 3), 0.01)).unwrap().correction().unwrap();
        let [Warning::PlanesAlike { planes, condition }] = &correction.warnings[..] else {
            panic!("{:?}", correction.warnings)
        };
        assert!(planes == &[2, 3] && *condition > PLANES_ALIKE_CONDITION && *condition < 1e4);
        assert!(said(&correction.warnings)[0].starts_with(
            "planes 2 and 3 look alike to these sensors: an error in a reading may come back "
        ));
    }

    #[test]
    fn trial_weights_that_hardly_differ_are_named() {
        let machine = Machine::new(1, 1, 1);
        for (second, warned) in [(0.75, false), (0.85, true)] {
            let made = [(0, vec![polar(1.0, 0.0)]), (0, vec![polar(second, 0.0)])];
            let influence = Influence::of(&machine.runs(&made, 1e-6)).unwrap();
            assert_eq!(influence.warnings.len(), usize::from(warned), "{:?}", influence.warnings);
        }
    }

    #[test]
    fn a_trial_weight_lost_in_noise_is_named() {
        let machine = Machine::new(1, 2, 2);
        let mut made = one_by_one(0, 2);
        made.push((0, vec![polar(1.0, 50.0), polar(0.001, 0.0)]));
        made.push((0, vec![zero(), polar(0.001, 180.0)]));
        let influence = Influence::of(&machine.runs(&made, 0.01)).unwrap();
        let words = said(&influence.warnings);
        assert_eq!(words.len(), 2, "{words:?}");
        assert!(words[0].starts_with("run 4: the trial weight in plane 2 changes no reading"));
        assert!(words[1].starts_with("run 5: the trial weight in plane 2 changes no reading"));
    }

    #[test]
    fn runs_that_scatter_more_than_stated_are_warned_of_and_count_so() {
        let machine = Machine::new(1, 3, 2);
        let mut made = one_by_one(0, 2);
        made.extend(made.clone());
        let truth = machine.runs(&made, 0.001);
        let influence = Influence::of(&noisy(&truth, 0.003, &mut Normals(8))).unwrap();
        let [Warning::FitWorseThanNoise { noise_factor, chance }] = influence.warnings[..] else {
            panic!("{:?}", influence.warnings)
        };
        assert!(chance < FIT_CHANCE && noise_factor > 2.0 && noise_factor < 4.5);
        let stated = Influence::of(&truth).unwrap();
        let [one, other] = [&influence, &stated]
            .map(|i| i.correction().unwrap().weights[0].covariance_kg2_m2[0][0]);
        let ratio = one / other / noise_factor.powi(2);
        // Coefficients that differ by the noise.
        assert!((ratio - 1.0).abs() < 0.05, "{ratio}");
    }
}
