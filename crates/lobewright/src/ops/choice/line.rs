//! Builds that ask for the same, as kernel values with every part that may go into them.

use super::super::inputs::{InputError, Inputs, RotorInputs};
use super::super::phrase;
use super::super::plan::{AdjustedRotor, adjust, housing_seals};
use super::adopted::adopted;
use super::waits::{About, Shelf};
use crate::build_file::Build;
use crate::build_file::model::{Duty, Engine, Housing, Rotor};
use kernel::geometry::Looks;
use kernel::room::Wall;
use kernel::units::{Length, System};

/// Builds that ask for the same of any part.
pub(super) struct Line {
    /// Every rotor and every housing that may go into them: the first rotor with the first
    /// housing, and so on, the shorter list filled up.
    pub(super) inputs: Inputs,
    /// The rotors with their readings adjusted.
    pub(super) adjusted: Vec<AdjustedRotor>,
    /// Why a rotor cannot go into any of them.
    pub(super) unfit_rotors: Vec<Option<Unfit>>,
    /// Why a housing cannot.
    pub(super) unfit_housings: Vec<Option<Unfit>>,
}

/// Why a part cannot go into a build, and what would help.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Unfit {
    pub(super) why: String,
    /// Empty where nothing would.
    pub(super) cure: String,
    /// It is what the spec asks that it fails on.
    pub(super) fails: bool,
}

/// What other parts than its own depend on in a build.
pub(super) fn asks(build: &Build) -> Build {
    Build {
        name: String::new(),
        duty: Duty { heat: build.duty.heat.clone(), ..Duty::default() },
        machine_tools: Default::default(),
        housings: Vec::new(),
        side_housings: Vec::new(),
        rotors: Vec::new(),
        at_speed: Default::default(),
        balance: Default::default(),
        assembly: Default::default(),
        assembled: Default::default(),
        condition: Default::default(),
        inspected: Vec::new(),
        ..build.clone()
    }
}

/// Rotors and housings that are in builds already, each with whether it is in this one. Parts of
/// other builds keep their number and are never asked for.
pub(super) struct InBuilds<'a> {
    pub(super) rotors: &'a [(Rotor, bool)],
    pub(super) housings: &'a [(Housing, bool)],
}

/// All of a list up to a length, and its first one from there on.
fn filled<T: Clone>(list: &[T], length: usize) -> Vec<T> {
    (0..length).filter_map(|i| list.get(i).or(list.first()).cloned()).collect()
}

impl Line {
    /// Makes a line of what builds of so many places ask. There is a rotor and a housing, in stock
    /// or in a build.
    pub(super) fn of(
        asks: &Build,
        places: usize,
        (shelf, taken): (&Shelf, &InBuilds<'_>),
        first: System,
    ) -> Result<Self, InputError> {
        let mut build = asks.clone();
        let mut stock = adopted(&mut build.gauges, &shelf.stock);
        // What another build has is never asked for here: only its number is needed.
        stock.rotors.extend(taken.rotors.iter().map(|(rotor, mine)| match mine {
            true => rotor.clone(),
            false => {
                Rotor { width_gauge: None, step_gauge: None, runout_gauge: None, ..rotor.clone() }
            }
        }));
        stock.housings.extend(taken.housings.iter().map(|(housing, mine)| match mine {
            true => housing.clone(),
            false => Housing { gauge: None, ..housing.clone() },
        }));
        let most = stock.rotors.len().max(stock.housings.len());
        build.rotors = filled(&stock.rotors, most);
        build.housings = filled(&stock.housings, most);
        let inputs = Inputs::of(&build, first)?;
        let adjusted = adjust(&build, &inputs)?;
        let unfit_rotors = (0..stock.rotors.len()).map(|i| {
            let about = shelf.rotors.get(i);
            let others = i.checked_sub(shelf.rotors.len()).is_some_and(|i| !taken.rotors[i].1);
            elsewhere(others)
                .or_else(|| unfit_engine(about, &asks.engine, first))
                .or_else(|| disagrees(&adjusted[i], first))
                .or_else(|| unweighed(&stock.rotors[i], places).filter(|_| about.is_some()))
        });
        let unfit_rotors = unfit_rotors.collect();
        let unfit_housings = (0..stock.housings.len())
            .map(|i| {
                let about = shelf.housings.get(i);
                let others =
                    i.checked_sub(shelf.housings.len()).is_some_and(|i| !taken.housings[i].1);
                elsewhere(others).or_else(|| unfit_engine(about, &asks.engine, first)).or_else(
                    || unsealed(&inputs, i, &adjusted[0], first).filter(|_| about.is_some()),
                )
            })
            .collect();
        Ok(Self { inputs, adjusted, unfit_rotors, unfit_housings })
    }

    /// A rotor in a housing between these walls.
    pub(super) fn given(
        &self,
        (rotor, housing): (usize, usize),
        (front, rear): (&Wall, &Wall),
        looks: Looks,
    ) -> RotorInputs {
        let (of_rotor, of_housing) = (&self.inputs.rotors[rotor], &self.inputs.rotors[housing]);
        RotorInputs {
            before: of_rotor.before.clone(),
            after: of_rotor.after.clone(),
            gear_face: looks,
            housing: of_housing.housing.clone(),
            housing_gauge: of_housing.housing_gauge,
            front: front.clone(),
            rear: rear.clone(),
        }
    }
}

/// What another build has stays there.
fn elsewhere(others: bool) -> Option<Unfit> {
    others.then(|| Unfit {
        why: "it is in another build".to_owned(),
        cure: String::new(),
        fails: false,
    })
}

/// A part that was in engines, none of them of these sizes.
fn unfit_engine(about: Option<&About>, engine: &Engine, first: System) -> Option<Unfit> {
    let known = about?.engines.as_ref().filter(|known| !known.is_empty())?;
    if known.iter().any(|known| sizes(known) == sizes(engine)) {
        return None;
    }
    let say = |engine: &Engine| {
        format!(
            "generating radius {}, eccentricity {}",
            engine.generating_radius.as_size(first),
            engine.eccentricity.as_size(first)
        )
    };
    Some(Unfit {
        why: format!(
            "it is of another engine: {}",
            known.iter().map(say).collect::<Vec<_>>().join("; ")
        ),
        cure: String::new(),
        fails: false,
    })
}

/// A housing that the seals of the build do not fit, whichever rotor is in it.
fn unsealed(inputs: &Inputs, housing: usize, any: &AdjustedRotor, first: System) -> Option<Unfit> {
    let lines = housing_seals(inputs, &inputs.rotors[housing], any);
    let line = lines.first()?;
    Some(Unfit { why: phrase::seal_line(line, first), cure: String::new(), fails: true })
}

/// The sizes by which a part is of an engine.
fn sizes(engine: &Engine) -> [Length; 5] {
    [
        engine.generating_radius,
        engine.eccentricity,
        engine.parallel_shift,
        engine.land_radius,
        engine.rotor_tip_radius,
    ]
}

fn disagrees(rotor: &AdjustedRotor, first: System) -> Option<Unfit> {
    let suspect = rotor.now().check.suspicions.first()?.suspects.first()?;
    Some(Unfit {
        why: format!("its readings disagree by {}", suspect.error.abs().as_amount(first)),
        cure: format!("read the {} again first", suspect.station),
        fails: false,
    })
}

fn unweighed(rotor: &Rotor, places: usize) -> Option<Unfit> {
    let mass = rotor.after.as_ref().unwrap_or(&rotor.readings).mass;
    (places > 1 && mass.is_none()).then(|| Unfit {
        why: "it is not weighed, and the rotors of a set are matched by mass".to_owned(),
        cure: "weigh it".to_owned(),
        fails: false,
    })
}
