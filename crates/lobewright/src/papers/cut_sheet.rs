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

/// Passes no thinner than the thinnest that the last one has to take. Two: it cuts, and what the
/// stop showed can still be made good.
const PASSES_LEFT: f64 = 2.0;
/// What a micrometer's anvil needs beside the ring, and the least ring that a land lies on well
/// (common practice, no source).
const ANVIL_MM: f64 = 8.0;
const LEAST_RING_MM: f64 = 4.0;
/// Micrometers come in ranges of this.
const MICROMETER_RANGE_MM: f64 = 25.0;

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
        self.report.inputs.least_cut * PASSES_LEFT
    }

    fn whose(&self) -> Block {
        let rotor = self.rotor;
        let warm =
            self.report.inputs.rotor_expansion.to_per_k() * 10.0 * rotor.plan.land_width.to_m();
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
                    self.amount(Length::m(warm))
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

    /// What was read, to be read again before the first cut.
    fn before(&self) -> Vec<Block> {
        let readings = self.readings();
        let [width, step, runout] = self.tools();
        let mut rows = Vec::new();
        let mut row =
            |name: String, values: Option<[Length; TIPS]>, scale: Scale, differ: Length| {
                let mut cells = vec![words(name)];
                for tip in 0..TIPS {
                    let shown = values.map(|values| match scale {
                        Scale::Size => self.size(values[tip]),
                        Scale::Amount => self.amount(values[tip]),
                    });
                    cells.push(shown.map_or_else(|| words("not read"), |shown| figure(&shown)));
                    cells.push(Cell::Room);
                }
                cells.push(figure(&self.amount(differ)));
                rows.push(cells);
            };
        let widths = may_differ_by(width.gauge);
        row(format!("land width, {}", width.name), Some(readings.land_width), Scale::Size, widths);
        let steps = may_differ_by(step.gauge);
        for (face, values) in [(Face::Gear, readings.gear_step), (Face::Plain, readings.plain_step)]
        {
            let name = format!("{}-face step, {}", face.name(), step.name);
            row(name, Some(values), Scale::Amount, steps);
        }
        for (face, values) in
            [(Face::Gear, readings.gear_runout), (Face::Plain, readings.plain_runout)]
        {
            let differ = match values {
                Some(_) => may_differ_by(runout.gauge),
                // Three of the standard uncertainty with which it was assumed square.
                None => readings.squareness * 3.0,
            };
            let name = format!("{}-land run-out, {}", face.name(), runout.name);
            row(name, values, Scale::Amount, differ);
        }
        vec![
            heading("Before the first cut"),
            table(
                "As it was read: read it again, and write it down",
                &["", "tip 1", "now", "tip 2", "now", "tip 3", "now", "may differ"],
                rows,
                Some(format!(
                    "Land width: thickness over both lands, at the land's outer edge, in line with the \
                     tip. Step: land less face, read at radius {} in line with the tip; where a slot or \
                     a bore is there, beside it on both sides, and the mean. Run-out: on the bore, dial \
                     at nothing at tip 1, + where the land stands out; one that was not read may run \
                     out by the last column.",
                    self.size(self.report.inputs.reading_radius)
                )),
            ),
        ]
    }

    /// What it lies on and what it is read with.
    fn fixture(&self) -> Block {
        let inputs = &self.report.inputs;
        let mm = |length: Length| length.to_mm();
        let land = 2.0 * mm(inputs.face.land_radius());
        let inner = 2.0 * mm(inputs.land_inner_radius);
        let outer = land - 2.0 * ANVIL_MM;
        let across = |mm: f64| Length::mm(mm).as_size(self.first).to_string();
        let ring = if outer > inner + 2.0 * LEAST_RING_MM {
            format!(
                "ground ring, outside at most {}, inside at least {}: so the gauge reaches the lower \
                 land's edge, and gear and bearing hang free",
                across(outer.floor()),
                across(inner.ceil())
            )
        } else {
            format!(
                "ground ring with a gap under each tip for the gauge, outside at most {}, inside at \
                 least {}",
                across(land.floor()),
                across(inner.ceil())
            )
        };
        let aim_mm = mm(self.rotor.plan.land_width);
        let range = (aim_mm / MICROMETER_RANGE_MM).floor() * MICROMETER_RANGE_MM;
        let throat = mm(inputs.face.rotor_tip_radius() - inputs.face.land_radius()) + ANVIL_MM;
        let deepest = Face::BOTH
            .into_iter()
            .flat_map(|face| self.rotor.plan.cut.face(face).tip)
            .fold(Length::ZERO, Length::max);
        let judged: Vec<bool> =
            self.rotor.seals.iter().filter_map(kernel::seals::SealLine::holds).collect();
        let seals = if judged.is_empty() {
            "the spec has no limits of seals: nobody has checked that they keep their support"
        } else if judged.iter().all(|holds| *holds) {
            "the spec's limits of the seals hold with that"
        } else {
            "a limit of the seals does not hold with that: stop and ask"
        };
        facts(&[
            ("Lies on", format!("{ring}; its faces parallel within {}", self.amount(inputs.capability))),
            (
                "Held",
                format!(
                    "by the web or through the bore, clear of the cutter, after gear, bearing and \
                     grooves are covered from grit; seals and springs out. The bore moves by no more \
                     than {} when it is clamped",
                    self.amount(inputs.capability)
                ),
            ),
            (
                "Read with",
                format!(
                    "micrometer {range:.0} to {:.0} mm with a throat of {throat:.0} mm or more; \
                     indicator on a bridge over the land",
                    range + MICROMETER_RANGE_MM
                ),
            ),
            (
                "Shoulder",
                "where land and outside meet: a corner of up to 0.4 mm radius outside the land's edge \
                 (common practice), nothing inside it"
                    .to_owned(),
            ),
            (
                "Edges",
                "0.1 mm at the most (common practice); grooves and bores of seals are cleared, not \
                 rounded"
                    .to_owned(),
            ),
            (
                "By program",
                "where a program cuts it, its set-up list takes the place of steps 2 to 4 of each set-up"
                    .to_owned(),
            ),
            (
                "Seals",
                format!(
                    "their grooves and bores get shallower by up to {}; {seals}",
                    self.amount(deepest)
                ),
            ),
        ])
    }

    fn set_up(&self, side: &Side, of: usize) -> Vec<Block> {
        let (face, other) = (side.face.name(), opposite(side.face).name());
        vec![
            Block::NewPage,
            heading(&format!("Set-up {} of {of}: {face} face up", side.number)),
            Block::Picture(self.picture(side)),
            Block::Steps { from: 1, steps: self.steps(side, other, of) },
            self.to_read(side),
        ]
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
            gear_radius: inputs.trochoid.eccentricity() * 3.0,
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
    fn shim(&self, side: &Side) -> String {
        if side.number > 1 {
            return "no shim: the lower land is finished and square; if it is not, stop and ask"
                .to_owned();
        }
        let runout = match opposite(side.face) {
            Face::Gear => self.readings().gear_runout,
            Face::Plain => self.readings().plain_runout,
        };
        let Some(runout) = runout else {
            return "where the land does not lie square to the bore, shim under the ring"
                .to_owned();
        };
        let most = runout.into_iter().fold(runout[0], Length::max);
        let under: Vec<String> = runout
            .into_iter()
            .enumerate()
            .filter(|(_, read)| most - *read > self.report.inputs.capability)
            .map(|(tip, read)| format!("{} under tip {}", self.amount(most - read), tip + 1))
            .collect();
        if under.is_empty() {
            "no shim: by its readings the lower land lies square".to_owned()
        } else {
            format!("by its readings shim the ring by {}", under.join(" and "))
        }
    }

    fn steps(&self, side: &Side, other: &str, of: usize) -> Vec<String> {
        let face = side.face.name();
        let [width, step, _] = self.tools();
        let cuts_land = side.land.iter().any(|depth| *depth > Length::ZERO);
        let cuts_outside = side.outside.iter().any(|depth| *depth > Length::ZERO);
        let finished = self.rotor.plan.finished.face(side.face).step();
        let proud = self.left_proud();
        let mut steps = vec![format!(
            "Lay the {other} land on the ring, {face} face up, tip 1 marked; where the mark lies on the \
             face outside the land, copy it to the flank first. Bring the bearing bore onto the axis \
             that the cutter goes round, within 0.02 mm, and square to it: along the bore the indicator \
             moves by no more than {}; {}.",
            self.amount(self.report.inputs.capability),
            self.shim(side)
        )];
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
        if self.index > 0 && side.number == of {
            steps.push(
                "This rotor is matched to the first of its set: the land width to reach here is the one \
                 filled in on the sheet of the set, ________, as long as it is within from and to. Take \
                 the difference on this face alone."
                    .to_owned(),
            );
        }
        steps.push(
            "Before it is let go: read again and write it below. Then clear edges and grooves, wash, and \
             let it come to the gauges' temperature."
                .to_owned(),
        );
        steps
    }

    fn to_read(&self, side: &Side) -> Block {
        let hold = self.rotor.hold.land_width;
        let aim = self.rotor.plan.land_width;
        let rooms = || [Cell::Room, Cell::Room, Cell::Room];
        let level = side.widths.iter().all(|width| (*width - aim).abs() < Length::um(0.5));
        let mut rows = Vec::new();
        if level {
            let [from, to] = Scale::Size.limits(hold, self.first);
            let mut row = vec![words("land width"), size(aim, self.first), from, to];
            row.extend(rooms());
            rows.push(row);
        } else {
            for tip in 0..TIPS {
                // As far from its aim as the finished width may be from its own.
                let shift = side.widths[tip] - aim;
                let between = Tolerance { least: hold.least + shift, most: hold.most + shift };
                let [from, to] = Scale::Size.limits(between, self.first);
                let name = words(format!("land width, tip {}", tip + 1));
                let mut row = vec![name, size(side.widths[tip], self.first), from, to];
                row.extend((0..TIPS).map(|k| if k == tip { Cell::Room } else { Cell::Empty }));
                rows.push(row);
            }
        }
        let steps = self.rotor.plan.finished.face(side.face).step();
        rows.push(self.step_row(side.face, steps));
        let none = Tolerance { least: Length::ZERO, most: self.square() };
        let [_, most] = Scale::Amount.limits(none, self.first);
        let mut row = vec![words("land run-out to the bore"), Cell::Empty, Cell::Empty, most];
        row.extend(rooms());
        rows.push(row);
        let mut notes = Vec::new();
        if !level {
            notes.push(
                "The other land is not cut yet: so these widths are larger than the finished one, and \
                 each tip has its own. Over the most: cut again. Under the least: stop."
                    .to_owned(),
            );
        }
        notes.extend(self.why_lopsided());
        table(
            &format!("Read on the machine after set-up {}", side.number),
            &["", "aim", "from", "to", "got, tip 1", "got, tip 2", "got, tip 3"],
            rows,
            (!notes.is_empty()).then(|| notes.join(" ")),
        )
    }

    fn step_row(&self, face: Face, steps: [Length; TIPS]) -> Vec<Cell> {
        let [from, to] = Scale::Amount.limits(self.rotor.hold.step, self.first);
        let aims = steps.map(|step| self.amount(step));
        let aim = if aims.iter().all(|aim| *aim == aims[0]) {
            strong(&aims[0])
        } else {
            words(aims.join(", "))
        };
        let name = words(format!("{}-face step", face.name()));
        vec![name, aim, from, to, Cell::Room, Cell::Room, Cell::Room]
    }

    /// Why the least step is nearer to the aim than the most.
    fn why_lopsided(&self) -> Option<String> {
        let (hold, spec) = (self.rotor.hold.step, self.report.spec.step);
        let (below, above) = (spec.target - hold.least, hold.most - spec.target);
        (above - below > Length::um(0.5)).then(|| {
            format!(
                "The least step is nearer to its aim than the most: it is held up by where the tips \
                 would touch, {}, and by the gauges' error.",
                self.amount(self.rotor.plan.step_needed_hot)
            )
        })
    }

    /// What the finished rotor is.
    fn finished(&self) -> Vec<Block> {
        let [from, to] = Scale::Size.limits(self.rotor.hold.land_width, self.first);
        let width = size(self.rotor.plan.land_width, self.first);
        let mut rows =
            vec![vec![words("land width"), width, from, to, Cell::Room, Cell::Room, Cell::Room]];
        for face in Face::BOTH {
            rows.push(self.step_row(face, self.rotor.plan.finished.face(face).step()));
        }
        vec![
            heading("When it is done"),
            table(
                "Sizes to hold, read off the machine, washed and cool",
                &["", "aim", "from", "to", "got, tip 1", "got, tip 2", "got, tip 3"],
                rows,
                Some(
                    "These are entered at the bench as readings after the cut. From and to are rounded \
                     inwards in each system by itself. Then fill in the line of this rotor on the sheet \
                     of the set, before the next rotor is cut."
                        .to_owned(),
                ),
            ),
        ]
    }
}
