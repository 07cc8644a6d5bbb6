//! Bounds that cut off whole branches of the search, and why they are safe.
//!
//! A set `S` of choices with amounts `a` is wanted only if
//!
//! 1. `y·(U − Σ a u) ≤ |y| r` for every vector `y`, with `r` what it leaves (Cauchy–Schwarz);
//! 2. `r + Σ g ≤ ρ`, with its guards `g`, where `ρ` is what may be left;
//! 3. `Σ w a ≤ M`, where `M` is the least metal found so far.
//!
//! Added up with weights 1, `|y| + μ` and `τ` (`μ, τ ≥ 0`; of `(|y| + μ) r` the part `μ r ≥ 0` is
//! dropped), they say that a sum over the set is within a budget:
//!
//! `Σ [ (τ w − y·u) a + (|y| + μ) g ] ≤ τ M − y·U + (|y| + μ) ρ`.
//!
//! Each term on the left is at least its minimum over the two ends of `a`, the **cost** of the
//! choice. So a branch can be cut off if its costs so far and the least costs of as many choices
//! as are still to come exceed the budget: no set in it is wanted. The least costs of the choices
//! to come are exact for the order of the search but for exclusions between choices that do not
//! follow each other; leaving those out only lowers them.
//!
//! With `τ = μ = 0` a cut asks whether the set reaches far enough in the direction `y` (support
//! functions of its zonotope); `y = 0` whether its guards are small enough; a large `μ` whether
//! both at once; `τ = 1` is the Lagrangian bound of the metal. The best weights are found for the
//! whole search by a climb ([`climb`]): the bound is concave in them.

use super::space::Space;
use super::zonotope::dot;
use nalgebra::Complex;

/// Costs are at most a few units, budgets too: sums of ten of them round below this.
const ROUNDING: f64 = 1e-12;
/// Steps of a climb: with halvings from a third to a thousandth of the start in four directions it
/// ends before.
const CLIMB_STEPS: usize = 60;
/// Step of a climb, relative to the scale of its start, and where it ends.
const CLIMB_FROM: f64 = 0.3;
/// See [`CLIMB_FROM`].
const CLIMB_TO: f64 = 1e-4;
/// Cuts that are compared at once.
pub(super) const LANES: usize = 8;

/// Weights of the conditions.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Cut {
    pub(super) y: Complex<f64>,
    pub(super) mu: f64,
    pub(super) tau: f64,
}

impl Cut {
    /// The same cut with weights that sum to one.
    fn scaled(self) -> Self {
        let sum = self.y.norm() + self.mu + self.tau;
        if sum > 0.0 {
            Self { y: self.y / sum, mu: self.mu / sum, tau: self.tau / sum }
        } else {
            self
        }
    }

    /// Least share that a choice takes of the budget.
    pub(super) fn cost(&self, space: &Space, i: usize) -> f64 {
        let side = space.sides[i];
        let per_amount = self.tau * side.metal - dot(self.y, side.toward);
        let amounts = (per_amount * side.least).min(per_amount * side.most);
        amounts + (self.y.norm() + self.mu) * space.guards[i]
    }

    /// What the costs may sum to.
    pub(super) fn budget(&self, space: &Space, radius: f64, metal: f64) -> f64 {
        let metal = if self.tau > 0.0 { self.tau * metal } else { 0.0 };
        let weights = self.y.norm() + self.mu;
        metal - self.y.re * space.target + weights * radius + ROUNDING * (weights + self.tau)
    }
}

/// The least sum of costs of a number of choices in the order of the search, and choices that have
/// it; nothing where exclusions leave too few.
pub(super) fn least_costs(space: &Space, cut: &Cut, count: usize) -> Option<(f64, Vec<usize>)> {
    let n = space.len();
    let costs: Vec<f64> = (0..n).map(|i| cut.cost(space, i)).collect();
    // Least of what begins at or after a choice, and where; of what follows a choice.
    let mut begins: Vec<Vec<(f64, usize)>> = Vec::with_capacity(count);
    let mut follows = vec![(0.0, n); n];
    for layer in 0..count {
        let mut from = vec![(f64::INFINITY, n); n + 1];
        for i in (0..n).rev() {
            let here = costs[i] + follows[i].0;
            from[i] = if here < from[i + 1].0 { (here, i) } else { from[i + 1] };
        }
        if layer + 1 < count {
            let whole = |i: usize| costs[i] + follows[i].0;
            let next: Vec<(f64, usize)> = (0..n)
                .map(|i| {
                    let mut least = from[space.free_from[i]];
                    for k in space.next_place[i]..space.free_from[i] {
                        if whole(k) < least.0 && !space.excludes(i, k) {
                            least = (whole(k), k);
                        }
                    }
                    least
                })
                .collect();
            begins.push(std::mem::replace(&mut follows, next));
        } else {
            let (sum, first) = from[0];
            let mut picks = vec![first];
            // Layers hold what follows with fewer and fewer to come.
            for layer in std::iter::once(&follows).chain(begins.iter().rev()).take(count - 1) {
                let last = *picks.last()?;
                picks.push(layer.get(last)?.1);
            }
            return (sum.is_finite() && picks.iter().all(|k| *k < n)).then_some((sum, picks));
        }
    }
    Some((0.0, Vec::new()))
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
        let holds = Cut { y: Complex::new(0.0, 0.0), mu: 0.0, tau: 0.0 };
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

/// Climbs to weights with a better bound: from a start, in its own scale, along each weight up and
/// down, with halved steps where nothing is gained. `bound` is concave in them; what is found is a
/// valid cut wherever the climb ends.
pub(super) fn climb(start: Cut, mut bound: impl FnMut(&Cut) -> f64) -> Cut {
    let scale = start.y.norm() + start.mu + start.tau;
    let (mut best, mut value) = (start, bound(&start));
    let mut step = CLIMB_FROM * scale;
    for _ in 0..CLIMB_STEPS {
        if step < CLIMB_TO * scale {
            break;
        }
        let mut gained = false;
        for (along, across, guards) in [
            (1.0, 0.0, 0.0),
            (-1.0, 0.0, 0.0),
            (0.0, 1.0, 0.0),
            (0.0, -1.0, 0.0),
            (0.0, 0.0, 1.0),
            (0.0, 0.0, -1.0),
        ] {
            let y = best.y + Complex::new(along, across) * step;
            let mu = (best.mu + guards * step).max(0.0);
            let trial = Cut { y, mu, ..best };
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
