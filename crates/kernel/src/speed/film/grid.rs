//! Where the pressure of a film is computed: lines round the bearing and along it.
//!
//! Lines round are dense where the film is thin. Sommerfeld's substitution
//! `tan(γ/2) = √((1+ε)/(1−ε)) tan(φ/2)` spreads the neighbourhood of the thinnest place, which is
//! `√(1−ε)` wide, over a half turn of `γ`; lines lie evenly in the mean of `φ` and `γ`, so that
//! the opposite side keeps half of them. Lines along lie closer to the edge, where the pressure
//! of a long bearing falls.

use std::f64::consts::{PI, TAU};

/// How fine the pressure is resolved.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Fineness {
    /// Lines round the bearing.
    pub round: usize,
    /// Strips from mid-plane to edge; even.
    pub along: usize,
}

/// Share of `s³` in the place of lines along, `ζ = (1 + a)s − a s³`.
const CROWDING: f64 = 0.35;
/// Newton steps for the place of one line; it needs five.
const PLACE_STEPS: usize = 60;

/// Angles of the lines from the thinnest place, in the order of the unknowns; the first one lies
/// nearest to `start`.
pub(super) fn angles(eccentricity_ratio: f64, lines: usize, start: f64) -> Vec<f64> {
    let ratio = ((1.0 + eccentricity_ratio) / (1.0 - eccentricity_ratio)).sqrt();
    let spread = |phi: f64| {
        let turns = ((phi + PI) / TAU).floor();
        let phi = phi - turns * TAU;
        let (s, c) = (0.5 * phi).sin_cos();
        turns * TAU + 0.5 * (phi + 2.0 * (ratio * s).atan2(c))
    };
    let slope = |phi: f64| {
        // dγ/dφ = √(1−ε²)/(1−ε cos φ)
        let gamma = (1.0 - eccentricity_ratio * eccentricity_ratio).sqrt()
            / (1.0 - eccentricity_ratio * phi.cos());
        0.5 * (1.0 + gamma)
    };
    let from = spread(start);
    let mut phi = start;
    (0..lines)
        .map(|k| {
            let wanted = from + TAU * k as f64 / lines as f64;
            let (mut low, mut high) = (phi, start + TAU);
            for _ in 0..PLACE_STEPS {
                let off = spread(phi) - wanted;
                if off.abs() < 1e-13 {
                    break;
                }
                if off > 0.0 {
                    high = phi;
                } else {
                    low = phi;
                }
                let next = phi - off / slope(phi);
                phi = if next > low && next < high { next } else { 0.5 * (low + high) };
            }
            phi
        })
        .collect()
}

/// Places of the lines along, from the mid-plane, 0, to the edge, 1: `strips + 1` of them.
pub(super) fn places(strips: usize) -> Vec<f64> {
    (0..=strips)
        .map(|j| {
            let s = j as f64 / strips as f64;
            s * (1.0 + CROWDING - CROWDING * s * s)
        })
        .collect()
}

/// Weights that integrate over these places, exact for parabolas through pairs of strips.
pub(super) fn weights(places: &[f64]) -> Vec<f64> {
    let mut weights = vec![0.0; places.len()];
    for pair in (0..places.len() - 2).step_by(2) {
        let (a, b) = (places[pair + 1] - places[pair], places[pair + 2] - places[pair + 1]);
        let sixth = (a + b) / 6.0;
        weights[pair] += sixth * (2.0 - b / a);
        weights[pair + 1] += sixth * (a + b) * (a + b) / (a * b);
        weights[pair + 2] += sixth * (2.0 - a / b);
    }
    weights
}

#[cfg(test)]
mod tests {
    use super::{angles, places, weights};
    use std::f64::consts::TAU;

    #[test]
    fn lines_go_once_round_and_crowd_where_the_film_is_thin() {
        for ratio in [0.0, 0.3, 0.9, 0.999, 0.99999] {
            for start in [0.0, 1.0, 3.1, -2.0] {
                let phi = angles(ratio, 96, start);
                assert!((phi[0] - start).abs() < 1e-12);
                let round: Vec<f64> = phi.iter().copied().chain([phi[0] + TAU]).collect();
                let steps: Vec<f64> = round.windows(2).map(|w| w[1] - w[0]).collect();
                assert!(steps.iter().all(|s| *s > 0.0 && *s < 2.2 * TAU / 96.0), "{steps:?}");
                let least = steps.iter().copied().fold(f64::INFINITY, f64::min);
                let wanted = 2.0 / (1.0 + ((1.0 + ratio) / (1.0_f64 - ratio)).sqrt());
                assert!(least < 1.3 * wanted * TAU / 96.0, "{ratio}: {least}");
            }
        }
    }

    #[test]
    fn weights_integrate_parabolas() {
        let at = places(8);
        let w = weights(&at);
        for power in 0..3 {
            let sum: f64 = at.iter().zip(&w).map(|(z, w)| w * z.powi(power)).sum();
            assert!((sum - 1.0 / f64::from(power + 1)).abs() < 1e-14, "{power}: {sum}");
        }
    }
}
