//! What an operating point costs, its parts, and how it grows with rotors, sections and speeds.
//!
//! A draw of the chance is a motion without walls and with them, so `poses` is what counts there.

#![expect(clippy::unwrap_used, reason = "in a bench a panic is the report")]

#[path = "../tests/sample_engine/known.rs"]
mod known;
#[path = "../tests/sample_engine/mod.rs"]
mod sample_engine;

use divan::{Bencher, black_box};
use kernel::speed::chance::Sampling;
use kernel::speed::engine::{CycleKind, Engine, Running, Scales};
use kernel::units::{Length, Speed};
use known::uncertainty;

const RUNNING: Running = Running { omega_rad_s: 1000.0, boost_pa: 90e3 };
/// Speeds of a sweep, r/min.
const SWEEP_RPM: [f64; 2] = [4000.0, 10_000.0];
const SPEEDS: usize = 40;

fn main() {
    divan::main();
}

fn engine(rotors: usize, clearance_um: f64) -> Engine {
    let model = sample_engine::engine(rotors, Length::um(clearance_um), Length::um(127.0));
    Engine::new(model).unwrap()
}

fn speeds(count: usize) -> Vec<Running> {
    let [from, to] = SWEEP_RPM;
    (0..count)
        .map(|k| {
            let rpm = from + (to - from) * k as f64 / (count - 1) as f64;
            Running { omega_rad_s: Speed::rpm(rpm).to_rad_per_s(), ..RUNNING }
        })
        .collect()
}

/// Clearance per side, µm: with 400 nothing touches.
#[divan::bench(args = [400.0, 110.0, 60.0])]
fn point_two_rotors(bencher: Bencher<'_, '_>, clearance_um: f64) {
    let engine = engine(2, clearance_um);
    assert_eq!(engine.point(RUNNING).unwrap().poses.held.is_some(), clearance_um < 200.0);
    bencher.bench(|| engine.point(black_box(RUNNING)).unwrap());
}

#[divan::bench]
fn part_gas(bencher: Bencher<'_, '_>) {
    let engine = engine(2, 110.0);
    bencher.bench(|| engine.cycles(black_box(RUNNING)).unwrap());
}

#[divan::bench]
fn part_loads(bencher: Bencher<'_, '_>) {
    let engine = engine(2, 110.0);
    let cycles = engine.cycles(RUNNING).unwrap();
    bencher.bench(|| engine.loads(black_box(&cycles), CycleKind::Hard, RUNNING).unwrap());
}

#[divan::bench]
fn part_films(bencher: Bencher<'_, '_>) {
    let engine = engine(2, 110.0);
    let loads = engine.point(RUNNING).unwrap().loads;
    let scales = Scales::as_modelled(2);
    bencher.bench(|| engine.films(black_box(&loads), &scales).unwrap());
}

#[divan::bench(args = [400.0, 110.0, 60.0])]
fn part_poses(bencher: Bencher<'_, '_>, clearance_um: f64) {
    let engine = engine(2, clearance_um);
    let point = engine.point(RUNNING).unwrap();
    let scales = Scales::as_modelled(2);
    bencher.bench(|| {
        engine.poses(black_box(&point.loads), &point.films, engine.sizes(), &scales).unwrap()
    });
}

/// Growth with the number of rotors, nothing touching.
#[divan::bench(args = [1, 2, 3, 4])]
fn grows_with_rotors(bencher: Bencher<'_, '_>, rotors: usize) {
    let engine = engine(rotors, 400.0);
    bencher.bench(|| engine.point(black_box(RUNNING)).unwrap());
}

/// Growth of the loads with the number of sections: each cut into so many, from where the pieces
/// are shorter than the mesh's own elements.
#[divan::bench(args = [8, 16, 32, 64])]
fn grows_with_sections(bencher: Bencher<'_, '_>, pieces: usize) {
    let mut model = sample_engine::engine(2, Length::um(400.0), Length::um(127.0));
    let cut = model.shaft.stretches.iter().flat_map(|stretch| {
        let mut piece = *stretch;
        piece.length_m /= pieces as f64;
        std::iter::repeat_n(piece, pieces)
    });
    model.shaft.stretches = cut.collect();
    let engine = Engine::new(model).unwrap();
    let cycles = engine.cycles(RUNNING).unwrap();
    bencher.bench(|| engine.loads(black_box(&cycles), CycleKind::Hard, RUNNING).unwrap());
}

/// A sweep as the product makes it, on all cores.
#[divan::bench(sample_count = 5)]
fn sweep_of_40_speeds(bencher: Bencher<'_, '_>) {
    let engine = engine(2, 110.0);
    let running = speeds(SPEEDS);
    bencher.bench(|| engine.sweep(black_box(&running), None, || true).unwrap());
}

/// Growth with the number of draws, on all cores; most of them touch walls.
#[divan::bench(args = [64, 128, 256], sample_count = 5)]
fn grows_with_draws(bencher: Bencher<'_, '_>, points: usize) {
    let engine = engine(2, 110.0);
    let loads = engine.point(RUNNING).unwrap().loads;
    let uncertainty = uncertainty();
    let sampling = Sampling { points, seed: 1 };
    bencher
        .bench(|| engine.draw(black_box(&loads), &uncertainty, sampling, |_| true).unwrap().failed);
}

/// So many speeds one after the other, on one core.
#[divan::bench(args = [10, 20, SPEEDS], sample_count = 5)]
fn grows_with_speeds(bencher: Bencher<'_, '_>, speeds: usize) {
    let engine = engine(2, 110.0);
    let running = self::speeds(speeds);
    bencher.bench(|| running.iter().map(|at| engine.point(*at).unwrap()).collect::<Vec<_>>());
}
