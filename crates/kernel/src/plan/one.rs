//! The plan of one rotor, quickly, for itself or to match another of which only the side clearance
//! is known: what many rotors and housings are compared by. The same rules as for a set.

use super::candidate::{Candidate, greatest};
use super::finish::{Levels, cut_between, finished, levels};
use super::solve_beside;
use super::spec::Spec;
use crate::readings::Heights;
use crate::units::Length;

/// What a rotor becomes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OnePlan {
    /// Heights after the cut.
    pub finished: Heights,
    /// The levels that are cut to.
    pub levels: Levels,
    /// Housing's least width less the greatest land width after the cut.
    pub side_clearance: Length,
    /// The greatest side clearance of another of the set beside which it may stay like this.
    pub beside: Length,
    /// It is left as it is.
    pub left: bool,
}

/// Plans one rotor; `loosest`: the greatest side clearance in its set, which it is to match. What
/// is cut then comes within the spec's match of it, what is left is within that less its guard.
/// `None` where no plan keeps all limits.
#[must_use]
pub fn plan_one(
    candidate: &Candidate,
    spec: &Spec,
    least_cut: Length,
    loosest: Option<Length>,
) -> Option<OnePlan> {
    let (works, _) = solve_beside(&[candidate], spec, least_cut, loosest)?;
    let work = works.into_iter().next()?;
    let before = &candidate.heights;
    let (finished, left) = match &work {
        Some(work) => (finished(before, work), false),
        None => (*before, true),
    };
    let cut = cut_between(before, &finished);
    let side_clearance = candidate.width_least - greatest(&finished.land_width());
    let guard = if left { candidate.guards_now.matching } else { Length::ZERO };
    Some(OnePlan {
        levels: work.map_or([None; 4], |work| levels(&work, &cut)),
        beside: side_clearance + (spec.matching - guard).max(Length::ZERO),
        finished,
        side_clearance,
        left,
    })
}
