//! Materials, heat, spec and seals as the kernel takes them.

use super::super::assumed::Assumed;
use super::InputError;
use crate::build_file::model::{self, Build};
use kernel::heat::{ASSUMED, STATES, ThermalState};
use kernel::plan::{Aim, Reserves, Spec};
use kernel::room::Outside;
use kernel::seals::{ApexSeal, FaceSeal, SealLimits, Seals};
use kernel::units::{Density, Expansion, Length, System};

/// Expansion and density of a material by name.
pub(super) fn material(build: &Build, name: &str) -> Result<(Expansion, Density), InputError> {
    let found = build.material(name).ok_or_else(|| InputError::Material(name.to_owned()))?;
    Ok((found.expansion, found.density))
}

pub(super) fn states(build: &Build, assumed: &mut Assumed) -> [ThermalState; STATES] {
    let heat = &build.duty.heat;
    let mut states = ASSUMED;
    let given = [None, heat.warming, heat.steady, heat.soak];
    for (state, given) in states.iter_mut().zip(given) {
        if let Some(rises) = given {
            state.housing = rises.housing;
            state.hot_arc = rises.hot_arc;
            state.land = rises.land;
            state.tip = rises.tip;
        }
    }
    let missing: Vec<&str> = states[1..]
        .iter()
        .zip([heat.warming, heat.steady, heat.soak])
        .filter(|(_, given)| given.is_none())
        .map(|(state, _)| state.name.name())
        .collect();
    if !missing.is_empty() {
        assumed.note(format!("temperatures of the states {}", missing.join(", ")));
    }
    states
}

pub(super) fn spec(build: &Build) -> Spec {
    let spec = &build.spec;
    let aim = |aim: model::Aim| Aim { target: aim.target, tolerance: aim.tolerance };
    Spec {
        side_clearance: aim(spec.side_clearance),
        step: aim(spec.step),
        matching: spec.match_within.unwrap_or_default(),
        land_cut_limit: spec.land_cut_limit,
        tip_cut_limit: spec.tip_cut_limit,
        outside: match spec.taper {
            Some(taper) => Outside::Taper { start: taper.start, root: taper.root },
            None => Outside::Step,
        },
    }
}

pub(super) fn seal_limits(limits: &model::SealLimits) -> SealLimits {
    SealLimits {
        apex_end_clearance_least: limits.apex_end_clearance.map(|between| between.least),
        apex_end_clearance_most: limits.apex_end_clearance.map(|between| between.most),
        apex_overhang_most: limits.apex_overhang_most,
        apex_engagement_least: limits.apex_engagement_least,
        corner_engagement_least: limits.corner_engagement_least,
        side_engagement_least: limits.side_engagement_least,
        oil_engagement_least: limits.oil_engagement_least,
        spring_margin: limits.spring_margin,
    }
}

pub(super) fn seals(build: &Build, first: System, assumed: &mut Assumed) -> Seals {
    let (given, engine) = (&build.seals, &build.engine);
    let mut radius = |seal: &str, given: Option<Length>, otherwise: Length| {
        given.unwrap_or_else(|| {
            assumed.note(format!("{seal} seal out to radius {}", otherwise.as_size(first)));
            otherwise
        })
    };
    Seals {
        apex: given.apex.map(|apex| ApexSeal {
            length: apex.length,
            height: apex.height,
            running_gap: apex.running_gap,
        }),
        corner: given.corner.map(|seal| FaceSeal {
            height: seal.height,
            groove_depth: seal.groove_depth,
            // The file gives the centre; the seal's far side reaches further out.
            radius: radius(
                "corner",
                seal.radius.map(|r| r + seal.bore_diameter.unwrap_or_default() / 2.0),
                engine.rotor_tip_radius,
            )
            .min(engine.rotor_tip_radius),
            solid: seal.solid,
            least_load: seal.least_load,
        }),
        side: given.side.map(|seal| FaceSeal {
            height: seal.height,
            groove_depth: seal.groove_depth,
            radius: radius("side", seal.radius, engine.rotor_tip_radius),
            solid: seal.solid,
            least_load: seal.least_load,
        }),
        oil: given.oil.map(|seal| FaceSeal {
            height: seal.height,
            groove_depth: seal.groove_depth,
            radius: radius("oil", seal.radius, engine.land_radius),
            solid: seal.solid,
            least_load: seal.least_load,
        }),
        oil_protrusion: given.oil.and_then(|seal| seal.protrusion),
    }
}

pub(super) fn reserves(build: &Build) -> Reserves {
    let (engine, spec) = (&build.engine, &build.spec);
    Reserves {
        gear_recess: engine.gear_recess,
        bearing_recess: engine.bearing_recess,
        treated_layer: engine.treated_layer,
        lead_in: engine.lead_in,
        recess_least: spec.recess_least.unwrap_or_default(),
        treated_least: spec.treated_least.unwrap_or_default(),
        lead_in_least: spec.lead_in_least.unwrap_or_default(),
    }
}
