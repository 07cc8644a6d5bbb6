//! Where a rising function passes through nothing: Newton inside a bracket, then halving.

/// Newton steps before the bracket is halved.
const NEWTON_STEPS: usize = 12;
/// Halvings that bring any bracket here below one unit in the last place of its ends.
const HALVINGS: usize = 60;

/// The place in `low..high` where a rising function is nothing; `f` gives value and slope. It
/// always ends: after some Newton steps the bracket is halved to the last bit. Where the function
/// has no zero inside, the end of the bracket is returned that is nearest to one.
pub(super) fn rising_zero(mut low: f64, mut high: f64, f: impl Fn(f64) -> (f64, f64)) -> f64 {
    let least_step = f64::EPSILON * (high - low);
    let mut x = 0.5 * (low + high);
    for step in 0..NEWTON_STEPS + HALVINGS {
        let (value, slope) = f(x);
        if value > 0.0 {
            high = x;
        } else {
            low = x;
        }
        let newton = x - value / slope;
        let next = if step < NEWTON_STEPS && newton >= low && newton <= high {
            newton
        } else {
            0.5 * (low + high)
        };
        if (next - x).abs() <= least_step {
            return next;
        }
        x = next;
    }
    x
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn it_ends_on_smooth_steep_and_flat_functions() {
        let root = rising_zero(0.0, 2.0, |x| (x * x - 2.0, 2.0 * x));
        assert!((root - 2f64.sqrt()).abs() < 1e-15);
        let flat = rising_zero(-1.0, 2.0, |x| (x.powi(9), 9.0 * x.powi(8)));
        assert!(flat.abs() < 1e-15, "{flat:e}");
        // A slope that lies: halving alone.
        let steep = rising_zero(0.0, 1.0, |x| ((x - 0.3).signum(), 0.0));
        assert!((steep - 0.3).abs() < 1e-15);
        assert!((rising_zero(0.0, 1.0, |x| (x + 1.0, 1.0))).abs() < 1e-15);
        assert!((rising_zero(0.0, 1.0, |x| (x - 5.0, 1.0)) - 1.0).abs() < 1e-15);
    }
}
