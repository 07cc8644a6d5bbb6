//! How well the invented engine is known, for tests and benches that draw.

use kernel::speed::engine::{RotorUncertainty, Uncertainty};

/// How well the sample with two rotors is known.
pub(crate) fn uncertainty() -> Uncertainty {
    let heights_factor_m =
        std::array::from_fn(|i| std::array::from_fn(|j| if i == j { 2.5e-6 } else { 0.0 }));
    Uncertainty {
        rotors: vec![RotorUncertainty { heights_factor_m, width_m: 2e-6, clearance: 0.1 }; 2],
        rise_k: 8.0,
        expansion: 0.03,
        viscosity: 0.2,
        peak_pressure: 0.08,
        shaft: 0.2,
        mesh: 0.3,
        side: 0.5,
        model: 0.3,
    }
}
