//! What a program is called in its comments.

/// Where a program belongs.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Titles {
    /// Serial of the rotor.
    pub rotor: String,
    /// The build it is for.
    pub build: String,
    /// Hash of what the program was made from, so that it can be held against the cut sheet.
    pub hash: String,
}

/// Longest comment, so that a control's line shows it whole.
const WIDEST: usize = 70;

/// A text as a comment: capitals and signs of ASCII, no parentheses inside, since comments do not
/// nest. What has no place there is shown as `?`, an end that is too long as `..`.
pub(crate) fn comment(text: &str) -> String {
    let mut plain: String = text
        .chars()
        .map(|c| match c {
            '(' | '[' => '<',
            ')' | ']' => '>',
            ' '..='~' if !matches!(c, '%' | ';') => c.to_ascii_uppercase(),
            _ => '?',
        })
        .collect();
    if plain.len() > WIDEST {
        plain.truncate(WIDEST - 2);
        plain.push_str("..");
    }
    format!("({plain})")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_comment_holds_nothing_that_ends_it() {
        assert_eq!(comment("Rotor R-1 (spare) 100%; \u{fc}"), "(ROTOR R-1 <SPARE> 100?? ?)");
        assert_eq!(comment(&"x".repeat(80)).len(), 72);
    }
}
