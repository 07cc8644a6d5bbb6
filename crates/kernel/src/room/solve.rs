//! The least and the greatest gap at the tips over everything the lands allow.
//!
//! At worst float the gap at a tip behind is `wall − height − max(z + p x + q y)` over the
//! polytope of the lands, and in front `wall − height − max(−z − p x − q y)`. The same two
//! maxima give the greatest gaps: behind `wall − height + max(−z − p x − q y)`. So two linear
//! programs per point answer all four questions.
//!
//! **Worst float and centred agree over the whole polytope.** A point beyond the land's edge has
//! `|x| > r_L`; its objective `(1, x)` is a sum `Σ λ n` of rows whose slope parts are no longer
//! than `r_L`, so `Σ λ ≥ r_T/r_L`, while the signed sum of the `λ` (plus behind, minus in front) is 1.
//! Hence rows of both lands are active: where a tip comes nearest, the lands touch on both
//! sides, the rotor is jammed in that tilt and has no float to be centred in. What float does
//! shows at a given tilt (`tilt`), and without tilt ([`Level`]).

use super::error::RoomError;
use super::face::Spot;
use super::model::RoomModel;
use super::program::{Basis, Outcome, maximise};
use super::ring::Lands;
use super::scene::{Stage, Stance, Which};
use crate::heat::{STATES, ThermalState};
use crate::readings::Face;
use crate::units::{Angle, Length};

/// Where a rotor is between its walls: axial shift and two slopes.
///
/// A point of the mid-plane `(x, y)` from the rotor's axis, in engine axes, lies at
/// `shift + slope_x x + slope_y y` along the engine's `z`, from the middle between the walls at the
/// shaft axis of an unworn housing. Slopes are tangents, written as angles (they are below
/// 0.01 rad).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pose {
    /// To the rear.
    pub shift: Length,
    /// Rise to the rear per length along `x`.
    pub slope_x: Angle,
    /// Rise to the rear per length along `y`.
    pub slope_y: Angle,
}

/// A point of a side face outside the land.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FacePoint {
    /// On which face.
    pub face: Face,
    /// From tip 1, about `z_r` (out of the gear face).
    pub azimuth: Angle,
    /// From the axis of the bearing bore.
    pub radius: Length,
    /// Which tip it is (1, 2, 3), nothing for another point of the face.
    pub tip: Option<usize>,
}

/// A gap between a point of the rotor and its wall; negative: the wall would be touched first.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Gap {
    /// How much.
    pub gap: Length,
    /// Where.
    pub point: FacePoint,
    /// The rotor's pose when it happens.
    pub pose: Pose,
}

/// Extremes over all poses that the lands allow.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Gaps {
    /// The least gap outside the lands; nothing if no checked point has metal opposite.
    pub least: Option<Gap>,
    /// The greatest gap at a tip (seals); nothing if no tip has metal opposite.
    pub greatest: Option<Gap>,
}

/// The rotor without tilt, in the housing's greatest width.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Level {
    /// Axial play, both sides together; negative if the lands do not pass without tilt.
    pub float: Length,
    /// Least gap outside the lands at worst float; nothing if there is no float.
    pub worst_float: Option<Length>,
    /// Least gap outside the lands with the rotor in the middle of its float.
    pub centred: Option<Length>,
}

/// The room at one place of the orbit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PlaceRoom {
    /// Of the shaft, from where this rotor's throw points to `+y`.
    pub shaft_angle: Angle,
    /// In the greatest width; nothing if the lands are jammed even there.
    pub gaps: Option<Gaps>,
    /// Without tilt.
    pub level: Level,
    /// Whether no pose at all passes in the least width.
    pub jammed: bool,
}

/// The room in one thermal state.
#[derive(Debug, Clone, PartialEq)]
pub struct StateRoom {
    /// The state.
    pub state: ThermalState,
    /// Round the orbit; one place if the room is the same all round.
    pub places: Vec<PlaceRoom>,
    /// Least width, on the cold side of the wedge, with the wear under the lands, less the
    /// greatest land width: what is left on both sides together. Negative: jammed.
    pub clearance_left: Length,
}

impl StateRoom {
    /// The least gap round the orbit.
    #[must_use]
    pub fn least(&self) -> Option<&Gap> {
        self.places
            .iter()
            .filter_map(|place| place.gaps.as_ref()?.least.as_ref())
            .min_by(|a, b| a.gap.to_m().total_cmp(&b.gap.to_m()))
    }

    /// The greatest gap at a tip round the orbit.
    #[must_use]
    pub fn greatest(&self) -> Option<&Gap> {
        self.places
            .iter()
            .filter_map(|place| place.gaps.as_ref()?.greatest.as_ref())
            .max_by(|a, b| a.gap.to_m().total_cmp(&b.gap.to_m()))
    }

    /// Whether the rotor jams: somewhere on the orbit no pose passes, or nothing is left of the
    /// clearance on the cold side.
    #[must_use]
    pub fn jams(&self) -> bool {
        self.clearance_left <= Length::ZERO || self.places.iter().any(|place| place.jammed)
    }
}

/// The room in all four states.
#[derive(Debug, Clone, PartialEq)]
pub struct RoomResult {
    /// Cold, warming, steady, soak: in the order of the model.
    pub states: [StateRoom; STATES],
}

impl RoomResult {
    /// The state with the least gap, and that gap.
    #[must_use]
    pub fn governing(&self) -> Option<(&StateRoom, &Gap)> {
        self.states
            .iter()
            .filter_map(|room| room.least().map(|gap| (room, gap)))
            .min_by(|a, b| a.1.gap.to_m().total_cmp(&b.1.gap.to_m()))
    }

    /// The state in which least is left of the clearance.
    #[must_use]
    pub fn tightest(&self) -> &StateRoom {
        let mut tightest = &self.states[0];
        for room in &self.states[1..] {
            if room.clearance_left < tightest.clearance_left {
                tightest = room;
            }
        }
        tightest
    }

    /// Whether in every state and all round the orbit the lands touch before anything outside
    /// them does. `false` if the rotor is jammed everywhere.
    #[must_use]
    pub fn land_touches_first(&self) -> bool {
        self.governing().is_some_and(|(_, gap)| gap.gap >= Length::ZERO)
    }
}

/// The room of one rotor, ready to be asked.
#[derive(Debug, Clone)]
pub struct Room {
    pub(super) model: RoomModel,
    pub(super) stage: Stage,
}

/// What is kept from program to program.
struct Warm {
    /// Per spot: behind, in front.
    bases: Vec<[Basis; 2]>,
    /// Whether a spot's bases were solved at least once.
    solved: Vec<bool>,
}

impl Room {
    /// Takes a model.
    ///
    /// # Errors
    /// A [`RoomError`] that names what does not fit together.
    pub fn new(model: RoomModel) -> Result<Self, RoomError> {
        let stage = Stage::new(&model)?;
        Ok(Self { model, stage })
    }

    /// What it was made from.
    #[must_use]
    pub fn model(&self) -> &RoomModel {
        &self.model
    }

    /// Whether the room is the same all round the orbit in a state, so that one place stands for
    /// all: place 0.
    #[must_use]
    pub fn is_same_all_round(&self, state: usize) -> bool {
        self.stage.is_same_all_round(state)
    }

    /// The room in all states, all round the orbit.
    ///
    /// # Errors
    /// [`RoomError::NothingStops`] if the walls have too little metal under the lands,
    /// [`RoomError::Unsolved`] if a program runs into its bound.
    pub fn solve(&self) -> Result<RoomResult, RoomError> {
        let stage = &self.stage;
        let objectives: Vec<[f64; 3]> =
            stage.spots.iter().map(|spot| self.objective(spot)).collect();
        let mut warm = Warm {
            bases: objectives
                .iter()
                .map(|&g| [Basis::artificial(g), Basis::artificial(g.map(|x| -x))])
                .collect(),
            solved: vec![false; objectives.len()],
        };
        Ok(RoomResult {
            states: [
                self.state(0, &objectives, &mut warm)?,
                self.state(1, &objectives, &mut warm)?,
                self.state(2, &objectives, &mut warm)?,
                self.state(3, &objectives, &mut warm)?,
            ],
        })
    }

    /// `(1, x/r, y/r)` for the scaled pose.
    pub(super) fn objective(&self, spot: &Spot) -> [f64; 3] {
        [1.0, spot.x_m / self.stage.contact_m, spot.y_m / self.stage.contact_m]
    }

    fn state(
        &self,
        state: usize,
        objectives: &[[f64; 3]],
        warm: &mut Warm,
    ) -> Result<StateRoom, RoomError> {
        let stage = &self.stage;
        let all = &stage.stances;
        let stances = if stage.is_same_all_round(state) { &all[..1] } else { &all[..] };
        let mut places = Vec::with_capacity(stances.len());
        for stance in stances {
            places.push(self.place(state, stance, objectives, warm)?);
        }
        let growth =
            1.0 + self.model.rotor_expansion.to_per_k() * self.model.states[state].land.to_k();
        let [w1, w2, w3] = self.model.heights.land_width();
        let widest = w1.max(w2).max(w3) * growth;
        let clearance_left = stage.width(state, Which::Least).least() + stage.land_wear() - widest;
        Ok(StateRoom { state: self.model.states[state], places, clearance_left })
    }

    fn place(
        &self,
        state: usize,
        stance: &Stance,
        objectives: &[[f64; 3]],
        warm: &mut Warm,
    ) -> Result<PlaceRoom, RoomError> {
        let stage = &self.stage;
        let jammed = {
            let lands = stage.lands(state, stance, Which::Least);
            let (low_m, high_m) = level_m(&lands);
            // A copy: the basis of the greatest width stays the better start for the next place.
            let mut basis = warm.bases[0][0];
            low_m > high_m && maximise(&lands, objectives[0], &mut basis)? == Outcome::Empty
        };
        let lands = stage.lands(state, stance, Which::Greatest);
        let (low_m, high_m) = level_m(&lands);
        let mut search = Search { least: None, greatest: None };
        let mut nearest_m = [f64::INFINITY; 2];
        let mut empty = false;
        for (i, &objective) in objectives.iter().enumerate() {
            let square_m = stage.square_gaps_m(state, stance, i);
            for side in 0..2 {
                nearest_m[side] = nearest_m[side].min(square_m[side].unwrap_or(f64::INFINITY));
            }
            if empty || square_m == [None, None] {
                continue;
            }
            let is_tip = stage.spots[i].tip.is_some();
            if !is_tip && warm.solved[i] && !search.can_win(&lands, square_m, &warm.bases[i]) {
                continue;
            }
            for side in 0..2 {
                // A tip's program serves the greatest gap of the other side too.
                if square_m[side].is_none() && !is_tip {
                    continue;
                }
                let towards = if side == 0 { objective } else { objective.map(|x| -x) };
                let Outcome::Optimum { value, at } =
                    maximise(&lands, towards, &mut warm.bases[i][side])?
                else {
                    empty = true;
                    break;
                };
                if let Some(square_m) = square_m[side] {
                    search.offer_least(square_m - value, i, side, at);
                }
                if let Some(square_m) = square_m[1 - side].filter(|_| is_tip) {
                    search.offer_greatest(square_m + value, i, 1 - side, at);
                }
            }
            warm.solved[i] = true;
        }
        let gaps = (!empty).then(|| Gaps {
            least: search.least.map(|found| self.gap(found, stance)),
            greatest: search.greatest.map(|found| self.gap(found, stance)),
        });
        let level = level(low_m, high_m, nearest_m);
        Ok(PlaceRoom { shaft_angle: stance.shaft_angle, gaps, level, jammed })
    }

    pub(super) fn gap(&self, found: Found, stance: &Stance) -> Gap {
        let spot = &self.stage.spots[found.spot];
        Gap {
            gap: Length::m(found.gap_m),
            point: FacePoint {
                face: self.model.gear_face_looks.faces_rear_then_front()[found.side],
                azimuth: spot.azimuth,
                radius: Length::m(spot.radius_m),
                tip: spot.tip.map(|tip| tip + 1),
            },
            pose: pose(found.at, self.stage.contact_m, stance),
        }
    }
}

/// The scaled pose in mounted axes as a pose in engine axes.
fn pose(at: [f64; 3], contact_m: f64, stance: &Stance) -> Pose {
    let [slope_x, slope_y] = stance.to_engine([at[1] / contact_m, at[2] / contact_m]);
    Pose { shift: Length::m(at[0]), slope_x: Angle::rad(slope_x), slope_y: Angle::rad(slope_y) }
}

/// Lowest and highest shift without tilt.
fn level_m(lands: &Lands<'_>) -> (f64, f64) {
    (lands.tightest(1, [0.0; 3]).1, -lands.tightest(0, [0.0; 3]).1)
}

/// `nearest_m`: least gap behind and in front with the shift at zero.
pub(super) fn level(low_m: f64, high_m: f64, nearest_m: [f64; 2]) -> Level {
    let float = Length::m(high_m - low_m);
    let [behind_m, in_front_m] = nearest_m;
    if high_m < low_m || !(behind_m.is_finite() || in_front_m.is_finite()) {
        return Level { float, worst_float: None, centred: None };
    }
    let worst_m = (behind_m - high_m).min(in_front_m + low_m);
    let middle_m = 0.5 * (low_m + high_m);
    let centred_m = (behind_m - middle_m).min(in_front_m + middle_m);
    Level { float, worst_float: Some(Length::m(worst_m)), centred: Some(Length::m(centred_m)) }
}

#[derive(Debug, Clone, Copy)]
pub(super) struct Found {
    pub(super) gap_m: f64,
    pub(super) spot: usize,
    pub(super) side: usize,
    pub(super) at: [f64; 3],
}

struct Search {
    least: Option<Found>,
    greatest: Option<Found>,
}

impl Search {
    fn offer_least(&mut self, gap_m: f64, spot: usize, side: usize, at: [f64; 3]) {
        if self.least.is_none_or(|found| gap_m < found.gap_m) {
            self.least = Some(Found { gap_m, spot, side, at });
        }
    }

    fn offer_greatest(&mut self, gap_m: f64, spot: usize, side: usize, at: [f64; 3]) {
        if self.greatest.is_none_or(|found| gap_m > found.gap_m) {
            self.greatest = Some(Found { gap_m, spot, side, at });
        }
    }

    /// Whether a point's gap could be below the least so far, by the bound that its old bases
    /// give under the present walls.
    fn can_win(&self, lands: &Lands<'_>, square_m: [Option<f64>; 2], bases: &[Basis; 2]) -> bool {
        let Some(least) = self.least else { return true };
        (0..2).any(|side| {
            square_m[side].is_some_and(|gap_m| gap_m - bases[side].bound(lands) < least.gap_m)
        })
    }
}
