//! Noise, the same on every machine: for what is drawn by chance to be counted, and for tests.

use nalgebra::Complex;
use std::f64::consts::TAU;

/// Standard normal numbers by Box and Muller from a splitmix64 sequence.
pub(crate) struct Normals(pub(crate) u64);

impl Normals {
    pub(crate) fn uniform(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        (((z ^ (z >> 31)) >> 11) as f64 + 0.5) / (1_u64 << 53) as f64
    }

    /// Two at a time, as the parts of a number.
    pub(crate) fn arrow(&mut self) -> Complex<f64> {
        let radius = (-2.0 * self.uniform().ln()).sqrt();
        Complex::from_polar(radius, TAU * self.uniform())
    }

    pub(crate) fn next(&mut self) -> f64 {
        self.arrow().re
    }
}
