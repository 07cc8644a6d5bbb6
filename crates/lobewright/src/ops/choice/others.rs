//! What is said of each part on the shelf that is not chosen.

use super::super::phrase;
use super::bench::Bench;
use super::in_stock::InStock;
use super::line::Unfit;
use super::report::{Other, Said};
use super::waits::{About, Shelf};
use kernel::plan::{Set, Shortfall, plan};
use kernel::shelf::{Choice, GoOn, Pairing, Part, Stock, cheapest_with, choose};
use kernel::units::{Length, Mass, System};
use rayon::iter::{IntoParallelIterator, ParallelIterator};
use records::PartKind;
use std::collections::BTreeMap;

/// With how many of the other kind a part that fails is looked at more closely: those that come
/// nearest in width.
const LOOKED_AT: usize = 4;

/// So many limits of a part that fails are told.
const TOLD: usize = 2;

/// Whether a part is of a pairing.
fn is_in(part: Part, p: Pairing) -> bool {
    match part {
        Part::Rotor(rotor) => p.rotor == rotor,
        Part::Housing(housing) => p.housing == housing,
    }
}

/// What is looked at.
pub(super) struct Looked<'a> {
    pub(super) bench: &'a Bench,
    pub(super) stock: &'a InStock<'a>,
    pub(super) shelf: &'a Shelf,
    pub(super) choice: &'a Choice,
    pub(super) go_on: GoOn<'a>,
    pub(super) first: System,
}

/// Every part that is not chosen: rotors, then housings, each in the order of the stock, and what is
/// not offered behind them.
pub(super) fn others(looked: &Looked<'_>) -> Vec<Other> {
    let [rotors, housings] = looked.bench.in_stock;
    let chosen: Vec<Pairing> = looked
        .choice
        .best
        .iter()
        .flat_map(|best| &best.sets)
        .flat_map(|set| set.places.iter().map(|place| place.pairing))
        .collect();
    let parts: Vec<Part> = (0..rotors)
        .map(Part::Rotor)
        .chain((0..housings).map(Part::Housing))
        .filter(|part| !chosen.iter().any(|p| is_in(*part, *p)))
        .collect();
    let fit: Vec<Part> =
        parts.iter().copied().filter(|part| looked.unfit(*part).is_none()).collect();
    let costs: BTreeMap<Part, Option<Mass>> =
        fit.iter().copied().zip(looked.more_with(&fit)).collect();
    // Parts are looked at side by side; the order of the answers is that of the parts.
    let mut all: Vec<Other> = parts
        .into_par_iter()
        .map(|part| looked.other(part, costs.get(&part).copied().flatten()))
        .collect();
    all.extend(looked.shelf.left_out.iter().map(Other::from));
    all.sort_by_key(|other| other.kind != PartKind::Rotor);
    all
}

impl Looked<'_> {
    fn unfit(&self, part: Part) -> Option<&Unfit> {
        match part {
            Part::Rotor(n) => self.bench.unfit_rotor(n),
            Part::Housing(n) => self.bench.unfit_housing(n),
        }
    }

    fn other(&self, part: Part, more: Option<Mass>) -> Other {
        let (kind, serial, about): (_, _, &About) = match part {
            Part::Rotor(n) => {
                (PartKind::Rotor, &self.bench.rotors[n].serial, &self.shelf.rotors[n])
            }
            Part::Housing(n) => {
                (PartKind::RotorHousing, &self.bench.housings[n].serial, &self.shelf.housings[n])
            }
        };
        let said = match (self.unfit(part), more) {
            (Some(Unfit { why, fails: true, .. }), _) => {
                Said::Fails { with: None, why: vec![why.clone()] }
            }
            (Some(Unfit { why, cure, .. }), _) => {
                Said::LeftOut { why: why.clone(), cure: cure.clone() }
            }
            (None, Some(more)) => Said::Costs { more },
            (None, None) => self.fails(part),
        };
        Other { kind, serial: serial.clone(), id: about.id, said }
    }

    /// What the best choice with each of these parts costs more at least: by its cheapest set in one
    /// of the builds, while each of the others gets the best that it could have by itself.
    fn more_with(&self, parts: &[Part]) -> Vec<Option<Mass>> {
        let nothing = vec![None; parts.len()];
        let Some(best) = self.choice.best.as_ref().filter(|_| self.choice.without.is_empty())
        else {
            return nothing;
        };
        let wanted = &self.bench.wanted;
        // Builds that ask for the same cost the same.
        let same = |of: usize| wanted.iter().position(|other| *other == wanted[of]).unwrap_or(of);
        let mut by_itself: Vec<Mass> = Vec::with_capacity(wanted.len());
        for (of, wanted) in wanted.iter().enumerate() {
            by_itself.push(match by_itself.get(same(of)) {
                Some(known) => *known,
                None if self.bench.wanted.len() == 1 => self.choice.at_least,
                None => choose(self.stock, std::slice::from_ref(wanted), self.go_on).at_least,
            });
        }
        let apart: Mass = by_itself.iter().copied().sum();
        let mut least = nothing;
        for of in (0..wanted.len()).filter(|of| same(*of) == *of) {
            let sets = cheapest_with(self.stock, wanted, of, parts, self.go_on);
            for (least, set) in least.iter_mut().zip(sets) {
                let Some(set) = set else { continue };
                let more = (apart - by_itself[of] + set.cost() - best.cost).max(Mass::ZERO);
                *least = Some(least.map_or(more, |known: Mass| known.min(more)));
            }
        }
        least
    }

    /// Every pairing of a part that a build could ask for.
    fn pairings(&self, part: Part) -> Vec<Pairing> {
        let mut all = Vec::new();
        for place in self.bench.wanted.iter().flat_map(|wanted| &wanted.places) {
            let free = |is_in: Option<usize>, of_part: Option<usize>, stock: usize| match is_in {
                Some(only) => only..only + 1,
                None => of_part.map_or(0..stock, |only| only..only + 1),
            };
            let [rotors, housings] = self.bench.in_stock;
            let [rotor, housing] = match part {
                Part::Rotor(rotor) => [Some(rotor), None],
                Part::Housing(housing) => [None, Some(housing)],
            };
            for rotor in free(place.rotor, rotor, rotors) {
                for housing in free(place.housing, housing, housings) {
                    let p = Pairing { kind: place.kind, rotor, housing };
                    if is_in(part, p) && self.bench.fits(p) {
                        all.push(p);
                    }
                }
            }
        }
        all.sort_unstable();
        all.dedup();
        all
    }

    /// What is said of a part that no set was found with: what stands in the way where it comes
    /// nearest, unless it has a plan by itself.
    fn fails(&self, part: Part) -> Said {
        let pairings = self.pairings(part);
        let plans =
            |p: &Pairing| self.stock.at_least(*p, None).is_some() && self.stock.alone(*p).is_some();
        if pairings.iter().any(plans) {
            return Said::Alone;
        }
        let mut near: Vec<(Length, Pairing)> =
            pairings.iter().map(|p| (self.off(*p), *p)).collect();
        near.sort_by(|a, b| a.0.to_m().total_cmp(&b.0.to_m()).then(a.1.cmp(&b.1)));
        let nearest = near
            .iter()
            .take(LOOKED_AT)
            .map(|(_, p)| (self.shortfalls(*p), *p))
            .min_by(|a, b| off_by(&a.0).to_m().total_cmp(&off_by(&b.0).to_m()));
        let Some((shortfalls, p)) = nearest else {
            return Said::Fails {
                with: None,
                why: vec!["nothing is left that it could go with".to_owned()],
            };
        };
        let with = match part {
            Part::Rotor(_) => &self.bench.housings[p.housing].serial,
            Part::Housing(_) => &self.bench.rotors[p.rotor].serial,
        };
        // Of each limit once, where it is missed by most.
        let mut worst: Vec<Shortfall> = Vec::new();
        for shortfall in shortfalls {
            match worst.iter_mut().find(|known| known.limit.key() == shortfall.limit.key()) {
                Some(known) if known.by() >= shortfall.by() => {}
                Some(known) => *known = shortfall,
                None => worst.push(shortfall),
            }
        }
        let mut why: Vec<String> =
            worst.iter().take(TOLD).map(|s| phrase::shortfall(s, self.first)).collect();
        if worst.len() > TOLD {
            why.push(format!("and {} more", worst.len() - TOLD));
        }
        Said::Fails { with: Some(with.clone()), why }
    }

    /// How far the stock of a pairing is from the side clearance that is asked for.
    fn off(&self, p: Pairing) -> Length {
        let candidate = self.bench.candidate(p);
        let spec = &self.bench.inputs(p.kind).spec;
        (candidate.width_least - candidate.stock_width() - spec.side_clearance.target).abs()
    }

    fn shortfalls(&self, p: Pairing) -> Vec<Shortfall> {
        let candidate = [self.bench.candidate(p)];
        let inputs = self.bench.inputs(p.kind);
        let set = Set { rotors: &candidate, spec: &inputs.spec, least_cut: inputs.least_cut };
        plan(&set).rotors.into_iter().flat_map(|rotor| rotor.shortfalls).collect()
    }
}

/// How far something is off in all.
fn off_by(shortfalls: &[Shortfall]) -> Length {
    shortfalls.iter().map(Shortfall::by).sum()
}
