//! Why a build gets no set, and what would give it one: a part to be bought, or a limit of its spec
//! to be relaxed. Each is tried by itself, and what is told was found to give a set.

use super::bench::Bench;
use super::in_stock::{Closed, InStock, Lent, specs};
use super::report::NoSet;
use super::waits::{About, ChoiceError, Shelf, Waits};
use crate::build_file::model::{Clamping, Housing, Rotor, RotorReadings, Way};
use kernel::plan::Spec;
use kernel::readings::TIPS;
use kernel::shelf::{Choice, GoOn, Pairing, Stock, Wanted, choose};
use kernel::units::{Length, Mass, System};

/// New parts are tried at sizes this far apart, and from so many below to so many above the size
/// that would be right at once: metal can be taken off a rotor, not put on.
const APART: Length = Length::um(5.0);
const HOUSINGS: [u32; 2] = [40, 40];
const ROTORS: [u32; 2] = [30, 90];
/// Relaxed limits are told to this.
const TOLD_TO: Length = Length::um(1.0);
/// The serial of a part that would be bought; no part has it, since it is no name.
const NEW: &str = "\u{0}new";

/// A figure of the spec that may be relaxed: what it is called, how far at the most, and how.
struct Figure {
    called: &'static str,
    most: Length,
    of: fn(&mut Spec) -> &mut Length,
}

/// Single figures in the order in which a builder would think of them.
const FIGURES: [Figure; 5] = [
    Figure { called: "match", most: Length::um(100.0), of: |spec| &mut spec.matching },
    Figure {
        called: "the tolerance of the side clearance",
        most: Length::um(100.0),
        of: |spec| &mut spec.side_clearance.tolerance,
    },
    Figure {
        called: "the tolerance of the step",
        most: Length::um(100.0),
        of: |spec| &mut spec.step.tolerance,
    },
    Figure {
        called: "land_cut_limit",
        most: Length::um(500.0),
        of: |spec| &mut spec.land_cut_limit,
    },
    Figure { called: "tip_cut_limit", most: Length::um(800.0), of: |spec| &mut spec.tip_cut_limit },
];

/// A build without a set.
pub(super) struct NoSetFor<'a> {
    pub(super) waits: &'a [Waits],
    pub(super) shelf: &'a Shelf,
    pub(super) bench: &'a Bench,
    pub(super) choice: &'a Choice,
    pub(super) build: usize,
    pub(super) go_on: GoOn<'a>,
    pub(super) first: System,
}

impl NoSetFor<'_> {
    /// What limits, and what would help.
    ///
    /// # Errors
    /// As the choice itself.
    pub(super) fn say(&self) -> Result<NoSet, ChoiceError> {
        let taken = self.taken();
        let specs = specs(self.bench);
        let mut none = NoSet { limits: self.limits(&specs, &taken), cures: Vec::new() };
        let others_take = taken != Closed::default()
            && self.is_set(&specs, &Closed::default(), &self.bench.wanted[self.build]);
        if others_take {
            none.limits.insert(
                0,
                "the other builds take parts that it needs; by itself it has a set".to_owned(),
            );
        }
        none.cures.extend(self.part_to_buy()?);
        none.cures.extend(self.relaxed(&specs, &taken));
        if none.cures.is_empty() {
            none.cures.push(
                "no single part and no single figure of the spec: more than one of them is lacking"
                    .to_owned(),
            );
        }
        Ok(none)
    }

    /// Parts that the other builds get.
    fn taken(&self) -> Closed {
        let mut closed = Closed::default();
        let [rotors, housings] = self.bench.in_stock;
        let sets = self.choice.best.iter().flat_map(|best| &best.sets);
        for place in sets.flat_map(|set| &set.places) {
            let p = place.pairing;
            closed.rotors.extend(Some(p.rotor).filter(|rotor| *rotor < rotors));
            closed.housings.extend(Some(p.housing).filter(|housing| *housing < housings));
        }
        closed
    }

    fn is_set(&self, specs: &[Spec], closed: &Closed, wanted: &Wanted) -> bool {
        is_set(self.bench, specs, closed, wanted, self.go_on)
    }

    /// What is lacking.
    fn limits(&self, specs: &[Spec], taken: &Closed) -> Vec<String> {
        let lent = Lent::all(self.bench, specs);
        let stock = InStock::of(self.bench, &lent, taken.clone());
        let wanted = &self.bench.wanted[self.build];
        let [rotors, housings] = self.bench.in_stock;
        let plans = |p: Pairing| stock.at_least(p, None).is_some() && stock.alone(p).is_some();
        // Which parts have a plan with any other in any place.
        let mut can =
            [vec![false; self.bench.rotors.len()], vec![false; self.bench.housings.len()]];
        let mut stuck: Vec<String> = Vec::new();
        for (at, place) in wanted.places.iter().enumerate() {
            let free = |is_in: Option<usize>, stock: usize| match is_in {
                Some(only) => only..only + 1,
                None => 0..stock,
            };
            let mut any = false;
            for rotor in free(place.rotor, rotors) {
                for housing in free(place.housing, housings) {
                    if plans(Pairing { kind: place.kind, rotor, housing }) {
                        (can[0][rotor], can[1][housing], any) = (true, true, true);
                    }
                }
            }
            if !any {
                let is_in: Vec<&str> = [
                    place.rotor.map(|rotor| self.bench.rotors[rotor].serial.as_str()),
                    place.housing.map(|housing| self.bench.housings[housing].serial.as_str()),
                ]
                .into_iter()
                .flatten()
                .collect();
                if !is_in.is_empty() {
                    stuck.push(format!(
                        "nothing on the shelf goes with {}, which is in place {}",
                        is_in.join(" and "),
                        at + 1
                    ));
                }
            }
        }
        let mut said = stuck;
        let count = |can: &[bool], stock: usize| can[..stock].iter().filter(|can| **can).count();
        let lists = [
            ("rotor", wanted.places.iter().filter(|p| p.rotor.is_none()).count(), &can[0], rotors),
            (
                "rotor housing",
                wanted.places.iter().filter(|p| p.housing.is_none()).count(),
                &can[1],
                housings,
            ),
        ];
        for (what, open, can, stock) in lists {
            let able = count(can, stock);
            if able < open {
                let several = |count: usize| if count == 1 { "" } else { "s" };
                said.push(format!(
                    "{open} {what}{} {} wanted, and {able} of the {stock} on the shelf can be \
                     planned: below stands what each fails on",
                    several(open),
                    if open == 1 { "is" } else { "are" },
                ));
            }
        }
        if said.is_empty() {
            let spec = specs[self.bench.kinds[wanted.places[0].kind].line];
            said.push(format!(
                "enough parts can be planned each by itself, but not together: side clearances of \
                 no such set come within match, {}",
                spec.matching.as_amount(self.first)
            ));
        }
        said
    }

    /// The least that each figure of the spec would have to be relaxed, alone.
    fn relaxed(&self, specs: &[Spec], taken: &Closed) -> Vec<String> {
        let wanted = &self.bench.wanted[self.build];
        let line = self.bench.kinds[wanted.places[0].kind].line;
        let mut said = Vec::new();
        for figure in &FIGURES {
            if figure.called == "match" && wanted.places.len() < 2 {
                continue;
            }
            let with = |value: Length| {
                let mut specs = specs.to_vec();
                *(figure.of)(&mut specs[line]) = value;
                specs
            };
            let holds = |value: Length| self.is_set(&with(value), taken, wanted);
            let now = *(figure.of)(&mut specs[line].clone());
            // In whole steps from what it is now: the least that was tried and holds.
            let (mut no, mut yes) = (0, (figure.most / TOLD_TO).round() as u32);
            let at = |steps: u32| now + TOLD_TO * f64::from(steps);
            if !holds(at(yes)) {
                continue;
            }
            while yes - no > 1 {
                let middle = no + (yes - no) / 2;
                if holds(at(middle)) { yes = middle } else { no = middle }
            }
            said.push(format!(
                "{} of {} instead of {}",
                figure.called,
                at(yes).as_amount(self.first),
                now.as_amount(self.first)
            ));
        }
        said
    }

    /// Between which sizes one new part would give a set.
    fn part_to_buy(&self) -> Result<Vec<String>, ChoiceError> {
        let wanted = &self.bench.wanted[self.build];
        let spec = &specs(self.bench)[self.bench.kinds[wanted.places[0].kind].line];
        let mut said = Vec::new();
        if wanted.places.iter().any(|place| place.housing.is_none()) {
            let about = middle(self.bench.rotors.iter().map(|r| r.readings.land_width[0]));
            let sizes = about.map(|about| around(about + spec.side_clearance.target, HOUSINGS));
            if let Some([least, most]) = self.works(sizes.unwrap_or_default(), housing_of)? {
                said.push(format!(
                    "a rotor housing from {} to {} wide, clamped",
                    least.as_size(self.first),
                    most.as_size(self.first)
                ));
            }
        }
        if wanted.places.iter().any(|place| place.rotor.is_none()) {
            let about = middle(self.bench.housings.iter().map(|h| h.width[0]));
            let sizes = about.map(|about| around(about - spec.side_clearance.target, ROTORS));
            let mass = middle(self.bench.rotors.iter().filter_map(|r| r.readings.mass));
            let step = spec.step.target;
            let new = |width: Length| rotor_of(width, step, mass);
            if let Some([least, most]) = self.works(sizes.unwrap_or_default(), new)? {
                said.push(format!(
                    "a rotor with square lands from {} to {} over both, stepped {} on each face",
                    least.as_size(self.first),
                    most.as_size(self.first),
                    step.as_amount(self.first)
                ));
            }
        }
        Ok(said)
    }

    /// Of sizes in their order those from which to which a new part gives a set: the longest row of
    /// them in which each one does.
    fn works(
        &self,
        sizes: Vec<Length>,
        new: impl Fn(Length) -> New,
    ) -> Result<Option<[Length; 2]>, ChoiceError> {
        let mut shelf = self.shelf.clone();
        let [old_rotors, old_housings] = self.bench.in_stock;
        for (number, size) in sizes.iter().enumerate() {
            match new(*size) {
                New::Rotor(mut rotor) => {
                    rotor.serial = format!("{NEW}{number}");
                    shelf.stock.rotors.push(*rotor);
                    shelf.rotors.push(About::default());
                }
                New::Housing(mut housing) => {
                    housing.serial = format!("{NEW}{number}");
                    shelf.stock.housings.push(*housing);
                    shelf.housings.push(About::default());
                }
            }
        }
        let bench = Bench::of(self.waits, &shelf, self.first)?;
        let specs = specs(&bench);
        let [rotors, housings] = bench.in_stock;
        let holds = |number: usize| {
            let mut closed = self.taken();
            closed.rotors.extend((old_rotors..rotors).filter(|n| *n != old_rotors + number));
            closed
                .housings
                .extend((old_housings..housings).filter(|n| *n != old_housings + number));
            is_set(&bench, &specs, &closed, &bench.wanted[self.build], self.go_on)
        };
        let works: Vec<bool> = (0..sizes.len()).map(holds).collect();
        let mut best: Option<(usize, usize)> = None;
        let mut from = 0;
        for end in 0..=works.len() {
            if end == works.len() || !works[end] {
                if end > from && best.is_none_or(|(a, b)| end - from > b - a) {
                    best = Some((from, end));
                }
                from = end + 1;
            }
        }
        Ok(best.map(|(from, end)| [sizes[from], sizes[end - 1]]))
    }
}

/// A part that would be bought.
enum New {
    Rotor(Box<Rotor>),
    Housing(Box<Housing>),
}

/// Whether a build has a set with these specs and without these parts.
fn is_set(
    bench: &Bench,
    specs: &[Spec],
    closed: &Closed,
    wanted: &Wanted,
    go_on: GoOn<'_>,
) -> bool {
    let lent = Lent::all(bench, specs);
    let stock = InStock::of(bench, &lent, closed.clone());
    choose(&stock, std::slice::from_ref(wanted), go_on).best.is_some()
}

fn housing_of(width: Length) -> New {
    New::Housing(Box::new(Housing {
        serial: String::new(),
        state: Clamping::Clamped,
        width: vec![width],
        gauge: None,
        temperature: None,
        temperature_u: None,
    }))
}

fn rotor_of(width: Length, step: Length, mass: Option<Mass>) -> New {
    New::Rotor(Box::new(Rotor {
        serial: String::new(),
        gear_face: Way::Rear,
        readings: RotorReadings {
            land_width: [width; TIPS],
            gear_step: [step; TIPS],
            plain_step: [step; TIPS],
            tip_width: None,
            gear_runout: None,
            plain_runout: None,
            mass,
            temperature: None,
            temperature_u: None,
        },
        width_gauge: None,
        step_gauge: None,
        runout_gauge: None,
        squareness_u: None,
        after: None,
    }))
}

/// The middle one of some sizes.
fn middle<T: PartialOrd>(sizes: impl Iterator<Item = T>) -> Option<T> {
    let mut sizes: Vec<T> = sizes.collect();
    sizes.sort_by(|a, b| a.partial_cmp(b).unwrap_or(std::cmp::Ordering::Equal));
    let half = sizes.len() / 2;
    (half < sizes.len()).then(|| sizes.swap_remove(half))
}

/// Sizes to try, the least first, in whole steps.
fn around(size: Length, [below, above]: [u32; 2]) -> Vec<Length> {
    let least = (size / APART).round() - f64::from(below);
    (0..=below + above).map(|step| APART * (least + f64::from(step))).collect()
}
