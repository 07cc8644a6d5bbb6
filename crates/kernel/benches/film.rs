//! How long oil films take: the table of one shape, and a turn of a rotor bearing.
//!
//! `cargo bench -p kernel --bench film`

#![expect(clippy::unwrap_used, reason = "a bench that cannot run is to stop")]

use divan::Bencher;
use kernel::speed::film::{Bearing, BearingSizes, Film, FilmTable, Motion, SteadyLoad};
use std::f64::consts::TAU;

fn main() {
    divan::main();
}

const OMEGA_RAD_S: f64 = 1000.0;

fn bearing() -> Bearing {
    Bearing::new(BearingSizes {
        diameter_m: 0.073,
        length_m: 0.060,
        radial_clearance_m: 50e-6,
        viscosity_pa_s: 0.006,
    })
    .unwrap()
}

/// Turning with the throw, and a pulse that circles backwards.
fn load() -> Vec<[f64; 2]> {
    (0..360)
        .map(|k| {
            let theta = f64::from(k).to_radians();
            let pulse = 10e3 + 110e3 * (15.0 * ((theta - 0.5).cos() - 1.0)).exp();
            [-25e3 * theta.sin() - pulse * theta.sin(), 25e3 * theta.cos() - pulse * theta.cos()]
        })
        .collect()
}

fn motion(load_n: &[[f64; 2]]) -> Motion<'_> {
    Motion {
        journal_omega_rad_s: OMEGA_RAD_S,
        bearing_omega_rad_s: OMEGA_RAD_S / 3.0,
        load_n,
        period_s: TAU / OMEGA_RAD_S,
        wanted_film_m: 1e-6,
    }
}

#[divan::bench(sample_count = 5)]
fn the_table_of_a_shape(bencher: Bencher<'_, '_>) {
    bencher.bench(|| FilmTable::new(divan::black_box(0.82)).unwrap());
}

#[divan::bench]
fn a_path_of_360_steps(bencher: Bencher<'_, '_>) {
    let (bearing, load) = (bearing(), load());
    let table = FilmTable::new(bearing.length_over_diameter()).unwrap();
    bencher.bench(|| motion(&load).path(&bearing, &table).unwrap());
}

#[divan::bench]
fn a_path_with_its_coefficients(bencher: Bencher<'_, '_>) {
    let (bearing, load) = (bearing(), load());
    let table = FilmTable::new(bearing.length_over_diameter()).unwrap();
    let film = Film::Computed { bearing, table: &table };
    bencher.bench(|| film.cycle(&motion(&load)).unwrap());
}

#[divan::bench]
fn a_place_of_rest(bencher: Bencher<'_, '_>) {
    let bearing = bearing();
    let table = FilmTable::new(bearing.length_over_diameter()).unwrap();
    let steady = SteadyLoad {
        load_n: [0.0, -20e3],
        journal_omega_rad_s: OMEGA_RAD_S,
        bearing_omega_rad_s: 0.0,
    };
    bencher.bench(|| steady.rest(&bearing, &table).unwrap());
}
