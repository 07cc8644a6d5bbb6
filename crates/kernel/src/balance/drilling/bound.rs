//! Bounds that cut off whole branches of the search, and why they are safe.
//!
//! A set `S` of choices with amounts `a` is wanted only if
//!
//! 1. `y·(U − Σ a u) ≤ |y| ρ` for every vector `y`, with `ρ` what may be left (Cauchy–Schwarz);
//! 2. `Σ m ≤ M` with the metal `m ≥ w a` of each choice, where `w` is its least metal per amount
//!    and `M` the least metal found so far.
//!
//! Added up with weights 1 and `τ ≥ 0`, they say that a sum over the set is within a budget:
//!
//! `Σ (τ w − y·u) a ≤ τ M − y·U + |y| ρ`.
//!
//! Each term on the left is at least its minimum over the two ends of `a`, the **cost** of the
//! choice, whatever steps of depth there are between them. So a branch can be cut off if its costs
//! so far and the least costs of as many choices as are still to come exceed the budget: no set in
//! it is wanted. The least costs of the choices to come are exact for the order of the search but
//! for exclusions between choices that do not follow each other; leaving those out only lowers
//! them.
//!
//! With `τ = 0` a cut asks whether the set reaches far enough in the direction `y` (support
//! functions of its zonotope); `τ = 1` is the Lagrangian bound of the metal. The best weights are
//! found for the whole search by a climb ([`climb`]): the bound is concave in them.

use super::space::Space;
use super::zonotope::dot;
use nalgebra::Complex;

/// Costs are at most a few units, budgets too: sums of ten of them round below this.
const ROUNDING: f64 = 1e-12;
/// Steps of a climb: with halvings from a third to a thousandth of the start in four directions it
/// ends before.
const CLIMB_STEPS: usize = 60;
/// Step of a climb, relative to the weights of its start, and where it ends.
const CLIMB_FROM: f64 = 0.3;
/// See [`CLIMB_FROM`].
const CLIMB_TO: f64 = 1e-4;
/// Along and across the start.
const CLIMB_WAYS: [(f64, f64); 4] = [(1.0, 0.0), (-1.0, 0.0), (0.0, 1.0), (0.0, -1.0)];
/// Cuts that are compared at once.
pub(super) const LANES: usize = 8;

/// Weights of the conditions.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Cut {
    pub(super) y: Complex<f64>,
    pub(super) tau: f64,
}

impl Cut {
    /// The same cut with weights that sum to one.
    fn scaled(self) -> Self {
        let sum = self.y.norm() + self.tau;
        if sum > 0.0 { Self { y: self.y / sum, tau: self.tau / sum } } else { self }
    }

    /// Least share that a choice takes of the budget.
    pub(super) fn cost(&self, space: &Space, i: usize) -> f64 {
        let side = space.sides[i];
        let per_amount = self.tau * side.metal - dot(self.y, side.toward);
        (per_amount * side.least).min(per_amount * side.most)
    }

    /// What the costs may sum to.
    pub(super) fn budget(&self, space: &Space, radius: f64, metal: f64) -> f64 {
        let metal = if self.tau > 0.0 { self.tau * metal } else { 0.0 };
        let weight = self.y.norm();
        metal - self.y.re * space.target + weight * radius + ROUNDING * (weight + self.tau)
    }
}

/// The least sum of costs of a number of choices, or of up to so many, in the order of the search,
/// and choices that have it; nothing where exclusions leave too few.
pub(super) fn least_costs(
    space: &Space,
    cut: &Cut,
    count: usize,
    or_fewer: bool,
) -> Option<(f64, Vec<usize>)> {
    let n = space.len();
    let none = n;
    let costs: Vec<f64> = (0..n).map(|i| cut.cost(space, i)).collect();
    // For more and more to come: the least of what follows each choice, and with what it begins.
    let mut layers = vec![vec![(0.0, none); n]];
    let mut from = vec![(f64::INFINITY, none); n + 1];
    for more in 0..count {
        let follows = &layers[more];
        let whole = |i: usize| costs[i] + follows[i].0;
        for i in (0..n).rev() {
            let here = whole(i);
            from[i] = if here < from[i + 1].0 { (here, i) } else { from[i + 1] };
        }
        if more + 1 < count {
            let after = |i: usize| {
                let mut least = from[space.free_from[i]];
                for k in space.next_place[i]..space.free_from[i] {
                    if whole(k) < least.0 && !space.excludes(i, k) {
                        least = (whole(k), k);
                    }
                }
                if or_fewer && least.0 > 0.0 { (0.0, none) } else { least }
            };
            let next = (0..n).map(after).collect();
            layers.push(next);
        }
    }
    let (sum, mut at) = from[0];
    let mut picks = Vec::with_capacity(count);
    for layer in layers.iter().rev() {
        if at == none {
            break;
        }
        picks.push(at);
        at = layer[at].1;
    }
    sum.is_finite().then_some((sum, picks))
}

/// Costs of all choices for all cuts, and the least costs of what may follow each choice.
pub(super) struct Table {
    cuts: Vec<Cut>,
    costs: Vec<f64>,
    /// For each number of choices to come, from none: the least they cost after each choice.
    follows: Vec<Vec<f64>>,
    /// The least costs of a whole set.
    whole_sets: Vec<f64>,
}

impl Table {
    /// A table for sets of `more` choices after the first, or of up to so many.
    pub(super) fn new(space: &Space, cuts: Vec<Cut>, more: usize, or_fewer: bool) -> Self {
        let mut cuts: Vec<Cut> = cuts.into_iter().map(Cut::scaled).collect();
        // Cuts that always hold fill the last lanes.
        let holds = Cut { y: Complex::new(0.0, 0.0), tau: 0.0 };
        cuts.resize(cuts.len().next_multiple_of(LANES), holds);
        let costs =
            (0..space.len()).flat_map(|i| cuts.iter().map(move |cut| cut.cost(space, i))).collect();
        let follows = vec![vec![0.0; space.len() * cuts.len()]];
        let mut table = Self { cuts, costs, follows, whole_sets: Vec::new() };
        for _ in 0..more {
            let next = table.one_more(space, or_fewer);
            table.follows.push(next);
        }
        table.whole_sets = table.begun_from(&table.whole())[..table.cuts.len()].to_vec();
        table
    }

    pub(super) fn cuts(&self) -> &[Cut] {
        &self.cuts
    }

    /// Least costs of a whole set, per cut.
    pub(super) fn whole_sets(&self) -> &[f64] {
        &self.whole_sets
    }

    /// Costs of choice `i`, per cut.
    pub(super) fn costs(&self, i: usize) -> &[f64] {
        let width = self.cuts.len();
        &self.costs[i * width..(i + 1) * width]
    }

    /// Least costs of `more` choices after choice `i`, per cut.
    pub(super) fn follows(&self, more: usize, i: usize) -> &[f64] {
        let width = self.cuts.len();
        &self.follows[more][i * width..(i + 1) * width]
    }

    /// Costs of each choice with the most that may follow so far.
    fn whole(&self) -> Vec<f64> {
        let last = self.follows.last().map_or(&[][..], Vec::as_slice);
        self.costs.iter().zip(last).map(|(cost, follow)| cost + follow).collect()
    }

    /// The least of `whole` at or after each choice, and infinity after the last.
    fn begun_from(&self, whole: &[f64]) -> Vec<f64> {
        let width = self.cuts.len();
        let mut from = vec![f64::INFINITY; whole.len() + width];
        for at in (0..whole.len()).rev() {
            from[at] = from[at + width].min(whole[at]);
        }
        from
    }

    fn one_more(&self, space: &Space, or_fewer: bool) -> Vec<f64> {
        let (n, width) = (space.len(), self.cuts.len());
        let whole = self.whole();
        let mut next = self.begun_from(&whole);
        let from = next.clone();
        next.truncate(n * width);
        for (i, row) in next.chunks_exact_mut(width).enumerate() {
            let free = space.free_from[i];
            row.copy_from_slice(&from[free * width..(free + 1) * width]);
            for k in (space.next_place[i]..free).filter(|k| !space.excludes(i, *k)) {
                for (least, other) in row.iter_mut().zip(&whole[k * width..(k + 1) * width]) {
                    *least = least.min(*other);
                }
            }
            if or_fewer {
                row.iter_mut().for_each(|least| *least = least.min(0.0));
            }
        }
        next
    }
}

/// Climbs to weights with a better bound, along each weight up and down, in the scale of the start,
/// with halved steps where nothing is gained. The bound's optimum is a single hill; what is found
/// is a valid cut wherever the climb ends.
pub(super) fn climb(start: Cut, mut bound: impl FnMut(&Cut) -> f64) -> Cut {
    let scale = start.y.norm();
    let (mut best, mut value) = (start, bound(&start));
    let mut step = CLIMB_FROM;
    for _ in 0..CLIMB_STEPS {
        if step < CLIMB_TO {
            break;
        }
        let mut gained = false;
        for (along, across) in CLIMB_WAYS {
            let y = best.y + Complex::new(along, across) * scale * step;
            let trial = Cut { y, ..best };
            let found = bound(&trial);
            if found > value {
                (best, value, gained) = (trial, found, true);
            }
        }
        if !gained {
            step *= 0.5;
        }
    }
    best
}

#[cfg(test)]
mod tests {
    use super::super::choice::{Choice, Choices, Wanted};
    use super::*;
    use crate::balance::metal::{Drill, RimHole, Work};
    use proptest::prelude::*;
    use std::f64::consts::TAU;

    /// Places, directions, and depths and drills as shares.
    fn space(figures: &[(usize, f64, f64, f64)], excluded: Vec<(usize, usize)>) -> Space {
        let choice = |(place, toward_rad, size, wide): &(usize, f64, f64, f64)| {
            let drill = Drill::new(6e-3 + 6e-3 * wide, 118f64.to_radians()).unwrap();
            let work = Work::RimHole(RimHole::new(drill, 60e-3, 7850.0));
            let last = 10 + (20.0 * size) as u32;
            Choice { place: *place, toward_rad: *toward_rad, work, steps: Some((8, last)) }
        };
        let choices = figures.iter().map(choice).collect();
        let choices = Choices::new(choices, excluded, 0.5e-3).unwrap();
        let unbalance_kg_m = Complex::from_polar(2e-3, 1.0);
        let permitted_kg_m = 0.1e-3;
        Space::new(&choices, &Wanted { unbalance_kg_m, permitted_kg_m, most_operations: 8 })
    }

    proptest! {
        /// Whatever depths a set has: with what it leaves and moves as the limits, no cut is over
        /// its budget, neither for the whole set nor on the way to it.
        #[test]
        fn no_cut_cuts_off_a_set_that_is_wanted(
            figures in prop::collection::vec(
                (0usize..9, 0.0..TAU, 0.1..1.0f64, 0.0..1.0f64), 12,
            ),
            excluded in prop::collection::vec((0usize..12, 0usize..12), 0..20),
            weights in prop::collection::vec((0.0..1.5f64, 0.0..TAU, 0u8..3), 8),
            shares in prop::collection::vec(0.0..1.0f64, 12),
            wish in prop::collection::vec(any::<bool>(), 12),
        ) {
            let space = space(&figures, excluded);
            let mut set: Vec<usize> = Vec::new();
            for i in (0..space.len()).filter(|i| wish[*i]) {
                let start = set.last().map_or(0, |last| space.next_place[*last]);
                if i >= start && set.iter().all(|k| !space.excludes(*k, i)) {
                    set.push(i);
                }
            }
            let step = |i: usize| {
                let (first, last) = (space.ladders[i].first, space.ladders[i].last);
                first + (shares[i] * f64::from(last - first + 1)) as u32
            };
            let removed: Complex<f64> =
                set.iter().map(|i| space.sides[*i].toward * space.ladders[*i].amount(step(*i))).sum();
            let left = (space.target - removed).norm();
            let metal: f64 = set.iter().map(|i| space.ladders[*i].metal(step(*i))).sum();
            let cuts: Vec<Cut> = weights
                .iter()
                .map(|(size, angle, tau)| Cut {
                    y: Complex::from_polar(*size, *angle),
                    tau: f64::from(*tau),
                })
                .collect();
            for or_fewer in [false, true] {
                let Some(more) = set.len().checked_sub(1) else { continue };
                let table = Table::new(&space, cuts.clone(), more, or_fewer);
                for (j, cut) in table.cuts().iter().enumerate() {
                    let budget = cut.budget(&space, left, metal);
                    let spent = |set: &[usize]| {
                        set.iter().map(|i| table.costs(*i)[j]).sum::<f64>()
                    };
                    prop_assert!(spent(&set) <= budget, "{cut:?}");
                    for (k, i) in set.iter().enumerate() {
                        let to_come = table.follows(more - k, *i)[j];
                        prop_assert!(to_come <= spent(&set[k + 1..]) + 1e-14, "{cut:?}");
                    }
                    prop_assert!(table.whole_sets()[j] <= spent(&set) + 1e-14);
                    // The bound alone says the same, and its choices have those costs.
                    let (least, picks) = least_costs(&space, cut, more + 1, or_fewer).unwrap();
                    prop_assert!((least - table.whole_sets()[j]).abs() < 1e-14);
                    prop_assert!((spent(&picks) - least).abs() < 1e-14);
                    prop_assert!(or_fewer || picks.len() == set.len());
                }
            }
        }
    }

    /// With the prices of a linear program for weights, a set that leaves nothing is exactly on its
    /// budget: nothing that costs a thousandth more metal would be looked at.
    #[test]
    fn the_best_cut_of_metal_leaves_nothing_over() {
        let figures = [(0, 0.4, 1.0, 0.2), (1, 1.5, 1.0, 0.7), (2, 3.0, 0.5, 0.1)];
        let space = space(&figures, Vec::new());
        let at = |given: usize| space.given.iter().position(|g| *g == given).unwrap();
        let (a, b) = (space.sides[at(0)], space.sides[at(1)]);
        // y·u = w for both, by Cramer's rule; the target is along the real axis.
        let area = a.toward.re * b.toward.im - a.toward.im * b.toward.re;
        let y = Complex::new(
            a.metal * b.toward.im - b.metal * a.toward.im,
            b.metal * a.toward.re - a.metal * b.toward.re,
        ) / area;
        let amounts = [space.target * b.toward.im / area, -space.target * a.toward.im / area];
        let metal = a.metal * amounts[0] + b.metal * amounts[1];
        let cut = Cut { y, tau: 1.0 };
        let spent = cut.cost(&space, at(0)) + cut.cost(&space, at(1));
        let over = cut.budget(&space, 0.0, metal) - spent;
        assert!((0.0..1e-11).contains(&over), "{over:e}");
        // A choice whose metal is above its price is wanted at its least, below it at its most.
        let dear = Cut { y: y * 0.9, ..cut };
        assert!((dear.cost(&space, at(0)) - 0.1 * a.metal * a.least).abs() < 1e-14);
        let cheap = Cut { y: y * 1.1, ..cut };
        assert!((cheap.cost(&space, at(0)) + 0.1 * a.metal * a.most).abs() < 1e-14);
    }

    #[test]
    fn a_climb_finds_the_top_of_a_hill() {
        let start = Cut { y: Complex::new(1.0, 0.0), tau: 1.0 };
        let top = climb(start, |cut| -(cut.y - Complex::new(1.7, -0.4)).norm_sqr());
        assert!((top.y - Complex::new(1.7, -0.4)).norm() < 1e-3 && top.tau == 1.0, "{top:?}");
    }
}
