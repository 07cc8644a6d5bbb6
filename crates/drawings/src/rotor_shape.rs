//! A rotor's side face as every picture of it has it: to true shape, tip 1 on top.
//!
//! Looking at the gear face the tips run clockwise; the plain face is seen from the other side, so
//! it is mirrored, and says so.

use crate::hatch::Hatch;
use crate::sheet::{Sheet, outline, ring};
use crate::tip::Tip;
use kernel::readings::{Face, TIPS};
use kernel::units::Length;

/// A point of the outline in rotor axes: origin on the axis of the bearing bore, `x` towards
/// tip 1, `z` out of the gear face.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Point {
    /// Towards tip 1.
    pub x: Length,
    /// Square to it, so that `x, y` and the outward normal of the gear face are right-handed.
    pub y: Length,
}

/// What is drawn of a rotor's side face.
#[derive(Debug, Clone, PartialEq)]
pub struct RotorShape {
    /// The outline, in order around the rotor; it is closed by itself.
    pub outline: Vec<Point>,
    /// Inner edge of the land.
    pub land_inner_radius: Length,
    /// Outer edge of the land, where widths and run-outs are read.
    pub land_radius: Length,
    /// Where steps and tip widths are read.
    pub reading_radius: Length,
    /// Pitch radius of the internal gear; drawn on the gear face only: by it the face is told.
    pub gear_radius: Length,
}

/// Where the rotor stands on the sheet.
pub(crate) struct View {
    pub(crate) centre: (f64, f64),
    pub(crate) per_m: f64,
    /// +1 where the rotor's `y` runs to the left (gear face), −1 where it is mirrored.
    pub(crate) hand: f64,
}

impl View {
    /// With this face looked at.
    pub(crate) fn of(face: Face, centre: (f64, f64), per_m: f64) -> Self {
        Self { centre, per_m, hand: if face == Face::Gear { 1.0 } else { -1.0 } }
    }

    pub(crate) fn at(&self, x_m: f64, y_m: f64) -> (f64, f64) {
        let (cx, cy) = self.centre;
        (cx - self.hand * y_m * self.per_m, cy - x_m * self.per_m)
    }

    /// A point on the azimuth of a tip: tip k lies at −120°·(k − 1).
    pub(crate) fn on(&self, tip: Tip, radius_m: f64) -> (f64, f64) {
        let azimuth_rad = -(tip.index() as f64) * std::f64::consts::TAU / TIPS as f64;
        self.at(radius_m * azimuth_rad.cos(), radius_m * azimuth_rad.sin())
    }
}

/// Said of every picture of a rotor's face.
pub(crate) const fn orientation(face: Face) -> &'static str {
    match face {
        Face::Gear => "Looking at the gear face. Tips run clockwise.",
        Face::Plain => {
            "Looking at the plain face, so the picture is mirrored: tips run anticlockwise."
        }
    }
}

impl RotorShape {
    /// How far it reaches from its centre, in metres; never nothing.
    pub(crate) fn reach_m(&self) -> f64 {
        let rings =
            [self.reading_radius, self.land_radius, self.land_inner_radius, self.gear_radius];
        self.outline
            .iter()
            .map(|p| p.x.to_m().hypot(p.y.to_m()))
            .chain(rings.map(Length::to_m))
            .fold(0.0, f64::max)
            .max(1e-6)
    }

    /// The metal of a face, with its land and gear; `edge` is the look of its outline.
    pub(crate) fn draw(&self, sheet: &mut Sheet, view: &View, face: Face, edge: &str) {
        let points: Vec<_> = self.outline.iter().map(|p| view.at(p.x.to_m(), p.y.to_m())).collect();
        let outer = outline(&points, true);
        let px = |radius: Length| radius.to_m().max(0.0) * view.per_m;
        sheet.path(&outer, "metal");
        let land = ring(view.centre, px(self.land_radius), px(self.land_inner_radius));
        sheet.path(&ring(view.centre, px(self.land_radius), 0.0), "paper");
        sheet.hatched(&land, Hatch::Land);
        sheet.path(&land, "edge");
        if face == Face::Gear {
            sheet.circle(view.centre, px(self.gear_radius), "teeth");
        }
        sheet.path(&outer, edge);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn view(hand: f64) -> View {
        View { centre: (0.0, 0.0), per_m: 1.0, hand }
    }

    #[test]
    fn tip_two_is_clockwise_on_the_gear_face_and_mirrored_on_the_plain() {
        let (x, y) = view(1.0).on(Tip::One, 1.0);
        assert!(x.abs() < 1e-15 && y < 0.0, "tip 1 on top");
        let (x, y) = view(1.0).on(Tip::Two, 1.0);
        assert!(x > 0.8 && y > 0.4, "gear face: lower right, was {x}, {y}");
        let (x, y) = view(-1.0).on(Tip::Two, 1.0);
        assert!(x < -0.8 && y > 0.4, "plain face: lower left, was {x}, {y}");
    }
}
