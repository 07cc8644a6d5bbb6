//! The room of a rotor in motion: one thermal state, a place for every degree, and faces that may
//! be exchanged without making the places anew.
//!
//! Everything here is in engine axes. A rotor's axis leans by `(t_x, t_y)`, the slopes of its
//! axis; a point `(x, y)` of its mid-plane from the rotor's centre then lies at
//! `z − t_x x − t_y y` along the shaft.

use super::error::RoomError;
use super::face::HotFaces;
use super::model::RoomModel;
use super::program::{FREE_M, is_free};
use super::ring::Lands;
use super::scene::{Stage, Stance};
use crate::geometry::Looks;
use crate::heat::{HotWidth, ThermalState};
use crate::readings::{Face, Heights, TIPS};
use crate::units::{Expansion, Length};

/// Walls that a rotor touches: behind, in front.
pub const SIDES: usize = 2;

/// A rotor in its housing, place by place of one orbit.
#[derive(Debug, Clone)]
pub struct MovingRoom {
    pub(super) model: RoomModel,
    pub(super) stage: Stage,
    /// Which tip (0, 1, 2) each spot belongs to: the nearest one.
    near: Vec<usize>,
}

/// What faces and walls have become in one thermal state.
#[derive(Debug, Clone)]
pub struct HotSizes {
    pub(super) faces: HotFaces,
    width: HotWidth,
    pub(super) halves: [f64; 2],
}

/// What sizes are taken hot from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ColdSizes {
    /// Heights of the faces at 20 °C.
    pub heights: Heights,
    /// Width of the housing at 20 °C.
    pub width: Length,
    /// The state.
    pub state: ThermalState,
    /// Of the rotor.
    pub rotor_expansion: Expansion,
    /// Of the housing.
    pub housing_expansion: Expansion,
}

/// What touches: a point of a land's edge, or one of the face outside it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Touching {
    /// The land.
    Land,
    /// The face outside the land, near a tip (0, 1, 2).
    Tip(usize),
}

/// A point of a rotor and the wall it looks at.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ContactPoint {
    /// The wall: 0 behind, 1 in front.
    pub side: usize,
    /// Number of the point, unique on its side.
    pub point: usize,
    /// Part of the rotor.
    pub touching: Touching,
    /// From the rotor's centre, in engine axes.
    pub from_centre_m: [f64; 2],
    /// Gap with the rotor upright in the middle of its housing.
    pub upright_m: f64,
}

impl ContactPoint {
    /// Gap in a pose.
    #[must_use]
    pub fn gap_m(&self, float_m: f64, lean: [f64; 2]) -> f64 {
        let [x, y] = self.from_centre_m;
        let rise_m = float_m - lean[0] * x - lean[1] * y;
        if self.side == 0 { self.upright_m - rise_m } else { self.upright_m + rise_m }
    }
}

/// How far a rotor can float in one lean: from the front (least) to the rear (most).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FloatRange {
    /// Where something touches the wall in front.
    pub least_m: f64,
    /// Where something touches the wall behind; less than `least_m` when the lean does not pass.
    pub most_m: f64,
}

/// Gaps of the face at one tip and one wall, in one lean. Negative: the wall is nearer than the
/// land allows.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TipGap {
    /// With the rotor pushed to this wall until its land rests there.
    pub worst_float_m: f64,
    /// With the rotor in the middle between its lands.
    pub centred_m: f64,
}

/// Per tip, at the wall behind and in front; nothing where there is no metal opposite.
pub type TipGaps = [[Option<TipGap>; SIDES]; TIPS];

impl MovingRoom {
    /// Takes a model; its `orbit_places` are the places of the motion.
    ///
    /// # Errors
    /// [`RoomError`] naming what does not fit together.
    pub fn new(model: RoomModel) -> Result<Self, RoomError> {
        let stage = Stage::new(&model)?;
        let near = stage
            .spots
            .iter()
            .map(|spot| {
                spot.tip.unwrap_or_else(|| {
                    let thirds = -spot.azimuth.to_deg() / 120.0;
                    (thirds.round().rem_euclid(TIPS as f64)) as usize % TIPS
                })
            })
            .collect();
        Ok(Self { model, stage, near })
    }

    /// What it was made from.
    #[must_use]
    pub fn model(&self) -> &RoomModel {
        &self.model
    }

    /// Number of places over 1080° of shaft.
    #[must_use]
    pub fn places(&self) -> usize {
        self.stage.stances.len()
    }

    /// Which face of the rotor looks at a wall (0 behind, 1 in front).
    #[must_use]
    pub fn face_at(&self, side: usize) -> Face {
        self.model.gear_face_looks.faces_rear_then_front()[side.min(1)]
    }

    /// Which way the gear face looks.
    #[must_use]
    pub fn gear_face_looks(&self) -> Looks {
        self.model.gear_face_looks
    }

    /// Centre of the rotor at a place, in engine axes from the shaft's axis.
    #[must_use]
    pub fn centre_m(&self, place: usize) -> [f64; 2] {
        self.stance(place).centre_m
    }

    /// Direction of a tip (0, 1, 2) from the rotor's centre at a place, a unit vector in engine
    /// axes.
    #[must_use]
    pub fn tip_direction(&self, place: usize, tip: usize) -> [f64; 2] {
        let spot = &self.stage.spots[tip.min(TIPS - 1)];
        self.stance(place).to_engine([spot.x_m / spot.radius_m, spot.y_m / spot.radius_m])
    }

    /// Sizes of the model itself in a thermal state, with the housing's greatest width.
    #[must_use]
    pub fn sizes_of_model(&self, state: ThermalState) -> HotSizes {
        self.sizes(&ColdSizes {
            heights: self.model.heights,
            width: self.model.width.greatest,
            state,
            rotor_expansion: self.model.rotor_expansion,
            housing_expansion: self.model.housing_expansion,
        })
    }

    /// Hot sizes from cold ones.
    #[must_use]
    pub fn sizes(&self, cold: &ColdSizes) -> HotSizes {
        let model = &self.model;
        let waist = model.generating_radius - model.eccentricity + model.parallel_shift;
        let width = HotWidth::new(cold.width, cold.housing_expansion, &cold.state, waist);
        HotSizes {
            faces: HotFaces::of(
                model,
                &cold.heights,
                cold.rotor_expansion,
                &self.stage.spots,
                &cold.state,
            ),
            halves: [0.5 * width.at(Length::ZERO).to_m(), 0.5 * width.slope()],
            width,
        }
    }

    pub(super) fn stance(&self, place: usize) -> &Stance {
        &self.stage.stances[place % self.stage.stances.len()]
    }

    pub(super) fn lands<'a>(&'a self, sizes: &'a HotSizes, place: usize) -> Lands<'a> {
        self.stage.lands_of(&sizes.faces, &sizes.width, self.stance(place))
    }

    /// The scaled pose of [`Lands`] in mounted axes.
    pub(super) fn scaled(&self, place: usize, float_m: f64, lean: [f64; 2]) -> [f64; 3] {
        let [p, q] = self.stance(place).to_mounted([-lean[0], -lean[1]]);
        [float_m, p * self.stage.contact_m, q * self.stage.contact_m]
    }

    /// How far the lands alone let the rotor float in a lean.
    #[must_use]
    pub fn land_float(&self, sizes: &HotSizes, place: usize, lean: [f64; 2]) -> FloatRange {
        let lands = self.lands(sizes, place);
        let v = self.scaled(place, 0.0, lean);
        FloatRange { most_m: -lands.tightest(0, v).1, least_m: lands.tightest(1, v).1 }
    }

    /// How far everything lets the rotor float in a lean.
    #[must_use]
    pub fn float(&self, sizes: &HotSizes, place: usize, lean: [f64; 2]) -> FloatRange {
        let mut range = self.land_float(sizes, place, lean);
        let stance = self.stance(place);
        for (index, spot) in self.stage.spots.iter().enumerate() {
            let [behind, in_front] =
                self.stage.square_gaps_of(&sizes.faces, sizes.halves, stance, index);
            let [x, y] = stance.to_engine([spot.x_m, spot.y_m]);
            let rise_m = -lean[0] * x - lean[1] * y;
            if let Some(gap_m) = behind {
                range.most_m = range.most_m.min(gap_m - rise_m);
            }
            if let Some(gap_m) = in_front {
                range.least_m = range.least_m.max(-gap_m - rise_m);
            }
        }
        range
    }

    /// The point nearest to its wall, or deepest in it, in a pose; nothing where there is no
    /// metal.
    #[must_use]
    pub fn nearest(
        &self,
        sizes: &HotSizes,
        place: usize,
        float_m: f64,
        lean: [f64; 2],
    ) -> Option<ContactPoint> {
        let stance = self.stance(place);
        let lands = self.lands(sizes, place);
        let v = self.scaled(place, float_m, lean);
        let mut best: Option<(f64, ContactPoint)> = None;
        let mut offer = |gap_m: f64, contact: ContactPoint| {
            if best.is_none_or(|(least, _)| gap_m < least) {
                best = Some((gap_m, contact));
            }
        };
        for side in 0..SIDES {
            let (point, over_m) = lands.tightest(side, v);
            let upright_m = lands.right_m(side, point);
            if is_free(upright_m) || over_m <= -0.5 * FREE_M {
                continue;
            }
            let unit = stance.to_engine(lands.ring.unit()[point]);
            let from_centre_m = unit.map(|part| part * self.stage.contact_m);
            let touching = Touching::Land;
            offer(-over_m, ContactPoint { side, point, touching, from_centre_m, upright_m });
        }
        for (index, spot) in self.stage.spots.iter().enumerate() {
            let gaps = self.stage.square_gaps_of(&sizes.faces, sizes.halves, stance, index);
            for (side, upright_m) in gaps.into_iter().enumerate() {
                let Some(upright_m) = upright_m else { continue };
                let contact = ContactPoint {
                    side,
                    point: lands.ring.len() + index,
                    touching: Touching::Tip(self.near[index]),
                    from_centre_m: stance.to_engine([spot.x_m, spot.y_m]),
                    upright_m,
                };
                offer(contact.gap_m(float_m, lean), contact);
            }
        }
        best.map(|(_, contact)| contact)
    }

    /// A point by its number, as [`MovingRoom::nearest`] gives it.
    #[must_use]
    pub fn contact(
        &self,
        sizes: &HotSizes,
        place: usize,
        side: usize,
        point: usize,
    ) -> Option<ContactPoint> {
        let stance = self.stance(place);
        let lands = self.lands(sizes, place);
        let count = lands.ring.len();
        if side >= SIDES || point >= count + self.stage.spots.len() {
            return None;
        }
        if point < count {
            let unit = stance.to_engine(lands.ring.unit()[point]);
            let from_centre_m = unit.map(|part| part * self.stage.contact_m);
            let upright_m = lands.right_m(side, point);
            let touching = Touching::Land;
            return (!is_free(upright_m)).then_some(ContactPoint {
                side,
                point,
                touching,
                from_centre_m,
                upright_m,
            });
        }
        let index = point - count;
        let spot = &self.stage.spots[index];
        let upright_m = self.stage.square_gaps_of(&sizes.faces, sizes.halves, stance, index)[side]?;
        let from_centre_m = stance.to_engine([spot.x_m, spot.y_m]);
        let touching = Touching::Tip(self.near[index]);
        Some(ContactPoint { side, point, touching, from_centre_m, upright_m })
    }

    /// Gaps of the face near each tip, at the wall behind and in front; nothing where there is no
    /// metal opposite, or no land to rest on.
    #[must_use]
    pub fn tip_gaps_at(&self, sizes: &HotSizes, place: usize, lean: [f64; 2]) -> TipGaps {
        self.tips_and_float(sizes, place, lean).1
    }

    /// [`MovingRoom::land_float`] and [`MovingRoom::tip_gaps_at`] in one.
    #[must_use]
    pub fn tips_and_float(
        &self,
        sizes: &HotSizes,
        place: usize,
        lean: [f64; 2],
    ) -> (FloatRange, TipGaps) {
        let stance = self.stance(place);
        let range = self.land_float(sizes, place, lean);
        let middle_m = 0.5 * (range.most_m + range.least_m);
        let mut all = [[None; SIDES]; TIPS];
        for (index, spot) in self.stage.spots.iter().enumerate() {
            let gaps = self.stage.square_gaps_of(&sizes.faces, sizes.halves, stance, index);
            let [x, y] = stance.to_engine([spot.x_m, spot.y_m]);
            let rise_m = -lean[0] * x - lean[1] * y;
            for (side, upright_m) in gaps.into_iter().enumerate() {
                let Some(upright_m) = upright_m else { continue };
                let found = if side == 0 {
                    let gap_m = upright_m - rise_m;
                    TipGap { worst_float_m: gap_m - range.most_m, centred_m: gap_m - middle_m }
                } else {
                    let gap_m = upright_m + rise_m;
                    TipGap { worst_float_m: gap_m + range.least_m, centred_m: gap_m + middle_m }
                };
                if found.worst_float_m < -0.5 * FREE_M {
                    continue;
                }
                let kept: &mut Option<TipGap> = &mut all[self.near[index]][side];
                *kept = Some(kept.map_or(found, |kept| TipGap {
                    worst_float_m: kept.worst_float_m.min(found.worst_float_m),
                    centred_m: kept.centred_m.min(found.centred_m),
                }));
            }
        }
        (range, all)
    }
}

#[cfg(test)]
mod tests {
    use super::super::closed_forms::model;
    use super::{MovingRoom, Touching};
    use crate::heat::ThermalState;
    use crate::units::Length;

    fn room(clearance: f64, step: f64) -> MovingRoom {
        let mut model = model(Length::um(clearance), Length::um(step));
        model.orbit_places = 1080;
        MovingRoom::new(model).unwrap()
    }

    #[test]
    fn a_lean_shows_at_the_tips_as_the_closed_forms_say() {
        let room = room(110.0, 127.0);
        let sizes = room.sizes_of_model(ThermalState::COLD);
        let (land_m, tip_m) = (room.model().land_radius.to_m(), room.model().tip_radius.to_m());
        for place in [0, 17, 400, 1001] {
            for tip in 0..3 {
                // Leaning away from a tip: the tip goes to the wall behind.
                let toward = room.tip_direction(place, tip);
                let lean = toward.map(|part| -1e-3 * part);
                let gaps = room.tip_gaps_at(&sizes, place, lean)[tip];
                let behind = gaps[0].unwrap();
                let step_m = 127e-6;
                assert!((behind.worst_float_m - (step_m - (tip_m - land_m) * 1e-3)).abs() < 3e-9);
                assert!((behind.centred_m - (110e-6 + step_m - tip_m * 1e-3)).abs() < 3e-9);
                let in_front = gaps[1].unwrap();
                // The other side of that tip rises from its wall, so no worse than upright.
                assert!(in_front.centred_m > 110e-6 + step_m);
            }
        }
    }

    #[test]
    fn float_ends_where_the_nearest_point_touches() {
        let room = room(110.0, 20.0);
        let sizes = room.sizes_of_model(ThermalState::STEADY);
        for place in [3, 250, 777] {
            for lean in [[0.9e-3, 0.2e-3], [0.0, 0.0], [-0.4e-3, 1.3e-3]] {
                let range = room.float(&sizes, place, lean);
                for float_m in [range.least_m, range.most_m] {
                    let nearest = room.nearest(&sizes, place, float_m, lean).unwrap();
                    assert!(nearest.gap_m(float_m, lean).abs() < 1e-15 + 1e-12);
                }
            }
        }
    }

    #[test]
    fn without_a_step_a_tip_touches_first_and_with_one_the_land() {
        for (step, land) in [(0.0, false), (127.0, true)] {
            let room = room(110.0, step);
            let sizes = room.sizes_of_model(ThermalState::COLD);
            let toward = room.tip_direction(100, 1);
            let lean = toward.map(|part| -1e-3 * part);
            let nearest = room.nearest(&sizes, 100, 0.0, lean).unwrap();
            assert_eq!(nearest.touching == Touching::Land, land, "{nearest:?}");
            if !land {
                assert_eq!(nearest.touching, Touching::Tip(1));
            }
        }
    }
}
