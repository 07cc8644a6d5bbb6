//! Rotor housings and side housings: what is looked at and read on them.

use super::Halves;
use super::item::{FlatnessBy, HousingItem, SideItem};
use super::left;
use super::tools::{LENS, arc};
use crate::arrow;
use crate::gauges::{Point, Section};
use crate::hatch::Hatch;
use crate::places::Area;
use crate::pointer;
use crate::sheet::{Anchor, Sheet, outline, ring};
use crate::station::SideShape;
use crate::station::housing::{METAL, RIM, View, draw_ring, draw_width, evenly, outward};
use crate::station::shape::generic_bore;
use crate::text::{Type, width};
use crate::wear_map::WallPoint;
use kernel::geometry::Looks;

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
fn chipped_edge(section: &mut Section<'_>, middle: Point) {
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

/// A side housing's face.
pub(super) fn side_housing(
    sheet: &mut Sheet,
    halves: Halves,
    (item, looks): (SideItem, Looks),
    shape: Option<&SideShape>,
) {
    let generic = SideShape::generic();
    let shape = shape.unwrap_or(&generic);
    let hand = if looks == Looks::Front { -1.0 } else { 1.0 };
    let area = halves.part;
    let view = View::new((area.0, area.1, area.2, area.3 - 56.0), &shape.bore, RIM, hand);
    let bore = view.all(&shape.bore);
    let (cx, cy) = view.centre;
    sheet.text(cx, area.1 + 14.0, Type::Plain, Anchor::Middle, "hot waist");
    let plate = outward(&bore, view.centre, RIM);
    let d = outline(&plate, true);
    sheet.path(&d, "metal");
    sheet.path(&d, "edge");
    sheet.path(&outline(&bore, true), "dashed");
    let hole = (shape.land_track.0.to_m().max(0.0) * view.per_m).min(60.0);
    let hole_ring = ring(view.centre, hole, 0.0);
    sheet.path(&hole_ring, "paper");
    sheet.path(&hole_ring, "edge");
    let base = area.3 - 4.0;
    match item {
        SideItem::Flatness(FlatnessBy::Straightedge) => {
            six_ways(sheet, (&plate, (cx, cy)), base);
            straightedge(&mut Section::new(sheet, halves.section), looks);
        }
        SideItem::Flatness(FlatnessBy::Indicator) => {
            slid_over(sheet, (&bore, (cx, cy)), base);
            on_surface_plate(&mut Section::new(sheet, halves.section));
        }
        SideItem::Edges => {
            side_ports(sheet, &view, hand, base);
            let mut section = Section::new(sheet, halves.section);
            port_cut(&mut section);
        }
    }
}

/// Half the width and height of a run of points about a point.
fn half_sizes(points: &[Point], (cx, cy): Point) -> (f64, f64) {
    points.iter().fold((0.0, 0.0), |(w, h): (f64, f64), p| {
        (w.max((p.0 - cx).abs()), h.max((p.1 - cy).abs()))
    })
}

/// Six lines over the face, one of them under a straightedge with a feeler.
fn six_ways(sheet: &mut Sheet, (plate, (cx, cy)): (&[Point], Point), base: f64) {
    let (w, h) = half_sizes(plate, (cx, cy));
    let (out, up) = (0.80 * w, 0.80 * h);
    let high = 0.76 * h;
    // Two along, above and below the hole; two across, left and right of it; two slanting.
    let lines = [
        ((-out, -0.55 * high), (out, -0.55 * high)),
        ((-out, 0.55 * high), (out, 0.55 * high)),
        ((-0.52 * w, -up), (-0.52 * w, up)),
        ((0.52 * w, -up), (0.52 * w, up)),
        ((-0.72 * w, -0.72 * h), (0.72 * w, 0.72 * h)),
        ((-0.72 * w, 0.72 * h), (0.72 * w, -0.72 * h)),
    ];
    for (a, b) in lines {
        sheet.curve(&[(cx + a.0, cy + a.1), (cx + b.0, cy + b.1)], "curve-dashed");
    }
    // The straightedge on the lower one of those along.
    let y = cy + 0.55 * high;
    let bar = [(-out, -6.0), (out, -6.0), (out, 6.0), (-out, 6.0)];
    let bar: Vec<Point> = bar.iter().map(|p| (cx + p.0, y + p.1)).collect();
    sheet.path(&outline(&bar, true), "plain-mark");
    pointer::ring(sheet, (cx, y), 11.0);
    left::word(sheet, (cx, base), &["flatness, six ways"], (cx, y + 11.0 + pointer::STROKE));
}

/// Bow of a face in the section: hollow in the middle.
const BOW: f64 = 12.0;

/// A straightedge on a hollow face, a feeler where it is deepest.
fn straightedge(section: &mut Section<'_>, looks: Looks) {
    let side = if looks == Looks::Front { -1.0 } else { 1.0 };
    let (back, face) = (side * -40.0, side * 6.0);
    let (top, bottom) = (14.0, 214.0);
    let middle = 0.5 * (top + bottom);
    let mut plate = vec![(back, bottom), (back, top)];
    plate.extend((0..=20).map(|n| {
        let along = f64::from(n) / 10.0 - 1.0;
        (face - side * BOW * (1.0 - along * along), middle + 100.0 * along)
    }));
    section.cut(&plate);
    section.tool((face, top - 6.0), (face + side * 13.0, bottom + 6.0));
    let deep = face - side * BOW;
    section.area(
        &[(deep, middle - 8.0), (face, middle - 8.0), (face, middle + 8.0), (deep, middle + 8.0)],
        "good",
    );
    let at = section.at((0.5 * (deep + face), middle));
    pointer::ring(section.sheet, at, 14.0);
    let tail = section.at((side * 80.0, middle));
    let to = section.at((side * 24.0, middle));
    pointer::arrow(section.sheet, tail, to);
    section.text((side * 56.0, middle - 16.0), Type::Plain, "feeler");
    section.named((0.0, 250.0), "straightedge", (0.0, 236.0), (face + side * 6.0, bottom - 4.0));
}

/// The way of an indicator over the face.
fn slid_over(sheet: &mut Sheet, (bore, centre): (&[Point], Point), base: f64) {
    let (cx, cy) = centre;
    let (w, h) = half_sizes(bore, centre);
    let at = |deg: f64| {
        let (sin, cos) = f64::to_radians(deg).sin_cos();
        (cx + 0.78 * w * cos, cy - 0.70 * h * sin)
    };
    let way: Vec<Point> = (0..=66).map(|n| at(-85.0 + 5.0 * f64::from(n))).collect();
    sheet.curve(&way, "curve");
    if let [.., before, last] = way.as_slice() {
        arrow::head(sheet, *last, (last.0 - before.0, last.1 - before.1));
    }
    for deg in [90.0, 210.0, 330.0] {
        sheet.circle(at(deg), 6.0, "plain-mark");
    }
    let start = at(-85.0);
    pointer::ring(sheet, start, 11.0);
    left::word(sheet, (cx, base), &["flatness"], (start.0, start.1 + 11.0 + pointer::STROKE));
}

/// The housing on three supports on a surface plate, the indicator's stand beside it.
fn on_surface_plate(section: &mut Section<'_>) {
    let (table, under, face) = (196.0, 176.0, 140.0);
    section.cut(&[(-86.0, table), (86.0, table), (86.0, table + 26.0), (-86.0, table + 26.0)]);
    for x in [-70.0, -18.0, 16.0] {
        section.area(&[(x - 8.0, table), (x + 8.0, table), (x, under)], "plain-mark");
    }
    let mut plate = vec![(24.0, under), (-80.0, under)];
    plate.extend((0..=20).map(|n| {
        let along = f64::from(n) / 10.0 - 1.0;
        (-28.0 + 52.0 * along, face + 8.0 * along * along - 4.0)
    }));
    section.area(&plate, "metal");
    section.area(&plate, "edge");
    // The stand.
    section.tool((38.0, table - 14.0), (84.0, table));
    section.tool((58.0, 62.0), (66.0, table - 14.0));
    section.tool((-28.0, 66.0), (66.0, 74.0));
    section.upright_indicator((-28.0, face - 4.0), 66.0);
    let (from, to) = (section.at((-6.0, 112.0)), section.at((44.0, 112.0)));
    pointer::arrow(section.sheet, from, to);
    section.text((20.0, 100.0), Type::Plain, "slide");
    section.text((0.0, 246.0), Type::Plain, "three supports,");
    section.text((0.0, 264.0), Type::Plain, "surface plate");
}

/// Ports in the face, their edges marked. They are in the engine's axes: the inlet on the side of
/// +x, the exhaust on that of −x, both towards the cold waist.
fn side_ports(sheet: &mut Sheet, view: &View, hand: f64, base: f64) {
    let (cx, cy) = view.centre;
    let mut rings = Vec::new();
    for (side, name) in [(1.0, "inlet"), (-1.0, "exhaust")] {
        let x = cx + hand * side * 70.0;
        let port: Vec<Point> = (0..36)
            .map(|n| {
                let (sin, cos) = (f64::from(n) * 10.0).to_radians().sin_cos();
                // A bean, long upwards, bent around the shaft.
                (x + 15.0 * cos - hand * side * 8.0 * sin * sin, cy + 26.0 + 26.0 * sin)
            })
            .collect();
        let d = outline(&port, true);
        sheet.path(&d, "paper");
        sheet.path(&d, "wanted");
        rings.push(port[9]);
        sheet.text(x, cy - 12.0, Type::Plain, Anchor::Middle, name);
    }
    sheet.text(cx, base, Type::Head, Anchor::Middle, "edges");
    for at in rings {
        let from = (cx + (at.0 - cx).signum() * 20.0, base - 20.0);
        pointer::arrow(sheet, from, pointer::short_of(from, at, 4.0));
    }
}

/// A port's edge in the wall, looked at from the side of the face.
fn port_cut(section: &mut Section<'_>) {
    section.cut(&[(-70.0, 62.0), (-14.0, 62.0), (-14.0, 20.0), (-70.0, 20.0)]);
    section.cut(&[(70.0, 62.0), (14.0, 62.0), (14.0, 20.0), (70.0, 20.0)]);
    section.text((0.0, 14.0), Type::Plain, "port");
    section.lens((-14.0, 62.0), (0.0, 140.0), chipped_edge);
}
