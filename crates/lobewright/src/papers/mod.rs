//! Papers that leave the office: cut sheets, the balance sheet, the build book. Each is put
//! together here as blocks, once; the page and the PDF go through the same ones.

mod assembly_sheet;
mod balance_sheet;
mod book;
mod book_record;
mod cautions;
mod cells;
mod cut_set;
mod cut_sheet;
mod sheets;
mod used_parts;

use crate::build_file::Build;
use crate::ops::phrase::hash;
use crate::ops::{AssemblyReport, BalanceReport, PlanReport, file_stem};
pub use book::BookOf;
pub use book_record::{Part, Record, Signature};
use kernel::units::System;
use paper::{PageSize, Paper};
use records::Sha;
use serde::{Deserialize, Serialize};
pub use sheets::{
    SheetsError, book_of, build_assembly, build_book, build_sheets, file_book, file_sheets,
};

/// What a paper is stamped with.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Stamp {
    /// By what it is recognised: what it was made from, its number where it has one.
    pub mark: String,
    /// The day, `YYYY-MM-DD`.
    pub day: String,
    /// Which units come first. Shops that read inches first print on letter paper.
    pub first: System,
}

impl Stamp {
    /// Of a build file: the hash of its text.
    #[must_use]
    pub fn of_file(text: &str, day: &str, first: System) -> Self {
        let mark = format!("Build file {}", hash(&Sha::of(text.as_bytes())));
        Self { mark, day: day.to_owned(), first }
    }

    /// Of a build of the shop's file: its revision, and the hash of what the paper was made from.
    #[must_use]
    pub fn of_build(build: &records::Build, inputs: &Sha, day: &str, first: System) -> Self {
        let mark = format!("Build {}, revision {}, {}", build.id, build.revision, hash(inputs));
        Self { mark, day: day.to_owned(), first }
    }

    fn paper(&self, title: String, of: &str) -> Paper {
        Paper {
            title,
            of: of.to_owned(),
            mark: self.mark.clone(),
            day: self.day.clone(),
            size: match self.first {
                System::Metric => PageSize::A4,
                System::Inch => PageSize::Letter,
            },
            blocks: Vec::new(),
        }
    }
}

/// A paper with the start of its file's name.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct NamedPaper {
    /// File name without its ending.
    pub name: String,
    /// The paper.
    pub paper: Paper,
}

/// The sheet to assemble by.
#[must_use]
pub fn assembly_sheet(build: Option<&Build>, report: &AssemblyReport, stamp: &Stamp) -> NamedPaper {
    NamedPaper { name: "assembly".to_owned(), paper: assembly_sheet::paper(build, report, stamp) }
}

/// The sheet to balance by.
#[must_use]
pub fn balance_sheet(
    build: &Build,
    plan: &PlanReport,
    report: &BalanceReport,
    stamp: &Stamp,
) -> NamedPaper {
    let paper = balance_sheet::paper(build, plan, report, stamp);
    NamedPaper { name: "balance".to_owned(), paper }
}

/// The build book.
#[must_use]
pub fn book(of: &BookOf<'_>, stamp: &Stamp) -> NamedPaper {
    NamedPaper { name: "build-book".to_owned(), paper: book::paper(of, stamp) }
}

/// The sheets to cut by: one for the set, then one for each rotor that has something to cut or to
/// be read. Nothing where the set has no plan: nobody is sent to a machine by half of one.
#[must_use]
pub fn cut_sheets(build: &Build, report: &PlanReport, stamp: &Stamp) -> Vec<NamedPaper> {
    if !report.feasible {
        return Vec::new();
    }
    let set = NamedPaper { name: "cut-set".to_owned(), paper: cut_set::paper(report, stamp) };
    let rotors = report.rotors.iter().enumerate().map(|(index, rotor)| NamedPaper {
        name: format!("cut-{}", file_stem(index, &rotor.serial)),
        paper: cut_sheet::paper(build, report, index, stamp),
    });
    std::iter::once(set).chain(rotors).collect()
}
