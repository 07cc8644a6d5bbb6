//! Shapes of the parts that a reading is taken on, and shapes like them for an engine whose sizes
//! are not known yet.

use crate::rotor_shape::{Point, RotorShape};
use crate::wear_map::WallPoint;
use kernel::geometry::{Bore, EnginePoint, Flank, SideFace, SideFaceSizes, Trochoid};
use kernel::units::{Angle, Length};

/// What is drawn of a side housing's face.
#[derive(Debug, Clone, PartialEq)]
pub struct SideShape {
    /// The bore's outline in the engine's axes, in order around; it is closed by itself.
    pub bore: Vec<WallPoint>,
    /// Inner and outer radius, about the shaft's axis, of the ring that the land sweeps.
    pub land_track: (Length, Length),
    /// Inner edge of what the tips sweep, in order around; it is closed by itself.
    pub tip_path: Vec<WallPoint>,
}

/// Lengths of an engine like many: a generating radius of seven eccentricities.
const RADIUS_MM: f64 = 105.0;
const ECCENTRICITY_MM: f64 = 15.0;
const SHIFT_MM: f64 = 2.5;
const LAND_MM: f64 = 63.0;
const LAND_INNER_MM: f64 = 47.0;
const TIP_MM: f64 = 102.0;
/// Inner edge of the tips' track: where the steps are read less the width of a corner seal.
const TRACK_MM: f64 = 91.0;
/// Points of an outline: enough that no corner shows.
const POINTS: u32 = 240;

fn trochoid(radius_mm: f64, shift_mm: f64) -> Option<Trochoid> {
    let [radius, eccentricity, shift] = [radius_mm, ECCENTRICITY_MM, shift_mm].map(Length::mm);
    Trochoid::new(radius, eccentricity, shift).ok()
}

/// Once around, point by point.
fn closed(trochoid: Option<Trochoid>, point: fn(&Bore, Angle) -> EnginePoint) -> Vec<WallPoint> {
    let Some(trochoid) = trochoid else { return Vec::new() };
    let bore = Bore::of(trochoid);
    (0..POINTS)
        .map(|n| point(&bore, Angle::deg(360.0 * f64::from(n) / f64::from(POINTS))))
        .map(|p| WallPoint { x: p.x, y: p.y })
        .collect()
}

/// A bore like many.
pub(crate) fn generic_bore() -> Vec<WallPoint> {
    closed(trochoid(RADIUS_MM, SHIFT_MM), Bore::point)
}

impl RotorShape {
    /// A rotor like many.
    #[must_use]
    pub fn generic() -> Self {
        let sizes = SideFaceSizes {
            land_radius: Length::mm(LAND_MM),
            rotor_tip_radius: Length::mm(TIP_MM),
        };
        let outline = trochoid(RADIUS_MM, SHIFT_MM)
            .and_then(|trochoid| Flank::new(trochoid, Length::mm(0.5)).ok())
            .and_then(|flank| SideFace::new(flank, sizes, &[]).ok())
            .and_then(|face| face.outline_points(60).ok())
            .unwrap_or_default()
            .into_iter()
            .map(|point| point.place())
            .map(|place| Point { x: place.x, y: place.y })
            .collect();
        Self {
            outline,
            land_inner_radius: Length::mm(LAND_INNER_MM),
            land_radius: Length::mm(LAND_MM),
            reading_radius: Length::mm(TIP_MM),
            gear_radius: Length::mm(3.0 * ECCENTRICITY_MM),
        }
    }
}

impl SideShape {
    /// A side housing like many.
    #[must_use]
    pub fn generic() -> Self {
        let tip_path = closed(trochoid(TRACK_MM, 0.0), Bore::generating_point);
        let land_track =
            (Length::mm(LAND_INNER_MM - ECCENTRICITY_MM), Length::mm(LAND_MM + ECCENTRICITY_MM));
        Self { bore: generic_bore(), land_track, tip_path }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn shapes_like_many_are_whole() {
        let rotor = RotorShape::generic();
        assert_eq!(rotor.outline.len(), 180);
        let tip = rotor.outline[0];
        assert!((tip.x.to_mm() - TIP_MM).abs() < 1e-9 && tip.y.to_mm().abs() < 1e-9);
        let side = SideShape::generic();
        assert_eq!((side.bore.len(), side.tip_path.len()), (240, 240));
        for (bore, path) in side.bore.iter().zip(&side.tip_path) {
            let radius = |p: &WallPoint| p.x.to_mm().hypot(p.y.to_mm());
            assert!(radius(path) < radius(bore));
        }
    }
}
