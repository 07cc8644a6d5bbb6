//! The fewest holes, slugs, flats or masses that correct a counterweight.
//!
//! A [`Counterweight`] says where it may be worked on and with what. Its [`Ways`] are all places
//! with all tools that fit there, each with an interval of depths; what a way does to the unbalance
//! is in [`crate::balance::metal`]. [`Ways::correct`] chooses the fewest of them, at depths that are
//! whole steps, and says what is left. It searches exactly ([`search`]): sets by bounds that hold
//! for any depths ([`bound`]), the depths of a set by their steps ([`depths`]).

mod bound;
mod choice;
mod correction;
mod counterweight;
mod depths;
mod error;
mod ground;
mod ladder;
mod search;
mod sought;
mod space;
mod zonotope;

pub use choice::{
    Choice, Choices, MOST_CHOICES, MOST_OPERATIONS, Pick, Picked, Reach, TENTHS, Wanted,
};
pub use correction::{Correction, Operation};
pub use counterweight::{Counterweight, How, LeftOut, Place, Unfit, Way, Ways};
pub use error::DrillingError;
pub(super) use error::within;
pub use search::{MOST_CHECKS, MOST_METAL_CHECKS};
