//! A planned build as the kernel's engine: rotors in their rooms beside what the file says of the
//! shaft and the rest.

use super::super::inputs::{AtSpeedError, Inputs, SpeedCall, SpeedInputs, carried_apart};
use super::super::plan::{PlanReport, RotorReport, room_model};
use crate::build_file::Build;
use kernel::readings::TIPS;
use kernel::room::{ColdSizes, MovingRoom, RoomModel};
use kernel::speed::engine::{CYCLE_DEG, Engine, EngineModel, EngineRotor, lower_factor};
use kernel::speed::gas::ATMOSPHERE_PA;
use kernel::units::{Length, System};

/// Points by which a land's edge is represented: a land that rolls along its wall goes from one
/// to the next, and the finer they are the quieter it rolls.
const RING_POINTS: usize = 720;
/// Heights of a rotor.
const HEIGHTS: usize = 4 * TIPS;

/// The engine of a planned build, and what it was made from.
pub(in crate::ops) fn engine(
    build: &Build,
    plan: &PlanReport,
    call: &SpeedCall,
    first: System,
) -> Result<(SpeedInputs, Engine), AtSpeedError> {
    let inputs = &plan.inputs;
    let masses: Vec<_> = plan
        .rotors
        .iter()
        .map(|r| r.mass.map(|mass| mass - r.removed() + carried_apart(build, &r.serial)))
        .collect();
    let mut given = SpeedInputs::of(build, inputs, &masses, call, first)?;
    let mut rotors = Vec::with_capacity(plan.rotors.len());
    for (index, report) in plan.rotors.iter().enumerate() {
        if !report.now.check.suspicions.is_empty() {
            return Err(AtSpeedError::Unreadable(report.serial.clone()));
        }
        let room = room(inputs, report, index)?;
        let own = &mut given.uncertainty.rotors[index];
        own.heights_factor_m = lower_factor(&heights_covariance(inputs, report));
        own.width_m = report.width.greatest.uncertainty().to_m();
        rotors.push(EngineRotor {
            serial: report.serial.clone(),
            cold: ColdSizes {
                heights: report.plan.finished,
                width: room.model().width.greatest,
                state: given.state,
                rotor_expansion: inputs.rotor_expansion,
                housing_expansion: inputs.housing_expansion,
            },
            room,
            mass_kg: given.sizes.rotor_masses_kg[index],
            polar_kg_m2: given.inertias[index].polar_kg_m2,
            diametral_kg_m2: given.inertias[index].diametral_kg_m2,
            throw_deg: given.sizes.throws_deg[index],
        });
    }
    let model = EngineModel {
        shaft: given.shaft.clone(),
        mains: vec![given.main_bearing; given.seats.len()],
        seats: given.seats.clone(),
        rotor_bearings: vec![given.rotor_bearing; rotors.len()],
        rotors,
        generating_radius_m: given.sizes.generating_radius_m,
        eccentricity_m: given.sizes.eccentricity_m,
        width_m: given.sizes.width_m,
        compression_ratio: given.compression_ratio,
        gas: given.gas.clone(),
        back_pressure: given.back_pressure,
        hardness: given.hardness,
        crankcase_pa: ATMOSPHERE_PA,
        gear: given.gear,
        twist_damping: given.twist_damping,
        taught: given.taught,
    };
    Ok((given, Engine::new(model)?))
}

fn room(inputs: &Inputs, report: &RotorReport, index: usize) -> Result<MovingRoom, AtSpeedError> {
    let model = room_model(inputs, &inputs.rotors[index], report.plan.finished);
    let model = RoomModel { orbit_places: CYCLE_DEG, ring_points: RING_POINTS, ..model };
    MovingRoom::new(model)
        .map_err(|source| AtSpeedError::Room { rotor: report.serial.clone(), source })
}

/// Covariance of the heights as they will run: what the machine makes of those that are cut, what
/// was measured of those that are left. Order: gear land, plain land, gear tip, plain tip.
fn heights_covariance(inputs: &Inputs, report: &RotorReport) -> [[f64; HEIGHTS]; HEIGHTS] {
    let mut covariance = report.now.covariance_m2();
    let cut = &report.plan.cut;
    let groups = [&cut.gear.land, &cut.plain.land, &cut.gear.tip, &cut.plain.tip];
    for (group, depths) in groups.into_iter().enumerate() {
        for (tip, depth) in depths.iter().enumerate() {
            if *depth > Length::ZERO {
                let i = TIPS * group + tip;
                covariance[i] = [0.0; HEIGHTS];
                covariance.iter_mut().for_each(|row| row[i] = 0.0);
                covariance[i][i] = inputs.capability.to_m().powi(2);
            }
        }
    }
    covariance
}
