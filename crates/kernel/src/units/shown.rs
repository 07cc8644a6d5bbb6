//! Showing a size so that it can be cut or read: metric and inch side by side, the shop's choice
//! first. Thou to one decimal, micrometres whole, sizes to the micrometre and the tenth of a thou.

use super::quantity::Length;
use std::fmt;

/// Which system a shop reads first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum System {
    /// Millimetres and micrometres first.
    #[default]
    Metric,
    /// Inches and thou first.
    Inch,
}

/// A length ready to be shown in both systems.
#[derive(Debug, Clone, Copy)]
pub struct Shown {
    length: Length,
    first: System,
    small: bool,
}

impl Length {
    /// As a size to hold or read: `79.788 mm (3.1413 in)`.
    #[must_use]
    pub const fn as_size(self, first: System) -> Shown {
        Shown { length: self, first, small: false }
    }

    /// As a small amount, a step or a cut: `127 µm (5.0 thou)`.
    #[must_use]
    pub const fn as_amount(self, first: System) -> Shown {
        Shown { length: self, first, small: true }
    }
}

impl fmt::Display for Shown {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let metric = if self.small {
            format!("{} \u{b5}m", whole(self.length.to_um()))
        } else {
            format!("{:.3} mm", rounded(self.length.to_mm(), 3))
        };
        let inch = if self.small {
            format!("{:.1} thou", rounded(self.length.to_thou(), 1))
        } else {
            format!("{:.4} in", rounded(self.length.to_inch(), 4))
        };
        match self.first {
            System::Metric => f.pad(&format!("{metric} ({inch})")),
            System::Inch => f.pad(&format!("{inch} ({metric})")),
        }
    }
}

fn whole(value: f64) -> String {
    format!("{:.0}", rounded(value, 0))
}

/// To so many decimals, halves away from zero. A half that the arithmetic missed by its last bits
/// is a half, so that 62.5 µm and 64.5 µm go the same way; nothing prints as `-0`.
fn rounded(value: f64, decimals: i32) -> f64 {
    let scale = 10f64.powi(decimals);
    let nudged = value * scale + LAST_BITS.copysign(value);
    nudged.round() / scale + 0.0
}

/// Far above the rounding of the arithmetic, far below what is shown.
const LAST_BITS: f64 = 1e-6;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn both_systems_side_by_side() {
        let step = Length::mm(0.127);
        assert_eq!(step.as_amount(System::Metric).to_string(), "127 \u{b5}m (5.0 thou)");
        assert_eq!(step.as_amount(System::Inch).to_string(), "5.0 thou (127 \u{b5}m)");
        let width = Length::mm(79.788);
        assert_eq!(width.as_size(System::Metric).to_string(), "79.788 mm (3.1413 in)");
    }

    #[test]
    fn halves_go_one_way_whatever_the_last_bits() {
        for (um, shown) in [(62.5, "63"), (63.5, "64"), (-62.5, "-63"), (62.4, "62")] {
            for off in [-1e-10, 0.0, 1e-10] {
                let text = Length::um(um + off).as_amount(System::Metric).to_string();
                assert!(text.starts_with(&format!("{shown} ")), "{um}: {text}");
            }
        }
    }

    #[test]
    fn nothing_is_shown_as_minus_zero() {
        assert_eq!(Length::um(-0.4).as_amount(System::Metric).to_string(), "0 \u{b5}m (0.0 thou)");
    }
}
