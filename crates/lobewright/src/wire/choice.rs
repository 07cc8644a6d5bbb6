//! A choice from stock as JSON, format 1.

use super::number::{g, mm};
use crate::ops::choice::{
    BuildReport, CAUTION, ChoiceReport, Other, PlaceReport, Put, RunnerUp, Said, SetReport,
};
use crate::text::shelf::verdict;
use serde::Serialize;

/// A choice of sets for builds.
#[derive(Debug, Serialize)]
pub struct ChoiceJson {
    format: u32,
    /// Every build gets a set that has a plan.
    feasible: bool,
    builds: Vec<BuildChoiceJson>,
    /// What is counted of the best: cut off and out of match.
    counted_g: Option<f64>,
    /// Nothing counts less.
    proven: bool,
    stopped: bool,
    /// By how much something else may count less.
    gap_g: Option<f64>,
    runner_up: Option<RunnerUpJson>,
    others: Vec<OtherPartJson>,
    assumed: Vec<String>,
    caution: &'static str,
}

#[derive(Debug, Serialize)]
struct BuildChoiceJson {
    build: Option<i64>,
    name: String,
    set: Option<SetJson>,
    /// What limits, where there is no set, and what would help.
    limits: Vec<String>,
    cures: Vec<String>,
}

#[derive(Debug, Serialize)]
struct SetJson {
    /// `planned to conform`, `planned, not proven`, `planned, does not conform` or `no plan`.
    verdict: &'static str,
    removed_g: f64,
    mismatch_g: Option<f64>,
    mind: Vec<String>,
    places: Vec<ChosenPlaceJson>,
}

#[derive(Debug, Serialize)]
struct ChosenPlaceJson {
    rotor: PutJson,
    housing: PutJson,
    side_clearance_mm: f64,
    step_mm: f64,
    removed_g: f64,
    mass_after_g: Option<f64>,
}

#[derive(Debug, Serialize)]
struct PutJson {
    serial: String,
    part: Option<i64>,
    is_in: bool,
    read: Option<String>,
}

#[derive(Debug, Serialize)]
struct RunnerUpJson {
    more_g: f64,
    proven: bool,
    sets: Vec<RunnerUpSetJson>,
}

#[derive(Debug, Serialize)]
struct RunnerUpSetJson {
    /// Which of `builds`, from 0.
    of: usize,
    pairs: Vec<PairJson>,
}

#[derive(Debug, Serialize)]
struct PairJson {
    rotor: String,
    housing: String,
}

#[derive(Debug, Serialize)]
struct OtherPartJson {
    kind: &'static str,
    serial: String,
    part: Option<i64>,
    /// `could be used`, `fails`, `alone` or `not offered`.
    said: &'static str,
    /// What the best choice with it counts more at least.
    more_g: Option<f64>,
    /// With which part it comes nearest.
    nearest_with: Option<String>,
    why: Vec<String>,
    cure: Option<String>,
}

impl ChoiceJson {
    /// From its report.
    #[must_use]
    pub fn of(report: &ChoiceReport) -> Self {
        Self {
            format: 1,
            feasible: report.feasible(),
            builds: report.builds.iter().map(of_build).collect(),
            counted_g: report.cost.map(g),
            proven: report.proven,
            stopped: report.stopped,
            gap_g: report.gap.map(g),
            runner_up: report.runner_up.as_ref().map(of_runner_up),
            others: report.others.iter().map(of_other).collect(),
            assumed: report.assumed.clone(),
            caution: CAUTION,
        }
    }
}

fn of_build(build: &BuildReport) -> BuildChoiceJson {
    let none = build.none.clone().unwrap_or_default();
    BuildChoiceJson {
        build: build.id.map(|id| id.0),
        name: build.name.clone(),
        set: build.set.as_ref().map(of_set),
        limits: none.limits,
        cures: none.cures,
    }
}

fn of_set(set: &SetReport) -> SetJson {
    SetJson {
        verdict: verdict(set),
        removed_g: g(set.removed),
        mismatch_g: set.mismatch.map(g),
        mind: set.mind.clone(),
        places: set.places.iter().map(of_place).collect(),
    }
}

fn of_place(place: &PlaceReport) -> ChosenPlaceJson {
    let put = |put: &Put| PutJson {
        serial: put.serial.clone(),
        part: put.id.map(|id| id.0),
        is_in: put.is_in,
        read: put.read.as_ref().map(ToString::to_string),
    };
    ChosenPlaceJson {
        rotor: put(&place.rotor),
        housing: put(&place.housing),
        side_clearance_mm: mm(place.side_clearance),
        step_mm: mm(place.step),
        removed_g: g(place.removed),
        mass_after_g: place.mass_after.map(g),
    }
}

fn of_runner_up(next: &RunnerUp) -> RunnerUpJson {
    let pair = |[rotor, housing]: &[String; 2]| PairJson {
        rotor: rotor.clone(),
        housing: housing.clone(),
    };
    RunnerUpJson {
        more_g: g(next.more),
        proven: next.proven,
        sets: next
            .sets
            .iter()
            .map(|(of, pairs)| RunnerUpSetJson { of: *of, pairs: pairs.iter().map(pair).collect() })
            .collect(),
    }
}

fn of_other(other: &Other) -> OtherPartJson {
    let mut json = OtherPartJson {
        kind: other.kind.word(),
        serial: other.serial.clone(),
        part: other.id.map(|id| id.0),
        said: "alone",
        more_g: None,
        nearest_with: None,
        why: Vec::new(),
        cure: None,
    };
    match &other.said {
        Said::Costs { more } => (json.said, json.more_g) = ("could be used", Some(g(*more))),
        Said::Fails { with, why } => {
            (json.said, json.nearest_with, json.why) = ("fails", with.clone(), why.clone());
        }
        Said::Alone => {}
        Said::LeftOut { why, cure } => {
            json.said = "not offered";
            json.why = vec![why.clone()];
            json.cure = (!cure.is_empty()).then(|| cure.clone());
        }
    }
    json
}
