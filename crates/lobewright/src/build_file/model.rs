//! A build as its file says it, typed. What the file left out is `None`: defaults are applied,
//! and listed as assumptions, by whoever uses the build.

pub mod assembly;
pub mod balance;
pub mod condition;
pub mod machine_tool;
mod material;
mod speed;

pub use assembly::{Assembled, Assembly};
pub use balance::Balance;
pub use condition::{Condition, Inspected};
pub use machine_tool::MachineTool;
pub use material::{BUILT_IN, BUILT_IN_MATERIALS, Material};
pub use speed::{
    AtSpeed, Bearing, Film, Gas, Gear, Heavy, Inertia, Main, Oil, Section, Shaft, Uncertainty,
    Weight,
};

use kernel::readings::TIPS;
use kernel::units::{
    Angle, Duration, Expansion, GaugePressure, Length, Mass, Speed, Temperature,
    TemperatureDifference,
};
use std::collections::BTreeMap;

/// One engine for one customer, from teardown to sign-off.
#[derive(Debug, Clone, PartialEq)]
pub struct Build {
    /// What the shop calls it.
    pub name: String,
    /// What the engine is for.
    pub duty: Duty,
    /// Sizes that every rotor and housing of the engine shares.
    pub engine: Engine,
    /// Materials of the shop's own, by name.
    pub materials: BTreeMap<String, Material>,
    /// Gauges, by name.
    pub gauges: BTreeMap<String, Gauge>,
    /// The machine that will cut, if one is named.
    pub machine: Option<Machine>,
    /// Machine tools that programs can be made for, by name; their types are in
    /// [`machine_tool`].
    pub machine_tools: BTreeMap<String, MachineTool>,
    /// Rotor housings, in order from the front, one for each rotor.
    pub housings: Vec<Housing>,
    /// Side housings, in order from the front: none, or one more than rotors.
    pub side_housings: Vec<SideHousing>,
    /// Rotors, in order from the front, at least one.
    pub rotors: Vec<Rotor>,
    /// The shop's clearances and limits.
    pub spec: Spec,
    /// Sizes of the seals.
    pub seals: Seals,
    /// Shaft, bearings, gas and the rest of what the rotor at speed depends on.
    pub at_speed: AtSpeed,
    /// What balancing depends on; its types are in [`balance`].
    pub balance: Balance,
    /// What is asked when the engine goes together; its types are in [`assembly`].
    pub assembly: Assembly,
    /// What was read then.
    pub assembled: Assembled,
    /// What used parts may be like; its types are in [`condition`].
    pub condition: Condition,
    /// What was found on them, kind by kind.
    pub inspected: Vec<Inspected>,
}

/// Rotors and housings in stock, in no engine.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Stock {
    /// Gauges that read them, by name.
    pub gauges: BTreeMap<String, Gauge>,
    /// Rotor housings.
    pub housings: Vec<Housing>,
    /// Rotors. Which way their gear faces look says nothing yet.
    pub rotors: Vec<Rotor>,
}

/// What the engine is for.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Duty {
    /// Highest speed of the shaft.
    pub speed: Option<Speed>,
    /// Pressure in the manifold, above atmosphere.
    pub boost: Option<GaugePressure>,
    /// Running wanted between rebuilds.
    pub running: Option<Duration>,
    /// How hot its parts get.
    pub heat: Heat,
}

/// The hot states of a duty.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Heat {
    /// Rotor hot, housing still cold.
    pub warming: Option<Rises>,
    /// At its duty for a while.
    pub steady: Option<Rises>,
    /// Stopped hot.
    pub soak: Option<Rises>,
}

/// Rises above 20 °C in one state.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rises {
    /// Mean of the rotor housing.
    pub housing: TemperatureDifference,
    /// How much more the hot arc of the housing rises.
    pub hot_arc: TemperatureDifference,
    /// The rotor between its lands.
    pub land: TemperatureDifference,
    /// The rotor at its tips.
    pub tip: TemperatureDifference,
}

/// Sizes that every rotor and housing of the engine shares.
#[derive(Debug, Clone, PartialEq)]
pub struct Engine {
    /// From the rotor's centre to a tip of the unshifted curve.
    pub generating_radius: Length,
    /// From the shaft's axis to a rotor journal's.
    pub eccentricity: Length,
    /// How far the bore lies outside the unshifted curve.
    pub parallel_shift: Length,
    /// Outer edge of the land.
    pub land_radius: Length,
    /// Inner edge of the land.
    pub land_inner_radius: Option<Length>,
    /// Outermost point of the side face at a tip.
    pub rotor_tip_radius: Length,
    /// Where steps are read.
    pub reading_radius: Option<Length>,
    /// How far the gear's edge lies below the land.
    pub gear_recess: Option<Length>,
    /// How far the bearing's edge lies below the land.
    pub bearing_recess: Option<Length>,
    /// Depth of the treated layer of the side face.
    pub treated_layer: Option<Length>,
    /// Depth of the lead-ins of the seal grooves.
    pub lead_in: Option<Length>,
    /// Name of a material.
    pub rotor_material: String,
    /// Name of a material.
    pub housing_material: String,
}

/// A measuring instrument; its uncertainties are standard uncertainties.
#[derive(Debug, Clone, PartialEq)]
pub struct Gauge {
    /// Of each reading afresh.
    pub repeat: Length,
    /// Of the gauge: shared by everything it measured.
    pub zero: Option<Length>,
    /// Its temperature when it measured.
    pub temperature: Option<Temperature>,
    /// Its own expansion.
    pub expansion: Option<Expansion>,
    /// The day until which its calibration holds, `YYYY-MM-DD`.
    pub calibration_due: Option<String>,
}

/// The machine that cuts.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Machine {
    /// One standard deviation of a finished size.
    pub capability: Length,
    /// Thinner passes are not taken.
    pub least_cut: Length,
}

/// How a housing stood when its width was read.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Clamping {
    /// Under its tension bolts: the width is the room a rotor has.
    Clamped,
    /// Loose: it shortens by the clamp-up.
    Free {
        /// How much it shortens when clamped.
        clamp_up: Length,
        /// Standard uncertainty of that.
        clamp_up_u: Length,
    },
}

/// A rotor housing.
#[derive(Debug, Clone, PartialEq)]
pub struct Housing {
    /// Its serial.
    pub serial: String,
    /// How it stood when it was read.
    pub state: Clamping,
    /// Width at 1 to 24 stations.
    pub width: Vec<Length>,
    /// Name of the gauge.
    pub gauge: Option<String>,
    /// Its temperature when it was read.
    pub temperature: Option<Temperature>,
    /// Standard uncertainty of that.
    pub temperature_u: Option<TemperatureDifference>,
}

/// Wear of a side housing, a depth below its clamping face.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Wear {
    /// The same on both faces, or the housing has one face only.
    Both(Length),
    /// Each face.
    Each {
        /// Of the face that looks to the front.
        front: Length,
        /// Of the face that looks to the rear.
        rear: Length,
    },
}

impl Wear {
    /// Of the face that looks to the front.
    #[must_use]
    pub const fn front(self) -> Length {
        match self {
            Self::Both(wear) | Self::Each { front: wear, .. } => wear,
        }
    }

    /// Of the face that looks to the rear.
    #[must_use]
    pub const fn rear(self) -> Length {
        match self {
            Self::Both(wear) | Self::Each { rear: wear, .. } => wear,
        }
    }
}

/// A port or another opening in a face of a side housing: a sector of a ring about the shaft's
/// axis. There is no wall there.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Port {
    /// The face it is in, by the way that face looks.
    pub face: Way,
    /// Its inner radius.
    pub radius_from: Length,
    /// Its outer radius.
    pub radius_to: Length,
    /// Where it starts, from the long axis of the bore towards the hot waist.
    pub angle_from: Angle,
    /// Where it ends, in the sense of rotation.
    pub angle_to: Angle,
}

/// A side housing.
#[derive(Debug, Clone, PartialEq)]
pub struct SideHousing {
    /// Its serial.
    pub serial: String,
    /// Wear on the land's track.
    pub land_wear: Wear,
    /// Wear on the tips' track.
    pub tip_wear: Wear,
    /// Radius of the hole in its middle.
    pub central_bore: Option<Length>,
    /// Openings in its faces, by name.
    pub ports: BTreeMap<String, Port>,
}

/// A way along the shaft.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Way {
    /// Away from the flywheel.
    Front,
    /// Towards the flywheel.
    Rear,
}

impl Way {
    /// As the file says it.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Front => "front",
            Self::Rear => "rear",
        }
    }
}

/// One value at each tip 1, 2, 3.
pub type AtTips = [Length; TIPS];

/// What was read on a rotor at one time.
#[derive(Debug, Clone, PartialEq)]
pub struct RotorReadings {
    /// Thickness across both lands.
    pub land_width: AtTips,
    /// Step on the gear face, positive with the land proud.
    pub gear_step: AtTips,
    /// Step on the plain face.
    pub plain_step: AtTips,
    /// Thickness across both faces at the tips.
    pub tip_width: Option<AtTips>,
    /// Gear-face land against the bearing bore, positive where metal is proud.
    pub gear_runout: Option<AtTips>,
    /// Plain-face land against the bearing bore.
    pub plain_runout: Option<AtTips>,
    /// Mass.
    pub mass: Option<Mass>,
    /// Temperature when it was read.
    pub temperature: Option<Temperature>,
    /// Standard uncertainty of that.
    pub temperature_u: Option<TemperatureDifference>,
}

/// A rotor.
#[derive(Debug, Clone, PartialEq)]
pub struct Rotor {
    /// Its serial.
    pub serial: String,
    /// Which way its gear face looks in this build.
    pub gear_face: Way,
    /// As it came.
    pub readings: RotorReadings,
    /// Name of the gauge of its widths.
    pub width_gauge: Option<String>,
    /// Name of the gauge of its steps.
    pub step_gauge: Option<String>,
    /// Name of the gauge of its run-outs.
    pub runout_gauge: Option<String>,
    /// Without run-outs: standard uncertainty of a land's height from its being out of square.
    pub squareness_u: Option<Length>,
    /// The same readings, taken after cutting.
    pub after: Option<RotorReadings>,
}

/// An aim and how far from it a part may be, to either side.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Aim {
    /// The aim.
    pub target: Length,
    /// To either side.
    pub tolerance: Length,
}

/// What is done outside the land.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Outside {
    /// One step down at the land's edge.
    Step,
    /// A taper towards the tips.
    Taper,
}

/// A tapered face outside the land.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Taper {
    /// Radius where it starts.
    pub start: Length,
    /// How far below the land it is there.
    pub root: Length,
}

/// A shop's clearances and limits for a duty.
#[derive(Debug, Clone, PartialEq)]
pub struct Spec {
    /// What the shop calls it.
    pub name: String,
    /// Housing width less land width, both sides together.
    pub side_clearance: Aim,
    /// Land height less tip height.
    pub step: Aim,
    /// Most that side clearances may differ within the set; given where there are two rotors.
    pub match_within: Option<Length>,
    /// Most that may be cut from the land of one face.
    pub land_cut_limit: Length,
    /// Most that may be cut outside the land of one face.
    pub tip_cut_limit: Length,
    /// What is done outside the land.
    pub outside: Option<Outside>,
    /// The taper, given exactly when `outside` is one.
    pub taper: Option<Taper>,
    /// Least recess of gear and bearing edge that must remain.
    pub recess_least: Option<Length>,
    /// Least depth of groove lead-ins that must remain.
    pub lead_in_least: Option<Length>,
    /// Least treated layer that must remain.
    pub treated_least: Option<Length>,
    /// Chance of contact that is borne, between 0 and 1.
    pub contact_chance: Option<f64>,
    /// Limits of the seals.
    pub seals: SealLimits,
    /// What the shop's own builds say of the engine at speed.
    pub calibration: Option<Calibration>,
}

/// What a shop's own builds say of the engine at speed, as the owner of a spec accepted it.
#[derive(Debug, Clone, PartialEq)]
pub struct Calibration {
    /// What it rests on, in the shop's words.
    pub from: String,
    /// How much more rotors lean than computed, and the standard uncertainty of its logarithm.
    pub tilt: [f64; 2],
    /// How much more everything heats than the duty says, likewise.
    pub heat: [f64; 2],
    /// The computed gap below which a tip leaves marks, and its standard uncertainty.
    pub contact_below: [Length; 2],
    /// How the three go together: tilt with heat, tilt with the gap, heat with the gap.
    pub together: [f64; 3],
}

/// A least and a most.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Between {
    /// The least.
    pub least: Length,
    /// The most.
    pub most: Length,
}

/// What the spec asks of the seals.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct SealLimits {
    /// Housing width less apex seal length.
    pub apex_end_clearance: Option<Between>,
    /// Most that an apex seal may stand out beyond the rotor at one end.
    pub apex_overhang_most: Option<Length>,
    /// Least of an apex seal that stays in its groove.
    pub apex_engagement_least: Option<Length>,
    /// Least of a corner seal that stays in its bore.
    pub corner_engagement_least: Option<Length>,
    /// Least of a side seal that stays in its groove.
    pub side_engagement_least: Option<Length>,
    /// Least of an oil seal that stays in its groove.
    pub oil_engagement_least: Option<Length>,
    /// Room that a spring keeps above its solid height.
    pub spring_margin: Option<Length>,
}

/// Sizes of the seals, those that were given.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Seals {
    /// Apex seals.
    pub apex: Option<ApexSeal>,
    /// Corner seals.
    pub corner: Option<CornerSeal>,
    /// Side seals.
    pub side: Option<SideSeal>,
    /// Oil seals.
    pub oil: Option<OilSeal>,
}

/// An apex seal and its groove.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ApexSeal {
    /// Along the shaft.
    pub length: Length,
    /// Along the radius.
    pub height: Option<Length>,
    /// Of the groove.
    pub groove_depth: Option<Length>,
    /// Of the groove.
    pub groove_width: Option<Length>,
    /// From the rotor's tip to the bore.
    pub running_gap: Option<Length>,
}

/// A corner seal and its bore in the side face.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CornerSeal {
    /// Along the shaft.
    pub height: Length,
    /// Of its bore.
    pub groove_depth: Length,
    /// Of its bore.
    pub bore_diameter: Option<Length>,
    /// Of its centre from the rotor's axis.
    pub radius: Option<Length>,
    /// Spring room at solid height.
    pub solid: Option<Length>,
    /// Longest spring room that still gives the least load.
    pub least_load: Option<Length>,
}

/// A side seal and its groove in the side face.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SideSeal {
    /// Along the shaft.
    pub height: Length,
    /// Of the groove.
    pub groove_depth: Length,
    /// Of the groove.
    pub groove_width: Option<Length>,
    /// Of one groove, along it.
    pub groove_length: Option<Length>,
    /// Of its outermost part from the rotor's axis.
    pub radius: Option<Length>,
    /// Spring room at solid height.
    pub solid: Option<Length>,
    /// Longest spring room that still gives the least load.
    pub least_load: Option<Length>,
}

/// An oil seal and its groove in the land.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OilSeal {
    /// Along the shaft.
    pub height: Length,
    /// Of the groove.
    pub groove_depth: Length,
    /// Of the groove.
    pub groove_width: Option<Length>,
    /// From the rotor's axis.
    pub radius: Option<Length>,
    /// Spring room at solid height.
    pub solid: Option<Length>,
    /// Longest spring room that still gives the least load.
    pub least_load: Option<Length>,
    /// Of its lip above the land, on the bench.
    pub protrusion: Option<Length>,
}
