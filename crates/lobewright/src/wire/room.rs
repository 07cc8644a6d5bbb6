//! The room of a rotor on the wire.

use super::number::{mm, mrad, rounded};
use super::plan::Tilts;
use crate::ops::RotorReport;
use kernel::room::{Gap, RoomError, StateRoom};
use serde::Serialize;

#[derive(Debug, Serialize)]
pub(super) struct RoomJson {
    explained: String,
    states: Vec<StateJson>,
    least_tilt: Option<Vec<LeastTiltJson>>,
    tilt_at_least_gap: Option<TiltJson>,
}

#[derive(Debug, Serialize)]
struct LeastTiltJson {
    state: &'static str,
    lands_jam_mrad: Option<f64>,
    tip_touches_worst_float_mrad: Option<f64>,
    tip_touches_centred_mrad: Option<f64>,
}

#[derive(Debug, Serialize)]
struct StateJson {
    state: &'static str,
    jams: bool,
    clearance_left_mm: f64,
    least_tip_gap_mm: Option<f64>,
    at: Option<GapJson>,
    greatest_tip_gap_mm: Option<f64>,
    without_tilt_mm: Vec<LevelJson>,
}

#[derive(Debug, Serialize)]
struct GapJson {
    face: &'static str,
    tip: Option<usize>,
    radius_mm: f64,
    shaft_deg: f64,
}

#[derive(Debug, Serialize)]
struct LevelJson {
    shaft_deg: f64,
    float: f64,
    worst_float: Option<f64>,
    centred: Option<f64>,
}

#[derive(Debug, Serialize)]
struct TiltJson {
    state: &'static str,
    shaft_deg: f64,
    directions: Vec<TiltLine>,
}

#[derive(Debug, Serialize)]
struct TiltLine {
    direction_deg: f64,
    lands_jam_mrad: f64,
    tip_touches_worst_float_mrad: Option<f64>,
    tip_touches_centred_mrad: Option<f64>,
}

pub(super) fn room(report: &RotorReport, tilts: Tilts) -> Result<RoomJson, RoomError> {
    let (least_tilt, tilt_at_least_gap) = match tilts {
        Tilts::Left => (None, None),
        Tilts::Tabled => (Some(least_tilts(report)?), tilt(report)?),
    };
    Ok(RoomJson {
        explained: report.explained.clone(),
        states: report.room.states.iter().map(state).collect(),
        least_tilt,
        tilt_at_least_gap,
    })
}

fn state(room: &StateRoom) -> StateJson {
    let least = room.places.iter().filter_map(|place| {
        let gap = place.gaps.as_ref()?.least.as_ref()?;
        Some((place.shaft_angle, gap))
    });
    let least = least.min_by(|a, b| a.1.gap.to_m().total_cmp(&b.1.gap.to_m()));
    StateJson {
        state: room.state.name.name(),
        jams: room.jams(),
        clearance_left_mm: mm(room.clearance_left),
        least_tip_gap_mm: least.map(|(_, gap)| mm(gap.gap)),
        at: least.map(|(angle, gap): (_, &Gap)| GapJson {
            face: gap.point.face.name(),
            tip: gap.point.tip,
            radius_mm: mm(gap.point.radius),
            shaft_deg: rounded(angle.to_deg()),
        }),
        greatest_tip_gap_mm: room.greatest().map(|gap| mm(gap.gap)),
        without_tilt_mm: room
            .places
            .iter()
            .map(|place| LevelJson {
                shaft_deg: rounded(place.shaft_angle.to_deg()),
                float: mm(place.level.float),
                worst_float: place.level.worst_float.map(mm),
                centred: place.level.centred.map(mm),
            })
            .collect(),
    }
}

fn least_tilts(report: &RotorReport) -> Result<Vec<LeastTiltJson>, RoomError> {
    let states = report.room.states.iter().zip(report.least_tilts()?);
    Ok(states
        .map(|(room, tilt)| LeastTiltJson {
            state: room.state.name.name(),
            lands_jam_mrad: tilt.jam.map(mrad),
            tip_touches_worst_float_mrad: tilt.worst_float.map(mrad),
            tip_touches_centred_mrad: tilt.centred.map(mrad),
        })
        .collect())
}

fn tilt(report: &RotorReport) -> Result<Option<TiltJson>, RoomError> {
    let Some((state, place, limits)) = report.tilt_at_worst()? else { return Ok(None) };
    let room = &report.room.states[state];
    Ok(Some(TiltJson {
        state: room.state.name.name(),
        shaft_deg: rounded(room.places[place].shaft_angle.to_deg()),
        directions: limits
            .all
            .iter()
            .map(|limit| TiltLine {
                direction_deg: rounded(limit.direction.to_deg()),
                lands_jam_mrad: mrad(limit.jam),
                tip_touches_worst_float_mrad: limit.worst_float.map(mrad),
                tip_touches_centred_mrad: limit.centred.map(mrad),
            })
            .collect(),
    }))
}
