//! How far a rotor may tilt, direction by direction.
//!
//! Along one direction of tilt a pose is `(z, t)`: every ring point and every point of the
//! outline gives a line over `t` that `z` must stay below (behind) or above (in front). The upper
//! limit of `z` is the lowest line and concave, the lower one convex. Hence
//! - the lands jam at the zero of a concave function, found from beyond it by Newton's method,
//!   which goes from line to line and ends after finitely many;
//! - at worst float the gap of one tip is convex in `t`, and Newton's method from zero never
//!   oversteps its first zero;
//! - centred, `z` half way between its two limits, the gap is neither; it is walked along from
//!   bend to bend of the two limits.

use super::error::RoomError;
use super::program::is_free;
use super::scene::{Stance, Which};
use super::solve::{Level, Room, level};
use crate::heat::STATES;
use crate::units::Angle;
use std::f64::consts::TAU;

/// No rotor tilts as far, in radians; lands that allow it do not stop the rotor.
const FAR_RAD: f64 = 0.5;

/// A gap below this is none, in metres: the rounding of a difference of sizes near 0.1 m.
const NONE_M: f64 = 2e-17;

/// Steps allowed to Newton's method. It needs about five.
const STEPS: usize = 200;

/// Bends walked per line: a line becomes active once, and rounding may split a bend in a few.
const BEND_STEPS: usize = 4;

/// How far a rotor may tilt in one direction, without other tilt. Slopes as small angles, zero if
/// there is nothing left even without tilt.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TiltLimit {
    /// Where the rotor rises to the rear, from the engine's `+x` towards `+y`.
    pub direction: Angle,
    /// Where both lands touch, with the float that allows most.
    pub jam: Angle,
    /// Where anything outside the lands first touches at worst float; nothing if the lands jam
    /// before.
    pub worst_float: Option<Angle>,
    /// Where something outside the lands first touches with the rotor in the middle of its float;
    /// nothing if the lands jam before.
    pub centred: Option<Angle>,
}

/// Limits over all directions.
#[derive(Debug, Clone, PartialEq)]
pub struct TiltLimits {
    /// One per direction.
    pub all: Vec<TiltLimit>,
}

impl TiltLimits {
    /// The direction in which the lands jam first.
    #[must_use]
    pub fn least_jam(&self) -> Option<&TiltLimit> {
        self.all.iter().min_by(|a, b| a.jam.to_rad().total_cmp(&b.jam.to_rad()))
    }

    /// The direction in which something outside the lands touches first at worst float.
    #[must_use]
    pub fn least_worst_float(&self) -> Option<&TiltLimit> {
        least_by(&self.all, |limit| limit.worst_float)
    }

    /// The direction in which something outside the lands touches first with the rotor centred.
    #[must_use]
    pub fn least_centred(&self) -> Option<&TiltLimit> {
        least_by(&self.all, |limit| limit.centred)
    }
}

fn least_by(all: &[TiltLimit], of: impl Fn(&TiltLimit) -> Option<Angle>) -> Option<&TiltLimit> {
    all.iter()
        .filter_map(|limit| of(limit).map(|slope| (limit, slope)))
        .min_by(|a, b| a.1.to_rad().total_cmp(&b.1.to_rad()))
        .map(|(limit, _)| limit)
}

/// `at + slope t`.
#[derive(Debug, Clone, Copy)]
struct Line {
    at: f64,
    slope: f64,
}

impl Line {
    fn value(self, t: f64) -> f64 {
        self.at + self.slope * t
    }

    fn less(self, other: Self) -> Self {
        Self { at: self.at - other.at, slope: self.slope - other.slope }
    }
}

/// Lines that `z` stays below, and lines it stays above.
#[derive(Debug, Default)]
struct Strip {
    below: Vec<Line>,
    above: Vec<Line>,
}

impl Strip {
    fn lowest(&self, t: f64) -> Line {
        let mut best = Line { at: f64::INFINITY, slope: 0.0 };
        for &line in &self.below {
            if line.value(t) < best.value(t) {
                best = line;
            }
        }
        best
    }

    fn highest(&self, t: f64) -> Line {
        let mut best = Line { at: f64::NEG_INFINITY, slope: 0.0 };
        for &line in &self.above {
            if line.value(t) > best.value(t) {
                best = line;
            }
        }
        best
    }

    /// The lowest line just after `t`: of those that are lowest there, the one that falls most.
    fn lowest_after(&self, t: f64) -> Line {
        let level = self.lowest(t).value(t) + NONE_M;
        let mut best = Line { at: f64::INFINITY, slope: f64::INFINITY };
        for &line in &self.below {
            if line.value(t) <= level && line.slope < best.slope {
                best = line;
            }
        }
        best
    }

    /// The highest line just after `t`.
    fn highest_after(&self, t: f64) -> Line {
        let level = self.highest(t).value(t) - NONE_M;
        let mut best = Line { at: f64::NEG_INFINITY, slope: f64::NEG_INFINITY };
        for &line in &self.above {
            if line.value(t) >= level && line.slope > best.slope {
                best = line;
            }
        }
        best
    }

    /// Where one of the two limits next bends away from the lines that are active after `t`.
    fn next_bend(&self, t: f64, high: Line, low: Line) -> f64 {
        let falls = self.below.iter().filter(|line| line.slope < high.slope);
        let rises = self.above.iter().filter(|line| line.slope > low.slope);
        falls
            .map(|line| (line.at - high.at) / (high.slope - line.slope))
            .chain(rises.map(|line| (low.at - line.at) / (line.slope - low.slope)))
            .filter(|&bend| bend > t)
            .fold(f64::INFINITY, f64::min)
    }

    /// The largest `t` that leaves a `z`; zero if there is none without tilt.
    fn end(&self) -> Result<f64, RoomError> {
        let room = |t: f64| self.lowest(t).less(self.highest(t));
        let (start, far) = (room(0.0), room(FAR_RAD));
        if start.at.is_infinite() || far.value(FAR_RAD) >= 0.0 {
            return Err(RoomError::NothingStops);
        }
        if start.at < 0.0 {
            return Ok(0.0);
        }
        let (mut t, mut line) = (FAR_RAD, far);
        for _ in 0..STEPS {
            let next = -line.at / line.slope;
            line = room(next);
            if line.value(next) >= -NONE_M || next >= t {
                return Ok(next.max(0.0));
            }
            t = next;
        }
        Err(RoomError::Unsolved { exchanges: STEPS, left_m: -line.value(t) })
    }
}

/// First zero of a gap that is convex in `t`, at or before `end`. `gap` gives a line that
/// supports it at a `t`.
fn first_zero(gap: impl Fn(f64) -> Line, end: f64) -> Result<Option<f64>, RoomError> {
    let mut t = 0.0;
    let mut left_m = 0.0;
    for _ in 0..STEPS {
        let line = gap(t);
        left_m = line.value(t);
        if left_m <= NONE_M {
            return Ok(Some(t));
        }
        if line.slope >= 0.0 {
            return Ok(None);
        }
        let next = -line.at / line.slope;
        if next >= end {
            return Ok(None);
        }
        if next <= t {
            return Ok(Some(t));
        }
        t = next;
    }
    Err(RoomError::Unsolved { exchanges: STEPS, left_m })
}

/// First `t` from `start` to before `end` at which a gap outside the lands closes with `z` half way
/// between the limits that the lands set.
fn first_centred(
    land: &Strip,
    tips: &Strip,
    start: f64,
    end: f64,
) -> Result<Option<f64>, RoomError> {
    let steps = BEND_STEPS * (land.below.len() + land.above.len());
    let mut t = start;
    let mut float_m = f64::INFINITY;
    for _ in 0..steps {
        if t >= end {
            return Ok(None);
        }
        // Just after a bend the line that comes next is the active one: the one that bends most.
        let (high, low) = (land.lowest_after(t), land.highest_after(t));
        float_m = high.value(t) - low.value(t);
        let middle = Line { at: 0.5 * (high.at + low.at), slope: 0.5 * (high.slope + low.slope) };
        let bend = land.next_bend(t, high, low).min(end);
        let above = tips.below.iter().map(|tip| tip.less(middle));
        let below = tips.above.iter().map(|&tip| middle.less(tip));
        let mut first: Option<f64> = None;
        for gap in above.chain(below) {
            let zero = if gap.value(t) <= NONE_M {
                t
            } else if gap.slope < 0.0 {
                -gap.at / gap.slope
            } else {
                continue;
            };
            if zero < bend && first.is_none_or(|first| zero < first) {
                first = Some(zero);
            }
        }
        if first.is_some() {
            return Ok(first);
        }
        t = bend;
    }
    Err(RoomError::Unsolved { exchanges: steps, left_m: float_m })
}

impl Room {
    pub(super) fn stance(&self, state: usize, place: usize) -> Result<&Stance, RoomError> {
        if state >= STATES {
            return Err(RoomError::NoSuch { what: "state", index: state, count: STATES });
        }
        let count = self.stage.stances.len();
        let missing = RoomError::NoSuch { what: "place on the orbit", index: place, count };
        self.stage.stances.get(place).ok_or(missing)
    }

    /// How far the rotor may tilt in each of `directions` evenly spaced directions (from the
    /// engine's `+x`), in a state and at a place of the orbit, in the greatest width.
    ///
    /// # Errors
    /// [`RoomError::NoSuch`] for a state or place that is not there, [`RoomError::Count`] without a
    /// direction or with more than 3600, else as [`Room::solve`].
    pub fn tilt_limits(
        &self,
        state: usize,
        place: usize,
        directions: usize,
    ) -> Result<TiltLimits, RoomError> {
        let stance = *self.stance(state, place)?;
        if !(1..=3600).contains(&directions) {
            let (what, count) = ("directions of tilt", directions);
            return Err(RoomError::Count { what, count, allowed: "1 to 3600" });
        }
        let stage = &self.stage;
        let lands = stage.lands(state, &stance, Which::Greatest);
        let mut limits = Vec::with_capacity(directions);
        for i in 0..directions {
            let direction_rad = TAU * i as f64 / directions as f64;
            let [ux, uy] = stance.to_mounted([direction_rad.cos(), direction_rad.sin()]);
            let mut land = Strip::default();
            for (point, unit) in lands.ring.unit().iter().enumerate() {
                let slope = -stage.contact_m * (unit[0] * ux + unit[1] * uy);
                for side in 0..2 {
                    let right_m = lands.right_m(side, point);
                    if !is_free(right_m) {
                        land.take(side, right_m, slope);
                    }
                }
            }
            let mut tips = Strip::default();
            for (i, spot) in stage.spots.iter().enumerate() {
                let slope = -(spot.x_m * ux + spot.y_m * uy);
                for (side, gap_m) in stage.square_gaps_m(state, &stance, i).into_iter().enumerate()
                {
                    if let Some(gap_m) = gap_m {
                        tips.take(side, gap_m, slope);
                    }
                }
            }
            limits.push(limit(&land, &tips, direction_rad)?);
        }
        Ok(TiltLimits { all: limits })
    }

    /// Float and gaps at a given tilt, in a state and at a place of the orbit, in the greatest
    /// width. Slopes along the engine's axes, as in [`super::Pose`].
    ///
    /// # Errors
    /// [`RoomError::NoSuch`] for a state or place that is not there.
    pub fn at_tilt(
        &self,
        state: usize,
        place: usize,
        [slope_x, slope_y]: [Angle; 2],
    ) -> Result<Level, RoomError> {
        let stance = *self.stance(state, place)?;
        let stage = &self.stage;
        let lands = stage.lands(state, &stance, Which::Greatest);
        let [p, q] = stance.to_mounted([slope_x.to_rad(), slope_y.to_rad()]);
        let v = [0.0, p * stage.contact_m, q * stage.contact_m];
        let mut nearest_m = [f64::INFINITY; 2];
        for (i, spot) in stage.spots.iter().enumerate() {
            let rise_m = p * spot.x_m + q * spot.y_m;
            let [behind, in_front] = stage.square_gaps_m(state, &stance, i);
            nearest_m[0] = nearest_m[0].min(behind.map_or(f64::INFINITY, |gap_m| gap_m - rise_m));
            nearest_m[1] = nearest_m[1].min(in_front.map_or(f64::INFINITY, |gap_m| gap_m + rise_m));
        }
        Ok(level(lands.tightest(1, v).1, -lands.tightest(0, v).1, nearest_m))
    }
}

impl Strip {
    /// Takes a point with room `room_m` on a side and rise `−slope t`.
    fn take(&mut self, side: usize, room_m: f64, slope: f64) {
        if side == 0 {
            self.below.push(Line { at: room_m, slope });
        } else {
            self.above.push(Line { at: -room_m, slope });
        }
    }
}

fn limit(land: &Strip, tips: &Strip, direction_rad: f64) -> Result<TiltLimit, RoomError> {
    let jam = land.end()?;
    let mut worst: Option<f64> = None;
    if jam > 0.0 {
        for (tip, behind) in tips
            .below
            .iter()
            .map(|&line| (line, true))
            .chain(tips.above.iter().map(|&line| (line, false)))
        {
            let end = worst.unwrap_or(jam);
            let gap = |t: f64| {
                let (upper, lower) =
                    if behind { (tip, land.lowest(t)) } else { (land.highest(t), tip) };
                Line { at: upper.at - lower.at, slope: upper.slope - lower.slope }
            };
            worst = first_zero(gap, end)?.or(worst);
        }
    }
    // Centred, a gap is never less than at worst float: nothing to look for before that.
    let centred = match worst {
        Some(start) => first_centred(land, tips, start, jam)?,
        None => None,
    };
    let angle = Angle::rad;
    Ok(TiltLimit {
        direction: angle(direction_rad),
        jam: angle(jam),
        worst_float: worst.map(angle),
        centred: centred.map(angle),
    })
}
