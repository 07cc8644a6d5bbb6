//! An invented two-rotor for tests: R 105, e 15, b 80 mm, 4.3 kg.

use super::assumed::{EngineSizes, assumed_shaft, usual_clearance_m, usual_throws_deg};
use super::model::{
    BackPressure, BearingModel, CYCLE_DEG, EngineModel, EngineRotor, GasSource, Hardness, Seat,
};
use super::turning::{Drag, GearModel};
use crate::heat::ThermalState;
use crate::room::{ColdSizes, MovingRoom, closed_forms};
use crate::speed::film::BearingSizes;
use crate::speed::gas::{ATMOSPHERE_PA, ChamberForm, GasChamber, GasInputs};
use crate::speed::spin::{SealDrag, SideGas, USUAL_PRESSURE_ANGLE_RAD};
use crate::units::Length;

pub(in super::super) fn bearing([diameter_m, length_m]: [f64; 2]) -> BearingModel {
    BearingModel {
        sizes: BearingSizes {
            diameter_m,
            length_m,
            radial_clearance_m: 0.5 * usual_clearance_m(diameter_m),
            viscosity_pa_s: 0.009,
        },
        wanted_film_m: 1e-6,
        given: None,
    }
}

/// With `rotors` rotors, a clearance per side and a step, in micrometres.
pub(in super::super) fn engine(rotors: usize, clearance_um: f64, step_um: f64) -> EngineModel {
    let sizes = EngineSizes {
        generating_radius_m: 0.105,
        eccentricity_m: 0.015,
        width_m: 0.08,
        rotor_masses_kg: vec![4.3; rotors],
        throws_deg: usual_throws_deg(rotors),
    };
    let assumed = assumed_shaft(&sizes);
    let mut model = closed_forms::model(Length::um(clearance_um), Length::um(step_um));
    model.orbit_places = CYCLE_DEG;
    model.ring_points = 720;
    let mains = assumed.shaft.supports.len();
    let chamber = GasChamber::new(ChamberForm {
        generating_radius_m: sizes.generating_radius_m,
        eccentricity_m: sizes.eccentricity_m,
        width_m: sizes.width_m,
        compression_ratio: 9.0,
    })
    .unwrap();
    let gas = GasInputs::usual(chamber, 1000.0);
    EngineModel {
        seats: vec![Seat { radial_n_per_m: 1e9, moment_n_m_per_rad: 1e5 }; mains],
        mains: vec![bearing(assumed.main_bearing_m); mains],
        rotor_bearings: vec![bearing(assumed.rotor_bearing_m); rotors],
        rotors: (0..rotors)
            .map(|index| EngineRotor {
                serial: format!("R-{}", index + 1),
                room: MovingRoom::new(model.clone()).unwrap(),
                cold: ColdSizes {
                    heights: model.heights,
                    width: model.width.greatest,
                    state: ThermalState::COLD,
                    rotor_expansion: model.rotor_expansion,
                    housing_expansion: model.housing_expansion,
                },
                mass_kg: 4.3,
                polar_kg_m2: 0.0165,
                diametral_kg_m2: 0.0105,
                throw_deg: sizes.throws_deg[index],
            })
            .collect(),
        shaft: assumed.shaft,
        generating_radius_m: sizes.generating_radius_m,
        eccentricity_m: sizes.eccentricity_m,
        width_m: sizes.width_m,
        compression_ratio: 9.0,
        gas: GasSource::Computed(Box::new(gas)),
        back_pressure: BackPressure::default(),
        hardness: Hardness::default(),
        crankcase_pa: ATMOSPHERE_PA,
        gear: GearModel {
            offset_m: 0.3 * sizes.width_m,
            pressure_angle_rad: USUAL_PRESSURE_ANGLE_RAD,
            drag: Drag::Estimated(SealDrag::usual(sizes.generating_radius_m)),
            side: SideGas::usual(sizes.generating_radius_m, sizes.eccentricity_m, 0.006),
        },
        twist_damping: 0.01,
    }
}
