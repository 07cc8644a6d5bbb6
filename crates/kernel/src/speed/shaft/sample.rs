//! An invented shaft for two rotors, for tests.

use super::{Disc, Mesh, Rates, ShaftModel, Stretch, Support, Theory, Unbalance};
use std::f64::consts::PI;

pub(super) fn steel(length_m: f64, outer_m: f64, inner_m: f64) -> Stretch {
    Stretch { length_m, outer_m, inner_m, young_pa: 206e9, poisson: 0.3, density_kg_m3: 7850.0 }
}

/// A support that is neither isotropic nor symmetric, with damping in everything.
pub(super) fn film(scale: f64) -> Rates {
    let by = |m: [[f64; 2]; 2]| m.map(|row| row.map(|value| value * scale));
    Rates {
        stiffness_n_per_m: by([[2.4e8, 0.9e8], [-1.6e8, 3.1e8]]),
        damping_n_s_per_m: by([[1.5e5, -0.2e5], [-0.2e5, 2.2e5]]),
        moment_stiffness_n_m_per_rad: by([[3.0e4, 0.8e4], [-1.1e4, 4.0e4]]),
        moment_damping_n_m_s_per_rad: by([[18.0, -3.0], [-3.0, 25.0]]),
    }
}

/// Journals of 43 mm, eccentrics of 74 mm as far as they stiffen, a hollow, two counterweights.
pub(super) fn two_rotor() -> ShaftModel {
    let disc = |at_m, mass_kg, polar_kg_m2, diametral_kg_m2| Disc {
        at_m,
        mass_kg,
        polar_kg_m2,
        diametral_kg_m2,
    };
    let unbalance = |at_m, amount_kg_m, angle_rad| Unbalance { at_m, amount_kg_m, angle_rad };
    ShaftModel {
        stretches: vec![
            steel(0.1, 0.043, 0.01),
            steel(0.06, 0.074, 0.02),
            steel(0.05, 0.05, 0.02),
            steel(0.06, 0.074, 0.02),
            steel(0.18, 0.043, 0.0),
        ],
        discs: vec![
            disc(0.02, 1.8, 0.0035, 0.002),
            disc(0.13, 4.3, 0.0, 0.0),
            disc(0.24, 4.3, 0.0, 0.0),
            disc(0.38, 6.5, 0.058, 0.031),
        ],
        unbalances: vec![
            unbalance(0.13, 0.0645, 0.0),
            unbalance(0.24, 0.0645, PI),
            unbalance(0.02, 0.02, PI),
            unbalance(0.38, 0.02, 0.0),
        ],
        supports: vec![
            Support { at_m: 0.06, rates: film(1.0) },
            Support { at_m: 0.31, rates: film(1.3) },
        ],
        stations_m: vec![0.13, 0.24],
        theory: Theory::Timoshenko,
        mesh: Mesh::Fine,
    }
}
