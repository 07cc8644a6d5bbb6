//! Which rows that came out are not what they were: each record with a hash of its own is held
//! against it. A page that is whole to the eye may have a letter changed.

use crate::canonical::Sha;
use crate::error::Fault;
use crate::words::WorkKind;
use crate::{
    attachments, findings, gauges, predictions, readings, sign_off, teardowns, tilt_tests, values,
    works,
};
use rusqlite::Connection;

/// Numbers of the rows of a table that do not fit their hash. A reading or a value whose
/// predecessor is lost cannot be held against it: its seal rests on that one.
pub(super) fn changed(connection: &Connection, table: &str) -> Result<Vec<i64>, Fault> {
    let mut changed = Vec::new();
    let mut note = |id: i64, same: bool| {
        if !same {
            changed.push(id);
        }
        Ok(())
    };
    // Each kind by itself; a row that cannot be taken for one of its kind ends the look at the rest.
    let looked = match table {
        "reading" => chained(connection, table, &mut note),
        "build_value" => chained(connection, table, &mut note),
        "sign_off" => sign_offs(connection, &mut note),
        "calibration" => {
            gauges::each(connection, |calibration, own, seal| note(calibration.id.0, own == seal))
        }
        "finding" => {
            findings::each(connection, |finding, seal| note(finding.id.0, finding.seal() == seal))
        }
        "prediction" => {
            predictions::each(connection, |kept, seal| note(kept.id.0, kept.seal() == seal))
        }
        // Marks and readings have the seal of what they belong to: one of them that is lost or
        // changed is told there.
        "teardown" => {
            teardowns::each(connection, |kept, seal| note(kept.id.0, kept.seal() == seal))
        }
        "tilt_test" => {
            tilt_tests::each(connection, |kept, seal| note(kept.id.0, kept.seal() == seal))
        }
        "attachment" => {
            attachments::each(connection, |attachment, same| note(attachment.id.0, same))
        }
        _ => match WorkKind::ALL.iter().find(|kind| works::table(**kind) == table) {
            Some(kind) => {
                works::each(connection, *kind, |work, seal| note(work.id.0, work.seal() == seal))
            }
            None => Ok(()),
        },
    };
    match looked {
        Ok(()) => {}
        // Its words are no words of this program: it was changed.
        Err(Fault::Sql(_)) => changed.extend(unreadable(connection, table)?),
        Err(told) => return Err(told),
    }
    changed.sort_unstable();
    changed.dedup();
    Ok(changed)
}

/// Readings or values, each with the seal of the one before it.
fn chained(
    connection: &Connection,
    table: &str,
    note: &mut impl FnMut(i64, bool) -> Result<(), Fault>,
) -> Result<(), Fault> {
    let (columns, width, of) = if table == "reading" {
        (readings::COLUMNS, readings::WIDTH, "reading r")
    } else {
        (values::COLUMNS, values::WIDTH, "build_value v")
    };
    let short = if table == "reading" { "r" } else { "v" };
    let mut statement =
        connection.prepare(&format!("SELECT {columns}, {short}.seal FROM {of} ORDER BY 1"))?;
    let mut rows = statement.query([])?;
    let mut last = (0, Sha::NONE);
    while let Some(row) = rows.next()? {
        let (id, seal): (i64, Sha) = (row.get(0)?, row.get(width)?);
        if id == last.0 + 1 {
            let own = if table == "reading" {
                readings::reading(row).map(|reading| reading.seal(last.1))
            } else {
                values::value(row).map(|value| value.seal(last.1))
            };
            note(id, own.is_ok_and(|own| own == seal))?;
        }
        last = (id, seal);
    }
    Ok(())
}

fn sign_offs(
    connection: &Connection,
    note: &mut impl FnMut(i64, bool) -> Result<(), Fault>,
) -> Result<(), Fault> {
    let mut statement =
        connection.prepare(&format!("SELECT {} FROM sign_off ORDER BY id", sign_off::COLUMNS))?;
    let mut rows = statement.query([])?;
    while let Some(row) = rows.next()? {
        let id: i64 = row.get(0)?;
        let sound = sign_off::sign_off(row).is_ok_and(|signed| {
            signed.own_hash() == signed.hash && signed.hashes.content() == signed.content_hash
        });
        note(id, sound)?;
    }
    Ok(())
}

/// Of a kind that stopped at a row that is none: rows that are none, found one by one, are those
/// without a sound moment. (Every such table has one.)
fn unreadable(connection: &Connection, table: &str) -> Result<Vec<i64>, Fault> {
    let column = if table == "calibration" { "day" } else { "at" };
    let mut statement = connection.prepare(&format!(
        "SELECT rowid FROM {table} WHERE {column} IS NOT NULL AND datetime({column}) IS NULL"
    ))?;
    Ok(statement.query_map([], |row| row.get(0))?.collect::<Result<_, _>>()?)
}
