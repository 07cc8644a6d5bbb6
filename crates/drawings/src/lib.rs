//! Pictures: a finished model in, SVG text out. Writes no files, knows no clock; a drawing
//! depends on its model and its options alone, and the same model gives the same bytes.
//!
//! Each picture is a plain struct that the product fills in, with `svg` and `csv`. Lengths in a
//! model are finite; nothing is judged here, verdicts come with the model. What all pictures
//! share has a file per concept: number formatting, the style sheet, hatchings, text
//! that is measured and wrapped, axes, dimension lines, and the sheet they stand on.

mod alike;
mod axis;
mod dimension;
mod hatch;
mod mark;
mod number;
mod options;
mod origin;
mod rotor_face;
mod sheet;
mod side_gap;
mod stock;
mod style;
mod table;
mod text;
mod tip;
mod when;
mod window;

pub use options::Options;
pub use origin::Origin;
pub use rotor_face::{Doubt, Point, Reading, RotorFace, TipReadings};
pub use side_gap::{Lean, Relief, Section, SideGap, Stage, TipGap, Touch, Tracks, Wear};
pub use stock::{FaceStock, Stock};
pub use tip::Tip;
pub use when::When;
pub use window::{
    ClearanceWindow, Planned, PlannedStep, SealLimit, SpecFigure, StepWindow, Window,
};
