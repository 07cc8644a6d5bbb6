//! When the engine goes together: whether each size that is read conforms to what the engine's
//! record asks, and which spacer gives the shaft its end play.
//!
//! No limit is taken here that nobody gave. End play is a size of its own, between the shaft's
//! thrust faces; the side clearance of a rotor has no part in it.

mod judged;
mod spacer;

pub use judged::{NoWanted, Said, Wanted, judged, reading_uncertainty};
pub use spacer::{Advice, EndPlay, EndPlayError, Fitted, NoSpacer, Thicker};
