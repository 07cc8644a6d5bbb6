//! The plan by the spec's own aims: every rotor to the clearance and step the spec asks for, as
//! far as its stock goes, and the tighter ones down to the loosest less `match`.

use super::candidate::{Candidate, greatest};
use super::check::{keeps_all, shortfalls};
use super::finish::{Size, finished, work_for};
use super::spec::Spec;
use crate::readings::ROUNDING_M;
use crate::units::Length;

/// What a rotor is to become.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Decision {
    /// It is right already.
    Keep,
    /// Cut to a size.
    To(Size),
}

/// Side clearance of a rotor as it is, at its widest land.
pub(super) fn clearance_now(candidate: &Candidate) -> Length {
    candidate.width_least - greatest(&candidate.heights.land_width())
}

/// Whether a rotor as it is keeps every limit with its guard and is known not to touch.
pub(super) fn is_right(candidate: &Candidate, spec: &Spec) -> bool {
    !candidate.touches && keeps_all(candidate, spec, &candidate.heights, &candidate.guards_now)
}

/// The aimed plan of a set, or `None` when the aims do not hold. `beside`: a side clearance of
/// another that it is to match.
pub(super) fn aim(
    set: &[&Candidate],
    spec: &Spec,
    beside: Option<Length>,
) -> Option<Vec<Decision>> {
    let mut keep: Vec<bool> = set.iter().map(|c| is_right(c, spec)).collect();
    // Each round takes `keep` from at least one rotor, so there are at most as many as rotors.
    loop {
        let widths: Vec<Length> = set
            .iter()
            .zip(&keep)
            .map(|(c, keep)| {
                let aimed = (c.width_least - spec.side_clearance.target).min(c.stock_width());
                if *keep { c.width_least - clearance_now(c) } else { aimed }
            })
            .collect();
        let loosest = set
            .iter()
            .zip(&widths)
            .map(|(c, width)| c.width_least - *width)
            .chain(beside)
            .fold(Length::m(f64::NEG_INFINITY), Length::max);
        let too_tight = set.iter().zip(&keep).position(|(c, keep)| {
            let proven = (spec.matching - c.guards_now.matching).max(Length::ZERO);
            *keep && loosest - clearance_now(c) > proven + Length::m(ROUNDING_M)
        });
        if let Some(index) = too_tight {
            keep[index] = false;
            continue;
        }
        return set
            .iter()
            .zip(&keep)
            .zip(widths)
            .map(|((c, keep), width)| {
                if *keep {
                    return Some(Decision::Keep);
                }
                let width = width.min(c.width_least - (loosest - spec.matching));
                let size = Size::about_the_mid_plane(c, width, spec.step.target);
                let after = finished(&c.heights, &work_for(&size));
                shortfalls(c, spec, &after, None).is_empty().then_some(Decision::To(size))
            })
            .collect();
    }
}
