//! Lines of a build's file out of a file from which rows are lost: those that stand, and those of
//! which the last word is lost.

use crate::error::RecordsError;
use crate::ids::BuildId;
use crate::shop::Shop;
use crate::values::{FileLine, quoted};

/// What came out of a build's file.
#[derive(Debug, Clone, PartialEq)]
pub struct LinesOut {
    /// Lines that stand, in their order.
    pub lines: Vec<FileLine>,
    /// Of places whose last word is lost: which, and what stood there before.
    pub lost: Vec<String>,
}

impl Shop {
    /// Lines of a build's file, also where what they show is lost. A line of which no row came out
    /// is not known of.
    ///
    /// # Errors
    /// Where the file cannot be read.
    pub fn lines_out(&self, build: BuildId) -> Result<LinesOut, RecordsError> {
        self.read(|connection| {
            let mut out = LinesOut { lines: Vec::new(), lost: Vec::new() };
            let mut statement = connection.prepare(
                "SELECT v.place, v.value, v.id,
                        (SELECT max(r.id) FROM reading r WHERE r.part = v.part AND r.build = v.build
                         AND r.stage = v.stage AND r.station = v.station) last
                 FROM build_value v
                 WHERE v.build = ?1 AND v.superseded_by IS NULL
                   AND (v.value IS NOT NULL OR v.part IS NOT NULL)
                 ORDER BY v.rank, v.id",
            )?;
            let mut rows = statement.query([build])?;
            while let Some(row) = rows.next()? {
                let place: String = row.get(0)?;
                let (text, last): (Option<String>, Option<i64>) = (row.get(1)?, row.get(3)?);
                let id = row.get(2)?;
                if let Some(value) = text {
                    out.lines.push(FileLine { place, value, id, reading: None });
                    continue;
                }
                let Some(last) = last else {
                    out.lost.push(format!("{place}: its reading is lost"));
                    continue;
                };
                let (value, later): (String, Option<i64>) = connection
                    .prepare_cached("SELECT value, superseded_by FROM reading WHERE id = ?1")?
                    .query_row([last], |row| Ok((row.get(0)?, row.get(1)?)))?;
                match later {
                    None => {
                        let (value, reading) = (quoted(&value), Some(crate::ReadingId(last)));
                        out.lines.push(FileLine { place, value, id, reading });
                    }
                    Some(later) => out
                        .lost
                        .push(format!("{place}: reading {later} is lost; before it stood {value}")),
                }
            }
            let mut statement = connection.prepare(
                "SELECT place, coalesce(value, 'a reading'), superseded_by FROM build_value
                 WHERE build = ?1 AND superseded_by NOT IN (SELECT id FROM build_value)
                 ORDER BY rank, id",
            )?;
            let mut rows = statement.query([build])?;
            while let Some(row) = rows.next()? {
                let (place, value, later): (String, String, i64) =
                    (row.get(0)?, row.get(1)?, row.get(2)?);
                out.lost.push(format!("{place}: value {later} is lost; before it stood {value}"));
            }
            Ok(out)
        })
    }
}
