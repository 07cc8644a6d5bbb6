//! What a part loses between rebuilds: wear per hour from its own readings, and how long it lasts.
//!
//! `regression` fits straight lines and anything else that is linear in its unknowns; `twofold`
//! gives it sums of twice the digits; `rate` is wear per hour of a part over its runs; `life` is
//! what that leaves before a limit.
//!
//! A run is from assembly to teardown. What a cut took between two runs is not wear: it lies
//! between the reading at teardown and the one at the next assembly, and no run spans it.

mod error;
mod history;
mod life;
mod rate;
mod regression;
mod twofold;

pub use error::WearError;
pub use history::{History, Run, Size, Wears};
pub use life::{Hours, Life, Limit, MOST_REBUILDS, Rebuilds, Service};
pub use rate::{Basis, LEVEL, Loss, Rate};
pub use regression::{Fit, RegressionError, fit};
