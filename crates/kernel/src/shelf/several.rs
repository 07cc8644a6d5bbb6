//! Sets for several builds at once.
//!
//! Each part gets a price, and builds that are alike are a class. What the builds' best sets cost
//! with prices, less all prices, is a bound for any prices ([`Several::bound`]); the best prices
//! are those of the linear program that picks sets ([`super::prices`]), found with the sets that
//! the bounds bring up. A choice to begin with is taken one build after the other by those prices,
//! and improved. Then all sets that can be in a better one are listed ([`super::listed`]) and
//! packed ([`super::pack`]), which proves the best.

use super::choose::selection;
use super::chosen::{Choice, Selection};
use super::listed::listed;
use super::pack::{Item, Packed, Packing, pack};
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
/// The first gap that is looked through, grams.
const FIRST_GAP_G: f64 = 0.1;
/// More sets than this are not listed.
const MOST_LISTED: usize = 400_000;

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

    /// Columns as items to be packed, with one that stands for no set in each class.
    fn items(&self, columns: &[Column]) -> Vec<Item> {
        let item = |column: &Column| Item {
            class: column.class,
            excess_g: column.cost_g
                + column.parts.iter().map(|part| self.prices_g[*part as usize]).sum::<f64>()
                - self.least_g[column.class],
            parts: column.parts.clone(),
        };
        let none = (0..self.classes.len()).map(|class| Item {
            class,
            excess_g: self.none_g - self.least_g[class],
            parts: Vec::new(),
        });
        columns.iter().map(item).chain(none).collect()
    }

    fn packed(&self, items: &[Item], keep: usize, gap_g: f64) -> Packed {
        let counts: Vec<usize> = self.classes.iter().map(|class| class.builds.len()).collect();
        let packing = Packing {
            items,
            counts: &counts,
            prices_g: &self.prices_g,
            rotors: self.free.rotors.len(),
            keep,
            gap_g,
        };
        let go_on = |_: &Progress| self.goes_on();
        pack(&packing, self.progress(), &go_on)
    }

    /// The packing as a choice.
    fn unpacked(&self, columns: &[Column], chosen: &[usize]) -> Picked {
        let mut of: Vec<Option<Column>> = vec![None; self.builds];
        for (class, like) in self.classes.iter().enumerate() {
            let sets = chosen.iter().filter_map(|i| columns.get(*i)).filter(|c| c.class == class);
            for (build, column) in like.builds.iter().zip(sets) {
                of[*build] = Some(column.clone());
            }
        }
        self.picked(of)
    }

    /// Lists and packs until a choice holds between the real walls.
    fn finish(mut self) -> Choice {
        let mut next: Option<Picked> = None;
        let (mut proven, mut next_proven) = (false, false);
        loop {
            self.drop_what_is_out();
            if self.best.is_none() {
                self.choose_by_prices();
            }
            if self.stopped.load(Ordering::Relaxed) {
                break;
            }
            self.pack_known();
            let Some(best) = self.best.clone() else { break };
            let second = self.second(&best);
            let wanted_g = second.as_ref().map_or(f64::INFINITY, |s| s.cost_g);
            if !self.is_proven() {
                proven = false;
                if let Some(better) = self.deepen(&best) {
                    self.best = Some(better);
                    continue;
                }
            }
            proven = self.is_proven();
            if !self.hold(&best) {
                self.best = None;
                continue;
            }
            next = second;
            if proven && wanted_g.is_finite() {
                let gap_g = wanted_g - self.priced_g + EQUAL_G;
                if let Some(found) = self.listed_and_packed(2, gap_g) {
                    next_proven = true;
                    let other = found.into_iter().find(|other| !other.same_parts(&best));
                    if let Some(other) = other
                        && other.cost_g < wanted_g - EQUAL_G
                    {
                        next = Some(other);
                    }
                }
            } else if proven {
                next_proven = best.columns.iter().all(Option::is_none);
            }
            if let Some(other) = &next
                && !self.hold(other)
            {
                next = None;
                continue;
            }
            break;
        }
        self.told(next, proven, next_proven)
    }

    /// Looks for a choice nearer and nearer to the best so far, from the bound up, and raises the
    /// bound to what was looked through in vain.
    fn deepen(&mut self, best: &Picked) -> Option<Picked> {
        let whole_g = best.cost_g - self.priced_g + EQUAL_G;
        let first_g = (whole_g / 16.0).clamp(EQUAL_G, FIRST_GAP_G);
        let mut gap_g = (self.bound_g - self.priced_g + first_g).min(whole_g);
        loop {
            let found = self.listed_and_packed(1, gap_g)?.into_iter().next();
            self.bound_g = match &found {
                Some(found) => found.cost_g,
                None => self.priced_g + gap_g.min(whole_g - EQUAL_G),
            };
            if found.is_some() || gap_g >= whole_g {
                return found.filter(|found| found.cost_g < best.cost_g - EQUAL_G);
            }
            gap_g = (1.6 * gap_g).min(whole_g);
        }
    }

    /// All sets that can be in a choice within a gap of the bound, packed; `None` where there are
    /// too many or it was stopped.
    fn listed_and_packed(&mut self, keep: usize, gap_g: f64) -> Option<Vec<Picked>> {
        let prices = self.parts_of(&self.prices_g);
        let mut columns = Vec::new();
        for class in 0..self.classes.len() {
            let ask = Ask {
                slots: self.classes[class].slots,
                free: self.free,
                prices: Some(&prices),
                keep: usize::MAX,
                below_g: self.least_g[class] + gap_g,
                rooms: false,
            };
            let room = MOST_LISTED - columns.len();
            let found = listed(self.table, &ask, room, &|| self.goes_on())?;
            columns.extend(found.into_iter().map(|found| self.column(class, found)));
        }
        let items = self.items(&columns);
        let packed = self.packed(&items, keep, gap_g);
        let found: Vec<Picked> =
            packed.found.iter().map(|(_, chosen)| self.unpacked(&columns, chosen)).collect();
        if packed.proven {
            return Some(found);
        }
        if let Some(first) = found.into_iter().next() {
            self.offer(first);
        }
        None
    }

    /// The best packing of the sets that are known.
    fn pack_known(&mut self) {
        let Some(best) = &self.best else { return };
        let gap_g = best.cost_g - self.priced_g;
        let items = self.items(&self.columns);
        let packed = self.packed(&items, 1, gap_g);
        if let Some((_, chosen)) = packed.found.first() {
            let picked = self.unpacked(&self.columns, chosen);
            self.offer(picked);
        }
    }

    /// The best that has another set for one build, all others the same.
    fn second(&self, best: &Picked) -> Option<Picked> {
        let mut left = self.free.clone();
        for column in best.columns.iter().flatten() {
            self.take(&mut left, column, false);
        }
        let mut second: Option<Picked> = None;
        for class in 0..self.classes.len() {
            for build in &self.classes[class].builds {
                let Some(now) = &best.columns[*build] else { continue };
                self.take(&mut left, now, true);
                let answer = self.best_of(class, &left, None, 2);
                self.take(&mut left, now, false);
                let others = answer.found.into_iter().map(|found| self.column(class, found));
                for other in others.filter(|other| other.parts != now.parts) {
                    let mut columns = best.columns.clone();
                    columns[*build] = Some(other);
                    let picked = self.picked(columns);
                    if second.as_ref().is_none_or(|second| picked.cost_g < second.cost_g) {
                        second = Some(picked);
                    }
                }
            }
        }
        second
    }

    fn hold(&self, picked: &Picked) -> bool {
        let mut all = picked.columns.iter().flatten().flat_map(|column| &column.found.picks);
        all.all(|pick| self.table.holds(pick.pairing, pick.brought_down_to_m))
    }

    /// Takes out sets that do not hold between the real walls; their parts may come up again.
    fn drop_what_is_out(&mut self) {
        let table = self.table;
        let is_in = |column: &Column| {
            let picks = &column.found.picks;
            !picks.iter().any(|pick| table.is_out(pick.pairing, pick.brought_down_to_m))
        };
        self.columns.retain(is_in);
        self.seen = self.columns.iter().map(|c| (c.class, c.parts.clone())).collect();
        let best_is_in =
            self.best.as_ref().is_none_or(|best| best.columns.iter().flatten().all(is_in));
        if !best_is_in {
            self.best = None;
        }
    }

    fn told(self, next: Option<Picked>, proven: bool, next_proven: bool) -> Choice {
        let stopped = self.stopped.load(Ordering::Relaxed);
        let of = |picked: &Picked| -> Option<Selection> {
            let sets: Vec<(usize, &Slots, &Found)> = picked
                .columns
                .iter()
                .enumerate()
                .filter_map(|(build, column)| {
                    let column = column.as_ref()?;
                    Some((build, self.classes[column.class].slots, &column.found))
                })
                .collect();
            (!sets.is_empty()).then(|| selection(self.table, &sets))
        };
        let missing = self.best.as_ref().map_or(self.builds, Picked::missing);
        let none_g = self.none_g * missing as f64;
        let same_count = |picked: &&Picked| picked.missing() == missing;
        let best = self.best.as_ref().and_then(of);
        let at_least = match &best {
            Some(best) if proven => best.cost,
            _ => Mass::g((self.bound_g - none_g).max(0.0)),
        };
        Choice {
            without: (0..self.builds)
                .filter(|b| self.best.as_ref().is_none_or(|best| best.columns[*b].is_none()))
                .collect(),
            runner_up: next.as_ref().filter(same_count).and_then(of),
            at_least,
            best,
            proven,
            runner_up_proven: proven && next_proven,
            stopped,
            counts: self.table.counts(),
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
