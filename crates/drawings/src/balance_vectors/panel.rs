//! A disc about the shaft's axis: rings with their amounts, spokes with their angles, the
//! tolerance and the arrows as far as they lie in it, each with its number.

use super::{BalanceArrow, amount};
use crate::places::Places;
use crate::polar::Polar;
use crate::scale::round_telling;
use crate::sheet::Sheet;
use crate::vector::SHORT;

type Point = (f64, f64);

/// Where it stands, and what it reaches to.
pub(crate) struct Panel {
    pub(crate) centre: Point,
    /// On the sheet.
    pub(crate) radius: f64,
    /// +1 where angles run clockwise.
    pub(crate) hand: f64,
    /// Amounts of the rings; the last is the rim.
    pub(crate) rings: Vec<f64>,
    /// Rings of a panel beside it: what lies in there is not drawn here.
    pub(crate) inset: Option<Vec<f64>>,
    /// Whether it has the arrow of the sense of rotation.
    pub(crate) shows_sense: bool,
    /// Whether its arrows have their numbers.
    pub(crate) is_labelled: bool,
}

/// Arrows have their kind beside their number where there is one for each of so many units of the
/// radius.
const ROOM_FOR_KIND: f64 = 30.0;
/// From an arrow's end to the middle of its head.
const HEAD_MIDDLE: f64 = 6.0;
/// Nearer to the middle than this no ring has its amount.
const CLEAR: f64 = 18.0;
/// Directions of the rings' amounts, between the spokes, the best first: where these stand under
/// each other, wide ones have room.
const ALONG_DEG: [f64; 12] =
    [165.0, 195.0, 15.0, 345.0, 135.0, 225.0, 45.0, 315.0, 105.0, 255.0, 75.0, 285.0];

/// The part of a line inside a circle about the origin, from and to as fractions of it.
fn inside(from: Point, to: Point, radius: f64) -> Option<(f64, f64)> {
    let (dx, dy) = (to.0 - from.0, to.1 - from.1);
    let long = dx.hypot(dy);
    if long <= 0.0 {
        return (amount(from) <= radius).then_some((0.0, 1.0));
    }
    let (ux, uy) = (dx / long, dy / long);
    // Along the line to where it is nearest the centre, and how near it is then.
    let nearest = -(from.0 * ux + from.1 * uy);
    let off = from.0 * uy - from.1 * ux;
    if off.abs() >= radius {
        return None;
    }
    let half = ((radius - off.abs()) * (radius + off.abs())).sqrt();
    let (enter, leave) = ((nearest - half).max(0.0), (nearest + half).min(long));
    (enter < leave).then_some((enter / long, leave / long))
}

/// From a point to the nearest of a line.
fn distance(point: Point, from: Point, to: Point) -> f64 {
    let (dx, dy) = (to.0 - from.0, to.1 - from.1);
    let square = dx * dx + dy * dy;
    let along = (point.0 - from.0) * dx + (point.1 - from.1) * dy;
    let part = if square > 0.0 { (along / square).clamp(0.0, 1.0) } else { 0.0 };
    (point.0 - from.0 - part * dx).hypot(point.1 - from.1 - part * dy)
}

/// An arrow as it is drawn here.
struct Drawn<'m> {
    number: usize,
    arrow: &'m BalanceArrow,
    from: Point,
    to: Point,
    goes_on: bool,
}

impl Panel {
    fn polar(&self) -> Polar {
        Polar { centre: self.centre, radius: self.radius, hand: self.hand }
    }

    fn rim(&self) -> f64 {
        self.rings.last().copied().unwrap_or(1.0)
    }

    /// An amount on the sheet.
    fn px(&self, value: f64) -> f64 {
        value / self.rim() * self.radius
    }

    /// The arrows that lie in it at least in part, the longest first so that none is covered.
    fn drawn<'m>(&self, arrows: &'m [BalanceArrow]) -> Vec<Drawn<'m>> {
        let mut all = Vec::new();
        for (n, arrow) in arrows.iter().enumerate() {
            let beside = self.inset.as_ref().and_then(|rings| rings.last());
            if beside.is_some_and(|rim| arrow.reach() <= *rim) {
                continue;
            }
            let on = |(along, across): Point| (self.px(along), self.px(across));
            let (from, to) = (on(arrow.from), on(arrow.to));
            let Some((enter, leave)) = inside(from, to, self.radius) else { continue };
            let at = |part: f64| {
                self.polar()
                    .part((from.0 + (to.0 - from.0) * part, from.1 + (to.1 - from.1) * part))
            };
            let goes_on = leave < 1.0 && amount(to) > self.radius;
            let to = if goes_on { at(leave) } else { self.polar().part(to) };
            all.push(Drawn { number: n + 1, arrow, from: at(enter), to, goes_on });
        }
        let long = |d: &Drawn<'_>| (d.to.0 - d.from.0).hypot(d.to.1 - d.from.1);
        all.sort_by(|a, b| long(b).total_cmp(&long(a)));
        all
    }

    /// Draws it; the numbers of arrows that found no room for theirs.
    pub(crate) fn draw(
        &self,
        sheet: &mut Sheet,
        arrows: &[BalanceArrow],
        tolerance: Option<f64>,
    ) -> Vec<usize> {
        let polar = self.polar();
        let (x, y) = self.centre;
        let reach = self.radius - 2.0;
        let mut places = Places::off_lines((x - reach, y - reach, x + reach, y + reach));
        let circle = tolerance.map(|t| self.px(t)).filter(|r| r.is_finite());
        if let Some(r) = circle {
            sheet.circle(self.centre, r.min(self.radius), "open");
        }
        polar.spokes(sheet, 0.0);
        for ring in &self.rings {
            sheet.circle(self.centre, self.px(*ring), "faint");
        }
        sheet.line(self.centre, polar.at(0.0, self.radius), "axis");
        sheet.circle(self.centre, self.radius, "thin");
        if let Some(r) = circle.filter(|r| *r < self.radius && *r >= 1.0) {
            sheet.circle(self.centre, r, "edge");
        }
        let drawn = self.drawn(arrows);
        for one in &drawn {
            one.arrow.kind.draw(sheet, one.from, one.to, one.goes_on);
        }
        polar.angles(sheet, &mut places);
        if self.shows_sense {
            polar.sense(sheet, &mut places);
        }
        self.label_rings(sheet, &mut places, &drawn);
        for one in &drawn {
            places.avoid_line(&[one.from, one.to]);
            let long = (one.to.0 - one.from.0).hypot(one.to.1 - one.from.1);
            if !one.goes_on && long >= SHORT {
                // A head tells what its arrow is: no label may hide it.
                let back = HEAD_MIDDLE.min(0.5 * long) / long;
                let (hx, hy) = (
                    one.to.0 - back * (one.to.0 - one.from.0),
                    one.to.1 - back * (one.to.1 - one.from.1),
                );
                places.take((hx - 5.0, hy - 5.0, hx + 5.0, hy + 5.0));
            }
        }
        let inset = self.inset_px();
        if let Some(r) = inset {
            sheet.circle(self.centre, r, "dashed");
            places.take((x - r, y - r, x + r, y + r));
        }
        let unlabelled = self.label_arrows(sheet, &mut places, &drawn);
        if let Some(r) = inset {
            places.label(sheet, (x - r, y), "enlarged beside");
        }
        unlabelled
    }

    /// Radius on the sheet of what is shown beside it.
    fn inset_px(&self) -> Option<f64> {
        let rim = self.inset.as_ref()?.last()?;
        // Not so small that it would be taken for a point.
        Some(self.px(*rim).max(7.0))
    }

    /// The amounts of the rings, along the direction that has least on it.
    fn label_rings(&self, sheet: &mut Sheet, places: &mut Places, drawn: &[Drawn<'_>]) {
        let polar = self.polar();
        let spots = |deg: f64| self.rings.iter().map(move |v| (*v, polar.at(deg, self.px(*v))));
        let covered = |deg: f64| {
            let near = |at: Point| drawn.iter().filter(move |d| distance(at, d.from, d.to) < 20.0);
            spots(deg).map(|(_, at)| near(at).count()).sum::<usize>()
        };
        let free = ALONG_DEG.into_iter().min_by_key(|deg| covered(*deg));
        let spots: Vec<_> = spots(free.unwrap_or(ALONG_DEG[0])).collect();
        // The rim's amount stands just inside it, where no angle is.
        for (value, (x, y)) in spots {
            let inner = if value < self.rim() { 0.0 } else { 16.0 };
            let (dx, dy) = (self.centre.0 - x, self.centre.1 - y);
            let long = dx.hypot(dy).max(1.0);
            let at = (x + inner * dx / long, y + inner * dy / long + 5.0);
            // Of two rings too near each other one is enough, and the middle stays free.
            if self.px(value) < CLEAR {
                continue;
            }
            places.on(sheet, at, &round_telling(value));
        }
    }

    fn label_arrows(
        &self,
        sheet: &mut Sheet,
        places: &mut Places,
        drawn: &[Drawn<'_>],
    ) -> Vec<usize> {
        let mut unlabelled = Vec::new();
        if !self.is_labelled {
            return unlabelled;
        }
        let has_kind = drawn.len() as f64 * ROOM_FOR_KIND <= self.radius;
        // The shortest has least choice.
        for one in drawn.iter().rev() {
            let number = one.number.to_string();
            let words = format!("{number} {}", one.arrow.kind.words());
            let long = (one.to.0 - one.from.0).hypot(one.to.1 - one.from.1);
            // At its head; a difference of two has its own in its middle, for its ends are theirs.
            let is_difference = one.arrow.from != (0.0, 0.0);
            let at = if is_difference && !one.goes_on && long >= SHORT {
                (0.5 * (one.from.0 + one.to.0), 0.5 * (one.from.1 + one.to.1))
            } else {
                one.to
            };
            let said = has_kind && places.label(sheet, at, &words);
            if !said && !places.label(sheet, at, &number) {
                unlabelled.push(one.number);
            }
        }
        unlabelled
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_line_is_cut_at_the_rim() {
        assert_eq!(inside((-20.0, 0.0), (20.0, 0.0), 10.0), Some((0.25, 0.75)));
        assert_eq!(inside((0.0, 0.0), (5.0, 0.0), 10.0), Some((0.0, 1.0)));
        assert_eq!(inside((0.0, 0.0), (40.0, 0.0), 10.0), Some((0.0, 0.25)));
        assert_eq!(inside((-20.0, 11.0), (20.0, 11.0), 10.0), None);
        assert_eq!(inside((11.0, 0.0), (20.0, 0.0), 10.0), None);
        assert_eq!(inside((1.0, 1.0), (1.0, 1.0), 10.0), Some((0.0, 1.0)));
    }

    #[test]
    fn what_is_enlarged_beside_is_not_drawn_twice() {
        let arrow = |to: Point| BalanceArrow {
            kind: crate::vector::VectorKind::AsFound,
            name: String::new(),
            from: (0.0, 0.0),
            to,
        };
        let arrows = [arrow((900.0, 0.0)), arrow((3.0, 0.0))];
        let panel = |rings: Vec<f64>, inset| Panel {
            centre: (0.0, 0.0),
            radius: 100.0,
            hand: 1.0,
            rings,
            inset,
            shows_sense: false,
            is_labelled: true,
        };
        let numbers = |panel: Panel| {
            panel.drawn(&arrows).iter().map(|d| (d.number, d.goes_on)).collect::<Vec<_>>()
        };
        assert_eq!(numbers(panel(vec![1000.0], Some(vec![4.0]))), [(1, false)]);
        assert_eq!(numbers(panel(vec![4.0], None)), [(1, true), (2, false)]);
    }
}
