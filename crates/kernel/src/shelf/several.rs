//! Sets for several builds at once.
//!
//! Each part gets a price, and builds that are alike are a class. What the builds' best sets cost
//! with prices, less all prices, is a bound for any prices ([`Several::bound`]); the best prices
//! are those of the linear program that picks sets ([`super::prices`]), found with the sets that
//! the bounds bring up. A choice to begin with is taken one build after the other by those prices,
//! and improved. Then all sets that can be in a better one are listed ([`super::listed`]) and
//! packed ([`super::pack`]), which proves the best.

mod proven;

use super::chosen::Choice;
use super::prices::{Priced, Prices};
use super::search::{Answer, Ask, Found, Parts, best_sets};
use super::slots::Slots;
use super::table::Table;
use super::{EQUAL_G, GoOn, Progress};
use crate::units::Mass;
use rayon::prelude::*;
use std::collections::HashSet;
use std::sync::atomic::{AtomicBool, Ordering};

/// Sets that are brought up at once for each class.
const BROUGHT_UP: usize = 4;
/// Rounds of prices at most.
const ROUNDS: usize = 400;
/// How often a choice is made by the prices.
const CHOOSE_EVERY: usize = 8;

/// A set with the class of builds that it is for.
#[derive(Debug, Clone)]
pub(super) struct Column {
    pub(super) class: usize,
    pub(super) cost_g: f64,
    /// Free parts of it, housings numbered after rotors, in order.
    pub(super) parts: Vec<u32>,
    pub(super) found: Found,
}

impl Column {
    fn priced(&self) -> Priced<'_> {
        Priced { class: self.class, cost_g: self.cost_g, parts: &self.parts }
    }
}

/// Builds that are alike.
#[derive(Debug, Clone)]
pub(super) struct Class<'a> {
    pub(super) slots: &'a Slots,
    /// Which, as they were given.
    pub(super) builds: Vec<usize>,
}

/// A choice: for each build its column, as they were given.
#[derive(Debug, Clone)]
struct Picked {
    columns: Vec<Option<Column>>,
    cost_g: f64,
}

struct Several<'a> {
    table: &'a Table<'a>,
    classes: Vec<Class<'a>>,
    free: &'a Parts<bool>,
    builds: usize,
    /// What a build without a set costs: more than all sets together.
    none_g: f64,
    columns: Vec<Column>,
    seen: HashSet<(usize, Vec<u32>)>,
    /// No choice costs less.
    bound_g: f64,
    /// The bound that prices give: excess counts from there.
    priced_g: f64,
    /// The prices of the best bound, by part, and the least cost with them by class.
    prices_g: Vec<f64>,
    least_g: Vec<f64>,
    best: Option<Picked>,
    stopped: AtomicBool,
    go_on: GoOn<'a>,
}

/// Sets for builds, the best together.
pub(super) fn several(
    table: &Table<'_>,
    builds: &[Slots],
    free: &Parts<bool>,
    go_on: GoOn<'_>,
) -> Choice {
    let mut classes: Vec<Class<'_>> = Vec::new();
    for (build, slots) in builds.iter().enumerate() {
        match classes.iter_mut().find(|class| class.slots == slots) {
            Some(class) => class.builds.push(build),
            None => classes.push(Class { slots, builds: vec![build] }),
        }
    }
    let heaviest_g = (0..table.rotors()).map(|r| table.mass_g(r)).fold(0.0, f64::max);
    let places: usize = builds.iter().map(Slots::len).sum();
    let parts = free.rotors.len() + free.housings.len();
    let mut this = Several {
        table,
        free,
        builds: builds.len(),
        // A rotor cannot lose or outweigh more than there is of it; unweighed, a kilogram.
        none_g: 1.0 + 2.0 * (heaviest_g + 1000.0) * places as f64,
        columns: Vec::new(),
        seen: HashSet::new(),
        bound_g: f64::NEG_INFINITY,
        priced_g: f64::NEG_INFINITY,
        prices_g: vec![0.0; parts],
        least_g: vec![0.0; classes.len()],
        classes,
        best: None,
        stopped: AtomicBool::new(false),
        go_on,
    };
    this.price();
    this.finish()
}

impl<'a> Several<'a> {
    fn parts_of<T: Copy>(&self, all: &[T]) -> Parts<T> {
        let (rotors, housings) = all.split_at(self.free.rotors.len());
        Parts { rotors: rotors.to_vec(), housings: housings.to_vec() }
    }

    fn goes_on(&self) -> bool {
        if self.stopped.load(Ordering::Relaxed) {
            return false;
        }
        let goes_on = (self.go_on)(&self.progress());
        if !goes_on {
            self.stopped.store(true, Ordering::Relaxed);
        }
        goes_on
    }

    fn progress(&self) -> Progress {
        let missing = self.best.as_ref().map_or(0, Picked::missing);
        let none_g = self.none_g * missing as f64;
        Progress {
            best: self.best.as_ref().map(|best| Mass::g(best.cost_g - none_g)),
            at_least: Mass::g((self.bound_g - none_g).max(0.0)),
            planned: self.table.planned(),
        }
    }

    /// The best sets of a class.
    fn best_of(
        &self,
        class: usize,
        free: &Parts<bool>,
        prices: Option<&Parts<f64>>,
        keep: usize,
    ) -> Answer {
        let progress = self.progress();
        let go_on = |inside: &Progress| {
            let goes_on = !self.stopped.load(Ordering::Relaxed)
                && (self.go_on)(&Progress { planned: inside.planned, ..progress });
            if !goes_on {
                self.stopped.store(true, Ordering::Relaxed);
            }
            goes_on
        };
        let slots = self.classes[class].slots;
        let below_g = f64::INFINITY;
        let ask = Ask { slots, free, prices, keep, below_g, rooms: false };
        best_sets(self.table, &ask, &go_on)
    }

    pub(super) fn column(&self, class: usize, found: Found) -> Column {
        let slots = self.classes[class].slots;
        let rotors = self.free.rotors.len();
        let mut parts: Vec<u32> = Vec::new();
        for pick in &found.picks {
            let (rotor, housing) = (pick.pairing.rotor, pick.pairing.housing);
            if self.free.rotors[rotor] {
                parts.push(rotor as u32);
            }
            if self.free.housings[housing] {
                parts.push((rotors + housing) as u32);
            }
        }
        parts.sort_unstable();
        let cost_g = found.sum(self.table, slots.by_mass).cost_g();
        Column { class, cost_g, parts, found }
    }

    fn add(&mut self, column: Column) {
        if self.seen.insert((column.class, column.parts.clone())) {
            self.columns.push(column);
        }
    }

    /// The bound that prices give, with the sets that bring it up.
    fn bound(&self, prices_g: &[f64], keep: usize) -> (f64, Vec<f64>, Vec<Column>) {
        let prices = self.parts_of(prices_g);
        let answers: Vec<Answer> = (0..self.classes.len())
            .into_par_iter()
            .map(|class| self.best_of(class, self.free, Some(&prices), keep))
            .collect();
        let mut bound_g = -prices_g.iter().sum::<f64>();
        let (mut least, mut columns) = (Vec::new(), Vec::new());
        for (class, answer) in answers.into_iter().enumerate() {
            let first = answer.found.first().filter(|_| answer.proven > 0);
            let least_g = first.map_or(answer.at_least_g, |found| found.value_g).min(self.none_g);
            bound_g += self.classes[class].builds.len() as f64 * least_g;
            least.push(least_g);
            columns.extend(answer.found.into_iter().map(|found| self.column(class, found)));
        }
        (bound_g, least, columns)
    }

    /// Finds prices with a good bound, and a choice.
    fn price(&mut self) {
        let counts: Vec<usize> = self.classes.iter().map(|class| class.builds.len()).collect();
        let mut prices = Prices::new(self.prices_g.clone());
        let mut trial_g = self.prices_g.clone();
        for round in 0..ROUNDS {
            let (bound_g, least_g, columns) = self.bound(&trial_g, BROUGHT_UP);
            for column in columns {
                self.add(column);
            }
            if prices.tried(&trial_g, bound_g) {
                (self.priced_g, self.prices_g, self.least_g) = (bound_g, trial_g, least_g);
                self.bound_g = bound_g;
            }
            if round.is_multiple_of(CHOOSE_EVERY) {
                self.choose_by_prices();
            }
            if !self.goes_on() || self.is_proven() {
                return;
            }
            let sets: Vec<Priced<'_>> = self.columns.iter().map(Column::priced).collect();
            let Some(next_g) = prices.next(&sets, &counts, self.none_g) else { return };
            trial_g = next_g;
        }
    }

    fn is_proven(&self) -> bool {
        self.best.as_ref().is_some_and(|best| best.cost_g - self.bound_g <= EQUAL_G)
    }

    /// One build after the other by the prices of its parts, then each again without them.
    fn choose_by_prices(&mut self) {
        let prices = self.parts_of(&self.prices_g);
        let mut left = self.free.clone();
        let mut columns: Vec<Option<Column>> = vec![None; self.builds];
        for class in 0..self.classes.len() {
            for build in self.classes[class].builds.clone() {
                let answer = self.best_of(class, &left, Some(&prices), 1);
                let column = answer.found.into_iter().next().map(|f| self.column(class, f));
                if let Some(column) = &column {
                    self.take(&mut left, column, false);
                }
                columns[build] = column;
            }
        }
        let mut picked = self.picked(columns);
        self.improve(&mut picked, &mut left);
        for column in picked.columns.iter().flatten() {
            self.add(column.clone());
        }
        self.offer(picked);
    }

    /// Each build again, its own parts free, until none does better.
    fn improve(&self, picked: &mut Picked, left: &mut Parts<bool>) {
        for _ in 0..self.builds + 2 {
            let mut better = false;
            for class in 0..self.classes.len() {
                for build in &self.classes[class].builds {
                    let now = picked.columns[*build].take();
                    if let Some(column) = &now {
                        self.take(left, column, true);
                    }
                    let answer = self.best_of(class, left, None, 1);
                    let found = answer.found.into_iter().next().map(|f| self.column(class, f));
                    let is_better = match (&found, &now) {
                        (Some(found), Some(now)) => found.cost_g < now.cost_g - EQUAL_G,
                        (found, now) => found.is_some() && now.is_none(),
                    };
                    let column = if is_better { found } else { now };
                    if let Some(column) = &column {
                        self.take(left, column, false);
                    }
                    picked.columns[*build] = column;
                    better |= is_better;
                }
            }
            if !better || self.stopped.load(Ordering::Relaxed) {
                break;
            }
        }
        *picked = self.picked(std::mem::take(&mut picked.columns));
    }

    fn take(&self, left: &mut Parts<bool>, column: &Column, free: bool) {
        let rotors = self.free.rotors.len();
        for part in &column.parts {
            let part = *part as usize;
            match part.checked_sub(rotors) {
                Some(housing) => left.housings[housing] = free,
                None => left.rotors[part] = free,
            }
        }
    }

    fn picked(&self, columns: Vec<Option<Column>>) -> Picked {
        let cost = |column: &Option<Column>| column.as_ref().map_or(self.none_g, |c| c.cost_g);
        let cost_g = columns.iter().map(cost).sum();
        Picked { columns, cost_g }
    }

    fn offer(&mut self, picked: Picked) {
        if self.best.as_ref().is_none_or(|best| picked.cost_g < best.cost_g - EQUAL_G) {
            self.best = Some(picked);
        }
    }
}

impl Picked {
    fn missing(&self) -> usize {
        self.columns.iter().filter(|column| column.is_none()).count()
    }

    /// Whether two choices have the same sets of parts for the same classes.
    fn same_parts(&self, other: &Self) -> bool {
        let parts = |picked: &Self| {
            let mut all: Vec<(usize, Vec<u32>)> = picked
                .columns
                .iter()
                .flatten()
                .map(|column| (column.class, column.parts.clone()))
                .collect();
            all.sort();
            all
        };
        parts(self) == parts(other)
    }
}
