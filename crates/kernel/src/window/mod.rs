//! The window of a rotor in its housing: from the least side clearance that does not jam to the
//! most at which the step still protects the tips and the seals keep their support, with the
//! spec's figure between them; and the same for the step.
//!
//! What the shaft's bending and the rotor's tilt at speed ask for comes from
//! [`Window::with_speed`]: a least step, which bounds the step from below like the rooms cold and
//! hot do; and the clearance from which on the lands are not pressed against both walls, which is
//! told beside the window: a land that touches is less bad than a tip.

use crate::plan::{Aim, Candidate, Limit};
use crate::units::Length;

/// One limit on an axis.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Edge {
    /// What sets it.
    pub limit: Limit,
    /// Where it lies.
    pub at: Length,
}

/// A range on one axis: what bounds it from below, what from above, and what the spec wants.
#[derive(Debug, Clone, PartialEq)]
pub struct Range {
    /// Bounds from below, the highest first.
    pub least: Vec<Edge>,
    /// Bounds from above, the lowest first.
    pub most: Vec<Edge>,
    /// The spec's figure.
    pub wanted: Aim,
}

impl Range {
    fn new(mut least: Vec<Edge>, mut most: Vec<Edge>, wanted: Aim) -> Self {
        least.sort_by(|a, b| b.at.to_m().total_cmp(&a.at.to_m()));
        most.sort_by(|a, b| a.at.to_m().total_cmp(&b.at.to_m()));
        Self { least, most, wanted }
    }

    /// Whether nothing lies between the bounds.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        matches!((self.least.first(), self.most.first()), (Some(l), Some(m)) if l.at > m.at)
    }

    /// Whether the spec's whole tolerance lies between the bounds.
    #[must_use]
    pub fn holds_the_spec(&self) -> bool {
        let zone = self.wanted.zone();
        self.least.first().is_none_or(|l| l.at <= zone.least)
            && self.most.first().is_none_or(|m| m.at >= zone.most)
    }
}

/// The window of one rotor.
#[derive(Debug, Clone, PartialEq)]
pub struct Window {
    /// Side clearance, both sides together, with the spec's step.
    pub clearance: Range,
    /// Step, with the spec's side clearance.
    pub step: Range,
    /// What the duty's speed and boost ask for; `None`: not computed here.
    pub at_speed: Option<AtSpeed>,
}

/// What a duty's speed and boost ask for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AtSpeed {
    /// Chance that is borne, of tips touching and of lands jamming.
    pub chance: f64,
    /// Least side clearance at which the lands are pressed against both walls no more often.
    pub clearance: Length,
    /// Least step at which the tips touch no more often, with this clearance.
    pub step: Length,
    /// Whether it rests on a shaft that was assumed.
    pub assumed_shaft: bool,
}

impl Window {
    /// With what speed and boost ask for. An assumed shaft bounds nothing.
    #[must_use]
    pub fn with_speed(mut self, asked: AtSpeed) -> Self {
        if !asked.assumed_shaft {
            let edge = Edge { limit: Limit::ContactAtSpeed, at: asked.step };
            self.step.least.push(edge);
            self.step.least.sort_by(|a, b| b.at.to_m().total_cmp(&a.at.to_m()));
        }
        self.at_speed = Some(asked);
        self
    }
}

/// The window of a rotor in its housing for a spec's clearance and step.
#[must_use]
pub fn window(candidate: &Candidate, clearance: Aim, step: Aim) -> Window {
    let (step_m, clearance_at) =
        (step.target.to_m(), |width_m: f64| candidate.width_least - Length::m(width_m));
    let jams = candidate
        .jams
        .iter()
        .map(|jam| Edge { limit: Limit::Jam(jam.state), at: candidate.width_least - jam.width })
        .collect();
    // The step needed falls as the land widens, so each state has one land width at which the
    // spec's step is just enough.
    let protects =
        candidate.step_needed.iter().filter(|line| line.per_width < 0.0).map(|line| Edge {
            limit: Limit::StepNeeded(line.state),
            at: clearance_at((step_m - line.at_zero_m) / line.per_width),
        });
    let supported = candidate.seals.iter().filter(|seal| seal.per_width > 0.0).map(|seal| Edge {
        limit: Limit::Seal(seal.name),
        at: clearance_at((seal.per_step * step_m - seal.at_zero_m) / seal.per_width),
    });
    let width_m = (candidate.width_least - clearance.target).to_m();
    let needed = candidate
        .step_needed
        .iter()
        .map(|line| Edge { limit: Limit::StepNeeded(line.state), at: Length::m(line.at(width_m)) })
        .collect();
    let step_most = candidate.seals.iter().filter(|seal| seal.per_step > 0.0).map(|seal| Edge {
        limit: Limit::Seal(seal.name),
        at: Length::m((seal.at_zero_m + seal.per_width * width_m) / seal.per_step),
    });
    Window {
        clearance: Range::new(jams, worst_of_each(protects.chain(supported)), clearance),
        step: Range::new(needed, worst_of_each(step_most), step),
        at_speed: None,
    }
}

/// Of several states of one seal's limit, the one that bites first.
fn worst_of_each(edges: impl Iterator<Item = Edge>) -> Vec<Edge> {
    let mut kept: Vec<Edge> = Vec::new();
    for edge in edges {
        match kept.iter_mut().find(|k| k.limit == edge.limit) {
            Some(k) if k.at > edge.at => *k = edge,
            Some(_) => {}
            None => kept.push(edge),
        }
    }
    kept
}
