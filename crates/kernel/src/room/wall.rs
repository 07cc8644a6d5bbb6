//! The wall a side housing gives: where there is metal, and how far it is worn.
//!
//! Wear is a depth below the clamping face, positive, and adds room. It depends on the distance
//! from the shaft axis alone: one figure for the track of the lands, one for the track of the
//! tips, and a straight line between the two tracks.

use super::error::RoomError;
use crate::units::{Angle, Length};
use std::f64::consts::TAU;

/// A port or another opening: a sector of a ring about the shaft axis, in engine axes.
///
/// Where the edge of a land hangs over an opening, it is taken not to touch there, although metal
/// further in, on the opening's rim, may hold the land a little later. The rotor is so let to tilt
/// a little too far: the least gap comes out too small, never too large.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Opening {
    /// Its inner radius, zero or more.
    pub radius_from: Length,
    /// Its outer radius, greater than the inner one.
    pub radius_to: Length,
    /// Where it starts, from `+x` towards `+y`.
    pub angle_from: Angle,
    /// Where it ends, going from its start in the sense of rotation; less than a turn.
    pub angle_to: Angle,
}

/// One side housing as the rotor sees it.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Wall {
    /// Depth of wear on the track of the lands, up to the land radius plus the eccentricity.
    pub land_wear: Length,
    /// Depth of wear on the track of the tips, from the tip radius less the eccentricity.
    pub tip_wear: Length,
    /// Radius of the hole round the shaft, if it matters.
    pub central_bore: Option<Length>,
    /// Ports and other openings.
    pub openings: Vec<Opening>,
}

/// A wall in plain metres and radians, with the tracks of one rotor on it.
#[derive(Debug, Clone)]
pub(super) struct Track {
    land_wear_m: f64,
    tip_wear_m: f64,
    /// Where the land's track ends and the tips' track starts; equal if they overlap.
    land_to_m: f64,
    tip_from_m: f64,
    bore_m: f64,
    openings: Vec<Sector>,
}

#[derive(Debug, Clone, Copy)]
struct Sector {
    from_m: f64,
    to_m: f64,
    start_rad: f64,
    span_rad: f64,
}

impl Track {
    /// `contact_m` radius of the land's contact ring, `tip_m` of the tips, `throw_m` eccentricity.
    pub(super) fn new(
        wall: &Wall,
        which: &'static str,
        contact_m: f64,
        tip_m: f64,
        throw_m: f64,
    ) -> Result<Self, RoomError> {
        for (what, depth) in [("land_wear", wall.land_wear), ("tip_wear", wall.tip_wear)] {
            if !(depth >= Length::ZERO && depth.is_finite()) {
                return Err(RoomError::Wear { which, what, depth_um: depth.to_um() });
            }
        }
        let (mut land_to_m, mut tip_from_m) = (contact_m + throw_m, tip_m - throw_m);
        if land_to_m > tip_from_m {
            land_to_m = 0.5 * (contact_m + tip_m);
            tip_from_m = land_to_m;
        }
        let bore = wall.central_bore.unwrap_or_default();
        if !(bore >= Length::ZERO && bore.is_finite()) {
            return Err(RoomError::Bore { which, radius_mm: bore.to_mm() });
        }
        let openings = wall
            .openings
            .iter()
            .enumerate()
            .map(|(i, opening)| sector(opening).ok_or(RoomError::Opening { which, number: i + 1 }))
            .collect::<Result<_, _>>()?;
        Ok(Self {
            land_wear_m: wall.land_wear.to_m(),
            tip_wear_m: wall.tip_wear.to_m(),
            land_to_m,
            tip_from_m,
            bore_m: bore.to_m(),
            openings,
        })
    }

    /// Wear at a distance from the shaft axis.
    pub(super) fn wear_m(&self, distance_m: f64) -> f64 {
        if distance_m <= self.land_to_m {
            self.land_wear_m
        } else if distance_m >= self.tip_from_m {
            self.tip_wear_m
        } else {
            let part = (distance_m - self.land_to_m) / (self.tip_from_m - self.land_to_m);
            self.land_wear_m + part * (self.tip_wear_m - self.land_wear_m)
        }
    }

    /// Wear at a place in engine axes, nothing where there is no metal.
    pub(super) fn metal_m(&self, x_m: f64, y_m: f64) -> Option<f64> {
        let distance_m = (x_m * x_m + y_m * y_m).sqrt();
        if distance_m < self.bore_m {
            return None;
        }
        for sector in &self.openings {
            if distance_m > sector.from_m
                && distance_m < sector.to_m
                && (y_m.atan2(x_m) - sector.start_rad).rem_euclid(TAU) < sector.span_rad
            {
                return None;
            }
        }
        Some(self.wear_m(distance_m))
    }

    /// Whether a circle of points between two distances from the shaft always finds metal.
    pub(super) fn is_whole(&self, from_m: f64, to_m: f64) -> bool {
        from_m >= self.bore_m
            && !self.openings.iter().any(|sector| sector.from_m < to_m && from_m < sector.to_m)
    }

    /// The one depth of wear between two distances, if there is only one.
    pub(super) fn uniform_m(&self, from_m: f64, to_m: f64) -> Option<f64> {
        if self.land_wear_m == self.tip_wear_m || to_m <= self.land_to_m {
            Some(self.land_wear_m)
        } else if from_m >= self.tip_from_m {
            Some(self.tip_wear_m)
        } else {
            None
        }
    }
}

fn sector(opening: &Opening) -> Option<Sector> {
    let (from_m, to_m) = (opening.radius_from.to_m(), opening.radius_to.to_m());
    let (start_rad, end_rad) = (opening.angle_from.to_rad(), opening.angle_to.to_rad());
    let sound = from_m >= 0.0 && to_m > from_m && to_m.is_finite();
    let span_rad = (end_rad - start_rad).rem_euclid(TAU);
    (sound && start_rad.is_finite() && span_rad > 0.0).then_some(Sector {
        from_m,
        to_m,
        start_rad,
        span_rad,
    })
}

#[cfg(test)]
mod tests {
    use super::{Opening, Track, Wall};
    use crate::units::{Angle, Length};

    fn wall() -> Wall {
        Wall {
            land_wear: Length::um(20.0),
            tip_wear: Length::um(4.0),
            central_bore: Some(Length::mm(40.0)),
            openings: vec![Opening {
                radius_from: Length::mm(60.0),
                radius_to: Length::mm(80.0),
                angle_from: Angle::deg(-10.0),
                angle_to: Angle::deg(25.0),
            }],
        }
    }

    #[test]
    fn wear_goes_from_one_track_to_the_other() {
        let track = Track::new(&wall(), "front", 0.061, 0.099, 0.0145).unwrap();
        for (mm, um) in [(50.0, 20.0), (75.5, 20.0), (80.0, 12.0), (84.5, 4.0), (110.0, 4.0)] {
            assert!((track.wear_m(mm / 1e3) * 1e6 - um).abs() < 1e-9, "{mm}");
        }
        assert_eq!(track.uniform_m(0.0465, 0.0755), Some(20e-6));
        assert_eq!(track.uniform_m(0.0465, 0.0765), None);
    }

    #[test]
    fn overlapping_tracks_meet_half_way() {
        let track = Track::new(&wall(), "front", 0.061, 0.080, 0.0145).unwrap();
        assert_eq!(track.wear_m(0.0704), 20e-6);
        assert_eq!(track.wear_m(0.0706), 4e-6);
    }

    #[test]
    fn no_metal_in_the_bore_and_in_an_opening() {
        let track = Track::new(&wall(), "front", 0.061, 0.099, 0.0145).unwrap();
        assert_eq!(track.metal_m(0.0, 0.039), None);
        assert_eq!(track.metal_m(0.0, -0.070), Some(20e-6));
        for (degrees, open) in [(-11.0, false), (-9.0, true), (24.0, true), (26.0, false)] {
            let angle = f64::to_radians(degrees);
            let metal = track.metal_m(0.07 * angle.cos(), 0.07 * angle.sin());
            assert_eq!(metal.is_none(), open, "{degrees}");
        }
        assert!(track.is_whole(0.04, 0.06));
        assert!(!track.is_whole(0.04, 0.061));
    }

    #[test]
    fn what_cannot_be_is_refused() {
        let negative = Wall { land_wear: Length::um(-1.0), ..Wall::default() };
        let error = Track::new(&negative, "rear", 0.061, 0.099, 0.0145).unwrap_err();
        assert!(error.to_string().contains("rear wall: land_wear of -1"), "{error}");
        let mut upside_down = wall();
        upside_down.openings[0].radius_to = Length::mm(50.0);
        let error = Track::new(&upside_down, "front", 0.061, 0.099, 0.0145).unwrap_err();
        assert!(error.to_string().contains("opening 1"), "{error}");
    }
}
