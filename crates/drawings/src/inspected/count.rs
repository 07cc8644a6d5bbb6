//! How places on a used part are counted: flanks, the two ways across a diameter.

use crate::tip::Tip;
use kernel::readings::TIPS;

/// A flank of the rotor: flank `k` runs from tip `k` to the next one (1 to 2, 2 to 3, 3 to 1).
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Flank {
    /// From tip 1 to tip 2.
    One,
    /// From tip 2 to tip 3.
    Two,
    /// From tip 3 to tip 1.
    Three,
}

impl Flank {
    /// All, in order.
    pub const ALL: [Self; TIPS] = [Self::One, Self::Two, Self::Three];

    /// The tip that it starts at.
    #[must_use]
    pub const fn from(self) -> Tip {
        match self {
            Self::One => Tip::One,
            Self::Two => Tip::Two,
            Self::Three => Tip::Three,
        }
    }

    /// Its number, that of the tip it starts at.
    #[must_use]
    pub const fn number(self) -> usize {
        self.from().number()
    }
}

/// Which way a diameter is read; what it is in line with depends on the part.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Direction {
    /// In line with the part's mark, tip or throw.
    InLine,
    /// Square to that.
    Across,
    /// Both ways, one reading after the other.
    Both,
}

impl Direction {
    /// All, in order.
    pub const ALL: [Self; 3] = [Self::InLine, Self::Across, Self::Both];

    /// What it is called; `line` is what it is in line with.
    pub(super) fn name(self, line: &str) -> String {
        match self {
            Self::InLine => format!("in line {line}"),
            Self::Across => "across".to_owned(),
            Self::Both => format!("in line {line} and across"),
        }
    }

    /// Whether it is read in line, and across.
    pub(super) const fn ways(self) -> (bool, bool) {
        (!matches!(self, Self::Across), !matches!(self, Self::InLine))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn flanks_have_the_number_of_the_tip_they_start_at() {
        assert_eq!(Flank::ALL.map(Flank::number), [1, 2, 3]);
        assert_eq!(Flank::ALL.map(Flank::from), Tip::ALL);
    }
}
