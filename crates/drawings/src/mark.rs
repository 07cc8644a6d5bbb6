//! Marks: a shape for each thing that a colour alone must not say.

use crate::number::coordinate;

/// A shape around a point.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Mark {
    /// A reading's station that nothing speaks against: open circle.
    Station,
    /// Something holds, or the land touches: filled square.
    Holds,
    /// Something does not hold, a tip touches, or a reading disagrees: triangle.
    Fails,
    /// One of a group that cannot be told apart: diamond.
    Unclear,
    /// Where something planned stands on an axis: a disc.
    Planned,
    /// The mark on the part: a cross.
    Punch,
}

impl Mark {
    /// Its class in the style sheet.
    pub(crate) const fn class(self) -> &'static str {
        match self {
            Self::Station => "plain-mark",
            Self::Holds | Self::Planned => "good",
            Self::Fails | Self::Unclear => "bad",
            Self::Punch => "edge",
        }
    }

    /// Its outline around a point.
    pub(crate) fn path(self, x: f64, y: f64) -> String {
        let at = |dx: f64, dy: f64| format!("{},{}", coordinate(x + dx), coordinate(y + dy));
        let disc = |r: f64| {
            let r_text = coordinate(r);
            format!(
                "M{}a{r_text},{r_text} 0 1 0 {},0a{r_text},{r_text} 0 1 0 {},0z",
                at(-r, 0.0),
                coordinate(2.0 * r),
                coordinate(-2.0 * r)
            )
        };
        match self {
            Self::Station => disc(4.5),
            Self::Planned => disc(6.5),
            Self::Holds => {
                format!("M{} {} {} {}z", at(-6.0, -6.0), at(6.0, -6.0), at(6.0, 6.0), at(-6.0, 6.0))
            }
            Self::Fails => format!("M{} {} {}z", at(0.0, -9.0), at(9.0, 7.0), at(-9.0, 7.0)),
            Self::Unclear => {
                format!("M{} {} {} {}z", at(0.0, -9.0), at(8.0, 0.0), at(0.0, 9.0), at(-8.0, 0.0))
            }
            Self::Punch => {
                format!("M{} {}M{} {}", at(-5.0, -5.0), at(5.0, 5.0), at(-5.0, 5.0), at(5.0, -5.0))
            }
        }
    }
}
