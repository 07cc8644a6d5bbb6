//! Keys of what is asked, and of what was read, when the engine goes together.

use super::{BETWEEN, By, Key, Kind, each, list, table, text};

const TIGHTEN: &[Key] = &[text("fasteners"), text("torque"), text("angle"), text("note")];
pub(super) const ASSEMBLY: &[Key] = &[
    table("shaft_runout", BETWEEN),
    table("main_bearing_clearance", BETWEEN),
    table("rotor_bearing_clearance", BETWEEN),
    table("apex_spring_load", BETWEEN),
    table("corner_spring_load", BETWEEN),
    table("side_spring_load", BETWEEN),
    table("oil_spring_load", BETWEEN),
    table("apex_spring_height", BETWEEN),
    table("corner_spring_height", BETWEEN),
    table("side_spring_height", BETWEEN),
    table("oil_spring_height", BETWEEN),
    table("oil_seal_protrusion", BETWEEN),
    table("corner_seal_bore", BETWEEN),
    table("side_seal_gap", BETWEEN),
    table("apex_seal_groove", BETWEEN),
    table("end_play", BETWEEN),
    list("spacers"),
    text("spacer_u"),
    text("thicker_spacer"),
    each("tighten", By::Number, TIGHTEN),
];

const BEARING: &[Key] = &[text("clearance")];
const SHAFT: &[Key] = &[
    text("serial"),
    text("shaft_runout"),
    text("end_play"),
    text("spacer"),
    text("end_play_gauge"),
    text("runout_gauge"),
    text("bearing_gauge"),
    Key { name: "main", kind: Kind::ByName(BEARING) },
    Key { name: "rotor", kind: Kind::ByName(BEARING) },
];
const OF_ROTOR: &[Key] = &[
    text("apex_spring_load"),
    text("corner_spring_load"),
    text("side_spring_load"),
    text("oil_spring_load"),
    text("apex_spring_height"),
    text("corner_spring_height"),
    text("side_spring_height"),
    text("oil_spring_height"),
    text("oil_seal_protrusion"),
    text("corner_seal_bore"),
    text("side_seal_gap"),
    text("apex_seal_groove"),
    text("apex_end_clearance"),
];
const SEALS: &[Key] = &[
    text("serial"),
    text("gap_gauge"),
    text("protrusion_gauge"),
    text("height_gauge"),
    text("load_u"),
    Key { name: "rotor", kind: Kind::ByName(OF_ROTOR) },
];
pub(super) const ASSEMBLED: &[Key] =
    &[each("shaft", By::SerialOfPlace, SHAFT), each("seals", By::SerialOfPlace, SEALS)];
