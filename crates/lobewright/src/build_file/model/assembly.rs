//! What is asked of the engine when it goes together, and what was read then, as the file says
//! it. Both may be left out: what is not given is not asked, and no limit is ever taken in its
//! place.

use kernel::assembly::{Thicker, Wanted};
use kernel::units::{Angle, Force, Length, Torque};
use std::collections::BTreeMap;

/// A spring that a seal stands on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Spring {
    /// Of an apex seal.
    Apex,
    /// Of a corner seal.
    Corner,
    /// Of a side seal.
    Side,
    /// Of an oil seal.
    Oil,
}

impl Spring {
    /// All of them.
    pub const ALL: [Self; 4] = [Self::Apex, Self::Corner, Self::Side, Self::Oil];

    /// The key of its load.
    #[must_use]
    pub const fn load(self) -> &'static str {
        match self {
            Self::Apex => "apex_spring_load",
            Self::Corner => "corner_spring_load",
            Self::Side => "side_spring_load",
            Self::Oil => "oil_spring_load",
        }
    }

    /// The key of its height without load.
    #[must_use]
    pub const fn height(self) -> &'static str {
        match self {
            Self::Apex => "apex_spring_height",
            Self::Corner => "corner_spring_height",
            Self::Side => "side_spring_height",
            Self::Oil => "oil_spring_height",
        }
    }

    /// The seals that stand on it.
    #[must_use]
    pub const fn seals(self) -> &'static str {
        match self {
            Self::Apex => "apex seals",
            Self::Corner => "corner seals",
            Self::Side => "side seals",
            Self::Oil => "oil seals",
        }
    }
}

/// A length that is read when the engine goes together.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Fit {
    /// Run-out of the shaft at a middle journal, full movement of the indicator over one turn.
    ShaftRunout,
    /// Clearance of a main bearing, on the diameter.
    MainBearing,
    /// Clearance of a rotor's bearing, on the diameter.
    RotorBearing,
    /// Height of a spring without load.
    SpringHeight(Spring),
    /// How far the lips of the oil seals stand above the land.
    OilProtrusion,
    /// Clearance of the corner seals in their bores, on the diameter.
    CornerBore,
    /// Gap from the ends of the side seals to the corner seals.
    SideGap,
    /// Clearance of the apex seals in their grooves, both sides together.
    ApexGroove,
    /// Clearance of the apex seals' ends to the side housings, both ends together. What is wanted
    /// of it stands with the spec.
    ApexEnds,
    /// End play of the shaft between its thrust faces.
    EndPlay,
}

impl Fit {
    /// All of them.
    pub const ALL: [Self; 13] = [
        Self::ShaftRunout,
        Self::MainBearing,
        Self::RotorBearing,
        Self::SpringHeight(Spring::Apex),
        Self::SpringHeight(Spring::Corner),
        Self::SpringHeight(Spring::Side),
        Self::SpringHeight(Spring::Oil),
        Self::OilProtrusion,
        Self::CornerBore,
        Self::SideGap,
        Self::ApexGroove,
        Self::ApexEnds,
        Self::EndPlay,
    ];

    /// Its key, which is also the name of its stations.
    #[must_use]
    pub const fn key(self) -> &'static str {
        match self {
            Self::ShaftRunout => "shaft_runout",
            Self::MainBearing => "main_bearing_clearance",
            Self::RotorBearing => "rotor_bearing_clearance",
            Self::SpringHeight(spring) => spring.height(),
            Self::OilProtrusion => "oil_seal_protrusion",
            Self::CornerBore => "corner_seal_bore",
            Self::SideGap => "side_seal_gap",
            Self::ApexGroove => "apex_seal_groove",
            Self::ApexEnds => "apex_end_clearance",
            Self::EndPlay => "end_play",
        }
    }

    /// Whether it is read once for every rotor, on its seals and their springs.
    #[must_use]
    pub const fn is_of_seals(self) -> bool {
        !matches!(self, Self::ShaftRunout | Self::MainBearing | Self::RotorBearing | Self::EndPlay)
    }
}

/// What the engine's record asks when it goes together.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Assembly {
    /// Limits of lengths.
    pub sizes: BTreeMap<Fit, Wanted<Length>>,
    /// Limits of the loads of springs, at the height the record has them for.
    pub loads: BTreeMap<Spring, Wanted<Force>>,
    /// Thicknesses of the spacers that the shop stocks.
    pub spacers: Vec<Length>,
    /// Standard uncertainty of each of these thicknesses.
    pub spacer_u: Option<Length>,
    /// What a thicker one does to the end play; given where spacers are.
    pub thicker_spacer: Option<Thicker>,
    /// How fasteners are tightened, in order.
    pub tighten: Vec<Tighten>,
}

/// One step of tightening: to a torque, by an angle, or to a torque and then by an angle.
#[derive(Debug, Clone, PartialEq)]
pub struct Tighten {
    /// Which fasteners, in the shop's words, their order among them.
    pub fasteners: String,
    /// To this torque.
    pub torque: Option<Torque>,
    /// By this angle, from where they are then.
    pub angle: Option<Angle>,
    /// What else there is to mind.
    pub note: Option<String>,
}

/// What was read when the engine went together.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Assembled {
    /// On the eccentric shaft that is in.
    pub shaft: Option<ShaftFits>,
    /// On the set of seals that is in.
    pub seals: Option<SealsFits>,
}

/// What was read on a shaft.
#[derive(Debug, Clone, PartialEq)]
pub struct ShaftFits {
    /// Its serial.
    pub serial: String,
    /// Run-out.
    pub shaft_runout: Option<Length>,
    /// End play, with the spacer that is in.
    pub end_play: Option<Length>,
    /// Thickness of the spacer that is in.
    pub spacer: Option<Length>,
    /// Name of the gauge of the end play.
    pub end_play_gauge: Option<String>,
    /// Name of the gauge of the run-out.
    pub runout_gauge: Option<String>,
    /// Name of the gauge of the bearings' clearances.
    pub bearing_gauge: Option<String>,
    /// Clearances of main bearings, by their number from the front, from 1.
    pub mains: BTreeMap<usize, Length>,
    /// Clearances of the rotors' bearings, by the rotor's number from the front, from 1.
    pub rotors: BTreeMap<usize, Length>,
}

/// What was read on a set of seals.
#[derive(Debug, Clone, PartialEq)]
pub struct SealsFits {
    /// Its serial.
    pub serial: String,
    /// Name of the gauge of gaps and fits.
    pub gap_gauge: Option<String>,
    /// Name of the gauge of the oil seals' protrusion.
    pub protrusion_gauge: Option<String>,
    /// Name of the gauge of the springs' heights.
    pub height_gauge: Option<String>,
    /// Standard uncertainty of a spring's load.
    pub load_u: Option<Force>,
    /// By the rotor's number from the front, from 1. Of several alike in one rotor the one that
    /// is nearest to a limit.
    pub rotors: BTreeMap<usize, RotorFits>,
}

/// What was read on the seals of one rotor.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct RotorFits {
    /// Lengths.
    pub sizes: BTreeMap<Fit, Length>,
    /// Loads of springs.
    pub loads: BTreeMap<Spring, Force>,
}
