//! Housings shared out among sets whose rotors are chosen: prices of housings for these sets alone.
//!
//! The prices of all builds and parts together stand for a mixture of choices. With the rotors
//! chosen, others give a better bound, and few ways are left that can be below it.

use super::prices::{Priced, Prices};
use std::cmp::Ordering;
use std::collections::HashSet;

/// Rounds of prices at most.
const ROUNDS: usize = 200;

/// Housings for the rotors of a set.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Way {
    pub(super) excess_g: f64,
    /// Which item it is.
    pub(super) item: usize,
    /// Numbered from 0.
    pub(super) housings: Vec<u32>,
}

impl Way {
    /// The order in which ways are looked at.
    pub(super) fn first(&self, other: &Self) -> Ordering {
        self.excess_g.total_cmp(&other.excess_g).then(self.item.cmp(&other.item))
    }

    fn with(&self, prices_g: &[f64]) -> f64 {
        self.excess_g + self.housings.iter().map(|h| prices_g[*h as usize]).sum::<f64>()
    }
}

/// Ways that can be in a sharing that matters, with their excess by prices of their own.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Shared {
    /// No sharing costs less.
    pub(super) bound_g: f64,
    pub(super) prices_g: Vec<f64>,
    /// By group, the least excess first.
    pub(super) ways: Vec<Vec<Way>>,
}

impl Shared {
    /// `None` where no sharing costs less than `gap_g`: excess by `prices_g` and prices of housings
    /// that are left.
    pub(super) fn new(groups: &[&[Way]], prices_g: &[f64], gap_g: f64) -> Option<Self> {
        let all_g: f64 = prices_g.iter().sum();
        // What a way costs without prices; all housings count as left then.
        let own: Vec<Vec<Way>> = groups
            .iter()
            .map(|ways| {
                let own = |way: &Way| {
                    let of_housings: f64 = way.housings.iter().map(|h| prices_g[*h as usize]).sum();
                    Way { excess_g: way.excess_g - of_housings, ..way.clone() }
                };
                ways.iter().map(own).collect()
            })
            .collect();
        let counts = vec![1; groups.len()];
        let most_g = own.iter().flatten().map(|way| way.excess_g.abs()).fold(0.0, f64::max);
        let dear_g = 1.0 + gap_g.abs() + 2.0 * all_g + most_g * (1 + groups.len()) as f64;
        let mut prices = Prices::new(prices_g.to_vec());
        let mut trial_g = prices_g.to_vec();
        let (mut known, mut seen): (Vec<(usize, usize)>, _) = (Vec::new(), HashSet::new());
        for _ in 0..ROUNDS {
            let mut bound_g = all_g - trial_g.iter().sum::<f64>();
            for (k, ways) in own.iter().enumerate() {
                let best = ways
                    .iter()
                    .enumerate()
                    .map(|(i, way)| (way.with(&trial_g), i))
                    .min_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)))?;
                bound_g += best.0;
                if seen.insert((k, best.1)) {
                    known.push((k, best.1));
                }
            }
            prices.tried(&trial_g, bound_g);
            if prices.bound_g >= gap_g {
                return None;
            }
            let sets: Vec<Priced<'_>> = known
                .iter()
                .map(|(k, i)| Priced {
                    class: *k,
                    cost_g: own[*k][*i].excess_g,
                    parts: &own[*k][*i].housings,
                })
                .collect();
            let Some(next_g) = prices.next(&sets, &counts, dear_g) else { break };
            trial_g = next_g;
        }
        Some(Self::within(&own, &prices, gap_g))
    }

    /// The ways that can be in a sharing below the gap.
    fn within(own: &[Vec<Way>], prices: &Prices, gap_g: f64) -> Self {
        let ways = own
            .iter()
            .map(|ways| {
                let costs: Vec<f64> = ways.iter().map(|way| way.with(&prices.best_g)).collect();
                let least_g = costs.iter().copied().fold(f64::INFINITY, f64::min);
                let mut fit: Vec<Way> = ways
                    .iter()
                    .zip(&costs)
                    .filter(|(_, cost_g)| **cost_g - least_g + prices.bound_g < gap_g)
                    .map(|(way, cost_g)| Way { excess_g: cost_g - least_g, ..way.clone() })
                    .collect();
                fit.sort_by(Way::first);
                fit
            })
            .collect();
        Self { bound_g: prices.bound_g, prices_g: prices.best_g.clone(), ways }
    }
}
