//! Keys of what used parts may be like, and of what was found on them.

use super::{By, Key, Kind, each, table, text};

/// Of one item: which it is, is checked by the reader.
const LIMIT: &[Key] = &[
    text("least"),
    text("most"),
    text("rework_least"),
    text("rework_most"),
    text("accept"),
    text("rework_accept"),
    text("rework"),
    text("order"),
];
const fn items(part: &'static str) -> Key {
    Key { name: part, kind: Kind::ByName(LIMIT) }
}
const CONDITION_OF: &[Key] = &[
    items("rotor_housing"),
    items("side_housing"),
    items("rotor"),
    items("shaft"),
    items("stationary_gear"),
    items("bearing"),
    items("seals"),
];
pub(super) const CONDITION: Key = table("condition", CONDITION_OF);

const FOUND: &[Key] = &[text("value"), text("gauge")];
const OF_PART: &[Key] = &[text("serial"), Key { name: "read", kind: Kind::ByName(FOUND) }];
const INSPECTED_OF: &[Key] = &[
    each("rotor_housing", By::SerialOfPlace, OF_PART),
    each("side_housing", By::SerialOfPlace, OF_PART),
    each("rotor", By::SerialOfPlace, OF_PART),
    each("shaft", By::SerialOfPlace, OF_PART),
    each("stationary_gear", By::SerialOfPlace, OF_PART),
    each("bearing", By::SerialOfPlace, OF_PART),
    each("seals", By::SerialOfPlace, OF_PART),
];
pub(super) const INSPECTED: Key = table("inspected", INSPECTED_OF);
