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

/// The largest stress of a cycle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PeakStress {
    /// Where, and how it is loaded then.
    pub section: SectionForce,
    /// Shaft angle, from 0 to below one turn.
    pub theta_rad: f64,
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

    /// The largest nominal bending stress of a turn and its place, looked at in equal steps of
    /// the shaft's angle from 0. Between steps it can be higher by `(H π / steps)² / 2` of the
    /// sum of its harmonics at most, `H` the highest one.
    ///
    /// # Errors
    /// Fewer than 8 steps.
    pub fn peak_stress(&self, steps: usize) -> Result<PeakStress, ShaftError> {
        if steps < FEWEST_STEPS {
            return Err(ShaftError::Steps { steps, least: FEWEST_STEPS });
        }
        let mut peak: Option<PeakStress> = None;
        for step in 0..steps {
            let theta_rad = TAU * step as f64 / steps as f64;
            for section in self.section_forces(theta_rad) {
                if peak.is_none_or(|peak| section.stress_pa > peak.section.stress_pa) {
                    peak = Some(PeakStress { section, theta_rad });
                }
            }
        }
        // A shaft has at least one element, so that there is a peak.
        peak.ok_or(ShaftError::NoStretch)
    }
}
