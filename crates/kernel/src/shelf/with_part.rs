//! What a part that was not chosen would cost, and how little would have to change.

use super::choose::{free_parts, selection};
use super::chosen::ChosenSet;
use super::search::{Ask, best_sets};
use super::slots::Slots;
use super::table::Table;
use super::{GoOn, Place, Progress, Stock, Wanted};
use crate::units::Length;
use rayon::prelude::*;

/// Halvings of a range: past 60 the rest is below the spacing of doubles near any length here.
const HALVINGS: usize = 60;

/// A part of the stock.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Part {
    /// A rotor, by its number.
    Rotor(usize),
    /// A rotor housing, by its number.
    Housing(usize),
}

/// For each part the cheapest set of a build that has it, all other parts of the stock free for it;
/// `None` where no set has it, it fills a place of another build, or the search was stopped. Sets
/// are not looked at between the real walls: what is told is a bound from below. `go_on` is told
/// nothing but how many pairings were planned.
#[must_use]
pub fn cheapest_with(
    stock: &dyn Stock,
    builds: &[Wanted],
    build: usize,
    parts: &[Part],
    go_on: GoOn<'_>,
) -> Vec<Option<ChosenSet>> {
    let Some(wanted) = builds.get(build) else { return vec![None; parts.len()] };
    let table = Table::new(stock);
    let free = free_parts(stock, builds);
    let cheapest = |part: &Part| {
        let is_free = match *part {
            Part::Rotor(rotor) => free.rotors[rotor],
            Part::Housing(housing) => free.housings[housing],
        };
        let mut best: Option<ChosenSet> = None;
        for wanted in with_part(wanted, *part, is_free) {
            let mut free = free.clone();
            match *part {
                Part::Rotor(rotor) => free.rotors[rotor] = false,
                Part::Housing(housing) => free.housings[housing] = false,
            }
            let slots = Slots::of(&wanted);
            let below_g = best.as_ref().map_or(f64::INFINITY, |set| set.cost().to_g());
            let ask =
                Ask { slots: &slots, free: &free, prices: None, keep: 1, below_g, rooms: false };
            let found = best_sets(&table, &ask, &|inside: &Progress| go_on(inside)).found;
            if let Some(found) = found.first() {
                best = selection(&table, &[(build, &slots, found)]).sets.into_iter().next();
            }
        }
        best
    };
    parts.par_iter().map(cheapest).collect()
}

/// A build with a part in one of its places, once for each kind of place that is open for it; as it
/// is where the part is in it.
fn with_part(wanted: &Wanted, part: Part, is_free: bool) -> Vec<Wanted> {
    let of = |place: &Place| match part {
        Part::Rotor(_) => place.rotor,
        Part::Housing(_) => place.housing,
    };
    let number = match part {
        Part::Rotor(number) | Part::Housing(number) => number,
    };
    if wanted.places.iter().any(|place| of(place) == Some(number)) {
        return vec![wanted.clone()];
    }
    let mut tried: Vec<Place> = Vec::new();
    let mut with = Vec::new();
    for (i, place) in wanted.places.iter().enumerate() {
        if !is_free || of(place).is_some() || tried.contains(place) {
            continue;
        }
        tried.push(*place);
        let mut wanted = wanted.clone();
        match part {
            Part::Rotor(_) => wanted.places[i].rotor = Some(number),
            Part::Housing(_) => wanted.places[i].housing = Some(number),
        }
        with.push(wanted);
    }
    with
}

/// Whether a build has a set at all, all free parts of the stock for it, the room between the real
/// walls left out. `None` where the search was stopped before that was known.
#[must_use]
pub fn has_set(
    stock: &dyn Stock,
    builds: &[Wanted],
    build: usize,
    go_on: GoOn<'_>,
) -> Option<bool> {
    let wanted = builds.get(build)?;
    let table = Table::new(stock);
    let (free, slots) = (free_parts(stock, builds), Slots::of(wanted));
    let below_g = f64::INFINITY;
    let ask = Ask { slots: &slots, free: &free, prices: None, keep: 1, below_g, rooms: false };
    let answer = best_sets(&table, &ask, go_on);
    match (answer.found.is_empty(), answer.stopped) {
        (false, _) => Some(true),
        (true, false) => Some(false),
        (true, true) => None,
    }
}

/// The least by which a figure must be relaxed so that `is_enough`, which stays so from there on;
/// not above `most`. `None` where that is not enough either.
#[must_use]
pub fn least_relaxation(most: Length, is_enough: impl Fn(Length) -> bool) -> Option<Length> {
    if is_enough(Length::ZERO) {
        return Some(Length::ZERO);
    }
    is_enough(most).then(|| halved(Length::ZERO, most, &is_enough))
}

/// The sizes of one new part with which `is_enough`: the range about the first of `trials` that is,
/// as far as the neighbours of it that are not, or the ends of the trials. Trials rise. `None`
/// where none is enough; a range narrower than two trials are apart may be missed.
#[must_use]
pub fn sizes_that_suffice(
    trials: &[Length],
    is_enough: impl Fn(Length) -> bool,
) -> Option<[Length; 2]> {
    let first = trials.iter().position(|size| is_enough(*size))?;
    let least = match first.checked_sub(1) {
        Some(below) => halved(trials[below], trials[first], &is_enough),
        None => trials[first],
    };
    let after = trials[first..].iter().position(|size| !is_enough(*size));
    let most = match after {
        Some(after) => halved(trials[first + after], trials[first + after - 1], &is_enough),
        None => trials[trials.len() - 1],
    };
    Some([least, most])
}

/// The end towards `no` of the range about `yes` that is enough.
fn halved(no: Length, yes: Length, is_enough: &impl Fn(Length) -> bool) -> Length {
    let (mut no, mut yes) = (no, yes);
    for _ in 0..HALVINGS {
        let middle = (no + yes) / 2.0;
        if middle == no || middle == yes {
            break;
        }
        if is_enough(middle) {
            yes = middle;
        } else {
            no = middle;
        }
    }
    yes
}
