//! Complex least squares of columns in units of their own, and how well the columns are told
//! apart.
//!
//! Solved by `M = QR`; the singular values, which serve the condition number, are the largest ones
//! of `R` and of `R⁻¹`: the library's are within 1e-10 of the largest, and so do not tell the
//! least one of columns that are alike, nor would they solve to more than that.

use super::error::TrialError;
use nalgebra::{Complex, DMatrix, DVector, SVD};

/// Columns this far from independent leave six of sixteen digits; readings have three.
pub const SINGULAR_CONDITION: f64 = 1e10;

/// Rotations of the singular value decomposition; two or three per column are usual.
const MOST_STEPS: usize = 1000;

/// A column takes part in what cannot be told apart if its share of it is at least this of the
/// largest: less is its part in the noise of the others.
const TAKES_PART: f64 = 0.3;

/// A matrix of full column rank, taken apart once for all right sides.
pub(super) struct LeastSquares {
    q: DMatrix<Complex<f64>>,
    r_inverse: DMatrix<Complex<f64>>,
    scales: Vec<f64>,
    /// Largest singular value over the least, of the scaled columns.
    pub(super) condition: f64,
    /// Which columns, from 0, are told apart worst.
    pub(super) alike: Vec<usize>,
}

/// What keeps a matrix from being taken apart.
pub(super) enum Unsolved {
    /// These columns, from 0, are not independent.
    Singular(Vec<usize>),
    /// Something else.
    Other(TrialError),
}

impl LeastSquares {
    /// Takes a matrix apart whose columns are measured in `scales`, none of them 0.
    pub(super) fn of(matrix: &DMatrix<Complex<f64>>, scales: Vec<f64>) -> Result<Self, Unsolved> {
        let scaled =
            DMatrix::from_fn(matrix.nrows(), matrix.ncols(), |i, j| matrix[(i, j)] / scales[j]);
        if scaled.iter().any(|entry| !(entry.re.is_finite() && entry.im.is_finite())) {
            return Err(Unsolved::Other(TrialError::Range));
        }
        let (q, mut r) = scaled.qr().unpack();
        let rounding = f64::EPSILON * r.camax();
        for j in 0..r.ncols() {
            // A column that is exactly a sum of others is taken as one by rounding.
            if r[(j, j)].norm() <= rounding {
                r[(j, j)] = Complex::from(rounding);
            }
        }
        let identity = DMatrix::identity(r.ncols(), r.ncols());
        let all = || Unsolved::Singular((0..r.ncols()).collect());
        let r_inverse = r.solve_upper_triangular(&identity).ok_or_else(all)?;
        let (most, _) = largest(r)?;
        let (inverse_of_least, alike) = largest(r_inverse.clone())?;
        let condition = most * inverse_of_least;
        // Where no figure is left the columns are not told apart either.
        if condition.is_nan() || condition >= SINGULAR_CONDITION {
            return Err(Unsolved::Singular(alike));
        }
        Ok(Self { q, r_inverse, scales, condition, alike })
    }

    /// The unknowns of a right side.
    pub(super) fn solve(&self, right: &DVector<Complex<f64>>) -> DVector<Complex<f64>> {
        let mut unknowns = &self.r_inverse * self.q.ad_mul(right);
        for (value, scale) in unknowns.iter_mut().zip(&self.scales) {
            *value /= Complex::from(*scale);
        }
        unknowns
    }

    /// `(MᴴM)⁻¹`.
    pub(super) fn cofactor(&self) -> DMatrix<Complex<f64>> {
        let mut inverse = self.r_inverse.clone();
        for (mut row, scale) in inverse.row_iter_mut().zip(&self.scales) {
            row /= Complex::from(*scale);
        }
        &inverse * inverse.adjoint()
    }
}

/// The largest singular value, and which rows have a part in its left vector.
fn largest(matrix: DMatrix<Complex<f64>>) -> Result<(f64, Vec<usize>), Unsolved> {
    let not_converged = || Unsolved::Other(TrialError::NoConvergence { steps: MOST_STEPS });
    let parts =
        SVD::try_new(matrix, true, false, f64::EPSILON, MOST_STEPS).ok_or_else(not_converged)?;
    let u = parts.u.ok_or_else(not_converged)?;
    let shares: Vec<f64> =
        u.column(parts.singular_values.imax()).iter().map(|share| share.norm()).collect();
    let most = shares.iter().copied().fold(0.0, f64::max);
    let part = (0..shares.len()).filter(|row| shares[*row] >= TAKES_PART * most).collect();
    Ok((parts.singular_values.max(), part))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn square(u: f64, v: f64) -> Complex<f64> {
        Complex::new(u, v)
    }

    proptest! {
        /// The answer is the one whose residual no column sees, in matrices with many zeros too.
        #[test]
        fn residuals_are_square_to_every_column(
            rows in 3_usize..9,
            entries in prop::collection::vec((-1.0..1.0_f64, -1.0..1.0_f64, 0_u8..3), 24),
            right in prop::collection::vec((-1.0..1.0_f64, -1.0..1.0_f64), 8),
        ) {
            let matrix = DMatrix::from_fn(rows, 3, |i, j| {
                let (re, im, keep) = entries[3 * i + j];
                if keep == 0 { square(0.0, 0.0) } else { square(re, im) }
            });
            let Ok(solved) = LeastSquares::of(&matrix, vec![1.0, 0.5, 2.0]) else { return Ok(()) };
            prop_assume!(solved.condition < 1e4);
            let right = DVector::from_fn(rows, |i, _| square(right[i].0, right[i].1));
            let unknowns = solved.solve(&right);
            let seen = matrix.ad_mul(&(&right - &matrix * &unknowns));
            // Rounding of some hundred products of numbers up to the unknowns' size.
            let within = 1e-13 * (1.0 + unknowns.camax());
            prop_assert!(seen.camax() < within, "{seen}");
            let identity = solved.cofactor() * matrix.ad_mul(&matrix);
            let off = (identity - DMatrix::identity(3, 3)).camax();
            // The scales put up to 4 on the condition number of what is inverted.
            prop_assert!(off < 1e-15 * (4.0 * solved.condition).powi(2), "{off}");
        }
    }

    #[test]
    fn columns_that_are_alike_are_named() {
        let column = [square(1.0, 0.5), square(-2.0, 0.0), square(0.1, 0.7), square(0.0, 1.0)];
        let other = [square(0.3, 0.0), square(0.0, 0.2), square(1.0, 0.0), square(0.0, -2.0)];
        let turned = square(0.0, 3.0);
        let matrix = DMatrix::from_fn(4, 3, |i, j| match j {
            0 => column[i],
            1 => other[i],
            _ => column[i] * turned,
        });
        match LeastSquares::of(&matrix, vec![1.0; 3]) {
            Err(Unsolved::Singular(columns)) => assert_eq!(columns, [0, 2]),
            _ => panic!("a singular matrix was solved"),
        }
        let nothing = DMatrix::from_element(3, 2, square(0.0, 0.0));
        assert!(matches!(LeastSquares::of(&nothing, vec![1.0; 2]), Err(Unsolved::Singular(_))));
    }
}
