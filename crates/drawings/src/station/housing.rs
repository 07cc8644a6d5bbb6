//! Rotor housing and side housing seen along the shaft, with the place that is wanted.

use super::{SideShape, track_name};
use crate::arrow;
use crate::counted::WidthStation;
use crate::hatch::Hatch;
use crate::places::Area;
use crate::pointer::{self, STROKE};
use crate::sheet::{Anchor, Sheet, outline, ring};
use crate::side_gap::Touch;
use crate::text::{Type, width};
use crate::wear_map::WallPoint;
use kernel::geometry::Looks;
use kernel::units::Length;

type Point = (f64, f64);

/// Thickness of the ring between the bore and the outside, on the sheet.
pub(crate) const METAL: f64 = 34.0;
/// Of the side housing, whose face is what matters.
pub(crate) const RIM: f64 = 14.0;
/// Largest radius of a station's number.
const NUMBER: f64 = 13.0;
/// What the ring of the wanted one has more.
const MORE: f64 = 3.0;
/// Radius of the arrow that shows which way the shaft turns.
const TURN: f64 = 15.0;

/// Where the housing stands on the sheet.
pub(crate) struct View {
    pub(crate) centre: Point,
    pub(crate) per_m: f64,
    /// Which way the long axis runs on the sheet.
    hand: f64,
}

impl View {
    /// The bore's middle at a height that leaves room above it for a line of text, the bore and
    /// `rim` around it as wide as the area and no higher.
    pub(crate) fn new(area: Area, bore: &[WallPoint], rim: f64, hand: f64) -> Self {
        let reach = |of: fn(&WallPoint) -> Length| {
            bore.iter().map(|p| of(p).abs().to_m()).fold(1e-6, f64::max)
        };
        let (x_m, y_m) = (reach(|p| p.x), reach(|p| p.y));
        let half = 0.5 * (area.2 - area.0) - rim - 1.0;
        let high = 0.5 * (area.3 - area.1 - 24.0) - rim;
        let per_m = (half / x_m).min(high / y_m);
        let centre = (0.5 * (area.0 + area.2), area.1 + 24.0 + rim + y_m * per_m);
        Self { centre, per_m, hand }
    }

    pub(crate) fn all(&self, points: &[WallPoint]) -> Vec<Point> {
        let (cx, cy) = self.centre;
        points
            .iter()
            .map(|p| {
                let (x, y) = (p.x.to_m() * self.per_m, p.y.to_m() * self.per_m);
                (cx + self.hand * x, cy - y)
            })
            .collect()
    }
}

/// A closed run of points moved outward, square to itself, from `middle`.
pub(crate) fn outward(points: &[Point], middle: Point, by: f64) -> Vec<Point> {
    let count = points.len();
    (0..count)
        .map(|n| {
            let (before, here, after) =
                (points[(n + count - 1) % count], points[n], points[(n + 1) % count]);
            let (dx, dy) = (after.0 - before.0, after.1 - before.1);
            let long = dx.hypot(dy).max(1e-9);
            let out = (dy / long, -dx / long);
            let sign = (out.0 * (here.0 - middle.0) + out.1 * (here.1 - middle.1)).signum();
            (here.0 + sign * by * out.0, here.1 + sign * by * out.1)
        })
        .collect()
}

/// Places at even distances along a closed run of points, the first one on top, then clockwise.
pub(crate) fn evenly(points: &[Point], (cx, cy): Point, count: usize) -> Vec<Point> {
    let top = points
        .iter()
        .enumerate()
        .filter(|(_, p)| p.1 < cy)
        .min_by(|a, b| (a.1.0 - cx).abs().total_cmp(&(b.1.0 - cx).abs()))
        .map_or(0, |(n, _)| n);
    let mut run: Vec<Point> = points.to_vec();
    run.rotate_left(top);
    if run.len() > 1 && run[1].0 < run[0].0 {
        run[1..].reverse();
    }
    if let Some(first) = run.first().copied() {
        run.push(first);
    }
    let far = |pair: &[Point]| (pair[1].0 - pair[0].0).hypot(pair[1].1 - pair[0].1);
    let whole: f64 = run.windows(2).map(far).sum();
    let mut places = Vec::with_capacity(count);
    let mut gone = 0.0;
    for pair in run.windows(2) {
        let long = far(pair);
        while places.len() < count {
            let part = (whole * places.len() as f64 / count as f64 - gone) / long.max(1e-12);
            if part > 1.0 {
                break;
            }
            places.push((
                pair[0].0 + part * (pair[1].0 - pair[0].0),
                pair[0].1 + part * (pair[1].1 - pair[0].1),
            ));
        }
        gone += long;
    }
    places
}

/// Where a line from the middle of a box leaves it.
pub(crate) fn leaves((cx, cy): Point, half_w: f64, half_h: f64, (x, y): Point) -> Point {
    let (dx, dy) = (x - cx, y - cy);
    let part = (half_w / dx.abs().max(1e-9)).min(half_h / dy.abs().max(1e-9));
    (cx + part * dx, cy + part * dy)
}

/// The ring of a rotor housing seen from the front, where the bore's long axis points left.
pub(crate) fn draw_ring(sheet: &mut Sheet, area: Area, bore: &[WallPoint]) -> (View, Vec<Point>) {
    let view = View::new(area, bore, METAL, -1.0);
    let inner = view.all(bore);
    let outer = outline(&outward(&inner, view.centre, METAL), true);
    sheet.path(&outer, "metal");
    let hole = outline(&inner, true);
    sheet.path(&hole, "paper");
    sheet.path(&outer, "edge");
    sheet.path(&hole, "edge");
    sheet.text(view.centre.0, area.1 + 14.0, Type::Plain, Anchor::Middle, "hot waist");
    (view, inner)
}

/// The rotor housing with its stations, the wanted one under the words `what` and `under`.
pub(crate) fn draw_width(
    sheet: &mut Sheet,
    area: Area,
    station: WidthStation,
    bore: &[WallPoint],
    (what, under): (&str, &str),
) {
    let (view, inner) = draw_ring(sheet, area, bore);
    let (cx, cy) = view.centre;

    let places = evenly(&outward(&inner, view.centre, 0.5 * METAL), view.centre, station.of());
    let nearest = places
        .iter()
        .enumerate()
        .flat_map(|(n, a)| places[n + 1..].iter().map(move |b| (a.0 - b.0).hypot(a.1 - b.1)))
        .fold(f64::INFINITY, f64::min);
    // Room for the ring of the wanted one beside its neighbours.
    let number = NUMBER.min(0.5 * (nearest - MORE - STROKE - 1.0));
    for (n, at) in places.iter().enumerate() {
        let is_wanted = n + 1 == station.number();
        let (r, class) =
            if is_wanted { (number + MORE, "wanted-face") } else { (number, "plain-mark") };
        sheet.circle(*at, r, class);
        let set = if is_wanted { Type::Strong } else { Type::Plain };
        sheet.text(at.0, at.1 + 5.5, set, Anchor::Middle, &(n + 1).to_string());
    }
    let Some(at) = places.get(station.number() - 1).copied() else { return };
    sheet.text(cx, cy - 4.0, Type::Head, Anchor::Middle, what);
    sheet.text(cx, cy + 17.0, Type::Strong, Anchor::Middle, under);
    let half = 0.5 * width(what, Type::Head).max(width(under, Type::Strong));
    let from = leaves((cx, cy), half - 2.0, 27.0, at);
    pointer::arrow(sheet, from, pointer::short_of(from, at, number + MORE + STROKE));
}

/// The face of the side housing with the track that is wanted.
pub(super) fn draw_side(
    sheet: &mut Sheet,
    area: Area,
    (looks, track): (Looks, Touch),
    shape: &SideShape,
) {
    let hand = if looks == Looks::Front { -1.0 } else { 1.0 };
    let view = View::new(area, &shape.bore, RIM, hand);
    let bore = view.all(&shape.bore);
    let (cx, cy) = view.centre;
    sheet.text(cx, area.1 + 14.0, Type::Plain, Anchor::Middle, "hot waist");
    let plate = outward(&bore, view.centre, RIM);
    let bottom = plate.iter().map(|p| p.1).fold(cy, f64::max);
    let plate = outline(&plate, true);
    sheet.path(&plate, "metal");
    sheet.path(&plate, "edge");
    let edge = outline(&bore, true);
    let path = outline(&view.all(&shape.tip_path), true);
    let px = |radius: Length| radius.to_m().max(0.0) * view.per_m;
    let (inner, outer) = (px(shape.land_track.0), px(shape.land_track.1));
    let land = [ring(view.centre, outer, 0.0), ring(view.centre, inner, 0.0)];
    if track == Touch::Land {
        sheet.path(&land[0], "open");
        sheet.hatched(&ring(view.centre, outer, inner), Hatch::Wall);
    } else {
        sheet.path(&edge, "open");
        sheet.hatched(&format!("{edge}{path}"), Hatch::Wall);
        sheet.path(&path, "metal");
    }
    sheet.path(&land[1], "paper");
    sheet.path(&land[1], "edge");
    let (of_land, of_tips) =
        if track == Touch::Land { ("wanted", "dashed") } else { ("dashed", "wanted") };
    sheet.path(&land[0], of_land);
    if track == Touch::Land {
        sheet.path(&land[1], of_land);
    }
    sheet.path(&path, of_tips);
    sheet.path(&edge, if track == Touch::Tip { "wanted" } else { "thin" });
    turn(sheet, view.centre, looks);

    // Below the plate, in the middle, where both tracks can be pointed to.
    let words = track_name(track);
    let base = bottom + 56.0;
    sheet.text(cx, base, Type::Head, Anchor::Middle, words);
    let at_waist = |points: &[Point]| {
        points
            .iter()
            .filter(|p| p.1 > cy)
            .min_by(|a, b| (a.0 - cx).abs().total_cmp(&(b.0 - cx).abs()))
            .map_or(cy, |p| p.1)
    };
    let to = match track {
        Touch::Land => cy + 0.5 * (inner + outer),
        Touch::Tip => 0.5 * (at_waist(&bore) + at_waist(&view.all(&shape.tip_path))),
    };
    pointer::arrow(sheet, (cx, base - 20.0), (cx, to));
}

/// Three quarters of a turn, the way the shaft goes as seen here.
fn turn(sheet: &mut Sheet, (x, y): Point, looks: Looks) {
    let hand = if looks == Looks::Front { -1.0 } else { 1.0 };
    let on = |degrees: f64| {
        let (sin, cos) = degrees.to_radians().sin_cos();
        (x + hand * TURN * cos, y - TURN * sin)
    };
    let arc: Vec<Point> = (0..=27).map(|n| on(f64::from(n) * 10.0)).collect();
    sheet.path(&outline(&arc, false), "edge");
    let (before, after) = (on(268.0), on(272.0));
    arrow::head(sheet, on(270.0), (after.0 - before.0, after.1 - before.1));
}

#[cfg(test)]
mod tests {
    use super::super::shape::generic_bore;
    use super::*;

    fn ring_of(count: usize) -> (View, Vec<Point>) {
        let bore = generic_bore();
        let view = View::new((12.0, 0.0, 282.0, 300.0), &bore, METAL, -1.0);
        let middle = outward(&view.all(&bore), view.centre, 0.5 * METAL);
        let places = evenly(&middle, view.centre, count);
        (view, places)
    }

    #[test]
    fn stations_are_even_and_go_clockwise_from_the_hot_waist() {
        for count in 1..=WidthStation::MOST {
            let (view, places) = ring_of(count);
            assert_eq!(places.len(), count);
            let (cx, cy) = view.centre;
            assert!((places[0].0 - cx).abs() < 1.0 && places[0].1 < cy, "{:?}", places[0]);
            if count > 2 {
                assert!(places[1].0 > cx, "{count}: {:?}", places[1]);
            }
        }
    }

    #[test]
    fn numbers_of_the_most_stations_have_room() {
        let (_, places) = ring_of(WidthStation::MOST);
        for (n, a) in places.iter().enumerate() {
            for b in &places[n + 1..] {
                assert!((a.0 - b.0).hypot(a.1 - b.1) > 24.0, "{a:?} {b:?}");
            }
        }
    }
}
