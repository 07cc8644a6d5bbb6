//! The least gap at each tip on its own, for pictures that show all three.

use super::error::RoomError;
use super::program::{Basis, Outcome, maximise};
use super::scene::Which;
use super::solve::{Found, Gap, Room};

impl Room {
    /// The least gap of each tip that has metal opposite, in the order of the outline, over both
    /// faces and all poses that the lands allow; in a state and at a place of the orbit, in the
    /// greatest width. Empty if the lands are jammed.
    ///
    /// # Errors
    /// [`RoomError::NoSuch`] for a state or place that is not there, else as [`Room::solve`].
    pub fn tip_gaps(&self, state: usize, place: usize) -> Result<Vec<Gap>, RoomError> {
        let stance = *self.stance(state, place)?;
        let lands = self.stage.lands(state, &stance, Which::Greatest);
        let mut least = Vec::new();
        for (spot, point) in self.stage.spots.iter().enumerate() {
            if point.tip.is_none() {
                continue;
            }
            let objective = self.objective(point);
            let square_m = self.stage.square_gaps_m(state, &stance, spot);
            let mut found: Option<Found> = None;
            for (side, square_m) in square_m.into_iter().enumerate() {
                let Some(square_m) = square_m else { continue };
                let towards = if side == 0 { objective } else { objective.map(|x| -x) };
                let mut basis = Basis::artificial(towards);
                let Outcome::Optimum { value, at } = maximise(&lands, towards, &mut basis)? else {
                    return Ok(Vec::new());
                };
                let gap_m = square_m - value;
                if found.is_none_or(|found| gap_m < found.gap_m) {
                    found = Some(Found { gap_m, spot, side, at });
                }
            }
            least.extend(found.map(|found| self.gap(found, &stance)));
        }
        Ok(least)
    }
}

#[cfg(test)]
mod tests {
    use super::super::closed_forms::model;
    use super::super::solve::Room;
    use crate::units::Length;

    #[test]
    fn the_least_of_the_tips_is_the_least_of_the_room() {
        let mut model = model(Length::um(110.0), Length::um(127.0));
        model.states = crate::heat::ASSUMED;
        model.heights.gear.tip[1] -= Length::um(7.0);
        model.heights.plain.tip[2] += Length::um(5.0);
        let room = Room::new(model).unwrap();
        let result = room.solve().unwrap();
        for (s, state) in result.states.iter().enumerate() {
            for (p, place) in state.places.iter().enumerate() {
                let tips = room.tip_gaps(s, p).unwrap();
                assert_eq!(tips.len(), 3);
                let least = tips.iter().map(|gap| gap.gap.to_m()).fold(f64::INFINITY, f64::min);
                let expected = place.gaps.unwrap().least.unwrap().gap.to_m();
                assert!((least - expected).abs() < 1e-12, "{least} {expected}");
            }
        }
    }
}
