//! What can be wrong with the sizes of an engine, in the words of the one who gave them.

use crate::units::{Angle, Area, Length, Volume};
use thiserror::Error;

/// Why sizes do not make an engine.
#[derive(Debug, Clone, PartialEq, Error)]
#[non_exhaustive]
pub enum GeometryError {
    /// Outside the limits of a size.
    #[error(
        "{name} is {:.3} mm; it lies between {:.3} mm and {:.3} mm",
        .value.to_mm(), .least.to_mm(), .most.to_mm()
    )]
    OutOfRange {
        /// Which size.
        name: &'static str,
        /// As given.
        value: Length,
        /// The least it may be.
        least: Length,
        /// The most it may be.
        most: Length,
    },
    /// A size that must be larger than nothing is not.
    #[error("{name} is {:.3} mm; it must be more than 0", .value.to_mm())]
    NotPositive {
        /// Which size.
        name: &'static str,
        /// As given.
        value: Length,
    },
    /// A size that may not be negative is, or is no number.
    #[error("{name} is {:.3} mm; it must not be negative", .value.to_mm())]
    Negative {
        /// Which size.
        name: &'static str,
        /// As given.
        value: Length,
    },
    /// Too much eccentricity for the radius.
    #[error(
        "the generating radius is {ratio:.3} times the eccentricity; more than {least} times is \
         needed for a flank (was the stroke, twice the eccentricity, given?)"
    )]
    TooEccentric {
        /// Generating radius over eccentricity.
        ratio: f64,
        /// What it must exceed.
        least: f64,
    },
    /// The shifted bore would have a cusp at its waist.
    #[error(
        "the parallel shift is {:.3} mm; it must be less than {:.3} mm, the radius of the hollow \
         at the waist of the bore, or the shifted bore has a cusp there",
        .shift.to_mm(), .hollow.to_mm()
    )]
    ShiftMakesCusp {
        /// The shift as given.
        shift: Length,
        /// Radius of the hollow at the waist.
        hollow: Length,
    },
    /// A running gap that is larger than the shift.
    #[error(
        "the running gap between flank and bore is {:.3} mm; it must not be more than the \
         parallel shift of {:.3} mm, or the flanks meet before the tip",
        .gap.to_mm(), .shift.to_mm()
    )]
    GapBeyondShift {
        /// The gap as given.
        gap: Length,
        /// The shift.
        shift: Length,
    },
    /// A place on a flank that is not between its two tips.
    #[error("a flank parameter runs from 0 to 60 degrees from tip to tip, not {:.3}", .0.to_deg())]
    FlankParameter(Angle),
    /// The land would stand over the flanks.
    #[error(
        "the land radius is {:.3} mm, but the rotor is only {:.3} mm from axis to flank",
        .land.to_mm(), .flank.to_mm()
    )]
    LandBeyondFlank {
        /// Outer radius of the land.
        land: Length,
        /// Radius of the flank at its middle.
        flank: Length,
    },
    /// The side face would reach past the rotor's own tips.
    #[error(
        "the rotor tip radius is {:.3} mm, but the rotor ends {:.3} mm from its axis",
        .tip.to_mm(), .end.to_mm()
    )]
    TipBeyondRotor {
        /// Outermost radius of the side face, as given.
        tip: Length,
        /// Where the flanks end.
        end: Length,
    },
    /// Two radii in the wrong order.
    #[error("{inner} ({:.3} mm) must be less than {outer} ({:.3} mm)",
        .inner_value.to_mm(), .outer_value.to_mm())]
    RadiiOrder {
        /// Name of the one that must be less.
        inner: &'static str,
        /// Its value.
        inner_value: Length,
        /// Name of the one that must be more.
        outer: &'static str,
        /// Its value.
        outer_value: Length,
    },
    /// A void whose area is no area.
    #[error("a void of the side face has an area of {:.3} mm2; it must be more than 0",
        .0.to_mm2())]
    VoidArea(Area),
    /// A void that does not lie on the face.
    #[error(
        "a void at radius {:.3} mm, {:.2} degrees from tip 1, is not on the side face outside the \
         land, which goes from {:.3} to {:.3} mm there",
        .radius.to_mm(), .azimuth.to_deg(), .inner.to_mm(), .outer.to_mm()
    )]
    VoidOffFace {
        /// Radius of its middle.
        radius: Length,
        /// Azimuth of its middle about `z_r`.
        azimuth: Angle,
        /// Where the face begins.
        inner: Length,
        /// Where it ends at that azimuth.
        outer: Length,
    },
    /// More voids than face.
    #[error("the voids take {:.1} mm2, but the side face outside the land has only {:.1} mm2",
        .voids.to_mm2(), .face.to_mm2())]
    VoidsExceedFace {
        /// All voids together.
        voids: Area,
        /// The face without them.
        face: Area,
    },
    /// Two grooves of a land lie over each other.
    #[error("two grooves of the land overlap at radius {:.3} mm", .0.to_mm())]
    GroovesOverlap(Length),
    /// A count of points or nodes that cannot serve.
    #[error("{name} is {count}; it must be from {least} to {most}")]
    Count {
        /// What is counted.
        name: &'static str,
        /// As given.
        count: usize,
        /// The least that serves.
        least: usize,
        /// The most.
        most: usize,
    },
    /// A negative or infinite recess.
    #[error("the recess of a flank is {:.3} cm3; it must not be negative", .0.to_cm3())]
    Recess(Volume),
}

/// Refuses what is not finite and above nothing.
pub(super) fn positive(name: &'static str, value: Length) -> Result<f64, GeometryError> {
    if value.is_finite() && value > Length::ZERO {
        Ok(value.to_m())
    } else {
        Err(GeometryError::NotPositive { name, value })
    }
}

/// Refuses what is not finite or below nothing.
pub(super) fn not_negative(name: &'static str, value: Length) -> Result<f64, GeometryError> {
    if value.is_finite() && value >= Length::ZERO {
        Ok(value.to_m())
    } else {
        Err(GeometryError::Negative { name, value })
    }
}
