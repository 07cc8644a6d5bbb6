//! Limits of what is read on used parts. Like the others they keep out slips of units and decimals,
//! and are no advice: wide common practice, no source.

use super::Limit;
use kernel::units::Length;
use std::sync::OnceLock;

rows! {
    // A bearing that fell out of its bore has a press below nothing; a housing may be worn by millimetres.
    SMALL: Length = "a wear, gap, press or run-out", from -1.0 to 5.0, "mm", "40 um";
    // From the thickness of a seal to a journal of a stationary engine.
    SIZE: Length = "a size", above 0.0 to 400.0, "mm", "2.03 mm";
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_is_readable_ordered_and_holds_its_example() {
        assert_eq!(super::super::tests::right(each_row), 2);
    }
}
