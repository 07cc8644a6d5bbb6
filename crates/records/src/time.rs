//! Moments and days as text whose order is their order in time. Nothing here asks a clock: the
//! caller says when.

use rusqlite::types::{FromSql, FromSqlError, FromSqlResult, ToSql, ToSqlOutput, ValueRef};
use std::fmt;
use thiserror::Error;

/// Why a text is no moment or no day.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[error("{text:?} is no {what}; write it as {example:?}")]
pub struct TimeError {
    text: String,
    what: &'static str,
    example: &'static str,
}

/// A moment, RFC 3339 in UTC to the second: `2026-11-28T09:30:00Z`.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Moment(String);

/// A day: `2026-11-28`.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Day(String);

impl Moment {
    /// Reads a moment.
    ///
    /// # Errors
    /// Where the text is of another form, or there is no such moment. A fraction of a second is
    /// refused: as text it would not keep its order.
    pub fn new(text: &str) -> Result<Self, TimeError> {
        let right = text.is_ascii()
            && text.len() == 20
            && is_day(&text[..10])
            && text.as_bytes()[10] == b'T'
            && text.ends_with('Z')
            && is_time(&text[11..19]);
        if right {
            Ok(Self(text.to_owned()))
        } else {
            Err(TimeError {
                text: text.to_owned(),
                what: "moment in UTC",
                example: "2026-11-28T09:30:00Z",
            })
        }
    }

    /// As it is written.
    #[must_use]
    pub fn as_str(&self) -> &str {
        &self.0
    }

    /// The day it is on, in UTC.
    #[must_use]
    pub fn day(&self) -> Day {
        Day(self.0[..10].to_owned())
    }

    /// For the name of a file: no colon, which some file systems refuse.
    pub(crate) fn in_file_name(&self) -> String {
        self.0.replace(['-', ':'], "")
    }
}

impl Day {
    /// Reads a day.
    ///
    /// # Errors
    /// Where the text is of another form, or no calendar has that day.
    pub fn new(text: &str) -> Result<Self, TimeError> {
        if text.is_ascii() && text.len() == 10 && is_day(text) {
            Ok(Self(text.to_owned()))
        } else {
            Err(TimeError { text: text.to_owned(), what: "day", example: "2026-11-28" })
        }
    }

    /// As it is written.
    #[must_use]
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

/// A number in digits alone: a sign or a space would be read too.
fn digits(text: &str) -> Option<u32> {
    text.bytes().all(|byte| byte.is_ascii_digit()).then(|| text.parse().ok()).flatten()
}

fn is_day(text: &str) -> bool {
    let bytes = text.as_bytes();
    if bytes[4] != b'-' || bytes[7] != b'-' {
        return false;
    }
    let (Some(year), Some(month), Some(day)) =
        (digits(&text[..4]), digits(&text[5..7]), digits(&text[8..10]))
    else {
        return false;
    };
    let leap = year % 4 == 0 && (year % 100 != 0 || year % 400 == 0);
    let last = match month {
        2 if leap => 29,
        2 => 28,
        4 | 6 | 9 | 11 => 30,
        1..=12 => 31,
        _ => return false,
    };
    (1..=last).contains(&day)
}

/// A leap second has no place in a shop.
fn is_time(text: &str) -> bool {
    let bytes = text.as_bytes();
    bytes[2] == b':'
        && bytes[5] == b':'
        && digits(&text[..2]).is_some_and(|hour| hour < 24)
        && digits(&text[3..5]).is_some_and(|minute| minute < 60)
        && digits(&text[6..8]).is_some_and(|second| second < 60)
}

/// Both are kept as they are written, and checked again when they are read.
macro_rules! kept_as_text {
    ($($name:ident),+) => {
        $(
            impl fmt::Display for $name {
                fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                    f.write_str(&self.0)
                }
            }

            impl ToSql for $name {
                fn to_sql(&self) -> rusqlite::Result<ToSqlOutput<'_>> {
                    self.0.to_sql()
                }
            }

            impl FromSql for $name {
                fn column_result(value: ValueRef<'_>) -> FromSqlResult<Self> {
                    Self::new(value.as_str()?).map_err(|error| FromSqlError::Other(error.into()))
                }
            }
        )+
    };
}
kept_as_text!(Moment, Day);

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn moments_and_days() {
        assert_eq!(
            Moment::new("2024-02-29T23:59:59Z").unwrap().day(),
            Day::new("2024-02-29").unwrap()
        );
        for wrong in [
            "2026-11-28T09:30:00",
            "2026-11-28T09:30:00.5Z",
            "2026-11-28T09:30:00+01:00",
            "2026-11-28 09:30:00Z",
            "2026-11-28T24:00:00Z",
            "2026-11-28T09:60:00Z",
            "2026-11-28T+9:30:00Z",
            "",
            "\u{e9}026-11-28T09:30:0Z",
        ] {
            let message = Moment::new(wrong).unwrap_err().to_string();
            assert!(message.contains("2026-11-28T09:30:00Z"), "{message}");
        }
        for wrong in
            ["2025-02-29", "2100-02-29", "2026-13-01", "2026-00-01", "2026-04-31", "28.11.26"]
        {
            assert!(Day::new(wrong).is_err(), "{wrong}");
        }
    }
}
