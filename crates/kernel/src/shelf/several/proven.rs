//! The proof of a choice for several builds, its runner-up, and what is told.

use super::{Column, Picked, Several};
use crate::shelf::choose::selection;
use crate::shelf::chosen::{Choice, Selection};
use crate::shelf::listed::listed;
use crate::shelf::pack::{Item, Packed, Packing, pack};
use crate::shelf::search::{Ask, Found, best_sets};
use crate::shelf::slots::Slots;
use crate::shelf::{EQUAL_G, Progress};
use crate::units::Mass;
use std::sync::atomic::Ordering;

/// The first gap that is looked through, grams.
const FIRST_GAP_G: f64 = 0.1;
/// More sets than this are not listed.
const MOST_LISTED: usize = 200_000;

impl Several<'_> {
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
    pub(super) fn finish(mut self) -> Choice {
        let (mut next, mut proven, mut next_proven): (Option<Picked>, bool, bool);
        loop {
            (next, proven, next_proven) = (None, false, false);
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
            if !self.is_proven()
                && let Some(better) = self.deepen(&best)
            {
                self.best = Some(better);
                continue;
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
                continue;
            }
            break;
        }
        if !proven {
            self.make_hold();
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

    /// Stopped, or too much to list: sets that do not hold between the real walls give way to the
    /// best of what is left that do.
    fn make_hold(&mut self) {
        let Some(mut best) = self.best.take() else { return };
        let mut left = self.free.clone();
        for column in best.columns.iter().flatten() {
            self.take(&mut left, column, false);
        }
        for class in 0..self.classes.len() {
            for build in self.classes[class].builds.clone() {
                let Some(column) = best.columns[build].clone() else { continue };
                let picks = &column.found.picks;
                if picks.iter().all(|pick| self.table.holds(pick.pairing, pick.brought_down_to_m)) {
                    continue;
                }
                self.take(&mut left, &column, true);
                let slots = self.classes[class].slots;
                let (free, below_g) = (&left, f64::INFINITY);
                let ask = Ask { slots, free, prices: None, keep: 1, below_g, rooms: true };
                // What is told must hold: this is not stopped.
                let found = best_sets(self.table, &ask, &|_| true).found.into_iter().next();
                let column = found.map(|found| self.column(class, found));
                if let Some(column) = &column {
                    self.take(&mut left, column, false);
                }
                best.columns[build] = column;
            }
        }
        self.best = Some(self.picked(best.columns));
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
