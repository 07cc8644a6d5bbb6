//! What a grade does not promise: rotors and shaft run off centre in their bearings, and a shaft
//! bends near its critical speed.

use super::super::assumed::Assumed;
use super::super::inputs::SpeedCall;
use super::super::plan::PlanReport;
use super::super::speed::engine;
use crate::build_file::Build;
use kernel::balance::{Assembly, off_centre_kg_m};
use kernel::speed::engine::{
    CycleKind, EngineSizes, usual_clearance_m, usual_main_bearing_m, usual_rotor_bearing_m,
};
use kernel::speed::shaft::Sense;
use kernel::units::{GaugePressure, Length, Speed, System};

/// Unbalances that running off centre in a bearing is, at the very most.
#[derive(Debug, Clone, PartialEq)]
pub struct Running {
    /// Each rotor in its bearing, kg m.
    pub rotors_kg_m: Vec<f64>,
    /// All of it in the main bearings.
    pub mains_kg_m: f64,
}

/// The slowest forward critical speed of the shaft with its rotors.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Critical {
    /// That speed.
    pub speed: Speed,
    /// The service speed over it.
    pub ratio: f64,
}

pub(super) fn running(
    build: &Build,
    assembly: &Assembly,
    assumed: &mut Assumed,
    first: System,
) -> Running {
    let sizes = sizes(build, assembly);
    let (rotor_m, main_m) = (usual_rotor_bearing_m(&sizes), usual_main_bearing_m(&sizes));
    let mut clearance = |given: Option<Length>, diameter_m: f64, called: &str| {
        given.unwrap_or_else(|| {
            let usual = Length::m(usual_clearance_m(diameter_m));
            assumed.note(format!(
                "clearance of the {called} bearings {} on the diameter",
                usual.as_amount(first)
            ));
            usual
        })
    };
    let given = &build.at_speed;
    let [rotor, main] = [&given.rotor_bearing, &given.main_bearing]
        .map(|bearing| bearing.as_ref().map(|bearing| bearing.clearance));
    let in_rotor = clearance(rotor, rotor_m[0], "rotor");
    let in_main = clearance(main, main_m[0], "main");
    Running {
        rotors_kg_m: assembly
            .rotors
            .iter()
            .map(|rotor| off_centre_kg_m(rotor.mass_kg, in_rotor.to_m()))
            .collect(),
        mains_kg_m: off_centre_kg_m(assembly.mass_kg(), in_main.to_m()),
    }
}

/// What bearings are scaled from where the file has none.
fn sizes(build: &Build, assembly: &Assembly) -> EngineSizes {
    EngineSizes {
        generating_radius_m: build.engine.generating_radius.to_m(),
        eccentricity_m: assembly.eccentricity_m,
        width_m: build.housings.first().and_then(|h| h.width.first()).map_or(0.0, |w| w.to_m()),
        rotor_masses_kg: assembly.rotors.iter().map(|rotor| rotor.mass_kg).collect(),
        throws_deg: Vec::new(),
    }
}

/// The first critical speed, or in words why it is not known.
pub(super) fn critical(
    build: &Build,
    plan: &PlanReport,
    call: &SpeedCall,
    first: System,
) -> Result<Critical, String> {
    let service = build.balance.speed.or(build.duty.speed).ok_or("there is no speed")?;
    let call = SpeedCall {
        speed: Some(service),
        boost: build.duty.boost.or(Some(GaugePressure::ZERO)),
        ..call.clone()
    };
    let (inputs, engine) = engine(build, plan, &call, first).map_err(|error| error.to_string())?;
    let cycles = engine.cycles(inputs.running).map_err(|error| error.to_string())?;
    let loads = engine.loads(&cycles, CycleKind::Hard, inputs.running);
    let whirls = loads.and_then(|loads| engine.critical_speeds(&loads));
    let whirls = whirls.map_err(|error| error.to_string())?;
    let forward = whirls.iter().filter(|whirl| whirl.sense == Sense::Forward);
    let least = forward.map(|whirl| whirl.omega_rad_s).fold(f64::INFINITY, f64::min);
    if !least.is_finite() {
        return Err("the shaft has none that is looked for".to_owned());
    }
    Ok(Critical { speed: Speed::rad_per_s(least), ratio: service.to_rad_per_s() / least })
}
