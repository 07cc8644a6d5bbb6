//! Where the gap at a tip goes: from what is there at 20 °C, cause by cause, to the least gap at
//! speed. A step up adds to the gap, a step down takes from it; arrow, sign and hatching say
//! which.

use crate::axis::Axis;
use crate::columns::{Cell, Columns};
use crate::hatch::Hatch;
use crate::number::{amount, change};
use crate::options::Options;
use crate::origin::Origin;
use crate::scale::figure;
use crate::sheet::{Anchor, MARGIN, Sheet, WIDTH, boxed, outline};
use crate::text::{Type, printable, wrap};
use crate::tip::Tip;
use kernel::readings::Face;
use kernel::units::{Length, Speed, System};

/// What one cause does to the gap.
#[derive(Debug, Clone, PartialEq)]
pub struct GapCause {
    /// What it is: `heat`, `gas bending`.
    pub label: String,
    /// By how much the gap changes, negative where it shrinks.
    pub change: Length,
    /// The gap after it and all causes above it.
    pub running: Length,
}

/// The model of the picture.
#[derive(Debug, Clone, PartialEq)]
pub struct TipBudget {
    /// The rotor's serial.
    pub serial: String,
    /// What it belongs to.
    pub origin: Origin,
    /// Whether the shaft was taken from the engine's sizes.
    pub assumed_shaft: bool,
    /// At which tip.
    pub tip: Tip,
    /// On which face.
    pub face: Face,
    /// At which speed of the shaft.
    pub speed: Speed,
    /// What the gap starts from: `step as cut, at 20 °C`.
    pub start_label: String,
    /// How much that is.
    pub start: Length,
    /// The causes in the order in which they are told.
    pub causes: Vec<GapCause>,
    /// The least gap, negative where the tip would be inside the wall.
    pub least: Length,
    /// How the rotor stands in it: `at worst float`.
    pub pose: String,
    /// What else must be said, each a sentence.
    pub notes: Vec<String>,
}

/// Left and right end of the axis on the sheet, and the room for names left of it.
const LEFT: f64 = 300.0;
const RIGHT: f64 = 580.0;
const NAMES: f64 = LEFT - MARGIN - 24.0;
/// Where the figures start.
const FIGURES: f64 = RIGHT + 14.0;
const LINE: f64 = 18.0;
const BAR: f64 = 20.0;
/// What may be missing between the last cause and the least gap before it is a row of its own.
const ROUNDING: Length = Length::um(0.5);

/// A row of the waterfall.
struct Row {
    name: Vec<String>,
    from: Length,
    to: Length,
    /// A level from zero, not a change.
    is_level: bool,
    /// Right of the axis.
    said: String,
}

impl Row {
    fn height(&self) -> f64 {
        (LINE * self.name.len() as f64 + 8.0).max(34.0)
    }
}

impl TipBudget {
    /// What no cause accounts for.
    fn remainder(&self) -> Option<Length> {
        let last = self.causes.last().map_or(self.start, |cause| cause.running);
        let rest = self.least - last;
        (rest.abs() > ROUNDING).then_some(rest)
    }

    fn rows(&self, system: System) -> Vec<Row> {
        let named = |words: &str| wrap(&printable(words), Type::Small, NAMES);
        let level = |words: &str, to: Length| Row {
            name: named(words),
            from: Length::ZERO,
            to,
            is_level: true,
            said: amount(to, system),
        };
        let step = |words: &str, by: Length, to: Length| Row {
            name: named(words),
            from: to - by,
            to,
            is_level: false,
            said: change(by, system),
        };
        let mut rows = vec![level(&self.start_label, self.start)];
        rows.extend(self.causes.iter().map(|c| step(&c.label, c.change, c.running)));
        if let Some(rest) = self.remainder() {
            rows.push(step("no single cause", rest, self.least));
        }
        rows.push(level(&format!("least gap, {}", self.pose), self.least));
        rows
    }

    fn title(&self) -> String {
        format!("Where the gap goes: rotor {}, tip {}", self.serial, self.tip.number())
    }

    fn place(&self) -> String {
        format!(
            "Gap at tip {} on the {} face at {} rpm, {}.",
            self.tip.number(),
            self.face.name(),
            figure(self.speed.to_rpm(), 0),
            self.pose,
        )
    }

    /// The picture.
    #[must_use]
    pub fn svg(&self, options: &Options) -> String {
        let system = options.system;
        let mut sheet = Sheet::new("tip-budget", options);
        let reading = "Dotted, arrow to the right: gives room. Hatched, arrow to the left: takes it. \
                       Left of zero the tip touches.";
        let under = [self.place(), reading.to_owned()];
        let y = sheet.heading(&self.title(), &under) + 22.0;
        let rows = self.rows(system);
        let axis = Axis::over(rows.iter().flat_map(|row| [row.from, row.to]), LEFT, RIGHT);
        let first_row = y + 40.0;
        let bottom = first_row + rows.iter().map(Row::height).sum::<f64>();
        axis.draw(&mut sheet, y, (first_row, bottom), system);
        let zero = axis.at(Length::ZERO);
        if zero > LEFT {
            let area = boxed(LEFT, first_row, zero - LEFT, bottom - first_row);
            sheet.hatched(&area, Hatch::Barred);
        }
        sheet.line((zero, first_row), (zero, bottom), "bad-edge");
        let mut top = first_row;
        for (n, row) in rows.iter().enumerate() {
            row.draw(&mut sheet, &axis, top);
            let next = top + row.height();
            if n + 1 < rows.len() {
                // From the end of this bar to the start of the next.
                let x = axis.at(row.to);
                let from = 0.5 * (top + next) + 0.5 * BAR;
                let to = next + 0.5 * (rows[n + 1].height() - BAR);
                sheet.line((x, from), (x, to), "thin");
            }
            top = next;
        }
        sheet.line((MARGIN, bottom), (WIDTH - MARGIN, bottom), "faint");
        let y = sheet.notes(bottom + 30.0, &self.notes);
        let foot = self.origin.at_speed(self.assumed_shaft);
        sheet.close_with(y, &self.title(), &self.sentences(system), &foot)
    }

    fn sentences(&self, system: System) -> Vec<String> {
        let mut all = vec![self.place()];
        all.push(format!("{}: {}.", self.start_label, amount(self.start, system)));
        for cause in &self.causes {
            all.push(format!(
                "{}: {}, leaves {}.",
                cause.label,
                change(cause.change, system),
                amount(cause.running, system)
            ));
        }
        if let Some(rest) = self.remainder() {
            all.push(format!("No single cause: {}.", change(rest, system)));
        }
        all.push(format!("Least gap, {}: {}.", self.pose, amount(self.least, system)));
        all.extend(self.notes.iter().cloned());
        all
    }

    /// Its data.
    #[must_use]
    pub fn csv(&self) -> String {
        let mut columns = Columns::new(&[
            "what",
            "rotor",
            "face",
            "tip",
            "change_um",
            "change_thou",
            "gap_um",
            "gap_thou",
        ]);
        let mut row = |what: &str, by: Option<Length>, gap: Length| {
            columns.row(&[
                Cell::Words(what),
                Cell::Words(&self.serial),
                Cell::Words(self.face.name()),
                Cell::Figure(self.tip.number() as f64, 0),
                Cell::maybe(by.map(Length::to_um), 1),
                Cell::maybe(by.map(Length::to_thou), 3),
                Cell::Figure(gap.to_um(), 1),
                Cell::Figure(gap.to_thou(), 3),
            ]);
        };
        row(&self.start_label, None, self.start);
        for cause in &self.causes {
            row(&cause.label, Some(cause.change), cause.running);
        }
        if let Some(rest) = self.remainder() {
            row("no single cause", Some(rest), self.least);
        }
        row(&format!("least gap, {}", self.pose), None, self.least);
        columns.into_text()
    }
}

impl Row {
    fn draw(&self, sheet: &mut Sheet, axis: &Axis, top: f64) {
        sheet.line((MARGIN, top), (WIDTH - MARGIN, top), "faint");
        let middle = top + 0.5 * self.height();
        let first = middle - 0.5 * LINE * self.name.len() as f64 + 13.5;
        let set = if self.is_level { Type::Strong } else { Type::Small };
        for (n, line) in self.name.iter().enumerate() {
            sheet.text(MARGIN, first + LINE * n as f64, Type::Small, Anchor::Start, line);
        }
        sheet.text(FIGURES, middle + 5.0, set, Anchor::Start, &self.said);
        let (from, to) = (axis.at(self.from), axis.at(self.to));
        let (left, right) = (from.min(to), from.max(to));
        let bar = boxed(left, middle - 0.5 * BAR, right - left, BAR);
        sheet.path(&bar, "paper");
        if self.is_level {
            sheet.path(&bar, if self.to < Length::ZERO { "bad" } else { "metal" });
            sheet.path(&bar, "edge");
            return;
        }
        let gives = self.to >= self.from;
        sheet.hatched(&bar, if gives { Hatch::Land } else { Hatch::Stock });
        sheet.path(&bar, "edge");
        if right - left > 0.01 {
            let away = if gives { 1.0 } else { -1.0 };
            // The arrow stands on the end of the bar and outside it where the bar is short.
            let base = if right - left >= 16.0 { to - away * 11.0 } else { to + away * 2.0 };
            let tip = base + away * 11.0;
            let head = [(tip, middle), (base, middle - 6.0), (base, middle + 6.0)];
            sheet.path(&outline(&head, true), "plain-mark");
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn budget(least_um: f64) -> TipBudget {
        let um = Length::um;
        let cause = |label: &str, change: f64, running: f64| GapCause {
            label: label.into(),
            change: um(change),
            running: um(running),
        };
        TipBudget {
            serial: "R-114".into(),
            origin: Origin::default(),
            assumed_shaft: false,
            tip: Tip::Two,
            face: Face::Gear,
            speed: Speed::rpm(9000.0),
            start_label: "step as cut".into(),
            start: um(127.0),
            causes: vec![cause("heat", -35.0, 92.0), cause("contact", 4.0, 96.0)],
            least: um(least_um),
            pose: "at worst float".into(),
            notes: Vec::new(),
        }
    }

    #[test]
    fn what_no_cause_accounts_for_is_a_row_of_its_own() {
        assert_eq!(budget(96.2).remainder(), None);
        assert_eq!(budget(96.2).rows(System::Metric).len(), 4);
        let model = budget(80.0);
        assert!((model.remainder().unwrap().to_um() + 16.0).abs() < 1e-9);
        assert!(model.csv().contains("no single cause,R-114,gear,2,-16.0,-0.630,80.0,3.150"));
        assert!(model.svg(&Options::default()).contains(">no single cause</text>"));
    }

    #[test]
    fn each_bar_starts_where_the_one_before_ended() {
        let rows = budget(96.0).rows(System::Metric);
        for pair in rows[..3].windows(2) {
            assert!((pair[1].from - pair[0].to).abs() < Length::um(1e-6));
        }
    }
}
