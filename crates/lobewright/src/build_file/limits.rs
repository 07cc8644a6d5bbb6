//! What a size can be at all, one row for each key that holds a quantity. The rows feed the
//! reader's check, its message and the generator of test builds. They keep out slips of units
//! and decimals, from the smallest rotaries of model aircraft to stationary engines; they are
//! wide common practice, no source, and no advice. [`speed`] has the rows of the rotor at speed,
//! [`balance`] those of balance, [`assembly`] those of what is read when the engine goes together,
//! [`condition`] those of what is read on used parts, [`machine_tool`] those of machine tools,
//! [`teardown`] those of a teardown.

use kernel::units::{
    Angle, Density, Duration, Expansion, GaugePressure, Length, Mass, Quantity, Speed, Temperature,
    TemperatureDifference,
};
use std::sync::OnceLock;

/// The least and the most that a quantity can be.
#[derive(Debug)]
pub struct Limit<Q> {
    /// What it is, with its article: "a step".
    pub name: &'static str,
    /// The least, in `unit`.
    pub least: f64,
    /// Whether the least itself is refused.
    pub above: bool,
    /// The most, in `unit`.
    pub most: f64,
    /// The unit of both.
    pub unit: &'static str,
    /// Something right, as the file writes it.
    pub example: &'static str,
    /// Both bounds, converted once.
    bounds: OnceLock<(Q, Q)>,
}

impl<Q: Quantity> Limit<Q> {
    /// The least as text with its unit.
    #[must_use]
    pub fn least_text(&self) -> String {
        format!("{} {}", self.least, self.unit)
    }

    /// The most as text with its unit.
    #[must_use]
    pub fn most_text(&self) -> String {
        format!("{} {}", self.most, self.unit)
    }

    /// What is accepted, in words: `a step from -1 mm to 3 mm, such as "95 um"`.
    #[must_use]
    pub fn expected(&self) -> String {
        let (name, least, most) = (self.name, self.least_text(), self.most_text());
        let range = if self.above {
            format!("above {least}, at most {most}")
        } else {
            format!("from {least} to {most}")
        };
        format!("{name} {range}, such as {:?}", self.example)
    }

    /// Says how a value is outside, if it is. The bounds go through the same conversion as what
    /// a shop writes, so that a value equal to one is inside, to the last bit.
    #[must_use]
    pub fn broken_by(&self, value: Q) -> Option<String> {
        let (least, most) = *self.bounds.get_or_init(|| {
            let bound = |text: &str| Q::parse(text).unwrap_or(Q::from_si(f64::NAN));
            (bound(&self.least_text()), bound(&self.most_text()))
        });
        let (si, least, most) = (value.si(), least.si(), most.si());
        if self.above && si <= least {
            Some(format!("is not above {}", self.least_text()))
        } else if si < least {
            Some(format!("is less than {}", self.least_text()))
        } else if si > most {
            Some(format!("is more than {}", self.most_text()))
        } else {
            None
        }
    }
}

/// The least and the most that a plain number can be, both included.
#[derive(Debug)]
pub struct Share {
    /// What it is, with its article: "a compression ratio".
    pub name: &'static str,
    /// The least.
    pub least: f64,
    /// The most.
    pub most: f64,
    /// Something right.
    pub example: f64,
    /// Why the least is where it is, where that helps; else empty.
    pub why: &'static str,
}

impl Share {
    /// What is accepted, in words: `a compression ratio from 3 to 25, such as 9.0`.
    #[must_use]
    pub fn expected(&self) -> String {
        format!("{} from {} to {}, such as {:?}", self.name, self.least, self.most, self.example)
    }

    /// Says how a number is outside, if it is.
    #[must_use]
    pub fn broken_by(&self, value: f64) -> Option<String> {
        if !value.is_finite() {
            Some("is not finite".to_owned())
        } else if value < self.least {
            Some(format!("is less than {}", self.least))
        } else if value > self.most {
            Some(format!("is more than {}", self.most))
        } else {
            None
        }
    }
}

/// One row: `ROW: Type = "a name", from LEAST to MOST (or above LEAST to MOST), "unit", "example";`.
macro_rules! rows {
    (@above from) => { false };
    (@above above) => { true };
    ($( $row:ident : $quantity:ty = $name:literal, $op:ident $least:literal to $most:literal,
        $unit:literal, $example:literal; )+) => {
        $(
            #[doc = concat!("Limits of ", $name, ".")]
            pub static $row: Limit<$quantity> = Limit {
                name: $name,
                least: $least,
                above: rows!(@above $op),
                most: $most,
                unit: $unit,
                example: $example,
                bounds: OnceLock::new(),
            };
        )+

        /// Checks every row: its bounds and example are readable, ordered and inside.
        #[cfg(test)]
        fn each_row(check: &mut dyn FnMut(&str, f64, f64, f64, bool)) {
            $(
                let read = <$quantity as kernel::units::Quantity>::parse;
                let bound = |text: &str| kernel::units::Quantity::si(read(text).unwrap());
                check(
                    $name,
                    bound(&$row.least_text()),
                    bound(&$row.most_text()),
                    bound($row.example),
                    $row.broken_by(read($row.example).unwrap()).is_none(),
                );
            )+
        }
    };
}

/// One row of a plain number: `ROW = "a name", from LEAST to MOST, EXAMPLE, "why";`.
macro_rules! shares {
    ($( $row:ident = $name:literal, from $least:literal to $most:literal, $example:literal,
        $why:literal; )+) => {
        $(
            #[doc = concat!("Limits of ", $name, ".")]
            pub static $row: Share = Share {
                name: $name,
                least: $least,
                most: $most,
                example: $example,
                why: $why,
            };
        )+

        /// Every row, for the test of them all.
        #[cfg(test)]
        const SHARES: &[&Share] = &[$(&$row),+];
    };
}

pub mod assembly;
pub mod balance;
pub mod condition;
pub mod machine_tool;
pub mod speed;
pub mod teardown;

rows! {
    SPEED: Speed = "a shaft speed", above 0.0 to 30_000.0, "rpm", "9800 rpm";
    BOOST: GaugePressure = "a boost above atmosphere", from -1.0 to 6.0, "bar", "0.9 bar";
    RUNNING: Duration = "a running time", above 0.0 to 50_000.0, "h", "12 h";
    RISE: TemperatureDifference = "a rise above 20 degC", from 0.0 to 400.0, "K", "70 K";

    GENERATING_RADIUS: Length = "a generating radius", from 30.0 to 400.0, "mm", "101.5 mm";
    ECCENTRICITY: Length = "an eccentricity", from 3.0 to 60.0, "mm", "14.5 mm";
    PARALLEL_SHIFT: Length = "a parallel shift", from 0.0 to 20.0, "mm", "2.5 mm";
    LAND_RADIUS: Length = "an outer radius of the land", from 10.0 to 400.0, "mm", "61 mm";
    LAND_INNER_RADIUS: Length = "an inner radius of the land", from 5.0 to 400.0, "mm", "48 mm";
    ROTOR_TIP_RADIUS: Length = "a radius of the tips", from 20.0 to 420.0, "mm", "99 mm";
    READING_RADIUS: Length = "a radius where steps are read", from 10.0 to 420.0, "mm", "95 mm";
    RECESS: Length = "a recess", from 0.0 to 30.0, "mm", "0.6 mm";
    LAYER: Length = "a depth of layer or lead-in", from 0.0 to 5.0, "mm", "0.4 mm";
    EXPANSION: Expansion = "an expansion", from 1.0 to 40.0, "um/m/K", "11.0e-6 /K";
    DENSITY: Density = "a density", from 1000.0 to 12_000.0, "kg/m3", "7100 kg/m3";

    REPEAT: Length = "a standard uncertainty of one reading", above 0.0 to 0.1, "mm", "2 um";
    ZERO: Length = "a standard uncertainty of a gauge's zero", from 0.0 to 0.1, "mm", "1 um";
    TEMPERATURE: Temperature = "a temperature", from -40.0 to 60.0, "degC", "22 degC";
    TEMPERATURE_U: TemperatureDifference =
        "a standard uncertainty of a temperature", from 0.0 to 20.0, "K", "1 K";
    CAPABILITY: Length = "a standard deviation of finished sizes", above 0.0 to 0.1, "mm", "2.5 um";
    LEAST_CUT: Length = "a least cut", from 0.0 to 0.5, "mm", "10 um";

    WIDTH: Length = "a width", from 20.0 to 250.0, "mm", "79.915 mm";
    CLAMP_UP: Length = "a clamp-up", from 0.0 to 0.3, "mm", "30 um";
    CLAMP_UP_U: Length = "a standard uncertainty of a clamp-up", from 0.0 to 0.1, "mm", "5 um";
    WEAR: Length = "a depth of wear", from 0.0 to 2.0, "mm", "15 um";
    CENTRAL_BORE: Length = "a radius of a central bore", from 5.0 to 400.0, "mm", "44 mm";
    PORT_RADIUS: Length = "a radius of a port", from 0.0 to 450.0, "mm", "70 mm";
    PORT_ANGLE: Angle = "an angle of a port", from -360.0 to 360.0, "deg", "30 deg";
    MASS: Mass = "a mass", from 50.0 to 60_000.0, "g", "4312 g";
    STEP: Length = "a step", from -1.0 to 3.0, "mm", "95 um";
    RUNOUT: Length = "a run-out", from -1.0 to 1.0, "mm", "6 um";
    SQUARENESS_U: Length = "a standard uncertainty of squareness", from 0.0 to 0.1, "mm", "5 um";

    CLEARANCE: Length = "a clearance", from 0.0 to 3.0, "mm", "0.22 mm";
    STEP_TARGET: Length = "a step to aim at", from 0.0 to 3.0, "mm", "5 thou";
    TOLERANCE: Length = "a tolerance", above 0.0 to 1.0, "mm", "20 um";
    MATCH: Length = "a match", above 0.0 to 1.0, "mm", "8 um";
    CUT_LIMIT: Length = "a cut", from 0.0 to 5.0, "mm", "0.15 mm";
    OVERHANG: Length = "an overhang", from 0.0 to 3.0, "mm", "0.3 mm";
    ENGAGEMENT: Length = "an engagement", from 0.0 to 40.0, "mm", "3 mm";
    SPRING_MARGIN: Length = "a spring margin", from 0.0 to 5.0, "mm", "0.3 mm";

    SEAL_LENGTH: Length = "a length of an apex seal", from 15.0 to 260.0, "mm", "79.96 mm";
    SEAL_HEIGHT: Length = "a height of a seal", from 0.5 to 60.0, "mm", "7.5 mm";
    GROOVE_DEPTH: Length = "a depth of a groove", from 0.5 to 60.0, "mm", "9 mm";
    GROOVE_WIDTH: Length = "a width of a groove", from 0.2 to 30.0, "mm", "2 mm";
    GROOVE_LENGTH: Length = "a length of a groove", from 5.0 to 800.0, "mm", "150 mm";
    SEAL_RADIUS: Length = "a radius of a seal", from 5.0 to 420.0, "mm", "96 mm";
    BORE_DIAMETER: Length = "a diameter of a corner seal bore", from 2.0 to 60.0, "mm", "11 mm";
    RUNNING_GAP: Length = "a running gap", from 0.0 to 3.0, "mm", "0.4 mm";
    SPRING_ROOM: Length = "a spring room", from 0.0 to 40.0, "mm", "1.2 mm";
    PROTRUSION: Length = "a protrusion", from 0.0 to 10.0, "mm", "0.6 mm";
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Looks at a row: name, least, most, example, and whether the example is inside.
    type Look<'a> = &'a mut dyn FnMut(&str, f64, f64, f64, bool);

    /// How many rows there are, each readable, ordered and with its example inside.
    pub(super) fn right(each_row: fn(Look<'_>)) -> usize {
        let mut rows = 0;
        each_row(&mut |name, least, most, example, inside| {
            assert!(least < most, "{name}");
            assert!(least <= example && example <= most && inside, "{name}");
            rows += 1;
        });
        rows
    }

    /// The same of plain numbers.
    pub(super) fn right_shares(shares: &[&Share]) -> usize {
        for share in shares {
            assert!(share.least < share.most, "{}", share.name);
            assert_eq!(share.broken_by(share.example), None, "{}", share.name);
        }
        shares.len()
    }

    #[test]
    fn every_row_is_readable_ordered_and_holds_its_example() {
        assert_eq!(right(each_row), 50);
    }

    #[test]
    fn a_bound_is_inside_and_the_next_value_is_not() {
        assert_eq!(STEP.broken_by(Length::parse("3 mm").unwrap()), None);
        let more = STEP.broken_by(Length::parse("3.0001 mm").unwrap());
        assert_eq!(more.unwrap(), "is more than 3 mm");
        assert_eq!(STEP.broken_by(Length::parse("-1 mm").unwrap()), None);
        let less = STEP.broken_by(Length::parse("-1.1 mm").unwrap());
        assert_eq!(less.unwrap(), "is less than -1 mm");
        assert_eq!(REPEAT.broken_by(Length::ZERO).unwrap(), "is not above 0 mm");
    }
}
