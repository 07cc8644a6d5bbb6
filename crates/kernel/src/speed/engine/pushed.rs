//! A tip pushed along the shaft by a spring scale, in a clamped housing, the shaft level and at rest:
//! how far it moves between a small load and a large one.
//!
//! The small load takes up the float: the land rests on the wall beside the tip, and the rotor still
//! lies flat on its journal by its weight `W`. From a load of `W L / (2 (r − r_L))` on it rocks, over
//! the edge of its bearing of length `L`, about the land at `r_L`, until the other edge bears: by the
//! bearing's diametral clearance over its length. Beyond that the moment `F (r − r_L)` bends the shaft.
//! The tip, pushed and read at radius `r`, has then moved by
//!
//! `(r − r_L) · 2 c / L + (r − r_L)² C (F − F_0)`
//!
//! with `c` the bearing's radial clearance and `C` the slope of the journal per moment on it, main
//! bearings without films on their seats alone. Walls may stop it before. What edges and land are
//! pressed in is left out. The film that carries the rotor when it runs is not in it either: what such a
//! test says of the lean at speed has an uncertainty of its own.

use super::error::SpeedError;
use super::point::Engine;
use crate::heat::ThermalState;
use crate::readings::{Face, TIPS};
use crate::room::{ColdSizes, SIDES};
use crate::speed::shaft::Rates;
use crate::units::Length;

/// Standard acceleration of free fall, exactly [CGPM-1901].
const FREE_FALL_M_PER_S2: f64 = 9.806_65;

/// Where a tip is pushed, and with what.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Push {
    /// Which rotor, from 0 at the front.
    pub rotor: usize,
    /// On which face.
    pub face: Face,
    /// At which tip (0, 1, 2).
    pub tip: usize,
    /// How far from the rotor's axis it is pushed and read.
    pub radius: Length,
    /// The small load and the large one, N.
    pub loads_n: [f64; 2],
}

/// How far a pushed tip moves.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pushed {
    /// Until the bearing's other edge bears, m.
    pub play_m: f64,
    /// By the shaft bending under the rest of the load, m.
    pub bent_m: f64,
    /// The load from which the rotor rocks, N: the small load is to stay below it and the large one
    /// above.
    pub rocks_from_n: f64,
    /// How far it can move before the tip itself or the lands meet a wall, m.
    pub walls_m: f64,
}

impl Pushed {
    /// How far it moves as far as no wall stops it, m.
    #[must_use]
    pub fn moved_m(&self) -> f64 {
        self.play_m + self.bent_m
    }

    /// Whether a wall stops it first: then the test says nothing of the lean.
    #[must_use]
    pub fn is_stopped_by_walls(&self) -> bool {
        self.walls_m < self.moved_m()
    }
}

impl Engine {
    /// How far a pushed tip moves.
    ///
    /// # Errors
    /// [`SpeedError::Count`] for a rotor, a tip or a lever that is not there, [`SpeedError::Shaft`] for a
    /// shaft that nothing holds.
    pub fn pushed(&self, push: &Push) -> Result<Pushed, SpeedError> {
        let count = self.model.rotors.len();
        let Some(rotor) = self.model.rotors.get(push.rotor) else {
            let what = "rotors, the one that is pushed among them";
            return Err(SpeedError::Count { what, count, wanted: push.rotor + 1 });
        };
        if push.tip >= TIPS {
            let what = "tips, the one that is pushed among them";
            return Err(SpeedError::Count { what, count: TIPS, wanted: push.tip + 1 });
        }
        let model = rotor.room.model();
        let land_m = model.contact_radius().to_m();
        let lever_m = push.radius.to_m() - land_m;
        if lever_m <= 0.0 {
            return Err(SpeedError::PushedInside {
                radius_mm: push.radius.to_mm(),
                land_mm: model.contact_radius().to_mm(),
            });
        }
        let bearing = self.model.rotor_bearings[push.rotor].sizes;
        let rocks_by_rad = 2.0 * bearing.radial_clearance_m / bearing.length_m;
        let weight_n = rotor.mass_kg * FREE_FALL_M_PER_S2;
        let rocks_from_n = 0.5 * weight_n * bearing.length_m / lever_m;
        let [small_n, large_n] = push.loads_n;
        let beyond_n = (large_n - small_n.max(rocks_from_n)).max(0.0);
        let rocks = large_n > rocks_from_n;
        // The room at 20 degrees with the rotor upright, where it is least round the orbit.
        let sizes = rotor.room.sizes(&ColdSizes { state: ThermalState::COLD, ..rotor.cold });
        let side = (0..SIDES).find(|side| rotor.room.face_at(*side) == push.face).unwrap_or(0);
        let (mut gap_m, mut float_m) = (f64::INFINITY, f64::INFINITY);
        for place in (0..rotor.room.places()).step_by(super::chance::UPRIGHT_DEG) {
            let (range, tips) = rotor.room.tips_and_float(&sizes, place, [0.0; 2]);
            float_m = float_m.min(range.most_m - range.least_m);
            if let Some(gap) = tips[push.tip][side] {
                gap_m = gap_m.min(gap.worst_float_m);
            }
        }
        let tip_lever_m = (model.tip_radius.to_m() - land_m).max(f64::MIN_POSITIVE);
        let most_rad = (gap_m / tip_lever_m).min(0.5 * float_m / land_m);
        Ok(Pushed {
            play_m: if rocks { lever_m * rocks_by_rad } else { 0.0 },
            bent_m: lever_m * lever_m * self.slope_per_moment(push.rotor)? * beyond_n,
            rocks_from_n,
            walls_m: lever_m * most_rad.max(0.0),
        })
    }

    /// Slope of a rotor's journal per moment on it, at rest, rad/(N m).
    fn slope_per_moment(&self, rotor: usize) -> Result<f64, SpeedError> {
        let seats: Vec<Rates> = self
            .model
            .seats
            .iter()
            .map(|seat| Rates::isotropic(seat.radial_n_per_m, 0.0, seat.moment_n_m_per_rad, 0.0))
            .collect();
        let slope = self.structure.shaft.with_rates(&seats)?.flexibility()?.slope_per_moment;
        // The same all round, but for what the supports make of it: the mean of both axes.
        Ok(0.5 * (slope[(2 * rotor, 2 * rotor)] + slope[(2 * rotor + 1, 2 * rotor + 1)]))
    }
}
