//! The sheet a picture stands on: it collects lines, areas, marks and text in units of its view
//! box (800 wide, 480 for pictures that stand beside a field on a small screen), then closes them
//! into one SVG with title and description.

use crate::hatch::{self, Hatch};
use crate::mark::Mark;
use crate::number::coordinate;
use crate::options::Options;
use crate::origin::Origin;
use crate::style;
use crate::text::{Type, printable, width, wrap};
use maud::{Markup, PreEscaped, html};
use std::fmt::Write as _;

/// Width of a whole picture in units of its view box.
pub(crate) const WIDTH: f64 = 800.0;
/// Free space at its edges.
pub(crate) const MARGIN: f64 = 20.0;
/// The same of a narrow one: type of 15 is then still read where the screen is 320 px wide.
pub(crate) const NARROW: f64 = 480.0;
pub(crate) const NARROW_MARGIN: f64 = 12.0;
/// Said wherever figures of tilt or heat stand.
pub(crate) const SCREENING: &str = "Screening estimate until calibrated.";

/// Where a text's point lies on its base line.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Anchor {
    /// At its left end.
    Start,
    /// In its middle.
    Middle,
    /// At its right end.
    End,
}

/// A picture in the making.
#[derive(Debug)]
pub(crate) struct Sheet {
    id: String,
    body: String,
    width: f64,
    margin: f64,
    /// What its style sheet has besides.
    besides: &'static str,
}

impl Sheet {
    pub(crate) fn new(kind: &str, options: &Options) -> Self {
        Self {
            id: options.id_or(kind),
            body: String::new(),
            width: WIDTH,
            margin: MARGIN,
            besides: "",
        }
    }

    /// A narrow one, with the look of what is wanted.
    pub(crate) fn narrow(kind: &str, options: &Options) -> Self {
        Self {
            width: NARROW,
            margin: NARROW_MARGIN,
            besides: style::WANTED,
            ..Self::new(kind, options)
        }
    }

    /// Width of a text over the whole sheet.
    const fn room(&self) -> f64 {
        self.width - 2.0 * self.margin
    }

    /// One element to a line, so that two versions of a picture can be compared.
    fn put(&mut self, element: &Markup) {
        self.body.push_str(&element.0);
        self.body.push('\n');
    }

    /// One line of text on the base line `y`.
    pub(crate) fn text(&mut self, x: f64, y: f64, set: Type, anchor: Anchor, text: &str) {
        let anchor = match anchor {
            Anchor::Start => None,
            Anchor::Middle => Some("middle"),
            Anchor::End => Some("end"),
        };
        self.put(&html! {
            text x=(coordinate(x)) y=(coordinate(y)) class=(set.class()) text-anchor=[anchor] {
                (printable(text))
            }
        });
    }

    /// A text broken to `room`, its first base line at `y`; the base line after it.
    pub(crate) fn block(&mut self, x: f64, y: f64, set: Type, room: f64, text: &str) -> f64 {
        let mut y = y;
        for line in wrap(&printable(text), set, room) {
            self.text(x, y, set, Anchor::Start, &line);
            y += set.leading();
        }
        y
    }

    /// A word on a drawn area, with free space around it.
    pub(crate) fn plate(&mut self, x: f64, y: f64, anchor: Anchor, words: &str) {
        let width = width(words, Type::Small);
        let left = match anchor {
            Anchor::Start => x,
            Anchor::Middle => x - 0.5 * width,
            Anchor::End => x - width,
        };
        self.path(&boxed(left - 4.0, y - 15.0, width + 8.0, 20.0), "paper");
        self.text(x, y, Type::Small, anchor, words);
    }

    /// A word beside a point, on free space no larger than the word.
    pub(crate) fn plate_tight(&mut self, left: f64, y: f64, words: &str) {
        self.path(&boxed(left - 1.0, y - 12.0, width(words, Type::Small) + 2.0, 15.0), "paper");
        self.text(left, y, Type::Small, Anchor::Start, words);
    }

    /// Notes over the whole width; the base line after them.
    pub(crate) fn notes(&mut self, y: f64, notes: &[String]) -> f64 {
        let (left, room) = (self.margin, self.room());
        notes.iter().fold(y, |y, note| self.block(left, y, Type::Plain, room, note))
    }

    pub(crate) fn line(&mut self, from: (f64, f64), to: (f64, f64), class: &str) {
        self.path(&outline(&[from, to], false), class);
    }

    pub(crate) fn path(&mut self, d: &str, class: &str) {
        self.put(&html! { path class=(class) d=(d) {} });
    }

    /// An outline filled with a hatching; holes by the even-odd rule.
    pub(crate) fn hatched(&mut self, d: &str, hatch: Hatch) {
        self.put(&html! { path fill=(hatch.paint(&self.id)) fill-rule="evenodd" d=(d) {} });
    }

    pub(crate) fn circle(&mut self, (x, y): (f64, f64), r: f64, class: &str) {
        self.put(&html! {
            circle class=(class) cx=(coordinate(x)) cy=(coordinate(y)) r=(coordinate(r)) {}
        });
    }

    /// A line of the picture's data, with free space along it so that it is seen on hatching.
    pub(crate) fn curve(&mut self, points: &[(f64, f64)], class: &str) {
        if points.len() > 1 {
            let d = outline(points, false);
            self.path(&d, "halo");
            self.path(&d, class);
        }
    }

    pub(crate) fn mark(&mut self, x: f64, y: f64, mark: Mark) {
        self.path(&mark.path(x, y), mark.class());
    }

    /// The picture's name and the lines under it; the base line after them.
    pub(crate) fn heading(&mut self, name: &str, under: &[String]) -> f64 {
        let (left, room) = (self.margin, self.room());
        let mut y = self.block(left, 34.0, Type::Head, room, name);
        for line in under {
            y = self.block(left, y, Type::Plain, room, line);
        }
        y
    }

    /// The whole picture: what it belongs to is said at its foot, from the base line `y` on.
    pub(crate) fn close(
        self,
        y: f64,
        title: &str,
        description: &[String],
        origin: &Origin,
    ) -> String {
        self.close_with(y, title, description, &[origin.line()])
    }

    /// The whole picture with these lines at its foot, from the base line `y` on.
    pub(crate) fn close_with(
        mut self,
        y: f64,
        title: &str,
        description: &[String],
        foot: &[String],
    ) -> String {
        let (left, room) = (self.margin, self.room());
        self.line((left, y - 10.0), (left + room, y - 10.0), "faint");
        let height =
            foot.iter().fold(y + 9.0, |y, line| self.block(left, y, Type::Small, room, line)) - 6.0;
        let (w, h) = (coordinate(self.width), coordinate(height.ceil()));
        let (title_id, description_id) =
            (format!("{}-title", self.id), format!("{}-desc", self.id));
        let description =
            description.iter().chain(foot).fold(String::new(), |mut all, sentence| {
                let _ = write!(all, "{sentence} ");
                all
            });
        let svg = html! {
            svg xmlns="http://www.w3.org/2000/svg" id=(self.id) class="lw-drawing" role="img"
                viewBox=(format!("0 0 {w} {h}")) width=(w) height=(h)
                aria-labelledby=(title_id) aria-describedby=(description_id) {
                "\n" title id=(title_id) { (printable(title)) }
                "\n" desc id=(description_id) { (printable(description.trim_end())) }
                "\n" style { (PreEscaped(style::SHEET)) (PreEscaped(self.besides)) }
                "\n" (hatch::definitions(&self.id))
                "\n" rect class="paper" width=(w) height=(h) {}
                "\n" (PreEscaped(self.body))
            }
        };
        let mut svg = svg.into_string();
        svg.push('\n');
        svg
    }
}

/// A run of straight lines.
pub(crate) fn outline(points: &[(f64, f64)], closed: bool) -> String {
    let mut d = String::new();
    for (i, (x, y)) in points.iter().enumerate() {
        d.push(if i == 0 { 'M' } else { ' ' });
        let _ = write!(d, "{},{}", coordinate(*x), coordinate(*y));
    }
    if closed && !points.is_empty() {
        d.push('z');
    }
    d
}

/// An upright box.
pub(crate) fn boxed(x: f64, y: f64, w: f64, h: f64) -> String {
    let (w, back) = (coordinate(w), coordinate(-w));
    format!("M{},{}h{w}v{}h{back}z", coordinate(x), coordinate(y), coordinate(h))
}

/// A ring between two radii, or a disc where the inner one is zero.
pub(crate) fn ring((x, y): (f64, f64), outer: f64, inner: f64) -> String {
    let circle = |r: f64| {
        let (r_text, across) = (coordinate(r), coordinate(2.0 * r));
        let (left, y) = (coordinate(x - r), coordinate(y));
        format!(
            "M{left},{y}a{r_text},{r_text} 0 1 0 {across},0a{r_text},{r_text} 0 1 0 -{across},0z"
        )
    };
    if inner > 0.0 { circle(outer) + &circle(inner) } else { circle(outer) }
}
