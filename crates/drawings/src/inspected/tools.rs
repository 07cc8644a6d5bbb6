//! What is held to a used part besides micrometer and indicator: the eye with a lens, bore gauge,
//! ball gauge, an upright indicator, words with a line to what they name.

use crate::gauges::{DIAL, Point, Section};
use crate::sheet::Anchor;
use crate::text::Type;

/// Radius of a lens.
pub(super) const LENS: f64 = 50.0;
/// Half the width of the section: its words stay within.
const HALF: f64 = 88.0;

/// Points on a circle, in steps of five degrees; angles from the right, anticlockwise on the sheet.
pub(super) fn arc((x, y): Point, r: f64, from_deg: f64, to_deg: f64) -> Vec<Point> {
    let steps = ((to_deg - from_deg).abs() / 5.0).ceil().max(1.0) as u32;
    (0..=steps)
        .map(|n| {
            let deg = from_deg + (to_deg - from_deg) * f64::from(n) / f64::from(steps);
            let (sin, cos) = deg.to_radians().sin_cos();
            (x + r * cos, y - r * sin)
        })
        .collect()
}

impl Section<'_> {
    /// A line through points.
    pub(super) fn run(&mut self, points: &[Point], class: &str) {
        let points: Vec<Point> = points.iter().map(|p| self.at(*p)).collect();
        self.sheet.path(&crate::sheet::outline(&points, false), class);
    }

    /// A circle.
    pub(super) fn circle(&mut self, at: Point, r: f64, class: &str) {
        let at = self.at(at);
        self.sheet.circle(at, r, class);
    }

    /// A word beside a thing, with a line to it that ends in a dot.
    pub(super) fn named(&mut self, (x, y): Point, words: &str, from: Point, thing: Point) {
        self.line(from, thing, "thin");
        self.circle(thing, 2.5, "dot");
        self.text((x, y), Type::Plain, words);
    }

    /// A word at the left or right edge of the section.
    pub(super) fn at_edge(&mut self, side: f64, y: f64, words: &str) {
        let (x, y) = self.at((side * HALF, y));
        let anchor = if side < 0.0 { Anchor::Start } else { Anchor::End };
        self.sheet.text(x, y, Type::Plain, anchor, words);
    }

    /// An eye that looks up, its middle here.
    pub(super) fn eye(&mut self, (x, y): Point) {
        let lid = |sign: f64| {
            (-8..=8).map(move |n| {
                let along = f64::from(n) / 8.0;
                (x + sign * 20.0 * along, y - sign * 11.0 * (1.0 - along * along))
            })
        };
        let almond: Vec<Point> = lid(1.0).chain(lid(-1.0)).collect();
        self.area(&almond, "plain-mark");
        self.circle((x, y - 1.0), 7.0, "plain-mark");
        self.circle((x, y - 1.0), 3.5, "dot");
        for lash in [-10.0, 0.0, 10.0] {
            self.line((x + lash, y - 14.0), (x + 1.3 * lash, y - 20.0), "thin");
        }
    }

    /// What an eye sees in a lens: `draw` draws inside the circle at `middle`; lines lead from
    /// the place that is looked at to it, and the eye is beside its handle.
    pub(super) fn lens(&mut self, place: Point, middle: Point, draw: impl Fn(&mut Self, Point)) {
        let side = LENS - 4.0;
        for way in [-1.0, 1.0] {
            self.line(place, (middle.0 + way * side, middle.1 - 0.4 * LENS), "faint");
        }
        let handle: Vec<Point> = [(30.0, 46.0), (36.0, 38.0), (66.0, 66.0), (60.0, 74.0)]
            .iter()
            .map(|p| (middle.0 + p.0, middle.1 + p.1))
            .collect();
        self.area(&handle, "plain-mark");
        self.circle(middle, LENS, "plain-mark");
        draw(self, middle);
        self.circle(middle, LENS, "edge");
        self.circle(middle, LENS + 4.0, "edge");
        self.eye((middle.0 - 16.0, middle.1 + LENS + 34.0));
        self.touched(place);
    }

    /// An indicator that stands upright, its stylus down on `at`, its dial `up` above.
    pub(super) fn upright_indicator(&mut self, at: Point, up: f64) {
        let (x, y) = at;
        let dial = (x, y - up);
        self.tool((x - 3.0, dial.1), (x + 3.0, y));
        self.face(dial);
        self.touched(at);
    }

    /// The face of a dial.
    pub(super) fn face(&mut self, (x, y): Point) {
        self.circle((x, y), DIAL, "plain-mark");
        for n in 0..12 {
            let (sin, cos) = (std::f64::consts::TAU * f64::from(n) / 12.0).sin_cos();
            let mark = |r: f64| (x + r * cos, y + r * sin);
            self.line(mark(DIAL - 5.0), mark(DIAL - 1.0), "thin");
        }
        self.line((x, y), (x + 9.0, y - 11.0), "edge");
    }

    /// A small-hole gauge, its ball at `at` between walls `r` away above and below, its stem to
    /// the side.
    pub(super) fn ball(&mut self, at: Point, r: f64, end: f64) {
        let (x, y) = at;
        self.tool((x, y - 3.5), (end, y + 3.5));
        self.circle(at, r, "plain-mark");
        // It is split and spread by a cone.
        self.line((x - r, y), (x + r, y), "thin");
        self.touched((x, y - r));
        self.touched((x, y + r));
    }

    /// A bore gauge with two points at `top` and `bottom`, its dial to the right.
    pub(super) fn bore_gauge(&mut self, top: f64, bottom: f64) {
        let y = 0.5 * (top + bottom);
        self.tool((0.0, y - 5.0), (58.0, y + 5.0));
        self.tool((-5.0, top), (5.0, bottom));
        // The shoes that hold it in the middle.
        self.tool((-16.0, bottom - 20.0), (16.0, bottom - 13.0));
        for x in [-13.0, 13.0] {
            self.tool((x - 3.0, bottom - 13.0), (x + 3.0, bottom));
        }
        self.face((66.0, y));
        self.touched((0.0, top));
        self.touched((0.0, bottom));
    }

    /// Which way a gauge is rocked, around its dial.
    pub(super) fn rock(&mut self, (x, y): Point) {
        for way in [-1.0, 1.0] {
            let bow = arc((x - 60.0, y), 60.0, way * 24.0, way * 36.0);
            self.run(&bow, "edge");
            if let [.., before, last] = bow.as_slice() {
                let (from, to) = (self.at(*before), self.at(*last));
                crate::arrow::head(self.sheet, to, (to.0 - from.0, to.1 - from.1));
            }
        }
    }

    /// A crack in a lens, from `from` on.
    pub(super) fn crack(&mut self, (x, y): Point, way: (f64, f64)) {
        let (dx, dy) = way;
        let jog = [(0.0, 0.0), (0.3, 0.12), (0.45, -0.08), (0.75, 0.1), (1.0, 0.0)];
        let line: Vec<Point> =
            jog.iter().map(|(a, b)| (x + a * dx - b * dy, y + a * dy + b * dx)).collect();
        self.run(&line, "bad-edge");
    }
}
