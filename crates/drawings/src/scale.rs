//! A scale of plain figures, level or upright, and the round values that stand along it.

use crate::number::cell;

/// From figures to places on the sheet.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Scale {
    from: f64,
    to: f64,
    start: f64,
    end: f64,
}

impl Scale {
    /// `from` stands at `start`, `to` at `end`. A scale without length is given one, so that a
    /// single figure can be drawn.
    pub(crate) fn new((from, to): (f64, f64), (start, end): (f64, f64)) -> Self {
        let apart = to - from;
        if apart.is_finite() && apart > 1e-12 * from.abs().max(to.abs()) {
            return Self { from, to, start, end };
        }
        let middle = if from.is_finite() { from } else { 0.0 };
        let half = 0.5 * middle.abs().max(1.0);
        Self { from: middle - half, to: middle + half, start, end }
    }

    /// Where a figure stands. What lies outside is drawn at the end.
    pub(crate) fn at(&self, value: f64) -> f64 {
        self.beyond(value.clamp(self.from, self.to))
    }

    /// The same without stopping at the ends.
    pub(crate) fn beyond(&self, value: f64) -> f64 {
        self.start + (self.end - self.start) * ((value - self.from) / (self.to - self.from))
    }

    /// Which figure stands at a place.
    pub(crate) fn value(&self, place: f64) -> f64 {
        self.from + (self.to - self.from) * ((place - self.start) / (self.end - self.start))
    }

    /// Whether a figure lies on it.
    pub(crate) fn holds(&self, value: f64) -> bool {
        (self.from..=self.to).contains(&value)
    }

    /// Round values, not closer than `apart` on the sheet, and the decimals they need.
    pub(crate) fn ticks(&self, apart: f64) -> (Vec<f64>, usize) {
        let per_unit = (self.end - self.start).abs() / (self.to - self.from);
        round_values(self.from, self.to, apart / per_unit)
    }
}

/// The least and the greatest of the figures that are numbers; zero and zero without any.
pub(crate) fn span(values: impl Iterator<Item = f64>) -> (f64, f64) {
    let (low, high) = values
        .filter(|v| v.is_finite())
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), v| (low.min(v), high.max(v)));
    if low <= high { (low, high) } else { (0.0, 0.0) }
}

/// Multiples of 1, 2 or 5 times a power of ten between two figures, at least `least` apart, and
/// the decimals they need.
pub(crate) fn round_values(from: f64, to: f64, least: f64) -> (Vec<f64>, usize) {
    if !(least.is_finite() && least > 0.0) {
        return (Vec::new(), 0);
    }
    let decade = 10f64.powi(least.log10().floor() as i32);
    let step = [1.0, 2.0, 5.0]
        .into_iter()
        .map(|digit| digit * decade)
        .find(|step| *step >= least)
        .unwrap_or(10.0 * decade);
    let first = (from / step).ceil() as i64;
    let last = (to / step).floor() as i64;
    let decimals = (-step.log10().floor()).max(0.0) as usize;
    // More than these no sheet has room for.
    ((first..=last).take(400).map(|n| n as f64 * step).collect(), decimals)
}

/// A figure with a true minus sign.
pub(crate) fn figure(value: f64, decimals: usize) -> String {
    cell(value, decimals).replace('-', "\u{2212}")
}

/// A chance or a share from 0 to 1 in per cent: one decimal below ten,
/// none above.
pub(crate) fn percent(part: f64) -> String {
    let percent = 100.0 * part;
    if percent == 0.0 {
        return "0 %".to_owned();
    }
    figure(percent, usize::from(percent.abs() < 9.95)) + " %"
}

/// An amount of any size with the figures that tell: three, or all before the decimal point.
pub(crate) fn telling(value: f64) -> String {
    if value == 0.0 {
        return "0".to_owned();
    }
    // Rounded first: what rounds up to a ten has that ten's figures.
    let rounded = format!("{value:.2e}");
    let tens = rounded.rsplit('e').next().and_then(|tens| tens.parse::<i32>().ok());
    // Beyond these a row of noughts could not be read.
    match tens.filter(|tens| (-6..9).contains(tens)) {
        Some(tens) => figure(value, (2 - tens).max(0) as usize),
        None => rounded.replace('-', "\u{2212}"),
    }
}

/// The same without noughts at its end.
pub(crate) fn round_telling(value: f64) -> String {
    let text = telling(value);
    if text.contains('.') && !text.contains('e') {
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        text
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ticks_are_round_apart_and_inside() {
        for (from, to) in [(-37.0, 412.0), (0.0, 0.03), (8000.0, 11_500.0), (-2e5, -1e5)] {
            let scale = Scale::new((from, to), (300.0, 20.0));
            let (ticks, _) = scale.ticks(40.0);
            assert!(ticks.len() >= 2, "{from} {to}: {ticks:?}");
            for pair in ticks.windows(2) {
                assert!(scale.at(pair[0]) - scale.at(pair[1]) >= 40.0 - 1e-9, "{ticks:?}");
            }
            assert!(ticks.iter().all(|t| scale.holds(*t)), "{ticks:?}");
        }
    }

    #[test]
    fn a_single_figure_stands_in_the_middle() {
        for value in [0.0, 9000.0, -3.0] {
            let scale = Scale::new((value, value), (0.0, 100.0));
            assert!((scale.at(value) - 50.0).abs() < 1e-9, "{value}");
        }
        assert_eq!(span([f64::NAN].into_iter()), (0.0, 0.0));
    }

    #[test]
    fn shares_have_a_decimal_where_it_tells() {
        let said = [0.0, 0.0321, 0.0996, 0.5].map(percent);
        assert_eq!(said, ["0 %", "3.2 %", "10 %", "50 %"]);
    }

    #[test]
    fn amounts_have_the_figures_that_tell() {
        let said = [0.0, 0.004_56, 6.1, 412.4, 33_012.0, -2.5, 1e140].map(telling);
        assert_eq!(telling(0.999_999), "1.00");
        assert_eq!(said, ["0", "0.00456", "6.10", "412", "33012", "\u{2212}2.50", "1.00e140"]);
        assert_eq!([0.5, 20.0, 3000.0].map(round_telling), ["0.5", "20", "3000"]);
    }
}
