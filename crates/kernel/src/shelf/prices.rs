//! Prices of parts, so that the sets that builds would like best share the parts out: the dual of
//! the linear program that picks sets, solved with the sets that are known, near the best prices
//! so far.

use microlp::{ComparisonOp, OptimizationDirection, Problem, Variable};

/// Prices are good enough when no others can give a bound that is better by this.
pub(super) const FINE_G: f64 = 1e-6;
/// How far prices move at first, grams.
const FIRST_REACH_G: f64 = 4.0;
/// And at last.
const LAST_REACH_G: f64 = 1e-3;

/// A set as prices see it.
#[derive(Debug, Clone, Copy)]
pub(super) struct Priced<'a> {
    pub(super) class: usize,
    pub(super) cost_g: f64,
    /// Parts, each once.
    pub(super) parts: &'a [u32],
}

/// Prices on their way to the best.
#[derive(Debug, Clone)]
pub(super) struct Prices {
    /// The best so far, by part.
    pub(super) best_g: Vec<f64>,
    /// The bound that they give.
    pub(super) bound_g: f64,
    reach_g: f64,
}

impl Prices {
    /// Nothing is known of these.
    pub(super) const fn new(prices_g: Vec<f64>) -> Self {
        Self { best_g: prices_g, bound_g: f64::NEG_INFINITY, reach_g: FIRST_REACH_G }
    }

    /// Takes prices that were tried and the bound they give; whether it is the best so far.
    pub(super) fn tried(&mut self, prices_g: &[f64], bound_g: f64) -> bool {
        let is_better = bound_g > self.bound_g;
        if bound_g > self.bound_g + FINE_G {
            self.reach_g *= 1.2;
        } else if !is_better {
            self.reach_g = (0.6 * self.reach_g).max(LAST_REACH_G);
        }
        if is_better {
            self.best_g = prices_g.to_vec();
            self.bound_g = bound_g;
        }
        is_better
    }

    /// The prices that are best for the sets known, not far from the best so far. `None` where no
    /// prices can be better, or the program fails. `counts`: builds in each class; `none_g`: more
    /// than any set costs with prices.
    pub(super) fn next(
        &self,
        sets: &[Priced<'_>],
        counts: &[usize],
        none_g: f64,
    ) -> Option<Vec<f64>> {
        let mut problem = Problem::new(OptimizationDirection::Maximize);
        let values: Vec<Variable> =
            counts.iter().map(|count| problem.add_var(*count as f64, (-none_g, none_g))).collect();
        // A part that is in no set known earns nothing by a price.
        let mut wanted = vec![false; self.best_g.len()];
        for set in sets {
            set.parts.iter().for_each(|part| wanted[*part as usize] = true);
        }
        let prices: Vec<Option<Variable>> = self
            .best_g
            .iter()
            .zip(&wanted)
            .map(|(centre, wanted)| {
                let within = ((centre - self.reach_g).max(0.0), centre + self.reach_g);
                wanted.then(|| problem.add_var(-1.0, within))
            })
            .collect();
        for set in sets {
            let mut terms = vec![(values[set.class], 1.0)];
            let parts = set.parts.iter().filter_map(|part| prices[*part as usize]);
            terms.extend(parts.map(|price| (price, -1.0)));
            problem.add_constraint(terms.as_slice(), ComparisonOp::Le, set.cost_g);
        }
        let solution = problem.solve().ok()?.into_solution().ok()?;
        let next_g: Vec<f64> = prices
            .iter()
            .map(|price| price.map_or(0.0, |price| solution.var_value(price).max(0.0)))
            .collect();
        let inside = next_g.iter().zip(&self.best_g).all(|(next, now)| {
            (next - now).abs() < 0.999 * self.reach_g || *next == 0.0 && *now <= self.reach_g
        });
        let is_best = inside && solution.objective() - self.bound_g < FINE_G;
        (!is_best).then_some(next_g)
    }
}
