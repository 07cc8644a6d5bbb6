//! From readings to heights: adjustment, uncertainty, misreadings and verdicts.

mod adjust;
mod fit;
mod gauge;
mod heights;
mod housing;
mod misreading;
mod odd;
mod rows;
#[cfg(test)]
mod sample;
mod station;
mod verdict;

pub use adjust::{AdjustError, Adjusted, Check, Checked, RotorReadings, Squareness};
pub use gauge::{Estimate, Gauge, MeasuredAt, Shared};
pub use heights::{Face, FaceHeights, Heights, TIPS};
pub use housing::{HousingReadings, HousingState, HousingWidth};
pub use misreading::{CRITICAL, Suspect, Suspicion, Tell};
pub use odd::{Odd, odd_ones};
pub use station::{Kind, Station};
pub(crate) use verdict::ROUNDING_M;
pub use verdict::{EDITION, GUARD_FACTOR, PROBABILITY, Tolerance, Verdict, guard};
