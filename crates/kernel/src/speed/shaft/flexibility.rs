//! How the standing shaft yields at its stations: what contact bends it back with.

use super::error::ShaftError;
use super::response::solve_pair;
use super::shaft::Shaft;
use nalgebra::{Complex, DMatrix};

/// Static answers of the stations to unit loads on the stations. Rows are the answer, columns the
/// cause; of station `k` row and column `2 k` are the x part, `2 k + 1` the y part, both in the
/// stationary frame. Moments are in slope coordinates. With supports whose stiffness is symmetric
/// the first and the last are symmetric, and the other two are each other's transpose.
#[derive(Debug, Clone, PartialEq)]
pub struct Flexibility {
    /// Slope per moment, rad/(N m).
    pub slope_per_moment: DMatrix<f64>,
    /// Slope per force, rad/N.
    pub slope_per_force: DMatrix<f64>,
    /// Deflection per moment, m/(N m).
    pub deflection_per_moment: DMatrix<f64>,
    /// Deflection per force, m/N.
    pub deflection_per_force: DMatrix<f64>,
}

impl Shaft {
    /// Flexibility of the shaft on its supports at rest: no inertia, no damping.
    ///
    /// # Errors
    /// Supports that, together with the shaft, give way without resistance.
    pub fn flexibility(&self) -> Result<Flexibility, ShaftError> {
        let nodes = &self.beam.station_nodes;
        let order = self.beam.order();
        let lu = self.pair(0.0, 0)?;
        let zeros = || DMatrix::zeros(2 * nodes.len(), 2 * nodes.len());
        let mut all = Flexibility {
            slope_per_moment: zeros(),
            slope_per_force: zeros(),
            deflection_per_moment: zeros(),
            deflection_per_force: zeros(),
        };
        for (cause, node) in nodes.iter().enumerate() {
            for (axis, unit) in [Complex::new(1.0, 0.0), Complex::i()].into_iter().enumerate() {
                for moment in [false, true] {
                    let mut side = vec![Complex::default(); order];
                    side[2 * node + usize::from(moment)] = unit;
                    let (u, _) = solve_pair(&lu, &side, &side);
                    let (deflection, slope) = if moment {
                        (&mut all.deflection_per_moment, &mut all.slope_per_moment)
                    } else {
                        (&mut all.deflection_per_force, &mut all.slope_per_force)
                    };
                    let column = 2 * cause + axis;
                    for (answer, node) in nodes.iter().enumerate() {
                        for (matrix, value) in
                            [(&mut *deflection, u[2 * node]), (&mut *slope, u[2 * node + 1])]
                        {
                            matrix[(2 * answer, column)] = value.re;
                            matrix[(2 * answer + 1, column)] = value.im;
                        }
                    }
                }
            }
        }
        Ok(all)
    }
}
