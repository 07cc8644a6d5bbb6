//! Which rotors and housings of the stock go into the builds that wait: the least metal removed and
//! the least difference of masses, within spec and seal limits. The kernel chooses and proves
//! ([`kernel::shelf`]); here parts are gathered with their last readings, the winner is planned as any
//! build, and what is said of each part is put into words.

mod adopted;
mod bench;
mod choose;
mod fitting;
mod in_stock;
mod last_read;
mod line;
mod no_set;
mod of_shop;
mod others;
mod report;
mod waits;

#[cfg(test)]
mod tests;

pub use choose::choose;
pub use fitting::{FitError, Open, ToFit, fit_all, lacks, that_wait};
pub use of_shop::from_shop;
pub use report::{
    BuildReport, CAUTION, ChoiceReport, NoSet, Other, PlaceReport, Put, RunnerUp, Said, SetReport,
};
pub use waits::{ChoiceError, Filled, LeftOut, Shelf, Waits, from_files};
