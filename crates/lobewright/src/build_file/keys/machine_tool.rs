//! Keys of a machine tool.

use super::{Key, number, table, text};

const FIXTURE: &[Key] = &[text("held_by"), text("clamp_radius"), text("clamp_height")];
const CUTTER: &[Key] = &[
    text("diameter"),
    text("corner_radius"),
    number("teeth"),
    text("reach"),
    text("holder_diameter"),
    text("holder_width"),
];
const ROUGH: &[Key] = &[text("cutting_speed"), text("feed"), text("depth")];
const FINISH: &[Key] = &[text("cutting_speed"), text("feed"), text("stock")];

pub(super) const MACHINE_TOOL: &[Key] = &[
    text("kind"),
    text("units"),
    text("units_word"),
    text("x_reads"),
    text("most_speed"),
    text("least_speed"),
    text("rapid"),
    table("fixture", FIXTURE),
    table("cutter", CUTTER),
    table("rough", ROUGH),
    table("finish", FINISH),
];
