//! How far a shop's data moved what was assumed, as a plain sentence.

use super::posterior::{Parameter, Posterior};
use super::priors::Priors;
use crate::units::{Length, System};

/// Half of an interval that holds nine of ten, in standard deviations.
const NINE_OF_TEN: f64 = 1.644_853_626_951_472_2;

/// An interval at least this wide against the first one, and moved by less than
/// [`NOTHING_MOVES`], says nothing.
const NOTHING_NARROWS: f64 = 0.95;

/// In standard deviations of what was assumed.
const NOTHING_MOVES: f64 = 0.1;

/// An interval that is still this wide is hardly narrower.
const LITTLE: f64 = 0.8;

/// How far the data moved one unknown.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Moved {
    /// Which.
    pub parameter: Parameter,
    /// Width of its interval over the one assumed, in its logarithm for a scale.
    pub narrowed: f64,
    /// How far its median moved, in standard deviations of what was assumed; positive is up.
    pub shift: f64,
    /// Lower end, median and upper end now.
    pub now: [f64; 3],
    /// The median assumed.
    pub assumed: f64,
}

impl Posterior {
    /// How far the data moved each unknown.
    #[must_use]
    pub fn moved(&self) -> [Moved; 3] {
        Parameter::ALL.map(|parameter| {
            let marginal = self.marginal(parameter);
            let (spread, scale) = spread(self.priors(), parameter);
            let [low, median, high] = [marginal.low, marginal.median, marginal.high]
                .map(|value| if scale { value.ln() / spread } else { value / spread });
            Moved {
                parameter,
                narrowed: (high - low) / (2.0 * NINE_OF_TEN),
                shift: median,
                now: [marginal.low, marginal.median, marginal.high],
                assumed: if scale { 1.0 } else { 0.0 },
            }
        })
    }
}

const fn spread(priors: &Priors, parameter: Parameter) -> (f64, bool) {
    match parameter {
        Parameter::Tilt => (priors.tilt_log_sd, true),
        Parameter::Heat => (priors.heat_log_sd, true),
        Parameter::Margin => (priors.margin_sd_m, false),
    }
}

impl Moved {
    /// Whether the data have said anything of it.
    #[must_use]
    pub fn says_something(&self) -> bool {
        self.narrowed < NOTHING_NARROWS || self.shift.abs() >= NOTHING_MOVES
    }

    /// One plain sentence, with lengths in both systems.
    #[must_use]
    pub fn sentence(&self, first: System) -> String {
        let name = match self.parameter {
            Parameter::Tilt => "the scale of tilt",
            Parameter::Heat => "the scale of heat",
            Parameter::Margin => "the gap at which contact shows",
        };
        if !self.says_something() {
            return format!("Your builds have said nothing about {name} yet.");
        }
        let said = match self.parameter {
            Parameter::Tilt | Parameter::Heat => {
                let [low, median, high] = self.now.map(|value| format!("{value:.2}"));
                format!("{median} ({low} to {high}) where {:.2} was assumed", self.assumed)
            }
            Parameter::Margin => {
                let [low, median, high] =
                    self.now.map(|value| Length::m(value).as_amount(first).to_string());
                format!("{median} ({low} to {high}) where none was assumed")
            }
        };
        let percent = (100.0 * self.narrowed).round();
        let narrowed = if self.narrowed >= NOTHING_NARROWS {
            "without making it any surer".to_owned()
        } else if self.narrowed >= LITTLE {
            format!("and make it little surer, {percent} % of the width being left")
        } else {
            format!("and leave {percent} % of the width")
        };
        let moved = if self.shift.abs() < NOTHING_MOVES {
            "leave it where it was".to_owned()
        } else {
            let way = if self.shift > 0.0 { "up" } else { "down" };
            format!("move it {way} by {:.1} of the spread assumed", self.shift.abs())
        };
        let mut subject = name.to_owned();
        subject.replace_range(..1, "T");
        format!("{subject} is {said}: your builds {moved} {narrowed}.")
    }
}
