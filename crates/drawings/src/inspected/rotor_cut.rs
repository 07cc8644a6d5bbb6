//! A rotor cut through where a gauge touches it or an eye looks.

use super::item::{GroovePlace, GrooveSize};
use super::tools::{LENS, arc};
use crate::gauges::{Point, Section};
use crate::text::Type;

/// Names of both faces at the bottom.
fn faces(section: &mut Section<'_>) {
    section.names(272.0, &["gear", "face"], &["plain", "face"]);
}

/// Above the groove seen from outside, along the tip, with the ball where it is read; below the
/// groove cut across.
pub(super) fn apex_groove(section: &mut Section<'_>, place: GroovePlace) {
    const HALF: f64 = 72.0;
    const MIDDLE: f64 = 62.0;
    // Worn like a bell's mouth: much more at the ends than in between.
    let wide = |x: f64| 8.0 + 9.0 * (x / HALF).abs().powi(4);
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
        (GroovePlace::GearEnd, -HALF + 6.0),
        (GroovePlace::Middle, 0.0),
        (GroovePlace::PlainEnd, HALF - 6.0),
    ];
    for (at, x) in places {
        if at == place {
            section.circle((x, MIDDLE), wide(x), "wanted-face");
            section.arrow((x, MIDDLE + 60.0), (x, MIDDLE + wide(x) + 4.0));
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

/// A rotor from its cut-off back to its face, with a recess from the face to so deep.
fn recessed(section: &mut Section<'_>, (back, face, deep): (f64, f64, f64), (from, to): Point) {
    section.cut(&[
        (back, 40.0),
        (face, 40.0),
        (face, from),
        (deep, from),
        (deep, to),
        (face, to),
        (face, 196.0),
        (back, 196.0),
    ]);
}

/// A rotor cut along the shaft near a tip; a ball gauge in the corner seal's bore.
pub(super) fn corner_bore(section: &mut Section<'_>, side: f64) {
    let (middle, r, face, deep) = (112.0, 21.0, side * 26.0, side * -24.0);
    let back = -side * 50.0;
    recessed(section, (back, face, deep), (middle - r, middle + r));
    section.text((0.0, 26.0), Type::Plain, "tip");
    section.ball((side * 2.0, middle), r, side * 86.0);
    section.line((-80.0, 226.0), (80.0, 226.0), "axis");
    faces(section);
}

/// A rotor cut along the shaft across a side seal's groove.
pub(super) fn side_groove(section: &mut Section<'_>, side: f64, size: GrooveSize) {
    let (middle, r, face, deep) = (112.0, 12.0, side * 14.0, side * -26.0);
    let back = -side * 54.0;
    recessed(section, (back, face, deep), (middle - r, middle + r));
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
pub(super) fn bearing_bore(section: &mut Section<'_>) {
    let (top, bottom) = (74.0, 196.0);
    bore_walls(section, (top, bottom), 36.0);
    section.bore_gauge(top, bottom);
    section.rock((66.0, 135.0));
    section.text((64.0, 84.0), Type::Plain, "rock");
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

/// A tooth with pits, a chip and a crack at its root, in a lens.
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

/// The gear in the rotor with one of its bolts, cut along the shaft, and a tooth in a lens.
pub(super) fn gear_cut(section: &mut Section<'_>) {
    section.cut(&[
        (-20.0, 42.0),
        (64.0, 42.0),
        (64.0, 116.0),
        (20.0, 116.0),
        (20.0, 94.0),
        (-20.0, 94.0),
    ]);
    let gear =
        [(-48.0, 52.0), (-20.0, 52.0), (-20.0, 94.0), (12.0, 94.0), (12.0, 116.0), (-48.0, 116.0)];
    section.area(&gear, "metal");
    section.area(&gear, "edge");
    section.tool((-60.0, 60.0), (-48.0, 82.0));
    section.tool((-48.0, 65.0), (30.0, 77.0));
    section.at_edge(-1.0, 42.0, "gear");
    section.text((40.0, 34.0), Type::Plain, "rotor");
    section.lens((-16.0, 116.0), (0.0, 190.0), worn_tooth);
    section.touched((-48.0, 71.0));
}

/// A groove's root with a crack that bleeds through the developer, and the lamp.
pub(super) fn crack_test(section: &mut Section<'_>) {
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
pub(super) fn bled_crack(section: &mut Section<'_>, (x, y): Point) {
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
