//! Numbers as text, in one place: coordinates of the picture, cells of its table, and sizes as
//! the shop reads them.

use kernel::units::{Length, Shown, System};

/// A coordinate in units of the view box: at most two decimals, no minus zero, no trailing zeros.
/// A value that is no number would spoil the whole file; it is drawn at the origin, and the
/// figure in the text still says what it was.
pub(crate) fn coordinate(value: f64) -> String {
    if !value.is_finite() {
        return "0".to_owned();
    }
    let text = format!("{value:.2}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}

/// A table cell: plain, with as many decimals as asked.
pub(crate) fn cell(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    let zero = !text.contains(|c: char| c.is_ascii_digit() && c != '0');
    if zero { text.trim_start_matches('-').to_owned() } else { text }
}

/// A small amount in both systems: a step, a cut, a clearance.
pub(crate) fn amount(length: Length, first: System) -> String {
    typeset(length.as_amount(first))
}

/// A size to hold or read, in both systems.
pub(crate) fn size(length: Length, first: System) -> String {
    typeset(length.as_size(first))
}

/// A change of a small amount in both systems, with its sign even where it is positive.
pub(crate) fn change(length: Length, first: System) -> String {
    let text = amount(length, first);
    if text.starts_with(|c: char| c.is_ascii_digit() && c != '0') || length.to_um() >= 0.5 {
        format!("+{}", text.replace('(', "(+"))
    } else {
        text
    }
}

/// With a true minus sign, which is as wide as a digit and not taken for a dash.
fn typeset(shown: Shown) -> String {
    shown.to_string().replace('-', "\u{2212}")
}

/// The largest of 1, 1.5, 2, 2.5, 3, 4, 5, 6, 8 times a power of ten that is not above `value`:
/// scales that can be said aloud. `value` at or below zero, or no number, gives 1.
pub(crate) fn round_down(value: f64) -> f64 {
    if !(value.is_finite() && value > 0.0) {
        return 1.0;
    }
    let decade = 10f64.powi(value.log10().floor() as i32);
    [8.0, 6.0, 5.0, 4.0, 3.0, 2.5, 2.0, 1.5]
        .into_iter()
        .map(|digit| digit * decade)
        // A value computed from a round one may fall short of it by the last bit.
        .find(|round| *round <= value * (1.0 + 1e-9))
        .unwrap_or(decade)
}

/// A scale factor in words: `60`, `2.5`.
pub(crate) fn factor(value: f64) -> String {
    coordinate(value)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn coordinates_are_short_and_never_minus_zero() {
        for (value, text) in
            [(1.0, "1"), (1.505, "1.5"), (-0.001, "0"), (120.0, "120"), (f64::NAN, "0")]
        {
            assert_eq!(coordinate(value), text);
        }
    }

    #[test]
    fn cells_keep_their_decimals() {
        assert_eq!(cell(79.788, 4), "79.7880");
        assert_eq!(cell(-0.000_01, 4), "0.0000");
        assert_eq!(cell(-0.012, 4), "-0.0120");
    }

    #[test]
    fn scales_are_round_and_never_above() {
        for (value, round) in [(63.0, 60.0), (100.0, 100.0), (99.0, 80.0), (0.17, 0.15)] {
            assert!((round_down(value) - round).abs() < 1e-12, "{value}");
        }
        assert_eq!(round_down(-3.0), 1.0);
    }

    #[test]
    fn a_change_has_its_sign() {
        let said = [23.0, -23.0, 0.2].map(|um| change(Length::um(um), System::Metric));
        assert_eq!(
            said,
            [
                "+23 \u{b5}m (+0.9 thou)",
                "\u{2212}23 \u{b5}m (\u{2212}0.9 thou)",
                "0 \u{b5}m (0.0 thou)"
            ]
        );
    }

    #[test]
    fn a_negative_amount_has_a_true_minus() {
        let text = amount(Length::um(-12.0), System::Metric);
        assert_eq!(text, "\u{2212}12 \u{b5}m (\u{2212}0.5 thou)");
    }
}
