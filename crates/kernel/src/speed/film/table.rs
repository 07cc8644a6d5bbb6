//! What a film does, for every eccentricity and direction of load, kept for one shape of bearing.
//!
//! Without units a film depends on length over diameter, on the eccentricity ratio `ε` and on the
//! angle `γ` from the eccentricity to the load; its size follows from the load, since pressure
//! is proportional to the squeeze velocity that makes it. So one table serves every clearance,
//! viscosity, speed and load: for each `ε` and `γ` the velocity that carries a unit load (its
//! mobility, [BOOKER]) and the linear coefficients there.
//!
//! Rows are even in `−ln(1 − ε)`, where all that grows without bound as the film thins does so
//! as a power and its logarithm is nearly straight; beyond the last row that line is followed.
//! Columns are even in `g`, the mean of `γ` and of `2 atan(tan(γ/2)/√(1−ε))`: in a thin film much
//! happens within `√(1−ε)` of the load's own direction. Between them cubics through four rows and columns.
//! Damping follows from how the velocity turns with the load, since the velocity is proportional
//! to the load's size: that is smooth, where the linear answer of a film on lines jumps with every
//! place that joins it. It is kept as logarithms of its diagonal and as the ratio of the rest to it, below one
//! wherever it is read, so that it stays positive definite between the nodes.

use super::super::range::within;
use super::error::FilmError;
use super::grid::Fineness;
use super::matrix::{Matrix2, solve, symmetric};
use super::pressure::{DirectFilm, DirectForces, Supply};
use std::f64::consts::PI;

/// Length over diameter that a table can be made for. Below, the pressure's lines are too coarse
/// for the edges of the film; above, nobody builds plain bearings.
pub const LENGTH_OVER_DIAMETER: (f64, f64) = (0.1, 2.0);
/// How fine the pressure of a table is solved: loads within 0.3 % of ten times as many nodes.
pub const TABLE_FINENESS: Fineness = Fineness { round: 96, along: 6 };
/// Rows of the table, from the centre to [`THINNEST`].
const ROWS: usize = 27;
/// Steps between columns, from load along the eccentricity to load against it.
const STEPS: usize = 32;
/// `−ln(1 − ε)` between rows: the last one has `1 − ε = 0.0015`, a fifteenth of a micrometre in
/// usual clearances, where no surface is smooth.
const ROW_STEP: f64 = 0.25;
/// What the last row is.
const THINNEST: f64 = ROW_STEP * (ROWS - 1) as f64;
/// Columns kept: the steps, their far end and a mirrored one on both sides.
const COLUMNS: usize = STEPS + 3;
/// Coefficients of a node beside its mobility.
const KEPT: usize = 14;
/// The sign each takes where load and film are mirrored across the eccentricity.
const MIRRORED: [f64; KEPT] =
    [1.0, 1.0, -1.0, 1.0, -1.0, -1.0, 1.0, 1.0, 1.0, -1.0, 1.0, -1.0, -1.0, 1.0];
/// Which of them are logarithms, followed beyond the last row.
const LOGARITHM: [bool; KEPT] = {
    let mut which = [false; KEPT];
    which[0] = true;
    which[1] = true;
    which[7] = true;
    which[8] = true;
    which
};
/// Halvings of a half turn down to the last bits.
const HALVINGS: usize = 54;
/// The most that the off-diagonal part of a damping may be of its diagonal.
const MOST_ASIDE: f64 = 0.999;

/// Mobility and coefficients of the films of one shape of bearing; see the module.
#[derive(Debug, Clone, PartialEq)]
pub struct FilmTable {
    length_over_diameter: f64,
    /// Of the velocity per unit load, with its part across the eccentricity taken `√(1−ε)`
    /// times: logarithm of its size, and its angle from the eccentricity less `g`. Near a load
    /// that presses straight in, the velocity itself turns within `1 − ε`, this one evenly.
    mobility: Vec<[f64; 2]>,
    coefficients: Vec<[f64; KEPT]>,
}

/// Where something is looked up: stencils and weights over rows and columns.
struct Place {
    first_row: usize,
    rows: [f64; 4],
    /// Weights that follow straight lines beyond the last row.
    straight: [f64; 4],
    first_column: usize,
    columns: [f64; 4],
    g: f64,
    /// `√(1−ε)`
    root: f64,
    /// −1 where the load is behind the eccentricity and the table is read mirrored.
    side: f64,
}

impl FilmTable {
    /// Solves the table for a length over diameter within [`LENGTH_OVER_DIAMETER`]. Takes some
    /// tenths of a second; share it.
    ///
    /// # Errors
    /// [`FilmError::OutOfRange`] for another shape, [`FilmError::NotConverged`] if a film is not
    /// found.
    pub fn new(length_over_diameter: f64) -> Result<Self, FilmError> {
        within(
            "length over diameter of the bearing",
            length_over_diameter,
            "",
            LENGTH_OVER_DIAMETER,
        )?;
        let film =
            DirectFilm { length_over_diameter, fineness: TABLE_FINENESS, supply: Supply::Free };
        let mut mobility = vec![[0.0; 2]; ROWS * COLUMNS];
        let mut coefficients = vec![[0.0; KEPT]; ROWS * COLUMNS];
        for row in 0..ROWS {
            let thin = (-ROW_STEP * row as f64).exp();
            let ratio = 1.0 - thin;
            let mut guess = [1.0, 0.0];
            for step in 0..=STEPS {
                let g = PI * step as f64 / STEPS as f64;
                let gamma = angle_of(g, thin);
                let load = [gamma.cos(), gamma.sin()];
                let (velocity, forces) = film.carrying(ratio, load, guess)?;
                guess = velocity;
                let at = row * COLUMNS + step + 1;
                let across = thin.sqrt() * velocity[1];
                // Load straight in or out: the angle is 0 or π up to the solution's own noise.
                let beta = match step {
                    0 => 0.0,
                    STEPS => PI,
                    _ => across.atan2(velocity[0]),
                };
                mobility[at] = [velocity[0].hypot(across).ln(), beta - g];
                coefficients[at] = kept(&forces, thin);
            }
            let line = row * COLUMNS;
            for step in 0..=STEPS {
                if let Some(damping) = turning(&mobility[line + 1..line + 2 + STEPS], step, thin) {
                    coefficients[line + step + 1][..3].copy_from_slice(&logarithms(&damping));
                }
            }
            for (ghost, real) in [(0, 2), (COLUMNS - 1, COLUMNS - 3)] {
                let [ln_m, angle] = mobility[line + real];
                mobility[line + ghost] = [ln_m, -angle];
                for k in 0..KEPT {
                    coefficients[line + ghost][k] = MIRRORED[k] * coefficients[line + real][k];
                }
            }
        }
        Ok(Self { length_over_diameter, mobility, coefficients })
    }

    /// Length over diameter that it is for.
    #[must_use]
    pub const fn length_over_diameter(&self) -> f64 {
        self.length_over_diameter
    }

    /// The squeeze velocity that carries `load` at an eccentricity ratio in `0..1`, both in axes
    /// along and a quarter turn ahead of the eccentricity, without units ([`DirectFilm`]).
    #[must_use]
    pub fn velocity(&self, eccentricity_ratio: f64, load: [f64; 2]) -> [f64; 2] {
        let size = length(load);
        if size <= 0.0 {
            return [0.0; 2];
        }
        let place = Self::place(eccentricity_ratio, [load[0] / size, load[1] / size]);
        let (mut ln_m, mut angle) = (0.0, 0.0);
        for a in 0..4 {
            let from = (place.first_row + a) * COLUMNS + place.first_column;
            let line = &self.mobility[from..from + 4];
            let (mut line_m, mut line_angle) = (0.0, 0.0);
            for (b, weight) in place.columns.iter().enumerate() {
                line_m += weight * line[b][0];
                line_angle += weight * line[b][1];
            }
            ln_m += place.straight[a] * line_m;
            angle += place.rows[a] * line_angle;
        }
        let (s, c) = (angle + place.g).sin_cos();
        let m = size * ln_m.exp();
        [m * c, m * s * place.side / place.root]
    }

    /// The film's coefficients where it carries `load`; without load those of a film about to be
    /// squeezed. As [`FilmTable::velocity`].
    #[must_use]
    pub fn coefficients(&self, eccentricity_ratio: f64, load: [f64; 2]) -> DirectForces {
        let size = length(load);
        let direction = if size > 0.0 { [load[0] / size, load[1] / size] } else { [1.0, 0.0] };
        let place = Self::place(eccentricity_ratio, direction);
        let mut read = [0.0; KEPT];
        for a in 0..4 {
            for b in 0..4 {
                let node =
                    &self.coefficients[(place.first_row + a) * COLUMNS + place.first_column + b];
                for k in 0..KEPT {
                    let row = if LOGARITHM[k] { place.straight[a] } else { place.rows[a] };
                    read[k] += row * place.columns[b] * node[k];
                }
            }
        }
        for k in 0..KEPT {
            if MIRRORED[k] < 0.0 {
                read[k] *= place.side;
            }
        }
        let per_film = size / (1.0 - eccentricity_ratio);
        let damping = |[rr, tt, aside]: [f64; 3]| {
            let (rr, tt) = (rr.exp(), tt.exp());
            let aside = aside.clamp(-MOST_ASIDE, MOST_ASIDE) * (rr * tt).sqrt();
            [[rr, aside], [aside, tt]]
        };
        let stiffness = |k: [f64; 4]| [[k[0], k[1]], [k[2], k[3]]].map(|r| r.map(|k| k * per_film));
        let [a, b, c, d, e, f, g, h, i, j, k, l, m, n] = read;
        DirectForces {
            force: load,
            damping: damping([a, b, c]),
            stiffness: stiffness([d, e, f, g]),
            tilt_damping: damping([h, i, j]),
            tilt_stiffness: stiffness([k, l, m, n]),
        }
    }

    fn place(eccentricity_ratio: f64, [c, s]: [f64; 2]) -> Place {
        let thin = 1.0 - eccentricity_ratio;
        let g = column_of([c, s.abs()], thin);
        let along = g * (STEPS as f64 / PI);
        // With the mirrored column in front, column `k` of the stencil is `first + k − 1`.
        let first_column = (along as usize).min(STEPS - 1);
        let columns = cubic(along - first_column as f64);

        let down = -thin.ln() / ROW_STEP;
        let first_row = (down as usize).saturating_sub(1).min(ROWS - 4);
        let (rows, straight) = if down <= (ROWS - 1) as f64 {
            let rows = cubic(down - first_row as f64 - 1.0);
            (rows, rows)
        } else {
            let beyond = down - (ROWS - 1) as f64;
            ([0.0, 0.0, 0.0, 1.0], [0.0, 0.0, -beyond, 1.0 + beyond])
        };
        Place {
            first_row,
            rows,
            straight,
            first_column,
            columns,
            g,
            root: thin.sqrt(),
            side: if s < 0.0 { -1.0 } else { 1.0 },
        }
    }

    /// `−ln(1 − ε)` of the last row.
    pub(super) const fn thinnest() -> f64 {
        THINNEST
    }
}

/// Without the care for overflow that a load does not need; this is read a thousand times a turn.
fn length(a: [f64; 2]) -> f64 {
    (a[0] * a[0] + a[1] * a[1]).sqrt()
}

/// Column coordinate of a load in a direction (unit vector, ahead of the eccentricity), with
/// `1 − ε`.
fn column_of([c, s]: [f64; 2], thin: f64) -> f64 {
    // arg(1 + c + is) + arg(√(1−ε)(1 + c) + is), of the product less the factor 1 + c.
    let root = thin.sqrt();
    (s * (1.0 + root)).atan2(root * (1.0 + c) - (1.0 - c))
}

/// Angle of a load whose column coordinate this is: the inverse, by halving.
fn angle_of(g: f64, thin: f64) -> f64 {
    let (mut low, mut high) = (0.0_f64, PI);
    for _ in 0..HALVINGS {
        let middle = 0.5 * (low + high);
        let (s, c) = (0.5 * middle).sin_cos();
        if 0.5 * middle + s.atan2(thin.sqrt() * c) < g { low = middle } else { high = middle }
    }
    if g <= 0.0 {
        0.0
    } else if g >= PI {
        PI
    } else {
        0.5 * (low + high)
    }
}

/// Damping at a column of a row of mobilities: the inverse of velocity by load, whose columns along
/// and across the load are the velocity itself and what it changes by as the load turns. `None`
/// where that is not positive definite.
fn turning(row: &[[f64; 2]], step: usize, thin: f64) -> Option<Matrix2> {
    let root = thin.sqrt();
    let g_step = PI / STEPS as f64;
    let node = |k: isize| {
        let last = STEPS as isize;
        let (real, sign) = match k {
            k if k < 0 => (-k, -1.0),
            k if k > last => (2 * last - k, -1.0),
            k => (k, 1.0),
        };
        let [ln_m, angle] = row[real as usize];
        [ln_m, sign * angle]
    };
    let k = step as isize;
    let [near, far] = [1, 2].map(|by| [0, 1].map(|i| node(k + by)[i] - node(k - by)[i]));
    // Five points, exact for a fourth-degree curve.
    let slope = [0, 1].map(|i| (8.0 * near[i] - far[i]) / (12.0 * g_step));
    let g = g_step * step as f64;
    let (s, c) = (0.5 * angle_of(g, thin)).sin_cos();
    let g_per_gamma = 0.5 + 0.5 * root / (thin * c * c + s * s);
    let [ln_m, angle] = row[step];
    let (sin_b, cos_b) = (angle + g).sin_cos();
    let m = ln_m.exp();
    let velocity = [m * cos_b, m * sin_b / root];
    let [dm, db] = [slope[0] * g_per_gamma, (slope[1] + 1.0) * g_per_gamma];
    let change = [m * (dm * cos_b - db * sin_b), m * (dm * sin_b + db * cos_b) / root];
    let (along, across) = ([c * c - s * s, 2.0 * s * c], [-2.0 * s * c, c * c - s * s]);
    let by_load =
        symmetric([0, 1].map(|i| [0, 1].map(|k| velocity[i] * along[k] + change[i] * across[k])));
    let [x, y] = [solve(&by_load, [1.0, 0.0])?, solve(&by_load, [0.0, 1.0])?];
    (x[0] > 0.0 && y[1] > 0.0).then_some([[x[0], y[0]], [x[1], y[1]]])
}

/// Logarithms of a damping's diagonal and the ratio of the rest to it.
fn logarithms(m: &Matrix2) -> [f64; 3] {
    [m[0][0].ln(), m[1][1].ln(), m[0][1] / (m[0][0] * m[1][1]).sqrt()]
}

/// What a node keeps: damping as logarithms and a ratio, stiffness per load and film.
fn kept(forces: &DirectForces, thin: f64) -> [f64; KEPT] {
    let per_film = thin / forces.force[0].hypot(forces.force[1]);
    let stiffness = |m: &Matrix2| [m[0][0], m[0][1], m[1][0], m[1][1]].map(|k| k * per_film);
    let [a, b, c] = logarithms(&forces.damping);
    let [d, e, f, g] = stiffness(&forces.stiffness);
    let [h, i, j] = logarithms(&forces.tilt_damping);
    let [k, l, m, n] = stiffness(&forces.tilt_stiffness);
    [a, b, c, d, e, f, g, h, i, j, k, l, m, n]
}

/// Lagrange's weights for values at −1, 0, 1, 2.
fn cubic(x: f64) -> [f64; 4] {
    let (a, b, c) = (x + 1.0, x - 1.0, x - 2.0);
    [-x * b * c / 6.0, a * b * c / 2.0, -a * x * c / 2.0, a * x * b / 6.0]
}
