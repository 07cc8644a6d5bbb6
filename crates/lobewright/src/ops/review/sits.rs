//! Where a rotor sits in its window.

use crate::ops::phrase;
use crate::ops::{PlanReport, RotorReport};
use kernel::readings::TIPS;
use kernel::units::Length;
use kernel::window::{Edge, Range};

/// One bound of a window.
#[derive(Debug, Clone, PartialEq)]
pub struct Bound {
    /// What sets it, in words.
    pub words: String,
    /// Where it lies.
    pub at: Length,
    /// How far the size is from it; negative: it is passed.
    pub room: Length,
}

/// A size between its nearest bounds.
#[derive(Debug, Clone, PartialEq)]
pub struct Sits {
    /// The size; of a step the least and the greatest of both faces.
    pub is: [Length; 2],
    /// The highest bound from below.
    pub least: Option<Bound>,
    /// The lowest bound from above.
    pub most: Option<Bound>,
}

impl Sits {
    fn of(range: &Range, is: [Length; 2], words: impl Fn(&Edge) -> String) -> Self {
        let least = range.least.first().map(|edge| Bound {
            words: words(edge),
            at: edge.at,
            room: is[0] - edge.at,
        });
        let most = range.most.first().map(|edge| Bound {
            words: words(edge),
            at: edge.at,
            room: edge.at - is[1],
        });
        Self { is, least, most }
    }

    /// How far up it sits between the bounds, 0 at the least and 1 at the most; nothing where one is
    /// missing or nothing lies between them.
    #[must_use]
    pub fn share(&self) -> Option<f64> {
        let (least, most) = (self.least.as_ref()?, self.most.as_ref()?);
        let wide = (most.at - least.at).to_m();
        let middle = 0.5 * (self.is[0] + self.is[1]).to_m();
        (wide > 0.0).then(|| (middle - least.at.to_m()) / wide)
    }
}

/// Where one rotor sat.
#[derive(Debug, Clone, PartialEq)]
pub struct SitsRotor {
    /// Its serial.
    pub serial: String,
    /// Serial of its housing.
    pub housing: String,
    /// Side clearance, both sides together.
    pub clearance: Sits,
    /// Step.
    pub step: Sits,
}

impl SitsRotor {
    /// The bound with the least room left: the one that would be met first.
    #[must_use]
    pub fn nearest(&self) -> Option<&Bound> {
        let all = [&self.clearance, &self.step].into_iter();
        let bounds = all.flat_map(|sits| sits.least.iter().chain(&sits.most));
        bounds.min_by(|a, b| a.room.to_m().total_cmp(&b.room.to_m()))
    }
}

/// Every rotor of a plan, from the front.
pub(super) fn rotors(plan: &PlanReport) -> Vec<SitsRotor> {
    plan.rotors.iter().map(rotor).collect()
}

fn rotor(report: &RotorReport) -> SitsRotor {
    let heights = &report.plan.finished;
    let steps: [[Length; TIPS]; 2] = [heights.gear.step(), heights.plain.step()];
    let ends = steps
        .iter()
        .flatten()
        .fold([steps[0][0]; 2], |[low, high], step| [low.min(*step), high.max(*step)]);
    let window = &report.window;
    SitsRotor {
        serial: report.serial.clone(),
        housing: report.housing.clone(),
        clearance: Sits::of(&window.clearance, [report.plan.side_clearance; 2], |edge| {
            phrase::clearance_edge(edge.limit)
        }),
        step: Sits::of(&window.step, ends, |edge| phrase::step_edge(edge.limit)),
    }
}
