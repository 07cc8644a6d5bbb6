//! The words a program may have.
//!
//! Those of [NISTIR-6556] as a public port of its interpreter lists them; of these the ones that
//! [ISO-6983-1] has with the same meaning (from memory). G49 is left out although many programs
//! begin with it: in the lists of the standard's family that were read it is not assigned. G54 is
//! an axis shift in the oldest edition and the zero of the part in all that is in use; the operator
//! confirms it at the first stop.

use kernel::cutting::{Kind, MachineTool};

/// G words after the modal line, and M words.
pub const AFTER_THE_MODAL_LINE: [&str; 7] = ["G0", "G1", "M0", "M3", "M5", "M9", "M30"];

/// The one modal line: plane, units, no cutter compensation, zero of the part, no cycle, absolute
/// coordinates, feed per minute.
#[must_use]
pub const fn modal_words(machine: &MachineTool) -> [&'static str; 7] {
    let plane = match machine.kind {
        Kind::Mill(_) => "G17",
        Kind::Lathe(_) => "G18",
    };
    [plane, machine.units_word.text(), "G40", "G54", "G80", "G90", "G94"]
}

/// The axes of the machine.
pub(crate) const fn axes(machine: &MachineTool) -> &'static [char] {
    match machine.kind {
        Kind::Mill(_) => &['X', 'Y', 'Z'],
        Kind::Lathe(_) => &['X', 'Z'],
    }
}
