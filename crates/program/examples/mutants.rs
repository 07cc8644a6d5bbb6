//! Many mutants of the sample programs, counted.
//!
//! `cargo run --release -p program --example mutants -- 10000`; a second number is another chance.
//!
//! Of 10,000 (2000 each of chances 11 to 15) 1950 were harm, and all of them were refused; of the
//! 8050 others 7685 passed. The 365 that were refused without harm are mostly rapid moves a
//! little lower than is asked.

#![expect(clippy::unwrap_used, clippy::panic, clippy::print_stdout, reason = "a count by hand")]

#[path = "../tests/programs/mutants.rs"]
mod mutants;
#[path = "../tests/programs/sample.rs"]
mod sample;
#[path = "../tests/programs/truth.rs"]
mod truth;

use mutants::{Chance, Count, Subject};
use std::time::Instant;

fn main() {
    let all: usize = std::env::args().nth(1).map_or(1000, |text| text.parse().unwrap());
    let seed: u64 = std::env::args().nth(2).map_or(7, |text| text.parse().unwrap());
    let started = Instant::now();
    let mut count = Count::default();
    let mut chance = Chance::new(seed);
    for (job, machine, share) in [
        (sample::step(), sample::mill(), 0.5),
        (sample::taper(), sample::mill(), 0.2),
        (sample::step(), sample::lathe(), 0.15),
        (sample::taper(), sample::lathe(), 0.15),
    ] {
        let mutants = (all as f64 * share).round() as usize;
        Subject::new(job, machine).tried(&mut chance, mutants, &mut count);
    }
    println!("{count:#?}");
    println!("{:.0} s for seed {seed}", started.elapsed().as_secs_f64());
}
