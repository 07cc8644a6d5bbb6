//! A rotor: its grooves, bores and gear on the face, and the gauges in sections.

use super::Halves;
use super::count::{Direction, Flank};
use super::item::RotorItem;
use super::left;
use super::rotor_cut;
use crate::gauges::{Point, Section};
use crate::places::Area;
use crate::pointer::{self, STROKE};
use crate::rotor_shape::{RotorShape, View};
use crate::sheet::{Sheet, outline, ring};
use crate::station::face::{RING, numbered, word};
use crate::tip::Tip;
use kernel::readings::{Face, TIPS};

/// As shares of how far a rotor reaches: a corner seal's bore and how far out it is, the apex
/// seal's groove across, how far in the side seals' grooves lie, the bearing bore of the land's
/// inner radius. For the picture alone.
const CORNER: f64 = 0.055;
const CORNER_OUT: f64 = 0.88;
const APEX: f64 = 0.014;
const SIDE_IN: f64 = 0.925;
const BORE: f64 = 0.84;
/// Base line of a word under the rotor, from its centre.
const LOWEST: f64 = 138.0;
/// How many bolts or pins hold the gear in the picture.
const FASTENERS: u32 = 8;

/// The face with what its seals sit in.
pub(super) struct Drawn {
    pub(super) view: View,
    reach_m: f64,
    outline: Vec<Point>,
}

impl Drawn {
    pub(super) fn new(
        sheet: &mut Sheet,
        area: Area,
        (shape, face): (&RotorShape, Face),
        is_marked: impl Fn(Tip) -> bool,
    ) -> Self {
        let view = numbered(sheet, area, (shape, face), is_marked, "edge");
        let outline = shape.outline.iter().map(|p| (p.x.to_m(), p.y.to_m())).collect();
        let drawn = Self { view, reach_m: shape.reach_m(), outline };
        for tip in Tip::ALL {
            let (a, b) = (drawn.on(tip, 1.0), drawn.on(tip, CORNER_OUT));
            let (dx, dy) = (b.0 - a.0, b.1 - a.1);
            let long = dx.hypot(dy).max(1e-9);
            let half = APEX * drawn.px();
            let (nx, ny) = (-dy / long * half, dx / long * half);
            let slot = [
                (a.0 + nx, a.1 + ny),
                (b.0 + nx, b.1 + ny),
                (b.0 - nx, b.1 - ny),
                (a.0 - nx, a.1 - ny),
            ];
            let d = crate::sheet::outline(&slot, true);
            sheet.path(&d, "paper");
            sheet.path(&d, "thin");
            let d = ring(b, CORNER * drawn.px(), 0.0);
            sheet.path(&d, "paper");
            sheet.path(&d, "edge");
        }
        for flank in Flank::ALL {
            let run = drawn.side_groove(flank);
            sheet.path(&outline_of(&run), "edge");
        }
        drawn
    }

    /// How far the rotor reaches on the sheet.
    fn px(&self) -> f64 {
        self.reach_m * self.view.per_m
    }

    /// A place on the azimuth of a tip.
    pub(super) fn on(&self, tip: Tip, share: f64) -> Point {
        self.view.on(tip, share * self.reach_m)
    }

    /// The groove of a side seal, from the corner seal of the tip that the flank starts at to the
    /// next one.
    pub(super) fn side_groove(&self, flank: Flank) -> Vec<Point> {
        let third = std::f64::consts::TAU / TIPS as f64;
        let start = -(flank.from().index() as f64) * third;
        // How far a point is past the first tip, the way tips are counted.
        let past = |p: &(f64, f64)| (start - p.1.atan2(p.0)).rem_euclid(std::f64::consts::TAU);
        let mut run: Vec<(f64, f64, f64)> = self
            .outline
            .iter()
            .map(|p| (past(p), p.0 * SIDE_IN, p.1 * SIDE_IN))
            .filter(|p| p.0 < third)
            .collect();
        run.sort_by(|a, b| a.0.total_cmp(&b.0));
        let corners: Vec<Point> = Tip::ALL.iter().map(|t| self.on(*t, CORNER_OUT)).collect();
        let free = CORNER * self.px() + 1.0;
        run.iter()
            .map(|p| self.view.at(p.1, p.2))
            .filter(|p| corners.iter().all(|c| (p.0 - c.0).hypot(p.1 - c.1) > free))
            .collect()
    }

    /// The middle of a flank's groove; where there is none, a place towards the flank.
    fn middle_of(&self, flank: Flank) -> Point {
        let run = self.side_groove(flank);
        run.get(run.len() / 2).copied().unwrap_or_else(|| {
            let azimuth =
                -(flank.from().index() as f64 + 0.5) * std::f64::consts::TAU / TIPS as f64;
            let out = 0.6 * self.reach_m;
            self.view.at(out * azimuth.cos(), out * azimuth.sin())
        })
    }
}

fn outline_of(run: &[Point]) -> String {
    outline(run, false)
}

/// A rotor.
pub(super) fn draw(sheet: &mut Sheet, halves: Halves, item: RotorItem, shape: Option<&RotorShape>) {
    let generic = RotorShape::generic();
    let shape = shape.unwrap_or(&generic);
    let face = item.seen();
    let is_marked = |tip: Tip| match item {
        RotorItem::ApexGroove { tip: at, .. } | RotorItem::CornerBore { tip: at, .. } => at == tip,
        RotorItem::BearingBore(_) => tip == Tip::One,
        _ => false,
    };
    let drawn = Drawn::new(sheet, halves.part, (shape, face), is_marked);
    let side = if face == Face::Gear { -1.0 } else { 1.0 };
    match item {
        RotorItem::ApexGroove { tip, place } => {
            let at = drawn.on(tip, 0.96);
            pointer::ring(sheet, at, RING);
            word(sheet, halves.part, drawn.view.centre, (at, tip), &["groove"]);
            rotor_cut::apex_groove(&mut Section::new(sheet, halves.section), place);
        }
        RotorItem::CornerBore { tip, .. } => {
            let at = drawn.on(tip, CORNER_OUT);
            pointer::ring(sheet, at, RING + 2.0);
            word(sheet, halves.part, drawn.view.centre, (at, tip), &["corner", "bore"]);
            rotor_cut::corner_bore(&mut Section::new(sheet, halves.section), side);
        }
        RotorItem::SideGroove { flank, size, .. } => {
            groove_on_face(sheet, halves.part, &drawn, flank);
            rotor_cut::side_groove(&mut Section::new(sheet, halves.section), side, size);
        }
        RotorItem::BearingBore(direction) => {
            bore_on_face(sheet, halves.part, &drawn, shape, direction);
            rotor_cut::bearing_bore(&mut Section::new(sheet, halves.section));
        }
        RotorItem::Gear => {
            gear_on_face(sheet, halves.part, &drawn, shape);
            rotor_cut::gear_cut(&mut Section::new(sheet, halves.section));
        }
        RotorItem::Cracks => {
            cracks_on_face(sheet, halves.part, &drawn, shape);
            rotor_cut::crack_test(&mut Section::new(sheet, halves.section));
        }
    }
}

/// Where words stand beside a flank, and under the lowest one.
fn beside(area: Area, centre: Point, at: Point) -> Point {
    if at.1 > centre.1 + 20.0 {
        (centre.0, centre.1 + LOWEST)
    } else if at.0 > centre.0 {
        (area.2 - 30.0, area.1 + 24.0)
    } else {
        (area.0 + 30.0, area.1 + 24.0)
    }
}

/// The groove of one side seal, heavy.
fn groove_on_face(sheet: &mut Sheet, area: Area, drawn: &Drawn, flank: Flank) {
    let run = drawn.side_groove(flank);
    let d = outline_of(&run);
    sheet.path(&d, "wanted-under");
    sheet.path(&d, "wanted");
    let at = drawn.middle_of(flank);
    pointer::ring(sheet, at, RING);
    let place = beside(area, drawn.view.centre, at);
    let to = pointer::short_of(place, at, RING + STROKE);
    left::word(sheet, place, &["groove"], to);
}

/// The bearing bore with the ways across it.
fn bore_on_face(
    sheet: &mut Sheet,
    area: Area,
    drawn: &Drawn,
    shape: &RotorShape,
    direction: Direction,
) {
    let inner = shape.land_inner_radius.to_m().max(0.0) * drawn.view.per_m;
    let r = BORE * inner;
    let (cx, cy) = drawn.view.centre;
    sheet.circle((cx, cy), inner, "metal");
    sheet.circle((cx, cy), r, "paper");
    sheet.circle((cx, cy), inner, "edge");
    sheet.circle((cx, cy), r, "edge");
    let (in_line, across) = direction.ways();
    if in_line {
        left::inside(sheet, (cx, cy - r), (cx, cy + r));
    }
    if across {
        left::inside(sheet, (cx - r, cy), (cx + r, cy));
    }
    let to = if in_line { (cx, cy - r) } else { (cx + r, cy) };
    word(sheet, area, (cx, cy), (to, Tip::One), &["bore"]);
}

/// The bolts or pins that hold the gear; the one on top and the one at the bottom.
fn bolts(sheet: &mut Sheet, drawn: &Drawn, shape: &RotorShape) -> (Point, Point) {
    let out = shape.gear_radius.to_m().max(0.0) * drawn.view.per_m + 9.0;
    let (cx, cy) = drawn.view.centre;
    for n in 0..FASTENERS {
        let (sin, cos) = (std::f64::consts::TAU * f64::from(n) / f64::from(FASTENERS)).sin_cos();
        sheet.circle((cx + out * sin, cy - out * cos), 3.5, "plain-mark");
    }
    ((cx, cy - out), (cx, cy + out))
}

/// The gear's teeth and what holds it.
fn gear_on_face(sheet: &mut Sheet, area: Area, drawn: &Drawn, shape: &RotorShape) {
    let r = shape.gear_radius.to_m().max(0.0) * drawn.view.per_m;
    let (cx, cy) = drawn.view.centre;
    let (bolt, _) = bolts(sheet, drawn, shape);
    pointer::ring(sheet, bolt, RING - 1.0);
    word(sheet, area, (cx, cy), (bolt, Tip::One), &["bolts"]);
    let tooth = (cx, cy + r);
    pointer::ring(sheet, tooth, RING);
    left::word(sheet, (cx, cy + LOWEST), &["teeth"], (cx, tooth.1 + RING + STROKE));
}

/// Where cracks start: groove roots, the web, the holes of the gear's bolts.
fn cracks_on_face(sheet: &mut Sheet, area: Area, drawn: &Drawn, shape: &RotorShape) {
    let (cx, cy) = drawn.view.centre;
    let (_, bolt) = bolts(sheet, drawn, shape);
    let web = {
        let azimuth = -2.5 * std::f64::consts::TAU / TIPS as f64;
        let out = 0.5 * (shape.land_radius.to_m() + SIDE_IN * drawn.reach_m * 0.78);
        drawn.view.at(out * azimuth.cos(), out * azimuth.sin())
    };
    for tip in Tip::ALL {
        pointer::ring(sheet, drawn.on(tip, CORNER_OUT), RING);
    }
    pointer::ring(sheet, bolt, RING - 1.0);
    pointer::ring(sheet, web, RING);
    word(sheet, area, (cx, cy), (drawn.on(Tip::One, CORNER_OUT), Tip::One), &["groove", "roots"]);
    let to = pointer::short_of((area.0 + 24.0, area.1 + 60.0), web, RING + STROKE);
    left::word(sheet, (area.0 + 24.0, area.1 + 60.0), &["web"], to);
    let to = (cx, bolt.1 + RING + STROKE);
    left::word(sheet, (cx, cy + LOWEST), &["bolt holes"], to);
}
