//! A face of a rotor as it came apart: what each tip shows, beside what was predicted for it.

use crate::columns::{Cell, Columns};
use crate::legend::Legend;
use crate::mark::Mark;
use crate::number::amount;
use crate::options::Options;
use crate::origin::Origin;
use crate::rotor_shape::{RotorShape, View, orientation};
use crate::sheet::{Anchor, Sheet, WIDTH};
use crate::text::{Type, wrap};
use crate::tip::Tip;
use kernel::readings::{Face, TIPS};
use kernel::units::{Length, System};

/// What a tip shows.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum TipSeen {
    /// It did not touch.
    Clear,
    /// It is polished.
    Light,
    /// It is scored or worn.
    Heavy,
    /// Nobody looked, or not yet.
    #[default]
    NotLookedAt,
}

/// What is known of a tip.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct MarkedTip {
    /// What it shows.
    pub seen: TipSeen,
    /// What else is to be said of it, line by line: what was predicted, and whether it agrees.
    pub words: Vec<String>,
}

/// The model of the picture.
#[derive(Debug, Clone, PartialEq)]
pub struct MarkedFace {
    /// The rotor's serial.
    pub serial: String,
    /// Which face.
    pub face: Face,
    /// The shape of the rotor; where it is left out one like it is drawn, and that is said.
    pub shape: Option<RotorShape>,
    /// What it belongs to.
    pub origin: Origin,
    /// Tips 1, 2 and 3.
    pub tips: [MarkedTip; TIPS],
}

/// How far the rotor reaches from its centre on the sheet.
const REACH: f64 = 125.0;
/// Between a tip and its words, and from line to line.
const BESIDE: f64 = 20.0;
const LINE: f64 = 18.0;
/// Widest that the words of a tip may be.
const WORDS: f64 = 215.0;

impl TipSeen {
    const ALL: [Self; 4] = [Self::Clear, Self::Light, Self::Heavy, Self::NotLookedAt];

    const fn words(self) -> &'static str {
        match self {
            Self::Clear => "did not touch",
            Self::Light => "light contact",
            Self::Heavy => "heavy contact",
            Self::NotLookedAt => "not looked at",
        }
    }

    const fn mark(self) -> Mark {
        match self {
            Self::Clear => Mark::Holds,
            Self::Light => Mark::Unclear,
            Self::Heavy => Mark::Fails,
            Self::NotLookedAt => Mark::Station,
        }
    }
}

impl MarkedFace {
    fn title(&self) -> String {
        let face = match self.face {
            Face::Gear => "gear face",
            Face::Plain => "plain face",
        };
        format!("Tips of rotor {}, {face}", self.serial)
    }

    /// The words of a tip, line by line.
    fn lines(&self, tip: Tip) -> Vec<String> {
        let known = &self.tips[tip.index()];
        let head = format!("Tip {}: {}", tip.number(), known.seen.words());
        std::iter::once(&head)
            .chain(&known.words)
            .flat_map(|words| wrap(words, Type::Small, WORDS))
            .collect()
    }

    /// The picture.
    #[must_use]
    pub fn svg(&self, options: &Options) -> String {
        let mut sheet = Sheet::new("marked-face", options);
        let scale = if self.shape.is_some() { "" } else { " The rotor is drawn like many." };
        let under = format!("{}{scale}", orientation(self.face));
        let top = sheet.heading(&self.title(), &[under]);
        let generic = RotorShape::generic();
        let shape = self.shape.as_ref().unwrap_or(&generic);
        let centre = (0.5 * WIDTH, top + 20.0 + REACH);
        let view = View::of(self.face, centre, REACH / shape.reach_m());
        shape.draw(&mut sheet, &view, self.face, "edge");
        let mut bottom = centre.1 + REACH;
        for tip in Tip::ALL {
            let (x, y) = view.on(tip, shape.reading_radius.to_m());
            sheet.mark(x, y, self.tips[tip.index()].seen.mark());
            let (out, _) = view.on(tip, shape.reach_m());
            let (from, anchor) = if out < centre.0 - 1.0 {
                (out - BESIDE, Anchor::End)
            } else if tip == Tip::One {
                // Clear of the flank, which bulges towards its words.
                (centre.0 + 0.9 * REACH, Anchor::Start)
            } else {
                (out + BESIDE, Anchor::Start)
            };
            let mut base = if tip == Tip::One { top + LINE } else { y + 5.0 };
            for (n, line) in self.lines(tip).iter().enumerate() {
                let set = if n == 0 { Type::Strong } else { Type::Small };
                sheet.text(from, base, set, anchor, line);
                base += LINE;
            }
            bottom = bottom.max(base);
        }
        let mut legend = Legend::new(bottom + 26.0, 26.0);
        for seen in TipSeen::ALL {
            let (x, y) = legend.entry(&mut sheet, seen.words());
            sheet.mark(x + 11.0, y, seen.mark());
        }
        sheet.close(legend.end(), &self.title(), &self.sentences(), &self.origin)
    }

    fn sentences(&self) -> Vec<String> {
        let mut all = vec![orientation(self.face).to_owned()];
        for tip in Tip::ALL {
            let known = &self.tips[tip.index()];
            let mut words = vec![format!("Tip {}: {}", tip.number(), known.seen.words())];
            words.extend(known.words.iter().cloned());
            all.push(format!("{}.", words.join("; ")));
        }
        all
    }

    /// Its data.
    #[must_use]
    pub fn csv(&self) -> String {
        let mut columns = Columns::new(&["tip", "seen", "words"]);
        for tip in Tip::ALL {
            let known = &self.tips[tip.index()];
            columns.row(&[
                Cell::Figure(tip.number() as f64, 0),
                Cell::Words(known.seen.words()),
                Cell::Words(&known.words.join("; ")),
            ]);
        }
        columns.into_text()
    }
}

/// A gap with its band, for the words of a tip.
#[must_use]
pub fn gap_words(gap: Length, (least, most): (Length, Length), first: System) -> String {
    let (least, most) = (amount(least, first), amount(most, first));
    format!("gap {}, from {least} to {most}", amount(gap, first))
}
