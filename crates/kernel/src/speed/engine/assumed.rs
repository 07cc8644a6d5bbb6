//! A shaft scaled from the engine's own sizes, for a file that has none.
//!
//! Proportions are common practice, no source: a rotor journal of 0.70 R, main journals as thick
//! as the throw lets them be, plates of 0.5 R, counterweights that balance the rotors' masses in
//! two planes, a flywheel a little heavier than a rotor. A centre bearing in the middle plate from
//! three rotors on. A journal then leans by some 0.7 mrad under 50 kN at rest. Everything that
//! rests on it says that it was assumed.

use super::super::shaft::Rates;
use super::super::shaft::{Disc, Mesh, ShaftModel, Stretch, Support, Theory, Unbalance};
use nalgebra::Complex;

/// Rotor journal's diameter over the generating radius.
const JOURNAL: f64 = 0.70;
/// Most of a main journal's diameter over the generating radius.
const MAIN: f64 = 0.43;
/// Main and rotor journal overlap by at least this, over the generating radius.
const OVERLAP: f64 = 0.005;
/// Diameter between two rotors over the generating radius: the hole of the plate there lets the
/// rotor journals through, so the shaft may be thick.
const BETWEEN: f64 = 0.53;
/// Thickness of the plate between two rotors over the generating radius.
const PLATE: f64 = 0.50;
/// From a rotor's face to the middle of an end main bearing, over the generating radius.
const TO_MAIN: f64 = 0.12;
/// Length of a main bearing over the generating radius.
const MAIN_LENGTH: f64 = 0.38;
/// Length of a rotor bearing over the housing width.
const ROTOR_LENGTH: f64 = 0.75;
/// From an end main to the counterweight beside it, over the generating radius.
const TO_WEIGHT: f64 = 0.40;
/// From a counterweight to the end of the shaft, over the generating radius.
const TO_END: f64 = 0.35;
/// From the rear counterweight to the flywheel, over the generating radius.
const TO_FLYWHEEL: f64 = 0.15;
/// Distance of a counterweight's mass centre from the axis, over the generating radius.
const WEIGHT_RADIUS: f64 = 0.50;
/// Mass of the flywheel over a rotor's.
const FLYWHEEL_MASS: f64 = 1.2;
/// Its radius of gyration over the generating radius.
const FLYWHEEL_GYRATION: f64 = 1.0;
/// Diametral clearance over diameter of rotor and main bearings.
const CLEARANCE: f64 = 1.2e-3;

/// Steel [ASM]: Young's modulus, Poisson's ratio, density.
const STEEL: (f64, f64, f64) = (205e9, 0.29, 7850.0);

/// What a shaft is scaled from.
#[derive(Debug, Clone, PartialEq)]
pub struct EngineSizes {
    /// Generating radius.
    pub generating_radius_m: f64,
    /// Eccentricity.
    pub eccentricity_m: f64,
    /// Width of a rotor housing.
    pub width_m: f64,
    /// Masses of the rotors, from the front; at least one.
    pub rotor_masses_kg: Vec<f64>,
    /// Their throws from that of rotor 1, in the sense of rotation.
    pub throws_deg: Vec<usize>,
}

/// A shaft and its bearings, scaled.
#[derive(Debug, Clone, PartialEq)]
pub struct AssumedShaft {
    /// The shaft with what it carries; supports without rates.
    pub shaft: ShaftModel,
    /// Names of its discs, in their order, without the rotors.
    pub weights: Vec<&'static str>,
    /// Diameter and length of a rotor bearing.
    pub rotor_bearing_m: [f64; 2],
    /// Diameter and length of a main bearing.
    pub main_bearing_m: [f64; 2],
}

/// Throws of an engine whose file does not say: evenly round, the pairs of four rotors crossed.
#[must_use]
pub fn usual_throws_deg(rotors: usize) -> Vec<usize> {
    match rotors {
        4 => vec![0, 180, 90, 270],
        n => (0..n).map(|rotor| 360 * rotor / n).collect(),
    }
}

/// Diametral clearance of a bearing that the file does not have.
#[must_use]
pub fn usual_clearance_m(diameter_m: f64) -> f64 {
    CLEARANCE * diameter_m
}

/// Diameter and length of a rotor bearing.
#[must_use]
pub fn usual_rotor_bearing_m(sizes: &EngineSizes) -> [f64; 2] {
    [JOURNAL * sizes.generating_radius_m, ROTOR_LENGTH * sizes.width_m]
}

/// Diameter and length of a main bearing.
#[must_use]
pub fn usual_main_bearing_m(sizes: &EngineSizes) -> [f64; 2] {
    let r = sizes.generating_radius_m;
    let room_m = 2.0 * ((0.5 * JOURNAL - OVERLAP) * r - sizes.eccentricity_m);
    [(MAIN * r).min(room_m), MAIN_LENGTH * r]
}

/// Unbalances that balance rotors in two planes: `U_R = −Σ U_i (z_i − z_F)/(z_R − z_F)`,
/// `U_F = −Σ U_i − U_R`, complex from the throw of rotor 1.
fn balancing(
    rotors: &[(f64, Complex<f64>)],
    front_m: f64,
    rear_m: f64,
) -> (Complex<f64>, Complex<f64>) {
    let all: Complex<f64> = rotors.iter().map(|(_, u)| u).sum();
    let rear: Complex<f64> =
        -rotors.iter().map(|(z, u)| u * (z - front_m)).sum::<Complex<f64>>() / (rear_m - front_m);
    (-all - rear, rear)
}

/// Scales a shaft.
#[must_use]
pub fn assumed_shaft(sizes: &EngineSizes) -> AssumedShaft {
    let r = sizes.generating_radius_m;
    let n = sizes.rotor_masses_kg.len();
    let rotor_bearing_m = usual_rotor_bearing_m(sizes);
    let main_bearing_m = usual_main_bearing_m(sizes);
    let [journal_m, journal_length_m] = rotor_bearing_m;
    let main_m = main_bearing_m[0];
    let (young_pa, poisson, density_kg_m3) = STEEL;
    let stretch = |length_m: f64, outer_m: f64| Stretch {
        length_m,
        outer_m,
        inner_m: 0.0,
        young_pa,
        poisson,
        density_kg_m3,
    };
    let front_main_m = (TO_END + TO_WEIGHT) * r;
    let first_m = front_main_m + TO_MAIN * r + 0.5 * sizes.width_m;
    let pitch_m = sizes.width_m + PLATE * r;
    let stations_m: Vec<f64> = (0..n).map(|rotor| first_m + rotor as f64 * pitch_m).collect();
    let last_m = first_m + (n - 1) as f64 * pitch_m;
    let rear_main_m = last_m + 0.5 * sizes.width_m + TO_MAIN * r;
    let rear_weight_m = rear_main_m + TO_WEIGHT * r;
    let flywheel_m = rear_weight_m + TO_FLYWHEEL * r;
    let end_m = flywheel_m + TO_END * r;
    let mut stretches = Vec::with_capacity(2 * n + 1);
    let mut at_m = 0.0;
    for (rotor, station_m) in stations_m.iter().enumerate() {
        let outer_m = if rotor == 0 { main_m } else { BETWEEN * r };
        stretches.push(stretch(station_m - 0.5 * journal_length_m - at_m, outer_m));
        stretches.push(stretch(journal_length_m, journal_m));
        at_m = station_m + 0.5 * journal_length_m;
    }
    stretches.push(stretch(end_m - at_m, main_m));
    let mut mains_m = vec![front_main_m, rear_main_m];
    if n >= 3 {
        let before = n / 2;
        mains_m.insert(1, first_m + (before as f64 - 0.5) * pitch_m);
    }
    let thrown: Vec<(f64, Complex<f64>)> = stations_m
        .iter()
        .zip(&sizes.rotor_masses_kg)
        .zip(&sizes.throws_deg)
        .map(|((z, mass), throw)| {
            let direction = Complex::cis((*throw as f64).to_radians());
            (*z, direction * (mass * sizes.eccentricity_m))
        })
        .collect();
    let front_weight_m = TO_END * r;
    let (front, rear) = balancing(&thrown, front_weight_m, rear_weight_m);
    let weight = |at_m: f64, unbalance: Complex<f64>| {
        let mass_kg = unbalance.norm() / (WEIGHT_RADIUS * r);
        // Gyration of half a disc about the shaft and about a diameter, roughly.
        let polar_kg_m2 = mass_kg * (WEIGHT_RADIUS * r).powi(2) * 1.2;
        Disc { at_m, mass_kg, polar_kg_m2, diametral_kg_m2: 0.55 * polar_kg_m2 }
    };
    let mean_kg = sizes.rotor_masses_kg.iter().sum::<f64>() / n as f64;
    let flywheel_kg = FLYWHEEL_MASS * mean_kg;
    let flywheel_kg_m2 = flywheel_kg * (FLYWHEEL_GYRATION * r).powi(2);
    let discs = vec![
        weight(front_weight_m, front),
        weight(rear_weight_m, rear),
        Disc {
            at_m: flywheel_m,
            mass_kg: flywheel_kg,
            polar_kg_m2: flywheel_kg_m2,
            diametral_kg_m2: 0.52 * flywheel_kg_m2,
        },
    ];
    let unbalances = [(front_weight_m, front), (rear_weight_m, rear)]
        .into_iter()
        .map(|(at_m, u)| Unbalance { at_m, amount_kg_m: u.norm(), angle_rad: u.arg() })
        .collect();
    AssumedShaft {
        shaft: ShaftModel {
            stretches,
            discs,
            unbalances,
            supports: mains_m
                .into_iter()
                .map(|at_m| Support { at_m, rates: Rates::default() })
                .collect(),
            stations_m,
            theory: Theory::Timoshenko,
            mesh: Mesh::default(),
        },
        weights: vec!["front counterweight", "rear counterweight", "flywheel"],
        rotor_bearing_m,
        main_bearing_m,
    }
}

#[cfg(test)]
mod tests {
    use super::{EngineSizes, assumed_shaft, usual_throws_deg};
    use crate::speed::shaft::{Rates, Shaft};
    use nalgebra::Complex;

    fn sizes(rotors: usize) -> EngineSizes {
        EngineSizes {
            generating_radius_m: 0.105,
            eccentricity_m: 0.015,
            width_m: 0.08,
            rotor_masses_kg: vec![4.3; rotors],
            throws_deg: usual_throws_deg(rotors),
        }
    }

    #[test]
    fn counterweights_balance_the_rotors_in_force_and_moment() {
        for rotors in 1..=6 {
            let (sizes, assumed) = (sizes(rotors), assumed_shaft(&sizes(rotors)));
            let rotor = |k: usize| {
                let throw = Complex::cis((sizes.throws_deg[k] as f64).to_radians());
                (assumed.shaft.stations_m[k], throw * (4.3 * 0.015))
            };
            let weights = assumed.shaft.unbalances.iter();
            let weights =
                weights.map(|u| (u.at_m, Complex::from_polar(u.amount_kg_m, u.angle_rad)));
            let all: Vec<_> = (0..rotors).map(rotor).chain(weights).collect();
            let force: Complex<f64> = all.iter().map(|(_, u)| u).sum();
            let moment: Complex<f64> = all.iter().map(|(z, u)| u * *z).sum();
            assert!(force.norm() < 1e-15 && moment.norm() < 1e-15, "{rotors}: {force} {moment}");
        }
    }

    #[test]
    fn it_can_be_made_and_bends_as_such_shafts_do() {
        for rotors in 1..=6 {
            let mut model = assumed_shaft(&sizes(rotors)).shaft;
            for support in &mut model.supports {
                support.rates = Rates::isotropic(8.7e8, 0.0, 8e4, 0.0);
            }
            assert_eq!(model.supports.len(), if rotors < 3 { 2 } else { 3 });
            let flexibility = Shaft::new(model).unwrap().flexibility().unwrap();
            if rotors == 2 {
                let lean_mrad =
                    |answer: usize| 5e4 * 1e3 * flexibility.slope_per_force[(2 * answer, 0)].abs();
                assert!((0.4..0.8).contains(&lean_mrad(0)), "{}", lean_mrad(0));
                assert!((0.6..0.9).contains(&lean_mrad(1)), "{}", lean_mrad(1));
            }
        }
    }
}
