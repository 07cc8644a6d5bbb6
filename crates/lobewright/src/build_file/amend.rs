//! Changes single values in a file's text. Comments, order and spacing stay as they were, and
//! a change that would make the file wrong is refused.

use super::keys::{self, By, Key, Kind};
use super::problem::{Problem, Problems};
use super::read::read;
use std::collections::HashMap;
use thiserror::Error;
use toml_edit::{Array, DocumentMut, InlineTable, Item, Table, TableLike, Value};

/// Why a value could not be changed.
#[derive(Debug, Clone, PartialEq, Error)]
#[non_exhaustive]
pub enum AmendError {
    /// The text is no TOML, so that nothing in it can be found.
    #[error("the file cannot be amended before it is readable:\n{0}")]
    Unreadable(Box<Problems>),
    /// Nothing is there.
    #[error("nothing is at {place}: {why}")]
    NoPlace {
        /// As it was asked for.
        place: String,
        /// How far it was found, and what is near.
        why: String,
    },
    /// The new value is no value.
    #[error("{value:?} cannot stand at {place}: {why}")]
    NoValue {
        /// Where it was to stand.
        place: String,
        /// As it was given.
        value: String,
        /// What is wrong with it.
        why: String,
    },
    /// The file would be wrong.
    #[error("the change is refused, for the file would then be wrong:\n{0}")]
    MakesWrong(Box<Problems>),
}

impl AmendError {
    /// The same error of a file of this name.
    #[must_use]
    pub fn in_file(self, name: &str) -> Self {
        match self {
            Self::Unreadable(problems) => Self::Unreadable(Box::new(problems.in_file(name))),
            Self::MakesWrong(problems) => Self::MakesWrong(Box::new(problems.in_file(name))),
            other => other,
        }
    }
}

/// Sets one value. `place` is a path of keys: `spec.step.target`, `engine.land_radius`; tables
/// in `[[double brackets]]` are found by serial or name, list items and tables that have neither
/// are counted from 1: `rotor.R-114.land_width.2`, `shaft.sections.3.outer`, `shaft.main.1.at`. `value` is a quantity or word as it stands (`79.92 mm`), or a
/// piece of TOML: a list `["95 um", "88 um", "102 um"]` or a table `{ target = ... }`.
/// Known keys that are not there yet are added, lists and tables as a whole.
///
/// # Errors
/// Where nothing is at `place`, where `value` cannot stand there, and where the file would have
/// a problem that it did not have before.
pub fn amend(text: &str, place: &str, value: &str) -> Result<String, AmendError> {
    amend_all(text, &[(place, value)])
}

/// Sets several values together, looking at the file only when all are set: values that need
/// each other, such as the three lists of `[rotor.after]`.
///
/// # Errors
/// As [`amend`].
pub fn amend_all(text: &str, changes: &[(&str, &str)]) -> Result<String, AmendError> {
    let before = read(text).err();
    let mut amended = text.to_owned();
    for (place, value) in changes {
        let mut document: DocumentMut = match amended.parse() {
            Ok(document) => document,
            Err(error) => {
                let error: toml_edit::TomlError = error;
                return Err(match before {
                    Some(problems) => AmendError::Unreadable(Box::new(problems)),
                    None => AmendError::NoPlace {
                        place: (*place).to_owned(),
                        why: error.message().to_owned(),
                    },
                });
            }
        };
        let plain = document.to_string();
        let change = Change { place, value };
        change.within(document.as_table_mut(), keys::FILE, place)?;
        amended = transplanted(&amended, &plain, &document.to_string());
    }
    let text = amended;
    match read(&text) {
        Err(problems) if is_worse(before.as_ref(), &problems) => {
            Err(AmendError::MakesWrong(Box::new(problems)))
        }
        _ => Ok(text),
    }
}

/// Brings the one difference between `plain` and `changed` into `text`, of which `plain` is the
/// same without a byte order mark and carriage returns, which the editor of TOML drops.
fn transplanted(text: &str, plain: &str, changed: &str) -> String {
    if text == plain {
        return changed.to_owned();
    }
    let Some(at) = places_in(text, plain) else { return changed.to_owned() };
    let same = |a: &mut dyn Iterator<Item = char>, b: &mut dyn Iterator<Item = char>| {
        a.zip(b).take_while(|(a, b)| a == b).map(|(a, _)| a.len_utf8()).sum::<usize>()
    };
    let start = same(&mut plain.chars(), &mut changed.chars());
    let tail = same(&mut plain[start..].chars().rev(), &mut changed[start..].chars().rev());
    let new = &changed[start..changed.len() - tail];
    let new = if text.contains("\r\n") { new.replace('\n', "\r\n") } else { new.to_owned() };
    format!("{}{new}{}", &text[..at[start]], &text[at[plain.len() - tail]..])
}

/// For each byte of `plain`, and its end, where it stands in `text`; before the carriage return
/// of its line's end. Nothing if they differ by more than that.
fn places_in(text: &str, plain: &str) -> Option<Vec<usize>> {
    let bytes = text.as_bytes();
    let mut here = if text.starts_with('\u{feff}') { '\u{feff}'.len_utf8() } else { 0 };
    let mut at = Vec::with_capacity(plain.len() + 1);
    for byte in plain.bytes() {
        at.push(here);
        if byte == b'\n' && bytes.get(here) == Some(&b'\r') {
            here += 1;
        }
        match bytes.get(here) {
            Some(same) if *same == byte => here += 1,
            // A last line without its end gets one.
            None if byte == b'\n' && at.len() == plain.len() => {}
            _ => return None,
        }
    }
    at.push(here);
    (here == bytes.len()).then_some(at)
}

/// Whether there is a problem that was not there before, wherever it stands now.
fn is_worse(before: Option<&Problems>, after: &Problems) -> bool {
    let key = |problem: &Problem| (problem.place.clone(), problem.what.clone());
    let mut known: HashMap<(String, String), usize> = HashMap::new();
    for problem in before.into_iter().flat_map(Problems::list) {
        *known.entry(key(problem)).or_default() += 1;
    }
    let fresh = after.list().iter().any(|problem| match known.get_mut(&key(problem)) {
        Some(count) if *count > 0 => {
            *count -= 1;
            false
        }
        _ => true,
    });
    fresh || after.more() > before.map_or(0, Problems::more)
}

/// One value to be set.
struct Change<'c> {
    place: &'c str,
    value: &'c str,
}

impl Change<'_> {
    fn nothing(&self, why: String) -> AmendError {
        AmendError::NoPlace { place: self.place.to_owned(), why }
    }

    fn unfit(&self, why: String) -> AmendError {
        AmendError::NoValue { place: self.place.to_owned(), value: self.value.to_owned(), why }
    }

    /// Goes into a table by the first key of the rest of the place.
    fn within(
        &self,
        table: &mut dyn TableLike,
        keys: &'static [Key],
        rest: &str,
    ) -> Result<(), AmendError> {
        let (name, rest) = match rest.split_once('.') {
            Some((name, rest)) => (name, Some(rest)),
            None => (rest, None),
        };
        let Some(key) = keys::find(keys, name) else {
            let known: Vec<_> = keys.iter().map(|key| key.name).collect();
            return Err(self.nothing(match keys::nearest(name, known.iter().copied()) {
                Some(near) => format!("no key {name:?}; did you mean {near}?"),
                None => format!("no key {name:?} among {}", known.join(", ")),
            }));
        };
        match (key.kind, rest) {
            (Kind::Text | Kind::Number | Kind::List | Kind::Table(_), None) => self.set(table, key),
            (Kind::List, Some(index)) => self.set_item(table, key, index),
            (Kind::Table(inner), Some(rest)) => {
                let inline = table.get(name).is_some_and(|item| item.is_inline_table());
                if table.get(name).is_none() {
                    // A table of one key: the other keys may be optional, or come next.
                    table.insert(name, Item::Table(Table::new()));
                }
                match table.get_mut(name).and_then(Item::as_table_like_mut) {
                    Some(next) => {
                        let count = next.len();
                        self.within(next, inner, rest)?;
                        if inline && next.len() > count {
                            self.close_inline(table, name);
                        }
                        Ok(())
                    }
                    None => Err(self.nothing(format!("{name} is no table"))),
                }
            }
            (Kind::Each(by, inner), Some(rest)) => self.each(table, name, (by, inner), rest),
            (Kind::Each(By::Name | By::Number, _), None) => self.set(table, key),
            // What has serials is never replaced as a whole.
            (Kind::Each(By::Serial | By::SerialOfPlace, _), None) if !table.contains_key(name) => {
                self.set(table, key)
            }
            (Kind::ByName(inner), Some(rest)) => self.by_name(table, name, inner, rest),
            (Kind::Each(..) | Kind::ByName(_), None) => {
                Err(self.nothing(format!("say which {name}, and which of its keys")))
            }
            (Kind::Text | Kind::Number, Some(more)) => {
                Err(self.nothing(format!("{name} is one value, it has no {more}")))
            }
        }
    }

    /// Spaces an inline table that got a key.
    fn close_inline(&self, table: &mut dyn TableLike, name: &str) {
        if let Some(Value::InlineTable(inline)) = table.get_mut(name).and_then(Item::as_value_mut) {
            inline.fmt();
        }
    }

    /// Goes into one of several tables of a kind.
    fn each(
        &self,
        table: &mut dyn TableLike,
        name: &str,
        (by, inner): (By, &'static [Key]),
        rest: &str,
    ) -> Result<(), AmendError> {
        let on_one_line = table.get(name).is_some_and(Item::is_value);
        let tables: Vec<&mut dyn TableLike> = match table.get_mut(name) {
            Some(Item::ArrayOfTables(tables)) => {
                tables.iter_mut().map(|part| part as &mut dyn TableLike).collect()
            }
            Some(Item::Value(Value::Array(items))) => items
                .iter_mut()
                .filter_map(Value::as_inline_table_mut)
                .map(|part| part as &mut dyn TableLike)
                .collect(),
            _ => Vec::new(),
        };
        let mut serials: Vec<String> = Vec::new();
        let mut parts: Vec<(String, &mut dyn TableLike)> = Vec::new();
        for (i, part) in tables.into_iter().enumerate() {
            let called = match by.key() {
                Some(key) => part.get(key).and_then(Item::as_str).map(str::to_owned),
                None => Some((i + 1).to_string()),
            };
            if let Some(called) = called {
                parts.push((called, part));
            }
        }
        // A serial may have a point in it: the longest that fits is meant.
        let mut best: Option<(usize, &mut dyn TableLike, &str)> = None;
        for (serial, part) in parts {
            if let Some(after) = after_name(rest, &serial)
                && best.as_ref().is_none_or(|(length, ..)| serial.len() > *length)
            {
                best = Some((serial.len(), part, after));
            }
            serials.push(serial);
        }
        match best {
            Some((_, part, rest)) => {
                let count = part.len();
                self.within(part, inner, rest)?;
                if on_one_line && part.len() > count {
                    part.fmt();
                }
                Ok(())
            }
            None => Err(self.nothing(match by {
                By::Serial | By::SerialOfPlace => not_named(name, "serial", rest, &serials),
                By::Name => not_named(name, "name", rest, &serials),
                By::Number => not_numbered(name, rest, serials.len()),
            })),
        }
    }

    fn by_name(
        &self,
        table: &mut dyn TableLike,
        name: &str,
        inner: &'static [Key],
        rest: &str,
    ) -> Result<(), AmendError> {
        let named = table.get_mut(name).and_then(Item::as_table_like_mut);
        let names: Vec<String> = named
            .as_deref()
            .map(|named| named.iter().map(|(name, _)| name.to_owned()).collect())
            .unwrap_or_default();
        let best = names
            .iter()
            .filter_map(|name| after_name(rest, name).map(|after| (name, after)))
            .max_by_key(|(name, _)| name.len());
        let part = match (named, best) {
            (Some(named), Some((name, after))) => {
                named.get_mut(name).and_then(Item::as_table_like_mut).map(|part| (part, after))
            }
            _ => None,
        };
        match part {
            Some((part, rest)) => self.within(part, inner, rest),
            None => Err(self.nothing(not_named(name, "name", rest, &names))),
        }
    }

    /// The new value as it will stand at a key.
    fn parsed(&self, kind: Kind) -> Result<Value, AmendError> {
        let value = self.value.trim();
        let toml =
            |what: &str| value.parse::<Value>().map_err(|_| self.unfit(format!("it is no {what}")));
        match kind {
            Kind::Number => toml("number without unit"),
            Kind::List => match toml("list, such as [\"95 um\", \"88 um\", \"102 um\"]")? {
                Value::Array(list) => Ok(Value::Array(list)),
                _ => Err(self.unfit("a whole list belongs here, or name one item of it".into())),
            },
            Kind::Each(..) => match toml("list of tables, such as [{ at = \"45 mm\" }]")? {
                Value::Array(list) => Ok(Value::Array(list)),
                _ => Err(self.unfit("a list of tables belongs here, or name one of them".into())),
            },
            // The wear of a side housing is a table or one length.
            Kind::Table(_) if value.starts_with('{') => toml("table, such as { front = \"5 um\" }"),
            _ if value.starts_with(['{', '[']) => {
                Err(self.unfit("one value belongs here, no list and no table".into()))
            }
            _ if value.len() >= 2 && value.starts_with(['"', '\'']) => toml("text in quotes"),
            _ => Ok(Value::from(value)),
        }
    }

    fn set(&self, table: &mut dyn TableLike, key: &Key) -> Result<(), AmendError> {
        let mut value = self.parsed(key.kind)?;
        match table.get_mut(key.name) {
            Some(Item::Value(old)) => {
                *value.decor_mut() = old.decor().clone();
                *old = value;
                Ok(())
            }
            Some(Item::Table(old)) => match value {
                Value::InlineTable(new) => {
                    replace_entries(old, new);
                    Ok(())
                }
                _ => Err(self.unfit(format!("[{}] is a table", key.name))),
            },
            Some(_) => Err(self.unfit(format!("{} holds several tables: say which", key.name))),
            None => {
                value.decor_mut().clear();
                let item = match (key.name, value) {
                    // Readings after cutting are long: a table of their own.
                    ("after", Value::InlineTable(new)) => {
                        let mut lines = Table::new();
                        replace_entries(&mut lines, new);
                        Item::Table(lines)
                    }
                    (_, value) => Item::Value(value),
                };
                table.insert(key.name, item);
                Ok(())
            }
        }
    }

    fn set_item(
        &self,
        table: &mut dyn TableLike,
        key: &Key,
        index: &str,
    ) -> Result<(), AmendError> {
        let list: &mut Array = match table.get_mut(key.name) {
            Some(Item::Value(Value::Array(list))) => list,
            Some(_) => return Err(self.nothing(format!("{} is no list", key.name))),
            None => {
                let why = format!("there is no {} yet; give the whole list", key.name);
                return Err(self.nothing(why));
            }
        };
        let count = list.len();
        let at = index.parse::<usize>().ok().and_then(|n| n.checked_sub(1));
        let Some(old) = at.and_then(|at| list.get_mut(at)) else {
            return Err(self.nothing(format!("{} has items 1 to {count}", key.name)));
        };
        let mut value = self.parsed(Kind::Text)?;
        *value.decor_mut() = old.decor().clone();
        *old = value;
        Ok(())
    }
}

/// Puts the entries of a table that was given into one that stands on lines of its own.
fn replace_entries(table: &mut Table, new: InlineTable) {
    let gone: Vec<String> =
        table.iter().map(|(key, _)| key.to_owned()).filter(|key| !new.contains_key(key)).collect();
    for key in gone {
        table.remove(&key);
    }
    for (key, mut value) in new {
        match table.get_mut(&key).and_then(Item::as_value_mut) {
            Some(old) => {
                *value.decor_mut() = old.decor().clone();
                *old = value;
            }
            None => {
                value.decor_mut().clear();
                table.insert(&key, Item::Value(value));
            }
        }
    }
}

/// What follows `name` and its point in a place.
fn after_name<'p>(place: &'p str, name: &str) -> Option<&'p str> {
    place.strip_prefix(name)?.strip_prefix('.')
}

fn not_numbered(kind: &str, rest: &str, count: usize) -> String {
    if count == 0 {
        return format!("the file has no {kind}");
    }
    match rest.parse::<usize>() {
        Ok(number) if (1..=count).contains(&number) => {
            format!("say which key of {kind} {number}")
        }
        _ => format!("{kind} is counted 1 to {count}, then comes a key: {kind}.1.key"),
    }
}

fn not_named(kind: &str, what: &str, rest: &str, names: &[String]) -> String {
    if names.is_empty() {
        return format!("the file has no {kind}");
    }
    if let Some(name) = names.iter().find(|name| name.as_str() == rest) {
        return format!("say which key of {kind} {name}");
    }
    let asked = rest.split('.').next().unwrap_or(rest);
    match keys::nearest(asked, names.iter().map(String::as_str)) {
        Some(near) => format!("no {kind} of {what} {asked:?}; did you mean {near}?"),
        None => format!("no {kind} of {what} {asked:?} among {}", names.join(", ")),
    }
}
