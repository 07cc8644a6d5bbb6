//! Limits of what balancing depends on. Like the others they keep out slips of units and decimals,
//! from model aircraft to stationary engines: wide common practice, no source, and no advice. The
//! comment of a row says what bounds it.

use super::{Limit, Share};
use kernel::units::{Angle, Density, Length, Mass, Unbalance, Velocity};
use std::sync::OnceLock;

rows! {
    // A rotor's masses differ by less than a tenth of the heaviest.
    MATCH: Mass = "a match of masses", above 0.0 to 5000.0, "g", "3 g";
    SCALE_U: Mass = "a standard uncertainty of a scale", from 0.0 to 100.0, "g", "0.2 g";
    // A model's bare shaft; a flywheel of a stationary engine with all the rest.
    SPUN_MASS: Mass = "a mass of all that spins", above 0.0 to 2000.0, "kg", "31.2 kg";
    // Twice the heaviest rotor.
    BOB_WEIGHT: Mass = "a bob weight", above 0.0 to 120.0, "kg", "3655 g";

    // A turn either way says everything.
    ZERO: Angle = "an angle of the instrument's zero", from -360.0 to 360.0, "deg", "0 deg";
    SHOWN_ANGLE: Angle =
        "an angle as the instrument shows it", from -360.0 to 360.0, "deg", "122 deg";
    SHAFT_ANGLE: Angle = "an angle from the throw of rotor 1", from -360.0 to 360.0, "deg", "150 deg";
    ROTOR_ANGLE: Angle = "an angle from tip 1", from -360.0 to 360.0, "deg", "60 deg";
    OIL_ANGLE: Angle = "an angle from the rotor's throw", from -360.0 to 360.0, "deg", "0 deg";
    TURNED: Angle = "an angle from the mandrel's mark", from -360.0 to 360.0, "deg", "120 deg";
    PHASE: Angle = "a phase", from -360.0 to 360.0, "deg", "63 deg";

    // The heaviest rotor at the largest throw, and nothing opposite to it.
    SHOWN: Unbalance = "an unbalance", from 0.0 to 4_000_000.0, "g mm", "310 g mm";
    // What is not known better than this was not measured.
    SHOWN_U: Unbalance =
        "a standard uncertainty of an unbalance", from 0.0 to 100_000.0, "g mm", "8 g mm";

    // A single spring; seals and bearing of the heaviest rotor.
    CARRIED: Mass = "a mass of what a rotor carries", above 0.0 to 20_000.0, "g", "94.5 g";
    // A rotor full of oil is far below.
    OIL: Unbalance = "an unbalance of oil", from 0.0 to 200_000.0, "g mm", "110 g mm";
    // Half of the widest rotor.
    OFFSET: Length = "an offset from the mid-plane", from -125.0 to 125.0, "mm", "1.5 mm";
    MASS_CENTRE: Length = "a mass centre from the mid-plane", from -125.0 to 125.0, "mm", "0.6 mm";
    MASS_CENTRE_U: Length =
        "a standard uncertainty of a mass centre", from 0.0 to 20.0, "mm", "0.1 mm";
    // The whole rotor on the scale.
    ROLLER: Mass = "a reading of the scale", from 0.0 to 60_000.0, "g", "12.4 g";
    // As far as tips reach.
    ARM: Length = "an arm", above 0.0 to 420.0, "mm", "85 mm";

    POCKET_RADIUS: Length = "a radius of a pocket", above 0.0 to 400.0, "mm", "70 mm";
    POCKET_MOST: Mass = "a mass to be taken", above 0.0 to 2000.0, "g", "10 g";

    // Rows of drills and places are what the search for holes takes. Larger holes are bored.
    DRILL: Length = "a diameter of a drill", from 0.5 to 80.0, "mm", "8 mm";
    // A countersink below, flat above.
    POINT_ANGLE: Angle = "a point angle of a drill", from 60.0 to 180.0, "deg", "118 deg";
    LEAST_DEPTH: Length = "a least depth", from 0.1 to 200.0, "mm", "2 mm";
    // A finer scale is on no machine.
    DEPTH_STEP: Length = "a step of depths", from 0.001 to 5.0, "mm", "0.1 mm";
    WALL: Length = "a wall of metal", from 0.0 to 100.0, "mm", "2 mm";
    // The lightest filling; osmium has 22 600.
    SLUG_DENSITY: Density = "a density of a slug", from 1000.0 to 23_000.0, "kg/m3", "17500 kg/m3";

    // A flywheel's rim.
    PLACE_RADIUS: Length = "a radius of a place", from 5.0 to 500.0, "mm", "62 mm";
    DEEPEST: Length = "a greatest depth", from 0.1 to 300.0, "mm", "14 mm";
    EDGE: Length = "a distance to an edge", from 0.5 to 400.0, "mm", "9 mm";
    FLAT_WIDTH: Length = "a width of a flat", from 0.5 to 500.0, "mm", "18 mm";
    // A washer; a piece of a counterweight.
    ADDED: Mass = "a mass that is added", from 0.001 to 10_000.0, "g", "5 g";

    // Past this no shaft is run.
    AMPLITUDE: Length = "an amplitude", from 0.0 to 20_000.0, "um", "12.1 um";
    VELOCITY: Velocity = "a velocity of vibration", from 0.0 to 2000.0, "mm/s", "4.1 mm/s";
}

shares! {
    // Numbers of grades; the kernel keeps the bounds, and a test here compares.
    GRADE = "a grade", from 0.16 to 10_000.0, 2.5, "";
    U_SHARE = "a share of what is shown", from 0.0 to 1.0, 0.03, "";
    VIBRATION_U = "a share of the largest vibration", from 0.0 to 1.0, 0.02, "";
}

/// What a grade looks like, in words.
#[must_use]
pub fn expected_grade() -> String {
    let Share { name, least, most, example, .. } = &GRADE;
    format!("{name} from G {least} to G {most}, such as \"G {example}\"")
}

#[cfg(test)]
mod tests {
    use super::*;
    use kernel::balance::Grade;

    #[test]
    fn every_row_is_readable_ordered_and_holds_its_example() {
        assert_eq!(super::super::tests::right(each_row), 35);
        assert_eq!(super::super::tests::right_shares(SHARES), 3);
    }

    #[test]
    fn the_kernel_has_the_same_grades() {
        for grade in [GRADE.least, GRADE.example, GRADE.most] {
            assert!(Grade::mm_per_s(grade).is_ok(), "{grade}");
        }
        assert!(Grade::mm_per_s(GRADE.least.next_down()).is_err());
        assert!(Grade::mm_per_s(GRADE.most.next_up()).is_err());
        let said = Grade::mm_per_s(0.0).unwrap_err().to_string();
        assert!(said.starts_with(&expected_grade()), "{said}");
    }
}
