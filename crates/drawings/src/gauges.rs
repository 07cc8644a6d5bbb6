//! A section in which a gauge touches a part: cut metal, gauges and words, in places counted from
//! the section's middle and top.

use crate::hatch::Hatch;
use crate::places::Area;
use crate::pointer;
use crate::sheet::{Anchor, Sheet, boxed, outline};
use crate::text::Type;

pub(crate) type Point = (f64, f64);

/// Radius of a dial.
pub(crate) const DIAL: f64 = 21.0;

/// A section in the making: `x` from its middle, `y` from its top.
pub(crate) struct Section<'s> {
    pub(crate) sheet: &'s mut Sheet,
    pub(crate) middle: f64,
    pub(crate) top: f64,
}

impl<'s> Section<'s> {
    pub(crate) fn new(sheet: &'s mut Sheet, area: Area) -> Self {
        Self { sheet, middle: 0.5 * (area.0 + area.2), top: area.1 }
    }

    pub(crate) fn at(&self, (x, y): Point) -> Point {
        (self.middle + x, self.top + y)
    }

    pub(crate) fn shape(&self, points: &[Point]) -> String {
        outline(&points.iter().map(|p| self.at(*p)).collect::<Vec<_>>(), true)
    }

    pub(crate) fn area(&mut self, points: &[Point], class: &str) {
        let d = self.shape(points);
        self.sheet.path(&d, class);
    }

    /// Metal that was cut through.
    pub(crate) fn cut(&mut self, points: &[Point]) {
        let d = self.shape(points);
        self.sheet.path(&d, "paper");
        self.sheet.hatched(&d, Hatch::Wall);
        self.sheet.path(&d, "edge");
    }

    /// An upright box of a gauge.
    pub(crate) fn tool(&mut self, (x0, y0): Point, (x1, y1): Point) {
        let (left, top) = self.at((x0.min(x1), y0.min(y1)));
        let d = boxed(left, top, (x1 - x0).abs(), (y1 - y0).abs());
        self.sheet.path(&d, "plain-mark");
    }

    pub(crate) fn line(&mut self, from: Point, to: Point, class: &str) {
        let (from, to) = (self.at(from), self.at(to));
        self.sheet.line(from, to, class);
    }

    pub(crate) fn text(&mut self, at: Point, set: Type, words: &str) {
        let (x, y) = self.at(at);
        self.sheet.text(x, y, set, Anchor::Middle, words);
    }

    pub(crate) fn touched(&mut self, at: Point) {
        let at = self.at(at);
        pointer::touched(self.sheet, at);
    }

    pub(crate) fn arrow(&mut self, from: Point, to: Point) {
        let (from, to) = (self.at(from), self.at(to));
        pointer::arrow(self.sheet, from, to);
    }

    /// Two words, one on each side of the middle, each on lines of its own.
    pub(crate) fn names(&mut self, y: f64, left: &[&str], right: &[&str]) {
        for (x, words) in [(-48.0, left), (48.0, right)] {
            for (n, word) in words.iter().enumerate() {
                self.text((x, y + 18.0 * n as f64), Type::Plain, word);
            }
        }
    }

    /// A micrometer whose anvils touch at `±half` and `y`, its frame over `top`.
    pub(crate) fn micrometer(&mut self, half: f64, y: f64, top: f64) {
        let (inside, outside) = (57.0, 69.0);
        let foot = y + 13.0;
        self.area(
            &[
                (-outside, foot),
                (-outside, top),
                (outside, top),
                (outside, foot),
                (inside, foot),
                (inside, top + 12.0),
                (-inside, top + 12.0),
                (-inside, foot),
            ],
            "plain-mark",
        );
        self.tool((-inside, y - 7.0), (-half, y + 7.0));
        self.tool((inside, y - 7.0), (half, y + 7.0));
        // Sleeve and thimble.
        self.tool((outside, y - 10.0), (87.0, y + 10.0));
        for x in [74.0, 78.0, 82.0] {
            self.line((x, y - 10.0), (x, y + 10.0), "thin");
        }
        for side in [-1.0, 1.0] {
            self.touched((side * half, y));
        }
    }

    /// A dial on the side `side`, its stylus touching at `at`.
    pub(crate) fn indicator(&mut self, side: f64, at: Point, dial_x: f64) {
        let (x, y) = at;
        let dial = (side * dial_x, y);
        self.tool((x, y - 3.0), (dial.0, y + 3.0));
        let middle = self.at(dial);
        self.sheet.circle(middle, DIAL, "plain-mark");
        for n in 0..12 {
            let (sin, cos) = (std::f64::consts::TAU * f64::from(n) / 12.0).sin_cos();
            let mark = |r: f64| (dial.0 + r * cos, dial.1 + r * sin);
            self.line(mark(DIAL - 5.0), mark(DIAL - 1.0), "thin");
        }
        self.line(dial, (dial.0 + 9.0, dial.1 - 11.0), "edge");
        self.touched(at);
    }
}
