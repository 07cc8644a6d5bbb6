//! Quantities of shafts, bearings, oil and charge: what a rotor at speed depends on.
//!
//! Stiffness and damping against tilt are types of their own, so that a moment per radian cannot
//! be taken for a force per metre. Slopes are small: a radian of tilt is a metre per metre.

use super::quantity::quantity;
use std::iter::Sum;
use std::ops::{Add, AddAssign, Div, Mul, Neg, Sub, SubAssign};

quantity! {
    /// A stiffness, force per displacement; SI unit newton per metre.
    Stiffness,
    /// From newtons per metre.
    n_per_m / to_n_per_m: * 1.0,
    /// From newtons per micrometre.
    n_per_um / to_n_per_um: * 1e6,
}

quantity! {
    /// A stiffness against tilt, moment per angle; SI unit newton metre per radian.
    AngularStiffness,
    /// From newton metres per radian.
    n_m_per_rad / to_n_m_per_rad: * 1.0,
    /// From kilonewton metres per radian.
    kn_m_per_rad / to_kn_m_per_rad: * 1e3,
}

quantity! {
    /// A viscous damping, force per velocity; SI unit newton second per metre.
    Damping,
    /// From newton seconds per metre.
    n_s_per_m / to_n_s_per_m: * 1.0,
    /// From kilonewton seconds per metre.
    kn_s_per_m / to_kn_s_per_m: * 1e3,
}

quantity! {
    /// A viscous damping against tilt, moment per rate of tilt; SI unit newton metre second per
    /// radian.
    AngularDamping,
    /// From newton metre seconds per radian.
    n_m_s_per_rad / to_n_m_s_per_rad: * 1.0,
    /// From kilonewton metre seconds per radian.
    kn_m_s_per_rad / to_kn_m_s_per_rad: * 1e3,
}

quantity! {
    /// The amount of an unbalance, mass times its distance from the axis; SI unit kilogram
    /// metre. Its direction is an [`Angle`](super::Angle) beside it.
    Unbalance,
    /// From kilogram metres.
    kg_m / to_kg_m: * 1.0,
    /// From gram millimetres.
    g_mm / to_g_mm: / 1e6,
    /// From ounce inches: 0.45359237 kg / 16 times 25.4 mm, exactly.
    oz_in / to_oz_in: * 7.200_778_873_75e-4,
}

quantity! {
    /// A moment of inertia of mass, polar (about the shaft or the rotor's axis) or diametral
    /// (about a line square to it); SI unit kilogram square metre.
    MomentOfInertia,
    /// From kilogram square metres.
    kg_m2 / to_kg_m2: * 1.0,
    /// From kilogram square millimetres.
    kg_mm2 / to_kg_mm2: / 1e6,
}

quantity! {
    /// A torque about an axis; SI unit newton metre.
    Torque,
    /// From newton metres.
    n_m / to_n_m: * 1.0,
    /// From pound-force feet: 4.4482216152605 N times 304.8 mm, exactly.
    lbf_ft / to_lbf_ft: * 1.355_817_948_331_400_4,
}

quantity! {
    /// A force, as the load of a spring; SI unit newton.
    Force,
    /// From newtons.
    n / to_n: * 1.0,
    /// From pounds-force: 0.45359237 kg under 9.80665 m/s², exactly.
    lbf / to_lbf: * 4.448_221_615_260_5,
}

quantity! {
    /// A velocity, as of vibration; SI unit metre per second.
    Velocity,
    /// From metres per second.
    m_per_s / to_m_per_s: * 1.0,
    /// From millimetres per second.
    mm_per_s / to_mm_per_s: / 1e3,
}

quantity! {
    /// A modulus of elasticity; SI unit pascal.
    ElasticModulus,
    /// From pascals.
    pa / to_pa: * 1.0,
    /// From gigapascals.
    gpa / to_gpa: * 1e9,
}

quantity! {
    /// A dynamic viscosity; SI unit pascal second.
    Viscosity,
    /// From pascal seconds.
    pa_s / to_pa_s: * 1.0,
    /// From millipascal seconds.
    mpa_s / to_mpa_s: / 1e3,
}

quantity! {
    /// Heat per mass of what it is released in; SI unit joule per kilogram.
    SpecificEnergy,
    /// From joules per kilogram.
    j_per_kg / to_j_per_kg: * 1.0,
    /// From megajoules per kilogram.
    mj_per_kg / to_mj_per_kg: * 1e6,
}

#[cfg(test)]
mod tests {
    use super::super::{Area, Quantity};
    use super::*;
    use proptest::prelude::*;

    /// Sizes in SI of every unit of a quantity, from the defining constants: inch, pound and
    /// standard acceleration, multiplied out as fractions to all their digits.
    fn each_is<Q: Quantity>(sizes: &[(&str, f64)]) {
        for (text, si) in sizes {
            let read = Q::parse(text).unwrap().si();
            assert!((read - si).abs() <= 2e-16 * si.abs(), "{text}: {read:e}, not {si:e}");
        }
        for unit in Q::units() {
            let spelled = unit.spelled;
            assert!(
                sizes
                    .iter()
                    .any(|(text, _)| spelled.iter().any(|s| text.ends_with(&format!(" {s}")))),
                "{spelled:?} is not checked"
            );
            for spelling in spelled {
                let alike = Q::parse(&format!("7 {spelling}")).unwrap().si();
                let first = Q::parse(&format!("7 {}", spelled[0])).unwrap().si();
                assert_eq!(alike, first, "{spelling}");
            }
        }
    }

    #[test]
    fn every_unit_has_its_size() {
        each_is::<Stiffness>(&[
            ("300 N/um", 3e8),
            ("300 N/\u{b5}m", 3e8),
            ("0.3 kN/mm", 3e5),
            ("0.3 MN/m", 3e5),
            ("12 N/mm", 12e3),
            ("12 kN/m", 12e3),
            ("12 N/m", 12.0),
            ("1 lbf/in", 175.126_835_246_476_36),
        ]);
        each_is::<AngularStiffness>(&[
            ("40 kN m/rad", 4e4),
            ("40 kN\u{b7}m/rad", 4e4),
            ("0.04 MN m/rad", 4e4),
            ("40 N m/rad", 40.0),
            ("1 lbf in/rad", 0.112_984_829_027_616_7),
        ]);
        each_is::<Damping>(&[
            ("100 kN s/m", 1e5),
            ("100 N s/mm", 1e5),
            ("100 N s/m", 100.0),
            ("1 lbf s/in", 175.126_835_246_476_36),
        ]);
        each_is::<AngularDamping>(&[
            ("1.2 kN m s/rad", 1200.0),
            ("1.2 N m s/rad", 1.2),
            ("1 lbf in s/rad", 0.112_984_829_027_616_7),
        ]);
        each_is::<Unbalance>(&[
            ("31000 g mm", 0.031),
            ("31 kg mm", 0.031),
            ("3100 g cm", 0.031),
            ("0.031 kg m", 0.031),
            ("1 oz in", 7.200_778_873_75e-4),
        ]);
        each_is::<MomentOfInertia>(&[
            ("0.021 kg m2", 0.021),
            ("210 kg cm2", 0.021),
            ("21000 kg mm2", 0.021),
            ("21 g m2", 0.021),
            ("1 lb in2", 2.926_396_534_292e-4),
        ]);
        each_is::<Torque>(&[
            ("12 N m", 12.0),
            ("12 Nm", 12.0),
            ("0.012 kN m", 12.0),
            ("1 lbf ft", 1.355_817_948_331_400_4),
            ("1 in lbf", 0.112_984_829_027_616_7),
        ]);
        each_is::<Force>(&[
            ("42 N", 42.0),
            ("0.042 kN", 42.0),
            ("1 lbf", 4.448_221_615_260_5),
            ("1 kgf", 9.806_65),
        ]);
        each_is::<Velocity>(&[
            ("4.1 mm/s", 4.1e-3),
            ("4.1 um/s", 4.1e-6),
            ("4.1 m/s", 4.1),
            ("1 in/s", 0.0254),
        ]);
        each_is::<ElasticModulus>(&[
            ("205 GPa", 205e9),
            ("205000 MPa", 205e9),
            ("205000 N/mm2", 205e9),
            ("1 ksi", 6_894_757.293_168_361),
            ("1 psi", 6_894.757_293_168_361),
            ("7 Pa", 7.0),
        ]);
        each_is::<Viscosity>(&[("9 mPa s", 0.009), ("9 cP", 0.009), ("0.009 Pa s", 0.009)]);
        each_is::<SpecificEnergy>(&[
            ("2.6 MJ/kg", 2.6e6),
            ("2600 kJ/kg", 2.6e6),
            ("2600 J/g", 2.6e6),
            ("9 J/kg", 9.0),
            ("1 Btu/lb", 2326.0),
        ]);
        each_is::<Area>(&[("12 cm2", 12e-4), ("1200 mm2", 12e-4), ("2 in2", 2.0 * 6.4516e-4)]);
    }

    #[test]
    fn makers_and_readers_agree_with_what_is_written() {
        assert_eq!(Stiffness::n_per_um(300.0), Stiffness::parse("300 N/um").unwrap());
        assert_eq!(AngularStiffness::kn_m_per_rad(40.0).to_n_m_per_rad(), 4e4);
        assert_eq!(Damping::kn_s_per_m(100.0).to_n_s_per_m(), 1e5);
        assert_eq!(AngularDamping::kn_m_s_per_rad(1.2).to_n_m_s_per_rad(), 1200.0);
        assert_eq!(Unbalance::g_mm(31_000.0), Unbalance::parse("31000 g mm").unwrap());
        assert_eq!(Unbalance::oz_in(3.0), Unbalance::parse("3 oz in").unwrap());
        assert_eq!(MomentOfInertia::kg_mm2(21_000.0).to_kg_m2(), 0.021);
        assert_eq!(Torque::n_m(12.0), Torque::parse("12 N m").unwrap());
        // A product of two roundings is within two last bits of the one.
        let alike = |made: f64, read: f64| (made - read).abs() <= 4e-16 * read;
        assert!(alike(Torque::lbf_ft(20.0).si(), Torque::parse("20 lbf ft").unwrap().si()));
        assert!((Torque::n_m(27.116_358_966_628_01).to_lbf_ft() - 20.0).abs() < 1e-12);
        assert!(alike(Force::lbf(9.0).si(), Force::parse("9 lbf").unwrap().si()));
        assert_eq!(Force::n(42.0), Force::parse("42 N").unwrap());
        assert_eq!(ElasticModulus::gpa(205.0).to_pa(), 205e9);
        assert_eq!(Viscosity::mpa_s(9.0), Viscosity::parse("9 mPa s").unwrap());
        assert_eq!(SpecificEnergy::mj_per_kg(2.6).to_j_per_kg(), 2.6e6);
        assert_eq!(Area::cm2(12.0), Area::parse("12 cm2").unwrap());
    }

    #[test]
    fn one_value_in_several_units_is_the_same_bits() {
        let stiff = |text: &str| Stiffness::parse(text).unwrap();
        assert_eq!(stiff("0.3 N/um"), stiff("300 N/mm"));
        assert_eq!(stiff("0.3 N/um"), stiff("0.3e6 N/m"));
        let round = |text: &str| Unbalance::parse(text).unwrap();
        // 16 oz in = 1 lb in = 0.45359237 * 25.4 kg mm.
        assert_eq!(round("16 oz in"), round("11.521246198 kg mm"));
    }

    #[test]
    fn what_would_be_misread_is_refused_with_the_cure() {
        let said = |error: super::super::QuantityError| error.to_string();
        assert!(said(Torque::parse("9 lb ft").unwrap_err()).contains("write lbf ft"));
        assert!(said(Stiffness::parse("9 lb/in").unwrap_err()).contains("write lbf/in"));
        assert!(said(Force::parse("9 lb").unwrap_err()).contains("write lbf"));
        assert!(said(Force::parse("4 kg").unwrap_err()).contains("kgf"));
        assert!(said(Viscosity::parse("9 cSt").unwrap_err()).contains("dynamic viscosity"));
        let unknown = said(Stiffness::parse("9 N m").unwrap_err());
        assert_eq!(
            unknown,
            "\"N m\" is no unit of a stiffness; known are N/um, kN/mm, MN/m, N/mm, kN/m, N/m, lbf/in"
        );
        let bare = said(Torque::parse("12").unwrap_err());
        assert_eq!(bare, "a torque needs its unit; write \"12 N m\"");
    }

    fn comes_back<Q: Quantity + PartialEq>(si: f64) -> bool {
        let value = Q::from_si(si);
        Q::parse(&value.written()).is_ok_and(|read| read == value)
    }

    proptest! {
        #[test]
        fn written_then_read_is_the_same_bits(digits in -1.0..1.0f64, power in -9i32..12) {
            let si = digits * 10f64.powi(power);
            prop_assert!(comes_back::<Stiffness>(si) && comes_back::<AngularStiffness>(si));
            prop_assert!(comes_back::<Damping>(si) && comes_back::<AngularDamping>(si));
            prop_assert!(comes_back::<Unbalance>(si) && comes_back::<MomentOfInertia>(si));
            prop_assert!(comes_back::<Torque>(si) && comes_back::<ElasticModulus>(si));
            prop_assert!(comes_back::<Force>(si));
            prop_assert!(comes_back::<Viscosity>(si) && comes_back::<SpecificEnergy>(si));
            prop_assert!(comes_back::<Area>(si) && comes_back::<Velocity>(si));
        }
    }
}
