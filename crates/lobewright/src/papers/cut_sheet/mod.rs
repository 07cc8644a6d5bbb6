//! The cut sheet of one rotor: what a machinist works from who has never seen the program.

mod before;
mod set_up;
mod sizes;

use super::Stamp;
use super::cautions;
use super::cells::{Scale, facts, heading, table, take, text, words};
use crate::build_file::Build;
use crate::ops::{PlanReport, RotorReport, STEP_GAUGE, WIDTH_GAUGE};
use kernel::plan::{land_width_after_first, runout_allowed, stop_above};
use kernel::readings::{Face, Gauge, RotorReadings, TIPS, Tolerance};
use kernel::units::{Length, System, TemperatureDifference};
use paper::{Block, Cell, Paper};

/// One face under the cutter.
struct Side {
    face: Face,
    /// Which set-up, from 1.
    number: usize,
    /// Land widths to be read when its land is cut; the last ones are the final ones.
    widths: [Length; TIPS],
    land: [Length; TIPS],
    outside: [Length; TIPS],
}

/// The name of a gauge of the file and how it reads.
struct Tool<'a> {
    name: &'a str,
    gauge: &'a Gauge,
}

struct Maker<'a> {
    build: &'a Build,
    report: &'a PlanReport,
    rotor: &'a RotorReport,
    index: usize,
    first: System,
}

/// The sheet of a rotor of a plan.
pub(super) fn paper(build: &Build, report: &PlanReport, index: usize, stamp: &Stamp) -> Paper {
    let rotor = &report.rotors[index];
    let maker = Maker { build, report, rotor, index, first: stamp.first };
    let mut paper = stamp.paper(format!("Cut sheet, rotor {}", rotor.serial), &report.build);
    paper.blocks = maker.blocks();
    paper
}

impl Maker<'_> {
    fn blocks(&self) -> Vec<Block> {
        let sides = self.sides();
        let mut blocks = vec![self.whose()];
        if sides.is_empty() {
            blocks.push(text(
                "NOTHING IS CUT from this rotor: read it again, and enter what was read.",
            ));
            blocks.extend(self.before());
            return blocks;
        }
        blocks.push(cautions::at_the_machine());
        blocks.push(self.at_a_glance(&sides));
        blocks.extend(self.stop_and_ask());
        blocks.push(Block::NewPage);
        blocks.extend(self.before());
        blocks.push(heading("How it is set up"));
        blocks.push(self.fixture());
        for side in &sides {
            blocks.extend(self.set_up(side, sides.len()));
        }
        blocks.extend(self.finished());
        blocks.push(Block::Lines {
            labels: ["machined by, on", "machine", "read by, on"].map(str::to_owned).to_vec(),
        });
        blocks
    }

    fn readings(&self) -> &RotorReadings {
        let given = &self.report.inputs.rotors[self.index];
        given.after.as_ref().unwrap_or(&given.before)
    }

    fn tools(&self) -> [Tool<'_>; 3] {
        let (rotor, readings) = (&self.build.rotors[self.index], self.readings());
        [
            Tool {
                name: rotor.width_gauge.as_deref().unwrap_or(WIDTH_GAUGE),
                gauge: &readings.width_gauge,
            },
            Tool {
                name: rotor.step_gauge.as_deref().unwrap_or(STEP_GAUGE),
                gauge: &readings.step_gauge,
            },
            Tool {
                name: rotor.runout_gauge.as_deref().unwrap_or(STEP_GAUGE),
                gauge: &readings.runout_gauge,
            },
        ]
    }

    /// The set-ups, gear face first: those that have something to cut.
    fn sides(&self) -> Vec<Side> {
        let plan = &self.rotor.plan;
        let cut = |face: Face| {
            let cut = plan.cut.face(face);
            cut.land.into_iter().chain(cut.tip).any(|depth| depth > Length::ZERO)
        };
        let faces: Vec<Face> = Face::BOTH.into_iter().filter(|face| cut(*face)).collect();
        let side = |(i, face): (usize, &Face)| {
            let stock = plan.cut.face(*face);
            let last = i + 1 == faces.len();
            Side {
                face: *face,
                number: i + 1,
                widths: if last {
                    plan.finished.land_width()
                } else {
                    land_width_after_first(&self.rotor.now.heights, &plan.finished, *face)
                },
                land: stock.land,
                outside: stock.tip,
            }
        };
        faces.iter().enumerate().map(side).collect()
    }

    fn amount(&self, length: Length) -> String {
        length.as_amount(self.first).to_string()
    }

    fn size(&self, length: Length) -> String {
        length.as_size(self.first).to_string()
    }

    /// How far a finished land may run out to the bore.
    fn square(&self) -> Length {
        runout_allowed(self.report.inputs.capability)
    }

    /// The same as a gauge shows it, in words.
    fn square_words(&self) -> String {
        let most = Tolerance { least: Length::ZERO, most: self.square() };
        let [_, most] = Scale::Amount.words(most, self.first);
        most
    }

    /// Stock that is left for the last pass.
    fn left_proud(&self) -> Length {
        stop_above(self.report.inputs.least_cut)
    }

    fn whose(&self) -> Block {
        let rotor = self.rotor;
        let warmer = self.report.inputs.rotor_expansion * TemperatureDifference::k(10.0);
        let wider = rotor.plan.land_width * warmer;
        let mut rows = vec![
            ("Part", format!("Rotor {}, {}", rotor.serial, self.build.engine.rotor_material)),
            (
                "Goes into",
                format!(
                    "housing {}, {} at its narrowest; gear face to the {}",
                    rotor.housing,
                    self.size(rotor.width.least.value()),
                    rotor.gear_face.name()
                ),
            ),
            (
                "Tips",
                "1, 2, 3 clockwise looking at the gear face; tip 1 carries the mark".to_owned(),
            ),
            (
                "Limits",
                format!(
                    "of spec \u{201c}{}\u{201d}; the gauges' error is taken off already ({}, {:.0} %): \
                     do not take it off again",
                    self.report.spec_name,
                    kernel::readings::EDITION,
                    100.0 * kernel::readings::PROBABILITY
                ),
            ),
            (
                "Sizes",
                format!(
                    "hold at 20 \u{b0}C; 10 \u{b0}C warmer the rotor is {} wider. Rounded each by \
                     itself: sums may miss by 1 \u{b5}m",
                    self.amount(wider)
                ),
            ),
        ];
        if let Some(mass) = rotor.mass {
            let (is, off) = (mass.to_g(), rotor.removed().to_g());
            rows.push((
                "Mass",
                if rotor.plan.cut.is_nothing() {
                    format!("{is:.0} g")
                } else {
                    format!(
                        "{is:.0} g, of which {off:.1} g come off: {:.0} g when it is done",
                        is - off
                    )
                },
            ));
        }
        facts(&rows)
    }

    fn at_a_glance(&self, sides: &[Side]) -> Block {
        let rows = Face::BOTH
            .into_iter()
            .flat_map(|face| {
                let cut = self.rotor.plan.cut.face(face);
                [("land", cut.land), ("outside the land", cut.tip)].map(|(area, depths)| {
                    let name = words(format!("{} face, {area}", face.name()));
                    let depths = depths.map(|depth| take(depth, self.first));
                    std::iter::once(name).chain(depths).collect::<Vec<Cell>>()
                })
            })
            .collect();
        let many = if sides.len() == 2 { "Two set-ups, gear face first" } else { "One set-up" };
        table(
            "What comes off, counted from each surface as it is now",
            &["", "tip 1", "tip 2", "tip 3"],
            rows,
            Some(format!(
                "{many}. The land is the flat ring around bearing and gear; outside is the face from \
                 the land to the tips. Every cut is one flat level square to the bearing bore, so it \
                 takes more where the face stands higher. Land and outside do not add: both are \
                 counted from the surface as it is now."
            )),
        )
    }

    fn stop_and_ask(&self) -> Vec<Block> {
        let [width, ..] = self.tools();
        let [from, _] = Scale::Size.words(self.rotor.hold.land_width, self.first);
        let [step_from, _] = Scale::Amount.words(self.rotor.hold.step, self.first);
        let never = self.rotor.plan.step_needed_hot;
        let items = vec![
            format!(
                "A reading before the first cut that differs from this sheet by more than it may: \
                 another rotor, one that was cut since, or an old sheet. Read with the {}, not with the \
                 machine's scale.",
                width.name
            ),
            format!(
                "A finished land width under {from}: nothing puts metal back. Over the most: cut again."
            ),
            format!(
                "A step under {step_from}. Under {} the tips touch the wall before the land does, hot \
                 or cold. Cutting the whole side flat makes it worse, not better.",
                self.amount(never)
            ),
            format!(
                "A land that runs out to the bore by more than {} when it is cut, or stock at tips 2 \
                 and 3 that differs from the sheet by more than that once Z is set: the rotor does not \
                 lie square.",
                self.square_words()
            ),
            "A crack, a porous place, metal that smears, a groove or a bore that opens.".to_owned(),
            "A number at the foot of this page that is not the one in the app, or in the office: this \
             sheet is old."
                .to_owned(),
        ];
        vec![heading("Stop and ask"), Block::List { items }]
    }
}
