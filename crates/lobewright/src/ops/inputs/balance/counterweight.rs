//! A counterweight of the file as the kernel drills it.

use super::super::super::assumed::Assumed;
use super::BalanceError;
use crate::build_file::Build;
use crate::build_file::model::balance::{CorrectionPlane, How as HowWord, Place as PlaceWords};
use kernel::balance::PlaneWays;
use kernel::balance::drilling::{Counterweight, How, Place};
use kernel::units::{Angle, Length};

/// What the file leaves out of a counterweight (common practice, no source).
const STEEL: &str = "steel";
/// Point of a twist drill.
const POINT: Angle = Angle::deg(118.0);
/// Depths of a drill press with a stop.
const DEPTH_STEP: Length = Length::mm(0.1);
/// A shallower hole is not worth a drill.
const LEAST_DEPTH: Length = Length::mm(2.0);
/// Metal that stays between holes, and between a hole and an edge.
const METAL: Length = Length::mm(2.0);

pub(in crate::ops) fn counterweight(
    build: &Build,
    given: &CorrectionPlane,
    name: &'static str,
    assumed: &mut Assumed,
) -> Result<PlaneWays, BalanceError> {
    let material = given.material.clone().unwrap_or_else(|| {
        assumed.note(format!("the {name} counterweight of {STEEL} (balance.{name}.material)"));
        STEEL.to_owned()
    });
    let density = build.material(&material).ok_or(BalanceError::Material(material))?.density;
    let mut length = |given: Option<Length>, usual: Length, key: &str, what: &str| {
        given.unwrap_or_else(|| {
            assumed.note(format!("{what} {} mm (balance.front and rear, {key})", usual.to_mm()));
            usual
        })
    };
    let counterweight = Counterweight {
        density_kg_m3: density.to_kg_per_m3(),
        drills_m: given.drills.iter().map(|drill| drill.to_m()).collect(),
        point_angle_rad: given.point_angle.unwrap_or(POINT).to_rad(),
        least_depth_m: length(given.least_depth, LEAST_DEPTH, "least_depth", "holes from").to_m(),
        depth_step_m: length(given.depth_step, DEPTH_STEP, "depth_step", "depths to").to_m(),
        between_m: length(given.between, METAL, "between", "metal between holes").to_m(),
        to_edge_m: length(given.to_edge, METAL, "to_edge", "metal to an edge").to_m(),
        slug_kg_m3: given.slug_density.map(|density| density.to_kg_per_m3()),
        places: given.places.iter().flat_map(places).collect(),
    };
    let faces_m = given
        .places
        .iter()
        .flat_map(|place| place.angles.iter().map(|_| place.face_at.map(Length::to_m)))
        .collect();
    let ways = counterweight
        .ways()
        .map_err(|source| BalanceError::Drilling { planes: of(name), source })?;
    Ok(PlaneWays { ways, faces_m })
}

fn of(name: &str) -> &'static str {
    if name == "front" { "balance.front" } else { "balance.rear" }
}

/// One place for each angle.
fn places(place: &PlaceWords) -> impl Iterator<Item = Place> + '_ {
    let deepest_m = place.deepest.unwrap_or_default().to_m();
    let edge_m = place.edge.map(Length::to_m);
    let how = match place.how {
        HowWord::FaceHole => How::FaceHole { deepest_m, edge_m },
        HowWord::RimHole => How::RimHole { deepest_m, edge_m },
        HowWord::Slug => How::Slug { deepest_m, edge_m },
        HowWord::Flat => How::Flat { deepest_m, width_m: place.width.unwrap_or_default().to_m() },
        HowWord::Added => {
            How::Masses { masses_kg: place.masses.iter().map(|mass| mass.to_kg()).collect() }
        }
    };
    place.angles.iter().map(move |angle| Place {
        how: how.clone(),
        angle_rad: angle.to_rad(),
        radius_m: place.radius.to_m(),
    })
}
