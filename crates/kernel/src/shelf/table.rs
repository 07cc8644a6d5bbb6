//! What is known of pairings: bounds at once, plans when they are asked for, each once.

use super::chosen::Counts;
use super::{Least, Pairing, Planned, Stock};
use crate::readings::ROUNDING_M;
use crate::units::Length;
use rayon::prelude::*;
use std::collections::{HashMap, HashSet};
use std::sync::atomic::{AtomicU64, Ordering};
use std::sync::{Mutex, OnceLock, PoisonError, RwLock};

/// A plan in plain numbers.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Outcome {
    pub(super) clearance_m: f64,
    pub(super) grams: f64,
    pub(super) beside_m: f64,
    pub(super) left: bool,
}

impl From<Planned> for Outcome {
    fn from(planned: Planned) -> Self {
        Self {
            clearance_m: planned.clearance.to_m(),
            grams: planned.removed.to_g(),
            beside_m: planned.beside.to_m(),
            left: planned.left,
        }
    }
}

/// What a pairing becomes at least; infinite grams without a plan.
#[derive(Debug, Clone, Copy)]
struct Outlook {
    clearance_m: f64,
    grams: f64,
}

impl Outlook {
    fn of(least: Option<Least>) -> Self {
        least.map_or(Self { clearance_m: f64::INFINITY, grams: f64::INFINITY }, |least| Self {
            clearance_m: least.clearance.to_m(),
            grams: least.removed.to_g(),
        })
    }
}

/// A pairing as it is planned: alone, or brought down to match a loosest clearance (its bits).
type Way = (usize, Option<u64>);

/// Pairings of a stock.
pub(super) struct Table<'a> {
    stock: &'a dyn Stock,
    housings: usize,
    rotors: usize,
    masses_g: Vec<f64>,
    least: Vec<Outlook>,
    alone: Vec<OnceLock<Option<Outcome>>>,
    brought_down: Mutex<HashMap<(usize, u64), Option<Outcome>>>,
    rooms: Mutex<HashMap<Way, bool>>,
    /// Ways that do not hold between the real walls.
    out: RwLock<HashSet<Way>>,
    pairings: u64,
    planned: AtomicU64,
    brought: AtomicU64,
    pub(super) sets: AtomicU64,
}

impl<'a> Table<'a> {
    pub(super) fn new(stock: &'a dyn Stock) -> Self {
        let (kinds, rotors, housings) = (stock.kinds(), stock.rotors(), stock.housings());
        let pairing = |i: usize| Pairing {
            kind: i / (rotors * housings),
            rotor: i / housings % rotors,
            housing: i % housings,
        };
        let least: Vec<Outlook> = (0..kinds * rotors * housings)
            .into_par_iter()
            .map(|i| Outlook::of(stock.at_least(pairing(i), None)))
            .collect();
        Self {
            stock,
            housings,
            rotors,
            masses_g: (0..rotors).map(|rotor| stock.mass(rotor).to_g()).collect(),
            alone: least.iter().map(|_| OnceLock::new()).collect(),
            pairings: least.iter().filter(|least| least.grams.is_finite()).count() as u64,
            least,
            brought_down: Mutex::default(),
            rooms: Mutex::default(),
            out: RwLock::default(),
            planned: AtomicU64::new(0),
            brought: AtomicU64::new(0),
            sets: AtomicU64::new(0),
        }
    }

    pub(super) const fn rotors(&self) -> usize {
        self.rotors
    }

    pub(super) fn mass_g(&self, rotor: usize) -> f64 {
        self.masses_g[rotor]
    }

    /// The number of a pairing; pairings that are as loose as each other are in this order.
    pub(super) const fn index(&self, p: Pairing) -> usize {
        (p.kind * self.rotors + p.rotor) * self.housings + p.housing
    }

    /// The least grams that a pairing may lose, as far as is known; infinite without a plan.
    pub(super) fn at_least_g(&self, index: usize) -> f64 {
        match self.alone[index].get() {
            Some(Some(known)) => known.grams,
            Some(None) => f64::INFINITY,
            None => self.least[index].grams,
        }
    }

    /// The least clearance that a pairing may end at.
    pub(super) fn at_least_m(&self, index: usize) -> f64 {
        self.least[index].clearance_m
    }

    /// The least grams that a pairing may lose, brought down to match a loosest clearance.
    pub(super) fn at_least_down_g(&self, p: Pairing, loosest_m: f64) -> f64 {
        Outlook::of(self.stock.at_least(p, Some(Length::m(loosest_m)))).grams
    }

    /// Whether the plan of a pairing is known already.
    pub(super) fn is_known(&self, index: usize) -> bool {
        self.alone[index].get().is_some()
    }

    /// The plan of a pairing alone.
    pub(super) fn alone(&self, p: Pairing) -> Option<Outcome> {
        let index = self.index(p);
        if self.least[index].grams.is_infinite() {
            return None;
        }
        *self.alone[index].get_or_init(|| {
            self.planned.fetch_add(1, Ordering::Relaxed);
            self.stock.alone(p).map(Outcome::from)
        })
    }

    /// The plan of a pairing that can be planned alone, brought down to match.
    pub(super) fn brought_down(&self, p: Pairing, loosest_m: f64) -> Option<Outcome> {
        let key = (self.index(p), loosest_m.to_bits());
        let known = {
            let seen = self.brought_down.lock().unwrap_or_else(PoisonError::into_inner);
            seen.get(&key).copied()
        };
        if let Some(outcome) = known {
            return outcome;
        }
        let alone = self.alone(p)?;
        self.brought.fetch_add(1, Ordering::Relaxed);
        let outcome = self.stock.brought_down(p, Length::m(loosest_m)).map(|planned| {
            let outcome = Outcome::from(planned);
            Outcome { grams: outcome.grams.max(alone.grams), ..outcome }
        });
        self.brought_down.lock().unwrap_or_else(PoisonError::into_inner).insert(key, outcome);
        outcome
    }

    /// What a pairing that would be left becomes where something loosest makes it be cut, and it
    /// is then the loosest itself.
    pub(super) fn recut(&self, p: Pairing, alone: &Outcome) -> Option<Outcome> {
        let rounding_m = 2.0 * ROUNDING_M;
        let cut = self.brought_down(p, alone.beside_m + rounding_m)?;
        if cut.clearance_m <= alone.beside_m + rounding_m {
            return None;
        }
        let settled = self.brought_down(p, cut.clearance_m)?;
        (settled.clearance_m == cut.clearance_m).then_some(settled)
    }

    /// Whether a pairing is out, planned this way.
    pub(super) fn is_out(&self, p: Pairing, loosest_m: Option<f64>) -> bool {
        let out = self.out.read().unwrap_or_else(PoisonError::into_inner);
        !out.is_empty() && out.contains(&(self.index(p), loosest_m.map(f64::to_bits)))
    }

    /// Looks at a pairing between the real walls; out it is when it does not hold.
    pub(super) fn holds(&self, p: Pairing, loosest_m: Option<f64>) -> bool {
        let way = (self.index(p), loosest_m.map(f64::to_bits));
        let known = self.rooms.lock().unwrap_or_else(PoisonError::into_inner).get(&way).copied();
        if let Some(holds) = known {
            return holds;
        }
        let holds = self.stock.holds(p, loosest_m.map(Length::m));
        self.rooms.lock().unwrap_or_else(PoisonError::into_inner).insert(way, holds);
        if !holds {
            self.out.write().unwrap_or_else(PoisonError::into_inner).insert(way);
        }
        holds
    }

    pub(super) fn planned(&self) -> u64 {
        self.planned.load(Ordering::Relaxed)
    }

    pub(super) fn counts(&self) -> Counts {
        Counts {
            pairings: self.pairings,
            planned: self.planned(),
            brought_down: self.brought.load(Ordering::Relaxed),
            sets: self.sets.load(Ordering::Relaxed),
            rooms: self.rooms.lock().unwrap_or_else(PoisonError::into_inner).len() as u64,
        }
    }
}
