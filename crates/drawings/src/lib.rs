//! Pictures: a finished model in, SVG text out. Writes no files, knows no clock; a drawing
//! depends on its model and its options alone, and the same model gives the same bytes.
//!
//! Each picture is a plain struct that the product fills in, with `svg` and `csv`; the pictures of
//! a wanted reading and of what is inspected have no figures yet, so they have no `csv`. Lengths
//! in a model are finite; nothing is judged here, verdicts come with the model. What all pictures
//! share has a file per concept: number formatting, the style sheet, hatchings, text
//! that is measured and wrapped, axes, dimension lines, and the sheet they stand on.

mod alike;
mod arrow;
mod axis;
mod balance_vectors;
mod beside;
mod clip;
mod columns;
mod counted;
mod counterweight_face;
mod dimension;
mod gauges;
mod hatch;
mod inspected;
mod legend;
mod mark;
mod marked_face;
mod number;
mod options;
mod origin;
mod part_life;
mod past_windows;
mod places;
mod plating_map;
mod pointer;
mod polar;
mod rotor_face;
mod rotor_shape;
mod rows;
mod scale;
mod scale_bar;
mod set_up;
mod shaft_line;
mod sheet;
mod side_gap;
mod speed_gap;
mod station;
mod stock;
mod style;
mod table;
mod text;
mod tilt_path;
mod tip;
mod tip_budget;
mod vector;
mod wear_map;
mod when;
mod window;

pub use balance_vectors::{BalanceArrow, BalanceVectors, ToleranceCircle};
pub use counted::{Counted, Journal, WidthStation};
pub use counterweight_face::{
    CorrectionPlace, CounterweightFace, PlaceKind, Throw, UnbalanceOf, Work,
};
pub use inspected::{
    BearingItem, Direction, Flank, FlatnessBy, GearItem, GroovePlace, GrooveSize, HousingItem,
    Inspected, InspectedAt, RotorItem, SealItem, ShaftItem, Shapes, SideItem, Spring,
};
pub use marked_face::{MarkedFace, MarkedTip, TipSeen, gap_words};
pub use options::Options;
pub use origin::Origin;
pub use part_life::{LifeLine, LifePoint, PartLife};
pub use past_windows::{Came, PastRotor, PastWindows};
pub use plating_map::{PlatingMap, PlatingPlace};
pub use polar::SeenFrom;
pub use rotor_face::{Doubt, Reading, RotorFace, TipReadings};
pub use rotor_shape::{Point, RotorShape};
pub use set_up::{SetUp, Take};
pub use shaft_line::{AxisPoint, MainBearing, RotorStation, ShaftLine, ShaftMass, Stretch};
pub use side_gap::{Lean, Relief, Section, SideGap, Stage, TipGap, Touch, Tracks, Wear};
pub use speed_gap::{CriticalSpeed, GapAtSpeed, RotorGaps, SpeedGap};
pub use station::{SideShape, Wanted, WantedAt};
pub use stock::{FaceStock, Stock};
pub use style::{SHEET as STYLE, WANTED as STYLE_OF_WANTED};
pub use tilt_path::{JamOutline, LeastGap, Slope, TiltPath, TouchReach};
pub use tip::Tip;
pub use tip_budget::{GapCause, TipBudget};
pub use vector::VectorKind;
pub use wear_map::{Contact, Wall, WallPoint, WearMap};
pub use when::When;
pub use window::{
    AtSpeed, ClearanceWindow, Planned, PlannedStep, SealLimit, SpecFigure, StepWindow, Window,
};
