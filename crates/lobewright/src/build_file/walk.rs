//! One table of the file at a time: each getter takes a key, and where the value is not what it
//! should be adds a problem and returns nothing. A walk ends with everything that is wrong.

use super::keys::{self, Key};
use super::limits::{Limit, Share};
use super::problem::{Finding, Findings, Follows};
use super::wording::{
    LONGEST_NAME, bare_number, found, is_day, number_text, quoted, units_that_fit, unread,
    unusable_name,
};
use kernel::units::{Length, Quantity};
use std::ops::Range;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// Unknown keys of one table that are looked at as misspelled ones.
const MOST_MISSPELLED: usize = 50;

/// A table being read.
#[derive(Clone)]
pub(super) struct Walk<'f, 'i> {
    pub(super) findings: &'f Findings,
    pub(super) table: &'f DeTable<'i>,
    span: Range<usize>,
    /// Where it is, as `amend` says it; empty for the file itself.
    pub(super) place: String,
    /// Its head in the file, without brackets: no serials and no numbers of tables in a row.
    head: String,
    pub(super) keys: &'static [Key],
    /// Its own head may be misspelled elsewhere: nothing is missed in it.
    pub(super) doubtful: bool,
}

impl<'f, 'i> Walk<'f, 'i> {
    /// The file itself, which may have these keys.
    pub(super) fn file(
        findings: &'f Findings,
        table: &'f DeTable<'i>,
        keys: &'static [Key],
    ) -> Self {
        Self::new(findings, table, 0..0, (String::new(), String::new()), keys)
    }

    pub(super) fn new(
        findings: &'f Findings,
        table: &'f DeTable<'i>,
        span: Range<usize>,
        (place, head): (String, String),
        keys: &'static [Key],
    ) -> Self {
        let walk = Self { findings, table, span, place, head, keys, doubtful: false };
        for key in table.keys() {
            if keys::find(keys, key.get_ref()).is_none() {
                walk.unknown(key);
            }
        }
        walk
    }

    fn unknown(&self, key: &Spanned<std::borrow::Cow<'i, str>>) {
        self.findings.add(|| {
            let name: &str = key.get_ref();
            let known = || self.keys.iter().map(|key| key.name);
            let (expected, hint) = match keys::nearest(name, known()) {
                Some(near) => (near.to_owned(), Some(format!("did you mean {near}?"))),
                None => {
                    let hint = match keys::homes(name).as_slice() {
                        [] => None,
                        homes => Some(format!("{name} belongs in [{}]", homes.join("] or ["))),
                    };
                    (format!("one of {}", known().collect::<Vec<_>>().join(", ")), hint)
                }
            };
            Finding {
                place: self.place.clone(),
                span: key.span(),
                what: format!("unknown key {}", quoted(name)),
                expected,
                hint,
                follows: Follows::BrokenHead,
            }
        });
    }

    /// Where a key's value is, as `amend` says it.
    pub(super) fn place_of(&self, key: &str) -> String {
        if self.place.is_empty() { key.to_owned() } else { format!("{}.{key}", self.place) }
    }

    /// The head of a table at a key, without brackets.
    pub(super) fn head_of(&self, key: &str) -> String {
        if self.head.is_empty() { key.to_owned() } else { format!("{}.{key}", self.head) }
    }

    /// Where a key's value stands, or the table's head.
    pub(super) fn span_of(&self, key: &str) -> Range<usize> {
        self.table.get(key).map_or(self.span.clone(), Spanned::span)
    }

    /// Whether a key may stand in this table.
    pub(super) fn knows(&self, key: &str) -> bool {
        keys::find(self.keys, key).is_some()
    }

    pub(super) fn has(&self, key: &str) -> bool {
        self.table.contains_key(key)
    }

    /// Adds a problem about a key.
    pub(super) fn wrong(&self, key: &str, what: String, expected: String, hint: Option<String>) {
        self.findings.add(|| Finding {
            place: self.place_of(key),
            span: self.span_of(key),
            what,
            expected,
            hint,
            follows: Follows::Nothing,
        });
    }

    /// Adds a problem about the table itself: its name is none that there is.
    pub(super) fn wrong_name(&self, what: String, expected: String, hint: Option<String>) {
        self.findings.add(|| Finding {
            place: self.place.clone(),
            span: self.span.clone(),
            what,
            expected,
            hint,
            follows: Follows::Nothing,
        });
    }

    /// Adds a problem about an item of a list, counted from 0.
    pub(super) fn wrong_item(&self, key: &str, item: usize, what: String, expected: String) {
        let span = match self.table.get(key).map(Spanned::get_ref) {
            Some(DeValue::Array(items)) => items.get(item).map(Spanned::span),
            _ => None,
        };
        self.findings.add(|| Finding {
            place: format!("{}.{}", self.place_of(key), item + 1),
            span: span.unwrap_or_else(|| self.span_of(key)),
            what,
            expected,
            ..Finding::default()
        });
    }

    /// Adds a problem that may be there only because something else was not readable.
    pub(super) fn lacking(&self, key: &str, what: String, expected: String, hint: Option<String>) {
        if self.doubtful {
            return;
        }
        self.findings.add(|| Finding {
            place: self.place.clone(),
            span: self.span_of(key),
            what,
            expected,
            hint,
            follows: Follows::AnySlip,
        });
    }

    pub(super) fn missing(&self, key: &str, expected: impl FnOnce() -> String) {
        if self.doubtful || self.is_misspelled(key) {
            // One slip, one problem: the unknown key has been reported.
            return;
        }
        self.findings.add(|| Finding {
            place: self.place.clone(),
            span: self.span.clone(),
            what: format!("{key} is missing"),
            expected: expected(),
            hint: None,
            follows: Follows::AnySlip,
        });
    }

    /// Whether an unknown key here looks like this one.
    pub(super) fn is_misspelled(&self, key: &str) -> bool {
        let known = || self.keys.iter().map(|key| key.name);
        self.table
            .keys()
            .map(|name| name.get_ref())
            .filter(|name| keys::find(self.keys, name).is_none())
            .take(MOST_MISSPELLED)
            .any(|name| keys::nearest(name, known()) == Some(key))
    }

    pub(super) fn get(&self, key: &str) -> Option<&'f Spanned<DeValue<'i>>> {
        debug_assert!(keys::find(self.keys, key).is_some(), "{key} is in no list of known keys");
        self.table.get(key)
    }

    /// A quantity that may be left out.
    pub(super) fn quantity_if<Q: Quantity>(&self, key: &str, limit: &Limit<Q>) -> Option<Q> {
        let value = self.get(key)?;
        self.one(&|| self.place_of(key), value, limit)
    }

    /// A quantity.
    pub(super) fn quantity<Q: Quantity>(&self, key: &str, limit: &Limit<Q>) -> Option<Q> {
        if !self.has(key) {
            self.missing(key, || {
                format!("{key} = {:?}, {} with its unit", limit.example, limit.name)
            });
        }
        self.quantity_if(key, limit)
    }

    /// A list of quantities that may be left out. The words say what one of them is called, and
    /// what they are with how many there may be.
    pub(super) fn list_if<Q: Quantity>(
        &self,
        key: &str,
        limit: &Limit<Q>,
        counts: Range<usize>,
        (noun, of_what): (&str, &str),
    ) -> Option<Vec<Q>> {
        let value = self.get(key)?;
        let expected = || format!("{of_what}, such as [{:?}, ...]", limit.example);
        let DeValue::Array(items) = value.get_ref() else {
            self.wrong(key, found(value.get_ref()), expected(), None);
            return None;
        };
        if !counts.contains(&items.len()) {
            let what = match items.len() {
                1 => format!("1 {noun} only"),
                count => format!("{count} {noun}s"),
            };
            self.wrong(key, what, expected(), None);
        }
        let read: Vec<Option<Q>> = items
            .iter()
            .enumerate()
            .map(|(i, item)| self.one(&|| format!("{}.{}", self.place_of(key), i + 1), item, limit))
            .collect();
        if counts.contains(&items.len()) { read.into_iter().collect() } else { None }
    }

    /// A list of quantities.
    pub(super) fn list<Q: Quantity>(
        &self,
        key: &str,
        limit: &Limit<Q>,
        counts: Range<usize>,
        words: (&str, &str),
    ) -> Option<Vec<Q>> {
        if !self.has(key) {
            self.missing(key, || format!("{key} = [{:?}, ...], {}", limit.example, words.1));
        }
        self.list_if(key, limit, counts, words)
    }

    /// One quantity, wherever it stands.
    fn one<Q: Quantity>(
        &self,
        place: &dyn Fn() -> String,
        value: &Spanned<DeValue<'i>>,
        limit: &Limit<Q>,
    ) -> Option<Q> {
        let wrong = |what: String, expected: String, hint: Option<String>| {
            self.findings.add(|| Finding {
                place: place(),
                span: value.span(),
                what,
                expected,
                hint,
                follows: Follows::Nothing,
            });
        };
        let text = match value.get_ref() {
            DeValue::String(text) => text,
            DeValue::Integer(_) | DeValue::Float(_) => {
                let number = number_text(value.get_ref());
                let hint = units_that_fit(&number, limit);
                wrong(
                    format!("the bare number {number} where a unit belongs"),
                    limit.expected(),
                    hint,
                );
                return None;
            }
            other => {
                wrong(found(other), limit.expected(), None);
                return None;
            }
        };
        match Q::parse(text) {
            Ok(value) => match limit.broken_by(value) {
                None => Some(value),
                Some(how) => {
                    wrong(format!("{} {how}", quoted(text)), limit.expected(), None);
                    None
                }
            },
            Err(error) => {
                let (what, hint) = unread(text, &error, limit);
                wrong(what, limit.expected(), hint);
                None
            }
        }
    }

    /// A name, serial or other words of the shop's own.
    pub(super) fn name_if(&self, key: &str) -> Option<String> {
        let value = self.get(key)?;
        let DeValue::String(text) = value.get_ref() else {
            self.wrong(key, found(value.get_ref()), "text in quotes".to_owned(), None);
            return None;
        };
        match unusable_name(text) {
            None => Some(text.clone().into_owned()),
            Some(why) => {
                let expected = format!("1 to {LONGEST_NAME} characters, such as \"R-114\"");
                self.wrong(key, format!("{} {why}", quoted(text)), expected, None);
                None
            }
        }
    }

    /// A name that must be there.
    pub(super) fn name(&self, key: &str, example: &str) -> Option<String> {
        if !self.has(key) {
            self.missing(key, || format!("{key} = {example:?}"));
        }
        self.name_if(key)
    }

    /// One of a few words, as its position among them; may be left out.
    pub(super) fn choice_if(&self, key: &str, words: &[&str]) -> Option<usize> {
        let value = self.get(key)?;
        let expected =
            || words.iter().map(|word| format!("{word:?}")).collect::<Vec<_>>().join(" or ");
        let DeValue::String(text) = value.get_ref() else {
            self.wrong(key, found(value.get_ref()), expected(), None);
            return None;
        };
        let chosen = words.iter().position(|word| word == text);
        if chosen.is_none() {
            let hint = keys::nearest(text, words.iter().copied())
                .map(|near| format!("did you mean {near:?}?"));
            self.wrong(key, quoted(text), expected(), hint);
        }
        chosen
    }

    /// One of a few words that must be there.
    pub(super) fn choice(&self, key: &str, words: &[&str]) -> Option<usize> {
        if !self.has(key) {
            self.missing(key, || {
                let all: Vec<_> = words.iter().map(|word| format!("{key} = {word:?}")).collect();
                all.join(" or ")
            });
        }
        self.choice_if(key, words)
    }

    /// A whole number that must be there.
    pub(super) fn count(&self, key: &str, counts: Range<i64>) -> Option<i64> {
        let Some(value) = self.get(key) else {
            self.missing(key, || format!("{key} = {}", counts.start));
            return None;
        };
        let number = match value.get_ref() {
            DeValue::Integer(i) => i64::from_str_radix(i.as_str(), i.radix()).ok(),
            _ => None,
        };
        let number = number.filter(|n| counts.contains(n));
        if number.is_none() {
            let expected = format!(
                "a whole number from {} to {}, without quotes",
                counts.start,
                counts.end - 1
            );
            self.wrong(key, found(value.get_ref()), expected, None);
        }
        number
    }

    /// A chance: a plain number between 0 and 1, both excluded; may be left out.
    pub(super) fn chance_if(&self, key: &str) -> Option<f64> {
        let value = self.get(key)?;
        let number = match value.get_ref() {
            DeValue::Float(number) => number.as_str().parse::<f64>().ok(),
            _ => None,
        };
        let number = number.filter(|p| *p > 0.0 && *p < 1.0);
        if number.is_none() {
            let expected = "a plain number above 0 and below 1, such as 0.001".to_owned();
            self.wrong(key, found(value.get_ref()), expected, None);
        }
        number
    }

    /// A plain number within its limits; may be left out.
    pub(super) fn share_if(&self, key: &str, limit: &Share) -> Option<f64> {
        let value = self.get(key)?;
        let number = match value.get_ref() {
            DeValue::Float(number) => number.as_str().parse::<f64>().ok(),
            DeValue::Integer(i) => {
                i64::from_str_radix(i.as_str(), i.radix()).ok().map(|whole| whole as f64)
            }
            _ => None,
        };
        let Some(number) = number else {
            let hint = self.text_of(key).and_then(|text| bare_number(text, limit));
            let expected = format!("{}, without quotes or unit", limit.expected());
            self.wrong(key, found(value.get_ref()), expected, hint);
            return None;
        };
        match limit.broken_by(number) {
            None => Some(number),
            Some(how) => {
                let what = format!("{} {how}", number_text(value.get_ref()));
                let explained = number < limit.least && !limit.why.is_empty();
                let hint = explained.then(|| limit.why.to_owned());
                self.wrong(key, what, limit.expected(), hint);
                None
            }
        }
    }

    /// A day, as text or as a date of its own; may be left out.
    pub(super) fn day_if(&self, key: &str) -> Option<String> {
        let value = self.get(key)?;
        let text = match value.get_ref() {
            DeValue::String(text) => text.clone().into_owned(),
            DeValue::Datetime(date) => date.to_string(),
            other => found(other),
        };
        if is_day(&text) {
            Some(text)
        } else {
            let what = match value.get_ref() {
                DeValue::String(text) => format!("{} is no day", quoted(text)),
                other => found(other),
            };
            self.wrong(key, what, "a day, such as \"2027-01-31\"".to_owned(), None);
            None
        }
    }

    /// The text of a key, if it is text.
    pub(super) fn text_of(&self, key: &str) -> Option<&'f str> {
        match self.table.get(key)?.get_ref() {
            DeValue::String(text) => Some(text),
            _ => None,
        }
    }

    /// A length one table further in, without complaint.
    pub(super) fn length_inside(&self, key: &str, inner: &str) -> Option<Length> {
        let DeValue::Table(table) = self.table.get(key)?.get_ref() else { return None };
        Length::parse(table.get(inner)?.get_ref().as_str()?).ok()
    }

    /// Adds a problem about the head of a table that the shop named.
    pub(super) fn wrong_inside(&self, key: &str, name: &str, what: String, expected: String) {
        let span = match self.table.get(key).map(Spanned::get_ref) {
            Some(DeValue::Table(table)) => table.get(name).map(Spanned::span),
            _ => None,
        };
        self.findings.add(|| Finding {
            place: format!("{key}.{name}"),
            span: span.unwrap_or_default(),
            what,
            expected,
            ..Finding::default()
        });
    }

    /// The file's format number, whatever it is.
    pub(super) fn format(&self, known: i64) -> Option<i64> {
        let expected = || format!("format = {known}");
        let Some(value) = self.get("format") else {
            self.missing("format", expected);
            return None;
        };
        let number = match value.get_ref() {
            DeValue::Integer(i) => i64::from_str_radix(i.as_str(), i.radix()).ok(),
            _ => None,
        };
        let number = number.filter(|n| *n > 0);
        if number.is_none() {
            self.wrong("format", found(value.get_ref()), expected(), None);
        }
        number
    }
}
