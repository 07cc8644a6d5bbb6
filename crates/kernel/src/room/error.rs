//! What can be wrong with a room.

use thiserror::Error;

/// Why the room of a rotor could not be computed.
#[derive(Debug, Clone, PartialEq, Error)]
#[non_exhaustive]
pub enum RoomError {
    /// A size that is not positive, or not finite.
    #[error("{what} is {value_mm} mm; it is to be more than nothing")]
    Size {
        /// Which size.
        what: &'static str,
        /// What was given.
        value_mm: f64,
    },
    /// A size that is negative, or not finite.
    #[error("{what} is {value_mm} mm; it is to be zero or more")]
    Negative {
        /// Which size.
        what: &'static str,
        /// What was given.
        value_mm: f64,
    },
    /// Two sizes in the wrong order.
    #[error("{less} ({less_mm} mm) is to be less than {more} ({more_mm} mm)")]
    Order {
        /// What should be less.
        less: &'static str,
        /// Its value.
        less_mm: f64,
        /// What should be more.
        more: &'static str,
        /// Its value.
        more_mm: f64,
    },
    /// A height that is not a finite number.
    #[error("the {face} face has a height at tip {tip} that is not a finite number")]
    Height {
        /// Which face.
        face: &'static str,
        /// Which tip, from 1.
        tip: usize,
    },
    /// Wear that is negative or not finite.
    #[error("{which} wall: {what} of {depth_um} \u{b5}m; wear is a depth, zero or more")]
    Wear {
        /// Which wall.
        which: &'static str,
        /// Which track.
        what: &'static str,
        /// What was given.
        depth_um: f64,
    },
    /// A central bore that is no radius.
    #[error("{which} wall: a central bore of {radius_mm} mm radius cannot be")]
    Bore {
        /// Which wall.
        which: &'static str,
        /// What was given.
        radius_mm: f64,
    },
    /// An opening that is no sector of a ring.
    #[error(
        "{which} wall: opening {number} needs an outer radius beyond its inner one and an angle \
         between its ends"
    )]
    Opening {
        /// Which wall.
        which: &'static str,
        /// Which opening, from 1.
        number: usize,
    },
    /// An expansion outside what solids have.
    #[error("the expansion of the {what}, {per_k} /K, is outside 0 to 1e-4 /K")]
    Expansion {
        /// Which part.
        what: &'static str,
        /// What was given.
        per_k: f64,
    },
    /// A rise that no engine sees.
    #[error("the {state} rise of the {what}, {rise_k} K, is outside \u{2212}100 to 500 K")]
    Rise {
        /// Which state.
        state: &'static str,
        /// Which part.
        what: &'static str,
        /// What was given.
        rise_k: f64,
    },
    /// A count outside its limits.
    #[error("{what}: {count} is not {allowed}")]
    Count {
        /// What is counted.
        what: &'static str,
        /// What was given.
        count: usize,
        /// What is allowed.
        allowed: &'static str,
    },
    /// The outline lacks a tip.
    #[error("the outline of the side face lacks tip {tip} at the tip radius")]
    OutlineLacksTip {
        /// Which tip, from 1.
        tip: usize,
    },
    /// A point of the outline inside the land, or beyond the tips.
    #[error(
        "point {number} of the outline is {radius_mm} mm from the rotor's axis; the outline lies \
         beyond the land ({land_mm} mm, or where the taper starts) and not beyond the tips \
         ({tip_mm} mm)"
    )]
    OutlinePoint {
        /// Which point, from 1.
        number: usize,
        /// Its radius.
        radius_mm: f64,
        /// Where the land ends.
        land_mm: f64,
        /// The tip radius.
        tip_mm: f64,
    },
    /// A state or place that was not asked for.
    #[error("there is no {what} {index}; the room has {count}")]
    NoSuch {
        /// What was asked for.
        what: &'static str,
        /// Which one, from 0.
        index: usize,
        /// How many there are.
        count: usize,
    },
    /// The walls have so little metal that the lands do not stop the rotor.
    #[error("nothing stops the rotor: there is too little wall under its lands")]
    NothingStops,
    /// An iteration ran into its bound.
    #[error("no solution within {exchanges} exchanges; {left_m} m are still violated")]
    Unsolved {
        /// The bound.
        exchanges: usize,
        /// What is left.
        left_m: f64,
    },
}
