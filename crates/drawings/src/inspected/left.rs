//! Marks on the part that is drawn on the left: the word with its arrow, and sizes taken between
//! two points.

use crate::pointer;
use crate::sheet::{Anchor, Sheet};
use crate::text::{Type, width};

type Point = (f64, f64);

/// Height of a line of words.
const LEADING: f64 = 24.0;

/// Words whose middle is at `x`, the first on the base line `y`, and an arrow from them to `to`.
pub(super) fn word(sheet: &mut Sheet, (x, y): Point, words: &[&str], to: Point) {
    for (n, word) in words.iter().enumerate() {
        sheet.text(x, y + LEADING * n as f64, Type::Head, Anchor::Middle, word);
    }
    let half = 0.5 * words.iter().map(|w| width(w, Type::Head)).fold(0.0, f64::max) + 5.0;
    let (top, bottom) = (y - 20.0, y + LEADING * (words.len() as f64 - 1.0) + 9.0);
    // From the side of the words that looks at the place.
    let from = if to.1 < top {
        (to.0.clamp(x - half, x + half), top)
    } else if to.1 > bottom {
        (to.0.clamp(x - half, x + half), bottom)
    } else if to.0 < x {
        (x - half, 0.5 * (top + bottom))
    } else {
        (x + half, 0.5 * (top + bottom))
    };
    pointer::arrow(sheet, from, to);
}

/// A size between two points from inside: arrows from the middle to both.
pub(super) fn inside(sheet: &mut Sheet, a: Point, b: Point) {
    let middle = (0.5 * (a.0 + b.0), 0.5 * (a.1 + b.1));
    for at in [a, b] {
        pointer::arrow(sheet, middle, pointer::short_of(middle, at, 8.0));
        pointer::touched(sheet, at);
    }
}

/// A size between two points from outside: arrows of this length to both.
pub(super) fn outside(sheet: &mut Sheet, a: Point, b: Point, long: f64) {
    for (at, other) in [(a, b), (b, a)] {
        let tail = pointer::short_of(other, at, -(long + 8.0));
        pointer::arrow(sheet, tail, pointer::short_of(tail, at, 8.0));
        pointer::touched(sheet, at);
    }
}
