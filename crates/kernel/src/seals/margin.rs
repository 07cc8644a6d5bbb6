//! Margins of the seals' limits as straight lines in land width and step, for the plan.

use super::{FaceSeal, Seals};
use crate::plan::SealMargin;
use crate::units::Length;

/// What the spec asks of the seals. What is left out is not asked.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct SealLimits {
    /// Least end clearance of the apex seal, cold.
    pub apex_end_clearance_least: Option<Length>,
    /// Most end clearance of the apex seal, cold.
    pub apex_end_clearance_most: Option<Length>,
    /// Most that the apex seal may stand out of its groove's end at a tip, per side.
    pub apex_overhang_most: Option<Length>,
    /// Least height of the apex seal inside its groove.
    pub apex_engagement_least: Option<Length>,
    /// Least height of the corner seal inside its bore.
    pub corner_engagement_least: Option<Length>,
    /// Least height of the side seal inside its groove.
    pub side_engagement_least: Option<Length>,
    /// Least height of the oil seal inside its groove.
    pub oil_engagement_least: Option<Length>,
    /// Room that a spring must keep above its solid height.
    pub spring_margin: Option<Length>,
}

/// A rotor in its room, as far as its seals need it. Sizes at the state in question: hot sizes
/// give the hot margins.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SealedRotor {
    /// Greatest width of the housing, wear of both walls' land tracks included.
    pub room: Length,
    /// Wear of the tips' track beyond that of the land's track: on the wall where that is least,
    /// for least gaps, and where it is greatest, for greatest ones.
    pub tip_wear: [Length; 2],
    /// Outer radius of the land.
    pub land_radius: Length,
    /// Growth of the land width: `1 + α ΔT_land`.
    pub land_growth: f64,
    /// Loss of step by tips hotter than the land: per metre of land width.
    pub step_lost_per_width: f64,
    /// Tip heights when the depths of the grooves were measured: least and greatest of both faces.
    pub tip_height: [Length; 2],
    /// Land heights then: least and greatest of both faces.
    pub land_height: [Length; 2],
}

/// A gap as a straight line: `at_zero + per_width · B + per_step · s`, in metres.
#[derive(Debug, Clone, Copy)]
pub(super) struct Gap {
    pub(super) at_zero: f64,
    pub(super) per_width: f64,
    pub(super) per_step: f64,
}

impl Gap {
    pub(super) fn at(&self, width_m: f64, step_m: f64) -> f64 {
        self.at_zero + self.per_width * width_m + self.per_step * step_m
    }
}

impl SealedRotor {
    /// How much more a point at this radius swings than the land's edge; zero on the land.
    fn lever(&self, radius: Length) -> f64 {
        (radius / self.land_radius - 1.0).max(0.0)
    }

    /// Greatest gap at a radius: `(2 + lever) c + s`, with `2c = room − growth · B`.
    pub(super) fn greatest_gap(&self, radius: Length, outside_land: bool) -> Gap {
        let sides = 1.0 + self.lever(radius) / 2.0;
        let gap = Gap {
            at_zero: sides * self.room.to_m(),
            per_width: -sides * self.land_growth,
            per_step: 0.0,
        };
        self.with_step(gap, outside_land, self.tip_wear[1])
    }

    /// Least gap at a radius: `s − lever · c`.
    pub(super) fn least_gap(&self, radius: Length, outside_land: bool) -> Gap {
        let sides = -self.lever(radius) / 2.0;
        let gap = Gap {
            at_zero: sides * self.room.to_m(),
            per_width: -sides * self.land_growth,
            per_step: 0.0,
        };
        self.with_step(gap, outside_land, self.tip_wear[0])
    }

    fn with_step(&self, gap: Gap, outside_land: bool, tip_wear: Length) -> Gap {
        if !outside_land {
            return gap;
        }
        Gap {
            at_zero: gap.at_zero + tip_wear.to_m(),
            per_width: gap.per_width - self.step_lost_per_width,
            per_step: 1.0,
        }
    }
}

/// Margins of everything the spec asks of the seals in this state of the room.
#[must_use]
pub fn margins(seals: &Seals, limits: &SealLimits, rotor: &SealedRotor) -> Vec<SealMargin> {
    let mut found = Vec::new();
    if let (Some(apex), Some(most)) = (&seals.apex, limits.apex_overhang_most) {
        // Overhang (L − B_T)/2 with the tip width B_T = B − 2s.
        found.push(SealMargin {
            name: "apex_overhang_most",
            at_zero_m: (most - apex.length / 2.0).to_m(),
            per_width: 0.5,
            per_step: 1.0,
        });
    }
    if let (Some(apex), Some(least)) = (&seals.apex, limits.apex_engagement_least)
        && let (Some(height), Some(gap)) = (apex.height, apex.running_gap)
    {
        // No cut changes it; a seal that is too low is one all the same.
        found.push(SealMargin {
            name: "apex_engagement_least",
            at_zero_m: (height - gap - least).to_m(),
            per_width: 0.0,
            per_step: 0.0,
        });
    }
    let face_seals = [
        (&seals.corner, limits.corner_engagement_least, NAMES[0], true),
        (&seals.side, limits.side_engagement_least, NAMES[1], true),
        (&seals.oil, limits.oil_engagement_least, NAMES[2], false),
    ];
    for (seal, engagement, names, outside_land) in face_seals {
        let Some(seal) = seal else { continue };
        if let Some(least) = engagement {
            let gap = rotor.greatest_gap(seal.radius, outside_land);
            found.push(SealMargin {
                name: names.engagement,
                at_zero_m: (seal.height - least).to_m() - gap.at_zero,
                per_width: -gap.per_width,
                per_step: gap.per_step,
            });
        }
        found.extend(spring(seal, names, outside_land, limits, rotor));
    }
    found
}

/// Names of a seal's limits.
#[derive(Clone, Copy)]
struct Names {
    engagement: &'static str,
    solid: &'static str,
    load: &'static str,
}

const NAMES: [Names; 3] = [
    Names {
        engagement: "corner_engagement_least",
        solid: "corner_spring_solid",
        load: "corner_spring_load",
    },
    Names {
        engagement: "side_engagement_least",
        solid: "side_spring_solid",
        load: "side_spring_load",
    },
    Names {
        engagement: "oil_engagement_least",
        solid: "oil_spring_solid",
        load: "oil_spring_load",
    },
];

/// Room of a seal's spring at a gap: what is left of the groove's depth once the land is cut to `B`,
/// and the gap, less the seal's height. The step drops out with the gap.
pub(super) fn spring_room(
    seal: &FaceSeal,
    gap: Gap,
    present_height_m: f64,
    outside_land: bool,
) -> Gap {
    // Groove bottom at `present − D`; face at B/2 − s outside the land, B/2 on it.
    let bottom_m = present_height_m - seal.groove_depth.to_m();
    Gap {
        at_zero: gap.at_zero - bottom_m - seal.height.to_m(),
        per_width: gap.per_width + 0.5,
        per_step: gap.per_step - if outside_land { 1.0 } else { 0.0 },
    }
}

fn spring(
    seal: &FaceSeal,
    names: Names,
    outside_land: bool,
    limits: &SealLimits,
    rotor: &SealedRotor,
) -> Vec<SealMargin> {
    let [low, high] = if outside_land { rotor.tip_height } else { rotor.land_height };
    let mut found = Vec::new();
    if let Some(solid) = seal.solid {
        let least = solid + limits.spring_margin.unwrap_or_default();
        let gap = rotor.least_gap(seal.radius, outside_land);
        let room = spring_room(seal, gap, high.to_m(), outside_land);
        found.push(SealMargin {
            name: names.solid,
            at_zero_m: room.at_zero - least.to_m(),
            per_width: room.per_width,
            per_step: -room.per_step,
        });
    }
    if let Some(most) = seal.least_load {
        let gap = rotor.greatest_gap(seal.radius, outside_land);
        let room = spring_room(seal, gap, low.to_m(), outside_land);
        found.push(SealMargin {
            name: names.load,
            at_zero_m: most.to_m() - room.at_zero,
            per_width: -room.per_width,
            per_step: room.per_step,
        });
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rotor() -> SealedRotor {
        SealedRotor {
            room: Length::mm(80.014),
            tip_wear: [Length::ZERO; 2],
            land_radius: Length::mm(61.0),
            land_growth: 1.0,
            step_lost_per_width: 0.0,
            tip_height: [Length::mm(39.85); 2],
            land_height: [Length::mm(39.95); 2],
        }
    }

    #[test]
    fn the_gap_at_worst_float_and_tilt() {
        // c = 0.113 per side: 2 · 0.113 + 0.127 + (95/61 − 1) · 0.113.
        let gap = rotor().greatest_gap(Length::mm(95.0), true).at(0.079_788, 127e-6);
        let expected = 0.226 + 0.127 + (95.0 / 61.0 - 1.0) * 0.113;
        assert!((gap * 1e3 - expected).abs() < 1e-9);
        let least = rotor().least_gap(Length::mm(95.0), true).at(0.079_788, 127e-6);
        assert!((least * 1e3 - (0.127 - (95.0 / 61.0 - 1.0) * 0.113)).abs() < 1e-9);
        let oil = rotor().greatest_gap(Length::mm(60.0), false).at(0.079_788, 127e-6);
        assert!((oil * 1e3 - 0.226).abs() < 1e-9);
    }

    fn seal() -> FaceSeal {
        FaceSeal {
            height: Length::mm(5.0),
            groove_depth: Length::mm(6.5),
            radius: Length::mm(95.0),
            solid: Some(Length::mm(1.0)),
            least_load: Some(Length::mm(3.0)),
        }
    }

    #[test]
    fn a_cut_takes_engagement_and_not_spring_room() {
        let seal = seal();
        let seals = Seals { corner: Some(seal), ..Seals::default() };
        let limits =
            SealLimits { corner_engagement_least: Some(Length::mm(4.0)), ..SealLimits::default() };
        let found = margins(&seals, &limits, &rotor());
        assert_eq!(found.len(), 3);
        let at = |step: f64| found.iter().map(|m| m.at(0.079_788, step)).collect::<Vec<_>>();
        let (small, large) = (at(127e-6), at(227e-6));
        assert!((small[0] - large[0] - 100e-6).abs() < 1e-12, "engagement falls with the step");
        assert!((small[1] - large[1]).abs() < 1e-12, "spring room does not");
        assert!((small[2] - large[2]).abs() < 1e-12);
    }

    #[test]
    fn a_wider_land_never_costs_a_margin() {
        let seal = seal();
        let seals =
            Seals { corner: Some(seal), side: Some(seal), oil: Some(seal), ..Seals::default() };
        let limits = SealLimits {
            corner_engagement_least: Some(Length::mm(4.0)),
            side_engagement_least: Some(Length::mm(4.0)),
            oil_engagement_least: Some(Length::mm(4.0)),
            ..SealLimits::default()
        };
        let found = margins(&seals, &limits, &rotor());
        assert_eq!(found.len(), 9);
        assert!(found.iter().all(|m| m.per_width >= 0.0 && m.per_step >= 0.0), "{found:?}");
    }
}
