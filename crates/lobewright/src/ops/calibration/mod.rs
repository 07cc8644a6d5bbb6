//! What a shop's own teardowns and tilt tests teach of the engine at speed: gathered from the shop's
//! file, worked out, and offered to whoever owns a spec. Nothing is applied by itself.

mod accept;
mod gather;

#[cfg(test)]
mod tests;

pub use accept::{AcceptError, accept, offered};

use super::shop::ShopError;
use gather::gathered;
use kernel::calibration::{
    ASSUMED, CalibrationError, Checked, Moved, Parameter, Posterior, calibrate,
};
use kernel::units::System;
use records::{BuildId, Day, Shop};
use thiserror::Error;

/// Share of the work until the posterior is there; the rest leaves each build out once.
const FIRST: f64 = 0.6;

/// Why nothing was calibrated.
#[derive(Debug, Error)]
pub enum ShopCalibrationError {
    /// The shop's file cannot be read.
    #[error(transparent)]
    Shop(#[from] ShopError),
    /// The marks cannot be reckoned with.
    #[error(transparent)]
    Calibration(#[from] CalibrationError),
}

/// What a shop's teardowns teach.
#[derive(Debug, Clone)]
pub struct Calibrated {
    /// The posterior.
    pub posterior: Posterior,
    /// Each build as the others would have expected it, in the order of `builds`.
    pub checked: Checked,
    /// Builds that it rests on.
    pub builds: Vec<BuildId>,
    /// How many of them were predicted with a shaft that was scaled from the engine's sizes.
    pub assumed_shafts: usize,
    /// How many tilt tests it rests on.
    pub tests: usize,
    /// What came back, or was tested, and says nothing: what, and why.
    pub silent: Vec<(String, String)>,
}

impl Calibrated {
    /// Whether there is anything that it could rest on.
    #[must_use]
    pub fn rests_on_something(&self) -> bool {
        !self.builds.is_empty() || self.tests > 0
    }

    /// What it rests on, in words.
    #[must_use]
    pub fn rests_on(&self) -> String {
        let count = |n: usize, one: &str| match n {
            0 => None,
            1 => Some(format!("1 {one}")),
            n => Some(format!("{n} {one}s")),
        };
        let both: Vec<String> = [count(self.builds.len(), "build"), count(self.tests, "tilt test")]
            .into_iter()
            .flatten()
            .collect();
        if both.is_empty() { "nothing yet".to_owned() } else { both.join(" and ") }
    }

    /// How far the shop's data moved what was assumed, a sentence each.
    #[must_use]
    pub fn sentences(&self, first: System) -> [String; 3] {
        self.posterior.moved().map(|moved: Moved| moved.sentence(first))
    }

    /// How sure the sum is, and how the marks compare with what the other builds expected.
    #[must_use]
    pub fn fits(&self) -> Vec<String> {
        let mut said = Vec::new();
        if !self.builds.is_empty() {
            let (seen, expected, sd) = self.checked.marks();
            said.push(format!(
                "Each build held against the others: {seen} marks were seen, {expected:.1} expected, \
                 give or take {sd:.1}."
            ));
        }
        for odd in self.checked.odd() {
            said.push(format!(
                "{} does not fit what the others say: {} of {} tips have marks, {:.1} were expected; \
                 builds as odd are {:.1} in a hundred. Look at its readings, its highest speed and its \
                 marks again before anything rests on it.",
                odd.name,
                odd.seen,
                odd.tips,
                odd.without,
                100.0 * odd.as_odd
            ));
        }
        if let Some(measured) = self.posterior.measured() {
            said.push(format!(
                "Tilt tests: tips moved {:.2} times as far as predicted, give or take {:.2}.",
                measured.factor, measured.u
            ));
        }
        if self.assumed_shafts > 0 {
            said.push(format!(
                "{} of the builds were predicted with a shaft scaled from the engine's sizes: the scale \
                 of tilt takes that up too.",
                self.assumed_shafts
            ));
        }
        said
    }

    /// Two unknowns that the data hardly tell apart, if there are any.
    #[must_use]
    pub fn alike(&self) -> Option<String> {
        let together = self.posterior.correlations();
        let pairs = [(0, 1), (0, 2), (1, 2)];
        let (i, j) = pairs
            .into_iter()
            .max_by(|(a, b), (c, d)| together[*a][*b].abs().total_cmp(&together[*c][*d].abs()))?;
        let [one, other] = [i, j].map(|k| Parameter::ALL[k].name());
        (together[i][j].abs() > HARDLY_APART).then(|| {
            format!(
                "The marks hardly tell {one} from {other} (correlation {:.2}): what is sure is the two \
                 together.",
                together[i][j]
            )
        })
    }
}

/// From this on two unknowns are hardly told apart.
const HARDLY_APART: f64 = 0.8;

/// Gathers what came back and works out what it teaches. `watch` is told which share is done and says
/// whether to go on.
///
/// # Errors
/// [`ShopCalibrationError`].
pub fn calibrated(
    shop: &Shop,
    today: &Day,
    first: System,
    watch: &mut dyn FnMut(f64) -> bool,
) -> Result<Calibrated, ShopCalibrationError> {
    let found = gathered(shop, today, first)?;
    let posterior =
        calibrate(&ASSUMED, &found.builds, &found.tests, &mut |share| watch(FIRST * share))?;
    let checked = posterior.leave_one_out(&mut |share| watch(FIRST + (1.0 - FIRST) * share))?;
    Ok(Calibrated {
        posterior,
        checked,
        builds: found.ids,
        assumed_shafts: found.assumed_shafts,
        tests: found.tests.len(),
        silent: found.silent,
    })
}
