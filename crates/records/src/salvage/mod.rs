//! What can be read of a damaged file, put into a new one. The damaged file is read page by page,
//! without the database, and never written to; rows on pages that are whole come out, whatever has
//! happened to the others, also where no tree leads to them any more.
//!
//! `pages` reads pages, out of the log too; `rows` takes a page apart; `trees` finds which table it
//! belongs to; `shapes` knows what a row of each table looks like; `seals` says which rows are not
//! what they were.

mod lines;
mod pages;
mod rows;
mod seals;
mod shapes;
mod trees;

pub use lines::LinesOut;
pub use trees::DamagedPage;

use crate::error::{Fault, RecordsError, told};
use crate::schema::{self, APPLICATION_ID, VERSION};
use crate::shop::Shop;
use pages::Pages;
use rusqlite::Connection;
use rusqlite::types::Value;
use shapes::Shape;
use std::path::Path;
use trees::{Found, LooseRow};

/// What stands in a column.
#[derive(Debug, Clone, PartialEq)]
pub enum Cell {
    /// Nothing.
    Nothing,
    /// A whole number.
    Whole(i64),
    /// A real number.
    Real(f64),
    /// A text.
    Text(String),
    /// Bytes.
    Bytes(Vec<u8>),
}

impl From<Value> for Cell {
    fn from(value: Value) -> Self {
        match value {
            Value::Null => Self::Nothing,
            Value::Integer(whole) => Self::Whole(whole),
            Value::Real(real) => Self::Real(real),
            Value::Text(text) => Self::Text(text),
            Value::Blob(bytes) => Self::Bytes(bytes),
        }
    }
}

/// A row that came out and could not be put in its place.
#[derive(Debug, Clone, PartialEq)]
pub struct Loose {
    /// The page it lay on.
    pub page: u32,
    /// Its number, if it has one.
    pub number: Option<i64>,
    /// Tables that it may be of; none if it fits no table.
    pub tables: Vec<String>,
    /// Why it was not put there.
    pub why: String,
    /// What stands in it, in the order of its columns.
    pub cells: Vec<Cell>,
}

/// What came out of a table.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TableOut {
    /// Its name.
    pub name: String,
    /// Rows that came out.
    pub rows: u64,
    /// Numbers that are missing, first and last of each run. Of tables whose rows have numbers;
    /// after the last known number nothing can be said.
    pub missing: Vec<(i64, i64)>,
    /// Numbers of rows that are not what they were when they were written.
    pub changed: Vec<i64>,
}

/// What came out of a file.
#[derive(Debug, Clone, PartialEq)]
pub struct Salvaged {
    /// What is wrong with its head and its log.
    pub wrong: Vec<String>,
    /// Pages that it has.
    pub pages: u32,
    /// Those that cannot be read.
    pub damaged: Vec<DamagedPage>,
    /// What came out, table by table.
    pub tables: Vec<TableOut>,
    /// Rows without a place.
    pub loose: Vec<Loose>,
    /// Builds of which lines came out and the build itself did not; they stand under their number.
    pub stand_ins: Vec<i64>,
}

impl Salvaged {
    /// Whether all of it came out as it was.
    #[must_use]
    pub fn is_whole(&self) -> bool {
        self.wrong.is_empty()
            && self.damaged.is_empty()
            && self.loose.is_empty()
            && self.stand_ins.is_empty()
            && self.tables.iter().all(|t| t.missing.is_empty() && t.changed.is_empty())
    }
}

/// Looks at every page of a file without the database: what is wrong with its head and its log,
/// and which pages are damaged. Nothing is written.
///
/// # Errors
/// Where there is no such file, or nothing of a shop in it.
pub fn damage(file: &Path) -> Result<(Vec<String>, Vec<DamagedPage>), RecordsError> {
    let mut pages = Pages::open(file)?;
    let model = model(pages.version).map_err(|fault| fault.of(file))?;
    let shapes = Shape::all(&model).map_err(|error| told(&error, file))?;
    let found = trees::find(&mut pages, &shapes, &mut |_, _| {});
    if found.rows == 0 && found.loose.is_empty() {
        return Err(RecordsError::NotAShop { file: file.to_owned() });
    }
    Ok((pages.wrong, found.damaged))
}

/// A shop without anything in it, of the version of the file that is read.
fn model(version: Option<u32>) -> Result<Connection, Fault> {
    let mut connection = Connection::open_in_memory()?;
    schema::prepare(&connection)?;
    schema::up_to(&mut connection, version.unwrap_or(VERSION))?;
    Ok(connection)
}

/// Reads what can be read of a damaged file and puts it into a new file, `into`: a shop's file
/// without the rows that are lost. It is not what the shop goes on with unless nothing is lost.
///
/// # Errors
/// Where there is no such file, or nothing of a shop in it; where it is written to meanwhile; where
/// `into` is there, or cannot be written.
pub fn salvage(file: &Path, into: &Path) -> Result<Salvaged, RecordsError> {
    if into.exists() {
        return Err(RecordsError::FileExists { file: into.to_owned() });
    }
    let mut pages = Pages::open(file)?;
    let mut new = Connection::open(into).map_err(|error| told(&error, into))?;
    let shapes = begin(&mut new, pages.version).map_err(|fault| fault.of(into))?;
    let salvaged = put_in(&mut new, &shapes, &mut pages).map_err(|fault| fault.of(into))?;
    pages.stood_still()?;
    let Some(salvaged) = salvaged else {
        return Err(RecordsError::NotAShop { file: file.to_owned() });
    };
    new.close().map_err(|(_, error)| told(&error, into))?;
    Ok(salvaged)
}

/// An empty shop without its rules: what is read was written under them.
fn begin(new: &mut Connection, version: Option<u32>) -> Result<Vec<Shape>, Fault> {
    schema::prepare(new)?;
    // It is a copy of what there is: what is lost of it is made again.
    new.pragma_update(None, "synchronous", "OFF")?;
    new.pragma_update(None, "application_id", APPLICATION_ID)?;
    schema::up_to(new, version.unwrap_or(VERSION))?;
    new.pragma_update(None, "foreign_keys", false)?;
    Ok(Shape::all(new)?)
}

/// Puts every row that is found into its table; nothing if none is.
fn put_in(
    new: &mut Connection,
    shapes: &[Shape],
    pages: &mut Pages<'_>,
) -> Result<Option<Salvaged>, Fault> {
    let transaction = new.transaction()?;
    let rules: Vec<(String, String)> = transaction
        .prepare("SELECT name, sql FROM sqlite_schema WHERE type = 'trigger'")?
        .query_map([], |row| Ok((row.get(0)?, row.get(1)?)))?
        .collect::<Result<_, _>>()?;
    for (name, _) in &rules {
        transaction.execute_batch(&format!("DROP TRIGGER \"{name}\""))?;
    }
    for shape in shapes {
        // What a step put there itself comes out of the file again.
        transaction.execute_batch(&format!("DELETE FROM {}", shape.name))?;
    }
    let inserts: Vec<String> = shapes.iter().map(Shape::insert).collect();
    let (mut unput, mut full) = (Vec::new(), None);
    let Found { rows, loose, damaged } = trees::find(pages, shapes, &mut |place, row| {
        let shape = &shapes[place];
        let put = transaction
            .prepare_cached(&inserts[place])
            .and_then(|mut insert| insert.execute(rusqlite::params_from_iter(shape.whole(&row))));
        let Err(error) = put else { return };
        match told(&error, Path::new("")) {
            RecordsError::Refused { why } => {
                let row = LooseRow { page: 0, row, tables: vec![shape.name.clone()] };
                unput.push(unplaced(row, &why));
            }
            // No room for it, which is no fault of the row.
            _ => full = full.take().or(Some(error)),
        }
    });
    if let Some(error) = full {
        return Err(Fault::Sql(error));
    }
    if rows == 0 && loose.is_empty() {
        return Ok(None);
    }
    let mut loose: Vec<Loose> = loose
        .into_iter()
        .map(|row| {
            let why = match row.tables.len() {
                0 => "it fits no table",
                1 => "it is no row of its table",
                _ => "it may be of several tables",
            };
            unplaced(row, why)
        })
        .collect();
    loose.append(&mut unput);
    let stand_ins = stand_ins(&transaction)?;
    for (_, sql) in &rules {
        transaction.execute_batch(sql)?;
    }
    transaction.commit()?;
    let mut tables = Vec::new();
    for shape in shapes {
        let name = shape.name.clone();
        let count = format!("SELECT count(*) FROM {name}");
        let rows: i64 = new.query_row(&count, [], |row| row.get(0))?;
        let missing = if shape.is_numbered() { gaps(new, &name)? } else { Vec::new() };
        let changed = seals::changed(new, &name)?;
        tables.push(TableOut { name, rows: rows.unsigned_abs(), missing, changed });
    }
    let (wrong, pages) = (pages.wrong.clone(), pages.count);
    Ok(Some(Salvaged { wrong, pages, damaged, tables, loose, stand_ins }))
}

fn unplaced(LooseRow { page, row, tables }: LooseRow, why: &str) -> Loose {
    Loose {
        page,
        number: row.number,
        tables,
        why: why.to_owned(),
        cells: row.values.into_iter().map(Cell::from).collect(),
    }
}

/// Lines of a build that is lost are of a build all the same.
fn stand_ins(new: &Connection) -> Result<Vec<i64>, Fault> {
    let lost: Vec<i64> = new
        .prepare(
            "SELECT DISTINCT build FROM build_value
             WHERE build NOT IN (SELECT id FROM build) ORDER BY build",
        )?
        .query_map([], |row| row.get(0))?
        .collect::<Result<_, _>>()?;
    for build in &lost {
        new.prepare_cached(
            "INSERT INTO build (id, name, stage, due_next, revision, person, at)
             SELECT ?1, 'build ' || ?1, 'inspection', '', max(revision), min(person), min(at)
             FROM build_value WHERE build = ?1",
        )?
        .execute([build])?;
    }
    Ok(lost)
}

/// Numbers that are missing between 1 and the last one.
fn gaps(new: &Connection, table: &str) -> Result<Vec<(i64, i64)>, Fault> {
    let mut gaps = Vec::new();
    let mut statement = new.prepare(&format!("SELECT rowid FROM {table} ORDER BY rowid"))?;
    let mut rows = statement.query([])?;
    let mut next = 1;
    while let Some(row) = rows.next()? {
        let id: i64 = row.get(0)?;
        if id > next {
            gaps.push((next, id - 1));
        }
        next = id.saturating_add(1);
    }
    // What the rows that came out refer to was there too.
    let last = match table {
        "reading" => Some(("last_reading", "sign_off")),
        "build_value" => Some(("last_value", "sign_off")),
        "build" => Some(("build", "build_value")),
        "part" => Some(("part", "reading")),
        _ => None,
    };
    if let Some((column, other)) = last {
        let last: Option<i64> =
            new.query_row(&format!("SELECT max({column}) FROM {other}"), [], |row| row.get(0))?;
        if last.is_some_and(|last| last >= next) {
            gaps.push((next, last.unwrap_or(next)));
        }
    }
    Ok(gaps)
}

impl Shop {
    /// Every table of the file, by name.
    ///
    /// # Errors
    /// Where the file cannot be read.
    pub fn tables(&self) -> Result<Vec<String>, RecordsError> {
        self.read(|connection| {
            let mut statement = connection.prepare(
                "SELECT name FROM sqlite_schema
                 WHERE type = 'table' AND name NOT LIKE 'sqlite_%' ORDER BY rootpage",
            )?;
            Ok(statement.query_map([], |row| row.get(0))?.collect::<Result<_, _>>()?)
        })
    }

    /// How many rows each table has.
    ///
    /// # Errors
    /// Where the file cannot be read.
    pub fn counts(&self) -> Result<Vec<(String, i64)>, RecordsError> {
        let tables = self.tables()?;
        self.read(|connection| {
            let count = |table: String| {
                let count = format!("SELECT count(*) FROM {table}");
                let rows = connection.query_row(&count, [], |row| row.get(0))?;
                Ok((table, rows))
            };
            tables.into_iter().map(count).collect()
        })
    }

    /// Every row of a table, one by one: names of its columns, and what stands in them. Stops where
    /// `each` says no.
    ///
    /// # Errors
    /// Where there is no such table, or the file cannot be read.
    pub fn each_row(
        &self,
        table: &str,
        mut each: impl FnMut(&[String], Vec<Cell>) -> bool,
    ) -> Result<(), RecordsError> {
        if !self.tables()?.iter().any(|known| known == table) {
            return Err(RecordsError::NotThere { what: format!("table {table:?}") });
        }
        self.read(|connection| {
            let mut statement = connection.prepare(&format!("SELECT * FROM {table}"))?;
            let names: Vec<String> =
                statement.column_names().into_iter().map(str::to_owned).collect();
            let mut rows = statement.query([])?;
            while let Some(row) = rows.next()? {
                let cell = |n| Ok(Cell::from(row.get::<_, Value>(n)?));
                let cells: Result<Vec<Cell>, Fault> = (0..names.len()).map(cell).collect();
                if !each(&names, cells?) {
                    break;
                }
            }
            Ok(())
        })
    }

    /// Whether what each revision of a build was signed over is what stands there: the number of
    /// each signature, and whether it fits.
    ///
    /// # Errors
    /// Where there is no such build, or the file cannot be read.
    pub fn signatures_fit(
        &self,
        build: crate::BuildId,
    ) -> Result<Vec<(crate::SignOffId, bool)>, RecordsError> {
        let signed = self.sign_offs(build)?;
        self.read(|connection| {
            signed
                .iter()
                .map(|signed| {
                    let content = crate::content::Content::of(
                        connection,
                        build,
                        signed.revision,
                        signed.head.clone(),
                    );
                    let fits = content.is_ok_and(|content| {
                        let now = content.hashes();
                        now.content() == signed.content_hash && now == signed.hashes
                    });
                    Ok((signed.id, fits))
                })
                .collect()
        })
    }
}
