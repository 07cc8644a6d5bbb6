//! Limits of what is read when the engine goes together. Like the others they keep out slips of
//! units and decimals, from model aircraft to stationary engines: wide common practice, no
//! source, and no advice. Clearances and gaps have the row of every other clearance. The comment
//! of a row says what bounds it.

use super::{CLEARANCE, Limit};
use crate::build_file::model::assembly::Fit;
use kernel::units::{Angle, Force, Length, Torque};
use std::sync::OnceLock;

rows! {
    // A millimetre is a bent shaft.
    SHAFT_RUNOUT: Length = "a run-out of the shaft", from 0.0 to 1.0, "mm", "10 um";
    // A shim; a sleeve between two thrust bearings.
    SPACER: Length = "a thickness of a spacer", above 0.0 to 60.0, "mm", "5.94 mm";
    SPACER_U: Length = "a standard uncertainty of a spacer's thickness", from 0.0 to 0.1, "mm", "2 um";
    // A corner seal's spring of a model; an oil seal's of a stationary engine.
    SPRING_HEIGHT: Length = "a height of a spring without load", above 0.0 to 100.0, "mm", "6.2 mm";
    SPRING_LOAD: Force = "a load of a spring", above 0.0 to 1000.0, "N", "42 N";
    LOAD_U: Force = "a standard uncertainty of a spring's load", above 0.0 to 50.0, "N", "0.5 N";
    // A screw of a cover; the nut of a flywheel.
    TIGHTENING: Torque = "a tightening torque", above 0.0 to 3000.0, "N m", "32 N m";
    // Two turns.
    TURN: Angle = "an angle of tightening", above 0.0 to 720.0, "deg", "60 deg";
}

/// The row of a length that is read when the engine goes together.
#[must_use]
pub fn of(fit: Fit) -> &'static Limit<Length> {
    match fit {
        Fit::ShaftRunout => &SHAFT_RUNOUT,
        Fit::SpringHeight(_) => &SPRING_HEIGHT,
        Fit::MainBearing
        | Fit::RotorBearing
        | Fit::OilProtrusion
        | Fit::CornerBore
        | Fit::SideGap
        | Fit::ApexGroove
        | Fit::ApexEnds
        | Fit::EndPlay => &CLEARANCE,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_is_readable_ordered_and_holds_its_example() {
        assert_eq!(super::super::tests::right(each_row), 8);
    }
}
