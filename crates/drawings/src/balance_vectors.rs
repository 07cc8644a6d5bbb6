//! The vectors of balancing, of one sensor at one speed or of one correction plane: arrows about
//! the shaft's axis with their amounts and angles, and a table of them.
//!
//! Zero is on top. What is small beside the rest, as a tolerance is beside a counterweight, is
//! shown a second time, enlarged.

mod panel;

use crate::columns::{Cell, Columns};
use crate::options::Options;
use crate::origin::Origin;
use crate::polar::{SeenFrom, degrees, rings};
use crate::scale::telling;
use crate::sheet::{Anchor, MARGIN, Sheet, WIDTH};
use crate::text::{Type, printable, width, wrap};
use crate::vector::VectorKind;
pub(crate) use panel::Panel;

/// An arrow between two points; the first part of each is towards zero, the second a quarter
/// turn ahead of it in the sense of rotation.
#[derive(Debug, Clone, PartialEq)]
pub struct BalanceArrow {
    /// What it stands for.
    pub kind: VectorKind,
    /// Which one it is: `run 2`, `both planes`.
    pub name: String,
    /// Where it starts, in the picture's unit.
    pub from: (f64, f64),
    /// Where its head is.
    pub to: (f64, f64),
}

/// How much may be left.
#[derive(Debug, Clone, PartialEq)]
pub struct ToleranceCircle {
    /// What it is called: `permitted`.
    pub name: String,
    /// Its radius, in the picture's unit.
    pub radius: f64,
}

/// The model of the picture.
#[derive(Debug, Clone, PartialEq)]
pub struct BalanceVectors {
    /// What is drawn: `Trial runs: front sensor at 3000 rpm`.
    pub title: String,
    /// What it belongs to.
    pub origin: Origin,
    /// From which end of the shaft.
    pub seen_from: SeenFrom,
    /// Unit of all amounts: `µm`, `g mm`.
    pub unit: String,
    /// What angles count from: `throw of rotor 1`.
    pub zero_name: String,
    /// The arrows, numbered in this order.
    pub arrows: Vec<BalanceArrow>,
    /// What may be left, if that is known.
    pub tolerance: Option<ToleranceCircle>,
    /// What else must be said, each a sentence.
    pub notes: Vec<String>,
}

/// What is smaller than this part of the whole is shown a second time.
const SMALL: f64 = 0.2;
/// Beside a small tolerance, what is not larger than this many times it is shown with it.
const NEAR: f64 = 6.0;
/// With small arrows, a tolerance that is not larger than this part of the whole is shown too.
const TOLERABLE: f64 = 0.4;
/// Enlarged no more than this: beyond it a figure is the rounding of another.
const ENLARGED: f64 = 1e9;
/// Radius of a panel alone and of each of two.
const ALONE: f64 = 225.0;
const PAIRED: f64 = 142.0;
/// Where the columns of the table stand: number, sample, words; right ends of amount and angle.
const NUMBER: f64 = MARGIN + 32.0;
const SAMPLE: f64 = MARGIN + 46.0;
const WORDS: f64 = MARGIN + 130.0;
const AMOUNT: f64 = 650.0;
const ANGLE: f64 = WIDTH - MARGIN - 6.0;
const LINE: f64 = 18.0;
/// A unit that is wider than this is not said in every row.
const SHORT_UNIT: f64 = 70.0;

impl BalanceArrow {
    /// From its start to its head.
    pub(crate) fn part(&self) -> (f64, f64) {
        (self.to.0 - self.from.0, self.to.1 - self.from.1)
    }

    /// The farther of its ends.
    pub(crate) fn reach(&self) -> f64 {
        amount(self.from).max(amount(self.to))
    }

    fn words(&self) -> String {
        if self.name.is_empty() {
            self.kind.words().to_owned()
        } else {
            format!("{}: {}", self.kind.words(), self.name)
        }
    }
}

pub(crate) fn amount((along, across): (f64, f64)) -> f64 {
    along.hypot(across)
}

/// The direction, or nothing where there is no amount.
pub(crate) fn direction_deg((along, across): (f64, f64)) -> Option<f64> {
    (amount((along, across)) > 0.0).then(|| across.atan2(along).to_degrees().rem_euclid(360.0))
}

/// How far a panel reaches that holds all, and one about zero for what is small in it.
pub(crate) fn reaches(arrows: &[BalanceArrow], tolerance: Option<f64>) -> (f64, Option<f64>) {
    let tolerance = tolerance.map(f64::abs).filter(|t| t.is_finite() && *t > 0.0);
    let sizes: Vec<f64> =
        arrows.iter().map(BalanceArrow::reach).filter(|r| r.is_finite() && *r > 0.0).collect();
    let whole = sizes.iter().copied().chain(tolerance).fold(0.0, f64::max);
    let limit = SMALL * whole;
    let largest = |most: f64| sizes.iter().copied().filter(|r| *r < most).fold(0.0, f64::max);
    let near = match tolerance {
        Some(t) if t < limit => t.max(largest(limit.min(NEAR * t))),
        Some(t) if t < TOLERABLE * whole && largest(limit) > 0.0 => t,
        _ => largest(limit),
    };
    (whole, (near * ENLARGED > whole).then_some(near))
}

impl BalanceVectors {
    fn under(&self) -> Vec<String> {
        vec![
            self.seen_from.sentence().to_owned(),
            format!(
                "Angles from 0\u{b0} = {}, in the sense of rotation. Amounts in {}.",
                self.zero_name, self.unit
            ),
        ]
    }

    fn in_unit(&self, value: f64) -> String {
        format!("{} {}", telling(value), self.unit)
    }

    /// The same in the table: a long unit is said above it alone.
    fn in_table(&self, value: f64) -> String {
        if width(&self.unit, Type::Small) > SHORT_UNIT {
            telling(value)
        } else {
            self.in_unit(value)
        }
    }

    /// The picture.
    #[must_use]
    pub fn svg(&self, options: &Options) -> String {
        let mut sheet = Sheet::new("balance-vectors", options);
        let y = sheet.heading(&self.title, &self.under()) + 6.0;
        let radius = self.tolerance.as_ref().map(|t| t.radius.abs());
        let (whole, near) = reaches(&self.arrows, radius);
        let whole = rings(whole);
        let near = near.map(rings);
        let mut panels = Vec::new();
        let (room, middles) = match near {
            Some(near) => {
                panels.push(("whole".to_owned(), whole, Some(near.clone())));
                panels.push(("around zero, enlarged".to_owned(), near, None));
                (PAIRED, vec![212.0, 588.0])
            }
            None => {
                panels.push((String::new(), whole, None));
                (ALONE, vec![0.5 * WIDTH])
            }
        };
        let mut bottom = y;
        let mut unlabelled: Vec<usize> = Vec::new();
        for (n, ((name, rings, inset), x)) in panels.into_iter().zip(middles).enumerate() {
            let top = if name.is_empty() { y } else { y + 22.0 };
            if !name.is_empty() {
                sheet.text(x, y + 10.0, Type::Strong, Anchor::Middle, &name);
            }
            let panel = Panel {
                centre: (x, top + 26.0 + room),
                radius: room,
                hand: self.seen_from.hand(),
                rings,
                inset,
                shows_sense: n == 0,
                is_labelled: true,
            };
            unlabelled.extend(panel.draw(&mut sheet, &self.arrows, radius));
            bottom = panel.centre.1 + room + 26.0;
        }
        let mut y = self.draw_table(&mut sheet, bottom + 22.0) + 22.0;
        unlabelled.sort_unstable();
        unlabelled.dedup();
        if !unlabelled.is_empty() {
            let said: Vec<String> = unlabelled.iter().map(usize::to_string).collect();
            let note = format!("No room in the drawing for: {}.", said.join("; "));
            y = sheet.notes(y, &[note]);
        }
        y = sheet.notes(y, &self.notes);
        sheet.close(y, &self.title, &self.sentences(), &self.origin)
    }

    /// What the arrows are, with their figures; the last line of it.
    fn draw_table(&self, sheet: &mut Sheet, y: f64) -> f64 {
        sheet.text(NUMBER, y, Type::Strong, Anchor::End, "no.");
        sheet.text(WORDS, y, Type::Strong, Anchor::Start, "arrow");
        sheet.text(AMOUNT, y, Type::Strong, Anchor::End, "amount");
        sheet.text(ANGLE, y, Type::Strong, Anchor::End, "angle");
        let mut top = y + 8.0;
        for (n, arrow) in self.arrows.iter().enumerate() {
            let part = arrow.part();
            let angle = direction_deg(part).map(|deg| degrees(deg) + "\u{b0}");
            let cells = [arrow.words(), self.in_table(amount(part)), angle.unwrap_or_default()];
            sheet.line((MARGIN, top), (WIDTH - MARGIN, top), "faint");
            sheet.text(NUMBER, top + LINE, Type::Strong, Anchor::End, &(n + 1).to_string());
            arrow.kind.sample(sheet, (SAMPLE, top + 13.0), 66.0);
            top = row(sheet, top, &cells);
        }
        if let Some(tolerance) = &self.tolerance {
            let cells =
                [tolerance.name.clone(), self.in_table(tolerance.radius.abs()), String::new()];
            sheet.line((MARGIN, top), (WIDTH - MARGIN, top), "faint");
            for class in ["open", "edge"] {
                sheet.circle((SAMPLE + 33.0, top + 13.0), 8.0, class);
            }
            top = row(sheet, top, &cells);
        }
        sheet.line((MARGIN, top), (WIDTH - MARGIN, top), "faint");
        if self.arrows.is_empty() {
            sheet.text(WORDS, top + LINE, Type::Small, Anchor::Start, "No arrow to draw.");
            top += LINE + 4.0;
        }
        top
    }

    fn sentences(&self) -> Vec<String> {
        let mut all = self.under();
        for (n, arrow) in self.arrows.iter().enumerate() {
            let at = direction_deg(arrow.part())
                .map_or_else(String::new, |deg| format!(" at {}\u{b0}", degrees(deg)));
            let from = direction_deg(arrow.from).map_or_else(String::new, |deg| {
                let start = self.in_unit(amount(arrow.from));
                format!(", drawn from {start} at {}\u{b0}", degrees(deg))
            });
            let size = self.in_unit(amount(arrow.part()));
            all.push(format!("{}: {}, {size}{at}{from}.", n + 1, arrow.words()));
        }
        if self.arrows.is_empty() {
            all.push("No arrow to draw.".to_owned());
        }
        if let Some(tolerance) = &self.tolerance {
            let size = self.in_unit(tolerance.radius.abs());
            all.push(format!("Circle: {}, {size}.", tolerance.name));
        }
        all.extend(self.notes.iter().cloned());
        all
    }

    /// Its data.
    #[must_use]
    pub fn csv(&self) -> String {
        let mut columns = Columns::new(&[
            "what",
            "name",
            "number",
            "unit",
            "amount",
            "angle_deg",
            "from_amount",
            "from_deg",
            "to_amount",
            "to_deg",
        ]);
        let unit = Cell::Words(&self.unit);
        // Fine enough for vibrations in inches per second.
        let size = |value: f64| Cell::Figure(value, 6);
        let angle = |at: (f64, f64)| Cell::maybe(direction_deg(at), 3);
        for (n, arrow) in self.arrows.iter().enumerate() {
            columns.row(&[
                Cell::Words(arrow.kind.words()),
                Cell::Words(&arrow.name),
                Cell::Figure((n + 1) as f64, 0),
                unit,
                size(amount(arrow.part())),
                angle(arrow.part()),
                size(amount(arrow.from)),
                angle(arrow.from),
                size(amount(arrow.to)),
                angle(arrow.to),
            ]);
        }
        if let Some(tolerance) = &self.tolerance {
            let name = Cell::Words(&tolerance.name);
            let radius = size(tolerance.radius.abs());
            columns.row(&[Cell::Words("tolerance circle"), name, Cell::Empty, unit, radius]);
        }
        columns.into_text()
    }
}

/// A row of the table from its upper line on; its lower line.
fn row(sheet: &mut Sheet, top: f64, [words, amount, angle]: &[String; 3]) -> f64 {
    let words = wrap(&printable(words), Type::Small, 380.0);
    let amounts = wrap(&printable(amount), Type::Small, 140.0);
    for (n, line) in words.iter().enumerate() {
        sheet.text(WORDS, top + LINE * (n + 1) as f64, Type::Small, Anchor::Start, line);
    }
    for (n, line) in amounts.iter().enumerate() {
        sheet.text(AMOUNT, top + LINE * (n + 1) as f64, Type::Small, Anchor::End, line);
    }
    if !angle.is_empty() {
        sheet.text(ANGLE, top + LINE, Type::Small, Anchor::End, angle);
    }
    top + LINE * words.len().max(amounts.len()).max(1) as f64 + 7.0
}

#[cfg(test)]
mod tests {
    use super::*;

    fn arrow(from: (f64, f64), to: (f64, f64)) -> BalanceArrow {
        BalanceArrow { kind: VectorKind::AsFound, name: String::new(), from, to }
    }

    #[test]
    fn a_small_tolerance_gets_a_panel_that_shows_it() {
        let zero = (0.0, 0.0);
        let large = arrow(zero, (0.0, 33_000.0));
        let small = arrow(zero, (14.0, 0.0));
        let both = [large.clone(), small.clone()];
        assert_eq!(reaches(&both, Some(10.0)), (33_000.0, Some(14.0)));
        assert_eq!(reaches(std::slice::from_ref(&large), Some(10.0)), (33_000.0, Some(10.0)));
        assert_eq!(reaches(std::slice::from_ref(&large), Some(10_000.0)), (33_000.0, None));
        assert_eq!(reaches(std::slice::from_ref(&small), Some(400.0)), (400.0, Some(14.0)));
        let half = arrow(zero, (0.0, 50.0));
        assert_eq!(reaches(&[half, small.clone()], Some(12.0)), (50.0, None));
        let tenth = [arrow(zero, (0.0, 200.0)), small.clone()];
        assert_eq!(reaches(&tenth, Some(50.0)), (200.0, Some(50.0)), "with its tolerance");
        assert_eq!(reaches(&[], None), (0.0, None));
        assert_eq!(reaches(&[arrow(zero, zero)], Some(0.0)), (0.0, None));
        assert_eq!(reaches(&[large], Some(1e-20)), (33_000.0, None), "not enlarged without end");
    }

    #[test]
    fn an_angle_is_that_of_the_arrow_and_not_of_its_head() {
        let model = arrow((10.0, 0.0), (10.0, 5.0));
        assert_eq!(direction_deg(model.part()), Some(90.0));
        assert_eq!(direction_deg((0.0, 0.0)), None);
    }
}
