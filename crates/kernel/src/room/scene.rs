//! One rotor at one place of its orbit, in one thermal state, between walls of one width.

use super::error::RoomError;
use super::face::{HotFaces, Spot, spots};
use super::model::RoomModel;
use super::program::FREE_M;
use super::ring::{Flat, Lands, Ring, Under};
use super::wall::Track;
use crate::geometry::Looks;
use crate::heat::{HotWidth, STATES};
use crate::units::{Angle, Length};
use std::f64::consts::PI;

/// One orbit is three turns of the shaft and one of the rotor.
const ORBIT_RAD: f64 = 6.0 * PI;

/// A place on the orbit.
#[derive(Debug, Clone, Copy)]
pub(super) struct Stance {
    /// Which one, from 0.
    index: usize,
    /// Of the shaft, from where this rotor's throw points to `+y`.
    pub(super) shaft_angle: Angle,
    /// Rotor centre in engine axes.
    pub(super) centre_m: [f64; 2],
    /// Cosine and sine of tip 1's azimuth in engine axes.
    pub(super) turn: [f64; 2],
}

impl Stance {
    /// At shaft angle `θ` the throw points to `90° + θ`, and a tip's azimuth is a third of the
    /// throw's, so that the tip follows the bore; flank 1 is over the hot waist at `θ = 0`.
    fn at(index: usize, shaft_rad: f64, throw_m: f64, looks: Looks) -> Self {
        let throw_rad = 0.5 * PI + shaft_rad;
        let start_rad = match looks {
            Looks::Rear => 5.0 / 6.0 * PI,
            Looks::Front => PI / 6.0,
        };
        let tip_rad = start_rad + shaft_rad / 3.0;
        Self {
            index,
            shaft_angle: Angle::rad(shaft_rad),
            centre_m: [throw_m * throw_rad.cos(), throw_m * throw_rad.sin()],
            turn: [tip_rad.cos(), tip_rad.sin()],
        }
    }

    /// A direction in mounted axes, in engine axes.
    pub(super) fn to_engine(self, [x, y]: [f64; 2]) -> [f64; 2] {
        let [cos, sin] = self.turn;
        [x * cos - y * sin, x * sin + y * cos]
    }

    /// A direction in engine axes, in mounted axes.
    pub(super) fn to_mounted(self, [x, y]: [f64; 2]) -> [f64; 2] {
        let [cos, sin] = self.turn;
        [x * cos + y * sin, y * cos - x * sin]
    }

    fn place_m(&self, x_m: f64, y_m: f64) -> [f64; 2] {
        let [x, y] = self.to_engine([x_m, y_m]);
        [self.centre_m[0] + x, self.centre_m[1] + y]
    }
}

/// Which of the housing's widths.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Which {
    Least,
    Greatest,
}

/// Everything that does not change from place to place.
#[derive(Debug, Clone)]
pub(super) struct Stage {
    pub(super) contact_m: f64,
    pub(super) ring: Ring,
    pub(super) spots: Vec<Spot>,
    pub(super) hot: [HotFaces; STATES],
    pub(super) stances: Vec<Stance>,
    /// Wall behind, wall in front.
    tracks: [Track; 2],
    widths: [[HotWidth; 2]; STATES],
    /// Half the greatest width at the shaft axis, and its slope along the engine's `y`.
    halves: [[f64; 2]; STATES],
    /// Wear under the ring behind and in front, where it is one figure.
    ring_wear_m: [Option<f64>; 2],
    ring_whole: bool,
    /// What the flat form lacks under the ring, place by place, points behind and then in front;
    /// empty if it lacks nothing.
    ring_extra_m: Vec<f64>,
    /// Whether wall and wear are the same at every spot all round the orbit.
    spots_same: bool,
    /// Wear at each spot, place by place, behind and then in front; nothing without metal.
    spot_wear_m: Vec<Option<f64>>,
}

impl Stage {
    pub(super) fn new(model: &RoomModel) -> Result<Self, RoomError> {
        model.check()?;
        let contact_m = model.contact_radius().to_m();
        let throw_m = model.eccentricity.to_m();
        let tip_m = model.tip_radius.to_m();
        let tracks = [
            Track::new(&model.rear, "rear", contact_m, tip_m, throw_m)?,
            Track::new(&model.front, "front", contact_m, tip_m, throw_m)?,
        ];
        let spots = spots(model, contact_m);
        let reach = |radius_m: f64| ((radius_m - throw_m).abs(), radius_m + throw_m);
        let (from_m, to_m) = reach(contact_m);
        let ring_whole = tracks.iter().all(|track| track.is_whole(from_m, to_m));
        let ring_wear_m = [0, 1].map(|side: usize| tracks[side].uniform_m(from_m, to_m));
        let spots_same = tracks.iter().all(|track| {
            spots.iter().all(|spot| {
                let (from_m, to_m) = reach(spot.radius_m);
                track.is_whole(from_m, to_m) && track.uniform_m(from_m, to_m).is_some()
            })
        });
        let waist = model.generating_radius - model.eccentricity + model.parallel_shift;
        let widths = model.states.map(|state| {
            [model.width.least, model.width.greatest]
                .map(|width| HotWidth::new(width, model.housing_expansion, &state, waist))
        });
        let places = model.orbit_places;
        let stances: Vec<Stance> = (0..places)
            .map(|i| {
                let shaft_rad = ORBIT_RAD * i as f64 / places as f64;
                Stance::at(i, shaft_rad, throw_m, model.gear_face_looks)
            })
            .collect();
        let hot = model.states.map(|state| HotFaces::new(model, &spots, &state));
        let ring = Ring::new(model.ring_points);
        let mut ring_extra_m = Vec::new();
        let mut spot_wear_m = Vec::with_capacity(2 * places * spots.len());
        let flat_everywhere = ring_whole && ring_wear_m.iter().all(Option::is_some);
        for stance in &stances {
            for (track, even) in tracks.iter().zip(ring_wear_m) {
                if !flat_everywhere {
                    let is_flat = even.is_some() && track.is_whole(from_m, to_m);
                    ring_extra_m.extend(ring.unit().iter().map(|unit| {
                        if is_flat {
                            return 0.0;
                        }
                        let [x, y] = stance.place_m(contact_m * unit[0], contact_m * unit[1]);
                        let wear_m = track.metal_m(x, y);
                        wear_m.map_or(FREE_M, |wear_m| if even.is_some() { 0.0 } else { wear_m })
                    }));
                }
                spot_wear_m.extend(spots.iter().map(|spot| {
                    let [x, y] = stance.place_m(spot.x_m, spot.y_m);
                    track.metal_m(x, y)
                }));
            }
        }
        Ok(Self {
            contact_m,
            ring,
            spots,
            hot,
            stances,
            tracks,
            widths,
            halves: widths.map(|[_, greatest]| {
                [0.5 * greatest.at(Length::ZERO).to_m(), 0.5 * greatest.slope()]
            }),
            ring_wear_m,
            ring_whole,
            ring_extra_m,
            spots_same,
            spot_wear_m,
        })
    }

    /// Whether the room is the same all round the orbit: parallel walls, whole and evenly worn
    /// wherever the rotor's points come.
    pub(super) fn is_same_all_round(&self, state: usize) -> bool {
        self.width(state, Which::Greatest).is_parallel()
            && self.ring_whole
            && self.ring_wear_m.iter().all(Option::is_some)
            && self.spots_same
    }

    pub(super) fn width(&self, state: usize, which: Which) -> &HotWidth {
        let [least, greatest] = &self.widths[state];
        match which {
            Which::Least => least,
            Which::Greatest => greatest,
        }
    }

    /// Wear on the land tracks of both walls together.
    pub(super) fn land_wear(&self) -> Length {
        Length::m(self.tracks.iter().map(|track| track.wear_m(0.0)).sum())
    }

    /// The lands between the walls.
    pub(super) fn lands(&self, state: usize, stance: &Stance, which: Which) -> Lands<'_> {
        self.lands_of(&self.hot[state], self.width(state, which), stance)
    }

    /// Lands of any faces between walls of any width.
    pub(super) fn lands_of(&self, hot: &HotFaces, width: &HotWidth, stance: &Stance) -> Lands<'_> {
        let half_slope = 0.5 * width.slope();
        let half_m = 0.5 * width.at(Length::m(stance.centre_m[1])).to_m();
        // The engine's y along the mounted axes.
        let [up_x, up_y] = stance.to_mounted([0.0, 1.0]);
        let flat = [0, 1].map(|side: usize| {
            let land = &hot.land[side];
            Flat {
                room_m: half_m + self.ring_wear_m[side].unwrap_or(0.0) - land.height_m,
                tilt_m: [
                    self.contact_m * (land.gradient[0] - half_slope * up_x),
                    self.contact_m * (land.gradient[1] - half_slope * up_y),
                ],
            }
        });
        let size = 2 * self.ring.len();
        let under = match self.ring_extra_m.get(stance.index * size..(stance.index + 1) * size) {
            None => Under::Whole,
            Some(extra) if self.ring_wear_m.iter().all(Option::is_some) => Under::Holed(extra),
            Some(extra) => Under::Uneven(extra),
        };
        Lands { ring: &self.ring, flat, under }
    }

    /// Gaps at a spot behind and in front with the rotor centred and square, in the greatest
    /// width; nothing where there is no metal.
    #[inline]
    pub(super) fn square_gaps_m(
        &self,
        state: usize,
        stance: &Stance,
        spot: usize,
    ) -> [Option<f64>; 2] {
        self.square_gaps_of(&self.hot[state], self.halves[state], stance, spot)
    }

    /// The same for any faces and any half width at the shaft axis with its slope along `y`.
    #[inline]
    pub(super) fn square_gaps_of(
        &self,
        hot: &HotFaces,
        [middle_m, slope]: [f64; 2],
        stance: &Stance,
        spot: usize,
    ) -> [Option<f64>; 2] {
        let Spot { x_m, y_m, .. } = self.spots[spot];
        let [_, y] = stance.place_m(x_m, y_m);
        let half_m = middle_m + slope * y;
        let first = 2 * stance.index * self.spots.len() + spot;
        let heights = &hot.spots_m;
        let behind = self.spot_wear_m[first];
        let in_front = self.spot_wear_m[first + self.spots.len()];
        [
            behind.map(|wear_m| half_m + wear_m - heights[0][spot]),
            in_front.map(|wear_m| half_m + wear_m - heights[1][spot]),
        ]
    }
}
