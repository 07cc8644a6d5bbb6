//! What leaves the office: a finished model in, bytes out. Writes no files, knows no clock; a paper
//! depends on its model alone, and the same model gives the same bytes.
//!
//! A [`Paper`] is blocks in their order: it is set as PDF by [`Paper::pdf`], and whoever shows it
//! on a page goes through the same blocks. Nothing is judged, rounded or worded here. This is a
//! crate of its own since the typesetter takes most of the time of a build from nothing.
//!
//! Beside papers: [`label`] for bags and tags, [`table`] for other programs.

pub mod label;
mod letters;
mod model;
mod press;
pub mod table;
mod text;

pub use model::{Block, Cell, Column, Fact, PageSize, Paper, Picture, Table};
pub use press::PaperError;
