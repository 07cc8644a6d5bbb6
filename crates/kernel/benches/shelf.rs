//! The best set out of stock, parts planned by the real rules.

#![expect(clippy::unwrap_used, reason = "in a bench a panic is the report")]

#[path = "../tests/val_shelf_stock/numbers.rs"]
mod numbers;
#[path = "../tests/val_shelf_stock/real.rs"]
mod real;

use divan::{Bencher, black_box};
use kernel::shelf::{Place, Wanted, choose};
use real::{Like, Shop};

fn main() {
    divan::main();
}

fn build(places: usize) -> Wanted {
    Wanted { places: vec![Place { kind: 0, rotor: None, housing: None }; places], by_mass: true }
}

const SEEDS: [u64; 3] = [1, 2, 3];

/// Places, and what the parts are like.
fn one(bencher: Bencher<'_, '_>, places: usize, seed: u64, like: Like) {
    let shop = Shop::new(seed, 200, 200, like);
    let kinds = [shop.kind()];
    let builds = [build(places)];
    bencher.bench(|| {
        let choice = choose(&shop.stock(&kinds), black_box(&builds), &|_| true);
        assert!(choice.proven);
        choice
    });
}

#[divan::bench(args = SEEDS)]
fn two_of_200(bencher: Bencher<'_, '_>, seed: u64) {
    one(bencher, 2, seed, Like::USUAL);
}

#[divan::bench(args = SEEDS)]
fn three_of_200(bencher: Bencher<'_, '_>, seed: u64) {
    one(bencher, 3, seed, Like::USUAL);
}
