//! The distribution of one unknown alone.
//!
//! On the lattice it is there on even steps, line by line: a line has the steps of the axes before
//! its own held. The logarithm of each line's weights is carried between its steps by a cubic spline,
//! which is exact for a normal distribution, and all lines are summed up on finer steps.

use nalgebra::{DMatrix, DVector};

/// Finer steps per step of the lattice.
const FINER: usize = 64;

/// Steps of a line, to be carried between them.
const LEAST_STEPS: usize = 4;

/// Most finer steps.
const MOST_FINE: f64 = 1e5;

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
pub(super) struct Lines {
    /// In spreads of what is assumed, all with one step.
    pub(super) lines: Vec<Line>,
    /// That step.
    pub(super) step: f64,
    /// From spreads to the unknown, or to its logarithm.
    pub(super) spread: f64,
    pub(super) logarithm: bool,
    /// Mean and standard deviation of the unknown.
    pub(super) natural: [f64; 2],
    /// Of what it is counted in.
    pub(super) working: [f64; 2],
}

/// Weights at even places, none left out between.
pub(super) struct Line {
    /// The first place.
    pub(super) from: f64,
    pub(super) weights: Vec<f64>,
}

impl Lines {
    /// Nothing if there are too few steps to say anything.
    pub(super) fn marginal(self) -> Option<Marginal> {
        let table = self.summed()?;
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

impl Lines {
    /// Finer places and the share of the cases below each.
    fn summed(&self) -> Option<Vec<[f64; 2]>> {
        let ends = |line: &Line| line.from + self.step * (line.weights.len() - 1) as f64;
        let from = self.lines.iter().map(|line| line.from).fold(f64::INFINITY, f64::min);
        let to = self.lines.iter().map(ends).fold(f64::NEG_INFINITY, f64::max);
        let fine = self.step / FINER as f64;
        let count = ((to - from) / fine).ceil();
        if !(count >= (LEAST_STEPS * FINER) as f64 && count <= MOST_FINE) {
            return None;
        }
        let mut density = vec![0.0; count as usize + 2];
        for line in &self.lines {
            line.spread(from, fine, &mut density);
        }
        let (mut below, mut last) = (0.0, 0.0);
        let mut table = Vec::with_capacity(density.len());
        for (k, here) in density.iter().enumerate() {
            below += 0.5 * (last + here);
            last = *here;
            table.push([from + fine * k as f64, below]);
        }
        for entry in &mut table {
            entry[1] /= below;
        }
        Some(table)
    }
}

impl Line {
    /// Adds its density at finer places.
    fn spread(&self, from: f64, fine: f64, density: &mut [f64]) {
        let at = (self.from - from) / fine;
        let logs: Vec<f64> = self.weights.iter().map(|weight| weight.ln()).collect();
        let bends = bends(&logs).filter(|_| self.weights.iter().all(|weight| *weight > 0.0));
        let (Some(bends), true) = (bends, logs.len() >= LEAST_STEPS) else {
            // The edge of the flood: next to nothing, left where it is.
            for (k, weight) in self.weights.iter().enumerate() {
                let near = (at + (k * FINER) as f64).round() as usize;
                density[near.min(density.len() - 1)] += weight * FINER as f64;
            }
            return;
        };
        let last = logs.len() - 2;
        let first = at.ceil() as usize;
        for (k, density) in density.iter_mut().enumerate().skip(first) {
            let along = (k as f64 - at) / FINER as f64;
            let i = (along as usize).min(last);
            let t = along - i as f64;
            if t > 1.0 {
                break;
            }
            let s = 1.0 - t;
            let bent = bends[i] * (s * s * s - s) + bends[i + 1] * (t * t * t - t);
            *density += (logs[i] * s + logs[i + 1] * t + bent / 6.0).exp();
        }
    }
}

/// Second derivatives of the spline at its knots, one step apart, the last two as their neighbours:
/// what is exact for a parabola.
fn bends(values: &[f64]) -> Option<Vec<f64>> {
    let n = values.len();
    if n < LEAST_STEPS {
        return None;
    }
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
    use super::{Line, Lines};

    /// Two lines of other places, as a lattice has them, each with half of it.
    fn lines(step: f64, log: impl Fn(f64) -> f64) -> Lines {
        let line = |off: f64| {
            let count = (12.0 / step) as usize;
            let from = off * step - 6.0;
            let weight = |k| log(from + f64::from(k) * step).exp();
            Line { from, weights: (0..count as u32).map(weight).collect() }
        };
        let lines = vec![line(0.1), line(0.7)];
        let [natural, working] = [[0.0, 1.0]; 2];
        Lines { lines, step, spread: 2.0, logarithm: false, natural, working }
    }

    #[test]
    fn a_normal_distribution_has_its_quantiles() {
        let marginal = lines(0.9, |z| -0.5 * z * z).marginal().unwrap();
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
        let marginal = lines(0.5, log).marginal().unwrap();
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
