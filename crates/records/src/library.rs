//! What the shop keeps to copy into builds: engines, materials, machine tools, and specs in
//! versions. A build is whole in itself; a later change here does not reach it.

use crate::error::{Fault, RecordsError};
use crate::ids::{EngineId, MachineToolId, MaterialId, PersonId, SpecId};
use crate::shop::Shop;
use crate::time::Moment;
use rusqlite::{Connection, Row};

/// A place of a build file and the TOML text of its value.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Line {
    /// Where: `engine.land_radius`.
    pub place: String,
    /// What stands there: `"61 mm"`, with its quotes.
    pub value: String,
}

/// An engine of the shop's library.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Engine {
    /// Its number.
    pub id: EngineId,
    /// What the shop calls it.
    pub name: String,
}

/// A material of the shop's library.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Material {
    /// Its number.
    pub id: MaterialId,
    /// What the shop calls it.
    pub name: String,
}

/// A machine tool of the shop's library.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MachineTool {
    /// Its number.
    pub id: MachineToolId,
    /// What the shop calls it.
    pub name: String,
}

/// A version of a spec.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Spec {
    /// Its number.
    pub id: SpecId,
    /// What the shop calls it.
    pub name: String,
    /// Its version, from 1.
    pub version: i64,
    /// Who answers for it.
    pub owner: PersonId,
    /// When it was made.
    pub at: Moment,
    /// How many builds refer to it. From the first on it is never changed.
    pub builds: i64,
}

/// Each table of lines has the name of what it belongs to.
fn put(connection: &Connection, of: &str, id: i64, lines: &[Line]) -> Result<(), Fault> {
    let mut statement = connection.prepare_cached(&format!(
        "INSERT INTO {of}_value ({of}, line, place, value) VALUES (?1, ?2, ?3, ?4)"
    ))?;
    for (number, line) in lines.iter().enumerate() {
        statement.execute((id, number as i64, &line.place, &line.value)).map_err(|error| {
            use rusqlite::ffi::SQLITE_CONSTRAINT_UNIQUE;
            match error.sqlite_error() {
                Some(code) if code.extended_code == SQLITE_CONSTRAINT_UNIQUE => {
                    Fault::Told(RecordsError::TwiceInFile { place: line.place.clone() })
                }
                _ => Fault::Sql(error),
            }
        })?;
    }
    Ok(())
}

fn replace(connection: &Connection, of: &str, id: i64, lines: &[Line]) -> Result<(), Fault> {
    connection.prepare_cached(&format!("DELETE FROM {of}_value WHERE {of} = ?1"))?.execute([id])?;
    put(connection, of, id, lines)
}

pub(crate) fn lines(connection: &Connection, of: &str, id: i64) -> Result<Vec<Line>, Fault> {
    let mut statement = connection.prepare_cached(&format!(
        "SELECT place, value FROM {of}_value WHERE {of} = ?1 ORDER BY line"
    ))?;
    let lines =
        statement.query_map([id], |row| Ok(Line { place: row.get(0)?, value: row.get(1)? }))?;
    Ok(lines.collect::<Result<_, _>>()?)
}

/// What engines, materials and machine tools have in common: a table, how one is called, with
/// its article.
macro_rules! named {
    ($type:ident, $id:ident, $table:literal, $called:literal, $article:literal,
     $add:ident, $set:ident, $all:ident, $lines:ident) => {
        impl Shop {
            #[doc = concat!("Adds ", $article, " with its values.")]
            ///
            /// # Errors
            /// Where the name is taken, or a place is there twice.
            pub fn $add(&self, name: &str, lines: &[Line]) -> Result<$id, RecordsError> {
                self.write(|tx| {
                    let id = tx
                        .prepare_cached(concat!("INSERT INTO ", $table, " (name) VALUES (?1)"))?
                        .insert([name])
                        .map_err(|error| Fault::taken(error, $called))?;
                    put(tx, $table, id, lines)?;
                    Ok($id(id))
                })
            }

            #[doc = concat!("Replaces the values of ", $article, ".")]
            ///
            /// # Errors
            /// Where there is none of that number, or a place is there twice.
            pub fn $set(&self, id: $id, lines: &[Line]) -> Result<(), RecordsError> {
                self.write(|tx| replace(tx, $table, id.0, lines))
            }

            /// All of them, by name.
            ///
            /// # Errors
            /// Where the file cannot be read.
            pub fn $all(&self) -> Result<Vec<$type>, RecordsError> {
                self.read(|connection| {
                    let mut statement = connection.prepare_cached(concat!(
                        "SELECT id, name FROM ",
                        $table,
                        " ORDER BY name"
                    ))?;
                    let all = statement
                        .query_map([], |row| Ok($type { id: row.get(0)?, name: row.get(1)? }))?;
                    Ok(all.collect::<Result<_, _>>()?)
                })
            }

            #[doc = concat!("The values of ", $article, ", in their order.")]
            ///
            /// # Errors
            /// Where the file cannot be read.
            pub fn $lines(&self, id: $id) -> Result<Vec<Line>, RecordsError> {
                self.read(|connection| lines(connection, $table, id.0))
            }
        }
    };
}
named!(
    Engine,
    EngineId,
    "engine",
    "engine",
    "an engine",
    add_engine,
    set_engine_lines,
    engines,
    engine_lines
);
named!(
    Material,
    MaterialId,
    "material",
    "material",
    "a material",
    add_material,
    set_material_lines,
    materials,
    material_lines
);
named!(
    MachineTool,
    MachineToolId,
    "machine_tool",
    "machine tool",
    "a machine tool",
    add_machine_tool,
    set_machine_tool_lines,
    machine_tools,
    machine_tool_lines
);

fn spec(row: &Row<'_>) -> rusqlite::Result<Spec> {
    Ok(Spec {
        id: row.get(0)?,
        name: row.get(1)?,
        version: row.get(2)?,
        owner: row.get(3)?,
        at: row.get(4)?,
        builds: row.get(5)?,
    })
}

impl Shop {
    /// Adds the next version of a spec, the first if there is none of that name.
    ///
    /// # Errors
    /// Where there is no such owner, or a place is there twice.
    pub fn add_spec(
        &self,
        name: &str,
        owner: PersonId,
        at: &Moment,
        lines: &[Line],
    ) -> Result<SpecId, RecordsError> {
        self.write(|tx| {
            let id = tx
                .prepare_cached(
                    "INSERT INTO spec (name, version, owner, at)
                     SELECT ?1, 1 + coalesce(max(version), 0), ?2, ?3 FROM spec WHERE name = ?1",
                )?
                .insert((name, owner, at))?;
            put(tx, "spec", id, lines)?;
            Ok(SpecId(id))
        })
    }

    /// Replaces the values of a version that no build refers to yet.
    ///
    /// # Errors
    /// Where a build refers to it, or a place is there twice.
    pub fn set_spec_lines(&self, id: SpecId, lines: &[Line]) -> Result<(), RecordsError> {
        self.write(|tx| replace(tx, "spec", id.0, lines))
    }

    /// All versions of all specs, by name, the last version first.
    ///
    /// # Errors
    /// Where the file cannot be read.
    pub fn specs(&self) -> Result<Vec<Spec>, RecordsError> {
        self.read(|connection| {
            let mut statement = connection.prepare_cached(
                "SELECT id, name, version, owner, at,
                        (SELECT count(*) FROM build WHERE build.spec = spec.id)
                 FROM spec ORDER BY name, version DESC",
            )?;
            Ok(statement.query_map([], spec)?.collect::<Result<_, _>>()?)
        })
    }

    /// The values of a version, in their order.
    ///
    /// # Errors
    /// Where the file cannot be read.
    pub fn spec_lines(&self, id: SpecId) -> Result<Vec<Line>, RecordsError> {
        self.read(|connection| lines(connection, "spec", id.0))
    }
}
