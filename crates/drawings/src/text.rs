//! Text that is measured before it is placed, so that no two pieces meet.
//!
//! No font is at hand where the picture is made, and the page that shows it chooses its own.
//! Widths are therefore taken from above: not less than the advance of each character in the
//! wide sans-serifs that the style sheet's list can end in.

/// How a piece of text is set.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Type {
    /// The picture's name.
    Head,
    /// A name that leads a group.
    Strong,
    /// Everything else.
    Plain,
    /// The least size used: readable with the picture 800 px wide.
    Small,
}

impl Type {
    /// Height of the type in units of the view box, as in the style sheet.
    pub(crate) const fn size(self) -> f64 {
        match self {
            Self::Head => 21.0,
            Self::Strong | Self::Plain => 15.0,
            Self::Small => 14.0,
        }
    }

    /// From one base line to the next.
    pub(crate) const fn leading(self) -> f64 {
        match self {
            Self::Head => 27.0,
            Self::Strong | Self::Plain => 20.0,
            Self::Small => 18.0,
        }
    }

    /// Its class in the style sheet.
    pub(crate) const fn class(self) -> &'static str {
        match self {
            Self::Head => "head",
            Self::Strong => "strong",
            Self::Plain => "plain",
            Self::Small => "small",
        }
    }

    const fn bold(self) -> bool {
        matches!(self, Self::Head | Self::Strong)
    }
}

/// Advance of a character as a fraction of the type's size, from above.
const fn advance(c: char) -> f64 {
    match c {
        'i' | 'j' | 'l' | '.' | ',' | '\'' | '|' | ' ' => 0.34,
        'f' | 't' | 'r' | '(' | ')' | '[' | ']' | '/' | '-' | ':' | ';' | 'I' | 'J' => 0.44,
        'm' | 'w' | 'M' | 'W' | '%' | '@' => 1.0,
        'A'..='Z' => 0.79,
        'a'..='z' | '0'..='9' => 0.64,
        '!'..='~' | '\u{b1}' | '\u{b5}' | '\u{2212}' => 0.84,
        // Anything else may be as wide as it is high.
        _ => 1.0,
    }
}

/// Width of a line, from above.
pub(crate) fn width(text: &str, set: Type) -> f64 {
    let bold = if set.bold() { 1.13 } else { 1.0 };
    text.chars().map(advance).sum::<f64>() * set.size() * bold
}

/// Units that stay on the line of their number.
const UNITS: [&str; 8] = ["mm", "in", "\u{b5}m", "thou", "mrad", "rpm", "MPa", "%"];

/// Words, each number together with its unit.
fn pieces(text: &str) -> Vec<String> {
    let mut pieces: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        let bare = word.trim_end_matches([')', ',', ';', '.', ':']);
        match pieces.last_mut() {
            Some(last) if UNITS.contains(&bare) && last.ends_with(|c: char| c.is_ascii_digit()) => {
                last.push(' ');
                last.push_str(word);
            }
            _ => pieces.push(word.to_owned()),
        }
    }
    pieces
}

/// Breaks a text into lines that are no wider than `room`: at spaces, and inside a word only
/// where the word alone is too wide, after a hyphen if it has one.
pub(crate) fn wrap(text: &str, set: Type, room: f64) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    let mut line = String::new();
    for piece in pieces(text) {
        let longer = if line.is_empty() { piece.clone() } else { format!("{line} {piece}") };
        if width(&longer, set) <= room {
            line = longer;
            continue;
        }
        if !line.is_empty() {
            lines.push(std::mem::take(&mut line));
        }
        for c in piece.chars() {
            line.push(c);
            if width(&line, set) > room && line.chars().count() > 1 {
                line.pop();
                // Not in the first half, where a break would leave most of the line empty.
                let hyphen = line.rfind('-').filter(|at| 2 * at > line.len());
                let rest = hyphen.map_or_else(String::new, |at| line.split_off(at + 1));
                lines.push(std::mem::replace(&mut line, rest));
                line.push(c);
            }
        }
    }
    if !line.is_empty() {
        lines.push(line);
    }
    lines
}

/// The text without characters that an XML file must not hold; each is replaced by the sign for
/// an unreadable character, so that it is seen to be there.
pub(crate) fn printable(text: &str) -> String {
    text.chars()
        .map(|c| match c {
            '\t' | '\n' | '\r' => ' ',
            '\u{0}'..='\u{1f}' | '\u{7f}'..='\u{9f}' | '\u{fffe}' | '\u{ffff}' => '\u{fffd}',
            _ => c,
        })
        .collect()
}

#[cfg(test)]
#[path = "../tests/pictures/dejavu.rs"]
mod dejavu;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn widths_are_from_above_for_the_widest_common_font() {
        for c in (' '..='~').chain(['\u{b1}', '\u{b5}', '\u{2212}']) {
            for (set, face) in [(Type::Plain, &dejavu::REGULAR), (Type::Strong, &dejavu::BOLD)] {
                let real = f64::from(dejavu::advance(face, c)) / 1e3 * set.size();
                assert!(width(&c.to_string(), set) >= real, "{c} {set:?}");
            }
        }
    }

    #[test]
    fn lines_fit_their_room_and_lose_nothing() {
        let text = "rotor MERGANSER-0000-SPARE-114 in housing H-31 of boat 7";
        for room in [60.0, 120.0, 400.0] {
            let lines = wrap(text, Type::Plain, room);
            assert!(lines.iter().all(|line| width(line, Type::Plain) <= room), "{lines:?}");
            let joined: String = lines.concat().split_whitespace().collect();
            assert_eq!(joined, text.split_whitespace().collect::<String>());
        }
        assert_eq!(wrap("two words", Type::Plain, 1000.0), ["two words"]);
    }

    #[test]
    fn a_unit_stays_with_its_number_and_a_serial_breaks_after_a_hyphen() {
        let figure = "short by 5.8 thou (147 \u{b5}m).";
        for room in 70..240 {
            for line in wrap(figure, Type::Plain, f64::from(room)) {
                assert!(!line.starts_with("thou") && !line.starts_with('\u{b5}'), "{room}: {line}");
            }
        }
        let lines = wrap("MERGANSER-7-WIDE-WWW-000", Type::Small, 233.0);
        assert_eq!(lines, ["MERGANSER-7-WIDE-WWW-", "000"]);
    }

    #[test]
    fn control_characters_are_shown_as_unreadable() {
        assert_eq!(printable("R\u{0}-1\t4"), "R\u{fffd}-1 4");
    }
}
