//! What a row of each table looks like, and where the tables of a new file begin: asked of a file
//! that this program made itself.

use super::rows::Row;
use rusqlite::Connection;
use rusqlite::types::Value;

/// What a column takes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Takes {
    Whole,
    Real,
    Text,
    Bytes,
}

#[derive(Debug, Clone)]
struct Column {
    name: String,
    takes: Takes,
    /// Whether it may be left empty, or left out by rows that are older than it.
    empty: bool,
    /// What older rows have in it.
    usual: Value,
}

/// A table.
#[derive(Debug, Clone)]
pub(super) struct Shape {
    pub(super) name: String,
    /// Whether it has no numbers of rows: then it lies in a tree as an index does.
    pub(super) as_index: bool,
    /// Its first page in a new file.
    pub(super) root: u32,
    /// In the order in which they lie in a row.
    columns: Vec<Column>,
    /// Which of them is the number of the row.
    numbered: Option<usize>,
}

impl Shape {
    /// Every table of a new file.
    pub(super) fn all(connection: &Connection) -> Result<Vec<Self>, rusqlite::Error> {
        let mut statement = connection.prepare(
            "SELECT name, rootpage, sql LIKE '%WITHOUT ROWID%' FROM sqlite_schema
             WHERE type = 'table' AND name NOT LIKE 'sqlite_%' ORDER BY rootpage",
        )?;
        let tables: Vec<(String, u32, bool)> = statement
            .query_map([], |row| Ok((row.get(0)?, row.get(1)?, row.get(2)?)))?
            .collect::<Result<_, _>>()?;
        let shape = |(name, root, as_index): (String, u32, bool)| {
            let mut columns: Vec<(i64, Column)> = connection
                .prepare(
                    "SELECT name, type, \"notnull\", dflt_value, pk FROM pragma_table_info(?1)",
                )?
                .query_map([&name], |row| column(row, connection))?
                .collect::<Result<_, _>>()?;
            let numbered = columns.iter().position(|(key, _)| *key == 1 && !as_index);
            if as_index {
                // Its key first; the sort leaves the others where they are.
                columns.sort_by_key(|(key, _)| if *key == 0 { i64::MAX } else { *key });
            }
            let columns = columns.into_iter().map(|(_, column)| column).collect();
            Ok(Self { name, as_index, root, columns, numbered })
        };
        tables.into_iter().map(shape).collect()
    }

    /// Whether a row may be one of this table.
    pub(super) fn fits(&self, row: &Row) -> bool {
        let known = row.values.len();
        row.number.is_some() != self.as_index
            && known <= self.columns.len()
            && self.columns.iter().skip(known).all(|column| column.empty)
            && self.columns.iter().zip(&row.values).enumerate().all(|(n, (column, value))| {
                match (value, column.takes) {
                    (Value::Null, _) => column.empty || self.numbered == Some(n),
                    (Value::Integer(_), Takes::Whole | Takes::Real)
                    | (Value::Real(_), Takes::Real)
                    | (Value::Text(_), Takes::Text)
                    | (Value::Blob(_), Takes::Bytes) => true,
                    _ => false,
                }
            })
    }

    /// A row with its number where it belongs, and with what it is older than.
    pub(super) fn whole(&self, row: &Row) -> Vec<Value> {
        let mut values = row.values.clone();
        for column in self.columns.iter().skip(values.len()) {
            values.push(column.usual.clone());
        }
        if let (Some(at), Some(number)) = (self.numbered, row.number)
            && let Some(value) = values.get_mut(at)
        {
            *value = Value::Integer(number);
        }
        values
    }

    /// The statement that puts a row in.
    pub(super) fn insert(&self) -> String {
        let names: Vec<String> =
            self.columns.iter().map(|column| format!("\"{}\"", column.name)).collect();
        let marks = vec!["?"; names.len()].join(", ");
        format!("INSERT INTO {} ({}) VALUES ({marks})", self.name, names.join(", "))
    }

    /// Whether its rows are numbered.
    pub(super) fn is_numbered(&self) -> bool {
        self.numbered.is_some()
    }
}

fn column(
    row: &rusqlite::Row<'_>,
    connection: &Connection,
) -> Result<(i64, Column), rusqlite::Error> {
    let takes = match row.get::<_, String>(1)?.as_str() {
        "INTEGER" | "INT" => Takes::Whole,
        "REAL" => Takes::Real,
        "TEXT" => Takes::Text,
        _ => Takes::Bytes,
    };
    let usual = match row.get::<_, Option<String>>(3)? {
        // An expression of this program's own steps.
        Some(usual) => connection.query_row(&format!("SELECT {usual}"), [], |row| row.get(0))?,
        None => Value::Null,
    };
    let key: i64 = row.get(4)?;
    let empty = row.get::<_, i64>(2)? == 0 && key == 0;
    Ok((key, Column { name: row.get(0)?, takes, empty, usual }))
}
