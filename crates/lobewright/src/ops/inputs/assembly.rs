//! How well a reading at assembly is known, where its gauge does not say it.

use super::super::assumed::Assumed;
use kernel::assembly::reading_uncertainty;
use kernel::units::{Force, Length, System};

/// Standard uncertainty of a play, gap or clearance whose gauge is not named: a feeler, an
/// indicator, a bore gauge (common practice, no source).
const FIT_U: Length = Length::um(5.0);
/// The same of a spring's load (common practice, no source).
const LOAD_U: Force = Force::n(0.5);
/// The same of the thickness of a spacer as it is marked (common practice, no source).
const SPACER_U: Length = Length::um(2.0);
/// Main bearings of an engine whose file says nothing of its shaft (common practice, no source).
const MAINS: usize = 2;

/// A gauge as a reading was taken with it.
#[derive(Debug, Clone, PartialEq)]
pub(in crate::ops) struct TakenWith {
    pub(in crate::ops) name: String,
    pub(in crate::ops) repeat: Length,
    pub(in crate::ops) zero: Length,
}

/// Standard uncertainty of a length that was read.
pub(in crate::ops) fn size_u(
    with: Option<&TakenWith>,
    first: System,
    assumed: &mut Assumed,
) -> Length {
    with.map_or_else(
        || {
            assumed.note(format!(
                "plays, gaps and clearances whose gauge is not named are known to {} (standard)",
                FIT_U.as_amount(first)
            ));
            FIT_U
        },
        |gauge| reading_uncertainty(gauge.repeat, gauge.zero),
    )
}

/// Standard uncertainty of a spring's load.
pub(in crate::ops) fn load_u(given: Option<Force>, assumed: &mut Assumed) -> Force {
    given.unwrap_or_else(|| {
        assumed.note(format!("loads of springs are known to {} N (standard)", LOAD_U.to_n()));
        LOAD_U
    })
}

/// Standard uncertainty of a spacer's thickness.
pub(in crate::ops) fn spacer_u(
    given: Option<Length>,
    first: System,
    assumed: &mut Assumed,
) -> Length {
    given.unwrap_or_else(|| {
        assumed.note(format!(
            "thicknesses of spacers are known to {} (standard)",
            SPACER_U.as_amount(first)
        ));
        SPACER_U
    })
}

/// How many main bearings there are.
pub(in crate::ops) fn mains(given: usize) -> usize {
    if given == 0 { MAINS } else { given }
}
