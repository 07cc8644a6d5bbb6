//! The readings of a build as CSV.

use crate::builds;
use crate::error::{Fault, RecordsError};
use crate::ids::BuildId;
use crate::readings;
use crate::shop::Shop;
use crate::words::PartKind;
use crate::written::Written;
use std::collections::HashMap;

/// The first line: what stands where.
const HEAD: [&str; 16] = [
    "reading",
    "part",
    "serial",
    "stage",
    "station",
    "value",
    "quantity",
    "si",
    "gauge",
    "person",
    "at",
    "temperature",
    "temperature_deg_c",
    "revision",
    "supersedes",
    "superseded_by",
];

/// A row of CSV [RFC-4180]: in quotes where it needs them, a quote doubled.
///
/// A row ends as the standard says, with a carriage return and a line feed.
pub fn csv_row<T: AsRef<str>>(cells: &[T], text: &mut String) {
    for (number, cell) in cells.iter().enumerate() {
        if number > 0 {
            text.push(',');
        }
        let cell = cell.as_ref();
        if cell.contains(['"', ',', '\n', '\r']) {
            text.push('"');
            text.push_str(&cell.replace('"', "\"\""));
            text.push('"');
        } else {
            text.push_str(cell);
        }
    }
    text.push_str("\r\n");
}

impl Shop {
    /// The readings of a build as CSV, in the order they were taken, superseded ones among them.
    /// Lengths and masses are as they were written, and in SI beside it.
    ///
    /// # Errors
    /// Where there is no such build.
    pub fn readings_csv(&self, build: BuildId) -> Result<String, RecordsError> {
        self.read(|connection| {
            builds::get(connection, build)?;
            let mut statement = connection.prepare(
                "SELECT id, kind, serial FROM part
                 WHERE id IN (SELECT part FROM reading WHERE build = ?1)",
            )?;
            let parts: HashMap<i64, (PartKind, String)> = statement
                .query_map([build], |row| Ok((row.get(0)?, (row.get(1)?, row.get(2)?))))?
                .collect::<Result<_, _>>()?;
            let names = |table: &str| -> Result<HashMap<i64, String>, Fault> {
                let mut statement = connection.prepare(&format!("SELECT id, name FROM {table}"))?;
                let names = statement.query_map([], |row| Ok((row.get(0)?, row.get(1)?)))?;
                Ok(names.collect::<Result<_, _>>()?)
            };
            let (people, gauges) = (names("person")?, names("gauge")?);
            let mut text = String::new();
            csv_row(&HEAD, &mut text);
            for reading in readings::of_build(connection, build)? {
                let (kind, serial) = parts
                    .get(&reading.part.0)
                    .map(|(kind, serial)| (kind.word(), serial.clone()))
                    .unwrap_or_default();
                let named = |names: &HashMap<i64, String>, id: Option<i64>| {
                    id.and_then(|id| names.get(&id)).cloned().unwrap_or_default()
                };
                let number = |id: Option<i64>| id.map_or_else(String::new, |id| id.to_string());
                let temperature = reading.temperature.as_ref();
                csv_row(
                    &[
                        reading.id.to_string(),
                        kind.to_owned(),
                        serial,
                        reading.when.to_string(),
                        reading.station.clone(),
                        reading.value.text().to_owned(),
                        reading.value.quantity().to_owned(),
                        reading.value.si().to_string(),
                        named(&gauges, reading.gauge.map(|id| id.0)),
                        named(&people, Some(reading.person.0)),
                        reading.at.to_string(),
                        temperature.map_or_else(String::new, |t| t.text().to_owned()),
                        temperature.map(Written::si).map_or_else(String::new, |t| t.to_string()),
                        number(reading.revision),
                        number(reading.supersedes.map(|id| id.0)),
                        number(reading.superseded_by.map(|id| id.0)),
                    ],
                    &mut text,
                );
            }
            Ok(text)
        })
    }
}

#[cfg(test)]
mod tests {
    use super::csv_row;

    #[test]
    fn cells_are_quoted_where_they_must_be() {
        let mut text = String::new();
        csv_row(&["a", "b,c", ".005\"", "two\nlines", ""], &mut text);
        assert_eq!(text, "a,\"b,c\",\".005\"\"\",\"two\nlines\",\r\n");
    }
}
