//! Where past builds of a spec sat between the bounds of their windows, and how they came back.

use crate::axis::Axis;
use crate::columns::{Cell, Columns};
use crate::legend::Legend;
use crate::mark::Mark;
use crate::number::amount;
use crate::options::Options;
use crate::sheet::{Anchor, MARGIN, Sheet, WIDTH, boxed};
use crate::text::{Type, width};
use kernel::units::{Length, System};

/// How a rotor came back.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Came {
    /// It still runs, or nobody told.
    NotBack,
    /// No tip had touched.
    Clear,
    /// A tip had touched lightly.
    Light,
    /// A tip had touched hard.
    Heavy,
}

impl Came {
    /// In words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::NotBack => "not back",
            Self::Clear => "came back clear",
            Self::Light => "came back with light marks",
            Self::Heavy => "came back with heavy marks",
        }
    }

    const fn mark(self) -> Mark {
        match self {
            Self::NotBack => Mark::Station,
            Self::Clear => Mark::Holds,
            Self::Light => Mark::Unclear,
            Self::Heavy => Mark::Fails,
        }
    }

    const ALL: [Self; 4] = [Self::NotBack, Self::Clear, Self::Light, Self::Heavy];
}

/// One rotor of a past build.
#[derive(Debug, Clone, PartialEq)]
pub struct PastRotor {
    /// Build and rotor, in a few words.
    pub name: String,
    /// The size it was built to; of a step the least of both faces.
    pub is: Length,
    /// The highest bound from below.
    pub least: Option<Length>,
    /// The lowest bound from above.
    pub most: Option<Length>,
    /// How it came back.
    pub came: Came,
}

/// The model of the picture.
#[derive(Debug, Clone, PartialEq)]
pub struct PastWindows {
    /// Which size: `Step`.
    pub what: String,
    /// The spec and its duty, in words.
    pub of: String,
    /// The spec's figure and its tolerance, where all were built to one.
    pub wanted: Option<(Length, Length)>,
    /// The rotors, the newest first.
    pub rotors: Vec<PastRotor>,
}

/// Left and right end of the axis.
const LEFT: f64 = 270.0;
const RIGHT: f64 = WIDTH - MARGIN - 14.0;
/// From the axis to the first rotor: its second row of figures is between.
const UNDER: f64 = 32.0;
/// From one rotor to the next, and how high its window is.
const ROW: f64 = 30.0;
const HIGH: f64 = 12.0;
/// Most rotors that are drawn; all are in the data.
const MOST_DRAWN: usize = 40;

/// As much of a name as fits beside the axis.
fn fitted(name: &str) -> String {
    let room = LEFT - MARGIN - 20.0;
    if width(name, Type::Small) <= room {
        return name.to_owned();
    }
    let mut kept = String::new();
    for letter in name.chars() {
        if width(&format!("{kept}{letter}\u{2026}"), Type::Small) > room {
            break;
        }
        kept.push(letter);
    }
    format!("{}\u{2026}", kept.trim_end())
}

impl PastRotor {
    fn sentence(&self, first: System) -> String {
        let bound = |bound: Option<Length>, none: &str| {
            bound.map_or_else(|| none.to_owned(), |at| amount(at, first))
        };
        format!(
            "{}: {} in a window from {} to {}, {}.",
            self.name,
            amount(self.is, first),
            bound(self.least, "nothing"),
            bound(self.most, "no end"),
            self.came.words()
        )
    }
}

impl PastWindows {
    fn title(&self) -> String {
        format!("{} of past builds in their windows", self.what)
    }

    /// The picture.
    #[must_use]
    pub fn svg(&self, options: &Options) -> String {
        let first = options.system;
        let mut sheet = Sheet::new("past-windows", options);
        let reads =
            "Bars: from what bounds it below to what bounds it above; an open end has no bound.";
        let top = sheet.heading(&self.title(), &[reads.to_owned()]) + 40.0;
        let drawn = &self.rotors[..self.rotors.len().min(MOST_DRAWN)];
        let rows = top + UNDER;
        let bottom = rows + ROW * drawn.len() as f64;
        let wanted = self.wanted.into_iter().flat_map(|(aim, off)| [aim - off, aim + off]);
        let ends = drawn
            .iter()
            .flat_map(|rotor| [Some(rotor.is), rotor.least, rotor.most].into_iter().flatten());
        let axis = Axis::over(ends.chain(wanted), LEFT, RIGHT);
        axis.draw(&mut sheet, top, (rows, bottom), first);
        if let Some((aim, off)) = self.wanted {
            let (from, to) = (axis.at(aim - off), axis.at(aim + off));
            sheet.path(&boxed(from, rows, to - from, bottom - rows), "dashed");
        }
        for (row, rotor) in drawn.iter().enumerate() {
            let y = rows + ROW * (row as f64 + 0.5);
            let from = rotor.least.map_or(LEFT, |at| axis.at(at));
            let to = rotor.most.map_or(RIGHT, |at| axis.at(at));
            if to > from {
                sheet.path(&boxed(from, y - 0.5 * HIGH, to - from, HIGH), "open");
            }
            for at in [rotor.least, rotor.most].into_iter().flatten() {
                let x = axis.at(at);
                sheet.line((x, y - 0.8 * HIGH), (x, y + 0.8 * HIGH), "edge");
            }
            sheet.mark(axis.at(rotor.is), y, rotor.came.mark());
            let name = fitted(&rotor.name);
            sheet.text(LEFT - 12.0, y + 5.0, Type::Small, Anchor::End, &name);
        }
        let mut legend = Legend::new(bottom + 34.0, 24.0);
        for came in Came::ALL {
            let (x, y) = legend.entry(&mut sheet, came.words());
            sheet.mark(x + 9.0, y, came.mark());
        }
        if self.wanted.is_some() {
            let (x, y) = legend.entry(&mut sheet, "the spec's tolerance");
            sheet.path(&boxed(x, y - 6.0, 18.0, 12.0), "dashed");
        }
        let mut y = legend.end();
        if self.rotors.len() > drawn.len() {
            let more = self.rotors.len() - drawn.len();
            y = sheet.notes(y, &[format!("{more} older ones are in the data.")]);
        }
        let described: Vec<String> =
            self.rotors.iter().map(|rotor| rotor.sentence(first)).collect();
        sheet.close_with(y, &self.title(), &described, &[format!("Spec: {}.", self.of)])
    }

    /// Its data: a row for each rotor.
    #[must_use]
    pub fn csv(&self) -> String {
        let mut rows = Columns::new(&["rotor", "is_mm", "least_mm", "most_mm", "came_back"]);
        for rotor in &self.rotors {
            let mm = |length: Option<Length>| Cell::maybe(length.map(Length::to_mm), 4);
            rows.row(&[
                Cell::Words(&rotor.name),
                mm(Some(rotor.is)),
                mm(rotor.least),
                mm(rotor.most),
                Cell::Words(rotor.came.words()),
            ]);
        }
        rows.into_text()
    }
}
