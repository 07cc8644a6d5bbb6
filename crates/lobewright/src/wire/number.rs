//! Numbers on the wire: millimetres, grams and milliradians, rounded to nine decimals, a picometre,
//! past which there is only arithmetic.

use crate::ops::Amount;
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

const fn length(amount: Amount) -> Option<Length> {
    match amount {
        Amount::Small(length) | Amount::Size(length) => Some(length),
        Amount::Force(_) => None,
    }
}

/// An amount that is a length, in millimetres.
pub(super) fn in_mm(amount: Option<Amount>) -> Option<f64> {
    amount.and_then(length).map(mm)
}

/// An amount that is a load, in newtons.
pub(super) fn in_n(amount: Option<Amount>) -> Option<f64> {
    match amount? {
        Amount::Force(force) => Some(rounded(force.to_n())),
        Amount::Small(_) | Amount::Size(_) => None,
    }
}
