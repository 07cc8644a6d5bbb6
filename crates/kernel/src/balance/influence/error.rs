//! Why trial runs do not tell what weights do.

use thiserror::Error;

/// Why trial runs could not be solved. Runs, planes, sensors and speeds are counted from 1.
#[derive(Debug, Clone, PartialEq, Error)]
#[non_exhaustive]
pub enum TrialError {
    /// Nothing was run.
    #[error("there is no run")]
    NoRuns,
    /// There is nowhere to put a weight.
    #[error("there is no correction plane")]
    NoPlanes,
    /// A first run without any reading.
    #[error("run 1 has no reading: there is no sensor")]
    NoSensors,
    /// Not one reading per sensor.
    #[error("run {run} has {given} readings, run 1 has {sensors}: each run has one per sensor")]
    Readings {
        /// Which run.
        run: usize,
        /// How many readings it has.
        given: usize,
        /// How many run 1 has.
        sensors: usize,
    },
    /// Not one total of trial weights per plane.
    #[error("run {run} has trial weights for {given} planes; there are {planes}")]
    Planes {
        /// Which run.
        run: usize,
        /// For how many planes it has them.
        given: usize,
        /// How many planes there are.
        planes: usize,
    },
    /// A trial weight that is no number.
    #[error("run {run}: the trial weight in plane {plane} is not a finite number")]
    Weight {
        /// Which run.
        run: usize,
        /// Which plane.
        plane: usize,
    },
    /// A reading that is no number.
    #[error("run {run}: the reading of sensor {sensor} is not a finite number")]
    Reading {
        /// Which run.
        run: usize,
        /// Which sensor.
        sensor: usize,
    },
    /// Not one uncertainty per sensor.
    #[error("uncertainties of readings are given for {given} sensors; the runs have {sensors}")]
    Uncertainties {
        /// For how many sensors.
        given: usize,
        /// How many there are.
        sensors: usize,
    },
    /// An uncertainty that none has.
    #[error(
        "the uncertainty of the readings of sensor {sensor} is {value}; it is to be more than nothing"
    )]
    Uncertainty {
        /// Which sensor.
        sensor: usize,
        /// What was given.
        value: f64,
    },
    /// A share of the largest reading that is none.
    #[error(
        "the uncertainty of readings is {value} of the largest one; it is to be more than nothing"
    )]
    Share {
        /// What was given.
        value: f64,
    },
    /// A sensor without any reading to take a share of.
    #[error("sensor {sensor} reads 0 in every run")]
    Silent {
        /// Which sensor.
        sensor: usize,
    },
    /// A speed is counted at which nothing was run.
    #[error("there is no run at speed {speed}")]
    NoRunAtSpeed {
        /// Which speed.
        speed: usize,
    },
    /// A plane without a trial weight.
    #[error("plane {plane} never had a trial weight at speed {speed}")]
    NeverTried {
        /// Which plane.
        plane: usize,
        /// At which speed.
        speed: usize,
    },
    /// Fewer runs than unknowns.
    #[error(
        "speed {speed} has {given} of the {needed} runs that are needed: one more than planes, with different trial weights"
    )]
    TooFewRuns {
        /// At which speed.
        speed: usize,
        /// How many there are.
        given: usize,
        /// How many are needed.
        needed: usize,
    },
    /// Enough runs, but not enough different ones.
    #[error(
        "runs {one} and {other} have the same trial weights, so that they count as one, and too few are left"
    )]
    SameTrials {
        /// The earlier run.
        one: usize,
        /// The later run.
        other: usize,
    },
    /// A plane whose weight cannot be told from what the machine had before.
    #[error("plane {plane} had the same trial weight in every run at speed {speed}")]
    NeverChanged {
        /// Which plane.
        plane: usize,
        /// At which speed.
        speed: usize,
    },
    /// Weights of several planes changed together only.
    #[error(
        "at speed {speed} the trial weights in planes {} changed only together: their effects cannot be told apart",
        numbers(planes)
    )]
    ChangedTogether {
        /// At which speed.
        speed: usize,
        /// Which planes.
        planes: Vec<usize>,
    },
    /// A plane whose weight nothing was seen of.
    #[error("weight in plane {plane} changes no reading")]
    NoEffect {
        /// Which plane.
        plane: usize,
    },
    /// Fewer equations than planes.
    #[error(
        "{planes} planes need at least {planes} readings in a run, of all speeds together; there are {readings}"
    )]
    TooFewSensors {
        /// How many planes there are.
        planes: usize,
        /// Sensors times speeds.
        readings: usize,
    },
    /// Planes that do the same to every sensor.
    #[error(
        "planes {} do the same to these sensors at these speeds: no weights can be told for them",
        numbers(planes)
    )]
    SamePlanes {
        /// Which planes.
        planes: Vec<usize>,
    },
    /// Weights that are to be tried on paper, not one number per plane.
    #[error("weights are to be one finite number for each of the {planes} planes")]
    Correction {
        /// How many planes there are.
        planes: usize,
    },
    /// Figures so large or small that their products are no numbers any more.
    #[error(
        "trial weights, readings or their uncertainty are too large or too small to compute with"
    )]
    Range,
    /// The decomposition did not come to its end; not known to happen.
    #[error("the decomposition of the trial runs did not converge in {steps} steps")]
    NoConvergence {
        /// How many steps were allowed.
        steps: usize,
    },
}

/// "1 and 2", "1, 2 and 3".
pub(super) fn numbers(of: &[usize]) -> String {
    let words: Vec<String> = of.iter().map(ToString::to_string).collect();
    match words.split_last() {
        None => String::new(),
        Some((last, [])) => last.clone(),
        Some((last, before)) => format!("{} and {last}", before.join(", ")),
    }
}
