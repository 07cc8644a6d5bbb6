//! Quantities of machine tools.

use super::quantity::quantity;
use std::iter::Sum;
use std::ops::{Add, AddAssign, Div, Mul, Neg, Sub, SubAssign};

quantity! {
    /// How fast a cutting edge goes over the work, or a slide of the machine travels; SI unit
    /// metre per second. A type of its own, so that the velocity of a vibration is never taken
    /// for one. A foot is 0.3048 m exactly [ISO-80000-3].
    CuttingSpeed,
    /// From metres per second.
    m_per_s / to_m_per_s: * 1.0,
    /// From metres per minute.
    m_per_min / to_m_per_min: / 60.0,
    /// From feet per minute.
    ft_per_min / to_ft_per_min: * 0.00508,
}

#[cfg(test)]
mod tests {
    use super::super::Quantity;
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn every_unit_has_its_size() {
        for (text, m_per_s) in [
            ("90 m/min", 1.5),
            ("300 ft/min", 1.524),
            ("6000 mm/min", 0.1),
            ("600 in/min", 0.254),
            ("1.5 m/s", 1.5),
        ] {
            assert_eq!(CuttingSpeed::parse(text).unwrap().to_m_per_s(), m_per_s, "{text}");
        }
        assert_eq!(CuttingSpeed::units().len(), 5, "a unit is not checked");
        assert_eq!(CuttingSpeed::m_per_min(70.0), CuttingSpeed::parse("70 m/min").unwrap());
        assert_eq!(CuttingSpeed::ft_per_min(250.0), CuttingSpeed::parse("250 ft/min").unwrap());
        assert!((CuttingSpeed::ft_per_min(230.0).to_m_per_min() - 70.104).abs() < 1e-12);
    }

    #[test]
    fn what_would_be_misread_is_refused_with_the_cure() {
        let said = |text: &str| CuttingSpeed::parse(text).unwrap_err().to_string();
        assert!(said("230 sfm").contains("write ft/min"));
        assert!(said("400 rpm").contains("no unit of a cutting speed"));
        assert!(said("70").contains("write \"70 m/min\""));
    }

    proptest! {
        #[test]
        fn written_then_read_is_the_same_bits(si in -1e3..1e3f64) {
            let value = CuttingSpeed::from_si(si);
            prop_assert_eq!(CuttingSpeed::parse(&value.written()).unwrap(), value);
        }
    }
}
