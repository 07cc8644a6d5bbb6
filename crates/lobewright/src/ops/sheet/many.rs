//! Many readings at once, as CSV [RFC-4180]: what an export gave, or what a gauge typed into a
//! spreadsheet. All of them are kept, or none.

use super::due::settled;
use super::links::{Brought, link};
use super::stations::Station;
use super::taking::{Offered, TakingError, doubt, warmth};
use super::{Sheet, entered, sheet};
use crate::ops::gauges::gauge_for_reading;
use crate::ops::shop::ShopError;
use kernel::units::System;
use paper::table::plain;
use records::{
    BuildId, GaugeId, InRevision, Moment, NewReading, PartId, PersonId, ReadingId, RecordsError,
    Shop, When, Written,
};
use std::collections::HashSet;
use thiserror::Error;

/// Columns that every table of readings has.
const NEEDED: [&str; 3] = ["serial", "station", "value"];
/// As many problems as are listed.
const MOST_LISTED: usize = 40;

/// Readings that were kept.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TakenMany {
    /// How many; those that stood already are not among them.
    pub count: usize,
    /// What there is to mind of their gauges and temperatures.
    pub mind: Vec<String>,
}

/// Why no reading was kept.
#[derive(Debug, Error)]
pub enum ManyError {
    /// What is wrong with which line.
    #[error("{}", .0.join("\n"))]
    Lines(Vec<String>),
    /// What the shop's file says.
    #[error(transparent)]
    Shop(#[from] ShopError),
}

impl From<records::RecordsError> for ManyError {
    fn from(error: records::RecordsError) -> Self {
        Self::Shop(error.into())
    }
}

/// A line that can be kept.
struct Row {
    part: PartId,
    when: When,
    station: Station,
    value: Written,
    gauge: Option<GaugeId>,
    temperature: Option<Written>,
    expected: Option<ReadingId>,
}

/// Takes the readings of a table with at least the columns serial, station and value; part (the
/// kind), stage (before or after), gauge and temperature may be there too, and lines that an export
/// shows as superseded are left out. `sure`: what is doubted is kept all the same.
///
/// # Errors
/// Everything that is wrong with every line; nothing is kept then.
pub fn take_many(
    shop: &Shop,
    build: BuildId,
    csv: &str,
    sure: bool,
    (person, at): (PersonId, &Moment),
    first: System,
) -> Result<TakenMany, ManyError> {
    let before = entered(shop, build, &at.day(), first)?;
    let rows = rows(&before, csv, sure, (person, at))?;
    for gauge in rows.iter().filter_map(|row| row.gauge).collect::<HashSet<_>>() {
        gauge_for_reading(shop, gauge, &at.day()).map_err(|error| match error {
            RecordsError::Refused { why } => ManyError::Lines(vec![why]),
            other => other.into(),
        })?;
    }
    let of = InRevision { build, revision: before.build.revision };
    let new: Vec<NewReading<'_>> = rows
        .iter()
        .map(|row| NewReading {
            part: row.part,
            build: Some(of),
            when: row.when,
            station: &row.station.name,
            value: &row.value,
            gauge: row.gauge,
            person,
            at,
            temperature: row.temperature.as_ref(),
            expected: row.expected,
            sent_as: None,
            place: row.station.place.as_deref(),
        })
        .collect();
    shop.add_readings(&new)?;
    let (mut mind, mut linked) = (Vec::new(), HashSet::new());
    for row in &rows {
        // Once for all of a list that came with one gauge and one temperature.
        let warm = row.temperature.as_ref().map(|t| t.text().to_owned());
        let part = before.parts.iter().find(|part| part.fitted.part == row.part);
        let once = linked.insert((row.part, row.when, &row.station.list, row.gauge, warm));
        let Some(part) = part else { continue };
        // Each reading of a card names its own.
        let of_card = part.is_of_card(&row.station).then_some(row.station.name.as_str());
        if !once && of_card.is_none() {
            continue;
        }
        let brought = Brought {
            part: &part.fitted,
            when: row.when,
            list: &row.station.list,
            of_card,
            gauge: row.gauge,
            temperature: row.temperature.as_ref(),
        };
        mind.extend(link(shop, build, &brought, (person, at), first));
    }
    settled(shop, &sheet(shop, build, &at.day(), first)?)?;
    Ok(TakenMany { count: rows.len(), mind })
}

fn rows(
    sheet: &Sheet,
    csv: &str,
    sure: bool,
    by: (PersonId, &Moment),
) -> Result<Vec<Row>, ManyError> {
    let mut reader =
        csv::ReaderBuilder::new().trim(csv::Trim::All).flexible(false).from_reader(csv.as_bytes());
    let one = |what: String| ManyError::Lines(vec![what]);
    let heads = reader.headers().map_err(|error| one(format!("line 1: {error}")))?.clone();
    let column = |name: &str| heads.iter().position(|head| head.eq_ignore_ascii_case(name));
    if let Some(lacking) = NEEDED.iter().find(|name| column(name).is_none()) {
        return Err(one(format!(
            "the first line has no column {lacking:?}; it names the columns, at least serial, \
             station and value"
        )));
    }
    let (mut rows, mut wrong, mut known) = (Vec::new(), Vec::new(), HashSet::new());
    for record in reader.records() {
        let record = match record {
            Ok(record) => record,
            Err(error) => {
                wrong.push(error.to_string());
                break;
            }
        };
        let line = record.position().map_or(0, csv::Position::line);
        let cell = |name: &str| plain(column(name).and_then(|at| record.get(at)).unwrap_or(""));
        if !cell("superseded_by").is_empty() {
            continue;
        }
        match row(sheet, &cell, sure, by) {
            Ok(row) if !known.insert((row.part, row.when, row.station.name.clone())) => {
                wrong.push(format!(
                    "line {line}: {} of {} is there twice; keep one",
                    row.station.words,
                    cell("serial")
                ));
            }
            // One that stands as it is, is not taken again.
            Ok(row) if stands(sheet, &row) => {}
            Ok(row) => rows.push(row),
            Err(why) => wrong.push(format!("line {line}: {why}")),
        }
    }
    if wrong.is_empty() {
        return Ok(rows);
    }
    if wrong.len() > MOST_LISTED {
        let more = wrong.len() - MOST_LISTED;
        wrong.truncate(MOST_LISTED);
        wrong.push(format!("and {more} more"));
    }
    Err(ManyError::Lines(wrong))
}

fn stands(sheet: &Sheet, row: &Row) -> bool {
    sheet.reading(row.part, row.when, &row.station.name).is_some_and(|there| {
        there.value == row.value && there.gauge == row.gauge && there.temperature == row.temperature
    })
}

fn row<'c>(
    sheet: &Sheet,
    cell: &impl Fn(&str) -> &'c str,
    sure: bool,
    (person, at): (PersonId, &Moment),
) -> Result<Row, String> {
    let (serial, kind) = (cell("serial"), cell("part"));
    let mut parts = sheet.parts.iter().filter(|part| {
        part.fitted.serial == serial && (kind.is_empty() || part.fitted.kind.word() == kind)
    });
    let part = parts
        .next()
        .ok_or_else(|| format!("{kind} {serial} is not in this build").trim().to_owned())?;
    if parts.next().is_some() {
        return Err(format!(
            "two parts of this build have the serial {serial}; say the kind in a column \"part\""
        ));
    }
    let when = match cell("stage") {
        "" | "before" => When::Before,
        "after" => When::After,
        other => return Err(format!("the stage is {other:?}; expected before or after")),
    };
    let name = cell("station");
    let station = part
        .station(when, name)
        .ok_or_else(|| format!("{serial} has no station {name:?} {when} the cut"))?
        .clone();
    let value = station.asked.read(cell("value"))?;
    if let Some(how) = station.asked.broken_by(&value) {
        return Err(how);
    }
    let gauge = match cell("gauge") {
        "" => None,
        name => {
            let known = sheet.gauges.iter().find(|gauge| gauge.name == name);
            Some(known.ok_or_else(|| format!("the shop has no gauge {name:?}"))?.id)
        }
    };
    let temperature = match cell("temperature") {
        "" => None,
        text => Some(warmth(text)?),
    };
    let offered = Offered {
        build: sheet.build.id,
        revision: sheet.build.revision,
        part: part.fitted.part,
        when,
        station: name,
        text: cell("value"),
        unit: "",
        gauge,
        temperature: "",
        expected: None,
        sent_as: None,
        sure,
        person,
        at,
    };
    let there = sheet.reading(part.fitted.part, when, name);
    // What stands was asked back when it was taken.
    let sure = sure || there.is_some_and(|there| there.value == value);
    if let (false, Some(why)) = (sure, doubt(sheet, &offered, &station, &value, sheet.first)) {
        return Err(format!("{}: {why}", station.words));
    }
    let expected = there.map(|reading| reading.id);
    Ok(Row { part: part.fitted.part, when, station, value, gauge, temperature, expected })
}

impl From<TakingError> for ManyError {
    fn from(error: TakingError) -> Self {
        match error {
            TakingError::Shop(error) => Self::Shop(error),
            other => Self::Lines(vec![other.to_string()]),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::ops::import;
    use records::PartKind;

    const BOAT: &str = include_str!("../../../../../examples/sprint-boat.toml");

    #[test]
    fn readings_go_out_and_come_in_again_all_or_none() {
        let folder = tempfile::tempdir().unwrap();
        let shop = Shop::create(&folder.path().join("shop.db")).unwrap();
        let at = Moment::new("2026-11-28T09:30:00Z").unwrap();
        let build = import(&shop, BOAT, None, ("Ada", &at)).unwrap().build;
        let person = shop.people().unwrap()[0].id;
        let take = |csv: &str, sure| {
            take_many(&shop, build, csv, sure, (person, &at), System::Metric).map(|t| t.count)
        };
        // What stands is not taken again.
        let csv = shop.readings_csv(build).unwrap();
        assert_eq!(take(&csv, false).unwrap(), 0);
        let count = shop.readings_of(build).unwrap().len();
        // Another value of two stations; the rest of the table as it was.
        let other =
            csv.replace("79.922 mm", "79.923 mm").replace("gear_step.1,95 um", "gear_step.1,96 um");
        assert_eq!(take(&other, false).unwrap(), 2);
        assert_eq!(shop.readings_of(build).unwrap().len(), count + 2);
        // One line is wrong: none is kept, and every line that is wrong is named.
        let wrong = "serial,station,value\nR-114,land_width.1,79.90 mm\nR-114,land_width.9,79 mm\n\
                     R-1,mass,4 kg\nR-97,mass,4 mm\nR-97,land_width.1,81 mm\n";
        let Err(ManyError::Lines(lines)) = take(wrong, false) else { panic!("taken") };
        assert_eq!(lines.len(), 4, "{lines:?}");
        assert!(
            lines[0].starts_with("line 3: R-114 has no station") && lines[3].contains("line 6")
        );
        assert_eq!(shop.readings_of(build).unwrap().len(), count + 2);
        assert!(
            take("serial,value\nR-114,1 mm\n", false).unwrap_err().to_string().contains("station")
        );
        // Sure: what is doubted is kept.
        assert_eq!(take("serial,station,value\nR-97,land_width.1,81 mm\n", true).unwrap(), 1);
        let rotor = shop.part_of(PartKind::Rotor, "R-97").unwrap().unwrap().id;
        let last = shop.readings_at(rotor, Some(build), When::Before, "land_width.1").unwrap();
        assert_eq!(last.last().unwrap().value.text(), "81 mm");
        shop.audit().unwrap();
    }
}
