//! Why the step on hand is or is not enough, in one sentence.

use super::face::HotFaces;
use super::solve::{Gap, Room, RoomResult, StateRoom};
use crate::heat::{StateName, ThermalState};
use crate::units::{Length, System};

impl Room {
    /// One plain sentence about the rotor called `rotor`, with amounts in both systems.
    ///
    /// The depth it speaks of is the one at 20 °C at the point where the room is least, and what
    /// is needed there, so it holds for uneven faces too.
    #[must_use]
    pub fn explain(&self, rotor: &str, result: &RoomResult, first: System) -> String {
        let tightest = result.tightest();
        if let Some(room) = std::iter::once(tightest).chain(&result.states).find(|room| room.jams())
        {
            return jammed(rotor, room, first);
        }
        let Some((room, gap)) = result.governing() else {
            return format!(
                "Outside the lands of {rotor} no checked point has a wall opposite it."
            );
        };
        let (called, depth) = self.depth_at(gap);
        let growth = self.model.rotor_expansion.to_per_k() * room.state.tip.to_k();
        let over = gap.gap / (1.0 + growth);
        let (when, depth) = (when(room.state.name), depth.as_amount(first));
        let face = gap.point.face.name();
        let place = match gap.point.tip {
            Some(tip) => format!("tip {tip} of the {face} face"),
            None => format!(
                "a point of the {face} face {} from the axis",
                gap.point.radius.as_size(first)
            ),
        };
        if gap.gap >= Length::ZERO {
            let over = over.as_amount(first);
            format!(
                "The lands of {rotor} stop the tilt before any tip reaches a wall: at the tightest, \
                 {when}, the {called} of {depth} leaves {over} at {place}."
            )
        } else {
            let under = (-over).as_amount(first);
            format!(
                "{rotor} would touch its wall with {place} before its lands stop the tilt: {when}, \
                 the {called} of {depth} is {under} too little; a larger clearance would make it \
                 worse, only a larger step helps (facing the whole side flat moves the tips \
                 nearer)."
            )
        }
    }

    /// What the depth below the land at a point is called, and how deep it is at 20 °C.
    fn depth_at(&self, gap: &Gap) -> (&'static str, Length) {
        let point = &gap.point;
        if let Some(tip) = point.tip {
            return ("step", self.model.heights.face(point.face).step()[tip - 1]);
        }
        let cold = HotFaces::new(&self.model, &self.stage.spots, &ThermalState::COLD);
        let faces = self.model.gear_face_looks.faces_rear_then_front();
        let side = usize::from(faces[1] == point.face);
        let spot = self.stage.spots.iter().position(|spot| {
            spot.azimuth == point.azimuth && Length::m(spot.radius_m) == point.radius
        });
        let depth_m = spot.map_or(0.0, |i| {
            let spot = &self.stage.spots[i];
            cold.land[side].at(spot.x_m, spot.y_m) - cold.spots_m[side][i]
        });
        ("depth below the land", Length::m(depth_m))
    }
}

fn jammed(rotor: &str, room: &StateRoom, first: System) -> String {
    let when = when(room.state.name);
    if room.clearance_left > Length::ZERO {
        return format!(
            "{rotor} jams between its walls {when}: its two lands are so far from parallel that no \
             pose passes, though {} of side clearance are left.",
            room.clearance_left.as_amount(first)
        );
    }
    format!(
        "{rotor} jams between its walls {when}: {} of side clearance are wanting, which a larger \
         step does not give.",
        (-room.clearance_left).as_amount(first)
    )
}

fn when(state: StateName) -> &'static str {
    match state {
        StateName::Cold => "cold",
        StateName::Warming => "while the engine warms up",
        StateName::Steady => "in the steady heat",
        StateName::Soak => "in heat soak",
    }
}
