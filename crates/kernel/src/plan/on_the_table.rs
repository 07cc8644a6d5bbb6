//! What a rotor lies on while a face is cut, and what reaches its lands there. Sizes of rings and
//! gauges are rounded to what a shop has; allowances are common practice, no source.

use super::on_the_way::in_divisions;
use crate::readings::{TIPS, Tolerance};
use crate::units::Length;

/// What a micrometer's anvil needs beside the ring, and a throat beyond the land's edge.
const ANVIL: Length = Length::mm(8.0);
/// The narrowest ring that a land lies on well.
const LEAST_RING: Length = Length::mm(4.0);
/// Micrometers come in ranges of this.
const MICROMETER_RANGE: Length = Length::mm(25.0);
/// Passes no thinner than the thinnest that the last one has to take. Two: it cuts, and what the
/// stop showed can still be made good.
const PASSES_LEFT: f64 = 2.0;

/// A ground ring under the land that is down. Diameters, whole millimetres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ring {
    /// Outside, at the most.
    pub outside: Length,
    /// Inside, at the least: gear and bearing hang free.
    pub inside: Length,
    /// Whether it needs a gap under each tip, since no gauge reaches the land's edge beside it.
    pub gaps: bool,
}

/// The ring for a land between two radii.
#[must_use]
pub fn ring_under(land_radius: Length, land_inner_radius: Length) -> Ring {
    let inside = land_inner_radius * 2.0;
    let outside = land_radius * 2.0 - ANVIL * 2.0;
    let gaps = outside - inside < LEAST_RING * 2.0;
    let outside = if gaps { land_radius * 2.0 } else { outside };
    let ring = Tolerance { least: inside, most: outside };
    // A land narrower than a millimetre is given as it is.
    let whole = in_divisions(ring, Length::mm(1.0)).unwrap_or(ring);
    Ring { outside: whole.most, inside: whole.least, gaps }
}

/// From and to of the micrometer for a width, and the least depth of its throat, in whole
/// millimetres: from a tip to the land's outer edge.
#[must_use]
pub fn micrometer_for(
    width: Length,
    land_radius: Length,
    tip_radius: Length,
) -> ([Length; 2], Length) {
    let from = MICROMETER_RANGE * (width / MICROMETER_RANGE).floor();
    let (throat, whole) = (tip_radius - land_radius + ANVIL, Length::mm(1.0));
    ([from, from + MICROMETER_RANGE], whole * (throat / whole).ceil())
}

/// What to put under the ring at tips 1, 2, 3 so that the bore stands square, from the run-out of
/// the land that is down (positive where metal stands proud): where it stands least proud, most.
#[must_use]
pub fn shims(runout: [Length; TIPS]) -> [Length; TIPS] {
    let most = runout.into_iter().fold(runout[0], Length::max);
    runout.map(|read| most - read)
}

/// How high to stop before the last pass, to read.
#[must_use]
pub fn stop_above(least_cut: Length) -> Length {
    least_cut * PASSES_LEFT
}

#[cfg(test)]
mod tests {
    use super::*;

    fn whole_mm(lengths: [Length; 2]) -> [f64; 2] {
        lengths.map(|length| (length.to_mm() * 1e6).round() / 1e6)
    }

    #[test]
    fn a_gauge_reaches_the_land_beside_the_ring_or_through_a_gap() {
        let of = |land: f64, inner: f64| ring_under(Length::mm(land), Length::mm(inner));
        let wide = of(61.0, 45.75);
        assert_eq!((whole_mm([wide.outside, wide.inside]), wide.gaps), ([106.0, 92.0], false));
        // Less than 4 mm of ring would be left to either side.
        let narrow = of(61.4, 51.0);
        assert_eq!(
            (whole_mm([narrow.outside, narrow.inside]), narrow.gaps),
            ([122.0, 102.0], true)
        );
    }

    #[test]
    fn the_micrometer_takes_the_width() {
        let (range, throat) =
            micrometer_for(Length::mm(79.788), Length::mm(61.0), Length::mm(98.7));
        assert_eq!(whole_mm(range), [75.0, 100.0]);
        assert!((throat.to_mm() - 46.0).abs() < 1e-9);
    }

    #[test]
    fn shims_make_the_lower_land_level() {
        let runout = [0.0, 6.0, 2.0].map(Length::um);
        let level: Vec<f64> = shims(runout)
            .into_iter()
            .zip(runout)
            .map(|(shim, read)| (shim + read).to_um())
            .collect();
        assert!(level.iter().all(|height| (height - 6.0).abs() < 1e-9), "{level:?}");
        assert_eq!(shims([Length::um(4.0); 3]), [Length::ZERO; 3]);
    }
}
