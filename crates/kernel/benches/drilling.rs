//! The search for the fewest operations on a counterweight.

#![expect(clippy::unwrap_used, reason = "in a bench a panic is the report")]

use divan::{Bencher, black_box};
use kernel::balance::drilling::{Counterweight, How, Place, Reach, Wanted, Ways};
use nalgebra::Complex;
use std::f64::consts::TAU;

fn main() {
    divan::main();
}

const POSITIONS: usize = 24;
const DRILLS_MM: [f64; 5] = [6.0, 8.0, 10.0, 12.0, 14.0];
const PERMITTED_G_MM: f64 = 25.0;
/// Direction of the unbalance, off every position and every middle between two.
const DIRECTION_DEG: f64 = 37.0;

fn ways(positions: usize, drills_mm: &[f64]) -> Ways {
    stepped(positions, drills_mm, 0.1)
}

fn stepped(positions: usize, drills_mm: &[f64], step_mm: f64) -> Ways {
    let place = |k: usize| Place {
        how: How::FaceHole { deepest_m: 18e-3, edge_m: None },
        angle_rad: TAU * k as f64 / positions as f64,
        radius_m: 60e-3,
    };
    Counterweight {
        density_kg_m3: 7850.0,
        drills_m: drills_mm.iter().map(|mm| mm * 1e-3).collect(),
        point_angle_rad: 118f64.to_radians(),
        least_depth_m: 2e-3,
        depth_step_m: step_mm * 1e-3,
        between_m: 2e-3,
        to_edge_m: 3e-3,
        slug_kg_m3: None,
        places: (0..positions).map(place).collect(),
    }
    .ways()
    .unwrap()
}

fn wanted(amount_g_mm: f64, deg: f64) -> Wanted {
    Wanted {
        unbalance_kg_m: Complex::from_polar(amount_g_mm * 1e-6, deg.to_radians()),
        permitted_kg_m: PERMITTED_G_MM * 1e-6,
        most_operations: 8,
    }
}

/// Holes needed and the unbalance, g mm.
#[divan::bench(args = [(1, 800.0, 45.0), (2, 1200.0, DIRECTION_DEG), (3, 2500.0, DIRECTION_DEG), (4, 3300.0, DIRECTION_DEG), (5, 4000.0, DIRECTION_DEG)])]
fn holes(bencher: Bencher<'_, '_>, (count, amount_g_mm, deg): (usize, f64, f64)) {
    let ways = ways(POSITIONS, &DRILLS_MM);
    let wanted = wanted(amount_g_mm, deg);
    let found = ways.correct(&wanted).unwrap();
    assert_eq!((found.reach, found.operations.len()), (Reach::Within, count));
    bencher.bench(|| black_box(&ways).correct(black_box(&wanted)).unwrap());
}

/// The least unbalance that needs more than some holes, to 1e-6 of it, g mm.
fn out_of_reach(ways: &Ways, count: usize, deg: f64) -> f64 {
    let (mut within, mut beyond) = (0.0, 1500.0 * count as f64);
    for _ in 0..20 {
        let middle = 0.5 * (within + beyond);
        let found = ways.correct(&wanted(middle, deg)).unwrap();
        if found.reach == Reach::Within && found.operations.len() <= count {
            within = middle;
        } else {
            beyond = middle;
        }
    }
    beyond
}

/// An unbalance just out of reach of some holes, where all that nearly reach it must be shown not
/// to. At 7.5 and 0 degrees, in the middle between two positions and at one, each set has its
/// mirror image.
#[divan::bench(args = [(2, 37.0), (3, 37.0), (4, 37.0), (5, 37.0), (6, 37.0), (7, 37.0), (4, 7.5), (4, 0.0), (5, 7.5), (5, 0.0)])]
fn just_out_of_reach(bencher: Bencher<'_, '_>, (count, deg): (usize, f64)) {
    let ways = ways(POSITIONS, &DRILLS_MM);
    let wanted = wanted(out_of_reach(&ways, count, deg), deg);
    assert_eq!(ways.correct(&wanted).unwrap().operations.len(), count + 1);
    bencher.bench(|| black_box(&ways).correct(black_box(&wanted)).unwrap());
}

/// The same, still within reach.
#[divan::bench(args = [(3, 37.0), (5, 37.0), (7, 37.0), (5, 7.5), (5, 0.0)])]
fn just_within_reach(bencher: Bencher<'_, '_>, (count, deg): (usize, f64)) {
    let ways = ways(POSITIONS, &DRILLS_MM);
    let wanted = wanted(out_of_reach(&ways, count, deg) - 0.1, deg);
    assert_eq!(ways.correct(&wanted).unwrap().operations.len(), count);
    bencher.bench(|| black_box(&ways).correct(black_box(&wanted)).unwrap());
}

/// More than eight holes reach: which come nearest.
#[divan::bench]
fn nearest(bencher: Bencher<'_, '_>) {
    let ways = ways(POSITIONS, &DRILLS_MM);
    let wanted = wanted(6500.0, DIRECTION_DEG);
    assert_eq!(ways.correct(&wanted).unwrap().reach, Reach::Nearest);
    bencher.bench(|| black_box(&ways).correct(black_box(&wanted)).unwrap());
}

/// Ten drills at 48 positions.
#[divan::bench(args = [2000.0, 5000.0, 7600.0])]
fn wide(bencher: Bencher<'_, '_>, amount_g_mm: f64) {
    let drills_mm: Vec<f64> = (5..15).map(f64::from).collect();
    let ways = ways(48, &drills_mm);
    let wanted = wanted(amount_g_mm, 7.5);
    bencher.bench(|| black_box(&ways).correct(black_box(&wanted)).unwrap());
}

/// Coarse steps of depth: holes needed depend on what the steps hit. Step, mm, and the unbalance and
/// what may be left of it, g mm.
#[divan::bench(args = [(0.01, 2500.0, 25.0), (0.25, 2500.0, 25.0), (0.5, 2500.0, 25.0), (1.0, 800.0, 25.0), (1.0, 2500.0, 25.0), (1.0, 4000.0, 25.0), (1.0, 1200.0, 5.0), (1.0, 1200.0, 1.0), (0.1, 2500.0, 0.5)])]
fn steps(bencher: Bencher<'_, '_>, (step_mm, amount_g_mm, permitted_g_mm): (f64, f64, f64)) {
    let ways = stepped(POSITIONS, &DRILLS_MM, step_mm);
    let permitted_kg_m = permitted_g_mm * 1e-6;
    let wanted = Wanted { permitted_kg_m, ..wanted(amount_g_mm, DIRECTION_DEG) };
    assert_eq!(ways.correct(&wanted).unwrap().reach, Reach::Within);
    bencher.bench(|| black_box(&ways).correct(black_box(&wanted)).unwrap());
}

/// All sets of the same counterweight looked at, for whether one suffices: what the search is
/// measured by. Of each only the reach in 64 directions is computed, its metal not at all.
#[divan::bench(args = [(2, 1200.0), (3, 2500.0), (4, 3300.0), (5, 4000.0)], sample_count = 3, sample_size = 1)]
fn all_sets(bencher: Bencher<'_, '_>, (count, amount_g_mm): (usize, f64)) {
    let ways = ways(POSITIONS, &DRILLS_MM);
    let naive = Naive::new(&ways, amount_g_mm);
    let fewest = (0..=count).find(|k| naive.sets_that_suffice(*k) > 0);
    assert_eq!(fewest, Some(count));
    bencher.bench(|| (0..=count).map(|k| naive.sets_that_suffice(k)).sum::<u64>());
}

const DIRECTIONS: usize = 64;

struct Naive {
    /// Reach of each choice in each direction.
    reach: Vec<[f64; DIRECTIONS]>,
    place: Vec<usize>,
    excluded: Vec<Vec<bool>>,
    needed: [f64; DIRECTIONS],
}

impl Naive {
    fn new(ways: &Ways, amount_g_mm: f64) -> Self {
        let wanted = wanted(amount_g_mm, DIRECTION_DEG);
        let choices = ways.choices().all();
        let direction = |j: usize| Complex::from_polar(1.0, TAU * j as f64 / DIRECTIONS as f64);
        let along = |a: Complex<f64>, j: usize| (a * direction(j).conj()).re;
        let mut excluded = vec![vec![false; choices.len()]; choices.len()];
        for (a, b) in ways.choices().excluded() {
            excluded[*a][*b] = true;
        }
        Self {
            reach: choices
                .iter()
                .map(|c| {
                    std::array::from_fn(|j| {
                        let cos = along(Complex::from_polar(1.0, c.toward_rad), j);
                        let (least_kg_m, most_kg_m) = ways.choices().amounts_kg_m(c);
                        (cos * least_kg_m).max(cos * most_kg_m)
                    })
                })
                .collect(),
            place: choices.iter().map(|c| c.place).collect(),
            excluded,
            needed: std::array::from_fn(|j| {
                along(wanted.unbalance_kg_m, j) - wanted.permitted_kg_m
            }),
        }
    }

    fn sets_that_suffice(&self, count: usize) -> u64 {
        self.with(&mut Vec::new(), 0, count, &[0.0; DIRECTIONS])
    }

    fn with(
        &self,
        taken: &mut Vec<usize>,
        from: usize,
        more: usize,
        reach: &[f64; DIRECTIONS],
    ) -> u64 {
        if more == 0 {
            return u64::from(reach.iter().zip(&self.needed).all(|(has, needs)| has >= needs));
        }
        let mut found = 0;
        for i in from..self.place.len() {
            if taken.iter().any(|k| self.place[*k] == self.place[i] || self.excluded[*k][i]) {
                continue;
            }
            let both = std::array::from_fn(|j| reach[j] + self.reach[i][j]);
            taken.push(i);
            found += self.with(taken, i + 1, more - 1, &both);
            taken.pop();
        }
        found
    }
}
