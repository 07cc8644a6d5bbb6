//! Keys of a teardown file, which is one of its own: a signed build is not written into again.

use super::{By, Key, each, list, number, table, text};

const HEAD: &[Key] = &[text("build"), text("running"), text("speed"), text("boost"), text("note")];
const DETAIL: &[Key] = &[
    text("face"),
    number("tip"),
    text("where"),
    text("rotor"),
    text("rotor_gauge"),
    text("wall"),
    text("wall_gauge"),
    text("note"),
];
const ROTOR: &[Key] =
    &[text("serial"), list("gear_tips"), list("plain_tips"), each("detail", By::Number, DETAIL)];
const TILT_TEST: &[Key] = &[
    text("rotor"),
    text("face"),
    number("tip"),
    text("radius"),
    text("least_load"),
    text("most_load"),
    text("load_u"),
    text("gauge"),
    list("at_least"),
    list("at_most"),
    text("note"),
];

/// The file itself.
pub(crate) const FILE: &[Key] = &[
    number("format"),
    table("teardown", HEAD),
    each("rotor", By::Serial, ROTOR),
    each("tilt_test", By::Number, TILT_TEST),
];
