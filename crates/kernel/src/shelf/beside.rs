//! The sets of a build that have a given loosest pairing.
//!
//! With the loosest known, what every other pairing loses is known or bounded. Partners are looked
//! through place by place; a branch ends where its bound reaches what is wanted. Of the housings of
//! one rotor only those are kept that fewer than `n − 2 + K` others beat in grams and in price, in a
//! set of `n` and for the best `K`: of more, the others of the set can take `n − 2`, and of the `K`
//! that are left to change to, all would be as good and of other parts.

mod sets;

use super::Pairing;
use super::cost::Sum;
use super::search::{Ask, Loosest};
use super::table::Table;
use std::cell::Cell;
use std::rc::Rc;

pub(super) struct Beside<'a> {
    table: &'a Table<'a>,
    ask: &'a Ask<'a>,
    /// Rotors that may fill a place of each group.
    rotors: Vec<Vec<usize>>,
    /// Housings that may.
    housings: Vec<Vec<usize>>,
    /// What a rotor adds in a place of a group, at least; by group, then rotor. Firm where its best
    /// housing is planned.
    least: Vec<Vec<Cell<Sum>>>,
    firm: Vec<Vec<Cell<bool>>>,
    /// The least that any rotor adds in grams and price, by group.
    any_g: Vec<Cell<f64>>,
    /// The group of each place beside the loosest, by the loosest's group.
    rest: Vec<Vec<usize>>,
    /// The last bound, and of what.
    last: Cell<Option<Last>>,
}

#[derive(Debug, Clone, Copy)]
struct Last {
    group: usize,
    rotor: usize,
    grams: f64,
    price_g: f64,
    bound_g: f64,
}

/// A rotor that may stand beside the loosest, with its housings once they are looked at.
struct Partner {
    at_least_g: f64,
    rotor: usize,
    ways: Option<Vec<sets::Way>>,
}

impl<'a> Beside<'a> {
    pub(super) fn new(table: &'a Table<'a>, ask: &'a Ask<'a>) -> Self {
        let groups = &ask.slots.groups;
        let free = |fixed: Option<usize>, free: &[bool]| match fixed {
            Some(part) => vec![part],
            None => (0..free.len()).filter(|part| free[*part]).collect::<Vec<_>>(),
        };
        let mut this = Self {
            table,
            ask,
            rotors: groups.iter().map(|g| free(g.like.rotor, &ask.free.rotors)).collect(),
            housings: groups.iter().map(|g| free(g.like.housing, &ask.free.housings)).collect(),
            least: Vec::new(),
            firm: Vec::new(),
            any_g: groups.iter().map(|_| Cell::new(f64::INFINITY)).collect(),
            rest: (0..groups.len()).map(|k| ask.slots.but_one_of(k)).collect(),
            last: Cell::new(None),
        };
        for group in 0..groups.len() {
            let mut least = vec![Cell::new(Sum::NEVER); table.rotors()];
            for rotor in &this.rotors[group] {
                least[*rotor] = Cell::new(this.any_housing(group, *rotor));
            }
            this.firm.push(vec![Cell::new(false); least.len()]);
            this.least.push(least);
            this.again(group);
        }
        this
    }

    /// The least of a group, when that of a rotor has changed.
    fn again(&self, group: usize) {
        let all = self.least[group].iter().map(|least| least.get().without_mismatch_g());
        self.any_g[group].set(all.fold(f64::INFINITY, f64::min));
    }

    /// Plans the housings of a rotor, the least bound first, until the best is planned.
    fn firm_up(&self, group: usize, rotor: usize) {
        if self.firm[group][rotor].replace(true) {
            return;
        }
        let before = self.least[group][rotor].get();
        let mut open: Vec<(f64, Pairing)> = self.housings[group]
            .iter()
            .map(|housing| self.pairing(group, rotor, *housing))
            .map(|p| (self.table.at_least_g(self.table.index(p)) + self.price_g(p), p))
            .filter(|(least_g, _)| least_g.is_finite())
            .collect();
        open.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        let mut best_g = f64::INFINITY;
        for (least_g, p) in open {
            if least_g >= best_g {
                break;
            }
            if let Some(alone) = self.table.alone(p) {
                best_g = best_g.min(alone.grams + self.price_g(p));
            }
        }
        let now = self.any_housing(group, rotor);
        if now != before {
            self.least[group][rotor].set(now);
            self.again(group);
        }
    }

    fn mass_g(&self, rotor: usize) -> Option<f64> {
        self.ask.slots.by_mass.then(|| self.table.mass_g(rotor))
    }

    fn price_g(&self, p: Pairing) -> f64 {
        self.ask.prices.map_or(0.0, |prices| prices.rotors[p.rotor] + prices.housings[p.housing])
    }

    fn pairing(&self, group: usize, rotor: usize, housing: usize) -> Pairing {
        Pairing { kind: self.ask.slots.groups[group].like.kind, rotor, housing }
    }

    fn any_housing(&self, group: usize, rotor: usize) -> Sum {
        let ways = self.housings[group].iter().map(|housing| {
            let p = self.pairing(group, rotor, *housing);
            (self.table.at_least_g(self.table.index(p)), self.price_g(p))
        });
        Sum::any_of(self.mass_g(rotor), ways)
    }

    /// The rotors that may be in a loosest pairing, with their groups.
    pub(super) fn openings(&self) -> Vec<(usize, usize)> {
        let of = |group: usize| self.rotors[group].iter().map(move |rotor| (group, *rotor));
        (0..self.rotors.len()).flat_map(of).collect()
    }

    /// What every set with this rotor costs at least, at a glance; infinite where there is none.
    pub(super) fn at_least_with(&self, group: usize, rotor: usize) -> f64 {
        self.least[group][rotor].get().cost_g() + self.others_g(group)
    }

    /// The least that all places but one of a group add.
    fn others_g(&self, group: usize) -> f64 {
        self.rest[group].iter().map(|k| self.any_g[*k].get()).sum()
    }

    /// The same with the best partners it may have; `cap_g` where that is not below.
    pub(super) fn sharp(&self, group: usize, rotor: usize, cap_g: f64) -> f64 {
        self.firm_up(group, rotor);
        self.relaxed(group, rotor, self.least[group][rotor].get(), cap_g)
    }

    /// What a set with this loosest pairing costs at least; `cap_g` where that is not below.
    pub(super) fn bound(&self, loosest: &Loosest, cap_g: f64) -> f64 {
        let (grams, price_g) = self.grams_and_price(loosest);
        self.bound_of(loosest, grams, price_g, cap_g)
    }

    fn bound_of(&self, loosest: &Loosest, grams: f64, price_g: f64, cap_g: f64) -> f64 {
        let (group, rotor) = (loosest.group, loosest.pairing.rotor);
        let start = Sum::exact(self.mass_g(rotor), grams, price_g);
        // Many housings are alike to a rotor that has no metal to spare.
        let same = |last: &Last| {
            (last.group, last.rotor, last.grams, last.price_g) == (group, rotor, grams, price_g)
        };
        if let Some(last) = self.last.get().filter(same) {
            return last.bound_g;
        }
        let bound_g = self.relaxed(group, rotor, start, cap_g);
        if bound_g < cap_g {
            self.last.set(Some(Last { group, rotor, grams, price_g, bound_g }));
        }
        bound_g
    }

    fn grams_and_price(&self, loosest: &Loosest) -> (f64, f64) {
        let p = loosest.pairing;
        let least_g = || self.table.at_least_g(self.table.index(p));
        (loosest.recut.map_or_else(least_g, |cut| cut.grams), self.price_g(p))
    }

    /// What sets cost at least whose loosest pairing is this one of [`Self::pairings`] or a later.
    pub(super) fn at_least_from(&self, loosest: &Loosest, cap_g: f64) -> f64 {
        // By what they were put in order by: what is known of one may have risen above a later's.
        let (grams, price_g) = (loosest.sorted_g, self.price_g(loosest.pairing));
        if self.ask.prices.is_none() {
            // Cost never falls when grams rise.
            return self.bound_of(loosest, grams, price_g, cap_g);
        }
        (grams + price_g + self.others_g(loosest.group)).min(cap_g)
    }

    /// Pairings of a rotor, the least grams and price first.
    pub(super) fn pairings(&self, group: usize, rotor: usize) -> Rc<[Loosest]> {
        let mut all: Vec<(f64, Loosest)> = self.housings[group]
            .iter()
            .map(|housing| {
                let pairing = self.pairing(group, rotor, *housing);
                let sorted_g = self.table.at_least_g(self.table.index(pairing));
                let loosest = Loosest { group, pairing, recut: None, sorted_g, seen: false };
                (sorted_g + self.price_g(pairing), loosest)
            })
            .filter(|(least_g, _)| least_g.is_finite())
            .collect();
        all.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.pairing.housing.cmp(&b.1.pairing.housing)));
        all.into_iter().map(|(_, loosest)| loosest).collect()
    }

    /// The least cost of this and any partners, housings taken as if each rotor had the first pick.
    fn relaxed(&self, group: usize, rotor: usize, start: Sum, cap_g: f64) -> f64 {
        let rest = &self.rest[group];
        let Some(after_g) = self.after_g(rest) else { return f64::INFINITY };
        if rest.is_empty() {
            return start.cost_g();
        }
        let partners = self.partners(rest, &after_g, rotor, start, cap_g);
        let mut best_g = cap_g;
        let mut used = vec![rotor];
        self.relax(rest, &after_g, &partners, start, 0, &mut used, &mut best_g);
        best_g
    }

    /// The least that places from each one on add; `None` where one cannot be filled.
    fn after_g(&self, rest: &[usize]) -> Option<Vec<f64>> {
        let mut after_g = vec![0.0; rest.len() + 1];
        for (i, group) in rest.iter().enumerate().rev() {
            after_g[i] = after_g[i + 1] + self.any_g[*group].get();
        }
        after_g[0].is_finite().then_some(after_g)
    }

    /// Rotors that may stand beside a start, by group, the least bound first.
    fn partners(
        &self,
        rest: &[usize],
        after_g: &[f64],
        rotor: usize,
        start: Sum,
        cap_g: f64,
    ) -> Vec<Vec<Partner>> {
        let mut partners: Vec<Vec<Partner>> = self.rotors.iter().map(|_| Vec::new()).collect();
        for (i, group) in rest.iter().enumerate() {
            if i > 0 && rest[i - 1] == *group {
                continue;
            }
            let others_g = after_g[0] - self.any_g[*group].get();
            let all = self.rotors[*group].iter().filter(|other| **other != rotor);
            let with =
                |other: usize| start.and(self.least[*group][other].get()).cost_g() + others_g;
            let fits = |other: &&usize| {
                // Without a cap all are in: they are made firm as they are come to.
                with(**other) < cap_g
                    && (cap_g.is_infinite() || {
                        self.firm_up(*group, **other);
                        with(**other) < cap_g
                    })
            };
            let mut fit: Vec<Partner> = all
                .filter(fits)
                .map(|other| Partner { at_least_g: with(*other), rotor: *other, ways: None })
                .collect();
            fit.sort_by(|a, b| a.at_least_g.total_cmp(&b.at_least_g).then(a.rotor.cmp(&b.rotor)));
            partners[*group] = fit;
        }
        partners
    }

    #[expect(clippy::too_many_arguments, reason = "the state of one recursion")]
    fn relax(
        &self,
        rest: &[usize],
        after_g: &[f64],
        partners: &[Vec<Partner>],
        sum: Sum,
        from: usize,
        used: &mut Vec<usize>,
        best_g: &mut f64,
    ) {
        let i = used.len() - 1;
        let Some(group) = rest.get(i) else {
            *best_g = best_g.min(sum.cost_g());
            return;
        };
        for (k, partner) in partners[*group].iter().enumerate().skip(from) {
            if partner.at_least_g >= *best_g {
                break;
            }
            let with = || sum.and(self.least[*group][partner.rotor].get());
            let hopeless = |next: &Sum| next.cost_g() + after_g[i + 1] >= *best_g;
            if hopeless(&with()) || used.contains(&partner.rotor) {
                continue;
            }
            self.firm_up(*group, partner.rotor);
            let next = with();
            if hopeless(&next) {
                continue;
            }
            used.push(partner.rotor);
            let from = if rest.get(i + 1) == Some(group) { k + 1 } else { 0 };
            self.relax(rest, after_g, partners, next, from, used, best_g);
            used.pop();
        }
    }
}
