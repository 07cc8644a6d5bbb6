//! An arrowhead on a line: which way it is gone along.

use crate::sheet::{Sheet, outline};

/// Draws it around a point, in a direction that has a length.
pub(crate) fn head(sheet: &mut Sheet, (x, y): (f64, f64), (dx, dy): (f64, f64)) {
    let long = dx.hypot(dy);
    let (ux, uy) = (dx / long, dy / long);
    let corners = [
        (x + 6.0 * ux, y + 6.0 * uy),
        (x - 5.0 * ux + 4.5 * uy, y - 5.0 * uy - 4.5 * ux),
        (x - 5.0 * ux - 4.5 * uy, y - 5.0 * uy + 4.5 * ux),
    ];
    sheet.path(&outline(&corners, true), "ink");
}
