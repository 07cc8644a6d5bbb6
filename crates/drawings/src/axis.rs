//! A level axis of lengths, with the marks of both systems: the shop's own above, the other below.

use crate::number::cell;
use crate::scale::round_values;
use crate::sheet::{Anchor, Sheet};
use crate::text::Type;
use kernel::units::{Length, System};

/// An axis between two places on the sheet.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Axis {
    from_m: f64,
    to_m: f64,
    left: f64,
    right: f64,
}

impl Axis {
    /// Wide enough for all `values` and zero, with a little room beyond the outermost.
    pub(crate) fn over(values: impl Iterator<Item = Length>, left: f64, right: f64) -> Self {
        let (low, high) = values
            .map(Length::to_m)
            .filter(|v| v.is_finite())
            .fold((0.0_f64, 0.0_f64), |(low, high), v| (low.min(v), high.max(v)));
        // A twelfth beyond each end that is not zero; at least 20 um in all.
        let room = (high - low).max(20e-6) / 12.0;
        let from_m = if low < 0.0 { low - room } else { 0.0 };
        Self { from_m, to_m: high + room, left, right }
    }

    /// Where a length stands. What lies outside is drawn at the end.
    pub(crate) fn at(&self, value: Length) -> f64 {
        let part = ((value.to_m() - self.from_m) / (self.to_m - self.from_m)).clamp(0.0, 1.0);
        self.left + (self.right - self.left) * part
    }

    /// Whether a length lies on it.
    pub(crate) fn reaches(&self, value: Length) -> bool {
        value.to_m() <= self.to_m
    }

    pub(crate) const fn ends(&self) -> (f64, f64) {
        (self.left, self.right)
    }

    /// Round values along the axis, not closer than `apart` on the sheet, in units of `unit`.
    fn ticks(&self, unit: Length, apart: f64) -> (Vec<Length>, usize) {
        let per_unit = (self.right - self.left) / (self.to_m - self.from_m) * unit.to_m();
        let least = apart / per_unit;
        let (from, to) = (self.from_m / unit.to_m(), self.to_m / unit.to_m());
        let (values, decimals) = round_values(from, to, least);
        (values.into_iter().map(|v| unit * v).collect(), decimals)
    }

    /// Draws it at height `y`, with faint lines through the rows below it.
    pub(crate) fn draw(&self, sheet: &mut Sheet, y: f64, rows: (f64, f64), first: System) {
        let (left, right) = self.ends();
        let systems = match first {
            System::Metric => [Self::metric(), Self::thou()],
            System::Inch => [Self::thou(), Self::metric()],
        };
        for (row, (unit, name)) in systems.into_iter().enumerate() {
            let (ticks, decimals) = self.ticks(unit, 58.0);
            let (tick, label) = if row == 0 { (-7.0, y - 11.0) } else { (7.0, y + 22.0) };
            for value in ticks {
                let x = self.at(value);
                if row == 0 {
                    sheet.line((x, rows.0), (x, rows.1), "faint");
                }
                sheet.line((x, y), (x, y + tick), "thin");
                let text = cell(value / unit, decimals).replace('-', "\u{2212}");
                sheet.text(x, label, Type::Small, Anchor::Middle, &text);
            }
            sheet.text(left - 22.0, label, Type::Small, Anchor::End, name);
        }
        sheet.line((left, y), (right, y), "edge");
    }

    const fn metric() -> (Length, &'static str) {
        (Length::um(1.0), "\u{b5}m")
    }

    const fn thou() -> (Length, &'static str) {
        (Length::thou(1.0), "thou")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ticks_are_round_apart_and_inside() {
        let axis = Axis::over([Length::um(300.0)].into_iter(), 100.0, 600.0);
        let (ticks, _) = axis.ticks(Length::um(1.0), 58.0);
        let at: Vec<f64> = ticks.iter().map(|t| axis.at(*t)).collect();
        assert!(at.windows(2).all(|pair| pair[1] - pair[0] >= 58.0), "{at:?}");
        assert!((ticks[1].to_um() - 50.0).abs() < 1e-9);
        assert_eq!(axis.at(Length::ZERO), 100.0);
    }

    #[test]
    fn an_axis_of_nothing_has_a_length() {
        let axis = Axis::over(std::iter::empty(), 0.0, 100.0);
        assert!(axis.at(Length::um(1.0)) > 0.0);
    }
}
