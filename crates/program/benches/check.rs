//! How long a program takes, written and checked, on a map of 0.1 mm.
//!
//! `cargo bench -p program --bench check`

#![expect(clippy::unwrap_used, reason = "a bench that cannot run is to stop")]

#[path = "../tests/programs/sample.rs"]
mod sample;

use divan::Bencher;
use kernel::units::Length;
use program::{USUAL_GRID, check, program};
use sample::{lathe, mill, step, taper, titles};

fn main() {
    divan::main();
}

#[divan::bench(sample_count = 10)]
fn mill_step_with_its_check(bencher: Bencher<'_, '_>) {
    bencher.bench(|| program(&step(), &mill(), &titles(), USUAL_GRID).unwrap());
}

#[divan::bench(sample_count = 10)]
fn mill_taper_with_its_check(bencher: Bencher<'_, '_>) {
    bencher.bench(|| program(&taper(), &mill(), &titles(), USUAL_GRID).unwrap());
}

#[divan::bench(sample_count = 10)]
fn lathe_taper_with_its_check(bencher: Bencher<'_, '_>) {
    bencher.bench(|| program(&taper(), &lathe(), &titles(), USUAL_GRID).unwrap());
}

#[divan::bench(sample_count = 10)]
fn mill_step_checked_at_half_a_millimetre(bencher: Bencher<'_, '_>) {
    let text = program(&step(), &mill(), &titles(), USUAL_GRID).unwrap().text().to_owned();
    bencher.bench(|| check(&text, &step(), &mill(), Length::mm(0.5)).unwrap());
}
