//! The shaft with everything that turns with it: what its counterweights have to balance, what
//! they do, and how well both are known.

use super::bob::{Cause, ThrownRotor};
use super::in_planes::InPlanes;
use super::planes::{PlacedUnbalance, Together, TwoPlanes};
use nalgebra::Complex;

/// A shaft with its counterweights and rotors.
#[derive(Debug, Clone, PartialEq)]
pub struct Assembly {
    /// Mass of the shaft with the weights on it.
    pub shaft_kg: f64,
    /// Mass centre of that, along the shaft.
    pub shaft_centre_m: f64,
    /// Unbalances of the weights on the shaft, as they are said to be.
    pub weights: Vec<PlacedUnbalance>,
    /// Rotors, from the front.
    pub rotors: Vec<ThrownRotor>,
    /// From the shaft's axis to a rotor journal's.
    pub eccentricity_m: f64,
}

/// How well the parts of an assembly are known: standard uncertainties.
#[derive(Debug, Clone, PartialEq)]
pub struct PartUncertainty {
    /// Of a weighing.
    pub scale_kg: f64,
    /// Of each rotor's mass centre along its axis, from the front.
    pub centres_m: Vec<f64>,
}

impl Assembly {
    /// Mass of all of it.
    #[must_use]
    pub fn mass_kg(&self) -> f64 {
        self.shaft_kg + self.rotors.iter().map(|rotor| rotor.mass_kg).sum::<f64>()
    }

    /// Its mass centre along the shaft.
    #[must_use]
    pub fn mass_centre_m(&self) -> f64 {
        let rotors = self.rotors.iter().map(|r| r.mass_kg * (r.at_m + r.mass_centre_m));
        (self.shaft_kg * self.shaft_centre_m + rotors.sum::<f64>()) / self.mass_kg()
    }

    /// Unbalances of the rotors and their journals from one cause.
    #[must_use]
    pub fn thrown(&self, cause: Cause) -> Vec<PlacedUnbalance> {
        self.rotors.iter().map(|rotor| rotor.unbalance(cause, self.eccentricity_m)).collect()
    }

    /// All that the counterweights have to balance.
    #[must_use]
    pub fn all_thrown(&self) -> Vec<PlacedUnbalance> {
        Cause::ALL.iter().flat_map(|cause| self.thrown(*cause)).collect()
    }

    /// What all of that is together, about the mass centre.
    #[must_use]
    pub fn together(&self) -> Together {
        Together::of(&self.all_thrown(), self.mass_centre_m())
    }

    /// What is left in two planes with the weights as they are said to be. Their own errors are not
    /// known and not counted.
    #[must_use]
    pub fn predicted(&self, planes: &TwoPlanes, u: &PartUncertainty) -> InPlanes {
        let mut all = self.all_thrown();
        all.extend(&self.weights);
        InPlanes::apart(planes.shown(&all), [0.0; 2]).with_errors(&self.errors(planes, u, 1.0))
    }

    /// What the assembly has in two planes where the machine showed this with bob weights on the
    /// journals: what it showed, and what it could not see with them.
    #[must_use]
    pub fn measured(
        &self,
        planes: &TwoPlanes,
        shown: &InPlanes,
        bobs_kg: &[f64],
        u: &PartUncertainty,
    ) -> InPlanes {
        let unseen = self.unseen(planes, bobs_kg);
        let found = InPlanes {
            vectors_kg_m: std::array::from_fn(|k| shown.vectors_kg_m[k] + unseen[k]),
            ..*shown
        };
        // Rotor and bob weight were both weighed.
        found.with_errors(&self.errors(planes, u, std::f64::consts::SQRT_2))
    }

    /// What the machine cannot see in two planes with these bob weights on the journals.
    #[must_use]
    pub fn unseen(&self, planes: &TwoPlanes, bobs_kg: &[f64]) -> [Complex<f64>; 2] {
        let unseen: Vec<PlacedUnbalance> = self
            .rotors
            .iter()
            .zip(bobs_kg)
            .flat_map(|(rotor, bob_kg)| rotor.unseen(*bob_kg, self.eccentricity_m))
            .collect();
        planes.shown(&unseen)
    }

    /// What one standard uncertainty of each weighing and of each mass centre is in both planes.
    fn errors(
        &self,
        planes: &TwoPlanes,
        u: &PartUncertainty,
        weighings: f64,
    ) -> Vec<[Complex<f64>; 2]> {
        self.rotors
            .iter()
            .zip(&u.centres_m)
            .flat_map(|(rotor, centre_m)| {
                let along = Complex::cis(rotor.throw_rad);
                let per_kg = rotor.per_kg_m(planes, self.eccentricity_m);
                let per_m = rotor.per_m_kg(rotor.mass_kg, planes, self.eccentricity_m);
                [
                    per_kg.map(|share_m| along * (share_m * weighings * u.scale_kg)),
                    per_m.map(|share_kg| along * (share_kg * centre_m)),
                ]
            })
            .collect()
    }
}

/// How a counterweight compares with what is needed of it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Compared {
    /// Too much of it in the direction that is needed, kg m; negative: too little.
    pub too_much_kg_m: f64,
    /// How far its direction lies ahead of the one that is needed, -π to π; `None` where one of the
    /// two is nothing.
    pub ahead_rad: Option<f64>,
    /// What it has too much, as a vector: remove this, or add its opposite.
    pub excess_kg_m: Complex<f64>,
}

/// Compares what a counterweight is with what is needed of it.
#[must_use]
pub fn compare(is_kg_m: Complex<f64>, needed_kg_m: Complex<f64>) -> Compared {
    let turned = is_kg_m * needed_kg_m.conj();
    let ahead_rad = (turned.norm() > 0.0).then(|| turned.arg());
    let along =
        if needed_kg_m.norm() > 0.0 { turned.re / needed_kg_m.norm() } else { is_kg_m.norm() };
    Compared {
        too_much_kg_m: along - needed_kg_m.norm(),
        ahead_rad,
        excess_kg_m: is_kg_m - needed_kg_m,
    }
}

/// Unbalance of a rotor journal's own metal about the shaft's axis: a cylinder that lies off it by
/// the eccentricity. Bores concentric with the shaft take nothing from it.
#[must_use]
pub fn journal_kg_m(
    diameter_m: f64,
    length_m: f64,
    density_kg_m3: f64,
    eccentricity_m: f64,
) -> f64 {
    density_kg_m3
        * 0.25
        * std::f64::consts::PI
        * diameter_m
        * diameter_m
        * length_m
        * eccentricity_m
}

/// Force with which a part off the axis pulls outwards: `m r ω²`.
#[must_use]
pub fn pull_n(mass_kg: f64, radius_m: f64, omega_rad_s: f64) -> f64 {
    mass_kg * radius_m * omega_rad_s * omega_rad_s
}

/// How far a body's running off centre in its bearing is an unbalance: its mass times half the
/// diametral clearance, at the very most. No balancing takes it away.
#[must_use]
pub fn off_centre_kg_m(mass_kg: f64, diametral_clearance_m: f64) -> f64 {
    0.5 * mass_kg * diametral_clearance_m
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::f64::consts::PI;

    fn rotor(at_m: f64, throw_deg: f64, mass_kg: f64) -> ThrownRotor {
        ThrownRotor {
            at_m,
            throw_rad: throw_deg.to_radians(),
            mass_kg,
            mass_centre_m: 0.0,
            oil_kg_m: Complex::new(0.0, 0.0),
            oil_at_m: 0.0,
            journal_kg_m: 0.0,
        }
    }

    fn two() -> Assembly {
        Assembly {
            shaft_kg: 12.0,
            shaft_centre_m: 0.25,
            weights: Vec::new(),
            rotors: vec![rotor(0.13, 0.0, 3.6), rotor(0.246, 180.0, 3.6)],
            eccentricity_m: 0.014,
        }
    }

    #[test]
    fn counterweights_that_are_needed_leave_nothing() {
        let planes = TwoPlanes::new(0.052, 0.33).unwrap();
        let mut assembly = two();
        assembly.rotors[0].mass_centre_m = 6e-4;
        assembly.rotors[1].oil_kg_m = Complex::new(1.1e-4, 3e-5);
        let needed = planes.needed(&assembly.all_thrown());
        assembly.weights = planes.placed(needed).to_vec();
        let u = PartUncertainty { scale_kg: 5e-4, centres_m: vec![1e-4; 2] };
        let left = assembly.predicted(&planes, &u);
        assert!(left.vectors_kg_m.iter().all(|v| v.norm() < 1e-15), "{left:?}");
        assert!(left.u_kg_m(0) > 0.0 && left.u_kg_m(1) > 0.0);
    }

    /// A gram and a tenth of a millimetre: the uncertainty is what these do, added as squares.
    #[test]
    fn errors_of_scale_and_centre_add_as_squares() {
        let planes = TwoPlanes::new(0.052, 0.33).unwrap();
        let u = PartUncertainty { scale_kg: 1e-3, centres_m: vec![1e-4; 2] };
        let base = two();
        let stated = base.predicted(&planes, &u);
        let mut squares = [0.0; 2];
        let mut add = |change: &dyn Fn(&mut Assembly)| {
            let mut changed = base.clone();
            change(&mut changed);
            let [a, b] = [&base, &changed].map(|a| a.predicted(&planes, &u).vectors_kg_m);
            for (square, (a, b)) in squares.iter_mut().zip(a.iter().zip(b)) {
                *square += (a - b).norm_sqr();
            }
        };
        for j in 0..2 {
            add(&|a| a.rotors[j].mass_kg += 1e-3);
            add(&|a| a.rotors[j].mass_centre_m += 1e-4);
        }
        for (plane, square) in squares.iter().enumerate() {
            assert!((square.sqrt() / stated.u_kg_m(plane) - 1.0).abs() < 1e-6);
        }
    }

    #[test]
    fn what_the_machine_cannot_see_is_added_to_what_it_shows() {
        let planes = TwoPlanes::new(0.052, 0.33).unwrap();
        let mut assembly = two();
        let u = PartUncertainty { scale_kg: 0.0, centres_m: vec![0.0; 2] };
        let nothing = InPlanes::apart([Complex::new(0.0, 0.0); 2], [3e-6; 2]);
        let right: Vec<f64> =
            assembly.rotors.iter().map(|r| r.bob_weight_kg(assembly.eccentricity_m)).collect();
        let seen = assembly.measured(&planes, &nothing, &right, &u);
        assert!(seen.vectors_kg_m.iter().all(|v| v.norm() < 1e-15));
        assert!((seen.u_kg_m(0) - 3e-6).abs() < 1e-18 && (seen.u_kg_m(1) - 3e-6).abs() < 1e-18);
        // Bob weights of 10 g too little on both: a couple of 0.01 x 14 mm over the span.
        let light: Vec<f64> = right.iter().map(|kg| kg - 0.01).collect();
        let seen = assembly.measured(&planes, &nothing, &light, &u);
        let couple = 0.01 * 0.014 * 0.116 / 0.278;
        assert!((seen.vectors_kg_m[0] - couple).norm() < 1e-15);
        assert!((seen.vectors_kg_m[1] + couple).norm() < 1e-15);
        // A mass centre that a bob weight does not have.
        assembly.rotors[0].mass_centre_m = 1e-3;
        let seen = assembly.measured(&planes, &nothing, &right, &u);
        let shifted = 3.6 * 0.014 * 1e-3 / 0.278;
        assert!((seen.vectors_kg_m[1] - shifted).norm() < 1e-15);
    }

    #[test]
    fn a_counterweight_is_too_heavy_too_light_or_off() {
        let needed = Complex::from_polar(33e-3, PI);
        let heavy = compare(Complex::from_polar(34e-3, PI), needed);
        assert!((heavy.too_much_kg_m - 1e-3).abs() < 1e-15);
        assert!(heavy.ahead_rad.unwrap().abs() < 1e-12);
        let off = compare(Complex::from_polar(33e-3, PI + 0.02), needed);
        assert!((off.ahead_rad.unwrap() - 0.02).abs() < 1e-12);
        assert!((off.excess_kg_m.norm() - 2.0 * 33e-3 * 0.01f64.sin()).abs() < 1e-12);
        let none = compare(Complex::new(0.0, 0.0), needed);
        assert_eq!((none.ahead_rad, none.too_much_kg_m), (None, -33e-3));
        let unneeded = compare(Complex::from_polar(1e-3, 1.0), Complex::new(0.0, 0.0));
        assert!((unneeded.too_much_kg_m - 1e-3).abs() < 1e-15);
    }

    #[test]
    fn centre_and_mass_are_those_of_all_parts() {
        let assembly = two();
        assert!((assembly.mass_kg() - 19.2).abs() < 1e-12);
        let expected = (12.0 * 0.25 + 3.6 * (0.13 + 0.246)) / 19.2;
        assert!((assembly.mass_centre_m() - expected).abs() < 1e-12);
        assert!((off_centre_kg_m(3.6, 8e-5) - 144e-6).abs() < 1e-15);
        // 6 g at 60 mm and 963 rad/s: a third of a kilonewton.
        assert!((pull_n(6e-3, 0.06, 963.0) - 333.853).abs() < 1e-3);
    }
}
