//! A page of text: 80 columns, no colour, a number never parted from its unit.

use kernel::plan::Aim;
use kernel::units::{Length, System};

/// Width that every line fits.
pub(crate) const COLUMNS: usize = 80;
/// Where a verdict stands.
const VERDICT: usize = 62;
/// Where the three columns of the tips start, and how wide each is.
const LABEL: usize = 35;
const CELL: usize = 14;
/// Units that stay with the number before them.
const UNITS: [&str; 23] = [
    "\u{b5}m",
    "mm",
    "in)",
    "in",
    "thou",
    "g",
    "%",
    "K",
    "g\u{b7}mm",
    "g\u{b7}mm\u{b2}",
    "oz\u{b7}in",
    "kg",
    "kg\u{b7}mm\u{b2}",
    "deg",
    "rpm",
    "min",
    "m/min",
    "mm/s",
    "N",
    "lbf",
    "lbf)",
    "N\u{b7}m",
    "lbf\u{b7}ft",
];
/// Stands for a space that no line breaks at, until the line is made.
const TIED: char = '\u{a0}';

/// A page as it grows.
pub(crate) struct Page {
    pub(crate) text: String,
    pub(crate) first: System,
}

impl Page {
    pub(crate) fn line(&mut self, line: &str) {
        self.text.push_str(line.trim_end());
        self.text.push('\n');
    }

    pub(crate) fn rule(&mut self) {
        self.line(&"-".repeat(COLUMNS));
    }

    /// A paragraph, wrapped, its further lines indented by two more.
    pub(crate) fn say(&mut self, indent: usize, what: &str) {
        let (start, further) = (" ".repeat(indent), " ".repeat(indent + 2));
        let options = textwrap::Options::new(COLUMNS)
            .initial_indent(&start)
            .subsequent_indent(&further)
            .word_splitter(textwrap::WordSplitter::NoHyphenation);
        let tied = tied(what);
        for line in textwrap::wrap(&tied, options) {
            self.line(&line.replace(TIED, " "));
        }
    }

    /// What something is, and its verdict in a column of its own.
    pub(crate) fn verdict(&mut self, what: &str, said: &str) {
        if what.chars().count() < VERDICT {
            self.line(&format!("{what:<VERDICT$}{said}"));
        } else {
            self.line(what);
            self.line(&format!("{:VERDICT$}{said}", ""));
        }
    }

    /// What was assumed, and what there is to mind in any case.
    pub(crate) fn close(&mut self, assumed: &[String], cautions: &[&str]) {
        if !assumed.is_empty() {
            self.line("");
            self.line("Assumed");
            assumed.iter().for_each(|sentence| self.say(2, sentence));
        }
        self.line("");
        cautions.iter().for_each(|caution| self.say(0, caution));
    }

    pub(crate) fn amount(&self, length: Length) -> String {
        length.as_amount(self.first).to_string()
    }

    pub(crate) fn size(&self, length: Length) -> String {
        length.as_size(self.first).to_string()
    }

    pub(crate) fn aim(&self, aim: Aim) -> String {
        format!("{} \u{b1} {}", self.amount(aim.target), self.amount(aim.tolerance))
    }

    /// One size where all are alike, else the least and the greatest.
    pub(crate) fn sizes(&self, values: [Length; 3]) -> String {
        let (low, high) = ends(values);
        if high - low < Length::um(0.5) {
            self.size(low)
        } else {
            format!("{} to {}", self.size(low), self.size(high))
        }
    }

    /// The same of amounts.
    pub(crate) fn amounts_between(&self, values: [Length; 3]) -> String {
        let (low, high) = ends(values);
        if high - low < Length::um(0.5) {
            self.amount(low)
        } else {
            format!("{} to {}", self.amount(low), self.amount(high))
        }
    }

    pub(crate) fn cells(&mut self, label: &str, values: [String; 3]) {
        let [a, b, c] = values;
        self.line(&format!("{label:<LABEL$}{a:>CELL$}{b:>CELL$}{c:>CELL$}"));
    }

    pub(crate) fn tips(&mut self) {
        self.cells("", ["tip 1", "tip 2", "tip 3"].map(str::to_owned));
    }

    /// A row of three amounts in the system that stands first, and the other below it.
    pub(crate) fn amounts(&mut self, label: &str, values: [Length; 3]) {
        let other = match self.first {
            System::Metric => System::Inch,
            System::Inch => System::Metric,
        };
        let first = self.first;
        self.cells(label, values.map(|v| alone(v, first)));
        self.cells("", values.map(|v| alone(v, other)));
    }
}

/// An amount in one system only.
pub(crate) fn alone(length: Length, system: System) -> String {
    let text = length.as_amount(system).to_string();
    text.split(" (").next().unwrap_or_default().to_owned()
}

/// The least and the greatest of three.
pub(crate) fn ends(values: [Length; 3]) -> (Length, Length) {
    values.into_iter().fold((values[0], values[0]), |(low, high), v| (low.min(v), high.max(v)))
}

/// The text with numbers tied to their units, and an opening bracket to what it explains.
fn tied(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for (i, word) in text.split(' ').enumerate() {
        let bare = word.trim_end_matches(['.', ',', ';', ':', ')']);
        let is_unit = UNITS.contains(&bare) || UNITS.contains(&word);
        let after_number = out.chars().last().is_some_and(|c| c.is_ascii_digit());
        if i > 0 {
            out.push(if is_unit && after_number { TIED } else { ' ' });
        }
        out.push_str(word);
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_number_is_never_parted_from_its_unit() {
        let mut page = Page { text: String::new(), first: System::Metric };
        let long = "width 80.008 mm (3.1499 in), step 127 \u{b5}m (5.0 thou); ".repeat(6);
        page.say(2, &long);
        for line in page.text.lines() {
            assert!(line.chars().count() <= COLUMNS, "{line}");
            let starts = line.trim_start();
            for unit in UNITS {
                assert!(!starts.starts_with(&format!("{unit} ")), "{line}");
                assert!(!starts.starts_with(&format!("{unit})")), "{line}");
            }
        }
        assert!(!page.text.contains(TIED));
    }
}
