//! Which tip: 1, 2 or 3.

use kernel::readings::TIPS;

/// A tip of the rotor, counted clockwise looking at the gear face; tip 1 carries the mark.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Tip {
    /// The tip with the rotor's mark.
    One,
    /// The next one clockwise, looking at the gear face.
    Two,
    /// The last one.
    Three,
}

impl Tip {
    /// All, in order.
    pub const ALL: [Self; TIPS] = [Self::One, Self::Two, Self::Three];

    /// Place in an array of tips.
    #[must_use]
    pub const fn index(self) -> usize {
        match self {
            Self::One => 0,
            Self::Two => 1,
            Self::Three => 2,
        }
    }

    /// The number it carries.
    #[must_use]
    pub const fn number(self) -> usize {
        self.index() + 1
    }
}
