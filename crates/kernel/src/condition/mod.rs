//! Whether a used part can be used: what is looked at on each kind of part, and what is said of
//! what was found: use, rework or reject. Every limit is the shop's own.

mod item;
mod judge;

pub use item::{
    AROUND, Counts, Derived, EDGES, FINDINGS, GEAR_TEETH, ITEMS, Item, LININGS, PLATING, Part,
    Place, SURFACES, Sort, Taken, item,
};
pub use judge::{Fate, Looks, NoBand, Reading, Sizes, Spread, spread};
