//! Letters that the paper's font lacks. A paper that is to be read for decades embeds its letters;
//! one that is missing would be an empty box. It is written by its Unicode number instead.

use std::sync::LazyLock;
use typst::text::Font;

/// Whether a letter can be printed. What a line is broken at needs none in the font; what only
/// steers a terminal or the direction of writing has no place on paper.
fn has(fonts: &[Font], letter: char) -> bool {
    matches!(letter, ' ' | '\n' | '\t')
        || !letter.is_control()
            && fonts.iter().all(|font| font.info().coverage.contains(u32::from(letter)))
}

/// The text with the letters that the font has, others as `⟨U+4E2D⟩` in plain brackets.
pub(crate) fn printable(fonts: &LazyLock<Vec<Font>>, text: &str) -> String {
    if text.chars().all(|letter| has(fonts, letter)) {
        return text.to_owned();
    }
    let mut printable = String::with_capacity(text.len());
    for letter in text.chars() {
        if has(fonts, letter) {
            printable.push(letter);
        } else {
            printable.push_str(&format!("[U+{:04X}]", u32::from(letter)));
        }
    }
    printable
}
