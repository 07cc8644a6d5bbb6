//! What the room of a rotor is computed from, and the check that it fits together.

use super::error::RoomError;
use super::face::tip_azimuth_rad;
use super::wall::Wall;
use crate::geometry::{Looks, OutlinePoint};
use crate::heat::{STATES, ThermalState};
use crate::readings::{Face, Heights, TIPS};
use crate::units::{Angle, Expansion, Length};
use std::f64::consts::TAU;

/// Ring points that a model takes if it has no reason for another number.
pub const RING_POINTS: usize = 360;

/// Places on the orbit that a model takes if it has no reason for another number: every 15° of
/// rotor, 45° of shaft.
pub const ORBIT_PLACES: usize = 24;

/// A point of the outline is a tip if it is this near, in metres along either axis: the outline
/// comes from a computation, not from a gauge.
const SAME_PLACE_M: f64 = 1e-9;

/// Shape of the side face outside the land.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Outside {
    /// A flat face, lower than the land by the step from the land's edge on.
    Step,
    /// The land's plane goes on to a radius, drops, and then falls evenly to the tip.
    ///
    /// The plane inside `start` touches like the land, so the contact ring is at `start`.
    /// Beyond, the depth below the land's plane is
    /// `root + (D − root)(r − start)/(r_read − start)`, where `D` is the depth below the land's
    /// plane at the radius where the steps were read; so the height there is the measured one.
    Taper {
        /// Where it starts, from the land radius to below the radius of reading.
        start: Length,
        /// Depth just outside the start, zero or more.
        root: Length,
    },
}

/// Least and greatest width of a rotor housing, as clamped, readings as they stand.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Widths {
    /// The least: jamming is judged with it.
    pub least: Length,
    /// The greatest: the step is judged with it.
    pub greatest: Length,
}

/// One rotor between its walls.
#[derive(Debug, Clone, PartialEq)]
pub struct RoomModel {
    /// Land and tip heights, over the mid-plane.
    pub heights: Heights,
    /// How the rotor is fitted.
    pub gear_face_looks: Looks,
    /// Outer radius of the land, where the land heights hold.
    pub land_radius: Length,
    /// Outermost radius of the side face at a tip.
    pub tip_radius: Length,
    /// Where the tip heights were read, if not at the tip radius.
    pub reading_radius: Option<Length>,
    /// Shape outside the land.
    pub outside: Outside,
    /// Outline of the side face outside the land; holds at least the three tips.
    pub outline: Vec<OutlinePoint>,
    /// Generating radius `R` of the bore.
    pub generating_radius: Length,
    /// Eccentricity `e`.
    pub eccentricity: Length,
    /// Parallel shift `a` of the bore, zero or more.
    pub parallel_shift: Length,
    /// The rotor housing.
    pub width: Widths,
    /// The wall in front.
    pub front: Wall,
    /// The wall behind.
    pub rear: Wall,
    /// Of the rotor.
    pub rotor_expansion: Expansion,
    /// Of the rotor housing.
    pub housing_expansion: Expansion,
    /// Cold, warming, steady, soak.
    pub states: [ThermalState; STATES],
    /// Places over one orbit of 1080° of shaft, 1 to 1080.
    pub orbit_places: usize,
    /// Points by which a land's edge is represented, a multiple of 6 from 72 to 720.
    ///
    /// Between two points the land is missing, so the rotor is let to tilt a little too far and
    /// the least gap comes out too small, never too large: with equal faces and flat walls by no
    /// more than `(1/cos(π/n) − 1) r_T/r_L` of the clearance per side, which at 0.11 mm and
    /// `r_T/r_L` 1.62 is 7 nm for 360 points and 0.17 µm for 72.
    pub ring_points: usize,
}

impl RoomModel {
    /// The three tips alone, the least outline.
    #[must_use]
    pub fn tips_alone(tip_radius: Length) -> Vec<OutlinePoint> {
        (0..TIPS)
            .map(|tip| OutlinePoint {
                azimuth: Angle::rad(tip_azimuth_rad(tip)),
                radius: tip_radius,
            })
            .collect()
    }

    /// Which tip (0, 1, 2) a point of the outline is.
    pub(super) fn tip_at(&self, point: &OutlinePoint) -> Option<usize> {
        (0..TIPS).find(|&tip| {
            let turned = (point.azimuth.to_rad() - tip_azimuth_rad(tip)).rem_euclid(TAU);
            let apart_rad = turned.min(TAU - turned);
            apart_rad * self.tip_radius.to_m() < SAME_PLACE_M
                && (point.radius - self.tip_radius).abs().to_m() < SAME_PLACE_M
        })
    }

    /// Radius of the contact ring: the land's edge, or the start of a taper.
    #[must_use]
    pub fn contact_radius(&self) -> Length {
        match self.outside {
            Outside::Step => self.land_radius,
            Outside::Taper { start, .. } => start,
        }
    }

    /// Whether everything fits together.
    ///
    /// # Errors
    /// The first thing that does not.
    pub(super) fn check(&self) -> Result<(), RoomError> {
        let read = self.reading_radius.unwrap_or(self.tip_radius);
        for (what, size) in [
            ("land_radius", self.land_radius),
            ("tip_radius", self.tip_radius),
            ("reading_radius", read),
            ("generating_radius", self.generating_radius),
            ("eccentricity", self.eccentricity),
            ("the least housing width", self.width.least),
            ("the greatest housing width", self.width.greatest),
        ] {
            if !(size.to_m() > 0.0 && size.is_finite()) {
                return Err(RoomError::Size { what, value_mm: size.to_mm() });
            }
        }
        not_negative("parallel_shift", self.parallel_shift)?;
        order("land_radius", self.land_radius, "tip_radius", self.tip_radius)?;
        order("land_radius", self.land_radius, "reading_radius", read)?;
        order("eccentricity", self.eccentricity, "generating_radius", self.generating_radius)?;
        if self.width.least > self.width.greatest {
            order(
                "the least housing width",
                self.width.least,
                "the greatest",
                self.width.greatest,
            )?;
        }
        if let Outside::Taper { start, root } = self.outside {
            if start != self.land_radius {
                order("land_radius", self.land_radius, "the start of the taper", start)?;
            }
            order("the start of the taper", start, "reading_radius", read)?;
            order("the start of the taper", start, "tip_radius", self.tip_radius)?;
            not_negative("the root of the taper", root)?;
        }
        for face in Face::BOTH {
            let heights = self.heights.face(face);
            for tip in 0..TIPS {
                if !(heights.land[tip].is_finite() && heights.tip[tip].is_finite()) {
                    return Err(RoomError::Height { face: face.name(), tip: tip + 1 });
                }
            }
        }
        for (what, expansion) in
            [("rotor", self.rotor_expansion), ("housing", self.housing_expansion)]
        {
            let per_k = expansion.to_per_k();
            if !(0.0..=1e-4).contains(&per_k) {
                return Err(RoomError::Expansion { what, per_k });
            }
        }
        for state in &self.states {
            for (what, rise) in state.named() {
                if !(-100.0..=500.0).contains(&rise.to_k()) {
                    let state = state.name.name();
                    return Err(RoomError::Rise { state, what, rise_k: rise.to_k() });
                }
            }
        }
        if !(1..=1080).contains(&self.orbit_places) {
            let count = self.orbit_places;
            return Err(RoomError::Count { what: "orbit places", count, allowed: "1 to 1080" });
        }
        if !(72..=720).contains(&self.ring_points) || !self.ring_points.is_multiple_of(6) {
            let allowed = "a multiple of 6 from 72 to 720";
            return Err(RoomError::Count { what: "ring points", count: self.ring_points, allowed });
        }
        self.check_outline()
    }

    fn check_outline(&self) -> Result<(), RoomError> {
        for (i, point) in self.outline.iter().enumerate() {
            let beyond = self.tip_radius.to_m() + SAME_PLACE_M;
            let radius_m = point.radius.to_m();
            let lies = radius_m > self.contact_radius().to_m() && radius_m <= beyond;
            if !(lies && point.azimuth.is_finite()) {
                return Err(RoomError::OutlinePoint {
                    number: i + 1,
                    radius_mm: point.radius.to_mm(),
                    land_mm: self.contact_radius().to_mm(),
                    tip_mm: self.tip_radius.to_mm(),
                });
            }
        }
        for tip in 0..TIPS {
            if !self.outline.iter().any(|point| self.tip_at(point) == Some(tip)) {
                return Err(RoomError::OutlineLacksTip { tip: tip + 1 });
            }
        }
        Ok(())
    }
}

fn not_negative(what: &'static str, size: Length) -> Result<(), RoomError> {
    if size >= Length::ZERO && size.is_finite() {
        return Ok(());
    }
    Err(RoomError::Negative { what, value_mm: size.to_mm() })
}

fn order(
    less: &'static str,
    less_size: Length,
    more: &'static str,
    more_size: Length,
) -> Result<(), RoomError> {
    if less_size < more_size {
        return Ok(());
    }
    Err(RoomError::Order { less, less_mm: less_size.to_mm(), more, more_mm: more_size.to_mm() })
}
