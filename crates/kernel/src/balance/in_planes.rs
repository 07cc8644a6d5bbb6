//! Unbalances in two planes, and how well they are known together: what errs in one plane often errs
//! in the other, and the opposite way.

use super::planes::TwoPlanes;
use nalgebra::{Complex, Matrix2, SMatrix, SVector};

/// Covariance of the parts along the throw of rotor 1 and square to it in the front plane, then of
/// both in the rear plane, kg² m².
pub type PlanesCovariance = SMatrix<f64, 4, 4>;

/// Unbalances in the front and the rear plane with their covariance.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct InPlanes {
    /// Complex from the throw of rotor 1.
    pub vectors_kg_m: [Complex<f64>; 2],
    /// How well both are known.
    pub covariance_kg2_m2: PlanesCovariance,
}

impl InPlanes {
    /// Unbalances whose components all err on their own, by these standard uncertainties.
    #[must_use]
    pub fn apart(vectors_kg_m: [Complex<f64>; 2], u_kg_m: [f64; 2]) -> Self {
        let [front, rear] = u_kg_m.map(|u| u * u);
        let diagonal = SVector::<f64, 4>::new(front, front, rear, rear);
        Self { vectors_kg_m, covariance_kg2_m2: SMatrix::from_diagonal(&diagonal) }
    }

    /// The same unbalances with errors added that these effects in both planes have, each of one
    /// standard uncertainty and independent of all others.
    #[must_use]
    pub fn with_errors(mut self, effects_kg_m: &[[Complex<f64>; 2]]) -> Self {
        for [front, rear] in effects_kg_m {
            let effect = SVector::<f64, 4>::new(front.re, front.im, rear.re, rear.im);
            self.covariance_kg2_m2 += effect * effect.transpose();
        }
        self
    }

    /// Standard uncertainty of the worst known component in a plane, 0 front, 1 rear.
    #[must_use]
    pub fn u_kg_m(&self, plane: usize) -> f64 {
        let block: Matrix2<f64> =
            self.covariance_kg2_m2.fixed_view::<2, 2>(2 * plane, 2 * plane).into_owned();
        largest(&block).max(0.0).sqrt()
    }

    /// The same in other planes.
    #[must_use]
    pub fn moved(&self, from: &TwoPlanes, to: &TwoPlanes) -> Self {
        let shares = from.at_m().map(|at_m| to.shares(at_m));
        let mut turn = PlanesCovariance::zeros();
        for (source, shares) in shares.iter().enumerate() {
            for (target, share) in shares.iter().enumerate() {
                for part in 0..2 {
                    turn[(2 * target + part, 2 * source + part)] = *share;
                }
            }
        }
        Self {
            vectors_kg_m: from.moved_to(to, self.vectors_kg_m),
            covariance_kg2_m2: turn * self.covariance_kg2_m2 * turn.transpose(),
        }
    }
}

/// The larger eigenvalue of a symmetric matrix of two.
pub(super) fn largest(of: &Matrix2<f64>) -> f64 {
    let (mean, half) = (0.5 * (of[(0, 0)] + of[(1, 1)]), 0.5 * (of[(0, 0)] - of[(1, 1)]));
    mean + half.hypot(of[(0, 1)])
}

#[cfg(test)]
mod tests {
    use super::*;

    fn zero() -> Complex<f64> {
        Complex::new(0.0, 0.0)
    }

    /// A couple that is not known well: in planes further apart it is known better, and midway
    /// between its own it cancels.
    #[test]
    fn an_error_of_a_couple_keeps_its_sign_in_each_plane() {
        let planes = TwoPlanes::new(0.0, 0.3).unwrap();
        let couple = Complex::from_polar(20e-6, 0.7);
        let found = InPlanes::apart([zero(); 2], [0.0; 2]).with_errors(&[[couple, -couple]]);
        assert!((found.u_kg_m(0) - 20e-6).abs() < 1e-18);
        let wide = found.moved(&planes, &TwoPlanes::new(-0.15, 0.45).unwrap());
        assert!((wide.u_kg_m(0) - 10e-6).abs() < 1e-18, "{}", wide.u_kg_m(0));
        let half = found.moved(&planes, &TwoPlanes::new(0.15, 0.45).unwrap());
        assert!((half.u_kg_m(0) - half.u_kg_m(1)).abs() < 1e-18);
    }

    #[test]
    fn independent_errors_add_as_squares() {
        let planes = TwoPlanes::new(0.0, 0.3).unwrap();
        let found = InPlanes::apart([zero(); 2], [3e-6, 4e-6]);
        let middle = found.moved(&planes, &TwoPlanes::new(0.15, 1.0).unwrap());
        let from_front: f64 = (1.0 - 0.0) / 0.85 * 3e-6;
        let from_rear = (1.0 - 0.3) / 0.85 * 4e-6;
        assert!((middle.u_kg_m(0) - from_front.hypot(from_rear)).abs() < 1e-17);
    }

    #[test]
    fn the_worst_direction_counts() {
        let along = InPlanes::apart([zero(); 2], [1e-6, 1e-6])
            .with_errors(&[[Complex::new(0.0, 3e-6), zero()]]);
        assert!((along.u_kg_m(0) - 10e-12_f64.sqrt()).abs() < 1e-15);
        assert!((along.u_kg_m(1) - 1e-6).abs() < 1e-18);
    }
}
