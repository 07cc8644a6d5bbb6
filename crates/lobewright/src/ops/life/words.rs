//! What is said of a station's wear and life, in sentences.

use super::{PartLife, StationLife};
use kernel::units::{Length, System};
use kernel::wear::{Basis, Life, Rate, Rebuilds};

/// Hours to which a rate is told: a rate per hour is too small a figure to be read.
const PER_HOURS: f64 = 100.0;

fn per_hundred(m_per_h: f64, first: System) -> String {
    Length::m(PER_HOURS * m_per_h).as_amount(first).to_string()
}

fn plural(count: usize, what: &str) -> String {
    if count == 1 { format!("{count} {what}") } else { format!("{count} {what}s") }
}

/// A rate with its interval.
#[must_use]
pub fn rate_words(rate: &Rate, first: System) -> String {
    let from = match rate.basis {
        Basis::Gauges => "one run, so the interval is of the gauges alone".to_owned(),
        Basis::Runs => plural(rate.losses.len(), "run"),
    };
    format!(
        "{} in 100 h, from {} to {} (9 in 10; {from})",
        per_hundred(rate.m_per_h, first),
        per_hundred(rate.low_m_per_h, first),
        per_hundred(rate.high_m_per_h, first),
    )
}

fn rebuilds(of: Rebuilds) -> String {
    let most = of.high.map_or_else(|| "no end in sight".to_owned(), |high| high.to_string());
    let runs = if of.expected == 1 { "run" } else { "runs" };
    format!("{} more {runs}, from {} to {most}", of.expected, of.low)
}

/// What a life says.
#[must_use]
pub fn life_words(life: &Life, first: System) -> String {
    match life {
        Life::Past { by_m } => {
            format!("past its limit by {}", Length::m(*by_m).as_amount(first))
        }
        Life::NotYet { at_least_hours, at_least_rebuilds, basis } => {
            let least = at_least_hours.map(|hours| {
                format!("; {hours:.0} h and {} at least", plural(*at_least_rebuilds, "run"))
            });
            let why = match basis {
                Basis::Gauges => "one run does not show more wear than the gauges scatter",
                Basis::Runs => "its runs do not show yet that it wears",
            };
            format!("cannot be said yet: {why}{}", least.unwrap_or_default())
        }
        Life::Left { hours, rebuilds: left, .. } => format!(
            "{:.0} h left before its limit, from {:.0} to {:.0}; {}",
            hours.expected,
            hours.low,
            hours.high,
            rebuilds(*left)
        ),
    }
}

impl StationLife {
    /// What is said of its life.
    #[must_use]
    pub fn life_words(&self, first: System) -> String {
        match (&self.life, &self.rate, &self.limit) {
            (Some(life), ..) => life_words(life, first),
            (None, Err(_), _) => "cannot be said yet".to_owned(),
            (None, Ok(_), None) => "no limit is given for it".to_owned(),
            (None, Ok(_), Some(_)) => {
                "cannot be said: nobody says how long its next run is".to_owned()
            }
        }
    }

    /// What is said of its wear.
    #[must_use]
    pub fn rate_words(&self, first: System) -> String {
        match &self.rate {
            Ok(rate) => rate_words(rate, first),
            Err(why) => why.clone(),
        }
    }

    /// What cuts took in all.
    #[must_use]
    pub fn cut_in_all(&self) -> Length {
        self.cuts.iter().map(|cut| cut.cut).sum()
    }
}

impl PartLife {
    /// The shortest thing to say of it.
    #[must_use]
    pub fn in_a_sentence(&self) -> String {
        match self.first_to_go() {
            Some(station) => {
                format!("{}: {}", station.words, station.life_words(self.first))
            }
            None if self.stations.is_empty() => {
                "nothing of it was read more than once yet".to_owned()
            }
            None => "what is left of it cannot be said yet".to_owned(),
        }
    }
}
