//! The sets themselves: partners place by place, and the housings that can matter for each.

use super::{Beside, Partner};
use crate::readings::ROUNDING_M;
use crate::shelf::Pairing;
use crate::shelf::cost::Sum;
use crate::shelf::search::{Found, Loosest, Pick};
use crate::shelf::table::Outcome;
use std::sync::atomic::Ordering;

/// A housing for it, and what becomes of the two.
#[derive(Debug, Clone, Copy)]
pub(super) struct Way {
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

impl Beside<'_> {
    /// The best sets of this loosest pairing that cost less than `cap_g`, no two of the same parts,
    /// and what every other one costs at least.
    pub(in crate::shelf) fn sets(&self, loosest: &Loosest, cap_g: f64) -> (Vec<Found>, f64) {
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
