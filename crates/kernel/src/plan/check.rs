//! Every limit on a finished rotor, checked on the heights it would have.

use super::candidate::{Area, Candidate, Guards, greatest, least};
use super::finish::{Cut, PLACES, cut_between};
use super::limit::{Limit, Shortfall};
use super::spec::Spec;
use crate::readings::{Face, Heights, ROUNDING_M, TIPS, Tolerance, Verdict};
use crate::room::Outside;
use crate::units::Length;

const ROUNDING: Length = Length::m(ROUNDING_M);

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
        found.push(Shortfall {
            limit: Limit::SideClearance,
            face: None,
            tip: Some(tip),
            is,
            allowed,
        });
    }
    let step = spec.step.zone().guarded(guards.step);
    if step.least > step.most + ROUNDING {
        found.push(unprovable(Limit::StepUnprovable, spec.step.tolerance, guards.step));
        return;
    }
    let (needed, state) = candidate.step_needed_at(least(&widths));
    for face in Face::BOTH {
        let steps = finished.face(face).step();
        if let Some((tip, is)) = worst_outside(&step, &steps) {
            let allowed = nearest_in(&step, is);
            found.push(Shortfall {
                limit: Limit::Step,
                face: Some(face),
                tip: Some(tip),
                is,
                allowed,
            });
        }
        let least_needed = Tolerance { least: needed, most: Length::m(f64::INFINITY) };
        if let Some((tip, is)) = worst_outside(&least_needed, &steps) {
            found.push(Shortfall {
                limit: Limit::StepNeeded(state),
                face: Some(face),
                tip: Some(tip),
                is,
                allowed: needed,
            });
        }
    }
}

/// Jamming, seals and the start of a taper.
fn room(candidate: &Candidate, spec: &Spec, finished: &Heights, found: &mut Vec<Shortfall>) {
    let widths = finished.land_width();
    let (narrowest, widest) = (least(&widths), greatest(&widths));
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
    for seal in &candidate.seals {
        let margin = Length::m(seal.at(narrowest.to_m(), step.to_m()));
        if margin < -ROUNDING {
            found.push(Shortfall {
                limit: Limit::Seal(seal.name),
                face: None,
                tip: None,
                is: margin,
                allowed: Length::ZERO,
            });
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
        let depths = depths.map(|depth| depth + taken);
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
                found.push(Shortfall {
                    limit,
                    face: Some(place.face),
                    tip: Some(tip),
                    is,
                    allowed: most,
                });
            }
        }
    }
}

fn unprovable(limit: Limit, tolerance: Length, guard: Length) -> Shortfall {
    Shortfall { limit, face: None, tip: None, is: guard, allowed: tolerance }
}

/// The value furthest outside a zone, with its tip.
fn worst_outside(zone: &Tolerance, values: &[Length; TIPS]) -> Option<(usize, Length)> {
    (0..TIPS).map(|tip| (tip, values[tip])).filter(|(_, value)| !zone.holds(*value)).max_by(
        |a, b| {
            let off = |v: Length| (v - nearest_in(zone, v)).abs().to_m();
            off(a.1).total_cmp(&off(b.1))
        },
    )
}

fn nearest_in(zone: &Tolerance, value: Length) -> Length {
    if value < zone.least { zone.least } else { zone.most }
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
    let (needed, _) = candidate.step_needed_at(least(&widths));
    let clearance = (0..TIPS).map(|tip| (None, tip, candidate.width_least - widths[tip]));
    let steps = Face::BOTH.into_iter().flat_map(|face| {
        finished.face(face).step().into_iter().enumerate().map(move |(k, s)| (Some(face), k, s))
    });
    clearance
        .chain(steps)
        .map(|(face, tip, size)| {
            let guard = guard(face, tip);
            let aim = if face.is_some() { spec.step } else { spec.side_clearance };
            let verdict = if face.is_some() && size < needed - ROUNDING {
                Verdict::DoesNotConform
            } else {
                aim.zone().judge(size, guard)
            };
            SizeVerdict { face, tip, size, guard, verdict }
        })
        .collect()
}
