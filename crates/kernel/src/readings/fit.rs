//! One generalised least-squares fit of a rotor's readings, with what each reading's disagreement
//! says.

use super::adjust::AdjustError;
use super::gauge::Shared;
use super::heights::{Face, TIPS};
use super::rows::{FREE, HEIGHTS, Row, land};
use nalgebra::{Cholesky, DMatrix, DVector, Dyn, SMatrix, SVector};

/// Smallest share of its own variance that a reading must leave in the residuals to be testable;
/// rounding leaves about 1e-12 in a reading that nothing checks.
const TESTABLE_SHARE: f64 = 1e-6;

/// The test of one reading: how far it disagrees with all others.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Test {
    /// Number of its row.
    pub(super) row: usize,
    /// Standardised: |w| > 3.29 is a misreading at 0.1 % [BAARDA].
    pub(super) w: f64,
    /// By how much the reading is too large, if it is the only wrong one.
    pub(super) error_um: f64,
    /// Standard uncertainty of that.
    pub(super) error_u_um: f64,
}

/// One least-squares fit.
pub(super) struct Fit {
    solution_um: DVector<f64>,
    /// Heights = `to_heights · reduced readings`.
    to_heights: DMatrix<f64>,
    /// `V⁻¹ Q_v V⁻¹`, the cofactors of the tests.
    cofactor: DMatrix<f64>,
    /// `V⁻¹ v`.
    pull: DVector<f64>,
    /// Variances of the rows, to scale what counts as testable.
    variance: Vec<f64>,
    pub(super) chi_square: f64,
    pub(super) freedom: usize,
}

impl Fit {
    pub(super) fn of(rows: &[Row], dial_zeros: usize) -> Result<Self, AdjustError> {
        let (n, p) = (rows.len(), FREE + dial_zeros);
        // Rounding can make a factor of what too few readings do not determine.
        let freedom = n.checked_sub(p).ok_or(AdjustError::Undetermined)?;
        let datum = datum(dial_zeros);
        let mut full = DMatrix::<f64>::zeros(n, HEIGHTS + dial_zeros);
        for (i, row) in rows.iter().enumerate() {
            for (j, factor) in &row.terms {
                full[(i, *j)] += factor;
            }
        }
        let design = full * &datum;
        let readings = DVector::from_iterator(n, rows.iter().map(|row| row.reading_um));
        let variance = covariance(rows);
        let weight = Cholesky::new(variance.clone()).ok_or(AdjustError::Undetermined)?;
        let weighted: DMatrix<f64> = weight.solve(&design);
        let normal: Cholesky<f64, Dyn> =
            Cholesky::new(design.transpose() * &weighted).ok_or(AdjustError::Undetermined)?;
        let to_free = normal.solve(&weighted.transpose());
        let free = &to_free * &readings;
        let residual = &readings - &design * &free;
        let pull = weight.solve(&residual);
        let inverse = weight.inverse();
        let cofactor = &inverse - &weighted * normal.inverse() * weighted.transpose();
        let chi_square = residual.dot(&pull).max(0.0);
        let to_all = &datum * to_free;
        Ok(Self {
            solution_um: &datum * free,
            to_heights: to_all.rows(0, HEIGHTS).into_owned(),
            cofactor,
            pull,
            variance: variance.diagonal().iter().copied().collect(),
            chi_square,
            freedom,
        })
    }

    pub(super) fn heights_um(&self) -> [f64; HEIGHTS] {
        std::array::from_fn(|i| self.solution_um[i])
    }

    /// One test for each reading that the others check.
    pub(super) fn tests(&self) -> Vec<Test> {
        (0..self.pull.len())
            .filter(|i| self.cofactor[(*i, *i)] * self.variance[*i] > TESTABLE_SHARE)
            .map(|i| {
                let cofactor = self.cofactor[(i, i)];
                Test {
                    row: i,
                    w: self.pull[i] / cofactor.sqrt(),
                    error_um: self.pull[i] / cofactor,
                    error_u_um: 1.0 / cofactor.sqrt(),
                }
            })
            .collect()
    }

    pub(super) fn fresh_um2(&self, rows: &[Row]) -> SMatrix<f64, HEIGHTS, HEIGHTS> {
        let fresh =
            DVector::from_iterator(rows.len(), rows.iter().map(|r| r.fresh_um * r.fresh_um));
        let spread =
            &self.to_heights * DMatrix::from_diagonal(&fresh) * self.to_heights.transpose();
        SMatrix::from_fn(|i, j| spread[(i, j)])
    }

    pub(super) fn shared_um(&self, rows: &[Row]) -> Vec<(Shared, SVector<f64, HEIGHTS>)> {
        sources(rows)
            .into_iter()
            .map(|source| {
                let effect = &self.to_heights * shared_column(rows, source);
                (source, SVector::from_fn(|i, _| effect[i]))
            })
            .collect()
    }
}

/// Heights and dial zeros from the free unknowns: the last plain land follows from the datum.
fn datum(dial_zeros: usize) -> DMatrix<f64> {
    let dependent = land(Face::Plain, TIPS - 1);
    let mut matrix = DMatrix::zeros(HEIGHTS + dial_zeros, FREE + dial_zeros);
    for unknown in 0..HEIGHTS + dial_zeros {
        if unknown != dependent {
            matrix[(unknown, unknown - usize::from(unknown > dependent))] = 1.0;
        }
    }
    for k in 0..TIPS {
        matrix[(dependent, land(Face::Gear, k))] = 1.0;
        if k < TIPS - 1 {
            matrix[(dependent, land(Face::Plain, k))] = -1.0;
        }
    }
    matrix
}

fn sources(rows: &[Row]) -> Vec<Shared> {
    let mut found = Vec::new();
    for (source, effect) in rows.iter().flat_map(|row| &row.shared_um) {
        if *effect != 0.0 && !found.contains(source) {
            found.push(*source);
        }
    }
    found
}

fn shared_column(rows: &[Row], source: Shared) -> DVector<f64> {
    DVector::from_iterator(
        rows.len(),
        rows.iter().map(|row| {
            row.shared_um.iter().filter(|(s, _)| *s == source).map(|(_, effect)| effect).sum()
        }),
    )
}

fn covariance(rows: &[Row]) -> DMatrix<f64> {
    let fresh = DVector::from_iterator(rows.len(), rows.iter().map(|r| r.fresh_um * r.fresh_um));
    sources(rows).into_iter().fold(DMatrix::from_diagonal(&fresh), |sum, source| {
        let column = shared_column(rows, source);
        sum + &column * column.transpose()
    })
}
