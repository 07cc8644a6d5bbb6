//! What is said of what was found on a used part.

use crate::assembly::Wanted;
use crate::readings::Verdict;
use crate::units::{Length, Quantity};
use thiserror::Error;

/// What becomes of a part by one item, the better first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Fate {
    /// It can be used as it is.
    Use,
    /// It can be used after it was reworked.
    Rework,
    /// The reading is too near to a limit for its gauge.
    NotProven,
    /// It cannot be used.
    Reject,
}

impl Fate {
    /// In the words every output uses.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Use => "use",
            Self::Rework => "rework",
            Self::NotProven => "not proven",
            Self::Reject => "reject",
        }
    }
}

/// Why something is no limit of a used part.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Error)]
pub enum NoBand {
    /// The limits of rework are within those of use.
    #[error("what can be reworked ends before what can be used")]
    Narrower,
    /// The limits of rework leave nothing to rework.
    #[error("nothing lies between what can be used and what can be reworked")]
    Nothing,
}

/// The sizes with which a part can be used, and those with which it can be reworked.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sizes<Q> {
    within: Wanted<Q>,
    rework: Option<Wanted<Q>>,
}

impl<Q: Quantity> Sizes<Q> {
    /// From what the shop gives. An end of the rework that is not given is the end of the use.
    ///
    /// # Errors
    /// [`NoBand`] where no rework begins outside of the use.
    pub fn new(within: Wanted<Q>, rework: Option<(Option<Q>, Option<Q>)>) -> Result<Self, NoBand> {
        let Some((least, most)) = rework else { return Ok(Self { within, rework: None }) };
        let less =
            |a: Option<Q>, b: Option<Q>| matches!((a, b), (Some(a), Some(b)) if a.si() < b.si());
        // An open end of the use needs no rework; one of the rework there would be narrower.
        let narrower = less(within.least(), least)
            || less(most, within.most())
            || (within.least().is_none() && least.is_some())
            || (within.most().is_none() && most.is_some());
        if narrower {
            return Err(NoBand::Narrower);
        }
        if !less(least, within.least()) && !less(within.most(), most) {
            return Err(NoBand::Nothing);
        }
        let ends = (least.or(within.least()), most.or(within.most()));
        let rework = Wanted::new(ends.0, ends.1).map_err(|_| NoBand::Nothing)?;
        Ok(Self { within, rework: Some(rework) })
    }

    /// The sizes of use.
    #[must_use]
    pub const fn within(&self) -> &Wanted<Q> {
        &self.within
    }

    /// The sizes of rework, those of use among them.
    #[must_use]
    pub const fn rework(&self) -> Option<&Wanted<Q>> {
        self.rework.as_ref()
    }

    /// What is said of a value that was read with this standard uncertainty (not negative): each
    /// side of a limit must be proven at its guard, as for every other size [ISO-14253-1].
    #[must_use]
    pub fn judge(&self, value: Q, standard_uncertainty: Q) -> Fate {
        match self.within.judge(value, standard_uncertainty) {
            Verdict::Conforms => Fate::Use,
            Verdict::NotProven => Fate::NotProven,
            Verdict::DoesNotConform => {
                match self.rework.map(|rework| rework.judge(value, standard_uncertainty)) {
                    Some(Verdict::Conforms) => Fate::Rework,
                    Some(Verdict::NotProven) => Fate::NotProven,
                    Some(Verdict::DoesNotConform) | None => Fate::Reject,
                }
            }
        }
    }
}

/// The words with which a part can be used, and those with which it can be reworked; every other
/// one rejects it.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Looks {
    /// With these it can be used.
    pub accept: Vec<&'static str>,
    /// With these it can be reworked.
    pub rework: Vec<&'static str>,
}

impl Looks {
    /// What is said of a word.
    #[must_use]
    pub fn judge(&self, word: &str) -> Fate {
        if self.accept.contains(&word) {
            Fate::Use
        } else if self.rework.contains(&word) {
            Fate::Rework
        } else {
            Fate::Reject
        }
    }
}

/// A length that was read, with what its gauge is known to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reading {
    /// What was read.
    pub value: Length,
    /// Standard uncertainty of one reading of its gauge.
    pub repeat: Length,
    /// Standard uncertainty of the gauge's zero.
    pub zero: Length,
    /// Which gauge; readings of one share its zero. None: one that nobody named, alike for all.
    pub gauge: Option<usize>,
}

/// The greatest less the least of some readings.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spread {
    /// How much.
    pub value: Length,
    /// Standard uncertainty of that: both repeats, and both zeros where two gauges read them; the
    /// zero of one gauge is in both and cancels.
    pub standard_uncertainty: Length,
}

/// The spread of readings; nothing where there are fewer than two. Scatter alone sets the greatest of
/// many equal sizes above the least: a spread errs to the side of too much.
#[must_use]
pub fn spread(readings: &[Reading]) -> Option<Spread> {
    if readings.len() < 2 {
        return None;
    }
    let by = |a: &&Reading, b: &&Reading| a.value.to_m().total_cmp(&b.value.to_m());
    let (least, most) = (readings.iter().min_by(by)?, readings.iter().max_by(by)?);
    let square = |length: Length| length.to_m() * length.to_m();
    let zeros =
        if least.gauge == most.gauge { 0.0 } else { square(least.zero) + square(most.zero) };
    Some(Spread {
        value: most.value - least.value,
        standard_uncertainty: Length::m(
            (square(least.repeat) + square(most.repeat) + zeros).sqrt(),
        ),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn um(value: f64) -> Length {
        Length::um(value)
    }

    fn most(value: f64) -> Wanted<Length> {
        Wanted::new(None, Some(um(value))).unwrap()
    }

    #[test]
    fn a_wear_goes_from_use_to_rework_to_reject() {
        let wear = Sizes::new(most(40.0), Some((None, Some(um(100.0))))).unwrap();
        let said = |value: f64| wear.judge(um(value), um(2.0));
        assert_eq!(said(30.0), Fate::Use);
        assert_eq!(said(38.0), Fate::NotProven);
        assert_eq!(said(60.0), Fate::Rework);
        assert_eq!(said(99.0), Fate::NotProven);
        assert_eq!(said(120.0), Fate::Reject);
        let no_rework = Sizes::new(most(40.0), None).unwrap();
        assert_eq!(no_rework.judge(um(60.0), um(2.0)), Fate::Reject);
    }

    #[test]
    fn a_rework_lies_outside_of_the_use() {
        let between = Wanted::new(Some(um(10.0)), Some(um(40.0))).unwrap();
        let with = |least, most| Sizes::new(between, Some((least, most)));
        assert_eq!(with(None, Some(um(30.0))), Err(NoBand::Narrower));
        assert_eq!(with(Some(um(12.0)), Some(um(90.0))), Err(NoBand::Narrower));
        assert_eq!(with(None, Some(um(40.0))), Err(NoBand::Nothing));
        assert_eq!(with(None, None), Err(NoBand::Nothing));
        let open = Sizes::new(most(40.0), Some((Some(um(1.0)), None)));
        assert_eq!(open, Err(NoBand::Narrower));
        let one = with(None, Some(um(90.0))).unwrap();
        // Too small cannot be mended where only too large can.
        assert_eq!(one.judge(um(1.0), um(1.0)), Fate::Reject);
        assert_eq!(one.judge(um(60.0), um(1.0)), Fate::Rework);
        assert_eq!(one.rework().unwrap().least(), Some(um(10.0)));
    }

    #[test]
    fn what_is_seen_is_one_of_three() {
        let looks = Looks { accept: vec!["sound", "polished"], rework: vec!["scored"] };
        assert_eq!(looks.judge("polished"), Fate::Use);
        assert_eq!(looks.judge("scored"), Fate::Rework);
        assert_eq!(looks.judge("wiped"), Fate::Reject);
    }

    #[test]
    fn the_zero_of_one_gauge_cancels_in_a_spread() {
        let read =
            |value, gauge| Reading { value: um(value), repeat: um(3.0), zero: um(4.0), gauge };
        let one = spread(&[read(2010.0, Some(1)), read(2030.0, Some(1)), read(2020.0, Some(1))]);
        let one = one.unwrap();
        assert!((one.value.to_um() - 20.0).abs() < 1e-9);
        assert!((one.standard_uncertainty.to_um() - 18.0_f64.sqrt()).abs() < 1e-9);
        let two = spread(&[read(2010.0, Some(1)), read(2030.0, Some(2))]).unwrap();
        assert!((two.standard_uncertainty.to_um() - 50.0_f64.sqrt()).abs() < 1e-9);
        assert_eq!(spread(&[read(2010.0, None)]), None);
    }

    proptest! {
        /// More wear is never said to be better, whatever the gauge.
        #[test]
        fn more_wear_is_never_better(
            limit in 1.0..200.0f64, more in 0.1..200.0f64, u in 0.0..20.0f64,
            a in 0.0..600.0f64, b in 0.0..600.0f64,
        ) {
            let sizes = Sizes::new(most(limit), Some((None, Some(um(limit + more))))).unwrap();
            let (less, worn) = (um(a.min(b)), um(a.max(b)));
            // Between two limits "not proven" stands on either side of a rework.
            let rank = |value| match sizes.judge(value, um(u)) {
                Fate::Use => 0,
                Fate::NotProven | Fate::Rework => 1,
                Fate::Reject => 2,
            };
            prop_assert!(rank(less) <= rank(worn));
        }

        /// A finer gauge never turns use into reject or the other way round.
        #[test]
        fn a_finer_gauge_only_decides(value in 0.0..300.0f64, u in 0.0..20.0f64, finer in 0.0..1.0f64) {
            let sizes = Sizes::new(most(80.0), Some((None, Some(um(160.0))))).unwrap();
            let (coarse, fine) = (sizes.judge(um(value), um(u)), sizes.judge(um(value), um(u * finer)));
            prop_assert!(coarse == fine || coarse == Fate::NotProven, "{coarse:?} {fine:?}");
        }
    }
}
