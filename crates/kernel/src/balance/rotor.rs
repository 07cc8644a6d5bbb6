//! A rotor as a body: its mass, its mass centre along its axis, its unbalance about its own bore,
//! and what cuts, pockets and carried parts do to all of them.

use crate::plan::CutMoments;
use crate::units::Density;
use nalgebra::Complex;

/// Metal, or a part, in or on a rotor.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Lump {
    /// Mass.
    pub mass_kg: f64,
    /// Mass centre from the mid-plane, towards the gear face.
    pub offset_m: f64,
    /// Mass times distance from the bore's axis, complex from tip 1 towards tip 2.
    pub unbalance_kg_m: Complex<f64>,
    /// Moment of inertia about the bore's axis.
    pub polar_kg_m2: f64,
    /// The same about a line across it in the mid-plane, the mean of all such lines.
    pub diametral_kg_m2: f64,
}

impl Lump {
    /// What a cut takes. Azimuths of rotor axes go against the count of the tips, so the vector's
    /// second part changes its sign.
    #[must_use]
    pub fn of_cut(cut: &CutMoments, density: Density) -> Self {
        let rho = density.to_kg_per_m3();
        let polar_kg_m2 = rho * cut.polar_m5;
        let offset_m = if cut.volume_m3 > 0.0 { cut.z_m4 / cut.volume_m3 } else { 0.0 };
        Self {
            mass_kg: rho * cut.volume_m3,
            offset_m,
            unbalance_kg_m: Complex::new(cut.xy_m4[0], -cut.xy_m4[1]) * rho,
            polar_kg_m2,
            diametral_kg_m2: 0.5 * polar_kg_m2 + rho * cut.zz_m5,
        }
    }

    /// Parts that lie evenly round the rotor, of which no more is known.
    #[must_use]
    pub fn evenly(mass_kg: f64, offset_m: f64) -> Self {
        Self { mass_kg, offset_m, ..Self::default() }
    }

    /// Metal at one place.
    #[must_use]
    pub fn at(mass_kg: f64, angle_rad: f64, radius_m: f64, offset_m: f64) -> Self {
        let polar_kg_m2 = mass_kg * radius_m * radius_m;
        Self {
            mass_kg,
            offset_m,
            unbalance_kg_m: Complex::from_polar(mass_kg * radius_m, angle_rad),
            polar_kg_m2,
            diametral_kg_m2: 0.5 * polar_kg_m2 + mass_kg * offset_m * offset_m,
        }
    }
}

/// A rotor with what it carries.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RotorBody {
    /// Mass.
    pub mass_kg: f64,
    /// Mass centre from the mid-plane, towards the gear face.
    pub mass_centre_m: f64,
    /// About its own bore, complex from tip 1 towards tip 2.
    pub unbalance_kg_m: Complex<f64>,
    /// How much its inertia about its axis has grown since it was given.
    pub polar_change_kg_m2: f64,
    /// How much its inertia about a line across it has grown.
    pub diametral_change_kg_m2: f64,
}

impl RotorBody {
    /// A rotor as it was weighed and read.
    #[must_use]
    pub const fn new(mass_kg: f64, mass_centre_m: f64, unbalance_kg_m: Complex<f64>) -> Self {
        Self {
            mass_kg,
            mass_centre_m,
            unbalance_kg_m,
            polar_change_kg_m2: 0.0,
            diametral_change_kg_m2: 0.0,
        }
    }

    /// With this on it.
    #[must_use]
    pub fn with(self, lump: &Lump) -> Self {
        self.changed(lump, 1.0)
    }

    /// With this taken off it.
    #[must_use]
    pub fn without(self, lump: &Lump) -> Self {
        self.changed(lump, -1.0)
    }

    fn changed(self, lump: &Lump, sign: f64) -> Self {
        let mass_kg = self.mass_kg + sign * lump.mass_kg;
        let axial_kg_m = self.mass_kg * self.mass_centre_m + sign * lump.mass_kg * lump.offset_m;
        Self {
            mass_kg,
            mass_centre_m: if mass_kg > 0.0 { axial_kg_m / mass_kg } else { 0.0 },
            unbalance_kg_m: self.unbalance_kg_m + lump.unbalance_kg_m * sign,
            polar_change_kg_m2: self.polar_change_kg_m2 + sign * lump.polar_kg_m2,
            diametral_change_kg_m2: self.diametral_change_kg_m2 + sign * lump.diametral_kg_m2,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;
    use std::f64::consts::TAU;

    /// A body of points, against the sums over its points.
    #[derive(Debug, Clone)]
    struct Points(Vec<[f64; 4]>);

    impl Points {
        fn sums(&self) -> (f64, f64, Complex<f64>, f64, f64) {
            let mut all = (0.0, 0.0, Complex::new(0.0, 0.0), 0.0, 0.0);
            for [m, x, y, z] in &self.0 {
                all.0 += m;
                all.1 += m * z;
                all.2 += Complex::new(*x, *y) * *m;
                all.3 += m * (x * x + y * y);
                all.4 += m * (0.5 * (x * x + y * y) + z * z);
            }
            all
        }
    }

    proptest! {
        #[test]
        fn what_is_put_on_and_taken_off_adds_up(
            lumps in prop::collection::vec(
                (0.001..0.2f64, 0.0..TAU, 0.0..0.1f64, -0.04..0.04f64), 1..8),
            mass in 2.0..6.0f64, centre in -2e-3..2e-3f64,
        ) {
            let start = RotorBody::new(mass, centre, Complex::new(1e-4, -2e-4));
            let put = lumps.iter().fold(start, |body, (m, angle, r, z)| {
                body.with(&Lump::at(*m, *angle, *r, *z))
            });
            let points = Points(
                lumps.iter().map(|(m, a, r, z)| [*m, r * a.cos(), r * a.sin(), *z]).collect(),
            );
            let (m, mz, u, polar, diametral) = points.sums();
            prop_assert!((put.mass_kg - mass - m).abs() < 1e-12);
            prop_assert!((put.mass_kg * put.mass_centre_m - mass * centre - mz).abs() < 1e-12);
            prop_assert!((put.unbalance_kg_m - start.unbalance_kg_m - u).norm() < 1e-12);
            prop_assert!((put.polar_change_kg_m2 - polar).abs() < 1e-12);
            prop_assert!((put.diametral_change_kg_m2 - diametral).abs() < 1e-12);
            let back = lumps.iter().fold(put, |body, (m, angle, r, z)| {
                body.without(&Lump::at(*m, *angle, *r, *z))
            });
            prop_assert!((back.mass_kg - mass).abs() < 1e-12);
            prop_assert!((back.mass_centre_m - centre).abs() < 1e-12);
            prop_assert!((back.unbalance_kg_m - start.unbalance_kg_m).norm() < 1e-12);
        }
    }

    /// Tip 2 lies at azimuth −120°, so metal taken there is at +120° of the balance.
    #[test]
    fn azimuths_go_against_the_count_of_the_tips() {
        let azimuth = -TAU / 3.0;
        let cut = CutMoments {
            volume_m3: 1e-6,
            xy_m4: [1e-6 * 0.09 * azimuth.cos(), 1e-6 * 0.09 * azimuth.sin()],
            z_m4: 1e-6 * 0.04,
            ..CutMoments::default()
        };
        let lump = Lump::of_cut(&cut, Density::kg_per_m3(7100.0));
        let [expected, found] =
            [Complex::from_polar(7.1e-3 * 0.09, TAU / 3.0), lump.unbalance_kg_m];
        assert!((expected - found).norm() < 1e-15, "{found}");
        assert!((lump.offset_m - 0.04).abs() < 1e-15);
        assert_eq!(Lump::of_cut(&CutMoments::default(), Density::kg_per_m3(7100.0)).offset_m, 0.0);
    }
}
