//! Why a face cannot be machined as asked, in the words of the one who asked.

use crate::readings::Face;
use crate::units::{Length, Speed, Velocity};
use thiserror::Error;

/// What stands in the way of a machining program.
#[derive(Debug, Clone, PartialEq, Error)]
#[non_exhaustive]
pub enum CuttingError {
    /// A size that must be larger than nothing is not.
    #[error("{name} is {:.4} mm; it must be more than 0", .value.to_mm())]
    NotPositive {
        /// Which size.
        name: &'static str,
        /// As given.
        value: Length,
    },
    /// A size that may not be negative is, or is no number.
    #[error("{name} is {:.4} mm; it must be a number that is not negative", .value.to_mm())]
    Negative {
        /// Which size.
        name: &'static str,
        /// As given.
        value: Length,
    },
    /// A speed that must be larger than nothing is not.
    #[error("{name} must be more than 0")]
    NoSpeed {
        /// Which speed.
        name: &'static str,
    },
    /// A height or level that is no number.
    #[error("{name} is not a finite number")]
    NotFinite {
        /// Which height.
        name: &'static str,
    },
    /// Two sizes that must be in order are not.
    #[error(
        "{less} ({:.4} mm) must be less than {more} ({:.4} mm)",
        .less_value.to_mm(), .more_value.to_mm()
    )]
    Order {
        /// The one that must be less.
        less: &'static str,
        /// As given.
        less_value: Length,
        /// The one that must be more.
        more: &'static str,
        /// As given.
        more_value: Length,
    },
    /// A word that another control reads as something else.
    #[error("units_word {word} is not a control's word for {units}; for {units} it is {right}")]
    UnitsWord {
        /// As given.
        word: &'static str,
        /// The units of the record.
        units: &'static str,
        /// What it could be.
        right: &'static str,
    },
    /// No teeth.
    #[error("the cutter has no teeth; teeth counts its cutting edges")]
    NoTeeth,
    /// The outline is no closed curve around the axis.
    #[error("the outline is no curve once around the axis of the bore: {why}")]
    Outline {
        /// What is wrong.
        why: &'static str,
    },
    /// There is nothing above the levels.
    #[error("no stock on the {} face: nothing there lies above the plan's levels, so it needs no program", .0.name())]
    NoStock(Face),
    /// The face outside the land would be left above the land.
    #[error(
        "outside the land the {} face stays {:.1} um above the finished land; the passes over the \
         land would cut it: plan a cut outside the land too",
        .face.name(), .by.to_um()
    )]
    OutsideProud {
        /// The face.
        face: Face,
        /// By how much.
        by: Length,
    },
    /// The level outside is not below the land.
    #[error("the level outside the land lies {:.1} um above the finished land", .by.to_um())]
    OutsideAboveLand {
        /// By how much.
        by: Length,
    },
    /// The cutter does not pass between the clamp and what it cuts.
    #[error(
        "the cutter cannot pass the clamp: to reach radius {:.3} mm its edge comes within {:.3} mm \
         of the axis, and the clamp with 1 mm of air needs {:.3} mm; use a narrower clamp or hold \
         the part on the other of land and bore",
        .reach.to_mm(), .edge.to_mm(), .needed.to_mm()
    )]
    Clamp {
        /// The radius that must be cut.
        reach: Length,
        /// How near the axis the cutter's edge comes.
        edge: Length,
        /// How near it may come.
        needed: Length,
    },
    /// The holder is too large beside the clamp.
    #[error(
        "a holder of {:.3} mm meets the clamp where the cutter passes round the land; use a \
         smaller one, a longer reach or a lower clamp",
        .0.to_mm()
    )]
    HolderMeetsClamp(Length),
    /// The cutter reaches less deep than the face is.
    #[error(
        "the cutter's reach is {:.3} mm; the holder needs {:.3} mm to stay above the part",
        .reach.to_mm(), .needed.to_mm()
    )]
    Reach {
        /// As given.
        reach: Length,
        /// The least that serves.
        needed: Length,
    },
    /// The spindle does not turn that fast.
    #[error(
        "a cutting speed of {:.1} m/min at radius {:.3} mm needs {:.0} rpm; the spindle reaches \
         {:.0} rpm: give a lower cutting speed",
        .cutting.to_m_per_s() * 60.0, .radius.to_mm(), .needed.to_rpm(), .most.to_rpm()
    )]
    SpeedBeyondSpindle {
        /// As asked.
        cutting: Velocity,
        /// Where it is reached: the cutter's, or the part's on a lathe.
        radius: Length,
        /// What that needs.
        needed: Speed,
        /// What there is.
        most: Speed,
    },
    /// The spindle does not turn that slowly.
    #[error(
        "a cutting speed of {:.1} m/min at radius {:.3} mm needs {:.0} rpm; the spindle's least is \
         {:.0} rpm: give a higher cutting speed",
        .cutting.to_m_per_s() * 60.0, .radius.to_mm(), .needed.to_rpm(), .least.to_rpm()
    )]
    SpeedBelowSpindle {
        /// As asked.
        cutting: Velocity,
        /// Where it is reached.
        radius: Length,
        /// What that needs.
        needed: Speed,
        /// What there is.
        least: Speed,
    },
    /// More passes than anyone would let run.
    #[error(
        "{:.3} mm of stock in passes of {:.3} mm is more than {limit} passes; is depth per pass \
         right?",
        .stock.to_mm(), .depth.to_mm()
    )]
    Passes {
        /// All of it.
        stock: Length,
        /// Per pass.
        depth: Length,
        /// The most that are made.
        limit: usize,
    },
    /// The control's last decimal is too coarse.
    #[error(
        "numbers in {units} with {decimals} decimals are up to {:.2} um off; the depths are to \
         hold within {:.2} um: let the control read millimetres or allow more",
        .costs.to_um(), .tolerance.to_um()
    )]
    Rounding {
        /// The control's units.
        units: &'static str,
        /// Its decimals.
        decimals: usize,
        /// Half the last decimal.
        costs: Length,
        /// What is allowed.
        tolerance: Length,
    },
}
