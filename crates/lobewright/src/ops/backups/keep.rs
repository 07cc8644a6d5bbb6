//! Which backups stay: the newest of each of the last days, weeks and months that have one. Counted
//! are those that are there, so that a shop that closes for a month loses none.

use records::Moment;
use std::collections::BTreeSet;
use std::fmt;
use thiserror::Error;

/// For how long backups stay.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Keep {
    /// The newest of each of so many days.
    pub days: usize,
    /// Likewise weeks, from Monday on.
    pub weeks: usize,
    /// Likewise months.
    pub months: usize,
}

/// Where a shop does not say: a week, a month and a year to go back by.
pub const USUAL_KEEP: Keep = Keep { days: 7, weeks: 5, months: 12 };
/// More than this of anything is a slip.
const MOST: usize = 1000;

/// Why a text is no such rule.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[error(
    "{0:?} does not say how long backups stay; write it as \"7 days, 5 weeks, 12 months\", each up \
     to {MOST} and not all of them none"
)]
pub struct KeepError(String);

impl fmt::Display for Keep {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} days, {} weeks, {} months", self.days, self.weeks, self.months)
    }
}

impl std::str::FromStr for Keep {
    type Err = KeepError;

    fn from_str(text: &str) -> Result<Self, KeepError> {
        let wrong = || KeepError(text.to_owned());
        let mut keep = Self { days: 0, weeks: 0, months: 0 };
        let mut said = BTreeSet::new();
        for part in text.split(',') {
            let (number, what) = part.trim().split_once(' ').ok_or_else(wrong)?;
            let number: usize = number.parse().map_err(|_| wrong())?;
            let what = what.trim().strip_suffix('s').unwrap_or(what.trim());
            let place = match what {
                "day" => &mut keep.days,
                "week" => &mut keep.weeks,
                "month" => &mut keep.months,
                _ => return Err(wrong()),
            };
            if number > MOST || !said.insert(what.to_owned()) {
                return Err(wrong());
            }
            *place = number;
        }
        if keep.days + keep.weeks + keep.months == 0 { Err(wrong()) } else { Ok(keep) }
    }
}

/// The name of the day, week or month that a moment is in.
type Span = fn(&Moment) -> String;

impl Keep {
    /// Which of these moments do not stay, oldest first. The newest always does.
    #[must_use]
    pub fn gone(&self, moments: &[Moment]) -> Vec<Moment> {
        let mut newest_first: Vec<&Moment> = moments.iter().collect();
        newest_first.sort();
        newest_first.reverse();
        let mut stay: BTreeSet<&Moment> = newest_first.first().copied().into_iter().collect();
        let spans: [(usize, Span); 3] = [
            (self.days, |moment| moment.day().as_str().to_owned()),
            (self.weeks, week),
            (self.months, |moment| moment.as_str().chars().take(7).collect()),
        ];
        for (most, span) in spans {
            let mut spans = BTreeSet::new();
            for moment in &newest_first {
                let span = span(moment);
                if spans.len() == most && !spans.contains(&span) {
                    break;
                }
                if spans.insert(span) {
                    stay.insert(moment);
                }
            }
        }
        newest_first.into_iter().rev().filter(|moment| !stay.contains(moment)).cloned().collect()
    }
}

/// The Monday of a moment's week.
fn week(moment: &Moment) -> String {
    let day: Option<jiff::civil::Date> = moment.day().as_str().parse().ok();
    let monday = day.and_then(|day| {
        let back = jiff::Span::new().days(i64::from(day.weekday().to_monday_zero_offset()));
        day.checked_sub(back).ok()
    });
    // A day that is not in the calendar is in no moment.
    monday.map_or_else(|| moment.day().as_str().to_owned(), |monday| monday.to_string())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(text: &str) -> Moment {
        Moment::new(&format!("{text}:00:00Z")).unwrap()
    }

    #[test]
    fn a_rule_is_read_as_it_is_written() {
        for text in ["7 days, 5 weeks, 12 months", "1 days, 0 weeks, 0 months"] {
            assert_eq!(text.parse::<Keep>().unwrap().to_string(), text);
        }
        assert_eq!("1 day".parse(), Ok(Keep { days: 1, weeks: 0, months: 0 }));
        assert_eq!(USUAL_KEEP.to_string().parse(), Ok(USUAL_KEEP));
        for text in ["", "7", "7 years", "7 days, 6 days", "0 days", "1001 days", "-1 days"] {
            assert!(text.parse::<Keep>().is_err(), "{text}");
        }
    }

    #[test]
    fn the_newest_of_each_day_week_and_month_stays() {
        // 2026-11-23 is a Monday (computed: 2026-11-28 is a Saturday).
        let all = [
            "2026-09-30T02",
            "2026-10-31T02",
            "2026-11-15T02",
            "2026-11-20T02",
            "2026-11-22T02",
            "2026-11-23T02",
            "2026-11-27T02",
            "2026-11-28T02",
            "2026-11-28T14",
        ]
        .map(at);
        let gone = |keep: &str| keep.parse::<Keep>().unwrap().gone(&all);
        assert_eq!(
            gone("2 days, 2 weeks, 2 months"),
            ["2026-09-30T02", "2026-11-15T02", "2026-11-20T02", "2026-11-23T02", "2026-11-28T02"]
                .map(at)
        );
        assert_eq!(gone("1 days").len(), 8);
        assert_eq!(gone("100 days"), [at("2026-11-28T02")]);
        assert_eq!(USUAL_KEEP.gone(&[]), []);
    }

    proptest::proptest! {
        #[test]
        fn what_stays_today_stays_until_something_newer_comes(
            hours in proptest::collection::btree_set(0_i64..20_000, 1..60),
            days in 0_usize..5, weeks in 0_usize..4, months in 1_usize..4,
        ) {
            let keep = Keep { days, weeks, months };
            let start = jiff::civil::date(2025, 1, 1).at(0, 0, 0, 0);
            let moments: Vec<Moment> = hours
                .iter()
                .map(|hour| {
                    let at = start.checked_add(jiff::Span::new().hours(*hour)).unwrap();
                    Moment::new(&at.strftime("%Y-%m-%dT%H:%M:%SZ").to_string()).unwrap()
                })
                .collect();
            let gone = keep.gone(&moments);
            proptest::prop_assert!(!gone.contains(moments.last().unwrap()));
            let left: Vec<Moment> = moments.iter().filter(|m| !gone.contains(m)).cloned().collect();
            proptest::prop_assert!(left.len() <= days + weeks + months);
            proptest::prop_assert_eq!(keep.gone(&left), Vec::<Moment>::new());
        }
    }
}
