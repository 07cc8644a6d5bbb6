//! What teardowns teach as JSON, format 1. Scales are factors, lengths in millimetres.

use super::number::rounded;
use crate::ops::calibration::Calibrated;
use crate::text::calibration::CAUTION;
use kernel::calibration::{Assumption, LeftOut, Marginal, Moved, Parameter};
use kernel::units::System;
use serde::Serialize;

/// What a shop's teardowns teach.
#[derive(Debug, Serialize)]
pub struct CalibrationJson {
    format: u32,
    rests_on: String,
    tilt: ScaleJson,
    heat: ScaleJson,
    contact_below: MarginJson,
    /// Tilt with heat, tilt with the gap, heat with the gap.
    together: [f64; 3],
    builds: Vec<LeftOutJson>,
    silent: Vec<SilentJson>,
    assumed: Vec<AssumptionJson>,
    said: Vec<String>,
    accuracy_of_sd: f64,
    points: usize,
    caution: &'static str,
}

#[derive(Debug, Serialize)]
struct ScaleJson {
    median: f64,
    low: f64,
    high: f64,
    log_u: f64,
    width_left: f64,
    shift_of_sd: f64,
}

#[derive(Debug, Serialize)]
struct MarginJson {
    median_mm: f64,
    low_mm: f64,
    high_mm: f64,
    u_mm: f64,
    width_left: f64,
    shift_of_sd: f64,
}

#[derive(Debug, Serialize)]
struct LeftOutJson {
    build: i64,
    name: String,
    tips: usize,
    seen: usize,
    seen_heavy: usize,
    expected_as_assumed: f64,
    expected_by_others: f64,
    expected_by_others_u: f64,
    expected_with_it: f64,
    as_odd: f64,
    fits: bool,
}

#[derive(Debug, Serialize)]
struct SilentJson {
    what: String,
    why: String,
}

#[derive(Debug, Serialize)]
struct AssumptionJson {
    what: &'static str,
    unit: &'static str,
    middle: f64,
    low: f64,
    high: f64,
    why: &'static str,
}

impl CalibrationJson {
    /// Of a calibration; sentences give the first system first.
    #[must_use]
    pub fn of(report: &Calibrated, first: System) -> Self {
        let posterior = &report.posterior;
        let [tilt, heat, margin] = posterior.moved();
        let together = posterior.correlations();
        let mut said: Vec<String> = report.sentences(first).into();
        said.extend(report.alike());
        said.extend(report.fits());
        let builds = report.builds.iter().zip(&report.checked.builds);
        Self {
            format: 1,
            rests_on: report.rests_on(),
            tilt: ScaleJson::of(posterior.marginal(Parameter::Tilt), &tilt),
            heat: ScaleJson::of(posterior.marginal(Parameter::Heat), &heat),
            contact_below: MarginJson::of(posterior.marginal(Parameter::Margin), &margin),
            together: [together[0][1], together[0][2], together[1][2]].map(rounded),
            builds: builds.map(|(id, left)| LeftOutJson::of(id.0, left)).collect(),
            silent: report
                .silent
                .iter()
                .map(|(what, why)| SilentJson { what: what.clone(), why: why.clone() })
                .collect(),
            assumed: posterior.priors().table().iter().map(AssumptionJson::of).collect(),
            said,
            accuracy_of_sd: rounded(posterior.accuracy()),
            points: posterior.points(),
            caution: CAUTION,
        }
    }
}

impl ScaleJson {
    fn of(marginal: &Marginal, moved: &Moved) -> Self {
        Self {
            median: rounded(marginal.median),
            low: rounded(marginal.low),
            high: rounded(marginal.high),
            log_u: rounded(marginal.working_sd()),
            width_left: rounded(moved.narrowed),
            shift_of_sd: rounded(moved.shift),
        }
    }
}

impl MarginJson {
    fn of(marginal: &Marginal, moved: &Moved) -> Self {
        let mm = |m: f64| rounded(m * 1e3);
        Self {
            median_mm: mm(marginal.median),
            low_mm: mm(marginal.low),
            high_mm: mm(marginal.high),
            u_mm: mm(marginal.sd),
            width_left: rounded(moved.narrowed),
            shift_of_sd: rounded(moved.shift),
        }
    }
}

impl LeftOutJson {
    fn of(build: i64, left: &LeftOut) -> Self {
        Self {
            build,
            name: left.name.clone(),
            tips: left.tips,
            seen: left.seen,
            seen_heavy: left.seen_heavy,
            expected_as_assumed: rounded(left.before),
            expected_by_others: rounded(left.without),
            expected_by_others_u: rounded(left.without_sd),
            expected_with_it: rounded(left.after),
            as_odd: rounded(left.as_odd),
            fits: left.fits,
        }
    }
}

impl AssumptionJson {
    fn of(row: &Assumption) -> Self {
        let (unit, scale) = if row.length { ("mm", 1e3) } else { ("", 1.0) };
        let shown = |value: f64| rounded(value * scale);
        let [low, high] = row.between.map(shown);
        Self { what: row.what, unit, middle: shown(row.middle), low, high, why: row.why }
    }
}
