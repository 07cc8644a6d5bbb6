//! What a builder should look at before believing a computation at speed, or running the engine.

use super::super::inputs::AtSpeedError;
use kernel::speed::engine::{CYCLE_DEG, Engine, Point};
use kernel::speed::film::{Bearing, BearingSizes};
use kernel::units::Speed;

/// A critical speed nearer than this share of the speed is near (common practice, no source).
const NEAR: f64 = 0.15;
/// Orders of the shaft's speed in which gas pushes hard, against the first twist.
const ORDERS: [f64; 3] = [1.0, 2.0, 3.0];
/// An order nearer than this share to the first twist is near (common practice, no source).
const NEAR_TWIST: f64 = 0.1;
/// Edges of a bearing may carry for this share of a cycle before it is said.
const EDGES: f64 = 0.01;

pub(super) fn warnings(
    engine: &Engine,
    point: &Point,
    [forward, backward]: &[Vec<f64>; 2],
) -> Result<Vec<String>, AtSpeedError> {
    let mut found = Vec::new();
    let omega = point.loads.running.omega_rad_s;
    let rpm = |omega: f64| Speed::rad_per_s(omega).to_rpm();
    let running_rpm = rpm(omega);
    for (way, all) in [("forward", forward), ("backward", backward)] {
        for critical in all.iter().filter(|critical| (*critical / omega - 1.0).abs() < NEAR) {
            found.push(format!(
                "a {way} critical speed of the shaft lies at {:.0} rpm, near this speed",
                rpm(*critical)
            ));
        }
    }
    let twist = &point.loads.turning.first_twist;
    for order in ORDERS {
        let meets_rpm = twist.crossing_rpm(order);
        if (meets_rpm / running_rpm - 1.0).abs() < NEAR_TWIST {
            found.push(format!(
                "order {order:.0} meets the shaft's first twist ({:.0} Hz) at {meets_rpm:.0} rpm, \
                 near this speed",
                twist.frequency_hz()
            ));
        }
    }
    let model = engine.model();
    for (index, (rotor, film)) in model.rotors.iter().zip(&point.films).enumerate() {
        let bearing = &model.rotor_bearings[index];
        let called = format!("the bearing of rotor {}", rotor.serial);
        let least_m = film.cycle.path.as_ref().map(|path| path.least_film_m);
        found.extend(thin(&called, least_m, bearing.wanted_film_m));
        let edges = point.poses.real().cycle.edges.iter().filter(|edge| edge.1 == index).count();
        let share = edges as f64 / CYCLE_DEG as f64;
        if share > EDGES {
            found.push(format!(
                "{called} runs on its edges for {:.0} % of the cycle: its journal slopes by more \
                 than its clearance lets it follow",
                100.0 * share
            ));
        }
    }
    for (index, (main, given)) in point.loads.mains.iter().zip(&model.mains).enumerate() {
        let called = format!("main bearing {}", index + 1);
        found.extend(thin(&called, main.least_film_m, given.wanted_film_m));
    }
    if let Some(bearing) = model.rotor_bearings.first().filter(|b| b.given.is_none()) {
        found.extend(unusual("rotor bearings", bearing.sizes)?);
    }
    if let Some(bearing) = model.mains.first().filter(|b| b.given.is_none()) {
        found.extend(unusual("main bearings", bearing.sizes)?);
    }
    Ok(found)
}

fn thin(called: &str, least_m: Option<f64>, wanted_m: f64) -> Option<String> {
    let least_m = least_m.filter(|least_m| *least_m < wanted_m)?;
    Some(format!(
        "the oil film of {called} thins to {:.1} \u{b5}m, less than {:.1} \u{b5}m",
        1e6 * least_m,
        1e6 * wanted_m
    ))
}

fn unusual(called: &str, sizes: BearingSizes) -> Result<Option<String>, AtSpeedError> {
    let Some(unusual) = Bearing::new(sizes)?.unusual_clearance() else { return Ok(None) };
    let [least, most] = unusual.usual.map(|ratio| 1e3 * ratio);
    Ok(Some(format!(
        "the clearance of the {called} is {:.2} thousandths of their diameter; {least:.1} to \
         {most:.1} are usual",
        1e3 * unusual.ratio
    )))
}
