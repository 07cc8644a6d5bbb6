//! The amounts and the metal of one choice at each whole step of its depth.

use super::choice::Choice;
use crate::balance::metal::Work;

/// Whole steps of one choice, in the units of the search.
#[derive(Debug, Clone, Copy)]
pub(super) struct Ladder {
    /// Least depth, steps; nought for a mass.
    pub(super) first: u32,
    /// Greatest depth, steps.
    pub(super) last: u32,
    shape: Shape,
}

#[derive(Debug, Clone, Copy)]
enum Shape {
    /// Each step changes as much: holes parallel to the shaft. A mass has one step.
    Even { amount: f64, amount_per_step: f64, metal: f64, metal_per_step: f64 },
    /// The deeper, the less or the more: holes towards the axis, and flats.
    Curved { work: Work, step_m: f64, unit_kg_m: f64, unit_kg: f64 },
}

impl Ladder {
    pub(super) fn new(choice: &Choice, step_m: f64, unit_kg_m: f64, unit_kg: f64) -> Self {
        let (first, last) = choice.steps.unwrap_or((0, 0));
        let work = choice.work;
        let shape = match work {
            Work::RimHole(_) | Work::Flat(_) => Shape::Curved { work, step_m, unit_kg_m, unit_kg },
            Work::FaceHole(_) | Work::Slug(_) | Work::Mass { .. } => {
                let at = |steps: f64| {
                    let depth_m = steps * step_m;
                    (work.amount_kg_m(depth_m) / unit_kg_m, work.mass_kg(depth_m) / unit_kg)
                };
                let ((amount, metal), (amount_last, metal_last)) = (at(0.0), at(f64::from(last)));
                let steps = f64::from(last.max(1));
                Shape::Even {
                    amount,
                    amount_per_step: (amount_last - amount) / steps,
                    metal,
                    metal_per_step: (metal_last - metal) / steps,
                }
            }
        };
        Self { first, last, shape }
    }

    /// What is removed at a step.
    pub(super) fn amount(&self, step: u32) -> f64 {
        let steps = f64::from(step);
        match self.shape {
            Shape::Even { amount, amount_per_step, .. } => amount + amount_per_step * steps,
            Shape::Curved { work, step_m, unit_kg_m, .. } => {
                work.amount_kg_m(steps * step_m) / unit_kg_m
            }
        }
    }

    /// Metal moved at a step.
    pub(super) fn metal(&self, step: u32) -> f64 {
        let steps = f64::from(step);
        match self.shape {
            Shape::Even { metal, metal_per_step, .. } => metal + metal_per_step * steps,
            Shape::Curved { work, step_m, unit_kg, .. } => work.mass_kg(steps * step_m) / unit_kg,
        }
    }

    /// The depth of an amount that lies between the first and the last step, in steps and parts.
    pub(super) fn steps(&self, amount: f64) -> f64 {
        let (first, last) = (f64::from(self.first), f64::from(self.last));
        if self.first == self.last {
            return first;
        }
        let steps = match self.shape {
            Shape::Even { amount: at_nought, amount_per_step, .. } => {
                (amount - at_nought) / amount_per_step
            }
            Shape::Curved { work, step_m, unit_kg_m, .. } => {
                work.depth_m(amount * unit_kg_m).map_or(first, |depth_m| depth_m / step_m)
            }
        };
        steps.clamp(first, last)
    }

    /// What one step changes, in the mean; infinite where there is but one.
    pub(super) fn coarseness(&self) -> f64 {
        if self.first == self.last {
            return f64::INFINITY;
        }
        (self.amount(self.last) - self.amount(self.first)) / f64::from(self.last - self.first)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::balance::metal::{Drill, FaceHole, Flat, RimHole, Slug};

    #[test]
    fn steps_come_back_from_amounts_that_rise_with_them() {
        let drill = Drill::new(10e-3, 2.0).unwrap();
        let hole = FaceHole { drill, radius_m: 60e-3, density_kg_m3: 7850.0 };
        for work in [
            Work::FaceHole(hole),
            Work::Slug(Slug { hole, slug_kg_m3: 17_500.0 }),
            Work::RimHole(RimHole::new(drill, 60e-3, 7850.0)),
            Work::Flat(Flat { rim_m: 60e-3, width_m: 20e-3, density_kg_m3: 7850.0 }),
        ] {
            let choice = Choice { place: 0, toward_rad: 0.0, work, steps: Some((12, 60)) };
            let ladder = Ladder::new(&choice, 0.25e-3, 2e-3, 0.1);
            assert!((ladder.coarseness() - (ladder.amount(60) - ladder.amount(12)) / 48.0) == 0.0);
            for step in 12..=60 {
                let depth_m = f64::from(step) * 0.25e-3;
                assert!((ladder.amount(step) * 2e-3 - work.amount_kg_m(depth_m)).abs() < 1e-18);
                assert!((ladder.metal(step) * 0.1 - work.mass_kg(depth_m)).abs() < 1e-16);
                let back = ladder.steps(ladder.amount(step));
                assert!((back - f64::from(step)).abs() < 1e-9, "{work:?}: {back}");
                assert!(step == 12 || ladder.amount(step) > ladder.amount(step - 1));
                assert!(step == 12 || ladder.metal(step) > ladder.metal(step - 1));
            }
            assert_eq!((ladder.steps(0.0), ladder.steps(ladder.amount(60) * 1.01)), (12.0, 60.0));
        }
        let work = Work::Mass { mass_kg: 5e-3, radius_m: 60e-3 };
        let mass = Choice { place: 0, toward_rad: 0.0, work, steps: None };
        let mass = Ladder::new(&mass, 0.25e-3, 3e-4, 5e-3);
        assert!((mass.amount(0) - 1.0).abs() < 1e-15 && (mass.metal(0) - 1.0).abs() < 1e-15);
        assert_eq!((mass.steps(2.0), mass.coarseness()), (0.0, f64::INFINITY));
    }
}
