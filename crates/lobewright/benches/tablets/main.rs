//! Twenty tablets enter readings while plans and sweeps run: how long an entry takes, and that
//! nothing is lost or doubled.
//!
//! The program serves a shop of some years in a process of its own. Each tablet goes round the
//! parts of a build of its own as a person does: a number every two to four seconds, now and then
//! one read again, now and then one sent twice. When a number is due is fixed beforehand and does
//! not wait for late answers: an entry takes from the moment it was due until its answer is there.
//! Meanwhile desks ask for what is heaviest, one after the other without pause, somebody in the
//! office turns pages, and a backup is made every minute. At the end the shop's file is held
//! against what was acknowledged.
//!
//! `cargo bench -p lobewright --bench tablets` runs for a minute; `TABLETS_SECONDS` says another
//! time, `TABLETS`, `TABLETS_DESKS`, `TABLETS_BUILDS`, `TABLETS_READINGS` and `TABLETS_SEED` the
//! rest, `TABLETS_PROGRAM` another program than this build's own.

#![expect(clippy::unwrap_used, clippy::panic, reason = "in a bench a panic is the report")]

mod chance;
mod figures;
mod line;
mod office;
mod proof;
mod served;
mod tablet;
mod years;

use figures::Figures;
use std::collections::BTreeMap;
use std::io::Write as _;
use std::sync::Mutex;
use std::thread;
use std::time::{Duration, Instant};

/// The most seconds of one run: it ends by itself.
const MOST_SECONDS: usize = 3600;
/// Time of the tablets to load their first pages before the first number is due.
const BEGIN: Duration = Duration::from_secs(3);
/// Until a run that is no measurement ends.
const SHORT: usize = 8;

/// What a run is told.
#[derive(Debug, Clone, Copy)]
struct Told {
    seconds: usize,
    tablets: usize,
    desks: usize,
    builds: usize,
    readings: usize,
    seed: u64,
}

fn number(variable: &str, default: usize) -> usize {
    std::env::var(variable).map_or(default, |number| number.parse().unwrap())
}

/// How long everything took, by what it was.
type Times = Mutex<BTreeMap<String, Vec<Duration>>>;

fn note(times: &Times, what: &str, took: Duration) {
    times.lock().unwrap().entry(what.to_owned()).or_default().push(took);
}

fn main() {
    // Run as a test it shows that it works; figures come from `cargo bench`.
    let measures = std::env::args().any(|argument| argument == "--bench");
    let told = Told {
        seconds: number("TABLETS_SECONDS", if measures { 60 } else { SHORT }).min(MOST_SECONDS),
        tablets: number("TABLETS", 20),
        desks: number("TABLETS_DESKS", 2),
        builds: number("TABLETS_BUILDS", 200),
        readings: number("TABLETS_READINGS", 80_000),
        seed: number("TABLETS_SEED", 1) as u64,
    };
    let mut out = std::io::stdout();
    let years = years::Years::new(&told);
    writeln!(
        out,
        "{} builds with {} readings, {} bytes; machine: {}",
        told.builds,
        years.readings,
        std::fs::metadata(&years.file).unwrap().len(),
        served::load()
    )
    .unwrap();
    let server = served::Server::start(&years.file);
    let times = Times::default();
    let begun = Instant::now();
    let first = begun + BEGIN;
    let end = first + Duration::from_secs(told.seconds as u64);
    let kept: Vec<tablet::Kept> = thread::scope(|scope| {
        let (years, times, server) = (&years, &times, &server);
        let tablets: Vec<_> = (0..told.tablets)
            .map(|n| scope.spawn(move || tablet::run(years, server, times, n, (first, end))))
            .collect();
        for desk in 0..told.desks {
            scope.spawn(move || office::desk(years, server, times, desk, (begun, end)));
        }
        scope.spawn(move || office::pages(years, server, times, (first, end)));
        scope.spawn(move || office::backups(years, server, times, (first, end)));
        tablets.into_iter().flat_map(|tablet| tablet.join().unwrap()).collect()
    });
    let ran = begun.elapsed();
    let used = server.cpu();
    server.stop();
    writeln!(
        out,
        "{:.0} s with {} tablets and {} desks; machine: {}",
        ran.as_secs_f64(),
        told.tablets,
        told.desks,
        served::load()
    )
    .unwrap();
    if let Some(used) = used {
        let share = used.as_secs_f64() / ran.as_secs_f64();
        writeln!(out, "the server used {:.1} s of processor, {share:.2} cores", used.as_secs_f64())
            .unwrap();
    }
    writeln!(out, "\n{}", Figures::heading()).unwrap();
    let times = times.into_inner().unwrap();
    for (what, all) in &times {
        writeln!(out, "{}", Figures::of(what, all)).unwrap();
    }
    proof::proven(&years, &kept, &mut out);
}
