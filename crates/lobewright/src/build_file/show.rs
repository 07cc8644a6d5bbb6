//! Problems for people: each with the line it is about, the culprit underlined.

use super::problem::{Lines, Problem, Problems};
use annotate_snippets::renderer::Style;
use annotate_snippets::{AnnotationKind, Group, Level, Renderer, Snippet};

/// Longer lines are not shown, only spoken of.
const LONGEST_SHOWN: usize = 400;

impl Problems {
    /// All of them with the lines they are about, coloured or plain.
    #[must_use]
    pub fn show(&self, coloured: bool) -> String {
        let renderer = if coloured { Renderer::styled() } else { Renderer::plain() };
        let lines = Lines::of(&self.source);
        let mut out = String::new();
        for problem in &self.list {
            let headline = self.headline(problem);
            if coloured {
                let bold = Style::new().bold();
                out.push_str(&format!("{bold}{headline}{bold:#}\n"));
            } else {
                out.push_str(&headline);
                out.push('\n');
            }
            if let Some(group) = Self::group(problem, &lines) {
                out.push_str(&renderer.render(&[group]));
                out.push('\n');
            } else if let Some(hint) = &problem.hint {
                out.push_str("  hint: ");
                out.push_str(hint);
                out.push('\n');
            }
            out.push('\n');
        }
        let count = self.list.len() + self.more;
        let plural = if count == 1 { "" } else { "s" };
        out.push_str(&format!("{count} problem{plural} in {}", self.file));
        if self.more > 0 {
            out.push_str(&format!(", the first {} shown", self.list.len()));
        }
        out.push('\n');
        out
    }

    /// The line with its underline, and the cure below it.
    fn group<'t>(problem: &'t Problem, lines: &Lines<'t>) -> Option<Group<'t>> {
        let (start, text) = lines.text(problem.line - 1);
        if text.trim().is_empty() || text.len() > LONGEST_SHOWN {
            return None;
        }
        let within = |byte: usize| byte.saturating_sub(start).min(text.len());
        let span = within(problem.span.start)..within(problem.span.end);
        let snippet = Snippet::source(text)
            .line_start(problem.line)
            .annotation(AnnotationKind::Primary.span(span));
        let group = Group::with_level(Level::ERROR).element(snippet);
        Some(match &problem.hint {
            Some(hint) => group.element(Level::HELP.with_name("hint").message(hint)),
            None => group,
        })
    }
}
