//! An engine ready to be asked at any speed and boost.

use super::super::film::{FilmCycle, Motion as FilmMotion};
use super::super::pose::{
    Cycle, Edges, Motion, MovingRotor, Place, RotorGaps, Slope, TiltFilm, WearMark,
};
use super::super::shaft::Whirl;
use super::cycles::Cycles;
use super::error::SpeedError;
use super::loads::{Loads, RotorLoads, Structure, loads, named, pair, throw_direction};
use super::model::{BearingModel, CycleKind, EngineModel, Running, TURN_DEG};
use crate::room::HotSizes;
use std::f64::consts::TAU;

/// A motion has settled when no lean changes by more than this from cycle to cycle: a twentieth
/// of a micrometre at a tip. Without contact it settles to rounding; while a land rolls along its
/// wall from one point of its edge to the next, some 1e-7 rad remain.
const SETTLED_RAD: f64 = 5e-7;

/// A tilt inertia of nothing is this part of its own, so that the motion stays one.
const LEAST_INERTIA: f64 = 1e-9;

/// What is taken more or less than the model says.
#[derive(Debug, Clone, PartialEq)]
pub struct Scales {
    /// Share of each cause in the slopes of the journals.
    pub inertia: f64,
    /// Gas: its force on films and shaft.
    pub gas: f64,
    /// The mesh: force and moment.
    pub mesh: f64,
    /// Unbalanced gas on the sides.
    pub side: f64,
    /// How much softer the shaft is.
    pub softness: f64,
    /// How much more rotors lean than computed, on everything that makes them lean: the error of
    /// the model, over the median that a shop has taught.
    pub lean: f64,
    /// Tilt inertia of the rotors.
    pub tilt_inertia: f64,
    /// Viscosity of the oil in the rotors' bearings.
    pub viscosity: f64,
    /// Clearance of each rotor's bearing.
    pub clearance: Vec<f64>,
}

impl Scales {
    /// All as the model says.
    #[must_use]
    pub fn as_modelled(rotors: usize) -> Self {
        Self {
            inertia: 1.0,
            gas: 1.0,
            mesh: 1.0,
            side: 1.0,
            softness: 1.0,
            lean: 1.0,
            tilt_inertia: 1.0,
            viscosity: 1.0,
            clearance: vec![1.0; rotors],
        }
    }
}

/// A rotor's bearing at one speed.
#[derive(Debug, Clone, PartialEq)]
pub struct RotorFilm {
    /// Against tilt, by the degree over one turn.
    pub tilt: Vec<TiltFilm>,
    /// All that was computed.
    pub cycle: FilmCycle,
    /// Largest load, N.
    pub peak_load_n: f64,
}

/// The motion at one speed and what it leaves.
#[derive(Debug, Clone, PartialEq)]
pub struct Pose {
    /// The motion.
    pub cycle: Cycle,
    /// What it leaves each rotor.
    pub gaps: Vec<RotorGaps>,
    /// Where walls are rubbed, per rotor.
    pub wear: Vec<Vec<WearMark>>,
}

/// The motion as if there were no walls, and with them.
#[derive(Debug, Clone, PartialEq)]
pub struct Poses {
    /// Without walls and edges.
    pub free: Pose,
    /// With them; nothing where the free motion touches none, which then is the true one.
    pub held: Option<Pose>,
}

impl Poses {
    /// The motion as it is.
    #[must_use]
    pub fn real(&self) -> &Pose {
        self.held.as_ref().unwrap_or(&self.free)
    }
}

/// An engine at one speed and boost, in its hard cycle.
#[derive(Debug, Clone)]
pub struct Point {
    /// Pressure.
    pub cycles: Cycles,
    /// Forces.
    pub loads: Loads,
    /// Films of the rotors' bearings.
    pub films: Vec<RotorFilm>,
    /// The motion.
    pub poses: Poses,
}

/// An engine ready to be asked.
#[derive(Debug, Clone)]
pub struct Engine {
    pub(super) model: EngineModel,
    pub(super) structure: Structure,
    pub(super) sizes: Vec<HotSizes>,
}

impl Engine {
    /// Takes a model; the first time a shape of bearing is met its table of films is made, which
    /// takes some tenths of a second.
    ///
    /// # Errors
    /// [`SpeedError`] naming the part that makes no engine.
    pub fn new(model: EngineModel) -> Result<Self, SpeedError> {
        model.check()?;
        let structure = Structure::new(&model)?;
        let sizes = model.rotors.iter().map(|rotor| rotor.room.sizes(&rotor.cold)).collect();
        Ok(Self { model, structure, sizes })
    }

    /// What it was made from.
    #[must_use]
    pub fn model(&self) -> &EngineModel {
        &self.model
    }

    /// Faces and housings as they are hot.
    #[must_use]
    pub fn sizes(&self) -> &[HotSizes] {
        &self.sizes
    }

    /// Pressures at one speed and boost.
    ///
    /// # Errors
    /// [`SpeedError`] for gas that cannot be computed.
    pub fn cycles(&self, running: Running) -> Result<Cycles, SpeedError> {
        Cycles::of(&self.model, running)
    }

    /// Forces in one cycle.
    ///
    /// # Errors
    /// [`SpeedError`] for what cannot be computed.
    pub fn loads(
        &self,
        cycles: &Cycles,
        kind: CycleKind,
        running: Running,
    ) -> Result<Loads, SpeedError> {
        loads(&self.model, &self.structure, cycles, kind, running)
    }

    /// Everything at one speed and boost in the hard cycle, which is the one that touches.
    ///
    /// # Errors
    /// [`SpeedError`] for what cannot be computed.
    pub fn point(&self, running: Running) -> Result<Point, SpeedError> {
        let cycles = self.cycles(running)?;
        let loads = self.loads(&cycles, CycleKind::Hard, running)?;
        let scales = Scales::as_modelled(self.model.rotors.len());
        let films = self.films(&loads, &scales)?;
        let poses = self.poses(&loads, &films, &self.sizes, &scales)?;
        Ok(Point { cycles, loads, films, poses })
    }

    /// Critical speeds of the shaft with the main bearings as they are at one speed.
    ///
    /// # Errors
    /// [`SpeedError`] where the shaft has none that can be found.
    pub fn critical_speeds(&self, loads: &Loads) -> Result<Vec<Whirl>, SpeedError> {
        let rates: Vec<_> = loads.mains.iter().map(|main| main.rates).collect();
        Ok(self.structure.shaft.with_rates(&rates)?.critical_speeds()?)
    }

    /// Films of the rotors' bearings.
    ///
    /// # Errors
    /// [`SpeedError::Film`] naming the bearing.
    pub fn films(&self, loads: &Loads, scales: &Scales) -> Result<Vec<RotorFilm>, SpeedError> {
        (0..self.model.rotors.len()).map(|index| self.film(loads, scales, index)).collect()
    }

    fn film(&self, loads: &Loads, scales: &Scales, index: usize) -> Result<RotorFilm, SpeedError> {
        let failed = named("bearing of rotor", index);
        let bearing = &self.model.rotor_bearings[index];
        let mut sizes = bearing.sizes;
        sizes.radial_clearance_m *= scales.clearance[index];
        sizes.viscosity_pa_s *= scales.viscosity;
        let throw_deg = self.model.rotors[index].throw_deg;
        let on = &loads.rotors[index];
        let load_n: Vec<[f64; 2]> = (0..TURN_DEG)
            .map(|degree| {
                let outwards = throw_direction(degree, throw_deg) * on.centrifugal_n;
                pair(
                    on.gas_n[degree] * scales.gas
                        + on.mesh_n[degree] * scales.mesh
                        + outwards * scales.inertia,
                )
            })
            .collect();
        let omega_rad_s = loads.running.omega_rad_s;
        let motion = FilmMotion {
            journal_omega_rad_s: omega_rad_s,
            bearing_omega_rad_s: omega_rad_s / 3.0,
            load_n: &load_n,
            period_s: TAU / omega_rad_s,
            wanted_film_m: bearing.wanted_film_m,
        };
        let film = BearingModel::film(sizes, bearing.given, &self.structure.rotors[index]);
        let cycle = film.and_then(|film| film.cycle(&motion)).map_err(&failed)?;
        let tilt = cycle
            .coefficients
            .iter()
            .enumerate()
            .map(|(instant, film)| {
                let per_length = 2.0 / sizes.length_m;
                let edges = cycle.path.as_ref().map(|path| Edges {
                    reach_rad: per_length * sizes.radial_clearance_m,
                    offset: path.points[instant].eccentricity_m.map(|e| per_length * e),
                });
                TiltFilm {
                    stiffness: film.tilt_stiffness_n_m_per_rad,
                    damping: film.tilt_damping_n_m_s_per_rad,
                    edges,
                }
            })
            .collect();
        let peak_load_n = load_n.iter().map(|f| f[0].hypot(f[1])).fold(0.0, f64::max);
        Ok(RotorFilm { tilt, cycle, peak_load_n })
    }

    /// The motion, as if there were no walls and with them.
    ///
    /// # Errors
    /// [`SpeedError::Pose`].
    pub fn poses(
        &self,
        loads: &Loads,
        films: &[RotorFilm],
        sizes: &[HotSizes],
        scales: &Scales,
    ) -> Result<Poses, SpeedError> {
        let tables = Tables::new(loads, scales, self.model.lean());
        let motion = self.motion(loads, films, sizes, scales, &tables);
        let pose = |cycle: Cycle| {
            let wear = (0..sizes.len()).map(|index| motion.wear(&cycle, index)).collect();
            Pose { gaps: motion.gaps(&cycle), wear, cycle }
        };
        let (free, held) = motion.run_both()?;
        Ok(Poses { free: pose(free), held: held.map(pose) })
    }

    /// Leans of all rotors by the degree, as if there were no walls.
    pub(super) fn free_leans(
        &self,
        loads: &Loads,
        films: &[RotorFilm],
        scales: &Scales,
    ) -> Result<Vec<Vec<Slope>>, SpeedError> {
        let tables = Tables::new(loads, scales, self.model.lean());
        let cycle = self.motion(loads, films, &self.sizes, scales, &tables).run_free()?;
        let leans = |poses: Vec<Place>| poses.into_iter().map(|pose| pose.lean).collect();
        Ok(cycle.rotors.into_iter().map(leans).collect())
    }

    fn motion<'a>(
        &'a self,
        loads: &Loads,
        films: &'a [RotorFilm],
        sizes: &'a [HotSizes],
        scales: &Scales,
        tables: &'a Tables,
    ) -> Motion<'a> {
        let rotors = self
            .model
            .rotors
            .iter()
            .enumerate()
            .map(|(index, rotor)| MovingRotor {
                room: &rotor.room,
                sizes: &sizes[index],
                ahead: rotor.throw_deg,
                polar_kg_m2: rotor.polar_kg_m2 * scales.tilt_inertia.max(LEAST_INERTIA),
                diametral_kg_m2: rotor.diametral_kg_m2 * scales.tilt_inertia.max(LEAST_INERTIA),
                moment_n_m: &tables.rotors[index].1,
                film: &films[index].tilt,
                free_slope: &tables.rotors[index].0,
            })
            .collect();
        Motion {
            rotors,
            omega_rad_s: loads.running.omega_rad_s,
            flexibility: &tables.flexibility,
            settled_rad: SETTLED_RAD,
        }
    }
}

/// What a motion borrows: slopes and moments by the degree, per rotor; the shaft's flexibility.
struct Tables {
    rotors: Vec<(Vec<Slope>, Vec<Slope>)>,
    flexibility: Vec<f64>,
}

impl Tables {
    fn new(loads: &Loads, scales: &Scales, taught: f64) -> Self {
        let lean = taught * scales.lean;
        Self {
            rotors: loads.rotors.iter().map(|on| drives(on, scales, lean)).collect(),
            flexibility: loads.flexibility.iter().map(|c| c * scales.softness).collect(),
        }
    }
}

/// Slope of the journal and moment on the rotor, by the degree over one turn.
fn drives(on: &RotorLoads, scales: &Scales, lean: f64) -> (Vec<Slope>, Vec<Slope>) {
    let slope = |degree: usize| {
        [0, 1].map(|axis: usize| {
            lean * scales.softness
                * (scales.inertia * on.slope_inertia[degree][axis]
                    + scales.gas * on.slope_gas[degree][axis]
                    + scales.mesh * on.slope_mesh[degree][axis])
        })
    };
    let moment = |degree: usize| {
        [0, 1].map(|axis: usize| {
            lean * (scales.mesh * on.mesh_moment_n_m[degree][axis]
                + scales.gas * scales.side * on.side_moment_n_m[degree][axis])
        })
    };
    ((0..TURN_DEG).map(slope).collect(), (0..TURN_DEG).map(moment).collect())
}
