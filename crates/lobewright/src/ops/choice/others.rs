//! What is said of each part on the shelf that is not chosen.

use super::super::phrase;
use super::bench::Bench;
use super::in_stock::InStock;
use super::line::Unfit;
use super::report::{Other, Said};
use super::waits::{About, Shelf};
use kernel::plan::{Set, Shortfall, plan};
use kernel::shelf::{Choice, GoOn, Pairing, Stock, Wanted, choose};
use kernel::units::{Length, Mass, System};
use rayon::iter::{IntoParallelIterator, ParallelIterator};
use records::PartKind;

/// With how many of the other kind a part that fails is looked at more closely: those that come
/// nearest in width.
const LOOKED_AT: usize = 4;

/// So many limits of a part that fails are told.
const TOLD: usize = 2;

/// A rotor or a housing of the stock, by its number.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Part {
    Rotor(usize),
    Housing(usize),
}

impl Part {
    fn is_in(self, p: Pairing) -> bool {
        match self {
            Self::Rotor(rotor) => p.rotor == rotor,
            Self::Housing(housing) => p.housing == housing,
        }
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
    let parts: Vec<Part> =
        (0..rotors).map(Part::Rotor).chain((0..housings).map(Part::Housing)).collect();
    let alone = looked.alone();
    // Parts are looked at side by side; the order of the answers is that of the parts.
    let mut all: Vec<Other> =
        parts.into_par_iter().filter_map(|part| looked.other(part, &alone)).collect();
    all.extend(looked.shelf.left_out.iter().map(Other::from));
    all.sort_by_key(|other| other.kind != PartKind::Rotor);
    all
}

impl Looked<'_> {
    fn other(&self, part: Part, alone: &[(Wanted, Mass)]) -> Option<Other> {
        let chosen = self.choice.best.iter().flat_map(|best| &best.sets);
        if chosen.flat_map(|set| &set.places).any(|place| part.is_in(place.pairing)) {
            return None;
        }
        let (kind, serial, about, unfit): (_, _, &About, Option<&Unfit>) = match part {
            Part::Rotor(n) => (
                PartKind::Rotor,
                &self.bench.rotors[n].serial,
                &self.shelf.rotors[n],
                self.bench.unfit_rotor(n),
            ),
            Part::Housing(n) => (
                PartKind::RotorHousing,
                &self.bench.housings[n].serial,
                &self.shelf.housings[n],
                self.bench.unfit_housing(n),
            ),
        };
        let said = match unfit {
            Some(Unfit { why, fails: true, .. }) => {
                Said::Fails { with: None, why: vec![why.clone()] }
            }
            Some(Unfit { why, cure, .. }) => Said::LeftOut { why: why.clone(), cure: cure.clone() },
            None => self.said(part, alone),
        };
        Some(Other { kind, serial: serial.clone(), id: about.id, said })
    }

    fn said(&self, part: Part, alone: &[(Wanted, Mass)]) -> Said {
        let pairings = self.pairings(part);
        let plans =
            |p: &Pairing| self.stock.at_least(*p, None).is_some() && self.stock.alone(*p).is_some();
        if !pairings.iter().any(plans) {
            return self.fails(part, &pairings);
        }
        match self.more_with(part, alone) {
            Some((more, at_least)) => Said::Costs { more, at_least },
            None => Said::Alone,
        }
    }

    /// Every pairing of a part that its build could ask for.
    fn pairings(&self, part: Part) -> Vec<Pairing> {
        let mut all = Vec::new();
        for place in self.bench.wanted.iter().flat_map(|wanted| &wanted.places) {
            let free = |is_in: Option<usize>, stock: usize| match is_in {
                Some(only) => only..only + 1,
                None => 0..stock,
            };
            let [rotors, housings] = self.bench.in_stock;
            for rotor in free(place.rotor, rotors) {
                for housing in free(place.housing, housings) {
                    let p = Pairing { kind: place.kind, rotor, housing };
                    if part.is_in(p) && self.bench.fits(p) {
                        all.push(p);
                    }
                }
            }
        }
        all.sort_unstable();
        all.dedup();
        all
    }

    /// What the best choice that has a part costs more, and whether it may be more. Of several
    /// builds the part is tried in each by itself: what the others cost by themselves is the least
    /// that they cost beside it.
    fn more_with(&self, part: Part, alone: &[(Wanted, Mass)]) -> Option<(Mass, bool)> {
        let best = self.choice.best.as_ref().filter(|_| self.choice.without.is_empty())?;
        let mut least: Option<(Mass, bool)> = None;
        for (wanted, by_itself) in alone {
            let Some((cost, at_least)) = self.cost_with(part, wanted) else { continue };
            let more = cost - *by_itself;
            if least.is_none_or(|(known, _)| more < known) {
                least = Some((more, at_least));
            }
        }
        let (more, at_least) = least?;
        let apart: Mass = self.apart(alone);
        let several = self.bench.wanted.len() > 1;
        Some(((apart + more - best.cost).max(Mass::ZERO), at_least || several))
    }

    /// What all builds cost, each by itself.
    fn apart(&self, alone: &[(Wanted, Mass)]) -> Mass {
        let of = |wanted: &Wanted| {
            alone.iter().find(|(known, _)| known == wanted).map_or(Mass::ZERO, |known| known.1)
        };
        self.bench.wanted.iter().map(of).sum()
    }

    /// Builds that ask for different things, each with the least that it costs by itself.
    fn alone(&self) -> Vec<(Wanted, Mass)> {
        let mut alone: Vec<(Wanted, Mass)> = Vec::new();
        for wanted in &self.bench.wanted {
            if alone.iter().all(|(known, _)| known != wanted) {
                let choice = choose(self.stock, std::slice::from_ref(wanted), self.go_on);
                alone.push((wanted.clone(), choice.at_least));
            }
        }
        alone
    }

    /// What the best set of a build costs that has a part, and whether it may be more.
    fn cost_with(&self, part: Part, wanted: &Wanted) -> Option<(Mass, bool)> {
        let mut tried: Vec<(usize, Option<usize>, Option<usize>)> = Vec::new();
        let mut least: Option<(Mass, bool)> = None;
        for (at, place) in wanted.places.iter().enumerate() {
            let alike = (place.kind, place.rotor, place.housing);
            let open = match part {
                Part::Rotor(_) => place.rotor.is_none(),
                Part::Housing(_) => place.housing.is_none(),
            };
            if !open || tried.contains(&alike) {
                continue;
            }
            tried.push(alike);
            let mut with: Wanted = wanted.clone();
            match part {
                Part::Rotor(n) => with.places[at].rotor = Some(n),
                Part::Housing(n) => with.places[at].housing = Some(n),
            }
            let choice = choose(self.stock, &[with], self.go_on);
            let found = match (&choice.best, choice.proven) {
                (Some(best), true) => (best.cost, false),
                (None, true) => continue,
                (_, false) => (choice.at_least, true),
            };
            if least.is_none_or(|(cost, _)| found.0 < cost) {
                least = Some(found);
            }
        }
        least
    }

    /// What stands in the way of a part that no plan has.
    fn fails(&self, part: Part, pairings: &[Pairing]) -> Said {
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
