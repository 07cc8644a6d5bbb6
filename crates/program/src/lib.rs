//! Machining programs: written, read back by another reader, and checked.
//!
//! [`program`] writes a program for one face of one rotor on one machine, reads that very text
//! back with a reader that knows nothing of what wrote it, and lets it cut a part that is nothing
//! but heights. The text is only to be had as [`Checked`], from a check that passed; one that does
//! not pass is told with line, reason and place ([`Refused`]). [`check`] does the same with a text
//! that came from elsewhere.
//!
//! # What the words are
//! Only those that ISO 6983-1 and RS274/NGC have in common [ISO-6983-1] [NISTIR-6556], the units
//! word excepted (`words.rs`). No arcs: not every control takes `I` and `J` alike, and in G18 not
//! even the sense of G2 and G3; chords are the same everywhere. Every number has a decimal point,
//! but for those of G, M and S: many controls refuse a point after S (from memory), and there its
//! absence changes nothing.
//!
//! # What is proven
//! 1. Every character of the text is accounted for, every word is one of the few, no block stands
//!    before the modal line or after the end (`read.rs`, `modal.rs`).
//! 2. No rapid move comes near the part or the clamp, nothing is touched with the spindle at rest,
//!    speeds and feeds are those of the record, the spindle stops before the finishing pass.
//! 3. Move by move on a map of heights: no pass is deeper than the record's, at its nodes
//!    (`map.rs`).
//! 4. At the stop to measure the stock for the finishing pass stands all over, and at the end the
//!    part is the plan's, within the tolerance of depth: at every node of the map, and, with
//!    bounds over whole cells that are divided until they decide, between the nodes as well
//!    (`proof.rs`). The error of that grid is the diagonal of its smallest cell, 0.014 mm, in the
//!    plane; in depth there is none.
//!
//! # What it cannot see
//! A wrong face, offset or tool; what is under the part; whether the part lies as it was measured.
//! Outside the land the face as found is taken for a plane through three heights, and inside the
//! land gear and bearing for metal up to the finished land, which is more than is there. Grooves
//! are taken for metal too.

mod checked;
mod fault;
mod map;
mod modal;
mod number;
mod proof;
mod read;
mod region;
mod sweep;
mod titles;
mod words;
mod write;

pub use checked::{Checked, ProgramError, Report, USUAL_GRID, check, program};
pub use fault::{Fault, Reason, Refused};
pub use proof::SMALLEST_CELL;
pub use titles::Titles;
pub use words::{AFTER_THE_MODAL_LINE, modal_words};
