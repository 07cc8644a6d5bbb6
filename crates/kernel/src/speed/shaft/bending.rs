//! Bending moment, shear force and bending stress along the shaft.
//!
//! From the elements' own dynamic stiffness: an element's end forces are what its neighbours,
//! loads and supports exert on it, its inertia and gyroscopic moment included, so that the
//! moment ends at nothing on free ends and moments balance at every node.
//!
//! Nominal stress of the round section, `M r / I` in its outer fibre. Left out: concentration at
//! fillets, oil holes, keyways and threads, and the torque. Between nodes nothing is looked at:
//! loads act at nodes, and inertia between them bends a moment by less than the mesh is fine.

use super::error::ShaftError;
use super::motion::Response;
use nalgebra::Complex;
use std::f64::consts::TAU;

/// Fewest steps over a turn that a cycle is looked at in.
const FEWEST_STEPS: usize = 8;

/// What a section of the shaft carries at one instant, in the stationary frame.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SectionForce {
    /// Distance from the front end of the shaft.
    pub at_m: f64,
    /// Number of the stretch, from 0: at a step of the shaft both sides are given.
    pub stretch: usize,
    /// Bending moment `E I dψ/dz`, one complex value for both planes, N m.
    pub moment_n_m: Complex<f64>,
    /// Shear force `κ G A (du/dz − ψ)`, N: what the rear part exerts on the front part.
    pub shear_n: Complex<f64>,
    /// Largest nominal bending stress in the section.
    pub stress_pa: f64,
}

/// A section at the instant when something is largest in it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Peak {
    /// Where, and how it is loaded then.
    pub section: SectionForce,
    /// Shaft angle, from 0 to below one turn.
    pub theta_rad: f64,
}

/// What is largest along the shaft over a cycle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Peaks {
    /// Largest nominal bending stress.
    pub stress: Peak,
    /// Largest bending moment.
    pub moment: Peak,
    /// Largest shear force.
    pub shear: Peak,
}

impl Response {
    /// Both ends of every element, front to rear, at a shaft angle.
    #[must_use]
    pub fn section_forces(&self, theta_rad: f64) -> Vec<SectionForce> {
        let beam = &self.shaft.beam;
        let instant = self.instant(theta_rad);
        let mut sections = Vec::with_capacity(2 * beam.elements.len());
        for (k, element) in beam.elements.iter().enumerate() {
            let four = |values: &[Complex<f64>]| std::array::from_fn(|i| values[2 * k + i]);
            let ends = element.end_forces(
                four(&instant.plain),
                four(&instant.second),
                four(&instant.first),
            );
            let stretch = &beam.model.stretches[element.stretch];
            let per_moment = 0.5 * stretch.outer_m / stretch.second_moment_m4();
            // What is exerted on the front end of an element is the opposite of what it carries.
            for (node, shear_n, moment_n_m) in [(k, -ends[0], -ends[1]), (k + 1, ends[2], ends[3])]
            {
                sections.push(SectionForce {
                    at_m: beam.nodes_m[node],
                    stretch: element.stretch,
                    moment_n_m,
                    shear_n,
                    stress_pa: moment_n_m.norm() * per_moment,
                });
            }
        }
        sections
    }

    /// The largest stress, moment and shear of a turn and their places, looked at in equal steps
    /// of the shaft's angle from 0. Between steps each can be higher by `(H π / steps)² / 2` of
    /// the sum of its harmonics at most, `H` the highest one.
    ///
    /// # Errors
    /// Fewer than 8 steps.
    pub fn peaks(&self, steps: usize) -> Result<Peaks, ShaftError> {
        if steps < FEWEST_STEPS {
            return Err(ShaftError::Steps { steps, least: FEWEST_STEPS });
        }
        let mut peaks: Option<Peaks> = None;
        for step in 0..steps {
            let theta_rad = TAU * step as f64 / steps as f64;
            for section in self.section_forces(theta_rad) {
                let here = Peak { section, theta_rad };
                let most = peaks.get_or_insert(Peaks { stress: here, moment: here, shear: here });
                if section.stress_pa > most.stress.section.stress_pa {
                    most.stress = here;
                }
                if section.moment_n_m.norm() > most.moment.section.moment_n_m.norm() {
                    most.moment = here;
                }
                if section.shear_n.norm() > most.shear.section.shear_n.norm() {
                    most.shear = here;
                }
            }
        }
        // A shaft has at least one element, so that there are peaks.
        peaks.ok_or(ShaftError::NoStretch)
    }
}

#[cfg(test)]
mod tests {
    use super::super::{Harmonics, Load, Rates, Shaft, Theory, sample};
    use super::*;
    use proptest::prelude::*;

    type C = Complex<f64>;

    fn loads(draws: &[f64]) -> Vec<Load> {
        let series = |from: usize, size: f64| {
            let values = draws[from..from + 10]
                .chunks_exact(2)
                .map(|pair| C::new(pair[0], pair[1]) * size)
                .collect::<Vec<_>>();
            Harmonics::new(values).unwrap()
        };
        (0..2)
            .map(|station| Load {
                station,
                force_n: series(20 * station, 2e4),
                moment_n_m: series(20 * station + 10, 300.0),
            })
            .collect()
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(32))]
        #[test]
        fn free_ends_carry_nothing_and_every_node_balances(
            draws in prop::collection::vec(-1.0_f64..1.0, 40),
            omega in 0.0_f64..1500.0,
            theta in 0.0_f64..7.0,
        ) {
            // No disc at the front end, so that it is free of everything.
            let shaft = Shaft::new(sample::two_rotor()).unwrap();
            let loads = loads(&draws);
            let response = shaft.respond(omega, &loads).unwrap();
            let sections = response.section_forces(theta);
            let most = |of: &dyn Fn(&SectionForce) -> f64| sections.iter().map(of).fold(0.0, f64::max);
            let moment = most(&|s| s.moment_n_m.norm());
            let shear = most(&|s| s.shear_n.norm());
            for end in [sections[0], sections[sections.len() - 1]] {
                prop_assert!(end.moment_n_m.norm() < 1e-7 * moment);
                prop_assert!(end.shear_n.norm() < 1e-7 * shear);
            }
            // At the stations shear jumps by the load and by the rotor's inertia.
            let instant = response.instant(theta);
            for (load, disc) in loads.iter().zip(&shaft.discs()[1..3]) {
                let node = shaft.beam.station_nodes[load.station];
                let (front, rear) = (sections[2 * node - 1], sections[2 * node]);
                let mut force = load.force_n.at(theta);
                force += instant.second[2 * node] * disc.mass_kg;
                let turned = C::cis(theta + std::f64::consts::FRAC_PI_2) * (omega * omega);
                for (at, unbalance) in &shaft.beam.unbalances {
                    if *at == node {
                        force += unbalance * turned;
                    }
                }
                prop_assert!((front.shear_n - rear.shear_n - force).norm() < 1e-7 * shear);
                let bend = front.moment_n_m - rear.moment_n_m - load.moment_n_m.at(theta);
                prop_assert!(bend.norm() < 1e-7 * moment);
            }
        }
    }

    /// Finer steps find no less than coarse ones they contain, and no more than is allowed for.
    #[test]
    fn peaks_are_those_of_all_instants() {
        let shaft = Shaft::new(sample::two_rotor()).unwrap();
        let draws: Vec<f64> = (0..40).map(|k| (f64::from(k) * 1.7).sin()).collect();
        let response = shaft.respond(1000.0, &loads(&draws)).unwrap();
        let (coarse, fine) = (response.peaks(90).unwrap(), response.peaks(1440).unwrap());
        let most = |peaks: Peaks| {
            [
                peaks.stress.section.stress_pa,
                peaks.moment.section.moment_n_m.norm(),
                peaks.shear.section.shear_n.norm(),
            ]
        };
        for (coarse, fine) in most(coarse).into_iter().zip(most(fine)) {
            assert!(coarse <= fine && fine < coarse * 1.02, "{coarse} {fine}");
        }
        let again = response.section_forces(fine.stress.theta_rad);
        let largest = again.iter().map(|s| s.stress_pa).fold(0.0, f64::max);
        assert!((largest - fine.stress.section.stress_pa).abs() < 1e-9 * largest);
        // The thinner side of a step bears the higher stress of the same moment.
        let step = again.iter().position(|s| (s.at_m - 0.1).abs() < 1e-9).unwrap();
        assert!((again[step].moment_n_m - again[step + 1].moment_n_m).norm() < 1e-3);
        assert!(again[step].stress_pa > 4.0 * again[step + 1].stress_pa);
    }

    /// `P l / 4` in the middle of a bar on two springs, and its stress.
    #[test]
    fn a_bar_bends_by_the_textbook() {
        let mut model = sample::two_rotor();
        model.stretches = vec![sample::steel(0.4, 0.04, 0.02)];
        model.discs.clear();
        model.unbalances.clear();
        model.stations_m = vec![0.2];
        model.theory = Theory::Timoshenko;
        for (support, at_m) in model.supports.iter_mut().zip([0.0, 0.4]) {
            support.at_m = at_m;
            support.rates = Rates::isotropic(1e9, 0.0, 0.0, 0.0);
        }
        let shaft = Shaft::new(model).unwrap();
        let load = |value| Load {
            station: 0,
            force_n: Harmonics::single(-2, value),
            moment_n_m: Harmonics::default(),
        };
        let still = shaft.respond(0.0, &[load(C::new(3000.0, -4000.0))]).unwrap();
        let peaks = still.peaks(8).unwrap();
        let peak = peaks.stress;
        assert_eq!(peak.section, peaks.moment.section);
        assert!((peaks.shear.section.shear_n.norm() - 2500.0).abs() < 1e-6);
        assert!((peak.section.at_m - 0.2).abs() < 1e-9);
        assert!((peak.section.moment_n_m.norm() - 500.0).abs() < 1e-6);
        let modulus = std::f64::consts::PI / 32.0 * (0.04_f64.powi(4) - 0.02_f64.powi(4)) / 0.04;
        assert!((peak.section.stress_pa * modulus / 500.0 - 1.0).abs() < 1e-9);
        // Pushed along y the front half sags towards y in the middle: EI u'' < 0.
        let along = still.section_forces(0.0);
        let middle = along.iter().find(|s| (s.at_m - 0.2).abs() < 1e-9).unwrap();
        assert!(middle.moment_n_m.re < 0.0 && middle.moment_n_m.im > 0.0);
        assert_eq!(
            still.peaks(7).unwrap_err().to_string(),
            "a cycle cannot be looked at in 7 steps; it takes at least 8"
        );
    }
}
