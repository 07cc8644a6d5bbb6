//! A part's sizes against the hours it ran: wear goes on between two readings, a cut is a step down
//! at the hour it was made.

use crate::beside::spread;
use crate::columns::{Cell, Columns};
use crate::hatch::Hatch;
use crate::number::{amount, size};
use crate::options::Options;
use crate::origin::Origin;
use crate::scale::{Scale, figure, span};
use crate::sheet::{Anchor, MARGIN, Sheet, WIDTH, boxed};
use crate::text::Type;
use kernel::units::{Length, System};

/// One reading of a size.
#[derive(Debug, Clone, PartialEq)]
pub struct LifePoint {
    /// Hours that the part had run by then.
    pub hours: f64,
    /// The size.
    pub size: Length,
    /// Its standard uncertainty.
    pub u: Length,
    /// When it was read, in words.
    pub when: String,
}

/// One station over the part's life.
#[derive(Debug, Clone, PartialEq)]
pub struct LifeLine {
    /// What a builder calls it.
    pub name: String,
    /// Its readings in their order; two at the same hour are a cut between them.
    pub points: Vec<LifePoint>,
}

/// The model of the picture.
#[derive(Debug, Clone, PartialEq)]
pub struct PartLife {
    /// The part: `rotor R-101`.
    pub part: String,
    /// What is read: `land width`.
    pub what: String,
    /// Its stations.
    pub lines: Vec<LifeLine>,
    /// The limit, and where it is from.
    pub limit: Option<(Length, String)>,
    /// Whether room is left above the limit, or below it.
    pub grows: bool,
    /// The last build it was in.
    pub origin: Origin,
    /// What else must be said, each a sentence.
    pub notes: Vec<String>,
}

/// Left and right edge of the panel on the sheet, and how high it is.
const LEFT: f64 = 140.0;
const RIGHT: f64 = 620.0;
const HIGH: f64 = 280.0;
/// Where the words beside the panel start.
const BESIDE: f64 = RIGHT + 14.0;
/// Standard uncertainties that a bar stands for, to either side.
const BAR: f64 = 2.0;
/// Hours nearer than this are the same.
const SAME_HOURS: f64 = 1e-6;

/// What a cut did between two readings at one hour.
fn made(cut: Length, first: System) -> String {
    let by = amount(cut.abs(), first);
    if cut < Length::ZERO { format!("made {by} more") } else { format!("cut by {by}") }
}

fn hours(hours: f64) -> String {
    format!("{} h", figure(hours, usize::from(hours.fract() != 0.0)))
}

impl LifeLine {
    /// What happened between its readings, in sentences.
    fn sentences(&self, first: System) -> Vec<String> {
        let mut all = Vec::new();
        for point in &self.points {
            all.push(format!(
                "{}, {}: {} {}.",
                self.name,
                hours(point.hours),
                size(point.size, first),
                point.when
            ));
        }
        for pair in self.points.windows(2) {
            if same(&pair[0], &pair[1]) {
                let cut = made(pair[0].size - pair[1].size, first);
                all.push(format!("{}, {}: {cut}.", self.name, hours(pair[0].hours)));
            }
        }
        all
    }
}

fn same(a: &LifePoint, b: &LifePoint) -> bool {
    (a.hours - b.hours).abs() <= SAME_HOURS
}

impl PartLife {
    fn title(&self) -> String {
        format!("{} of {} against hours run", self.what, self.part)
    }

    fn points(&self) -> impl Iterator<Item = &LifePoint> {
        self.lines.iter().flat_map(|line| &line.points)
    }

    const fn reading() -> &'static str {
        "Solid: worn between two readings. Dashed, straight up or down: cut or made anew. Bars: two \
         standard uncertainties to either side."
    }

    /// The axis of hours.
    fn hours(&self) -> Scale {
        let (_, to) = span(self.points().map(|point| point.hours).chain([0.0]));
        let room = 0.03 * to.max(1.0);
        Scale::new((-room, to.max(1.0) + room), (LEFT, RIGHT))
    }

    /// The axis of sizes, in millimetres or inches.
    fn sizes(&self, top: f64, system: System) -> Scale {
        let ends = self.points().flat_map(|p| [p.size - p.u * BAR, p.size + p.u * BAR]);
        let limit = self.limit.iter().map(|(limit, _)| *limit);
        let (from, to) = span(ends.chain(limit).map(|size| in_units(size, system)));
        let room = 0.08 * (to - from).max(in_units(Length::um(2.0), system));
        Scale::new((from - room, to + room), (top + HIGH, top))
    }

    /// The picture.
    #[must_use]
    pub fn svg(&self, options: &Options) -> String {
        let system = options.system;
        let mut sheet = Sheet::new("part-life", options);
        let top = sheet.heading(&self.title(), &[Self::reading().to_owned()]) + 24.0;
        let bottom = top + HIGH;
        let (across, up) = (self.hours(), self.sizes(top, system));
        let (ticks, decimals) = up.ticks(34.0);
        for value in ticks {
            let y = up.at(value);
            sheet.line((LEFT, y), (RIGHT, y), "faint");
            sheet.line((LEFT - 6.0, y), (LEFT, y), "thin");
            let words = figure(value, decimals);
            sheet.text(LEFT - 10.0, y + 5.0, Type::Small, Anchor::End, &words);
        }
        let unit = match system {
            System::Metric => "mm",
            System::Inch => "in",
        };
        sheet.text(MARGIN, top - 9.0, Type::Small, Anchor::Start, unit);
        let (ticks, decimals) = across.ticks(74.0);
        for value in ticks {
            let x = across.at(value);
            sheet.line((x, top), (x, bottom), "faint");
            sheet.line((x, bottom), (x, bottom + 6.0), "thin");
            let words = figure(value, decimals);
            sheet.text(x, bottom + 21.0, Type::Small, Anchor::Middle, &words);
        }
        sheet.text(RIGHT + 40.0, bottom + 21.0, Type::Small, Anchor::Start, "hours");
        let mut labels = Vec::new();
        if let Some((limit, _)) = &self.limit {
            let y = up.at(in_units(*limit, system));
            let (from, to) = if self.grows { (top, y) } else { (y, bottom) };
            sheet.hatched(&boxed(LEFT, from, RIGHT - LEFT, to - from), Hatch::Barred);
            sheet.line((LEFT, y), (RIGHT, y), "bad-edge");
            labels.push((y + 5.0, "limit".to_owned()));
        }
        sheet.path(&boxed(LEFT, top, RIGHT - LEFT, HIGH), "thin");
        for line in &self.lines {
            let at = |p: &LifePoint| (across.at(p.hours), up.at(in_units(p.size, system)));
            for pair in line.points.windows(2) {
                let class = if same(&pair[0], &pair[1]) { "curve-dashed" } else { "curve" };
                sheet.curve(&[at(&pair[0]), at(&pair[1])], class);
            }
            for point in &line.points {
                let (x, _) = at(point);
                let end = |u: f64| up.at(in_units(point.size + point.u * u, system));
                sheet.line((x, end(-BAR)), (x, end(BAR)), "thin");
                sheet.circle(at(point), 3.0, "ink");
            }
            if let Some(last) = line.points.last() {
                labels.push((at(last).1 + 5.0, line.name.clone()));
            }
        }
        for (y, base, words) in spread(labels, (top + 12.0, bottom + 4.0)) {
            sheet.line((RIGHT + 1.0, y - 5.0), (BESIDE - 2.0, base - 5.0), "thin");
            sheet.block(BESIDE, base, Type::Small, WIDTH - MARGIN - BESIDE, &words);
        }
        let mut y = bottom + 50.0;
        if let Some((limit, from)) = &self.limit {
            let words = format!("Limit: {}, by {from}.", size(*limit, system));
            y = sheet.notes(y, &[words]);
        }
        y = sheet.notes(y, &self.notes);
        sheet.close(y, &self.title(), &self.sentences(system), &self.origin)
    }

    fn sentences(&self, system: System) -> Vec<String> {
        let mut all = vec![Self::reading().to_owned()];
        all.extend(self.lines.iter().flat_map(|line| line.sentences(system)));
        if let Some((limit, from)) = &self.limit {
            all.push(format!("Limit: {}, by {from}.", size(*limit, system)));
        }
        all.extend(self.notes.iter().cloned());
        all
    }

    /// Its data.
    #[must_use]
    pub fn csv(&self) -> String {
        let mut columns = Columns::new(&["station", "hours", "size_mm", "u_um", "size_in", "when"]);
        for line in &self.lines {
            for point in &line.points {
                columns.row(&[
                    Cell::Words(&line.name),
                    Cell::Figure(point.hours, 2),
                    Cell::Figure(point.size.to_mm(), 4),
                    Cell::Figure(point.u.to_um(), 2),
                    Cell::Figure(point.size.to_inch(), 5),
                    Cell::Words(&point.when),
                ]);
            }
        }
        if let Some((limit, from)) = &self.limit {
            columns.row(&[
                Cell::Words("limit"),
                Cell::Empty,
                Cell::Figure(limit.to_mm(), 4),
                Cell::Empty,
                Cell::Figure(limit.to_inch(), 5),
                Cell::Words(from),
            ]);
        }
        columns.into_text()
    }
}

fn in_units(size: Length, system: System) -> f64 {
    match system {
        System::Metric => size.to_mm(),
        System::Inch => size.to_inch(),
    }
}
