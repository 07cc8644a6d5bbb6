//! The types: one per meaning, so that a gauge pressure cannot be taken for an absolute one, nor
//! a temperature for a difference of two.

use std::iter::Sum;
use std::ops::{Add, AddAssign, Div, Mul, Neg, Sub, SubAssign};

/// Defines a quantity stored as `f64` in its SI unit, with a constructor and a reader per unit.
/// `scale` is the unit's size in SI; values at or below 1 are given as a divisor, because
/// dividing by 1000 rounds correctly where multiplying by 0.001 does not.
macro_rules! quantity {
    (
        $(#[$doc:meta])* $name:ident,
        $( $(#[$unit_doc:meta])* $make:ident / $read:ident : $op:tt $scale:expr ),+ $(,)?
    ) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Default)]
        pub struct $name(pub(super) f64);

        impl $name {
            /// Nothing of it.
            pub const ZERO: Self = Self(0.0);

            $(
                $(#[$unit_doc])*
                #[must_use]
                pub const fn $make(value: f64) -> Self {
                    Self(quantity!(@in $op value, $scale))
                }

                /// The value read in this unit.
                #[must_use]
                pub const fn $read(self) -> f64 {
                    quantity!(@out $op self.0, $scale)
                }
            )+

            /// The larger of two.
            #[must_use]
            pub const fn max(self, other: Self) -> Self {
                Self(self.0.max(other.0))
            }

            /// The smaller of two.
            #[must_use]
            pub const fn min(self, other: Self) -> Self {
                Self(self.0.min(other.0))
            }

            /// Its size without the sign.
            #[must_use]
            pub const fn abs(self) -> Self {
                Self(self.0.abs())
            }

            /// Neither infinite nor a NaN.
            #[must_use]
            pub const fn is_finite(self) -> bool {
                self.0.is_finite()
            }
        }

        impl Add for $name {
            type Output = Self;
            fn add(self, other: Self) -> Self {
                Self(self.0 + other.0)
            }
        }
        impl AddAssign for $name {
            fn add_assign(&mut self, other: Self) {
                self.0 += other.0;
            }
        }
        impl Sub for $name {
            type Output = Self;
            fn sub(self, other: Self) -> Self {
                Self(self.0 - other.0)
            }
        }
        impl SubAssign for $name {
            fn sub_assign(&mut self, other: Self) {
                self.0 -= other.0;
            }
        }
        impl Neg for $name {
            type Output = Self;
            fn neg(self) -> Self {
                Self(-self.0)
            }
        }
        impl Mul<f64> for $name {
            type Output = Self;
            fn mul(self, factor: f64) -> Self {
                Self(self.0 * factor)
            }
        }
        impl Div<f64> for $name {
            type Output = Self;
            fn div(self, divisor: f64) -> Self {
                Self(self.0 / divisor)
            }
        }
        impl Div for $name {
            type Output = f64;
            fn div(self, other: Self) -> f64 {
                self.0 / other.0
            }
        }
        impl Sum for $name {
            fn sum<I: Iterator<Item = Self>>(values: I) -> Self {
                // From plus zero: the sum of no floats is minus zero.
                values.fold(Self::ZERO, Self::add)
            }
        }
    };
    (@in * $value:expr, $scale:expr) => { $value * $scale };
    (@in / $value:expr, $scale:expr) => { $value / $scale };
    (@out * $value:expr, $scale:expr) => { $value / $scale };
    (@out / $value:expr, $scale:expr) => { $value * $scale };
}
pub(super) use quantity;

quantity! {
    /// A length, height, clearance or cut; SI unit metre. 1 in = 25.4 mm exactly [ISO-80000-3].
    Length,
    /// From metres.
    m / to_m: * 1.0,
    /// From millimetres.
    mm / to_mm: / 1e3,
    /// From micrometres.
    um / to_um: / 1e6,
    /// From inches.
    inch / to_inch: * 0.0254,
    /// From thousandths of an inch.
    thou / to_thou: * 25.4e-6,
}

quantity! {
    /// An area; SI unit square metre.
    Area,
    /// From square metres.
    m2 / to_m2: * 1.0,
    /// From square millimetres.
    mm2 / to_mm2: / 1e6,
    /// From square centimetres.
    cm2 / to_cm2: / 1e4,
}

quantity! {
    /// A volume; SI unit cubic metre.
    Volume,
    /// From cubic metres.
    m3 / to_m3: * 1.0,
    /// From cubic centimetres.
    cm3 / to_cm3: / 1e6,
    /// From cubic millimetres.
    mm3 / to_mm3: / 1e9,
}

quantity! {
    /// A mass; SI unit kilogram.
    Mass,
    /// From kilograms.
    kg / to_kg: * 1.0,
    /// From grams.
    g / to_g: / 1e3,
}

quantity! {
    /// A density; SI unit kilogram per cubic metre.
    Density,
    /// From kilograms per cubic metre.
    kg_per_m3 / to_kg_per_m3: * 1.0,
}

quantity! {
    /// Mean linear thermal expansion over the range it is used in; SI unit 1/K.
    Expansion,
    /// From the fraction of its length that a part grows per kelvin.
    per_k / to_per_k: * 1.0,
}

quantity! {
    /// An angle; SI unit radian.
    Angle,
    /// From radians.
    rad / to_rad: * 1.0,
    /// From degrees.
    deg / to_deg: * (std::f64::consts::PI / 180.0),
}

quantity! {
    /// A speed of rotation of the eccentric shaft; SI unit radian per second. The rotor turns at
    /// a third of it.
    Speed,
    /// From radians per second.
    rad_per_s / to_rad_per_s: * 1.0,
    /// From revolutions per minute.
    rpm / to_rpm: * (std::f64::consts::PI / 30.0),
}

quantity! {
    /// A pressure above the atmosphere (boost); SI unit pascal.
    GaugePressure,
    /// From pascals.
    pa / to_pa: * 1.0,
    /// From bars.
    bar / to_bar: * 1e5,
}

quantity! {
    /// A temperature, in degrees Celsius. Reference for every size: 20 °C [ISO-1].
    Temperature,
    /// From degrees Celsius.
    deg_c / to_deg_c: * 1.0,
}

quantity! {
    /// A difference of temperatures, or a rise above 20 °C; SI unit kelvin.
    TemperatureDifference,
    /// From kelvins.
    k / to_k: * 1.0,
}

quantity! {
    /// A span of time; SI unit second.
    Duration,
    /// From seconds.
    s / to_s: * 1.0,
    /// From hours.
    h / to_h: * 3600.0,
}

impl Temperature {
    /// The reference temperature of every size, 20 °C exactly [ISO-1].
    pub const REFERENCE: Self = Self::deg_c(20.0);

    /// How far above the reference temperature this is.
    #[must_use]
    pub const fn above_reference(self) -> TemperatureDifference {
        TemperatureDifference::k(self.0 - Self::REFERENCE.0)
    }
}

impl Mul for Length {
    type Output = Area;
    fn mul(self, other: Self) -> Area {
        Area::m2(self.0 * other.0)
    }
}

impl Mul<Length> for Area {
    type Output = Volume;
    fn mul(self, height: Length) -> Volume {
        Volume::m3(self.0 * height.to_m())
    }
}

impl Mul<Density> for Volume {
    type Output = Mass;
    fn mul(self, density: Density) -> Mass {
        Mass::kg(self.0 * density.0)
    }
}

impl Mul<TemperatureDifference> for Expansion {
    /// The strain: growth as a fraction of the length.
    type Output = f64;
    fn mul(self, rise: TemperatureDifference) -> f64 {
        self.0 * rise.0
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_inch_is_25_4_mm() {
        assert_eq!(Length::inch(1.0), Length::mm(25.4));
        assert_eq!(Length::thou(5.0).to_um().round(), 127.0);
    }

    #[test]
    fn turns_and_degrees() {
        assert!((Speed::rpm(60.0).to_rad_per_s() - std::f64::consts::TAU).abs() < 1e-15);
        assert!((Angle::deg(180.0).to_rad() - std::f64::consts::PI).abs() < 1e-15);
    }

    #[test]
    fn a_volume_times_a_density_is_a_mass() {
        let disc = Length::mm(100.0) * Length::mm(100.0) * Length::mm(1.0);
        assert!(((disc * Density::kg_per_m3(7100.0)).to_g() - 71.0).abs() < 1e-12);
    }
}
