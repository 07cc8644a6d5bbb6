//! The best set out of stock, parts planned by the real rules. One rotor and one housing are two
//! parts: 200 is 200 of each, ten builds have 100 of each.

#![expect(clippy::unwrap_used, reason = "in a bench a panic is the report")]
#![expect(clippy::print_stderr, reason = "a gap is to be seen beside the times")]

#[path = "../tests/val_shelf_stock/numbers.rs"]
mod numbers;
#[path = "../tests/val_shelf_stock/real.rs"]
mod real;

use divan::{Bencher, black_box};
use kernel::shelf::{Place, Wanted, choose};
use real::{Like, Shop};
use std::time::{Duration, Instant};

fn main() {
    divan::main();
}

fn build(places: usize) -> Wanted {
    Wanted { places: vec![Place { kind: 0, rotor: None, housing: None }; places], by_mass: true }
}

const SEEDS: [u64; 3] = [1, 2, 3];
/// A long search is stopped, and its gap is what is told.
const LONGEST: Duration = Duration::from_mins(1);

fn nearly_equal() -> Like {
    Like {
        lands_mm: [79.850, 79.852],
        housings_mm: [80.000, 80.001],
        masses_g: [4300.0, 4300.2],
        uneven_mm: 0.0005,
        steps_mm: [0.110, 0.111],
        ..Like::USUAL
    }
}

fn far_masses() -> Like {
    Like { masses_g: [3000.0, 5000.0], ..Like::USUAL }
}

fn tight_match() -> Like {
    Like { matching_mm: 0.000_5, ..Like::USUAL }
}

fn choices(bencher: Bencher<'_, '_>, parts: usize, builds: &[Wanted], seed: u64, like: Like) {
    let shop = Shop::new(seed, parts, parts, like);
    let kinds = [shop.kind()];
    bencher.bench(|| {
        let begun = Instant::now();
        let stock = shop.stock(&kinds);
        let choice = choose(&stock, black_box(builds), &|_| begun.elapsed() < LONGEST);
        if !choice.proven {
            eprintln!("gap {:?} g of {:?}", choice.gap().unwrap().to_g(), choice.at_least.to_g());
        }
        choice
    });
}

#[divan::bench(args = SEEDS, sample_count = 21, sample_size = 1)]
fn two_of_200(bencher: Bencher<'_, '_>, seed: u64) {
    choices(bencher, 200, &[build(2)], seed, Like::USUAL);
}

#[divan::bench(args = SEEDS, sample_count = 9, sample_size = 1)]
fn three_of_200(bencher: Bencher<'_, '_>, seed: u64) {
    choices(bencher, 200, &[build(3)], seed, Like::USUAL);
}

#[divan::bench(args = [2, 3], sample_count = 5, sample_size = 1)]
fn nearly_equal_parts(bencher: Bencher<'_, '_>, places: usize) {
    choices(bencher, 200, &[build(places)], 1, nearly_equal());
}

#[divan::bench(args = [2, 3], sample_count = 5, sample_size = 1)]
fn masses_far_apart(bencher: Bencher<'_, '_>, places: usize) {
    choices(bencher, 200, &[build(places)], 1, far_masses());
}

#[divan::bench(args = [2, 3], sample_count = 5, sample_size = 1)]
fn match_is_tight(bencher: Bencher<'_, '_>, places: usize) {
    choices(bencher, 200, &[build(places)], 1, tight_match());
}

#[divan::bench(args = SEEDS, sample_count = 1, sample_size = 1)]
fn ten_builds(bencher: Bencher<'_, '_>, seed: u64) {
    choices(bencher, 100, &vec![build(2); 10], seed, Like::USUAL);
}
