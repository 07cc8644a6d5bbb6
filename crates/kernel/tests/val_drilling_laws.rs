//! What holds for the fewest operations whatever they are; and what they leave, where steps are so
//! fine that they do not count, against a general interior-point solver, Clarabel [CLARABEL].

#![expect(clippy::unwrap_used, clippy::panic, reason = "in tests a panic is the report")]

mod drilling_cases;

use clarabel::algebra::CscMatrix;
use clarabel::solver::SolverStatus;
use clarabel::solver::{DefaultSettingsBuilder, DefaultSolver, IPSolver, NonnegativeConeT};
use drilling_cases::{CASES, Case, G_MM, aimed, picks, round, run, subsets};
use kernel::balance::drilling::{Choice, Choices, Reach, TENTHS};
use nalgebra::Complex;
use std::cell::Cell;
use std::f64::consts::TAU;

/// What a set leaves, by the general solver.
fn generally(set: &[Choice], target_kg_m: Complex<f64>, choices: &Choices) -> f64 {
    // In units in which amounts are of the size of one.
    const UNIT_KG_M: f64 = 1e-3;
    let target = target_kg_m / UNIT_KG_M;
    if set.is_empty() {
        return target_kg_m.norm();
    }
    let amounts = |c: &Choice| choices.amounts_kg_m(c);

    let u: Vec<Complex<f64>> = set.iter().map(|c| Complex::from_polar(1.0, c.toward_rad)).collect();
    let n = set.len();
    let mut square = vec![vec![0.0; n]; n];
    for (i, a) in u.iter().enumerate() {
        for (j, b) in u.iter().enumerate().skip(i) {
            square[i][j] = (a.conj() * b).re;
        }
    }
    let pull: Vec<f64> = u.iter().map(|u| -(u.conj() * target).re).collect();
    let rows: Vec<Vec<f64>> = (0..2 * n)
        .map(|row| {
            let mut line = vec![0.0; n];
            line[row % n] = if row < n { 1.0 } else { -1.0 };
            line
        })
        .collect();
    let right: Vec<f64> = set
        .iter()
        .map(|c| amounts(c).1 / UNIT_KG_M)
        .chain(set.iter().map(|c| -amounts(c).0 / UNIT_KG_M))
        .collect();
    let settings = DefaultSettingsBuilder::default()
        .verbose(false)
        .tol_gap_abs(1e-12)
        .tol_gap_rel(1e-12)
        .tol_feas(1e-12)
        .build()
        .unwrap();
    let mut solver = DefaultSolver::new(
        &CscMatrix::from(&square),
        &pull,
        &CscMatrix::from(&rows),
        &right,
        &[NonnegativeConeT(2 * n)],
        settings,
    )
    .unwrap();
    solver.solve();
    match solver.solution.status {
        SolverStatus::Solved | SolverStatus::AlmostSolved => {
            let removed: Complex<f64> = u.iter().zip(&solver.solution.x).map(|(u, a)| u * *a).sum();
            (target - removed).norm() * UNIT_KG_M
        }
        status => panic!("the general solver ended with {status:?}"),
    }
}

/// With steps of two thousandths of a millimetre amounts are as good as any.
#[test]
fn at_fine_steps_what_is_left_is_what_a_general_solver_says() {
    const FINE_M: f64 = 2e-6;
    let (near, within) = (Cell::new(0), Cell::new(0));
    run(CASES / 10, |case| {
        let mut fine = case.clone();
        fine.choices.truncate(3);
        fine.excluded.clear();
        fine.step_m = FINE_M;
        let finer = |steps: u32| (f64::from(steps) * case.step_m / FINE_M).round() as u32;
        for (k, choice) in fine.choices.iter_mut().enumerate() {
            choice.place = k;
            choice.steps = choice.steps.map(|(first, last)| (finer(first), finer(last)));
        }
        fine.wanted.permitted_kg_m = 0.3 * G_MM;
        fine.wanted.most_operations = 3;
        let found = fine.solved();
        let least = subsets(0, fine.choices.len(), 3)
            .into_iter()
            .map(|set| {
                let set: Vec<Choice> = set.iter().map(|k| fine.choices[*k]).collect();
                generally(&set, fine.wanted.unbalance_kg_m, &fine.choices())
            })
            .fold(f64::INFINITY, f64::min);
        // A step is below 0.2 g mm, the solver is as good.
        let close = 0.3 * G_MM;
        if found.reach == Reach::Nearest {
            assert!((found.residual_kg_m - least).abs() < close, "{least} {found:?} {fine:?}");
            near.set(near.get() + 1);
        } else {
            assert!(least < 2.0 * close, "{least} {found:?} {fine:?}");
            within.set(within.get() + 1);
        }
    });
    assert!(near.get() > 50 && within.get() > 50, "{} {}", near.get(), within.get());
}

#[test]
fn one_choice_more_never_needs_more_and_more_permitted_neither() {
    let fewer = Cell::new((0, 0));
    run(CASES, |case| {
        let count = |case: &Case| {
            let found = case.solved();
            (found.reach == Reach::Within).then_some(found.picks.len())
        };
        let all = count(case);
        let mut without = case.clone();
        let last = without.choices.len() - 1;
        without.choices.truncate(last);
        without.excluded.retain(|(a, b)| *a < last && *b < last);
        let less = count(&without);
        assert!(less.is_none_or(|less| all.is_some_and(|all| all <= less)), "{case:?}");
        let mut wider = case.clone();
        wider.wanted.permitted_kg_m *= 1.5;
        let wide = count(&wider);
        assert!(all.is_none_or(|all| wide.is_some_and(|wide| wide <= all)), "{case:?}");
        let (a, b) = fewer.get();
        fewer.set((a + u32::from(all != less), b + u32::from(wide != all)));
    });
    let (choices, permitted) = fewer.get();
    assert!(choices > CASES / 50 && permitted > CASES / 50, "{choices} {permitted}");
}

/// Places and depths stay, not only what they leave.
fn turned(case: &Case, by_rad: f64) {
    let mut turned = case.clone();
    turned.choices.iter_mut().for_each(|c| c.toward_rad += by_rad);
    turned.wanted.unbalance_kg_m *= Complex::from_polar(1.0, by_rad);
    let (found, other) = (case.solved(), turned.solved());
    let share = found.residual_kg_m / case.wanted.permitted_kg_m * TENTHS as f64;
    if (share - share.round()).abs() > 1e-7 || share < 0.5 {
        assert_eq!((found.reach, found.tenths), (other.reach, other.tenths), "{case:?}");
        assert_eq!(picks(&found), picks(&other), "{by_rad} {case:?}");
    }
}

#[test]
fn turning_everything_leaves_places_and_depths() {
    run(CASES / 4, |case| {
        for by_rad in [0.7, 2.9, -1.3] {
            turned(case, by_rad);
        }
    });
    // At a place and in the middle between two of them each set has its mirror image.
    for step_m in [0.1e-3, 0.25e-3, 1e-3] {
        let choices = round(24, vec![6e-3, 8e-3, 10e-3, 12e-3], step_m, 14e-3, 58e-3);
        for (k, amount) in [300.0, 500.0, 900.0, 1500.0, 1800.0].into_iter().enumerate() {
            for at in [0.0, 0.5] {
                let mut case = aimed(&choices, amount, at * TAU / 24.0, 4.0 + k as f64);
                case.wanted.most_operations = 5;
                for by in [1.0, 5.0, 7.3] {
                    turned(&case, by * TAU / 24.0);
                }
            }
        }
    }
}
