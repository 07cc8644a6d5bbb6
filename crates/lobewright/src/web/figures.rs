//! Figures as a page shows them: metric and inch side by side, the shop's own first.

pub(super) use crate::ops::phrase::moment;
use kernel::units::{Length, System};

/// A size that is held or read: `79.788 mm (3.1413 in)`.
pub(super) fn size(length: Length, first: System) -> String {
    length.as_size(first).to_string()
}

/// A small amount, a step or a cut: `127 µm (5.0 thou)`.
pub(super) fn amount(length: Length, first: System) -> String {
    length.as_amount(first).to_string()
}

/// A value as it was written, with the sign that people read for micro.
pub(super) fn written(text: &str) -> String {
    match text.strip_suffix(" um") {
        Some(number) => format!("{number} \u{b5}m"),
        None => text.to_owned(),
    }
}
