//! placeholder
use super::super::pictures::Picture;
use super::super::plan::PlanReport;
use super::SpeedReport;
use kernel::units::System;
/// x
#[must_use]
pub fn speed_pictures(_r: &SpeedReport, _p: &PlanReport, _f: System) -> Vec<Picture> {
    Vec::new()
}
