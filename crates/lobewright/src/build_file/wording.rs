//! How things that stand in a file are named in messages, and which words can be names.

use super::limits::{Limit, Share};
use kernel::units::{Quantity, QuantityError};
use std::ops::Range;
use toml::de::DeValue;

/// Longest name or serial that is taken, in characters.
pub(super) const LONGEST_NAME: usize = 80;
/// Longest piece of the file that a message repeats, in characters.
const LONGEST_QUOTED: usize = 40;
/// Units that somebody may have meant by a bare number.
const USUAL_UNITS: [&str; 13] =
    ["mm", "um", "thou", "in", "g", "kg", "lb", "bar", "kPa", "psi", "h", "degC", "degF"];

/// Says why a text cannot be a name, if it cannot.
pub(super) fn unusable_name(text: &str) -> Option<&'static str> {
    if text.is_empty() {
        Some("is empty")
    } else if text.trim() != text {
        Some("starts or ends with a space")
    } else if text.chars().any(char::is_control) {
        Some("has a control character")
    } else if text.chars().count() > LONGEST_NAME {
        Some("is too long")
    } else {
        None
    }
}

/// A day of the calendar, `YYYY-MM-DD`.
pub(super) fn is_day(text: &str) -> bool {
    let bytes = text.as_bytes();
    let shaped = bytes.len() == 10
        && bytes.iter().enumerate().all(|(i, b)| match i {
            4 | 7 => *b == b'-',
            _ => b.is_ascii_digit(),
        });
    if !shaped {
        return false;
    }
    let part = |range: Range<usize>| text[range].parse::<u32>().unwrap_or(0);
    let (year, month, day) = (part(0..4), part(5..7), part(8..10));
    let leap = year % 4 == 0 && (year % 100 != 0 || year % 400 == 0);
    let days = match month {
        1 | 3 | 5 | 7 | 8 | 10 | 12 => 31,
        4 | 6 | 9 | 11 => 30,
        2 if leap => 29,
        2 => 28,
        _ => 0,
    };
    (1..=days).contains(&day)
}

/// A piece of the file in quotes, shortened, control characters spelled out.
pub(super) fn quoted(text: &str) -> String {
    if text.chars().count() <= LONGEST_QUOTED {
        format!("{text:?}")
    } else {
        let start: String = text.chars().take(LONGEST_QUOTED).collect();
        format!("{start:?}...")
    }
}

pub(super) fn number_text(value: &DeValue<'_>) -> String {
    let text = match value {
        DeValue::Integer(i) => i.to_string(),
        DeValue::Float(f) => f.as_str().to_owned(),
        _ => String::new(),
    };
    let mut short: String = text.chars().take(LONGEST_QUOTED).collect();
    if short.len() < text.len() {
        short.push_str("...");
    }
    short
}

/// What stands there, for a message.
pub(super) fn found(value: &DeValue<'_>) -> String {
    match value {
        DeValue::String(text) => format!("the text {}", quoted(text)),
        DeValue::Integer(_) | DeValue::Float(_) => format!("the number {}", number_text(value)),
        DeValue::Boolean(yes) => format!("the word {yes}"),
        DeValue::Datetime(date) => format!("the date {date}"),
        DeValue::Array(items) if items.len() == 1 => "a list of 1".to_owned(),
        DeValue::Array(items) => format!("a list of {}", items.len()),
        DeValue::Table(_) => "a table".to_owned(),
    }
}

/// The cure for a number without its unit: the units in which it would be inside the limits.
pub(super) fn units_that_fit<Q: Quantity>(number: &str, limit: &Limit<Q>) -> Option<String> {
    let fits = |unit: &str| {
        let text = format!("{number} {unit}");
        let inside = Q::parse(&text).is_ok_and(|value| limit.broken_by(value).is_none());
        inside.then(|| format!("{text:?}"))
    };
    let mut units = vec![limit.unit];
    units.extend(USUAL_UNITS.iter().filter(|unit| **unit != limit.unit));
    match units.into_iter().filter_map(fits).collect::<Vec<_>>().as_slice() {
        [] => None,
        [one] => Some(format!("write {one} if that is meant")),
        several => Some(format!("write {}, whichever is meant", several.join(" or "))),
    }
}

/// The cure for a plain number that was put in quotes, or given in percent.
pub(super) fn bare_number(text: &str, limit: &Share) -> Option<String> {
    let text = text.trim();
    let number = match text.strip_suffix('%') {
        Some(percent) => percent.trim().parse::<f64>().ok()? / 100.0,
        None => text.parse().ok()?,
    };
    limit.broken_by(number).is_none().then(|| format!("write {number:?} if that is meant"))
}

/// What was wrong with a quantity's text, and the cure.
pub(super) fn unread<Q: Quantity>(
    text: &str,
    error: &QuantityError,
    limit: &Limit<Q>,
) -> (String, Option<String>) {
    let shown = quoted(text);
    match error {
        QuantityError::NoNumber { .. } => (format!("{shown} has no number that can be read"), None),
        QuantityError::NoUnit { .. } => {
            (format!("{shown} has no unit"), units_that_fit(text.trim(), limit))
        }
        QuantityError::UnknownUnit { unit, known, .. } => {
            (format!("{} is no unit known here", quoted(unit)), Some(format!("known are {known}")))
        }
        QuantityError::Ambiguous { unit, hint } => {
            (format!("{unit:?} can be misread"), Some((*hint).to_owned()))
        }
        QuantityError::Comma { point } => (
            format!("the comma in {shown} can be misread"),
            Some(format!("write {} if it is the decimal mark", quoted(point))),
        ),
        other => (format!("{shown}: {other}"), None),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::build_file::limits;
    use kernel::units::Length;

    #[test]
    fn days_of_the_calendar() {
        for day in ["2027-01-31", "2028-02-29", "2000-02-29"] {
            assert!(is_day(day), "{day}");
        }
        for none in ["2027-02-29", "1900-02-29", "2027-13-01", "2027-00-10", "31.1.2027", "soon"] {
            assert!(!is_day(none), "{none}");
        }
    }

    #[test]
    fn units_are_offered_where_the_number_is_possible() {
        let hint = |number| units_that_fit::<Length>(number, &limits::WIDTH).unwrap_or_default();
        assert_eq!(hint("79.922"), "write \"79.922 mm\" if that is meant");
        assert_eq!(hint("3.1465"), "write \"3.1465 in\" if that is meant");
        assert_eq!(hint("0.1"), "");
        let hint = units_that_fit::<Length>("95", &limits::STEP);
        assert_eq!(hint.unwrap(), "write \"95 um\" or \"95 thou\", whichever is meant");
    }

    #[test]
    fn a_plain_number_is_offered_without_quotes() {
        let limit = &limits::speed::RELATIVE_U;
        assert_eq!(bare_number("0.2", limit).unwrap(), "write 0.2 if that is meant");
        assert_eq!(bare_number("20 %", limit).unwrap(), "write 0.2 if that is meant");
        for none in ["20", "inf", "nan", "a fifth", "", "%", "-5 %"] {
            assert_eq!(bare_number(none, limit), None, "{none}");
        }
    }

    #[test]
    fn long_text_is_shortened_in_messages() {
        assert_eq!(quoted("R-114"), "\"R-114\"");
        assert_eq!(quoted(&"x".repeat(200)), format!("\"{}\"...", "x".repeat(LONGEST_QUOTED)));
    }
}
