//! The equations of a film's pressure on lines, and where the film ends.
//!
//! Volumes round every place balance: what flows to the neighbours, `H³` between times the fall of
//! pressure, is what the squeeze presses out. Aligned, the pressure is even along the bearing, and
//! half of it is solved; to first order in a tilt the change is odd, and solved on the same half
//! without the mid-plane. The film ends where it holds no tension: places are taken out and in
//! until pressures are positive inside and nothing would press outside. The first line lies where
//! the film is broken, so that the matrix is a band.

use super::band::Band;
use super::error::FilmError;
use super::grid::{Fineness, angles, places, weights};
use super::matrix::{Matrix2, solve, symmetric, times};
use super::pressure::{DirectFilm, DirectForces, Supply};
use std::f64::consts::{PI, TAU};

/// Rounds in which the extent of the film is looked for; it settles in ten.
const EXTENT_ROUNDS: usize = 80;
/// A pressure or a surplus of flow below this part of the greatest counts as nothing.
const NOTHING: f64 = 1e-13;
/// How far the squeeze may turn from where the lines were laid for it, radians: they begin
/// opposite to it, in the middle of where the film is broken.
const LAID_FOR_RAD: f64 = 0.4;

/// Equations of the pressure on lines, with the present extent of the film.
pub(super) struct Sheet {
    /// Angles of the lines from the thinnest place; pressure is nothing on the first.
    phi: Vec<f64>,
    /// `[cos φ, sin φ]`.
    normals: Vec<[f64; 2]>,
    /// Width that a line stands for.
    breadth: Vec<f64>,
    /// Cosine and sine half-way to the next line, and the gap there.
    mid_normals: Vec<[f64; 2]>,
    eccentricity_ratio: f64,
    /// Places along, mid-plane to edge.
    zeta: Vec<f64>,
    /// Width along that a place stands for.
    depth: Vec<f64>,
    /// Weights of integration along.
    weights: Vec<f64>,
    /// `(D/L)²`.
    slenderness: f64,
    pub(super) even: Band,
    odd: Band,
    pub(super) held: Vec<bool>,
    pub(super) free: Vec<bool>,
    even_factor: Band,
    pub(super) pressure: Vec<f64>,
}

impl Sheet {
    pub(super) fn new(film: &DirectFilm, eccentricity_ratio: f64, velocity: [f64; 2]) -> Self {
        let Fineness { round, along } = film.fineness;
        let start = match &film.supply {
            Supply::Free => PI + velocity[1].atan2(velocity[0]),
            Supply::WidestGap => PI,
            Supply::Grooves(grooves) => grooves.first().map_or(PI, |g| 0.5 * (g[0] + g[1])),
        };
        let phi = angles(eccentricity_ratio, round, start);
        let next = |i: usize| if i + 1 < round { phi[i + 1] } else { phi[0] + TAU };
        let before = |i: usize| if i > 0 { phi[i - 1] } else { phi[round - 1] - TAU };
        let unit = |angle: f64| [angle.cos(), angle.sin()];
        let zeta = places(along);
        let depth = (0..along)
            .map(|j| 0.5 * (zeta[j + 1] - if j > 0 { zeta[j - 1] } else { 0.0 }))
            .collect();
        let held = (0..round)
            .map(|i| {
                i == 0
                    || match &film.supply {
                        Supply::Free | Supply::WidestGap => false,
                        Supply::Grooves(grooves) => grooves
                            .iter()
                            .any(|[from, to]| (phi[i] - from).rem_euclid(TAU) <= to - from),
                    }
            })
            .collect();
        let mut sheet = Self {
            normals: phi.iter().copied().map(unit).collect(),
            breadth: (0..round).map(|i| 0.5 * (next(i) - before(i))).collect(),
            mid_normals: (0..round).map(|i| unit(0.5 * (phi[i] + next(i)))).collect(),
            eccentricity_ratio,
            weights: weights(&zeta),
            slenderness: film.length_over_diameter.powi(-2),
            even: Band::zeros(round * along, along),
            odd: Band::zeros(round * (along - 1), along - 1),
            even_factor: Band::zeros(round * along, along),
            free: vec![false; round * along],
            pressure: vec![0.0; round * along],
            held,
            phi,
            zeta,
            depth,
        };
        sheet.assemble();
        for i in 0..round {
            let inwards = dot(velocity, sheet.normals[i]) > 0.0;
            for j in 0..along {
                sheet.free[i * along + j] = inwards && !sheet.held[i];
            }
        }
        sheet
    }

    fn along(&self) -> usize {
        self.depth.len()
    }

    fn gap(&self, normal: [f64; 2]) -> f64 {
        1.0 - self.eccentricity_ratio * normal[0]
    }

    /// Whether the first line lies well inside the broken film of such a squeeze.
    pub(super) fn is_laid_for(&self, velocity: [f64; 2]) -> bool {
        let off = velocity[1].atan2(velocity[0]) + PI - self.phi[0];
        (off + PI).rem_euclid(TAU) - PI < LAID_FOR_RAD
            && (off + PI).rem_euclid(TAU) - PI > -LAID_FOR_RAD
    }

    /// Calls `link(line, place, other line, other place, conductance per H³, normal, ζ)` for
    /// every pair of neighbours; the edge has the place `along`, and the line after the last is
    /// the first.
    fn links(&self, mut link: impl FnMut(&Link)) {
        let (round, along) = (self.phi.len(), self.along());
        for i in 0..round {
            let (next, to) =
                if i + 1 < round { (i + 1, self.phi[i + 1]) } else { (0, self.phi[0] + TAU) };
            for j in 0..along {
                link(&Link {
                    from: [i, j],
                    to: [next, j],
                    conductance: self.depth[j] / (to - self.phi[i]),
                    normal: self.mid_normals[i],
                    zeta: self.zeta[j],
                });
                link(&Link {
                    from: [i, j],
                    to: [i, j + 1],
                    conductance: self.slenderness * self.breadth[i]
                        / (self.zeta[j + 1] - self.zeta[j]),
                    normal: self.normals[i],
                    zeta: 0.5 * (self.zeta[j] + self.zeta[j + 1]),
                });
            }
        }
    }

    fn assemble(&mut self) {
        let (round, along) = (self.phi.len(), self.along());
        let mut even = Band::zeros(round * along, along);
        let mut odd = Band::zeros(round * (along - 1), along - 1);
        self.links(|link| {
            let g = link.conductance * self.gap(link.normal).powi(3);
            let ([i, j], [k, l]) = (link.from, link.to);
            let (a, b) = (i * along + j, k * along + l);
            even.add(a, a, g);
            if l < along {
                even.add(b, b, g);
                if k >= i {
                    even.add(b, a, -g);
                }
            }
            // Without the mid-plane, where an odd pressure is nothing.
            let at = |i: usize, j: usize| i * (along - 1) + j - 1;
            if j > 0 {
                odd.add(at(i, j), at(i, j), g);
            }
            if l < along && l > 0 {
                odd.add(at(k, l), at(k, l), g);
                if k >= i && j > 0 {
                    odd.add(at(k, l), at(i, j), -g);
                }
            }
        });
        self.even = even;
        self.odd = odd;
    }

    /// Source of a unit velocity along an axis, at a place.
    fn source(&self, i: usize, j: usize, axis: usize) -> f64 {
        self.breadth[i] * self.depth[j] * self.normals[i][axis]
    }

    /// Finds the extent of the film for a squeeze velocity, from the present one: a place whose
    /// pressure is negative leaves the film, a dry place that would be pressed joins it, until
    /// none does.
    pub(super) fn settle(&mut self, velocity: [f64; 2]) -> Result<(), FilmError> {
        let mut changed = 0;
        for _ in 0..EXTENT_ROUNDS {
            self.factor()?;
            for at in 0..self.free.len() {
                self.pressure[at] =
                    if self.free[at] { self.squeezed_out(at, velocity) } else { 0.0 };
            }
            self.even_factor.solve(&mut self.pressure);
            changed = self.move_ends(velocity);
            if changed == 0 {
                return Ok(());
            }
        }
        let residual = changed as f64 / self.free.len() as f64;
        let what = "the extent of the film";
        Err(FilmError::NotConverged { what, steps: EXTENT_ROUNDS, residual })
    }

    /// Finds extent and squeeze velocity together for a load; `None` where they chase each other.
    pub(super) fn settle_under(&mut self, load: [f64; 2]) -> Result<Option<[f64; 2]>, FilmError> {
        for _ in 0..EXTENT_ROUNDS / 2 {
            self.factor()?;
            let [a, b] = self.unit_pressures();
            let damping = columns([self.force_of(&a), self.force_of(&b)]);
            let Some(velocity) = solve(&damping, load) else { return Ok(None) };
            for at in 0..self.free.len() {
                self.pressure[at] = velocity[0] * a[at] + velocity[1] * b[at];
            }
            if self.move_ends(velocity) == 0 {
                return Ok(Some(velocity));
            }
        }
        Ok(None)
    }

    /// What a squeeze velocity presses out of the place of an unknown.
    pub(super) fn squeezed_out(&self, at: usize, velocity: [f64; 2]) -> f64 {
        let (i, j) = (at / self.along(), at % self.along());
        self.breadth[i] * self.depth[j] * dot(velocity, self.normals[i])
    }

    /// Takes places out of the film and into it by the present pressure; how many.
    fn move_ends(&mut self, velocity: [f64; 2]) -> usize {
        let along = self.along();
        let mut flow = vec![0.0; self.free.len()];
        self.even.times(&self.pressure, &mut flow);
        let greatest = self.pressure.iter().copied().fold(0.0, f64::max);
        let unit = velocity[0].hypot(velocity[1]) / self.free.len() as f64;
        let mut changed = 0;
        for (at, flow) in flow.iter().enumerate() {
            if self.free[at] {
                if self.pressure[at] < -NOTHING * greatest {
                    self.free[at] = false;
                    changed += 1;
                }
            } else if !self.held[at / along]
                && self.squeezed_out(at, velocity) - flow > NOTHING * unit
            {
                self.free[at] = true;
                changed += 1;
            }
        }
        changed
    }

    pub(super) fn factor(&mut self) -> Result<(), FilmError> {
        self.even.factor_free(&self.free, &mut self.even_factor).ok_or(FilmError::NotConverged {
            what: "the pressure of the film",
            steps: 1,
            residual: f64::INFINITY,
        })
    }

    /// Pressure per unit velocity along each axis, with the present extent.
    fn unit_pressures(&self) -> [Vec<f64>; 2] {
        let along = self.along();
        [0, 1].map(|axis| {
            let mut p: Vec<f64> =
                (0..self.free.len())
                    .map(|at| {
                        if self.free[at] { self.source(at / along, at % along, axis) } else { 0.0 }
                    })
                    .collect();
            self.even_factor.solve(&mut p);
            p
        })
    }

    /// Force of an even pressure.
    pub(super) fn force_of(&self, pressure: &[f64]) -> [f64; 2] {
        let along = self.along();
        let mut force = [0.0; 2];
        for (i, line) in pressure.chunks_exact(along).enumerate() {
            let strip: f64 = line.iter().zip(&self.weights).map(|(p, w)| p * w).sum();
            for (force, normal) in force.iter_mut().zip(self.normals[i]) {
                *force += self.breadth[i] * strip * normal;
            }
        }
        force
    }

    /// Moment of an odd pressure.
    fn moment_of(&self, pressure: &[f64]) -> [f64; 2] {
        let along = self.along();
        let mut moment = [0.0; 2];
        for (i, line) in pressure.chunks_exact(along - 1).enumerate() {
            let strip: f64 = (1..along).map(|j| line[j - 1] * self.weights[j] * self.zeta[j]).sum();
            for (moment, normal) in moment.iter_mut().zip(self.normals[i]) {
                *moment += self.breadth[i] * strip * normal;
            }
        }
        moment
    }

    pub(super) fn damping(&self) -> Matrix2 {
        columns(self.unit_pressures().map(|p| self.force_of(&p)))
    }

    /// What the film does with the present extent. Where it moves, pressure and its slope are
    /// nothing at its end, so to first order the end may stay where it is.
    pub(super) fn forces(&self, velocity: [f64; 2]) -> DirectForces {
        let along = self.along();
        let damping = columns(self.unit_pressures().map(|p| self.force_of(&p)));
        let at_edge =
            |i: usize, j: usize| if j < along { self.pressure[i * along + j] } else { 0.0 };

        let mut shifted = [vec![0.0; self.free.len()], vec![0.0; self.free.len()]];
        let odd_len = self.phi.len() * (along - 1);
        let mut tilted = [vec![0.0; odd_len], vec![0.0; odd_len]];
        self.links(|link| {
            let ([i, j], [k, l]) = (link.from, link.to);
            // H³ grows by −3H² n per displacement, times ζ per displacement of the edge.
            let thinner = 3.0 * self.gap(link.normal).powi(2) * link.conductance;
            let fall = thinner * (at_edge(i, j) - at_edge(k, l));
            for axis in 0..2 {
                let less = fall * link.normal[axis];
                shifted[axis][i * along + j] += less;
                if l < along {
                    shifted[axis][k * along + l] -= less;
                }
                if j > 0 {
                    tilted[axis][i * (along - 1) + j - 1] += less * link.zeta;
                }
                if l < along && l > 0 {
                    tilted[axis][k * (along - 1) + l - 1] -= less * link.zeta;
                }
            }
        });
        for p in &mut shifted {
            self.dry(p, 0);
            self.even_factor.solve(p);
        }

        let odd_free: Vec<bool> =
            (0..self.free.len()).filter(|at| at % along > 0).map(|at| self.free[at]).collect();
        let mut factor = Band::zeros(odd_len, along - 1);
        // The even matrix was positive definite, and this is part of it with more on the diagonal.
        let positive = self.odd.factor_free(&odd_free, &mut factor).is_some();
        let mut squeezed = [vec![0.0; odd_len], vec![0.0; odd_len]];
        for (axis, p) in squeezed.iter_mut().enumerate() {
            for (at, source) in p.iter_mut().enumerate() {
                let (i, j) = (at / (along - 1), at % (along - 1) + 1);
                *source = self.source(i, j, axis) * self.zeta[j];
            }
        }
        for p in tilted.iter_mut().chain(&mut squeezed) {
            self.dry(p, 1);
            if positive {
                factor.solve(p);
            }
        }
        DirectForces {
            force: times(&damping, velocity),
            damping: symmetric(damping),
            stiffness: columns(shifted.map(|p| self.force_of(&p))),
            tilt_damping: symmetric(columns(squeezed.map(|p| self.moment_of(&p)))),
            tilt_stiffness: columns(tilted.map(|p| self.moment_of(&p))),
        }
    }

    /// Puts nothing where there is no film; the first `skipped` places of every line are not
    /// among the unknowns.
    fn dry(&self, p: &mut [f64], skipped: usize) {
        let along = self.along();
        for (at, value) in p.iter_mut().enumerate() {
            let (i, j) = (at / (along - skipped), at % (along - skipped) + skipped);
            if !self.free[i * along + j] {
                *value = 0.0;
            }
        }
    }
}

/// Two neighbouring places and what flows between them per difference of pressure and `H³`.
struct Link {
    from: [usize; 2],
    to: [usize; 2],
    conductance: f64,
    normal: [f64; 2],
    zeta: f64,
}

fn dot(a: [f64; 2], b: [f64; 2]) -> f64 {
    a[0] * b[0] + a[1] * b[1]
}

/// The matrix with these columns.
fn columns([a, b]: [[f64; 2]; 2]) -> Matrix2 {
    [[a[0], b[0]], [a[1], b[1]]]
}
