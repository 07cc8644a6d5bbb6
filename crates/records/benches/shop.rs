//! A shop of many years: what a page asks of it, and one reading entered.
//!
//! By default 500 builds with 200,000 readings, made once in a folder for temporary files. The
//! twenty years that it is designed for:
//! `RECORDS_BUILDS=5000 RECORDS_READINGS=2000000 cargo bench -p records`.

#![expect(clippy::unwrap_used, reason = "in a bench a panic is the report")]

use divan::{Bencher, black_box};
use kernel::units::Length;
use records::{
    BuildId, BuildSearch, Day, Due, Entry, Fit, GearFace, Head, InRevision, Moment, NewCalibration,
    NewLine, NewReading, NewSignOff, PartId, PartKind, PartSearch, PersonId, Shop, Stage, Store,
    When, Written,
};
use std::sync::OnceLock;
use std::sync::atomic::{AtomicU64, Ordering};
use tempfile::TempDir;

/// Readings that one transaction keeps while the shop is made.
const TOGETHER: usize = 2000;
/// Values of a build's file.
const VALUES: usize = 60;
/// Of six builds, one is still open.
const OPEN_EVERY: usize = 6;

fn main() {
    shop();
    divan::main();
    // What is static is never dropped.
    if let Some(years) = SHOP.get() {
        std::fs::remove_dir_all(years.folder.path()).unwrap();
    }
}

struct Years {
    folder: TempDir,
    shop: Shop,
    builds: usize,
}

static SHOP: OnceLock<Years> = OnceLock::new();
/// No station is entered twice.
static ENTERED: AtomicU64 = AtomicU64::new(0);

fn number(variable: &str, default: usize) -> usize {
    std::env::var(variable).map_or(default, |number| number.parse().unwrap())
}

fn moment() -> Moment {
    Moment::new("2026-11-28T09:30:00Z").unwrap()
}

fn shop() -> &'static Years {
    SHOP.get_or_init(|| {
        let (builds, readings) =
            (number("RECORDS_BUILDS", 500), number("RECORDS_READINGS", 200_000));
        let folder = TempDir::new().unwrap();
        let shop = Shop::create(&folder.path().join("shop.db")).unwrap();
        let person = shop.add_person("Ada", "builder").unwrap();
        for n in 0..20 {
            let length = |text| Written::read::<Length>(text).unwrap();
            let first = NewCalibration {
                day: None,
                due: Some(Day::new(&format!("2026-{:02}-01", n % 12 + 1)).unwrap()),
                repeat: length("2 um"),
                zero: None,
                certificate: String::new(),
                person: None,
            };
            shop.add_gauge(&format!("M-{n}"), "micrometer", &first).unwrap();
        }
        for n in 0..builds {
            build(&shop, person, (n, readings / builds));
        }
        Years { folder, shop, builds }
    })
}

/// A build with two rotors, their readings and a file, signed unless it is one of the open ones.
fn build(shop: &Shop, person: PersonId, (n, readings): (usize, usize)) {
    let at = &moment();
    let customer = shop.add_customer(&format!("Customer {}", n % 300), "", "").unwrap();
    let head =
        Head { name: format!("Boat {n}"), customer: Some(customer), engine: None, spec: None };
    let due = Due {
        stage: Stage::Inspection,
        next: "readings".to_owned(),
        by: Some(Day::new(&format!("2026-12-{:02}", n % 28 + 1)).unwrap()),
        holder: Some(person),
    };
    let build = shop.add_build(&head, None, &due, (person, at)).unwrap();
    let of = InRevision { build, revision: 1 };
    let rotors = [1, 2].map(|position| {
        let serial = format!("R-{}", n * 2 + position as usize);
        let part = shop.add_part(PartKind::Rotor, &serial, (person, at)).unwrap();
        let gear_face = Some(GearFace::Rear);
        shop.fit(&Fit { of, part, position, gear_face, person, at }).unwrap();
        part
    });
    let lines: Vec<NewLine> = (0..VALUES)
        .map(|v| NewLine {
            place: format!("engine.value_{v}"),
            entry: Entry::Text("\"61 mm\"".to_owned()),
        })
        .collect();
    let seen = shop.seen(build).unwrap();
    shop.store(&Store { build, seen, person, at, lines: &lines }).unwrap();
    let value = Written::read::<Length>("79.915 mm").unwrap();
    let stations: Vec<String> = (0..readings.div_ceil(2)).map(|r| format!("station.{r}")).collect();
    let new: Vec<NewReading<'_>> = stations
        .iter()
        .flat_map(|station| rotors.map(|part| reading((part, of), station, &value, (person, at))))
        .take(readings)
        .collect();
    for together in new.chunks(TOGETHER) {
        shop.add_readings(together).unwrap();
    }
    if n % OPEN_EVERY != 0 {
        let seen = shop.seen(build).unwrap();
        shop.sign(&NewSignOff { build, seen, person, at, meaning: "built" }).unwrap();
    }
}

fn reading<'a>(
    (part, of): (PartId, InRevision),
    station: &'a str,
    value: &'a Written,
    (person, at): (PersonId, &'a Moment),
) -> NewReading<'a> {
    NewReading {
        part,
        build: Some(of),
        when: When::Before,
        station,
        value,
        gauge: None,
        person,
        at,
        temperature: None,
        expected: None,
        sent_as: None,
        place: None,
    }
}

/// The first page of the list of builds.
#[divan::bench]
fn list_of_builds(bencher: Bencher<'_, '_>) {
    let search = BuildSearch { most: 50, ..BuildSearch::default() };
    bencher.bench(|| shop().shop.builds(black_box(&search)).unwrap());
}

/// A search for builds that looks into every name.
#[divan::bench]
fn search_for_builds(bencher: Bencher<'_, '_>) {
    let search = BuildSearch { text: "BOAT 49", most: 50, ..BuildSearch::default() };
    bencher.bench(|| shop().shop.builds(black_box(&search)).unwrap());
}

/// Parts by a prefix, each with its last readings.
#[divan::bench]
fn search_for_parts(bencher: Bencher<'_, '_>) {
    let search = PartSearch { serial: "r-4", most: 50, last_readings: 6, ..PartSearch::default() };
    let found = shop().shop.parts(&search).unwrap();
    assert_eq!(found.len(), 50);
    bencher.bench(|| shop().shop.parts(black_box(&search)).unwrap());
}

/// Everything about one part.
#[divan::bench]
fn history_of_a_part(bencher: Bencher<'_, '_>) {
    bencher.bench(|| shop().shop.part_history(black_box(PartId(41))).unwrap());
}

/// All readings of a build in the middle of the file.
#[divan::bench]
fn readings_of_a_build(bencher: Bencher<'_, '_>) {
    let build = BuildId(shop().builds as i64 / 2);
    bencher.bench(|| shop().shop.readings_of(black_box(build)).unwrap());
}

/// The lines of a build's file.
#[divan::bench]
fn file_of_a_build(bencher: Bencher<'_, '_>) {
    let build = BuildId(shop().builds as i64 / 2);
    bencher.bench(|| shop().shop.values(black_box(build)).unwrap());
}

/// Gauges whose calibration is overdue.
#[divan::bench]
fn gauges_overdue(bencher: Bencher<'_, '_>) {
    let on = moment().day();
    bencher.bench(|| shop().shop.gauges_overdue(black_box(&on)).unwrap());
}

/// One reading, acknowledged: it is on the disk.
#[divan::bench]
fn one_reading_entered(bencher: Bencher<'_, '_>) {
    let shop = &shop().shop;
    let (value, at) = (Written::read::<Length>("79.915 mm").unwrap(), moment());
    let of = InRevision { build: BuildId(1), revision: 1 };
    bencher.bench(|| {
        let station = format!("entered.{}", ENTERED.fetch_add(1, Ordering::Relaxed));
        shop.add_reading(&reading((PartId(1), of), &station, &value, (PersonId(1), &at))).unwrap()
    });
}

/// The whole audit.
#[divan::bench(sample_count = 3, sample_size = 1)]
fn audit(bencher: Bencher<'_, '_>) {
    bencher.bench(|| shop().shop.audit().unwrap());
}

/// A backup of the whole file.
#[divan::bench(sample_count = 3, sample_size = 1)]
fn backup(bencher: Bencher<'_, '_>) {
    let to = shop().folder.path().join("backup.db");
    bencher
        .with_inputs(|| {
            let _ = std::fs::remove_file(&to);
        })
        .bench_values(|()| shop().shop.backup(&to).unwrap());
}
