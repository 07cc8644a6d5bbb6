//! Rotors with their readings adjusted, put in their places.

use super::super::inputs::{InputError, Inputs, RotorInputs};
use crate::build_file::Build;
use kernel::plan::{Candidate, Guards, Placing, Shop};
use kernel::readings::{Adjusted, Estimate, Face, HousingWidth, TIPS, guard};
use kernel::units::Length;

/// A rotor's readings, adjusted.
pub(in crate::ops) struct AdjustedRotor {
    pub(super) before: Adjusted,
    pub(super) after: Option<Adjusted>,
}

impl AdjustedRotor {
    /// The rotor as it is now.
    pub(in crate::ops) fn now(&self) -> &Adjusted {
        self.after.as_ref().unwrap_or(&self.before)
    }

    /// Whether what was read before a cut can be believed; if not, nothing is said of what the cut
    /// took.
    pub(super) fn before_holds(&self) -> bool {
        self.before.check.suspicions.is_empty()
    }

    /// Cut so far from gear land, plain land, gear tips and plain tips, at each tip.
    pub(super) fn taken(&self) -> [[Length; TIPS]; 4] {
        let Some(after) = self.after.as_ref().filter(|_| self.before_holds()) else {
            return [[Length::ZERO; TIPS]; 4];
        };
        let cut = |before: &[Length; TIPS], after: &[Length; TIPS]| {
            std::array::from_fn(|k| (before[k] - after[k]).max(Length::ZERO))
        };
        let (before, after) = (&self.before.heights, &after.heights);
        [
            cut(&before.gear.land, &after.gear.land),
            cut(&before.plain.land, &after.plain.land),
            cut(&before.gear.tip, &after.gear.tip),
            cut(&before.plain.tip, &after.plain.tip),
        ]
    }

    /// The most that a land width is greater after the cut than before, at a tip, beyond what
    /// the gauges can tell. Metal does not grow: one of the two readings is wrong.
    pub(super) fn grown(&self) -> Option<(usize, Length)> {
        let after = self.after.as_ref().filter(|_| self.before_holds())?;
        (0..TIPS)
            .map(|tip| (tip, after.land_width(tip).minus(&self.before.land_width(tip))))
            .filter(|(_, grown)| grown.value() > guard(grown.uncertainty()))
            .map(|(tip, grown)| (tip, grown.value()))
            .max_by(|a, b| a.1.to_m().total_cmp(&b.1.to_m()))
    }
}

pub(in crate::ops) fn adjust(
    build: &Build,
    inputs: &Inputs,
) -> Result<Vec<AdjustedRotor>, InputError> {
    let named = |index: usize, source| InputError::Readings {
        rotor: build.rotors[index].serial.clone(),
        source,
    };
    inputs
        .rotors
        .iter()
        .enumerate()
        .map(|(i, rotor)| {
            Ok(AdjustedRotor {
                before: rotor.before.adjust().map_err(|source| named(i, source))?,
                after: match &rotor.after {
                    Some(after) => Some(after.adjust().map_err(|source| named(i, source))?),
                    None => None,
                },
            })
        })
        .collect()
}

/// What of a rotor is known before it is put in its place.
pub(in crate::ops) fn placing<'a>(
    inputs: &'a Inputs,
    rotor: &RotorInputs,
    adjusted: &AdjustedRotor,
) -> Placing<'a> {
    let readings = adjusted.after.as_ref().and(rotor.after.as_ref()).unwrap_or(&rotor.before);
    let now = adjusted.now();
    let guards = Shop {
        capability: inputs.capability,
        width_gauge: readings.width_gauge,
        step_gauge: readings.step_gauge,
        housing_gauge: rotor.housing_gauge,
        housing_uncertainty: rotor.housing.least.part_uncertainty(),
        rotor_uncertainty: now.land_width(0).part_uncertainty(),
    }
    .guards();
    let [front, rear] = rotor.tracks();
    Placing {
        heights: now.heights,
        first_heights: adjusted.before.heights,
        taken: adjusted.taken(),
        width_least: rotor.housing.least.value(),
        width_greatest: rotor.housing.greatest.value(),
        waist: inputs.waist,
        land_radius: inputs.face.land_radius(),
        tip_radius: inputs.face.rotor_tip_radius(),
        front,
        rear,
        rotor_expansion: inputs.rotor_expansion,
        housing_expansion: inputs.housing_expansion,
        states: &inputs.states,
        seals: &inputs.seals,
        seal_limits: &inputs.seal_limits,
        reserves: inputs.reserves,
        guards,
        guards_now: match &adjusted.after {
            Some(after) => measured_guards(after, &rotor.housing),
            None => guards,
        },
    }
}

/// The rotor from before its cut, as it was planned then.
pub(super) fn first_candidate(
    inputs: &Inputs,
    rotor: &RotorInputs,
    adjusted: &AdjustedRotor,
) -> Candidate {
    let first = AdjustedRotor { before: adjusted.before.clone(), after: None };
    placing(inputs, rotor, &first).candidate()
}

/// Side clearance at a tip with its uncertainty.
pub(super) fn clearance(width: &HousingWidth, rotor: &Adjusted, tip: usize) -> Estimate {
    width.least.minus(&rotor.land_width(tip))
}

/// Guard of a measured size: of a side clearance, or of a face's step, at a tip.
pub(super) fn measured_guard(
    width: &HousingWidth,
    rotor: &Adjusted,
    face: Option<Face>,
    tip: usize,
) -> Length {
    guard(match face {
        None => clearance(width, rotor, tip).uncertainty(),
        Some(face) => rotor.step(face, tip).uncertainty(),
    })
}

/// The widest guards of a rotor's measured sizes. That of the match is for two such rotors whose
/// errors share nothing, which is never less than the truth.
fn measured_guards(rotor: &Adjusted, width: &HousingWidth) -> Guards {
    let widest = |faces: &[Option<Face>]| {
        faces
            .iter()
            .flat_map(|face| (0..TIPS).map(|tip| measured_guard(width, rotor, *face, tip)))
            .fold(Length::ZERO, Length::max)
    };
    let clearance = widest(&[None]);
    Guards {
        clearance,
        step: widest(&[Some(Face::Gear), Some(Face::Plain)]),
        matching: clearance * std::f64::consts::SQRT_2,
    }
}
