//! A complex band matrix and its LU factors, with row exchanges.
//!
//! Gauss's elimination with partial pivoting inside the band, textbook material. Row `r` is kept
//! from its first column that is not yet eliminated; an exchange can lengthen a row to the right
//! by the lower half of the band, which is just what the shift to the left has freed, so that
//! `W = 2 half + 1` places suffice. The matrices are not definite away from rest, hence the
//! exchanges.
//!
//! Rows compete for the pivot by their share of their own largest entry: a row of forces beside a
//! row of moments, or beside a very stiff support, has another scale, and a stiff support's row
//! taken early would wash out every row below.

use nalgebra::Complex;

/// A pivot smaller than this, relative to the largest entry of its row, is taken as none: on an
/// undamped resonance rounding leaves 1e-16 to 1e-15, while a support a million times softer
/// than the shaft leaves 1e-8.
const SINGULAR: f64 = 1e-13;

type C = Complex<f64>;

/// A square matrix with `half = (W − 1) / 2` diagonals on either side.
#[derive(Debug, Clone)]
pub(super) struct Band<const W: usize> {
    rows: Vec<[C; W]>,
}

/// The factors of a [`Band`].
#[derive(Debug, Clone)]
pub(super) struct BandLu<const W: usize> {
    upper: Vec<[C; W]>,
    /// Inverse of each pivot.
    inverse: Vec<C>,
    /// Multipliers of the rows below each pivot; only the first half of the array is used.
    lower: Vec<[C; W]>,
    exchanged: Vec<usize>,
}

fn size(z: C) -> f64 {
    z.re.abs() + z.im.abs()
}

impl<const W: usize> Band<W> {
    const HALF: usize = (W - 1) / 2;

    pub(super) fn zeros(order: usize) -> Self {
        Self { rows: vec![[C::default(); W]; order] }
    }

    /// Adds to an entry. The caller keeps inside the band.
    pub(super) fn add(&mut self, row: usize, column: usize, value: C) {
        self.rows[row][column - row.saturating_sub(Self::HALF)] += value;
    }

    /// Factors, or `None` if the matrix is singular in what doubles can tell.
    pub(super) fn factor(self) -> Option<BandLu<W>> {
        let Self { mut rows } = self;
        let order = rows.len();
        let mut per_scale: Vec<f64> = rows
            .iter()
            .map(|row| row.iter().map(|z| size(*z)).fold(0.0, f64::max).recip())
            .collect();
        let mut lower = vec![[C::default(); W]; order];
        let mut inverse = vec![C::default(); order];
        let mut exchanged = vec![0; order];
        for k in 0..order {
            let end = (k + Self::HALF + 1).min(order);
            let share = |rows: &[[C; W]], r: usize| size(rows[r][0]) * per_scale[r];
            let (mut pivot, mut most) = (k, share(&rows, k));
            for r in k + 1..end {
                let other = share(&rows, r);
                if other > most {
                    (pivot, most) = (r, other);
                }
            }
            rows.swap(k, pivot);
            per_scale.swap(k, pivot);
            exchanged[k] = pivot;
            let head = rows[k];
            // An empty row has no scale and a NaN none to compare: neither passes.
            if !(most > SINGULAR && most.is_finite()) {
                return None;
            }
            inverse[k] = head[0].inv();
            for r in k + 1..end {
                let row = &mut rows[r];
                let factor = row[0] * inverse[k];
                lower[k][r - k - 1] = factor;
                for c in 1..W {
                    row[c - 1] = row[c] - factor * head[c];
                }
                row[W - 1] = C::default();
            }
        }
        Some(BandLu { upper: rows, inverse, lower, exchanged })
    }
}

impl<const W: usize> BandLu<W> {
    /// Replaces a right side by the solution.
    pub(super) fn solve(&self, x: &mut [C]) {
        let order = x.len();
        for k in 0..order {
            x.swap(k, self.exchanged[k]);
            let end = (k + Band::<W>::HALF + 1).min(order);
            for r in k + 1..end {
                let step = self.lower[k][r - k - 1] * x[k];
                x[r] -= step;
            }
        }
        for k in (0..order).rev() {
            let mut sum = x[k];
            for c in 1..W.min(order - k) {
                sum -= self.upper[k][c] * x[k + c];
            }
            x[k] = sum * self.inverse[k];
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use nalgebra::{DMatrix, DVector};
    use proptest::prelude::*;

    /// Whether the matrix had factors, which then solve.
    fn compared<const W: usize>(order: usize, draws: &[f64]) -> bool {
        let half = (W - 1) / 2;
        let mut at = 0;
        let mut next = || {
            at = (at + 2) % (draws.len() - 1);
            C::new(draws[at], draws[at + 1])
        };
        let mut band = Band::<W>::zeros(order);
        let mut full = DMatrix::<C>::zeros(order, order);
        for r in 0..order {
            for c in r.saturating_sub(half)..(r + half + 1).min(order) {
                // A small diagonal, so that rows must be exchanged.
                let value = if r == c { next() * 1e-3 } else { next() };
                band.add(r, c, value);
                full[(r, c)] += value;
            }
        }
        let right = DVector::from_fn(order, |_, _| next());
        let mut x: Vec<C> = right.iter().copied().collect();
        let Some(lu) = band.factor() else { return false };
        lu.solve(&mut x);
        let residual = (&full * DVector::from_vec(x.clone()) - &right).norm();
        let reach = full.norm() * DVector::from_vec(x).norm();
        assert!(residual <= 1e-13 * reach, "{residual} of {reach}");
        true
    }

    proptest! {
        #[test]
        fn the_solution_solves(
            order in 1_usize..40, draws in prop::collection::vec(-1.0_f64..1.0, 801),
        ) {
            prop_assume!(compared::<7>(order, &draws));
            prop_assume!(compared::<11>(order, &draws));
        }
    }

    /// A spring of 1e17 in a chain of springs of 1: its row must not be taken before its turn.
    #[test]
    fn a_stiff_support_costs_the_others_no_digits() {
        let one = C::new(1.0, 0.0);
        let mut band = Band::<7>::zeros(6);
        for k in 0..6 {
            band.add(k, k, one * if k == 3 { 1e17 } else { 2.0 });
            if k > 0 {
                band.add(k, k - 1, -one);
                band.add(k - 1, k, -one);
            }
        }
        let mut x = vec![C::default(); 6];
        x[2] = one;
        band.factor().unwrap().solve(&mut x);
        // Three springs to the left of the held place, pushed at the third: 3/4 there.
        for (got, want) in x.iter().zip([0.25, 0.5, 0.75, 0.0, 0.0, 0.0]) {
            assert!((got - want).norm() < 1e-15, "{x:?}");
        }
    }

    #[test]
    fn a_singular_matrix_has_no_factors() {
        let one = C::new(1.0, 0.0);
        let mut band = Band::<7>::zeros(4);
        for (r, c) in [(0, 0), (0, 1), (1, 0), (1, 1), (2, 2), (3, 3)] {
            band.add(r, c, one);
        }
        assert!(band.factor().is_none());
        let mut band = Band::<7>::zeros(1);
        band.add(0, 0, C::new(f64::NAN, 0.0));
        assert!(band.factor().is_none());
    }
}
