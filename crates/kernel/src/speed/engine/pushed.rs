//! A tip pushed along the shaft by hand, in a clamped housing, the engine at rest: how far it gives.
//!
//! A first load takes up the float and the play of the bearing: the land rests on the wall beside the
//! tip and the bearing's edges bear on the journal. From there on a load `F` at radius `r` is carried
//! by the land at `r_L`, and the moment `F (r − r_L)` that is left bends the shaft. The rotor turns
//! about the land by its slope, so the tip gives by `F (r − r_L)² C`, `C` the slope of the journal per
//! moment on it. Main bearings at rest have no film: their seats alone give. What the bearing's edges
//! and the land are pressed in is left out; the film that carries the rotor when it runs is not in it
//! either, so what such a test says of the lean at speed has an uncertainty of its own.

use super::error::SpeedError;
use super::point::Engine;
use crate::speed::shaft::Rates;
use crate::units::Length;

impl Engine {
    /// How far a tip gives per load beyond the one that takes up all play, metres per newton. `radius`
    /// is where it is pushed and read; inside the land's edge nothing gives.
    ///
    /// # Errors
    /// [`SpeedError::Count`] for a rotor that is not there, [`SpeedError::Shaft`] for a shaft that
    /// nothing holds.
    pub fn gives_pushed_m_per_n(&self, rotor: usize, radius: Length) -> Result<f64, SpeedError> {
        let count = self.model.rotors.len();
        let Some(pushed) = self.model.rotors.get(rotor) else {
            let what = "rotors, the one that is pushed among them";
            return Err(SpeedError::Count { what, count, wanted: rotor + 1 });
        };
        let seats: Vec<Rates> = self
            .model
            .seats
            .iter()
            .map(|seat| Rates::isotropic(seat.radial_n_per_m, 0.0, seat.moment_n_m_per_rad, 0.0))
            .collect();
        let slope = self.structure.shaft.with_rates(&seats)?.flexibility()?.slope_per_moment;
        // The same all round, but for what the supports make of it: the mean of both axes.
        let per_moment =
            0.5 * (slope[(2 * rotor, 2 * rotor)] + slope[(2 * rotor + 1, 2 * rotor + 1)]);
        let lever_m = (radius - pushed.room.model().contact_radius()).max(Length::ZERO).to_m();
        Ok(lever_m * lever_m * per_moment)
    }
}
