//! Mean values over a normal distribution by Gauss and Hermite's rule [AS, 25.4.46].

/// Newton's steps for one node; four or five are usual.
const MOST_STEPS: usize = 60;

/// A node moves by less than this in its last step.
const STILL: f64 = 1e-14;

/// Nodes in standard deviations, and weights that sum to one: exact for polynomials up to the
/// degree `2n − 1`. Nothing if a node is not found.
pub(super) fn rule(count: usize) -> Option<Vec<[f64; 2]>> {
    let n = count as f64;
    let mut found = Vec::with_capacity(count);
    for i in 0..count {
        // Zeros of the oscillator's n-th function, as the classical motion spaces them, then
        // Newton with all earlier ones divided out.
        let angle = (i as f64 + 0.75) * std::f64::consts::PI / (n + 0.5);
        let mut x = (4.0 * n + 2.0).sqrt() * angle.cos();
        let mut settled = false;
        for _ in 0..MOST_STEPS {
            let (value, slope) = polynomial(count, x);
            let others: f64 = found.iter().map(|[node, _]: &[f64; 2]| 1.0 / (x - node)).sum();
            let step = value / (slope - value * others);
            x -= step;
            if step.abs() <= STILL * (1.0 + x.abs()) {
                settled = true;
                break;
            }
        }
        if !settled || !x.is_finite() {
            return None;
        }
        let (_, slope) = polynomial(count, x);
        // With orthonormal polynomials the slope is √n times the one before, and the weight is one
        // over n times that one's square.
        found.push([x, 1.0 / (slope * slope)]);
    }
    let total: f64 = found.iter().map(|[_, weight]| weight).sum();
    Some(found.into_iter().map(|[x, weight]| [x, weight / total]).collect())
}

/// Value and slope of the orthonormal Hermite polynomial for the weight `exp(−x²/2)`.
fn polynomial(count: usize, x: f64) -> (f64, f64) {
    let (mut before, mut value) = (0.0, 1.0);
    for k in 0..count {
        let k = k as f64;
        let next = (x * value - k.sqrt() * before) / (k + 1.0).sqrt();
        before = value;
        value = next;
    }
    (value, (count as f64).sqrt() * before)
}

#[cfg(test)]
mod tests {
    use super::rule;

    /// Moments 1, 0, 1, 0, 3, 0, 15 … of the normal distribution.
    #[test]
    fn moments_are_exact() {
        for count in [1, 2, 5, 9, 15, 25, 41] {
            let rule = rule(count).unwrap();
            assert_eq!(rule.len(), count);
            let mut moment = 1.0;
            for power in 0..(2 * count).min(14) {
                let got: f64 = rule.iter().map(|[x, w]| w * x.powi(power as i32)).sum();
                let wanted = if power % 2 == 0 { moment } else { 0.0 };
                assert!((got - wanted).abs() < 1e-10 * (1.0 + moment), "{count} {power} {got}");
                if power % 2 == 0 {
                    moment *= (power + 1) as f64;
                }
            }
        }
    }
}
