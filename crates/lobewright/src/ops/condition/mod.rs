//! The condition of used parts: of each part a card of what is looked at, what the shop's own
//! engine record says of it, what was found, and what becomes of the part: use, rework or reject,
//! and what is to be ordered. No limit is ever taken from elsewhere.

mod of_file;
mod plating;
mod report;

pub(in crate::ops) use of_file::cards_of;
pub use of_file::condition;
pub use plating::plating_picture;
pub(in crate::ops) use report::{Cards, Laid, Read, outer_face, report};

use super::assembly::Amount;
use super::assumed::Assumed;
use kernel::condition::{Fate, Item, Part};
use kernel::units::System;
use records::PartKind;

/// What every card says.
pub const CAUTIONS: [&str; 3] = [
    "Limits are those of the shop's own engine record; what it does not give is not taken from \
     anywhere else, and the instructions of the engine's maker come first.",
    "A part that is used again has to be clean, dry and free of burrs before it is read; edges of \
     seals, grooves and ports cut, and springs fly.",
    "A crack test is done by whoever is qualified for it, with the penetrant's or the magnet's own \
     rules: no reading of a size stands for it.",
];

/// The cards of a build.
#[derive(Debug, Clone, PartialEq)]
pub struct ConditionReport {
    /// What the shop calls the build.
    pub name: String,
    /// A card for each part.
    pub cards: Vec<CardReport>,
    /// What was taken where nothing was given: uncertainties alone, never a limit.
    pub assumed: Assumed,
    /// Which units its sentences put first.
    pub first: System,
}

/// The card of one part.
#[derive(Debug, Clone, PartialEq)]
pub struct CardReport {
    /// What the part is.
    pub part: Part,
    /// Its serial.
    pub serial: String,
    /// What is looked at on it, in its order.
    pub items: Vec<ItemReport>,
    /// What becomes of it.
    pub verdict: CardVerdict,
    /// How it is reworked, each in the shop's words.
    pub rework: Vec<String>,
    /// What is to be ordered.
    pub order: Vec<String>,
}

impl CardReport {
    /// What is said of the reading at a station, where its item has a limit.
    #[must_use]
    pub fn fate(&self, station: &str) -> Option<Fate> {
        let mut all = self.items.iter().flat_map(|item| &item.at);
        all.find(|at| at.station == station)?.fate
    }
}

/// What becomes of a part.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CardVerdict {
    /// The record gives no limit for anything on it.
    NoLimits,
    /// So many readings are to be taken before it can be said.
    ToRead(usize),
    /// It was all read.
    Decided(Fate),
}

impl CardVerdict {
    /// In a word or two.
    #[must_use]
    pub fn words(self) -> String {
        match self {
            Self::NoLimits => "no limits given".to_owned(),
            Self::ToRead(1) => "1 reading to take".to_owned(),
            Self::ToRead(count) => format!("{count} readings to take"),
            Self::Decided(fate) => fate.words().to_owned(),
        }
    }
}

/// One item of a card.
#[derive(Debug, Clone, PartialEq)]
pub struct ItemReport {
    /// Which.
    pub item: &'static Item,
    /// What it may be, in words.
    pub limit: String,
    /// What was found, station by station; of what follows from readings, group by group.
    pub at: Vec<AtReport>,
    /// What is said of it.
    pub said: ItemSaid,
    /// What is to be done; empty where there is nothing.
    pub note: String,
}

/// What was found at one station.
#[derive(Debug, Clone, PartialEq)]
pub struct AtReport {
    /// Its name in the record.
    pub station: String,
    /// What a builder calls the place; empty where there is one.
    pub words: String,
    /// What was found.
    pub found: Option<FoundAmount>,
    /// With which gauge.
    pub gauge: Option<String>,
    /// What is said of it, where the item has a limit.
    pub fate: Option<Fate>,
}

/// What was read, or seen.
#[derive(Debug, Clone, PartialEq)]
pub enum FoundAmount {
    /// A length or a load.
    Read(Amount),
    /// A word.
    Seen(String),
}

impl FoundAmount {
    /// As it is shown.
    #[must_use]
    pub fn text(&self, first: System) -> String {
        match self {
            Self::Read(amount) => amount.text(first),
            Self::Seen(word) => word.clone(),
        }
    }
}

/// What is said of an item.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ItemSaid {
    /// The record says nothing of it.
    NoLimit,
    /// So many of its readings are to be taken.
    ToRead(usize),
    /// All were taken, or one of them rejects the part already.
    Decided(Fate),
}

impl ItemSaid {
    /// In the words every output uses.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::NoLimit => "no limit given",
            Self::ToRead(_) => "to be read",
            Self::Decided(fate) => fate.words(),
        }
    }
}

impl ConditionReport {
    /// What is to be ordered, each with the serial it is ordered for.
    pub fn order(&self) -> impl Iterator<Item = (&str, &str)> {
        self.cards
            .iter()
            .flat_map(|card| card.order.iter().map(|what| (card.serial.as_str(), what.as_str())))
    }

    /// Whether anything is rejected.
    #[must_use]
    pub fn rejects(&self) -> bool {
        self.cards.iter().any(|card| card.verdict == CardVerdict::Decided(Fate::Reject))
    }
}

/// The card of a part of the shop.
#[must_use]
pub const fn card_part(kind: PartKind) -> Part {
    match kind {
        PartKind::Rotor => Part::Rotor,
        PartKind::RotorHousing => Part::RotorHousing,
        PartKind::SideHousing => Part::SideHousing,
        PartKind::Shaft => Part::Shaft,
        PartKind::StationaryGear => Part::StationaryGear,
        PartKind::Bearing => Part::Bearing,
        PartKind::SealsSet => Part::Seals,
    }
}

/// The part of the shop that a card is of.
#[must_use]
pub const fn part_of_card(part: Part) -> PartKind {
    match part {
        Part::Rotor => PartKind::Rotor,
        Part::RotorHousing => PartKind::RotorHousing,
        Part::SideHousing => PartKind::SideHousing,
        Part::Shaft => PartKind::Shaft,
        Part::StationaryGear => PartKind::StationaryGear,
        Part::Bearing => PartKind::Bearing,
        Part::Seals => PartKind::SealsSet,
    }
}

#[cfg(test)]
mod tests;
