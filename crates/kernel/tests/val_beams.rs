//! The shaft against closed forms of beams and shafts of the literature.
//!
//! Static rows: [ROARK], formulas from memory, figures computed from them by others and confirmed
//! with another finite-element program. Knife edges are springs of 1e17 N/m, which give by 1e-10
//! of the deflections here.

#![expect(clippy::unwrap_used, reason = "in a test a panic is the report")]

use kernel::speed::shaft::{
    Disc, Harmonics, Load, Mesh, Motion, Rates, Sense, Shaft, ShaftModel, Stretch, Support, Theory,
    Whirl,
};
use nalgebra::Complex;
use std::f64::consts::PI;

/// Against the formulas.
const CLOSED: f64 = 1e-9;
/// Against the figures: they have nine digits, of which the last two carry that other program's
/// rounding.
const PRINTED: f64 = 3e-8;
const LOAD_N: f64 = 1000.0;
const SPAN_M: f64 = 0.5;
const KNIFE: f64 = 1e17;

fn knife(at_m: f64) -> Support {
    Support { at_m, rates: Rates::isotropic(KNIFE, 0.0, 0.0, 0.0) }
}

fn clamp(at_m: f64) -> Support {
    Support { at_m, rates: Rates::isotropic(KNIFE, 0.0, KNIFE, 0.0) }
}

/// The solid 40 mm bar of the rows.
fn bar(length_m: f64, supports: Vec<Support>, stations_m: Vec<f64>) -> ShaftModel {
    ShaftModel {
        stretches: vec![Stretch {
            length_m,
            outer_m: 0.04,
            inner_m: 0.0,
            young_pa: 206e9,
            poisson: 0.3,
            density_kg_m3: 7850.0,
        }],
        discs: vec![],
        unbalances: vec![],
        supports,
        stations_m,
        theory: Theory::EulerBernoulli,
        mesh: Mesh::Places,
    }
}

/// Forces along y at stations; answers deflection and slope in y of every station.
fn bent(model: &ShaftModel, forces: &[(usize, f64)], moments: &[(usize, f64)]) -> Vec<[f64; 2]> {
    let along = |value: f64| Harmonics::constant(Complex::new(0.0, value));
    let force = forces.iter().map(|(station, f)| Load {
        station: *station,
        force_n: along(*f),
        moment_n_m: Harmonics::default(),
    });
    let moment = moments.iter().map(|(station, m)| Load {
        station: *station,
        force_n: Harmonics::default(),
        moment_n_m: along(*m),
    });
    let loads: Vec<Load> = force.chain(moment).collect();
    let response = Shaft::new(model.clone()).unwrap().respond(0.0, &loads).unwrap();
    let plane = |motion: &Motion| {
        let (u, s) = (motion.deflection_m.of(0), motion.slope_rad.of(0));
        assert!(u.re == 0.0 && s.re == 0.0, "what is pushed along y moves along y");
        [u.im, s.im]
    };
    response.stations().iter().map(plane).collect()
}

#[track_caller]
fn close(got: f64, want: f64, within: f64) {
    assert!((got / want - 1.0).abs() < within, "{got} instead of {want}");
}

fn rigidity() -> f64 {
    206e9 * PI / 64.0 * 0.04_f64.powi(4)
}

/// A value against its formula and its printed figure.
#[track_caller]
fn row(got: f64, formula: f64, printed: f64) {
    close(got, formula, CLOSED);
    close(got, printed, PRINTED);
}

#[test]
fn row_4_1_a_load_in_the_middle() {
    let model = bar(SPAN_M, vec![knife(0.0), knife(SPAN_M)], vec![0.0, 0.25]);
    let answer = bent(&model, &[(1, LOAD_N)], &[]);
    let (p, l, ei) = (LOAD_N, SPAN_M, rigidity());
    row(answer[1][0], p * l.powi(3) / (48.0 * ei), 100.598_543e-6);
    row(answer[0][1], p * l * l / (16.0 * ei), 6.035_912_59e-4);
}

#[test]
fn row_4_2_a_load_off_the_middle() {
    let (p, l, ei, a, b) = (LOAD_N, SPAN_M, rigidity(), 0.2, 0.3);
    let high = l - ((l * l - a * a) / 3.0_f64).sqrt();
    let model = bar(l, vec![knife(0.0), knife(l)], vec![0.0, a, high, l]);
    let answer = bent(&model, &[(1, p)], &[]);
    row(answer[1][0], p * a * a * b * b / (3.0 * ei * l), 92.711_617_3e-6);
    row(answer[0][1], p * a * b * (l + b) / (6.0 * ei * l), 6.180_774_49e-4);
    row(-answer[3][1], p * a * b * (l + a) / (6.0 * ei * l), 5.408_177_79e-4);
    let most = p * a * (l * l - a * a).powf(1.5) / (9.0 * 3.0_f64.sqrt() * ei * l);
    row(answer[2][0], most, 95.391_287_9e-6);
    assert!(answer[2][1].abs() < 1e-12, "the highest place is level");
}

/// The distributed load as forces and end moments of ten pieces, which is exact at their ends.
#[test]
fn row_4_3_an_even_load() {
    let (pieces, per_length) = (10, 2000.0);
    let length = SPAN_M / f64::from(pieces);
    let stations: Vec<f64> = (0..=pieces).map(|k| f64::from(k) * length).collect();
    let model = bar(SPAN_M, vec![knife(0.0), knife(SPAN_M)], stations);
    let end = pieces as usize;
    let forces: Vec<_> = (0..=end)
        .map(|k| (k, per_length * length * if k == 0 || k == end { 0.5 } else { 1.0 }))
        .collect();
    let moment = per_length * length * length / 12.0;
    let answer = bent(&model, &forces, &[(0, moment), (end, -moment)]);
    let (w, l, ei) = (per_length, SPAN_M, rigidity());
    row(answer[end / 2][0], 5.0 * w * l.powi(4) / (384.0 * ei), 62.874_089_4e-6);
    row(answer[0][1], w * l.powi(3) / (24.0 * ei), 4.023_941_72e-4);
}

#[test]
fn row_4_4_a_load_on_an_overhang() {
    let (p, l, ei, c) = (LOAD_N, SPAN_M, rigidity(), 0.1);
    let lift = l / 3.0_f64.sqrt();
    let model = bar(l + c, vec![knife(0.0), knife(l)], vec![0.0, lift, l, l + c]);
    let answer = bent(&model, &[(3, p)], &[]);
    row(answer[3][0], p * c * c * (l + c) / (3.0 * ei), 77.259_681_1e-6);
    row(answer[3][1], p * c * (2.0 * l + 3.0 * c) / (6.0 * ei), 8.369_798_80e-4);
    row(answer[2][1], p * c * l / (3.0 * ei), 6.438_306_76e-4);
    row(-answer[0][1], p * c * l / (6.0 * ei), 3.219_153_38e-4);
    row(-answer[1][0], p * c * l * l / (9.0 * 3.0_f64.sqrt() * ei), 61.952_635_7e-6);
}

#[test]
fn row_4_5_a_cantilever() {
    let model = bar(SPAN_M, vec![clamp(0.0)], vec![SPAN_M]);
    let answer = bent(&model, &[(0, LOAD_N)], &[]);
    row(answer[0][0], LOAD_N * SPAN_M.powi(3) / (3.0 * rigidity()), 1.609_576_69e-3);
    row(answer[0][1], LOAD_N * SPAN_M.powi(2) / (2.0 * rigidity()), 4.828_730_07e-3);
}

/// Each load by row 4.2's curve, `P b x (l² − b² − x²) / 6EIl` in front of it.
#[test]
fn row_4_6_two_opposite_loads() {
    let (p, l, ei, a) = (LOAD_N, SPAN_M, rigidity(), 0.15);
    let model = bar(l, vec![knife(0.0), knife(l)], vec![0.0, a, 0.25, l - a]);
    let answer = bent(&model, &[(1, p), (3, -p)], &[]);
    let unit = p / (6.0 * ei * l);
    let at = |b: f64, x: f64| unit * b * x * (l * l - b * b - x * x);
    let slope = |b: f64, x: f64| unit * b * (l * l - b * b - 3.0 * x * x);
    row(answer[1][0], at(l - a, a) - at(a, a), 11.588_952_2e-6);
    row(-answer[3][0], at(l - a, a) - at(a, a), 11.588_952_2e-6);
    row(answer[0][1], slope(l - a, 0.0) - slope(a, 0.0), 1.352_044_42e-4);
    // In the middle both slopes are the second load's, as it lies in front of it.
    row(answer[2][1], -2.0 * slope(a, 0.5 * l), -1.545_193_62e-4);
    row(answer[1][1].abs(), (slope(l - a, a) - slope(a, a)).abs(), 3.862_984_06e-5);
}

#[test]
fn row_4_7_shear_adds_to_the_middle_and_to_the_overhang() {
    let (p, l, c) = (LOAD_N, SPAN_M, 0.1);
    let kga = 6.0 * 1.3 / 8.8 * 206e9 / 2.6 * PI / 4.0 * 0.04_f64.powi(2);
    let ends = vec![knife(0.0), knife(l)];
    let stiff = bar(l, ends.clone(), vec![0.25]);
    let soft = ShaftModel { theory: Theory::Timoshenko, ..stiff.clone() };
    let without = bent(&stiff, &[(0, p)], &[])[0][0];
    let with = bent(&soft, &[(0, p)], &[])[0][0];
    close(with - without, p * l / (4.0 * kga), 1e-8);
    close(with - without, 1.416_427_49e-6, 1e-8);
    row(with, p * l.powi(3) / (48.0 * rigidity()) + p * l / (4.0 * kga), 102.014_971e-6);
    let overhang = ShaftModel { theory: Theory::Timoshenko, ..bar(l + c, ends, vec![l + c]) };
    let tip = p * c * c * (l + c) / (3.0 * rigidity()) + p * c * (1.0 + c / l) / kga;
    row(bent(&overhang, &[(0, p)], &[])[0][0], tip, 78.619_450_2e-6);
}

/// Frequencies at rest, Hz, each plane's once.
fn frequencies(model: &ShaftModel) -> Vec<f64> {
    let found = Shaft::new(model.clone()).unwrap().natural_frequencies(0.0).unwrap();
    let hertz = |whirl: &Whirl| whirl.omega_rad_s / (2.0 * PI);
    found.iter().filter(|whirl| whirl.sense == Sense::Forward).map(hertz).collect()
}

/// The bar in equal elements.
fn divided(supports: Vec<Support>, elements: u32, theory: Theory) -> ShaftModel {
    let stations = (1..elements).map(|k| SPAN_M * f64::from(k) / f64::from(elements)).collect();
    ShaftModel { theory, ..bar(SPAN_M, supports, stations) }
}

/// Elements miss inertia between their nodes: the error falls with the fourth power of their
/// length, or with the second where they shear. Taken off by that power and the next even one,
/// next to nothing of it is left.
fn converges(supports: &[Support], theory: Theory, order: i32, wanted_hz: &[f64]) {
    let of = |elements| frequencies(&divided(supports.to_vec(), elements, theory));
    let (coarse, middle, fine) = (of(8), of(16), of(32));
    let step = 2.0_f64.powi(order) - 1.0;
    for (mode, wanted) in wanted_hz.iter().enumerate() {
        let steps = [coarse[mode] - middle[mode], middle[mode] - fine[mode]];
        let power = (steps[0] / steps[1]).log2();
        assert!((power - f64::from(order)).abs() < 0.5, "mode {mode}: {power}");
        let better = |of: &[f64], than: &[f64]| of[mode] + (of[mode] - than[mode]) / step;
        let (last, before) = (better(&fine, &middle), better(&middle, &coarse));
        let limit = last + (last - before) / (4.0 * (step + 1.0) - 1.0);
        close(limit, *wanted, if order == 4 { 3e-8 } else { 1e-6 });
    }
}

#[test]
fn rows_4_8_to_4_10_natural_frequencies_of_bars() {
    let ends = [knife(0.0), knife(SPAN_M)];
    let euler = Theory::EulerBernoulli;
    converges(&ends, euler, 4, &[321.868_629, 1_287.474_516, 2_896.817_661]);
    converges(&ends, Theory::Timoshenko, 2, &[319.405_425, 1_249.666_936, 2_717.298_495]);
    // Roots of the frequency equation, to seven digits.
    let fixed = [clamp(0.0), clamp(SPAN_M)];
    let second = (7.853_205_f64 / 4.730_041).powi(2);
    converges(&fixed, euler, 4, &[729.640_057, 729.640_057 * second]);
    let second = (4.694_091_f64 / 1.875_104).powi(2);
    converges(&fixed[..1], euler, 4, &[114.664_678, 114.664_678 * second]);
}

/// With the mesh that a build gets: `(ω l / c)² / 24` of a frequency, as the constant's reason
/// says, with `c = √(κG/ρ)`.
#[test]
fn the_mesh_of_a_build_is_as_fine_as_its_constant_says() {
    let model = ShaftModel {
        mesh: Mesh::Fine,
        ..divided(vec![knife(0.0), knife(SPAN_M)], 1, Theory::Timoshenko)
    };
    let speed = (0.886_363_636 * 206e9 / 2.6 / 7850.0_f64).sqrt();
    let found = frequencies(&model);
    for (got, wanted) in found.iter().zip([319.405_425, 1_249.666_936, 2_717.298_495]) {
        let missed = (2.0 * PI * wanted * 0.01 / speed).powi(2) / 24.0;
        close(got / wanted - 1.0, missed, 0.1);
        assert!(missed < 1.5e-4);
    }
}

/// The rotor of [NELSON-MCVAUGH]; geometry read in a public example, end and speeds from memory.
fn nelson_mcvaugh(theory: Theory) -> Shaft {
    const STATIONS_CM: [f64; 19] = [
        0.0, 1.27, 5.08, 7.62, 8.89, 10.16, 10.67, 11.43, 12.70, 13.46, 16.51, 19.05, 22.86, 26.67,
        28.70, 30.48, 31.50, 34.54, 35.5,
    ];
    const OUTER_CM: [f64; 18] = [
        0.51, 1.02, 0.76, 2.03, 2.03, 3.30, 3.30, 2.54, 2.54, 1.27, 1.27, 1.52, 1.52, 1.27, 1.27,
        3.81, 2.03, 2.03,
    ];
    let stretches = (0..18)
        .map(|k| Stretch {
            length_m: (STATIONS_CM[k + 1] - STATIONS_CM[k]) / 100.0,
            outer_m: 2.0 * OUTER_CM[k] / 100.0,
            inner_m: match k {
                6 | 17 => 0.0304,
                7 => 0.0356,
                _ => 0.0,
            },
            young_pa: 207.8e9,
            poisson: 0.3,
            density_kg_m3: 7806.0,
        })
        .collect();
    let rates = Rates::isotropic(4.378e7, 0.0, 0.0, 0.0);
    Shaft::new(ShaftModel {
        stretches,
        discs: vec![Disc {
            at_m: 0.0889,
            mass_kg: 1.401,
            polar_kg_m2: 0.002_03,
            diametral_kg_m2: 0.001_36,
        }],
        unbalances: vec![],
        supports: [0.1651, 0.287].map(|at_m| Support { at_m, rates }).to_vec(),
        stations_m: vec![],
        theory,
        mesh: Mesh::Places,
    })
    .unwrap()
}

/// First three pairs of critical speeds, r/min: backward, forward, in turn.
fn pairs(shaft: &Shaft) -> Vec<f64> {
    let found = shaft.critical_speeds().unwrap();
    for (k, whirl) in found.iter().take(6).enumerate() {
        assert_eq!(whirl.sense, if k % 2 == 0 { Sense::Backward } else { Sense::Forward });
    }
    found.iter().take(6).map(Whirl::rpm).collect()
}

/// Row 4.11. The other program's figures were computed from these very inputs: printed to a tenth
/// of a revolution, met to 1e-5. The paper's fit where the remembered inputs fit; they do not
/// decide more than half a per cent.
#[test]
fn row_4_11_critical_speeds_of_nelson_and_mcvaugh() {
    let paper = [15_470.0, 17_159.0, 46_612.0, 49_983.0, 64_752.0, 96_457.0];
    let rayleigh = [15_476.8, 17_159.9, 46_747.5, 50_127.9, 64_759.0, 96_096.6];
    let timoshenko = [15_361.1, 17_010.9, 46_506.8, 49_815.5, 64_186.0, 94_896.4];
    let got = pairs(&nelson_mcvaugh(Theory::Rayleigh));
    for ((got, paper), ross) in got.iter().zip(paper).zip(rayleigh) {
        close(*got, ross, 1e-5);
        close(*got, paper, 5e-3);
    }
    for (got, ross) in pairs(&nelson_mcvaugh(Theory::Timoshenko)).iter().zip(timoshenko) {
        close(*got, ross, 1e-5);
    }
}

/// Example 5.9.1 of [FRISWELL], read in the documentation of a public program.
fn friswell() -> Shaft {
    let stretch = Stretch {
        length_m: 1.5,
        outer_m: 0.05,
        inner_m: 0.0,
        young_pa: 211e9,
        poisson: 211.0 / (2.0 * 81.2) - 1.0,
        density_kg_m3: 7810.0,
    };
    let rates = Rates::isotropic(1e6, 0.0, 0.0, 0.0);
    Shaft::new(ShaftModel {
        stretches: vec![stretch],
        discs: vec![
            Disc::ring(0.5, 0.28, 0.05, 0.07, 7810.0),
            Disc::ring(1.0, 0.35, 0.05, 0.07, 7810.0),
        ],
        unbalances: vec![],
        supports: [0.0, 1.5].map(|at_m| Support { at_m, rates }).to_vec(),
        stations_m: vec![0.25, 0.5, 0.75, 1.0, 1.25],
        theory: Theory::Timoshenko,
        mesh: Mesh::Places,
    })
    .unwrap()
}

#[test]
fn row_4_12_whirls_of_friswells_example() {
    let shaft = friswell();
    let hertz = |omega: f64| -> Vec<f64> {
        let found = shaft.natural_frequencies(omega).unwrap();
        found.iter().take(6).map(|whirl| whirl.omega_rad_s / (2.0 * PI)).collect()
    };
    let at_rest = [13.7921, 13.7921, 43.6582, 43.6582, 114.0801, 114.0801];
    for (got, want) in hertz(0.0).iter().zip(at_rest) {
        close(*got, want, 5e-6);
    }
    let turning = [13.5902, 13.9731, 40.0728, 46.9051, 95.5215, 131.6331];
    for (got, want) in hertz(4000.0 * PI / 30.0).iter().zip(turning) {
        close(*got, want, 5e-6);
    }
    let criticals = [825.13, 829.87, 2_487.76, 2_756.09, 5_379.5, 8_840.6];
    for (got, want) in pairs(&shaft).iter().zip(criticals) {
        close(*got, want, 1e-5);
    }
}

#[test]
fn row_4_14_discs() {
    for (outer, mass, polar, diametral) in [
        (0.28, 32.589_727_65, 0.329_563_62, 0.178_089_28),
        (0.35, 51.525_261_11, 0.805_082_20, 0.423_580_58),
    ] {
        let disc = Disc::ring(0.0, outer, 0.05, 0.07, 7810.0);
        close(disc.mass_kg, mass, 2e-10);
        close(disc.polar_kg_m2, polar, 2e-8);
        close(disc.diametral_kg_m2, diametral, 4e-8);
    }
}
