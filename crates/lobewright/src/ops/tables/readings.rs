//! Readings as a table: as they were written, and as numbers beside it.

use super::TablesError;
use crate::build_file::Build;
use crate::build_file::places::Placed;
use crate::ops::sheet::Sheet;
use crate::ops::shelf::station_in_words;
use crate::ops::shop::{lines, parts};
use kernel::units::{Force, Length, Mass};
use paper::table::{Cell, Column, Table};
use records::{BuildId, Entry, GaugeId, PartId, PartKind, PersonId, Reading, Shop, When, Written};
use std::collections::{BTreeMap, HashMap, HashSet};

/// Where a reading belongs, what was read, and with what. `serial`, `station`, `value`, `part`,
/// `stage`, `gauge` and `temperature` are what `import` takes back.
const TAKEN: [Column; 13] = [
    Column::text("part"),
    Column::text("serial"),
    Column::text("stage"),
    Column::text("station"),
    Column::text("called"),
    Column::text("value"),
    Column::mm("value_mm"),
    Column::inch("value_in"),
    Column::g("value_g"),
    Column::newton("value_n"),
    Column::text("gauge"),
    Column::text("temperature"),
    Column::deg_c("temperature_deg_c"),
];

/// What the shop's file knows of it besides.
const KEPT: [Column; 8] = [
    Column::whole("reading"),
    Column::text("person"),
    Column::moment("at_utc"),
    Column::whole("build"),
    Column::text("build_name"),
    Column::whole("revision"),
    Column::whole("supersedes"),
    Column::whole("superseded_by"),
];

/// What was read.
struct Taken<'a> {
    kind: PartKind,
    serial: &'a str,
    when: When,
    station: &'a str,
    value: &'a Written,
    gauge: &'a str,
    temperature: Option<&'a Written>,
}

impl Taken<'_> {
    fn cells(&self) -> Vec<Cell> {
        let length = self.value.value::<Length>();
        vec![
            Cell::text(self.kind.word()),
            Cell::text(self.serial),
            Cell::text(self.when.word()),
            Cell::text(self.station),
            Cell::text(station_in_words(self.kind, self.station)),
            Cell::text(self.value.text()),
            Cell::number(length.map(Length::to_mm)),
            Cell::number(length.map(Length::to_inch)),
            Cell::number(self.value.value::<Mass>().map(Mass::to_g)),
            Cell::number(self.value.value::<Force>().map(Force::to_n)),
            Cell::text(self.gauge),
            Cell::text(self.temperature.map_or("", Written::text)),
            // A temperature's own unit is the degree Celsius.
            Cell::number(self.temperature.map(Written::si)),
        ]
    }
}

/// The readings of a build file, in its order.
pub(super) fn of_file(values: &[Placed], build: &Build) -> Result<Table, TablesError> {
    let parts = parts(build);
    // Parts and gauges have no numbers in a file: here they are counted.
    let ids: Vec<PartId> = (0..).map(PartId).take(parts.len()).collect();
    let names: Vec<&str> = build.gauges.keys().map(String::as_str).collect();
    let gauges: HashMap<String, GaugeId> =
        names.iter().map(|name| (*name).to_owned()).zip((0..).map(GaugeId)).collect();
    let mut table = Table::new("readings", &TAKEN);
    for line in lines(values, (build, &gauges), &ids) {
        let Entry::Reading { part, when, station, value, gauge, temperature } = line.entry else {
            continue;
        };
        let Some((_, part)) = ids.iter().zip(&parts).find(|(id, _)| **id == part) else { continue };
        let gauge = gauge.and_then(|id| names.get(usize::try_from(id.0).ok()?));
        let taken = Taken {
            kind: part.kind,
            serial: part.serial,
            when,
            station: &station,
            value: &value,
            gauge: gauge.copied().unwrap_or(""),
            temperature: temperature.as_ref(),
        };
        table.push(taken.cells())?;
    }
    Ok(table)
}

/// Names of people, gauges and builds.
struct Names {
    people: HashMap<PersonId, String>,
    gauges: HashMap<GaugeId, String>,
    builds: BTreeMap<i64, String>,
}

impl Names {
    fn of(shop: &Shop) -> Result<Self, TablesError> {
        let people = shop.people()?.into_iter().map(|person| (person.id, person.name));
        let gauges = shop.gauges()?.into_iter().map(|gauge| (gauge.id, gauge.name));
        Ok(Self { people: people.collect(), gauges: gauges.collect(), builds: BTreeMap::new() })
    }

    fn build(&mut self, shop: &Shop, id: BuildId) -> Result<String, TablesError> {
        if let Some(name) = self.builds.get(&id.0) {
            return Ok(name.clone());
        }
        let name = shop.build(id)?.head.name;
        self.builds.insert(id.0, name.clone());
        Ok(name)
    }

    fn row(
        &mut self,
        shop: &Shop,
        (kind, serial): (PartKind, &str),
        reading: &Reading,
    ) -> Result<Vec<Cell>, TablesError> {
        let build = reading.build.map(|id| self.build(shop, id)).transpose()?;
        let gauge = reading.gauge.and_then(|id| self.gauges.get(&id));
        let taken = Taken {
            kind,
            serial,
            when: reading.when,
            station: &reading.station,
            value: &reading.value,
            gauge: gauge.map_or("", String::as_str),
            temperature: reading.temperature.as_ref(),
        };
        let mut cells = taken.cells();
        cells.extend([
            Cell::Whole(reading.id.0),
            Cell::text(self.people.get(&reading.person).map_or("", String::as_str)),
            Cell::Moment(reading.at.to_string()),
            Cell::whole(reading.build.map(|id| id.0)),
            Cell::text(build.unwrap_or_default()),
            Cell::whole(reading.revision),
            Cell::whole(reading.supersedes.map(|id| id.0)),
            Cell::whole(reading.superseded_by.map(|id| id.0)),
        ]);
        Ok(cells)
    }
}

fn kept(name: &'static str) -> Table {
    Table::new(name, &[TAKEN.as_slice(), KEPT.as_slice()].concat())
}

/// The readings of a build that stand, in the order they were taken.
pub(super) fn of_build(shop: &Shop, sheet: &Sheet) -> Result<Table, TablesError> {
    let mut names = Names::of(shop)?;
    let mut table = kept("readings");
    for reading in sheet.readings.iter().filter(|reading| reading.superseded_by.is_none()) {
        let part = sheet
            .parts
            .iter()
            .map(|part| &part.fitted)
            .chain(&sheet.left)
            .find(|fitted| fitted.part == reading.part);
        // Of a part that was never in the build there are no readings for it.
        let Some(part) = part else { continue };
        table.push(names.row(shop, (part.kind, &part.serial), reading)?)?;
    }
    Ok(table)
}

/// Every reading of the parts that are in a build or were: part by part, over all their builds.
pub(super) fn history_of_build(shop: &Shop, sheet: &Sheet) -> Result<Table, TablesError> {
    let mut seen = HashSet::new();
    let parts: Vec<PartId> = sheet
        .parts
        .iter()
        .map(|part| part.fitted.part)
        .chain(sheet.left.iter().map(|fitted| fitted.part))
        .filter(|part| seen.insert(*part))
        .collect();
    history(shop, &parts)
}

/// Every reading of some parts, superseded ones among them.
pub(super) fn history(shop: &Shop, parts: &[PartId]) -> Result<Table, TablesError> {
    let mut names = Names::of(shop)?;
    let mut table = kept("history");
    for part in parts {
        let history = shop.part_history(*part)?;
        for reading in &history.readings {
            table.push(names.row(shop, (history.part.kind, &history.part.serial), reading)?)?;
        }
    }
    Ok(table)
}
