//! The two counterweights: what each needs, what it is, and what is done to it.

use super::super::inputs::{BalanceError, BalanceInputs, counterweight};
use super::Left;
use crate::build_file::Build;
use crate::build_file::model::balance::{CorrectionPlane, How};
use kernel::balance::drilling::{Correction, Operation};
use kernel::balance::{
    Assembly, Compared, Complex, PlaneWays, ToCorrect, compare, correct, provable_kg_m, pull_n,
};
use kernel::units::Speed;

/// Most operations on one counterweight (common practice, no source: with more it is another
/// counterweight that is needed).
const MOST_OPERATIONS: usize = 6;
/// Least share of what is permitted that corrections aim at, where the uncertainty takes more than
/// the rest: finer than the shaft is known is a waste of holes.
const LEAST_AIM: f64 = 0.5;

/// Something done to a counterweight.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Done {
    /// Its number on the counterweight, from 1.
    pub number: usize,
    /// What kind of operation.
    pub how: How,
    /// From the throw of rotor 1, in the sense of rotation.
    pub angle_rad: f64,
    /// From the shaft's axis.
    pub radius_m: f64,
    /// What.
    pub operation: Operation,
}

impl Done {
    /// Mass of what is fixed there, and the force with which it pulls outwards at a speed.
    #[must_use]
    pub fn fixed(&self, speed: Speed) -> Option<(f64, f64)> {
        let mass_kg = self.operation.work.fixed_kg(self.operation.depth_m.unwrap_or(0.0))?;
        Some((mass_kg, pull_n(mass_kg, self.radius_m, speed.to_rad_per_s())))
    }

    /// As the person with the drill reads it.
    #[must_use]
    pub fn in_words(&self) -> String {
        let operation = &self.operation;
        let grams = 1e3 * operation.taken_off_kg.abs();
        let deep = operation.depth_m.map_or(0.0, |m| 1e3 * m);
        let across = operation.diameter_m.map_or(0.0, |m| 1e3 * m);
        match self.how {
            How::FaceHole => format!("\u{d8}{across:.1} \u{d7} {deep:.1} deep, {grams:.1} g"),
            How::RimHole => format!("rim \u{d8}{across:.1} \u{d7} {deep:.1} deep, {grams:.1} g"),
            How::Slug => {
                let whole = operation.work.fixed_kg(operation.depth_m.unwrap_or(0.0));
                let whole = 1e3 * whole.unwrap_or(0.0);
                format!(
                    "slug \u{d8}{across:.1} \u{d7} {deep:.1} of {whole:.1} g, adds {grams:.1} g"
                )
            }
            How::Flat => format!("flat {deep:.2} deep, {grams:.1} g"),
            How::Added => format!("add {grams:.1} g"),
        }
    }
}

/// A place of a counterweight.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PlaceLine {
    /// What can be done there.
    pub how: How,
    /// From the throw of rotor 1, in the sense of rotation.
    pub angle_rad: f64,
    /// From the shaft's axis.
    pub radius_m: f64,
}

/// A counterweight.
#[derive(Debug, Clone, PartialEq)]
pub struct PlaneReport {
    /// `front` or `rear`.
    pub name: &'static str,
    /// Name of its weight on the shaft, where it has one.
    pub weight: Option<String>,
    /// Its place along the shaft.
    pub at_m: f64,
    /// What all counterweights have to be in this plane.
    pub needed_kg_m: Complex<f64>,
    /// What the weights on the shaft are said to be in it.
    pub present_kg_m: Complex<f64>,
    /// The two compared.
    pub compared: Compared,
    /// What is there too much before correction; this is removed, or its opposite added.
    pub found_kg_m: Complex<f64>,
    /// What may be left in this plane, and what the correction aims to stay within.
    pub permitted_kg_m: f64,
    /// See [`Self::permitted_kg_m`].
    pub aim_kg_m: f64,
    /// Places of its own.
    pub places: Vec<PlaceLine>,
    /// What is done, in the order of the places; nothing where it has no places.
    pub done: Option<Vec<Done>>,
    /// Why nothing is worked out to be done; nothing: it is.
    pub withheld: Option<&'static str>,
    /// Whether that brings it within.
    pub reached: bool,
    /// Where the face that is drilled lies along the shaft, where the file says.
    pub face_m: Option<f64>,
    /// What it leaves in this plane.
    pub left_kg_m: Complex<f64>,
}

/// Both counterweights with what is left.
pub(super) struct Planned {
    pub(super) planes: [PlaneReport; 2],
    pub(super) left_kg_m: [Complex<f64>; 2],
}

pub(super) fn corrections(
    build: &Build,
    inputs: &mut BalanceInputs,
    assembly: &Assembly,
    found: &Left,
    (permitted_kg_m, withheld): ([f64; 2], [Option<&'static str>; 2]),
) -> Result<Planned, BalanceError> {
    let given = [&build.balance.front, &build.balance.rear];
    let names = ["front", "rear"];
    let mut ways: [Option<PlaneWays>; 2] = [None, None];
    for plane in 0..2 {
        if withheld[plane].is_some() {
            continue;
        }
        if let Some(given) = given[plane].as_ref().filter(|given| !given.places.is_empty()) {
            ways[plane] = Some(counterweight(build, given, names[plane], &mut inputs.assumed)?);
        }
    }
    let aims_kg_m: [f64; 2] = std::array::from_fn(|k| {
        let provable = provable_kg_m(found.in_planes.u_kg_m(k), permitted_kg_m[k]);
        provable.unwrap_or(0.0).max(LEAST_AIM * permitted_kg_m[k])
    });
    let wanted = ToCorrect {
        unbalance_kg_m: found.in_planes.vectors_kg_m,
        permitted_kg_m: aims_kg_m,
        most_operations: MOST_OPERATIONS,
    };
    let corrected =
        correct(&inputs.planes, [ways[0].as_ref(), ways[1].as_ref()], &wanted).map_err(
            |source| BalanceError::Drilling { planes: "balance.front and balance.rear", source },
        )?;
    let needed = inputs.planes.needed(&assembly.all_thrown());
    let present = inputs.planes.shown(&assembly.weights);
    let planes = std::array::from_fn(|k| {
        let correction = corrected.planes[k].as_ref();
        let places = given[k].as_ref().map(places_of).unwrap_or_default();
        PlaneReport {
            name: names[k],
            weight: weight(inputs, given[k].as_ref().and_then(|g| g.weight.clone()), k),
            at_m: inputs.planes.at_m()[k],
            needed_kg_m: needed[k],
            present_kg_m: present[k],
            compared: compare(present[k], needed[k]),
            found_kg_m: found.in_planes.vectors_kg_m[k],
            permitted_kg_m: permitted_kg_m[k],
            aim_kg_m: aims_kg_m[k],
            withheld: withheld[k],
            face_m: given[k]
                .as_ref()
                .and_then(|g| g.places.iter().find_map(|p| p.face_at))
                .map(|m| m.to_m()),
            done: correction.map(|correction| done(correction, &places)),
            reached: corrected.left_kg_m[k].norm() <= permitted_kg_m[k],
            places,
            left_kg_m: corrected.left_kg_m[k],
        }
    });
    Ok(Planned { planes, left_kg_m: corrected.left_kg_m })
}

/// Name of the weight in a plane: the file's, or that of a weight that is there.
fn weight(inputs: &BalanceInputs, named: Option<String>, plane: usize) -> Option<String> {
    let at_m = inputs.planes.at_m()[plane];
    named.or_else(|| {
        let there = |m: f64| (m - at_m).abs() < SAME_PLACE_M;
        inputs.shaft.weights.iter().find(|w| there(w.unbalance.at_m)).map(|w| w.name.clone())
    })
}

/// Places closer than this along the shaft are one.
const SAME_PLACE_M: f64 = 1e-6;

/// The places, in the order in which the kernel counts them.
fn places_of(plane: &CorrectionPlane) -> Vec<PlaceLine> {
    plane
        .places
        .iter()
        .flat_map(|place| {
            place.angles.iter().map(|angle| PlaceLine {
                how: place.how,
                angle_rad: angle.to_rad(),
                radius_m: place.radius.to_m(),
            })
        })
        .collect()
}

fn done(correction: &Correction, places: &[PlaceLine]) -> Vec<Done> {
    correction
        .operations
        .iter()
        .enumerate()
        .filter_map(|(index, operation)| {
            let PlaceLine { how, angle_rad, radius_m } = *places.get(operation.place)?;
            Some(Done { number: index + 1, how, angle_rad, radius_m, operation: *operation })
        })
        .collect()
}
