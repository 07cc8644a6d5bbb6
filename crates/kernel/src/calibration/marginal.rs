//! The distribution of one unknown alone.
//!
//! The lattice whose first axis is the unknown's own has its distribution on even steps. The
//! logarithm of that is carried between the steps by a cubic spline, which is exact for a normal
//! distribution, and summed up on finer ones.

use nalgebra::{DMatrix, DVector};

/// Finer steps per step of the lattice.
const FINER: usize = 64;

/// Share of the cases that an interval covers, half of the rest on either side.
pub(super) const LEVEL: f64 = 0.90;

/// The distribution of one unknown: a scale as a factor, the margin in m.
#[derive(Debug, Clone, PartialEq)]
pub struct Marginal {
    /// Half of the cases are below.
    pub median: f64,
    /// Lower end of the interval that covers nine of ten.
    pub low: f64,
    /// Upper end.
    pub high: f64,
    /// Mean.
    pub mean: f64,
    /// Standard deviation.
    pub sd: f64,
    /// Mean and standard deviation of the logarithm of a scale; of the margin itself, m.
    pub(super) working: [f64; 2],
    /// In spreads of what was assumed, with the share of the cases below.
    table: Vec<[f64; 2]>,
    /// From spreads to the unknown.
    spread: f64,
    logarithm: bool,
}

impl Marginal {
    /// The share of the cases below a value, a factor or m.
    #[must_use]
    pub fn chance_below(&self, value: f64) -> f64 {
        let z = if self.logarithm { value.ln() } else { value } / self.spread;
        // A value of no scale at all is below everything.
        if z.is_nan() {
            return 0.0;
        }
        let after = self.table.partition_point(|[at, _]| *at <= z);
        let Some([before, share]) = after.checked_sub(1).map(|k| self.table[k]) else {
            return 0.0;
        };
        let Some([next, more]) = self.table.get(after) else { return 1.0 };
        share + (more - share) * (z - before) / (next - before)
    }

    /// The value below which a share of the cases lies: a factor, or m.
    #[must_use]
    pub fn value_at(&self, share: f64) -> f64 {
        let z = quantile(&self.table, share);
        if self.logarithm { (z * self.spread).exp() } else { z * self.spread }
    }

    /// Mean of the logarithm of a scale; of the margin, m.
    #[must_use]
    pub fn working_mean(&self) -> f64 {
        self.working[0]
    }

    /// Standard deviation of the logarithm of a scale; of the margin, m.
    #[must_use]
    pub fn working_sd(&self) -> f64 {
        self.working[1]
    }
}

/// What a marginal distribution is made from.
pub(super) struct Steps {
    /// Even places in spreads of what is assumed, with weights.
    pub(super) weights: Vec<[f64; 2]>,
    /// From spreads to the unknown, or to its logarithm.
    pub(super) spread: f64,
    pub(super) logarithm: bool,
    /// Mean and standard deviation of the unknown.
    pub(super) natural: [f64; 2],
    /// Of what it is counted in.
    pub(super) working: [f64; 2],
}

impl Steps {
    /// Nothing if there are too few steps to say anything.
    pub(super) fn marginal(self) -> Option<Marginal> {
        let table = summed(&self.weights)?;
        let mut marginal = Marginal {
            median: 0.0,
            low: 0.0,
            high: 0.0,
            mean: self.natural[0],
            sd: self.natural[1],
            working: self.working,
            table,
            spread: self.spread,
            logarithm: self.logarithm,
        };
        marginal.median = marginal.value_at(0.5);
        marginal.low = marginal.value_at(0.5 - 0.5 * LEVEL);
        marginal.high = marginal.value_at(0.5 + 0.5 * LEVEL);
        Some(marginal)
    }
}

fn quantile(table: &[[f64; 2]], share: f64) -> f64 {
    let after = table.partition_point(|[_, below]| *below < share).clamp(1, table.len() - 1);
    let ([z, below], [next, above]) = (table[after - 1], table[after]);
    if above > below { z + (next - z) * (share - below) / (above - below) } else { z }
}

/// Finer places and the share of the cases below each.
fn summed(weights: &[[f64; 2]]) -> Option<Vec<[f64; 2]>> {
    let count = weights.len();
    if count < 4 || weights.iter().any(|[_, weight]| *weight <= 0.0) {
        return None;
    }
    let logs: Vec<f64> = weights.iter().map(|[_, weight]| weight.ln()).collect();
    let bends = bends(&logs)?;
    let step = (weights[count - 1][0] - weights[0][0]) / (count - 1) as f64;
    let fine = (count - 1) * FINER;
    let density = |k: usize| {
        let i = (k / FINER).min(count - 2);
        let t = (k - i * FINER) as f64 / FINER as f64;
        let s = 1.0 - t;
        let bent = bends[i] * (s * s * s - s) + bends[i + 1] * (t * t * t - t);
        (logs[i] * s + logs[i + 1] * t + bent / 6.0).exp()
    };
    let mut table = Vec::with_capacity(fine + 1);
    let (mut below, mut last) = (0.0, density(0));
    table.push([weights[0][0], 0.0]);
    for k in 1..=fine {
        let here = density(k);
        below += 0.5 * (last + here);
        last = here;
        table.push([weights[0][0] + step * k as f64 / FINER as f64, below]);
    }
    for entry in &mut table {
        entry[1] /= below;
    }
    Some(table)
}

/// Second derivatives of the spline at its knots, one step apart, the last two as their neighbours:
/// what is exact for a parabola.
fn bends(values: &[f64]) -> Option<Vec<f64>> {
    let n = values.len();
    let mut matrix = DMatrix::zeros(n, n);
    let mut right = DVector::zeros(n);
    for i in 1..n - 1 {
        matrix[(i, i - 1)] = 1.0;
        matrix[(i, i)] = 4.0;
        matrix[(i, i + 1)] = 1.0;
        right[i] = 6.0 * (values[i + 1] - 2.0 * values[i] + values[i - 1]);
    }
    for (end, beside) in [(0, 1), (n - 1, n - 2)] {
        matrix[(end, end)] = 1.0;
        matrix[(end, beside)] = -1.0;
    }
    Some(matrix.lu().solve(&right)?.iter().copied().collect())
}

#[cfg(test)]
mod tests {
    use super::Steps;

    fn steps(spacing: f64, log: impl Fn(f64) -> f64) -> Steps {
        let weights = (-60..=60)
            .map(|k| f64::from(k) * spacing + 0.1)
            .filter(|z| z.abs() < 6.0)
            .map(|z| [z, log(z).exp()])
            .collect();
        let [natural, working] = [[0.0, 1.0]; 2];
        Steps { weights, spread: 2.0, logarithm: false, natural, working }
    }

    #[test]
    fn a_normal_distribution_has_its_quantiles() {
        let marginal = steps(0.9, |z| -0.5 * z * z).marginal().unwrap();
        assert!(marginal.median.abs() < 1e-4);
        assert!((marginal.high - 2.0 * 1.644_854).abs() < 2e-4, "{}", marginal.high);
        assert!((marginal.low + 2.0 * 1.644_854).abs() < 2e-4);
        // Φ(1) of every table.
        assert!((marginal.chance_below(2.0) - 0.841_345).abs() < 5e-5);
        assert!((marginal.value_at(0.841_345) - 2.0).abs() < 5e-4);
        assert_eq!((marginal.chance_below(-99.0), marginal.chance_below(99.0)), (0.0, 1.0));
    }

    /// A normal distribution that a limit has cut softly, against its sum on fine steps.
    #[test]
    fn a_skewed_distribution_has_its_quantiles() {
        let log = |z: f64| -0.5 * z * z - (1.0 + (3.0 * (z - 0.4)).exp()).ln();
        let marginal = steps(0.5, log).marginal().unwrap();
        let fine: Vec<f64> = (0..120_000).map(|k| log(f64::from(k) * 1e-4 - 6.0).exp()).collect();
        let total: f64 = fine.iter().sum();
        for share in [0.05, 0.5, 0.95] {
            let mut below = 0.0;
            let at = fine.iter().position(|weight| {
                below += weight;
                below >= share * total
            });
            let exact = 2.0 * (at.unwrap() as f64 * 1e-4 - 6.0);
            assert!((marginal.value_at(share) - exact).abs() < 4e-3, "{share} {exact}");
        }
    }
}
