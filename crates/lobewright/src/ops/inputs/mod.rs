//! A build as the kernel takes it. Defaults are taken here and nowhere else, each noted as an
//! assumption: of gauges and temperatures in [`readings`], of sizes in [`areas`], of what is wanted
//! in [`wanted`]; [`machining`] takes a machine tool and a face.

mod areas;
mod assembly;
mod at_speed;
mod balance;
mod machining;
mod readings;
mod wanted;

use super::assumed::Assumed;
use crate::build_file::Build;
pub(super) use areas::LAND_INNER_SHARE;
use areas::{contact_radius, flank, land_inner_radius, land_ring, reading_radius, side_face};
pub(super) use assembly::{TakenWith, load_u, mains, size_u, spacer_u};
pub(super) use at_speed::{ALLOWED_CHANCE, SpeedInputs, taught};
pub use at_speed::{AtSpeedError, SpeedCall};
pub use balance::BalanceError;
pub(super) use balance::{BalanceInputs, CarriedItem, carried_apart, counterweight, pockets};
use kernel::geometry::{
    Bore, FaceQuadrature, Flank, GeometryError, Looks, OutlinePoint, SideFace, Trochoid,
};
use kernel::heat::{STATES, ThermalState};
use kernel::plan::{Reserves, Spec};
use kernel::readings::{AdjustError, Gauge, HousingWidth, RotorReadings};
use kernel::room::{RoomError, TrackWear, Wall};
use kernel::seals::{SealLimits, Seals};
use kernel::units::{Angle, Density, Expansion, Length, System};
pub(super) use machining::{face_given, machine_tool};
use readings::Gauges;
pub(super) use readings::walls;
use thiserror::Error;
use wanted::{material, reserves, seal_limits, seals, spec, states};

/// One standard deviation of a finished size, and the thinnest pass (common practice, no source).
const CAPABILITY: Length = Length::um(2.5);
const LEAST_CUT: Length = Length::um(10.0);
/// Names of the gauges of widths, and of steps and run-outs, where the file names none.
pub(crate) const WIDTH_GAUGE: &str = "micrometer";
pub(crate) const STEP_GAUGE: &str = "indicator";
/// Points of the outline between two tips at which contact is looked for.
const OUTLINE_PER_THIRD: usize = 4;
/// Why a build cannot be worked with although its file reads.
#[derive(Debug, Clone, PartialEq, Error)]
#[non_exhaustive]
pub enum InputError {
    /// The sizes make no engine.
    #[error("engine: {0}")]
    Geometry(#[from] GeometryError),
    /// The room cannot be computed.
    #[error("room of rotor {rotor}: {source}")]
    Room {
        /// Whose.
        rotor: String,
        /// Why.
        source: RoomError,
    },
    /// Readings do not fix the heights.
    #[error("readings of rotor {rotor}: {source}")]
    Readings {
        /// Whose.
        rotor: String,
        /// Why.
        source: AdjustError,
    },
    /// A material that neither the file nor the built-in list has.
    #[error("material {0:?} is not known")]
    Material(String),
    /// Steps of a tapered face read elsewhere than where its full step is.
    #[error(
        "engine.reading_radius: the steps of a tapered face are read at rotor_tip_radius; leave \
         reading_radius out"
    )]
    TaperReadElsewhere,
    /// A housing without a single width.
    #[error("housing {0} has no width reading")]
    NoWidth(String),
}

/// What one rotor brings.
#[derive(Debug, Clone)]
pub(crate) struct RotorInputs {
    pub(crate) before: RotorReadings,
    pub(crate) after: Option<RotorReadings>,
    pub(crate) gear_face: Looks,
    pub(crate) housing: HousingWidth,
    pub(crate) housing_gauge: Gauge,
    pub(crate) front: Wall,
    pub(crate) rear: Wall,
}

impl RotorInputs {
    pub(crate) const fn tracks(&self) -> [TrackWear; 2] {
        [
            TrackWear { land: self.front.land_wear, tip: self.front.tip_wear },
            TrackWear { land: self.rear.land_wear, tip: self.rear.tip_wear },
        ]
    }
}

/// A build as the kernel takes it.
#[derive(Debug, Clone)]
pub(crate) struct Inputs {
    pub(crate) assumed: Assumed,
    pub(crate) trochoid: Trochoid,
    pub(crate) waist: Length,
    pub(crate) flank: Flank,
    pub(crate) face: SideFace,
    pub(crate) outline: Vec<OutlinePoint>,
    pub(crate) outside_area: FaceQuadrature,
    pub(crate) land_area: FaceQuadrature,
    pub(crate) land_inner_radius: Length,
    /// Where steps and tip widths were read.
    pub(crate) reading_radius: Length,
    pub(crate) rotor_expansion: Expansion,
    pub(crate) rotor_density: Density,
    pub(crate) housing_expansion: Expansion,
    pub(crate) states: [ThermalState; STATES],
    pub(crate) spec: Spec,
    pub(crate) seals: Seals,
    pub(crate) seal_limits: SealLimits,
    pub(crate) reserves: Reserves,
    pub(crate) capability: Length,
    pub(crate) least_cut: Length,
    pub(crate) rotors: Vec<RotorInputs>,
}

/// Expansions of a build's rotors and housings, where their materials are known.
pub(in crate::ops) fn expansions(build: &Build) -> Option<[Expansion; 2]> {
    let of = |name: &str| material(build, name).ok().map(|(expansion, _)| expansion);
    Some([of(&build.engine.rotor_material)?, of(&build.engine.housing_material)?])
}

impl Inputs {
    /// Takes a build; `first` says which units its assumptions are told in first.
    pub(crate) fn of(build: &Build, first: System) -> Result<Self, InputError> {
        let mut assumed = Assumed::default();
        let engine = &build.engine;
        let (rotor_expansion, rotor_density) = material(build, &engine.rotor_material)?;
        let (housing_expansion, _) = material(build, &engine.housing_material)?;
        let trochoid =
            Trochoid::new(engine.generating_radius, engine.eccentricity, engine.parallel_shift)?;
        let seals = seals(build, first, &mut assumed);
        let flank = flank(build, trochoid)?;
        let face = side_face(build, flank)?;
        let land_inner_radius = land_inner_radius(build, first, &mut assumed);
        let reading_radius = reading_radius(build, first, &mut assumed)?;
        let outline = face
            .outline_points(OUTLINE_PER_THIRD)?
            .into_iter()
            .filter(|point| point.radius > contact_radius(build))
            .collect();
        let (capability, least_cut) = match &build.machine {
            Some(machine) => (machine.capability, machine.least_cut),
            None => {
                assumed.note(format!(
                    "machine: capability {}, least cut {}",
                    CAPABILITY.as_amount(first),
                    LEAST_CUT.as_amount(first)
                ));
                (CAPABILITY, LEAST_CUT)
            }
        };
        let states = states(build, &mut assumed);
        if build.side_housings.is_empty() {
            assumed.note("side housings without wear (none is in the file)");
        }
        let gauges = Gauges { build, first };
        let rotors = (0..build.rotors.len())
            .map(|index| gauges.rotor(index, [rotor_expansion, housing_expansion], &mut assumed))
            .collect::<Result<Vec<_>, _>>()?;
        Ok(Self {
            waist: Length::m(Bore::of(trochoid).point(Angle::deg(90.0)).y.to_m().abs()),
            outside_area: face.quadrature(),
            land_area: land_ring(build, land_inner_radius)?.quadrature(),
            outline,
            flank,
            face,
            trochoid,
            land_inner_radius,
            reading_radius,
            rotor_expansion,
            rotor_density,
            housing_expansion,
            states,
            spec: spec(build),
            seals,
            seal_limits: seal_limits(&build.spec.seals),
            reserves: reserves(build),
            capability,
            least_cut,
            rotors,
            assumed,
        })
    }
}
