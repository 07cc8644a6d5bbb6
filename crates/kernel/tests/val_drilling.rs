//! The fewest operations against all sets at all whole depths.

#![expect(clippy::unwrap_used, reason = "in tests a panic is the report")]

mod drilling_cases;

use drilling_cases::{CASES, Case, aimed, picks, round, run, subsets};
use kernel::balance::drilling::{Reach, TENTHS};
use nalgebra::Complex;
use std::cell::Cell;

/// How many of them need no, one, two and three choices or have no answer; they only rise.
const LEAST_SEEN: [u32; 5] = [150, 600, 650, 220, 1500];
/// Targets for each crowded counterweight.
const CROWDED: u32 = 48;
/// Relative accuracy of both: what is equal to nine digits is the same to them.
const SAME: f64 = 2e-9;
/// Metal that is equal but for the rounding of sums, and metal that is surely not, kg: the ninth
/// digit of the largest here is above both.
const EQUAL_KG: f64 = 1e-15;
/// See [`EQUAL_KG`].
const UNEQUAL_KG: f64 = 1e-10;

/// No two of them are at one place, and none excludes another.
fn is_allowed(case: &Case, set: &[usize]) -> bool {
    set.iter().enumerate().all(|(k, a)| {
        set[..k].iter().all(|b| {
            case.choices[*a].place != case.choices[*b].place
                && !case.excluded.contains(&(*a, *b))
                && !case.excluded.contains(&(*b, *a))
        })
    })
}
/// A choice and its step.
type At = (usize, u32);

/// A set at some depths.
#[derive(Debug, Clone)]
struct Done {
    picks: Vec<At>,
    left_kg_m: f64,
    metal_kg: f64,
}

/// All sets of some size at all depths, one by one.
fn each(case: &Case, count: usize, look: &mut dyn FnMut(&[At], f64, f64)) {
    let all: Vec<_> = (0..case.choices.len()).map(|i| case.steps(i)).collect();
    for set in subsets(0, case.choices.len(), count) {
        if set.len() == count && is_allowed(case, &set) {
            let mut picks = Vec::new();
            depths(&all, &set, case.wanted.unbalance_kg_m, 0.0, &mut picks, look);
        }
    }
}

fn depths(
    all: &[Vec<(u32, Complex<f64>, f64)>],
    set: &[usize],
    rest: Complex<f64>,
    metal_kg: f64,
    picks: &mut Vec<At>,
    look: &mut dyn FnMut(&[At], f64, f64),
) {
    let Some((i, others)) = set.split_first() else {
        look(picks, rest.norm(), metal_kg);
        return;
    };
    for (step, removed, kg) in &all[*i] {
        picks.push((*i, *step));
        depths(all, others, rest - removed, metal_kg + kg, picks, look);
        picks.pop();
    }
}

#[derive(Debug)]
struct Brute {
    reach: Reach,
    count: usize,
    tenths: usize,
    left_kg_m: f64,
    metal_kg: f64,
    /// What is to be picked; nothing where the ninth digit of the metal decides.
    picks: Option<Vec<At>>,
    /// Whether a tenth or the permitted residual is met so nearly that rounding decides.
    decided_by_rounding: bool,
}

fn brute(case: &Case) -> Brute {
    let permitted_kg_m = case.wanted.permitted_kg_m;
    let mut nearest = f64::INFINITY;
    let mut decided_by_rounding = false;
    for count in 0..=case.wanted.most_operations {
        // Those with the fewest tenths and nearly the least metal.
        let mut best: Option<(usize, f64)> = None;
        let mut light: Vec<Done> = Vec::new();
        each(case, count, &mut |picks, left_kg_m, metal_kg| {
            nearest = nearest.min(left_kg_m);
            let share = left_kg_m / permitted_kg_m * TENTHS as f64;
            if share > TENTHS as f64 + 0.5 {
                return;
            }
            decided_by_rounding |= (share - share.round()).abs() < 1e-7 && share > 0.5;
            let tenths = (share.ceil() as usize).max(1);
            let (tenths_before, metal_before) = best.unwrap_or((TENTHS, f64::INFINITY));
            if tenths > tenths_before
                || (tenths == tenths_before && metal_kg > metal_before + UNEQUAL_KG)
            {
                return;
            }
            if tenths < tenths_before {
                light.clear();
                best = Some((tenths, metal_kg));
            } else {
                best = Some((tenths, metal_before.min(metal_kg)));
            }
            light.push(Done { picks: picks.to_vec(), left_kg_m, metal_kg });
        });
        let Some((tenths, metal_kg)) = best else { continue };
        light.retain(|done| done.metal_kg <= metal_kg + UNEQUAL_KG);
        let is_sure = light.iter().all(|done| done.metal_kg <= metal_kg + EQUAL_KG);
        let drilled = |done: &Done| done.picks.iter().map(|(_, step)| *step).sum::<u32>();
        light.sort_by_key(|done| (drilled(done), done.picks.clone()));
        return Brute {
            reach: Reach::Within,
            count,
            tenths,
            left_kg_m: light[0].left_kg_m,
            metal_kg,
            picks: is_sure.then(|| light[0].picks.clone()),
            decided_by_rounding,
        };
    }
    Brute {
        reach: Reach::Nearest,
        count: 0,
        tenths: 0,
        left_kg_m: nearest,
        metal_kg: 0.0,
        picks: None,
        decided_by_rounding,
    }
}

/// What the picks leave, and their metal.
fn done(case: &Case, picks: &[At]) -> (f64, f64) {
    let (mut rest, mut metal_kg) = (case.wanted.unbalance_kg_m, 0.0);
    for (choice, step) in picks {
        // A step outside its limits is none.
        let (_, removed, kg) =
            case.steps(*choice).into_iter().find(|(at, _, _)| at == step).unwrap();
        rest -= removed;
        metal_kg += kg;
    }
    (rest.norm(), metal_kg)
}

/// The answer against all sets at all depths: what was needed, or nothing where rounding decides.
fn compared(case: &Case) -> Option<(Reach, usize)> {
    let found = case.solved();
    let brute = brute(case);
    let set: Vec<usize> = found.picks.iter().map(|pick| pick.choice).collect();
    assert!(is_allowed(case, &set), "{case:?}: {set:?}");
    if brute.decided_by_rounding {
        return None;
    }
    assert_eq!(found.reach, brute.reach, "{case:?} {brute:?} {found:?}");
    let (left_kg_m, metal_kg) = done(case, &picks(&found));
    let near = |a: f64, b: f64| (a - b).abs() <= SAME * b + 1e-15;
    assert!(near(found.residual_kg_m, left_kg_m) && near(found.metal_kg, metal_kg), "{case:?}");
    if brute.reach == Reach::Within {
        assert!(found.is_least_metal);
        assert_eq!((set.len(), found.tenths), (brute.count, brute.tenths), "{case:?} {brute:?}");
        // The ninth digit is that of the heaviest choice.
        let off = metal_kg - brute.metal_kg;
        assert!(off.abs() <= UNEQUAL_KG, "{off:e} {found:?} {brute:?} {case:?}");
        if let Some(expected) = &brute.picks {
            assert_eq!(&picks(&found), expected, "{case:?} {brute:?}");
        }
        assert!(left_kg_m <= case.wanted.permitted_kg_m * (1.0 + SAME));
    } else {
        assert!(near(left_kg_m, brute.left_kg_m), "{brute:?} {found:?} {case:?}");
    }
    Some((found.reach, set.len()))
}

#[test]
fn the_fewest_of_all_sets_at_all_depths() {
    let seen = [const { Cell::new(0u32) }; 5];
    let rounded = Cell::new(0);
    run(CASES, |case| {
        let at = match compared(case) {
            Some((Reach::Within, count)) => &seen[count],
            Some((Reach::Nearest, _)) => &seen[4],
            None => &rounded,
        };
        at.set(at.get() + 1);
    });
    let seen = seen.each_ref().map(Cell::get);
    // Nothing to do, one to three choices, none that suffice.
    for (count, least) in seen.iter().zip(LEAST_SEEN) {
        assert!(*count >= least, "{seen:?}");
    }
    assert!(rounded.get() * 100 < CASES, "{} cases were decided by rounding", rounded.get());
}

/// Forty choices of ten places with their neighbours too near for the larger drills: here bounds
/// and order of the search count.
#[test]
fn the_fewest_of_a_counterweight_with_crowded_holes() {
    let choices = round(10, vec![6e-3, 9e-3, 11e-3, 14e-3], 2e-3, 18e-3, 23e-3);
    // The middles of neighbours are 14.2 mm apart: 14 beside 14 and, either way round, beside 11
    // leave less than 2 mm.
    assert_eq!((choices.all().len(), choices.excluded().len()), (40, 10 * 3));
    let mut seen = [0; 5];
    for k in 0..CROWDED {
        let size = 100.0 + 900.0 * f64::from(k) / f64::from(CROWDED);
        let permitted = if k % 3 == 0 { 4.0 } else { 20.0 };
        match compared(&aimed(&choices, size, 0.5 + 2.1 * f64::from(k), permitted)) {
            Some((Reach::Within, count)) => seen[count] += 1,
            _ => seen[4] += 1,
        }
    }
    assert!(seen[1..].iter().all(|count| *count > 0), "{seen:?}");
}

/// A hole more is drilled only where no fewer suffice at any whole depths, however coarse these
/// are: not only where they suffice with each depth rounded either way.
#[test]
fn coarse_steps_do_not_cost_a_hole_that_exact_depths_save() {
    let (mut saved, mut three) = (0, 0);
    for places in [12, 18, 24] {
        for step_m in [0.25e-3, 0.5e-3, 1e-3] {
            let choices = round(places, vec![6e-3, 8e-3, 10e-3], step_m, 14e-3, 58e-3);
            for k in 0..CROWDED {
                let size = 150.0 + 900.0 * f64::from(k) / f64::from(CROWDED);
                let mut case = aimed(&choices, size, 0.3 + 2.4 * f64::from(k), 8.0);
                case.wanted.most_operations = 2;
                let two = brute(&case);
                case.wanted.most_operations = 8;
                let found = case.solved();
                assert_eq!(found.reach, Reach::Within, "{case:?}");
                if two.reach == Reach::Nearest {
                    assert!(found.picks.len() > 2, "{found:?}");
                    three += 1;
                    continue;
                }
                let brute = (two.count, two.tenths, two.picks);
                let picked = brute.2.is_some().then(|| picks(&found));
                assert_eq!((found.picks.len(), found.tenths, picked), brute);
                // Each depth half a step off would leave too much.
                let steepest = |choice: usize| {
                    let work = choices.all()[choice].work;
                    work.amount_kg_m(step_m) - work.amount_kg_m(0.0)
                };
                let half: f64 = found.picks.iter().map(|p| 0.5 * steepest(p.choice)).sum();
                saved += u32::from(found.residual_kg_m + half > case.wanted.permitted_kg_m);
            }
        }
    }
    assert!(saved > 150 && three > 150, "{saved} {three}");
}
