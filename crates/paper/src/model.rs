//! A paper as blocks in their order.

use serde::{Deserialize, Serialize};

/// A paper: what it is called, what it belongs to, and its blocks.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Paper {
    /// What it is, and of what: `Cut sheet, rotor R-114`.
    pub title: String,
    /// What it belongs to, at the head of every page: the build.
    pub of: String,
    /// By what it is recognised, at the foot of every page: number, revision, hash.
    pub mark: String,
    /// The day it was made, `YYYY-MM-DD`.
    pub day: String,
    /// The sheets it is printed on.
    pub size: PageSize,
    /// What is on it.
    pub blocks: Vec<Block>,
}

/// Sheets of paper.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum PageSize {
    /// ISO 216, 210 × 297 mm.
    A4,
    /// 8.5 × 11 in.
    Letter,
}

/// One thing on a paper.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(tag = "is", rename_all = "lowercase")]
pub enum Block {
    /// Heads what follows: 1 a part of the paper, 2 below it.
    Heading {
        /// 1 or 2.
        level: u8,
        /// Its words.
        text: String,
    },
    /// Sentences.
    Text {
        /// A paragraph.
        text: String,
    },
    /// What must be read before anything is done: framed.
    Caution {
        /// Sentences, a paragraph each.
        texts: Vec<String>,
    },
    /// What is what, in pairs.
    Facts {
        /// In their order.
        facts: Vec<Fact>,
    },
    /// What is done, in its order, numbered.
    Steps {
        /// The number of the first.
        from: usize,
        /// A step each.
        steps: Vec<String>,
    },
    /// What belongs together without an order.
    List {
        /// An item each.
        items: Vec<String>,
    },
    /// Figures.
    Table(Table),
    /// A picture.
    Picture(Picture),
    /// Lines to write on, each with what is to be written there.
    Lines {
        /// Of each.
        labels: Vec<String>,
    },
    /// What follows begins on a new page.
    NewPage,
}

/// What something is.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Fact {
    /// Which one.
    pub what: String,
    /// What it is.
    pub is: String,
}

/// Figures in rows.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Table {
    /// What it shows.
    pub caption: String,
    /// Its columns; the first names the row.
    pub columns: Vec<Column>,
    /// Its rows, each as wide as there are columns.
    pub rows: Vec<Vec<Cell>>,
    /// What must be known to read it.
    pub note: Option<String>,
}

/// A column of a table.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Column {
    /// What stands in it; may be empty over the names of rows.
    pub head: String,
    /// Whether it holds figures, or room to write them.
    pub figures: bool,
}

/// A cell of a table.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Cell {
    /// Words.
    Words(String),
    /// A figure with its unit; the other system below it where there is one.
    Figure(String, Option<String>),
    /// The same, set strong: it is what is worked to.
    Strong(String, Option<String>),
    /// Room to write a figure.
    Room,
    /// Nothing belongs here.
    Empty,
}

/// A picture with its words.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Picture {
    /// What it shows, in words: what is read aloud in its place.
    pub words: String,
    /// The picture, as SVG.
    pub svg: String,
    /// How wide it is set, in percent of the page's width.
    pub percent: u8,
}
