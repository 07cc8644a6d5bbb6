//! A square window on the slopes: the room's edges, the path with its marks, and their labels.

use super::{EVERY, JamOutline, Slope, TiltPath, TouchReach, turn_mark};
use crate::arrow;
use crate::clip;
use crate::hatch::Hatch;
use crate::places::{Area, Places};
use crate::scale::{Scale, figure};
use crate::sheet::{Anchor, Sheet, outline};
use crate::text::Type;

/// The window: where it stands and what it reaches to.
pub(super) struct View {
    area: Area,
    across: Scale,
    up: Scale,
}

impl View {
    /// From its upper left corner, `side` wide, `half` mrad to each side of zero.
    pub(super) fn new((left, top): (f64, f64), side: f64, half: f64) -> Self {
        let area = (left, top, left + side, top + side);
        Self {
            area,
            across: Scale::new((-half, half), (area.0, area.2)),
            up: Scale::new((-half, half), (area.3, area.1)),
        }
    }

    /// Below its axis.
    pub(super) fn bottom(&self) -> f64 {
        self.area.3 + 26.0
    }

    fn at(&self, (x, y): (f64, f64)) -> (f64, f64) {
        (self.across.beyond(x), self.up.beyond(y))
    }

    fn has(&self, (x, y): (f64, f64)) -> bool {
        x >= self.area.0 && x <= self.area.2 && y >= self.area.1 && y <= self.area.3
    }

    fn corners(&self, jam: &JamOutline) -> Vec<(f64, f64)> {
        jam.corners.iter().map(|s| self.at(s.mrad())).collect()
    }

    fn closed(&self, jam: &JamOutline) -> Vec<(f64, f64)> {
        let mut corners = self.corners(jam);
        corners.extend(corners.first().copied());
        corners
    }

    /// Every line of the room's edges.
    fn outlines(&self, model: &TiltPath) -> Vec<Vec<(f64, f64)>> {
        let jams = model.jams.iter().map(|jam| self.closed(jam));
        jams.chain(self.touch_lines(&model.touches)).collect()
    }

    /// Draws everything; the marks that found no room for their labels, in degrees.
    pub(super) fn draw(
        &self,
        sheet: &mut Sheet,
        model: &TiltPath,
        name: &str,
        marks: bool,
    ) -> Vec<usize> {
        self.draw_edges(sheet, model);
        self.draw_axes(sheet, name);
        self.draw_outlines(sheet, model);
        let mut places = Places::new(self.area);
        let (left, top, right, _) = self.area;
        let middle = (0.5 * (left + right), top + 18.0);
        places.text(sheet, middle, Anchor::Middle, "hot waist");
        let points: Vec<_> = model.path.iter().map(|s| self.at(s.mrad())).collect();
        let closed: Vec<_> = points.iter().chain(points.first()).copied().collect();
        for piece in clip::polyline(&closed, self.area) {
            sheet.curve(&piece, "curve");
        }
        for line in std::iter::once(closed).chain(self.outlines(model)) {
            places.avoid_line(&line);
        }
        let mut unlabelled = Vec::new();
        if marks {
            self.draw_travel(sheet, &points, &mut places);
        }
        let least = model
            .least
            .and_then(|least| points.get(least.degree).map(|at| (*at, least.mark())))
            .filter(|(at, _)| self.has(*at));
        if let Some(((x, y), mark)) = least {
            sheet.mark(x, y, mark);
            places.take((x - 9.0, y - 9.0, x + 9.0, y + 9.0));
        }
        if marks {
            // The moment that matters most has the first choice of a place.
            if let Some((at, _)) = least {
                places.label(sheet, at, "least gap");
            }
            for (degree, at) in points.iter().enumerate().step_by(EVERY) {
                if self.has(*at) && !places.label(sheet, *at, &format!("{degree}\u{b0}")) {
                    unlabelled.push(degree);
                }
            }
        }
        self.label_outlines(sheet, model, &mut places);
        unlabelled
    }

    /// The room's edge, with what lies outside it hatched.
    fn draw_edges(&self, sheet: &mut Sheet, model: &TiltPath) {
        let (left, top, right, bottom) = self.area;
        let frame = outline(&[(left, top), (right, top), (right, bottom), (left, bottom)], true);
        if let Some(jam) = model.jams.iter().find(|jam| jam.at.is_none()) {
            let room = clip::polygon(&self.corners(jam), self.area);
            sheet.hatched(&(frame.clone() + &outline(&room, true)), Hatch::Wall);
        }
        sheet.path(&frame, "thin");
    }

    fn draw_axes(&self, sheet: &mut Sheet, name: &str) {
        let (left, top, right, bottom) = self.area;
        let (zero_x, zero_y) = self.at((0.0, 0.0));
        sheet.line((left, zero_y), (right, zero_y), "axis");
        sheet.line((zero_x, top), (zero_x, bottom), "axis");
        let (ticks, decimals) = self.across.ticks(56.0);
        for value in ticks {
            let (x, y) = self.at((value, value));
            let words = figure(value, decimals);
            // The corners belong to the axes' names.
            if x < right - 52.0 {
                sheet.line((x, bottom), (x, bottom + 6.0), "thin");
                sheet.text(x, bottom + 21.0, Type::Small, Anchor::Middle, &words);
            }
            if y > top + 26.0 {
                sheet.line((left - 6.0, y), (left, y), "thin");
                sheet.text(left - 10.0, y + 5.0, Type::Small, Anchor::End, &words);
            }
        }
        sheet.text(right, bottom + 21.0, Type::Small, Anchor::End, "x");
        sheet.text(left - 10.0, top + 12.0, Type::Small, Anchor::End, "y");
        if !name.is_empty() {
            sheet.text(0.5 * (left + right), top - 8.0, Type::Strong, Anchor::Middle, name);
        }
    }

    fn draw_outlines(&self, sheet: &mut Sheet, model: &TiltPath) {
        for jam in &model.jams {
            let corners = self.closed(jam);
            let class = if jam.at.is_none() { "edge" } else { "dashed" };
            for piece in clip::polyline(&corners, self.area) {
                sheet.path(&outline(&piece, false), class);
            }
        }
        for piece in self.touch_lines(&model.touches) {
            for piece in clip::polyline(&piece, self.area) {
                sheet.path(&outline(&piece, false), "reach");
            }
        }
    }

    /// The directions in which a tip touches, neighbours joined; closed where all do.
    fn touch_lines(&self, touches: &[TouchReach]) -> Vec<Vec<(f64, f64)>> {
        let mut lines: Vec<Vec<(f64, f64)>> = vec![Vec::new()];
        for touch in touches {
            match (touch.mrad(), lines.last_mut()) {
                (Some(slope), Some(line)) => line.push(self.at(slope)),
                _ => lines.push(Vec::new()),
            }
        }
        let ends = touches
            .first()
            .and_then(TouchReach::mrad)
            .zip(touches.last().and_then(TouchReach::mrad));
        if ends.is_some() {
            // The last direction is the neighbour of the first.
            if lines.len() == 1 {
                let first = lines[0].first().copied();
                lines[0].extend(first);
            } else {
                let first = std::mem::take(&mut lines[0]);
                if let Some(last) = lines.last_mut() {
                    last.extend(first);
                }
            }
        }
        lines.retain(|line| line.len() > 1);
        lines
    }

    /// The marks along the path and, between them, arrows in its direction.
    fn draw_travel(&self, sheet: &mut Sheet, points: &[(f64, f64)], places: &mut Places) {
        let near = |a: (f64, f64), b: (f64, f64)| (a.0 - b.0).hypot(a.1 - b.1);
        let marked: Vec<_> = points.iter().enumerate().step_by(EVERY).collect();
        for half in (EVERY / 2..points.len()).step_by(EVERY) {
            let Some(at) = points.get(half).filter(|at| self.has(**at)) else { continue };
            let ahead = points[(half + 4) % points.len()];
            let behind = points[(half + points.len() - 4) % points.len()];
            // Too slow to have a direction, or on a mark.
            if near(ahead, behind) < 1.0 || marked.iter().any(|(_, m)| near(*at, **m) < 14.0) {
                continue;
            }
            arrow::head(sheet, *at, (ahead.0 - behind.0, ahead.1 - behind.1));
        }
        for (degree, (x, y)) in marked {
            if self.has((*x, *y)) {
                sheet.path(&turn_mark(degree).path(*x, *y), "plain-mark");
                places.take((x - 7.0, y - 7.0, x + 7.0, y + 7.0));
            }
        }
    }

    /// A word at each of the room's edges, as far as there is room for it.
    fn label_outlines(&self, sheet: &mut Sheet, model: &TiltPath, places: &mut Places) {
        let seen = |slopes: &[(f64, f64)], rank: fn(&(f64, f64)) -> f64| {
            let inside = slopes.iter().copied().filter(|at| self.has(*at));
            inside.max_by(|a, b| rank(a).total_cmp(&rank(b)))
        };
        for jam in &model.jams {
            let words = match jam.at {
                Some(at) => format!("jammed at {}\u{b0}", figure(at.to_deg(), 0)),
                None => "jammed".to_owned(),
            };
            let corners: Vec<_> = jam.corners.iter().map(|s: &Slope| self.at(s.mrad())).collect();
            if let Some(at) = seen(&corners, |at| -at.1) {
                places.label(sheet, at, &words);
            }
        }
        let touches: Vec<_> =
            model.touches.iter().filter_map(TouchReach::mrad).map(|s| self.at(s)).collect();
        if let Some(at) = seen(&touches, |at| at.0) {
            places.label(sheet, at, "tip touches");
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use kernel::units::Angle;

    fn reaches(tilts: &[Option<f64>]) -> Vec<TouchReach> {
        let count = tilts.len() as f64;
        tilts
            .iter()
            .zip(0..)
            .map(|(tilt, n)| TouchReach {
                direction: Angle::deg(360.0 * f64::from(n) / count),
                tilt: tilt.map(|mrad| Angle::rad(mrad / 1e3)),
            })
            .collect()
    }

    #[test]
    fn equal_scales_and_the_hot_waist_on_top() {
        let view = View::new((100.0, 50.0), 400.0, 2.0);
        let (o, x, y) = (view.at((0.0, 0.0)), view.at((1.0, 0.0)), view.at((0.0, 1.0)));
        assert!((x.0 - o.0 - 100.0).abs() < 1e-9 && (o.1 - y.1 - 100.0).abs() < 1e-9);
    }

    #[test]
    fn directions_in_which_no_tip_touches_are_left_open() {
        let view = View::new((0.0, 0.0), 400.0, 2.0);
        let lines = |tilts: &[Option<f64>]| {
            let lines = view.touch_lines(&reaches(tilts));
            lines.iter().map(Vec::len).collect::<Vec<_>>()
        };
        let some = Some(1.0);
        assert_eq!(lines(&[some; 6]), [7], "closed");
        assert_eq!(lines(&[some, some, None, None, some, some]), [4], "through the first");
        assert_eq!(lines(&[None, some, some, None, some, some]), [2, 2]);
        assert!(lines(&[None; 6]).is_empty());
    }
}
