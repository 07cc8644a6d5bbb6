//! What a picture may be told besides its model.

use kernel::units::System;

/// How a picture is made.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Options {
    /// Which system stands first in every figure; the other one follows in brackets.
    pub system: System,
    /// Name of the picture's root element, from which all names inside it start. Pictures on one
    /// page need different ones. Left out: the kind of the picture. Characters other than ASCII
    /// letters, digits, `-` and `_` become `-`.
    pub id: Option<String>,
}

impl Options {
    /// The root's name for a picture of this kind.
    pub(crate) fn id_or(&self, kind: &str) -> String {
        let wanted = self.id.as_deref().unwrap_or(kind);
        let mut id: String = wanted
            .chars()
            .map(|c| if c.is_ascii_alphanumeric() || c == '_' { c } else { '-' })
            .collect();
        if !id.starts_with(|c: char| c.is_ascii_alphabetic()) {
            id.insert_str(0, "d-");
        }
        id
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_is_safe_inside_a_reference() {
        let named = |id: &str| Options { id: Some(id.into()), ..Options::default() };
        assert_eq!(named("R-114) x").id_or("window"), "R-114--x");
        assert_eq!(named("7").id_or("window"), "d-7");
        assert_eq!(Options::default().id_or("window"), "window");
    }
}
