//! Gas in the chambers, gear and side gas.

use super::super::super::assumed::Assumed;
use super::AtSpeedError;
use crate::build_file::Build;
use crate::build_file::model::Gas;
use kernel::speed::engine::{
    BackPressure, Drag, EngineSizes, GasSource, GearModel, Hardness, Running,
};
use kernel::speed::gas::{ChamberForm, GasChamber, GasInputs, Trace};
use kernel::speed::spin::{SealDrag, SideGas, USUAL_PRESSURE_ANGLE_RAD};
use kernel::units::Temperature;

/// Greatest over least volume (common practice, no source).
const COMPRESSION_RATIO: f64 = 9.0;
/// Middle of the mesh from the mid-plane over the housing's width (common practice, no source).
const GEAR_OFFSET: f64 = 0.3;
/// Width of the strip between flank and side seal over the generating radius (common practice,
/// no source).
const SIDE_STRIP: f64 = 0.06;
/// Share of a chamber's pressure that is not balanced across the rotor (common practice, no
/// source).
const SIDE_SHARE: f64 = 0.05;

/// Gas and gear.
pub(super) struct Charge {
    pub(super) compression_ratio: f64,
    pub(super) gas: GasSource,
    pub(super) back_pressure: BackPressure,
    pub(super) hardness: Hardness,
    pub(super) gear: GearModel,
}

pub(super) fn charge(
    build: &Build,
    sizes: &EngineSizes,
    running: Running,
    trace: Option<Trace>,
    assumed: &mut Assumed,
) -> Result<Charge, AtSpeedError> {
    let given = &build.at_speed.gas;
    let compression_ratio = given.compression_ratio.unwrap_or_else(|| {
        assumed.note(format!("compression ratio {COMPRESSION_RATIO}"));
        COMPRESSION_RATIO
    });
    // What the file gives of pressures belongs to its own boost, whatever is asked beside it.
    let own_boost_pa = build.duty.boost.map_or(running.boost_pa, |boost| boost.to_pa());
    let back_pressure = back_pressure(given, own_boost_pa);
    assumed.note("crankcase at the pressure of the air outside");
    let gas = match trace {
        Some(trace) => {
            if any_of_the_cycle(given) {
                assumed.note("the pressure trace in place of the cycle that [gas] describes");
            }
            GasSource::Measured { trace, boost_pa: own_boost_pa }
        }
        None => {
            let chamber = GasChamber::new(ChamberForm {
                generating_radius_m: sizes.generating_radius_m,
                eccentricity_m: sizes.eccentricity_m,
                width_m: sizes.width_m,
                compression_ratio,
            })
            .map_err(|error| AtSpeedError::Engine(error.into()))?;
            let usual = GasInputs::usual(chamber, running.omega_rad_s);
            GasSource::Computed(Box::new(cycle(given, usual, assumed)))
        }
    };
    let scatter = [("hard", given.hard), ("knocking", given.knock)];
    for (kind, _) in scatter.into_iter().filter(|(_, given)| given.is_none()) {
        assumed.note(format!("{kind} cycles as much harder than the mean as is usual"));
    }
    Ok(Charge {
        compression_ratio,
        gas,
        back_pressure,
        hardness: Hardness { hard: given.hard, knocking: given.knock },
        gear: gear(build, sizes, assumed),
    })
}

/// The file's back pressure belongs to the duty's boost; at another boost it moves with it.
fn back_pressure(given: &Gas, own_boost_pa: f64) -> BackPressure {
    let usual = BackPressure::default();
    match given.back_pressure {
        None => usual,
        Some(back) if own_boost_pa > 0.0 => BackPressure {
            still_pa: usual.still_pa.min(back.to_pa()),
            per_boost: ((back.to_pa() - usual.still_pa) / own_boost_pa).max(0.0),
        },
        Some(back) => BackPressure { still_pa: back.to_pa(), per_boost: usual.per_boost },
    }
}

fn any_of_the_cycle(gas: &Gas) -> bool {
    gas.ignition.is_some()
        || gas.burn.is_some()
        || gas.heat.is_some()
        || gas.intake_closes.is_some()
}

fn cycle(given: &Gas, mut inputs: GasInputs, assumed: &mut Assumed) -> GasInputs {
    let mut missing = Vec::new();
    let kelvin = |t: Temperature| t.to_deg_c() + 273.15;
    if let Some(t) = given.manifold_temperature {
        inputs.supply.manifold_temperature_k = kelvin(t);
    } else {
        missing.push("temperature in the manifold");
    }
    let timing = &mut inputs.timing;
    let events = [
        (given.intake_opens.map(|a| -a.to_deg()), &mut timing.intake_opens_before_top_deg),
        (given.intake_closes.map(|a| a.to_deg()), &mut timing.intake_closes_after_bottom_deg),
        (given.exhaust_opens.map(|a| a.to_deg()), &mut timing.exhaust_opens_before_bottom_deg),
        (given.exhaust_closes.map(|a| a.to_deg()), &mut timing.exhaust_closes_after_top_deg),
    ];
    let mut all_there = true;
    for (given, event) in events {
        match given {
            Some(deg) => *event = deg,
            None => all_there = false,
        }
    }
    if !all_there {
        missing.push("port timing");
    }
    match (given.intake_area, given.exhaust_area) {
        (None, _) | (_, None) => missing.push("port areas"),
        _ => {}
    }
    if let Some(area) = given.intake_area {
        inputs.areas.intake_m2 = area.to_m2();
    }
    if let Some(area) = given.exhaust_area {
        inputs.areas.exhaust_m2 = area.to_m2();
    }
    let burn = &mut inputs.burn;
    let figures = [
        (given.ignition.map(|a| a.to_deg()), &mut burn.ignition_before_top_deg, "ignition"),
        (given.burn.map(|a| a.to_deg()), &mut burn.duration_deg, "length of the burn"),
        (given.wiebe_a, &mut burn.wiebe_a, "form of the burn"),
        (given.wiebe_m, &mut burn.wiebe_m, "form of the burn"),
        (given.heat.map(|h| h.to_j_per_kg()), &mut inputs.heat_j_per_kg, "heat of the charge"),
        (
            given.wall_temperature.map(kelvin),
            &mut inputs.walls.wall_temperature_k,
            "temperature of the walls",
        ),
        (given.wall_loss, &mut inputs.walls.factor, "loss to the walls"),
    ];
    for (given, figure, called) in figures {
        match given {
            Some(value) => *figure = value,
            None if missing.contains(&called) => {}
            None => missing.push(called),
        }
    }
    if given.back_pressure.is_none() {
        missing.push("back pressure (0.9 of the boost)");
    }
    if !missing.is_empty() {
        assumed.note(format!("of the gas: {}", missing.join(", ")));
    }
    inputs
}

fn gear(build: &Build, sizes: &EngineSizes, assumed: &mut Assumed) -> GearModel {
    let given = &build.at_speed.gear;
    let mut missing = Vec::new();
    let offset_m = given.offset.map_or_else(
        || {
            missing.push(format!(
                "its middle {:.0} mm from the rotor's",
                1e3 * GEAR_OFFSET * sizes.width_m
            ));
            GEAR_OFFSET * sizes.width_m
        },
        |offset| offset.to_m(),
    );
    let pressure_angle_rad = given.pressure_angle.map_or_else(
        || {
            missing.push("pressure angle 20 deg".to_owned());
            USUAL_PRESSURE_ANGLE_RAD
        },
        |angle| angle.to_rad(),
    );
    let drag = given.seal_drag.map_or_else(
        || {
            missing.push("drag of the seals from their springs and the gas behind them".to_owned());
            Drag::Estimated(SealDrag::usual(sizes.generating_radius_m))
        },
        |drag| Drag::Given(drag.to_n_m()),
    );
    if !missing.is_empty() {
        assumed.note(format!("of the gear: {}", missing.join(", ")));
    }
    if given.backlash.is_some() {
        assumed.note("teeth that cross gear.backlash in no time");
    }
    let share = build.at_speed.gas.side_share.unwrap_or_else(|| {
        let percent = 100.0 * SIDE_SHARE;
        assumed.note(format!("{percent:.0} % of the gas pressure not balanced across a rotor"));
        SIDE_SHARE
    });
    let strip_m = SIDE_STRIP * sizes.generating_radius_m;
    assumed.note(format!(
        "gas on a rotor's sides on a strip of {:.0} mm along its flanks",
        1e3 * strip_m
    ));
    let usual = SideGas::usual(sizes.generating_radius_m, sizes.eccentricity_m, strip_m);
    GearModel { offset_m, pressure_angle_rad, drag, side: SideGas { share, ..usual } }
}

#[cfg(test)]
mod tests {
    use super::back_pressure;
    use crate::build_file::model::Gas;
    use kernel::units::GaugePressure;

    #[test]
    fn back_pressure_is_the_files_at_its_own_boost_and_goes_with_boost() {
        let at = |given_bar: Option<f64>, own_boost_pa: f64, boost_pa: f64| {
            let gas = Gas { back_pressure: given_bar.map(GaugePressure::bar), ..Gas::default() };
            let back = back_pressure(&gas, own_boost_pa);
            back.still_pa + back.per_boost * boost_pa
        };
        assert!((at(Some(0.5), 1.1e5, 1.1e5) - 0.5e5).abs() < 1e-6);
        assert!(at(Some(0.5), 1.1e5, 2.2e5) > 0.9e5);
        assert!((at(Some(0.5), 0.0, 0.0) - 0.5e5).abs() < 1e-6);
        // Less than a silencer has: a tuned exhaust keeps what it is given.
        assert!((at(Some(0.02), 1.1e5, 2.2e5) - 0.02e5).abs() < 1e-6);
        assert!((at(None, 1.1e5, 1e5) - 0.98e5).abs() < 1e-6);
    }
}
