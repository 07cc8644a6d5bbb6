//! Every limit on a finished rotor, checked on the heights it would have.

use super::candidate::{Area, Candidate, Guards, greatest, least};
use super::finish::{Cut, PLACES, cut_between};
use super::limit::{Limit, Shortfall};
use super::spec::Spec;
use crate::readings::{Face, Heights, ROUNDING_M, TIPS, Tolerance, Verdict};
use crate::room::Outside;
use crate::units::Length;

const ROUNDING: Length = Length::m(ROUNDING_M);
/// Three values closer than this are spoken of as one.
const ALIKE: Length = Length::um(0.1);

/// All limits that a rotor with these finished heights would not keep; empty when it is right.
/// Tolerances are held as the spec has them, for aims, or narrowed by guards, for what has to be
/// proven.
pub(super) fn shortfalls(
    candidate: &Candidate,
    spec: &Spec,
    finished: &Heights,
    guards: Option<&Guards>,
) -> Vec<Shortfall> {
    let mut found = Vec::new();
    sizes(candidate, spec, finished, guards, &mut found);
    room(candidate, spec, finished, &mut found);
    stock(candidate, spec, &cut_between(&candidate.heights, finished), &mut found);
    found
}

/// Whether a rotor with these finished heights keeps all limits with these guards: the same as no
/// [`shortfalls`], sooner where there are some.
pub(super) fn keeps_all(
    candidate: &Candidate,
    spec: &Spec,
    finished: &Heights,
    guards: &Guards,
) -> bool {
    let mut found = Vec::new();
    sizes(candidate, spec, finished, Some(guards), &mut found);
    if found.is_empty() {
        room(candidate, spec, finished, &mut found);
    }
    if found.is_empty() {
        stock(candidate, spec, &cut_between(&candidate.heights, finished), &mut found);
    }
    found.is_empty()
}

/// Side clearance at each tip and step at each tip of each face.
fn sizes(
    candidate: &Candidate,
    spec: &Spec,
    finished: &Heights,
    guards: Option<&Guards>,
    found: &mut Vec<Shortfall>,
) {
    let guards = guards.copied().unwrap_or(Guards::NONE);
    let clearance = spec.side_clearance.zone().guarded(guards.clearance);
    if clearance.least > clearance.most + ROUNDING {
        found.push(unprovable(
            Limit::ClearanceUnprovable,
            spec.side_clearance.tolerance,
            guards.clearance,
        ));
        return;
    }
    let widths = finished.land_width();
    let clearances = widths.map(|width| candidate.width_least - width);
    if let Some((tip, is)) = worst_outside(&clearance, &clearances) {
        let allowed = nearest_in(&clearance, is);
        found.push(Shortfall { limit: Limit::SideClearance, face: None, tip, is, allowed });
    }
    let step = spec.step.zone().guarded(guards.step);
    if step.least > step.most + ROUNDING {
        found.push(unprovable(Limit::StepUnprovable, spec.step.tolerance, guards.step));
        return;
    }
    let (needed, state) = candidate.step_needed_at(width_for_step(finished));
    for face in Face::BOTH {
        let steps = finished.face(face).step();
        if let Some((tip, is)) = worst_outside(&step, &steps) {
            let allowed = nearest_in(&step, is);
            found.push(Shortfall { limit: Limit::Step, face: Some(face), tip, is, allowed });
        }
        let room = Tolerance { least: needed, most: Length::m(f64::INFINITY) };
        if let Some((tip, is)) = worst_outside(&room, &steps) {
            let limit = Limit::StepNeeded(state);
            found.push(Shortfall { limit, face: Some(face), tip, is, allowed: needed });
        }
    }
}

/// The narrowest width that counts for the step: at each tip of each face the land under it and
/// the opposite land on the other side of the axis, since these two stop the tilt that brings the
/// tip to its wall. On square lands that is the land width.
pub(super) fn width_for_step(finished: &Heights) -> Length {
    let widths = Face::BOTH.into_iter().flat_map(|face| {
        let (own, other) = (finished.face(face).land, finished.face(face.opposite()).land);
        let twice_mean = other.iter().copied().sum::<Length>() * (2.0 / TIPS as f64);
        (0..TIPS).map(move |k| own[k] + twice_mean - other[k])
    });
    widths.fold(Length::m(f64::INFINITY), Length::min)
}

/// The greatest width anywhere round lands that lie on the planes through their three heights.
fn greatest_width_round(widths: &[Length; TIPS]) -> Length {
    let mean = widths.iter().copied().sum::<Length>() / TIPS as f64;
    // Three values a cos φ + b sin φ at thirds of a turn: their squares sum to 3/2 (a² + b²).
    let squares: f64 = widths.iter().map(|w| (*w - mean).to_m().powi(2)).sum();
    mean + Length::m((squares / 1.5).sqrt())
}

/// Jamming, seals and the start of a taper.
fn room(candidate: &Candidate, spec: &Spec, finished: &Heights, found: &mut Vec<Shortfall>) {
    let widths = finished.land_width();
    let (narrowest, widest) = (least(&widths), greatest_width_round(&widths));
    for jam in &candidate.jams {
        if widest >= jam.width {
            found.push(Shortfall {
                limit: Limit::Jam(jam.state),
                face: None,
                tip: None,
                is: widest,
                allowed: jam.width,
            });
        }
    }
    let step = Face::BOTH
        .into_iter()
        .map(|face| greatest(&finished.face(face).step()))
        .fold(Length::ZERO, Length::max);
    // A seal has a margin in each state: the worst speaks for it.
    let seals_from = found.len();
    for seal in &candidate.seals {
        let is = Length::m(seal.at(narrowest.to_m(), step.to_m()));
        if is >= -ROUNDING {
            continue;
        }
        let limit = Limit::Seal(seal.name);
        match found[seals_from..].iter_mut().find(|other| other.limit == limit) {
            Some(other) => other.is = other.is.min(is),
            None => {
                found.push(Shortfall { limit, face: None, tip: None, is, allowed: Length::ZERO });
            }
        }
    }
    if let Outside::Taper { start, .. } = spec.outside {
        // The face is level with the land up to `start`, where the step needed has already grown
        // from nothing at the land's edge.
        let share =
            (start - candidate.land_radius) / (candidate.tip_radius - candidate.land_radius);
        let needed = candidate.step_needed_at(narrowest).0 * share.max(0.0);
        if needed > ROUNDING {
            found.push(Shortfall {
                limit: Limit::TaperStart,
                face: None,
                tip: None,
                is: start,
                allowed: candidate.land_radius,
            });
        }
    }
}

/// Cut limits and what lies under the faces.
fn stock(candidate: &Candidate, spec: &Spec, cut: &Cut, found: &mut Vec<Shortfall>) {
    for (place, taken) in PLACES.into_iter().zip(candidate.taken) {
        let depths = match place.area {
            Area::Land => cut.face(place.face).land,
            Area::Tip => cut.face(place.face).tip,
        };
        // What was cut before counts, but an area that is now left alone cannot be at fault.
        if greatest(&depths) <= ROUNDING {
            continue;
        }
        let depths = std::array::from_fn(|tip| depths[tip] + taken[tip]);
        let (limit, most) = match place.area {
            Area::Land => (Limit::LandCutLimit, spec.land_cut_limit),
            Area::Tip => (Limit::TipCutLimit, spec.tip_cut_limit),
        };
        let protected = candidate
            .depths
            .iter()
            .filter(|d| d.face == place.face && d.area == place.area)
            .map(|d| (Limit::Depth(d.depth), d.most));
        for (limit, most) in std::iter::once((limit, most)).chain(protected) {
            let within = Tolerance { least: Length::m(f64::NEG_INFINITY), most };
            if let Some((tip, is)) = worst_outside(&within, &depths) {
                found.push(Shortfall { limit, face: Some(place.face), tip, is, allowed: most });
            }
        }
    }
}

fn unprovable(limit: Limit, tolerance: Length, guard: Length) -> Shortfall {
    Shortfall { limit, face: None, tip: None, is: guard, allowed: tolerance }
}

/// The value furthest outside a zone, with its tip; with no tip where all three are alike.
fn worst_outside(zone: &Tolerance, values: &[Length; TIPS]) -> Option<(Option<usize>, Length)> {
    let alike = greatest(values) - least(values) < ALIKE;
    let off = |v: Length| (v - nearest_in(zone, v)).abs().to_m();
    (0..TIPS)
        .map(|tip| (tip, values[tip]))
        .filter(|(_, value)| !zone.holds(*value))
        .max_by(|a, b| off(a.1).total_cmp(&off(b.1)))
        .map(|(tip, value)| ((!alike).then_some(tip), value))
}

fn nearest_in(zone: &Tolerance, value: Length) -> Length {
    if value < zone.least { zone.least } else { zone.most }
}

/// A step has two lower limits: the tolerance's, and what the room needs. Below the second the tip
/// touches, whatever the gauge says; above it by less than the guard nothing is proven.
fn judge_step(zone: &Tolerance, needed: Length, step: Length, guard: Length) -> Verdict {
    let room = Tolerance { least: needed, most: Length::m(f64::INFINITY) };
    let by_room = if room.holds(step) { room.judge(step, guard) } else { Verdict::DoesNotConform };
    zone.judge(step, guard).max(by_room)
}

/// What is said of each finished size.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SizeVerdict {
    /// The face whose step it is; `None` for a side clearance.
    pub face: Option<Face>,
    /// At which tip, counted from 0.
    pub tip: usize,
    /// The size.
    pub size: Length,
    /// Its guard.
    pub guard: Length,
    /// What is said of it.
    pub verdict: Verdict,
}

/// Verdicts on the nine sizes of a rotor. `guard` gives the guard of a size: of a planned one from
/// capability and gauge, of a measured one from its own uncertainty.
pub(super) fn verdicts(
    candidate: &Candidate,
    spec: &Spec,
    finished: &Heights,
    guard: impl Fn(Option<Face>, usize) -> Length,
) -> Vec<SizeVerdict> {
    let widths = finished.land_width();
    let (needed, _) = candidate.step_needed_at(width_for_step(finished));
    let clearance = (0..TIPS).map(|tip| (None, tip, candidate.width_least - widths[tip]));
    let steps = Face::BOTH.into_iter().flat_map(|face| {
        finished.face(face).step().into_iter().enumerate().map(move |(k, s)| (Some(face), k, s))
    });
    clearance
        .chain(steps)
        .map(|(face, tip, size)| {
            let guard = guard(face, tip);
            let verdict = match face {
                None => spec.side_clearance.zone().judge(size, guard),
                Some(_) => judge_step(&spec.step.zone(), needed, size, guard),
            };
            SizeVerdict { face, tip, size, guard, verdict }
        })
        .collect()
}
