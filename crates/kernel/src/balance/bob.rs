//! Bob weights: what stands for the rotors while the shaft spins on the balancing machine.
//!
//! A rotor's whole mass turns with its throw, so a bob weight has all of it; oil is carried as an
//! unbalance, and what of that lies along the throw is asked of the bob weight too.

use super::planes::{PlacedUnbalance, TwoPlanes};
use nalgebra::Complex;

/// A rotor as the shaft carries it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ThrownRotor {
    /// Mid-plane of its journal, from the front end of the shaft.
    pub at_m: f64,
    /// Its throw from that of rotor 1, in the sense of rotation.
    pub throw_rad: f64,
    /// Mass, with all that it carries but oil.
    pub mass_kg: f64,
    /// Its mass centre from the mid-plane of its journal, positive to the rear.
    pub mass_centre_m: f64,
    /// Oil that it carries, complex from its own throw.
    pub oil_kg_m: Complex<f64>,
    /// Where that oil is from the mid-plane of the journal, positive to the rear.
    pub oil_at_m: f64,
    /// Own unbalance of the journal's metal, along the throw.
    pub journal_kg_m: f64,
}

/// What an unbalance of the assembly comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Cause {
    /// Rotors with all that they carry but oil.
    Rotors,
    /// Oil in the rotors.
    Oil,
    /// Metal of the shaft's own journals.
    Journals,
}

impl Cause {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::Rotors, Self::Oil, Self::Journals];

    /// In the words of every output.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Rotors => "rotors",
            Self::Oil => "oil",
            Self::Journals => "rotor journals",
        }
    }
}

impl ThrownRotor {
    /// Its unbalance about the shaft's axis from one cause.
    #[must_use]
    pub fn unbalance(&self, cause: Cause, eccentricity_m: f64) -> PlacedUnbalance {
        let direction = Complex::cis(self.throw_rad);
        let (off_m, vector_kg_m) = match cause {
            Cause::Rotors => (self.mass_centre_m, direction * (self.mass_kg * eccentricity_m)),
            Cause::Oil => (self.oil_at_m, direction * self.oil_kg_m),
            Cause::Journals => (0.0, direction * self.journal_kg_m),
        };
        PlacedUnbalance { at_m: self.at_m + off_m, vector_kg_m }
    }

    /// The bob weight that stands for it: its mass, and the oil along its throw.
    #[must_use]
    pub fn bob_weight_kg(&self, eccentricity_m: f64) -> f64 {
        self.mass_kg + self.oil_kg_m.re / eccentricity_m
    }

    /// What the machine does not see with this bob weight on the journal: the rotor and its oil,
    /// less the bob weight, which is centred on the journal.
    #[must_use]
    pub fn unseen(&self, bob_kg: f64, eccentricity_m: f64) -> [PlacedUnbalance; 3] {
        let bob = Complex::cis(self.throw_rad) * (-bob_kg * eccentricity_m);
        [
            self.unbalance(Cause::Rotors, eccentricity_m),
            self.unbalance(Cause::Oil, eccentricity_m),
            PlacedUnbalance { at_m: self.at_m, vector_kg_m: bob },
        ]
    }

    /// What each kilogram too much of a bob weight here is in two planes: kg m per kg, along the
    /// throw where positive.
    #[must_use]
    pub fn per_kg_m(&self, planes: &TwoPlanes, eccentricity_m: f64) -> [f64; 2] {
        planes.shares(self.at_m).map(|share| share * eccentricity_m)
    }

    /// What each metre that a bob weight is shifted to the rear is in two planes: kg m per m, along
    /// the throw where positive.
    #[must_use]
    pub fn per_m_kg(&self, bob_kg: f64, planes: &TwoPlanes, eccentricity_m: f64) -> [f64; 2] {
        let [front_m, rear_m] = planes.at_m();
        let per = bob_kg * eccentricity_m / (rear_m - front_m);
        [-per, per]
    }
}

/// How far bob weights may be off so that all of them together take no more than a share of what
/// two planes are permitted, the same for all.
#[must_use]
pub fn bob_tolerance_kg(
    rotors: &[ThrownRotor],
    planes: &TwoPlanes,
    eccentricity_m: f64,
    (permitted_kg_m, share): ([f64; 2], f64),
) -> f64 {
    (0..2)
        .map(|plane| {
            let each = rotors.iter().map(|r| r.per_kg_m(planes, eccentricity_m)[plane].abs());
            share * permitted_kg_m[plane] / each.sum::<f64>()
        })
        .fold(f64::INFINITY, f64::min)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    const E: f64 = 0.0145;

    fn rotor() -> impl Strategy<Value = ThrownRotor> {
        (
            (0.1..0.6f64, 0.0..6.3f64, 1.0..8.0f64, -3e-3..3e-3f64),
            (-2e-4..2e-4f64, -2e-4..2e-4f64, -5e-3..5e-3f64, 0.0..0.04f64),
        )
            .prop_map(
                |((at_m, throw_rad, mass_kg, centre), (oil, side, oil_at_m, journal))| {
                    ThrownRotor {
                        at_m,
                        throw_rad,
                        mass_kg,
                        mass_centre_m: centre,
                        oil_kg_m: Complex::new(oil, side),
                        oil_at_m,
                        journal_kg_m: journal,
                    }
                },
            )
    }

    proptest! {
        /// Bob weights and what the machine does not see with them are the rotors with their oil.
        #[test]
        fn bob_weights_and_the_unseen_are_the_rotors(rotor in rotor(), bob in 0.5..9.0f64) {
            let planes = TwoPlanes::new(0.02, 0.7).unwrap();
            let mut seen = vec![PlacedUnbalance {
                at_m: rotor.at_m,
                vector_kg_m: Complex::cis(rotor.throw_rad) * (bob * E),
            }];
            seen.extend(rotor.unseen(bob, E));
            let real = [Cause::Rotors, Cause::Oil].map(|cause| rotor.unbalance(cause, E));
            for (a, b) in planes.shown(&seen).iter().zip(planes.shown(&real)) {
                prop_assert!((a - b).norm() < 1e-15);
            }
        }

        /// A gram and a shift make what the formulas say.
        #[test]
        fn a_gram_too_much_shows_in_both_planes(rotor in rotor(), shift in -1e-3..1e-3f64) {
            let planes = TwoPlanes::new(0.02, 0.7).unwrap();
            let bob = rotor.bob_weight_kg(E);
            let placed = |kg: f64, off_m: f64| {
                planes.shown(&[PlacedUnbalance {
                    at_m: rotor.at_m + off_m,
                    vector_kg_m: Complex::cis(rotor.throw_rad) * (kg * E),
                }])
            };
            for plane in 0..2 {
                let along = |v: [Complex<f64>; 2]| (v[plane] * Complex::cis(-rotor.throw_rad)).re;
                let gram = along(placed(bob + 1e-3, 0.0)) - along(placed(bob, 0.0));
                prop_assert!((gram - 1e-3 * rotor.per_kg_m(&planes, E)[plane]).abs() < 1e-14);
                let moved = along(placed(bob, shift)) - along(placed(bob, 0.0));
                let said = shift * rotor.per_m_kg(bob, &planes, E)[plane];
                prop_assert!((moved - said).abs() < 1e-14);
            }
        }

        /// Bob weights at their tolerance, all off the worst way, take the share and no more.
        #[test]
        fn bob_weights_at_their_tolerance_take_their_share(
            rotors in prop::collection::vec(rotor(), 1..7)
        ) {
            let planes = TwoPlanes::new(0.02, 0.7).unwrap();
            let permitted = [3e-5, 5e-5];
            let off = bob_tolerance_kg(&rotors, &planes, E, (permitted, 0.1));
            let taken: Vec<f64> = (0..2)
                .map(|k| {
                    let each = rotors.iter().map(|r| off * r.per_kg_m(&planes, E)[k].abs());
                    each.sum::<f64>() / permitted[k]
                })
                .collect();
            let most = taken[0].max(taken[1]);
            prop_assert!((most - 0.1).abs() < 1e-12, "{taken:?}");
        }
    }
}
