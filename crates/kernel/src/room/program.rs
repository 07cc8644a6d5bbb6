//! A linear program in three variables, solved by a dual simplex that starts warm.
//!
//! `maximise g · v` subject to `n_i · v ≤ r_i`. A basis is three rows held as equalities; it is
//! kept dual feasible, `g = Σ λ_i n_i` with `λ ≥ 0`, so that `Σ λ_i r_i` bounds the optimum from
//! above at every moment. The row that is violated most enters, the ratio test names the one that
//! leaves. If none can leave, the rows at hand contradict each other: the set is empty.
//!
//! Dual feasibility does not depend on the right sides. When the walls move and the objective
//! stays (next place on the orbit, next thermal state), the old basis is a valid start and usually
//! one or two exchanges from the new optimum.
//!
//! Ties of the ratio test are broken by the order of the rows of the inverse basis (the
//! lexicographic rule), which excludes cycling in exact arithmetic; in floating point the number
//! of exchanges is bounded and running into the bound is an error. The method is textbook
//! material (dual simplex, lexicographic rule); it is checked against the enumeration of all
//! vertices below and against SciPy in `reference/room`.

use super::error::RoomError;

/// A row that does not bind anywhere near the answer has about this right side, in metres. The
/// answers are tenths of a millimetre.
pub(super) const FREE_M: f64 = 1.0;

/// Whether a right side is that of a row that does not bind: [`FREE_M`] with a room added or
/// taken away.
pub(super) fn is_free(right_m: f64) -> bool {
    right_m > 0.5 * FREE_M
}

/// A pose may violate a row by this much, in metres: a hundred-thousandth of a nanometre. It must
/// lie above the rounding of the pose itself: three neighbours of a ring make a basis whose inverse
/// has entries near 1e4, so that right sides of 1e-4 m leave some 1e-15 m. A bound of 1e-15 was
/// missed by rotors with equal steps, where such bases are optimal (1.2e-15, two of 1500 builds).
const VIOLATION_M: f64 = 1e-14;

/// A component of the entering row along a basis row below this counts as none. Rows have entries
/// of order one; the smallest true ones, between neighbours of a ring of 720, are near 1e-5.
const PIVOT: f64 = 1e-11;

/// Ratios closer than this, relative to their size plus one, are a tie.
const TIE: f64 = 1e-12;

/// Exchanges allowed. Cold starts take about eight, warm ones one or two.
const EXCHANGES: usize = 200;

/// First of the three ids of the artificial rows, which bound the objective at the start.
const ARTIFICIAL: u32 = u32::MAX - 2;

/// Rows `n · v ≤ r`, known by an id.
pub(super) trait Rows {
    /// Normal and right side of a row.
    fn row(&self, id: u32) -> ([f64; 3], f64);
    /// The row that `v` violates most, and `n · v − r` there (negative: none is violated).
    fn worst(&self, v: [f64; 3]) -> (u32, f64);
}

/// A dual feasible basis for one objective, kept between calls.
#[derive(Debug, Clone, Copy)]
pub(super) struct Basis {
    ids: [u32; 3],
    lambda: [f64; 3],
}

impl Basis {
    /// The start: three artificial rows far away.
    pub(super) const fn artificial(objective: [f64; 3]) -> Self {
        Self {
            ids: [ARTIFICIAL, ARTIFICIAL + 1, ARTIFICIAL + 2],
            lambda: [objective[0].abs(), objective[1].abs(), objective[2].abs()],
        }
    }

    /// An upper bound of the optimum under the present right sides.
    pub(super) fn bound<R: Rows>(&self, rows: &R) -> f64 {
        let right = |id: u32| if id >= ARTIFICIAL { FREE_M } else { rows.row(id).1 };
        self.ids.iter().zip(self.lambda).map(|(&id, lambda)| lambda * right(id)).sum()
    }
}

/// How a program ended.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Outcome {
    /// The greatest value and a place where it is taken.
    Optimum {
        /// `g · v`.
        value: f64,
        /// `v`.
        at: [f64; 3],
    },
    /// No `v` satisfies all rows.
    Empty,
}

fn dot(a: [f64; 3], b: [f64; 3]) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

fn cross(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]]
}

/// Greatest `objective · v` over the rows; `basis` belongs to this objective and is left at the
/// optimal one.
///
/// # Errors
/// [`RoomError::NothingStops`] if the rows do not bound the objective, [`RoomError::Unsolved`]
/// with what is still violated if the exchanges run out.
pub(super) fn maximise<R: Rows>(
    rows: &R,
    objective: [f64; 3],
    basis: &mut Basis,
) -> Result<Outcome, RoomError> {
    let sign = objective.map(|g| if g < 0.0 { -1.0 } else { 1.0 });
    let fetch = |id: u32| {
        if id >= ARTIFICIAL {
            let axis = (id - ARTIFICIAL) as usize;
            let mut normal = [0.0; 3];
            normal[axis] = sign[axis];
            (normal, FREE_M)
        } else {
            rows.row(id)
        }
    };
    let mut held = basis.ids.map(fetch);
    let mut left_m = f64::INFINITY;
    for _ in 0..EXCHANGES {
        let [n0, n1, n2] = held.map(|row| row.0);
        let mut inverse = [cross(n1, n2), cross(n2, n0), cross(n0, n1)];
        let scale = 1.0 / dot(n0, inverse[0]);
        for column in &mut inverse {
            *column = column.map(|entry| entry * scale);
        }
        let right = held.map(|row| row.1);
        let at: [f64; 3] = std::array::from_fn(|axis| {
            right[0] * inverse[0][axis] + right[1] * inverse[1][axis] + right[2] * inverse[2][axis]
        });
        let lambda = inverse.map(|column| dot(objective, column).max(0.0));
        basis.lambda = lambda;
        let (entering, violation_m) = rows.worst(at);
        if violation_m <= VIOLATION_M {
            if right.into_iter().any(is_free) {
                return Err(RoomError::NothingStops);
            }
            return Ok(Outcome::Optimum { value: dot(lambda, right), at });
        }
        left_m = violation_m;
        let (normal, right_side) = rows.row(entering);
        let along = inverse.map(|column| dot(normal, column));
        let mut leaving = None;
        for i in 0..3 {
            if along[i] > PIVOT
                && leaving.is_none_or(|j| before(i, j, &lambda, &along, &inverse, sign))
            {
                leaving = Some(i);
            }
        }
        let Some(leaving) = leaving else { return Ok(Outcome::Empty) };
        basis.ids[leaving] = entering;
        held[leaving] = (normal, right_side);
    }
    *basis = Basis::artificial(objective);
    Err(RoomError::Unsolved { exchanges: EXCHANGES, left_m })
}

/// Whether row `i` leaves rather than row `j`: smaller ratio, ties by the rows of the inverse.
fn before(
    i: usize,
    j: usize,
    lambda: &[f64; 3],
    along: &[f64; 3],
    inverse: &[[f64; 3]; 3],
    sign: [f64; 3],
) -> bool {
    let mut pair = (lambda[i] / along[i], lambda[j] / along[j]);
    let mut axis = 0;
    loop {
        let (a, b) = pair;
        if (a - b).abs() > TIE * (1.0 + a.abs() + b.abs()) {
            return a < b;
        }
        if axis == 3 {
            return false;
        }
        pair = (inverse[i][axis] * sign[axis] / along[i], inverse[j][axis] * sign[axis] / along[j]);
        axis += 1;
    }
}

#[cfg(test)]
mod tests {
    use super::{Basis, Outcome, Rows, cross, dot, maximise};
    use proptest::prelude::*;

    #[derive(Debug)]
    struct List(Vec<([f64; 3], f64)>);

    impl Rows for List {
        fn row(&self, id: u32) -> ([f64; 3], f64) {
            self.0[id as usize]
        }
        fn worst(&self, v: [f64; 3]) -> (u32, f64) {
            let mut best = (0, f64::NEG_INFINITY);
            for (id, (normal, right)) in self.0.iter().enumerate() {
                let over = dot(*normal, v) - right;
                if over > best.1 {
                    best = (id as u32, over);
                }
            }
            best
        }
    }

    /// Every vertex of the set, by solving every triple of rows; the best one that is feasible.
    fn by_enumeration(list: &List, objective: [f64; 3]) -> Option<f64> {
        let rows = &list.0;
        let mut best: Option<f64> = None;
        for i in 0..rows.len() {
            for j in 0..i {
                for k in 0..j {
                    let (a, b, c) = (rows[i], rows[j], rows[k]);
                    let det = dot(a.0, cross(b.0, c.0));
                    if det.abs() < 1e-9 {
                        continue;
                    }
                    let (ca, cb, cc) = (cross(b.0, c.0), cross(c.0, a.0), cross(a.0, b.0));
                    let v: [f64; 3] =
                        std::array::from_fn(|x| (a.1 * ca[x] + b.1 * cb[x] + c.1 * cc[x]) / det);
                    if list.worst(v).1 < 1e-13 {
                        let value = dot(objective, v);
                        best = Some(best.map_or(value, |b| b.max(value)));
                    }
                }
            }
        }
        best
    }

    /// Rows with small whole numbers, so that ties and parallel rows are common, inside a box so
    /// that the set is bounded.
    fn list() -> impl Strategy<Value = (List, [f64; 3])> {
        let entry = -2i8..=2;
        let row = ([entry.clone(), entry.clone(), entry], -3i8..=9);
        (prop::collection::vec(row, 0..9), [-3i8..=3, -3i8..=3, -3i8..=3]).prop_map(
            |(rows, objective)| {
                let mut all: Vec<([f64; 3], f64)> = rows
                    .into_iter()
                    .filter(|(n, _)| *n != [0, 0, 0])
                    .map(|(n, r)| (n.map(f64::from), f64::from(r) * 1e-3))
                    .collect();
                for axis in 0..3 {
                    for side in [-1.0, 1.0] {
                        let mut normal = [0.0; 3];
                        normal[axis] = side;
                        all.push((normal, 5e-3));
                    }
                }
                (List(all), objective.map(f64::from))
            },
        )
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(3000))]
        #[test]
        fn the_optimum_is_the_best_vertex((list, objective) in list()) {
            let mut basis = Basis::artificial(objective);
            let outcome = maximise(&list, objective, &mut basis).unwrap();
            match (outcome, by_enumeration(&list, objective)) {
                (Outcome::Optimum { value, at }, Some(best)) => {
                    prop_assert!((value - best).abs() < 1e-12, "{value} {best}");
                    prop_assert!((dot(objective, at) - best).abs() < 1e-12);
                    prop_assert!((basis.bound(&list) - value).abs() < 1e-14);
                }
                (Outcome::Empty, None) => {}
                (outcome, best) => prop_assert!(false, "{outcome:?} {best:?}"),
            }
        }

        #[test]
        fn a_warm_start_gives_what_a_cold_one_gives(
            (list, objective) in list(), shifts in prop::collection::vec(-2e-3..2e-3f64, 20)
        ) {
            let mut warm = Basis::artificial(objective);
            maximise(&list, objective, &mut warm).unwrap();
            let moved = List(
                list.0.iter().zip(shifts).map(|((n, r), shift)| (*n, r + shift)).collect(),
            );
            let bound = warm.bound(&moved);
            let from_warm = maximise(&moved, objective, &mut warm).unwrap();
            let from_cold =
                maximise(&moved, objective, &mut Basis::artificial(objective)).unwrap();
            match (from_warm, from_cold) {
                (Outcome::Optimum { value: a, .. }, Outcome::Optimum { value: b, .. }) => {
                    prop_assert!((a - b).abs() < 1e-12, "{a} {b}");
                    prop_assert!(bound > a - 1e-12);
                }
                (a, b) => prop_assert_eq!(a, b),
            }
        }
    }

    #[test]
    fn without_enough_rows_nothing_stops_it() {
        let list = List(vec![([1.0, 0.0, 0.0], 1e-3)]);
        let objective = [1.0, 0.5, 0.0];
        let outcome = maximise(&list, objective, &mut Basis::artificial(objective));
        assert_eq!(outcome, Err(crate::room::RoomError::NothingStops));
    }
}
