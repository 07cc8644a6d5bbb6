//! What the builds that came back support changing, by how much, and how sure that is.

use crate::build_file::Build;
use crate::ops::calibration::{ShopCalibrationError, calibrated};
use crate::ops::inputs::ALLOWED_CHANCE;
use crate::ops::phrase;
use crate::ops::plan::{PlanReport, RotorReport};
use crate::ops::teardown::Predicted;
use kernel::calibration::{ASSUMED, Contact, Posterior, StepMissing, TipSeen, calibrate};
use kernel::plan::Limit;
use kernel::units::{Length, System};
use kernel::window::Edge;
use records::{Day, Shop};

/// What is known of the model: before any build came back, and with those that did.
pub(super) struct Known {
    assumed: Posterior,
    taught: Posterior,
    builds: usize,
}

impl Known {
    /// Of a shop.
    pub(super) fn of(
        shop: &Shop,
        today: &Day,
        first: System,
    ) -> Result<Self, ShopCalibrationError> {
        let taught = calibrated(shop, today, first, &mut |_| true)?;
        let assumed = calibrate(&ASSUMED, &[], &[], &mut |_| true)?;
        Ok(Self { assumed, builds: taught.builds.len(), taught: taught.posterior })
    }

    /// What it says of the step of a build at its own duty.
    pub(super) fn of_step(
        &self,
        build: &Build,
        plan: &PlanReport,
        first: System,
    ) -> Result<Evidence, String> {
        let (Some(speed), Some(boost)) = (build.duty.speed, build.duty.boost) else {
            return Err("its duty has no speed, or no boost".to_owned());
        };
        let chance = build.spec.contact_chance.unwrap_or(ALLOWED_CHANCE);
        let predicted = Predicted::of(build, speed, boost, first)?;
        let mut worst: Option<Evidence> = None;
        for (rotor, planned) in predicted.rotors.iter().zip(&plan.rotors) {
            let tips: Vec<TipSeen> = rotor
                .tips
                .iter()
                .map(|tip| TipSeen {
                    rotor: 0,
                    face: tip.face,
                    tip: tip.tip + 1,
                    gap: tip.gap,
                    own_m: tip.own_m.max(LEAST_OWN_M),
                    contact: Contact::None,
                })
                .collect();
            let lacks = |posterior: &Posterior| {
                let found = posterior.step_missing(&tips, rotor.shared_m, chance);
                found.map(Lacks::from).map_err(|error| error.to_string())
            };
            let (assumed, taught) = (lacks(&self.assumed)?, lacks(&self.taught)?);
            let heights = &planned.plan.finished;
            let steps = [heights.gear.step(), heights.plain.step()].concat();
            let step = steps.iter().copied().fold(steps[0], Length::min);
            if worst.as_ref().is_none_or(|worst| worst.taught.median < taught.median) {
                worst = Some(Evidence {
                    build: build.name.clone(),
                    rotor: rotor.serial.clone(),
                    step,
                    tolerance: build.spec.step.tolerance,
                    bound: bound(planned, step),
                    chance,
                    assumed,
                    taught,
                    builds: self.builds,
                });
            }
        }
        worst.ok_or_else(|| "no tip of its rotors has metal opposite".to_owned())
    }
}

/// What bounds a step from below at rest, cold and hot.
fn bound(planned: &RotorReport, step: Length) -> Option<(String, Length)> {
    let at_rest = |edge: &&Edge| edge.limit != Limit::ContactAtSpeed;
    let edge = planned.window.step.least.iter().find(at_rest)?;
    Some((phrase::step_edge(edge.limit), step - edge.at))
}

/// A tip whose heights are said to be known for certain still has the last digit of its gauge.
const LEAST_OWN_M: f64 = 1e-9;

impl From<StepMissing> for Lacks {
    fn from(of: StepMissing) -> Self {
        Self {
            median: Length::m(of.median_m),
            low: Length::m(of.low_m),
            high: Length::m(of.high_m),
            suffices: of.suffices,
        }
    }
}

/// How sure it has to be before a change is supported, either way.
const SURE: f64 = 0.95;

/// What a step lacks, with how well that is known.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lacks {
    /// As likely more as less; negative: so much less would do.
    pub median: Length,
    /// Nine in ten lie from here.
    pub low: Length,
    /// To here.
    pub high: Length,
    /// How likely nothing is lacking.
    pub suffices: f64,
}

/// What is known of a spec's step at its duty.
#[derive(Debug, Clone, PartialEq)]
pub struct Evidence {
    /// The build that it is worked out on, the newest.
    pub build: String,
    /// Its rotor that lacks most.
    pub rotor: String,
    /// The least step of that rotor.
    pub step: Length,
    /// The spec's tolerance of a step: less than that is no change.
    pub tolerance: Length,
    /// What bounds the step of that rotor from below whatever the speed, in words, and how far the
    /// step is above it.
    pub bound: Option<(String, Length)>,
    /// Chance of contact that is borne.
    pub chance: f64,
    /// By what is assumed of the model, before any build came back.
    pub assumed: Lacks,
    /// With what the shop's builds taught.
    pub taught: Lacks,
    /// How many builds that is from.
    pub builds: usize,
}

/// What the evidence supports.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Supports {
    /// More step, by this much.
    More(Length),
    /// Less step would do, by this much.
    Less(Length),
    /// At speed less would do; at rest the window holds it where it is.
    AtRest,
    /// The step as it is.
    AsItIs,
    /// It says too little.
    TooLittle,
}

impl Evidence {
    /// What it supports: more step where it is all but sure that some is lacking, less where all but
    /// the last twentieth of what may be needed lies more than a tolerance below. Without builds that
    /// came back nothing is supported.
    #[must_use]
    pub fn supports(&self) -> Supports {
        let taught = &self.taught;
        if self.builds == 0 {
            Supports::TooLittle
        } else if taught.suffices < 1.0 - SURE {
            Supports::More(taught.median)
        } else if taught.high < Length::ZERO - self.tolerance {
            let room = self.bound.as_ref().map_or(self.step, |(_, room)| *room);
            let less = taught.high.abs().min(room);
            if less > self.tolerance { Supports::Less(less) } else { Supports::AtRest }
        } else if taught.suffices > SURE {
            Supports::AsItIs
        } else {
            Supports::TooLittle
        }
    }

    /// The whole of it in sentences, the last of them what it supports.
    #[must_use]
    pub fn sentences(&self, first: System) -> Vec<String> {
        let percent = |share: f64| format!("{:.0} %", 100.0 * share);
        let builds = match self.builds {
            1 => "the one build that came back".to_owned(),
            n => format!("the {n} builds that came back"),
        };
        let mut all = vec![
            format!(
                "Worked out for rotor {} of {}, whose step is {}, and a chance of contact of {}.",
                self.rotor,
                self.build,
                self.step.as_amount(first),
                percent(self.chance)
            ),
            format!("By what is assumed of the model alone, {}.", lacks(&self.assumed, first)),
        ];
        if self.builds > 0 {
            all.push(format!("With what {builds} taught, {}.", lacks(&self.taught, first)));
        }
        all.push(match self.supports() {
            Supports::More(by) => format!(
                "The evidence supports a larger step, by {}: it is {} sure that the present one is \
                 too small.",
                by.as_amount(first),
                percent(1.0 - self.taught.suffices)
            ),
            Supports::Less(by) => format!(
                "The evidence would bear a smaller step, by {}: it is {} sure that so much is not \
                 needed.",
                by.as_amount(first),
                percent(SURE)
            ),
            Supports::AtRest => format!(
                "The evidence supports the step as it is: at this duty less would do, but at rest \
                 {}.",
                self.bound.as_ref().map_or("it is needed", |(words, _)| words)
            ),
            Supports::AsItIs => format!(
                "The evidence supports the step as it is: it is {} sure that it is enough.",
                percent(self.taught.suffices)
            ),
            Supports::TooLittle if self.builds == 0 => {
                "No build that came back says anything of it yet.".to_owned()
            }
            Supports::TooLittle => format!(
                "The evidence supports no change yet: that the present step is enough is {} likely.",
                percent(self.taught.suffices)
            ),
        });
        all
    }
}

fn lacks(of: &Lacks, first: System) -> String {
    let said = |length: Length| length.abs().as_amount(first).to_string();
    let most = if of.median > Length::ZERO {
        format!("it lacks {}", said(of.median))
    } else {
        format!("it has {} more than it needs", said(of.median))
    };
    let band = match (of.low > Length::ZERO, of.high > Length::ZERO) {
        (true, _) => format!("{} to {} too little", said(of.low), said(of.high)),
        (false, true) => format!("from {} too much to {} too little", said(of.low), said(of.high)),
        (false, false) => format!("{} to {} too much", said(of.high), said(of.low)),
    };
    let likely = match 100.0 * of.suffices {
        sure if sure > 99.5 => "all but certain".to_owned(),
        never if never < 0.5 => "all but out of the question".to_owned(),
        percent => format!("{percent:.0} % likely"),
    };
    format!("{most} (nine in ten: {band}); that it is enough is {likely}")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn evidence(lacks: [f64; 3], suffices: f64, builds: usize) -> Evidence {
        let [low, median, high] = lacks.map(Length::um);
        let taught = Lacks { median, low, high, suffices };
        let assumed = Lacks {
            median: Length::um(12.0),
            low: Length::um(-30.0),
            high: Length::um(70.0),
            suffices: 0.4,
        };
        Evidence {
            build: "Merganser, boat 7".to_owned(),
            rotor: "R-97".to_owned(),
            step: Length::um(112.0),
            tolerance: Length::um(13.0),
            bound: Some(("with less it touches".to_owned(), Length::um(33.0))),
            chance: 0.05,
            assumed,
            taught,
            builds,
        }
    }

    #[test]
    fn a_change_is_supported_by_what_is_all_but_sure() {
        for (lacks, suffices, builds, wanted) in [
            ([4.0, 14.0, 27.0], 0.01, 6, Supports::More(Length::um(14.0))),
            ([-6.0, 14.0, 27.0], 0.10, 6, Supports::TooLittle),
            ([-30.0, -18.0, -3.0], 0.97, 6, Supports::AsItIs),
            ([-60.0, -40.0, -20.0], 0.999, 6, Supports::Less(Length::um(20.0))),
            // No further than the window at rest lets it.
            ([-90.0, -70.0, -60.0], 1.0, 6, Supports::Less(Length::um(33.0))),
            ([4.0, 14.0, 27.0], 0.01, 0, Supports::TooLittle),
        ] {
            let supports = evidence(lacks, suffices, builds).supports();
            match (supports, wanted) {
                (Supports::More(is), Supports::More(wanted))
                | (Supports::Less(is), Supports::Less(wanted)) => {
                    assert!((is - wanted).abs() < Length::um(1e-9), "{lacks:?}");
                }
                _ => assert_eq!(supports, wanted, "{lacks:?}"),
            }
        }
    }

    /// A step that stands a few micrometres over what it needs at rest is left, however much the duty
    /// would spare.
    #[test]
    fn what_is_needed_at_rest_is_not_given_up() {
        let mut near = evidence([-90.0, -70.0, -60.0], 1.0, 6);
        near.bound = Some(("with less the tips touch before the land".to_owned(), Length::um(9.0)));
        assert_eq!(near.supports(), Supports::AtRest);
        let said = near.sentences(System::Metric);
        assert!(said[3].ends_with("at rest with less the tips touch before the land."), "{said:?}");
        assert!(said[2].contains("60 \u{b5}m (2.4 thou) to 90 \u{b5}m (3.5 thou) too much"));
        assert!(said[2].ends_with("that it is enough is all but certain."), "{said:?}");
    }

    #[test]
    fn it_is_said_in_whole_sentences() {
        let said = evidence([4.0, 14.0, 27.0], 0.01, 6).sentences(System::Metric);
        assert_eq!(
            said[3],
            "The evidence supports a larger step, by 14 \u{b5}m (0.6 thou): it is 99 % sure that \
             the present one is too small."
        );
        assert!(said[2].starts_with("With what the 6 builds that came back taught, it lacks 14"));
        let none = evidence([4.0, 14.0, 27.0], 0.01, 0).sentences(System::Metric);
        assert_eq!(none.len(), 3);
        assert_eq!(none[2], "No build that came back says anything of it yet.");
    }
}
