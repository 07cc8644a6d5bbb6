//! Directions around the shaft on the sheet: zero on top, counted in the sense of rotation,
//! which is clockwise seen from the front and anticlockwise seen from the rear.

use crate::arrow;
use crate::places::Places;
use crate::scale::{figure, round_values};
use crate::sheet::{Anchor, Sheet, outline};
use crate::text::{Type, width};

/// From which end of the shaft something is looked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum SeenFrom {
    /// From the front, along the shaft to the rear.
    #[default]
    Front,
    /// From the rear.
    Rear,
}

impl SeenFrom {
    /// Whether angles run clockwise on the sheet, +1, or anticlockwise, −1.
    pub(crate) const fn hand(self) -> f64 {
        match self {
            Self::Front => 1.0,
            Self::Rear => -1.0,
        }
    }

    /// How it is looked at and which way the shaft then turns, as a sentence.
    pub(crate) const fn sentence(self) -> &'static str {
        match self {
            Self::Front => "Seen from the front: the shaft turns clockwise.",
            Self::Rear => "Seen from the rear: the shaft turns anticlockwise.",
        }
    }
}

/// Spokes stand at each of these.
const SPOKE_DEG: u32 = 30;
/// Between the rim and the labels of its spokes.
const BESIDE: f64 = 8.0;
/// The arrow of the sense of rotation: how far outside the rim, from and to which angle.
const SENSE_OUT: f64 = 38.0;
const SENSE_DEG: (u32, u32) = (36, 54);

/// A circle around the shaft's axis.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Polar {
    pub(crate) centre: (f64, f64),
    pub(crate) radius: f64,
    pub(crate) hand: f64,
}

impl Polar {
    /// A point at an angle, so far from the axis on the sheet.
    pub(crate) fn at(&self, deg: f64, out: f64) -> (f64, f64) {
        let (sin, cos) = deg.to_radians().sin_cos();
        (self.centre.0 + self.hand * out * sin, self.centre.1 - out * cos)
    }

    /// A point given by two parts in units of the sheet: towards zero, and a quarter turn ahead.
    pub(crate) fn part(&self, ahead: (f64, f64)) -> (f64, f64) {
        (self.centre.0 + self.hand * ahead.1, self.centre.1 - ahead.0)
    }

    /// Faint spokes, from `inner` out to the rim.
    pub(crate) fn spokes(&self, sheet: &mut Sheet, inner: f64) {
        for deg in (0..360).step_by(SPOKE_DEG as usize) {
            let deg = f64::from(deg);
            sheet.line(self.at(deg, inner), self.at(deg, self.radius), "faint");
        }
    }

    /// The angles around the rim, each with its short line.
    pub(crate) fn angles(&self, sheet: &mut Sheet, places: &mut Places) {
        for deg in (0..360_u32).step_by(SPOKE_DEG as usize) {
            let (words, deg) = (format!("{deg}\u{b0}"), f64::from(deg));
            sheet.line(self.at(deg, self.radius), self.at(deg, self.radius + 5.0), "thin");
            let (sin, cos) = deg.to_radians().sin_cos();
            let half = 0.5 * width(&words, Type::Small);
            let out = self.radius + BESIDE + half * sin.abs() + 8.0 * cos.abs();
            let (x, y) = self.at(deg, out);
            places.text(sheet, (x, y + 5.0), Anchor::Middle, &words);
        }
    }

    /// The arrow of the sense of rotation outside the rim, with its words.
    pub(crate) fn sense(&self, sheet: &mut Sheet, places: &mut Places) {
        let out = self.radius + SENSE_OUT;
        let (from, to) = SENSE_DEG;
        let on = |deg: f64| self.at(deg, out);
        let arc: Vec<_> = (from..=to).map(|deg| on(f64::from(deg))).collect();
        sheet.path(&outline(&arc, false), "edge");
        let to = f64::from(to);
        let (before, after) = (on(to - 1.0), on(to + 1.0));
        arrow::head(sheet, on(to), (after.0 - before.0, after.1 - before.1));
        for (x, y) in &arc {
            places.take((x - 6.0, y - 6.0, x + 6.0, y + 6.0));
        }
        // Outside the arc's first half, away from the circle.
        let (x, y) = on(f64::from(from) + 3.0);
        let anchor = if self.hand > 0.0 { Anchor::Start } else { Anchor::End };
        for (n, words) in ["sense of", "rotation"].into_iter().enumerate() {
            let base = y - 10.0 + 16.0 * n as f64;
            places.text(sheet, (x + self.hand * 20.0, base), anchor, words);
        }
    }
}

/// An angle from 0° on to just below 360°, with one decimal.
pub(crate) fn degrees(deg: f64) -> String {
    let whole = (deg.rem_euclid(360.0) * 10.0).round() / 10.0;
    // What rounds up to a whole turn is none.
    figure(if whole >= 360.0 { 0.0 } else { whole }, 1)
}

/// Round ring values from zero on, without zero, up to the first that is beyond `reach`; the
/// last of them is the rim.
pub(crate) fn rings(reach: f64) -> Vec<f64> {
    if !(reach.is_finite() && reach > 0.0) {
        return vec![1.0];
    }
    let (values, _) = round_values(0.0, 2.0 * reach, reach / 6.0);
    let rim = values.iter().position(|v| *v >= 1.02 * reach).unwrap_or(values.len());
    values.into_iter().take(rim + 1).skip(1).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn angles_run_with_the_shaft_as_it_is_seen() {
        let at = |seen: SeenFrom| {
            Polar { centre: (0.0, 0.0), radius: 1.0, hand: seen.hand() }.at(90.0, 1.0)
        };
        assert!((at(SeenFrom::Front).0 - 1.0).abs() < 1e-12, "clockwise: right of the top");
        assert!((at(SeenFrom::Rear).0 + 1.0).abs() < 1e-12);
        let polar = Polar { centre: (0.0, 0.0), radius: 1.0, hand: 1.0 };
        assert_eq!(polar.part((2.0, 3.0)), (3.0, -2.0));
    }

    #[test]
    fn a_whole_turn_is_none() {
        let said = [-0.01, 359.97, 720.04, -90.0, 123.45].map(degrees);
        assert_eq!(said, ["0.0", "0.0", "0.0", "270.0", "123.5"]);
    }

    #[test]
    fn rings_are_round_and_the_last_is_beyond() {
        for reach in [1e-12, 0.031, 9.9, 10.0, 33_000.0, 4.7e30] {
            let rings = rings(reach);
            assert!((3..=8).contains(&rings.len()), "{reach}: {rings:?}");
            let rim = rings[rings.len() - 1];
            assert!(rim > reach && rim < 1.5 * reach, "{reach}: {rings:?}");
        }
        assert_eq!(rings(0.0), [1.0]);
    }
}
