//! Wear per hour of a part, from what its runs took.
//!
//! What run `i` took is `lᵢ = (rate + sᵢ) hᵢ + eᵢ`: through the origin, since what has not run has
//! not worn. `e` are the errors of its two readings, shared between runs where a reading ends one
//! and begins the next; `s` is how one run differs from another, with a standard deviation `τ` of
//! its own. The rate is the weighted least squares of that with the covariance
//! `V = D diag(u²) Dᵀ + τ² diag(h²)`, `D` the differences that make losses of sizes.
//!
//! `τ` is found so that the weighted squares of what is left come to as many as there are degrees
//! of freedom, and is nothing if they come to less without it [PAULE-MANDEL]. The interval is
//! Student's with `n − 1` degrees of freedom. One run shows no scatter: its interval is of the
//! gauges alone, and says so.

use super::error::WearError;
use super::history::{History, Run};
use super::regression::fit;
use nalgebra::{Cholesky, DMatrix, DVector, Dyn};
use statrs::distribution::{ContinuousCDF, Normal, StudentsT};

/// Share of the cases that an interval is to cover, half of the rest on either side.
pub const LEVEL: f64 = 0.90;

/// Halvings of the range in which the scatter lies.
const MOST_HALVINGS: usize = 200;

/// The scatter's variance is found to this part of itself.
const SCATTER_WITHIN: f64 = 1e-12;

/// What the interval is made of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Basis {
    /// One run: the gauges alone. How one run differs from another is not in it.
    Gauges,
    /// Several runs: their scatter and the gauges.
    Runs,
}

/// What one run took.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Loss {
    /// Hours run.
    pub hours: f64,
    /// What it took, m; positive where it wore.
    pub lost_m: f64,
    /// Standard uncertainty of that from both readings, m.
    pub u_m: f64,
    /// What was lost less what the rate makes of its hours, m.
    pub left_m: f64,
}

/// Wear of a part per hour.
#[derive(Debug, Clone, PartialEq)]
pub struct Rate {
    /// m per hour; positive where it wears.
    pub m_per_h: f64,
    /// Its standard uncertainty, m per hour.
    pub u_m_per_h: f64,
    /// Lower end of the interval at [`LEVEL`], m per hour; may be below nothing.
    pub low_m_per_h: f64,
    /// Upper end, m per hour.
    pub high_m_per_h: f64,
    /// Standard deviation of the rate from run to run beyond the gauges, m per hour; nothing where
    /// a single run cannot tell.
    pub scatter_m_per_h: Option<f64>,
    /// Weighted squares of what is left without any scatter: as many as runs less one are usual.
    pub squares: f64,
    /// What the interval is made of.
    pub basis: Basis,
    /// Runs, in the order given.
    pub losses: Vec<Loss>,
    /// Half an interval over its standard uncertainty.
    pub(super) factor: f64,
    /// What each run's loss weighs in the rate, per hour.
    pub(super) weights: Vec<f64>,
}

impl History {
    /// Wear per hour over all runs.
    ///
    /// # Errors
    /// [`WearError`].
    pub fn rate(&self) -> Result<Rate, WearError> {
        self.check()?;
        let count = self.runs.len();
        let lost: Vec<f64> = self.runs.iter().map(|run| self.lost_m(run)).collect();
        let gauges = self.gauges();
        let without = self.weighted(&gauges, &lost, 0.0)?;
        let variance = if count > 1 { self.scatter(&gauges, &lost, &without)? } else { 0.0 };
        let found = self.weighted(&gauges, &lost, variance)?;
        let (basis, factor) = if count > 1 {
            (Basis::Runs, student((count - 1) as f64)?)
        } else {
            (Basis::Gauges, Normal::standard().inverse_cdf(0.5 + 0.5 * LEVEL))
        };
        let losses = self.runs.iter().zip(&lost).enumerate().map(|(i, (run, lost))| Loss {
            hours: run.hours,
            lost_m: *lost,
            u_m: gauges[(i, i)].sqrt(),
            left_m: lost - found.rate * run.hours,
        });
        let half = factor * found.u;
        Ok(Rate {
            m_per_h: found.rate,
            u_m_per_h: found.u,
            low_m_per_h: found.rate - half,
            high_m_per_h: found.rate + half,
            scatter_m_per_h: (count > 1).then(|| variance.sqrt()),
            squares: without.squares,
            basis,
            losses: losses.collect(),
            factor,
            weights: found.weights,
        })
    }

    /// Covariance of the losses from the readings, m².
    fn gauges(&self) -> DMatrix<f64> {
        let share = |run: &Run, size: usize| Self::share(run, size) * self.sizes[size].u_m;
        let differences = DMatrix::from_fn(self.runs.len(), self.sizes.len(), |i, size| {
            share(&self.runs[i], size)
        });
        &differences * differences.transpose()
    }

    /// The rate with a variance of the rate from run to run.
    fn weighted(
        &self,
        gauges: &DMatrix<f64>,
        lost: &[f64],
        variance: f64,
    ) -> Result<Weighted, WearError> {
        let mut covariance = gauges.clone();
        for (i, run) in self.runs.iter().enumerate() {
            covariance[(i, i)] += variance * run.hours * run.hours;
        }
        let root: Cholesky<f64, Dyn> = Cholesky::new(covariance).ok_or(WearError::Range)?;
        let whiten = |values: DVector<f64>| root.l().solve_lower_triangular(&values);
        let hours = DVector::from_iterator(lost.len(), self.runs.iter().map(|run| run.hours));
        let column = whiten(hours.clone()).ok_or(WearError::Range)?;
        let right = whiten(DVector::from_column_slice(lost)).ok_or(WearError::Range)?;
        let line = fit(&[column.iter().copied().collect()], right.as_slice())?;
        let u = line.cofactor[(0, 0)].sqrt();
        let weights = root.solve(&hours) * (u * u);
        Ok(Weighted {
            rate: line.coefficients[0],
            u,
            squares: line.residual_squares,
            weights: weights.iter().copied().collect(),
        })
    }

    /// Variance of the rate from run to run, (m per hour)²: weighted squares fall as it rises.
    fn scatter(
        &self,
        gauges: &DMatrix<f64>,
        lost: &[f64],
        without: &Weighted,
    ) -> Result<f64, WearError> {
        let wanted = (lost.len() - 1) as f64;
        if without.squares <= wanted {
            return Ok(0.0);
        }
        // Rates of single runs cannot scatter by more than they lie apart.
        let rates = || lost.iter().zip(&self.runs).map(|(lost, run)| lost / run.hours);
        let apart =
            rates().fold(f64::NEG_INFINITY, f64::max) - rates().fold(f64::INFINITY, f64::min);
        let (mut low, mut high) = (0.0, apart * apart);
        while self.weighted(gauges, lost, high)?.squares > wanted {
            low = high;
            high *= 2.0;
            if !high.is_finite() {
                return Err(WearError::Range);
            }
        }
        for _ in 0..MOST_HALVINGS {
            let middle = 0.5 * (low + high);
            if self.weighted(gauges, lost, middle)?.squares > wanted {
                low = middle;
            } else {
                high = middle;
            }
            if high - low <= SCATTER_WITHIN * high {
                return Ok(high);
            }
        }
        let left = (high - low) / high;
        Err(WearError::NoConvergence { steps: MOST_HALVINGS, left })
    }
}

/// A rate by given weights.
struct Weighted {
    rate: f64,
    u: f64,
    squares: f64,
    weights: Vec<f64>,
}

/// Student's factor of an interval at [`LEVEL`].
fn student(degrees: f64) -> Result<f64, WearError> {
    let distribution = StudentsT::new(0.0, 1.0, degrees).map_err(|_| WearError::Range)?;
    Ok(distribution.inverse_cdf(0.5 + 0.5 * LEVEL))
}

#[cfg(test)]
mod tests {
    use super::{Basis, LEVEL, student};
    use crate::normals::Normals;
    use crate::wear::{History, Run, Size, WearError, Wears};

    const UM: f64 = 1e-6;

    /// Runs with readings of their own: hours, and what was read before and after.
    fn history(runs: &[(f64, f64, f64)], u_m: f64) -> History {
        let sizes = runs.iter().flat_map(|(_, a, b)| [Size { m: *a, u_m }, Size { m: *b, u_m }]);
        History {
            sizes: sizes.collect(),
            runs: runs
                .iter()
                .enumerate()
                .map(|(i, (hours, ..))| Run { hours: *hours, assembled: 2 * i, apart: 2 * i + 1 })
                .collect(),
            wears: Wears::Less,
        }
    }

    #[test]
    fn one_run_has_the_interval_of_its_gauges() {
        let rate = history(&[(100.0, 80e-3, 80e-3 - 20.0 * UM)], 2.0 * UM).rate().unwrap();
        assert!((rate.m_per_h - 0.2 * UM).abs() < 1e-16);
        // Both readings, 2 √2 µm over 100 h; 1.644854 standard deviations.
        let u = 2.0 * 2f64.sqrt() * UM / 100.0;
        assert!((rate.u_m_per_h - u).abs() < 1e-16 * 100.0);
        assert!((rate.high_m_per_h - rate.m_per_h - 1.644_854 * u).abs() < 1e-6 * u);
        assert_eq!((rate.basis, rate.scatter_m_per_h), (Basis::Gauges, None));
    }

    /// Equal hours and readings: mean and standard deviation of the losses, by hand.
    #[test]
    fn equal_runs_have_their_closed_form() {
        let runs = [20.0, 30.0, 40.0, 10.0].map(|lost| (100.0, 80e-3, 80e-3 - lost * UM));
        let rate = history(&runs, 2.0 * UM).rate().unwrap();
        assert!((rate.m_per_h - 0.25 * UM).abs() < 1e-12 * UM);
        // Squares 25 + 25 + 225 + 225 over 3: 166.67 µm² of scatter, 8 of it the gauges'.
        let variance = 500.0 / 3.0;
        let scatter = (variance - 8.0_f64).sqrt() * UM / 100.0;
        assert!((rate.scatter_m_per_h.unwrap() - scatter).abs() < 1e-9 * scatter);
        let u = (variance / 4.0_f64).sqrt() * UM / 100.0;
        assert!((rate.u_m_per_h - u).abs() < 1e-9 * u);
        // Student's t with three degrees of freedom, 90 % two-sided: 2.353 in every table.
        assert!((rate.low_m_per_h - (rate.m_per_h - 2.353_363 * u)).abs() < 1e-6 * u);
        assert!((rate.squares - 500.0 / 8.0).abs() < 1e-9);
        assert_eq!(rate.basis, Basis::Runs);
    }

    /// Where a reading ends one run and begins the next its error cancels: the rate is the whole
    /// loss over all hours, whatever stands in the middle, if no scatter is seen.
    #[test]
    fn a_shared_reading_cancels() {
        let size = |um: f64, u: f64| Size { m: 80e-3 + um * UM, u_m: u * UM };
        let sizes = vec![size(0.0, 2.0), size(-22.0, 50.0), size(-30.0, 2.0)];
        let run = |hours, assembled| Run { hours, assembled, apart: assembled + 1 };
        let runs = vec![run(50.0, 0), run(50.0, 1)];
        let rate = History { sizes, runs, wears: Wears::Less }.rate().unwrap();
        assert_eq!(rate.scatter_m_per_h, Some(0.0));
        assert!((rate.m_per_h - 0.3 * UM).abs() < 1e-9 * UM, "{rate:?}");
    }

    #[test]
    fn a_groove_that_widens_wears_too() {
        let mut grown = history(&[(50.0, 4e-3, 4.01e-3)], 1.0 * UM);
        grown.wears = Wears::More;
        assert!((grown.rate().unwrap().m_per_h - 0.2 * UM).abs() < 1e-12 * UM);
    }

    /// Known rate, scatter and readings, five runs of unequal hours: the interval covers as often
    /// as it says.
    #[test]
    fn intervals_cover() {
        const TRIALS: usize = 4000;
        let mut noise = Normals(7);
        let mut covered = 0;
        for _ in 0..TRIALS {
            let runs = [40.0, 80.0, 60.0, 120.0, 50.0].map(|hours| {
                let (before, after) = (2.0 * noise.next(), 2.0 * noise.next());
                let lost = (0.3 + 0.08 * noise.next()) * hours;
                (hours, 80e-3 + before * UM, 80e-3 + (after - lost) * UM)
            });
            let rate = history(&runs, 2.0 * UM).rate().unwrap();
            covered += usize::from(rate.low_m_per_h < 0.3 * UM && 0.3 * UM < rate.high_m_per_h);
        }
        let share = covered as f64 / TRIALS as f64;
        // Where the scatter comes out as nothing by chance the gauges keep the interval wide, so
        // it covers a little more; three standard deviations of 4000 trials are 1.4 %.
        assert!(share > LEVEL - 0.015 && share < LEVEL + 0.03, "{share}");
    }

    /// Tables have 6.314, 2.920 and 1.860 [AS, table 26.10, from memory].
    #[test]
    fn students_factors() {
        for (degrees, factor) in [(1.0, 6.314), (2.0, 2.920), (8.0, 1.860)] {
            assert!((student(degrees).unwrap() - factor).abs() < 6e-4);
        }
    }

    #[test]
    fn wrong_runs_are_named() {
        let mut wrong = history(&[(100.0, 1.0, 1.0), (20.0, 1.0, 1.0)], 1.0 * UM);
        wrong.runs[1].assembled = 0;
        assert_eq!(
            wrong.rate().unwrap_err().to_string(),
            "runs 1 and 2 both begin with reading 1; each needs its own"
        );
        wrong.runs[1] = Run { hours: 0.0, assembled: 2, apart: 3 };
        assert_eq!(wrong.rate().unwrap_err(), WearError::Hours { run: 2, hours: 0.0 });
        wrong.runs[1] = Run { hours: 1.0, assembled: 2, apart: 4 };
        assert!(matches!(wrong.rate().unwrap_err(), WearError::Readings { run: 2, apart: 5, .. }));
        wrong.sizes[3].u_m = 0.0;
        assert!(matches!(wrong.rate().unwrap_err(), WearError::Size { reading: 4, .. }));
        wrong.runs.clear();
        assert_eq!(wrong.rate().unwrap_err(), WearError::NoRuns);
    }
}
