//! The rotor with the place that is wanted.

use super::seen;
use crate::places::Area;
use crate::pointer::{self, STROKE};
use crate::rotor_shape::{RotorShape, View};
use crate::sheet::{Anchor, Sheet};
use crate::text::{Type, width};
use crate::tip::Tip;
use kernel::readings::{Face, Kind};

/// How far the tips reach from the centre on the sheet.
const REACH: f64 = 104.0;
/// Radius of the ring around the wanted place, and of a tip's number.
pub(crate) const RING: f64 = 9.0;
const NUMBER: f64 = 14.0;
/// From a tip to the middle of its number: past the strokes of both.
const BEYOND: f64 = RING + STROKE + STROKE + NUMBER + 3.0;
/// Base lines of the word, from the centre: beside tip 1, and under the other two.
const BESIDE: f64 = -130.0;
const UNDER: f64 = 119.0;
const LEADING: f64 = 24.0;

const fn words(kind: Kind) -> &'static [&'static str] {
    match kind {
        Kind::LandWidth => &["land", "width"],
        Kind::TipWidth => &["tip", "width"],
        Kind::Step(_) => &["step"],
        Kind::Runout(_) => &["run-out"],
    }
}

/// The face with its tips' numbers around it, those of them marked that are asked for.
pub(crate) fn numbered(
    sheet: &mut Sheet,
    area: Area,
    (shape, face): (&RotorShape, Face),
    is_marked: impl Fn(Tip) -> bool,
    edge: &str,
) -> View {
    let reach_m = shape.reach_m();
    let centre = (0.5 * (area.0 + area.2), area.1 + REACH + BEYOND + NUMBER + 2.0);
    let view = View::of(face, centre, REACH / reach_m);
    shape.draw(sheet, &view, face, edge);
    for tip in Tip::ALL {
        let at = view.on(tip, reach_m + BEYOND / view.per_m);
        let is_marked = is_marked(tip);
        sheet.circle(at, NUMBER, if is_marked { "wanted-face" } else { "plain-mark" });
        let set = if is_marked { Type::Head } else { Type::Strong };
        let down = if is_marked { 7.5 } else { 5.5 };
        sheet.text(at.0, at.1 + down, set, Anchor::Middle, &tip.number().to_string());
    }
    view
}

/// Draws it; without a kind and a tip the whole rotor is wanted.
pub(super) fn draw(sheet: &mut Sheet, area: Area, shape: &RotorShape, wanted: Option<(Kind, Tip)>) {
    let face = wanted.map_or(Face::Gear, |(kind, _)| seen(kind));
    let is_wanted = |tip: Tip| wanted.is_some_and(|(_, t)| t == tip);
    let edge = if wanted.is_none() { "wanted" } else { "edge" };
    let view = numbered(sheet, area, (shape, face), is_wanted, edge);
    match wanted {
        Some((kind, tip)) => spot(sheet, area, &view, shape, (kind, tip)),
        None => {
            let (cx, cy) = view.centre;
            sheet.text(cx, cy + 7.0, Type::Head, Anchor::Middle, "mass");
        }
    }
}

/// The wanted place: ring, word, and an arrow from the word to the ring. The word stands in the
/// free corner next to the tip.
fn spot(sheet: &mut Sheet, area: Area, view: &View, shape: &RotorShape, (kind, tip): (Kind, Tip)) {
    let land = view.on(tip, shape.land_radius.to_m());
    let outside = view.on(tip, shape.reading_radius.to_m());
    let at = match kind {
        Kind::LandWidth | Kind::Runout(_) => land,
        Kind::TipWidth | Kind::Step(_) => outside,
    };
    if matches!(kind, Kind::Step(_)) {
        sheet.circle(land, 6.0, "plain-mark");
        let from = pointer::short_of(outside, land, 7.0);
        pointer::arrow(sheet, from, pointer::short_of(land, outside, RING + STROKE));
    }
    pointer::ring(sheet, at, RING);

    word(sheet, area, view.centre, (at, tip), words(kind));
}

/// The word for a place at a tip, in the free corner beside the tip, and an arrow to the place.
pub(crate) fn word(
    sheet: &mut Sheet,
    area: Area,
    (cx, cy): (f64, f64),
    (at, tip): ((f64, f64), Tip),
    words: &[&str],
) {
    let wide = words.iter().map(|w| width(w, Type::Head)).fold(0.0, f64::max);
    let is_right = tip == Tip::One || at.0 > cx;
    let (x, anchor) = if is_right { (area.2, Anchor::End) } else { (area.0, Anchor::Start) };
    let first = cy + if tip == Tip::One { BESIDE } else { UNDER };
    for (n, word) in words.iter().enumerate() {
        sheet.text(x, first + LEADING * n as f64, Type::Head, anchor, word);
    }
    let (left, right) = if is_right { (x - wide, x) } else { (x, x + wide) };
    let from = if tip == Tip::One {
        (left - 5.0, first - 7.0 + 0.5 * LEADING * (words.len() - 1) as f64)
    } else {
        (at.0.clamp(left + 8.0, right - 8.0), first - 20.0)
    };
    pointer::arrow(sheet, from, pointer::short_of(from, at, RING + STROKE));
}
