//! A side housing's face: flatness, edges of ports.

use super::Halves;
use super::housing::chipped_edge;
use super::item::{FlatnessBy, SideItem};
use super::left;
use crate::arrow;
use crate::gauges::{Point, Section};
use crate::pointer;
use crate::sheet::{Anchor, Sheet, outline, ring};
use crate::station::SideShape;
use crate::station::housing::{RIM, View, outward};
use crate::text::Type;
use kernel::geometry::Looks;

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
