//! What is said of one size that is read at assembly: the verdict of ISO 14253-1 as for every
//! other size, or why there is none.

use crate::readings::{GUARD_FACTOR, ROUNDING_M, Verdict};
use crate::units::{Length, Quantity};
use thiserror::Error;

/// The least and the most that a size may be; one of them may be left open, not both.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Wanted<Q> {
    least: Option<Q>,
    most: Option<Q>,
}

/// Why something is no limit.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Error)]
pub enum NoWanted {
    /// Neither end is given.
    #[error("neither least nor most is given")]
    Open,
    /// The least is above the most.
    #[error("least is more than most")]
    Crossed,
    /// One of them is no finite number.
    #[error("least or most is not finite")]
    NotFinite,
}

impl<Q: Quantity> Wanted<Q> {
    /// From what is given.
    ///
    /// # Errors
    /// [`NoWanted`] where nothing is asked, where no value could be within, or where one is no
    /// number.
    pub fn new(least: Option<Q>, most: Option<Q>) -> Result<Self, NoWanted> {
        if [least, most].iter().flatten().any(|end| !end.si().is_finite()) {
            return Err(NoWanted::NotFinite);
        }
        match (least, most) {
            (None, None) => Err(NoWanted::Open),
            (Some(least), Some(most)) if least.si() > most.si() => Err(NoWanted::Crossed),
            _ => Ok(Self { least, most }),
        }
    }

    /// The least, if there is one.
    #[must_use]
    pub const fn least(&self) -> Option<Q> {
        self.least
    }

    /// The most, if there is one.
    #[must_use]
    pub const fn most(&self) -> Option<Q> {
        self.most
    }

    /// Half way between both, where both are given.
    #[must_use]
    pub fn middle(&self) -> Option<Q> {
        Some(Q::from_si((self.least?.si() + self.most?.si()) / 2.0))
    }

    /// The verdict on a value read with this standard uncertainty (not negative), at the guard
    /// of `1.65 u` against each end that is given [ISO-14253-1].
    #[must_use]
    pub fn judge(&self, value: Q, standard_uncertainty: Q) -> Verdict {
        // A rounding that is far below any reading, in SI: a picometre, a piconewton.
        let guard = GUARD_FACTOR * standard_uncertainty.si();
        let within = |guard: f64| {
            self.least.is_none_or(|least| value.si() >= least.si() + guard - ROUNDING_M)
                && self.most.is_none_or(|most| value.si() <= most.si() - guard + ROUNDING_M)
        };
        if within(guard) {
            Verdict::Conforms
        } else if within(-guard) {
            Verdict::NotProven
        } else {
            Verdict::DoesNotConform
        }
    }
}

/// What is said of a size.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Said {
    /// It was not read.
    NotRead,
    /// It was read, and nobody said what it should be.
    NoLimit,
    /// It was read and has a limit.
    Judged(Verdict),
}

impl Said {
    /// In the words every output uses.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::NotRead => "not read",
            Self::NoLimit => "no limit given",
            Self::Judged(verdict) => verdict.words(),
        }
    }
}

/// What is said of a size: `read` is its value and the standard uncertainty of that.
#[must_use]
pub fn judged<Q: Quantity>(wanted: Option<&Wanted<Q>>, read: Option<(Q, Q)>) -> Said {
    match (wanted, read) {
        (_, None) => Said::NotRead,
        (None, Some(_)) => Said::NoLimit,
        (Some(wanted), Some((value, u))) => Said::Judged(wanted.judge(value, u)),
    }
}

/// Standard uncertainty of one reading of a gauge: `u² = repeat² + zero²`, independent errors
/// [JCGM-100]. The zero counts in full: a play or a gap is read once, and nothing it is compared
/// with was measured with the same gauge.
#[must_use]
pub fn reading_uncertainty(repeat: Length, zero: Length) -> Length {
    Length::m(repeat.to_m().hypot(zero.to_m()))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::readings::{Tolerance, guard};
    use crate::units::Force;
    use proptest::prelude::*;

    fn um(value: f64) -> Length {
        Length::um(value)
    }

    #[test]
    fn one_end_may_be_open_and_not_both() {
        let most = Wanted::new(None, Some(um(20.0))).unwrap();
        assert_eq!(most.judge(um(0.0), um(3.0)), Verdict::Conforms);
        assert_eq!(most.judge(um(16.0), um(3.0)), Verdict::NotProven);
        assert_eq!(most.judge(um(25.0), um(3.0)), Verdict::DoesNotConform);
        assert_eq!(most.middle(), None);
        let least = Wanted::new(Some(Force::n(30.0)), None).unwrap();
        assert_eq!(least.judge(Force::n(500.0), Force::n(1.0)), Verdict::Conforms);
        assert_eq!(least.judge(Force::n(31.6), Force::n(1.0)), Verdict::NotProven);
        assert_eq!(least.judge(Force::n(28.3), Force::n(1.0)), Verdict::DoesNotConform);
        assert_eq!(Wanted::<Length>::new(None, None), Err(NoWanted::Open));
        assert_eq!(Wanted::new(Some(um(2.0)), Some(um(1.0))), Err(NoWanted::Crossed));
        let no_number = Wanted::new(Some(Length::m(f64::NAN)), None);
        assert_eq!(no_number, Err(NoWanted::NotFinite));
    }

    #[test]
    fn why_there_is_no_verdict() {
        let wanted = Wanted::new(Some(um(40.0)), Some(um(80.0))).unwrap();
        assert_eq!(judged(Some(&wanted), None), Said::NotRead);
        assert_eq!(judged(None, Some((um(60.0), um(3.0)))), Said::NoLimit);
        let said = judged(Some(&wanted), Some((um(60.0), um(3.0))));
        assert_eq!(said.words(), "conforms");
        assert!((wanted.middle().unwrap() - um(60.0)).abs() < um(1e-9));
    }

    #[test]
    fn a_reading_errs_by_repeat_and_zero() {
        assert!((reading_uncertainty(um(3.0), um(4.0)).to_um() - 5.0).abs() < 1e-12);
        assert_eq!(reading_uncertainty(um(3.0), Length::ZERO), um(3.0));
    }

    proptest! {
        /// With both ends it is the verdict that every other size gets.
        #[test]
        fn it_is_the_verdict_of_every_other_size(
            least in 0.0..200.0f64, wide in 0.0..200.0f64, value in -100.0..500.0f64,
            u in 0.0..40.0f64,
        ) {
            let (low, high) = (um(least), um(least + wide));
            let wanted = Wanted::new(Some(low), Some(high)).unwrap();
            let tolerance = Tolerance { least: low, most: high };
            prop_assert_eq!(
                wanted.judge(um(value), um(u)),
                tolerance.judge(um(value), guard(um(u)))
            );
        }
    }
}
