//! Torsion, ripple and gear against a shaft followed in time with SciPy (`reference/spin`).

#![expect(clippy::unwrap_used, clippy::panic, reason = "in a test a panic is the report")]

use kernel::speed::gas::delayed;
use kernel::speed::spin::{
    MeshLoad, PhasingGear, Ripple, RippleInputs, RotorDriven, TorqueAt, TorsionChain,
    TorsionDamping, USUAL_PRESSURE_ANGLE_RAD,
};

/// Values of `reference/spin/values.csv`; only rises.
const VALUES_SEEN: usize = 679;
const VALUES: &str = include_str!("../../../reference/spin/values.csv");

struct Case {
    inertia: Vec<f64>,
    stiffness: Vec<f64>,
    omega: f64,
    zeta: f64,
    rotors: Vec<usize>,
    load: usize,
}

/// The same cases as `reference/spin/make.py`.
fn case(name: &str) -> Case {
    match name {
        "two_rotor" => Case {
            inertia: vec![0.004, 0.0031, 0.0031, 0.09],
            stiffness: vec![9e4, 1.6e5, 1.1e5],
            omega: 1026.0,
            zeta: 0.02,
            rotors: vec![1, 2],
            load: 3,
        },
        "three_rotor" => Case {
            inertia: vec![0.002, 0.003, 0.0035, 0.003, 0.05],
            stiffness: vec![6e4, 9e4, 9e4, 1.4e5],
            omega: 880.0,
            zeta: 0.05,
            rotors: vec![1, 2, 3],
            load: 4,
        },
        "near_resonance" => Case {
            inertia: vec![0.0031, 0.0031, 0.08],
            stiffness: vec![2.6e4, 1.8e4],
            omega: 800.0,
            zeta: 0.03,
            rotors: vec![0, 1],
            load: 2,
        },
        other => panic!("reference/spin has a case {other} that this test does not know"),
    }
}

fn torque() -> Vec<f64> {
    (0..1080)
        .map(|degree| {
            let t = f64::from(degree).to_radians();
            190.0
                + 400.0 * t.sin()
                + 150.0 * (2.0 * t).cos()
                + 60.0 * (t / 3.0).cos()
                + 20.0 * (7.0 * t).sin()
        })
        .collect()
}

fn mesh(ripple: &Ripple, station: usize, lag_deg: usize) -> MeshLoad {
    let gear = PhasingGear {
        eccentricity_m: 0.015,
        pressure_angle_rad: USUAL_PRESSURE_ANGLE_RAD,
        axial_offset_m: 0.03,
        polar_kg_m2: 0.019,
    };
    let drag = vec![7.0; 1080];
    let alpha = ripple.acceleration_rad_s2(station);
    let driven =
        RotorDriven { acceleration_rad_s2: &alpha, drag_n_m: &drag, lag_deg: lag_deg as f64 };
    gear.load(&driven).unwrap()
}

#[test]
fn ripple_and_mesh_are_those_of_a_shaft_followed_in_time() {
    // [SCIPY] `solve_ivp`, `eigh`.
    let rows: Vec<Vec<&str>> = VALUES.lines().skip(1).map(|l| l.split(',').collect()).collect();
    let mut names: Vec<&str> = rows.iter().map(|row| row[0]).collect();
    names.dedup();
    let mut seen = 0;
    for name in names {
        let case = case(name);
        let lags: Vec<usize> =
            (0..case.rotors.len()).map(|j| 360 * j / case.rotors.len()).collect();
        let waves: Vec<Vec<f64>> = lags.iter().map(|lag| delayed(&torque(), *lag)).collect();
        let torques: Vec<TorqueAt<'_>> = case
            .rotors
            .iter()
            .zip(&waves)
            .map(|(station, torque_n_m)| TorqueAt { station: *station, torque_n_m })
            .collect();
        let chain = TorsionChain::new(case.inertia, case.stiffness).unwrap();
        let modes = chain.modes().unwrap();
        let ripple = Ripple::of(
            &chain,
            &RippleInputs {
                omega_rad_s: case.omega,
                torques: &torques,
                load_station: case.load,
                damping: TorsionDamping::Modal(case.zeta),
                highest_order: 8,
            },
        )
        .unwrap();
        for row in rows.iter().filter(|row| row[0] == name) {
            let station: usize = row[2].parse().unwrap();
            let angle: usize = row[3].parse().unwrap();
            let expected: f64 = row[4].parse().unwrap();
            let rotor = || case.rotors.iter().position(|s| *s == station).unwrap();
            // Tolerances: the last digit printed and the time integration's own 1e-9.
            let (got, tolerance) = match row[1] {
                "frequency_hz" => (modes[station].frequency_hz(), 1e-6),
                "fluctuation" => (ripple.fluctuation(station), 2e-8),
                "speed_rad_s" => (ripple.speed_rad_s(station)[angle], 2e-5),
                "acceleration_rad_s2" => (ripple.acceleration_rad_s2(station)[angle], 0.1),
                "section_n_m" => (ripple.section_torque_n_m(station)[angle], 0.01),
                "mesh_x_n" => (mesh(&ripple, station, lags[rotor()]).force_n[angle].re, 0.02),
                "mesh_y_n" => (mesh(&ripple, station, lags[rotor()]).force_n[angle].im, 0.02),
                other => panic!("unknown quantity {other}"),
            };
            let place = format!("{name} {} {station} at {angle}", row[1]);
            assert!((got - expected).abs() < tolerance, "{place}: {got} {expected}");
            seen += 1;
        }
    }
    assert_eq!(seen, VALUES_SEEN);
}
