//! The fewest operations against all subsets: what a set leaves by all faces of its box of
//! amounts, and, on some, by a general interior-point solver, Clarabel [CLARABEL].

#![expect(clippy::unwrap_used, clippy::panic, reason = "in tests a panic is the report")]

use clarabel::algebra::CscMatrix;
use clarabel::solver::SolverStatus;
use clarabel::solver::{DefaultSettingsBuilder, DefaultSolver, IPSolver, NonnegativeConeT};
use kernel::balance::drilling::{
    Choice, Choices, Counterweight, How, Picked, Place, Reach, TENTHS, Wanted,
};
use nalgebra::Complex;
use proptest::prelude::*;
use proptest::test_runner::{Config, RngAlgorithm, TestRng, TestRunner};
use std::cell::Cell;
use std::f64::consts::TAU;

/// Cases compared with all subsets; the number only rises.
const CASES: u32 = 4000;
/// How many of them need no, one, two, three and four choices or have no answer; they only rise.
const LEAST_SEEN: [u32; 6] = [600, 1000, 700, 150, 25, 1300];
/// Targets for the crowded counterweight, 10 000 sets each.
const CROWDED: u32 = 48;
/// Relative accuracy of both searches: what is equal to nine digits is the same to them.
const SAME: f64 = 2e-9;
/// Amounts are of the size of one.
const INSIDE: f64 = 1e-10;

#[derive(Debug, Clone)]
struct Case {
    choices: Vec<Choice>,
    excluded: Vec<(usize, usize)>,
    wanted: Wanted,
}

impl Case {
    fn solved(&self) -> Picked {
        let choices = Choices::new(self.choices.clone(), self.excluded.clone()).unwrap();
        choices.fewest(&self.wanted).unwrap()
    }

    fn is_allowed(&self, set: &[usize]) -> bool {
        set.iter().enumerate().all(|(k, a)| {
            set[..k].iter().all(|b| {
                self.choices[*a].place != self.choices[*b].place
                    && !self.excluded.contains(&(*a, *b))
                    && !self.excluded.contains(&(*b, *a))
            })
        })
    }
}

/// Seven choices, most of them intervals; some directions are the same or opposite, some choices
/// are alike in everything, some are single amounts.
fn case() -> impl Strategy<Value = Case> {
    let choice = (
        0usize..12,
        prop_oneof![0.0..0.3 * TAU, 0.0..TAU, (0u32..8).prop_map(|k| f64::from(k) * TAU / 8.0)],
        prop_oneof![Just(0.0), 0.0..0.3f64],
        prop_oneof![1 => Just(0.0), 3 => 0.0..1.0f64],
        prop_oneof![Just(0.0), 0.0..0.01f64],
        prop_oneof![Just(1.0), 0.2..3.0f64],
    )
        .prop_map(|(place, toward_rad, least, wide, guard, metal)| Choice {
            place,
            toward_rad,
            least_kg_m: least,
            most_kg_m: least + wide,
            guard_kg_m: guard,
            metal_kg_per_kg_m: metal,
        });
    (
        prop::collection::vec(choice, 2..=7),
        prop::collection::vec((0usize..7, 0usize..7), 0..=2),
        // Nearly what some of them remove together, or anything.
        (prop_oneof![0usize..=2, 3usize..=5], prop_oneof![0.0..1.0f64, 0.8..1.0f64]),
        (prop_oneof![3 => 0.0..0.1f64, 1 => 0.0..2.5f64], 0.0..TAU),
        0.02..0.2f64,
        prop_oneof![1usize..=3, Just(4usize)],
    )
        .prop_map(|(mut choices, excluded, (some, share), (off, toward), permitted, most)| {
            if choices.len() == 7 {
                choices[6] = Choice { place: 12, ..choices[0] };
            }
            let excluded = excluded.into_iter().filter(|(a, b)| a != b).collect();
            let removed: Complex<f64> = choices
                .iter()
                .take(some)
                .map(|c| c.least_kg_m + share * (c.most_kg_m - c.least_kg_m))
                .zip(&choices)
                .map(|(amount, c)| Complex::from_polar(amount, c.toward_rad))
                .sum();
            let wanted = Wanted {
                unbalance_kg_m: removed + Complex::from_polar(off, toward),
                permitted_kg_m: permitted,
                most_operations: most,
            };
            Case { choices, excluded, wanted }
        })
}

/// Each assignment of a set's amounts to least, most or free, with at most two free.
fn faces(count: usize) -> impl Iterator<Item = Vec<u8>> {
    (0..3usize.pow(count as u32))
        .map(move |code| (0..count).map(|k| (code / 3usize.pow(k as u32) % 3) as u8).collect())
        .filter(|face: &Vec<u8>| face.iter().filter(|at| **at == 2).count() <= 2)
}

/// The amounts of a face that bring a set nearest to a target, if they lie within their limits.
fn on_face(set: &[Choice], face: &[u8], target: Complex<f64>) -> Option<Vec<f64>> {
    let u: Vec<Complex<f64>> = set.iter().map(|c| Complex::from_polar(1.0, c.toward_rad)).collect();
    let mut amounts: Vec<f64> = set
        .iter()
        .zip(face)
        .map(|(c, at)| match at {
            0 => c.least_kg_m,
            1 => c.most_kg_m,
            _ => 0.0,
        })
        .collect();
    let rest = target - u.iter().zip(&amounts).map(|(u, a)| u * *a).sum::<Complex<f64>>();
    let free: Vec<usize> = (0..set.len()).filter(|k| face[*k] == 2).collect();
    match free[..] {
        [] => {}
        [i] => amounts[i] = (u[i].conj() * rest).re,
        [i, j] => {
            // Normal equations; two in one line are covered by faces with one of them free.
            let c = (u[i].conj() * u[j]).re;
            let det = 1.0 - c * c;
            if det < 1e-9 {
                return None;
            }
            let (p, q) = ((u[i].conj() * rest).re, (u[j].conj() * rest).re);
            amounts[i] = (p - c * q) / det;
            amounts[j] = (q - c * p) / det;
        }
        _ => return None,
    }
    for (amount, choice) in amounts.iter_mut().zip(set) {
        let held = amount.clamp(choice.least_kg_m, choice.most_kg_m);
        if (held - *amount).abs() > INSIDE {
            return None;
        }
        *amount = held;
    }
    Some(amounts)
}

fn removed(set: &[Choice], amounts: &[f64]) -> Complex<f64> {
    set.iter().zip(amounts).map(|(c, a)| Complex::from_polar(*a, c.toward_rad)).sum()
}

fn all_faces(set: &[Choice], target: Complex<f64>) -> impl Iterator<Item = Vec<f64>> {
    faces(set.len()).filter_map(move |face| on_face(set, &face, target))
}

/// The amounts of a set that leave least, and what they leave.
fn nearest(set: &[Choice], target: Complex<f64>) -> (Vec<f64>, f64) {
    all_faces(set, target)
        .map(|amounts| {
            let left = (target - removed(set, &amounts)).norm();
            (amounts, left)
        })
        .min_by(|a, b| a.1.total_cmp(&b.1))
        .unwrap()
}

/// The least metal that removes what these amounts remove.
fn metal(set: &[Choice], amounts: &[f64]) -> f64 {
    let point = removed(set, amounts);
    all_faces(set, point)
        .filter(|amounts| (point - removed(set, amounts)).norm() < INSIDE)
        .map(|amounts| amounts.iter().zip(set).map(|(a, c)| a * c.metal_kg_per_kg_m).sum())
        .fold(f64::INFINITY, f64::min)
}

#[derive(Debug)]
struct Brute {
    reach: Reach,
    count: usize,
    tenths: usize,
    metal: f64,
    warranted: f64,
    /// Whether a tenth or the permitted residual is met so nearly that rounding decides.
    decided_by_rounding: bool,
}

/// All sets of at most so many of some choices.
fn subsets(from: usize, n: usize, most: usize) -> Vec<Vec<usize>> {
    let mut sets = vec![Vec::new()];
    if most > 0 {
        for first in from..n {
            for mut rest in subsets(first + 1, n, most - 1) {
                rest.insert(0, first);
                sets.push(rest);
            }
        }
    }
    sets
}

fn brute(case: &Case) -> Brute {
    let wanted = &case.wanted;
    let mut best: Option<(usize, usize, f64, f64)> = None;
    let mut least = f64::INFINITY;
    let mut decided_by_rounding = false;
    for set in subsets(0, case.choices.len(), wanted.most_operations) {
        if !case.is_allowed(&set) {
            continue;
        }
        let chosen: Vec<Choice> = set.iter().map(|k| case.choices[*k]).collect();
        let (amounts, left) = nearest(&chosen, wanted.unbalance_kg_m);
        let warranted = left + chosen.iter().map(|c| c.guard_kg_m).sum::<f64>();
        least = least.min(warranted);
        let share = warranted / wanted.permitted_kg_m * TENTHS as f64;
        decided_by_rounding |= (share - share.round()).abs() < 1e-7 && share > 0.5;
        let tenths = (share.ceil() as usize).max(1);
        let (count_before, tenths_before, metal_before, _) =
            best.unwrap_or((usize::MAX, 0, 0.0, 0.0));
        if tenths <= TENTHS && (set.len(), tenths) <= (count_before, tenths_before) {
            let metal = metal(&chosen, &amounts);
            if (set.len(), tenths) < (count_before, tenths_before) || metal < metal_before {
                best = Some((set.len(), tenths, metal, warranted));
            }
        }
    }
    match best {
        Some((count, tenths, metal, warranted)) => {
            Brute { reach: Reach::Within, count, tenths, metal, warranted, decided_by_rounding }
        }
        None => Brute {
            reach: Reach::Nearest,
            count: 0,
            tenths: 0,
            metal: 0.0,
            warranted: least,
            decided_by_rounding,
        },
    }
}

fn run(cases: u32, check: impl Fn(&Case)) {
    let config =
        Config { cases, max_shrink_iters: 400, failure_persistence: None, ..Config::default() };
    // The same cases each time.
    let rng = TestRng::deterministic_rng(RngAlgorithm::ChaCha);
    TestRunner::new_with_rng(config, rng)
        .run(&case(), |case| {
            check(&case);
            Ok(())
        })
        .unwrap();
}

/// The answer against all subsets: what was needed, or nothing where rounding decides.
fn compared(case: &Case) -> Option<(Reach, usize)> {
    let found = case.solved();
    let brute = brute(case);
    let set: Vec<usize> = found.picks.iter().map(|pick| pick.choice).collect();
    assert!(case.is_allowed(&set), "{case:?}: {set:?}");
    if brute.decided_by_rounding {
        return None;
    }
    assert_eq!(found.reach, brute.reach, "{case:?}");
    // Amounts and what they leave are what is said of them.
    let chosen: Vec<Choice> = set.iter().map(|k| case.choices[*k]).collect();
    let amounts: Vec<f64> = found.picks.iter().map(|pick| pick.amount_kg_m).collect();
    for (amount, choice) in amounts.iter().zip(&chosen) {
        assert!((choice.least_kg_m..=choice.most_kg_m).contains(amount), "{case:?}");
    }
    let left = (case.wanted.unbalance_kg_m - removed(&chosen, &amounts)).norm();
    assert!((left - found.residual_kg_m).abs() < INSIDE, "{left} {found:?} {case:?}");
    let metal: f64 = amounts.iter().zip(&chosen).map(|(a, c)| a * c.metal_kg_per_kg_m).sum();
    assert!((metal - found.metal_kg).abs() < INSIDE, "{case:?}");
    if brute.reach == Reach::Within {
        assert_eq!((set.len(), found.tenths), (brute.count, brute.tenths), "{case:?}");
        let off = (metal - brute.metal).abs();
        assert!(off <= SAME * brute.metal + INSIDE, "{metal} {brute:?} {found:?} {case:?}");
        assert!(found.warranted_kg_m <= case.wanted.permitted_kg_m * (1.0 + SAME));
    } else {
        let off = (found.warranted_kg_m - brute.warranted).abs();
        assert!(off <= SAME * brute.warranted + INSIDE, "{brute:?} {found:?} {case:?}");
    }
    Some((found.reach, set.len()))
}

#[test]
fn the_fewest_of_all_subsets() {
    let seen = [const { Cell::new(0u32) }; 6];
    let rounded = Cell::new(0);
    run(CASES, |case| {
        let at = match compared(case) {
            Some((Reach::Within, count)) => &seen[count],
            Some((Reach::Nearest, _)) => &seen[5],
            None => &rounded,
        };
        at.set(at.get() + 1);
    });
    let seen = seen.each_ref().map(Cell::get);
    // Nothing to do, one to four choices, none that suffice.
    for (count, least) in seen.iter().zip(LEAST_SEEN) {
        assert!(*count >= least, "{seen:?}");
    }
    assert!(rounded.get() * 100 < CASES, "{} cases were decided by rounding", rounded.get());
}

/// Forty choices of ten places with their neighbours too near for the larger drills: here bounds
/// and order of the search count. Amounts are in units of 1 kg mm for [`INSIDE`] to hold.
#[test]
fn the_fewest_of_a_counterweight_with_crowded_holes() {
    let place = |k: usize| Place {
        how: How::FaceHole { deepest_m: 18e-3, edge_m: None },
        angle_rad: 0.3 + 0.4 * k as f64,
        radius_m: 35e-3,
    };
    let ways = Counterweight {
        density_kg_m3: 7850.0,
        drills_m: vec![6e-3, 9e-3, 11e-3, 14e-3],
        point_angle_rad: 118f64.to_radians(),
        least_depth_m: 4e-3,
        depth_step_m: 0.1e-3,
        between_m: 2e-3,
        to_edge_m: 3e-3,
        slug_kg_m3: None,
        places: (0..10).map(place).collect(),
    }
    .ways()
    .unwrap();
    let choices: Vec<Choice> = ways
        .choices()
        .all()
        .iter()
        .map(|c| Choice {
            least_kg_m: 1e3 * c.least_kg_m,
            most_kg_m: 1e3 * c.most_kg_m,
            guard_kg_m: 1e3 * c.guard_kg_m,
            metal_kg_per_kg_m: 1e-3 * c.metal_kg_per_kg_m,
            ..*c
        })
        .collect();
    let excluded = ways.choices().excluded().to_vec();
    // 14 beside 14, 11 and, either way round, 14 beside 11 leave less than 2 mm of 13.9 mm.
    assert_eq!((choices.len(), excluded.len()), (40, 9 * 3));
    let mut seen = [0; 5];
    for k in 0..CROWDED {
        let size = 0.1 + 1.9 * f64::from(k) / f64::from(CROWDED);
        let wanted = Wanted {
            unbalance_kg_m: Complex::from_polar(size, 0.5 + 2.1 * f64::from(k)),
            permitted_kg_m: if k % 3 == 0 { 0.004 } else { 0.02 },
            most_operations: 3,
        };
        let case = Case { choices: choices.clone(), excluded: excluded.clone(), wanted };
        match compared(&case) {
            Some((Reach::Within, count)) => seen[count] += 1,
            _ => seen[4] += 1,
        }
    }
    assert!(seen[1..].iter().all(|count| *count > 0), "{seen:?}");
}

/// What a set leaves, by the general solver.
fn generally(set: &[Choice], target: Complex<f64>) -> f64 {
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
    let right: Vec<f64> =
        set.iter().map(|c| c.most_kg_m).chain(set.iter().map(|c| -c.least_kg_m)).collect();
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
            (target - removed(set, &solver.solution.x)).norm()
        }
        status => panic!("the general solver ended with {status:?}"),
    }
}

#[test]
fn what_a_set_leaves_is_what_a_general_solver_says() {
    let solved = Cell::new(0);
    run(CASES / 4, |case| {
        let found = case.solved();
        if found.picks.is_empty() {
            return;
        }
        let chosen: Vec<Choice> = found.picks.iter().map(|p| case.choices[p.choice]).collect();
        let left = generally(&chosen, case.wanted.unbalance_kg_m);
        // The square of what is left is known to the solver's gap.
        assert!((left - found.residual_kg_m).abs() < 3e-6, "{left} {found:?} {case:?}");
        solved.set(solved.get() + 1);
    });
    assert!(solved.get() > CASES / 8, "{}", solved.get());
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

#[test]
fn turning_everything_turns_the_answer() {
    run(CASES / 4, |case| {
        for by_rad in [0.7, 2.9, -1.3] {
            let mut turned = case.clone();
            turned.choices.iter_mut().for_each(|c| c.toward_rad += by_rad);
            turned.wanted.unbalance_kg_m *= Complex::from_polar(1.0, by_rad);
            let (found, other) = (case.solved(), turned.solved());
            let of = |p: &Picked| (p.reach, p.picks.len(), p.tenths);
            let share = found.warranted_kg_m / case.wanted.permitted_kg_m * TENTHS as f64;
            if (share - share.round()).abs() > 1e-7 || share < 0.5 {
                assert_eq!(of(&found), of(&other), "{case:?}");
                let off = (found.metal_kg - other.metal_kg).abs();
                let both = found.reach == Reach::Within;
                assert!(!both || off <= SAME * found.metal_kg + INSIDE, "{case:?}");
            }
        }
    });
}
