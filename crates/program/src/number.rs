//! Numbers of a program: so many decimals, always a point.

use kernel::cutting::Units;

/// Far above the rounding of the arithmetic, far below the last decimal.
const LAST_BITS: f64 = 1e-6;

/// A length in the control's units, halves away from zero, never `-0`.
pub(crate) fn length(units: Units, metres: f64) -> String {
    fixed(metres / units.unit().to_m(), units.decimals())
}

/// The same with one decimal more, for people.
pub(crate) fn fine_length(units: Units, metres: f64) -> String {
    fixed(metres / units.unit().to_m(), units.decimals() + 1)
}

/// Decimals of a feed: 0.1 mm/min, 0.01 in/min.
const fn feed_decimals(units: Units) -> usize {
    match units {
        Units::Mm => 1,
        Units::Inch => 2,
    }
}

/// A feed per minute, cut off so that it is never above what it stands for.
pub(crate) fn feed(units: Units, metres_per_s: f64) -> String {
    let decimals = feed_decimals(units);
    let scale = 10f64.powi(decimals as i32);
    let value = metres_per_s * 60.0 / units.unit().to_m();
    format!("{:.decimals$}", (value * scale + LAST_BITS).floor() / scale)
}

pub(crate) fn fixed(value: f64, decimals: usize) -> String {
    let scale = 10f64.powi(decimals as i32);
    let rounded = (value * scale + LAST_BITS.copysign(value)).round() / scale + 0.0;
    format!("{rounded:.decimals$}")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_fixed_and_have_a_point() {
        assert_eq!(length(Units::Mm, 0.0625e-3), "0.063");
        assert_eq!(length(Units::Mm, -0.0625e-3), "-0.063");
        assert_eq!(length(Units::Mm, -1e-9), "0.000");
        assert_eq!(length(Units::Inch, 25.4e-3), "1.0000");
        assert_eq!(fine_length(Units::Mm, 0.0625e-3), "0.0625");
        assert_eq!(feed(Units::Mm, 0.334_08 / 60.0), "334.0");
        assert_eq!(feed(Units::Mm, 0.04 / 60.0), "40.0");
    }
}
