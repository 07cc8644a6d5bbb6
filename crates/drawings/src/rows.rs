//! Labels over marks on a level line: each on a row of its own choice, so that no two meet and,
//! where it can be helped, no leader runs through another label.

use crate::sheet::{Anchor, Sheet};
use crate::text::{Type, printable, width, wrap};

/// From one row to the next.
pub(crate) const ROW: f64 = 18.0;
/// From a leader to its label, and between two labels of a row.
const BESIDE: f64 = 5.0;
const BETWEEN: f64 = 10.0;

/// A label and where it was put; row 0 is next to the line, a label of several lines takes as
/// many rows.
#[derive(Debug, Clone)]
pub(crate) struct Label {
    x: f64,
    lines: Vec<String>,
    wide: f64,
    left: f64,
    row: usize,
}

impl Label {
    fn new(x: f64, words: &str, widest: f64) -> Self {
        let lines = wrap(&printable(words), Type::Small, widest);
        let wide = lines.iter().map(|line| width(line, Type::Small)).fold(0.0, f64::max);
        Self { x, lines, wide, left: x, row: 0 }
    }

    const fn end(&self) -> usize {
        self.row + self.lines.len()
    }

    fn meets(&self, other: &Self) -> bool {
        self.row < other.end()
            && other.row < self.end()
            && self.left < other.left + other.wide + BETWEEN
            && other.left < self.left + self.wide + BETWEEN
    }

    /// Whether the leader of `other`, on its way to the line, runs through this label.
    fn is_crossed_by(&self, other: &Self) -> bool {
        other.row >= self.end()
            && (self.left - 3.0..=self.left + self.wide + 3.0).contains(&other.x)
    }
}

/// Labels in their rows.
#[derive(Debug, Default)]
pub(crate) struct Rows {
    labels: Vec<Label>,
}

impl Rows {
    /// Puts labels, each for the mark at its `x`, between two edges of the sheet. Those wider
    /// than `widest` break.
    pub(crate) fn new(words: &[(f64, String)], (left, right): (f64, f64), widest: f64) -> Self {
        let mut labels: Vec<Label> =
            words.iter().map(|(x, said)| Label::new(*x, said, widest)).collect();
        // From the right: a label that stands right of its leader then finds those it would
        // cover already there, and goes above them.
        labels.sort_by(|a, b| b.x.total_cmp(&a.x));
        // Standing on either side saves rows, on one side it is sure to cross nothing.
        [true, false]
            .map(|either| Self::put(&labels, (left, right), either))
            .into_iter()
            .min_by_key(|rows| (rows.crossings(), rows.height() as usize))
            .unwrap_or_default()
    }

    fn put(labels: &[Label], edges: (f64, f64), either: bool) -> Self {
        let mut put: Vec<Label> = Vec::new();
        for label in labels {
            put.push(Self::choose(&put, label, edges, either));
        }
        Self { labels: put }
    }

    /// How many leaders run through how many labels.
    fn crossings(&self) -> usize {
        let crossed = |a: &Label| self.labels.iter().filter(|b| a.is_crossed_by(b)).count();
        self.labels.iter().map(crossed).sum()
    }

    fn choose(put: &[Label], label: &Label, (left, right): (f64, f64), either: bool) -> Label {
        let most = put.iter().map(Label::end).max().unwrap_or(0);
        let last = (right - label.wide).max(left);
        let sides = [label.x + BESIDE, label.x - BESIDE - label.wide];
        let mut tries: Vec<(usize, f64)> =
            sides.into_iter().flat_map(|at| (0..=most).map(move |row| (row, at))).collect();
        if either {
            tries.sort_by_key(|(row, _)| *row);
        }
        for (row, at) in tries {
            let here = Label { left: at, row, ..label.clone() };
            let fits = (left..=last).contains(&at);
            let free = put.iter().all(|other| {
                !here.meets(other) && !here.is_crossed_by(other) && !other.is_crossed_by(&here)
            });
            if fits && free {
                return here;
            }
        }
        // Above all others, where nothing can meet it.
        let at = (label.x + BESIDE).clamp(left, last);
        Label { left: at, row: most, ..label.clone() }
    }

    /// Height of all rows.
    pub(crate) fn height(&self) -> f64 {
        self.labels.iter().map(Label::end).max().unwrap_or(0) as f64 * ROW
    }

    /// Draws them above the line `y` with their leaders down to it.
    pub(crate) fn draw_above(&self, sheet: &mut Sheet, y: f64, class: &str) {
        self.draw(sheet, y, -1.0, class);
    }

    /// Draws them below the line `y` with their leaders up to it.
    pub(crate) fn draw_below(&self, sheet: &mut Sheet, y: f64, class: &str) {
        self.draw(sheet, y, 1.0, class);
    }

    fn draw(&self, sheet: &mut Sheet, y: f64, away: f64, class: &str) {
        for label in &self.labels {
            sheet.line((label.x, y), (label.x, y + away * ROW * label.end() as f64), class);
        }
        for label in &self.labels {
            let rows = label.lines.len();
            for (n, line) in label.lines.iter().enumerate() {
                let row = if away < 0.0 { label.end() - n } else { label.row + n + 1 };
                let base = if away < 0.0 {
                    y - ROW * (row - 1) as f64 - 5.0
                } else {
                    y + ROW * row as f64 - 4.0
                };
                debug_assert!(rows > n);
                let crossed = self.labels.iter().any(|other| label.is_crossed_by(other));
                if crossed {
                    sheet.plate(label.left, base, Anchor::Start, line);
                } else {
                    sheet.text(label.left, base, Type::Small, Anchor::Start, line);
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rows(at: &[f64]) -> Rows {
        let words: Vec<_> = at.iter().map(|x| (*x, format!("mark {x}"))).collect();
        Rows::new(&words, (20.0, 780.0), 250.0)
    }

    #[test]
    fn no_two_labels_meet_and_all_are_inside() {
        for at in [
            vec![30.0, 31.0, 32.0, 33.0, 400.0, 401.0, 779.0, 780.0, 780.0],
            (0..60).map(|n| 20.0 + 12.0 * f64::from(n)).collect(),
            vec![500.0; 7],
        ] {
            let rows = rows(&at);
            assert_eq!(rows.labels.len(), at.len());
            for (i, a) in rows.labels.iter().enumerate() {
                assert!(a.left >= 20.0 && a.left + a.wide <= 780.0, "{a:?}");
                for b in &rows.labels[i + 1..] {
                    assert!(!a.meets(b), "{a:?} {b:?}");
                }
            }
        }
    }

    #[test]
    fn marks_far_apart_share_a_row_and_near_ones_cross_nothing() {
        assert_eq!(rows(&[100.0, 300.0, 500.0]).height(), ROW);
        let near = rows(&[100.0, 110.0, 120.0]);
        for a in &near.labels {
            assert!(near.labels.iter().all(|b| !a.is_crossed_by(b)), "{near:?}");
        }
    }
}
