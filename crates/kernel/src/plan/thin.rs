//! Passes thinner than the machine takes: left out where all tolerances hold so, else deepened.

use super::candidate::{Area, Candidate, Guards, greatest};
use super::check::shortfalls;
use super::finish::{Do, PLACES, Size, Work, cut_between, finished};
use super::limit::{Limit, Shortfall};
use super::spec::Spec;
use crate::readings::{Face, Heights, ROUNDING_M};
use crate::units::Length;

/// A rotor's work in the making: which of the four areas are settled, and how.
#[derive(Clone, Copy)]
struct Draft {
    size: Size,
    settled: [Option<Do>; 4],
}

impl Draft {
    /// Level of a face's land: where it is settled that counts, else the other face's level is
    /// made up to the width.
    fn land(&self, heights: &Heights, face: Face) -> Length {
        let level = |face: Face| {
            let index = usize::from(face == Face::Plain);
            self.settled[index].map(|what| match what {
                Do::CutTo(level) => level,
                // A land that is left counts as high as its highest point.
                Do::Leave => greatest(&heights.face(face).land),
            })
        };
        level(face)
            .or_else(|| level(face.opposite()).map(|other| self.size.width - other))
            .unwrap_or_else(|| self.size.land(face))
    }

    fn work(&self, heights: &Heights) -> Work {
        std::array::from_fn(|index| {
            self.settled[index].unwrap_or_else(|| {
                let place = PLACES[index];
                let land = self.land(heights, place.face);
                Do::CutTo(match place.area {
                    Area::Land => land,
                    Area::Tip => land - self.size.step,
                })
            })
        })
    }
}

/// What thin passes are settled against.
pub(super) struct Thin<'a> {
    pub(super) candidate: &'a Candidate,
    pub(super) spec: &'a Spec,
    /// Thinner passes are not taken.
    pub(super) least_cut: Length,
    /// Side clearances of the other rotors of the set.
    pub(super) others: &'a [Length],
}

/// Times that a step is raised because a land was left uneven or deepened: each time the room has
/// changed by less than a least cut, and the step needed by a part of that.
const RAISES: usize = 8;

impl Thin<'_> {
    /// The work that brings the rotor to a size without a pass thinner than the machine takes.
    /// `None` when neither leaving nor deepening holds the tolerances. Where a land that is left
    /// or deepened asks for a little more step than was planned, the step is computed again.
    pub(super) fn settle(&self, mut size: Size) -> Option<Work> {
        let heights = &self.candidate.heights;
        let after = finished(heights, &Draft { size, settled: [None; 4] }.work(heights));
        // A size that would be proven is not given up for an unproven one.
        let guards = [Some(&self.candidate.guards), None]
            .into_iter()
            .find(|guards| self.misses(&after, *guards).is_some_and(|m| m.is_empty()))?;
        for _ in 0..RAISES {
            let mut raise = None;
            let draft = Draft { size, settled: [None; 4] };
            if let Some(work) = self.settle_next(draft, guards, &mut raise) {
                return Some(work);
            }
            size.step += raise? + Length::m(ROUNDING_M);
        }
        None
    }

    /// Settles the first thin pass by leaving it, or else by deepening it. Each call settles one
    /// of four areas, so the recursion is at most four deep. `raise` gets the least by which more
    /// step would have made one of the ways hold.
    fn settle_next(
        &self,
        draft: Draft,
        guards: Option<&Guards>,
        raise: &mut Option<Length>,
    ) -> Option<Work> {
        let heights = &self.candidate.heights;
        let work = draft.work(heights);
        let after = finished(heights, &work);
        let cut = cut_between(heights, &after);
        let rounding = Length::m(ROUNDING_M);
        let thin = (0..PLACES.len()).find(|index| {
            let deepest = cut.face(PLACES[*index].face).deepest(PLACES[*index].area);
            draft.settled[*index].is_none()
                && deepest > rounding
                && deepest < self.least_cut - rounding
        });
        let Some(index) = thin else {
            let misses = self.misses(&after, guards)?;
            if misses.is_empty() {
                return Some(work);
            }
            let too_small = |miss: &Shortfall| {
                matches!(miss.limit, Limit::StepNeeded(_) | Limit::Step) && miss.is < miss.allowed
            };
            if misses.iter().all(too_small) {
                let by = misses.iter().map(Shortfall::by).fold(Length::ZERO, Length::max);
                *raise = Some(raise.map_or(by, |least| least.min(by)));
            }
            return None;
        };
        let place = PLACES[index];
        let now = match place.area {
            Area::Land => &heights.face(place.face).land,
            Area::Tip => &heights.face(place.face).tip,
        };
        [Do::Leave, Do::CutTo(greatest(now) - self.least_cut)].into_iter().find_map(|what| {
            let mut next = draft;
            next.settled[index] = Some(what);
            self.settle_next(next, guards, raise)
        })
    }

    /// The limits that are not kept; `None` when the rotor would not match the others.
    fn misses(&self, after: &Heights, guards: Option<&Guards>) -> Option<Vec<Shortfall>> {
        let clearance = self.candidate.width_least - greatest(&after.land_width());
        let matched = self
            .others
            .iter()
            .all(|other| (clearance - *other).abs() <= self.spec.matching + Length::m(ROUNDING_M));
        matched.then(|| shortfalls(self.candidate, self.spec, after, guards))
    }
}
