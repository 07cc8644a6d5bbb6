//! What the kernel says of trial runs by number, in the shop's own names: planes, speeds, sensors.

use kernel::balance::influence::{TrialError, Warning};
use kernel::units::Speed;

/// Names behind the numbers, in the kernel's order.
#[derive(Clone, Copy)]
pub(super) struct Named<'a> {
    /// 0 front, 1 rear, of the planes that were tried.
    pub(super) planes: &'a [usize],
    pub(super) speeds: &'a [Speed],
    pub(super) sensors: &'a [&'a str],
}

impl Named<'_> {
    /// Why runs give no correction.
    pub(super) fn refusal(&self, error: &TrialError) -> String {
        match error {
            TrialError::NoPlanes => "no run has a trial weight: one run without, and one with a \
                                     trial weight for each plane, front and rear"
                .to_owned(),
            TrialError::NeverTried { plane, speed } => format!(
                "the {} plane never had a trial weight at {}",
                self.plane(*plane),
                self.speed(*speed)
            ),
            TrialError::NeverChanged { plane, speed } => format!(
                "the {} plane had the same trial weight in every run at {}; one run without it is \
                 needed",
                self.plane(*plane),
                self.speed(*speed)
            ),
            TrialError::TooFewRuns { speed, given, needed } => format!(
                "{given} of the {needed} runs that are needed at {}: one more than planes that were \
                 tried, each with other trial weights",
                self.speed(*speed)
            ),
            TrialError::ChangedTogether { speed, .. } => format!(
                "at {} the trial weights in front and rear changed only together; one run with only \
                 one of them is needed",
                self.speed(*speed)
            ),
            TrialError::NoEffect { plane } => {
                format!("weight in the {} plane changes no reading", self.plane(*plane))
            }
            TrialError::SamePlanes { .. } => {
                "front and rear do the same to these sensors at these speeds: add a sensor at the \
                 other end, or correct one plane alone"
                    .to_owned()
            }
            TrialError::Silent { sensor } => {
                let name = self.sensors.get(sensor.wrapping_sub(1)).copied().unwrap_or("one");
                format!("sensor {name:?} reads nothing in every run")
            }
            other => other.to_string(),
        }
    }

    /// What makes a correction worth little.
    pub(super) fn warning(&self, warning: &Warning) -> String {
        match warning {
            Warning::TrialsAlike { speed, condition } => format!(
                "the trial weights at {} hardly differ from one another (condition number \
                 {condition:.0})",
                self.speed(*speed)
            ),
            Warning::PlanesAlike { condition, .. } => format!(
                "ill-conditioned: front and rear look alike to these sensors, and an error in a \
                 reading may come back {condition:.0}-fold in the weights"
            ),
            Warning::LostInNoise { run, plane, over_noise } => format!(
                "run {run}: the trial weight in the {} plane changes no reading by more than \
                 {over_noise:.1} times its uncertainty; try a larger one",
                self.plane(*plane)
            ),
            other => other.to_string(),
        }
    }

    fn plane(&self, number: usize) -> &'static str {
        match self.planes.get(number.wrapping_sub(1)) {
            Some(0) => "front",
            _ => "rear",
        }
    }

    fn speed(&self, number: usize) -> String {
        match self.speeds.get(number.wrapping_sub(1)) {
            Some(speed) => format!("{:.0} rpm", speed.to_rpm()),
            None => format!("speed {number}"),
        }
    }
}
