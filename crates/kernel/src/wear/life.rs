//! What a rate of wear leaves before a limit.
//!
//! Room `R` to the limit and rate `r` are both uncertain, and the reading that the room is counted
//! from is mostly also one of the rate's. Hours `H` are possible as long as
//! `(R − H r)² ≤ t² (u_R² − 2 H c + H² u_r²)`, `c` their covariance [FIELLER]. Where the rate's
//! interval reaches nothing no upper end exists, and what is left cannot be said yet.
//!
//! Rebuilds are counted one by one: before each a cut may be taken, then it runs its hours, with
//! the scatter from run to run.

use super::error::WearError;
use super::history::{History, Run, Wears};
use super::rate::{Basis, Rate};

/// Rebuilds that are looked at; what would last longer is said to last as long.
pub const MOST_REBUILDS: usize = 1000;

/// Where a size may not pass.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Limit {
    /// The limit: the least size where wear makes it less, else the greatest, m.
    pub m: f64,
    /// Standard uncertainty of the gauge's zero, which does not cancel against a limit, m.
    pub zero_u_m: f64,
}

/// What is to come.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Service {
    /// Hours of each run, more than none.
    pub hours_per_run: f64,
    /// What is cut at each rebuild, m, towards the limit; none or more.
    pub cut_m: f64,
}

/// Hours before a limit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hours {
    /// Lower end of the interval.
    pub low: f64,
    /// By the rate as it is.
    pub expected: f64,
    /// Upper end.
    pub high: f64,
}

/// Whole runs before a limit, each behind its cut.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Rebuilds {
    /// So many at least.
    pub low: usize,
    /// By the rate as it is.
    pub expected: usize,
    /// So many at most; nothing if [`MOST_REBUILDS`] and more are possible.
    pub high: Option<usize>,
}

/// How long a part lasts. Ends of intervals leave out half of what [`super::LEVEL`] leaves, so
/// that each is passed in one case of twenty.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Life {
    /// It lies at its limit already, or behind it.
    Past {
        /// How far behind it, m.
        by_m: f64,
    },
    /// The rate's interval reaches nothing: only the least can be said.
    NotYet {
        /// Hours that it lasts at least; nothing where even that cannot be said: no wear is seen,
        /// or the size is not surely before its limit.
        at_least_hours: Option<f64>,
        /// Rebuilds that it lasts at least.
        at_least_rebuilds: usize,
        /// What the interval is made of.
        basis: Basis,
    },
    /// Hours and rebuilds left.
    Left {
        /// Of running, no further cut taken.
        hours: Hours,
        /// With their cuts.
        rebuilds: Rebuilds,
        /// What the interval is made of.
        basis: Basis,
    },
}

impl History {
    /// How long the part lasts from reading `now`, counted from 0, by `rate`, which is this
    /// history's own.
    ///
    /// # Errors
    /// [`WearError`].
    pub fn life(
        &self,
        rate: &Rate,
        now: usize,
        limit: Limit,
        service: Service,
    ) -> Result<Life, WearError> {
        self.check()?;
        check(limit, service)?;
        let sizes = self.sizes.len();
        let size = self.sizes.get(now).ok_or(WearError::Now { reading: now + 1, sizes })?;
        let room = match self.wears {
            Wears::Less => size.m - limit.m,
            Wears::More => limit.m - size.m,
        };
        if room <= 0.0 {
            return Ok(Life::Past { by_m: -room });
        }
        // Of the room and of each loss the size's error has the same sign, whichever way it wears.
        let share = |(run, weight): (&Run, &f64)| Self::share(run, now) * weight;
        let shared = self.runs.iter().zip(&rate.weights).map(share).sum::<f64>();
        let ahead = Ahead {
            room,
            room_variance: size.u_m * size.u_m + limit.zero_u_m * limit.zero_u_m,
            shared: shared * size.u_m * size.u_m,
            rate,
            service,
        };
        let low = ahead.rebuilds(-rate.factor).unwrap_or(MOST_REBUILDS);
        Ok(match ahead.hours() {
            Some(hours) => Life::Left {
                hours,
                rebuilds: Rebuilds {
                    low,
                    expected: ahead.rebuilds(0.0).unwrap_or(MOST_REBUILDS),
                    high: ahead.rebuilds(rate.factor),
                },
                basis: rate.basis,
            },
            None => Life::NotYet {
                at_least_hours: ahead.at_least(),
                at_least_rebuilds: low,
                basis: rate.basis,
            },
        })
    }
}

struct Ahead<'a> {
    room: f64,
    room_variance: f64,
    shared: f64,
    rate: &'a Rate,
    service: Service,
}

impl Ahead<'_> {
    /// `a H² − 2 b H + c`, nothing or less within the interval.
    fn bounds(&self) -> (f64, f64, f64) {
        let squared = self.rate.factor * self.rate.factor;
        let rate = self.rate.m_per_h;
        (
            rate * rate - squared * self.rate.u_m_per_h * self.rate.u_m_per_h,
            self.room * rate - squared * self.shared,
            self.room * self.room - squared * self.room_variance,
        )
    }

    fn hours(&self) -> Option<Hours> {
        let (a, b, c) = self.bounds();
        if self.rate.m_per_h <= 0.0 || a <= 0.0 {
            return None;
        }
        let root = (b * b - a * c).max(0.0).sqrt();
        // The larger root first: the other one by Vieta, which loses no digits.
        let high = (b + root) / a;
        let low = if c > 0.0 { c / (b + root) } else { 0.0 };
        Some(Hours { low, expected: self.room / self.rate.m_per_h, high })
    }

    /// Where only the lower end exists.
    fn at_least(&self) -> Option<f64> {
        let (a, b, c) = self.bounds();
        if c <= 0.0 || self.rate.high_m_per_h <= 0.0 {
            return None;
        }
        let below = b * b - a * c;
        if below < 0.0 {
            return None;
        }
        let divisor = b + below.sqrt();
        (divisor > 0.0).then(|| c / divisor)
    }

    /// The most runs after which the room, `sign` standard deviations out, is not used up;
    /// nothing if that are [`MOST_REBUILDS`] or more.
    fn rebuilds(&self, factor: f64) -> Option<usize> {
        let scatter = self.rate.scatter_m_per_h.unwrap_or(0.0);
        let u = self.rate.u_m_per_h;
        (1..=MOST_REBUILDS)
            .find(|count| {
                let runs = *count as f64;
                let hours = runs * self.service.hours_per_run;
                let left = self.room - hours * self.rate.m_per_h - runs * self.service.cut_m;
                let variance = self.room_variance - 2.0 * hours * self.shared
                    + hours * hours * u * u
                    + runs * (self.service.hours_per_run * scatter).powi(2);
                left + factor * variance.max(0.0).sqrt() < 0.0
            })
            .map(|count| count - 1)
    }
}

fn check(limit: Limit, service: Service) -> Result<(), WearError> {
    let wrong = |what, value, permitted| Err(WearError::Service { what, value, permitted });
    if !limit.m.is_finite() {
        return wrong("the limit", limit.m, "it is a size");
    }
    if !(limit.zero_u_m.is_finite() && limit.zero_u_m >= 0.0) {
        return wrong("the uncertainty of the zero", limit.zero_u_m, "it is none or more");
    }
    if !(service.hours_per_run.is_finite() && service.hours_per_run > 0.0) {
        return wrong("the hours of a run", service.hours_per_run, "they are more than none");
    }
    if !(service.cut_m.is_finite() && service.cut_m >= 0.0) {
        return wrong("the cut of a rebuild", service.cut_m, "it is none or more");
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::{Hours, Life, Limit, Rebuilds, Service};
    use crate::normals::Normals;
    use crate::wear::{Basis, History, Run, Size, WearError, Wears};

    const UM: f64 = 1e-6;

    fn read(um: f64, u_um: f64) -> Size {
        Size { m: 80e-3 + um * UM, u_m: u_um * UM }
    }

    fn one(lost_um: f64, u_um: f64) -> History {
        History {
            sizes: vec![read(0.0, u_um), read(-lost_um, u_um)],
            runs: vec![Run { hours: 100.0, assembled: 0, apart: 1 }],
            wears: Wears::Less,
        }
    }

    fn limit(um: f64) -> Limit {
        Limit { m: 80e-3 + um * UM, zero_u_m: 0.0 }
    }

    const SERVICE: Service = Service { hours_per_run: 100.0, cut_m: 0.0 };

    /// With readings that are as good as exact it is room over rate.
    #[test]
    fn without_uncertainty_it_is_a_division() {
        let history = one(20.0, 1e-9);
        let rate = history.rate().unwrap();
        let life = history.life(&rate, 1, limit(-90.0), SERVICE).unwrap();
        let Life::Left { hours: Hours { low, expected, high }, rebuilds, basis } = life else {
            panic!("{life:?}");
        };
        assert!((expected - 350.0).abs() < 1e-6 && (low - 350.0).abs() < 1e-5);
        assert!((high - 350.0).abs() < 1e-5);
        assert_eq!(rebuilds, Rebuilds { low: 3, expected: 3, high: Some(3) });
        assert_eq!(basis, Basis::Gauges);
        // A cut of 5 µm at each rebuild leaves 70/25.
        let cut = Service { cut_m: 5.0 * UM, ..SERVICE };
        let life = history.life(&rate, 1, limit(-90.0), cut).unwrap();
        let Life::Left { rebuilds, .. } = life else { panic!("{life:?}") };
        assert_eq!(rebuilds.expected, 2);
    }

    /// Independent room and rate, by the formula of the textbooks.
    #[test]
    fn an_interval_has_its_closed_form() {
        let mut history = one(20.0, 1.0);
        history.sizes.push(read(-30.0, 1.0));
        let rate = history.rate().unwrap();
        let life = history.life(&rate, 2, limit(-100.0), SERVICE).unwrap();
        let Life::Left { hours, .. } = life else { panic!("{life:?}") };
        // r = 0.2, u_r = √2/100 µm/h, R = 70, u_R = 1 µm.
        let (t, r, room) = (1.644_853_6_f64, 0.2, 70.0);
        let g = (t * 2f64.sqrt() / 100.0 / r).powi(2);
        let middle = room / r / (1.0 - g);
        let half = t / r / (1.0 - g) * (1.0 - g + (room / r).powi(2) * 2e-4).sqrt();
        assert!((hours.low - (middle - half)).abs() < 1e-4, "{hours:?} {middle} {half}");
        assert!((hours.high - (middle + half)).abs() < 1e-4, "{hours:?}");
    }

    #[test]
    fn what_cannot_be_said_is_not_said() {
        let history = one(2.0, 2.0);
        let rate = history.rate().unwrap();
        assert!(rate.low_m_per_h < 0.0);
        let life = history.life(&rate, 1, limit(-90.0), SERVICE).unwrap();
        let Life::NotYet { at_least_hours: Some(hours), at_least_rebuilds, .. } = life else {
            panic!("{life:?}");
        };
        // It may wear by 2 + 1.645 · 2√2 = 6.65 µm per 100 h, with room for 88 µm.
        assert!(hours > 88.0 / 6.66 * 95.0 && hours < 88.0 / 6.65 * 100.0, "{hours}");
        assert!((11..=13).contains(&at_least_rebuilds));
        // What grows by far more than the gauges allow has not worn: nothing is said.
        let history = one(-50.0, 1.0);
        let life = history.life(&history.rate().unwrap(), 1, limit(-90.0), SERVICE).unwrap();
        assert!(matches!(life, Life::NotYet { at_least_hours: None, .. }), "{life:?}");
        let past = one(20.0, 1.0);
        let life = past.life(&past.rate().unwrap(), 1, limit(-15.0), SERVICE).unwrap();
        let Life::Past { by_m } = life else { panic!("{life:?}") };
        assert!((by_m - 5.0 * UM).abs() < 1e-12);
    }

    /// Five runs of known rate, scatter and readings, cut between: hours cover the true ones.
    #[test]
    fn intervals_cover() {
        const TRIALS: usize = 2000;
        let mut noise = Normals(11);
        let (mut covered, mut said) = (0, 0);
        for _ in 0..TRIALS {
            let (mut size, mut sizes, mut runs) = (0.0, Vec::new(), Vec::new());
            for hours in [60.0, 80.0, 70.0, 100.0, 50.0] {
                sizes.push(read(size + noise.next(), 1.0));
                size -= (0.3 + 0.03 * noise.next()) * hours;
                sizes.push(read(size + noise.next(), 1.0));
                runs.push(Run { hours, assembled: sizes.len() - 2, apart: sizes.len() - 1 });
                size -= 10.0;
            }
            size += 10.0;
            let history = History { sizes, runs, wears: Wears::Less };
            let rate = history.rate().unwrap();
            let life = history.life(&rate, 9, limit(-400.0), SERVICE).unwrap();
            let Life::Left { hours, .. } = life else { continue };
            said += 1;
            let true_hours = (size + 400.0) / 0.3;
            covered += usize::from(hours.low < true_hours && true_hours < hours.high);
        }
        let share = covered as f64 / said as f64;
        // Three standard deviations of 2000 trials are 2 %.
        assert!(said > TRIALS * 99 / 100 && share > 0.88 && share < 0.93, "{share} {said}");
    }

    #[test]
    fn wrong_questions_are_refused() {
        let history = one(20.0, 1.0);
        let rate = history.rate().unwrap();
        let error = history.life(&rate, 2, limit(0.0), SERVICE).unwrap_err();
        assert_eq!(error, WearError::Now { reading: 3, sizes: 2 });
        let none = Service { hours_per_run: 0.0, cut_m: 0.0 };
        let error = history.life(&rate, 1, limit(0.0), none).unwrap_err();
        assert_eq!(error.to_string(), "the hours of a run: 0; they are more than none");
    }
}
