//! What must agree in what used parts may be like and in what was found on them.

use crate::build_file::keys::nearest;
use crate::build_file::model::condition::item_of;
use crate::build_file::read::MOST_ROTORS;
use crate::build_file::walk::Walk;
use crate::build_file::wording::quoted;
use kernel::condition::{Counts, Item, NoBand, Part, Sizes};
use kernel::units::Quantity;

/// The most of everything that is counted from the front.
const MOST: Counts = Counts { rotors: MOST_ROTORS, mains: MOST_ROTORS + 1 };

/// The item that a table is named by.
pub(in crate::build_file) fn item(
    t: &Walk<'_, '_>,
    part: Part,
    name: &str,
) -> Option<&'static Item> {
    let found = kernel::condition::item(part, name);
    if found.is_none() {
        let known: Vec<&str> = Item::of(part).map(|item| item.key).collect();
        let hint = nearest(name, known.iter().copied()).map(|near| format!("did you mean {near}?"));
        t.wrong_name(not_on_card(part, name), format!("one of {}", known.join(", ")), hint);
    }
    found
}

fn not_on_card(part: Part, name: &str) -> String {
    format!("nothing called {} is on the card of the {}", quoted(name), part.words())
}

/// The item of the station that a table is named by.
pub(in crate::build_file) fn station(
    t: &Walk<'_, '_>,
    part: Part,
    name: &str,
) -> Option<&'static Item> {
    let Some(item) = item_of(part, name) else {
        let known: Vec<String> =
            Item::of(part).flat_map(|item| item.stations(MOST)).map(|(name, _)| name).collect();
        let hint = nearest(name, known.iter().map(String::as_str))
            .map(|near| format!("did you mean {near:?}?"));
        let keys: Vec<&str> = Item::of(part).map(|item| item.key).collect();
        let expected = format!("a station of {}", keys.join(", "));
        t.wrong_name(not_on_card(part, name), expected, hint);
        return None;
    };
    let stations = item.stations(MOST);
    if stations.iter().any(|(station, _)| station == name) {
        return Some(item);
    }
    let expected = match stations.as_slice() {
        [] => format!("no reading: {} follows from others, or is read for the plan", item.key),
        [(one, _)] => format!("{one:?}"),
        [first, .., last] => format!("{:?} to {:?}", first.0, last.0),
    };
    t.wrong_name(format!("there is no station {}", quoted(name)), expected, None);
    None
}

/// What was found is found on a part that is in the file.
pub(in crate::build_file) fn known_serial(
    t: &Walk<'_, '_>,
    part: Part,
    serial: Option<&str>,
    known: &[String],
) {
    if let Some(serial) = serial
        && !known.iter().any(|one| one == serial)
    {
        t.wrong(
            "serial",
            format!("{} is no {} of this file", quoted(serial), part.words()),
            format!("one of {}", known.join(", ")),
            None,
        );
    }
}

/// Words of an item, separated by commas.
pub(in crate::build_file) fn words(
    t: &Walk<'_, '_>,
    key: &str,
    known: &'static [&'static str],
) -> Option<Vec<&'static str>> {
    if !t.has(key) {
        return Some(Vec::new());
    }
    let text = t.name_if(key)?;
    let mut all = Vec::new();
    for word in text.split(',').map(str::trim) {
        let Some(found) = known.iter().find(|known| **known == word) else {
            let hint =
                nearest(word, known.iter().copied()).map(|near| format!("did you mean {near:?}?"));
            t.wrong(key, quoted(word), format!("words of {}", known.join(", ")), hint);
            return None;
        };
        if all.contains(found) {
            t.wrong(key, format!("{} twice", quoted(word)), "each word once".to_owned(), None);
            return None;
        }
        all.push(*found);
    }
    Some(all)
}

/// What is seen has words, and says with which the part is used.
pub(in crate::build_file) fn looks(t: &Walk<'_, '_>, known: &[&str]) {
    if !t.has("accept") {
        t.lacking(
            "accept",
            "accept is missing".to_owned(),
            format!("words with which the part is used, of {}", known.join(", ")),
            None,
        );
    }
    let of = |key: &str| -> Vec<String> {
        let text = t.text_of(key).unwrap_or_default();
        text.split(',').map(|word| word.trim().to_owned()).collect()
    };
    if t.has("rework_accept") {
        let accepted = of("accept");
        if let Some(both) = of("rework_accept").into_iter().find(|word| accepted.contains(word)) {
            t.wrong(
                "rework_accept",
                format!("{} is among those with which the part is used", quoted(&both)),
                "words with which it is reworked".to_owned(),
                None,
            );
        }
    }
}

fn none_of(t: &Walk<'_, '_>, keys: &[&str], what: &str) {
    for key in keys {
        if t.has(key) {
            t.wrong(key, format!("{key} of what is {what}"), format!("no {key} here"), None);
        }
    }
}

/// What is seen has no sizes.
pub(in crate::build_file) fn no_sizes(t: &Walk<'_, '_>) {
    none_of(t, &["least", "most", "rework_least", "rework_most"], "seen and not read");
}

/// What is read has no words.
pub(in crate::build_file) fn no_words(t: &Walk<'_, '_>) {
    none_of(t, &["accept", "rework_accept"], "read and not seen");
}

/// Where something can be reworked it is said how, and the other way round.
pub(in crate::build_file) fn rework(t: &Walk<'_, '_>) {
    let can = ["rework_least", "rework_most", "rework_accept"].iter().any(|key| t.has(key));
    if can && !t.has("rework") {
        t.lacking(
            "rework",
            "rework is missing".to_owned(),
            "how it is reworked, such as rework = \"grind flat\"".to_owned(),
            None,
        );
    }
    if t.has("rework") && !can {
        t.wrong(
            "rework",
            "nothing says what can be reworked".to_owned(),
            "rework_least, rework_most or rework_accept beside it".to_owned(),
            None,
        );
    }
}

/// What can be reworked lies outside of what can be used.
pub(in crate::build_file) fn sizes<Q: Quantity>(
    t: &Walk<'_, '_>,
    sizes: Result<Sizes<Q>, NoBand>,
) -> Option<Sizes<Q>> {
    match sizes {
        Ok(sizes) => Some(sizes),
        Err(error) => {
            let key = if t.has("rework_most") { "rework_most" } else { "rework_least" };
            let expected = "rework_most above most, or rework_least below least".to_owned();
            t.wrong(key, error.to_string(), expected, None);
            None
        }
    }
}
