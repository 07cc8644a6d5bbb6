//! The assembly sheet: each size that is read when the engine goes together, in the order of
//! assembly, with what is wanted and the verdict; which spacer gives the end play; how the
//! fasteners are tightened. Every limit, torque and angle is the shop's own, from the engine's
//! record and the spec. What is not given is said to be not given.

mod lines;
mod of_file;
mod read;
mod said;
mod spacer;

pub(in crate::ops) use lines::report;
pub use of_file::assembly;
pub(in crate::ops) use of_file::read_of;
pub(in crate::ops) use read::{Asks, ReadAll, ReadLoad, ReadSize};
pub use said::Amount;
pub(crate) use said::wanted_words;
pub(crate) use said::{angle_text, torque_text};
pub(in crate::ops) use said::{fit_of, fit_words, load_words, of_number, spring_of};
pub use spacer::SpacerReport;

use super::assumed::Assumed;
use crate::build_file::model::assembly::Tighten;
use kernel::assembly::Said;
use kernel::readings::Verdict;
use kernel::units::System;

/// What every assembly sheet says.
pub const CAUTIONS: [&str; 3] = [
    "The instructions of the engine's maker and of the shop come first. Limits, torques and \
     angles here are those of the shop's own engine record; what it does not give is not taken \
     from anywhere else.",
    "End play of the shaft is a size of its own: it is read at the shaft, and never comes out of \
     the rotors' clearance.",
    "Guard every edge, keep oil and rag away from what turns, lift as the weight asks, and turn \
     the engine by hand before anything else turns it.",
];

/// The assembly sheet of a build.
#[derive(Debug, Clone, PartialEq)]
pub struct AssemblyReport {
    /// What the shop calls the build.
    pub name: String,
    /// Each size, in the order of assembly (common practice, no source).
    pub lines: Vec<AssemblyLine>,
    /// What the end play asks for; nothing where the engine's record has no spacers.
    pub spacer: Option<SpacerReport>,
    /// How fasteners are tightened, in order; empty where the engine's record does not say.
    pub tighten: Vec<Tighten>,
    /// What was taken where nothing was given: uncertainties alone, never a limit.
    pub assumed: Assumed,
    /// Which units its sentences put first.
    pub first: System,
}

/// One size of the assembly sheet.
#[derive(Debug, Clone, PartialEq)]
pub struct AssemblyLine {
    /// Its number on the sheet, from 1.
    pub number: usize,
    /// Its key: `end_play`.
    pub key: &'static str,
    /// Of which bearing or rotor, from the front, from 1; nothing where there is one only.
    pub of: Option<usize>,
    /// What a builder calls it.
    pub what: String,
    /// Serial of the shaft or the set of seals that is in.
    pub part: Option<String>,
    /// What was read.
    pub measured: Option<Amount>,
    /// Standard uncertainty of that.
    pub uncertainty: Option<Amount>,
    /// The least that is wanted.
    pub least: Option<Amount>,
    /// The most that is wanted.
    pub most: Option<Amount>,
    /// What is said of it.
    pub said: Said,
    /// With which gauge it was read.
    pub gauge: Option<String>,
    /// What there is to mind or to do; empty where there is nothing.
    pub note: String,
}

impl AssemblyLine {
    /// What is wanted, in words.
    #[must_use]
    pub fn wanted(&self, first: System) -> String {
        wanted_words(self.least, self.most, first)
    }
}

impl AssemblyReport {
    /// The lines of which this is said.
    pub fn of(&self, said: Said) -> impl Iterator<Item = &AssemblyLine> {
        self.lines.iter().filter(move |line| line.said == said)
    }

    /// The worst verdict, if there is any.
    #[must_use]
    pub fn worst(&self) -> Option<Verdict> {
        self.lines
            .iter()
            .filter_map(|line| match line.said {
                Said::Judged(verdict) => Some(verdict),
                Said::NotRead | Said::NoLimit => None,
            })
            .max()
    }
}

#[cfg(test)]
mod tests;
