//! The readings of a rotor on the wire: heights, what the redundancy says, misreadings.

use super::number::{mm, rounded, three};
use crate::ops::RotorReport;
use kernel::readings::{Face, Heights, Squareness, Suspicion};
use serde::Serialize;
use std::collections::BTreeMap;

#[derive(Debug, Serialize)]
pub(super) struct ReadingsJson {
    squareness: &'static str,
    squareness_u_mm: Option<f64>,
    chi_square: f64,
    degrees_of_freedom: usize,
    probability: Option<f64>,
    checkable: bool,
    least_error_found_mm: BTreeMap<String, f64>,
    heights_mm: HeightsJson,
    heights_u_mm: HeightsJson,
    misreadings: Vec<MisreadingJson>,
}

#[derive(Debug, Serialize)]
struct HeightsJson {
    gear_land: [f64; 3],
    plain_land: [f64; 3],
    gear_tip: [f64; 3],
    plain_tip: [f64; 3],
}

#[derive(Debug, Serialize)]
struct MisreadingJson {
    found: bool,
    suspects: Vec<SuspectJson>,
    advice: String,
}

#[derive(Debug, Serialize)]
struct SuspectJson {
    reading: &'static str,
    tip: usize,
    too_large_by_mm: f64,
    w: f64,
    tell: Option<String>,
}

fn heights(heights: &Heights) -> HeightsJson {
    HeightsJson {
        gear_land: three(heights.gear.land),
        plain_land: three(heights.plain.land),
        gear_tip: three(heights.gear.tip),
        plain_tip: three(heights.plain.tip),
    }
}

pub(super) fn readings(report: &RotorReport) -> ReadingsJson {
    let now = &report.now;
    let (squareness, squareness_u_mm) = match now.squareness {
        Squareness::Measured => ("measured", None),
        Squareness::Assumed(u) => ("assumed", Some(mm(u))),
    };
    let least_error_found_mm = now
        .check
        .checked
        .iter()
        .map(|checked| (checked.station.to_string(), mm(checked.least_found)))
        .collect();
    let u = |tip: bool, face: Face| {
        std::array::from_fn(|k| {
            let height = if tip { now.tip_height(face, k) } else { now.land_height(face, k) };
            mm(height.uncertainty())
        })
    };
    ReadingsJson {
        squareness,
        squareness_u_mm,
        chi_square: rounded(now.check.chi_square),
        degrees_of_freedom: now.check.freedom,
        probability: now.check.probability.map(rounded),
        checkable: now.check.freedom > 0,
        least_error_found_mm,
        heights_mm: heights(&now.heights),
        heights_u_mm: HeightsJson {
            gear_land: u(false, Face::Gear),
            plain_land: u(false, Face::Plain),
            gear_tip: u(true, Face::Gear),
            plain_tip: u(true, Face::Plain),
        },
        misreadings: now.check.suspicions.iter().map(misreading).collect(),
    }
}

fn misreading(suspicion: &Suspicion) -> MisreadingJson {
    MisreadingJson {
        found: suspicion.is_found(),
        suspects: suspicion
            .suspects
            .iter()
            .map(|suspect| SuspectJson {
                reading: suspect.station.kind.name(),
                tip: suspect.station.tip + 1,
                too_large_by_mm: mm(suspect.error),
                w: rounded(suspect.w),
                tell: suspect.tell.as_ref().map(ToString::to_string),
            })
            .collect(),
        advice: suspicion.advice(),
    }
}
