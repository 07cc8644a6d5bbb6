//! An upright dimension line: what is measured from where to where.

use crate::sheet::{Sheet, outline};

/// Draws it at `x` between two heights: arrowheads inside where they fit, outside where not.
pub(crate) fn upright(sheet: &mut Sheet, x: f64, from: f64, to: f64) {
    let (top, bottom) = (from.min(to), from.max(to));
    let inside = bottom - top >= 22.0;
    let reach = if inside { 0.0 } else { 14.0 };
    sheet.line((x, top - reach), (x, bottom + reach), "thin");
    // An arrow points at its line from the side where there is room.
    for (y, into) in [(top, 1.0), (bottom, -1.0)] {
        let away = if inside { into } else { -into };
        let head = [(x, y), (x - 3.5, y + away * 10.0), (x + 3.5, y + away * 10.0)];
        sheet.path(&outline(&head, true), "ink");
    }
    for y in [top, bottom] {
        sheet.line((x - 8.0, y), (x + 8.0, y), "thin");
    }
}
