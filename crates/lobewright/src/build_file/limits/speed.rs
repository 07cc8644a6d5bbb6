//! Limits of what the rotor at speed depends on: shaft, bearings, oil, gas, gear, inertia and
//! uncertainties. Like the others they keep out slips of units and decimals, from model aircraft
//! to stationary engines: wide common practice, no source, and no advice. The comment of a row
//! says what bounds it.

use super::{Limit, Share};
use kernel::units::{
    Angle, AngularDamping, AngularStiffness, Area, Damping, ElasticModulus, GaugePressure, Length,
    Mass, MomentOfInertia, SpecificEnergy, Stiffness, Temperature, TemperatureDifference, Torque,
    Unbalance, Viscosity,
};
use std::sync::OnceLock;

rows! {
    // Magnesium has 45, tungsten carbide 700.
    YOUNG: ElasticModulus = "a Young's modulus", from 5.0 to 700.0, "GPa", "205 GPa";

    // A relief is a millimetre, a plain tail two metres.
    SECTION_LENGTH: Length = "a length of a section", above 0.0 to 2000.0, "mm", "60 mm";
    // Twice the largest land; the thinnest tail that still drives something.
    SECTION_OUTER: Length = "an outer diameter of a section", from 3.0 to 600.0, "mm", "43 mm";
    SECTION_INNER: Length = "an inner diameter of a section", from 0.0 to 590.0, "mm", "20 mm";
    // Six rotors of the widest housing and tails.
    PLACE: Length = "a place along the shaft", from 0.0 to 6000.0, "mm", "110 mm";
    // A turn either way says everything.
    THROW: Angle = "an angle of a throw", from -360.0 to 360.0, "deg", "180 deg";
    WEIGHT_ANGLE: Angle = "an angle of an unbalance", from -360.0 to 360.0, "deg", "180 deg";
    // A rubber mounting below, a solid block of cast iron above.
    SEAT: Stiffness = "a stiffness of a seat", above 0.0 to 100_000.0, "N/um", "300 N/um";
    SEAT_MOMENT: AngularStiffness =
        "a moment stiffness of a seat", above 0.0 to 1e6, "kN m/rad", "40 kN m/rad";
    // A key or a nut; a flywheel of a stationary engine.
    WEIGHT_MASS: Mass = "a mass of a weight", above 0.0 to 500.0, "kg", "2.4 kg";
    UNBALANCE: Unbalance = "an unbalance", from 0.0 to 250_000.0, "kg mm", "31000 g mm";
    INERTIA: MomentOfInertia = "a moment of inertia", above 0.0 to 100.0, "kg m2", "0.0061 kg m2";

    // As thick as the shaft may be.
    BEARING_DIAMETER: Length = "a diameter of a bearing", from 3.0 to 600.0, "mm", "74 mm";
    BEARING_LENGTH: Length = "a length of a bearing", from 2.0 to 250.0, "mm", "60 mm";
    // Finer than grinding gives; wider than anything that carries a film.
    BEARING_CLEARANCE: Length = "a clearance of a bearing", from 0.002 to 2.0, "mm", "0.09 mm";
    BEARING_CLEARANCE_U: Length =
        "a standard uncertainty of a bearing's clearance", from 0.0 to 0.2, "mm", "5 um";
    // Above any finish of journals.
    LEAST_FILM: Length = "a least film", from 0.0 to 50.0, "um", "1 um";
    FILM_STIFFNESS: Stiffness = "a stiffness of a film", above 0.0 to 100_000.0, "N/um", "500 N/um";
    FILM_DAMPING: Damping = "a damping of a film", from 0.0 to 100_000.0, "kN s/m", "100 kN s/m";
    FILM_TILT_STIFFNESS: AngularStiffness =
        "a tilt stiffness of a film", above 0.0 to 1e6, "kN m/rad", "800 kN m/rad";
    FILM_TILT_DAMPING: AngularDamping =
        "a tilt damping of a film", from 0.0 to 10_000.0, "kN m s/rad", "1.2 kN m s/rad";
    // Petrol has 0.5; cold gear oil a thousand times as much.
    VISCOSITY: Viscosity = "a viscosity of the oil", from 0.2 to 1000.0, "mPa s", "9 mPa s";

    // Behind an intercooler full of ice; behind a compressor without one.
    MANIFOLD_TEMPERATURE: Temperature =
        "a temperature of the charge", from -40.0 to 300.0, "degC", "60 degC";
    // No exhaust draws a vacuum of a bar.
    BACK_PRESSURE: GaugePressure = "a back pressure above atmosphere", from -0.9 to 6.0, "bar", "0.3 bar";
    // Strokes are 270 degrees long: peripheral ports open far before a dead centre, none opens
    // half a stroke on the wrong side of it.
    INTAKE_OPENS: Angle = "an angle after top dead centre", from -135.0 to 135.0, "deg", "30 deg";
    INTAKE_CLOSES: Angle = "an angle after bottom dead centre", from -60.0 to 180.0, "deg", "60 deg";
    EXHAUST_OPENS: Angle = "an angle before bottom dead centre", from -60.0 to 180.0, "deg", "75 deg";
    EXHAUST_CLOSES: Angle = "an angle after top dead centre", from -60.0 to 135.0, "deg", "50 deg";
    // A model's pinhole; as large as a large chamber's side.
    PORT_AREA: Area = "an effective area of ports", above 0.0 to 200.0, "cm2", "12 cm2";
    // After top dead centre where knock or an apex seal asks for it.
    IGNITION: Angle = "an angle before top dead centre", from -40.0 to 80.0, "deg", "18 deg";
    BURN: Angle = "an angle of burning", from 5.0 to 250.0, "deg", "95 deg";
    // Petrol at its air 2.8, hydrogen 3.4; a charge thinned with exhaust far less.
    HEAT: SpecificEnergy = "a heat per mass of charge", above 0.0 to 8.0, "MJ/kg", "2.6 MJ/kg";
    WALL_TEMPERATURE: Temperature =
        "a temperature of the walls", from 0.0 to 700.0, "degC", "220 degC";

    // Outwards: the gear is on the gear face's side of the mid-plane.
    GEAR_OFFSET: Length = "an offset of the gear", from 0.0 to 200.0, "mm", "30 mm";
    PRESSURE_ANGLE: Angle = "a pressure angle", from 10.0 to 35.0, "deg", "20 deg";
    SEAL_DRAG: Torque = "a drag of the seals", from 0.0 to 1000.0, "N m", "12 N m";
    BACKLASH: Length = "a backlash", from 0.0 to 3.0, "mm", "0.08 mm";

    // Of a rise that is at most 400 K.
    CONTACT_BELOW: Length = "a gap that leaves marks", from -0.1 to 0.1, "mm", "4 um";
    CONTACT_BELOW_U: Length = "a standard uncertainty of that gap", from 0.0 to 0.1, "mm", "5 um";
    RISE_U: TemperatureDifference =
        "a standard uncertainty of a rise", from 0.0 to 100.0, "K", "8 K";
}

shares! {
    // Cork has none; a solid that keeps its volume one half.
    POISSON = "a Poisson's ratio", from 0.0 to 0.49, 0.29, "";
    // Steel has a thousandth, a damper on the tail at most this.
    TWIST_DAMPING = "a share of critical damping", from 0.0 to 0.2, 0.01, "";
    VISCOSITY_U = "a relative uncertainty of a viscosity", from 0.0 to 1.0, 0.2, "";
    // R/e bounds it from above, the pocket from below.
    COMPRESSION_RATIO = "a compression ratio", from 3.0 to 25.0, 9.0, "";
    // At 1 nearly two thirds have burnt when burning ends, at 7 all but a thousandth.
    WIEBE_A = "a Wiebe factor a", from 1.0 to 12.0, 5.0, "";
    WIEBE_M = "a Wiebe exponent m", from 0.0 to 8.0, 2.0, "";
    WALL_LOSS = "a factor on wall loss", from 0.0 to 10.0, 1.0, "";
    HARD = "a peak pressure of the hard cycle over the mean one's", from 1.0 to 3.0, 1.15, "";
    KNOCK = "a peak pressure of a knocking cycle over the mean one's", from 1.0 to 6.0, 1.3, "";
    SIDE_SHARE = "a share of the pressure", from 0.0 to 1.0, 0.05, "";
    // The first estimate nobody has calibrated is no better than this.
    MODEL_U = "a relative uncertainty of the tilt", from 0.3 to 2.0, 0.3,
        "not under 0.3 until the shop's own builds say less";
    RELATIVE_U = "a relative uncertainty", from 0.0 to 1.0, 0.05, "";
    TAUGHT_SCALE = "a scale of what is computed", from 0.1 to 10.0, 1.1, "";
    TAUGHT_U = "a standard uncertainty of a scale's logarithm", from 0.0 to 2.0, 0.1, "";
    TOGETHER = "a correlation", from -1.0 to 1.0, -0.4, "";
    // Of what is little more than guessed.
    GUESSED_U = "a relative uncertainty", from 0.0 to 2.0, 0.3, "";
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_is_readable_ordered_and_holds_its_example() {
        assert_eq!(super::super::tests::right(each_row), 40);
        assert_eq!(super::super::tests::right_shares(SHARES), 16);
    }

    #[test]
    fn a_number_beyond_a_bound_is_told_which() {
        assert_eq!(MODEL_U.broken_by(0.3), None);
        assert_eq!(MODEL_U.broken_by(0.299).unwrap(), "is less than 0.3");
        assert_eq!(MODEL_U.broken_by(2.5).unwrap(), "is more than 2");
        assert_eq!(MODEL_U.broken_by(f64::NAN).unwrap(), "is not finite");
        assert_eq!(
            MODEL_U.expected(),
            "a relative uncertainty of the tilt from 0.3 to 2, such as 0.3"
        );
    }
}
