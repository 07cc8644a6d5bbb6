//! Figures as cells of a paper's tables.

use kernel::plan::in_divisions;
use kernel::readings::Tolerance;
use kernel::units::{Length, System};
use paper::{Block, Cell, Column, Fact, Table};

/// A figure and, below it, the same in the other system, as `63 µm (2.5 thou)` has them.
fn pair(text: &str) -> (String, Option<String>) {
    match text.split_once(" (") {
        Some((first, other)) => (first.to_owned(), Some(other.trim_end_matches(')').to_owned())),
        None => (text.to_owned(), None),
    }
}

/// A figure in both systems.
pub(super) fn figure(text: &str) -> Cell {
    let (first, other) = pair(text);
    Cell::Figure(first, other)
}

/// A figure to work to.
pub(super) fn strong(text: &str) -> Cell {
    let (first, other) = pair(text);
    Cell::Strong(first, other)
}

pub(super) fn words(text: impl Into<String>) -> Cell {
    Cell::Words(text.into())
}

/// A size to work to.
pub(super) fn size(length: Length, first: System) -> Cell {
    strong(&length.as_size(first).to_string())
}

/// A depth to take off; nothing to take is said.
pub(super) fn take(depth: Length, first: System) -> Cell {
    if depth > Length::ZERO {
        strong(&depth.as_amount(first).to_string())
    } else {
        words("as it is")
    }
}

/// What is read on a gauge, and how finely both systems divide it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Scale {
    /// A size: micrometres, ten thousandths of an inch.
    Size,
    /// An amount: micrometres, tenths of a thou.
    Amount,
}

impl Scale {
    const fn shown(self, length: Length, system: System) -> kernel::units::Shown {
        match self {
            Self::Size => length.as_size(system),
            Self::Amount => length.as_amount(system),
        }
    }

    /// From and to, in whole divisions of each system inside the tolerance. Where a system has no
    /// division within, its figure is left out: one that is rounded out would let a bad part pass.
    pub(super) fn limits(self, tolerance: Tolerance, first: System) -> [Cell; 2] {
        let both = [System::Metric, System::Inch].map(|system| {
            let division = match system {
                System::Metric => Length::um(1.0),
                System::Inch => Length::um(2.54),
            };
            let inside = in_divisions(tolerance, division)?;
            let text = |length| pair(&self.shown(length, system).to_string()).0;
            Some([text(inside.least), text(inside.most)])
        });
        let [metric, inch] = both;
        let (own, other) = match first {
            System::Metric => (metric, inch),
            System::Inch => (inch, metric),
        };
        [0, 1].map(|end| match (&own, &other) {
            (Some(own), other) => {
                Cell::Figure(own[end].clone(), other.as_ref().map(|other| other[end].clone()))
            }
            (None, Some(other)) => Cell::Figure(other[end].clone(), None),
            (None, None) => words("no room"),
        })
    }
}

impl Scale {
    /// From and to in words, as [`Scale::limits`] rounds them.
    pub(super) fn words(self, tolerance: Tolerance, first: System) -> [String; 2] {
        let ends = [tolerance.least, tolerance.most];
        let cells = self.limits(tolerance, first);
        std::array::from_fn(|end| match &cells[end] {
            Cell::Figure(own, Some(other)) => format!("{own} ({other})"),
            Cell::Figure(own, None) => own.clone(),
            _ => self.shown(ends[end], first).to_string(),
        })
    }
}

/// A table whose first column names the rows and whose others hold figures.
pub(super) fn table(
    caption: &str,
    heads: &[&str],
    rows: Vec<Vec<Cell>>,
    note: Option<String>,
) -> Block {
    let column = |(i, head): (usize, &&str)| Column { head: (*head).to_owned(), figures: i > 0 };
    Block::Table(Table {
        caption: caption.to_owned(),
        columns: heads.iter().enumerate().map(column).collect(),
        rows,
        note,
    })
}

pub(super) fn facts(facts: &[(&str, String)]) -> Block {
    let fact = |(what, is): &(&str, String)| Fact { what: (*what).to_owned(), is: is.clone() };
    Block::Facts { facts: facts.iter().map(fact).collect() }
}

pub(super) fn heading(text: &str) -> Block {
    Block::Heading { level: 1, text: text.to_owned() }
}

pub(super) fn text(text: impl Into<String>) -> Block {
    Block::Text { text: text.into() }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn limits_never_grow_by_rounding() {
        let tolerance = Tolerance { least: Length::mm(79.768_4), most: Length::mm(79.807_6) };
        let [from, to] = Scale::Size.limits(tolerance, System::Metric);
        assert_eq!(from, Cell::Figure("79.769 mm".into(), Some("3.1405 in".into())));
        assert_eq!(to, Cell::Figure("79.807 mm".into(), Some("3.1420 in".into())));
        let mm = |cell: Cell| match cell {
            Cell::Figure(_, Some(inch)) => {
                inch.trim_end_matches(" in").parse::<f64>().unwrap() * 25.4
            }
            other => panic!("{other:?}"),
        };
        assert!(mm(from) >= 79.768_4 && mm(to) <= 79.807_6);
    }

    #[test]
    fn a_system_too_coarse_for_a_tolerance_says_nothing() {
        let tolerance = Tolerance { least: Length::um(127.2), most: Length::um(129.1) };
        let [from, to] = Scale::Amount.limits(tolerance, System::Inch);
        assert_eq!(from, Cell::Figure("128 \u{b5}m".into(), None));
        assert_eq!(to, Cell::Figure("129 \u{b5}m".into(), None));
    }
}
