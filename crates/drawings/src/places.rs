//! Free places for labels beside points: on no other label, and on as little of the drawn lines
//! as can be helped.

use crate::clip;
use crate::sheet::{Anchor, Sheet};
use crate::text::{Type, width};

/// A box on the sheet: left, top, right, bottom.
pub(crate) type Area = (f64, f64, f64, f64);

/// What is taken so far.
#[derive(Debug, Clone)]
pub(crate) struct Places {
    room: Area,
    taken: Vec<Area>,
    lines: Vec<(f64, f64)>,
    leaders: Vec<Leader>,
    /// What a covered piece of a line costs.
    covering: f64,
}

/// A mark whose label has a leader.
#[derive(Debug, Clone)]
pub(crate) struct Led {
    /// Its middle.
    pub(crate) at: (f64, f64),
    /// How far its edge is from there.
    pub(crate) r: f64,
    /// The leader runs nearly this way, or against it.
    pub(crate) ahead: (f64, f64),
    pub(crate) words: String,
}

/// Which marks were put where, and which found no place.
#[derive(Default)]
struct Round {
    put: Vec<(usize, Area, Leader)>,
    missing: Vec<usize>,
}

/// From a mark to its label.
type Leader = ((f64, f64), (f64, f64));

/// How far from its point a label may stand; beyond the second it gets a leader.
const REACHES: [f64; 8] = [9.0, 15.0, 26.0, 40.0, 58.0, 80.0, 110.0, 150.0];
/// How far a leader may turn from its direction.
const TILTS_DEG: [f64; 9] = [0.0, 12.0, -12.0, 24.0, -24.0, 40.0, -40.0, 60.0, -60.0];
/// What a degree of that costs, in units of a leader's length: forty degrees as much as twenty.
const TILT_COST: f64 = 0.5;
/// What each covered piece of a line costs in the same units; where lines are what is read, a
/// label goes some way before it covers one.
const COVERING: f64 = 4.0;
const COVERING_READ: f64 = 12.0;
/// How often marks are placed anew, those without a place before the others.
const ROUNDS: usize = 5;
/// Half the height of a label.
const HALF_LABEL: f64 = 9.0;
/// Directions tried, evenly around.
const DIRECTIONS: u32 = 16;

fn meet(a: Area, b: Area) -> bool {
    a.0 < b.2 && b.0 < a.2 && a.1 < b.3 && b.1 < a.3
}

fn runs_through((from, to): Leader, area: Area) -> bool {
    clip::inside(from, to, area).is_some()
}

/// Whether two lines cross.
fn cross((a, b): Leader, (c, d): Leader) -> bool {
    let side = |from: (f64, f64), to: (f64, f64), p: (f64, f64)| {
        (to.0 - from.0) * (p.1 - from.1) - (to.1 - from.1) * (p.0 - from.0) > 0.0
    };
    side(a, b, c) != side(a, b, d) && side(c, d, a) != side(c, d, b)
}

impl Places {
    /// Labels stay inside `room`.
    pub(crate) const fn new(room: Area) -> Self {
        Self { room, taken: Vec::new(), lines: Vec::new(), leaders: Vec::new(), covering: COVERING }
    }

    /// The same where the lines are what is read: a label goes far before it covers one.
    pub(crate) fn off_lines(room: Area) -> Self {
        Self { covering: COVERING_READ, ..Self::new(room) }
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

    /// Whether a label may lie here.
    fn is_free(&self, area: Area) -> bool {
        area.0 >= self.room.0
            && area.1 >= self.room.1
            && area.2 <= self.room.2
            && area.3 <= self.room.3
            && !self.taken.iter().any(|other| meet(area, *other))
            && !self.leaders.iter().any(|leader| runs_through(*leader, area))
    }

    /// Whether a leader from the mark around a point may run here.
    fn is_clear(&self, leader: Leader, (x, y): (f64, f64)) -> bool {
        let others = self.taken.iter().filter(|area| !meet(**area, (x, y, x, y)));
        others.into_iter().all(|area| !runs_through(leader, *area))
            && !self.leaders.iter().any(|other| cross(leader, *other))
    }

    /// How much of the drawn lines a label would cover.
    fn covered(&self, area: Area) -> usize {
        self.lines.iter().filter(|p| meet(area, (p.0, p.1, p.0, p.1))).count()
    }

    /// The place for a label of this width beside a point: its left end, its base line, and how
    /// far it is; nothing where every place is taken.
    fn find(&self, (x, y): (f64, f64), wide: f64) -> Option<(f64, f64, usize)> {
        let (half_w, half_h) = (0.5 * wide + 2.0, HALF_LABEL);
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
                if !self.is_free(area) {
                    continue;
                }
                // A long leader is worth avoiding too, though less than a covered line.
                let cost = self.covering * self.covered(area) as f64 + reach;
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

    /// Writes a label beside each mark, with a leader that meets no other mark, label or leader,
    /// so that among many marks each has its own; which of them found no place.
    pub(crate) fn lead(&mut self, sheet: &mut Sheet, marks: &[Led]) -> Vec<usize> {
        let mut order: Vec<usize> = (0..marks.len()).collect();
        let mut best: Option<Round> = None;
        for _ in 0..ROUNDS {
            let mut tried = self.clone();
            let mut round = Round::default();
            for n in &order {
                match tried.find_led(&marks[*n]) {
                    Some((area, leader)) => {
                        tried.take(area);
                        tried.leaders.push(leader);
                        round.put.push((*n, area, leader));
                    }
                    None => round.missing.push(*n),
                }
            }
            // Those that found none have the first choice in the next round.
            order.retain(|n| !round.missing.contains(n));
            order.splice(0..0, round.missing.iter().copied());
            let is_whole = round.missing.is_empty();
            if best.as_ref().is_none_or(|b| round.missing.len() < b.missing.len()) {
                best = Some(round);
            }
            if is_whole {
                break;
            }
        }
        let Round { put, mut missing } = best.unwrap_or_default();
        for (_, area, leader) in &put {
            sheet.line(leader.0, leader.1, "thin");
            self.leaders.push(*leader);
            self.take(*area);
        }
        for (n, area, _) in put {
            sheet.plate_tight(area.0 + 2.0, area.1 + HALF_LABEL + 5.0, &marks[n].words);
        }
        missing.sort_unstable();
        missing
    }

    /// The best place for the label of a mark, and its leader.
    fn find_led(&self, mark: &Led) -> Option<(Area, Leader)> {
        let Led { at, r, ahead: (dx, dy), ref words } = *mark;
        let half_w = 0.5 * width(words, Type::Small) + 2.0;
        let ahead_rad = dy.atan2(dx);
        let mut best: Option<(Area, Leader)> = None;
        let mut least = f64::INFINITY;
        for (tilt_deg, side_rad) in
            TILTS_DEG.into_iter().flat_map(|tilt| [(tilt, 0.0), (tilt, std::f64::consts::PI)])
        {
            let (sin, cos) = (ahead_rad + side_rad + tilt_deg.to_radians()).sin_cos();
            let on = |far: f64| (at.0 + far * cos, at.1 + far * sin);
            let edge = (half_w / cos.abs().max(1e-9)).min(HALF_LABEL / sin.abs().max(1e-9));
            for reach in REACHES {
                let least_here = reach + TILT_COST * tilt_deg.abs();
                if least_here >= least {
                    break;
                }
                let (cx, cy) = on(r + reach + edge);
                let area = (cx - half_w, cy - HALF_LABEL, cx + half_w, cy + HALF_LABEL);
                let leader = (on(r), on(r + reach));
                if !self.is_free(area) || !self.is_clear(leader, at) {
                    continue;
                }
                let cost = self.covering * self.covered(area) as f64 + least_here;
                if cost < least {
                    least = cost;
                    best = Some((area, leader));
                }
            }
        }
        best
    }

    /// A word with its middle at a point, if nothing else is there; whether it was free.
    pub(crate) fn on(&mut self, sheet: &mut Sheet, (x, y): (f64, f64), words: &str) -> bool {
        let half = 0.5 * width(words, Type::Small) + 2.0;
        let area = (x - half, y - 14.0, x + half, y + 4.0);
        let is_free = self.is_free(area);
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

    /// Marks in a row, closer than their labels are wide: each leader meets no other's label.
    #[test]
    fn leaders_of_close_marks_do_not_meet() {
        let mut places = Places::new((0.0, 0.0, 300.0, 300.0));
        let mut sheet = Sheet::new("test", &Options::default());
        let marks: Vec<Led> = (0..8)
            .map(|n| (100.0 + 11.0 * f64::from(n), 150.0))
            .map(|at| Led { at, r: 4.0, ahead: (0.0, 1.0), words: "188".into() })
            .collect();
        for Led { at: (x, y), .. } in &marks {
            places.take((x - 4.0, y - 4.0, x + 4.0, y + 4.0));
        }
        assert_eq!(places.lead(&mut sheet, &marks), [0; 0]);
        assert_eq!(places.leaders.len(), marks.len());
        let labels = &places.taken[marks.len()..];
        for (n, label) in labels.iter().enumerate() {
            assert!(labels[n + 1..].iter().all(|other| !meet(*label, *other)));
            for (m, leader) in places.leaders.iter().enumerate() {
                assert!(m == n || !runs_through(*leader, *label), "{m} {n}");
                assert!(m == n || !cross(*leader, places.leaders[n]), "{m} {n}");
            }
        }
        assert!(cross(((0.0, 0.0), (2.0, 2.0)), ((0.0, 2.0), (2.0, 0.0))));
        assert!(!cross(((0.0, 0.0), (2.0, 2.0)), ((3.0, 2.0), (2.5, 0.0))));
    }

    #[test]
    fn a_label_leaves_a_line_free_where_there_is_room() {
        let mut places = Places::new((0.0, 0.0, 300.0, 300.0));
        places.avoid_line(&[(0.0, 150.0), (300.0, 150.0)]);
        let (_, base, _) = places.find((150.0, 150.0), 30.0).unwrap();
        assert!(!(145.0..=164.0).contains(&base), "{base}");
    }
}
