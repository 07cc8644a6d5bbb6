//! From a build's readings to its cut plan; and, where readings after cutting are there, the
//! re-inspection: measured against planned, and what a second cut would be.

use super::inputs::{InputError, Inputs, RotorInputs};
use super::phrase;
use crate::build_file::Build;
use kernel::geometry::Looks;
use kernel::plan::{
    Candidate, CutAreas, Guards, Method, NearbySpec, Placing, RotorPlan, Set, SetPlan, Shop,
    SizeVerdict, Spec, measured_verdicts, plan as plan_set, worst,
};
use kernel::readings::{Adjusted, Estimate, Face, Heights, HousingWidth, TIPS, Verdict, guard};
use kernel::room::{Gap, Room, RoomModel, RoomResult, TiltLimits, Widths};
use kernel::room::{ORBIT_PLACES, RING_POINTS};
use kernel::seals::{FinishedForSeals, SealLine, report};
use kernel::units::{Length, Mass, System};
use kernel::window::{Window, window};

/// Directions in which the largest tilt is looked for.
const TILT_DIRECTIONS: usize = 36;

/// Name of the limit that readings are when they disagree.
pub const READINGS: &str = "readings";

/// The plan of a build.
#[derive(Debug, Clone)]
pub struct PlanReport {
    /// Name of the build.
    pub build: String,
    /// Name of its spec.
    pub spec_name: String,
    /// The spec.
    pub spec: Spec,
    /// What the file left out.
    pub assumed: Vec<String>,
    /// Whether every rotor has a plan and they match.
    pub feasible: bool,
    /// How sizes were found.
    pub method: Method,
    /// What stands in the way.
    pub limiting: Vec<Limiting>,
    /// How far side clearances differ.
    pub spread: Length,
    /// What is said of that.
    pub match_verdict: Verdict,
    /// Specs that would work, least change first.
    pub nearby: Vec<NearbySpec>,
    /// The rotors, from the front.
    pub rotors: Vec<RotorReport>,
    /// Which units its sentences put first.
    pub(super) first: System,
    /// Geometry for the pictures.
    pub(super) inputs: Inputs,
}

/// Something that stands in the way of a plan.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Limiting {
    /// Whose; `None`: of the set.
    pub serial: Option<String>,
    /// The limit's name: a key of the file where it is one.
    pub limit: &'static str,
    /// What is, and what is allowed.
    pub detail: String,
}

/// The plan of one rotor.
#[derive(Debug, Clone)]
pub struct RotorReport {
    /// Its serial.
    pub serial: String,
    /// Serial of its housing.
    pub housing: String,
    /// Which way its gear face looks.
    pub gear_face: Looks,
    /// Its faces as they are now: after cutting where that was measured.
    pub now: Adjusted,
    /// Width of its housing.
    pub width: HousingWidth,
    /// What it becomes; of a rotor that is not planned, as it is.
    pub plan: RotorPlan,
    /// Whether there is a plan for it.
    pub planned: bool,
    /// What is said of it.
    pub verdict: Verdict,
    /// Measured against planned, where it was measured after its cut.
    pub measured: Option<Measured>,
    /// Mass before, where the file has it.
    pub mass: Option<Mass>,
    /// Mass that the plan removes.
    pub removed: Mass,
    /// The room it will have.
    pub room: RoomResult,
    /// The same room, to be asked more.
    rooms: Room,
    /// Least gap at each tip at 20 °C, as it is; empty where its lands jam.
    pub(super) cold_before: Vec<Gap>,
    /// The same as it will be.
    pub(super) cold_after: Vec<Gap>,
    /// Why its step is or is not enough, in one sentence.
    pub explained: String,
    /// Its seals.
    pub seals: Vec<SealLine>,
    /// Its window.
    pub window: Window,
}

impl RotorReport {
    /// How far it may tilt in each direction, in the state and at the place where the least gap
    /// is, with the numbers of that state and place. `None` where the lands jam.
    #[must_use]
    pub fn tilt_at_worst(&self) -> Option<(usize, usize, TiltLimits)> {
        let (state, place) = worst_place(&self.room)?;
        let limits = self.rooms.tilt_limits(state, place, TILT_DIRECTIONS).ok()?;
        Some((state, place, limits))
    }
}

/// A rotor measured after its cut.
#[derive(Debug, Clone)]
pub struct Measured {
    /// Its faces before the cut.
    pub before: Adjusted,
    /// What had been planned for it.
    pub planned: RotorPlan,
    /// What is said of each measured size.
    pub sizes: Vec<SizeVerdict>,
    /// Mass after the cut as the scale read it.
    pub mass: Option<Mass>,
}

/// Plans a build. `first` says which units its sentences put first.
///
/// # Errors
/// [`InputError`] when the sizes of the engine make no engine or no room.
pub fn plan(build: &Build, first: System) -> Result<PlanReport, InputError> {
    let inputs = Inputs::of(build)?;
    let adjusted = adjust(build, &inputs)?;
    let now: Vec<&Adjusted> =
        adjusted.iter().map(|a| a.after.as_ref().unwrap_or(&a.before)).collect();
    let candidates: Vec<Candidate> = (0..now.len())
        .map(|i| placing(&inputs, &inputs.rotors[i], &adjusted[i]).candidate())
        .collect();
    let readable: Vec<bool> = now.iter().map(|a| a.check.suspicions.is_empty()).collect();
    let chosen = |all: &[Candidate]| -> Vec<Candidate> {
        all.iter().zip(&readable).filter(|(_, ok)| **ok).map(|(c, _)| c.clone()).collect()
    };
    let planned = solve(&inputs, &chosen(&candidates));
    let originals = original_plans(&inputs, &adjusted);
    let mut limiting = limits(build, &planned, &readable, &now, first);
    let mut plans = planned.rotors.iter();
    let mut rotors = Vec::with_capacity(now.len());
    for (i, candidate) in candidates.iter().enumerate() {
        let plan = if readable[i] { plans.next().cloned() } else { None };
        let unplanned = plan.is_none();
        // A rotor whose readings disagree is shown as it was read, and nothing is said of it.
        let plan = plan.unwrap_or_else(|| as_it_is(&inputs, candidate));
        let place = Place { index: i, candidate, adjusted: &adjusted[i], unplanned };
        let mut report = rotor_report(build, &inputs, &place, plan, first)?;
        if let (Some(measured), Some(original)) = (&mut report.measured, &originals) {
            measured.planned = original[i].clone();
        }
        rotors.push(report);
    }
    if planned.mismatch {
        limiting.push(phrase::mismatch(&planned, &inputs.spec, first));
    }
    Ok(PlanReport {
        build: build.name.clone(),
        spec_name: build.spec.name.clone(),
        spec: inputs.spec,
        assumed: inputs.assumed.sentences().to_vec(),
        feasible: planned.feasible && readable.iter().all(|ok| *ok),
        method: planned.method,
        limiting,
        spread: planned.spread,
        match_verdict: planned.match_verdict,
        nearby: planned.nearby,
        rotors,
        first,
        inputs,
    })
}

/// A rotor's readings, adjusted.
struct AdjustedRotor {
    before: Adjusted,
    after: Option<Adjusted>,
}

fn adjust(build: &Build, inputs: &Inputs) -> Result<Vec<AdjustedRotor>, InputError> {
    let named = |index: usize, source| InputError::Readings {
        rotor: build.rotors[index].serial.clone(),
        source,
    };
    inputs
        .rotors
        .iter()
        .enumerate()
        .map(|(i, rotor)| {
            Ok(AdjustedRotor {
                before: rotor.before.adjust().map_err(|source| named(i, source))?,
                after: match &rotor.after {
                    Some(after) => Some(after.adjust().map_err(|source| named(i, source))?),
                    None => None,
                },
            })
        })
        .collect()
}

fn solve(inputs: &Inputs, rotors: &[Candidate]) -> SetPlan {
    plan_set(&Set { rotors, spec: &inputs.spec, least_cut: inputs.least_cut })
}

/// The plans from before the cut, where anything was measured after it.
fn original_plans(inputs: &Inputs, adjusted: &[AdjustedRotor]) -> Option<Vec<RotorPlan>> {
    adjusted.iter().any(|a| a.after.is_some()).then(|| {
        let candidates: Vec<Candidate> = adjusted
            .iter()
            .zip(&inputs.rotors)
            .map(|(a, rotor)| {
                let first = AdjustedRotor { before: a.before.clone(), after: None };
                placing(inputs, rotor, &first).candidate()
            })
            .collect();
        solve(inputs, &candidates).rotors
    })
}

/// A rotor alone and uncut, for one that is not planned.
fn as_it_is(inputs: &Inputs, candidate: &Candidate) -> RotorPlan {
    let mut plan = solve(inputs, std::slice::from_ref(candidate)).rotors.remove(0);
    plan.finished = candidate.heights;
    plan.cut = kernel::plan::Cut::default();
    plan.levels = [None; 4];
    plan.sizes = measured_verdicts(candidate, &inputs.spec, |_, _| Length::ZERO);
    let widths = candidate.heights.land_width();
    let narrowest = widths.into_iter().fold(widths[0], Length::min);
    plan.land_width = widths.into_iter().fold(widths[0], Length::max);
    plan.step_needed = candidate.step_needed_cold(narrowest);
    (plan.step_needed_hot, plan.governing) = candidate.step_needed_at(narrowest);
    plan.side_clearance = candidate.width_least - plan.land_width;
    plan
}

/// What of a rotor is known before it is put in its place.
fn placing<'a>(inputs: &'a Inputs, rotor: &RotorInputs, adjusted: &AdjustedRotor) -> Placing<'a> {
    let gauges = adjusted.after.as_ref().and(rotor.after.as_ref()).unwrap_or(&rotor.before);
    let guards = Shop {
        capability: inputs.capability,
        width_gauge: gauges.width_gauge,
        step_gauge: gauges.step_gauge,
        housing_gauge: rotor.housing_gauge,
        clamp_up_uncertainty: rotor.clamp_up_uncertainty,
    }
    .guards();
    let now = adjusted.after.as_ref().unwrap_or(&adjusted.before);
    let [front, rear] = rotor.tracks();
    Placing {
        heights: now.heights,
        taken: taken(adjusted),
        width_least: rotor.housing.least.value(),
        width_greatest: rotor.housing.greatest.value(),
        waist: inputs.waist,
        land_radius: inputs.face.land_radius(),
        tip_radius: inputs.face.rotor_tip_radius(),
        front,
        rear,
        rotor_expansion: inputs.rotor_expansion,
        housing_expansion: inputs.housing_expansion,
        states: &inputs.states,
        seals: &inputs.seals,
        seal_limits: &inputs.seal_limits,
        reserves: inputs.reserves,
        guards,
        guards_now: match &adjusted.after {
            Some(after) => measured_guards(after, &rotor.housing),
            None => guards,
        },
    }
}

/// Deepest cut so far in gear land, plain land, gear tips and plain tips.
fn taken(adjusted: &AdjustedRotor) -> [Length; 4] {
    let Some(after) = &adjusted.after else { return [Length::ZERO; 4] };
    let deepest = |before: &[Length; TIPS], after: &[Length; TIPS]| {
        (0..TIPS).map(|k| before[k] - after[k]).fold(Length::ZERO, Length::max)
    };
    let (before, after) = (&adjusted.before.heights, &after.heights);
    [
        deepest(&before.gear.land, &after.gear.land),
        deepest(&before.plain.land, &after.plain.land),
        deepest(&before.gear.tip, &after.gear.tip),
        deepest(&before.plain.tip, &after.plain.tip),
    ]
}

fn clearance(width: &HousingWidth, rotor: &Adjusted, tip: usize) -> Estimate {
    width.least.minus(&rotor.land_width(tip))
}

fn measured_guard(
    width: &HousingWidth,
    rotor: &Adjusted,
    face: Option<Face>,
    tip: usize,
) -> Length {
    guard(match face {
        None => clearance(width, rotor, tip).uncertainty(),
        Some(face) => rotor.step(face, tip).uncertainty(),
    })
}

/// The widest guards of a rotor's measured sizes.
fn measured_guards(rotor: &Adjusted, width: &HousingWidth) -> Guards {
    let widest = |faces: &[Option<Face>]| {
        faces
            .iter()
            .flat_map(|face| (0..TIPS).map(|tip| measured_guard(width, rotor, *face, tip)))
            .fold(Length::ZERO, Length::max)
    };
    let clearance = widest(&[None]);
    Guards {
        clearance,
        step: widest(&[Some(Face::Gear), Some(Face::Plain)]),
        matching: clearance * std::f64::consts::SQRT_2,
    }
}

fn limits(
    build: &Build,
    planned: &SetPlan,
    readable: &[bool],
    now: &[&Adjusted],
    first: System,
) -> Vec<Limiting> {
    let mut found = Vec::new();
    let mut plans = planned.rotors.iter();
    for (i, rotor) in build.rotors.iter().enumerate() {
        if !readable[i] {
            found.extend(now[i].check.suspicions.iter().map(|suspicion| Limiting {
                serial: Some(rotor.serial.clone()),
                limit: READINGS,
                detail: phrase::suspicion(suspicion, first),
            }));
            continue;
        }
        let Some(plan) = plans.next() else { continue };
        found.extend(plan.shortfalls.iter().map(|shortfall| Limiting {
            serial: Some(rotor.serial.clone()),
            limit: shortfall.limit.key(),
            detail: phrase::shortfall(shortfall, first),
        }));
    }
    found
}

struct Place<'a> {
    index: usize,
    candidate: &'a Candidate,
    adjusted: &'a AdjustedRotor,
    /// Its readings disagree.
    unplanned: bool,
}

fn rotor_report(
    build: &Build,
    inputs: &Inputs,
    place: &Place<'_>,
    plan: RotorPlan,
    first: System,
) -> Result<RotorReport, InputError> {
    let (rotor, adjusted) = (&build.rotors[place.index], place.adjusted);
    let given = &inputs.rotors[place.index];
    let now = adjusted.after.as_ref().unwrap_or(&adjusted.before);
    let failed = |source| InputError::Room { rotor: rotor.serial.clone(), source };
    let room = Room::new(room_model(inputs, given, plan.finished)).map_err(failed)?;
    let as_it_is = Room::new(room_model(inputs, given, now.heights)).map_err(failed)?;
    let result = room.solve().map_err(failed)?;
    let [cold_before, cold_after] =
        [as_it_is.tip_gaps(0, 0).map_err(failed)?, room.tip_gaps(0, 0).map_err(failed)?];
    let explained = room.explain(&rotor.serial, &result, first);
    let areas = CutAreas {
        land: &inputs.land_area,
        outside: &inputs.outside_area,
        land_radius: inputs.face.land_radius(),
        tip_radius: inputs.face.rotor_tip_radius(),
        shape: inputs.spec.outside,
    };
    let removed = areas.removed(&now.heights, &plan.levels) * inputs.rotor_density;
    let measured = adjusted.after.as_ref().map(|after| Measured {
        before: adjusted.before.clone(),
        planned: plan.clone(),
        sizes: measured_verdicts(place.candidate, &inputs.spec, |face, tip| {
            measured_guard(&given.housing, after, face, tip)
        }),
        mass: rotor.after.as_ref().and_then(|after| after.mass),
    });
    let verdict = match &measured {
        _ if place.unplanned => Verdict::NotProven,
        Some(measured) => worst(&measured.sizes),
        None => plan.verdict,
    };
    Ok(RotorReport {
        serial: rotor.serial.clone(),
        housing: build.housings[place.index].serial.clone(),
        gear_face: given.gear_face,
        width: given.housing.clone(),
        planned: !place.unplanned && plan.shortfalls.is_empty(),
        verdict,
        mass: measured.as_ref().and_then(|m| m.mass).or(rotor.readings.mass),
        removed,
        room: result,
        rooms: room,
        explained,
        cold_before,
        cold_after,
        seals: seal_lines(inputs, given, adjusted, &plan),
        window: window(place.candidate, inputs.spec.side_clearance, inputs.spec.step),
        now: now.clone(),
        measured,
        plan,
    })
}

fn room_model(inputs: &Inputs, rotor: &RotorInputs, heights: Heights) -> RoomModel {
    let trochoid = &inputs.trochoid;
    RoomModel {
        heights,
        gear_face_looks: rotor.gear_face,
        land_radius: inputs.face.land_radius(),
        tip_radius: inputs.face.rotor_tip_radius(),
        reading_radius: None,
        outside: inputs.spec.outside,
        outline: inputs.outline.clone(),
        generating_radius: trochoid.generating_radius(),
        eccentricity: trochoid.eccentricity(),
        parallel_shift: trochoid.parallel_shift(),
        width: Widths {
            least: rotor.housing.least.value(),
            greatest: rotor.housing.greatest.value(),
        },
        front: rotor.front.clone(),
        rear: rotor.rear.clone(),
        rotor_expansion: inputs.rotor_expansion,
        housing_expansion: inputs.housing_expansion,
        states: inputs.states,
        orbit_places: ORBIT_PLACES,
        ring_points: RING_POINTS,
    }
}

/// Numbers of the state and of the place on the orbit where the least gap is.
fn worst_place(result: &RoomResult) -> Option<(usize, usize)> {
    result
        .states
        .iter()
        .enumerate()
        .flat_map(|(s, state)| state.places.iter().enumerate().map(move |(p, place)| (s, p, place)))
        .filter_map(|(s, p, place)| Some((s, p, place.gaps.as_ref()?.least.as_ref()?.gap)))
        .min_by(|a, b| a.2.to_m().total_cmp(&b.2.to_m()))
        .map(|(s, p, _)| (s, p))
}

/// Seals in the state in which their gaps are greatest.
fn seal_lines(
    inputs: &Inputs,
    rotor: &RotorInputs,
    adjusted: &AdjustedRotor,
    plan: &RotorPlan,
) -> Vec<SealLine> {
    let least = |values: [Length; TIPS]| values.into_iter().fold(values[0], Length::min);
    let steps = [plan.finished.gear.step(), plan.finished.plain.step()].concat();
    let earlier = taken(adjusted);
    let lands = Face::BOTH.map(|face| {
        let cut = plan.cut.face(face).land.into_iter().fold(Length::ZERO, Length::max);
        cut + earlier[usize::from(face == Face::Plain)]
    });
    let finished = FinishedForSeals {
        housing: [rotor.housing.least.value(), rotor.housing.greatest.value()],
        land_width: least(plan.finished.land_width()),
        step: steps.into_iter().fold(Length::ZERO, Length::max),
        tip_width: least(plan.finished.tip_width()),
        land_cut: lands[0].max(lands[1]),
    };
    let placing = placing(inputs, rotor, adjusted);
    let per_state = inputs.states.iter().map(|state| {
        report(&inputs.seals, &inputs.seal_limits, &placing.sealed_in(state), &finished)
    });
    per_state
        .reduce(|worst, next| worst.into_iter().zip(next).map(|(a, b)| a.worse(b)).collect())
        .unwrap_or_default()
}
