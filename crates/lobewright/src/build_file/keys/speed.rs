//! Keys of the rotor at speed.

use super::{By, Key, each, list, number, table, text};

const SECTION: &[Key] = &[text("length"), text("outer"), text("inner")];
const MAIN: &[Key] = &[text("at"), text("stiffness"), text("moment_stiffness")];
const WEIGHT: &[Key] = &[
    text("name"),
    text("at"),
    text("mass"),
    text("unbalance"),
    text("angle"),
    text("polar_inertia"),
    text("diametral_inertia"),
];
pub(super) const SHAFT: &[Key] = &[
    text("material"),
    each("sections", By::Number, SECTION),
    list("rotors"),
    list("throws"),
    number("damping"),
    each("main", By::Number, MAIN),
    each("weight", By::Name, WEIGHT),
];

const BEARING: &[Key] = &[
    text("diameter"),
    text("length"),
    text("clearance"),
    text("clearance_u"),
    text("least_film"),
    text("radial_stiffness"),
    text("radial_damping"),
    text("tilt_stiffness"),
    text("tilt_damping"),
];
pub(super) const BEARINGS: &[Key] = &[table("rotor", BEARING), table("main", BEARING)];

pub(super) const OIL: &[Key] = &[text("viscosity"), number("viscosity_u")];

pub(super) const GAS: &[Key] = &[
    number("compression_ratio"),
    text("manifold_temperature"),
    text("back_pressure"),
    text("intake_opens"),
    text("intake_closes"),
    text("exhaust_opens"),
    text("exhaust_closes"),
    text("intake_area"),
    text("exhaust_area"),
    text("ignition"),
    text("burn"),
    number("wiebe_a"),
    number("wiebe_m"),
    text("heat"),
    text("wall_temperature"),
    number("wall_loss"),
    number("hard"),
    number("knock"),
    number("side_share"),
    text("trace"),
];

pub(super) const GEAR: &[Key] =
    &[text("offset"), text("pressure_angle"), text("seal_drag"), text("backlash")];

pub(super) const INERTIA: &[Key] = &[text("rotor_polar"), text("rotor_diametral")];

pub(super) const UNCERTAINTY: &[Key] = &[
    number("model"),
    text("temperature"),
    number("expansion"),
    number("peak_pressure"),
    number("shaft_stiffness"),
    number("mesh"),
    number("side_gas"),
];
