//! Whole engines at speed against NumPy and SciPy (`reference/speed`) [SCIPY], their walls by another
//! way of solving the same programs [LAWSON-HANSON].

#![expect(clippy::unwrap_used, clippy::panic, reason = "in a test a panic is the report")]

mod sample_engine;

use kernel::speed::engine::{CycleKind, Engine, Loads, Poses, RotorFilm, Running, Scales};
use kernel::speed::pose::RotorGaps;
use kernel::units::Length;
use std::collections::BTreeMap;

const VALUES: &str = include_str!("../../../reference/speed/values.csv");
/// Values of the table; only rises.
const NUMPY_VALUES: usize = 1763;
/// Operating points; only rises.
const POINTS: usize = 9;

// What may differ, absolutely (in the table's unit) and of the value. Both sides have a grid for
// their films; what lies between them is that of the table's six strips, most of it in tilt.
/// Slopes of journals, microradians.
const SLOPE: (f64, f64) = (0.5, 0.005);
/// Leans, microradians. Without gas little but the film's tilt decides, and 7 of 270 µrad differ;
/// with twice the table's strips or lines the kernel itself moves by 2 to 7.
const LEAN: (f64, f64) = (8.0, 0.003);
/// Film over the clearance.
const FILM: (f64, f64) = (0.0005, 0.004);
/// Stiffness and damping of a main bearing on its seat.
const MAIN: (f64, f64) = (0.0, 0.002);
/// Gaps and float, micrometres: what the leans make of them at 61 and 99 mm.
const GAP: (f64, f64) = (0.9, 0.0);
/// Forces of walls, newtons.
const FORCE: (f64, f64) = (1.0, 0.03);

struct Computed {
    loads: Loads,
    films: Vec<RotorFilm>,
    poses: Poses,
    clearance_m: f64,
}

fn of_gaps(gaps: &RotorGaps, what: &str) -> f64 {
    match what {
        "lean_urad" => gaps.largest_lean_rad.0 * 1e6,
        "worst_float_um" => gaps.least().unwrap().2.worst_float_m * 1e6,
        "centred_um" => gaps.least_centred_m().unwrap() * 1e6,
        "least_float_um" => gaps.least_float_m.0 * 1e6,
        "land_n" => gaps.land_force_n,
        "tip_n" => gaps.tip_force_n,
        other => panic!("{other}"),
    }
}

impl Computed {
    /// From rotors, speed, boost, clearance, step, and whether the gas pushes.
    fn of(given: &[&str]) -> Self {
        let number = |at: usize| -> f64 { given[at].parse().unwrap() };
        let rotors: usize = given[0].parse().unwrap();
        let (clearance, step) = (Length::m(number(3)), Length::m(number(4)));
        let engine = Engine::new(sample_engine::engine(rotors, clearance, step)).unwrap();
        let running = Running { omega_rad_s: number(1), boost_pa: number(2) };
        let cycles = engine.cycles(running).unwrap();
        let loads = engine.loads(&cycles, CycleKind::Hard, running).unwrap();
        let scales = Scales { gas: number(5), ..Scales::as_modelled(rotors) };
        let films = engine.films(&loads, &scales).unwrap();
        let poses = engine.poses(&loads, &films, engine.sizes(), &scales).unwrap();
        let clearance_m = engine.model().rotor_bearings[0].sizes.radial_clearance_m;
        Self { loads, films, poses, clearance_m }
    }

    fn value(&self, quantity: &str, number: &str, angle: &str) -> f64 {
        let index = || number.parse::<usize>().unwrap();
        let angle = || angle.parse::<usize>().unwrap();
        let axis = usize::from(quantity.contains("_y"));
        match quantity {
            "touches" => f64::from(u8::from(self.poses.held.is_some())),
            "slope_inertia_x_urad" | "slope_inertia_y_urad" => {
                self.loads.rotors[index()].slope_inertia[angle()][axis] * 1e6
            }
            "slope_gas_x_urad" | "slope_gas_y_urad" => {
                self.loads.rotors[index()].slope_gas[angle()][axis] * 1e6
            }
            "slope_mesh_x_urad" | "slope_mesh_y_urad" => {
                self.loads.rotors[index()].slope_mesh[angle()][axis] * 1e6
            }
            "free_lean_x_urad" | "free_lean_y_urad" => {
                self.poses.free.cycle.rotors[index()][angle()].lean[axis] * 1e6
            }
            "film_over_clearance" => {
                let path = self.films[index()].cycle.path.as_ref().unwrap();
                path.points[angle()].least_film_m / self.clearance_m
            }
            "main_stiffness_mn_m_x" | "main_stiffness_mn_m_y" => {
                let axis = usize::from(quantity.ends_with('y'));
                self.loads.mains[index()].rates.stiffness_n_per_m[axis][axis] / 1e6
            }
            "main_damping_kn_s_m_x" | "main_damping_kn_s_m_y" => {
                let axis = usize::from(quantity.ends_with('y'));
                self.loads.mains[index()].rates.damping_n_s_per_m[axis][axis] / 1e3
            }
            other => match other.split_once('_').unwrap() {
                ("free", what) => of_gaps(&self.poses.free.gaps[index()], what),
                ("true", what) => of_gaps(&self.poses.real().gaps[index()], what),
                _ => panic!("{other}"),
            },
        }
    }
}

/// By how much a value may differ: absolutely, and of itself.
fn tolerance(quantity: &str) -> (f64, f64) {
    match quantity {
        "touches" => (0.0, 0.0),
        slope if slope.starts_with("slope_") => SLOPE,
        lean if lean.starts_with("free_lean_") || lean.ends_with("_lean_urad") => LEAN,
        "film_over_clearance" => FILM,
        main if main.starts_with("main_") => MAIN,
        gap if gap.ends_with("_um") => GAP,
        force if force.ends_with("_n") => FORCE,
        other => panic!("{other}"),
    }
}

#[test]
fn engines_at_speed_are_as_numpy_and_scipy_have_them() {
    let mut points = BTreeMap::new();
    let mut wrong = Vec::new();
    let mut count = 0;
    for line in VALUES.lines().skip(1) {
        let cells: Vec<&str> = line.split(',').collect();
        let point = points.entry(cells[0].to_owned()).or_insert_with(|| Computed::of(&cells[1..7]));
        let value = point.value(cells[7], cells[8], cells[9]);
        let wanted: f64 = cells[10].parse().unwrap();
        let (absolute, relative) = tolerance(cells[7]);
        count += 1;
        // A NaN is not within anything.
        let right = (value - wanted).abs() <= absolute + relative * wanted.abs();
        if !right {
            wrong.push(format!("{line}: {value}"));
        }
    }
    assert!(wrong.is_empty(), "{} of {count}:\n{}", wrong.len(), wrong.join("\n"));
    assert_eq!((count, points.len()), (NUMPY_VALUES, POINTS));
}
