//! What is assumed before any build has come apart.

use super::error::CalibrationError;

/// What is assumed before any build has come apart, all of it assumption.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Priors {
    /// Standard deviation of the logarithm of the scale of tilt, whose median is 1.
    pub tilt_log_sd: f64,
    /// The same of the scale of heat.
    pub heat_log_sd: f64,
    /// Standard deviation of the gap below which contact is seen, whose mean is nothing, m.
    pub margin_sd_m: f64,
    /// Median of how much nearer than that a heavy mark is, m.
    pub heavy_median_m: f64,
    /// Standard deviation of its logarithm.
    pub heavy_log_sd: f64,
    /// Chance that what is seen on a tip has nothing to do with its gap.
    pub other_cause: f64,
    /// Standard deviation of the logarithm by which a clamped housing at rest differs from an
    /// engine that runs; shared by all tests of a shop.
    pub at_rest_log_sd: f64,
}

/// What is assumed if nobody says otherwise. Reasons: [`Priors::table`].
pub const ASSUMED: Priors = Priors {
    tilt_log_sd: 0.3,
    heat_log_sd: 0.25,
    margin_sd_m: 10e-6,
    heavy_median_m: 25e-6,
    heavy_log_sd: std::f64::consts::LN_2,
    other_cause: 0.02,
    at_rest_log_sd: 0.25,
};

/// One row of what is assumed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Assumption {
    /// What it is of.
    pub what: &'static str,
    /// Its middle: a factor, a length in m, a chance.
    pub middle: f64,
    /// What it is between in nine cases of ten, likewise; the middle twice where it is fixed.
    pub between: [f64; 2],
    /// Whether it is a length in m.
    pub length: bool,
    /// Why.
    pub why: &'static str,
}

/// Without any chance of another cause a single mark would rule out what nine builds say.
const LEAST_OTHER_CAUSE: f64 = 1e-3;

/// Half of an interval that holds nine of ten, in standard deviations.
const NINE_OF_TEN: f64 = 1.644_853_626_951_472_2;

impl Priors {
    /// All of it as a table, each with its reason.
    #[must_use]
    pub fn table(&self) -> [Assumption; 6] {
        let factor = |what, median: f64, sd: f64, length, why| Assumption {
            what,
            middle: median,
            between: [-1.0, 1.0].map(|sign| median * (sign * NINE_OF_TEN * sd).exp()),
            length,
            why,
        };
        [
            factor(
                "scale of tilt",
                1.0,
                self.tilt_log_sd,
                false,
                "films, gas and mesh are reckoned from textbook laws; three in ten is what is \
                 assumed of the model's own error before a shop has said more",
            ),
            factor(
                "scale of heat",
                1.0,
                self.heat_log_sd,
                false,
                "temperatures are assumed for the duty, mostly without a reading; growth for a \
                 given temperature is well known",
            ),
            Assumption {
                what: "gap below which contact is seen",
                middle: 0.0,
                between: [-1.0, 1.0].map(|sign| sign * NINE_OF_TEN * self.margin_sd_m),
                length: true,
                why: "a burnish shows before the metal is gone, and roughness and oil keep metal \
                      apart for some micrometres",
            },
            factor(
                "how much nearer a heavy mark is",
                self.heavy_median_m,
                self.heavy_log_sd,
                true,
                "where light ends is what people say it is; a factor of two either way is common \
                 between two of them",
            ),
            Assumption {
                what: "chance of another cause, or of a mark overlooked",
                middle: self.other_cause,
                between: [self.other_cause; 2],
                length: false,
                why: "grit, handling, a cleaned face: one mark in fifty is not to be believed, so \
                      that no single one rules the result",
            },
            factor(
                "a tilt test at rest against an engine that runs",
                1.0,
                self.at_rest_log_sd,
                false,
                "pushed at rest a rotor rocks in its bearing's play and bends the shaft; running, it is \
                 carried by films: what all of a shop's tests may have wrong together",
            ),
        ]
    }

    pub(super) fn check(&self) -> Result<(), CalibrationError> {
        let permitted = "it is more than nothing and at most 3";
        for (what, value) in [
            ("the spread of the scale of tilt", self.tilt_log_sd),
            ("the spread of the scale of heat", self.heat_log_sd),
            ("the spread of what is heavy", self.heavy_log_sd),
            ("the spread of a tilt test against running", self.at_rest_log_sd),
        ] {
            if !(value > 0.0 && value <= 3.0) {
                return Err(CalibrationError::Prior { what, value, permitted });
            }
        }
        let permitted = "it is a length, more than nothing and at most 1 mm";
        for (what, value) in [
            ("the spread of the margin", self.margin_sd_m),
            ("how much nearer a heavy mark is", self.heavy_median_m),
        ] {
            if !(value > 0.0 && value <= 1e-3) {
                return Err(CalibrationError::Prior { what, value, permitted });
            }
        }
        let value = self.other_cause;
        if !(LEAST_OTHER_CAUSE..=0.5).contains(&value) {
            let (what, permitted) = ("the chance of another cause", "it is 0.001 to 0.5");
            return Err(CalibrationError::Prior { what, value, permitted });
        }
        Ok(())
    }
}
