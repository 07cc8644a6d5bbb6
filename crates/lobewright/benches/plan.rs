//! How long a plan takes. Reports absolute times; tests never assert them. The same arithmetic in
//! NumPy and SciPy is timed by `reference/whole_plan/time_it.py`.
//!
//! `cargo bench -p lobewright`

#![expect(clippy::unwrap_used, reason = "a bench that cannot run is its own report")]

use divan::{Bencher, black_box};
use kernel::units::System;
use lobewright::build_file::read;
use lobewright::ops::{plan, plan_all};
use lobewright::wire::{PlanJson, Tilts};
use std::fs;

const SPRINT_BOAT: &str = include_str!("../../../examples/sprint-boat.toml");
const CORMORANT: &str = include_str!("../../../examples/cormorant-three.toml");
/// Builds in the folder that is planned in one call.
const FOLDER: usize = 1000;

fn main() {
    divan::main();
}

/// Reading the file of a two-rotor build.
#[divan::bench]
fn read_two_rotors(bencher: Bencher<'_, '_>) {
    bencher.bench(|| read(black_box(SPRINT_BOAT)));
}

/// One full plan of a two-rotor build: adjustment, plan, room in four states, seals, window, mass.
#[divan::bench]
fn plan_two_rotors(bencher: Bencher<'_, '_>) {
    let build = read(SPRINT_BOAT).unwrap();
    bencher.bench(|| plan(black_box(&build), System::Metric));
}

/// A three-rotor set without a plan: limits named, nearest spec searched.
#[divan::bench]
fn plan_three_rotors_without_a_plan(bencher: Bencher<'_, '_>) {
    let build = read(CORMORANT).unwrap();
    bencher.bench(|| plan(black_box(&build), System::Metric));
}

/// The report of a plan as JSON, tables of tilt included.
#[divan::bench]
fn json_of_two_rotors(bencher: Bencher<'_, '_>) {
    let report = plan(&read(SPRINT_BOAT).unwrap(), System::Metric).unwrap();
    bencher
        .bench(|| serde_json::to_string(&PlanJson::of(black_box(&report), Tilts::Tabled).unwrap()));
}

/// A thousand builds read, planned and reported in one call, on all cores.
#[divan::bench(sample_count = 5)]
fn plan_a_folder_of_1000(bencher: Bencher<'_, '_>) {
    let folder = tempfile::tempdir().unwrap();
    let files: Vec<_> = (0..FOLDER)
        .map(|n| {
            let path = folder.path().join(format!("build-{n:04}.toml"));
            let name = format!("Merganser, boat {n}");
            fs::write(&path, SPRINT_BOAT.replace("Merganser, boat 7", &name)).unwrap();
            path
        })
        .collect();
    bencher.bench(|| plan_all(black_box(&files), System::Metric, || ()));
}
