//! A rotor housing: plating, wear of the bore, edges.

use super::Halves;
use super::item::HousingItem;
use super::tools::{LENS, arc};
use crate::gauges::{Point, Section};
use crate::hatch::Hatch;
use crate::places::Area;
use crate::pointer;
use crate::sheet::{Anchor, Sheet, outline};
use crate::station::housing::{METAL, draw_ring, draw_width, evenly};
use crate::station::shape::generic_bore;
use crate::text::{Type, width};
use crate::wear_map::WallPoint;

/// In the section of a rotor housing: its outside and its bore, half its width, the shaft's axis.
const OUTSIDE: f64 = 8.0;
const BORE: f64 = 62.0;
const HALF: f64 = 34.0;
const AXIS: f64 = 234.0;

/// The housing cut along the shaft, its bore as `wall` has it from front to rear.
fn cut_housing(section: &mut Section<'_>, wall: &[Point]) {
    let mut all = vec![(HALF, OUTSIDE), (-HALF, OUTSIDE)];
    all.extend_from_slice(wall);
    section.cut(&all);
    // The plating.
    section.run(wall, "curve");
    section.at_edge(-1.0, OUTSIDE + 14.0, "front");
    section.at_edge(1.0, OUTSIDE + 14.0, "rear");
}

/// A rotor housing.
pub(super) fn rotor_housing(
    sheet: &mut Sheet,
    halves: Halves,
    item: HousingItem,
    bore: Option<&[WallPoint]>,
) {
    let generic = generic_bore();
    let bore = bore.unwrap_or(&generic);
    let flat = [(-HALF, BORE), (HALF, BORE)];
    let what = match item {
        HousingItem::PlatingSeen(_) => "plating",
        HousingItem::PlatingThickness(_) => "thickness",
        HousingItem::BoreWear(_) => "wear",
        HousingItem::Edges => "edges",
    };
    if let Some(place) = item.place() {
        let under = format!("place {} of {}", place.number(), place.of());
        draw_width(sheet, halves.part, place, bore, (what, &under));
    } else {
        openings(sheet, halves.part, bore);
    }
    let mut section = Section::new(sheet, halves.section);
    match item {
        HousingItem::PlatingSeen(_) => {
            cut_housing(&mut section, &flat);
            section.lens((0.0, BORE), (0.0, 140.0), flaked);
        }
        HousingItem::PlatingThickness(_) => {
            cut_housing(&mut section, &flat);
            coating_gauge(&mut section);
        }
        HousingItem::BoreWear(_) => worn_bore(&mut section),
        HousingItem::Edges => {
            // Cut through a plug hole.
            section.text((0.0, OUTSIDE + 8.0), Type::Plain, "port or plug hole");
            for side in [-1.0, 1.0] {
                section.cut(&[
                    (side * 60.0, OUTSIDE + 16.0),
                    (side * 14.0, OUTSIDE + 16.0),
                    (side * 14.0, BORE),
                    (side * 60.0, BORE),
                ]);
                section.run(&[(side * 60.0, BORE), (side * 14.0, BORE)], "curve");
            }
            section.lens((-14.0, BORE), (0.0, 140.0), chipped_edge);
        }
    }
}

/// A flake off the plating and scores along the shaft, in a lens.
fn flaked(section: &mut Section<'_>, (x, y): Point) {
    for (dy, from, to) in [(-30.0, -28.0, 22.0), (-22.0, -38.0, 30.0), (30.0, -30.0, 26.0)] {
        section.line((x + from, y + dy), (x + to, y + dy), "thin");
    }
    let flake: Vec<Point> = [
        (-26.0, 0.0),
        (-14.0, -12.0),
        (2.0, -8.0),
        (14.0, -13.0),
        (27.0, 2.0),
        (18.0, 14.0),
        (4.0, 11.0),
        (-12.0, 18.0),
    ]
    .iter()
    .map(|p| (x + p.0, y + p.1))
    .collect();
    let d = section.shape(&flake);
    section.sheet.hatched(&d, Hatch::Barred);
    section.sheet.path(&d, "bad-edge");
}

/// Metal on the left of an edge that has a chip and a crack, in a lens.
pub(super) fn chipped_edge(section: &mut Section<'_>, middle: Point) {
    let (x, y) = middle;
    let mut metal = arc(middle, LENS - 1.0, 83.0, 277.0);
    let edge = [(6.0, 24.0), (6.0, 14.0), (-8.0, 8.0), (-12.0, 0.0), (-5.0, -7.0), (6.0, -11.0)];
    metal.extend(edge.iter().map(|p| (x + p.0, y + p.1)));
    section.area(&metal, "metal");
    section.area(&metal, "edge");
    section.crack((x + 6.0, y - 26.0), (-34.0, -6.0));
}

/// A coating gauge with its probe on the bore.
fn coating_gauge(section: &mut Section<'_>) {
    section.line((-80.0, AXIS), (80.0, AXIS), "axis");
    section.tool((-7.0, BORE), (7.0, BORE + 40.0));
    section.tool((-12.0, BORE + 40.0), (12.0, BORE + 52.0));
    section.tool((-34.0, BORE + 52.0), (34.0, BORE + 138.0));
    section.tool((-25.0, BORE + 62.0), (25.0, BORE + 98.0));
    section.text((0.0, BORE + 87.0), Type::Head, "\u{b5}m");
    section.circle((-12.0, BORE + 116.0), 7.0, "plain-mark");
    section.circle((12.0, BORE + 116.0), 7.0, "plain-mark");
    section.named((60.0, BORE + 30.0), "square", (32.0, BORE + 25.0), (7.0, BORE + 25.0));
    section.touched((0.0, BORE));
}

/// A straightedge on the unworn edges of the bore, a feeler in the middle.
fn worn_bore(section: &mut Section<'_>) {
    const WIDE: f64 = 58.0;
    const WALL: f64 = 92.0;
    const DEEP: f64 = 26.0;
    let wall: Vec<Point> = (0..=40)
        .map(|n| {
            let along = f64::from(n) / 20.0 - 1.0;
            // Worn between the edges, flat on them.
            let worn = (1.0 - (along / 0.75).powi(4)).max(0.0);
            (WIDE * along, WALL - DEEP * worn)
        })
        .collect();
    let mut all = vec![(WIDE, 24.0), (-WIDE, 24.0)];
    all.extend_from_slice(&wall);
    section.cut(&all);
    section.run(&wall, "curve");
    section.at_edge(-1.0, 14.0, "front");
    section.at_edge(1.0, 14.0, "rear");
    section.tool((-80.0, WALL), (80.0, WALL + 15.0));
    section.line((-80.0, AXIS), (80.0, AXIS), "axis");
    let feeler = [(-12.0, WALL - DEEP), (12.0, WALL - DEEP), (12.0, WALL), (-12.0, WALL)];
    section.area(&feeler, "good");
    section.touched((0.0, WALL - DEEP));
    section.touched((0.0, WALL));
    section.named((58.0, 146.0), "feeler", (46.0, 130.0), (8.0, WALL - 8.0));
    section.named((-40.0, 146.0), "straightedge", (-56.0, 130.0), (-56.0, WALL + 8.0));
    section.text((0.0, 190.0), Type::Plain, "it lies on the");
    section.text((0.0, 208.0), Type::Plain, "unworn edges");
    for side in [-1.0, 1.0] {
        section.circle((side * (WIDE - 6.0), WALL), 4.0, "plain-mark");
    }
}

/// Around the ring, as shares of the way from the hot waist, clockwise: plug holes, ports.
const PLUGS: [f64; 2] = [0.035, 0.965];
const EXHAUST: f64 = 0.37;
const INLET: f64 = 0.63;
/// Points around the ring from which places are taken.
const AROUND: usize = 200;

/// The place after this share of the way, and the direction out of the bore there; none on a bore
/// without points.
fn place_on(run: &[Point], share: f64) -> Option<(Point, Point)> {
    let count = run.len();
    let n = (share * count as f64) as usize;
    let get = |n: usize| run.get(n.checked_rem(count)?).copied();
    let (before, at, after) = (get(n + count.max(1) - 1)?, get(n)?, get(n + 1)?);
    let (dx, dy) = (after.0 - before.0, after.1 - before.1);
    let long = dx.hypot(dy).max(1e-9);
    Some((at, (dy / long, -dx / long)))
}

/// The rotor housing with ports and plug holes, all edges of which are looked at.
fn openings(sheet: &mut Sheet, area: Area, bore: &[WallPoint]) {
    let (view, inner) = draw_ring(sheet, area, bore);
    let run = evenly(&inner, view.centre, AROUND);
    let mut edges = Vec::new();
    let openings = [(PLUGS[0], 5.0), (PLUGS[1], 5.0), (EXHAUST, 19.0), (INLET, 19.0)];
    for (share, half) in openings {
        let Some(((x, y), (ox, oy))) = place_on(&run, share) else { continue };
        let at = |along: f64, out: f64| (x - along * oy + out * ox, y + along * ox + out * oy);
        let hole = outline(
            &[at(-half, -3.0), at(half, -3.0), at(half, METAL + 3.0), at(-half, METAL + 3.0)],
            true,
        );
        sheet.path(&hole, "paper");
        for side in [-half, half] {
            sheet.line(at(side, 0.0), at(side, METAL), "edge");
        }
        edges.push((at(0.0, 0.0), half + 6.0));
    }
    for (at, r) in &edges {
        pointer::ring(sheet, *at, *r);
    }
    let (cx, cy) = view.centre;
    sheet.text(cx, cy + 8.0, Type::Head, Anchor::Middle, "edges");
    let half = 0.5 * width("edges", Type::Head);
    let tails = [(8.0, -14.0), (-8.0, -14.0), (half - 4.0, 14.0), (4.0 - half, 14.0)];
    for ((at, r), tail) in edges.iter().zip(tails) {
        let from = (cx + tail.0, cy + tail.1);
        pointer::arrow(sheet, from, pointer::short_of(from, *at, r + pointer::STROKE));
    }
    let bottom = area.3 - 1.0;
    sheet.text(area.0, bottom, Type::Plain, Anchor::Start, "inlet");
    sheet.text(area.2, bottom, Type::Plain, Anchor::End, "exhaust");
    let beside = view.centre.0 - 0.5 * width("hot waist", Type::Plain) - 8.0;
    sheet.text(beside, area.1 + 14.0, Type::Plain, Anchor::End, "plugs");
}
