//! Passes thinner than the machine takes: left out where all tolerances hold so, else deepened.

use super::candidate::{Area, Candidate, greatest};
use super::check::{Strictness, shortfalls};
use super::finish::{Do, PLACES, Size, Work, cut_between, finished};
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

impl Thin<'_> {
    /// The work that brings the rotor to a size without a pass thinner than the machine takes.
    /// `None` when neither leaving nor deepening holds the tolerances.
    pub(super) fn settle(&self, size: Size) -> Option<Work> {
        let draft = Draft { size, settled: [None; 4] };
        let after = finished(&self.candidate.heights, &draft.work(&self.candidate.heights));
        // A size that would be proven is not given up for an unproven one.
        let strictness = [Strictness::Guarded, Strictness::Plain]
            .into_iter()
            .find(|strictness| self.holds(&after, *strictness))?;
        self.settle_next(draft, strictness)
    }

    /// Settles the first thin pass by leaving it, or else by deepening it. Each call settles one
    /// of four areas, so the recursion is at most four deep.
    fn settle_next(&self, draft: Draft, strictness: Strictness) -> Option<Work> {
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
            return self.holds(&after, strictness).then_some(work);
        };
        let place = PLACES[index];
        let now = match place.area {
            Area::Land => &heights.face(place.face).land,
            Area::Tip => &heights.face(place.face).tip,
        };
        [Do::Leave, Do::CutTo(greatest(now) - self.least_cut)].into_iter().find_map(|what| {
            let mut next = draft;
            next.settled[index] = Some(what);
            self.settle_next(next, strictness)
        })
    }

    fn holds(&self, after: &Heights, strictness: Strictness) -> bool {
        let clearance = self.candidate.width_least - greatest(&after.land_width());
        let matched = self
            .others
            .iter()
            .all(|other| (clearance - *other).abs() <= self.spec.matching + Length::m(ROUNDING_M));
        matched && shortfalls(self.candidate, self.spec, after, strictness).is_empty()
    }
}
