//! What is no TOML at all: size and shape of the text first, then the parser's own complaints,
//! one for each line, in words a shop can use.

use super::problem::{Finding, Lines};
use toml::Spanned;
use toml::de::{DeTable, Error};
use toml_parser::Source;
use toml_parser::lexer::TokenKind;

/// Largest file that is read, in bytes: a build takes a few thousand.
pub const MOST_BYTES: usize = 4 * 1024 * 1024;
/// Longest line, in bytes: 24 readings take a few hundred.
const LONGEST_LINE: usize = 2000;
/// Most points in one key, and most brackets inside each other. No build needs more than 4. Each
/// may open a table inside the one before it, and the parser drops its tables by recursion:
/// without a bound a text could overflow the stack.
const MOST_NESTED: usize = 16;

/// The parser's word for a key or table that is there already.
const DUPLICATE: &str = "duplicate key";

/// The text as a tree as far as it can be read, with what could not.
pub(super) fn parse(text: &str) -> (Spanned<DeTable<'_>>, Vec<Finding>) {
    let refused = misshapen(text);
    if !refused.is_empty() {
        return (Spanned::new(0..0, DeTable::new()), refused);
    }
    let (tree, errors) = DeTable::parse_recoverable(text);
    if errors.is_empty() {
        return (tree, Vec::new());
    }
    let lines = Lines::of(text);
    let mut findings: Vec<Finding> = Vec::new();
    let mut last_line = None;
    let mut errors: Vec<&Error> = errors.iter().collect();
    errors.sort_by_key(|error| error.span().map_or(text.len(), |span| span.start));
    for error in errors {
        let span = error.span().unwrap_or(text.len()..text.len());
        let line = lines.at(text.floor_char_boundary(span.start));
        // One slip makes several complaints: the first of a line tells most, and after a broken
        // head its keys fall to the table before it and look like duplicates.
        let follows = error.message() == DUPLICATE && !findings.is_empty();
        if last_line != Some(line) && !follows {
            findings.push(complaint(error, span, lines.text(line)));
            last_line = Some(line);
        }
    }
    (tree, findings)
}

/// What is refused before it is parsed.
fn misshapen(text: &str) -> Vec<Finding> {
    if text.len() > MOST_BYTES {
        return vec![Finding {
            what: format!("{} bytes are too many for a build file", text.len()),
            expected: format!("at most {MOST_BYTES} bytes"),
            ..Finding::default()
        }];
    }
    let mut findings = Vec::new();
    let mut start = 0;
    for line in text.split('\n') {
        if line.len() > LONGEST_LINE {
            findings.push(Finding {
                span: start..start,
                what: format!("a line of {} bytes", line.len()),
                expected: format!("at most {LONGEST_LINE} bytes in a line"),
                ..Finding::default()
            });
        }
        start += line.len() + 1;
    }
    if findings.is_empty() {
        findings.extend(too_deep(text));
    }
    findings
}

/// The first place where tables would nest too deep.
fn too_deep(text: &str) -> Option<Finding> {
    let mut points = 0;
    let mut open: Vec<TokenKind> = Vec::new();
    for token in Source::new(text).lex() {
        match token.kind() {
            TokenKind::Dot => points += 1,
            TokenKind::LeftCurlyBracket => open.push(TokenKind::RightCurlyBracket),
            TokenKind::LeftSquareBracket => open.push(TokenKind::RightSquareBracket),
            kind if open.last() == Some(&kind) => {
                open.pop();
            }
            _ => {}
        }
        if !matches!(
            token.kind(),
            TokenKind::Dot
                | TokenKind::Atom
                | TokenKind::Whitespace
                | TokenKind::LiteralString
                | TokenKind::BasicString
                | TokenKind::MlLiteralString
                | TokenKind::MlBasicString
        ) {
            points = 0;
        }
        let what = if points > MOST_NESTED {
            "a key of too many parts"
        } else if open.len() > MOST_NESTED {
            "too many brackets inside each other, or left open"
        } else {
            continue;
        };
        return Some(Finding {
            span: token.span().start()..token.span().end(),
            what: what.to_owned(),
            expected: format!("at most {MOST_NESTED}"),
            ..Finding::default()
        });
    }
    None
}

/// One complaint of the parser's.
fn complaint(
    error: &Error,
    span: std::ops::Range<usize>,
    (line_start, line): (usize, &str),
) -> Finding {
    if let Some((value, at)) = unquoted(line) {
        let start = line_start + at;
        return Finding {
            span: start..start + value.len(),
            what: format!("{value} stands without quotes"),
            expected: "a quantity in quotes".to_owned(),
            hint: Some(format!("write \"{value}\"")),
            ..Finding::default()
        };
    }
    let message = error.message();
    let (what, expected) = message.split_once(", expected ").unwrap_or((message, ""));
    let head = line.trim_start().starts_with('[');
    let (what, expected, hint) = match what {
        DUPLICATE if head => (
            "this table is there already",
            "each table once, or all of a kind in two brackets",
            Some("for another of its kind start a new table in two brackets, such as [[rotor]]"),
        ),
        DUPLICATE => (
            "this key is there already",
            "each key once in its table",
            Some("for another of its kind start a new table in two brackets, such as [[rotor]]"),
        ),
        "invalid basic string" | "invalid literal string" => {
            ("text that does not end as it should", expected, None)
        }
        "unclosed array" => ("a list that does not end", expected, None),
        "unclosed inline table" => ("a table that does not end", expected, None),
        "unclosed table" | "unclosed array table" => {
            ("a head of a table that does not end", expected, None)
        }
        other => (other, expected, None),
    };
    Finding {
        span,
        what: what.to_owned(),
        expected: expected.to_owned(),
        hint: hint.map(str::to_owned),
        ..Finding::default()
    }
}

/// `key = 79.915 mm`: the value that lacks its quotes, and where in the line it starts.
fn unquoted(line: &str) -> Option<(&str, usize)> {
    let equals = line.find('=')?;
    let key = line[..equals].trim();
    if key.is_empty() || !key.bytes().all(|b| b.is_ascii_alphanumeric() || b == b'_') {
        return None;
    }
    let value = line[equals + 1..].split('#').next()?;
    let at = equals + 1 + (value.len() - value.trim_start().len());
    let value = value.trim();
    let numeric = value.starts_with(|c: char| c.is_ascii_digit() || "+-.".contains(c));
    let only = value.chars().all(|c| c.is_alphanumeric() || "+-./ \u{b0}\u{b5}".contains(c));
    (numeric && only && value.contains(|c: char| c.is_alphabetic())).then_some((value, at))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_quantity_without_quotes_is_told_from_other_slips() {
        assert_eq!(unquoted("mass = 4312 g  # as weighed"), Some(("4312 g", 7)));
        assert_eq!(unquoted("step = -5 \u{b5}m"), Some(("-5 \u{b5}m", 7)));
        assert_eq!(unquoted("name = sprint"), None);
        assert_eq!(unquoted("width = [80 mm, 80 mm]"), None);
        assert_eq!(unquoted("rotors = 2"), None);
    }
}
