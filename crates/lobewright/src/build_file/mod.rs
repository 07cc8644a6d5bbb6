//! A whole build as one TOML text: what a shop writes by hand, read with everything that is
//! wrong in one pass, written back, and changed in place with comments and order kept.
//!
//! `read` walks the parsed file (`walk`, `checks`) against the known `keys` and `limits`; `show`
//! presents what it found; `write` is its inverse; `amend` changes single values.

mod amend;
mod checks;
pub(crate) mod keys;
pub mod known;
pub mod limits;
pub mod model;
pub mod places;
mod problem;
mod read;
mod show;
mod syntax;
mod tables;
pub mod teardown;
mod walk;
mod wording;
mod write;

#[cfg(test)]
pub(crate) mod generate;
#[cfg(test)]
mod tests;

pub use amend::{AmendError, amend, amend_all};
pub use model::{Build, Stock};
pub use problem::{MOST_LISTED, Problem, Problems};
pub use read::{FORMAT, MOST_ROTORS, MOST_STATIONS, Waiting, read, read_stock, read_waiting};
pub use syntax::MOST_BYTES;
pub use write::write;
