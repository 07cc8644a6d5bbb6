//! The best sets of one build, best bound first.
//!
//! What is waiting, by its bound: a rotor as the loosest of a set in some housing; a pairing as
//! the loosest; a set. The least is taken. A rotor's bound is sharpened by the best partners it
//! may have, then its pairings wait in its place. A pairing is planned, and then its sets are
//! looked through ([`super::beside`]); those that may still matter wait at their cost. A set that
//! comes up is no worse than anything else: if it holds between the real walls it is the next
//! best. If not, its pairing is out in that way, and the loosest pairing waits again.

use super::beside::Beside;
use super::cost::Sum;
use super::slots::Slots;
use super::table::{Outcome, Table};
use super::{EQUAL_G, GoOn, Pairing, Progress};
use crate::units::Mass;
use rayon::prelude::*;
use std::cmp::{Ordering, Reverse};
use std::collections::BinaryHeap;
use std::rc::Rc;

/// Pairings that are planned by one thread at a time.
const AT_ONCE: usize = 16;

/// How often it is asked whether to go on.
const ASK_EVERY: u64 = 8;

/// What is asked for.
#[derive(Debug, Clone, Copy)]
pub(super) struct Ask<'a> {
    pub(super) slots: &'a Slots,
    /// Rotors and housings that may fill open places.
    pub(super) free: &'a Parts<bool>,
    /// What using a part costs beside grams, in grams; `None` for nothing.
    pub(super) prices: Option<&'a Parts<f64>>,
    /// How many sets of different parts, the best.
    pub(super) keep: usize,
    /// Only sets that cost less, prices counted.
    pub(super) below_g: f64,
    /// Whether sets are looked at between the real walls before they are told.
    pub(super) rooms: bool,
}

/// Something of each rotor and each housing.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Parts<T> {
    pub(super) rotors: Vec<T>,
    pub(super) housings: Vec<T>,
}

/// A place of a set that was found.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Pick {
    pub(super) group: usize,
    pub(super) pairing: Pairing,
    pub(super) brought_down_to_m: Option<f64>,
    pub(super) clearance_m: f64,
    pub(super) grams: f64,
}

/// A set that was found.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Found {
    /// Cost with prices.
    pub(super) value_g: f64,
    pub(super) picks: Vec<Pick>,
    /// Rotors, then housings, each in order.
    pub(super) parts: Vec<usize>,
}

impl Found {
    pub(super) fn new(value_g: f64, picks: Vec<Pick>) -> Self {
        let mut rotors: Vec<usize> = picks.iter().map(|p| p.pairing.rotor).collect();
        let mut housings: Vec<usize> = picks.iter().map(|p| p.pairing.housing).collect();
        rotors.sort_unstable();
        housings.sort_unstable();
        rotors.append(&mut housings);
        Self { value_g, picks, parts: rotors }
    }

    /// Its cost without prices.
    pub(super) fn sum(&self, table: &Table<'_>, by_mass: bool) -> Sum {
        self.picks.iter().fold(Sum::NONE, |sum, pick| {
            let mass_g = by_mass.then(|| table.mass_g(pick.pairing.rotor));
            sum.and(Sum::exact(mass_g, pick.grams, 0.0))
        })
    }
}

/// What was found.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Answer {
    /// The best sets, each proven unless stopped.
    pub(super) found: Vec<Found>,
    /// How many of them are proven to be the best there are.
    pub(super) proven: usize,
    /// Nothing else costs less, prices counted.
    pub(super) at_least_g: f64,
    pub(super) stopped: bool,
}

/// A pairing as the loosest of a set.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Loosest {
    pub(super) group: usize,
    pub(super) pairing: Pairing,
    /// Where it is not left as it could be: what it is brought down to match, its own clearance.
    pub(super) recut: Option<Outcome>,
    /// What was known that it loses at least when its rotor's pairings were put in order.
    pub(super) sorted_g: f64,
    /// Its sets were looked through before.
    pub(super) seen: bool,
}

#[derive(Debug, Clone)]
enum What {
    Set(Found, Loosest),
    /// Whether its bound is sharpened.
    Pairing(Loosest, bool),
    /// A rotor in a group; whether its bound is sharpened.
    Rotor {
        group: usize,
        rotor: usize,
        sharp: bool,
    },
    /// The pairings of a rotor in a group from one of them on, the least grams first.
    Pairings {
        list: Rc<[Loosest]>,
        from: usize,
    },
}

struct Waiting {
    at_least_g: f64,
    turn: u64,
    what: What,
}

impl Waiting {
    /// A set comes before what is better by rounding.
    fn key(&self) -> (f64, u64) {
        let is_set = matches!(self.what, What::Set(..));
        (if is_set { self.at_least_g - EQUAL_G } else { self.at_least_g }, self.turn)
    }
}

impl Ord for Waiting {
    fn cmp(&self, other: &Self) -> Ordering {
        let (a, b) = (self.key(), other.key());
        a.0.total_cmp(&b.0).then(a.1.cmp(&b.1))
    }
}
impl PartialOrd for Waiting {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}
impl PartialEq for Waiting {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other) == Ordering::Equal
    }
}
impl Eq for Waiting {}

/// The best sets of a build. An `ask` for no set finds none.
pub(super) fn best_sets(table: &Table<'_>, ask: &Ask<'_>, go_on: GoOn<'_>) -> Answer {
    let mut search = Search {
        table,
        ask,
        go_on,
        beside: Beside::new(table, ask),
        waiting: BinaryHeap::new(),
        turns: 0,
        known: Vec::new(),
        answer: Answer { found: Vec::new(), proven: 0, at_least_g: f64::INFINITY, stopped: false },
    };
    search.run();
    search.answer
}

struct Search<'a> {
    table: &'a Table<'a>,
    ask: &'a Ask<'a>,
    go_on: GoOn<'a>,
    beside: Beside<'a>,
    waiting: BinaryHeap<Reverse<Waiting>>,
    turns: u64,
    /// Cost and parts of the sets found so far, not known to be out, best first.
    known: Vec<(f64, Vec<usize>)>,
    answer: Answer,
}

impl Search<'_> {
    fn run(&mut self) {
        for (group, rotor) in self.beside.openings() {
            let bound = self.beside.at_least_with(group, rotor);
            self.push(bound, What::Rotor { group, rotor, sharp: false });
        }
        let mut looked = 0u64;
        while self.answer.found.len() < self.ask.keep {
            let Some(Reverse(next)) = self.waiting.pop() else { break };
            looked += 1;
            if looked.is_multiple_of(ASK_EVERY) && !self.goes_on(next.at_least_g) {
                self.waiting.push(Reverse(next));
                self.give_up();
                return;
            }
            self.look_at(next.at_least_g, next.what);
        }
        self.answer.proven = self.answer.found.len();
        self.answer.at_least_g = self.answer.found.last().map_or_else(
            || self.waiting.peek().map_or(f64::INFINITY, |next| next.0.at_least_g),
            |found| found.value_g,
        );
    }

    fn look_at(&mut self, at_least_g: f64, what: What) {
        match what {
            What::Set(found, loosest) => {
                if self.answer.found.iter().any(|other| other.parts == found.parts) {
                    return;
                }
                if self.holds(&found) {
                    self.answer.found.push(found);
                } else {
                    self.known.retain(|(_, parts)| *parts != found.parts);
                    self.push(at_least_g, What::Pairing(loosest, true));
                }
            }
            What::Rotor { group, rotor, sharp: false } => {
                let bound = self.beside.sharp(group, rotor, self.cap_g()).max(at_least_g);
                self.push(bound, What::Rotor { group, rotor, sharp: true });
            }
            What::Rotor { group, rotor, sharp: true } => {
                let list = self.beside.pairings(group, rotor);
                self.plan_ahead(&list);
                self.push(at_least_g, What::Pairings { list, from: 0 });
            }
            What::Pairings { list, from } => {
                let Some(loosest) = list.get(from) else { return };
                self.push(at_least_g, What::Pairing(*loosest, false));
                if let Some(next) = list.get(from + 1) {
                    let bound = self.beside.at_least_from(next, self.cap_g()).max(at_least_g);
                    self.push(bound, What::Pairings { list, from: from + 1 });
                }
            }
            What::Pairing(loosest, false) => {
                let bound = self.beside.bound(&loosest, self.cap_g()).max(at_least_g);
                self.push(bound, What::Pairing(loosest, true));
            }
            What::Pairing(loosest, true) => self.pairing(at_least_g, loosest),
        }
    }

    /// Plans those pairings of a rotor that may still matter side by side: one after the other most of
    /// them are asked for anyway.
    fn plan_ahead(&self, list: &[Loosest]) {
        let cap_g = self.cap_g();
        let ahead: Vec<Pairing> = list
            .iter()
            .filter(|loosest| loosest.recut.is_none() && loosest.sorted_g < cap_g)
            .map(|loosest| loosest.pairing)
            .collect();
        ahead.par_iter().with_min_len(AT_ONCE).for_each(|pairing| {
            self.table.alone(*pairing);
        });
    }

    /// Plans a pairing that waits as the loosest, or, where it is planned, looks through its sets.
    fn pairing(&mut self, at_least_g: f64, loosest: Loosest) {
        let index = self.table.index(loosest.pairing);
        if loosest.recut.is_none() && !self.table.is_known(index) {
            if self.table.alone(loosest.pairing).is_some() {
                self.push(at_least_g, What::Pairing(loosest, false));
            }
            return;
        }
        let Some(alone) = self.table.alone(loosest.pairing) else { return };
        if alone.left && loosest.recut.is_none() && !loosest.seen {
            let recut = self.table.recut(loosest.pairing, &alone);
            if recut.is_some() {
                self.push(at_least_g, What::Pairing(Loosest { recut, ..loosest }, false));
            }
        }
        let cap_g = self.cap_g();
        let (sets, rest_g) = self.beside.sets(&loosest, cap_g);
        let loosest = Loosest { seen: true, ..loosest };
        for found in sets {
            self.know(&found);
            self.push(found.value_g, What::Set(found, loosest));
        }
        self.push(rest_g.max(at_least_g), What::Pairing(loosest, true));
    }

    fn push(&mut self, at_least_g: f64, what: What) {
        if at_least_g < self.ask.below_g {
            self.turns += 1;
            self.waiting.push(Reverse(Waiting { at_least_g, turn: self.turns, what }));
        }
    }

    /// Sets that cost this or more do not matter as long as those that are known hold.
    fn cap_g(&self) -> f64 {
        self.ask
            .keep
            .checked_sub(1)
            .and_then(|last| self.known.get(last))
            .map_or(self.ask.below_g, |(value_g, _)| value_g.min(self.ask.below_g))
    }

    fn know(&mut self, found: &Found) {
        match self.known.iter_mut().find(|(_, parts)| *parts == found.parts) {
            Some((value_g, _)) => *value_g = value_g.min(found.value_g),
            None => self.known.push((found.value_g, found.parts.clone())),
        }
        self.known.sort_by(|a, b| a.0.total_cmp(&b.0).then_with(|| a.1.cmp(&b.1)));
    }

    fn holds(&self, found: &Found) -> bool {
        !self.ask.rooms
            || found.picks.iter().all(|pick| self.table.holds(pick.pairing, pick.brought_down_to_m))
    }

    fn goes_on(&self, at_least_g: f64) -> bool {
        let at_least_g = self.answer.found.first().map_or(at_least_g, |best| best.value_g);
        (self.go_on)(&Progress {
            best: self.known.first().map(|(value_g, _)| Mass::g(*value_g)),
            at_least: Mass::g(at_least_g),
            planned: self.table.planned(),
        })
    }

    /// Stopped: the best that are known and hold.
    fn give_up(&mut self) {
        self.answer.stopped = true;
        self.answer.proven = self.answer.found.len();
        self.answer.at_least_g =
            self.waiting.peek().map_or(f64::INFINITY, |next| next.0.at_least_g);
        let mut sets = Vec::new();
        while let Some(Reverse(next)) = self.waiting.pop() {
            if let What::Set(found, _) = next.what {
                sets.push(found);
            }
        }
        for found in sets {
            if self.answer.found.len() >= self.ask.keep {
                break;
            }
            let is_new = self.answer.found.iter().all(|other| other.parts != found.parts);
            if is_new && self.holds(&found) {
                self.answer.found.push(found);
            }
        }
    }
}
