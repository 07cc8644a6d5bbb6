//! The rotor between its two walls, cut through its axis and one tip, before and after the cut,
//! as it stands when leaning its furthest and pushed to the wall where the tip is nearest.
//!
//! Along the radius everything is to scale; along the shaft gaps and steps are enlarged, by one
//! factor for both sections, and the rotor is broken in the middle so that it fits.

use crate::dimension;
use crate::hatch::Hatch;
use crate::mark::Mark;
use crate::number::{amount, factor, round_down, size};
use crate::options::Options;
use crate::sheet::{Anchor, MARGIN, SCREENING, Sheet, WIDTH, boxed, outline};
use crate::table::{Place, Table};
use crate::text::{self, Type};
use crate::tip::Tip;
use kernel::readings::{Face, FaceHeights, Heights, TIPS};
use kernel::units::{Angle, Length, System};

/// Which of the two reaches the wall first when the rotor leans.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Touch {
    /// The land: the tip is protected.
    Land,
    /// The tip.
    Tip,
}

/// How a face falls from the land to the tip.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Relief {
    /// At once, at the outer edge of the land.
    Step,
    /// Evenly, from a radius outside the land to the tip.
    Taper {
        /// Where it starts.
        from: Length,
    },
}

/// How the rotor stands in the section.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lean {
    /// The tip through which the section goes; it is drawn on the right.
    pub tip: Tip,
    /// How far the rotor's mid-plane, on its axis, is off the middle of the housing, positive
    /// towards the wall that the gear face looks at.
    pub float: Length,
    /// Slope towards that tip, positive with the tip leaning to the wall at the gear face.
    pub slope: Angle,
}

/// The least gap at a tip, at worst tilt and worst float.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TipGap {
    /// On which face it is least.
    pub face: Face,
    /// The gap; negative where the tip would be inside the wall.
    pub gap: Length,
    /// What touches first there.
    pub first: Touch,
}

/// The rotor in its housing at one time.
#[derive(Debug, Clone, PartialEq)]
pub struct Section {
    /// The room between the walls.
    pub housing_width: Length,
    /// Land and tip heights of both faces from the mid-plane.
    pub heights: Heights,
    /// How the faces fall from land to tip.
    pub relief: Relief,
    /// How the rotor stands.
    pub lean: Lean,
    /// The least gap at tips 1, 2, 3.
    pub tips: [TipGap; TIPS],
}

/// The model of the picture.
#[derive(Debug, Clone, PartialEq)]
pub struct SideGap {
    /// The rotor's serial.
    pub serial: String,
    /// The serial of the housing it runs in.
    pub housing: String,
    /// Inner edge of the land.
    pub land_inner_radius: Length,
    /// Outer edge of the land.
    pub land_radius: Length,
    /// Outermost point of a side face at a tip.
    pub tip_radius: Length,
    /// As measured.
    pub before: Section,
    /// As planned.
    pub after: Section,
    /// What else must be said, each a sentence.
    pub notes: Vec<String>,
}

/// Left and right edge of the sections on the sheet.
const LEFT: f64 = MARGIN;
const RIGHT: f64 = 580.0;
/// Where the words beside a section start.
const BESIDE: f64 = 594.0;
/// Heights of the parts of a section, from its top: wall, gaps, metal down to the break.
const WALL: f64 = 38.0;
const GAPS: f64 = 84.0;
const METAL: f64 = 46.0;
const BREAK: f64 = 24.0;
/// Length of a tooth of the break.
const TOOTH: f64 = 17.0;
/// How deep a tip may be drawn inside a wall.
const INSIDE: f64 = 24.0;

/// A point of a face in the section: radius from the axis (negative left of it) and height of
/// the face above the mid-plane.
type FacePoint = (f64, f64);

impl SideGap {
    /// The left end: a little beyond the land, where a flank is.
    fn left_m(&self) -> f64 {
        1.12 * self.land_radius.to_m()
    }

    fn per_radius_m(&self) -> f64 {
        (RIGHT - LEFT) / (self.left_m() + self.tip_radius.to_m()).max(1e-6)
    }

    fn radius_at(&self, radius_m: f64) -> f64 {
        LEFT + (radius_m + self.left_m()) * self.per_radius_m()
    }

    /// The outermost radius at the land's own height: where the land touches.
    fn contact_m(&self, relief: Relief) -> f64 {
        match relief {
            Relief::Step => self.land_radius.to_m(),
            Relief::Taper { from } => from.max(self.land_radius).to_m(),
        }
    }

    /// The two halves of a face, from the left end and up to the tip.
    ///
    /// Heights are known at the three tips. Opposite a tip the land is where the plane through
    /// its three heights has it, and the face outside it lies lower by the mean of the other two
    /// steps.
    fn profile(&self, section: &Section, face: Face) -> [Vec<FacePoint>; 2] {
        let heights = section.heights.face(face);
        let k = section.lean.tip.index();
        let (land_m, tip_m) = (heights.land[k].to_m(), heights.tip[k].to_m());
        let mean_m = heights.land.iter().copied().sum::<Length>().to_m() / TIPS as f64;
        let opposite_m = 2.0 * mean_m - land_m;
        let step_m = opposite_step(heights, k);
        let (inner_m, outer_m) = (self.land_inner_radius.to_m(), self.land_radius.to_m());
        let right = match section.relief {
            Relief::Step => vec![
                (inner_m, land_m),
                (outer_m, land_m),
                (outer_m, tip_m),
                (self.tip_radius.to_m(), tip_m),
            ],
            Relief::Taper { .. } => vec![
                (inner_m, land_m),
                (self.contact_m(section.relief), land_m),
                (self.tip_radius.to_m(), tip_m),
            ],
        };
        let left = match section.relief {
            Relief::Step => vec![
                (-self.left_m(), opposite_m - step_m),
                (-outer_m, opposite_m - step_m),
                (-outer_m, opposite_m),
                (-inner_m, opposite_m),
            ],
            Relief::Taper { .. } => {
                // As far as it is drawn, on the same line as towards a tip.
                let from_m = self.contact_m(section.relief);
                let run_m = (self.tip_radius.to_m() - from_m).max(1e-9);
                let part = ((self.left_m() - from_m) / run_m).clamp(0.0, 1.0);
                vec![
                    (-self.left_m(), opposite_m - step_m * part),
                    (-from_m.min(self.left_m()), opposite_m),
                    (-inner_m, opposite_m),
                ]
            }
        };
        [left, right]
    }

    /// The gap between a face point and the wall it looks at.
    fn gap_m(section: &Section, face: Face, (radius_m, height_m): FacePoint) -> f64 {
        let lean_m = section.lean.float.to_m() + section.lean.slope.to_rad() * radius_m;
        let towards = if face == Face::Gear { lean_m } else { -lean_m };
        0.5 * section.housing_width.to_m() - height_m - towards
    }

    /// Units of the view box per metre along the shaft, and how many times that is enlarged
    /// against the radius.
    fn axial_scale(&self) -> (f64, f64) {
        let mut widest_m = 10e-6_f64;
        let mut deepest_m = 0.0_f64;
        for section in [&self.before, &self.after] {
            for face in Face::BOTH {
                for point in self.profile(section, face).concat() {
                    let gap_m = Self::gap_m(section, face, point);
                    widest_m = widest_m.max(gap_m);
                    deepest_m = deepest_m.max(-gap_m);
                }
            }
        }
        let mut most = GAPS / widest_m;
        if deepest_m > 0.0 {
            most = most.min(INSIDE / deepest_m);
        }
        let times = round_down(most / self.per_radius_m());
        (times * self.per_radius_m(), times)
    }

    fn title(&self) -> String {
        format!("Side gap: rotor {} in housing {}", self.serial, self.housing)
    }

    /// The picture.
    #[must_use]
    pub fn svg(&self, options: &Options) -> String {
        let mut sheet = Sheet::new("side-gap", options);
        let (per_m, times) = self.axial_scale();
        let scale = format!(
            "At worst tilt and worst float. Radius to scale; along the shaft {} times larger.",
            factor(times)
        );
        let mut y = sheet.heading(&self.title(), &[scale.clone(), SCREENING.to_owned()]);
        for (name, section) in [("Before the cut", &self.before), ("After the cut", &self.after)] {
            y = self.draw_section(&mut sheet, y, name, section, per_m, options.system) + 12.0;
        }
        y += 14.0;
        for note in &self.notes {
            y = sheet.block(MARGIN, y, Type::Plain, WIDTH - 2.0 * MARGIN, note);
        }
        let mut sentences = vec![scale, SCREENING.to_owned()];
        sentences.extend(self.sentences(options.system));
        sheet.close(y, &self.title(), &sentences)
    }

    /// One section from `top`; its bottom.
    fn draw_section(
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

        let height = |face: Face, gap_m: f64| match face {
            Face::Gear => gear_wall + gap_m * per_m,
            Face::Plain => plain_wall - gap_m * per_m,
        };
        for wall_top in [top, plain_wall] {
            let wall = boxed(LEFT, wall_top, RIGHT - LEFT, WALL);
            sheet.path(&wall, "paper");
            sheet.hatched(&wall, Hatch::Wall);
        }
        for (face, break_y, wall_top) in
            [(Face::Gear, upper_break, top), (Face::Plain, lower_break, plain_wall)]
        {
            for half in self.profile(section, face) {
                let points: Vec<_> = half
                    .iter()
                    .map(|p| (self.radius_at(p.0), height(face, Self::gap_m(section, face, *p))))
                    .collect();
                Self::draw_half(sheet, &points, break_y);
                self.draw_overlap(sheet, &points, (face, gear_wall, plain_wall));
            }
            let wall_y = if face == Face::Gear { gear_wall } else { plain_wall };
            sheet.line((LEFT, wall_y), (RIGHT, wall_y), "edge");
            let label = format!("wall at the {} face", face.name());
            plate(sheet, LEFT + 8.0, wall_top + 24.0, Anchor::Start, &label);
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

    /// What would be inside the wall, crossed out.
    fn draw_overlap(
        &self,
        sheet: &mut Sheet,
        profile: &[(f64, f64)],
        (face, gear_wall, plain_wall): (Face, f64, f64),
    ) {
        let (wall, sign) = match face {
            Face::Gear => (gear_wall, 1.0),
            Face::Plain => (plain_wall, -1.0),
        };
        let depth = |y: f64| (wall - y) * sign;
        for pair in profile.windows(2) {
            let [(x0, y0), (x1, y1)] = [pair[0], pair[1]];
            let (d0, d1) = (depth(y0), depth(y1));
            if d0.max(d1) <= 0.5 || (x1 - x0).abs() < 1e-9 {
                continue;
            }
            // Where the profile passes through the wall.
            let crossing = |from: (f64, f64), to: (f64, f64), d_from: f64, d_to: f64| {
                if d_from >= 0.0 {
                    from
                } else {
                    (from.0 + (to.0 - from.0) * d_from / (d_from - d_to), wall)
                }
            };
            let a = crossing((x0, y0), (x1, y1), d0, d1);
            let b = crossing((x1, y1), (x0, y0), d1, d0);
            let area = outline(&[a, b, (b.0, wall), (a.0, wall)], true);
            sheet.path(&area, "paper");
            sheet.hatched(&area, Hatch::Barred);
            sheet.path(&area, "bad-edge");
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
        let gap = Self::gap_m(section, face, point) * per_m;
        let (wall, y, words_y) = match face {
            Face::Gear => (walls.0, walls.0 + gap, walls.0 + GAPS + METAL - 12.0),
            Face::Plain => (walls.1, walls.1 - gap, walls.1 - GAPS - METAL + 22.0),
        };
        if gap > 1.0 {
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
        let gap = Self::gap_m(section, face, (radius_m, height_m)) * per_m;
        let point_x = self.radius_at(radius_m);
        let (point_y, wall_y) = match face {
            Face::Gear => (walls.0 + gap, walls.0 - 0.5 * WALL),
            Face::Plain => (walls.1 - gap, walls.1 + 0.5 * WALL),
        };
        let land_x = self.radius_at(self.land_radius.to_m());
        plate(sheet, land_x - 16.0, wall_y + 5.0, Anchor::End, first.words());
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
        let apart = (bottom - top - 50.0) / TIPS as f64;
        for tip in Tip::ALL {
            let TipGap { face, gap, first } = section.tips[tip.index()];
            let y = top + 56.0 + apart * tip.index() as f64;
            let head = format!("Tip {}, {} face", tip.number(), face.name());
            sheet.text(BESIDE, y, Type::Strong, Anchor::Start, &head);
            sheet.text(BESIDE, y + 20.0, Type::Plain, Anchor::Start, &amount(gap, system));
            sheet.mark(BESIDE + 9.0, y + 36.0, first.mark());
            sheet.text(BESIDE + 26.0, y + 41.0, Type::Small, Anchor::Start, first.words());
            if tip == section.lean.tip {
                sheet.text(BESIDE + 26.0, y + 59.0, Type::Small, Anchor::Start, "drawn here");
            }
        }
    }

    fn sentences(&self, system: System) -> Vec<String> {
        let mut all = Vec::new();
        for (name, section) in [("Before the cut", &self.before), ("After the cut", &self.after)] {
            all.push(format!(
                "{name}: housing {}; the section goes through tip {}, tilt {} mrad.",
                size(section.housing_width, system),
                section.lean.tip.number(),
                lean_mrad(section),
            ));
            let (land, drop) = (section.heights.land_width(), section.relief.words());
            for tip in Tip::ALL {
                let k = tip.index();
                all.push(format!(
                    "{name}, tip {}: land {}, gear {drop} {}, plain {drop} {}.",
                    tip.number(),
                    size(land[k], system),
                    amount(section.heights.gear.step()[k], system),
                    amount(section.heights.plain.step()[k], system),
                ));
                let TipGap { face, gap, first } = section.tips[tip.index()];
                all.push(format!(
                    "{name}, tip {}: least gap {} on the {} face, {}.",
                    tip.number(),
                    amount(gap, system),
                    face.name(),
                    first.words()
                ));
            }
        }
        all.extend(self.notes.iter().cloned());
        all
    }

    /// Its data.
    #[must_use]
    pub fn csv(&self) -> String {
        let mut table = Table::new();
        for (name, section) in [("before", &self.before), ("after", &self.after)] {
            let rotor = Place { rotor: &self.serial, ..Place::default() };
            let width = Some(section.housing_width);
            table.row(&format!("housing width {name}"), rotor, width, &self.housing);
            let land_width = section.heights.land_width();
            for tip in Tip::ALL {
                let (k, place) = (tip.index(), Place { tip: tip.number(), ..rotor });
                table.row(&format!("land width {name}"), place, Some(land_width[k]), "");
                for face in Face::BOTH {
                    let step = section.heights.face(face).step()[k];
                    let place = Place { face: face.name(), ..place };
                    table.row(&format!("step {name}"), place, Some(step), "");
                }
                let TipGap { face, gap, first } = section.tips[k];
                let place = Place { face: face.name(), ..place };
                table.row(&format!("least gap {name}"), place, Some(gap), first.words());
            }
        }
        table.into_text()
    }
}

impl Relief {
    /// What the height from land to tip is called.
    const fn words(self) -> &'static str {
        match self {
            Self::Step => "step",
            Self::Taper { .. } => "drop",
        }
    }
}

impl Touch {
    const fn words(self) -> &'static str {
        match self {
            Self::Land => "land touches first",
            Self::Tip => "tip touches first",
        }
    }

    const fn mark(self) -> Mark {
        match self {
            Self::Land => Mark::Holds,
            Self::Tip => Mark::Fails,
        }
    }
}

fn opposite_step(heights: &FaceHeights, k: usize) -> f64 {
    let step = heights.step();
    let others = step.iter().copied().sum::<Length>() - step[k];
    others.to_m() / (TIPS - 1) as f64
}

fn lean_mrad(section: &Section) -> String {
    format!("{:.2}", section.lean.slope.to_rad().abs() * 1e3)
}

/// A word on a hatched area, with free space around it.
fn plate(sheet: &mut Sheet, x: f64, y: f64, anchor: Anchor, words: &str) {
    let width = text::width(words, Type::Small);
    let left = match anchor {
        Anchor::Start => x,
        Anchor::Middle => x - 0.5 * width,
        Anchor::End => x - width,
    };
    sheet.path(&boxed(left - 4.0, y - 15.0, width + 8.0, 20.0), "paper");
    sheet.text(x, y, Type::Small, anchor, words);
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A square rotor of 79.788 with steps of 127 um, leaning until both lands touch.
    fn jammed() -> SideGap {
        let (land, step, room) = (Length::mm(79.788), Length::um(127.0), Length::mm(80.008));
        let face = FaceHeights { land: [land / 2.0; TIPS], tip: [land / 2.0 - step; TIPS] };
        let per_side_m = 0.5 * (room - land).to_m();
        let gap = Length::m(step.to_m() - (99.0 / 61.0 - 1.0) * per_side_m);
        let section = Section {
            housing_width: room,
            heights: Heights { gear: face, plain: face },
            relief: Relief::Step,
            lean: Lean {
                tip: Tip::One,
                float: Length::ZERO,
                slope: Angle::rad(per_side_m / 61e-3),
            },
            tips: [TipGap { face: Face::Gear, gap, first: Touch::Land }; TIPS],
        };
        SideGap {
            serial: "R-114".into(),
            housing: "H-31".into(),
            land_inner_radius: Length::mm(45.0),
            land_radius: Length::mm(61.0),
            tip_radius: Length::mm(99.0),
            before: section.clone(),
            after: section,
            notes: Vec::new(),
        }
    }

    /// The picture is drawn from the pose, the figure comes with the model: at the tilt where
    /// both lands touch they must agree, `step - (r_T/r_L - 1) c`.
    #[test]
    fn the_drawn_gap_is_the_closed_form() {
        let model = jammed();
        let section = &model.before;
        let [_, right] = model.profile(section, Face::Gear);
        let drawn_m = SideGap::gap_m(section, Face::Gear, right[3]);
        assert!((drawn_m - section.tips[0].gap.to_m()).abs() < 1e-12, "{drawn_m}");
        // Both lands touch: right on the gear side, left on the plain side.
        assert!(SideGap::gap_m(section, Face::Gear, right[1]).abs() < 1e-12);
        let [left, _] = model.profile(section, Face::Plain);
        assert!(SideGap::gap_m(section, Face::Plain, left[2]).abs() < 1e-12);
    }

    #[test]
    fn the_axial_scale_is_round_and_fits() {
        let model = jammed();
        let (per_m, times) = model.axial_scale();
        assert_eq!(times, round_down(times));
        for face in Face::BOTH {
            for point in model.profile(&model.before, face).concat() {
                let drawn = SideGap::gap_m(&model.before, face, point) * per_m;
                assert!((-INSIDE..=GAPS + 1e-6).contains(&drawn), "{drawn}");
            }
        }
    }
}
