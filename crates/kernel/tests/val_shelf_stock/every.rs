//! A search that looks at every set there is.

use kernel::shelf::{Pairing, Place, Planned, Stock, Wanted};
use kernel::units::Length;

/// What a set costs by the rule, its pairings in any order; `None` where there is no such set.
pub(crate) fn cost_of<S: Stock>(stock: &S, by_mass: bool, pairings: &[Pairing]) -> Option<f64> {
    let mut plans: Vec<(Planned, Option<Length>)> =
        pairings.iter().map(|p| Some((stock.alone(*p)?, None))).collect::<Option<_>>()?;
    let alone: Vec<f64> = plans.iter().map(|plan| plan.0.removed.to_g()).collect();
    let loosest_of = |plans: &[(Planned, Option<Length>)]| {
        plans.iter().map(|plan| plan.0.clearance).fold(Length::ZERO, Length::max)
    };
    let rounding = Length::mm(1e-9);
    // Each round brings another one down or ends; what is brought down may itself be the loosest.
    for _ in 0..=pairings.len() {
        let loosest = loosest_of(&plans);
        for (i, p) in pairings.iter().enumerate() {
            if stock.alone(*p)?.beside + rounding < loosest {
                plans[i] = (stock.brought_down(*p, loosest)?, Some(loosest));
            }
        }
        if loosest_of(&plans) <= loosest + rounding {
            break;
        }
    }
    if !pairings.iter().zip(&plans).all(|(p, plan)| stock.holds(*p, plan.1)) {
        return None;
    }
    let grams: Vec<f64> =
        plans.iter().zip(&alone).map(|(plan, alone)| plan.0.removed.to_g().max(*alone)).collect();
    let after: Vec<f64> =
        pairings.iter().zip(&grams).map(|(p, g)| stock.mass(p.rotor).to_g() - g).collect();
    let most = after.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let least = after.iter().copied().fold(f64::INFINITY, f64::min);
    Some(grams.iter().sum::<f64>() + if by_mass { most - least } else { 0.0 })
}

/// Rotors and housings of a set, each in order.
pub(crate) type SetParts = (Vec<usize>, Vec<usize>);

/// Every set of a build with the least cost of its parts, the best first.
pub(crate) fn all_sets<S: Stock>(
    stock: &S,
    builds: &[Wanted],
    build: usize,
) -> Vec<(f64, SetParts)> {
    let wanted = &builds[build];
    let given = |of: fn(&Place) -> Option<usize>| -> Vec<usize> {
        builds.iter().flat_map(|b| &b.places).filter_map(of).collect()
    };
    let (rotors, housings) = (given(|p| p.rotor), given(|p| p.housing));
    let mut found = std::collections::BTreeMap::new();
    let mut pairings = Vec::new();
    go(stock, wanted, (&rotors, &housings), &mut pairings, &mut found);
    let mut sets: Vec<(f64, SetParts)> = found.into_iter().map(|(parts, g)| (g, parts)).collect();
    sets.sort_by(|a, b| a.0.total_cmp(&b.0));
    sets
}

fn go<S: Stock>(
    stock: &S,
    wanted: &Wanted,
    given: (&[usize], &[usize]),
    pairings: &mut Vec<Pairing>,
    found: &mut std::collections::BTreeMap<SetParts, f64>,
) {
    let Some(place) = wanted.places.get(pairings.len()) else {
        if let Some(cost_g) = cost_of(stock, wanted.by_mass, pairings) {
            let mut parts: SetParts = pairings.iter().map(|p| (p.rotor, p.housing)).unzip();
            parts.0.sort_unstable();
            parts.1.sort_unstable();
            let least = found.entry(parts).or_insert(cost_g);
            *least = least.min(cost_g);
        }
        return;
    };
    let open = |fixed: Option<usize>, all: usize, given: &[usize]| -> Vec<usize> {
        fixed.map_or_else(|| (0..all).filter(|i| !given.contains(i)).collect(), |i| vec![i])
    };
    for rotor in open(place.rotor, stock.rotors(), given.0) {
        for housing in open(place.housing, stock.housings(), given.1) {
            if pairings.iter().any(|p| p.rotor == rotor || p.housing == housing) {
                continue;
            }
            pairings.push(Pairing { kind: place.kind, rotor, housing });
            go(stock, wanted, given, pairings, found);
            pairings.pop();
        }
    }
}
