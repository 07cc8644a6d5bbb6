//! Which of the spacers that a shop stocks gives the shaft its end play.
//!
//! The shaft floats between two thrust faces. Their distance and the length between them on the
//! shaft are sums along two stacks, and the spacer is one member of one of them:
//!
//! `P = A + s t`, `A` everything that stays as it is, `t` the thickness of the spacer.
//!
//! `s = +1` where the spacer holds the thrust faces apart, `s = −1` where it takes up room
//! between them. Which of the two an engine has cannot be seen from a number, so its record says
//! it. With another spacer, the same clamped,
//!
//! `P' = P + s (t' − t)`, `u'² = u_P² + 2 u_t²`:
//!
//! the reading of the play errs, and so do the thicknesses of both spacers, independently
//! [JCGM-100]. A spacer is chosen only if the play that it gives is proven within what is wanted;
//! of several the one whose play is nearest the middle, which has the most room to both sides.

use super::judged::Wanted;
use crate::readings::{GUARD_FACTOR, ROUNDING_M, Verdict};
use crate::units::Length;
use thiserror::Error;

/// What a thicker spacer does to the end play.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Thicker {
    /// It holds the thrust faces apart.
    MorePlay,
    /// It takes up room between them.
    LessPlay,
}

impl Thicker {
    /// Change of the play over change of the thickness: +1 or −1.
    #[must_use]
    pub const fn sign(self) -> f64 {
        match self {
            Self::MorePlay => 1.0,
            Self::LessPlay => -1.0,
        }
    }
}

/// The end play that was read, and what is known about it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct EndPlay {
    /// As read with the spacer that is in; nothing is less than no play, and what is read below
    /// it is the gauge's error.
    pub play: Length,
    /// Standard uncertainty of that reading.
    pub play_u: Length,
    /// Thickness of the spacer that is in.
    pub spacer: Length,
    /// Standard uncertainty of the thickness of any spacer.
    pub spacer_u: Length,
    /// What a thicker spacer does.
    pub thicker: Thicker,
}

/// A spacer and what it gives.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fitted {
    /// Its thickness.
    pub thickness: Length,
    /// The end play with it; below nothing the shaft is clamped.
    pub play: Length,
    /// What can be said of that before it is read.
    pub verdict: Verdict,
}

/// No spacer in stock will do.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NoSpacer {
    /// The thickness that gives the middle of what is wanted; negative where no spacer does.
    pub middle: Length,
    /// Thinnest and thickest that prove the play; nothing where what is wanted is narrower than
    /// the uncertainty lets anybody prove.
    pub proven: Option<[Length; 2]>,
    /// Of the stock the one that comes nearest to the middle, if there is any stock.
    pub nearest: Option<Fitted>,
}

/// What to do about the end play.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Advice {
    /// The spacer that is in gives a play that is proven: it stays.
    Stay,
    /// Put this one in.
    Exchange(Fitted),
    /// None will do.
    None(NoSpacer),
}

/// Why no spacer can be chosen.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Error)]
pub enum EndPlayError {
    /// Without both ends there is no middle.
    #[error("a spacer is chosen where both a least and a most end play are given")]
    OneEnd,
    /// A length that is none.
    #[error("a thickness must be above nothing, an uncertainty not below it, both finite")]
    NoLength,
}

impl EndPlay {
    /// The play with another spacer.
    #[must_use]
    pub fn with(&self, thickness: Length) -> Length {
        self.play + (thickness - self.spacer) * self.thicker.sign()
    }

    /// Standard uncertainty of that, before it is read.
    #[must_use]
    pub fn uncertainty_with_another(&self) -> Length {
        let (p, t) = (self.play_u.to_m(), self.spacer_u.to_m());
        Length::m((p * p + 2.0 * t * t).sqrt())
    }

    /// Which spacer of these to put in, if any. Of two that are equally near the middle it is
    /// the one that gives more play: a shaft that binds does more harm than one that knocks
    /// (common practice, no source).
    ///
    /// # Errors
    /// [`EndPlayError`] where there is no middle, or a length is none.
    pub fn advise(
        &self,
        wanted: &Wanted<Length>,
        stocked: &[Length],
    ) -> Result<Advice, EndPlayError> {
        let (Some(least), Some(most), Some(middle)) =
            (wanted.least(), wanted.most(), wanted.middle())
        else {
            return Err(EndPlayError::OneEnd);
        };
        let thickness = |t: Length| t.is_finite() && t > Length::ZERO;
        let uncertainty = |u: Length| u.is_finite() && u >= Length::ZERO;
        if !(self.play.is_finite()
            && thickness(self.spacer)
            && stocked.iter().all(|t| thickness(*t))
            && uncertainty(self.play_u)
            && uncertainty(self.spacer_u))
        {
            return Err(EndPlayError::NoLength);
        }
        if wanted.judge(self.play, self.play_u) == Verdict::Conforms {
            return Ok(Advice::Stay);
        }
        let u = self.uncertainty_with_another();
        let off = |fitted: &Fitted| (fitted.play - middle).abs();
        let nearest = stocked
            .iter()
            .map(|&thickness| {
                let play = self.with(thickness);
                Fitted { thickness, play, verdict: wanted.judge(play, u) }
            })
            .reduce(|best, next| {
                let (of_best, of_next) = (off(&best).to_m(), off(&next).to_m());
                let alike = (of_best - of_next).abs() <= ROUNDING_M;
                let better = if alike { next.play > best.play } else { of_next < of_best };
                if better { next } else { best }
            });
        // What proves a play is symmetric about the middle, so the nearest is proven if any is.
        if let Some(fitted) = nearest.filter(|fitted| fitted.verdict == Verdict::Conforms) {
            return Ok(Advice::Exchange(fitted));
        }
        let guard = u * GUARD_FACTOR;
        let gives = |play: Length| self.spacer + (play - self.play) * self.thicker.sign();
        let ends = [gives(least + guard), gives(most - guard)];
        let proven =
            (least + guard <= most - guard).then(|| [ends[0].min(ends[1]), ends[0].max(ends[1])]);
        Ok(Advice::None(NoSpacer { middle: gives(middle), proven, nearest }))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn um(value: f64) -> Length {
        Length::um(value)
    }

    fn wanted(least: f64, most: f64) -> Wanted<Length> {
        Wanted::new(Some(um(least)), Some(um(most))).unwrap()
    }

    /// Play of 120 µm with a spacer of 6 mm, exact.
    fn exact(thicker: Thicker) -> EndPlay {
        EndPlay {
            play: um(120.0),
            play_u: Length::ZERO,
            spacer: Length::mm(6.0),
            spacer_u: Length::ZERO,
            thicker,
        }
    }

    const STOCK: [Length; 5] =
        [Length::mm(5.90), Length::mm(5.94), Length::mm(5.98), Length::mm(6.02), Length::mm(6.06)];

    #[test]
    fn a_play_that_holds_keeps_its_spacer() {
        let at = EndPlay { play: um(55.0), ..exact(Thicker::MorePlay) };
        assert_eq!(at.advise(&wanted(40.0, 80.0), &STOCK), Ok(Advice::Stay));
    }

    #[test]
    fn too_much_play_asks_for_the_thinner_or_the_thicker_one_as_the_engine_says() {
        // 120 to 60 µm: 60 µm less of what gives play.
        let chosen =
            |thicker: Thicker| match exact(thicker).advise(&wanted(40.0, 80.0), &STOCK).unwrap() {
                Advice::Exchange(fitted) => fitted,
                other => panic!("{other:?}"),
            };
        let more = chosen(Thicker::MorePlay);
        assert_eq!(more.thickness, Length::mm(5.94));
        assert!((more.play - um(60.0)).abs() < Length::um(1e-6));
        assert_eq!(chosen(Thicker::LessPlay).thickness, Length::mm(6.06));
    }

    #[test]
    fn none_is_chosen_where_none_works_and_it_is_said_what_would() {
        let at = EndPlay { play: um(400.0), ..exact(Thicker::MorePlay) };
        let Advice::None(none) = at.advise(&wanted(40.0, 80.0), &STOCK).unwrap() else { panic!() };
        // 400 to 60 µm: 340 µm thinner than 6 mm.
        assert!((none.middle - Length::mm(5.66)).abs() < Length::um(1e-6));
        let [thin, thick] = none.proven.unwrap();
        assert!((thin - Length::mm(5.64)).abs() < Length::um(1e-6));
        assert!((thick - Length::mm(5.68)).abs() < Length::um(1e-6));
        let nearest = none.nearest.unwrap();
        assert_eq!((nearest.thickness, nearest.verdict), (STOCK[0], Verdict::DoesNotConform));
        let Advice::None(none) = at.advise(&wanted(40.0, 80.0), &[]).unwrap() else { panic!() };
        assert_eq!(none.nearest, None);
    }

    #[test]
    fn what_the_gauge_cannot_prove_is_not_chosen() {
        // 1.65 * hypot(10, √2 * 5) = 20.2 µm of guard leaves nothing of 40 to 80 µm.
        let coarse = EndPlay { play_u: um(10.0), spacer_u: um(5.0), ..exact(Thicker::MorePlay) };
        assert!((coarse.uncertainty_with_another() - um(150f64.sqrt())).abs() < um(1e-9));
        let Advice::None(none) = coarse.advise(&wanted(40.0, 80.0), &STOCK).unwrap() else {
            panic!()
        };
        assert_eq!(none.proven, None);
        assert_eq!(none.nearest.unwrap().verdict, Verdict::NotProven);
        // The same play that is within, but not proven, is looked at again.
        let near = EndPlay { play: um(42.0), play_u: um(3.0), ..exact(Thicker::MorePlay) };
        let advice = near.advise(&wanted(40.0, 80.0), &STOCK).unwrap();
        assert!(matches!(advice, Advice::Exchange(f) if f.thickness == Length::mm(6.02)));
    }

    #[test]
    fn of_two_alike_it_is_the_one_with_more_play() {
        for stock in [[5.93, 5.95], [5.95, 5.93]] {
            let stock = stock.map(Length::mm);
            let at = exact(Thicker::MorePlay);
            let advice = at.advise(&wanted(40.0, 80.0), &stock).unwrap();
            assert!(matches!(advice, Advice::Exchange(f) if f.thickness == Length::mm(5.95)));
        }
    }

    #[test]
    fn what_is_no_length_is_refused() {
        let at = exact(Thicker::MorePlay);
        let one_end = Wanted::new(None, Some(um(80.0))).unwrap();
        assert_eq!(at.advise(&one_end, &STOCK), Err(EndPlayError::OneEnd));
        let ends = wanted(40.0, 80.0);
        let wrong = Err(EndPlayError::NoLength);
        assert_eq!(at.advise(&ends, &[Length::ZERO]), wrong);
        assert_eq!(EndPlay { spacer: -um(1.0), ..at }.advise(&ends, &STOCK), wrong);
        assert_eq!(EndPlay { play_u: -um(1.0), ..at }.advise(&ends, &STOCK), wrong);
        assert_eq!(EndPlay { play: Length::m(f64::NAN), ..at }.advise(&ends, &STOCK), wrong);
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(2000))]

        /// The chosen one is the best of all, and one is chosen whenever one works.
        #[test]
        fn it_is_the_best_of_all_by_looking_at_each(
            play in 0.0..400.0f64, u in 0.0..12.0f64, spacer_u in 0.0..4.0f64,
            least in 0.0..150.0f64, wide in 0.0..120.0f64, more in any::<bool>(),
            stock in proptest::collection::vec(5.5..6.5f64, 0..12),
        ) {
            let thicker = if more { Thicker::MorePlay } else { Thicker::LessPlay };
            let at = EndPlay {
                play: um(play), play_u: um(u), spacer: Length::mm(6.0),
                spacer_u: um(spacer_u), thicker,
            };
            let ends = wanted(least, least + wide);
            // In micrometres, written out again.
            let guard = 1.65 * (u * u + 2.0 * spacer_u * spacer_u).sqrt();
            let gives = |t: f64| play + if more { 1.0 } else { -1.0 } * (t - 6.0) * 1e3;
            let (low, high) = (least + guard, least + wide - guard);
            // Nearer to an end than the arithmetic tells apart is either.
            prop_assume!(stock.iter().all(|t| {
                (gives(*t) - low).abs() > 1e-5 && (gives(*t) - high).abs() > 1e-5
            }));
            let middle = least + wide / 2.0;
            let works: Vec<f64> =
                stock.iter().copied().filter(|t| (low..=high).contains(&gives(*t))).collect();
            let lengths: Vec<Length> = stock.iter().map(|t| Length::mm(*t)).collect();
            match at.advise(&ends, &lengths).unwrap() {
                Advice::Stay => {
                    prop_assert!(play >= least + 1.65 * u - 1e-5);
                    prop_assert!(play <= least + wide - 1.65 * u + 1e-5);
                }
                Advice::Exchange(fitted) => {
                    let own = (gives(fitted.thickness.to_mm()) - middle).abs();
                    prop_assert!(works.iter().any(|t| Length::mm(*t) == fitted.thickness));
                    prop_assert!(works.iter().all(|t| own <= (gives(*t) - middle).abs() + 1e-5));
                    prop_assert!((fitted.play.to_um() - gives(fitted.thickness.to_mm())).abs() < 1e-5);
                }
                Advice::None(none) => {
                    prop_assert!(works.is_empty(), "{works:?}");
                    prop_assert!((gives(none.middle.to_mm()) - middle).abs() < 1e-5);
                    prop_assert_eq!(none.proven.is_some(), low <= high);
                    prop_assert_eq!(none.nearest.is_some(), !stock.is_empty());
                    // The thickness that is said to do does.
                    if none.proven.is_some() {
                        let other = [none.middle];
                        let advice = at.advise(&ends, &other).unwrap();
                        prop_assert!(matches!(advice, Advice::Exchange(_)) || none.middle <= Length::ZERO);
                    }
                }
            }
        }
    }
}
