//! A symmetric positive definite matrix whose entries lie near its diagonal, and its factor.

/// Lower half of a symmetric matrix, `width` entries left of the diagonal in every row.
#[derive(Debug, Clone)]
pub(super) struct Band {
    rows: usize,
    width: usize,
    /// Row by row, `width + 1` entries, the diagonal last.
    entries: Vec<f64>,
}

impl Band {
    /// Nothing but zeros.
    pub(super) fn zeros(rows: usize, width: usize) -> Self {
        Self { rows, width, entries: vec![0.0; rows * (width + 1)] }
    }

    /// Adds to the entry at `(row, column)`, `column ≤ row ≤ column + width`.
    pub(super) fn add(&mut self, row: usize, column: usize, value: f64) {
        let at = row * (self.width + 1) + self.width + column - row;
        self.entries[at] += value;
    }

    /// Writes this matrix's Cholesky factor over `factor`, for the rows that are `free`; the
    /// others are taken as rows of the unit matrix. `None` where it is not positive definite.
    pub(super) fn factor_free(&self, free: &[bool], factor: &mut Self) -> Option<()> {
        let (width, stride) = (self.width, self.width + 1);
        for row in 0..self.rows {
            let (done, open) = factor.entries.split_at_mut(row * stride);
            let line = &mut open[..stride];
            if !free[row] {
                line.fill(0.0);
                line[width] = 1.0;
                continue;
            }
            line.copy_from_slice(&self.entries[row * stride..(row + 1) * stride]);
            let first = row.saturating_sub(width);
            for column in first..row {
                let at = width + column - row;
                if !free[column] {
                    line[at] = 0.0;
                    continue;
                }
                // Entries that both rows share: columns `first..column`.
                let theirs = &done[column * stride..(column + 1) * stride];
                let from = width + first - row;
                let their_from = width - (column - first);
                let product: f64 =
                    line[from..at].iter().zip(&theirs[their_from..width]).map(|(a, b)| a * b).sum();
                line[at] = (line[at] - product) / theirs[width];
            }
            let squares: f64 = line[..width].iter().map(|a| a * a).sum();
            let pivot = line[width] - squares;
            if !(pivot > 0.0 && pivot.is_finite()) {
                return None;
            }
            line[width] = pivot.sqrt();
        }
        Some(())
    }

    /// Solves with this as the factor, in place; rows that were not free keep what they hold, so
    /// put zero there.
    pub(super) fn solve(&self, x: &mut [f64]) {
        let (width, stride) = (self.width, self.width + 1);
        for row in 0..self.rows {
            let first = row.saturating_sub(width);
            let line = &self.entries[row * stride + width + first - row..(row + 1) * stride];
            let (left, diagonal) = line.split_at(row - first);
            let known: f64 = left.iter().zip(&x[first..row]).map(|(a, b)| a * b).sum();
            x[row] = (x[row] - known) / diagonal[0];
        }
        for row in (0..self.rows).rev() {
            let first = row.saturating_sub(width);
            let line = &self.entries[row * stride + width + first - row..(row + 1) * stride];
            let (left, diagonal) = line.split_at(row - first);
            let value = x[row] / diagonal[0];
            x[row] = value;
            for (a, known) in left.iter().zip(&mut x[first..row]) {
                *known -= a * value;
            }
        }
    }

    /// The matrix times `x`.
    pub(super) fn times(&self, x: &[f64], product: &mut [f64]) {
        let (width, stride) = (self.width, self.width + 1);
        product.fill(0.0);
        for row in 0..self.rows {
            let first = row.saturating_sub(width);
            let line = &self.entries[row * stride + width + first - row..(row + 1) * stride];
            let (left, diagonal) = line.split_at(row - first);
            let mut sum = diagonal[0] * x[row];
            for (offset, a) in left.iter().enumerate() {
                sum += a * x[first + offset];
                product[first + offset] += a * x[row];
            }
            product[row] += sum;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::Band;

    fn matrix() -> Band {
        let mut band = Band::zeros(9, 3);
        for row in 0..9_usize {
            band.add(row, row, 5.0 + row as f64 * 0.3);
            for column in row.saturating_sub(3)..row {
                band.add(row, column, -1.0 / (1.0 + (row * 2 + column) as f64 * 0.1));
            }
        }
        band
    }

    #[test]
    fn solving_undoes_multiplying() {
        let (band, mut factor) = (matrix(), Band::zeros(9, 3));
        let wanted: Vec<f64> = (0..9).map(|k| (k as f64 * 1.7).sin()).collect();
        let mut x = vec![0.0; 9];
        band.times(&wanted, &mut x);
        band.factor_free(&[true; 9], &mut factor).unwrap();
        factor.solve(&mut x);
        for (got, wanted) in x.iter().zip(&wanted) {
            assert!((got - wanted).abs() < 1e-13, "{got} {wanted}");
        }
    }

    #[test]
    fn rows_that_are_not_free_hold_nothing_and_give_nothing() {
        let (band, mut factor) = (matrix(), Band::zeros(9, 3));
        let free: Vec<bool> = (0..9).map(|k| k != 4 && k != 7).collect();
        let mut x: Vec<f64> = free.iter().map(|f| f64::from(u8::from(*f))).collect();
        band.factor_free(&free, &mut factor).unwrap();
        factor.solve(&mut x);
        assert!(x[4] == 0.0 && x[7] == 0.0);
        let mut back = vec![0.0; 9];
        band.times(&x, &mut back);
        for row in (0..9).filter(|row| free[*row]) {
            assert!((back[row] - 1.0).abs() < 1e-13, "row {row}: {}", back[row]);
        }
    }

    #[test]
    fn a_matrix_that_is_not_positive_definite_is_refused() {
        let (mut band, mut factor) = (matrix(), Band::zeros(9, 3));
        band.add(5, 5, -20.0);
        assert!(band.factor_free(&[true; 9], &mut factor).is_none());
    }
}
