//! A table for other programs: the same cells as CSV and as a sheet of a workbook.
//!
//! A column says what its cells are, and of numbers the unit is in its name: `land_cut_mm`. Numbers
//! are numbers and days are days in both forms, text is text. The same table gives the same bytes:
//! a workbook says nothing of when it was made.
//!
//! Text that a spreadsheet would take for a formula stays text. In a workbook a cell of text never
//! is one. CSV has no types, so there such text gets an apostrophe in front, which spreadsheets and
//! people take for "this is text"; [`plain`] takes it off again, and what comes back is what was
//! there, since text that begins with an apostrophe before such a sign gets one more.

use rust_xlsxwriter::{DocProperties, ExcelDateTime, Format, Workbook, Worksheet, XlsxError};
use std::collections::BTreeMap;
use thiserror::Error;

/// Text that begins with one of these may be taken for a formula, or lose its beginning.
const FORMULA: [char; 6] = ['=', '+', '-', '@', '\t', '\r'];

/// What the cells of a column are.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Holds {
    /// Words, serials, values as they were written.
    Text,
    /// A number in the unit that the column's name ends with.
    Number {
        /// Decimals that are kept.
        kept: u8,
        /// Decimals that a workbook shows.
        shown: u8,
    },
    /// A count or a number of a record.
    Whole,
    /// A moment, in UTC.
    Moment,
}

/// A column.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Column {
    /// Its name, with the unit where it has one.
    pub name: &'static str,
    /// What its cells are.
    pub holds: Holds,
}

impl Column {
    /// A column of text.
    #[must_use]
    pub const fn text(name: &'static str) -> Self {
        Self { name, holds: Holds::Text }
    }

    /// A column of counts.
    #[must_use]
    pub const fn whole(name: &'static str) -> Self {
        Self { name, holds: Holds::Whole }
    }

    /// A column of moments in UTC.
    #[must_use]
    pub const fn moment(name: &'static str) -> Self {
        Self { name, holds: Holds::Moment }
    }

    /// Lengths in millimetres, kept to the nanometre: what any gauge of a shop reads, exactly.
    #[must_use]
    pub const fn mm(name: &'static str) -> Self {
        Self { name, holds: Holds::Number { kept: 6, shown: 4 } }
    }

    /// Lengths in inches, kept to a quarter of a nanometre.
    #[must_use]
    pub const fn inch(name: &'static str) -> Self {
        Self { name, holds: Holds::Number { kept: 8, shown: 6 } }
    }

    /// Masses in grams.
    #[must_use]
    pub const fn g(name: &'static str) -> Self {
        Self { name, holds: Holds::Number { kept: 4, shown: 1 } }
    }

    /// Forces in newtons.
    #[must_use]
    pub const fn newton(name: &'static str) -> Self {
        Self { name, holds: Holds::Number { kept: 4, shown: 1 } }
    }

    /// Temperatures in degrees Celsius.
    #[must_use]
    pub const fn deg_c(name: &'static str) -> Self {
        Self { name, holds: Holds::Number { kept: 4, shown: 1 } }
    }
}

/// A cell.
#[derive(Debug, Clone, PartialEq)]
pub enum Cell {
    /// Nothing.
    Empty,
    /// Text as it stands.
    Text(String),
    /// A number in the column's unit.
    Number(f64),
    /// A count.
    Whole(i64),
    /// A moment as RFC 3339 in UTC: `2026-11-28T09:30:00Z`.
    Moment(String),
}

impl Cell {
    /// Text, or nothing where there is none.
    #[must_use]
    pub fn text(text: impl Into<String>) -> Self {
        match text.into() {
            text if text.is_empty() => Self::Empty,
            text => Self::Text(text),
        }
    }

    /// A number, or nothing.
    #[must_use]
    pub fn number(value: Option<f64>) -> Self {
        value.map_or(Self::Empty, Self::Number)
    }

    /// A count, or nothing.
    #[must_use]
    pub fn whole(value: Option<i64>) -> Self {
        value.map_or(Self::Empty, Self::Whole)
    }
}

/// Why there is no table.
#[derive(Debug, Error)]
#[non_exhaustive]
pub enum TableError {
    /// A row that is no row of the table: a fault of this program.
    #[error("table {table}, row {row}, column {column}: {why}")]
    Misfit {
        /// Which table.
        table: &'static str,
        /// Which row, from 1.
        row: usize,
        /// Which column.
        column: String,
        /// What is wrong.
        why: &'static str,
    },
    /// What the workbook cannot hold.
    #[error("the workbook: {0}")]
    Workbook(#[from] XlsxError),
    /// What could not be written as CSV.
    #[error("the table as CSV: {0}")]
    Csv(#[from] csv::Error),
}

/// A table.
#[derive(Debug, Clone, PartialEq)]
pub struct Table {
    /// Its name: that of its file and of its sheet.
    pub name: &'static str,
    /// Its columns.
    columns: Vec<Column>,
    /// Its rows.
    rows: Vec<Vec<Cell>>,
}

impl Table {
    /// An empty one.
    #[must_use]
    pub fn new(name: &'static str, columns: &[Column]) -> Self {
        Self { name, columns: columns.to_vec(), rows: Vec::new() }
    }

    /// How many rows it has, its head left out.
    #[must_use]
    pub const fn len(&self) -> usize {
        self.rows.len()
    }

    /// Whether it has none.
    #[must_use]
    pub const fn is_empty(&self) -> bool {
        self.rows.is_empty()
    }

    /// Adds a row, a cell for every column.
    ///
    /// # Errors
    /// [`TableError::Misfit`] where a cell is not what its column holds, or is no finite number.
    pub fn push(&mut self, mut row: Vec<Cell>) -> Result<(), TableError> {
        let number = self.rows.len() + 1;
        let misfit =
            |column: String, why| TableError::Misfit { table: self.name, row: number, column, why };
        if row.len() != self.columns.len() {
            return Err(misfit("all".to_owned(), "the row has another number of cells"));
        }
        for (column, cell) in self.columns.iter().zip(&mut row) {
            match (column.holds, &mut *cell) {
                (Holds::Number { kept, .. }, Cell::Number(value)) if value.is_finite() => {
                    *value = rounded(*value, kept);
                }
                (_, Cell::Empty)
                | (Holds::Text, Cell::Text(_))
                | (Holds::Whole, Cell::Whole(_))
                | (Holds::Moment, Cell::Moment(_)) => {}
                (Holds::Number { .. }, Cell::Number(_)) => {
                    return Err(misfit(column.name.to_owned(), "the number is not finite"));
                }
                _ => return Err(misfit(column.name.to_owned(), "the cell is of another kind")),
            }
        }
        self.rows.push(row);
        Ok(())
    }

    /// The table as CSV [RFC-4180], its columns' names first.
    ///
    /// # Errors
    /// Where it cannot be written.
    pub fn csv(&self) -> Result<String, TableError> {
        let mut writer =
            csv::WriterBuilder::new().terminator(csv::Terminator::CRLF).from_writer(Vec::new());
        writer.write_record(self.columns.iter().map(|column| column.name))?;
        for row in &self.rows {
            writer.write_record(row.iter().map(in_csv))?;
        }
        let bytes = writer.into_inner().map_err(|error| csv::Error::from(error.into_error()))?;
        // Every cell was text.
        Ok(String::from_utf8_lossy(&bytes).into_owned())
    }
}

/// Rounded to so many decimals, so that both forms have the same number.
fn rounded(value: f64, decimals: u8) -> f64 {
    let text = format!("{value:.0$}", usize::from(decimals));
    // What was printed is a number. No minus before nothing.
    text.parse().map_or(value, |value: f64| value + 0.0)
}

fn in_csv(cell: &Cell) -> String {
    match cell {
        Cell::Empty => String::new(),
        Cell::Text(text) => guarded(text),
        Cell::Number(value) => value.to_string(),
        Cell::Whole(value) => value.to_string(),
        Cell::Moment(at) => at.clone(),
    }
}

/// Whether a text without the apostrophes before it begins like a formula.
fn like_a_formula(text: &str) -> bool {
    text.trim_start_matches('\'').starts_with(FORMULA)
}

/// Text as CSV has it.
fn guarded(text: &str) -> String {
    if like_a_formula(text) { format!("'{text}") } else { text.to_owned() }
}

/// A cell of CSV as it was before it was written: without the apostrophe that guards text which
/// begins like a formula.
#[must_use]
pub fn plain(cell: &str) -> &str {
    match cell.strip_prefix('\'') {
        Some(text) if like_a_formula(text) => text,
        _ => cell,
    }
}

/// Formats of a workbook's cells.
struct Formats {
    head: Format,
    /// Text stays text even where it is edited.
    text: Format,
    moment: Format,
    numbers: BTreeMap<u8, Format>,
}

fn sheet(table: &Table, formats: &mut Formats) -> Result<Worksheet, TableError> {
    let mut sheet = Worksheet::new();
    sheet.set_name(table.name)?;
    sheet.set_freeze_panes(1, 0)?;
    for (at, column) in (0..).zip(&table.columns) {
        sheet.write_string_with_format(0, at, column.name, &formats.head)?;
    }
    for (line, row) in (1..).zip(&table.rows) {
        for (at, (cell, column)) in (0..).zip(row.iter().zip(&table.columns)) {
            match cell {
                Cell::Empty => {}
                Cell::Text(text) if like_a_formula(text) => {
                    sheet.write_string_with_format(line, at, text, &formats.text)?;
                }
                Cell::Text(text) => {
                    sheet.write_string(line, at, text)?;
                }
                Cell::Number(value) => {
                    let Holds::Number { shown, .. } = column.holds else { continue };
                    let format = formats.numbers.entry(shown).or_insert_with(|| {
                        let places = "0".repeat(usize::from(shown));
                        Format::new().set_num_format(format!("0.{places}"))
                    });
                    sheet.write_number_with_format(line, at, *value, format)?;
                }
                // A count of records stays below 2^53, so a workbook's number has it exactly.
                Cell::Whole(value) => {
                    sheet.write_number(line, at, *value as f64)?;
                }
                Cell::Moment(moment) => {
                    let moment = ExcelDateTime::parse_from_str(moment)?;
                    sheet.write_datetime_with_format(line, at, &moment, &formats.moment)?;
                }
            }
        }
    }
    sheet.autofit();
    Ok(sheet)
}

/// Tables as one workbook, a sheet each, with the columns' names frozen on top.
///
/// # Errors
/// Where a workbook cannot hold them: more than a million rows, a text of more than 32 767 letters.
pub fn workbook(title: &str, tables: &[Table]) -> Result<Vec<u8>, TableError> {
    let mut workbook = Workbook::new();
    // Any day will do, if it is always the same.
    let made = ExcelDateTime::from_ymd(2000, 1, 1)?;
    workbook.set_properties(&DocProperties::new().set_title(title).set_creation_datetime(&made));
    let mut formats = Formats {
        head: Format::new().set_bold(),
        text: Format::new().set_quote_prefix(),
        moment: Format::new().set_num_format("yyyy-mm-dd hh:mm:ss"),
        numbers: BTreeMap::new(),
    };
    for table in tables {
        workbook.push_worksheet(sheet(table, &mut formats)?);
    }
    Ok(workbook.save_to_buffer()?)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn table() -> Table {
        let columns = [
            Column::text("serial"),
            Column::mm("value_mm"),
            Column::whole("reading"),
            Column::moment("at_utc"),
        ];
        let mut table = Table::new("readings", &columns);
        for (serial, mm) in [("R-1, \"old\"", 79.915), ("=SUM(A1)", -0.1 - 0.2), ("-5 um", -0.0)] {
            table
                .push(vec![
                    Cell::text(serial),
                    Cell::Number(mm),
                    Cell::Whole(7),
                    Cell::Moment("2026-11-28T09:30:00Z".to_owned()),
                ])
                .unwrap();
        }
        table.push(vec![Cell::Empty, Cell::Empty, Cell::Empty, Cell::Empty]).unwrap();
        table
    }

    #[test]
    fn numbers_are_numbers_and_formulas_are_text() {
        assert_eq!(
            table().csv().unwrap(),
            "serial,value_mm,reading,at_utc\r\n\
             \"R-1, \"\"old\"\"\",79.915,7,2026-11-28T09:30:00Z\r\n\
             '=SUM(A1),-0.3,7,2026-11-28T09:30:00Z\r\n\
             '-5 um,0,7,2026-11-28T09:30:00Z\r\n\
             ,,,\r\n"
        );
    }

    #[test]
    fn the_same_tables_are_the_same_workbook() {
        let one = workbook("Merganser", &[table()]).unwrap();
        // The clock of a zip file goes in steps of two seconds.
        std::thread::sleep(std::time::Duration::from_millis(2100));
        assert!(one == workbook("Merganser", &[table()]).unwrap());
        assert!(one != workbook("Merganser 2", &[table()]).unwrap());
        assert!(one.starts_with(b"PK"));
    }

    #[test]
    fn what_does_not_fit_a_table_is_not_in_it() {
        let mut table = Table::new("plan", &[Column::mm("value_mm")]);
        for wrong in
            [vec![Cell::Number(f64::NAN)], vec![Cell::text("a")], vec![], vec![Cell::Whole(1)]]
        {
            assert!(table.push(wrong).is_err());
        }
        assert!(table.is_empty());
        let mut long = Table::new("plan", &[Column::text("what")]);
        long.push(vec![Cell::text("x".repeat(40_000))]).unwrap();
        assert!(matches!(workbook("", &[long]), Err(TableError::Workbook(_))));
    }

    proptest! {
        #[test]
        fn text_comes_back_from_csv(text in "['=+@\t\r\n,\"a-]{0,6}") {
            let guarded = guarded(&text);
            prop_assert_eq!(plain(&guarded), &text);
            prop_assert!(!guarded.starts_with(FORMULA));
            let mut table = Table::new("t", &[Column::text("a"), Column::text("b")]);
            table.push(vec![Cell::text("x"), Cell::text(&text)]).unwrap();
            let csv = table.csv().unwrap();
            let mut reader = csv::Reader::from_reader(csv.as_bytes());
            let row = reader.records().next().unwrap().unwrap();
            prop_assert_eq!(plain(&row[1]), text);
        }

        #[test]
        fn rounding_is_within_half_a_nanometre(value in -1e3..1e3_f64) {
            prop_assert!((rounded(value, 6) - value).abs() <= 0.5e-6 * 1.001);
        }
    }
}
