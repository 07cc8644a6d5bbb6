//! Seals and springs.

use super::Halves;
use super::count::Flank;
use super::item::{SealItem, Spring};
use super::left;
use super::rotor::Drawn;
use super::tools::LENS;
use crate::dimension;
use crate::gauges::{Point, Section};
use crate::hatch::Hatch;
use crate::places::Area;
use crate::pointer::{self, STROKE};
use crate::rotor_shape::RotorShape;
use crate::sheet::{Anchor, Sheet, boxed, outline, ring};
use crate::text::Type;
use kernel::readings::Face;

/// A seal or a spring.
pub(super) fn draw(sheet: &mut Sheet, halves: Halves, item: SealItem) {
    let area = halves.part;
    match item {
        SealItem::ApexHeight | SealItem::ApexThickness | SealItem::ApexLength => {
            apex(sheet, area, item);
        }
        SealItem::CornerDiameter => corner(sheet, area),
        SealItem::SideHeight => side(sheet, area),
        SealItem::SideEndGap => end_gap(sheet, area),
        SealItem::OilLipWidth => oil(sheet, area),
        SealItem::SpringLoad(of) => spring(sheet, area, of, true),
        SealItem::SpringHeight(of) => spring(sheet, area, of, false),
    }
    let mut section = Section::new(sheet, halves.section);
    let section = &mut section;
    match item {
        // Lying on its side: the foot at the left, the crown at the right.
        SealItem::ApexHeight => {
            section.cut(&crowned(36.0, 13.0, 112.0));
            section.micrometer(36.0, 112.0, 14.0);
            section.named((-34.0, 166.0), "foot", (-34.0, 150.0), (-28.0, 116.0));
            section.named((34.0, 166.0), "crown", (34.0, 150.0), (28.0, 116.0));
            section.text((0.0, 220.0), Type::Plain, "cut across");
        }
        SealItem::ApexThickness => {
            let upright: Vec<Point> =
                crowned(42.0, 13.0, 0.0).iter().map(|p| (p.1, 118.0 - p.0)).collect();
            section.cut(&upright);
            section.micrometer(13.0, 136.0, 14.0);
            section.named((31.0, 58.0), "crown", (18.0, 63.0), (3.0, 80.0));
            section.text((0.0, 220.0), Type::Plain, "cut across,");
            section.text((0.0, 238.0), Type::Plain, "below the crown");
        }
        SealItem::ApexLength => {
            let (y, half) = (112.0, 50.0);
            section.cut(&[
                (-half, y - 12.0),
                (half, y - 12.0),
                (half, y + 12.0),
                (-half, y + 12.0),
            ]);
            section.line((26.0, y + 12.0), (half, y - 12.0), "edge");
            section.micrometer(half, y, 14.0);
            section.text((0.0, 176.0), Type::Plain, "all pieces together");
        }
        SealItem::CornerDiameter => {
            let y = 112.0;
            let at = section.at((0.0, y));
            let d = ring(at, 36.0, 0.0);
            section.sheet.path(&d, "paper");
            section.sheet.hatched(&d, Hatch::Wall);
            section.sheet.path(&d, "edge");
            section.area(
                &[(-5.0, y - 37.5), (5.0, y - 37.5), (5.0, y - 8.0), (-5.0, y - 8.0)],
                "paper",
            );
            section
                .run(&[(-5.0, y - 36.0), (-5.0, y - 8.0), (5.0, y - 8.0), (5.0, y - 36.0)], "edge");
            section.micrometer(36.0, y, 14.0);
            section.text((0.0, 184.0), Type::Plain, "square to the slot");
        }
        SealItem::SideHeight => {
            let (y, half) = (112.0, 24.0);
            section.cut(&[(-half, y - 9.0), (half, y - 9.0), (half, y + 9.0), (-half, y + 9.0)]);
            section.micrometer(half, y, 14.0);
            section.named((-36.0, 166.0), "foot", (-36.0, 150.0), (-20.0, 116.0));
            section.named((36.0, 166.0), "face", (36.0, 150.0), (20.0, 116.0));
            section.text((0.0, 220.0), Type::Plain, "cut across");
        }
        SealItem::SideEndGap => feeler_in_gap(section),
        SealItem::OilLipWidth => lip(section),
        SealItem::SpringLoad(of) => tester(section, of),
        SealItem::SpringHeight(of) => free(section, of),
    }
}

/// An apex seal cut across, lying from its foot at `-half` to its crown at `half`.
fn crowned(half: f64, thick: f64, y: f64) -> Vec<Point> {
    let mut all = vec![(-half, y - thick), (-half, y + thick)];
    all.extend((-8..=8).map(|n| {
        let along = f64::from(n) / 8.0;
        (half - thick + thick * (1.0 - along * along).sqrt(), y - thick * along)
    }));
    all
}

/// An apex seal from the side, and below it from its crown.
fn apex(sheet: &mut Sheet, area: Area, item: SealItem) {
    let (left, right) = (area.0 + 34.0, area.2 - 34.0);
    let (cx, top) = (0.5 * (left + right), area.1 + 70.0);
    let (high, thick) = (46.0, 26.0);
    let body = boxed(left, top, right - left, high);
    sheet.path(&body, "metal");
    sheet.path(&body, "edge");
    // Its corner piece.
    sheet.line((right - 40.0, top), (right, top + high), "edge");
    let below = top + high + 56.0;
    let plan = boxed(left, below, right - left, thick);
    sheet.path(&plan, "metal");
    sheet.path(&plan, "edge");
    sheet.line((right - 40.0, below), (right - 40.0, below + thick), "edge");
    let base = area.3 - 4.0;
    match item {
        SealItem::ApexHeight => {
            left::outside(sheet, (cx, top), (cx, top + high), 30.0);
            sheet.text(cx, area.1 + 22.0, Type::Head, Anchor::Middle, "height");
        }
        SealItem::ApexThickness => {
            left::outside(sheet, (cx, below), (cx, below + thick), 26.0);
            sheet.text(cx, base, Type::Head, Anchor::Middle, "thickness");
        }
        _ => {
            let y = top + 0.5 * high;
            left::outside(sheet, (left, y), (right, y), 20.0);
            sheet.text(cx, area.1 + 46.0, Type::Head, Anchor::Middle, "length");
        }
    }
}

/// A corner seal looking at its face.
fn corner(sheet: &mut Sheet, area: Area) {
    let (cx, cy, r) = (0.5 * (area.0 + area.2), area.1 + 112.0, 74.0);
    let d = ring((cx, cy), r, 0.0);
    sheet.path(&d, "metal");
    sheet.path(&d, "edge");
    sheet.path(&boxed(cx - 10.0, cy - r - 2.0, 20.0, r - 12.0), "paper");
    sheet.path(
        &outline(
            &[
                (cx - 10.0, cy - r + 1.0),
                (cx - 10.0, cy - 14.0),
                (cx + 10.0, cy - 14.0),
                (cx + 10.0, cy - r + 1.0),
            ],
            false,
        ),
        "edge",
    );
    sheet.text(cx + 44.0, area.1 + 26.0, Type::Plain, Anchor::Start, "slot");
    sheet.line((cx + 42.0, area.1 + 24.0), (cx, cy - r + 20.0), "thin");
    left::outside(sheet, (cx - r, cy), (cx + r, cy), 34.0);
    sheet.text(cx, area.3 - 34.0, Type::Head, Anchor::Middle, "diameter");
}

/// A side seal from the side, and below it from its running face.
fn side(sheet: &mut Sheet, area: Area) {
    let (left, right) = (area.0 + 20.0, area.2 - 20.0);
    let (cx, top, high) = (0.5 * (left + right), area.1 + 72.0, 34.0);
    let body = boxed(left, top, right - left, high);
    sheet.path(&body, "metal");
    sheet.path(&body, "edge");
    let bow = |out: f64| {
        (0..=24).map(move |n| {
            let along = f64::from(n) / 12.0 - 1.0;
            (cx + 0.5 * (right - left) * along, area.1 + 176.0 + out + 34.0 * along * along)
        })
    };
    let plan: Vec<Point> = bow(0.0).chain(bow(10.0).rev()).collect();
    let d = outline(&plan, true);
    sheet.path(&d, "metal");
    sheet.path(&d, "edge");
    left::outside(sheet, (cx, top), (cx, top + high), 30.0);
    sheet.text(cx, area.1 + 22.0, Type::Head, Anchor::Middle, "height");
}

/// The end of a side seal at tip 1, on the rotor.
fn end_gap(sheet: &mut Sheet, area: Area) {
    let shape = RotorShape::generic();
    let drawn = Drawn::new(sheet, area, (&shape, Face::Gear), |_| false);
    let run = drawn.side_groove(Flank::One);
    sheet.path(&outline(run.get(2..).unwrap_or_default(), false), "good-edge");
    let at = run.first().copied().unwrap_or(drawn.view.centre);
    pointer::ring(sheet, at, 10.0);
    let place = (area.2 - 24.0, area.1 + 24.0);
    let to = pointer::short_of(place, at, 10.0 + STROKE);
    left::word(sheet, place, &["end", "gap"], to);
}

/// Corner seal, side seal's end and a feeler between them, from above.
fn feeler_in_gap(section: &mut Section<'_>) {
    let y = 120.0;
    section.text((0.0, 40.0), Type::Plain, "looking at the face");
    section.circle((-48.0, y), 30.0, "metal");
    section.circle((-48.0, y), 30.0, "edge");
    section.named((-48.0, 184.0), "corner seal", (-48.0, 168.0), (-48.0, y + 14.0));
    let seal = [(-8.0, y - 8.0), (84.0, y - 8.0), (84.0, y + 8.0), (-8.0, y + 8.0)];
    section.area(&seal, "metal");
    section.area(&seal, "edge");
    section.named((46.0, 214.0), "side seal", (46.0, 198.0), (46.0, y + 2.0));
    section
        .area(&[(-18.0, y - 40.0), (-8.0, y - 40.0), (-8.0, y + 10.0), (-18.0, y + 10.0)], "good");
    section.touched((-18.0, y));
    section.touched((-8.0, y));
    section.named((36.0, 76.0), "feeler", (10.0, 74.0), (-13.0, y - 34.0));
    section.arrow((30.0, y - 24.0), (74.0, y - 24.0));
    section.text((0.0, 262.0), Type::Plain, "seal pushed to its");
    section.text((0.0, 280.0), Type::Plain, "other end");
}

/// The ring of an oil seal, looking at its lip.
fn oil(sheet: &mut Sheet, area: Area) {
    let (cx, cy, r) = (0.5 * (area.0 + area.2), area.1 + 122.0, 104.0);
    sheet.circle((cx, cy), r, "metal");
    sheet.circle((cx, cy), r - 18.0, "paper");
    sheet.path(&ring((cx, cy), r, r - 18.0), "edge");
    sheet.circle((cx, cy), r - 5.0, "curve");
    let at = (cx + (r - 5.0) * 0.8, cy - (r - 5.0) * 0.6);
    pointer::ring(sheet, at, 11.0);
    left::word(
        sheet,
        (cx, cy + 20.0),
        &["lip", "width"],
        pointer::short_of((cx, cy), at, 11.0 + STROKE),
    );
}

/// The lip cut across and its band in a measuring lens.
fn lip(section: &mut Section<'_>) {
    section.cut(&[
        (-36.0, 20.0),
        (36.0, 20.0),
        (36.0, 50.0),
        (8.0, 66.0),
        (-4.0, 66.0),
        (-12.0, 40.0),
        (-36.0, 40.0),
    ]);
    section.text((0.0, 14.0), Type::Plain, "ring, cut across");
    section.lens((2.0, 66.0), (0.0, 148.0), band);
}

/// A bright band beside a scale, in a lens.
fn band(section: &mut Section<'_>, (x, y): Point) {
    let strip = [(-13.0, -46.0), (13.0, -46.0), (13.0, 46.0), (-13.0, 46.0)];
    let strip: Vec<Point> = strip.iter().map(|p| (x + p.0, y + p.1)).collect();
    section.area(&strip, "open");
    for edge in [-13.0, 13.0] {
        section.line((x + edge, y - 46.0), (x + edge, y + 46.0), "edge");
    }
    section.line((x - LENS + 6.0, y + 14.0), (x + LENS - 6.0, y + 14.0), "thin");
    for n in -6..=6 {
        let tick = x + f64::from(n) * 6.5;
        let long = if n % 2 == 0 { 12.0 } else { 7.0 };
        section.line((tick, y + 14.0), (tick, y + 14.0 - long), "thin");
    }
    section.touched((x - 13.0, y - 10.0));
    section.touched((x + 13.0, y - 10.0));
}

/// The shape of a spring from the side, between `-half` and `half`, its foot at nothing and its
/// highest place at `high`; of a ring the half in front.
fn wave(of: Spring, half: f64, high: f64) -> Vec<Point> {
    (0..=64)
        .map(|n| {
            let along = f64::from(n) / 32.0 - 1.0;
            let up = match of {
                Spring::Apex => 1.0 - along * along,
                // Bent twice, with feet.
                Spring::Corner => 0.5 + 0.5 * (std::f64::consts::PI * along).cos(),
                Spring::Side => 0.5 + 0.5 * (std::f64::consts::TAU * (along + 0.5)).cos(),
                Spring::Oil => 0.5 - 0.5 * (2.0 * std::f64::consts::TAU * along).cos(),
            };
            (half * along, -high * up)
        })
        .collect()
}

/// Of a spring: half its length on the left and in the section, and its height.
const fn sizes(of: Spring) -> (f64, f64, f64) {
    match of {
        Spring::Apex => (110.0, 50.0, 52.0),
        Spring::Corner => (54.0, 30.0, 46.0),
        Spring::Side => (110.0, 50.0, 32.0),
        Spring::Oil => (110.0, 50.0, 28.0),
    }
}

/// The highest place of a run.
fn crest(run: &[Point]) -> Point {
    run.iter().min_by(|a, b| a.1.total_cmp(&b.1)).copied().unwrap_or_default()
}

/// A spring on a flat plate.
fn spring(sheet: &mut Sheet, area: Area, of: Spring, load: bool) {
    let cx = 0.5 * (area.0 + area.2) - 8.0;
    let plate = area.1 + 180.0;
    let (half, _, high) = sizes(of);
    let run: Vec<Point> =
        wave(of, half, high).iter().map(|p| (cx + p.0, plate - 2.5 + p.1)).collect();
    let d = boxed(area.0, plate, area.2 - area.0, 16.0);
    sheet.path(&d, "plain-mark");
    if of == Spring::Oil {
        // The far half of the ring, and its ends.
        let back: Vec<Point> = run
            .iter()
            .map(|p| {
                let along = (p.0 - cx) / half;
                (cx + 0.97 * (p.0 - cx), p.1 - 16.0 * (1.0 - along * along).max(0.0).sqrt())
            })
            .collect();
        sheet.path(&outline(&back, false), "thin");
    }
    sheet.path(&outline(&run, false), "curve");
    let crest = crest(&run);
    let words = if load { "load" } else { "free height" };
    pointer::ring(sheet, crest, 9.0);
    left::word(sheet, (cx, area.1 + 40.0), &[words], (crest.0, crest.1 - 12.0));
    if !load {
        let x = area.2 - 9.0;
        sheet.line((crest.0 + 14.0, crest.1), (x, crest.1), "faint");
        dimension::upright(sheet, x, crest.1, plate);
    }
}

/// A spring between the plates of a tester, held at a height.
fn tester(section: &mut Section<'_>, of: Spring) {
    let (foot, high) = (170.0, 26.0);
    let (_, half, _) = sizes(of);
    section.tool((-64.0, foot), (64.0, foot + 10.0));
    section.tool((-12.0, foot + 10.0), (12.0, foot + 22.0));
    section.tool((-64.0, foot + 22.0), (64.0, foot + 66.0));
    section.tool((-34.0, foot + 29.0), (34.0, foot + 59.0));
    section.text((0.0, foot + 51.0), Type::Head, "N");
    let run: Vec<Point> =
        wave(of, half, high - 4.0).iter().map(|p| (p.0, foot - 2.0 + p.1)).collect();
    section.run(&run, "curve");
    section.tool((-64.0, foot - high - 10.0), (64.0, foot - high));
    section.tool((-7.0, 62.0), (7.0, foot - high - 10.0));
    section.arrow((0.0, 24.0), (0.0, 60.0));
    section.touched((0.0, foot - high));
    let (x, y) = section.at((76.0, foot));
    dimension::upright(section.sheet, x, y - high, y);
    section.text((50.0, 120.0), Type::Plain, "at a height");
}

/// A height gauge on a spring that stands free.
fn free(section: &mut Section<'_>, of: Spring) {
    let foot = 190.0;
    let (_, half, high) = sizes(of);
    section.cut(&[(-84.0, foot), (84.0, foot), (84.0, foot + 26.0), (-84.0, foot + 26.0)]);
    let run: Vec<Point> =
        wave(of, half, high).iter().map(|p| (p.0 - 24.0, foot - 2.0 + p.1)).collect();
    section.run(&run, "curve");
    let crest = crest(&run);
    section.tool((46.0, foot - 14.0), (84.0, foot));
    section.tool((60.0, 30.0), (70.0, foot - 14.0));
    section.tool((crest.0 - 8.0, crest.1 - 12.0), (76.0, crest.1 - 2.0));
    section.touched((crest.0, crest.1 - 1.0));
    section.text((0.0, foot + 48.0), Type::Plain, "just touching");
}
