//! Main bearings as the shaft feels them: springs and dampers between the shaft and the ground.

use super::error::ShaftError;
use nalgebra::{Complex, DMatrix};

/// The shaft taken as rigid must be held at least this much against the least held motion,
/// relative to the best held one. Doubles lose the rest.
const HELD: f64 = 1e-12;

/// Stiffness and damping of a support, in the stationary frame. Rows are the answer, columns the
/// cause: the force on the shaft is `−K (u_x, u_y) − C (u̇_x, u̇_y)`, the moment on it, in slope
/// coordinates (its work is moment times change of slope), the same with the slopes. Matrices may
/// be anisotropic and cross-coupled; every entry is finite.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Rates {
    /// Force per deflection.
    pub stiffness_n_per_m: [[f64; 2]; 2],
    /// Force per velocity.
    pub damping_n_s_per_m: [[f64; 2]; 2],
    /// Moment per slope.
    pub moment_stiffness_n_m_per_rad: [[f64; 2]; 2],
    /// Moment per rate of slope.
    pub moment_damping_n_m_s_per_rad: [[f64; 2]; 2],
}

/// A main bearing at its place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Support {
    /// Distance of its mid-plane from the front end of the shaft.
    pub at_m: f64,
    /// What it does.
    pub rates: Rates,
}

/// A real 2×2 matrix in the complex coordinate: `K (x, y)` becomes `direct u + mirrored ū`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Turned {
    pub(super) direct: Complex<f64>,
    pub(super) mirrored: Complex<f64>,
}

impl Turned {
    fn new(k: [[f64; 2]; 2]) -> Self {
        let [[xx, xy], [yx, yy]] = k;
        Self {
            direct: Complex::new(0.5 * (xx + yy), 0.5 * (yx - xy)),
            mirrored: Complex::new(0.5 * (xx - yy), 0.5 * (yx + xy)),
        }
    }
}

impl Rates {
    /// The same in every direction, without cross-coupling.
    #[must_use]
    pub fn isotropic(
        stiffness_n_per_m: f64,
        damping_n_s_per_m: f64,
        moment_stiffness_n_m_per_rad: f64,
        moment_damping_n_m_s_per_rad: f64,
    ) -> Self {
        let even = |value: f64| [[value, 0.0], [0.0, value]];
        Self {
            stiffness_n_per_m: even(stiffness_n_per_m),
            damping_n_s_per_m: even(damping_n_s_per_m),
            moment_stiffness_n_m_per_rad: even(moment_stiffness_n_m_per_rad),
            moment_damping_n_m_s_per_rad: even(moment_damping_n_m_s_per_rad),
        }
    }

    pub(super) fn check(&self, number: usize) -> Result<(), ShaftError> {
        for (what, matrix, unit) in [
            ("its stiffness", self.stiffness_n_per_m, "N/m"),
            ("its damping", self.damping_n_s_per_m, "N s/m"),
            ("its moment stiffness", self.moment_stiffness_n_m_per_rad, "N m/rad"),
            ("its moment damping", self.moment_damping_n_m_s_per_rad, "N m s/rad"),
        ] {
            for value in matrix.into_iter().flatten() {
                if !value.is_finite() {
                    let part = "main bearing";
                    return Err(ShaftError::NotFinite { part, number, what, value, unit });
                }
            }
        }
        Ok(())
    }

    /// Force rates against deflection: stiffness, damping.
    pub(super) fn radial(&self) -> [Turned; 2] {
        [Turned::new(self.stiffness_n_per_m), Turned::new(self.damping_n_s_per_m)]
    }

    /// Moment rates against slope: stiffness, damping.
    pub(super) fn moment(&self) -> [Turned; 2] {
        [
            Turned::new(self.moment_stiffness_n_m_per_rad),
            Turned::new(self.moment_damping_n_m_s_per_rad),
        ]
    }

    /// Whether forward and backward motion meet here.
    pub(super) fn mixes(&self) -> bool {
        self.radial().iter().chain(&self.moment()).any(|turned| turned.mirrored.norm() != 0.0)
    }
}

/// Refuses supports that leave the shaft, taken as rigid, free to move or tilt.
pub(super) fn check_held(supports: &[Support], length_m: f64) -> Result<(), ShaftError> {
    // Motion: x, y of the middle, then the slopes times the length, so that all are metres.
    let mut held = DMatrix::<f64>::zeros(4, 4);
    for support in supports {
        let arm = support.at_m / length_m - 0.5;
        for i in 0..2 {
            for j in 0..2 {
                let k = support.rates.stiffness_n_per_m[i][j];
                let tilt = support.rates.moment_stiffness_n_m_per_rad[i][j];
                held[(i, j)] += k;
                held[(i, j + 2)] += k * arm;
                held[(i + 2, j)] += k * arm;
                held[(i + 2, j + 2)] += k * arm * arm + tilt / (length_m * length_m);
            }
        }
    }
    let values = held.singular_values();
    let ratio = if values.max() > 0.0 { values.min() / values.max() } else { 0.0 };
    if ratio < HELD {
        return Err(ShaftError::NotHeld { ratio, least: HELD });
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn the_complex_form_is_the_matrix(
            k in prop::array::uniform2(prop::array::uniform2(-5.0_f64..5.0)),
            x in -2.0_f64..2.0,
            y in -2.0_f64..2.0,
        ) {
            let turned = Turned::new(k);
            let u = Complex::new(x, y);
            let force = turned.direct * u + turned.mirrored * u.conj();
            prop_assert!((force.re - (k[0][0] * x + k[0][1] * y)).abs() < 1e-13);
            prop_assert!((force.im - (k[1][0] * x + k[1][1] * y)).abs() < 1e-13);
        }
    }

    #[test]
    fn only_what_is_not_isotropic_mixes() {
        let mut rates = Rates::isotropic(1e8, 1e3, 1e4, 1.0);
        assert!(!rates.mixes());
        // Isotropic cross-coupling, as of a centred film: still circular.
        rates.stiffness_n_per_m[0][1] = 1e7;
        rates.stiffness_n_per_m[1][0] = -1e7;
        assert!(!rates.mixes());
        rates.moment_damping_n_m_s_per_rad[0][0] = 2.0;
        assert!(rates.mixes());
    }
}
