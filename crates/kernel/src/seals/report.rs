//! What each seal has on a finished rotor, beside what the spec asks.

use super::margin::{Gap, SealLimits, SealedRotor, spring_room};
use super::{FaceSeal, Seals};
use crate::units::Length;

/// One line of the seals' report.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SealLine {
    /// Which seal.
    pub seal: &'static str,
    /// Which figure of it.
    pub figure: &'static str,
    /// Its value at the worst pose.
    pub value: Length,
    /// The least the spec asks, if it asks.
    pub least: Option<Length>,
    /// The most the spec allows, if it says.
    pub most: Option<Length>,
}

impl SealLine {
    /// Whether it is taken at the worst pose and heat; the figures of the apex seal and what is
    /// measured on the bench are cold, with rotor and seal centred.
    #[must_use]
    pub fn at_worst_pose(&self) -> bool {
        self.seal != "apex" && !self.figure.ends_with("on the bench")
    }

    /// Of one figure in two states, the one that comes nearer to its limit or goes further past it;
    /// where the spec asks nothing, the larger protrusion or room and the smaller engagement.
    #[must_use]
    pub fn worse(self, other: Self) -> Self {
        let smaller_is_worse = match (self.least, self.most) {
            (Some(_), None) => true,
            (None, Some(_)) => false,
            _ => self.figure.ends_with("least"),
        };
        let other_is_smaller = other.value < self.value;
        if other_is_smaller == smaller_is_worse { other } else { self }
    }

    /// Whether the value is inside what the spec asks; `None` when it asks nothing.
    #[must_use]
    pub fn holds(&self) -> Option<bool> {
        if self.least.is_none() && self.most.is_none() {
            return None;
        }
        Some(
            self.least.is_none_or(|least| self.value >= least)
                && self.most.is_none_or(|most| self.value <= most),
        )
    }
}

/// Engagement, protrusion and support of every seal on a rotor with this land width and these
/// steps; `land_cut` is the most taken from a land, which the oil seal's lip gains on the bench.
/// `housing` is the least and the greatest width of the housing, cold.
#[must_use]
pub fn report(
    seals: &Seals,
    limits: &SealLimits,
    rotor: &SealedRotor,
    finished: &FinishedForSeals,
) -> Vec<SealLine> {
    let mut lines = Vec::new();
    if let Some(apex) = &seals.apex {
        let line =
            |figure, value, least, most| SealLine { seal: "apex", figure, value, least, most };
        let [least, most] = finished.housing;
        let wanted = (limits.apex_end_clearance_least, limits.apex_end_clearance_most);
        lines.push(line("end clearance, narrowest", least - apex.length, wanted.0, wanted.1));
        lines.push(line("end clearance, widest", most - apex.length, wanted.0, wanted.1));
        let overhang = (apex.length - finished.tip_width) / 2.0;
        lines.push(line("overhang at a tip, per side", overhang, None, limits.apex_overhang_most));
        if let (Some(height), Some(gap)) = (apex.height, apex.running_gap) {
            lines.push(line("protrusion", gap, None, None));
            lines.push(line("engagement", height - gap, limits.apex_engagement_least, None));
        }
    }
    for (name, seal, least, outside) in [
        ("corner", &seals.corner, limits.corner_engagement_least, true),
        ("side", &seals.side, limits.side_engagement_least, true),
        ("oil", &seals.oil, limits.oil_engagement_least, false),
    ] {
        if let Some(seal) = seal {
            lines.extend(face_seal(name, seal, least, outside, limits, rotor, finished));
        }
    }
    if let Some(protrusion) = seals.oil_protrusion {
        lines.push(SealLine {
            seal: "oil",
            figure: "lip above the land, on the bench",
            value: protrusion + finished.land_cut,
            least: None,
            most: None,
        });
    }
    lines
}

/// The sizes of a finished rotor that its seals depend on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FinishedForSeals {
    /// Least and greatest width of the housing, cold.
    pub housing: [Length; 2],
    /// Least land width.
    pub land_width: Length,
    /// Greatest step.
    pub step: Length,
    /// Least tip width.
    pub tip_width: Length,
    /// The most taken from a land.
    pub land_cut: Length,
}

fn face_seal(
    name: &'static str,
    seal: &FaceSeal,
    engagement_least: Option<Length>,
    outside: bool,
    limits: &SealLimits,
    rotor: &SealedRotor,
    finished: &FinishedForSeals,
) -> Vec<SealLine> {
    let at = |gap: Gap| Length::m(gap.at(finished.land_width.to_m(), finished.step.to_m()));
    let line = |figure, value, least, most| SealLine { seal: name, figure, value, least, most };
    let greatest = rotor.greatest_gap(seal.radius, outside);
    let least = rotor.least_gap(seal.radius, outside);
    let [low, high] = if outside { rotor.tip_height } else { rotor.land_height };
    let room = |gap, height: Length| at(spring_room(seal, gap, height.to_m(), outside));
    let solid = seal.solid.map(|solid| solid + limits.spring_margin.unwrap_or_default());
    vec![
        line("protrusion, greatest", at(greatest), None, None),
        line("engagement, least", seal.height - at(greatest), engagement_least, None),
        line("spring room, least", room(least, high), solid, None),
        line("spring room, greatest", room(greatest, low), None, seal.least_load),
    ]
}
