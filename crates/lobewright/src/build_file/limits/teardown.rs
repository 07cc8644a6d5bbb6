//! Limits of what a teardown tells, wide common practice, no source, and no advice. Hours, speed and
//! boost have those of a duty, depths of wear those of a side housing.

use super::Limit;
use kernel::units::{Force, Length};
use std::sync::OnceLock;

rows! {
    PUSHED_AT: Length = "a radius where a tip is pushed", from 10.0 to 420.0, "mm", "95 mm";
    LOAD: Force = "a load on a tip", above 0.0 to 3000.0, "N", "120 N";
    LOAD_U: Force = "a standard uncertainty of a load", above 0.0 to 200.0, "N", "1 N";
    SHOWN: Length = "what an indicator shows", from -2.0 to 2.0, "mm", "14 um";
}

#[cfg(test)]
mod tests {
    #[test]
    fn every_row_is_readable_ordered_and_holds_its_example() {
        assert_eq!(super::super::tests::right(super::each_row), 4);
    }
}
