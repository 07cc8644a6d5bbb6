//! The cut sheet of one rotor: what a machinist works from who has never seen the program.

use super::Stamp;
use super::cautions;
use super::cells::{Scale, facts, figure, heading, size, strong, table, take, text, words};
use crate::build_file::Build;
use crate::ops::outline_of;
use crate::ops::{PlanReport, RotorReport};
use crate::ops::{STEP_GAUGE, WIDTH_GAUGE};
use crate::ops::{file_stem, origin};
use drawings::{Options, SetUp, Take};
use kernel::plan::{land_width_after_first, may_differ_by, runout_allowed};
use kernel::readings::{Face, Gauge, RotorReadings, TIPS, Tolerance};
use kernel::room::Outside;
use kernel::units::{Length, System};
use paper::{Block, Cell, Paper, Picture};

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

const fn opposite(face: Face) -> Face {
    match face {
        Face::Gear => Face::Plain,
        Face::Plain => Face::Gear,
    }
}

impl Maker<'_> {
    fn blocks(&self) -> Vec<Block> {
        let sides = self.sides();
        let mut blocks = vec![self.whose(), cautions::at_the_machine()];
        if sides.is_empty() {
            blocks
                .push(text("Nothing is cut from this rotor: every size is within its tolerance."));
            blocks.extend(self.before());
            return blocks;
        }
        blocks.push(self.at_a_glance(&sides));
        blocks.extend(self.before());
        for side in &sides {
            blocks.extend(self.set_up(side, sides.len()));
        }
        blocks.extend(self.finished());
        blocks.extend(self.stop_and_ask());
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

    fn whose(&self) -> Block {
        let rotor = self.rotor;
        let after = rotor.mass.map_or_else(String::new, |mass| {
            let (is, off) = (mass.to_g(), rotor.removed().to_g());
            format!("{is:.0} g, of which {off:.1} g come off: {:.0} g when it is done", is - off)
        });
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
            ("Spec", format!("{}; {}", self.report.spec_name, self.rule())),
            (
                "Tips",
                "1, 2, 3 clockwise looking at the gear face; tip 1 carries the mark".to_owned(),
            ),
            (
                "Sizes",
                "hold at 20 \u{b0}C: let rotor and gauges come to one temperature".to_owned(),
            ),
        ];
        if !after.is_empty() {
            rows.push(("Mass", after));
        }
        facts(&rows)
    }

    fn rule(&self) -> String {
        format!(
            "limits are its tolerances less their guard ({}, {:.0} %)",
            kernel::readings::EDITION,
            100.0 * kernel::readings::PROBABILITY
        )
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
        let many = if sides.len() == 2 { "Two set-ups" } else { "One set-up" };
        table(
            "What comes off, counted from each surface as it is now",
            &["", "tip 1", "tip 2", "tip 3"],
            rows,
            Some(format!(
                "{many}. Every cut is one flat level square to the bearing bore, so it takes more \
                 where the face stands higher. The figures of land and outside do not add: both are \
                 counted from the surface as it is now."
            )),
        )
    }

    /// What was read, to be read again before the first cut.
    fn before(&self) -> Vec<Block> {
        let readings = self.readings();
        let [width, step, runout] = self.tools();
        let mut rows = Vec::new();
        let mut row = |name: &str, values: [Length; TIPS], scale: Scale, tool: &Tool<'_>| {
            let mut cells = vec![words(name)];
            for value in values {
                let shown = match scale {
                    Scale::Size => self.size(value),
                    Scale::Amount => self.amount(value),
                };
                cells.extend([figure(&shown), Cell::Room]);
            }
            cells.push(figure(&self.amount(may_differ_by(tool.gauge))));
            rows.push(cells);
        };
        row(&format!("land width, {}", width.name), readings.land_width, Scale::Size, &width);
        row(&format!("gear-face step, {}", step.name), readings.gear_step, Scale::Amount, &step);
        row(&format!("plain-face step, {}", step.name), readings.plain_step, Scale::Amount, &step);
        for (face, values) in
            [(Face::Gear, readings.gear_runout), (Face::Plain, readings.plain_runout)]
        {
            if let Some(values) = values {
                let name = format!("{}-land run-out, {}", face.name(), runout.name);
                row(&name, values, Scale::Amount, &runout);
            }
        }
        vec![
            heading("Before the first cut"),
            table(
                "As it was read: read it again",
                &["", "tip 1", "now", "tip 2", "now", "tip 3", "now", "may differ"],
                rows,
                Some(format!(
                    "Land width is read across both lands at the land's outer edge, on the azimuth of \
                     each tip. A step is land height less face height, read at radius {}. If any \
                     differs by more than the last column, stop and ask: it is another rotor, it was \
                     cut since, or this sheet is old.",
                    self.size(self.report.inputs.reading_radius)
                )),
            ),
        ]
    }

    fn set_up(&self, side: &Side, of: usize) -> Vec<Block> {
        let (face, other) = (side.face.name(), opposite(side.face).name());
        let last = side.number == of;
        let mut blocks = vec![
            Block::NewPage,
            heading(&format!("Set-up {} of {of}: {face} face up", side.number)),
            Block::Picture(self.picture(side)),
            Block::Steps { from: 1, steps: self.steps(side, other) },
        ];
        blocks.push(self.to_read(side, last));
        blocks
    }

    fn picture(&self, side: &Side) -> Picture {
        let inputs = &self.report.inputs;
        let model = SetUp {
            serial: self.rotor.serial.clone(),
            origin: origin(self.report, self.rotor),
            number: side.number,
            face: side.face,
            outline: outline_of(self.report),
            land_inner_radius: inputs.land_inner_radius,
            land_radius: inputs.face.land_radius(),
            reading_radius: inputs.reading_radius,
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
            percent: 100,
        }
    }

    fn steps(&self, side: &Side, other: &str) -> Vec<String> {
        let face = side.face.name();
        let [width, step, _] = self.tools();
        let cuts_land = side.land.iter().any(|depth| *depth > Length::ZERO);
        let cuts_outside = side.outside.iter().any(|depth| *depth > Length::ZERO);
        let finished = self.rotor.plan.finished.face(side.face).step();
        let mut steps = vec![format!(
            "Lay the {other} land on a ground ring that the land covers, {face} face up, tip 1 marked. \
             Bring the bearing bore onto the spindle's axis and square to it by indicator{}. Hold it, \
             and read the bore again.",
            if side.number == 1 {
                "; where the land does not lie square to the bore, put foil between land and ring"
            } else {
                "; the lower land is finished and square, so no foil is needed: if it is, stop and ask"
            }
        )];
        if cuts_land {
            let proud = side.land.map(|depth| self.amount(depth));
            steps.push(format!(
                "Find the land's height: touch it at tip 1 and set Z to {}, so that Z 0 is the finished \
                 land. It must then stand {} proud at tip 2 and {} at tip 3.",
                proud[0], proud[1], proud[2]
            ));
            steps.push(
                "Cut the land first: the step is read from it, so it must be finished before the \
                 face outside can be read. Leave some proud, read the land width at each tip, then \
                 finish to Z 0."
                    .to_owned(),
            );
            steps.push(format!(
                "Read the land width at each tip with the {}, without letting the rotor go if the \
                 gauge reaches. Write it below.",
                width.name
            ));
        } else {
            steps.push(
                "The land of this face is left as it is and is Z 0: touch it at tip 1, do not cut it."
                    .to_owned(),
            );
        }
        if cuts_outside {
            let deepest = finished.into_iter().fold(finished[0], Length::max);
            let how = match self.report.spec.outside {
                Outside::Step => format!(
                    "Cut outside the land down to {} below it, up to the land's edge at radius {} and \
                     not into the land",
                    self.amount(deepest),
                    self.size(self.report.inputs.face.land_radius())
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
                "{how}. Leave some proud, read the step at each tip with the {}, then finish.",
                step.name
            ));
            if side.outside.iter().any(|depth| *depth <= Length::ZERO) {
                steps.push(
                    "A tip that is already lower than that stays as it is; the cutter only passes \
                     over it."
                        .to_owned(),
                );
            }
        } else {
            steps.push("Outside the land nothing is cut on this face.".to_owned());
        }
        steps.push(
            "Break the edges that the shop breaks, no more; clear the grooves; wash; let it come to \
             the gauges' temperature; read, and write what was got below."
                .to_owned(),
        );
        steps
    }

    /// Limits of a step, least and most.
    fn step_limits(&self) -> Tolerance {
        self.rotor.hold.step
    }

    fn to_read(&self, side: &Side, last: bool) -> Block {
        let hold = self.rotor.hold.land_width;
        let aim = self.rotor.plan.land_width;
        let finished = self.rotor.plan.finished.face(side.face).step();
        let mut rows = Vec::new();
        for tip in 0..TIPS {
            // As far from its aim as the finished width may be from its own.
            let shift = side.widths[tip] - aim;
            let between = Tolerance { least: hold.least + shift, most: hold.most + shift };
            let [from, to] = Scale::Size.limits(between, self.first);
            rows.push(vec![
                words(format!("land width, tip {}", tip + 1)),
                size(side.widths[tip], self.first),
                from,
                to,
                Cell::Room,
            ]);
        }
        let [from, to] = Scale::Amount.limits(self.step_limits(), self.first);
        for (tip, aim) in finished.into_iter().enumerate() {
            rows.push(vec![
                words(format!("{}-face step, tip {}", side.face.name(), tip + 1)),
                strong(&self.amount(aim)),
                from.clone(),
                to.clone(),
                Cell::Room,
            ]);
        }
        let note = if last {
            None
        } else {
            Some(
                "The land width here is with the other land not cut yet, so each tip has its own. Too \
                 much can be cut again; too little is not made good on the other face: stop and ask."
                    .to_owned(),
            )
        };
        table(
            &format!("Read after set-up {}", side.number),
            &["", "aim", "from", "to", "got"],
            rows,
            note,
        )
    }

    /// What the finished rotor is.
    fn finished(&self) -> Vec<Block> {
        let finished = &self.rotor.plan.finished;
        let widths = self.rotor.hold.land_width;
        let mut rows = Vec::new();
        let mut row = |name: &str, aims: [String; TIPS], limits: [Cell; 2]| {
            let [from, to] = limits;
            let aim = if aims.iter().all(|aim| *aim == aims[0]) {
                strong(&aims[0])
            } else {
                words(aims.join(", "))
            };
            rows.push(vec![words(name), aim, from, to, Cell::Room, Cell::Room, Cell::Room]);
        };
        row(
            "land width",
            finished.land_width().map(|width| self.size(width)),
            Scale::Size.limits(widths, self.first),
        );
        for face in Face::BOTH {
            row(
                &format!("{}-face step", face.name()),
                finished.face(face).step().map(|step| self.amount(step)),
                Scale::Amount.limits(self.step_limits(), self.first),
            );
        }
        vec![
            Block::NewPage,
            heading("When both faces are done"),
            table(
                "Sizes to hold: read all of them again, off the machine",
                &["", "aim", "from", "to", "got, tip 1", "got, tip 2", "got, tip 3"],
                rows,
                Some(
                    "These are entered at the bench as readings after the cut. From and to are \
                     rounded inwards in each system by itself."
                        .to_owned(),
                ),
            ),
        ]
    }

    fn stop_and_ask(&self) -> Vec<Block> {
        let capability = self.report.inputs.capability;
        let [.., runout] = self.tools();
        let least = self.rotor.hold.land_width.least;
        let never = self.rotor.plan.step_needed_hot;
        vec![
            heading("Stop and ask"),
            Block::List {
                items: vec![
                    format!(
                        "A land width under {} at any tip: the rotor gets more play than its spec \
                         has, and nothing puts metal back.",
                        self.size(least)
                    ),
                    format!(
                        "A step under {}: at some moment the tips touch the wall before the land does. \
                         Cutting the whole side flat makes it worse, not better.",
                        self.amount(never)
                    ),
                    format!(
                        "A finished land that runs out to the bore by more than {} on the {}: the \
                         set-up was not square.",
                        self.amount(runout_allowed(capability)),
                        runout.name
                    ),
                    "Stock at tips 2 and 3 that differs from the sheet after Z is set at tip 1."
                        .to_owned(),
                    "A crack, a porous place, a groove that opens, metal that smears: before the \
                     next cut."
                        .to_owned(),
                    "A hash at the foot of this page that is not the one in the app or in the file: \
                     this sheet is old."
                        .to_owned(),
                ],
            },
        ]
    }
}
