//! Random counterweights of a few choices, and round ones of many.

use kernel::balance::drilling::{Choice, Choices, Counterweight, How, Picked, Place, Wanted};
use kernel::balance::metal::{Drill, FaceHole, Flat, RimHole, Slug, Work};
use nalgebra::Complex;
use proptest::prelude::*;
use proptest::test_runner::{Config, RngAlgorithm, TestRng, TestRunner};
use std::f64::consts::TAU;

/// Random cases; the number only rises.
pub(crate) const CASES: u32 = 4000;
pub(crate) const G_MM: f64 = 1e-6;

#[derive(Debug, Clone)]
pub(crate) struct Case {
    pub(crate) choices: Vec<Choice>,
    pub(crate) excluded: Vec<(usize, usize)>,
    pub(crate) step_m: f64,
    pub(crate) wanted: Wanted,
}

impl Case {
    pub(crate) fn choices(&self) -> Choices {
        Choices::new(self.choices.clone(), self.excluded.clone(), self.step_m).unwrap()
    }

    pub(crate) fn solved(&self) -> Picked {
        self.choices().fewest(&self.wanted).unwrap()
    }

    /// Each step of a choice with what it removes and its metal.
    pub(crate) fn steps(&self, i: usize) -> Vec<(u32, Complex<f64>, f64)> {
        let choice = self.choices[i];
        let (first, last) = choice.steps.unwrap_or((0, 0));
        (first..=last)
            .map(|step| {
                let depth_m = f64::from(step) * self.step_m;
                let amount_kg_m = choice.work.amount_kg_m(depth_m);
                let removed = Complex::from_polar(amount_kg_m, choice.toward_rad);
                (step, removed, choice.work.mass_kg(depth_m))
            })
            .collect()
    }
}

pub(crate) fn work() -> impl Strategy<Value = Work> {
    let drill = prop_oneof![Just(6.0), Just(8.0), Just(10.0), 5.0..12.0f64];
    let radius = prop_oneof![Just(60.0), 40.0..75.0f64];
    (0u8..6, drill, radius, 1u32..12).prop_map(|(kind, d_mm, r_mm, grams)| {
        let drill = Drill::new(d_mm * 1e-3, 118f64.to_radians()).unwrap();
        let (radius_m, density_kg_m3) = (r_mm * 1e-3, 7850.0);
        let hole = FaceHole { drill, radius_m, density_kg_m3 };
        match kind {
            0 | 1 => Work::FaceHole(hole),
            2 => Work::RimHole(RimHole::new(drill, radius_m, density_kg_m3)),
            3 => Work::Slug(Slug { hole, slug_kg_m3: 17_500.0 }),
            4 => Work::Flat(Flat { rim_m: radius_m, width_m: d_mm * 1e-3, density_kg_m3 }),
            _ => Work::Mass { mass_kg: f64::from(grams) * 1e-3, radius_m },
        }
    })
}

/// Up to six choices of all kinds; some directions are the same or opposite, some choices are alike
/// in everything.
pub(crate) fn case() -> impl Strategy<Value = Case> {
    let choice = (
        0usize..12,
        prop_oneof![0.0..0.3 * TAU, 0.0..TAU, (0u32..8).prop_map(|k| f64::from(k) * TAU / 8.0)],
        work(),
        (0u32..8, prop_oneof![1 => Just(0u32), 4 => 0u32..16]),
    );
    (
        prop::collection::vec(choice, 2..=6),
        prop::collection::vec((0usize..6, 0usize..6), 0..=2),
        prop_oneof![Just(0.1), Just(0.25), Just(0.5), Just(1.0), Just(2.0), 0.1..2.0f64],
        // Nearly what some of them remove together, or anything.
        (prop_oneof![1 => Just(0usize), 8 => 1usize..=3], 0.0..1.0f64),
        (prop_oneof![4 => 0.0..40.0f64, 1 => 0.0..1500.0f64], 0.0..TAU),
        prop_oneof![1.0..60.0f64, 5.0..30.0f64],
        prop_oneof![1 => Just(1usize), 1 => Just(2usize), 4 => Just(3usize)],
    )
        .prop_map(
            |(figures, excluded, step_mm, (some, share), (off, toward), permitted, most)| {
                let mut choices: Vec<Choice> = figures
                    .into_iter()
                    .map(|(place, toward_rad, work, (above, more))| {
                        // From 3 mm on every drill cuts all round and every slug serves; short of the
                        // axis.
                        let first =
                            (3.0f64 / step_mm).ceil() as u32 + above.min((8.0 / step_mm) as u32);
                        let last = (first + more).min((25.0 / step_mm) as u32);
                        let steps = (!matches!(work, Work::Mass { .. })).then_some((first, last));
                        Choice { place, toward_rad, work, steps }
                    })
                    .collect();
                if choices.len() == 6 {
                    choices[5] = Choice { place: 12, ..choices[0] };
                }
                let excluded = excluded.into_iter().filter(|(a, b)| a != b).collect();
                let permitted_kg_m = permitted * G_MM;
                let wanted = Wanted {
                    unbalance_kg_m: Complex::from_polar(off * G_MM, toward),
                    permitted_kg_m,
                    most_operations: most,
                };
                let mut case = Case { choices, excluded, step_m: step_mm * 1e-3, wanted };
                for k in 0..some.min(case.choices.len()) {
                    let steps = case.steps(k);
                    case.wanted.unbalance_kg_m += steps[(share * steps.len() as f64) as usize].1;
                }
                case
            },
        )
}

/// All sets of at most so many of some choices.
pub(crate) fn subsets(from: usize, n: usize, most: usize) -> Vec<Vec<usize>> {
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

pub(crate) fn run(cases: u32, check: impl Fn(&Case)) {
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

/// What is picked, a mass at no step.
pub(crate) fn picks(found: &Picked) -> Vec<(usize, u32)> {
    found.picks.iter().map(|pick| (pick.choice, pick.steps.unwrap_or(0))).collect()
}

/// Face holes round a shaft.
pub(crate) fn round(
    places: u32,
    drills_m: Vec<f64>,
    step_m: f64,
    deepest_m: f64,
    radius_m: f64,
) -> Choices {
    let place = |k: u32| Place {
        how: How::FaceHole { deepest_m, edge_m: None },
        angle_rad: TAU * f64::from(k) / f64::from(places),
        radius_m,
    };
    let ways = Counterweight {
        density_kg_m3: 7850.0,
        drills_m,
        point_angle_rad: 118f64.to_radians(),
        least_depth_m: 4e-3,
        depth_step_m: step_m,
        between_m: 2e-3,
        to_edge_m: 3e-3,
        slug_kg_m3: None,
        places: (0..places).map(place).collect(),
    }
    .ways()
    .unwrap();
    ways.choices().clone()
}

pub(crate) fn aimed(
    choices: &Choices,
    amount_g_mm: f64,
    angle_rad: f64,
    permitted_g_mm: f64,
) -> Case {
    Case {
        choices: choices.all().to_vec(),
        excluded: choices.excluded().to_vec(),
        step_m: choices.depth_step_m(),
        wanted: Wanted {
            unbalance_kg_m: Complex::from_polar(amount_g_mm * G_MM, angle_rad),
            permitted_kg_m: permitted_g_mm * G_MM,
            most_operations: 3,
        },
    }
}
