//! The plan of a build as JSON, format 1.

use super::number::{g, mm, three};
use super::readings::{ReadingsJson, readings};
use super::room::{RoomJson, room};
use crate::ops::{Limiting, PlanReport, RotorReport};
use kernel::plan::{Method, NearbySpec, SizeVerdict};
use kernel::readings::{EDITION, Face, PROBABILITY};
use kernel::room::RoomError;
use kernel::seals::SealLine;
use kernel::window::{Edge, Range};
use serde::Serialize;

/// A whole plan.
#[derive(Debug, Serialize)]
pub struct PlanJson {
    format: u32,
    build: String,
    feasible: bool,
    method: Option<&'static str>,
    limiting: Vec<LimitingJson>,
    decision_rule: DecisionRule,
    spec: String,
    #[serde(rename = "match")]
    matching: Matching,
    nearest_specs: Vec<Vec<ChangeJson>>,
    rotors: Vec<RotorJson>,
    assumed: Vec<String>,
    caution: &'static str,
}

/// Whether the tables of tilt are wanted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Tilts {
    /// In full.
    Tabled,
    /// Left out.
    Left,
}

/// What every output says of its figures.
const CAUTION: &str =
    "screening estimate until calibrated; local rules and licensed practice come first";

#[derive(Debug, Serialize)]
struct LimitingJson {
    serial: Option<String>,
    limit: &'static str,
    detail: String,
}

#[derive(Debug, Serialize)]
struct DecisionRule {
    edition: &'static str,
    probability: f64,
}

#[derive(Debug, Serialize)]
struct Matching {
    spread_mm: f64,
    allowed_mm: f64,
    verdict: &'static str,
}

#[derive(Debug, Serialize)]
struct ChangeJson {
    key: &'static str,
    from_mm: f64,
    to_mm: f64,
}

#[derive(Debug, Serialize)]
struct RotorJson {
    serial: String,
    housing: String,
    gear_face: &'static str,
    planned: bool,
    verdict: &'static str,
    verdict_of: &'static str,
    land_width_mm: f64,
    side_clearance_mm: f64,
    step_needed_mm: f64,
    step_needed_hot_mm: f64,
    step_needed_hot_state: &'static str,
    land_touches_first: bool,
    gear: FaceJson,
    plain: FaceJson,
    tip_width_mm: [f64; 3],
    hold: HoldJson,
    removed_g: f64,
    mass_before_g: Option<f64>,
    mass_g: Option<f64>,
    warnings: Vec<String>,
    sizes: Vec<SizeJson>,
    measured: Option<MeasuredJson>,
    readings: ReadingsJson,
    room: RoomJson,
    seals: Vec<SealJson>,
    window: WindowJson,
}

/// What the machinist holds: tolerance less guard.
#[derive(Debug, Serialize)]
struct HoldJson {
    land_width_mm: [f64; 2],
    step_mm: [f64; 2],
    step_never_under_mm: f64,
}

/// Heights are from the mid-plane: square to the bearing bore, the lands' mean heights equal.
#[derive(Debug, Serialize)]
struct FaceJson {
    land_cut_mm: [f64; 3],
    tip_cut_mm: [f64; 3],
    step_mm: [f64; 3],
    land_height_mm: [f64; 3],
    tip_height_mm: [f64; 3],
}

#[derive(Debug, Serialize)]
struct SizeJson {
    size: &'static str,
    tip: usize,
    value_mm: f64,
    guard_mm: f64,
    verdict: &'static str,
}

#[derive(Debug, Serialize)]
struct MeasuredJson {
    sizes: Vec<SizeJson>,
    off_plan: Option<Vec<OffPlan>>,
    mass_predicted_g: Option<f64>,
    mass_weighed_g: Option<f64>,
    second_cut: bool,
}

#[derive(Debug, Serialize)]
struct OffPlan {
    size: &'static str,
    tip: usize,
    planned_mm: f64,
    measured_mm: f64,
    off_mm: f64,
}

#[derive(Debug, Serialize)]
struct SealJson {
    seal: &'static str,
    figure: &'static str,
    value_mm: f64,
    least_mm: Option<f64>,
    most_mm: Option<f64>,
    holds: Option<bool>,
}

#[derive(Debug, Serialize)]
struct AtSpeedJson {
    chance: f64,
    least_side_clearance_mm: f64,
    least_step_mm: f64,
    assumed_shaft: bool,
}

#[derive(Debug, Serialize)]
struct WindowJson {
    side_clearance: RangeJson,
    step: RangeJson,
    at_speed: Option<AtSpeedJson>,
}

#[derive(Debug, Serialize)]
struct RangeJson {
    least: Vec<EdgeJson>,
    most: Vec<EdgeJson>,
    wanted_mm: f64,
    tolerance_mm: f64,
    empty: bool,
    holds_the_spec: bool,
}

#[derive(Debug, Serialize)]
struct EdgeJson {
    limit: &'static str,
    state: Option<&'static str>,
    at_mm: f64,
}

impl PlanJson {
    /// From a report, with tables of tilt or without (they take some tens of milliseconds).
    ///
    /// # Errors
    /// [`RoomError`] when the tilts cannot be computed.
    pub fn of(report: &PlanReport, tilts: Tilts) -> Result<Self, RoomError> {
        Ok(Self {
            format: 1,
            build: report.build.clone(),
            feasible: report.feasible,
            method: report.method.map(|method| match method {
                Method::Aimed => "aimed",
                Method::Searched => "searched",
            }),
            limiting: report.limiting.iter().map(limiting).collect(),
            decision_rule: DecisionRule { edition: EDITION, probability: PROBABILITY },
            spec: report.spec_name.clone(),
            matching: Matching {
                spread_mm: mm(report.spread),
                allowed_mm: mm(report.spec.matching),
                verdict: report.match_verdict.words(),
            },
            nearest_specs: report.nearby.iter().map(changes).collect(),
            rotors: report.rotors.iter().map(|r| rotor(r, tilts)).collect::<Result<_, _>>()?,
            assumed: report.assumed.clone(),
            caution: CAUTION,
        })
    }
}

fn limiting(limiting: &Limiting) -> LimitingJson {
    LimitingJson {
        serial: limiting.serial.clone(),
        limit: limiting.limit,
        detail: limiting.detail.clone(),
    }
}

fn changes(nearby: &NearbySpec) -> Vec<ChangeJson> {
    nearby
        .changes
        .iter()
        .map(|c| ChangeJson { key: c.figure.key(), from_mm: mm(c.from), to_mm: mm(c.to) })
        .collect()
}

fn rotor(report: &RotorReport, tilts: Tilts) -> Result<RotorJson, RoomError> {
    let plan = &report.plan;
    let face = |face: Face| {
        let (cut, finished) = (plan.cut.face(face), plan.finished.face(face));
        FaceJson {
            land_cut_mm: three(cut.land),
            tip_cut_mm: three(cut.tip),
            step_mm: three(finished.step()),
            land_height_mm: three(finished.land),
            tip_height_mm: three(finished.tip),
        }
    };
    Ok(RotorJson {
        serial: report.serial.clone(),
        housing: report.housing.clone(),
        gear_face: report.gear_face.name(),
        planned: report.planned,
        verdict: report.verdict.words(),
        verdict_of: if report.measured.is_some() { "measured" } else { "planned" },
        land_width_mm: mm(plan.land_width),
        side_clearance_mm: mm(plan.side_clearance),
        step_needed_mm: mm(plan.step_needed),
        step_needed_hot_mm: mm(plan.step_needed_hot),
        step_needed_hot_state: plan.governing.name(),
        land_touches_first: report.land_touches_first,
        gear: face(Face::Gear),
        plain: face(Face::Plain),
        tip_width_mm: three(plan.finished.tip_width()),
        hold: HoldJson {
            land_width_mm: [mm(report.hold.land_width.least), mm(report.hold.land_width.most)],
            step_mm: [mm(report.hold.step.least), mm(report.hold.step.most)],
            step_never_under_mm: mm(plan.step_needed_hot),
        },
        removed_g: g(report.removed()),
        mass_before_g: report.mass.map(g),
        warnings: report.warnings.clone(),
        mass_g: report.mass.map(|mass| g(mass - report.removed())),
        sizes: plan.sizes.iter().map(size).collect(),
        measured: measured(report),
        readings: readings(report),
        room: room(report, tilts)?,
        seals: report.seals.iter().map(seal).collect(),
        window: WindowJson {
            side_clearance: range(&report.window.clearance),
            step: range(&report.window.step),
            at_speed: report.window.at_speed.map(|asked| AtSpeedJson {
                chance: asked.chance,
                least_side_clearance_mm: mm(asked.clearance),
                least_step_mm: mm(asked.step),
                assumed_shaft: asked.assumed_shaft,
            }),
        },
    })
}

const fn size_name(face: Option<Face>) -> &'static str {
    match face {
        None => "side clearance",
        Some(Face::Gear) => "gear-face step",
        Some(Face::Plain) => "plain-face step",
    }
}

fn size(size: &SizeVerdict) -> SizeJson {
    SizeJson {
        size: size_name(size.face),
        tip: size.tip + 1,
        value_mm: mm(size.size),
        guard_mm: mm(size.guard),
        verdict: size.verdict.words(),
    }
}

fn measured(report: &RotorReport) -> Option<MeasuredJson> {
    let measured = report.measured.as_ref()?;
    let off_plan = measured.planned.as_ref().map(|planned| {
        planned
            .sizes
            .iter()
            .zip(&measured.sizes)
            .map(|(planned, got)| OffPlan {
                size: size_name(got.face),
                tip: got.tip + 1,
                planned_mm: mm(planned.size),
                measured_mm: mm(got.size),
                off_mm: mm(got.size - planned.size),
            })
            .collect()
    });
    Some(MeasuredJson {
        sizes: measured.sizes.iter().map(size).collect(),
        off_plan,
        mass_predicted_g: measured.predicted.map(g),
        mass_weighed_g: measured.mass.map(g),
        second_cut: report.planned && !report.plan.cut.is_nothing(),
    })
}

fn seal(line: &SealLine) -> SealJson {
    SealJson {
        seal: line.seal,
        figure: line.figure,
        value_mm: mm(line.value),
        least_mm: line.least.map(mm),
        most_mm: line.most.map(mm),
        holds: line.holds(),
    }
}

fn range(range: &Range) -> RangeJson {
    let edges = |edges: &[Edge]| edges.iter().map(edge).collect();
    RangeJson {
        least: edges(&range.least),
        most: edges(&range.most),
        wanted_mm: mm(range.wanted.target),
        tolerance_mm: mm(range.wanted.tolerance),
        empty: range.is_empty(),
        holds_the_spec: range.holds_the_spec(),
    }
}

fn edge(edge: &Edge) -> EdgeJson {
    EdgeJson {
        limit: edge.limit.key(),
        state: edge.limit.state().map(|state| state.name()),
        at_mm: mm(edge.at),
    }
}
