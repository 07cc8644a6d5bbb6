//! The window: which side clearances neither jam the rotor nor let its tips touch nor leave its
//! seals short, with the spec's aim and what is planned on the same axis; and the same for the
//! step.
//!
//! A row for each limit, its bar over what it forbids. What no bar forbids is the window; it
//! runs through all rows.

use crate::alike::alike;
use crate::axis::Axis;
use crate::hatch::Hatch;
use crate::mark::Mark;
use crate::number::amount;
use crate::options::Options;
use crate::origin::Origin;
use crate::sheet::{Anchor, MARGIN, SCREENING, Sheet, WIDTH, boxed};
use crate::table::{Place, Table};
use crate::text::{Type, printable, wrap};
use crate::when::When;
use kernel::units::{Length, System};

/// The most that a seal can bear.
#[derive(Debug, Clone, PartialEq)]
pub struct SealLimit {
    /// Which seal.
    pub seal: String,
    /// The most.
    pub most: Length,
}

/// What the spec asks for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SpecFigure {
    /// The aim.
    pub target: Length,
    /// Either way.
    pub tolerance: Length,
}

/// Where a rotor stands on the axis of side clearance.
#[derive(Debug, Clone, PartialEq)]
pub struct Planned {
    /// The rotor's serial.
    pub serial: String,
    /// At what time.
    pub when: When,
    /// Its side clearance then.
    pub clearance: Length,
}

/// Where a rotor stands on the axis of the step.
#[derive(Debug, Clone, PartialEq)]
pub struct PlannedStep {
    /// The rotor's serial.
    pub serial: String,
    /// At what time.
    pub when: When,
    /// The least of its steps then, on both faces.
    pub least: Length,
    /// The greatest.
    pub greatest: Length,
}

/// Limits of the side clearance, both sides together.
#[derive(Debug, Clone, PartialEq)]
pub struct ClearanceWindow {
    /// Below it the rotor jams at 20 °C.
    pub jams_cold: Length,
    /// Below it the rotor jams in the tightest of the hot states.
    pub jams_hot: Length,
    /// Above it the spec's step lets a tip touch before the land.
    pub step_protects_to: Length,
    /// The most from each seal.
    pub seals: Vec<SealLimit>,
    /// The spec's figure.
    pub spec: SpecFigure,
    /// Each rotor of the set.
    pub planned: Vec<Planned>,
}

/// Limits of the step.
#[derive(Debug, Clone, PartialEq)]
pub struct StepWindow {
    /// Below it a tip touches before the land, at 20 °C.
    pub needed_cold: Length,
    /// The step to cut at 20 °C so that the hot one suffices.
    pub needed_hot: Length,
    /// The most from each seal.
    pub seals: Vec<SealLimit>,
    /// The spec's figure.
    pub spec: SpecFigure,
    /// Each rotor of the set.
    pub planned: Vec<PlannedStep>,
}

/// The model of the picture.
#[derive(Debug, Clone, PartialEq)]
pub struct Window {
    /// What it belongs to; it is the window of this spec.
    pub origin: Origin,
    /// The axis of side clearance.
    pub clearance: ClearanceWindow,
    /// The axis of the step.
    pub step: StepWindow,
    /// What else must be said, each a sentence: with an empty window, what opens it.
    pub notes: Vec<String>,
}

/// A row: what forbids what, or what stands where.
enum Row<'m> {
    /// Forbidden below.
    AtLeast(String, Length),
    /// Forbidden above.
    AtMost(String, Length),
    /// A limit without a figure yet.
    Later(&'static str),
    /// A band with its middle.
    Band(&'static str, SpecFigure),
    /// A rotor, from its least to its greatest figure.
    At { serial: &'m str, when: When, least: Length, greatest: Length },
}

/// The rows of one axis.
struct Chart<'m> {
    name: &'static str,
    rows: Vec<Row<'m>>,
}

/// The edges of a window and what sets each.
struct Edges<'c> {
    least: Length,
    set_by: &'c str,
    /// None: nothing limits it upwards.
    most: Option<(Length, &'c str)>,
}

impl Edges<'_> {
    fn is_empty(&self) -> bool {
        self.most.is_some_and(|(most, _)| most < self.least)
    }

    fn contain(&self, value: Length) -> bool {
        value >= self.least && self.most.is_none_or(|(most, _)| value <= most)
    }
}

/// Where the bars start and end on the sheet.
const LEFT: f64 = 275.0;
const RIGHT: f64 = 775.0;
/// Height of a row's text line, and free height around its text.
const LINE: f64 = 18.0;
const AROUND: f64 = 7.0;
/// Height of a bar.
const BAR: f64 = 18.0;
/// An upper limit past this many times everything else is not reached by the axis.
const FAR: f64 = 1.6;
/// Room for names left of the bars.
const NAMES: f64 = LEFT - MARGIN - 22.0;

impl<'m> Chart<'m> {
    fn clearance(model: &'m ClearanceWindow) -> Self {
        let mut rows = vec![
            Row::AtLeast("jams cold below".into(), model.jams_cold),
            Row::AtLeast("jams hot or warming below".into(), model.jams_hot),
            Row::Later("limit at speed"),
            Row::AtMost("the spec's step protects up to".into(), model.step_protects_to),
        ];
        rows.extend(seal_rows(&model.seals));
        rows.push(Row::Band("spec", model.spec));
        rows.extend(model.planned.iter().map(|p| Row::At {
            serial: &p.serial,
            when: p.when,
            least: p.clearance,
            greatest: p.clearance,
        }));
        Self { name: "Side clearance, both sides together", rows }
    }

    fn step(model: &'m StepWindow) -> Self {
        let mut rows = vec![
            Row::AtLeast("needed cold".into(), model.needed_cold),
            Row::AtLeast("needed hot, cut at 20 \u{b0}C".into(), model.needed_hot),
        ];
        rows.extend(seal_rows(&model.seals));
        rows.push(Row::Band("spec", model.spec));
        rows.extend(model.planned.iter().map(|p| Row::At {
            serial: &p.serial,
            when: p.when,
            least: p.least,
            greatest: p.greatest,
        }));
        Self { name: "Step", rows }
    }

    fn edges(&self) -> Edges<'_> {
        let mut edges = Edges { least: Length::ZERO, set_by: "", most: None };
        for row in &self.rows {
            match row {
                Row::AtLeast(name, value) if edges.set_by.is_empty() || *value > edges.least => {
                    (edges.least, edges.set_by) = (*value, name);
                }
                Row::AtMost(name, value) if edges.most.is_none_or(|(most, _)| *value < most) => {
                    edges.most = Some((*value, name));
                }
                _ => {}
            }
        }
        edges
    }

    /// What the axis must reach. Upper limits far beyond everything else would squeeze the window
    /// to a sliver: they stay off it, and their rows say so.
    fn values(&self) -> Vec<Length> {
        let most = self.edges().most.map(|(most, _)| most);
        let mut values: Vec<Length> = most.into_iter().collect();
        for row in &self.rows {
            match row {
                Row::AtLeast(_, v) => values.push(*v),
                Row::At { least, greatest, .. } => values.extend([*least, *greatest]),
                Row::Band(_, f) => values.extend([f.target - f.tolerance, f.target + f.tolerance]),
                Row::AtMost(..) | Row::Later(_) => {}
            }
        }
        let reach = values.iter().copied().fold(Length::ZERO, Length::max) * FAR;
        values.extend(self.rows.iter().filter_map(|row| match row {
            Row::AtMost(_, v) if *v <= reach => Some(*v),
            _ => None,
        }));
        values
    }

    /// The window in words.
    fn verdict(&self, system: System) -> String {
        let edges = self.edges();
        let least = amount(edges.least, system);
        match edges.most {
            Some((most, by)) if edges.is_empty() => format!(
                "No window: at least {least}, at most {}, short by {}. Set by: {}; {by}.",
                amount(most, system),
                amount(edges.least - most, system),
                edges.set_by,
            ),
            Some((most, by)) => format!(
                "Open from {least} to {}. Set by: {}; {by}.",
                amount(most, system),
                edges.set_by,
            ),
            None => {
                format!(
                    "Open from {least} upwards, no upper limit given. Set by: {}.",
                    edges.set_by
                )
            }
        }
    }

    /// Draws it from `top`; its bottom.
    fn draw(&self, sheet: &mut Sheet, top: f64, system: System) -> f64 {
        let room = WIDTH - 2.0 * MARGIN;
        sheet.text(MARGIN, top, Type::Strong, Anchor::Start, self.name);
        let mut y = sheet.block(MARGIN, top + 22.0, Type::Plain, room, &self.verdict(system));
        y += 20.0;
        let axis = Axis::over(self.values().into_iter(), LEFT, RIGHT);
        let first_row = y + 56.0;
        let edges = self.edges();
        let rows: Vec<_> = self.rows.iter().map(|row| (row, row.lines(&edges, system))).collect();
        let bottom = first_row + rows.iter().map(|(_, lines)| height(lines)).sum::<f64>();
        Self::draw_window(sheet, &axis, &edges, (first_row, bottom));
        axis.draw(sheet, y, (first_row, bottom), system);
        let mut row_top = first_row;
        for (row, lines) in &rows {
            row.draw(sheet, &axis, &edges, row_top, lines);
            row_top += height(lines);
        }
        bottom
    }

    /// The band that runs through all rows: open, or crossed out where the limits overlap.
    fn draw_window(sheet: &mut Sheet, axis: &Axis, edges: &Edges<'_>, (top, bottom): (f64, f64)) {
        let from = axis.at(edges.least);
        let to = edges.most.map_or(RIGHT, |(most, _)| axis.at(most));
        let area = boxed(from.min(to), top, (to - from).abs(), bottom - top);
        let word = if edges.is_empty() {
            sheet.hatched(&area, Hatch::Barred);
            sheet.path(&area, "bad-edge");
            "no window"
        } else {
            sheet.path(&area, "open");
            sheet.line((from, top), (from, bottom), "good-edge");
            if edges.most.is_some() {
                sheet.line((to, top), (to, bottom), "good-edge");
            }
            "window"
        };
        let middle = (0.5 * (from + to)).clamp(LEFT + 50.0, RIGHT - 50.0);
        sheet.text(middle, top - 7.0, Type::Strong, Anchor::Middle, word);
    }
}

/// Height of a row with these lines of text.
fn height(lines: &[String]) -> f64 {
    LINE * lines.len() as f64 + AROUND
}

fn seal_rows<'m>(seals: &[SealLimit]) -> impl Iterator<Item = Row<'m>> {
    seals.iter().map(|s| Row::AtMost(format!("{}, at most", s.seal), s.most))
}

impl Row<'_> {
    fn words(&self, edges: &Edges<'_>, system: System) -> (String, String) {
        match self {
            Row::AtLeast(name, value) | Row::AtMost(name, value) => {
                (name.clone(), amount(*value, system))
            }
            Row::Later(name) => ((*name).to_owned(), "not computed here".to_owned()),
            Row::Band(name, figure) => (
                format!("{name} {}", amount(figure.target, system)),
                format!("\u{b1} {}", amount(figure.tolerance, system)),
            ),
            Row::At { serial, when, least, greatest } => {
                let inside = edges.contain(*least) && edges.contain(*greatest);
                let outside = if inside { "" } else { ", outside" };
                let figure = if alike(&[*least, *greatest]) {
                    amount(*greatest, system)
                } else {
                    format!("{} to {}", amount(*least, system), amount(*greatest, system))
                };
                (format!("{serial}, {}", when.words()), format!("{figure}{outside}"))
            }
        }
    }

    /// What stands left of its bar: the name, on as many lines as it needs, and the figure.
    fn lines(&self, edges: &Edges<'_>, system: System) -> Vec<String> {
        let (name, value) = self.words(edges, system);
        let mut lines = wrap(&printable(&name), Type::Small, NAMES);
        lines.extend(wrap(&value, Type::Small, NAMES));
        lines
    }

    fn draw(&self, sheet: &mut Sheet, axis: &Axis, edges: &Edges<'_>, top: f64, lines: &[String]) {
        sheet.line((MARGIN, top), (RIGHT, top), "faint");
        for (n, line) in lines.iter().enumerate() {
            let y = top + LINE * (n + 1) as f64 - 1.0;
            sheet.text(MARGIN, y, Type::Small, Anchor::Start, line);
        }
        let (end, middle) = (top + height(lines), top + 0.5 * height(lines));
        let bar_top = middle - 0.5 * BAR;
        let stroke = |sheet: &mut Sheet, x: f64| {
            sheet.line((x, top + 5.0), (x, end - 5.0), "edge");
        };
        let forbid = |sheet: &mut Sheet, from: f64, to: f64, edge: f64| {
            let bar = boxed(from, bar_top, (to - from).max(0.0), BAR);
            sheet.path(&bar, "paper");
            sheet.hatched(&bar, Hatch::Stock);
            sheet.path(&bar, "thin");
            stroke(sheet, edge);
        };
        match self {
            Row::AtLeast(_, value) => {
                let x = axis.at(*value);
                forbid(sheet, LEFT, x, x);
            }
            Row::AtMost(_, value) if !axis.reaches(*value) => {
                let y = middle + 5.0;
                sheet.plate(RIGHT - 6.0, y, Anchor::End, "further out than this axis");
            }
            Row::AtMost(_, value) => {
                let x = axis.at(*value);
                forbid(sheet, x, RIGHT, x);
            }
            Row::Later(_) => sheet.line((LEFT, middle), (RIGHT, middle), "dashed"),
            Row::Band(_, figure) => {
                let from = axis.at(figure.target - figure.tolerance);
                let to = axis.at(figure.target + figure.tolerance);
                let aim = axis.at(figure.target);
                sheet.path(&boxed(from, bar_top, to - from, BAR), "plain-mark");
                stroke(sheet, aim);
                sheet.circle((aim, middle), 3.0, "ink");
            }
            Row::At { least, greatest, .. } => {
                let (from, to) = (axis.at(*least), axis.at(*greatest));
                sheet.line((LEFT, middle), (from, middle), "dashed");
                sheet.line((from, middle), (to, middle), "edge");
                for value in [least, greatest] {
                    let mark = if edges.contain(*value) { Mark::Planned } else { Mark::Fails };
                    sheet.mark(axis.at(*value), middle, mark);
                }
            }
        }
    }
}

impl Window {
    fn title(&self) -> String {
        format!("Window of spec {}", self.origin.spec)
    }

    fn charts(&self) -> [Chart<'_>; 2] {
        [Chart::clearance(&self.clearance), Chart::step(&self.step)]
    }

    /// The picture.
    #[must_use]
    pub fn svg(&self, options: &Options) -> String {
        let mut sheet = Sheet::new("window", options);
        let reading = "Hatched: not allowed. Disc: the rotor, inside the window. Triangle: the rotor, outside.";
        let under = [reading.to_owned(), SCREENING.to_owned()];
        let mut y = sheet.heading(&self.title(), &under) + 10.0;
        let mut sentences = vec![SCREENING.to_owned()];
        for chart in self.charts() {
            y = chart.draw(&mut sheet, y, options.system) + 40.0;
            sentences.push(format!("{}. {}", chart.name, chart.verdict(options.system)));
            let edges = chart.edges();
            sentences.extend(chart.rows.iter().map(|row| {
                let (name, value) = row.words(&edges, options.system);
                format!("{name}: {value}.")
            }));
        }
        y = sheet.notes(y, &self.notes);
        sentences.extend(self.notes.iter().cloned());
        sheet.close(y, &self.title(), &sentences, &self.origin)
    }

    /// Its data.
    #[must_use]
    pub fn csv(&self) -> String {
        let mut table = Table::new();
        for (axis, chart) in ["side clearance", "step"].into_iter().zip(self.charts()) {
            for row in &chart.rows {
                let none = Place::default();
                match row {
                    Row::AtLeast(name, value) | Row::AtMost(name, value) => {
                        table.row(&format!("{axis}: {name}"), none, Some(*value), "");
                    }
                    Row::Later(name) => {
                        table.row(&format!("{axis}: {name}"), none, None, "not computed here");
                    }
                    Row::Band(name, figure) => {
                        let what = format!("{axis}: {name}");
                        table.row(
                            &format!("{what} target"),
                            none,
                            Some(figure.target),
                            &self.origin.spec,
                        );
                        let tolerance = Some(figure.tolerance);
                        table.row(&format!("{what} tolerance"), none, tolerance, &self.origin.spec);
                    }
                    Row::At { serial, when, least, greatest } => {
                        let place = Place { rotor: serial, ..none };
                        for (which, value) in [(" least", least), (" greatest", greatest)] {
                            let what = match (*least == *greatest, which) {
                                (true, " least") => continue,
                                (true, _) => format!("{axis}: {}", when.words()),
                                (false, _) => format!("{axis}:{which} {}", when.words()),
                            };
                            let inside = chart.edges().contain(*value);
                            let remark = if inside { "inside the window" } else { "outside" };
                            table.row(&what, place, Some(*value), remark);
                        }
                    }
                }
            }
            let edges = chart.edges();
            let state = if edges.is_empty() { "empty" } else { "open" };
            table.row(&format!("{axis}: window from"), Place::default(), Some(edges.least), state);
            let most = edges.most.map(|(most, _)| most);
            table.row(&format!("{axis}: window to"), Place::default(), most, state);
        }
        table.into_text()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn chart(protects_um: f64) -> ClearanceWindow {
        ClearanceWindow {
            jams_cold: Length::um(60.0),
            jams_hot: Length::um(130.0),
            step_protects_to: Length::um(protects_um),
            seals: vec![SealLimit { seal: "corner seal".into(), most: Length::um(380.0) }],
            spec: SpecFigure { target: Length::um(220.0), tolerance: Length::um(20.0) },
            planned: Vec::new(),
        }
    }

    #[test]
    fn the_edges_are_the_nearest_limits_and_named() {
        let model = chart(407.0);
        let chart = Chart::clearance(&model);
        let words = chart.verdict(System::Metric);
        assert_eq!(
            words,
            "Open from 130 \u{b5}m (5.1 thou) to 380 \u{b5}m (15.0 thou). Set by: jams hot or \
             warming below; corner seal, at most."
        );
    }

    #[test]
    fn an_empty_window_is_said_with_what_is_missing() {
        let model = chart(100.0);
        let words = Chart::clearance(&model).verdict(System::Metric);
        assert!(words.starts_with("No window") && words.contains("short by 30 \u{b5}m"), "{words}");
    }

    #[test]
    fn a_rotor_beyond_any_limit_is_outside() {
        let model = chart(407.0);
        let chart = Chart::clearance(&model);
        let inside = |um: f64| chart.edges().contain(Length::um(um));
        assert_eq!([129.9, 130.0, 380.0, 380.1].map(inside), [false, true, true, false]);
    }
}
