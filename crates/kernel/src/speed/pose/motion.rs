//! Shaft and rotors as one problem, step by step through 1080° to a periodic state.
//!
//! Unknown at each step are the leans `t` of all rotors, the slopes `s` of their journals and the
//! floats `z`. They minimise
//!
//! `½ rᵀK′r − hᵀr + ½ (s − s₀)ᵀ C⁻¹ (s − s₀) − mᵀt + ½ I_d/Δ² |t − t̂|² + ½ k_z z²`, `r = t − s`,
//!
//! under the walls (rows of the room, hot) and the edges of each bearing. `s₀` is where the
//! journals go without any moment on them, `C` the shaft's flexibility against moments on its
//! journals; so a wall that holds one rotor bends the shaft back and tilts the other. `K′ = K + D/Δ`
//! and `h = D r₋/Δ` are the film by implicit Euler with the step `Δ` in time; the skew parts of
//! stiffness and damping, which have no energy, are taken from the step before, and so is the
//! gyroscopic moment. `t̂ = 2 t₋ − t₋₋` carries the tilt inertia: in complex form
//! `I_d ẗ − i I_p (ω/3) ṫ = m`, which for a lean that turns with the shaft is a moment
//! `(I_d − I_p/3) ω²` per lean, outwards.
//!
//! Multipliers of the rows are the contact forces. Friction of a contact is left out, and so is
//! the rotor's axial inertia (hundreds of newtons where lands push with thousands).

use super::error::PoseError;
use super::quadratic::Solver;
use super::walls::{EDGE_ID, Edges, ROTOR_ID, SIDE_ID, Walls};
use crate::room::{ContactPoint, HotSizes, MovingRoom};
use nalgebra::{Cholesky, DMatrix};
use std::f64::consts::PI;

/// A lean or a slope: `(x, y)` in the stationary frame.
pub type Slope = [f64; 2];

/// One orbit in radians of the shaft.
const ORBIT_RAD: f64 = 6.0 * PI;

/// What centres a rotor in its float, in newtons per metre: about what springs of side and corner
/// seals do. Its force is about a newton, so it decides nothing but where a free rotor is drawn.
const CENTRING_N_PER_M: f64 = 1e4;

/// What a lean may still change by from cycle to cycle where lands roll: half a micrometre at a
/// tip.
const ROLLING_RAD: f64 = 5e-6;

/// Cycles of 1080° allowed to settle.
const CYCLES: usize = 12;

/// The film of a rotor bearing against tilt, at one instant, in the stationary frame.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TiltFilm {
    /// Moment per relative slope, N m/rad.
    pub stiffness: [[f64; 2]; 2],
    /// Moment per rate of relative slope, N m s/rad.
    pub damping: [[f64; 2]; 2],
    /// Where its edges touch; nothing: not known.
    pub edges: Option<Edges>,
}

/// One rotor of the motion. Tables run over the shaft's angle from 0 in steps of the room's
/// places and repeat after their own length.
#[derive(Debug, Clone, Copy)]
pub struct MovingRotor<'a> {
    /// Its walls.
    pub room: &'a MovingRoom,
    /// Its faces and walls, hot.
    pub sizes: &'a HotSizes,
    /// By how many places its own angle is ahead of the shaft's.
    pub ahead: usize,
    /// About its axis, kg m².
    pub polar_kg_m2: f64,
    /// About a diameter through its centre of mass, kg m².
    pub diametral_kg_m2: f64,
    /// Moments on it that are not film, walls or inertia, conjugate to its lean: N m.
    pub moment_n_m: &'a [Slope],
    /// Its film.
    pub film: &'a [TiltFilm],
    /// Slope of its journal without moments on the shaft.
    pub free_slope: &'a [Slope],
}

/// Shaft and rotors in motion.
#[derive(Debug, Clone)]
pub struct Motion<'a> {
    /// Rotors, from the front.
    pub rotors: Vec<MovingRotor<'a>>,
    /// Of the shaft.
    pub omega_rad_s: f64,
    /// Slopes of the journals per moment on the journals, rad/(N m): `2N × 2N` row by row in the
    /// order of the rotors, `x` before `y`; symmetric and positive definite.
    pub flexibility: &'a [f64],
    /// The motion has settled when no lean changes by more than this from cycle to cycle.
    pub settled_rad: f64,
}

/// A rotor at one place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Place {
    /// Lean of the rotor.
    pub lean: Slope,
    /// Slope of its journal.
    pub journal: Slope,
}

/// A wall that pushes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Push {
    /// Place of the shaft.
    pub place: usize,
    /// Which rotor, from 0.
    pub rotor: usize,
    /// Where on it.
    pub at: ContactPoint,
    /// How hard, in newtons.
    pub force_n: f64,
}

/// One periodic cycle.
#[derive(Debug, Clone, PartialEq)]
pub struct Cycle {
    /// Per rotor, per place of the shaft.
    pub rotors: Vec<Vec<Place>>,
    /// Every contact.
    pub pushes: Vec<Push>,
    /// Places at which a bearing's edge carried, with the rotor and the moment in N m.
    pub edges: Vec<(usize, usize, f64)>,
    /// Largest change of a lean from the cycle before.
    pub residual_rad: f64,
}

/// Per place: `H⁻¹`, and the film's numbers of each rotor.
struct Matrices {
    inverse: Vec<f64>,
    /// `D/Δ` less the skew stiffness, and the skew damping over `Δ`, per rotor.
    lagged: Vec<([[f64; 2]; 2], f64)>,
}

impl Motion<'_> {
    /// Through the cycle with walls.
    ///
    /// # Errors
    /// [`PoseError`] when numbers do not fit, the rotor does not pass, or nothing settles.
    pub fn run(&self) -> Result<Cycle, PoseError> {
        Stepper::new(self)?.run(true)
    }

    /// Through the cycle as if there were no walls and no edges.
    ///
    /// # Errors
    /// As [`Motion::run`].
    pub fn run_free(&self) -> Result<Cycle, PoseError> {
        Stepper::new(self)?.run(false)
    }

    /// Without walls and, where that motion does not keep clear of them, with them.
    ///
    /// # Errors
    /// As [`Motion::run`].
    pub fn run_both(&self) -> Result<(Cycle, Option<Cycle>), PoseError> {
        let mut stepper = Stepper::new(self)?;
        let free = stepper.run(false)?;
        let held = if self.passes(&free) { None } else { Some(stepper.run(true)?) };
        Ok((free, held))
    }

    /// Whether a motion keeps clear of all walls and edges: then it is the same with and without
    /// them.
    #[must_use]
    pub fn passes(&self, cycle: &Cycle) -> bool {
        let n = self.rotors.len();
        let mut x = vec![0.0; 5 * n];
        (0..self.places()).all(|place| {
            for (index, poses) in cycle.rotors.iter().enumerate() {
                let Some(pose) = poses.get(place) else { return false };
                x[2 * index..2 * index + 2].copy_from_slice(&pose.lean);
                x[2 * (n + index)..2 * (n + index) + 2].copy_from_slice(&pose.journal);
            }
            Walls { rotors: &self.rotors, place }.pass(&x)
        })
    }

    fn check(&self) -> Result<(usize, usize), PoseError> {
        let n = self.rotors.len();
        let Some(first) = self.rotors.first() else {
            return Err(PoseError::Count { what: "rotors", count: 0, wanted: 1 });
        };
        let places = first.room.places();
        let films = first.film.len();
        let count = |what, count, wanted| {
            if count == wanted { Ok(()) } else { Err(PoseError::Count { what, count, wanted }) }
        };
        count("entries of the flexibility", self.flexibility.len(), 4 * n * n)?;
        let positive = |what, value: f64| {
            if value > 0.0 && value.is_finite() {
                Ok(())
            } else {
                Err(PoseError::Value { what, value, must: "above zero" })
            }
        };
        positive("the speed", self.omega_rad_s)?;
        positive("the change that counts as settled", self.settled_rad)?;
        for rotor in &self.rotors {
            count("places of a rotor's room", rotor.room.places(), places)?;
            count("films of a rotor", rotor.film.len(), films)?;
            for (what, table) in [
                ("moments of a rotor", rotor.moment_n_m.len()),
                ("slopes of a journal", rotor.free_slope.len()),
                ("films of a rotor", films),
            ] {
                if table == 0 || !places.is_multiple_of(table) {
                    return Err(PoseError::Count { what, count: table, wanted: places });
                }
            }
            positive("the polar inertia of a rotor", rotor.polar_kg_m2)?;
            positive("the diametral inertia of a rotor", rotor.diametral_kg_m2)?;
        }
        Ok((places, films))
    }
}

struct Stepper<'a, 'b> {
    motion: &'a Motion<'b>,
    places: usize,
    step_s: f64,
    matrices: Vec<Matrices>,
    /// `C⁻¹`, row by row.
    stiffness: Vec<f64>,
    solver: Solver,
    lean: [Vec<f64>; 2],
    relative: [Vec<f64>; 2],
    right: Vec<f64>,
    x: Vec<f64>,
}

impl<'a, 'b> Stepper<'a, 'b> {
    fn new(motion: &'a Motion<'b>) -> Result<Self, PoseError> {
        let (places, films) = motion.check()?;
        let n = motion.rotors.len();
        let step_s = ORBIT_RAD / places as f64 / motion.omega_rad_s;
        let flexibility = DMatrix::from_row_slice(2 * n, 2 * n, motion.flexibility);
        let stiffness = Cholesky::new(flexibility)
            .ok_or(PoseError::Value {
                what: "the shaft's flexibility",
                value: motion.flexibility[0],
                must: "positive definite",
            })?
            .inverse();
        let matrices = (0..films)
            .map(|place| matrices(motion, place, step_s, &stiffness))
            .collect::<Result<Vec<_>, _>>()?;
        Ok(Self {
            motion,
            places,
            step_s,
            matrices,
            stiffness: stiffness.transpose().as_slice().to_vec(),
            solver: Solver::default(),
            lean: [vec![0.0; 2 * n], vec![0.0; 2 * n]],
            relative: [vec![0.0; 2 * n], vec![0.0; 2 * n]],
            right: vec![0.0; 5 * n],
            x: vec![0.0; 5 * n],
        })
    }

    fn run(&mut self, walls: bool) -> Result<Cycle, PoseError> {
        let n = self.motion.rotors.len();
        // One turn to forget the start, which is: every rotor square on its journal.
        let turn = self.places / 3;
        let first = self.places - turn;
        for (index, rotor) in self.motion.rotors.iter().enumerate() {
            let slope = rotor.free_slope[first % rotor.free_slope.len()];
            for old in &mut self.lean {
                old[2 * index..2 * index + 2].copy_from_slice(&slope);
            }
        }
        self.relative.iter_mut().for_each(|old| old.fill(0.0));
        for place in first..self.places {
            self.step(place, walls)?;
        }
        // Without walls, which turn with the rotors, everything comes back after each turn.
        let span = if walls || !self.repeats(turn) { self.places } else { turn };
        let mut cycle = Cycle {
            rotors: vec![Vec::with_capacity(self.places); n],
            pushes: Vec::new(),
            edges: Vec::new(),
            residual_rad: f64::INFINITY,
        };
        for _ in 0..CYCLES {
            let before = self.lean[0].clone();
            cycle.rotors.iter_mut().for_each(Vec::clear);
            cycle.pushes.clear();
            cycle.edges.clear();
            for place in 0..span {
                let held = self.step(place, walls)?;
                self.record(place, held, &mut cycle);
            }
            cycle.residual_rad =
                before.iter().zip(&self.lean[0]).map(|(a, b)| (a - b).abs()).fold(0.0, f64::max);
            if cycle.residual_rad <= self.motion.settled_rad {
                for poses in &mut cycle.rotors {
                    *poses = poses.iter().copied().cycle().take(self.places).collect();
                }
                return Ok(cycle);
            }
        }
        // Lands that roll along both walls under great force go from point to point of their edge a
        // little differently each time.
        if !cycle.pushes.is_empty() && cycle.residual_rad <= ROLLING_RAD {
            return Ok(cycle);
        }
        Err(PoseError::NotPeriodic { cycles: CYCLES, residual_rad: cycle.residual_rad })
    }

    /// Whether all tables come back after so many places.
    fn repeats(&self, places: usize) -> bool {
        let mut rotors = self.motion.rotors.iter();
        rotors.all(|rotor| {
            let lengths = [rotor.moment_n_m.len(), rotor.free_slope.len(), rotor.film.len()];
            lengths.iter().all(|length| places.is_multiple_of(*length))
        })
    }

    fn record(&self, place: usize, held: bool, cycle: &mut Cycle) {
        let n = self.motion.rotors.len();
        for (index, poses) in cycle.rotors.iter_mut().enumerate() {
            poses.push(Place {
                lean: [self.x[2 * index], self.x[2 * index + 1]],
                journal: [self.x[2 * (n + index)], self.x[2 * (n + index) + 1]],
            });
        }
        if !held {
            return;
        }
        let walls = Walls { rotors: &self.motion.rotors, place };
        for active in self.solver.active() {
            let rotor = (active.row.id / ROTOR_ID) as usize;
            if active.row.id & EDGE_ID != 0 {
                cycle.edges.push((place, rotor, active.multiplier));
                continue;
            }
            let side = usize::from(active.row.id & SIDE_ID != 0);
            let point = (active.row.id % SIDE_ID) as usize;
            let given = &self.motion.rotors[rotor];
            if let Some(at) = given.room.contact(given.sizes, walls.own_place(rotor), side, point) {
                cycle.pushes.push(Push { place, rotor, at, force_n: active.multiplier });
            }
        }
    }

    /// One step; whether walls or edges had a say.
    fn step(&mut self, place: usize, with_walls: bool) -> Result<bool, PoseError> {
        let n = self.motion.rotors.len();
        let matrices = &self.matrices[place % self.matrices.len()];
        let rate = 1.0 / self.step_s;
        for (index, rotor) in self.motion.rotors.iter().enumerate() {
            let (lagged, skew) = matrices.lagged[index];
            let at = |v: &[f64]| [v[2 * index], v[2 * index + 1]];
            let (old, older) = (at(&self.relative[0]), at(&self.relative[1]));
            let h = [
                lagged[0][0] * old[0] + lagged[0][1] * old[1] - skew * (old[1] - older[1]),
                lagged[1][0] * old[0] + lagged[1][1] * old[1] + skew * (old[0] - older[0]),
            ];
            let (t, t_older) = (at(&self.lean[0]), at(&self.lean[1]));
            let inertia = rotor.diametral_kg_m2 * rate * rate;
            let spin = rotor.polar_kg_m2 * self.motion.omega_rad_s / 3.0 * rate;
            let m = rotor.moment_n_m[place % rotor.moment_n_m.len()];
            self.right[2 * index] =
                h[0] + m[0] + inertia * (2.0 * t[0] - t_older[0]) - spin * (t[1] - t_older[1]);
            self.right[2 * index + 1] =
                h[1] + m[1] + inertia * (2.0 * t[1] - t_older[1]) + spin * (t[0] - t_older[0]);
            for (axis, h) in h.into_iter().enumerate() {
                let line = 2 * index + axis;
                let mut pull = -h;
                for (other, from) in self.motion.rotors.iter().enumerate() {
                    let free = from.free_slope[place % from.free_slope.len()];
                    let line = &self.stiffness[line * 2 * n..(line + 1) * 2 * n];
                    pull += line[2 * other] * free[0] + line[2 * other + 1] * free[1];
                }
                self.right[2 * n + line] = pull;
            }
        }
        for i in 0..4 * n {
            let line = &matrices.inverse[i * 5 * n..i * 5 * n + 4 * n];
            self.x[i] = line.iter().zip(&self.right).map(|(a, b)| a * b).sum();
        }
        self.x[4 * n..].fill(0.0);
        let walls = Walls { rotors: &self.motion.rotors, place };
        let held = with_walls && !walls.pass(&self.x);
        if held {
            self.solver.solve(&matrices.inverse, &mut self.x, &walls)?;
        }
        self.lean.swap(0, 1);
        self.relative.swap(0, 1);
        for i in 0..2 * n {
            self.lean[0][i] = self.x[i];
            self.relative[0][i] = self.x[i] - self.x[2 * n + i];
        }
        Ok(held)
    }
}

/// `H⁻¹` and the film's numbers at a place.
fn matrices(
    motion: &Motion<'_>,
    place: usize,
    step_s: f64,
    stiffness: &DMatrix<f64>,
) -> Result<Matrices, PoseError> {
    let n = motion.rotors.len();
    let rate = 1.0 / step_s;
    let mut h = DMatrix::<f64>::zeros(4 * n, 4 * n);
    let mut lagged = Vec::with_capacity(n);
    h.view_mut((2 * n, 2 * n), (2 * n, 2 * n)).copy_from(stiffness);
    for (index, rotor) in motion.rotors.iter().enumerate() {
        let film = &rotor.film[place];
        let (k, d) = (film.stiffness, film.damping);
        let (skew_k, skew_d) = (0.5 * (k[0][1] - k[1][0]), 0.5 * (d[0][1] - d[1][0]));
        let mut lag = [[0.0; 2]; 2];
        for i in 0..2 {
            for j in 0..2 {
                let damping = 0.5 * (d[i][j] + d[j][i]) * rate;
                let film = 0.5 * (k[i][j] + k[j][i]) + damping;
                h[(2 * index + i, 2 * index + j)] += film;
                h[(2 * (n + index) + i, 2 * (n + index) + j)] += film;
                h[(2 * index + i, 2 * (n + index) + j)] -= film;
                h[(2 * (n + index) + i, 2 * index + j)] -= film;
                lag[i][j] = damping;
            }
        }
        lag[0][1] -= skew_k;
        lag[1][0] += skew_k;
        lagged.push((lag, skew_d * rate));
        for i in 0..2 {
            h[(2 * index + i, 2 * index + i)] += rotor.diametral_kg_m2 * rate * rate;
        }
    }
    let at_deg = 1080.0 * place as f64 / motion.rotors[0].room.places() as f64;
    let slopes = Cholesky::new(h).ok_or(PoseError::Loose { at_deg })?.inverse();
    // Floats meet nothing but their own springs, so what is inverted at every place is smaller.
    let mut inverse = vec![0.0; 25 * n * n];
    for (i, column) in slopes.as_slice().chunks_exact(4 * n).enumerate() {
        inverse[i * 5 * n..][..4 * n].copy_from_slice(column);
    }
    for float in 4 * n..5 * n {
        inverse[float * 5 * n + float] = 1.0 / CENTRING_N_PER_M;
    }
    Ok(Matrices { inverse, lagged })
}
