//! The plan of a set: what each rotor becomes, how much is taken off which area of which face,
//! and what stands in the way when there is no plan.
//!
//! Order of the rules: a rotor that is right is left ([`aim`]); the spec's aims are tried
//! ([`aim`]); where they do not hold, the guarded tolerances are searched ([`search`]); passes
//! that are too thin are left out or deepened ([`thin`]); without a plan, limits are named
//! ([`check`], [`limit`]) and the nearest spec is offered ([`nearest`]).

mod aim;
mod candidate;
mod check;
mod finish;
mod guard;
mod limit;
mod nearest;
mod on_the_table;
mod on_the_way;
mod one;
mod place;
mod removed;
mod search;
mod spec;
mod thin;

use crate::heat::StateName;
use crate::readings::{Face, Heights, Tolerance, Verdict};
use crate::units::Length;
use aim::Decision;
use candidate::greatest;
use thin::Thin;

pub use candidate::{Area, Candidate, Depth, DepthLimit, Guards, JamLimit, NeedLine, SealMargin};
pub use check::SizeVerdict;
pub use finish::{Cut, FaceCut, Levels, Size};
pub use guard::Shop;
pub use limit::{Limit, Shortfall};
pub use nearest::{Change, NearbySpec, SpecFigure};
pub use on_the_table::{Ring, micrometer_for, ring_under, shims, stop_above};
pub use on_the_way::{in_divisions, land_width_after_first, may_differ_by, runout_allowed};
pub use one::{OnePlan, plan_one};
pub use place::{Placing, Reserves};
pub(crate) use removed::Plane as FacePlane;
pub use removed::{CutAreas, CutMoments};
pub use spec::{Aim, Spec};

/// How the sizes were found.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Method {
    /// The spec's own aims hold.
    Aimed,
    /// Sizes inside the guarded tolerances were searched.
    Searched,
}

/// A set to plan: rotors in their places, what is wanted of them, and the machine's least cut.
#[derive(Debug, Clone, Copy)]
pub struct Set<'a> {
    /// The rotors, from the front.
    pub rotors: &'a [Candidate],
    /// What is wanted.
    pub spec: &'a Spec,
    /// Thinner passes are not taken.
    pub least_cut: Length,
}

/// What one rotor becomes.
#[derive(Debug, Clone, PartialEq)]
pub struct RotorPlan {
    /// Heights after the cut. For a rotor without a plan: as it is.
    pub finished: Heights,
    /// Stock taken.
    pub cut: Cut,
    /// The levels it is taken to.
    pub levels: Levels,
    /// Land width: the greatest after the cut.
    pub land_width: Length,
    /// Housing's least width less the land width, both sides together.
    pub side_clearance: Length,
    /// Step that the cold room needs.
    pub step_needed: Length,
    /// Step to cut so that the hot one suffices in every state.
    pub step_needed_hot: Length,
    /// The state that governs it.
    pub governing: StateName,
    /// What is said of each size.
    pub sizes: Vec<SizeVerdict>,
    /// The worst of them.
    pub verdict: Verdict,
    /// Why there is no plan; empty when there is one.
    pub shortfalls: Vec<Shortfall>,
}

/// The plan of a set.
#[derive(Debug, Clone, PartialEq)]
pub struct SetPlan {
    /// Whether every rotor has a plan and they match.
    pub feasible: bool,
    /// How the sizes were found; `None` when no rotor has any.
    pub method: Option<Method>,
    /// One for each rotor, from the front.
    pub rotors: Vec<RotorPlan>,
    /// How far the side clearances of the set differ.
    pub spread: Length,
    /// What is said of that difference.
    pub match_verdict: Verdict,
    /// Set when every rotor can be planned but not all of them together.
    pub mismatch: bool,
    /// Specs that would work, the least change first; empty when there is a plan.
    pub nearby: Vec<NearbySpec>,
}

/// Plans a set. Bounded work; a set without rotors has an empty, feasible plan.
#[must_use]
pub fn plan(set: &Set<'_>) -> SetPlan {
    let all: Vec<&Candidate> = set.rotors.iter().collect();
    if let Some((works, method)) = solve(&all, set.spec, set.least_cut) {
        return assemble(set, &works.into_iter().map(Some).collect::<Vec<_>>(), method, false);
    }
    let alone: Vec<bool> =
        all.iter().map(|c| solve(&[c], set.spec, set.least_cut).is_some()).collect();
    let sound: Vec<&Candidate> =
        all.iter().zip(&alone).filter(|(_, ok)| **ok).map(|(c, _)| *c).collect();
    let together = solve(&sound, set.spec, set.least_cut);
    let mismatch = together.is_none();
    let method = together.as_ref().map_or(Method::Searched, |(_, method)| *method);
    // What can be planned still is: together where that goes, else each for itself.
    let mut planned = together.map_or_else(
        || {
            sound
                .iter()
                .map(|c| solve(&[c], set.spec, set.least_cut).map(|(works, _)| works[0]))
                .collect::<Vec<_>>()
        },
        |(works, _)| works.into_iter().map(Some).collect(),
    );
    let mut next = planned.drain(..);
    let works: Vec<Option<Option<finish::Work>>> =
        alone.iter().map(|ok| if *ok { next.next().flatten() } else { None }).collect();
    drop(next);
    let mut result = assemble(set, &works, method, mismatch);
    result.nearby = nearest::nearby(set.spec, |spec| solve(&all, spec, set.least_cut).is_some());
    result
}

/// Work for every rotor of a set: `None` inside means that the rotor is left as it is.
type Works = Vec<Option<finish::Work>>;

fn solve(set: &[&Candidate], spec: &Spec, least_cut: Length) -> Option<(Works, Method)> {
    solve_beside(set, spec, least_cut, None)
}

/// The same to match a side clearance of another, too.
fn solve_beside(
    set: &[&Candidate],
    spec: &Spec,
    least_cut: Length,
    beside: Option<Length>,
) -> Option<(Works, Method)> {
    let by = |decisions: Option<Vec<Decision>>, method| {
        settle(set, spec, least_cut, beside, &decisions?).map(|works| (works, method))
    };
    by(aim::aim(set, spec, beside), Method::Aimed)
        .or_else(|| by(search::search(set, spec, beside), Method::Searched))
}

/// Takes thin passes out of the decisions.
fn settle(
    set: &[&Candidate],
    spec: &Spec,
    least_cut: Length,
    beside: Option<Length>,
    decisions: &[Decision],
) -> Option<Works> {
    let mut clearances: Vec<Length> = set
        .iter()
        .zip(decisions)
        .map(|(c, decision)| match decision {
            Decision::Keep => aim::clearance_now(c),
            Decision::To(size) => c.width_least - size.width,
        })
        .collect();
    let mut works = Vec::with_capacity(set.len());
    for (i, (candidate, decision)) in set.iter().zip(decisions).enumerate() {
        let work = match decision {
            Decision::Keep => None,
            Decision::To(size) => {
                let others: Vec<Length> = (0..set.len())
                    .filter(|j| *j != i)
                    .map(|j| clearances[j])
                    .chain(beside)
                    .collect();
                let work = Thin { candidate, spec, least_cut, others: &others }.settle(*size)?;
                let after = finish::finished(&candidate.heights, &work);
                clearances[i] = candidate.width_least - greatest(&after.land_width());
                Some(work)
            }
        };
        works.push(work);
    }
    Some(works)
}

/// Puts the results together. The outer `None` of a work: no plan.
fn assemble(
    set: &Set<'_>,
    works: &[Option<Option<finish::Work>>],
    method: Method,
    mismatch: bool,
) -> SetPlan {
    let rotors: Vec<RotorPlan> = set
        .rotors
        .iter()
        .zip(works)
        .map(|(candidate, work)| rotor_plan(candidate, set.spec, work.as_ref()))
        .collect();
    let sound = |rotor: &RotorPlan| rotor.shortfalls.is_empty();
    let planned: Vec<(&Candidate, &RotorPlan)> =
        set.rotors.iter().zip(&rotors).filter(|(_, rotor)| sound(rotor)).collect();
    let (spread, match_verdict) = matched(&planned, set.spec.matching);
    SetPlan {
        feasible: !mismatch && planned.len() == rotors.len(),
        method: (!planned.is_empty()).then_some(method),
        match_verdict,
        spread,
        mismatch,
        rotors,
        nearby: Vec::new(),
    }
}

/// How far the side clearances of planned rotors differ, and what is said of that. A difference
/// has no lower limit. One rotor alone matches itself.
#[must_use]
pub fn matched(planned: &[(&Candidate, &RotorPlan)], allowed: Length) -> (Length, Verdict) {
    let clearances = planned.iter().map(|(_, rotor)| rotor.side_clearance);
    let (tightest, loosest) = clearances
        .fold((Length::m(f64::INFINITY), Length::m(f64::NEG_INFINITY)), |(low, high), c| {
            (low.min(c), high.max(c))
        });
    if planned.len() < 2 {
        return (Length::ZERO, Verdict::Conforms);
    }
    let guards = planned.iter().map(|(candidate, rotor)| {
        let guards = if rotor.cut.is_nothing() { candidate.guards_now } else { candidate.guards };
        guards.matching
    });
    let guard = guards.fold(Length::ZERO, Length::max);
    let spread = loosest - tightest;
    let within = Tolerance { least: Length::m(f64::NEG_INFINITY), most: allowed };
    (spread, within.judge(spread, guard))
}

fn rotor_plan(
    candidate: &Candidate,
    spec: &Spec,
    work: Option<&Option<finish::Work>>,
) -> RotorPlan {
    let before = &candidate.heights;
    let finished = match work {
        Some(Some(work)) => finish::finished(before, work),
        Some(None) | None => *before,
    };
    let shortfalls = if work.is_some() { Vec::new() } else { in_the_way(candidate, spec) };
    let guards =
        if work.is_some_and(Option::is_none) { candidate.guards_now } else { candidate.guards };
    let sizes = check::verdicts(candidate, spec, &finished, |face, _| {
        if face.is_some() { guards.step } else { guards.clearance }
    });
    let widths = finished.land_width();
    let narrowest = check::width_for_step(&finished);
    let (step_needed_hot, governing) = candidate.step_needed_at(narrowest);
    let cut = finish::cut_between(before, &finished);
    let levels = match work {
        Some(Some(work)) => finish::levels(work, &cut),
        Some(None) | None => [None; 4],
    };
    RotorPlan {
        levels,
        cut,
        land_width: greatest(&widths),
        side_clearance: candidate.width_least - greatest(&widths),
        step_needed: candidate.step_needed_cold(narrowest),
        step_needed_hot,
        governing,
        verdict: worst(&sizes),
        sizes,
        finished,
        shortfalls,
    }
}

/// A rotor that is not planned: every figure of the heights it has, no limit named.
#[must_use]
pub fn as_found(candidate: &Candidate, spec: &Spec) -> RotorPlan {
    rotor_plan(candidate, spec, Some(&None))
}

/// The worst of some verdicts.
#[must_use]
pub fn worst(sizes: &[SizeVerdict]) -> Verdict {
    sizes.iter().map(|s| s.verdict).max().unwrap_or(Verdict::Conforms)
}

/// What is in the way of a rotor that has no plan; never empty.
fn in_the_way(candidate: &Candidate, spec: &Spec) -> Vec<Shortfall> {
    let miss = search::nearest_miss(candidate, spec);
    let after = finish::finished(&candidate.heights, &finish::work_for(&miss));
    let mut found = check::shortfalls(candidate, spec, &after, Some(&candidate.guards));
    if found.is_empty() {
        found.push(Shortfall {
            limit: Limit::LeastCut,
            face: None,
            tip: None,
            is: finish::cut_between(&candidate.heights, &after).sum_of_depths(),
            allowed: Length::ZERO,
        });
    }
    found
}

/// Verdicts on measured sizes, each with the guard of its own uncertainty.
#[must_use]
pub fn measured_verdicts(
    candidate: &Candidate,
    spec: &Spec,
    guard: impl Fn(Option<Face>, usize) -> Length,
) -> Vec<SizeVerdict> {
    check::verdicts(candidate, spec, &candidate.heights, guard)
}
