//! The quadratic program of the pose against a general interior-point solver, Clarabel
//! [CLARABEL], on random problems.

#![expect(clippy::unwrap_used, clippy::panic, reason = "in tests a panic is the report")]

use clarabel::algebra::CscMatrix;
use clarabel::solver::SolverStatus;
use clarabel::solver::{DefaultSettingsBuilder, DefaultSolver, IPSolver, NonnegativeConeT};
use kernel::speed::pose::{PoseError, Row, Rows, Solver};
use nalgebra::{Cholesky, DMatrix, DVector};
use proptest::prelude::*;
use proptest::test_runner::{Config, RngAlgorithm, TestRng, TestRunner};
use std::cell::Cell;

/// How far the two minima may be apart, of their size plus one. The places may then differ by the
/// root of twice that, since the least curvature is one; an interior-point method ends near its
/// answer.
const APART: f64 = 1e-8;
const PROBLEMS: u32 = 10_000;

#[derive(Debug)]
struct List(Vec<Row>);

impl Rows for List {
    fn worst(&self, x: &[f64]) -> Option<Row> {
        self.0.iter().max_by(|a, b| (a.dot(x) - a.right).total_cmp(&(b.dot(x) - b.right))).copied()
    }
}

#[derive(Debug, Clone)]
struct Problem {
    unknowns: usize,
    square: Vec<f64>,
    pull: Vec<f64>,
    rows: Vec<([usize; 4], [f64; 4], f64)>,
}

/// Rotor-like sizes: 5 to 15 unknowns, rows with up to four entries, some parallel.
fn problem() -> impl Strategy<Value = Problem> {
    (5usize..=15, 4usize..=40).prop_flat_map(|(n, m)| {
        let row = (
            [0..n, 0..n, 0..n, 0..n],
            [-1.0..1.0f64, -1.0..1.0f64, -1.0..1.0f64, -1.0..1.0f64],
            // Mostly the origin is inside; sometimes the rows contradict each other.
            -0.1..1.0f64,
        );
        (
            prop::collection::vec(-1.0..1.0f64, n * n),
            prop::collection::vec(-5.0..5.0f64, n),
            prop::collection::vec(row, m),
        )
            .prop_map(move |(square, pull, rows)| Problem {
                unknowns: n,
                square,
                pull,
                rows,
            })
    })
}

/// `H = A Aᵀ + I`.
fn hessian(problem: &Problem) -> DMatrix<f64> {
    let n = problem.unknowns;
    let a = DMatrix::from_row_slice(n, n, &problem.square);
    &a * a.transpose() + DMatrix::identity(n, n)
}

/// The general solver's answer; nothing if it says there is none.
fn generally(h: &DMatrix<f64>, pull: &[f64], rows: &[Row]) -> Option<Vec<f64>> {
    let n = pull.len();
    let mut upper = vec![vec![0.0; n]; n];
    for i in 0..n {
        for j in i..n {
            upper[i][j] = h[(i, j)];
        }
    }
    let mut dense = vec![vec![0.0; n]; rows.len()];
    for (line, row) in dense.iter_mut().zip(rows) {
        for k in 0..4 {
            line[row.index[k]] += row.value[k];
        }
    }
    let right: Vec<f64> = rows.iter().map(|row| row.right).collect();
    // Not every problem can be brought to ten digits; none needs less than its usual eight.
    for tolerance in [1e-10, 1e-9, 1e-8] {
        let settings = DefaultSettingsBuilder::default()
            .verbose(false)
            .tol_gap_abs(tolerance)
            .tol_gap_rel(tolerance)
            .tol_feas(tolerance)
            .build()
            .unwrap();
        let mut solver = DefaultSolver::new(
            &CscMatrix::from(&upper),
            &pull.iter().map(|f| -f).collect::<Vec<_>>(),
            &CscMatrix::from(&dense),
            &right,
            &[NonnegativeConeT(rows.len())],
            settings,
        )
        .unwrap();
        solver.solve();
        let solution = &solver.solution;
        match solution.status {
            SolverStatus::Solved => return Some(solution.x.clone()),
            SolverStatus::PrimalInfeasible => return None,
            _ => {}
        }
    }
    panic!("the general solver found neither an answer nor that there is none");
}

#[test]
fn ten_thousand_random_problems_as_a_general_solver_solves_them() {
    let (solved, refused, held) = (Cell::new(0), Cell::new(0), Cell::new(0));
    let worst = Cell::new(0.0_f64);
    // The same ten thousand each time.
    let config = Config {
        cases: PROBLEMS,
        max_shrink_iters: 0,
        failure_persistence: None,
        ..Config::default()
    };
    let rng = TestRng::deterministic_rng(RngAlgorithm::ChaCha);
    let mut runner = TestRunner::new_with_rng(config, rng);
    runner
        .run(&problem(), |problem| {
            let h = hessian(&problem);
            let rows: Vec<Row> = problem
                .rows
                .iter()
                .enumerate()
                .map(|(id, (index, value, right))| Row {
                    id: id as u64,
                    index: *index,
                    value: *value,
                    right: *right,
                })
                .collect();
            let inverse = Cholesky::new(h.clone()).unwrap().inverse();
            let free = &inverse * DVector::from_column_slice(&problem.pull);
            let mut x = free.as_slice().to_vec();
            let mut solver = Solver::default();
            let list = List(rows);
            let result = solver.solve(inverse.as_slice(), &mut x, &list);
            let other = generally(&h, &problem.pull, &list.0);
            match (result, other) {
                (Ok(()), Some(other)) => {
                    for row in &list.0 {
                        prop_assert!(row.dot(&x) <= row.right + 1e-11, "a wall is passed");
                    }
                    let mut gradient = &h * DVector::from_column_slice(&x);
                    gradient -= DVector::from_column_slice(&problem.pull);
                    for active in solver.active() {
                        prop_assert!(active.multiplier >= 0.0, "a wall pulls");
                        for k in 0..4 {
                            gradient[active.row.index[k]] +=
                                active.row.value[k] * active.multiplier;
                        }
                    }
                    prop_assert!(gradient.amax() < 1e-9, "forces do not balance: {gradient}");
                    let value = |x: &[f64]| {
                        let v = DVector::from_column_slice(x);
                        0.5 * v.dot(&(&h * &v)) - v.dot(&DVector::from_column_slice(&problem.pull))
                    };
                    let (a, b) = (value(&x), value(&other));
                    let apart = (a - b).abs() / (1.0 + a.abs());
                    prop_assert!(apart < APART, "{a} {b}");
                    worst.set(worst.get().max(apart));
                    for (a, b) in x.iter().zip(&other) {
                        prop_assert!(
                            (a - b).abs() < (2.0 * APART * (1.0 + value(&x).abs())).sqrt()
                        );
                    }
                    solved.set(solved.get() + 1);
                    held.set(held.get() + usize::from(!solver.active().is_empty()));
                }
                (Err(PoseError::NoRoom { .. }), None) => refused.set(refused.get() + 1),
                (result, other) => {
                    let over =
                        list.0.iter().map(|row| row.dot(&x) - row.right).fold(-1.0, f64::max);
                    prop_assert!(false, "{result:?} {over:e} {other:?}");
                }
            }
            Ok(())
        })
        .unwrap();
    let (solved, refused, held) = (solved.get(), refused.get(), held.get());
    assert!(held > 5_000 && refused > 20, "{solved} {held} {refused}");
    assert!(worst.get() < APART, "{}", worst.get());
}
