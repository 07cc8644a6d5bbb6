//! The plan where the aims do not hold: sizes inside the guarded tolerances that make the largest
//! deviation from the aims, each over its tolerance, smallest; then the least sum of depths.
//!
//! For one rotor and one level of deviation `D`, a wider land and a smaller step never break a
//! limit that a narrower land or a larger step keeps, except those that bound the land from above
//! and the step from below. So the best chance at level `D` is the widest land and the least step
//! it permits, which also takes the least metal; and what is possible at `D` stays possible above
//! it. The least `D` is found by halving to the last bit. In a set, `match` couples the rotors:
//! the tighter ones come down to the loosest less `match`. The rotor that cannot do better fixes
//! its own level, then the others are improved further, one after the other.

use super::aim::{Decision, clearance_now, is_right};
use super::candidate::{Candidate, least};
use super::check::shortfalls;
use super::finish::{Size, finished, work_for};
use super::spec::Spec;
use crate::readings::{Face, ROUNDING_M};
use crate::units::Length;

/// Halvings of a deviation in [0, 1]: past 60 the interval is below the spacing of doubles near
/// any level that matters.
const HALVINGS: usize = 60;
/// Relative drop of a rotor's level that counts as an improvement.
const IMPROVEMENT: f64 = 1e-6;

/// The searched plan of a set, or `None` when nothing keeps all limits. `beside`: a side clearance
/// of another that it is to match.
pub(super) fn search(
    set: &[&Candidate],
    spec: &Spec,
    beside: Option<Length>,
) -> Option<Vec<Decision>> {
    let right: Vec<bool> = set.iter().map(|c| is_right(c, spec)).collect();
    let keeping = Search { set, spec, beside, keep: &right }.solve();
    if keeping.is_some() || !right.contains(&true) {
        return keeping;
    }
    Search { set, spec, beside, keep: &vec![false; set.len()] }.solve()
}

struct Search<'a> {
    set: &'a [&'a Candidate],
    spec: &'a Spec,
    beside: Option<Length>,
    keep: &'a [bool],
}

impl Search<'_> {
    fn solve(&self) -> Option<Vec<Decision>> {
        let mut levels = vec![1.0; self.set.len()];
        self.at(&levels)?;
        let mut free: Vec<usize> = (0..self.set.len()).filter(|i| !self.keep[*i]).collect();
        while !free.is_empty() {
            let level = self.least_common(&levels, &free);
            free.iter().for_each(|i| levels[*i] = level);
            let lower = (level * (1.0 - IMPROVEMENT) - f64::EPSILON).max(0.0);
            let improvable: Vec<usize> = free
                .iter()
                .copied()
                .filter(|i| {
                    let mut trial = levels.clone();
                    trial[*i] = lower;
                    level > 0.0 && self.at(&trial).is_some()
                })
                .collect();
            if improvable.len() == free.len() {
                // None holds the level alone: they hold it together.
                break;
            }
            free = improvable;
        }
        self.at(&levels)
    }

    /// The least level that the free rotors can share.
    fn least_common(&self, levels: &[f64], free: &[usize]) -> f64 {
        let possible = |level: f64| {
            let mut trial = levels.to_vec();
            free.iter().for_each(|i| trial[*i] = level);
            self.at(&trial).is_some()
        };
        if possible(0.0) {
            return 0.0;
        }
        let (mut no, mut yes) = (0.0, free.first().map_or(1.0, |i| levels[*i]));
        for _ in 0..HALVINGS {
            let middle = 0.5 * (no + yes);
            if possible(middle) {
                yes = middle;
            } else {
                no = middle;
            }
        }
        yes
    }

    /// The decisions at these levels of deviation, when all limits hold.
    fn at(&self, levels: &[f64]) -> Option<Vec<Decision>> {
        let clearances: Vec<Length> = self
            .set
            .iter()
            .zip(self.keep)
            .zip(levels)
            .map(|((c, keep), level)| {
                if *keep { clearance_now(c) } else { c.width_least - widest(c, self.spec, *level) }
            })
            .collect();
        let loosest = clearances
            .iter()
            .copied()
            .chain(self.beside)
            .fold(Length::m(f64::NEG_INFINITY), Length::max);
        let floor = loosest - self.spec.matching;
        (0..self.set.len())
            .map(|i| {
                if self.keep[i] {
                    let close = clearances[i] >= floor - Length::m(ROUNDING_M);
                    return close.then_some(Decision::Keep);
                }
                let width = self.set[i].width_least - clearances[i].max(floor);
                size_at(self.set[i], self.spec, width, levels[i]).map(Decision::To)
            })
            .collect()
    }
}

/// The widest land that stock, a least clearance and the room give.
fn widest_of_stock(c: &Candidate, least_clearance: Length) -> Length {
    // Just below the narrowest room, where the lands would touch both walls at once.
    let jam = c.jams.iter().map(|jam| jam.width - Length::m(ROUNDING_M));
    jam.fold(c.width_least - least_clearance, Length::min).min(c.stock_width())
}

/// The widest land that a level of deviation and everything that bounds it from above permit.
fn widest(c: &Candidate, spec: &Spec, level: f64) -> Length {
    let clearance = spec.side_clearance;
    let zone = clearance.zone().guarded(c.guards.clearance);
    let most_step = spec.step.zone().guarded(c.guards.step).most;
    // A land may stand at most `most_step` above the lowest tip of its face.
    let highest = |face: Face| least(&c.heights.face(face).tip) + most_step;
    let (gear, plain) = (least(&c.heights.gear.land), least(&c.heights.plain.land));
    let (most_gear, most_plain) = (highest(Face::Gear), highest(Face::Plain));
    // The gear land's height is B/2 held within [B − plain, gear]; it stays at or below
    // `most_gear` while B ≤ most_gear + plain and, where the stock reaches higher, B ≤ 2 most_gear.
    let for_tips = |most: Length, own: Length, other: Length| {
        if own <= most { most + other } else { (most + other).min(most * 2.0) }
    };
    widest_of_stock(c, zone.least.max(clearance.target - clearance.tolerance * level))
        .min(for_tips(most_gear, gear, plain))
        .min(for_tips(most_plain, plain, gear))
}

/// The size with this land and the least step that a level of deviation permits.
fn size_at(c: &Candidate, spec: &Spec, width: Length, level: f64) -> Option<Size> {
    let rounding = Length::m(ROUNDING_M);
    let clearance = c.width_least - width;
    let aim = spec.side_clearance;
    if clearance > aim.target + aim.tolerance * level + rounding {
        return None;
    }
    let zone = spec.step.zone().guarded(c.guards.step);
    let least = zone.least.max(spec.step.target - spec.step.tolerance * level);
    let most = zone.most.min(spec.step.target + spec.step.tolerance * level) + rounding;
    // Tips that are all low enough as they are have the step needed whatever the one aimed at.
    [least, least.max(c.step_needed_at(width).0)]
        .into_iter()
        .filter(|step| *step <= most)
        .map(|step| Size::about_the_mid_plane(c, width, step))
        .find(|size| {
            let after = finished(&c.heights, &work_for(size));
            shortfalls(c, spec, &after, Some(&c.guards)).is_empty()
        })
}

/// The size that comes nearest to a plan for a rotor that has none: the widest land that stock and
/// guarded clearance give, with the least step that is needed and allowed. Its shortfalls name
/// what is in the way.
pub(super) fn nearest_miss(c: &Candidate, spec: &Spec) -> Size {
    let clearance = spec.side_clearance.zone().guarded(c.guards.clearance);
    let width = widest_of_stock(c, clearance.least);
    let zone = spec.step.zone().guarded(c.guards.step);
    let step = zone.least.max(c.step_needed_at(width).0).min(zone.most);
    Size::about_the_mid_plane(c, width, step)
}
