//! How far a rotor in motion can lean in one direction: to where its lands jam, and to where a
//! tip touches at worst float.
//!
//! Along a lean `s` in one direction every point of a land lets the rotor float to a bound that is
//! linear in `s`, so the play between the lands, the least of many such, is concave; and the gap of
//! a point outside the lands at worst float, its own linear gap less the least of those bounds, is
//! convex. Of both the first crossing of zero is found exactly by following tangents: those of a
//! concave function lie above it, so that from where the lands are long jammed each tangent's zero
//! is still jammed and nearer to the limit; those of a convex one lie below it, so that from the
//! upright rotor on each tangent's zero is still clear. Each step takes another point of a land.

use super::error::RoomError;
use super::moving::{HotSizes, MovingRoom, SIDES};
use super::program::FREE_M;

/// A lean at which no rotor is asked for any more: steeper than any bearing lets it.
const STEEPEST: f64 = 0.1;

/// A crossing is found when what is left is below this, in metres: a picometre.
const FOUND_M: f64 = 1e-12;

/// Most tangents followed; a land's edge has 720 points at most, and a handful are met.
const TANGENTS: usize = 1000;

/// How far a rotor can lean in one direction, as slopes in radians.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LeanLimit {
    /// Where both lands touch: zero of a rotor that is jammed upright; nothing where the lands
    /// never stop it.
    pub jam_rad: Option<f64>,
    /// Where a point outside the lands touches its wall with the land at that wall: zero where it
    /// does upright; nothing where the lands jam before.
    pub touch_rad: Option<f64>,
}

/// A line of a lean: a value and how it changes with the lean.
#[derive(Debug, Clone, Copy)]
struct Tangent {
    value_m: f64,
    per_rad_m: f64,
}

impl Tangent {
    fn less(self, other: Self) -> Self {
        Self { value_m: self.value_m - other.value_m, per_rad_m: self.per_rad_m - other.per_rad_m }
    }
}

impl MovingRoom {
    /// How far the rotor can lean in a direction, a unit vector in engine axes, at one place.
    ///
    /// # Errors
    /// [`RoomError::Unsolved`] when a limit is not found.
    pub fn lean_limit(
        &self,
        sizes: &HotSizes,
        place: usize,
        direction: [f64; 2],
    ) -> Result<LeanLimit, RoomError> {
        let jam_rad = self.jam_rad(sizes, place, direction)?;
        let upright = self.land_bounds(sizes, place, direction, 0.0);
        let mut touch_rad: Option<f64> = None;
        for spot in 0..self.stage.spots.len() {
            for (side, (bound, gap)) in
                upright.iter().zip(self.spot_lines(sizes, place, direction, spot)).enumerate()
            {
                let Some(gap) = gap else { continue };
                if bound.value_m.abs() > 0.5 * FREE_M {
                    continue;
                }
                let most_rad = touch_rad.or(jam_rad).unwrap_or(STEEPEST);
                let found = self.touch_of(sizes, place, direction, (side, gap), most_rad)?;
                touch_rad = found.or(touch_rad);
            }
        }
        Ok(LeanLimit { jam_rad, touch_rad })
    }

    /// The least of [`MovingRoom::lean_limit`] over one orbit, every so many places: at some place
    /// the lands jam, and at some place a tip touches, that early.
    ///
    /// # Errors
    /// As [`MovingRoom::lean_limit`].
    pub fn least_lean_limit(
        &self,
        sizes: &HotSizes,
        direction: [f64; 2],
        every: usize,
    ) -> Result<LeanLimit, RoomError> {
        let lesser = |a: Option<f64>, b: Option<f64>| match (a, b) {
            (Some(a), Some(b)) => Some(a.min(b)),
            (one, other) => one.or(other),
        };
        let mut least = LeanLimit { jam_rad: None, touch_rad: None };
        for place in (0..self.places()).step_by(every.max(1)) {
            let here = self.lean_limit(sizes, place, direction)?;
            least.jam_rad = lesser(least.jam_rad, here.jam_rad);
            least.touch_rad = lesser(least.touch_rad, here.touch_rad);
        }
        Ok(least)
    }

    /// How far the land lets the rotor go towards the wall behind and in front in a lean, both
    /// counted towards that wall.
    fn land_bounds(
        &self,
        sizes: &HotSizes,
        place: usize,
        direction: [f64; 2],
        lean: f64,
    ) -> [Tangent; SIDES] {
        let lands = self.lands(sizes, place);
        let v = self.scaled(place, 0.0, direction.map(|part| part * lean));
        let per = self.scaled(place, 0.0, direction);
        [0, 1].map(|side: usize| {
            let (point, over_m) = lands.tightest(side, v);
            let sign = if side == 0 { 1.0 } else { -1.0 };
            let unit = lands.ring.unit()[point];
            Tangent { value_m: -over_m, per_rad_m: -sign * (per[1] * unit[0] + per[2] * unit[1]) }
        })
    }

    /// Gaps of a point outside the lands behind and in front, the rotor in the middle of its
    /// housing; nothing where there is no metal.
    fn spot_lines(
        &self,
        sizes: &HotSizes,
        place: usize,
        direction: [f64; 2],
        spot: usize,
    ) -> [Option<Tangent>; SIDES] {
        let stance = self.stance(place);
        let gaps = self.stage.square_gaps_of(&sizes.faces, sizes.halves, stance, spot);
        let own = &self.stage.spots[spot];
        let [x, y] = stance.to_engine([own.x_m, own.y_m]);
        let towards_front_m = direction[0] * x + direction[1] * y;
        [
            gaps[0].map(|value_m| Tangent { value_m, per_rad_m: towards_front_m }),
            gaps[1].map(|value_m| Tangent { value_m, per_rad_m: -towards_front_m }),
        ]
    }

    fn jam_rad(
        &self,
        sizes: &HotSizes,
        place: usize,
        direction: [f64; 2],
    ) -> Result<Option<f64>, RoomError> {
        let play = |lean: f64| {
            let [behind, in_front] = self.land_bounds(sizes, place, direction, lean);
            Tangent {
                value_m: behind.value_m + in_front.value_m,
                per_rad_m: behind.per_rad_m + in_front.per_rad_m,
            }
        };
        if play(0.0).value_m <= 0.0 {
            return Ok(Some(0.0));
        }
        let mut lean = STEEPEST;
        let mut left_m = 0.0;
        for tangent in 0..TANGENTS {
            let here = play(lean);
            left_m = here.value_m;
            if tangent == 0 && left_m > 0.0 {
                return Ok(None);
            }
            if left_m > -FOUND_M {
                return Ok(Some(lean));
            }
            lean -= here.value_m / here.per_rad_m;
        }
        Err(RoomError::Unsolved { exchanges: TANGENTS, left_m })
    }

    /// The lean, up to `most_rad`, at which one point outside the lands touches at worst float.
    fn touch_of(
        &self,
        sizes: &HotSizes,
        place: usize,
        direction: [f64; 2],
        (side, gap): (usize, Tangent),
        most_rad: f64,
    ) -> Result<Option<f64>, RoomError> {
        let mut lean = 0.0;
        let mut left_m = 0.0;
        for _ in 0..TANGENTS {
            let own = Tangent { value_m: gap.value_m + gap.per_rad_m * lean, ..gap };
            let here = own.less(self.land_bounds(sizes, place, direction, lean)[side]);
            left_m = here.value_m;
            if left_m < FOUND_M {
                return Ok(Some(lean));
            }
            // From here on it only rises.
            if here.per_rad_m >= 0.0 {
                return Ok(None);
            }
            lean -= here.value_m / here.per_rad_m;
            if lean > most_rad {
                return Ok(None);
            }
        }
        Err(RoomError::Unsolved { exchanges: TANGENTS, left_m })
    }
}

#[cfg(test)]
mod tests {
    use super::super::closed_forms::model;
    use super::super::{MovingRoom, Opening, Wall};
    use crate::heat::ThermalState;
    use crate::units::{Angle, Length};

    fn room(clearance_um: f64, step_um: f64) -> MovingRoom {
        let mut model = model(Length::um(clearance_um), Length::um(step_um));
        model.orbit_places = 36;
        model.ring_points = 720;
        MovingRoom::new(model).unwrap()
    }

    fn direction(degrees: f64) -> [f64; 2] {
        let (sin, cos) = degrees.to_radians().sin_cos();
        [cos, sin]
    }

    /// Equal faces, parallel walls: lands jam at `2c / 2r_L`; a tip touches at worst float at
    /// `δ/(r_T − r_L)` when the rotor leans along it.
    #[test]
    fn equal_faces_have_the_closed_forms() {
        for (c_um, step_um) in [(110.0, 20.0), (60.0, 30.0), (110.0, 127.0)] {
            let room = room(c_um, step_um);
            let sizes = room.sizes_of_model(ThermalState::COLD);
            for place in [0, 5, 19] {
                for tip in 0..3 {
                    let along = room.tip_direction(place, tip);
                    for sign in [1.0, -1.0] {
                        let found = room.lean_limit(&sizes, place, along.map(|p| sign * p));
                        let found = found.unwrap();
                        let jam_rad = c_um * 1e-6 / 0.061;
                        let touch_rad = step_um * 1e-6 / (0.099 - 0.061);
                        assert!((found.jam_rad.unwrap() / jam_rad - 1.0).abs() < 1e-9);
                        match found.touch_rad {
                            Some(touch) => assert!((touch / touch_rad - 1.0).abs() < 1e-9),
                            None => assert!(touch_rad > jam_rad),
                        }
                    }
                }
            }
        }
    }

    /// With a wedge, uneven wear, a hole in a wall, hot faces: against halving, which asks the
    /// room for its play and its gaps and for nothing else.
    #[test]
    fn tangents_find_what_halving_finds() {
        let mut model = model(Length::um(95.0), Length::um(95.0));
        model.orbit_places = 36;
        model.ring_points = 360;
        model.rear = Wall {
            land_wear: Length::um(12.0),
            tip_wear: Length::um(4.0),
            openings: vec![Opening {
                radius_from: Length::mm(35.0),
                radius_to: Length::mm(80.0),
                angle_from: Angle::deg(200.0),
                angle_to: Angle::deg(250.0),
            }],
            ..Wall::default()
        };
        model.heights.gear.land[1] += Length::um(14.0);
        model.heights.plain.tip[2] += Length::um(9.0);
        let room = MovingRoom::new(model).unwrap();
        let sizes = room.sizes_of_model(ThermalState::STEADY);
        let (mut jams, mut touches) = (0, 0);
        for place in [0, 7, 20, 33] {
            for turn in 0..24 {
                let along = direction(15.0 * f64::from(turn));
                let lean = |s: f64| along.map(|part| part * s);
                let play = |s: f64| {
                    let range = room.land_float(&sizes, place, lean(s));
                    range.most_m - range.least_m
                };
                let least = |s: f64| {
                    let gaps = room.tip_gaps_at(&sizes, place, lean(s));
                    let all = gaps.iter().flatten().flatten().map(|gap| gap.worst_float_m);
                    all.fold(f64::INFINITY, f64::min)
                };
                let found = room.lean_limit(&sizes, place, along).unwrap();
                let (mut low, mut high) = (0.0, 0.1);
                for _ in 0..60 {
                    let middle = 0.5 * (low + high);
                    if play(middle) > 0.0 { low = middle } else { high = middle }
                }
                let jam = found.jam_rad.unwrap();
                assert!((jam - low).abs() < 1e-10, "{place} {turn}: {jam} {low}");
                jams += 1;
                // The first sign change on a fine grid up to the jam, then halving.
                let grid = (0..=400).map(|k| jam * f64::from(k) / 400.0);
                let first = grid.clone().zip(grid.skip(1)).find(|(_, to)| least(*to) < 0.0);
                match (found.touch_rad, first) {
                    (Some(touch), Some((mut low, mut high))) => {
                        for _ in 0..60 {
                            let middle = 0.5 * (low + high);
                            if least(middle) > 0.0 { low = middle } else { high = middle }
                        }
                        assert!((touch - low).abs() < 1e-10, "{place} {turn}: {touch} {low}");
                        touches += 1;
                    }
                    (None, None) => {}
                    // A touch at the jam itself: within one step of the grid.
                    (Some(touch), None) => assert!(jam - touch < jam / 400.0),
                    (None, Some(at)) => unreachable!("{place} {turn}: missed at {at:?}"),
                }
            }
        }
        assert_eq!(jams, 96);
        assert!(touches > 20 && touches < 96, "{touches}");
    }

    #[test]
    fn a_rotor_that_is_jammed_upright_leans_nowhere_and_the_orbit_has_the_least() {
        let tight = room(-1.0, 50.0);
        let sizes = tight.sizes_of_model(ThermalState::COLD);
        let found = tight.lean_limit(&sizes, 3, [0.0, 1.0]).unwrap();
        assert_eq!(found.jam_rad, Some(0.0));
        let room = room(110.0, 20.0);
        let sizes = room.sizes_of_model(ThermalState::STEADY);
        let least = room.least_lean_limit(&sizes, [0.0, 1.0], 1).unwrap();
        for place in 0..36 {
            let here = room.lean_limit(&sizes, place, [0.0, 1.0]).unwrap();
            assert!(least.jam_rad.unwrap() <= here.jam_rad.unwrap());
        }
    }
}
