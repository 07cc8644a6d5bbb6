//! The stock as the kernel asks for it: line by line a [`kernel::shelf::Shelf`], since what a part
//! measures depends on the build's metals and gauges.

use super::bench::Bench;
use kernel::plan::{Candidate, CutAreas, OnePlan, Spec};
use kernel::readings::{Face, Tolerance};
use kernel::shelf::{Least, Pairing, Planned, Shelf, ShelfKind, ShelfRotor, Stock};
use kernel::units::{Length, Mass};
use std::collections::BTreeSet;

/// What is lent to the kernel for one line.
pub(super) struct Lent<'a> {
    /// The kinds of places of the line, as they are numbered in the question.
    kinds: Vec<usize>,
    kind: Vec<ShelfKind<'a>>,
    rotors: Vec<ShelfRotor>,
    housings: Vec<Length>,
}

/// The specs of the lines, as their builds have them.
pub(super) fn specs(bench: &Bench) -> Vec<Spec> {
    bench.lines.iter().map(|line| line.inputs.spec).collect()
}

impl<'a> Lent<'a> {
    /// Of every line, each with its spec of these.
    pub(super) fn all(bench: &'a Bench, specs: &'a [Spec]) -> Vec<Self> {
        specs.iter().enumerate().map(|(line, spec)| Self::of(bench, line, spec)).collect()
    }

    fn of(bench: &'a Bench, number: usize, spec: &'a Spec) -> Self {
        let line = &bench.lines[number];
        let inputs = &line.inputs;
        let kinds: Vec<usize> =
            (0..bench.kinds.len()).filter(|kind| bench.kinds[*kind].line == number).collect();
        let kind = ShelfKind {
            spec,
            least_cut: inputs.least_cut,
            areas: CutAreas {
                land: &inputs.land_area,
                outside: &inputs.outside_area,
                land_radius: inputs.face.land_radius(),
                tip_radius: inputs.reading_radius,
                shape: inputs.spec.outside,
            },
            density: inputs.rotor_density,
        };
        let rotor = |rotor: usize| ShelfRotor {
            heights: line.adjusted[rotor].now().heights,
            mass: bench.mass_if(rotor).unwrap_or(Mass::ZERO),
        };
        Self {
            kind: vec![kind; kinds.len()],
            kinds,
            rotors: (0..bench.rotors.len()).map(rotor).collect(),
            housings: (0..bench.housings.len())
                .map(|housing| inputs.rotors[housing].housing.least.value())
                .collect(),
        }
    }
}

type Put<'a> = Box<dyn Fn(Pairing) -> Option<Candidate> + Sync + 'a>;
type Holds<'a> = Box<dyn Fn(Pairing, &Candidate, &OnePlan) -> bool + Sync + 'a>;

/// Parts that are not to be taken, by their numbers.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(super) struct Closed {
    pub(super) rotors: BTreeSet<usize>,
    pub(super) housings: BTreeSet<usize>,
}

impl Closed {
    fn has(&self, p: Pairing) -> bool {
        self.rotors.contains(&p.rotor) || self.housings.contains(&p.housing)
    }
}

/// The stock.
pub(super) struct InStock<'a> {
    bench: &'a Bench,
    closed: Closed,
    lines: Vec<Shelf<'a, Put<'a>, Holds<'a>>>,
    /// Of each kind of place its line, and its number there.
    at: Vec<(usize, usize)>,
}

impl<'a> InStock<'a> {
    /// What is lent, without the parts that are not to be taken.
    pub(super) fn of(bench: &'a Bench, lent: &'a [Lent<'a>], closed: Closed) -> Self {
        let mut at = vec![(0, 0); bench.kinds.len()];
        for (line, lent) in lent.iter().enumerate() {
            for (number, kind) in lent.kinds.iter().enumerate() {
                at[*kind] = (line, number);
            }
        }
        let shelf = |lent: &'a Lent<'a>| {
            let asked = |p: Pairing| Pairing { kind: lent.kinds[p.kind], ..p };
            let put: Put<'a> = Box::new(move |p| put(bench, lent.kind[0].spec, asked(p)));
            let holds: Holds<'a> =
                Box::new(move |p, _, plan| bench.room_holds(asked(p), plan.finished));
            Shelf::new(&lent.kind, &lent.rotors, &lent.housings, put, holds)
        };
        Self { bench, closed, lines: lent.iter().map(shelf).collect(), at }
    }

    /// The line of a pairing, and the pairing as that numbers it.
    fn of_line(&self, p: Pairing) -> (&Shelf<'a, Put<'a>, Holds<'a>>, Pairing) {
        let (line, kind) = self.at[p.kind];
        (&self.lines[line], Pairing { kind, ..p })
    }
}

/// A rotor in its place; nothing where the two may not go there.
fn put(bench: &Bench, spec: &Spec, p: Pairing) -> Option<Candidate> {
    if !bench.fits(p) {
        return None;
    }
    let mut candidate = bench.candidate(p);
    // One that could be left as it is is looked at between its real walls first: one that touches
    // there is cut instead.
    candidate.touches = is_near(spec, &candidate) && !bench.room_holds(p, candidate.heights);
    Some(candidate)
}

/// Whether a rotor as it is has the sizes that the spec asks for, guards aside.
fn is_near(spec: &Spec, candidate: &Candidate) -> bool {
    let heights = &candidate.heights;
    let within = |zone: Tolerance, size: Length| size >= zone.least && size <= zone.most;
    let clearance = spec.side_clearance.zone();
    let widths = heights.land_width();
    widths.iter().all(|width| within(clearance, candidate.width_least - *width))
        && Face::BOTH.iter().all(|face| {
            heights.face(*face).step().iter().all(|step| within(spec.step.zone(), *step))
        })
}

impl Stock for InStock<'_> {
    fn kinds(&self) -> usize {
        self.at.len()
    }

    fn rotors(&self) -> usize {
        self.bench.rotors.len()
    }

    fn housings(&self) -> usize {
        self.bench.housings.len()
    }

    fn mass(&self, rotor: usize) -> Mass {
        self.bench.mass_if(rotor).unwrap_or(Mass::ZERO)
    }

    fn at_least(&self, p: Pairing, loosest: Option<Length>) -> Option<Least> {
        let (line, own) = self.of_line(p);
        let open = self.bench.fits(p) && !self.closed.has(p);
        open.then(|| line.at_least(own, loosest)).flatten()
    }

    fn alone(&self, p: Pairing) -> Option<Planned> {
        let (line, own) = self.of_line(p);
        (!self.closed.has(p)).then(|| line.alone(own)).flatten()
    }

    fn brought_down(&self, p: Pairing, loosest: Length) -> Option<Planned> {
        let (line, own) = self.of_line(p);
        line.brought_down(own, loosest)
    }

    fn holds(&self, p: Pairing, loosest: Option<Length>) -> bool {
        let (line, own) = self.of_line(p);
        line.holds(own, loosest)
    }
}
