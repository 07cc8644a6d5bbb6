//! The gas a chamber holds: one ideal gas, fresh or burnt, whose ratio of specific heats falls in
//! a straight line with temperature.
//!
//! `γ(T) = γ₀ − s·T`, with `c_v = R/(γ − 1)`; then with `a = γ₀ − 1` the internal energy is exact,
//! `u(T) = ∫₀ᵀ c_v dT = −(R/s)·ln(1 − sT/a)`, and so is its inverse
//! `T(u) = (a/s)·(1 − exp(−su/R))`. So no table and no iteration stands between energy and
//! temperature, and energy balances to round-off. `s = 0` is the gas of constant `γ`,
//! `u = RT/a`. The line usual for a petrol charge, burnt and unburnt alike, is
//! `γ = 1.392 − 8.13e−5·T/K` [GATOWSKI] (from memory).

use super::super::range::within;
use super::error::GasError;

/// An ideal gas with `γ` linear in temperature.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WorkingGas {
    /// Gas constant, J/(kg K).
    gas_constant_j_per_kg_k: f64,
    /// `γ` extrapolated to 0 K, less 1.
    a: f64,
    /// Fall of `γ` with temperature, per kelvin, not negative.
    slope_per_k: f64,
}

impl WorkingGas {
    /// Gas constant of dry air, J/(kg K): 8.314462618 J/(mol K) over 28.9647 g/mol. Fuel vapour
    /// lowers it, combustion raises it, by two per cent or so each.
    pub const AIR_J_PER_KG_K: f64 = 287.055;
    /// `γ` of a petrol charge extrapolated to 0 K [GATOWSKI] (from memory).
    pub const PETROL_GAMMA_AT_ZERO: f64 = 1.392;
    /// Its fall, per kelvin [GATOWSKI] (from memory).
    pub const PETROL_SLOPE_PER_K: f64 = 8.13e-5;
    /// The temperatures at which the gas may be asked for anything, K. Up to the highest `γ` must
    /// stay above 1.
    pub const TEMPERATURE_K: (f64, f64) = (100.0, 4500.0);

    /// Gas constant between 100 and 1000 J/(kg K), `γ` at 0 K between 1.05 and 5/3, fall not
    /// negative.
    ///
    /// # Errors
    /// A value outside, or a fall that brings `γ` down to 1 at the highest temperature.
    pub fn new(
        gas_constant_j_per_kg_k: f64,
        gamma_at_zero: f64,
        slope_per_k: f64,
    ) -> Result<Self, GasError> {
        within("the gas constant", gas_constant_j_per_kg_k, "J/(kg K)", (100.0, 1000.0))?;
        within("the ratio of specific heats at 0 K", gamma_at_zero, "", (1.05, 5.0 / 3.0))?;
        let a = gamma_at_zero - 1.0;
        let most = 0.999 * a / Self::TEMPERATURE_K.1;
        within("the fall of the ratio of specific heats", slope_per_k, "per K", (0.0, most))?;
        Ok(Self { gas_constant_j_per_kg_k, a, slope_per_k })
    }

    /// A gas of constant `γ`.
    ///
    /// # Errors
    /// As [`WorkingGas::new`].
    pub fn constant(gas_constant_j_per_kg_k: f64, gamma: f64) -> Result<Self, GasError> {
        Self::new(gas_constant_j_per_kg_k, gamma, 0.0)
    }

    /// Gas constant, J/(kg K).
    #[must_use]
    pub const fn gas_constant_j_per_kg_k(&self) -> f64 {
        self.gas_constant_j_per_kg_k
    }

    /// `γ` at a temperature.
    #[must_use]
    pub fn gamma(&self, temperature_k: f64) -> f64 {
        1.0 + self.a - self.slope_per_k * temperature_k
    }

    /// Internal energy above 0 K, J/kg.
    #[must_use]
    pub fn energy_j_per_kg(&self, temperature_k: f64) -> f64 {
        let r = self.gas_constant_j_per_kg_k;
        if self.slope_per_k == 0.0 {
            return r * temperature_k / self.a;
        }
        -r / self.slope_per_k * (-self.slope_per_k * temperature_k / self.a).ln_1p()
    }

    /// Enthalpy above 0 K, J/kg.
    #[must_use]
    pub fn enthalpy_j_per_kg(&self, temperature_k: f64) -> f64 {
        self.energy_j_per_kg(temperature_k) + self.gas_constant_j_per_kg_k * temperature_k
    }

    /// The temperature at which the internal energy is this, K.
    #[must_use]
    pub fn temperature_k(&self, energy_j_per_kg: f64) -> f64 {
        let r = self.gas_constant_j_per_kg_k;
        if self.slope_per_k == 0.0 {
            return energy_j_per_kg * self.a / r;
        }
        -self.a / self.slope_per_k * (-self.slope_per_k * energy_j_per_kg / r).exp_m1()
    }
}

impl Default for WorkingGas {
    /// A petrol charge.
    fn default() -> Self {
        Self {
            gas_constant_j_per_kg_k: Self::AIR_J_PER_KG_K,
            a: Self::PETROL_GAMMA_AT_ZERO - 1.0,
            slope_per_k: Self::PETROL_SLOPE_PER_K,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn energy_and_temperature_are_inverse_and_their_slope_is_cv(
            gamma in 1.2..1.5f64, share in 0.0..0.9f64, t in 150.0..4000.0f64,
        ) {
            let gas = WorkingGas::new(287.0, gamma, share * (gamma - 1.0) / 4500.0).unwrap();
            let u = gas.energy_j_per_kg(t);
            prop_assert!((gas.temperature_k(u) / t - 1.0).abs() < 1e-12);
            let slope = (gas.energy_j_per_kg(t + 0.1) - gas.energy_j_per_kg(t - 0.1)) / 0.2;
            let cv = 287.0 / (gas.gamma(t) - 1.0);
            prop_assert!((slope / cv - 1.0).abs() < 1e-6, "{slope} {cv}");
        }

        #[test]
        fn a_fall_that_goes_to_nothing_gives_the_constant_gas(t in 150.0..4000.0f64) {
            let flat = WorkingGas::constant(287.0, 1.35).unwrap();
            let nearly = WorkingGas::new(287.0, 1.35, 1e-12).unwrap();
            let ratio = nearly.energy_j_per_kg(t) / flat.energy_j_per_kg(t);
            prop_assert!((ratio - 1.0).abs() < 1e-8);
        }
    }

    #[test]
    fn gamma_may_not_reach_one() {
        assert!(WorkingGas::new(287.0, 1.392, 8.13e-5).is_ok());
        assert!(WorkingGas::new(287.0, 1.392, 8.8e-5).is_err());
        assert!(WorkingGas::new(287.0, f64::NAN, 0.0).is_err());
    }
}
