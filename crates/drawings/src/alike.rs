//! Sizes that are the same to the shop: several of them are said once.

use kernel::units::Length;

/// Lengths nearer to each other than this are one size to the shop.
const ALIKE: Length = Length::um(0.5);

/// Whether all lengths are the same size to the shop.
pub(crate) fn alike(values: &[Length]) -> bool {
    values.iter().all(|a| values.iter().all(|b| (*a - *b).abs() <= ALIKE))
}

/// The least and the greatest.
pub(crate) fn range(values: &[Length]) -> (Length, Length) {
    let first = values.first().copied().unwrap_or(Length::ZERO);
    values.iter().fold((first, first), |(least, most), v| (least.min(*v), most.max(*v)))
}

#[cfg(test)]
mod tests {
    use super::{alike, range};
    use kernel::units::Length;

    #[test]
    fn half_a_micrometre_is_alike_and_more_is_not() {
        let um = |values: [f64; 3]| values.map(Length::um);
        assert!(alike(&um([100.0, 100.3, 100.49])));
        assert!(!alike(&um([100.0, 100.3, 100.6])));
        assert_eq!(range(&um([3.0, -1.0, 2.0])), (Length::um(-1.0), Length::um(3.0)));
    }
}
