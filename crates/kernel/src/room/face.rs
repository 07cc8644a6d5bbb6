//! The two side faces of a rotor as heights over the mid-plane, cold and hot.
//!
//! Everything here is in mounted axes: origin on the rotor's axis in its mid-plane, `x` through
//! tip 1, azimuth positive about the engine's `z`. A rotor whose gear face looks to the rear has
//! tip `k` at `−120°(k − 1)`, one whose gear face looks to the front at `+120°(k − 1)`.

use super::model::{Outside, RoomModel};
use crate::geometry::{Looks, OutlinePoint};
use crate::heat::ThermalState;
use crate::readings::{Face, Heights, TIPS};
use crate::units::{Angle, Expansion, Length};
use std::f64::consts::TAU;

/// Radii of the taper that are checked between its start and the tip, on every tip azimuth.
const TAPER_RADII: usize = 4;

/// A height over the mid-plane that is linear in place: `h + gx x + gy y`.
#[derive(Debug, Clone, Copy)]
pub(super) struct Plane {
    pub(super) height_m: f64,
    pub(super) gradient: [f64; 2],
}

impl Plane {
    /// Through three heights read at `radius_m` on the tip azimuths.
    fn through(heights: [Length; TIPS], radius_m: f64, looks: Looks) -> Self {
        let mut gradient = [0.0; 2];
        for (tip, height) in heights.iter().enumerate() {
            let azimuth = mounted_rad(tip_azimuth_rad(tip), looks);
            let weight = 2.0 / (3.0 * radius_m) * height.to_m();
            gradient[0] += weight * azimuth.cos();
            gradient[1] += weight * azimuth.sin();
        }
        Self { height_m: heights.iter().map(|h| h.to_m()).sum::<f64>() / 3.0, gradient }
    }

    pub(super) fn at(&self, x_m: f64, y_m: f64) -> f64 {
        self.height_m + self.gradient[0] * x_m + self.gradient[1] * y_m
    }

    /// Everything times a factor.
    pub(super) fn times(&self, factor: f64) -> Self {
        Self {
            height_m: self.height_m * factor,
            gradient: [self.gradient[0] * factor, self.gradient[1] * factor],
        }
    }
}

/// Azimuth of a tip (0, 1, 2) about `z_r`, which points out of the gear face.
pub(super) fn tip_azimuth_rad(tip: usize) -> f64 {
    -TAU / 3.0 * tip as f64
}

/// An azimuth about `z_r` as one about the engine's `z`.
fn mounted_rad(azimuth_rad: f64, looks: Looks) -> f64 {
    match looks {
        Looks::Rear => azimuth_rad,
        Looks::Front => -azimuth_rad,
    }
}

/// A point of the side face outside the land, where a touch would be one of the tips' side.
#[derive(Debug, Clone, Copy)]
pub(super) struct Spot {
    pub(super) x_m: f64,
    pub(super) y_m: f64,
    pub(super) radius_m: f64,
    /// Azimuth about `z_r` from tip 1.
    pub(super) azimuth: Angle,
    /// Which tip (0, 1, 2), if it is one.
    pub(super) tip: Option<usize>,
}

impl Spot {
    fn new(point: OutlinePoint, tip: Option<usize>, looks: Looks) -> Self {
        let azimuth_rad = mounted_rad(point.azimuth.to_rad(), looks);
        let radius_m = point.radius.to_m();
        Self {
            x_m: radius_m * azimuth_rad.cos(),
            y_m: radius_m * azimuth_rad.sin(),
            radius_m,
            azimuth: point.azimuth,
            tip,
        }
    }
}

/// The points to be checked: the three tips first, then the rest of the outline, then the radii
/// of a taper. The outline is known to hold the three tips.
pub(super) fn spots(model: &RoomModel, contact_m: f64) -> Vec<Spot> {
    let tip_point =
        |tip| OutlinePoint { azimuth: Angle::rad(tip_azimuth_rad(tip)), radius: model.tip_radius };
    let mut all: Vec<Spot> =
        (0..TIPS).map(|tip| Spot::new(tip_point(tip), Some(tip), model.gear_face_looks)).collect();
    all.extend(
        model
            .outline
            .iter()
            .filter(|point| model.tip_at(point).is_none())
            .map(|&point| Spot::new(point, None, model.gear_face_looks)),
    );
    if let Outside::Taper { root, .. } = model.outside {
        // Without a root the face is level with the ring at the start, and part of it.
        let first = usize::from(root == Length::ZERO);
        for tip in 0..TIPS {
            for i in first..TAPER_RADII {
                let part = i as f64 / TAPER_RADII as f64;
                let radius_m = contact_m + part * (model.tip_radius.to_m() - contact_m);
                let point = OutlinePoint { radius: Length::m(radius_m), ..tip_point(tip) };
                all.push(Spot::new(point, None, model.gear_face_looks));
            }
        }
    }
    all
}

/// Both faces in one thermal state, in mounted axes.
#[derive(Debug, Clone)]
pub(super) struct HotFaces {
    /// Land of the face that looks to the rear, then of the one that looks to the front.
    pub(super) land: [Plane; 2],
    /// Heights of the spots on the two faces, in the same order.
    pub(super) spots_m: [Vec<f64>; 2],
}

impl HotFaces {
    pub(super) fn new(model: &RoomModel, spots: &[Spot], state: &ThermalState) -> Self {
        Self::of(model, &model.heights, model.rotor_expansion, spots, state)
    }

    /// Other heights of a rotor that is else as the model says.
    pub(super) fn of(
        model: &RoomModel,
        cold: &Heights,
        rotor_expansion: Expansion,
        spots: &[Spot],
        state: &ThermalState,
    ) -> Self {
        let expansion = rotor_expansion.to_per_k();
        let growth = |rise_k: f64| 1.0 + expansion * rise_k;
        let (land_k, tip_k) = (state.land.to_k(), state.tip.to_k());
        let looks = model.gear_face_looks;
        let faces = model.gear_face_looks.faces_rear_then_front();
        let tip_radius_m = model.tip_radius.to_m();
        let read_m = model.reading_radius.unwrap_or(model.tip_radius).to_m();
        let cold = faces.map(|face| {
            let heights = cold.face(face);
            (
                Plane::through(heights.land, model.land_radius.to_m(), looks),
                Plane::through(heights.tip, read_m, looks),
            )
        });
        let spots_m = cold.map(|(land, tip)| {
            let height_m = |spot: &Spot| match model.outside {
                Outside::Step => tip.at(spot.x_m, spot.y_m) * growth(tip_k),
                Outside::Taper { start, root } => {
                    let (start_m, root_m) = (start.to_m(), root.to_m());
                    let to_read = read_m / spot.radius_m;
                    let (x_m, y_m) = (spot.x_m * to_read, spot.y_m * to_read);
                    let depth_read_m = land.at(x_m, y_m) - tip.at(x_m, y_m);
                    let out_m = spot.radius_m - start_m;
                    let depth_m = root_m + (depth_read_m - root_m) * out_m / (read_m - start_m);
                    let part = out_m / (tip_radius_m - start_m);
                    let rise_k = land_k + part * (tip_k - land_k);
                    (land.at(spot.x_m, spot.y_m) - depth_m) * growth(rise_k)
                }
            };
            spots.iter().map(height_m).collect()
        });
        Self { land: cold.map(|(land, _)| land.times(growth(land_k))), spots_m }
    }
}

impl Looks {
    /// The face that looks to the rear, then the one that looks to the front.
    pub(super) const fn faces_rear_then_front(self) -> [Face; 2] {
        match self {
            Self::Rear => [Face::Gear, Face::Plain],
            Self::Front => [Face::Plain, Face::Gear],
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{Plane, mounted_rad, tip_azimuth_rad};
    use crate::geometry::Looks;
    use crate::units::Length;

    #[test]
    fn a_plane_goes_through_its_three_heights() {
        let heights = [Length::um(10.0), Length::um(-4.0), Length::um(31.0)];
        for looks in [Looks::Rear, Looks::Front] {
            let plane = Plane::through(heights, 0.061, looks);
            for (tip, height) in heights.iter().enumerate() {
                let azimuth = mounted_rad(tip_azimuth_rad(tip), looks);
                let at = plane.at(0.061 * azimuth.cos(), 0.061 * azimuth.sin());
                assert!((at - height.to_m()).abs() < 1e-18, "{tip}");
            }
        }
    }
}
