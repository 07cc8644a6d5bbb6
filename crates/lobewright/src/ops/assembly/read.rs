//! What is asked and what was read, whether it came from a file or from the shop's record.

use super::super::inputs::TakenWith;
use crate::build_file::Build;
use crate::build_file::model::assembly::{Assembly, Fit, Spring};
use kernel::assembly::Wanted;
use kernel::units::{Force, Length};
use std::collections::BTreeMap;

/// What is asked of an engine when it goes together.
#[derive(Debug, Clone, PartialEq, Default)]
pub(in crate::ops) struct Asks {
    /// The engine's record.
    pub(in crate::ops) assembly: Assembly,
    /// What the spec asks of the apex seals' ends.
    pub(in crate::ops) apex_ends: Option<Wanted<Length>>,
    /// How many rotors there are.
    pub(in crate::ops) rotors: usize,
    /// How many main bearings its file has; 0 where it does not say.
    pub(in crate::ops) mains: usize,
}

impl Asks {
    /// Of a build.
    pub(in crate::ops) fn of(build: &Build) -> Self {
        let ends = build.spec.seals.apex_end_clearance;
        Self {
            assembly: build.assembly.clone(),
            apex_ends: ends.and_then(|ends| Wanted::new(Some(ends.least), Some(ends.most)).ok()),
            rotors: build.rotors.len(),
            mains: build.at_speed.shaft.as_ref().map_or(0, |shaft| shaft.mains.len()),
        }
    }

    /// What is asked of a length.
    pub(in crate::ops) fn size(&self, fit: Fit) -> Option<&Wanted<Length>> {
        match fit {
            Fit::ApexEnds => self.apex_ends.as_ref(),
            _ => self.assembly.sizes.get(&fit),
        }
    }

    /// What is asked of the load of a spring.
    pub(in crate::ops) fn load(&self, spring: Spring) -> Option<&Wanted<Force>> {
        self.assembly.loads.get(&spring)
    }
}

/// A length that was read.
#[derive(Debug, Clone, PartialEq)]
pub(in crate::ops) struct ReadSize {
    pub(in crate::ops) value: Length,
    /// The gauge with its uncertainty, where both are known.
    pub(in crate::ops) with: Option<TakenWith>,
}

/// A load that was read.
#[derive(Debug, Clone, PartialEq)]
pub(in crate::ops) struct ReadLoad {
    pub(in crate::ops) value: Force,
    pub(in crate::ops) u: Option<Force>,
    /// Name of its gauge.
    pub(in crate::ops) gauge: Option<String>,
}

/// Everything that was read when an engine went together. Bearings and rotors are counted from
/// the front, from 1; what there is one of has no number.
#[derive(Debug, Clone, PartialEq, Default)]
pub(in crate::ops) struct ReadAll {
    /// Serial of the shaft that is in.
    pub(in crate::ops) shaft: Option<String>,
    /// Serial of the set of seals that is in.
    pub(in crate::ops) seals: Option<String>,
    pub(in crate::ops) sizes: BTreeMap<(Fit, Option<usize>), ReadSize>,
    pub(in crate::ops) loads: BTreeMap<(Spring, usize), ReadLoad>,
    /// Thickness of the spacer that is in.
    pub(in crate::ops) spacer: Option<Length>,
}
