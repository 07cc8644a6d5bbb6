//! What can stop a plan, by name.

use super::candidate::Depth;
use crate::heat::StateName;
use crate::readings::Face;
use crate::units::Length;

/// A limit of the spec, of the part or of the room.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Limit {
    /// Side clearance outside its tolerance.
    SideClearance,
    /// A step outside its tolerance.
    Step,
    /// Side clearances of the set that differ too much.
    Matching,
    /// Too much to cut from a land.
    LandCutLimit,
    /// Too much to cut outside a land.
    TipCutLimit,
    /// Something under the face would be cut away.
    Depth(Depth),
    /// Both lands would touch at once in this state.
    Jam(StateName),
    /// The tips would touch before the land in this state.
    StepNeeded(StateName),
    /// A seal would lose its support.
    Seal(&'static str),
    /// Something outside the lands would touch first between the real walls in this state.
    Room(StateName),
    /// Tips would touch at the duty's speed and boost more often than the spec bears.
    ContactAtSpeed,
    /// A taper leaves the face level with the land outside it.
    TaperStart,
    /// A pass would be thinner than the machine takes, and neither leaving nor deepening it holds.
    LeastCut,
    /// The tolerance of the side clearance is narrower than gauge and machine can prove.
    ClearanceUnprovable,
    /// The tolerance of the step is narrower than gauge and machine can prove.
    StepUnprovable,
}

impl Limit {
    /// Its name in files and JSON: the spec's key where it is one.
    #[must_use]
    pub const fn key(self) -> &'static str {
        match self {
            Self::SideClearance | Self::ClearanceUnprovable => "side_clearance",
            Self::Step | Self::StepUnprovable => "step",
            Self::Matching => "match",
            Self::LandCutLimit => "land_cut_limit",
            Self::TipCutLimit => "tip_cut_limit",
            Self::Depth(Depth::GearRecess) => "gear_recess",
            Self::Depth(Depth::BearingRecess) => "bearing_recess",
            Self::Depth(Depth::TreatedLayer) => "treated_layer",
            Self::Depth(Depth::LeadIn) => "lead_in",
            Self::Jam(_) => "jam",
            Self::StepNeeded(_) => "step_needed_hot",
            Self::Seal(name) => name,
            Self::Room(_) => "room",
            Self::ContactAtSpeed => "contact_chance",
            Self::TaperStart => "taper",
            Self::LeastCut => "least_cut",
        }
    }
}

impl Limit {
    /// The thermal state it belongs to, if it belongs to one.
    #[must_use]
    pub const fn state(self) -> Option<StateName> {
        match self {
            Self::Jam(state) | Self::StepNeeded(state) | Self::Room(state) => Some(state),
            _ => None,
        }
    }
}

/// A limit that is not kept, by how much, and where.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shortfall {
    /// Which limit.
    pub limit: Limit,
    /// On which face, where it is on one.
    pub face: Option<Face>,
    /// At which tip, counted from 0, where it is at one.
    pub tip: Option<usize>,
    /// What would be.
    pub is: Length,
    /// What is allowed, nearest to it.
    pub allowed: Length,
}

impl Shortfall {
    /// How far it is off.
    #[must_use]
    pub fn by(&self) -> Length {
        (self.is - self.allowed).abs()
    }
}
