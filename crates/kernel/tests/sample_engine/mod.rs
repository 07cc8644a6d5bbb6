//! An invented engine for tests and benches: R 105, e 15, b 80 mm, rotors of 4.3 kg on the shaft
//! that the kernel assumes; the room of its rotors is 80.01 mm wide, lands 61, tips 99 mm.

use kernel::geometry::Looks;
use kernel::heat::ThermalState;
use kernel::readings::{FaceHeights, Heights};
use kernel::room::{ColdSizes, MovingRoom, Outside, RoomModel, Wall, Widths};
use kernel::speed::engine::{
    BackPressure, BearingModel, CYCLE_DEG, Drag, EngineModel, EngineRotor, EngineSizes, GasSource,
    GearModel, Hardness, Seat, assumed_shaft, usual_clearance_m, usual_throws_deg,
};
use kernel::speed::film::BearingSizes;
use kernel::speed::gas::{ATMOSPHERE_PA, ChamberForm, GasChamber, GasInputs};
use kernel::speed::spin::{SealDrag, SideGas, USUAL_PRESSURE_ANGLE_RAD};
use kernel::units::{Expansion, Length};

fn bearing([diameter_m, length_m]: [f64; 2]) -> BearingModel {
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

fn room(clearance: Length, step: Length) -> RoomModel {
    let width = Length::mm(80.01);
    let land = width / 2.0 - clearance;
    let face = FaceHeights { land: [land; 3], tip: [land - step; 3] };
    RoomModel {
        heights: Heights { gear: face, plain: face },
        gear_face_looks: Looks::Rear,
        land_radius: Length::mm(61.0),
        tip_radius: Length::mm(99.0),
        reading_radius: None,
        outside: Outside::Step,
        outline: RoomModel::tips_alone(Length::mm(99.0)),
        generating_radius: Length::mm(101.5),
        eccentricity: Length::mm(14.5),
        parallel_shift: Length::mm(2.5),
        width: Widths { least: width, greatest: width },
        front: Wall::default(),
        rear: Wall::default(),
        rotor_expansion: Expansion::per_k(11.0e-6),
        housing_expansion: Expansion::per_k(21.5e-6),
        states: [ThermalState::COLD; 4],
        orbit_places: CYCLE_DEG,
        ring_points: 720,
    }
}

/// With so many rotors, a clearance per side and a step, at 20 °C.
pub(crate) fn engine(rotors: usize, clearance: Length, step: Length) -> EngineModel {
    let sizes = EngineSizes {
        generating_radius_m: 0.105,
        eccentricity_m: 0.015,
        width_m: 0.08,
        rotor_masses_kg: vec![4.3; rotors],
        throws_deg: usual_throws_deg(rotors),
    };
    let assumed = assumed_shaft(&sizes);
    let model = room(clearance, step);
    let mains = assumed.shaft.supports.len();
    let chamber = GasChamber::new(ChamberForm {
        generating_radius_m: sizes.generating_radius_m,
        eccentricity_m: sizes.eccentricity_m,
        width_m: sizes.width_m,
        compression_ratio: 9.0,
    })
    .unwrap();
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
        gas: GasSource::Computed(Box::new(GasInputs::usual(chamber, 1000.0))),
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
        taught: None,
    }
}
