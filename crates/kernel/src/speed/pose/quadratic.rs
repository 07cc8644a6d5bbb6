//! A strictly convex quadratic program over few unknowns and many rows, by the dual active set
//! method of Goldfarb and Idnani [GOLDFARB-IDNANI].
//!
//! `minimise ½ xᵀH x − fᵀx` subject to `n_i · x ≤ r_i`. It starts from the free minimum and takes
//! in the row that is violated most, one after the other, so rows are only ever asked for by
//! "which is violated most here?". Multipliers stay zero or more all the way: a wall never pulls.
//! The dual value rises strictly with each row taken in, so no active set comes twice; the number
//! of exchanges is bounded all the same.

use super::error::PoseError;

/// Entries of a row that may differ from zero: float and two slopes of a rotor, or four slopes of
/// a bearing.
const ENTRIES: usize = 4;

/// A row may be violated by this much, in metres or radians: a thousandth of a nanometre.
const VIOLATION: f64 = 1e-12;

/// A row that already holds may be violated by this much through rounding.
const ROUNDING: f64 = 1e-9;

/// What is left of a row's own curvature after the active rows are taken off, as a part of it,
/// below which the row depends on them. It then takes the place of one of them, which is right
/// for rows that nearly depend, too (three neighbours on a ring).
const DEPENDENT: f64 = 1e-10;

/// Exchanges allowed per problem; a few are usual.
const EXCHANGES: usize = 400;

/// `n · x ≤ right` with few entries.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Row {
    /// Which row: equal numbers are the same row.
    pub id: u64,
    /// Unknowns it has entries at; unused places repeat an index with a value of zero.
    pub index: [usize; ENTRIES],
    /// The entries.
    pub value: [f64; ENTRIES],
    /// The right side.
    pub right: f64,
}

impl Row {
    /// `n · x`.
    #[inline]
    #[must_use]
    pub fn dot(&self, x: &[f64]) -> f64 {
        let mut sum = 0.0;
        for k in 0..ENTRIES {
            sum += self.value[k] * x[self.index[k]];
        }
        sum
    }
}

/// Rows known by what they do to a point.
pub trait Rows {
    /// The row violated most at `x`, if there is any row at all.
    fn worst(&self, x: &[f64]) -> Option<Row>;
}

/// A row that holds its unknowns, and with what multiplier: a force where the row is a
/// displacement, a moment where it is a slope. Never negative.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Active {
    /// The row.
    pub row: Row,
    /// Its multiplier.
    pub multiplier: f64,
}

/// The method with its memory, to be used again and again.
#[derive(Debug, Clone, Default)]
pub struct Solver {
    active: Vec<Active>,
    /// `H⁻¹ n` of each active row, one after the other.
    columns: Vec<f64>,
    /// Lower Cholesky factor of `NᵀH⁻¹N`, row by row with stride `STRIDE`.
    factor: Vec<f64>,
    entering: Vec<f64>,
    step: Vec<f64>,
    /// What the entering row moves while the active rows hold.
    along: Vec<f64>,
}

impl Solver {
    /// Solves with `inverse = H⁻¹` (row by row, `n × n`, symmetric); `x` comes in as the free
    /// minimum `H⁻¹ f` and goes out as the solution. What holds it is in [`Solver::active`].
    ///
    /// # Errors
    /// [`PoseError::NoRoom`] when the rows contradict each other, [`PoseError::Unsolved`] when
    /// the exchanges run out.
    pub fn solve<R: Rows>(
        &mut self,
        inverse: &[f64],
        x: &mut [f64],
        rows: &R,
    ) -> Result<(), PoseError> {
        let n = x.len();
        self.active.clear();
        self.columns.clear();
        let mut left = f64::INFINITY;
        let mut exchanges = 0;
        while exchanges < EXCHANGES {
            let Some(row) = rows.worst(x) else { return Ok(()) };
            let mut over = row.dot(x) - row.right;
            let held = self.active.iter().any(|held| held.row.id == row.id);
            if over <= if held { ROUNDING } else { VIOLATION } {
                return Ok(());
            }
            if held {
                // Rows that contradict each other but for rounding.
                return Err(PoseError::NoRoom { over_m: over });
            }
            left = over;
            self.entering.clear();
            for i in 0..n {
                let line = &inverse[i * n..(i + 1) * n];
                self.entering.push((0..ENTRIES).map(|k| line[row.index[k]] * row.value[k]).sum());
            }
            let own = row.dot(&self.entering);
            let mut multiplier = 0.0;
            loop {
                exchanges += 1;
                if exchanges >= EXCHANGES {
                    break;
                }
                let curvature = self.direction(n, &row);
                let mut blocking: Option<(usize, f64)> = None;
                for (i, (held, step)) in self.active.iter().zip(&self.step).enumerate() {
                    if *step > 0.0 {
                        let ratio = held.multiplier / step;
                        if blocking.is_none_or(|(_, least)| ratio < least) {
                            blocking = Some((i, ratio));
                        }
                    }
                }
                let full = (curvature > DEPENDENT * own).then(|| over / curvature);
                let (length, leaves) = match (full, blocking) {
                    (None, None) => return Err(PoseError::NoRoom { over_m: over }),
                    (Some(full), Some((i, ratio))) if ratio < full => (ratio, Some(i)),
                    (Some(full), _) => (full, None),
                    (None, Some((i, ratio))) => (ratio, Some(i)),
                };
                for (held, step) in self.active.iter_mut().zip(&self.step) {
                    held.multiplier = (held.multiplier - length * step).max(0.0);
                }
                multiplier += length;
                if full.is_some() {
                    for (at, along) in x.iter_mut().zip(&self.along) {
                        *at -= length * along;
                    }
                    over -= length * curvature;
                }
                match leaves {
                    Some(i) => {
                        self.active.remove(i);
                        self.columns.drain(i * n..(i + 1) * n);
                    }
                    None => {
                        self.active.push(Active { row, multiplier });
                        self.columns.extend_from_slice(&self.entering);
                        break;
                    }
                }
            }
        }
        Err(PoseError::Unsolved { exchanges, left_m: left })
    }

    /// What holds the last solution.
    #[must_use]
    pub fn active(&self) -> &[Active] {
        &self.active
    }

    /// Solves `(NᵀH⁻¹N) r = NᵀH⁻¹ n` for the entering row into `step`, what is left of its motion
    /// into `along`, and gives the curvature that is left.
    fn direction(&mut self, n: usize, row: &Row) -> f64 {
        let m = self.active.len();
        self.step.clear();
        self.factor.clear();
        self.factor.resize(m * m, 0.0);
        for i in 0..m {
            let held = self.active[i].row;
            for j in 0..=i {
                let mut sum = held.dot(&self.columns[j * n..(j + 1) * n]);
                for k in 0..j {
                    sum -= self.factor[i * m + k] * self.factor[j * m + k];
                }
                self.factor[i * m + j] = if i == j {
                    // Rows were taken in only where they do not depend on the others.
                    sum.max(f64::MIN_POSITIVE).sqrt()
                } else {
                    sum / self.factor[j * m + j]
                };
            }
            let mut sum = row.dot(&self.columns[i * n..(i + 1) * n]);
            for k in 0..i {
                sum -= self.factor[i * m + k] * self.step[k];
            }
            self.step.push(sum / self.factor[i * m + i]);
        }
        for i in (0..m).rev() {
            let mut sum = self.step[i];
            for k in i + 1..m {
                sum -= self.factor[k * m + i] * self.step[k];
            }
            self.step[i] = sum / self.factor[i * m + i];
        }
        self.along.clear();
        self.along.extend_from_slice(&self.entering);
        for (a, step) in self.step.iter().enumerate() {
            for (along, column) in self.along.iter_mut().zip(&self.columns[a * n..(a + 1) * n]) {
                *along -= step * column;
            }
        }
        row.dot(&self.along)
    }
}
