//! Trial runs as they were made, and what makes them useless.

use super::error::TrialError;
use nalgebra::{Complex, DMatrix};

/// Trial weights nearer to each other than this share of the largest are the same: rounding of
/// units and angles, not a measure of anything.
const SAME_WEIGHT: f64 = 1e-9;

/// One run of the machine at a speed.
#[derive(Debug, Clone, PartialEq)]
pub struct Run {
    /// Which speed, counted from 0. Runs at one speed share their coefficients.
    pub speed: usize,
    /// All the trial weight on each plane during the run, kg m, those left in from earlier runs
    /// included; 0 where there is none. The weights to add count from where these do.
    pub trial_weights_kg_m: Vec<Complex<f64>>,
    /// Vibration at each sensor, once per turn, as an arrow that leads, in the sensor's own unit.
    pub readings: Vec<Complex<f64>>,
}

/// Standard uncertainty of each of the two components of a reading.
#[derive(Debug, Clone, PartialEq)]
pub enum ReadingNoise {
    /// Of each sensor, in its own unit.
    PerSensor(Vec<f64>),
    /// As a share of each sensor's largest reading.
    ShareOfLargest(f64),
}

/// All runs for one correction.
#[derive(Debug, Clone, PartialEq)]
pub struct TrialRuns {
    /// How many correction planes there are.
    pub planes: usize,
    /// The runs, in any order.
    pub runs: Vec<Run>,
    /// How well the readings repeat.
    pub noise: ReadingNoise,
}

impl TrialRuns {
    /// Refuses what is missing or no number.
    pub(super) fn check(&self) -> Result<(), TrialError> {
        let planes = self.planes;
        let first = self.runs.first().ok_or(TrialError::NoRuns)?;
        if planes == 0 {
            return Err(TrialError::NoPlanes);
        }
        let sensors = first.readings.len();
        if sensors == 0 {
            return Err(TrialError::NoSensors);
        }
        for (index, run) in self.runs.iter().enumerate() {
            let number = index + 1;
            let given = run.readings.len();
            if given != sensors {
                return Err(TrialError::Readings { run: number, given, sensors });
            }
            let given = run.trial_weights_kg_m.len();
            if given != planes {
                return Err(TrialError::Planes { run: number, given, planes });
            }
            if let Some(plane) = no_number(&run.trial_weights_kg_m) {
                return Err(TrialError::Weight { run: number, plane });
            }
            if let Some(sensor) = no_number(&run.readings) {
                return Err(TrialError::Reading { run: number, sensor });
            }
        }
        Ok(())
    }

    /// Standard uncertainty of a component of each sensor's readings.
    pub(super) fn uncertainties(&self) -> Result<Vec<f64>, TrialError> {
        let sensors = self.runs.first().map_or(0, |run| run.readings.len());
        let stated = match &self.noise {
            ReadingNoise::PerSensor(stated) => stated.clone(),
            ReadingNoise::ShareOfLargest(share) => {
                if !(*share > 0.0 && share.is_finite()) {
                    return Err(TrialError::Share { value: *share });
                }
                let mut of_largest = Vec::with_capacity(sensors);
                for sensor in 0..sensors {
                    let amplitudes = self.runs.iter().map(|run| run.readings[sensor].norm());
                    let largest = amplitudes.fold(0.0, f64::max);
                    if largest == 0.0 {
                        return Err(TrialError::Silent { sensor: sensor + 1 });
                    }
                    of_largest.push(share * largest);
                }
                of_largest
            }
        };
        if stated.len() != sensors {
            return Err(TrialError::Uncertainties { given: stated.len(), sensors });
        }
        match stated.iter().position(|value| !(*value > 0.0 && value.is_finite())) {
            Some(at) => Err(TrialError::Uncertainty { sensor: at + 1, value: stated[at] }),
            None => Ok(stated),
        }
    }

    /// Which runs were made at each speed, refused where they cannot tell the unknowns apart for a
    /// reason that can be seen without computing.
    pub(super) fn at_speeds(&self) -> Result<Vec<Vec<usize>>, TrialError> {
        let mut speeds: Vec<Vec<usize>> = Vec::new();
        // Not more speeds than runs: a number beyond has one before it without a run.
        for speed in 0..self.runs.len() {
            let here = self.runs.iter().enumerate().filter(|(_, run)| run.speed == speed);
            let here: Vec<usize> = here.map(|(index, _)| index).collect();
            if here.is_empty() {
                let seen: usize = speeds.iter().map(Vec::len).sum();
                if seen == self.runs.len() {
                    break;
                }
                return Err(TrialError::NoRunAtSpeed { speed: speed + 1 });
            }
            speeds.push(here);
        }
        for (index, here) in speeds.iter().enumerate() {
            self.check_speed(index + 1, here)?;
        }
        Ok(speeds)
    }

    fn check_speed(&self, speed: usize, here: &[usize]) -> Result<(), TrialError> {
        let needed = self.planes + 1;
        let scales = self.scales(here);
        if let Some(at) = scales.iter().position(|scale| *scale == 0.0) {
            return Err(TrialError::NeverTried { plane: at + 1, speed });
        }
        if here.len() < needed {
            return Err(TrialError::TooFewRuns { speed, given: here.len(), needed });
        }
        let same = |one: usize, other: usize, plane: usize| {
            let weight = |run: usize| self.runs[run].trial_weights_kg_m[plane];
            (weight(one) - weight(other)).norm() <= SAME_WEIGHT * scales[plane]
        };
        let mut different: Vec<usize> = Vec::new();
        let mut twice = None;
        for run in here {
            let all_same =
                |earlier: &&usize| (0..self.planes).all(|plane| same(**earlier, *run, plane));
            match different.iter().find(all_same) {
                Some(earlier) => twice = twice.or(Some((*earlier + 1, *run + 1))),
                None => different.push(*run),
            }
        }
        if let (Some((one, other)), true) = (twice, different.len() < needed) {
            return Err(TrialError::SameTrials { one, other });
        }
        let changed = |plane: usize| here.iter().any(|run| !same(here[0], *run, plane));
        match (0..self.planes).find(|plane| !changed(*plane)) {
            Some(plane) => Err(TrialError::NeverChanged { plane: plane + 1, speed }),
            None => Ok(()),
        }
    }

    /// The largest trial weight of each plane in these runs, kg m.
    pub(super) fn scales(&self, here: &[usize]) -> Vec<f64> {
        let weight = |run: &usize, plane: usize| self.runs[*run].trial_weights_kg_m[plane].norm();
        let largest = |plane| here.iter().map(|run| weight(run, plane)).fold(0.0, f64::max);
        (0..self.planes).map(largest).collect()
    }

    /// The rows `[1, W_1 … W_P]` of these runs.
    pub(super) fn design(&self, here: &[usize]) -> DMatrix<Complex<f64>> {
        DMatrix::from_fn(here.len(), self.planes + 1, |row, column| match column.checked_sub(1) {
            None => Complex::new(1.0, 0.0),
            Some(plane) => self.runs[here[row]].trial_weights_kg_m[plane],
        })
    }
}

/// The number, from 1, of the first that is none.
fn no_number(of: &[Complex<f64>]) -> Option<usize> {
    of.iter().position(|value| !(value.re.is_finite() && value.im.is_finite())).map(|at| at + 1)
}

#[cfg(test)]
mod tests {
    use super::super::fit::Influence;
    use super::super::sample::{Machine, one_by_one, polar, zero};
    use super::*;

    fn two_planes() -> TrialRuns {
        Machine::new(1, 2, 2).runs(&one_by_one(0, 2), 0.01)
    }

    fn refused(change: impl FnOnce(&mut TrialRuns)) -> String {
        let mut runs = two_planes();
        change(&mut runs);
        Influence::of(&runs).unwrap_err().to_string()
    }

    #[test]
    fn what_is_missing_is_named() {
        assert!(Influence::of(&two_planes()).is_ok());
        assert_eq!(refused(|t| t.runs.clear()), "there is no run");
        assert_eq!(refused(|t| t.planes = 0), "there is no correction plane");
        assert_eq!(
            refused(|t| t.runs[0].readings.clear()),
            "run 1 has no reading: there is no sensor"
        );
        assert_eq!(
            refused(|t| t.runs[2].readings.truncate(1)),
            "run 3 has 1 readings, run 1 has 2: each run has one per sensor"
        );
        assert_eq!(refused(|t| t.planes = 3), "run 1 has trial weights for 2 planes; there are 3");
        assert_eq!(refused(|t| t.runs[1].speed = 1), "plane 1 never had a trial weight at speed 1");
        assert_eq!(
            refused(|t| t.runs.iter_mut().for_each(|r| r.speed = usize::MAX)),
            "there is no run at speed 1"
        );
        assert_eq!(refused(|t| t.runs[2].speed = 2), "there is no run at speed 2");
    }

    #[test]
    fn what_is_no_number_is_named() {
        assert_eq!(
            refused(|t| t.runs[1].readings[1].im = f64::NAN),
            "run 2: the reading of sensor 2 is not a finite number"
        );
        assert_eq!(
            refused(|t| t.runs[2].trial_weights_kg_m[0].re = f64::INFINITY),
            "run 3: the trial weight in plane 1 is not a finite number"
        );
        let noise = |noise: ReadingNoise| refused(|t| t.noise = noise);
        assert_eq!(
            noise(ReadingNoise::PerSensor(vec![0.1, 0.0])),
            "the uncertainty of the readings of sensor 2 is 0; it is to be more than nothing"
        );
        assert_eq!(
            noise(ReadingNoise::PerSensor(vec![0.1])),
            "uncertainties of readings are given for 1 sensors; the runs have 2"
        );
        assert_eq!(
            noise(ReadingNoise::ShareOfLargest(f64::NAN)),
            "the uncertainty of readings is NaN of the largest one; it is to be more than nothing"
        );
        assert_eq!(
            refused(|t| {
                t.noise = ReadingNoise::ShareOfLargest(0.02);
                t.runs.iter_mut().for_each(|r| r.readings[1] = zero());
            }),
            "sensor 2 reads 0 in every run"
        );
        for huge in [1e-200, 1e200] {
            assert_eq!(
                refused(|t| {
                    t.noise = ReadingNoise::PerSensor(vec![1e-200; 2]);
                    t.runs.iter_mut().flat_map(|r| &mut r.readings).for_each(|v| *v *= 1e200);
                    t.runs[1].trial_weights_kg_m[0] *= huge;
                }),
                "trial weights, readings or their uncertainty are too large or too small to compute with"
            );
        }
    }

    #[test]
    fn runs_that_do_not_tell_the_unknowns_apart_are_named() {
        assert_eq!(
            refused(|t| t.runs[2].trial_weights_kg_m = t.runs[1].trial_weights_kg_m.clone()),
            "plane 2 never had a trial weight at speed 1"
        );
        assert_eq!(
            refused(|t| drop(t.runs.remove(0))),
            "speed 1 has 2 of the 3 runs that are needed: one more than planes, with different trial weights"
        );
        assert_eq!(
            refused(|t| {
                t.runs[1].trial_weights_kg_m = vec![polar(1.0, 20.0), polar(2.0, 80.0)];
                t.runs[2].trial_weights_kg_m = vec![polar(1.0, 380.0), polar(2.0, -280.0)];
            }),
            "runs 2 and 3 have the same trial weights, so that they count as one, and too few are left"
        );
        assert_eq!(
            refused(|t| {
                t.runs[0].trial_weights_kg_m = vec![polar(1.0, 20.0), polar(1.0, 10.0)];
                t.runs[1].trial_weights_kg_m = vec![polar(1.0, 20.0), polar(2.0, 80.0)];
                t.runs[2].trial_weights_kg_m = vec![polar(1.0, 20.0), polar(0.5, 30.0)];
            }),
            "plane 1 had the same trial weight in every run at speed 1"
        );
        assert_eq!(
            refused(|t| {
                t.runs[1].trial_weights_kg_m = vec![polar(1.0, 20.0), polar(2.0, 80.0)];
                t.runs[2].trial_weights_kg_m = vec![polar(2.0, 65.0), polar(4.0, 125.0)];
            }),
            "at speed 1 the trial weights in planes 1 and 2 changed only together: their effects cannot be told apart"
        );
    }

    /// The same weights twice are welcome where enough others are left.
    #[test]
    fn a_run_made_again_is_no_error() {
        let machine = Machine::new(1, 2, 2);
        let mut made = one_by_one(0, 2);
        made.push(made[1].clone());
        assert!(Influence::of(&machine.runs(&made, 0.01)).is_ok());
    }
}
