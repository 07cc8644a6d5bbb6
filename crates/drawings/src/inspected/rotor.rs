//! A rotor: its grooves, bores and gear on the face, and the gauges in sections.

use super::Halves;
use super::count::{Direction, Flank};
use super::item::{GroovePlace, GrooveSize, RotorItem};
use super::left;
use super::tools::{LENS, arc};
use crate::arrow;
use crate::gauges::{Point, Section};
use crate::places::Area;
use crate::pointer::{self, STROKE};
use crate::rotor_shape::{RotorShape, View};
use crate::sheet::{Sheet, outline, ring};
use crate::station::face::{RING, numbered, word};
use crate::text::Type;
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
/// How many bolts or pins hold the gear in the picture.
const FASTENERS: u32 = 9;

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
            apex_groove(&mut Section::new(sheet, halves.section), place);
        }
        RotorItem::CornerBore { tip, .. } => {
            let at = drawn.on(tip, CORNER_OUT);
            pointer::ring(sheet, at, RING + 2.0);
            word(sheet, halves.part, drawn.view.centre, (at, tip), &["corner", "bore"]);
            corner_bore(&mut Section::new(sheet, halves.section), side);
        }
        RotorItem::SideGroove { flank, size, .. } => {
            groove_on_face(sheet, halves.part, &drawn, flank);
            side_groove(&mut Section::new(sheet, halves.section), side, size);
        }
        RotorItem::BearingBore(direction) => {
            bore_on_face(sheet, halves.part, &drawn, shape, direction);
            bearing_bore(&mut Section::new(sheet, halves.section));
        }
        RotorItem::GearTeeth | RotorItem::GearFastening => {
            gear_on_face(sheet, halves.part, &drawn, shape, item == RotorItem::GearTeeth);
            let mut section = Section::new(sheet, halves.section);
            if item == RotorItem::GearTeeth {
                teeth_cut(&mut section);
            } else {
                fastening_cut(&mut section);
            }
        }
        RotorItem::Cracks => {
            cracks_on_face(sheet, halves.part, &drawn, shape);
            crack_test(&mut Section::new(sheet, halves.section));
        }
    }
}

/// Where words stand beside a flank, and under the lowest one.
fn beside(area: Area, centre: Point, at: Point) -> Point {
    if at.1 > centre.1 + 20.0 {
        (centre.0, centre.1 + 122.0)
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
    sheet.path(&ring((cx, cy), inner, r), "metal");
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

/// The gear, or the bolts around it.
fn gear_on_face(sheet: &mut Sheet, area: Area, drawn: &Drawn, shape: &RotorShape, teeth: bool) {
    let r = shape.gear_radius.to_m().max(0.0) * drawn.view.per_m;
    let (cx, cy) = drawn.view.centre;
    let bolt = |n: u32| {
        let (sin, cos) = (std::f64::consts::TAU * f64::from(n) / f64::from(FASTENERS)).sin_cos();
        let out = r + 9.0;
        (cx + out * sin, cy - out * cos)
    };
    if !teeth {
        for n in 0..FASTENERS {
            sheet.circle(bolt(n), 3.5, "plain-mark");
        }
    }
    let at = if teeth { (cx, cy - r) } else { bolt(0) };
    pointer::ring(sheet, at, RING);
    let words: &[&str] = if teeth { &["teeth"] } else { &["gear's", "bolts"] };
    word(sheet, area, (cx, cy), (at, Tip::One), words);
    // All around.
    let way: Vec<Point> = (0..=24)
        .map(|n| {
            let (sin, cos) = (f64::from(n) * 10.0 + 40.0).to_radians().sin_cos();
            let out = 0.62 * r;
            (cx + out * sin, cy - out * cos)
        })
        .collect();
    sheet.path(&outline_of(&way), "edge");
    if let [.., before, last] = way.as_slice() {
        arrow::head(sheet, *last, (last.0 - before.0, last.1 - before.1));
    }
    sheet.text(cx, cy + 5.0, Type::Plain, crate::sheet::Anchor::Middle, "all");
}

/// Where cracks start: groove roots, the web, the holes of the gear's bolts.
fn cracks_on_face(sheet: &mut Sheet, area: Area, drawn: &Drawn, shape: &RotorShape) {
    let (cx, cy) = drawn.view.centre;
    let r = shape.gear_radius.to_m().max(0.0) * drawn.view.per_m + 9.0;
    for n in 0..FASTENERS {
        let (sin, cos) = (std::f64::consts::TAU * f64::from(n) / f64::from(FASTENERS)).sin_cos();
        sheet.circle((cx + r * sin, cy - r * cos), 3.5, "plain-mark");
    }
    let web = {
        let azimuth = -2.5 * std::f64::consts::TAU / TIPS as f64;
        let out = 0.5 * (shape.land_radius.to_m() + SIDE_IN * drawn.reach_m * 0.78);
        drawn.view.at(out * azimuth.cos(), out * azimuth.sin())
    };
    for tip in Tip::ALL {
        pointer::ring(sheet, drawn.on(tip, CORNER_OUT), RING);
    }
    pointer::ring(sheet, (cx, cy - r), RING - 1.0);
    pointer::ring(sheet, web, RING);
    word(sheet, area, (cx, cy), (drawn.on(Tip::One, CORNER_OUT), Tip::One), &["groove", "roots"]);
    let to = pointer::short_of((area.0 + 24.0, area.1 + 60.0), web, RING + STROKE);
    left::word(sheet, (area.0 + 24.0, area.1 + 60.0), &["web"], to);
    let to = (cx, cy - r + RING + STROKE);
    left::word(sheet, (cx, cy + 2.0), &["bolt", "holes"], to);
}

/// Names of both faces at the bottom.
fn faces(section: &mut Section<'_>) {
    section.names(272.0, &["gear", "face"], &["plain", "face"]);
}

/// Above the groove seen from outside, along the tip, with the ball where it is read; below the
/// groove cut across.
fn apex_groove(section: &mut Section<'_>, place: GroovePlace) {
    const HALF: f64 = 72.0;
    const MIDDLE: f64 = 62.0;
    // Worn like a bell's mouth: much more at the ends than in between.
    let wide = |x: f64| 7.0 + 8.0 * (x / HALF).abs().powi(5);
    section.text((0.0, 14.0), Type::Plain, "seen from outside");
    let body = [
        (-HALF, MIDDLE - 34.0),
        (HALF, MIDDLE - 34.0),
        (HALF, MIDDLE + 34.0),
        (-HALF, MIDDLE + 34.0),
    ];
    section.area(&body, "metal");
    section.area(&body, "edge");
    let run = |sign: f64| {
        (-24..=24).map(move |n| {
            let x = f64::from(n) / 24.0 * HALF * sign;
            (x, MIDDLE - sign * wide(x))
        })
    };
    let slot: Vec<Point> = run(1.0).chain(run(-1.0)).collect();
    section.area(&slot, "paper");
    section.area(&slot, "edge");
    let places = [
        (GroovePlace::GearEnd, -HALF + 8.0),
        (GroovePlace::Middle, 0.0),
        (GroovePlace::PlainEnd, HALF - 8.0),
    ];
    for (at, x) in places {
        if at == place {
            let middle = section.at((x, MIDDLE));
            section.circle((x, MIDDLE), wide(x), "plain-mark");
            pointer::ring(section.sheet, middle, 14.0);
            let from = section.at((x, MIDDLE + 62.0));
            pointer::arrow(section.sheet, from, (middle.0, middle.1 + 14.0 + STROKE));
        } else {
            section.circle((x, MIDDLE), 3.0, "dot");
        }
    }
    for (x, words) in [(-58.0, "gear"), (0.0, "middle"), (58.0, "plain")] {
        section.text((x, MIDDLE + 78.0), Type::Plain, words);
    }
    // Cut across.
    let (top, deep, half) = (176.0, 64.0, 15.0);
    section.cut(&[
        (-52.0, top),
        (-half, top),
        (-half, top + deep),
        (half, top + deep),
        (half, top),
        (52.0, top),
        (52.0, top + deep + 24.0),
        (-52.0, top + deep + 24.0),
    ]);
    let y = top + 0.5 * deep;
    section.tool((-3.0, top - 24.0), (3.0, y));
    section.circle((0.0, y), half, "plain-mark");
    section.line((0.0, y - half), (0.0, y + half), "thin");
    for side in [-1.0, 1.0] {
        section.touched((side * half, y));
    }
    section.text((0.0, 290.0), Type::Plain, "cut across: ball gauge");
}

/// A rotor cut along the shaft near a tip; a ball gauge in the corner seal's bore.
fn corner_bore(section: &mut Section<'_>, side: f64) {
    let (middle, r, face, deep) = (112.0, 30.0, side * 26.0, side * -18.0);
    let back = -side * 50.0;
    section.cut(&[
        (back, 40.0),
        (face, 40.0),
        (face, middle - r),
        (deep, middle - r),
        (deep, middle + r),
        (face, middle + r),
        (face, 196.0),
        (back, 196.0),
    ]);
    section.text((0.0, 26.0), Type::Plain, "tip");
    section.ball((side * 6.0, middle), r, side * 86.0);
    section.line((-80.0, 226.0), (80.0, 226.0), "axis");
    faces(section);
}

/// A rotor cut along the shaft across a side seal's groove.
fn side_groove(section: &mut Section<'_>, side: f64, size: GrooveSize) {
    let (middle, r, face, deep) = (112.0, 12.0, side * 14.0, side * -26.0);
    let back = -side * 54.0;
    section.cut(&[
        (back, 40.0),
        (face, 40.0),
        (face, middle - r),
        (deep, middle - r),
        (deep, middle + r),
        (face, middle + r),
        (face, 196.0),
        (back, 196.0),
    ]);
    section.text((0.0, 26.0), Type::Plain, "flank");
    match size {
        GrooveSize::Width => {
            let in_groove = 0.5 * (face + deep);
            section.tool((deep + side * 6.0, middle - r), (side * 60.0, middle + r));
            for way in [-1.0, 1.0] {
                section.touched((in_groove, middle + way * r));
            }
            section.named(
                (side * 50.0, 170.0),
                "block",
                (side * 50.0, 154.0),
                (side * 50.0, middle + 4.0),
            );
        }
        GrooveSize::Depth => {
            section.tool((face, middle - 46.0), (face + side * 11.0, middle + 46.0));
            section.indicator(side, (deep, middle), 62.0);
            section.named(
                (side * 56.0, 190.0),
                "bridge",
                (side * 50.0, 174.0),
                (face + side * 5.0, middle + 38.0),
            );
        }
    }
    section.line((-80.0, 226.0), (80.0, 226.0), "axis");
    faces(section);
}

/// The bore gauge in the bearing bore.
fn bearing_bore(section: &mut Section<'_>) {
    let (top, bottom) = (74.0, 196.0);
    bore_walls(section, (top, bottom), 36.0);
    section.bore_gauge(top, bottom);
    section.rock((66.0, 135.0));
    section.text((60.0, 98.0), Type::Plain, "rock");
    faces(section);
}

/// Walls above and below a bore, cut along it.
pub(super) fn bore_walls(section: &mut Section<'_>, (top, bottom): (f64, f64), thick: f64) {
    section.cut(&[(-40.0, top - thick), (40.0, top - thick), (40.0, top), (-40.0, top)]);
    section.cut(&[
        (-40.0, bottom),
        (40.0, bottom),
        (40.0, bottom + thick),
        (-40.0, bottom + thick),
    ]);
}

/// A tooth with pits, a chip and a crack at its root, in a lens; teeth point down where `down`.
pub(super) fn worn_tooth(section: &mut Section<'_>, middle: Point) {
    let (x, y) = middle;
    let mut metal = arc(middle, LENS - 1.0, 200.0, 340.0);
    let tooth = [
        (22.0, 17.0),
        (16.0, 4.0),
        (9.0, -24.0),
        (3.0, -25.0),
        (-1.0, -19.0),
        (-9.0, -24.0),
        (-16.0, 4.0),
        (-22.0, 17.0),
    ];
    metal.extend(tooth.iter().map(|p| (x + p.0, y + p.1)));
    section.area(&metal, "metal");
    section.area(&metal, "edge");
    for (dx, dy, r) in [(8.0, -4.0, 2.5), (5.0, -12.0, 2.0), (9.0, 5.0, 2.0), (3.0, 1.0, 1.6)] {
        section.circle((x + dx, y + dy), r, "ink");
    }
    section.crack((x - 21.0, y + 16.0), (24.0, 12.0));
}

/// The gear's teeth in the rotor, cut along the shaft, and one in a lens.
fn teeth_cut(section: &mut Section<'_>) {
    section.cut(&[(-44.0, 24.0), (44.0, 24.0), (44.0, 52.0), (-44.0, 52.0)]);
    section.area(&[(-44.0, 52.0), (-10.0, 52.0), (-10.0, 72.0), (-44.0, 72.0)], "metal");
    section.area(&[(-44.0, 52.0), (-10.0, 52.0), (-10.0, 72.0), (-44.0, 72.0)], "edge");
    section.text((0.0, 18.0), Type::Plain, "rotor");
    section.named((40.0, 80.0), "gear", (22.0, 75.0), (-16.0, 62.0));
    section.lens((-30.0, 72.0), (0.0, 158.0), worn_tooth);
}

/// A bolt of the gear, cut along the shaft, and its seat in a lens.
fn fastening_cut(section: &mut Section<'_>) {
    section.cut(&[(-20.0, 20.0), (64.0, 20.0), (64.0, 92.0), (-20.0, 92.0)]);
    section.area(&[(-44.0, 30.0), (-20.0, 30.0), (-20.0, 92.0), (-44.0, 92.0)], "metal");
    section.area(&[(-44.0, 30.0), (-20.0, 30.0), (-20.0, 92.0), (-44.0, 92.0)], "edge");
    section.tool((-56.0, 42.0), (-44.0, 66.0));
    section.tool((-44.0, 48.0), (26.0, 60.0));
    section.text((-62.0, 22.0), Type::Plain, "gear");
    section.text((26.0, 14.0), Type::Plain, "rotor");
    section.lens((-20.0, 92.0), (0.0, 164.0), loose_bolt);
}

/// A bolt's head with dust around it and a gap at the seat, in a lens.
fn loose_bolt(section: &mut Section<'_>, (x, y): Point) {
    let hexagon: Vec<Point> = (0..6)
        .map(|n| {
            let (sin, cos) = (f64::from(n) * 60.0).to_radians().sin_cos();
            (x + 24.0 * cos, y + 24.0 * sin)
        })
        .collect();
    for (n, deg) in (0..30).map(|n| (n, f64::from(n) * 47.0)) {
        let (sin, cos) = deg.to_radians().sin_cos();
        let out = 30.0 + f64::from(n % 4) * 3.5;
        section.circle((x + out * cos, y + out * sin), 1.6, "ink");
    }
    section.area(&hexagon, "metal");
    section.area(&hexagon, "edge");
    section.circle((x, y), 13.0, "thin");
    section.crack((x + 20.0, y - 14.0), (22.0, -18.0));
}

/// A groove's root with a crack that bleeds through the developer, and the lamp.
fn crack_test(section: &mut Section<'_>) {
    section.text((0.0, 14.0), Type::Plain, "groove, cut across");
    section.cut(&[
        (-52.0, 28.0),
        (-14.0, 28.0),
        (-14.0, 62.0),
        (14.0, 62.0),
        (14.0, 28.0),
        (52.0, 28.0),
        (52.0, 92.0),
        (-52.0, 92.0),
    ]);
    section.crack((14.0, 62.0), (18.0, 18.0));
    section.lens((14.0, 62.0), (0.0, 164.0), bled_crack);
}

/// A crack as it bleeds through the white developer, in a lens.
fn bled_crack(section: &mut Section<'_>, (x, y): Point) {
    for n in 0..60 {
        let (sin, cos) = (f64::from(n) * 137.5).to_radians().sin_cos();
        let out = 6.0 * f64::from(n).sqrt();
        section.circle((x + out * cos, y + out * sin), 0.9, "dot");
    }
    for (dy, long) in [(0.0, 60.0), (9.0, 16.0)] {
        section.crack((x - 30.0, y + dy + 6.0), (long, -14.0));
    }
    section.circle((x + 6.0, y - 2.0), 4.5, "bad");
    section.circle((x - 12.0, y + 4.0), 3.5, "bad");
}
