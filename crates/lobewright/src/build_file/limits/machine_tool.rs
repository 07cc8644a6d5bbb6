//! Limits of machine tools, from a hobby mill to a large vertical lathe; wide common practice,
//! no source, and no advice.

use super::Limit;
use kernel::units::{CuttingSpeed, Length, Speed};
use std::sync::OnceLock;

rows! {
    SPINDLE: Speed = "a spindle speed", above 0.0 to 60_000.0, "rpm", "4000 rpm";
    RAPID: CuttingSpeed = "a rapid travel", above 0.0 to 120.0, "m/min", "5 m/min";
    // A rotor that is held from below has nothing in its middle.
    CLAMP_RADIUS: Length = "a radius of the clamp", from 0.0 to 400.0, "mm", "34 mm";
    CLAMP_HEIGHT: Length = "a height of the clamp", from 0.0 to 300.0, "mm", "18 mm";
    CUTTER: Length = "a diameter of a mill's cutter", from 3.0 to 250.0, "mm", "16 mm";
    // A sharp corner has none.
    CORNER_RADIUS: Length = "a corner radius", from 0.0 to 20.0, "mm", "0.4 mm";
    NOSE_RADIUS: Length = "a nose radius", above 0.0 to 10.0, "mm", "0.8 mm";
    REACH: Length = "a reach", above 0.0 to 500.0, "mm", "40 mm";
    HOLDER_DIAMETER: Length = "a diameter of a mill's holder", above 0.0 to 300.0, "mm", "40 mm";
    HOLDER_WIDTH: Length = "a width of a lathe's holder", above 0.0 to 150.0, "mm", "25 mm";
    CUTTING_SPEED: CuttingSpeed = "a cutting speed", from 1.0 to 2000.0, "m/min", "70 m/min";
    FEED: Length = "a feed", above 0.0 to 2.0, "mm", "0.08 mm";
    DEPTH: Length = "a depth of a pass", above 0.0 to 5.0, "mm", "0.3 mm";
    // What the check of a program can do in a few seconds.
    GRID: Length = "a distance between nodes", from 0.05 to 2.0, "mm", "0.1 mm";
    STOCK: Length = "a stock for the finishing pass", above 0.0 to 0.5, "mm", "30 um";
}

#[cfg(test)]
mod tests {
    #[test]
    fn every_row_is_readable_ordered_and_holds_its_example() {
        assert_eq!(super::super::tests::right(super::each_row), 15);
    }
}
