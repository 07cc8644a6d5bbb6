//! Two by two matrices and turning vectors: what a film's answers are made of.

/// Rows of a two by two matrix.
pub type Matrix2 = [[f64; 2]; 2];

/// Matrix times vector.
pub(super) fn times(m: &Matrix2, v: [f64; 2]) -> [f64; 2] {
    [m[0][0] * v[0] + m[0][1] * v[1], m[1][0] * v[0] + m[1][1] * v[1]]
}

/// `x` with `m x = w` for a matrix that is positive definite; `None` where it is not.
pub(super) fn solve(m: &Matrix2, w: [f64; 2]) -> Option<[f64; 2]> {
    let determinant = m[0][0] * m[1][1] - m[0][1] * m[1][0];
    (determinant > 0.0 && determinant.is_finite()).then(|| {
        [
            (m[1][1] * w[0] - m[0][1] * w[1]) / determinant,
            (m[0][0] * w[1] - m[1][0] * w[0]) / determinant,
        ]
    })
}

/// The mean of a matrix and its transpose.
pub(super) fn symmetric(m: Matrix2) -> Matrix2 {
    let aside = 0.5 * (m[0][1] + m[1][0]);
    [[m[0][0], aside], [aside, m[1][1]]]
}

/// Weighted sum `a·m + b·n`.
pub(super) fn sum(a: f64, m: &Matrix2, b: f64, n: &Matrix2) -> Matrix2 {
    [0, 1].map(|i| [0, 1].map(|k| a * m[i][k] + b * n[i][k]))
}

/// `m` after a quarter turn backwards, `m J` with `J u = −i u` in complex form: what a velocity
/// proportional to the displacement and a quarter turn behind it adds to a stiffness.
pub(super) fn behind(m: &Matrix2) -> Matrix2 {
    // −i (x + iy) = y − ix
    [0, 1].map(|i| [-m[i][1], m[i][0]])
}

/// A matrix given in axes along `direction` and a quarter turn ahead of it, in the axes in which
/// `direction` (a unit vector) is given.
pub(super) fn turned(m: &Matrix2, [c, s]: [f64; 2]) -> Matrix2 {
    let q = [[c, -s], [s, c]];
    let half = [0, 1].map(|i| [0, 1].map(|k| q[i][0] * m[0][k] + q[i][1] * m[1][k]));
    [0, 1].map(|i| [0, 1].map(|k| half[i][0] * q[k][0] + half[i][1] * q[k][1]))
}

/// `a` in axes along `direction` (a unit vector) and a quarter turn ahead of it.
pub(super) fn seen_from([c, s]: [f64; 2], a: [f64; 2]) -> [f64; 2] {
    [c * a[0] + s * a[1], c * a[1] - s * a[0]]
}

/// `a`, given along `direction` and a quarter turn ahead of it, in the axes of `direction`.
pub(super) fn seen_by([c, s]: [f64; 2], a: [f64; 2]) -> [f64; 2] {
    [c * a[0] - s * a[1], s * a[0] + c * a[1]]
}

#[cfg(test)]
mod tests {
    use super::*;

    const M: Matrix2 = [[3.0, -1.0], [0.5, 2.0]];

    #[test]
    fn solving_undoes_multiplying() {
        let x = solve(&M, times(&M, [0.3, -0.7])).unwrap();
        assert!((x[0] - 0.3).abs() < 1e-15 && (x[1] + 0.7).abs() < 1e-15);
        assert!(solve(&[[1.0, 2.0], [2.0, 1.0]], [1.0, 1.0]).is_none());
    }

    #[test]
    fn turning_a_matrix_turns_what_it_does() {
        let direction = [0.6, 0.8];
        let u = [0.2, -1.1];
        let plain = times(&turned(&M, direction), u);
        let round = seen_by(direction, times(&M, seen_from(direction, u)));
        assert!((plain[0] - round[0]).abs() < 1e-15 && (plain[1] - round[1]).abs() < 1e-15);
    }

    #[test]
    fn behind_is_a_quarter_turn_first() {
        let [x, y] = [0.2, -1.1];
        assert_eq!(times(&behind(&M), [x, y]), times(&M, [y, -x]));
    }
}
