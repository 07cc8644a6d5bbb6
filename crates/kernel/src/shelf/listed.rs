//! All sets of a build that cost less than is wanted.

use super::beside::Beside;
use super::search::{Ask, Found, Loosest};
use super::table::Table;
use rayon::prelude::*;
use std::collections::HashMap;
use std::sync::atomic::{AtomicUsize, Ordering};

/// All sets that cost less than `ask.below_g`, prices counted, of each parts the cheapest; in an
/// order that depends on them alone. `None` where there are more than `most`, or it is stopped.
pub(super) fn listed(
    table: &Table<'_>,
    ask: &Ask<'_>,
    most: usize,
    go_on: &(dyn Fn() -> bool + Sync),
) -> Option<Vec<Found>> {
    let openings = Beside::new(table, ask).openings();
    let count = AtomicUsize::new(0);
    let each: Option<Vec<Vec<Found>>> = openings
        .into_par_iter()
        .map_init(
            || Beside::new(table, ask),
            |beside, (group, rotor)| {
                if !go_on() {
                    return None;
                }
                let mut found = Vec::new();
                if beside.sharp(group, rotor, ask.below_g) < ask.below_g {
                    for loosest in beside.pairings(group, rotor).iter() {
                        with(table, beside, ask, loosest, &mut found);
                        if count.load(Ordering::Relaxed) + found.len() > 2 * most {
                            return None;
                        }
                    }
                }
                count.fetch_add(found.len(), Ordering::Relaxed);
                Some(found)
            },
        )
        .collect();
    let mut by_parts: HashMap<Vec<usize>, Found> = HashMap::new();
    for found in each?.into_iter().flatten() {
        match by_parts.get_mut(&found.parts) {
            Some(other) if other.value_g <= found.value_g => {}
            Some(other) => *other = found,
            None => {
                by_parts.insert(found.parts.clone(), found);
            }
        }
    }
    if by_parts.len() > most {
        return None;
    }
    let mut all: Vec<Found> = by_parts.into_values().collect();
    all.sort_by(|a, b| a.value_g.total_cmp(&b.value_g).then_with(|| a.parts.cmp(&b.parts)));
    Some(all)
}

fn with(
    table: &Table<'_>,
    beside: &Beside<'_>,
    ask: &Ask<'_>,
    loosest: &Loosest,
    found: &mut Vec<Found>,
) {
    let hopeless = |loosest: &Loosest| beside.bound(loosest, ask.below_g) >= ask.below_g;
    if hopeless(loosest) {
        return;
    }
    let Some(alone) = table.alone(loosest.pairing) else { return };
    if alone.left
        && let Some(recut) = table.recut(loosest.pairing, &alone)
    {
        found.extend(beside.sets(&Loosest { recut: Some(recut), ..*loosest }, ask.below_g).0);
    }
    if !hopeless(loosest) {
        found.extend(beside.sets(loosest, ask.below_g).0);
    }
}
