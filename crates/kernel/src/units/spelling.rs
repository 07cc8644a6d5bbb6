//! How units are spelled in a shop, what each is exactly, and the spellings that are refused.

use super::machining::CuttingSpeed;
use super::mechanical::{
    AngularDamping, AngularStiffness, Damping, ElasticModulus, Force, MomentOfInertia,
    SpecificEnergy, Stiffness, Torque, Unbalance, Velocity, Viscosity,
};
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
        ("a torque", "lb ft" | "ft lb" | "lb-ft" | "ft-lb" | "lbs ft" | "lb in" | "in lb") => {
            Some("lb is kept for masses; write lbf ft or lbf in")
        }
        ("a force", "lb" | "lbs" | "kg" | "g") => {
            Some("lb, kg and g are kept for masses; write lbf, kgf or N")
        }
        ("a stiffness", "lb/in" | "lbs/in") => Some("lb is kept for masses; write lbf/in"),
        ("a viscosity", "cSt" | "St" | "mm2/s" | "mm\u{b2}/s") => {
            Some("that is viscosity over density; write the dynamic viscosity in mPa s")
        }
        ("a cutting speed", "sfm" | "SFM" | "sfpm" | "fpm") => Some("write ft/min"),
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

/// A pound-force is 4.4482216152605 N exactly: the pound [ISO-80000-3] under the standard
/// acceleration of 9.80665 m/s^2. In units of 10^-13 N.
const POUND_FORCE: u128 = 44_482_216_152_605;
/// A pound is 0.45359237 kg exactly. In units of 10^-8 kg.
const POUND: u128 = 45_359_237;

spelled!(
    Stiffness,
    "a stiffness",
    "300 N/um",
    "N/m",
    [
        unit(&["N/um", "N/\u{b5}m", "N/\u{3bc}m"], 1, 6),
        unit(&["kN/mm"], 1, 6),
        unit(&["MN/m"], 1, 6),
        unit(&["N/mm"], 1, 3),
        unit(&["kN/m"], 1, 3),
        unit(&["N/m"], 1, 0),
        ratio(&["lbf/in"], POUND_FORCE, 254, -9),
    ]
);
spelled!(
    AngularStiffness,
    "an angular stiffness",
    "40 kN m/rad",
    "N m/rad",
    [
        unit(&["kN m/rad", "kN\u{b7}m/rad", "kNm/rad"], 1, 3),
        unit(&["MN m/rad", "MN\u{b7}m/rad", "MNm/rad"], 1, 6),
        unit(&["N m/rad", "N\u{b7}m/rad", "Nm/rad"], 1, 0),
        unit(&["lbf in/rad"], POUND_FORCE * 254, -17),
    ]
);
spelled!(
    Damping,
    "a damping",
    "100 kN s/m",
    "N s/m",
    [
        unit(&["kN s/m", "kN\u{b7}s/m", "kNs/m"], 1, 3),
        unit(&["N s/mm", "N\u{b7}s/mm", "Ns/mm"], 1, 3),
        unit(&["N s/m", "N\u{b7}s/m", "Ns/m"], 1, 0),
        ratio(&["lbf s/in"], POUND_FORCE, 254, -9),
    ]
);
spelled!(
    AngularDamping,
    "an angular damping",
    "1.2 kN m s/rad",
    "N m s/rad",
    [
        unit(&["kN m s/rad", "kN\u{b7}m\u{b7}s/rad", "kNms/rad"], 1, 3),
        unit(&["N m s/rad", "N\u{b7}m\u{b7}s/rad", "Nms/rad"], 1, 0),
        unit(&["lbf in s/rad"], POUND_FORCE * 254, -17),
    ]
);
spelled!(
    Unbalance,
    "an unbalance",
    "31000 g mm",
    "kg m",
    [
        unit(&["g mm", "g\u{b7}mm", "gmm"], 1, -6),
        unit(&["g cm", "g\u{b7}cm"], 1, -5),
        unit(&["kg mm", "kg\u{b7}mm"], 1, -3),
        unit(&["kg m", "kg\u{b7}m"], 1, 0),
        ratio(&["oz in"], POUND * 254, 16, -12),
    ]
);
spelled!(
    MomentOfInertia,
    "a moment of inertia",
    "0.021 kg m2",
    "kg m2",
    [
        unit(&["kg m2", "kg\u{b7}m2", "kg m\u{b2}", "kg\u{b7}m\u{b2}"], 1, 0),
        unit(&["kg cm2", "kg\u{b7}cm2", "kg cm\u{b2}", "kg\u{b7}cm\u{b2}"], 1, -4),
        unit(&["kg mm2", "kg\u{b7}mm2", "kg mm\u{b2}", "kg\u{b7}mm\u{b2}"], 1, -6),
        unit(&["g m2", "g\u{b7}m2", "g m\u{b2}", "g\u{b7}m\u{b2}"], 1, -3),
        unit(&["lb in2", "lb in\u{b2}"], POUND * 64_516, -16),
    ]
);
spelled!(
    Torque,
    "a torque",
    "12 N m",
    "N m",
    [
        unit(&["N m", "N\u{b7}m", "Nm"], 1, 0),
        unit(&["kN m", "kN\u{b7}m", "kNm"], 1, 3),
        unit(&["lbf ft", "ft lbf"], POUND_FORCE * 3048, -17),
        unit(&["lbf in", "in lbf"], POUND_FORCE * 254, -17),
    ]
);
spelled!(
    Force,
    "a force",
    "42 N",
    "N",
    [
        unit(&["N"], 1, 0),
        unit(&["kN"], 1, 3),
        unit(&["lbf"], POUND_FORCE, -13),
        // 9.80665 N exactly, by the standard acceleration.
        unit(&["kgf"], 980_665, -5),
    ]
);
spelled!(
    Velocity,
    "a velocity",
    "4.1 mm/s",
    "m/s",
    [
        unit(&["mm/s"], 1, -3),
        unit(&["um/s", "\u{b5}m/s", "\u{3bc}m/s"], 1, -6),
        unit(&["m/s"], 1, 0),
        unit(&["in/s", "ips"], 254, -4),
    ]
);
spelled!(
    ElasticModulus,
    "a modulus",
    "205 GPa",
    "Pa",
    [
        unit(&["GPa", "kN/mm2", "kN/mm\u{b2}"], 1, 9),
        unit(&["MPa", "N/mm2", "N/mm\u{b2}"], 1, 6),
        ratio(&["ksi"], POUND_FORCE, 64_516, -2),
        ratio(&["psi"], POUND_FORCE, 64_516, -5),
        unit(&["Pa"], 1, 0),
    ]
);
spelled!(
    Viscosity,
    "a viscosity",
    "9 mPa s",
    "Pa s",
    [
        unit(&["mPa s", "mPa\u{b7}s", "mPas"], 1, -3),
        unit(&["cP"], 1, -3),
        unit(&["Pa s", "Pa\u{b7}s", "Pas"], 1, 0),
    ]
);
spelled!(
    SpecificEnergy,
    "a heat per mass",
    "2.6 MJ/kg",
    "J/kg",
    [
        unit(&["MJ/kg"], 1, 6),
        unit(&["kJ/kg", "J/g"], 1, 3),
        unit(&["J/kg"], 1, 0),
        unit(&["Btu/lb"], 2326, 0),
    ]
);
spelled!(
    CuttingSpeed,
    "a cutting speed",
    "70 m/min",
    "m/s",
    [
        ratio(&["m/min"], 1, 60, 0),
        unit(&["ft/min"], 508, -5),
        ratio(&["mm/min"], 1, 60, -3),
        ratio(&["in/min"], 254, 60, -4),
        unit(&["m/s"], 1, 0),
    ]
);
