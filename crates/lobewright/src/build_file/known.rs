//! What can be filled in of a build file, for forms that ask for it value by value: the places of
//! a table, what each takes, and a quantity that is checked as the reader checks it.

use super::keys::{self, FILE, Key, Kind};
use super::limits::Limit;
use super::wording::{LONGEST_NAME, quoted, unread, unusable_name};
use super::write;
use kernel::units::Quantity;

/// What a place takes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Takes {
    /// A quantity or a word: in quotes in the file.
    Text,
    /// A plain number: without quotes.
    Number,
}

/// The places of a table that have a name in every file, in their order: those of lists, of
/// tables in a row and of tables that the shop names are not among them.
#[must_use]
pub fn known_places(table: &str) -> Vec<String> {
    let mut all = Vec::new();
    if let Some(key) = keys::find(FILE, table) {
        add_places(key, table, &mut all);
    }
    all
}

/// The places of a key, and of those in its tables.
fn add_places(key: &Key, at: &str, all: &mut Vec<String>) {
    match key.kind {
        Kind::Text | Kind::Number => all.push(at.to_owned()),
        Kind::Table(inner) => {
            for key in inner {
                add_places(key, &format!("{at}.{}", key.name), all);
            }
        }
        Kind::List | Kind::Each(..) | Kind::ByName(_) => {}
    }
}

/// The places of one table of a kind that the shop names: `material."EN-GJS 500".density`.
#[must_use]
pub fn named_places(table: &str, name: &str) -> Vec<String> {
    let Some(Key { kind: Kind::ByName(inner), .. }) = keys::find(FILE, table) else {
        return Vec::new();
    };
    let mut all = Vec::new();
    for key in *inner {
        add_places(key, &format!("{table}.{}.{}", write::key(name), key.name), &mut all);
    }
    all
}

/// What stands at a place, if a file can have one there.
#[must_use]
pub fn takes(place: &str) -> Option<Takes> {
    let path = toml_edit::Key::parse(place).ok()?;
    let mut known = FILE;
    let mut path = path.iter().map(toml_edit::Key::get).peekable();
    loop {
        match (keys::find(known, path.next()?)?.kind, path.peek().is_some()) {
            // A wear that is the same on both faces is one value in place of a table.
            (Kind::Text | Kind::Table(_), false) => return Some(Takes::Text),
            (Kind::Number, false) => return Some(Takes::Number),
            (Kind::Table(inner), true) => known = inner,
            (Kind::Each(_, inner) | Kind::ByName(inner), true) => {
                path.next();
                known = inner;
            }
            (Kind::List, true) => {
                path.next();
                return path.next().is_none().then_some(Takes::Text);
            }
            _ => return None,
        }
    }
}

/// Why a text can be no name in a file, if it cannot.
#[must_use]
pub fn no_name(text: &str) -> Option<String> {
    unusable_name(text).map(|why| format!("{why}; take a name of 1 to {LONGEST_NAME} characters"))
}

/// Reads a quantity inside its limits.
///
/// # Errors
/// What is wrong with it, what would be right, and the cure where it is known, in one line.
pub fn measured<Q: Quantity>(text: &str, limit: &Limit<Q>) -> Result<Q, String> {
    let (what, hint) = match Q::parse(text) {
        Ok(value) => match limit.broken_by(value) {
            None => return Ok(value),
            Some(broken) => (format!("{} {broken}", quoted(text)), None),
        },
        Err(error) => unread(text, &error, limit),
    };
    let expected = limit.expected();
    Err(match hint {
        Some(hint) => format!("{what}; expected {expected}; {hint}"),
        None => format!("{what}; expected {expected}"),
    })
}

#[cfg(test)]
mod tests {
    use super::super::limits;
    use super::super::places::placed;
    use super::*;

    #[test]
    fn places_of_a_table_and_what_they_take() {
        let spec = known_places("spec");
        assert_eq!(
            spec[..3],
            ["spec.name", "spec.side_clearance.target", "spec.side_clearance.tolerance"]
        );
        assert!(spec.contains(&"spec.seals.apex_end_clearance.least".to_owned()));
        assert_eq!(takes("spec.contact_chance"), Some(Takes::Number));
        assert_eq!(takes("shaft.sections.2.outer"), Some(Takes::Text));
        assert_eq!(takes("shaft.throws.2"), Some(Takes::Text));
        assert_eq!(takes("material.\"a b\".poisson"), Some(Takes::Number));
        for none in
            ["spec", "spec.side_clearance.most", "shaft.throws", "nothing", "spec..match", ""]
        {
            assert!(!matches!(takes(none), Some(Takes::Number)), "{none}");
        }
        assert_eq!(takes("spec.colour"), None);
        assert_eq!(named_places("material", "a b")[0], "material.\"a b\".expansion");
        assert!(known_places("nothing").is_empty() && named_places("spec", "a").is_empty());
    }

    #[test]
    fn every_value_of_a_file_has_a_place_that_takes_it() {
        for text in [
            include_str!("../../../../examples/sprint-boat.toml"),
            include_str!("../../../../examples/heron-aircraft.toml"),
            include_str!("../../../../examples/gannet-pump.toml"),
        ] {
            for placed in placed(text).unwrap() {
                let quoted = placed.value.starts_with(['"', '\'']);
                let taken = takes(&placed.place);
                assert_eq!(taken == Some(Takes::Text), quoted, "{} {taken:?}", placed.place);
                assert!(taken.is_some(), "{}", placed.place);
            }
        }
    }

    #[test]
    fn a_quantity_is_read_or_its_cure_is_told() {
        assert!(measured("79.915 mm", &limits::WIDTH).is_ok());
        let said = measured("79.915", &limits::WIDTH).unwrap_err();
        assert!(said.contains("write \"79.915 mm\" if that is meant"), "{said}");
        let said = measured("7.9915 mm", &limits::WIDTH).unwrap_err();
        assert!(said.starts_with("\"7.9915 mm\" is less than 20 mm; expected a width"), "{said}");
    }
}
