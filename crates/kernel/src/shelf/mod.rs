//! The best set out of stock: which rotor goes into which housing of a build, and for several
//! builds at once, so that the least metal is lost and the masses differ least. Proven.
//!
//! **Pairing.** A rotor in a housing at a kind of place. Planned alone it ends at a side clearance
//! `c`, loses `g` grams and weighs its mass less `g`. It stands beside another of its set whose
//! side clearance is up to `beside`: `c` and the spec's match, or for a rotor that is left as it
//! is less the guard of that match, as the plan of a set has it ([`crate::plan`]).
//!
//! **Set.** One pairing for each place of a build, no part twice. `F` is the loosest side
//! clearance in it. A pairing that does not stand beside `F` is brought down: planned again to
//! match `F`, for more grams, or not at all. The set costs the grams that all lose, and the grams
//! by which the heaviest outweighs the lightest after the cut. It is wanted that this is least.
//!
//! **Why grams are never counted lower brought down than alone.** A pass that is too thin alone
//! may vanish in a deeper cut. The greater of the two is counted, so that what a pairing loses
//! alone bounds what it loses in any set.
//!
//! **Why that is enough for a proof.** Cost is the greatest, over the choice of a heaviest `a` and
//! a lightest `b`, of `Σ g + (m_a − g_a) − (m_b − g_b)`: each `g` counts once, not at all, or
//! twice, never less than nothing. So cost never falls when a `g` rises, and lower bounds of grams
//! give lower bounds of cost. Sets are looked at by their loosest pairing, best bound first: with
//! the loosest known, `F` is, and what every other pairing loses beside it is too.
//!
//! **Several builds.** The sum of their costs is wanted least, each part used at most once, after
//! as many builds as possible have a set.
//!
//! **The room between the real walls** is looked at last, for winners alone
//! ([`Stock::holds`]). A pairing that does not hold beside an `F` is out beside that `F`, and the
//! search goes on. What is first without that and then holds is the best with it.
//!
//! Results do not depend on the number of threads.

mod beside;
mod choose;
mod chosen;
mod cost;
mod listed;
mod lost;
mod pack;
mod prices;
mod search;
mod several;
mod share;
mod slots;
mod stocked;
mod table;
mod with_part;

use crate::units::{Length, Mass};

pub use choose::choose;
pub use chosen::{Choice, ChosenPlace, ChosenSet, Counts, Selection};
pub use stocked::{Shelf, ShelfKind, ShelfRotor};
pub use with_part::{Part, cheapest_with, has_set, least_relaxation, sizes_that_suffice};

/// Choices closer than this are as good as each other: rounding of some thousand grams.
const EQUAL_G: f64 = 1e-9;

/// A rotor in a housing at a kind of place, each counted from 0. Places are of one kind when the
/// same plan is right for both: same spec, same machine, gear face to the same side, walls alike.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Pairing {
    /// Which kind of place.
    pub kind: usize,
    /// Which rotor.
    pub rotor: usize,
    /// Which rotor housing.
    pub housing: usize,
}

/// What a pairing becomes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Planned {
    /// Side clearance after the cut, both sides together.
    pub clearance: Length,
    /// What is cut off.
    pub removed: Mass,
    /// The loosest side clearance in its set beside which this plan stands; not below `clearance`.
    pub beside: Length,
    /// It is left as it is.
    pub left: bool,
}

/// What a pairing becomes at least.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Least {
    /// Side clearance after the cut, both sides together.
    pub clearance: Length,
    /// What is cut off.
    pub removed: Mass,
}

/// Parts in stock, and what becomes of them in pairs.
pub trait Stock: Sync {
    /// Number of kinds of places.
    fn kinds(&self) -> usize;
    /// Number of rotors.
    fn rotors(&self) -> usize;
    /// Number of rotor housings.
    fn housings(&self) -> usize;
    /// Mass of a rotor as it is.
    fn mass(&self, rotor: usize) -> Mass;
    /// No plan of this pairing ends at less clearance or loses less: alone, or, with `loosest`,
    /// brought down to match that. Cheap, without planning; nothing is always right. `None`: known
    /// to have no plan.
    fn at_least(&self, pairing: Pairing, loosest: Option<Length>) -> Option<Least>;
    /// The plan of a pairing for itself, if there is one.
    fn alone(&self, pairing: Pairing) -> Option<Planned>;
    /// The plan of a pairing that does not stand beside the loosest of its set, to match that.
    fn brought_down(&self, pairing: Pairing, loosest: Length) -> Option<Planned>;
    /// Whether its finished faces touch with their lands first between the real walls: as planned
    /// alone, or brought down to match `loosest`. Asked of winners alone, it may take its time.
    fn holds(&self, pairing: Pairing, loosest: Option<Length>) -> bool;
}

/// A place of a build.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Place {
    /// Its kind.
    pub kind: usize,
    /// The rotor that is in it and stays.
    pub rotor: Option<usize>,
    /// The rotor housing that is in it and stays.
    pub housing: Option<usize>,
}

/// A build that waits for a set.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Wanted {
    /// Its places, from the front. Parts that fill one are for no other.
    pub places: Vec<Place>,
    /// Whether the difference of masses counts: not where rotors were not weighed.
    pub by_mass: bool,
}

/// How far a search is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Progress {
    /// Cost of the best so far, if there is any; not yet looked at between the real walls.
    pub best: Option<Mass>,
    /// No choice costs less.
    pub at_least: Mass,
    /// Pairings planned so far.
    pub planned: u64,
}

/// Told now and then how far a search is; answers whether it goes on.
pub type GoOn<'a> = &'a (dyn Fn(&Progress) -> bool + Sync);
