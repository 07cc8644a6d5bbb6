//! How well the answers' grounds are known.

use super::super::super::assumed::Assumed;
use crate::build_file::Build;
use kernel::speed::engine::{LEAST_MODEL_ERROR, RotorUncertainty, Uncertainty};
use kernel::units::TemperatureDifference;

/// Standard uncertainties where the file has none; common practice, no source.
const TEMPERATURE: TemperatureDifference = TemperatureDifference::k(8.0);
const EXPANSION: f64 = 0.03;
const VISCOSITY: f64 = 0.2;
const PEAK_PRESSURE: f64 = 0.08;
const SHAFT: f64 = 0.05;
/// Of a shaft that was scaled.
const ASSUMED_SHAFT: f64 = 0.2;
const MESH: f64 = 0.3;
const SIDE_GAS: f64 = 0.5;

pub(super) fn uncertainty(
    build: &Build,
    rotors: Vec<RotorUncertainty>,
    assumed_shaft: bool,
    assumed: &mut Assumed,
) -> Uncertainty {
    let given = &build.at_speed.uncertainty;
    let mut missing = Vec::new();
    let mut relative = |value: Option<f64>, usual: f64, called: &str| {
        value.unwrap_or_else(|| {
            missing.push(format!("{called} {:.0} %", 100.0 * usual));
            usual
        })
    };
    let shaft = if assumed_shaft { ASSUMED_SHAFT } else { SHAFT };
    let mut all = Uncertainty {
        rotors,
        rise_k: given.temperature.unwrap_or(TEMPERATURE).to_k(),
        expansion: relative(given.expansion, EXPANSION, "expansions"),
        viscosity: relative(build.at_speed.oil.viscosity_u, VISCOSITY, "viscosity"),
        peak_pressure: relative(given.peak_pressure, PEAK_PRESSURE, "peak pressure"),
        shaft: relative(given.shaft_stiffness, shaft, "stiffness of the shaft"),
        mesh: relative(given.mesh, MESH, "force in the mesh"),
        side: relative(given.side_gas, SIDE_GAS, "gas on the sides"),
        // What the shop's own builds say of the model counts in its place.
        model: match build.spec.calibration {
            Some(_) => LEAST_MODEL_ERROR,
            None => relative(given.model, LEAST_MODEL_ERROR, "the model itself"),
        },
    };
    all.model = all.model.max(LEAST_MODEL_ERROR);
    if given.temperature.is_none() {
        missing.push(format!("temperatures {:.0} K", TEMPERATURE.to_k()));
    }
    if !missing.is_empty() {
        assumed.note(format!("standard uncertainties: {}", missing.join(", ")));
    }
    all
}
