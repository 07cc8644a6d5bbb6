//! What a cycle costs: it is computed once per point of operation.

use kernel::speed::gas::{
    ATMOSPHERE_PA, ChamberForm, GasChamber, GasInputs, GasModel, RotorGas, Scatter, Supply,
};

fn main() {
    divan::main();
}

#[expect(clippy::unwrap_used, reason = "in a bench a panic is the report")]
fn model(rpm: f64) -> GasModel {
    let chamber = GasChamber::new(ChamberForm {
        generating_radius_m: 0.105,
        eccentricity_m: 0.015,
        width_m: 0.08,
        compression_ratio: 9.0,
    })
    .unwrap();
    let omega_rad_s = rpm * std::f64::consts::PI / 30.0;
    let supply = Supply::boosted(ATMOSPHERE_PA, 0.9e5, 320.0, 1.7e5);
    GasModel::new(GasInputs { supply, ..GasInputs::usual(chamber, omega_rad_s) }).unwrap()
}

/// The mean cycle, from nothing to its repeating.
#[divan::bench(args = [2500.0, 6000.0, 9800.0])]
fn mean_cycle(bencher: divan::Bencher<'_, '_>, rpm: f64) {
    let model = model(rpm);
    bencher.bench(|| model.mean_cycle());
}

/// One cycle of the scatter.
#[divan::bench]
#[expect(clippy::unwrap_used, reason = "in a bench a panic is the report")]
fn knocking_cycle(bencher: divan::Bencher<'_, '_>) {
    let model = model(9800.0);
    let mean = model.mean_cycle().unwrap();
    bencher.bench(|| model.scattered(&mean, Scatter::knocking()));
}

/// Force and torque of a rotor from a trace.
#[divan::bench]
#[expect(clippy::unwrap_used, reason = "in a bench a panic is the report")]
fn rotor_load(bencher: divan::Bencher<'_, '_>) {
    let model = model(9800.0);
    let mean = model.mean_cycle().unwrap();
    bencher.bench(|| RotorGas::alike(model.inputs().chamber, &mean.trace, 1e5));
}
