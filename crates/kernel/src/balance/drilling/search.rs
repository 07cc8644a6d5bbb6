//! The fewest operations that remove an unbalance, by branch and bound.
//!
//! **Order of answers.** A set of choices, no two of which exclude each other, with a whole number
//! of steps for the depth of each, leaves `|U − Σ a u|`. It suffices if that is permitted. Of all
//! sets at all depths that suffice the best is the one
//! 1. with the fewest choices;
//! 2. of these, with the fewest begun tenths of the permitted residual in what it leaves, a first
//!    tenth being begun by nothing;
//! 3. of these, with the least metal moved, counted in nine digits of the largest single one;
//! 4. of these, with the least to drill: the sum of all depths;
//! 5. of these, with the choices that were given first, and the lesser depths.
//!
//! Tenths are compared to 1e-9 of a tenth; but for a residual so near to a tenth, all of it depends
//! on directions alone, so that turning everything turns the answer. Where no set suffices, the one
//! that leaves least, to nine digits, comes nearest; of equals the fewest choices, then as above.
//!
//! **Search.** For each number of choices, from nothing up: choices are added in the order of their
//! places; a branch ends where a bound says that no wanted set is in it ([`super::bound`]); the
//! depths of a whole set are looked through by [`super::depths`]. The first pass finds whether a
//! set suffices and the fewest tenths, the second the least metal. All of it is finite, exact and
//! on one thread. [`MOST_CHECKS`] ends a search that would keep its user waiting, with an error.
//! What makes it long is a permitted residual far below the steps of depths or between single
//! masses. The least metal is given up before ([`MOST_METAL_CHECKS`]) and that is said: the answer
//! is then as short and as good, only perhaps not the lightest, and another when all is turned.

use super::bound::{Cut, LANES, Table, climb, least_costs};
use super::choice::{Choices, Pick, Picked, Reach, TENTHS, Wanted};
use super::depths::look_through;
use super::error::DrillingError;
use super::sought::{Aim, Best, Effort, Sought};
use super::space::Space;
use nalgebra::Complex;

/// Bound on partial sets and depths looked at: some ten seconds.
pub const MOST_CHECKS: u64 = 400_000_000;
/// Bound on those looked at for the least metal: some hundredths of a second.
pub const MOST_METAL_CHECKS: u64 = 1_000_000;
/// Sets that climbs come upon, looked through for a start.
const MOST_STARTS: usize = 8;
/// Directions of cuts from that of the unbalance, degrees, to both sides: dense where a set that
/// reaches far enough must lie, sparse where only what it must not have too much of is asked.
const OFF_DEG: [f64; 16] =
    [1.0, 2.0, 4.0, 7.0, 11.0, 16.0, 22.0, 30.0, 40.0, 52.0, 65.0, 80.0, 95.0, 115.0, 140.0, 165.0];
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
        let nothing = Best::nothing(&space);
        let mut effort = Effort { checks: 0, most: MOST_CHECKS };
        let picked = |best: &Best, reach, is_least_metal, effort: Effort| {
            let checks = effort.checks;
            Ok(Picked { is_least_metal, checks, ..space.picked(self, best, reach) })
        };
        if space.tenths(space.target) <= TENTHS {
            return picked(&nothing, Reach::Within, true, effort);
        }
        let most = wanted.most_operations.min(space.len());
        for count in 1..=most {
            let table = Table::new(&space, reach_cuts(), count - 1, false);
            let Some(fewest) = fewest_tenths(&space, &table) else { continue };
            let sought = Sought::new(&space, Aim::Tenths { fewest }, None);
            if let Some(best) = Pass::new(&table, sought, count).run(&mut effort)?.best {
                let (best, proven) = least_metal(&space, best, count, &mut effort);
                return picked(&best, Reach::Within, proven, effort);
            }
        }
        let best = nearest(&space, nothing, most, &mut effort)?;
        picked(&best, Reach::Nearest, true, effort)
    }
}

/// Cuts of reach.
fn reach_cuts() -> Vec<Cut> {
    std::iter::once(0.0)
        .chain(OFF_DEG.iter().flat_map(|deg| [*deg, -*deg]))
        .map(|deg: f64| Cut { y: Complex::from_polar(1.0, deg.to_radians()), tau: 0.0 })
        .collect()
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

/// Of the sets with as many choices and tenths as `best`, the one with the least metal, and whether
/// that is proven.
fn least_metal(space: &Space, best: Best, count: usize, effort: &mut Effort) -> (Best, bool) {
    let tenths = space.tenths(best.left);
    let radius = space.radius(tenths);
    let mean = space.sides.iter().map(|side| side.metal).sum::<f64>() / space.len() as f64;
    let start = Cut { y: Complex::new(mean, 0.0), tau: 1.0 };
    let mut starts: Vec<Vec<usize>> = Vec::new();
    let tightest = climb(start, |cut| {
        let Some((sum, picks)) = least_costs(space, cut, count, false) else {
            return f64::NEG_INFINITY;
        };
        if space.is_allowed(&picks) && !starts.contains(&picks) {
            starts.push(picks);
        }
        sum - cut.budget(space, radius, 0.0)
    });
    let cuts = about(tightest).chain(reach_cuts()).collect();
    let table = Table::new(space, cuts, count - 1, false);
    let mut sought = Sought::new(space, Aim::Metal { tenths }, Some(best.clone()));
    let mut some = Effort { most: effort.checks + MOST_METAL_CHECKS, ..*effort };
    let mut looked = Ok(());
    // The last are those of the best cuts.
    for set in starts.iter().rev().take(MOST_STARTS) {
        looked = looked.and_then(|()| look_through(&mut sought, set, tightest.y, &mut some));
    }
    let mut pass = Pass::new(&table, sought, count);
    looked = looked.and_then(|()| pass.descend(0, &mut some));
    effort.checks = some.checks;
    (pass.sought.best.unwrap_or(best), looked.is_ok())
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
    effort: &mut Effort,
) -> Result<Best, DrillingError> {
    if most == 0 {
        return Ok(nothing);
    }
    // What a cut says of the least that is left, and the sets that it comes from.
    let mut starts: Vec<Vec<usize>> = Vec::new();
    let mut bound = |cut: &Cut| {
        let Some((sum, picks)) = least_costs(space, cut, most, true) else {
            return f64::NEG_INFINITY;
        };
        if space.is_allowed(&picks) && !starts.contains(&picks) {
            starts.push(picks);
        }
        let weight = cut.y.norm();
        if weight > 0.0 { (sum + cut.y.re * space.target) / weight } else { f64::NEG_INFINITY }
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
    let mut sought = Sought::new(space, Aim::Nearest, Some(nothing.clone()));
    for set in starts.iter().rev().take(MOST_STARTS) {
        look_through(&mut sought, set, Complex::new(0.0, 0.0), effort)?;
    }
    Ok(Pass::new(&table, sought, most).run(effort)?.best.unwrap_or(nothing))
}

/// A walk through all sets of one size, or up to it, that are not cut off.
struct Pass<'a> {
    space: &'a Space,
    table: &'a Table,
    sought: Sought<'a>,
    count: usize,
    /// What the metal of a set is bounded with at first.
    price: Complex<f64>,
    budgets: Vec<f64>,
    picks: Vec<usize>,
    /// Costs of the set so far, a row per choice taken.
    spent: Vec<Vec<f64>>,
    /// Choices that may come next, with what they are tried by; a list per choice taken.
    next: Vec<Vec<(f64, usize)>>,
}

impl<'a> Pass<'a> {
    fn new(table: &'a Table, sought: Sought<'a>, count: usize) -> Self {
        let price = match table.cuts().first() {
            Some(cut) if cut.tau > 0.0 => cut.y / cut.tau,
            _ => Complex::new(0.0, 0.0),
        };
        let mut pass = Self {
            space: sought.space,
            table,
            sought,
            count,
            price,
            budgets: Vec::new(),
            picks: Vec::with_capacity(count),
            spent: vec![vec![0.0; table.cuts().len()]; count + 1],
            next: vec![Vec::new(); count],
        };
        pass.set_budgets();
        pass
    }

    /// What sets may cost that are better than the best so far.
    fn set_budgets(&mut self) {
        let (radius, metal) = (self.sought.radius, self.sought.metal);
        self.budgets =
            self.table.cuts().iter().map(|cut| cut.budget(self.space, radius, metal)).collect();
    }

    /// Looks through the depths of the set so far.
    fn offer(&mut self, effort: &mut Effort) -> Result<(), DrillingError> {
        let before = (self.sought.radius, self.sought.metal);
        look_through(&mut self.sought, &self.picks, self.price, effort)?;
        if before != (self.sought.radius, self.sought.metal) {
            self.set_budgets();
        }
        Ok(())
    }

    fn run(mut self, effort: &mut Effort) -> Result<Sought<'a>, DrillingError> {
        self.descend(0, effort)?;
        Ok(self.sought)
    }

    /// Takes one more choice after those taken, each that may lead to a better set.
    fn descend(&mut self, taken: usize, effort: &mut Effort) -> Result<(), DrillingError> {
        let (space, table) = (self.space, self.table);
        let more = self.count - taken - 1;
        let start = self.picks.last().map_or(0, |last| space.next_place[*last]);
        let mut next = std::mem::take(&mut self.next[taken]);
        next.clear();
        effort.spend(space, space.len() - start)?;
        for i in start..space.len() {
            if self.picks.iter().any(|pick| space.excludes(*pick, i)) {
                continue;
            }
            let (spent, costs) = (&self.spent[taken], table.costs(i));
            if let Some(over) = worst(spent, costs, table.follows(more, i), &self.budgets) {
                let by = match self.sought.aim {
                    Aim::Metal { .. } => spent[0] + costs[0] + table.follows(more, i)[0],
                    Aim::Tenths { .. } | Aim::Nearest => over,
                };
                next.push((by, i));
            }
        }
        next.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        for (_, i) in &next {
            if self.sought.ended {
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
            if more == 0 || self.sought.aim == Aim::Nearest {
                self.offer(effort)?;
            }
            if more > 0 {
                self.descend(taken + 1, effort)?;
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
    fn picked(&self, choices: &Choices, best: &Best, reach: Reach) -> Picked {
        let picks: Vec<Pick> = best
            .picks
            .iter()
            .map(|(choice, step)| {
                let of = &choices.all()[*choice];
                let steps = of.steps.map(|_| *step);
                let amount_kg_m = of.work.amount_kg_m(choices.depth_m(steps));
                Pick { choice: *choice, steps, amount_kg_m }
            })
            .collect();
        let metal_kg = picks
            .iter()
            .map(|pick| choices.all()[pick.choice].work.mass_kg(choices.depth_m(pick.steps)))
            .sum();
        Picked {
            reach,
            picks,
            residual_kg_m: best.left * self.unit_kg_m,
            tenths: self.tenths(best.left),
            metal_kg,
            is_least_metal: true,
            checks: 0,
        }
    }
}
