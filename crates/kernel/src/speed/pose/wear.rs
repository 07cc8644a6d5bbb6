//! Where on the walls a rotor rubs: every contact with the work it does there.

use super::motion::{Cycle, Motion};
use crate::room::Touching;
use std::f64::consts::PI;

/// One mark on a wall.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WearMark {
    /// The wall: 0 behind the rotor, 1 in front of it.
    pub side: usize,
    /// What rubs.
    pub touching: Touching,
    /// Where, in engine axes from the shaft's axis.
    pub at_m: [f64; 2],
    /// Place of the shaft.
    pub place: usize,
    /// Force times the way it slides in this place, in newton metres: to be multiplied by a
    /// coefficient of friction, which is not known, to be a work.
    pub rubbed_n_m: f64,
}

impl Motion<'_> {
    /// Marks of one rotor over one cycle.
    ///
    /// A point `ρ` from the rotor's centre moves with `e` turning at the shaft's speed and `ρ`
    /// turning at a third of it: `dX/dθ = i (e + ρ/3)`.
    #[must_use]
    pub fn wear(&self, cycle: &Cycle, index: usize) -> Vec<WearMark> {
        let rotor = &self.rotors[index];
        let step_rad = 6.0 * PI / self.places() as f64;
        cycle
            .pushes
            .iter()
            .filter(|push| push.rotor == index)
            .map(|push| {
                let centre = rotor.room.centre_m(push.place + rotor.ahead);
                let [x, y] = push.at.from_centre_m;
                let way_m = (centre[0] + x / 3.0).hypot(centre[1] + y / 3.0) * step_rad;
                WearMark {
                    side: push.at.side,
                    touching: push.at.touching,
                    at_m: [centre[0] + x, centre[1] + y],
                    place: push.place,
                    rubbed_n_m: push.force_n * way_m,
                }
            })
            .collect()
    }
}
