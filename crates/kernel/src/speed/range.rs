//! A figure outside its limits, the same refusal for gas, films, gear and spin.

use thiserror::Error;

/// A quantity outside its limits, or no number.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
#[error("{quantity} is {value} {unit}; it lies between {least} and {most} {unit}")]
pub struct OutOfRange {
    /// Which.
    pub quantity: &'static str,
    /// As given.
    pub value: f64,
    /// The unit of value and limits.
    pub unit: &'static str,
    /// The least it may be.
    pub least: f64,
    /// The most it may be.
    pub most: f64,
}

/// `value` if it lies between the limits, both allowed.
pub(crate) fn within(
    quantity: &'static str,
    value: f64,
    unit: &'static str,
    (least, most): (f64, f64),
) -> Result<f64, OutOfRange> {
    // A NaN fails both comparisons.
    if value >= least && value <= most {
        Ok(value)
    } else {
        Err(OutOfRange { quantity, value, unit, least, most })
    }
}

#[cfg(test)]
mod tests {
    use super::within;

    #[test]
    fn a_value_outside_is_named_with_its_limits_and_nan_is_outside() {
        assert_eq!(within("ratio", 9.0, "", (3.0, 9.0)), Ok(9.0));
        let text = within("the boost", -1.0, "Pa", (0.0, 5e5)).unwrap_err().to_string();
        assert_eq!(text, "the boost is -1 Pa; it lies between 0 and 500000 Pa");
        assert!(within("ratio", f64::NAN, "", (3.0, 9.0)).is_err());
    }
}
