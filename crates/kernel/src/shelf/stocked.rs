//! Parts in stock with their plans: the [`Stock`] of a shop.

use super::lost::Faces;
use super::{Least, Pairing, Planned, Stock};
use crate::plan::{Candidate, CutAreas, Levels, OnePlan, Spec, plan_one};
use crate::readings::{Heights, ROUNDING_M};
use crate::units::{Density, Length, Mass};
use rayon::prelude::*;

/// A rotor in stock.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ShelfRotor {
    /// Its faces as they are.
    pub heights: Heights,
    /// Its mass as it is; anything where masses do not count.
    pub mass: Mass,
}

/// What places of a kind have in common.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ShelfKind<'a> {
    /// What is wanted.
    pub spec: &'a Spec,
    /// Thinner passes are not taken.
    pub least_cut: Length,
    /// Where cuts go.
    pub areas: CutAreas<'a>,
    /// Of the rotors' metal.
    pub density: Density,
}

/// Parts in stock.
///
/// `candidate` puts a rotor into a housing: `None` where the two may not go together at all. A
/// rotor that would be left as it is but touches outside its lands must have `touches` set.
/// `holds` looks at a plan's finished faces between the real walls.
pub struct Shelf<'a, C, H> {
    kinds: &'a [ShelfKind<'a>],
    rotors: &'a [ShelfRotor],
    /// Least width of each housing.
    housings: &'a [Length],
    candidate: C,
    holds: H,
    /// By kind, then rotor.
    faces: Vec<Vec<Faces>>,
    /// The least and the greatest land width of each rotor.
    lands: Vec<[Length; 2]>,
}

impl<'a, C, H> Shelf<'a, C, H>
where
    C: Fn(Pairing) -> Option<Candidate> + Sync,
    H: Fn(Pairing, &Candidate, &OnePlan) -> bool + Sync,
{
    /// Parts in stock, their housings by their least widths, with what puts them together and what
    /// looks at them between the real walls.
    pub fn new(
        kinds: &'a [ShelfKind<'a>],
        rotors: &'a [ShelfRotor],
        housings: &'a [Length],
        candidate: C,
        holds: H,
    ) -> Self {
        let faces = |kind: &ShelfKind<'_>| {
            rotors.par_iter().map(|rotor| Faces::new(&kind.areas, &rotor.heights)).collect()
        };
        let lands = |rotor: &ShelfRotor| {
            let widths = rotor.heights.land_width();
            [Length::min, Length::max].map(|end| widths.into_iter().fold(widths[0], end))
        };
        Self {
            lands: rotors.iter().map(lands).collect(),
            faces: kinds.iter().map(faces).collect(),
            kinds,
            rotors,
            housings,
            candidate,
            holds,
        }
    }

    /// The plan of a pairing, for itself or to match the loosest of its set.
    pub fn plan(&self, p: Pairing, loosest: Option<Length>) -> Option<(Candidate, OnePlan)> {
        let candidate = (self.candidate)(p)?;
        let kind = &self.kinds[p.kind];
        let plan = plan_one(&candidate, kind.spec, kind.least_cut, loosest)?;
        Some((candidate, plan))
    }

    /// What cuts to these levels take from a rotor at places of a kind.
    pub fn removed(&self, kind: usize, rotor: usize, levels: &Levels) -> Mass {
        self.faces[kind][rotor].removed(levels) * self.kinds[kind].density
    }

    fn planned(&self, p: Pairing, loosest: Option<Length>) -> Option<Planned> {
        let (_, plan) = self.plan(p, loosest)?;
        Some(Planned {
            clearance: plan.side_clearance,
            removed: self.removed(p.kind, p.rotor, &plan.levels),
            beside: plan.beside,
            left: plan.left,
        })
    }
}

impl<C, H> Stock for Shelf<'_, C, H>
where
    C: Fn(Pairing) -> Option<Candidate> + Sync,
    H: Fn(Pairing, &Candidate, &OnePlan) -> bool + Sync,
{
    fn kinds(&self) -> usize {
        self.kinds.len()
    }

    fn rotors(&self) -> usize {
        self.rotors.len()
    }

    fn housings(&self) -> usize {
        self.housings.len()
    }

    fn mass(&self, rotor: usize) -> Mass {
        self.rotors[rotor].mass
    }

    /// By the land as it is, and the least clearance and the least step that the spec gives.
    fn at_least(&self, p: Pairing, loosest: Option<Length>) -> Option<Least> {
        let kind = &self.kinds[p.kind];
        let rounding = Length::m(ROUNDING_M);
        let zone = kind.spec.side_clearance.zone();
        let wanted =
            loosest.map_or(zone.least, |loosest| zone.least.max(loosest - kind.spec.matching));
        let [narrowest, widest] = self.lands[p.rotor];
        let housing = self.housings[p.housing];
        // Nothing puts metal on: a land that is too narrow anywhere stays too narrow there.
        if (housing - narrowest).max(wanted) > zone.most + rounding {
            return None;
        }
        let width = housing - wanted + rounding;
        let step = kind.spec.step.zone().least - rounding;
        Some(Least {
            clearance: (housing - widest).max(wanted) - rounding,
            removed: self.faces[p.kind][p.rotor].at_least(width, step * 2.0) * kind.density,
        })
    }

    fn alone(&self, p: Pairing) -> Option<Planned> {
        self.planned(p, None)
    }

    fn brought_down(&self, p: Pairing, loosest: Length) -> Option<Planned> {
        self.planned(p, Some(loosest))
    }

    fn holds(&self, p: Pairing, loosest: Option<Length>) -> bool {
        self.plan(p, loosest).is_some_and(|(candidate, plan)| (self.holds)(p, &candidate, &plan))
    }
}
