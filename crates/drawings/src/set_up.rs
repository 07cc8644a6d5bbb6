//! A rotor as it lies under the cutter: the face that is up with what comes off it at each tip,
//! and a section with what it lies on, what is cut, and where heights are counted from.
//!
//! The face is to true shape. The section is a scheme: its heights are not to scale, and it says
//! so; figures stand in the tables of the paper it is on.

use crate::arrow;
use crate::hatch::Hatch;
use crate::mark::Mark;
use crate::number::amount;
use crate::options::Options;
use crate::origin::Origin;
use crate::rotor_shape::{RotorShape, View, orientation};
use crate::sheet::{Anchor, MARGIN, Sheet, boxed, outline};
use crate::table::{Place, Table};
use crate::text::Type;
use crate::tip::Tip;
use kernel::readings::{Face, TIPS};
use kernel::units::{Length, System};

/// Radius of the rotor on the picture.
const REACH: f64 = 150.0;
/// Middle of the section, and half its width.
const MIDDLE: f64 = 622.0;
const HALF: f64 = 138.0;
/// Heights of the scheme: what the rotor lies on, the rotor, its step, stock.
const SUPPORT: f64 = 24.0;
const BODY: f64 = 78.0;
const STEP: f64 = 12.0;
const LAND_STOCK: f64 = 9.0;

/// What comes off a face at a tip, as depths from the surfaces as they were found.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Take {
    /// Off the land.
    pub land: Length,
    /// Outside the land, where steps are read.
    pub outside: Length,
}

/// The model of the picture.
#[derive(Debug, Clone, PartialEq)]
pub struct SetUp {
    /// The rotor's serial.
    pub serial: String,
    /// What it belongs to.
    pub origin: Origin,
    /// Which set-up it is, from 1.
    pub number: usize,
    /// The face that is up.
    pub face: Face,
    /// The rotor.
    pub shape: RotorShape,
    /// What comes off at tips 1, 2, 3.
    pub take: [Take; TIPS],
    /// Where a taper begins; without it outside is one step down.
    pub taper_from: Option<Length>,
}

/// What comes off, in words.
fn off(depth: Length, system: System) -> String {
    if depth > Length::ZERO { amount(depth, system) } else { "as it is".to_owned() }
}

impl SetUp {
    fn title(&self) -> String {
        format!("Set-up {}: {} face of {} up", self.number, self.face.name(), self.serial)
    }

    const fn is_land_cut(&self) -> bool {
        let [a, b, c] = &self.take;
        a.land.to_m() > 0.0 || b.land.to_m() > 0.0 || c.land.to_m() > 0.0
    }

    /// The picture.
    #[must_use]
    pub fn svg(&self, options: &Options) -> String {
        let mut sheet = Sheet::new("set-up", options);
        let top = sheet.heading(&self.title(), &[orientation(self.face).to_owned()]);
        let reach_m = self.shape.reach_m();
        let view = View::of(self.face, (200.0, top + REACH + 14.0), REACH / reach_m);
        self.draw_face(&mut sheet, &view);
        let mut bottom = view.centre.1 + REACH;
        for tip in Tip::ALL {
            let (x, y) = view.on(tip, self.shape.reading_radius.to_m());
            let at = match tip {
                Tip::One => (x + 74.0, y - 6.0),
                _ if x < view.centre.0 => (MARGIN, view.centre.1 + REACH + 4.0),
                _ => (232.0, view.centre.1 + REACH + 4.0),
            };
            if tip == Tip::One {
                sheet.line((x + 8.0, y), (at.0 - 6.0, at.1 - 5.0), "thin");
            } else {
                sheet.line((x, y + 8.0), (x, at.1 - 16.0), "thin");
            }
            bottom = bottom.max(self.draw_take(&mut sheet, at, tip, options.system));
        }
        self.draw_section(&mut sheet, top + 88.0);
        sheet.close(bottom + 8.0, &self.title(), &self.sentences(options.system), &self.origin)
    }

    fn draw_face(&self, sheet: &mut Sheet, view: &View) {
        self.shape.draw(sheet, view, self.face, "edge");
        if let Some(from) = self.taper_from {
            sheet.circle(view.centre, from.to_m() * view.per_m, "dashed");
        }
        for tip in Tip::ALL {
            for radius in [self.shape.land_radius, self.shape.reading_radius] {
                let (x, y) = view.on(tip, radius.to_m());
                sheet.mark(x, y, Mark::Station);
            }
            let (x, y) =
                view.on(tip, 0.5 * (self.shape.land_radius + self.shape.reading_radius).to_m());
            sheet.circle((x, y), 13.0, "plain-mark");
            sheet.text(x, y + 5.5, Type::Strong, Anchor::Middle, &tip.number().to_string());
        }
        let (x, y) = view.centre;
        let inside = match self.face {
            Face::Gear => "gear",
            Face::Plain => "bearing",
        };
        sheet.text(x, y + 5.0, Type::Small, Anchor::Middle, inside);
    }

    fn draw_take(&self, sheet: &mut Sheet, (x, y): (f64, f64), tip: Tip, system: System) -> f64 {
        let take = self.take[tip.index()];
        let head = if tip == Tip::One { "Tip 1 (marked): take off" } else { "take off" };
        let head =
            if tip == Tip::One { head.to_owned() } else { format!("Tip {}: {head}", tip.number()) };
        sheet.text(x, y, Type::Strong, Anchor::Start, &head);
        for (i, (name, depth)) in
            [("land", take.land), ("outside", take.outside)].into_iter().enumerate()
        {
            let y = y + 21.0 * (i + 1) as f64;
            sheet.text(x, y, Type::Plain, Anchor::Start, name);
            sheet.text(x + 62.0, y, Type::Plain, Anchor::Start, &off(depth, system));
        }
        y + 58.0
    }

    /// The section: left and right of the bore alike.
    fn draw_section(&self, sheet: &mut Sheet, top: f64) {
        let share = |radius: Length| HALF * (radius / self.shape.reading_radius);
        let (land, inner) = (share(self.shape.land_radius), share(self.shape.land_inner_radius));
        let land_top = top + 30.0;
        let face_top = land_top + STEP;
        let face_bottom = face_top + BODY;
        let land_bottom = face_bottom + STEP;
        let table = land_bottom + SUPPORT;
        for side in [-1.0, 1.0] {
            let x = |from_middle: f64| MIDDLE + side * from_middle;
            let slab = |from: f64, to: f64, y0: f64, y1: f64| {
                boxed(x(from).min(x(to)), y0, to - from, y1 - y0)
            };
            // What it lies on: a ring under the lower land, its outer edge left free for the gauge.
            let ring = inner + 0.6 * (land - inner);
            sheet.hatched(&slab(inner, ring, land_bottom, table), Hatch::Wall);
            sheet.path(&slab(inner, ring, land_bottom, table), "edge");
            // What comes off: hatched, above the finished part.
            if self.is_land_cut() {
                sheet.hatched(&slab(inner, land, land_top - LAND_STOCK, land_top), Hatch::Stock);
            }
            if self.take.iter().any(|take| take.outside > Length::ZERO) {
                sheet.hatched(&slab(land, HALF, land_top - 4.0, face_top), Hatch::Stock);
            }
            let root = self.taper_from.map_or(land, share).max(land);
            let part = [
                (x(inner), land_top),
                (x(land), land_top),
                (x(land), if self.taper_from.is_some() { land_top + 3.0 } else { face_top }),
                (x(root), if self.taper_from.is_some() { land_top + 3.0 } else { face_top }),
                (x(HALF), face_top),
                (x(HALF), face_bottom),
                (x(land), face_bottom),
                (x(land), land_bottom),
                (x(inner), land_bottom),
            ];
            let d = outline(&part, true);
            sheet.path(&d, "metal");
            sheet.path(&d, "edge");
        }
        sheet.path(&boxed(MIDDLE - HALF - 20.0, table, 2.0 * HALF + 40.0, 14.0), "edge");
        sheet.line((MIDDLE, top - 2.0), (MIDDLE, table + 22.0), "axis");
        // Where heights are counted from.
        let left = MIDDLE - HALF - 26.0;
        sheet.line((left, land_top), (MIDDLE - land, land_top), "dashed");
        let words = if self.is_land_cut() { "finished land: Z 0" } else { "land as it is: Z 0" };
        sheet.text(left, land_top - 18.0, Type::Strong, Anchor::Start, words);
        sheet.line((left + 10.0, land_top - 14.0), (left + 10.0, land_top - 3.0), "thin");
        arrow::head(sheet, (left + 10.0, land_top - 6.0), (0.0, 1.0));
        let right = MIDDLE + HALF;
        sheet.text(right, top + 2.0, Type::Plain, Anchor::End, "hatched: comes off");
        let says = [
            "Lower land on a ground ring that leaves its",
            "edge free for the gauge. Bore square and on",
            "the axis; never held by the bearing's overlay.",
            "Heights not to scale. Open circles: read here.",
        ];
        for (i, line) in says.into_iter().enumerate() {
            let y = table + 38.0 + 20.0 * i as f64;
            sheet.text(MIDDLE - HALF - 26.0, y, Type::Small, Anchor::Start, line);
        }
    }

    fn sentences(&self, system: System) -> Vec<String> {
        let mut all = vec![orientation(self.face).to_owned()];
        for tip in Tip::ALL {
            let take = self.take[tip.index()];
            all.push(format!(
                "Tip {}: land {}, outside {}.",
                tip.number(),
                off(take.land, system),
                off(take.outside, system)
            ));
        }
        all.push("The lower land lies on a ground ring; Z is counted from the land.".to_owned());
        all
    }

    /// Its data.
    #[must_use]
    pub fn csv(&self) -> String {
        let mut table = Table::new();
        for tip in Tip::ALL {
            let place = Place { rotor: &self.serial, face: self.face.name(), tip: tip.number() };
            let take = self.take[tip.index()];
            for (name, depth) in
                [("stock off the land", take.land), ("stock outside the land", take.outside)]
            {
                let remark = if depth > Length::ZERO { "" } else { "left as it is" };
                table.row(name, place, Some(depth), remark);
            }
        }
        table.into_text()
    }
}
