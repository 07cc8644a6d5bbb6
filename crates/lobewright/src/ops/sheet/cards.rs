//! The cards of used parts on a build's sheet: what is looked at on each part, and what is said of
//! what was found.

use super::assembly::{load_u_of, taken_with};
use super::stations::{Asked, Goes, Station};
use super::{PartSheet, Sheet};
use crate::build_file::places::place;
use crate::ops::condition::{
    CardReport, Cards, ConditionReport, Laid, Read, card_part, cards_of, outer_face, report,
};
use kernel::condition::{Counts, Item, Sort, Taken};
use kernel::units::{Force, Length};
use records::{Fitted, PartKind, Reading, When};

/// What is looked at on a part: the items of its kind that are read for its card.
/// `outer` is the face that nothing need be read on.
pub(super) fn card_stations(
    (kind, serial): (PartKind, &str),
    outer: Option<&str>,
    goes: &Goes,
) -> Vec<Station> {
    let part = card_part(kind);
    let mut all = Vec::new();
    for item in Item::of(part) {
        let limited = goes.limits(item) || follows(item).any(|other| goes.limits(other));
        for (number, (name, words)) in (1..).zip(item.stations(goes.counts())) {
            let words = match words.as_str() {
                "" => item.name.to_owned(),
                _ => format!("{}, {words}", item.name),
            };
            all.push(Station {
                list: item.key.to_owned(),
                number: Some(number),
                words,
                place: Some(place(&["inspected", part.key(), serial, "read", &name, "value"])),
                asked: match item.sort {
                    Sort::Small => Asked::UsedSmall,
                    Sort::Size => Asked::UsedSize,
                    Sort::Load => Asked::SpringLoad,
                    Sort::Look(words) => Asked::Seen(words),
                },
                needed: limited && !outer.is_some_and(|outer| name.ends_with(outer)),
                name,
            });
        }
    }
    // What has a limit comes first: nobody is asked for more before that.
    all.sort_by_key(|station| !station.needed);
    all
}

/// The face of a side housing that looks away from every rotor.
pub(super) fn outer_of(fitted: &Fitted, counts: Counts) -> Option<&'static str> {
    let number = usize::try_from(fitted.position).ok();
    number
        .filter(|_| fitted.kind == PartKind::SideHousing)
        .and_then(|number| outer_face(number, counts.rotors))
}

/// The items that follow from the readings of one.
fn follows(item: &Item) -> impl Iterator<Item = &'static Item> {
    let (part, key) = (item.part, item.key);
    Item::of(part).filter(move |other| matches!(other.taken, Taken::Spread(of, _) if of == key))
}

impl Sheet {
    /// The cards of its parts.
    #[must_use]
    pub fn condition(&self) -> ConditionReport {
        self.report_on(&self.parts.iter().map(|part| &part.fitted).collect::<Vec<_>>())
    }

    /// The card of one of its parts.
    #[must_use]
    pub fn card(&self, part: &PartSheet) -> Option<CardReport> {
        self.card_of(&part.fitted)
    }

    /// The card of a part that is in it or was.
    pub(in crate::ops) fn card_of(&self, part: &Fitted) -> Option<CardReport> {
        self.report_on(&[part]).cards.pop()
    }

    fn report_on(&self, parts: &[&Fitted]) -> ConditionReport {
        let mut laid: Vec<Laid> = parts.iter().map(|part| self.laid(part)).collect();
        // A reading that came in from another shop has no gauge of this one; its file names it.
        if let Ok(build) = &self.file.build {
            let of_file = cards_of(build);
            for ours in &mut laid {
                let same =
                    |theirs: &&Laid| (theirs.part, &theirs.serial) == (ours.part, &ours.serial);
                if let Some(theirs) = of_file.laid.iter().find(same) {
                    ours.gauges_from(theirs);
                }
            }
        }
        let cards = Cards { laid, counts: self.counts };
        report(&self.build.head.name, &self.limits, &cards, self.first)
    }

    fn laid(&self, part: &Fitted) -> Laid {
        let of_part = self.readings.iter().filter(|reading| {
            reading.part == part.part
                && reading.when == When::Before
                && reading.superseded_by.is_none()
        });
        Laid {
            part: card_part(part.kind),
            serial: part.serial.clone(),
            outer: outer_of(part, self.counts),
            read: of_part.filter_map(|r| Some((r.station.clone(), self.read(r)?))).collect(),
        }
    }

    fn read(&self, reading: &Reading) -> Option<Read> {
        let gauge = self.gauge(reading.gauge);
        if let Some(word) = reading.value.word() {
            return Some(Read::Seen(word.to_owned()));
        }
        if let Some(force) = reading.value.value::<Force>() {
            let u = gauge.and_then(load_u_of);
            return Some(Read::Load { value: force, u, gauge: gauge.map(|g| g.name.clone()) });
        }
        let value = reading.value.value::<Length>()?;
        Some(Read::Length { value, with: gauge.and_then(taken_with) })
    }
}
