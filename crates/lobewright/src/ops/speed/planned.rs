//! A plan with what the duty's speed and boost ask for: the lower edges of the windows, and whether
//! the tips of the planned rotors touch more often than the spec bears.

use super::super::inputs::AtSpeedError;
use super::super::plan::{Limiting, PlanReport};
use super::{RotorAtSpeed, SpeedAsked, SpeedReport, Watch, speed};
use crate::build_file::Build;
use kernel::plan::Limit;
use kernel::units::{Length, System};
use kernel::window::AtSpeed;

/// Computes a plan at speed and puts into it what it asks for. A shaft that was assumed warns, and
/// stops nothing.
///
/// # Errors
/// [`AtSpeedError`] naming what is missing, or what cannot be computed.
pub fn plan_at_speed(
    build: &Build,
    plan: &mut PlanReport,
    asked: &SpeedAsked,
    first: System,
    watch: &mut Watch<'_>,
) -> Result<SpeedReport, AtSpeedError> {
    let report = speed(build, plan, asked, first, watch)?;
    for (planned, rotor) in plan.rotors.iter_mut().zip(&report.rotors) {
        let (Some(clearance_m), Some(step_m)) = (rotor.least_clearance_m, rotor.least_step_m)
        else {
            continue;
        };
        planned.window = planned.window.clone().with_speed(AtSpeed {
            chance: report.allowed_chance,
            clearance: Length::m(clearance_m),
            step: Length::m(step_m),
            assumed_shaft: report.assumed_shaft,
        });
        let Some(what) = touches(&report, rotor) else { continue };
        if report.assumed_shaft {
            planned.warnings.push(format!("{what}; the shaft is assumed, so this stops nothing"));
        } else {
            plan.feasible = false;
            plan.limiting.push(Limiting {
                serial: Some(rotor.serial.clone()),
                limit: Limit::ContactAtSpeed.key(),
                detail: what,
            });
        }
    }
    plan.assumed.clone_from(&report.assumed);
    Ok(report)
}

/// What is said of a rotor whose tips touch more often than is borne.
fn touches(report: &SpeedReport, rotor: &RotorAtSpeed) -> Option<String> {
    let contact = rotor.chance?.contact;
    (contact.value > report.allowed_chance).then(|| {
        format!(
            "at {:.0} rpm and {:.2} bar a tip touches with a chance of {:.0} % \u{b1} {:.0} %, and \
             {:.0} % is borne",
            report.rpm(),
            report.running.boost_pa / 1e5,
            100.0 * contact.value,
            100.0 * contact.standard_error,
            100.0 * report.allowed_chance
        )
    })
}
