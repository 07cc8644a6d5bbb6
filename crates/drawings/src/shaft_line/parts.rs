//! The shaft from the side: stretches, mains, rotors at their throws, masses, and their names.

use super::{LEFT, RIGHT, ShaftLine};
use crate::hatch::Hatch;
use crate::rows::Rows;
use crate::scale::Scale;
use crate::sheet::{Anchor, MARGIN, Sheet, WIDTH, boxed, outline};
use crate::text::Type;
use kernel::units::Length;

/// Size of a support.
const SUPPORT: f64 = 9.0;

impl ShaftLine {
    /// Draws the side view from `top`; the line after the names under it.
    pub(super) fn draw_parts(&self, sheet: &mut Sheet, top: f64, scale: &Scale) -> f64 {
        let per_m = scale.beyond(1.0) - scale.beyond(0.0);
        let half = (self.half_height_m() * per_m).max(20.0);
        let axis = top + 8.0 + half;
        let bottom = axis + half + 10.0;
        let block = |z: Length, width: Length, half_m: f64, offset_m: f64| {
            let left = scale.beyond((z - width / 2.0).to_m());
            let y = axis - (offset_m + half_m) * per_m;
            boxed(left, y, width.to_m() * per_m, 2.0 * half_m * per_m)
        };
        for mass in &self.masses {
            let d = block(mass.z, mass.width, 0.5 * mass.diameter.to_m(), 0.0);
            sheet.path(&d, "paper");
            sheet.hatched(&d, Hatch::Wall);
            sheet.path(&d, "edge");
        }
        for rotor in &self.rotors {
            let d = block(rotor.z, rotor.width, rotor.radius.to_m(), rotor.offset_m());
            sheet.path(&d, "paper");
            sheet.hatched(&d, Hatch::Land);
            sheet.path(&d, "edge");
        }
        self.draw_shaft(sheet, scale, axis, per_m);
        for main in &self.mains {
            let z = main.z.to_m();
            let radius = self.radius_m(z) * per_m;
            Self::draw_support(sheet, (scale.beyond(z), axis + radius));
        }
        sheet.line((LEFT - 20.0, axis), (RIGHT + 20.0, axis), "axis");
        sheet.text(LEFT - 24.0, axis + 5.0, Type::Small, Anchor::End, "front");
        sheet.text(RIGHT + 24.0, axis + 5.0, Type::Small, Anchor::Start, "rear");
        for (n, rotor) in self.rotors.iter().enumerate() {
            // On the side of its throw, clear of the shaft.
            let offset = rotor.offset_m();
            let away = if offset < 0.0 { 1.0 } else { -1.0 };
            let far = rotor.radius.to_m() + offset.abs();
            let y = axis + away * (0.5 * (far + self.radius_m(rotor.z.to_m())) * per_m);
            let x = scale.beyond(rotor.z.to_m());
            sheet.circle((x, y), 12.0, "plain-mark");
            sheet.text(x, y + 5.5, Type::Strong, Anchor::Middle, &(n + 1).to_string());
        }
        let mains = self.mains.iter().map(|m| (m.z, format!("main {}", m.name)));
        let masses = self.masses.iter().map(|m| (m.z, m.name.clone()));
        let names: Vec<_> =
            mains.chain(masses).map(|(z, name)| (scale.beyond(z.to_m()), name)).collect();
        let rows = Rows::new(&names, (MARGIN, WIDTH - MARGIN), 250.0);
        // Leaders start at what they name.
        for main in &self.mains {
            let (x, from) = (scale.beyond(main.z.to_m()), self.radius_m(main.z.to_m()) * per_m);
            sheet.line((x, axis + from + 1.7 * SUPPORT + 6.0), (x, bottom), "faint");
        }
        for mass in &self.masses {
            let (x, from) = (scale.beyond(mass.z.to_m()), 0.5 * mass.diameter.to_m() * per_m);
            sheet.line((x, axis + from), (x, bottom), "faint");
        }
        rows.draw_below(sheet, bottom, "faint");
        bottom + rows.height() + 6.0
    }

    /// The shaft's radius at a place, the larger one where two stretches meet.
    fn radius_m(&self, z_m: f64) -> f64 {
        self.stretches
            .iter()
            .filter(|s| (s.from.to_m()..=s.to.to_m()).contains(&z_m))
            .map(|s| 0.5 * s.outer.to_m())
            .fold(0.0, f64::max)
    }

    fn draw_shaft(&self, sheet: &mut Sheet, scale: &Scale, axis: f64, per_m: f64) {
        let tube = |from: Length, to: Length, diameter: Length| {
            let (x, end) = (scale.beyond(from.to_m()), scale.beyond(to.to_m()));
            let half = 0.5 * diameter.to_m() * per_m;
            boxed(x, axis - half, end - x, 2.0 * half)
        };
        for s in &self.stretches {
            let d = tube(s.from, s.to, s.outer);
            sheet.path(&d, "metal");
            sheet.path(&d, "thin");
        }
        for s in self.stretches.iter().filter(|s| s.inner > Length::ZERO) {
            // What is inside is drawn as hidden: its two lines.
            let (x, end) = (scale.beyond(s.from.to_m()), scale.beyond(s.to.to_m()));
            let half = 0.5 * s.inner.to_m() * per_m;
            for y in [axis - half, axis + half] {
                sheet.line((x, y), (end, y), "dashed");
            }
        }
    }

    /// A support under a point: a triangle on hatched ground.
    fn draw_support(sheet: &mut Sheet, (x, y): (f64, f64)) {
        let base = y + 1.7 * SUPPORT;
        let corners = [(x, y), (x - SUPPORT, base), (x + SUPPORT, base)];
        sheet.path(&outline(&corners, true), "plain-mark");
        let ground = boxed(x - SUPPORT - 4.0, base, 2.0 * SUPPORT + 8.0, 6.0);
        sheet.path(&ground, "paper");
        sheet.hatched(&ground, Hatch::Wall);
        sheet.line((x - SUPPORT - 4.0, base), (x + SUPPORT + 4.0, base), "edge");
    }
}
