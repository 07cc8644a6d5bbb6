//! Metal that a plan removes: true depth over true area, grooves left out.
//!
//! A face is known at three points: its land and its tips each lie on the plane through three
//! heights. A cut goes down to a level, and nothing is cut where the face already lies below.

use super::candidate::Area;
use super::finish::{Levels, PLACES, Place};
use crate::geometry::FaceQuadrature;
use crate::readings::{Heights, TIPS};
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

impl CutAreas<'_> {
    /// Volume removed when these faces are cut to these levels.
    #[must_use]
    pub fn removed(&self, before: &Heights, levels: &Levels) -> Volume {
        PLACES
            .iter()
            .zip(levels)
            .filter_map(|(place, level)| level.map(|level| self.from(before, place, level, levels)))
            .map(Volume::m3)
            .sum()
    }

    fn from(&self, before: &Heights, place: &Place, level: Length, levels: &Levels) -> f64 {
        let face = before.face(place.face);
        match place.area {
            Area::Land => {
                let now = Plane::through(&face.land, self.land_radius);
                self.land.integral(|x, y| (now.at(x, y) - level.to_m()).max(0.0))
            }
            Area::Tip => {
                let now = Plane::through(&face.tip, self.tip_radius);
                // The land that a taper starts from: its new level, or as it is.
                let land = levels[PLACES.iter().position(|p| p.face == place.face).unwrap_or(0)]
                    .unwrap_or_else(|| face.land.iter().copied().fold(face.land[0], Length::max));
                let step = land - level;
                self.outside.integral(|x, y| {
                    let target_m = (land - self.depth_at(x.hypot(y), step)).to_m();
                    (now.at(x, y) - target_m).max(0.0)
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

/// The plane through three heights at the azimuths of the tips.
#[derive(Debug, Clone, Copy)]
struct Plane {
    mean_m: f64,
    slope_x: f64,
    slope_y: f64,
}

impl Plane {
    fn through(heights: &[Length; TIPS], radius: Length) -> Self {
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

    fn at(&self, x_m: f64, y_m: f64) -> f64 {
        self.mean_m + self.slope_x * x_m + self.slope_y * y_m
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

    fn heights(land: [f64; 3], tip: [f64; 3]) -> Heights {
        let face = FaceHeights { land: land.map(Length::mm), tip: tip.map(Length::mm) };
        Heights { gear: face, plain: face }
    }

    /// A cut that reaches the whole face takes area times the mean of its depths at the tips: the
    /// face is turned into itself by a third of a turn, so its centroid lies on the axis.
    #[test]
    fn a_cut_over_the_whole_face_takes_area_times_mean_depth() {
        let (land, outside) = areas();
        let cut = CutAreas {
            land: &land,
            outside: &outside,
            land_radius: Length::mm(61.0),
            tip_radius: Length::mm(99.0),
            shape: Outside::Step,
        };
        let before = heights([39.95, 39.96, 39.97], [39.85, 39.87, 39.86]);
        let level = |mm: f64| Some(Length::mm(mm));
        let removed = cut.removed(&before, &[level(39.90), None, level(39.77), None]);
        let expected = land.area() * Length::mm(0.06) + outside.area() * Length::mm(0.09);
        assert!(
            (removed.to_mm3() / expected.to_mm3() - 1.0).abs() < 1e-9,
            "{removed:?} {expected:?}"
        );
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
