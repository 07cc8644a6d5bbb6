//! Trial runs of the file through the kernel: what weights do, what is to be added, how sure.

use super::super::inputs::{BalanceError, BalanceInputs};
use super::trial_words::Named;
use crate::build_file::Build;
use crate::build_file::model::balance::{Amplitude, Run as RunWords, Shown as ShownWords};
use kernel::balance::influence::{Influence, ReadingNoise, Run, TrialError, TrialRuns};
use kernel::balance::{Complex, InPlanes, Shown};
use kernel::readings::GUARD_FACTOR;
use kernel::units::Speed;

/// Two speeds nearer than this share are one.
const SAME_SPEED: f64 = 1e-6;

/// A sensor at a speed, in its own unit.
#[derive(Debug, Clone, PartialEq)]
pub struct SensorLine {
    /// What the shop calls it.
    pub name: String,
    /// Unit of the figures here.
    pub unit: &'static str,
    /// Without any trial weight.
    pub baseline: Complex<f64>,
    /// What was read in runs with a trial weight, with the number of the run.
    pub runs: Vec<(usize, Complex<f64>)>,
    /// What a kilogram metre in the planes that were tried adds.
    pub coefficients: Vec<Complex<f64>>,
    /// What is expected after correction.
    pub expected: Complex<f64>,
}

/// All sensors at one speed.
#[derive(Debug, Clone, PartialEq)]
pub struct SpeedLine {
    /// The speed.
    pub speed: Speed,
    /// The sensors.
    pub sensors: Vec<SensorLine>,
}

/// What trial runs say.
#[derive(Debug, Clone, PartialEq)]
pub struct TrialsReport {
    /// Which planes were tried: 0 front, 1 rear.
    pub planes: Vec<usize>,
    /// What is there too much in both planes, and how well it is known. Of a plane that was not
    /// tried nothing is known and nothing is said.
    pub unbalance: InPlanes,
    /// What runs after correction say is left there.
    pub left: Option<InPlanes>,
    /// Speeds.
    pub speeds: Vec<SpeedLine>,
    /// Condition number of the coefficients.
    pub condition: f64,
    /// Degrees of freedom by which runs check each other.
    pub freedom: usize,
    /// Chance of a fit this bad.
    pub chance: Option<f64>,
    /// What makes it worth little.
    pub warnings: Vec<String>,
    influence: Influence,
}

impl TrialsReport {
    /// Why nothing is known of a plane.
    pub(super) fn untried(&self, plane: usize) -> Option<&'static str> {
        let tried = self.planes.contains(&plane);
        (!tried).then_some("not known: it never had a trial weight")
    }

    /// Why no correction is worked out for a plane from these runs; nothing: it is.
    pub(super) fn withheld(&self, plane: usize) -> Option<&'static str> {
        if let Some(why) = self.untried(plane) {
            return Some(why);
        }
        let (vector, u) = (self.unbalance.vectors_kg_m[plane], self.unbalance.u_kg_m(plane));
        (GUARD_FACTOR * u >= vector.norm()).then_some(
            "not worth a hole: the uncertainty of these runs is as large as what they find",
        )
    }

    /// Puts in what the sensors will show with this left in the planes; where nothing is done by
    /// these runs, what they would show at best.
    pub(super) fn expect(
        &mut self,
        found_kg_m: [Complex<f64>; 2],
        left_kg_m: [Complex<f64>; 2],
        by_these_runs: bool,
    ) {
        if !by_these_runs {
            return;
        }
        let added: Vec<Complex<f64>> =
            self.planes.iter().map(|plane| left_kg_m[*plane] - found_kg_m[*plane]).collect();
        let Ok(expected) = self.influence.expected(&added) else { return };
        for of in expected {
            let line = self.speeds.get_mut(of.speed).and_then(|s| s.sensors.get_mut(of.sensor));
            if let Some(line) = line {
                line.expected = of.vibration;
            }
        }
    }
}

/// What an instrument showed, as the kernel takes it.
pub(super) fn shown(shown: &ShownWords) -> Shown {
    Shown { amount: shown.amount.to_kg_m(), angle_rad: shown.angle.to_rad() }
}

pub(super) fn trials(
    build: &Build,
    inputs: &BalanceInputs,
) -> Result<Option<TrialsReport>, BalanceError> {
    let (after, runs): (Vec<&RunWords>, Vec<&RunWords>) =
        build.balance.runs.iter().partition(|run| run.after_correction);
    let Some(first) = runs.first() else {
        if after.is_empty() {
            return Ok(None);
        }
        return Err(BalanceError::Trial(
            "there are only runs after correction; what they show is told by the runs with trial \
             weights before it"
                .to_owned(),
        ));
    };
    let tried = |plane: usize| runs.iter().any(|run| weight(run, plane).is_some());
    let planes: Vec<usize> = (0..2).filter(|plane| tried(*plane)).collect();
    let mut speeds: Vec<Speed> = Vec::new();
    for run in &runs {
        if speed_index(&speeds, run.speed).is_none() {
            speeds.push(run.speed);
        }
    }
    // Sensors in the order of the first run; the reader has made sure that all runs have them.
    let names: Vec<&str> = first.sensors.iter().map(|sensor| sensor.name.as_str()).collect();
    let reading = |run: &RunWords, name: &str| {
        run.sensors.iter().find(|sensor| sensor.name == name).map(|sensor| {
            let (amount, _) = amplitude(sensor.amplitude);
            inputs.convention.vibration(Shown { amount, angle_rad: sensor.phase.to_rad() })
        })
    };
    let kernel_run = |run: &RunWords| Run {
        // A speed that only a run after correction has is none that was tried.
        speed: speed_index(&speeds, run.speed).unwrap_or(speeds.len()),
        trial_weights_kg_m: planes
            .iter()
            .map(|plane| {
                let zero = Complex::new(0.0, 0.0);
                weight(run, *plane).map_or(zero, |w| inputs.convention.mass(shown(&w)))
            })
            .collect(),
        readings: names.iter().filter_map(|name| reading(run, name)).collect(),
    };
    let kernel_runs: Vec<Run> = runs.iter().map(|run| kernel_run(run)).collect();
    let named = Named { planes: &planes, speeds: &speeds, sensors: &names };
    let refused = |error: TrialError| BalanceError::Trial(named.refusal(&error));
    let influence = Influence::of(&TrialRuns {
        planes: planes.len(),
        runs: kernel_runs.clone(),
        noise: ReadingNoise::ShareOfLargest(inputs.vibration_u),
    })
    .map_err(refused)?;
    let correction = influence.correction().map_err(refused)?;
    // What is to be added is the opposite of what is too much.
    let unbalance = correction.cancels(&planes);
    let after: Vec<Run> = after.iter().map(|run| kernel_run(run)).collect();
    let left = if after.is_empty() {
        None
    } else {
        Some(influence.unbalance(&after).map_err(refused)?.in_two(&planes))
    };
    let line = |index: usize, speed: &Speed| SpeedLine {
        speed: *speed,
        sensors: names
            .iter()
            .enumerate()
            .map(|(sensor, name)| {
                let fit = &influence.speeds[index].sensors[sensor];
                let of = correction
                    .expected
                    .iter()
                    .find(|expected| expected.speed == index && expected.sensor == sensor);
                SensorLine {
                    name: (*name).to_owned(),
                    unit: first.sensors.get(sensor).map_or("", |s| amplitude(s.amplitude).1),
                    baseline: fit.baseline.value,
                    runs: kernel_runs
                        .iter()
                        .enumerate()
                        .filter(|(_, run)| {
                            run.speed == index
                                && run.trial_weights_kg_m.iter().any(|w| w.norm() > 0.0)
                        })
                        .map(|(number, run)| (number + 1, run.readings[sensor]))
                        .collect(),
                    coefficients: fit.coefficients.iter().map(|c| c.value).collect(),
                    expected: of.map_or(fit.baseline.value, |expected| expected.vibration),
                }
            })
            .collect(),
    };
    let warnings = influence.warnings.iter().chain(&correction.warnings);
    Ok(Some(TrialsReport {
        speeds: speeds.iter().enumerate().map(|(index, speed)| line(index, speed)).collect(),
        condition: correction.condition,
        freedom: influence.fit.freedom,
        chance: influence.fit.chance,
        warnings: warnings.map(|warning| named.warning(warning)).collect(),
        planes: planes.clone(),
        unbalance,
        left,
        influence: influence.clone(),
    }))
}

fn weight(run: &RunWords, plane: usize) -> Option<ShownWords> {
    if plane == 0 { run.front } else { run.rear }
}

fn speed_index(speeds: &[Speed], speed: Speed) -> Option<usize> {
    let same = |known: &Speed| (*known / speed - 1.0).abs() < SAME_SPEED;
    speeds.iter().position(same)
}

/// An amplitude in the unit it is shown in.
fn amplitude(amplitude: Amplitude) -> (f64, &'static str) {
    match amplitude {
        Amplitude::Displacement(length) => (length.to_um(), "\u{b5}m"),
        Amplitude::Velocity(velocity) => (velocity.to_mm_per_s(), "mm/s"),
    }
}
