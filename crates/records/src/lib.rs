//! The shop's file: one SQLite file with everything that was read, planned and signed. This crate
//! alone knows that it is one; what each table holds, and each canonical form byte by byte:
//! `docs/RECORDS.md`.
//!
//! Readings and values are added, never changed: a later one supersedes an earlier one. What is
//! signed is hashed, and [`Shop::audit`] names the first record that does not fit. There is no
//! clock here: every call that needs a moment is given one.
//!
#![doc = include_str!("../../../docs/RECORDS.md")]

mod attachments;
mod audit;
mod backup;
mod builds;
mod canonical;
mod content;
mod copy;
mod customers;
mod error;
mod export;
mod findings;
mod folded;
mod gauges;
mod header;
mod ids;
mod library;
mod parts;
mod people;
mod predictions;
mod ranks;
mod readings;
mod revisions;
mod salvage;
mod schema;
mod shop;
mod sign_off;
mod teardowns;
mod tilt_tests;
mod time;
mod values;
mod whole;
mod words;
mod works;
mod written;

pub use attachments::{ATTACHMENT_MOST, AttachedTo, Attachment, NewAttachment, media_type};
pub use audit::{Audited, Misfit, Record, Wrong};
pub use backup::{Restored, restore};
pub use builds::{Build, BuildListed, BuildSearch, Due, Fit, Fitted, Head, InRevision};
pub use canonical::Sha;
pub use customers::{Customer, Intake, NewIntake};
pub use error::{Conflict, RecordsError, Seen, Who};
pub use export::csv_row;
pub use findings::{Finding, NewFinding};
pub use gauges::{Calibration, Gauge, NewCalibration};
pub use ids::{
    AttachmentId, BuildId, CalibrationId, CustomerId, EngineId, FindingId, FittedId, GaugeId,
    IntakeId, MachineToolId, MaterialId, PartEventId, PartId, PersonId, PredictionId, ReadingId,
    SignOffId, SpecId, TeardownId, TiltTestId, ValueId, WorkId,
};
pub use library::{Engine, Line, MachineTool, Material, Spec};
pub use parts::{Part, PartEvent, PartFound, PartHistory, PartSearch};
pub use people::{OpenSession, Person, Session};
pub use predictions::Prediction;
pub use readings::{NewReading, Reading};
pub use revisions::{Amendment, Difference};
pub use salvage::{Cell, DamagedPage, LinesOut, Loose, Salvaged, TableOut, damage, salvage};
pub use schema::VERSION;
pub use shop::Shop;
pub use sign_off::{NewSignOff, SignOff};
pub use teardowns::{Against, Depth, NewTeardown, Teardown, TipMark};
pub use tilt_tests::{TiltTest, TiltTold};
pub use time::{Day, Moment, TimeError};
pub use values::{BuildValue, Entry, FileLine, NewLine, NewValue, Shows, Store, Stored};
pub use whole::{BroughtIn, Into, PartHere};
pub use words::{
    Contact, Face, GearFace, Mark, MediaType, OutWhy, PartKind, Stage, When, WorkKind,
};
pub use works::{NewWork, Work};
pub use written::Written;
