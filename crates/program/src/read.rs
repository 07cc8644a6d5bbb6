//! A program read back: the syntax by the library `gcode`, and every character accounted for.
//!
//! The library reads on after what it does not understand, and gives numbers in single precision.
//! So what it reports of each word is held against the text at the place it says, numbers are read
//! again from there in double precision, and whatever of the text belongs to no word, comment or
//! `%` that was reported is a fault.

use crate::fault::{Fault, Reason};
use gcode::core::{
    BlockVisitor, CommandVisitor, ControlFlow, Diagnostics, HasDiagnostics, Number, ProgramVisitor,
    Span, TokenType, Value, parse,
};
use std::num::ParseIntError;

/// One word: a letter and its number.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Word {
    pub(crate) letter: char,
    pub(crate) value: f64,
    /// As it stands in the text.
    pub(crate) text: String,
}

impl Word {
    pub(crate) fn has_point(&self) -> bool {
        self.text.contains('.')
    }
}

/// One block that has words.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Block {
    /// From 1.
    pub(crate) line: usize,
    pub(crate) words: Vec<Word>,
}

/// Reads a text.
///
/// # Errors
/// All that is no word, doubled, out of form, or not accounted for.
pub(crate) fn blocks(text: &str) -> Result<Vec<Block>, Vec<Fault>> {
    let mut reader = Reader { text, ..Reader::default() };
    parse(text, &mut reader);
    reader.percents();
    reader.left_over();
    let mut found: Vec<(Span, Word)> = Vec::with_capacity(reader.found.len());
    for (span, letter, value) in std::mem::take(&mut reader.found) {
        match word(text, span, letter, value) {
            Ok(word) => found.push((span, word)),
            Err(reason) => reader.faults.push(Fault::at_line(span.line + 1, reason)),
        }
    }
    found.sort_by_key(|(span, _)| span.start);
    let mut blocks: Vec<Block> = Vec::new();
    for (span, word) in found {
        let line = span.line + 1;
        match blocks.last_mut().filter(|block| block.line == line) {
            Some(block) => block.words.push(word),
            None => blocks.push(Block { line, words: vec![word] }),
        }
    }
    if reader.faults.is_empty() { Ok(blocks) } else { Err(reader.faults) }
}

/// Holds a reported word against the text.
fn word(text: &str, span: Span, letter: char, value: f32) -> Result<Word, Reason> {
    let raw = text.get(span.start..span.end()).unwrap_or_default();
    let number = raw.strip_prefix(letter).filter(|_| letter.is_ascii_uppercase());
    let number = number.filter(|n| is_number(n)).ok_or_else(|| Reason::Number(raw.to_owned()))?;
    let exact: f64 = number.parse().map_err(|_| Reason::Number(raw.to_owned()))?;
    // What the library made of it: single precision.
    if (f64::from(value) - exact).abs() > 1e-6 * exact.abs() {
        return Err(Reason::Number(raw.to_owned()));
    }
    Ok(Word { letter, value: exact, text: raw.to_owned() })
}

/// A sign at most, digits, and at most one point between digits: `1`, `-0.030`; not `.5`, `5.`.
fn is_number(text: &str) -> bool {
    let digits = |part: &str| !part.is_empty() && part.bytes().all(|b| b.is_ascii_digit());
    let unsigned = text.strip_prefix('-').unwrap_or(text);
    match unsigned.split_once('.') {
        Some((whole, fraction)) => digits(whole) && digits(fraction),
        None => digits(unsigned),
    }
}

#[derive(Debug, Default)]
struct Reader<'t> {
    text: &'t str,
    /// Words as reported: where, letter, number.
    found: Vec<(Span, char, f32)>,
    comments: Vec<Span>,
    percents: Vec<Span>,
    faults: Vec<Fault>,
}

impl Reader<'_> {
    fn fault(&mut self, span: Span, reason: Reason) {
        self.faults.push(Fault::at_line(span.line + 1, reason));
    }

    /// `%` on the first and the last line, alone.
    fn percents(&mut self) {
        let last = self.text.lines().count();
        let is_right = self.percents.len() == 2
            && self.percents[0].line == 0
            && self.percents[1].line + 1 == last
            && self.text.lines().next() == Some("%")
            && self.text.lines().next_back() == Some("%");
        if !is_right {
            let line =
                self.percents.iter().map(|span| span.line + 1).find(|l| *l != 1 && *l != last);
            self.faults.push(Fault { line, reason: Reason::Percent, place: None });
        }
    }

    /// Every byte belongs to something that was reported, or is a space between.
    fn left_over(&mut self) {
        let mut spans: Vec<Span> = self.found.iter().map(|(span, ..)| *span).collect();
        spans.extend(&self.comments);
        spans.extend(&self.percents);
        spans.sort_by_key(|span| span.start);
        let mut at = 0;
        let end = Span::new(self.text.len(), 0, self.text.lines().count().saturating_sub(1));
        for span in spans.into_iter().chain([end]) {
            let between = self.text.get(at..span.start).unwrap_or("?");
            if !between.chars().all(|c| c == ' ' || c == '\n') {
                let line = self.text.get(..at).unwrap_or_default().matches('\n').count() + 1;
                let skipped = between.chars().take_while(|c| *c == ' ' || *c == '\n');
                let line = line + skipped.filter(|c| *c == '\n').count();
                let reason = Reason::Unread(between.trim().chars().take(40).collect());
                self.faults.push(Fault::at_line(line, reason));
            }
            at = at.max(span.end());
        }
    }
}

impl Diagnostics for Reader<'_> {
    fn emit_unknown_content(&mut self, text: &str, span: Span) {
        self.fault(span, Reason::Unread(text.to_owned()));
    }

    fn emit_unexpected(&mut self, actual: &str, _: &[TokenType], span: Span) {
        self.fault(span, Reason::Unread(actual.to_owned()));
    }

    // A number of G, M or T that it cannot take it reports in a type it does not export; the word
    // is then found among what is left over.

    fn emit_parse_int_error(&mut self, value: &str, _: ParseIntError, span: Span) {
        self.fault(span, Reason::Number(value.to_owned()));
    }
}

impl ProgramVisitor for Reader<'_> {
    fn start_block(&mut self) -> ControlFlow<impl BlockVisitor + '_> {
        ControlFlow::Continue(OneBlock(self))
    }
}

/// A block within a reader.
struct OneBlock<'r, 't>(&'r mut Reader<'t>);

/// A G, M or T word with the words after it.
struct Command<'r, 't> {
    reader: &'r mut Reader<'t>,
    letter: char,
    number: Number,
}

impl HasDiagnostics for OneBlock<'_, '_> {
    fn diagnostics(&mut self) -> &mut dyn Diagnostics {
        self.0
    }
}

impl HasDiagnostics for Command<'_, '_> {
    fn diagnostics(&mut self) -> &mut dyn Diagnostics {
        self.reader
    }
}

impl<'t> OneBlock<'_, 't> {
    fn command(&mut self, letter: char, number: Number) -> ControlFlow<Command<'_, 't>> {
        ControlFlow::Continue(Command { reader: self.0, letter, number })
    }
}

impl BlockVisitor for OneBlock<'_, '_> {
    fn line_number(&mut self, n: u32, span: Span) {
        self.0.fault(span, Reason::UnknownWord(format!("N{n}")));
    }

    fn program_number(&mut self, number: u32, span: Span) {
        self.0.fault(span, Reason::UnknownWord(format!("O{number}")));
    }

    fn comment(&mut self, value: &str, span: Span) {
        let inner = value.strip_prefix('(').and_then(|rest| rest.strip_suffix(')'));
        if inner.is_some_and(|text| !text.contains(['(', ')', '\n'])) {
            self.0.comments.push(span);
        } else {
            self.0.fault(span, Reason::Unread(value.chars().take(40).collect()));
        }
    }

    fn program_delimiter(&mut self, span: Span) {
        self.0.percents.push(span);
    }

    fn word_address(&mut self, letter: char, value: Value<'_>, span: Span) {
        self.0.add(letter, value, span);
    }

    fn start_general_code(&mut self, number: Number) -> ControlFlow<impl CommandVisitor + '_> {
        self.command('G', number)
    }

    fn start_miscellaneous_code(
        &mut self,
        number: Number,
    ) -> ControlFlow<impl CommandVisitor + '_> {
        self.command('M', number)
    }

    fn start_tool_change_code(&mut self, number: Number) -> ControlFlow<impl CommandVisitor + '_> {
        self.command('T', number)
    }
}

impl Reader<'_> {
    fn add(&mut self, letter: char, value: Value<'_>, span: Span) {
        match value {
            Value::Literal(number) => self.found.push((span, letter, number)),
            Value::Variable(name) => self.fault(span, Reason::Unread(name.to_owned())),
        }
    }
}

impl CommandVisitor for Command<'_, '_> {
    fn argument(&mut self, letter: char, value: Value<'_>, span: Span) {
        self.reader.add(letter, value, span);
    }

    fn end_command(self, span: Span) {
        // The span is of the command with its arguments; the word is its beginning.
        let rest = self.reader.text.get(span.start + 1..).unwrap_or_default();
        let length = 1 + rest.bytes().take_while(|b| b.is_ascii_digit() || *b == b'.').count();
        let minor = self.number.minor().map_or(0, u32::from);
        let number = self.number.major() as f32 + minor as f32 / 10.0;
        self.reader.found.push((Span::new(span.start, length, span.line), self.letter, number));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn reason(body: &str) -> String {
        let faults = blocks(&format!("%\n{body}\n%\n")).unwrap_err();
        faults.iter().map(ToString::to_string).collect::<Vec<_>>().join("; ")
    }

    #[test]
    fn words_come_out_as_they_stand() {
        let read = blocks("%\n(A COMMENT, X1.0)\nG1 X-12.345 Y0.000 F40.0\nM5\n%\n").unwrap();
        let shown: Vec<(usize, Vec<&str>)> = read
            .iter()
            .map(|block| (block.line, block.words.iter().map(|w| w.text.as_str()).collect()))
            .collect();
        assert_eq!(shown, [(3, vec!["G1", "X-12.345", "Y0.000", "F40.0"]), (4, vec!["M5"])]);
        assert_eq!(read[0].words[1].value, -12.345);
    }

    #[test]
    fn nothing_is_dropped() {
        for (body, part) in [
            ("O1234", "line 2: O1234 is not one of the words"),
            ("G1 X1.0\nN20 X2.0", "line 3: N20 is not one"),
            ("G1 X1.0 %", "% stands alone on the first"),
            ("G1 X", "\"X\" is no word"),
            ("G1 X1.0 [#2]", "no word"),
            ("/G1 X1.0", "\"/\" is no word"),
            ("G1 X1..0", "is not a number"),
            ("G1 X.5", "X.5 is not a number as"),
            ("G1 X5.", "X5. is not a number as"),
            ("G1 x5.0", "x5.0 is not a number"),
            ("g1 X5.0", "not a number"),
            ("G1 X+5.0", "X+5.0 is not a number"),
            ("G1 X - 5.0", "X - 5.0 is not a number"),
            ("G1 X5.0 ; AND THIS", "\"; AND THIS\" is no word"),
            ("(NESTED (COMMENT))", "no word"),
            ("(NOT CLOSED", "no word"),
            ("G1 X5.0 \u{fc}", "no word"),
            ("G1 X5.0\tY5.0", "no word"),
            ("G1 X5.0\r", "no word"),
            ("G01 X5.0 7", "\"7\" is no word"),
            ("G91.11 X5.0", "91.11"),
        ] {
            let message = reason(body);
            assert!(message.contains(part), "{body:?}: {message}");
        }
        for text in ["", "G1 X1.0\n", "%\nG1 X1.0\n", "%\n%\n%\n", "\n%\nG1 X1.0\n%\n"] {
            assert!(blocks(text).is_err(), "{text:?}");
        }
    }
}
