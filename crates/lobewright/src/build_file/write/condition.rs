//! Writes what used parts may be like, and what was found on them.

use super::{Lines, Readable, key, text, words};
use crate::build_file::model::condition::{Band, Condition, FoundValue, Inspected};
use kernel::condition::Sizes;

pub(super) fn condition(file: &mut Lines, condition: &Condition) {
    for ((part, item), limit) in condition {
        file.head(&format!("[condition.{}.{item}]", part.key()));
        match &limit.band {
            Band::Length(sizes) => band(file, sizes),
            Band::Load(sizes) => band(file, sizes),
            Band::Looks(looks) => {
                file.value("accept", words(&looks.accept.join(", ")));
                if !looks.rework.is_empty() {
                    file.value("rework_accept", words(&looks.rework.join(", ")));
                }
            }
        }
        file.words_if("rework", limit.rework.as_deref());
        file.words_if("order", limit.order.as_deref());
    }
}

fn band<Q: Readable>(file: &mut Lines, sizes: &Sizes<Q>) {
    file.quantity_if("least", sizes.within().least());
    file.quantity_if("most", sizes.within().most());
    if let Some(rework) = sizes.rework() {
        file.quantity_if("rework_least", rework.least());
        file.quantity_if("rework_most", rework.most());
    }
}

pub(super) fn inspected(file: &mut Lines, inspected: &[Inspected]) {
    for each in inspected {
        let of = each.part.key();
        file.head(&format!("[[inspected.{of}]]"));
        file.value("serial", words(&each.serial));
        if !each.read.is_empty() {
            file.head(&format!("[inspected.{of}.read]"));
        }
        for (station, found) in &each.read {
            let value = match found.value {
                FoundValue::Length(length) => text(length),
                FoundValue::Load(force) => text(force),
                FoundValue::Seen(word) => words(word),
            };
            let gauge = found.gauge.as_deref();
            let gauge = gauge.map_or(String::new(), |gauge| format!(", gauge = {}", words(gauge)));
            file.value(&key(station), format!("{{ value = {value}{gauge} }}"));
        }
    }
}
