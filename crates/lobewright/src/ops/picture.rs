//! What every picture of a build has: the name of its file, what it belongs to, its notes.

use super::plan::{PlanReport, RotorReport};
use drawings::Origin;

/// A picture with the name of its file, and its data as a table.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Picture {
    /// File name without its ending.
    pub name: String,
    /// The drawing.
    pub svg: String,
    /// Its data.
    pub csv: String,
}

/// The start of a rotor's file names: its place from the front, so that no two rotors share one,
/// then its serial with letters, digits, `-`, `_` and `.` kept.
pub(crate) fn file_stem(index: usize, serial: &str) -> String {
    let kept: String = serial
        .chars()
        .map(|c| if c.is_alphanumeric() || matches!(c, '-' | '_' | '.') { c } else { '-' })
        .collect();
    let kept = kept.trim_matches(['-', '.', '_']);
    let name = if kept.is_empty() { "rotor" } else { kept };
    format!("{}-{name}", index + 1)
}

/// A note as it is printed: a capital first, a full stop last, and a true minus.
pub(super) fn sentence(words: &str) -> String {
    let mut said = String::with_capacity(words.len() + 1);
    let mut before = ' ';
    let mut signs = words.trim().chars().peekable();
    while let Some(sign) = signs.next() {
        let is_minus = sign == '-'
            && matches!(before, ' ' | '(')
            && signs.peek().is_some_and(char::is_ascii_digit);
        match sign {
            _ if is_minus => said.push('\u{2212}'),
            _ if said.is_empty() => said.extend(sign.to_uppercase()),
            _ => said.push(sign),
        }
        before = sign;
    }
    if !said.is_empty() && !said.ends_with(['.', '?']) {
        said.push('.');
    }
    said
}

/// What a picture of a rotor belongs to.
pub(crate) fn origin(report: &PlanReport, rotor: &RotorReport) -> Origin {
    Origin {
        build: report.build.clone(),
        housing: rotor.housing.clone(),
        spec: report.spec_name.clone(),
    }
}

#[cfg(test)]
mod tests {
    use super::{file_stem, sentence};

    #[test]
    fn no_two_rotors_share_a_file_and_none_is_hidden() {
        assert_eq!(file_stem(0, "R/1"), "1-R-1");
        assert_eq!(file_stem(1, "R-1"), "2-R-1");
        assert_eq!(file_stem(2, "../"), "3-rotor");
        assert_eq!(file_stem(3, ".R 7"), "4-R-7");
    }

    #[test]
    fn a_note_is_a_sentence() {
        assert_eq!(
            sentence("the step reads -12 um (-0.5 thou) on R-114"),
            "The step reads \u{2212}12 um (\u{2212}0.5 thou) on R-114."
        );
        assert_eq!(sentence("Read it again."), "Read it again.");
    }
}
