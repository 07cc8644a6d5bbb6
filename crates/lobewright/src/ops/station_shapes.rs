//! The shapes on which readings are shown where they are taken, from an engine's sizes alone:
//! they are wanted before anything of the build was read.

use super::inputs::LAND_INNER_SHARE;
use crate::build_file::model::Engine;
use drawings::{Point, RotorShape, SideShape, WallPoint};
use kernel::geometry::{Bore, EnginePoint, Flank, SideFace, SideFaceSizes, Trochoid};
use kernel::units::{Angle, Length};

/// Points of a bore.
const BORE_POINTS: u32 = 360;
/// Points of a third of a rotor's outline.
const OUTLINE_PER_THIRD: usize = 60;
/// Inner edge of the tips' track as a share of `rotor_tip_radius`: about a corner seal's width,
/// for the picture alone.
const TRACK_SHARE: f64 = 0.9;

/// What an engine's sizes say of the shapes of its parts. What they do not make is left out: the
/// picture then shows another engine's and says so.
#[derive(Debug, Clone, PartialEq)]
pub struct StationShapes {
    /// A rotor's side face.
    pub rotor: Option<RotorShape>,
    /// The bore of a rotor housing.
    pub bore: Option<Vec<WallPoint>>,
    /// The tracks on a side housing.
    pub side: Option<SideShape>,
}

/// The shapes of an engine.
#[must_use]
pub fn station_shapes(engine: &Engine) -> StationShapes {
    let bore = closed(engine.generating_radius, engine.parallel_shift, engine, Bore::point);
    StationShapes { rotor: rotor(engine), side: side(engine, bore.as_deref()), bore }
}

fn land_inner_radius(engine: &Engine) -> Length {
    engine.land_inner_radius.unwrap_or(engine.land_radius * LAND_INNER_SHARE)
}

fn rotor(engine: &Engine) -> Option<RotorShape> {
    let trochoid =
        Trochoid::new(engine.generating_radius, engine.eccentricity, engine.parallel_shift).ok()?;
    let flank = Flank::new(trochoid, Length::ZERO).ok()?;
    let sizes = SideFaceSizes {
        land_radius: engine.land_radius,
        rotor_tip_radius: engine.rotor_tip_radius,
    };
    let outline = SideFace::new(flank, sizes, &[])
        .and_then(|face| face.outline_points(OUTLINE_PER_THIRD))
        .ok()?
        .into_iter()
        .map(|point| point.place())
        .map(|place| Point { x: place.x, y: place.y })
        .collect();
    Some(RotorShape {
        outline,
        land_inner_radius: land_inner_radius(engine),
        land_radius: engine.land_radius,
        reading_radius: engine.reading_radius.unwrap_or(engine.rotor_tip_radius),
        gear_radius: engine.eccentricity * 3.0,
    })
}

fn side(engine: &Engine, bore: Option<&[WallPoint]>) -> Option<SideShape> {
    let throw = engine.eccentricity;
    let tip_path =
        closed(engine.rotor_tip_radius * TRACK_SHARE, Length::ZERO, engine, Bore::generating_point);
    Some(SideShape {
        bore: bore?.to_vec(),
        land_track: (
            (land_inner_radius(engine) - throw).max(Length::ZERO),
            engine.land_radius + throw,
        ),
        tip_path: tip_path?,
    })
}

/// A curve of the bore's family, point by point.
fn closed(
    radius: Length,
    shift: Length,
    engine: &Engine,
    point: fn(&Bore, Angle) -> EnginePoint,
) -> Option<Vec<WallPoint>> {
    let bore = Bore::of(Trochoid::new(radius, engine.eccentricity, shift).ok()?);
    let at = |n: u32| point(&bore, Angle::deg(360.0 * f64::from(n) / f64::from(BORE_POINTS)));
    Some((0..BORE_POINTS).map(at).map(|p| WallPoint { x: p.x, y: p.y }).collect())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::build_file;

    fn engine() -> Engine {
        let text = include_str!("../../../../examples/sprint-boat.toml");
        build_file::read(text).unwrap().engine
    }

    #[test]
    fn shapes_have_the_engines_sizes() {
        let engine = engine();
        let shapes = station_shapes(&engine);
        let rotor = shapes.rotor.unwrap();
        assert_eq!((rotor.outline[0].x, rotor.land_radius.to_mm()), (Length::mm(99.0), 61.0));
        // 0.75 of the land's radius, where the file does not say.
        assert!((rotor.land_inner_radius.to_mm() - 45.75).abs() < 1e-9);
        let bore = shapes.bore.unwrap();
        assert!((bore[0].x.to_mm() - 118.5).abs() < 1e-9, "R + e + a on the long axis");
        let side = shapes.side.unwrap();
        assert!((side.land_track.1.to_mm() - 75.5).abs() < 1e-9, "land radius and throw");
        for (wall, track) in side.bore.iter().zip(&side.tip_path) {
            let radius = |p: &WallPoint| p.x.to_mm().hypot(p.y.to_mm());
            assert!(radius(track) < radius(wall));
        }
    }

    /// An engine that cannot be has no shape of its own.
    #[test]
    fn sizes_that_make_no_engine_leave_the_shapes_out() {
        let engine = Engine { eccentricity: Length::mm(60.0), ..engine() };
        let shapes = station_shapes(&engine);
        assert_eq!((shapes.rotor, shapes.bore, shapes.side), (None, None, None));
        let engine = Engine { land_radius: Length::mm(98.0), ..self::engine() };
        let shapes = station_shapes(&engine);
        assert!(shapes.rotor.is_none() && shapes.bore.is_some(), "the land stands over the flanks");
    }
}
