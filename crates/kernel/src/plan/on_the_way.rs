//! What a machinist reads on the way: after the first of two set-ups, and before anything is cut.

use crate::readings::{Face, Gauge, Heights, TIPS, Tolerance};
use crate::units::Length;

/// Standard deviations by which two readings of one size may differ before somebody asks why: at
/// three, one pair in 370 does so by chance (normal distribution, both tails).
const ASKED_AT: f64 = 3.0;

/// Land width at tips 1, 2, 3 when the land of `first` is cut and the other is as it is: heights of
/// both from the same mid-plane added up. The lands need not be level then, so each tip has its own.
#[must_use]
pub fn land_width_after_first(now: &Heights, finished: &Heights, first: Face) -> [Length; TIPS] {
    let other = now.face(first.opposite());
    std::array::from_fn(|tip| finished.face(first).land[tip] + other.land[tip])
}

/// How far a reading may be from the one on the sheet, read with such a gauge but not the same one:
/// three standard deviations of the difference, in which neither repeat nor zero cancels.
#[must_use]
pub fn may_differ_by(gauge: &Gauge) -> Length {
    let variance_m2 = 2.0 * (gauge.repeat.to_m().powi(2) + gauge.zero.to_m().powi(2));
    Length::m(ASKED_AT * variance_m2.sqrt())
}

/// How far a finished land may run out to the bore, end to end of the dial, before its set-up is
/// looked at: three standard deviations of the difference of two finished heights.
#[must_use]
pub fn runout_allowed(capability: Length) -> Length {
    capability * (ASKED_AT * std::f64::consts::SQRT_2)
}

/// The tolerance in whole divisions of a gauge, least rounded up and most down, so that what reads
/// as inside is inside. `None` where no division lies within.
#[must_use]
pub fn in_divisions(tolerance: Tolerance, division: Length) -> Option<Tolerance> {
    // A limit that is a whole number of divisions stays so whatever the last bits are.
    const BITS: f64 = 1e-6;
    let least = (tolerance.least / division - BITS).ceil();
    let most = (tolerance.most / division + BITS).floor();
    (least <= most).then(|| Tolerance { least: division * least, most: division * most })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::readings::FaceHeights;

    fn face(land_um: [f64; 3]) -> FaceHeights {
        FaceHeights { land: land_um.map(Length::um), tip: land_um.map(Length::um) }
    }

    #[test]
    fn the_other_land_shows_in_the_width_between_the_set_ups() {
        let now = Heights {
            gear: face([39_956.5, 39_962.5, 39_958.5]),
            plain: face([39_958.5, 39_959.5, 39_959.5]),
        };
        let finished = Heights { gear: face([39_894.0; 3]), plain: face([39_894.0; 3]) };
        let um = |widths: [Length; 3]| widths.map(|w| (w.to_um() * 10.0).round() / 10.0);
        assert_eq!(
            um(land_width_after_first(&now, &finished, Face::Gear)),
            [79_852.5, 79_853.5, 79_853.5]
        );
        assert_eq!(
            um(land_width_after_first(&now, &finished, Face::Plain)),
            [79_850.5, 79_856.5, 79_852.5]
        );
    }

    #[test]
    fn divisions_are_inside() {
        let tolerance = Tolerance { least: Length::mm(79.768_4), most: Length::mm(79.808) };
        let in_mm = in_divisions(tolerance, Length::mm(0.001)).unwrap();
        assert!((in_mm.least.to_mm() - 79.769).abs() < 1e-9);
        assert!((in_mm.most.to_mm() - 79.808).abs() < 1e-9, "a whole number of them stays");
        let narrow = Tolerance { least: Length::um(1.2), most: Length::um(1.8) };
        assert!(in_divisions(narrow, Length::um(1.0)).is_none());
    }

    #[test]
    fn two_readings_differ_by_both_their_errors() {
        let gauge = Gauge {
            id: 0,
            repeat: Length::um(3.0),
            zero: Length::um(4.0),
            temperature: crate::units::Temperature::REFERENCE,
            expansion: crate::units::Expansion::per_k(11.5e-6),
        };
        assert!((may_differ_by(&gauge).to_um() - 3.0 * 50.0_f64.sqrt()).abs() < 1e-9);
    }
}
