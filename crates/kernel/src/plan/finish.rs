//! What a rotor is after its cuts: targets for the four areas in, finished heights and stock out.

use super::candidate::{Area, Candidate, greatest, least};
use crate::readings::{Face, FaceHeights, Heights, ROUNDING_M, TIPS};
use crate::units::Length;

/// The square size aimed at: land width `B`, height `M` of the gear land, step `A`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Size {
    /// Width across both lands.
    pub width: Length,
    /// Height that the gear land gets.
    pub gear_land: Length,
    /// Step on both faces.
    pub step: Length,
}

impl Size {
    /// The size with the mid-plane where it is, unless a face has no stock for that: then the
    /// gear land gets the nearest height to `B/2` in `[B − min P, min G]`.
    pub(super) fn about_the_mid_plane(candidate: &Candidate, width: Length, step: Length) -> Self {
        let gear = least(&candidate.heights.gear.land);
        let plain = least(&candidate.heights.plain.land);
        let gear_land = (width / 2.0).min(gear).max(width - plain);
        Self { width, gear_land, step }
    }

    /// Height of a face's land.
    pub(super) fn land(&self, face: Face) -> Length {
        match face {
            Face::Gear => self.gear_land,
            Face::Plain => self.width - self.gear_land,
        }
    }
}

/// One area of one face.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Place {
    pub(super) face: Face,
    pub(super) area: Area,
}

/// The four areas in the order in which they are looked at.
pub(super) const PLACES: [Place; 4] = [
    Place { face: Face::Gear, area: Area::Land },
    Place { face: Face::Plain, area: Area::Land },
    Place { face: Face::Gear, area: Area::Tip },
    Place { face: Face::Plain, area: Area::Tip },
];

/// What is done with one area.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Do {
    /// Cut down to a level, where it stands above it.
    CutTo(Length),
    /// Leave it as it is.
    Leave,
}

/// What is done with each of [`PLACES`].
pub(super) type Work = [Do; 4];

/// The levels that gear land, plain land, gear tips and plain tips are cut to; `None`: left as
/// it is.
pub type Levels = [Option<Length>; 4];

/// The levels of some work that really cut something.
pub(super) fn levels(work: &Work, cut: &Cut) -> Levels {
    std::array::from_fn(|index| match work[index] {
        Do::CutTo(level) if cut.face(PLACES[index].face).cuts(PLACES[index].area) => Some(level),
        Do::CutTo(_) | Do::Leave => None,
    })
}

/// The work that brings a rotor to a size.
pub(super) fn work_for(size: &Size) -> Work {
    PLACES.map(|place| {
        let land = size.land(place.face);
        Do::CutTo(match place.area {
            Area::Land => land,
            Area::Tip => land - size.step,
        })
    })
}

/// Stock taken from a face at each tip, never negative.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct FaceCut {
    /// From the land.
    pub land: [Length; TIPS],
    /// Outside it.
    pub tip: [Length; TIPS],
}

impl FaceCut {
    /// The deepest cut in an area.
    #[must_use]
    pub fn deepest(&self, area: Area) -> Length {
        match area {
            Area::Land => greatest(&self.land),
            Area::Tip => greatest(&self.tip),
        }
    }

    /// Whether an area is cut at all: less than a picometre is rounding.
    #[must_use]
    pub fn cuts(&self, area: Area) -> bool {
        self.deepest(area) > Length::m(ROUNDING_M)
    }
}

/// Stock taken from both faces.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Cut {
    /// From the gear face.
    pub gear: FaceCut,
    /// From the plain face.
    pub plain: FaceCut,
}

impl Cut {
    /// From one face.
    #[must_use]
    pub const fn face(&self, face: Face) -> &FaceCut {
        match face {
            Face::Gear => &self.gear,
            Face::Plain => &self.plain,
        }
    }

    /// Whether nothing is cut but what is rounding of the arithmetic.
    #[must_use]
    pub fn is_nothing(&self) -> bool {
        !PLACES.iter().any(|p| self.face(p.face).cuts(p.area))
    }

    /// Sum of the cuts at all tips, in both areas of both faces.
    #[must_use]
    pub fn sum_of_depths(&self) -> Length {
        Face::BOTH
            .into_iter()
            .flat_map(|face| self.face(face).land.into_iter().chain(self.face(face).tip))
            .sum()
    }
}

/// Heights after the work. Cutting never adds metal: what stands below its target is left.
pub(super) fn finished(before: &Heights, work: &Work) -> Heights {
    let level = |now: [Length; TIPS], what: Do| match what {
        Do::CutTo(target) => now.map(|height| height.min(target)),
        Do::Leave => now,
    };
    let face = |face: Face, land: Do, tip: Do| {
        let now = before.face(face);
        FaceHeights { land: level(now.land, land), tip: level(now.tip, tip) }
    };
    Heights { gear: face(Face::Gear, work[0], work[2]), plain: face(Face::Plain, work[1], work[3]) }
}

/// Stock between two states of a rotor.
pub(super) fn cut_between(before: &Heights, after: &Heights) -> Cut {
    let face = |face: Face| {
        let (now, then) = (before.face(face), after.face(face));
        FaceCut {
            land: std::array::from_fn(|k| now.land[k] - then.land[k]),
            tip: std::array::from_fn(|k| now.tip[k] - then.tip[k]),
        }
    };
    Cut { gear: face(Face::Gear), plain: face(Face::Plain) }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Between two tips the face bulges past the line that joins them. A level that only rounding
    /// puts below those tips would take metal there.
    #[test]
    fn rounding_is_no_cut() {
        let tips = [29.312, 29.308, 29.312].map(Length::mm);
        let face = FaceHeights { land: [Length::mm(29.403); TIPS], tip: tips };
        let before = Heights { gear: face, plain: face };
        let level = |below: f64| Length::mm(29.312) - Length::m(below);
        for (below, cuts) in [(1e-14, false), (1e-9, true)] {
            let work = [Do::Leave, Do::Leave, Do::CutTo(level(below)), Do::Leave];
            let cut = cut_between(&before, &finished(&before, &work));
            assert_eq!(levels(&work, &cut)[2].is_some(), cuts);
            assert_eq!(cut.is_nothing(), !cuts);
        }
    }
}
