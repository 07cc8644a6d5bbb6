//! Sections that show how a gauge touches. Along the shaft they lie from left (front, gear face)
//! to right; steps and wear are drawn far too large, so that they are seen.

use crate::arrow;
use crate::gauges::{DIAL, Point, Section};
use crate::places::Area;
use crate::sheet::{Sheet, outline, ring};
use crate::side_gap::Touch;
use crate::text::Type;
use kernel::geometry::Looks;
use kernel::readings::{Face, Kind};

/// Half the thickness of a rotor across its lands, and across its tips; of a housing.
const LAND: f64 = 30.0;
const TIP: f64 = 20.0;
/// Heights in a rotor's section, from its top: edge of the tip, outer and inner edge of the land,
/// axis of the bearing bore.
const EDGE: f64 = 62.0;
const OUTER: f64 = 136.0;
const INNER: f64 = 188.0;
const AXIS: f64 = 216.0;
/// Where the names of the faces stand.
const NAMES: f64 = 272.0;

/// A rotor cut through its axis and a tip, from the tip down to its bearing bore.
fn cut_rotor(section: &mut Section<'_>) {
    let d = section.shape(&[
        (-TIP, EDGE),
        (TIP, EDGE),
        (TIP, OUTER),
        (LAND, OUTER),
        (LAND, INNER),
        (-LAND, INNER),
        (-LAND, OUTER),
        (-TIP, OUTER),
    ]);
    section.sheet.path(&d, "metal");
    section.sheet.path(&d, "edge");
    section.text((0.0, EDGE + 50.0), Type::Plain, "tip");
    section.text((0.0, OUTER + 32.0), Type::Plain, "land");
    section.line((-80.0, AXIS), (80.0, AXIS), "axis");
    section.names(NAMES, &["gear", "face"], &["plain", "face"]);
}

/// How a reading at a tip of a rotor is taken.
pub(super) fn rotor(sheet: &mut Sheet, area: Area, kind: Kind) {
    let mut section = Section::new(sheet, area);
    cut_rotor(&mut section);
    let side = |face: Face| if face == Face::Gear { -1.0 } else { 1.0 };
    match kind {
        Kind::LandWidth => section.micrometer(LAND, OUTER + 9.0, 14.0),
        Kind::TipWidth => section.micrometer(TIP, EDGE + 14.0, 14.0),
        Kind::Step(face) => step(&mut section, side(face)),
        Kind::Runout(face) => runout(&mut section, side(face)),
    }
}

/// A bridge on the land; the indicator in it goes from the land to the tip.
fn step(section: &mut Section<'_>, side: f64) {
    let (land, tip) = (OUTER + 36.0, EDGE + 14.0);
    section.tool((side * LAND, EDGE - 8.0), (side * (LAND + 10.0), INNER - 2.0));
    // Where it was zeroed.
    let zero = section.at((side * 64.0, land));
    section.line((side * LAND, land), (side * (64.0 - DIAL), land), "dashed");
    section.sheet.circle(zero, DIAL, "paper");
    section.sheet.circle(zero, DIAL, "dashed");
    section.text((side * 64.0, land + 5.5), Type::Strong, "0");
    section.indicator(side, (side * TIP, tip), 64.0);
    section.arrow((side * 64.0, land - DIAL - 4.0), (side * 64.0, tip + DIAL + 5.0));
}

/// The indicator on the land, the rotor turned on a mandrel in its bearing bore.
fn runout(section: &mut Section<'_>, side: f64) {
    let half = AXIS - INNER;
    section.cut(&[
        (-44.0, AXIS - half),
        (44.0, AXIS - half),
        (44.0, AXIS + half),
        (-44.0, AXIS + half),
    ]);
    section.line((-80.0, AXIS), (80.0, AXIS), "axis");
    section.indicator(side, (side * LAND, OUTER + 14.0), 64.0);
    // Round the free end of the mandrel.
    let x = -side * 58.0;
    let on = |degrees: f64| {
        let (sin, cos) = degrees.to_radians().sin_cos();
        (x + side * 8.0 * cos, AXIS - 26.0 * sin)
    };
    let arc: Vec<Point> = (-13..=13).map(|n| section.at(on(180.0 + f64::from(n) * 10.0))).collect();
    section.sheet.path(&outline(&arc, false), "edge");
    if let [.., before, last] = arc.as_slice() {
        arrow::head(section.sheet, *last, (last.0 - before.0, last.1 - before.1));
    }
    section.text((-side * 60.0, INNER - 22.0), Type::Plain, "turn");
}

/// A rotor on a scale.
pub(super) fn scale(sheet: &mut Sheet, area: Area) {
    let mut section = Section::new(sheet, area);
    let (pan, land, tip) = (160.0, 20.0, 13.0);
    let rotor = [
        (-78.0, pan - land - tip),
        (-42.0, pan - land - tip),
        (-42.0, pan - 2.0 * land),
        (42.0, pan - 2.0 * land),
        (42.0, pan - land - tip),
        (78.0, pan - land - tip),
        (78.0, pan - land + tip),
        (42.0, pan - land + tip),
        (42.0, pan),
        (-42.0, pan),
        (-42.0, pan - land + tip),
        (-78.0, pan - land + tip),
    ];
    section.area(&rotor, "metal");
    section.area(&rotor, "edge");
    section.tool((-70.0, pan), (70.0, pan + 9.0));
    section.tool((-12.0, pan + 9.0), (12.0, pan + 24.0));
    section.area(
        &[(-62.0, pan + 24.0), (62.0, pan + 24.0), (76.0, pan + 84.0), (-76.0, pan + 84.0)],
        "plain-mark",
    );
    section.tool((-34.0, pan + 36.0), (34.0, pan + 70.0));
    section.text((0.0, pan + 60.0), Type::Head, "g");
    let at = section.at((0.0, pan - land));
    section.sheet.path(&ring(at, 3.0, 0.0), "ink");
    section.arrow((0.0, 66.0), (0.0, pan - 2.0 * land - 6.0));
}

/// A micrometer across the width of a rotor housing.
pub(super) fn width(sheet: &mut Sheet, area: Area) {
    let mut section = Section::new(sheet, area);
    section.cut(&[(-34.0, 62.0), (34.0, 62.0), (34.0, 176.0), (-34.0, 176.0)]);
    section.line((-80.0, AXIS), (80.0, AXIS), "axis");
    section.text((0.0, 196.0), Type::Plain, "bore");
    section.micrometer(34.0, 136.0, 14.0);
    section.names(AXIS + 28.0, &["front"], &["rear"]);
}

/// A depth gauge in a track of a side housing, its bridge on the clamping face.
pub(super) fn depth(sheet: &mut Sheet, area: Area, looks: Looks, track: Touch) {
    let mut section = Section::new(sheet, area);
    // The face looks to the side on which the gauge is.
    let side = if looks == Looks::Front { -1.0 } else { 1.0 };
    let (face, back, deep) = (side * 2.0, side * -40.0, side * -8.0);
    let axis = 124.0;
    // From the axis outwards: hole, land's track, a strip no seal runs on, tips' track, clamping.
    let (hole, land, tips, clamp, end) = (22.0, 56.0, 66.0, 92.0, 112.0);
    for way in [-1.0, 1.0] {
        let y = |from_axis: f64| axis + way * from_axis;
        section.cut(&[
            (back, y(hole)),
            (deep, y(hole)),
            (deep, y(land)),
            (face, y(land)),
            (face, y(tips)),
            (deep, y(tips)),
            (deep, y(clamp)),
            (face, y(clamp)),
            (face, y(end)),
            (back, y(end)),
        ]);
    }
    section.line((-80.0, axis), (80.0, axis), "axis");
    section.tool((face, axis - end), (face + side * 11.0, axis + end));
    let y = axis
        - match track {
            Touch::Land => 0.5 * (hole + land),
            Touch::Tip => 0.5 * (tips + clamp),
        };
    section.indicator(side, (deep, y), 56.0);
    section.text((0.0, NAMES - 8.0), Type::Plain, "bridge on the");
    section.text((0.0, NAMES + 10.0), Type::Plain, "clamping face");
    let foot = (face, axis + 0.5 * (clamp + end));
    section.line((face, NAMES - 22.0), foot, "thin");
    let at = section.at(foot);
    section.sheet.circle(at, 4.0, "plain-mark");
}
