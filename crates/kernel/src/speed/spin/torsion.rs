//! The shaft in torsion: inertias in a row with springs between them.
//!
//! Between two stations the shaft is a torsional spring, `k = GJ/L`, `J = π(D⁴ − d⁴)/32`, in
//! series where sections follow each other. A rotor turns with its journal at a third of the
//! shaft's speed, so it counts on the shaft as `m·e² + I_p/9` (the sum of its energies), and that
//! does not vary with the angle: a rotary engine has no torque of inertia of its own. Natural
//! frequencies are those of `M^−½·K·M^−½`; the first is 0, the shaft turning as one.

use super::super::range::within;
use super::error::{SpinError, counted};
use nalgebra::{DMatrix, SymmetricEigen};
use std::f64::consts::{PI, TAU};

/// What a rotor adds to the shaft's inertia at its journal, kg m²: `m·e² + I_p/9`, from its mass
/// in kg (with the oil it carries), the eccentricity in m and its polar inertia in kg m².
#[must_use]
pub fn rotor_on_shaft_kg_m2(mass_kg: f64, eccentricity_m: f64, polar_kg_m2: f64) -> f64 {
    mass_kg * eccentricity_m * eccentricity_m + polar_kg_m2 / 9.0
}

/// A length of shaft of one cross-section.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ShaftSection {
    /// Length, m.
    pub length_m: f64,
    /// Outer diameter, m.
    pub outer_m: f64,
    /// Diameter of its bore, m, 0 for none.
    pub inner_m: f64,
    /// Shear modulus, Pa.
    pub shear_pa: f64,
}

impl ShaftSection {
    /// Twist per torque, rad/(N m).
    fn compliance_rad_per_n_m(&self) -> Result<f64, SpinError> {
        within("the length of a section", self.length_m, "m", (1e-4, 10.0))?;
        within("the outer diameter of a section", self.outer_m, "m", (1e-3, 1.0))?;
        within("the bore of a section", self.inner_m, "m", (0.0, 0.99 * self.outer_m))?;
        within("the shear modulus", self.shear_pa, "Pa", (1e9, 5e11))?;
        let polar_m4 = PI / 32.0 * (self.outer_m.powi(4) - self.inner_m.powi(4));
        Ok(self.length_m / (self.shear_pa * polar_m4))
    }
}

/// An inertia at a place along the shaft.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct InertiaAt {
    /// Distance from the shaft's front end, m.
    pub z_m: f64,
    /// Inertia about the shaft's axis, kg m².
    pub inertia_kg_m2: f64,
}

/// Inertias in a row from front to rear, with the torsional stiffness between neighbours.
#[derive(Debug, Clone, PartialEq)]
pub struct TorsionChain {
    inertia_kg_m2: Vec<f64>,
    stiffness_n_m_per_rad: Vec<f64>,
}

/// A way in which the shaft twists by itself.
#[derive(Debug, Clone, PartialEq)]
pub struct TorsionMode {
    /// Natural frequency, rad/s; 0 for turning as one.
    pub omega_rad_s: f64,
    /// Twist of each station, scaled to a modal inertia of 1 kg m²: `Σ J·φ² = 1`.
    pub shape: Vec<f64>,
}

impl TorsionMode {
    /// Natural frequency, Hz.
    #[must_use]
    pub const fn frequency_hz(&self) -> f64 {
        self.omega_rad_s / TAU
    }

    /// The speed of the shaft at which its order `order` meets this mode, r/min.
    #[must_use]
    pub const fn crossing_rpm(&self, order: f64) -> f64 {
        60.0 * self.frequency_hz() / order
    }
}

/// Bound of the eigenvalue iteration.
const MOST_ITERATIONS: usize = 10_000;
/// Stations at most: the finest division of a shaft that serves any purpose.
const MOST_STATIONS: usize = 200;

impl TorsionChain {
    /// Inertias, kg m², and the stiffness between neighbours, N m/rad: one fewer.
    ///
    /// # Errors
    /// Fewer than two or more than 200 stations, a list of another length, a value not above
    /// nothing.
    pub fn new(
        inertia_kg_m2: Vec<f64>,
        stiffness_n_m_per_rad: Vec<f64>,
    ) -> Result<Self, SpinError> {
        let stations = inertia_kg_m2.len();
        if !(2..=MOST_STATIONS).contains(&stations) {
            let wanted = if stations < 2 { 2 } else { MOST_STATIONS };
            return Err(SpinError::Count { list: "the list of inertias", got: stations, wanted });
        }
        counted("the list of stiffnesses", stiffness_n_m_per_rad.len(), stations - 1)?;
        for inertia in &inertia_kg_m2 {
            within("an inertia on the shaft", *inertia, "kg m2", (1e-9, 1e4))?;
        }
        for stiffness in &stiffness_n_m_per_rad {
            within("a torsional stiffness", *stiffness, "N m/rad", (1e-3, 1e12))?;
        }
        Ok(Self { inertia_kg_m2, stiffness_n_m_per_rad })
    }

    /// From sections, front to rear, and inertias at places along them, front to rear. Inertia of
    /// the shaft's own metal must be among them; it is small beside rotors and flywheel.
    ///
    /// # Errors
    /// A section outside its limits; places that do not follow each other along the shaft; what
    /// [`TorsionChain::new`] refuses.
    pub fn from_sections(
        sections: &[ShaftSection],
        inertias: &[InertiaAt],
    ) -> Result<Self, SpinError> {
        let end_m: f64 = sections.iter().map(|section| section.length_m).sum();
        let slack_m = 1e-9 * end_m;
        let compliances: Vec<f64> =
            sections.iter().map(ShaftSection::compliance_rad_per_n_m).collect::<Result<_, _>>()?;
        // Twist per torque from the front end to a place.
        let to = |z_m: f64| {
            let (mut from_m, mut sum) = (0.0, 0.0);
            for (section, compliance) in sections.iter().zip(&compliances) {
                sum += compliance * ((z_m - from_m) / section.length_m).clamp(0.0, 1.0);
                from_m += section.length_m;
            }
            sum
        };
        let mut before_m = -slack_m - f64::MIN_POSITIVE;
        for inertia in inertias {
            let z_m = inertia.z_m;
            // A NaN is not after anything.
            if !(z_m > before_m && z_m <= end_m + slack_m) {
                return Err(SpinError::Place { place: "an inertia", z_m, before_m, end_m });
            }
            before_m = z_m;
        }
        let stiffness =
            inertias.windows(2).map(|pair| 1.0 / (to(pair[1].z_m) - to(pair[0].z_m))).collect();
        Self::new(inertias.iter().map(|inertia| inertia.inertia_kg_m2).collect(), stiffness)
    }

    /// Inertias, kg m².
    #[must_use]
    pub fn inertia_kg_m2(&self) -> &[f64] {
        &self.inertia_kg_m2
    }

    /// Stiffness between neighbours, N m/rad.
    #[must_use]
    pub fn stiffness_n_m_per_rad(&self) -> &[f64] {
        &self.stiffness_n_m_per_rad
    }

    /// All modes, slowest first; the first is the shaft turning as one.
    ///
    /// # Errors
    /// Eigenvalues that are not found within a bound.
    pub fn modes(&self) -> Result<Vec<TorsionMode>, SpinError> {
        let stations = self.inertia_kg_m2.len();
        let root: Vec<f64> = self.inertia_kg_m2.iter().map(|j| j.sqrt()).collect();
        let mut matrix = DMatrix::<f64>::zeros(stations, stations);
        for (i, k) in self.stiffness_n_m_per_rad.iter().enumerate() {
            matrix[(i, i)] += k / (root[i] * root[i]);
            matrix[(i + 1, i + 1)] += k / (root[i + 1] * root[i + 1]);
            matrix[(i, i + 1)] -= k / (root[i] * root[i + 1]);
            matrix[(i + 1, i)] -= k / (root[i] * root[i + 1]);
        }
        let eigen = SymmetricEigen::try_new(matrix, f64::EPSILON, MOST_ITERATIONS)
            .ok_or(SpinError::NoModes { stations, iterations: MOST_ITERATIONS })?;
        let mut modes: Vec<TorsionMode> = (0..stations)
            .map(|i| TorsionMode {
                omega_rad_s: eigen.eigenvalues[i].max(0.0).sqrt(),
                shape: (0..stations).map(|s| eigen.eigenvectors[(s, i)] / root[s]).collect(),
            })
            .collect();
        modes.sort_by(|a, b| a.omega_rad_s.total_cmp(&b.omega_rad_s));
        // Turning as one is known exactly: what round-off left of it would count as a spring.
        let whole = self.inertia_kg_m2.iter().sum::<f64>().sqrt();
        if let Some(first) = modes.first_mut() {
            *first = TorsionMode { omega_rad_s: 0.0, shape: vec![1.0 / whole; stations] };
        }
        Ok(modes)
    }

    /// The first mode in which the shaft twists.
    ///
    /// # Errors
    /// As [`TorsionChain::modes`].
    pub fn first_mode(&self) -> Result<TorsionMode, SpinError> {
        let stations = self.inertia_kg_m2.len();
        let missing = SpinError::NoModes { stations, iterations: MOST_ITERATIONS };
        self.modes()?.into_iter().nth(1).ok_or(missing)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn two_inertias_swing_at_the_closed_form(
            j in 1e-3..1.0f64, ratio in 0.1..50.0f64, k in 1e3..1e6f64,
        ) {
            // ω² = k(1/J₁ + 1/J₂) [DEN-HARTOG].
            let mode = TorsionChain::new(vec![j, j * ratio], vec![k]).unwrap().first_mode().unwrap();
            let expected = (k * (1.0 / j + 1.0 / (j * ratio))).sqrt();
            prop_assert!((mode.omega_rad_s / expected - 1.0).abs() < 1e-12);
        }

        #[test]
        fn three_inertias_swing_at_the_roots_of_their_quadratic_and_close_holzers_table(
            j1 in 0.01..1.0f64, j2 in 0.01..1.0f64, j3 in 0.01..1.0f64,
            k1 in 1e4..1e6f64, k2 in 1e4..1e6f64,
        ) {
            // ω⁴ − ω²(k₁(1/J₁+1/J₂) + k₂(1/J₂+1/J₃)) + k₁k₂(J₁+J₂+J₃)/(J₁J₂J₃) = 0 [DEN-HARTOG].
            let chain = TorsionChain::new(vec![j1, j2, j3], vec![k1, k2]).unwrap();
            let modes = chain.modes().unwrap();
            let half = 0.5 * (k1 * (1.0 / j1 + 1.0 / j2) + k2 * (1.0 / j2 + 1.0 / j3));
            let product = k1 * k2 * (j1 + j2 + j3) / (j1 * j2 * j3);
            let larger = half + (half * half - product).sqrt();
            for (mode, square) in modes[1..].iter().zip([product / larger, larger]) {
                prop_assert!((mode.omega_rad_s / square.sqrt() - 1.0).abs() < 1e-9);
                // Holzer: from station to station, the torque left at the end is nothing.
                let (mut twist, mut torque) = (1.0, 0.0);
                for (i, j) in [j1, j2, j3].into_iter().enumerate() {
                    torque += square * j * twist;
                    if let Some(k) = [k1, k2].get(i) {
                        twist -= torque / k;
                    }
                }
                prop_assert!(torque.abs() < 1e-6 * square * j1.max(j2).max(j3));
                let inertia: f64 =
                    [j1, j2, j3].iter().zip(&mode.shape).map(|(j, s)| j * s * s).sum();
                prop_assert!((inertia - 1.0).abs() < 1e-9);
            }
        }
    }

    #[test]
    fn sections_in_series_add_their_twists() {
        let section = |length_m, outer_m, inner_m| ShaftSection {
            length_m,
            outer_m,
            inner_m,
            shear_pa: 80e9,
        };
        let sections = [section(0.2, 0.05, 0.0), section(0.3, 0.04, 0.02)];
        let at = |z_m| InertiaAt { z_m, inertia_kg_m2: 0.1 };
        let chain = TorsionChain::from_sections(&sections, &[at(0.1), at(0.35)]).unwrap();
        let polar = |d: f64, i: f64| PI / 32.0 * (d.powi(4) - i.powi(4));
        let twist = 0.1 / (80e9 * polar(0.05, 0.0)) + 0.15 / (80e9 * polar(0.04, 0.02));
        assert!((chain.stiffness_n_m_per_rad()[0] * twist - 1.0).abs() < 1e-12);
        assert!(TorsionChain::from_sections(&sections, &[at(0.3), at(0.2)]).is_err());
        assert!(TorsionChain::from_sections(&sections, &[at(0.3), at(0.6)]).is_err());
        assert!(TorsionChain::from_sections(&sections, &[at(0.0), at(0.5)]).is_ok());
        assert!(TorsionChain::new(vec![1.0], vec![]).is_err());
        assert!(TorsionChain::new(vec![1.0, f64::NAN], vec![1e5]).is_err());
    }

    #[test]
    fn an_order_crosses_where_it_makes_the_natural_frequency() {
        let mode = TorsionMode { omega_rad_s: TAU * 300.0, shape: vec![] };
        assert!((mode.crossing_rpm(2.0) - 9000.0).abs() < 1e-9);
        assert!((rotor_on_shaft_kg_m2(4.0, 0.015, 0.018) - 0.0029).abs() < 1e-15);
    }
}
