//! Days and moments of the year that is told, counted back from the day it ends at.

use super::super::ShopError;
use jiff::ToSpan;
use jiff::civil::Date;
use records::{Day, Moment};

/// How far back anything is told; the oldest calibration is older than the first build.
pub(super) const DAYS_BACK: i64 = 400;
/// How far ahead anything is due.
const DAYS_AHEAD: i64 = 400;

/// A calendar that ends today.
#[derive(Debug, Clone)]
pub(super) struct Calendar {
    today: Date,
    text: String,
}

impl Calendar {
    /// The year that ends at this day.
    pub(super) fn ending(today: &Day) -> Result<Self, ShopError> {
        let text = today.to_string();
        let no_year = || ShopError::NoYear { today: text.clone() };
        let date: Date = text.parse().map_err(|_| no_year())?;
        let calendar = Self { today: date, text: text.clone() };
        // Days of four-digit years alone can be kept; if the ends are, so is all between them.
        calendar.day(DAYS_BACK)?;
        calendar.day(-DAYS_AHEAD)?;
        Ok(calendar)
    }

    /// The day so many days before today; negative: after it.
    pub(super) fn day(&self, days_ago: i64) -> Result<Day, ShopError> {
        let no_year = || ShopError::NoYear { today: self.text.clone() };
        let date = self.today.checked_sub(days_ago.days()).map_err(|_| no_year())?;
        Day::new(&date.to_string()).map_err(|_| no_year())
    }

    /// A moment of such a day, by its minutes.
    pub(super) fn moment(&self, days_ago: i64, minutes: i64) -> Result<Moment, ShopError> {
        let day = self.day(days_ago)?;
        let text = format!("{day}T{:02}:{:02}:00Z", minutes / 60, minutes % 60);
        Moment::new(&text).map_err(|_| ShopError::NoYear { today: self.text.clone() })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn days_are_counted_over_the_ends_of_months_and_years() {
        let calendar = Calendar::ending(&Day::new("2028-03-01").unwrap()).unwrap();
        assert_eq!(calendar.day(1).unwrap().as_str(), "2028-02-29");
        assert_eq!(calendar.day(61).unwrap().as_str(), "2027-12-31");
        assert_eq!(calendar.day(-31).unwrap().as_str(), "2028-04-01");
        assert_eq!(calendar.moment(1, 9 * 60 + 5).unwrap().as_str(), "2028-02-29T09:05:00Z");
    }

    #[test]
    fn a_day_without_a_year_around_it_is_refused() {
        for today in ["0000-06-01", "9999-06-01"] {
            let error = Calendar::ending(&Day::new(today).unwrap()).unwrap_err().to_string();
            assert!(error.contains(today), "{error}");
        }
    }
}
