//! Rows of a window: a limit with its bar, what is told beside it, the spec's band, a rotor.

use super::SpecFigure;
use crate::alike::alike;
use crate::axis::Axis;
use crate::hatch::Hatch;
use crate::mark::Mark;
use crate::number::amount;
use crate::sheet::{Anchor, MARGIN, Sheet, boxed};
use crate::text::{Type, printable, wrap};
use crate::when::When;
use kernel::units::{Length, System};

/// A row: what forbids what, or what stands where.
pub(super) enum Row<'m> {
    /// Forbidden below.
    AtLeast(String, Length),
    /// Forbidden above.
    AtMost(String, Length),
    /// What is told and forbids nothing: a figure, if there is one, and what is said of it.
    Told(&'static str, Option<Length>, &'static str),
    /// A band with its middle.
    Band(&'static str, SpecFigure),
    /// A rotor, from its least to its greatest figure.
    At { serial: &'m str, when: When, least: Length, greatest: Length },
}

/// The edges of a window and what sets each.
pub(super) struct Edges<'c> {
    pub(super) least: Length,
    pub(super) set_by: &'c str,
    /// None: nothing limits it upwards.
    pub(super) most: Option<(Length, &'c str)>,
}

impl Edges<'_> {
    pub(super) fn is_empty(&self) -> bool {
        self.most.is_some_and(|(most, _)| most < self.least)
    }

    pub(super) fn contain(&self, value: Length) -> bool {
        value >= self.least && self.most.is_none_or(|(most, _)| value <= most)
    }
}

/// Where the bars start and end on the sheet.
pub(super) const LEFT: f64 = 275.0;
pub(super) const RIGHT: f64 = 775.0;
/// Height of a row's text line, and free height around its text.
pub(super) const LINE: f64 = 18.0;
pub(super) const AROUND: f64 = 7.0;
/// Height of a bar.
pub(super) const BAR: f64 = 18.0;
/// Room for names left of the bars.
pub(super) const NAMES: f64 = LEFT - MARGIN - 22.0;

/// Said of a limit that the axis does not reach.
const BEYOND: &str = "further out than this axis";

/// Height of a row with these lines of text.
pub(super) fn height(lines: &[String]) -> f64 {
    LINE * lines.len() as f64 + AROUND
}

impl Row<'_> {
    pub(super) fn words(&self, edges: &Edges<'_>, system: System) -> (String, String) {
        match self {
            Row::AtLeast(name, value) | Row::AtMost(name, value) => {
                (name.clone(), amount(*value, system))
            }
            Row::Told(name, value, said) => {
                let figure = value.map(|value| format!("{}, ", amount(value, system)));
                ((*name).to_owned(), format!("{}{said}", figure.unwrap_or_default()))
            }
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
    pub(super) fn lines(&self, edges: &Edges<'_>, system: System) -> Vec<String> {
        let (name, value) = self.words(edges, system);
        let mut lines = wrap(&printable(&name), Type::Small, NAMES);
        lines.extend(wrap(&value, Type::Small, NAMES));
        lines
    }

    pub(super) fn draw(
        &self,
        sheet: &mut Sheet,
        axis: &Axis,
        edges: &Edges<'_>,
        top: f64,
        lines: &[String],
    ) {
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
                sheet.plate(RIGHT - 6.0, middle + 5.0, Anchor::End, BEYOND);
            }
            Row::AtMost(_, value) => {
                let x = axis.at(*value);
                forbid(sheet, x, RIGHT, x);
            }
            Row::Told(_, value, _) => {
                sheet.line((LEFT, middle), (RIGHT, middle), "dashed");
                if let Some(value) = value {
                    if axis.reaches(*value) {
                        stroke(sheet, axis.at(*value));
                    } else {
                        sheet.plate(RIGHT - 6.0, middle + 5.0, Anchor::End, BEYOND);
                    }
                }
            }
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
