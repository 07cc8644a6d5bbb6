//! Keys of balance.

use super::{By, Key, each, list, number, table, text};

const INSTRUMENT: &[Key] = &[
    text("spot"),
    text("angles"),
    text("phase"),
    text("zero"),
    text("u"),
    number("u_share"),
    number("vibration_u"),
    text("speed"),
];

const CARRIED: &[Key] =
    &[text("name"), text("mass"), text("offset"), text("rotor"), text("weighed")];

const OIL: &[Key] = &[text("amount"), text("angle"), text("offset")];

const MANDREL: &[Key] = &[text("turned"), text("amount"), text("angle")];
const ROLLER: &[Key] = &[text("at"), text("mass")];
const ROTOR: &[Key] = &[
    text("serial"),
    text("state"),
    text("mass_centre"),
    text("mass_centre_u"),
    each("mandrel", By::Number, MANDREL),
    each("rollers", By::Number, ROLLER),
    text("arm"),
];

const POCKET: &[Key] = &[text("name"), text("angle"), text("radius"), text("offset"), text("most")];

const PLACE: &[Key] = &[
    text("how"),
    list("angles"),
    text("radius"),
    text("deepest"),
    text("edge"),
    text("face_at"),
    text("width"),
    list("masses"),
];
const PLANE: &[Key] = &[
    text("weight"),
    text("at"),
    text("material"),
    list("drills"),
    text("point_angle"),
    text("least_depth"),
    text("depth_step"),
    text("between"),
    text("to_edge"),
    text("slug_density"),
    each("place", By::Number, PLACE),
];

const SHOWN: &[Key] = &[text("amount"), text("angle")];
const BOTH_PLANES: &[Key] = &[table("front", SHOWN), table("rear", SHOWN)];

const SENSOR: &[Key] = &[text("name"), text("amplitude"), text("velocity"), text("phase")];
const RUN: &[Key] = &[
    text("state"),
    text("speed"),
    table("front", SHOWN),
    table("rear", SHOWN),
    each("sensors", By::Name, SENSOR),
];

pub(super) const BALANCE: &[Key] = &[
    text("grade"),
    text("rotor_grade"),
    text("speed"),
    text("match"),
    text("scale_u"),
    text("mass"),
    list("tolerance_planes"),
    text("journal_unbalance"),
    list("bob_weights"),
    table("instrument", INSTRUMENT),
    each("carried", By::Name, CARRIED),
    table("oil", OIL),
    each("rotor", By::Serial, ROTOR),
    each("pocket", By::Name, POCKET),
    table("front", PLANE),
    table("rear", PLANE),
    table("measured", BOTH_PLANES),
    table("after", BOTH_PLANES),
    each("run", By::Number, RUN),
];
