//! The choice for one build or several.

use super::chosen::{Choice, ChosenPlace, ChosenSet, Selection};
use super::search::{Answer, Ask, Found, Parts, best_sets};
use super::several::several;
use super::slots::Slots;
use super::table::Table;
use super::{GoOn, Stock, Wanted};
use crate::units::{Length, Mass};

/// The best and what is next to it.
const KEEP: usize = 2;

/// Chooses sets for builds out of a stock.
///
/// Rotors and housings are as many as `stock` says; a part that fills a place of a build is one of
/// them and for no other place. Bounded work, but the bound grows with the stock to the power of
/// the places: `go_on` ends it. Without builds the choice is empty and proven.
#[must_use]
pub fn choose(stock: &dyn Stock, builds: &[Wanted], go_on: GoOn<'_>) -> Choice {
    let table = Table::new(stock);
    let slots: Vec<Slots> = builds.iter().map(Slots::of).collect();
    let free = free_parts(stock, builds);
    match slots.as_slice() {
        [only] => one(&table, only, &free, go_on),
        all => several(&table, all, &free, go_on),
    }
}

/// Parts that fill no place yet.
pub(super) fn free_parts(stock: &dyn Stock, builds: &[Wanted]) -> Parts<bool> {
    let mut free =
        Parts { rotors: vec![true; stock.rotors()], housings: vec![true; stock.housings()] };
    for place in builds.iter().flat_map(|build| &build.places) {
        if let Some(rotor) = place.rotor {
            free.rotors[rotor] = false;
        }
        if let Some(housing) = place.housing {
            free.housings[housing] = false;
        }
    }
    free
}

fn one(table: &Table<'_>, slots: &Slots, free: &Parts<bool>, go_on: GoOn<'_>) -> Choice {
    let ask = Ask { slots, free, prices: None, keep: KEEP, below_g: f64::INFINITY, rooms: true };
    let Answer { found, proven, at_least_g, stopped } = best_sets(table, &ask, go_on);
    let mut selections = found.iter().map(|found| selection(table, &[(0, slots, found)]));
    let (best, runner_up) = (selections.next(), selections.next());
    let best_proven = !stopped || proven > 0;
    let at_least = match &best {
        Some(best) if best_proven => best.cost,
        _ if at_least_g.is_finite() => Mass::g(at_least_g),
        _ => Mass::ZERO,
    };
    Choice {
        without: if best.is_none() { vec![0] } else { Vec::new() },
        best,
        runner_up,
        at_least,
        proven: best_proven,
        runner_up_proven: !stopped || proven > 1,
        stopped,
        counts: table.counts(),
    }
}

/// Sets for builds as they are told.
pub(super) fn selection(table: &Table<'_>, sets: &[(usize, &Slots, &Found)]) -> Selection {
    let sets: Vec<ChosenSet> =
        sets.iter().map(|(build, slots, found)| chosen(table, *build, slots, found)).collect();
    let cost = sets.iter().map(ChosenSet::cost).sum();
    Selection { sets, cost }
}

fn chosen(table: &Table<'_>, build: usize, slots: &Slots, found: &Found) -> ChosenSet {
    let mut places = Vec::with_capacity(found.picks.len());
    for (group, of) in slots.groups.iter().enumerate() {
        let mut picks: Vec<_> = found.picks.iter().filter(|pick| pick.group == group).collect();
        picks.sort_by_key(|pick| pick.pairing);
        places.extend(picks.into_iter().zip(&of.places).map(|(pick, place)| ChosenPlace {
            place: *place,
            pairing: pick.pairing,
            brought_down_to: pick.brought_down_to_m.map(Length::m),
            clearance: Length::m(pick.clearance_m),
            removed: Mass::g(pick.grams),
            mass_after: Mass::g(table.mass_g(pick.pairing.rotor) - pick.grams),
        }));
    }
    places.sort_by_key(|place| place.place);
    let loosest = places.iter().map(|place| place.clearance).fold(Length::ZERO, Length::max);
    let mismatch = Mass::g(found.sum(table, slots.by_mass).mismatch_g());
    ChosenSet {
        build,
        loosest,
        removed: places.iter().map(|place| place.removed).sum(),
        mismatch,
        places,
    }
}
