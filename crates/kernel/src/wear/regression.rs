//! Least squares of anything that is linear in its unknowns.
//!
//! `X b ≈ y` by `X = QR`, columns first brought to one size by powers of two, which rounds
//! nothing. What rounding did is then taken back: residuals `r` and unknowns `b` are corrected
//! together by what `r + X b = y`, `Xᵀr = 0` lack, found with twice the digits [BJORCK]. That
//! helps as long as the columns are independent at all. Standard deviations are from
//! `s² (XᵀX)⁻¹`, `s² = rᵀr/(n − p)`.
//!
//! How many digits are right is checked with certified values: `tests/val_regression.rs`.

use super::twofold::dot;
use nalgebra::{DMatrix, DVector};
use thiserror::Error;

/// Columns this far from independent leave nothing of sixteen digits.
const SINGULAR_CONDITION: f64 = 1e15;

/// Corrections; each gains digits until none are left to gain.
const MOST_CORRECTIONS: usize = 20;

/// A correction that is not below this part of the last one is rounding itself.
const STILL_GAINS: f64 = 0.5;

/// Why no fit was made.
#[derive(Debug, Clone, PartialEq, Error)]
#[non_exhaustive]
pub enum RegressionError {
    /// A column has another length than what was observed.
    #[error("column {column} has {rows} values and {observed} were observed")]
    Rows {
        /// Which column, from 1.
        column: usize,
        /// Its values.
        rows: usize,
        /// What was observed.
        observed: usize,
    },
    /// Fewer observations than unknowns.
    #[error("{observed} observations cannot say {unknowns} unknowns")]
    TooFew {
        /// Observations.
        observed: usize,
        /// Unknowns.
        unknowns: usize,
    },
    /// A value is no figure, or too large to be squared.
    #[error("a value in {place} is no figure that can be reckoned with")]
    Range {
        /// `column 2`, say.
        place: String,
    },
    /// The columns do not tell the unknowns apart.
    #[error("column {column} is a sum of those before it: the unknowns cannot be told apart")]
    Singular {
        /// The first such column, from 1.
        column: usize,
    },
}

/// What fits best.
#[derive(Debug, Clone, PartialEq)]
pub struct Fit {
    /// The unknowns, in the order of the columns.
    pub coefficients: Vec<f64>,
    /// Their standard deviations from the residuals; nothing without residuals to tell.
    pub standard_deviations: Option<Vec<f64>>,
    /// `(XᵀX)⁻¹`: times the variance of an observation it is the covariance of the unknowns.
    pub cofactor: DMatrix<f64>,
    /// What is left: observed less fitted.
    pub residuals: Vec<f64>,
    /// Sum of the squares of what is left.
    pub residual_squares: f64,
    /// Root of the squares over the degrees of freedom; nothing where there are none.
    pub residual_sd: Option<f64>,
    /// Observations less unknowns.
    pub degrees: usize,
    /// Largest entry of `R`'s diagonal over its least, columns brought to one size: a lower bound
    /// of how unequally the unknowns are known.
    pub spread: f64,
}

/// Fits the columns to what was observed. A straight line has a column of ones and one of `x`.
///
/// # Errors
/// [`RegressionError`].
pub fn fit(columns: &[Vec<f64>], observed: &[f64]) -> Result<Fit, RegressionError> {
    let scales = scales(columns, observed)?;
    let (rows, unknowns) = (observed.len(), columns.len());
    let matrix = DMatrix::from_fn(rows, unknowns, |i, j| columns[j][i] / scales[j]);
    let (q, r) = matrix.clone().qr().unpack();
    let diagonal: Vec<f64> = (0..unknowns).map(|j| r[(j, j)].abs()).collect();
    let most = diagonal.iter().copied().fold(0.0, f64::max);
    let singular = |j: usize| RegressionError::Singular { column: j + 1 };
    if let Some(j) = diagonal.iter().position(|d| *d * SINGULAR_CONDITION <= most) {
        return Err(singular(j));
    }
    let last = || singular(unknowns - 1);
    let r_inverse =
        r.solve_upper_triangular(&DMatrix::identity(unknowns, unknowns)).ok_or_else(last)?;
    let taken = Taken { matrix: &matrix, q: &q, r_inverse: &r_inverse };
    let (scaled, residuals) = taken.solve(observed);
    let residual_squares = dot(residuals.iter().map(|r| (*r, *r)));
    let mut rows_scaled = r_inverse;
    for (mut row, scale) in rows_scaled.row_iter_mut().zip(&scales) {
        row /= *scale;
    }
    let cofactor = &rows_scaled * rows_scaled.transpose();
    let degrees = rows - unknowns;
    let residual_sd = (degrees > 0).then(|| (residual_squares / degrees as f64).sqrt());
    let least = diagonal.iter().copied().fold(f64::INFINITY, f64::min);
    Ok(Fit {
        coefficients: scaled.iter().zip(&scales).map(|(b, scale)| b / scale).collect(),
        standard_deviations: residual_sd
            .map(|s| (0..unknowns).map(|j| s * rows_scaled.row(j).norm()).collect()),
        cofactor,
        residuals: residuals.iter().copied().collect(),
        residual_squares,
        residual_sd,
        degrees,
        spread: most / least,
    })
}

/// A matrix and what it was taken apart into.
struct Taken<'a> {
    matrix: &'a DMatrix<f64>,
    q: &'a DMatrix<f64>,
    r_inverse: &'a DMatrix<f64>,
}

impl Taken<'_> {
    /// Unknowns and residuals, corrected together as long as that gains.
    fn solve(&self, observed: &[f64]) -> (DVector<f64>, DVector<f64>) {
        let (rows, unknowns) = self.matrix.shape();
        let mut b = DVector::<f64>::zeros(unknowns);
        let mut r = DVector::<f64>::zeros(rows);
        let mut before = f64::INFINITY;
        for _ in 0..MOST_CORRECTIONS {
            let f = DVector::from_fn(rows, |i, _| {
                let row = (0..unknowns).map(|j| (-self.matrix[(i, j)], b[j]));
                dot(row.chain([(observed[i], 1.0), (-r[i], 1.0)]))
            });
            let g = DVector::from_fn(unknowns, |j, _| {
                dot((0..rows).map(|i| (-self.matrix[(i, j)], r[i])))
            });
            let w = self.r_inverse.tr_mul(&g);
            let d = self.q.tr_mul(&f);
            let to_b = self.r_inverse * (&d - &w);
            let to_r = f - self.q * (d - w);
            let size = (0..unknowns)
                .map(|j| if b[j] == 0.0 { f64::INFINITY } else { (to_b[j] / b[j]).abs() })
                .fold(0.0, f64::max);
            if size.is_finite() && size > STILL_GAINS * before {
                break;
            }
            b += to_b;
            r += to_r;
            if size == 0.0 {
                break;
            }
            before = size;
        }
        (b, r)
    }
}

/// The power of two nearest each column's length, once everything is looked at.
fn scales(columns: &[Vec<f64>], observed: &[f64]) -> Result<Vec<f64>, RegressionError> {
    let rows = observed.len();
    if rows < columns.len() || columns.is_empty() {
        return Err(RegressionError::TooFew { observed: rows, unknowns: columns.len() });
    }
    let range = |place: String| RegressionError::Range { place };
    let squares = |values: &[f64]| values.iter().map(|v| v * v).sum::<f64>();
    if !squares(observed).is_finite() {
        return Err(range("what was observed".into()));
    }
    let mut scales = Vec::with_capacity(columns.len());
    for (j, column) in columns.iter().enumerate() {
        if column.len() != rows {
            let (column, rows, observed) = (j + 1, column.len(), rows);
            return Err(RegressionError::Rows { column, rows, observed });
        }
        let squared = squares(column);
        if !squared.is_finite() {
            return Err(range(format!("column {}", j + 1)));
        }
        if squared <= 0.0 {
            return Err(RegressionError::Singular { column: j + 1 });
        }
        scales.push((0.5 * squared.log2()).round().exp2());
    }
    Ok(scales)
}

#[cfg(test)]
mod tests {
    use super::{RegressionError, fit};
    use proptest::prelude::*;

    proptest! {
        /// No column sees what is left, and a line through exact points is that line.
        #[test]
        fn residuals_are_square_to_every_column(
            x in prop::collection::vec(-50.0..50.0_f64, 4..12),
            noise in prop::collection::vec(-1.0..1.0_f64, 12),
            slope in -3.0..3.0_f64,
            start in -3.0..3.0_f64,
        ) {
            let spread = x.iter().copied().fold(f64::NEG_INFINITY, f64::max)
                - x.iter().copied().fold(f64::INFINITY, f64::min);
            prop_assume!(spread > 1.0);
            let columns = vec![vec![1.0; x.len()], x.clone()];
            let exact: Vec<f64> = x.iter().map(|x| start + slope * x).collect();
            let found = fit(&columns, &exact).unwrap();
            // Points are rounded to 1e-16 of at most 153; the line is 50 times its spread away.
            prop_assert!((found.coefficients[0] - start).abs() < 1e-11);
            prop_assert!((found.coefficients[1] - slope).abs() < 1e-12 * 50.0);
            let rough: Vec<f64> = exact.iter().zip(&noise).map(|(y, n)| y + n).collect();
            let found = fit(&columns, &rough).unwrap();
            for column in &columns {
                let seen: f64 = column.iter().zip(&found.residuals).map(|(c, r)| c * r).sum();
                prop_assert!(seen.abs() < 1e-11, "{seen}");
            }
        }
    }

    #[test]
    fn a_mean_has_its_closed_form() {
        let found = fit(&[vec![1.0; 4]], &[1.0, 2.0, 4.0, 5.0]).unwrap();
        // Squares 4 + 1 + 1 + 4 over 3, and over 4 again for the mean.
        assert!((found.coefficients[0] - 3.0).abs() < 1e-15);
        assert!((found.residual_sd.unwrap() - (10.0_f64 / 3.0).sqrt()).abs() < 1e-15);
        let sd = found.standard_deviations.unwrap()[0];
        assert!((sd - (10.0_f64 / 12.0).sqrt()).abs() < 1e-15);
    }

    #[test]
    fn what_cannot_be_fitted_says_why() {
        let twice = [vec![1.0, 2.0, 3.0], vec![2.0, 4.0, 6.0]];
        let error = fit(&twice, &[1.0, 1.0, 2.0]).unwrap_err();
        assert_eq!(error, RegressionError::Singular { column: 2 });
        let error = fit(&[vec![0.0; 2]], &[1.0, 1.0]).unwrap_err();
        assert_eq!(error, RegressionError::Singular { column: 1 });
        let error = fit(&twice, &[1.0]).unwrap_err();
        assert_eq!(error.to_string(), "1 observations cannot say 2 unknowns");
        let error = fit(&[vec![1.0]], &[1.0, 2.0]).unwrap_err();
        assert_eq!(error.to_string(), "column 1 has 1 values and 2 were observed");
        let error = fit(&[vec![1.0, f64::NAN]], &[1.0, 2.0]).unwrap_err();
        assert!(error.to_string().starts_with("a value in column 1"));
        let one = fit(&[vec![2.0]], &[6.0]).unwrap();
        assert_eq!((one.coefficients[0], one.residual_sd), (3.0, None));
    }
}
