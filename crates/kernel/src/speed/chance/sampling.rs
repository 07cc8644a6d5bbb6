//! Sampling by scrambled Sobol points [SOBOL, OWEN, BURLEY].
//!
//! The points fall into independent scramblings of the same sequence. Each gives a mean of its
//! own, and how far these means scatter is the standard error of their mean, which for scrambled
//! points is what cannot be had from the points themselves.
//!
//! A point is known by its number alone, and results are put in the order of the numbers: the same
//! seed gives the same answer on any number of threads.

use rayon::iter::{IntoParallelIterator, ParallelIterator};
use statrs::distribution::{ContinuousCDF, Normal};
use thiserror::Error;

/// Independent scramblings.
pub const SCRAMBLINGS: usize = 16;

/// Most points of one scrambling: the sequence's library has no more.
const MOST_PER_SCRAMBLING: usize = 1 << 16;

/// Most uncertain numbers: the same.
const MOST_DIMENSIONS: usize = 256;

/// Half the spacing of the library's numbers, which have 24 bits: keeps normal values finite.
const HALF_SPACING: f64 = 1.0 / (1 << 25) as f64;

/// Points worked on between two looks at whether to go on, per scrambling.
const BLOCK: usize = 4;

/// How many points, and which.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Sampling {
    /// Points in all; rounded up to a multiple of the scramblings.
    pub points: usize,
    /// Which scramblings.
    pub seed: u32,
}

/// Why nothing was sampled.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Error)]
#[non_exhaustive]
pub enum SamplingError {
    /// Too many points, or none.
    #[error("{points} samples asked for; 1 to {} are possible", SCRAMBLINGS * MOST_PER_SCRAMBLING)]
    Points {
        /// How many.
        points: usize,
    },
    /// Too many uncertain numbers.
    #[error("{dimensions} uncertain numbers; {MOST_DIMENSIONS} at most can be sampled")]
    Dimensions {
        /// How many.
        dimensions: usize,
    },
}

/// One value per point, scrambling by scrambling.
#[derive(Debug, Clone, PartialEq)]
pub struct Samples<T> {
    /// Per scrambling, in the order of the points; all of the same length.
    pub scramblings: Vec<Vec<T>>,
    /// Whether it was stopped before all points were done.
    pub stopped: bool,
}

/// A chance with its standard error.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Chance {
    /// Between 0 and 1.
    pub value: f64,
    /// Its standard error. Where every point gave the same answer the scramblings say nothing,
    /// and it is that of the posterior after a uniform prior, near one over the points.
    pub standard_error: f64,
    /// From so many points.
    pub points: usize,
}

impl Chance {
    /// Where nothing was seen: what the chance stays below, 95 of 100 times, `3/n` (the root of
    /// `(1 − p)ⁿ = 0.05` for many points). Nothing where something was.
    #[must_use]
    pub fn unseen_below(&self) -> Option<f64> {
        (self.value <= 0.0).then(|| 3.0 / self.points as f64)
    }

    /// Where it was seen every time: what the chance stays above, likewise.
    #[must_use]
    pub fn always_above(&self) -> Option<f64> {
        (self.value >= 1.0).then(|| 1.0 - 3.0 / self.points as f64)
    }
}

/// Works on all points: `work` takes the standard normal values of one point. `go_on` is told
/// how many points are done and says whether to go on; what is done by then is kept.
///
/// # Errors
/// [`SamplingError`].
pub fn sample<T: Send>(
    sampling: Sampling,
    dimensions: usize,
    work: impl Fn(&[f64]) -> T + Sync,
    mut go_on: impl FnMut(usize) -> bool,
) -> Result<Samples<T>, SamplingError> {
    let per = sampling.points.div_ceil(SCRAMBLINGS);
    if per == 0 || per > MOST_PER_SCRAMBLING {
        return Err(SamplingError::Points { points: sampling.points });
    }
    if dimensions > MOST_DIMENSIONS {
        return Err(SamplingError::Dimensions { dimensions });
    }
    let mut scramblings: Vec<Vec<T>> = (0..SCRAMBLINGS).map(|_| Vec::with_capacity(per)).collect();
    let mut done = 0;
    while done < per {
        if !go_on(done * SCRAMBLINGS) && done > 0 {
            return Ok(Samples { scramblings, stopped: true });
        }
        let block = BLOCK.min(per - done);
        let values: Vec<T> = (0..SCRAMBLINGS * block)
            .into_par_iter()
            .map(|number| {
                let (scrambling, index) = (number / block, done + number % block);
                work(&normals(sampling.seed, scrambling, index, dimensions))
            })
            .collect();
        for (number, value) in values.into_iter().enumerate() {
            scramblings[number / block].push(value);
        }
        done += block;
    }
    go_on(done * SCRAMBLINGS);
    Ok(Samples { scramblings, stopped: false })
}

/// Standard normal values of one point.
fn normals(seed: u32, scrambling: usize, index: usize, dimensions: usize) -> Vec<f64> {
    let normal = Normal::standard();
    let seed = seed.wrapping_mul(SCRAMBLINGS as u32).wrapping_add(scrambling as u32);
    (0..dimensions)
        .map(|dimension| {
            let uniform = sobol_burley::sample(index as u32, dimension as u32, seed);
            normal.inverse_cdf(f64::from(uniform) + HALF_SPACING)
        })
        .collect()
}

impl<T> Samples<T> {
    /// How many points there are.
    #[must_use]
    pub fn points(&self) -> usize {
        self.scramblings.iter().map(Vec::len).sum()
    }

    /// All values.
    pub fn all(&self) -> impl Iterator<Item = &T> {
        self.scramblings.iter().flatten()
    }

    /// The chance that something is so.
    #[must_use]
    pub fn chance(&self, is_so: impl Fn(&T) -> bool) -> Chance {
        let points = self.points();
        let counts: Vec<usize> =
            self.scramblings.iter().map(|all| all.iter().filter(|v| is_so(v)).count()).collect();
        let hits: usize = counts.iter().sum();
        let n = points as f64;
        let value = hits as f64 / n;
        if hits == 0 || hits == points {
            let standard_error = ((n + 1.0) / ((n + 2.0).powi(2) * (n + 3.0))).sqrt();
            return Chance { value, standard_error, points };
        }
        let each =
            self.scramblings.iter().zip(&counts).map(|(all, c)| *c as f64 / all.len() as f64);
        let k = SCRAMBLINGS as f64;
        let scatter = each.map(|mean| (mean - value).powi(2)).sum::<f64>() / (k - 1.0);
        Chance { value, standard_error: (scatter / k).sqrt(), points }
    }

    /// The value below which a share of the points lies, by order; nothing without points.
    #[must_use]
    pub fn quantile(&self, of: impl Fn(&T) -> f64, share: f64) -> Option<f64> {
        let mut values: Vec<f64> = self.all().map(of).collect();
        let last = values.len().checked_sub(1)?;
        let rank = (share.clamp(0.0, 1.0) * last as f64).round() as usize;
        let (_, value, _) = values.select_nth_unstable_by(rank, f64::total_cmp);
        Some(*value)
    }
}

#[cfg(test)]
mod tests {
    use super::{SCRAMBLINGS, Sampling, SamplingError, sample};
    use statrs::distribution::{ContinuousCDF, Normal};

    /// A margin that is linear in its inputs, so that its distribution is known.
    const WEIGHTS: [f64; 8] = [3.0, -2.0, 1.5, 1.0, -0.8, 0.5, 0.3, 0.1];

    fn linear(x: &[f64]) -> f64 {
        x.iter().zip(WEIGHTS).map(|(x, w)| x * w).sum()
    }

    fn known(limit: f64) -> f64 {
        let sd = WEIGHTS.iter().map(|w| w * w).sum::<f64>().sqrt();
        Normal::standard().cdf(limit / sd)
    }

    #[test]
    fn a_linear_margin_has_its_known_chance() {
        for (limit, seed) in [(-8.0, 1), (-5.0, 2), (0.0, 3), (2.0, 4)] {
            let sampling = Sampling { points: 16_384, seed };
            let samples = sample(sampling, WEIGHTS.len(), linear, |_| true).unwrap();
            let chance = samples.chance(|m| *m < limit);
            let off = (chance.value - known(limit)).abs();
            // Sixteen scramblings: Student's t with 15 degrees of freedom, 99.9 % two-sided.
            assert!(off < 4.07 * chance.standard_error, "{limit}: {off} {chance:?}");
            assert_eq!(chance.points, 16_384);
            let plain = (chance.value * (1.0 - chance.value) / 16_384.0).sqrt();
            assert!(chance.standard_error < plain, "no better than plain: {chance:?} {plain}");
        }
    }

    #[test]
    fn it_agrees_with_plain_sampling() {
        let samples = sample(Sampling { points: 16_384, seed: 9 }, 8, linear, |_| true).unwrap();
        let sobol = samples.chance(|m| *m < -4.0);
        // A plain generator: Weyl steps through a mixing function (splitmix).
        let mut state = 12_345_u64;
        let mut uniform = || {
            state = state.wrapping_add(0x9e37_79b9_7f4a_7c15);
            let mut z = state;
            z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
            z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
            ((z ^ (z >> 31)) >> 11) as f64 / (1_u64 << 53) as f64 + f64::MIN_POSITIVE
        };
        let n = 200_000;
        let hits = (0..n)
            .filter(|_| {
                let x: [f64; 8] =
                    std::array::from_fn(|_| Normal::standard().inverse_cdf(uniform()));
                linear(&x) < -4.0
            })
            .count();
        let plain = f64::from(hits as u32) / f64::from(n);
        let error = (plain * (1.0 - plain) / f64::from(n)).sqrt();
        let both = sobol.standard_error.hypot(error);
        assert!((plain - sobol.value).abs() < 4.0 * both, "{plain} {sobol:?} {both}");
    }

    #[test]
    fn the_number_of_threads_makes_no_difference() {
        let run = |threads: usize| {
            let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().unwrap();
            pool.install(|| sample(Sampling { points: 500, seed: 5 }, 8, linear, |_| true).unwrap())
        };
        let one = run(1);
        assert_eq!(one.points(), 512);
        assert_eq!(one, run(2));
        assert_eq!(one, run(7));
    }

    #[test]
    fn stopped_it_keeps_what_is_done() {
        let all = sample(Sampling { points: 4096, seed: 5 }, 8, linear, |_| true).unwrap();
        let part = sample(Sampling { points: 4096, seed: 5 }, 8, linear, |n| n < 1024).unwrap();
        assert!(part.stopped && part.points() == 1024);
        for (part, all) in part.scramblings.iter().zip(&all.scramblings) {
            assert_eq!(part[..], all[..1024 / SCRAMBLINGS]);
        }
    }

    #[test]
    fn a_quantile_is_where_it_should_be() {
        let samples = sample(Sampling { points: 16_384, seed: 2 }, 8, linear, |_| true).unwrap();
        let at = samples.quantile(|m| *m, 0.05).unwrap();
        assert!((known(at) - 0.05).abs() < 2e-3, "{at}");
    }

    #[test]
    fn nothing_and_too_much_are_refused() {
        let tried = |points, dimensions| {
            sample(Sampling { points, seed: 0 }, dimensions, linear, |_| true).map(|_| ())
        };
        assert_eq!(tried(0, 3), Err(SamplingError::Points { points: 0 }));
        assert_eq!(tried(16, 300), Err(SamplingError::Dimensions { dimensions: 300 }));
        let error = tried(2_000_000, 3).unwrap_err();
        assert!(error.to_string().contains("1 to 1048576"), "{error}");
    }
}
