//! A stretch of the shaft with one section, and what the section is good for.

use super::error::ShaftError;
use super::model::SAME_PLACE_M;
use std::f64::consts::PI;

/// Longest stretch, in diameters: a shaft is no wire, and the number of elements stays bounded.
const MOST_DIAMETERS: f64 = 1000.0;

/// A stretch of constant circular section, solid or hollow, of one material.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stretch {
    /// Length along the shaft, more than 0.
    pub length_m: f64,
    /// Outer diameter, more than 0.
    pub outer_m: f64,
    /// Diameter of the hollow, 0 for a solid stretch, less than the outer one.
    pub inner_m: f64,
    /// Young's modulus, more than 0.
    pub young_pa: f64,
    /// Poisson's ratio, from 0 to below 0.5. The shear modulus is `E / (2 (1 + ν))`.
    pub poisson: f64,
    /// Density, more than 0.
    pub density_kg_m3: f64,
}

impl Stretch {
    /// Area of the section.
    #[must_use]
    pub fn area_m2(&self) -> f64 {
        PI / 4.0 * (self.outer_m * self.outer_m - self.inner_m * self.inner_m)
    }

    /// Second moment of area about a diameter; the polar one is twice that.
    #[must_use]
    pub fn second_moment_m4(&self) -> f64 {
        PI / 64.0 * (self.outer_m.powi(4) - self.inner_m.powi(4))
    }

    /// Shear modulus.
    #[must_use]
    pub fn shear_pa(&self) -> f64 {
        self.young_pa / (2.0 * (1.0 + self.poisson))
    }

    /// Mass of the stretch.
    #[must_use]
    pub fn mass_kg(&self) -> f64 {
        self.density_kg_m3 * self.area_m2() * self.length_m
    }

    /// Shear coefficient `κ` of the circular section with a concentric hollow: shear force is
    /// `κ G A` times the shear angle. [COWPER], table of section shapes; from memory, and equal
    /// to `6 (1 + ν) / (7 + 6 ν)` for the solid one, as it must be.
    #[must_use]
    pub fn shear_coefficient(&self) -> f64 {
        let m2 = (self.inner_m / self.outer_m).powi(2);
        let (nu, square) = (self.poisson, (1.0 + m2) * (1.0 + m2));
        6.0 * (1.0 + nu) * square / ((7.0 + 6.0 * nu) * square + (20.0 + 12.0 * nu) * m2)
    }

    pub(super) fn check(&self, number: usize) -> Result<(), ShaftError> {
        let part = "section";
        for (what, value, unit) in [
            ("its length", self.length_m, "m"),
            ("its diameter", self.outer_m, "m"),
            ("Young's modulus", self.young_pa, "Pa"),
            ("its density", self.density_kg_m3, "kg/m3"),
        ] {
            if !(value > 0.0 && value.is_finite()) {
                return Err(ShaftError::Size { part, number, what, value, unit });
            }
        }
        let (inner_m, outer_m) = (self.inner_m, self.outer_m);
        if !(inner_m >= 0.0 && inner_m.is_finite()) {
            let what = "its hollow";
            return Err(ShaftError::Negative { part, number, what, value: inner_m, unit: "m" });
        }
        if inner_m >= outer_m {
            return Err(ShaftError::Hollow { number, inner_m, outer_m });
        }
        let (length_m, most, least_m) = (self.length_m, MOST_DIAMETERS, SAME_PLACE_M);
        if length_m > most * outer_m || length_m <= least_m {
            return Err(ShaftError::Length { number, length_m, outer_m, most, least_m });
        }
        if !(0.0..0.5).contains(&self.poisson) {
            return Err(ShaftError::Poisson { number, value: self.poisson });
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn stretch(inner_m: f64) -> Stretch {
        Stretch {
            length_m: 0.1,
            outer_m: 0.04,
            inner_m,
            young_pa: 206e9,
            poisson: 0.3,
            density_kg_m3: 7850.0,
        }
    }

    #[test]
    fn a_solid_section_has_cowpers_coefficient() {
        // 6 · 1.3 / 8.8
        assert!((stretch(0.0).shear_coefficient() - 0.886_363_636_363_636_4).abs() < 1e-15);
    }

    /// The thin tube of the same table: `2 (1 + ν) / (4 + 3 ν)`.
    #[test]
    fn a_thin_tube_has_the_thin_tubes_coefficient() {
        let thin = stretch(0.04 * (1.0 - 1e-7)).shear_coefficient();
        assert!((thin - 2.0 * 1.3 / 4.9).abs() < 1e-7);
    }

    #[test]
    fn a_hollow_section_is_outside_less_inside() {
        let (whole, bored) = (stretch(0.0), stretch(0.02));
        assert!((bored.area_m2() / whole.area_m2() - 0.75).abs() < 1e-15);
        assert!((bored.second_moment_m4() / whole.second_moment_m4() - 0.9375).abs() < 1e-15);
        assert!((whole.second_moment_m4() - 1.256_637_061_4e-7).abs() < 1e-17);
    }
}
