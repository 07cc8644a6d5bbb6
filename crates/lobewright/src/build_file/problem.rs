//! What is wrong with a file: each problem with its place, what was found, what was expected and
//! the cure where one is known; all of them together with the text they are about.

use std::cell::RefCell;
use std::fmt;
use std::ops::Range;

/// As many problems as are listed; the rest is counted.
pub const MOST_LISTED: usize = 200;
/// As many as are looked at in full; a file with more has gone wrong as a whole.
const MOST_KEPT: usize = 5000;

/// One thing that is wrong.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Problem {
    /// The key it is about, as `amend` takes it: `rotor.R-114.land_width.2`. Empty for the file.
    pub place: String,
    /// Where it stands, in bytes of the text.
    pub span: Range<usize>,
    /// Its line, from 1.
    pub line: usize,
    /// Its column, from 1, in characters.
    pub column: usize,
    /// What was found.
    pub what: String,
    /// What would be right, with an example.
    pub expected: String,
    /// The cure, where it is known.
    pub hint: Option<String>,
}

impl fmt::Display for Problem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if !self.place.is_empty() {
            write!(f, "{}: ", self.place)?;
        }
        write!(f, "{}", self.what)?;
        if !self.expected.is_empty() {
            write!(f, "; expected {}", self.expected)?;
        }
        Ok(())
    }
}

/// Everything that is wrong with a file, in the order of the file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Problems {
    pub(super) file: String,
    pub(super) source: String,
    pub(super) list: Vec<Problem>,
    pub(super) more: usize,
}

impl Problems {
    /// The same problems of a file of this name.
    #[must_use]
    pub fn in_file(mut self, name: &str) -> Self {
        name.clone_into(&mut self.file);
        self
    }

    /// Those that are listed, at most [`MOST_LISTED`].
    #[must_use]
    pub fn list(&self) -> &[Problem] {
        &self.list
    }

    /// How many more there are.
    #[must_use]
    pub const fn more(&self) -> usize {
        self.more
    }

    /// `boat.toml:23:10: what; expected this`: one line.
    pub(super) fn headline(&self, problem: &Problem) -> String {
        format!("{}:{}:{}: {problem}", self.file, problem.line, problem.column)
    }
}

impl fmt::Display for Problems {
    /// One line for each problem, and one for its cure.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (i, problem) in self.list.iter().enumerate() {
            if i > 0 {
                writeln!(f)?;
            }
            write!(f, "{}", self.headline(problem))?;
            if let Some(hint) = &problem.hint {
                write!(f, "\n  hint: {hint}")?;
            }
        }
        if self.more > 0 {
            write!(f, "\nand {} more", self.more)?;
        }
        Ok(())
    }
}

impl std::error::Error for Problems {}

/// A problem as it is found, before its line is counted.
#[derive(Debug, Default)]
pub(super) struct Finding {
    pub(super) place: String,
    pub(super) span: Range<usize>,
    pub(super) what: String,
    pub(super) expected: String,
    pub(super) hint: Option<String>,
    /// What it may be a mere consequence of.
    pub(super) follows: Follows,
}

/// What a finding may follow from, in which case it is not worth saying.
#[derive(Debug, Default, Clone, Copy, PartialEq, Eq)]
pub(super) enum Follows {
    /// It stands for itself.
    #[default]
    Nothing,
    /// From any line that was not readable: a missing key.
    AnySlip,
    /// From a table's head that was not readable: its keys fell to the table before it.
    BrokenHead,
}

/// Collects findings while the file is walked.
#[derive(Debug, Default)]
pub(super) struct Findings {
    list: RefCell<Vec<Finding>>,
    beyond: RefCell<usize>,
}

impl Findings {
    /// Adds one; past [`MOST_KEPT`] it is only counted.
    pub(super) fn add(&self, finding: impl FnOnce() -> Finding) {
        let mut list = self.list.borrow_mut();
        if list.len() < MOST_KEPT {
            list.push(finding());
        } else {
            *self.beyond.borrow_mut() += 1;
        }
    }

    /// Whether nothing was found.
    pub(super) fn is_empty(&self) -> bool {
        self.list.borrow().is_empty()
    }

    /// Sorts them, drops what may only follow from the syntax errors, and counts lines.
    pub(super) fn into_problems(self, text: &str, syntax: Vec<Finding>) -> Problems {
        let lines = Lines::of(text);
        let mut kept = syntax;
        let broken: Vec<usize> = kept.iter().map(|f| lines.at(f.span.start)).collect();
        let mut more = self.beyond.into_inner();
        let broken_head =
            broken.iter().any(|line| lines.text(*line).1.trim_start().starts_with('['));
        kept.extend(self.list.into_inner().into_iter().filter(|finding| {
            let stands = match finding.follows {
                Follows::Nothing => true,
                Follows::AnySlip => broken.is_empty(),
                Follows::BrokenHead => !broken_head,
            };
            stands && broken.binary_search(&lines.at(finding.span.start)).is_err()
        }));
        kept.sort_by_key(|finding| finding.span.start);
        more += kept.len().saturating_sub(MOST_LISTED);
        kept.truncate(MOST_LISTED);
        let list = kept.into_iter().map(|finding| lines.place(finding)).collect();
        Problems { file: "build file".to_owned(), source: text.to_owned(), list, more }
    }
}

/// Where the lines of a text start.
pub(super) struct Lines<'t> {
    text: &'t str,
    starts: Vec<usize>,
}

impl<'t> Lines<'t> {
    pub(super) fn of(text: &'t str) -> Self {
        let starts =
            std::iter::once(0).chain(text.match_indices('\n').map(|(i, _)| i + 1)).collect();
        Self { text, starts }
    }

    /// The line that holds a byte, from 0.
    pub(super) fn at(&self, byte: usize) -> usize {
        self.starts.partition_point(|start| *start <= byte).saturating_sub(1)
    }

    /// Text of a line without its end, and where it starts.
    pub(super) fn text(&self, line: usize) -> (usize, &'t str) {
        let start = self.starts.get(line).copied().unwrap_or(self.text.len());
        let end = self.starts.get(line + 1).map_or(self.text.len(), |next| next - 1);
        (start, self.text[start..end].trim_end_matches('\r'))
    }

    fn place(&self, finding: Finding) -> Problem {
        let start = self.text.floor_char_boundary(finding.span.start);
        let end = self.text.floor_char_boundary(finding.span.end).max(start);
        let line = self.at(start);
        let (line_start, _) = self.text(line);
        Problem {
            place: finding.place,
            span: start..end,
            line: line + 1,
            column: self.text[line_start..start].chars().count() + 1,
            what: finding.what,
            expected: finding.expected,
            hint: finding.hint,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_are_counted_in_characters() {
        let findings = Findings::default();
        let text = "a = 1\r\nname = \"Häher\" # x\n";
        let at = text.find("# x").unwrap();
        findings.add(|| Finding {
            span: at..at + 1,
            what: "a comment".into(),
            expected: "none".into(),
            ..Finding::default()
        });
        let problems = findings.into_problems(text, Vec::new()).in_file("boat.toml");
        assert_eq!(problems.to_string(), "boat.toml:2:16: a comment; expected none");
    }

    #[test]
    fn the_rest_is_counted() {
        let findings = Findings::default();
        for _ in 0..MOST_KEPT + 7 {
            findings.add(Finding::default);
        }
        let problems = findings.into_problems("", Vec::new());
        assert_eq!(problems.list().len(), MOST_LISTED);
        assert_eq!(problems.more(), MOST_KEPT + 7 - MOST_LISTED);
    }
}
