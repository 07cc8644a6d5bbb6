//! How the charge burns: Wiebe's law, and what makes a cycle hard or a knocking one.
//!
//! Burnt share `x(y) = 1 − exp(−a·y^(m+1))`, `y` from 0 at ignition to 1 at the end of the burn
//! [HEYWOOD] (chapter 9, form from memory). What has not burnt at the end never does: it leaves
//! as fresh charge. In a knocking cycle a share of the charge burns by itself in a few degrees;
//! the rest follows Wiebe: `x = (1 − s)·x_W + s·S`, `S` a smooth step.

use super::super::range::within;
use super::error::GasError;

/// The mean cycle's burn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Burn {
    /// Ignition before the firing top dead centre, degrees of the shaft.
    pub ignition_before_top_deg: f64,
    /// From ignition to the end of the burn, degrees of the shaft.
    pub duration_deg: f64,
    /// Wiebe's `a`: 5 burns 99.3 %, 6.9 burns 99.9 %.
    pub wiebe_a: f64,
    /// Wiebe's `m`.
    pub wiebe_m: f64,
}

impl Default for Burn {
    /// A long chamber burns slowly, its trailing end last: common practice, no source.
    fn default() -> Self {
        Self { ignition_before_top_deg: 25.0, duration_deg: 95.0, wiebe_a: 5.0, wiebe_m: 1.8 }
    }
}

/// The part of a charge that knocks.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Knock {
    /// Share of the charge that burns by itself, 0 to 0.5.
    pub share: f64,
    /// When it starts, degrees of the shaft after the firing top dead centre.
    pub at_deg: f64,
    /// How long it takes, degrees of the shaft.
    pub duration_deg: f64,
}

impl Default for Knock {
    /// Just before a hard cycle's peak, when the end of the charge is hottest: common practice,
    /// no source.
    fn default() -> Self {
        Self { share: 0.15, at_deg: 17.0, duration_deg: 3.0 }
    }
}

/// How a cycle of the scatter differs from the mean cycle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Scatter {
    /// How much earlier the burn begins, degrees of the shaft.
    pub earlier_deg: f64,
    /// Its duration over that of the mean cycle.
    pub duration_ratio: f64,
    /// Its heat per kilogram over that of the mean cycle.
    pub heat_ratio: f64,
    /// What knocks, if anything.
    pub knock: Option<Knock>,
}

impl Scatter {
    /// The mean cycle itself.
    pub const MEAN: Self =
        Self { earlier_deg: 0.0, duration_ratio: 1.0, heat_ratio: 1.0, knock: None };
    /// A hard cycle, one of a hundred or so: common practice, no source.
    pub const HARD: Self =
        Self { earlier_deg: 6.0, duration_ratio: 0.82, heat_ratio: 1.03, knock: None };

    /// A knocking cycle: a hard one whose end knocks, common practice, no source.
    #[must_use]
    pub fn knocking() -> Self {
        Self { knock: Some(Knock::default()), ..Self::HARD }
    }
}

/// A burn with its scatter, checked.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Burning {
    start_deg: f64,
    duration_deg: f64,
    a: f64,
    m: f64,
    knock: Knock,
    pub(super) heat_ratio: f64,
}

impl Burning {
    /// The burn of one cycle.
    ///
    /// # Errors
    /// A value outside its limits.
    pub(super) fn new(burn: Burn, scatter: Scatter) -> Result<Self, GasError> {
        let degrees = "degrees";
        within(
            "ignition before top dead centre",
            burn.ignition_before_top_deg,
            degrees,
            (-60.0, 120.0),
        )?;
        within("the duration of the burn", burn.duration_deg, degrees, (0.5, 250.0))?;
        within("Wiebe's a", burn.wiebe_a, "", (1.0, 12.0))?;
        within("Wiebe's m", burn.wiebe_m, "", (0.0, 6.0))?;
        within("how much earlier the cycle burns", scatter.earlier_deg, degrees, (-60.0, 60.0))?;
        within("the duration over the mean one", scatter.duration_ratio, "", (0.2, 5.0))?;
        within("the heat over the mean heat", scatter.heat_ratio, "", (0.0, 2.0))?;
        let start_deg = -burn.ignition_before_top_deg - scatter.earlier_deg;
        let duration_deg = burn.duration_deg * scatter.duration_ratio;
        // What does not knock has no events of its own.
        let none = Knock { share: 0.0, at_deg: start_deg, duration_deg };
        if let Some(knock) = scatter.knock {
            within("the share that knocks", knock.share, "", (0.0, 0.5))?;
            within("the start of knock", knock.at_deg, degrees, (-30.0, 120.0))?;
            within("the duration of knock", knock.duration_deg, degrees, (0.2, 60.0))?;
        }
        let knock = scatter.knock.unwrap_or(none);
        Ok(Self {
            start_deg,
            duration_deg,
            a: burn.wiebe_a,
            m: burn.wiebe_m,
            knock,
            heat_ratio: scatter.heat_ratio,
        })
    }

    pub(super) const fn start_deg(&self) -> f64 {
        self.start_deg
    }

    /// When the last of it is burnt.
    pub(super) fn end_deg(&self) -> f64 {
        let end = self.start_deg + self.duration_deg;
        if self.knock.share > 0.0 {
            end.max(self.knock.at_deg + self.knock.duration_deg)
        } else {
            end
        }
    }

    /// Where the rate has a corner.
    pub(super) fn events_deg(&self) -> [f64; 4] {
        let knock = &self.knock;
        [
            self.start_deg,
            self.start_deg + self.duration_deg,
            knock.at_deg,
            knock.at_deg + knock.duration_deg,
        ]
    }

    /// Share burnt per degree of the shaft at `theta_deg`, which lies in the same stretch between
    /// events as `middle_deg`: Wiebe's rate ends in a step, and a stretch must see one side of it.
    pub(super) fn rate_per_deg(&self, middle_deg: f64, theta_deg: f64) -> f64 {
        let y = (theta_deg - self.start_deg) / self.duration_deg;
        let mut rate = 0.0;
        if middle_deg > self.start_deg && middle_deg < self.start_deg + self.duration_deg {
            // Round-off may put the start of the stretch before the burn.
            let y = y.max(0.0);
            let power = y.powf(self.m);
            rate =
                self.a * (self.m + 1.0) * power * (-self.a * power * y).exp() / self.duration_deg;
        }
        let knock = &self.knock;
        if knock.share > 0.0 {
            let y = (theta_deg - knock.at_deg) / knock.duration_deg;
            rate *= 1.0 - knock.share;
            if y > 0.0 && y < 1.0 {
                rate += knock.share * 6.0 * y * (1.0 - y) / knock.duration_deg;
            }
        }
        rate
    }
}

/// Wiebe's burnt share at `y`, 0 before the burn, `1 − exp(−a)` after it.
#[must_use]
pub fn wiebe(a: f64, m: f64, y: f64) -> f64 {
    -(-a * y.clamp(0.0, 1.0).powf(m + 1.0)).exp_m1()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_rate_adds_up_to_what_wiebe_and_knock_burn() {
        for scatter in [Scatter::MEAN, Scatter::HARD, Scatter::knocking()] {
            let burning = Burning::new(Burn::default(), scatter).unwrap();
            let (from, to, n) = (-60.0, 120.0, 180_000);
            let h = (to - from) / f64::from(n);
            let sum: f64 = (0..n)
                .map(|i| from + h * (f64::from(i) + 0.5))
                .map(|theta| h * burning.rate_per_deg(theta, theta))
                .sum();
            let share = scatter.knock.map_or(0.0, |knock| knock.share);
            let expected = (1.0 - share) * wiebe(5.0, 1.8, 1.0) + share;
            assert!((sum - expected).abs() < 1e-8, "{sum} {expected}");
        }
    }

    #[test]
    fn no_burn_comes_of_values_that_make_none() {
        let wrong = Burn { duration_deg: 0.0, ..Burn::default() };
        assert!(Burning::new(wrong, Scatter::MEAN).is_err());
        let wrong = Scatter { heat_ratio: f64::NAN, ..Scatter::MEAN };
        assert!(Burning::new(Burn::default(), wrong).is_err());
    }
}
