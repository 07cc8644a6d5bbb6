//! Metal that a plan removes: true depth over true area, grooves left out; how much it is, and how
//! it lay about the rotor's axis and mid-plane.
//!
//! A face is known at three points: its land and its tips each lie on the plane through three
//! heights. A cut goes down to a level, and nothing is cut where the face already lies below.

use super::candidate::Area;
use super::finish::{Levels, PLACES, Place};
use crate::geometry::FaceQuadrature;
use crate::readings::{Face, Heights, TIPS};
use crate::room::Outside;
use crate::units::{Length, Volume};
use std::f64::consts::TAU;

/// The areas that cuts go over.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CutAreas<'a> {
    /// The land, grooves of the oil seals off.
    pub land: &'a FaceQuadrature,
    /// The face outside it, grooves of the other seals off.
    pub outside: &'a FaceQuadrature,
    /// Radius at which the land's heights are known.
    pub land_radius: Length,
    /// Radius at which the tips' heights are known.
    pub tip_radius: Length,
    /// Shape of the cut outside the land.
    pub shape: Outside,
}

/// What a cut takes, and how that lay: integrals over its volume, in rotor axes.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct CutMoments {
    /// Volume.
    pub volume_m3: f64,
    /// First moments along the radius of tip 1 and square to it (about `z_r`).
    pub xy_m4: [f64; 2],
    /// First moment from the mid-plane, along `z_r`.
    pub z_m4: f64,
    /// Second moment about the rotor's axis.
    pub polar_m5: f64,
    /// Second moment from the mid-plane.
    pub zz_m5: f64,
}

impl CutMoments {
    /// Two cuts together.
    #[must_use]
    fn and(self, other: Self) -> Self {
        Self {
            volume_m3: self.volume_m3 + other.volume_m3,
            xy_m4: [self.xy_m4[0] + other.xy_m4[0], self.xy_m4[1] + other.xy_m4[1]],
            z_m4: self.z_m4 + other.z_m4,
            polar_m5: self.polar_m5 + other.polar_m5,
            zz_m5: self.zz_m5 + other.zz_m5,
        }
    }
}

impl CutAreas<'_> {
    /// Volume removed when these faces are cut to these levels.
    #[must_use]
    pub fn removed(&self, before: &Heights, levels: &Levels) -> Volume {
        Volume::m3(self.moments(before, levels).volume_m3)
    }

    /// The same with how it lay. What is cut from a face lies between the face and where the cut
    /// ends, above the mid-plane on the gear face and below it on the plain one.
    #[must_use]
    pub fn moments(&self, before: &Heights, levels: &Levels) -> CutMoments {
        PLACES
            .iter()
            .zip(levels)
            .filter_map(|(place, level)| level.map(|level| self.from(before, place, level, levels)))
            .fold(CutMoments::default(), CutMoments::and)
    }

    /// What was really taken between two measurements of the faces: under the land what its plane
    /// went down by, outside it what the tips' plane did. Where a face went up, less than nothing.
    #[must_use]
    pub fn between(&self, before: &Heights, after: &Heights) -> CutMoments {
        PLACES
            .iter()
            .map(|place| {
                let (was, is) = (before.face(place.face), after.face(place.face));
                let (over, from, to, radius) = match place.area {
                    Area::Land => (self.land, &was.land, &is.land, self.land_radius),
                    Area::Tip => (self.outside, &was.tip, &is.tip, self.tip_radius),
                };
                let (was, is) = (Plane::through(from, radius), Plane::through(to, radius));
                layer(over, up(place.face), |x, y| (was.at(x, y), is.at(x, y)))
            })
            .fold(CutMoments::default(), CutMoments::and)
    }

    fn from(&self, before: &Heights, place: &Place, level: Length, levels: &Levels) -> CutMoments {
        let face = before.face(place.face);
        let up = up(place.face);
        let cut = |from_m: f64, to_m: f64| (from_m, to_m.min(from_m));
        match place.area {
            Area::Land => {
                let now = Plane::through(&face.land, self.land_radius);
                layer(self.land, up, |x, y| cut(now.at(x, y), level.to_m()))
            }
            Area::Tip => {
                let now = Plane::through(&face.tip, self.tip_radius);
                // The land that a taper starts from: its new level, or as it is.
                let land = levels[PLACES.iter().position(|p| p.face == place.face).unwrap_or(0)]
                    .unwrap_or_else(|| face.land.iter().copied().fold(face.land[0], Length::max));
                let step = land - level;
                layer(self.outside, up, |x, y| {
                    cut(now.at(x, y), (land - self.depth_at(x.hypot(y), step)).to_m())
                })
            }
        }
    }

    /// Depth below the land at a radius, for the full step at the tip radius.
    fn depth_at(&self, radius_m: f64, step: Length) -> Length {
        match self.shape {
            Outside::Step => step,
            Outside::Taper { start, root } => {
                let share = (Length::m(radius_m) - start) / (self.tip_radius - start);
                if share < 0.0 { Length::ZERO } else { root + (step - root) * share }
            }
        }
    }
}

/// Which way a face looks along `z_r`.
const fn up(face: Face) -> f64 {
    match face {
        Face::Gear => 1.0,
        Face::Plain => -1.0,
    }
}

/// What lies over a face between two heights, `(from, down to)` at each place.
fn layer(over: &FaceQuadrature, up: f64, heights_m: impl Fn(f64, f64) -> (f64, f64)) -> CutMoments {
    over.nodes().iter().fold(CutMoments::default(), |sum, node| {
        let (x, y) = (node.x_m, node.y_m);
        let (from_m, to_m) = heights_m(x, y);
        let depth_m = from_m - to_m;
        let volume_m3 = node.weight_m2 * depth_m;
        let middle_m = 0.5 * (from_m + to_m);
        sum.and(CutMoments {
            volume_m3,
            xy_m4: [volume_m3 * x, volume_m3 * y],
            z_m4: up * volume_m3 * middle_m,
            polar_m5: volume_m3 * (x * x + y * y),
            zz_m5: volume_m3 * (middle_m * middle_m + depth_m * depth_m / 12.0),
        })
    })
}

/// The plane through three heights at the azimuths of the tips.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Plane {
    mean_m: f64,
    slope_x: f64,
    slope_y: f64,
}

impl Plane {
    pub(crate) fn through(heights: &[Length; TIPS], radius: Length) -> Self {
        let mut plane = Self { mean_m: 0.0, slope_x: 0.0, slope_y: 0.0 };
        for (k, height) in heights.iter().enumerate() {
            let azimuth_rad = -TAU * k as f64 / 3.0;
            let height_m = height.to_m();
            plane.mean_m += height_m / 3.0;
            plane.slope_x += 2.0 / 3.0 * height_m * azimuth_rad.cos() / radius.to_m();
            plane.slope_y += 2.0 / 3.0 * height_m * azimuth_rad.sin() / radius.to_m();
        }
        plane
    }

    pub(crate) fn at(&self, x_m: f64, y_m: f64) -> f64 {
        self.mean_m + self.slope_x * x_m + self.slope_y * y_m
    }

    /// Rise per length where it is steepest.
    pub(crate) fn steepness(&self) -> f64 {
        self.slope_x.hypot(self.slope_y)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::{Flank, LandRing, LandSizes, SideFace, SideFaceSizes, Trochoid};
    use crate::readings::FaceHeights;

    fn areas() -> (FaceQuadrature, FaceQuadrature) {
        let mm = Length::mm;
        let trochoid = Trochoid::new(mm(101.5), mm(14.5), mm(2.5)).unwrap();
        let sizes = SideFaceSizes { land_radius: mm(61.0), rotor_tip_radius: mm(99.0) };
        let face = SideFace::new(Flank::new(trochoid, Length::ZERO).unwrap(), sizes, &[]).unwrap();
        let ring = LandRing::new(LandSizes { inner: mm(46.0), outer: mm(61.0) }, &[]).unwrap();
        (ring.quadrature(), face.quadrature())
    }

    fn stepped<'a>(land: &'a FaceQuadrature, outside: &'a FaceQuadrature) -> CutAreas<'a> {
        CutAreas {
            land,
            outside,
            land_radius: Length::mm(61.0),
            tip_radius: Length::mm(99.0),
            shape: Outside::Step,
        }
    }

    fn heights(land: [f64; 3], tip: [f64; 3]) -> Heights {
        let face = FaceHeights { land: land.map(Length::mm), tip: tip.map(Length::mm) };
        Heights { gear: face, plain: face }
    }

    /// A cut that reaches the whole face takes area times the mean of its depths at the tips: the
    /// face is turned into itself by a third of a turn, so its centroid lies on the axis.
    #[test]
    fn a_cut_over_the_whole_face_takes_area_times_mean_depth() {
        let (land, outside) = areas();
        let cut = stepped(&land, &outside);
        let before = heights([39.95, 39.96, 39.97], [39.85, 39.87, 39.86]);
        let level = |mm: f64| Some(Length::mm(mm));
        let removed = cut.removed(&before, &[level(39.90), None, level(39.77), None]);
        let expected = land.area() * Length::mm(0.06) + outside.area() * Length::mm(0.09);
        assert!(
            (removed.to_mm3() / expected.to_mm3() - 1.0).abs() < 1e-9,
            "{removed:?} {expected:?}"
        );
    }

    /// A cut that is deeper at one tip takes its metal from there: with depth `d (1 + x/r)` over a
    /// face that is turned into itself by a third of a turn, the first moment is `d/r` times half
    /// the polar one of the area.
    #[test]
    fn a_deeper_cut_at_one_tip_takes_metal_from_that_side() {
        let (land, outside) = areas();
        let cut = stepped(&land, &outside);
        let (d, level) = (0.10, 39.75);
        let tips = [level + 2.0 * d, level + 0.5 * d, level + 0.5 * d];
        let before = heights([39.95; 3], tips);
        let gear = cut.moments(&before, &[None, None, Some(Length::mm(level)), None]);
        let polar_m4 = outside.integral(|x, y| x * x + y * y);
        let expected = d * 1e-3 / 0.099 * 0.5 * polar_m4;
        assert!((gear.xy_m4[0] / expected - 1.0).abs() < 1e-9, "{gear:?} {expected:e}");
        assert!(gear.xy_m4[1].abs() < 1e-9 * expected);
        let middle_m = gear.z_m4 / gear.volume_m3;
        assert!((39.75e-3..39.95e-3).contains(&middle_m), "{middle_m}");
        let plain = cut.moments(&before, &[None, None, None, Some(Length::mm(level))]);
        assert!((plain.z_m4 + gear.z_m4).abs() < 1e-12 * gear.z_m4);
        let gyration_m = (gear.polar_m5 / gear.volume_m3).sqrt();
        assert!((0.061..0.099).contains(&gyration_m), "{gyration_m}");
    }

    /// What lies between faces before and after is what a cut to those heights takes.
    #[test]
    fn measured_before_and_after_is_what_was_cut() {
        let (land, outside) = areas();
        let cut = stepped(&land, &outside);
        let before = heights([39.95, 39.96, 39.97], [39.85, 39.87, 39.86]);
        let level = |mm: f64| Some(Length::mm(mm));
        let planned =
            cut.moments(&before, &[level(39.90), level(39.90), level(39.77), level(39.77)]);
        let between = cut.between(&before, &heights([39.90; 3], [39.77; 3]));
        assert!((between.volume_m3 / planned.volume_m3 - 1.0).abs() < 1e-12);
        assert!((between.xy_m4[1] - planned.xy_m4[1]).abs() < 1e-15);
        assert!((between.polar_m5 / planned.polar_m5 - 1.0).abs() < 1e-12);
        // Deeper at tip 1 by 30 um on one face: lighter there.
        let after = heights([39.90; 3], [39.77, 39.80, 39.80]);
        let less = cut.between(&before, &after).xy_m4[0] - between.xy_m4[0];
        assert!(less > 0.0, "{less:e}");
    }

    #[test]
    fn a_face_below_the_level_loses_nothing_and_a_taper_less_than_a_step() {
        let (land, outside) = areas();
        let mut cut = CutAreas {
            land: &land,
            outside: &outside,
            land_radius: Length::mm(61.0),
            tip_radius: Length::mm(99.0),
            shape: Outside::Step,
        };
        let before = heights([39.95; 3], [39.85; 3]);
        let at = |mm: f64| [None, None, Some(Length::mm(mm)), None];
        assert_eq!(cut.removed(&before, &at(39.86)), Volume::ZERO);
        let step = cut.removed(&before, &at(39.75));
        cut.shape = Outside::Taper { start: Length::mm(61.0), root: Length::ZERO };
        let taper = cut.removed(&before, &at(39.75));
        assert!(taper > Volume::ZERO && taper < step);
    }

    #[test]
    fn the_plane_goes_through_its_three_heights() {
        let heights = [0.3, 0.5, 0.9].map(Length::mm);
        let plane = Plane::through(&heights, Length::mm(99.0));
        for (k, height) in heights.iter().enumerate() {
            let azimuth = -TAU * k as f64 / 3.0;
            let at = plane.at(0.099 * azimuth.cos(), 0.099 * azimuth.sin());
            assert!((at - height.to_m()).abs() < 1e-15);
        }
    }
}
