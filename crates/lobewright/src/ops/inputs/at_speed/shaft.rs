//! The shaft with what it carries and what carries it.

use super::super::super::assumed::Assumed;
use super::AtSpeedError;
use crate::build_file::Build;
use crate::build_file::model;
use kernel::balance::journal_kg_m;
use kernel::speed::engine::{EngineSizes, Seat, assumed_shaft, usual_throws_deg};
use kernel::speed::shaft::{Disc, Mesh, Rates, ShaftModel, Stretch, Support, Theory, Unbalance};
use kernel::units::{Angle, Length};

/// Radial stiffness of a main bearing's seat and housing (common practice, no source).
const SEAT_N_PER_M: f64 = 1e9;
/// The same against tilt.
const SEAT_N_M_PER_RAD: f64 = 1e5;
/// Share of critical damping in twist (common practice, no source).
const TWIST_DAMPING: f64 = 0.02;
/// Name of the shaft's material where the file does not say.
const STEEL: &str = "steel";
/// A throw this near to a whole degree is one.
const WHOLE_DEG: f64 = 1e-6;

/// The shaft on its seats.
pub(in crate::ops::inputs) struct Structure {
    pub(in crate::ops::inputs) shaft: ShaftModel,
    pub(super) seats: Vec<Seat>,
    /// Names of its discs, in their order.
    pub(in crate::ops::inputs) weights: Vec<String>,
    /// Whether it was scaled from the engine's sizes.
    pub(in crate::ops::inputs) assumed: bool,
}

/// Throws of the rotors in whole degrees.
pub(super) fn throws_deg(build: &Build, assumed: &mut Assumed) -> Result<Vec<usize>, AtSpeedError> {
    let given = build.at_speed.shaft.as_ref().and_then(|shaft| shaft.throws.as_ref());
    let Some(throws) = given else {
        let usual = usual_throws_deg(build.rotors.len());
        if usual.len() > 1 {
            let list: Vec<String> = usual.iter().map(ToString::to_string).collect();
            assumed.note(format!("throws at {} deg", list.join(", ")));
        }
        return Ok(usual);
    };
    let whole = |(number, throw): (usize, &Angle)| {
        let deg = throw.to_deg();
        if (deg - deg.round()).abs() > WHOLE_DEG {
            return Err(AtSpeedError::Throw { number, deg });
        }
        Ok(deg.round().rem_euclid(360.0) as usize)
    };
    throws.iter().enumerate().map(whole).collect()
}

/// Throws of the rotors, at any angle; where the file has none, those that are usual.
pub(in crate::ops::inputs) fn throws_rad(build: &Build) -> Vec<f64> {
    let given = build.at_speed.shaft.as_ref().and_then(|shaft| shaft.throws.as_ref());
    match given {
        Some(throws) => throws.iter().map(|throw| throw.to_rad()).collect(),
        None => usual_throws_deg(build.rotors.len())
            .into_iter()
            .map(|deg| (deg as f64).to_radians())
            .collect(),
    }
}

pub(super) fn twist_damping(build: &Build, assumed: &mut Assumed) -> f64 {
    build.at_speed.shaft.as_ref().and_then(|shaft| shaft.damping).unwrap_or_else(|| {
        let percent = 100.0 * TWIST_DAMPING;
        assumed.note(format!("twist of the shaft damped by {percent:.0} % of critical"));
        TWIST_DAMPING
    })
}

pub(in crate::ops::inputs) fn structure(
    build: &Build,
    sizes: &EngineSizes,
    assumed: &mut Assumed,
) -> Result<Structure, AtSpeedError> {
    let Some(shaft) = &build.at_speed.shaft else {
        assumed.note(
            "the shaft, its counterweights and its flywheel, scaled from the engine's sizes: give \
             [shaft] for figures of your own",
        );
        let usual = assumed_shaft(sizes);
        return Ok(Structure {
            seats: vec![usual_seat(assumed); usual.shaft.supports.len()],
            shaft: usual.shaft,
            weights: usual.weights.into_iter().map(str::to_owned).collect(),
            assumed: true,
        });
    };
    let name = shaft.material.as_deref().unwrap_or(STEEL);
    let elastic = build.material(name).and_then(|m| Some((m.young?, m.poisson?, m.density)));
    let Some((young, poisson, density)) = elastic else {
        return Err(AtSpeedError::Modulus(name.to_owned()));
    };
    let stretch = |section: &model::Section| Stretch {
        length_m: section.length.to_m(),
        outer_m: section.outer.to_m(),
        inner_m: section.inner.unwrap_or_default().to_m(),
        young_pa: young.to_pa(),
        poisson,
        density_kg_m3: density.to_kg_per_m3(),
    };
    let disc = |weight: &model::Weight| {
        let polar_kg_m2 = weight.polar_inertia.map_or(0.0, |inertia| inertia.to_kg_m2());
        Disc {
            at_m: weight.at.to_m(),
            mass_kg: weight.mass.to_kg(),
            polar_kg_m2,
            // A flat body has half its polar inertia about a diameter.
            diametral_kg_m2: weight
                .diametral_inertia
                .map_or(0.5 * polar_kg_m2, |inertia| inertia.to_kg_m2()),
        }
    };
    if shaft.weights.iter().any(|w| w.polar_inertia.is_none()) {
        assumed.note("weights on the shaft without polar_inertia as points on its axis");
    }
    let weights = shaft.weights.iter().filter_map(|weight| {
        let heavy = weight.unbalance?;
        Some(Unbalance {
            at_m: weight.at.to_m(),
            amount_kg_m: heavy.amount.to_kg_m(),
            angle_rad: heavy.angle.to_rad(),
        })
    });
    // Counterweights balance the metal of the rotor journals too.
    let journals = journals_kg_m(build, sizes, assumed);
    let places = shaft.rotors.iter().zip(throws_rad(build));
    let journals = places.zip(journals).map(|((at, angle_rad), amount_kg_m)| Unbalance {
        at_m: at.to_m(),
        amount_kg_m,
        angle_rad,
    });
    let unbalances = weights.chain(journals);
    let mut seat = |main: &model::Main| {
        let usual = match (main.stiffness, main.moment_stiffness) {
            (Some(_), Some(_)) => Seat { radial_n_per_m: 0.0, moment_n_m_per_rad: 0.0 },
            _ => usual_seat(assumed),
        };
        Seat {
            radial_n_per_m: main.stiffness.map_or(usual.radial_n_per_m, |k| k.to_n_per_m()),
            moment_n_m_per_rad: main
                .moment_stiffness
                .map_or(usual.moment_n_m_per_rad, |k| k.to_n_m_per_rad()),
        }
    };
    Ok(Structure {
        seats: shaft.mains.iter().map(&mut seat).collect(),
        shaft: ShaftModel {
            stretches: shaft.sections.iter().map(stretch).collect(),
            discs: shaft.weights.iter().map(disc).collect(),
            unbalances: unbalances.collect(),
            supports: shaft
                .mains
                .iter()
                .map(|main| Support { at_m: main.at.to_m(), rates: Rates::default() })
                .collect(),
            stations_m: shaft.rotors.iter().map(|at| at.to_m()).collect(),
            theory: Theory::Timoshenko,
            mesh: Mesh::default(),
        },
        weights: shaft.weights.iter().map(|weight| weight.name.clone()).collect(),
        assumed: false,
    })
}

/// Own unbalance of each rotor journal's metal: what the file says, else that of a cylinder as long as
/// the section that the mid-plane of the rotor lies in, and as thick as the rotor's bearing, or as
/// that section. The
/// counterweights of an assumed shaft are scaled to its rotors alone.
pub(in crate::ops::inputs) fn journals_kg_m(
    build: &Build,
    sizes: &EngineSizes,
    assumed: &mut Assumed,
) -> Vec<f64> {
    let given = &build.at_speed;
    let count = build.rotors.len();
    if let Some(own) = build.balance.journal_unbalance {
        return vec![own.to_kg_m(); count];
    }
    let Some(shaft) = &given.shaft else {
        assumed
            .note("rotor journals without an unbalance of their own (balance.journal_unbalance)");
        return vec![0.0; count];
    };
    let name = shaft.material.as_deref().unwrap_or(STEEL);
    let density_kg_m3 = build.material(name).map_or(0.0, |m| m.density.to_kg_per_m3());
    assumed.note(
        "metal of the rotor journals as cylinders as long as their sections and as thick as the \
         rotors' bearings, or as the sections where no [bearing.rotor] is given \
         (balance.journal_unbalance)",
    );
    let bearing_m = given.rotor_bearing.as_ref().map(|bearing| bearing.diameter.to_m());
    let around = |at: &Length| {
        let mut end = Length::ZERO;
        let section = shaft.sections.iter().find(|section| {
            end += section.length;
            *at <= end
        });
        section.map_or(0.0, |section| {
            let diameter_m = bearing_m.unwrap_or(section.outer.to_m());
            journal_kg_m(diameter_m, section.length.to_m(), density_kg_m3, sizes.eccentricity_m)
        })
    };
    shaft.rotors.iter().map(around).collect()
}

fn usual_seat(assumed: &mut Assumed) -> Seat {
    assumed.note(format!(
        "seats of the main bearings of {:.0} N/um and {:.0} kN m/rad",
        SEAT_N_PER_M / 1e6,
        SEAT_N_M_PER_RAD / 1e3
    ));
    Seat { radial_n_per_m: SEAT_N_PER_M, moment_n_m_per_rad: SEAT_N_M_PER_RAD }
}
