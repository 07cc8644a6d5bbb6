//! A face to be cut: where its metal is, and where the plan wants it to end.

use super::error::CuttingError;
use super::machine::{not_negative, positive};
use super::outline::Outline;
use crate::geometry::RotorPoint;
use crate::plan::FacePlane;
use crate::readings::{Face, FaceHeights, TIPS};
use crate::room::Outside;
use crate::units::Length;
use std::f64::consts::TAU;

/// Stock thinner than this is rounding of the plan's arithmetic.
const NOTHING_M: f64 = 1e-9;

/// What is known of a face and wanted of it. Of a plan ([`Levels`](crate::plan::Levels): gear land,
/// plain land, gear tips, plain tips) the two levels of this face; `found` is what the plan cut from.
#[derive(Debug, Clone, PartialEq)]
pub struct FaceGiven {
    /// Which one: that which is up on the machine.
    pub face: Face,
    /// The rotor's outline in rotor axes, once around the axis, either way; closed by itself.
    pub outline: Vec<RotorPoint>,
    /// Inner edge of the land.
    pub land_inner_radius: Length,
    /// Outer edge of the land, where its heights are known.
    pub land_radius: Length,
    /// Radius at which the heights outside the land are known.
    pub reading_radius: Length,
    /// Heights as found, outwards from the mid-plane.
    pub found: FaceHeights,
    /// Height from the mid-plane that the land is cut to; `None`: it is left as it is.
    pub land_level: Option<Length>,
    /// The same at the reading radius outside it.
    pub outside_level: Option<Length>,
    /// Shape outside the land.
    pub shape: Outside,
    /// How far what the program leaves may be from the plan, in depth, either way. What the
    /// machine adds to that is not in it. [`FaceJob::USUAL_TOLERANCE`] unless something is known.
    pub tolerance: Length,
    /// Height of the terraces that a mill makes of a taper. [`FaceJob::USUAL_TERRACE`] unless
    /// something is known.
    pub terrace: Length,
}

/// A face that was found fit to be programmed, in the axes of the one who machines it.
#[derive(Debug, Clone, PartialEq)]
pub struct FaceJob {
    given: FaceGiven,
    /// `+1` where these axes are the rotor's, `−1` where `y` is mirrored.
    hand: f64,
    outline: Outline,
    /// Height of `z = 0` from the mid-plane.
    zero_m: f64,
    land: FacePlane,
    outside: FacePlane,
    land_is_cut: bool,
    outside_is_cut: bool,
}

impl FaceJob {
    /// Half a tenth of what a step is usually allowed (common practice, no source).
    pub const USUAL_TOLERANCE: Length = Length::um(2.0);
    /// A terrace that no gauge on a shop's bench tells from a slope (common practice, no source).
    pub const USUAL_TERRACE: Length = Length::um(10.0);

    /// Looks whether these fit together, and sets the zero.
    ///
    /// # Errors
    /// Sizes that are not above nothing or not in order; an outline that does not go once around
    /// outside the land; levels with the outside above the land; nothing to cut; an outside that
    /// stays above the finished land.
    pub fn new(given: FaceGiven) -> Result<Self, CuttingError> {
        let inner_m = positive("the inner radius of the land", given.land_inner_radius)?;
        let land_m = positive("the land radius", given.land_radius)?;
        let reading_m = positive("the radius of reading", given.reading_radius)?;
        positive("the tolerance", given.tolerance)?;
        positive("the height of a terrace", given.terrace)?;
        in_order(
            ("the inner radius of the land", given.land_inner_radius),
            ("the land radius", given.land_radius),
        )?;
        in_order(
            ("the land radius", given.land_radius),
            ("the radius of reading", given.reading_radius),
        )?;
        for (name, value) in [
            ("a height of the land", given.found.land),
            ("a height outside the land", given.found.tip),
        ]
        .into_iter()
        .flat_map(|(name, values)| values.map(|value| (name, value)))
        .chain(given.land_level.map(|level| ("the level of the land", level)))
        .chain(given.outside_level.map(|level| ("the level outside the land", level)))
        {
            if !value.is_finite() {
                return Err(CuttingError::NotFinite { name });
            }
        }
        let hand = match given.face {
            Face::Gear => 1.0,
            Face::Plain => -1.0,
        };
        let outline = Outline::around(&given.outline, hand, land_m)?;
        let most = |heights: [Length; TIPS]| heights.into_iter().fold(heights[0], Length::max);
        let highest_m = most(given.found.land).to_m();
        let level_m = given.land_level.map(Length::to_m).filter(|l| highest_m - l > NOTHING_M);
        let zero_m = level_m.unwrap_or(highest_m);
        let lowered = |heights: [Length; TIPS]| heights.map(|h| Length::m(h.to_m() - zero_m));
        let mut job = Self {
            hand,
            zero_m,
            land: FacePlane::through(&lowered(given.found.land), given.land_radius),
            outside: FacePlane::through(&lowered(given.found.tip), given.reading_radius),
            land_is_cut: level_m.is_some(),
            outside_is_cut: false,
            outline,
            given,
        };
        job.outside_is_cut = job.checked_outside(land_m, reading_m)?;
        if !(job.land_is_cut || job.outside_is_cut) {
            return Err(CuttingError::NoStock(job.given.face));
        }
        let proud_m = job.outside_top_m();
        if job.land_is_cut && !job.outside_is_cut && proud_m > 0.0 {
            let (face, by) = (job.given.face, Length::m(proud_m));
            return Err(CuttingError::OutsideProud { face, by });
        }
        debug_assert!(inner_m < land_m);
        Ok(job)
    }

    /// Whether the face is cut outside the land.
    fn checked_outside(&self, land_m: f64, reading_m: f64) -> Result<bool, CuttingError> {
        let Some(step_m) = self.step_m() else { return Ok(false) };
        if step_m < 0.0 {
            return Err(CuttingError::OutsideAboveLand { by: Length::m(-step_m) });
        }
        if let Outside::Taper { start, root } = self.given.shape {
            let root_m = not_negative("the drop where the taper starts", root)?;
            let start_m = positive("the start of the taper", start)?;
            if start_m < land_m {
                let land = self.given.land_radius;
                return Err(order(("the land radius", land), ("the start of the taper", start)));
            }
            if start_m >= reading_m {
                let reading = self.given.reading_radius;
                return Err(order(
                    ("the start of the taper", start),
                    ("the radius of reading", reading),
                ));
            }
            if root_m > step_m {
                let step = Length::m(step_m);
                return Err(order(
                    ("the drop where the taper starts", root),
                    ("the step at the radius of reading", step),
                ));
            }
        }
        // Found less wanted is convex outwards, so it is largest on the outline.
        Ok(self.outline.points_m().iter().any(|&[x, y]| {
            self.outside_found_m(x, y) > -self.drop_m(step_m, x.hypot(y)) + NOTHING_M
        }))
    }

    /// What it was made from.
    #[must_use]
    pub const fn given(&self) -> &FaceGiven {
        &self.given
    }

    /// The outline in these axes.
    #[must_use]
    pub const fn outline(&self) -> &Outline {
        &self.outline
    }

    /// Inner edge of the land.
    #[must_use]
    pub const fn land_inner_m(&self) -> f64 {
        self.given.land_inner_radius.to_m()
    }

    /// Outer edge of the land.
    #[must_use]
    pub const fn land_m(&self) -> f64 {
        self.given.land_radius.to_m()
    }

    /// Where the face drops below the land's plane: the land's edge, or the start of a taper.
    #[must_use]
    pub fn shoulder_m(&self) -> f64 {
        match self.given.shape {
            Outside::Taper { start, .. } if self.outside_is_cut => start.to_m(),
            _ => self.land_m(),
        }
    }

    /// Whether the land is cut.
    #[must_use]
    pub const fn land_is_cut(&self) -> bool {
        self.land_is_cut
    }

    /// Whether the face outside the land is cut.
    #[must_use]
    pub const fn outside_is_cut(&self) -> bool {
        self.outside_is_cut
    }

    /// Height of `z = 0` above the mid-plane.
    #[must_use]
    pub const fn zero_height(&self) -> Length {
        Length::m(self.zero_m)
    }

    /// Heights of the land as found at tips 1, 2, 3 above `z = 0`: what it is touched at.
    #[must_use]
    pub fn land_at_tips(&self) -> [Length; TIPS] {
        self.given.found.land.map(|height| height - self.zero_height())
    }

    /// Direction of a tip (0, 1, 2) in these axes, radians from `x`.
    #[must_use]
    pub fn tip_direction_rad(&self, tip: usize) -> f64 {
        -self.hand * TAU * tip as f64 / TIPS as f64
    }

    /// Depth of what is cut outside below the land's plane at the radius of reading.
    #[must_use]
    pub fn step_m(&self) -> Option<f64> {
        self.given.outside_level.map(|level| self.zero_m - level.to_m())
    }

    fn drop_m(&self, step_m: f64, radius_m: f64) -> f64 {
        match self.given.shape {
            Outside::Step => step_m,
            Outside::Taper { start, root } => {
                let along =
                    (radius_m - start.to_m()) / (self.given.reading_radius.to_m() - start.to_m());
                if along < 0.0 { 0.0 } else { root.to_m() + (step_m - root.to_m()) * along }
            }
        }
    }

    /// Where the plan wants the face to end at a radius, infinite where it is left as it is: the
    /// lower of this and what was found is what a finished part has. Within the land it is the
    /// land's inside too, where gear and bearing lie below: a cutter may pass there, not lower.
    #[must_use]
    pub fn target_m(&self, radius_m: f64) -> f64 {
        if radius_m < self.land_inner_m() {
            return 0.0;
        }
        if radius_m < self.land_m() {
            return if self.land_is_cut { 0.0 } else { f64::INFINITY };
        }
        match self.step_m().filter(|_| self.outside_is_cut) {
            // At the shoulder itself the land's plane ends.
            Some(_) if radius_m < self.shoulder_m() => 0.0,
            Some(step_m) => -self.drop_m(step_m, radius_m),
            None => f64::INFINITY,
        }
    }

    /// How much the target falls per length outside the shoulder.
    #[must_use]
    pub fn slope(&self) -> f64 {
        match (self.given.shape, self.step_m().filter(|_| self.outside_is_cut)) {
            (Outside::Taper { start, root }, Some(step_m)) => {
                (step_m - root.to_m()) / (self.given.reading_radius.to_m() - start.to_m())
            }
            _ => 0.0,
        }
    }

    /// Where the metal was found, whatever the outline: the land's plane on the land, the other
    /// plane outside it. Inside the land it is taken to reach `z = 0`, which is more than is there.
    #[must_use]
    pub fn found_m(&self, x_m: f64, y_m: f64) -> f64 {
        let radius_m = (x_m * x_m + y_m * y_m).sqrt();
        if radius_m < self.land_inner_m() {
            0.0
        } else if radius_m < self.land_m() {
            self.land_found_m(x_m, y_m)
        } else {
            self.outside_found_m(x_m, y_m)
        }
    }

    /// The plane of the land as found.
    #[must_use]
    pub fn land_found_m(&self, x_m: f64, y_m: f64) -> f64 {
        self.land.at(x_m, self.hand * y_m)
    }

    /// The plane of the face outside it as found.
    #[must_use]
    pub fn outside_found_m(&self, x_m: f64, y_m: f64) -> f64 {
        self.outside.at(x_m, self.hand * y_m)
    }

    /// How much either plane rises per length at most.
    #[must_use]
    pub fn steepest_found(&self) -> f64 {
        self.land.steepness().max(self.outside.steepness())
    }

    /// The land's highest point.
    #[must_use]
    pub fn land_top_m(&self) -> f64 {
        self.land.at(0.0, 0.0) + self.land.steepness() * self.land_m()
    }

    /// The highest point outside the land.
    #[must_use]
    pub fn outside_top_m(&self) -> f64 {
        self.outline
            .points_m()
            .iter()
            .map(|&[x, y]| self.outside_found_m(x, y))
            .fold(f64::NEG_INFINITY, f64::max)
    }

    /// The part's highest point.
    #[must_use]
    pub fn top_m(&self) -> f64 {
        self.land_top_m().max(self.outside_top_m())
    }

    /// The lowest place that anything is cut to.
    #[must_use]
    pub fn floor_m(&self) -> f64 {
        match self.step_m().filter(|_| self.outside_is_cut) {
            Some(step_m) => -self.drop_m(step_m, self.outline.farthest_m()),
            None => 0.0,
        }
    }

    /// The largest radius at which metal is cut.
    #[must_use]
    pub fn largest_cut_radius_m(&self) -> f64 {
        if self.outside_is_cut { self.outline.farthest_m() } else { self.land_m() }
    }
}

fn order(less: (&'static str, Length), more: (&'static str, Length)) -> CuttingError {
    CuttingError::Order { less: less.0, less_value: less.1, more: more.0, more_value: more.1 }
}

fn in_order(
    less: (&'static str, Length),
    more: (&'static str, Length),
) -> Result<(), CuttingError> {
    if less.1 < more.1 { Ok(()) } else { Err(order(less, more)) }
}

#[cfg(test)]
pub(super) mod tests {
    use super::*;
    use crate::geometry::{Flank, SideFace, SideFaceSizes, Trochoid};

    pub(in super::super) fn given() -> FaceGiven {
        let mm = Length::mm;
        let trochoid = Trochoid::new(mm(101.5), mm(14.5), mm(2.5)).unwrap();
        let sizes = SideFaceSizes { land_radius: mm(61.0), rotor_tip_radius: mm(99.0) };
        let face = SideFace::new(Flank::new(trochoid, mm(0.4)).unwrap(), sizes, &[]).unwrap();
        FaceGiven {
            face: Face::Gear,
            outline: face.outline_points(48).unwrap().into_iter().map(|p| p.place()).collect(),
            land_inner_radius: mm(46.0),
            land_radius: mm(61.0),
            reading_radius: mm(97.0),
            found: FaceHeights {
                land: [39.9565, 39.9625, 39.9585].map(mm),
                tip: [39.8615, 39.8745, 39.8565].map(mm),
            },
            land_level: Some(mm(39.894)),
            outside_level: Some(mm(39.767)),
            shape: Outside::Step,
            tolerance: FaceJob::USUAL_TOLERANCE,
            terrace: FaceJob::USUAL_TERRACE,
        }
    }

    pub(in super::super) fn job(given: &FaceGiven) -> FaceJob {
        FaceJob::new(given.clone()).unwrap()
    }

    /// The cuts of the plan, land 62.5 / 68.5 / 64.5, stand above zero at their own tips on both
    /// faces; the plain face's tips run the other way.
    #[test]
    fn heights_lie_at_their_tips_on_both_faces() {
        for (face, second_y) in [(Face::Gear, -1.0), (Face::Plain, 1.0)] {
            let job = job(&FaceGiven { face, ..given() });
            for (tip, proud_um) in [62.5, 68.5, 64.5].into_iter().enumerate() {
                let (sin, cos) = job.tip_direction_rad(tip).sin_cos();
                let at = job.land_found_m(0.061 * cos, 0.061 * sin);
                assert!((at * 1e6 - proud_um).abs() < 1e-6, "{face:?} {tip}");
                assert!((job.land_at_tips()[tip].to_um() - proud_um).abs() < 1e-6);
                let tips = [39.8615, 39.8745, 39.8565][tip] - 39.894;
                assert!((job.outside_found_m(0.097 * cos, 0.097 * sin) * 1e3 - tips).abs() < 1e-9);
            }
            assert_eq!(job.tip_direction_rad(1).sin().signum(), second_y);
            assert!((job.target_m(0.05), job.target_m(0.07)) == (0.0, job.floor_m()));
            assert!((job.floor_m() + 127e-6).abs() < 1e-12);
        }
    }

    #[test]
    fn a_taper_falls_from_its_start() {
        let shape = Outside::Taper { start: Length::mm(63.0), root: Length::um(20.0) };
        let job = job(&FaceGiven { shape, ..given() });
        assert_eq!(job.target_m(0.062), 0.0);
        assert!((job.target_m(0.063) + 20e-6).abs() < 1e-12);
        assert!((job.target_m(0.097) + 127e-6).abs() < 1e-12);
        assert!((job.slope() - 107e-6 / 0.034).abs() < 1e-12);
        assert_eq!(job.shoulder_m(), 0.063);
    }

    #[test]
    fn what_is_not_cut_is_left_where_it_was_found() {
        let job = job(&FaceGiven { land_level: None, ..given() });
        assert_eq!(job.zero_height(), Length::mm(39.9625));
        assert_eq!(job.target_m(0.05), f64::INFINITY);
        assert_eq!(job.target_m(0.03), 0.0);
        let level = Some(Length::mm(40.0));
        let none = FaceGiven { land_level: level, outside_level: level, ..given() };
        // The outside level is above the land as found.
        assert!(FaceJob::new(none).unwrap_err().to_string().contains("37.5 um above"));
        let none = FaceGiven { land_level: level, outside_level: None, ..given() };
        assert_eq!(FaceJob::new(none).unwrap_err(), CuttingError::NoStock(Face::Gear));
        let level = Some(Length::mm(39.85));
        let proud = FaceGiven { land_level: level, outside_level: None, ..given() };
        assert!(FaceJob::new(proud).unwrap_err().to_string().contains("outside the land the gear"));
    }
}
