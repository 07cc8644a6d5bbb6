//! The best packing of sets, no part twice, out of all sets that can be in one that matters.
//!
//! With prices of parts, a set's excess is its cost with prices less the least of its class. A
//! packing costs the bound, the excess of its sets and the price of every part that it leaves. So
//! with a gap between the bound and what is wanted, only sets with an excess below the gap are in
//! it, and a part whose price is above the gap is used.
//!
//! Rotors are shared out first: the sets of the same rotors are one thing then, as good as the best
//! of them, since there are many ways to choose housings that cost almost the same. A rotor that
//! must be used is taken first, in as few ways as there are. Then each gets its housings.

use super::share::{Shared, Way};
use super::{EQUAL_G, GoOn, Progress};
use std::collections::HashMap;

/// Bound on what a packing looks at before it gives up.
const MOST_LOOKS: u64 = 20_000_000;
/// How often it is asked whether to go on.
const ASK_EVERY: u64 = 1024;

/// A set that may be packed.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Item {
    pub(super) class: usize,
    pub(super) excess_g: f64,
    /// Parts, housings numbered after rotors, in order.
    pub(super) parts: Vec<u32>,
}

/// What is to be packed.
#[derive(Debug, Clone, Copy)]
pub(super) struct Packing<'a> {
    /// Among them one for each class that stands for no set and has no parts.
    pub(super) items: &'a [Item],
    /// How many sets of each class.
    pub(super) counts: &'a [usize],
    /// Of each part.
    pub(super) prices_g: &'a [f64],
    /// How many of the parts are rotors.
    pub(super) rotors: usize,
    /// How many packings, the best.
    pub(super) keep: usize,
    /// Packings with more excess and more left than this do not matter.
    pub(super) gap_g: f64,
}

/// Packings found, each with what it costs above the bound, the best first.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Packed {
    pub(super) found: Vec<(f64, Vec<usize>)>,
    /// No other costs less.
    pub(super) proven: bool,
    pub(super) stopped: bool,
}

/// The sets of a class with the same rotors.
struct Group {
    class: usize,
    rotors: Vec<u32>,
    least_g: f64,
    /// The least excess first.
    ways: Vec<Way>,
}

struct State<'a> {
    packing: Packing<'a>,
    groups: Vec<Group>,
    counts: Vec<usize>,
    used: Vec<bool>,
    chosen: Vec<usize>,
    housing_used: Vec<bool>,
    gap_g: f64,
    looks: u64,
    packed: Packed,
    progress: Progress,
    go_on: GoOn<'a>,
}

/// Packs sets. A packing of no class is empty.
pub(super) fn pack(packing: &Packing<'_>, progress: Progress, go_on: GoOn<'_>) -> Packed {
    let mut state = State {
        packing: *packing,
        groups: groups(packing),
        counts: packing.counts.to_vec(),
        used: vec![false; packing.rotors],
        chosen: Vec::new(),
        housing_used: vec![false; packing.prices_g.len() - packing.rotors],
        gap_g: packing.gap_g,
        looks: 0,
        packed: Packed { found: Vec::new(), proven: true, stopped: false },
        progress,
        go_on,
    };
    let all: Vec<usize> = (0..state.groups.len()).collect();
    state.rotors(&all, 0.0);
    state.packed
}

fn groups(packing: &Packing<'_>) -> Vec<Group> {
    let mut by_rotors: HashMap<(usize, &[u32]), Vec<Way>> = HashMap::new();
    let first_housing = packing.rotors as u32;
    for (i, item) in packing.items.iter().enumerate() {
        if item.excess_g >= packing.gap_g {
            continue;
        }
        let (rotors, housings) =
            item.parts.split_at(item.parts.partition_point(|part| *part < first_housing));
        let housings = housings.iter().map(|part| part - first_housing).collect();
        let way = Way { excess_g: item.excess_g, item: i, housings };
        by_rotors.entry((item.class, rotors)).or_default().push(way);
    }
    let mut groups: Vec<Group> = by_rotors
        .into_iter()
        .map(|((class, rotors), mut ways)| {
            ways.sort_by(Way::first);
            Group { class, rotors: rotors.to_vec(), least_g: ways[0].excess_g, ways }
        })
        .collect();
    groups.sort_by(|a, b| {
        let by = a.least_g.total_cmp(&b.least_g).then(a.class.cmp(&b.class));
        by.then_with(|| a.rotors.cmp(&b.rotors))
    });
    groups
}

impl State<'_> {
    fn gives_up(&mut self) -> bool {
        self.looks += 1;
        if self.looks >= MOST_LOOKS {
            self.packed.proven = false;
        } else if self.looks.is_multiple_of(ASK_EVERY) && !(self.go_on)(&self.progress) {
            (self.packed.proven, self.packed.stopped) = (false, true);
        }
        !self.packed.proven
    }

    /// Shares the rotors out. `open`: groups that still fit, the least excess first; `spent_g`:
    /// excess of what is chosen.
    fn rotors(&mut self, open: &[usize], spent_g: f64) {
        if self.gives_up() {
            return;
        }
        // Rotors that nothing takes any more are paid for.
        let mut takers = vec![0u32; self.packing.rotors];
        let mut in_class = vec![0usize; self.counts.len()];
        for i in open {
            let group = &self.groups[*i];
            in_class[group.class] += 1;
            group.rotors.iter().for_each(|rotor| takers[*rotor as usize] += 1);
        }
        let price = |rotor: usize| self.packing.prices_g[rotor];
        let free = |rotor: &usize| !self.used[*rotor];
        let all = || (0..self.packing.rotors).filter(free);
        let paid_g: f64 = all().filter(|r| takers[*r] == 0).map(price).sum::<f64>() + spent_g;
        if paid_g >= self.gap_g {
            return;
        }
        if self.counts.iter().all(|count| *count == 0) {
            let left_g = all().filter(|r| takers[*r] > 0).map(price).sum::<f64>();
            self.begin_housings(paid_g + left_g);
            return;
        }
        if self.counts.iter().zip(&in_class).any(|(count, has)| *count > 0 && *has == 0) {
            return;
        }
        let must = all()
            .filter(|rotor| takers[*rotor] > 0 && price(*rotor) + paid_g >= self.gap_g)
            .min_by_key(|rotor| takers[*rotor]);
        if let Some(rotor) = must {
            for i in open {
                if self.groups[*i].rotors.contains(&(rotor as u32)) {
                    self.choose(*i, open, spent_g);
                }
            }
            return;
        }
        // None must be: the best of the class with the fewest is in or out.
        let Some(class) = (0..self.counts.len())
            .filter(|class| self.counts[*class] > 0)
            .min_by_key(|class| in_class[*class])
        else {
            return;
        };
        let mut rest = open.to_vec();
        while let Some(at) = rest.iter().position(|i| self.groups[*i].class == class) {
            let i = rest[at];
            if spent_g + self.groups[i].least_g >= self.gap_g || !self.packed.proven {
                return;
            }
            self.choose(i, &rest, spent_g);
            rest.remove(at);
        }
    }

    fn choose(&mut self, i: usize, open: &[usize], spent_g: f64) {
        let (class, rotors) = (self.groups[i].class, self.groups[i].rotors.clone());
        let spent_g = spent_g + self.groups[i].least_g;
        if spent_g >= self.gap_g || self.counts[class] == 0 {
            return;
        }
        self.counts[class] -= 1;
        rotors.iter().for_each(|rotor| self.used[*rotor as usize] = true);
        self.chosen.push(i);
        // What stands for no set, and sets whose rotors are given, may be taken again.
        let fits = |other: &&usize| {
            let next = &self.groups[**other];
            (**other != i || rotors.is_empty())
                && self.counts[next.class] > 0
                && spent_g + next.least_g < self.gap_g
                && next.rotors.iter().all(|rotor| !self.used[*rotor as usize])
        };
        let next: Vec<usize> = open.iter().filter(fits).copied().collect();
        self.rotors(&next, spent_g);
        self.chosen.pop();
        rotors.iter().for_each(|rotor| self.used[*rotor as usize] = false);
        self.counts[class] += 1;
    }

    /// Shares the housings out among the chosen groups. `left_g`: excess of their best and the
    /// prices of rotors that are left.
    fn begin_housings(&mut self, left_g: f64) {
        let best_g: f64 = self.chosen.iter().map(|i| self.groups[*i].least_g).sum();
        let fixed_g = left_g - best_g;
        let gap_g = self.gap_g - fixed_g;
        let groups: Vec<&[Way]> =
            self.chosen.iter().map(|i| self.groups[*i].ways.as_slice()).collect();
        let Some(shared) = Shared::new(&groups, self.housing_prices(), gap_g) else { return };
        let fixed_g = fixed_g + shared.bound_g;
        let open: Vec<(usize, Vec<usize>)> = shared
            .ways
            .iter()
            .enumerate()
            .map(|(k, ways)| (k, (0..ways.len()).collect()))
            .collect();
        self.housings(&shared, &open, fixed_g, &mut Vec::new());
    }

    fn housing_prices(&self) -> &[f64] {
        &self.packing.prices_g[self.packing.rotors..]
    }

    /// `open`: groups without housings with the ways that still fit.
    fn housings(
        &mut self,
        shared: &Shared,
        open: &[(usize, Vec<usize>)],
        spent_g: f64,
        items: &mut Vec<usize>,
    ) {
        if self.gives_up() {
            return;
        }
        let least = |(k, ways): &(usize, Vec<usize>)| {
            ways.first().map_or(f64::INFINITY, |way| shared.ways[*k][*way].excess_g)
        };
        let wanted_g = spent_g + open.iter().map(least).sum::<f64>();
        let mut takers = vec![false; self.housing_used.len()];
        for (k, ways) in open {
            for way in ways {
                let housings = &shared.ways[*k][*way].housings;
                housings.iter().for_each(|h| takers[*h as usize] = true);
            }
        }
        let paid_g: f64 = (0..takers.len())
            .filter(|housing| !self.housing_used[*housing] && !takers[*housing])
            .map(|housing| shared.prices_g[housing])
            .sum();
        if wanted_g + paid_g >= self.gap_g {
            return;
        }
        let Some((at, (group, ways))) =
            open.iter().enumerate().min_by_key(|(_, (_, ways))| ways.len())
        else {
            self.keep(spent_g + paid_g, items);
            return;
        };
        let others_g = wanted_g - least(&open[at]);
        for way in ways {
            let Way { excess_g, item, housings } = &shared.ways[*group][*way];
            if others_g + excess_g + paid_g >= self.gap_g || !self.packed.proven {
                break;
            }
            housings.iter().for_each(|housing| self.housing_used[*housing as usize] = true);
            let fits = |k: usize, way: &usize| {
                let housings = &shared.ways[k][*way].housings;
                housings.iter().all(|housing| !self.housing_used[*housing as usize])
            };
            let next: Vec<(usize, Vec<usize>)> = open
                .iter()
                .enumerate()
                .filter(|(i, _)| *i != at)
                .map(|(_, (k, ways))| {
                    (*k, ways.iter().filter(|way| fits(*k, way)).copied().collect())
                })
                .collect();
            items.push(*item);
            self.housings(shared, &next, spent_g + excess_g, items);
            items.pop();
            housings.iter().for_each(|housing| self.housing_used[*housing as usize] = false);
        }
    }

    fn keep(&mut self, total_g: f64, items: &[usize]) {
        if total_g >= self.gap_g {
            return;
        }
        let mut chosen = items.to_vec();
        chosen.sort_unstable();
        if self.packed.found.iter().any(|(_, other)| *other == chosen) {
            return;
        }
        self.packed.found.push((total_g, chosen));
        self.packed.found.sort_by(|a, b| a.0.total_cmp(&b.0).then_with(|| a.1.cmp(&b.1)));
        self.packed.found.truncate(self.packing.keep);
        if self.packed.found.len() == self.packing.keep
            && let Some((worst_g, _)) = self.packed.found.last()
        {
            self.gap_g = self.gap_g.min(*worst_g - EQUAL_G);
        }
    }
}
