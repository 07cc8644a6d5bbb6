//! What a set costs, and what it costs at least, place by place.
//!
//! A place with grams `g`, price `q` of its parts (see [`super::several`]) and mass `m` before the
//! cut adds `c g + q` to the cost, `c` being 0 where it is the heaviest, 2 where it is the
//! lightest, 1 else; a set of one counts 1. Where a place may still get one of several housings,
//! `u_c` is the least of `c g + q` over them. The cost of a set is then no less than
//! `Σ u_1 + (high_a − low_b)` for each two places `a` and `b`, with `high = m + u_0 − u_1` and
//! `low = m + u_1 − u_2`, and no less than `Σ u_1`. As `u_c` is concave in `c`, `high ≤ low` within
//! a place, so that a place taken as both adds nothing wrong. With one housing and its exact grams
//! all of that is exact.

/// Grams and prices of some places, and the ends of their masses.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Sum {
    first_g: f64,
    high_g: f64,
    low_g: f64,
}

impl Sum {
    /// No place.
    pub(super) const NONE: Self =
        Self { first_g: 0.0, high_g: f64::NEG_INFINITY, low_g: f64::INFINITY };
    /// A place that nothing fits.
    pub(super) const NEVER: Self =
        Self { first_g: f64::INFINITY, high_g: f64::NEG_INFINITY, low_g: f64::INFINITY };

    /// A place whose grams and price are known. A mass of `None` does not count.
    #[inline]
    pub(super) fn exact(mass_g: Option<f64>, grams: f64, price: f64) -> Self {
        let (high_g, low_g) = mass_g
            .map_or((f64::NEG_INFINITY, f64::INFINITY), |mass_g| (mass_g - grams, mass_g - grams));
        Self { first_g: grams + price, high_g, low_g }
    }

    /// A place that may get any of some housings, each with its grams and price at least.
    #[inline]
    pub(super) fn any_of(mass_g: Option<f64>, ways: impl Iterator<Item = (f64, f64)>) -> Self {
        let [u0, u1, u2] = ways.fold([f64::INFINITY; 3], |u, (grams, price)| {
            [u[0].min(price), u[1].min(grams + price), u[2].min(2.0 * grams + price)]
        });
        if !u1.is_finite() {
            return Self::NEVER;
        }
        let (high_g, low_g) = mass_g.map_or((f64::NEG_INFINITY, f64::INFINITY), |mass_g| {
            (mass_g + u0 - u1, mass_g + u1 - u2)
        });
        Self { first_g: u1, high_g, low_g }
    }

    /// These places and those.
    #[must_use]
    #[inline]
    pub(super) fn and(self, other: Self) -> Self {
        Self {
            first_g: self.first_g + other.first_g,
            high_g: self.high_g.max(other.high_g),
            low_g: self.low_g.min(other.low_g),
        }
    }

    /// What they cost, at least.
    #[inline]
    pub(super) fn cost_g(&self) -> f64 {
        self.first_g + (self.high_g - self.low_g).max(0.0)
    }

    /// Grams and prices alone, at least.
    pub(super) const fn without_mismatch_g(&self) -> f64 {
        self.first_g
    }

    /// How far the masses differ, at least.
    #[inline]
    pub(super) fn mismatch_g(&self) -> f64 {
        (self.high_g - self.low_g).max(0.0)
    }
}
