//! The path of a rotor's tilt through its cycle, inside the room it has: how far its axis leans
//! along the bore and across it, where both lands touch, and where a tip does.
//!
//! Equal scales both ways. A path that is small in its room is shown a second time, larger.

mod view;

use crate::columns::{Cell, Columns};
use crate::legend::Legend;
use crate::mark::Mark;
use crate::number::{amount, factor, round_down};
use crate::options::Options;
use crate::origin::Origin;
use crate::scale::figure;
use crate::sheet::Sheet;
use kernel::units::{Angle, Length, Speed, System};
use view::View;

/// A slope of the rotor's axis in the stationary frame, per length along the shaft to the rear.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Slope {
    /// Along the long axis of the bore.
    pub x: Angle,
    /// Towards the hot waist.
    pub y: Angle,
}

/// Slopes at which both lands touch, their corners in order around; it is closed by itself.
#[derive(Debug, Clone, PartialEq)]
pub struct JamOutline {
    /// At this shaft angle; none: whatever the angle.
    pub at: Option<Angle>,
    /// Its corners.
    pub corners: Vec<Slope>,
}

/// At which tilt a tip touches when the rotor leans in one direction at worst float.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TouchReach {
    /// The direction of the slope, from the long axis of the bore towards the hot waist.
    pub direction: Angle,
    /// The tilt; none where the lands stop the rotor first.
    pub tilt: Option<Angle>,
}

/// When the gap at a tip is least.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LeastGap {
    /// Which point of the path.
    pub degree: usize,
    /// The gap then, negative where the tip would be inside the wall.
    pub gap: Length,
}

/// The model of the picture.
#[derive(Debug, Clone, PartialEq)]
pub struct TiltPath {
    /// The rotor's serial.
    pub serial: String,
    /// What it belongs to.
    pub origin: Origin,
    /// Whether the shaft was taken from the engine's sizes.
    pub assumed_shaft: bool,
    /// At which speed of the shaft.
    pub speed: Speed,
    /// The slope at each degree of shaft angle from 0° on; it is closed by itself.
    pub path: Vec<Slope>,
    /// Where both lands touch. The first that holds at any angle is drawn as the room's edge.
    pub jams: Vec<JamOutline>,
    /// Where a tip touches, in order around.
    pub touches: Vec<TouchReach>,
    /// The moment of the least gap.
    pub least: Option<LeastGap>,
    /// What else must be said, each a sentence.
    pub notes: Vec<String>,
}

/// A mark stands at each of these, in degrees of shaft angle.
const EVERY: usize = 90;
/// A path that takes less of its room than this is shown a second time.
const SMALL: f64 = 0.35;
/// What lies further out than this many times everything else is left off.
const FAR: f64 = 1.5;

impl Slope {
    fn mrad(self) -> (f64, f64) {
        (self.x.to_rad() * 1e3, self.y.to_rad() * 1e3)
    }

    fn tilt_mrad(self) -> f64 {
        let (x, y) = self.mrad();
        x.hypot(y)
    }
}

impl TouchReach {
    fn mrad(&self) -> Option<(f64, f64)> {
        let (sin, cos) = self.direction.to_rad().sin_cos();
        self.tilt.map(|tilt| (tilt.to_rad() * 1e3 * cos, tilt.to_rad() * 1e3 * sin))
    }
}

/// The farthest of the slopes to either side, as a square about zero would have to reach.
fn reach(slopes: impl Iterator<Item = (f64, f64)>) -> f64 {
    slopes.map(|(x, y)| x.abs().max(y.abs())).filter(|r| r.is_finite()).fold(0.0, f64::max)
}

/// The mark of a turn of the shaft.
const fn turn_mark(degree: usize) -> Mark {
    match degree / 360 {
        0 => Mark::Station,
        1 => Mark::Holds,
        _ => Mark::Unclear,
    }
}

impl LeastGap {
    fn mark(&self) -> Mark {
        if self.gap > Length::ZERO { Mark::Planned } else { Mark::Fails }
    }
}

impl TiltPath {
    fn title(&self) -> String {
        format!("Tilt of rotor {} in its room", self.serial)
    }

    fn place(&self) -> String {
        format!(
            "Slope of the rotor's axis over a whole cycle at {} rpm, in mrad, seen from the rear. \
             x: along the long axis of the bore; y: towards the hot waist. Equal scales.",
            figure(self.speed.to_rpm(), 0)
        )
    }

    fn path_reach(&self) -> f64 {
        reach(self.path.iter().map(|s| s.mrad()))
    }

    /// Half the width of the picture, in mrad.
    fn half_mrad(&self) -> f64 {
        let corners = self.jams.iter().flat_map(|jam| jam.corners.iter().map(|s| s.mrad()));
        let near = self.path_reach().max(reach(corners));
        let touches = reach(self.touches.iter().filter_map(TouchReach::mrad));
        let most = if near > 0.0 { touches.min(FAR * near) } else { touches };
        1.12 * near.max(most).max(1e-3)
    }

    /// The picture.
    #[must_use]
    pub fn svg(&self, options: &Options) -> String {
        let mut sheet = Sheet::new("tilt-path", options);
        let y = sheet.heading(&self.title(), &[self.place()]) + 10.0;
        let half = self.half_mrad();
        let (path, system) = (self.path_reach(), options.system);
        let mut unlabelled = Vec::new();
        let y = if path > 0.0 && path < SMALL * half {
            let times = round_down(half / (1.2 * path)).max(1.0);
            let whole = View::new((74.0, y + 24.0), 320.0, half);
            let near = View::new((460.0, y + 24.0), 320.0, half / times);
            whole.draw(&mut sheet, self, "whole room", false);
            let name = format!("path, {} times larger", factor(times));
            unlabelled = near.draw(&mut sheet, self, &name, true);
            near.bottom()
        } else {
            let view = View::new((150.0, y + 4.0), 540.0, half);
            unlabelled.extend(view.draw(&mut sheet, self, "", true));
            view.bottom()
        };
        let mut y = self.draw_legend(&mut sheet, y + 30.0) + 6.0;
        if !unlabelled.is_empty() {
            let said: Vec<String> = unlabelled.iter().map(|d| format!("{d}\u{b0}")).collect();
            let note = format!("No room for the labels of {}.", said.join(", "));
            y = sheet.notes(y, &[note]);
        }
        if let Some(words) = self.least_words(system) {
            y = sheet.notes(y, &[words]);
        }
        y = sheet.notes(y, &self.notes);
        let foot = self.origin.at_speed(self.assumed_shaft);
        sheet.close_with(y, &self.title(), &self.sentences(system), &foot)
    }

    fn draw_legend(&self, sheet: &mut Sheet, y: f64) -> f64 {
        let mut legend = Legend::new(y, 44.0);
        let line = |sheet: &mut Sheet, (x, y): (f64, f64), class: &str| {
            sheet.line((x, y), (x + 36.0, y), class);
        };
        if !self.path.is_empty() {
            let at = legend.entry(sheet, "path, arrows in its direction");
            line(sheet, at, "curve");
        }
        for (turn, name) in [(0, "first turn"), (1, "second turn"), (2, "third turn")] {
            if self.path.len() > turn * 360 {
                let words = format!("{name}, every {EVERY}\u{b0} of shaft");
                let (x, y) = legend.entry(sheet, &words);
                sheet.path(&turn_mark(turn * 360).path(x + 18.0, y), "plain-mark");
            }
        }
        if self.jams.iter().any(|jam| jam.at.is_none()) {
            let at = legend.entry(sheet, "both lands touch: jammed outside");
            line(sheet, at, "edge");
        }
        if self.jams.iter().any(|jam| jam.at.is_some()) {
            let at = legend.entry(sheet, "both lands touch at the shaft angle given");
            line(sheet, at, "dashed");
        }
        if self.touches.iter().any(|t| t.tilt.is_some()) {
            let at = legend.entry(sheet, "a tip touches at worst float");
            line(sheet, at, "reach");
        }
        if let Some(least) = &self.least {
            let (x, y) = legend.entry(sheet, "least gap");
            sheet.mark(x + 18.0, y, least.mark());
        }
        legend.end()
    }

    fn least_words(&self, system: System) -> Option<String> {
        let least = self.least?;
        let verb = if least.gap > Length::ZERO { "" } else { ", the tip touches" };
        Some(format!(
            "Least gap {} at {}\u{b0} of shaft{verb}.",
            amount(least.gap, system),
            least.degree
        ))
    }

    fn sentences(&self, system: System) -> Vec<String> {
        let mut all = vec![self.place()];
        let greatest =
            self.path.iter().enumerate().max_by(|a, b| a.1.tilt_mrad().total_cmp(&b.1.tilt_mrad()));
        if let Some((degree, slope)) = greatest {
            let tilt = figure(slope.tilt_mrad(), 3);
            all.push(format!("Greatest tilt {tilt} mrad at {degree}\u{b0} of shaft."));
        }
        for (degree, slope) in self.path.iter().enumerate().step_by(EVERY) {
            let (x, y) = slope.mrad();
            all.push(format!("At {degree}\u{b0}: x {}, y {} mrad.", figure(x, 3), figure(y, 3)));
        }
        for jam in &self.jams {
            let tilts = jam.corners.iter().map(|s| s.tilt_mrad());
            let (least, most) = crate::scale::span(tilts);
            all.push(format!(
                "Both lands touch{}: corners of the outline at tilts from {} to {} mrad.",
                jam.at.map_or_else(String::new, |at| format!(
                    " at {}\u{b0} of shaft",
                    figure(at.to_deg(), 0)
                )),
                figure(least, 3),
                figure(most, 3),
            ));
        }
        let tilts: Vec<f64> =
            self.touches.iter().filter_map(|t| t.tilt.map(|tilt| tilt.to_rad() * 1e3)).collect();
        if !self.touches.is_empty() {
            let (least, most) = crate::scale::span(tilts.iter().copied());
            let never = self.touches.len() - tilts.len();
            all.push(if tilts.is_empty() {
                "No tip touches in any direction: the lands stop the rotor first.".to_owned()
            } else {
                format!(
                    "A tip touches at worst float at tilts from {} to {} mrad; in {never} of {} \
                     directions the lands stop the rotor first.",
                    figure(least, 3),
                    figure(most, 3),
                    self.touches.len(),
                )
            });
        }
        all.extend(self.least_words(system));
        all.extend(self.notes.iter().cloned());
        all
    }

    /// Its data.
    #[must_use]
    pub fn csv(&self) -> String {
        let mut columns = Columns::new(&[
            "what",
            "rotor",
            "shaft_deg",
            "x_mrad",
            "y_mrad",
            "gap_um",
            "gap_thou",
            "remark",
        ]);
        let serial = Cell::Words(&self.serial);
        for (degree, slope) in self.path.iter().enumerate() {
            let ((x, y), at) = (slope.mrad(), Cell::Figure(degree as f64, 0));
            columns.row(&[Cell::Words("path"), serial, at, Cell::Figure(x, 5), Cell::Figure(y, 5)]);
        }
        for jam in &self.jams {
            let at = Cell::maybe(jam.at.map(Angle::to_deg), 1);
            for (x, y) in jam.corners.iter().map(|s| s.mrad()) {
                let what = Cell::Words("both lands touch");
                columns.row(&[what, serial, at, Cell::Figure(x, 5), Cell::Figure(y, 5)]);
            }
        }
        for touch in &self.touches {
            let (x, y) = touch.mrad().unzip();
            let direction = figure(touch.direction.to_deg(), 1);
            let remark = match touch.tilt {
                Some(_) => format!("direction {direction}\u{b0}"),
                None => format!("direction {direction}\u{b0}: the lands stop the rotor first"),
            };
            columns.row(&[
                Cell::Words("a tip touches at worst float"),
                serial,
                Cell::Empty,
                Cell::maybe(x, 5),
                Cell::maybe(y, 5),
                Cell::Empty,
                Cell::Empty,
                Cell::Words(&remark),
            ]);
        }
        if let Some(least) = &self.least {
            columns.row(&[
                Cell::Words("least gap"),
                serial,
                Cell::Figure(least.degree as f64, 0),
                Cell::maybe(self.path.get(least.degree).map(|s| s.mrad().0), 5),
                Cell::maybe(self.path.get(least.degree).map(|s| s.mrad().1), 5),
                Cell::Figure(least.gap.to_um(), 1),
                Cell::Figure(least.gap.to_thou(), 3),
            ]);
        }
        columns.into_text()
    }
}
