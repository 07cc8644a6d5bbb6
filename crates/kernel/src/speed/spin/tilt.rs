//! A rotor's inertia against tilt.
//!
//! A rotor that spins at `Ω = ω/3` and tilts by the small slopes `t` (complex, engine axes) obeys
//! `I_d·ẗ − i·I_p·Ω·ṫ = m` (the gyroscope's equation [DEN-HARTOG], derived again for slopes; the
//! test follows a free rotor). A harmonic `t_n·e^{inωt}` then needs
//! `m_n = −(n²·I_d − n·I_p/3)·ω²·t_n`: at `n = 1` inertia helps the tilt along with
//! `(I_d − I_p/3)·ω²`.
//!
//! Where nobody has swung the rotor, its inertias are those of a prism of its outline with a bore
//! for the bearing, scaled to its mass: pockets, hollows and the gear are not told apart.

use super::super::range::within;
use super::error::SpinError;
use crate::geometry::Flank;
use crate::units::Angle;
use std::f64::consts::{FRAC_PI_3, PI};

/// Inertia of a rotor about its own centre.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RotorInertia {
    /// Mass, kg.
    pub mass_kg: f64,
    /// About its axis, `I_p`, kg m².
    pub polar_kg_m2: f64,
    /// About any diameter of its mid-plane, `I_d`, kg m²: with three lobes all are alike.
    pub diametral_kg_m2: f64,
}

/// Azimuths per half of a flank; the outline is smooth there, so the middle rule leaves 1e-7.
const AZIMUTHS: u16 = 600;

impl RotorInertia {
    /// Of a prism of the outline of `flank`, `width_m` wide, with a bore of `bearing_radius_m`,
    /// of this mass in kg.
    ///
    /// # Errors
    /// Mass or width outside their limits, a bore that is not within the flanks.
    pub fn prism(
        flank: &Flank,
        width_m: f64,
        bearing_radius_m: f64,
        mass_kg: f64,
    ) -> Result<Self, SpinError> {
        within("the mass of a rotor", mass_kg, "kg", (1e-4, 1e4))?;
        within("the width of a rotor", width_m, "m", (1e-3, 1.0))?;
        let most = 0.999 * flank.middle_radius().to_m();
        within("the radius of the rotor bearing", bearing_radius_m, "m", (0.0, most))?;
        // Six halves of flanks, 60 degrees each: ∫½r² and ∫¼r⁴ over azimuth.
        let step = FRAC_PI_3 / f64::from(AZIMUTHS);
        let (mut area_m2, mut polar_m4) = (0.0, 0.0);
        for i in 0..AZIMUTHS {
            let azimuth = Angle::rad(step * (f64::from(i) + 0.5));
            let square = flank.outline_radius(azimuth).to_m().powi(2);
            area_m2 += 6.0 * step * 0.5 * square;
            polar_m4 += 6.0 * step * 0.25 * square * square;
        }
        let bore = bearing_radius_m * bearing_radius_m;
        area_m2 -= PI * bore;
        polar_m4 -= 0.5 * PI * bore * bore;
        let polar_kg_m2 = mass_kg * polar_m4 / area_m2;
        let diametral_kg_m2 = 0.5 * polar_kg_m2 + mass_kg * width_m * width_m / 12.0;
        Ok(Self { mass_kg, polar_kg_m2, diametral_kg_m2 })
    }

    /// `(n²·I_d − n·I_p/3)·ω²`, N m per radian of a tilt of order `n` of the shaft's speed: what
    /// inertia adds to the tilting moment in step with the tilt (it is subtracted from stiffness).
    #[must_use]
    pub fn tilt_n_m_per_rad(&self, n: f64, omega_rad_s: f64) -> f64 {
        (n * n * self.diametral_kg_m2 - n * self.polar_kg_m2 / 3.0) * omega_rad_s * omega_rad_s
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::Trochoid;
    use crate::units::Length;
    use nalgebra::{Complex, Rotation3, Vector3};

    fn flank() -> Flank {
        let mm = Length::mm;
        Flank::new(Trochoid::new(mm(105.0), mm(15.0), mm(2.0)).unwrap(), Length::ZERO).unwrap()
    }

    #[test]
    fn the_prism_has_the_outlines_area_and_the_inertia_of_its_polygon() {
        let inertia = RotorInertia::prism(&flank(), 0.0795, 0.0, 4.3).unwrap();
        // A polygon of the outline, by the sum over its triangles.
        let points: Vec<Complex<f64>> = (0..7200)
            .map(|i| {
                let azimuth = f64::from(i) / 20.0;
                let r = flank().outline_radius(Angle::deg(azimuth)).to_m();
                Complex::from_polar(r, azimuth.to_radians())
            })
            .collect();
        let (mut area, mut polar) = (0.0, 0.0);
        for (i, a) in points.iter().enumerate() {
            let b = points[(i + 1) % points.len()];
            let twice = a.re * b.im - a.im * b.re;
            area += 0.5 * twice;
            polar += twice / 12.0 * (a.norm_sqr() + (a * b.conj()).re + b.norm_sqr());
        }
        assert!((area / flank().outline_area().to_m2() - 1.0).abs() < 1e-6);
        assert!((inertia.polar_kg_m2 / (4.3 * polar / area) - 1.0).abs() < 1e-6);
        let bored = RotorInertia::prism(&flank(), 0.0795, 0.05, 4.3).unwrap();
        let ring = PI * 0.05f64.powi(2);
        let expected = 4.3 * (polar - 0.5 * ring * 0.05f64.powi(2)) / (area - ring);
        assert!((bored.polar_kg_m2 / expected - 1.0).abs() < 1e-6);
        let plate = bored.diametral_kg_m2 - 0.5 * bored.polar_kg_m2;
        assert!((plate - 4.3 * 0.0795f64.powi(2) / 12.0).abs() < 1e-12);
        assert!(RotorInertia::prism(&flank(), 0.0795, 0.08, 4.3).is_err());
    }

    #[test]
    fn a_free_rotor_wobbles_as_the_gyroscope_does() {
        // Euler's equations of a free symmetric body in space: its axis turns about the fixed
        // angular momentum at L/I_d ≈ I_p·Ω/I_d for a small wobble. The slope equation without
        // moment has the same: n·ω with n²I_d = n·I_p/3.
        let inertia = RotorInertia::prism(&flank(), 0.0795, 0.05, 4.3).unwrap();
        let omega = 1000.0;
        let wobble = inertia.polar_kg_m2 * omega / 3.0 / inertia.diametral_kg_m2;
        assert!(inertia.tilt_n_m_per_rad(wobble / omega, omega).abs() < 1e-9 * omega * omega);

        // The body followed in steps: axis d, momentum l fixed, spin found from both.
        let (ip, id) = (inertia.polar_kg_m2, inertia.diametral_kg_m2);
        let tilt = 1e-5f64;
        let mut axis = Vector3::new(tilt.sin(), 0.0, tilt.cos());
        let momentum = Vector3::new(0.0, 0.0, ip * omega / 3.0);
        let h = 1e-6;
        let steps = 4000;
        let mut turned = 0.0;
        for _ in 0..steps {
            let spin = |d: &Vector3<f64>| {
                let along = d * momentum.dot(d);
                along / ip + (momentum - along) / id
            };
            let half = Rotation3::new(spin(&axis) * (0.5 * h)) * axis;
            let next = Rotation3::new(spin(&half) * h) * axis;
            turned += (next.y * axis.x - next.x * axis.y) / (axis.x * axis.x + axis.y * axis.y);
            axis = next;
        }
        let rate = turned / (h * f64::from(steps));
        assert!((rate / wobble - 1.0).abs() < 1e-4, "{rate} {wobble}");
        assert!(rate > 0.0);
    }
}
