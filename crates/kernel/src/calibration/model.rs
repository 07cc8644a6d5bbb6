//! The likelihood of what was seen, build by build.
//!
//! Unknowns are counted in spreads of what is assumed: 0 the logarithm of the scale of tilt, 1 that
//! of heat, 2 the margin `m`, 3 the logarithm of how much nearer heavy is, `d`. With all that a
//! rotor's tips share at `o`, tip `i` has a mark with the chance `Φ((m − gᵢ − o)/uᵢ)` and a heavy
//! one with `Φ((m − d − gᵢ − o)/uᵢ)`, its tips independent; `o` is integrated out on even points. With the chance `ε` what is seen has another cause, and is each of the three as
//! likely [MCCULLAGH, for ordered categories].

use super::normal::{Cubics, below, table};
use super::priors::Priors;
use super::seen::{BuildSeen, Contact, TiltTest, TipSeen};
use super::tilt_test::AtRest;
use crate::calibration::CalibrationError;
use crate::speed::engine::{GapTable, HEATS, TILTS};

/// How many unknowns there are.
pub(super) const UNKNOWNS: usize = 4;

/// A place in the space of the unknowns, in spreads of what is assumed.
pub(super) type Place = [f64; UNKNOWNS];

/// Spreads of what is assumed beyond which nothing is looked for: 1e-15 is there.
pub(super) const FURTHEST: f64 = 8.0;

/// Spacing of the points for what a rotor's tips share, in the narrower of its spread and the
/// narrowest tip's own, put together as `u u_s/√(u² + u_s²)`. Six tips together are off by some
/// 1e-4 in the logarithm, 3e-3 where they are all but impossible (`shared_errors_are_integrated`);
/// Gauss and Hermite's rule needs twice as many for that where the shared part is the wider one.
const SPACING: f64 = 0.8;

/// Spreads of what is shared that are summed over on either side. Where nothing else explains six
/// tips alike, what they share does, far out.
const WIDE: f64 = 6.0;

/// Most points; with more, a tip's own uncertainty is next to nothing.
const MOST_POINTS: usize = 401;

/// Standard deviations beyond which a chance is taken as none or all: 1e-9 is there, a millionth of
/// what has another cause.
const SURE: f64 = 6.0;

/// A calibration's unknowns as what they are.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Values {
    pub(super) tilt: f64,
    pub(super) heat: f64,
    pub(super) margin_m: f64,
    pub(super) heavy_m: f64,
}

impl Values {
    pub(super) fn of(place: &Place, priors: &Priors) -> Self {
        Self {
            tilt: (place[0] * priors.tilt_log_sd).exp(),
            heat: (place[1] * priors.heat_log_sd).exp(),
            margin_m: place[2] * priors.margin_sd_m,
            heavy_m: priors.heavy_median_m * (place[3] * priors.heavy_log_sd).exp(),
        }
    }
}

/// Where two scales lie on the tables of gaps: which part, and how far along it. It is the same for
/// all of them, and is looked up once.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Spot {
    tilt: (usize, f64),
    heat: (usize, f64),
}

impl Spot {
    pub(super) fn of(values: &Values) -> Self {
        Self { tilt: part(&TILTS, values.tilt), heat: part(&HEATS, values.heat) }
    }

    /// As [`GapTable::at`] has it.
    fn gap_m(&self, gap: &GapTable) -> f64 {
        let ((i, s), (j, h)) = (self.tilt, self.heat);
        let along = |row: &[f64; HEATS.len()]| row[j] + h * (row[j + 1] - row[j]);
        let (low, high) = (along(&gap.0[i]), along(&gap.0[i + 1]));
        low + s * (high - low)
    }
}

fn part(places: &[f64], value: f64) -> (usize, f64) {
    let after = places.partition_point(|place| *place <= value).clamp(1, places.len() - 1);
    let (low, high) = (places[after - 1], places[after]);
    (after - 1, (value - low) / (high - low))
}

/// One tip as the sum needs it.
#[derive(Debug, Clone)]
pub(super) struct Tip {
    gap: GapTable,
    per_u: f64,
    pub(super) contact: Contact,
}

#[derive(Debug, Clone)]
struct Rotor {
    tips: Vec<Tip>,
    /// What they may share, m, evenly spaced about nothing, and how likely.
    offsets: Vec<f64>,
    weights: Vec<f64>,
}

/// Builds and tests as the sum needs them.
#[derive(Debug, Clone)]
pub(super) struct Model {
    pub(super) priors: Priors,
    builds: Vec<Vec<Rotor>>,
    at_rest: AtRest,
}

impl Model {
    /// Of data that have been checked.
    pub(super) fn of(
        priors: &Priors,
        builds: &[BuildSeen],
        tests: &[TiltTest],
    ) -> Result<Self, CalibrationError> {
        let builds = builds.iter().map(rotors).collect::<Result<_, _>>()?;
        Ok(Self { priors: *priors, builds, at_rest: AtRest::of(tests, priors) })
    }

    /// Logarithm of prior and tests together, up to a constant.
    pub(super) fn before(&self, place: &Place) -> f64 {
        let squares: f64 = place.iter().map(|z| z * z).sum();
        self.at_rest.at(place[0] * self.priors.tilt_log_sd) - 0.5 * squares
    }

    /// Logarithm of the likelihood of each build.
    pub(super) fn each(&self, place: &Place, mut say: impl FnMut(f64)) {
        let values = Values::of(place, &self.priors);
        let table = table();
        let spot = Spot::of(&values);
        let mut chances = Vec::new();
        for build in &self.builds {
            let of_rotors = build
                .iter()
                .map(|rotor| rotor.log((&values, &spot), &self.priors, table, &mut chances));
            say(of_rotors.sum());
        }
    }

    /// Logarithm of the posterior, up to a constant.
    pub(super) fn all(&self, place: &Place) -> f64 {
        let mut sum = self.before(place);
        self.each(place, |build| sum += build);
        sum
    }
}

impl Rotor {
    /// Logarithm of the likelihood of its tips; `chances` is scratch.
    fn log(
        &self,
        (values, spot): (&Values, &Spot),
        priors: &Priors,
        table: &Cubics,
        chances: &mut Vec<f64>,
    ) -> f64 {
        chances.clear();
        chances.extend(&self.weights);
        let furthest = self.offsets.last().copied().unwrap_or(0.0);
        let mut whole = 1.0;
        for tip in &self.tips {
            let gap = tip.gap_m(spot);
            let reach = furthest * tip.per_u;
            let chance = |limit_m: f64| Share::of((limit_m - gap) * tip.per_u, reach);
            let at = |x: f64, offset: f64| below(table, x - offset);
            let so = (self.offsets.as_slice(), tip.per_u, priors);
            let any = || chance(values.margin_m);
            let heavy = || chance(values.margin_m - values.heavy_m);
            match tip.contact {
                Contact::None => match any() {
                    Share::Sure(share) => whole *= mixed(1.0 - share, priors),
                    Share::At(x) => each(chances, so, |offset| 1.0 - at(x, offset)),
                },
                Contact::Heavy => match heavy() {
                    Share::Sure(share) => whole *= mixed(share, priors),
                    Share::At(x) => each(chances, so, |offset| at(x, offset)),
                },
                Contact::Light => match (any(), heavy()) {
                    (Share::Sure(any), Share::Sure(heavy)) => whole *= mixed(any - heavy, priors),
                    (Share::Sure(any), Share::At(x)) => {
                        each(chances, so, |offset| any - at(x, offset));
                    }
                    (Share::At(x), Share::Sure(heavy)) => {
                        each(chances, so, |offset| at(x, offset) - heavy);
                    }
                    (Share::At(x), Share::At(y)) => {
                        each(chances, so, |offset| at(x, offset) - at(y, offset));
                    }
                },
            }
        }
        (whole * chances.iter().sum::<f64>()).ln()
    }
}

/// The chance of a tip at everything that its rotor may share, on top of those of the tips before it.
/// A function for each kind of mark: most of a calibration's time is spent in here.
fn each(
    chances: &mut [f64],
    (offsets, per_u, priors): (&[f64], f64, &Priors),
    own: impl Fn(f64) -> f64,
) {
    for (chance, offset) in chances.iter_mut().zip(offsets) {
        *chance *= mixed(own(offset * per_u), priors);
    }
}

/// A share of the noise that is on one side of a limit.
#[derive(Clone, Copy)]
enum Share {
    /// None or all, wherever what is shared lies.
    Sure(f64),
    /// So many standard deviations below the limit, with nothing shared.
    At(f64),
}

impl Share {
    fn of(x: f64, reach: f64) -> Self {
        if x + reach < -SURE {
            Self::Sure(0.0)
        } else if x - reach > SURE {
            Self::Sure(1.0)
        } else {
            Self::At(x)
        }
    }
}

impl Tip {
    /// The tip as it is, whatever its rotor shares within its uncertainty.
    pub(super) fn alone(tip: &TipSeen, shared_m: f64) -> Self {
        Self { gap: tip.gap, per_u: tip.own_m.hypot(shared_m).recip(), contact: tip.contact }
    }

    /// Variance of the gap with the scales as they are, m².
    pub(super) fn variance_m2(&self) -> f64 {
        (self.per_u * self.per_u).recip()
    }

    pub(super) fn gap_m(&self, spot: &Spot) -> f64 {
        spot.gap_m(&self.gap)
    }

    /// Chances of no mark, a light and a heavy one.
    pub(super) fn chances(&self, values: &Values, priors: &Priors, table: &Cubics) -> [f64; 3] {
        let gap = self.gap_m(&Spot::of(values));
        let any = below(table, (values.margin_m - gap) * self.per_u);
        let heavy = below(table, (values.margin_m - values.heavy_m - gap) * self.per_u);
        [1.0 - any, any - heavy, heavy].map(|own| mixed(own, priors))
    }
}

/// With what has another cause.
fn mixed(own: f64, priors: &Priors) -> f64 {
    (1.0 - priors.other_cause) * own + priors.other_cause / 3.0
}

fn rotors(build: &BuildSeen) -> Result<Vec<Rotor>, CalibrationError> {
    let mut rotors = Vec::new();
    for (index, shared_m) in build.shared_m.iter().enumerate() {
        let of_rotor = || build.tips.iter().filter(|tip| tip.rotor == index);
        let tips: Vec<Tip> = of_rotor().map(|tip| Tip::alone(tip, 0.0)).collect();
        if tips.is_empty() {
            continue;
        }
        let narrowest = of_rotor().map(|tip| tip.own_m).fold(f64::INFINITY, f64::min);
        let (offsets, weights) = points(*shared_m, narrowest)?;
        rotors.push(Rotor { tips, offsets, weights });
    }
    Ok(rotors)
}

/// Even points over what is shared, and weights that sum to one.
fn points(shared_m: f64, narrowest_m: f64) -> Result<(Vec<f64>, Vec<f64>), CalibrationError> {
    if shared_m <= 0.0 {
        return Ok((vec![0.0], vec![1.0]));
    }
    // In spreads of what is shared.
    let step = SPACING / (shared_m / narrowest_m).hypot(1.0);
    let half = (WIDE / step).ceil();
    if 2.0 * half + 1.0 > MOST_POINTS as f64 {
        return Err(CalibrationError::TooManyPoints { points: MOST_POINTS });
    }
    let half = half as i32;
    let places = (-half..=half).map(|k| f64::from(k) * step);
    let weights: Vec<f64> = places.clone().map(|z| (-0.5 * z * z).exp()).collect();
    let total: f64 = weights.iter().sum();
    let weights = weights.iter().map(|weight| weight / total);
    Ok((places.map(|z| z * shared_m).collect(), weights.collect()))
}

#[cfg(test)]
mod tests {
    use super::{Model, Spot, Values};
    use crate::calibration::{ASSUMED, BuildSeen, Contact, TipSeen};
    use crate::readings::Face;
    use crate::speed::engine::{GapTable, HEATS, TILTS};
    use proptest::prelude::*;

    fn rotor(shared_um: f64, own_um: f64, marks: [Contact; 6]) -> BuildSeen {
        let tips = marks.iter().enumerate().map(|(i, contact)| TipSeen {
            rotor: 0,
            face: Face::BOTH[i / 3],
            tip: i % 3 + 1,
            gap: GapTable::straight((80.0 + 4.0 * i as f64) * 1e-6, 50e-6, 25e-6),
            own_m: own_um * 1e-6,
            contact: *contact,
        });
        BuildSeen { name: "one".into(), shared_m: vec![shared_um * 1e-6], tips: tips.collect() }
    }

    proptest! {
        /// Where scales lie on a table is looked up as the table itself does, past its ends too.
        #[test]
        fn gaps_are_the_tables_own(
            gaps in prop::collection::vec(-90e-6..200e-6_f64, TILTS.len() * HEATS.len()),
            tilt in 0.01..6.0_f64,
            heat in 0.01..4.0_f64,
        ) {
            let row = |i: usize| std::array::from_fn(|j| gaps[i * HEATS.len() + j]);
            let gap = GapTable(std::array::from_fn(row));
            let values = Values { tilt, heat, margin_m: 0.0, heavy_m: 0.0 };
            prop_assert_eq!(Spot::of(&values).gap_m(&gap), gap.at(tilt, heat));
        }
    }

    /// Against ten thousand points of a plain sum, and the rule of another number of points.
    #[test]
    fn shared_errors_are_integrated() {
        use Contact::{Heavy, Light, None};
        let normal = |x: f64| 0.5 * statrs::function::erf::erfc(-x / 2f64.sqrt());
        for marks in [[None; 6], [Light, None, Light, None, None, Heavy], [Light; 6], [Heavy; 6]] {
            for (shared, own) in
                [(2.0, 10.0), (6.0, 10.0), (14.0, 10.0), (25.0, 10.0), (20.0, 4.0), (30.0, 3.0)]
            {
                let build = rotor(shared, own, marks);
                let model = Model::of(&ASSUMED, std::slice::from_ref(&build), &[]).unwrap();
                for place in [[0.0; 4], [1.5, 0.5, 0.3, -1.0], [-1.0, 1.0, -2.0, 2.0]] {
                    let mut got = 0.0;
                    model.each(&place, |log| got += log);
                    let values = Values::of(&place, &ASSUMED);
                    let n = 10_000;
                    let sum: f64 = (0..=n)
                        .map(|k| {
                            let z = (f64::from(k) / f64::from(n) - 0.5) * 18.0;
                            let tips: f64 = build
                                .tips
                                .iter()
                                .map(|tip| {
                                    let gap =
                                        tip.gap.at(values.tilt, values.heat) + z * shared * 1e-6;
                                    let at = |limit: f64| normal((limit - gap) / tip.own_m);
                                    let any = at(values.margin_m);
                                    let heavy = at(values.margin_m - values.heavy_m);
                                    let own = match tip.contact {
                                        None => 1.0 - any,
                                        Light => any - heavy,
                                        Heavy => heavy,
                                    };
                                    0.98 * own + 0.02 / 3.0
                                })
                                .product();
                            tips * (-0.5 * z * z).exp()
                        })
                        .sum();
                    let exact =
                        (sum * 18.0 / f64::from(n) / (2.0 * std::f64::consts::PI).sqrt()).ln();
                    let off = (got - exact).abs();
                    // Where six tips alike are next to impossible however much they share, the
                    // other cause is what is left, and the far end of what they share is cut off.
                    let within = if exact > -20.0 { 3e-3 } else { 0.5 };
                    assert!(off < within, "{shared} {own} {marks:?} {place:?}: {off}");
                }
            }
        }
    }

    /// Tips that are not looked at say nothing, and an empty build has likelihood one.
    #[test]
    fn what_was_not_looked_at_says_nothing() {
        let mut build = rotor(5.0, 10.0, [Contact::Light; 6]);
        build.tips.clear();
        let model = Model::of(&ASSUMED, &[build], &[]).unwrap();
        model.each(&[1.0; 4], |log| assert_eq!(log, 0.0));
    }
}
