//! What pushes on rotors and shaft at one speed and boost: gas, gear, inertia; and what the shaft
//! makes of it.

use super::super::film::{Coefficients, FilmError, FilmTable, Motion as FilmMotion};
use super::super::pose::Slope;
use super::super::shaft::{Disc, Harmonics, Load, Rates, Response, Shaft, Unbalance};
use super::cycles::Cycles;
use super::error::SpeedError;
use super::model::{BearingModel, CycleKind, EngineModel, Running, Seat, TURN_DEG};
use super::turning::{Turning, turning};
use nalgebra::Complex;
use std::f64::consts::{FRAC_PI_2, TAU};
use std::sync::Arc;

type C = Complex<f64>;

/// Highest harmonic of the shaft's speed that is counted: the twelfth matters little, a knocking
/// cycle reaches a few further.
const HIGHEST: usize = 18;
/// Rounds between the load of the main bearings and their stiffness. The second changes the
/// slopes of the journals by a few per cent, the third by less than one (measured on the
/// examples).
const ROUNDS: usize = 2;
/// Stiffness of the films of main bearings over that of their seats, to begin with.
const FIRST_FILM: f64 = 2.0;

/// Damping of the main bearings over their stiffness, to begin with: without any, a harmonic may
/// fall on a critical speed.
const FIRST_DAMPING_S: f64 = 3e-4;

/// What pushes on one rotor, over one turn of the shaft by the degree, and what the shaft does
/// there. Complex numbers are `x + i y` in the stationary frame.
#[derive(Debug, Clone, PartialEq)]
pub struct RotorLoads {
    /// Gas through its centre, N.
    pub gas_n: Vec<C>,
    /// The mesh, N.
    pub mesh_n: Vec<C>,
    /// Its mass on its throw, N, outwards.
    pub centrifugal_n: f64,
    /// Slope of its journal from everything that turns with the shaft.
    pub slope_inertia: Vec<Slope>,
    /// The same from gas.
    pub slope_gas: Vec<Slope>,
    /// The same from the mesh.
    pub slope_mesh: Vec<Slope>,
    /// Moment of the mesh about its mid-plane, conjugate to its lean, N m.
    pub mesh_moment_n_m: Vec<Slope>,
    /// Moment of unbalanced gas on its sides, N m.
    pub side_moment_n_m: Vec<Slope>,
}

/// A main bearing at one speed.
#[derive(Debug, Clone, PartialEq)]
pub struct MainReport {
    /// Largest load, N.
    pub peak_load_n: f64,
    /// Thinnest film, m, where it was computed.
    pub least_film_m: Option<f64>,
    /// Film and seat in series, mean over the turn.
    pub rates: Rates,
}

/// Everything at one speed, boost and cycle.
#[derive(Debug, Clone)]
pub struct Loads {
    /// Speed and boost.
    pub running: Running,
    /// The cycle they are of.
    pub kind: CycleKind,
    /// Per rotor.
    pub rotors: Vec<RotorLoads>,
    /// Slopes of the journals per moment on them, `2N × 2N` row by row.
    pub flexibility: Vec<f64>,
    /// The shaft under all of it.
    pub response: Response,
    /// Main bearings, from the front.
    pub mains: Vec<MainReport>,
    /// Twist, ripple and gear.
    pub turning: Turning,
}

/// The shaft with the rotors on it, and tables of its films.
#[derive(Debug, Clone)]
pub(super) struct Structure {
    pub(super) shaft: Shaft,
    pub(super) mains: Vec<Arc<FilmTable>>,
    pub(super) rotors: Vec<Arc<FilmTable>>,
}

impl Structure {
    pub(super) fn new(model: &EngineModel) -> Result<Self, SpeedError> {
        let mut shaft = model.shaft.clone();
        for (rotor, at_m) in model.rotors.iter().zip(&model.shaft.stations_m) {
            shaft.discs.push(Disc {
                at_m: *at_m,
                mass_kg: rotor.mass_kg,
                polar_kg_m2: 0.0,
                diametral_kg_m2: 0.0,
            });
            shaft.unbalances.push(Unbalance {
                at_m: *at_m,
                amount_kg_m: rotor.mass_kg * model.eccentricity_m,
                angle_rad: (rotor.throw_deg as f64).to_radians(),
            });
        }
        for (support, seat) in shaft.supports.iter_mut().zip(&model.seats) {
            let share = FIRST_FILM / (1.0 + FIRST_FILM);
            let (radial, moment) = (seat.radial_n_per_m, seat.moment_n_m_per_rad);
            let (k, m) = (share * radial, share * moment);
            let rates = Rates::isotropic(k, FIRST_DAMPING_S * k, m, FIRST_DAMPING_S * m);
            support.rates = rates;
        }
        Ok(Self {
            shaft: Shaft::new(shaft)?,
            mains: tables(&model.mains, "main bearing")?,
            rotors: tables(&model.rotor_bearings, "bearing of rotor")?,
        })
    }
}

/// A table for each bearing.
fn tables(bearings: &[BearingModel], called: &str) -> Result<Vec<Arc<FilmTable>>, SpeedError> {
    let table = |(index, bearing): (usize, &BearingModel)| {
        let shape = bearing.sizes.length_m / bearing.sizes.diameter_m;
        FilmTable::shared(shape).map_err(named(called, index))
    };
    bearings.iter().enumerate().map(table).collect()
}

/// A film's error with the bearing's name.
pub(super) fn named(called: &str, index: usize) -> impl Fn(FilmError) -> SpeedError {
    move |source| SpeedError::Film { bearing: format!("{called} {}", index + 1), source }
}

/// Values of a rotor by its own angle, as values by the shaft's over one turn.
pub(super) fn ahead<T: Copy>(values: &[T], throw_deg: usize) -> Vec<T> {
    (0..TURN_DEG).map(|theta| values[(theta + throw_deg) % values.len()]).collect()
}

/// Direction of a throw at a degree of the shaft.
pub(super) fn throw_direction(theta_deg: usize, throw_deg: usize) -> C {
    Complex::cis(FRAC_PI_2 + ((theta_deg + throw_deg) as f64).to_radians())
}

pub(super) fn pair(value: C) -> Slope {
    [value.re, value.im]
}

/// Shaft and rotors under one cycle.
pub(super) fn loads(
    model: &EngineModel,
    structure: &Structure,
    cycles: &Cycles,
    kind: CycleKind,
    running: Running,
) -> Result<Loads, SpeedError> {
    let omega_rad_s = running.omega_rad_s;
    let gas = cycles.rotor(kind)?;
    let turning = turning(model, &gas, running)?;
    let forces: Vec<Forces> = model
        .rotors
        .iter()
        .zip(&turning.rotors)
        .map(|(rotor, turned)| Forces {
            gas_n: ahead(gas.force_n(), rotor.throw_deg),
            mesh_n: turned.mesh_n.clone(),
        })
        .collect();
    let gas_loads = on_stations(&forces, |forces| forces.gas_n.clone())?;
    let all_loads = on_stations(&forces, |forces| {
        forces.gas_n.iter().zip(&forces.mesh_n).map(|(gas, mesh)| gas + mesh).collect()
    })?;
    let mut shaft = structure.shaft.clone();
    let mut mains = Vec::new();
    for _ in 0..ROUNDS {
        let response = shaft.respond(omega_rad_s, &all_loads)?;
        mains = main_films(model, structure, &response, omega_rad_s)?;
        let rates: Vec<Rates> = mains.iter().map(|main| main.rates).collect();
        shaft = shaft.with_rates(&rates)?;
    }
    let response = shaft.respond(omega_rad_s, &all_loads)?;
    let inertia = slopes(&shaft.respond(omega_rad_s, &[])?);
    let with_gas = slopes(&shaft.respond(omega_rad_s, &gas_loads)?);
    let with_all = slopes(&response);
    let flexibility = symmetric(&shaft.flexibility()?.slope_per_moment);
    let rotors = model
        .rotors
        .iter()
        .enumerate()
        .map(|(index, rotor)| {
            let less = |all: &[Slope], part: &[Slope]| -> Vec<Slope> {
                all.iter().zip(part).map(|(a, b)| [a[0] - b[0], a[1] - b[1]]).collect()
            };
            RotorLoads {
                gas_n: forces[index].gas_n.clone(),
                mesh_n: forces[index].mesh_n.clone(),
                centrifugal_n: rotor.mass_kg * model.eccentricity_m * omega_rad_s.powi(2),
                slope_gas: less(&with_gas[index], &inertia[index]),
                slope_mesh: less(&with_all[index], &with_gas[index]),
                slope_inertia: inertia[index].clone(),
                mesh_moment_n_m: turning.rotors[index].mesh_moment_n_m.clone(),
                side_moment_n_m: turning.rotors[index].side_moment_n_m.clone(),
            }
        })
        .collect();
    Ok(Loads { running, kind, rotors, flexibility, response, mains, turning })
}

/// Forces on one rotor by the degree over one turn.
struct Forces {
    gas_n: Vec<C>,
    mesh_n: Vec<C>,
}

/// Forces of the rotors as loads on their stations.
fn on_stations(
    forces: &[Forces],
    pick: impl Fn(&Forces) -> Vec<C>,
) -> Result<Vec<Load>, SpeedError> {
    let load = |(station, forces): (usize, &Forces)| {
        Ok(Load {
            station,
            force_n: Harmonics::sampled(&pick(forces), HIGHEST)?,
            moment_n_m: Harmonics::constant(C::default()),
        })
    };
    forces.iter().enumerate().map(load).collect()
}

/// Slopes of the stations by the degree over one turn.
fn slopes(response: &Response) -> Vec<Vec<Slope>> {
    response
        .stations()
        .iter()
        .map(|motion| {
            (0..TURN_DEG)
                .map(|degree| pair(motion.slope_rad.at((degree as f64).to_radians())))
                .collect()
        })
        .collect()
}

/// The symmetric part, row by row: supports whose films push sideways leave a little that is not.
fn symmetric(matrix: &nalgebra::DMatrix<f64>) -> Vec<f64> {
    let n = matrix.nrows();
    (0..n * n).map(|k| 0.5 * (matrix[(k / n, k % n)] + matrix[(k % n, k / n)])).collect()
}

/// Films of the main bearings under what the shaft presses on them.
fn main_films(
    model: &EngineModel,
    structure: &Structure,
    response: &Response,
    omega_rad_s: f64,
) -> Result<Vec<MainReport>, SpeedError> {
    response
        .reactions()
        .iter()
        .enumerate()
        .map(|(index, reaction)| {
            let failed = named("main bearing", index);
            let main = &model.mains[index];
            let film = BearingModel::film(main.sizes, main.given, &structure.mains[index]);
            // The bearing pushes the shaft back: the load on the journal is the other way.
            let load_n: Vec<[f64; 2]> = (0..TURN_DEG)
                .map(|degree| pair(-reaction.force_n.at((degree as f64).to_radians())))
                .collect();
            let motion = FilmMotion {
                journal_omega_rad_s: omega_rad_s,
                bearing_omega_rad_s: 0.0,
                load_n: &load_n,
                period_s: TAU / omega_rad_s,
                wanted_film_m: main.wanted_film_m,
            };
            let cycle = film.and_then(|film| film.cycle(&motion)).map_err(&failed)?;
            let seat = &model.seats[index];
            let peak_load_n = load_n.iter().map(|f| f[0].hypot(f[1])).fold(0.0, f64::max);
            Ok(MainReport {
                peak_load_n,
                least_film_m: cycle.path.map(|path| path.least_film_m),
                rates: in_series(&cycle.mean, seat, omega_rad_s),
            })
        })
        .collect()
}

/// A film on its seat: `(1/Z_film + 1/K_seat)⁻¹` of the dynamic stiffness `Z = K + iωC` at the
/// shaft's speed, the same in every direction: means over the turn and over both directions. A
/// film's push to the side is left out; it decides whether a shaft whirls by itself, which is not
/// asked here.
fn in_series(film: &Coefficients, seat: &Seat, omega_rad_s: f64) -> Rates {
    let series = |k: [[f64; 2]; 2], c: [[f64; 2]; 2], seat: f64| {
        let mean = |m: [[f64; 2]; 2]| (0.5 * (m[0][0] + m[1][1])).max(0.0);
        let z = C::new(mean(k), omega_rad_s * mean(c));
        // Z s / (Z + s), which is nothing for a film that is none.
        let together = z * seat / (z + seat);
        (together.re, together.im / omega_rad_s)
    };
    let (radial, damping) =
        series(film.stiffness_n_per_m, film.damping_n_s_per_m, seat.radial_n_per_m);
    let (moment, moment_damping) = series(
        film.tilt_stiffness_n_m_per_rad,
        film.tilt_damping_n_m_s_per_rad,
        seat.moment_n_m_per_rad,
    );
    Rates::isotropic(radial, damping, moment, moment_damping)
}
