//! From a build's readings to its cut plan; and, where readings after cutting are there, the
//! re-inspection: measured against planned, and what a second cut would be.

mod placed;
mod rotor;

use super::inputs::{InputError, Inputs};
use super::phrase;
use crate::build_file::Build;
use crate::build_file::model::Duty;
use kernel::balance::Lump;
use kernel::geometry::Looks;
use kernel::heat::StateName;
use kernel::plan::{
    Candidate, Method, NearbySpec, RotorPlan, Set, SetPlan, SizeVerdict, Spec, as_found, matched,
    plan as plan_set,
};
use kernel::readings::{Adjusted, Heights, HousingWidth, Tolerance, Verdict, guard, odd_ones};
use kernel::room::{Gap, Room, RoomError, RoomModel, RoomResult, StateRoom, TiltLimits};
use kernel::seals::SealLine;
use kernel::units::{Angle, Length, Mass, System};
use kernel::window::Window;
pub(in crate::ops) use placed::{AdjustedRotor, adjust, placing};
use placed::{clearance, first_candidate};
use rayon::iter::{IndexedParallelIterator, IntoParallelIterator, ParallelIterator};
pub(super) use rotor::room_model;
use rotor::{Place, rotor_report};
pub(in crate::ops) use rotor::{housing_seals, room_holds};

/// Directions in which the largest tilt is looked for.
const TILT_DIRECTIONS: usize = 36;
/// The same, at each place of the orbit in each state.
const ORBIT_DIRECTIONS: usize = 12;

/// Name of the limit that readings are when they disagree.
pub const READINGS: &str = "readings";

/// The plan of a build.
#[derive(Debug, Clone)]
pub struct PlanReport {
    /// Name of the build.
    pub build: String,
    /// What the engine is for.
    pub duty: Duty,
    /// Gauges whose calibration has a date, with that date.
    pub calibrations: Vec<(String, String)>,
    /// Chance of contact at the duty that the spec bears, where it says.
    pub contact_chance: Option<f64>,
    /// Name of its spec.
    pub spec_name: String,
    /// The spec.
    pub spec: Spec,
    /// What the file left out.
    pub assumed: Vec<String>,
    /// Whether every rotor has a plan and they match.
    pub feasible: bool,
    /// How sizes were found; `None` when no rotor has any.
    pub method: Option<Method>,
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
    pub(crate) inputs: Inputs,
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
    /// Whether in every state, all round the orbit, the lands touch before anything else does.
    pub land_touches_first: bool,
    /// Sizes to hold at the machine.
    pub hold: Hold,
    /// What is said of it.
    pub verdict: Verdict,
    /// What the builder should know before believing it.
    pub warnings: Vec<String>,
    /// Measured against planned, where it was measured after its cut.
    pub measured: Option<Measured>,
    /// Mass now, where the file has it or it can be worked out from what was cut.
    pub mass: Option<Mass>,
    /// What the plan takes off it.
    pub cut: Lump,
    /// The room it will have.
    pub room: RoomResult,
    /// The same room, to be asked more.
    rooms: Room,
    /// Why its step is or is not enough, in one sentence.
    pub explained: String,
    /// Its seals.
    pub seals: Vec<SealLine>,
    /// Its window.
    pub window: Window,
}

/// Sizes to hold at the machine: tolerance less guard.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hold {
    /// Land width.
    pub land_width: Tolerance,
    /// Step.
    pub step: Tolerance,
}

/// The least tilts of a rotor in one thermal state, over all directions and all round the orbit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LeastTilt {
    /// At which both lands touch, with the float that allows most.
    pub jam: Option<Angle>,
    /// At which a tip touches at worst float; `None`: the lands stop it before.
    pub worst_float: Option<Angle>,
    /// At which a tip touches with the rotor centred; `None`: the lands stop it before.
    pub centred: Option<Angle>,
}

impl RotorReport {
    /// Mass that the plan removes.
    #[must_use]
    pub const fn removed(&self) -> Mass {
        Mass::kg(self.cut.mass_kg)
    }

    /// How far it may tilt in each direction, in the state and at the place where the least gap
    /// is, with the numbers of that state and place. `None` where the lands jam.
    ///
    /// # Errors
    /// [`RoomError`] when the room cannot be computed.
    pub fn tilt_at_worst(&self) -> Result<Option<(usize, usize, TiltLimits)>, RoomError> {
        let Some((state, place)) = worst_place(&self.room) else { return Ok(None) };
        let limits = self.rooms.tilt_limits(state, place, TILT_DIRECTIONS)?;
        Ok(Some((state, place, limits)))
    }

    /// Least gap at each tip at 20 °C over the whole orbit, with these faces in this room; empty
    /// where its lands jam. Worked out when a picture asks for it.
    pub(super) fn cold_gaps(&self, heights: Heights) -> Vec<Gap> {
        let model = RoomModel { heights, ..self.rooms.model().clone() };
        Room::new(model).and_then(|room| rotor::cold_gaps(&room)).unwrap_or_default()
    }

    /// Whether all tips come equally near in a state, within half a micrometre, at the place where
    /// the least gap is.
    #[must_use]
    pub fn tips_alike(&self, state: StateName) -> bool {
        let Some(index) = self.room.states.iter().position(|s| s.state.name == state) else {
            return false;
        };
        let place = worst_place_of(&self.room.states[index]).unwrap_or(0);
        let Ok(gaps) = self.rooms.tip_gaps(index, place) else { return false };
        let ends = gaps.iter().fold(None, |ends: Option<(Length, Length)>, gap| {
            Some(ends.map_or((gap.gap, gap.gap), |(a, b)| (a.min(gap.gap), b.max(gap.gap))))
        });
        ends.is_some_and(|(low, high)| high - low < Length::um(0.5))
    }

    /// The least tilts in each state over all directions, all round the orbit: some tens of
    /// milliseconds of work, so it is done when asked.
    ///
    /// # Errors
    /// [`RoomError`] when the room cannot be computed.
    pub fn least_tilts(&self) -> Result<Vec<LeastTilt>, RoomError> {
        (0..self.room.states.len()).map(|state| self.least_tilt(state)).collect()
    }

    fn least_tilt(&self, state: usize) -> Result<LeastTilt, RoomError> {
        let mut least = LeastTilt { jam: None, worst_float: None, centred: None };
        let smaller = |a: &mut Option<Angle>, b: Option<Angle>| {
            if let Some(b) = b {
                *a = Some(a.map_or(b, |a| a.min(b)));
            }
        };
        for place in 0..self.room.states[state].places.len() {
            let limits = self.rooms.tilt_limits(state, place, ORBIT_DIRECTIONS)?;
            smaller(&mut least.jam, limits.least_jam().map(|l| l.jam));
            smaller(&mut least.worst_float, limits.least_worst_float().and_then(|l| l.worst_float));
            smaller(&mut least.centred, limits.least_centred().and_then(|l| l.centred));
        }
        Ok(least)
    }
}

/// A rotor measured after its cut.
#[derive(Debug, Clone)]
pub struct Measured {
    /// What had been planned for it; `None` where the readings before the cut disagree.
    pub planned: Option<RotorPlan>,
    /// What is said of each measured size.
    pub sizes: Vec<SizeVerdict>,
    /// What was taken off it, by its readings before and after.
    pub taken: Lump,
    /// Mass after the cut as it was predicted.
    pub predicted: Option<Mass>,
    /// Mass after the cut as the scale read it.
    pub mass: Option<Mass>,
}

/// Plans a build. `first` says which units its sentences put first.
///
/// # Errors
/// [`InputError`] when the sizes of the engine make no engine or no room.
pub fn plan(build: &Build, first: System) -> Result<PlanReport, InputError> {
    let inputs = Inputs::of(build, first)?;
    let adjusted = adjust(build, &inputs)?;
    let mut candidates: Vec<Candidate> = adjusted
        .iter()
        .zip(&inputs.rotors)
        .map(|(adjusted, rotor)| placing(&inputs, rotor, adjusted).candidate())
        .collect();
    let readable: Vec<bool> =
        adjusted.iter().map(|a| a.now().check.suspicions.is_empty()).collect();
    let mut chosen: Vec<Candidate> =
        candidates.iter().zip(&readable).filter(|(_, ok)| **ok).map(|(c, _)| c.clone()).collect();
    let planned = solve_in_the_room(&inputs, &mut chosen, &readable)?;
    let placed = candidates.iter_mut().zip(&readable).filter(|(_, ok)| **ok);
    for ((candidate, _), solved) in placed.zip(&chosen) {
        candidate.touches = solved.touches;
    }
    let originals = original_plans(&inputs, &adjusted)?;
    let mut plans = planned.rotors.iter().cloned();
    let decided: Vec<Option<RotorPlan>> =
        readable.iter().map(|readable| if *readable { plans.next() } else { None }).collect();
    // Rotors are reported side by side; the order of the results is that of the rotors.
    let rotors: Vec<RotorReport> = decided
        .into_par_iter()
        .enumerate()
        .map(|(index, plan)| {
            let candidate = &candidates[index];
            // A rotor whose readings disagree is shown as it was read, and nothing is said of it.
            let plan = plan.unwrap_or_else(|| as_it_is(&inputs, candidate));
            let original = originals[index].as_ref();
            let (adjusted, unreadable) = (&adjusted[index], !readable[index]);
            let place = Place { index, candidate, adjusted, unreadable, original };
            rotor_report(build, &inputs, &place, plan, first)
        })
        .collect::<Result<_, _>>()?;
    let sound: Vec<(&Candidate, &RotorPlan)> = candidates
        .iter()
        .zip(&rotors)
        .filter(|(_, r)| r.planned)
        .map(|(c, r)| (c, &r.plan))
        .collect();
    let (spread, match_verdict) = matched(&sound, inputs.spec.matching);
    let mut limiting = limits(&rotors, first);
    if planned.mismatch {
        limiting.push(phrase::mismatch(&planned, &inputs.spec, first));
    }
    Ok(PlanReport {
        build: build.name.clone(),
        duty: build.duty.clone(),
        calibrations: calibrations(build),
        contact_chance: build.spec.contact_chance,
        spec_name: build.spec.name.clone(),
        spec: inputs.spec,
        assumed: inputs.assumed.sentences().to_vec(),
        feasible: planned.feasible && rotors.iter().all(|rotor| rotor.planned),
        method: planned.method,
        limiting,
        spread,
        match_verdict: measured_match(&inputs, &adjusted, &rotors).unwrap_or(match_verdict),
        nearby: nearby_in_the_room(&inputs, &chosen, &readable, planned.nearby)?,
        rotors,
        first,
        inputs,
    })
}

/// What was said of a rotor's readings alone: misreadings, unchecked readings far from their
/// neighbours, a land that grew. No place in an engine is looked at.
///
/// # Errors
/// As [`plan`].
pub(super) fn readings_alone(
    build: &Build,
    serial: &str,
    first: System,
) -> Result<Option<ReadAlone>, InputError> {
    let inputs = Inputs::of(build, first)?;
    let adjusted = adjust(build, &inputs)?;
    let Some(index) = build.rotors.iter().position(|rotor| rotor.serial == serial) else {
        return Ok(None);
    };
    let (rotor, given) = (&adjusted[index], &inputs.rotors[index]);
    let readings = given.after.as_ref().unwrap_or(&given.before);
    let mut mind: Vec<String> =
        odd_ones(readings, &rotor.now().check).iter().map(|odd| phrase::odd(odd, first)).collect();
    mind.extend(rotor.grown().map(|(tip, by)| phrase::grown(tip, by, first)));
    Ok(Some(ReadAlone { now: rotor.now().clone(), after: given.after.is_some(), mind }))
}

/// A rotor's readings, looked at alone.
#[derive(Debug, Clone)]
pub struct ReadAlone {
    /// Its heights.
    pub now: Adjusted,
    /// Whether they are those from after the cut.
    pub after: bool,
    /// What to look at.
    pub mind: Vec<String>,
}

fn calibrations(build: &Build) -> Vec<(String, String)> {
    build
        .gauges
        .iter()
        .filter_map(|(name, gauge)| Some((name.clone(), gauge.calibration_due.clone()?)))
        .collect()
}

fn solve(inputs: &Inputs, rotors: &[Candidate]) -> SetPlan {
    plan_set(&Set { rotors, spec: &inputs.spec, least_cut: inputs.least_cut })
}

/// The plan of the readable rotors. Where one would be left as it is and touches between its real
/// walls, it is planned again as a rotor that is not right; each round takes one such rotor away.
fn solve_in_the_room(
    inputs: &Inputs,
    candidates: &mut [Candidate],
    readable: &[bool],
) -> Result<SetPlan, InputError> {
    loop {
        let planned = solve(inputs, candidates);
        let mut again = false;
        let givens = inputs.rotors.iter().zip(readable).filter(|(_, ok)| **ok);
        for ((candidate, plan), (given, _)) in
            candidates.iter_mut().zip(&planned.rotors).zip(givens)
        {
            let left = plan.shortfalls.is_empty() && plan.cut.is_nothing() && !candidate.touches;
            if left && !room_holds(inputs, given, candidate.heights)? {
                candidate.touches = true;
                again = true;
            }
        }
        if !again {
            return Ok(planned);
        }
    }
}

/// Of the specs that would work by the closed forms, those that work between the real walls too.
/// `candidates` are the readable rotors.
fn nearby_in_the_room(
    inputs: &Inputs,
    candidates: &[Candidate],
    readable: &[bool],
    nearby: Vec<NearbySpec>,
) -> Result<Vec<NearbySpec>, InputError> {
    let mut kept = Vec::with_capacity(nearby.len());
    for offer in nearby {
        let other = Inputs { spec: offer.applied_to(&inputs.spec), ..inputs.clone() };
        let plan = solve(&other, candidates);
        let mut holds = true;
        let givens =
            other.rotors.iter().zip(readable).filter(|(_, ok)| **ok).map(|(given, _)| given);
        for (rotor, given) in plan.rotors.iter().zip(givens) {
            holds &= room_holds(&other, given, rotor.finished)?;
        }
        if holds {
            kept.push(offer);
        }
    }
    Ok(kept)
}

/// The plans from before the cut, where anything was measured after it. A rotor whose readings
/// disagreed had none and had no say in those of the others; one that was refused had none.
fn original_plans(
    inputs: &Inputs,
    adjusted: &[AdjustedRotor],
) -> Result<Vec<Option<RotorPlan>>, InputError> {
    let mut originals = vec![None; adjusted.len()];
    if adjusted.iter().all(|a| a.after.is_none()) {
        return Ok(originals);
    }
    let readable: Vec<bool> = adjusted.iter().map(AdjustedRotor::before_holds).collect();
    let indices: Vec<usize> = (0..adjusted.len()).filter(|index| readable[*index]).collect();
    let mut candidates: Vec<Candidate> = indices
        .iter()
        .map(|index| first_candidate(inputs, &inputs.rotors[*index], &adjusted[*index]))
        .collect();
    let planned = solve_in_the_room(inputs, &mut candidates, &readable)?;
    for (index, plan) in indices.into_iter().zip(planned.rotors) {
        if adjusted[index].after.is_some()
            && plan.shortfalls.is_empty()
            && room_holds(inputs, &inputs.rotors[index], plan.finished)?
        {
            originals[index] = Some(plan);
        }
    }
    Ok(originals)
}

/// Of planned rotors that are all measured and not cut again: what is said of the difference of
/// the loosest and the tightest side clearance, shared errors cancelling.
fn measured_match(
    inputs: &Inputs,
    adjusted: &[AdjustedRotor],
    reports: &[RotorReport],
) -> Option<Verdict> {
    let mut clearances = Vec::with_capacity(adjusted.len());
    for ((rotor, adjusted), report) in inputs.rotors.iter().zip(adjusted).zip(reports) {
        if !report.planned {
            continue;
        }
        let after = adjusted.after.as_ref().filter(|_| report.plan.cut.is_nothing())?;
        let tightest = (0..3)
            .map(|tip| clearance(&rotor.housing, after, tip))
            .min_by(|a, b| a.value().to_m().total_cmp(&b.value().to_m()))?;
        clearances.push(tightest);
    }
    clearances.sort_by(|a, b| a.value().to_m().total_cmp(&b.value().to_m()));
    let [tightest, .., loosest] = clearances.as_slice() else { return None };
    let spread = loosest.minus(tightest);
    let within = Tolerance { least: Length::m(f64::NEG_INFINITY), most: inputs.spec.matching };
    Some(within.judge(spread.value(), guard(spread.uncertainty())))
}

/// A rotor whose readings disagree: as it is, and nothing of it is proven.
fn as_it_is(inputs: &Inputs, candidate: &Candidate) -> RotorPlan {
    let mut plan = unplanned(inputs, candidate);
    for size in &mut plan.sizes {
        size.verdict = Verdict::NotProven;
    }
    plan.verdict = Verdict::NotProven;
    plan
}

/// A rotor without a plan: alone, uncut, every figure of the heights it has.
fn unplanned(inputs: &Inputs, candidate: &Candidate) -> RotorPlan {
    as_found(candidate, &inputs.spec)
}

/// Everything that stands in the way, each said once.
fn limits(rotors: &[RotorReport], first: System) -> Vec<Limiting> {
    let mut found: Vec<Limiting> = Vec::new();
    for rotor in rotors {
        let serial = Some(rotor.serial.clone());
        let disagreements = rotor.now.check.suspicions.iter().map(|suspicion| Limiting {
            serial: serial.clone(),
            limit: READINGS,
            detail: phrase::suspicion(suspicion, first),
        });
        let shortfalls = rotor.plan.shortfalls.iter().map(|shortfall| Limiting {
            serial: serial.clone(),
            limit: shortfall.limit.key(),
            detail: phrase::shortfall(shortfall, first),
        });
        for limiting in disagreements.chain(shortfalls) {
            if !found.contains(&limiting) {
                found.push(limiting);
            }
        }
    }
    found
}

/// Number of the place on the orbit where the least gap of a state is.
fn worst_place_of(state: &StateRoom) -> Option<usize> {
    let gaps = state.places.iter().enumerate();
    gaps.filter_map(|(p, place)| Some((p, place.gaps.as_ref()?.least.as_ref()?.gap)))
        .min_by(|a, b| a.1.to_m().total_cmp(&b.1.to_m()))
        .map(|(p, _)| p)
}

/// Numbers of the state and of the place on the orbit where the least gap is.
fn worst_place(result: &RoomResult) -> Option<(usize, usize)> {
    let (governing, _) = result.governing()?;
    let state = result.states.iter().position(|s| s.state.name == governing.state.name)?;
    worst_place_of(&result.states[state]).map(|place| (state, place))
}
