//! The version of the file, its steps, and what every connection is set to.

use crate::error::{Fault, RecordsError, told};
use crate::gauges;
use rusqlite::{Connection, ErrorCode, TransactionBehavior};
use rusqlite_migration::{M, Migrations};
use std::path::Path;
use std::thread::sleep;
use std::time::{Duration, Instant};

/// "Lobe" in ASCII: tells a shop's file from every other SQLite file.
pub(crate) const APPLICATION_ID: u32 = u32::from_be_bytes(*b"Lobe");

/// The version that this program writes.
pub const VERSION: u32 = 5;

/// One step per version. A step that was ever shipped is never changed.
fn steps() -> Migrations<'static> {
    Migrations::new(vec![
        M::up(include_str!("../schema/0001_shop.sql")),
        M::up_with_hook(include_str!("../schema/0002_calibrations.sql"), |transaction| {
            gauges::seal_all(transaction)?;
            Ok(())
        }),
        M::up(include_str!("../schema/0003_machine_tools.sql")),
        M::up(include_str!("../schema/0004_condition.sql")),
        M::up(include_str!("../schema/0005_teardowns.sql")),
    ])
}

/// How long one waits for another who writes: a transaction takes milliseconds, but a slow disk
/// may hold one up for seconds.
const PATIENCE: Duration = Duration::from_secs(5);
/// Between two times that one asks for what the database does not wait for.
const PAUSE: Duration = Duration::from_millis(10);

/// Pages in memory per connection: 32 MB hold the indices of a shop of twenty years.
const CACHE_KIB: i64 = 32 * 1024;

/// What holds for a connection and not for the file.
pub(crate) fn prepare(connection: &Connection) -> Result<(), rusqlite::Error> {
    connection.busy_timeout(PATIENCE)?;
    connection.pragma_update(None, "foreign_keys", true)?;
    // Else INSERT OR REPLACE would pass by the triggers that refuse deletion.
    connection.pragma_update(None, "recursive_triggers", true)?;
    // An acknowledged reading is on the disk, whatever happens to the power.
    connection.pragma_update(None, "synchronous", "FULL")?;
    connection.pragma_update(None, "cache_size", -CACHE_KIB)?;
    connection.pragma_update(None, "trusted_schema", false)?;
    connection.set_prepared_statement_cache_capacity(128);
    crate::folded::add_to(connection)
}

/// Readers need not wait for the writer, nor the writer for them.
pub(crate) fn write_ahead(connection: &Connection) -> Result<(), Fault> {
    // Of several who ask for it at once, of a file that does not have it yet, all but one are sent
    // away without waiting: each holds what the others need.
    let until = Instant::now() + PATIENCE;
    let mode: String = loop {
        match connection.pragma_update_and_check(None, "journal_mode", "WAL", |row| row.get(0)) {
            Err(error)
                if error.sqlite_error_code() == Some(ErrorCode::DatabaseBusy)
                    && Instant::now() < until =>
            {
                sleep(PAUSE);
            }
            other => break other?,
        }
    };
    if mode == "wal" {
        Ok(())
    } else {
        Err(Fault::refused(format!(
            "the file system does not take a write-ahead log (it offers {mode}); keep the shop's \
             file on a disk of this machine, not on a network"
        )))
    }
}

/// One file and nothing beside it: for copies.
pub(crate) fn write_in_place(connection: &Connection) -> Result<(), rusqlite::Error> {
    connection.pragma_update_and_check(None, "journal_mode", "DELETE", |row| {
        row.get::<_, String>(0).map(|_| ())
    })
}

/// The version of an open file.
pub(crate) fn version(connection: &Connection) -> Result<u32, rusqlite::Error> {
    connection.query_row("PRAGMA user_version", [], |row| row.get(0))
}

/// Brings an empty file to a version that there was.
pub(crate) fn up_to(connection: &mut Connection, version: u32) -> Result<(), Fault> {
    steps().to_version(connection, version as usize).map_err(|error| match error {
        rusqlite_migration::Error::RusqliteError { err, .. } => Fault::Sql(err),
        other => Fault::refused(other.to_string()),
    })
}

/// Brings a file to this program's version, in one transaction.
pub(crate) fn upgrade(connection: &mut Connection, file: &Path) -> Result<(), RecordsError> {
    // Two programs that upgrade one file take turns; the second finds it done.
    connection.set_transaction_behavior(TransactionBehavior::Immediate);
    match steps().to_latest(connection) {
        Ok(()) => Ok(()),
        // Another program may have done it in the meantime.
        Err(_) if version(connection).is_ok_and(|version| version == VERSION) => Ok(()),
        Err(rusqlite_migration::Error::RusqliteError { err, .. }) => Err(told(&err, file)),
        Err(error) => {
            Err(RecordsError::Database { file: file.to_owned(), what: error.to_string() })
        }
    }
}

/// Whether every page and every reference of a file is whole.
pub(crate) fn check(connection: &Connection, file: &Path) -> Result<(), Fault> {
    let damaged = |what: String| Fault::Told(RecordsError::Damaged { file: file.to_owned(), what });
    let first: String = connection.query_row("PRAGMA integrity_check(1)", [], |row| row.get(0))?;
    if first != "ok" {
        return Err(damaged(first));
    }
    let mut statement = connection.prepare("PRAGMA foreign_key_check")?;
    let mut rows = statement.query([])?;
    if let Some(row) = rows.next()? {
        let (table, line, other): (String, Option<i64>, String) =
            (row.get(0)?, row.get(1)?, row.get(2)?);
        let line = line.map_or_else(String::new, |line| format!(" {line}"));
        return Err(damaged(format!("{table}{line} refers to a {other} that is not there")));
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_steps_can_be_taken() {
        steps().validate().unwrap();
        let mut connection = Connection::open_in_memory().unwrap();
        steps().to_latest(&mut connection).unwrap();
        assert_eq!(version(&connection).unwrap(), VERSION);
    }
}
