//! What a program sends, read into its shape: every field known, none left out that is needed.

use super::super::visit::Visit;
use super::super::wrong::Wrong;
use records::{Contact, Day, GearFace, PartKind, When};
use serde::Deserialize;
use serde::de::{DeserializeOwned, Deserializer, Error};
use serde_json::{Map, Value};
use std::str::FromStr;

/// The most characters of a refusal that are told: what was sent may be megabytes.
const MOST_TOLD: usize = 400;

/// The most characters of a media type that are told.
const MOST_KIND: usize = 80;

/// The body of a request.
///
/// # Errors
/// Where it is none of JSON, or not of this shape.
pub(super) fn body<T: DeserializeOwned>(visit: &Visit<'_>) -> Result<T, Wrong> {
    let Some(json) = &visit.brought.json else {
        if !visit.brought.kind.is_empty() {
            return Err(Wrong::Kind(visit.brought.kind.chars().take(MOST_KIND).collect()));
        }
        return Err(Wrong::ask(
            "what was sent is no JSON; send it with the header content-type: application/json",
        ));
    };
    shaped(json, "field")
}

/// What stands after the question mark; a parameter that says nothing is left out.
///
/// # Errors
/// Where something is there that is not asked for, or twice, or of another shape.
pub(super) fn query<T: DeserializeOwned>(visit: &Visit<'_>) -> Result<T, Wrong> {
    let mut fields = Map::new();
    let said = visit.brought.query.iter().filter(|(_, value)| !value.trim().is_empty());
    for (name, value) in said {
        let again = fields.insert(name.clone(), Value::String(value.trim().to_owned()));
        if again.is_some() {
            return Err(Wrong::ask(format!("{name} is in the address twice; keep one of them")));
        }
    }
    shaped(&Value::Object(fields), "parameter")
}

fn shaped<T: DeserializeOwned>(json: &Value, called: &str) -> Result<T, Wrong> {
    serde_path_to_error::deserialize(json).map_err(|error| {
        let path = error.path().to_string();
        let told = in_words(&path, &error.inner().to_string(), called);
        let short: String = told.chars().take(MOST_TOLD).collect();
        Wrong::Asked(if short.len() < told.len() { format!("{short} ...") } else { short })
    })
}

/// What is wrong with a field, by its name.
fn in_words(path: &str, what: &str, called: &str) -> String {
    let within = if path == "." { String::new() } else { format!("{path}.") };
    if let Some(field) = what.strip_prefix("missing field ") {
        return format!("{within}{} is missing", field.trim_matches('`'));
    }
    if let Some((field, known)) = one_of(what, "unknown field ") {
        let parent = path.rsplit_once('.').map(|(parent, _)| format!(" of {parent}"));
        let parent = parent.unwrap_or_default();
        return format!("there is no {called} {field}{parent}; there is {known}");
    }
    if let Some((word, known)) = one_of(what, "unknown variant ") {
        return format!("{path}: {word:?} is none of {known}");
    }
    let what = what
        .replace("expected i64", "expected a whole number")
        .replace("expected a string", "expected text");
    let whole = if path == "." { "what was sent" } else { path };
    match what.strip_prefix("invalid type: ") {
        Some(found) => format!("{whole} is {found}"),
        None => format!("{whole}: {what}"),
    }
}

/// Something that is none of those that are known, and those.
fn one_of<'w>(what: &'w str, begins: &str) -> Option<(&'w str, String)> {
    let (found, known) = what.strip_prefix(begins)?.rsplit_once(", expected ")?;
    let known = known.trim_start_matches("one of ").replace("` or `", "`, `").replace('`', "");
    Some((found.trim_matches('`'), known))
}

fn word<E: Error, T: Copy>(text: &str, (all, of): (&[T], fn(T) -> &'static str)) -> Result<T, E> {
    all.iter().copied().find(|known| of(*known) == text).ok_or_else(|| {
        let words: Vec<&str> = all.iter().map(|known| of(*known)).collect();
        E::custom(format!("{text:?} is none of {}", words.join(", ")))
    })
}

/// A kind of part.
pub(super) fn kind<'de, D: Deserializer<'de>>(from: D) -> Result<PartKind, D::Error> {
    word(&String::deserialize(from)?, (PartKind::ALL, PartKind::word))
}

/// Before the cut or after it.
pub(super) fn when<'de, D: Deserializer<'de>>(from: D) -> Result<When, D::Error> {
    word(&String::deserialize(from)?, (When::ALL, When::word))
}

/// Which way a gear face looks, or null.
pub(super) fn gear_face<'de, D: Deserializer<'de>>(from: D) -> Result<Option<GearFace>, D::Error> {
    let text = Option::<String>::deserialize(from)?;
    text.map(|text| word(&text, (GearFace::ALL, GearFace::word))).transpose()
}

/// Contact seen or not.
pub(super) fn contact<'de, D: Deserializer<'de>>(from: D) -> Result<Contact, D::Error> {
    word(&String::deserialize(from)?, (Contact::ALL, Contact::word))
}

/// A day, or null.
pub(super) fn day<'de, D: Deserializer<'de>>(from: D) -> Result<Option<Day>, D::Error> {
    let text = Option::<String>::deserialize(from)?;
    text.map(|text| Day::new(&text)).transpose().map_err(D::Error::custom)
}

/// Something that may be null, but not left out.
pub(super) fn said<'de, D: Deserializer<'de>, T: Deserialize<'de>>(
    from: D,
) -> Result<Option<T>, D::Error> {
    Option::deserialize(from)
}

/// A number of the address.
pub(super) fn number<'de, D: Deserializer<'de>, T: FromStr>(from: D) -> Result<T, D::Error> {
    let text = String::deserialize(from)?;
    text.parse().map_err(|_| D::Error::custom(format!("{text:?} is no number that fits")))
}

/// The same of one that may be left out.
pub(super) fn number_if<'de, D: Deserializer<'de>, T: FromStr>(
    from: D,
) -> Result<Option<T>, D::Error> {
    number(from).map(Some)
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    #[derive(Debug, Deserialize)]
    #[serde(deny_unknown_fields)]
    struct Inner {
        #[expect(dead_code, reason = "read for its refusals alone")]
        place: String,
        #[expect(dead_code, reason = "read for its refusals alone")]
        #[serde(deserialize_with = "said")]
        value: Option<String>,
    }

    #[derive(Debug, Deserialize)]
    #[serde(deny_unknown_fields)]
    struct Outer {
        #[expect(dead_code, reason = "read for its refusals alone")]
        part: i64,
        #[expect(dead_code, reason = "read for its refusals alone")]
        changes: Vec<Inner>,
    }

    fn refused(json: &Value) -> String {
        shaped::<Outer>(json, "field").unwrap_err().to_string()
    }

    #[test]
    fn a_refusal_names_the_field() {
        let change = json!([{ "place": "a", "value": null }]);
        assert!(shaped::<Outer>(&json!({ "part": 1, "changes": change }), "field").is_ok());
        assert_eq!(refused(&json!({ "changes": change })), "part is missing");
        assert_eq!(
            refused(&json!({ "part": 1, "changes": [{ "place": "a" }] })),
            "changes[0].value is missing"
        );
        assert_eq!(
            refused(&json!({ "part": 1, "changes": [{ "place": "a", "value": null, "x": 1 }] })),
            "there is no field x of changes[0]; there is place, value"
        );
        assert_eq!(
            refused(&json!({ "part": "R-114", "changes": [] })),
            "part is string \"R-114\", expected a whole number"
        );
        assert!(refused(&json!({ "part": "R".repeat(9999) })).len() < 2 * MOST_TOLD);
    }
}
