//! An engine that came in worn, with every part on its card: brought in as the file that the shop's
//! inspector wrote.

use super::diary::Diary;
use crate::ops::import;
use crate::ops::sheet::hand_over;

/// What it is called.
pub(super) const PILOT_BOAT: &str = "Petrel, pilot boat 2";
/// Days ago of the day it is wanted by: in three weeks.
const DUE: i64 = -21;
const FILE: &str = include_str!("../../../../../examples/petrel-worn.toml");

/// Writes it into the diary.
pub(super) fn all(diary: &mut Diary) {
    diary.on(5, 11 * 60, |books, at| {
        let brought = import(books.shop, FILE, None, (books.assembler.name, at))?;
        books.builds.insert(PILOT_BOAT, brought.build);
        let by = books.calendar.day(DUE)?;
        hand_over(books.shop, brought.build, Some(by), Some(books.assembler.id))?;
        Ok(())
    });
}
