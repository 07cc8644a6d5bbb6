//! Reading what a shop writes: `0.127 mm`, `5 thou`, `.005"`, `3 1/8 in`, `9800 rpm`.
//!
//! The number is taken as an exact decimal (or a binary fraction of an inch) and multiplied by
//! the unit's exact size before it is rounded to `f64`, once.

use super::spelling::{Unit, refused};
use thiserror::Error;

/// A quantity that can be read from text and written so that reading it again gives the same
/// value to the last bit.
pub trait Quantity: Copy + Sized {
    /// What it is called in a message: "a length".
    const NAME: &'static str;
    /// Something right, to show in a message.
    const EXAMPLE: &'static str;
    /// The unit it is written in by [`Quantity::written`].
    const WRITTEN_UNIT: &'static str;

    /// Its spelled units.
    #[doc(hidden)]
    fn units() -> &'static [Unit];
    /// From its SI value.
    fn from_si(si: f64) -> Self;
    /// Its SI value.
    fn si(self) -> f64;

    /// Reads a number with its unit.
    ///
    /// # Errors
    /// A [`QuantityError`] that says what was wrong and how it is written right.
    fn parse(text: &str) -> Result<Self, QuantityError> {
        let (number, rest) = Number::take(text.trim(), Self::EXAMPLE)?;
        let spelled = rest.trim();
        if let Some(hint) = refused(Self::NAME, spelled) {
            return Err(QuantityError::Ambiguous { unit: spelled.to_owned(), hint });
        }
        let Some(unit) = Self::units().iter().find(|u| u.spelled.contains(&spelled)) else {
            return Err(if spelled.is_empty() {
                QuantityError::NoUnit { name: Self::NAME, example: Self::EXAMPLE }
            } else {
                QuantityError::UnknownUnit {
                    unit: spelled.to_owned(),
                    name: Self::NAME,
                    known: Self::units()
                        .iter()
                        .map(|u| u.spelled[0])
                        .collect::<Vec<_>>()
                        .join(", "),
                }
            });
        };
        let si = number.times(unit);
        if si.is_finite() { Ok(Self::from_si(si)) } else { Err(QuantityError::NotFinite) }
    }

    /// Writes it with its unit so that [`Quantity::parse`] gives back the same bits.
    ///
    /// The shortest decimal that names the SI value is shifted by the unit's power of ten, which
    /// rounds nothing.
    fn written(self) -> String {
        let unit = Self::units().iter().find(|u| u.spelled.contains(&Self::WRITTEN_UNIT));
        let power = unit.map_or(0, |u| u.power);
        format!("{} {}", shifted_decimal(self.si(), -power), Self::WRITTEN_UNIT)
    }
}

/// Why a text is no quantity.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[non_exhaustive]
pub enum QuantityError {
    /// Nothing was written, or no number at its start.
    #[error("no number here; write {example:?}")]
    NoNumber {
        /// Something right.
        example: &'static str,
    },
    /// A bare number.
    #[error("{name} needs its unit; write {example:?}")]
    NoUnit {
        /// What was expected.
        name: &'static str,
        /// Something right.
        example: &'static str,
    },
    /// A unit that is not one of this quantity's.
    #[error("{unit:?} is no unit of {name}; known are {known}")]
    UnknownUnit {
        /// As written.
        unit: String,
        /// What was expected.
        name: &'static str,
        /// The spellings that are known.
        known: String,
    },
    /// A unit that two people read in two ways.
    #[error("{unit:?} can be misread: {hint}")]
    Ambiguous {
        /// As written.
        unit: String,
        /// What to write in its place.
        hint: &'static str,
    },
    /// A comma where the decimal point belongs, or between thousands.
    #[error("a comma can be misread; write {point:?} if it is the decimal mark")]
    Comma {
        /// The same text with a point.
        point: String,
    },
    /// Infinite, or not a number.
    #[error("not a finite number")]
    NotFinite,
    /// More digits than any gauge has.
    #[error("more than 25 digits; write what the gauge shows")]
    TooManyDigits,
    /// A fraction that no rule or drill chart has.
    #[error("a fraction of an inch has 2, 4, 8, 16, 32, 64 or 128 below the line, not {below}")]
    Fraction {
        /// What stood below the line.
        below: String,
    },
}

/// A written number, exact: `digits / below · 10^power`.
struct Number {
    negative: bool,
    digits: u128,
    below: u128,
    power: i32,
}

impl Number {
    /// Takes the number from the front of a text; the rest is the unit.
    fn take<'t>(text: &'t str, example: &'static str) -> Result<(Self, &'t str), QuantityError> {
        let lower = text.to_ascii_lowercase();
        if ["nan", "inf", "+inf", "-inf"].iter().any(|word| lower.starts_with(word))
            && !lower.starts_with("in ")
        {
            return Err(QuantityError::NotFinite);
        }
        let (negative, unsigned) = match text.chars().next() {
            Some('-' | '\u{2212}') => (true, text.trim_start_matches(['-', '\u{2212}'])),
            Some('+') => (false, text.trim_start_matches('+')),
            _ => (false, text),
        };
        let unsigned = unsigned.trim_start();
        let end = unsigned
            .find(|c: char| !(c.is_ascii_digit() || c == '.' || c == ','))
            .unwrap_or(unsigned.len());
        let (mantissa, mut rest) = unsigned.split_at(end);
        if !mantissa.contains(|c: char| c.is_ascii_digit()) {
            return Err(QuantityError::NoNumber { example });
        }
        if mantissa.contains(',') {
            return Err(QuantityError::Comma { point: text.replacen(',', ".", 1) });
        }
        let (whole, decimals) = mantissa.split_once('.').unwrap_or((mantissa, ""));
        if decimals.contains('.') {
            return Err(QuantityError::NoNumber { example });
        }
        let written = format!("{whole}{decimals}");
        let significant = written.trim_start_matches('0');
        if significant.len() > 25 {
            return Err(QuantityError::TooManyDigits);
        }
        let mut number = Self {
            negative,
            digits: significant.parse().unwrap_or(0),
            below: 1,
            power: -i32::try_from(decimals.len()).map_err(|_| QuantityError::TooManyDigits)?,
        };
        if let Some(exponent) = rest.strip_prefix(['e', 'E']) {
            let digits_at = usize::from(exponent.starts_with(['+', '-']));
            let end = exponent[digits_at..]
                .find(|c: char| !c.is_ascii_digit())
                .map_or(exponent.len(), |i| i + digits_at);
            if end > digits_at {
                let power: i32 = exponent[..end].parse().map_err(|_| QuantityError::NotFinite)?;
                number.power = number.power.saturating_add(power);
                rest = &exponent[end..];
            }
        }
        if decimals.is_empty() && !mantissa.contains('.') {
            rest = number.take_fraction(rest)?;
        }
        Ok((number, rest))
    }

    /// Takes `1/8`, ` 1/8` or `-1/8` after a whole number, or the `/8` of a bare fraction.
    fn take_fraction<'t>(&mut self, rest: &'t str) -> Result<&'t str, QuantityError> {
        let (whole, above, after_line) = if let Some(after) = rest.strip_prefix('/') {
            (0, self.digits, after)
        } else {
            let part = rest.trim_start_matches([' ', '-']);
            let end = part.find(|c: char| !c.is_ascii_digit()).unwrap_or(part.len());
            let (above, after) = part.split_at(end);
            match (above.parse(), after.strip_prefix('/')) {
                (Ok(above), Some(after)) => (self.digits, above, after),
                _ => return Ok(rest),
            }
        };
        let end = after_line.find(|c: char| !c.is_ascii_digit()).unwrap_or(after_line.len());
        let (below, rest) = after_line.split_at(end);
        match below.parse::<u128>() {
            Ok(below) if below.is_power_of_two() && (2..=128).contains(&below) => {
                self.digits = whole
                    .checked_mul(below)
                    .and_then(|w| w.checked_add(above))
                    .ok_or(QuantityError::TooManyDigits)?;
                self.below = below;
                Ok(rest)
            }
            _ => Err(QuantityError::Fraction { below: below.to_owned() }),
        }
    }

    /// The SI value, rounded once (twice where the unit itself is no finite decimal).
    fn times(&self, unit: &Unit) -> f64 {
        // A binary fraction is a finite decimal: 1/2^n = 5^n / 10^n.
        let halvings = self.below.trailing_zeros();
        let exact = self
            .digits
            .checked_mul(5u128.pow(halvings))
            .and_then(|digits| digits.checked_mul(unit.numerator));
        let power = i64::from(self.power) + i64::from(unit.power) - i64::from(halvings);
        let size = match exact {
            Some(digits) => decimal(digits, power),
            // Past 128 bits: 25 digits were written with a long unit; scale in floating point.
            None => {
                decimal(self.digits, power) * 5f64.powi(halvings as i32) * unit.numerator as f64
            }
        };
        let size = if unit.denominator == 1 { size } else { size / unit.denominator as f64 };
        unit.offset + if self.negative { -size } else { size }
    }
}

/// `digits · 10^power`, correctly rounded by the standard library's own parser.
fn decimal(digits: u128, power: i64) -> f64 {
    format!("{digits}e{power}").parse().unwrap_or(f64::NAN)
}

/// The shortest decimal that names `value`, shifted by a power of ten, without an exponent
/// where that stays readable.
fn shifted_decimal(value: f64, shift: i32) -> String {
    let scientific = format!("{value:e}");
    let (mantissa, exponent) = scientific.split_once('e').unwrap_or((&scientific, "0"));
    let exponent = exponent.parse::<i32>().unwrap_or(0) + shift;
    let (sign, mantissa) = mantissa.strip_prefix('-').map_or(("", mantissa), |m| ("-", m));
    let digits = mantissa.replace('.', "");
    if digits.trim_start_matches('0').is_empty() {
        return "0".to_owned();
    }
    if !(-7..=15).contains(&exponent) {
        return format!("{sign}{mantissa}e{exponent}");
    }
    if exponent < 0 {
        let zeros = "0".repeat(exponent.unsigned_abs() as usize - 1);
        return format!("{sign}0.{zeros}{digits}");
    }
    let whole = exponent as usize + 1;
    if digits.len() <= whole {
        return format!("{sign}{digits}{}", "0".repeat(whole - digits.len()));
    }
    format!("{sign}{}.{}", &digits[..whole], &digits[whole..])
}

#[cfg(test)]
mod tests {
    use super::super::{
        Duration, Expansion, GaugePressure, Length, Mass, Speed, Temperature, TemperatureDifference,
    };
    use super::*;
    use proptest::prelude::*;

    fn mm(text: &str) -> f64 {
        Length::parse(text).unwrap().to_mm()
    }

    #[test]
    fn what_a_shop_writes_is_read_exactly() {
        for (text, expected) in [
            ("0.127 mm", 0.127),
            ("5 thou", 0.127),
            (".005\"", 0.127),
            ("127 um", 0.127),
            ("127 \u{b5}m", 0.127),
            ("127\u{3bc}m", 0.127),
            ("3 1/8 in", 79.375),
            ("3-1/8 in", 79.375),
            ("1/8 in", 3.175),
            ("3.1463 in", 79.916_02),
            ("-6 um", -0.006),
            ("\u{2212}6 um", -0.006),
            ("+.5mm", 0.5),
            ("79.915 mm", 79.915),
            ("1e-3 mm", 0.001),
        ] {
            assert_eq!(mm(text), expected, "{text}");
        }
    }

    #[test]
    fn inch_and_millimetre_are_the_same_bits() {
        for (inch, metric) in
            [("5 thou", "0.127 mm"), ("3.14 in", "79.756 mm"), ("0.1 thou", "2.54 um")]
        {
            assert_eq!(Length::parse(inch), Length::parse(metric));
        }
    }

    #[test]
    fn what_can_be_misread_is_refused_with_the_cure() {
        let comma = Length::parse("0,127 mm").unwrap_err();
        assert_eq!(comma, QuantityError::Comma { point: "0.127 mm".into() });
        for (text, part) in [
            ("5 mil", "thou"),
            ("5", "needs its unit"),
            ("", "no number"),
            ("mm", "no number"),
            ("NaN mm", "finite"),
            ("inf mm", "finite"),
            ("1e999 mm", "finite"),
            ("5 furlong", "known are mm, um, thou, in"),
            ("1.2.3 mm", "no number"),
            ("3 1/7 in", "below the line, not 7"),
            ("3 1/ in", "below the line"),
            ("12345678901234567890123456 mm", "digits"),
        ] {
            let message = Length::parse(text).unwrap_err().to_string();
            assert!(message.contains(part), "{text}: {message}");
        }
        assert!(TemperatureDifference::parse("70 degC").unwrap_err().to_string().contains("in K"));
        assert!(Temperature::parse("293 K").unwrap_err().to_string().contains("degC"));
    }

    #[test]
    fn other_quantities() {
        assert_eq!(Mass::parse("4312 g").unwrap(), Mass::g(4312.0));
        assert_eq!(Mass::parse("1 lb").unwrap().to_kg(), 0.453_592_37);
        // checks: 1 psi = 6894.757293168 Pa
        assert!((GaugePressure::parse("1 psi").unwrap().to_pa() - 6_894.757_293_168).abs() < 1e-9);
        assert!((Temperature::parse("68 degF").unwrap().to_deg_c() - 20.0).abs() < 1e-14);
        assert!((Speed::parse("9800 rpm").unwrap().to_rpm() - 9800.0).abs() < 1e-11);
        assert!((Expansion::parse("6.0e-6 /degF").unwrap().to_per_k() - 10.8e-6).abs() < 1e-20);
        assert_eq!(Duration::parse("12 h").unwrap().to_h(), 12.0);
    }

    #[test]
    fn a_speed_written_is_the_speed_read() {
        let speed = Speed::parse("9800 rpm").unwrap();
        assert_eq!(Speed::parse(&speed.written()).unwrap(), speed);
    }

    proptest! {
        #[test]
        fn written_then_read_is_the_same_bits(m in -1e3..1e3f64, small in -1e-9..1e-9f64) {
            for value in [Length::m(m), Length::m(small)] {
                prop_assert_eq!(Length::parse(&value.written()).unwrap(), value);
            }
        }

        #[test]
        fn any_text_is_a_value_or_an_error(text in "\\PC{0,40}") {
            if let Ok(length) = Length::parse(&text) {
                prop_assert!(length.is_finite());
            }
        }

        #[test]
        fn tenths_of_a_thou_equal_their_millimetres(tenths in -200_000i64..200_000) {
            // 0.0001 in = 0.00254 mm exactly.
            let metric = format!("{}e-5 mm", tenths * 254);
            let inch = format!("{tenths}e-4 in");
            prop_assert_eq!(Length::parse(&metric).unwrap(), Length::parse(&inch).unwrap());
        }
    }
}
