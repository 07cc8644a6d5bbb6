//! Tables inside a table being read: single ones, `[[those]]` that come in a row, and
//! `[those.NAME]` that the shop names.

use super::keys::{self, By, Key, Kind};
use super::problem::Finding;
use super::walk::Walk;
use super::wording::{LONGEST_NAME, found, quoted, unusable_name};
use std::collections::BTreeMap;
use toml::de::DeValue;

impl Walk<'_, '_> {
    /// A table that may be left out.
    pub(super) fn table_if(&self, key: &str) -> Option<Self> {
        let value = self.get(key)?;
        let Some(Key { kind: Kind::Table(keys), .. }) = keys::find(self.keys, key) else {
            return None;
        };
        let DeValue::Table(table) = value.get_ref() else {
            let expected = format!("one table, [{}]", self.head_of(key));
            self.wrong(key, found(value.get_ref()), expected, None);
            return None;
        };
        let place = (self.place_of(key), self.head_of(key));
        let mut walk = Self::new(self.findings, table, value.span(), place, keys);
        walk.doubtful = self.doubtful || self.is_misspelled(key);
        Some(walk)
    }

    /// A table that must be there.
    pub(super) fn table(&self, key: &str) -> Option<Self> {
        if !self.has(key) {
            self.missing(key, || match keys::find(self.keys, key) {
                Some(Key { kind: Kind::Table(_), .. }) if self.place.is_empty() => {
                    format!("a table headed [{key}]")
                }
                Some(Key { kind: Kind::Table(inner), .. }) => format!("{key} = {}", braced(inner)),
                _ => format!("[{key}]"),
            });
        }
        self.table_if(key)
    }

    /// Whether the value of a key is a table, written either way.
    pub(super) fn is_table(&self, key: &str) -> bool {
        self.table.get(key).is_some_and(|value| value.get_ref().is_table())
    }

    /// How many items the list at a key has, readable or not; nothing if it is no list.
    pub(super) fn count_of(&self, key: &str) -> Option<usize> {
        Some(self.table.get(key)?.get_ref().as_array()?.len())
    }

    /// The tables of `[[key]]`, each named by its serial, its name or its number.
    pub(super) fn each(&self, key: &str) -> Vec<Self> {
        let Some(value) = self.get(key) else { return Vec::new() };
        let Some(Key { kind: Kind::Each(by, keys), .. }) = keys::find(self.keys, key) else {
            return Vec::new();
        };
        let (place, head) = (self.place_of(key), self.head_of(key));
        let expected = || match by {
            By::Number => format!("a table for each, {}, or headed [[{head}]]", braced(keys)),
            By::Serial | By::SerialOfPlace | By::Name => {
                format!("a table headed [[{head}]] for each")
            }
        };
        let DeValue::Array(items) = value.get_ref() else {
            let hint = (value.get_ref().is_table())
                .then(|| format!("two brackets: [[{head}]], not [{head}]"));
            self.wrong(key, found(value.get_ref()), expected(), hint);
            return Vec::new();
        };
        let mut walks = Vec::new();
        for (i, item) in items.iter().enumerate() {
            let DeValue::Table(table) = item.get_ref() else {
                self.wrong(key, found(item.get_ref()), expected(), None);
                continue;
            };
            let name = by.key().and_then(|key| table.get(key)?.get_ref().as_str());
            let place = match (by, name) {
                (By::Number, _) => format!("{place}.{}", i + 1),
                (_, Some(name)) if unusable_name(name).is_none() => format!("{place}.{name}"),
                _ => format!("{place} #{}", i + 1),
            };
            let place = (place, head.clone());
            let mut walk = Self::new(self.findings, table, item.span(), place, keys);
            walk.doubtful = self.doubtful;
            walks.push(walk);
        }
        walks
    }

    /// The tables of `[key.NAME]`, by name.
    pub(super) fn by_name(&self, key: &str) -> BTreeMap<String, Self> {
        let Some(value) = self.get(key) else { return BTreeMap::new() };
        let Some(Key { kind: Kind::ByName(keys), .. }) = keys::find(self.keys, key) else {
            return BTreeMap::new();
        };
        let expected = || format!("a table headed [{}.NAME] for each", self.head_of(key));
        let DeValue::Table(table) = value.get_ref() else {
            self.wrong(key, found(value.get_ref()), expected(), None);
            return BTreeMap::new();
        };
        let mut walks = BTreeMap::new();
        for (name, value) in table {
            let refuse = |what: String, expected: String| {
                self.findings.add(|| Finding {
                    place: self.place_of(key),
                    span: name.span(),
                    what,
                    expected,
                    ..Finding::default()
                });
            };
            if let Some(why) = unusable_name(name.get_ref()) {
                let expected = format!("a name of 1 to {LONGEST_NAME} characters");
                refuse(format!("{} {why}", quoted(name.get_ref())), expected);
            } else if let DeValue::Table(inner) = value.get_ref() {
                let of = |key: String| format!("{key}.{}", name.get_ref());
                let place = (of(self.place_of(key)), of(self.head_of(key)));
                let mut walk = Self::new(self.findings, inner, value.span(), place, keys);
                walk.doubtful = self.doubtful || self.is_misspelled(key);
                walks.insert(name.get_ref().to_string(), walk);
            } else {
                let what = format!("{} = {}", name.get_ref(), found(value.get_ref()));
                refuse(what, expected());
            }
        }
        walks
    }
}

/// Keys as a table on one line has them.
fn braced(keys: &[Key]) -> String {
    let each: Vec<_> = keys.iter().map(|key| format!("{} = ...", key.name)).collect();
    format!("{{ {} }}", each.join(", "))
}
