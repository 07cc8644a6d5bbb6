//! What the kernel is asked: the builds that wait, with any rotor in any housing at any place.
//!
//! Rotors are numbered through: those of the stock, then those that are in builds already; housings
//! likewise. Places are of one kind where any part would become the same in them.

use super::super::inputs::{Inputs, RotorInputs, walls};
use super::super::plan::{placing, room_holds};
use super::line::{InBuilds, Line, Unfit, asks};
use super::waits::{ChoiceError, Shelf, Waits};
use crate::build_file::Build;
use crate::build_file::model::{Housing, Rotor, Way};
use kernel::geometry::Looks;
use kernel::plan::Candidate;
use kernel::readings::Heights;
use kernel::room::Wall;
use kernel::shelf::{Pairing, Place, Wanted};
use kernel::units::{Mass, System};

/// A kind of place.
#[derive(PartialEq)]
pub(super) struct Kind {
    pub(super) line: usize,
    front: Wall,
    rear: Wall,
    looks: Looks,
}

/// The question.
pub(super) struct Bench {
    /// What builds ask.
    pub(super) lines: Vec<Line>,
    /// Kinds of places.
    pub(super) kinds: Vec<Kind>,
    /// What is wanted, build by build.
    pub(super) wanted: Vec<Wanted>,
    /// Rotors, numbered through.
    pub(super) rotors: Vec<Rotor>,
    /// Housings.
    pub(super) housings: Vec<Housing>,
    /// How many rotors and housings are of the stock.
    pub(super) in_stock: [usize; 2],
}

/// A build's line by what it asks, the number of its places, and whose parts it has.
type Known = (Build, usize, Option<usize>);

impl Bench {
    /// # Errors
    /// Where the sizes of a build make no engine, a part that is in a build has readings that
    /// disagree, or there is no rotor or no housing at all.
    pub(super) fn of(waits: &[Waits], shelf: &Shelf, first: System) -> Result<Self, ChoiceError> {
        let owned = |of: usize| waits[of].places.iter().map(move |place| (of, place));
        let all = || (0..waits.len()).flat_map(owned);
        let rotors: Vec<(usize, Rotor)> =
            all().filter_map(|(of, place)| Some((of, place.rotor.clone()?))).collect();
        let housings: Vec<(usize, Housing)> =
            all().filter_map(|(of, place)| Some((of, place.housing.clone()?))).collect();
        let in_stock = [shelf.stock.rotors.len(), shelf.stock.housings.len()];
        let none = |what: &str| {
            ChoiceError::Refused(format!("there is no {what}, neither in stock nor in a build"))
        };
        if in_stock[0] + rotors.len() == 0 {
            return Err(none("rotor"));
        }
        if in_stock[1] + housings.len() == 0 {
            return Err(none("rotor housing"));
        }
        let (mut lines, mut known): (Vec<Line>, Vec<Known>) = Default::default();
        let (mut kinds, mut wanted): (Vec<Kind>, Vec<Wanted>) = Default::default();
        let mut next = in_stock;
        for (of, waits) in waits.iter().enumerate() {
            let failed = |source| ChoiceError::Inputs { build: waits.name.clone(), source };
            let has = waits.places.iter().any(|p| p.rotor.is_some() || p.housing.is_some());
            let asked = (asks(&waits.build), waits.places.len(), has.then_some(of));
            let line = match known.iter().position(|known| *known == asked) {
                Some(line) => line,
                None => {
                    let mine = |(owner, rotor): &(usize, Rotor)| (rotor.clone(), *owner == of);
                    let rotors: Vec<_> = rotors.iter().map(mine).collect();
                    let mine =
                        |(owner, housing): &(usize, Housing)| (housing.clone(), *owner == of);
                    let housings: Vec<_> = housings.iter().map(mine).collect();
                    let taken = InBuilds { rotors: &rotors, housings: &housings };
                    lines
                        .push(Line::of(&asked.0, asked.1, (shelf, &taken), first).map_err(failed)?);
                    known.push(asked);
                    lines.len() - 1
                }
            };
            let mut places = Vec::with_capacity(waits.places.len());
            for (at, place) in waits.places.iter().enumerate() {
                let [front, rear] = walls(&waits.build, at);
                let looks = match place.gear_face {
                    Way::Front => Looks::Front,
                    Way::Rear => Looks::Rear,
                };
                let kind = Kind { line, front, rear, looks };
                let number = kinds.iter().position(|known| *known == kind);
                let number = number.unwrap_or_else(|| {
                    kinds.push(kind);
                    kinds.len() - 1
                });
                let mut take = |part: bool, which: usize| {
                    part.then(|| {
                        next[which] += 1;
                        next[which] - 1
                    })
                };
                let rotor = take(place.rotor.is_some(), 0);
                let housing = take(place.housing.is_some(), 1);
                places.push(Place { kind: number, rotor, housing });
            }
            for place in &places {
                let rotor = place.rotor.filter(|r| lines[line].unfit_rotors[*r].is_some());
                if let Some((rotor, unfit)) =
                    rotor.and_then(|r| Some((r, lines[line].unfit_rotors[r].as_ref()?)))
                {
                    let serial = &rotors[rotor - in_stock[0]].1.serial;
                    let (build, why) = (&waits.name, &unfit.why);
                    let said = format!("{build}: {serial} is in it, and {why}");
                    return Err(ChoiceError::Refused(said));
                }
            }
            wanted.push(Wanted { places, by_mass: false });
        }
        let stock = &shelf.stock;
        let mut bench = Self {
            lines,
            kinds,
            wanted,
            rotors: stock.rotors.iter().cloned().chain(rotors.into_iter().map(|r| r.1)).collect(),
            housings: stock
                .housings
                .iter()
                .cloned()
                .chain(housings.into_iter().map(|h| h.1))
                .collect(),
            in_stock,
        };
        for of in 0..bench.wanted.len() {
            let places = &bench.wanted[of].places;
            let weighed = |place: &Place| place.rotor.is_none_or(|r| bench.mass_if(r).is_some());
            bench.wanted[of].by_mass = places.len() > 1 && places.iter().all(weighed);
        }
        Ok(bench)
    }

    /// What a rotor weighs as it is.
    pub(super) fn mass_if(&self, rotor: usize) -> Option<Mass> {
        let rotor = &self.rotors[rotor];
        rotor.after.as_ref().unwrap_or(&rotor.readings).mass
    }

    /// What a kind of place asks.
    pub(super) fn inputs(&self, kind: usize) -> &Inputs {
        &self.lines[self.kinds[kind].line].inputs
    }

    /// The builds that ask what a kind of place asks.
    pub(super) fn line(&self, kind: usize) -> &Line {
        &self.lines[self.kinds[kind].line]
    }

    /// Whether both parts may go into such a place as far as that is known without a plan.
    pub(super) fn fits(&self, pairing: Pairing) -> bool {
        let line = self.line(pairing.kind);
        line.unfit_rotors[pairing.rotor].is_none() && line.unfit_housings[pairing.housing].is_none()
    }

    /// Why a rotor may go into no place of any build; `None` where there is one.
    pub(super) fn unfit_rotor(&self, rotor: usize) -> Option<&Unfit> {
        let all: Option<Vec<&Unfit>> =
            self.lines.iter().map(|line| line.unfit_rotors[rotor].as_ref()).collect();
        all?.into_iter().next()
    }

    /// The same of a housing.
    pub(super) fn unfit_housing(&self, housing: usize) -> Option<&Unfit> {
        let all: Option<Vec<&Unfit>> =
            self.lines.iter().map(|line| line.unfit_housings[housing].as_ref()).collect();
        all?.into_iter().next()
    }

    /// A pairing as a rotor in its place.
    pub(super) fn given(&self, pairing: Pairing) -> RotorInputs {
        let kind = &self.kinds[pairing.kind];
        let parts = (pairing.rotor, pairing.housing);
        self.lines[kind.line].given(parts, (&kind.front, &kind.rear), kind.looks)
    }

    /// The same ready to be planned.
    pub(super) fn candidate(&self, pairing: Pairing) -> Candidate {
        let line = self.line(pairing.kind);
        placing(&line.inputs, &self.given(pairing), &line.adjusted[pairing.rotor]).candidate()
    }

    /// Whether faces at these heights touch with their lands first between the real walls. A room
    /// that cannot be computed holds nothing.
    pub(super) fn room_holds(&self, pairing: Pairing, heights: Heights) -> bool {
        room_holds(self.inputs(pairing.kind), &self.given(pairing), heights).unwrap_or(false)
    }
}
