//! What a build file says of the engine at speed, as the kernel takes it: shaft, bearings, gas,
//! gear, and how well each is known. What the file leaves out is taken here, each noted as an
//! assumption. Rotors and their rooms come from the plan and are put in by `ops/speed`.

mod bearings;
mod charge;
mod error;
mod shaft;
mod uncertain;

use super::super::assumed::Assumed;
use super::Inputs;
use crate::build_file::Build;
use crate::build_file::model::Calibration;
use bearings::Bearings;
use charge::Charge;
pub use error::AtSpeedError;
use kernel::heat::{StateName, ThermalState};
use kernel::speed::engine::{
    BackPressure, BearingModel, EngineSizes, GasSource, GearModel, Hardness, RotorUncertainty,
    Running, Seat, Taught, Uncertainty,
};
use kernel::speed::gas::{ATMOSPHERE_PA, Trace};
use kernel::speed::shaft::ShaftModel;
use kernel::speed::spin::RotorInertia;
use kernel::units::{GaugePressure, Length, Mass, Speed, System};
pub(super) use shaft::{Structure, journals_kg_m, structure, throws_rad};

/// Chance of contact that is borne where the spec does not say (common practice, no source).
pub(in crate::ops) const ALLOWED_CHANCE: f64 = 0.05;
/// Mass of a rotor over that of a solid one of its outline (common practice, no source).
const HOLLOW: f64 = 0.33;

/// Speeds that are computed, rpm: a quarter and half as much again of each, which are looked at
/// beside it, lie where the gas is computed.
const SPEEDS_RPM: [f64; 2] = [400.0, 19_000.0];

/// What the call says beside the file.
#[derive(Debug, Clone, Default)]
pub struct SpeedCall {
    /// Speed instead of the duty's.
    pub speed: Option<Speed>,
    /// Boost instead of the duty's.
    pub boost: Option<GaugePressure>,
    /// The thermal state; left out it is the steady one.
    pub state: Option<StateName>,
    /// Text of the pressure trace that the file names.
    pub trace: Option<String>,
}

/// All that the engine at speed needs beside its rotors' rooms.
#[derive(Debug, Clone)]
pub(crate) struct SpeedInputs {
    pub(crate) running: Running,
    pub(crate) state: ThermalState,
    pub(crate) sizes: EngineSizes,
    pub(crate) shaft: ShaftModel,
    pub(crate) seats: Vec<Seat>,
    /// Names of the masses on the shaft, in the order of its discs.
    pub(crate) weights: Vec<String>,
    /// Whether the shaft was scaled from the engine's sizes.
    pub(crate) assumed_shaft: bool,
    pub(crate) twist_damping: f64,
    pub(crate) rotor_bearing: BearingModel,
    pub(crate) main_bearing: BearingModel,
    pub(crate) inertias: Vec<RotorInertia>,
    pub(crate) compression_ratio: f64,
    pub(crate) gas: GasSource,
    pub(crate) back_pressure: BackPressure,
    pub(crate) hardness: Hardness,
    pub(crate) gear: GearModel,
    /// With a standard value for each rotor's bearing, and nothing yet of its faces and housing.
    pub(crate) uncertainty: Uncertainty,
    /// What the spec's calibration says of the model.
    pub(crate) taught: Option<Taught>,
    /// Chance of contact that is borne.
    pub(crate) allowed_chance: f64,
    pub(crate) assumed: Assumed,
}

impl SpeedInputs {
    /// Takes a build; `masses` are the rotors' as they will run, where known.
    pub(crate) fn of(
        build: &Build,
        inputs: &Inputs,
        masses: &[Option<Mass>],
        call: &SpeedCall,
        first: System,
    ) -> Result<Self, AtSpeedError> {
        let mut assumed = Assumed::default();
        let running = running(build, call)?;
        let wanted = call.state.unwrap_or(StateName::Steady);
        let states = inputs.states.into_iter();
        let taught = build.spec.calibration.as_ref().map(taught);
        let state = states.clone().find(|state| state.name == wanted);
        let heat = taught.map_or(1.0, |taught| taught.heat);
        let state = state.unwrap_or(ThermalState::STEADY).times(heat);
        let masses_kg = masses_kg(build, inputs, masses, &mut assumed);
        let sizes = EngineSizes {
            generating_radius_m: build.engine.generating_radius.to_m(),
            eccentricity_m: build.engine.eccentricity.to_m(),
            width_m: mean_width(build).to_m(),
            rotor_masses_kg: masses_kg,
            throws_deg: shaft::throws_deg(build, &mut assumed)?,
        };
        let Bearings { rotor, main, clearance_u } =
            bearings::bearings(build, &sizes, first, &mut assumed)?;
        let structure = shaft::structure(build, &sizes, &mut assumed)?;
        let inertias = inertias(build, inputs, &sizes, &rotor, &mut assumed)?;
        let trace = call.trace.as_deref().map(|text| Trace::read_csv(text, Some(ATMOSPHERE_PA)));
        let trace = trace.transpose().map_err(AtSpeedError::Trace)?;
        let Charge { compression_ratio, gas, back_pressure, hardness, gear } =
            charge::charge(build, &sizes, running, trace, &mut assumed)?;
        let per_rotor = RotorUncertainty {
            heights_factor_m: [[0.0; 12]; 12],
            width_m: 0.0,
            clearance: clearance_u,
        };
        let uncertainty = uncertain::uncertainty(
            build,
            vec![per_rotor; build.rotors.len()],
            structure.assumed,
            &mut assumed,
        );
        let allowed_chance = build.spec.contact_chance.unwrap_or_else(|| {
            let percent = 100.0 * ALLOWED_CHANCE;
            assumed.note(format!(
                "a chance of contact of {percent:.0} % is borne (spec.contact_chance)"
            ));
            ALLOWED_CHANCE
        });
        Ok(Self {
            running,
            state,
            twist_damping: shaft::twist_damping(build, &mut assumed),
            sizes,
            shaft: structure.shaft,
            seats: structure.seats,
            weights: structure.weights,
            assumed_shaft: structure.assumed,
            rotor_bearing: rotor,
            main_bearing: main,
            inertias,
            compression_ratio,
            gas,
            back_pressure,
            hardness,
            gear,
            uncertainty,
            taught,
            allowed_chance,
            assumed,
        })
    }
}

/// A spec's calibration as the kernel takes it.
pub(in crate::ops) fn taught(given: &Calibration) -> Taught {
    let ([tilt, tilt_u], [heat, heat_u]) = (given.tilt, given.heat);
    let [below, below_u] = given.contact_below.map(Length::to_m);
    Taught {
        tilt,
        heat,
        seen_below_m: below,
        u: [tilt_u, heat_u, below_u],
        together: given.together,
    }
}

fn running(build: &Build, call: &SpeedCall) -> Result<Running, AtSpeedError> {
    let speed = call.speed.or(build.duty.speed).ok_or(AtSpeedError::NoSpeed)?;
    let rpm = speed.to_rpm();
    let [least, most] = SPEEDS_RPM;
    if !(least..=most).contains(&rpm) {
        return Err(AtSpeedError::Speed { rpm, least, most });
    }
    let boost = call.boost.or(build.duty.boost).ok_or(AtSpeedError::NoBoost)?;
    Ok(Running { omega_rad_s: speed.to_rad_per_s(), boost_pa: boost.to_pa() })
}

/// Mean of all housing widths, for volumes and spans.
fn mean_width(build: &Build) -> Length {
    let all: Vec<Length> = build.housings.iter().flat_map(|h| h.width.iter().copied()).collect();
    let count = all.len().max(1) as f64;
    all.into_iter().sum::<Length>() / count
}

/// Masses of the rotors; of one that was not weighed the mean of the others, or from its size.
pub(in crate::ops::inputs) fn masses_kg(
    build: &Build,
    inputs: &Inputs,
    masses: &[Option<Mass>],
    assumed: &mut Assumed,
) -> Vec<f64> {
    let known: Vec<f64> = masses.iter().flatten().map(|mass| mass.to_kg()).collect();
    let usual_kg = if known.is_empty() {
        let solid = inputs.flank.outline_area() * mean_width(build) * inputs.rotor_density;
        HOLLOW * solid.to_kg()
    } else {
        known.iter().sum::<f64>() / known.len() as f64
    };
    masses
        .iter()
        .zip(&build.rotors)
        .map(|(mass, rotor)| {
            mass.map_or_else(
                || {
                    let grams = 1e3 * usual_kg;
                    assumed.note(format!("rotor {} of {grams:.0} g (not weighed)", rotor.serial));
                    usual_kg
                },
                Mass::to_kg,
            )
        })
        .collect()
}

/// Inertias of the rotors: the file's, or those of a prism of their mass.
fn inertias(
    build: &Build,
    inputs: &Inputs,
    sizes: &EngineSizes,
    bearing: &BearingModel,
    assumed: &mut Assumed,
) -> Result<Vec<RotorInertia>, AtSpeedError> {
    let given = &build.at_speed.inertia;
    if given.rotor_polar.is_none() || given.rotor_diametral.is_none() {
        assumed.note("moments of inertia of a rotor from its outline and mass");
    }
    sizes
        .rotor_masses_kg
        .iter()
        .map(|mass_kg| {
            let radius_m = 0.5 * bearing.sizes.diameter_m;
            let mut own = RotorInertia::prism(&inputs.flank, sizes.width_m, radius_m, *mass_kg)?;
            if let Some(polar) = given.rotor_polar {
                own.polar_kg_m2 = polar.to_kg_m2();
            }
            if let Some(diametral) = given.rotor_diametral {
                own.diametral_kg_m2 = diametral.to_kg_m2();
            }
            Ok(own)
        })
        .collect()
}
