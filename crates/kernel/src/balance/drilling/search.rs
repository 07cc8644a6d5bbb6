//! The fewest operations that remove an unbalance, by branch and bound.
//!
//! **Order of answers.** A set of choices, no two of which exclude each other, leaves a least
//! residual `r`, and guarantees `r + Σ g` with its guards `g`. It suffices if that is permitted.
//! Of the sets that suffice the best is the one
//! 1. with the fewest choices;
//! 2. of these, with the fewest begun tenths of the permitted residual in `r + Σ g`, a first tenth
//!    being begun by nothing;
//! 3. of these, with the least metal moved: the least `Σ w a` of the amounts that leave exactly `r`.
//!
//! Metal is compared to nine digits, tenths to 1e-9 of a tenth; which of the sets that are equal
//! so far is taken depends on the input alone. Where no set suffices, the one with the least
//! `r + Σ g`, to nine digits, comes nearest.
//!
//! **Search.** For each number of choices, from nothing up: choices are added in the order of their
//! places; a branch ends where a bound says that no wanted set is in it ([`super::bound`]); what a
//! whole set leaves is computed exactly ([`super::zonotope`], [`super::cheapest`]). The first pass
//! finds whether a set suffices and the fewest tenths, the second the least metal. All of it is
//! finite, exact and on one thread; [`MOST_CHECKS`] ends a search that would keep its user waiting,
//! with an error. What makes it long is a permitted residual far below the steps between single
//! masses: of 240 of them within 0.1 g mm, some seconds.

use super::bound::{Cut, LANES, Table, climb, least_costs};
use super::cheapest::cheapest;
use super::choice::{Choices, Pick, Picked, Reach, TENTHS, Wanted};
use super::error::DrillingError;
use super::space::{Space, sides_of};
use nalgebra::Complex;

/// Bound on partial sets looked at: some ten seconds.
pub const MOST_CHECKS: u64 = 400_000_000;
/// Relative difference below which two sets are equal in metal, or in what they leave.
const EQUAL: f64 = 1e-9;
/// Directions of cuts from that of the unbalance, degrees, to both sides: dense where a set that
/// reaches far enough must lie, sparse where only what it must not have too much of is asked.
const OFF_DEG: [f64; 16] =
    [1.0, 2.0, 4.0, 7.0, 11.0, 16.0, 22.0, 30.0, 40.0, 52.0, 65.0, 80.0, 95.0, 115.0, 140.0, 165.0];
/// Weights of the guards beside that of the reach, for cuts that ask for both at once: a hole's
/// guard is some hundredth to thousandth of its greatest amount.
const GUARD_WEIGHTS: [f64; 5] = [10.0, 40.0, 150.0, 600.0, 2400.0];
/// Directions of those cuts, degrees, to both sides.
const GUARD_OFF_DEG: [f64; 2] = [10.0, 30.0];
/// Relative offsets, along and across, of the cuts about the one that a climb found.
const ABOUT: [(f64, f64); 12] = [
    (0.02, 0.0),
    (-0.02, 0.0),
    (0.0, 0.02),
    (0.0, -0.02),
    (0.06, 0.06),
    (0.06, -0.06),
    (-0.06, 0.06),
    (-0.06, -0.06),
    (0.2, 0.0),
    (-0.1, 0.0),
    (0.0, 0.2),
    (0.0, -0.2),
];

impl Choices {
    /// The fewest choices that suffice, or those that come nearest.
    ///
    /// # Errors
    /// [`DrillingError::OutOfRange`] for an unbalance, a residual or a number of operations that is
    /// none; [`DrillingError::TooWide`] where the search would not end.
    pub fn fewest(&self, wanted: &Wanted) -> Result<Picked, DrillingError> {
        wanted.checked()?;
        let space = Space::new(self, wanted);
        let nothing = Best { picks: Vec::new(), warranted: space.target, metal: 0.0 };
        if space.tenths(space.target) <= TENTHS {
            return Ok(space.picked(self, &nothing, Reach::Within, 0));
        }
        let most = wanted.most_operations.min(space.len());
        let mut checks = 0;
        for count in 1..=most {
            let table = Table::new(&space, reach_cuts(), count - 1, false);
            let Some(fewest) = fewest_tenths(&space, &table) else { continue };
            let mut pass = Pass::new(&space, &table, Aim::Tenths { fewest }, count);
            pass.run(&mut checks)?;
            if let Some(best) = pass.best {
                let best = least_metal(&space, best, count, &mut checks)?;
                return Ok(space.picked(self, &best, Reach::Within, checks));
            }
        }
        let best = nearest(&space, nothing, most, &mut checks)?;
        Ok(space.picked(self, &best, Reach::Nearest, checks))
    }
}

/// Cuts of reach and guards.
fn reach_cuts() -> Vec<Cut> {
    let both = |off: &[f64]| -> Vec<f64> {
        std::iter::once(0.0).chain(off.iter().flat_map(|deg| [*deg, -*deg])).collect()
    };
    let toward =
        |deg: f64, mu: f64| Cut { y: Complex::from_polar(1.0, deg.to_radians()), mu, tau: 0.0 };
    let reach = both(&OFF_DEG).into_iter().map(|deg| toward(deg, 0.0));
    let guarded = both(&GUARD_OFF_DEG);
    let guarded = guarded.iter().flat_map(|deg| GUARD_WEIGHTS.map(|mu| toward(*deg, mu)));
    let guards = Cut { y: Complex::new(0.0, 0.0), mu: 1.0, tau: 0.0 };
    reach.chain(guarded).chain(std::iter::once(guards)).collect()
}

/// The fewest tenths that the cuts leave possible at the start; nothing if not even all ten are.
fn fewest_tenths(space: &Space, table: &Table) -> Option<usize> {
    (1..=TENTHS).find(|tenths| {
        let radius = space.radius(*tenths);
        table
            .cuts()
            .iter()
            .zip(table.whole_sets())
            .all(|(cut, least)| *least <= cut.budget(space, radius, f64::INFINITY))
    })
}

/// Of the sets with as many choices and tenths as `best`, the one with the least metal.
fn least_metal(
    space: &Space,
    best: Best,
    count: usize,
    checks: &mut u64,
) -> Result<Best, DrillingError> {
    let tenths = space.tenths(best.warranted);
    let radius = space.radius(tenths);
    let mut best = best;
    let mean = space.sides.iter().map(|side| side.metal).sum::<f64>() / space.len() as f64;
    let start = Cut { y: Complex::new(mean, 0.0), mu: 0.0, tau: 1.0 };
    let tightest = climb(start, |cut| {
        let Some((sum, picks)) = least_costs(space, cut, count, false) else {
            return f64::NEG_INFINITY;
        };
        if space.is_allowed(&picks) {
            let found = evaluated(space, &picks);
            if space.tenths(found.warranted) <= tenths && found.metal < best.metal {
                best = found;
            }
        }
        sum - cut.budget(space, radius, 0.0)
    });
    let cuts = about(tightest).chain(reach_cuts()).collect();
    let table = Table::new(space, cuts, count - 1, false);
    let mut pass = Pass::new(space, &table, Aim::Metal { tenths }, count);
    pass.keep(best.clone());
    pass.run(checks)?;
    Ok(pass.best.unwrap_or(best))
}

/// A cut and its neighbours.
fn about(cut: Cut) -> impl Iterator<Item = Cut> {
    let size = cut.y.norm();
    let around = ABOUT
        .into_iter()
        .map(move |(along, across)| Cut { y: cut.y + Complex::new(along, across) * size, ..cut });
    std::iter::once(cut).chain(around)
}

/// The set of at most `most` choices that comes nearest.
fn nearest(
    space: &Space,
    nothing: Best,
    most: usize,
    checks: &mut u64,
) -> Result<Best, DrillingError> {
    if most == 0 {
        return Ok(nothing);
    }
    // What a cut says of the least that is warranted, and the best of the sets that it comes from.
    let mut best = nothing.clone();
    let mut bound = |cut: &Cut| {
        let Some((sum, picks)) = least_costs(space, cut, most, true) else {
            return f64::NEG_INFINITY;
        };
        if space.is_allowed(&picks) {
            let found = evaluated(space, &picks);
            if found.warranted < best.warranted {
                best = found;
            }
        }
        let weights = cut.y.norm() + cut.mu;
        if weights > 0.0 { (sum + cut.y.re * space.target) / weights } else { f64::NEG_INFINITY }
    };
    let mut start = (f64::NEG_INFINITY, None);
    for cut in reach_cuts() {
        let found = bound(&cut);
        if found > start.0 {
            start = (found, Some(cut));
        }
    }
    let tightest = start.1.map(|cut| climb(cut, bound));
    let cuts = tightest.into_iter().flat_map(about).chain(reach_cuts()).collect();
    let table = Table::new(space, cuts, most - 1, true);
    let mut pass = Pass::new(space, &table, Aim::Nearest, most);
    pass.keep(best);
    pass.run(checks)?;
    Ok(pass.best.unwrap_or(nothing))
}

/// A set with what it warrants and its metal.
fn evaluated(space: &Space, picks: &[usize]) -> Best {
    let (sides, count) = sides_of(space, picks);
    let near = space.nearest(&sides[..count]);
    let guards: f64 = picks.iter().map(|i| space.guards[*i]).sum();
    let metal = cheapest(near.point, &sides[..count]).metal;
    Best { picks: picks.to_vec(), warranted: near.distance + guards, metal }
}

/// What a pass looks for.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Aim {
    /// The fewest tenths, which are not below these.
    Tenths { fewest: usize },
    /// The least metal within these tenths.
    Metal { tenths: usize },
    /// The least that is warranted, whatever the size.
    Nearest,
}

/// The best set so far.
#[derive(Debug, Clone, PartialEq)]
struct Best {
    picks: Vec<usize>,
    warranted: f64,
    metal: f64,
}

/// A walk through all sets of one size, or up to it, that are not cut off.
struct Pass<'a> {
    space: &'a Space,
    table: &'a Table,
    aim: Aim,
    count: usize,
    best: Option<Best>,
    budgets: Vec<f64>,
    picks: Vec<usize>,
    /// Costs of the set so far, a row per choice taken.
    spent: Vec<Vec<f64>>,
    /// Choices that may come next, with what they are tried by; a list per choice taken.
    next: Vec<Vec<(f64, usize)>>,
    ended: bool,
}

impl<'a> Pass<'a> {
    fn new(space: &'a Space, table: &'a Table, aim: Aim, count: usize) -> Self {
        let mut pass = Self {
            space,
            table,
            aim,
            count,
            best: None,
            budgets: Vec::new(),
            picks: Vec::with_capacity(count),
            spent: vec![vec![0.0; table.cuts().len()]; count + 1],
            next: vec![Vec::new(); count],
            ended: false,
        };
        pass.set_budgets();
        pass
    }

    /// What sets may cost that are better than the best so far.
    fn set_budgets(&mut self) {
        let space = self.space;
        let less = 1.0 - EQUAL;
        let (radius, metal) = match (self.aim, &self.best) {
            (Aim::Tenths { .. }, None) => (space.radius(TENTHS), f64::INFINITY),
            (Aim::Tenths { fewest }, Some(best)) => {
                let tenths = space.tenths(best.warranted);
                self.ended = tenths <= fewest;
                (space.radius(tenths.saturating_sub(1)), f64::INFINITY)
            }
            (Aim::Metal { tenths }, best) => {
                let metal = best.as_ref().map_or(f64::INFINITY, |best| best.metal * less);
                (space.radius(tenths), metal)
            }
            (Aim::Nearest, best) => {
                let most = best.as_ref().map_or(space.target, |best| best.warranted);
                (most * less, f64::INFINITY)
            }
        };
        self.budgets =
            self.table.cuts().iter().map(|cut| cut.budget(space, radius, metal)).collect();
    }

    fn keep(&mut self, best: Best) {
        self.best = Some(best);
        self.set_budgets();
    }

    /// Keeps a set if it is better than the best so far.
    fn offer(&mut self, picks: &[usize]) {
        let space = self.space;
        let (sides, count) = sides_of(space, picks);
        let near = space.nearest(&sides[..count]);
        let guards: f64 = picks.iter().map(|i| space.guards[*i]).sum();
        let warranted = near.distance + guards;
        let fits = match (self.aim, &self.best) {
            (Aim::Tenths { .. }, None) => space.tenths(warranted) <= TENTHS,
            (Aim::Tenths { .. }, Some(best)) => {
                space.tenths(warranted) < space.tenths(best.warranted)
            }
            (Aim::Metal { tenths }, _) => space.tenths(warranted) <= tenths,
            (Aim::Nearest, best) => {
                best.as_ref().is_none_or(|best| warranted < best.warranted * (1.0 - EQUAL))
            }
        };
        if !fits {
            return;
        }
        let metal = cheapest(near.point, &sides[..count]).metal;
        let dearer = |best: &Best| metal >= best.metal * (1.0 - EQUAL);
        if matches!(self.aim, Aim::Metal { .. }) && self.best.as_ref().is_some_and(dearer) {
            return;
        }
        self.keep(Best { picks: picks.to_vec(), warranted, metal });
    }

    fn run(&mut self, checks: &mut u64) -> Result<(), DrillingError> {
        self.descend(0, checks)
    }

    /// Takes one more choice after those taken, each that may lead to a better set.
    fn descend(&mut self, taken: usize, checks: &mut u64) -> Result<(), DrillingError> {
        let (space, table) = (self.space, self.table);
        let more = self.count - taken - 1;
        let start = self.picks.last().map_or(0, |last| space.next_place[*last]);
        let mut next = std::mem::take(&mut self.next[taken]);
        next.clear();
        *checks += (space.len() - start) as u64;
        if *checks > MOST_CHECKS {
            return Err(DrillingError::TooWide { choices: space.len(), checks: MOST_CHECKS });
        }
        for i in start..space.len() {
            if self.picks.iter().any(|pick| space.excludes(*pick, i)) {
                continue;
            }
            let (spent, costs) = (&self.spent[taken], table.costs(i));
            if let Some(over) = worst(spent, costs, table.follows(more, i), &self.budgets) {
                let by = match self.aim {
                    Aim::Metal { .. } => spent[0] + costs[0] + table.follows(more, i)[0],
                    Aim::Tenths { .. } | Aim::Nearest => over,
                };
                next.push((by, i));
            }
        }
        next.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        for (_, i) in &next {
            if self.ended {
                break;
            }
            // The budgets may have shrunk since.
            let (spent, costs) = (&self.spent[taken], table.costs(*i));
            if worst(spent, costs, table.follows(more, *i), &self.budgets).is_none() {
                continue;
            }
            let sum: Vec<f64> = spent.iter().zip(costs).map(|(a, b)| a + b).collect();
            self.spent[taken + 1] = sum;
            self.picks.push(*i);
            if more == 0 || self.aim == Aim::Nearest {
                let picks = std::mem::take(&mut self.picks);
                self.offer(&picks);
                self.picks = picks;
            }
            if more > 0 {
                self.descend(taken + 1, checks)?;
            }
            self.picks.pop();
        }
        self.next[taken] = next;
        Ok(())
    }
}

/// By how much costs are over their budget where they are most, if nowhere over it.
fn worst(spent: &[f64], costs: &[f64], follows: &[f64], budgets: &[f64]) -> Option<f64> {
    let mut over = f64::NEG_INFINITY;
    for lane in 0..budgets.len() / LANES {
        let at = lane * LANES..(lane + 1) * LANES;
        let rows = [spent, costs, follows, budgets].map(|row| &row[at.clone()]);
        let [spent, costs, follows, budgets] = rows;
        for (((a, b), c), budget) in spent.iter().zip(costs).zip(follows).zip(budgets) {
            over = over.max(a + b + c - budget);
        }
        if over > 0.0 {
            return None;
        }
    }
    Some(over)
}

impl Space {
    /// No two of them exclude each other.
    fn is_allowed(&self, picks: &[usize]) -> bool {
        picks.iter().enumerate().all(|(k, a)| picks[..k].iter().all(|b| !self.excludes(*a, *b)))
    }

    /// A set as its owner knows it.
    fn picked(&self, choices: &Choices, best: &Best, reach: Reach, checks: u64) -> Picked {
        let (sides, count) = sides_of(self, &best.picks);
        let near = self.nearest(&sides[..count]);
        let cheapest = cheapest(near.point, &sides[..count]);
        let mut picks: Vec<Pick> = best
            .picks
            .iter()
            .zip(cheapest.amounts)
            .map(|(i, amount)| {
                let choice = self.given[*i];
                let (least, most) =
                    (choices.all()[choice].least_kg_m, choices.all()[choice].most_kg_m);
                // A share of the largest amount comes back a bit off its limit.
                let amount_kg_m = (amount * self.unit_kg_m).clamp(least, most);
                Pick { choice, amount_kg_m }
            })
            .collect();
        picks.sort_by_key(|pick| pick.choice);
        Picked {
            reach,
            picks,
            residual_kg_m: near.distance * self.unit_kg_m,
            warranted_kg_m: best.warranted * self.unit_kg_m,
            tenths: self.tenths(best.warranted),
            metal_kg: cheapest.metal * self.unit_kg,
            checks,
        }
    }
}
