//! What marks a place on a part: a heavy ring and a heavy arrow, with free space around them.

use crate::sheet::{Sheet, outline};

/// How far a ring's stroke reaches beyond its radius.
pub(crate) const STROKE: f64 = 3.0;

/// A ring around a place.
pub(crate) fn ring(sheet: &mut Sheet, at: (f64, f64), r: f64) {
    sheet.circle(at, r, "wanted-under");
    sheet.circle(at, r, "wanted");
}

/// A point that a gauge touches, small enough that the gauge is still seen.
pub(crate) fn touched(sheet: &mut Sheet, at: (f64, f64)) {
    sheet.circle(at, 7.0, "wanted");
    sheet.circle(at, 2.5, "dot");
}

/// An arrow from one place to another, not shorter than its head.
pub(crate) fn arrow(sheet: &mut Sheet, from: (f64, f64), to: (f64, f64)) {
    let (dx, dy) = (to.0 - from.0, to.1 - from.1);
    let long = dx.hypot(dy).max(1e-9);
    let (ux, uy) = (dx / long, dy / long);
    let at = |along: f64, aside: f64| {
        (from.0 + along * ux - aside * uy, from.1 + along * uy + aside * ux)
    };
    let neck = (long - 15.0).max(0.0);
    let all = [
        at(0.0, 2.5),
        at(neck, 2.5),
        at(neck, 8.0),
        at(long, 0.0),
        at(neck, -8.0),
        at(neck, -2.5),
        at(0.0, -2.5),
    ];
    let d = outline(&all, true);
    sheet.path(&d, "halo");
    sheet.path(&d, "ink");
}

/// A point on the way from one place to another, this far before the other.
pub(crate) fn short_of(from: (f64, f64), to: (f64, f64), by: f64) -> (f64, f64) {
    let (dx, dy) = (to.0 - from.0, to.1 - from.1);
    let part = by / dx.hypot(dy).max(1e-9);
    (to.0 - part * dx, to.1 - part * dy)
}
