//! How long a shaft takes: one operating point of 25 harmonics, on other springs each time, and
//! the cost against the number of sections, which grows in step with it.
//!
//! `cargo bench -p kernel --bench shaft`

#![expect(clippy::unwrap_used, reason = "a bench that cannot run is to stop")]

use divan::Bencher;
use kernel::speed::shaft::{
    Disc, Harmonics, Load, Mesh, Rates, Shaft, ShaftModel, Stretch, Support, Theory, Unbalance,
};
use nalgebra::Complex;

/// Highest harmonic: 25 from −12 to 12.
const HIGHEST: isize = 12;
const OMEGA: f64 = 1047.0;

fn main() {
    divan::main();
}

fn rates(scale: f64) -> Rates {
    let by = |m: [[f64; 2]; 2]| m.map(|row| row.map(|value| value * scale));
    Rates {
        stiffness_n_per_m: by([[2.4e8, 0.9e8], [-1.6e8, 3.1e8]]),
        damping_n_s_per_m: by([[1.5e5, -0.2e5], [-0.2e5, 2.2e5]]),
        moment_stiffness_n_m_per_rad: by([[3.0e4, 0.8e4], [-1.1e4, 4.0e4]]),
        moment_damping_n_m_s_per_rad: by([[18.0, -3.0], [-3.0, 25.0]]),
    }
}

/// A shaft of 0.48 m in so many stretches, none of them longer than an element may be.
fn model(sections: u32, rates: Rates) -> ShaftModel {
    let stretch = |k: u32| Stretch {
        length_m: 0.48 / f64::from(sections),
        outer_m: if k.is_multiple_of(2) { 0.045 } else { 0.06 },
        inner_m: 0.012,
        young_pa: 206e9,
        poisson: 0.3,
        density_kg_m3: 7850.0,
    };
    let disc = |at_m, mass_kg| Disc { at_m, mass_kg, polar_kg_m2: 0.006, diametral_kg_m2: 0.004 };
    ShaftModel {
        stretches: (0..sections).map(stretch).collect(),
        discs: vec![disc(0.0, 1.8), disc(0.15, 4.3), disc(0.27, 4.3), disc(0.42, 6.5)],
        unbalances: vec![Unbalance { at_m: 0.15, amount_kg_m: 0.064, angle_rad: 0.0 }],
        supports: [0.06, 0.36].map(|at_m| Support { at_m, rates }).to_vec(),
        stations_m: vec![0.15, 0.27],
        theory: Theory::Timoshenko,
        mesh: Mesh::Fine,
    }
}

fn loads() -> Vec<Load> {
    let values = (-HIGHEST..=HIGHEST)
        .map(|n| Complex::from_polar(20_000.0 / (1.0 + (n * n) as f64), n as f64))
        .collect::<Vec<_>>();
    (0..2)
        .map(|station| Load {
            station,
            force_n: Harmonics::new(values.clone()).unwrap(),
            moment_n_m: Harmonics::default(),
        })
        .collect()
}

/// One operating point on springs that were not there before.
#[divan::bench(args = [32, 64, 128, 256])]
fn twenty_five_harmonics_on_oil(bencher: Bencher<'_, '_>, sections: u32) {
    let shaft = Shaft::new(model(sections, rates(1.0))).unwrap();
    let (loads, other) = (loads(), [rates(1.1), rates(0.9)]);
    bencher.bench(|| shaft.with_rates(&other).unwrap().respond(OMEGA, &loads).unwrap());
}

#[divan::bench(args = [32, 64, 128, 256])]
fn twenty_five_harmonics_on_even_springs(bencher: Bencher<'_, '_>, sections: u32) {
    let even = Rates::isotropic(2.4e8, 1e5, 3e4, 20.0);
    let shaft = Shaft::new(model(sections, even)).unwrap();
    let loads = loads();
    bencher.bench(|| shaft.respond(OMEGA, &loads).unwrap());
}

#[divan::bench(args = [32, 64, 128, 256])]
fn assembling(bencher: Bencher<'_, '_>, sections: u32) {
    let model = model(sections, rates(1.0));
    bencher.bench(|| Shaft::new(model.clone()).unwrap());
}

#[divan::bench(args = [32, 64, 128, 256])]
fn flexibility(bencher: Bencher<'_, '_>, sections: u32) {
    let shaft = Shaft::new(model(sections, rates(1.0))).unwrap();
    bencher.bench(|| shaft.flexibility().unwrap());
}

/// Dense, so that it grows with the third power; it is asked for once, not for each speed.
#[divan::bench(args = [32, 64])]
fn critical_speeds(bencher: Bencher<'_, '_>, sections: u32) {
    let shaft = Shaft::new(model(sections, Rates::isotropic(2.4e8, 0.0, 0.0, 0.0))).unwrap();
    bencher.bench(|| shaft.critical_speeds().unwrap());
}

#[divan::bench]
fn section_forces_at_one_angle(bencher: Bencher<'_, '_>) {
    let shaft = Shaft::new(model(64, rates(1.0))).unwrap();
    let response = shaft.respond(OMEGA, &loads()).unwrap();
    bencher.bench(|| response.section_forces(divan::black_box(1.0)));
}
