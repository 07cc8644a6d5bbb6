//! The window: which side clearances neither jam the rotor nor let its tips touch nor leave its
//! seals short, with the spec's aim and what is planned on the same axis; and the same for the
//! step.
//!
//! A row for each limit, its bar over what it forbids. What no bar forbids is the window; it
//! runs through all rows.

mod row;

use crate::axis::Axis;
use crate::hatch::Hatch;
use crate::number::amount;
use crate::options::Options;
use crate::origin::Origin;
use crate::sheet::{Anchor, MARGIN, SCREENING, Sheet, WIDTH, boxed};
use crate::table::{Place, Table};
use crate::text::Type;
use crate::when::When;
use kernel::units::{Length, System};
use row::{Edges, LEFT, RIGHT, Row, height};

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

/// What the duty's speed and boost ask for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AtSpeed {
    /// Least step that keeps the tips off.
    pub step: Length,
    /// Whether that bounds the window; with an assumed shaft it is only told.
    pub bounds: bool,
    /// Side clearance from which on the lands stay off both walls: told, bounds nothing.
    pub lands_free_from: Length,
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
    /// What speed and boost ask for; nothing: not computed.
    pub at_speed: Option<AtSpeed>,
    /// What else must be said, each a sentence: with an empty window, what opens it.
    pub notes: Vec<String>,
}

/// The rows of one axis.
struct Chart<'m> {
    name: &'static str,
    rows: Vec<Row<'m>>,
}

/// Said of what nobody asked to be computed.
const NOT_COMPUTED: &str = "not computed here";
/// An upper limit past this many times everything else is not reached by the axis.
const FAR: f64 = 1.6;
impl<'m> Chart<'m> {
    fn clearance(model: &'m ClearanceWindow, at_speed: Option<AtSpeed>) -> Self {
        let at_speed = match at_speed {
            Some(asked) => {
                let said = "told, no limit";
                Row::Told("at speed lands off both walls from", Some(asked.lands_free_from), said)
            }
            None => Row::Told("limit at speed", None, NOT_COMPUTED),
        };
        let mut rows = vec![
            Row::AtLeast("jams cold below".into(), model.jams_cold),
            Row::AtLeast("jams hot or warming below".into(), model.jams_hot),
            at_speed,
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

    fn step(model: &'m StepWindow, at_speed: Option<AtSpeed>) -> Self {
        let mut rows = vec![
            Row::AtLeast("needed cold".into(), model.needed_cold),
            Row::AtLeast("needed hot, cut at 20 \u{b0}C".into(), model.needed_hot),
        ];
        rows.extend(at_speed.map(|asked| {
            if asked.bounds {
                Row::AtLeast("needed at speed, cut at 20 \u{b0}C".into(), asked.step)
            } else {
                let said = "the shaft is assumed, no limit";
                Row::Told("needed at speed, cut at 20 \u{b0}C", Some(asked.step), said)
            }
        }));
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
                Row::AtMost(..) | Row::Told(..) => {}
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

fn seal_rows<'m>(seals: &[SealLimit]) -> impl Iterator<Item = Row<'m>> {
    seals.iter().map(|s| Row::AtMost(format!("{}, at most", s.seal), s.most))
}

impl Window {
    fn title(&self) -> String {
        format!("Window of spec {}", self.origin.spec)
    }

    fn charts(&self) -> [Chart<'_>; 2] {
        [Chart::clearance(&self.clearance, self.at_speed), Chart::step(&self.step, self.at_speed)]
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
                    Row::Told(name, value, said) => {
                        table.row(&format!("{axis}: {name}"), none, *value, said);
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
        let chart = Chart::clearance(&model, None);
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
        let words = Chart::clearance(&model, None).verdict(System::Metric);
        assert!(words.starts_with("No window") && words.contains("short by 30 \u{b5}m"), "{words}");
    }

    #[test]
    fn a_rotor_beyond_any_limit_is_outside() {
        let model = chart(407.0);
        let chart = Chart::clearance(&model, None);
        let inside = |um: f64| chart.edges().contain(Length::um(um));
        assert_eq!([129.9, 130.0, 380.0, 380.1].map(inside), [false, true, true, false]);
    }
}
