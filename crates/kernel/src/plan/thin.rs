//! Passes thinner than the machine takes: left out where all tolerances hold so, else deepened.

use super::candidate::{Area, Candidate, greatest, least};
use super::check::{SizeVerdict, shortfalls, verdicts};
use super::finish::{Cut, Do, PLACES, Size, Work, cut_between, finished};
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
    /// made up to the width, as far as the land still cleans up all over.
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
            .or_else(|| {
                let lowest = least(&heights.face(face).land);
                level(face.opposite()).map(|other| (self.size.width - other).min(lowest))
            })
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

/// What must be kept when passes are left out or deepened.
struct Held {
    /// Which of the nine sizes would be proven.
    sizes: Vec<bool>,
    /// The most that side clearances may differ.
    matching: Length,
}

/// Times that a step is raised because a land was left uneven or deepened: each time the room has
/// changed by less than a least cut, and the step needed by a part of that.
const RAISES: usize = 8;

impl Thin<'_> {
    /// The work that brings the rotor to a size without a pass thinner than the machine takes.
    /// `None` when neither leaving nor deepening holds the tolerances. What would be proven is
    /// given up only where nothing else holds. The size itself keeps all limits: it was looked at
    /// where it was found.
    pub(super) fn settle(&self, size: Size) -> Option<Work> {
        let heights = &self.candidate.heights;
        let draft = Draft { size, settled: [None; 4] };
        let work = draft.work(heights);
        let after = finished(heights, &work);
        if self.thin(&draft, &cut_between(heights, &after)).is_none() {
            return self.matches(&after, self.spec.matching).then_some(work);
        }
        let held = self.held(&after);
        if !self.misses(&after, &held)?.is_empty() {
            return None;
        }
        let bare = Held { sizes: vec![false; held.sizes.len()], matching: self.spec.matching };
        [held, bare].iter().find_map(|held| self.settle_holding(size, held))
    }

    /// Where a land that is left or deepened asks for a little more step than was planned, the
    /// step is computed again.
    fn settle_holding(&self, mut size: Size, held: &Held) -> Option<Work> {
        for _ in 0..RAISES {
            let mut raise = None;
            let draft = Draft { size, settled: [None; 4] };
            if let Some(work) = self.settle_next(draft, held, &mut raise) {
                return Some(work);
            }
            size.step += raise? + Length::m(ROUNDING_M);
        }
        None
    }

    /// Settles the first thin pass by leaving it, or else by deepening it. Each call settles one
    /// of four areas, so the recursion is at most four deep. `raise` gets the least by which more
    /// step would have made one of the ways hold.
    fn settle_next(&self, draft: Draft, held: &Held, raise: &mut Option<Length>) -> Option<Work> {
        let heights = &self.candidate.heights;
        let work = draft.work(heights);
        let after = finished(heights, &work);
        let cut = cut_between(heights, &after);
        let thin = self.thin(&draft, &cut);
        let Some(index) = thin else {
            let misses = self.misses(&after, held)?;
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
            self.settle_next(next, held, raise)
        })
    }

    /// The first area with a pass that is too thin and not settled.
    fn thin(&self, draft: &Draft, cut: &Cut) -> Option<usize> {
        let rounding = Length::m(ROUNDING_M);
        (0..PLACES.len()).find(|index| {
            let deepest = cut.face(PLACES[*index].face).deepest(PLACES[*index].area);
            draft.settled[*index].is_none()
                && deepest > rounding
                && deepest < self.least_cut - rounding
        })
    }

    fn sizes(&self, after: &Heights) -> Vec<SizeVerdict> {
        let guards = self.candidate.guards;
        verdicts(self.candidate, self.spec, after, |face, _| {
            if face.is_some() { guards.step } else { guards.clearance }
        })
    }

    /// Whether the side clearances of the set differ by no more than this.
    fn matches(&self, after: &Heights, most: Length) -> bool {
        let clearance = self.candidate.width_least - greatest(&after.land_width());
        let most = most + Length::m(ROUNDING_M);
        self.others.iter().all(|other| (clearance - *other).abs() <= most)
    }

    fn held(&self, after: &Heights) -> Held {
        let guarded = (self.spec.matching - self.candidate.guards.matching).max(Length::ZERO);
        let proven = self.matches(after, guarded);
        Held {
            sizes: self.sizes(after).iter().map(|s| self.unproven(s).is_none()).collect(),
            matching: if proven { guarded } else { self.spec.matching },
        }
    }

    /// The limits that are not kept; `None` when the rotor would not match the others.
    fn misses(&self, after: &Heights, held: &Held) -> Option<Vec<Shortfall>> {
        if !self.matches(after, held.matching) {
            return None;
        }
        let mut found = shortfalls(self.candidate, self.spec, after, None);
        let given_up = self
            .sizes(after)
            .into_iter()
            .zip(&held.sizes)
            .filter_map(|(size, held)| held.then(|| self.unproven(&size)).flatten());
        found.extend(given_up);
        Some(found)
    }

    /// How far a size lies outside its guarded tolerance.
    fn unproven(&self, size: &SizeVerdict) -> Option<Shortfall> {
        let (aim, limit) = match size.face {
            Some(_) => (self.spec.step, Limit::Step),
            None => (self.spec.side_clearance, Limit::SideClearance),
        };
        let (zone, is) = (aim.zone().guarded(size.guard), size.size);
        let allowed = if is < zone.least { zone.least } else { zone.most };
        let tip = Some(size.tip);
        (!zone.holds(is)).then_some(Shortfall { limit, face: size.face, tip, is, allowed })
    }
}
