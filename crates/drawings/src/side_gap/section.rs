//! One section of the side gap on the sheet: walls, the two halves of the rotor, the gap, the
//! point that touches first, and the figures in it and beside it.

use super::{GAPS, LEFT, RIGHT, Section, SideGap, TipGap, Touch, lean_mrad};
use crate::dimension;
use crate::hatch::Hatch;
use crate::number::{amount, size};
use crate::sheet::{Anchor, Sheet, boxed, outline};
use crate::text::{self, Type};
use crate::tip::Tip;
use kernel::readings::{Face, TIPS};
use kernel::units::System;

/// Where the words beside a section start.
const BESIDE: f64 = 594.0;
/// Heights of a wall, of the metal down to the break, and of the break.
const WALL: f64 = 38.0;
const METAL: f64 = 46.0;
const BREAK: f64 = 24.0;
/// Length of a tooth of the break.
const TOOTH: f64 = 17.0;

impl SideGap {
    /// One section from `top`; its bottom.
    pub(super) fn draw_section(
        &self,
        sheet: &mut Sheet,
        top: f64,
        name: &str,
        section: &Section,
        per_m: f64,
        system: System,
    ) -> f64 {
        let gear_wall = top + WALL;
        let upper_break = gear_wall + GAPS + METAL;
        let lower_break = upper_break + BREAK;
        let plain_wall = lower_break + METAL + GAPS;
        let bottom = plain_wall + WALL;

        let height = |face: Face, below_m: f64| match face {
            Face::Gear => gear_wall + below_m * per_m,
            Face::Plain => plain_wall - below_m * per_m,
        };
        for (face, break_y, wall_top) in
            [(Face::Gear, upper_break, top), (Face::Plain, lower_break, plain_wall)]
        {
            let back = if face == Face::Gear { wall_top } else { bottom };
            let surface = self.wall(section, face, |below_m| height(face, below_m));
            let mut wall = vec![(LEFT, back)];
            wall.extend(&surface);
            wall.push((RIGHT, back));
            sheet.path(&outline(&wall, true), "paper");
            sheet.hatched(&outline(&wall, true), Hatch::Wall);
            for half in self.profile(section, face) {
                let points: Vec<_> = half
                    .iter()
                    .map(|p| (self.radius_at(p.0), height(face, Self::below_m(section, face, *p))))
                    .collect();
                Self::draw_half(sheet, &points, break_y);
                Self::draw_overlap(sheet, &points, &surface, face);
            }
            sheet.path(&outline(&surface, false), "edge");
            let label = format!("wall at the {} face", face.name());
            sheet.plate(LEFT + 8.0, wall_top + 24.0, Anchor::Start, &label);
        }
        // Bearing and gear, which stand back from the walls, are not drawn but for their place.
        let hub = self.radius_at(-self.land_inner_radius.to_m());
        let across = self.radius_at(self.land_inner_radius.to_m()) - hub;
        let (hub_top, hub_bottom) = (gear_wall + GAPS - 12.0, plain_wall - GAPS + 12.0);
        let hub = boxed(hub, hub_top, across, hub_bottom - hub_top);
        sheet.path(&hub, "metal");
        sheet.path(&hub, "dashed");
        let axis = self.radius_at(0.0);
        sheet.line((axis, gear_wall), (axis, hub_top), "axis");
        sheet.line((axis, hub_bottom), (axis, plain_wall), "axis");
        self.draw_gap(sheet, section, (gear_wall, plain_wall), per_m, system);
        self.draw_first(sheet, section, (gear_wall, plain_wall), per_m);
        self.draw_sizes(sheet, section, (hub_top, hub_bottom), system);
        Self::draw_beside(sheet, (top + 16.0, bottom), name, section, system);
        bottom
    }

    /// One half of a face: metal from its profile to the break.
    fn draw_half(sheet: &mut Sheet, profile: &[(f64, f64)], break_y: f64) {
        let (Some(first), Some(last)) = (profile.first(), profile.last()) else { return };
        let mut metal = profile.to_vec();
        metal.push((last.0, break_y));
        // A zigzag says that metal was left out.
        let run = last.0 - first.0;
        let teeth = 2 * (run / TOOTH).round().max(1.0) as i32;
        for tooth in 1..teeth {
            let x = last.0 - run * f64::from(tooth) / f64::from(teeth);
            metal.push((x, break_y + if tooth % 2 == 0 { 0.0 } else { 5.0 }));
        }
        metal.push((first.0, break_y));
        sheet.path(&outline(&metal, true), "metal");
        sheet.path(&outline(profile, false), "edge");
        sheet.path(&outline(&metal[profile.len() - 1..], false), "thin");
        sheet.line(*first, (first.0, break_y), "thin");
    }

    /// The surface of a wall, from left to right.
    fn wall(&self, section: &Section, face: Face, height: impl Fn(f64) -> f64) -> Vec<(f64, f64)> {
        let (left_m, right_m) = (-self.left_m(), self.tip_radius.to_m());
        let mut radii_m = vec![left_m];
        let wear = section.wear(face);
        if wear.land != wear.tip {
            radii_m
                .extend(section.tracks.ends_m().iter().filter(|r| (left_m..right_m).contains(r)));
        }
        radii_m.push(right_m);
        radii_m.into_iter().map(|r| (self.radius_at(r), height(section.wall_m(face, r)))).collect()
    }

    /// What would be inside the wall, crossed out.
    fn draw_overlap(sheet: &mut Sheet, profile: &[(f64, f64)], surface: &[(f64, f64)], face: Face) {
        let sign = if face == Face::Gear { 1.0 } else { -1.0 };
        for pair in profile.windows(2) {
            for wall in surface.windows(2) {
                // The common part of the two pieces.
                let (from, to) = (pair[0].0.max(wall[0].0), pair[1].0.min(wall[1].0));
                if to - from < 1e-9 {
                    continue;
                }
                let on = |line: &[(f64, f64)], x: f64| {
                    let [(x0, y0), (x1, y1)] = [line[0], line[1]];
                    y0 + (y1 - y0) * (x - x0) / (x1 - x0)
                };
                let depth = |x: f64| (on(wall, x) - on(pair, x)) * sign;
                let (d0, d1) = (depth(from), depth(to));
                if d0.max(d1) <= 0.5 {
                    continue;
                }
                // Where the profile passes through the wall.
                let crossing = from + (to - from) * d0 / (d0 - d1);
                let a = if d0 >= 0.0 { from } else { crossing };
                let b = if d1 >= 0.0 { to } else { crossing };
                let corners =
                    [(a, on(pair, a)), (b, on(pair, b)), (b, on(wall, b)), (a, on(wall, a))];
                let area = outline(&corners, true);
                sheet.path(&area, "paper");
                sheet.hatched(&area, Hatch::Barred);
                sheet.path(&area, "bad-edge");
            }
        }
    }

    /// The gap at the tip of the section: a dimension line, its figure on the metal where there
    /// is room (it stands beside the section too).
    fn draw_gap(
        &self,
        sheet: &mut Sheet,
        section: &Section,
        walls: (f64, f64),
        per_m: f64,
        system: System,
    ) {
        let tip = section.lean.tip;
        let TipGap { face, gap: figure, .. } = section.tips[tip.index()];
        let point = (self.tip_radius.to_m(), section.heights.face(face).tip[tip.index()].to_m());
        let wall = section.wall_m(face, point.0) * per_m;
        let below = Self::below_m(section, face, point) * per_m;
        let (wall, y, words_y) = match face {
            Face::Gear => (walls.0 + wall, walls.0 + below, walls.0 + GAPS + METAL - 12.0),
            Face::Plain => (walls.1 - wall, walls.1 - below, walls.1 - GAPS - METAL + 22.0),
        };
        if Self::gap_m(section, face, point) * per_m > 1.0 {
            dimension::upright(sheet, self.radius_at(point.0) - 12.0, wall, y);
        }
        let words = format!("gap {}", amount(figure, system));
        let room = RIGHT - self.radius_at(self.land_inner_radius.to_m());
        if text::width(&words, Type::Small) < room - 8.0 {
            sheet.text(RIGHT - 6.0, words_y, Type::Small, Anchor::End, &words);
        }
    }

    /// The point that touches first, by shape and word.
    fn draw_first(&self, sheet: &mut Sheet, section: &Section, walls: (f64, f64), per_m: f64) {
        let tip = section.lean.tip;
        let TipGap { face, first, .. } = section.tips[tip.index()];
        let heights = section.heights.face(face);
        let (radius_m, height_m) = match first {
            Touch::Land => (self.contact_m(section.relief), heights.land[tip.index()].to_m()),
            Touch::Tip => (self.tip_radius.to_m(), heights.tip[tip.index()].to_m()),
        };
        let below = Self::below_m(section, face, (radius_m, height_m)) * per_m;
        let point_x = self.radius_at(radius_m);
        let (point_y, wall_y) = match face {
            Face::Gear => (walls.0 + below, walls.0 - 0.5 * WALL),
            Face::Plain => (walls.1 - below, walls.1 + 0.5 * WALL),
        };
        let land_x = self.radius_at(self.land_radius.to_m());
        sheet.plate(land_x - 16.0, wall_y + 5.0, Anchor::End, first.words());
        match first {
            Touch::Land => sheet.mark(point_x, point_y, first.mark()),
            Touch::Tip => {
                // The overlap stays in sight: the mark stands at the words, a line leads on.
                let far = if face == Face::Gear { wall_y - 13.0 } else { wall_y + 13.0 };
                let way = [(land_x, wall_y), (land_x, far), (point_x, far), (point_x, point_y)];
                sheet.path(&outline(&way, false), "bad-edge");
                sheet.circle((point_x, point_y), 5.0, "bad");
                sheet.mark(land_x, wall_y, first.mark());
            }
        }
    }

    /// Sizes at the tip of the section, in the middle where bearing and gear are.
    fn draw_sizes(
        &self,
        sheet: &mut Sheet,
        section: &Section,
        (top, bottom): (f64, f64),
        system: System,
    ) {
        let half = (self.land_inner_radius.to_m() * self.per_radius_m() - 8.0).max(80.0);
        let k = section.lean.tip.index();
        let land = section.heights.land_width()[k];
        let mut lines = vec![
            format!("housing {}", size(section.housing_width, system)),
            format!("land {}", size(land, system)),
        ];
        for face in Face::BOTH {
            let step = section.heights.face(face).step()[k];
            let drop = section.relief.words();
            lines.push(format!("{} {drop} {}", face.name(), amount(step, system)));
        }
        lines.push(format!("tilt {} mrad", lean_mrad(section)));
        let parts: Vec<_> =
            lines.iter().flat_map(|l| text::wrap(l, Type::Small, 2.0 * half)).collect();
        let apart = ((bottom - top - 6.0) / parts.len() as f64).clamp(18.0, 27.0);
        let mut y = 0.5 * (top + bottom) - 0.5 * apart * (parts.len() as f64 - 1.0) + 5.0;
        for part in parts {
            sheet.text(self.radius_at(0.0), y, Type::Small, Anchor::Middle, &part);
            y += apart;
        }
    }

    /// Beside a section: the least gap at each tip.
    fn draw_beside(
        sheet: &mut Sheet,
        (top, bottom): (f64, f64),
        name: &str,
        section: &Section,
        system: System,
    ) {
        sheet.text(BESIDE, top, Type::Strong, Anchor::Start, name);
        sheet.text(BESIDE, top + 21.0, Type::Small, Anchor::Start, "least gap at each tip");
        let drawn = section.lean.tip;
        let listed: Vec<(Tip, String)> = if section.tips_alike() {
            let drawn_face = section.tips[drawn.index()].face.name();
            let words = format!("drawn: tip {}, {drawn_face} face", drawn.number());
            sheet.text(BESIDE, top + 119.0, Type::Small, Anchor::Start, &words);
            vec![(drawn, "All tips alike".to_owned())]
        } else {
            let head = |tip: Tip| {
                let face = section.tips[tip.index()].face.name();
                format!("Tip {}, {face} face", tip.number())
            };
            Tip::ALL.map(|tip| (tip, head(tip))).into()
        };
        let apart = (bottom - top - 50.0) / TIPS as f64;
        let single = listed.len() == 1;
        for (n, (tip, head)) in listed.into_iter().enumerate() {
            let TipGap { gap, first, .. } = section.tips[tip.index()];
            let y = top + 56.0 + apart * n as f64;
            sheet.text(BESIDE, y, Type::Strong, Anchor::Start, &head);
            sheet.text(BESIDE, y + 20.0, Type::Plain, Anchor::Start, &amount(gap, system));
            sheet.mark(BESIDE + 9.0, y + 36.0, first.mark());
            sheet.text(BESIDE + 26.0, y + 41.0, Type::Small, Anchor::Start, first.words());
            if tip == drawn && !single {
                sheet.text(BESIDE + 26.0, y + 59.0, Type::Small, Anchor::Start, "drawn here");
            }
        }
    }
}
