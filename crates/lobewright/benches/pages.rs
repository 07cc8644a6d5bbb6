//! Pages of a shop of many years, asked through the router as a browser asks them.
//!
//! By default 200 builds with 80,000 readings, made once in a folder for temporary files. The
//! twenty years that it is designed for:
//! `PAGES_BUILDS=5000 PAGES_READINGS=2000000 cargo bench -p lobewright --bench pages`.

#![expect(clippy::unwrap_used, reason = "in a bench a panic is the report")]

use axum::Router;
use axum::body::{Body, to_bytes};
use axum::http::Request;
use axum::http::header::{COOKIE, HOST};
use divan::{Bencher, black_box};
use kernel::units::Length;
use lobewright::ops::import;
use lobewright::web::{App, router};
use records::{
    BuildId, InRevision, Moment, NewReading, NewSignOff, PartKind, PersonId, Session, Sha, Shop,
    When, Written,
};
use std::sync::atomic::{AtomicU64, Ordering};
use std::sync::{Arc, OnceLock};
use tempfile::TempDir;
use tokio::runtime::Runtime;
use tower::ServiceExt;

const BOAT: &str = include_str!("../../../examples/sprint-boat.toml");
const PORT: u16 = 49_731;
const TOKEN: &str = "of a bench";
/// Readings that one transaction keeps while the shop is made.
const TOGETHER: usize = 2000;
/// Of six builds, one is still open.
const OPEN_EVERY: usize = 6;

fn main() {
    years();
    divan::main();
    // What is static is never dropped.
    if let Some(years) = YEARS.get() {
        std::fs::remove_dir_all(years.folder.path()).unwrap();
    }
}

struct Years {
    folder: TempDir,
    router: Router,
    runtime: Runtime,
    builds: usize,
}

static YEARS: OnceLock<Years> = OnceLock::new();
/// What was asked before is not asked again where that matters.
static ASKED: AtomicU64 = AtomicU64::new(0);

fn number(variable: &str, default: usize) -> usize {
    std::env::var(variable).map_or(default, |number| number.parse().unwrap())
}

fn moment() -> Moment {
    Moment::new("2026-11-28T09:30:00Z").unwrap()
}

fn years() -> &'static Years {
    YEARS.get_or_init(|| {
        let builds = number("PAGES_BUILDS", 200);
        let readings = number("PAGES_READINGS", 80_000) / builds;
        let folder = TempDir::new().unwrap();
        let shop = Shop::create(&folder.path().join("shop.db")).unwrap();
        let owner = shop.add_person("Ada Quill", "owner").unwrap();
        let session =
            Session { person: owner, until: Moment::new("2027-01-01T00:00:00Z").unwrap() };
        shop.open_session(Sha::of(TOKEN.as_bytes()), &session, &moment()).unwrap();
        shop.set_setting("begun", "2026-01-01T00:00:00Z").unwrap();
        for n in 0..300 {
            shop.add_customer(&format!("Customer {n}"), "", "").unwrap();
        }
        for n in 0..builds {
            build(&shop, owner, n, readings);
        }
        let app = Arc::new(App::new(shop, moment));
        let runtime = tokio::runtime::Builder::new_multi_thread()
            .worker_threads(2)
            .enable_time()
            .build()
            .unwrap();
        Years { folder, router: router(app, PORT), runtime, builds }
    })
}

/// The sprint boat again, of other parts, with so many readings.
fn build(shop: &Shop, owner: PersonId, n: usize, readings: usize) {
    let mut text = BOAT.replace("Merganser, boat 7", &format!("Merganser, boat {n}"));
    for serial in ["R-114", "R-97", "H-31", "H-32"] {
        text = text.replace(serial, &format!("{serial}-{n}"));
    }
    let at = &moment();
    let build = import(shop, &text, None, ("Ada Quill", at)).unwrap().build;
    let of = InRevision { build, revision: 1 };
    let part = shop.part_of(PartKind::RotorHousing, &format!("H-31-{n}")).unwrap().unwrap().id;
    let value = Written::read::<Length>("80.010 mm").unwrap();
    let have = shop.readings_of(build).unwrap().len();
    let stations: Vec<String> = (have..readings).map(|r| format!("bore.{r}")).collect();
    let new: Vec<NewReading<'_>> = stations
        .iter()
        .map(|station| NewReading {
            part,
            build: Some(of),
            when: When::Before,
            station,
            value: &value,
            gauge: None,
            person: owner,
            at,
            temperature: None,
            expected: None,
            sent_as: None,
            place: None,
        })
        .collect();
    for together in new.chunks(TOGETHER) {
        shop.add_readings(together).unwrap();
    }
    if !n.is_multiple_of(OPEN_EVERY) {
        let seen = shop.seen(build).unwrap();
        let sign = NewSignOff { build, seen, person: owner, at, meaning: "built" };
        shop.sign(&sign).unwrap();
    }
}

/// One page; its size, so that none is empty.
fn page(path: &str) -> usize {
    let years = years();
    let request = Request::get(path)
        .header(HOST, format!("127.0.0.1:{PORT}"))
        .header(COOKIE, format!("lobewright={TOKEN}"))
        .body(Body::empty())
        .unwrap();
    years.runtime.block_on(async {
        let answer = years.router.clone().oneshot(request).await.unwrap();
        assert!(answer.status().is_success(), "{path}: {}", answer.status());
        to_bytes(answer.into_body(), usize::MAX).await.unwrap().len()
    })
}

/// The last build that is open.
fn open() -> BuildId {
    let last = (years().builds - 1) / OPEN_EVERY * OPEN_EVERY;
    BuildId(last as i64 + 1)
}

#[divan::bench(args = [
    "/builds", "/builds?from=150", "/builds?which=signed", "/shelf", "/shelf?all=yes", "/specs", "/engines", "/gauges",
    "/customers", "/people", "/guide", "/guide/2", "/builds/new", "/shop",
])]
fn pages(bencher: Bencher<'_, '_>, path: &str) {
    bencher.bench(|| page(black_box(path)));
}

#[divan::bench(args = ["Merganser, boat 17", "Customer", "R-114-1", "nothing of that name"])]
fn search(bencher: Bencher<'_, '_>, text: &str) {
    let path = format!("/builds?find={}", text.replace(' ', "+").replace(',', "%2C"));
    bencher.bench(|| page(black_box(&path)));
}

#[divan::bench(args = ["open", "signed"])]
fn sheet(bencher: Bencher<'_, '_>, which: &str) {
    let build = if which == "open" { open() } else { BuildId(2) };
    let path = format!("/builds/{build}");
    bencher.bench(|| page(black_box(&path)));
}

#[divan::bench(args = ["readings/1/before", "values/balance", "values/spec", "build.toml", "readings.csv"])]
fn below_a_sheet(bencher: Bencher<'_, '_>, below: &str) {
    let path = format!("/builds/1/{below}");
    bencher.bench(|| page(black_box(&path)));
}

#[divan::bench]
fn a_part(bencher: Bencher<'_, '_>) {
    bencher.bench(|| page(black_box("/shelf/3")));
}

/// The redraw of the duty point while a figure is dragged: another speed each time. The first one of
/// an engine builds the oil films of its bearings.
#[divan::bench]
fn what_if(bencher: Bencher<'_, '_>) {
    page("/builds/1/what-if/answer");
    bencher.bench(|| {
        let speed = 8000 + ASKED.fetch_add(1, Ordering::Relaxed) % 3000;
        page(&format!("/builds/1/what-if/answer?speed={speed}&boost=0.9&clearance=220&step=127"))
    });
}

#[divan::bench(sample_count = 20)]
fn sweep(bencher: Bencher<'_, '_>) {
    page("/builds/1/what-if/answer");
    bencher.bench(|| page(black_box("/builds/1/what-if/sweep?speed=9000")));
}
