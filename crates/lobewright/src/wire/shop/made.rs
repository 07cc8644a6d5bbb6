//! What was made or kept, by its number.

use super::SeenJson;
use super::reading::{AgreementJson, agreement};
use super::sheet::{StateJson, states};
use crate::ops::sheet::Taken;
use kernel::units::System;
use records::{BroughtIn, PartId};
use serde::Serialize;

/// Something that the shop has now.
#[derive(Debug, Serialize)]
#[serde(rename_all = "snake_case")]
pub(crate) enum MadeJson {
    Build(i64),
    Part(i64),
    Gauge(i64),
    Calibration(i64),
    Customer(i64),
    Finding(i64),
    TiltTest(i64),
}

/// A build that was brought in.
#[derive(Debug, Serialize)]
pub(crate) struct BroughtJson {
    build: i64,
    readings: usize,
    /// Places of its file that are new or changed.
    changed: usize,
    removed: usize,
    new_parts: usize,
    exchanged: usize,
}

impl BroughtJson {
    pub(crate) const fn of(brought: &BroughtIn) -> Self {
        Self {
            build: brought.build.0,
            readings: brought.stored.readings,
            changed: brought.stored.changed,
            removed: brought.stored.removed,
            new_parts: brought.new_parts,
            exchanged: brought.exchanged,
        }
    }
}

/// What became of a reading: one of the two.
#[derive(Debug, Serialize)]
pub(crate) struct TakenJson {
    kept: Option<KeptJson>,
    asked_back: Option<AskedBackJson>,
}

#[derive(Debug, Serialize)]
struct KeptJson {
    reading: i64,
    written: String,
    /// What to mind although it is kept.
    mind: Option<String>,
    states: Vec<StateJson>,
    /// Of its part.
    agreement: Option<AgreementJson>,
    seen: SeenJson,
}

#[derive(Debug, Serialize)]
struct AskedBackJson {
    written: String,
    why: String,
}

impl TakenJson {
    pub(crate) fn of(taken: Taken, part: PartId, first: System) -> Self {
        match taken {
            Taken::Kept { reading, written, sheet, mind } => {
                let part = sheet.parts.iter().find(|of| of.fitted.part == part);
                let kept = KeptJson {
                    reading: reading.0,
                    written,
                    mind,
                    states: states(&sheet),
                    agreement: part.and_then(|part| agreement(part, first)),
                    seen: SeenJson::of(&sheet.seen),
                };
                Self { kept: Some(kept), asked_back: None }
            }
            Taken::AskedBack { written, why } => {
                Self { kept: None, asked_back: Some(AskedBackJson { written, why }) }
            }
        }
    }
}
