//! Heat lost to the walls, by a coefficient of Woschni's form.
//!
//! `α = C·130·b^−0.2·p^0.8·T^−0.53·w^0.8` W/(m² K), `p` in bar, `b` in m, `w` in m/s, with
//! `w = C₁·c + C₂·(V_s·T_r/(p_r·V_r))·(p − p_m)` [WOSCHNI] (constants from memory; also in
//! [HEYWOOD] chapter 12): `C₁` 6.18 while ports are open, 2.28 while they are shut, `C₂` 3.24e−3
//! m/(s K) from ignition until the exhaust opens, 0 before and after; `r` the gas when the intake
//! closes, `p_m` what its pressure would be without fire. Where the correlation has bore and mean
//! piston speed stand the housing width `b` and the speed of the charge along the bore,
//! `c = ωR/3`: an adaptation of ours, as the factor `C` and the wall temperature are defaults of
//! common practice without a source.

use super::super::range::within;
use super::error::GasError;

/// Wall temperature and how much of the coefficient counts.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WallLoss {
    /// Mean temperature of flank, bore and side housings, K.
    pub wall_temperature_k: f64,
    /// `C`: 0 for walls that take no heat, 1 for the coefficient as it stands.
    pub factor: f64,
}

impl Default for WallLoss {
    /// Common practice, no source.
    fn default() -> Self {
        Self { wall_temperature_k: 480.0, factor: 1.0 }
    }
}

impl WallLoss {
    pub(super) fn checked(self) -> Result<Self, GasError> {
        within("the wall temperature", self.wall_temperature_k, "K", (200.0, 1500.0))?;
        within("the factor of the wall loss", self.factor, "", (0.0, 10.0))?;
        Ok(self)
    }
}

/// `C₁` with shut ports [WOSCHNI].
pub(super) const SHUT: f64 = 2.28;
/// `C₁` with open ports [WOSCHNI].
pub(super) const OPEN: f64 = 6.18;
/// `C₂`, m/(s K) [WOSCHNI].
pub(super) const FIRE: f64 = 3.24e-3;

/// Coefficient of heat transfer, W/(m² K); `speed_m_per_s` is `w`.
pub(super) fn coefficient_w_per_m2_k(
    width_m: f64,
    pressure_pa: f64,
    temperature_k: f64,
    speed_m_per_s: f64,
) -> f64 {
    // b^−0.2 (p/1e5)^0.8 T^−0.53 w^0.8 in one exponential.
    let exponent = 0.8 * (pressure_pa * 1e-5 * speed_m_per_s).ln()
        - 0.53 * temperature_k.ln()
        - 0.2 * width_m.ln();
    130.0 * exponent.exp()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_coefficient_is_the_product_of_powers() {
        let expected = 130.0
            * 0.08f64.powf(-0.2)
            * 50.0f64.powf(0.8)
            * 2000.0f64.powf(-0.53)
            * 90.0f64.powf(0.8);
        let got = coefficient_w_per_m2_k(0.08, 50e5, 2000.0, 90.0);
        assert!((got / expected - 1.0).abs() < 1e-12);
    }
}
