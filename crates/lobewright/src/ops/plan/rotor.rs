//! The report of one rotor: its room, seals, window and mass beside its plan.

use super::super::inputs::{InputError, Inputs, RotorInputs};
use super::super::phrase;
use super::placed::{AdjustedRotor, measured_guard, placing};
use super::{Hold, Measured, RotorReport, unplanned};
use crate::build_file::Build;
use kernel::balance::Lump;
use kernel::heat::StateName;
use kernel::plan::{Candidate, CutAreas, Limit, RotorPlan, Shortfall, measured_verdicts, worst};
use kernel::readings::{Face, Heights, TIPS, Tolerance, Verdict, odd_ones};
use kernel::room::{Gap, ORBIT_PLACES, RING_POINTS, Room, RoomModel, RoomResult, Widths};
use kernel::seals::{FinishedForSeals, SealLine, report};
use kernel::units::{Length, Mass, System};
use kernel::window::window;

/// Gaps below nothing by less than this are the ring of points that stands for a land's edge, not
/// the part.
const ROOM_ROUNDING: Length = Length::um(0.05);
/// Lands that differ by this many times the assumed squareness lean by more than is assumed.
const LEANS: f64 = 4.0;

/// A rotor in its place, with what was decided for it.
pub(super) struct Place<'a> {
    pub(super) index: usize,
    pub(super) candidate: &'a Candidate,
    pub(super) adjusted: &'a AdjustedRotor,
    /// Its readings disagree.
    pub(super) unreadable: bool,
    /// What was planned for it before it was cut; `None` where there was no such plan.
    pub(super) original: Option<&'a RotorPlan>,
}

pub(super) fn rotor_report(
    build: &Build,
    inputs: &Inputs,
    place: &Place<'_>,
    mut plan: RotorPlan,
    first: System,
) -> Result<RotorReport, InputError> {
    let (rotor, adjusted) = (&build.rotors[place.index], place.adjusted);
    let given = &inputs.rotors[place.index];
    let now = adjusted.now();
    let failed = |source| InputError::Room { rotor: rotor.serial.clone(), source };
    let room_of = |heights| Room::new(room_model(inputs, given, heights)).map_err(failed);
    let mut room = room_of(plan.finished)?;
    let mut result = room.solve().map_err(failed)?;
    let mut touches = touches_first(&result);
    if let Some(shortfall) = touches
        && !place.unreadable
    {
        if plan.shortfalls.is_empty() {
            // The room between the real walls has the last word: without a plan, as it is.
            plan = unplanned(inputs, place.candidate);
            plan.shortfalls.push(shortfall);
            room = room_of(plan.finished)?;
            result = room.solve().map_err(failed)?;
            touches = touches_first(&result).or(touches);
        } else if place.candidate.touches {
            // It would have been left as it is; why not comes first.
            plan.shortfalls.insert(0, shortfall);
        }
    }
    let areas = CutAreas {
        land: &inputs.land_area,
        outside: &inputs.outside_area,
        land_radius: inputs.face.land_radius(),
        tip_radius: inputs.reading_radius,
        shape: inputs.spec.outside,
    };
    let weighed = |heights: &Heights, plan: &RotorPlan| {
        Lump::of_cut(&areas.moments(heights, &plan.levels), inputs.rotor_density)
    };
    let cut = weighed(&now.heights, &plan);
    // Of a rotor that is to be cut again, what is measured is not what is planned.
    let touches_now = match adjusted.after {
        Some(_) if !plan.cut.is_nothing() => {
            touches_first(&room_of(now.heights)?.solve().map_err(failed)?)
        }
        _ => touches,
    };
    let first_cut = place.original.map(|original| weighed(&adjusted.before.heights, original));
    let measured = adjusted.after.as_ref().map(|after| Measured {
        planned: place.original.cloned(),
        sizes: measured_verdicts(place.candidate, &inputs.spec, |face, tip| {
            measured_guard(&given.housing, after, face, tip)
        }),
        predicted: rotor
            .readings
            .mass
            .zip(first_cut)
            .map(|(mass, cut)| mass - Mass::kg(cut.mass_kg)),
        taken: Lump::of_cut(
            &areas.between(&adjusted.before.heights, &after.heights),
            inputs.rotor_density,
        ),
        mass: rotor.after.as_ref().and_then(|after| after.mass),
    });
    let verdict = match &measured {
        _ if place.unreadable => Verdict::NotProven,
        Some(_) if touches_now.is_some() => Verdict::DoesNotConform,
        Some(measured) => worst(&measured.sizes),
        None => plan.verdict,
    };
    let seals = seal_lines(inputs, given, adjusted, &plan);
    let mut warnings = warnings(place, given, first);
    warnings.extend(
        seals
            .iter()
            .filter(|line| line.holds() == Some(false))
            .map(|line| phrase::seal_line(line, first)),
    );
    Ok(RotorReport {
        serial: rotor.serial.clone(),
        housing: build.housings[place.index].serial.clone(),
        gear_face: given.gear_face,
        width: given.housing.clone(),
        planned: !place.unreadable && plan.shortfalls.is_empty(),
        hold: hold(place.candidate, inputs, plan.step_needed_hot),
        land_touches_first: touches.is_none() && !place.unreadable,
        verdict,
        warnings,
        mass: match &measured {
            Some(measured) => measured.mass.or(measured.predicted),
            None => rotor.readings.mass,
        },
        cut,
        explained: room.explain(&rotor.serial, &result, first),
        room: result,
        rooms: room,
        seals,
        window: window(place.candidate, inputs.spec.side_clearance, inputs.spec.step),
        now: now.clone(),
        measured,
        plan,
    })
}

/// Whether faces at these heights touch with their lands first, everywhere.
pub(in crate::ops) fn room_holds(
    inputs: &Inputs,
    rotor: &RotorInputs,
    heights: Heights,
) -> Result<bool, InputError> {
    let named = |source| InputError::Room { rotor: "in a spec that was tried".to_owned(), source };
    let room = Room::new(room_model(inputs, rotor, heights)).map_err(named)?;
    Ok(touches_first(&room.solve().map_err(named)?).is_none())
}

/// Tolerances less guards, as sizes of the rotor; of a step no less than is needed and its guard.
fn hold(candidate: &Candidate, inputs: &Inputs, step_needed: Length) -> Hold {
    let clearance = inputs.spec.side_clearance.zone().guarded(candidate.guards.clearance);
    let step = inputs.spec.step.zone().guarded(candidate.guards.step);
    Hold {
        land_width: Tolerance {
            least: candidate.width_least - clearance.most,
            most: candidate.width_least - clearance.least,
        },
        step: Tolerance { least: step.least.max(step_needed + candidate.guards.step), ..step },
    }
}

/// What the room says against finished faces: something outside the lands touches first, or the
/// lands jam, in some state.
fn touches_first(result: &RoomResult) -> Option<Shortfall> {
    if let Some(jammed) = result.states.iter().find(|state| state.jams()) {
        return Some(Shortfall {
            limit: Limit::Jam(jammed.state.name),
            face: None,
            tip: None,
            is: jammed.clearance_left,
            allowed: Length::ZERO,
        });
    }
    // No wall opposite any point outside the lands: nothing says that they are safe.
    let governing = result.governing();
    if governing.is_some_and(|(_, gap)| gap.gap >= -ROOM_ROUNDING) {
        return None;
    }
    let (state, gap) =
        (governing.map_or(StateName::Cold, |g| g.0.state.name), governing.map(|g| g.1));
    Some(Shortfall {
        limit: Limit::Room(state),
        face: gap.map(|gap| gap.point.face),
        tip: gap.and_then(|gap| gap.point.tip).map(|tip| tip - 1),
        is: gap.map_or(Length::ZERO, |gap| gap.gap),
        allowed: Length::ZERO,
    })
}

/// Least gap at each tip at 20 °C over the whole orbit; empty where the lands jam.
pub(super) fn cold_gaps(room: &Room) -> Result<Vec<Gap>, kernel::room::RoomError> {
    let places = if room.is_same_all_round(0) { 1 } else { room.model().orbit_places };
    let mut least: Vec<Gap> = Vec::new();
    for place in 0..places {
        let gaps = room.tip_gaps(0, place)?;
        if gaps.is_empty() {
            return Ok(Vec::new());
        }
        for gap in gaps {
            match least.iter_mut().find(|other| other.point.tip == gap.point.tip) {
                Some(other) if other.gap > gap.gap => *other = gap,
                Some(_) => {}
                None => least.push(gap),
            }
        }
    }
    Ok(least)
}

/// What the builder should know before believing the plan.
fn warnings(place: &Place<'_>, given: &RotorInputs, first: System) -> Vec<String> {
    let (adjusted, now) = (place.adjusted, place.adjusted.now());
    let readings = adjusted.after.as_ref().and(given.after.as_ref()).unwrap_or(&given.before);
    let mut found: Vec<String> =
        odd_ones(readings, &now.check).iter().map(|odd| phrase::odd(odd, first)).collect();
    if let kernel::readings::Squareness::Assumed(u) = now.squareness {
        let widths = readings.land_width;
        let (low, high) = widths
            .into_iter()
            .fold((widths[0], widths[0]), |(low, high), w| (low.min(w), high.max(w)));
        if high - low > u * LEANS {
            found.push(phrase::leaning_lands(high - low, first));
        }
    }
    if let Some((tip, by)) = adjusted.grown() {
        found.push(phrase::grown(tip, by, first));
    }
    if adjusted.after.is_some() {
        found.extend(
            adjusted
                .before
                .check
                .suspicions
                .iter()
                .map(|suspicion| phrase::before_disagrees(suspicion, first)),
        );
    }
    let [front, rear] = given.tracks();
    let wear = front.land + rear.land;
    if wear > Length::ZERO {
        found.push(phrase::worn_walls(wear, first));
    }
    found
}

pub(in crate::ops) fn room_model(
    inputs: &Inputs,
    rotor: &RotorInputs,
    heights: Heights,
) -> RoomModel {
    let trochoid = &inputs.trochoid;
    RoomModel {
        heights,
        gear_face_looks: rotor.gear_face,
        land_radius: inputs.face.land_radius(),
        tip_radius: inputs.face.rotor_tip_radius(),
        reading_radius: Some(inputs.reading_radius),
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

/// What of the seals is said of a housing alone, whichever rotor is in it, where it is not what the
/// spec asks.
pub(in crate::ops) fn housing_seals(
    inputs: &Inputs,
    rotor: &RotorInputs,
    adjusted: &AdjustedRotor,
) -> Vec<SealLine> {
    let candidate = placing(inputs, rotor, adjusted).candidate();
    let lines = seal_lines(inputs, rotor, adjusted, &unplanned(inputs, &candidate));
    let of_housing = |line: &SealLine| line.figure.starts_with("end clearance");
    lines.into_iter().filter(|line| of_housing(line) && line.holds() == Some(false)).collect()
}

/// Seals in the state in which each figure is worst.
fn seal_lines(
    inputs: &Inputs,
    rotor: &RotorInputs,
    adjusted: &AdjustedRotor,
    plan: &RotorPlan,
) -> Vec<SealLine> {
    let least = |values: [Length; TIPS]| values.into_iter().fold(values[0], Length::min);
    let steps = [plan.finished.gear.step(), plan.finished.plain.step()].concat();
    let earlier = adjusted.taken();
    let lands = Face::BOTH.map(|face| {
        let (cut, earlier) = (plan.cut.face(face).land, earlier[usize::from(face == Face::Plain)]);
        (0..TIPS).map(|tip| cut[tip] + earlier[tip]).fold(Length::ZERO, Length::max)
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
