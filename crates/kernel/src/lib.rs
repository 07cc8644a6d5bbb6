//! The engineering of Lobewright: geometry, readings, room, seals, heat, the plan of a set,
//! and what is judged when the engine goes together.
//!
//! Values in, values or errors out. This crate knows no file, clock, network or database.
//! Quantities cross its public boundary as types (`units`); inside a formula a plain `f64`
//! carries its SI unit last in its name. Axes and signs: `docs/CONVENTIONS.md`; sources, cited
//! by key in square brackets: `docs/SOURCES.md`.

pub mod assembly;
pub mod balance;
pub mod calibration;
pub mod condition;
pub mod cutting;
pub mod geometry;
pub mod heat;
mod normals;
pub mod plan;
pub mod readings;
pub mod room;
pub mod seals;
pub mod shelf;
pub mod speed;
pub mod units;
pub mod wear;
pub mod window;
