//! The sets of a build that have a given loosest pairing.
//!
//! With the loosest known, what every other pairing loses is known or bounded. Partners are looked
//! through place by place; a branch ends where its bound reaches what is wanted. Of the housings of
//! one rotor only those are kept that fewer than `n − 2 + K` others beat in grams and in price, in a
//! set of `n` and for the best `K`: of more, the others of the set can take `n − 2`, and of the `K`
//! that are left to change to, all would be as good and of other parts.

use super::Pairing;
use super::cost::Sum;
use super::search::{Ask, Found, Loosest, Pick};
use super::table::{Outcome, Table};
use crate::readings::ROUNDING_M;
use std::cell::Cell;
use std::rc::Rc;
use std::sync::atomic::Ordering;

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
    ways: Option<Vec<Way>>,
}

/// A housing for it, and what becomes of the two.
#[derive(Debug, Clone, Copy)]
struct Way {
    pairing: Pairing,
    brought_down_to_m: Option<f64>,
    clearance_m: f64,
    grams: f64,
    price_g: f64,
}

/// A search through the partners of one pairing.
struct Look<'b> {
    loosest: Loosest,
    loosest_m: f64,
    start: Sum,
    rest: &'b [usize],
    /// The least that places from each one on add.
    after_g: Vec<f64>,
    /// Partners by group.
    partners: Vec<Vec<Partner>>,
    cap_g: f64,
    found: Vec<Found>,
    picks: Vec<Pick>,
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

    /// The best sets of this loosest pairing that cost less than `cap_g`, no two of the same parts,
    /// and what every other one costs at least.
    pub(super) fn sets(&self, loosest: &Loosest, cap_g: f64) -> (Vec<Found>, f64) {
        let none = (Vec::new(), f64::INFINITY);
        let Some(own) = self.own(loosest) else { return none };
        let start = Sum::exact(self.mass_g(loosest.pairing.rotor), own.grams, own.price_g);
        let rest = &self.rest[loosest.group];
        let Some(after_g) = self.after_g(rest) else { return none };
        let mut look = Look {
            loosest: *loosest,
            loosest_m: own.clearance_m,
            start,
            rest,
            partners: self.partners(rest, &after_g, loosest.pairing.rotor, start, cap_g),
            after_g,
            cap_g,
            found: Vec::new(),
            picks: vec![own.pick(loosest.group)],
        };
        self.look(&mut look, start, 0);
        (look.found, look.cap_g)
    }

    /// The loosest pairing itself; `None` where it is out.
    fn own(&self, loosest: &Loosest) -> Option<Way> {
        let p = loosest.pairing;
        let (outcome, brought_down_to_m) = match loosest.recut {
            Some(recut) => (recut, Some(recut.clearance_m)),
            None => (self.table.alone(p)?, None),
        };
        let way = Way::of(p, &outcome, brought_down_to_m, self.price_g(p));
        (!self.table.is_out(p, brought_down_to_m)).then_some(way)
    }

    fn look(&self, look: &mut Look<'_>, sum: Sum, from: usize) {
        let i = look.picks.len() - 1;
        let Some(group) = look.rest.get(i).copied() else {
            self.table.sets.fetch_add(1, Ordering::Relaxed);
            if look.loosest.recut.is_some() && !self.settles(look) {
                return;
            }
            look.keep(sum.cost_g(), self.ask.keep);
            return;
        };
        for k in from..look.partners[group].len() {
            let partner = &look.partners[group][k];
            let rotor = partner.rotor;
            if partner.at_least_g >= look.cap_g {
                break;
            }
            let least_g = || sum.and(self.least[group][rotor].get()).cost_g() + look.after_g[i + 1];
            if least_g() >= look.cap_g || look.picks.iter().any(|p| p.pairing.rotor == rotor) {
                continue;
            }
            self.firm_up(group, rotor);
            if least_g() >= look.cap_g {
                continue;
            }
            let ways = match look.partners[group][k].ways.take() {
                Some(ways) => ways,
                None => self.ways(look, group, rotor),
            };
            for way in &ways {
                let own = Sum::exact(self.mass_g(rotor), way.grams, way.price_g);
                let next = sum.and(own);
                let housing = way.pairing.housing;
                if next.cost_g() + look.after_g[i + 1] >= look.cap_g
                    || look.picks.iter().any(|pick| pick.pairing.housing == housing)
                {
                    continue;
                }
                look.picks.push(way.pick(group));
                let from = if look.rest.get(i + 1) == Some(&group) { k + 1 } else { 0 };
                self.look(look, next, from);
                look.picks.pop();
            }
            look.partners[group][k].ways = Some(ways);
        }
    }

    /// Whether a set whose loosest pairing could be left as it is makes it be cut: the loosest
    /// clearance to begin with, and again what that makes of others, must come to this one.
    fn settles(&self, look: &Look<'_>) -> bool {
        let pairings = || look.picks.iter().map(|pick| pick.pairing);
        let rounding_m = ROUNDING_M;
        let mut loosest_m = 0.0f64;
        let mut next_m = pairings()
            .filter_map(|p| self.table.alone(p))
            .fold(0.0f64, |most_m, alone| most_m.max(alone.clearance_m));
        // Each round cuts at least one more that was left.
        for _ in 0..=look.picks.len() {
            if next_m <= loosest_m + rounding_m {
                break;
            }
            loosest_m = next_m;
            for p in pairings() {
                let Some(alone) = self.table.alone(p) else { return false };
                if loosest_m > alone.beside_m + rounding_m {
                    let Some(down) = self.table.brought_down(p, loosest_m) else { return false };
                    next_m = next_m.max(down.clearance_m);
                }
            }
        }
        (loosest_m - look.loosest_m).abs() <= rounding_m
    }

    /// Housings for a rotor beside the loosest pairing, but those that enough others beat.
    fn ways(&self, look: &Look<'_>, group: usize, rotor: usize) -> Vec<Way> {
        let mass_g = self.mass_g(rotor);
        let others_g = look.after_g[0] - self.any_g[group].get();
        let mut open: Vec<(f64, f64, Pairing)> = self.housings[group]
            .iter()
            .filter(|housing| **housing != look.loosest.pairing.housing)
            .map(|housing| {
                let p = self.pairing(group, rotor, *housing);
                (self.table.at_least_g(self.table.index(p)), self.price_g(p), p)
            })
            .filter(|(grams, price, _)| {
                look.start.and(Sum::exact(mass_g, *grams, *price)).cost_g() + others_g < look.cap_g
            })
            .collect();
        open.sort_by(|a, b| {
            (a.0 + a.1).total_cmp(&(b.0 + b.1)).then(a.2.housing.cmp(&b.2.housing))
        });
        // The place itself and the loosest are not among those that can take a housing.
        let enough = match look.loosest.recut {
            // What is beaten may be what makes it be cut.
            Some(_) => usize::MAX,
            None => self.ask.keep.saturating_add(look.rest.len()) - 1,
        };
        let mut ways: Vec<Way> = Vec::new();
        for (grams, price_g, p) in open {
            let beaten = |ways: &[Way], grams: f64| {
                let by = ways.iter().filter(|w| w.grams <= grams && w.price_g <= price_g);
                by.count() >= enough
            };
            if beaten(&ways, grams) {
                continue;
            }
            let hopeless = |grams: f64| {
                let cost_g = look.start.and(Sum::exact(mass_g, grams, price_g)).cost_g();
                cost_g + others_g >= look.cap_g || beaten(&ways, grams)
            };
            if let Some(way) = self.way(look, p, price_g, hopeless) {
                ways.push(way);
            }
        }
        ways.sort_by(|a, b| {
            let by = (a.grams + a.price_g).total_cmp(&(b.grams + b.price_g));
            by.then(a.pairing.housing.cmp(&b.pairing.housing))
        });
        ways
    }

    /// What becomes of a pairing beside the loosest; `None` where it is looser or cannot match, or
    /// loses so much that it is hopeless.
    fn way(
        &self,
        look: &Look<'_>,
        p: Pairing,
        price_g: f64,
        hopeless: impl Fn(f64) -> bool,
    ) -> Option<Way> {
        let loosest_m = look.loosest_m;
        if self.table.at_least_m(self.table.index(p)) > loosest_m {
            return None;
        }
        let alone = self.table.alone(p)?;
        if hopeless(alone.grams) {
            return None;
        }
        // Of two as loose as each other the one with the higher number counts as the looser.
        let index = |p| self.table.index(p);
        let below = alone.clearance_m < loosest_m
            || alone.clearance_m == loosest_m
                && (look.loosest.recut.is_some() || index(p) < index(look.loosest.pairing));
        if !below {
            return None;
        }
        if loosest_m <= alone.beside_m + ROUNDING_M {
            return (!self.table.is_out(p, None)).then(|| Way::of(p, &alone, None, price_g));
        }
        if hopeless(self.table.at_least_down_g(p, loosest_m)) {
            return None;
        }
        let down = self.table.brought_down(p, loosest_m)?;
        if hopeless(down.grams) {
            return None;
        }
        let stands =
            down.clearance_m <= loosest_m + ROUNDING_M && !self.table.is_out(p, Some(loosest_m));
        stands.then(|| Way::of(p, &down, Some(loosest_m), price_g))
    }
}

impl Way {
    const fn of(p: Pairing, outcome: &Outcome, to_m: Option<f64>, price_g: f64) -> Self {
        Self {
            pairing: p,
            brought_down_to_m: to_m,
            clearance_m: outcome.clearance_m,
            grams: outcome.grams,
            price_g,
        }
    }

    const fn pick(&self, group: usize) -> Pick {
        Pick {
            group,
            pairing: self.pairing,
            brought_down_to_m: self.brought_down_to_m,
            clearance_m: self.clearance_m,
            grams: self.grams,
        }
    }
}

impl Look<'_> {
    /// Keeps a set if it is one of the best so far.
    fn keep(&mut self, value_g: f64, most: usize) {
        if value_g >= self.cap_g {
            return;
        }
        let found = Found::new(value_g, self.picks.clone());
        if most == usize::MAX {
            self.found.push(found);
            return;
        }
        match self.found.iter_mut().find(|other| other.parts == found.parts) {
            Some(other) if other.value_g <= value_g => return,
            Some(other) => *other = found,
            None => self.found.push(found),
        }
        self.found.sort_by(|a, b| a.value_g.total_cmp(&b.value_g));
        self.found.truncate(most);
        if self.found.len() == most
            && let Some(last) = self.found.last()
        {
            self.cap_g = self.cap_g.min(last.value_g);
        }
    }
}
