//! What of an engine is uncertain, and one draw of all of it.

use super::model::EngineModel;
use super::point::Scales;
use crate::readings::{FaceHeights, Heights, TIPS};
use crate::room::ColdSizes;
use crate::units::{Expansion, Length, TemperatureDifference};

/// Heights of both faces of a rotor.
const HEIGHTS: usize = 4 * TIPS;
/// Numbers drawn for each rotor: its heights, the width of its housing, its bearing's clearance.
const PER_ROTOR: usize = HEIGHTS + 2;
/// Numbers drawn once: four rises, two expansions, viscosity, peak pressure, the shaft's
/// softness, the mesh, gas on the sides, the model.
const SHARED: usize = 12;
/// Numbers drawn last, for what a shop has taught: the rises and the gap that leaves marks. The lean
/// has the first of all.
const TAUGHT: usize = 2;

/// Least error of the model until a shop's own builds say less, relative to the lean.
pub const LEAST_MODEL_ERROR: f64 = 0.3;

/// Uncertainty of one rotor in its housing.
#[derive(Debug, Clone, PartialEq)]
pub struct RotorUncertainty {
    /// A lower factor of the covariance of the heights, row by row, in metres: what a draw of
    /// independent standard values is multiplied by. Order: gear land, plain land, gear tip, plain
    /// tip, three tips each.
    pub heights_factor_m: [[f64; HEIGHTS]; HEIGHTS],
    /// Of the housing's width.
    pub width_m: f64,
    /// Of its bearing's clearance, relative.
    pub clearance: f64,
}

/// Standard uncertainties; relative ones are of a factor with a lognormal distribution, so that
/// nothing becomes negative.
#[derive(Debug, Clone, PartialEq)]
pub struct Uncertainty {
    /// Per rotor.
    pub rotors: Vec<RotorUncertainty>,
    /// Of each rise of temperature.
    pub rise_k: f64,
    /// Of expansions, relative.
    pub expansion: f64,
    /// Of the oil's viscosity, relative.
    pub viscosity: f64,
    /// Of the peak pressure, relative: of all gas forces.
    pub peak_pressure: f64,
    /// Of the shaft's stiffness, relative.
    pub shaft: f64,
    /// Of forces in the mesh, relative.
    pub mesh: f64,
    /// Of unbalanced gas on the sides, relative.
    pub side: f64,
    /// Of the lean that the model computes, relative; where a shop has taught something, that
    /// counts in its place.
    pub model: f64,
}

/// One draw.
#[derive(Debug, Clone, PartialEq)]
pub struct Draw {
    /// Sizes of each rotor and housing.
    pub cold: Vec<ColdSizes>,
    /// A tip leaves marks where less than this is left of its gap.
    pub seen_below_m: f64,
    /// Everything else.
    pub scales: Scales,
}

/// A factor with mean near one and relative standard uncertainty `u`, from a standard normal
/// value: lognormal with median one.
fn factor(u: f64, x: f64) -> f64 {
    (x * (1.0 + u * u).ln().sqrt()).exp()
}

/// The lower triangular factor of a covariance that may be singular: pivots that are nothing but
/// rounding are left out.
#[must_use]
pub fn lower_factor(covariance: &[[f64; HEIGHTS]; HEIGHTS]) -> [[f64; HEIGHTS]; HEIGHTS] {
    let largest = (0..HEIGHTS).map(|i| covariance[i][i]).fold(0.0, f64::max);
    let mut factor = [[0.0; HEIGHTS]; HEIGHTS];
    for j in 0..HEIGHTS {
        let pivot = covariance[j][j] - factor[j][..j].iter().map(|part| part * part).sum::<f64>();
        if pivot <= 1e-12 * largest {
            continue;
        }
        factor[j][j] = pivot.sqrt();
        for i in j + 1..HEIGHTS {
            let known: f64 = (0..j).map(|k| factor[i][k] * factor[j][k]).sum();
            factor[i][j] = (covariance[i][j] - known) / factor[j][j];
        }
    }
    factor
}

impl Uncertainty {
    /// Number of values that a draw takes; the last [`TAUGHT`] are used where a shop has taught
    /// something.
    #[must_use]
    pub fn dimensions(&self) -> usize {
        PER_ROTOR * self.rotors.len() + SHARED + TAUGHT
    }

    /// A draw from standard normal values. What matters most is drawn from the first dimensions,
    /// which scrambled points fill best.
    #[must_use]
    pub fn draw(&self, model: &EngineModel, values: &[f64]) -> Draw {
        let at = |index: usize| values.get(index).copied().unwrap_or(0.0);
        let n = self.rotors.len();
        let mut scales = Scales::as_modelled(n);
        let last = PER_ROTOR * n + SHARED;
        let taught = model.taught.map(|taught| taught.draw([at(0), at(last), at(last + 1)]));
        scales.lean = taught.map_or_else(|| factor(self.model, at(0)), |taught| taught.lean);
        let heat = taught.map_or(1.0, |taught| taught.heat);
        scales.gas = factor(self.peak_pressure, at(1));
        scales.softness = factor(self.shaft, at(2));
        scales.viscosity = factor(self.viscosity, at(3));
        scales.mesh = factor(self.mesh, at(4));
        scales.side = factor(self.side, at(5));
        let rises: [f64; 4] = std::array::from_fn(|k| self.rise_k * at(6 + k));
        let expansions: [f64; 2] = std::array::from_fn(|k| factor(self.expansion, at(10 + k)));
        let cold = model
            .rotors
            .iter()
            .zip(&self.rotors)
            .enumerate()
            .map(|(index, (rotor, uncertainty))| {
                let own = &values[(SHARED + PER_ROTOR * index).min(values.len())..];
                scales.clearance[index] =
                    factor(uncertainty.clearance, own.get(HEIGHTS + 1).copied().unwrap_or(0.0));
                let mut rotor_cold = rotor.cold;
                rotor_cold.state = rotor_cold.state.times(heat);
                drawn(rotor_cold, uncertainty, own, &rises, expansions)
            })
            .collect();
        let seen_below_m = taught.map_or(0.0, |taught| taught.seen_below_m);
        Draw { cold, seen_below_m, scales }
    }
}

fn drawn(
    mut cold: ColdSizes,
    uncertainty: &RotorUncertainty,
    own: &[f64],
    rises_k: &[f64; 4],
    expansions: [f64; 2],
) -> ColdSizes {
    let off: [f64; HEIGHTS] = std::array::from_fn(|i| {
        uncertainty.heights_factor_m[i].iter().zip(own).map(|(factor, x)| factor * x).sum()
    });
    let now = cold.heights;
    let more = |heights: &FaceHeights, land: usize, tip: usize| FaceHeights {
        land: std::array::from_fn(|k| heights.land[k] + Length::m(off[land + k])),
        tip: std::array::from_fn(|k| heights.tip[k] + Length::m(off[tip + k])),
    };
    cold.heights =
        Heights { gear: more(&now.gear, 0, 2 * TIPS), plain: more(&now.plain, TIPS, 3 * TIPS) };
    cold.width += Length::m(uncertainty.width_m * own.get(HEIGHTS).copied().unwrap_or(0.0));
    let state = &mut cold.state;
    let rises = [&mut state.housing, &mut state.hot_arc, &mut state.land, &mut state.tip];
    for (rise, off_k) in rises.into_iter().zip(rises_k) {
        *rise = TemperatureDifference::k(rise.to_k() + off_k);
    }
    let scaled = |expansion: Expansion, by: f64| Expansion::per_k(expansion.to_per_k() * by);
    cold.rotor_expansion = scaled(cold.rotor_expansion, expansions[0]);
    cold.housing_expansion = scaled(cold.housing_expansion, expansions[1]);
    cold
}

#[cfg(test)]
mod tests {
    use super::{HEIGHTS, factor, lower_factor};

    #[test]
    fn a_factor_times_itself_is_its_covariance_even_where_heights_are_tied() {
        // Three independent parts, twelve heights: rank three.
        let part = |i: usize, k: usize| ((i * 7 + k * 3) % 5) as f64 - 2.0;
        let covariance: [[f64; HEIGHTS]; HEIGHTS] = std::array::from_fn(|i| {
            std::array::from_fn(|j| (0..3).map(|k| part(i, k) * part(j, k)).sum::<f64>() * 1e-12)
        });
        let lower = lower_factor(&covariance);
        for i in 0..HEIGHTS {
            for j in 0..HEIGHTS {
                let product: f64 = (0..HEIGHTS).map(|k| lower[i][k] * lower[j][k]).sum();
                assert!((product - covariance[i][j]).abs() < 1e-20, "{i} {j}");
            }
        }
    }

    #[test]
    fn a_factor_has_its_relative_uncertainty() {
        let n = 20_001;
        let (mut mean, mut square, mut weight) = (0.0, 0.0, 0.0);
        for i in 0..n {
            let x = -8.0 + 16.0 * f64::from(i) / f64::from(n - 1);
            let density = (-0.5 * x * x).exp();
            let value = factor(0.3, x);
            weight += density;
            mean += density * value;
            square += density * value * value;
        }
        mean /= weight;
        let relative = (square / weight - mean * mean).sqrt() / mean;
        assert!((relative - 0.3).abs() < 1e-6, "{relative}");
    }
}
