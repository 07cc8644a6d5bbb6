//! What used parts may be like, by the engine's record, and what was found on them, as the file says
//! it. No limit is ever taken in the place of one that is not given.

use kernel::condition::{Item, Looks, Part, Sizes};
use kernel::units::{Force, Length};
use std::collections::BTreeMap;

/// The key of an item: of which kind of part, and its own.
pub type ItemKey = (Part, &'static str);

/// What used parts of an engine may be like.
pub type Condition = BTreeMap<ItemKey, ItemLimit>;

/// What one item may be like, and what is done where it is not.
#[derive(Debug, Clone, PartialEq)]
pub struct ItemLimit {
    /// With what the part is used, and with what it is reworked.
    pub band: Band,
    /// How it is reworked, in the shop's words; given where anything can be.
    pub rework: Option<String>,
    /// What is ordered where it is reworked or rejected, in the shop's words.
    pub order: Option<String>,
}

/// What an item may be.
#[derive(Debug, Clone, PartialEq)]
pub enum Band {
    /// A length.
    Length(Sizes<Length>),
    /// A load.
    Load(Sizes<Force>),
    /// What is seen.
    Looks(Looks),
}

/// What was found on one part.
#[derive(Debug, Clone, PartialEq)]
pub struct Inspected {
    /// What it is.
    pub part: Part,
    /// Its serial.
    pub serial: String,
    /// By the name of the station.
    pub read: BTreeMap<String, Found>,
}

/// What was found at one station.
#[derive(Debug, Clone, PartialEq)]
pub struct Found {
    /// What.
    pub value: FoundValue,
    /// Name of the gauge it was read with.
    pub gauge: Option<String>,
}

/// What was read or seen.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum FoundValue {
    /// A length.
    Length(Length),
    /// A load.
    Load(Force),
    /// One of the words of its item.
    Seen(&'static str),
}

/// The item that a station belongs to, by its name.
#[must_use]
pub fn item_of(part: Part, station: &str) -> Option<&'static Item> {
    let key = station.split('.').next().unwrap_or(station);
    kernel::condition::item(part, key)
}
