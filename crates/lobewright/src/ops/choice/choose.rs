//! The choice itself: the question goes to the kernel, the answer is planned as any build is.

use super::super::plan::plan;
use super::adopted::adopted;
use super::bench::Bench;
use super::in_stock::{Closed, InStock, Lent, specs};
use super::no_set::NoSetFor;
use super::others::{Looked, others};
use super::report::{BuildReport, ChoiceReport, PlaceReport, Put, RunnerUp, SetReport};
use super::waits::{About, ChoiceError, Shelf, Waits};
use crate::build_file::Build;
use crate::build_file::model::{Clamping, Rotor};
use kernel::shelf::{ChosenSet, GoOn, choose as chosen};
use kernel::units::{Length, Mass, System};

/// Chooses sets for the builds out of what is on the shelf. `go_on` hears now and then how far the
/// search is and ends it by saying no; what is best by then is told with how much better another
/// may be. `first` says which units its sentences put first.
///
/// # Errors
/// Where a build cannot be worked on: see [`ChoiceError`].
pub fn choose(
    waits: &[Waits],
    shelf: &Shelf,
    first: System,
    go_on: GoOn<'_>,
) -> Result<ChoiceReport, ChoiceError> {
    let bench = Bench::of(waits, shelf, first)?;
    let specs = specs(&bench);
    let lent = Lent::all(&bench, &specs);
    let stock = InStock::of(&bench, &lent, Closed::default());
    let choice = chosen(&stock, &bench.wanted, go_on);
    let mut builds: Vec<BuildReport> = waits
        .iter()
        .map(|waits| BuildReport { name: waits.name.clone(), id: waits.id, set: None, none: None })
        .collect();
    let mut assumed: Vec<String> = Vec::new();
    let mut note = |sentence: String| {
        if !assumed.contains(&sentence) {
            assumed.push(sentence);
        }
    };
    for set in choice.best.iter().flat_map(|best| &best.sets) {
        let report = planned(&bench, (&waits[set.build], shelf), set, first)?;
        report.plan.assumed.iter().cloned().for_each(&mut note);
        builds[set.build].set = Some(report);
    }
    for waits in waits {
        for sentence in &waits.assumed {
            note(match waits.id {
                _ if builds.len() == 1 => sentence.clone(),
                _ => format!("{}: {sentence}", waits.name),
            });
        }
    }
    if choice.proven {
        for build in &choice.without {
            let asked = NoSetFor {
                waits,
                shelf,
                bench: &bench,
                choice: &choice,
                build: *build,
                go_on,
                first,
            };
            builds[*build].none = Some(asked.say()?);
        }
    }
    let cost = choice.best.as_ref().map(|best| best.cost);
    let runner_up = choice.runner_up.as_ref().zip(cost).map(|(next, cost)| RunnerUp {
        more: (next.cost - cost).max(Mass::ZERO),
        proven: choice.runner_up_proven,
        sets: next.sets.iter().map(|set| (set.build, pairs(&bench, set))).collect(),
    });
    Ok(ChoiceReport {
        builds,
        cost,
        proven: choice.proven,
        stopped: choice.stopped,
        gap: choice.gap(),
        runner_up,
        others: others(&Looked {
            bench: &bench,
            stock: &stock,
            shelf,
            choice: &choice,
            go_on,
            first,
        }),
        assumed,
        counts: choice.counts,
        first,
    })
}

/// What is taken of the parts of a set that nobody said.
fn taken_of_parts(bench: &Bench, shelf: &Shelf, set: &ChosenSet) -> Vec<String> {
    let mut said = Vec::new();
    for place in &set.places {
        let (rotor, housing) = (place.pairing.rotor, place.pairing.housing);
        let parts = [
            (shelf.rotors.get(rotor), &bench.rotors[rotor].serial),
            (shelf.housings.get(housing), &bench.housings[housing].serial),
        ];
        for (about, serial) in parts {
            let Some(about) = about else { continue };
            if about.engines.as_ref().is_some_and(Vec::is_empty) {
                said.push(format!("{serial} was in no build yet: see that it is of this engine"));
            }
            said.extend(about.assumed.clone());
        }
    }
    said
}

/// Rotors of a set in their housings, from the front.
fn pairs(bench: &Bench, set: &ChosenSet) -> Vec<[String; 2]> {
    let pair = |place: &kernel::shelf::ChosenPlace| {
        let p = place.pairing;
        [bench.rotors[p.rotor].serial.clone(), bench.housings[p.housing].serial.clone()]
    };
    set.places.iter().map(pair).collect()
}

/// A build with its set in.
fn filled(waits: &Waits, shelf: &Shelf, bench: &Bench, set: &ChosenSet) -> Build {
    let mut build = waits.build.clone();
    let stock = adopted(&mut build.gauges, &shelf.stock);
    for (place, chosen) in waits.places.iter().zip(&set.places) {
        let p = chosen.pairing;
        let rotor = stock.rotors.get(p.rotor).unwrap_or(&bench.rotors[p.rotor]);
        build.rotors.push(Rotor { gear_face: place.gear_face, ..rotor.clone() });
        let housing = stock.housings.get(p.housing).unwrap_or(&bench.housings[p.housing]);
        build.housings.push(housing.clone());
    }
    build
}

/// A chosen set as its plan has it.
fn planned(
    bench: &Bench,
    (waits, shelf): (&Waits, &Shelf),
    set: &ChosenSet,
    first: System,
) -> Result<SetReport, ChoiceError> {
    let failed = |source| ChoiceError::Inputs { build: waits.name.clone(), source };
    let plan = plan(&filled(waits, shelf, bench, set), first).map_err(failed)?;
    let put = |serial: &str, about: Option<&About>| Put {
        serial: serial.to_owned(),
        id: about.and_then(|about| about.id),
        is_in: about.is_none(),
        read: about.and_then(|about| about.read.clone()),
    };
    let places: Vec<PlaceReport> = set
        .places
        .iter()
        .zip(&waits.places)
        .zip(&plan.rotors)
        .map(|((chosen, place), rotor)| {
            let p = chosen.pairing;
            let steps =
                [rotor.plan.finished.gear.step(), rotor.plan.finished.plain.step()].concat();
            PlaceReport {
                rotor: put(&rotor.serial, shelf.rotors.get(p.rotor)),
                housing: put(&rotor.housing, shelf.housings.get(p.housing)),
                gear_face: place.gear_face,
                clamp_up: match bench.housings[p.housing].state {
                    Clamping::Free { clamp_up, clamp_up_u } => Some([clamp_up, clamp_up_u]),
                    Clamping::Clamped => None,
                },
                side_clearance: rotor.plan.side_clearance,
                step: steps.into_iter().fold(Length::ZERO, Length::max),
                removed: rotor.removed(),
                mass_after: rotor.mass.map(|mass| mass - rotor.removed()),
            }
        })
        .collect();
    let warned: Vec<String> = plan
        .rotors
        .iter()
        .flat_map(|rotor| rotor.warnings.iter().map(|said| format!("{}: {said}", rotor.serial)))
        .collect();
    let masses: Option<Vec<Mass>> = places.iter().map(|place| place.mass_after).collect();
    let mismatch = masses.filter(|masses| masses.len() > 1).map(|masses| {
        let least = masses.iter().copied().fold(masses[0], Mass::min);
        masses.iter().copied().fold(masses[0], Mass::max) - least
    });
    Ok(SetReport {
        removed: places.iter().map(|place| place.removed).sum(),
        mismatch,
        mind: taken_of_parts(bench, shelf, set).into_iter().chain(warned).collect(),
        places,
        plan: Box::new(plan),
    })
}
