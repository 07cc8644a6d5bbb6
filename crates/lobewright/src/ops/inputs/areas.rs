//! The face and the land as areas, and the radii at which things lie.

use super::super::assumed::Assumed;
use super::InputError;
use crate::build_file::Build;
use kernel::geometry::{
    Flank, GeometryError, Grooves, LandRing, LandSizes, RingGroove, SideFace, SideFaceSizes,
    Trochoid,
};
use kernel::units::{Length, System};

/// Inner edge of the land as a share of its outer radius.
pub(in crate::ops) const LAND_INNER_SHARE: f64 = 0.75;

/// The flank, less the running gap.
pub(super) fn flank(build: &Build, trochoid: Trochoid) -> Result<Flank, GeometryError> {
    let running_gap = build.seals.apex.and_then(|apex| apex.running_gap).unwrap_or_default();
    Flank::new(trochoid, running_gap)
}

/// The side face with the grooves that are known: their metal is not there to be removed.
pub(super) fn side_face(build: &Build, flank: Flank) -> Result<SideFace, GeometryError> {
    let engine = &build.engine;
    let seals = &build.seals;
    let sizes = SideFaceSizes {
        land_radius: engine.land_radius,
        rotor_tip_radius: engine.rotor_tip_radius,
    };
    let grooves = Grooves {
        corner_bore: seals.corner.and_then(|corner| corner.bore_diameter.zip(corner.radius)),
        side: seals.side.and_then(|side| side.groove_width.zip(side.groove_length)),
        apex: seals.apex.and_then(|apex| apex.groove_width.zip(apex.groove_depth)),
    };
    let whole = SideFace::new(flank, sizes, &[])?;
    SideFace::new(flank, sizes, &grooves.voids(&whole))
}

pub(super) fn land_ring(build: &Build, inner: Length) -> Result<LandRing, GeometryError> {
    let outer = build.engine.land_radius;
    let grooves: Vec<RingGroove> = build
        .seals
        .oil
        .and_then(|oil| oil.radius.zip(oil.groove_width))
        .map(|(radius, width)| RingGroove {
            inner: (radius - width / 2.0).max(inner),
            outer: (radius + width / 2.0).min(outer),
        })
        .filter(|groove| groove.inner < groove.outer)
        .into_iter()
        .collect();
    LandRing::new(LandSizes { inner, outer }, &grooves)
}

/// Inner edge of the land, for the metal removed.
pub(super) fn land_inner_radius(build: &Build, first: System, assumed: &mut Assumed) -> Length {
    let engine = &build.engine;
    engine.land_inner_radius.unwrap_or_else(|| {
        let inner = engine.land_radius * LAND_INNER_SHARE;
        assumed.note(format!(
            "inner edge of the land at {} ({LAND_INNER_SHARE} of land_radius), for the metal removed",
            inner.as_size(first)
        ));
        inner
    })
}

/// Where steps are read: the outermost radius unless the file says another. A stepped face is as
/// low there as at its tips, which is said; a tapered one is not.
pub(super) fn reading_radius(
    build: &Build,
    first: System,
    assumed: &mut Assumed,
) -> Result<Length, InputError> {
    let engine = &build.engine;
    let radius = engine.reading_radius.unwrap_or(engine.rotor_tip_radius);
    if radius != engine.rotor_tip_radius {
        if build.spec.taper.is_some() {
            return Err(InputError::TaperReadElsewhere);
        }
        assumed.note(format!(
            "faces as low at the tips as at radius {}, where steps were read",
            radius.as_size(first)
        ));
    }
    Ok(radius)
}

/// Radius of the outermost contact of the lands: their edge, or the start of a taper.
pub(super) fn contact_radius(build: &Build) -> Length {
    build.spec.taper.map_or(build.engine.land_radius, |taper| taper.start)
}
