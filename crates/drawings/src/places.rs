//! Free places for labels beside points: on no other label, and on as little of the drawn lines
//! as can be helped.

use crate::clip;
use crate::sheet::{Anchor, Sheet};
use crate::text::{Type, width};

/// A box on the sheet: left, top, right, bottom.
pub(crate) type Area = (f64, f64, f64, f64);

/// What is taken so far.
#[derive(Debug)]
pub(crate) struct Places {
    room: Area,
    taken: Vec<Area>,
    lines: Vec<(f64, f64)>,
}

/// How far from its point a label may stand; beyond the second it gets a leader.
const REACHES: [f64; 8] = [9.0, 15.0, 26.0, 40.0, 58.0, 80.0, 110.0, 150.0];
/// Directions tried, evenly around.
const DIRECTIONS: u32 = 16;

fn meet(a: Area, b: Area) -> bool {
    a.0 < b.2 && b.0 < a.2 && a.1 < b.3 && b.1 < a.3
}

impl Places {
    /// Labels stay inside `room`.
    pub(crate) const fn new(room: Area) -> Self {
        Self { room, taken: Vec::new(), lines: Vec::new() }
    }

    /// No label may lie on this.
    pub(crate) fn take(&mut self, area: Area) {
        self.taken.push(area);
    }

    /// Labels had better not lie on this line; what of it is outside the room does not count.
    pub(crate) fn avoid_line(&mut self, points: &[(f64, f64)]) {
        for piece in clip::polyline(points, self.room) {
            for pair in piece.windows(2) {
                let (dx, dy) = (pair[1].0 - pair[0].0, pair[1].1 - pair[0].1);
                // Close enough that no label fits between two.
                let steps = (dx.hypot(dy) / 5.0).ceil().max(1.0);
                self.lines.extend((0..steps as u32).map(|n| {
                    let part = f64::from(n) / steps;
                    (pair[0].0 + dx * part, pair[0].1 + dy * part)
                }));
            }
        }
        // A line that turns back on itself counts once.
        self.lines.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1)));
        self.lines.dedup_by(|a, b| (a.0 - b.0).abs() + (a.1 - b.1).abs() < 2.0);
    }

    /// The place for a label of this width beside a point: its left end, its base line, and how
    /// far it is; nothing where every place is taken.
    fn find(&self, (x, y): (f64, f64), wide: f64) -> Option<(f64, f64, usize)> {
        let (half_w, half_h) = (0.5 * wide + 2.0, 9.0);
        let mut best: Option<(f64, f64, usize)> = None;
        let mut least = f64::INFINITY;
        for (far, reach) in REACHES.into_iter().enumerate() {
            for n in 0..DIRECTIONS {
                let (sin, cos) =
                    (std::f64::consts::TAU * f64::from(n) / f64::from(DIRECTIONS)).sin_cos();
                // The middle of the box so far out that its edge is `reach` from the point.
                let out = reach + (half_w / cos.abs().max(1e-9)).min(half_h / sin.abs().max(1e-9));
                let (cx, cy) = (x + out * cos, y + out * sin);
                let area = (cx - half_w, cy - half_h, cx + half_w, cy + half_h);
                let inside = area.0 >= self.room.0
                    && area.1 >= self.room.1
                    && area.2 <= self.room.2
                    && area.3 <= self.room.3;
                if !inside || self.taken.iter().any(|other| meet(area, *other)) {
                    continue;
                }
                let covered =
                    self.lines.iter().filter(|p| meet(area, (p.0, p.1, p.0, p.1))).count();
                // A long leader is worth avoiding too, though less than a covered line.
                let cost = 4.0 * covered as f64 + reach;
                if cost < least {
                    least = cost;
                    best = Some((area.0 + 2.0, cy + 5.0, far));
                }
            }
        }
        best
    }

    /// Writes a label beside a point, with a leader where it stands far off; whether there was
    /// a place for it.
    pub(crate) fn label(&mut self, sheet: &mut Sheet, at: (f64, f64), words: &str) -> bool {
        let wide = width(words, Type::Small);
        let Some((left, base, far)) = self.find(at, wide) else { return false };
        if far > 1 {
            let x = at.0.clamp(left, left + wide);
            let y = at.1.clamp(base - 11.0, base + 1.0);
            sheet.line(at, (x, y), "faint");
        }
        self.take((left - 2.0, base - 14.0, left + wide + 2.0, base + 4.0));
        sheet.plate_tight(left, base, words);
        true
    }

    /// A word with its middle at a point, if nothing else is there; whether it was free.
    pub(crate) fn on(&mut self, sheet: &mut Sheet, (x, y): (f64, f64), words: &str) -> bool {
        let half = 0.5 * width(words, Type::Small) + 2.0;
        let area = (x - half, y - 14.0, x + half, y + 4.0);
        let is_free = !self.taken.iter().any(|other| meet(area, *other));
        if is_free {
            self.take(area);
            sheet.plate_tight(x - half + 2.0, y, words);
        }
        is_free
    }

    /// Keeps others off a text that is set by hand.
    pub(crate) fn text(
        &mut self,
        sheet: &mut Sheet,
        (x, y): (f64, f64),
        anchor: Anchor,
        words: &str,
    ) {
        let wide = width(words, Type::Small);
        let left = match anchor {
            Anchor::Start => x,
            Anchor::Middle => x - 0.5 * wide,
            Anchor::End => x - wide,
        };
        self.take((left - 2.0, y - 14.0, left + wide + 2.0, y + 5.0));
        sheet.plate(x, y, anchor, words);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::options::Options;

    #[test]
    fn labels_of_one_point_never_meet_and_end_when_the_room_is_full() {
        let mut places = Places::new((0.0, 0.0, 300.0, 300.0));
        let mut sheet = Sheet::new("test", &Options::default());
        let put =
            (0..400).take_while(|_| places.label(&mut sheet, (150.0, 150.0), "1080\u{b0}")).count();
        assert!((8..400).contains(&put), "{put}");
        for (i, a) in places.taken.iter().enumerate() {
            assert!(places.taken[i + 1..].iter().all(|b| !meet(*a, *b)));
        }
    }

    #[test]
    fn a_label_leaves_a_line_free_where_there_is_room() {
        let mut places = Places::new((0.0, 0.0, 300.0, 300.0));
        places.avoid_line(&[(0.0, 150.0), (300.0, 150.0)]);
        let (_, base, _) = places.find((150.0, 150.0), 30.0).unwrap();
        assert!(!(145.0..=164.0).contains(&base), "{base}");
    }
}
