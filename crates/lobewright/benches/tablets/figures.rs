//! Times in a line: how many, and what so many of a hundred were done within.

use std::fmt;
use std::time::Duration;

/// Of one kind of request.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Figures {
    what: String,
    count: usize,
    /// Half, 90, 99 and 99.9 of a hundred, and the slowest.
    within: [Duration; 5],
}

impl Figures {
    pub(crate) fn of(what: &str, times: &[Duration]) -> Self {
        let mut sorted = times.to_vec();
        sorted.sort_unstable();
        // The nearest rank: a time that was measured, none between two.
        let at = |share: f64| {
            let rank = (share * sorted.len() as f64).ceil() as usize;
            sorted.get(rank.max(1) - 1).copied().unwrap_or_default()
        };
        let within = [at(0.5), at(0.9), at(0.99), at(0.999), at(1.0)];
        Self { what: what.to_owned(), count: sorted.len(), within }
    }

    pub(crate) fn heading() -> String {
        format!(
            "{:<34}{:>7}{:>10}{:>10}{:>10}{:>10}{:>10}  ms",
            "", "count", "p50", "p90", "p99", "p99.9", "most"
        )
    }
}

impl fmt::Display for Figures {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:<34}{:>7}", self.what, self.count)?;
        for within in self.within {
            write!(f, "{:>10.1}", within.as_secs_f64() * 1e3)?;
        }
        Ok(())
    }
}
