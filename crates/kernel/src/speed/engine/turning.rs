//! Speed ripple, mesh and side gas of all rotors at one speed.

use super::super::gas::RotorGas;
use super::super::pose::Slope;
use super::super::spin::{
    InertiaAt, PhasingGear, Ripple, RippleInputs, RotorDriven, SealDrag, ShaftSection, SideGas,
    TorqueAt, TorsionChain, TorsionDamping, TorsionMode, USUAL_HIGHEST_ORDER, rotor_on_shaft_kg_m2,
};
use super::error::SpeedError;
use super::loads::{ahead, pair};
use super::model::{CYCLE_DEG, EngineModel, Running, TURN_DEG};
use crate::geometry::Looks;
use nalgebra::Complex;

/// Places of one shaft nearer than this are one inertia.
const SAME_PLACE_M: f64 = 1e-6;

/// What brakes a rotor about its own centre.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Drag {
    /// The same at every angle, N m.
    Given(f64),
    /// From what presses its seals on.
    Estimated(SealDrag),
}

/// Gear and side gas, the same for all rotors.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GearModel {
    /// Middle of the mesh from the rotor's mid-plane, towards the gear face.
    pub offset_m: f64,
    /// Working pressure angle.
    pub pressure_angle_rad: f64,
    /// Friction of a rotor's seals.
    pub drag: Drag,
    /// Gas on its sides.
    pub side: SideGas,
}

/// What turns one rotor, by the degree over one turn of the shaft.
#[derive(Debug, Clone, PartialEq)]
pub struct RotorTurning {
    /// Force of the mesh on the rotor, N.
    pub mesh_n: Vec<Complex<f64>>,
    /// Its moment about the mid-plane, conjugate to the lean, N m.
    pub mesh_moment_n_m: Vec<Slope>,
    /// Moment of gas on the sides, N m.
    pub side_moment_n_m: Vec<Slope>,
    /// Largest tangential force.
    pub greatest_mesh_n: f64,
    /// Where the teeth cross their backlash, degrees of the shaft.
    pub reversals_deg: Vec<f64>,
}

/// Everything that turns.
#[derive(Debug, Clone, PartialEq)]
pub struct Turning {
    /// Per rotor.
    pub rotors: Vec<RotorTurning>,
    /// The shaft's first mode in twist.
    pub first_twist: TorsionMode,
    /// Greatest less least speed over the mean, at the first rotor and at the heaviest inertia.
    pub fluctuation: [f64; 2],
}

/// The shaft in twist: rotors and whatever has inertia, front to rear; where the rotors are, and
/// where the heaviest inertia is, which takes the load.
struct Chain {
    chain: TorsionChain,
    rotors: Vec<usize>,
    load: usize,
}

fn chain(model: &EngineModel) -> Result<Chain, SpeedError> {
    let sections: Vec<ShaftSection> = model
        .shaft
        .stretches
        .iter()
        .map(|stretch| ShaftSection {
            length_m: stretch.length_m,
            outer_m: stretch.outer_m,
            inner_m: stretch.inner_m,
            shear_pa: stretch.shear_pa(),
        })
        .collect();
    let mut places: Vec<(f64, f64)> = model
        .rotors
        .iter()
        .zip(&model.shaft.stations_m)
        .map(|(rotor, z_m)| {
            let e_m = model.eccentricity_m;
            (*z_m, rotor_on_shaft_kg_m2(rotor.mass_kg, e_m, rotor.polar_kg_m2))
        })
        .chain(
            model
                .shaft
                .discs
                .iter()
                .filter(|d| d.polar_kg_m2 > 0.0)
                .map(|d| (d.at_m, d.polar_kg_m2)),
        )
        .collect();
    // A shaft that carries nothing but its rotors is a chain all the same: its own metal.
    if places.len() < 2 {
        let metal = |m: &super::super::shaft::Stretch| 0.125 * m.mass_kg() * m.outer_m.powi(2);
        places.push((model.shaft.length_m(), model.shaft.stretches.iter().map(metal).sum()));
    }
    places.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut merged: Vec<(f64, f64)> = Vec::new();
    for (z_m, inertia) in places {
        match merged.last_mut() {
            Some(last) if z_m - last.0 < SAME_PLACE_M => last.1 += inertia,
            _ => merged.push((z_m, inertia)),
        }
    }
    let inertias: Vec<InertiaAt> =
        merged.iter().map(|&(z_m, inertia_kg_m2)| InertiaAt { z_m, inertia_kg_m2 }).collect();
    let station =
        |z_m: f64| merged.iter().position(|m| (m.0 - z_m).abs() < SAME_PLACE_M).unwrap_or(0);
    let heaviest =
        (0..merged.len()).fold(0, |best, k| if merged[k].1 > merged[best].1 { k } else { best });
    Ok(Chain {
        chain: TorsionChain::from_sections(&sections, &inertias)?,
        rotors: model.shaft.stations_m.iter().map(|z_m| station(*z_m)).collect(),
        load: heaviest,
    })
}

pub(super) fn turning(
    model: &EngineModel,
    gas: &RotorGas,
    running: Running,
) -> Result<Turning, SpeedError> {
    let Chain { chain, rotors: stations, load } = chain(model)?;
    // A throw that is ahead is a lag the other way round.
    let lags_deg: Vec<usize> = model
        .rotors
        .iter()
        .map(|rotor| (CYCLE_DEG - rotor.throw_deg % CYCLE_DEG) % CYCLE_DEG)
        .collect();
    let torques: Vec<Vec<f64>> = lags_deg.iter().map(|lag| gas.delayed_torque_n_m(*lag)).collect();
    let torques: Vec<TorqueAt<'_>> = torques
        .iter()
        .zip(&stations)
        .map(|(torque_n_m, station)| TorqueAt { station: *station, torque_n_m })
        .collect();
    let ripple = Ripple::of(
        &chain,
        &RippleInputs {
            omega_rad_s: running.omega_rad_s,
            torques: &torques,
            load_station: load,
            damping: TorsionDamping::Modal(model.twist_damping),
            highest_order: USUAL_HIGHEST_ORDER,
        },
    )?;
    let gear = &model.gear;
    let own_drag = match gear.drag {
        Drag::Given(torque) => vec![torque; CYCLE_DEG],
        Drag::Estimated(seals) => seals.torque_n_m(gas)?,
    };
    let side: Vec<Slope> = gear.side.load(gas)?.tilt_n_m.into_iter().map(pair).collect();
    let rotors = model
        .rotors
        .iter()
        .zip(&stations)
        .zip(&lags_deg)
        .map(|((rotor, station), lag_deg)| {
            let towards_rear = match rotor.room.gear_face_looks() {
                Looks::Rear => 1.0,
                Looks::Front => -1.0,
            };
            let phasing = PhasingGear {
                eccentricity_m: model.eccentricity_m,
                pressure_angle_rad: gear.pressure_angle_rad,
                axial_offset_m: towards_rear * gear.offset_m,
                polar_kg_m2: rotor.polar_kg_m2,
            };
            let acceleration = ripple.acceleration_rad_s2(*station);
            let drag: Vec<f64> = (0..CYCLE_DEG)
                .map(|theta| own_drag[(theta + rotor.throw_deg) % CYCLE_DEG])
                .collect();
            let mesh = phasing.load(&RotorDriven {
                acceleration_rad_s2: &acceleration,
                drag_n_m: &drag,
                lag_deg: *lag_deg as f64,
            })?;
            Ok(RotorTurning {
                greatest_mesh_n: mesh.greatest_n(),
                mesh_n: mesh.force_n[..TURN_DEG].to_vec(),
                mesh_moment_n_m: mesh.tilt_n_m[..TURN_DEG].iter().map(|m| pair(*m)).collect(),
                side_moment_n_m: ahead(&side, rotor.throw_deg),
                reversals_deg: mesh.reversals_deg,
            })
        })
        .collect::<Result<_, SpeedError>>()?;
    Ok(Turning {
        rotors,
        first_twist: chain.first_mode()?,
        fluctuation: [ripple.fluctuation(stations[0]), ripple.fluctuation(load)],
    })
}
