//! Numbers on the wire: millimetres, grams and milliradians, rounded to nine decimals, a picometre,
//! past which there is only arithmetic.

use kernel::units::{Angle, Length, Mass};

pub(super) fn mm(length: Length) -> f64 {
    rounded(length.to_mm())
}

pub(super) fn g(mass: Mass) -> f64 {
    rounded(mass.to_g())
}

/// To nine decimals, without a minus on zero.
pub(super) fn rounded(value: f64) -> f64 {
    (value * 1e9).round() / 1e9 + 0.0
}

pub(super) fn three(lengths: [Length; 3]) -> [f64; 3] {
    lengths.map(mm)
}

pub(super) fn mrad(angle: Angle) -> f64 {
    rounded(angle.to_rad() * 1e3)
}
