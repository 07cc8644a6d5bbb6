//! Reads what used parts may be like, and what was found on them.

use crate::build_file::checks::assembly::{gauge, wanted};
use crate::build_file::checks::{condition as checks, told_apart};
use crate::build_file::limits::{Limit, assembly::SPRING_LOAD, condition as limits};
use crate::build_file::model::condition::{
    Band, Condition, Found, FoundValue, Inspected, ItemLimit,
};
use crate::build_file::walk::Walk;
use kernel::assembly::Wanted;
use kernel::condition::{Item, Looks, Part, Sizes, Sort};
use kernel::units::{Length, Quantity};
use std::collections::BTreeMap;

/// The row of a length that is found at an item.
pub(in crate::build_file) fn row(item: &Item) -> &'static Limit<Length> {
    match item.sort {
        Sort::Size => &limits::SIZE,
        _ => &limits::SMALL,
    }
}

pub(super) fn condition(file: &Walk<'_, '_>) -> Option<Condition> {
    let Some(t) = file.table_if("condition") else { return Some(Condition::new()) };
    let mut all = Vec::new();
    for part in Part::ALL {
        for (name, each) in t.by_name(part.key()) {
            match checks::item(&each, part, &name) {
                Some(item) => all.push(limit(&each, item).map(|limit| ((part, item.key), limit))),
                None => all.push(None),
            }
        }
    }
    all.into_iter().collect()
}

fn limit(t: &Walk<'_, '_>, item: &Item) -> Option<ItemLimit> {
    let [rework, order] = ["rework", "order"].map(|key| t.name_if(key));
    let band = match item.sort {
        Sort::Look(words) => {
            checks::no_sizes(t);
            let [accept, mend] =
                ["accept", "rework_accept"].map(|key| checks::words(t, key, words));
            checks::looks(t, words);
            let looks = Looks { accept: accept?, rework: mend? };
            (!looks.accept.is_empty()).then_some(Band::Looks(looks))
        }
        Sort::Load => sizes(t, &SPRING_LOAD).map(Band::Load),
        Sort::Size | Sort::Small => sizes(t, row(item)).map(Band::Length),
    };
    checks::rework(t);
    Some(ItemLimit { band: band?, rework, order })
}

fn sizes<Q: Quantity>(t: &Walk<'_, '_>, limit: &Limit<Q>) -> Option<Sizes<Q>> {
    checks::no_words(t);
    let [least, most, rework_least, rework_most] =
        ["least", "most", "rework_least", "rework_most"].map(|key| t.quantity_if(key, limit));
    wanted(t, least, most, limit);
    let within = Wanted::new(least, most).ok()?;
    let given = ["rework_least", "rework_most"].iter().any(|key| t.has(key));
    let rework = given.then_some((rework_least, rework_most));
    checks::sizes(t, Sizes::new(within, rework))
}

/// Reads what was found; `gauges` are those of the file, `serials` those of the parts it has.
pub(super) fn inspected(
    file: &Walk<'_, '_>,
    gauges: &BTreeMap<String, Walk<'_, '_>>,
    serials: &dyn Fn(Part) -> Option<Vec<String>>,
) -> Option<Vec<Inspected>> {
    let Some(t) = file.table_if("inspected") else { return Some(Vec::new()) };
    let mut all = Vec::new();
    for part in Part::ALL {
        let walks = t.each(part.key());
        told_apart(&walks, "serial");
        for walk in &walks {
            let serial = walk.name("serial", "R-114");
            if let Some(known) = serials(part) {
                checks::known_serial(walk, part, serial.as_deref(), &known);
            }
            let read: Vec<_> = walk
                .by_name("read")
                .into_iter()
                .map(|(name, each)| {
                    let item = checks::station(&each, part, &name);
                    let found = item.and_then(|item| found(&each, item, gauges));
                    Some((name, found?))
                })
                .collect();
            let read = read.into_iter().collect::<Option<_>>();
            all.push(serial.zip(read).map(|(serial, read)| Inspected { part, serial, read }));
        }
    }
    all.into_iter().collect()
}

fn found(t: &Walk<'_, '_>, item: &Item, gauges: &BTreeMap<String, Walk<'_, '_>>) -> Option<Found> {
    let gauge = gauge(t, "gauge", gauges);
    let value = match item.sort {
        Sort::Look(words) => {
            t.choice("value", words).and_then(|i| words.get(i)).map(|word| FoundValue::Seen(word))
        }
        Sort::Load => t.quantity("value", &SPRING_LOAD).map(FoundValue::Load),
        Sort::Size | Sort::Small => t.quantity("value", row(item)).map(FoundValue::Length),
    };
    Some(Found { value: value?, gauge })
}
