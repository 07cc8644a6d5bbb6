//! Why a program is not given out: reason, line, place.

use kernel::units::Length;
use std::fmt;
use thiserror::Error;

/// One thing that is wrong with a program.
#[derive(Debug, Clone, PartialEq)]
pub struct Fault {
    /// Line of the text, from 1; nothing where the whole of it is wrong.
    pub line: Option<usize>,
    /// What is wrong.
    pub reason: Reason,
    /// Where on the part, `x, y, z` as the machinist sees it; on a lathe `y` is nothing.
    pub place: Option<[Length; 3]>,
}

/// What can be wrong with a program.
#[derive(Debug, Clone, PartialEq, Error)]
#[non_exhaustive]
pub enum Reason {
    /// Characters that are no word, number or comment.
    #[error("{0:?} is no word of a program")]
    Unread(String),
    /// A word that is not one of the few.
    #[error("{0} is not one of the words that every control reads alike")]
    UnknownWord(String),
    /// A word or axis twice in a block.
    #[error("{0} stands twice in one block")]
    Doubled(String),
    /// A number that needs a decimal point.
    #[error("{0} has no decimal point: some controls count its last digit as a thousandth")]
    NoPoint(String),
    /// A number of another form.
    #[error("{0} is not a number as this program writes them")]
    Number(String),
    /// A `%` that is not alone on the first or last line, or is missing there.
    #[error("% stands alone on the first and the last line, and nowhere else")]
    Percent,
    /// Something before the modal line.
    #[error("a block stands before the modal line: what it does would depend on what ran before")]
    BeforeModalLine,
    /// The modal line lacks a word or has another one.
    #[error("the modal line must be exactly {wanted}")]
    ModalLine {
        /// As it must be.
        wanted: String,
    },
    /// Words that do not belong together.
    #[error("{0} must stand alone in its block")]
    NotAlone(String),
    /// A block that says nothing complete.
    #[error("this block is not complete: {0}")]
    Incomplete(&'static str),
    /// Motion without its word.
    #[error("an axis without G0 or G1 in its block")]
    NoMotionWord,
    /// No feed.
    #[error("G1 without a feed: F is missing")]
    NoFeed,
    /// Too fast a feed, or none.
    #[error("the feed is {is:.2} mm/min; the record allows {most:.2} mm/min here")]
    Feed {
        /// mm/min.
        is: f64,
        /// mm/min.
        most: f64,
    },
    /// Another spindle speed.
    #[error("the spindle is told {is:.0} rpm; by the record it is {wanted:.0} rpm here")]
    SpindleSpeed {
        /// As read.
        is: f64,
        /// As it must be.
        wanted: f64,
    },
    /// A spindle that is started while it turns, or stopped wrongly.
    #[error("the spindle starts while it turns already: it must stop for the measuring first")]
    SpindleTurns,
    /// More starts than rough and finishing passes.
    #[error(
        "the spindle starts {0} times; once for the rough passes and once for the finishing pass are enough"
    )]
    Starts(usize),
    /// A stop without the spindle at rest.
    #[error("the program stops (M0) while the spindle may turn: M5 first")]
    StopWhileTurning,
    /// A stop with the tool in the way.
    #[error("the program stops with the tool less than 1 mm above the part: lift it first")]
    StopInTheWay,
    /// No stop before the spindle starts.
    #[error(
        "no stop (M0) with the spindle at rest before it starts here: the land is measured then"
    )]
    NoStop,
    /// The end with the spindle turning, or no end.
    #[error("the program does not end with M5, M9 and M30")]
    NoEnd,
    /// Something after the end.
    #[error("a block stands after the end of the program")]
    AfterEnd,
    /// The first move.
    #[error(
        "the first move must be G0 Z alone, to above part and clamp: from where it starts nobody knows"
    )]
    FirstMove,
    /// A rapid move that mixes Z with the others.
    #[error("a rapid move of Z together with another axis: its way is not a line on every control")]
    RapidMixed,
    /// A rapid move too low.
    #[error("a rapid move down to {:.3} mm; below {:.3} mm it may meet part or clamp", .is.to_mm(), .least.to_mm())]
    RapidLow {
        /// Lowest point.
        is: Length,
        /// The least.
        least: Length,
    },
    /// A move near the part with the spindle at rest.
    #[error("the tool goes down to {:.3} mm with the spindle at rest", .0.to_mm())]
    SpindleAtRest(Length),
    /// The cutter meets the clamp.
    #[error("the cutter comes within {:.3} mm of the axis below the clamp's top; the clamp with its air ends at {:.3} mm", .is.to_mm(), .least.to_mm())]
    Clamp {
        /// How near its edge comes.
        is: Length,
        /// How near it may come.
        least: Length,
    },
    /// The holder meets the clamp or the part.
    #[error("the holder meets the {0}")]
    Holder(&'static str),
    /// A lathe's tool crosses the axis.
    #[error("the tool crosses the axis of the spindle")]
    PastAxis,
    /// What stands outside the tool would rub on its back.
    #[error("metal stands {:.1} um above the tool behind its cutting edge", .0.to_um())]
    BehindTool(Length),
    /// Below everything that the plan cuts.
    #[error("the tool goes down to {:.4} mm; the plan's lowest place is {:.4} mm", .is.to_mm(), .least.to_mm())]
    BelowAll {
        /// Lowest point.
        is: Length,
        /// The plan's lowest.
        least: Length,
    },
    /// A pass that takes too much.
    #[error("this pass takes {:.1} um; the record allows {:.1} um", .is.to_um(), .most.to_um())]
    PassTooDeep {
        /// What it takes.
        is: Length,
        /// The record's.
        most: Length,
    },
    /// Too much is gone.
    #[error("{:.1} um too much is cut {when}", .by.to_um())]
    Gouge {
        /// Beyond what the plan allows there.
        by: Length,
        /// Before the finishing pass or at the end.
        when: &'static str,
    },
    /// Too little is gone.
    #[error("{:.1} um is left standing {when}", .by.to_um())]
    Standing {
        /// Beyond what the plan allows there.
        by: Length,
        /// Before the finishing pass or at the end.
        when: &'static str,
    },
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if let Some(line) = self.line {
            write!(f, "line {line}: ")?;
        }
        write!(f, "{}", self.reason)?;
        if let Some([x, y, z]) = self.place {
            write!(f, " at x {:.3} y {:.3} z {:.4} mm", x.to_mm(), y.to_mm(), z.to_mm())?;
        }
        Ok(())
    }
}

/// A program that did not pass its check.
#[derive(Debug, Clone, PartialEq, Error)]
#[error("the machining program did not pass its check: {}", shown(.faults))]
pub struct Refused {
    /// What is wrong with it, in the order of its lines; one at least.
    pub faults: Vec<Fault>,
}

/// Faults that are shown in one message.
const SHOWN: usize = 5;

fn shown(faults: &[Fault]) -> String {
    let mut text: Vec<String> = faults.iter().take(SHOWN).map(Fault::to_string).collect();
    if faults.len() > SHOWN {
        text.push(format!("and {} more", faults.len() - SHOWN));
    }
    text.join("; ")
}

impl Refused {
    /// In the order of lines; without lines last.
    pub(crate) fn new(mut faults: Vec<Fault>) -> Self {
        faults.sort_by_key(|fault| fault.line.unwrap_or(usize::MAX));
        Self { faults }
    }
}

impl Fault {
    pub(crate) const fn at_line(line: usize, reason: Reason) -> Self {
        Self { line: Some(line), reason, place: None }
    }
}
