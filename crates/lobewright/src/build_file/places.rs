//! A build file as a list of places with their values, in the order of the file, and back: how it is
//! kept value by value where a text cannot be kept whole.
//!
//! A place is a path of keys as TOML writes dotted ones: `rotor."R.1".land_width.2`. Tables of a kind
//! are named by their serial or name, or counted from 1; so are items of a list. A value is a piece
//! of TOML as it stood: `"5 thou"`, `2`, `0.01`. Comments and spacing are not values.

use super::keys::{self, By, Key, Kind};
use super::problem::Problems;
use super::read::read;
use super::write;
use thiserror::Error;
use toml_edit::{Array, ArrayOfTables, DocumentMut, Item, Table, TableLike, Value};

/// A value and where it stands.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Placed {
    /// Where.
    pub place: String,
    /// What, as a piece of TOML.
    pub value: String,
}

/// Why a list of places is no build file.
#[derive(Debug, Clone, PartialEq, Error)]
#[non_exhaustive]
pub enum PlacesError {
    /// A place that no build file has.
    #[error("{place}: there is no such place in a build file")]
    NoPlace {
        /// As it was given.
        place: String,
    },
    /// A value that is no piece of TOML.
    #[error("{place}: {value:?} is no value")]
    NoValue {
        /// Where.
        place: String,
        /// As it was given.
        value: String,
    },
    /// A value that leaves a gap before it, or stands where one stands already.
    #[error("{place}: item {number} does not follow the {count} before it")]
    OutOfOrder {
        /// Where.
        place: String,
        /// Its number.
        number: usize,
        /// How many there are.
        count: usize,
    },
}

/// All values of a build file, in its order.
///
/// # Errors
/// Everything that is wrong with the file.
pub fn placed(text: &str) -> Result<Vec<Placed>, Box<Problems>> {
    let problems = |text: &str| match read(text) {
        Ok(_) => None,
        Err(problems) => Some(Box::new(problems)),
    };
    if let Some(problems) = problems(text) {
        return Err(problems);
    }
    let mut all = Vec::new();
    // What reads is TOML; the editor of TOML reads the same.
    if let Ok(document) = text.trim_start_matches('\u{feff}').parse::<DocumentMut>() {
        walk(document.as_table(), keys::FILE, "", &mut all);
    }
    Ok(all)
}

/// The place of these keys, each in quotes where it needs them.
#[must_use]
pub fn place(keys: &[&str]) -> String {
    keys.iter().map(|key| write::key(key)).collect::<Vec<_>>().join(".")
}

fn join(path: &str, segment: &str) -> String {
    if path.is_empty() { segment.to_owned() } else { format!("{path}.{segment}") }
}

fn walk(table: &dyn TableLike, known: &'static [Key], path: &str, all: &mut Vec<Placed>) {
    for (name, item) in table.iter() {
        let Some(key) = keys::find(known, name) else { continue };
        let at = join(path, name);
        match (key.kind, item.as_table_like()) {
            (Kind::Table(inner), Some(table)) => walk(table, inner, &at, all),
            (Kind::ByName(inner), Some(tables)) => {
                for (called, each) in tables.iter() {
                    if let Some(each) = each.as_table_like() {
                        walk(each, inner, &join(&at, &write::key(called)), all);
                    }
                }
            }
            (Kind::Each(by, inner), _) => {
                for (i, each) in tables_of(item).into_iter().enumerate() {
                    walk(each, inner, &join(&at, &called(each, by, i)), all);
                }
            }
            (Kind::List, _) => {
                for (i, value) in item.as_array().into_iter().flatten().enumerate() {
                    put(all, format!("{at}.{}", i + 1), value);
                }
            }
            _ => {
                if let Some(value) = item.as_value() {
                    put(all, at, value);
                }
            }
        }
    }
}

fn put(all: &mut Vec<Placed>, place: String, value: &Value) {
    let mut value = value.clone();
    value.decor_mut().clear();
    all.push(Placed { place, value: value.to_string() });
}

/// Tables of a kind, in double brackets or in a list.
fn tables_of(item: &Item) -> Vec<&dyn TableLike> {
    match item {
        Item::ArrayOfTables(tables) => tables.iter().map(|t| t as &dyn TableLike).collect(),
        Item::Value(Value::Array(items)) => {
            items.iter().filter_map(Value::as_inline_table).map(|t| t as &dyn TableLike).collect()
        }
        _ => Vec::new(),
    }
}

/// How one of several tables is called in a place.
fn called(table: &dyn TableLike, by: By, index: usize) -> String {
    let name = by.key().and_then(|key| table.get(key)).and_then(Item::as_str);
    name.map_or_else(|| (index + 1).to_string(), write::key)
}

/// The text of a build file with these values in this order. It is not looked at whether it is right:
/// [`read`] says that.
///
/// # Errors
/// [`PlacesError`] for a place or a value that no file has.
pub fn assemble(values: &[Placed]) -> Result<String, PlacesError> {
    let mut document = DocumentMut::new();
    for placed in values {
        let no_place = || PlacesError::NoPlace { place: placed.place.clone() };
        let path = toml_edit::Key::parse(&placed.place).map_err(|_| no_place())?;
        let path: Vec<&str> = path.iter().map(toml_edit::Key::get).collect();
        let value = placed.value.parse::<Value>().map_err(|_| PlacesError::NoValue {
            place: placed.place.clone(),
            value: placed.value.clone(),
        })?;
        set(document.as_table_mut(), keys::FILE, (&path, &placed.place), value)?;
    }
    Ok(document.to_string())
}

fn set(
    table: &mut Table,
    known: &'static [Key],
    (path, place): (&[&str], &str),
    value: Value,
) -> Result<(), PlacesError> {
    let no_place = || PlacesError::NoPlace { place: place.to_owned() };
    let (name, rest) = path.split_first().ok_or_else(no_place)?;
    let key = keys::find(known, name).ok_or_else(no_place)?;
    match (key.kind, rest) {
        (Kind::List, [number]) => {
            let list = table.entry(key.name).or_insert_with(|| Item::Value(Array::new().into()));
            let list = list.as_array_mut().ok_or_else(no_place)?;
            follows(number, list.len(), place)?;
            list.push(value);
            Ok(())
        }
        (Kind::Each(by, inner), [called, rest @ ..]) => {
            let tables = table.entry(key.name).or_insert_with(|| ArrayOfTables::new().into());
            let tables = tables.as_array_of_tables_mut().ok_or_else(no_place)?;
            let named = |table: &Table| {
                by.key().and_then(|key| table.get(key)).and_then(Item::as_str) == Some(*called)
            };
            let known = match by.key() {
                Some(_) => tables.iter().position(named),
                None => called.parse::<usize>().ok().and_then(|n| n.checked_sub(1)),
            };
            let index = known.unwrap_or(tables.len());
            if index >= tables.len() {
                if by.key().is_none() {
                    follows(called, tables.len(), place)?;
                }
                tables.push(Table::new());
            }
            let table = tables.get_mut(index).ok_or_else(no_place)?;
            // The first value of a table that is named by one of its own is that name.
            let is_name = by.key().is_some_and(|name| rest == [name]);
            if by == By::SerialOfPlace && known.is_none() && !is_name {
                table.insert("serial", Item::Value(Value::from(*called)));
            } else if by.key().is_some() && known.is_none() && !is_name {
                return Err(no_place());
            }
            set(table, inner, (rest, place), value)
        }
        (Kind::ByName(inner), [called, rest @ ..]) if !rest.is_empty() => {
            let tables = sub_table(table, key.name).ok_or_else(no_place)?;
            let table = sub_table(tables, called).ok_or_else(no_place)?;
            set(table, inner, (rest, place), value)
        }
        (Kind::Table(inner), [_, ..]) => {
            let table = sub_table(table, key.name).ok_or_else(no_place)?;
            set(table, inner, (rest, place), value)
        }
        (Kind::Text | Kind::Number | Kind::Table(_), []) if !table.contains_key(key.name) => {
            table.insert(key.name, Item::Value(value));
            Ok(())
        }
        _ => Err(no_place()),
    }
}

/// A number that is one more than what is there.
fn follows(number: &str, count: usize, place: &str) -> Result<(), PlacesError> {
    let number =
        number.parse::<usize>().map_err(|_| PlacesError::NoPlace { place: place.to_owned() })?;
    if number == count + 1 {
        Ok(())
    } else {
        Err(PlacesError::OutOfOrder { place: place.to_owned(), number, count })
    }
}

/// A table of a table; one that holds tables alone has no line of its own in the file.
fn sub_table<'t>(table: &'t mut Table, name: &str) -> Option<&'t mut Table> {
    let item = table.entry(name).or_insert_with(|| {
        let mut new = Table::new();
        new.set_implicit(true);
        Item::Table(new)
    });
    item.as_table_mut()
}

#[cfg(test)]
mod tests {
    use super::super::generate::any_build;
    use super::super::write::write;
    use super::*;
    use proptest::prelude::*;

    const BOAT: &str = include_str!("../../../../examples/sprint-boat.toml");
    const PUMP: &str = include_str!("../../../../examples/gannet-pump.toml");

    /// Whether a text has just these values, and gives itself back. Values of a table stand before
    /// its own tables there, wherever they stood.
    fn same_values(text: &str, values: &[Placed]) -> bool {
        let sorted = |values: &[Placed]| {
            let mut values: Vec<_> =
                values.iter().map(|v| (v.place.clone(), v.value.clone())).collect();
            values.sort();
            values
        };
        let back = placed(text).unwrap();
        sorted(&back) == sorted(values) && assemble(&back).unwrap() == text
    }

    #[test]
    fn an_example_comes_back_as_the_shop_wrote_it() {
        for text in [BOAT, PUMP] {
            let values = placed(text).unwrap();
            let back = assemble(&values).unwrap();
            assert!(read(&back).unwrap() == read(text).unwrap());
            assert!(same_values(&back, &values));
        }
        let values = placed(BOAT).unwrap();
        let at = |place: &str| &values.iter().find(|v| v.place == place).unwrap().value;
        assert_eq!(at("rotor.R-114.land_width.2"), "\"79.922 mm\"");
        assert_eq!(at("spec.step.target"), "\"5 thou\"");
        assert_eq!(at("engine.rotors"), "2");
    }

    #[test]
    fn what_is_no_place_is_named() {
        let said = |place: &str, value: &str| {
            let one = Placed { place: place.to_owned(), value: value.to_owned() };
            assemble(&[one]).unwrap_err().to_string()
        };
        assert!(said("rotor.R-1.colour", "1").contains("no such place"));
        assert!(said("rotor.R-1.mass", "\"4 kg\"").contains("no such place"));
        assert!(said("engine.rotors", "two").contains("is no value"));
        assert!(said("shaft.main.2.at", "\"5 mm\"").contains("item 2 does not follow the 0"));
        assert!(said("a..b", "1").contains("no such place"));
        assert!(placed("format = 1").is_err());
    }

    proptest! {
        #[test]
        fn any_build_comes_back_value_by_value(build in any_build()) {
            let values = placed(&write(&build)).unwrap();
            let back = assemble(&values).unwrap();
            prop_assert!(read(&back).unwrap() == build);
            prop_assert!(same_values(&back, &values));
        }
    }
}
