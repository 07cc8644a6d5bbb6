//! How units are spelled in a shop, what each is exactly, and the spellings that are refused.

use super::quantity::{
    Angle, Area, Density, Duration, Expansion, GaugePressure, Length, Mass, Speed, Temperature,
    TemperatureDifference,
};
use super::written::Quantity;

/// A unit as spelled, and its size: `numerator / denominator · 10^power` in SI.
#[derive(Debug)]
#[doc(hidden)]
pub struct Unit {
    pub(super) spelled: &'static [&'static str],
    pub(super) numerator: u128,
    pub(super) denominator: u128,
    pub(super) power: i32,
    /// Added after scaling: only temperatures have one, in units of 10^-12 of themselves.
    pub(super) offset: f64,
}

const fn unit(spelled: &'static [&'static str], numerator: u128, power: i32) -> Unit {
    Unit { spelled, numerator, denominator: 1, power, offset: 0.0 }
}

const fn ratio(
    spelled: &'static [&'static str],
    numerator: u128,
    denominator: u128,
    power: i32,
) -> Unit {
    Unit { spelled, numerator, denominator, power, offset: 0.0 }
}

/// Spellings that are refused although somebody uses them, and what to write.
pub(super) fn refused(name: &str, spelled: &str) -> Option<&'static str> {
    match (name, spelled) {
        ("a length", "mil" | "mils") => {
            Some("many say mil for a millimetre; write thou for 0.001 in, or mm")
        }
        ("a length", "'" | "ft") => Some("nothing here is measured in feet; write in or mm"),
        ("a temperature", "K") => Some("K is kept for differences; write degC"),
        ("a difference of temperatures", "degC" | "°C" | "C" | "degF" | "°F" | "F") => {
            Some("a rise or difference is written in K, so that it is not taken for a temperature")
        }
        ("a mass", "lbs" | "#") => Some("write lb"),
        _ => None,
    }
}

/// Says how a quantity is named, exampled, written and spelled.
macro_rules! spelled {
    ($name:ident, $called:literal, $example:literal, $written:literal, [$($unit:expr),+ $(,)?]) => {
        impl Quantity for $name {
            const NAME: &'static str = $called;
            const EXAMPLE: &'static str = $example;
            const WRITTEN_UNIT: &'static str = $written;
            fn units() -> &'static [Unit] {
                static UNITS: &[Unit] = &[$($unit),+];
                UNITS
            }
            fn from_si(si: f64) -> Self {
                Self(si)
            }
            fn si(self) -> f64 {
                self.0
            }
        }
    };
}

spelled!(
    Length,
    "a length",
    "0.127 mm",
    "mm",
    [
        unit(&["mm"], 1, -3),
        unit(&["um", "\u{b5}m", "\u{3bc}m"], 1, -6),
        unit(&["thou"], 254, -7),
        unit(&["in", "\"", "\u{2033}", "inch"], 254, -4),
        unit(&["cm"], 1, -2),
        unit(&["m"], 1, 0),
    ]
);
spelled!(
    Area,
    "an area",
    "12 mm2",
    "mm2",
    [
        unit(&["mm2", "mm\u{b2}"], 1, -6),
        unit(&["cm2", "cm\u{b2}"], 1, -4),
        unit(&["in2", "in\u{b2}"], 64516, -8),
    ]
);
spelled!(
    Mass,
    "a mass",
    "4312 g",
    "g",
    [
        unit(&["g"], 1, -3),
        unit(&["kg"], 1, 0),
        unit(&["lb"], 45_359_237, -8),
        ratio(&["oz"], 45_359_237, 16, -8),
    ]
);
spelled!(
    Density,
    "a density",
    "7100 kg/m3",
    "kg/m3",
    [unit(&["kg/m3", "kg/m\u{b3}"], 1, 0), unit(&["g/cm3", "g/cm\u{b3}"], 1, 3),]
);
spelled!(
    Expansion,
    "an expansion",
    "11.0e-6 /K",
    "/K",
    [
        unit(&["/K", "1/K"], 1, 0),
        unit(&["um/m/K", "\u{b5}m/m/K", "ppm/K"], 1, -6),
        unit(&["/degF", "1/degF"], 18, -1),
    ]
);
spelled!(
    Angle,
    "an angle",
    "120 deg",
    "rad",
    [ratio(&["deg", "\u{b0}"], 314_159_265_358_979_323_846_264, 180, -23), unit(&["rad"], 1, 0),]
);
spelled!(
    Speed,
    "a shaft speed",
    "9800 rpm",
    "rad/s",
    [
        ratio(&["rpm", "r/min", "1/min"], 314_159_265_358_979_323_846_264, 30, -23),
        unit(&["rad/s"], 1, 0),
    ]
);
spelled!(
    GaugePressure,
    "a pressure above atmosphere",
    "0.9 bar",
    "bar",
    [
        unit(&["bar"], 1, 5),
        unit(&["kPa"], 1, 3),
        unit(&["MPa"], 1, 6),
        unit(&["Pa"], 1, 0),
        ratio(&["psi"], 44_482_216_152_605, 64_516, -5),
    ]
);
spelled!(
    Temperature,
    "a temperature",
    "22 degC",
    "degC",
    [
        unit(&["degC", "\u{b0}C", "C"], 1, 0),
        Unit {
            spelled: &["degF", "\u{b0}F", "F"],
            numerator: 5,
            denominator: 9,
            power: 0,
            offset: -160.0 / 9.0,
        },
    ]
);
spelled!(TemperatureDifference, "a difference of temperatures", "70 K", "K", [unit(&["K"], 1, 0)]);
spelled!(
    Duration,
    "a span of time",
    "12 h",
    "s",
    [unit(&["h"], 3600, 0), unit(&["min"], 60, 0), unit(&["s"], 1, 0),]
);
