//! One set-up: its picture, and what is done in it, step by step.

use super::super::cells::heading;
use super::{Maker, Side};
use crate::ops::{file_stem, origin, shape_of};
use drawings::{Options, SetUp, Take};
use kernel::plan::shims;
use kernel::readings::Face;
use kernel::room::Outside;
use kernel::units::Length;
use paper::{Block, Picture};

impl Maker<'_> {
    pub(super) fn set_up(&self, side: &Side, of: usize) -> Vec<Block> {
        let (face, other) = (side.face.name(), side.face.opposite().name());
        vec![
            Block::NewPage,
            heading(&format!("Set-up {} of {of}: {face} face up", side.number)),
            Block::Picture(self.picture(side)),
            Block::Steps { from: 1, steps: self.steps(side, other, of) },
            self.to_read(side),
        ]
    }

    pub(super) fn picture(&self, side: &Side) -> Picture {
        let model = SetUp {
            serial: self.rotor.serial.clone(),
            origin: origin(self.report, self.rotor),
            number: side.number,
            face: side.face,
            shape: shape_of(self.report),
            take: std::array::from_fn(|tip| Take {
                land: side.land[tip],
                outside: side.outside[tip],
            }),
            taper_from: match self.report.spec.outside {
                Outside::Taper { start, .. } => Some(start),
                Outside::Step => None,
            },
        };
        let stem = file_stem(self.index, &self.rotor.serial);
        let id = Some(format!("{stem}-set-up-{}", side.number));
        Picture {
            words: format!(
                "Set-up {}: {} face of rotor {} up, with what comes off at each tip, and a section \
                 with the part on its lower land and Z 0 on the finished land",
                side.number,
                side.face.name(),
                self.rotor.serial
            ),
            svg: model.svg(&Options { system: self.first, id }),
            percent: 82,
        }
    }

    /// Shims under the ring, so that the bore stands square: none where its run-out is within
    /// what is asked for anyway.
    pub(super) fn shim(&self, side: &Side) -> String {
        if side.number > 1 {
            return "no shim: the lower land is finished and square; if it is not, stop and ask"
                .to_owned();
        }
        let runout = match side.face.opposite() {
            Face::Gear => self.readings().gear_runout,
            Face::Plain => self.readings().plain_runout,
        };
        let Some(runout) = runout else {
            return "where the land does not lie square to the bore, shim under the ring"
                .to_owned();
        };
        let under: Vec<String> = shims(runout)
            .into_iter()
            .enumerate()
            .filter(|(_, shim)| *shim > self.report.inputs.capability)
            .map(|(tip, shim)| format!("{} under tip {}", self.amount(shim), tip + 1))
            .collect();
        if under.is_empty() {
            "no shim: by its readings the lower land lies square".to_owned()
        } else {
            format!("by its readings shim the ring by {}", under.join(" and "))
        }
    }

    pub(super) fn steps(&self, side: &Side, other: &str, of: usize) -> Vec<String> {
        let face = side.face.name();
        let [width, step, _] = self.tools();
        let cuts_land = side.land.iter().any(|depth| *depth > Length::ZERO);
        let cuts_outside = side.outside.iter().any(|depth| *depth > Length::ZERO);
        let finished = self.rotor.plan.finished.face(side.face).step();
        let proud = self.left_proud();
        let mut steps = vec![format!(
            "Lay the {other} land on the ring, {face} face up, tip 1 marked; where the mark lies on the \
             face outside the land, copy it to the flank first. Bring the bearing bore onto the axis \
             that the cutter goes round, within 0.02 mm (common practice), and square to it: along the \
             bore the indicator moves by no more than {}; {}.",
            self.amount(self.report.inputs.capability),
            self.shim(side)
        )];
        if self.index > 0 && side.number == of {
            // Before anything is cut here: land and face outside both follow from it.
            steps.push(format!(
                "This rotor is matched to the first of its set: the land width to reach on this face is \
                 the one filled in on the sheet of the set, ________, as long as it is within from and \
                 to. It takes the place of {} below.",
                self.size(side.widths[0])
            ));
        }
        if cuts_land {
            let [one, two, three] = side.land.map(|depth| self.amount(depth));
            steps.push(format!(
                "Find the land's height: touch it at its outer edge at tip 1, and set Z there to the \
                 width read at tip 1 less {}. As planned that is +{one}. Z 0 is then the finished land; \
                 tip 2 stands at +{two}, tip 3 at +{three}.",
                self.size(side.widths[0])
            ));
            let deepest = side.land.into_iter().fold(Length::ZERO, Length::max);
            steps.push(if deepest > proud {
                format!(
                    "Cut the land first, since the step is read from it. Stop {} high, spindle off, and \
                     read the width at each tip with the {}. What counts is the micrometer: go down by \
                     what was read less the aim below, and call that Z 0. If that differs between the \
                     tips by more than {}, do not finish: it lies askew.",
                    self.amount(proud),
                    width.name,
                    self.square_words()
                )
            } else {
                format!(
                    "Cut the land first, since the step is read from it: so little is taken in one pass. \
                     Read the width at each tip with the {}.",
                    width.name
                )
            });
        } else {
            steps.push(
                "The land of this face is not cut: touch it at tip 1, that is Z 0. It must read the same \
                 at tips 2 and 3."
                    .to_owned(),
            );
        }
        if cuts_outside {
            let deepest = finished.into_iter().fold(finished[0], Length::max);
            let edge = self.size(self.report.inputs.face.land_radius());
            let how = match self.report.spec.outside {
                Outside::Step => format!(
                    "Cut outside the land, from the tips to the land's edge at radius {edge}, down to \
                     {} below the finished land",
                    self.amount(deepest)
                ),
                Outside::Taper { start, root } => format!(
                    "Cut the taper outside the land: {} below the land at radius {}, {} below it at \
                     radius {}",
                    self.amount(root),
                    self.size(start),
                    self.amount(deepest),
                    self.size(self.report.inputs.reading_radius)
                ),
            };
            steps.push(format!(
                "{how}. Here too stop {} high, spindle off, read the step at each tip with the {}, and \
                 take what is left by what was read.",
                self.amount(proud),
                step.name
            ));
            if side.outside.iter().any(|depth| *depth <= Length::ZERO) {
                steps.push(
                    "A tip that is already lower than that stays as it is; the cutter only passes over \
                     it."
                        .to_owned(),
                );
            }
        } else {
            steps.push("Outside the land nothing is cut on this face.".to_owned());
        }
        steps.push(
            "Before it is let go: read again and write it below. Then clear edges and grooves, wash, and \
             let it come to the gauges' temperature."
                .to_owned(),
        );
        steps
    }
}
