//! Sums of products with twice the digits of a number: what is left of a fit is the small
//! difference of large numbers, and is found so.
//!
//! Rounding errors of sums and products are numbers themselves, and are carried along
//! [DEKKER, OGITA].

/// `Σ aᵢ bᵢ`, as if it were summed with twice the digits and then rounded.
pub(super) fn dot(pairs: impl Iterator<Item = (f64, f64)>) -> f64 {
    let (mut sum, mut lost) = (0.0, 0.0);
    for (a, b) in pairs {
        let product = a * b;
        let of_product = a.mul_add(b, -product);
        let (next, of_sum) = add(sum, product);
        sum = next;
        lost += of_sum + of_product;
    }
    sum + lost
}

/// A sum, and what rounding took from it.
fn add(a: f64, b: f64) -> (f64, f64) {
    let sum = a + b;
    let of_b = sum - a;
    (sum, (a - (sum - of_b)) + (b - of_b))
}

#[cfg(test)]
mod tests {
    use super::dot;

    #[test]
    fn what_a_plain_sum_loses_is_there() {
        let pairs = [(1e16, 1.0), (1.0, 1.0), (-1e16, 1.0), (0.1, 0.1), (-0.01, 1.0)];
        let plain: f64 = pairs.iter().map(|(a, b)| a * b).sum();
        // 0.1 · 0.1 of the stored 0.1 less the stored 0.01: 9.02e-19, by exact fractions.
        let got = dot(pairs.into_iter()) - 1.0;
        assert!(plain < 0.5 && got.abs() < 1e-16, "{plain} {got}");
        let alone = dot([(0.1, 0.1), (-0.01, 1.0)].into_iter());
        assert!((alone - 9.020_562_075_079_397e-19).abs() < 1e-33, "{alone}");
    }
}
