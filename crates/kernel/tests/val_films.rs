//! Films under a steady load against published values, and the table against the film it was
//! made from, on five times as many lines.

use kernel::speed::film::{
    Bearing, BearingSizes, Coefficients, DirectFilm, DirectForces, FilmTable, Fineness, Matrix2,
    SteadyLoad, Supply, TABLE_FINENESS,
};
use std::f64::consts::{PI, TAU};

/// Values from outside checked by this file. Only rises.
const FOREIGN_CASES: usize = 8 + 7 + 8 + 8 + 2 * 16 + 6 + 10 * 9;

#[track_caller]
fn near(what: &str, got: f64, wanted: f64, tolerance: f64) {
    assert!((got - wanted).abs() <= tolerance, "{what}: {got} is not {wanted} ± {tolerance:e}");
}

#[track_caller]
fn close(what: &str, got: f64, wanted: f64, relative: f64) {
    near(what, got, wanted, relative * wanted.abs());
}

fn film(length_over_diameter: f64, supply: Supply) -> DirectFilm {
    DirectFilm { length_over_diameter, fineness: TABLE_FINENESS, supply }
}

/// Sommerfeld number `μN(r/c)²/P` of a squeeze `−iε` carried at a unit speed: the load is
/// `12μR³L/c³ · c ω̄ Φ`, `ω̄ = πN`, `P = W/2RL`.
fn sommerfeld(forces: &DirectForces) -> f64 {
    1.0 / (6.0 * PI * forces.force[0].hypot(forces.force[1]))
}

/// From the load to the eccentricity, degrees.
fn attitude_deg(forces: &DirectForces) -> f64 {
    (-forces.force[1]).atan2(forces.force[0]).to_degrees()
}

/// Stiffness with the film carried at a unit speed, `K_v + C J`.
fn whole_stiffness(forces: &DirectForces) -> Matrix2 {
    let (k, c) = (&forces.stiffness, &forces.damping);
    [0, 1].map(|i| [k[i][0] - c[i][1], k[i][1] + c[i][0]])
}

/// ε, S (L/D)², φ° where printed. Pedigree: short bearing, half a film [OCVIRK], closed form
/// `S(L/D)² = (1−ε²)²/(πε√(π²(1−ε²)+16ε²))`, `tan φ = π√(1−ε²)/4ε` from memory, computed.
const OCVIRK: [(f64, f64, Option<f64>); 8] = [
    (0.1, 0.98998, Some(82.71)),
    (0.2, 0.461194, Some(75.43)),
    (0.4, 0.170461, Some(60.94)),
    (0.5, 0.106049, Some(53.68)),
    (0.6, 0.06253, Some(46.32)),
    (0.7, 0.032964, None),
    (0.8, 0.013887, Some(30.50)),
    (0.9, 0.003313, Some(20.83)),
];

/// A short bearing that the film may treat as one: what is left of its length is below the last
/// digit but two.
const SHORT: f64 = 0.01;

#[test]
fn short_bearings() {
    for (ratio, s, phi) in OCVIRK {
        let short =
            DirectFilm { fineness: Fineness { round: 240, along: 4 }, ..film(SHORT, Supply::Free) };
        let forces = short.forces(ratio, [0.0, -ratio]).unwrap();
        // Lines 1.5° apart: half a film begins and ends within a line.
        close("S (L/D)²", sommerfeld(&forces) * SHORT * SHORT, s, 2e-3);
        if let Some(phi) = phi {
            near("attitude", attitude_deg(&forces), phi, 0.1);
        }
    }
}

/// Stiffness and damping at ε 0.5 over load and clearance, and the speed, `x` across the load and
/// `y` along it. Pedigree: short bearing, half a film [OCVIRK], computed.
const HALF_WAY: [[f64; 4]; 2] =
    [[2.2099, 0.8577, -3.9766, 2.9233], [3.0539, -2.2450, -2.2450, 6.6148]];

#[test]
fn stiffness_and_damping_of_a_short_bearing() {
    let short =
        DirectFilm { fineness: Fineness { round: 480, along: 4 }, ..film(SHORT, Supply::Free) };
    let forces = short.forces(0.5, [0.0, -0.5]).unwrap();
    let load = forces.force[0].hypot(forces.force[1]);
    // Journal speed 2, film carried with 1.
    let matrices = [whole_stiffness(&forces), forces.damping.map(|row| row.map(|c| c * 2.0))];
    for (matrix, wanted) in matrices.iter().zip(HALF_WAY) {
        let got = in_load_axes(matrix, [forces.force[0] / load, forces.force[1] / load]);
        for (got, wanted) in got.iter().zip(wanted) {
            near("coefficient", got / load, wanted, 0.015 * 6.6148);
        }
    }
}

/// A matrix in axes across the load and along it: `y` along the load, `x` a quarter turn behind.
fn in_load_axes(m: &Matrix2, d: [f64; 2]) -> [f64; 4] {
    let (x, y) = ([d[1], -d[0]], d);
    let form = |a: [f64; 2], b: [f64; 2]| {
        a[0] * (m[0][0] * b[0] + m[0][1] * b[1]) + a[1] * (m[1][0] * b[0] + m[1][1] * b[1])
    };
    [form(x, x), form(x, y), form(y, x), form(y, y)]
}

/// Stiffness and damping of a bearing, D 100, L 30, c 0.1 mm, 0.1 Pa s, 1500 r/min, 525 N, MN/m
/// and kN s/m, `x` across the load and `y` along it [FRISWELL]. Pedigree: stiffness read in a
/// reproduction, damping from memory, both computed.
const EXAMPLE: [[f64; 4]; 2] = [[12.81, 16.39, -25.06, 8.815], [232.9, -81.92, -81.92, 294.9]];

#[test]
fn a_worked_example() {
    let bearing = Bearing::new(BearingSizes {
        diameter_m: 0.1,
        length_m: 0.03,
        radial_clearance_m: 1e-4,
        viscosity_pa_s: 0.1,
    })
    .unwrap();
    let table = FilmTable::new(bearing.length_over_diameter()).unwrap();
    let load = SteadyLoad {
        load_n: [0.0, 525.0],
        journal_omega_rad_s: 1500.0 * TAU / 60.0,
        bearing_omega_rad_s: 0.0,
    };
    let rest = load.rest(&bearing, &table).unwrap();
    // The example takes the bearing as infinitely short. At L/D 0.3 a film of true length
    // carries 7 % less, so that the journal goes out further.
    let all_of_it = rest.eccentricity_ratio;
    assert!(all_of_it > 0.2663 && all_of_it < 0.2663 + 0.02, "{all_of_it}");
    let Coefficients { stiffness_n_per_m: k, damping_n_s_per_m: c, .. } = rest.coefficients;
    for (matrix, wanted, unit) in [(k, EXAMPLE[0], 1e6), (c, EXAMPLE[1], 1e3)] {
        let got = in_load_axes(&matrix, [0.0, 1.0]);
        let greatest = wanted.iter().fold(0.0_f64, |g, w| g.max(w.abs()));
        for (got, wanted) in got.iter().zip(wanted) {
            near("coefficient", got / unit, wanted, 0.06 * greatest);
        }
    }
}

/// The same example without its length: the equation's own coefficients to three digits.
#[test]
fn the_worked_example_as_a_short_bearing() {
    let short =
        DirectFilm { fineness: Fineness { round: 480, along: 4 }, ..film(SHORT, Supply::Free) };
    let forces = short.forces(0.266_297_51, [0.0, -0.266_297_51]).unwrap();
    let load = forces.force[0].hypot(forces.force[1]);
    let direction = [forces.force[0] / load, forces.force[1] / load];
    let stiffness = whole_stiffness(&forces);
    let omega = 1500.0 * TAU / 60.0;
    let damping = forces.damping.map(|row| row.map(|c| c * 2.0 / omega));
    for (matrix, wanted, unit) in [(stiffness, EXAMPLE[0], 1e6), (damping, EXAMPLE[1], 1e3)] {
        let got = in_load_axes(&matrix, direction);
        let greatest = wanted.iter().fold(0.0_f64, |g, w| g.max(w.abs()));
        for (got, wanted) in got.iter().zip(wanted) {
            near("coefficient", got / load * 525.0 / 1e-4 / unit, wanted, 0.015 * greatest);
        }
    }
}

/// L/D, ε, S, φ°, and (r/c)f where printed [RAIMONDI-BOYD], the film beginning at the widest gap.
/// Pedigree: S and friction at L/D 1 read in a reproduction, the rest from memory.
const RAIMONDI_BOYD: [(f64, f64, f64, f64, Option<f64>); 16] = [
    (1.0, 0.1, 1.33, 79.5, Some(26.4)),
    (1.0, 0.2, 0.631, 74.02, Some(12.8)),
    (1.0, 0.4, 0.264, 63.10, Some(5.79)),
    (1.0, 0.6, 0.121, 50.58, Some(3.22)),
    (1.0, 0.8, 0.0446, 36.24, Some(1.70)),
    (1.0, 0.9, 0.0188, 26.45, Some(1.05)),
    (0.5, 0.1, 4.31, 81.62, None),
    (0.5, 0.2, 2.03, 74.94, None),
    (0.5, 0.4, 0.779, 61.45, None),
    (0.5, 0.6, 0.319, 48.14, None),
    (0.5, 0.8, 0.0923, 33.31, None),
    (0.5, 0.9, 0.0313, 23.66, None),
    (0.25, 0.2, 7.57, 75.18, None),
    (0.25, 0.4, 2.83, 60.86, None),
    (0.25, 0.6, 1.07, 46.72, None),
    (0.25, 0.8, 0.261, 31.04, None),
];

/// With the film's beginning where the table has it, what finite differences leave of it.
#[test]
fn finite_bearings_from_the_widest_gap() {
    for (shape, ratio, s, phi, friction) in RAIMONDI_BOYD {
        let forces = film(shape, Supply::WidestGap).forces(ratio, [0.0, -ratio]).unwrap();
        let got = sommerfeld(&forces);
        close(&format!("S at L/D {shape}, ε {ratio}"), got, s, 0.015);
        near(&format!("attitude at L/D {shape}, ε {ratio}"), attitude_deg(&forces), phi, 0.6);
        if let Some(friction) = friction {
            // Shear all round, 2π²S/√(1−ε²), and half the couple of load and eccentricity.
            let couple = 0.5 * ratio * attitude_deg(&forces).to_radians().sin();
            let f = 2.0 * PI * PI * got / (1.0_f64 - ratio * ratio).sqrt() + couple;
            close(&format!("friction at ε {ratio}"), f, friction, 0.02);
        }
    }
}

/// The film of this project begins where it will. It carries as much to 3 %, and stands up to 4.5°
/// further round where it is long and little loaded.
#[test]
fn finite_bearings_with_a_film_of_their_own() {
    for shape in [1.0, 0.5, 0.25] {
        let table = FilmTable::new(shape).unwrap();
        let bearing = Bearing::new(BearingSizes {
            diameter_m: 0.05,
            length_m: 0.05 * shape,
            radial_clearance_m: 4e-5,
            viscosity_pa_s: 0.01,
        })
        .unwrap();
        for (_, ratio, s, phi, _) in RAIMONDI_BOYD.into_iter().filter(|row| row.0 == shape) {
            let turns_per_s = 100.0;
            let pressure = 0.01 * turns_per_s * (0.025_f64 / 4e-5).powi(2) / s;
            let load = SteadyLoad {
                load_n: [0.0, -pressure * 0.05 * 0.05 * shape],
                journal_omega_rad_s: turns_per_s * TAU,
                bearing_omega_rad_s: 0.0,
            };
            let rest = load.rest(&bearing, &table).unwrap();
            let direct = film(shape, Supply::Free);
            let own = sommerfeld(&direct.forces(ratio, [0.0, -ratio]).unwrap());
            close(&format!("S at L/D {shape}, ε {ratio}"), own, s, 0.022);
            near("ε", rest.eccentricity_ratio, ratio, 0.005);
            near("attitude", rest.attitude_rad.to_degrees(), phi, 4.5 * shape + 0.7);
        }
    }
}

/// A row of the table for two axial grooves of 20°, square to the load.
struct Grooved {
    shape: f64,
    /// S, ε, φ°.
    state: [f64; 3],
    /// Kxx Kxy Kyx Kyy over W/c, Bxx Bxy Byy over W/cω; `x` along the load, `y` a quarter turn ahead.
    coefficients: [f64; 7],
}

const fn grooved(shape: f64, state: [f64; 3], coefficients: [f64; 7]) -> Grooved {
    Grooved { shape, state, coefficients }
}

/// [LUND-THOMSEN]. Pedigree: read in a reproduction.
const LUND_THOMSEN: [Grooved; 10] = [
    grooved(0.5, [1.656, 0.244, 65.85], [1.69, 5.06, -2.20, 1.95, 9.93, 2.15, 4.80]),
    grooved(0.5, [0.917, 0.372, 57.45], [2.12, 4.01, -1.30, 1.85, 7.70, 2.06, 3.23]),
    grooved(0.5, [0.580, 0.477, 51.01], [2.67, 3.70, -0.78, 1.75, 6.96, 1.94, 2.40]),
    grooved(0.5, [0.379, 0.570, 45.43], [3.33, 3.64, -0.43, 1.68, 6.76, 1.87, 1.89]),
    grooved(0.5, [0.244, 0.655, 40.25], [4.21, 3.74, -0.13, 1.64, 6.87, 1.82, 1.54]),
    grooved(1.0, [0.991, 0.150, 70.58], [1.56, 7.29, -2.16, 1.52, 14.66, 1.58, 4.49]),
    grooved(1.0, [0.635, 0.224, 63.54], [1.62, 5.33, -1.57, 1.56, 10.80, 1.70, 3.41]),
    grooved(1.0, [0.235, 0.460, 49.27], [2.19, 3.57, -0.80, 1.55, 7.36, 1.89, 2.19]),
    grooved(1.0, [0.159, 0.559, 44.33], [2.73, 3.36, -0.48, 1.48, 6.94, 1.78, 1.74]),
    grooved(1.0, [0.108, 0.650, 39.72], [3.45, 3.34, -0.23, 1.44, 6.89, 1.72, 1.43]),
];

/// The same solver with grooves put where the table has them: pressure, stiffness and damping of a
/// film that this project does not otherwise ask for.
#[test]
fn grooved_bearings() {
    for row in LUND_THOMSEN {
        let [s, ratio, phi] = row.state;
        let groove = |middle_deg: f64| {
            [middle_deg - phi - 10.0, middle_deg - phi + 10.0].map(f64::to_radians)
        };
        let supply = Supply::Grooves(vec![groove(90.0), groove(-90.0)]);
        let fine = DirectFilm {
            length_over_diameter: row.shape,
            fineness: Fineness { round: 288, along: 8 },
            supply,
        };
        let forces = fine.forces(ratio, [0.0, -ratio]).unwrap();
        close("S", sommerfeld(&forces), s, 0.02);
        near("attitude", attitude_deg(&forces), phi, 1.0);
        let load = forces.force[0].hypot(forces.force[1]);
        // From axes `x` across and `y` along to `x` along and `y` ahead, which is `−` across.
        let along = |m: &Matrix2| {
            let [cc, ca, ac, aa] =
                in_load_axes(m, [forces.force[0] / load, forces.force[1] / load]);
            [aa, -ac, -ca, cc]
        };
        let k = along(&whole_stiffness(&forces));
        let c = along(&forces.damping.map(|line| line.map(|c| 2.0 * c)));
        let got = [k[0], k[1], k[2], k[3], c[0], c[1], c[3]].map(|g| g / load);
        for (k, (got, wanted)) in got.iter().zip(row.coefficients).enumerate() {
            let greatest = row.coefficients[if k < 4 { 0..4 } else { 4..7 }]
                .iter()
                .fold(0.0_f64, |g, w| g.max(w.abs()));
            near(
                &format!("coefficient {k} at L/D {}, ε {ratio}", row.shape),
                *got,
                wanted,
                0.03 * greatest,
            );
        }
    }
}

#[test]
fn no_foreign_case_is_lost() {
    let angles = OCVIRK.iter().filter(|row| row.2.is_some()).count();
    let friction = RAIMONDI_BOYD.iter().filter(|row| row.4.is_some()).count();
    let cases = OCVIRK.len() + angles + 8 + 8 + 2 * RAIMONDI_BOYD.len() + friction;
    assert_eq!(cases + 9 * LUND_THOMSEN.len(), FOREIGN_CASES);
}

/// The table against the film on five times as many lines, at states between its nodes.
#[test]
fn the_table_against_a_finer_film() {
    let shape = 0.82;
    let table = FilmTable::new(shape).unwrap();
    let fine =
        DirectFilm { fineness: Fineness { round: 480, along: 16 }, ..film(shape, Supply::Free) };
    for (ratios, limits) in [
        (&[0.13, 0.47, 0.71, 0.88][..], [0.002, 0.005, 0.03, 0.04, 0.02]),
        (&[0.96, 0.988][..], [0.006, 0.01, 0.08, 0.06, 0.05]),
    ] {
        for ratio in ratios {
            for gamma_deg in [-4.0_f64, 13.0, -35.0, 66.0, 115.0, 163.0] {
                let (s, c) = gamma_deg.to_radians().sin_cos();
                let velocity = table.velocity(*ratio, [c, s]);
                let read = table.coefficients(*ratio, [c, s]);
                let (wanted, solved) = fine.carrying(*ratio, [c, s], velocity).unwrap();
                let off = [velocity[0] - wanted[0], velocity[1] - wanted[1]];
                let offs = [
                    off[0].hypot(off[1]) / wanted[0].hypot(wanted[1]),
                    apart(&read.damping, &solved.damping),
                    apart(&read.stiffness, &solved.stiffness),
                    apart(&read.tilt_damping, &solved.tilt_damping),
                    apart(&read.tilt_stiffness, &solved.tilt_stiffness),
                ];
                for (k, off) in offs.into_iter().enumerate() {
                    assert!(off <= limits[k], "ε {ratio}, load at {gamma_deg}°, {k}: {off}");
                }
                if gamma_deg.abs() < 20.0 {
                    assert!(offs[2] <= 0.01, "ε {ratio}, stiffness: {}", offs[2]);
                }
            }
        }
    }
}

/// Greatest difference of entries, parts of the greatest entry.
fn apart(a: &Matrix2, b: &Matrix2) -> f64 {
    let greatest = b.iter().flatten().fold(0.0_f64, |g, x| g.max(x.abs()));
    a.iter().flatten().zip(b.iter().flatten()).fold(0.0_f64, |g, (a, b)| g.max((a - b).abs()))
        / greatest
}
