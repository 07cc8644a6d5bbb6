//! The fewest holes, slugs, flats or masses that correct a counterweight.
//!
//! A [`Counterweight`] says where it may be worked on and with what. Its [`Ways`] are all places
//! with all tools that fit there, each with an interval of depths; what a way does to the unbalance
//! is in [`crate::balance::metal`]. [`Ways::correct`] chooses the fewest of them, searches exactly
//! ([`search`]), rounds the depths to whole steps, and says what is left.
//!
//! Depths are rounded after they are found, so each way carries a guard: what its amount changes
//! by over half a step, at its worst. A set suffices if what it leaves and all its guards are
//! permitted together, so it does with its depths rounded, whichever way.

mod bound;
mod cheapest;
mod choice;
mod correction;
mod counterweight;
mod error;
mod ground;
mod search;
mod space;
mod zonotope;

pub use choice::{
    Choice, Choices, MOST_CHOICES, MOST_OPERATIONS, Pick, Picked, Reach, TENTHS, Wanted,
};
pub use correction::{Correction, Operation};
pub use counterweight::{Counterweight, How, LeftOut, Place, Unfit, Way, Ways};
pub use error::DrillingError;
pub(super) use error::within;
pub use search::MOST_CHECKS;
