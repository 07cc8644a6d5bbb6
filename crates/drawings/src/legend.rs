//! What the marks of a picture mean: entries that run on from line to line, each with room for
//! its mark before the words.

use crate::sheet::{Anchor, MARGIN, Sheet, WIDTH};
use crate::text::{Type, width};

/// A legend in the making.
#[derive(Debug)]
pub(crate) struct Legend {
    x: f64,
    y: f64,
    indent: f64,
}

impl Legend {
    /// Its first base line at `y`; marks are up to `indent` wide.
    pub(crate) const fn new(y: f64, indent: f64) -> Self {
        Self { x: MARGIN, y, indent }
    }

    /// Writes the words of an entry; the left end of the room for its mark, and its middle line.
    pub(crate) fn entry(&mut self, sheet: &mut Sheet, words: &str) -> (f64, f64) {
        let wide = self.indent + width(words, Type::Small);
        if self.x + wide > WIDTH - MARGIN {
            (self.x, self.y) = (MARGIN, self.y + 22.0);
        }
        let x = self.x;
        sheet.text(x + self.indent, self.y, Type::Small, Anchor::Start, words);
        self.x += wide + 18.0;
        (x, self.y - 5.0)
    }

    /// The base line after it.
    pub(crate) const fn end(&self) -> f64 {
        self.y + 24.0
    }
}
