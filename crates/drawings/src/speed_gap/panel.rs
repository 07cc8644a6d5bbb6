//! One rotor's panel: the gap, the room below zero crossed out, and the strip with the chance.

use super::{GapAtSpeed, LEFT, RIGHT, RotorGaps, SAME_RPM, SpeedGap};
use crate::beside::spread;
use crate::hatch::Hatch;
use crate::mark::Mark;
use crate::scale::{Scale, figure, percent};
use crate::sheet::{Anchor, MARGIN, Sheet, boxed, outline};
use crate::text::Type;
use kernel::units::{Length, System};

/// Where the words beside a panel start.
const BESIDE: f64 = RIGHT + 14.0;

/// Heights of a panel and of its strip on the sheet.
#[derive(Debug, Clone, Copy)]
pub(super) struct Heights {
    gap: f64,
    chance: f64,
}

impl Heights {
    /// The more rotors, the flatter.
    pub(super) const fn of(rotors: usize, has_chance: bool) -> Self {
        let gap = match rotors {
            0 | 1 => 300.0,
            2 => 220.0,
            _ => 170.0,
        };
        Self { gap, chance: if has_chance { 60.0 } else { 0.0 } }
    }
}

impl SpeedGap {
    /// Draws a rotor's panel from `top`; its bottom.
    pub(super) fn draw_panel(
        &self,
        sheet: &mut Sheet,
        rotor: &RotorGaps,
        top: f64,
        speeds: &Scale,
        heights: Heights,
        system: System,
    ) -> f64 {
        let bottom = top + heights.gap;
        let gaps = Scale::new(self.gaps_m(), (bottom, top));
        Self::draw_frame(sheet, &gaps, speeds, (top, bottom), system);
        let strip =
            (heights.chance > 0.0).then_some((bottom + 14.0, bottom + 14.0 + heights.chance));
        let end = strip.map_or(bottom, |(_, end)| end);
        if let Some((strip_top, strip_bottom)) = strip {
            self.draw_chance(sheet, rotor, speeds, (strip_top, strip_bottom));
        }
        for critical in &self.critical {
            if speeds.holds(critical.speed.to_rpm()) {
                let x = speeds.at(critical.speed.to_rpm());
                sheet.line((x, top), (x, end), "axis");
            }
        }
        let x = speeds.at(self.duty.to_rpm());
        sheet.line((x, top), (x, end), "edge");
        self.draw_gaps(sheet, rotor, speeds, &gaps, (top, bottom));
        end
    }

    /// Axes, lines at round gaps in both systems, and what lies below zero.
    fn draw_frame(
        sheet: &mut Sheet,
        gaps: &Scale,
        speeds: &Scale,
        (top, bottom): (f64, f64),
        system: System,
    ) {
        let zero = gaps.at(0.0);
        let per_unit = match system {
            System::Metric => Length::um(1.0),
            System::Inch => Length::thou(1.0),
        };
        // In the units of the axis the round values differ; the same places in metres.
        let (from, to) = (gaps.value(bottom) / per_unit.to_m(), gaps.value(top) / per_unit.to_m());
        let shown = Scale::new((from, to), (bottom, top));
        let (ticks, decimals) = shown.ticks(34.0);
        for value in ticks {
            let y = shown.at(value);
            let length = per_unit * value;
            let (first, second) = match system {
                System::Metric => (figure(value, decimals), figure(length.to_thou(), 1)),
                System::Inch => (figure(value, decimals), figure(length.to_um(), 0)),
            };
            sheet.line((LEFT, y), (RIGHT, y), "faint");
            sheet.line((LEFT - 6.0, y), (LEFT, y), "thin");
            let words = format!("{first} ({second})");
            sheet.text(LEFT - 10.0, y + 5.0, Type::Small, Anchor::End, &words);
        }
        let (ticks, _) = speeds.ticks(74.0);
        for rpm in ticks {
            sheet.line((speeds.at(rpm), top), (speeds.at(rpm), bottom), "faint");
        }
        sheet.hatched(&boxed(LEFT, zero, RIGHT - LEFT, bottom - zero), Hatch::Barred);
        sheet.line((LEFT, zero), (RIGHT, zero), "bad-edge");
        sheet.path(&boxed(LEFT, top, RIGHT - LEFT, bottom - top), "thin");
        let unit = match system {
            System::Metric => "\u{b5}m (thou)",
            System::Inch => "thou (\u{b5}m)",
        };
        sheet.text(MARGIN, top - 9.0, Type::Small, Anchor::Start, unit);
    }

    fn draw_gaps(
        &self,
        sheet: &mut Sheet,
        rotor: &RotorGaps,
        speeds: &Scale,
        gaps: &Scale,
        (top, bottom): (f64, f64),
    ) {
        let at = |p: &GapAtSpeed, gap: Length| (speeds.at(p.speed.to_rpm()), gaps.at(gap.to_m()));
        let banded: Vec<_> =
            rotor.points.iter().filter_map(|p| p.band.map(|band| (p, band))).collect();
        if banded.len() > 1 {
            let low = banded.iter().map(|(p, (low, _))| at(p, *low));
            let high = banded.iter().rev().map(|(p, (_, high))| at(p, *high));
            let area = outline(&low.chain(high).collect::<Vec<_>>(), true);
            sheet.path(&area, "metal");
            sheet.path(&area, "thin");
        }
        let mut labels = Vec::new();
        let centred: Vec<_> =
            rotor.points.iter().filter_map(|p| p.centred.map(|c| at(p, c))).collect();
        sheet.curve(&centred, "curve-dashed");
        if let Some((_, y)) = centred.last() {
            labels.push((*y, "centred".to_owned()));
        }
        let worst: Vec<_> = rotor.points.iter().map(|p| at(p, p.worst_float)).collect();
        sheet.curve(&worst, "curve");
        // Where it was computed, as long as the places can be told apart.
        if worst.len() <= 60 {
            for point in &worst {
                sheet.circle(*point, 3.0, "ink");
            }
        }
        if let Some((_, y)) = worst.last() {
            labels.push((*y, "worst float".to_owned()));
        }
        if let Some(point) = rotor.at(self.duty) {
            let mark = if point.worst_float > Length::ZERO { Mark::Planned } else { Mark::Fails };
            let (x, y) = at(point, point.worst_float);
            sheet.mark(x, y, mark);
        }
        let zero = gaps.at(0.0);
        labels.push((zero, "0: touch".to_owned()));
        for (y, base, words) in spread(
            labels.into_iter().map(|(y, words)| (y + 5.0, words)).collect(),
            (top + 12.0, bottom + 4.0),
        ) {
            sheet.line((RIGHT + 1.0, y - 5.0), (BESIDE - 2.0, base - 5.0), "thin");
            sheet.text(BESIDE, base, Type::Small, Anchor::Start, &words);
        }
    }

    /// The chance of contact at each speed, with the part above the allowed one hatched.
    fn draw_chance(
        &self,
        sheet: &mut Sheet,
        rotor: &RotorGaps,
        speeds: &Scale,
        (top, bottom): (f64, f64),
    ) {
        let chances = Scale::new((0.0, 1.0), (bottom, top));
        let known: Vec<(f64, f64)> = rotor
            .points
            .iter()
            .filter_map(|p| p.chance.map(|c| (speeds.at(p.speed.to_rpm()), chances.at(c))))
            .collect();
        let closed = |points: &[(f64, f64)], floor: f64| {
            let mut area = points.to_vec();
            if let (Some(first), Some(last)) = (points.first(), points.last()) {
                area.extend([(last.0, floor), (first.0, floor)]);
            }
            outline(&area, true)
        };
        if known.len() > 1 {
            sheet.path(&closed(&known, bottom), "metal");
        }
        let mut labels = vec![(0.5 * (top + bottom) + 5.0, "chance of contact".to_owned())];
        if known.is_empty() {
            labels.push((labels[0].0 + 1.0, "not computed".to_owned()));
        }
        if let Some(allowed) = self.allowed_chance {
            let y = chances.at(allowed);
            if known.len() > 1 {
                let area = closed(&above(&known, y), y);
                sheet.path(&area, "paper");
                sheet.hatched(&area, Hatch::Stock);
            }
            sheet.line((LEFT, y), (RIGHT, y), "dashed");
            labels.push((y + 5.0, format!("allowed {}", percent(allowed))));
        }
        sheet.curve(&known, "curve");
        if let [(x, y)] = known.as_slice() {
            sheet.circle((*x, *y), 3.0, "ink");
        }
        let at_duty = rotor
            .points
            .iter()
            .filter(|p| p.chance.is_some() && (p.speed - self.duty).abs().to_rpm() <= SAME_RPM);
        for p in at_duty.take(1) {
            let over = p.chance.unwrap_or(0.0) > self.allowed_chance.unwrap_or(1.0);
            let mark = if over { Mark::Fails } else { Mark::Planned };
            sheet.mark(speeds.at(p.speed.to_rpm()), chances.at(p.chance.unwrap_or(0.0)), mark);
        }
        sheet.path(&boxed(LEFT, top, RIGHT - LEFT, bottom - top), "thin");
        for (part, words) in [(1.0, "100 %"), (0.0, "0 %")] {
            let y = chances.at(part);
            sheet.line((LEFT - 6.0, y), (LEFT, y), "thin");
            sheet.text(LEFT - 10.0, y + 5.0, Type::Small, Anchor::End, words);
        }
        for (_, base, words) in spread(labels, (top + 8.0, bottom + 5.0)) {
            sheet.text(BESIDE - 6.0, base, Type::Small, Anchor::Start, &words);
        }
    }
}

/// The line where it is above the level `y` (less on the sheet), and the level elsewhere, with
/// the points at which they cross.
fn above(points: &[(f64, f64)], y: f64) -> Vec<(f64, f64)> {
    let mut all = Vec::new();
    for (n, (x, at)) in points.iter().enumerate() {
        if let Some((x0, y0)) = n.checked_sub(1).and_then(|before| points.get(before))
            && (*y0 < y) != (*at < y)
        {
            all.push((x0 + (x - x0) * (y - y0) / (at - y0), y));
        }
        all.push((*x, at.min(y)));
    }
    all
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_part_above_a_level_starts_where_the_line_crosses_it() {
        let cut = above(&[(0.0, 100.0), (10.0, 50.0), (20.0, 90.0)], 75.0);
        assert_eq!(
            cut,
            [(0.0, 75.0), (5.0, 75.0), (10.0, 50.0), (13.75 + 2.5, 75.0), (20.0, 75.0)]
        );
    }
}
