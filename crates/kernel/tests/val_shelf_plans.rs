//! The choice out of stock against the plans of whole sets, on invented worn parts.

#![expect(clippy::unwrap_used, reason = "in a test a panic is the report")]
#![expect(clippy::print_stdout, reason = "how often the rule and plans differ is to be seen")]

#[path = "val_shelf_stock/every.rs"]
mod every;
#[path = "val_shelf_stock/numbers.rs"]
mod numbers;
#[path = "val_shelf_stock/real.rs"]
mod real;

use every::{all_sets, cost_of};
use kernel::plan::{Candidate, CutAreas, Set, plan};
use kernel::room::Outside;
use kernel::shelf::{Pairing, Place, Stock, Wanted, choose};
use kernel::units::Length;
use numbers::Numbers;
use real::{Like, Shop};

/// Grams; sums over a few hundred nodes in another order.
const ROUNDED_G: f64 = 1e-7;

/// Costs that are the same but for rounding.
const SAME_G: f64 = 1e-6;

fn open(places: usize) -> Wanted {
    Wanted { places: vec![Place { kind: 0, rotor: None, housing: None }; places], by_mass: true }
}

fn pairings(rotors: usize, housings: usize) -> impl Iterator<Item = Pairing> {
    (0..rotors).flat_map(move |rotor| {
        (0..housings).map(move |housing| Pairing { kind: 0, rotor, housing })
    })
}

/// Shops that differ in what a search may stumble over.
fn likes() -> Vec<(&'static str, Like)> {
    let usual = Like { masses_g: [4290.0, 4310.0], ..Like::USUAL };
    vec![
        ("usual", usual),
        ("thin passes", Like { least_cut_mm: 0.02, ..usual }),
        ("tight match", Like { matching_mm: 0.001, ..usual }),
        ("little metal", Like { lands_mm: [79.80, 79.87], ..usual }),
        ("much metal", Like { lands_mm: [79.90, 80.10], ..usual }),
        ("uneven", Like { uneven_mm: 0.03, ..usual }),
        ("tall tips", Like { steps_mm: [0.0, 0.06], ..usual }),
    ]
}

/// What is looked up is what is summed, for a step and a taper.
#[test]
fn grams_are_those_of_the_plan() {
    let mut cuts = 0;
    for (name, like) in likes() {
        for shape in [
            Outside::Step,
            Outside::Taper { start: Length::mm(61.0), root: Length::ZERO },
            Outside::Taper { start: Length::mm(70.0), root: Length::mm(0.02) },
        ] {
            let mut shop = Shop::new(11, 12, 12, like);
            shop.spec.outside = shape;
            let areas = CutAreas { shape, ..shop.areas() };
            let kinds = [shop.kind()];
            let stock = shop.stock(&kinds);
            for p in pairings(12, 12) {
                let Some((candidate, one)) = stock.plan(p, None) else { continue };
                let expected = areas.removed(&candidate.heights, &one.levels) * Shop::density();
                let got = stock.removed(0, p.rotor, &one.levels);
                assert!((got - expected).to_g().abs() < ROUNDED_G, "{name}: {got:?} {expected:?}");
                cuts += usize::from(got.to_g() > 0.1);
            }
        }
    }
    assert!(cuts > 800, "{cuts}");
}

/// No plan loses less than its bound or ends tighter, alone or brought down.
#[test]
fn bounds_are_below_plans() {
    let (mut alone, mut down) = (0, 0);
    for (name, like) in likes() {
        let mut n = Numbers(5);
        let shop = Shop::new(23, 30, 20, like);
        let kinds = [shop.kind()];
        let stock = shop.stock(&kinds);
        for p in pairings(30, 20) {
            let loosest = Length::mm(n.between(0.13, 0.20));
            for to in [None, Some(loosest)] {
                let planned = match to {
                    None => stock.alone(p),
                    Some(loosest) => stock.brought_down(p, loosest),
                };
                let Some(planned) = planned else { continue };
                let least = stock.at_least(p, to).unwrap();
                assert!(
                    least.removed.to_g() <= planned.removed.to_g() + ROUNDED_G
                        && least.clearance.to_m() <= planned.clearance.to_m() + 1e-12,
                    "{name}: {p:?} {to:?} {least:?} {planned:?}"
                );
                *if to.is_none() { &mut alone } else { &mut down } += 1;
            }
        }
    }
    assert!(alone > 1000 && down > 1000, "{alone} {down}");
}

/// Cost of a set as the shop would really plan it.
fn really(shop: &Shop, chosen: &[Pairing]) -> Option<f64> {
    let rotors: Vec<Candidate> = chosen.iter().map(|p| shop.candidate(*p)).collect();
    let planned = plan(&Set { rotors: &rotors, spec: &shop.spec, least_cut: shop.least_cut });
    if !planned.feasible {
        return None;
    }
    let grams: Vec<f64> = planned
        .rotors
        .iter()
        .zip(&rotors)
        .map(|(rotor, candidate)| {
            (shop.areas().removed(&candidate.heights, &rotor.levels) * Shop::density()).to_g()
        })
        .collect();
    let after = || chosen.iter().zip(&grams).map(|(p, g)| shop.rotors[p.rotor].mass.to_g() - g);
    let (high, low) = (after().fold(f64::MIN, f64::max), after().fold(f64::MAX, f64::min));
    Some(grams.iter().sum::<f64>() + high - low)
}

/// Every set through the real plan of a set, and the search: how often they choose alike.
#[test]
fn the_best_set_is_the_one_that_plans_of_sets_find() {
    let (mut sets, mut alike) = (0, 0);
    for (name, like) in likes() {
        let (mut differ, mut by_g, mut other, mut dearer_g) = (0, 0.0f64, 0, 0.0f64);
        let mut unplanned = 0;
        for seed in 0..12 {
            let (rotors, housings, places) = if seed < 9 { (5, 5, 2) } else { (4, 4, 3) };
            let shop = Shop::new(100 + seed, rotors, housings, like);
            let kinds = [shop.kind()];
            let stock = shop.stock(&kinds);
            let builds = [open(places)];
            let choice = choose(&stock, &builds, &|_| true);
            // By the rule, exactly.
            let by_rule = all_sets(&stock, &builds, 0);
            assert_eq!(choice.best.is_some(), !by_rule.is_empty());
            let Some(best) = &choice.best else { continue };
            assert!((best.cost.to_g() - by_rule[0].0).abs() < ROUNDED_G, "{name} {seed}");
            // By the plans of sets.
            let mut least_g = f64::INFINITY;
            each_set(rotors, housings, places, &mut Vec::new(), &mut |chosen| {
                let (real, rule) = (really(&shop, chosen), cost_of(&stock, true, chosen));
                match (real, rule) {
                    (Some(real), Some(rule)) => {
                        sets += 1;
                        differ += usize::from((real - rule).abs() > SAME_G);
                        by_g = by_g.max((real - rule).abs());
                    }
                    (None, None) => {}
                    _ => differ += 1,
                }
                least_g = least_g.min(real.unwrap_or(f64::INFINITY));
            });
            let chosen: Vec<Pairing> = best.sets[0].places.iter().map(|p| p.pairing).collect();
            match really(&shop, &chosen) {
                Some(real_g) if real_g - least_g < SAME_G => alike += 1,
                Some(real_g) => {
                    other += 1;
                    dearer_g = dearer_g.max(real_g - least_g);
                }
                None => unplanned += 1,
            }
        }
        println!(
            "{name}: {differ} sets cost otherwise by their plan, by {by_g:.3} g at most; {other} \
             times another set is best, by {dearer_g:.3} g at most; {unplanned} times the best has no \
             plan"
        );
        // A thin pass that is left or deepened alone may be another in a set.
        let differs = differ + other + unplanned > 0;
        assert!(like.least_cut_mm > 0.0 || !differs, "{name}: {differ} {other} {unplanned}");
    }
    println!("{sets} sets; {alike} times the best is the same");
    assert!(sets > 8000 && alike > 60, "{sets} {alike}");
}

fn each_set(
    rotors: usize,
    housings: usize,
    places: usize,
    chosen: &mut Vec<Pairing>,
    tell: &mut impl FnMut(&[Pairing]),
) {
    if chosen.len() == places {
        tell(chosen);
        return;
    }
    // Places are alike: rotors in rising order.
    let from = chosen.last().map_or(0, |p| p.rotor + 1);
    for rotor in from..rotors {
        for housing in 0..housings {
            if chosen.iter().all(|p| p.housing != housing) {
                chosen.push(Pairing { kind: 0, rotor, housing });
                each_set(rotors, housings, places, chosen, tell);
                chosen.pop();
            }
        }
    }
}
