//! What would be if: the same build at another speed, boost, clearance or step. Nothing is kept.

use super::super::inputs::SpeedCall;
use super::super::plan::{PlanReport, plan};
use super::super::speed::{SpeedAsked, SpeedReport, Watch, speed};
use crate::build_file::limits::{BOOST, CLEARANCE, SPEED, STEP_TARGET};
use crate::build_file::model::Build;
use kernel::units::{GaugePressure, Length, Speed, System};

/// What is asked beside what the build says; what is absent stays as it is.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct WhatIf {
    /// Speed of the duty.
    pub speed: Option<Speed>,
    /// Boost of the duty.
    pub boost: Option<GaugePressure>,
    /// Side clearance that the spec aims at, both sides together.
    pub clearance: Option<Length>,
    /// Step that the spec aims at.
    pub step: Option<Length>,
}

impl WhatIf {
    /// What of it no build can have.
    #[must_use]
    pub fn broken(&self) -> Option<String> {
        let said = |how: Option<String>, name: &str| how.map(|how| format!("{name} {how}"));
        said(self.speed.and_then(|speed| SPEED.broken_by(speed)), "the speed")
            .or_else(|| said(self.boost.and_then(|boost| BOOST.broken_by(boost)), "the boost"))
            .or_else(|| {
                said(self.clearance.and_then(|c| CLEARANCE.broken_by(c)), "the side clearance")
            })
            .or_else(|| said(self.step.and_then(|step| STEP_TARGET.broken_by(step)), "the step"))
    }

    /// The build as it would be.
    #[must_use]
    pub fn of(&self, build: &Build) -> Build {
        let mut other = build.clone();
        if self.speed.is_some() {
            other.duty.speed = self.speed;
        }
        if self.boost.is_some() {
            other.duty.boost = self.boost;
        }
        if let Some(clearance) = self.clearance {
            other.spec.side_clearance.target = clearance;
        }
        if let Some(step) = self.step {
            other.spec.step.target = step;
        }
        other
    }
}

/// What would be: the plan, and where the tips are at speed, or why that is not known.
#[derive(Debug)]
pub struct WouldBe {
    /// The plan.
    pub plan: PlanReport,
    /// The duty point, and a sweep if one was asked for.
    pub at_speed: Result<Box<SpeedReport>, String>,
}

/// Works out what would be, at the duty and at so many speeds of a sweep.
///
/// # Errors
/// In words, where the sizes make no engine.
pub fn would_be(
    build: &Build,
    what: &WhatIf,
    speeds: usize,
    first: System,
) -> Result<WouldBe, String> {
    if let Some(broken) = what.broken() {
        return Err(broken);
    }
    let other = what.of(build);
    let plan = plan(&other, first).map_err(|error| error.to_string())?;
    let asked = SpeedAsked { call: SpeedCall::default(), draws: 0, seed: 1, speeds };
    let mut watch = Watch { drawn: &mut |_| {}, swept: &|| {}, go_on: &|| true };
    let at_speed = speed(&other, &plan, &asked, first, &mut watch)
        .map(Box::new)
        .map_err(|error| error.to_string());
    Ok(WouldBe { plan, at_speed })
}
