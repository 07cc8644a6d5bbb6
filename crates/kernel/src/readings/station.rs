//! Which reading is meant: its kind and the tip it was taken at.

use super::heights::{Face, TIPS};
use std::fmt;

/// A kind of reading taken at each of the three tips.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Kind {
    /// Thickness across both lands.
    LandWidth,
    /// Land height less tip height on one face.
    Step(Face),
    /// Thickness across both faces at a tip.
    TipWidth,
    /// Land against the bearing bore on one face, positive where metal is proud.
    Runout(Face),
}

impl Kind {
    /// What a builder calls it.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::LandWidth => "land width",
            Self::Step(Face::Gear) => "gear-face step",
            Self::Step(Face::Plain) => "plain-face step",
            Self::TipWidth => "tip width",
            Self::Runout(Face::Gear) => "gear-face run-out",
            Self::Runout(Face::Plain) => "plain-face run-out",
        }
    }

    /// Minutes to take one of them again: a width wants a micrometer and nothing else, a step an
    /// indicator on a bridge, a run-out the rotor on its bore (common practice, no source).
    #[must_use]
    pub const fn minutes_to_repeat(self) -> f64 {
        match self {
            Self::LandWidth | Self::TipWidth => 1.0,
            Self::Step(_) => 2.0,
            Self::Runout(_) => 6.0,
        }
    }
}

/// One reading's place.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Station {
    /// What was read.
    pub kind: Kind,
    /// At which tip, counted from 0 in code and from 1 in every text.
    pub tip: usize,
}

impl Station {
    pub(super) fn of(kind: Kind) -> [Self; TIPS] {
        std::array::from_fn(|tip| Self { kind, tip })
    }
}

impl fmt::Display for Station {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} at tip {}", self.kind.name(), self.tip + 1)
    }
}
