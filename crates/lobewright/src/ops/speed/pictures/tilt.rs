//! The path of a rotor's tilt, and the room that its thermal state leaves it.

use super::super::super::picture::{origin, sentence};
use super::{Drawn, circumstances, speed};
use drawings::{JamOutline, LeastGap, Slope, TiltPath, TouchReach};
use kernel::room::{LeanLimit, RoomError};
use kernel::units::{Angle, Length};

/// Directions in which the room is looked at: every 5°, so that a straight line from one to the
/// next is within a thousandth of a round room's edge, and, with places every 30° of shaft, which
/// is 10° of rotor, every tip lies just in one of them at every place.
const DIRECTIONS: usize = 72;
/// Shaft angle between the places at which it is looked at, in degrees.
const EVERY_DEG: usize = 30;

pub(super) fn tilt_path(rotor: Drawn<'_>) -> TiltPath {
    let Drawn { report, plan, index, planned, at_speed } = rotor;
    let poses = &report.point.poses.real().cycle.rotors[index];
    let mut notes = vec![circumstances(report)];
    let room = room(rotor);
    let (jams, touches) = match &room {
        Ok(limits) => (outline(limits), reaches(limits)),
        Err(error) => {
            notes.push(sentence(&format!("the room is not drawn: {error}")));
            (None, Vec::new())
        }
    };
    if room.is_ok() {
        notes.push(match jams {
            Some(_) => format!(
                "The room is the least of the orbit, looked at every {EVERY_DEG}\u{b0} of shaft."
            ),
            None => "In some directions the lands never stop the rotor.".to_owned(),
        });
    }
    TiltPath {
        serial: at_speed.serial.clone(),
        origin: origin(plan, planned),
        assumed_shaft: report.assumed_shaft,
        speed: speed(report),
        path: poses.iter().map(|pose| slope(pose.lean)).collect(),
        jams: jams.into_iter().collect(),
        touches,
        least: at_speed.gaps.least().map(|(_, _, least)| LeastGap {
            degree: least.at,
            gap: Length::m(least.worst_float_m),
        }),
        notes,
    }
}

fn slope([x, y]: [f64; 2]) -> Slope {
    Slope { x: Angle::rad(x), y: Angle::rad(y) }
}

/// How far the rotor can lean in each direction.
fn room(rotor: Drawn<'_>) -> Result<Vec<(Angle, LeanLimit)>, RoomError> {
    let engine = &rotor.report.engine;
    let (room, sizes) = (&engine.model().rotors[rotor.index].room, &engine.sizes()[rotor.index]);
    (0..DIRECTIONS)
        .map(|number| {
            let direction = Angle::deg(360.0 * number as f64 / DIRECTIONS as f64);
            let (sin, cos) = direction.to_rad().sin_cos();
            Ok((direction, room.least_lean_limit(sizes, [cos, sin], EVERY_DEG)?))
        })
        .collect()
}

/// Where the lands jam; nothing where they do not in some direction.
fn outline(limits: &[(Angle, LeanLimit)]) -> Option<JamOutline> {
    let corners = limits
        .iter()
        .map(|(direction, limit)| {
            let (sin, cos) = direction.to_rad().sin_cos();
            limit.jam_rad.map(|lean| slope([lean * cos, lean * sin]))
        })
        .collect::<Option<Vec<Slope>>>()?;
    Some(JamOutline { at: None, corners })
}

fn reaches(limits: &[(Angle, LeanLimit)]) -> Vec<TouchReach> {
    limits
        .iter()
        .map(|(direction, limit)| TouchReach {
            direction: *direction,
            tilt: limit.touch_rad.map(Angle::rad),
        })
        .collect()
}
