//! The shaft for balance: throws at any angle, what it weighs, what lies off its axis, and the two
//! pairs of planes.

use super::super::super::assumed::Assumed;
use super::super::at_speed::{Structure, journals_kg_m, structure, throws_rad};
use super::{BalanceError, WeightOnShaft};
use crate::build_file::Build;
use crate::build_file::model::balance::CorrectionPlane;
use kernel::balance::{Complex, PlacedUnbalance, TwoPlanes};
use kernel::speed::engine::{EngineSizes, usual_throws_deg};
use kernel::units::{Length, System};

/// A counterweight heavier than this beside another is one; less is the rounding of a flywheel.
const COUNTERWEIGHT_KG_M: f64 = 1e-6;

/// What of the shaft balancing needs.
#[derive(Debug, Clone)]
pub(in crate::ops) struct ShaftForBalance {
    /// With the weights on it, without rotors.
    pub(in crate::ops) mass_kg: f64,
    pub(in crate::ops) centre_m: f64,
    /// From the front, rotor by rotor.
    pub(in crate::ops) stations_m: Vec<f64>,
    pub(in crate::ops) throws_rad: Vec<f64>,
    /// Own unbalance of each rotor journal's metal.
    pub(in crate::ops) journals_kg_m: Vec<f64>,
    pub(in crate::ops) mains_m: Vec<f64>,
    /// Weights that have an unbalance.
    pub(in crate::ops) weights: Vec<WeightOnShaft>,
    /// All weights with their places.
    places: Vec<(String, f64)>,
    /// Whether it was scaled from the engine's sizes.
    pub(in crate::ops) assumed: bool,
}

pub(super) fn shaft(
    build: &Build,
    masses_kg: &[f64],
    assumed: &mut Assumed,
) -> Result<ShaftForBalance, BalanceError> {
    let given = build.at_speed.shaft.as_ref();
    let throws = given.and_then(|shaft| shaft.throws.as_ref());
    let usual = usual_throws_deg(build.rotors.len());
    if throws.is_none() && usual.len() > 1 {
        let list: Vec<String> = usual.iter().map(ToString::to_string).collect();
        assumed.note(format!("throws at {} deg", list.join(", ")));
    }
    let widths: Vec<Length> = build.housings.iter().flat_map(|h| h.width.iter().copied()).collect();
    let sizes = EngineSizes {
        generating_radius_m: build.engine.generating_radius.to_m(),
        eccentricity_m: build.engine.eccentricity.to_m(),
        width_m: (widths.iter().copied().sum::<Length>() / widths.len().max(1) as f64).to_m(),
        rotor_masses_kg: masses_kg.to_vec(),
        throws_deg: usual.clone(),
    };
    let Structure { shaft, weights: names, assumed: is_assumed, .. } =
        structure(build, &sizes, assumed)?;
    let stretches = {
        let mut at_m = 0.0;
        shaft.stretches.iter().map(move |stretch| {
            let middle_m = at_m + 0.5 * stretch.length_m;
            at_m += stretch.length_m;
            (stretch.mass_kg(), middle_m)
        })
    };
    let parts: Vec<(f64, f64)> =
        stretches.chain(shaft.discs.iter().map(|disc| (disc.mass_kg, disc.at_m))).collect();
    let mass_kg: f64 = parts.iter().map(|(kg, _)| kg).sum();
    let named = |at_m: f64| {
        let disc = shaft.discs.iter().position(|disc| (disc.at_m - at_m).abs() < 1e-9);
        disc.and_then(|index| names.get(index)).cloned().unwrap_or_default()
    };
    // Of a given shaft each weight says its own; an assumed one is scaled to rotors alone.
    let weights = match given {
        Some(shaft) => shaft
            .weights
            .iter()
            .filter_map(|weight| {
                let heavy = weight.unbalance?;
                Some(WeightOnShaft {
                    name: weight.name.clone(),
                    unbalance: PlacedUnbalance {
                        at_m: weight.at.to_m(),
                        vector_kg_m: Complex::from_polar(
                            heavy.amount.to_kg_m(),
                            heavy.angle.to_rad(),
                        ),
                    },
                })
            })
            .collect(),
        None => shaft
            .unbalances
            .iter()
            .map(|u| WeightOnShaft {
                name: named(u.at_m),
                unbalance: PlacedUnbalance {
                    at_m: u.at_m,
                    vector_kg_m: Complex::from_polar(u.amount_kg_m, u.angle_rad),
                },
            })
            .collect(),
    };
    Ok(ShaftForBalance {
        mass_kg,
        centre_m: parts.iter().map(|(kg, at_m)| kg * at_m).sum::<f64>() / mass_kg,
        stations_m: shaft.stations_m.clone(),
        throws_rad: throws_rad(build),
        journals_kg_m: journals_kg_m(build, &sizes, assumed),
        mains_m: shaft.supports.iter().map(|support| support.at_m).collect(),
        weights,
        places: names.into_iter().zip(shaft.discs.iter().map(|disc| disc.at_m)).collect(),
        assumed: is_assumed,
    })
}

impl ShaftForBalance {
    /// The two planes in which corrections are made: the file's, or where the foremost and the
    /// rearmost weight with an unbalance are, or the outer mains.
    pub(super) fn planes(
        &self,
        build: &Build,
        first: System,
        assumed: &mut Assumed,
    ) -> Result<TwoPlanes, BalanceError> {
        let place = |plane: Option<&CorrectionPlane>| -> Option<f64> {
            let plane = plane?;
            let of_weight = || {
                let name = plane.weight.as_ref()?;
                self.places.iter().find(|(known, _)| known == name).map(|(_, at_m)| *at_m)
            };
            plane.at.map(Length::to_m).or_else(of_weight)
        };
        let heavy = || {
            self.weights
                .iter()
                .filter(|weight| weight.unbalance.vector_kg_m.norm() > COUNTERWEIGHT_KG_M)
                .map(|weight| weight.unbalance.at_m)
        };
        let mains = self.mains_m.iter().copied();
        let least = |all: &mut dyn Iterator<Item = f64>| all.fold(f64::INFINITY, f64::min);
        let most = |all: &mut dyn Iterator<Item = f64>| all.fold(f64::NEG_INFINITY, f64::max);
        let usual = if heavy().count() > 1 {
            [least(&mut heavy()), most(&mut heavy())]
        } else {
            [least(&mut mains.clone()), most(&mut mains.clone())]
        };
        let mut at = |plane: Option<&CorrectionPlane>, name: &str, usual_m: f64| {
            place(plane).unwrap_or_else(|| {
                assumed.note(format!(
                    "the {name} correction plane {} from the front end of the shaft \
                     (balance.{name}.at)",
                    Length::m(usual_m).as_size(first)
                ));
                usual_m
            })
        };
        let front_m = at(build.balance.front.as_ref(), "front", usual[0]);
        let rear_m = at(build.balance.rear.as_ref(), "rear", usual[1]);
        TwoPlanes::new(front_m, rear_m).map_err(BalanceError::Planes)
    }

    /// The planes in which the tolerance holds: the file's, or the outer mains.
    pub(super) fn tolerance_planes(
        &self,
        build: &Build,
        first: System,
        assumed: &mut Assumed,
    ) -> Result<TwoPlanes, BalanceError> {
        let [front_m, rear_m] = match build.balance.tolerance_planes {
            Some(planes) => planes.map(Length::to_m),
            None => {
                let mains = self.mains_m.iter().copied();
                let outer = [
                    mains.clone().fold(f64::INFINITY, f64::min),
                    mains.fold(f64::NEG_INFINITY, f64::max),
                ];
                let [front, rear] = outer.map(|m| Length::m(m).as_size(first).to_string());
                assumed.note(format!(
                    "the tolerance holds in the outer main bearings, at {front} and {rear} \
                     (balance.tolerance_planes)"
                ));
                outer
            }
        };
        TwoPlanes::new(front_m, rear_m).map_err(BalanceError::TolerancePlanes)
    }
}
