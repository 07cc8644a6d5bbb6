//! Points in the plane across the shaft, a type per set of axes so that they are not mixed.

use crate::units::Length;
use nalgebra::Complex;

/// A point in engine axes: `x` along the long axis of the bore, `y` towards the waist where
/// combustion happens, from the shaft axis.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct EnginePoint {
    /// Along the long axis of the bore.
    pub x: Length,
    /// Towards the hot waist.
    pub y: Length,
}

/// A point in rotor axes, from the axis of the bearing bore: `x` along the radius of a tip (of
/// tip 1 where tips are told apart), `y` a quarter turn on, seen with `z_r` towards the eye.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RotorPoint {
    /// Along the radius of the tip.
    pub x: Length,
    /// Square to it.
    pub y: Length,
}

impl EnginePoint {
    pub(super) const fn from_complex_m(z_m: Complex<f64>) -> Self {
        Self { x: Length::m(z_m.re), y: Length::m(z_m.im) }
    }

    /// Distance from the shaft axis.
    #[must_use]
    pub fn radius(self) -> Length {
        Length::m(self.x.to_m().hypot(self.y.to_m()))
    }
}

impl RotorPoint {
    pub(super) const fn from_complex_m(w_m: Complex<f64>) -> Self {
        Self { x: Length::m(w_m.re), y: Length::m(w_m.im) }
    }

    /// Distance from the axis of the bearing bore.
    #[must_use]
    pub fn radius(self) -> Length {
        Length::m(self.x.to_m().hypot(self.y.to_m()))
    }
}
