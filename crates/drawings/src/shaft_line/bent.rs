//! The bent axis in its two planes, with the slopes at the rotors, and the bending stress.

use super::{AxisPoint, LEFT, RIGHT, RotorStation, ShaftLine, along, mpa, mrad};
use crate::beside::spread;
use crate::mark::Mark;
use crate::number::{factor, round_down};
use crate::rows::{ROW, Rows};
use crate::scale::{Scale, figure, span};
use crate::sheet::{Anchor, MARGIN, Sheet, WIDTH, boxed, outline};
use crate::text::Type;
use kernel::units::{Length, System};

/// Heights of the two drawings on the sheet.
const BENT: f64 = 150.0;
const STRESS: f64 = 110.0;
/// Widest that a label over them may be before it breaks.
const LABELS: f64 = 330.0;
/// Where the words beside them start.
const BESIDE: f64 = RIGHT + 14.0;

/// One of the two deflections of a point.
type Deflection = fn(&AxisPoint) -> Length;

/// What stands over a rotor: both slopes of its journal.
fn slope_label(number: usize, rotor: &RotorStation) -> String {
    let (along, across) = (mrad(rotor.slope_along), mrad(rotor.slope_across));
    format!("{number}: {along}, across {across}")
}

impl ShaftLine {
    /// Draws the bent axis from `top`; its bottom.
    pub(super) fn draw_bent(
        &self,
        sheet: &mut Sheet,
        top: f64,
        scale: &Scale,
        system: System,
    ) -> f64 {
        let per_m = scale.beyond(1.0) - scale.beyond(0.0);
        let most_m = self
            .axis
            .iter()
            .flat_map(|p| [p.along, p.across])
            .map(|d| d.abs().to_m())
            .filter(|d| d.is_finite())
            .fold(0.0, f64::max);
        let times = round_down((0.5 * BENT - 8.0) / most_m / per_m);
        let is_straight = most_m <= 0.0;
        let name = if is_straight {
            "Axis: not bent; slopes in mrad".to_owned()
        } else {
            format!("Bent axis, deflection {} times larger; slopes in mrad", factor(times))
        };
        sheet.text(MARGIN, top + 12.0, Type::Strong, Anchor::Start, &name);
        let slopes: Vec<_> = self
            .rotors
            .iter()
            .enumerate()
            .map(|(n, r)| (scale.beyond(r.z.to_m()), slope_label(n + 1, r)))
            .collect();
        let rows = Rows::new(&slopes, (LEFT, WIDTH - MARGIN), LABELS);
        let plot = top + 24.0 + rows.height().max(ROW);
        let bottom = plot + BENT;
        let middle = plot + 0.5 * BENT;
        rows.draw_above(sheet, plot, "thin");
        for (x, _) in &slopes {
            sheet.line((*x, plot), (*x, bottom), "faint");
        }
        sheet.path(&boxed(LEFT, plot, RIGHT - LEFT, BENT), "thin");
        sheet.line((LEFT, middle), (RIGHT, middle), "axis");
        for main in &self.mains {
            let x = scale.beyond(main.z.to_m());
            sheet.line((x, plot), (x, bottom - 13.0), "faint");
            let support = [(x, bottom - 13.0), (x - 7.0, bottom - 1.0), (x + 7.0, bottom - 1.0)];
            sheet.path(&outline(&support, true), "plain-mark");
        }
        self.draw_deflections(sheet, scale, (plot, bottom), times * per_m, system);
        bottom
    }

    fn draw_deflections(
        &self,
        sheet: &mut Sheet,
        scale: &Scale,
        (plot, bottom): (f64, f64),
        per_m: f64,
        system: System,
    ) {
        let most = Length::m((0.5 * BENT) / per_m);
        let sizes = Scale::new((-most.to_m(), most.to_m()), (bottom, plot));
        let (unit, name) = match system {
            System::Metric => (Length::um(1.0), "\u{b5}m"),
            System::Inch => (Length::thou(1.0), "thou"),
        };
        let in_units = Scale::new((-(most / unit), most / unit), (bottom, plot));
        // A straight axis has no scale to speak of.
        let is_bent = self.axis.iter().any(|p| p.along.abs().max(p.across.abs()) > Length::ZERO);
        let (ticks, decimals) = if is_bent { in_units.ticks(34.0) } else { (vec![0.0], 0) };
        for value in ticks {
            let y = in_units.at(value);
            sheet.line((LEFT - 6.0, y), (LEFT, y), "thin");
            let words = figure(value, decimals);
            sheet.text(LEFT - 10.0, y + 5.0, Type::Small, Anchor::End, &words);
        }
        sheet.text(LEFT - 10.0, plot - 10.0, Type::Small, Anchor::End, name);
        let mut labels = Vec::new();
        let planes: [(&str, &str, Deflection); 2] =
            [("across", "curve-dashed", |p| p.across), ("throw plane", "curve", |p| p.along)];
        for (words, class, of) in planes {
            let points: Vec<_> = self
                .axis
                .iter()
                .map(|p| (scale.beyond(p.z.to_m()), sizes.at(of(p).to_m())))
                .collect();
            sheet.curve(&points, class);
            if let Some((x, y)) = points.last() {
                labels.push((y + 5.0, words.to_owned(), *x));
            }
        }
        for rotor in &self.rotors {
            let near = self.axis.iter().min_by(|a, b| {
                (a.z - rotor.z).abs().to_m().total_cmp(&(b.z - rotor.z).abs().to_m())
            });
            if let Some(p) = near {
                let y = sizes.at(p.along.to_m());
                sheet.mark(scale.beyond(p.z.to_m()), y, Mark::Station);
            }
        }
        let end = labels.first().map_or(RIGHT, |(_, _, x)| *x);
        let wanted = labels.into_iter().map(|(y, words, _)| (y, words)).collect();
        for (y, base, words) in spread(wanted, (plot + 8.0, bottom + 4.0)) {
            sheet.line((end + 2.0, y - 5.0), (BESIDE - 3.0, base - 5.0), "thin");
            sheet.text(BESIDE, base, Type::Small, Anchor::Start, &words);
        }
    }

    /// Draws the bending stress from `top`; the line after the axis along the shaft.
    pub(super) fn draw_stress(
        &self,
        sheet: &mut Sheet,
        top: f64,
        scale: &Scale,
        system: System,
    ) -> f64 {
        sheet.text(MARGIN, top + 12.0, Type::Strong, Anchor::Start, "Bending stress, MPa");
        let largest = self.largest_stress();
        let labels: Vec<_> = largest
            .map(|p| {
                let words = format!("largest {} at {}", mpa(p.stress_pa), along(p.z, system));
                (scale.beyond(p.z.to_m()), words)
            })
            .into_iter()
            .collect();
        let rows = Rows::new(&labels, (MARGIN, WIDTH - MARGIN), LABELS);
        let plot = top + 22.0 + rows.height();
        let bottom = plot + STRESS;
        let (_, most) = span(self.axis.iter().map(|p| p.stress_pa / 1e6));
        let stresses = Scale::new((0.0, 1.08 * most.max(1.0)), (bottom, plot));
        let (ticks, decimals) = stresses.ticks(30.0);
        for value in ticks {
            let y = stresses.at(value);
            sheet.line((LEFT, y), (RIGHT, y), "faint");
            let words = figure(value, decimals);
            sheet.text(LEFT - 10.0, y + 5.0, Type::Small, Anchor::End, &words);
        }
        rows.draw_above(sheet, plot, "thin");
        let line: Vec<_> = self
            .axis
            .iter()
            .map(|p| (scale.beyond(p.z.to_m()), stresses.at(p.stress_pa / 1e6)))
            .collect();
        if let (Some(first), Some(last)) = (line.first(), line.last()) {
            let mut area = line.clone();
            area.extend([(last.0, bottom), (first.0, bottom)]);
            sheet.path(&outline(&area, true), "metal");
        }
        sheet.path(&outline(&line, false), "curve");
        if let Some(p) = largest {
            let (x, y) = (scale.beyond(p.z.to_m()), stresses.at(p.stress_pa / 1e6));
            sheet.line((x, plot), (x, y), "thin");
            sheet.mark(x, y, Mark::Planned);
        }
        sheet.path(&boxed(LEFT, plot, RIGHT - LEFT, STRESS), "thin");
        Self::draw_along(sheet, scale, bottom, system);
        bottom + 26.0
    }

    /// The axis along the shaft at the height `y`.
    fn draw_along(sheet: &mut Sheet, scale: &Scale, y: f64, system: System) {
        let (unit, name) = match system {
            System::Metric => (Length::mm(1.0), "mm (in)"),
            System::Inch => (Length::inch(1.0), "in (mm)"),
        };
        let ends = (scale.value(LEFT) / unit.to_m(), scale.value(RIGHT) / unit.to_m());
        let shown = Scale::new(ends, (LEFT, RIGHT));
        let (ticks, decimals) = shown.ticks(104.0);
        for value in ticks {
            let (x, length) = (shown.at(value), unit * value);
            let second = match system {
                System::Metric => figure(length.to_inch(), 2),
                System::Inch => figure(length.to_mm(), 0),
            };
            let words = format!("{} ({second})", figure(value, decimals));
            sheet.line((x, y), (x, y + 6.0), "thin");
            sheet.text(x, y + 21.0, Type::Small, Anchor::Middle, &words);
        }
        sheet.text(WIDTH - MARGIN, y + 21.0, Type::Small, Anchor::End, name);
    }
}
