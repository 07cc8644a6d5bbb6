//! The rotor between its two walls, cut through its axis and one tip, as it is or before and after a cut,
//! as it stands when leaning its furthest and pushed to the wall where the tip is nearest.
//!
//! Along the radius everything is to scale; along the shaft gaps and steps are enlarged, by one
//! factor for both sections, and the rotor is broken in the middle so that it fits.

mod section;
mod wear;

pub use wear::{Tracks, Wear};

use crate::alike::alike;
use crate::mark::Mark;
use crate::number::{amount, factor, round_down, size};
use crate::options::Options;
use crate::origin::Origin;
use crate::sheet::{MARGIN, SCREENING, Sheet};
use crate::table::{Place, Table};
use crate::tip::Tip;
use crate::when::When;
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
    /// The room between unworn walls.
    pub housing_width: Length,
    /// Wear of the wall that the gear face looks at.
    pub gear_wall: Wear,
    /// Wear of the wall that the plain face looks at.
    pub plain_wall: Wear,
    /// Where the tracks lie in the section.
    pub tracks: Tracks,
    /// Land and tip heights of both faces from the mid-plane.
    pub heights: Heights,
    /// How the faces fall from land to tip.
    pub relief: Relief,
    /// How the rotor stands.
    pub lean: Lean,
    /// The least gap at tips 1, 2, 3.
    pub tips: [TipGap; TIPS],
}

/// A section and its time.
#[derive(Debug, Clone, PartialEq)]
pub struct Stage {
    /// When the rotor is like this.
    pub when: When,
    /// How it then stands.
    pub section: Section,
}

/// The model of the picture.
#[derive(Debug, Clone, PartialEq)]
pub struct SideGap {
    /// The rotor's serial.
    pub serial: String,
    /// What it belongs to; it runs in this housing.
    pub origin: Origin,
    /// Inner edge of the land.
    pub land_inner_radius: Length,
    /// Outer edge of the land.
    pub land_radius: Length,
    /// Outermost point of a side face at a tip.
    pub tip_radius: Length,
    /// The first section.
    pub first: Stage,
    /// The second one, where a cut makes a difference.
    pub second: Option<Stage>,
    /// What else must be said, each a sentence.
    pub notes: Vec<String>,
}

/// Left and right edge of the sections on the sheet.
const LEFT: f64 = MARGIN;
const RIGHT: f64 = 580.0;
/// Height of the room for gaps, and how deep a tip may be drawn inside a wall.
const GAPS: f64 = 84.0;
const INSIDE: f64 = 24.0;

/// A point of a face in the section: radius from the axis (negative left of it) and height of
/// the face above the mid-plane.
type FacePoint = (f64, f64);

impl Section {
    /// The gap at the tip of the section as it is drawn, from the pose: with the tip's figure it
    /// is the same. `tip_radius`: outermost point of the side face there.
    #[must_use]
    pub fn drawn_gap(&self, tip_radius: Length) -> Length {
        let k = self.lean.tip.index();
        let face = self.tips[k].face;
        let point = (tip_radius.to_m(), self.heights.face(face).tip[k].to_m());
        Length::m(SideGap::gap_m(self, face, point))
    }

    const fn wear(&self, face: Face) -> &Wear {
        match face {
            Face::Gear => &self.gear_wall,
            Face::Plain => &self.plain_wall,
        }
    }

    /// Height of a wall's surface at a radius over its own deepest track.
    fn wall_m(&self, face: Face, radius_m: f64) -> f64 {
        let wear = self.wear(face);
        wear.deepest_m() - self.tracks.wear_m(wear, radius_m)
    }

    /// Whether all tips have the same gap and touch alike.
    fn tips_alike(&self) -> bool {
        alike(&self.tips.map(|tip| tip.gap))
            && self.tips.iter().all(|tip| tip.first == self.tips[0].first)
    }
}

impl SideGap {
    fn stages(&self) -> impl Iterator<Item = &Stage> {
        std::iter::once(&self.first).chain(&self.second)
    }

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

    /// How far a face point is below its wall's deepest track.
    fn below_m(section: &Section, face: Face, (radius_m, height_m): FacePoint) -> f64 {
        let lean_m = section.lean.float.to_m() + section.lean.slope.to_rad() * radius_m;
        let towards = if face == Face::Gear { lean_m } else { -lean_m };
        0.5 * section.housing_width.to_m() + section.wear(face).deepest_m() - height_m - towards
    }

    /// The gap between a face point and the wall it looks at.
    fn gap_m(section: &Section, face: Face, point: FacePoint) -> f64 {
        Self::below_m(section, face, point) - section.wall_m(face, point.0)
    }

    /// Units of the view box per metre along the shaft, and how many times that is enlarged
    /// against the radius.
    fn axial_scale(&self) -> (f64, f64) {
        let mut widest_m = 10e-6_f64;
        let mut deepest_m = 0.0_f64;
        for Stage { section, .. } in self.stages() {
            for face in Face::BOTH {
                for point in self.profile(section, face).concat() {
                    let below_m = Self::below_m(section, face, point);
                    widest_m = widest_m.max(below_m);
                    deepest_m = deepest_m.max(-below_m);
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

    /// Wear of the walls in words; nothing where there is none.
    fn worn(&self, system: System) -> Vec<String> {
        let mut all: Vec<String> = Vec::new();
        for Stage { section, .. } in self.stages() {
            for face in Face::BOTH {
                let wear = section.wear(face);
                let words = format!(
                    "Wall at the {} face worn: land track {}, tip track {}.",
                    face.name(),
                    amount(wear.land, system),
                    amount(wear.tip, system)
                );
                if wear.deepest_m() > 0.0 && !all.contains(&words) {
                    all.push(words);
                }
            }
        }
        all
    }

    fn title(&self) -> String {
        format!("Side gap: rotor {} in housing {}", self.serial, self.origin.housing)
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
        for Stage { when, section } in self.stages() {
            y = self.draw_section(&mut sheet, y, when.title(), section, per_m, options.system);
            y += 12.0;
        }
        y = sheet.notes(y + 14.0, &self.worn(options.system));
        y = sheet.notes(y, &self.notes);
        let mut sentences = vec![scale, SCREENING.to_owned()];
        sentences.extend(self.sentences(options.system));
        sheet.close(y, &self.title(), &sentences, &self.origin)
    }

    fn sentences(&self, system: System) -> Vec<String> {
        let mut all = Vec::new();
        for Stage { when, section } in self.stages() {
            let name = when.title();
            all.push(format!(
                "{name}: housing {}; the section goes through tip {}, tilt {} mrad.",
                size(section.housing_width, system),
                section.lean.tip.number(),
                lean_mrad(section),
            ));
            if section.tips_alike() {
                all.push(format!("{name}: all tips alike."));
            }
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
        all.extend(self.worn(system));
        all.extend(self.notes.iter().cloned());
        all
    }

    /// Its data.
    #[must_use]
    pub fn csv(&self) -> String {
        let mut table = Table::new();
        for Stage { when, section } in self.stages() {
            let name = when.words();
            let rotor = Place { rotor: &self.serial, ..Place::default() };
            let width = Some(section.housing_width);
            table.row(&format!("housing width {name}"), rotor, width, &self.origin.housing);
            for face in Face::BOTH {
                let (wear, place) = (section.wear(face), Place { face: face.name(), ..rotor });
                for (track, depth) in [("land", wear.land), ("tip", wear.tip)] {
                    if wear.deepest_m() > 0.0 {
                        table.row(&format!("wear of the {track} track"), place, Some(depth), name);
                    }
                }
            }
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
            gear_wall: Wear::default(),
            plain_wall: Wear::default(),
            tracks: Tracks::default(),
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
            origin: Origin { housing: "H-31".into(), ..Origin::default() },
            land_inner_radius: Length::mm(45.0),
            land_radius: Length::mm(61.0),
            tip_radius: Length::mm(99.0),
            first: Stage { when: When::AsItIs, section },
            second: None,
            notes: Vec::new(),
        }
    }

    /// The picture is drawn from the pose, the figure comes with the model: at the tilt where
    /// both lands touch they must agree, `step - (r_T/r_L - 1) c`.
    #[test]
    fn the_drawn_gap_is_the_closed_form() {
        let model = jammed();
        let section = &model.first.section;
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
            for point in model.profile(&model.first.section, face).concat() {
                let drawn = SideGap::gap_m(&model.first.section, face, point) * per_m;
                assert!((-INSIDE..=GAPS + 1e-6).contains(&drawn), "{drawn}");
            }
        }
    }
}
