//! The shaft's line when it is bent most at its rotors.

use super::super::super::plan::PlanReport;
use super::super::SpeedReport;
use super::{circumstances, engine_origin, speed};
use drawings::{AxisPoint, MainBearing, RotorStation, ShaftLine, ShaftMass, Stretch};
use kernel::speed::engine::TURN_DEG;
use kernel::speed::shaft::{Motion, Response, ShaftModel, into_shaft};
use kernel::units::{Angle, Length};

pub(super) fn shaft_line(report: &SpeedReport, plan: &PlanReport) -> ShaftLine {
    let model = &report.engine.model().shaft;
    let response = &report.point.loads.response;
    let stations = response.stations();
    let degree = steepest_deg(&stations);
    let theta_rad = Angle::deg(degree as f64).to_rad();
    let peak = &report.peaks.stress;
    let mut notes = vec![
        format!("{} Bent most is where a rotor's journal slopes most.", circumstances(report)),
        format!(
            "Over the turn the bending stress is largest at {:.0}\u{b0} of shaft, {:.0} MPa, without \
             what fillets and holes add.",
            Angle::rad(peak.theta_rad).to_deg(),
            peak.section.stress_pa / 1e6
        ),
        "Counterweights and flywheel are drawn as solid cylinders of their mass and polar inertia."
            .to_owned(),
    ];
    if report.point.poses.held.is_some() {
        notes.push(
            "The shaft under gas, gear and inertia; what walls do to it through a rotor that they \
             hold is not in this line."
                .to_owned(),
        );
    }
    ShaftLine {
        origin: engine_origin(plan),
        assumed_shaft: report.assumed_shaft,
        speed: speed(report),
        angle: Angle::deg(degree as f64),
        stretches: stretches(model),
        mains: model
            .supports
            .iter()
            .zip(1..)
            .map(|(support, number)| MainBearing {
                name: i32::to_string(&number),
                z: Length::m(support.at_m),
            })
            .collect(),
        rotors: rotors(report, plan, &stations, theta_rad),
        masses: masses(report, model),
        axis: axis(response, theta_rad),
        notes,
    }
}

/// The degree of shaft at which some journal slopes most.
fn steepest_deg(stations: &[Motion]) -> usize {
    let steepest = |degree: usize| {
        let theta_rad = Angle::deg(degree as f64).to_rad();
        stations.iter().map(|s| s.slope_rad.at(theta_rad).norm()).fold(0.0, f64::max)
    };
    (0..TURN_DEG).max_by(|a, b| steepest(*a).total_cmp(&steepest(*b))).unwrap_or(0)
}

fn stretches(model: &ShaftModel) -> Vec<Stretch> {
    let mut from = Length::ZERO;
    model
        .stretches
        .iter()
        .map(|stretch| {
            let to = from + Length::m(stretch.length_m);
            let drawn = Stretch {
                from,
                to,
                outer: Length::m(stretch.outer_m),
                inner: Length::m(stretch.inner_m),
            };
            from = to;
            drawn
        })
        .collect()
}

fn rotors(
    report: &SpeedReport,
    plan: &PlanReport,
    stations: &[Motion],
    theta_rad: f64,
) -> Vec<RotorStation> {
    let engine = report.engine.model();
    engine
        .rotors
        .iter()
        .zip(stations)
        .zip(&engine.shaft.stations_m)
        .map(|((rotor, motion), at_m)| {
            let slope = motion.slope_rad.in_shaft(theta_rad);
            let widths = rotor.cold.heights.land_width();
            RotorStation {
                serial: rotor.serial.clone(),
                z: Length::m(*at_m),
                width: widths.into_iter().fold(widths[0], Length::max),
                radius: plan.inputs.face.rotor_tip_radius(),
                eccentricity: Length::m(engine.eccentricity_m),
                throw: Angle::deg(rotor.throw_deg as f64),
                slope_along: Angle::rad(slope.re),
                slope_across: Angle::rad(slope.im),
            }
        })
        .collect()
}

fn masses(report: &SpeedReport, model: &ShaftModel) -> Vec<ShaftMass> {
    let density_kg_m3 = model.stretches.first().map_or(0.0, |stretch| stretch.density_kg_m3);
    report
        .weights
        .iter()
        .zip(&model.discs)
        .map(|(name, disc)| {
            let [diameter_m, width_m] = disc.as_cylinder_m(density_kg_m3).unwrap_or_default();
            ShaftMass {
                name: name.clone(),
                z: Length::m(disc.at_m),
                width: Length::m(width_m),
                diameter: Length::m(diameter_m),
            }
        })
        .collect()
}

/// The bent axis at every node, twice where two elements meet: the stress steps with the section.
fn axis(response: &Response, theta_rad: f64) -> Vec<AxisPoint> {
    let turn = into_shaft(theta_rad);
    response
        .section_forces(theta_rad)
        .iter()
        .enumerate()
        .filter_map(|(end, section)| {
            // Both ends of element after element: element k stands between nodes k and k + 1.
            let motion = response.node(end / 2 + end % 2)?;
            let deflection = motion.deflection_m.at(theta_rad) * turn;
            Some(AxisPoint {
                z: Length::m(section.at_m),
                along: Length::m(deflection.re),
                across: Length::m(deflection.im),
                stress_pa: section.stress_pa,
            })
        })
        .collect()
}
