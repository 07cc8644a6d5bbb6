//! The year of the demonstration as entries, each at its moment: written in whatever order a story
//! is told, done in the order of time.

use super::super::ShopError;
use super::books::Books;
use records::Moment;

type Act = Box<dyn FnOnce(&mut Books<'_>, &Moment) -> Result<(), ShopError>>;

/// Entries of a year.
#[derive(Default)]
pub(super) struct Diary(Vec<Entry>);

struct Entry {
    days_ago: i64,
    minutes: i64,
    act: Act,
}

impl Diary {
    /// On such a day, at so many minutes.
    pub(super) fn on(
        &mut self,
        days_ago: i64,
        minutes: i64,
        act: impl FnOnce(&mut Books<'_>, &Moment) -> Result<(), ShopError> + 'static,
    ) {
        self.0.push(Entry { days_ago, minutes, act: Box::new(act) });
    }

    /// Does all of it, the earliest first; of two at one moment the one that was written first.
    pub(super) fn live(mut self, books: &mut Books<'_>) -> Result<(), ShopError> {
        self.0.sort_by_key(|entry| (-entry.days_ago, entry.minutes));
        for entry in self.0 {
            let at = books.calendar.moment(entry.days_ago, entry.minutes)?;
            (entry.act)(books, &at)?;
        }
        Ok(())
    }
}
