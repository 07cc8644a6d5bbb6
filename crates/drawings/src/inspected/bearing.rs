//! Stationary gear with its main bearing, and a loose bearing.

use super::Halves;
use super::count::Direction;
use super::item::{BearingItem, GearItem};
use super::left;
use super::rotor_cut::{bore_walls, worn_tooth};
use super::tools::{LENS, arc};
use crate::gauges::{Point, Section};
use crate::hatch::Hatch;
use crate::places::Area;
use crate::pointer::{self, STROKE};
use crate::sheet::{Anchor, Sheet, boxed, ring};
use crate::text::Type;

/// Radii on the sheet: flange, teeth, the bearing's outside and inside.
const FLANGE: f64 = 106.0;
const TEETH: f64 = 72.0;
const OUTER: f64 = 60.0;
const INNER: f64 = 50.0;
/// Of a loose bearing.
const LOOSE: f64 = 92.0;
const LINING: f64 = 78.0;

fn middle(area: Area) -> Point {
    (0.5 * (area.0 + area.2), area.1 + 6.0 + FLANGE)
}

/// The two ways across an inside diameter, and the word under the part.
fn ways(sheet: &mut Sheet, (cx, cy): Point, r: f64, direction: Direction) {
    let (in_line, across) = direction.ways();
    if in_line {
        left::inside(sheet, (cx, cy - r), (cx, cy + r));
    }
    if across {
        left::inside(sheet, (cx - r, cy), (cx + r, cy));
    }
}

/// The stationary gear seen from the end with its teeth.
pub(super) fn stationary_gear(sheet: &mut Sheet, halves: Halves, item: GearItem) {
    let area = halves.part;
    let (cx, cy) = middle(area);
    sheet.circle((cx, cy), FLANGE, "metal");
    sheet.circle((cx, cy), FLANGE, "edge");
    for n in 0..8 {
        let (sin, cos) = (f64::from(n) * 45.0 + 22.5).to_radians().sin_cos();
        sheet.circle((cx + 90.0 * sin, cy - 90.0 * cos), 6.0, "plain-mark");
    }
    sheet.circle((cx, cy - 90.0), 4.5, "ink");
    sheet.text(area.2, area.1 + 14.0, Type::Plain, Anchor::End, "dowel");
    sheet.line((area.2 - 48.0, area.1 + 10.0), (cx, cy - 90.0), "thin");
    sheet.circle((cx, cy), TEETH, "teeth");
    sheet.path(&ring((cx, cy), TEETH - 3.0, 0.0), "edge");
    sheet.path(&ring((cx, cy), OUTER, 0.0), "paper");
    sheet.hatched(&ring((cx, cy), OUTER, INNER), Hatch::Land);
    sheet.path(&ring((cx, cy), OUTER, INNER), "edge");
    let base = area.3 - 4.0;
    match item {
        GearItem::Teeth => {
            let at = (cx, cy + TEETH);
            pointer::ring(sheet, at, 11.0);
            left::word(sheet, (cx, base), &["teeth, all around"], (cx, at.1 + 11.0 + STROKE));
            let mut section = Section::new(sheet, halves.section);
            section.cut(&[
                (-64.0, 26.0),
                (64.0, 26.0),
                (64.0, 88.0),
                (28.0, 88.0),
                (28.0, 54.0),
                (-64.0, 54.0),
            ]);
            let teeth = [(-64.0, 54.0), (-14.0, 54.0), (-14.0, 74.0), (-64.0, 74.0)];
            section.area(&teeth, "metal");
            section.area(&teeth, "edge");
            section.text((-36.0, 16.0), Type::Plain, "teeth");
            section.text((46.0, 16.0), Type::Plain, "flange");
            section.lens((-38.0, 74.0), (0.0, 156.0), worn_tooth);
        }
        GearItem::BearingInside(direction) => {
            ways(sheet, (cx, cy), INNER, direction);
            sheet.text(cx, base, Type::Head, Anchor::Middle, "inside diameter");
            let mut section = Section::new(sheet, halves.section);
            inside_cut(&mut section);
        }
        GearItem::BearingPress => {
            let at = (cx, cy + OUTER);
            pointer::ring(sheet, at, 9.0);
            left::word(sheet, (cx, base), &["press"], (cx, at.1 + 9.0 + STROKE));
            press(&mut Section::new(sheet, halves.section), "gear's bore");
        }
        GearItem::Lining => {
            sheet.circle((cx, cy), INNER, "wanted");
            left::word(sheet, (cx, cy - 6.0), &["lining"], (cx, cy + INNER - 5.0));
            lining(&mut Section::new(sheet, halves.section));
        }
    }
}

/// A loose bearing seen along the shaft.
pub(super) fn loose(sheet: &mut Sheet, halves: Halves, item: BearingItem) {
    let area = halves.part;
    let (cx, cy) = middle(area);
    sheet.circle((cx, cy), LOOSE, "metal");
    sheet.circle((cx, cy), LINING, "paper");
    sheet.hatched(&ring((cx, cy), LINING, LINING - 5.0), Hatch::Land);
    sheet.circle((cx, cy), LINING, "thin");
    sheet.path(&ring((cx, cy), LOOSE, LINING - 5.0), "edge");
    let lug = boxed(cx - 5.0, cy - LOOSE - 6.0, 10.0, 7.0);
    sheet.path(&lug, "plain-mark");
    sheet.text(area.2, area.1 + 14.0, Type::Plain, Anchor::End, "mark");
    sheet.line((area.2 - 44.0, area.1 + 10.0), (cx + 5.0, cy - LOOSE - 3.0), "thin");
    let base = area.3 - 4.0;
    let inner = LINING - 5.0;
    match item {
        BearingItem::Inside(direction) => {
            ways(sheet, (cx, cy), inner, direction);
            sheet.text(cx, base, Type::Head, Anchor::Middle, "inside diameter");
            inside_cut(&mut Section::new(sheet, halves.section));
        }
        BearingItem::Press => {
            let at = (cx, cy + LOOSE);
            pointer::ring(sheet, at, 9.0);
            left::word(sheet, (cx, base), &["press"], (cx, at.1 + 9.0 + STROKE));
            press(&mut Section::new(sheet, halves.section), "rotor's bore");
        }
        BearingItem::Lining => {
            sheet.circle((cx, cy), inner, "wanted");
            left::word(sheet, (cx, cy + 8.0), &["lining"], (cx, cy + inner - 5.0));
            lining(&mut Section::new(sheet, halves.section));
        }
    }
}

/// Backing and lining cut along the shaft, the lining in a lens.
fn lining(section: &mut Section<'_>) {
    section.cut(&[(-54.0, 22.0), (54.0, 22.0), (54.0, 50.0), (-54.0, 50.0)]);
    layer(section, (50.0, 62.0), 54.0);
    section.text((0.0, 14.0), Type::Plain, "backing, lining");
    section.lens((0.0, 62.0), (0.0, 142.0), scored);
}

/// A lining between two heights.
fn layer(section: &mut Section<'_>, (top, bottom): (f64, f64), half: f64) {
    let d = section.shape(&[(-half, top), (half, top), (half, bottom), (-half, bottom)]);
    section.sheet.path(&d, "paper");
    section.sheet.hatched(&d, Hatch::Land);
    section.sheet.path(&d, "edge");
}

/// A bore gauge in a bearing, cut along the shaft.
fn inside_cut(section: &mut Section<'_>) {
    let (top, bottom) = (62.0, 184.0);
    bore_walls(section, (top - 8.0, bottom + 8.0), 30.0);
    layer(section, (top - 8.0, top), 40.0);
    layer(section, (bottom, bottom + 8.0), 40.0);
    section.bore_gauge(top, bottom);
    section.rock((66.0, 123.0));
    section.text((64.0, 72.0), Type::Plain, "rock");
    section.text((0.0, 252.0), Type::Plain, "least reading counts");
}

/// Above the bearing under a micrometer, below the bore it goes into with a bore gauge.
fn press(section: &mut Section<'_>, bore: &str) {
    let y = 84.0;
    let at = section.at((0.0, y));
    section.sheet.circle(at, 38.0, "metal");
    section.sheet.circle(at, 30.0, "plain-mark");
    section.sheet.circle(at, 38.0, "edge");
    section.micrometer(38.0, y, 10.0);
    section.text((0.0, 142.0), Type::Plain, "bearing outside");
    let y = 200.0;
    let at = section.at((0.0, y));
    let d = ring(at, 46.0, 36.0);
    section.sheet.hatched(&d, Hatch::Wall);
    section.sheet.path(&d, "edge");
    section.tool((-36.0, y - 4.0), (36.0, y + 4.0));
    section.circle((0.0, y), 9.0, "plain-mark");
    section.touched((-36.0, y));
    section.touched((36.0, y));
    section.text((0.0, 264.0), Type::Plain, &format!("less {bore}"));
}

/// Scores along the running direction and a flaked place, in a lens.
fn scored(section: &mut Section<'_>, middle: Point) {
    let (x, y) = middle;
    for (dx, from, to) in [(-24.0, -34.0, 30.0), (-16.0, -20.0, 40.0), (-8.0, -44.0, 12.0)] {
        section.line((x + dx, y + from), (x + dx, y + to), "edge");
    }
    let flake: Vec<Point> = [(6.0, -10.0), (18.0, -18.0), (30.0, -6.0), (24.0, 10.0), (10.0, 12.0)]
        .iter()
        .map(|p| (x + p.0, y + p.1))
        .collect();
    let d = section.shape(&flake);
    section.sheet.hatched(&d, Hatch::Barred);
    section.sheet.path(&d, "bad-edge");
    section.run(&arc(middle, LENS - 6.0, -60.0, -20.0), "thin");
}
